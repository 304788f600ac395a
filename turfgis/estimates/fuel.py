"""Fuel for an hour of a machine: as the club has measured it, or by its power."""

from __future__ import annotations

from turfgis.formulas.fuel import diesel_rate_at_load, diesel_rate_average, petrol_rate_at_load, petrol_rate_average
from turfgis.settings.models import CourseSettings, Machine

_BY_POWER = {
    "diesel": (diesel_rate_average, diesel_rate_at_load),
    "petrol": (petrol_rate_average, petrol_rate_at_load),
}


def fuel_rate(machine: Machine, settings: CourseSettings) -> tuple[float, str] | None:
    """
    Fuel of a machine in a unit of time.

    Parameters
    ----------
    machine, settings
        The machine, and the settings, for what its fuel is.

    Returns
    -------
    Rate [m3/s], and where it comes from: ``measured``, ``by power and load`` or ``by power``; None where the settings
    say too little.
    """
    if machine.fuel is not None:
        return machine.fuel, "measured"
    kind = settings.fuel[machine.burns].kind if machine.burns in settings.fuel else None
    formulas = _BY_POWER.get(kind or machine.burns)
    if machine.power is None or formulas is None:
        return None
    average, at_load = formulas
    if machine.load is None:
        return float(average(machine.power)), "by power"
    return float(at_load(machine.power, machine.load)), "by power and load"
