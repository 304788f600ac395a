"""Turf for repairs: laws and limits. Printed figures: tests/reference/test_year.py."""

import math

import pytest
from shapely.geometry import Point, box

from turfgis.errors import InputError
from turfgis.formulas.repairs import strip_area, turf_packs, turf_to_lay


def test_strip_as_shapely_draws_it():
    """A buffer round a rectangle: the plain product along the edge, and pi times the square of the width (Steiner)."""
    patch = box(0, 0, 30, 20)
    ring = patch.buffer(0.5, quad_segs=512).area - patch.area
    assert strip_area(patch.length, 0.5) + math.pi * 0.5**2 == pytest.approx(ring, rel=1e-6)


def test_strip_along_its_middle_is_exact():
    ring = Point(0, 0).buffer(22, quad_segs=4096).area - Point(0, 0).buffer(20, quad_segs=4096).area
    assert strip_area(2 * math.pi * 21, 2) == pytest.approx(ring, rel=1e-6)


def test_no_loss_orders_the_area():
    assert turf_to_lay(120, 0) == 120
    assert turf_to_lay(240, 0.07) == pytest.approx(2 * turf_to_lay(120, 0.07), rel=1e-14)


@pytest.mark.parametrize(("area", "packs"), [(0, 0), (1e-3, 1), (39.9, 1), (40, 1), (40.1, 2), (0.1 * 3 / 0.3 * 40, 1)])
def test_packs_cover_the_area_and_no_more(area, packs):
    assert turf_packs(area, 0, 40) == packs


def test_the_loss_can_open_a_pack():
    assert turf_packs(39, 0.02, 40) == 1
    assert turf_packs(39, 0.03, 40) == 2


@pytest.mark.parametrize(
    ("formula", "arguments", "words"),
    [
        (strip_area, (-1, 0.3), "edge length must be 0 m or more"),
        (strip_area, (85, -0.3), "strip width must be 0 m or more"),
        (turf_to_lay, (-1, 0.05), "area must be 0 m2 or more"),
        (turf_to_lay, (120, -0.05), "trim loss must be 0 or more"),
        (turf_packs, (120, 0.05, 0), "pack area must be greater than 0 m2"),
    ],
)
def test_what_has_no_meaning_is_refused(formula, arguments, words):
    with pytest.raises(InputError, match=words):
        formula(*arguments)
