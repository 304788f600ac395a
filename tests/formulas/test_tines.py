"""Tines: laws and limits. Printed figures: tests/reference/test_materials.py."""

import math

import numpy as np
import pytest
from shapely.geometry import Point, box
from shapely.ops import unary_union

from turfgis.errors import InputError
from turfgis.formulas.tines import combined_share, hole_area_share, hole_density, hole_volume


def test_share_grows_with_the_square_of_the_diameter():
    assert hole_area_share(0.020, 0.05, 0.06) == pytest.approx(4 * hole_area_share(0.010, 0.05, 0.06), rel=1e-14)


def test_share_halves_where_a_spacing_doubles():
    assert hole_area_share(0.012, 0.10, 0.05) == pytest.approx(hole_area_share(0.012, 0.05, 0.05) / 2, rel=1e-14)


def test_holes_that_touch_open_a_quarter_of_pi():
    assert hole_area_share(0.05, 0.05, 0.05) == pytest.approx(math.pi / 4, rel=1e-14)


def test_share_does_not_depend_on_the_direction():
    assert hole_area_share(0.012, 0.04, 0.06) == hole_area_share(0.012, 0.06, 0.04)


def test_share_as_drawn_by_shapely():
    holes = unary_union([Point(0.05 * i, 0.04 * j).buffer(0.006, quad_segs=256) for i in range(11) for j in range(11)])
    patch = box(0.025, 0.02, 0.475, 0.38)
    assert hole_area_share(0.012, 0.05, 0.04) == pytest.approx(holes.intersection(patch).area / patch.area, rel=1e-4)


def test_twenty_by_twenty_holes_to_the_square_metre():
    assert hole_density(0.05, 0.05) == pytest.approx(400, rel=1e-14)


def test_volume_is_share_times_depth():
    assert hole_volume(0.012, 0.05, 0.05, 0.0) == 0
    assert hole_volume(0.012, 0.05, 0.05, 1.0) == hole_area_share(0.012, 0.05, 0.05)


def test_random_passes_leave_the_product_of_what_each_leaves():
    opened = 0.0
    for _ in range(10):
        opened = combined_share(opened, 0.05)
    assert opened == pytest.approx(1 - 0.95**10, rel=1e-12)


def test_combined_share_limits():
    assert combined_share(0.07, 0.0) == 0.07
    assert combined_share(0.07, 1.0) == 1.0
    assert combined_share(0.07, 0.05) < 0.07 + 0.05


def test_overlapping_holes_are_refused_with_the_figures():
    with pytest.raises(InputError, match=r"holes overlap: diameter 12 m is wider than the closest spacing 0\.05 m"):
        hole_area_share(12, 0.05, 0.06)


def test_overlapping_holes_are_found_in_an_array():
    with pytest.raises(InputError, match=r"diameter 0\.06 m is wider than the closest spacing 0\.04 m"):
        hole_area_share(np.array([0.01, 0.06]), [0.05, 0.05], 0.04)


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        ((0.0, 0.05, 0.05), "hole diameter must be greater than 0 m, but it is 0 m"),
        ((0.012, 0.0, 0.05), "spacing along must be greater than 0 m"),
        ((0.012, 0.05, 0.0), "spacing across must be greater than 0 m"),
    ],
)
def test_zero_is_refused(arguments, words):
    with pytest.raises(InputError, match=words):
        hole_area_share(*arguments)


def test_share_above_one_is_refused():
    with pytest.raises(InputError, match=r"second share must be a share from 0 to 1 \(85 % is 0\.85\), but it is 7"):
        combined_share(0.1, 7)
