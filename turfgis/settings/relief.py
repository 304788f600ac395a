"""``[elevation]``, and how steep a machine may stand."""

import re
from math import atan, pi, radians
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator

from turfgis.errors import InputError
from turfgis.settings.figures import Measured
from turfgis.settings.values import Length, LengthOrZero, Names, Settings, Text
from turfgis.units import read_number

_IN = re.compile(r"(.*?)\s*(%|°|deg|degs|degree|degrees)", re.DOTALL)
_ONE_IN = re.compile(r"1\s*(?:in|:)\s*(.*)", re.DOTALL)
ACCEPTED = '"16 deg", "28 %" or "1 in 4"'


def read_slope(value: Any) -> float:
    """
    A slope as plates and manuals give it, as an angle. [rad]

    Raises
    ------
    InputError
        It has no unit, or is no slope between level and upright.

    Examples
    --------
    >>> print(round(read_slope("16 deg"), 4), round(read_slope("100 %"), 4), round(read_slope("1 in 3"), 4))
    0.2793 0.7854 0.3218
    """
    if not isinstance(value, str):
        raise InputError(f"{value} has no unit; write a slope in quotes, such as {ACCEPTED}")
    text = value.strip()
    steps, found = _ONE_IN.fullmatch(text), _IN.fullmatch(text)
    if steps:
        run = read_number(steps.group(1))
        angle = atan(1 / run) if run > 0 else 0.0
    elif found:
        number = read_number(found.group(1))
        angle = atan(number / 100) if found.group(2) == "%" else radians(number)
    else:
        raise InputError(f"'{value}' is not a slope; write it like {ACCEPTED}")
    if not 0 < angle < pi / 2:
        raise InputError(f"'{value}' is not a slope between level and upright; write it like {ACCEPTED}")
    return angle


Slope = Annotated[float, Measured(read_slope, units="deg, %, or 1 in 4")]


def _listed(value: Any) -> Any:
    return [value] if isinstance(value, str) else value


class ElevationSetting(Settings):
    """
    ``[elevation]``: a raster of the heights of the ground, or its tiles.

    ``smoothing`` is the distance over which heights are averaged, ``accuracy`` the standard deviation of single
    heights, ``contours`` the step from one contour of the map to the next. An edge is marked where the ground lies
    lower by ``drop`` within ``drop_within`` outside it (common practice, no source).
    """

    file: Annotated[Names, BeforeValidator(_listed)]
    units: Literal["m", "ft", "US survey ft"] | None = None
    crs: Text | None = None
    smoothing: LengthOrZero = 0.0
    accuracy: LengthOrZero | None = None
    contours: Length | None = None
    drop: Length = 0.5
    drop_within: Length = 2.0
