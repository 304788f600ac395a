"""Water in the root zone from day to day: what goes, what comes, what is missing, and what must be let out for it."""

from dataclasses import dataclass

import numpy as np

from turfgis.errors import InputError
from turfgis.formulas.arguments import not_negative, positive, share_above_zero
from turfgis.formulas.arguments import share as a_share

SLACK = 1e-12  # m: sums of floats that come to the same


@dataclass(frozen=True)
class Source:
    """
    What a night can deliver.

    Attributes
    ----------
    most
        By pump, window and limits together. [m3] A figure, or one for each day.
    tank, floor, level
        What the tank holds, what must stay in it, and what is in it on the first evening; infinite where there is no
        tank. [m3]
    by_night, by_day
        What runs into the tank during the window, and in a whole day. [m3]
    allowance
        What may still be taken in all. [m3]
    """

    most: float | np.ndarray = np.inf
    tank: float = np.inf
    floor: float = 0.0
    level: float = np.inf
    by_night: float = 0.0
    by_day: float = 0.0
    allowance: float = np.inf


@dataclass(frozen=True)
class Balance:
    """
    A balance, day by day. Shapes (d, n).

    Attributes
    ----------
    deficit
        Missing from the full root zone at the end of each day, after watering. [m]
    used
        By the turf: less than it would where the ground is dry. [m]
    need
        What would fill the root zone in the evening, or the most for one, on days when it is due; else 0. [m]
    applied
        What reached the roots of the watering. [m]
    drained
        Lost below the roots. [m]
    short
        Due and not applied for want of water. [m]
    """

    deficit: np.ndarray
    used: np.ndarray
    need: np.ndarray
    applied: np.ndarray
    drained: np.ndarray
    short: np.ndarray


def water_balance(use, rain, total, ready, applied=None, start=0.0, gross=None, source=None, most=None):
    r"""
    Daily balance of the root zone.

    .. math:: D_i = D_{i-1} + K_s\,ET_i - P_i - I_i, \quad K_s = \min\left(1, \frac{W - D}{W - R}\right)

    Rain and use come first, watering in the evening. What there is above a full root zone drains.

    Parameters
    ----------
    use
        What well-watered turf uses. [m] Shape (d, n).
    rain
        Rain that counts. [m] Shape (d, n).
    total, ready
        Available water of the full root zone W, and what of it may be used up before it is watered R. [m] Shape (n,).
    applied
        What was given each evening, as it reaches the roots. [m] Shape (d, n). Where it is nan, and where nothing is
        given here, the need of the day is given.
    start
        Missing at the beginning. [m] Shape (n,) or a figure.
    gross
        Water to be let out for one metre at the roots of each column. [m3/m] Shape (n,). Only with ``source``.
    source
        What the nights can deliver; columns get it in their order. Only needs are held back by it, not what was given.
    most
        The most that is needed in one evening, however much is missing. [m] Shape (n,) or a figure.

    Returns
    -------
    The balance.

    Raises
    ------
    InputError
        A figure is below zero or not finite, or more may be used up than there is.

    Notes
    -----
    Equations 84 and 85 of FAO-56, source ``fao-56``, without run-off and capillary rise.

    Examples
    --------
    A green of 6 mm ready water that uses 4 mm a day: it is due on the second evening.

    >>> dry = water_balance(np.full((3, 1), 0.004), np.zeros((3, 1)), [0.015], [0.006])
    >>> print([f"{1000 * float(need[0]):.1f}" for need in dry.need])
    ['0.0', '8.0', '0.0']
    """
    use, rain = not_negative("use", np.atleast_2d(use), "m"), not_negative("rain", np.atleast_2d(rain), "m")
    days, columns = np.broadcast_shapes(use.shape, rain.shape)
    whole = np.broadcast_to(positive("available water", total, "m"), (columns,))
    held = np.broadcast_to(positive("ready water", ready, "m"), (columns,))
    if np.any(held > whole):
        raise InputError("more water may be used up than the root zone holds; check depletion")
    given = np.full((days, columns), np.nan) if applied is None else np.array(applied, dtype=float)
    if np.any(given < 0) or np.any(np.isinf(given)):
        raise InputError("water applied must be 0 m or more, or nan where the need is to be given")
    at_once = np.broadcast_to(np.inf if most is None else positive("the most for an evening", most, "m"), (columns,))
    deficit = np.minimum(np.broadcast_to(not_negative("deficit", start, "m"), (columns,)), whole)
    made = {name: np.zeros((days, columns)) for name in Balance.__annotations__}
    rows = list(made.values())
    outlet = _Outlet(source, gross, days)
    span, due, planned = np.maximum(whole - held, SLACK), held - SLACK, np.isnan(given)
    by_hand = np.any(~planned, axis=1)
    for day, (drawn, fell) in enumerate(zip(np.broadcast_to(use, (days, columns)), rain, strict=True)):
        level = deficit - fell
        deficit = np.maximum(level, 0.0)
        drained = deficit - level
        left = whole - deficit
        used = np.minimum(drawn * np.minimum(left / span, 1.0), left)
        deficit = deficit + used
        need = np.where(deficit >= due, np.minimum(deficit, at_once), 0.0)
        if by_hand[day]:
            got = np.where(planned[day], outlet.share_out(day, np.where(planned[day], need, 0.0)), given[day])
            short = np.where(planned[day], need - got, 0.0)
        else:
            got = outlet.share_out(day, need)
            short = need - got
        level = deficit - got
        deficit = np.maximum(level, 0.0)
        drained = drained + (deficit - level)
        for row, value in zip(rows, (deficit, used, need, got, drained, short), strict=True):
            row[day] = value
    return Balance(**made)


class _Outlet:
    """The tank and what may still be taken, from night to night."""

    def __init__(self, source, gross, days):
        self.source = source
        if source is None:
            return
        self.gross = positive("gross water", np.asarray(gross, dtype=float), "m3/m")
        self.most = np.broadcast_to(source.most, (days,))
        self.level, self.left = min(source.level, source.tank), source.allowance

    def share_out(self, night, need):
        """What each column gets of what it needs, in their order. [m]"""
        if self.source is None:
            return need
        source = self.source
        above = self.level - source.floor + source.by_night
        wanted = need * self.gross
        before = np.cumsum(wanted) - wanted
        let = np.clip(max(min(self.most[night], above, self.left), 0.0) - before, 0.0, wanted)
        spent = float(let.sum())
        self.left -= spent
        self.level = _next_level(self.level, spent, source)
        return np.where(let >= wanted, need, let / self.gross)


def _next_level(level, spent, source):
    """What is in the tank on the next evening: it never holds more than it can. [m3]"""
    return min(level - spent + source.by_day, source.tank)


def evening_levels(spent, source):
    """
    What is in the tank on each evening, before anything is let out.

    Parameters
    ----------
    spent
        Let out in each night. [m3] Shape (d,).
    source
        The tank, what is in it on the first evening, and what runs into it.

    Returns
    -------
    Volume. [m3] Shape (d,).

    Raises
    ------
    InputError
        Something let out is below zero or not finite.

    Notes
    -----
    The balance of a tank that spills over: what was in it and what runs in, less what was let out, and never more than
    it holds.

    Examples
    --------
    >>> tank = Source(tank=600.0, floor=80.0, level=600.0, by_day=324.0)
    >>> print(evening_levels([125.0, 523.0, 422.0], tank))
    [600. 600. 401.]
    """
    let, levels = not_negative("water let out", np.atleast_1d(spent), "m3"), []
    level = min(source.level, source.tank)
    for night in let.tolist():
        levels.append(level)
        level = _next_level(level, night, source)
    return np.array(levels, dtype=float)


def effective_rain(rain, counted):
    """
    Rain that reaches the roots.

    Parameters
    ----------
    rain
        As it fell. [m]
    counted
        Share that does not run off or dry off the leaf. [-]

    Returns
    -------
    Rain that counts. [m]

    Raises
    ------
    InputError
        Rain is below zero, or the share none.

    Notes
    -----
    The plainest rule. What the root zone cannot hold is lost besides, in the balance.

    Examples
    --------
    >>> print(effective_rain(0.010, 0.8))
    0.008
    """
    return not_negative("rain", rain, "m") * a_share("share of rain that counts", counted)


def gross_volume(depth, area, uniformity):
    r"""
    Water to be let out so that the drier part gets the depth.

    .. math:: V = d\,A / u

    Parameters
    ----------
    depth
        Needed at the roots. [m]
    area
        Watered. [m2]
    uniformity
        Share of the mean depth that the drier part gets. [-]

    Returns
    -------
    Volume. [m3]

    Raises
    ------
    InputError
        Depth or area are below zero, or the uniformity is no share above 0.

    Notes
    -----
    Need over uniformity, source ``usga-2016-water-budget`` for the depth over the area.

    Examples
    --------
    5 mm on a hectare of which the drier part gets three quarters of the mean:

    >>> print(f"{gross_volume(0.005, 10_000, 0.75):.1f}")
    66.7
    """
    return (
        not_negative("depth", depth, "m")
        * not_negative("area", area, "m2")
        / share_above_zero("uniformity", uniformity)
    )


def days_between(total, ready_share, use):
    r"""
    How long the root zone lasts without rain.

    .. math:: n = W p / ET

    Parameters
    ----------
    total
        Available water of the root zone. [m]
    ready_share
        Share of it that may be used up. [-]
    use
        What the turf uses in a day. [m]

    Returns
    -------
    Days, not rounded. [-]

    Raises
    ------
    InputError
        A figure is not above zero, or the share is none.

    Notes
    -----
    Source ``watering-interval``, which rounds down to whole days.

    Examples
    --------
    >>> print(f"{days_between(0.75 * 0.0254, 0.50, 0.14 * 0.0254):.2f}")
    2.68
    """
    return (
        positive("available water", total, "m")
        * share_above_zero("depletion", ready_share)
        / positive("daily use", use, "m")
    )
