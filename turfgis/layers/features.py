"""Single features of a layer in a GeoPackage: read, put in, rewritten and taken out within a transaction."""

import sqlite3
from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np
import shapely

from turfgis.errors import InputError, LayerError
from turfgis.layers.blobs import blob_of, wkb_of
from turfgis.layers.geopackage import StoredLayer, quoted
from turfgis.layers.history import State, has_history, highest_feature
from turfgis.layers.words import did_you_mean


def read_features(file: sqlite3.Connection, layer: StoredLayer) -> dict[int, State]:
    """All features of a layer: number -> state."""
    rows = file.execute(f"{_asked(layer)} ORDER BY {quoted(layer.key)}")
    return {row[0]: _state(layer, row) for row in rows}


def read_feature(file: sqlite3.Connection, layer: StoredLayer, number: int) -> State | None:
    """One feature; None where there is none of that number."""
    row = file.execute(f"{_asked(layer)} WHERE {quoted(layer.key)} = ?", (number,)).fetchone()
    return None if row is None else _state(layer, row)


def _asked(layer: StoredLayer) -> str:
    columns = ", ".join(map(quoted, (layer.key, layer.shape, *layer.columns)))
    return f"SELECT {columns} FROM {quoted(layer.name)}"


def _state(layer: StoredLayer, row: Sequence[Any]) -> State:
    _, blob, *values = row
    known = {name: value for name, value in zip(layer.columns, values, strict=True) if value is not None}
    return State(None if blob is None else wkb_of(blob), known)


def insert_feature(file: sqlite3.Connection, layer: StoredLayer, number: int | None, state: State) -> int:
    """
    Put a feature in, under a number of its own or one that no feature of the layer ever had.

    Raises
    ------
    LayerError, InputError
        There is no such column, or it takes no such value.
    """
    number = _unused(file, layer) if number is None else number
    values = accepted(layer, state.values)
    given: dict[str, Any] = {layer.key: number, **values}
    if layer.shape:
        given[layer.shape] = None if state.wkb is None else blob_of(state.wkb, layer.srs_id)
    file.execute(
        f"INSERT INTO {quoted(layer.name)} ({', '.join(map(quoted, given))}) VALUES ({', '.join('?' * len(given))})",
        tuple(given.values()),
    )
    return number


def _unused(file: sqlite3.Connection, layer: StoredLayer) -> int:
    highest = file.execute(f"SELECT max({quoted(layer.key)}) FROM {quoted(layer.name)}").fetchone()[0] or 0
    counted = 0
    if file.execute("SELECT 1 FROM sqlite_master WHERE name = 'sqlite_sequence'").fetchone():
        row = file.execute("SELECT seq FROM sqlite_sequence WHERE lower(name) = lower(?)", (layer.name,)).fetchone()
        counted = int(row[0]) if row else 0
    kept = highest_feature(file, layer.name) if has_history(file) else 0
    return max(highest, counted, kept) + 1


def rewrite_feature(file: sqlite3.Connection, layer: StoredLayer, number: int, before: State, after: State) -> None:
    """
    Change what is different in a feature; what is not stays byte for byte.

    Raises
    ------
    LayerError, InputError
        There is no such column, or it takes no such value.
    """
    gone = {name: None for name in before.values if name not in after.values}
    changed = {name: value for name, value in after.values.items() if before.values.get(name) != value}
    given: dict[str, Any] = {**accepted(layer, changed), **gone}
    if after.wkb != before.wkb:
        given[layer.shape] = None if after.wkb is None else blob_of(after.wkb, layer.srs_id)
    if given:
        told = ", ".join(f"{quoted(name)} = ?" for name in given)
        file.execute(f"UPDATE {quoted(layer.name)} SET {told} WHERE {quoted(layer.key)} = ?", (*given.values(), number))


def remove_feature(file: sqlite3.Connection, layer: StoredLayer, number: int) -> None:
    """Take a feature out."""
    file.execute(f"DELETE FROM {quoted(layer.name)} WHERE {quoted(layer.key)} = ?", (number,))


def wkb_for(layer: StoredLayer, shape: Any) -> bytes:
    """
    A shape as bytes, if the layer takes it.

    Raises
    ------
    InputError
        It is not valid, or of another kind than the layer's; in words.
    """
    if shape is None or shapely.is_empty(shape) or not np.isfinite(shapely.get_coordinates(shape)).all():
        raise InputError(f"layer {layer.name}: there is no shape to save")
    if not shapely.is_valid(shape):
        raise InputError(f"layer {layer.name}: this shape is not valid ({shapely.is_valid_reason(shape)})")
    kind = shape.geom_type.upper()
    wider = f"MULTI{kind}"
    if layer.kind != kind and layer.kind not in TAKEN_BY.get(kind, ("GEOMETRY",)):
        if layer.kind != wider and layer.kind not in TAKEN_BY.get(wider, ()):
            several = ": save each part as a shape of its own" if kind == f"MULTI{layer.kind}" else ""
            raise InputError(
                f"layer {layer.name} takes {layer.kind.lower()} shapes, and this is a {kind.lower()}{several}"
            )
        shape = {
            "POLYGON": shapely.multipolygons,
            "LINESTRING": shapely.multilinestrings,
            "POINT": shapely.multipoints,
        }[kind]([shape])
    for has, rule, what in (
        (shapely.has_z(shape), layer.heights, "heights"),
        (shapely.has_m(shape), layer.measures, "measures"),
    ):
        if (rule == 0 and has) or (rule == 1 and not has):
            raise InputError(f"layer {layer.name} has {what if rule else 'no ' + what}, and this shape is otherwise")
    return shapely.to_wkb(shape, byte_order=1, flavor="iso")


def accepted(layer: StoredLayer, values: Mapping[str, Any]) -> dict[str, Any]:
    """
    Values as they are stored, each in a column of a fitting type.

    Raises
    ------
    LayerError, InputError
        There is no such column, or it takes no such value.
    """
    return {name: None if value is None else _fitting(layer, name, value) for name, value in values.items()}


def _fitting(layer: StoredLayer, name: str, value: Any) -> Any:
    if name not in layer.columns:
        raise LayerError(f"layer {layer.name} has no column {name}.{did_you_mean(name, list(layer.columns))}")
    value = value.item() if isinstance(value, np.generic) else value
    declared = layer.columns[name]
    for wanted, words, kinds, make in KINDS:
        if any(word in declared for word in words):
            if not isinstance(value, kinds):
                raise InputError(f"layer {layer.name}, column {name} takes {wanted}, and {value!r} is none")
            return make(value)
    return value


# What SQLite makes of a declared type, by the words in it, as its documentation has it ("Type Affinity").
KINDS: tuple[tuple[str, tuple[str, ...], Any, Any], ...] = (
    ("a whole number", ("INT", "BOOL"), int, int),
    ("text", ("TEXT", "CHAR", "CLOB", "DATE"), str, str),
    ("a number", ("REAL", "FLOA", "DOUB", "NUM", "DEC"), (int, float), float),
    ("bytes", ("BLOB",), bytes, bytes),
)
# Kinds of layer that take a kind of shape, besides that kind itself.
TAKEN_BY = {
    "POLYGON": ("GEOMETRY", "CURVEPOLYGON", "SURFACE"),
    "MULTIPOLYGON": ("GEOMETRY", "MULTISURFACE", "GEOMETRYCOLLECTION", "GEOMCOLLECTION"),
    "LINESTRING": ("GEOMETRY", "CURVE"),
    "MULTILINESTRING": ("GEOMETRY", "MULTICURVE", "GEOMETRYCOLLECTION", "GEOMCOLLECTION"),
    "POINT": ("GEOMETRY",),
    "MULTIPOINT": ("GEOMETRY", "GEOMETRYCOLLECTION", "GEOMCOLLECTION"),
}
