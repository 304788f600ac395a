"""Any file of drawn shapes becomes clean tables of areas, lines and points, with findings about what is in the way."""

from dataclasses import dataclass
from os import PathLike
from pathlib import Path
from typing import Any

import numpy as np
import shapely
from geopandas import GeoDataFrame
from geopandas.array import GeometryArray
from pyproj import CRS

from turfgis.errors import LayerError
from turfgis.layers.choosing import choose_layers
from turfgis.layers.crs import check_range, drawn_crs
from turfgis.layers.findings import Finding, counted, listed
from turfgis.layers.formats import Source, find_sources
from turfgis.layers.opening import RawLayer, read_layer
from turfgis.layers.openstreetmap import read_openstreetmap
from turfgis.layers.shapes import SortedShapes, sort_shapes


@dataclass(frozen=True)
class DrawnLayer:
    """
    One layer of drawn shapes, as drawn.

    Attributes
    ----------
    file
        As the user wrote it, or its base name if that was an absolute path.
    layer
        Name of the layer in the file.
    crs
        Two-dimensional coordinate reference system.
    areas, lines, points
        Attribute columns as read, ``feature`` (text id) and the geometry in two dimensions. Areas may be invalid still.
    openstreetmap
        Whether there are OpenStreetMap's golf tags, so that its contributors have to be named.
    """

    file: str
    layer: str
    crs: CRS
    areas: GeoDataFrame
    lines: GeoDataFrame
    points: GeoDataFrame
    openstreetmap: bool


OFTEN_EMPTY = ("heads", "places")  # begun as an empty layer, and all else can be reckoned without them


def read_layers(
    path: str | PathLike[str],
    layer: str | None = None,
    *,
    crs: Any = None,
    swap_axes: bool = False,
    role: str = "areas",
) -> tuple[list[DrawnLayer], list[Finding]]:
    r"""
    Read drawn layers out of any vector file.

    Parameters
    ----------
    path
        A file, a folder of files, or a zip of them.
    layer
        Name of one layer; every layer with areas if None.
    crs
        Coordinate reference system, such as ``"EPSG:27700"``: needed where the file says none, and going before what
        the file says.
    swap_axes
        Whether x and y come in the wrong order.
    role
        ``"areas"``, or anything else for shapes that serve another purpose (hole lines, sprinklers): these are
        returned as they are.

    Returns
    -------
    At least one layer, and what there is to say about them; none, with a finding, of heads or places of which not one
    is drawn yet.

    Raises
    ------
    LayerError
        Nothing in the file can be used, or it cannot be said where on earth it lies.

    Examples
    --------
    >>> import tempfile
    >>> folder = Path(tempfile.mkdtemp())
    >>> rows = ["WKT,hole", "\"POLYGON ((0 0, 30 0, 30 20, 0 20, 0 0))\",7"]
    >>> _ = (folder / "greens.csv").write_text("\n".join(rows))
    >>> layers, findings = read_layers(folder / "greens.csv", crs="EPSG:32618")
    >>> layers[0].layer, layers[0].areas.area.tolist(), findings[0].code
    ('greens', [600.0], 'looks_like_degrees')
    """
    sources = find_sources(Path(path))
    chosen, findings = choose_layers(sources, layer, role)
    layers: list[DrawnLayer] = []
    barren: list[str] = []
    blank = True
    for source, name in ((one.source, one.name) for one in chosen):
        raw = read_openstreetmap(source) if source.kind == "osm" else read_layer(source, name)
        blank = blank and not len(raw.ids)
        drawn, said = _clean(raw, source, crs, swap_axes, role)
        if len(drawn.areas) or (role != "areas" and len(drawn.lines) + len(drawn.points)) or _serves(drawn):
            layers.append(drawn)
            findings += said
        elif len(raw.ids) or layer is not None:
            barren.append(_why_barren(raw, drawn, said))
            findings += said
    shown = Path(path).name if Path(path).is_absolute() else Path(path).as_posix()
    if not layers and role in OFTEN_EMPTY and blank:
        text = (
            f"There is nothing in it yet: the course is reckoned without {role}. Draw some and save the layer, or take "
            "its [[layer]] out of the settings."
        )
        return [], [Finding("warning", "layer_empty", shown, layer or "", "", text)]
    if not layers or (role == "areas" and not any(len(one.areas) for one in layers)):
        why = "; ".join(barren) or "there is nothing in it"
        what = "an area: an area needs a closed outline" if role == "areas" else "used"
        raise LayerError(f"{shown}: no shape that can be {what} ({why})")
    return layers, findings + _mixed_crs(layers, shown)


def _serves(drawn: DrawnLayer) -> bool:
    """Hole lines of OpenStreetMap lie in a layer of their own in some formats."""
    return drawn.openstreetmap and len(drawn.lines) + len(drawn.points) > 0


def _why_barren(raw: RawLayer, drawn: DrawnLayer, said: list[Finding]) -> str:
    if not len(raw.ids):
        return f"layer {raw.name} is empty"
    parts = [counted(len(drawn.points), "point")] * bool(len(drawn.points))
    parts += [counted(len(drawn.lines), "open line")] * bool(len(drawn.lines))
    unusable = len(raw.ids) - len(drawn.points) - len(drawn.lines)
    parts += [f"{unusable:,} without a usable shape"] * bool(unusable)
    reader = [one.text for one in said if one.code == "reader_remark"][:1]
    return f"layer {raw.name}: " + ", ".join(parts + reader)


def _clean(raw: RawLayer, source: Source, crs: Any, swap_axes: bool, role: str) -> tuple[DrawnLayer, list[Finding]]:
    reference, findings = drawn_crs(raw.crs, crs, source.file, raw.name)
    findings += _reader_remarks(raw, source.file)
    named = raw.columns.get("@id")  # what OpenStreetMap calls it
    if named is not None:
        raw.ids = np.where([one is None for one in named], raw.ids, named)
    if swap_axes:
        raw.shapes = shapely.transform(raw.shapes, lambda points: points[:, ::-1])
    openstreetmap = "golf" in raw.columns
    sorted_shapes = sort_shapes(
        raw,
        reference,
        source.file,
        areas_wanted=role == "areas",
        openstreetmap=openstreetmap or source.kind == "osm",
        walked=source.kind == "gpx",
    )
    findings += _check_range(sorted_shapes, reference, source.file, raw.name)
    findings += sorted_shapes.findings
    areas, lines, points = _tables(raw, sorted_shapes, reference)
    return DrawnLayer(source.file, raw.name, reference, areas, lines, points, openstreetmap), findings


def _reader_remarks(raw: RawLayer, file: str) -> list[Finding]:
    said = [f"The reader of this format says: {remark}" for remark in raw.remarks]
    found = [Finding("warning", "reader_remark", file, raw.name, "", text) for text in said]
    if raw.encoding:
        text = f"Its text is not in the encoding it claims; it was read as {raw.encoding}. Check names with accents."
        found.append(Finding("warning", "text_encoding", file, raw.name, "", text))
    return found


def _check_range(shapes: SortedShapes, crs: CRS, file: str, layer: str) -> list[Finding]:
    if shapely.is_missing(shapes.shapes).all():
        return []
    bounds = shapely.total_bounds(shapes.shapes)
    return [] if np.isnan(bounds[0]) else check_range(crs, bounds[:2], bounds[2:], file, layer)


def _tables(raw: RawLayer, shapes: SortedShapes, crs: CRS) -> tuple[GeoDataFrame, GeoDataFrame, GeoDataFrame]:
    """Areas, lines and points with their columns, cut out of one table, which is quicker than building three."""
    columns: dict[str, Any] = {_free(name): values for name, values in raw.columns.items()}
    columns["feature"] = raw.ids
    columns["geometry"] = GeometryArray(shapes.shapes, crs=crs)
    whole = GeoDataFrame(columns, geometry="geometry")
    areas, lines, points = (
        whole if len(rows) == len(whole) else whole.iloc[rows].reset_index(drop=True)
        for rows in (shapes.areas, shapes.lines, shapes.points)
    )
    return areas, lines, points


def _free(name: str) -> str:
    """Names that tables use themselves give way."""
    return f"{name}_in_file" if name in ("feature", "geometry") else name


def _mixed_crs(layers: list[DrawnLayer], file: str) -> list[Finding]:
    first = layers[0].crs
    if all(one.crs == first or one.crs.equals(first, ignore_axis_order=True) for one in layers):
        return []
    names = list(dict.fromkeys(one.crs.name for one in layers))
    text = f"Its layers are drawn in different coordinate reference systems: {listed(names)}. All are measured alike."
    return [Finding("note", "mixed_crs", file, "", "", text)]
