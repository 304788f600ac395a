"""
Plan and actual: what records say was used, beside what the take-off planned, by job and by patch.

Tickets say how much came; hopper counts say where it went. Where a job has both of a material, the counts are scaled to
the tickets. What a record does not place is shared out by the plan, and said to be.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from datetime import date

import numpy as np

from turfgis.errors import SettingsError
from turfgis.estimates.takeoff import Takeoff
from turfgis.estimates.uses import Use, read_uses
from turfgis.layers.records import Record

Key = tuple[str, str, str]  # job, resource, its name


@dataclass(eq=False)
class Line:
    """
    One job and resource.

    Attributes
    ----------
    job, resource, key, unit
        As in the take-off; job "" for what no job of the plan takes.
    planned, actual
        On each patch and, last, on no patch. Shape (n + 1,).
    shared
        Part of the actual that no record placed on one patch.
    records
        How many records stand behind it.
    """

    job: str
    resource: str
    key: str
    unit: str
    planned: np.ndarray
    actual: np.ndarray
    shared: np.ndarray
    records: set[int] = field(default_factory=set)


@dataclass(frozen=True, eq=False)
class Actuals:
    """
    Plan and actual of a year.

    Attributes
    ----------
    takeoff
        The plan, up to the day where there is one.
    lines
        Jobs and resources of which there are records, in the order of the plan.
    spent
        What was used, record by record, hoppers turned into amounts.
    uses
        All records as they stand.
    unrecorded
        Job and resource of what was planned and has no record.
    remarks
        Plain sentences on what was read otherwise than it may have been meant.
    until
        The last day that plan and records are held against each other; None for the whole year.
    """

    takeoff: Takeoff
    lines: tuple[Line, ...]
    spent: tuple[Use, ...]
    uses: tuple[Use, ...]
    unrecorded: tuple[tuple[str, str], ...]
    remarks: tuple[str, ...]
    until: date | None = None


def estimate_actuals(takeoff: Takeoff, records: Iterable[Record], until: date | None = None) -> Actuals:
    """
    Hold records against the plan.

    Parameters
    ----------
    takeoff
        The plan of the whole year.
    records
        Deliveries, hopper counts and hours.
    until
        Hold only what is planned and recorded up to the end of this day against each other; None for all.

    Returns
    -------
    Planned and actual amounts, line by line.

    Raises
    ------
    SettingsError
        A record names what the course does not have, or a hopper holds nobody knows what.
    """
    records, remarks = list(records), []
    if until is not None:
        takeoff, given = takeoff.until(until), len(records)
        records = [one for one in records if one.day <= until]
        if len(records) < given:
            remarks.append(f"{given - len(records)} of {given} records lie after {until} and are left out.")
    uses = read_uses(takeoff, records)
    spent = [use for use in uses if use.resource != "material"]
    for material in dict.fromkeys(use.key for use in uses if use.resource == "material"):
        spent += _spent([use for use in uses if use.resource == "material" and use.key == material], remarks)
    lines = planned_lines(takeoff)
    for use in spent:
        _put(takeoff, lines, use)
    for use in uses:  # a ticket that only says how much the hoppers held stands behind the line as well
        for key in [key for key in lines if key[1:] == (use.resource, use.key) and key[0] == use.job]:
            lines[key].records.add(id(use.record))
    found = [line for line in lines.values() if line.records]
    missing = tuple(
        (line.job, line.key or line.resource) for line in lines.values() if line.planned.any() and not line.records
    )
    year = takeoff.settings.year
    outside = sum(year is not None and use.record.day.year != year for use in uses)
    if outside:
        remarks.append(f"{outside} of {len(uses)} records lie outside {year}; they are counted all the same.")
    return Actuals(takeoff, tuple(found), tuple(spent), tuple(uses), missing, tuple(remarks), until)


def planned_lines(takeoff: Takeoff) -> dict[Key, Line]:
    """The plan, a line for each job and each material, machine or people; purchases and contractors are left out."""
    lines: dict[Key, Line] = {}
    for need, one, counts in zip(takeoff.needs, takeoff.quantity, takeoff.counts, strict=True):
        if need.resource in ("material", "machine", "labour"):
            key = (need.job.name, need.resource, need.key)
            if key not in lines:
                lines[key] = _empty(key, need.unit, len(one))
            lines[key].planned += one * counts.sum()
    return lines


def _empty(key: Key, unit: str, size: int) -> Line:
    return Line(*key, unit, np.zeros(size), np.zeros(size), np.zeros(size))


def _spent(uses: list[Use], remarks: list[str]) -> list[Use]:
    """Deliveries and hoppers of one material as amounts, each amount once."""
    tickets: dict[str, list[Use]] = defaultdict(list)
    counts: dict[str, list[Use]] = defaultdict(list)
    for use in uses:
        (tickets if use.record.kind == "delivery" else counts)[use.job].append(use)
    yard = tickets.pop("", [])
    spent = [use for job, found in tickets.items() if job not in counts for use in found]
    for job in [job for job in counts if job in tickets]:
        spent += _filled(counts.pop(job), sum(use.amount for use in tickets[job]), scaled=True)
    if tickets and counts.pop("", None):
        remarks.append(
            f"Hopper counts of {uses[0].key} without a job are not counted as used: tickets that name jobs say it; "
            "fill in the job to tell where it went."
        )
    loose = [use for found in counts.values() for use in found]
    if not loose:
        return spent + yard
    if yard and any(use.hopper for use in loose):
        remarks.append(
            f"Deliveries of {yard[0].key} without a job are not counted as used: hopper counts say what was used."
        )
    return spent + _filled(loose, sum(use.amount for use in yard), scaled=False)


def _filled(uses: list[Use], delivered: float, scaled: bool) -> list[Use]:
    """Hoppers as amounts; what one holds comes from the counts themselves, or else from what was delivered."""
    weighed = [(use.amount, use.hopper) for use in uses if use.hopper is not None]
    number = sum(use.amount for use in uses)
    known = sum(count for count, _ in weighed)
    if known:
        usual = sum(count * holds for count, holds in weighed) / known
    elif delivered > 0 and number > 0:
        usual = delivered / number
    elif number == 0:
        usual = 0.0
    else:
        raise SettingsError(
            f"{uses[0].record.at('hopper')}: nobody knows what a hopper holds; write it under hopper, such as 800 kg, "
            "or add the deliveries of the job"
        )
    amounts = [use.amount * (usual if use.hopper is None else use.hopper) for use in uses]
    total = sum(amounts)
    factor = delivered / total if scaled and total > 0 else 1.0
    return [replace(use, amount=amount * factor) for use, amount in zip(uses, amounts, strict=True)]


def _put(takeoff: Takeoff, lines: dict[Key, Line], use: Use) -> None:
    """Add a use to the lines it may belong to, in proportion to what was planned there."""
    there = {key: line for key, line in lines.items() if key[1:] == (use.resource, use.key)}
    if use.job:
        there = {key: line for key, line in there.items() if key[0] == use.job}
    mask = np.append(use.on, not use.placed)
    shares = {key: np.where(mask, line.planned, 0.0) for key, line in there.items()}
    total = sum(share.sum() for share in shares.values())
    if total <= 0:  # on ground, or of a thing, that the plan knows nothing of
        key = (use.job, use.resource, use.key)
        lines.setdefault(key, _empty(key, use.unit, len(mask)))
        ground = np.append(np.where(use.on, takeoff.ground.net_m2, 0.0), 0.0)
        if not use.placed:
            ground = np.append(np.zeros(len(use.on)), 1.0)
        shares, total = {key: ground}, ground.sum()
    cells = sum(int(np.count_nonzero(share)) for share in shares.values())
    for key, share in shares.items():
        if share.any():
            part = use.amount * share / total
            lines[key].actual += part
            lines[key].shared += part if cells > 1 else 0.0
            lines[key].records.add(id(use.record))


def job_rows(actuals: Actuals) -> list[dict]:
    """
    Variance by job and resource.

    Returns
    -------
    Rows with ``job``, ``resource``, ``of`` (the material or machine), ``unit``, ``planned``, ``actual``,
    ``difference``, ``difference_share`` (of the plan; None where nothing was planned) and ``records``.
    """
    return [
        {**_head(line), **_variance(line.planned.sum(), line.actual.sum()), "records": len(line.records)}
        for line in actuals.lines
    ]


def patch_rows(actuals: Actuals) -> list[dict]:
    """Variance by job, resource and patch, as :func:`job_rows`; ``shared`` is what no record placed on one patch."""
    ground = actuals.takeoff.ground
    names = ([*ground.patch, None], [*ground.surface, None], [*ground.hole, None])
    rows = []
    for line in actuals.lines:
        for at in np.flatnonzero((line.planned != 0) | (line.actual != 0)):
            patch, surface, hole = (column[at] for column in names)
            where = {"patch": patch, "surface": surface, "hole": hole}
            variance = _variance(line.planned[at], line.actual[at])
            rows.append({**_head(line), **where, **variance, "shared": float(line.shared[at])})
    return rows


def _head(line: Line) -> dict:
    return {"job": line.job or None, "resource": line.resource, "of": line.key or None, "unit": line.unit}


def _variance(planned: float, actual: float) -> dict:
    difference = float(actual - planned)
    return {
        "planned": float(planned),
        "actual": float(actual),
        "difference": difference,
        "difference_share": difference / float(planned) if planned else None,
    }
