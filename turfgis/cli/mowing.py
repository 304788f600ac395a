"""``turfgis mowing``."""

from pathlib import Path

import click

from turfgis.cli.options import (
    course_argument,
    format_options,
    put,
    say_findings,
    shape_wanted,
    spare_drawing,
    typed,
    units_option,
)
from turfgis.errors import InputError

# A pedestrian greens mower; common practice, no source.
SPEED, OVERLAP, EFFICIENCY = "4.5 km/h", "0.05 m", "70 %"


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
@click.option("--speed", metavar="SPEED", help=f"Speed of the machines tried. [default: {SPEED}]")
@click.option("--overlap", metavar="WIDTH", help=f"Overlap of the machines tried. [default: {OVERLAP}]")
@click.option("--efficiency", metavar="SHARE", help=f"Field efficiency of the machines tried. [default: {EFFICIENCY}]")
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
    speed: str | None,
    overlap: str | None,
    efficiency: str | None,
    surfaces: tuple[str, ...],
    units: str | None,
    shape: str | None,
    output: Path | None,
) -> None:
    """
    Minutes of mowing for one cut, by surface and machine.

    By the handbook: area over field capacity, and a clean-up pass around the edge. A first guess until the club's own
    meter hours are known.
    """
    from turfgis.estimates.course import open_course
    from turfgis.estimates.mowing import estimate_mowing, mower_remarks, mowers_of, mowers_tried, mowing_by_surface
    from turfgis.reports import tables
    from turfgis.reports.mowing import mowing_text

    shape = shape_wanted(shape, output)
    if not widths and (speed or overlap or efficiency or surfaces):
        raise InputError(
            "--speed, --overlap, --efficiency and --on are of the machines tried; give at least one --width too"
        )
    tried = {text: typed("--width", text, "length") for text in widths}
    figures = (
        typed("--speed", speed or SPEED, "speed"),
        typed("--overlap", overlap or OVERLAP, "length", zero=True),
        typed("--efficiency", efficiency or EFFICIENCY, "share"),
    )
    opened = open_course(course, crs=crs, swap_axes=swap_axes)
    spare_drawing(opened, output)
    mowers = mowers_tried(opened, tried, *figures, on=surfaces) if tried else mowers_of(opened)
    for text in mower_remarks(mowers):
        click.echo(f"turfgis: {text}", err=True)
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
