"""Entries of ``[[layer]]`` that come to name another file, with comments and order as they are."""

import copy
from collections.abc import Mapping, Sequence
from typing import Any

import tomlkit

from turfgis.settings.edited import with_own_lines


def text_with_layers(text: str, entries: Mapping[int, Sequence[Mapping[str, str | None]]]) -> str:
    r"""
    The text of a settings file with some of its ``[[layer]]`` entries changed, or parted in several.

    Parameters
    ----------
    text
        As it stands in the file.
    entries
        Place of an entry, from 0 -> for each entry that takes its place the keys that are different in it; None takes a
        key out.

    Returns
    -------
    The text; `turfgis.settings.edited.write_edited` sees whether it can be read as settings.

    Examples
    --------
    >>> before = 'name = "A course"\n\n[[layer]]\nfile = "a.kml"      # drawn by hand\nsurface = "green"\n'
    >>> print(text_with_layers(before, {0: [{"file": "course.gpkg", "layer": "a"}]}))
    name = "A course"
    <BLANKLINE>
    [[layer]]
    file = "course.gpkg"      # drawn by hand
    layer = "a"
    surface = "green"
    <BLANKLINE>
    """
    data = tomlkit.parse(text)
    layers: Any = data["layer"]
    for place in sorted(entries, reverse=True):
        more = [copy.deepcopy(layers[place]) for _ in entries[place][1:]]
        for number, one in enumerate(more, start=1):
            layers.insert(place + number, one)
        for number, changes in enumerate(entries[place]):
            _change_entry(layers[place + number], changes)
    return with_own_lines(text, tomlkit.dumps(data))


def _change_entry(entry: Any, changes: Mapping[str, str | None]) -> None:
    for key, value in changes.items():
        if value is None:
            entry.pop(key, None)
        elif key in entry or key != "layer":
            entry[key] = value
        else:  # beside the file it lies in, rather than at the end among blank lines and remarks on what follows
            entry.value._insert_after("file", tomlkit.key(key), tomlkit.item(value).indent(0))
