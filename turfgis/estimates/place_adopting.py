"""A file of places copied into a GeoPackage of its own, so that looks at them can be written down by hand."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import pandas as pd

from turfgis.errors import InputError, LayerError
from turfgis.estimates.adopting import opened_as
from turfgis.estimates.course import open_course
from turfgis.estimates.place_entries import free_file, notes_of
from turfgis.layers.adopting import Copied, copy_layers, unused_name
from turfgis.layers.geopackage import connected
from turfgis.layers.new_layers import add_table, new_geopackage
from turfgis.layers.place_rows import VISIT, VISITS, new_columns, put_visit
from turfgis.layers.place_words import FIELDS
from turfgis.layers.places import read_visits
from turfgis.layers.points import in_degrees

if TYPE_CHECKING:
    from turfgis.layers.drawing import LayerNote

DEGREES = "EPSG:4326"


def adopt_places(settings: Path, file: str) -> list[Copied]:
    """
    Copy a file of places, and the table of visits to them, into a new GeoPackage that the settings name in its place.

    Comments and order of the settings stay, and the file stays where it is, though nothing reads it any more.

    Parameters
    ----------
    settings
        The ``course.toml``.
    file
        As the settings name it.

    Returns
    -------
    What was copied.

    Raises
    ------
    InputError
        The settings name no such file of places, or they would not come out the same. Nothing is changed.
    ChangedElsewhere
        The settings were changed meanwhile.
    LayerError, SettingsError, OutputError
        A file cannot be read, or not be written.
    """
    from turfgis.settings.edited import fingerprint, write_edited
    from turfgis.settings.layer_entries import text_with_layers

    seen = settings.read_bytes().decode("utf-8-sig")
    course = open_course(settings)
    moved = [note for note in notes_of(course) if note.file == file]
    if not moved:
        raise InputError(f"the settings name no places in '{file}'; nothing was changed")
    folder, home, copied = course.drawing.folder, free_file(course), []
    changes: dict[int, list[dict[str, str | None]]] = {}
    new_geopackage(folder / home)
    try:
        with connected(folder / home, writing=True) as package:
            for note in moved:
                crs = note.crs or (DEGREES if in_degrees(folder / note.file) else None)
                made = copy_layers(
                    package, folder / note.file, note.layer, crs=crs, swap_axes=note.swap_axes, role="places"
                )
                plain: dict[str, str | None] = {"file": home, "crs": None, "swap_axes": None}
                plain |= _with_visits(package, folder, note)
                # one entry for all layers of the file stays one: a visit may be to a place in any of them
                names = [None] if len(moved) == 1 and note.layer is None else [one.layer for one in made]
                changes[course.drawing.layers.index(note)] = [{**plain, "layer": name} for name in names]
                copied += made
        text = text_with_layers(seen, changes)
        _check_same(settings, text, course)
        write_edited(settings, lambda _: text, fingerprint(seen))
    except BaseException:
        (folder / home).unlink(missing_ok=True)
        raise
    return copied


def _with_visits(package: Any, folder: Path, note: LayerNote) -> dict[str, str | None]:
    """Copy the visits as well, and what the settings say of them then; those of another GeoPackage stay there."""
    if not note.visits and not note.visits_layer:
        return {}
    if note.visits and note.visits.lower().endswith(".gpkg"):
        return {}
    rows, found, _ = read_visits(folder, note)
    if any(one.level == "error" for one in found):
        raise InputError(
            f"{note.visits or note.file}: some of its visits cannot be read; see the findings, mend them first"
        )
    table = add_table(package, unused_name(package, VISITS), new_columns(VISIT, note.columns))
    for row in rows.to_dict("records"):
        said = {field: row[field] for field in FIELDS if row[field] is not None}
        if "every" in said:
            count, unit = said["every"]
            said["every"] = f"{count} {unit}s"
        if said.get("kind") == "other":  # what is read where nothing stands
            del said["kind"]
        table = put_visit(package, table, note, said)
    return {"visits": None, "visits_layer": table.name}


def _check_same(settings: Path, text: str, before: Any) -> None:
    """Read the places as the new settings have them, and hold them against what they were."""
    with opened_as(settings, text) as course:
        try:
            after = _told(course)
        except LayerError as error:
            raise InputError(f"the copies cannot be used as the files were: {error}; nothing was changed") from None
    if after != _told(before):
        raise InputError("the copies would not say the same of each place; nothing was changed")


def _told(course: Any) -> list[tuple]:
    """What is said of each place, whatever it is called: features may have other numbers in the copy."""
    table = course.places.table
    plain = table[["kind", "patch", "seen", "look_again", "task", "done", "urgency", "note", "looks"]]
    sizes = [None if pd.isna(size) else round(float(size), 3) for size in table["size_m2"]]
    rows = zip(plain.astype(object).where(plain.notna(), None).itertuples(index=False), sizes, strict=True)
    return sorted(((*row, size) for row, size in rows), key=repr)
