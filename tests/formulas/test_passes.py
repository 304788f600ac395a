"""Passes: closed forms of plane geometry, and laws. Against shapely on real shapes: real/test_passes.py."""

from math import ceil, cos, hypot, pi, radians, sin, sqrt

import numpy as np
import pytest

from turfgis.errors import InputError
from turfgis.formulas.passes import DIRECTIONS, pass_directions, pass_spacing, passes_over_shapes


def edges(*rings):
    """Edges of rings of corners; the first an outline, the others cut-outs, which run the other way round."""
    made = []
    for at, corners in enumerate(rings):
        ring = np.array(corners if at == 0 else corners[::-1], dtype=float)
        made.append(np.hstack([ring, np.roll(ring, -1, axis=0)]))
    return np.vstack(made)


def box(x0, y0, x1, y1):
    return [(x0, y0), (x1, y0), (x1, y1), (x0, y1)]


def over(outline, degrees, width, *cut_outs):
    made = edges(outline, *cut_outs)
    passes, length = passes_over_shapes(made, np.zeros(len(made), dtype=int), 1, [degrees], width)
    return passes.item(), length.item()


def circle(radius, corners=100_000):
    angle = np.linspace(0, 2 * pi, corners, endpoint=False)
    return radius * np.column_stack([np.cos(angle), np.sin(angle)])


@pytest.mark.parametrize(("wide", "width"), [(10.0, 2.0), (10.0, 1.45), (0.9, 1.45), (30.0, 0.51), (2.9, 1.45)])
def test_a_strip_takes_as_many_passes_as_widths_fit_in(wide, width):
    passes, length = over(box(0, 0, wide, 50.0), 0.0, width)
    assert passes == ceil(round(wide / width, 9))
    assert length == pytest.approx(passes * 50.0, rel=1e-12)


@pytest.mark.parametrize("degrees", [0.0, 17.0, 45.0, 90.0, 133.0])
def test_turning_strip_and_passes_together_changes_nothing(degrees):
    along, across = pass_directions(degrees)
    turned = np.array(box(0, 0, 9.7, 40.0)) @ np.vstack([across, along])
    assert over(turned, degrees, 1.45) == (7, pytest.approx(7 * 40.0, rel=1e-12))


def test_directions_are_clockwise_from_north():
    # a strip that runs from south-west to north-east is cut in one pass at 45 degrees
    strip = np.array([(0, 0), (1, -1), (31, 29), (30, 30)]) / sqrt(2)
    assert over(strip, 45.0, 1.5) == (1, pytest.approx(30.0))
    assert over(strip, 135.0, 1.5)[0] == 20


@pytest.mark.parametrize("degrees", [0.0, 20.0, 37.5, 60.0])
def test_a_rectangle_at_a_slant(degrees):
    """Chords of a rectangle of 40 by 25 m: a trapezium of lengths over its extent, summed on the same lines."""
    a, b, slant = 40.0, 25.0, radians(degrees)
    extent = a * cos(slant) + b * sin(slant)
    lines, spacing = pass_spacing(extent, 1.7)
    at = (np.arange(lines) + 0.5) * spacing
    full = min(b / cos(slant), a / sin(slant)) if degrees else b
    rise = min(a * cos(slant), b * sin(slant)) if degrees else 1e-12
    chords = full * np.minimum(1.0, np.minimum(at, extent - at) / rise)
    assert over(box(0, 0, a, b), degrees, 1.7) == (lines, pytest.approx(chords.sum(), rel=1e-9))


@pytest.mark.parametrize("degrees", [0.0, 30.0, 85.0])
@pytest.mark.parametrize("width", [0.51, 1.45, 2.0])
def test_the_chords_of_a_disc(degrees, width):
    radius = 12.0
    lines, spacing = pass_spacing(2 * radius, width)
    offset = (np.arange(lines) + 0.5) * spacing - radius
    passes, length = over(circle(radius), degrees, width)
    assert passes == lines
    assert length == pytest.approx((2 * np.sqrt(radius**2 - offset**2)).sum(), rel=1e-7)


def test_a_ring_parts_the_passes_that_meet_its_hole():
    outer, inner = 15.0, 6.0
    lines, spacing = pass_spacing(2 * outer, 1.0)
    offset = np.abs((np.arange(lines) + 0.5) * spacing - outer)
    chords = 2 * np.sqrt(outer**2 - offset**2) - 2 * np.sqrt(np.maximum(inner**2 - offset**2, 0.0))
    passes, length = over(circle(outer), 10.0, 1.0, circle(inner))
    assert passes == lines + (offset < inner).sum()
    assert length == pytest.approx(chords.sum(), rel=1e-7)


def test_an_l_is_two_rectangles():
    # 30 by 10 m along the bottom, 10 by 20 m standing on its left end
    corner = [(0, 0), (30, 0), (30, 10), (10, 10), (10, 30), (0, 30)]
    assert over(corner, 0.0, 1.0) == (30, pytest.approx(10 * 30 + 20 * 10))
    assert over(corner, 90.0, 1.0) == (30, pytest.approx(10 * 30 + 20 * 10))


def test_a_u_parts_passes_across_its_bay():
    # legs of 5 m on either side of a bay of 10 m, on a foot of 5 m
    u = [(0, 0), (20, 0), (20, 25), (15, 25), (15, 5), (5, 5), (5, 25), (0, 25)]
    assert over(u, 0.0, 1.0) == (20, pytest.approx(10 * 25 + 10 * 5))
    assert over(u, 90.0, 1.0) == (5 + 2 * 20, pytest.approx(5 * 20 + 20 * 10))


def test_opposite_ways_are_the_same_pass():
    shape = [(0, 0), (31, 3), (26, 20), (9, 24), (12, 11)]
    for degrees in (0.0, 35.0, 90.0):
        there, back = over(shape, degrees, 1.3), over(shape, degrees + 180.0, 1.3)
        assert there[0] == back[0]
        assert there[1] == pytest.approx(back[1], rel=1e-9)


def test_length_is_area_over_width_in_the_limit():
    # a triangle of 2,000 square metres: the sum of chords is the midpoint rule of its area
    for degrees in DIRECTIONS:
        passes, length = over([(0, 0), (50, 0), (20, 80)], degrees, 0.01)
        corners = np.array([(0, 0), (50, 0), (20, 80)]) @ pass_directions(degrees)[1][0]
        assert length * np.ptp(corners) / passes == pytest.approx(2000.0, rel=1e-4)


def test_many_shapes_and_widths_at_once_are_each_by_itself():
    shapes = [box(0, 0, 10, 50), box(100, 100, 131, 109), [(7, 3), (31, 3), (26, 20)]]
    made = [edges(shape) for shape in shapes]
    whose = np.repeat(np.arange(3), [len(one) for one in made])
    passes, length = passes_over_shapes(np.vstack(made), whose, 3, DIRECTIONS, [1.0, 0.51, 2.1])
    assert passes.shape == length.shape == (36, 3)
    for at, (shape, width) in enumerate(zip(shapes, (1.0, 0.51, 2.1), strict=True)):
        for row, degrees in enumerate(DIRECTIONS):
            one = over(shape, degrees, width)
            assert (passes[row, at], length[row, at]) == (one[0], pytest.approx(one[1], rel=1e-12))


def test_where_a_shape_lies_does_not_matter():
    shape = np.array([(0, 0), (31, 3), (26, 20), (9, 24), (12, 11)], dtype=float)
    near, far = over(shape, 25.0, 1.3), over(shape + np.array([5000.0, -3000.0]), 25.0, 1.3)
    assert near[0] == far[0]
    assert near[1] == pytest.approx(far[1], rel=1e-9)


def test_edges_along_the_passes_cross_none():
    # corners that lie on scan lines, and sides that lie along them
    steps = [(0, 0), (4, 0), (4, 1), (3, 1), (3, 2), (2, 2), (2, 3), (1, 3), (1, 4), (0, 4)]
    assert over(steps, 0.0, 1.0) == (4, pytest.approx(4 + 3 + 2 + 1))
    assert over([(0, 0), (3, 0), (3, 3), (1.5, 6), (0, 3)], 0.0, 1.0)[0] == 3


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"width": 0.0}, "width must be greater than 0 m"),
        ({"width": -1.0}, "width must be greater than 0 m"),
        ({"directions": ["north"]}, "a direction must be a number of degrees"),
        ({"directions": [float("nan")]}, "a direction must be a number of degrees"),
        ({"shapes": 2}, "in the order of their shapes, 0 to 1"),
        ({"shape": np.zeros(3, dtype=int)}, "4 edges were given, and 3 numbers"),
    ],
)
def test_what_has_no_meaning_is_refused(change, words):
    given = {"edges": edges(box(0, 0, 10, 10)), "shape": np.zeros(4, dtype=int), "shapes": 1}
    with pytest.raises(InputError, match=words):
        passes_over_shapes(**{**given, "directions": [0.0], "width": 1.0, **change})


def test_hypotenuse_of_a_single_pass():
    # a square of side 1 cut once from corner to corner
    passes, length = over(box(0, 0, 1, 1), 45.0, 5.0)
    assert (passes, length) == (1, pytest.approx(hypot(1, 1)))
