"""What each job needs of a material: a product of figures, over the ground it treats."""

from __future__ import annotations

from dataclasses import dataclass, field
from math import nan

import numpy as np

from turfgis.estimates.course import Course, members
from turfgis.formulas.chance import Figure, product_moments
from turfgis.formulas.seed import pure_live_seed
from turfgis.formulas.tines import hole_area_share, hole_volume
from turfgis.measure.strips import overthrow_areas
from turfgis.settings.models import (
    Fertilise,
    Fertiliser,
    HollowTine,
    Job,
    Material,
    Mow,
    Overseed,
    Sand,
    Seed,
    SolidTine,
    Topdress,
)

Factors = dict[str, Figure]


@dataclass(frozen=True)
class Need:
    """
    What one job needs of one material.

    Attributes
    ----------
    job
        The job.
    on
        Which patches, as bool. Shape (n,).
    net_m2, beyond_m2
        Ground of each patch, and ground past its edge that the material lands on as well. [m2] Shape (n,), 0 elsewhere.
    own
        Figures of the job whose product is the amount over a square metre: of sand its depth [m], of seed and
        fertiliser the weight of product [kg/m2].
    beyond
        How far the ground past the edge may be out, as a factor with mean 1.
    times
        How often the job is done.
    """

    job: Job
    on: np.ndarray
    net_m2: np.ndarray
    beyond_m2: np.ndarray
    own: Factors
    beyond: Figure = field(default_factory=lambda: Figure(1.0))
    times: int = 1

    @property
    def treated_m2(self) -> np.ndarray:
        """Ground that the material really lands on. [m2] Shape (n,)."""
        return self.net_m2 + self.beyond_m2

    @property
    def per_m2(self) -> float:
        """Mean of the product of the job's own figures, all rounds together."""
        return product_moments(list(self.own.values()))[0] * self.times


def estimate_need(course: Course, job: Job, material: Material) -> Need:
    """
    What a job needs of its material.

    Parameters
    ----------
    course
        The course, for its patches.
    job, material
        One of its jobs, and the material that it names.

    Returns
    -------
    The need, patch by patch.
    """
    on = members(course, job)
    table = course.measured.patches
    net = np.where(on, table["net_m2"].to_numpy(), 0.0)
    beyond, factor = np.zeros(len(net)), Figure(1.0)
    overthrow = None if isinstance(job, Mow) else job.overthrow
    if overthrow is not None and overthrow.share is not None and overthrow.share.mean > 0:
        beyond, factor = net * overthrow.share.mean, overthrow.share.scaled(1 / overthrow.share.mean)
    elif overthrow is not None and overthrow.reach is not None and overthrow.reach.mean > 0:
        beyond[on] = overthrow_areas(table.geometry.to_numpy()[on], overthrow.reach.mean)
        factor = overthrow.reach.scaled(1 / overthrow.reach.mean)
    return Need(job, on, net, beyond, _own_factors(job, material), factor, job.times)


def _own_factors(job: Job, material: Material) -> Factors:
    if isinstance(job, HollowTine | SolidTine):
        share = float(hole_area_share(job.tine, *job.spacing))
        return {"share opened": Figure(share), "depth of holes": job.depth, "fill": job.fill}
    if isinstance(job, Topdress):
        return {"depth": job.depth}
    if isinstance(job, Overseed) and isinstance(material, Seed):
        live = float(pure_live_seed(material.purity, material.germination)) if job.rate_of == "live seed" else 1.0
        return {"rate": job.rate, "seed for each of live seed": Figure(1 / live)}
    if isinstance(job, Fertilise) and isinstance(material, Fertiliser):
        shares = {str(name): share for name, share in material.analysis.items()}
        content = shares[job.nutrient] if job.nutrient else 1.0
        return {"rate": job.rate, "product for each of nutrient": Figure(1 / content)}
    raise TypeError(f"{job.work} does not use {material.kind}")


def material_factors(material: Material) -> tuple[Factors, Factors]:
    """
    Figures of a material that all its jobs share.

    Returns
    -------
    dry, delivered
        Factors from the amount over a square metre to the dry weight [kg], and from that to the weight delivered.
    """
    if isinstance(material, Sand):
        dry = {"bulk density": material.bulk_density}
        return dry, {"moisture": material.moisture.shifted(1.0), "storage loss": material.storage_loss.shifted(1.0)}
    return {}, {}


def price_per_kg(material: Material) -> float:
    """What a kilogram of it costs; NaN where the settings give no price."""
    if material.price is None:
        return nan
    if material.price.per_kg is not None:
        return material.price.per_kg
    return nan if isinstance(material, Sand) or material.pack is None else material.price.amount / material.pack


def cores_volume(course: Course, jobs: list[Job]) -> float:
    """Volume of the cores that hollow tines leave on top, as they come out of the ground. [m3]"""
    total = 0.0
    for job in jobs:
        if isinstance(job, HollowTine):
            on = members(course, job)
            area = float(course.measured.patches.loc[on, "net_m2"].sum())
            total += area * float(hole_volume(job.tine, *job.spacing, job.depth.mean)) * job.times
    return total
