"""The places of each week on a page for the wall, with boxes to tick."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

from turfgis.reports.cautions import place_cautions
from turfgis.reports.facts import Facts, plain_words
from turfgis.reports.places import growth_words, where_words
from turfgis.reports.printed import page_data, render_page, trimmed, with_signs
from turfgis.reports.screen import one_line
from turfgis.reports.tables import Row
from turfgis.units import shown


def places_pdf(rows: list[Row], facts: Facts, units: str = "metric", first: date | None = None) -> bytes:
    """
    One page for each week in which a place is due, and one for those without a date.

    Parameters
    ----------
    rows
        Of :func:`turfgis.reports.places.place_rows`; what is closed is left out.
    facts, units
        As for :func:`turfgis.reports.sheets.order_sheet_pdf`.
    first
        A day in the first week: what is overdue then stands on its page. Each day has its own week where left out.

    Returns
    -------
    A PDF file.
    """
    weeks = [
        {"title": title, "rows": [_printed(row, units) for row in found], "cautions": place_cautions(found)}
        for title, found in _weeks(rows, first)
    ]
    area = shown("area", units)
    data: dict[str, Any] = {
        **page_data("Places to look at", facts, units),
        "weeks": weeks,
        "size": with_signs(area.label),
    }
    return render_page("places.typ", data)


def _weeks(rows: list[Row], first: date | None) -> list[tuple[str, list[Row]]]:
    """Title of each page and its places; by urgency, then by day."""
    monday = _monday(first) if first else None
    by_week: dict[date, list[Row]] = {}
    undated = [row for row in rows if row["state"] == "no date"]
    for row in rows:
        if row["due"] and row["state"] != "closed":
            week = _monday(date.fromisoformat(row["due"]))
            by_week.setdefault(max(week, monday) if monday else week, []).append(row)
    pages = [
        (f"Week from {week.day} {week:%B %Y}", sorted(found, key=lambda row: (row["urgency"] or 3, row["due"])))
        for week, found in sorted(by_week.items())
    ]
    return pages + ([("No date: look, and write the next day down", undated)] if undated else [])


def _monday(day: date) -> date:
    return day - timedelta(day.weekday())


def _printed(row: Row, units: str) -> dict[str, str]:
    """A place as its row on the page."""
    area, length = shown("area", units), shown("distance", units)
    size = "" if row["size_m2"] is None else area.number(row["size_m2"])
    facts = [
        growth_words(row["growth_m2_week"], units),
        "" if row["length_m"] is None else f"{length.text(row['length_m'])} long",
        "" if row["girth_cm"] is None else f"girth {row['girth_cm']:g} cm",
        f"every {row['every']}" if row["every"] else "",
        row["species"] or "",
        row["note"] or "",
    ]
    work = [
        row["task"] or "",
        "" if row["hours"] is None else trimmed(shown("hours", units), row["hours"] * 3600),
        "" if not row["people"] or row["people"] == 1 else f"{row['people']} people",
        f"with {row['certificate']}" if row["certificate"] else "",
        _material_words(row),
    ]
    return {
        "urgency": "" if row["urgency"] is None else str(row["urgency"]),
        "id": one_line(row["place"]),
        "kind": one_line(row["kind"]),
        "name": one_line(row["name"] or ""),
        "where": one_line(where_words(row)),
        "due": (row["due"] or "") + (", overdue" if row["state"] == "overdue" else ""),
        "size": size,
        "facts": with_signs(one_line("; ".join(part for part in facts if part))),
        "work": one_line("; ".join(part for part in work if part)) if row["task"] else "",
    }


def _material_words(row: Row) -> str:
    """A material and how much of it for a square metre."""
    if not row["material"]:
        return ""
    return plain_words(row["material"]) + (f", {row['rate']}" if row["rate"] else "")
