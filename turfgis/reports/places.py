"""Places that need watching on the screen and for other programs: what is due, where, how large, what to do."""

from __future__ import annotations

import textwrap
from collections import Counter
from datetime import date
from typing import TYPE_CHECKING, Any

import numpy as np

from turfgis.formulas.stems import stem_diameter
from turfgis.reports.cautions import place_cautions
from turfgis.reports.columns import Column, column
from turfgis.reports.screen import WIDEST, one_line, text_table
from turfgis.reports.tables import Row
from turfgis.units import shown

if TYPE_CHECKING:
    import pandas as pd

# What other programs get of a place, in this order.
KEYS = (
    *("place", "kind", "name", "state", "due", "days_overdue", "urgency", "patch", "surface", "hole", "near", "near_m"),
    *("seen", "every", "looks", "size_m2", "plus_minus_m2", "length_m", "growth_m2_week", "species", "girth_cm"),
    *("diameter_cm", "task", "hours", "people", "certificate", "done", "material", "rate", "cost_code", "note"),
    *("photo", "latitude", "longitude"),
)


def place_rows(places: Any) -> list[Row]:
    """
    Places as rows of plain values.

    Parameters
    ----------
    places
        Table of :func:`turfgis.estimates.places.watched_places`.

    Returns
    -------
    One row a place with :data:`KEYS`; days as text, None where nothing is known.
    """
    points = places.geometry.representative_point().to_crs("EPSG:4326") if len(places) else []
    made = []
    for row, point in zip(places.drop(columns="geometry").to_dict("records"), points, strict=True):
        row["latitude"], row["longitude"] = round(point.y, 7), round(point.x, 7)
        girth = row["girth_cm"]
        row["diameter_cm"] = round(float(stem_diameter(girth / 100)) * 100, 1) if girth else None
        row["every"] = every_words(row["every"]) or None
        made.append({key: _plain(row[key]) for key in KEYS})
    return made


def look_rows(looks: pd.DataFrame) -> list[Row]:
    """Looks at places as rows of plain values."""
    return [{str(key): _plain(value) for key, value in row.items()} for row in looks.to_dict("records")]


def every_words(every: tuple[int, str] | None) -> str:
    """
    How often, in words.

    Examples
    --------
    >>> every_words((2, "week")), every_words((1, "month")), every_words(None)
    ('2 weeks', '1 month', '')
    """
    return "" if every is None else f"{every[0]} {every[1]}{'s' if every[0] != 1 else ''}"


def _plain(value: Any) -> Any:
    if value is None or (isinstance(value, float) and np.isnan(value)):
        return None
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, float):
        return int(value) if value.is_integer() and abs(value) < 1e15 else value
    return value


def where_words(row: Row) -> str:
    """
    Where a place lies, in words.

    Examples
    --------
    >>> where_words({"patch": "green-07", "surface": "green", "hole": "7", "near": None})
    'green-07'
    >>> where_words({"patch": "rough-none-1", "surface": "rough", "hole": "4", "near": None})
    '4 rough'
    >>> where_words({"patch": None, "surface": None, "hole": "4", "near": "path-3"})
    'near path-3'
    """
    if row["patch"]:
        numbered = "-none-" not in row["patch"] or row["hole"] is None
        return row["patch"] if numbered else f"{row['hole']} {row['surface']}"
    return f"near {row['near']}" if row["near"] else "off the course"


def title_words(row: Row) -> str:
    """What a place is called: its kind, its name or species, its id."""
    called = row["name"] or row["species"] or ""
    return one_line(f"{row['kind']}{f', {called}' if called else ''} ({row['place']})")


def due_words(row: Row) -> str:
    """
    When a place is due, seen from the day that was asked for.

    Examples
    --------
    >>> due_words({"state": "overdue", "due": "2027-04-01", "days_overdue": 5})
    '2027-04-01, 5 days overdue'
    >>> due_words({"state": "no date", "due": None, "days_overdue": None})
    'no date'
    """
    if row["state"] in ("no date", "closed"):
        return row["state"]
    if row["state"] == "overdue":
        return f"{row['due']}, {row['days_overdue']} day{'s' if row['days_overdue'] != 1 else ''} overdue"
    return row["due"]


def places_text(rows: list[Row], day: date, until: date | None, units: str = "metric") -> str:
    """
    The list of places for the screen.

    Parameters
    ----------
    rows
        Of :func:`place_rows`.
    day, until
        What was asked for.
    units
        ``metric`` or ``us``.
    """
    columns: list[str | Column] = [
        *(Column(key, key) for key in ("urgency", "place", "kind", "name", "where")),
        Column("when", "due"),
        Column("days_overdue", "days overdue", "count"),
        column("size_m2", "size"),
        Column("what", "to do"),
    ]
    told = [
        {
            **row,
            "name": row["name"] or row["species"],
            "where": where_words(row),
            "when": row["due"] or row["state"],
            "days_overdue": row["days_overdue"] if row["state"] == "overdue" else None,
            "urgency": "" if row["urgency"] is None else str(row["urgency"]),
            "what": row["task"] or "look",
        }
        for row in rows
    ]
    count = Counter(row["state"] for row in rows)
    said = ", ".join(
        f"{number} {state}" for state in ("overdue", "due", "no date", "later", "closed") if (number := count[state])
    )
    span = f"{day}" if until in (None, day) else f"{day} to {until}"
    lines = [f"Places on {span}: {said or 'none'}", ""]
    lines += [text_table(told, columns, units)] if told else []
    for text in place_cautions(rows):
        lines += textwrap.wrap(text, WIDEST, initial_indent="- ", subsequent_indent="  ")
    return "\n".join(lines)


def history_text(rows: list[Row], place: Row, units: str = "metric") -> str:
    """
    All looks at a place for the screen.

    Parameters
    ----------
    rows
        Of :func:`look_rows`.
    place
        Its row of :func:`place_rows`.
    units
        ``metric`` or ``us``.
    """
    columns: list[str | Column] = [
        Column("seen", "seen"),
        Column("days_since", "days since", "count"),
        column("size_m2", "size"),
        *([column("girth_cm", "girth, cm")] if any(row["girth_cm"] for row in rows) else []),
        Column("growth", f"{shown('area', units).label} a week"),
        Column("urgency", "urgency"),
        Column("note", "note"),
        Column("task", "to do"),
        Column("done", "done"),
    ]
    told = [
        {
            **row,
            "seen": row["seen"] or "no day",
            "growth": growth_words(row["growth_m2_week"], units, bare=True),
            "girth_cm": None if row["girth_cm"] is None else f"{row['girth_cm']:g}",
            "urgency": "" if row["urgency"] is None else str(row["urgency"]),
        }
        for row in rows
    ]
    lines = [f"{title_words(place)}, {where_words(place)}: {due_words(place)}", "", text_table(told, columns, units)]
    if place["growth_m2_week"] is not None:
        lines.append(f"From the first look to the last: {growth_words(place['growth_m2_week'], units)}.")
    if place["diameter_cm"] is not None:
        lines.append(f"Girth {place['girth_cm']:g} cm is {place['diameter_cm']:g} cm across, if the stem is round.")
    for text in place_cautions([place]):
        lines += textwrap.wrap(text, WIDEST, initial_indent="- ", subsequent_indent="  ")
    return "\n".join(lines)


def growth_words(growth: float | None, units: str, bare: bool = False) -> str:
    """
    How fast a spot grows.

    Examples
    --------
    >>> growth_words(2.04, "metric"), growth_words(-1.0, "metric"), growth_words(None, "metric")
    ('+2.0 m2 a week', '-1.0 m2 a week', '')
    """
    if growth is None:
        return ""
    area = shown("area", units)
    return f"{growth * area.per_si:+.1f}" + ("" if bare else f" {area.label} a week")
