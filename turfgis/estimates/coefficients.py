"""
The club's own coefficients out of its records: proposed for next year, never put into the settings.

An observation is what went onto one ground on one day, set against one time of the plan there. Deliveries that name no
ground are one observation for the whole year and all times of the job.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import isfinite, sqrt
from typing import Any

import numpy as np

from turfgis.estimates.actuals import Actuals
from turfgis.estimates.takeoff import Takeoff
from turfgis.estimates.times import Mower
from turfgis.estimates.uses import Use
from turfgis.formulas.mowing import mowing_time
from turfgis.settings.models import Machine

# Work -> the key that the amounts of next year would change; all other figures of the job stay as they are.
_FIGURES = {
    "topdress": "depth",
    "hollow_tine": "fill",
    "solid_tine": "fill",
    "scarify": "fill",
    "overseed": "rate",
    "drill_seed": "rate",
    "fertilise": "rate",
    "spray": "rate",
}
_PER_M2 = {"kg": "kg/m2", "m3": "m3/m2", "m2": "m2/m2"}


@dataclass(frozen=True)
class Coefficient:
    """
    A figure of the club's own.

    Attributes
    ----------
    name
        ``hopper``, ``hopper by tickets``, ``rate`` (by net area), ``depth``, ``fill``, ``rate to set``,
        ``hours per hectare`` or ``efficiency``.
    job, of
        The job, and the material or machine; None where it is not about one.
    value, unit, spread
        The figure, and the standard deviation of single observations; None where there are fewer than two.
    records, observations
        How many stand behind it.
    planned
        The figure of the settings; None where they have none.
    table, line
        Where in the settings it belongs and the line to copy; "" where there is no key, or it could not stand there.
    remark
        Why there is no line, where one would be expected.
    """

    name: str
    job: str | None
    of: str | None
    value: float
    unit: str
    spread: float | None
    records: int
    observations: int
    planned: float | None = None
    table: str = ""
    line: str = ""
    remark: str = ""


@dataclass(frozen=True)
class _Observation:
    amount: float
    planned: float
    area_m2: float
    edge_m: float
    records: int


def propose_coefficients(actuals: Actuals) -> list[Coefficient]:
    """
    Coefficients that the records speak for.

    Parameters
    ----------
    actuals
        Records held against the plan.

    Returns
    -------
    Weights of hoppers by material, then rates and what follows from them by job and material, then hours by machine.
    """
    found = [*_hoppers(actuals)]
    by_machine: dict[str, list[_Observation]] = {}
    for line in actuals.lines:
        uses = [use for use in actuals.spent if (use.job, use.resource, use.key) == (line.job, line.resource, line.key)]
        if not line.job or not uses:
            continue
        seen = _observations(actuals.takeoff, uses)
        if not seen:
            continue
        if line.resource == "material":
            found += _rates(actuals.takeoff, line.job, line.key, line.unit, seen)
        else:
            found.append(_hours(line.job, line.key, seen))
            if line.key:
                by_machine.setdefault(line.key, []).extend(seen)
    machines = actuals.takeoff.settings.machine
    handbook = {key: seen for key, seen in by_machine.items() if machines[key].efficiency is not None}
    return found + [_efficiency(key, machines[key], seen) for key, seen in handbook.items()]


def _hoppers(actuals: Actuals) -> list[Coefficient]:
    """What a hopper holds: as weighed, or else what was delivered by what was counted."""
    made = []
    counted = [use for use in actuals.uses if use.record.kind == "hopper"]
    for key in dict.fromkeys(use.key for use in counted):
        mine = [use for use in counted if use.key == key]
        unit = mine[0].unit
        weighed = [(use.amount, use.hopper) for use in mine if use.hopper is not None and use.amount > 0]
        if weighed:
            mean = sum(n * holds for n, holds in weighed) / sum(n for n, _ in weighed)
            spread = _deviation([holds for _, holds in weighed])
            made.append(Coefficient("hopper", None, key, mean, unit, spread, len(weighed), len(weighed)))
        for job in dict.fromkeys(use.job for use in mine):
            tickets = [use for use in actuals.uses if _is_ticket(use, key, job)]
            counts = [use for use in mine if use.job == job]
            number = sum(use.amount for use in counts)
            if tickets and number > 0:
                mean = sum(use.amount for use in tickets) / number
                records = len(tickets) + len(counts)
                made.append(Coefficient("hopper by tickets", job or None, key, mean, unit, None, records, 1))
    return made


def _is_ticket(use: Use, key: str, job: str) -> bool:
    return use.record.kind == "delivery" and (use.key, use.job) == (key, job)


def _observations(takeoff: Takeoff, uses: Sequence[Use]) -> list[_Observation]:
    """What the uses of one job and resource say, day by day and ground by ground."""
    first = uses[0]
    needs = [
        (need, one, counts.sum())
        for need, one, counts in zip(takeoff.needs, takeoff.quantity, takeoff.counts, strict=True)
        if (need.job.name, need.resource, need.key) == (first.job, first.resource, first.key)
    ]
    if not needs:
        return []
    worked = needs[0][0].on
    one = sum(quantity for _, quantity, _ in needs)
    if any(use.record.kind == "delivery" and not use.placed for use in uses):
        times = needs[0][2]
        groups = {"year": (list(uses), worked, times)}
    else:
        groups: dict[Any, Any] = {}
        for use in uses:
            ground = worked & use.on
            groups.setdefault((use.record.day, ground.tobytes()), ([], ground, 1.0))[0].append(use)
    seen = []
    for found, ground, times in groups.values():
        area = float(takeoff.ground.net_m2[ground].sum()) * times
        if area > 0:
            planned = float(np.asarray(one)[:-1][ground].sum()) * times
            edge = float(takeoff.ground.perimeter_m[ground].sum()) * times
            seen.append(_Observation(sum(use.amount for use in found), planned, area, edge, len(found)))
    return seen


def _rates(takeoff: Takeoff, job: str, key: str, unit: str, seen: list[_Observation]) -> list[Coefficient]:
    """The rate, and the figure of the job that would give it with all its others as they are."""
    setting = next(one for one in takeoff.settings.job if one.name == job)
    if getattr(setting, "mix_per_round", None) is not None:  # goes by rounds, not by ground
        return []
    amount, area, planned = (sum(getattr(one, name) for one in seen) for name in ("amount", "area_m2", "planned"))
    records = sum(one.records for one in seen)
    spread = _deviation([one.amount / one.area_m2 for one in seen])
    rate = Coefficient(
        "rate", job, key, amount / area, _PER_M2[unit], spread, records, len(seen), planned / area if planned else None
    )
    name = _FIGURES.get(setting.work)
    figure = getattr(setting, name) if name else None
    if figure is None or not name or planned <= 0 or figure.mean <= 0:
        return [rate]
    value = figure.mean * amount / planned
    ratios = [one.amount / one.planned * figure.mean for one in seen if one.planned > 0]
    spread = _deviation(ratios)
    line, remark = "", ""
    if value <= 0:
        remark = "nothing was used, so there is nothing to propose"
    elif name == "fill" and value > 1:
        remark = "more than the holes hold: look at depth, overthrow, moisture and loss before believing it"
    else:
        line = f'{name} = "{_written(value, spread, setting.work)}"'
    label = name if name != "rate" else "rate to set"
    unit = {"depth": "m", "fill": "share"}.get(name, _PER_M2[unit])
    table = f'[[job]] name = "{job}"'
    return [
        rate,
        Coefficient(label, job, key, value, unit, spread, records, len(seen), figure.mean, table, line, remark),
    ]


def _hours(job: str, key: str, seen: list[_Observation]) -> Coefficient:
    """Hours for a hectare once over, driving and waiting in them as far as the meter ran."""
    seconds, area, planned = (sum(getattr(one, name) for one in seen) for name in ("amount", "area_m2", "planned"))
    per = 1e4 / 3600
    spread = _deviation([one.amount / one.area_m2 * per for one in seen])
    records = sum(one.records for one in seen)
    expected = planned / area * per if planned else None
    value = seconds / area * per
    return Coefficient("hours per hectare", job, key or None, value, "h/ha", spread, records, len(seen), expected)


def _efficiency(key: str, machine: Machine, seen: list[_Observation]) -> Coefficient:
    """
    Field efficiency that makes the handbook's time that of the meter.

    What the plan counts besides (clean-up, emptying, driving) is taken off first; where the plan goes by the shape,
    the clean-up passes alone.
    """
    by_shape = Mower.of(key, machine).method == "shape"

    def reached(amount: float, planned: float, area: float, edge: float) -> float:
        cut = (machine.width, machine.speed, 1.0, machine.overlap)
        cutting, clean_up = mowing_time(area, edge * machine.clean_up, *cut)
        full = float(cutting) / (1.0 - machine.waiting)
        left = amount - (float(clean_up) if by_shape else planned - full / (machine.efficiency or 1.0))
        return full / left if left > 0 else float("inf")

    names = ("amount", "planned", "area_m2", "edge_m")
    value = reached(*(sum(getattr(one, name) for one in seen) for name in names))
    spread = _deviation([reached(*(getattr(one, name) for name in names)) for one in seen])
    records = sum(one.records for one in seen)
    line, remark = "", ""
    if 0 < value <= 1:
        line = f'efficiency = "{_digits(value * 100)} %"'
    else:
        remark = "faster than width and speed allow: look at both, and at whether all hours were written down"
    return Coefficient(
        "efficiency",
        None,
        key,
        value,
        "share",
        spread,
        records,
        len(seen),
        machine.efficiency,
        f"[machine.{key}]",
        line,
        remark,
    )


def _written(value: float, spread: float | None, work: str) -> str:
    """A figure as the settings take it; with its spread where that is less than the figure."""
    name = _FIGURES[work]
    factor, unit = {"depth": (1e3, "mm"), "fill": (1e2, "%")}.get(name, (1e3, "g/m2"))
    if work == "spray":
        factor, unit = 1e7, "l/ha"
    text = f"{_digits(value * factor)} {unit}"
    if spread and spread < value and _digits(spread * factor) != "0":
        text += f" ± {_digits(spread * factor, 2)} {unit}"
    return text


def _digits(value: float, digits: int = 3) -> str:
    """So many significant digits, never with an exponent."""
    text = np.format_float_positional(value, precision=digits, fractional=False, trim="-")
    return text.rstrip(".")


def _deviation(values: Sequence[float]) -> float | None:
    """Standard deviation of single values; None for fewer than two, or where one of them has no meaning."""
    if len(values) < 2 or not all(isfinite(value) for value in values):
        return None
    mean = sum(values) / len(values)
    return sqrt(sum((value - mean) ** 2 for value in values) / (len(values) - 1))
