"""
Places that need watching, as any tool may write them: one row a look, in plain fields.

A field is known by its name, in any case, or by its first ten letters, which is all that a shapefile keeps. What cannot
be read is a finding and is left empty; the place itself is never dropped for it.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Mapping, Sequence
from datetime import date
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd

from turfgis.errors import InputError, LayerError
from turfgis.layers.drawing import LayerNote
from turfgis.layers.findings import Finding, listed
from turfgis.layers.formats import find_sources
from turfgis.layers.opening import plain_errors, read_with_gdal
from turfgis.layers.place_words import DAYS, FIELDS, FIGURES, KINDS, field_key, read_every, read_figure, read_kind
from turfgis.layers.records import cell_day, near
from turfgis.layers.sheets import read_sheets
from turfgis.layers.words import written


def look_rows(
    columns: Mapping[str, Any],
    features: Sequence[str],
    note: LayerNote,
    place: tuple[str, str],
    needed: Collection[str] = (),
) -> tuple[pd.DataFrame, list[Finding]]:
    """
    Looks out of the columns of a layer or table.

    Parameters
    ----------
    columns
        Values by name of column, all of one length n.
    features
        What each row is called in findings.
    note
        Which column holds which field, and what the kinds are called.
    place
        File and layer.
    needed
        Fields without which the table says nothing.

    Returns
    -------
    Table with a column for each of :data:`FIELDS`, None where nothing stands (``every`` as count and unit), and
    ``feature``; and what could not be read.

    Raises
    ------
    LayerError
        A column that the settings name is not there, or a needed field.
    """
    named = field_columns(list(columns), note.columns, place, needed)
    found: list[Finding] = []
    table: dict[str, list[Any]] = {"feature": [str(one) for one in features]}
    for field in FIELDS:
        values = _values(columns[named[field]]) if field in named else [None] * len(features)
        table[field] = _read(field, values, table["feature"], note, place, found)
    if note.kind is not None:
        table["kind"] = [kind or note.kind for kind in table["kind"]]
    else:
        table["kind"] = [kind or "other" for kind in table["kind"]]
    rows = pd.DataFrame({name: pd.Series(values, dtype=object) for name, values in table.items()})
    return rows, [*found, *_out_of_order(rows, place)]


def read_visits(folder: Path, note: LayerNote) -> tuple[pd.DataFrame, list[Finding], tuple[str, str]]:
    """
    The table of later looks that belongs to a layer of places.

    Parameters
    ----------
    folder
        Where its file lies.
    note
        The layer, with ``visits``, ``visits_layer`` or both.

    Returns
    -------
    rows, findings, place
        As for :func:`look_rows`; and file and layer.

    Raises
    ------
    LayerError
        It cannot be read, or has no column ``id`` or ``seen``.
    """
    file = note.visits or note.file
    path = folder / file
    if path.suffix.lower() in (".csv", ".txt", ".tsv", ".xlsx", ".xlsm"):
        sheets, _ = read_sheets(path, FIELDS)
        sheet = sheets[0]
        head = [written(cell) or f"column {sheet.letter(at)}" for at, cell in enumerate(sheet.head)]
        body = [[*cells, *[None] * (len(head) - len(cells))] for _, cells in sheet.rows[1:]]
        columns = {name: [cells[at] for cells in body] for at, name in enumerate(head)}
        features = [f"row {number}" for number, _ in sheet.rows[1:]]
        place = (Path(file).name, "")
    else:
        source = find_sources(path)[0]
        with plain_errors(source):
            raw = read_with_gdal(source, note.visits_layer, note.visits_layer or source.stem)
        columns, features, place = raw.columns, raw.ids.tolist(), (source.file, raw.name)
    rows, found = look_rows(columns, features, note, place, needed=("id", "seen"))
    return rows, found, place


def field_columns(
    there: list[str], said: Mapping[str, str], place: tuple[str, str], needed: Collection[str] = ()
) -> dict[str, str]:
    """
    Field -> the column that holds it, of those that are there.

    Parameters
    ----------
    there
        Columns of the layer or table.
    said
        Which column holds which field, as the settings say.
    place, needed
        As for :func:`look_rows`.

    Raises
    ------
    LayerError
        A column that the settings name is not there, or a needed field.
    """
    where = ", layer ".join(part for part in place if part)
    known = {field_key(name): name for name in reversed(there)}
    named: dict[str, str] = {}
    for field in FIELDS:
        if field in said:
            if said[field] not in there and field_key(said[field]) not in known:
                raise LayerError(
                    f"{where}: no column '{said[field]}' for {field}; there are: "
                    f"{listed(there, 20) or 'none'}{near(said[field], there)}"
                )
            named[field] = said[field] if said[field] in there else known[field_key(said[field])]
        elif field in there:
            named[field] = field
        elif field_key(field) in known and known[field_key(field)] not in said.values():
            named[field] = known[field_key(field)]
    lacking = [field for field in needed if field not in named]
    if lacking:
        raise LayerError(
            f"{where}: no column '{lacking[0]}' ({FIELDS[lacking[0]]}); there are: {listed(there, 20) or 'none'}"
        )
    return named


def _values(column: Any) -> list[Any]:
    """Cells as plain Python values, None where nothing stands."""
    values = np.asarray(column)
    if np.issubdtype(values.dtype, np.datetime64):
        return [None if np.isnat(one) else one.astype("datetime64[D]").item() for one in values]
    return [None if written(one) is None else one for one in values.tolist()]


def _read(
    field: str,
    values: list[Any],
    features: Sequence[str],
    note: LayerNote,
    place: tuple[str, str],
    found: list[Finding],
) -> list[Any]:
    """The values of one field; what cannot be read becomes a finding and is left empty."""
    code, how = field_reader(field, note)
    made: list[Any] = []
    for value, feature in zip(values, features, strict=True):
        try:
            made.append(None if value is None else how(value))
        except InputError as error:
            level = "warning" if code == "place_kind" else "error"
            found.append(Finding(level, code, *place, feature, f"{field}: {error}."))
            made.append(None)
    return made


def field_reader(field: str, note: LayerNote) -> tuple[str, Callable[[Any], Any]]:
    """The code of what is found wrong with a field, and what reads it: it raises `InputError`."""
    if field == "kind":
        return "place_kind", lambda value: _kind(value, note.kinds)
    if field in DAYS:
        return "place_day", _day
    if field == "every":
        return "place_day", read_every
    if field in FIGURES:
        return "place_figure", lambda value: read_figure(value, field)
    return "", written


def _kind(value: Any, meanings: Mapping[str, str]) -> str:
    kind = read_kind(value, meanings)
    if kind is None:
        text = written(value) or ""
        raise InputError(
            f"'{text}' is no kind of place{near(text.casefold(), KINDS)}; it is listed under other (known: "
            f"{', '.join(KINDS)}; or say what it means with kinds = {{ ... }})"
        )
    return kind


def _day(value: Any) -> date:
    """A day, whatever clock time stands behind it."""
    text = written(value) or ""
    return cell_day(text[:10] if re.match(r"\d{4}-\d\d-\d\d[T ]", text) else value)


def _out_of_order(rows: pd.DataFrame, place: tuple[str, str]) -> list[Finding]:
    """Rows that are to be looked at again before they were seen."""
    found = []
    for feature, seen, again in zip(rows["feature"], rows["seen"], rows["look_again"], strict=True):
        if seen is not None and again is not None and again < seen:
            text = (
                f"look_again is {again}, before the look itself ({seen}); it does not count. Write the next day, or "
                "every."
            )
            found.append(Finding("warning", "place_look", *place, feature, text))
    return found
