"""
Parallel passes over shapes of any outline: how many and how long, by closed form over all edges and directions at once.

Shapes are given as their edges. A pass is a scan line; where edges cross it, ground begins or ends.
"""

import numpy as np

from turfgis.errors import InputError
from turfgis.formulas.arguments import positive

DIRECTIONS = np.arange(0.0, 180.0, 5.0)  # 36 of them; a pass has the same length both ways
SPARE = 0.01  # of a pass
BLOCK = 20_000  # edges times directions worked on at once: what stays near the processor


def pass_directions(degrees):
    r"""
    Unit vectors along and across passes.

    .. math:: (\sin \theta, \cos \theta), \qquad (\cos \theta, -\sin \theta)

    Parameters
    ----------
    degrees
        Direction of the passes, clockwise from north. [deg] Shape (D,), or a number.

    Returns
    -------
    along, across
        Components east and north of the vector along the passes, and of the one to their right. Shape (D, 2).

    Raises
    ------
    InputError
        A direction is not a finite number.

    Notes
    -----
    Plain geometry; x is east and y is north.

    Examples
    --------
    >>> along, across = pass_directions(90)
    >>> print(along.round(9).tolist(), across.round(9).tolist())
    [[1.0, 0.0]] [[0.0, -1.0]]
    """
    numbers = np.atleast_1d(np.asarray(degrees))
    if numbers.dtype.kind not in "iuf" or not np.isfinite(numbers).all():
        raise InputError(f"a direction must be a number of degrees, but it is {degrees!r}")
    sine, cosine = np.sin(np.radians(numbers)), np.cos(np.radians(numbers))
    return np.column_stack([sine, cosine]), np.column_stack([cosine, -sine])


def pass_spacing(extent, width):
    r"""
    Distance between neighbouring passes: the fresh width, drawn together until a whole number fits.

    .. math:: \frac{h}{\lceil h / w \rceil}

    Parameters
    ----------
    extent
        How far the ground reaches across the passes. [m]
    width
        Width of fresh ground that a pass can take. [m]

    Returns
    -------
    A tuple: number of scan lines [-], distance between them [m].

    Raises
    ------
    InputError
        An argument is not greater than zero.

    Notes
    -----
    The lines are anchored to the ground itself: the outer ones lie half a distance inside its two extremes. So all of a
    strip of width h is cut, in as few passes as it can be, and what the last one has to spare is shared among all.
    What is over by less than a hundredth of a pass is taken in by the others: no drawing is as exact.

    Examples
    --------
    A strip of 10 metres and passes of 1.45 metres:

    >>> lines, spacing = pass_spacing(10.0, 1.45)
    >>> print(f"{lines:.0f} {spacing:.3f}")
    7 1.429
    """
    reach, fresh = positive("extent", extent, "m"), positive("width", width, "m")
    lines = np.maximum(np.ceil(reach / fresh - SPARE), 1.0)
    return lines, reach / lines


def passes_over_shapes(edges, shape, shapes, directions, width):
    r"""
    Number of passes over each shape and their length, in each direction.

    .. math:: n = \lceil q_b \rceil - \lceil q_a \rceil, \qquad N = \tfrac12 \sum |n|, \qquad
              L = \Big| \sum n \, \bar u \Big|

    with q the distance across in units of the spacing, counted from the first scan line, and u the mean distance along
    at which an edge crosses the scan lines between its ends.

    Parameters
    ----------
    edges
        Ends of the edges, x and y of the first and of the second. [m] Shape (E, 4). Rings are closed; the outline of a
        shape runs the other way round than its cut-outs.
    shape
        Which shape an edge belongs to: 0, 1, ... in rising order, none left out. Shape (E,).
    shapes
        How many shapes there are.
    directions
        Directions of the passes, clockwise from north. [deg] Shape (D,).
    width
        Width of fresh ground that a pass takes; one for all shapes, or one each. [m] Shape () or (S,).

    Returns
    -------
    A tuple: number of passes [-] and their length [m], each of shape (D, S). A pass that a cut-out or a bay parts
    counts once for each part.

    Raises
    ------
    InputError
        The width is not greater than zero, or the edges are not those of so many shapes.

    Notes
    -----
    Exact for the scan lines of `pass_spacing`, whatever the shape. Lines on a corner count for the edge that begins
    there going up. A lobe that reaches less than half a spacing past a line, in the middle of a shape's extent, is left
    to the clean-up round.

    Examples
    --------
    A square of 10 metres, passes of 2 metres, due north:

    >>> square = np.array([[0, 0, 10, 0], [10, 0, 10, 10], [10, 10, 0, 10], [0, 10, 0, 0]], dtype=float)
    >>> passes, length = passes_over_shapes(square, np.zeros(4, dtype=int), 1, [0.0], 2.0)
    >>> print(passes.item(), length.item())
    5.0 50.0
    """
    fresh = np.broadcast_to(positive("width", width, "m"), (shapes,))
    first = _first_edges(edges, shape, shapes)
    along, across = pass_directions(directions)
    ends = np.asarray(edges, dtype=float).reshape(-1, 2, 2).transpose(1, 2, 0)
    step = max(1, BLOCK // len(shape))
    found = [
        _in_directions(along[at : at + step], across[at : at + step], ends, shape, first, fresh)
        for at in range(0, len(along), step)
    ]
    passes, length = (np.concatenate(parts) for parts in zip(*found, strict=True))
    return passes, length


def _in_directions(along, across, ends, shape, first, fresh):
    """Passes and their length, one row for each direction."""
    u, v = along @ ends, across @ ends  # of both ends: one row for each direction, one column for each edge
    low, high = np.minimum.reduceat(v[0], first, axis=1), np.maximum.reduceat(v[0], first, axis=1)
    _, spacing = pass_spacing(np.maximum(high - low, 1e-9), fresh)
    qa, qb = (v - low[:, shape]) / spacing[:, shape] - 0.5
    above_a, above_b = np.ceil(qa), np.ceil(qb)
    n, rise = above_b - above_a, qb - qa
    middle = ((above_a + above_b - 1) / 2 - qa) / np.where(rise == 0, 1.0, rise)
    reach = n * (u[0] + np.clip(middle, 0.0, 1.0) * (u[1] - u[0]))
    return np.add.reduceat(np.abs(n), first, axis=1) / 2, np.abs(np.add.reduceat(reach, first, axis=1))


def _first_edges(edges, shape, shapes):
    """Place of the first edge of each shape."""
    if len(edges) != len(shape) or not len(shape):
        raise InputError(f"{len(edges)} edges were given, and {len(shape)} numbers of the shapes they belong to")
    steps = np.diff(shape)
    if shape[0] != 0 or shape[-1] != shapes - 1 or ((steps != 0) & (steps != 1)).any():
        raise InputError(f"edges must be in the order of their shapes, 0 to {shapes - 1}, with some for each")
    return np.concatenate([[0], np.flatnonzero(steps) + 1])
