"""A photo of a place made so small that it fits into the map, without what the camera wrote into the file."""

import warnings
from pathlib import Path

import numpy as np
import rasterio
from rasterio.enums import Resampling
from rasterio.errors import NotGeoreferencedWarning, RasterioError

from turfgis.measure.rasters import colour_bands, encoded

LONGEST_SIDE = 320  # pixels
MOST_BYTES = 20_000  # of one picture
QUALITIES = (70, 50, 30)
BEGINNINGS = {"JPEG": b"\xff\xd8\xff", "PNG": b"\x89PNG\r\n\x1a\n"}  # of a file
# Quarter turns to the left that set a picture upright, by what the camera says (Exif 2.32, tag 0x0112, from memory).
TURNS = {"3": 2, "6": 3, "8": 1}


def small_photo(path: Path) -> bytes | None:
    """
    A picture file as a small JPEG.

    Parameters
    ----------
    path
        A JPEG or PNG file. Nothing else is opened: other formats can point to files elsewhere.

    Returns
    -------
    A JPEG file of at most :data:`MOST_BYTES` that holds nothing but the picture: no place, time or camera. None where
    the file cannot be read, or does not get small enough.
    """
    try:
        with path.open("rb") as file:
            head = file.read(8)
        driver = next((name for name, begins in BEGINNINGS.items() if head.startswith(begins)), None)
        if driver is None:
            return None
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", NotGeoreferencedWarning)
            with rasterio.open(path, driver=driver) as picture:
                share = min(1.0, LONGEST_SIDE / max(picture.width, picture.height))
                shape = [max(1, round(side * share)) for side in (picture.height, picture.width)]
                bands, palette = colour_bands(picture), picture.colorinterp[0].name == "palette"
                if palette or any(kind != "uint8" for kind in picture.dtypes):
                    return None
                values = picture.read(bands, out_shape=(3, *shape), resampling=Resampling.average)
                turn = TURNS.get(str(picture.tags().get("EXIF_Orientation", "")).strip(), 0)
    except (RasterioError, ValueError, OSError):
        return None
    image = np.rot90(np.moveaxis(values, 0, -1), turn)
    made = (encoded(np.ascontiguousarray(image), "JPEG", quality=quality) for quality in QUALITIES)
    return next((content for content in made if len(content) <= MOST_BYTES), None)
