"""Side slope and climb of passes on a tilted plane, and drops beside a terrace, from closed forms."""

import geopandas as gpd
import numpy as np
import pyproj
import pytest
import rasterio
import shapely
from rasterio.transform import from_origin

from turfgis.measure.relief import measure_relief
from turfgis.measure.relief_grid import Elevation
from turfgis.measure.relief_lines import Travel, in_degrees, measure_drops, measure_travel

FRAME = pyproj.CRS.from_epsg(3035)
CORNER = np.array([4_321_000.0, 3_210_000.0])


@pytest.fixture
def on_ground(tmp_path):
    """Patches, given from the corner, on heights given as a function of metres east and north of it."""

    def made(heights, *shapes, cell=0.5):
        middles = (np.arange(round(200 / cell)) + 0.5) * cell
        grid = heights(*np.meshgrid(middles, middles[::-1]))
        profile = {"height": len(grid), "width": len(grid), "count": 1, "dtype": "float64", "crs": "EPSG:3035"}
        place = from_origin(CORNER[0], CORNER[1] + 200, cell, cell)
        with rasterio.open(tmp_path / "heights.tif", "w", driver="GTiff", transform=place, **profile) as file:
            file.write(grid, 1)
        moved = [shapely.transform(shape, lambda xy: xy + CORNER) for shape in shapes]
        rows = {"patch": [str(at) for at in range(len(moved))], "surface": "rough", "net_m2": shapely.area(moved)}
        patches = gpd.GeoDataFrame(rows, geometry=moved, crs=FRAME)
        return patches, measure_relief(patches, Elevation(("heights.tif",), tmp_path, units="m"))

    return made


SQUARE = shapely.box(80, 80, 120, 120)


@pytest.mark.parametrize(
    ("direction", "side", "climb"), [(0, 30, 0), (90, 0, 30), (45, 30 / 2**0.5, 30 / 2**0.5), (30, 25.98, 15)]
)
def test_a_machine_on_a_plane_that_rises_to_the_east(on_ground, direction, side, climb):
    """Without rounds along the edge: what goes with the fall climbs, what goes across it leans."""
    patches, relief = on_ground(lambda east, north: 0.3 * east, SQUARE)
    found = measure_travel(patches, relief, Travel(2.0, 0.0, 0, direction))
    assert found["direction_deg"][0] == direction
    assert found["side_slope_pct"][0] == pytest.approx(side, abs=0.01)
    assert found["climb_pct"][0] == pytest.approx(climb, abs=0.01)


def test_rounds_go_both_ways(on_ground):
    patches, relief = on_ground(lambda east, north: 0.3 * east, SQUARE)
    found = measure_travel(patches, relief, Travel(2.0, 0.0, 1, 0.0))
    assert found[["side_slope_pct", "climb_pct"]].to_numpy() == pytest.approx(30.0, abs=0.01)


def test_ground_narrower_than_the_machine_is_run_along(on_ground):
    patches, relief = on_ground(lambda east, north: 0.3 * east, shapely.box(80, 100, 120, 101))
    found = measure_travel(patches, relief, Travel(3.0))
    assert np.isnan(found["direction_deg"][0])
    assert found["climb_pct"][0] == pytest.approx(30.0, abs=0.01)


def test_a_terrace_drops_on_one_side(on_ground):
    """Level ground that falls 1.2 m, one in one, from 0.3 m outside the east side on."""
    patches, relief = on_ground(
        lambda east, north: 10 - np.clip(east - 120.3, 0, 1.2), SQUARE, shapely.box(20, 20, 40, 40), cell=0.25
    )
    found = measure_drops(patches, relief, drop=0.5, within=2.0)
    assert found["drop_edge_m"].to_numpy() == pytest.approx([40.0, 0.0], abs=0.01)
    assert found["drop_m"].to_numpy() == pytest.approx([1.2, 0.0], abs=0.01)
    assert found["drop_x_m"][0] - CORNER[0] == pytest.approx(120)
    assert found["edge_known"].to_numpy() == pytest.approx(1.0)
    line = shapely.transform(found.geometry[0], lambda xy: xy - CORNER)
    assert line.length == pytest.approx(40.0, abs=0.1)
    assert line.hausdorff_distance(shapely.LineString([(120, 80), (120, 120)])) < 0.1
    nearer = measure_drops(patches, relief, drop=0.5, within=0.5)
    assert nearer["drop_edge_m"][0] == 0
    assert nearer["drop_m"][0] == pytest.approx(0.2, abs=0.03)


def test_a_hole_in_a_patch_has_an_edge_too(on_ground):
    """A pit of 1 m in the middle: its rim is an inner edge, whose outside is the pit."""
    pit = shapely.Point(100, 100).buffer(8)
    ring = SQUARE.difference(pit)
    patches, relief = on_ground(
        lambda east, north: np.where(np.hypot(east - 100, north - 100) < 7.5, -1.0, 0.0), ring, cell=0.25
    )
    found = measure_drops(patches, relief, drop=0.5, within=2.0)
    assert found["drop_edge_m"][0] == pytest.approx(2 * np.pi * 8, rel=0.01)
    assert found["drop_m"][0] == pytest.approx(1.0, abs=0.01)


def test_a_higher_neighbour_is_no_drop(on_ground):
    patches, relief = on_ground(lambda east, north: np.where(east > 120.5, 3.0, 0.0), SQUARE)
    found = measure_drops(patches, relief, drop=0.5, within=2.0)
    assert found["drop_edge_m"][0] == 0
    assert found["drop_m"][0] == 0


def test_places_in_degrees(on_ground):
    """The origin of EPSG:3035 is 52 N 10 E (4321000, 3210000)."""
    patches, _ = on_ground(lambda east, north: 0.3 * east, SQUARE)
    found = in_degrees(patches, np.array([[4_321_000.0, 3_210_000.0], [np.nan, np.nan]]))
    assert found == pytest.approx(np.array([[10.0, 52.0], [np.nan, np.nan]]), abs=1e-9, nan_ok=True)
