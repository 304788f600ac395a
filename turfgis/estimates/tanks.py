"""Tanks of a spray job: the order of its patches, what each tank covers, and where the sprayer leaves to be filled."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from turfgis.estimates.course import Course
from turfgis.estimates.ground import play_order
from turfgis.estimates.rounds import driving_lengths
from turfgis.estimates.routing import best_round
from turfgis.estimates.sprayed import spray_volume
from turfgis.formulas.liquids import liquid_volume
from turfgis.formulas.tanks import along_tanks, tank_mixes, tank_volumes
from turfgis.settings.models import Spray
from turfgis.settings.spraying import SprayGear


@dataclass(frozen=True, eq=False)
class Tanks:
    """
    The tanks of one round of a spray job. K tanks, n patches in the order in which they are sprayed.

    Attributes
    ----------
    gear, volume
        Tank and boom; and the spray volume. [m3/m2]
    rows
        Places of the patches among those of the course. Shape (n,).
    sprayed_m3
        What each tank puts out on each patch. Shape (K, n).
    mixed_m3
        What is mixed for each tank. Shape (K,).
    way_m
        From the yard to each patch; 0 where no yard is known. Shape (n,).
    """

    gear: SprayGear
    volume: float
    rows: np.ndarray
    sprayed_m3: np.ndarray
    mixed_m3: np.ndarray
    way_m: np.ndarray

    @property
    def dry_at(self) -> np.ndarray:
        """On which patch each tank runs dry, as a place in the order. Shape (K,)."""
        return np.array([np.flatnonzero(row)[-1] for row in self.sprayed_m3], dtype=int)

    @property
    def filling_s(self) -> np.ndarray:
        """Time to fill and mix tanks, with the patch that each begins on. [s] Shape (n,)."""
        first = np.array([np.flatnonzero(row)[0] for row in self.sprayed_m3], dtype=int)
        return np.bincount(first, minlength=len(self.rows)) * self.gear.filling

    @property
    def refills(self) -> np.ndarray:
        """How often the sprayer leaves each patch to be filled again. Shape (n,)."""
        return np.bincount(self.dry_at[:-1], minlength=len(self.rows)).astype(float)


def sprayed_in_order(course: Course, job: Spray, on: np.ndarray, order: str | None = None) -> np.ndarray:
    """
    Patches in the order in which they are sprayed.

    Parameters
    ----------
    course, job, on
        The course, the job, and its patches as bool. Shape (n,).
    order
        ``holes`` or ``route``; None for what the job says.

    Returns
    -------
    Their places among the patches of the course.
    """
    ground = course.ground
    rows = np.array(
        sorted(np.flatnonzero(on), key=lambda row: (play_order(ground.hole[row]), str(ground.patch[row]))), dtype=int
    )
    if (order or job.order) == "holes" or len(rows) < 2:
        return rows
    lengths, _ = driving_lengths(course, ground.patch[rows].tolist())
    return rows[np.array(best_round(lengths)) - 1]


def lay_tanks(course: Course, job: Spray, treated_m2: np.ndarray, order: str | None = None) -> Tanks | None:
    """
    Whole tanks along the order of the patches, with an exact last one.

    Parameters
    ----------
    course, job
        The course, and the job.
    treated_m2
        Ground that the spray lands on, of each patch. [m2] Shape (n,), 0 where nothing is sprayed.
    order
        As for :func:`sprayed_in_order`.

    Returns
    -------
    The tanks; None where no tank or no spray volume is known, or there is nothing to spray.
    """
    settings = course.needs_settings("tanks need a sprayer")
    machine, volume = settings.machine.get(job.machine or ""), spray_volume(job, settings)
    if machine is None or machine.spray is None or volume is None or not (treated_m2 > 0).any():
        return None
    gear = machine.spray

    def lay() -> Tanks:
        rows = sprayed_in_order(course, job, treated_m2 > 0, order)
        amounts = np.asarray(liquid_volume(treated_m2[rows], volume))
        tanks = tank_volumes(float(amounts.sum()), gear.tank, gear.dead_volume)
        lengths, _ = driving_lengths(course, course.ground.patch[rows].tolist())
        split = along_tanks(amounts, tanks)
        return Tanks(gear, volume, rows, split, tank_mixes(tanks, gear.dead_volume), lengths[0, 1:])

    key = ("tanks", treated_m2.tobytes(), gear.tank, gear.dead_volume, gear.filling, volume, order or job.order)
    return course.ground.once(key, lay)
