"""Weather and evapotranspiration: laws and limits. Printed figures: tests/reference/test_evapotranspiration.py."""

import math

import numpy as np
import pytest

from turfgis.errors import InputError
from turfgis.formulas import evapotranspiration as et
from turfgis.formulas import sunshine

# each formula with two values for each argument, of which some may be below zero
CASES = {
    et.air_pressure: [(-10.0, 1800.0)],
    et.saturation_vapour_pressure: [(-5.0, 24.5)],
    et.saturation_slope: [(-5.0, 24.5)],
    et.mean_saturation: [(-5.0, 15.0), (16.0, 24.5)],
    et.vapour_pressure: [(-5.0, 15.0), (16.0, 24.5), (0.4, 0.5), (0.8, 1.0)],
    et.vapour_pressure_from_mean: [(-5.0, 15.0), (16.0, 24.5), (0.4, 0.5)],
    et.evapotranspiration_penman_monteith: [
        *((-2e6, 13e6), (2.0, 12.0), (13.0, 21.5), (1400.0, 1500.0), (0.0, 2.0), (0.0, 100.0), (-1e6, 1e6))
    ],
    et.evapotranspiration_hargreaves: [(-5.0, 15.0), (16.0, 24.5), (0.0, 40e6)],
    sunshine.daylight: [(-0.3, 0.9), (1.0, 246.0)],
    sunshine.extraterrestrial_radiation: [(-0.3, 0.9), (1.0, 246.0)],
    sunshine.solar_declination: [(1.0, 246.0)],
    sunshine.net_longwave_radiation: [(-5.0, 15.0), (16.0, 24.5), (900.0, 1400.0), (0.0, 14e6), (0.0, 18e6)],
    sunshine.net_radiation: [(0.0, 14e6), (-1e6, 3e6)],
    sunshine.radiation_from_temperature: [(-5.0, 15.0), (16.0, 24.5), (0.0, 40e6), (0.16, 0.19)],
    sunshine.temperature_range: [(-5.0, 15.0), (16.0, 24.5)],
}
# radiation from temperature takes the radiation first
CASES[sunshine.radiation_from_temperature] = [(0.0, 40e6), (-5.0, 15.0), (16.0, 24.5), (0.16, 0.19)]


@pytest.mark.parametrize("formula", CASES, ids=lambda formula: formula.__name__)
def test_arrays_give_what_scalars_give(formula):
    pairs = CASES[formula]
    arrays = [np.reshape(pair, [-1 if k == at else 1 for k in range(len(pairs))]) for at, pair in enumerate(pairs)]
    grid = np.array(np.meshgrid(*pairs, indexing="ij")).reshape(len(pairs), -1).T
    assert formula(*arrays).ravel() == pytest.approx([formula(*row) for row in grid.tolist()], rel=1e-13)
    assert isinstance(formula(*(pair[1] for pair in pairs)), float)


@pytest.mark.parametrize("bad", [math.nan, math.inf, "3", None, True], ids=repr)
@pytest.mark.parametrize(
    ("formula", "at"),
    [pytest.param(one, at, id=f"{one.__name__}-{at}") for one in CASES for at in range(len(CASES[one]))],
)
def test_what_is_not_a_finite_number_is_refused(formula, at, bad):
    values = [pair[1] for pair in CASES[formula]]
    values[at] = bad
    with pytest.raises(InputError, match="must be"):
        formula(*values)


def test_the_slope_is_that_of_the_pressure():
    """By finite differences, 0.01 K apart."""
    rise = (et.saturation_vapour_pressure(20.005) - et.saturation_vapour_pressure(19.995)) / 0.01
    assert et.saturation_slope(20.0) == pytest.approx(rise, rel=1e-4)


def test_still_saturated_air_takes_what_the_sun_gives():
    """Without wind and with damp air nothing is left but radiation: slope / (slope + gamma) of it."""
    slope, gamma = et.saturation_slope(15.0), et.psychrometric_constant(et.air_pressure(0))
    depth = et.evapotranspiration_penman_monteith(10e6, 10, 20, et.mean_saturation(10, 20), 0.0, 0)
    assert depth == pytest.approx(10e6 * 0.408e-9 * slope / (slope + gamma), rel=1e-12)
    assert et.evapotranspiration_penman_monteith(-5e6, 10, 20, 2000, 0.0, 0) == 0  # dew is no use of water


def test_wind_at_two_metres_stays():
    assert et.wind_at_two_metres(3.0, 2.0) == pytest.approx(3.0, rel=3e-4)  # the constants are rounded


def test_the_year_turns_round():
    """Twelve hours at the equator on any day; what one half of the earth has, the other lacks."""
    assert sunshine.daylight(0.0, 172) == pytest.approx(12 * 3600, rel=1e-12)
    north, south = (sunshine.daylight(one, 100) for one in (0.8, -0.8))
    assert north + south == pytest.approx(24 * 3600, rel=1e-12)
    # beyond the polar circles the sun stays down, or up
    assert sunshine.extraterrestrial_radiation(np.radians(80), 355) == pytest.approx(0, abs=1e-6)
    assert sunshine.daylight(np.radians(80), 172) == 24 * 3600


def test_a_night_without_sun_is_taken_as_half_covered():
    dark = sunshine.net_longwave_radiation(-10, -5, 250, 0.0, 0.0)
    assert dark == pytest.approx(sunshine.net_longwave_radiation(-10, -5, 250, 0.65e6, 1e6), rel=1e-12)


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: et.saturation_vapour_pressure(75), "must be from -60 to 60 degC, but it is 75 degC"),
        (lambda: sunshine.temperature_range(20, 10), "is above the highest"),
        (lambda: et.vapour_pressure(10, 20, 0.9, 0.5), "least humidity of a day is above the most"),
        (lambda: et.vapour_pressure(10, 20, 50, 80), "must be a share"),
        (lambda: et.air_pressure(12_000), "from -500 to 9,000 m"),
        (lambda: et.wind_at_two_metres(3, 0.1), "0.5 m or more"),
        (lambda: sunshine.daylight(53, 100), "degrees were converted"),
        (lambda: sunshine.daylight(0.9, 400), "from 1 to 366"),
        (lambda: sunshine.radiation_from_sunshine(30e6, 18 * 3600, 12 * 3600), "longer than it was up"),
    ],
)
def test_what_cannot_be_is_refused(call, words):
    with pytest.raises(InputError, match=words):
        call()
