"""From the file into the frame and back: what did not move comes back bit for bit."""

from pathlib import Path

import numpy as np
import pyproj
import pytest
import shapely
from geopandas import read_file

from turfgis.measure.editing import moved_vertex, nearest_corner, parted, snapped
from turfgis.measure.frame import local_frame, middle
from turfgis.measure.stored import as_stored, ground_m2, in_frame

DEMO = Path(__file__).resolve().parents[2] / "demo_layers"
EAST, NORTH = 441_000.123, 714_000.456
# an Irish grid, degrees on the frame's own datum (which take a short way), degrees on another one, a web map
SYSTEMS = ["EPSG:2157", "EPSG:4326", "EPSG:4258", "EPSG:3857"]


def drawn(crs):
    """Two areas with a ragged border, drawn in a system."""
    line = [(40, 0), (41.3, 7.7), (39.1, 15.2), (40.4, 30)]
    left = shapely.Polygon([(0, 0), *line, (0, 30)])
    right = shapely.Polygon([(90, 0), (90, 30), *line[::-1]])
    grid = shapely.transform(np.array([left, right]), lambda xy: xy + np.array((EAST, NORTH)))
    way = pyproj.Transformer.from_crs("EPSG:2157", crs, always_xy=True)
    return shapely.transform(grid, lambda xy: np.column_stack(way.transform(*xy.T)))


def frame_of(shapes, crs):
    return local_frame([(pyproj.CRS(crs), *middle(shapes, pyproj.CRS(crs)))])


def corners(shape, **more):
    return set(map(tuple, shapely.get_coordinates(shape, **more).tolist()))


@pytest.mark.parametrize("crs", SYSTEMS)
def test_what_did_not_move_comes_back_bit_for_bit(crs):
    stored = drawn(crs)
    frame = frame_of(stored, crs)
    back = as_stored(in_frame(stored, pyproj.CRS(crs), frame), frame, pyproj.CRS(crs), stored)
    assert shapely.equals_identical(back, stored).all()


@pytest.mark.parametrize("crs", SYSTEMS)
def test_noise_of_a_page_is_no_move(crs):
    """A page hands corners back as rounded degrees: a micrometre off is the same corner."""
    stored = drawn(crs)
    frame = frame_of(stored, crs)
    shaken = shapely.transform(in_frame(stored, pyproj.CRS(crs), frame), lambda xy: xy + 4e-7)
    assert shapely.equals_identical(as_stored(shaken, frame, pyproj.CRS(crs), stored), stored).all()


@pytest.mark.parametrize("crs", SYSTEMS)
def test_a_shared_border_stays_shared_bit_for_bit(crs):
    """One corner of the border is moved in the frame, a half is parted: no corner else changes its numbers."""
    stored = drawn(crs)
    system = pyproj.CRS(crs)
    frame = frame_of(stored, crs)
    left, right = in_frame(stored, system, frame)
    middle_of_border = shapely.get_coordinates(left)[2]
    moved, others = moved_vertex(left, nearest_corner(left, middle_of_border)[0], middle_of_border + 0.5, [right])
    now = as_stored(np.array([moved, others[0]]), frame, system, stored)
    assert len(corners(now[0]) & corners(now[1])) == 4
    assert len(corners(now[0]) - corners(stored[0])) == 1
    assert corners(now[0]) - corners(stored[0]) == corners(now[1]) - corners(stored[1])
    parts = parted(moved, shapely.LineString(moved.centroid.coords[:] + (right.centroid.coords[:])).buffer(9).boundary)
    assert len(parts) > 1
    again = as_stored(np.array(parts), frame, system, now)
    assert shapely.intersection(again[0], again[1]).area == 0.0


def test_a_new_shape_takes_the_numbers_of_the_neighbour_it_was_drawn_up_to():
    stored = drawn("EPSG:2157")
    system, frame = pyproj.CRS("EPSG:2157"), frame_of(drawn("EPSG:2157"), "EPSG:2157")
    left, right = in_frame(stored, system, frame)
    shaky = shapely.transform(right, lambda xy: xy + np.array((0.05, -0.03)))
    shape, others = snapped(shaky, [left], 0.3)
    now = as_stored(np.array([shape]), frame, system, stored)
    assert others == {}
    assert len(corners(now[0]) & corners(stored[0])) == 4
    assert shapely.intersection(now[0], stored[0]).area == 0.0


@pytest.mark.parametrize("crs", SYSTEMS)
def test_new_corners_come_within_a_tenth_of_a_micrometre(crs):
    stored, system = drawn(crs), pyproj.CRS(crs)
    frame = frame_of(stored, crs)
    shape = shapely.segmentize(in_frame(stored, system, frame), 3.0)
    back = in_frame(as_stored(shape, frame, system, stored), system, frame)
    assert np.abs(shapely.get_coordinates(back) - shapely.get_coordinates(shape)).max() < 1e-7


def test_heights_are_kept_and_put_between():
    system = pyproj.CRS("EPSG:2157")
    flat = drawn("EPSG:2157")[:1]
    heights = np.array([5.0, 6.0, 7.0, 8.0, 9.0, 10.0, 5.0])
    stored = np.array([shapely.Polygon(np.column_stack([shapely.get_coordinates(flat), heights]))])
    frame = frame_of(flat, "EPSG:2157")
    shape = in_frame(stored, system, frame)
    assert not shapely.has_z(shape).any()
    back = as_stored(shape, frame, system, stored, heights=True)
    assert shapely.equals_identical(back, stored).all()
    xy = shapely.get_coordinates(shape)
    ring = np.insert(xy, 1, (xy[0] + xy[1]) / 2, axis=0)
    more = as_stored(np.array([shapely.Polygon(ring)]), frame, system, stored, heights=True)
    assert shapely.get_coordinates(more, include_z=True)[1, 2] == pytest.approx(5.5)
    alone = as_stored(np.array([shapely.box(0, 0, 1, 1)]), frame, system, stored, heights=True)
    assert (shapely.get_coordinates(alone, include_z=True)[:, 2] == 0.0).all()
    assert not shapely.has_z(as_stored(shape, frame, system, stored)).any()


def test_a_square_degree_of_ground():
    """Area of the ellipsoid between two parallels and meridians: closed form, J. P. Snyder 1987 (from memory)."""
    a, f = 6378137.0, 1 / 298.257223563
    e = np.sqrt(f * (2 - f))

    def q(degrees):
        s = np.sin(np.radians(degrees))
        return (1 - e**2) * (s / (1 - (e * s) ** 2) + np.arctanh(e * s) / e)

    size = 0.001
    expected = np.radians(size) * a**2 / 2 * (q(53 + size) - q(53))
    assert ground_m2(np.array([shapely.box(-6, 53, -6 + size, 53 + size)]), pyproj.CRS(4326))[0] == pytest.approx(
        expected, rel=1e-7
    )


def test_the_ground_of_lines_and_of_nothing_is_none():
    odd = np.array([None, shapely.Point(0, 0), shapely.Polygon(), shapely.LineString([(0, 0), (1, 1)])], dtype=object)
    assert ground_m2(odd, pyproj.CRS("EPSG:2157")).tolist() == [0, 0, 0, 0]


def test_the_ground_of_what_is_stored_is_what_areas_prints():
    from turfgis.estimates.course import open_course

    drawn_there = open_course(DEMO).measured.drawn
    greens = read_file(DEMO / "course.gpkg", layer="greens")
    ours = ground_m2(greens.geometry.to_numpy(), pyproj.CRS(greens.crs)).sum()
    assert ours == pytest.approx(drawn_there.loc[drawn_there["surface"] == "green"].area.sum(), rel=1e-9)
