"""Strips that are left out of spraying: areas of plain shapes."""

from math import pi

import numpy as np
import pytest
import shapely

from turfgis.measure.strips import overthrow_areas, without_zones

GREEN = shapely.box(0, 0, 20, 10)


def areas(shapes, zones):
    return shapely.area(without_zones(np.array(shapes, dtype=object), np.array(zones, dtype=object)))


def test_a_straight_edge_takes_its_width():
    pond = shapely.box(20, -50, 60, 60)
    assert areas([GREEN], [pond.buffer(3)]) == pytest.approx([170.0])


def test_water_a_little_way_off_takes_what_is_left_of_its_width():
    pond = shapely.box(21, -50, 60, 60)
    assert areas([GREEN], [pond.buffer(3)]) == pytest.approx([180.0])


def test_a_drain_takes_a_strip_on_both_sides():
    drain = shapely.LineString([(8, -30), (8, 40)]).buffer(2)
    assert areas([GREEN], [drain]) == pytest.approx([160.0])


def test_a_point_takes_a_disc():
    well = shapely.Point(10, 5).buffer(2, quad_segs=512)
    assert areas([GREEN], [well]) == pytest.approx([200 - pi * 4], rel=1e-6)


def test_zones_that_overlap_count_once():
    pond = shapely.box(20, -50, 60, 60)
    assert areas([GREEN], [pond.buffer(3), pond.buffer(5), shapely.box(14, -5, 25, 15)]) == pytest.approx([140.0])


def test_a_zone_can_swallow_a_patch_and_leave_its_neighbour():
    assert areas([GREEN, shapely.box(100, 0, 110, 10)], [GREEN.buffer(1)]) == pytest.approx([0.0, 100.0])


def test_no_zone_leaves_all_and_no_patch_is_none():
    assert areas([GREEN], []) == pytest.approx([200.0])
    assert len(areas([], [GREEN])) == 0


def test_nothing_is_thrown_into_a_zone():
    """Along three sides and two corners; not on the fourth side, where the boom is shut."""
    pond = shapely.box(20, -50, 60, 60)
    zones = np.array([pond.buffer(0)], dtype=object)
    free = overthrow_areas(np.array([GREEN]), 0.5)[0]
    shut = overthrow_areas(np.array([GREEN]), 0.5, zones)[0]
    assert free - shut == pytest.approx(10 * 0.5 + pi * 0.5**2 / 2, rel=1e-3)
