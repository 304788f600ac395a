"""Readings of the ground as a table, as a layer of the map, and as zones that are to get different rates."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path
from typing import Any

import geopandas as gpd
import numpy as np
from pyogrio.errors import DataLayerError, DataSourceError, FeatureError, FieldError, GeometryError

from turfgis.errors import InputError, OutputError
from turfgis.estimates.course import Course
from turfgis.measure.readings import Readings, picture, zones
from turfgis.reports.map_underlays import Underlay
from turfgis.reports.tables import plain_rows
from turfgis.units import shown, to_si

# From dry to wet in one run of lightness, so that it is read without telling colours apart.
INKS = [(247, 224, 168), (196, 208, 148), (127, 180, 150), (64, 140, 152), (28, 86, 128)]
CLASSES = len(INKS)


def readings_rows(readings: Sequence[Readings]) -> list[dict[str, Any]]:
    """One row for each reading and patch."""
    return [{"reading": one.said.name} | row for one in readings for row in plain_rows(one.table)]


def readings_text(readings: Sequence[Readings], units_of: dict[str, str], system: str = "metric") -> str:
    """Tables to read, one for each reading."""
    area, lines = shown("area", system), []
    for one in readings:
        unit = units_of.get(one.said.name, "")
        low = "" if one.said.low is None else f"under {one.said.low:g}"
        lines += [f"{one.said.name}" + (f" [{unit}]" if unit else ""), ""]
        lines.append(f"{'patch':<18}{'net ' + area.label:>12}{'mean':>10}{'spread':>10}{low:>14}")
        for row in one.table.to_dict("records"):
            share = "" if low == "" else f"{row['low_share']:.0%}"
            figures = f"{area.number(row['net_m2']):>12}{row['mean']:>10.2f}{row['spread']:>10.2f}{share:>14}"
            lines.append(f"{row['patch']:<18}{figures}")
        lines += ["(no patch is covered)"] * one.table.empty
        lines.append("")
    lines.append("Mean and spread (standard deviation) over the ground of a patch; between points they are a guess.")
    return "\n".join(lines)


def readings_under(course: Course) -> list[Underlay]:
    """Readings as layers of the map, off until they are switched on, each with its own legend."""
    units_of = {one.name: one.unit for one in course.settings.reading} if course.settings else {}
    found = []
    for one in course.readings:
        if one.grid is None:
            continue
        known = one.grid.values[np.isfinite(one.grid.values)]
        edges = np.unique(np.quantile(known, np.linspace(0, 1, CLASSES + 1)[1:-1]))
        inks = [INKS[round(place)] for place in np.linspace(0, CLASSES - 1, len(edges) + 1)]
        bounds, content = picture(one.grid, edges, inks)
        unit = units_of.get(one.said.name, "")
        found.append(
            Underlay(
                label=one.said.name,
                note=f"readings in {unit}" if unit else "readings",
                images=[(bounds, content, "image/png")],
                legend=[(f"#{r:02x}{g:02x}{b:02x}", text) for (r, g, b), text in zip(inks, _spans(edges), strict=True)],
            )
        )
    return found


def _spans(edges: np.ndarray) -> list[str]:
    """What each class holds, in words."""
    digits = max(0, 2 - int(np.floor(np.log10(max(np.abs(edges).max(), 1e-9)))))
    said = [f"{edge:.{digits}f}" for edge in edges]
    between = [f"{low} to {high}" for low, high in pairwise(said)]
    return [f"under {said[0]}", *between, f"over {said[-1]}"]


@dataclass(frozen=True)
class ZoneSheet:
    """
    Zones with their rates.

    Attributes
    ----------
    table
        One row for each patch and zone, with ``rate`` as written, ``rate_si`` and ``amount``.
    rates
        Rate of each zone in SI: a depth [m], or a mass on an area [kg/m2].
    unit
        Of the amounts: ``kg``, or ``m3`` for a depth without a density.
    raster_unit
        What a thousandth of the SI rate is called: ``mm`` or ``g/m2``.
    """

    table: gpd.GeoDataFrame
    rates: list[float]
    unit: str
    raster_unit: str


def zone_sheet(
    patches: gpd.GeoDataFrame, reading: Readings, rates: Sequence[str], density: float | None = None
) -> ZoneSheet:
    """
    Zones of equal share by quantile, each with its rate.

    Parameters
    ----------
    patches
        Patches to be parted, in their frame.
    reading
        What they are parted by.
    rates
        From the lowest values to the highest: depths such as ``2 mm``, or rates such as ``20 g/m2``.
    density
        Bulk density, which makes kilograms of a depth. [kg/m3]

    Raises
    ------
    InputError
        A rate cannot be read, or the values cannot be parted so.
    """
    if reading.grid is None:
        raise InputError(f"'{reading.said.name}' cannot be used: {reading.findings[0].text}")
    kind, figures = _read_rates(rates)
    parted = zones(patches, reading.grid, len(rates))
    number = parted["zone"].to_numpy() - 1
    si = np.array(figures)[number]
    by_weight = kind == "mass rate" or density is not None
    amount = si * parted["area_m2"].to_numpy() * (density if kind == "depth" and density is not None else 1.0)
    table = parted.assign(rate=np.array([text.strip() for text in rates])[number], rate_si=si, amount=amount)
    table = gpd.GeoDataFrame(table, crs=parted.crs)
    return ZoneSheet(table, figures, "kg" if by_weight else "m3", "mm" if kind == "depth" else "g/m2")


def _read_rates(rates: Sequence[str]) -> tuple[str, list[float]]:
    """Rates in SI, all of one kind."""
    for kind in ("mass rate", "depth"):
        try:
            return kind, [to_si(text.strip(), kind) for text in rates if _not_negative(text)]
        except InputError as error:
            problem = error
    raise InputError(f"--rates: {problem}; write all as depths (2 mm) or all as rates (20 g/m2)")


def _not_negative(text: str) -> bool:
    if text.strip().startswith("-"):
        raise InputError(f"'{text.strip()}' is below zero")
    return True


def zone_text(sheet: ZoneSheet, name: str, system: str = "metric") -> str:
    """The zones in all, to read."""
    area = shown("area", system)
    how = shown("heavy" if sheet.unit == "kg" else "volume", system)
    lines = [f"{name}: zones of equal share, from the lowest values to the highest", ""]
    for zone, rows in sheet.table.groupby("zone"):
        span = f"{rows['from'].iloc[0]:.2f} to {rows['to'].iloc[0]:.2f}"
        ground = f"{area.text(rows['area_m2'].to_numpy().sum()):>14}"
        amount = f"{rows['rate'].iloc[0]:>10}{how.text(rows['amount'].to_numpy().sum()):>14}"
        lines.append(f"zone {zone}   {span:<18}{ground}   {amount}")
    ground_m2, amount = (float(sheet.table[name].to_numpy().sum()) for name in ("area_m2", "amount"))
    lines += ["", f"in all {area.text(ground_m2)}, {how.text(amount)}"]
    return "\n".join(lines)


def write_zones(sheet: ZoneSheet, path: Path) -> None:
    """
    Write the zones as a layer ``zones``.

    Raises
    ------
    OutputError
        The file cannot be written.
    """
    columns = sheet.table.rename(columns={"amount": f"amount_{sheet.unit}"}).drop(columns="rate_si")
    try:
        columns.to_file(path, layer="zones", driver="GPKG")
    except (DataSourceError, DataLayerError, FeatureError, FieldError, GeometryError) as error:
        raise OutputError(f"{path.name} cannot be written: {error}") from None
