"""How the heads cover each patch: on the screen, for other programs and printed."""

from __future__ import annotations

from math import isfinite
from typing import Any

from turfgis.estimates.heads import Cover
from turfgis.reports.cautions import sheet_cautions
from turfgis.reports.columns import Column
from turfgis.reports.facts import Facts
from turfgis.reports.orders import bullets
from turfgis.reports.printed import page_data, render_page, with_signs
from turfgis.reports.screen import one_line, text_table
from turfgis.reports.tables import Row, course_sort_key, plain_rows
from turfgis.units import shown

RATE = ("rain rate", 1 / 3.6e6)
COLUMNS = (
    "patch",
    "net_m2",
    Column("missed_m2", "missed", "area"),
    Column("heads", "heads", "count"),
    Column("overlap", "overlap", "number"),
    Column("rate_mm_h", "rate", *RATE),
    Column("low_quarter", "low quarter", "share"),
    Column("christiansen", "Christiansen", "share"),
    Column("judged_by", "judged by"),
)


def heads_rows(cover: Cover) -> list[Row]:
    """One row a patch, by surface and hole."""
    rows = plain_rows(cover.table.drop(columns="caught_mm_h"))
    rank = {name: place for place, name in enumerate(dict.fromkeys(row["surface"] for row in rows))}
    return sorted(rows, key=lambda row: (rank[row["surface"]], course_sort_key(row["hole"]), row["patch"]))


def heads_words(cover: Cover) -> list[str]:
    """What the columns mean, and what was found about the heads."""
    found = [f"{one.file}: {one.text}" for one in cover.heads.findings]
    by_cans = cover.table["judged_by"].tolist().count("cans")
    none = cover.heads.heads["patch"].tolist().count("")
    return [
        *found,
        *([f"{none} heads reach no surface that is watered."] if none else []),
        "Rate: mean over the patch, all heads that reach it running. Overlap: heads that reach a covered place, in "
        "the mean. Missed: reached by no head.",
        "Low quarter: mean of the driest quarter as a share of the mean of all; of cans the nearest whole number, "
        "halves upward. Christiansen: 1 less the mean absolute gap from the mean, as a share of the mean.",
        f"Judged by cans on {by_cans} patch{'es' * (by_cans != 1)}; elsewhere by throw, arc and flow, in still air.",
    ]


def heads_text(cover: Cover, units: str = "metric") -> str:
    """
    The table for the screen.

    Parameters
    ----------
    cover
        Heads and cans of a course.
    units
        ``metric`` or ``us``.
    """
    rows = heads_rows(cover)
    table = text_table(rows, list(COLUMNS), units) if rows else "No head reaches a surface that is watered.\n"
    return "\n".join([table, bullets("Remarks", heads_words(cover)), bullets("Cautions", sheet_cautions("heads"))])


def heads_pdf(cover: Cover, facts: Facts, units: str = "metric") -> bytes:
    """
    The table as pages to be taken out on the course.

    Parameters
    ----------
    cover, units
        As for :func:`heads_text`.
    facts
        The course.

    Returns
    -------
    A PDF file.
    """
    area, rate = shown("area", units), shown("rain rate", units)
    rows = [
        [
            one_line(row["patch"]),
            area.number(row["net_m2"]),
            area.number(row["missed_m2"]),
            str(row["heads"]),
            _figure(row["overlap"], "{:.1f}"),
            rate.number(row["rate_mm_h"] / 3.6e6),
            _figure(row["low_quarter"], "{:.0%}"),
            _figure(row["christiansen"], "{:.0%}"),
            row["judged_by"],
        ]
        for row in heads_rows(cover)
    ]
    data: dict[str, Any] = {
        **page_data("Heads on the ground", facts, units),
        "note": "How the heads cover each patch that they serve.",
        "columns": ["patch", f"net, {with_signs(area.label)}", f"missed, {with_signs(area.label)}", "heads", "overlap",
                    f"rate, {rate.label}", "low quarter", "Christiansen", "judged by"],
        "rows": rows,
        "words": [with_signs(one_line(words)) for words in heads_words(cover)],
        "cautions": sheet_cautions("heads", more=facts.cautions),
    }  # fmt: skip
    return render_page("heads.typ", data)


def _figure(value: float | None, how: str) -> str:
    return "–" if value is None or not isfinite(value) else how.format(value)
