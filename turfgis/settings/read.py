"""Reading a ``course.toml``: every message names the file, the line, the key and what would be accepted."""

import re
import tomllib
from pathlib import Path

from pydantic import ValidationError

from turfgis.errors import SettingsError
from turfgis.settings import models
from turfgis.settings.lines import key_lines, line_of
from turfgis.settings.messages import place_and_words
from turfgis.settings.names import cross_checks

# What the TOML reader says -> what is likely to be the matter.
_IN_PLAIN_WORDS = {
    "Cannot overwrite a value": "this key was given before; take one of the two out",
    "Cannot mutate immutable namespace": "this table was begun before; keep all its keys in one place",
    "Invalid value": "behind = stands no value; write text in quotes, lists in [ ], tables in { }",
    "Expected '=' after a key": "a line must read: key = value",
    "Invalid statement": "a line must read: key = value, or [table], or [[table]]",
    "Illegal character '\\n'": "a quote is not closed",
    "Unterminated string": "a quote is not closed",
    "Exceeds the limit": "a number of far too many digits",
    "Duplicate inline table key": "this key was given before; take one of the two out",
    "Unclosed array": "a list is not closed with ]",
    "Unclosed inline table": "a table in { } is not closed; it must stand on one line",
    "Expected newline or end of document": "behind the value stands more than one thing; text with blanks needs quotes",
    "Unescaped '\\'": "write a path with / in place of \\",
}
_DECLARED_TWICE = re.compile(r"Cannot declare \((.*)\) twice")
_DATE = re.compile(r"\d{4}-\d\d-\d\d")
_BARE_MONTH = re.compile(r"""(?<![\w"'-])\d{4}-\d\d(?![\w"'-])""")
_AT = re.compile(r"\s*\(at (?:line (\d+), column \d+|end of document)\)")


def read_settings(path: Path) -> models.CourseSettings:
    """
    Read and check a settings file.

    Parameters
    ----------
    path
        The ``course.toml``.

    Returns
    -------
    The settings, frozen.

    Raises
    ------
    SettingsError
        The file cannot be read, or says something that cannot be used. The message lists every such key, with its line.
    """
    text, data = read_toml(path)
    settings, problems = check_settings(data)
    if settings is None:
        raise SettingsError(_listed(path.name, key_lines(text), problems))
    return settings


def read_toml(path: Path) -> tuple[str, dict]:
    """
    Read a TOML file.

    Returns
    -------
    text, data

    Raises
    ------
    SettingsError
        It cannot be read; the message names the line.
    """
    text = _text(path)
    try:
        return text, tomllib.loads(text)
    except (
        ValueError,
        RecursionError,
    ) as error:  # a bad file, a number of 5,000 digits, a list in a list in a list ...
        raise SettingsError(_not_toml(path.name, text, error)) from None


def check_settings(data: dict) -> tuple[models.CourseSettings | None, list[tuple[tuple, str]]]:
    """
    Settings out of parsed TOML, or what is wrong with it.

    Returns
    -------
    settings, problems
        The settings and no problem; or None and where each problem lies, as a path of keys, with what it is in words.
    """
    try:
        settings = models.CourseSettings.model_validate(data)
    except ValidationError as error:
        return None, [place_and_words(dict(problem), data) for problem in error.errors(include_url=False)]
    problems = list(cross_checks(settings))
    return (None, problems) if problems else (settings, [])


def _text(path: Path) -> str:
    try:
        return path.read_text(encoding="utf-8-sig")
    except FileNotFoundError:
        raise SettingsError(f"{path}: no such file") from None
    except UnicodeDecodeError:
        raise SettingsError(f"{path}: not a text file in UTF-8; save it as UTF-8 text") from None
    except OSError as error:
        raise SettingsError(f"{path}: cannot be read: {error.strerror}") from None


def _not_toml(file: str, text: str, error: Exception) -> str:
    said = str(error) if isinstance(error, ValueError) else "lists or tables inside one another too often"
    found = _AT.search(said)
    line = (found.group(1) or str(text.count("\n") + 1)) if found else ""
    bare = _AT.sub("", said)
    key = _key_at(text, int(line)) if line else ""
    written = text.splitlines()[int(line) - 1] if line and int(line) <= text.count("\n") + 1 else ""
    if bare.startswith("Invalid date"):
        day = _DATE.search(written)
        given = f"'{day.group()}'" if day else "this"
        return f"{file}:{line}: {key}{given} is not a day that exists"
    month = _BARE_MONTH.search(written.split("#")[0])
    if month:
        return (
            f"{file}:{line}: {key}{month.group()} is a month without a day; write a day like {month.group()}-14, "
            f'or months in quotes: "{month.group()}"'
        )
    twice = _DECLARED_TWICE.fullmatch(bare)
    if twice:
        name = ".".join(part.strip(" '\"") for part in twice.group(1).split(",") if part.strip())
        bare = f"the table [{name}] was begun before; give each its own name, or keep its keys together"
    else:
        bare = next((f"{plain} ({bare})" for start, plain in _IN_PLAIN_WORDS.items() if bare.startswith(start)), bare)
    return f"{file}{f':{line}' if line else ''}: not valid TOML: {bare}"


def _key_at(text: str, line: int) -> str:
    """The key in whose value a line stands, as it is named in messages."""
    at = {found: where for where, found in key_lines(text).items() if found <= line}
    return _key(at[max(at)]) if at else ""


def _key(where: tuple) -> str:
    key = ".".join(str(part + 1) if isinstance(part, int) else str(part) for part in where)
    return f"{key}: " if key else ""


def _listed(file: str, lines: dict[tuple, int], problems: list[tuple[tuple, str]]) -> str:
    """One line a problem, from the top of the file down."""
    misspelt = [(where[:-1], what) for where, what in problems if what.startswith("unknown key")]
    placed = []
    for where, what in problems:
        if what.startswith("is missing") and any(
            table == where[:-1] and f"did you mean '{where[-1]}'" in said for table, said in misspelt
        ):
            continue  # it is there, but for a slip of the pen that has a line of its own
        line = line_of(lines, where)
        said = f"{file}{f':{line}' if line else ''}: {_key(where)}{' '.join(what.split())}"
        placed.append((line or 0, said))
    return "\n".join(said for _, said in sorted(placed, key=lambda one: one[0]))
