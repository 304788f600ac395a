"""Heights of corners, where a layer has them: kept where a corner stays, put between where it is new."""

from typing import Any

import numpy as np
import shapely


def lifted(shapes: np.ndarray, height: np.ndarray) -> np.ndarray:
    """
    Shapes with heights.

    Parameters
    ----------
    shapes
        Without heights.
    height
        Of each corner, in the order of ``shapely.get_coordinates``; nan where it is not known.

    Returns
    -------
    New array. What is not known lies between its neighbours along the ring or line, by length; on one without any known
    height at the mean of all known; 0 where none is known at all.

    Examples
    --------
    >>> line = np.array([shapely.LineString([(0, 0), (5, 0), (10, 0)])])
    >>> shapely.get_coordinates(lifted(line, np.array([2.0, np.nan, 4.0])), include_z=True)[:, 2].tolist()
    [2.0, 3.0, 4.0]
    """
    xy, height = shapely.get_coordinates(shapes), height.copy()
    parts = shapely.get_parts(shapes)
    lines: Any = shapely.get_rings(parts) if (shapely.get_dimensions(parts) == 2).all() else parts
    ends = np.cumsum(shapely.get_num_coordinates(lines))[:-1]
    for line in np.split(np.arange(len(height)), ends) if len(height) else ():
        known = np.isfinite(height[line])
        if known.any() and not known.all():
            along = np.concatenate([[0.0], np.hypot(*np.diff(xy[line], axis=0).T).cumsum()])
            closed = len(line) > 2 and (xy[line[0]] == xy[line[-1]]).all() and along[-1] > 0
            height[line] = np.interp(along, along[known], height[line][known], period=along[-1] if closed else None)
    missing = ~np.isfinite(height)
    height[missing] = height[~missing].mean() if not missing.all() else 0.0
    raised: Any = shapely.force_3d(shapes)
    return shapely.set_coordinates(raised, np.column_stack([xy, height]))


def lifted_like(shape: Any, known: np.ndarray) -> Any:
    """
    A shape with the heights of others, corner by corner, where both have a corner at the very same place.

    Examples
    --------
    >>> high = np.array([shapely.LineString([(0, 0, 2), (10, 0, 4)])])
    >>> lifted_like(shapely.LineString([(10, 0), (20, 0)]), high).coords[:]
    [(10.0, 0.0, 4.0), (20.0, 0.0, 4.0)]
    """
    there = shapely.get_coordinates(known, include_z=True)
    heights = {(x, y): z for x, y, z in there.tolist() if np.isfinite(z)}
    corners = shapely.get_coordinates(shape).tolist()
    one = np.array([shape], dtype=object)
    return lifted(one, np.array([heights.get((x, y), np.nan) for x, y in corners], dtype=float))[0]
