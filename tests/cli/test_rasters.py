"""Rasters that cannot be used, or only in part, through the command line: a finding each, and never a traceback."""

import numpy as np
import pytest
import rasterio
from rasterio.transform import Affine, from_origin
from shapely.geometry import box

EAST, NORTH = 441_000.0, 714_000.0
GRID = "EPSG:2157"
SIDE = 200.0
SETTINGS = """
name = "Invented Links"
[[layer]]
file = "course.geojson"
surface_from = "kind"
accuracy = "0.1 m"
"""
HEIGHTS = '[elevation]\nfile = "r.tif"\nunits = "m"\n'
PHOTO = '[photo]\nfile = "r.tif"\n'
READING = '[[reading]]\nname = "moisture"\nfile = "r.tif"\nlow = 12\n'


@pytest.fixture
def course(tmp_path):
    """Three patches in a square of 200 m."""
    import geopandas as gpd

    kinds, places = ["green", "green", "tee"], [(20, 90, 25), (150, 90, 25), (90, 20, 12)]
    shapes = [box(EAST + x, NORTH + y, EAST + x + side, NORTH + y + side) for x, y, side in places]
    gpd.GeoDataFrame({"kind": kinds}, geometry=shapes, crs=GRID).to_crs(4326).to_file(tmp_path / "course.geojson")
    return tmp_path


def write(
    folder, value, *, bands=1, dtype="float32", crs: str | None = GRID, nodata=None, left=EAST, turn=0.0, cell=0.5
):
    """A raster over the course, whose cells hold a function of metres east and north, turned about its middle."""
    count = int(SIDE / cell)
    transform = from_origin(left, NORTH + SIDE, cell, cell)
    transform = Affine.rotation(turn, (left + SIDE / 2, NORTH + SIDE / 2)) @ transform
    columns, rows = np.meshgrid(np.arange(count) + 0.5, np.arange(count) + 0.5)
    east = transform.a * columns + transform.b * rows + transform.c - EAST
    north = transform.d * columns + transform.e * rows + transform.f - NORTH
    values = np.broadcast_to(value(east, north), east.shape).astype(dtype)
    given = {"driver": "GTiff", "width": count, "height": count, "count": bands, "dtype": dtype, "nodata": nodata}
    with rasterio.open(folder / "r.tif", "w", crs=crs, transform=transform, **given) as out:
        for band in range(1, bands + 1):
            out.write(values, band)
    return folder / "r.tif"


def broken(file):
    """The file without its second half."""
    content = file.read_bytes()
    file.write_bytes(content[: len(content) // 2])


def ground(east, north):
    return 30 + 0.02 * east + 0.01 * north + 0.2 * np.sin(east / 9)


def asked(turfgis, course, text, *more):
    (course / "course.toml").write_text(SETTINGS + text, encoding="utf-8")
    done = turfgis("check", course, "--format", "csv", *more)
    assert "Traceback" not in done.out + done.err
    return done


WRONG_HEIGHTS = {
    "one height": (lambda folder: write(folder, lambda x, y: 0.0), "elevation_flat"),
    "nothing known": (lambda folder: write(folder, lambda x, y: -32000.0, nodata=-32000.0), "elevation_empty"),
    "all undeclared": (lambda folder: write(folder, lambda x, y: -9999.0), "elevation_empty"),
    "in feet": (lambda folder: write(folder, lambda x, y: 4 * ground(x, y) / 0.3048), "elevation_implausible"),
    "elsewhere": (lambda folder: write(folder, ground, left=EAST + 9000), "elevation_outside"),
    "no system": (lambda folder: write(folder, ground, crs=None), "elevation_no_crs"),
    "broken off": (lambda folder: broken(write(folder, ground)), "elevation_unreadable"),
    "half a patch": (lambda folder: write(folder, ground, left=EAST + 30), "elevation_part"),
    "half undeclared": (
        lambda folder: write(folder, lambda x, y: np.where(x < 100, -9999.0, ground(x, y))),
        "elevation_undeclared_gap",
    ),
}


@pytest.mark.parametrize("wrong", WRONG_HEIGHTS)
def test_heights(turfgis, course, wrong):
    make, code = WRONG_HEIGHTS[wrong]
    make(course)
    assert code in asked(turfgis, course, HEIGHTS).out
    done = turfgis("areas", course, "--by", "patch", "--format", "csv")
    assert done.code == 0, done.err
    assert "Traceback" not in turfgis("slope", course).err


WRONG_PHOTOS = {
    "nothing known": (lambda folder: write(folder, lambda x, y: 0.0, bands=3, dtype="uint8", nodata=0), "photo_empty"),
    "elsewhere": (
        lambda folder: write(folder, lambda x, y: x % 200, bands=3, dtype="uint8", left=EAST + 9000),
        "photo_elsewhere",
    ),
    "no system": (
        lambda folder: write(folder, lambda x, y: x % 200, bands=3, dtype="uint8", crs=None),
        "photo_unusable",
    ),
    "broken off": (
        lambda folder: broken(write(folder, lambda x, y: x % 200, bands=3, dtype="uint8")),
        "photo_unusable",
    ),
    "half the course": (
        lambda folder: write(folder, lambda x, y: x % 200, bands=3, dtype="uint8", left=EAST + 80),
        "photo_part",
    ),
}


@pytest.mark.parametrize("wrong", WRONG_PHOTOS)
def test_photos(turfgis, course, wrong):
    make, code = WRONG_PHOTOS[wrong]
    make(course)
    assert code in asked(turfgis, course, PHOTO).out
    done = turfgis("map", course, "-o", course / "map.html")
    assert done.code == 0, done.err
    assert "Traceback" not in done.err


WRONG_READINGS = {
    "nothing known": (lambda folder: write(folder, lambda x, y: -1.0, nodata=-1.0), "reading_empty"),
    "all undeclared": (lambda folder: write(folder, lambda x, y: -9999.0), "reading_empty"),
    "elsewhere": (lambda folder: write(folder, ground, left=EAST + 9000), "reading_elsewhere"),
    "no system": (lambda folder: write(folder, ground, crs=None), "reading_unusable"),
    "broken off": (lambda folder: broken(write(folder, ground)), "reading_unusable"),
    "half a patch": (lambda folder: write(folder, ground, left=EAST + 30), "reading_part"),
}


@pytest.mark.parametrize("wrong", WRONG_READINGS)
def test_readings(turfgis, course, wrong):
    make, code = WRONG_READINGS[wrong]
    make(course)
    assert code in asked(turfgis, course, READING).out
    done = turfgis("readings", course)
    assert "Traceback" not in done.err


def test_rasters_really_turned_give_what_straight_ones_give(turfgis, course):
    """Cells that lie at 20 degrees to the grid are read where they lie."""
    said = {}
    for turn in (0.0, 20.0):
        write(course, ground, turn=turn)
        (course / "course.toml").write_text(SETTINGS + HEIGHTS + READING, encoding="utf-8")
        areas = turfgis("areas", course, "--by", "patch", "--format", "json")
        readings = turfgis("readings", course, "--format", "json")
        assert (areas.code, readings.code) == (0, 0), areas.err + readings.err
        said[turn] = figures(areas.out, "true_m2"), figures(readings.out, "mean")
    assert said[20.0][0] == pytest.approx(said[0.0][0], rel=1e-4)
    assert said[20.0][1] == pytest.approx(said[0.0][1], abs=0.02)


def figures(text: str, column: str) -> list[float]:
    """All figures of a column in what a command printed as JSON."""
    import json

    rows = json.loads(text)
    rows = rows if isinstance(rows, list) else next(value for value in rows.values() if isinstance(value, list))
    found = [value for row in rows for name, value in row.items() if name == column or name.startswith(column + "_")]
    assert found, rows[0]
    return [value for value in found if value is not None]
