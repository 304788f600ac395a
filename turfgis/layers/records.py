"""
What was really delivered, spread and run: rows of a CSV file or a workbook, each with the cell it came from.

A record says what stands in its row and nothing else; whether the course has such a job or patch is not known here.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time
from difflib import get_close_matches
from pathlib import Path
from typing import Any, TypeVar

from turfgis.errors import InputError, LayerError
from turfgis.layers.sheets import Sheet, read_sheets
from turfgis.layers.words import written
from turfgis.units import read_number

Made = TypeVar("Made")

# Heading -> what stands below it. Capitals do not matter.
HEADINGS = {
    "date": "the day, as 2027-03-14 or 14.03.2027",
    "kind": "delivery, hopper or hours",
    "job": "name of the job; may be empty",
    "patch": "the patch, such as green-07; may be empty",
    "hole": "the hole; may be empty",
    "surface": "the surface; may be empty",
    "material": "the material, as the settings call it",
    "machine": "the machine, as the settings call it; empty for hours of people",
    "quantity": "a number, or a number and its unit",
    "unit": "the unit, where quantity is a bare number",
    "hopper": "what one hopper holds, such as 800 kg",
    "note": "anything",
}
KINDS = ("delivery", "hopper", "hours")
_NEEDED = ("date", "kind", "quantity")
_AMOUNT = re.compile(r"\s*([-+]?[\d.,'/\s]*\d[.,]?)\s*([^\d\s.,'/].*)?", re.DOTALL)
_DOTTED = re.compile(r"(\d{1,2})\.(\d{1,2})\.(\d{4})")
# How a table of ours marks text that a spreadsheet would run: an apostrophe in front.
_MARKED = re.compile(r"'\s*[=+\-@\t\r\n＝＋－＠]")


@dataclass(frozen=True)
class Record:
    """
    One row.

    Attributes
    ----------
    place
        File, and sheet of a workbook.
    row
        Number of the row, the heading included.
    letters
        Column -> its letter.
    day, kind, job, patch, hole, surface, material, machine, note
        As written; empty text where nothing is.
    amount, unit
        The number, and the unit as written.
    hopper
        What one hopper holds, as written.
    """

    place: str
    row: int
    letters: dict[str, str]
    day: date
    kind: str
    amount: float
    unit: str = ""
    job: str = ""
    patch: str = ""
    hole: str = ""
    surface: str = ""
    material: str = ""
    machine: str = ""
    hopper: str = ""
    note: str = ""

    def at(self, column: str) -> str:
        """Where a cell of the row is, for a message; the row where the file has no such column."""
        letter = self.letters.get(column)
        return f"{self.place}, {f'cell {letter}{self.row}' if letter else f'row {self.row}'}"


def read_records(files: Iterable[str | Path]) -> tuple[list[Record], list[str]]:
    """
    Read records of deliveries, hopper counts and hours.

    Parameters
    ----------
    files
        CSV files (``,``, ``;`` or tab between cells) or workbooks ``.xlsx``. The first row with anything in it holds
        the headings, among :data:`HEADINGS`; sheets of a workbook that know none of them are left out.

    Returns
    -------
    records, remarks
        In the order of files and rows; and plain sentences on how files were read.

    Raises
    ------
    LayerError
        Something cannot be used: one line for each cell, and no record at all.
    """
    return read_tables(files, HEADINGS, _NEEDED, _record, "each delivery, hopper or hours")


def read_tables(
    files: Iterable[str | Path],
    headings: Mapping[str, str],
    needed: Sequence[str],
    make: Callable[[Row, list[str]], Made | None],
    each: str,
) -> tuple[list[Made], list[str]]:
    """
    Read rows of files below headings into records.

    Parameters
    ----------
    files
        CSV files or workbooks.
    headings, needed
        As for :func:`read_rows`.
    make
        Makes the record of a row; what is wrong with it goes to the list of problems.
    each
        What a row is written for, in words.

    Returns
    -------
    records, remarks
        In the order of files and rows; and plain sentences on how files were read.

    Raises
    ------
    LayerError
        Something cannot be used: one line for each cell, and no record at all.
    """
    records: list[Made] = []
    remarks: list[str] = []
    problems: list[str] = []
    for file in files:
        sheets, said = read_sheets(Path(file), headings)
        remarks += said
        for sheet in sheets:
            rows, wrong = read_rows(sheet, headings, needed)
            problems += wrong
            made = [make(row, problems) for row in rows]
            records += [record for record in made if record is not None]
    if problems:
        raise LayerError("\n".join(dict.fromkeys(map(one_message, problems))))
    if not records:
        raise LayerError(f"the files hold headings but no record; write one row for {each}")
    return records, remarks


@dataclass(frozen=True)
class Row:
    """One row of a table: where it stands, and its cells by the name of their column."""

    place: str
    number: int
    letters: dict[str, str]
    cells: dict[str, Any]

    def at(self, column: str) -> str:
        """Where a cell of the row is, for a message; the row where the file has no such column."""
        letter = self.letters.get(column)
        return f"{self.place}, {f'cell {letter}{self.number}' if letter else f'row {self.number}'}"


def read_rows(sheet: Sheet, headings: Mapping[str, str], needed: Sequence[str]) -> tuple[list[Row], list[str]]:
    """
    Rows of a table below headings.

    Parameters
    ----------
    sheet
        The table.
    headings
        Heading -> what stands below it.
    needed
        Headings without which nothing can be read.

    Returns
    -------
    rows, problems
        Rows with anything in them; and what is wrong with headings or cells, each with its place.
    """
    columns, problems = _columns(sheet, headings, needed)
    problems += sheet.problems
    if problems:
        return [], problems
    letters = {name: sheet.letter(at) for at, name in columns.items()}
    rows = []
    for number, cells in sheet.rows[1:]:
        spilled = next((at for at in range(len(sheet.head), len(cells)) if written(cells[at]) is not None), None)
        if spilled is not None:
            problems.append(
                f"{sheet.cell(spilled, number)}: stands beyond the last heading; if it is the rest of a number with a "
                "decimal comma, put that number in quotes or write a point"
            )
            continue
        row = {name: cells[at] if at < len(cells) else None for at, name in columns.items()}
        if any(written(value) is not None for value in row.values()):
            rows.append(Row(sheet.place, number, letters, row))
    return rows, problems


def _columns(sheet: Sheet, headings: Mapping[str, str], needed: Sequence[str]) -> tuple[dict[int, str], list[str]]:
    """Place of each column -> its name; and what is wrong with the headings."""
    columns: dict[int, str] = {}
    listed = ", ".join(headings)
    problems: list[str] = []
    for at, value in enumerate(sheet.head):
        text = written(value)
        if text is None:
            if any(at < len(cells) and written(cells[at]) is not None for _, cells in sheet.rows[1:]):
                problems.append(f"{sheet.cell(at, sheet.rows[0][0])}: the column has no heading; accepted: {listed}")
            continue
        name = text.casefold()
        if name not in headings:
            problems.append(
                f"{sheet.cell(at, sheet.rows[0][0])}: unknown column '{text}'{near(name, headings)} "
                f"(accepted: {listed})"
            )
        elif name in columns.values():
            problems.append(f"{sheet.cell(at, sheet.rows[0][0])}: a second column '{name}'; keep one of them")
        else:
            columns[at] = name
    if not problems:
        missing = [name for name in needed if name not in columns.values()]
        problems += [f"{sheet.place}: no column '{name}': {headings[name]}" for name in missing]
    return columns, problems


def _record(row: Row, problems: list[str]) -> Record | None:
    """The record of a row; what is wrong with it goes to the problems."""
    before = len(problems)

    def wrong(column: str, said: str) -> None:
        problems.append(f"{row.at(column)}: {said}")

    texts = {name: cell_text(value) for name, value in row.cells.items() if name not in ("date", "quantity")}
    kind = texts.pop("kind", "").casefold()
    if kind not in KINDS:
        said = f"'{kind}' is no kind of record{near(kind, KINDS)}" if kind else "the kind is missing"
        wrong("kind", f"{said} (accepted: {', '.join(KINDS)})")
    day, amount, unit = None, 0.0, texts.pop("unit", "")
    try:
        day = cell_day(row.cells["date"])
    except InputError as error:
        wrong("date", str(error))
    try:
        amount, inside = _amount(row.cells["quantity"])
        if inside and unit and inside != unit:
            wrong("unit", f"is '{unit}', but the quantity says '{inside}'; keep one of them")
        unit = inside or unit
    except InputError as error:
        wrong("quantity", str(error))
    if len(problems) > before or day is None:
        return None
    return Record(row.place, row.number, row.letters, day, kind, amount, unit, **texts)


def cell_text(value: Any) -> str:
    """A cell as text. What begins like a formula stays text, and the apostrophe of a guarded table is taken off."""
    text = written(value) or ""
    return text[1:].strip() if _MARKED.match(text) else text


def cell_day(value: Any) -> date:
    """A cell as a day, or an error that says how to write one."""
    if isinstance(value, datetime):
        return value.date()
    if isinstance(value, date):
        return value
    text = written(value)
    if text is None:
        raise InputError("the date is missing; write it like 2027-03-14")
    dotted = _DOTTED.fullmatch(text)
    try:
        if isinstance(value, int | float):
            raise ValueError
        return date(*map(int, dotted.groups()[::-1])) if dotted else datetime.fromisoformat(text).date()
    except ValueError:
        exists = " that exists" if dotted or re.fullmatch(r"\d{4}-\d\d-\d\d", text) else ""
        raise InputError(f"'{text}' is not a day{exists}; write it like 2027-03-14 or 14.03.2027") from None


def _amount(value: Any) -> tuple[float, str]:
    """Number and unit."""
    if isinstance(value, int | float) and not isinstance(value, bool):
        number, unit = float(value), ""
    else:
        text = "" if isinstance(value, bool | date | time) else cell_text(value)
        if value is None or (isinstance(value, str) and not text):
            raise InputError("the quantity is missing; write a number, or a number and its unit, such as 20.4 t")
        found = _AMOUNT.fullmatch(text)
        if not found:
            raise InputError(f"'{text or value}' is not a number; write one, or one with its unit, such as 20.4 t")
        number, unit = read_number(found.group(1)), (found.group(2) or "").strip()
    if not 0 <= number < 1e12:
        raise InputError(f"{number:g} is {'below zero' if number < 0 else 'too large a figure'}; correct it")
    return number, unit


def one_message(said: str) -> str:
    r"""
    A message on one line, whatever stands in the cell that it names.

    Examples
    --------
    >>> one_message("no job 'a\nb'")
    "no job 'a b'"
    """
    return " ".join("".join(sign if sign.isprintable() else " " for sign in said).split())


def near(given: str, accepted: Iterable[str]) -> str:
    """
    The nearest of some names, as a question.

    Examples
    --------
    >>> near("materiel", ["machine", "material"])
    "; did you mean 'material'?"
    """
    found: Sequence[str] = get_close_matches(given, list(accepted), n=1, cutoff=0.6)
    return f"; did you mean '{found[0]}'?" if found else ""
