"""
The direction of cut from day to day: none returns within some days, and wheel lines do not repeat.

A machine whose ``direction`` is ``turned`` takes the directions in turn; one with a direction of its own, or the best
of each patch, keeps it. Each time a direction comes round again the passes run the other way, and the first one takes
another part of its width, so that wheels do not run in the same lines; clean-up rounds go the other way round every
day.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

import geopandas as gpd
import numpy as np
import pandas as pd

from turfgis.errors import InputError
from turfgis.estimates.course import Course
from turfgis.estimates.times import Mower, laid_passes
from turfgis.measure.passes import direction_lines

DIRECTIONS = 4  # 45 degrees apart; common practice, no source
STARTS = (8, 4, 6, 2, 7, 3, 5, 1)  # eighths of a width, each as far from those before it as can be
MOST_DAYS = 366
_COMPASS = ("north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west")


@dataclass(frozen=True)
class DayOfCut:
    """
    How one machine cuts on one day.

    Attributes
    ----------
    direction_deg
        The way the first pass runs, clockwise from north; None where each patch has its own best one. [deg]
    back
        Whether passes begin at the far end, the other way than the time before.
    clockwise
        Which way round the clean-up goes.
    first_share
        How much of its fresh width the first pass takes; with the rest it overlaps the clean-up round.
    """

    direction_deg: float | None
    back: bool
    clockwise: bool
    first_share: float


def day_of_cut(day: date, direction: str | float = "turned", directions: int = DIRECTIONS) -> DayOfCut:
    """
    How a machine cuts on a day. It goes by the day alone, so that every sheet made for it says the same.

    Parameters
    ----------
    day
        The day.
    direction
        Of the machine: ``turned``, ``best``, or degrees clockwise from north.
    directions
        How many directions take turns. Neighbouring days lie as far apart as they let them.

    Raises
    ------
    InputError
        Fewer directions than one, or more than there are whole degrees.

    Examples
    --------
    >>> [day_of_cut(date(2027, 4, 5) + timedelta(days)).direction_deg for days in range(5)]
    [180.0, 270.0, 225.0, 315.0, 0.0]
    """
    if not 1 <= directions <= 180:
        raise InputError(f"{directions} directions cannot take turns; write a number from 1 to 180")
    taking_turns = directions if direction == "turned" else 1
    times, place = divmod(day.toordinal(), taking_turns)
    back, start = bool(times % 2), STARTS[times % len(STARTS)] / len(STARTS)
    degrees: float | None = None
    if direction == "turned":
        apart = place // 2 + place % 2 * ((directions + 1) // 2)  # 0, half way round, 1, half way and 1, ...
        degrees = apart * 180.0 / directions
    elif not isinstance(direction, str):
        degrees = float(direction)
    if degrees is not None and back:
        degrees = (degrees + 180.0) % 360.0
    return DayOfCut(degrees, back, bool(day.toordinal() % 2), start)


def compass(degrees: float) -> str:
    """
    The nearest of eight winds.

    Examples
    --------
    >>> compass(50), compass(350)
    ('north-east', 'north')
    """
    return _COMPASS[round(degrees / 45.0) % 8]


def rota(
    course: Course, mowers: Sequence[Mower], start: date, days: int = 7, directions: int = DIRECTIONS
) -> pd.DataFrame:
    """
    Directions of cut, day by day.

    Parameters
    ----------
    course
        The course, for the surfaces there are.
    mowers
        Its machines.
    start, days
        The first day, and how many.
    directions
        How many directions take turns: none returns within so many days.

    Returns
    -------
    One row a day and machine: ``date``, ``machine``, ``surfaces``, ``direction_deg`` (NaN: the best of each patch),
    ``toward`` in words, ``clean_up`` (which way round), and ``first_pass_m``, fresh ground that the first pass takes.
    """
    if not 1 <= days <= MOST_DAYS:
        raise InputError(f"a rota of {days} days cannot be made; write a number from 1 to {MOST_DAYS}")
    there = set(course.ground.surfaces)
    rows = []
    for at in range(days):
        day = start + timedelta(at)
        for mower in mowers:
            cut = day_of_cut(day, mower.direction, directions)
            own = "its best, back" if cut.back else "its best"
            rows.append(
                {
                    "date": day.isoformat(),
                    "machine": mower.name,
                    "surfaces": ", ".join(name for name in mower.on if name in there),
                    "direction_deg": np.nan if cut.direction_deg is None else cut.direction_deg,
                    "toward": own if cut.direction_deg is None else compass(cut.direction_deg),
                    "clean_up": ("clockwise" if cut.clockwise else "anticlockwise") if mower.clean_up else "none",
                    "first_pass_m": cut.first_share * mower.fresh,
                }
            )
    return pd.DataFrame(rows)


def cut_lines(course: Course, mowers: Sequence[Mower], day: date, directions: int = DIRECTIONS) -> gpd.GeoDataFrame:
    """
    A line with a head on every patch, the way it is cut on a day.

    Returns
    -------
    ``patch``, ``machine``, ``direction_deg`` and the line, in the frame of the course; one a patch and machine, the
    first machine of a surface only.
    """
    ground, patches = course.ground, course.measured.patches
    tables, taken = [], np.zeros(len(ground), dtype=bool)
    for mower in mowers:
        on = ground.among(ground.surface, mower.on) & ~taken
        taken |= on
        cut = day_of_cut(day, mower.direction, directions)
        if cut.direction_deg is None:
            best = laid_passes(course, mower, on).direction_deg
            degrees = (best + 180.0 * cut.back) % 360.0
        else:
            degrees = np.full(int(on.sum()), cut.direction_deg)
        known = np.isfinite(degrees)
        lines = direction_lines(patches.geometry.to_numpy()[on][known], degrees[known])
        table = {"patch": ground.patch[on][known], "machine": mower.name, "direction_deg": degrees[known]}
        tables.append(gpd.GeoDataFrame(table, geometry=lines, crs=patches.crs))
    return gpd.GeoDataFrame(pd.concat(tables, ignore_index=True), geometry="geometry", crs=patches.crs)
