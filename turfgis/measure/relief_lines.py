"""Along lines and edges on the ground: side slope and climb of passes, and drops beside the edge of a patch."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import geopandas as gpd
import numpy as np
import pandas as pd
import pyproj
import shapely

from turfgis.measure.frame import transformer
from turfgis.measure.passes import lay_passes, measure_passes
from turfgis.measure.relief import Relief
from turfgis.measure.relief_cells import BLOCK, gradients
from turfgis.measure.relief_grid import HeightGrid, open_grid

STEP_M = 1.0  # along lines, where the cells are not larger
DEGREES = pyproj.CRS(4326)


@dataclass(frozen=True)
class Travel:
    """How a machine covers ground: width and overlap of a pass [m], rounds along the edge, and direction."""

    width: float
    overlap: float = 0.0
    clean_up: int = 1
    direction: str | float = "best"


def measure_drops(patches: gpd.GeoDataFrame, relief: Relief, drop: float, within: float) -> gpd.GeoDataFrame:
    """
    Edges beside which the ground falls away.

    Parameters
    ----------
    patches, relief
        Net shapes in the frame, and their ground.
    drop, within
        So much lower [m], so far outside the edge [m].

    Returns
    -------
    One row a patch: ``drop_edge_m`` (length of edge beside which the ground lies lower by ``drop``), ``drop_m`` (the
    greatest fall), ``drop_x_m``, ``drop_y_m`` (where) and ``edge_known`` (share of the edge whose heights are known);
    and ``geometry``, the edges in question. Not a number where no height is known.
    """
    names = ["drop_edge_m", "drop_m", "drop_x_m", "drop_y_m", "edge_known"]
    rows, lines = [], []
    grid, _ = open_grid(relief.elevation, pyproj.CRS(patches.crs))
    usable = relief.table["mean_slope_pct"].notna().to_numpy()
    if grid is None or not usable.any():
        nothing = pd.DataFrame(np.nan, index=patches.index, columns=names)
        return gpd.GeoDataFrame(nothing, geometry=[shapely.MultiLineString()] * len(patches), crs=patches.crs)
    with grid:
        for shape in patches.geometry:
            row, line = _drops(shape, grid, relief, drop, within)
            rows.append(row)
            lines.append(line)
    table = pd.DataFrame(rows, index=patches.index, columns=names)
    return gpd.GeoDataFrame(table, geometry=lines, crs=patches.crs)


def _drops(
    shape: shapely.Geometry, grid: HeightGrid, relief: Relief, drop: float, within: float
) -> tuple[list[float], shapely.Geometry]:
    rings = shapely.get_rings(shapely.get_parts(shapely.orient_polygons(shape)))
    found = [_along(ring, max(STEP_M, relief.cell_m)) for ring in rings]
    where, ahead = (np.concatenate([one[at] for one in found]) for at in (0, 1))
    each = np.repeat([step for _, _, step in found], [len(at) for at, _, _ in found])
    outward = np.column_stack([ahead[:, 1], -ahead[:, 0]])  # outer rings run against the clock, holes with it
    heights, _, _ = sample(grid, relief, np.concatenate([where, where + within * outward]))
    falls = heights[: len(where)] - heights[len(where) :]
    low = np.flatnonzero(falls >= drop)
    half = ahead[low] * each[low, None] / 2
    lines = [shapely.LineString(pair) for pair in zip(where[low] - half, where[low] + half, strict=True)]
    known = ~np.isnan(falls)
    edges = shapely.multilinestrings(lines) if lines else shapely.MultiLineString()
    edges = shapely.line_merge(shapely.set_precision(edges, 0.01))
    if not known.any():
        return [np.nan, np.nan, np.nan, np.nan, 0.0], edges
    most = int(np.nanargmax(falls))
    share = float(each[known].sum() / each.sum())
    return [float(each[known & (falls >= drop)].sum()), max(float(falls[most]), 0.0), *where[most], share], edges


def measure_travel(patches: gpd.GeoDataFrame, relief: Relief, travel: Travel) -> pd.DataFrame:
    """
    Side slope and climb of a machine along the passes it lays over patches.

    Parameters
    ----------
    patches, relief
        Net shapes in the frame, and their ground, row by row.
    travel
        How the machine goes.

    Returns
    -------
    One row a patch: ``direction_deg`` of the passes, clockwise from north; steepest ``side_slope_pct`` (across the way)
    and ``climb_pct`` (along it, up or down) on rounds and passes, or along the edge of a patch that is nowhere wider
    than the machine. Not a number where the heights do not tell.
    """
    names = ["direction_deg", "side_slope_pct", "climb_pct"]
    table = pd.DataFrame(np.nan, index=patches.index, columns=names)
    grid, _ = open_grid(relief.elevation, pyproj.CRS(patches.crs))
    shapes = patches.geometry.to_numpy()
    direction = "best" if travel.direction == "turned" else travel.direction
    laid = measure_passes(shapes, travel.width, travel.overlap, travel.clean_up, direction)
    table["direction_deg"] = laid.direction_deg
    if grid is None:
        return table
    with grid:
        for place, (shape, degrees) in enumerate(zip(shapes, laid.direction_deg, strict=True)):
            if np.isnan(relief.table["mean_slope_pct"].iloc[place]):
                continue
            lines = (shapely.boundary(shape),)  # where nothing but one run along the middle fits
            if not np.isnan(degrees):
                lines = lay_passes(shape, travel.width, travel.overlap, travel.clean_up, float(degrees))
            at, ahead = _on_lines(lines, max(STEP_M, relief.cell_m))
            if not len(at):
                continue
            _, east, north = sample(grid, relief, at)
            side = np.abs(east * ahead[:, 1] - north * ahead[:, 0])
            climb = np.abs(east * ahead[:, 0] + north * ahead[:, 1])
            if np.isnan(side).all():
                continue
            table.iloc[place, 1:] = [100 * np.nanmax(side), 100 * np.nanmax(climb)]
    return table


def in_degrees(patches: gpd.GeoDataFrame, places: np.ndarray) -> np.ndarray:
    """Places in the frame as longitude and latitude on WGS 84. [degrees] Shape (n, 2); nan where there is none."""
    there = np.column_stack(transformer(pyproj.CRS(patches.crs), DEGREES).transform(*places.T))
    return np.where(np.isfinite(places), there, np.nan)


def _on_lines(lines: tuple, step: float) -> tuple[np.ndarray, np.ndarray]:
    parts = [part for line in lines for part in shapely.get_parts(line) if shapely.length(part) > 0]
    if not parts:
        return np.empty((0, 2)), np.empty((0, 2))
    found = [_along(part, step)[:2] for part in parts]
    return np.concatenate([at for at, _ in found]), np.concatenate([ahead for _, ahead in found])


def _along(line: shapely.Geometry, step: float) -> tuple[np.ndarray, np.ndarray, float]:
    """Middles of equal stretches of a line, the way it goes there (length 1), and the length of a stretch. [m]"""
    xy = shapely.get_coordinates(line)
    run = np.hypot(*np.diff(xy, axis=0).T)
    xy, run = np.vstack([xy[:1], xy[1:][run > 0]]), run[run > 0]
    so_far = np.concatenate([[0.0], np.cumsum(run)])
    count = max(round(float(so_far[-1]) / step), 1)
    at = (np.arange(count) + 0.5) * so_far[-1] / count
    edge = np.clip(np.searchsorted(so_far, at, side="right") - 1, 0, len(run) - 1)
    ahead = np.diff(xy, axis=0) / run[:, None]
    return xy[edge] + ahead[edge] * (at - so_far[edge])[:, None], ahead[edge], so_far[-1] / count


def sample(grid: HeightGrid, relief: Relief, places: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """
    Height [m] and gradient east and north [-] at places in the frame, between the four middles of cells about each.

    Not a number where one of the four is not known. Shape (n,) each.
    """
    found = np.full((3, len(places)), np.nan)
    cells = grid.cells(places) - 0.5
    low = np.floor(cells).astype(int)
    for here, (row, column) in _blocks(low):
        shape = tuple((np.ptp(low[here], axis=0)[::-1] + 2).tolist())
        steps = grid.steps(places[here].mean(axis=0, keepdims=True))[0]
        fields = gradients(grid, (row, column), shape, steps, relief.elevation.smoothing_m)
        i, j = low[here, 1] - row, low[here, 0] - column
        right, down = (cells[here] - low[here]).T
        for at, field in enumerate(fields[:3]):
            upper = field[i, j] * (1 - right) + field[i, j + 1] * right
            lower = field[i + 1, j] * (1 - right) + field[i + 1, j + 1] * right
            found[at, here] = upper * (1 - down) + lower * down
    return found[0], found[1], found[2]


def _blocks(low: np.ndarray) -> Iterator[tuple[np.ndarray, tuple[int, int]]]:
    """Places that lie in one block of the grid, with the first row and column of them."""
    column, row = (low // BLOCK).T
    code = (row - row.min(initial=0)) * (np.ptp(column) + 1 if len(column) else 1) + column
    for one in np.unique(code):
        here = np.flatnonzero(code == one)
        first = low[here].min(axis=0)
        yield here, (int(first[1]), int(first[0]))
