"""Photos of places made small: upright, of few bytes, and without what a camera writes into a file."""

import numpy as np
import pytest
from PIL import Image

from turfgis.measure.photo_small import LONGEST_SIDE, MOST_BYTES, small_photo

GREEN, BLUE = (40, 160, 60), (40, 60, 200)
ORIENTATION, MAKER = 0x0112, 0x010F  # tags of Exif 2.32 (from memory)


def picture(wide=800, high=600):
    """Green on the left, blue on the right."""
    image = Image.new("RGB", (wide, high), GREEN)
    image.paste(BLUE, (wide // 2, 0, wide, high))
    return image


def read(content, tmp_path):
    (tmp_path / "small.jpg").write_bytes(content)
    return np.asarray(Image.open(tmp_path / "small.jpg")).astype(int)


def is_green(pixel):
    return pixel[1] > pixel[2]


@pytest.mark.parametrize("ending", ["jpg", "png"])
def test_a_photo_becomes_small(tmp_path, ending):
    picture().save(tmp_path / f"photo.{ending}")
    content = small_photo(tmp_path / f"photo.{ending}")
    image = read(content, tmp_path)
    assert image.shape == (240, LONGEST_SIDE, 3)
    assert len(content) <= MOST_BYTES
    assert is_green(image[120, 40])
    assert not is_green(image[120, 280])


def test_a_small_picture_stays_as_large_as_it_is(tmp_path):
    picture(100, 50).save(tmp_path / "photo.png")
    assert read(small_photo(tmp_path / "photo.png"), tmp_path).shape == (50, 100, 3)


@pytest.mark.parametrize("turn", [1, 3, 6, 8])
def test_a_photo_stands_upright_and_tells_nothing_of_the_camera(tmp_path, turn):
    """Pillow turns it as the tag says: an outside reader of the same standard."""
    from PIL import ImageOps

    exif = Image.Exif()
    exif[ORIENTATION], exif[MAKER] = turn, "A maker of cameras"
    picture().save(tmp_path / "photo.jpg", exif=exif)
    content = small_photo(tmp_path / "photo.jpg")
    assert b"A maker" not in content
    assert b"Exif" not in content
    wanted = np.asarray(ImageOps.exif_transpose(Image.open(tmp_path / "photo.jpg")).reduce(10)).astype(int)
    got = read(content, tmp_path)
    assert (got.shape[0] > got.shape[1]) == (wanted.shape[0] > wanted.shape[1])
    for down, across in ((0.1, 0.1), (0.9, 0.9), (0.1, 0.9), (0.9, 0.1)):
        pixels = [image[int(down * image.shape[0]), int(across * image.shape[1])] for image in (got, wanted)]
        assert is_green(pixels[0]) == is_green(pixels[1])


def test_what_is_too_rich_for_the_room_is_left_out(tmp_path):
    noise = np.random.default_rng(7).integers(0, 256, (400, 400, 3), dtype=np.uint8)
    Image.fromarray(noise).save(tmp_path / "noise.png")
    content = small_photo(tmp_path / "noise.png")
    assert content is None or len(content) <= MOST_BYTES


@pytest.mark.parametrize(
    "content",
    [b"", b"GIF89a", b'<VRTDataset rasterXSize="1"/>', b"\xff\xd8\xff broken off", b"\x89PNG\r\n\x1a\n broken"],
)
def test_what_is_no_photo_is_left_out(tmp_path, content):
    (tmp_path / "photo.jpg").write_bytes(content)
    assert small_photo(tmp_path / "photo.jpg") is None


def test_a_file_that_is_not_there_is_left_out(tmp_path):
    assert small_photo(tmp_path / "nothing.jpg") is None
