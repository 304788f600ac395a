"""``turfgis map``."""

from pathlib import Path

import click

from turfgis.cli.options import (
    course_argument,
    folder_option,
    photo_option,
    say_findings,
    spare_drawing,
    typed_day,
    units_option,
)
from turfgis.errors import InputError


@click.command(name="map")
@course_argument
@units_option
@photo_option
@click.option("--cut", "day", metavar="YYYY-MM-DD", help="Draw the directions of cut on this day.")
@click.option(
    "--directions",
    metavar="DIRECTIONS",
    type=click.IntRange(1, 180),
    help="How many directions take turns, as for 'turfgis mowing --rota'. [default: 4]",
)
@folder_option
def command(
    course: Path,
    crs: str | None,
    swap_axes: bool,
    units: str | None,
    photo: bool,
    day: str | None,
    directions: int | None,
    output: Path,
) -> None:
    """
    An area map in one HTML file that needs no network.

    Opens on a phone or a computer, finds "14 green", and prints on A4 and A3.
    """
    from turfgis.estimates.course import open_course
    from turfgis.reports.outputs import all_orders, cut_over, map_page, mowing_by_patch, steepness_of
    from turfgis.reports.write import write_whole

    file = output if output.suffix.lower() in (".html", ".htm") else output / "map.html"
    opened = open_course(course, crs=crs, swap_axes=swap_axes)
    spare_drawing(opened, file)
    system = units or opened.units
    if directions and not day:
        raise InputError("--directions goes with --cut and its day")
    over = cut_over(opened, typed_day("--cut", day), directions) if day else None
    mowing, orders = mowing_by_patch(opened), all_orders(opened, system)
    page = map_page(opened, system, mowing, orders, over=over, photo=photo, steepness=steepness_of(opened))
    say_findings([*opened.findings, *(opened.photo_findings if photo else ())])
    write_whole(file.parent, {file.name: page.encode("utf-8")})
    click.echo(f"wrote {file}")
