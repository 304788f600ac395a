"""Single corners of drawn areas: moved, put in and taken out, together with the neighbours that share them."""

from collections.abc import Sequence

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from turfgis.errors import InputError
from turfgis.measure.rings import Corner, Place, Redrawn, Rings, area_of, nearest_edges, redrawn, rings_of, tidy
from turfgis.measure.snapping import ON_IT_M


def moved_vertex(
    shape: BaseGeometry,
    corner: Corner | tuple[int, int, int],
    to: Place,
    neighbours: Sequence[BaseGeometry] | np.ndarray = (),
) -> Redrawn:
    """
    An area with one corner elsewhere; neighbours that have the very same corner go along.

    Raises
    ------
    InputError
        There is no such corner, or its edge, or that of a neighbour, would cross itself.

    Examples
    --------
    >>> moved_vertex(shapely.box(0, 0, 10, 10), Corner(0, 0, 0), (15, 0)).shape.area
    125.0
    """
    return _at_corner(shape, corner, np.asarray(to, dtype=float).reshape(1, 2), neighbours, "moving this corner")


def without_vertex(
    shape: BaseGeometry,
    corner: Corner | tuple[int, int, int],
    neighbours: Sequence[BaseGeometry] | np.ndarray = (),
) -> Redrawn:
    """
    An area less one corner; neighbours that share both edges there lose it too.

    Raises
    ------
    InputError
        There is no such corner, or no valid area without it.

    Examples
    --------
    >>> without_vertex(shapely.box(0, 0, 10, 10), (0, 0, 0)).shape.area
    50.0
    """
    return _at_corner(shape, corner, np.empty((0, 2)), neighbours, "taking this corner out")


def inserted_vertex(
    shape: BaseGeometry,
    edge: Corner | tuple[int, int, int],
    at: Place,
    neighbours: Sequence[BaseGeometry] | np.ndarray = (),
) -> Redrawn:
    """
    An area with one more corner on an edge, named by the corner where it begins; so have neighbours with that edge.

    Raises
    ------
    InputError
        There is no such edge, or it would cross itself.

    Examples
    --------
    >>> inserted_vertex(shapely.box(0, 0, 10, 10), (0, 0, 0), (12, 5)).shape.area
    110.0
    """
    doing = "a corner here"
    rings = rings_of(shape)
    ring, number = _ring_at(rings, Corner(*edge))
    new = np.asarray(at, dtype=float)
    start, end = ring[number], ring[(number + 1) % len(ring)]
    changed: dict[int, Rings] = {}
    for place, other in _holding(neighbours, start):
        for part in other:
            for line, own in enumerate(part):
                for one in np.flatnonzero((own == start).all(axis=1)):
                    if (own[(one + 1) % len(own)] == end).all():
                        part[line], changed[place] = np.insert(own, one + 1, new, axis=0), other
                    elif (own[one - 1] == end).all():
                        part[line], changed[place] = np.insert(own, one or len(own), new, axis=0), other
    rings[edge[0]][edge[1]] = np.insert(ring, number + 1, new, axis=0)
    return Redrawn(area_of(rings, doing), redrawn(neighbours, changed, doing))


def nearest_corner(shape: BaseGeometry, place: Place) -> tuple[Corner, float]:
    """
    The corner of an area that is nearest to a place, and how far it is. [m]

    Examples
    --------
    >>> nearest_corner(shapely.box(0, 0, 10, 10), (11, 0))
    (Corner(part=0, ring=0, number=0), 1.0)
    """
    return _nearest(shape, place, whole_edges=False)


def nearest_edge(shape: BaseGeometry, place: Place) -> tuple[Corner, float]:
    """
    The edge of an area that is nearest to a place, by the corner where it begins, and how far it is. [m]

    Examples
    --------
    >>> nearest_edge(shapely.box(0, 0, 10, 10), (12, 5))
    (Corner(part=0, ring=0, number=0), 2.0)
    """
    return _nearest(shape, place, whole_edges=True)


def _nearest(shape: BaseGeometry, place: Place, whole_edges: bool) -> tuple[Corner, float]:
    point = np.asarray(place, dtype=float)[None]
    best: tuple[Corner, float] | None = None
    for part, own in enumerate(rings_of(shape)):
        for number, ring in enumerate(own):
            ends = np.roll(ring, -1, axis=0) if whole_edges else ring
            _, away, _, at = nearest_edges(point, ring, ends)
            if best is None or away[0] < best[1]:
                best = Corner(part, number, int(at[0])), float(away[0])
    assert best is not None  # rings_of has refused what has no ring
    return best


def _at_corner(
    shape: BaseGeometry,
    corner: Corner | tuple[int, int, int],
    new: np.ndarray,
    neighbours: Sequence[BaseGeometry] | np.ndarray,
    doing: str,
) -> Redrawn:
    """An area with other corners, or none, in place of one; the same in its neighbours."""
    rings = rings_of(shape)
    ring, number = _ring_at(rings, Corner(*corner))
    place, beside = ring[number], (ring[number - 1], ring[(number + 1) % len(ring)])
    rings[corner[0]][corner[1]] = _replaced(ring, number, new)
    changed: dict[int, Rings] = {}
    for at, other in _holding(neighbours, place):
        for part in other:
            for line, own in enumerate(part):
                here = np.flatnonzero((own == place).all(axis=1))
                if not len(here) or not (len(new) or _same_edges(own, int(here[0]), beside)):
                    continue
                part[line], changed[at] = _replaced(own, int(here[0]), new), other
    return Redrawn(area_of(rings, doing), redrawn(neighbours, changed, doing))


def _replaced(ring: np.ndarray, number: int, new: np.ndarray) -> np.ndarray:
    return tidy(np.concatenate([ring[:number], new, ring[number + 1 :]]))


def _same_edges(ring: np.ndarray, number: int, beside: tuple[np.ndarray, np.ndarray]) -> bool:
    """Whether the corners before and after one are these two, in either order."""
    own = (ring[number - 1], ring[(number + 1) % len(ring)])
    return any((own[0] == one).all() and (own[1] == other).all() for one, other in (beside, beside[::-1]))


def _ring_at(rings: Rings, corner: Corner) -> tuple[np.ndarray, int]:
    try:
        ring = rings[corner.part][corner.ring]
    except IndexError:
        ring = np.empty((0, 2))
    if min(corner) < 0 or corner.number >= len(ring):
        raise InputError("this area has no such corner; it may have changed meanwhile")
    return ring, corner.number


def _holding(neighbours: Sequence[BaseGeometry] | np.ndarray, place: np.ndarray) -> list[tuple[int, Rings]]:
    """Neighbours that may have a corner at a place, with their rings."""
    if not len(neighbours):
        return []
    found = np.flatnonzero(shapely.dwithin(np.asarray(neighbours, dtype=object), shapely.Point(place), ON_IT_M))
    kinds = shapely.get_type_id(np.asarray(neighbours, dtype=object))
    return [(int(at), rings_of(neighbours[int(at)])) for at in found if kinds[at] in (3, 6)]
