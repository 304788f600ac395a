"""Slope, aspect, height and area along the ground of every patch, out of a raster of heights."""

from __future__ import annotations

from dataclasses import dataclass, replace

import geopandas as gpd
import numpy as np
import pandas as pd
import pyproj
import shapely

from turfgis.errors import LayerError
from turfgis.formulas.slopes import aspect, height_noise
from turfgis.layers.findings import Finding, counted, listed
from turfgis.measure.patches import SLOPE_COLUMNS
from turfgis.measure.relief_cells import CLASSES, CellSums, add_cells
from turfgis.measure.relief_grid import Elevation, HeightGrid, open_grid

BESIDE, MOST_BESIDE = 8, 600  # cells looked at around a patch, and at most on a side
ENOUGH = 0.95  # share of a patch whose slope must be known
FEWEST_CELLS = 4  # of a patch, for its slope to be its own and not that of the land about it
ONE_WAY = 0.2  # of the mean slope: ground that falls less than this in all falls to several sides
# Nothing would roll to a stop on a green as steep as this on average, and nobody builds such tees; no source.
TOO_STEEP = {"green": 0.06, "tee": 0.04}

FIGURES = (*SLOPE_COLUMNS, "steepest_x_m", "steepest_y_m")


@dataclass(frozen=True)
class Relief:
    """
    The ground of the patches.

    Attributes
    ----------
    table
        One row a patch, on the index of the patches: ``true_m2`` (area along the ground), ``true_noise_m2`` (how much
        of it errors of the heights may have added), ``mean_slope_pct``, ``p95_slope_pct``, ``steepest_slope_pct``,
        ``aspect_deg`` (where it falls, clockwise from north; not a number where it falls to several sides),
        ``height_min_m``, ``height_max_m``, ``relief_share`` (share of the patch whose slope is known) and where it is
        steepest in the frame, ``steepest_x_m``, ``steepest_y_m``; and ``net_m2``. Not a number where the heights do
        not tell.
    classes
        Share of each patch in each class of slopes, equal steps of the sine. Shape (n, `CLASSES`).
    cell_m
        Size of a cell. [m]
    noise_m
        Standard deviation of single heights that ``true_noise_m2`` goes by. [m]
    elevation
        What was said of the heights.
    findings
        What there is to say about the raster.
    """

    table: pd.DataFrame
    classes: np.ndarray
    cell_m: float
    noise_m: float
    elevation: Elevation
    findings: tuple[Finding, ...]

    @property
    def grain_m(self) -> float:
        """What is smaller than this is not seen: the size of a cell, or the smoothing where it is larger. [m]"""
        return max(self.cell_m, self.elevation.smoothing_m)

    @property
    def known(self) -> bool:
        """Whether the heights tell anything of any patch."""
        return bool(self.table["true_m2"].notna().to_numpy().any())

    def among(self, chosen: np.ndarray) -> Relief:
        """The ground of some of the patches, chosen by an array of bool."""
        return replace(self, table=self.table.loc[chosen], classes=self.classes[chosen])

    def share_over(self, angle: float) -> np.ndarray:
        """Share of each patch that is steeper than an angle [rad]; not a number where the slopes are not known."""
        below = np.clip(np.sin(angle) * CLASSES - np.arange(CLASSES), 0.0, 1.0)
        known = self.table["mean_slope_pct"].notna().to_numpy()
        return np.where(known, np.clip(1.0 - self.classes @ below, 0.0, 1.0), np.nan)


def measure_relief(patches: gpd.GeoDataFrame, said: Elevation) -> Relief:
    """
    Slopes and true areas of the patches.

    Parameters
    ----------
    patches
        Columns ``patch``, ``surface``, ``net_m2`` and the net shape, in the frame.
    said
        Where the heights are and what is said of them.

    Returns
    -------
    The figures; none, but a finding, where the raster cannot give them.

    Raises
    ------
    LayerError
        A file is not there.
    """
    grid, findings = open_grid(said, pyproj.CRS(patches.crs))
    nothing = pd.DataFrame(np.nan, index=patches.index, columns=list(FIGURES)).assign(net_m2=patches["net_m2"])
    empty = Relief(nothing, np.zeros((len(patches), CLASSES)), np.nan, np.nan, said, tuple(findings))
    if grid is None:
        return empty
    try:
        with grid:
            relief = _measured(patches, grid, said, empty)
    except LayerError as error:
        broken = Finding(
            "error", "elevation_unreadable", said.label, "", "", f"{error}. No slopes or true areas are given."
        )
        return Relief(nothing, empty.classes, np.nan, np.nan, said, (*findings, broken))
    return relief


def _measured(patches: gpd.GeoDataFrame, grid: HeightGrid, said: Elevation, empty: Relief) -> Relief:
    outlines = outlines_in_cells(patches.geometry.to_numpy(), grid)
    steps = grid.steps(shapely.get_coordinates(shapely.centroid(patches.geometry.to_numpy())))
    cell_m = float(np.median(np.abs(np.linalg.det(steps)))) ** -0.5
    noise = said.accuracy_m
    if noise is None:
        found = [_noise(outline, grid) for outline in outlines]
        noise = float(np.nanmedian(found)) if np.isfinite(found).any() else np.nan
    sums = add_cells(outlines, grid, steps, said.smoothing_m)
    rows = [_row(one, net, noise) for one, net in zip(sums, patches["net_m2"], strict=True)]
    table = pd.DataFrame(rows, index=patches.index, columns=list(FIGURES)).assign(net_m2=patches["net_m2"])
    steepest = table[["steepest_x_m", "steepest_y_m"]].to_numpy()
    table[["steepest_x_m", "steepest_y_m"]] = grid.places(steepest)
    classes = np.array([one.classes / (one.known or 1.0) for one in sums])
    small = patches["net_m2"].to_numpy() < FEWEST_CELLS * cell_m**2
    findings, left_out = _said(patches, table, grid, small, cell_m, empty)
    if left_out.any():
        table.loc[left_out, [name for name in FIGURES if name != "relief_share"]] = np.nan
    return Relief(table, classes, cell_m, noise, said, (*empty.findings, *findings))


def outlines_in_cells(shapes: np.ndarray, grid: HeightGrid) -> np.ndarray:
    """Shapes in the frame, their rings turned one way, carried to columns and rows of the grid."""
    return shapely.transform(shapely.orient_polygons(shapes), grid.cells)


def _noise(outline: shapely.Geometry, grid: HeightGrid) -> float:
    """Errors of single heights, told from the cells about the middle of a patch. [m]"""
    bounds = shapely.bounds(outline)
    if not grid.near(*bounds):
        return np.nan
    left, top, right, bottom = (int(at) for at in np.floor(bounds))
    rows, columns = (min(max(size, 3), 64) for size in (bottom - top + 1, right - left + 1))
    return height_noise(grid.read((top + bottom + 1 - rows) // 2, (left + right + 1 - columns) // 2, rows, columns))


def _all_alike(patches: gpd.GeoDataFrame, grid: HeightGrid, height: float) -> bool:
    """Whether the ground beside the patches has their one height too: a level tee alone has a bank around it."""
    for bounds in _bounds_in_cells(patches, grid):
        left, top, right, bottom = (int(at) for at in np.floor(bounds))
        rows, columns = (min(size + 2 * BESIDE, MOST_BESIDE) for size in (bottom - top + 1, right - left + 1))
        around = grid.read(top - BESIDE, left - BESIDE, rows, columns)
        if (around[np.isfinite(around)] != height).any():
            return False
    return True


def _row(sums: CellSums, net: float, noise: float) -> list[float]:
    share = min(sums.known / sums.covered, 1.0) if sums.covered else 0.0
    if not sums.known:
        return [*[np.nan] * 8, share, np.nan, np.nan]
    slope, east, north = (total / sums.known for total in (sums.slope, sums.east, sums.north))
    one_way = np.hypot(east, north) > ONE_WAY * slope
    return [
        net * sums.factor / sums.known,
        net * sums.noise * noise**2 / sums.known,
        100 * slope,
        100 * float(min(np.tan(_quantile(sums.classes, 0.95)), sums.steepest)),
        100 * sums.steepest,
        float(np.degrees(aspect(east, north))) if one_way else np.nan,
        sums.lowest,
        sums.highest,
        share,
        *sums.steepest_cell,
    ]


def _quantile(classes: np.ndarray, share: float) -> float:
    """Slope that a share of the ground does not exceed. [rad]"""
    below = np.cumsum(classes)
    at = int(np.searchsorted(below, share * below[-1]))
    before = below[at] - classes[at]
    return float(np.arcsin((at + (share * below[-1] - before) / classes[at]) / CLASSES))


def _said(
    patches: gpd.GeoDataFrame,
    table: pd.DataFrame,
    grid: HeightGrid,
    small: np.ndarray,
    cell_m: float,
    empty: Relief,
) -> tuple[list[Finding], np.ndarray]:
    """Findings about the raster over the course, and which patches get no figures."""
    names, share = patches["patch"].to_numpy(), table["relief_share"].to_numpy()
    findings: list[Finding] = []

    def say(level: str, code: str, text: str) -> None:
        findings.append(Finding(level, code, empty.elevation.label, "", "", text))

    none = " No slopes or true areas are given."
    everything, nowhere = np.ones(len(patches), dtype=bool), np.zeros(len(patches), dtype=bool)
    if grid.gaps:
        say(
            "warning",
            "elevation_undeclared_gap",
            f"Heights such as {listed(sorted(grid.gaps), 3)} can be none, though the raster does not say so; they are "
            "taken as gaps. Have its no-data value set.",
        )
    if not share.any():
        reached = any(grid.near(*bounds) for bounds in _bounds_in_cells(patches, grid))
        if reached:
            say("error", "elevation_empty", "The raster has no height on any patch." + none)
        else:
            say("error", "elevation_outside", "The raster lies outside the course: see whether its reference system is "
                "the right one." + none)  # fmt: skip
        return findings, everything
    lowest = float(np.nanmin(table["height_min_m"].to_numpy()))
    if float(np.nanmax(table["height_max_m"].to_numpy())) == lowest and _all_alike(patches, grid, lowest):
        say(
            "error",
            "elevation_flat",
            f"Every height on the course is {lowest:g} m, which no ground is: the raster holds "
            "something else, or was filled where nothing is known." + none,
        )
        return findings, everything
    surfaces, known = patches["surface"].to_numpy(), np.asarray(~small & (share >= ENOUGH))
    # tees only where there are no greens
    surface = next((name for name in TOO_STEEP if (known & (surfaces == name)).any()), None)
    if surface is not None:
        middle = float(np.nanmedian(table["mean_slope_pct"].to_numpy()[known & (surfaces == surface)])) / 100
        if middle > TOO_STEEP[surface]:
            askew = any(finding.code == "elevation_rotated" for finding in empty.findings)
            turned = " (the raster says that its grid is turned)" if askew else ""
            say(
                "error",
                "elevation_implausible",
                f"{surface.capitalize()}s would slope {middle:.1%} on average, which none do: heights in feet may have "
                "been taken for metres (see units under [elevation]), jump from cell to cell (see smoothing), or lie "
                f"beside the course or askew to it{turned}." + none,
            )
            return findings, everything
    part = (share < ENOUGH) & ~small
    if part.any():
        say(
            "warning",
            "elevation_part",
            f"Heights cover less than {ENOUGH:.0%} of {counted(int(part.sum()), 'patch', 'patches')}, which get no "
            f"slope and no true area: {listed(names[part].tolist())}.",
        )
    if small.any():
        say(
            "note",
            "elevation_coarse",
            f"{counted(int(small.sum()), 'patch is', 'patches are')} smaller than {FEWEST_CELLS} cells of "
            f"{cell_m:.3g} m and get no slope and no true area: {listed(names[small].tolist())}.",
        )
    return findings, nowhere | part | small


def _bounds_in_cells(patches: gpd.GeoDataFrame, grid: HeightGrid) -> np.ndarray:
    return shapely.bounds(outlines_in_cells(patches.geometry.to_numpy(), grid))
