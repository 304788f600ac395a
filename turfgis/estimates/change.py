"""Why two budgets differ: the difference of their totals, split by cause and by job, to the last cent."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from itertools import combinations
from math import factorial
from pathlib import Path

import numpy as np

from turfgis.errors import LayerError, SettingsError
from turfgis.estimates.budget import Budget, estimate_budget
from turfgis.estimates.course import Course, open_course
from turfgis.estimates.takeoff import Takeoff, estimate_year
from turfgis.formulas.change import whole_steps
from turfgis.settings.models import CourseSettings

FACTORS = ("area", "rate", "times", "price")
PARTS: tuple[str, ...] = (*FACTORS, "swapped", "new", "dropped")
CENT = 0.01

Key = tuple[str, str, str, str]  # job, resource, material or machine, unit


@dataclass(frozen=True)
class Change:
    """
    The difference of two totals. Money in whole cents, as ints, so that sums are exact.

    Attributes
    ----------
    currency
        Of both budgets.
    old, new
        The two budgets.
    jobs
        Job -> part -> cents, for every job of either year. Net cost of the needs, before stock.

        ``area`` is measured ground and where the job is done, ``rate`` what a unit of ground takes (depths, rates,
        densities, work rates), ``times`` how often, ``price`` what a unit costs, ``swapped`` a material, machine or
        people that the job has in one year only, ``new`` and ``dropped`` whole jobs.
    lines
        What is left, by name -> cents: stock, whole packs and loads, minimum orders, delivery, contingency, taxes.
    difference
        New total less old total, each as it is shown; the sum of all jobs and lines.
    """

    currency: str
    old: Budget
    new: Budget
    jobs: dict[str, dict[str, int]]
    lines: dict[str, int]
    difference: int

    @property
    def parts(self) -> dict[str, int]:
        """Part -> cents, all jobs together."""
        return {part: sum(row[part] for row in self.jobs.values()) for part in PARTS}


def estimate_change(old: Course, new: Course) -> Change:
    """
    Split the difference of the budgets of two courses.

    Parameters
    ----------
    old, new
        Two courses with settings, or one under two settings.

    Returns
    -------
    The change.

    Raises
    ------
    SettingsError
        One of them has no settings, or they count in different money.

    Notes
    -----
    A need costs Q(area, rate) x times x price. Of Q all four mixtures are estimated: old and new drawing, each under
    old and new settings, with every job done where the drawing's own settings have it. That keeps the split exact also
    where Q is no product, as in the time of a machine, which goes by area and edge. Each part is the Shapley value of
    its factor (source ``shapley-1953``).
    """
    before, after = (one.needs_settings("why a budget changed needs jobs") for one in (old, new))
    if before.currency != after.currency:
        raise SettingsError(
            f"{old.path} counts in {before.currency} and {new.path} in {after.currency}; "
            "give both the same currency to compare them"
        )
    takeoffs = (estimate_year(old), estimate_year(new))
    budgets = (estimate_budget(takeoffs[0]), estimate_budget(takeoffs[1]))
    jobs = _job_parts(old, new, takeoffs)
    lines = {name: amounts[1] - amounts[0] for name, amounts in _lines(*budgets).items()}
    shown = [round(one.total / CENT) for one in budgets]
    flat = [amount for row in jobs.values() for amount in row.values()] + list(lines.values())
    cents = iter(whole_steps(flat, CENT, (shown[1] - shown[0]) * CENT).tolist() if flat else [])
    return Change(
        before.currency,
        *budgets,
        {job: {part: next(cents) for part in PARTS} for job in jobs},
        {name: next(cents) for name in lines},
        shown[1] - shown[0],
    )


def change_since_last(course: Course, last: Path | None = None) -> Change | None:
    """
    Why the budget differs from last year's.

    Parameters
    ----------
    course
        A course with settings.
    last
        Last year's course; None for the one that ``[budget]`` of the settings names.

    Returns
    -------
    The change; None where neither names one.

    Raises
    ------
    LayerError, SettingsError
        There is no such course, or it cannot be compared.
    """
    if last is not None:
        return estimate_change(open_course(last), course)
    named = course.needs_settings("last year's budget needs jobs").budget.last
    if named is None:
        return None
    before = course.path.parent / named
    if not before.exists():
        raise LayerError(f"{course.path.name}: budget.last: no such file or folder as {named} beside this file")
    return estimate_change(open_course(before), course)


def _job_parts(old: Course, new: Course, takeoffs: tuple[Takeoff, Takeoff]) -> dict[str, dict[str, float]]:
    before, after = takeoffs
    names = [{job.name for job in one.settings.job} for one in takeoffs]
    # quantities by (drawing, settings)
    mixed = {
        (0, 0): _quantities(before),
        (1, 1): _quantities(after),
        (1, 0): _quantities(estimate_year(new.with_settings(_placed(before.settings, after.settings)))),
        (0, 1): _quantities(estimate_year(old.with_settings(_placed(after.settings, before.settings)))),
    }
    times, prices = [_times(one) for one in takeoffs], [_prices(one) for one in takeoffs]
    listed = [*before.settings.job, *(job for job in after.settings.job if job.name not in names[0])]
    parts = {job.name: dict.fromkeys(PARTS, 0.0) for job in listed}
    for key in dict.fromkeys((*mixed[0, 0], *mixed[1, 1])):
        job, sides = key[0], [key in mixed[0, 0], key in mixed[1, 1]]
        if all(sides):
            corners = {corner: mixed[corner].get(key, 0.0) for corner in mixed}
            found = shapley_parts(corners, [one[key] for one in times], [one[key] for one in prices])
        else:
            side = int(sides[1])
            money = mixed[side, side][key] * times[side][key] * prices[side][key]
            part = "swapped" if job in names[1 - side] else "new" if side else "dropped"
            found = {part: money if side else -money}
        for part, amount in found.items():
            parts[job][part] += amount
    return parts


def shapley_parts(
    quantity: Mapping[tuple[int, int], float], times: list[float], price: list[float]
) -> dict[str, float]:
    """
    Parts of the change of quantity x times x price.

    Parameters
    ----------
    quantity
        By (drawing, settings), each 0 for old and 1 for new.
    times, price
        Old and new.

    Returns
    -------
    The part of each of :data:`FACTORS`; they add up to the difference.

    Examples
    --------
    >>> quantity = {(0, 0): 2.0, (0, 1): 2.5, (1, 0): 2.0, (1, 1): 2.5}
    >>> parts = shapley_parts(quantity, [3, 4], [40, 42])
    >>> {name: round(part, 2) for name, part in parts.items()}
    {'area': 0.0, 'rate': 71.83, 'times': 92.33, 'price': 15.83}
    """

    def cost(changed: frozenset[int]) -> float:
        area, rate, often, paid = (int(place in changed) for place in range(4))
        return quantity[area, rate] * times[often] * price[paid]

    size = len(FACTORS)
    parts = {}
    for place, name in enumerate(FACTORS):
        others = [one for one in range(size) if one != place]
        part = 0.0
        for count in range(size):
            weight = factorial(count) * factorial(size - count - 1) / factorial(size)
            for chosen in map(frozenset, combinations(others, count)):
                part += weight * (cost(chosen | {place}) - cost(chosen))
        parts[name] = part
    return parts


def _placed(rates: CourseSettings, places: CourseSettings) -> CourseSettings:
    """Settings with the rates of one year and the places of another, for the jobs that both have."""
    there = {job.name: job for job in places.job}
    jobs = [
        job.model_copy(update={name: getattr(there[job.name], name) for name in ("on", "holes", "patches")})
        for job in rates.job
        if job.name in there
    ]
    return rates.model_copy(update={"job": jobs})


def _keys(takeoff: Takeoff) -> list[Key]:
    return [(need.job.name, need.resource, need.key, need.unit) for need in takeoff.needs]


def _quantities(takeoff: Takeoff) -> dict[Key, float]:
    """Mean quantity for one time."""
    sums: dict[Key, float] = defaultdict(float)
    for key, amount in zip(_keys(takeoff), takeoff.quantity.sum(axis=1).tolist(), strict=True):
        sums[key] += amount
    return dict(sums)


def _times(takeoff: Takeoff) -> dict[Key, float]:
    return dict(zip(_keys(takeoff), takeoff.counts.sum(axis=1).tolist(), strict=True))


def _prices(takeoff: Takeoff) -> dict[Key, float]:
    """Price of a unit; nothing where there is no price, as in the budget."""
    return dict(zip(_keys(takeoff), np.nan_to_num(takeoff.unit_price()).tolist(), strict=True))


def _lines(old: Budget, new: Budget) -> dict[str, tuple[float, float]]:
    """What stands between the needs and the total, old and new."""
    named = [
        {
            "stock used": -one.stock_value,
            "whole packs and loads": one.rounding,
            "least that suppliers deliver": one.minimum,
            "delivery": one.delivery,
            **{f"{name} (contingency)": cost for name, cost in one.contingency.items()},
            **{f"{name} (tax)": cost for name, cost in one.taxes.items()},
        }
        for one in (old, new)
    ]
    return {name: (named[0].get(name, 0.0), named[1].get(name, 0.0)) for name in dict.fromkeys((*named[0], *named[1]))}
