"""``turfgis hours``."""

from pathlib import Path

import click

from turfgis.cli.options import course_argument, format_options, put, say_findings, shape_wanted, spare_drawing


@click.command(name="hours")
@course_argument
@format_options
def command(course: Path, crs: str | None, swap_axes: bool, shape: str | None, output: Path | None) -> None:
    """
    Hours of people month by month: what mowing and other jobs need, against what the team works.

    Needed hours come from the take-off, those available from the people of the settings, their working days and days
    off.
    """
    from turfgis.estimates.course import open_course
    from turfgis.estimates.hours import estimate_hours
    from turfgis.estimates.takeoff import estimate_year
    from turfgis.reports import tables
    from turfgis.reports.hours import hours_json, hours_rows, hours_text

    shape = shape_wanted(shape, output)
    opened = open_course(course, crs=crs, swap_axes=swap_axes)
    spare_drawing(opened, output)
    year = estimate_hours(estimate_year(opened))
    say_findings(opened.measured.findings)
    if shape == "json":
        text = tables.json_text(hours_json(year))
    elif shape == "csv":
        text = tables.csv_text(hours_rows(year)).rstrip("\n")
    else:
        text = hours_text(year, opened.settings.currency if opened.settings else "")
    put(text, output)
