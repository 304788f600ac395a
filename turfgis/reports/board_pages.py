"""The board as printed pages: for the wall on two sizes of paper, and a slip for each person."""

from __future__ import annotations

from typing import Any

from turfgis.estimates.assignment import Placement
from turfgis.estimates.day_plan import DayPlan
from turfgis.reports.board import (
    board_cautions,
    clock,
    exposure_words,
    given_words,
    machine_words,
    mates,
    shortfall_lines,
)
from turfgis.reports.facts import Facts, plain_words
from turfgis.reports.printed import page_data, render_page
from turfgis.reports.screen import one_line

# paper -> name in typst and how much larger than the small one it is printed
PAPERS = {
    "metric": {"a4": ("a4", 1.0), "a3": ("a3", 1.414)},
    "us": {"letter": ("us-letter", 1.0), "tabloid": ("us-tabloid", 1.414)},
}
SMALLEST, LARGEST = 8.5, 17.0  # print on the small paper [pt]
ROOM = 430.0  # height for rows of people on the small paper [pt]
SLIP_PAPER = {"metric": "a5", "us": "us-statement"}


def wall_board_pdf(plan: DayPlan, facts: Facts, units: str = "metric", paper: str = "") -> bytes:
    """
    The board for the wall, as large as the day allows.

    Parameters
    ----------
    plan, facts
        The day, and the course.
    units
        ``metric`` or ``us``.
    paper
        A key of :data:`PAPERS`; the small one where it is left out.

    Returns
    -------
    A PDF file.
    """
    name, scale = PAPERS[units][paper or next(iter(PAPERS[units]))]
    people = [_person(plan, worker.name) for worker in plan.due.day.workers]
    spans = {worker.name: worker.spans for worker in plan.due.day.workers}
    for person in people:
        person["hours"] = _hours(spans[person["key"]])
    tee = _tee_words(plan)
    lines = [one_line(line) for line in shortfall_lines(plan)]
    return render_page(
        "board.typ",
        {
            **page_data(f"{plan.day:%A} {plan.day.day} {plan.day:%B}", facts, units),
            "paper": name,
            "scale": scale,
            "size": _size(people, len(lines)) * scale,
            "note": ", ".join(part for part in (tee, given_words(plan)) if part),
            "morning": "morning",
            "afternoon": "afternoon",
            "people": people,
            "lines": lines,
            "cautions": board_cautions(plan),
        },
    )


def _size(people: list[dict[str, Any]], lines: int) -> float:
    """As large as lets the rows fit on one page of the small paper, within bounds. [pt]"""
    rows = sum(max(2, _height(it["morning"]), _height(it["afternoon"])) for it in people) + 0.9 * lines
    return max(SMALLEST, min(LARGEST, (ROOM - 9 * len(people)) / (1.12 * max(rows, 1) + len(people) * 0.6 + 3)))


def _height(tasks: list[dict[str, Any]]) -> float:
    """Lines that the tasks of half a day take."""
    return sum(1 if len(it["what"] + it["where"]) + 0.8 * len(it["more"]) < 44 else 2 for it in tasks)


def _hours(spans: tuple[tuple[int, int], ...]) -> str:
    return ", ".join(f"{clock(start)}–{clock(end)}" for start, end in spans)


def _tee_words(plan: DayPlan) -> str:
    """When the first players come, where something is to be ahead of them."""
    ahead = [stop.due for task in plan.due.day.tasks for stop in task.stops if stop.due is not None]
    return f"first players {clock(min(ahead))}" if ahead else ""


def _person(plan: DayPlan, name: str) -> dict[str, Any]:
    placed = plan.given.of(name)
    noon = plan.due.day.noon
    return {
        "key": name,
        "name": one_line(plain_words(name)),
        "morning": [_entry(one, plan) for one in placed if one.start < noon],
        "afternoon": [_entry(one, plan) for one in placed if one.start >= noon],
    }


def _entry(one: Placement, plan: DayPlan) -> dict[str, Any]:
    others = [plain_words(mate) for mate in mates(one, plan)]
    more = [one.task.takes, machine_words(one, plan), f"with {' and '.join(others)}" if others else ""]
    return {
        "start": clock(one.start),
        "end": clock(one.end),
        "what": one_line(one.task.job),
        "where": one_line(where_words(one)),
        "more": one_line(" · ".join(part for part in more if part)),
        "ahead": bool(one.task.latest),
    }


def where_words(one: Placement) -> str:
    """Holes of a task, unless its name tells them."""
    where = one.task.where
    return "" if where == "elsewhere" or f"hole {where}" in one.task.job else where


def slips_pdf(plan: DayPlan, facts: Facts, units: str = "metric") -> bytes:
    """
    A page for each person who works that day.

    Parameters
    ----------
    plan, facts, units
        As for :func:`wall_board_pdf`.

    Returns
    -------
    A PDF file.
    """
    reached = {one.person: exposure_words(one) for one in plan.exposures}
    people = []
    for worker in plan.due.day.workers:
        people.append(
            {
                "name": one_line(plain_words(worker.name)),
                "hours": _hours(worker.spans),
                "tasks": [{**_entry(one, plan), "lines": _slip_lines(one, plan)} for one in plan.given.of(worker.name)],
                "exposure": [one_line(f"Reckoned for the day: {line}.") for line in reached.get(worker.name, [])],
            }
        )
    return render_page(
        "slips.typ",
        {
            **page_data("Slips", facts, units),
            "paper": SLIP_PAPER[units],
            "day": f"{plan.day:%A} {plan.day.day} {plan.day:%B %Y}",
            "people": people,
            "cautions": board_cautions(plan),
        },
    )


def _slip_lines(one: Placement, plan: DayPlan) -> list[str]:
    """What goes with a task: machine, company, patches without a hole, and when the first players come."""
    others = [plain_words(mate) for mate in mates(one, plan)]
    dues = {stop.hole: stop.due for stop in one.task.stops if stop.due is not None}
    ahead = ", ".join(f"{hole} by {clock(due)}" for hole, due in dues.items())
    lines = [
        machine_words(one, plan),
        f"together with {' and '.join(others)}" if others else "",
        f"ahead of the first players: {ahead}" if ahead else "",
        f"up to {one.late} min behind the first players: mind them" if one.late else "",
    ]
    return [one_line(line) for line in lines if line]
