"""``turfgis water``."""

from pathlib import Path

import click

from turfgis.cli.options import (
    course_argument,
    format_options,
    put,
    say_findings,
    shape_wanted,
    spare_drawing,
    typed_day,
    units_option,
)


@click.command(name="water")
@course_argument
@click.option("--day", help="The last day that is past. [default: the last day of the weather]")
@click.option("--ahead", type=click.IntRange(1, 28), default=7, show_default=True, help="How many days are planned.")
@click.option("--heads", is_flag=True, help="How the heads cover each patch, and how evenly.")
@click.option("--night", metavar="DAY", help="The plan of one night: stations, minutes, cycles, tank by the hour.")
@click.option("--level", metavar="VOLUME", help="What is in the tank when the night begins. [default: by the plan]")
@click.option("--since", help="First day of the rows in csv and json. [default: 1 January]")
@units_option
@format_options
def command(
    course: Path,
    crs: str | None,
    swap_axes: bool,
    day: str | None,
    ahead: int,
    heads: bool,
    night: str | None,
    level: str | None,
    since: str | None,
    units: str | None,
    shape: str | None,
    output: Path | None,
) -> None:
    """
    Water: what each surface needs in the days ahead, what there is for it, and where the limits stand.

    Needs follow from the weather ([water] in the settings), day by day since the file begins. Licence conditions and a
    regulator's word override any plan. With -o the ending .pdf prints a page for the pump house.
    """
    if heads or night or level:
        from turfgis.cli.heads import show

        opened = show(course, crs, swap_axes, heads, night, level, units, shape, output)
        say_findings(opened.measured.findings)
        return
    from turfgis.estimates.course import open_course
    from turfgis.estimates.water import estimate_water
    from turfgis.reports import tables
    from turfgis.reports.water import water_json, water_rows, water_text

    shape = shape_wanted(shape, output, also=(".pdf",))
    last = typed_day("--day", day) if day else None
    first = typed_day("--since", since) if since else None
    opened = open_course(course, crs=crs, swap_axes=swap_axes)
    spare_drawing(opened, output)
    water = estimate_water(opened, last, ahead)
    say_findings(opened.measured.findings)
    for finding in water.findings:
        if finding.level != "note":
            click.echo(f"turfgis: {finding.file}: {finding.text}", err=True)
    system = units or opened.units
    if output is not None and shape == ".pdf":
        from turfgis.reports.outputs import course_facts
        from turfgis.reports.water_page import water_pdf
        from turfgis.reports.write import write_whole

        write_whole(output.parent, {output.name: water_pdf(water, course_facts(opened, system), system)})
        click.echo(f"wrote {output}", err=True)
    elif shape == "json":
        put(tables.json_text(water_json(water, first)), output)
    elif shape == "csv":
        put(tables.csv_text(water_rows(water, first)).rstrip("\n"), output)
    else:
        put(water_text(water, system).rstrip("\n"), output)
