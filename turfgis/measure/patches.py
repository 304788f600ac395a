"""Layers to patches: gather, mend, number, cut to nets, and say how far each area can be trusted."""

import re
from collections import Counter
from dataclasses import dataclass

import geopandas as gpd
import numpy as np
import pandas as pd
import pyproj
import shapely

from turfgis.errors import LayerError
from turfgis.layers.drawing import Drawing, StripNote
from turfgis.layers.findings import Finding, counted
from turfgis.layers.mend import mend_areas
from turfgis.measure.accuracy import COVERAGE_95, area_uncertainties
from turfgis.measure.gather import NamedLayer, gather
from turfgis.measure.holes import holes_by_position
from turfgis.measure.nets import Ground, share_ground
from turfgis.measure.strips import already_drawn, strips

OPENSTREETMAP = "© OpenStreetMap contributors, ODbL"
NOTHING_M2 = 1e-7  # what the arithmetic of cutting can leave of a shape that is covered whole
LITTLE_SHARE = 0.02  # a shape that keeps less of its ground than this deserves a look
# What a raster of heights adds to the table of patches; see turfgis.measure.relief.
SLOPE_COLUMNS = (
    *("true_m2", "true_noise_m2", "mean_slope_pct", "p95_slope_pct", "steepest_slope_pct", "aspect_deg"),
    *("height_min_m", "height_max_m", "relief_share"),
)


@dataclass(frozen=True)
class Measured:
    """
    A measured course.

    Attributes
    ----------
    patches
        One row a patch, in the frame: ``patch``, ``surface``, ``hole``, ``name``, ``drawn_m2``, ``net_m2``,
        ``plus_minus_m2``, ``perimeter_m``, ``cut_mm``, ``surveyed``, ``source``, ``u_own_m2``, ``u_bias_m2``,
        ``bias_group`` and the net shape.
    hole_lines
        ``hole`` and line, in the frame.
    path_lines
        Paths drawn as lines, in the frame.
    background
        ``label``, ``role`` and lines or points, in the frame.
    keep_off
        ``label``, ``distance_m`` and areas, lines or points that no liquid may come on or near, in the frame.
    covered
        Shapes that others cover whole, by ``surface``, ``hole`` and ``drawn_m2``: they are no patches, but were drawn.
    drawn, ground
        Every shape as drawn and mended; who keeps its ground, and which pairs of them overlap.
    findings
        What was mended, set aside or worth a look.
    attribution
        Whose data it is, where that must be said.
    by_hand
        How many of the shapes drawn were drawn by somebody; those after them are strips along their edges.
    layers
        The areas as they lie in their files.
    """

    patches: gpd.GeoDataFrame
    covered: pd.DataFrame
    hole_lines: gpd.GeoDataFrame
    path_lines: gpd.GeoDataFrame
    background: gpd.GeoDataFrame
    keep_off: gpd.GeoDataFrame
    drawn: gpd.GeoDataFrame
    ground: Ground
    findings: tuple[Finding, ...]
    attribution: str = ""
    by_hand: int = 0
    layers: tuple[NamedLayer, ...] = ()

    @property
    def frame(self) -> pyproj.CRS:
        """The local equal-area frame."""
        return pyproj.CRS(self.patches.crs)

    @property
    def latitude(self) -> float:
        """Of the middle of the course, north above zero. [degrees]"""
        operation = self.frame.coordinate_operation
        named = {one.name: one.value for one in operation.params} if operation else {}
        return float(named["Latitude of natural origin"])

    def with_covered(self, patches: pd.DataFrame | None = None) -> pd.DataFrame:
        """
        The table of patches without shapes, and a row of no net area for each shape that others cover whole.

        Sums of what was drawn are made of it. ``patches`` takes the place of the course's own table, where columns
        were added to it.
        """
        table = pd.DataFrame((self.patches if patches is None else patches).drop(columns="geometry"))
        if self.covered.empty:
            return table
        figures = [name for name in table.columns if name.endswith(("_m2", "_m")) and not name.startswith("height")]
        rows = self.covered.assign(**{name: 0.0 for name in figures if name != "drawn_m2"}, name="", bias_group="")
        return pd.concat([table, rows], ignore_index=True)

    @property
    def drawn_twice_m2(self) -> float:
        """Ground that was drawn more than once: all that was drawn less all there is. [m2]"""
        return float(shapely.area(self.drawn.geometry.to_numpy()).sum() - self.patches["net_m2"].sum())


def measure_course(drawing: Drawing, frame: pyproj.CRS | None = None) -> Measured:
    """
    Measure a course.

    Parameters
    ----------
    drawing
        Where its layers are and what is said of them.
    frame
        An equal-area frame to measure in, such as that of another survey; one of its own where left out.

    Returns
    -------
    Its patches and what was found on the way.

    Raises
    ------
    LayerError
        A file or layer cannot be used, or nothing in them is a known surface.
    """
    gathered = gather(drawing, frame)
    mended, mending = mend_areas(gathered.areas)
    if mended.empty:
        raise LayerError(f"{drawing.layers[0].file}: no shape is left after mending: {mending[0].text}")
    by_hand, carried = with_holes(_table(mended), gathered.hole_lines)
    drawn, nowhere = with_strips(drawing, by_hand)
    rank = np.array([drawing.order.index(surface) for surface in drawn["surface"]])
    ground = share_ground(drawn.geometry.to_numpy(), rank)
    patches, covered, said = patch_table(drawing, drawn, ground.net, gathered.frame)
    return Measured(
        patches=patches,
        covered=covered,
        hole_lines=gathered.hole_lines,
        path_lines=gathered.path_lines,
        background=gathered.background,
        keep_off=gathered.keep_off,
        drawn=drawn,
        ground=ground,
        findings=(*gathered.findings, *mending, *carried, *nowhere, *said),
        attribution=OPENSTREETMAP if gathered.openstreetmap else "",
        by_hand=len(by_hand),
        layers=gathered.layers,
    )


def only_surfaces(drawing: Drawing, measured: Measured, surfaces: list[str]) -> gpd.GeoDataFrame:
    """
    The table of patches of a course on which nothing but some surfaces had been drawn.

    Two drawings can be compared only so: a fairway is smaller by its bunkers where bunkers were drawn.

    Parameters
    ----------
    drawing, measured
        What was measured, and its outcome.
    surfaces
        Those that share the ground; all others are left away.
    """
    wanted = measured.drawn["surface"].isin(surfaces).to_numpy(dtype=bool)
    if wanted.all():
        return measured.patches
    drawn = _table(measured.drawn.loc[wanted])
    rank = np.array([drawing.order.index(surface) for surface in drawn["surface"]], dtype=int)
    ground = share_ground(drawn.geometry.to_numpy(), rank)
    return patch_table(drawing, drawn, ground.net, measured.frame)[0]


def with_holes(drawn: gpd.GeoDataFrame, lines: gpd.GeoDataFrame) -> tuple[gpd.GeoDataFrame, list[Finding]]:
    """Holes carried over by position to the shapes that have none, and a note that says so."""
    hole = drawn["hole"].to_numpy(dtype=object, copy=True)
    missing = pd.isna(hole)
    if not missing.any() or lines.empty:
        return drawn, []
    hole[missing] = holes_by_position(
        drawn.geometry.to_numpy()[missing],
        drawn["surface"].to_numpy()[missing],
        lines.geometry.to_numpy(),
        lines["hole"].to_numpy(),
    )
    said = pd.DataFrame({"file": drawn["file"], "layer": drawn["layer"], "got": ~pd.isna(hole)}).loc[missing]
    findings = []
    for row in said.groupby(["file", "layer"], sort=False)["got"].agg(["size", "sum"]).reset_index().to_dict("records"):
        text = (
            f"{counted(row['size'], 'shape has', 'shapes have')} no hole number; {row['sum']} got one by position "
            "beside the hole lines. Check on the map."
        )
        findings.append(Finding("note", "hole_by_position", row["file"], row["layer"], "", text))
    return _table(drawn.assign(hole=pd.Series(hole, dtype=object))), findings


def with_strips(drawing: Drawing, drawn: gpd.GeoDataFrame) -> tuple[gpd.GeoDataFrame, list[Finding]]:
    """The drawn shapes and the strips that the settings ask for; and a warning where one has nothing to go around."""
    nowhere = []
    for strip in drawing.strips:
        surface, shapes = drawn["surface"].to_numpy(), drawn.geometry.to_numpy()
        if not (surface == strip.around).any():
            text = (
                f"The strip {strip.surface} of {strip.width_m:g} m is to go around {strip.around}, and none was drawn."
            )
            nowhere.append(Finding("warning", "strip_nowhere", "", "", "", text))
        bare, made = bare_strips(strip, surface, shapes)
        if not len(bare):
            continue
        rows = drawn.iloc[bare]
        added = rows.assign(
            surface=strip.surface,
            name="",
            feature=[f"strip of {strip.width_m:g} m around {feature}" for feature in rows["feature"]],
            geometry=made,
        )
        drawn = _table(pd.concat([drawn, added]))
    return drawn, nowhere


def bare_strips(strip: StripNote, surface: np.ndarray, shapes: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Places of the shapes that a strip is to go around and has not been drawn for, and the strip for each."""
    around = np.flatnonzero(surface == strip.around)
    bare = ~already_drawn(shapes[around], shapes[surface == strip.surface], strip.width_m)
    if not bare.any():
        return around[:0], shapes[:0]
    return around[bare], strips(shapes[around], strip.width_m)[bare]


def _table(rows: pd.DataFrame) -> gpd.GeoDataFrame:
    """Rows counted from 0, as the table of shapes that pandas does not promise to keep it."""
    return gpd.GeoDataFrame(rows.reset_index(drop=True), geometry="geometry", crs=rows["geometry"].crs)


def patch_table(
    drawing: Drawing, drawn: gpd.GeoDataFrame, net: np.ndarray, frame: pyproj.CRS
) -> tuple[gpd.GeoDataFrame, pd.DataFrame, list[Finding]]:
    """The table of patches, what others cover whole, and a finding for each of those."""
    drawn_m2, net_m2 = shapely.area(drawn.geometry.to_numpy()), shapely.area(net)
    gone = net_m2 < NOTHING_M2
    table = pd.DataFrame(drawn.drop(columns="geometry")).assign(drawn_m2=drawn_m2, net_m2=net_m2)
    findings = [
        Finding("warning", "covered", row["file"], row["layer"], str(row["feature"]), _covered_text(row))
        for row in table.loc[gone | (net_m2 < LITTLE_SHARE * drawn_m2)].to_dict("records")
    ]
    covered = table.loc[gone, ["surface", "hole", "drawn_m2"]].reset_index(drop=True)
    kept = table.loc[~gone].reset_index(drop=True)
    shapes = net[~gone]
    own, shared = area_uncertainties(
        shapes, *(kept[name].to_numpy(dtype=float) for name in ("accuracy_m", "edge_bias_m", "vertex_accuracy_m"))
    )
    table = pd.DataFrame(
        {
            "patch": _patch_names(kept),
            "surface": kept["surface"],
            "hole": kept["hole"],
            "name": kept["name"],
            "drawn_m2": kept["drawn_m2"],
            "net_m2": kept["net_m2"],
            "plus_minus_m2": COVERAGE_95 * np.hypot(own, shared),
            "perimeter_m": shapely.length(shapes),
            "cut_mm": [drawing.cut_mm.get(surface, np.nan) for surface in kept["surface"]],
            "surveyed": kept["surveyed"],
            "source": kept["file"] + " | " + kept["layer"] + " | " + kept["feature"].astype(str),
            "u_own_m2": own,
            "u_bias_m2": shared,
            "bias_group": kept["file"] + " | " + kept["layer"],
        }
    )
    return gpd.GeoDataFrame(table, geometry=gpd.GeoSeries(shapes, crs=frame), crs=frame), covered, findings


def _covered_text(row: dict) -> str:
    what = f"a {row['surface']} of {row['drawn_m2']:,.1f} m2 lies"
    if row["net_m2"] < NOTHING_M2:
        return f"{what} wholly under surfaces that keep the ground; it is not counted."
    return f"{what} under surfaces that keep the ground but for {row['net_m2']:,.2f} m2."


def _patch_names(kept: pd.DataFrame) -> list[str]:
    """``green-07``; ``tee-07-2`` where a hole has several; ``bunker-none-3`` where the hole is not known."""
    stems = [_stem(surface, hole) for surface, hole in zip(kept["surface"], kept["hole"], strict=True)]
    count, seen = Counter(stems), Counter()
    names = []
    for stem in stems:
        seen[stem] += 1
        alone = count[stem] == 1 and not stem.endswith("-none")
        names.append(stem if alone else f"{stem}-{seen[stem]}")
    return names


def _stem(surface: str, hole: str | None) -> str:
    if hole is None:
        return f"{surface}-none"
    return f"{surface}-" + re.sub(r"[^0-9A-Za-z]+", "-", hole.zfill(2) if hole.isdigit() else hole)
