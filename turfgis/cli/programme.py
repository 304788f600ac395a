"""``turfgis programme``."""

from pathlib import Path

import click

from turfgis.cli.options import (
    course_argument,
    format_options,
    put,
    say_broken_limits,
    say_findings,
    shape_wanted,
    spare_drawing,
    units_option,
)


@click.command(name="programme")
@course_argument
@units_option
@format_options
def command(
    course: Path,
    crs: str | None,
    swap_axes: bool,
    units: str | None,
    shape: str | None,
    output: Path | None,
) -> None:
    """
    The year month by month: which job is done when, where, and with how much of what.

    csv has one row for each job and time, json one entry for each job. With -o, .pdf is the year on one page.
    """
    from turfgis.estimates.course import open_course
    from turfgis.estimates.takeoff import estimate_year
    from turfgis.reports import tables
    from turfgis.reports.outputs import course_facts
    from turfgis.reports.programme import programme_csv, programme_json, programme_pdf, programme_text
    from turfgis.reports.write import write_whole

    shape = shape_wanted(shape, output, (".pdf",))
    opened = open_course(course, crs=crs, swap_axes=swap_axes)
    spare_drawing(opened, output)
    takeoff, system = estimate_year(opened), units or opened.units
    say_findings(opened.measured.findings)
    say_broken_limits(takeoff, units or opened.units)
    if output is not None and shape == ".pdf":
        write_whole(output.parent, {output.name: programme_pdf(takeoff, course_facts(opened, system), system)})
        click.echo(f"wrote {output}", err=True)
        return
    if shape == "json":
        text = tables.json_text(programme_json(takeoff))
    elif shape == "csv":
        text = tables.csv_text(programme_csv(takeoff)).rstrip("\n")
    else:
        text = programme_text(takeoff, system).rstrip("\n")
    put(text, output)
