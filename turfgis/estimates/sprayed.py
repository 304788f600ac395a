"""Which ground a liquid is sprayed on: patches without what is kept off, and what a boom covers twice or past them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from turfgis.estimates.course import Course, members
from turfgis.measure.keep_off import keep_off_zones, left_to_spray
from turfgis.measure.strips import overthrow_areas
from turfgis.settings.models import CourseSettings, Job, Liquid, Machine, Spray

if TYPE_CHECKING:
    import geopandas as gpd

NOTHING_M2 = 0.01  # less than this of a patch is no ground to spray


@dataclass(frozen=True, eq=False)
class SprayedGround:
    """
    Ground of one spray job, of n patches.

    Attributes
    ----------
    on
        Patches of which something is left, as bool. Shape (n,).
    kept_m2
        What is kept off on each of those. [m2] Shape (n,), 0 elsewhere.
    shapes
        What is left of them, in their order. [m]
    zones
        All ground to keep off: ``label``, ``distance_m`` and shape.
    metres
        Surface or label -> the distance that is kept. [m]
    swallowed
        Patches of which nothing is left.
    """

    on: np.ndarray
    kept_m2: np.ndarray
    shapes: np.ndarray
    zones: gpd.GeoDataFrame
    metres: dict[str, float]
    swallowed: tuple[str, ...]


def keep_off_metres(job: Spray, settings: CourseSettings) -> dict[str, float]:
    """How far to stay away from what: the greatest distance that the job, or a label of what is in its tank, says."""
    metres = dict(job.keep_off)
    for key in job.rates:
        material = settings.material[key]
        label = material.label if isinstance(material, Liquid) else None
        for name, distance in (label.keep_off if label else {}).items():
            metres[name] = max(distance, metres.get(name, 0.0))
    return metres


def sprayed_ground(course: Course, job: Spray) -> SprayedGround:
    """
    The ground that a job sprays, measured once for all jobs with the same patches and distances.

    Parameters
    ----------
    course, job
        The course, and one of its jobs.
    """
    metres = keep_off_metres(job, course.needs_settings("a spray job needs materials"))
    on = members(course, job)
    return course.ground.once(("sprayed", id(on), tuple(sorted(metres.items()))), lambda: _measured(course, on, metres))


def _measured(course: Course, on: np.ndarray, metres: dict[str, float]) -> SprayedGround:
    zones = course.ground.once(
        ("keep off", tuple(sorted(metres.items()))), lambda: keep_off_zones(course.measured, metres)
    )
    shapes = course.measured.patches.geometry.to_numpy()
    left, area = left_to_spray(shapes[on], zones)
    net = course.ground.net_m2[on]
    some = area > NOTHING_M2
    kept = np.zeros(len(on))
    kept[on] = np.where(some, np.maximum(net - area, 0.0), 0.0)
    kept[kept < 1e-9 * np.maximum(course.ground.net_m2, 1.0)] = 0.0  # what the arithmetic of cutting leaves
    still = on.copy()
    still[on] = some
    swallowed = tuple(course.ground.patch[on][~some].tolist())
    # the same array where nothing is swallowed: other work on the same ground is then reckoned once
    return SprayedGround(on if some.all() else still, kept, left[some], zones, metres, swallowed)


def strips_of_jobs(course: Course, most: int = 3) -> list[tuple[tuple[str, ...], dict[str, float], gpd.GeoDataFrame]]:
    """
    Strips that spray jobs keep off, those of jobs with the same distances together.

    Parameters
    ----------
    course
        The course.
    most
        So many different ones; of more, only the widest of all jobs are given.

    Returns
    -------
    Names of the jobs, surface or label -> distance [m] of what there is on the course, and the zones; those that keep
    nothing off are left out.
    """
    settings = course.settings
    jobs = [job for job in settings.job if isinstance(job, Spray)] if settings else []
    alike: dict[tuple[tuple[str, float], ...], tuple[list[str], gpd.GeoDataFrame]] = {}
    for job in jobs:
        zones = sprayed_ground(course, job).zones
        if len(zones):
            alike.setdefault(tuple(sorted(widest_zones(zones).items())), ([], zones))[0].append(job.name)
    if len(alike) > most:
        metres: dict[str, float] = {}
        for one in alike:
            metres |= {name: max(distance, metres.get(name, 0.0)) for name, distance in one}
        names = [name for those, _ in alike.values() for name in those]
        return [(tuple(names), metres, keep_off_zones(course.measured, metres))]
    return [(tuple(names), dict(metres), zones) for metres, (names, zones) in alike.items()]


def widest_zones(zones: gpd.GeoDataFrame) -> dict[str, float]:
    """Surface or label -> the greatest distance of its zones. [m]"""
    most: dict[str, float] = {}
    for name, metres in zip(zones["label"].tolist(), zones["distance_m"].tolist(), strict=True):
        most[name] = max(metres, most.get(name, 0.0))
    return most


def worked(course: Course, job: Job) -> np.ndarray:
    """Patches on which something of a job is done: those it names, without what its keep-off strips swallow whole."""
    return sprayed_ground(course, job).on if isinstance(job, Spray) else members(course, job)


def beyond_edges(course: Course, job: Spray, reach: float) -> np.ndarray:
    """Ground past the edges of what is sprayed, outside what is to be kept off. [m2] Shape (n,)."""
    ground = sprayed_ground(course, job)

    def measure() -> np.ndarray:
        beyond = np.zeros(len(ground.on))
        zones = ground.zones.geometry.to_numpy()
        beyond[ground.on] = overthrow_areas(ground.shapes, reach, zones)
        return beyond

    return course.ground.once(("sprayed beyond", id(ground), reach), measure)


def overlap_share(machine: Machine | None) -> float:
    """
    Ground that a boom covers twice, as a share of what it sprays: the overlap of passes over their fresh width.

    Of machines without a spray tank the overlap is one of mowing or spreading, and counts for nothing here.
    """
    if machine is None or machine.spray is None:
        return 0.0
    return machine.overlap / (machine.width - machine.overlap)


def spray_volume(job: Spray, settings: CourseSettings) -> float | None:
    """Spray as mixed to the unit area [m3/m2]: what the job says, else its machine; None where neither does."""
    if job.spray_volume is not None:
        return job.spray_volume
    machine = settings.machine.get(job.machine or "")
    return machine.spray.volume if machine is not None and machine.spray is not None else None


def rest_area(job: Spray, settings: CourseSettings) -> float:
    """Ground that the dead volume of the sprayer would cover: what must be mixed besides, and never comes out. [m2]"""
    machine, volume = settings.machine.get(job.machine or ""), spray_volume(job, settings)
    if machine is None or machine.spray is None or volume is None:
        return 0.0
    return machine.spray.dead_volume / volume
