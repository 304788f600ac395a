"""
Numbers of holes by position, on a made-up plan of two holes that run side by side.

How a hole is drawn (from tee to green) is that of OpenStreetMap's golf=hole; the rules and reaches are our own, so each
is held to the plan one would draw to explain it. Real hole lines: tests/real/test_nets.py.
"""

import numpy as np
import pytest
import shapely
from shapely import LineString, Point, box

from turfgis.measure.holes import GREEN_REACH_M, REACH_M, TEE_REACH_M, holes_by_position

# Hole 7 runs north from (0, 0) to its green at (0, 350), hole 8 back south from (120, 340) to (120, 0).
SEVEN, EIGHT = LineString([(0, 0), (5, 200), (0, 350)]), LineString([(120, 340), (118, 150), (120, 0)])
GREEN_SEVEN, GREEN_EIGHT = Point(0, 352).buffer(12), Point(120, -3).buffer(12)


def numbered(*drawn, lines=(SEVEN, EIGHT), numbers=("7", "8")):
    """Holes of shapes given as (surface, shape)."""
    surface = np.array([name for name, _ in drawn], dtype=object)
    shapes = np.array([shape for _, shape in drawn], dtype=object)
    found = holes_by_position(shapes, surface, np.array(lines, dtype=object), np.array(numbers, dtype=object))
    return found.tolist()


def test_the_green_at_the_end_of_the_line():
    assert numbered(("green", GREEN_SEVEN), ("green", GREEN_EIGHT)) == ["7", "8"]


def test_a_line_that_stops_short_of_its_green():
    near = Point(0, 350 + 12 + GREEN_REACH_M - 1).buffer(12)
    far = Point(0, 350 + 12 + GREEN_REACH_M + 1).buffer(12)
    assert numbered(("green", near)) == ["7"]
    assert numbered(("green", far)) == [None]


def test_a_practice_green_beside_the_line_gets_no_number():
    """A green lies at the end of a line, not beside it."""
    assert numbered(("green", GREEN_SEVEN), ("green", Point(30, 150).buffer(12))) == ["7", None]


def test_a_double_green():
    """Holes 2 and 16 end on one green; both are named, the lower first."""
    second = LineString([(150, 700), (15, 360)])
    double = box(-20, 340, 25, 370)
    assert numbered(("green", double), lines=(second, SEVEN), numbers=("16", "2")) == ["2/16"]
    assert numbered(("green", double), lines=(second, SEVEN), numbers=("10", "9")) == ["9/10"]


def test_a_line_drawn_from_green_to_tee_is_turned():
    tee = box(-5, -3, 5, 3)
    drawn = (("green", GREEN_SEVEN), ("tee", tee), ("green", GREEN_EIGHT))
    assert numbered(*drawn, lines=(shapely.reverse(SEVEN), EIGHT)) == numbered(*drawn) == ["7", "7", "8"]


def test_the_next_tee_beside_a_green_does_not_turn_its_line():
    """The line of hole 8 begins 20 m from the green of hole 7, and stops 3 m short of its own: it is not reversed."""
    eight = LineString([(20, 365), (120, 12.5)])
    drawn = (("green", GREEN_SEVEN), ("green", GREEN_EIGHT), ("tee", box(18, 363, 22, 367)))
    assert numbered(*drawn, lines=(SEVEN, eight)) == ["7", "8", "8"]


def test_tees_about_the_start_of_the_line():
    back, forward = box(-4, -40, 4, -32), box(-10, 90, -2, 98)
    assert numbered(("tee", back), ("tee", forward)) == ["7", "7"]
    assert numbered(("tee", box(-4, -TEE_REACH_M - 10, 4, -TEE_REACH_M - 2))) == [None]


def test_the_tee_beside_the_green_belongs_to_the_hole_that_starts_there():
    """A tee 20 m from the end of hole 7 and 100 m from the start of hole 8 is of neither: none stands at its green."""
    assert numbered(("tee", box(90, 336, 98, 344)), ("tee", box(15, 346, 23, 354))) == ["8", None]


def test_a_fairway_belongs_to_the_line_that_runs_furthest_in_it():
    """A fairway of both holes: hole 8 runs 300 m in it, hole 7 only 40 m."""
    both = box(-20, 20, 140, 320).difference(box(-21, 60, 60, 321))
    assert numbered(("fairway", both)) == ["8"]
    assert numbered(("fairway", box(-20, 60, 30, 320))) == ["7"]


def test_what_lies_beside_a_line_goes_to_the_nearest():
    assert numbered(("bunker", Point(-25, 180).buffer(5)), ("bunker", Point(95, 180).buffer(5))) == ["7", "8"]
    near, far = (Point(4.5 - REACH_M - 5 + step, 180).buffer(5) for step in (1, -1))  # the line is at x = 4.5 m there
    assert numbered(("bunker", near), ("bunker", far)) == ["7", None]


@pytest.mark.parametrize("surface", ["collar", "surround", "approach", "bunker", "fairway"])
def test_what_goes_with_a_hole_is_numbered_by_its_line(surface):
    assert numbered((surface, Point(0, 352).buffer(14).difference(GREEN_SEVEN))) == ["7"]


@pytest.mark.parametrize("surface", ["rough", "semi-rough", "water", "path", "other"])
def test_ground_that_holes_share_is_numbered_only_where_one_line_crosses_it(surface):
    assert numbered((surface, box(-30, 100, 30, 140))) == ["7"]
    assert numbered((surface, box(-30, 100, 150, 140))) == [None]
    assert numbered((surface, box(40, 100, 60, 140))) == [None]


def test_a_line_in_pieces_is_read_in_the_order_of_its_pieces():
    pieces = shapely.MultiLineString([[(0, 0), (5, 200)], [(5, 210), (0, 350)]])
    drawn = (("green", GREEN_SEVEN), ("tee", box(-4, -8, 4, 0)))
    assert numbered(*drawn, lines=(pieces, EIGHT)) == ["7", "7"]


def test_practice_lines_and_words_are_carried_as_they_are():
    assert numbered(("green", GREEN_SEVEN), lines=(SEVEN,), numbers=("practice",)) == ["practice"]
    second = LineString([(150, 700), (2, 360)])
    assert numbered(("green", GREEN_SEVEN), lines=(SEVEN, second), numbers=("East 7", "3")) == ["3/East 7"]


def test_without_lines_or_shapes_nothing_is_numbered():
    assert numbered(("green", GREEN_SEVEN), lines=(), numbers=()) == [None]
    assert numbered() == []


def test_the_order_of_shapes_and_lines_does_not_matter():
    rng = np.random.default_rng(6)
    drawn = [("green", GREEN_SEVEN), ("green", GREEN_EIGHT), ("rough", box(-60, -60, 200, 420))]
    drawn += [("tee", box(x, y, x + 6, y + 6)) for x, y in ((-3, -10), (115, 345), (-8, 40))]
    drawn += [("bunker", Point(x, y).buffer(4)) for x, y in rng.uniform((-80, -20), (180, 380), (20, 2))]
    found = dict(zip([shape.wkt for _, shape in drawn], numbered(*drawn), strict=True))
    mixed = [drawn[place] for place in rng.permutation(len(drawn))]
    again = numbered(*mixed, lines=(EIGHT, SEVEN), numbers=("8", "7"))
    assert dict(zip([shape.wkt for _, shape in mixed], again, strict=True)) == found
