"""``[photo]``: the club's own photo from the air, and readings of the ground."""

import re
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator

from turfgis.errors import InputError
from turfgis.settings.values import Day, Length, Names, Settings, Text, number
from turfgis.units import read_number

_SIZE = re.compile(r"(.*?)\s*(kB|MB|GB)", re.DOTALL | re.IGNORECASE)
_BYTES = {"kb": 1e3, "mb": 1e6, "gb": 1e9}
LEAST, MOST = 1e5, 5e7


def read_size(value: Any) -> float:
    """
    Room in a file, in bytes.

    Raises
    ------
    InputError
        It has no unit, or no map could be sent round with it.

    Examples
    --------
    >>> read_size("1.5 MB")
    1500000.0
    >>> read_size(4)
    Traceback (most recent call last):
    turfgis.errors.InputError: '4' is not a size of a file; write it like "4 MB" or "800 kB"
    """
    found = _SIZE.fullmatch(value.strip()) if isinstance(value, str) else None
    if not found:
        raise InputError(f'\'{value}\' is not a size of a file; write it like "4 MB" or "800 kB"')
    size = read_number(found.group(1)) * _BYTES[found.group(2).lower()]
    if not LEAST <= size <= MOST:
        raise InputError(f"'{value}' is not from 100 kB to 50 MB: less shows nothing, more no telephone opens")
    return size


Size = Annotated[float, BeforeValidator(read_size)]


class PhotoSetting(Settings):
    """
    ``[photo]``: a photo from the air as the background of the map.

    ``most`` is how much room it may take in the map; ``credit`` is what its owner wants to be said; ``taken`` the day
    it was taken.
    """

    file: Text
    most: Size = 4e6
    crs: Text | None = None
    credit: str = ""
    taken: Day | None = None


class ReadingSetting(Settings):
    """
    ``[[reading]]``: what was read on the ground, as a raster or as points.

    ``column`` names the values of points; between them it goes by ``method``, and no further from one than ``reach``.
    The share of ground below ``low`` is told. ``on`` names the surfaces they were taken on.
    """

    name: Text
    file: Text
    unit: str = ""
    column: Text = "value"
    low: Annotated[float, number(-1e9, 1e9, whole=False)] | None = None
    method: Literal["inverse distance", "linear"] = "inverse distance"
    reach: Length = 15.0
    on: Names | None = None
    crs: Text | None = None
