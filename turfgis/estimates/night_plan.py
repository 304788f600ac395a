"""One night of a course: needs of its surfaces, through heads and stations, into the window."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from math import isnan
from typing import TYPE_CHECKING, Any

import numpy as np
import pandas as pd

from turfgis.errors import SettingsError
from turfgis.estimates.heads import needed_cover, station_runs
from turfgis.estimates.night import NO_ROOM, NO_WATER, Night, plan_night
from turfgis.estimates.night_times import Carries, Run, Source
from turfgis.estimates.water import Water, estimate_water, watered_patches
from turfgis.estimates.water_limits import used_between

if TYPE_CHECKING:
    from turfgis.estimates.course import Course
    from turfgis.settings.models import CourseSettings

M3_H = 3600.0  # m3/h in 1 m3/s
FARTHEST = 28  # days that a night may lie ahead
MINUTES = 60.0


@dataclass(frozen=True)
class NightPlan:
    """
    A night of a course.

    Attributes
    ----------
    day
        The night begins on its evening.
    begins
        Of the window. [s after midnight]
    night
        What runs when.
    runs
        What each station is asked to do, as :func:`turfgis.estimates.heads.station_runs` has it.
    asked_mm
        Depth let out on each surface. [mm]
    by_hand
        Patches that ask for water and that no head serves.
    level_m3, level_from
        What is in the tank when the window begins, and where that comes from; None and nothing without a tank. [m3]
    notes
        What was taken for granted.
    """

    day: date
    begins: int
    night: Night
    runs: pd.DataFrame
    asked_mm: Mapping[str, float]
    by_hand: tuple[str, ...]
    level_m3: float | None
    level_from: str
    notes: tuple[str, ...]

    @property
    def schedule(self) -> pd.DataFrame:
        """
        One row for each station that runs, in the order of the first minute.

        ``start_min`` is the first minute after the beginning of the window, ``starts`` lists all of them; the other
        columns are those of the runs.
        """
        starts = self.night.starts
        table = self.runs[self.runs["key"].isin(list(starts))]
        begins = [list(starts[name]) for name in table["key"]]
        table = table.assign(start_min=[one[0] for one in begins], starts=begins)
        return table.sort_values(["start_min", "key"], kind="stable").reset_index(drop=True)

    @property
    def left(self) -> pd.DataFrame:
        """Stations that are not watered: the last in the club's order first, with ``why``."""
        why = {one.run.station: one.why for one in self.night.left}
        order = {name: place for place, name in enumerate(why)}
        table: Any = self.runs[self.runs["key"].isin(list(why))]
        table = table.assign(why=table["key"].map(why), order=table["key"].map(order))
        return table.sort_values("order").drop(columns="order").reset_index(drop=True)

    @property
    def hours(self) -> pd.DataFrame:
        """Row an hour: ``from_min``, ``m3``, ``most_m3_h``, ``most_heads``, ``level_m3`` at its end, ``lowest_m3``."""
        source, flow, heads = self.night.source, self.night.flow, self.night.heads
        level = source.levels(flow) if source.tank is not None else np.full(source.window, np.nan)
        rows = []
        for first in range(0, source.window, 60):
            span = slice(first, min(first + 60, source.window))
            rows.append(
                {
                    "from_min": first,
                    "m3": float(flow[span].sum()) / MINUTES,
                    "most_m3_h": float(flow[span].max()),
                    "most_heads": int(heads[span].max()),
                    "level_m3": float(level[span][-1]),
                    "lowest_m3": float(level[span].min()),
                }
            )
        return pd.DataFrame(rows)


def estimate_night(course: Course, day: date, level_m3: float | None = None) -> NightPlan:
    """
    Plan a night.

    Parameters
    ----------
    course
        A course with heads and ``[water]``.
    day
        The day on whose evening the night begins.
    level_m3
        What is in the tank at the beginning; where left out, what the plan of the week has for that evening. [m3]

    Returns
    -------
    The plan.

    Raises
    ------
    LayerError
        No head is drawn yet.
    SettingsError
        There is no layer of heads or no window, the weather does not reach, or the level is more than the tank holds.
    """
    settings = course.needs_settings("a night is planned from the settings, by [water] and heads")
    cover = needed_cover(course)
    water = _water_before(course, day)
    said = water.said
    depth_mm, asked = _depths(course, water, day)
    slopes = course.slopes
    slope_pct = (
        dict(zip(course.measured.patches["patch"], slopes["mean_slope_pct"], strict=True)) if slopes is not None else {}
    )
    table = station_runs(cover, depth_mm, order=said.ranked, soaks=settings.soak, slope_pct=slope_pct)
    # two controllers may both have a station 1
    table["key"] = [
        f"{controller} {station}".strip()
        for controller, station in zip(table["controller"], table["station"], strict=True)
    ]
    rank = {name: place for place, name in enumerate(said.ranked)}
    runs = [
        Run(
            *(row["key"], row["controller"], row["surface"], rank.get(row["surface"], len(rank)), row["heads"]),
            *(row["flow_m3_h"], row["cycles"], row["cycle_min"], row["soak_min"]),
        )
        for row in table.to_dict("records")
    ]
    level, level_from = _level(water, day, level_m3)
    source, notes = _source(settings, water, day, level)
    served = set(cover.heads.heads["patch"])
    by_hand = tuple(name for name, mm in depth_mm.items() if mm > 0 and name not in served)
    night = plan_night(source, runs)
    return NightPlan(day, said.supply.from_, night, table, asked, by_hand, level, level_from, tuple(notes))


def _water_before(course: Course, day: date) -> Water:
    """Water of the course with a night in its plan: by the weather up to the day before, or by what lies ahead."""
    water = estimate_water(course)
    if day <= water.day:
        return estimate_water(course, day - timedelta(days=1), 1)
    ahead = (day - water.day).days
    if ahead > FARTHEST:
        raise SettingsError(
            f"the night of {day} lies {ahead} days after the last weather ({water.day}); choose one up to "
            f"{water.day + timedelta(days=FARTHEST)}, or bring the weather up to date"
        )
    return water if bool((water.days["date"] == pd.Timestamp(day)).any()) else estimate_water(course, None, ahead)


def _depths(course: Course, water: Water, day: date) -> tuple[dict[str, float], dict[str, float]]:
    """Depth to let out on each patch that asks for some, and by surface. [mm]"""
    days = water.days
    rows = days[days["date"] == pd.Timestamp(day)]
    gross = dict(zip(rows["surface"], rows["gross_m3"], strict=True))
    by_patch, by_surface = {}, {}
    for one in water.surfaces:
        asked = 1000 * float(gross.get(one.surface, 0.0)) / one.net_m2
        by_surface[one.surface] = asked
        if asked > 0:
            on = watered_patches(course, one.surface, one.said)
            by_patch |= dict.fromkeys(course.ground.patch[on].tolist(), asked)
    return by_patch, by_surface


GIVEN, FULL = "as given", "taken as full"


def _level(water: Water, day: date, level_m3: float | None) -> tuple[float | None, str]:
    """What is in the tank when a night begins [m3], and where that comes from: as given, else by the week's plan."""
    tank = water.said.supply.tank
    if tank is None:
        if level_m3 is not None:
            raise SettingsError("a level was given, but [water.supply] has no tank")
        return None, ""
    if level_m3 is not None:
        if level_m3 > tank:
            raise SettingsError(f"a level of {level_m3:g} m3 is more than the tank holds ({tank:g} m3)")
        return level_m3, GIVEN
    levels = water.levels
    known: Any = levels[levels.index == pd.Timestamp(day)]
    first = water.day + timedelta(days=1)
    if known.empty or day == first:  # nothing is known of the nights before
        return tank, FULL
    return float(known.iloc[0]), f"by the plan since {first}"


def _source(settings: CourseSettings, water: Water, day: date, level: float | None) -> tuple[Source, list[str]]:
    """
    The source of a night, under every limit at every minute.

    A limit per hour holds down the flow itself, so that it holds in any hour, not only in those of the clock; one per
    day is taken for the whole night. Where the limit is on the source of a tank, it holds down what flows in.
    """
    said = water.said
    supply, notes = said.supply, []
    pump = None if supply.pump is None else supply.pump * M3_H
    refill, most, inflow = supply.refill * M3_H, np.inf, np.inf
    hours = supply.window_s / 3600
    for name, limit in said.limit.items():
        tanked = supply.tank is not None and limit.at == "source"
        if limit.per == "hour":
            if tanked:
                refill = min(refill, limit.most)
            else:
                pump = limit.most if pump is None else min(pump, limit.most)
            continue
        left = limit.most
        if limit.per != "day":
            period = limit.period(day)
            if period is None:
                continue
            until = day - timedelta(days=1)
            used, _ = used_between(period[0], until, water.reckoned, water.meter) if period[0] <= until else (0.0, "")
            left = max(0.0, limit.most - (0.0 if isnan(used) else used))
            if left == 0:
                notes.append(f"Limit {name}: nothing is left of it, so nothing is let out.")
        if tanked and limit.per == "day":
            inflow = min(inflow, left)
        else:
            most = min(most, left)
    if refill * hours > inflow:
        refill = inflow / hours
        notes.append(f"The limit of a day holds what flows into the tank down to {refill:.1f} m3/h over the night.")
    tank = supply.tank
    carries = {
        name: Carries(one.stations, one.heads, None if one.flow is None else one.flow * M3_H)
        for name, one in settings.controller.items()
    }
    source = Source(
        window=int(supply.window_s // 60),
        pump=pump,
        heads=supply.heads,
        controllers=carries,
        tank=tank,
        floor=supply.floor,
        level=level or 0.0,
        refill=refill,
        most=None if np.isinf(most) else most,
    )
    return source, notes


def short_of(plan: NightPlan) -> str:
    """Which surface goes short first, by how much and for want of what; nothing where all is watered."""
    left: Any = plan.left[plan.left["why"].isin([NO_WATER, NO_ROOM])]
    if left.empty:
        return ""
    first = left["surface"].iloc[0]
    own = left[left["surface"] == first]
    asked = float(plan.runs.loc[plan.runs["surface"] == first, "m3"].sum())
    why = "water" if (own["why"] == NO_WATER).any() else "room in the window"
    return (
        f"{first} goes short first: {len(own)} of {int((plan.runs['surface'] == first).sum())} stations, "
        f"{own['m3'].sum():.0f} of {asked:.0f} m3, for want of {why}"
    )
