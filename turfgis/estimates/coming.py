"""The next order: the one whose work comes first of all that a change of the ground touches."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from turfgis.estimates.course import Course
from turfgis.estimates.needs import estimate_need
from turfgis.estimates.place_work import planned_settings
from turfgis.estimates.programme import Occurrence, occurrences
from turfgis.settings.models import CourseSettings

NOISE = 1e-9  # a part of the need that is float noise


@dataclass(frozen=True)
class ComingOrder:
    """
    An order, and the first work that it is for.

    Attributes
    ----------
    group, material
        What :func:`turfgis.estimates.orders.orders_for` takes.
    job
        Name of the job that comes first.
    when
        Its next time; its first one where all of them have passed.
    """

    group: str
    material: str
    job: str
    when: Occurrence


def coming_orders(settings: CourseSettings, today: date) -> list[ComingOrder]:
    """
    Every order there is, that of the next work first.

    Parameters
    ----------
    settings
        With the jobs.
    today
        Work before this day has passed. Orders of which all work has passed come last, and before them those of work
        that is done at no particular time.
    """
    coming: dict[tuple[str, str], tuple[tuple, ComingOrder]] = {}
    for job in settings.job:
        times = sorted((_place(one, today), at, one) for at, one in enumerate(occurrences(job, settings)))
        for material in dict.fromkeys(job.uses.values()) if times else ():
            place, _, first = times[0]
            known = coming.get((job.group, material))
            if known is None or place < known[0]:
                coming[job.group, material] = (place, ComingOrder(job.group, material, job.name, first))
    return [order for _, order in sorted(coming.values(), key=lambda one: one[0])]


def touched_orders(before: Course, after: Course, today: date) -> Iterator[ComingOrder]:
    """
    Orders that come to another amount, that of the next work first.

    Parameters
    ----------
    before, after
        The course on two grounds, under the same settings.
    today
        As for :func:`coming_orders`.
    """
    settings = planned_settings(before)
    for order in coming_orders(settings, today):
        jobs = [job for job in settings.job if job.group == order.group and order.material in job.uses.values()]
        for job in jobs:
            was, now = (estimate_need(course, job, order.material).total for course in (before, after))
            if abs(now - was) > NOISE * max(was, now):
                yield order
                break


def _place(one: Occurrence, today: date) -> tuple[int, str, str]:
    """Where a time stands: what is to come before what has none and what has passed; months behind their days."""
    if one.month is None:
        return (1, "", "")
    passed = one.day < today if one.day else one.month < today.isoformat()[:7]
    return (2 if passed else 0, one.month, one.day.isoformat() if one.day else "9999")
