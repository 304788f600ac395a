"""Bunkers: laws and limits. Printed figures: tests/reference/test_year.py."""

import math

import pytest

from turfgis.errors import InputError
from turfgis.formulas.bunkers import bunker_sand_volume, liner_area
from turfgis.formulas.geodesy import true_area_factor
from turfgis.formulas.sand import layer_volume


def test_without_a_face_it_is_a_layer():
    assert bunker_sand_volume(80, 0.12, 0, 0.06) == layer_volume(80, 0.12)


def test_one_depth_all_over_is_one_layer():
    assert bunker_sand_volume(80, 0.1, 40, 0.1) == pytest.approx(layer_volume(120, 0.1), rel=1e-14)


def test_a_face_at_sixty_degrees_takes_twice_its_area_on_the_map():
    factor = true_area_factor(math.radians(60))
    assert bunker_sand_volume(0, 0, 40, 0.06, factor) == pytest.approx(2 * layer_volume(40, 0.06), rel=1e-12)
    assert liner_area(0, 40, 0, factor) == pytest.approx(80, rel=1e-12)


def test_settling_is_added_to_floor_and_face():
    settled = bunker_sand_volume(80, 0.12, 40, 0.06, 1.15)
    assert bunker_sand_volume(80, 0.12, 40, 0.06, 1.15, 1.2) == pytest.approx(1.2 * settled, rel=1e-14)


def test_lap_is_added_to_floor_and_face():
    assert liner_area(80, 40, 0.1) == pytest.approx(1.1 * liner_area(80, 40, 0), rel=1e-14)
    assert liner_area(80, 40, 0) == 120


@pytest.mark.parametrize(
    ("formula", "arguments", "words"),
    [
        (bunker_sand_volume, (-80, 0.12, 40, 0.06), "floor area must be 0 m2 or more"),
        (bunker_sand_volume, (80, -0.12, 40, 0.06), "floor depth must be 0 m or more"),
        (bunker_sand_volume, (80, 0.12, -40, 0.06), "face area must be 0 m2 or more"),
        (bunker_sand_volume, (80, 0.12, 40, -0.06), "face depth must be 0 m or more"),
        (bunker_sand_volume, (80, 0.12, 40, 0.06, 0.15), r"face slope factor must be 1 or more .* but 0\.15 was given"),
        (bunker_sand_volume, (80, 0.12, 40, 0.06, 1, 0.05), r"settling factor must be 1 or more \(for 5 % write 1"),
        (liner_area, (80, 40, -0.1), "lap must be 0 or more"),
        (liner_area, (80, 40, 0.1, 0.9), "face slope factor must be 1 or more"),
    ],
)
def test_what_has_no_meaning_is_refused(formula, arguments, words):
    with pytest.raises(InputError, match=words):
        formula(*arguments)
