"""Reference evapotranspiration and rain of every day, out of whatever a weather station knows."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from turfgis.errors import LayerError
from turfgis.formulas import evapotranspiration as et
from turfgis.formulas import sunshine as sun
from turfgis.layers.findings import counted

if TYPE_CHECKING:
    from turfgis.layers.weather import Weather
    from turfgis.settings.water import WaterSetting

STATION, PENMAN, HARGREAVES, BETWEEN = "the station's own", "Penman-Monteith", "Hargreaves", "as the days around"
USUAL_WIND = 2.0  # m/s, where none is known: FAO-56 [fao-56], mean of over 2,000 stations
LONGEST_GAP = 14  # days, over which weather is not filled in


@dataclass(frozen=True, eq=False)
class Reference:
    """
    What the air took, and what fell. Shapes (d,).

    Attributes
    ----------
    days
        Days that follow one another.
    depth
        Reference evapotranspiration. [m]
    rain
        Rain. [m]
    method
        How each depth was found: :data:`STATION`, :data:`PENMAN`, :data:`HARGREAVES` or :data:`BETWEEN`.
    notes
        What was taken in place of what is missing, in plain sentences.
    """

    days: np.ndarray
    depth: np.ndarray
    rain: np.ndarray
    method: np.ndarray
    notes: tuple[str, ...]


def estimate_reference(weather: Weather, latitude: float, said: WaterSetting) -> Reference:
    """
    Reference evapotranspiration of each day.

    Parameters
    ----------
    weather
        As it was read.
    latitude
        North above zero. [degrees]
    said
        Height of the station and of its wind gauge, and whether the sea is near.

    Returns
    -------
    The station's own figure where it gives one; else Penman-Monteith, with the substitutes that FAO-56 prints for what
    is missing; Hargreaves where nothing but temperature is known; and between two days where not even that is. After a
    gap of more than :data:`LONGEST_GAP` days it begins anew.

    Raises
    ------
    LayerError
        There is no day with temperatures, or with a figure of the station.
    """
    by_formula, method, notes = _by_formula(weather, np.radians(latitude), said)
    own = weather.column("reference")
    depth = np.where(np.isnan(own), by_formula, own)
    method = np.where(np.isnan(own), method, STATION)
    known = ~np.isnan(depth)
    if not known.any():
        raise LayerError(
            f"{weather.file}: no day has a lowest and a highest temperature that can be used, nor a reference "
            "evapotranspiration of the station; write columns tmin_c and tmax_c, or et0_mm"
        )
    first = _after_gaps(known)
    if first:
        notes.append(
            f"More than {LONGEST_GAP} days on end are missing: days before {weather.days[first]} are left out."
        )
    place = np.arange(len(depth))
    depth = np.interp(place, place[known], depth[known])
    method = np.where(known, method, BETWEEN)
    last = int(np.flatnonzero(known)[-1])
    filled = int((~known[first : last + 1]).sum())
    if filled:
        notes.append(f"On {counted(filled, 'day')} evapotranspiration is taken from the days around.")
    rain = weather.column("rain")
    if np.isnan(rain).all():
        notes.append("No rain is known, so that none counts: needs are those of a drought.")
    part = slice(first, last + 1)
    return Reference(weather.days[part], depth[part], np.nan_to_num(rain)[part], method[part], tuple(notes))


def _after_gaps(known: np.ndarray) -> int:
    """Place of the first known day that no long gap follows."""
    places = np.flatnonzero(known)
    wide = np.flatnonzero(np.diff(places) > LONGEST_GAP + 1)
    return int(places[wide[-1] + 1] if len(wide) else places[0])


def _by_formula(weather: Weather, latitude: float, said: WaterSetting) -> tuple[np.ndarray, np.ndarray, list[str]]:
    """Depths by the formulas, nan where no temperature is known; the formula of each; what was substituted."""
    column = weather.column
    low, high = column("lowest"), column("highest")
    there = ~np.isnan(low) & ~np.isnan(high)
    depth, method = np.full(len(low), np.nan), np.full(len(low), BETWEEN, dtype=object)
    if not there.any():
        return depth, method, []
    low, high = low[there], high[there]
    day = (weather.days - weather.days.astype("datetime64[Y]")).astype(int)[there] + 1
    above, longest = sun.extraterrestrial_radiation(latitude, day), sun.daylight(latitude, day)
    vapour = _vapour(low, high, *(column(name)[there] for name in _HUMIDITY))
    solar, shone = column("radiation")[there], column("sunshine")[there]
    by_sun = np.isnan(solar) & ~np.isnan(shone) & (longest > 0)
    if by_sun.any():
        lit = np.minimum(shone, longest)
        solar[by_sun] = sun.radiation_from_sunshine(above[by_sun], lit[by_sun], longest[by_sun])
    wind = column("wind")[there]
    lacks = {"humidity": np.isnan(vapour), "wind": np.isnan(wind), "radiation": np.isnan(solar)}
    bare = lacks["humidity"] & lacks["wind"] & lacks["radiation"]
    vapour = np.where(lacks["humidity"], et.saturation_vapour_pressure(low), vapour)
    at_two = np.nan_to_num(wind) if said.wind_at == 2.0 else et.wind_at_two_metres(np.nan_to_num(wind), said.wind_at)
    at_two = np.where(lacks["wind"], USUAL_WIND, np.maximum(at_two, et.LEAST_WIND))
    guessed = sun.radiation_from_temperature(above, low, high, sun.COAST if said.coastal else sun.INLAND)
    solar = np.where(lacks["radiation"], guessed, solar)
    clear = sun.clear_sky_radiation(above, said.height)
    net = sun.net_radiation(solar, sun.net_longwave_radiation(low, high, vapour, solar, clear))
    penman = et.evapotranspiration_penman_monteith(net, low, high, vapour, at_two, said.height)
    depth[there] = np.where(bare, et.evapotranspiration_hargreaves(low, high, above), penman)
    method[there] = np.where(bare, HARGREAVES, PENMAN)
    lacks = {name: int((missing & ~bare).sum()) for name, missing in lacks.items()}
    notes = [
        f"On {counted(days, 'day')} {name} is not known: {_SUBSTITUTE[name]}." for name, days in lacks.items() if days
    ]
    if bare.any():
        notes.append(
            f"On {counted(int(bare.sum()), 'day')} nothing but temperature is known: Hargreaves, which is rougher."
        )
    return depth, method, notes


_HUMIDITY = ("dew_point", "humidity_least", "humidity_most", "humidity")
_SUBSTITUTE = {
    "humidity": "the dew point is taken as the lowest temperature",
    "wind": f"{USUAL_WIND:g} m/s is taken",
    "radiation": "it is taken from how far the temperature rises",
}


def _vapour(low, high, dew, least, most, mean) -> np.ndarray:
    """Vapour pressure from the best that is known: dew point, both extremes of humidity, their mean; else nan. [Pa]"""
    pressure = np.full(len(low), np.nan)
    for known, formula, arguments in (
        (~np.isnan(mean), et.vapour_pressure_from_mean, (low, high, mean)),
        (least <= most, et.vapour_pressure, (low, high, least, most)),
        (~np.isnan(dew), et.saturation_vapour_pressure, (dew,)),
    ):
        if known.any():
            pressure[known] = formula(*(one[known] for one in arguments))
    return pressure
