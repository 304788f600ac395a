"""The take-off: one row for every job, patch and resource. Everything else is a sum of it."""

from __future__ import annotations

from typing import Any

import numpy as np
import pandas as pd

from turfgis.estimates.course import Course, members
from turfgis.estimates.mowing import Mower, estimate_mowing
from turfgis.estimates.needs import estimate_need, material_factors, price_per_kg
from turfgis.formulas.chance import product_moments
from turfgis.settings.models import Job, Machine, Material, Mow

COLUMNS = (
    "job",
    "group",
    "work",
    "patch",
    "surface",
    "hole",
    "net_m2",
    "treated_m2",
    "resource",
    "material",
    "quantity",
    "unit",
    "u_quantity",
    "cost",
)


def estimate_takeoff(course: Course) -> pd.DataFrame:
    """
    What every job needs on every patch.

    Parameters
    ----------
    course
        A course with settings.

    Returns
    -------
    Table with the columns :data:`COLUMNS`. Materials in kg as delivered, machines in s. ``u_quantity`` is the
    standard uncertainty of the row by itself; rows share figures, so it does not add up over rows.
    """
    settings = course.needs_settings("a take-off needs jobs")
    tables = []
    for job in settings.job:
        if isinstance(job, Mow):
            tables.append(_machine_rows(course, job, settings.machine[job.machine]))
        elif job.material is not None:
            tables.append(_material_rows(course, job, settings.material[job.material]))
    if not tables:
        return pd.DataFrame({name: [] for name in COLUMNS})
    return pd.concat(tables, ignore_index=True)


def _rows(course: Course, job: Job, on: np.ndarray, columns: dict[str, Any]) -> pd.DataFrame:
    """The patches of a job, and what it needs on each."""
    patches = course.measured.patches.loc[on, ["patch", "surface", "hole", "net_m2"]]
    table = {"job": job.name, "group": job.group, "work": job.work, **{name: patches[name] for name in patches}}
    return pd.DataFrame({**table, **columns}, columns=list(COLUMNS))


def _machine_rows(course: Course, job: Mow, machine: Machine) -> pd.DataFrame:
    mower = Mower(job.machine, machine.width, machine.overlap, machine.speed, machine.efficiency, tuple(job.on))
    on, rows = members(course, job), estimate_mowing(course, [mower]).set_index("patch")
    chosen = course.measured.patches.loc[on]
    minutes = rows.loc[chosen["patch"].to_numpy(), "minutes"].to_numpy(dtype=float)
    return _rows(
        course,
        job,
        on,
        {
            "treated_m2": chosen["net_m2"],
            "resource": "machine",
            "material": job.machine,
            "quantity": minutes * 60 * job.times,
            "unit": "s",
            "u_quantity": np.nan,
            "cost": np.nan,
        },
    )


def _material_rows(course: Course, job: Job, material: Material) -> pd.DataFrame:
    need = estimate_need(course, job, material)
    dry, delivered = material_factors(material)
    mean, variance = product_moments([*dry.values(), *delivered.values(), *need.own.values()])
    treated, beyond = need.treated_m2[need.on], need.beyond_m2[need.on]
    chosen = course.measured.patches.loc[need.on]
    area_variance = chosen["u_own_m2"].to_numpy(dtype=float) ** 2 + chosen["u_bias_m2"].to_numpy(dtype=float) ** 2
    spread = variance * treated**2 + (mean**2 + variance) * (area_variance + beyond**2 * need.beyond.variance)
    kg = mean * need.times * treated
    return _rows(
        course,
        job,
        need.on,
        {
            "treated_m2": treated,
            "resource": "material",
            "material": job.material if not isinstance(job, Mow) else None,
            "quantity": kg,
            "unit": "kg",
            "u_quantity": np.sqrt(spread) * need.times,
            "cost": kg * price_per_kg(material),
        },
    )
