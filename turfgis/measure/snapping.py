"""Borders that two areas share, corner for corner, so that nothing lies between them and nothing twice."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from turfgis.formulas.arguments import positive
from turfgis.measure.rings import Redrawn, Rings, area_of, nearest_edges, redrawn, rings_of, tidy, with_points

ON_IT_M = 1e-6  # a point no further from an edge than this lies on it: rounding is a thousand times less


def snapped(shape: BaseGeometry, neighbours: Sequence[BaseGeometry] | np.ndarray, reach_m: float) -> Redrawn:
    """
    An area drawn up to its neighbours.

    Corners within reach of a neighbour's corner go there, or else onto its edge, which gets a corner too. Edges within
    reach of a neighbour's corners follow its edge from corner to corner. Along what they then share both have the same
    corners, bit for bit, so that neither a gap nor an overlap is left.

    Parameters
    ----------
    shape
        The area just drawn. [m]
    neighbours
        Areas around it, of any surface; only those within reach matter. [m]
    reach_m
        How far off an edge may be to be meant as the same. [m]

    Returns
    -------
    The area, and the neighbours that got a corner.

    Raises
    ------
    InputError
        The reach is not above zero, or so long that the area would fold over itself.

    Examples
    --------
    A square of 10 m, drawn 0.3 m beside another one and a little askew:

    >>> shape, others = snapped(
    ...     shapely.Polygon([(10.3, 2), (20, 2), (20, 8), (10.2, 7.9)]), [shapely.box(0, 0, 10, 10)], 0.5
    ... )
    >>> shape.exterior.coords[0], shape.intersection(others[0]).length, len(rings_of(others[0])[0][0])
    ((10.0, 2.0), 5.9, 6)
    """
    reach = float(positive("the reach of snapping", reach_m, "m"))
    rings = rings_of(shape)
    near = _near(shape, neighbours, reach)
    if not near:
        return Redrawn(shape, {})
    targets = [[_drawn_up(ring, near, reach) for ring in part] for part in rings]
    feet = np.concatenate([ring.feet for part in targets for ring in part])
    changed = _with_corners(near, feet)
    lines = [ring for other in {**near, **changed}.values() for part in other for ring in part]
    followed = [[tidy(_followed(ring.corners, lines, reach)) for ring in part] for part in targets]
    doing = f"snapping within {reach:g} m"
    return Redrawn(area_of(followed, doing), redrawn(neighbours, changed, doing))


def bordered(
    neighbours: Sequence[BaseGeometry] | np.ndarray, shapes: Sequence[BaseGeometry] | np.ndarray
) -> dict[int, BaseGeometry]:
    """
    Neighbours with a corner wherever one of some shapes has a corner on their edge.

    After an area was parted, merged or cut, its new corners may lie on edges of neighbours: with the same corners on
    both sides the border stays shared to the last bit in every reference system.

    Parameters
    ----------
    neighbours
        Areas that may have an edge there. [m]
    shapes
        Areas with new corners. [m]

    Returns
    -------
    Place among the neighbours -> the neighbour as it is now; only those that got a corner.

    Examples
    --------
    >>> found = bordered([shapely.box(0, 0, 10, 10)], [shapely.box(10, 4, 20, 10)])
    >>> rings_of(found[0])[0][0].tolist()
    [[10.0, 0.0], [10.0, 4.0], [10.0, 10.0], [0.0, 10.0], [0.0, 0.0]]
    """
    corners = shapely.get_coordinates(np.asarray(shapes, dtype=object))
    hull = shapely.box(*corners.min(axis=0), *corners.max(axis=0)) if len(corners) else shapely.Polygon()
    return redrawn(neighbours, _with_corners(_near(hull, neighbours, ON_IT_M), corners), "sharing its corners")


@dataclass
class _DrawnUp:
    """Corners of a ring after they went to the neighbours, and places where a neighbour gets a corner for it."""

    corners: np.ndarray
    feet: np.ndarray


def _near(shape: BaseGeometry, neighbours: Sequence[BaseGeometry] | np.ndarray, reach: float) -> dict[int, Rings]:
    """Rings of the neighbours whose bounds lie within reach, by their place among them."""
    if not len(neighbours) or shape.is_empty:
        return {}
    bounds = shapely.bounds(np.asarray(neighbours, dtype=object))
    low, high = np.array(shape.bounds[:2]) - reach, np.array(shape.bounds[2:]) + reach
    with np.errstate(invalid="ignore"):
        meets = (bounds[:, :2] <= high).all(axis=1) & (bounds[:, 2:] >= low).all(axis=1)
    kinds = shapely.get_type_id(np.asarray(neighbours, dtype=object))
    return {int(at): rings_of(neighbours[int(at)]) for at in np.flatnonzero(meets & np.isin(kinds, (3, 6)))}


def _with_corners(near: dict[int, Rings], points: np.ndarray) -> dict[int, Rings]:
    """The neighbours that get any of the points as corners, with them."""
    changed = {}
    for at, rings in near.items():
        new = [[with_points(ring, points, ON_IT_M) for ring in part] for part in rings]
        if any(
            one is not ring
            for part, before in zip(new, rings, strict=True)
            for one, ring in zip(part, before, strict=True)
        ):
            changed[at] = new
    return changed


def _drawn_up(ring: np.ndarray, near: dict[int, Rings], reach: float) -> _DrawnUp:
    """Each corner at the nearest corner of a neighbour within reach, or else at the nearest place of an edge."""
    lines = [line for rings in near.values() for part in rings for line in part]
    start, end = np.concatenate(lines), np.concatenate([np.roll(line, -1, axis=0) for line in lines])
    low, high = ring.min(axis=0) - reach, ring.max(axis=0) + reach
    here = (np.minimum(start, end) <= high).all(axis=1) & (np.maximum(start, end) >= low).all(axis=1)
    if not here.any():
        return _DrawnUp(ring, np.empty((0, 2)))
    start, end = start[here], end[here]
    ends = np.concatenate([start, end])
    corner, to_corner, _, _ = nearest_edges(ring, ends, ends)
    foot, to_edge, _, _ = nearest_edges(ring, start, end)
    at_corner, at_edge = to_corner <= reach, (to_corner > reach) & (to_edge <= reach)
    corners = np.where(at_corner[:, None], corner, np.where(at_edge[:, None], foot, ring))
    return _DrawnUp(corners, foot[at_edge])


def _followed(ring: np.ndarray, lines: list[np.ndarray], reach: float) -> np.ndarray:
    """A ring whose edges go along the lines of neighbours where these are within reach."""
    low, high = ring.min(axis=0) - reach, ring.max(axis=0) + reach
    lines = [line for line in lines if (line.min(axis=0) <= high).all() and (line.max(axis=0) >= low).all()]
    edges = list(zip(ring, np.roll(ring, -1, axis=0), strict=True))
    whole = [_from_end_to_end(*edge, lines, reach) for edge in edges]
    # What is followed there, no other edge follows too: it would go out and back on the same line.
    known = set(map(tuple, ring.tolist())).union(*(map(tuple, one.corners.tolist()) for one in whole if one))
    others = [at for at, one in enumerate(whole) if one is None]
    free = [_nearest_of(line, [edges[at] for at in others], known) for line in lines] if others else []
    found = []
    for at, (edge, one) in enumerate(zip(edges, whole, strict=True)):
        along = [one] if one else _in_turn(*edge, lines, [nearest == others.index(at) for nearest in free], reach)
        found += [edge[0][None], *(stretch.corners for stretch in along)]
    return np.concatenate(found)


def _nearest_of(line: np.ndarray, edges: list[tuple[np.ndarray, np.ndarray]], known: set) -> np.ndarray:
    """Which edge is the nearest to each corner of a line; -1 for a corner that is known already."""
    start, end = (np.array(ends) for ends in zip(*edges, strict=True))
    nearest = nearest_edges(line, start, end)[3]
    nearest[[tuple(corner) in known for corner in line.tolist()]] = -1
    return nearest


@dataclass
class _Stretch:
    """Some corners of a line one after the other: from which to which share of an edge, and how far off on average."""

    corners: np.ndarray
    first: float
    last: float
    away: float
    ends: int  # how many ends of the edge are among them


def _from_end_to_end(start: np.ndarray, end: np.ndarray, lines: list[np.ndarray], reach: float) -> _Stretch | None:
    """The stretch of a line from one end of an edge to the other, if all of it is within reach."""
    found = [
        stretch
        for line in lines
        if (line == start).all(axis=1).any() and (line == end).all(axis=1).any()
        for stretch in _stretches(line, np.ones(len(line), dtype=bool), start, end, reach, [])
        if stretch.ends == 2
    ]
    return min(found, key=lambda one: one.away, default=None)


def _in_turn(
    start: np.ndarray, end: np.ndarray, lines: list[np.ndarray], free: list[np.ndarray], reach: float
) -> list[_Stretch]:
    """Stretches of lines within reach that an edge follows on its way, in their order."""
    taken: list[_Stretch] = []
    if (start == end).all():
        return taken
    low, high = np.minimum(start, end) - reach, np.maximum(start, end) + reach
    near = [
        (line, mask)
        for line, mask in zip(lines, free, strict=True)
        if (line.min(axis=0) <= high).all() and (line.max(axis=0) >= low).all()
    ]
    while found := [one for line, mask in near for one in _stretches(line, mask, start, end, reach, taken)]:
        taken.append(min(found, key=lambda one: (-one.ends, one.away)))
    return sorted(taken, key=lambda one: one.first)


def _stretches(
    line: np.ndarray, free: np.ndarray, start: np.ndarray, end: np.ndarray, reach: float, taken: list[_Stretch]
) -> list[_Stretch]:
    """Runs of free corners of a line that an edge could follow, besides what it follows already."""
    way = end - start
    along = (line - start) @ way / max(float(way @ way), 1e-300)
    away = np.hypot(*(line - start - along[:, None] * way).T)
    within = free & (along > 0) & (along < 1) & (away <= reach)
    for one in taken:
        within &= (along < one.first) | (along > one.last)
    ends = [(line == corner).all(axis=1) for corner in (start, end)]
    if not within.any() and (taken or not all(here.any() for here in ends)):
        return []
    for share, here in zip((0.0, 1.0), ends, strict=True):
        along[here], away[here], within[here] = share, 0.0, True
    found = [_stretch(line, run, along, away) for run in _runs(within)]
    return [one for one in found if one and all(one.first >= two.last or one.last <= two.first for two in taken)]


def _stretch(line: np.ndarray, run: np.ndarray, along: np.ndarray, away: np.ndarray) -> _Stretch | None:
    """From the corner of a run that comes first along the edge to the one that comes last."""
    first, last = int(along[run].argmin()), int(along[run].argmax())
    path = run[first : last + 1] if first <= last else run[last : first + 1][::-1]
    if len(run) == len(line):  # right round: the line could be followed either way
        steps = (last - first) % len(run)
        ways = (first + np.arange(steps + 1)) % len(run), (first - np.arange(len(run) - steps + 1)) % len(run)
        path = min(ways, key=lambda way: np.hypot(*np.diff(line[way], axis=0).T).sum())
    ends = int(np.isin(along[path], (0.0, 1.0)).sum())
    if len(path) == 1 and ends:
        return None
    return _Stretch(line[path], float(along[path[0]]), float(along[path[-1]]), float(away[path].mean()), ends)


def _runs(mask: np.ndarray) -> list[np.ndarray]:
    """Numbers of corners that follow each other round a ring, for each run of them."""
    if mask.all():
        return [np.arange(len(mask))]
    numbers = np.flatnonzero(mask)
    runs = np.split(numbers, np.flatnonzero(numbers[1:] - numbers[:-1] > 1) + 1)
    if len(runs) > 1 and mask[0] and mask[-1]:  # one run goes over the beginning of the ring
        runs[0] = np.concatenate([runs.pop(), runs[0]])
    return runs
