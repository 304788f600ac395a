"""``turfgis ledger``."""

from pathlib import Path

import click

from turfgis.cli.options import (
    course_argument,
    format_options,
    put,
    say_broken_limits,
    say_findings,
    shape_wanted,
    spare_drawing,
    units_option,
)


@click.command(name="ledger")
@course_argument
@click.option(
    "--of",
    "part",
    type=click.Choice(["nutrients", "sand", "edges", "limits"]),
    help="Which part. [default: all in table and json, nutrients in csv]",
)
@units_option
@format_options
def command(
    course: Path,
    crs: str | None,
    swap_axes: bool,
    part: str | None,
    units: str | None,
    shape: str | None,
    output: Path | None,
) -> None:
    """
    What the year puts on the ground: nutrients by month and running, sand as a depth, and sand beside the edges.

    Ends with exit code 1 when the plan breaks a limit of the settings on any patch. The label, a soil analysis, closed
    periods and local rules decide; no limit here replaces them.
    """
    from turfgis.estimates.course import open_course
    from turfgis.estimates.edges import estimate_edges
    from turfgis.estimates.ledgers import estimate_ledger
    from turfgis.estimates.limits import check_limits, limit_remarks
    from turfgis.estimates.takeoff import estimate_year
    from turfgis.reports import tables
    from turfgis.reports.ledger import ledger_text
    from turfgis.reports.ledger_rows import NOTES, PARTS, ledger_json, ledger_rows

    shape = shape_wanted(shape, output)
    opened = open_course(course, crs=crs, swap_axes=swap_axes)
    spare_drawing(opened, output)
    takeoff = estimate_year(opened)
    ledger, edges = estimate_ledger(takeoff), estimate_edges(takeoff)
    checks, remarks = check_limits(takeoff), limit_remarks(takeoff)
    say_findings(opened.measured.findings)
    system = units or opened.units
    if shape == "json":
        text = tables.json_text(ledger_json(ledger, edges, checks, remarks))
    elif shape == "csv":
        text = tables.csv_text(ledger_rows(ledger, edges, checks, part or "nutrients")).rstrip("\n")
        click.echo(f"turfgis: {NOTES['nutrients']}", err=True)  # a file of figures has no room for it
    else:
        text = ledger_text(ledger, edges, checks, remarks, system, [part] if part else PARTS).rstrip("\n")
    put(text, output)
    if say_broken_limits(takeoff, system):
        click.get_current_context().exit(1)
