"""
What labels allow, as the user has typed it in, held against what is planned and what was done: patch by patch.

A maximum is kept when every patch keeps it. What is done on one day with one product is one application, however many
jobs share it. Nothing here permits anything: the label itself and national rules decide.
"""

from __future__ import annotations

from calendar import monthrange
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date

import numpy as np

from turfgis.estimates.course import Course
from turfgis.estimates.programme import day_before
from turfgis.settings.models import Liquid
from turfgis.settings.spraying import Label

# Sums of floats: three times 10 l/ha keep 30 l/ha.
SLACK = 1e-9
_DAYS = {"day": 1, "week": 7, "month": 28}


@dataclass(frozen=True, eq=False)
class Application:
    """
    One product on some patches at one time.

    Attributes
    ----------
    material, job
        Which product, and the job; "" where a record names none.
    day, month, times
        As in :class:`turfgis.estimates.programme.Occurrence`.
    rate
        On the ground that it lands on, for one time. [m3/m2] Shape (n,), 0 where nothing is sprayed.
    recorded
        Whether it was done, and not only planned.
    """

    material: str
    job: str
    day: date | None
    month: str | None
    times: float
    rate: np.ndarray
    recorded: bool = False


@dataclass(frozen=True)
class Breach:
    """
    One thing that a label does not allow.

    Attributes
    ----------
    material, what
        The product; ``most``, ``most_a_year``, ``times_a_year`` or ``interval``.
    jobs
        Jobs that are planned there.
    patches
        Where.
    when
        A day, a month, a year, or two days, in words.
    allowed, found
        Rates [m3/m2], numbers of times, or days; the worst of the patches.
    """

    material: str
    what: str
    jobs: tuple[str, ...]
    patches: tuple[str, ...]
    when: str
    allowed: float
    found: float


@dataclass(frozen=True)
class Used:
    """
    What a patch has had, and is to have, of a product in one calendar year; rates in m3/m2.

    Attributes
    ----------
    patch, surface, hole, material, year
        Where, of what, when; year None where nothing has a date.
    done, planned
        Recorded and still planned.
    times_done, times_planned
        How often.
    left
        What the maximum of the year leaves beside the two; None where there is none.
    last
        The last day on which it was done.
    """

    patch: str
    surface: str
    hole: str | None
    material: str
    year: str | None
    done: float
    planned: float
    times_done: float
    times_planned: float
    left: float | None
    last: date | None


def label_of(course: Course, material: str) -> Label | None:
    """What the user has typed in from the label of a product; None where nothing was."""
    found = course.needs_settings("labels need materials").material.get(material)
    return found.label if isinstance(found, Liquid) else None


def check_labels(course: Course, applied: Sequence[Application]) -> tuple[Breach, ...]:
    """
    Hold all applications against the labels.

    Parameters
    ----------
    course
        The course, for its patches and labels.
    applied
        What was done and what is planned, all jobs together.

    Returns
    -------
    What is not allowed, product by product; none where everything is kept. What was done already is named only where
    something planned comes on top of it, or was too much itself.
    """
    found: list[Breach] = []
    for material in dict.fromkeys(one.material for one in applied):
        label = label_of(course, material)
        if label is None:
            continue
        own = by_day([one for one in applied if one.material == material])
        found += _each(course, label, own)
        found += _years(course, label, own)
        found += _intervals(course, label, own)
    return _merged(found)


def _merged(found: Sequence[Breach]) -> tuple[Breach, ...]:
    """One entry for what happens to the same jobs and patches at several times: the first, and how many more."""
    alike: dict[tuple, list[Breach]] = {}
    for one in found:
        alike.setdefault((one.material, one.what, one.jobs, one.patches), []).append(one)
    made = []
    for several in alike.values():
        worst = (min if several[0].what == "interval" else max)(one.found for one in several)
        more = len(several) - 1
        when = several[0].when + (f" and {more} more time{'s' if more > 1 else ''}" if more else "")
        made.append(replace(several[0], when=when, found=worst))
    return tuple(made)


def by_day(applied: Sequence[Application]) -> list[Application]:
    """Applications of one product in order of time, those of one day put together; what has no day stands last."""
    days: dict[date, Application] = {}
    rest = []
    for one in applied:
        if one.day is None:
            rest.append(one)
        elif one.day in days:
            before = days[one.day]
            jobs = dict.fromkeys([*filter(None, before.job.split("\n")), *filter(None, [one.job])])
            both = before.recorded and one.recorded
            days[one.day] = replace(before, job="\n".join(jobs), rate=before.rate + one.rate, recorded=both)
        else:
            days[one.day] = one
    return [*(days[day] for day in sorted(days)), *rest]


def _jobs(applied: Sequence[Application]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(job for one in applied for job in one.job.split("\n") if job and not one.recorded))


def _when(one: Application) -> str:
    return one.day.isoformat() if one.day else one.month or "no date"


def _breach(course: Course, what: str, over: np.ndarray, when: str, allowed: float, found, by) -> Breach:
    patches = tuple(course.ground.patch[over].tolist())
    return Breach(by[0].material, what, _jobs(by), patches, when, allowed, float(np.max(found[over])))


def _each(course: Course, label: Label, own: list[Application]) -> Iterator[Breach]:
    if label.most is None:
        return
    for one in own:
        over = one.rate > label.most * (1 + SLACK)
        if over.any() and not (one.recorded and label.most == 0):
            yield _breach(course, "most", over, _when(one), label.most, one.rate, [one])


def _years(course: Course, label: Label, own: list[Application]) -> Iterator[Breach]:
    for year, sums, counts in yearly(course, own):
        here = [one for one in own if _in(one, year)]
        if label.most_a_year is not None:
            over = sums > label.most_a_year * (1 + SLACK)
            if over.any():
                by = [one for one in here if (one.rate[over] > 0).any()]
                yield _breach(course, "most_a_year", over, year or "the year", label.most_a_year, sums, by)
        if label.times_a_year is not None:
            over = counts > label.times_a_year * (1 + SLACK)
            if over.any():
                by = [one for one in here if (one.rate[over] > 0).any()]
                yield _breach(course, "times_a_year", over, year or "the year", label.times_a_year, counts, by)


def _in(one: Application, year: str | None) -> bool:
    """What has no date counts in every year, so that no limit is passed by leaving a date out."""
    return one.month is None or year is None or one.month[:4] == year


def yearly(course: Course, own: Sequence[Application]) -> Iterator[tuple[str | None, np.ndarray, np.ndarray]]:
    """Calendar years that occur, and for each what every patch gets [m3/m2] and how often. Shapes (n,)."""
    settings = course.needs_settings("labels need materials")
    years: list[str | None] = [*sorted({one.month[:4] for one in own if one.month})]
    for year in years or [str(settings.year) if settings.year else None]:
        sums, counts = np.zeros(len(course.ground)), np.zeros(len(course.ground))
        for one in own:
            if _in(one, year):
                sums += one.rate * one.times
                counts += (one.rate > 0) * one.times
        yield year, sums, counts


def _intervals(course: Course, label: Label, own: list[Application]) -> Iterator[Breach]:
    """Two days too near to each other; and months with more times than the interval leaves room for."""
    if label.interval is None:
        return
    interval = label.interval
    days = interval.count * _DAYS[interval.unit]
    last = np.full(len(course.ground), -1)
    before: dict[int, Application] = {}
    for one in (one for one in own if one.day is not None):
        here, today = one.rate > 0, one.day.toordinal()  # type: ignore[union-attr]
        near = here & (last >= 0) & (last > day_before(one.day, interval).toordinal())  # type: ignore[arg-type]
        if near.any():
            since = int(last[near].max())
            other = before[since]
            if not (one.recorded and other.recorded):  # what is done cannot be planned otherwise
                words = f"{date.fromordinal(since)} and {one.day}"
                patches = tuple(course.ground.patch[near].tolist())
                by = (one.material, "interval", _jobs([other, one]), patches, words)
                yield Breach(*by, allowed=days, found=today - since)
        last[here] = today
        before[today] = one
    for month in sorted({one.month for one in own if one.day is None and one.month}):
        by = [one for one in own if one.month == month]
        counts = np.sum([(one.rate > 0) * one.times for one in by], axis=0)
        long = monthrange(int(month[:4]), int(month[5:]))[1]
        over = (counts > 1) & ((counts - 1) * days > long - 1)
        if over.any():
            found = (long - 1) / (counts - 1 + 1e-12)
            patches = tuple(course.ground.patch[over].tolist())
            yield Breach(by[0].material, "interval", _jobs(by), patches, month, days, float(np.min(found[over])))


def label_ledger(course: Course, applied: Sequence[Application]) -> tuple[Used, ...]:
    """
    What every patch has had of every product, and what is still planned, by calendar year.

    Parameters
    ----------
    course, applied
        As for :func:`check_labels`.
    """
    ground, rows = course.ground, []
    for material in dict.fromkeys(one.material for one in applied):
        label, own = label_of(course, material), by_day([one for one in applied if one.material == material])
        done, planned = ([one for one in own if one.recorded is state] for state in (True, False))
        last = np.full(len(ground), -1)
        for one in done:
            last[one.rate > 0] = one.day.toordinal() if one.day else -1
        had = {year: (sums, counts) for year, sums, counts in yearly(course, done)} if done else {}
        will = {year: (sums, counts) for year, sums, counts in yearly(course, planned)} if planned else {}
        nothing = (np.zeros(len(ground)), np.zeros(len(ground)))
        for year in sorted({*had, *will}, key=str):
            (was, often), (due, more) = had.get(year, nothing), will.get(year, nothing)
            for at in np.flatnonzero(often + more):
                most = label.most_a_year if label else None
                left = None if most is None else float(max(most - was[at] - due[at], 0.0))
                day = date.fromordinal(int(last[at])) if last[at] > 0 else None
                rows.append(
                    Used(
                        *(ground.patch[at], ground.surface[at], ground.hole[at], material, year),
                        *(float(was[at]), float(due[at]), float(often[at]), float(more[at]), left, day),
                    )
                )
    return tuple(rows)
