"""Places and looks at them as rows of a GeoPackage: each field in the column that holds it, as that column takes it."""

from __future__ import annotations

import sqlite3
from collections.abc import Collection, Mapping
from datetime import date
from typing import Any

from turfgis.layers.drawing import LayerNote
from turfgis.layers.features import accepted, insert_feature
from turfgis.layers.geopackage import StoredLayer, note_contents
from turfgis.layers.history import State, this_moment
from turfgis.layers.new_layers import add_columns
from turfgis.layers.place_words import DAYS, FIELDS, FIGURES, WHOLE
from turfgis.layers.places import field_columns

# Field -> type of a column that is made for it.
TYPES: dict[str, str] = {
    field: "DATE" if field in DAYS else "INTEGER" if field in WHOLE else "REAL" if field in FIGURES else "TEXT"
    for field in FIELDS
}
FIRST = ("id", "kind", "name", "seen", "look_again", "every", "urgency", "task", "done", "size_m2", "note")
VISITS = "visits"  # what a table of later looks is called
VISIT = ("id", "seen", "look_again", "urgency", "task", "done", "size_m2", "note")


def new_columns(fields: Collection[str], named: Mapping[str, str] | None = None) -> dict[str, str]:
    """
    Columns of a new layer of places, or of a table of visits: name -> type of the standard.

    Parameters
    ----------
    fields
        What is to stand in it.
    named
        Field -> column that the settings name for it: those have to be there.

    Examples
    --------
    >>> new_columns(("seen", "urgency", "note"), {"note": "remark"})
    {'seen': 'DATE', 'urgency': 'INTEGER', 'remark': 'TEXT'}
    """
    named = named or {}
    return {named.get(field, field): TYPES[field] for field in dict.fromkeys([*fields, *named])}


def with_columns(
    file: sqlite3.Connection, layer: StoredLayer, note: LayerNote, said: Mapping[str, Any]
) -> tuple[StoredLayer, dict[str, Any]]:
    """
    The layer with a column for all that is said, and that as its columns take it.

    Parameters
    ----------
    file
        A GeoPackage, as from ``connected`` for writing. Columns that are lacking are added.
    layer, note
        The layer or table, and what the settings say of it.
    said
        Fields of :data:`turfgis.layers.place_words.FIELDS` -> values as `turfgis.layers.places.look_rows` reads them;
        ``every`` as it is written.

    Raises
    ------
    LayerError, InputError
        A column that the settings name is not there, or one takes no such value; nothing is added then, as the
        transaction ends.
    """
    named = field_columns(list(layer.columns), note.columns, (note.file, layer.name))
    lacking = {field: TYPES[field] for field in said if field not in named}
    if lacking:
        layer = add_columns(file, layer, lacking)
        named |= {field: field for field in lacking}
    values = {named[field]: _cell(layer.columns[named[field]], value) for field, value in said.items()}
    return layer, accepted(layer, values)


def put_visit(file: sqlite3.Connection, table: StoredLayer, note: LayerNote, said: Mapping[str, Any]) -> StoredLayer:
    """
    Put a later look into a table of visits. Parameters and errors as for :func:`with_columns`.

    Returns
    -------
    The table, with the columns that it has now.
    """
    table, values = with_columns(file, table, note, said)
    insert_feature(file, table, None, State(None, values))
    note_contents(file, table, this_moment(), [], [])
    return table


def _cell(declared: str, value: Any) -> Any:
    """A value as a column of a type takes it, where it can."""
    if isinstance(value, date):
        return f"{value.isoformat()}T00:00:00.000Z" if "DATETIME" in declared else value.isoformat()
    figures = any(word in declared for word in ("INT", "REAL", "FLOA", "DOUB", "NUM", "DEC"))
    if isinstance(value, str) and figures and value.isdecimal():
        return int(value)
    if isinstance(value, int | float) and not figures:
        return f"{value:.15g}"
    if isinstance(value, float) and "INT" in declared and value.is_integer():
        return int(value)
    return value
