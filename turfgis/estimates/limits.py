"""
Limits that the club enters, held against the plan.

A limit is kept when every patch keeps it, not when the mean of its surface does: rules and labels speak of the ground
that is treated, and one green that gets twice as much is not mended by another that gets none. The mean is given beside
it.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from turfgis.estimates.ledgers import Doses, doses_of, highest, surface_mean, year_counts
from turfgis.estimates.takeoff import Takeoff
from turfgis.settings.planning import Limit

# Sums of floats: three times 50 kg/ha keep 150 kg/ha.
SLACK = 1e-9


@dataclass(frozen=True)
class LimitCheck:
    """
    One limit on one surface.

    Attributes
    ----------
    limit, what, surface, per, area
        Its name in the settings, and what it says.
    most
        The most that is allowed: nutrient [kg/m2], sand [m].
    found, patch, when
        The highest that any patch gets in one year, month or application; which patch, and when, in words.
    mean
        What the surface gets as a mean at that time.
    over
        Patches that get more than is allowed, at any time.
    """

    limit: str
    what: str
    surface: str
    per: str
    area: str
    most: float
    found: float
    patch: str | None
    when: str
    mean: float
    over: tuple[str, ...]

    @property
    def broken(self) -> bool:
        """Whether any patch gets more than is allowed."""
        return bool(self.over)


def check_limits(takeoff: Takeoff) -> tuple[LimitCheck, ...]:
    """
    Hold the plan against the limits of its settings.

    Parameters
    ----------
    takeoff
        The take-off of the year.

    Returns
    -------
    One check for each limit and each surface that it names, in the order of the settings.
    """
    return tuple(
        _checked(takeoff, name, limit, surface)
        for name, limit in takeoff.settings.limit.items()
        for surface in dict.fromkeys(limit.on)
    )


def limit_remarks(takeoff: Takeoff) -> list[str]:
    """What the limits cannot be held against, in plain sentences."""
    said = []
    for name, limit in takeoff.settings.limit.items():
        absent = [surface for surface in dict.fromkeys(limit.on) if surface not in takeoff.ground.surfaces]
        if absent:
            said.append(f"Limit {name} names {', '.join(absent)}, but the course has no such ground.")
        if limit.per != "month":
            continue
        undated = {
            takeoff.needs[at].job.name: None
            for at in doses_of(takeoff, limit.nutrient).needs
            if takeoff.needs[at].job.on and any(one.month is None for one in takeoff.times[at])
            if set(takeoff.ground.surface[takeoff.needs[at].on]) & set(limit.on)
        }
        if undated:
            said.append(
                f"Limit {name} is by the month, but {', '.join(undated)} has no month: each time is held against it "
                "by itself, and added to no month. Give the job months or dates."
            )
    return said


def _checked(takeoff: Takeoff, name: str, limit: Limit, surface: str) -> LimitCheck:
    doses = doses_of(takeoff, limit.nutrient)
    on = takeoff.ground.surface == surface
    found, patch, when, mean = 0.0, None, "", 0.0
    over: dict[str, None] = {}
    for label, dose in _PERIODS[limit.per](takeoff, doses, doses.net if limit.area == "net" else doses.treated):
        here = dose[on]
        if not here.size:
            continue
        over |= dict.fromkeys(takeoff.ground.patch[on][here > limit.most * (1 + SLACK)])
        # a later time that is as high but for the last digits is no news
        if here.max() > found * (1 + SLACK):
            at = highest(here)
            found, patch, when = float(here[at]), takeoff.ground.patch[on][at], label
            mean = surface_mean(takeoff, here, on)
    return LimitCheck(
        *(name, str(limit.nutrient), surface, limit.per, limit.area, limit.most),
        *(found, patch, when, mean, tuple(over)),
    )


Period = tuple[str, np.ndarray]


def _years(takeoff: Takeoff, doses: Doses, each: np.ndarray) -> Iterator[Period]:
    for year, counts in year_counts(takeoff).items():
        yield year or "the year", counts[doses.needs] @ each


def _months(takeoff: Takeoff, doses: Doses, each: np.ndarray) -> Iterator[Period]:
    for at, month in enumerate(takeoff.months):
        if month is not None:
            yield month, takeoff.counts[doses.needs, at] @ each
    for row, need in enumerate(doses.needs):
        if any(one.month is None for one in takeoff.times[need]):
            yield f"{takeoff.needs[need].job.name}, no date", each[row]


def _applications(takeoff: Takeoff, doses: Doses, each: np.ndarray) -> Iterator[Period]:
    """What is done on one day is one application: to divide it among jobs does not make it less."""
    days: dict[str, list[int]] = defaultdict(list)
    for row, need in enumerate(doses.needs):
        for one in takeoff.times[need]:
            if one.day is not None:
                days[one.day.isoformat()].append(row)
            elif one.times:
                yield f"{takeoff.needs[need].job.name}, {one.month or 'no date'}", each[row]
    for day, rows in sorted(days.items()):
        yield day, each[rows].sum(axis=0)


_PERIODS = {"year": _years, "month": _months, "application": _applications}
