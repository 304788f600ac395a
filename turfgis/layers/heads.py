"""Heads that throw water: a point layer becomes a table in SI, with findings about those that cannot be reckoned."""

from __future__ import annotations

import re
from typing import Any

import geopandas as gpd
import numpy as np
import pandas as pd

from turfgis.errors import InputError, LayerError
from turfgis.layers.drawing import LayerNote
from turfgis.layers.findings import Finding, counted, listed
from turfgis.layers.points import read_points
from turfgis.layers.words import hole_text
from turfgis.units import to_si

KINDS = {"throw": "length", "flow": "flow", "pressure": "pressure"}
NAMES = ("throw", "arc", "facing", "flow", "pressure", "station", "controller", "serves")
# How a column says its unit with its end: flow_l_min.
ENDS = {
    **{"m": "m", "ft": "ft", "m3_h": "m3/h", "l_min": "l/min", "l_s": "l/s", "l_h": "l/h", "bar": "bar", "kpa": "kPa"},
    **{"us_gpm": "US gal/min", "imp_gpm": "imp gal/min", "psi": "psi", "deg": "deg"},
}
# Beyond these a figure is likely to be in another unit than it says: common practice, no source.
PLAUSIBLE = {"throw": (1.0, 60.0), "flow": (0.02 / 3600, 40.0 / 3600)}  # [m], [m3/s]
COLUMNS = [
    *("head", "file", "layer", "feature", "hole", "throw_m", "arc_rad", "facing_rad", "flow_m3_s", "pressure_pa"),
    *("station", "controller", "serves", "level"),
]


def read_heads(folder: Any, note: LayerNote) -> tuple[gpd.GeoDataFrame, list[Finding]]:
    """
    Read a layer of heads.

    Parameters
    ----------
    folder
        Folder of the drawing.
    note
        What is said of the layer. A column that is not named is found by its name: ``flow``, or ``flow_l_min`` with its
        unit; ``facing`` is the middle of the arc in degrees from north.

    Returns
    -------
    heads
        One row for each head that can be reckoned, as drawn: ``head`` (a name of its own), ``file``, ``layer``,
        ``feature``, ``hole``, ``throw_m``, ``arc_rad``, ``facing_rad`` (nothing where not said), ``flow_m3_s``,
        ``pressure_pa``, ``station``, ``controller``, ``serves`` (the surface it is meant for; empty where not said),
        ``level`` and the point.
    findings
        One for each kind of trouble.

    Raises
    ------
    LayerError
        There is no such file, or a column or its unit cannot be used.
    """
    points = read_points(folder / note.file, note.crs, note.swap_axes, layer=note.layer)
    layer = note.layer or ""
    columns = {name: _column(points, note, name) for name in NAMES}
    holes: Any = points.get(note.hole_from or "hole", [None] * len(points))
    for needed in ("throw", "flow"):
        if columns[needed] is None:
            raise LayerError(
                f"{note.file}: no column with the {needed} of heads; name it with columns = {{ {needed} = ... }} "
                f"(there are: {listed([c for c in points.columns if c not in ('geometry', 'feature')], 20)})"
            )
    figure = {name: _figures(points, note, name, columns[name]) for name in ("throw", "flow", "pressure")}
    arc = _degrees(points, note, "arc", columns["arc"])
    arc = np.where(np.isnan(arc), 360.0, arc) if columns["arc"] is None else arc
    table = gpd.GeoDataFrame(
        {
            "head": [str(one) for one in points["feature"]],
            "file": note.file,
            "layer": layer,
            "feature": [str(one) for one in points["feature"]],
            "hole": [hole_text(one) for one in holes],
            "throw_m": figure["throw"],
            "arc_rad": np.radians(arc),
            "facing_rad": np.radians(_degrees(points, note, "facing", columns["facing"])),
            "flow_m3_s": figure["flow"],
            "pressure_pa": figure["pressure"],
            "station": _texts(points, columns["station"]),
            "controller": _texts(points, columns["controller"]),
            "serves": _texts(points, columns["serves"]),
            "level": note.level,
        },
        geometry=points.geometry.to_numpy(),
        crs=points.crs,
    )
    names = points.get(note.name_from or "name")
    if names is not None and names.notna().all() and names.is_unique:
        table["head"] = [str(one) for one in names]
    return _sound(table, note)


def _column(points: gpd.GeoDataFrame, note: LayerNote, name: str) -> str | None:
    """The column that holds a figure of the heads."""
    said = note.columns.get(name)
    if said is not None:
        if said not in points:
            there = listed([one for one in points.columns if one not in ("geometry", "feature")], 20)
            raise LayerError(f"{note.file}: no column '{said}' for the {name} of heads; there are: {there}")
        return said
    pattern = re.compile(rf"{name}(_({'|'.join(ENDS)}))?", re.IGNORECASE)
    found = [str(one) for one in points.columns if pattern.fullmatch(str(one))]
    if len(found) > 1:
        raise LayerError(f"{note.file}: {listed(found)} could each be the {name} of heads; say which with columns")
    return found[0] if found else None


def _unit(note: LayerNote, name: str, column: str) -> str | None:
    """The unit of a column, as the settings or its own end say."""
    if name in note.column_units:
        return note.column_units[name]
    low = column.lower()
    ends = [end for end in ENDS if low.endswith(f"_{end}")]
    return ENDS[max(ends, key=len)] if ends else None


def _figures(points: gpd.GeoDataFrame, note: LayerNote, name: str, column: str | None) -> np.ndarray:
    """A column in SI; not a number where it says nothing."""
    if column is None:
        return np.full(len(points), np.nan)
    unit = _unit(note, name, column)
    if unit is None:
        raise LayerError(
            f"{note.file}: nothing says in which unit the column '{column}' is; "
            f'add column_units = {{ {name} = "..." }}, or end its name with the unit, such as {name}_'
            + {"throw": "m", "flow": "l_min", "pressure": "bar"}[name]
        )
    try:
        factor = to_si(f"1 {unit}", KINDS[name])
    except InputError as error:
        raise LayerError(f"{note.file}: unit of the column '{column}': {error}") from None
    return _numbers(points, note, column) * factor


def _degrees(points: gpd.GeoDataFrame, note: LayerNote, name: str, column: str | None) -> np.ndarray:
    if column is None:
        return np.full(len(points), np.nan)
    unit = _unit(note, name, column)
    if unit not in (None, "deg"):
        raise LayerError(f"{note.file}: the column '{column}' must be in degrees, not in {unit}")
    return _numbers(points, note, column)


def _numbers(points: gpd.GeoDataFrame, note: LayerNote, column: str) -> np.ndarray:
    """A column as numbers; a cell that holds other text is an error, an empty one a gap."""
    raw = points[column]
    empty = raw.isna() | (raw.astype(str).str.strip() == "")
    known: Any = pd.to_numeric(raw.where(~empty), errors="coerce")
    values = known.to_numpy(dtype=float)
    wrong = np.isnan(values) & ~empty.to_numpy()
    if wrong.any():
        at = int(np.argmax(wrong))
        raise LayerError(
            f"{note.file}: the column '{column}' holds '{raw.iloc[at]}' at feature {points['feature'].iloc[at]}, "
            "which is no number"
        )
    return values


def _texts(points: gpd.GeoDataFrame, column: str | None) -> list[str]:
    """A column as text; a whole number without its point, since stations are often numbers."""
    if column is None:
        return [""] * len(points)
    return [
        "" if pd.isna(one) else f"{one:g}" if isinstance(one, float) else str(one).strip() for one in points[column]
    ]


def _sound(table: gpd.GeoDataFrame, note: LayerNote) -> tuple[gpd.GeoDataFrame, list[Finding]]:
    """Heads that can be reckoned, and one finding for each kind of those that cannot."""
    findings: list[Finding] = []
    kept = np.ones(len(table), bool)

    def say(level: str, code: str, which: np.ndarray, what: str, done: str) -> None:
        heads = table["head"].to_numpy()[which].tolist()
        if heads:
            text = f"{counted(len(heads), 'head')} {what}: {listed(heads)}. {done}"
            findings.append(
                Finding(level, code, note.file, note.layer or "", heads[0] if len(heads) == 1 else "", text)
            )

    aside = "Not reckoned with."
    flow, throw, arc = (table[name].to_numpy() for name in ("flow_m3_s", "throw_m", "arc_rad"))
    for code, values, what in (("head_no_flow", flow, "without a flow"), ("head_no_throw", throw, "without a throw")):
        bad = ~(values > 0) | ~np.isfinite(values)
        say("warning", code, bad & kept, what, aside)
        kept &= ~bad
    bad = ~((arc > 0) & (arc <= 2 * np.pi + 1e-9))
    say("warning", "head_wrong_arc", bad & kept, "whose arc is no angle from 0 to 360 degrees", aside)
    kept &= ~bad
    odd = np.zeros(len(table), bool)
    for values, (low, high) in ((throw, PLAUSIBLE["throw"]), (flow, PLAUSIBLE["flow"])):
        odd |= (values < low) | (values > high)
    say(
        "warning",
        "head_implausible",
        odd & kept,
        "with a flow or a throw that no head has",
        "Reckoned as written; check units.",
    )
    no_station = kept & (table["station"] == "").to_numpy()
    say("note", "head_no_station", no_station, "without a station", "Each is taken as a station of its own.")
    table.loc[no_station, "station"] = "head " + table["head"][no_station]
    return gpd.GeoDataFrame(table[kept].reset_index(drop=True), crs=table.crs), findings
