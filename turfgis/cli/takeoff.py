"""``turfgis takeoff``."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from turfgis.cli.options import (
    course_argument,
    put,
    say_broken_labels,
    say_findings,
    shape_wanted,
    spare_drawing,
    units_option,
)
from turfgis.errors import OutputError

if TYPE_CHECKING:
    from turfgis.estimates.takeoff import Takeoff


@click.command(name="takeoff")
@course_argument
@click.option(
    "--per",
    type=click.Choice(["date", "month", "year"]),
    default="date",
    show_default=True,
    help="Which times stand together in one row of csv, json and parquet.",
)
@units_option
@click.option(
    "--format",
    "shape",
    type=click.Choice(["table", "csv", "json", "parquet"]),
    help="[default: as the file of -o ends, else table]",
)
@click.option("-o", "--output", type=click.Path(path_type=Path), help="Write to this file.")
def command(
    course: Path,
    crs: str | None,
    swap_axes: bool,
    per: str,
    units: str | None,
    shape: str | None,
    output: Path | None,
) -> None:
    """
    What every job needs, on every patch and date: materials, machines, people and what is bought.

    The table on the screen has one line for each job and resource; csv, json and parquet have one row for each job,
    date, patch and resource, in SI.
    """
    from turfgis.estimates.course import open_course
    from turfgis.estimates.takeoff import estimate_year
    from turfgis.reports import tables
    from turfgis.reports.takeoff import takeoff_text

    shape = shape_wanted(".parquet" if shape == "parquet" else shape, output, also=(".parquet",))
    opened = open_course(course, crs=crs, swap_axes=swap_axes)
    spare_drawing(opened, output)
    takeoff = estimate_year(opened)
    say_findings(opened.measured.findings)
    broken = say_broken_labels(opened, units or opened.units)
    if shape == ".parquet":
        _write_parquet(takeoff, per, output)
        return
    if shape == "table":
        text = takeoff_text(takeoff, units or opened.units, broken).rstrip("\n")
    else:
        rows = tables.plain_rows(takeoff.table(per))  # type: ignore[arg-type]
        text = tables.csv_text(rows).rstrip("\n") if shape == "csv" else tables.json_text(rows)
    put(text, output)


def _write_parquet(takeoff: "Takeoff", per: str, output: Path | None) -> None:
    from turfgis.reports.write import write_whole

    if output is None:
        raise OutputError("a parquet file cannot be printed; name it with -o, such as -o takeoff.parquet")
    write_whole(output.parent, {output.name: takeoff.table(per).to_parquet})  # type: ignore[arg-type]
    click.echo(f"wrote {output}", err=True)
