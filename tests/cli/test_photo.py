"""``[photo]`` in the settings, from the call to the file."""

import base64
import json
import re

import numpy as np
import pytest
import rasterio
from rasterio.transform import from_origin

PHOTO = '\n[photo]\nfile = "photo.tif"\nmost = "200 kB"\ncredit = "Photo: a drone of our own"\ntaken = 2026-06-01\n'


@pytest.fixture
def with_photo(folder):
    """The small course with a photo in longitude and latitude."""
    settings = folder / "course.toml"
    settings.write_text(settings.read_text(encoding="utf-8") + PHOTO, encoding="utf-8")

    def write(west=-30.0005, north=40.005, value=None):
        image = np.random.default_rng(3).integers(20, 200, (3, 900, 900), dtype=np.uint8)
        if value is not None:
            image[:] = value
        transform = from_origin(west, north, 6e-6, 6e-6)
        given = {"driver": "GTiff", "width": 900, "height": 900, "count": 3, "dtype": "uint8"}
        with rasterio.open(folder / "photo.tif", "w", crs="EPSG:4326", transform=transform, **given) as out:
            out.write(image)
        return folder

    return write


def test_the_map_holds_the_photo_and_no_photo_leaves_it_out(turfgis, with_photo, tmp_path):
    assert turfgis("map", with_photo(), "-o", tmp_path / "a").code == 0
    page = (tmp_path / "a" / "map.html").read_text(encoding="utf-8")
    images = re.findall(r"data:image/jpeg;base64,([A-Za-z0-9+/=]+)", page)
    assert 0 < sum(map(len, images)) <= 200_000
    assert all(base64.b64decode(image).startswith(b"\xff\xd8") for image in images)
    assert "taken 1 June 2026" in page
    assert "Photo: a drone of our own" in page
    assert turfgis("map", with_photo(), "-o", tmp_path / "b", "--no-photo").code == 0
    assert "data:image/jpeg" not in (tmp_path / "b" / "map.html").read_text(encoding="utf-8")


@pytest.mark.parametrize(("photo", "code"), [({"west": 3.0}, "photo_elsewhere"), ({"value": 0}, "photo_empty")])
def test_check_tells_of_a_photo_that_cannot_be_used(turfgis, with_photo, tmp_path, photo, code):
    done = turfgis("check", with_photo(**photo), "--format", "json")
    assert done.code == 1
    assert code in [finding["code"] for finding in json.loads(done.out)["findings"]]
    drawn = turfgis("map", with_photo(**photo), "-o", tmp_path / "a")
    assert drawn.code == 0
    assert "1 error" in drawn.err
    assert "data:image/jpeg" not in (tmp_path / "a" / "map.html").read_text(encoding="utf-8")


def test_the_photo_is_not_written_over(turfgis, with_photo):
    folder = with_photo()
    (folder / "photo.tif").rename(folder / "map.html")
    settings = folder / "course.toml"
    settings.write_text(settings.read_text(encoding="utf-8").replace("photo.tif", "map.html"), encoding="utf-8")
    done = turfgis("map", folder, "-o", folder)
    assert done.code == 2
    assert "is what the course is read from" in done.err


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (('"200 kB"', '"4"'), 'photo.most: \'4\' is not a size of a file; write it like "4 MB" or "800 kB"'),
        (('"200 kB"', "4"), "is not a size of a file"),
        (('"200 kB"', '"1 kB"'), "is not from 100 kB to 50 MB"),
        (('file = "photo.tif"', 'fil = "photo.tif"'), "fil"),
        (("taken = 2026-06-01", "taken = 2026"), "photo.taken"),
        (('file = "photo.tif"', 'file = "away.tif"'), "away.tif: no such file for [photo]"),
        (("[photo]", "[[photo]]"), "[photo]"),
    ],
)
def test_wrong_settings_name_their_key(turfgis, with_photo, change, said):
    folder = with_photo()
    settings = folder / "course.toml"
    settings.write_text(settings.read_text(encoding="utf-8").replace(*change), encoding="utf-8")
    done = turfgis("map", folder)
    assert done.code == 2
    assert said in done.err
    assert len(done.err.splitlines()) == 1
