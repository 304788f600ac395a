"""A file of what-ifs, each a case with a name: the keys that it changes, written as in the settings themselves."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from turfgis.errors import SettingsError
from turfgis.settings.altered import Alterations, Assignment, LetGrow, toml_value
from turfgis.settings.messages import LISTED, NAMED, did_you_mean
from turfgis.settings.read import read_toml

_OWN = ("without", "let_grow")
_LET_GROW = ("file", "layer", "of", "as")
# How many keys name a figure; what stands deeper is part of its value, such as the months of a job.
_DEPTH = {**dict.fromkeys((*LISTED, *NAMED, "budget"), 3), "labour": 2, "map": 2}


def read_cases(path: Path) -> dict[str, Alterations]:
    """
    Read a file of cases.

    Parameters
    ----------
    path
        A TOML file with a table ``[case.NAME]`` for each, which holds keys as in a settings file, and may hold
        ``without``, a list of jobs to leave out, and ``let_grow``, areas that leave their surface.

    Returns
    -------
    Name -> what it changes, in the order of the file.

    Raises
    ------
    SettingsError
        The file cannot be read, or a case in it says nothing that can be done.
    """
    data = read_toml(path)[1]
    for key in data:
        if key != "case":
            raise SettingsError(f"{path.name}: unknown key '{key}'; a case begins with [case.NAME] and its keys follow")
    cases = data.get("case")
    if not isinstance(cases, dict) or not cases:
        raise SettingsError(f"{path.name}: no case in it; begin each with [case.NAME] and write its keys below")
    return {name: _case(path, name, table) for name, table in cases.items()}


def cases_text(cases: Mapping[str, Alterations]) -> str:
    """
    Cases as such a file; keys and jobs that are left out.

    Examples
    --------
    >>> print(cases_text({"A": Alterations((Assignment(("job", "dress greens", "depth"), "3 mm"),), ("hollow",))}))
    [case.A]
    job."dress greens".depth = "3 mm"
    without = ["hollow"]
    <BLANKLINE>
    """
    parts = []
    for name, changes in cases.items():
        without = [f"without = {toml_value(list(changes.without))}"] if changes.without else []
        parts.append(
            "\n".join([f"[{Assignment(('case', name), None).key}]", *(one.text for one in changes.set), *without])
        )
    return "\n\n".join(parts) + "\n"


def _case(path: Path, name: str, table: Any) -> Alterations:
    told = f"{path.name}: case '{name}'"
    if not isinstance(table, dict) or not table:
        raise SettingsError(f"{told}: changes nothing; write keys below [case.NAME], as in the settings")
    without = table.get("without", [])
    if not isinstance(without, list) or not all(isinstance(one, str) for one in without):
        raise SettingsError(f'{told}: without: write a list of jobs, such as ["deep drilling"]')
    grown = table.get("let_grow", [])
    changes = {key: value for key, value in table.items() if key not in _OWN}
    return Alterations(
        tuple(_assignments((), changes)),
        tuple(without),
        tuple(_let_grow(path, one, told) for one in (grown if isinstance(grown, list) else [grown])),
        told,
    )


def _assignments(above: tuple[str, ...], table: dict) -> Iterator[Assignment]:
    """Figures of nested tables, each with the keys that lead to it."""
    for key, value in table.items():
        keys = (*above, key)
        job = len(keys) == 2 and keys[0] == "job" and isinstance(value, dict) and "work" in value
        if isinstance(value, dict) and value and len(keys) < _DEPTH.get(keys[0], 1) and not job:
            yield from _assignments(keys, value)
        else:
            yield Assignment(keys, value)


def _let_grow(path: Path, given: Any, told: str) -> LetGrow:
    table = {"file": given} if isinstance(given, str) else given
    if not isinstance(table, dict) or not isinstance(table.get("file"), str):
        raise SettingsError(f'{told}: let_grow: write a file, or {{ file = "wild.gpkg", layer = "north" }}')
    for key, value in table.items():
        if key not in _LET_GROW:
            raise SettingsError(f"{told}: let_grow: unknown key '{key}'{did_you_mean(key, _LET_GROW)}")
        names = isinstance(value, list) and bool(value) and all(isinstance(one, str) for one in value)
        if not (isinstance(value, str) or (key == "of" and names)):
            raise SettingsError(
                f"{told}: let_grow.{key}: write {'a list of names' if key == 'of' else 'text'} in quotes"
            )
    of = table.get("of", LetGrow.of)
    return LetGrow(
        path.parent / table["file"],
        table.get("layer"),
        (of,) if isinstance(of, str) else tuple(of),
        table.get("as", LetGrow.surface),
    )
