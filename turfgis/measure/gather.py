"""All that was drawn, out of whatever files and reference systems, in one frame."""

from dataclasses import dataclass, field
from datetime import date
from typing import Any

import geopandas as gpd
import numpy as np
import pandas as pd
import pyproj

from turfgis.errors import LayerError
from turfgis.layers.drawing import Drawing, LayerNote
from turfgis.layers.findings import Finding, counted
from turfgis.layers.naming import name_surfaces
from turfgis.layers.read import DrawnLayer, read_layers
from turfgis.layers.words import hole_text
from turfgis.measure.frame import datum_shift, local_frame, middle, project

_DRIVEN = ("path", "cartpath")  # OpenStreetMap's tags of lines that a machine may drive along


@dataclass(frozen=True)
class NamedLayer:
    """
    A layer of areas as it lies in its file.

    Attributes
    ----------
    note
        What the drawing says of it.
    drawn
        All that is in it.
    areas
        Those of its areas that name a surface, with ``feature``, ``surface`` and the shape in the layer's own system.
    """

    note: LayerNote
    drawn: DrawnLayer
    areas: gpd.GeoDataFrame


@dataclass(frozen=True)
class Gathered:
    """
    What the layers of a drawing hold.

    Attributes
    ----------
    areas
        Every shape that names a surface, as drawn: ``file``, ``layer``, ``feature``, ``surface``, ``hole``, ``name``,
        ``accuracy_m``, ``edge_bias_m``, ``vertex_accuracy_m``, ``surveyed``, ``datum`` and the shape.
    hole_lines
        ``hole`` and line.
    path_lines
        Paths drawn as lines.
    background
        ``label``, ``role`` and lines or points.
    keep_off
        What no liquid may be sprayed on or near: ``label``, ``distance_m`` and areas, lines or points.
    frame
        The equal-area frame that all four are in.
    findings
        What reading and naming had to say.
    openstreetmap
        Whether areas come from OpenStreetMap.
    layers
        The areas as they lie in their files, layer by layer.
    """

    areas: gpd.GeoDataFrame
    hole_lines: gpd.GeoDataFrame
    path_lines: gpd.GeoDataFrame
    background: gpd.GeoDataFrame
    keep_off: gpd.GeoDataFrame
    frame: pyproj.CRS
    findings: tuple[Finding, ...]
    openstreetmap: bool
    layers: tuple[NamedLayer, ...] = ()


@dataclass
class _Sorted:
    """What the layers hold, by what it is for."""

    areas: list[tuple[LayerNote, DrawnLayer, gpd.GeoDataFrame]] = field(default_factory=list)
    lines: list[tuple[DrawnLayer, pd.DataFrame]] = field(default_factory=list)
    paths: list[tuple[DrawnLayer, gpd.GeoDataFrame]] = field(default_factory=list)
    background: list[tuple[LayerNote, DrawnLayer]] = field(default_factory=list)
    keep_off: list[tuple[LayerNote, DrawnLayer]] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)


def gather(drawing: Drawing, frame: pyproj.CRS | None = None) -> Gathered:
    """
    Read every layer of a drawing and move it into one frame.

    Parameters
    ----------
    drawing
        Where its layers are and what is said of them.
    frame
        An equal-area frame to move it into, such as that of another survey; one of its own where left out.

    Returns
    -------
    What they hold.

    Raises
    ------
    LayerError
        A file, layer or column cannot be used, or nothing in them is a known surface.
    """
    known = frozenset(drawing.order)
    out = _Sorted()
    for note in drawing.layers:
        if note.role in ("earlier", "places"):  # read only to be compared with, or watched
            continue
        layers, findings = read_layers(
            drawing.folder / note.file, note.layer, crs=note.crs, swap_axes=note.swap_axes, role=note.role
        )
        out.findings += findings
        for layer in layers:
            _sort(out, note, layer, known, alone=len(layers) == 1)
    if not out.areas:
        files = ", ".join(dict.fromkeys(note.file for note in drawing.layers))
        reasons = "; ".join(dict.fromkeys(finding.text for finding in out.findings if finding.level != "note"))
        raise LayerError(f"{files}: no shape names a known surface ({', '.join(drawing.order)}). {reasons}".strip())
    frame = frame or local_frame([(layer.crs, *_middle(layer, areas)) for _, layer, areas in out.areas])
    return Gathered(
        areas=_areas(drawing, out, frame),
        hole_lines=_hole_lines(out, frame),
        path_lines=_path_lines(out, frame),
        background=_labelled([*out.background, *out.keep_off], frame),
        keep_off=_labelled(out.keep_off, frame),
        frame=frame,
        findings=(*out.findings, *_shifts(out, frame)),
        openstreetmap=any(layer.openstreetmap for _, layer, _ in out.areas),
        layers=tuple(NamedLayer(*one) for one in out.areas),
    )


def _sort(out: _Sorted, note: LayerNote, layer: DrawnLayer, known: frozenset[str], alone: bool) -> None:
    """Put a layer where it belongs; one of OpenStreetMap may hold areas and hole lines."""
    if note.role in ("background", "heads"):  # the map shows heads; what they throw is measured apart
        out.background.append((note, layer))
        return
    if note.role == "keep_off":
        out.keep_off.append((note, layer))
        return
    if note.role == "hole_lines":
        out.lines.append((layer, _numbered_lines(layer, note.hole_from)))
        return
    if note.role == "paths":
        out.paths.append((layer, layer.lines))
        return
    if layer.openstreetmap and "golf" in layer.lines:
        out.paths.append((layer, layer.lines.loc[layer.lines["golf"].isin(_DRIVEN).to_numpy(dtype=bool)]))
    if layer.openstreetmap and "golf" in layer.lines and "ref" in layer.lines:
        out.lines.append((layer, _numbered_lines(layer, "ref")))
    if layer.areas.empty:
        return
    areas, findings = name_surfaces(
        layer,
        surface=note.surface,
        surface_from=note.surface_from,
        surfaces=note.surfaces,
        known=known,
        alone=alone,
    )
    out.findings += findings
    if not areas.empty:
        out.areas.append((note, layer, areas))


def _numbered_lines(layer: DrawnLayer, hole_from: str | None) -> pd.DataFrame:
    """Hole and line; of a file with OpenStreetMap's tags only the hole lines, since roads carry a ref too."""
    numbers = _column(layer, layer.lines, hole_from or ("ref" if layer.openstreetmap else "hole"))
    table = pd.DataFrame({"hole": [hole_text(one) for one in numbers], "line": layer.lines.geometry.to_numpy()})
    wanted = table["hole"].notna().to_numpy()
    if layer.openstreetmap and "golf" in layer.lines:
        wanted = wanted & (layer.lines["golf"] == "hole").to_numpy(dtype=bool)
    return table.loc[wanted]


def _column(layer: DrawnLayer, rows: pd.DataFrame, name: str) -> Any:
    """A column that the settings name, or an error that lists the columns there are."""
    if name not in rows.columns:
        there = ", ".join(str(column) for column in rows.columns if column not in ("geometry", "feature", "surface"))
        raise LayerError(f"{layer.file}, layer {layer.layer}: no column '{name}'; there are: {there or 'none'}")
    return rows[name]


def _middle(layer: DrawnLayer, areas: gpd.GeoDataFrame) -> tuple[float, float]:
    return middle(areas.geometry.to_numpy(), layer.crs)


def _areas(drawing: Drawing, out: _Sorted, frame: pyproj.CRS) -> gpd.GeoDataFrame:
    """All named shapes of all layers in one table."""
    tables = []
    for note, layer, areas in out.areas:
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
                "hole": pd.Series(
                    [None] * len(areas) if hole is None else [hole_text(one) for one in hole], dtype=object
                ),
                "name": "" if name is None else ["" if pd.isna(value) else str(value) for value in name],
                "accuracy_m": drawing.accuracy_m if note.accuracy_m is None else note.accuracy_m,
                "edge_bias_m": drawing.edge_bias_m if note.edge_bias_m is None else note.edge_bias_m,
                "vertex_accuracy_m": np.nan if note.vertex_accuracy_m is None else note.vertex_accuracy_m,
                "surveyed": pd.Series(_days(note, areas), dtype=object),
                "datum": (layer.crs.geodetic_crs or layer.crs).name,
                "geometry": project(areas.geometry.to_numpy(), layer.crs, frame),
            }
        )
        tables.append(table)
    return gpd.GeoDataFrame(pd.concat(tables, ignore_index=True), geometry="geometry", crs=frame)


def _days(note: LayerNote, areas: gpd.GeoDataFrame) -> list[str | None]:
    """Day of survey of each area: as the drawing says it, or as a column of that name does."""
    if note.surveyed is not None or "surveyed" not in areas:
        return [note.surveyed] * len(areas)
    return [_day(value) for value in areas["surveyed"]]


def _day(value: object) -> str | None:
    """A day as ISO text; None where a cell holds no day."""
    try:
        return date.fromisoformat(str(value)[:10]).isoformat()
    except ValueError:
        return None


def _hole_lines(out: _Sorted, frame: pyproj.CRS) -> gpd.GeoDataFrame:
    """Every hole line once, though two entries of the settings may name its file."""
    holes: list[str] = []
    shapes: list = []
    for layer, table in out.lines:
        holes += table["hole"].tolist()
        shapes += project(table["line"].to_numpy(), layer.crs, frame).tolist()
    once = {(hole, line.wkb): line for hole, line in zip(holes, shapes, strict=True)}
    geometry = gpd.GeoSeries(list(once.values()), crs=frame)
    return gpd.GeoDataFrame({"hole": [hole for hole, _ in once]}, geometry=geometry, crs=frame)


def _path_lines(out: _Sorted, frame: pyproj.CRS) -> gpd.GeoDataFrame:
    shapes = [line for layer, table in out.paths for line in project(table.geometry.to_numpy(), layer.crs, frame)]
    return gpd.GeoDataFrame(geometry=gpd.GeoSeries(shapes, crs=frame), crs=frame)


def _labelled(drawn: list[tuple[LayerNote, DrawnLayer]], frame: pyproj.CRS) -> gpd.GeoDataFrame:
    """Shapes of any kind with their label and distance, areas of them mended."""
    labels: list[str] = []
    roles: list[str] = []
    metres: list[float] = []
    shapes: list = []
    for note, layer in drawn:
        for rows in (layer.areas, layer.lines, layer.points):
            shapes += project(rows.geometry.to_numpy(), layer.crs, frame).tolist()
            labels += [note.label or ("heads" if note.role == "heads" else layer.layer)] * len(rows)
            roles += [note.role] * len(rows)
            metres += [note.distance_m] * len(rows)
    geometry = gpd.GeoSeries(shapes, crs=frame).make_valid()
    return gpd.GeoDataFrame({"label": labels, "role": roles, "distance_m": metres}, geometry=geometry, crs=frame)


def _shifts(out: _Sorted, frame: pyproj.CRS) -> list[Finding]:
    """One note for every reference system on another datum than the frame."""
    by_system: dict[str, list[tuple[DrawnLayer, gpd.GeoDataFrame]]] = {}
    for _, layer, areas in out.areas:
        by_system.setdefault(layer.crs.name, []).append((layer, areas))
    findings = []
    for name, drawn in by_system.items():
        layer, areas = drawn[0]
        shift = datum_shift(layer.crs, frame, *_middle(layer, areas))
        if shift is not None:
            how_well = "how well is not known" if np.isnan(shift) else f"to about {shift:g} m"
            text = (
                f"{name} lies on another datum than the rest ({counted(len(drawn), 'layer')}); moved to fit, "
                f"{how_well}. Areas do not suffer; shapes of the two kinds may miss each other by that much."
            )
            findings.append(Finding("note", "datum_shift", layer.file, layer.layer, "", text))
    return findings
