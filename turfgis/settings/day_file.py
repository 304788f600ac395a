"""Reading the file of one day, ``board_2027-05-14.toml``: what has been decided by hand."""

import tomllib
from pathlib import Path

from pydantic import ValidationError

from turfgis.errors import SettingsError
from turfgis.settings.messages import did_you_mean
from turfgis.settings.people import DayFile, Fixed


def read_day_file(path: Path) -> DayFile:
    """
    What has been decided for a day.

    Raises
    ------
    SettingsError
        The file cannot be read, or says something that cannot be used; the message names each such key.
    """
    try:
        data = tomllib.loads(path.read_text(encoding="utf-8-sig"))
    except OSError as error:
        raise SettingsError(f"{path}: cannot be read: {error.strerror}") from None
    except ValueError as error:
        raise SettingsError(f"{path.name}: not valid TOML in UTF-8: {error}") from None
    try:
        return DayFile.model_validate(data)
    except ValidationError as error:
        said = [f"{path.name}: {_words(problem)}" for problem in error.errors(include_url=False)]
        raise SettingsError("\n".join(said)) from None


def _words(problem) -> str:
    where = problem["loc"]
    key = ".".join(str(part + 1) if isinstance(part, int) else str(part) for part in where)
    if problem["type"] == "extra_forbidden":
        known = Fixed.model_fields if where[0] == "fixed" else DayFile.model_fields
        return f"unknown key '{key}'{did_you_mean(str(where[-1]), known)}"
    if problem["type"] == "missing":
        return f"{key} is missing; [[fixed]] needs task and person"
    if problem["type"] == "value_error":
        return f"{key}: {problem['ctx']['error']}"
    if where == ("fixed",):
        return f"{key}: write [[fixed]], and its keys below"
    example = 'a list of names, such as ["cut greens"]' if len(where) == 1 else "text in quotes"
    return f"{key}: write {example}"
