"""Strips and overthrow: plain geometry of circles and squares, worked by hand."""

import math

import numpy as np
import pytest
import shapely
from shapely import box

from turfgis.errors import InputError
from turfgis.measure.nets import share_ground
from turfgis.measure.strips import already_drawn, overthrow_areas, strips
from turfgis.measure.treated import with_treated


def circle(x, y, radius):
    return shapely.Point(x, y).buffer(radius, quad_segs=500)


def lens(radius, apart):
    """Common ground of two circles of one size: 2 r^2 acos(d / 2r) - d / 2 sqrt(4 r^2 - d^2)."""
    return 2 * radius**2 * math.acos(apart / (2 * radius)) - apart / 2 * math.sqrt(4 * radius**2 - apart**2)


@pytest.mark.parametrize(("radius", "width"), [(12.0, 1.0), (15.0, 0.6), (4.0, 3.0)])
def test_a_strip_round_a_circle_is_a_ring(radius, width):
    (ring,) = strips(np.array([circle(5, 7, radius)]), width)
    assert ring.area == pytest.approx(math.pi * ((radius + width) ** 2 - radius**2), rel=5e-4)


def test_a_strip_round_a_square_has_round_corners():
    """Four sides of 10 m by 1 m and a whole circle of 1 m radius at the corners."""
    (strip,) = strips(np.array([box(0, 0, 10, 10)]), 1.0)
    assert strip.area == pytest.approx(40 + math.pi, rel=2e-4)


def test_a_cut_out_is_outside_too():
    """A square of 20 m with a hole of 6 m: 4 x 20 + pi outside, 6 x 6 - 4 x 4 inside."""
    (strip,) = strips(np.array([box(0, 0, 20, 20).difference(box(7, 7, 13, 13))]), 1.0)
    assert strip.area == pytest.approx(80 + math.pi + 20, rel=2e-4)


def test_two_greens_close_by_share_their_strips_without_counting_twice():
    """Middles 25 m apart, radii 12 m, strips of 1 m: the rings overlap in the lens of two circles of 13 m."""
    greens = np.array([circle(0, 0, 12), circle(25, 0, 12)])
    rings = strips(greens, 1.0)
    whole = math.pi * (13**2 - 12**2)
    assert shapely.area(rings) == pytest.approx([whole, whole], rel=5e-4)
    net = share_ground(np.append(greens, rings), np.array([0, 0, 5, 5])).net
    assert shapely.area(net[2:]) == pytest.approx([whole, whole - lens(13, 25)], rel=5e-4)


def test_a_strip_does_not_run_over_the_next_green():
    """Middles 24.5 m apart: each ring loses what reaches into the other green of 12 m, by circles of 13 and 12 m."""
    greens = np.array([circle(0, 0, 12), circle(24.5, 0, 12)])
    rings = strips(greens, 1.0)
    assert shapely.area(shapely.intersection(rings, greens[::-1])) == pytest.approx([0, 0], abs=1e-9)
    d, big, small = 24.5, 13.0, 12.0
    at = (d**2 + big**2 - small**2) / (2 * d)  # where the chord of the two circles crosses the line of the middles
    segments = sum(r**2 * math.acos(c / r) - c * math.sqrt(r**2 - c**2) for r, c in ((big, at), (small, d - at)))
    assert shapely.area(rings) == pytest.approx([math.pi * 25 - segments] * 2, rel=5e-4)


def test_far_apart_greens_get_what_each_gets_alone():
    greens = np.array([circle(100 * place, 0, 5 + place) for place in range(20)])
    together = strips(greens, 2.0)
    alone = [strips(greens[[place]], 2.0)[0] for place in range(20)]
    assert shapely.area(together) == pytest.approx(shapely.area(alone), rel=1e-12)


GREEN = circle(0, 0, 12)
RING = circle(0, 0, 13.2).difference(GREEN)


@pytest.mark.parametrize(
    ("drawn", "there"),
    [
        pytest.param([RING], True, id="a ring that shares the border"),
        pytest.param([circle(0, 0, 13.2)], True, id="drawn under the green, not cut out"),
        pytest.param([circle(0, 0, 13).difference(circle(0, 0, 12.1))], True, id="a ring that misses it by 0.1 m"),
        pytest.param([RING.intersection(box(-3, -20, 20, 20))], True, id="more than half round"),
        pytest.param([RING.intersection(box(3, -20, 20, 20))], False, id="less than half round"),
        pytest.param(
            [RING.intersection(box(-20, 0, 20, 20)), RING.intersection(box(-20, -20, 20, 0))], True, id="in two halves"
        ),
        pytest.param([circle(30, 0, 13).difference(circle(30, 0, 12))], False, id="round another green"),
        pytest.param([circle(0, 0, 16).difference(circle(0, 0, 14))], False, id="a ring two metres off"),
        pytest.param([], False, id="nothing drawn"),
    ],
)
def test_whether_a_strip_is_drawn_already(drawn, there):
    assert already_drawn(np.array([GREEN]), np.array(drawn, dtype=object), 1.0).tolist() == [there]


def test_each_green_is_asked_for_itself():
    greens = np.array([GREEN, shapely.transform(GREEN, lambda xy: np.add(xy, (40, 0)))])
    assert already_drawn(greens, np.array([RING]), 1.0).tolist() == [True, False]


# --- overthrow --------------------------------------------------------------------------------------------------------

SQUARE_RIM = 4 * 10 * 0.5 + math.pi * 0.5**2  # half a metre round a square of 10 m


def test_overthrow_of_a_square():
    assert overthrow_areas(np.array([box(0, 0, 10, 10)]), 0.5) == pytest.approx([SQUARE_RIM], rel=1e-4)


def test_overthrow_onto_a_treated_neighbour_is_not_counted():
    """
    Two squares of 10 m side by side have the rim of the rectangle of 20 x 10 m between them.

    The first has three sides and four round corners of it, the second what is left.
    """
    rims = overthrow_areas(np.array([box(0, 0, 10, 10), box(10, 0, 20, 10)]), 0.5)
    first, whole = 3 * 10 * 0.5 + math.pi * 0.25, 60 * 0.5 + math.pi * 0.25
    assert rims == pytest.approx([first, whole - first], rel=1e-3)


def test_ground_within_reach_of_two_is_counted_for_the_first():
    """
    Squares 0.6 m apart, reach 0.5 m: both reach a band of 0.4 x 10 m and, at its two ends, half a lens each of two
    circles of 0.5 m that are 0.6 m apart.
    """
    rims = overthrow_areas(np.array([box(0, 0, 10, 10), box(10.6, 0, 20.6, 10)]), 0.5)
    assert rims == pytest.approx([SQUARE_RIM, SQUARE_RIM - 4.0 - lens(0.5, 0.6)], rel=1e-3)


def test_overthrow_of_a_convex_shape_by_steiner():
    """Steiner's formula for convex shapes: perimeter x reach + pi reach^2."""
    shape = shapely.Polygon([(0, 0), (9, -2), (14, 3), (10, 9), (2, 7)])
    assert overthrow_areas(np.array([shape]), 0.6)[0] == pytest.approx(shape.length * 0.6 + math.pi * 0.36, rel=1e-4)


@pytest.mark.parametrize("reach", [0.0, -0.5])
def test_without_reach_there_is_no_overthrow(reach):
    assert overthrow_areas(np.array([box(0, 0, 10, 10)]), reach).tolist() == [0.0]


def test_treated_areas_are_net_and_rim_surface_by_surface(table):
    """A green of 10 x 10 m and the collar beside it: what is thrown from one onto the other counts for the one."""
    patches = table([box(0, 0, 10, 10), box(10, 0, 14, 10)], surface=["green", "collar"], net_m2=[100.0, 40.0])
    treated = with_treated(patches, 0.5)
    assert treated["treated_m2"].tolist() == pytest.approx([100 + SQUARE_RIM, 40 + 28 * 0.5 + math.pi * 0.25], rel=1e-4)
    assert "treated_m2" not in patches


def test_a_reach_below_zero_is_refused(table):
    with pytest.raises(InputError, match=r"cannot be below zero: -0\.5 m"):
        with_treated(table([box(0, 0, 1, 1)], surface=["green"], net_m2=[1.0]), -0.5)
