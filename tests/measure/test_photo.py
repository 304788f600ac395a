"""
A photo on the map shows each thing where it is, fits the room it is given, and is left out where it would mislead.

Places are held against pyproj, which has no hand in warping a raster.
"""

import warnings
from pathlib import Path

import geopandas as gpd
import numpy as np
import pyproj
import pytest
import rasterio
import shapely
from rasterio.errors import NotGeoreferencedWarning
from rasterio.io import MemoryFile
from rasterio.transform import Affine, rowcol
from rasterio.warp import transform_bounds

from turfgis.errors import LayerError
from turfgis.measure.photo import PAPER, PhotoFile, Picture, read_photo

GRID = 32632
CORNER = (500_200.0, 5_300_300.0)
PIXEL = 0.5
SIZE = (600, 800)  # rows and columns
DOTS = [(500_260.25, 5_300_255.25), (500_540.25, 5_300_270.25), (500_420.25, 5_300_080.25)]
C, S = np.cos(0.436), np.sin(0.436)  # 25 degrees
TURNED = Affine(*(PIXEL * np.array([C, S])), 500_150, *(PIXEL * np.array([S, -C])), 5_300_180)
UPRIGHT = Affine(PIXEL, 0, CORNER[0], 0, -PIXEL, CORNER[1])


def course(x: float = 500_240.0, y: float = 5_300_050.0) -> gpd.GeoDataFrame:
    """A fairway, and two greens at its ends."""
    shapes = [shapely.box(x, y, x + 320, y + 220), shapely.box(x, y, x + 25, y + 25)]
    shapes.append(shapely.box(x + 280, y + 190, x + 310, y + 215))
    shapes[0] = shapes[0].difference(shapes[1]).difference(shapes[2])
    return gpd.GeoDataFrame({"surface": ["fairway", "green", "green"]}, geometry=shapes, crs=GRID)


def grass(transform: Affine = UPRIGHT, dots=DOTS, size=SIZE) -> np.ndarray:
    """Dull green with white spots 2.5 m wide, bands first."""
    rng = np.random.default_rng(7)
    image = np.array([70, 110, 50])[:, None, None] + rng.integers(-25, 25, size=(1, *size))
    for x, y in dots:
        column, row = (int(part) for part in rowcol(transform, x, y)[::-1])
        image[:, row - 2 : row + 3, column - 2 : column + 3] = 255
    return image.astype(np.uint8)


def write(file: Path, image: np.ndarray, transform: Affine | None = UPRIGHT, crs=GRID, **more) -> PhotoFile:
    profile = {"driver": "GTiff", "count": len(image), "dtype": image.dtype} | more
    profile |= {"height": image.shape[1], "width": image.shape[2]}
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", NotGeoreferencedWarning)
        with rasterio.open(file, "w", crs=crs, transform=transform, **profile) as out:
            out.write(image)
    return PhotoFile(file.name, file.parent)


def pixels(picture: Picture) -> np.ndarray:
    with warnings.catch_warnings(), MemoryFile(picture.content) as file:
        warnings.simplefilter("ignore", NotGeoreferencedWarning)
        with file.open() as image:
            assert image.driver == "JPEG"
            return image.read()


def seen_at(picture: Picture, x: float, y: float, crs: int = GRID, reach: int = 0) -> np.ndarray:
    """Colours where a place lies on a picture that is stretched over Web Mercator between its corners."""
    to_map = pyproj.Transformer.from_crs(4326, 3857, always_xy=True)
    west, south = to_map.transform(*picture.bounds[:2])
    east, north = to_map.transform(*picture.bounds[2:])
    at = pyproj.Transformer.from_crs(crs, 3857, always_xy=True).transform(x, y)
    image = pixels(picture)
    column = int((at[0] - west) / (east - west) * image.shape[2])
    row = int((north - at[1]) / (north - south) * image.shape[1])
    return image[:, row - reach : row + reach + 1, column - reach : column + reach + 1]


def assert_dots_in_place(photo) -> None:
    assert photo.findings == ()
    for x, y in DOTS:
        assert seen_at(photo.pictures[0], x, y).mean() > 200
        assert seen_at(photo.pictures[0], x + 4, y).mean() < 130
        assert seen_at(photo.pictures[0], x, y - 4).mean() < 130


# --- each kind of file ---------------------------------------------------------------------------


def test_things_lie_where_they_are(tmp_path):
    assert_dots_in_place(read_photo(write(tmp_path / "a.tif", grass()), course()))


def test_a_turned_photo_is_turned_back(tmp_path):
    file = write(tmp_path / "a.tif", grass(TURNED, size=(1000, 1200)), TURNED)
    photo = read_photo(file, course())
    assert [finding.code for finding in photo.findings] in ([], ["photo_part"])
    for x, y in DOTS:
        assert seen_at(photo.pictures[0], x, y).mean() > 200


@pytest.mark.parametrize("crs", [4326, 3035, 31467])
def test_any_reference_system(tmp_path, crs):
    """Drawn in UTM, warped by a way of its own to another system, and read from there."""
    with rasterio.open(tmp_path / write(tmp_path / "a.tif", grass()).file) as first:
        from rasterio.warp import calculate_default_transform, reproject

        transform, width, height = calculate_default_transform(first.crs, crs, *first.shape[::-1], *first.bounds)
        image = np.zeros((3, height, width), np.uint8)
        reproject(rasterio.band(first, [1, 2, 3]), image, dst_transform=transform, dst_crs=crs)
    assert_dots_in_place(read_photo(write(tmp_path / "b.tif", image, transform, crs, nodata=0), course()))


def test_jpeg_with_a_world_file(tmp_path):
    said = write(tmp_path / "a.jpg", grass(), None, None, driver="JPEG", quality=95)
    (tmp_path / "a.jgw").write_text(f"{PIXEL}\n0\n0\n{-PIXEL}\n{CORNER[0] + PIXEL / 2}\n{CORNER[1] - PIXEL / 2}\n")
    (finding,) = read_photo(said, course()).findings
    assert finding.code == "photo_unusable"
    assert "crs = " in finding.text
    assert_dots_in_place(read_photo(PhotoFile("a.jpg", tmp_path, crs="EPSG:32632"), course()))


def test_16_bits_and_infrared(tmp_path):
    """The brightest pixels are white again, and a fourth band that no eye sees is left out."""
    image = grass().astype(np.uint16) * 11 + 300
    infrared = np.full((1, *SIZE), 60_000, np.uint16)
    said = write(tmp_path / "a.tif", np.vstack([image, infrared]), photometric="RGB")
    photo = read_photo(said, course())
    for x, y in DOTS:
        assert seen_at(photo.pictures[0], x, y).mean() > 200
        red, green, blue = seen_at(photo.pictures[0], x + 6, y, reach=2).mean(axis=(1, 2))
        assert green > red > blue


def test_grey_and_transparency(tmp_path):
    one = grass()[1:2]
    assert_dots_in_place(read_photo(write(tmp_path / "grey.tif", one), course()))
    clear = np.full((1, *SIZE), 255, np.uint8)
    clear[:, :, :200] = 0  # the western 100 m
    said = write(tmp_path / "clear.tif", np.vstack([grass(), clear]), photometric="RGB", alpha="YES")
    photo = read_photo(said, course())
    assert [finding.code for finding in photo.findings] == ["photo_part"]
    assert np.abs(seen_at(photo.pictures[0], 500_270, 5_300_150).ravel().astype(int) - PAPER).max() < 8


def test_colours_out_of_a_palette(tmp_path):
    image = (grass()[1:2] > 200).astype(np.uint8)
    said = write(tmp_path / "a.tif", image, photometric="palette")
    with rasterio.open(tmp_path / "a.tif", "r+") as out:
        out.write_colormap(1, {0: (60, 110, 50, 255), 1: (255, 255, 255, 255)})
    assert_dots_in_place(read_photo(said, course()))


# --- the room there is ---------------------------------------------------------------------------


@pytest.mark.parametrize("most", [2e6, 1e5, 4e4])
def test_all_pictures_fit_into_the_room(tmp_path, most):
    said = write(tmp_path / "a.tif", grass())
    photo = read_photo(PhotoFile(said.file, said.folder, most_bytes=most), course())
    assert sum(len(one.content) for one in photo.pictures) * 4 / 3 <= most
    assert photo.green_pixel_m <= photo.pixel_m


def test_greens_stay_sharp_when_the_rest_cannot(tmp_path):
    said = write(tmp_path / "a.tif", grass())
    photo = read_photo(PhotoFile(said.file, said.folder, most_bytes=5e4), course())
    assert len(photo.pictures) == 3  # the whole and two greens
    assert photo.green_pixel_m < 0.6 < photo.pixel_m


def test_no_finer_than_the_photo_itself(tmp_path):
    photo = read_photo(write(tmp_path / "a.tif", grass()), course())
    assert len(photo.pictures) == 1
    assert photo.pixel_m == pytest.approx(PIXEL, rel=0.01)


# --- what cannot be shown ------------------------------------------------------------------------


def one_finding(photo) -> str:
    (finding,) = photo.findings
    assert photo.pictures == ()
    assert finding.level == "error"
    return finding.code


def test_nothing_says_where_it_lies(tmp_path):
    photo = read_photo(write(tmp_path / "a.tif", grass(), None, None), course())
    assert one_finding(photo) == "photo_unusable"
    assert "world file" in photo.findings[0].text


def test_no_reference_system(tmp_path):
    assert one_finding(read_photo(write(tmp_path / "a.tif", grass(), UPRIGHT, None), course())) == "photo_unusable"


def test_not_a_picture(tmp_path):
    (tmp_path / "a.tif").write_text("not a picture")
    assert one_finding(read_photo(PhotoFile("a.tif", tmp_path), course())) == "photo_unusable"


def test_a_file_that_breaks_off(tmp_path):
    said = write(tmp_path / "a.tif", grass(), compress="deflate")
    whole = (tmp_path / "a.tif").read_bytes()
    (tmp_path / "a.tif").write_bytes(whole[: len(whole) // 2])
    assert one_finding(read_photo(said, course())) == "photo_unusable"


def test_photo_of_another_place(tmp_path):
    photo = read_photo(write(tmp_path / "a.tif", grass()), course(520_000.0))
    assert one_finding(photo) == "photo_elsewhere"
    assert "20 km" in photo.findings[0].text


@pytest.mark.parametrize("value", [0, 255])
@pytest.mark.parametrize("nodata", [None, 0])
def test_nothing_on_it(tmp_path, value, nodata):
    blank = np.full((3, *SIZE), value, np.uint8)
    assert one_finding(read_photo(write(tmp_path / "a.tif", blank, nodata=nodata), course())) == "photo_empty"


def test_half_the_course(tmp_path):
    photo = read_photo(write(tmp_path / "a.tif", grass(dots=[])), course(500_440.0))  # 160 m of 320 m
    (finding,) = photo.findings
    assert (finding.level, finding.code) == ("warning", "photo_part")
    assert "50%" in finding.text
    assert photo.pictures


def test_no_such_file(tmp_path):
    with pytest.raises(LayerError, match=r"away.tif: no such file for \[photo\]"):
        read_photo(PhotoFile("away.tif", tmp_path), course())


def test_a_reference_system_nobody_knows(tmp_path):
    said = write(tmp_path / "a.tif", grass())
    assert one_finding(read_photo(PhotoFile(said.file, said.folder, crs="EPSG:1"), course())) == "photo_unusable"


# --- real files ----------------------------------------------------------------------------------


def test_a_real_satellite_picture(open_data):
    """The Bahamas with black beyond the edge of the swath (declared as no data)."""
    folder = open_data / "raster"
    with rasterio.open(folder / "RGB.byte.tif") as raster:
        bounds = transform_bounds(raster.crs, 4326, *raster.bounds)
    middle = [(bounds[0] + bounds[2]) / 2, (bounds[1] + bounds[3]) / 2]
    there = gpd.GeoDataFrame({"surface": ["rough"]}, geometry=[shapely.Point(middle).buffer(0.3)], crs=4326).to_crs(
        32618
    )
    photo = read_photo(PhotoFile("RGB.byte.tif", folder, most_bytes=2e5), there)
    assert photo.findings == ()
    assert photo.pixel_m > 300


@pytest.mark.parametrize(("file", "code"), [("rotated.tif", "photo_unusable"), ("corrupt.tif", "photo_elsewhere")])
def test_real_files_of_no_use(open_data, file, code):
    assert one_finding(read_photo(PhotoFile(file, open_data / "raster"), course())) == code
