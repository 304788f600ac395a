"""The programme of the year: from what the settings say to the times at which each job is done."""

from __future__ import annotations

from calendar import monthrange
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta
from itertools import islice
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from turfgis.settings import CourseSettings
    from turfgis.settings.models import Interval, Job


@dataclass(frozen=True, slots=True)
class Occurrence:
    """
    A time at which a job is done.

    Attributes
    ----------
    day
        The day, or None where only the month, or nothing, is known.
    month
        The month as ``2027-03``, or None.
    times
        How often the job is done then; for work that goes by rounds of golf, how many are played.
    """

    day: date | None
    month: str | None
    times: float = 1


def occurrences(job: Job, settings: CourseSettings) -> tuple[Occurrence, ...]:
    """
    When a job is done.

    Parameters
    ----------
    job, settings
        A job, and the settings for the year, the seasons and the rounds played.

    Returns
    -------
    Times in order; months without a day stand once with how often, and a job at no particular time has one entry.
    """
    if getattr(job, "mix_per_round", None) is not None:
        return _by_rounds(job, settings)
    if job.dates is not None:
        return tuple(Occurrence(day, day.isoformat()[:7]) for day in sorted(job.dates))
    if job.months is not None:
        dated = sorted((_dated(month, settings.year), count) for month, count in job.months.items())
        return tuple(Occurrence(None, month, count) for month, count in dated if count)
    if job.every is not None:
        season = settings.season.get(job.season) if job.season else None
        first, last = (season.from_, season.to) if season else (job.from_, job.to)
        if first is None or last is None:  # refused while reading
            return ()
        return tuple(Occurrence(day, day.isoformat()[:7]) for day in _repeated(job.every, first, last))
    return (Occurrence(None, None, job.times),)


def occurrences_until(times: Iterable[Occurrence], last: date) -> tuple[Occurrence, ...]:
    """
    What of a programme is done by the end of a day.

    Parameters
    ----------
    times
        Of one job.
    last
        The day.

    Returns
    -------
    Times up to that day; of a month without days the share of it that has passed; all of what has no time.

    Examples
    --------
    >>> may, june = Occurrence(None, "2027-05", 4), Occurrence(None, "2027-06", 4)
    >>> dated = Occurrence(date(2027, 6, 20), "2027-06")
    >>> [one.times for one in occurrences_until([may, june, dated], date(2027, 6, 15))]
    [4, 2.0]
    """
    month, kept = last.isoformat()[:7], []
    passed = last.day / monthrange(last.year, last.month)[1]
    for one in times:
        if one.month is None or one.month < month or (one.day and one.day <= last):
            kept.append(one)
        elif one.day is None and one.month == month:
            kept.append(replace(one, times=one.times * passed))
    return tuple(kept)


def day_before(day: date, lead: Interval | None) -> date:
    """
    The day so long before another.

    Examples
    --------
    >>> from turfgis.settings.when import Interval
    >>> print(day_before(date(2027, 3, 31), Interval(count=1, unit="month")))
    2027-02-28
    """
    if lead is None:
        return day
    try:
        return _months_on(day, -lead.count) if lead.unit == "month" else day - timedelta(_DAYS[lead.unit] * lead.count)
    except (ValueError, OverflowError):  # before the first year that there is
        return date.min


def day_after(day: date, interval: Interval) -> date:
    """
    The day so long after another.

    Examples
    --------
    >>> from turfgis.settings.when import Interval
    >>> print(day_after(date(2027, 1, 31), Interval(count=1, unit="month")))
    2027-02-28
    """
    try:
        return next(islice(_repeated(interval, day, date.max), 1, None))
    except (ValueError, OverflowError):  # behind the last year that there is
        return date.max


def programme_rows(settings: CourseSettings) -> list[dict]:
    """
    The programme as a table: one row for each job and time.

    Returns
    -------
    Rows with ``job``, ``group``, ``work``, ``on``, ``date``, ``month`` and ``times``, in order of time; what has no
    date stands behind what has one in the same month, what has no month at the end.
    """
    rows = [
        {
            "job": job.name,
            "group": job.group,
            "work": job.work,
            "on": ", ".join(job.on),
            "date": one.day.isoformat() if one.day else None,
            "month": one.month,
            "times": one.times,
        }
        for job in settings.job
        for one in occurrences(job, settings)
    ]
    return sorted(rows, key=lambda row: (row["month"] or "9999", row["date"] or "9999"))


def programme_remarks(year: int | None, months: Mapping[str, Iterable[str | None]]) -> list[str]:
    """
    What lies outside the year of the programme, in plain sentences.

    Parameters
    ----------
    year
        Of the programme, where the settings give it.
    months
        Name of each job -> months in which it is done.
    """
    if year is None:
        return []
    outside = [name for name, found in months.items() if any(one and one[:4] != str(year) for one in found)]
    return [f"Done outside {year}: {', '.join(outside)}."] if outside else []


def _dated(month: str, year: int | None) -> str:
    """``03`` with the year of the programme."""
    return month if len(month) == 7 else f"{year or 0:04d}-{month}"


def _by_rounds(job: Job, settings: CourseSettings) -> tuple[Occurrence, ...]:
    """Once for each month in which rounds are played, or in those that the job names."""
    played = {_dated(month, settings.year): rounds for month, rounds in settings.rounds.items()}
    named = (
        None if job.months is None else {_dated(month, settings.year) for month, count in job.months.items() if count}
    )
    return tuple(
        Occurrence(None, month, rounds)
        for month, rounds in sorted(played.items())
        if rounds and (named is None or month in named)
    )


def _repeated(every: Interval, first: date, last: date) -> Iterator[date]:
    """Days from the first to the last, both included."""
    step = 0
    day = first
    while day <= last:
        yield day
        step += every.count
        day = _months_on(first, step) if every.unit == "month" else first + timedelta(_DAYS[every.unit] * step)


_DAYS = {"day": 1, "week": 7}


def _months_on(day: date, months: int) -> date:
    """The same day some months on, or the last one of a shorter month."""
    years, month = divmod(day.month - 1 + months, 12)
    for shorter in range(4):
        try:
            return date(day.year + years, month + 1, day.day - shorter)
        except ValueError:
            continue
    raise ValueError(f"no day {months} months after {day}")  # no month lacks four days
