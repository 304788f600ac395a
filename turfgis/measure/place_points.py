"""Where a place lies that somebody points out: in the middle of a patch, or so far from what was drawn."""

from typing import Any

import numpy as np
import pyproj
import shapely

from turfgis.errors import InputError
from turfgis.measure.frame import move_from
from turfgis.measure.patches import Measured


def patch_middle(measured: Measured, patch: str) -> np.ndarray:
    """
    The middle of a patch: of its ground, or where that lies outside of it, a point well inside. [m]

    Parameters
    ----------
    measured
        A measured course.
    patch
        Name of the patch.

    Returns
    -------
    Place in the frame. Shape (2,).

    Raises
    ------
    InputError
        There is no such patch.
    """
    own = measured.patches.loc[measured.patches["patch"] == patch].geometry.to_numpy()
    if not len(own):
        raise InputError(f"there is no patch '{patch}' any more; choose another")
    middle: Any = shapely.centroid(own[0])
    if not shapely.contains(own[0], middle):
        middle = shapely.point_on_surface(own[0])
    return shapely.get_coordinates(middle)[0]


def away_m(measured: Measured, at: np.ndarray) -> float:
    """How far a place in the frame lies from all patches; 0 on one of them. [m]"""
    return float(shapely.distance(measured.patches.geometry.to_numpy(), shapely.Point(at)).min())


def stored_point(at: np.ndarray, frame: pyproj.CRS, crs: pyproj.CRS) -> Any:
    """
    A place in the frame as a point that a layer stores, x before y.

    Examples
    --------
    >>> from turfgis.measure.frame import local_frame
    >>> degrees = pyproj.CRS(4326)
    >>> frame = local_frame([(degrees, -6.2, 53.3)])
    >>> stored_point(np.array([0.0, 0.0]), frame, degrees).wkt
    'POINT (-6.2 53.3)'
    """
    x, y = move_from(crs, frame)(np.array([at[0]]), np.array([at[1]]))
    return shapely.Point(float(x[0]), float(y[0]))
