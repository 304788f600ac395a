"""What each surface needs of water and got, day by day, and what of the coming week there is water for."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np
import pandas as pd

from turfgis.errors import SettingsError
from turfgis.estimates.evaporation import Reference
from turfgis.estimates.uniformity import Uniformity, surface_uniformity, unknown_uniformity
from turfgis.estimates.water_days import (
    A_DAY,
    WEEK,
    joined_weather,
    logged_depths,
    read_or_tell,
)
from turfgis.estimates.water_limits import LimitState, estimate_limits, nightly_source, rate_per_day
from turfgis.formulas.water_balance import Balance, effective_rain, evening_levels, water_balance
from turfgis.layers.findings import Finding, listed
from turfgis.layers.meter import Meter, read_applied, read_meter
from turfgis.layers.words import hole_text
from turfgis.published.turf_water import HIGHEST, LOWEST, turf_coefficient
from turfgis.sources import cite

if TYPE_CHECKING:
    from turfgis.estimates.course import Course
    from turfgis.settings.water import SurfaceWater, WaterSetting

COLUMNS = (
    *("surface", "date", "plan", "weather", "et0_mm", "rain_mm", "use_mm", "deficit_mm", "need_mm", "gross_m3"),
    *("applied_mm", "applied_m3", "short_m3"),
)


@dataclass(frozen=True)
class Watered:
    """
    A surface that is watered.

    Attributes
    ----------
    surface, said
        Its name, and what the settings say of it.
    patches
        How many patches.
    net_m2
        Their net area. [m2]
    uniformity
        How evenly water falls on it, and what tells so.
    """

    surface: str
    said: SurfaceWater
    patches: int
    net_m2: float
    uniformity: Uniformity

    @property
    def gross_m3_per_m(self) -> float:
        """Water let out for one metre at the roots. [m3/m]"""
        return self.net_m2 / self.uniformity.share


@dataclass(frozen=True, eq=False)
class Water:
    """
    The water of a course. Shapes: n surfaces, d days.

    Attributes
    ----------
    said
        The settings.
    day
        The last day that is past.
    surfaces
        What is watered, the first in line in front. n of them.
    reference
        Evapotranspiration and rain; None where there is no weather to go by.
    weather
        Where the weather of each day is from. Shape (d,).
    balance
        Past and plan; None without weather.
    wanted
        The same, if there were water for all. The past is the same.
    planned
        Which days are planned. Shape (d,), bool.
    logged
        Whether what was applied in the past comes from a log.
    meter
        Its readings, where there are any.
    findings, notes
        What is wrong with the files; and what was taken for granted, in plain sentences.
    """

    said: WaterSetting
    day: date
    surfaces: tuple[Watered, ...]
    reference: Reference | None
    weather: np.ndarray
    balance: Balance | None
    wanted: Balance | None
    planned: np.ndarray
    logged: bool
    meter: Meter | None
    findings: tuple[Finding, ...]
    notes: tuple[str, ...]

    @cached_property
    def gross(self) -> np.ndarray:
        """Water let out for one metre at the roots. [m3/m] Shape (n,)."""
        return np.array([one.gross_m3_per_m for one in self.surfaces])

    @cached_property
    def days(self) -> pd.DataFrame:
        """One row for each surface and day, with the columns :data:`COLUMNS`; none without weather."""
        if self.reference is None or self.balance is None or self.wanted is None:
            return pd.DataFrame(columns=list(COLUMNS))
        count, reference = len(self.surfaces), self.reference

        def by_day(values: np.ndarray) -> np.ndarray:
            return np.repeat(values, count)

        def each(values: np.ndarray, scale: float | np.ndarray = 1000.0) -> np.ndarray:
            return (values * scale).ravel()

        balance = self.balance
        columns = {
            "surface": np.tile([one.surface for one in self.surfaces], len(reference.days)),
            "date": by_day(reference.days),
            "plan": by_day(self.planned),
            "weather": by_day(self.weather),
            "et0_mm": by_day(reference.depth * 1000),
            "rain_mm": by_day(reference.rain * 1000),
            "use_mm": each(balance.used),
            "deficit_mm": each(balance.deficit),
            "need_mm": each(balance.need),
            "gross_m3": each(balance.need, self.gross),
            "applied_mm": each(balance.applied),
            "applied_m3": each(balance.applied, self.gross),
            "short_m3": each(balance.short, self.gross),
        }
        return pd.DataFrame(columns)

    @cached_property
    def limits(self) -> tuple[LimitState, ...]:
        """Each limit, what of it is used, and when it would be passed."""
        return estimate_limits(self.said, self.day, self.reckoned, self.wanted_by_day, self.meter)

    @property
    def all_findings(self) -> tuple[Finding, ...]:
        """What is wrong with the files, and each limit that is passed already or that this rate or plan would pass."""
        passed = [
            Finding(
                *("warning", "water_limit", "course.toml", "", one.name),
                f"Limit {one.name} ({one.limit_m3:,.0f} m3 a {one.per}) "
                + (f"was passed on {one.date_passed}." if one.date_passed <= self.day else
                   f"would be passed on {one.date_passed}; see 'turfgis water'."),
            )
            for one in self.limits
            if one.date_passed is not None
        ]  # fmt: skip
        return (*self.findings, *passed)

    @cached_property
    def reckoned(self) -> pd.Series:
        """Water let out on each past day, by log or plan. [m3]"""
        return self._by_day(self.balance, ~self.planned)

    @cached_property
    def wanted_by_day(self) -> pd.Series:
        """Water that all needs of the plan would take on each day. [m3]"""
        return self._by_day(self.wanted, self.planned)

    @cached_property
    def levels(self) -> pd.Series:
        """What is in the tank on each evening of the plan, before it is watered. [m3] None where there is no tank."""
        let = self._by_day(self.balance, self.planned)
        if self.said.supply.tank is None or let.empty:
            return pd.Series(dtype=float, index=pd.DatetimeIndex([]))
        source = nightly_source(self.said, self.day, self.reckoned, self.meter, len(let))
        return pd.Series(evening_levels(let.to_numpy(), source), index=let.index)

    def _by_day(self, balance: Balance | None, among: np.ndarray) -> pd.Series:
        if balance is None or self.reference is None:
            return pd.Series(dtype=float, index=pd.DatetimeIndex([]))
        return pd.Series((balance.applied * self.gross).sum(axis=1)[among], index=self.reference.days[among])

    @cached_property
    def rate_m3(self) -> float:
        """Used a day, as a mean of the last four weeks by the meter, else as it was reckoned. [m3] nan if unknown."""
        return rate_per_day(self.day, self.reckoned, self.meter)

    @cached_property
    def short(self) -> pd.DataFrame:
        """Rows of :attr:`days` of the plan on which a surface gets less than it needs, in order of time."""
        days = self.days
        return days.loc[(days["short_m3"] > 1e-6) & days["plan"].astype(bool)] if len(days) else days

    def wanted_of(self, surface: str) -> tuple[float, float]:
        """What the plan would take on a surface, if there were water for all: at the roots [m], and let out [m3]."""
        at = [one.surface for one in self.surfaces].index(surface)
        if self.wanted is None:
            return float("nan"), float("nan")
        depth = float(self.wanted.applied[self.planned, at].sum())
        return depth, depth * float(self.gross[at])

    def given_back(self, surface: str, depth_m: float = 0.001) -> tuple[float, float]:
        """
        What a depth less on a surface leaves in the source.

        Parameters
        ----------
        surface, depth_m
            One of the watered surfaces, and the depth at the roots. [m]

        Returns
        -------
        volume, days
            Water [m3], and for how many days the whole course could use it at this rate; nan where that is not known.
        """
        at = [one.surface for one in self.surfaces].index(surface)
        volume = float(self.gross[at] * depth_m)
        return volume, volume / self.rate_m3 if self.rate_m3 > 0 else float("nan")


def watered_surfaces(course: Course, said: WaterSetting) -> tuple[tuple[Watered, ...], list[str]]:
    """
    Surfaces that are watered, the first in line in front, and remarks on those that the course does not have.

    Parameters
    ----------
    course, said
        The course and its ``[water]``.
    """
    made, absent = [], []
    for surface in said.ranked:
        one = said.surface[surface]
        on = watered_patches(course, surface, one)
        if on.any():
            net_m2, even = float(course.ground.net_m2[on].sum()), surface_uniformity(course, one, surface, on)
            made.append(Watered(surface, one, int(on.sum()), net_m2, even))
        else:
            absent.append(surface)
    remarks = [f"[water.surface] names {listed(absent)}, but the course has no such ground."] if absent else []
    return tuple(made), remarks


def watered_patches(course: Course, surface: str, said: SurfaceWater) -> np.ndarray:
    """Patches of a surface that are watered, as bool. Shape (n,)."""
    on = course.ground.surface == surface
    return on & course.ground.among(course.ground.hole, [hole_text(one) for one in said.holes]) if said.holes else on


def estimate_water(course: Course, day: date | None = None, days_ahead: int = WEEK) -> Water:
    """
    Water of a course up to a day, and the plan of the days after it.

    Parameters
    ----------
    course
        A course whose settings have ``[water]``.
    day
        The last day that is past; None for the last day of the weather.
    days_ahead
        How many days are planned.

    Returns
    -------
    The water. The past is watered as the log says, or as needed where there is no log; the plan as far as the supply
    and the limits go, in the order of priority.

    Raises
    ------
    SettingsError
        The settings have no ``[water]``, or neither a surface that the course has nor limits and a meter.
    """
    settings = course.needs_settings("water is described in the settings, as [water]")
    if settings.water is None:
        raise SettingsError(f"{course.path.name}: there is no [water]; describe what is watered, such as "
                            "[water] with weather = \"weather.csv\" and [water.surface.green]")  # fmt: skip
    said, folder = settings.water, course.drawing.folder
    surfaces, notes = watered_surfaces(course, said)
    if not surfaces and not (said.limit and said.meter):
        raise SettingsError(
            f"{course.path.name}: water: no watered surface is there; add [water.surface.green] with coefficient, "
            "root_depth, available_water and depletion, for ground that the course has"
        )
    findings = unknown_uniformity(course.path.name, [one.uniformity for one in surfaces])
    meter = read_or_tell(folder, said.meter, read_meter, "water_unusable", findings)
    reference, kinds = None, np.zeros(0, dtype=object)
    last = day
    if surfaces:  # else the meter alone is held against the limits
        reference, kinds, last = joined_weather(course, said, day, days_ahead, findings, notes)
    if last is None:  # nothing but limits and the meter
        last = meter.days[-1].astype(object) if meter is not None else date.today()
    past: date = last
    findings += meter.findings if meter else ()
    log = read_or_tell(folder, said.log, read_applied, "water_unusable", findings)
    notes += _coefficient_notes(surfaces)
    if reference is None:
        nothing = np.zeros(0, dtype=bool)
        return Water(
            said, past, surfaces, None, nothing, None, None, nothing, False, meter, tuple(findings), tuple(notes)
        )
    planned = reference.days > np.datetime64(past)
    applied = logged_depths(surfaces, reference.days, planned, log, said.log or "", findings)
    balance, wanted = _balance(said, past, surfaces, reference, planned, applied, meter)
    notes.append(f"The root zone is taken as full on {reference.days[0]}, when the weather begins.")
    if log is None:
        notes.append("There is no log of watering: the past is taken as watered when it was due.")
    water = Water(
        *(said, past, surfaces, reference, kinds, balance, wanted, planned, log is not None, meter),
        *(tuple(findings), tuple(notes)),
    )
    return replace(water, notes=(*notes, *_meter_note(water)))


def _meter_note(water: Water) -> list[str]:
    """How what was reckoned compares with the meter over the days that both know of this year."""
    meter, reckoned = water.meter, water.reckoned
    if meter is None or len(meter.days) < 2:
        return []
    first = max(meter.days[0] + A_DAY, np.datetime64(date(water.day.year, 1, 1)))
    last = min(meter.days[-1], np.datetime64(water.day))
    both = reckoned[(reckoned.index >= first) & (reckoned.index <= last)]
    if not len(both):
        return []
    what = "the log and the needs" if water.logged else "the needs"
    return [
        f"From {first} to {last} the meter shows {meter.between(first, last):,.0f} m3; {what} come to "
        f"{both.sum():,.0f} m3."
    ]


def _coefficient_notes(surfaces: Sequence[Watered]) -> list[str]:
    """Which published coefficients the club has chosen, and which of its own lie outside all of them."""
    named = dict.fromkeys(str(one.said.coefficient) for one in surfaces if isinstance(one.said.coefficient, str))
    said = [
        f"Published coefficient {name}: {turf_coefficient(name).what}, {turf_coefficient(name).share:g}; "
        f"{cite(turf_coefficient(name).source)}."
        for name in named
    ]
    apart = [f"{one.surface} {one.said.share:g}" for one in surfaces if not LOWEST <= one.said.share <= HIGHEST]
    if apart:
        said.append(
            f"Coefficients outside the published ones of turf, {LOWEST:g} to {HIGHEST:g}: {listed(apart)}. They may be "
            "right for this ground; check the figure."
        )
    return said


def _balance(said, day, surfaces, reference, planned, applied, meter) -> tuple[Balance, Balance]:
    """Past and plan as there is water, and as if there were water for all."""
    share, total, ready, rain = np.array(
        [(one.said.share, one.said.total_m, one.said.ready_m, one.said.rain) for one in surfaces]
    ).T
    use, counted = np.outer(reference.depth, share), effective_rain(reference.rain[:, None], rain)
    at_once = nightly_most(surfaces)
    past = water_balance(use[~planned], counted[~planned], total, ready, applied[~planned], most=at_once)
    gross = np.array([one.gross_m3_per_m for one in surfaces])
    reckoned = pd.Series((past.applied * gross).sum(axis=1), index=reference.days[~planned])
    source = nightly_source(said, day, reckoned, meter, int(planned.sum()))
    ahead = [
        water_balance(
            use[planned], counted[planned], total, ready, start=past.deficit[-1], gross=gross, source=one, most=at_once
        )
        for one in (source, None)
    ]  # fmt: skip
    joined = [
        Balance(**{name: np.concatenate([getattr(past, name), getattr(one, name)]) for name in Balance.__annotations__})
        for one in ahead
    ]
    return joined[0], joined[1]


def nightly_most(surfaces: Sequence[Watered]) -> np.ndarray:
    """The most that each gets in one night; 10 m where nothing is said. [m] Shape (n,)."""
    return np.array([10.0 if one.said.most is None else one.said.most for one in surfaces])
