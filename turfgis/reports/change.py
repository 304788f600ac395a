"""Why a budget changed: for the screen, as rows for CSV, and as JSON."""

import textwrap
from collections.abc import Sequence
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
# Part or line -> what a committee calls it. Lines with names of their own are reserves and taxes.
_CAUSES = {
    "area": "measured areas",
    "rate": "depths, rates and work by area",
    "times": "how often work is done",
    "price": "prices and wages",
    "swapped": "other materials or machines",
    "new": "new work",
    "dropped": "work left out",
    "stock used": "stock in the yard",
    "whole packs and loads": "packs, loads and delivery",
    "least that suppliers deliver": "packs, loads and delivery",
    "delivery": "packs, loads and delivery",
}
_RESERVES = "reserves and taxes"
_HEADS = {"swapped": "swapped", "new": "new job", "dropped": "dropped"}


def change_causes(change: Change) -> list[tuple[str, float]]:
    """
    The change in words for a committee: each cause with its money, all jobs together.

    Returns
    -------
    Words and amounts, which add up to the difference; what changed nothing is left out.
    """
    cents: dict[str, int] = {}
    for name, amount in (*change.parts.items(), *change.lines.items()):
        words = _CAUSES.get(name, _RESERVES)
        cents[words] = cents.get(words, 0) + amount
    return [(words, amount / 100) for words, amount in cents.items() if amount]


def last_year(change: Change) -> tuple[str, float]:
    """What the old year is called beside the new one, and its total."""
    told = change.old.year is not None and change.old.year != change.new.year
    return (str(change.old.year) if told else "last year"), change.old.total


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


def causes_text(change: Change) -> str:
    """The change in a few lines, to stand below a budget."""
    name, total = last_year(change)
    rows = [{"name": words, "cost": amount} for words, amount in change_causes(change)]
    ends = [{"name": "difference", "cost": change.difference / 100}]
    heads = [Column("name", f"since {name}, when it was {total:,.2f}"), Column("cost", "cost", "money")]
    return "\n" + (text_table(rows, heads, totals=ends) if rows else f"Nothing changed since {name}.\n")


def change_columns(used: Sequence[str] = (*PARTS, "other")) -> list[Column]:
    """Columns for :func:`change_rows`; only the parts that are used."""
    return [
        Column("name", "job or line"),
        *(Column(part, _HEADS.get(part, part), "money") for part in used),
        Column("difference", "all", "money"),
    ]


def _parts_table(change: Change) -> str:
    *rows, total = change_rows(change)
    rows = [{**row, "name": one_line(row["name"])} for row in rows if any(row[part] for part in (*PARTS, "other"))]
    if not rows:
        return "Nothing changed.\n"
    used = [part for part in (*PARTS, "other") if any(row[part] for row in rows)]
    return text_table(rows, change_columns(used), totals=[total])
