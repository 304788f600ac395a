"""
Everything as one workbook: a sheet for each table, in the units of the course, ready to sort, filter and print.

No text can become a formula or a link: texts are written as texts, whatever they begin with. The only formulas are
totals, each stored with its value, so that viewers that do not calculate show it too. No clock is read: the same input
gives the same bytes.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from io import BytesIO
from pathlib import Path
from typing import IO, TYPE_CHECKING, Any

import xlsxwriter
from xlsxwriter.utility import xl_range

from turfgis.estimates.order import Order
from turfgis.reports.columns import Column, column
from turfgis.reports.facts import Facts
from turfgis.reports.schedule import Line, Schedule, area_schedule
from turfgis.reports.screen import one_line
from turfgis.reports.tables import Row, areas_rows, areas_totals, is_missing, plain_rows
from turfgis.reports.workbook_rows import (
    NOTES,
    about_rows,
    finding_rows,
    order_line_rows,
    order_sum_rows,
    takeoff_rows,
)

if TYPE_CHECKING:
    import pandas as pd

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

AREA_COLUMNS = ("patches", "drawn_m2", "net_m2", "plus_minus_m2", "perimeter_m", "cut_mm", "surveyed")
PATCH_COLUMNS = (
    *("patch", "surface", "hole", "name", "drawn_m2", "net_m2", "plus_minus_m2", "perimeter_m", "cut_mm"),
    *("surveyed", "source"),
)
MOWING_COLUMNS = (
    *("surface", "machine", "width_m", "patches", "net_m2", "perimeter_m"),
    *("cutting_minutes", "clean_up_minutes", "minutes", "method"),
)
AREA_SUMS = ("patches", "drawn_m2", "net_m2", "perimeter_m")
LINE_SUMS = ("net_m2", "treated_m2", "volume_m3", "dry_t", "delivered_t", "need_kg")


@dataclass(frozen=True)
class _Book:
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


def write_workbook(
    target: str | Path | IO[bytes],
    *,
    facts: Facts,
    patches: "pd.DataFrame",
    units: str = "metric",
    order: Sequence[str] | None = None,
    orders: Sequence[Order] = (),
    mowing: Sequence[Mapping[str, Any]] = (),
    takeoff: "pd.DataFrame | None" = None,
    findings: Iterable[Any] = (),
) -> None:
    """
    Write the workbook.

    Parameters
    ----------
    target
        A path, or an open binary file.
    facts
        The course.
    patches
        The table of patches, as for :func:`turfgis.reports.tables.areas_rows`.
    units
        ``metric`` or ``us``.
    order
        Surfaces from the top of the pile down.
    orders
        Orders to be listed, each with its lines.
    mowing
        Rows by surface and machine.
    takeoff
        The take-off; quantities in kg or s.
    findings
        What was found in the layers.
    """
    buffer = BytesIO()
    made = xlsxwriter.Workbook(buffer, _OPTIONS)
    made.set_properties({"title": one_line(facts.name), "created": _MADE, "comments": "Areas and amounts of a course"})
    book = _Book(made, facts, units, _shared_formats(made))
    by_surface = areas_rows(patches, "surface", order)
    total = areas_totals(patches)[-1]
    listed = list(orders)
    areas = {"sums": AREA_SUMS, "given": total}
    of_lines = {"sums": LINE_SUMS if len(listed) == 1 else ()}  # sand and seed do not add up
    sheets: list[tuple[str, Sequence[str | Column], list[Row], dict[str, Any]]] = [
        ("By surface", ("surface", *AREA_COLUMNS), by_surface, areas),
        ("By part", ("part", "surface", *AREA_COLUMNS), areas_rows(patches, "part", order), areas),
        ("Patches", PATCH_COLUMNS, areas_rows(patches, "patch", order), areas),
        ("Orders", *order_sum_rows(listed), {}),
        ("Order lines", *order_line_rows(listed), of_lines),
        # No totals: a surface that two machines can cut is listed twice.
        ("Mowing", MOWING_COLUMNS, [dict(row) for row in mowing], {}),
        ("Take-off", *takeoff_rows(plain_rows(takeoff) if takeoff is not None else [], units), {}),
        ("Findings", *finding_rows(findings), {}),
    ]
    filled = [sheet for sheet in sheets if sheet[2]]
    names = [filled[0][0], "By hole", *(sheet[0] for sheet in filled[1:])] if filled else []
    _about(book, names)
    for at, (name, columns, rows, how) in enumerate(filled):
        _table(book, name, [column(one) if isinstance(one, str) else one for one in columns], rows, **how)
        if at == 0:
            _schedule(book, area_schedule(patches, order))
    made.close()
    if isinstance(target, str | Path):
        Path(target).write_bytes(buffer.getvalue())
    else:
        target.write(buffer.getvalue())


def _shared_formats(made: Any) -> dict[str, Any]:
    looks = {
        "title": {"bold": True, "font_size": 16},
        "note": {"italic": True, "text_wrap": True, "valign": "top"},
        "head": {"bold": True, "text_wrap": True, "valign": "bottom", "bottom": 2},
        "head right": {"bold": True, "text_wrap": True, "valign": "bottom", "bottom": 2, "align": "right"},
        "text": {"num_format": "@", "valign": "top"},
        "wrapped": {"num_format": "@", "text_wrap": True, "valign": "top"},
        "label": {"bold": True, "valign": "top"},
        "total": {"bold": True, "top": 1},
    }
    return {name: made.add_format(look) for name, look in looks.items()}


def _text(sheet: Any, row: int, at: int, words: object, look: Any) -> None:
    """One text, and never anything but a text."""
    sheet.write_string(row, at, one_line(words)[:MOST_CHARACTERS], look)


def _page_setup(book: _Book, sheet: Any, head_row: int | None) -> None:
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


def _begin(book: _Book, name: str, columns: Sequence[Column]) -> Any:
    """A new sheet with its title, its note across the table, and its heads."""
    sheet = book.made.add_worksheet(name)
    _text(sheet, 0, 0, f"{name}: {one_line(book.facts.name)}", book.formats["title"])
    sheet.merge_range(1, 0, 1, len(columns) - 1, NOTES[name], book.formats["note"])
    sheet.set_row(1, _height(NOTES[name], 10 * len(columns)))
    _page_setup(book, sheet, HEAD_ROW)
    for at, col in enumerate(columns):
        unit = "" if col.kind == "share" else col.unit(book.units)
        words = f"{col.head}\n{unit}" if unit else col.head
        sheet.write_string(HEAD_ROW, at, words, book.formats["head right" if col.kind else "head"])
    sheet.set_row(HEAD_ROW, 32)
    return sheet


def _cell(book: _Book, sheet: Any, row: int, at: int, value: Any, col: Column, *, strong: bool = False) -> None:
    if is_missing(value):
        if strong:
            sheet.write_blank(row, at, None, book.formats["total"])
    elif col.kind == "":
        if col.key == "hole" and str(value).isdecimal():
            sheet.write_number(row, at, int(value), book.formats["text"])  # so that hole 10 sorts after hole 9
        else:
            look = "total" if strong else "wrapped" if col.key in {"text", "jobs"} else "text"
            _text(sheet, row, at, value, book.formats[look])
    else:
        figure = value if col.kind == "share" else col.value(value, book.units)
        sheet.write_number(row, at, figure, book.number_format(col, strong))


def _table(
    book: _Book,
    name: str,
    columns: Sequence[Column],
    rows: list[Row],
    *,
    sums: Sequence[str] = (),
    given: Row | None = None,
) -> None:
    """
    One table with heads that stay, a filter, and, for the columns in ``sums``, a last row that follows the filter.

    A plus-minus does not add up: that of the whole is ``given``.
    """
    sheet = _begin(book, name, columns)
    first, last = HEAD_ROW + 1, HEAD_ROW + len(rows)
    for at, row in enumerate(rows, start=first):
        for place, col in enumerate(columns):
            _cell(book, sheet, at, place, row.get(col.key), col)
    sheet.freeze_panes(first, 1)
    sheet.autofilter(HEAD_ROW, 0, last, len(columns) - 1)
    if sums:
        _text(sheet, last + 1, 0, "total", book.formats["total"])
        for place, col in enumerate(columns[1:], start=1):
            if col.key not in sums:
                value = given["plus_minus_m2"] if given and col.key == "plus_minus_m2" else None
                _cell(book, sheet, last + 1, place, value, col, strong=True)
                continue
            whole = sum(col.value(row[col.key], book.units) for row in rows if not is_missing(row.get(col.key)))
            formula = f"=SUBTOTAL(109,{xl_range(first, place, last, place)})"
            sheet.write_formula(last + 1, place, formula, book.number_format(col, True), whole)
    for place, col in enumerate(columns):
        sheet.set_column(place, place, _width(book, col, rows))


def _width(book: _Book, col: Column, rows: list[Row]) -> float:
    """Room for the longest text, or for the largest figure with its commas."""
    if col.kind:
        figures = [abs(row[col.key]) for row in rows if not is_missing(row.get(col.key))]
        largest = f"{col.value(sum(figures), book.units):,.{col.decimals(book.units)}f}" if figures else ""
        return max(10, len(largest) + 2)
    texts = [len(one_line(row[col.key])) for row in rows if not is_missing(row.get(col.key))]
    return min(WIDEST_COLUMN, max([len(col.head) + 4, *(length + 2 for length in texts)]))


def _schedule(book: _Book, schedule: Schedule) -> None:
    """Holes down, surfaces across; each part of the course ends with its sub-total."""
    names = [row["surface"] for row in schedule.surfaces]
    kind = column("net_m2").kind
    columns = [Column("hole", "hole"), *(Column(name, one_line(name), kind) for name in [*names, "all", "±"])]
    sheet = _begin(book, "By hole", columns)
    at, ranges = HEAD_ROW + 1, []
    for part in schedule.parts:
        ranges.append((at, at + len(part.holes) - 1))
        for line in part.holes:
            figures = [*(line.nets_m2.get(name) for name in names), line.net_m2, line.plus_minus_m2]
            for place, value in enumerate([line.label, *figures]):
                _cell(book, sheet, at, place, value, columns[place])
            at += 1
        if len(part.holes) > 1:
            _sum_row(book, sheet, at, part.total, names, ranges[-1:])
            at += 1
    _sum_row(book, sheet, at, schedule.total, names, ranges)
    sheet.freeze_panes(HEAD_ROW + 1, 1)
    sheet.set_column(0, len(columns) - 1, 12)


def _sum_row(book: _Book, sheet: Any, at: int, line: Line, names: list[str], ranges: list[tuple[int, int]]) -> None:
    """Sums of the rows above, sub-totals not among them, and the plus-minus of the sum, which does not add up."""
    area = column("net_m2")
    look = book.number_format(area, True)
    _text(sheet, at, 0, line.label, book.formats["total"])
    for place, value in enumerate([*(line.nets_m2.get(name, 0.0) for name in names), line.net_m2], start=1):
        cells = ",".join(xl_range(first, place, last, place) for first, last in ranges)
        sheet.write_formula(at, place, f"=SUM({cells})", look, area.value(value, book.units))
    sheet.write_number(at, len(names) + 2, area.value(line.plus_minus_m2, book.units), look)


def _about(book: _Book, names: Sequence[str]) -> None:
    """First sheet: whose figures these are, how far to trust them, what is on which sheet."""
    sheet = book.made.add_worksheet("About")
    sheet.set_column(0, 0, 22)
    sheet.set_column(1, 1, 100)
    _page_setup(book, sheet, None)
    _text(sheet, 0, 0, book.facts.name, book.formats["title"])
    for at, (label, words) in enumerate(about_rows(book.facts, book.units, names), start=2):
        _text(sheet, at, 0, label, book.formats["label"])
        _text(sheet, at, 1, words, book.formats["wrapped"])
        sheet.set_row(at, _height(words, 95))


def _height(words: str, places: int) -> int:
    """Height of a row that wraps its words. [points]"""
    return 15 * max(1, -(-len(words) // places))
