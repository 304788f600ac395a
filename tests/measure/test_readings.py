"""
Readings laid on patches, against values that are known everywhere: planes, steps, and points with a known answer.

Shepard's inverse squared distance (D. Shepard, A two-dimensional interpolation function for irregularly-spaced data,
1968): midway between two points the mean, at a point its value. Linear interpolation gives back any plane.
"""

import geopandas as gpd
import numpy as np
import pandas as pd
import pytest
import rasterio
import shapely
from rasterio.io import MemoryFile
from rasterio.transform import Affine

from turfgis.errors import InputError, LayerError
from turfgis.measure.readings import ReadingFile, measure_readings, rate_raster, zones

FRAME = 3035  # an equal-area system in metres stands for the frame of a course
X, Y = 4_321_000.0, 3_210_000.0


@pytest.fixture
def patches():
    """Two greens of 20 m by 10 m, 40 m apart."""
    shapes = [shapely.box(X, Y, X + 20, Y + 10), shapely.box(X + 60, Y, X + 80, Y + 10)]
    columns = {"patch": ["green-01", "green-02"], "surface": "green", "hole": ["1", "2"], "net_m2": 200.0}
    return gpd.GeoDataFrame(columns, geometry=shapes, crs=FRAME)


def raster(folder, value, *, cell=1.0, crs=FRAME, nodata=None, left=X - 10, width=110, turn=None, **more):
    """A raster whose cells hold a function of their middles."""
    top, height = Y + 20, 30
    transform = turn or Affine(cell, 0, left, 0, -cell, top)
    columns, rows = np.meshgrid(np.arange(int(width / cell)) + 0.5, np.arange(int(height / cell)) + 0.5)
    x = transform.a * columns + transform.b * rows + transform.c
    y = transform.d * columns + transform.e * rows + transform.f
    values = np.broadcast_to(np.asarray(value(x - X, y - Y), dtype="float32"), x.shape)
    given = {"driver": "GTiff", "height": x.shape[0], "width": x.shape[1], "count": 1, "dtype": "float32"}
    with rasterio.open(folder / "r.tif", "w", crs=crs, transform=transform, nodata=nodata, **given) as out:
        out.write(values, 1)
    return ReadingFile("moisture", "r.tif", folder, **more)


def points(folder, rows, **more):
    pd.DataFrame(rows, columns=["x", "y", "value"]).assign(x=lambda t: t.x + X, y=lambda t: t.y + Y).to_csv(
        folder / "p.csv", index=False
    )
    return ReadingFile("moisture", "p.csv", folder, crs=f"EPSG:{FRAME}", **more)


# --- rasters -------------------------------------------------------------------------------------


def test_mean_and_spread_of_a_plane(patches, tmp_path):
    """A slope of s per metre over a width w: mean in the middle, standard deviation s w / sqrt(12) (uniform spread)."""
    table = measure_readings(patches, raster(tmp_path, lambda x, _: 10 + 0.5 * x, cell=0.5)).table.set_index("patch")
    assert table.loc["green-01", "mean"] == pytest.approx(10 + 0.5 * 10, abs=0.02)
    assert table.loc["green-02", "mean"] == pytest.approx(10 + 0.5 * 70, abs=0.02)
    assert table["spread"].to_numpy() == pytest.approx(0.5 * 20 / np.sqrt(12), rel=0.005)


@pytest.mark.parametrize(("low", "share"), [(12.5, 0.25), (15.0, 0.5), (0.0, 0.0), (99.0, 1.0)])
def test_share_under_a_threshold(patches, tmp_path, low, share):
    said = raster(tmp_path, lambda x, _: 10 + 0.5 * x, cell=0.5, low=low)
    assert measure_readings(patches, said).table["low_share"].iloc[0] == pytest.approx(share, abs=0.01)


def test_a_turned_raster_is_turned_back(patches, tmp_path):
    c, s = np.cos(0.4), np.sin(0.4)
    turn = Affine(0.5 * c, 0.5 * s, X - 30, 0.5 * s, -0.5 * c, Y + 10)
    said = raster(tmp_path, lambda x, _: 10 + 0.5 * x, cell=0.25, width=40, turn=turn)
    readings = measure_readings(patches, said)
    assert cell_at(readings, 5.25, 5.25) == pytest.approx(10 + 0.5 * 5.25, abs=0.3)
    assert cell_at(readings, 15.25, 8.25) == pytest.approx(10 + 0.5 * 15.25, abs=0.3)


def test_half_a_patch_gets_no_figure(patches, tmp_path):
    readings = measure_readings(patches, raster(tmp_path, lambda x, _: x, width=20))  # ends in the middle of green 1
    assert readings.table.empty
    (finding,) = readings.findings
    assert (finding.level, finding.code) == ("warning", "reading_part")
    assert "green-01" in finding.text


def test_no_data_inside_a_patch_counts_as_not_covered(patches, tmp_path):
    said = raster(tmp_path, lambda x, _: np.where(np.abs(x - 70) < 5, -1, 20.0), nodata=-1)
    readings = measure_readings(patches, said)
    assert readings.table["patch"].tolist() == ["green-01"]
    assert readings.table["mean"].tolist() == [20.0]


@pytest.mark.parametrize("sign", [-9999.0, -32768.0, -3.4028234663852886e38])
def test_undeclared_gaps_are_no_readings(patches, tmp_path, sign):
    readings = measure_readings(patches, raster(tmp_path, lambda x, _: np.where(x < 40, sign, 20.0)))
    assert readings.table[["patch", "mean"]].to_numpy().tolist() == [["green-02", 20.0]]
    assert [finding.code for finding in readings.findings] == ["reading_undeclared_gap"]
    told = measure_readings(patches, points(tmp_path, [(5, 5, 12.0), (15, 5, 12.0), (10, 5, sign)]))
    assert told.table["mean"].tolist() == pytest.approx([12.0])
    assert [finding.code for finding in told.findings] == ["reading_undeclared_gap"]


@pytest.mark.parametrize(
    ("given", "code"),
    [
        ({"crs": None}, "reading_unusable"),
        ({"left": X + 5000}, "reading_elsewhere"),
        ({"nodata": 7.0}, "reading_empty"),
    ],
)
def test_rasters_of_no_use(patches, tmp_path, given, code):
    readings = measure_readings(patches, raster(tmp_path, lambda x, _: 7.0 + 0 * x, **given))
    assert readings.grid is None
    assert readings.table.empty
    (finding,) = readings.findings
    assert (finding.level, finding.code) == ("error", code)


def test_no_such_file(patches, tmp_path):
    with pytest.raises(LayerError, match=r"away.tif: no such file for the readings 'firmness'"):
        measure_readings(patches, ReadingFile("firmness", "away.tif", tmp_path))


# --- points --------------------------------------------------------------------------------------


def cell_at(readings, x, y):
    grid = readings.grid
    column = int((X + x - grid.transform.c) / grid.transform.a)
    return grid.values[int((grid.transform.f - Y - y) / grid.transform.a), column]


def test_inverse_distance_at_and_between_points(patches, tmp_path):
    said = points(tmp_path, [(5.25, 5.25, 10), (15.25, 5.25, 30)])
    readings = measure_readings(patches, said)
    assert cell_at(readings, 5.25, 5.25) == pytest.approx(10, abs=0.01)
    assert cell_at(readings, 15.25, 5.25) == pytest.approx(30, abs=0.01)
    assert cell_at(readings, 10.25, 5.25) == pytest.approx(20, abs=0.01)
    # 2.5 and 7.5 m away: weights 9 to 1
    assert cell_at(readings, 7.75, 5.25) == pytest.approx((9 * 10 + 30) / 10, abs=0.01)
    assert readings.table["patch"].tolist() == ["green-01"]  # nothing is said of the other, 45 m away


def test_linear_gives_back_a_plane(patches, tmp_path):
    rows = [(x, y, 3 + 0.2 * x - 0.1 * y) for x in (-2, 6, 14, 22) for y in (-2, 4, 12)]
    readings = measure_readings(patches, points(tmp_path, rows, linear=True))
    assert cell_at(readings, 9.25, 7.25) == pytest.approx(3 + 0.2 * 9.25 - 0.1 * 7.25, abs=1e-6)
    assert readings.table["mean"].iloc[0] == pytest.approx(3 + 0.2 * 10 - 0.1 * 5, abs=0.01)


def test_points_that_cannot_be_used(patches, tmp_path):
    far = measure_readings(patches, points(tmp_path, [(4000, 0, 1.0)]))
    assert [finding.code for finding in far.findings] == ["reading_elsewhere"]
    words = measure_readings(patches, points(tmp_path, [(5, 5, "wet")]))
    assert "no number in the column 'value'" in words.findings[0].text
    other = measure_readings(patches, points(tmp_path, [(5, 5, 1.0)], column="moisture"))
    assert "no column 'moisture'" in other.findings[0].text
    few = measure_readings(patches, points(tmp_path, [(5, 5, 1.0), (6, 6, 2.0)], linear=True))
    assert "too few" in few.findings[0].text


def test_only_surfaces_they_were_taken_on(patches, tmp_path):
    patches["surface"] = ["green", "tee"]
    readings = measure_readings(patches, raster(tmp_path, lambda x, _: x, on=("tee",)))
    assert readings.table["patch"].tolist() == ["green-02"]
    none = measure_readings(patches, raster(tmp_path, lambda x, _: x, on=("bunker",)))
    assert "The course has no bunker" in none.findings[0].text


# --- zones ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("count", [2, 3, 5])
def test_zones_have_equal_shares_and_lose_no_ground(patches, tmp_path, count):
    readings = measure_readings(patches, raster(tmp_path, lambda x, y: x + 0.01 * y, cell=0.5))
    parted = zones(patches, readings.grid, count)
    by_zone = parted.groupby("zone")["area_m2"].sum()
    assert by_zone.to_numpy() == pytest.approx(400 / count, rel=0.03)
    assert parted.groupby("patch")["area_m2"].sum().to_numpy() == pytest.approx(200, rel=1e-9)
    # The lowest values come first.
    assert parted[parted["zone"] == 1]["patch"].unique().tolist() == ["green-01"]


def test_rates_as_a_raster(patches, tmp_path):
    readings = measure_readings(patches, raster(tmp_path, lambda x, _: x, cell=0.5))
    parted = zones(patches, readings.grid, 2)
    with MemoryFile(rate_raster(parted, readings.grid, [2.0, 1.0], "mm")) as memory, memory.open() as out:
        values = out.read(1)
        assert out.units == ("mm",)
        assert out.crs.to_epsg() == FRAME
        assert np.nansum(values == 2.0) * out.res[0] ** 2 == pytest.approx(200, rel=0.03)
        assert np.isnan(values).any()


def test_too_few_values_for_the_zones(patches, tmp_path):
    readings = measure_readings(patches, raster(tmp_path, lambda x, _: 5.0 + 0 * x))
    with pytest.raises(InputError, match="too much alike for 3 zones"):
        zones(patches, readings.grid, 3)
    with pytest.raises(InputError, match="choose from 2 to 9"):
        zones(patches, readings.grid, 1)
