"""
Where the water of heads falls: a rate on cells of half a metre, and by patch what is covered, missed and how evenly.

Each head spreads its flow over the cells of its arc by the profile of :mod:`turfgis.formulas.heads`, scaled so that the
cells of one head add up to its flow exactly. All cells lie on one lattice, so that parting a patch changes no total.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import geopandas as gpd
import numpy as np
import pandas as pd
import pyproj
import shapely
from rasterio.features import rasterize
from rasterio.transform import from_origin

from turfgis.formulas.heads import application_rate
from turfgis.formulas.uniformity import christiansen_uniformity, low_quarter_uniformity
from turfgis.layers.drawing import Drawing
from turfgis.layers.findings import Finding, counted, listed
from turfgis.layers.heads import read_heads
from turfgis.measure.frame import project
from turfgis.measure.readings import Grid

CELL_M = 0.5
MOST_CELLS = 40e6  # a larger lattice gets larger cells
FULL = 2 * np.pi - 1e-6  # a circle, but for the noise of degrees
SAME_M = 0.1  # heads nearer than this, with the same arc, are one
# Surfaces that heads are set for, the first in order of need: common practice, no source.
WATERED = ("green", "tee", "approach", "fairway")
MM_H = 3.6e6  # mm/h in 1 m/s


@dataclass(frozen=True)
class Heads:
    """
    The heads of a course and where their water falls.

    Attributes
    ----------
    heads
        One row for each head that reaches some patch: the columns of :func:`turfgis.layers.heads.read_heads` in the
        frame, ``patch`` (the one it serves; empty where it waters none of the surfaces asked for) and ``on_it`` (share
        of its water that falls there).
    landing
        Share of the water of each head that falls on each patch, heads by patches. [-]
    table
        One row for each patch that a head serves: ``patch``, ``surface``, ``hole``, ``net_m2``, ``heads`` (that reach
        it), ``stations`` (that serve it), ``covered_m2``, ``missed_m2``, ``overlap`` (mean number of heads that reach
        a covered place), ``rate_mm_h`` (mean, all of its heads running), ``low_quarter``, ``christiansen``.
    grid
        Rate with all heads running [m/s]; nothing where no head reaches.
    findings
        What there is to say.
    """

    heads: gpd.GeoDataFrame
    landing: np.ndarray
    table: pd.DataFrame
    grid: Grid | None
    findings: tuple[Finding, ...]


COLUMNS = [
    *("patch", "surface", "hole", "net_m2", "heads", "stations", "covered_m2", "missed_m2", "overlap", "rate_mm_h"),
    *("low_quarter", "christiansen"),
]


def measure_heads(drawing: Drawing, patches: gpd.GeoDataFrame, watered: Sequence[str] = WATERED) -> Heads | None:
    """
    Read the heads of a drawing and lay their water on its patches.

    Parameters
    ----------
    drawing
        What is said of its layers; those of the role ``heads`` are read.
    patches
        Patches of the course in their frame.
    watered
        Surfaces that heads may serve.

    Returns
    -------
    The heads, or None where the drawing has no layer of them.

    Raises
    ------
    LayerError
        A layer of heads cannot be used.
    """
    notes = [note for note in drawing.layers if note.role == "heads"]
    if not notes:
        return None
    frame = pyproj.CRS(patches.crs)
    read, findings = [], []
    for note in notes:
        heads, said = read_heads(drawing.folder, note)
        placed = project(heads.geometry.to_numpy(), pyproj.CRS(heads.crs), frame)
        read.append(gpd.GeoDataFrame(heads, geometry=placed).set_crs(frame, allow_override=True))
        findings += said
    heads = gpd.GeoDataFrame(pd.concat(read, ignore_index=True), crs=frame)
    found = lay_heads(heads, patches, watered)
    return Heads(found.heads, found.landing, found.table, found.grid, (*findings, *found.findings))


def lay_heads(heads: gpd.GeoDataFrame, patches: gpd.GeoDataFrame, watered: Sequence[str] = WATERED) -> Heads:
    """
    Lay the water of heads on patches.

    Parameters
    ----------
    heads
        As from :func:`turfgis.layers.heads.read_heads`, in the frame of the patches.
    patches, watered
        As for :func:`measure_heads`.

    Returns
    -------
    Where the water falls. A head that reaches no patch, or stands where another does, is left out with a finding.
    """
    heads, findings = _once(heads)
    heads, aimed = _aimed(heads, patches, watered)
    findings += aimed
    near = shapely.STRtree(patches.geometry.to_numpy())
    reached = np.zeros(len(heads), bool)
    reached[near.query(heads.geometry.to_numpy(), predicate="dwithin", distance=heads["throw_m"].to_numpy())[0]] = True
    findings += _said(
        "warning",
        "head_off_course",
        heads.loc[~reached],
        "out of reach of any ground of the course",
        "Not reckoned with.",
    )
    heads = gpd.GeoDataFrame(heads[reached].reset_index(drop=True), crs=heads.crs)
    if heads.empty:
        columns = {"patch": pd.Series(dtype=object), "on_it": pd.Series(dtype=float)}
        empty = gpd.GeoDataFrame(heads.assign(**columns), crs=heads.crs)
        return Heads(empty, np.zeros((0, len(patches))), pd.DataFrame(columns=COLUMNS), None, tuple(findings))
    lattice = _Lattice(heads, patches)
    landing, rate, count = lattice.spread(heads)
    heads = _served(heads, landing, patches, watered)
    table = _by_patch(heads, landing, patches, lattice, rate, count)
    values = np.where(count > 0, rate, np.nan)
    grid = Grid(values, lattice.transform, pyproj.CRS(patches.crs))
    return Heads(heads, landing, table, grid, tuple(findings))


def _said(level: str, code: str, heads: pd.DataFrame, what: str, done: str) -> list[Finding]:
    """One finding for all heads of one kind of trouble in each file."""
    found = []
    parts: Any = heads.groupby(["file", "layer"], sort=False)
    for (file, layer), rows in parts:
        text = f"{counted(len(rows), 'head')} {what}: {listed(rows['head'].tolist())}. {done}"
        found.append(Finding(level, code, str(file), str(layer), "", text))
    return found


def _once(heads: gpd.GeoDataFrame) -> tuple[gpd.GeoDataFrame, list[Finding]]:
    """Each head once: the later of two at the same place that water the same arc is left out."""
    points = heads.geometry.to_numpy()
    one, other = shapely.STRtree(points).query(points, predicate="dwithin", distance=SAME_M)
    arc, facing = heads["arc_rad"].to_numpy(), heads["facing_rad"].to_numpy()
    alike = np.isclose(arc[one], arc[other]) & np.isclose(facing[one], facing[other], equal_nan=True)
    twice = np.zeros(len(heads), bool)
    twice[other[alike & (one < other)]] = True
    said = _said(
        "warning", "head_repeated", heads.loc[twice], "drawn a second time at the same place", "Reckoned once."
    )
    return gpd.GeoDataFrame(heads[~twice].reset_index(drop=True), crs=heads.crs), said


def _aimed(
    heads: gpd.GeoDataFrame, patches: gpd.GeoDataFrame, watered: Sequence[str]
) -> tuple[gpd.GeoDataFrame, list[Finding]]:
    """Heads of a part circle that do not say which way look at the nearest patch of a surface that is watered."""
    unsaid = ((heads["arc_rad"] < FULL) & heads["facing_rad"].isna()).to_numpy()
    wet = patches[patches["surface"].isin(watered).to_numpy()]
    ground = wet if len(wet) else patches
    if not unsaid.any() or ground.empty:
        return heads, []
    points = heads.geometry.to_numpy()[unsaid]
    shapes = ground.geometry.to_numpy()
    middle = shapely.centroid(shapes[shapely.STRtree(shapes).nearest(points)])
    east, north = (f(middle) - f(points) for f in (shapely.get_x, shapely.get_y))
    facing = heads["facing_rad"].to_numpy().copy()
    facing[unsaid] = np.arctan2(east, north)
    said = _said(
        "warning",
        "head_no_facing",
        heads.loc[unsaid],
        "of a part circle, and nothing says which way",
        "Each is taken to look at the middle of the nearest patch; say it with a column facing, in degrees from north.",
    )
    return gpd.GeoDataFrame(heads.assign(facing_rad=facing), crs=heads.crs), said


class _Lattice:
    """Cells over heads and the patches near them, each with the number of the patch that it lies on."""

    def __init__(self, heads: gpd.GeoDataFrame, patches: gpd.GeoDataFrame):
        throw, xy = heads["throw_m"].to_numpy(), shapely.get_coordinates(heads.geometry.to_numpy())
        west, south, east, north = patches.total_bounds
        west, south = np.minimum([west, south], (xy - throw[:, None]).min(axis=0))
        east, north = np.maximum([east, north], (xy + throw[:, None]).max(axis=0))
        self.cell = max(CELL_M, float(np.sqrt((east - west) * (north - south) / MOST_CELLS)))
        # lines of the lattice lie on whole cells of the frame: the same whatever the course reaches
        self.left, self.top = np.floor(west / self.cell) * self.cell, np.ceil(north / self.cell) * self.cell
        self.shape = (int((self.top - south) / self.cell) + 2, int((east - self.left) / self.cell) + 2)
        self.transform = from_origin(self.left, self.top, self.cell, self.cell)
        pairs = ((shape, number) for number, shape in enumerate(patches.geometry, 1))
        burnt: Any = rasterize(pairs, self.shape, transform=self.transform, dtype="int32")
        self.number, self.patches = burnt, len(patches)

    def spread(self, heads: gpd.GeoDataFrame) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """Share of each head's water by patch; rate of all together [m/s]; how many heads reach each cell."""
        rate = np.zeros(self.shape)
        count = np.zeros(self.shape, np.uint16)
        landing = np.zeros((len(heads), self.patches))
        xy = shapely.get_coordinates(heads.geometry.to_numpy())
        figures = heads[["throw_m", "arc_rad", "facing_rad", "flow_m3_s", "level"]].to_numpy(dtype=float)
        for place, ((x, y), (throw, arc, facing, flow, level)) in enumerate(zip(xy, figures, strict=True)):
            rows, columns = self._window(x, y, throw)
            east = self.left + (np.arange(columns.start, columns.stop) + 0.5) * self.cell - x
            north = self.top - (np.arange(rows.start, rows.stop) + 0.5) * self.cell - y
            falls = application_rate(np.hypot(east[None, :], north[:, None]), flow, throw, arc, level)
            if arc < FULL:
                turned = np.arctan2(east[None, :], north[:, None]) - facing
                aside = np.abs((turned + np.pi) % (2 * np.pi) - np.pi)
                falls = np.where(aside <= arc / 2, falls, 0.0)
            total = falls.sum() * self.cell**2
            if total == 0:  # a throw shorter than a cell
                falls[np.unravel_index(np.argmin(np.hypot(east[None, :], north[:, None])), falls.shape)] = 1.0
                total = self.cell**2
            share = falls * (self.cell**2 / total)
            rate[rows, columns] += share * (flow / self.cell**2)
            count[rows, columns] += share > 0
            on = self.number[rows, columns].ravel()
            landing[place] = np.bincount(on, share.ravel(), self.patches + 1)[1:]
        return landing, rate, count

    def _window(self, x: float, y: float, throw: float) -> tuple[slice, slice]:
        top, bottom = (int(np.floor((self.top - edge) / self.cell)) for edge in (y + throw, y - throw))
        left, right = (int(np.floor((edge - self.left) / self.cell)) for edge in (x - throw, x + throw))
        return slice(max(top, 0), bottom + 1), slice(max(left, 0), right + 1)


def _served(
    heads: gpd.GeoDataFrame, landing: np.ndarray, patches: gpd.GeoDataFrame, watered: Sequence[str]
) -> gpd.GeoDataFrame:
    """Each head with the patch that it serves: of the surface it is meant for, or of any watered, where most falls."""
    surface = patches["surface"].to_numpy(dtype=object)
    wet = np.isin(surface, list(watered))
    meant = heads["serves"].to_numpy(dtype=object)
    allowed = np.where((meant == "")[:, None], wet[None, :], surface[None, :] == meant[:, None])
    water = np.where(allowed, landing, 0.0)
    best, on_it = water.argmax(axis=1), water.max(axis=1, initial=0.0)
    names = np.where(on_it > 0, patches["patch"].to_numpy(dtype=object)[best], "")
    return gpd.GeoDataFrame(heads.assign(patch=names, on_it=on_it), crs=heads.crs)


def _by_patch(
    heads: gpd.GeoDataFrame,
    landing: np.ndarray,
    patches: gpd.GeoDataFrame,
    lattice: _Lattice,
    rate: np.ndarray,
    count: np.ndarray,
) -> pd.DataFrame:
    """Figures of each patch that a head serves."""
    names = patches["patch"].tolist()
    number = lattice.number.ravel()
    wanted = np.zeros(len(names) + 1, bool)
    wanted[1:] = np.isin(patches["patch"].to_numpy(dtype=object), heads["patch"].to_numpy(dtype=object))
    cells = np.flatnonzero(wanted[number])
    cells = cells[np.argsort(number[cells], kind="stable")]
    rates, reach = rate.ravel()[cells], count.ravel()[cells]
    edges = np.searchsorted(number[cells], np.arange(1, len(names) + 2))
    flows = heads["flow_m3_s"].to_numpy() @ landing
    stations: Any = heads.groupby("patch")["station"].nunique()
    net, head_count = patches["net_m2"].to_numpy(dtype=float), (landing > 0).sum(axis=0)
    said = {key: patches[key].tolist() for key in ("patch", "surface", "hole")}
    rows = []
    for place in np.flatnonzero(wanted[1:]).tolist():
        here = slice(edges[place], edges[place + 1])
        own, fall = reach[here], rates[here]
        if own.size == 0:  # smaller than a cell
            continue
        covered = net[place] * float((own > 0).mean())
        rows.append(
            {
                **{key: said[key][place] for key in said},
                "net_m2": net[place],
                "heads": int(head_count[place]),
                "stations": int(stations[names[place]]),
                "covered_m2": covered,
                "missed_m2": net[place] - covered,
                "overlap": float(own[own > 0].mean()) if covered else np.nan,
                "rate_mm_h": flows[place] / net[place] * MM_H,
                "low_quarter": low_quarter_uniformity(fall) if covered else np.nan,
                "christiansen": christiansen_uniformity(fall) if covered else np.nan,
            }
        )
    return pd.DataFrame(rows, columns=COLUMNS)
