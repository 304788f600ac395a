"""Files of a course copied into its own GeoPackage, so that they can be changed there: no figure changes with it."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Collection, Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

from turfgis.errors import InputError, LayerError
from turfgis.estimates.course import open_course
from turfgis.layers.adopting import Copied, copy_layers, remove_layers
from turfgis.layers.geopackage import connected, stored_layers
from turfgis.layers.new_layers import new_geopackage

if TYPE_CHECKING:
    import sqlite3

    from turfgis.estimates.course import Course

HOME = "course.gpkg"
SAME_M2 = 1e-6  # what the same shapes may differ by


def adopt(settings: Path, files: Collection[str] | None = None, home: str = HOME) -> list[Copied]:
    """
    Copy files of drawn areas into the GeoPackage of a course, and have the settings name the copies.

    Comments and order of the settings stay, and the files stay where they are, though nothing reads them any more. An
    entry that speaks of all layers of a file becomes one entry for each.

    Parameters
    ----------
    settings
        The ``course.toml``.
    files
        Those to copy, as the settings name them; all that do not lie in the GeoPackage where left out. Only layers of
        areas are copied: lines, places and earlier surveys stay where they are.
    home
        Name of the GeoPackage in the folder of the settings; it is made where there is none.

    Returns
    -------
    What was copied, in the order of the settings.

    Raises
    ------
    InputError
        There is nothing to copy, or areas would not come out the same. Nothing is changed.
    ChangedElsewhere
        The settings were changed meanwhile.
    LayerError, SettingsError, OutputError
        A file cannot be read, or not be written.
    """
    from turfgis.settings.edited import fingerprint, write_edited
    from turfgis.settings.layer_entries import text_with_layers

    folder = settings.parent
    seen = settings.read_bytes().decode("utf-8-sig")
    course = open_course(settings)
    assert course.settings is not None
    entries = list(enumerate(course.settings.layer))
    moved = [
        (place, one)
        for place, one in entries
        if one.file != home and one.role == "areas" and (files is None or one.file in files)
    ]
    if not moved:
        what = "all layers" if files is None else ", ".join(files)
        raise InputError(f"there is nothing to copy: {what} lie in {home} already, or are not named in {settings.name}")
    if not (folder / home).exists():
        new_geopackage(folder / home)
    with connected(folder / home, writing=True) as file:
        changes = _spelled_out(file, entries, home)
        copied: list[Copied] = []
        for place, one in moved:
            made = copy_layers(
                file,
                folder / one.file,
                one.layer,
                crs=one.crs,
                swap_axes=one.swap_axes,
                role=one.role,
                known=course.drawing.order,
            )
            plain: dict[str, str | None] = {"file": home, "crs": None, "swap_axes": None}
            changes[place] = [{**plain, "layer": two.layer} for two in made]
            copied += made
    try:
        text = text_with_layers(seen, changes)
        _check_same(settings, text, course)
        write_edited(settings, lambda _: text, fingerprint(seen))
    except BaseException:
        with connected(folder / home, writing=True) as file:
            remove_layers(file, [one.layer for one in copied])
        raise
    return copied


def _spelled_out(file: sqlite3.Connection, entries: list[tuple[int, Any]], home: str) -> dict[int, list[dict]]:
    """Entries that speak of all layers of the GeoPackage, for each layer that it has now: copies are none of them."""
    names = [
        name
        for name, layer in stored_layers(file).items()
        if any(word in layer.kind for word in ("POLYGON", "GEOM", "SURFACE"))
    ]
    return {
        place: [{"layer": name} for name in names]
        for place, one in entries
        if one.file == home and one.layer is None and names
    }


@contextmanager
def opened_as(settings: Path, text: str) -> Iterator[Course]:
    """The course as it would be with other text in its settings; nothing of it stays."""
    handle, name = tempfile.mkstemp(prefix=".unfinished-", suffix=".toml", dir=settings.parent)
    try:
        with os.fdopen(handle, "w", encoding="utf-8") as file:
            file.write(text)
        yield open_course(name)
    finally:
        Path(name).unlink(missing_ok=True)


def _check_same(settings: Path, text: str, before: Any) -> None:
    """Measure the course as the new settings have it, and hold it against what it was."""
    with opened_as(settings, text) as course:
        try:
            after = course.measured.patches
        except LayerError as error:
            raise InputError(f"the copies cannot be used as the files were: {error}; nothing was changed") from None
    ours, theirs = (_net_m2(table["surface"], table["net_m2"]) for table in (before.measured.patches, after))
    apart = {surface: abs(ours.get(surface, 0.0) - theirs.get(surface, 0.0)) for surface in {**ours, **theirs}}
    worst = max(apart, key=lambda surface: apart[surface])
    if apart[worst] > SAME_M2:
        raise InputError(
            f"the copies would not measure the same: {worst} would be {apart[worst]:,.3f} m2 off; nothing was changed"
        )


def _net_m2(surfaces: Iterable[str], net_m2: Iterable[float]) -> dict[str, float]:
    """Net area of each surface. [m2]"""
    sums: dict[str, float] = {}
    for surface, area in zip(surfaces, net_m2, strict=True):
        sums[surface] = sums.get(surface, 0.0) + float(area)
    return sums
