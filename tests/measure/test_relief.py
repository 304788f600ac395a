"""Slopes and true areas of patches on ground known in closed form, and rasters that cannot give them."""

import shutil
from collections.abc import Callable
from pathlib import Path

import geopandas as gpd
import numpy as np
import pyproj
import pytest
import rasterio
import shapely
from rasterio.transform import from_origin

from turfgis.errors import LayerError
from turfgis.layers.findings import CODES
from turfgis.measure.relief import measure_relief
from turfgis.measure.relief_grid import Elevation

FRAME = pyproj.CRS.from_epsg(3035)  # equal-area, and true to length near its origin
CORNER = np.array([4_321_000.0, 3_210_000.0])
SIDE = 200.0


def ground(cell: float = 0.5, side: float = SIDE) -> tuple[np.ndarray, np.ndarray]:
    """East and north of the middles of cells, from the corner. [m]"""
    count = round(side / cell)
    middles = (np.arange(count) + 0.5) * cell
    return np.meshgrid(middles, middles[::-1])


@pytest.fixture
def raster(tmp_path: Path) -> Callable[..., str]:
    """Write heights; the first cell lies in the north-west."""

    def write(heights, name="heights.tif", cell=0.5, crs="EPSG:3035", transform=None, unit="m", nodata=None) -> str:
        heights = np.asarray(heights, dtype="float64")
        transform = transform or from_origin(CORNER[0], CORNER[1] + heights.shape[0] * cell, cell, cell)
        rows, columns = heights.shape
        made = {"driver": "GTiff", "height": rows, "width": columns, "count": 1, "dtype": "float64", "nodata": nodata}
        with rasterio.open(tmp_path / name, "w", crs=crs, transform=transform, **made) as file:
            file.write(heights, 1)
            if unit:
                file.units = [unit]
        return name

    return write


@pytest.fixture
def relief(tmp_path: Path):
    """Measure patches given as shapes from the corner."""

    def measure(*files: str, shapes, surfaces=None, **said):
        moved = [shapely.transform(shape, lambda xy: xy + CORNER) for shape in shapes]
        rows = {
            "patch": [f"patch-{number}" for number in range(len(moved))],
            "surface": surfaces or ["rough"] * len(moved),
            "net_m2": [shape.area for shape in moved],
        }
        return measure_relief(gpd.GeoDataFrame(rows, geometry=moved, crs=FRAME), Elevation(files, tmp_path, **said))

    return measure


def disc(x=100.0, y=100.0, radius=20.0):
    return shapely.Point(x, y).buffer(radius, quad_segs=32)


def codes(found) -> list[str]:
    assert {finding.code for finding in found.findings} <= set(CODES)
    return [finding.code for finding in found.findings]


def test_tilted_plane(raster, relief):
    """A rise of 0.3 east and 0.4 north is 50 %, and falls to the south-west: 180 + arctan 0.75 degrees."""
    east, north = ground()
    shapes = [
        disc(),
        disc(40, 60, 3.3),
        disc(60, 150, 0.9),
        disc().difference(disc(radius=11)),
        shapely.box(3, 3, 197, 9),
    ]
    found = relief(raster(100 + 0.3 * east + 0.4 * north), shapes=shapes)
    table, net = found.table, np.array([shape.area for shape in shapes])
    assert codes(found) == []
    assert table["true_m2"].to_numpy() == pytest.approx(net * np.sqrt(1.25), rel=1e-9)
    for name in ("mean_slope_pct", "steepest_slope_pct"):
        assert table[name].to_numpy() == pytest.approx(50.0, rel=1e-9)
    assert table["p95_slope_pct"].to_numpy() == pytest.approx(50.0, abs=0.1)
    assert table["aspect_deg"].to_numpy() == pytest.approx(180 + np.degrees(np.arctan(0.75)))
    assert table["true_noise_m2"].to_numpy() == pytest.approx(0, abs=1e-9)
    assert found.cell_m == pytest.approx(0.5, rel=1e-6)
    # heights of the middles of cells, up to half a cell within the rim
    assert table["height_max_m"][0] == pytest.approx(100 + 70 + 0.5 * 20, abs=0.3)
    assert table["height_min_m"][0] == pytest.approx(100 + 70 - 0.5 * 20, abs=0.3)


def test_sixteen_degrees_are_sixteen_degrees(raster, relief):
    east, _ = ground()
    found = relief(raster(np.tan(np.radians(16)) * east), shapes=[disc()])
    assert found.table["steepest_slope_pct"][0] == pytest.approx(28.6745, abs=1e-3)
    over = [float(found.share_over(np.radians(limit))[0]) for limit in (15.9, 16.1)]
    assert over == pytest.approx([1.0, 0.0], abs=1e-9)


def test_cone(raster, relief):
    """A cone of 30 degrees: area pi r2 / cos 30; its tip, which no cell holds, costs some hundredths of a per cent."""
    east, north = ground(0.25)
    found = relief(raster(-np.tan(np.radians(30)) * np.hypot(east - 100, north - 100), cell=0.25), shapes=[disc()])
    assert found.table["true_m2"][0] / disc().area == pytest.approx(1 / np.cos(np.radians(30)), rel=3e-4)
    assert np.isnan(found.table["aspect_deg"][0])  # it falls to all sides
    assert found.table["p95_slope_pct"][0] == pytest.approx(57.735, abs=0.05)


def test_hemisphere(raster, relief):
    """A dome of radius 50 m cut at a radius of 30 m: its cap has the area 2 pi R h, h = 50 - 40 m."""
    east, north = ground(0.25)
    height = np.sqrt(np.maximum(50**2 - (east - 100) ** 2 - (north - 100) ** 2, 0))
    cut = shapely.Point(100, 100).buffer(30, quad_segs=256)
    found = relief(raster(height, cell=0.25), shapes=[cut])
    assert found.table["true_m2"][0] == pytest.approx(2 * np.pi * 50 * 10, rel=1e-4)
    assert found.table["steepest_slope_pct"][0] == pytest.approx(100 * 30 / 40, rel=0.01)
    x, y = (found.table[f"steepest_{axis}_m"][0] - CORNER[at] for at, axis in enumerate("xy"))
    assert np.hypot(x - 100, y - 100) == pytest.approx(30, abs=0.3)
    # a quarter of the ground lies within 15 m of the middle, where the slope is up to 15 / sqrt(50^2 - 15^2)
    assert found.share_over(np.arctan(15 / np.sqrt(50**2 - 15**2)))[0] == pytest.approx(0.75, abs=0.01)


def test_blocks_add_up_to_the_patch(raster, relief, monkeypatch):
    east, north = ground()
    heights = 3 * np.sin(east / 9) * np.cos(north / 7)
    two = shapely.union(disc(30, 30, 11), disc(150, 170, 12))
    shapes = [disc(radius=60).difference(disc(110, 95, 8)), shapely.box(5, 5, 190, 12), two]
    whole = relief(raster(heights), shapes=shapes).table
    monkeypatch.setattr("turfgis.measure.relief_cells.BLOCK", 37)
    parts = relief("heights.tif", shapes=shapes).table
    assert parts.to_numpy() == pytest.approx(whole.to_numpy(), rel=1e-9, nan_ok=True)


GRIDS = {
    "degrees": "EPSG:4258",
    "US survey feet": "+proj=laea +lat_0=52 +lon_0=10 +ellps=GRS80 +units=us-ft",
    "web map": "EPSG:3857",
    "transverse Mercator": "EPSG:25832",
}


@pytest.mark.parametrize("name", GRIDS)
@pytest.mark.parametrize("turned", [0.0, 27.0], ids=["", "turned"])
def test_any_grid_gives_the_slope_of_the_ground(raster, relief, name, turned):
    """The same plane on grids of other systems, straight and turned; heights are put on each by its own middles."""
    crs = pyproj.CRS(GRIDS[name])
    way = pyproj.Transformer.from_crs(FRAME, crs, always_xy=True)
    x, y = way.transform(*(CORNER + 100))
    nearby = np.array(way.transform(CORNER[0] + 101, CORNER[1] + 100)) - (x, y)
    cell = float(np.hypot(*nearby)) * 0.7
    c, s = cell * np.cos(np.radians(turned)), cell * np.sin(np.radians(turned))
    transform = rasterio.Affine(c, s, x - 150 * (c + s), s, -c, y + 150 * (c - s))
    columns, rows = np.meshgrid(np.arange(300) - 149.5, np.arange(300) - 149.5)
    places = x + c * columns + s * rows, y + s * columns - c * rows
    east, north = way.transform(*places, direction="INVERSE")
    heights = 0.12 * (east - CORNER[0]) - 0.31 * (north - CORNER[1])
    found = relief(raster(heights, crs=crs, transform=transform), shapes=[disc(), disc(90, 120, 4.2)])
    assert codes(found) == (["elevation_rotated"] if turned else [])
    assert found.table["true_m2"].to_numpy() == pytest.approx(
        found.table["net_m2"].to_numpy() * np.sqrt(1 + 0.12**2 + 0.31**2), rel=3e-6
    )
    assert found.table["aspect_deg"][0] == pytest.approx(np.degrees(np.arctan2(-0.12, 0.31)) % 360, abs=0.01)


@pytest.mark.parametrize(("unit", "metres"), [("ft", 0.3048), ("US survey foot", 1200 / 3937), ("metre", 1.0)])
def test_unit_is_taken_from_the_raster(raster, relief, unit, metres):
    east, _ = ground()
    found = relief(raster(0.2 * east / metres, unit=unit), shapes=[disc()])
    assert found.table["mean_slope_pct"][0] == pytest.approx(20.0, rel=1e-9)
    assert codes(found) == []


def test_unit_is_taken_from_the_heights_of_a_compound_system(raster, relief):
    """NAVD88 in US survey feet; the plan is put in the frame by its own code."""
    east, _ = ground()
    system = pyproj.crs.CompoundCRS("plan and height", ["EPSG:3035", "EPSG:6360"])
    found = relief(raster(0.2 * east * 3937 / 1200, crs=system.to_wkt(), unit=None), shapes=[disc()])
    assert found.table["mean_slope_pct"][0] == pytest.approx(20.0, rel=1e-9)


def test_unit_is_asked_for_where_nobody_says_it(raster, relief):
    east, _ = ground()
    found = relief(raster(0.2 * east, unit=None), shapes=[disc()])
    assert codes(found) == ["elevation_unit_unknown"]
    assert 'units = "m"' in found.findings[0].text
    assert found.table["true_m2"].isna().all()
    assert codes(relief("heights.tif", shapes=[disc()], units="m")) == []


def test_settings_go_before_the_raster_and_say_so(raster, relief):
    east, _ = ground()
    found = relief(raster(0.2 * east, unit="m"), shapes=[disc()], units="ft")
    assert codes(found) == ["elevation_unit_replaced"]
    assert found.table["mean_slope_pct"][0] == pytest.approx(20 * 0.3048)


def test_feet_taken_for_metres_are_caught_on_greens(raster, relief):
    """Greens of 2.5 % would slope 8 %."""
    east, _ = ground()
    heights, greens = 0.025 * east / 0.3048, {"shapes": [disc(), disc(50, 50, 10)], "surfaces": ["green", "bunker"]}
    found = relief(raster(heights, unit=None), units="m", **greens)
    assert codes(found) == ["elevation_implausible"]
    assert found.table["true_m2"].isna().all()
    right = relief("heights.tif", units="ft", **greens)
    assert codes(right) == []
    assert right.table["mean_slope_pct"].to_numpy() == pytest.approx(2.5)


def test_feet_are_caught_on_greens_among_many_level_tees(raster, relief):
    """Greens of 2.5 % in feet, and more tees of 1 %, which look like 3 % and could be true."""
    east, _ = ground()
    heights = np.where(east < 100, 0.025 * east, 2.5 + 0.01 * (east - 100)) / 0.3048
    tees = [disc(130 + 40 * (number % 2), 20 + 40 * (number // 2), 8) for number in range(6)]
    found = relief(
        raster(heights, unit=None), units="m", shapes=[disc(50, 50, 10), *tees], surfaces=["green"] + ["tee"] * 6
    )
    assert codes(found) == ["elevation_implausible"]


def test_no_reference_system(raster, relief):
    east, _ = ground()
    found = relief(raster(0.2 * east, crs=None), shapes=[disc()])
    assert codes(found) == ["elevation_no_crs"]
    assert relief("heights.tif", shapes=[disc()], crs="EPSG:3035").table["mean_slope_pct"][0] == pytest.approx(20.0)


def test_outside_the_course(raster, relief):
    east, _ = ground()
    found = relief(raster(east, transform=from_origin(4_000_000, 3_000_000, 0.5, 0.5)), shapes=[disc()])
    assert codes(found) == ["elevation_outside"]
    assert found.table["true_m2"].isna().all()


@pytest.mark.filterwarnings("error::RuntimeWarning")
@pytest.mark.parametrize("crs", ["EPSG:32755", "EPSG:3031", "EPSG:27700"])
def test_a_system_that_cannot_show_the_course(raster, relief, crs):
    east, _ = ground()
    found = relief(raster(0.2 * east, crs=None), shapes=[disc()], crs=crs)
    assert codes(found) == ["elevation_outside"]


def test_half_a_patch_gets_no_figures(raster, relief):
    east, _ = ground()
    heights = np.where(east < 100, 0.2 * east, -32768.0)
    found = relief(raster(heights, nodata=-32768.0), shapes=[disc(), disc(40, 40, 10)])
    assert codes(found) == ["elevation_part"]
    assert "patch-0" in found.findings[0].text
    assert np.isnan(found.table["true_m2"]).tolist() == [True, False]
    assert found.table["relief_share"].to_numpy() == pytest.approx([0.49, 1.0], abs=0.02)
    assert np.isnan(found.share_over(0.1)).tolist() == [True, False]


def test_only_the_rim_of_a_patch_is_known(raster, relief):
    """Cells that the outline cuts are known, and none that lies within: no steepest place, and no traceback."""
    east, _ = ground()
    heights = np.where(east < 11, 0.2 * east, -1.0)
    square = shapely.box(10.3, 20, 40, 40)
    found = relief(raster(heights, nodata=-1.0), shapes=[square, disc(5, 60, 3)])
    assert codes(found) == ["elevation_part"]
    assert found.table["steepest_slope_pct"].isna().tolist() == [True, False]


def test_all_gaps(raster, relief):
    found = relief(raster(np.full((400, 400), -9.0), nodata=-9.0), shapes=[disc()])
    assert codes(found) == ["elevation_empty"]


@pytest.mark.parametrize("height", [0.0, 37.5])
def test_one_height_everywhere_is_no_ground(raster, relief, height):
    found = relief(raster(np.full((400, 400), height)), shapes=[disc(), disc(40, 60, 9)], surfaces=["green", "tee"])
    assert codes(found) == ["elevation_flat"]
    assert f"is {height:g} m" in found.findings[0].text
    assert found.table[["true_m2", "mean_slope_pct", "steepest_slope_pct"]].isna().all(axis=None)


def test_heights_turned_away_from_the_course_are_said_to_lie_askew(raster, relief):
    """A grid that says it is turned by 20 degrees and is not: greens come to lie on a bank."""
    east, north = ground()
    bank = 100 + 0.01 * east + np.where(np.abs(north - 100) < 30, 0.0, 0.8 * (np.abs(north - 100) - 30))
    turned = from_origin(CORNER[0], CORNER[1] + SIDE, 0.5, 0.5) @ rasterio.Affine.rotation(20.0)
    shapes = [disc(150, 100, 12), disc(160, 110, 12)]
    assert codes(relief(raster(bank), shapes=shapes, surfaces=["green"] * 2)) == []
    found = relief(raster(bank, transform=turned), shapes=shapes, surfaces=["green"] * 2)
    assert codes(found) == ["elevation_rotated", "elevation_implausible"]
    assert "askew to it (the raster says that its grid is turned)" in found.findings[-1].text
    assert found.table["true_m2"].isna().all()


@pytest.mark.parametrize("figure", [-9999.0, -32768.0, -3.4028234663852886e38, 99999.0])
def test_undeclared_gaps(raster, relief, figure):
    east, _ = ground()
    found = relief(raster(np.where(east < 55, figure, 0.2 * east)), shapes=[disc(), disc(40, 100, 10)])
    assert codes(found) == ["elevation_undeclared_gap", "elevation_part"]
    assert found.table["mean_slope_pct"][0] == pytest.approx(20.0)
    assert np.isnan(found.table["mean_slope_pct"][1])


def test_cells_too_large_for_a_patch(raster, relief):
    east, _ = ground(10.0)
    found = relief(raster(0.2 * east, cell=10.0), shapes=[disc(radius=4), disc(radius=40)])
    assert codes(found) == ["elevation_coarse"]
    assert np.isnan(found.table["true_m2"]).tolist() == [True, False]


def test_broken_off_file(raster, relief, tmp_path):
    """Whether its directory is lost with the end or stands at its beginning."""
    east, _ = ground()
    whole = (tmp_path / raster(0.2 * east)).read_bytes()
    (tmp_path / "short.tif").write_bytes(whole[: len(whole) // 3])
    plain = (tmp_path / raster(0.2 * east, unit=None)).read_bytes()
    (tmp_path / "plain.tif").write_bytes(plain[: len(plain) // 3])
    for name in ("short.tif", "plain.tif"):
        found = relief(name, shapes=[disc()], units="m")
        assert codes(found) == ["elevation_unreadable"]
        assert found.table["true_m2"].isna().all()


def test_a_file_that_is_no_raster(relief, tmp_path):
    (tmp_path / "words.tif").write_text("heights")
    assert codes(relief("words.tif", shapes=[disc()])) == ["elevation_unreadable"]


@pytest.mark.parametrize(("name", "words"), [("none.tif", "no such file"), ("none*.tif", "no file of this pattern")])
def test_files_that_are_not_there(relief, name, words):
    with pytest.raises(LayerError, match=words):
        relief(name, shapes=[disc()])


def test_tiles_and_a_virtual_mosaic_give_what_one_raster_gives(raster, relief, tmp_path):
    """Slopes across the seams too: the patch lies on all four tiles."""
    east, north = ground()
    heights = 3 * np.sin(east / 9) * np.cos(north / 7)
    whole = relief(raster(heights, "whole.tif"), shapes=[disc()]).table
    for row in (0, 1):
        for column in (0, 1):
            part = heights[200 * row : 200 * (row + 1), 200 * column : 200 * (column + 1)]
            place = from_origin(CORNER[0] + 100 * column, CORNER[1] + 200 - 100 * row, 0.5, 0.5)
            raster(part, f"tile_{row}{column}.tif", transform=place)
    found = relief("tile_*.tif", shapes=[disc()])
    assert codes(found) == []
    assert found.table.to_numpy() == pytest.approx(whole.to_numpy(), rel=1e-12, nan_ok=True)
    named = relief(*(f"tile_{row}{column}.tif" for row in (1, 0) for column in (0, 1)), shapes=[disc()])
    assert named.table.to_numpy() == pytest.approx(whole.to_numpy(), rel=1e-12, nan_ok=True)
    sources = "".join(
        f'<SimpleSource><SourceFilename relativeToVRT="1">tile_{row}{column}.tif</SourceFilename>'
        "<SourceBand>1</SourceBand>"
        f'<SrcRect xOff="0" yOff="0" xSize="200" ySize="200"/>'
        f'<DstRect xOff="{200 * column}" yOff="{200 * row}" xSize="200" ySize="200"/></SimpleSource>'
        for row in (0, 1)
        for column in (0, 1)
    )
    (tmp_path / "mosaic.vrt").write_text(
        '<VRTDataset rasterXSize="400" rasterYSize="400"><SRS>EPSG:3035</SRS>'
        f"<GeoTransform>{CORNER[0]}, 0.5, 0, {CORNER[1] + 200}, 0, -0.5</GeoTransform>"
        f'<VRTRasterBand dataType="Float64" band="1"><UnitType>m</UnitType>{sources}</VRTRasterBand></VRTDataset>'
    )
    mosaic = relief("mosaic.vrt", shapes=[disc()])
    assert mosaic.table.to_numpy() == pytest.approx(whole.to_numpy(), rel=1e-12, nan_ok=True)


def test_tiles_that_do_not_fit_together(raster, relief):
    east, _ = ground()
    raster(0.2 * east, "one.tif")
    raster(0.2 * east, "two.tif", transform=from_origin(CORNER[0] + 200.2, CORNER[1] + 200, 0.5, 0.5))
    found = relief("one.tif", "two.tif", shapes=[disc()])
    assert codes(found) == ["elevation_tiles"]
    assert "two.tif" in found.findings[0].text


def test_noise_adds_area_that_is_told_and_smoothing_takes_it_away(raster, relief):
    """Errors of 3 cm on a level field with cells of 0.5 m: 3/16 (0.03 / 0.5)^2 = 0.07 % too much."""
    noise = np.random.default_rng(8).normal(0, 0.03, (400, 400))
    raw = relief(raster(noise), shapes=[disc(radius=80)])
    more = (raw.table["true_m2"] - raw.table["net_m2"])[0]
    assert raw.noise_m == pytest.approx(0.03, rel=0.05)
    assert raw.table["true_noise_m2"][0] == pytest.approx(more, rel=0.05)
    told = relief("heights.tif", shapes=[disc(radius=80)], accuracy_m=0.03)
    assert told.table["true_noise_m2"][0] == pytest.approx(more, rel=0.05)
    smooth = relief("heights.tif", shapes=[disc(radius=80)], smoothing_m=3.0)
    left = (smooth.table["true_m2"] - smooth.table["net_m2"])[0]
    assert left < more / 50
    assert smooth.table["true_noise_m2"][0] == pytest.approx(left, rel=0.1)


def test_folder_with_odd_signs_in_its_name(raster, relief, tmp_path):
    """A pattern is one only where no file has that very name."""
    east, _ = ground()
    shutil.copy(tmp_path / raster(0.2 * east), tmp_path / "heights [1].tif")
    assert relief("heights [1].tif", shapes=[disc()]).table["mean_slope_pct"][0] == pytest.approx(20.0)
