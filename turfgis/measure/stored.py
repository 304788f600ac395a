"""
Between the reference system a layer is stored in and the frame of the course, corner by corner.

Measuring puts further points on long edges (`turfgis.measure.frame.project`); editing must not. A corner that stays
where it was is stored again with the very numbers that it had, so that borders shared in the file stay shared to the
last bit.
"""

from typing import Any

import numpy as np
import pyproj
import shapely

from turfgis.layers.heights import lifted
from turfgis.layers.mend import mended_shapes
from turfgis.measure.frame import local_frame, middle, move_from, move_to, project

SAME_CORNER_M = 1e-6  # what comes back from a page this near to where it was has not been moved


def in_frame(shapes: np.ndarray, crs: pyproj.CRS, frame: pyproj.CRS) -> np.ndarray:
    """
    Stored shapes in the frame, with the corners they have and no others.

    Parameters
    ----------
    shapes
        As stored in a layer, x before y.
    crs, frame
        What they are stored in, and the frame of the course.

    Returns
    -------
    New array of shapes without heights. [m]

    Examples
    --------
    >>> grid = pyproj.CRS("EPSG:2157")
    >>> square = np.array([shapely.box(440_000, 714_000, 440_100, 714_100)])
    >>> frame = local_frame([(grid, *middle(square, grid))])
    >>> shapely.get_num_coordinates(in_frame(square, grid, frame)).tolist()
    [5]
    """
    flat = shapely.force_2d(np.asarray(shapes, dtype=object))
    xy = shapely.get_coordinates(flat)
    return shapely.set_coordinates(flat, np.column_stack(move_to(crs, frame)(xy[:, 0], xy[:, 1])))


def as_stored(
    shapes: np.ndarray, frame: pyproj.CRS, crs: pyproj.CRS, kept: np.ndarray, *, heights: bool = False
) -> np.ndarray:
    """
    Shapes of the frame as they are to be stored in a layer.

    Parameters
    ----------
    shapes
        In the frame. [m]
    frame, crs
        The frame of the course, and what the layer is stored in.
    kept
        Shapes as they are stored now, in ``crs``: the old ones and their neighbours. Where a corner lies on one of
        theirs, it gets the numbers of that one, bit for bit.
    heights
        Whether the layer has heights. A corner that is kept keeps its own; one between them gets a height between
        theirs, by its place along the ring.

    Returns
    -------
    New array of shapes, x before y.

    Examples
    --------
    >>> grid = pyproj.CRS("EPSG:2157")
    >>> square = np.array([shapely.box(440_000.1, 714_000.3, 440_100.7, 714_100.9)])
    >>> frame = local_frame([(grid, *middle(square, grid))])
    >>> shapely.equals_identical(as_stored(in_frame(square, grid, frame), frame, grid, square), square).tolist()
    [True]
    """
    flat = shapely.force_2d(np.asarray(shapes, dtype=object))
    xy = shapely.get_coordinates(flat)
    there = np.column_stack(move_from(crs, frame)(xy[:, 0], xy[:, 1]))
    old = shapely.get_coordinates(np.asarray(kept, dtype=object), include_z=True)
    new, known = _same_corners(xy, np.column_stack(move_to(crs, frame)(old[:, 0], old[:, 1])))
    there[new] = old[known, :2]
    moved = shapely.set_coordinates(flat, there)
    if not heights:
        return moved
    height = np.full(len(xy), np.nan)
    height[new] = old[known, 2]
    return lifted(moved, height)


def _same_corners(new: np.ndarray, old: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Pairs of a new corner and the old one that lies where it does."""
    if not len(new) or not len(old):
        return np.empty(0, dtype=np.intp), np.empty(0, dtype=np.intp)
    there: Any = shapely.points(old)
    tree = shapely.STRtree(there)
    pairs: Any = tree.query_nearest(shapely.points(new), max_distance=SAME_CORNER_M, all_matches=True)
    first = np.unique(pairs[0], return_index=True)[1]
    return pairs[0][first], pairs[1][first]


def ground_m2(shapes: np.ndarray, crs: pyproj.CRS) -> np.ndarray:
    """
    Area of stored shapes on the ellipsoid, as `turfgis areas` has it before ground drawn twice is shared out. [m2]

    Parameters
    ----------
    shapes
        In ``crs``, x before y; lines and points have none, and neither has None.
    crs
        Their reference system.

    Examples
    --------
    A square of 100 m on a national grid is not 10,000 m2 of ground, as its scale is not 1 there:

    >>> square = np.array([shapely.box(440_000, 714_000, 440_100, 714_100)])
    >>> print(f"{ground_m2(square, pyproj.CRS('EPSG:2157'))[0]:.2f}")
    9997.32
    """
    shapes = shapely.force_2d(np.asarray(shapes, dtype=object))
    area = np.zeros(len(shapes))
    real = np.flatnonzero((shapely.get_dimensions(shapes) == 2) & ~shapely.is_empty(shapes))
    if len(real):
        frame = local_frame([(crs, *middle(shapes[real], crs))])
        area[real] = shapely.area(mended_shapes(project(shapes[real], crs, frame)))
    return area
