"""Headings of weather files: what a column holds, and in which unit."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass

from turfgis.errors import InputError

# Unit behind a heading -> how it is shown, and to SI: celsius, shares, m/s, J/m2, s, m.
_TEMPERATURE = {"c": ("degC", lambda x: x), "f": ("degF", lambda x: (x - 32) / 1.8), "k": ("K", lambda x: x - 273.15)}
_SHARE = {"pct": ("%", lambda x: x / 100), "share": ("a share", lambda x: x)}
_SPEED = {
    "m_s": ("m/s", lambda x: x),
    "km_h": ("km/h", lambda x: x / 3.6),
    "mph": ("mph", lambda x: x * 0.44704),
    "kn": ("knots", lambda x: x * 1852 / 3600),
}
_RADIATION = {
    "mj_m2": ("MJ/m2", lambda x: x * 1e6),
    "kwh_m2": ("kWh/m2", lambda x: x * 3.6e6),
    "wh_m2": ("Wh/m2", lambda x: x * 3600),
    "w_m2": ("W/m2, as a mean of the day", lambda x: x * 86_400),
    "j_cm2": ("J/cm2", lambda x: x * 1e4),
}
_TIME = {"h": ("h", lambda x: x * 3600), "min": ("min", lambda x: x * 60)}
_DEPTH = {"mm": ("mm", lambda x: x / 1000), "in": ("in", lambda x: x * 0.0254), "cm": ("cm", lambda x: x / 100)}
# Other ways to write the units above.
_SAME = {
    **dict.fromkeys(("degc", "deg_c", "celsius", "deg"), "c"),
    **dict.fromkeys(("degf", "deg_f", "fahrenheit"), "f"),
    **dict.fromkeys(("degk", "kelvin"), "k"),
    **dict.fromkeys(("percent", "prc"), "pct"),
    **dict.fromkeys(("ms", "mps", "m_per_s"), "m_s"),
    **dict.fromkeys(("kmh", "kph"), "km_h"),
    **dict.fromkeys(("kt", "knots"), "kn"),
    **dict.fromkeys(("mj", "mj_m2_d", "mj_m2_day", "mjm2"), "mj_m2"),
    **dict.fromkeys(("wm2", "w_m_2"), "w_m2"),
    **dict.fromkeys(("hours", "hr", "hrs"), "h"),
    **dict.fromkeys(("minutes",), "min"),
    **dict.fromkeys(("inch", "inches"), "in"),
    **dict.fromkeys(("l_m2", "mm_d", "mm_day"), "mm"),
}

# Heading without its unit -> the column, what it is in words, its units; the first is taken where none is written.
HEADINGS: dict[str, tuple[str, str, dict]] = {}
for _names, _column, _words, _units in (
    ("tmin t_min temp_min min_temp temperature_min min_temperature lowest", "lowest", "lowest temperature", "t"),
    ("tmax t_max temp_max max_temp temperature_max max_temperature highest", "highest", "highest temperature", "t"),
    ("dewpoint dew_point tdew t_dew", "dew_point", "dew point", "t"),
    ("rh rh_mean mean_rh humidity humidity_mean relative_humidity", "humidity", "humidity", "s"),
    ("rh_min min_rh rhmin humidity_min min_humidity", "humidity_least", "least humidity", "s"),
    ("rh_max max_rh rhmax humidity_max max_humidity", "humidity_most", "most humidity", "s"),
    ("wind wind_mean wind_speed windspeed", "wind", "wind", "v"),
    ("radiation solar_radiation global_radiation solar rs", "radiation", "solar radiation", "r"),
    ("sunshine sun sunshine_hours sun_hours", "sunshine", "sunshine", "h"),
    ("rain rainfall precipitation precip", "rain", "rain", "d"),
    ("et0 eto et_0 et_o reference_et", "reference", "reference evapotranspiration", "d"),
):
    _kind = {"t": _TEMPERATURE, "s": _SHARE, "v": _SPEED, "r": _RADIATION, "h": _TIME, "d": _DEPTH}[_units]
    HEADINGS |= dict.fromkeys(_names.split(), (_column, _words, _kind))


@dataclass(frozen=True)
class Heading:
    """
    A heading that is known.

    Attributes
    ----------
    name, words
        The column, and what it is in words.
    unit, written
        Unit in which it is read, and whether the heading says so.
    example
        The heading with its unit, as it should be.
    si
        From that unit to SI.
    """

    name: str
    words: str
    unit: str
    written: bool
    example: str
    si: Callable[[float], float]

    def tail(self, unit: str) -> str:
        """The same heading with another unit."""
        return re.sub(r"_[a-z]+$", f"_{unit}", self.example)


def read_heading(text: str) -> Heading | None:
    """
    A heading of a weather file.

    Parameters
    ----------
    text
        As it stands there, such as ``tmax_c``, ``Rain (mm)`` or ``wind km/h``.

    Returns
    -------
    What it says; None where it names nothing that is known.

    Raises
    ------
    InputError
        It names something that is known in a unit that is not.

    Examples
    --------
    >>> read_heading("Rain (mm)").name, read_heading("Wind [km/h]").unit, read_heading("leaf wetness")
    ('rain', 'km/h', None)
    >>> read_heading("tmax_rankine")
    Traceback (most recent call last):
    turfgis.errors.InputError: 'tmax_rankine' gives the highest temperature in no known unit (accepted: c, f, k)
    """
    plain = text.casefold().replace("°", "deg").replace("%", "pct").replace("²", "2")
    plain = re.sub(r"[^a-z0-9]+", "_", plain).strip("_")
    base = max((name for name in HEADINGS if plain == name or plain.startswith(f"{name}_")), key=len, default=None)
    if base is None:
        return None
    column, words, units = HEADINGS[base]
    rest = plain[len(base) + 1 :]
    unit = _SAME.get(rest, rest)
    if rest and unit not in units:
        accepted = ", ".join(units)
        # "rain hours" or "wind direction" are other things altogether
        if rest.split("_")[0] in _OTHERS:
            return None
        raise InputError(f"'{text}' gives the {words} in no known unit (accepted: {accepted})")
    chosen = unit or next(iter(units))
    shown, si = units[chosen]
    return Heading(column, words, shown, bool(rest), f"{base}_{chosen}", si)


_OTHERS = {"direction", "dir", "gust", "gusts", "hours", "duration", "quality", "flag", "time", "code", "max", "min"}
