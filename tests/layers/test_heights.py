"""Heights of corners: kept where they are known, put between where they are not."""

import numpy as np
import pytest
import shapely

from turfgis.layers.heights import lifted, lifted_like


def heights(shape):
    return shapely.get_coordinates(shape, include_z=True)[:, 2].tolist()


def test_between_two_corners_by_length():
    line = shapely.LineString([(0, 0), (1, 0), (4, 0)])
    assert heights(lifted(np.array([line]), np.array([0.0, np.nan, 8.0]))) == [0.0, 2.0, 8.0]


def test_round_the_end_of_a_ring():
    """The corner before the closing one lies between its neighbours, the first of which is the first corner."""
    square = shapely.Polygon([(0, 0), (2, 0), (2, 2), (0, 2)])
    assert heights(lifted(np.array([square]), np.array([4.0, np.nan, 8.0, np.nan, 4.0]))) == [4.0, 6.0, 8.0, 6.0, 4.0]


def test_a_ring_of_which_nothing_is_known_lies_at_the_mean():
    ring = shapely.box(0, 0, 9, 9).difference(shapely.box(3, 3, 6, 6))
    known = np.array([2.0, 4.0, 4.0, 2.0, 2.0] + [np.nan] * 5)
    assert heights(lifted(np.array([ring]), known))[5:] == pytest.approx([2.8] * 5)


def test_nothing_known_at_all():
    assert heights(lifted(np.array([shapely.box(0, 0, 1, 1)]), np.full(5, np.nan))) == [0.0] * 5


def test_several_parts_and_other_kinds():
    two = shapely.MultiPolygon([shapely.box(0, 0, 1, 1), shapely.box(5, 0, 6, 1)])
    high = shapely.force_3d(two, 3.0)
    assert shapely.equals_identical(lifted_like(two, np.array([high])), high)
    assert heights(lifted_like(shapely.Point(0, 0), np.array([high]))) == [3.0]
