"""Cells of CSV files and workbooks as they stand there: row by row, each with the name a spreadsheet gives it."""

from __future__ import annotations

import codecs
import csv
import io
from collections.abc import Collection
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from turfgis.errors import LayerError
from turfgis.layers.findings import listed
from turfgis.layers.words import written

_MARKS = (",", ";", "\t")
_WIDE = (codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)


@dataclass
class Sheet:
    """
    A table.

    Attributes
    ----------
    place
        File, and sheet of a workbook.
    rows
        Number of each row that holds anything, and its cells. The first is the heading.
    problems
        What is wrong with the cells themselves, each with its place.
    """

    place: str
    rows: list[tuple[int, list[Any]]]
    problems: list[str] = field(default_factory=list)

    @property
    def head(self) -> list[Any]:
        """Cells of the heading."""
        return self.rows[0][1]

    @staticmethod
    def letter(at: int) -> str:
        """
        Letter of a column, counted from 0.

        Examples
        --------
        >>> Sheet.letter(1), Sheet.letter(27)
        ('B', 'AB')
        """
        text, at = "", at + 1
        while at:
            at, rest = divmod(at - 1, 26)
            text = chr(ord("A") + rest) + text
        return text

    def cell(self, at: int, row: int) -> str:
        """Where a cell is, for a message."""
        return f"{self.place}, cell {self.letter(at)}{row}"


def read_sheets(path: Path, headings: Collection[str]) -> tuple[list[Sheet], list[str]]:
    """
    The tables of a file.

    Parameters
    ----------
    path
        A CSV file, or a workbook ``.xlsx``.
    headings
        Headings to tell a table of records by, in small letters.

    Returns
    -------
    sheets, remarks

    Raises
    ------
    LayerError
        The file is not there, is of another kind, or cannot be read.
    """
    if not path.is_file():
        raise LayerError(f"{path}: no such file")
    ending = path.suffix.lower()
    if ending in (".csv", ".txt", ".tsv"):
        return _read_csv(path, headings)
    if ending in (".xlsx", ".xlsm"):
        return _read_workbook(path, headings)
    raise LayerError(f"{path.name}: records are read from .csv or .xlsx; save the table as one of them")


def _read_csv(path: Path, headings: Collection[str]) -> tuple[list[Sheet], list[str]]:
    content, remarks = path.read_bytes(), []
    if content.startswith(_WIDE):
        raise LayerError(f"{path.name}: is written in UTF-16; save it as CSV in UTF-8")
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError:
        try:
            text = content.decode("cp1252")
        except UnicodeDecodeError:
            raise LayerError(f"{path.name}: its letters are in no known encoding; save it as CSV in UTF-8") from None
        remarks.append(f"{path.name}: not UTF-8; read as Windows-1252, so look at letters such as ä, é and ß.")
    if "\0" in text:
        raise LayerError(f"{path.name}: is not a text file; save the table as CSV in UTF-8, or as .xlsx")
    made = [_parted(text, mark, path.name) for mark in _MARKS]
    rows = max(made, key=lambda one: _known(one, headings))
    if not rows:
        raise LayerError(f"{path.name}: is empty; its first row holds the headings: {listed(list(headings), 20)}")
    return [Sheet(path.name, rows)], remarks


def _parted(text: str, mark: str, name: str) -> list[tuple[int, list[Any]]]:
    try:
        rows = list(csv.reader(io.StringIO(text, newline=""), delimiter=mark))
    except csv.Error as error:
        raise LayerError(f"{name}: cannot be read as CSV ({error})") from None
    return [(number, row) for number, row in enumerate(rows, 1) if any(cell.strip() for cell in row)]


def _known(rows: list[tuple[int, list[Any]]], headings: Collection[str]) -> int:
    """How many cells of the heading are known."""
    return sum((written(cell) or "").casefold() in headings for cell in rows[0][1]) if rows else 0


def _read_workbook(path: Path, headings: Collection[str]) -> tuple[list[Sheet], list[str]]:
    import openpyxl

    try:  # a broken workbook fails in a dozen ways, from its archive to a date
        shown = openpyxl.load_workbook(path, data_only=True)
        typed = openpyxl.load_workbook(path)
    except Exception:
        raise LayerError(f"{path.name}: cannot be read as a workbook; open it in a spreadsheet, save it anew") from None
    sheets, left = [], []
    for page in shown.worksheets:
        rows = [
            (number, list(cells))
            for number, cells in enumerate(page.iter_rows(values_only=True), 1)
            if any(written(cell) is not None for cell in cells)
        ]
        if not rows:
            continue
        if not _known(rows, headings):
            left.append(page.title)
            continue
        sheet = Sheet(f"{path.name}, sheet '{page.title}'", rows)
        sheet.problems += _wrong_cells(sheet.place, page, typed[page.title])
        sheets.append(sheet)
    if not sheets:
        raise LayerError(
            f"{path.name}: no sheet begins with headings of records; the first row holds some of: "
            f"{listed(list(headings), 20)}"
        )
    said = [f"{path.name}: sheet '{title}' has no heading of records and was left out." for title in left]
    return sheets, said


def _wrong_cells(place: str, shown: Any, typed: Any) -> list[str]:
    """Merged cells, errors of formulas, and formulas whose result was never saved."""
    merged = sorted(shown.merged_cells.ranges, key=lambda one: (one.min_row, one.min_col))
    said = [
        f"{place}, cell {str(one).split(':')[0]}: cells {one} are merged, so rows lack what is theirs; "
        "part them and fill in every cell"
        for one in merged
    ]
    for row in typed.iter_rows():
        for cell in row:
            result = shown[cell.coordinate]
            if cell.data_type == "f" and result.value is None:
                said.append(
                    f"{place}, cell {cell.coordinate}: a formula without a saved result; save the file in a "
                    "spreadsheet, or type the figure"
                )
            elif result.data_type == "e":
                said.append(f"{place}, cell {cell.coordinate}: {result.value} is an error; correct the formula")
    return said
