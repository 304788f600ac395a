"""``turfgis water --heads`` and ``--night``."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from turfgis.cli.options import put, shape_wanted, spare_drawing, typed, typed_day
from turfgis.errors import InputError

if TYPE_CHECKING:
    from turfgis.estimates.course import Course


def show(
    course: Path,
    crs: str | None,
    swap_axes: bool,
    heads: bool,
    night: str | None,
    level: str | None,
    units: str | None,
    shape: str | None,
    output: Path | None,
) -> Course:
    """How the heads cover a course, or the plan of a night, as asked; the course as it was opened."""
    from turfgis.estimates.course import open_course

    if heads and night:
        raise InputError("--heads and --night are two tables; ask for one at a time")
    if level and not night:
        raise InputError("--level belongs to a night; give --night with its day as well")
    day = typed_day("--night", night) if night else None
    level_m3 = typed("--level", level, "volume", zero=True) if level else None
    shape = shape_wanted(shape, output, also=(".pdf",))
    opened = open_course(course, crs=crs, swap_axes=swap_axes)
    spare_drawing(opened, output)
    system = units or opened.units
    made: dict[str, Any]
    if day is None:
        from turfgis.estimates.heads import needed_cover
        from turfgis.reports.heads import heads_pdf, heads_rows, heads_text

        cover = needed_cover(opened)
        made = {"rows": heads_rows, "json": heads_rows, "text": heads_text, "pdf": heads_pdf, "what": cover}
    else:
        from turfgis.estimates.night_plan import estimate_night
        from turfgis.reports.night import night_json, night_pdf, night_schedule, night_text

        plan = estimate_night(opened, day, level_m3)
        made = {"rows": night_schedule, "json": night_json, "text": night_text, "pdf": night_pdf, "what": plan}
    for finding in opened.head_findings:
        if finding.level != "note":
            click.echo(f"turfgis: {finding.file}: {finding.text}", err=True)
    _put(opened, made, system, shape, output)
    return opened


def _put(opened: Course, made: dict[str, Any], system: str, shape: str, output: Path | None) -> None:
    from turfgis.reports import tables

    if output is not None and shape == ".pdf":
        from turfgis.reports.outputs import course_facts
        from turfgis.reports.write import write_whole

        write_whole(output.parent, {output.name: made["pdf"](made["what"], course_facts(opened, system), system)})
        click.echo(f"wrote {output}", err=True)
    elif shape == "json":
        put(tables.json_text(made["json"](made["what"])), output)
    elif shape == "csv":
        put(tables.csv_text(made["rows"](made["what"])).rstrip("\n"), output)
    else:
        put(made["text"](made["what"], system).rstrip("\n"), output)
