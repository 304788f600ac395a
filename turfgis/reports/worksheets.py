"""
Sheets of a workbook: title, note, heads that stay, figures with formats, sums that follow the filter.

No text can become a formula or a link: texts are written as texts, whatever they begin with. The only formulas are
totals, each stored with its value, so that viewers that do not calculate show it too. No clock is read: the same input
gives the same bytes.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import IO, Any

import xlsxwriter
from xlsxwriter.utility import xl_range

from turfgis.reports.columns import Column
from turfgis.reports.facts import Facts
from turfgis.reports.screen import one_line
from turfgis.reports.tables import Row, is_missing

MOST_CHARACTERS = 32_000  # a cell holds 32,767
WIDEST_COLUMN = 48
HEAD_ROW = 3  # title, note, an empty row, then the heads

# Written in place of the time of making.
_MADE = datetime(2000, 1, 1)

_OPTIONS = {
    "in_memory": True,
    "strings_to_formulas": False,
    "strings_to_urls": False,
    "strings_to_numbers": False,
    "nan_inf_to_errors": False,
}


@dataclass(frozen=True)
class Book:
    """The workbook with the formats that its sheets share."""

    made: Any
    facts: Facts
    units: str
    formats: dict[str, Any]

    def number_format(self, col: Column, strong: bool = False) -> Any:
        """Format of a column's figures: thousands parted, the decimals that the screen shows."""
        decimals = col.decimals(self.units)
        code = "0.0%" if col.kind == "share" else "#,##0" + ("." + "0" * decimals if decimals else "")
        key = f"{code}{strong}"
        if key not in self.formats:
            look = {"num_format": code, "align": "right", "valign": "top"}
            self.formats[key] = self.made.add_format({**look, "bold": True, "top": 1} if strong else look)
        return self.formats[key]


def begin_book(target: IO[bytes], facts: Facts, units: str, about: str) -> Book:
    """A new workbook; ``about`` is what its properties say."""
    made = xlsxwriter.Workbook(target, _OPTIONS)
    made.set_properties({"title": one_line(facts.name), "created": _MADE, "comments": about})
    return Book(made, facts, units, _shared_formats(made))


def _shared_formats(made: Any) -> dict[str, Any]:
    looks = {
        "title": {"num_format": "@", "bold": True, "font_size": 16},
        "note": {"italic": True, "text_wrap": True, "valign": "top"},
        "head": {"num_format": "@", "bold": True, "text_wrap": True, "valign": "bottom", "bottom": 2},
        "head right": {
            "num_format": "@",
            "bold": True,
            "text_wrap": True,
            "valign": "bottom",
            "bottom": 2,
            "align": "right",
        },
        "text": {"num_format": "@", "valign": "top"},
        "wrapped": {"num_format": "@", "text_wrap": True, "valign": "top"},
        "label": {"num_format": "@", "bold": True, "valign": "top"},
        "total": {"num_format": "@", "bold": True, "top": 1},
    }
    return {name: made.add_format(look) for name, look in looks.items()}


def write_text(sheet: Any, row: int, at: int, words: object, look: Any) -> None:
    """One text, and never anything but a text."""
    sheet.write_string(row, at, one_line(words)[:MOST_CHARACTERS], look)


def _page_setup(book: Book, sheet: Any, head_row: int | None) -> None:
    """Landscape, one page wide, heads on every page, course and page number below."""
    sheet.set_landscape()
    sheet.set_paper(9 if book.units == "metric" else 1)
    sheet.fit_to_pages(1, 0)
    sheet.set_margins(left=0.5, right=0.5, top=0.6, bottom=0.7)
    name = one_line(book.facts.name).replace("&", "&&")[:80]
    surveyed = one_line(book.facts.surveyed).replace("&", "&&")[:80]
    sheet.set_footer(f"&L{name}, surveyed: {surveyed}&C&A&Rpage &P of &N")
    if head_row is not None:
        sheet.repeat_rows(head_row)


def begin_sheet(book: Book, name: str, note: str, columns: Sequence[Column]) -> Any:
    """A new sheet with its title, its note across the table, and its heads."""
    sheet = book.made.add_worksheet(name)
    write_text(sheet, 0, 0, f"{name}: {one_line(book.facts.name)}", book.formats["title"])
    sheet.merge_range(1, 0, 1, len(columns) - 1, note, book.formats["note"])
    sheet.set_row(1, _height(note, 10 * len(columns)))
    _page_setup(book, sheet, HEAD_ROW)
    for at, col in enumerate(columns):
        unit = "" if col.kind == "share" else col.unit(book.units)
        words = f"{col.head}\n{unit}" if unit else col.head
        sheet.write_string(HEAD_ROW, at, words, book.formats["head right" if col.kind else "head"])
    sheet.set_row(HEAD_ROW, 32)
    return sheet


def write_cell(book: Book, sheet: Any, row: int, at: int, value: Any, col: Column, *, strong: bool = False) -> None:
    """One figure or text, as its column says; ``strong`` in a row of sums."""
    if is_missing(value):
        if strong:
            sheet.write_blank(row, at, None, book.formats["total"])
    elif col.kind == "":
        if col.key == "hole" and str(value).isdecimal():
            sheet.write_number(row, at, int(value), book.formats["text"])  # so that hole 10 sorts after hole 9
        else:
            look = "total" if strong else "wrapped" if col.key in {"text", "jobs"} else "text"
            write_text(sheet, row, at, value, book.formats[look])
    else:
        figure = value if col.kind == "share" else col.value(value, book.units)
        sheet.write_number(row, at, figure, book.number_format(col, strong))


def write_table(
    book: Book,
    name: str,
    note: str,
    columns: Sequence[Column],
    rows: list[Row],
    *,
    sums: Sequence[str] = (),
    given: Row | None = None,
) -> None:
    """
    One table with heads that stay, a filter, and, for the columns in ``sums``, a last row that follows the filter.

    What does not add up, such as a plus-minus, is ``given`` by its key.
    """
    sheet = begin_sheet(book, name, note, columns)
    first, last = HEAD_ROW + 1, HEAD_ROW + len(rows)
    for at, row in enumerate(rows, start=first):
        for place, col in enumerate(columns):
            write_cell(book, sheet, at, place, row.get(col.key), col)
    sheet.freeze_panes(first, 1)
    sheet.autofilter(HEAD_ROW, 0, last, len(columns) - 1)
    if sums:
        write_text(sheet, last + 1, 0, "total", book.formats["total"])
        for place, col in enumerate(columns[1:], start=1):
            if col.key not in sums:
                value = given.get(col.key) if given else None
                write_cell(book, sheet, last + 1, place, value, col, strong=True)
                continue
            whole = sum(col.value(row[col.key], book.units) for row in rows if not is_missing(row.get(col.key)))
            formula = f"=SUBTOTAL(109,{xl_range(first, place, last, place)})"
            sheet.write_formula(last + 1, place, formula, book.number_format(col, True), whole)
    for place, col in enumerate(columns):
        sheet.set_column(place, place, _width(book, col, rows))


def _width(book: Book, col: Column, rows: list[Row]) -> float:
    """Room for the longest text, or for the largest figure with its commas."""
    if col.kind:
        figures = [abs(row[col.key]) for row in rows if not is_missing(row.get(col.key))]
        largest = f"{col.value(sum(figures), book.units):,.{col.decimals(book.units)}f}" if figures else ""
        return max(10, len(largest) + 2)
    texts = [len(one_line(row[col.key])) for row in rows if not is_missing(row.get(col.key))]
    return min(WIDEST_COLUMN, max([len(col.head) + 4, *(length + 2 for length in texts)]))


def write_about(book: Book, rows: Iterable[tuple[str, str]]) -> None:
    """First sheet: whose figures these are, how far to trust them, what is on which sheet."""
    sheet = book.made.add_worksheet("About")
    sheet.set_column(0, 0, 22)
    sheet.set_column(1, 1, 100)
    _page_setup(book, sheet, None)
    write_text(sheet, 0, 0, book.facts.name, book.formats["title"])
    for at, (label, words) in enumerate(rows, start=2):
        write_text(sheet, at, 0, label, book.formats["label"])
        write_text(sheet, at, 1, words, book.formats["wrapped"])
        sheet.set_row(at, _height(words, 95))


def _height(words: str, places: int) -> int:
    """Height of a row that wraps its words. [points]"""
    return 15 * max(1, -(-len(words) // places))
