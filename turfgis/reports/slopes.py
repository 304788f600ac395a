"""The slope sheet, on the screen and printed: machine by machine, what is over the limit, under it, or unknown."""

from __future__ import annotations

import textwrap
from collections import Counter
from dataclasses import replace
from math import atan, degrees
from typing import TYPE_CHECKING, Any

from turfgis.reports.cautions import sheet_cautions
from turfgis.reports.columns import Column, column
from turfgis.reports.facts import Facts, plain_words
from turfgis.reports.orders import plural
from turfgis.reports.printed import page_data, render_page, trimmed, with_signs
from turfgis.reports.relief import relief_note
from turfgis.reports.screen import WIDEST, one_line, text_table
from turfgis.reports.tables import Row, course_sort_key, plain_rows
from turfgis.units import shown

if TYPE_CHECKING:
    from turfgis.estimates.slopes import Steepness

DECIMALS = 5  # of a degree: a metre


def by_machine(rows: list[Row]) -> list[tuple[str, list[Row]]]:
    """Machines with a limit first; rows of each: over first and the steepest first, then unknown, then under."""
    rank = {"over": 0, "unknown": 1, "under": 2}

    def key(row: Row) -> tuple:
        return rank[row["verdict"]], -(row["steepest_slope_pct"] or 0.0), course_sort_key(row["hole"]), row["patch"]

    names = list(dict.fromkeys(row["machine"] for row in sorted(rows, key=lambda row: row["limit_deg"] is None)))
    return [(name, sorted((row for row in rows if row["machine"] == name), key=key)) for name in names]


def limit_words(rows: list[Row]) -> str:
    """The limit of a machine as it was entered, and who says so."""
    first = rows[0]
    if first["limit_deg"] is None:
        return "no limit entered"
    source = f", from {one_line(first['limit_from'])}" if first["limit_from"] else ", source not given"
    return f"limit {first['limit_deg']:.1f} deg ({first['limit_pct']:.0f} %){source}"


def counts_words(rows: list[Row], units: str) -> str:
    """How many patches are over, under and unknown, and how much ground is over."""
    count = {verdict: sum(row["verdict"] == verdict for row in rows) for verdict in ("over", "under", "unknown")}
    over = sum(row["over_m2"] or 0.0 for row in rows if row["verdict"] == "over")
    ground = f", {shown('area', units).text(over)} of their ground" if count["over"] else ""
    return f"{count['over']} over{ground}; {count['under']} under; {count['unknown']} unknown"


def place_words(latitude: float | None, longitude: float | None) -> str:
    """A place as a phone takes it: latitude, longitude."""
    return "" if latitude is None or longitude is None else f"{latitude:.{DECIMALS}f}, {longitude:.{DECIMALS}f}"


def slope_text(steepness: Steepness, units: str = "metric") -> str:
    """
    The slope sheet for the screen.

    Parameters
    ----------
    steepness
        Machines on their ground.
    units
        ``metric`` or ``us``.
    """
    lines: list[str] = []
    columns: list[str | Column] = [
        *("patch", "verdict"),
        replace(column("over_m2"), head="over it"),
        *(Column(key, key) for key in ("steepest", "side", "climb")),
        replace(column("drop_edge_m"), head="drop edge"),
        replace(column("drop_m"), head="drop"),
        Column("place", "steepest at (lat, lon)"),
    ]
    for name, rows in by_machine(plain_rows(steepness.rows)):
        lines += [f"{plain_words(name)}: {limit_words(rows)}", f"  {counts_words(rows, units)}", ""]
        told = [row for row in rows if row["verdict"] != "under" and not _no_limit(row)]
        if told:
            made = [{**row, **_angles(row), "place": place_words(row["latitude"], row["longitude"])} for row in told]
            lines += [text_table(made, columns, units)]
    notes = [*ground_words(steepness, units), *sheet_cautions("slope")]
    for text in notes:
        lines += textwrap.wrap(text, WIDEST, initial_indent="- ", subsequent_indent="  ")
    return "\n".join(lines)


def _angles(row: Row) -> dict[str, str]:
    """Steepest place, side slope and climb in degrees, as the limits are."""
    said = {"steepest": "steepest_slope_pct", "side": "side_slope_pct", "climb": "climb_pct"}
    return {name: "–" if row[key] is None else f"{degrees(atan(row[key] / 100)):.1f}°" for name, key in said.items()}


def _no_limit(row: Row) -> bool:
    return row["verdict"] == "unknown" and row["limit_deg"] is None


def ground_words(steepness: Steepness, units: str) -> list[str]:
    """What stands below the figures: what was found about the heights, where they come from, what the columns are."""
    found = [f"{finding.file}: {finding.text}" for finding in steepness.relief.findings]
    return [*found, relief_note(steepness.relief, units), drop_words(steepness, units)]


def drop_words(steepness: Steepness, units: str) -> str:
    """What is called a drop, and what side slope and climb are."""
    width = shown("width", units)
    return (
        f"Drop edge: length of edge beside which the ground lies {trimmed(width, steepness.drop_m)} or "
        f"more lower within {trimmed(width, steepness.within_m)}, and the greatest fall. Side and climb: the steepest "
        "across and along the way on rounds and passes, laid in the direction of fewest turns or as the settings say."
    )


def slope_pdf(steepness: Steepness, facts: Facts, units: str = "metric") -> bytes:
    """
    The slope sheet as pages to be handed out, a machine after another.

    Parameters
    ----------
    steepness
        Machines on their ground.
    facts, units
        As for :func:`turfgis.reports.sheets.order_sheet_pdf`.

    Returns
    -------
    A PDF file.
    """
    area, length = shown("area", units), replace(shown("length", units), decimals=0)
    width = shown("width", units)
    data: dict[str, Any] = {
        **page_data("Slope sheet", facts, units),
        "note": "Over, under or unknown against the limits that the club has entered. Check each place on the ground.",
        "heads": ["patch", "", f"over it, {with_signs(area.label)}", "steepest", "side", "climb",
                  "passes run", f"edge with a drop, {length.label}", f"drop, {width.label}", "steepest place"],
        "machines": [
            {
                "name": plain_words(name),
                "limit": limit_words(rows),
                "counts": with_signs(counts_words(rows, units)),
                "rows": [_printed(row, units) for row in rows if row["verdict"] != "under" and not _no_limit(row)],
                "under": _names(rows, "under"),
                "unknown": _by_surface([row for row in rows if _no_limit(row)]),
            }
            for name, rows in by_machine(plain_rows(steepness.rows))
        ],
        "words": [with_signs(one_line(words)) for words in ground_words(steepness, units)],
        "cautions": sheet_cautions("slope", more=facts.cautions),
    }  # fmt: skip
    return render_page("slope.typ", data)


def _names(rows: list[Row], verdict: str) -> str:
    found = sorted((row for row in rows if row["verdict"] == verdict), key=lambda row: course_sort_key(row["hole"]))
    return ", ".join(one_line(row["patch"]) for row in found)


def _by_surface(rows: list[Row]) -> str:
    """How many patches of each surface: a machine without a limit needs no list of them."""
    count = Counter(row["surface"] for row in rows)
    return ", ".join(f"{number} {one_line(plural(name) if number > 1 else name)}" for name, number in count.items())


def _printed(row: Row, units: str) -> list[str]:
    area, length, width = shown("area", units), replace(shown("length", units), decimals=0), shown("width", units)

    def figure(value: float | None, write) -> str:
        return "–" if value is None else write(value)

    return [
        one_line(row["patch"]),
        row["verdict"] if not row["why"] else f"unknown: {row['why']}",
        figure(row["over_m2"], area.number),
        *_angles(row).values(),
        figure(row["direction_deg"], lambda value: f"{value:.0f}°"),
        figure(row["drop_edge_m"], length.number),
        figure(row["drop_m"], width.number),
        place_words(row["latitude"], row["longitude"]),
    ]
