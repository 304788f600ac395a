"""The board of a day for the screen and for other programs."""

from __future__ import annotations

import textwrap
from collections import defaultdict
from typing import Any

from turfgis.estimates.assignment import Placement
from turfgis.estimates.board import Task, hole_words
from turfgis.estimates.day_plan import DayPlan
from turfgis.estimates.remedies import Remedy
from turfgis.reports.cautions import sheet_cautions
from turfgis.reports.facts import percent, plain_words
from turfgis.reports.screen import WIDEST, one_line
from turfgis.reports.tables import Row


def clock(minutes: float) -> str:
    """
    Minutes after midnight as a time of day.

    Examples
    --------
    >>> clock(451)
    '07:31'
    """
    return f"{int(minutes) // 60:02d}:{int(minutes) % 60:02d}"


def hours_words(minutes: float) -> str:
    """
    A length of time as people say it.

    Examples
    --------
    >>> hours_words(45), hours_words(135), hours_words(480)
    ('45 min', '2 h 15', '8 h')
    """
    whole = round(minutes)
    if whole < 60:
        return f"{whole} min"
    return f"{whole // 60} h" + (f" {whole % 60:02d}" if whole % 60 else "")


def machine_words(one: Placement, plan: DayPlan) -> str:
    """Which machine, with its number where there are several of the kind."""
    if not one.machine:
        return ""
    several = plan.due.day.fleet.count.get(one.machine, 1) > 1
    return plain_words(one.machine) + (f" {one.unit}" if several else "")


def mates(one: Placement, plan: DayPlan) -> list[str]:
    """Who else does the same task."""
    if one.task.together is None:
        return []
    return [other.person for other in plan.given.placed if other.task.together == one.task.together and other != one]


def board_rows(plan: DayPlan) -> list[Row]:
    """One row for each task that somebody has, then one for each that nobody has."""
    rows = []
    for one in plan.given.placed:
        rows.append(
            {
                "person": one.person,
                "start": clock(one.start),
                "end": clock(one.end),
                "half": "morning" if one.start < plan.due.day.noon else "afternoon",
                "job": one.task.job,
                "kind": one.task.kind,
                "where": one.task.where,
                "takes": one.task.takes or None,
                "machine": one.machine or None,
                "machine_number": one.unit if one.machine else None,
                "minutes": one.end - one.start,
                "late_minutes": one.late,
                "by_hand": one.task.key in plan.due.day.fixed,
                "with": ", ".join(mates(one, plan)) or None,
                "why": None,
            }
        )
    for task, why in plan.undone:
        rows.append({**dict.fromkeys(rows[0] if rows else ()), **_undone_row(task, why), "person": None})
    return rows


def _undone_row(task: Task, why: str) -> Row:
    return {
        "job": task.job,
        "kind": task.kind,
        "where": task.where,
        "takes": task.takes or None,
        "machine": task.machine or None,
        "minutes": task.usual,
        "why": why,
    }


def board_json(plan: DayPlan) -> dict[str, Any]:
    """The whole plan for other programs; times as text, lengths in minutes."""
    day, given = plan.due.day, plan.given
    return {
        "date": plan.day.isoformat(),
        "people": [
            {
                "person": worker.name,
                "hours": [[clock(start), clock(end)] for start, end in worker.spans],
                "minutes": worker.minutes,
                "given_minutes": sum(one.end - one.start for one in given.of(worker.name)),
                "tasks": [_task_json(one, plan) for one in given.of(worker.name)],
            }
            for worker in day.workers
        ],
        "undone": [{**_undone_row(task, why), "patches": _patches(task)} for task, why in plan.undone],
        "late": [
            {"job": one.task.job, "where": one.task.where, "person": one.person, "late_minutes": one.late}
            for one in given.late
        ],
        "would_help": [{"what": remedy.what, "undone": remedy.undone, "late": remedy.late} for remedy in plan.remedies],
        "due_this_month": [
            {"job": offer.job, "times_in_month": offer.times, "minutes": offer.minutes}
            for offer in plan.due.offers
            if offer.due is None
        ],
        "due_at_places": [
            {"job": offer.job, "due": offer.due.isoformat(), "minutes": offer.minutes}
            for offer in plan.due.offers
            if offer.due is not None
        ],
        "exposure": [
            {
                "person": one.person,
                "vibration_a8_m_s2": one.vibration,
                "vibration": one.vibration_words,
                "noise_lex_8h_db_a": one.noise,
                "noise": one.noise_words,
                "machine_minutes": one.minutes,
                "machines_without_values": list(one.unknown),
            }
            for one in plan.exposures
        ],
        "proof": {
            "cost": given.cost,
            "cost_bound": given.cost_bound,
            "largest_load": given.load,
            "largest_load_bound": given.load_bound,
            "gap": given.gap,
        },
        "remarks": list(plan.due.remarks),
        "cautions": board_cautions(plan),
    }


def _task_json(one: Placement, plan: DayPlan) -> dict[str, Any]:
    return {
        "start": clock(one.start),
        "end": clock(one.end),
        "minutes": one.end - one.start,
        "job": one.task.job,
        "kind": one.task.kind,
        "where": one.task.where,
        "takes": one.task.takes or None,
        "patches": _patches(one.task),
        "machine": one.machine or None,
        "machine_number": one.unit if one.machine else None,
        "late_minutes": one.late,
        "by_hand": one.task.key in plan.due.day.fixed,
        "with": mates(one, plan),
    }


def _patches(task: Task) -> list[str]:
    return list(dict.fromkeys(stop.patch for stop in task.stops))


def board_cautions(plan: DayPlan) -> list[str]:
    """What belongs on the board; what is said of vibration and noise only where they are shown."""
    return sheet_cautions("board", *(["exposure"] if plan.exposures else []))


def what_and_where(task: Task) -> str:
    """
    A task in a few words.

    A job that names its place itself is not followed by the place again.
    """
    where, job = task.where, f"{task.job}, {task.takes}" if task.takes else task.job
    if not where or where == "elsewhere" or f"hole {where}" in task.job:
        return job
    return f"{job}, {where}"


def given_words(plan: DayPlan) -> str:
    """How much of the day is given out, in one sentence."""
    able = sum(worker.minutes for worker in plan.due.day.workers)
    given = sum(one.end - one.start for one in plan.given.placed)
    people = len(plan.due.day.workers)
    return f"{people} {'person' if people == 1 else 'people'}, {hours_words(able)}; {hours_words(given)} given out"


def shortfall_lines(plan: DayPlan) -> list[str]:
    """What does not fit, what is late, and what would help, in plain sentences."""
    lines = []
    undone = defaultdict(list)
    for task, why in plan.undone:
        undone[task.job, why].append(task)
    for (job, why), tasks in undone.items():
        crew = [task for task in tasks if task.together is None or task.key.endswith(".1")] or tasks
        holes = [stop.hole for task in crew for stop in task.stops]
        where = f", {hole_words(dict.fromkeys(holes))}" if any(holes) and f"hole {hole_words(holes)}" not in job else ""
        length = hours_words(sum(task.usual for task in tasks))
        lines.append(f"Not done: {job}{where} ({length}): {why}.")
    lines += [
        f"Behind the players: {what_and_where(one.task)} ({one.person}) by up to {hours_words(one.late)}."
        for one in plan.given.late
    ]
    lines += [f"With {plain_words(remedy.what)}: " + _remedy_words(remedy, plan) for remedy in plan.remedies]
    return lines


def _remedy_words(remedy: Remedy, plan: DayPlan) -> str:
    """What it would bring, set against the plan as it is."""
    if not remedy.undone and not remedy.late:
        return "everything fits."
    more, sooner = len(plan.undone) - remedy.undone, len(plan.given.late) - remedy.late
    said = [f"{more} more of the {len(plan.undone)} parts get done"] if more > 0 else []
    said += [f"{sooner} fewer come behind the players"] if sooner > 0 else []
    said += [f"{-sooner} more come behind the players"] if sooner < 0 else []
    return f"{', '.join(said)}." if said else "more urgent work gets done in place of other."


def board_text(plan: DayPlan) -> str:
    """The board for the screen."""
    head = f"{plan.day:%A} {plan.day.day} {plan.day:%B %Y}: {given_words(plan)}."
    lines = [head, ""]
    for worker in plan.due.day.workers:
        hours = ", ".join(f"{clock(start)} to {clock(end)}" for start, end in worker.spans)
        given = sum(one.end - one.start for one in plan.given.of(worker.name))
        share = percent(given / worker.minutes)
        lines.append(f"{one_line(plain_words(worker.name))} ({hours}; {share} given out)")
        for one in plan.given.of(worker.name):
            lines.append(_task_line(one, plan))
        lines.append("")
    lines += _wrapped(shortfall_lines(plan) or [_all_fits(plan)])
    for one in plan.exchanged():
        lines += _wrapped(
            [
                f"{what_and_where(one.task)}: with the {plain_words(one.machine)} in place of the "
                f"{plain_words(one.task.machine)}."
            ]
        )
    if plan.exposures:
        lines += ["", *_exposure_lines(plan)]
    monthly = [offer for offer in plan.due.offers if offer.due is None]
    if monthly:
        lines += ["", "Due this month, without a day (put one on the board with --also):"]
        lines += [
            f"  {one_line(offer.job)}: {offer.times:g} {'time' if offer.times == 1 else 'times'} in the month, "
            f"{hours_words(offer.minutes)} each"
            for offer in monthly
        ]
    coming = [(offer, offer.due) for offer in plan.due.offers if offer.due is not None]
    if coming:
        lines += ["", "Due at places within a month (put one on the board with --also):"]
        lines += [f"  {one_line(offer.job)}: by {due}, {hours_words(offer.minutes)}" for offer, due in coming]
    if plan.due.remarks:
        lines += ["", *_wrapped([f"- {remark}" for remark in plan.due.remarks])]
    lines += ["", *_wrapped([f"- {text}" for text in board_cautions(plan)]), "", proof_words(plan)]
    return "\n".join(lines).rstrip()


def _all_fits(plan: DayPlan) -> str:
    return "Everything on the board fits." if plan.due.day.tasks else "Nothing is on the board of this day."


def proof_words(plan: DayPlan) -> str:
    """How good the plan is known to be; "" where there was nothing to plan."""
    if not plan.due.day.tasks:
        return ""
    gap = plan.given.gap
    if gap < 0.0005:
        return "No better plan exists: nothing more fits, and the largest load cannot be smaller."
    return f"The plan is within {percent(gap)} of the best there can be."


def _task_line(one: Placement, plan: DayPlan) -> str:
    parts = [f"  {clock(one.start)}-{clock(one.end)}  {one_line(what_and_where(one.task))}"]
    if one.machine:
        parts.append(machine_words(one, plan))
    with_whom = mates(one, plan)
    if with_whom:
        parts.append("with " + " and ".join(plain_words(name) for name in with_whom))
    if one.task.key in plan.due.day.fixed:
        parts.append("given by hand")
    if one.late:
        parts.append(f"{hours_words(one.late)} behind the players")
    return "; ".join(one_line(part) if place else part for place, part in enumerate(parts))


def exposure_words(one: Any) -> list[str]:
    """What reaches a person, in sentences."""
    said = []
    if one.vibration is not None:
        said.append(f"vibration A(8) {one.vibration:.2f} m/s2, {one.vibration_words}")
    if one.noise is not None:
        said.append(f"noise LEX,8h {one.noise:.1f} dB(A), {one.noise_words}")
    if one.unknown:
        said.append(f"without values: {', '.join(plain_words(name) for name in one.unknown)}")
    return said


def _exposure_lines(plan: DayPlan) -> list[str]:
    return _wrapped(
        ["Vibration and noise of the day:"]
        + [f"  {plain_words(one.person)}: {'; '.join(exposure_words(one))}" for one in plan.exposures]
    )


def _wrapped(texts: list[str]) -> list[str]:
    lines = []
    for text in texts:
        indent = "  " if text.startswith("- ") else "    "
        lines += textwrap.wrap(
            one_line(text) if not text.startswith("  ") else text, WIDEST, subsequent_indent=indent
        ) or [""]
    return lines
