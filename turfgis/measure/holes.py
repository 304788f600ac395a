"""
Numbers of holes carried over by position, where the shapes have none but the hole lines do.

A hole line runs from tee to green; one that begins on a green and does not end on one was drawn the other way round and
is turned. The green at its end, the tees about its start and whatever lies along it belong to its hole. Rough, water
and paths often serve several holes; they get a number only where exactly one line crosses them.
"""

import numpy as np
import shapely
from shapely.ops import substring

ON_GREEN_M = 1.0  # an end of a line that is so close to a green lies on it
GREEN_REACH_M = 30.0  # from the end of the line to its green
TEE_REACH_M = 60.0  # from the first part of the line to its tees
REACH_M = 60.0  # from the line to what lies beside it
START_SHARE = 0.4  # the first part of a line, where tees may stand
SHARED_GROUND = ("rough", "semi-rough", "water", "path", "other")


def holes_by_position(shapes: np.ndarray, surface: np.ndarray, lines: np.ndarray, numbers: np.ndarray) -> np.ndarray:
    """
    The hole each shape belongs to, as far as its position tells.

    Parameters
    ----------
    shapes, surface
        Polygons [m] and the surface of each. Shape (n,).
    lines, numbers
        Hole lines from tee to green [m] and the hole of each, as text.

    Returns
    -------
    Array of text or None. Shape (n,). A green at the end of two lines gets both, as in ``2/16``.
    """
    found = np.full(len(shapes), None, dtype=object)
    if not len(lines) or not len(shapes):
        return found
    lines = np.array([_one_line(line) for line in lines], dtype=object)
    greens = np.flatnonzero(surface == "green")
    if len(greens):
        tree = shapely.STRtree(shapes[greens])
        lines = _towards_green(lines, tree)
        ends = shapely.get_point(lines, -1)
        end, green = tree.query_nearest(ends, max_distance=GREEN_REACH_M, all_matches=False)
        at_green: dict[int, set[str]] = {}
        for place, hole in zip(greens[green].tolist(), numbers[end], strict=True):
            at_green.setdefault(place, set()).add(hole)
        for place, holes in at_green.items():
            found[place] = "/".join(sorted(holes, key=_hole_order))
    first_parts = np.array([substring(line, 0, START_SHARE, normalized=True) for line in lines], dtype=object)
    shared = np.isin(surface, SHARED_GROUND)
    _nearest(found, np.flatnonzero(surface == "tee"), shapes, first_parts, numbers, TEE_REACH_M)
    beside = np.flatnonzero(~shared & ~np.isin(surface, ("green", "tee")))
    _most_crossed(found, beside, shapes, lines, numbers)
    _nearest(found, beside[[found[place] is None for place in beside]], shapes, lines, numbers, REACH_M)
    _only_crossed(found, np.flatnonzero(shared), shapes, lines, numbers)
    return found


def _hole_order(hole: str) -> tuple[int, str]:
    return (int(hole), hole) if hole.isdigit() else (999, hole)


def _one_line(line):
    """A line in several pieces as one, in the order in which they are drawn."""
    parts = shapely.get_parts(line)
    return line if len(parts) == 1 else shapely.linestrings(shapely.get_coordinates(parts))


def _towards_green(lines: np.ndarray, greens: shapely.STRtree) -> np.ndarray:
    def on_green(place: int) -> np.ndarray:
        points = shapely.get_point(lines, place)
        return np.isin(np.arange(len(lines)), greens.query(points, predicate="dwithin", distance=ON_GREEN_M)[0])

    return np.where(on_green(0) & ~on_green(-1), shapely.reverse(lines), lines)


def _nearest(found, places, shapes, lines, numbers, reach) -> None:
    if not len(places):
        return
    shape, line = shapely.STRtree(lines).query_nearest(shapes[places], max_distance=reach, all_matches=False)
    found[places[shape]] = numbers[line]


def _most_crossed(found, places, shapes, lines, numbers) -> None:
    """The line that runs furthest inside a shape has it."""
    shape, line = shapely.STRtree(lines).query(shapes[places], predicate="intersects")
    inside = shapely.length(shapely.intersection(shapes[places[shape]], lines[line]))
    for row in np.lexsort((inside, shape)):  # the longest comes last and stays
        found[places[shape[row]]] = numbers[line[row]]


def _only_crossed(found, places, shapes, lines, numbers) -> None:
    shape, line = shapely.STRtree(lines).query(shapes[places], predicate="intersects")
    alone = np.bincount(shape, minlength=len(places)) == 1
    for row in np.flatnonzero(alone[shape]):
        found[places[shape[row]]] = numbers[line[row]]
