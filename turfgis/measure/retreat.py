"""Where an edge went: how far in or out, over which length, and the strip of turf that would bring it back."""

import numpy as np
import shapely

from turfgis.measure.accuracy import COVERAGE_95
from turfgis.measure.nets import only_areas

STEP_M = 0.25  # between points along an edge; a mower's wheel is about as wide (common practice, no source)
FEWEST, MOST = 32, 2000  # points on one ring, and about on one shape
LEAST_BAND_M = 0.005  # surveys without error still round their coordinates


def edge_band(edge_sd: np.ndarray) -> np.ndarray:
    """How far an edge may seem to have moved though it has not: 1.96 standard uncertainties, 5 mm at least. [m]"""
    return np.maximum(COVERAGE_95 * edge_sd, LEAST_BAND_M)


def edge_points(shapes: np.ndarray, step: float = STEP_M) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """
    Points at even distances along the edges of shapes, holes included.

    Parameters
    ----------
    shapes
        Polygons. [m]
    step
        Distance from point to point, more where a shape would get too many of them. [m]

    Returns
    -------
    points, owner, length
        Coordinates, which shape each belongs to, and the length of edge it stands for. [m]

    Examples
    --------
    >>> points, owner, length = edge_points(np.array([shapely.box(0, 0, 4, 2)]))
    >>> len(points), float(length.sum())
    (48, 12.0)
    """
    parts, shape = shapely.get_parts(shapes, return_index=True)
    rings, part = shapely.get_rings(parts, return_index=True)
    xy, ring = shapely.get_coordinates(rings, return_index=True)
    if not len(xy):
        return np.empty((0, 2)), np.empty(0, dtype=int), np.empty(0)
    walk = np.hypot(*np.diff(xy, axis=0).T) * (ring[1:] == ring[:-1])
    along = np.concatenate([[0.0], np.cumsum(walk)])
    start = along[np.flatnonzero(np.diff(ring, prepend=-1))]
    whole = shapely.length(rings)
    apart = np.maximum(step, shapely.length(shapes) / MOST)
    count = np.maximum(np.ceil(whole / apart[shape[part]]), FEWEST).astype(int)
    number = np.arange(count.sum()) - np.repeat(np.cumsum(count) - count, count)
    at = np.repeat(start, count) + (number + 0.5) * np.repeat(whole / count, count)
    edge = np.clip(np.searchsorted(along, at, side="right") - 1, 0, len(xy) - 2)
    share = (at - along[edge]) / np.where(walk[edge] > 0, walk[edge], 1.0)
    points = xy[edge] + share[:, None] * (xy[edge + 1] - xy[edge])
    return points, shape[part[np.repeat(np.arange(len(rings)), count)]], np.repeat(whole / count, count)


def edge_retreat(old: np.ndarray, new: np.ndarray, band: np.ndarray) -> dict[str, np.ndarray]:
    """
    How far the old edge lies from the new one, point by point along the old edge; above zero where it has moved in.

    Parameters
    ----------
    old, new
        Shapes of the same patches. [m]
    band
        What does not count as moved, one for each. [m]

    Returns
    -------
    For each patch ``edge_retreat_m`` (mean), ``edge_retreat_p95_m`` (95 % of the edge has moved in by less),
    ``edge_retreat_most_m`` and ``edge_retreat_least_m`` (the furthest in and the furthest out), and ``may_in`` and
    ``may_out``, the shares of the edge that may have moved in, or out, by anything: all but those beyond the band.

    Examples
    --------
    A disc of 12 m radius that has lost half a metre all round:

    >>> was, now = (np.array([shapely.Point(0, 0).buffer(r, quad_segs=256)]) for r in (12, 11.5))
    >>> told = edge_retreat(was, now, np.array([0.1]))
    >>> [round(float(told[name][0]), 3) for name in ("edge_retreat_m", "edge_retreat_p95_m", "may_in", "may_out")]
    [0.5, 0.5, 1.0, 0.0]
    """
    points, owner, length = edge_points(old)
    new = shapely.transform(new, np.array)  # copies, because prepared shapes must not be shared with other threads
    shapely.prepare(new)
    inside = shapely.contains_xy(new[owner], points[:, 0], points[:, 1])
    gap = shapely.distance(shapely.points(points), shapely.boundary(new)[owner])
    retreat = np.where(inside, -gap, gap)
    count = len(old)
    whole = np.bincount(owner, weights=length, minlength=count)
    order = np.lexsort((retreat, owner))
    ends = np.cumsum(np.bincount(owner, minlength=count))
    reached = np.cumsum(length[order])
    before = np.concatenate([[0.0], np.cumsum(whole)[:-1]])
    at = np.searchsorted(reached, before + 0.95 * whole)
    return {
        "edge_retreat_m": np.bincount(owner, weights=retreat * length, minlength=count) / whole,
        "edge_retreat_p95_m": retreat[order][np.minimum(at, ends - 1)],
        "edge_retreat_most_m": retreat[order][ends - 1],
        "edge_retreat_least_m": retreat[order][np.concatenate([[0], ends[:-1]])],
        "may_in": np.bincount(owner, weights=length * (retreat > -band[owner]), minlength=count) / whole,
        "may_out": np.bincount(owner, weights=length * (retreat < band[owner]), minlength=count) / whole,
    }


def moved_edges(old: np.ndarray, new: np.ndarray, band: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """
    The old edge where the new one lies further in, and further out, than a band.

    Parameters
    ----------
    old, new
        Shapes of the same patches. [m]
    band
        What does not count as moved, one for each. [m]

    Returns
    -------
    moved_in, moved_out
        Lines along the old edge.

    Examples
    --------
    A square that has lost a metre on its right side, within 0.1 m of the corners the edge is where it was:

    >>> was, now = np.array([shapely.box(0, 0, 10, 10)]), np.array([shapely.box(0, 0, 9, 10)])
    >>> moved_in, moved_out = moved_edges(was, now, np.array([0.1]))
    >>> float(shapely.length(moved_in)[0].round(3)), float(shapely.length(moved_out)[0])
    (11.8, 0.0)
    """
    edge = shapely.boundary(old)
    moved_in = shapely.difference(edge, shapely.buffer(new, band))
    moved_out = shapely.intersection(edge, shapely.buffer(new, -band))
    return shapely.line_merge(moved_in), shapely.line_merge(moved_out)


def win_back(lost: np.ndarray, new: np.ndarray, band: np.ndarray) -> np.ndarray:
    """
    The strips of lost ground that are wider than the band, in their whole width.

    Parameters
    ----------
    lost, new
        Ground lost and shape now, of the same patches. [m]
    band
        Narrower strips cannot be told from the errors of the surveys. [m]

    Returns
    -------
    One shape for each; empty where there is nothing to win back.

    Examples
    --------
    >>> lost, now = np.array([shapely.box(9, 0, 10, 10)]), np.array([shapely.box(0, 0, 9, 10)])
    >>> float(shapely.area(win_back(lost, now, np.array([0.1])))[0].round(6))
    10.0
    """
    beyond = shapely.difference(lost, shapely.buffer(new, band))
    # Grown back by a little more than was cut away, so that the flat pieces of round corners leave no gap.
    return only_areas(shapely.intersection(lost, shapely.buffer(beyond, 1.02 * band)))
