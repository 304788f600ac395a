"""
What was really sprayed: rows of a CSV file or a workbook, as the operator filled them in.

A record says what stands in its row; whether the course has such a job or patch is not known here.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, time
from pathlib import Path
from typing import Any

from turfgis.errors import InputError
from turfgis.layers.records import Row, cell_day, cell_text, read_tables
from turfgis.units import read_number, to_si

# Heading -> what stands below it. Capitals do not matter.
HEADINGS = {
    "date": "the day, as 2027-03-14 or 14.03.2027",
    "job": "name of the spray job; may be empty where patch or surface says where",
    "patch": "one patch or several with commas between them; may be empty",
    "hole": "one hole or several with commas between them; may be empty",
    "surface": "one surface or several with commas between them; may be empty",
    "material": "the product, as the settings call it",
    "quantity": "how much of the product was put out, such as 12.4 l",
    "area": "ground that it was put out on, such as 1.1 ha; as planned where it is empty",
    "tank": "which tank of the round; may be empty",
    "start": "when it began",
    "stop": "when it ended",
    "wind": "its speed",
    "direction": "where it came from",
    "temperature": "of the air",
    "leftover": "what was left in the tank, and where it went",
    "batch": "batch of the product",
    "who": "the certified operator",
    "note": "anything",
}
TOLD = ("tank", "start", "stop", "wind", "direction", "temperature", "leftover", "batch", "who", "note")
_NEEDED = ("date", "material", "quantity")
_BARE = re.compile(r"[-+]?[\d.,]+")


@dataclass(frozen=True)
class Sprayed:
    """
    One row.

    Attributes
    ----------
    row
        Where it stands.
    day, job, material
        As written; empty text where nothing is.
    patches, holes, surfaces
        Names as written.
    amount
        How much of the product was put out. [m3]
    area
        Ground that it was put out on [m2]; None where it is not said.
    told
        The rest of the row, as text: start, stop, wind and so on.
    """

    row: Row
    day: date
    job: str
    material: str
    patches: tuple[str, ...]
    holes: tuple[str, ...]
    surfaces: tuple[str, ...]
    amount: float
    area: float | None
    told: dict[str, str]

    def at(self, column: str) -> str:
        """Where a cell of the row is, for a message."""
        return self.row.at(column)


def read_sprayings(files: Iterable[str | Path]) -> tuple[list[Sprayed], list[str]]:
    """
    Read records of what was sprayed.

    Parameters
    ----------
    files
        CSV files or workbooks; the first row with anything in it holds the headings, among :data:`HEADINGS`. A row
        without a quantity is one that was not filled in, and is left out.

    Returns
    -------
    records, remarks
        In the order of files and rows; and plain sentences on how files were read.

    Raises
    ------
    LayerError
        Something cannot be used: one line for each cell, and no record at all.
    """
    return read_tables(files, HEADINGS, _NEEDED, _record, "each product, tank or patch that was sprayed")


def _record(row: Row, problems: list[str]) -> Sprayed | None:
    """The record of a row; what is wrong with it goes to the problems."""
    before, cells = len(problems), row.cells
    if not cell_text(cells.get("quantity")):
        return None

    def read(column: str, how, *given: Any) -> Any:
        try:
            return how(*given)
        except InputError as error:
            problems.append(f"{row.at(column)}: {error}")
            return None

    material, job = cell_text(cells.get("material")), cell_text(cells.get("job"))
    where = {name: _listed(cells.get(name)) for name in ("patch", "hole", "surface")}
    if not material:
        problems.append(f"{row.at('material')}: the material is missing; write it as the settings call it")
    if not job and not any(where.values()):
        problems.append(f"{row.at('job')}: nothing says where; name the job, or patches or surfaces")
    day = read("date", cell_day, cells.get("date"))
    amount = read("quantity", _measured, cells.get("quantity"), "volume", "l")
    area = read("area", _measured, cells.get("area"), "area", "m2")
    if len(problems) > before:
        return None
    told = {name: _said(cells.get(name)) for name in TOLD}
    return Sprayed(
        *(row, day, job, material, where["patch"], where["hole"], where["surface"], amount, area),
        {name: text for name, text in told.items() if text},
    )


def _said(value: Any) -> str:
    """A cell as text; a time of day without its seconds."""
    return f"{value:%H:%M}" if isinstance(value, time) else cell_text(value)


def _listed(value: Any) -> tuple[str, ...]:
    return tuple(one.strip() for one in re.split(r"[,;\n]", cell_text(value)) if one.strip())


def _measured(value: Any, kind: str, unit: str) -> float | None:
    """A figure above zero in SI; a bare number is in the unit. None where nothing stands."""
    text = cell_text(value)
    if not text:
        return None
    if isinstance(value, bool):
        raise InputError(f"'{text}' is not a number")
    si = to_si(f"{read_number(text)!r} {unit}" if _BARE.fullmatch(text) else text, kind)
    if not si > 0:
        raise InputError(f"{text} {'is below zero' if si < 0 else 'must be above zero'}; correct it")
    return si
