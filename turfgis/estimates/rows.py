"""The take-off multiplied out: one row for each job, resource, time and patch."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Literal

import numpy as np
import pandas as pd

if TYPE_CHECKING:
    from turfgis.estimates.needs import Need
    from turfgis.estimates.takeoff import Takeoff
    from turfgis.settings.models import CourseSettings

Detail = Literal["date", "month", "year"]

COLUMNS = (
    *("job", "group", "work", "date", "month", "times", "patch", "surface", "hole", "net_m2", "treated_m2"),
    *("resource", "material", "cost_code", "quantity", "unit", "u_quantity", "cost"),
)


def expand(takeoff: Takeoff, per: Detail, settings: CourseSettings) -> pd.DataFrame:
    """
    One row for each need, time and patch.

    Parameters
    ----------
    takeoff
        In factors.
    per
        ``date``, ``month`` or ``year``: which times stand together in one row.
    settings
        For prices and cost codes.

    Returns
    -------
    Table with the columns :data:`COLUMNS`.
    """
    times = _Times(takeoff, per)
    line, place = np.nonzero(_worked(takeoff))  # needs and patches that go together
    first = np.searchsorted(line, np.arange(len(takeoff.needs) + 1))
    width = np.diff(first)
    # for every need its times one after the other, and in each of them its patches
    need = np.repeat(times.need, width[times.need])
    when = np.repeat(np.arange(len(times.need)), width[times.need])
    start = np.repeat(first[times.need], width[times.need])
    run = np.arange(len(need)) - np.repeat(_starts(width[times.need]), width[times.need])
    pair = start + run
    patch = place[pair]
    count = times.count[when]
    one, spread = takeoff.quantity[line, place], _spread(takeoff, line, place)
    columns = {
        **_by_need(takeoff, need, settings),
        "date": _texts([None if day is None else day.isoformat() for day in times.day], when),
        "month": _texts(times.month, when),
        "times": count,
        **_by_patch(takeoff, patch),
        "treated_m2": _treated(takeoff, line, place)[pair],
        "quantity": one[pair] * count,
        "u_quantity": spread[pair] * count,
        "cost": one[pair] * count * takeoff.unit_price(settings)[need],
    }
    return pd.DataFrame({name: columns[name] for name in COLUMNS})


class _Times:
    """Which times stand together in one row: need, day, month and how often, as lists of one length."""

    def __init__(self, takeoff: Takeoff, per: Detail):
        found: list[tuple[int, date | None, str | None, float]] = []
        for at, occurring in enumerate(takeoff.times):
            if per == "date":
                found += [(at, one.day, one.month, one.times) for one in occurring]
            elif per == "month":
                counts = takeoff.counts[at]
                found += [(at, None, takeoff.months[m], counts[m]) for m in np.flatnonzero(counts)]
            else:
                found.append((at, None, None, takeoff.counts[at].sum()))
        self.need = np.array([row[0] for row in found], dtype=int)
        self.day = [row[1] for row in found]
        self.month = [row[2] for row in found]
        self.count = np.array([row[3] for row in found], dtype=float)


def _worked(takeoff: Takeoff) -> np.ndarray:
    """Which patches, or the place that is no patch, each need has rows for. Shape (L, n + 1)."""
    worked = np.zeros(takeoff.quantity.shape, dtype=bool)
    for row, need in zip(worked, takeoff.needs, strict=True):
        row[:-1] = need.on
        row[-1] = need.elsewhere != 0
    return worked


def _starts(lengths: np.ndarray) -> np.ndarray:
    return np.cumsum(lengths) - lengths


def _spread(takeoff: Takeoff, line: np.ndarray, place: np.ndarray) -> np.ndarray:
    """Standard uncertainty of the quantity of one need on one patch for one time, by itself."""
    ground = takeoff.ground
    area_variance = np.append(ground.own_m2**2 + ground.bias_m2**2, 0.0)
    moments = np.array([_moments(factors) for factors in takeoff.factors]).reshape(-1, 2)
    slope, beyond, base = (_stacked(takeoff, name)[line, place] for name in ("slope", "beyond_m2", "base"))
    reach = np.array([need.beyond.variance for need in takeoff.needs])[line]
    mean, square = moments[line].T
    spread = slope**2 * area_variance[place] + beyond**2 * reach
    return np.sqrt(np.maximum((square - mean**2) * (base + beyond) ** 2 + square * spread, 0.0))


def _moments(factors: dict[tuple[str, str], tuple[float, float]]) -> tuple[float, float]:
    """Means of a product of independent figures and of its square."""
    mean = square = 1.0
    for middle, variance in factors.values():
        mean *= middle
        square *= middle * middle + variance
    return mean, square


def _stacked(takeoff: Takeoff, name: str) -> np.ndarray:
    """A vector of all needs as a matrix, with what is on no patch in the last column. Shape (L, n + 1)."""
    made = np.zeros(takeoff.quantity.shape)
    for row, need in zip(made, takeoff.needs, strict=True):
        row[:-1] = getattr(need, name)
        if name == "base":
            row[-1] = need.elsewhere
    return made


def _treated(takeoff: Takeoff, line: np.ndarray, place: np.ndarray) -> np.ndarray:
    return np.where(place < len(takeoff.ground), _stacked(takeoff, "treated_m2")[line, place], np.nan)


def _by_need(takeoff: Takeoff, need: np.ndarray, settings: CourseSettings) -> dict[str, pd.Categorical]:
    needs = takeoff.needs
    return {
        "job": _texts([one.job.name for one in needs], need),
        "group": _texts([one.job.group for one in needs], need),
        "work": _texts([one.job.work for one in needs], need),
        "resource": _texts([one.resource for one in needs], need),
        "material": _texts([one.key or None for one in needs], need),
        "cost_code": _texts([cost_code(one, settings) or None for one in needs], need),
        "unit": _texts([one.unit for one in needs], need),
    }


def cost_code(need: Need, settings: CourseSettings) -> str:
    """Where a need is booked: a material under its own code, everything else under that of the job."""
    if need.resource == "water" and settings.water and settings.water.cost_code:
        return settings.water.cost_code
    return settings.material[need.key].cost_code if need.resource == "material" else need.job.cost_code


def _by_patch(takeoff: Takeoff, patch: np.ndarray) -> dict:
    ground = takeoff.ground
    return {
        "patch": _texts([*ground.patch, None], patch),
        "surface": _texts([*ground.surface, None], patch),
        "hole": _texts([*ground.hole, None], patch),
        "net_m2": np.append(ground.net_m2, np.nan)[patch],
    }


def _texts(texts: list, place: np.ndarray) -> pd.Categorical:
    """Texts picked by their place, as categories; None is missing."""
    code: dict[str, int] = {}
    codes = np.array([-1 if text is None else code.setdefault(text, len(code)) for text in texts], dtype=np.int32)
    return pd.Categorical.from_codes(codes[place] if len(codes) else np.empty(0, dtype=int), categories=list(code))
