"""``turfgis check``."""

from dataclasses import asdict
from pathlib import Path

import click

from turfgis.cli.options import course_argument, format_options, put, shape_wanted, spare_drawing, units_option


@click.command(name="check")
@course_argument
@units_option
@format_options
def command(
    course: Path, crs: str | None, swap_axes: bool, units: str | None, shape: str | None, output: Path | None
) -> None:
    """
    What is wrong with the drawing, what was done about it, and which figures lie outside published ranges.

    Errors, warnings and notes, each with its file, layer and feature; and how much was drawn twice, and which surface
    keeps it. Exit code 1 when there are errors.
    """
    from turfgis.estimates.course import open_course
    from turfgis.measure.overlaps import by_surface, measure_overlaps
    from turfgis.reports import tables
    from turfgis.reports.findings import findings_text
    from turfgis.reports.outputs import every_finding
    from turfgis.reports.screen import drawn_twice_text

    shape = shape_wanted(shape, output)
    opened = open_course(course, crs=crs, swap_axes=swap_axes)
    spare_drawing(opened, output)
    findings, overlaps = every_finding(opened), measure_overlaps(opened.measured)
    if shape == "json":
        twice = tables.plain_rows(by_surface(overlaps))
        text = tables.json_text({"findings": [asdict(finding) for finding in findings], "drawn_twice": twice})
    elif shape == "csv":
        text = tables.csv_text([asdict(finding) for finding in findings]).rstrip("\n")
    else:
        text = findings_text(findings)
        if len(overlaps):
            text += "\n\n" + drawn_twice_text(by_surface(overlaps), units or opened.units)
    put(text, output)
    if any(finding.level == "error" for finding in findings):
        click.get_current_context().exit(1)
