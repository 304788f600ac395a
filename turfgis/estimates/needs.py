"""What each job needs of a material, a machine or people: a product of figures over some ground."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace

import numpy as np

from turfgis.errors import SettingsError
from turfgis.estimates.course import Course
from turfgis.estimates.fuel import fuel_rate
from turfgis.estimates.programme import Occurrence, occurrences
from turfgis.estimates.rounds import carrier_of, round_seconds
from turfgis.estimates.sprayed import beyond_edges, overlap_share, rest_area, sprayed_ground, worked
from turfgis.estimates.tanks import Tanks, lay_tanks
from turfgis.estimates.times import Mower, patch_times
from turfgis.estimates.works import Factors, material_rate
from turfgis.formulas.chance import Figure, product_moments
from turfgis.formulas.tines import hole_volume
from turfgis.layers.findings import listed
from turfgis.measure.strips import overthrow_areas
from turfgis.settings.models import (
    Contractor,
    CourseSettings,
    Edge,
    HollowTine,
    Job,
    Machine,
    Material,
    Mow,
    Purchase,
    Sand,
    Spray,
)


@dataclass(frozen=True)
class Need:
    """
    What one job needs of one resource.

    Attributes
    ----------
    job
        The job.
    on
        Which patches, as bool. Shape (n,).
    net_m2, beyond_m2
        Ground of each patch; and ground past its edge that the material lands on as well, or that a boom covers twice.
        [m2] Shape (n,), 0 elsewhere.
    own
        Figures whose product is the amount over one unit of ground: of sand its depth [m] over a square metre, of seed
        and fertiliser the weight of product [kg/m2], of a liquid its volume [m3/m2]; of time none.
    beyond
        How far the ground past the edge may be out, as a factor with mean 1.
    times
        How often the job is done in all.
    resource
        ``material``, ``machine``, ``labour``, ``fuel``, ``water``, ``purchase`` or ``contractor``.
    key
        Which material, machine or fuel; the job's own name for a purchase or a contractor; "" for labour.
    unit
        Of the quantity: ``kg``, ``m3``, ``m2``, ``s``, ``day`` or ``count``.
    ground
        What the figures go by on each patch; None for its net area. Shape (n,). Square metres, or metres of strip or
        edge, seconds of work, or shares of what is meant for the whole job.
    weights
        How much the ground of a patch grows with its net area; None for one to one. Shape (n,).
    elsewhere
        Part of the ground that is on no patch.
    lent
        Figures in ``own`` that belong to a material instead of the job -> the key of the material and the name there.
    slope_m2
        What the slope adds to the net area of each patch, where the job goes by the area along the ground. [m2]
        Shape (n,). It is part of ``ground``.
    kept_m2
        Ground of each patch that nothing is sprayed on; no part of ``ground``. [m2] Shape (n,).
    overlap_m2
        What of ``beyond_m2`` a boom covers twice. [m2] Shape (n,).
    idle_s
        Of a machine: what one who drives it needs besides, while it stands: set-up and filling up. [s] Shape (n,).
    """

    job: Job
    on: np.ndarray
    net_m2: np.ndarray
    beyond_m2: np.ndarray
    own: Factors
    beyond: Figure = field(default_factory=lambda: Figure(1.0))
    times: float = 1
    resource: str = "material"
    key: str = ""
    unit: str = "kg"
    ground: np.ndarray | None = None
    weights: np.ndarray | None = None
    elsewhere: float = 0.0
    lent: dict[str, tuple[str, str]] = field(default_factory=dict)
    slope_m2: np.ndarray | float = 0.0
    kept_m2: np.ndarray | float = 0.0
    overlap_m2: np.ndarray | float = 0.0
    idle_s: np.ndarray | float = 0.0

    @property
    def treated_m2(self) -> np.ndarray:
        """Ground that the material really lands on. [m2] Shape (n,)."""
        spot = self.own.get("area treated")
        if spot:
            return self.base * spot.mean
        return self.net_m2 - self.kept_m2 + self.slope_m2 + self.beyond_m2

    @property
    def base(self) -> np.ndarray:
        """What the figures go by on each patch, without what lies past its edge. Shape (n,)."""
        return self.net_m2 if self.ground is None else self.ground

    @property
    def slope(self) -> np.ndarray:
        """How much the base of a patch grows with its net area. Shape (n,)."""
        return self.on.astype(float) if self.weights is None else self.weights

    @property
    def per_m2(self) -> float:
        """Mean of the product of the job's own figures, all rounds together; over one unit of ground."""
        return product_moments(list(self.own.values()))[0] * self.times

    @property
    def amount(self) -> np.ndarray:
        """Mean on each patch, all rounds together, before the figures of the material. Shape (n,)."""
        return self.per_m2 * (self.base + self.beyond_m2)

    @property
    def total(self) -> float:
        """Mean of all patches and rounds together, before the figures of the material."""
        return float(self.amount.sum() + self.per_m2 * self.elsewhere)


def job_needs(course: Course, job: Job, occurring: Iterable[Occurrence] | None = None) -> list[Need]:
    """
    All that a job needs, one entry for each resource.

    Parameters
    ----------
    course
        The course, for its patches and settings.
    job
        One of its jobs.
    occurring
        When it is done; None to be worked out from the settings.

    Returns
    -------
    Materials, then machine, people, and what is bought as it is. People who drive are counted where the settings have
    a wage, or say how many drive the machine.
    """
    settings = course.needs_settings("a programme needs jobs")
    place = Place.of(course, job, settings, occurring)
    needs = _material_needs(place, job, settings)
    if job.machine is not None:
        needs += _machine_needs(place, job.machine, settings.machine[job.machine], settings)
    if job.crew_hours is not None:
        needs.append(place.whole("labour", "", "s", job.crew_hours))
    if job.crew_rate is not None:
        needs.append(place.by_area("labour", "", "s", job.crew_rate))
    if isinstance(job, Edge):
        if job.length is not None:
            needs.append(place.whole("labour", "", "s", job.length / job.speed))
        else:
            needs.append(place.fixed("labour", "", "s", place.perimeter_m / job.speed))
    if isinstance(job, Purchase):
        needs.append(place.whole("purchase", job.name, "count", job.count))
    if isinstance(job, Contractor):
        days = job.price.kind == "day" and job.days is not None
        by_days = place.whole("contractor", job.name, "day", job.days or 0.0) if days else None
        needs.append(by_days or place.sloped(place.need("contractor", job.name, "m2", {})))
    return needs


def material_needs(course: Course, job: Job, occurring: Iterable[Occurrence] | None = None) -> list[Need]:
    """What a job needs of materials alone, as the first of :func:`job_needs`."""
    settings = course.needs_settings("a programme needs jobs")
    return _material_needs(Place.of(course, job, settings, occurring), job, settings)


def _material_needs(place: Place, job: Job, settings: CourseSettings) -> list[Need]:
    return [_material_need(place, role, settings) for role in job.uses]


def estimate_need(course: Course, job: Job, material: Material | str) -> Need:
    """
    What a job needs of its material.

    Parameters
    ----------
    course
        The course, for its patches.
    job, material
        One of its jobs, and the material that it names or the key of it.

    Returns
    -------
    The need, patch by patch.
    """
    settings = course.needs_settings("a need needs materials and jobs")
    for role, key in job.uses.items():
        if key == material or settings.material[key] is material or settings.material[key] == material:
            return _material_need(Place.of(course, job, settings), role, settings)
    raise TypeError(f"{job.work} does not use it")


@dataclass(frozen=True)
class Place:
    """Where and how often a job is done, for its needs to be made from."""

    course: Course
    job: Job
    on: np.ndarray
    net_m2: np.ndarray
    times: float

    @classmethod
    def of(
        cls, course: Course, job: Job, settings: CourseSettings, occurring: Iterable[Occurrence] | None = None
    ) -> Place:
        """The place of a job."""
        on = worked(course, job)
        net = course.ground.once(("net", id(on)), lambda: np.where(on, course.ground.net_m2, 0.0))
        found = occurrences(job, settings) if occurring is None else occurring
        times = sum(one.times for one in found)
        return cls(course, job, on, net, int(times) if times == int(times) else times)

    @property
    def perimeter_m(self) -> np.ndarray:
        """Edges of the patches. [m] Shape (n,), 0 elsewhere."""
        return np.where(self.on, self.course.ground.perimeter_m, 0.0)

    @property
    def nothing(self) -> np.ndarray:
        """No ground at all. Shape (n,)."""
        return self.course.ground.once("nothing", lambda: np.zeros(len(self.on)))

    def need(self, resource: str, key: str, unit: str, own: Factors, **more) -> Need:
        """A need of this place."""
        more = {"beyond_m2": self.nothing, "times": self.times, **more}
        return Need(
            job=self.job, on=self.on, net_m2=self.net_m2, own=own, resource=resource, key=key, unit=unit, **more
        )

    def fixed(self, resource: str, key: str, unit: str, ground: np.ndarray, own: Factors | None = None) -> Need:
        """So much on each patch, whatever its area turns out to be."""
        return self.need(resource, key, unit, own or {}, ground=ground, weights=self.nothing)

    @property
    def factor(self) -> np.ndarray:
        """
        Area along the slope over the net area of each patch. Shape (n,), 1 elsewhere.

        Raises
        ------
        SettingsError
            The heights do not tell it of a patch.
        """
        relief = self.course.relief
        true = relief.table["true_m2"].to_numpy() if relief else np.full(len(self.on), np.nan)
        unknown = self.course.ground.patch[self.on & np.isnan(true)].tolist()
        if unknown:
            raise SettingsError(
                f"{self.course.path.name}: job '{self.job.name}': true_area = true, but the heights give no area along "
                f"the slope of {listed(unknown)}; see 'turfgis check', or leave true_area out"
            )
        return np.where(self.on, true / self.course.ground.net_m2, 1.0)

    def sloped(self, need: Need) -> Need:
        """The same need, by the area along the slope where the job asks for it."""
        if not self.job.true_area or need.weights is not None:
            return need
        factor, overthrow = self.factor, getattr(self.job, "overthrow", None)
        by_share = overthrow is not None and overthrow.share is not None
        return replace(
            need,
            ground=self.net_m2 * factor,
            weights=self.on * factor,
            slope_m2=self.net_m2 * (factor - 1),
            beyond_m2=need.beyond_m2 * factor if by_share else need.beyond_m2,
        )

    def by_area(self, resource: str, key: str, unit: str, rate: float) -> Need:
        """So much for a square metre."""
        return self.need(resource, key, unit, {}, ground=self.net_m2 * rate, weights=self.on * rate)

    def whole(self, resource: str, key: str, unit: str, amount: float, own: Factors | None = None) -> Need:
        """So much in all, shared out among the patches by net area; on no patch where there is none."""
        total = self.net_m2.sum()
        ground = self.net_m2 * (amount / total) if total > 0 else self.nothing
        return self.need(
            resource,
            key,
            unit,
            own or {},
            ground=ground,
            weights=self.nothing,
            elsewhere=0.0 if total > 0 else amount,
        )


def _material_need(place: Place, role: str, settings: CourseSettings) -> Need:
    job, key = place.job, place.job.uses[role]
    material = settings.material[key]
    rate = material_rate(job, role, material, settings.material)
    more: dict = {"lent": rate.lent}
    if rate.over == "whole":
        made = place.whole("material", key, material.base, 1.0, rate.own)
        return Need(**{**made.__dict__, **more})
    if rate.over == "edge":
        made = place.fixed("material", key, material.base, place.perimeter_m, rate.own)
        return Need(**{**made.__dict__, **more})
    if isinstance(job, Spray):
        return _sprayed(place, job, place.need("material", key, material.base, rate.own, **more), settings)
    overthrow = getattr(job, "overthrow", None)
    if overthrow is not None and overthrow.share is not None and overthrow.share.mean > 0:
        more["beyond_m2"] = place.net_m2 * overthrow.share.mean
        more["beyond"] = overthrow.share.scaled(1 / overthrow.share.mean)
    elif overthrow is not None and overthrow.reach is not None and overthrow.reach.mean > 0:
        more["beyond_m2"] = _within_reach(place, overthrow.reach.mean)
        more["beyond"] = overthrow.reach.scaled(1 / overthrow.reach.mean)
    return place.sloped(place.need("material", key, material.base, rate.own, **more))


def _sprayed(place: Place, job: Spray, need: Need, settings: CourseSettings) -> Need:
    """
    The need of a liquid: on the patches without what is kept off, with what lands past their edges or is covered twice.

    What stays in the sprayer must be mixed as well, though it comes on no patch.
    """
    need, kept = place.sloped(need), sprayed_ground(place.course, job).kept_m2
    if kept.any():
        share = np.where(place.on, 1 - kept / np.where(place.on, place.net_m2, 1.0), 0.0)
        ground, weights = need.base * share, need.slope * share
        need = replace(need, ground=ground, weights=weights, slope_m2=need.slope_m2 * share, kept_m2=kept)
    past, spread = place.nothing, Figure(1.0)
    overthrow = job.overthrow
    if overthrow is not None and overthrow.share is not None and overthrow.share.mean > 0:
        past, spread = need.base * overthrow.share.mean, overthrow.share.scaled(1 / overthrow.share.mean)
    elif overthrow is not None and overthrow.reach is not None and overthrow.reach.mean > 0:
        past = beyond_edges(place.course, job, overthrow.reach.mean)
        spread = overthrow.reach.scaled(1 / overthrow.reach.mean)
    twice = need.base * overlap_share(settings.machine.get(job.machine or ""))
    total, part = float((past + twice).sum()), float(past.sum())
    # only what lands past the edge is in doubt
    spread = spread.scaled(part / total).shifted(1 - part / total) if 0 < part < total else spread
    rest = rest_area(job, settings) if place.on.any() else 0.0
    return replace(need, beyond_m2=past + twice, overlap_m2=twice, beyond=spread, elsewhere=rest)


def _within_reach(place: Place, reach: float) -> np.ndarray:
    """Ground past the edges of the patches. [m2] Measured once for all jobs that reach as far from the same patches."""

    def measure() -> np.ndarray:
        beyond = np.zeros(len(place.on))
        shapes = place.course.measured.patches.geometry.to_numpy()[place.on]
        beyond[place.on] = overthrow_areas(shapes, reach)
        return beyond

    return place.course.ground.once(("beyond", id(place.on), reach), measure)


def _machine_needs(place: Place, key: str, machine: Machine, settings: CourseSettings) -> list[Need]:
    """
    Time of a machine, and of those who drive it, with the round from patch to patch.

    For the spread it grows with the area by what a square metre of passes takes; turns and rounds stay as they are.
    Set-up, filling up and filling spray tanks are time of people alone.
    """
    mower, cuts = Mower.of(key, machine), isinstance(place.job, Mow)
    tanks = _tanks(place, settings)

    def measure() -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        times = patch_times(place.course, mower, place.on, cuts=cuts)
        refills, filling = (np.zeros(len(place.on)) for _ in range(2))
        if tanks is not None:
            refills[tanks.rows], filling[tanks.rows] = tanks.refills, tanks.filling_s
        driving, besides = round_seconds(place.course, mower, place.on, times, refills[place.on] if tanks else None)
        running, idle, slope = (np.zeros(len(place.on)) for _ in range(3))
        running[place.on], idle[place.on], slope[place.on] = times.total + driving, besides, times.per_m2
        return running, idle + filling, slope

    clippings = tuple((name, one.clippings) for name, one in settings.surface.items()) if mower.box else ()
    seconds, idle, slope = place.course.ground.once(
        ("machine", id(place.on), mower, carrier_of(place.course, mower), cuts, clippings, id(tanks)), measure
    )
    needs = [place.need("machine", key, "s", {}, ground=seconds, weights=slope, idle_s=idle)]
    counted = settings.labour is not None or "operators" in machine.model_fields_set
    if counted and machine.operators:
        drivers = machine.operators
        needs.append(place.need("labour", "", "s", {}, ground=(seconds + idle) * drivers, weights=slope * drivers))
    burnt = fuel_rate(machine, settings)
    if burnt:
        needs.append(place.need("fuel", machine.burns, "m3", {}, ground=seconds * burnt[0], weights=slope * burnt[0]))
    return needs


def _tanks(place: Place, settings: CourseSettings) -> Tanks | None:
    """Spray tanks of the job; None where it sprays nothing, or no tank is known."""
    job = place.job
    if not isinstance(job, Spray):
        return None
    return lay_tanks(place.course, job, _material_need(place, "material", settings).treated_m2)


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


def cores_volume(course: Course, jobs: list[Job]) -> float:
    """Volume of the cores that hollow tines leave on top, as they come out of the ground. [m3]"""
    settings = course.needs_settings("cores come from jobs")
    total = 0.0
    for job in jobs:
        if isinstance(job, HollowTine):
            place = Place.of(course, job, settings)
            total += place.net_m2.sum() * float(hole_volume(job.tine, *job.spacing, job.depth.mean)) * place.times
    return float(total)
