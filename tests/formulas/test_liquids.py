"""Liquids: laws and limits. Printed figures: tests/reference/test_year.py."""

from fractions import Fraction

import numpy as np
import pytest

from turfgis.errors import InputError
from turfgis.formulas.liquids import liquid_volume, product_for_active, tank_area, tank_dose, tank_loads


def test_a_litre_to_the_square_metre_is_a_millimetre():
    assert liquid_volume(500, 0.001) == pytest.approx(0.5, rel=1e-14)


def test_a_full_tank_is_no_last_one():
    assert tank_loads(0.6, 0.2) == (3, 0)
    assert tank_loads(0.0, 0.2) == (0, 0)


def test_less_than_a_tank_is_all_last():
    assert tank_loads(0.15, 0.2) == (0, 0.15)


def test_sums_of_floats_that_are_whole_tanks():
    """Ten times 0.1 is not one in floats, and the volume of a spray is a sum over many patches."""
    for tanks in range(1, 400):
        assert tank_loads(sum([0.1] * (3 * tanks)), 0.3) == (tanks, 0)


def test_a_millilitre_over_is_mixed():
    full, last = tank_loads(0.600001, 0.2)
    assert full == 3
    assert last == pytest.approx(1e-6, rel=1e-6)


def test_against_exact_fractions():
    rng = np.random.default_rng(11)
    for volume, tank in rng.integers(1, 10_000, (200, 2)):
        full, last = tank_loads(volume / 7, tank / 70)
        exact, rest = divmod(Fraction(int(volume), 7), Fraction(int(tank), 70))
        assert full == exact
        assert last == pytest.approx(float(rest), rel=1e-9, abs=1e-9)


def test_nothing_is_left_over_or_short():
    rng = np.random.default_rng(12)
    volume, tank = rng.uniform(0, 5, 1000), rng.uniform(0.1, 1, 1000)
    full, last = tank_loads(volume, tank)
    assert full.dtype.kind == "i"
    assert (last >= 0).all()
    assert (last < tank).all()
    assert full * tank + last == pytest.approx(volume, rel=1e-12)


def test_doses_of_all_tanks_are_the_dose_of_the_area():
    area, rate, dose = 12_345.0, 4.3e-5, 2.1e-7
    full, last = tank_loads(liquid_volume(area, rate), 0.2)
    mixed = full * tank_dose(0.2, rate, dose) + tank_dose(last, rate, dose)
    assert mixed == pytest.approx(liquid_volume(area, dose), rel=1e-12)
    assert full * tank_area(0.2, rate) + tank_area(last, rate) == pytest.approx(area, rel=1e-12)


def test_pure_active_ingredient_is_its_own_product():
    assert product_for_active(2e-4, 1.0) == 2e-4
    assert product_for_active(2e-4, 0.25) == pytest.approx(4 * 2e-4, rel=1e-14)


@pytest.mark.parametrize(
    ("formula", "arguments", "words"),
    [
        (liquid_volume, (-1, 4e-5), "area must be 0 m2 or more"),
        (liquid_volume, (1, -4e-5), "volume rate must be 0 m3/m2 or more"),
        (tank_loads, (-1, 0.2), "volume must be 0 m3 or more"),
        (tank_loads, (1, 0), "tank volume must be greater than 0 m3"),
        (tank_area, (0.2, 0), "volume rate must be greater than 0 m3/m2"),
        (tank_dose, (0.2, 4e-5, -1), "dose rate must be 0 or more"),
        (product_for_active, (2e-4, 0), "active share must be a share above 0"),
        (product_for_active, (2e-4, 80), "active share must be a share above 0 and up to 1"),
    ],
)
def test_what_has_no_meaning_is_refused(formula, arguments, words):
    with pytest.raises(InputError, match=words):
        formula(*arguments)
