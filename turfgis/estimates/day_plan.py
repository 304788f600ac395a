"""A day from end to end: what is due, given out, what would help where it does not fit, and what reaches people."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from functools import cached_property

from turfgis.estimates.assignment import Assignment, Placement, Tell, assign
from turfgis.estimates.board import Task
from turfgis.estimates.course import Course
from turfgis.estimates.due import Due, day_due
from turfgis.estimates.exposures import Exposure, estimate_exposures
from turfgis.estimates.remedies import Remedy, find_remedies
from turfgis.settings.people import DayFile

RUNS_SHORT = "no time is left for it"


@dataclass(frozen=True)
class DayPlan:
    """
    The board of a day.

    Attributes
    ----------
    due
        What is to be done, by whom, with what.
    given
        Who does what.
    remedies
        What would make more fit, where something does not.
    exposures
        Vibration and noise, where the club gives its machines' values.
    """

    due: Due
    given: Assignment
    remedies: tuple[Remedy, ...] = ()
    exposures: tuple[Exposure, ...] = ()

    @property
    def day(self) -> date:
        """The date."""
        return self.due.day.day

    @cached_property
    def undone(self) -> list[tuple[Task, str]]:
        """What is not done, and why."""
        never = self.due.day.without_options()
        return [(task, never.get(task.key, RUNS_SHORT)) for task in self.given.undone]

    def exchanged(self) -> list[Placement]:
        """What is done with another machine than the one meant for it."""
        return [one for one in self.given.placed if one.machine != one.task.machine]


def plan_day(
    course: Course, day: date, file: DayFile | None = None, *, effort: float = 5.0, tell: Tell | None = None
) -> DayPlan:
    """
    Plan a day.

    Parameters
    ----------
    course
        The course, with settings.
    day
        The date.
    file
        What has been decided by hand.
    effort
        As in :func:`turfgis.estimates.assignment.assign`.
    tell
        Is told how far the search has come.

    Returns
    -------
    The plan; the same input gives the same plan.
    """
    settings = course.needs_settings("a board needs people and jobs")
    due = day_due(course, day, file)
    given = assign(due.day, effort=effort, tell=tell)
    remedies = find_remedies(due.day, given, effort=effort / 5, tell=tell)
    return DayPlan(due, given, tuple(remedies), tuple(estimate_exposures(given, settings)))
