"""Spreading: the mass stays. Printed figures: tests/reference/test_materials.py."""

import pytest

from turfgis.errors import InputError
from turfgis.formulas.spread import true_rate


def test_no_overthrow_leaves_the_rate():
    assert true_rate(0.0035, 500, 500) == 0.0035


def test_the_mass_is_the_same_on_both_areas():
    assert true_rate(0.0035, 500, 561) * 561 == pytest.approx(0.0035 * 500, rel=1e-14)


def test_noise_in_equal_areas_is_no_error():
    assert true_rate(0.0035, 500, 500 * (1 - 1e-13)) == pytest.approx(0.0035, rel=1e-12)


def test_less_treated_than_meant_is_refused():
    with pytest.raises(InputError, match="treated area is smaller than net area"):
        true_rate(0.0035, [500, 500], [600, 400])


@pytest.mark.parametrize("areas", [(0, 500), (500, 0)])
def test_no_area_is_refused(areas):
    with pytest.raises(InputError, match="area must be greater than 0 m2"):
        true_rate(0.0035, *areas)
