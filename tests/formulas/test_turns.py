"""Turns: paths followed step by step to where they must end, and limits."""

from math import acos, pi

import numpy as np
import pytest

from turfgis.errors import InputError
from turfgis.formulas.turns import emptying_stops, turn_length, turn_time, waiting_time


@pytest.mark.parametrize(("radius", "spacing"), [(2.0, 1.5), (2.0, 0.0), (1.0, 1.999), (0.8, 1.45)])
def test_a_bulb_ends_on_the_next_pass(radius, spacing):
    """Away from the next pass, round the long way, and back onto it: where the arcs lead, by their own geometry."""
    away = acos((2 * radius + spacing) / (4 * radius))
    assert turn_length(radius, spacing) == pytest.approx(radius * (pi + 4 * away), rel=1e-12)
    place, heading = np.zeros(2), pi / 2
    for left, angle in ((True, away), (False, pi + 2 * away), (True, away)):
        side = np.array([-np.sin(heading), np.cos(heading)]) * (1 if left else -1)
        centre = place + radius * side
        heading += angle if left else -angle
        side = np.array([-np.sin(heading), np.cos(heading)]) * (1 if left else -1)
        place = centre - radius * side
    assert place == pytest.approx([spacing, 0.0], abs=1e-9)
    assert np.cos(heading + pi / 2) == pytest.approx(1.0)  # back the way it came


def test_onto_the_same_pass_by_three_arcs():
    # Dubins' longest case: a sixth of a circle out, five sixths round, a sixth back
    assert turn_length(3.0, 0.0) == pytest.approx(3.0 * 2 * pi * (1 / 6 + 5 / 6 + 1 / 6))


def test_half_a_circle_where_the_next_pass_is_a_diameter_away():
    assert turn_length(2.0, 4.0) == pytest.approx(2 * pi)
    assert turn_length(2.0, 4.0 - 1e-9) == pytest.approx(2 * pi, rel=1e-3)
    # two quarter circles and a straight between
    assert turn_length(2.0, 10.0) == pytest.approx(2 * pi + 6.0)


def test_time_is_length_over_speed():
    assert turn_time(2.0, 10.0, 2.0) == pytest.approx(turn_length(2.0, 10.0) / 2)


def test_boxes():
    # 60 l hold what 0.05 l/m2 take off 1,200 square metres
    assert emptying_stops(1200, 5e-5, 0.06) == pytest.approx(1.0)
    assert emptying_stops(300, 5e-5, 0.06) == pytest.approx(0.25)


def test_a_quarter_of_the_whole_is_a_third_of_the_work():
    assert waiting_time(45.0, 0.25) == pytest.approx(15.0)
    assert waiting_time(45.0, 0.0) == 0.0
    with pytest.raises(InputError, match="below 1"):
        waiting_time(45.0, 1.0)
