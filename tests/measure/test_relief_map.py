"""Contours and shaded relief: where they must lie, and how bright they must be."""

import geopandas as gpd
import numpy as np
import pyproj
import pytest
import rasterio
import shapely
from rasterio.io import MemoryFile
from rasterio.transform import from_bounds, from_origin

from turfgis.measure.relief import measure_relief
from turfgis.measure.relief_grid import Elevation
from turfgis.measure.relief_map import contour_step, draw_relief

FRAME = pyproj.CRS.from_epsg(3035)
CORNER = np.array([4_321_000.0, 3_210_000.0])


@pytest.fixture
def picture(tmp_path):
    def drawn(heights, step, cut=200.0):
        middles = np.arange(200) + 0.5
        east, north = np.meshgrid(middles, middles[::-1])
        grid = np.where(east < cut, heights(east, north), -99999.0)
        profile = {"height": 200, "width": 200, "count": 1, "dtype": "float64", "crs": "EPSG:3035", "nodata": -99999.0}
        place = from_origin(CORNER[0], CORNER[1] + 200, 1.0, 1.0)
        with rasterio.open(tmp_path / "heights.tif", "w", driver="GTiff", transform=place, **profile) as file:
            file.write(grid, 1)
        shape = shapely.transform(shapely.box(30, 30, 170, 170), lambda xy: xy + CORNER)
        rows = {"patch": ["a"], "surface": "rough", "net_m2": shape.area}
        patches = gpd.GeoDataFrame(rows, geometry=[shape], crs=FRAME)
        return draw_relief(patches, measure_relief(patches, Elevation(("heights.tif",), tmp_path, units="m")), step)

    return drawn


def test_contours_of_a_plane_are_straight_and_in_their_place(picture):
    """A rise of one in ten to the east: every 2 m of height is 20 m of way."""
    made = picture(lambda east, north: 0.1 * east, 2.0)
    assert made.step_m == 2.0
    lines = made.contours.set_index("height_m").geometry
    assert sorted(lines.index) == pytest.approx([2, 4, 6, 8, 10, 12, 14, 16, 18])
    for height, line in lines.items():
        x = shapely.get_coordinates(line)[:, 0] - CORNER[0]
        assert x == pytest.approx(height * 10, abs=0.01)


def test_contours_of_a_cone_are_circles(picture):
    made = picture(lambda east, north: 40 - 0.5 * np.hypot(east - 100, north - 100), 5.0)
    (ring,) = made.contours.geometry[made.contours["height_m"] == 20]
    assert shapely.Polygon(ring).area == pytest.approx(np.pi * 40**2, rel=0.02)


def test_no_contour_where_there_is_no_height(picture):
    made = picture(lambda east, north: 0.1 * north, 2.0, cut=172.0)
    assert (made.contours.total_bounds[[0, 2]] - CORNER[0]) == pytest.approx([10.0, 171.0], abs=1.0)


def test_relief_is_bright_towards_the_light(picture):
    """A hill lit from the north-west: brighter on that side than on the other, in a picture that lies over it."""
    made = picture(lambda east, north: -0.1 * np.hypot(east - 100, north - 100), 5.0)
    west, south, east, north = made.bounds
    assert (west, east) == pytest.approx((10.0, 10.003), abs=0.001)
    assert south < 52.001 < north
    with MemoryFile(made.content) as memory, memory.open() as file:
        grey = file.read(1).astype(float)
    mercator = pyproj.Transformer.from_crs(4326, 3857, always_xy=True).transform_bounds(*made.bounds)
    place = from_bounds(*mercator, grey.shape[1], grey.shape[0])
    way = pyproj.Transformer.from_crs(FRAME, 3857, always_xy=True)

    def at(x, y):
        across, up = way.transform(x + CORNER[0], y + CORNER[1])
        column, row = (across - place.c) / place.a, (up - place.f) / place.e
        return grey[int(row) - 2 : int(row) + 3, int(column) - 2 : int(column) + 3].mean()

    assert at(60, 140) > at(140, 60) + 60
    assert at(60, 60) == pytest.approx(at(140, 140), abs=12)


@pytest.mark.parametrize(
    ("lowest", "highest", "least", "step"),
    [(0, 40, 1, 1), (0, 41, 1, 2), (0, 100, 1, 5), (0, 2000, 1, 50), (5, 6, 0.25, 0.25), (0, 100, 0.6096, 5)],
)
def test_steps_are_round_and_few(lowest, highest, least, step):
    assert contour_step(lowest, highest, least) == pytest.approx(step)
