"""
Net shapes: what each drawn shape keeps once every square metre has one owner.

Where two shapes overlap, the one that lies higher in the pile keeps the ground; of two of the same surface, the one
drawn first. Only pairs whose insides meet are cut, so that shared borders, the normal case, cost one look each.
"""

import numpy as np
import shapely

# The insides have a common part, whatever the borders do (DE-9IM; OGC 06-103r4, Simple feature access, part 1).
INSIDES_MEET = "T********"


def overlapping_pairs(shapes: np.ndarray, rank: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """
    Pairs of shapes whose insides meet.

    Parameters
    ----------
    shapes
        Valid polygons, in the order in which they were drawn. Shape (n,).
    rank
        Place of each in the pile, 0 on top. Shape (n,).

    Returns
    -------
    below, above
        Places of the lower and the higher shape of each pair, sorted by the lower one.
    """
    height = np.empty(len(shapes), dtype=int)
    height[np.lexsort((np.arange(len(shapes)), rank))] = np.arange(len(shapes))
    below, above = shapely.STRtree(shapes).query(shapes)
    once = height[above] < height[below]
    below, above = below[once], above[once]
    meet = shapely.relate_pattern(shapes[below], shapes[above], INSIDES_MEET)
    below, above = below[meet], above[meet]
    sorting = np.argsort(below, kind="stable")
    return below[sorting], above[sorting]


def net_shapes(shapes: np.ndarray, below: np.ndarray, above: np.ndarray) -> np.ndarray:
    """
    Each shape less what those above it cover.

    Parameters
    ----------
    shapes
        Valid polygons. Shape (n,).
    below, above
        Pairs from :func:`overlapping_pairs`.

    Returns
    -------
    Net shapes on the same places; empty where nothing is left. Their areas sum to the area of the union.

    Examples
    --------
    A green of 4 m2 drawn over a fairway of 100 m2:

    >>> shapes = shapely.box([0, 4], [0, 4], [10, 6], [10, 6])
    >>> pairs = overlapping_pairs(shapes, np.array([7, 0]))
    >>> shapely.area(net_shapes(shapes, *pairs))
    array([96.,  4.])
    """
    net = shapes.copy()
    if not len(below):
        return net
    lower, first, count = np.unique(below, return_index=True, return_counts=True)
    cover = shapes[above[first]]
    for place in np.flatnonzero(count > 1):
        over = above[first[place] : first[place] + count[place]]
        cover[place] = shapely.disjoint_subset_union_all(shapes[over])
    net[lower] = only_areas(shapely.difference(shapes[lower], cover))
    return net


def only_areas(shapes: np.ndarray) -> np.ndarray:
    """Shapes without the stray points and lines that cutting can leave behind."""
    mixed = np.flatnonzero(shapely.get_type_id(shapes) == shapely.GeometryType.GEOMETRYCOLLECTION)
    for place in mixed:
        parts = shapely.get_parts(shapes[place])
        shapes[place] = shapely.multipolygons(parts[shapely.get_dimensions(parts) == 2])
    return shapes
