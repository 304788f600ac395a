"""
The year on one page for a committee: where the money goes, when, how sure that is, and why it changed.

One set of words and figures serves the printed page and the page for a screen. Every bar stands beside its figure, and
figures are whole units of money: a budget is not known to the cent.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from turfgis.estimates.budget import Budget
from turfgis.estimates.takeoff import Takeoff
from turfgis.reports.facts import Facts, plain_words, whole_percent
from turfgis.reports.printed import page_data, render_page
from turfgis.reports.screen import one_line
from turfgis.reports.tables import COVERAGE

MOST_PROGRAMMES = 12  # more would not fit the page; the smallest are put together
MOST_CAUSES = 4
MOST_LINES = 10
LONGEST_NAME, LONGEST_TITLE, LONGEST_CAUTION = 40, 60, 240
LOOSE, UNDATED = "not in a programme", "no date"
_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
_RESOURCES = {
    "material": "materials",
    "machine": "machines",
    "labour": "people",
    "fuel": "fuel",
    "water": "water",
    "purchase": "bought as it is",
    "contractor": "contractors",
}

Figures = dict[str, Any]


def committee_page(
    budget: Budget,
    takeoff: Takeoff,
    facts: Facts,
    units: str = "metric",
    *,
    last: tuple[str, float] | None = None,
    why: Sequence[tuple[str, float]] = (),
    before: Budget | None = None,
) -> Figures:
    """
    Words and figures of the page.

    Parameters
    ----------
    budget, takeoff
        The year.
    facts
        The course.
    units
        ``metric`` (A4) or ``us`` (US letter).
    last
        What last year is called, and its total.
    why
        What the difference from last year is made of: words and amounts. Of more than four, the smallest are put
        together.
    before
        Last year's budget, to stand beside each programme of work; no such column without it.

    Returns
    -------
    What :func:`committee_pdf` and :func:`turfgis.reports.committee_html.committee_html` set: all figures as text, and
    bars as shares of the longest.
    """
    by_group, by_month = _hours(takeoff)
    year = f" {budget.year}" if budget.year else ""
    worked = sum(by_group.values())
    spared = f"Stock in the yard is used first; it spares {_money(budget.stock_value)}."
    return {
        **page_data(f"Budget{year}", replace(facts, name=_cut(one_line(facts.name), LONGEST_TITLE)), units),
        "currency": one_line(budget.currency),
        "total": _money(budget.total),
        "spread": _money(COVERAGE * budget.u),
        "hours": f"{worked:,.0f}" if round(worked) else "",
        "programmes": _programmes(budget, by_group, before),
        "last_name": _name(last[0]) if last and before else "",
        "last": _money(last[1]) if last and before else "",
        "months": _months(budget, by_month),
        "made_of": _made_of(budget),
        "years": _years(budget, last, before),
        "why": _why(why),
        "stock": spared if round(budget.stock_value) else "",
        "cautions": _cautions(budget, facts),
    }


def committee_pdf(
    budget: Budget,
    takeoff: Takeoff,
    facts: Facts,
    units: str = "metric",
    *,
    last: tuple[str, float] | None = None,
    why: Sequence[tuple[str, float]] = (),
    before: Budget | None = None,
) -> bytes:
    """
    The page in black and white, for A4 or US letter.

    Parameters
    ----------
    budget, takeoff, facts, units, last, why, before
        As for :func:`committee_page`.

    Returns
    -------
    A PDF file of one page.
    """
    page = committee_page(budget, takeoff, facts, units, last=last, why=why, before=before)
    return render_page("committee.typ", page)


def _money(value: float) -> str:
    """Whole units; a nought has no sign."""
    return f"{round(value) or 0:,}".replace("-", "−")


def _signed(value: float) -> str:
    return f"+{_money(value)}" if round(value) > 0 else _money(value)


def _name(words: str) -> str:
    """A name from the settings, cut where it would push others off the page."""
    return _cut(plain_words(one_line(words)), LONGEST_NAME)


def _cut(words: str, most: int) -> str:
    return words if len(words) <= most else words[: most - 1] + "…"


def _share(value: float, most: float) -> float:
    return max(value, 0.0) / most if most > 0 else 0.0


def _hours(takeoff: Takeoff) -> tuple[dict[str | None, float], dict[str | None, float]]:
    """Hours of people by group of jobs, and by month."""
    by_group: dict[str | None, float] = defaultdict(float)
    by_month: dict[str | None, float] = defaultdict(float)
    once = takeoff.quantity.sum(axis=1) / 3600
    for need, each, counts in zip(takeoff.needs, once.tolist(), takeoff.counts.tolist(), strict=True):
        if need.resource != "labour":
            continue
        for month, count in zip(takeoff.months, counts, strict=True):
            by_group[need.job.group or None] += each * count
            by_month[month] += each * count
    return by_group, by_month


def _programmes(budget: Budget, hours: Mapping[str | None, float], before: Budget | None) -> list[Figures]:
    """Groups of jobs of either year, the dearest first; the smallest and jobs in no group at the end."""
    past = {row.name: row.cost for row in before.by("group")} if before else {}
    found = {row.name: (row.cost, row.u) for row in budget.by("group")}
    ranked = sorted({**dict.fromkeys(past, (0.0, 0.0)), **found}.items(), key=lambda one: -one[1][0])
    named, loose = (
        [
            (LOOSE if name is None else _name(name), cost, u, hours.get(name, 0.0), past.get(name, 0.0))
            for name, (cost, u) in ranked
            if (name is None) is outside
        ]
        for outside in (False, True)
    )
    room = MOST_PROGRAMMES - len(loose)
    listed: list[tuple[str, float, float | None, float, float]] = [*named[:room]]
    if len(named) > room:
        rest = named[room - 1 :]
        _, costs, _, worked, spent = zip(*rest, strict=True)
        # How far these are out together is not said: spreads do not add up.
        listed[-1] = (f"{len(rest)} smaller ones", sum(costs), None, sum(worked), sum(spent))
    listed += loose
    most = max((row[1] for row in listed), default=0.0)
    return [
        {
            "name": name,
            "bar": _share(cost, most),
            "cost": _money(cost),
            "spread": "" if u is None else _money(COVERAGE * u),
            "share": whole_percent(cost / budget.total) if budget.total else "",
            "hours": f"{worked:,.0f}" if round(worked) else "",
            "last": _money(spent) if before else "",
        }
        for name, cost, u, worked, spent in listed
    ]


def _months(budget: Budget, hours: Mapping[str | None, float]) -> list[Figures]:
    """Twelve months, and what lies before, after or at no particular time."""
    costs = {row.name: row.cost for row in budget.by("month")}
    year = str(budget.year) if budget.year else min((name for name in costs if name), default="")[:4]
    sums = {f"{year}-{at:02d}": [0.0, 0.0] for at in range(1, 13)} if year else {}
    for at, found in enumerate((costs, hours)):
        for month, value in found.items():
            sums.setdefault(_place(month, year), [0.0, 0.0])[at] += value
    order = sorted(sums, key=lambda name: {"before": 0, "after": 2, UNDATED: 3}.get(name, 1))
    most = max((cost for cost, _ in sums.values()), default=0.0)
    return [
        {
            "name": name if name in ("before", "after", UNDATED) else _MONTHS[int(name[5:]) - 1],
            "bar": _share(sums[name][0], most),
            "cost": _money(sums[name][0]) if round(sums[name][0]) else "–",
            "hours": f"{sums[name][1]:,.0f}" if round(sums[name][1]) else "",
        }
        for name in order
    ]


def _place(month: str | None, year: str) -> str:
    if month is None:
        return UNDATED
    return month if month[:4] == year else "before" if month[:4] < year else "after"


def _made_of(budget: Budget) -> list[Figures]:
    """How the total comes about; the lines add up to it."""
    rows = {row.name: sum(row.resources.values()) for row in budget.by("resource")}
    lines = [
        *((words, rows.get(name, 0.0)) for name, words in _RESOURCES.items()),
        ("whole packs and loads, least amounts", budget.rounding + budget.minimum),
        ("delivery", budget.delivery),
        *((_name(name), cost) for name, cost in budget.contingency.items()),
        *((_name(name), cost) for name, cost in budget.taxes.items()),
    ]
    lines = [line for line in lines if round(line[1])]
    if len(lines) > MOST_LINES:
        rest = sum(cost for _, cost in lines[MOST_LINES - 1 :])
        lines = [*lines[: MOST_LINES - 1], ("further taxes and reserves", rest)]
    return [{"name": words, "cost": _money(cost)} for words, cost in lines]


def _years(budget: Budget, last: tuple[str, float] | None, before: Budget | None) -> list[Figures]:
    """Last year where it is known, this one, and two more of the same programme."""
    rows = [(_name(last[0]), last[1], _money(COVERAGE * before.u) if before else "")] if last else []
    for at, (year, cost, u) in enumerate(budget.years):
        name = str(year) if budget.year else ("this year", "next year", "the year after")[at]
        rows.append((name, cost, _money(COVERAGE * u)))
    most = max(cost for _, cost, _ in rows)
    return [
        {"name": name, "bar": _share(cost, most), "cost": _money(cost), "spread": spread} for name, cost, spread in rows
    ]


def _why(causes: Sequence[tuple[str, float]]) -> list[Figures]:
    """At most four causes, and the sum of all."""
    rows = [(_name(words), amount) for words, amount in causes if amount]
    if not rows:
        return []
    if len(rows) > MOST_CAUSES:
        ranked = sorted(range(len(rows)), key=lambda at: -abs(rows[at][1]))
        rest = sum(rows[at][1] for at in ranked[MOST_CAUSES - 1 :])
        rows = [*(rows[at] for at in sorted(ranked[: MOST_CAUSES - 1])), ("everything else", rest)]
    rows.append(("difference in all", sum(amount for _, amount in rows)))
    return [{"name": words, "cost": _signed(amount)} for words, amount in rows]


def _cautions(budget: Budget, facts: Facts) -> list[str]:
    """What belongs under the figures, each so short that the page stays one."""
    said = [*facts.cautions, *budget.remarks]
    if budget.unpriced:
        named = ", ".join(_name(one) for one in budget.unpriced[:6])
        more = len(budget.unpriced) - 6
        said.append(f"Without a price, and so not in these sums: {named}{f' and {more} more' if more > 0 else ''}.")
    return [
        *(_cut(one_line(words), LONGEST_CAUTION) for words in said),
        "A plan, not an offer: prices are the club's own, and rounded figures may differ by one or two in the sums.",
        "±: 19 times in 20 the measured areas, depths and rates leave a figure within this much; prices, wages and how "
        "often a job is done are taken as given.",
        "Labels, machine manuals, local rules, licences and a look at the ground come before any of this work.",
    ]
