"""Ground beside an edge: strips that nobody drew, and the overthrow of a spreader."""

import numpy as np
import shapely

from turfgis.measure.nets import joined, only_areas

# A quarter turn in so many pieces keeps a rounded corner within 0.02 % of its area.
QUARTER_PIECES = 32


def strips(around: np.ndarray, width: float) -> np.ndarray:
    """
    The strip outside each shape.

    Parameters
    ----------
    around
        Valid polygons. [m]
    width
        Width of the strip. [m]

    Returns
    -------
    One shape for each, less the ground of all the shapes it goes around. Strips of neighbours may overlap.

    Examples
    --------
    One metre around a circle of 12 m radius: pi (13^2 - 12^2) = 78.5 m2.

    >>> circle = np.array([shapely.Point(0, 0).buffer(12, quad_segs=256)])
    >>> round(float(shapely.area(strips(circle, 1.0))[0]), 1)
    78.5
    """
    grown = shapely.buffer(around, width, quad_segs=QUARTER_PIECES)
    place, other = shapely.STRtree(around).query(grown)
    _, ground = joined(around, place, other)
    return shapely.difference(grown, ground)


def already_drawn(around: np.ndarray, drawn: np.ndarray, width: float) -> np.ndarray:
    """
    Which shapes have the strip drawn along more than half of their edge.

    Parameters
    ----------
    around, drawn
        The shapes a strip goes around, and the shapes of the strip's surface that somebody drew.
    width
        Width of the strip to be made. [m]

    Returns
    -------
    Array of bool, one for each of ``around``.
    """
    edges = shapely.boundary(around)
    wide = shapely.buffer(drawn, width / 4)
    place, near = shapely.STRtree(wide).query(edges)
    place, cover = joined(wide, place, near)
    along = np.zeros(len(around))
    along[place] = shapely.length(shapely.intersection(edges[place], cover))
    return along > shapely.length(edges) / 2


def without_zones(shapes: np.ndarray, zones: np.ndarray) -> np.ndarray:
    """
    Shapes without the ground of zones.

    Parameters
    ----------
    shapes, zones
        Valid areas. [m] Shapes (n,) and (m,).

    Returns
    -------
    What is left of each; empty where nothing is. Shape (n,).

    Examples
    --------
    A green of 20 by 10 m whose side is washed by a pond, with a strip of 3 m to stay away:

    >>> green, pond = shapely.box(0, 0, 20, 10), shapely.box(20, -50, 60, 60)
    >>> float(shapely.area(without_zones(np.array([green]), np.array([pond.buffer(3)])))[0])
    170.0
    """
    left = np.array(shapes, dtype=object)
    zone, place = shapely.STRtree(left).query(zones, predicate="intersects")
    if place.size:
        place, taken = joined(zones, place, zone)
        left[place] = shapely.difference(left[place], taken)
    return only_areas(left)


def overthrow_areas(net: np.ndarray, reach: float, zones: np.ndarray | None = None) -> np.ndarray:
    """
    Ground that a spreader covers beyond the edge of each treated patch.

    Parameters
    ----------
    net
        Net shapes of all patches treated by one job. [m]
    reach
        How far past the edge the material is thrown. [m]
    zones
        Areas to keep off, where nothing may land. [m]

    Returns
    -------
    Area beyond the edge. [m2] Ground of another treated patch is not counted, and ground within reach of two patches
    is counted for the first of them only.

    Examples
    --------
    Four sides of 10 m and four rounded corners: 4 x 10 x 0.5 + pi x 0.5^2 = 20.8 m2.

    >>> round(float(overthrow_areas(np.array([shapely.box(0, 0, 10, 10)]), 0.5)[0]), 1)
    20.8
    """
    if reach <= 0 or not len(net):
        return np.zeros(len(net))
    beyond = strips(net, reach) if zones is None else without_zones(strips(net, reach), zones)
    below, above = shapely.STRtree(beyond).query(beyond)
    earlier = above < below
    place, taken = joined(beyond, below[earlier], above[earlier])
    area = shapely.area(beyond)
    area[place] = shapely.area(shapely.difference(beyond[place], taken))
    return area
