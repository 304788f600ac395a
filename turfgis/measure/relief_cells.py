"""The cells of a raster of heights under each patch, and what is added up over them."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import lru_cache

import numpy as np
import shapely

from turfgis.formulas.coverage import cell_shares, parted_edges
from turfgis.formulas.slopes import (
    area_factor_noise,
    gradient_area_factor,
    gradient_noise,
    horn_gradient,
    smoothed,
    smoothing_weights,
)
from turfgis.measure.relief_grid import HeightGrid

BLOCK = 512  # cells on a side of what is held at once; a patch that reaches further is taken in blocks
TILE = 256  # cells on a side of what most files keep together
CLASSES = 3000  # of slopes: equal steps of the sine, 0.02 degrees on level ground
HALF, NOTHING = 0.5, 1e-9  # of a cell


@dataclass
class CellSums:
    """
    What is added up over the cells of a patch, each with the share of it that the patch covers.

    Attributes
    ----------
    covered, known
        Shares of all cells, and of those whose slope is known.
    factor, noise, slope, east, north
        Area factor; what errors of the heights of variance 1 m2 add to it; slope; gradient.
    lowest, highest
        Heights of the cells that lie in the patch by half at least. [m]
    steepest, steepest_cell
        Slope of the steepest of these, and the column and row of its middle.
    classes
        Shares of the cells in each of `CLASSES` equal classes of the sine of the slope.
    """

    covered: float = 0.0
    known: float = 0.0
    factor: float = 0.0
    noise: float = 0.0
    slope: float = 0.0
    east: float = 0.0
    north: float = 0.0
    lowest: float = np.inf
    highest: float = -np.inf
    steepest: float = np.nan
    steepest_cell: tuple[float, float] = (np.nan, np.nan)
    classes: np.ndarray = field(default_factory=lambda: np.zeros(CLASSES))


def add_cells(outlines: np.ndarray, grid: HeightGrid, steps: np.ndarray, smoothing: float) -> list[CellSums]:
    """
    Add up the cells under each patch.

    Parameters
    ----------
    outlines
        Patches in columns and rows of the grid, their rings turned one way.
    grid
        The heights.
    steps
        Columns and rows in a metre east and north about each patch. [1/m] Shape (n, 2, 2).
    smoothing
        Distance over which heights are averaged first. [m]

    Returns
    -------
    The sums of each patch; nothing is covered where it lies beside the grid.
    """
    sums, bounds = [CellSums() for _ in outlines], shapely.bounds(outlines)
    near = np.flatnonzero([grid.near(*box) for box in bounds])
    near = near[np.lexsort((bounds[near] // TILE).T[:2])]  # neighbours one after another, as files keep them
    start, end, owner = _edges(outlines[near])
    first = np.searchsorted(owner, np.arange(len(near) + 1))
    for at, patch in enumerate(near):
        mine = slice(first[at], first[at + 1])
        _add_patch(sums[patch], start[mine], end[mine], bounds[patch], grid, steps[patch], smoothing)
    return sums


def _edges(outlines: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Edges of all outlines, parted by cells: where they start and end, and whose they are."""
    parts, outline = shapely.get_parts(outlines, return_index=True)
    rings, part = shapely.get_rings(parts, return_index=True)
    points, ring = shapely.get_coordinates(rings, return_index=True)
    edges = np.flatnonzero(
        (ring[1:] == ring[:-1]) & (points[1:, 1] != points[:-1, 1])
    )  # none along a row: it bounds nothing
    start, end, edge = parted_edges(points[edges], points[edges + 1])
    return start, end, outline[part[ring[edges[edge]]]]


def _add_patch(
    sums: CellSums,
    start: np.ndarray,
    end: np.ndarray,
    bounds: np.ndarray,
    grid: HeightGrid,
    steps: np.ndarray,
    smoothing: float,
) -> None:
    """A patch, block by block, from its edges."""
    left, top = np.floor(bounds[:2]).astype(int).tolist()
    right, bottom = np.ceil(bounds[2:]).astype(int).tolist()
    several = max(right - left, bottom - top) > BLOCK
    for row in range(top, bottom, BLOCK):
        rows, here = min(BLOCK, bottom - row), slice(None)
        if several:
            middle = (start[:, 1] + end[:, 1]) / 2
            here = (row < middle) & (middle < row + rows)
        for column in range(left, right, BLOCK):
            shape = rows, min(BLOCK, right - column)
            shares = cell_shares(start[here] - (column, row), end[here] - (column, row), shape)
            _add_block(sums, shares, grid, (row, column), steps, smoothing, several)


def _add_block(
    sums: CellSums,
    shares: np.ndarray,
    grid: HeightGrid,
    corner: tuple[int, int],
    steps: np.ndarray,
    smoothing: float,
    several: bool,
) -> None:
    """One block of a patch; ``corner`` is the row and the column of its first cell."""
    cells = np.flatnonzero(shares > NOTHING)
    if not len(cells):
        return
    *fields, variance = gradients(grid, corner, shares.shape, steps, smoothing)
    share = shares.take(cells)
    heights, east, north = (field.take(cells) for field in fields)
    least = HALF if several else min(HALF, share.max())
    covered = float(share.sum())
    sums.covered += covered
    squared = east * east + north * north
    if not np.isfinite((squared + heights).sum()):
        known = np.isfinite(squared + heights)
        cells, share, heights, squared = cells[known], share[known], heights[known], squared[known]
        east, north = east[known], north[known]
        covered = float(share.sum())
    if not len(cells):
        return
    slope = np.sqrt(squared)
    factor = gradient_area_factor(slope, 0.0)
    sums.known += covered
    sums.factor += _dot(share, factor)
    sums.noise += variance * _dot(share, area_factor_noise(factor, 1.0))
    sums.slope += _dot(share, slope)
    sums.east += _dot(share, east)
    sums.north += _dot(share, north)
    sums.classes += np.bincount((slope / factor * CLASSES).astype(np.intp), share, CLASSES)
    fullest, rim = int(np.argmax(share)), np.flatnonzero(share < least)
    if len(rim) == len(cells):
        return
    heights[rim], slope[rim] = heights[fullest], -1.0  # of no account from here on
    sums.lowest, sums.highest = min(sums.lowest, heights.min()), max(sums.highest, heights.max())
    most = int(np.argmax(slope))
    if not slope[most] <= sums.steepest:
        row, column = divmod(int(cells[most]), shares.shape[1])
        sums.steepest = float(slope[most])
        sums.steepest_cell = (corner[1] + column + 0.5, corner[0] + row + 0.5)


def _dot(share: np.ndarray, values: np.ndarray) -> float:
    """Sum of products, without the threads that a matrix product would start for it."""
    return float(np.einsum("i,i->", share, values))


def gradients(
    grid: HeightGrid, corner: tuple[int, int], shape: tuple[int, ...], steps: np.ndarray, smoothing: float
) -> tuple[np.ndarray, np.ndarray, np.ndarray, float]:
    """
    Heights and gradient of a window of the grid.

    Parameters
    ----------
    grid
        The heights.
    corner, shape
        First row and column; rows and columns.
    steps
        Columns and rows in a metre east and north. [1/m]
    smoothing
        Distance over which heights are averaged first. [m]

    Returns
    -------
    heights [m], gradient east and north, and the mean variance of the two where heights have independent errors of
    variance 1.
    """
    across, down = (1 / np.hypot(*steps[:, at]) for at in (0, 1))
    by_row, by_column, spread = _smoothing(smoothing, *(float(f"{cell:.7g}") for cell in (down, across)))
    more = np.array([len(by_row) // 2 + 1, len(by_column) // 2 + 1])
    wide = grid.read(*(np.array(corner) - more).tolist(), *(np.array(shape) + 2 * more).tolist())
    wide = smoothed(wide, by_row, by_column)
    wide = wide[more[0] - 1 : wide.shape[0] - more[0] + 1, more[1] - 1 : wide.shape[1] - more[1] + 1]
    from_left, from_top = horn_gradient(wide)
    east, north = (from_left * steps[at, 0] + from_top * steps[at, 1] for at in (0, 1))
    variance = float(np.square(steps).sum(axis=0) @ spread) / 2
    return wide[1:-1, 1:-1], east, north, variance


@lru_cache(maxsize=64)
def _smoothing(smoothing: float, down: float, across: float) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Weights from row to row and from column to column, and the noise of the rises; the same all over most grids."""
    by_row, by_column = smoothing_weights(smoothing, down), smoothing_weights(smoothing, across)
    return by_row, by_column, np.array(gradient_noise(by_row, by_column))
