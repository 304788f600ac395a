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
    "neck": "too narrow in places: rounds part there, and what lies between is left out",
    "narrow": "nowhere wider than the machine: one run along the middle",
    "turn": "too tight for its turning circle: the clean-up round needs shunting",
}
NOTHING_M2 = 1e-6
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
    Numbers and lengths. Ground that is nowhere wider than the machine is taken in one run along its middle, half as
    long as its edge.

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
    rounds, rounds_m = _rounds(shapes, width, fresh, clean_up)
    left = _inside(shapes, clean_up * fresh) if clean_up else shapes
    direction_deg, passes, passes_m = _passes(left, fresh, direction)
    fits = _fits(shapes, width, turn_radius if clean_up else None)
    narrow = fits == "narrow"
    return Passes(
        direction_deg=np.where(narrow, np.nan, direction_deg),
        passes=np.where(narrow, 1.0, passes),
        passes_m=np.where(narrow, shapely.length(shapes) / 2, passes_m),
        rounds=np.where(narrow, 0.0, rounds),
        rounds_m=np.where(narrow, 0.0, rounds_m),
        fits=fits,
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
        Multilinestrings, all of them inside the shape. The passes run from left to right across their direction, each
        drawn in it; empty where the machine is wider than the ground.
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
    return MultiLineString([one for one in lines if not one.is_empty])


def _inside(shapes: Any, distance: float) -> Any:
    """Ground further from the edge than so much."""
    return shapely.buffer(shapes, -distance, quad_segs=ARC_SEGMENTS)


def _rounds(shapes: np.ndarray, width: float, fresh: float, clean_up: int) -> tuple[np.ndarray, np.ndarray]:
    count, length = np.zeros(len(shapes)), np.zeros(len(shapes))
    for at in range(clean_up):
        ring = shapely.boundary(_inside(shapes, width / 2 + at * fresh))
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
    parts = shapely.get_parts(cut)
    return list(parts[shapely.get_type_id(parts) == shapely.GeometryType.LINESTRING])


def _fits(shapes: np.ndarray, width: float, turn_radius: float | None) -> np.ndarray:
    """What is in the way of the machine."""
    fits = np.full(len(shapes), "yes", dtype=object)
    reached = _inside(shapes, width / 2)
    parts, whole = shapely.get_num_geometries(reached), shapely.get_num_geometries(shapes)
    if turn_radius is not None:
        fits[shapely.is_empty(_inside(shapes, width / 2 + turn_radius))] = "turn"
    fits[parts != whole] = "neck"
    fits[shapely.is_empty(reached)] = "narrow"
    return fits
