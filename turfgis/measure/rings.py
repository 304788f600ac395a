"""Drawn areas as the corners of their rings, and back; what can be no area is refused in words."""

from collections.abc import Iterable, Sequence
from typing import Any, NamedTuple

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from turfgis.errors import InputError

Place = Sequence[float] | np.ndarray  # x and y [m]
Rings = list[list[np.ndarray]]  # for each part its outline and its cut-outs, each without its closing point


class Corner(NamedTuple):
    """
    Which corner of an area: its part, the ring in it (0 the outline, then the cut-outs), its number from the first.

    The edge of the same number begins there.
    """

    part: int
    ring: int
    number: int


class Redrawn(NamedTuple):
    """
    An area as it is now, and those of its neighbours that had to change with it.

    Attributes
    ----------
    shape
        The area.
    neighbours
        Place among the neighbours given -> the neighbour as it is now.
    """

    shape: BaseGeometry
    neighbours: dict[int, BaseGeometry]


def rings_of(shape: BaseGeometry) -> Rings:
    """
    Corners of an area.

    Raises
    ------
    InputError
        It is no area.

    Examples
    --------
    >>> [[len(ring) for ring in part] for part in rings_of(shapely.box(0, 0, 10, 10))]
    [[4]]
    """
    if not isinstance(shape, shapely.Polygon | shapely.MultiPolygon) or shape.is_empty:
        kind = "nothing" if shape is None or shape.is_empty else f"a {shape.geom_type.lower()}"
        raise InputError(f"an area is needed here, but what is given is {kind}")
    return [
        [shapely.get_coordinates(ring)[:-1] for ring in shapely.get_rings(part)] for part in shapely.get_parts(shape)
    ]


def area_of(rings: Rings, doing: str) -> Any:
    """
    The area within rings.

    Parameters
    ----------
    rings
        As from `rings_of`.
    doing
        What is being done, for the message: it begins the sentence.

    Returns
    -------
    A valid polygon, or several in one.

    Raises
    ------
    InputError
        There is no such area: its edge would cross itself, or nothing would be left.

    Examples
    --------
    >>> area_of([[np.array([(0, 0), (10, 10), (10, 0), (0, 10)])]], "moving this corner")
    Traceback (most recent call last):
    turfgis.errors.InputError: moving this corner would make the edge of the area cross itself near (5, 5) m
    """
    parts = []
    for outline, *cut_outs in rings:
        if len(outline) < 3:
            raise InputError(f"{doing} would leave no area: an outline needs three corners")
        parts.append(shapely.Polygon(outline, [ring for ring in cut_outs if len(ring) > 2]))
    return checked(parts[0] if len(parts) == 1 else shapely.MultiPolygon(parts), doing)


def checked(shape: Any, doing: str) -> Any:
    """
    The area itself, where it is one.

    Raises
    ------
    InputError
        It is none; the message begins with ``doing`` and tells what is wrong, and where.

    Examples
    --------
    >>> checked(shapely.box(0, 0, 1, 1), "this").area
    1.0
    """
    if shapely.is_empty(shape) or not np.isfinite(shapely.get_coordinates(shape)).all():
        raise InputError(f"{doing} would leave no area")
    if shapely.is_valid(shape):
        if shape.area > 0:
            return shape
        raise InputError(f"{doing} would leave no area")
    reason = shapely.is_valid_reason(shape)
    at = reason.partition("[")[2].rstrip("]").split()
    near = f" near ({float(at[0]):.4g}, {float(at[1]):.4g}) m" if len(at) >= 2 else ""
    what = "cross itself" if reason.startswith("Self") else "touch itself"
    if "ole" in reason or "shell" in reason:
        raise InputError(f"{doing} would leave a cut-out, or a part, where none can be{near}")
    raise InputError(f"{doing} would make the edge of the area {what}{near}")


def tidy(ring: np.ndarray) -> np.ndarray:
    """
    A ring without corners told twice, and without going out and back on the same way.

    Examples
    --------
    >>> tidy(np.array([(0, 0), (4, 0), (9, 0), (4, 0), (4, 4), (4, 4), (0, 4)])).tolist()
    [[0, 0], [4, 0], [4, 4], [0, 4]]
    """
    kept: list[int] = []
    same = _labels(ring)
    for at in range(len(ring)):
        if kept and same[kept[-1]] == same[at]:
            continue
        if len(kept) > 1 and same[kept[-2]] == same[at]:
            kept.pop()
            continue
        kept.append(at)
    while len(kept) > 1 and same[kept[0]] in (same[kept[-1]], same[kept[-2]]):
        kept.pop()
    while len(kept) > 2 and same[kept[1]] == same[kept[-1]]:
        del kept[:2]
    return ring[kept]


def _labels(ring: np.ndarray) -> list[int]:
    """The same number for the same place."""
    seen: dict[tuple[float, float], int] = {}
    return [seen.setdefault((x, y), len(seen)) for x, y in ring.tolist()]


def with_points(ring: np.ndarray, points: np.ndarray, within: float) -> np.ndarray:
    """
    A ring with further corners, each on the edge that it lies on.

    Parameters
    ----------
    ring
        Corners, without the closing one. [m]
    points
        What becomes a corner if it lies on an edge and is none yet. [m]
    within
        How far from an edge counts as on it. [m]

    Returns
    -------
    The ring; the same array where nothing was to be done.

    Examples
    --------
    >>> square = np.array([(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)])
    >>> with_points(square, np.array([(7.0, 0.0), (3.0, 0.0), (5.0, 5.0)]), 1e-6)[:4].tolist()
    [[0.0, 0.0], [3.0, 0.0], [7.0, 0.0], [10.0, 0.0]]
    """
    there = set(map(tuple, ring.tolist()))
    low, high = ring.min(axis=0) - within, ring.max(axis=0) + within
    inside = points[((points >= low) & (points <= high)).all(axis=1)]
    new = np.array([point for point in dict.fromkeys(map(tuple, inside.tolist())) if point not in there])
    if not len(new):
        return ring
    _, away, along, edge = nearest_edges(new, ring, np.roll(ring, -1, axis=0))
    on = away <= within
    if not on.any():
        return ring
    order = np.lexsort((along[on], edge[on]))
    return np.insert(ring, edge[on][order] + 1, new[on][order], axis=0)


def nearest_edges(
    points: np.ndarray, start: np.ndarray, end: np.ndarray
) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
    """
    For each point the nearest place on any of some edges.

    Parameters
    ----------
    points, start, end
        Two columns each; edges run from start to end. [m]

    Returns
    -------
    The place [m], how far it is [m], its share of the way along the edge, and which edge.

    Examples
    --------
    >>> place, away, along, edge = nearest_edges(*(np.array([one]) for one in ((3.0, 4.0), (0.0, 0.0), (6.0, 0.0))))
    >>> place.tolist(), away.tolist(), along.tolist()
    ([[3.0, 0.0]], [4.0], [0.5])
    """
    found = [_nearest(block, start, end) for block in np.array_split(points, len(points) * len(start) // 500_000 + 1)]
    place, away, along, edge = (np.concatenate(one) for one in zip(*found, strict=True))
    return place, away, along, edge


def _nearest(points: np.ndarray, start: np.ndarray, end: np.ndarray) -> tuple[np.ndarray, ...]:
    way = end - start
    length = (way**2).sum(axis=1)
    share = ((points[:, None] - start) * way).sum(axis=2) / np.where(length > 0, length, 1.0)
    share = np.clip(share, 0.0, 1.0)
    feet = start + share[..., None] * way
    away = np.hypot(*np.moveaxis(points[:, None] - feet, 2, 0))
    edge = away.argmin(axis=1)
    row = np.arange(len(points))
    return feet[row, edge], away[row, edge], share[row, edge], edge


def redrawn(old: Iterable[BaseGeometry], new: dict[int, Rings], doing: str) -> dict[int, BaseGeometry]:
    """Areas again out of the rings that changed, valid where they were valid before."""
    was = list(old)
    return {at: area_of(rings, doing) if shapely.is_valid(was[at]) else _unchecked(rings) for at, rings in new.items()}


def _unchecked(rings: Rings) -> BaseGeometry:
    parts = [shapely.Polygon(outline, cut_outs) for outline, *cut_outs in rings]
    return parts[0] if len(parts) == 1 else shapely.MultiPolygon(parts)
