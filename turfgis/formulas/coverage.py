"""How much of each cell of a grid an area covers: exactly, from its edges."""

import numpy as np


def cell_shares(rings, shape):
    r"""
    Share of every cell that lies inside an outline.

    Parameters
    ----------
    rings
        Closed rings as arrays of columns and rows, shape (n, 2), counted in cells from the corner of the grid. The
        outer ones run the other way round than the holes, as shapely's oriented polygons do; the first ring is an
        outer one.
    shape
        Rows and columns of the grid. All rings lie inside it.

    Returns
    -------
    Shares from 0 to 1, a hair of rounding off. Shape ``shape``.

    Raises
    ------
    InputError
        Never: rings come from measured shapes.

    Notes
    -----
    Green's theorem: each edge, parted where it crosses the lines of the grid, adds to its own cell the ground on its
    right there, and to all cells further right in the row the height it spans. The sum along each row is exact but for
    rounding.

    Examples
    --------
    A square of one and a half cells:

    >>> cell_shares([np.array([[0.5, 0], [2, 0], [2, 1], [0.5, 1], [0.5, 0]])], (1, 3))
    array([[0.5, 1. , 0. ]])
    """
    start = np.concatenate([ring[:-1] for ring in rings])
    end = np.concatenate([ring[1:] for ring in rings])
    upright = start[:, 1] != end[:, 1]
    start, end = _parted(start[upright], end[upright])
    middle, rise = (start + end) / 2, end[:, 1] - start[:, 1]
    rows, columns = shape
    column, row = (np.clip(middle[:, at].astype(int), 0, size - 1) for at, size in ((0, columns), (1, rows)))
    at = row * (columns + 1) + column
    inside = rise * (column + 1 - middle[:, 0])
    size = rows * (columns + 1)
    sums = np.bincount(at, inside, size) + np.bincount(at + 1, rise - inside, size)
    shares = np.cumsum(sums.reshape(rows, columns + 1), axis=1)[:, :-1]
    return np.minimum(np.abs(shares, out=shares), 1.0, out=shares)


def _parted(start, end):
    """Edges parted at every whole column and row that they cross."""
    for axis in (0, 1):
        low = np.floor(np.minimum(start[:, axis], end[:, axis]))
        lines = (np.ceil(np.maximum(start[:, axis], end[:, axis])) - low - 1).clip(0).astype(int)
        pieces = lines + 1
        first = np.cumsum(pieces) - pieces
        owner = np.repeat(np.arange(len(start)), pieces)
        step = np.arange(len(owner)) - first[owner]
        upward = end[owner, axis] >= start[owner, axis]
        # the line that a piece ends at, counted in the direction of the edge
        line = np.where(upward, low[owner] + step + 1, low[owner] + lines[owner] - step)
        last = step == lines[owner]
        reach = np.where(last, 1.0, end[owner, axis] - start[owner, axis])
        share = np.where(last, 1.0, (line - start[owner, axis]) / reach)
        points = start[owner] + (end - start)[owner] * share[:, None]
        points[:, axis] = line
        points[last] = end[owner[last]]
        before = np.empty_like(points)
        before[1:] = points[:-1]
        before[step == 0] = start[owner[step == 0]]
        start, end = before, points
    return start, end
