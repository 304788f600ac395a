"""The figures of a settings file as a person wrote them, key by key; for pages on which they are read and changed."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from pydantic import BaseModel

from turfgis.settings import models
from turfgis.settings.altered import Assignment, read_assignment, toml_value
from turfgis.settings.messages import WATER

# tables of tables; a dot parts a table from the one that it lies in
NAMED = (
    *("material", "machine", "person", "supplier", "fuel", "limit", "surface", "controller"),
    *("water.surface", "water.limit"),
)
WITHIN = {"water": set(WATER)}  # tables that stand apart from the keys of the one that they lie in
WITHOUT = {"name", "work", "group"}  # of a job: what it is, not how it is done


@dataclass(frozen=True)
class Written:
    """
    One key.

    Attributes
    ----------
    keys
        Its path, as in :class:`turfgis.settings.altered.Assignment`.
    text
        Its value: text without its quotes, anything else as TOML.
    in_quotes
        Whether it is text.
    """

    keys: tuple[str, ...]
    text: str
    in_quotes: bool = True

    @property
    def key(self) -> str:
        """The path as it is written."""
        return Assignment(self.keys, None).key

    def changed_to(self, text: str) -> Assignment:
        """The same key with another value, written as this one is."""
        return Assignment(self.keys, text) if self.in_quotes else read_assignment(f"{self.key}={text}")

    @property
    def label(self) -> str:
        """
        What the last key says, in words.

        Examples
        --------
        >>> Written(("material", "sand", "bulk_density"), "1.55 t/m3").label
        'bulk density'
        """
        return self.keys[-1].replace("_", " ")


def read_written(path: Path, *tables: str) -> dict[tuple[str, str], list[Written]]:
    """
    What stands in a file.

    Parameters
    ----------
    path
        A ``course.toml`` that can be read.
    tables
        Which tables: ``job``, any of :data:`NAMED`, or a table of its own such as ``labour`` or ``water.supply``.

    Returns
    -------
    Table and name of each entry ("" for a table of its own) -> its keys.
    """
    data = tomllib.loads(path.read_text(encoding="utf-8-sig"))
    found: dict[tuple[str, str], list[Written]] = {}
    for table in tables:
        given: Any = data
        for part in table.split("."):
            given = given.get(part, {})
        if table == "job":
            entries = [
                (str(job["name"]), {key: one for key, one in job.items() if key not in WITHOUT}) for job in given
            ]
        elif table in NAMED:
            entries = list(given.items())
        else:
            own = {key: one for key, one in given.items() if key not in WITHIN.get(table, ())}
            entries = [("", own)] if own else []
        for name, entry in entries:
            above = (*table.split("."), *([name] if name else []))
            found[table, name] = [
                Written((*above, key), as_text(value), isinstance(value, str)) for key, value in entry.items()
            ]
    return found


def as_text(value: Any) -> str:
    """
    A value as it stands in a field to fill in.

    Examples
    --------
    >>> as_text("42 EUR/t"), as_text(["green", "tee"])
    ('42 EUR/t', '["green", "tee"]')
    """
    return value if isinstance(value, str) else toml_value(value)


def known_keys(settings: models.CourseSettings, table: str, name: str) -> set[str]:
    """
    All keys that an entry may have.

    Parameters
    ----------
    settings
        As read.
    table, name
        Which entry; "" for a table of its own.
    """
    if table == "job":
        entry: Any = next((job for job in settings.job if job.name == name), None)
    else:
        entry = settings
        for part in table.split("."):
            entry = getattr(entry, part, None)
        entry = entry.get(name) if isinstance(entry, dict) else entry
    if not isinstance(entry, BaseModel):
        return set()
    return {field.alias or key for key, field in type(entry).model_fields.items()} - WITHOUT - WITHIN.get(table, set())
