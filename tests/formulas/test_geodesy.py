"""Areas on the ellipsoid: laws, limits and errors. Reference libraries: tests/reference/test_geodesy.py."""

import math

import numpy as np
import pytest
import shapely

from turfgis.errors import InputError
from turfgis.formulas import geodesy
from turfgis.formulas.geodesy import (
    offset_area_uncertainty,
    ring_area,
    ring_areas,
    true_area_factor,
    vertex_area_uncertainty,
)

GREEN_LON, GREEN_LAT = [-2.8040, -2.8036, -2.8032, -2.8035], [56.3398, 56.3397, 56.3401, 56.3403]


def test_direction_start_and_closing_point_do_not_matter():
    area = ring_area(GREEN_LON, GREEN_LAT)
    assert ring_area(GREEN_LON[::-1], GREEN_LAT[::-1]) == pytest.approx(area, abs=1e-6)
    assert ring_area(np.roll(GREEN_LON, 2), np.roll(GREEN_LAT, 2)) == pytest.approx(area, abs=1e-6)
    assert ring_area([*GREEN_LON, GREEN_LON[0]], [*GREEN_LAT, GREEN_LAT[0]]) == area


def test_area_does_not_depend_on_the_meridian():
    """Up to what a double can hold of a longitude: 2e-14 degrees of about 50 m."""
    area = ring_area(GREEN_LON, GREEN_LAT)
    for shift in (-170.0, 90.0, 182.8036):
        assert ring_area(np.add(GREEN_LON, shift), GREEN_LAT) == pytest.approx(area, rel=1e-8)


def test_the_two_hemispheres_are_alike():
    assert ring_area(GREEN_LON, np.negative(GREEN_LAT)) == pytest.approx(ring_area(GREEN_LON, GREEN_LAT), rel=1e-14)


def test_longitudes_told_either_way_round():
    split = ring_area([179.9998, -179.9998, -179.9998, 179.9998], [-17.80, -17.80, -17.79, -17.79])
    whole = ring_area([179.9998, 180.0002, 180.0002, 179.9998], [-17.80, -17.80, -17.79, -17.79])
    assert split == pytest.approx(whole, rel=1e-9)


def test_sphere_between_two_parallels():
    """Archimedes: the zone between two parallels has the area of its height on the cylinder."""
    cell = ring_area([0, 90, 90, 0], [0, 0, 30, 30], a=6_371_000, f=0)
    assert cell == pytest.approx(6_371_000**2 * math.pi / 2 * 0.5, rel=1e-14)


def test_a_small_flattening_tends_to_the_sphere():
    sphere = ring_area(GREEN_LON, GREEN_LAT, f=0)
    assert ring_area(GREEN_LON, GREEN_LAT, f=1e-12) == pytest.approx(sphere, rel=1e-9)


def test_area_grows_with_the_square_of_the_ellipsoid():
    one = ring_area(GREEN_LON, GREEN_LAT)
    assert ring_area(GREEN_LON, GREEN_LAT, a=2 * geodesy.WGS84_A) == pytest.approx(4 * one, rel=1e-14)


def test_parts_add_up_to_the_whole():
    lon, lat = [7.0, 7.001, 7.001, 7.0], [45.0, 45.0, 45.002, 45.002]
    lower = ring_area(lon, [45.0, 45.0, 45.001, 45.001])
    upper = ring_area(lon, [45.001, 45.001, 45.002, 45.002])
    assert lower + upper == pytest.approx(ring_area(lon, lat), rel=1e-12)


def test_a_ring_without_width_has_no_area():
    assert ring_area([7, 7.001, 7.002], [45, 45, 45]) == 0


def test_many_rings_are_what_each_is_alone(monkeypatch):
    """In blocks so small that rings of many sizes fall on both sides of a block's end, one longer than a block."""
    monkeypatch.setattr(geodesy, "BLOCK", 16)
    rng = np.random.default_rng(11)
    sizes = rng.integers(3, 12, 40)
    sizes[7] = 60
    angles = [np.sort(rng.uniform(0, 2 * np.pi, size)) for size in sizes]
    lon = [lon0 + 3e-4 * np.cos(angle) for lon0, angle in zip(rng.uniform(-179, 179, 40), angles, strict=True)]
    lat = [lat0 + 2e-4 * np.sin(angle) for lat0, angle in zip(rng.uniform(-60, 60, 40), angles, strict=True)]
    offsets = np.concatenate([[0], np.cumsum(sizes)])
    areas = ring_areas(np.concatenate(lon), np.concatenate(lat), offsets)
    assert areas == pytest.approx([ring_area(*ring) for ring in zip(lon, lat, strict=True)], rel=1e-12)


def test_offsets_as_shapely_gives_them():
    boxes = [shapely.box(7, 45, 7.001, 45.001), shapely.box(8, 46, 8.002, 46.001)]
    _, points, (offsets, _) = shapely.to_ragged_array(boxes)
    areas = ring_areas(points[:, 0], points[:, 1], offsets)
    assert areas == pytest.approx([ring_area(*shape.exterior.xy) for shape in boxes], rel=1e-14)


def test_no_rings_at_all_is_refused():
    with pytest.raises(InputError, match="with at least one corner"):
        ring_areas([], [], [0])


@pytest.mark.parametrize(
    ("lon", "lat", "words"),
    [
        ([0, 1], [0, 1], "a ring needs at least three corners"),
        ([0, 1, 1], [0, 1], "two flat arrays of the same length"),
        ([0, 1, math.nan], [0, 0, 1], "longitude and latitude must be finite numbers"),
        ([0, 1, "east"], [0, 0, 1], "longitude and latitude must be arrays of numbers"),
        ([500_000, 500_100, 500_100], [0, 0, 1], "metres do not fit here"),
        ([0, 1, 1], [0, 0, 91], "latitudes must lie in -90 to 90"),
        ([0, 90, 180, -90], [80, 80, 80, 80], "a ring goes round a pole"),
    ],
)
def test_a_ring_without_meaning_is_refused(lon, lat, words):
    with pytest.raises(InputError, match=words):
        ring_area(lon, lat)


@pytest.mark.parametrize("offsets", [[0, 5], [1, 4], [0.0, 4.0], [], [[0, 4]]])
def test_offsets_that_do_not_fit_are_refused(offsets):
    with pytest.raises(InputError, match="offsets must be whole numbers from 0 to the number of corners, 4"):
        ring_areas(GREEN_LON, GREEN_LAT, offsets)


def test_offsets_out_of_order_are_refused():
    with pytest.raises(InputError, match="check the order of the offsets"):
        ring_areas(GREEN_LON, GREEN_LAT, [0, 5, 4])


@pytest.mark.parametrize("f", [-0.1, 1, 298.257])
def test_flattening_without_meaning_is_refused(f):
    with pytest.raises(InputError, match="flattening must be a number from 0 to less than 1"):
        ring_area(GREEN_LON, GREEN_LAT, f=f)


def test_ellipsoid_without_size_is_refused():
    with pytest.raises(InputError, match="semi-major axis must be greater than 0 m"):
        ring_area(GREEN_LON, GREEN_LAT, a=0)


def test_edge_uncertainty_is_the_strip_that_shapely_buffers():
    green = shapely.Point(0, 0).buffer(12, quad_segs=64)
    strip = green.buffer(0.001, quad_segs=64).area - green.area
    assert offset_area_uncertainty(green.length, 0.001) == pytest.approx(strip, rel=1e-4)


def test_corner_uncertainty_is_the_spread_of_drawn_areas():
    """A shape drawn twenty thousand times with corners shaken by the deviation (seeded)."""
    x, y = np.array([0.0, 20, 26, 18, 6, -3]), np.array([0.0, 2, 14, 22, 20, 9])
    rng = np.random.default_rng(5)
    shaken = np.stack([x, y], axis=-1) + rng.normal(0, 0.05, (20_000, 6, 2))
    areas = shapely.area(shapely.polygons(shaken))
    assert vertex_area_uncertainty(x, y, 0.05) == pytest.approx(np.std(areas), rel=0.03)


def test_corner_uncertainty_of_a_regular_polygon():
    """Closed form: s R sqrt(n) sin(2 pi / n), as every diagonal is 2 R sin(2 pi / n)."""
    angle = np.arange(36) * 2 * np.pi / 36
    u = vertex_area_uncertainty(12 * np.cos(angle), 12 * np.sin(angle), 0.5)
    assert u == pytest.approx(0.5 * 12 * 6 * math.sin(2 * math.pi / 36), rel=1e-12)


def test_corner_uncertainty_with_the_ring_closed():
    x, y = [0, 100, 100, 0], [0, 0, 60, 60]
    assert vertex_area_uncertainty([*x, 0], [*y, 0], 0.5) == vertex_area_uncertainty(x, y, 0.5)


def test_corner_uncertainty_scales_with_the_deviation():
    x, y = [0, 100, 100, 0], [0, 0, 60, 60]
    one = vertex_area_uncertainty(x, y, 1.0)
    assert vertex_area_uncertainty(x, y, [0.0, 2.0]) == pytest.approx([0, 2 * one], rel=1e-14)


@pytest.mark.parametrize(
    ("x", "y", "deviation", "words"),
    [
        ([0, 1, 0], [0, 1, 0], 0.5, "a ring needs at least three corners, but 2 given"),
        ([0, 1], [0, 1, 2], 0.5, "x and y must be two flat arrays of the same length"),
        ([0, 1, math.inf], [0, 0, 1], 0.5, "x and y must be finite numbers"),
        ([0, 1, 1], [0, 0, 1], -0.5, "corner deviation must be 0 m or more"),
    ],
)
def test_corners_without_meaning_are_refused(x, y, deviation, words):
    with pytest.raises(InputError, match=words):
        vertex_area_uncertainty(x, y, deviation)


def test_level_ground_is_as_large_as_its_map():
    assert true_area_factor(0) == 1


def test_sixty_degrees_doubles_the_area():
    assert true_area_factor(math.pi / 3) == pytest.approx(2, rel=1e-14)


def test_a_grade_by_pythagoras():
    assert true_area_factor(math.atan(0.75)) == pytest.approx(1.25, rel=1e-14)


@pytest.mark.parametrize("slope", [math.pi / 2, 30])
def test_a_slope_in_degrees_is_refused(slope):
    with pytest.raises(InputError, match="less than a right angle"):
        true_area_factor(slope)
