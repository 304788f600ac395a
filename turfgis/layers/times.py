"""
How long machines really took: rows of a CSV file or a workbook, by stop-watch or by the hour meter.

A record says what stands in its row; whether the course has such a machine or patch is not known here.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

from turfgis.errors import InputError
from turfgis.layers.records import Row, cell_day, cell_text, read_tables
from turfgis.units import read_number, to_si

# Heading -> what stands below it. Capitals do not matter.
HEADINGS = {
    "date": "the day, as 2027-03-14 or 14.03.2027",
    "machine": "the machine, as the settings call it",
    "patch": "one patch or several with commas between them; may be empty",
    "hole": "one hole or several, such as 1-9 or 1, 3, 5; may be empty",
    "surface": "the surface; may be empty",
    "minutes": "minutes that it took, or a time with its unit such as 1.5 h; or in place of it",
    "start": "reading of the hour meter before",
    "end": "and after",
    "people": "how many people were at it; 1 where it is empty",
    "fuel": "fuel that was filled in, in litres or with its unit",
    "note": "anything",
}
_NEEDED = ("date", "machine")
_RANGE = re.compile(r"(\d{1,3})\s*[-–]\s*(\d{1,3})")
_BARE = re.compile(r"[-+]?[\d.,]+")


@dataclass(frozen=True)
class Timed:
    """
    One row.

    Attributes
    ----------
    row
        Where it stands.
    day, machine, surface, note
        As written; empty text where nothing is.
    patches, holes
        Names as written.
    seconds
        How long it took. [s]
    people
        How many were at it.
    fuel
        What was burnt [m3]; None where it is not said.
    """

    row: Row
    day: date
    machine: str
    patches: tuple[str, ...]
    holes: tuple[str, ...]
    surface: str
    seconds: float
    people: float
    fuel: float | None
    note: str

    def at(self, column: str) -> str:
        """Where a cell of the row is, for a message."""
        return self.row.at(column)


def read_times(files: Iterable[str | Path]) -> tuple[list[Timed], list[str]]:
    """
    Read records of how long machines took.

    Parameters
    ----------
    files
        CSV files or workbooks; the first row with anything in it holds the headings, among :data:`HEADINGS`.

    Returns
    -------
    records, remarks
        In the order of files and rows; and plain sentences on how files were read.

    Raises
    ------
    LayerError
        Something cannot be used: one line for each cell, and no record at all.
    """
    return read_tables(files, HEADINGS, _NEEDED, _record, "each round or stop-watch reading")


def _record(row: Row, problems: list[str]) -> Timed | None:
    """The record of a row; what is wrong with it goes to the problems."""
    before = len(problems)

    def read(column: str, how, *cells: Any) -> Any:
        try:
            return how(*cells)
        except InputError as error:
            problems.append(f"{row.at(column)}: {error}")
            return None

    cells = row.cells
    day = read("date", cell_day, cells.get("date"))
    machine = cell_text(cells.get("machine"))
    if not machine:
        problems.append(f"{row.at('machine')}: the machine is missing; write it as the settings call it")
    seconds = _seconds(row, read, problems)
    people = read("people", _people, cells.get("people"))
    fuel = read("fuel", _measured, cells.get("fuel"), "volume", "l")
    holes = read("hole", _holes, cells.get("hole"))
    if len(problems) > before or seconds is None:
        return None
    return Timed(
        *(row, day, machine, tuple(_listed(cells.get("patch"))), holes, cell_text(cells.get("surface"))),
        *(seconds, people, fuel, cell_text(cells.get("note"))),
    )


def _seconds(row: Row, read, problems: list[str]) -> float | None:
    given = {name: row.cells.get(name) for name in ("minutes", "start", "end")}
    there = {name for name, value in given.items() if cell_text(value)}
    if "minutes" in there and there - {"minutes"}:
        problems.append(f"{row.at('minutes')}: gives minutes and a reading of the meter; keep one of them")
    elif "minutes" in there:
        return read("minutes", _measured, given["minutes"], "time", "min")
    elif there == {"start", "end"}:
        start, end = (read(name, _measured, given[name], "time", "h", True) for name in ("start", "end"))
        if start is not None and end is not None:
            if end > start:
                return end - start
            problems.append(f"{row.at('end')}: the meter stands at {end / 3600:g} h after {start / 3600:g} h before")
    else:
        missing = {"start": "end", "end": "start"}[there.pop()] if there else "minutes"
        problems.append(f"{row.at(missing)}: the time is missing; write minutes, or start and end of the hour meter")
    return None


def _measured(value: Any, kind: str, unit: str, zero: bool = False) -> float | None:
    """A figure of a kind, in SI; a bare number is in the unit. None where nothing stands."""
    text = cell_text(value)
    if not text:
        return None
    if isinstance(value, bool):
        raise InputError(f"'{text}' is not a number")
    si = to_si(f"{read_number(text)!r} {unit}" if _BARE.fullmatch(text) else text, kind)
    if si < 0 or (si == 0 and not zero):
        raise InputError(f"{text} {'is below zero' if si < 0 else 'must be above zero'}; correct it")
    return si


def _people(value: Any) -> float:
    text = cell_text(value)
    people = read_number(text) if text else 1.0
    if not 0 < people <= 100:
        raise InputError(f"{text} is no number of people; write how many were at it")
    return people


def _listed(value: Any) -> list[str]:
    return [one.strip() for one in re.split(r"[,;\n]", cell_text(value)) if one.strip()]


def _holes(value: Any) -> tuple[str, ...]:
    """Holes, those of a range one by one."""
    holes: list[str] = []
    for one in _listed(value):
        found = _RANGE.fullmatch(one)
        if not found:
            holes.append(one)
            continue
        first, last = map(int, found.groups())
        if not first <= last:
            raise InputError(f"'{one}' runs backwards; write the lower hole first")
        holes += [str(hole) for hole in range(first, last + 1)]
    return tuple(holes)
