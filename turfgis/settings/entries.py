"""Whole entries of a settings file, such as a material or a job: copied under a new name, or taken out."""

from __future__ import annotations

import tomllib

from turfgis.errors import SettingsError
from turfgis.settings.altered import Assignment, toml_value
from turfgis.settings.lines import key_lines

LISTED = ("job",)  # entries of a list of tables, which go by a key "name"


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
        block[0] = f"[{Assignment((table, new), None).key}]"
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
    given = tomllib.loads(text).get(table, {})
    return [str(one.get("name", "")) for one in given] if table in LISTED else list(given)


def _place(text: str, table: str, name: str) -> tuple[int, int]:
    """First line of an entry, and the line behind its last; comments above the next entry belong to that one."""
    names, keys = _names(text, table), key_lines(text)
    path = (table, names.index(name) if name in names else -1) if table in LISTED else (table, name)
    if name not in names or path not in keys:
        there = ", ".join(names) or "none"
        raise SettingsError(f"no {table} '{name}' that has its own place in the file (there are: {there})")
    lines = text.splitlines()
    first = keys[path] - 1
    others = [
        line - 1 for key, line in keys.items() if key[:2] != path and line - 1 > first and _is_head(lines[line - 1])
    ]
    last = min(others, default=len(lines))
    while last > first + 1 and (not lines[last - 1].strip() or lines[last - 1].lstrip().startswith("#")):
        last -= 1
    return first, last


def _is_head(line: str) -> bool:
    return line.lstrip().startswith("[")
