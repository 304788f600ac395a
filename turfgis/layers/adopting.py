"""Layers of any file copied into a GeoPackage, with all their columns, so that versions of them can be kept."""

import sqlite3
from collections.abc import Collection
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import shapely

from turfgis.layers.choosing import choose_layers
from turfgis.layers.crs import drawn_crs
from turfgis.layers.features import insert_feature
from turfgis.layers.formats import Source, find_sources
from turfgis.layers.geopackage import note_contents, quoted, stored_layers
from turfgis.layers.history import State, this_moment
from turfgis.layers.new_layers import add_layer
from turfgis.layers.opening import RawLayer, read_layer
from turfgis.layers.openstreetmap import read_openstreetmap
from turfgis.layers.shapes import sort_shapes
from turfgis.layers.words import surface_in_name

OSM_NAME = "osm_id"
RESERVED = ("feature", "geometry", "fingerprint")
KINDS = {
    frozenset({"Polygon"}): "POLYGON",
    frozenset({"MultiPolygon"}): "MULTIPOLYGON",
    frozenset({"Polygon", "MultiPolygon"}): "MULTIPOLYGON",
    frozenset({"LineString"}): "LINESTRING",
    frozenset({"LineString", "MultiLineString"}): "MULTILINESTRING",
    frozenset({"Point"}): "POINT",
}


@dataclass(frozen=True)
class Copied:
    """
    A layer as it was copied.

    Attributes
    ----------
    source
        Name of the layer in its own file.
    layer
        What it is called in the GeoPackage.
    features
        How many.
    """

    source: str
    layer: str
    features: int


def copy_layers(
    file: sqlite3.Connection,
    path: Path,
    layer: str | None,
    *,
    crs: Any = None,
    swap_axes: bool = False,
    role: str = "areas",
    known: Collection[str] = (),
) -> list[Copied]:
    """
    Copy layers of a file into a GeoPackage.

    Parameters
    ----------
    file
        The GeoPackage, as from ``turfgis.layers.geopackage.connected`` for writing.
    path, layer, crs, swap_axes, role
        As for ``turfgis.layers.read.read_layers``. The copies say their reference system themselves, and x comes first.
    known
        Names of all surfaces, so that a layer whose name speaks of one keeps that name.

    Returns
    -------
    The copies. Shapes keep their heights and the reference system they are in; edges that were walked and closed lines
    become areas; whatever has no shape keeps its values.

    Raises
    ------
    LayerError
        The file, or a layer in it, cannot be read, or does not say where it lies.
    """
    chosen, _ = choose_layers(find_sources(path), layer, role)
    copies = []
    for one in chosen:
        raw = read_openstreetmap(one.source) if one.source.kind == "osm" else read_layer(one.source, one.name)
        _call_by_number(raw, one.source)
        reference, _ = drawn_crs(raw.crs, crs, one.source.file, raw.name)
        if swap_axes:
            raw.shapes = shapely.transform(raw.shapes, lambda points: points[:, ::-1], include_z=False)
        shapes = _shapes(raw, one.source, reference, role)
        name = raw.name
        if len(chosen) == 1 and surface_in_name(name, known) is None:
            name = one.source.stem
        copies.append(_copy(file, raw, shapes, reference, name))
    return copies


def _call_by_number(raw: RawLayer, source: Source) -> None:
    """Have features of OpenStreetMap go by numbers as in any layer; what it calls them stays as a column."""
    if source.kind == "osm":
        raw.columns[OSM_NAME] = raw.ids
    elif "@id" in raw.columns:
        named = raw.columns.pop("@id")
        raw.columns[OSM_NAME] = named
        raw.ids = np.where([one is None for one in named], raw.ids, named)


def _shapes(raw: RawLayer, source: Source, crs: Any, role: str) -> np.ndarray:
    """Shapes as drawn; outlines that are told as lines as the areas they are read as, closed paths as lines."""
    given = raw.shapes.copy()
    sorted_shapes = sort_shapes(
        raw,
        crs,
        source.file,
        areas_wanted=role == "areas",
        openstreetmap="golf" in raw.columns or source.kind == "osm",
        walked=source.kind == "gpx",
    )
    turned = shapely.get_dimensions(sorted_shapes.shapes) != shapely.get_dimensions(given)
    broken = shapely.is_missing(sorted_shapes.shapes)
    return np.where(turned | broken, sorted_shapes.shapes, given)


def _copy(file: sqlite3.Connection, raw: RawLayer, shapes: np.ndarray, crs: Any, name: str) -> Copied:
    there = ~(shapely.is_missing(shapes) | shapely.is_empty(shapes))
    kinds = frozenset(shape.geom_type for shape in shapes[there])
    heights = 2 if shapely.has_z(shapes[there]).any() else 0
    columns = {_column(column): _declared(values) for column, values in raw.columns.items()}
    layer = add_layer(file, unused_name(file, name), crs, KINDS.get(kinds, "GEOMETRY"), columns, heights)
    if layer.kind.startswith("MULTI"):
        multi = {"Polygon": shapely.multipolygons, "LineString": shapely.multilinestrings}
        shapes = np.array(
            [multi[one.geom_type]([one]) if one is not None and one.geom_type in multi else one for one in shapes],
            dtype=object,
        )
    shapes[~there] = None
    written = shapely.to_wkb(shapely.force_2d(shapes) if not heights else shapes, byte_order=1, flavor="iso")
    read = zip(raw.columns.values(), columns.values(), strict=True)
    given = [[_value(value, declared) for value in values] for values, declared in read]
    for row, wkb in enumerate(written):
        values = {column: own[row] for column, own in zip(columns, given, strict=True) if own[row] is not None}
        insert_feature(file, layer, row + 1, State(wkb, values))
    bounds = shapely.bounds(shapes[there])
    if len(bounds):
        reach = [(float(x0), float(x1), float(y0), float(y1)) for x0, y0, x1, y1 in bounds]
        note_contents(file, layer, this_moment(), [], reach)
    return Copied(raw.name, layer.name, len(written))


def unused_name(file: sqlite3.Connection, name: str) -> str:
    """A name for a new layer: the one given, or with a number behind it where there is such a table."""
    known = {row[0].lower() for row in file.execute("SELECT name FROM sqlite_master")}
    name = name if not name.lower().startswith(("gpkg_", "sqlite_", "rtree_", "turfgis_")) else f"layer_{name}"
    number, free = 1, name
    while free.lower() in known:
        number += 1
        free = f"{name}_{number}"
    return free


def _column(name: str) -> str:
    return f"{name}_in_file" if name.lower() in RESERVED else name


def _declared(values: np.ndarray) -> str:
    if values.dtype.kind == "O" and any(isinstance(value, bytes) for value in values):
        return "BLOB"
    return {"i": "INTEGER", "u": "INTEGER", "b": "BOOLEAN", "f": "REAL"}.get(values.dtype.kind, "TEXT")


def _value(value: Any, declared: str) -> Any:
    """A value as its column takes it; None for what is empty."""
    if value is None or (isinstance(value, float | np.floating) and np.isnan(value)):
        return None
    if declared == "TEXT":
        return str(value)
    return value.item() if isinstance(value, np.generic) else value


def remove_layers(file: sqlite3.Connection, names: Collection[str]) -> None:
    """Take copies out again that nothing has come to refer to."""
    for name in names:
        layer = stored_layers(file)[name]
        file.execute(f"DROP TABLE {quoted(layer.name)}")
        for table in ("gpkg_geometry_columns", "gpkg_contents"):
            file.execute(f"DELETE FROM {table} WHERE lower(table_name) = lower(?)", (layer.name,))
