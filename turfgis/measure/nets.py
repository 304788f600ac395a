"""
Net shapes: what each drawn shape keeps once every square metre has one owner.

Where two shapes overlap, the one that lies higher in the pile keeps the ground; of two of the same surface, the one
drawn first.
"""

from dataclasses import dataclass

import numpy as np
import shapely

from turfgis.measure.faces import part_ground

# The insides have a common part, whatever the borders do (DE-9IM; OGC 06-103r4, Simple feature access, part 1).
INSIDES_MEET = "T********"
AT_A_TIME = 1000  # shapes; whole groups of neighbours, so that time and memory grow no faster than their number


@dataclass(frozen=True)
class Ground:
    """
    Who has the ground, and who would have had it.

    Attributes
    ----------
    net
        What is left of each shape; empty where nothing is.
    below, above, twice_m2
        For each pair of shapes whose insides meet: places of the lower and the higher one, sorted by the lower one, and
        their common ground. [m2]
    """

    net: np.ndarray
    below: np.ndarray
    above: np.ndarray
    twice_m2: np.ndarray


def share_ground(shapes: np.ndarray, rank: np.ndarray) -> Ground:
    """
    Give every square metre to the highest of the shapes that cover it.

    Parameters
    ----------
    shapes
        Valid polygons, in the order in which they were drawn. [m] Shape (n,).
    rank
        Place of each in the pile, 0 on top. Shape (n,).

    Returns
    -------
    The net shapes, whose areas sum to the area of the union, and the pairs that overlap.

    Examples
    --------
    A green of 4 m2 drawn over a fairway of 100 m2:

    >>> ground = share_ground(shapely.box([0, 4], [0, 4], [10, 6], [10, 6]), np.array([7, 0]))
    >>> shapely.area(ground.net), ground.below, ground.above, ground.twice_m2
    (array([96.,  4.]), array([0]), array([1]), array([4.]))
    """
    net = shapes.copy()
    height = _heights(rank)
    pairs = [(np.empty(0, dtype=int), np.empty(0, dtype=int), np.empty(0))]
    for places in _neighbourhoods(shapes):
        net[places], below, above, twice = _shared(shapes[places], height[places])
        pairs.append((places[below], places[above], twice))
    below, above, twice = (np.concatenate(column) for column in zip(*pairs, strict=True))
    order = np.lexsort((above, below))
    return Ground(net, below[order], above[order], twice[order])


def _heights(rank: np.ndarray) -> np.ndarray:
    """A height of its own for each shape, 0 on top."""
    height = np.empty(len(rank), dtype=int)
    height[np.lexsort((np.arange(len(rank)), rank))] = np.arange(len(rank))
    return height


def _neighbourhoods(shapes: np.ndarray) -> list[np.ndarray]:
    """Places of shapes that may overlap, in batches of whole groups; a shape that stands alone is in none."""
    one, other = shapely.STRtree(shapes).query(shapes)
    group = grouped(len(shapes), one, other)
    size = np.bincount(group, minlength=len(shapes))[group]
    places = np.flatnonzero(size > 1)
    places = places[np.argsort(group[places], kind="stable")]
    starts = np.flatnonzero(np.diff(group[places], prepend=-1))
    batch = starts // AT_A_TIME
    return np.split(places, starts[1:][np.diff(batch) > 0]) if len(places) else []


def grouped(count: int, one: np.ndarray, other: np.ndarray) -> np.ndarray:
    """
    Places that hang together, told by the lowest of each group.

    Parameters
    ----------
    count
        How many places there are.
    one, other
        Pairs that hang together, each in both directions.

    Examples
    --------
    >>> grouped(4, np.array([0, 3, 1, 3]), np.array([3, 0, 3, 1])).tolist()
    [0, 0, 2, 0]
    """
    group = np.arange(count)
    while True:
        lowest = group.copy()
        np.minimum.at(lowest, one, group[other])
        lowest = lowest[lowest]
        if (lowest == group).all():
            return group
        group = lowest


def _shared(shapes: np.ndarray, height: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
    """Net shapes and overlapping pairs of one batch."""
    parted = part_ground(shapes)
    if parted is None:
        below, above = overlapping_pairs(shapes, height)
        twice = shapely.area(shapely.intersection(shapes[below], shapes[above]))
        return net_shapes(shapes, below, above), below, above, twice
    faces, shape, face = parted
    order = np.lexsort((height[shape], face))
    shape, face = shape[order], face[order]
    keeps = np.diff(face, prepend=-1) > 0
    net = shapes.copy()
    lower = np.unique(shape[~keeps])
    net[lower] = shapely.Polygon()
    lost = np.isin(shape, lower) & keeps
    owner, kept = shape[lost], faces[face[lost]]
    order = np.argsort(owner, kind="stable")
    starts = np.flatnonzero(np.diff(owner[order], prepend=-1))
    for place, own in zip(owner[order][starts], np.split(kept[order], starts[1:]), strict=bool(len(starts))):
        net[place] = own[0] if len(own) == 1 else shapely.disjoint_subset_union_all(own)
    return net, *_pairs(shape, keeps, shapely.area(faces[face]))


def _pairs(shape: np.ndarray, keeps: np.ndarray, area: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Pairs of shapes that have faces in common; the shapes of a face stand in a row, from the highest down."""
    row = np.arange(len(shape))
    top = np.maximum.accumulate(np.where(keeps, row, 0))
    deep = row - top  # how many lie above
    lower = np.repeat(row, deep)
    higher = np.repeat(top, deep) + np.arange(len(lower)) - np.repeat(np.cumsum(deep) - deep, deep)
    count = shape.max(initial=0) + 1
    pair, which = np.unique(shape[lower] * count + shape[higher], return_inverse=True)
    return pair // count, pair % count, np.bincount(which, weights=area[lower], minlength=len(pair))


def overlapping_pairs(shapes: np.ndarray, rank: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """
    Pairs of shapes whose insides meet, found by looking at each two neighbours.

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
    height = _heights(rank)
    below, above = shapely.STRtree(shapes).query(shapes)
    once = height[above] < height[below]
    below, above = below[once], above[once]
    meet = shapely.relate_pattern(shapes[below], shapes[above], INSIDES_MEET)
    below, above = below[meet], above[meet]
    sorting = np.argsort(below, kind="stable")
    return below[sorting], above[sorting]


def net_shapes(shapes: np.ndarray, below: np.ndarray, above: np.ndarray) -> np.ndarray:
    """
    Each shape less what those above it cover, cut one by one. Slow and sure: for ground that has no clean faces.

    Parameters
    ----------
    shapes
        Valid polygons. Shape (n,).
    below, above
        Pairs from :func:`overlapping_pairs`.

    Returns
    -------
    Net shapes on the same places; empty where nothing is left.

    Examples
    --------
    >>> shapes = shapely.box([0, 4], [0, 4], [10, 6], [10, 6])
    >>> pairs = overlapping_pairs(shapes, np.array([7, 0]))
    >>> shapely.area(net_shapes(shapes, *pairs))
    array([96.,  4.])
    """
    net = shapes.copy()
    lower, cover = joined(shapes, below, above)
    net[lower] = only_areas(shapely.difference(shapes[lower], cover))
    return net


def joined(shapes: np.ndarray, places: np.ndarray, others: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """
    For each place the ground of the shapes that stand with it in a list of pairs.

    Parameters
    ----------
    shapes
        Valid polygons.
    places, others
        Pairs; places in ``shapes`` are in ``others``.

    Returns
    -------
    The places, sorted, each once, and the union for each.
    """
    order = np.argsort(places, kind="stable")
    places, first, count = np.unique(places[order], return_index=True, return_counts=True)
    others = others[order]
    union = shapes[others[first]]
    for place in np.flatnonzero(count > 1):
        several = shapes[others[first[place] : first[place] + count[place]]]
        union[place] = shapely.disjoint_subset_union_all(several)
    return places, union


def only_areas(shapes: np.ndarray) -> np.ndarray:
    """Shapes without the stray points and lines that cutting can leave behind."""
    mixed = np.flatnonzero(shapely.get_type_id(shapes) == shapely.GeometryType.GEOMETRYCOLLECTION)
    for place in mixed:
        parts = shapely.get_parts(shapes[place])
        shapes[place] = shapely.multipolygons(parts[shapely.get_dimensions(parts) == 2])
    return shapes
