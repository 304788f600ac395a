"""A record held against the course: which job, ground, material or machine it means, and how much in SI."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from turfgis.errors import InputError, SettingsError
from turfgis.estimates.takeoff import Takeoff
from turfgis.layers.records import Record, near, one_message
from turfgis.layers.words import hole_text
from turfgis.settings.models import Material
from turfgis.units import to_si

_KINDS = {"kg": "mass", "m3": "volume", "m2": "area"}


@dataclass(frozen=True, eq=False)
class Use:
    """
    What a record says, on this course.

    Attributes
    ----------
    record
        The record.
    job
        The job, or "" where it says none.
    resource, key, unit
        As in the take-off: ``material``, ``machine`` or ``labour``, its name, and ``kg``, ``m3``, ``m2`` or ``s``.
    amount
        Quantity in that unit; of hoppers their number.
    hopper
        What one hopper holds, in that unit; None where it is not said.
    on
        Patches that it may be about. Shape (n,).
    placed
        Whether it names a patch, a hole or a surface.
    """

    record: Record
    job: str
    resource: str
    key: str
    unit: str
    amount: float
    hopper: float | None
    on: np.ndarray
    placed: bool


def read_uses(takeoff: Takeoff, records: Iterable[Record]) -> list[Use]:
    """
    Hold records against the jobs, materials, machines and patches that there are.

    Parameters
    ----------
    takeoff
        The plan.
    records
        What was read.

    Returns
    -------
    One use for each record, in the same order.

    Raises
    ------
    SettingsError
        Something is not known on the course, or is measured in another way: one line for each cell.
    """
    uses, problems = [], []
    for record in records:
        try:
            uses.append(_use(takeoff, record))
        except InputError as error:
            problems.append(one_message(str(error)))
    if problems:
        raise SettingsError("\n".join(dict.fromkeys(problems)))
    return uses


def _use(takeoff: Takeoff, record: Record) -> Use:
    job = _named(record, "job", [one.name for one in takeoff.settings.job])
    on = _ground(takeoff, record)
    placed = bool(record.patch or record.hole or record.surface)
    if record.kind == "hours":
        key = _machine(takeoff, record, job)
        seconds = _si(record, "quantity", f"{record.amount!r} {record.unit}", "time")
        return Use(record, job, "machine" if key else "labour", key, "s", seconds, None, on, placed)
    key = _material(takeoff, record, job)
    material = takeoff.settings.material[key]
    if record.kind == "delivery":
        amount, hopper = _delivered(record, material), None
    else:
        amount, hopper = _counted(record), None
        if record.hopper:
            hopper = _measured(record, "hopper", record.hopper, material)
            if hopper <= 0:
                raise InputError(f"{record.at('hopper')}: '{record.hopper}' must be above zero")
    return Use(record, job, "material", key, material.base, amount, hopper, on, placed)


def _named(record: Record, column: str, there: list[str]) -> str:
    """The name in a column, as the course writes it; "" where there is none."""
    given = getattr(record, column)
    if not given or given in there:
        return given
    alike = [name for name in there if name.strip().casefold() == given.casefold()]
    if len(alike) == 1:
        return alike[0]
    listed = f" (there are: {', '.join(there)})" if 0 < len(there) <= 30 else "" if there else " (there are none)"
    raise InputError(f"{record.at(column)}: no {column} '{given}'{near(given, there)}{listed}")


def _ground(takeoff: Takeoff, record: Record) -> np.ndarray:
    ground = takeoff.ground
    on = np.ones(len(ground), dtype=bool)
    for column, values in (("patch", ground.patch), ("hole", ground.hole), ("surface", ground.surface)):
        there = list(dict.fromkeys(str(value) for value in values if value is not None))
        if column == "hole" and record.hole:
            hole = hole_text(record.hole)
            name = hole if hole in there else _named(record, column, there)
        else:
            name = _named(record, column, there)
        if name:
            on &= values == name
            if not on.any():
                raise InputError(f"{record.at(column)}: {_where(record)}: there is no such patch; correct one of them")
    return on


def _where(record: Record) -> str:
    said = {name: getattr(record, name) for name in ("patch", "hole", "surface")}
    return ", ".join(f"{name} '{value}'" for name, value in said.items() if value)


def _machine(takeoff: Takeoff, record: Record, job: str) -> str:
    key = _named(record, "machine", list(takeoff.settings.machine))
    planned = _job(takeoff, job).machine if job else key
    if key and planned != key:
        does = f"has the machine '{planned}'" if planned else "has no machine"
        raise InputError(f"{record.at('machine')}: job '{job}' {does} in the settings, not '{key}'; {_MEND}")
    return key


_MEND = "correct one of them, or leave the job empty"


def _material(takeoff: Takeoff, record: Record, job: str) -> str:
    key = _named(record, "material", list(takeoff.settings.material))
    used = list(_job(takeoff, job).uses.values()) if job else list(takeoff.settings.material)
    if not key:
        if job and len(used) == 1:
            return used[0]
        listed = f" (one of: {', '.join(used)})" if used else f"; job '{job}' takes none" if job else ""
        raise InputError(f"{record.at('material')}: the material is missing{listed}")
    if key not in used:
        takes = f"takes {' and '.join(used)}" if used else "takes no material"
        raise InputError(f"{record.at('material')}: job '{job}' {takes} in the settings, not {key}; {_MEND}")
    return key


def _job(takeoff: Takeoff, name: str):
    return next(one for one in takeoff.settings.job if one.name == name)


def _delivered(record: Record, material: Material) -> float:
    word = "load" if material.kind == "sand" else "pack"
    if record.unit.casefold() in (word, word + "s"):
        if not material.unit_size:
            raise InputError(f"{record.at('quantity')}: the settings do not say what a {word} of it holds; add {word}")
        return record.amount * material.unit_size
    return _measured(record, "quantity", f"{record.amount!r} {record.unit}", material)


def _measured(record: Record, column: str, text: str, material: Material) -> float:
    """An amount of a material in its base unit; a liquid may be weighed where its density is known."""
    density = getattr(material, "density", None)
    if material.base == "m3" and density:
        try:
            return to_si(text, "volume")
        except InputError:
            try:
                return to_si(text, "mass") / density
            except InputError:
                pass
    return _si(record, column, text, _KINDS[material.base])


def _counted(record: Record) -> float:
    if record.unit and record.unit.casefold() not in ("hopper", "hoppers"):
        raise InputError(
            f"{record.at('unit')}: '{record.unit}' does not count hoppers; write how many, and what one holds under "
            "hopper; or make it a delivery"
        )
    return record.amount


def _si(record: Record, column: str, text: str, kind: str) -> float:
    try:
        return to_si(text.strip(), kind)
    except InputError as error:
        at = "unit" if column == "quantity" and "unit" in record.letters and record.unit else column
        raise InputError(f"{record.at(at)}: {error}") from None
