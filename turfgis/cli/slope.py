"""``turfgis slope``."""

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


@click.command(name="slope")
@course_argument
@click.option("--machine", "machines", multiple=True, metavar="NAME", help="Only this machine; may be repeated.")
@units_option
@format_options
def command(
    course: Path,
    crs: str | None,
    swap_axes: bool,
    machines: tuple[str, ...],
    units: str | None,
    shape: str | None,
    output: Path | None,
) -> None:
    """
    Each machine's ground: over the limit of slope that was entered for it, under it, or unknown.

    With the steepest place of each patch, side slope and climb along the passes, and edges with a drop beside them. The
    limit is slope_limit = "16 deg" under [machine.NAME]; heights come from [elevation]. With -o the ending .pdf
    prints the sheet.
    """
    from turfgis.estimates.course import open_course
    from turfgis.estimates.slopes import estimate_steepness
    from turfgis.reports import tables

    shape = shape_wanted(shape, output, also=(".pdf",))
    opened = open_course(course, crs=crs, swap_axes=swap_axes)
    spare_drawing(opened, output)
    steepness = estimate_steepness(opened, machines)
    say_findings(opened.findings)
    system = units or opened.units
    if output is not None and shape == ".pdf":
        from turfgis.reports.outputs import course_facts
        from turfgis.reports.slopes import slope_pdf
        from turfgis.reports.write import write_whole

        write_whole(output.parent, {output.name: slope_pdf(steepness, course_facts(opened, system), system)})
        click.echo(f"wrote {output}", err=True)
    elif shape == "table":
        from turfgis.reports.slopes import slope_text

        put(slope_text(steepness, system), output)
    else:
        rows = tables.plain_rows(steepness.rows)
        put(tables.json_text(rows) if shape == "json" else tables.csv_text(rows).rstrip("\n"), output)
