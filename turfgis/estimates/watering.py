"""Water as a resource of the year: how often each surface is watered in each month, and what that takes."""

from __future__ import annotations

from collections import defaultdict
from datetime import date
from typing import TYPE_CHECKING

import numpy as np

from turfgis.estimates.needs import Need, Place
from turfgis.estimates.programme import Occurrence, occurrences
from turfgis.estimates.uniformity import surface_uniformity
from turfgis.estimates.water import watered_patches
from turfgis.estimates.water_days import course_reference
from turfgis.formulas.chance import Figure
from turfgis.formulas.water_balance import effective_rain, water_balance
from turfgis.settings.models import Watering

if TYPE_CHECKING:
    from turfgis.estimates.course import Course
    from turfgis.estimates.takeoff import Takeoff
    from turfgis.settings.water import SurfaceWater, WaterSetting

WATER = "water"


def watering_needs(course: Course, job: Watering) -> list[tuple[Need, tuple[Occurrence, ...]]]:
    """
    What a job of watering needs of water, surface by surface, and how often in each month.

    Parameters
    ----------
    course, job
        The course, and one of its jobs with ``work = "water"``.

    Returns
    -------
    A need for each surface in cubic metres let out. Where the job gives a depth, it is done when the job says; else as
    often as the weather asks for the water that may be used up, or for the most that is given in a night. A month of
    the programme that the weather does not hold goes by the mean of the same month of other years.
    """
    settings = course.needs_settings("watering is a job of the settings")
    said, made = settings.water, []
    if said is None:  # refused while reading
        return []
    place = Place.of(course, job, settings, ())
    for surface in dict.fromkeys(job.on):
        one = said.surface[surface]
        on = place.on & watered_patches(course, surface, one if job.holes is None else one.model_copy(update=_ALL))
        if not on.any():
            continue
        even = surface_uniformity(course, one, surface, watered_patches(course, surface, one))
        each = Figure(once_m(one)) if job.depth is None else job.depth
        times = _by_weather(course, said, surface) if job.depth is None else occurrences(job, settings)
        need = Need(
            job=job,
            on=on,
            net_m2=np.where(on, course.ground.net_m2, 0.0),
            beyond_m2=place.nothing,
            own={"depth at the roots": each, "let out for one needed": Figure(1 / even.share)},
            times=sum(time.times for time in times),
            resource=WATER,
            key=WATER,
            unit="m3",
        )
        made.append((need, times))
    return made


_ALL = {"holes": None}


def once_m(said: SurfaceWater) -> float:
    """Depth of one watering: what may be used up, or the most of a night where that is less. [m]"""
    return said.ready_m if said.most is None else min(said.ready_m, said.most)


def _by_weather(course: Course, said: WaterSetting, surface: str) -> tuple[Occurrence, ...]:
    """Months of the programme's year, and how many waterings each asks for."""
    depths = course.ground.once(("watering", said.model_dump_json()), lambda: month_depths(course, said))[surface]
    settings = course.settings
    year = settings.year if settings and settings.year else max((int(month[:4]) for month in depths), default=0)
    found = []
    for month in range(1, 13):
        name = f"{year}-{month:02d}"
        others = [depth for one, depth in depths.items() if one[5:] == f"{month:02d}"]
        depth = depths.get(name, float(np.mean(others)) if others else 0.0)
        if depth > 0:
            found.append(Occurrence(None, name, depth / once_m(said.surface[surface])))
    return tuple(found)


def month_depths(course: Course, said: WaterSetting) -> dict[str, dict[str, float]]:
    """
    What the roots of each surface needed in each whole month of the weather.

    Parameters
    ----------
    course, said
        The course and its ``[water]``.

    Returns
    -------
    Surface -> month as ``2027-03`` -> depth [m]; nothing where there is no weather.
    """
    reference = course_reference(course, said, [])
    surfaces = list(said.surface)
    if reference is None:
        return {surface: {} for surface in surfaces}
    ones = [said.surface[surface] for surface in surfaces]
    share, total, ready, rain = np.array([(one.share, one.total_m, one.ready_m, one.rain) for one in ones]).T
    balance = water_balance(
        np.outer(reference.depth, share),
        effective_rain(reference.rain[:, None], rain),
        total,
        ready,
        most=np.array([10.0 if one.most is None else one.most for one in ones]),
    )
    months = reference.days.astype("datetime64[M]")
    sums: dict[str, dict[str, float]] = defaultdict(dict)
    for month in np.unique(months):
        here = months == month
        length = int((month + 1).astype("datetime64[D]").astype(int) - month.astype("datetime64[D]").astype(int))
        for surface, depth in zip(surfaces, balance.need[here].sum(axis=0).tolist(), strict=True):
            if here.sum() == length:
                sums[surface][str(month)] = depth
    return {surface: sums.get(surface, {}) for surface in surfaces}


def water_by_month(takeoff: Takeoff) -> dict[str | None, float]:
    """Water of a year's programme by month; None for what has none. [m3]"""
    volume = np.zeros(len(takeoff.months))
    for at, need in enumerate(takeoff.needs):
        if need.resource == WATER:
            volume += takeoff.counts[at] * takeoff.quantity[at].sum()
    return {month: amount for month, amount in zip(takeoff.months, volume.tolist(), strict=True) if amount}


def water_plan_remarks(takeoff: Takeoff) -> list[str]:
    """
    Where the programme takes more water than a limit by the year or season allows, in plain sentences.

    Parameters
    ----------
    takeoff
        The take-off of the year.

    Returns
    -------
    A sentence for each limit and each of its periods that the months of the programme pass. A month belongs to the
    period of its first day.
    """
    settings, said = takeoff.settings, []
    if settings.water is None:
        return said
    months = water_by_month(takeoff)
    for name, limit in settings.water.limit.items():
        if limit.per not in ("year", "season"):
            continue
        sums: dict[tuple[date, date], float] = defaultdict(float)
        for month, amount in months.items():
            period = limit.period(date.fromisoformat(f"{month}-01")) if month else None
            if period:
                sums[period] += amount
        for (first, last), amount in sums.items():
            if amount > limit.most * (1 + 1e-9):
                said.append(
                    f"Watering of the programme takes {amount:,.0f} m3 between {first} and {last}, but limit {name} "
                    f"allows {limit.most:,.0f} m3."
                )
    return said
