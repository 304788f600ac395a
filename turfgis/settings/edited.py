"""Changing keys of a settings file without disturbing the rest: comments, order and blank lines stay as they are."""

from __future__ import annotations

import hashlib
import os
import tempfile
import tomllib
from collections.abc import Callable, Sequence
from difflib import SequenceMatcher
from pathlib import Path

import tomlkit
from tomlkit.exceptions import TOMLKitError

from turfgis.errors import ChangedElsewhere, SettingsError
from turfgis.settings.altered import Assignment, named_key, put_key
from turfgis.settings.read import check_settings


def fingerprint(text: str) -> str:
    """What tells one state of a file from another."""
    return hashlib.sha256(text.encode("utf-8")).hexdigest()


def edited_text(text: str, changes: Sequence[Assignment]) -> str:
    r"""
    The text of a settings file with some of its keys changed.

    Parameters
    ----------
    text
        As it stands in the file.
    changes
        Keys with their new values. What leads to a key must be there; the last key may be new.

    Returns
    -------
    The text, which can be read as settings.

    Raises
    ------
    SettingsError
        A key is not there, or the settings could not be used so; nothing is half changed.

    Examples
    --------
    >>> before = 'name = "A course"  # ours\naccuracy = "0.3 m"  # from a photo\n[[layer]]\nfile = "a.gpkg"\n'
    >>> print(edited_text(before, [Assignment(("accuracy",), "0.1 m")]).splitlines()[1])
    accuracy = "0.1 m"  # from a photo
    """
    try:
        data = tomlkit.parse(text)
    except TOMLKitError as error:
        raise SettingsError(f"not valid TOML: {error}") from None
    for one in changes:
        put_key(data, list(one.keys), one.value, one.key)
    made = with_own_lines(text, tomlkit.dumps(data))
    _check(made)
    return made


def _check(text: str) -> None:
    """Refuse text that could not be read as settings."""
    plain = tomllib.loads(text)
    _, problems = check_settings(plain)
    if problems:
        said = [f"{named_key(where, plain)}: {' '.join(what.split())}" for where, what in problems]
        raise SettingsError("\n".join(dict.fromkeys(said)))


def with_own_lines(text: str, made: str) -> str:
    """
    Lines that were not changed, as they stood in the file.

    tomlkit 0.15 drops the blank between a date and the brace behind it, so a line can differ though nobody changed it.
    """
    own, again = text.splitlines(keepends=True), tomlkit.dumps(tomlkit.parse(text)).splitlines(keepends=True)
    if own == again or len(own) != len(again):
        return made
    lines = made.splitlines(keepends=True)
    for match in SequenceMatcher(None, again, lines, autojunk=False).get_matching_blocks():
        lines[match.b : match.b + match.size] = own[match.a : match.a + match.size]
    return "".join(lines)


def write_edited(path: Path, edit: Callable[[str], str], seen: str) -> None:
    """
    Change a settings file in place; it is replaced whole or not at all.

    Parameters
    ----------
    path
        A ``course.toml``.
    edit
        Makes the new text out of the old one, such as :func:`edited_text` with its changes.
    seen
        :func:`fingerprint` of the text that whoever makes the change has looked at.

    Raises
    ------
    ChangedElsewhere
        The file is no longer what was looked at.
    SettingsError
        The settings could not be used so.
    """
    raw = path.read_bytes()
    text = raw.decode("utf-8-sig")
    if fingerprint(text) != seen:
        raise ChangedElsewhere(
            f"{path.name} has been changed by somebody else since it was shown; nothing was written. "
            "Look at it as it is now, and make your change again"
        )
    mark = "\ufeff" if raw.startswith(b"\xef\xbb\xbf") else ""
    made = edit(text)
    _check(made)
    _replace(path, (mark + made).encode("utf-8"))


def _replace(path: Path, content: bytes) -> None:
    """Write beside the file, then take its place in one step."""
    handle, name = tempfile.mkstemp(prefix=".unfinished-", dir=path.parent)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        if path.exists():
            os.chmod(name, path.stat().st_mode)
        os.replace(name, path)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise
