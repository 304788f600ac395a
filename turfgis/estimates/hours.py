"""Hours of the year: what the work of each month needs of people, against what the team has."""

from __future__ import annotations

from calendar import monthrange
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

import numpy as np

from turfgis.errors import SettingsError
from turfgis.estimates.needs import Need
from turfgis.estimates.takeoff import Takeoff
from turfgis.settings.people import working_days

if TYPE_CHECKING:
    from turfgis.settings import CourseSettings

HOUR = 3600.0


@dataclass(frozen=True)
class MonthHours:
    """
    One month, or what has none.

    Attributes
    ----------
    month
        As ``2027-03``; None for work at no particular time.
    mowing, other
        Hours of people that the work needs. [s]
    available
        Hours that the team works, without those that are lost. [s]
    days
        Days on which anybody works.
    longest
        The most that one person works in the month. [s]
    wages
        What the hours of the team cost, those lost among them; None where a wage is missing.
    """

    month: str | None
    mowing: float
    other: float
    available: float
    days: int
    longest: float
    wages: float | None

    @property
    def needed(self) -> float:
        """Of both kinds. [s]"""
        return self.mowing + self.other

    @property
    def short(self) -> float:
        """By how much the hours available fall short; 0 where they do not. [s]"""
        return max(0.0, self.needed - self.available)


@dataclass(frozen=True)
class YearHours:
    """Months of a year in order, work at no particular time last; and hours of odd jobs that wait. [s]"""

    months: tuple[MonthHours, ...]
    waiting: float
    remarks: tuple[str, ...]


def estimate_hours(takeoff: Takeoff) -> YearHours:
    """
    Hours of people needed and available, month by month.

    Parameters
    ----------
    takeoff
        Of the year.

    Returns
    -------
    The twelve months of the year of the programme; further ones where work is done in them.

    Raises
    ------
    SettingsError
        There is no year to count the days of.
    """
    settings = takeoff.settings
    year = settings.year or next((int(month[:4]) for month in takeoff.months if month), None)
    if year is None:
        raise SettingsError(
            "no year is given to count the working days of; write year = 2027 at the top of the settings"
        )
    months = sorted({f"{year}-{number:02d}" for number in range(1, 13)} | {month for month in takeoff.months if month})
    needed = _needed(takeoff)
    rows = [_month(settings, month, *needed.get(month, (0.0, 0.0))) for month in months]
    if None in needed:
        rows.append(MonthHours(None, *needed[None], 0.0, 0, 0.0, 0.0))
    waiting = sum(one.hours for one in settings.odd_job if not one.done)
    return YearHours(tuple(rows), waiting, tuple(_remarks(takeoff)))


def _needed(takeoff: Takeoff) -> dict[str | None, tuple[float, float]]:
    """Month -> seconds of people on mowing, and on all else."""
    sums: dict[str | None, list[float]] = {}
    for row, need in enumerate(takeoff.needs):
        people = _people(need, takeoff.settings)
        if not people:
            continue
        once = float(takeoff.quantity[row].sum() + np.sum(need.idle_s)) * people
        for month, count in zip(takeoff.months, takeoff.counts[row], strict=True):
            if count:
                sums.setdefault(month, [0.0, 0.0])[need.job.work != "mow"] += once * float(count)
    return {month: (mowing, other) for month, (mowing, other) in sums.items()}


def _people(need: Need, settings: CourseSettings) -> float:
    """
    How many people a second of a need keeps busy.

    Where wages are counted the take-off has those who drive as labour; else they come with the machine.
    """
    if need.resource == "labour":
        return 1.0
    if need.resource != "machine" or need.unit != "s":
        return 0.0
    machine = settings.machine[need.key]
    counted = settings.labour is not None or "operators" in machine.model_fields_set
    return 0.0 if counted else machine.operators


def _month(settings: CourseSettings, month: str, mowing: float, other: float) -> MonthHours:
    year, number = int(month[:4]), int(month[5:])
    first, last = date(year, number, 1), date(year, number, monthrange(year, number)[1])
    worked = {name: working_days(one, settings.workday, first, last) for name, one in settings.person.items()}
    seconds = {name: float(sum(length for _, length in days)) for name, days in worked.items()}
    wages = {
        name: one.wage or (settings.labour.wage if settings.labour else None) for name, one in settings.person.items()
    }
    kept = 1 - settings.workday.lost
    paid = [wages[name] for name in seconds]
    return MonthHours(
        month,
        mowing,
        other,
        sum(seconds.values()) * kept,
        len({day for days in worked.values() for day, _ in days}),
        max(seconds.values(), default=0.0) * kept,
        None
        if not paid or None in paid
        else sum(length * wage.per_si for length, wage in zip(seconds.values(), paid, strict=True) if wage is not None),
    )


def _remarks(takeoff: Takeoff) -> list[str]:
    settings = takeoff.settings
    timed = {need.job.name for need in takeoff.needs if need.resource in ("labour", "machine")}
    work = [
        job.name
        for job in settings.job
        if job.work not in ("purchase", "contractor", "water") and job.name not in timed
    ]
    said = []
    if not settings.person:
        said.append("no people are described; add [person.NAME], and their hours stand against those needed.")
    if work:
        said.append(f"no time is known for {', '.join(work)}: give a machine, crew_hours or crew_rate.")
    return said
