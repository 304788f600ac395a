"""Layers to patches: read, name, project, mend, cut to nets, and say how far each area can be trusted."""

from dataclasses import dataclass, field

import geopandas as gpd
import numpy as np
import pandas as pd
import pyproj
import shapely

from turfgis.errors import LayerError
from turfgis.layers.drawing import Drawing, LayerNote
from turfgis.layers.findings import Finding
from turfgis.layers.mend import mend_areas
from turfgis.layers.naming import name_surfaces
from turfgis.layers.read import DrawnLayer, read_layers
from turfgis.layers.words import hole_text
from turfgis.measure.accuracy import COVERAGE_95, area_uncertainties
from turfgis.measure.frame import datum_shift, local_frame, project
from turfgis.measure.holes import holes_by_position
from turfgis.measure.nets import net_shapes, overlapping_pairs
from turfgis.measure.strips import already_drawn, strips

OPENSTREETMAP = "© OpenStreetMap contributors, ODbL"
NOTHING_M2 = 1e-7  # what the arithmetic of cutting can leave of a shape that is covered whole
LITTLE_SHARE = 0.02  # a shape that keeps less of its ground than this deserves a look


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
    background
        ``label`` and lines or points, in the frame.
    drawn, below, above
        Every shape as drawn and mended, and which pairs of them overlap: places of the lower and the higher one.
    findings
        What was mended, set aside or worth a look.
    attribution
        Whose data it is, where that must be said.
    """

    patches: gpd.GeoDataFrame
    hole_lines: gpd.GeoDataFrame
    background: gpd.GeoDataFrame
    drawn: gpd.GeoDataFrame
    below: np.ndarray
    above: np.ndarray
    findings: tuple[Finding, ...]
    attribution: str = ""

    @property
    def frame(self) -> pyproj.CRS:
        """The local equal-area frame."""
        return self.patches.crs

    @property
    def drawn_twice_m2(self) -> float:
        """Ground that was drawn more than once: all that was drawn less all there is. [m2]"""
        return float(self.patches["drawn_m2"].sum() - self.patches["net_m2"].sum())


@dataclass
class _Sorted:
    """What the layers hold, by what it is for."""

    areas: list[tuple[LayerNote, DrawnLayer, gpd.GeoDataFrame]] = field(default_factory=list)
    lines: list[tuple[DrawnLayer, gpd.GeoDataFrame, np.ndarray]] = field(default_factory=list)
    background: list[tuple[LayerNote, DrawnLayer]] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)


def measure_course(drawing: Drawing) -> Measured:
    """
    Measure a course.

    Parameters
    ----------
    drawing
        Where its layers are and what is said of them.

    Returns
    -------
    Its patches and what was found on the way.

    Raises
    ------
    LayerError
        A file or layer cannot be used, or nothing in them is a known surface.
    """
    sorted_out = _read(drawing)
    frame = local_frame([(layer.crs, *_middle(areas)) for _, layer, areas in sorted_out.areas])
    drawn, findings = mend_areas(_in_frame(drawing, sorted_out, frame))
    drawn = drawn.reset_index(drop=True)
    if drawn.empty:
        raise LayerError(f"{drawing.layers[0].file}: no shape is left after mending: {findings[0].text}")
    lines = _hole_lines(sorted_out, frame)
    drawn, position_findings = _with_holes(drawn, lines)
    drawn = _with_strips(drawing, drawn)
    rank = drawn["surface"].map({name: place for place, name in enumerate(drawing.order)}).to_numpy()
    shapes = drawn["geometry"].to_numpy()
    below, above = overlapping_pairs(shapes, rank)
    patches, covered = _patches(drawing, drawn, net_shapes(shapes, below, above), frame)
    found = [*sorted_out.findings, *findings, *position_findings, *covered]
    return Measured(
        patches=patches,
        hole_lines=lines,
        background=_background(sorted_out, frame),
        drawn=drawn,
        below=below,
        above=above,
        findings=tuple(found),
        attribution=OPENSTREETMAP if any(layer.openstreetmap for _, layer, _ in sorted_out.areas) else "",
    )


def _read(drawing: Drawing) -> _Sorted:
    """Every layer, read and sorted by what it is for."""
    known = frozenset(drawing.order)
    out = _Sorted()
    for note in drawing.layers:
        layers, findings = read_layers(
            drawing.folder / note.file, note.layer, crs=note.crs, swap_axes=note.swap_axes, role=note.role
        )
        out.findings += findings
        for layer in layers:
            if note.role == "background":
                out.background.append((note, layer))
                continue
            if note.role == "hole_lines":
                out.lines.append((layer, layer.lines, _column(layer, layer.lines, note.hole_from or "hole").to_numpy()))
                continue
            if layer.openstreetmap and "golf" in layer.lines and "ref" in layer.lines:
                lines = layer.lines[layer.lines["golf"] == "hole"]
                out.lines.append((layer, lines, lines["ref"].to_numpy()))
            if layer.areas.empty:
                continue
            areas, findings = name_surfaces(
                layer, surface=note.surface, surface_from=note.surface_from, surfaces=note.surfaces, known=known
            )
            out.findings += findings
            if not areas.empty:
                out.areas.append((note, layer, areas))
    if not out.areas:
        files = ", ".join(dict.fromkeys(note.file for note in drawing.layers))
        reasons = "; ".join(dict.fromkeys(finding.text for finding in out.findings if finding.level != "note"))
        raise LayerError(f"{files}: no shape names a known surface ({', '.join(drawing.order)}). {reasons}".strip())
    return out


def _middle(areas: gpd.GeoDataFrame) -> tuple[float, float]:
    """The middle of a layer; the median, so that one stray shape does not move it."""
    bounds = shapely.bounds(areas["geometry"].to_numpy())
    x, y = np.nanmedian((bounds[:, :2] + bounds[:, 2:]) / 2, axis=0)
    return float(x), float(y)


def _column(layer: DrawnLayer, rows: pd.DataFrame, name: str) -> pd.Series:
    """A column that the settings name, or an error that lists the columns there are."""
    if name not in rows.columns:
        there = ", ".join(str(column) for column in rows.columns if column not in ("geometry", "feature", "surface"))
        raise LayerError(f"{layer.file}, layer {layer.layer}: no column '{name}'; there are: {there or 'none'}")
    return rows[name]


def _in_frame(drawing: Drawing, sorted_out: _Sorted, frame: pyproj.CRS) -> gpd.GeoDataFrame:
    """All named shapes of all layers in one table, in the frame."""
    tables = []
    sorted_out.findings += _shifts(sorted_out, frame)
    for note, layer, areas in sorted_out.areas:
        hole = (
            _column(layer, areas, note.hole_from)
            if note.hole_from
            else areas.get("ref" if layer.openstreetmap else "hole")
        )
        name = _column(layer, areas, note.name_from) if note.name_from else areas.get("name")
        table = pd.DataFrame(
            {
                "file": layer.file,
                "layer": layer.layer,
                "feature": areas["feature"].to_numpy(),
                "surface": areas["surface"].to_numpy(),
                "hole": None if hole is None else [hole_text(value) for value in hole],
                "name": "" if name is None else ["" if pd.isna(value) else str(value) for value in name],
                "accuracy_m": drawing.accuracy_m if note.accuracy_m is None else note.accuracy_m,
                "edge_bias_m": drawing.edge_bias_m if note.edge_bias_m is None else note.edge_bias_m,
                "vertex_accuracy_m": np.nan if note.vertex_accuracy_m is None else note.vertex_accuracy_m,
                "surveyed": note.surveyed,
                "geometry": project(areas["geometry"].to_numpy(), layer.crs, frame),
            }
        )
        tables.append(table)
    together = pd.concat([table.astype({"hole": object, "surveyed": object}) for table in tables], ignore_index=True)
    return gpd.GeoDataFrame(together, geometry="geometry", crs=frame)


def _shifts(sorted_out: _Sorted, frame: pyproj.CRS) -> list[Finding]:
    """One note for every reference system on another datum than the frame."""
    by_system: dict[str, list[DrawnLayer]] = {}
    for _, layer, _ in sorted_out.areas:
        by_system.setdefault(layer.crs.name, []).append(layer)
    findings = []
    for name, layers in by_system.items():
        shift = datum_shift(layers[0].crs, frame)
        if shift is not None:
            text = (
                f"{name} lies on another datum than the rest ({len(layers)} layers); moved to fit, to about "
                f"{shift:g} m. Areas do not suffer; shapes of the two kinds may miss each other by that much."
            )
            findings.append(Finding("note", "datum_shift", layers[0].file, layers[0].layer, "", text))
    return findings


def _hole_lines(sorted_out: _Sorted, frame: pyproj.CRS) -> gpd.GeoDataFrame:
    holes: list[str] = []
    shapes: list = []
    for layer, lines, numbers in sorted_out.lines:
        known = [hole_text(number) for number in numbers]
        keep = np.array([number is not None for number in known], dtype=bool)
        holes += [number for number in known if number is not None]
        shapes += list(project(lines["geometry"].to_numpy()[keep], layer.crs, frame))
    return gpd.GeoDataFrame({"hole": holes}, geometry=gpd.GeoSeries(shapes, crs=frame), crs=frame)


def _background(sorted_out: _Sorted, frame: pyproj.CRS) -> gpd.GeoDataFrame:
    labels: list[str] = []
    shapes: list = []
    for note, layer in sorted_out.background:
        for rows in (layer.areas, layer.lines, layer.points):
            shapes += list(project(rows["geometry"].to_numpy(), layer.crs, frame))
            labels += [note.label or layer.layer] * len(rows)
    return gpd.GeoDataFrame({"label": labels}, geometry=gpd.GeoSeries(shapes, crs=frame), crs=frame)


def _with_holes(drawn: gpd.GeoDataFrame, lines: gpd.GeoDataFrame) -> tuple[gpd.GeoDataFrame, list[Finding]]:
    """Holes carried over by position to the shapes that have none, and a note that says so."""
    missing = drawn["hole"].isna().to_numpy()
    if not missing.any() or lines.empty:
        return drawn, []
    rest = drawn[missing]
    carried = holes_by_position(
        rest["geometry"].to_numpy(), rest["surface"].to_numpy(), lines["geometry"].to_numpy(), lines["hole"].to_numpy()
    )
    hole = drawn["hole"].to_numpy(dtype=object, copy=True)
    hole[missing] = carried
    got = np.array([number is not None for number in carried])
    findings = []
    for (file, layer), places in rest.reset_index(drop=True).groupby(["file", "layer"]).indices.items():
        text = (
            f"{len(places)} shapes have no hole number; {int(got[places].sum())} were given one by their position "
            "beside the hole lines. Check them on the map."
        )
        findings.append(Finding("note", "hole_by_position", file, layer, "", text))
    return drawn.assign(hole=hole), findings


def _with_strips(drawing: Drawing, drawn: gpd.GeoDataFrame) -> gpd.GeoDataFrame:
    """The drawn shapes and the strips that the settings ask for."""
    for strip in drawing.strips:
        around = drawn[drawn["surface"] == strip.around]
        there = drawn.loc[drawn["surface"] == strip.surface, "geometry"].to_numpy()
        bare = around[~already_drawn(around["geometry"].to_numpy(), there, strip.width_m)]
        if bare.empty:
            continue
        every = strips(around["geometry"].to_numpy(), strip.width_m)
        made = bare.assign(
            surface=strip.surface,
            name="",
            feature=f"strip of {strip.width_m:g} m around " + bare["feature"].astype(str),
            geometry=every[around.index.get_indexer(bare.index)],
        )
        drawn = gpd.GeoDataFrame(pd.concat([drawn, made], ignore_index=True), geometry="geometry", crs=drawn.crs)
    return drawn


def _patches(
    drawing: Drawing, drawn: gpd.GeoDataFrame, net: np.ndarray, frame: pyproj.CRS
) -> tuple[gpd.GeoDataFrame, list[Finding]]:
    """The table of patches, and a finding for each shape that others cover whole."""
    drawn_m2, net_m2 = shapely.area(drawn["geometry"].to_numpy()), shapely.area(net)
    gone = net_m2 < NOTHING_M2
    little = ~gone & (net_m2 < LITTLE_SHARE * drawn_m2)
    findings = [
        Finding("warning", "covered", row.file, row.layer, row.feature, _covered_text(row.surface, area, left))
        for row, area, left in zip(
            drawn[gone | little].itertuples(), drawn_m2[gone | little], net_m2[gone | little], strict=True
        )
    ]
    kept = drawn[~gone].reset_index(drop=True)
    shapes = net[~gone]
    own, shared = area_uncertainties(
        shapes, *(kept[name].to_numpy(dtype=float) for name in ("accuracy_m", "edge_bias_m", "vertex_accuracy_m"))
    )
    table = pd.DataFrame(
        {
            "patch": _patch_names(kept),
            "surface": kept["surface"],
            "hole": kept["hole"].where(kept["hole"].notna(), None),
            "name": kept["name"],
            "drawn_m2": drawn_m2[~gone],
            "net_m2": net_m2[~gone],
            "plus_minus_m2": COVERAGE_95 * np.hypot(own, shared),
            "perimeter_m": shapely.length(shapes),
            "cut_mm": kept["surface"].map(dict(drawing.cut_mm)).astype(float),
            "surveyed": kept["surveyed"],
            "source": kept["file"] + " | " + kept["layer"] + " | " + kept["feature"].astype(str),
            "u_own_m2": own,
            "u_bias_m2": shared,
            "bias_group": kept["file"] + " | " + kept["layer"],
        }
    )
    return gpd.GeoDataFrame(table, geometry=gpd.GeoSeries(shapes, crs=frame), crs=frame), findings


def _covered_text(surface: str, area: float, left: float) -> str:
    if left < NOTHING_M2:
        return f"a {surface} of {area:,.1f} m2 lies wholly under surfaces that keep the ground; it is not counted."
    return f"a {surface} of {area:,.1f} m2 lies under surfaces that keep the ground but for {left:,.2f} m2."


def _patch_names(kept: pd.DataFrame) -> list[str]:
    """``green-07``; ``tee-07-2`` where a hole has several; ``bunker-none-3`` where the hole is not known."""
    hole = kept["hole"].where(kept["hole"].notna(), "none").map(lambda text: text.zfill(2) if text.isdigit() else text)
    stem = kept["surface"] + "-" + hole.str.replace(r"[^0-9A-Za-z]+", "-", regex=True)
    count = stem.groupby(stem).transform("size")
    number = stem.groupby(stem).cumcount() + 1
    alone = (count == 1) & (hole != "none")
    return stem.where(alone, stem + "-" + number.astype(str)).tolist()
