"""Borders drawn up to neighbours: nothing between them, nothing twice, and both with the same corners."""

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from turfgis.errors import InputError
from turfgis.measure.editing import bordered, merged, snapped
from turfgis.measure.rings import rings_of

NOTHING_M2 = 1e-9


def corners(shape):
    return set(map(tuple, shapely.get_coordinates(shape).tolist()))


def shared(shape, neighbour):
    """The border of two areas has the same corners on both sides: its pieces are edges of both."""
    border = shapely.intersection(shapely.boundary(shape), shapely.boundary(neighbour))
    return corners(border) <= corners(shape) & corners(neighbour)


def assert_flush(shape, neighbour, together):
    """No overlap, and both together are exactly the ground that they should fill."""
    assert shapely.intersection(shape, neighbour).area <= NOTHING_M2
    assert shapely.union_all([shape, neighbour]).symmetric_difference(together).area <= NOTHING_M2
    assert shared(shape, neighbour)


def test_a_gap_is_closed():
    left = shapely.box(0, 0, 10, 10)
    shape, others = snapped(shapely.box(10.3, 0.2, 20, 9.9), [left], 0.5)
    assert others == {}
    whole = shapely.Polygon([(0, 0), (10, 0), (20, 0.2), (20, 9.9), (10, 10), (0, 10)])
    assert_flush(shape, left, whole)


def test_an_overlap_is_taken_back():
    left = shapely.box(0, 0, 10, 10)
    shape, _ = snapped(shapely.box(9.7, 0, 20, 10), [left], 0.5)
    assert_flush(shape, left, shapely.box(0, 0, 20, 10))
    assert shape.equals(shapely.box(10, 0, 20, 10))


def test_a_corner_on_an_edge_becomes_a_corner_of_both():
    left = shapely.Polygon([(0, 0), (10, 0), (13, 10), (0, 10)])  # an edge that no corner hits exactly
    shape, others = snapped(shapely.Polygon([(11.3, 4), (20, 4), (20, 6), (11.9, 6)]), [left], 0.5)
    assert list(others) == [0]
    assert len(rings_of(others[0])[0][0]) == 6
    assert shapely.intersection(shape, others[0]).area <= NOTHING_M2
    assert shared(shape, others[0])
    assert others[0].area == pytest.approx(left.area, abs=NOTHING_M2)


def test_an_edge_follows_the_corners_of_a_curved_neighbour():
    """Four corners drawn over the side of a circle: its corners within reach come in, the others do not."""
    circle = shapely.Point(0, 0).buffer(10, quad_segs=32)
    shape, _ = snapped(shapely.box(9.8, -2, 20, 2), [circle], 0.4)
    assert shapely.intersection(shape, circle).area <= NOTHING_M2
    assert shared(shape, circle)
    assert len(corners(shape) & corners(circle)) > 5
    together = shapely.union_all([shape, circle])
    assert len(together.interiors) == 0
    assert together.geom_type == "Polygon"


def test_a_cut_out_is_filled_to_its_edge():
    hole = shapely.Point(0, 0).buffer(5, quad_segs=8)
    ground = shapely.box(-20, -20, 20, 20).difference(hole)
    drawn = shapely.affinity.rotate(shapely.Point(0.1, 0.1).buffer(4.9, quad_segs=8), 2)
    shape, others = snapped(drawn, [ground], 0.4)
    assert_flush(shape, others.get(0, ground), shapely.box(-20, -20, 20, 20))


def test_all_neighbours_that_share_an_edge_get_its_new_corner():
    left, over = (
        shapely.Polygon([(0, 0), (9, 0), (10, 9)]),
        shapely.Polygon([(9, 0), (10, 9), (12, 12), (0, 12), (-5, -5)]),
    )
    shape, others = snapped(shapely.Polygon([(9.4, 3), (15, 3), (15, 5), (9.6, 5)]), [left, over], 0.3)
    assert set(others) == {0, 1}
    new = corners(shape) - {(15.0, 3.0), (15.0, 5.0)}
    assert new <= corners(others[0])
    assert new <= corners(others[1])


def test_what_is_out_of_reach_stays():
    shape, others = snapped(shapely.box(11, 0, 20, 10), [shapely.box(0, 0, 10, 10)], 0.5)
    assert others == {}
    assert shape.equals_exact(shapely.box(11, 0, 20, 10))


def test_what_is_shared_already_stays_bit_for_bit():
    left = shapely.Polygon([(0, 0), (10.1, 0.3), (10.7, 5.1), (9.9, 10.2), (0, 10)])
    right = shapely.Polygon([(10.1, 0.3), (20, 0), (20, 10), (9.9, 10.2), (10.7, 5.1)])
    shape, others = snapped(right, [left], 0.5)
    assert others == {}
    assert corners(shape) == corners(right)
    again, _ = snapped(shape, [left], 0.5)
    assert shapely.equals_identical(again, shape)


def test_a_shape_that_would_fold_over_itself_is_refused():
    with pytest.raises(InputError, match="snapping within 5 m"):
        snapped(shapely.box(10.2, 4, 10.8, 4.5), [shapely.box(0, 0, 10, 10)], 5.0)


@pytest.mark.parametrize("reach", [0.0, -1.0, float("nan")])
def test_the_reach_is_above_zero(reach):
    with pytest.raises(InputError, match="the reach of snapping"):
        snapped(shapely.box(0, 0, 1, 1), [], reach)


def test_neighbours_may_be_anything():
    others = np.array([None, shapely.Point(0, 0), shapely.Polygon(), shapely.box(0, 0, 1, 1)], dtype=object)
    shape, _ = snapped(shapely.box(1.1, 0, 2, 1), others, 0.2)
    assert shape.bounds == (1.0, 0.0, 2.0, 1.0)


REACH = 0.5
heights = st.floats(-0.4, 0.4)


@settings(max_examples=150, deadline=None)
@given(
    border=st.lists(heights, min_size=3, max_size=25),
    spacing=st.floats(0.3, 2.5),
    every=st.integers(1, 4),
    noise=st.integers(0, 2**31),
)
def test_a_border_drawn_anew_by_hand_becomes_the_border(border, spacing, every, noise):
    """
    A ragged border between two areas; the upper one is drawn again, shakily and with fewer corners.

    All of the ragged line is within reach of the shaky one, so the two areas fill the ground again exactly.
    """
    x = np.arange(len(border)) * spacing
    line = np.column_stack([x, border])
    below = shapely.Polygon([*line, (x[-1], -9), (0, -9)])
    above = shapely.Polygon([*line, (x[-1], 9), (0, 9)])
    shake = np.random.default_rng(noise).uniform(-0.05, 0.05, line.shape)
    chosen = np.unique([*range(0, len(x), every), len(x) - 1])
    drawn = shapely.Polygon([*(line + shake)[chosen], (x[-1], 9), (0, 9)])
    between = shapely.LineString((line + shake)[chosen])
    if not drawn.is_valid or shapely.distance(between, shapely.points(line)).max() > REACH - 0.1:
        return
    shape, others = snapped(drawn, [below], REACH)
    now = others.get(0, below)
    assert shapely.intersection(shape, now).area <= NOTHING_M2
    assert shape.symmetric_difference(above).area <= NOTHING_M2
    assert shared(shape, now)


def test_parts_and_neighbours_share_new_corners():
    below = shapely.Polygon([(0, 0), (10, 1), (10, -5), (0, -5)])
    from turfgis.measure.editing import parted

    above = shapely.Polygon([(0, 0), (10, 1), (10, 9), (0, 9)])
    parts = parted(above, shapely.LineString([(3.3, -1), (4.1, 12)]))
    others = bordered([below], parts)
    assert len(others) == 1
    assert all(shared(part, others[0]) for part in parts)
    assert merged(parts).symmetric_difference(above).area <= NOTHING_M2
