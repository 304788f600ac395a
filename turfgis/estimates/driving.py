"""Driving between patches: straight lines between their middles."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from turfgis.estimates.course import Course

SPEED = 12 / 3.6  # a utility vehicle or a mower with its units raised [m/s]; common practice, no source


def drive_minutes(course: Course, here: str, there: str, speed: float = SPEED) -> float:
    """
    Minutes from one patch to another.

    Parameters
    ----------
    course
        The course.
    here, there
        Two of its patches.
    speed
        On the way. [m/s]
    """
    places = _places(course)
    east, north = places[here] - places[there]
    return float(np.hypot(east, north)) / speed / 60


def _places(course: Course) -> dict[str, np.ndarray]:
    """Middle of each patch in the frame. [m]"""

    def measure() -> dict[str, np.ndarray]:
        middles = course.measured.patches.geometry.representative_point()
        return dict(zip(course.ground.patch, np.column_stack([middles.x, middles.y]), strict=True))

    return course.ground.once("middles", measure)
