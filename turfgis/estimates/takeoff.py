"""The take-off: one row for every job, patch and resource. Everything else is a sum of it."""

from __future__ import annotations

import numpy as np
import pandas as pd

from turfgis.estimates.course import Course, members
from turfgis.estimates.mowing import Mower, estimate_mowing
from turfgis.estimates.needs import estimate_need, material_factors
from turfgis.formulas.chance import product_moments
from turfgis.settings.models import Mow

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
    patches = course.measured.patches
    tables = []
    for job in settings.job:
        if isinstance(job, Mow):
            machine = settings.machine[job.machine]
            mower = Mower(job.machine, machine.width, machine.overlap, machine.speed, machine.efficiency, tuple(job.on))
            chosen = patches.loc[members(course, job.on, job.holes, job.patches), "patch"]
            rows = estimate_mowing(course, [mower])
            rows = rows[rows["patch"].isin(chosen)]
            tables.append(
                rows[["patch", "surface", "hole", "net_m2"]].assign(
                    job=job.name,
                    group=job.group,
                    work=job.work,
                    treated_m2=rows["net_m2"],
                    resource="machine",
                    material=job.machine,
                    quantity=rows["minutes"] * 60 * job.times,
                    unit="s",
                    u_quantity=np.nan,
                    cost=np.nan,
                )
            )
        elif job.material is not None:
            tables.append(_material_rows(course, job, patches))
    if not tables:
        return pd.DataFrame({name: [] for name in COLUMNS})
    return pd.concat(tables, ignore_index=True)[list(COLUMNS)]


def _material_rows(course: Course, job, patches: pd.DataFrame) -> pd.DataFrame:
    material = course.needs_settings("a take-off needs jobs").material[job.material]
    need = estimate_need(course, job, material)
    dry, delivered = material_factors(material)
    factors = [*dry.values(), *delivered.values(), *need.own.values()]
    mean, variance = product_moments(factors)
    chosen = patches[need.on]
    treated = need.treated_m2[need.on]
    area_variance = chosen["u_own_m2"].to_numpy() ** 2 + chosen["u_bias_m2"].to_numpy() ** 2
    beyond_variance = need.beyond_m2[need.on] ** 2 * need.beyond.variance
    spread = variance * treated**2 + (mean**2 + variance) * (area_variance + beyond_variance)
    kg = mean * need.times * treated
    price = material.price
    per_kg = np.nan if price is None else price.per_kg if price.per_kg is not None else price.amount / material.pack
    return chosen[["patch", "surface", "hole", "net_m2"]].assign(
        job=job.name,
        group=job.group,
        work=job.work,
        treated_m2=treated,
        resource="material",
        material=job.material,
        quantity=kg,
        unit="kg",
        u_quantity=np.sqrt(spread) * need.times,
        cost=kg * per_kg,
    )
