"""``turfgis map``."""

from pathlib import Path

import click

from turfgis.cli.options import course_argument, folder_option, photo_option, say_findings, spare_drawing, units_option


@click.command(name="map")
@course_argument
@units_option
@photo_option
@folder_option
def command(course: Path, crs: str | None, swap_axes: bool, units: str | None, photo: bool, output: Path) -> None:
    """
    An area map in one HTML file that needs no network.

    Opens on a phone or a computer, finds "14 green", and prints on A4 and A3.
    """
    from turfgis.estimates.course import open_course
    from turfgis.reports.outputs import all_orders, map_page, mowing_by_patch
    from turfgis.reports.write import write_whole

    file = output if output.suffix.lower() in (".html", ".htm") else output / "map.html"
    opened = open_course(course, crs=crs, swap_axes=swap_axes)
    spare_drawing(opened, file)
    system = units or opened.units
    page = map_page(opened, system, mowing_by_patch(opened), all_orders(opened, system), photo=photo)
    say_findings([*opened.measured.findings, *(opened.photo_findings if photo else ())])
    write_whole(file.parent, {file.name: page.encode("utf-8")})
    click.echo(f"wrote {file}")
