"""
Readings of the ground on the patches: moisture, firmness, a vegetation index, out of a raster or out of points.

Everything is laid on one grid in the frame of the course, whose cells are all of one size, so that a mean over cells is
a mean over ground. A raster keeps its values (no blending of neighbours). Points are spread by inverse squared distance
(Shepard 1968) or linearly between them, and nothing is said further from a point than their reach.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import geopandas as gpd
import numpy as np
import pandas as pd
import pyproj
import shapely
from rasterio.enums import Resampling
from rasterio.features import rasterize, shapes
from rasterio.io import MemoryFile
from rasterio.transform import Affine, from_origin
from rasterio.warp import calculate_default_transform, reproject
from scipy.interpolate import LinearNDInterpolator
from scipy.spatial import KDTree

from turfgis.errors import InputError, LayerError
from turfgis.layers.findings import Finding, listed
from turfgis.layers.points import read_points
from turfgis.measure.rasters import encoded, open_raster, warped

CELL_M = 0.5
MOST_CELLS = 3000  # along one side; larger courses get larger cells
NEIGHBOURS = 12  # points that a cell takes its value from
GAPS, HUGE = (-9999.0, -99999.0, -32768.0), 1e30  # the usual signs for a gap: no reading is one of them, or so large
WHOLE = 0.95  # a patch of which less is covered gets no figures
TABLES = (".csv", ".tsv", ".gpkg", ".geojson", ".json", ".shp", ".kml", ".gpx", ".fgb", ".parquet")


@dataclass(frozen=True)
class ReadingFile:
    """
    What is said of readings.

    Attributes
    ----------
    name, file, folder
        What they are called, and where they are: a raster, or points in a table or vector file.
    column
        Which column of the points holds them.
    low
        Threshold: the share of ground below it is told.
    crs
        Reference system, where the file does not say it.
    linear
        Linear between points in place of by inverse distance.
    reach_m
        How far from a point something may be said. [m]
    on
        Surfaces they were taken on; all where none is named.
    """

    name: str
    file: str
    folder: Path
    column: str = "value"
    low: float | None = None
    crs: str | None = None
    linear: bool = False
    reach_m: float = 15.0
    on: tuple[str, ...] = ()


@dataclass(frozen=True)
class Grid:
    """Values on cells of one size in the frame; not a number where nothing is known."""

    values: np.ndarray
    transform: Affine
    frame: pyproj.CRS
    gaps: tuple[float, ...] = ()  # figures that stood for gaps though nothing said so

    @property
    def cell_m2(self) -> float:
        """Area of a cell. [m2]"""
        return self.transform.a**2


@dataclass(frozen=True)
class Readings:
    """
    Readings of a course.

    Attributes
    ----------
    said
        What was said of them.
    table
        One row for each patch with readings: ``patch``, ``surface``, ``hole``, ``net_m2``, ``mean``, ``spread``
        (standard deviation over its ground) and ``low_share``.
    grid
        The values, or None where the file cannot be used.
    findings
        What there is to say about them.
    """

    said: ReadingFile
    table: pd.DataFrame
    grid: Grid | None
    findings: tuple[Finding, ...]


COLUMNS = ["patch", "surface", "hole", "net_m2", "mean", "spread", "low_share"]


def _burnt(shapes: Iterable, shape: tuple[int, ...], **how: Any) -> np.ndarray:
    """Shapes, or pairs of shapes and values, on cells."""
    cells: Any = rasterize(shapes, shape, **how)
    return cells


def measure_readings(patches: gpd.GeoDataFrame, said: ReadingFile) -> Readings:
    """
    Lay readings on the patches.

    Parameters
    ----------
    patches
        Patches of the course in their frame.
    said
        Which readings, and what is said of them.

    Returns
    -------
    Figures of each patch that the readings cover; no figures, and a finding, for a patch they cover in part.

    Raises
    ------
    LayerError
        There is no such file.
    """
    if not (said.folder / said.file).exists():
        raise LayerError(f"{said.file}: no such file for the readings '{said.name}'")
    empty = pd.DataFrame(columns=COLUMNS)
    if said.on:
        patches = gpd.GeoDataFrame(patches[patches["surface"].isin(said.on).to_numpy()], crs=patches.crs)
    try:
        grid, code, text = _laid(patches, said)
    except LayerError as error:
        grid, code, text = None, "reading_unusable", f"{error}."
    if grid is None:
        finding = Finding("error", code, said.file, said.name, "", f"{text} There are no figures of '{said.name}'.")
        return Readings(said, empty, None, (finding,))
    findings = []
    if grid.gaps:
        text = (
            f"Figures such as {listed([f'{gap:g}' for gap in grid.gaps], 3)} stand for gaps, though nothing says so; "
            "they are taken as gaps. Have its no-data value set, or leave such rows away."
        )
        findings.append(Finding("warning", "reading_undeclared_gap", said.file, said.name, "", text))
    table, part = _by_patch(patches, grid, said.low)
    if part:
        text = f"The readings cover only a part of {listed(part)}; no figures are given for them."
        findings.append(Finding("warning", "reading_part", said.file, said.name, "", text))
    return Readings(said, table, grid, tuple(findings))


def _laid(patches: gpd.GeoDataFrame, said: ReadingFile) -> tuple[Grid | None, str, str]:
    """The values on the grid, or the reason why there are none."""
    if patches.empty:
        return None, "reading_elsewhere", f"The course has no {' or '.join(said.on)}."
    frame = pyproj.CRS(patches.crs)
    west, south, east, north = patches.total_bounds
    cell = max(CELL_M, (east - west) / MOST_CELLS, (north - south) / MOST_CELLS)
    transform = from_origin(west, north, cell, cell)
    shape = (int((north - south) / cell) + 1, int((east - west) / cell) + 1)
    gaps: set[float] = set()
    if Path(said.file).suffix.lower() in TABLES:
        values = _from_points(said, frame, transform, shape, gaps)
    else:
        values = _from_raster(said, frame, transform, shape, gaps)
    if values is None:
        return None, "reading_elsewhere", "The readings lie outside the course."
    ground = _burnt(patches.geometry, shape, transform=transform, dtype="uint8") > 0
    if not np.isfinite(values[ground]).any():
        return None, "reading_empty", "There is no value among the readings where the course lies."
    if said.on:  # of ground that nobody read nothing is shown either
        touched = _burnt(patches.geometry, shape, transform=transform, dtype="uint8", all_touched=True) > 0
        values[~touched] = np.nan
    return Grid(values, transform, frame, tuple(sorted(gaps))), "", ""


def stands_for_gap(values: np.ndarray) -> np.ndarray:
    """
    Which figures are the usual signs for a gap, and no reading.

    Examples
    --------
    >>> stands_for_gap(np.array([-9999.0, -0.2, 31.0, -3.4028234663852886e38])).tolist()
    [True, False, False, True]
    """
    return np.isin(values, GAPS) | (np.abs(values) > HUGE)


def _from_raster(
    said: ReadingFile, frame: pyproj.CRS, transform: Affine, shape: tuple[int, int], gaps: set[float]
) -> np.ndarray | None:
    with open_raster(said.folder / said.file, said.crs, "say crs = for these readings") as (raster, system):
        with warped(raster, system, frame) as there:
            left, bottom, right, top = there.bounds
        east, south = transform.c + shape[1] * transform.a, transform.f - shape[0] * transform.a
        if left > east or right < transform.c or bottom > transform.f or top < south:
            return None
        how = {"transform": transform, "width": shape[1], "height": shape[0], "resampling": Resampling.nearest}
        with warped(raster, system, frame, **how) as there:
            values = there.read(1).astype(np.float64)
            inside = there.dataset_mask() > 0
        signs = stands_for_gap(values) & inside
        gaps.update(values[signs].tolist())
        inside &= ~signs
        values = values * raster.scales[0] + raster.offsets[0]
    return np.where(inside, values, np.nan)


def _from_points(
    said: ReadingFile, frame: pyproj.CRS, transform: Affine, shape: tuple[int, int], gaps: set[float]
) -> np.ndarray | None:
    table = read_points(said.folder / said.file, said.crs)
    if said.column not in table:
        there = listed([name for name in table.columns if name not in ("geometry", "feature")])
        raise LayerError(f"{said.file}: no column '{said.column}' with the values; there are: {there or 'none'}")
    values = np.asarray(pd.to_numeric(table[said.column], errors="coerce"), dtype=float)
    signs = stands_for_gap(values)
    gaps.update(values[signs].tolist())
    known = np.isfinite(values) & ~signs
    if not known.any():
        raise LayerError(f"{said.file}: no number in the column '{said.column}'")
    at = shapely.get_coordinates(table.geometry.to_crs(frame.to_wkt()).to_numpy())[known]
    x = transform.c + (np.arange(shape[1]) + 0.5) * transform.a
    y = transform.f - (np.arange(shape[0]) + 0.5) * transform.a
    tree = KDTree(at)
    out = np.full(shape, np.nan)
    # Only cells near a point are asked for: readings are taken on greens, not on the whole course.
    near = _near(at, x, y, said.reach_m, transform.a)
    if not near.any():
        return None
    rows, columns = np.nonzero(near)
    cells = np.column_stack([x[columns], y[rows]])
    count = min(NEIGHBOURS, len(at))
    far, which = tree.query(cells, k=count, distance_upper_bound=said.reach_m)
    far, which = far.reshape(len(cells), count), which.reshape(len(cells), count)
    if said.linear:
        if len(at) < 4:
            raise LayerError(f"{said.file}: {len(at)} points are too few to go linearly between them")
        spread = LinearNDInterpolator(at, values[known])(cells)
        out[rows, columns] = np.where(np.isfinite(far[:, 0]), spread, np.nan)
        return out
    weight = np.where(np.isfinite(far), 1 / np.maximum(far, 0.01) ** 2, 0.0)
    total = weight.sum(axis=1)
    held = np.append(values[known], 0.0)[which]
    with np.errstate(invalid="ignore", divide="ignore"):
        out[rows, columns] = np.where(total > 0, (weight * held).sum(axis=1) / total, np.nan)
    return out


def _near(at: np.ndarray, x: np.ndarray, y: np.ndarray, reach: float, cell: float) -> np.ndarray:
    """Cells in a square about any of the points."""
    near = np.zeros((len(y), len(x)), bool)
    for px, py in at:
        left, right = np.searchsorted(x, [px - reach, px + reach])
        top, bottom = np.searchsorted(-y, [-(py + reach), -(py - reach)])
        near[top:bottom, left:right] = True
    return near


def _by_patch(patches: gpd.GeoDataFrame, grid: Grid, low: float | None) -> tuple[pd.DataFrame, list[str]]:
    """Figures of the patches, and those that are covered in part."""
    number = _burnt(
        ((shape, i) for i, shape in enumerate(patches.geometry, 1)),
        grid.values.shape,
        transform=grid.transform,
        dtype="int32",
    )
    known = np.isfinite(grid.values) & (number > 0)
    cells = np.bincount(number.ravel(), minlength=len(patches) + 1)[1:]
    which, values = number[known] - 1, grid.values[known]
    count = np.bincount(which, minlength=len(patches))
    with np.errstate(invalid="ignore", divide="ignore"):
        mean = np.bincount(which, values, len(patches)) / count
        spread = np.sqrt(np.bincount(which, (values - mean[which]) ** 2, len(patches)) / count)
        share = (
            np.bincount(which, values < low, len(patches)) / count if low is not None else np.full(len(patches), np.nan)
        )
        covered = count / cells
    whole = (count > 0) & (covered >= WHOLE)
    table = pd.DataFrame(patches[["patch", "surface", "hole", "net_m2"]]).assign(
        mean=mean, spread=spread, low_share=share
    )
    part = (count > 0) & ~whole
    return table.loc[whole].reset_index(drop=True), patches["patch"][part].tolist()


def zones(patches: gpd.GeoDataFrame, grid: Grid, count: int) -> gpd.GeoDataFrame:
    """
    Part the ground of some patches into zones of equal share, from the lowest values to the highest.

    Parameters
    ----------
    patches
        Patches to be parted, in the frame of the grid.
    grid
        Values.
    count
        How many zones.

    Returns
    -------
    One row for each patch and zone: ``patch``, ``zone`` (1 is the lowest), ``from``, ``to``, ``area_m2`` and the shape.

    Raises
    ------
    InputError
        There are too few different values for so many zones.
    """
    if not 2 <= count <= 9:
        raise InputError(f"{count} zones: choose from 2 to 9")
    ground = _burnt(patches.geometry, grid.values.shape, transform=grid.transform, dtype="uint8", all_touched=True) > 0
    known = ground & np.isfinite(grid.values)
    if not known.any():
        raise InputError("no reading lies on these patches")
    edges = np.unique(np.quantile(grid.values[known], np.linspace(0, 1, count + 1)))
    if len(edges) != count + 1:
        raise InputError(f"the values are too much alike for {count} zones; choose fewer")
    number = np.zeros(grid.values.shape, np.uint8)
    number[known] = np.clip(np.searchsorted(edges[1:-1], grid.values[known], side="right") + 1, 1, count)
    cut = [
        {"zone": int(value), "geometry": shapely.geometry.shape(outline)}
        for outline, value in shapes(number, number > 0, transform=grid.transform)
    ]
    pieces = gpd.GeoDataFrame(gpd.GeoDataFrame(cut, crs=patches.crs).dissolve("zone").reset_index(), crs=patches.crs)
    named = gpd.GeoDataFrame(patches[["patch"]], geometry=patches.geometry, crs=patches.crs)
    parted = gpd.overlay(pieces, named, keep_geom_type=True)
    parted["from"], parted["to"] = edges[parted["zone"] - 1], edges[parted["zone"]]
    parted["area_m2"] = parted.geometry.area
    order = parted.sort_values(["patch", "zone"]).reset_index(drop=True)
    return gpd.GeoDataFrame(order[["patch", "zone", "from", "to", "area_m2", "geometry"]], crs=patches.crs)


def rate_raster(parted: gpd.GeoDataFrame, grid: Grid, rates: list[float], unit: str) -> bytes:
    """A GeoTIFF with the rate of each cell, for a spreader that reads one; not a number beyond the zones."""
    pairs = [(shape, rates[zone - 1]) for shape, zone in zip(parted.geometry, parted["zone"], strict=True)]
    values = _burnt(pairs, grid.values.shape, fill=np.nan, transform=grid.transform, dtype="float32")
    profile = {
        **{"driver": "GTiff", "height": values.shape[0], "width": values.shape[1], "count": 1, "dtype": "float32"},
        **{"crs": grid.frame.to_wkt(), "transform": grid.transform, "nodata": np.nan, "compress": "deflate"},
    }
    with MemoryFile() as memory:
        with memory.open(**profile) as out:
            out.write(values, 1)
            out.units = (unit,)
        return memory.read()


def picture(grid: Grid, classes: np.ndarray, inks: list[tuple[int, int, int]]) -> tuple[tuple, bytes]:
    """
    Values in classes as a picture for the map, clear where nothing is known.

    Parameters
    ----------
    grid
        Values.
    classes
        Edges between the classes, rising.
    inks
        Colour of each class, one more than there are edges.

    Returns
    -------
    bounds, content
        West, south, east and north in degrees, and a PNG in Web Mercator.
    """
    known = np.isfinite(grid.values)
    number = np.where(known, np.searchsorted(classes, np.nan_to_num(grid.values)) + 1, 0).astype(np.uint8)
    rows, columns = np.nonzero(known)
    top, left = rows.min(), columns.min()
    number = number[top : rows.max() + 1, left : columns.max() + 1]
    cell = grid.transform.a
    here = from_origin(grid.transform.c + left * cell, grid.transform.f - top * cell, cell, cell)
    bounds = (here.c, here.f - number.shape[0] * cell, here.c + number.shape[1] * cell, here.f)
    wkt = grid.frame.to_wkt()
    there, width, height = calculate_default_transform(wkt, "EPSG:3857", number.shape[1], number.shape[0], *bounds)
    shown = np.zeros((height, width), np.uint8)
    reproject(number, shown, src_transform=here, src_crs=wkt, dst_transform=there, dst_crs="EPSG:3857")
    table = np.array([(0, 0, 0, 0), *((*ink, 215) for ink in inks)], np.uint8)
    way = pyproj.Transformer.from_crs(3857, 4326, always_xy=True)
    (west, east), (south, north) = way.transform(
        [there.c, there.c + width * there.a], [there.f + height * there.e, there.f]
    )
    return (west, south, east, north), encoded(table[shown], "PNG")
