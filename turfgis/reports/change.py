"""Why a budget changed: for the screen, as rows for CSV, and as JSON."""

import textwrap
from typing import Any

from turfgis.estimates.change import PARTS, Change
from turfgis.reports.columns import Column
from turfgis.reports.facts import plain_words
from turfgis.reports.screen import WIDEST, one_line, text_table
from turfgis.reports.tables import Row

CHANGE_NOTE = (
    "Each part is the mean over all orders in which area, rate, times and price could change one after the other: "
    "none is favoured, and one that did not change has nothing. Parts of jobs are net, before stock; what stock, "
    "ordering, contingency and taxes add stands in lines of its own."
)
_HEADS = {"swapped": "swapped", "new": "new job", "dropped": "dropped"}


def change_rows(change: Change) -> list[Row]:
    """
    One row for each job and each further line, and last the total; money in the currency of the course.

    Returns
    -------
    ``kind`` (``job``, ``line`` or ``total``), ``name``, the parts, ``other`` and ``difference``, the sum of the row.
    """
    jobs = [_row("job", name, parts, 0) for name, parts in change.jobs.items()]
    lines = [_row("line", name, dict.fromkeys(PARTS, 0), cents) for name, cents in change.lines.items()]
    return [*jobs, *lines, _row("total", "total", change.parts, sum(change.lines.values()))]


def _row(kind: str, name: str, parts: dict[str, int], other: int) -> Row:
    money = {part: cents / 100 for part, cents in parts.items()}
    return {
        "kind": kind,
        "name": name,
        **money,
        "other": other / 100,
        "difference": (sum(parts.values()) + other) / 100,
    }


def change_json(change: Change) -> dict[str, Any]:
    """The change as a nest of dictionaries and lists; ``parts`` and ``lines`` add up to ``difference``."""
    return {
        "currency": change.currency,
        "old": {"year": change.old.year, "total": round(change.old.total, 2)},
        "new": {"year": change.new.year, "total": round(change.new.total, 2)},
        "difference": change.difference / 100,
        "parts": {part: cents / 100 for part, cents in change.parts.items()},
        "lines": [{"name": name, "difference": cents / 100} for name, cents in change.lines.items()],
        "by_job": [
            {
                "job": name,
                **{part: cents / 100 for part, cents in parts.items()},
                "difference": sum(parts.values()) / 100,
            }
            for name, parts in change.jobs.items()
        ],
        "unpriced": {"old": list(change.old.unpriced), "new": list(change.new.unpriced)},
        "note": CHANGE_NOTE,
    }


def change_text(change: Change) -> str:
    """The change for the screen: totals, then jobs and lines that changed."""
    title = f"Why the budget changed, in {one_line(change.currency)}"
    years = [f" {one.year}" if one.year else "" for one in (change.old, change.new)]
    totals = [
        {"name": f"old{years[0]}", "cost": round(change.old.total, 2)},
        {"name": f"new{years[1]}", "cost": round(change.new.total, 2)},
    ]
    heads = [Column("name", "budget"), Column("cost", "cost", "money")]
    ends = [{"name": "difference", "cost": change.difference / 100}]
    blocks = [f"{title}\n{'=' * len(title)}\n", text_table(totals, heads, totals=ends), _parts_table(change)]
    unpriced = list(dict.fromkeys((*change.old.unpriced, *change.new.unpriced)))
    said = [f"No price, and so left out: {', '.join(plain_words(one_line(one)) for one in unpriced)}."] * bool(unpriced)
    blocks.append("\n".join(textwrap.fill(line, WIDEST) for line in (*said, CHANGE_NOTE)) + "\n")
    return "\n".join(blocks)


def _parts_table(change: Change) -> str:
    *rows, total = change_rows(change)
    rows = [{**row, "name": one_line(row["name"])} for row in rows if any(row[part] for part in (*PARTS, "other"))]
    if not rows:
        return "Nothing changed.\n"
    used = [part for part in (*PARTS, "other") if any(row[part] for row in rows)]
    heads = [
        Column("name", "job or line"),
        *(Column(part, _HEADS.get(part, part), "money") for part in used),
        Column("difference", "all", "money"),
    ]
    return text_table(rows, heads, totals=[total])
