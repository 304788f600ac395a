"""``turfgis mowing``."""

from pathlib import Path

import click

from turfgis.cli.options import course_argument, format_options, put, say_findings, units_option
from turfgis.errors import InputError


@click.command(name="mowing")
@course_argument
@click.option("--by", type=click.Choice(["surface", "patch"]), default="surface", show_default=True)
@click.option(
    "--width",
    "widths",
    multiple=True,
    metavar="WIDTH",
    help="Try a machine of this width, such as '0.56 m'; may be repeated.",
)
@click.option("--speed", metavar="SPEED", default="4.5 km/h", show_default=True, help="Speed of the machines tried.")
@click.option("--overlap", metavar="WIDTH", default="0.05 m", show_default=True, help="Overlap of the machines tried.")
@click.option(
    "--efficiency", metavar="SHARE", default="70 %", show_default=True, help="Field efficiency of the machines tried."
)
@click.option(
    "--on",
    "surfaces",
    multiple=True,
    metavar="SURFACE",
    help="Surfaces that the machines tried cut; may be repeated. [default: all mown ones there are]",
)
@units_option
@format_options
def command(
    course: Path,
    crs: str | None,
    swap_axes: bool,
    by: str,
    widths: tuple[str, ...],
    speed: str,
    overlap: str,
    efficiency: str,
    surfaces: tuple[str, ...],
    units: str | None,
    shape: str,
    output: Path | None,
) -> None:
    """
    Minutes of mowing for one cut, by surface and machine.

    By the handbook: area over field capacity, and a clean-up pass around the edge. A first guess until the club's own
    meter hours are known.
    """
    from turfgis.estimates.course import open_course
    from turfgis.estimates.mowing import estimate_mowing, mowers_of, mowers_tried, mowing_by_surface
    from turfgis.reports import tables
    from turfgis.reports.mowing import mowing_text

    opened = open_course(course, crs=crs, swap_axes=swap_axes)
    if surfaces and not widths:
        raise InputError("--on says what the machines tried cut; give at least one --width too")
    mowers = mowers_tried(opened, widths, speed, overlap, efficiency, surfaces) if widths else mowers_of(opened)
    by_patch = estimate_mowing(opened, mowers)
    say_findings(opened.measured.findings)
    rows = mowing_by_surface(by_patch) if by == "surface" else tables.plain_rows(by_patch)
    if shape == "json":
        text = tables.json_text(rows)
    elif shape == "csv":
        text = tables.csv_text(rows).rstrip("\n")
    else:
        text = mowing_text(rows, units or opened.units)
    put(text, output)
