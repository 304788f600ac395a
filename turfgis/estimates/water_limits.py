"""What may be taken, what has been taken of it, and on which day it would be used up."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from math import ceil, inf, isnan, nan
from typing import TYPE_CHECKING

import numpy as np
import pandas as pd

from turfgis.formulas.water_balance import Source

if TYPE_CHECKING:
    from turfgis.layers.meter import Meter
    from turfgis.settings.water import WaterLimit, WaterSetting

A_DAY = np.timedelta64(1, "D")
RATE_DAYS = 28
WEEK = 7
HOUR, DAY = 3600.0, 86_400.0
METER, RECKONED = "meter", "reckoned"


@dataclass(frozen=True)
class LimitState:
    """
    A limit and where the course stands.

    Attributes
    ----------
    name, per, source
        As in the settings.
    limit_m3
        The most that may be taken in the period.
    used_m3
        In the licence year or season so far; of a limit per day or hour, the most in one as planned or read. nan where
        it cannot be told.
    basis
        What it goes by, in words.
    first, last
        First and last day of the period; of a limit per day or hour the days that were looked at. None outside a
        season.
    date_passed
        Day on which it was passed, or would be at this rate or under this plan; None where it is kept.
    """

    name: str
    per: str
    source: str
    limit_m3: float
    used_m3: float
    basis: str
    first: date | None
    last: date | None
    date_passed: date | None

    @property
    def left_m3(self) -> float:
        """What may still be taken; below zero where too much was."""
        return self.limit_m3 - self.used_m3

    @property
    def broken(self) -> bool:
        """Whether more is used already than may be."""
        return self.used_m3 > self.limit_m3 * (1 + 1e-9)


def used_between(first: date, last: date, reckoned: pd.Series, meter: Meter | None) -> tuple[float, str]:
    """
    Water used from one day to another, and what that goes by.

    Parameters
    ----------
    first, last
        The days, both included.
    reckoned
        Water let out on each day, as reckoned. [m3]
    meter
        Readings, which come first where there are any. Days before and after them are reckoned.

    Returns
    -------
    volume, basis
        [m3]; nan where nothing is known.
    """
    start, end = np.datetime64(first), np.datetime64(last)
    read = meter is not None and len(meter.days) > 1 and meter.days[0] <= end and meter.days[-1] >= start
    if not read or meter is None:
        known = reckoned[(reckoned.index >= start) & (reckoned.index <= end)]
        return (float(known.sum()), RECKONED) if len(known) else (nan, "nothing known")
    total, basis = meter.between(start, min(end, meter.days[-1])), METER
    before = reckoned[(reckoned.index >= start) & (reckoned.index <= min(end, meter.days[0]))]
    after = reckoned[(reckoned.index > meter.days[-1]) & (reckoned.index <= end)]
    if meter.days[0] >= start and before.sum() > 0:
        total, basis = total + float(before.sum()), f"reckoned up to {meter.days[0]}, then {basis}"
    if after.sum() > 0:
        total, basis = total + float(after.sum()), f"{basis} to {meter.days[-1]}, then reckoned"
    return total, basis


def use_curve(first: date, day: date, reckoned: pd.Series, meter: Meter | None) -> tuple[list[date], list[float]]:
    """
    Water used since the first day of a period, week by week.

    Parameters
    ----------
    first, day
        The first day of the period, and the last that is past.
    reckoned, meter
        As for :func:`used_between`.

    Returns
    -------
    days, used
        Evenings, and what had been used by then [m3].
    """
    days = [day - timedelta(days=back) for back in range((day - first).days, -1, -WEEK)]
    days = list(dict.fromkeys([*days, day]))
    return days, [used_between(first, one, reckoned, meter)[0] for one in days]


def rate_per_day(day: date, reckoned: pd.Series, meter: Meter | None) -> float:
    """Mean use of the last :data:`RATE_DAYS` days up to a day, by the meter where it was read in them. [m3]"""
    end = np.datetime64(day)
    if meter is not None and len(meter.days) > 1 and meter.days[-1] > end - RATE_DAYS * A_DAY:
        stop = min(end, meter.days[-1])
        begin = max(stop - RATE_DAYS * A_DAY, meter.days[0])
        span = int((stop - begin) // A_DAY)
        if span > 0:
            return meter.between(begin + A_DAY, stop) / span
    known = reckoned[(reckoned.index > end - RATE_DAYS * A_DAY) & (reckoned.index <= end)]
    return float(known.mean()) if len(known) else nan


def nightly_source(said: WaterSetting, day: date, reckoned: pd.Series, meter: Meter | None, nights: int) -> Source:
    """
    What the coming nights can deliver: by pump and window, tank, and limits.

    Parameters
    ----------
    said
        ``[water]``.
    day, reckoned, meter
        The last day that is past, and what was used up to it.
    nights
        How many nights.

    Returns
    -------
    The source. The tank is taken as full on the first evening; what is left of a licence year counts for the nights
    that lie in it.
    """
    supply = said.supply
    most = supply.pump * supply.window_s if supply.pump is not None else inf
    inflow, by_day = supply.refill, inf
    allowance, capped = inf, np.full(nights, inf)
    for limit in said.limit.values():
        tanked = supply.tank is not None and limit.at == "source"
        if limit.per == "hour" and tanked:
            inflow = min(inflow, limit.most / HOUR)
        elif limit.per == "hour":
            most = min(most, limit.most * supply.window_s / HOUR)
        elif limit.per == "day" and tanked:
            by_day = min(by_day, limit.most)
        elif limit.per == "day":
            most = min(most, limit.most)
        elif (period := limit.period(day + timedelta(days=1))) is not None:
            used, _ = used_between(period[0], day, reckoned, meter) if period[0] <= day else (0.0, "")
            left = max(limit.most - (0.0 if isnan(used) else used), 0.0)
            allowance = min(allowance, left) if period[1] >= day + timedelta(days=nights) else allowance
            if period[1] < day + timedelta(
                days=nights
            ):  # the year turns within the plan: old nights share what is left
                old = (period[1] - day).days
                capped[:old] = np.minimum(capped[:old], left / max(old, 1))
    tank = inf if supply.tank is None else supply.tank
    return Source(
        most=np.minimum(most, capped),
        tank=tank,
        floor=supply.floor,
        level=tank,
        by_night=min(inflow * supply.window_s, by_day),
        by_day=min(inflow * DAY, by_day),
        allowance=allowance,
    )


def estimate_limits(
    said: WaterSetting, day: date, reckoned: pd.Series, wanted: pd.Series, meter: Meter | None
) -> tuple[LimitState, ...]:
    """
    Each limit, what of it is used, and when it would be passed.

    Parameters
    ----------
    said
        ``[water]``.
    day
        The last day that is past.
    reckoned, wanted
        Water let out on each past day, and what all needs of the plan would take on each day to come. [m3]
    meter
        Readings, where there are any.
    """
    rate = rate_per_day(day, reckoned, meter)
    return tuple(_state(said, name, one, day, reckoned, wanted, meter, rate) for name, one in said.limit.items())


def _state(said, name, limit: WaterLimit, day, reckoned, wanted, meter, rate) -> LimitState:
    if limit.per in ("hour", "day"):
        return _of_a_night(said, name, limit, day, wanted, meter)
    period = limit.period(day)
    if period is None:
        following = limit.period(day + timedelta(days=183))
        said_so = f"between seasons; the next begins on {following[0]}" if following else "between seasons"
        return LimitState(name, limit.per, limit.source, limit.most, 0.0, said_so, None, None, None)
    first, last = period
    used, basis = used_between(first, day, reckoned, meter)
    passed = None
    if used > limit.most:
        passed = _passed_on(first, day, limit.most, reckoned, meter)
    elif rate > 0 and not isnan(used):
        ahead = ceil((limit.most - used) / rate + 1e-9)
        reached = day + timedelta(days=min(ahead, 1000))
        passed = reached if reached <= last else None
    return LimitState(name, limit.per, limit.source, limit.most, used, basis, first, last, passed)


def _passed_on(first: date, day: date, most: float, reckoned: pd.Series, meter: Meter | None) -> date:
    """The first day by whose evening more had been used than may be."""
    low, high = 0, (day - first).days
    while low < high:
        middle = (low + high) // 2
        if used_between(first, first + timedelta(days=middle), reckoned, meter)[0] > most:
            high = middle
        else:
            low = middle + 1
    return first + timedelta(days=low)


def _of_a_night(said: WaterSetting, name: str, limit: WaterLimit, day: date, wanted, meter) -> LimitState:
    """
    A limit per day or hour, against the heaviest night that all needs of the plan would make.

    Where the pump is known, an hour takes what it delivers; else the night's water is spread over the window. Of a
    limit at the source of a tank what counts is what runs into it.
    """
    plan, basis = wanted.to_numpy(dtype=float), "heaviest night of the plan"
    refill = said.supply.refill if said.supply.tank is not None and limit.at == "source" else None
    if refill is not None:  # a tank takes the night off the source, which fills it again through the day
        basis = "what runs into the tank"
        plan = np.where(plan > 0, refill * HOUR, 0.0) if limit.per == "hour" else np.minimum(plan, refill * DAY)
    elif limit.per == "hour":
        pump, hours = said.supply.pump, said.supply.window_s / HOUR
        basis = "the pump at full rate" if pump is not None else "heaviest night of the plan, over the whole window"
        plan = np.where(plan > 0, pump * HOUR, 0.0) if pump is not None else plan / hours
    over = np.flatnonzero(plan > limit.most * (1 + 1e-9))
    passed = wanted.index[over[0]].date() if len(over) else None
    used = float(plan.max()) if len(plan) else nan
    if limit.per == "day" and meter is not None and len(meter.days) > 1:
        first = day - timedelta(days=RATE_DAYS - 1)
        read = meter.daily(np.datetime64(first), np.datetime64(day))
        if (read > limit.most * (1 + 1e-9)).any():  # a mean between readings: on some day it was more still
            passed = first + timedelta(days=int(np.flatnonzero(read > limit.most * (1 + 1e-9))[0]))
            used, basis = float(np.nanmax(read)), "meter, as a mean between readings"
    last = wanted.index[-1].date() if len(wanted) else None
    return LimitState(name, limit.per, limit.source, limit.most, used, basis, day + timedelta(days=1), last, passed)
