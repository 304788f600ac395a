"""Whole entries of a settings file, such as a material or a job: added, copied under a new name, or taken out."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping, Sequence
from contextlib import suppress
from typing import Any

import tomlkit

from turfgis.errors import SettingsError
from turfgis.settings.altered import Assignment, toml_value
from turfgis.settings.lines import key_lines

LISTED = ("job",)  # entries of a list of tables, which go by a key "name"


def added_entry(text: str, table: str, name: str, entry: dict[str, Any]) -> str:
    r"""
    The text of a settings file with an entry more, behind the last of its kind or at the end.

    Parameters
    ----------
    text
        As it stands in the file.
    table, name
        Where it belongs, and what it is called.
    entry
        Its keys; a table in it is written in braces.

    Raises
    ------
    SettingsError
        It has no name, there is one of that name already, or the file keeps its entries in a way of its own.

    Examples
    --------
    >>> print(added_entry('[fuel.diesel]\nprice = "1.45 EUR/l"  # a tank\n', "fuel", "petrol", {"kind": "petrol"}))
    [fuel.diesel]
    price = "1.45 EUR/l"  # a tank
    <BLANKLINE>
    [fuel.petrol]
    kind = "petrol"
    <BLANKLINE>
    """
    name = name.strip()
    data = tomllib.loads(text)
    names = _names(text, table)
    if not name:
        raise SettingsError("needs a name")
    if name in names:
        raise SettingsError(f"there is a {table} '{name}' already; give this one another name")
    listed = table in LISTED
    places = [len(text.splitlines())]
    if names:
        with suppress(SettingsError):  # its entries stand in one line, or have no name
            places.insert(0, _place(text, table, names[-1])[1])
    whole = {**data, table: [*data.get(table, []), {"name": name, **entry}]} if listed else None
    whole = whole or {**data, table: {**data.get(table, {}), name: entry}}
    made = with_block(text, _block(table, name, entry), places, whole)
    if made is None:
        raise SettingsError(f"the file keeps its {table} entries in one table; add this one to it with a text editor")
    return made


def with_block(text: str, block: str, places: Sequence[int], whole: Mapping[str, Any]) -> str | None:
    """
    The text with lines more, at the first of some places where it comes to say what it is to say.

    Parameters
    ----------
    text
        As it stands in the file.
    block
        The lines, each ended by a line feed; they get line ends as the file has them, and a blank line before them.
    places
        Behind how many lines they may stand.
    whole
        What the text has to say then.

    Returns
    -------
    None where it says that with the lines at none of the places.
    """
    lines = text.splitlines(keepends=True)
    end = "\r\n" if lines and lines[0].endswith("\r\n") else "\n"
    for at in places:
        before = "".join(lines[:at]).rstrip("\r\n")
        made = (before + end * 2 if before else "") + block.replace("\n", end) + "".join(lines[at:])
        try:
            if tomllib.loads(made) == whole:
                return made
        except ValueError:
            continue
    return None


def _block(table: str, name: str, entry: dict[str, Any]) -> str:
    """An entry as it stands in the file."""
    document, made = tomlkit.document(), tomlkit.table()
    if table in LISTED:
        made.add("name", name)
    for key, value in entry.items():
        made.add(key, _inline(value))
    if table in LISTED:
        document.add(table, tomlkit.aot())
        document[table].append(made)  # type: ignore[union-attr]
    else:
        document.add(table, tomlkit.table(is_super_table=True).add(name, made))
    return tomlkit.dumps(document)


def _inline(value: Any) -> Any:
    """A table as one in braces."""
    if not isinstance(value, dict):
        return value
    made = tomlkit.inline_table()
    made.update({key: _inline(one) for key, one in value.items()})
    return made


def copied_entry(text: str, table: str, name: str, new: str) -> str:
    r"""
    The text of a settings file with a copy of an entry below it.

    Parameters
    ----------
    text
        As it stands in the file.
    table, name
        Which entry.
    new
        What the copy is called.

    Raises
    ------
    SettingsError
        There is no such entry, or one of the new name already.

    Examples
    --------
    >>> print(copied_entry('[fuel.diesel]\nprice = "1.45 EUR/l"  # a tank\n', "fuel", "diesel", "gas"), end="")
    [fuel.diesel]
    price = "1.45 EUR/l"  # a tank
    <BLANKLINE>
    [fuel.gas]
    price = "1.45 EUR/l"  # a tank
    """
    new = new.strip()
    if not new:
        raise SettingsError(f"the copy of '{name}' needs a name of its own")
    if new in _names(text, table):
        raise SettingsError(f"there is a {table} '{new}' already; give the copy another name")
    first, last = _place(text, table, name)
    lines = text.splitlines(keepends=True)
    block = [line.rstrip("\r\n") for line in lines[first:last]]
    end = "\r\n" if lines[first].endswith("\r\n") else "\n"
    if table in LISTED:
        at = key_lines(text)[table, _names(text, table).index(name), "name"] - 1 - first
        _, _, behind = block[at].partition("=")
        block[at] = block[at][: len(block[at]) - len(behind)] + f" {toml_value(new)}"
    else:
        block[0] = f"[{Assignment((*table.split('.'), new), None).key}]"
    if not lines[last - 1].endswith("\n"):
        lines[last - 1] += end
    lines[last:last] = [end, *(line + end for line in block)]
    return "".join(lines)


def without_entry(text: str, table: str, name: str) -> str:
    """
    The text of a settings file with an entry taken out.

    Raises
    ------
    SettingsError
        There is no such entry.
    """
    first, last = _place(text, table, name)
    lines = text.splitlines(keepends=True)
    while last < len(lines) and not lines[last].strip() and first and not lines[first - 1].strip():
        last += 1  # one blank line stays between its neighbours
    return "".join([*lines[:first], *lines[last:]])


def _names(text: str, table: str) -> list[str]:
    given: Any = tomllib.loads(text)
    for part in table.split("."):
        given = given.get(part, {})
    return [str(one.get("name", "")) for one in given] if table in LISTED else list(given)


def _place(text: str, table: str, name: str) -> tuple[int, int]:
    """First line of an entry, and the line behind its last; comments above the next entry belong to that one."""
    names, keys = _names(text, table), key_lines(text)
    path: tuple = (*table.split("."), (names.index(name) if name in names else -1) if table in LISTED else name)
    if name not in names or path not in keys:
        there = ", ".join(names) or "none"
        raise SettingsError(f"no {table} '{name}' that has its own place in the file (there are: {there})")
    lines = text.splitlines()
    first = keys[path] - 1
    others = [
        line - 1
        for key, line in keys.items()
        if key[: len(path)] != path and line - 1 > first and _is_head(lines[line - 1])
    ]
    last = min(others, default=len(lines))
    while last > first + 1 and (not lines[last - 1].strip() or lines[last - 1].lstrip().startswith("#")):
        last -= 1
    return first, last


def _is_head(line: str) -> bool:
    return line.lstrip().startswith("[")
