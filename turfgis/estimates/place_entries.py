"""
Places and looks at them put into the files of a course by hand.

They go into GeoPackages only, where one transaction makes a change whole or not at all. Where no layer of the course
takes a place, a GeoPackage is made for it and named in the settings.
"""

from __future__ import annotations

import os
import tempfile
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from turfgis.errors import ChangedElsewhere, InputError, LayerError
from turfgis.estimates.places import place_history
from turfgis.layers.adopting import remove_layers, unused_name
from turfgis.layers.crs import drawn_crs
from turfgis.layers.drawing import LayerNote
from turfgis.layers.features import insert_feature, wkb_for
from turfgis.layers.findings import listed
from turfgis.layers.geopackage import StoredLayer, connected, note_contents, stored_layers, stored_tables
from turfgis.layers.history import State, this_moment
from turfgis.layers.new_layers import add_layer, add_table, new_geopackage
from turfgis.layers.place_rows import FIRST, VISIT, VISITS, new_columns, put_visit, with_columns
from turfgis.layers.places import field_columns
from turfgis.layers.versions import Altered, Created, Store
from turfgis.layers.words import written
from turfgis.measure.as_drawn import DEGREES, NO_GEOPACKAGE, SWAPPED, WHY_NOT
from turfgis.measure.place_points import stored_point
from turfgis.measure.stored import ground_m2

if TYPE_CHECKING:
    from turfgis.estimates.course import Course

FILE, LAYER = "places.gpkg", "points"
GEOPACKAGE = ".gpkg"


@dataclass(frozen=True)
class Home:
    """
    Where a new place goes.

    Attributes
    ----------
    file
        The GeoPackage, as the settings name it.
    layer
        Its layer; None where one has to be made in it.
    note
        What the settings say of it; None where they do not name it yet, and the file is made.
    crs
        What it is drawn in.
    """

    file: str
    layer: str | None
    note: LayerNote | None
    crs: Any


def place_home(course: Course, kind: str) -> Home:
    """
    The layer for a new place: of those that take a point one for its kind, or else for all kinds, or any.

    Parameters
    ----------
    course
        A course with settings.
    kind
        What the place is.
    """
    found: list[tuple[int, Home]] = []
    for note in notes_of(course):
        if why_not_written(note):
            continue
        path = course.drawing.folder / note.file
        with connected(path) as file:
            layers = {name: one for name, one in stored_layers(file).items() if note.layer in (None, name)}
        fitness = 0 if note.kind == kind else 1 if note.kind is None else 2
        taking = [
            (name, crs)
            for name, one in layers.items()
            if one.kind in ("POINT", "MULTIPOINT", "GEOMETRY") and one.heights != 1 and (crs := _crs(one, note))
        ]
        if taking:
            found.append((fitness, Home(note.file, *taking[0][:1], note, taking[0][1])))
        elif note.layer is None and not note.crs:
            found.append((fitness + 3, Home(note.file, None, note, DEGREES)))
    if found:
        return min(found, key=lambda one: one[0])[1]
    return Home(free_file(course), None, None, DEGREES)


def free_file(course: Course) -> str:
    """Name of a GeoPackage of places that is not there yet."""
    name, number = FILE, 1
    while (course.drawing.folder / name).exists():
        number += 1
        name = f"{Path(FILE).stem}_{number}{GEOPACKAGE}"
    return name


def next_name(course: Course) -> str:
    """A name for a new place: the number after the highest."""
    names = [str(name) for name in course.places.table["place"]] if course.has_places else []
    return str(max((int(name) for name in names if name.isascii() and name.isdecimal()), default=0) + 1)


def put_place(course: Course, at: Any, said: Mapping[str, Any], who: str, seen: str) -> None:
    """
    Put a new place into the layer for it.

    Parameters
    ----------
    course
        As its files are now.
    at
        Where it is in the frame. [m] Shape (2,).
    said
        Its fields as `turfgis.layers.place_rows.with_columns` takes them, with ``id`` and ``kind``.
    who
        By whom, for the versions of the layer.
    seen
        Fingerprint of the settings as they were looked at, where a layer has to be entered there.

    Raises
    ------
    InputError
        There is such a place already, or a column takes no such value.
    ChangedElsewhere
        The settings were changed meanwhile. Nothing is written.
    LayerError, SettingsError, OutputError
        A file cannot be read, or not be written.
    """
    if course.has_places and said["id"] in set(course.places.table["place"]):
        raise InputError(f"there is a place '{said['id']}' already; give this one another name")
    home = place_home(course, said["kind"])
    stored = stored_point(at, course.measured.frame, home.crs)
    if home.note is None:
        _begin(course, home, stored, said, seen)
        return
    path = course.drawing.folder / home.file
    with connected(path, writing=True) as file:
        layers = stored_layers(file)
        own = layers.get(home.layer or "")
        if own is None:
            own = add_layer(file, unused_name(file, LAYER), DEGREES, "POINT", new_columns(FIRST, home.note.columns))
        own, values = with_columns(file, own, home.note, said)
    Store.open(path, ground_m2).change([Created(own.name, stored, values)], who, f"new place: {said['id']}")


def _begin(course: Course, home: Home, at: Any, said: Mapping[str, Any], seen: str) -> None:
    """Make the file with its first place, then name it in the settings; neither stays without the other."""
    from turfgis.settings.edited import write_edited
    from turfgis.settings.layer_entries import text_with_new_layer

    folder = course.drawing.folder
    handle, unfinished = tempfile.mkstemp(prefix=".unfinished-", suffix=GEOPACKAGE, dir=folder)
    os.close(handle)
    made, path = Path(unfinished), folder / home.file
    made.unlink()
    try:
        new_geopackage(made)
        with connected(made, writing=True) as file:
            layer = add_layer(file, LAYER, DEGREES, "POINT", new_columns(FIRST))
            add_table(file, VISITS, new_columns(VISIT))
            layer, values = with_columns(file, layer, LayerNote(home.file), said)
            insert_feature(file, layer, None, State(wkb_for(layer, at), values))
            note_contents(file, layer, this_moment(), [], [(at.x, at.x, at.y, at.y)])
        if path.exists():
            raise ChangedElsewhere(f"{home.file} has been made by another program meanwhile; nothing was written")
        made.replace(path)
        entry = {"file": home.file, "role": "places", "visits_layer": VISITS}
        try:
            write_edited(course.path, lambda text: text_with_new_layer(text, entry), seen)
        except BaseException:
            path.unlink(missing_ok=True)
            raise
    finally:
        made.unlink(missing_ok=True)


def place_state(course: Course, place: str) -> str:
    """
    What tells one state of a place from another, so that a change made meanwhile is seen.

    Raises
    ------
    InputError
        There is no such place.
    """
    from turfgis.settings.edited import fingerprint

    return fingerprint(repr(place_history(course, place).astype(object).values.tolist()))


def layer_of(course: Course, place: str) -> LayerNote:
    """
    What the settings say of the layer that a place lies in.

    Raises
    ------
    InputError
        There is no such place.
    """
    rows = course.places.table
    known = rows.loc[rows["place"] == place]
    if not len(known):
        place_history(course, place)  # says so
    file, layer = known["file"].iloc[0], known["layer"].iloc[0]
    notes = [one for one in notes_of(course) if str(file).startswith((one.file, Path(one.file).name))]
    return min(notes, key=lambda one: 0 if one.layer == layer else 1 if one.layer is None else 2)


def why_not_written(note: LayerNote) -> str:
    """Why a layer of places is not written to, a key of `turfgis.measure.as_drawn.WHY_NOT`; empty for one that is."""
    if not note.file.lower().endswith(GEOPACKAGE):
        return NO_GEOPACKAGE
    return SWAPPED if note.swap_axes else ""


def put_look(course: Course, place: str, said: Mapping[str, Any], who: str, seen: str) -> None:
    """
    Put a later look at a place into the table of visits of its layer.

    Where there is none yet, one is made and named in the settings; a place without an id gets its name as one.

    Parameters
    ----------
    course
        As its files are now.
    place
        Its name.
    said
        Fields of the look, with ``seen``.
    who
        By whom, for the versions of the layer.
    seen
        :func:`place_state` of the place as it was looked at.

    Raises
    ------
    InputError
        There is no such place, looks at it are kept where nothing is written to, or a column takes no such value.
    ChangedElsewhere
        The place, or the settings, were changed meanwhile. Nothing is written.
    LayerError, SettingsError, OutputError
        A file cannot be read, or not be written.
    """
    history = place_history(course, place)
    if place_state(course, place) != seen:
        latest = history["seen"].iloc[-1]
        raise ChangedElsewhere(
            f"place {place} has been changed elsewhere since it was shown: {len(history)} looks now"
            f"{f', the latest of {latest}' if latest else ''}; nothing was written. See whether yours is still to be "
            "added, then record it again"
        )
    note, folder = layer_of(course, place), course.drawing.folder
    file, table = visits_of(course, note)
    name = _id_of(course, note, place, who)
    with connected(folder / file, writing=True) as connection:
        made = table is None
        if table is None:
            columns = new_columns(VISIT, note.columns)
            table = add_table(connection, unused_name(connection, VISITS), columns).name
        put_visit(connection, _tables(connection)[table], note, {"id": name, **said})
    if made:
        try:
            _name_visits(course, note, table)
        except BaseException:
            with connected(folder / file, writing=True) as connection:
                remove_layers(connection, [table])
            raise


def visits_of(course: Course, note: LayerNote) -> tuple[str, str | None]:
    """
    File and table that later looks at the places of a layer go into; no table where one has to be made.

    Raises
    ------
    InputError
        It is not written to.
    """
    if why := why_not_written(note):
        raise InputError(f"{note.file}: {WHY_NOT[why]}")
    file = note.visits or note.file
    if not file.lower().endswith(GEOPACKAGE):
        raise InputError(
            f"looks at this place are kept in {file}, which is no GeoPackage and is not written to; write them there"
        )
    if note.visits_layer is None and note.visits is None:
        return file, None
    with connected(course.drawing.folder / file) as connection:
        there = list(_tables(connection))
    wanted = [name for name in there if note.visits_layer in (None, name)]
    if len(wanted) != 1:
        raise InputError(
            f"{file}: no table {note.visits_layer or 'of visits'} that can be written to; there are "
            f"{listed(there, 12) or 'none'}; name it with visits_layer"
        )
    return file, wanted[0]


def _tables(connection: Any) -> dict[str, StoredLayer]:
    return {**stored_layers(connection), **stored_tables(connection)}


def _id_of(course: Course, note: LayerNote, place: str, who: str) -> str:
    """The id by which visits know a place; one that has none gets its name as its id."""
    path = course.drawing.folder / note.file
    store = Store.open(path, ground_m2)
    ids: dict[str, list[str]] = {}  # id -> layers that have it
    bare: tuple[str, int, str] | None = None
    for layer in store.layers().values():
        if note.layer not in (None, layer.name):
            continue
        column = field_columns(list(layer.columns), note.columns, (note.file, layer.name)).get("id")
        table = store.shapes(layer.name)
        own = [written(value) for value in (table[column] if column else [None] * len(table))]
        for name in {one for one in own if one}:
            ids.setdefault(name, []).append(layer.name)
        for feature, mark, name in zip(table["feature"], table["fingerprint"], own, strict=True):
            if name is None and f"{layer.name}-{feature}" == place:
                bare = (layer.name, feature, mark)
    if place in ids:
        return place
    if bare is not None:
        layer_name, feature, mark = bare
        with connected(path, writing=True) as file:
            _, values = with_columns(file, stored_layers(file)[layer_name], note, {"id": place})
        store.change([Altered(layer_name, feature, mark, None, values)], who, f"id of place {place}")
        return place
    shared = next((name for name, layers in ids.items() if place in [f"{layer}-{name}" for layer in layers]), None)
    if shared is None or len(ids[shared]) > 1:
        raise InputError(
            f"place {place} cannot be told from another by its id; give each place of {note.file} an id of its own"
        )
    return shared


def _name_visits(course: Course, note: LayerNote, table: str) -> None:
    """Have the settings name a new table of visits."""
    from turfgis.settings.edited import fingerprint, write_edited
    from turfgis.settings.layer_entries import text_with_layers

    at = course.drawing.layers.index(note)
    seen = fingerprint(course.path.read_bytes().decode("utf-8-sig"))
    write_edited(course.path, lambda text: text_with_layers(text, {at: [{"visits_layer": table}]}), seen)


def notes_of(course: Course) -> list[LayerNote]:
    """What the settings say of layers of places."""
    return [one for one in course.drawing.layers if one.role == "places"]


def _crs(layer: StoredLayer, note: LayerNote) -> Any:
    """What a layer is read in; None where nobody says it."""
    with suppress(LayerError):
        return drawn_crs(layer.crs, note.crs, note.file, layer.name)[0]
    return None
