"""Entries of ``[[layer]]`` that come to name another file, with comments and order as they are."""

import copy
import tomllib
from collections.abc import Mapping, Sequence
from typing import Any

import tomlkit

from turfgis.errors import SettingsError
from turfgis.settings.altered import toml_value
from turfgis.settings.edited import with_own_lines
from turfgis.settings.entries import with_block
from turfgis.settings.lines import key_lines


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


def text_with_new_layer(text: str, entry: Mapping[str, str]) -> str:
    r"""
    The text of a settings file with a ``[[layer]]`` more, behind the last one or at the end.

    Parameters
    ----------
    text
        As it stands in the file.
    entry
        Its keys.

    Raises
    ------
    SettingsError
        The file keeps its layers in a way of its own.

    Examples
    --------
    >>> before = '[[layer]]\nfile = "a.kml"  # drawn by hand\n\n# What else there is.\n[fuel.diesel]\n'
    >>> print(text_with_new_layer(before, {"file": "places.gpkg", "role": "places"}), end="")
    [[layer]]
    file = "a.kml"  # drawn by hand
    <BLANKLINE>
    [[layer]]
    file = "places.gpkg"
    role = "places"
    <BLANKLINE>
    # What else there is.
    [fuel.diesel]
    """
    data, end = tomllib.loads(text), len(text.splitlines())
    wanted = {**data, "layer": [*data.get("layer", []), dict(entry)]}
    block = "".join(f"{line}\n" for line in ["[[layer]]", *(f"{key} = {toml_value(entry[key])}" for key in entry)])
    last = max((line for key, line in key_lines(text).items() if key[:1] == ("layer",)), default=end)
    made = with_block(text, block, (last, end), wanted)
    if made is None:
        raise SettingsError("the file keeps its layers in one list; add this one to it with a text editor")
    return made


def _change_entry(entry: Any, changes: Mapping[str, str | None]) -> None:
    for key, value in changes.items():
        if value is None:
            entry.pop(key, None)
        elif key in entry:
            entry[key] = value
        else:  # beside the file it lies in, rather than at the end among blank lines and remarks on what follows
            beside = "layer" if "layer" in entry else "file"
            entry.value._insert_after(beside, tomlkit.key(key), tomlkit.item(value).indent(0))
