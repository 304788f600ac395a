"""
Ground parted along every drawn edge, into faces that each lie wholly inside or wholly outside every shape.

Neighbours on a course share most of their borders. An edge that two of them share is laid down once before the edges
are crossed with each other, which is what takes the time.
"""

from typing import Any

import numpy as np
import shapely
from shapely import GEOSException

# What rounding may make a shape differ from its faces. Where edges run so close to each other that they cannot be told
# apart, a face can go missing, and then far more than this.
ROUNDING_SHARE = 1e-9
ROUNDING_M2 = 1e-6


def part_ground(shapes: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray] | None:
    """
    The faces of a pile of shapes.

    Parameters
    ----------
    shapes
        Valid polygons. [m] Shape (n,).

    Returns
    -------
    faces, shape, face
        The faces, and which shape has which of them: places in ``shapes`` and in ``faces``. None where the edges run
        too close to each other for the faces to be trusted.

    Examples
    --------
    Two squares that overlap by a quarter:

    >>> faces, shape, face = part_ground(shapely.box([0, 1], [0, 1], [2, 3], [2, 3]))
    >>> sorted(shapely.area(faces).tolist()), float(shapely.area(faces[face]).sum())
    ([1.0, 3.0, 3.0], 8.0)
    """
    try:
        crossed = shapely.union_all(edges_once(shapes))
        faces = shapely.get_parts(shapely.polygonize([crossed]))
    except GEOSException:
        return None
    shape, face = shapely.STRtree(shapely.point_on_surface(faces)).query(shapes, predicate="contains")
    area = shapely.area(shapes)
    missing = np.abs(np.bincount(shape, weights=shapely.area(faces[face]), minlength=len(shapes)) - area)
    return None if np.any(missing > ROUNDING_SHARE * area + ROUNDING_M2) else (faces, shape, face)


def edges_once(shapes: np.ndarray) -> np.ndarray:
    """
    The borders of shapes as lines, less the edges that an earlier shape has too.

    Examples
    --------
    Two unit squares side by side have seven edges between them:

    >>> float(shapely.length(edges_once(shapely.box([0, 1], [0, 0], [1, 2], [1, 1]))).sum())
    7.0
    """
    rings = shapely.get_rings(shapely.get_parts(shapes))
    xy, ring = shapely.get_coordinates(rings, return_index=True)
    start = np.flatnonzero(ring[1:] == ring[:-1])
    kept = start[_first_seen(xy[start], xy[start + 1])]
    opens = np.ones(len(kept), dtype=bool)  # an edge that does not go on where the one before it ended
    opens[1:] = (np.diff(kept) > 1) | (np.diff(ring[kept]) > 0)
    line = np.cumsum(opens) - 1
    ends = np.append(opens[1:], True)
    point, line = np.append(kept, kept[ends] + 1), np.append(line, line[ends])
    order = np.lexsort((point, line))
    lines: Any = shapely.linestrings(xy[point[order]], indices=line[order])
    return lines


def _first_seen(begin: np.ndarray, end: np.ndarray) -> np.ndarray:
    """Which edges are the first between their two points, whichever way they run."""
    a, b = begin.view(complex)[:, 0], end.view(complex)[:, 0]  # complex numbers are ordered by x, then y
    low, high = np.minimum(a, b), np.maximum(a, b)
    order = np.lexsort((high, low))
    low, high = low[order], high[order]
    first = np.ones(len(order), dtype=bool)
    first[order[1:][(low[1:] == low[:-1]) & (high[1:] == high[:-1])]] = False
    return first
