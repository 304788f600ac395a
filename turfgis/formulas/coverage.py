"""How much of each cell of a grid an area covers: exactly, from its edges."""

import numpy as np


def parted_edges(start, end):
    """
    Edges parted at every whole column and row that they cross, so that each piece lies in one cell.

    Parameters
    ----------
    start, end
        Where edges begin and end: columns and rows. Shape (n, 2).

    Returns
    -------
    A tuple: start and end of the pieces, shape (m, 2), and the edge that each is a piece of, shape (m,). They follow
    each other as along the edges.

    Raises
    ------
    InputError
        Never: edges come from measured shapes.

    Notes
    -----
    Plain geometry. One call for many outlines is much quicker than one for each.

    Examples
    --------
    >>> start, end, edge = parted_edges(np.array([[0.5, 0.0]]), np.array([[2.5, 1.0]]))
    >>> start[:, 0]
    array([0.5, 1. , 2. ])
    """
    edge = np.arange(len(start))
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
        start, end, edge = before, points, edge[owner]
    return start, end, edge


def cell_shares(start, end, shape):
    r"""
    Share of every cell of a window that lies inside an outline.

    Parameters
    ----------
    start, end
        All the edges of the outline in the rows of the window, parted as by `parted_edges`: columns and rows, counted
        in cells from the corner of the window. Shape (n, 2). Outer rings run the other way round than holes, as those
        of shapely's oriented polygons do. Edges may lie left or right of the window.
    shape
        Rows and columns of the window.

    Returns
    -------
    Shares from 0 to 1, a hair of rounding off. Shape ``shape``.

    Raises
    ------
    InputError
        Never: outlines come from measured shapes.

    Notes
    -----
    Green's theorem: each piece of an edge adds to its own cell the ground on its right there, and to all cells further
    right in the row the height it spans. The sum along each row is exact but for rounding.

    Examples
    --------
    A square of one and a half cells:

    >>> ring = np.array([[0.5, 0], [2, 0], [2, 1], [0.5, 1], [0.5, 0]])
    >>> start, end, _ = parted_edges(ring[:-1], ring[1:])
    >>> cell_shares(start, end, (1, 3))
    array([[0.5, 1. , 0. ]])
    """
    rows, columns = shape
    (across, down), rise = (start + end).T / 2, end[:, 1] - start[:, 1]
    column, row = (
        np.minimum(np.maximum(middle, 0).astype(int), size - 1) for middle, size in ((across, columns), (down, rows))
    )
    inside = rise * np.minimum(np.maximum(column + 1 - across, 0.0), 1.0)
    at = row * (columns + 1) + column
    sums = np.bincount(np.append(at, at + 1), np.append(inside, rise - inside), rows * (columns + 1))
    shares = np.cumsum(sums.reshape(rows, columns + 1), axis=1, dtype=float)[:, :-1]
    return np.minimum(np.abs(shares, out=shares), 1.0, out=shares)
