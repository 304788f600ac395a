"""``turfgis report``."""

from pathlib import Path

import click

from turfgis.cli.options import (
    course_argument,
    folder_option,
    last_option,
    photo_option,
    say_broken_limits,
    say_findings,
    say_refused_sprays,
    spare_drawing,
    typed,
    units_option,
)


@click.command(name="report")
@course_argument
@click.option("--group", help="Only the orders of this group of jobs.")
@click.option(
    "--date", metavar="TEXT", default="", help="Day to be printed on the orders. [default: a line to write on]"
)
@click.option("--hopper", metavar="WEIGHT", help="What the spreader holds, such as '800 kg', for the drop lists.")
@last_option
@units_option
@photo_option
@folder_option
def command(
    course: Path,
    crs: str | None,
    swap_axes: bool,
    group: str | None,
    date: str,
    hopper: str | None,
    last: Path | None,
    units: str | None,
    photo: bool,
    output: Path,
) -> None:
    """
    Every sheet, table and the map, into one folder.

    Files of an earlier run are replaced only when all the new ones are ready. What an earlier report of this course
    wrote, this one does not, and nobody has changed, is taken away.
    """
    from turfgis.estimates.course import open_course
    from turfgis.estimates.takeoff import takeoff_of
    from turfgis.reports.outputs import all_outputs
    from turfgis.reports.written import write_report

    hopper_kg = typed("--hopper", hopper, "mass") if hopper is not None else None
    opened = open_course(course, crs=crs, swap_axes=swap_axes)
    change = None
    if last is not None or (opened.settings is not None and opened.settings.budget.last):
        from turfgis.estimates.change import change_since_last

        change = change_since_last(opened, last)
    year = takeoff_of(opened)
    files = all_outputs(
        opened,
        units or opened.units,
        year,
        group=group,
        date=date,
        hopper_kg=hopper_kg,
        change=change,
        photo=photo,
    )
    spare_drawing(opened, *(output / name for name in files))
    say_findings([*opened.findings, *(opened.photo_findings if photo else ())])
    say_refused_sprays(opened, group, units or opened.units)
    if year is not None:
        say_broken_limits(year, units or opened.units)
    written, removed = write_report(output, files, opened.name, whole=group is None)
    for path in written:
        click.echo(f"wrote {path}")
    for path in removed:
        click.echo(f"removed {path}, which an earlier report wrote")
