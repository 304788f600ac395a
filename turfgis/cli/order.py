"""``turfgis order``."""

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


@click.command(name="order")
@course_argument
@click.option("--group", help="Only the jobs of this group.")
@click.option("--material", help="Only this material. [default: all, one order each]")
@click.option("--working", is_flag=True, help="Print the whole calculation, step by step.")
@units_option
@format_options
def command(
    course: Path,
    crs: str | None,
    swap_axes: bool,
    group: str | None,
    material: str | None,
    working: bool,
    units: str | None,
    shape: str | None,
    output: Path | None,
) -> None:
    """
    What to order, patch by patch, and how likely it is to run short.

    Sand dry and as delivered, in whole loads; seed and fertiliser in whole packs.
    """
    from turfgis.estimates.course import open_course
    from turfgis.estimates.orders import orders_for
    from turfgis.reports import tables
    from turfgis.reports.orders import order_json, order_rows, order_text, working_text

    shape = shape_wanted(shape, output)
    if working and shape == "csv":
        raise click.UsageError("--working cannot be written as csv; json always holds it.")
    opened = open_course(course, crs=crs, swap_axes=swap_axes)
    spare_drawing(opened, output)
    system = units or opened.units
    orders = orders_for(opened, group, material, system)
    say_findings(opened.measured.findings)
    if shape == "json":
        made = [order_json(order) for order in orders]
        text = tables.json_text(made[0] if material is not None else {"orders": made})
    elif shape == "csv":
        text = tables.csv_text([row for order in orders for row in order_rows(order)]).rstrip("\n")
    else:
        parts = []
        for order in orders:
            parts.append(order_text(order, system))
            if working:
                parts.append(working_text(order))
        text = "\n\n".join(parts)
    put(text, output)
