"""
Passes over patches: clean-up rounds along the edge, then parallel passes over what is left.

A round lies half the width of the machine inside the edge, each further one a fresh width more. The passes then take
the ground inside the last round. Numbers and lengths come by closed form (:mod:`turfgis.formulas.passes`); lines are
drawn only for one shape and one direction, when they are asked for.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely
from shapely import MultiLineString
from shapely.geometry.base import BaseGeometry

from turfgis.errors import InputError
from turfgis.formulas.passes import DIRECTIONS, pass_directions, pass_spacing, passes_over_shapes

# What can be in the way of a machine, in words.
FITS = {
    "yes": "",
    "neck": "too narrow in places: there, one run along the middle",
    "narrow": "nowhere wider than the machine: one run along the middle",
    "turn": "too tight for its turning circle: the clean-up round needs shunting",
}
NOTHING_M2 = 1e-6
CORNER = (
    0.5  # of the square of the width: ground that a round machine leaves in a corner, and more in no corner of turf
)
HEAD_M = 5.0  # of the arrow that shows a direction
ARC_SEGMENTS = 8  # a quarter circle around a corner that sticks into the ground


@dataclass(frozen=True)
class Passes:
    """
    What covering each shape once comes to. Arrays of shape (n,).

    Attributes
    ----------
    direction_deg
        Direction of the passes, clockwise from north; NaN where it is a mean of several, or there are none.
    passes, passes_m
        How many straight passes, and their length. A pass that something parts counts once for each part.
    rounds, rounds_m
        How many closed rounds along edges, those of cut-outs among them, and their length.
    fits
        A key of :data:`FITS`.
    """

    direction_deg: np.ndarray
    passes: np.ndarray
    passes_m: np.ndarray
    rounds: np.ndarray
    rounds_m: np.ndarray
    fits: np.ndarray

    @property
    def length_m(self) -> np.ndarray:
        """Length worked: passes and rounds."""
        return self.passes_m + self.rounds_m

    @property
    def turns(self) -> np.ndarray:
        """One from each pass or round to the next."""
        return np.maximum(self.passes + self.rounds - 1, 0.0)


def measure_passes(
    shapes: np.ndarray,
    width: float,
    overlap: float = 0.0,
    clean_up: int = 1,
    direction: str | float = "best",
    turn_radius: float | None = None,
) -> Passes:
    """
    Passes and rounds over shapes.

    Parameters
    ----------
    shapes
        Polygons and multipolygons in metres. Shape (n,).
    width, overlap
        Of the machine. [m]
    clean_up
        Rounds along the edge, laid first.
    direction
        ``best`` (fewest passes, then least length, of 36 directions), ``turned`` (mean of the 36), or degrees.
    turn_radius
        Smallest circle that the machine turns in, to find out whether it can follow its rounds; None to leave that. [m]

    Returns
    -------
    Numbers and lengths. Ground that is no wider than the machine, a neck or a whole shape, is taken in one run along
    its middle, half as long as the edge of that ground; runs count among the passes.

    Raises
    ------
    InputError
        The overlap is not less than the width, or the direction is not one of them.

    Examples
    --------
    A square of 10 m, a machine of 1 m, one round: 36 m, then eight passes of 8 m.

    >>> laid = measure_passes(np.array([shapely.box(0, 0, 10, 10)]), 1.0)
    >>> print(laid.passes[0], laid.passes_m[0], laid.rounds[0], laid.rounds_m[0])
    8.0 64.0 1.0 36.0
    """
    if not 0 <= overlap < width:
        raise InputError(f"an overlap of {overlap:g} m is not less than the width of {width:g} m")
    shapes = np.asarray(shapes, dtype=object)
    fresh = width - overlap
    middles = _inside(shapes, width / 2)  # where the middle of the machine may go
    rounds, rounds_m = _rounds(shapes, middles, width, fresh, clean_up)
    left = _inside(shapes, clean_up * fresh) if clean_up else shapes
    direction_deg, passes, passes_m = _passes(left, fresh, direction)
    runs, runs_m = _runs_in_necks(shapes, middles, width)
    nowhere = shapely.is_empty(middles)
    tight = np.zeros(len(shapes), dtype=bool)
    if turn_radius is not None and clean_up:
        tight = shapely.is_empty(_inside(shapes, width / 2 + turn_radius))
    return Passes(
        direction_deg=np.where(nowhere, np.nan, direction_deg),
        passes=np.where(nowhere, 0.0, passes) + runs,
        passes_m=np.where(nowhere, 0.0, passes_m) + runs_m,
        rounds=rounds,
        rounds_m=rounds_m,
        fits=np.select([nowhere, runs > 0, tight], ["narrow", "neck", "turn"], "yes").astype(object),
    )


def lay_passes(
    shape: BaseGeometry, width: float, overlap: float = 0.0, clean_up: int = 1, direction: str | float = "best"
) -> tuple[MultiLineString, MultiLineString]:
    """
    Draw the rounds and the passes over one shape.

    Parameters
    ----------
    shape, width, overlap, clean_up
        As for :func:`measure_passes`.
    direction
        ``best``, or degrees clockwise from north.

    Returns
    -------
    rounds, passes
        Multilinestrings, all of them inside the shape; runs along necks are counted, but not drawn. The passes come
        from left to right across their direction, each drawn in it; none where the rounds leave no ground.
    """
    fresh = width - overlap
    offsets = width / 2 + fresh * np.arange(clean_up)
    rings = [part for offset in offsets for part in shapely.get_parts(shapely.boundary(_inside(shape, offset)))]
    left: BaseGeometry = _inside(shape, clean_up * fresh) if clean_up else shape
    (degrees,), _, _ = _passes(np.array([left], dtype=object), fresh, direction)
    lines = [] if np.isnan(degrees) else _scan_lines(left, fresh, float(degrees))
    return _together(rings), _together(lines)


def edges_of(shapes: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """
    Edges of polygons, for :func:`turfgis.formulas.passes.passes_over_shapes`.

    Parameters
    ----------
    shapes
        Polygons and multipolygons, none of them empty. Shape (n,).

    Returns
    -------
    edges, shape
        Ends of the edges [m], shape (E, 4), outlines one way round and cut-outs the other; and whose they are, (E,).
    """
    polygons, whose = shapely.get_parts(shapely.orient_polygons(shapes), return_index=True)
    rings, of = shapely.get_rings(polygons, return_index=True)
    points, ring = shapely.get_coordinates(rings, return_index=True)
    follows = ring[1:] == ring[:-1]
    return np.hstack([points[:-1], points[1:]])[follows], whose[of][ring[1:][follows]]


def _together(lines: list) -> MultiLineString:
    """As one; a pass that falls into a gap between two parts is an empty line, which no multilinestring takes."""
    return MultiLineString([one for one in lines if one.length > 0])


def _inside(shapes: Any, distance: float) -> Any:
    """Ground further from the edge than so much."""
    return shapely.buffer(shapes, -distance, quad_segs=ARC_SEGMENTS)


def _rounds(
    shapes: np.ndarray, middles: np.ndarray, width: float, fresh: float, clean_up: int
) -> tuple[np.ndarray, np.ndarray]:
    count, length = np.zeros(len(shapes)), np.zeros(len(shapes))
    for at in range(clean_up):
        ring = shapely.boundary(_inside(shapes, width / 2 + at * fresh) if at else middles)
        count += shapely.get_num_geometries(ring) * ~shapely.is_empty(ring)
        length += shapely.length(ring)
    return count, length


def _passes(left: np.ndarray, fresh: float, direction: str | float) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Direction, number and length of the passes over what the rounds leave."""
    degrees, count, metres = (np.full(len(left), value) for value in (np.nan, 0.0, 0.0))
    there = shapely.area(left) > NOTHING_M2
    if not there.any():
        return degrees, count, metres
    tried = DIRECTIONS if isinstance(direction, str) else np.array([direction])
    edges, shape = edges_of(left[there])
    passes, length = passes_over_shapes(edges, shape, int(there.sum()), tried, fresh)
    if direction == "turned":
        count[there], metres[there] = passes.mean(axis=0), length.mean(axis=0)
    else:
        best = np.lexsort((length.round(6), passes), axis=0)[0]
        here = np.arange(passes.shape[1])
        degrees[there], count[there], metres[there] = tried[best], passes[best, here], length[best, here]
    return degrees, count, metres


def _scan_lines(left: BaseGeometry, fresh: float, degrees: float) -> list[BaseGeometry]:
    (along,), (across,) = pass_directions(degrees)
    points = shapely.get_coordinates(left)
    u, v = points @ along, points @ across
    lines, spacing = pass_spacing(np.ptp(v), fresh)
    at = v.min() + (np.arange(int(lines)) + 0.5) * spacing
    ends = [np.multiply.outer(at, across) + along * end for end in (u.min() - 1.0, u.max() + 1.0)]
    cut = shapely.intersection(shapely.linestrings(np.stack(ends, axis=1)), left)
    return list(shapely.get_parts(cut))


def _runs_in_necks(shapes: np.ndarray, middles: np.ndarray, width: float) -> tuple[np.ndarray, np.ndarray]:
    """Number and length of the runs over ground that is no wider than the machine; corners are left to its edges."""
    reached = shapely.buffer(middles, width / 2, quad_segs=ARC_SEGMENTS)
    least = np.where(shapely.is_empty(reached), 0.0, CORNER * width**2)
    # most shapes have smooth edges: what is not reached of them is, all in all, well below the least neck
    some = np.flatnonzero(shapely.area(shapes) - shapely.area(reached) > least / 2)
    parts, of = shapely.get_parts(shapely.difference(shapes[some], reached[some]), return_index=True)
    whose = some[of]
    necks = shapely.area(parts) > least[whose]
    count = np.bincount(whose[necks], minlength=len(shapes)).astype(float)
    return count, np.bincount(whose[necks], shapely.length(parts[necks]) / 2, minlength=len(shapes))


def direction_lines(shapes: np.ndarray, degrees: np.ndarray) -> np.ndarray:
    """
    A line along each shape with a head at its end, in the direction of the passes.

    Parameters
    ----------
    shapes
        Polygons and multipolygons in metres. Shape (n,).
    degrees
        Directions, clockwise from north. Shape (n,).

    Returns
    -------
    Multilinestrings inside their shapes but for the tips of heads: the longest stretch of a pass through the middle.
    """
    along, across = pass_directions(degrees) if len(shapes) else (np.zeros((0, 2)), np.zeros((0, 2)))
    middle = shapely.get_coordinates(shapely.point_on_surface(shapes))
    reach = 2.1 * shapely.minimum_bounding_radius(shapes)[:, None]
    through = shapely.linestrings(np.stack([middle - along * reach, middle + along * reach], axis=1))
    parts, whose = shapely.get_parts(shapely.intersection(through, shapes), return_index=True)
    by_length = np.lexsort((shapely.length(parts), whose))
    longest = parts[by_length[np.flatnonzero(np.diff(whose[by_length], append=len(shapes)))]]
    ends = shapely.get_coordinates(longest).reshape(-1, 2, 2)
    start, end = ends[:, 0] * 0.9 + ends[:, 1] * 0.1, ends[:, 0] * 0.1 + ends[:, 1] * 0.9
    head = np.minimum(0.25 * np.linalg.norm(end - start, axis=1), HEAD_M)[:, None]
    left, right = (end - head * (along + side * 0.5 * across) for side in (-1.0, 1.0))
    shafts, heads = np.stack([start, end], axis=1), np.stack([left, end, right], axis=1)
    return np.array([MultiLineString([shaft, tip]) for shaft, tip in zip(shafts, heads, strict=True)], dtype=object)
