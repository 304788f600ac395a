"""Everything as one workbook: a sheet for each table, in the units of the course, ready to sort, filter and print."""

from collections.abc import Iterable, Mapping, Sequence
from io import BytesIO
from pathlib import Path
from typing import IO, TYPE_CHECKING, Any

from xlsxwriter.utility import xl_range

from turfgis.estimates.order import Order
from turfgis.reports.columns import Column, column
from turfgis.reports.facts import Facts
from turfgis.reports.heads import COLUMNS, heads_rows
from turfgis.reports.schedule import Line, Schedule, area_schedule
from turfgis.reports.screen import one_line
from turfgis.reports.tables import Row, areas_rows, areas_totals, plain_rows
from turfgis.reports.workbook_rows import (
    NOTES,
    about_rows,
    finding_rows,
    order_line_rows,
    order_sum_rows,
    takeoff_rows,
)
from turfgis.reports.worksheets import (
    HEAD_ROW,
    Book,
    begin_book,
    begin_sheet,
    write_about,
    write_cell,
    write_table,
    write_text,
)

if TYPE_CHECKING:
    import pandas as pd

    from turfgis.estimates.heads import Cover

AREA_COLUMNS = (
    *("patches", "drawn_m2", "net_m2", "plus_minus_m2", "true_m2", "perimeter_m", "cut_mm"),
    *("mean_slope_pct", "steepest_slope_pct", "surveyed"),
)
PATCH_COLUMNS = (
    *("patch", "surface", "hole", "name", "drawn_m2", "net_m2", "plus_minus_m2", "true_m2", "perimeter_m", "cut_mm"),
    *("mean_slope_pct", "p95_slope_pct", "steepest_slope_pct", "surveyed", "source"),
)
MOWING_COLUMNS = (
    *("surface", "machine", "width_m", "patches", "net_m2", "perimeter_m", "passes", "length_m"),
    *("cutting_minutes", "clean_up_minutes", "emptying_minutes", "waiting_minutes", "driving_minutes"),
    *("set_up_minutes", "refuelling_minutes", "minutes", "method"),
)
COVER_COLUMNS = ("patch", "surface", "hole", "net_m2", Column("covered_m2", "covered", "area"), *COLUMNS[2:])
RELIEF = ("true_m2", "mean_slope_pct", "p95_slope_pct", "steepest_slope_pct")
AREA_SUMS = ("patches", "drawn_m2", "net_m2", "perimeter_m")
LINE_SUMS = ("net_m2", "treated_m2", "volume_m3", "dry_t", "delivered_t", "need_kg")


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
    heads: "Cover | None" = None,
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
    heads
        How heads cover the patches.
    """
    buffer = BytesIO()
    book = begin_book(buffer, facts, units, "Areas and amounts of a course")
    by_surface, by_part, by_patch = (areas_rows(patches, by, order) for by in ("surface", "part", "patch"))
    total = areas_totals(patches)[-1]
    listed = list(orders)
    told = all(row.get("true_m2") is not None for row in by_patch)  # a sum of some would be no area of the course
    areas = {"sums": (*AREA_SUMS, *(("true_m2",) if told else ())), "given": {"plus_minus_m2": total["plus_minus_m2"]}}
    of_lines = {"sums": LINE_SUMS if len(listed) == 1 else ()}  # sand and seed do not add up
    sheets: list[tuple[str, Sequence[str | Column], list[Row], dict[str, Any]]] = [
        ("By surface", _there(("surface", *AREA_COLUMNS), by_surface), by_surface, areas),
        ("By part", _there(("part", "surface", *AREA_COLUMNS), by_part), by_part, areas),
        ("Patches", _there(PATCH_COLUMNS, by_patch), by_patch, areas),
        ("Orders", *order_sum_rows(listed), {}),
        ("Order lines", *order_line_rows(listed), of_lines),
        # No totals: a surface that two machines can cut is listed twice.
        (
            "Mowing",
            [one for one in MOWING_COLUMNS if any(one in row for row in mowing)],
            [dict(row) for row in mowing],
            {},
        ),
        ("Take-off", *takeoff_rows(plain_rows(takeoff) if takeoff is not None else [], units), {}),
        ("Heads", COVER_COLUMNS, heads_rows(heads) if heads else [], {"sums": ("net_m2", "missed_m2")}),
        ("Findings", *finding_rows(findings), {}),
    ]
    filled = [sheet for sheet in sheets if sheet[2]]
    names = [filled[0][0], "By hole", *(sheet[0] for sheet in filled[1:])] if filled else []
    write_about(book, about_rows(facts, units, names))
    for at, (name, columns, rows, how) in enumerate(filled):
        write_table(
            book, name, NOTES[name], [column(one) if isinstance(one, str) else one for one in columns], rows, **how
        )
        if at == 0:
            _schedule(book, area_schedule(patches, order))
    book.made.close()
    if isinstance(target, str | Path):
        Path(target).write_bytes(buffer.getvalue())
    else:
        target.write(buffer.getvalue())


def _there(columns: Sequence[str], rows: Sequence[Row]) -> list[str]:
    """Without the columns of slopes where there are no heights."""
    return [name for name in columns if name not in RELIEF or any(name in row for row in rows)]


def _schedule(book: Book, schedule: Schedule) -> None:
    """Holes down, surfaces across; each part of the course ends with its sub-total."""
    names = [row["surface"] for row in schedule.surfaces]
    kind = column("net_m2").kind
    columns = [Column("hole", "hole"), *(Column(name, one_line(name), kind) for name in [*names, "all", "±"])]
    sheet = begin_sheet(book, "By hole", NOTES["By hole"], columns)
    at, ranges = HEAD_ROW + 1, []
    for part in schedule.parts:
        ranges.append((at, at + len(part.holes) - 1))
        for line in part.holes:
            figures = [*(line.nets_m2.get(name) for name in names), line.net_m2, line.plus_minus_m2]
            for place, value in enumerate([line.label, *figures]):
                write_cell(book, sheet, at, place, value, columns[place])
            at += 1
        if len(part.holes) > 1:
            _sum_row(book, sheet, at, part.total, names, ranges[-1:])
            at += 1
    _sum_row(book, sheet, at, schedule.total, names, ranges)
    sheet.freeze_panes(HEAD_ROW + 1, 1)
    sheet.set_column(0, len(columns) - 1, 12)


def _sum_row(book: Book, sheet: Any, at: int, line: Line, names: list[str], ranges: list[tuple[int, int]]) -> None:
    """Sums of the rows above, sub-totals not among them, and the plus-minus of the sum, which does not add up."""
    area = column("net_m2")
    look = book.number_format(area, True)
    write_text(sheet, at, 0, line.label, book.formats["total"])
    for place, value in enumerate([*(line.nets_m2.get(name, 0.0) for name in names), line.net_m2], start=1):
        cells = ",".join(xl_range(first, place, last, place) for first, last in ranges)
        sheet.write_formula(at, place, f"=SUM({cells})", look, area.value(value, book.units))
    sheet.write_number(at, len(names) + 2, area.value(line.plus_minus_m2, book.units), look)
