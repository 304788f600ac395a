"""``turfgis spray``."""

from pathlib import Path

import click

from turfgis.cli.options import (
    course_argument,
    format_options,
    put,
    say_findings,
    shape_wanted,
    spare_drawing,
    units_option,
)
from turfgis.errors import OutputError


@click.command(name="spray")
@course_argument
@click.option("--group", help="Only the spray jobs of this group.")
@click.option("--job", "jobs", multiple=True, metavar="NAME", help="Only this job; may be repeated.")
@click.option(
    "--order",
    type=click.Choice(["holes", "route"]),
    help="Patches by their holes, or along the shortest round from the yard. [default: as the job says, else holes]",
)
@click.option(
    "--record",
    "records",
    multiple=True,
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="What was sprayed already, as CSV or XLSX; may be repeated. It counts against labels.",
)
@click.option("--ledger", is_flag=True, help="Also what patches have had, what is planned and what labels leave.")
@click.option("--date", metavar="TEXT", default="", help="Day to be printed on the sheet. [default: a line]")
@units_option
@format_options
def command(
    course: Path,
    crs: str | None,
    swap_axes: bool,
    group: str | None,
    jobs: tuple[str, ...],
    order: str | None,
    records: tuple[Path, ...],
    ledger: bool,
    date: str,
    units: str | None,
    shape: str | None,
    output: Path | None,
) -> None:
    """
    Whole tanks along the patches: what goes into each, the exact last one, and what is kept off.

    Labels are those that the user has typed in under [material.NAME]. A job that breaks one is not printed; what breaks
    it and where is said, and the exit code is 1. With -o the ending .pdf prints the sheet for the certified operator.
    Nothing here advises on a product or a dose: the label and national rules decide.

    A record has the columns date, job, patch, hole, surface, material, quantity, area, tank, start, stop, wind,
    direction, temperature, leftover, batch, who and note; 'turfgis report' writes forms of it.
    """
    from turfgis.estimates.course import open_course
    from turfgis.estimates.spraying import estimate_spraying
    from turfgis.estimates.sprayings import read_applications
    from turfgis.reports import tables
    from turfgis.reports.spray import refusals, spray_json, spray_rows, spray_text

    shape = shape_wanted(shape, output, (".pdf",))
    opened = open_course(course, crs=crs, swap_axes=swap_axes)
    spare_drawing(opened, output)
    if output is not None and output.resolve() in {record.resolve() for record in records}:
        raise OutputError(f"{output} is a record that is read; choose another name with -o")
    recorded, said = read_applications(opened, records) if records else ([], [])
    spraying = estimate_spraying(opened, group, jobs, order=order, recorded=recorded)
    for line in said:
        click.echo(f"turfgis: {line}", err=True)
    say_findings(opened.measured.findings)
    system = units or opened.units
    for line in refusals(spraying, system):
        click.echo(f"turfgis: {line}", err=True)
    if shape == ".pdf" and output is not None:
        if spraying.plans:
            from turfgis.reports.outputs import course_facts
            from turfgis.reports.spray_sheet import spray_pdf
            from turfgis.reports.write import write_whole

            made = spray_pdf(spraying.plans, spraying.ledger, course_facts(opened, system), system, date=date)
            write_whole(output.parent, {output.name: made})
            click.echo(f"wrote {output}", err=True)
    elif shape == "json":
        put(tables.json_text(spray_json(spraying)), output)
    elif shape == "csv":
        put(tables.csv_text(spray_rows(spraying)).rstrip("\n"), output)
    else:
        put(spray_text(spraying, system, ledger=ledger).rstrip("\n"), output)
    if spraying.refused:
        click.get_current_context().exit(1)
