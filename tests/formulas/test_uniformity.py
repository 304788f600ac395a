"""Uniformity: limits, scaling and the rule for numbers of cans that cannot be parted into four."""

import numpy as np
import pytest

from turfgis.errors import InputError
from turfgis.formulas.uniformity import (
    christiansen_uniformity,
    low_count,
    low_half_uniformity,
    low_quarter_uniformity,
    scheduling_coefficient,
)

MEASURES = [low_quarter_uniformity, low_half_uniformity, christiansen_uniformity]


@pytest.mark.parametrize("measure", MEASURES)
def test_water_that_falls_evenly(measure):
    assert measure([7.0] * 13) == pytest.approx(1.0, rel=1e-14)


@pytest.mark.parametrize("measure", MEASURES)
def test_neither_unit_nor_order_matters(measure):
    cans = np.random.default_rng(3).uniform(2, 20, 46)
    assert measure(cans * 25.4) == pytest.approx(measure(cans), rel=1e-13)
    assert measure(cans[::-1]) == pytest.approx(measure(cans), rel=1e-13)


def test_a_dry_quarter_is_a_uniformity_of_nothing():
    assert low_quarter_uniformity([0, 10, 10, 10]) == 0.0
    assert low_half_uniformity([0, 10, 10, 10]) == pytest.approx(5 / 7.5)


def test_quarter_of_an_even_spread():
    # cans from 0 to 1 in even steps: the lowest quarter has a mean of 1/8, all of 1/2; their mean absolute gap is 1/4
    cans = (np.arange(100_000) + 0.5) / 100_000
    assert low_quarter_uniformity(cans) == pytest.approx(0.25, rel=1e-9)
    assert low_half_uniformity(cans) == pytest.approx(0.5, rel=1e-9)
    assert christiansen_uniformity(cans) == pytest.approx(0.5, rel=1e-9)


@pytest.mark.parametrize(("count", "low"), [(1, 1), (2, 1), (4, 1), (5, 1), (6, 2), (9, 2), (10, 3), (14, 4), (16, 4)])
def test_nearest_whole_number_of_cans_halves_upward(count, low):
    assert low_count(count, 0.25) == low


def test_most_of_the_water_in_one_can_gives_less_than_nothing():
    assert christiansen_uniformity([40, 0, 0, 0]) == pytest.approx(-0.5)


@pytest.mark.parametrize("measure", MEASURES)
@pytest.mark.parametrize(
    ("cans", "words"),
    [([], "row of readings"), ([[1.0, 2.0], [3.0, 4.0]], "row of readings"), ([0, 0, 0], "no can"), ([3, -1], "-1")],
)
def test_what_says_nothing_is_refused(measure, cans, words):
    with pytest.raises(InputError, match=words):
        measure(cans)


def test_a_driest_place_without_water_has_no_factor():
    with pytest.raises(InputError, match="driest"):
        scheduling_coefficient(12.0, 0.0)
