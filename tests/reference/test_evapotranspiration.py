"""Evapotranspiration and the water of turf, as printed by others."""

from datetime import date

import numpy as np
import pytest

from turfgis.formulas.evapotranspiration import (
    air_pressure,
    evapotranspiration_hargreaves,
    evapotranspiration_penman_monteith,
    mean_saturation,
    psychrometric_constant,
    saturation_slope,
    saturation_vapour_pressure,
    vapour_pressure,
    vapour_pressure_from_mean,
    wind_at_two_metres,
)
from turfgis.formulas.sunshine import (
    clear_sky_radiation,
    daylight,
    extraterrestrial_radiation,
    net_longwave_radiation,
    net_radiation,
    radiation_from_sunshine,
    radiation_from_temperature,
    solar_declination,
)
from turfgis.formulas.water_balance import days_between, gross_volume

SOUTH, UCCLE, LYON, BANGKOK = np.radians([-20, 50.8, 45.72, 13.73])
JULY_6 = date(2027, 7, 6).timetuple().tm_yday

# what was worked out, as printed, half of the last digit
FAO56 = [
    # [fao-56] R. G. Allen and others, FAO Irrigation and Drainage Paper 56, Crop Evapotranspiration, 1998,
    # equations and numbered examples as in https://github.com/woodcrafty/PyETo tests/test_fao.py and
    # https://github.com/pyet-org/pyet tests/testfao56.py (quoted second-hand)
    # example 2: pressure [kPa] and psychrometric constant [kPa/degC] at 1,800 m
    pytest.param(lambda: air_pressure(1800) / 1000, 81.8, 0.05, id="example-2-pressure"),
    pytest.param(lambda: psychrometric_constant(81_800) / 1000, 0.054, 0.0005, id="example-2-constant"),
    # example 3: pressure of saturation at 24.5 and 15 degC, and their mean [kPa]
    pytest.param(lambda: saturation_vapour_pressure(24.5) / 1000, 3.075, 0.0005, id="example-3-warm"),
    pytest.param(lambda: saturation_vapour_pressure(15.0) / 1000, 1.705, 0.0005, id="example-3-cold"),
    pytest.param(lambda: mean_saturation(15, 24.5) / 1000, 2.39, 0.005, id="example-3-mean"),
    # example 5: vapour pressure [kPa] from humidity of 54 to 82 %, and from its mean of 68 %
    pytest.param(lambda: vapour_pressure(18, 25, 0.54, 0.82) / 1000, 1.70, 0.005, id="example-5"),
    pytest.param(lambda: vapour_pressure_from_mean(18, 25, 0.68) / 1000, 1.78, 0.005, id="example-5-mean"),
    # example 8: declination [rad] and radiation above the air [MJ/m2], 3 September at 20 deg S
    pytest.param(lambda: solar_declination(246), 0.120, 0.0005, id="example-8-declination"),
    pytest.param(lambda: extraterrestrial_radiation(SOUTH, 246) / 1e6, 32.2, 0.05, id="example-8-radiation"),
    # example 9: daylight [h]
    pytest.param(lambda: daylight(SOUTH, 246) / 3600, 11.7, 0.05, id="example-9"),
    # example 10: solar radiation from 7.1 of 10.9 h of sunshine [MJ/m2]
    pytest.param(lambda: radiation_from_sunshine(25.1e6, 7.1 * 3600, 10.9 * 3600) / 1e6, 14.45, 0.005, id="example-10"),
    # example 11: net longwave radiation [MJ/m2]
    pytest.param(lambda: net_longwave_radiation(19.1, 25.1, 2100, 14.5e6, 18.8e6) / 1e6, 3.5, 0.05, id="example-11"),
    # example 12: net shortwave radiation [MJ/m2]; from the unrounded 14.45, as printed
    pytest.param(lambda: net_radiation(14.45e6, 0.0) / 1e6, 11.1, 0.05, id="example-12"),
    # example 14: wind at 2 m from 3.2 m/s at 10 m [m/s]
    pytest.param(lambda: wind_at_two_metres(3.2, 10), 2.4, 0.05, id="example-14"),
    # example 15: solar radiation from temperature [MJ/m2]
    pytest.param(lambda: radiation_from_temperature(40.6e6, 14.8, 26.6, 0.16) / 1e6, 22.3, 0.05, id="example-15"),
    # example 18, Uccle, 6 July: clear sky [MJ/m2], and reference evapotranspiration [mm]
    pytest.param(lambda: clear_sky_radiation(41.09e6, 100) / 1e6, 30.90, 0.005, id="example-18-clear"),
    pytest.param(lambda: 1000 * uccle(), 3.9, 0.05, id="example-18"),
    pytest.param(lambda: 1000 * uccle(), 3.88, 0.005, id="example-18-two-decimals"),
    # example 20: dew point of 14.8 degC [kPa], and the same month at Lyon with nothing but temperatures [mm]
    pytest.param(lambda: saturation_vapour_pressure(14.8) / 1000, 1.68, 0.005, id="example-20-dew"),
    pytest.param(lambda: 1000 * lyon(), 4.56, 0.005, id="example-20-penman"),
    # printed as 5.0
    pytest.param(
        lambda: 1000 * evapotranspiration_hargreaves(14.8, 26.6, 40.6e6), 5.0, 0.05, id="example-20-hargreaves"
    ),
    # [csls-evap] Wisconsin Department of Natural Resources, CSLSevap, test of FAO-56 example 18, 2021,
    # https://rdrr.io/github/WDNR-Water-Use/CSLSevap/src/tests/testthat/test_FAO.R
    # seven digits of the terms of Uccle: wind [m/s], slope [kPa/degC], vapour pressure [kPa], radiation [MJ/m2]
    pytest.param(lambda: wind_at_two_metres(2.78, 10), 2.079304, 5e-7, id="csls-wind"),
    pytest.param(lambda: saturation_slope(16.9) / 1000, 0.1221127, 5e-8, id="csls-slope"),
    pytest.param(lambda: vapour_pressure(12.3, 21.5, 0.63, 0.84) / 1000, 1.408624, 5e-7, id="csls-vapour"),
    pytest.param(lambda: extraterrestrial_radiation(UCCLE, JULY_6) / 1e6, 41.08838, 5e-6, id="csls-radiation"),
    # [ncl-hargreaves] National Center for Atmospheric Research, NCL function reference, refevt_hargreaves_fao56,
    # copy at https://github.com/tfoterye/NCL_help
    # Lyon, day 196: radiation above the air [MJ/m2], daylight [h], evapotranspiration [mm]
    pytest.param(lambda: extraterrestrial_radiation(LYON, 196) / 1e6, 40.5546, 5e-5, id="ncl-radiation"),
    pytest.param(lambda: daylight(LYON, 196) / 3600, 15.2, 0.05, id="ncl-daylight"),
    pytest.param(
        lambda: 1000 * evapotranspiration_hargreaves(14.8, 26.6, extraterrestrial_radiation(LYON, 196)),
        5.03,
        0.005,
        id="ncl-hargreaves",
    ),
]


def uccle():
    """Example 18 from what was measured: 12.3 to 21.5 degC, 63 to 84 %, 2.78 m/s at 10 m, 22.07 MJ/m2, 100 m."""
    return penman(12.3, 21.5, vapour_pressure(12.3, 21.5, 0.63, 0.84), 2.78, 10, 22.07e6, UCCLE, JULY_6, 100)


def lyon():
    """Example 20: dew point at the lowest temperature, wind of 2 m/s, radiation from temperature."""
    solar = radiation_from_temperature(extraterrestrial_radiation(LYON, 196), 14.8, 26.6, 0.16)
    return penman(14.8, 26.6, saturation_vapour_pressure(14.8), 2.0, 2, solar, LYON, 196, 200)


def penman(lowest, highest, vapour, wind, gauge, solar, latitude, day, height):
    clear = clear_sky_radiation(extraterrestrial_radiation(latitude, day), height)
    net = net_radiation(solar, net_longwave_radiation(lowest, highest, vapour, solar, clear))
    at_two = wind if gauge == 2 else wind_at_two_metres(wind, gauge)
    return evapotranspiration_penman_monteith(net, lowest, highest, vapour, at_two, height)


@pytest.mark.parametrize(("worked_out", "printed", "half_digit"), FAO56)
def test_evapotranspiration_as_printed(worked_out, printed, half_digit):
    assert worked_out() == pytest.approx(printed, abs=half_digit)


def test_the_whole_of_bangkok():
    """
    Example 17, April: 25.6 to 34.8 degC, 2.85 kPa, 2 m/s, 8.5 h of sun, 0.14 MJ/m2 into the ground, 2 m.

    [fao-56] R. G. Allen and others, FAO Irrigation and Drainage Paper 56, Crop Evapotranspiration, 1998. The paper goes
    on with rounded terms, which are worth 0.01 mm.
    """
    above = extraterrestrial_radiation(BANGKOK, 105)
    assert above / 1e6 == pytest.approx(38.06, abs=0.005)
    assert daylight(BANGKOK, 105) / 3600 == pytest.approx(12.31, abs=0.005)
    solar = radiation_from_sunshine(above, 8.5 * 3600, daylight(BANGKOK, 105))
    assert solar / 1e6 == pytest.approx(22.65, abs=0.005)
    clear = clear_sky_radiation(above, 2)
    assert clear / 1e6 == pytest.approx(28.54, abs=0.0051)
    longwave = net_longwave_radiation(25.6, 34.8, 2850, solar, clear)
    assert longwave / 1e6 == pytest.approx(3.11, abs=0.005)
    net = net_radiation(solar, longwave)
    assert net / 1e6 == pytest.approx(14.33, abs=0.005)
    depth = evapotranspiration_penman_monteith(net, 25.6, 34.8, 2850, 2.0, 2, 0.14e6)
    assert 1000 * depth == pytest.approx(5.72, abs=0.01)


def test_radiation_in_megajoules_is_no_depth():
    """
    A library takes MJ/m2 for mm in Hargreaves' equation, and prints 2.45 times too much.

    What it prints at 19 to 25 degC under 32 MJ/m2 is 7.175 mm a day. From our own reading of its source.
    """
    right = 1000 * evapotranspiration_hargreaves(19, 25, 32e6)
    assert right == pytest.approx(2.927, abs=0.0005)
    assert right / 0.408 == pytest.approx(7.175, abs=0.002)


def test_days_between_waterings():
    # [watering-interval] an irrigation design handbook (name left out), Days between waterings
    # 1 in/ft over 9 in of roots, half of it used, 0.20 in a day times 0.70: printed 2.68
    inch = 0.0254
    assert days_between(0.75 * inch, 0.5, 0.20 * 0.70 * inch) == pytest.approx(2.68, abs=0.005)


def test_depth_over_an_area():
    # [usga-2016-water-budget] P. J. Gross and C. Hartwiger, How to Develop a Water Budget for Your Golf Course, 2016,
    # USGA Green Section Record 54(7),
    # https://pdfslide.net/documents/how-to-develop-a-water-budget-for-your-golf-course-la-landscape-area-and-managed.html
    # one acre-inch is 27,154 US gallons, as printed
    acre, gallon = 43_560 * 0.3048**2, 3.785411784e-3
    assert gross_volume(0.0254, acre, 1.0) / gallon == pytest.approx(27_154, abs=0.5)
    # [perth-irrinote] Perth Region NRM, Irrinote Factsheet 5, 1 mm = 1 l,
    # https://studylib.net/doc/8381804/1mm-%3D-1l-1m2---perth-region-nrm
    # 45 kl over 1.4 ha is 3.2 mm
    assert 45 / gross_volume(0.001, 14_000, 1.0) == pytest.approx(3.2, abs=0.05)
