"""What holds for every formula: arrays give what scalars give, text and gaps are refused, the docstring is whole."""

import inspect
import itertools
import math

import numpy as np
import pytest

from turfgis.errors import InputError, TurfgisError
from turfgis.formulas import (
    bunkers,
    calibration,
    change,
    coverage,
    divots,
    drift,
    evapotranspiration,
    exposure,
    fertiliser,
    fitting,
    fuel,
    geodesy,
    growth,
    heads,
    ledger,
    liquids,
    mowing,
    packs,
    passes,
    repairs,
    run_times,
    sand,
    scarify,
    seed,
    slopes,
    spots,
    spread,
    stems,
    sunshine,
    tanks,
    tines,
    turns,
    uniformity,
    water_balance,
)

MODULES = (
    bunkers,
    calibration,
    change,
    coverage,
    divots,
    drift,
    evapotranspiration,
    exposure,
    fertiliser,
    fitting,
    fuel,
    geodesy,
    growth,
    heads,
    ledger,
    liquids,
    mowing,
    packs,
    passes,
    repairs,
    run_times,
    sand,
    scarify,
    seed,
    slopes,
    spots,
    spread,
    stems,
    sunshine,
    tanks,
    tines,
    turns,
    uniformity,
    water_balance,
)

# Two values for each argument that takes an array; they are broadcast against each other.
CASES = {
    tines.hole_area_share: [(0.008, 0.012), (0.05, 0.06), (0.04, 0.05)],
    tines.hole_density: [(0.05, 0.06), (0.04, 0.05)],
    tines.hole_volume: [(0.008, 0.012), (0.05, 0.06), (0.04, 0.05), (0.0, 0.1)],
    tines.combined_share: [(0.0, 0.1), (0.05, 1.0)],
    sand.layer_volume: [(0.0, 500.0), (0.001, 0.3)],
    sand.layer_mass: [(0.0, 0.002), (1440, 1600)],
    sand.layer_depth: [(0.0, 3.2), (1440, 1600)],
    sand.delivered_mass: [(0, 9000), (0.0, 0.05), (0.0, 0.03)],
    sand.dry_mass: [(0, 9000), (0.0, 0.05), (0.0, 0.03)],
    packs.whole_packs: [(0.0, 61.0), (20.0, 25.0)],
    seed.pure_live_seed: [(0.9, 1.0), (0.0, 0.85)],
    seed.sowing_rate: [(0.0, 0.01), (0.5, 1.0)],
    fertiliser.product_rate: [(0.0, 0.003), (0.12, 1.0)],
    fertiliser.nutrient_rate: [(0.0, 0.025), (0.0, 0.12)],
    fertiliser.weight_in_volume: [(0.0, 0.28), (1000, 1270)],
    fertiliser.liquid_nutrient_rate: [(0.0, 4e-6), (0.0, 180)],
    fertiliser.liquid_product_rate: [(0.0, 0.0007), (90, 180)],
    spread.true_rate: [(0.0, 0.002), (500, 600), (600, 700)],
    mowing.working_width: [(0.56, 1.5), (0.0, 0.1)],
    mowing.field_capacity: [(0.5, 1.5), (1.0, 2.0), (0.7, 1.0)],
    mowing.mowing_time: [(0.0, 500.0), (0, 85), (0.56, 1.5), (1.0, 2.0), (0.7, 1.0), (0.0, 0.1)],
    passes.pass_spacing: [(9.5, 10.0), (1.45, 2.1)],
    turns.turn_length: [(0.5, 2.0), (0.0, 1.5)],
    turns.turn_time: [(0.5, 2.0), (0.0, 1.5), (1.0, 2.0)],
    turns.emptying_stops: [(0.0, 500.0), (0.0, 5e-5), (0.06, 0.1)],
    turns.waiting_time: [(0.0, 45.0), (0.0, 0.25)],
    fuel.diesel_rate_average: [(4e3, 18e3)],
    fuel.petrol_rate_average: [(4e3, 18e3)],
    fuel.diesel_rate_at_load: [(4e3, 18e3), (0.3, 1.0)],
    fuel.petrol_rate_at_load: [(4e3, 18e3), (0.3, 1.0)],
    geodesy.offset_area_uncertainty: [(0.0, 85.0), (0.0, 0.3)],
    geodesy.true_area_factor: [(0.0, 0.5)],
    scarify.slit_area_share: [(0.002, 0.003), (0.02, 0.0254)],
    scarify.slit_length: [(0.02, 0.0254)],
    scarify.slit_volume: [(0.002, 0.003), (0.02, 0.0254), (0.0, 0.02)],
    scarify.debris_volume: [(0.0, 500.0), (0.002, 0.003), (0.02, 0.0254), (0.0, 0.02), (1.0, 3.0)],
    divots.worn_mix_volume: [(0.0, 400.0), (0.0, 0.1), (0.0, 0.015)],
    divots.mix_for_rounds: [(0, 2100), (0.0, 0.25)],
    divots.sand_and_seed: [(0.0, 0.5), (1, 4), (0, 1)],
    divots.masses_by_volume: [(0.0, 0.5), (1, 4), (0, 1), (1440, 1600), (300, 400)],
    divots.masses_by_weight: [(0.0, 0.5), (1, 4), (0, 1), (1440, 1600), (300, 400)],
    repairs.strip_area: [(0.0, 85.0), (0.0, 0.3)],
    repairs.turf_to_lay: [(0.0, 120.0), (0.0, 0.05)],
    repairs.turf_packs: [(0.0, 120.0), (0.0, 0.05), (0.6, 40.0)],
    bunkers.bunker_sand_volume: [(0.0, 80.0), (0.0, 0.12), (0.0, 40.0), (0.0, 0.06), (1.0, 1.15), (1.0, 1.05)],
    bunkers.liner_area: [(0.0, 80.0), (0.0, 40.0), (0.0, 0.1), (1.0, 1.15)],
    liquids.liquid_volume: [(0.0, 12_000.0), (0.0, 4e-5)],
    liquids.tank_loads: [(0.0, 0.480), (0.2, 0.3)],
    liquids.tank_area: [(0.0, 0.2), (4e-5, 8e-5)],
    liquids.tank_dose: [(0.0, 0.2), (4e-5, 8e-5), (0.0, 2e-7)],
    liquids.product_for_active: [(0.0, 2e-4), (0.5, 1.0)],
    calibration.travel_speed: [(40.0, 50.0), (20.0, 30.0)],
    calibration.application_volume: [(0.0, 2e-4), (1.2, 1.7), (0.5, 6.0)],
    calibration.flow_for_volume: [(0.0, 4e-5), (1.2, 1.7), (0.5, 6.0)],
    calibration.speed_for_volume: [(2e-5, 4e-5), (0.0, 2e-4), (0.5, 6.0)],
    calibration.caught_rate: [(0.0, 0.35), (1.0, 10.0), (0.5, 6.0)],
    calibration.strip_length: [(0.0, 31.6), (0.5, 6.0)],
    calibration.reached_share: [(0.0, 0.05)],
    ledger.yearly_depth: [(0.0, 1e5), (9000.0, 1e4), (1440, 1600), (1, 3)],
    ledger.mass_beyond: [(0.0, 12_000.0), (9000.0, 1e4), (1e4, 1.2e4)],
    ledger.edge_build_up: [(0.0, 5000.0), (1200.0, 1500.0), (1440, 1600)],
    ledger.nutrient_load: [(0.0, 11.5), (1e4, 1.2e4)],
    heads.wetted_area: [(9.0, 18.0), (1.5, 6.0)],
    heads.application_rate: [(0.0, 6.0), (0.0, 0.001), (9.0, 18.0), (1.5, 6.0), (0.0, 1.0)],
    run_times.precipitation_rate: [(0.0, 0.001), (100.0, 324.0)],
    run_times.run_time: [(0.0, 0.01), (3e-6, 6e-6), (0.7, 1.0)],
    run_times.longest_cycle: [(4e-6, 6e-6), (2e-6, 3e-6), (0.0, 0.001)],
    run_times.cycle_count: [(0.0, 1500.0), (600.0, 700.0)],
    run_times.soak_time: [(0.0, 600.0), (1e-6, 6e-6), (2e-6, 3e-6)],
    uniformity.low_count: [(15.0, 46.0), (0.25, 0.5)],
    uniformity.scheduling_coefficient: [(0.0, 12.0), (7.0, 8.0)],
    sunshine.radiation_from_sunshine: [(0.0, 25.1e6), (0.0, 25_560.0), (39_240.0, 43_200.0)],
    sunshine.clear_sky_radiation: [(0.0, 41e6), (0.0, 100.0)],
    evapotranspiration.psychrometric_constant: [(81_800.0, 101_300.0)],
    evapotranspiration.wind_at_two_metres: [(0.0, 3.2), (2.0, 10.0)],
    water_balance.effective_rain: [(0.0, 0.01), (0.0, 0.8)],
    water_balance.gross_volume: [(0.0, 0.005), (0.0, 10_000.0), (0.75, 1.0)],
    water_balance.days_between: [(0.018, 0.02), (0.4, 0.5), (0.003, 0.004)],
    growth.contingency_sum: [(0.0, 80_000.0), (0.0, 0.05)],
    growth.tax_sum: [(0.0, 100.0), (0.0, 0.2)],
    growth.net_of_tax: [(0.0, 120.0), (0.0, 0.2)],
    spots.weekly_growth: [(0.0, 12.0), (0.0, 20.0), (7, 28)],
    stems.stem_diameter: [(0.3, 1.57)],
    drift.disc_loss_share: [(12.0, 13.4), (0.0, 3.0)],
    drift.mean_retreat: [(0.0, 520.0), (0.0, 500.0), (80.0, 90.0), (78.0, 85.0)],
    drift.difference_uncertainty: [(0.0, 8.0), (0.0, 5.0)],
}
# Checked in their own files: names, whole rings or whole rows among the arguments, or figures that may be below zero.
APART = {
    evapotranspiration.air_pressure,
    evapotranspiration.evapotranspiration_hargreaves,
    evapotranspiration.evapotranspiration_penman_monteith,
    evapotranspiration.mean_saturation,
    evapotranspiration.saturation_slope,
    evapotranspiration.saturation_vapour_pressure,
    evapotranspiration.vapour_pressure,
    evapotranspiration.vapour_pressure_from_mean,
    sunshine.daylight,
    sunshine.extraterrestrial_radiation,
    sunshine.net_longwave_radiation,
    sunshine.net_radiation,
    sunshine.radiation_from_temperature,
    sunshine.solar_declination,
    sunshine.temperature_range,
    water_balance.evening_levels,
    water_balance.water_balance,
    uniformity.christiansen_uniformity,
    uniformity.low_half_uniformity,
    uniformity.low_quarter_uniformity,
    exposure.vibration_exposure,
    exposure.noise_exposure,
    change.split_change,
    change.whole_steps,
    drift.trend,
    fitting.condition_number,
    fitting.estimate_correlations,
    fitting.least_squares,
    growth.grown_price,
    fertiliser.element_from_oxide,
    passes.pass_directions,
    passes.passes_over_shapes,
    geodesy.ring_area,
    geodesy.ring_areas,
    geodesy.vertex_area_uncertainty,
    coverage.cell_shares,
    coverage.parted_edges,
    slopes.area_factor_noise,
    slopes.aspect,
    slopes.gradient_area_factor,
    slopes.gradient_noise,
    slopes.height_noise,
    slopes.horn_gradient,
    slopes.shade,
    slopes.slope_angle,
    slopes.smoothed,
    slopes.smoothing_weights,
    slopes.triangle_area_factor,
    tanks.along_tanks,
    tanks.tank_mixes,
    tanks.tank_volumes,
}


def public_formulas():
    for module in MODULES:
        for name, function in inspect.getmembers(module, inspect.isfunction):
            if function.__module__ == module.__name__ and not name.startswith("_"):
                yield function


def test_no_formula_is_left_out():
    assert set(public_formulas()) == set(CASES) | APART


@pytest.mark.parametrize("formula", CASES, ids=lambda formula: formula.__name__)
def test_arrays_give_what_scalars_give(formula):
    """Each argument along an axis of its own, so that broadcasting is tried as well."""
    pairs = CASES[formula]
    arrays = [np.reshape(pair, [-1 if k == at else 1 for k in range(len(pairs))]) for at, pair in enumerate(pairs)]
    scalars = [formula(*values) for values in itertools.product(*pairs)]
    whole = formula(*arrays)
    if isinstance(whole, tuple):
        whole = np.stack(np.broadcast_arrays(*whole), axis=-1)
    assert whole.ravel() == pytest.approx(np.ravel(scalars), rel=1e-14)


@pytest.mark.parametrize("formula", CASES, ids=lambda formula: formula.__name__)
def test_a_scalar_comes_back_as_a_number(formula):
    result = formula(*(pair[1] for pair in CASES[formula]))
    for number in result if isinstance(result, tuple) else (result,):
        assert isinstance(number, (int, float))
        assert math.isfinite(number)


@pytest.mark.parametrize("bad", [math.nan, math.inf, "3", None, True, [[0.1], [0.1, 0.2]]], ids=repr)
@pytest.mark.parametrize(
    ("formula", "at"),
    [
        pytest.param(formula, at, id=f"{formula.__name__}-{at}")
        for formula in CASES
        for at in range(len(CASES[formula]))
    ],
)
def test_what_is_not_a_finite_number_is_refused(formula, at, bad):
    values = [pair[1] for pair in CASES[formula]]
    values[at] = bad
    with pytest.raises(InputError, match="must be"):
        formula(*values)


@pytest.mark.parametrize(
    ("formula", "at"),
    [
        pytest.param(formula, at, id=f"{formula.__name__}-{at}")
        for formula in CASES
        for at in range(len(CASES[formula]))
    ],
)
def test_nothing_below_zero_is_accepted(formula, at):
    values = [list(pair) for pair in CASES[formula]]
    values[at][1] = -values[at][1]
    with pytest.raises(InputError, match="value 2 of 2 is -"):
        formula(*values)


@pytest.mark.parametrize("formula", list(public_formulas()), ids=lambda formula: formula.__name__)
def test_docstring_is_whole(formula):
    text = inspect.getdoc(formula) or ""
    for heading in ("Parameters", "Returns", "Raises", "Notes", "Examples"):
        assert f"\n{heading}\n{'-' * len(heading)}\n" in text
    assert ">>> " in text
    for name in inspect.signature(formula).parameters:
        assert name in text.split("Parameters")[1].split("Returns")[0]


def test_input_error_is_one_of_the_family():
    assert issubclass(InputError, TurfgisError)
    assert issubclass(InputError, ValueError)
