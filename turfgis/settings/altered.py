"""What if: settings as they would be with some keys changed, checked as the file itself is."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from turfgis.errors import SettingsError
from turfgis.settings import models
from turfgis.settings.messages import did_you_mean
from turfgis.settings.read import check_settings

_PART = r"""(?:"[^"]*"|'[^']*'|[^.="']+)"""
_SETTING = re.compile(rf"\s*({_PART}(?:\.{_PART})*)=\s*(.*)", re.DOTALL)
# What the measured ground hangs on: another drawing is another course.
_DRAWN = ("layer", "strip", "surface", "accuracy", "edge_bias")


def altered_settings(path: Path, changes: Sequence[str]) -> models.CourseSettings:
    """
    Read a settings file with some of its keys changed; the file stays as it is.

    Parameters
    ----------
    path
        A ``course.toml`` that can be read.
    changes
        Each ``key = value``, such as ``material.sand.price = 48 EUR/t``. A job goes by its name; names with dots stand
        in quotes. A value that is not TOML is taken for text.

    Returns
    -------
    The settings.

    Raises
    ------
    SettingsError
        A key is not there, or the settings could not be used so.
    """
    data = tomllib.loads(path.read_text(encoding="utf-8-sig"))
    for change in changes:
        keys, value = _read(change)
        _put(data, keys, value, change)
    settings, problems = check_settings(data)
    if settings is not None:
        return settings
    said = [f"--set {_named(where, data)}: {' '.join(what.split())}" for where, what in problems]
    raise SettingsError("\n".join(dict.fromkeys(said)))


def _read(change: str) -> tuple[list[str], Any]:
    found = _SETTING.fullmatch(change)
    if not found or not found.group(2).strip():
        raise SettingsError(f"--set {change}: write key=value, such as material.dressing_sand.price='48 EUR/t'")
    keys = [part.strip().strip("\"'").strip() for part in re.findall(_PART, found.group(1))]
    text = found.group(2).strip()
    try:
        read = tomllib.loads(f"value = {text}")
    except (ValueError, RecursionError):
        return keys, text
    return keys, read["value"] if list(read) == ["value"] else text


def _put(data: dict, keys: list[str], value: Any, change: str) -> None:
    said = f"--set {change}"
    if keys[0] in _DRAWN:
        raise SettingsError(f"{said}: '{keys[0]}' belongs to the drawing; change it in a copy of the folder")
    if keys[0] not in models.CourseSettings.model_fields:
        accepted = [name for name in models.CourseSettings.model_fields if name not in _DRAWN]
        raise SettingsError(f"{said}: no key '{keys[0]}'{did_you_mean(keys[0], accepted)}")
    node: Any = data
    for depth, key in enumerate(keys[:-1]):
        node = _step(node, key, keys[:depth], said)
    if not isinstance(node, dict):
        raise SettingsError(f"{said}: {'.'.join(keys[:-1])} holds no keys of its own")
    node[keys[-1]] = value


def _step(node: Any, key: str, above: list[str], said: str) -> Any:
    """What stands under a key; a job under its name."""
    named: dict[str, Any]
    if isinstance(node, list):
        named = {str(one["name"]): one for one in node if isinstance(one, dict) and "name" in one}
    elif isinstance(node, dict):
        named = node
    else:
        raise SettingsError(f"{said}: {'.'.join(above)} holds no keys of its own")
    if key in named:
        return named[key]
    if not above and key not in ("job", "material", "machine", "season", "limit"):
        return named.setdefault(key, {})
    kind = above[0] if above else key
    raise SettingsError(f"{said}: no {kind} '{key}'{did_you_mean(key, named)}" if above else f"{said}: no {kind}s here")


def _named(where: tuple, data: dict) -> str:
    """A place as it is typed: a job by its name, in quotes where it has blanks."""
    made, node = [], data
    for part in where:
        inner = node[part] if isinstance(node, list) else node.get(part) if isinstance(node, dict) else None
        name = str(inner.get("name", part + 1)) if isinstance(node, list) and isinstance(inner, dict) else str(part)
        made.append(name if re.fullmatch(r"[\w-]+", name) else f'"{name}"')
        node = inner
    return ".".join(made)
