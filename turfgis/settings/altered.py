"""What if: settings as they would be with some keys changed, checked as the file itself is."""

from __future__ import annotations

import json
import re
import tomllib
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from turfgis.errors import SettingsError
from turfgis.settings import models
from turfgis.settings.messages import LISTED, did_you_mean
from turfgis.settings.read import check_settings
from turfgis.surfaces import SURFACES

_PART = r"""(?:"[^"]*"|'[^']*'|[^.="']+)"""
_SETTING = re.compile(rf"\s*({_PART}\s*(?:\.\s*{_PART}\s*)*)=\s*(.*)", re.DOTALL)
# Entries of a list of tables go by these keys, the first that an entry has; or by their place, counted from 1.
_CALLED = {"job": ("name",), "layer": ("layer", "file"), "strip": ("surface",)}


@dataclass(frozen=True)
class Assignment:
    """
    One key with another value.

    Attributes
    ----------
    keys
        Path of keys; a job goes by its name, a layer by the name of its layer or file, a strip by its surface.
    value
        As TOML gives it.
    """

    keys: tuple[str, ...]
    value: Any

    @property
    def key(self) -> str:
        """The keys as they are written."""
        return ".".join(map(_quoted, self.keys))

    @property
    def text(self) -> str:
        """
        As it is written.

        Examples
        --------
        >>> Assignment(("job", "dress greens", "depth"), "3 mm").text
        'job."dress greens".depth = "3 mm"'
        """
        return f"{self.key} = {toml_value(self.value)}"


@dataclass(frozen=True)
class LetGrow:
    """
    Ground inside drawn areas that leaves its surface.

    Attributes
    ----------
    file, layer
        The areas; no layer means every polygon layer of the file.
    of
        What the ground is now.
    surface
        What it becomes: a surface of the settings, whose jobs are then done there, or a new one, on which none is.
    """

    file: Path
    layer: str | None = None
    of: tuple[str, ...] = ("rough",)
    surface: str = "long-grass"


@dataclass(frozen=True)
class Alterations:
    """
    All that a what-if changes: keys, jobs that are left out, and ground that is let grow.

    Attributes
    ----------
    set, without, let_grow
        The three.
    told
        Where that is said, for messages; "" for the command line.
    """

    set: tuple[Assignment, ...] = ()
    without: tuple[str, ...] = ()
    let_grow: tuple[LetGrow, ...] = ()
    told: str = ""

    def says(self, key: str) -> str:
        """What a message about a key, or one of ``set``, ``without`` and ``let_grow``, begins with."""
        words = key.split(maxsplit=1)
        if self.told:
            return f"{self.told}: {' '.join(words[1:] if words[0] == 'set' else words)}"
        return " ".join([f"--{words[0].replace('_', '-')}", *words[1:]])

    @property
    def lines(self) -> list[str]:
        """What changes, line by line, as it was read."""
        grown = [
            f"let grow: {' and '.join(one.of)} inside {one.file.name}{f', layer {one.layer}' if one.layer else ''} "
            f"becomes {one.surface}"
            for one in self.let_grow
        ]
        return [*(one.text for one in self.set), *(f"without {name}" for name in self.without), *grown]


def altered_settings(path: Path, changes: Alterations | Sequence[str]) -> models.CourseSettings:
    """
    Read a settings file with some of its keys changed; the file stays as it is.

    Parameters
    ----------
    path
        A ``course.toml`` that can be read.
    changes
        What to change; or texts ``key = value``, such as ``material.sand.price = 48 EUR/t``.

    Returns
    -------
    The settings.

    Raises
    ------
    SettingsError
        A key is not there, or the settings could not be used so.
    """
    wanted = changes if isinstance(changes, Alterations) else Alterations(tuple(map(read_assignment, changes)))
    data = tomllib.loads(path.read_text(encoding="utf-8-sig"))
    for one in wanted.set:
        put_key(data, list(one.keys), one.value, wanted.says(f"set {one.key}"))
    for name in wanted.without:
        _leave_out(data, name, wanted.says("without"))
    for one in wanted.let_grow:
        _let_grow(data, one, wanted.says("let_grow"))
    settings, problems = check_settings(data)
    if settings is not None:
        return settings
    found = [f"{wanted.says(f'set {named_key(where, data)}')}: {' '.join(what.split())}" for where, what in problems]
    raise SettingsError("\n".join(dict.fromkeys(found)))


def read_assignment(text: str) -> Assignment:
    """
    Read ``key = value``.

    Names with dots stand in quotes. A value that is not TOML is taken for text.

    Raises
    ------
    SettingsError
        It is not written so.

    Examples
    --------
    >>> read_assignment("job.dress greens.depth=3 mm")
    Assignment(keys=('job', 'dress greens', 'depth'), value='3 mm')
    """
    found = _SETTING.fullmatch(text)
    if not found or not found.group(2).strip():
        raise SettingsError(f"--set {text}: write key=value, such as material.dressing_sand.price='48 EUR/t'")
    parts = (part.strip().strip("\"'").strip() for part in re.findall(_PART, found.group(1)))
    keys = tuple(part for part in parts if part)  # a blank behind a quote is none
    written = found.group(2).strip()
    try:
        read = tomllib.loads(f"value = {written}")
    except (ValueError, RecursionError):
        return Assignment(keys, written)
    return Assignment(keys, read["value"] if list(read) == ["value"] else written)


def put_key(data: dict, keys: list[str], value: Any, said: str) -> None:
    """
    Put a value under a path of keys; what leads to it must be there.

    Raises
    ------
    SettingsError
        It is not; the message begins with what ``said`` says.
    """
    if keys[0] not in models.CourseSettings.model_fields:
        raise SettingsError(f"{said}: no key '{keys[0]}'{did_you_mean(keys[0], models.CourseSettings.model_fields)}")
    if whole_job(keys, value):
        _put_job(data, keys[1], value)
        return
    node: Any = data
    for depth, key in enumerate(keys[:-1]):
        node = _step(node, key, keys[:depth], said)
    if isinstance(node, list):
        there = [_quoted(name) for name in _names(node, keys[0]) if name]
        raise SettingsError(f"{said}: say of which {keys[0]}: {keys[0]}.NAME.KEY (there are: {', '.join(there)})")
    if not isinstance(node, dict):
        raise SettingsError(f"{said}: {'.'.join(keys[:-1])} holds no keys of its own")
    node[keys[-1]] = value


def whole_job(keys: Sequence[str], value: Any) -> bool:
    """Whether a job is given as a whole, with its work, and not key by key."""
    return len(keys) == 2 and keys[0] == "job" and isinstance(value, dict)


def _put_job(data: dict, name: str, job: dict) -> None:
    """A job as a whole, in the place of the one of its name or at the end."""
    jobs = data.setdefault("job", [])
    new = {**job, "name": name}
    for at, one in enumerate(jobs):
        if one.get("name") == name:
            jobs[at] = new
            return
    jobs.append(new)


def _leave_out(data: dict, name: str, said: str) -> None:
    names = [str(job.get("name")) for job in data.get("job", [])]
    if name not in names:
        raise SettingsError(f"{said} '{name}': no job of that name{did_you_mean(name, names)}")
    data["job"] = [job for job in data["job"] if job.get("name") != name]


def _let_grow(data: dict, grown: LetGrow, said: str) -> None:
    """One more layer, and where its surface is new one that lies directly over what the ground is now."""
    own = data.setdefault("surface", {})
    known = [*SURFACES, *own]
    for name in grown.of:
        if name not in known:
            raise SettingsError(f"{said}: of '{name}': no surface of that name{did_you_mean(name, known)}")
    if grown.surface in grown.of:
        raise SettingsError(f"{said}: ground that is {grown.surface} cannot become {grown.surface}; name another")
    if grown.surface not in known:
        own[grown.surface] = {"over": list(grown.of)}
    layer = {"file": str(grown.file.resolve()), "surface": grown.surface}
    data["layer"].append({**layer, "layer": grown.layer} if grown.layer else layer)


def _step(node: Any, key: str, above: list[str], said: str) -> Any:
    """What stands under a key; an entry of a list under its name or its place."""
    named: dict[str, Any]
    if isinstance(node, list):
        return _entry(node, key, above[0] if above else key, said)
    if not isinstance(node, dict):
        raise SettingsError(f"{said}: {'.'.join(above)} holds no keys of its own")
    named = node
    if key in named:
        return named[key]
    if not above and key not in (*LISTED, "material", "machine", "season", "limit"):
        return named.setdefault(key, {})
    if above == ["surface"]:
        return named.setdefault(key, {})
    kind = above[0] if above else key
    raise SettingsError(f"{said}: no {kind} '{key}'{did_you_mean(key, named)}" if above else f"{said}: no {kind}s here")


def _entry(node: list, key: str, kind: str, said: str) -> Any:
    called = _names(node, kind)
    at = [place for place, name in enumerate(called) if name == key]
    if len(at) > 1:
        places = " or ".join(f"{kind}.{place + 1}" for place in at)
        raise SettingsError(f"{said}: {len(at)} {kind}s are called '{key}'; name one by its place, {places}")
    if not at and key.isdecimal() and 1 <= int(key) <= len(node):
        at = [int(key) - 1]
    if not at:
        raise SettingsError(f"{said}: no {kind} '{key}'{did_you_mean(key, [name for name in called if name])}")
    return node[at[0]]


def _names(node: list, kind: str) -> list[str]:
    """What the entries of a list go by; "" for one that has no name."""
    keys = _CALLED.get(kind, ())
    return [str(next((one[key] for key in keys if key in one), "")) if isinstance(one, dict) else "" for one in node]


def _quoted(name: str) -> str:
    return name if re.fullmatch(r"[\w-]+", name) else f'"{name}"'


def toml_value(value: Any) -> str:
    """A value as it is written in a settings file."""
    if isinstance(value, dict):
        return f"{{ {', '.join(f'{_quoted(str(key))} = {toml_value(one)}' for key, one in value.items())} }}"
    if isinstance(value, list):
        return f"[{', '.join(map(toml_value, value))}]"
    if isinstance(value, str):
        return json.dumps(value, ensure_ascii=False)
    return str(value).lower() if isinstance(value, bool) else str(value)


def named_key(where: tuple, data: dict) -> str:
    """A place as it is typed: a job by its name, in quotes where it has blanks."""
    made, node = [], data
    for part in where:
        inner = node[part] if isinstance(node, list) else node.get(part) if isinstance(node, dict) else None
        name = str(inner.get("name", part + 1)) if isinstance(node, list) and isinstance(inner, dict) else str(part)
        made.append(_quoted(name))
        node = inner
    return ".".join(made)
