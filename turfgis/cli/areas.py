"""``turfgis areas``."""

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
from turfgis.errors import OutputError


@click.command(name="areas")
@course_argument
@click.option(
    "--by",
    type=click.Choice(["surface", "hole", "patch", "part"]),
    default="surface",
    show_default=True,
    help="Rows by surface, hole, patch, or part (front nine, back nine, practice).",
)
@click.option("--overthrow", metavar="REACH", help="Add the treated area: net, and so far past each edge ('0.6 m').")
@units_option
@format_options
def command(
    course: Path,
    crs: str | None,
    swap_axes: bool,
    by: str,
    overthrow: str | None,
    units: str | None,
    shape: str | None,
    output: Path | None,
) -> None:
    """
    Measured areas, each square metre counted once.

    Drawn, net, plus-minus (95 %) and perimeter; with [elevation] in the settings also true areas, which are along the
    slope, and slopes. With -o the ending .xlsx or .gpkg writes a workbook, or the net patches for any GIS.
    """
    from turfgis.estimates.course import open_course

    shape = shape_wanted(shape, output, also=(".xlsx", ".gpkg"))
    reach = typed("--overthrow", overthrow, "length", zero=True) if overthrow is not None else None
    if reach is not None and shape.startswith("."):
        raise OutputError(f"--overthrow goes into table, csv and json; leave it out to write {output}")
    opened = open_course(course, crs=crs, swap_axes=swap_axes)
    spare_drawing(opened, output)
    measured = opened.measured
    say_findings(opened.findings)
    system = units or opened.units
    if output is not None and shape.startswith("."):
        _write_file(opened, output, system)
        return
    from turfgis.reports import tables

    order, patches = opened.drawing.order, measured.patches
    if reach is not None:
        from turfgis.measure.treated import with_treated

        patches = with_treated(patches, reach)
    patches = measured.with_covered(opened.with_slopes(patches))
    if shape == "table":
        from turfgis.reports.relief import relief_note
        from turfgis.reports.screen import areas_text

        text = areas_text(patches, by=by, units=system, order=order)
        text = text.rstrip("\n") + "\n\n" + opened.accuracy_note()
        if measured.drawn_twice_m2 > 0.5:
            from turfgis.units import shown

            twice = shown("area", system).text(measured.drawn_twice_m2)
            text += f"\n{twice} were drawn more than once and are counted once; 'turfgis check' says where."
        if opened.relief is not None:
            text += "\n" + relief_note(opened.relief, system)
        if measured.attribution:
            text += f"\n{measured.attribution}"
    else:
        rows = tables.areas_rows(patches, by=by, order=order)
        text = tables.csv_text(rows).rstrip("\n") if shape == "csv" else tables.json_text(rows)
    put(text, output)


def _write_file(opened, output: Path, system: str) -> None:
    from turfgis.reports.write import write_whole

    if output.suffix.lower() == ".gpkg":
        from turfgis.reports.layers import write_patches

        write_whole(output.parent, {output.name: lambda path: write_patches(opened.measured, path, opened.slopes)})
    else:
        from turfgis.reports.outputs import every_finding, workbook

        book = workbook(opened, system, None, [], None, every_finding(opened))
        write_whole(output.parent, {output.name: book})
    click.echo(f"wrote {output}", err=True)
