"""``turfgis actual``."""

from pathlib import Path

import click

from turfgis.cli.options import (
    format_options,
    put,
    say_findings,
    shape_wanted,
    spare_drawing,
    typed_day,
    units_option,
)
from turfgis.errors import OutputError


@click.command(name="actual")
@click.argument("course", type=click.Path(path_type=Path))
@click.argument("records", type=click.Path(path_type=Path), nargs=-1, required=True)
@click.option(
    "--by",
    type=click.Choice(["job", "patch", "coefficient"]),
    default="job",
    show_default=True,
    help="Which rows table and csv hold; json always holds all.",
)
@click.option(
    "--until", metavar="DAY", help="Only what was planned and recorded by then, such as 2027-06-30. [default: all]"
)
@units_option
@format_options
def command(
    course: Path,
    records: tuple[Path, ...],
    by: str,
    until: str | None,
    units: str | None,
    shape: str | None,
    output: Path | None,
) -> None:
    """
    Plan and actual: what RECORDS say was used, beside the plan, and the coefficients that follow for next year.

    RECORDS are .csv or .xlsx files with one row for each delivery, hopper count or reading of hours, below headings
    (capitals do not matter): date, kind (delivery, hopper or hours), job, patch, or hole and surface, material,
    machine, quantity ("20.4 t", "3 hoppers", or a number with its unit under unit), hopper (what one holds, such as
    "800 kg"), note. Date, kind and quantity must be there. The settings are not altered: lines for them are proposed.
    """
    from turfgis.estimates.actuals import estimate_actuals
    from turfgis.estimates.coefficients import propose_coefficients
    from turfgis.estimates.course import open_course
    from turfgis.estimates.takeoff import estimate_year
    from turfgis.layers.records import read_records
    from turfgis.reports import tables
    from turfgis.reports.actuals import actual_json, actual_rows, actual_text

    shape = shape_wanted(shape, output)
    last = typed_day("--until", until) if until is not None else None
    opened = open_course(course)
    opened.needs_settings("plan and actual need jobs")
    spare_drawing(opened, output)
    if output is not None and output.resolve() in {file.resolve() for file in records}:
        raise OutputError(f"{output} is what the records are read from; choose another name with -o")
    read, said = read_records(records)
    actuals = estimate_actuals(estimate_year(opened), read, last)
    coefficients = propose_coefficients(actuals)
    remarks = [*said, *actuals.remarks]
    say_findings(opened.measured.findings)
    if shape == "json":
        text = tables.json_text(actual_json(actuals, coefficients, remarks))
    elif shape == "csv":
        text = tables.csv_text(actual_rows(actuals, coefficients, by)).rstrip("\n")
        for line in remarks:
            click.echo(f"turfgis: {line}", err=True)  # a file of figures has no room for them
    else:
        text = actual_text(actuals, coefficients, remarks, by, units or opened.units).rstrip("\n")
    put(text, output)
