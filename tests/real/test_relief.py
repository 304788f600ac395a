"""
Heights of real ground: slope and aspect beside an independent library, patches beside exactextract, and bad rasters.

The rasters lie in `shared/data/raster` beside the checkout.
"""

import warnings

import geopandas as gpd
import numpy as np
import pyproj
import pytest
import rasterio
import shapely

from turfgis.formulas.coverage import cell_shares, parted_edges
from turfgis.formulas.slopes import aspect, gradient_area_factor, horn_gradient, slope_angle
from turfgis.measure.frame import local_frame
from turfgis.measure.relief import measure_relief
from turfgis.measure.relief_grid import Elevation

FEET, DEGREES = "dem_30ft_kentucky_feet.tif", "dem_3arcsec_texas.tif"


@pytest.fixture
def heights(open_data):
    def read(name):
        with rasterio.open(open_data / "raster" / name) as file:
            return file.read(1, masked=True).astype(float).filled(np.nan), file.transform, pyproj.CRS(file.crs.to_wkt())

    return read


@pytest.mark.parametrize("name", [FEET, DEGREES])
def test_slope_and_aspect_are_those_of_another_library(heights, name):
    """xarray-spatial on the same grid, cells taken as squares of 30 m: both know only the numbers."""
    xrspatial = pytest.importorskip("xrspatial")
    xarray = pytest.importorskip("xarray")
    grid, _, _ = heights(name)
    rows, columns = grid.shape
    places = {"y": np.arange(rows)[::-1] * 30.0, "x": np.arange(columns) * 30.0}
    table = xarray.DataArray(grid, dims=("y", "x"), coords=places, attrs={"res": (30.0, 30.0)})
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        slope, falls = xrspatial.slope(table).data[1:-1, 1:-1], xrspatial.aspect(table).data[1:-1, 1:-1]
    across, down = (rise / 30 for rise in horn_gradient(grid))
    ours = np.where(np.isnan(grid[1:-1, 1:-1]), np.nan, np.degrees(slope_angle(across, -down)))
    known = ~np.isnan(slope)
    assert known.mean() > 0.5
    assert np.isnan(ours)[~known].all()
    assert ours[known] == pytest.approx(slope[known], abs=2e-5)  # theirs are single precision
    tilted = known & (ours > 0.1)
    turn = (np.degrees(aspect(across, -down)) - falls + 180) % 360 - 180
    assert np.abs(turn[tilted]).max() < 0.01


def patches_on(crs, transform, shape, radius, every):
    """Discs on a raster, in a frame of their own."""
    rows, columns = np.mgrid[every : shape[0] - every : every, every : shape[1] - every : every]
    x = transform.a * columns.ravel() + transform.c
    y = transform.e * rows.ravel() + transform.f
    frame = local_frame([(crs, float(x.mean()), float(y.mean()))])
    middles = np.column_stack(pyproj.Transformer.from_crs(crs, frame, always_xy=True).transform(x, y))
    shapes = shapely.buffer(shapely.points(middles), radius)
    names = [f"rough-{number}" for number in range(len(shapes))]
    table = {"patch": names, "surface": "rough", "net_m2": shapely.area(shapes)}
    return gpd.GeoDataFrame(table, geometry=list(shapes), crs=frame)


def test_feet_are_asked_for_and_then_taken(open_data, heights):
    """The plan of this raster is in US survey feet, and nothing says what its heights are in."""
    grid, transform, crs = heights(FEET)
    patches = patches_on(crs, transform, grid.shape, 40.0, 20)
    folder = open_data / "raster"
    asked = measure_relief(patches, Elevation((FEET,), folder))
    assert [finding.code for finding in asked.findings] == ["elevation_unit_unknown"]
    feet = measure_relief(patches, Elevation((FEET,), folder, units="US survey ft"))
    metres = measure_relief(patches, Elevation((FEET,), folder, units="m"))
    assert feet.findings == ()
    assert feet.cell_m == pytest.approx(30 * 1200 / 3937, rel=1e-3)
    ratio = metres.table["mean_slope_pct"] / feet.table["mean_slope_pct"]
    assert ratio.to_numpy() == pytest.approx(3937 / 1200, rel=1e-6)
    # in feet both ways, so that the slope of the raster's own numbers is the slope of the ground
    across, down = (rise / 30 for rise in horn_gradient(grid))
    factor = np.nanmean(gradient_area_factor(across, down))
    assert (feet.table["true_m2"].sum() / feet.table["net_m2"].sum()) == pytest.approx(factor, abs=0.01)


def test_true_areas_are_those_of_exactextract(open_data, heights):
    """The mean secant within each patch by exactextract, which cuts the cells itself."""
    exactextract = pytest.importorskip("exactextract")
    from exactextract.raster import NumPyRasterSource

    grid, transform, crs = heights(FEET)
    patches = patches_on(crs, transform, grid.shape, 37.0, 17)
    ours = measure_relief(patches, Elevation((FEET,), open_data / "raster", units="US survey ft"))
    factor = np.full(grid.shape, np.nan)
    factor[1:-1, 1:-1] = gradient_area_factor(*(rise / 30 for rise in horn_gradient(grid)))
    west, north = transform.c, transform.f
    rows, columns = grid.shape
    source = NumPyRasterSource(factor, west, north - 30 * rows, west + 30 * columns, north, nodata=np.nan)
    there = patches.to_crs(crs.to_wkt())
    features = [{"type": "Feature", "geometry": shapely.geometry.mapping(shape)} for shape in there.geometry]
    theirs = [one["properties"]["mean"] for one in exactextract.exact_extract(source, features, ["mean"])]
    # the plan of the state system is scaled by up to 1e-4, which slopes feel and exactextract does not know of
    assert (ours.table["true_m2"] / patches["net_m2"]).to_numpy() == pytest.approx(np.array(theirs), rel=1e-5)


def test_cells_of_real_outlines_add_up(open_data):
    """The shares of all cells sum to the area of the shape, borough by borough."""
    boroughs = gpd.read_file(open_data / "known_area" / "london_boroughs_half.geojson").to_crs(27700)
    for shape in shapely.orient_polygons(boroughs.geometry.to_numpy()):
        left, bottom, right, top = shape.bounds
        cell = (right - left) / 200
        scaled = shapely.transform(shape, lambda xy, left=left, bottom=bottom, cell=cell: (xy - (left, bottom)) / cell)
        points, ring = shapely.get_coordinates(shapely.get_rings(shapely.get_parts(scaled)), return_index=True)
        edges = np.flatnonzero(ring[1:] == ring[:-1])
        start, end, _ = parted_edges(points[edges], points[edges + 1])
        size = int(np.ceil((top - bottom) / cell)), int(np.ceil((right - left) / cell))
        assert cell_shares(start, end, size).sum() * cell**2 == pytest.approx(shape.area, rel=1e-10)


def test_degrees_give_slopes_in_metres(open_data, heights):
    """Three arc-seconds are 78 by 93 m at 32.7 degrees north: a slope in degrees of arc would be huge."""
    grid, transform, crs = heights(DEGREES)
    patches = patches_on(crs, transform, grid.shape, 600.0, 60)
    found = measure_relief(patches, Elevation((DEGREES,), open_data / "raster", units="m"))
    assert found.findings == ()
    assert found.cell_m == pytest.approx(np.sqrt(78.1 * 92.4), rel=0.005)
    # GRS 80 at 32.67 degrees: one second is 30.80 m of latitude and 26.07 m of longitude (closed form of the radii)
    e2, latitude = 0.00669438, np.radians(32.67)
    along = 6378137 * (1 - e2) / (1 - e2 * np.sin(latitude) ** 2) ** 1.5 * np.radians(3 / 3600)
    across = 6378137 * np.cos(latitude) / np.sqrt(1 - e2 * np.sin(latitude) ** 2) * np.radians(3 / 3600)
    rises = horn_gradient(grid)
    mean = np.nanmean(np.hypot(rises[0] / across, rises[1] / along)) * 100
    assert found.table["mean_slope_pct"].mean() == pytest.approx(mean, rel=0.25)
    assert found.table["height_min_m"].min() >= 147
    assert found.table["height_max_m"].max() <= 298


@pytest.mark.parametrize(
    ("name", "units", "code"),
    [
        ("corrupt.tif", "m", "elevation_unreadable"),
        ("rotated.tif", "m", "elevation_no_crs"),
        ("float_raster_with_nodata.tif", "m", "elevation_outside"),
    ],
)
def test_bad_rasters_are_a_finding_each(open_data, name, units, code):
    with rasterio.open(open_data / "raster" / "corrupt.tif") as file:
        crs, transform = pyproj.CRS(file.crs.to_wkt()), file.transform
    patches = patches_on(crs, transform, (1024, 1024), 30.0, 120)
    found = measure_relief(patches, Elevation((name,), open_data / "raster", units=units))
    assert [finding.code for finding in found.findings] == [code]
    assert found.table["true_m2"].isna().all()


def test_a_turned_raster_is_used_as_it_lies(open_data):
    """`rotated.tif` counts its cells: 10 more in each row, 1 more in each column; given a system, it is a plane."""
    with rasterio.open(open_data / "raster" / "rotated.tif") as file:
        grid, turned = file.read(1).astype(float), file.transform
    rises = {round(float(np.median(np.diff(grid, axis=axis))), 6) for axis in (0, 1)}
    assert len(rises) == 2
    crs = pyproj.CRS("EPSG:3035")
    middle = np.array([turned.a * 5 + turned.b * 7 + turned.c, turned.d * 5 + turned.e * 7 + turned.f])
    shape = shapely.Point(middle).buffer(25)
    patch = gpd.GeoDataFrame({"patch": ["a"], "surface": ["rough"], "net_m2": [shape.area]}, geometry=[shape], crs=crs)
    found = measure_relief(patch, Elevation(("rotated.tif",), open_data / "raster", units="m", crs="EPSG:3035"))
    assert [finding.code for finding in found.findings] == ["elevation_rotated"]
    columns, rows = np.array([turned.a, turned.d]), np.array([turned.b, turned.e])
    by_column, by_row = (float(np.median(np.diff(grid, axis=axis))) for axis in (1, 0))
    gradient = np.linalg.solve(np.array([columns, rows]), [by_column, by_row])
    assert found.table["mean_slope_pct"][0] == pytest.approx(100 * np.hypot(*gradient), rel=1e-3)
