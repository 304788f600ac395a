"""``turfgis order``."""

from pathlib import Path
from typing import TYPE_CHECKING

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

if TYPE_CHECKING:
    from turfgis.estimates.course import Course

SHEETS = (".pdf", ".xlsx")


@click.command(name="order")
@course_argument
@click.option("--group", help="Only the jobs of this group.")
@click.option("--material", help="Only this material. [default: all, one order each]")
@click.option(
    "--by",
    type=click.Choice(["material", "supplier"]),
    default="material",
    show_default=True,
    help="One order for each material, or all of the year from one supplier.",
)
@click.option("--supplier", metavar="NAME", help="Only this supplier; '' for materials that name none.")
@click.option("--working", is_flag=True, help="Print the whole calculation, step by step.")
@units_option
@format_options
def command(
    course: Path,
    crs: str | None,
    swap_axes: bool,
    group: str | None,
    material: str | None,
    by: str,
    supplier: str | None,
    working: bool,
    units: str | None,
    shape: str | None,
    output: Path | None,
) -> None:
    """
    What to order, patch by patch, and how likely it is to run short.

    Sand dry and as delivered, in whole loads; seed and fertiliser in whole packs. By supplier: all that the year's
    budget buys from each, with delivery dates, price and specification; -o then takes .pdf (of one supplier) and
    .xlsx too.
    """
    if by == "supplier" or supplier is not None:
        if material is not None or working:
            raise click.UsageError("--material and --working belong to orders by material.")
        by_supplier(course, crs, swap_axes, group, supplier, units, shape, output)
        return
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


def by_supplier(
    course: Path,
    crs: str | None,
    swap_axes: bool,
    group: str | None,
    supplier: str | None,
    units: str | None,
    shape: str | None,
    output: Path | None,
) -> None:
    """All that is bought from each supplier, or from one."""
    from turfgis.estimates.budget import estimate_budget
    from turfgis.estimates.course import open_course
    from turfgis.estimates.suppliers import supplier_orders
    from turfgis.estimates.takeoff import estimate_year
    from turfgis.reports import tables
    from turfgis.reports.suppliers import supplier_json, supplier_rows, supplier_text

    shape = shape_wanted(shape, output, SHEETS)
    opened = open_course(course, crs=crs, swap_axes=swap_axes)
    spare_drawing(opened, output)
    settings = opened.needs_settings("an order needs materials and jobs")
    system = units or opened.units
    orders = supplier_orders(estimate_budget(estimate_year(opened)), supplier, group)
    say_findings(opened.measured.findings)
    if output is not None and shape in SHEETS:
        write_sheet(opened, orders, system, shape, output)
        return
    if shape == "json":
        made = [supplier_json(order, settings) for order in orders]
        sums = {"cost": sum(one.cost for one in orders), "budgeted": sum(one.budgeted for one in orders)}
        text = tables.json_text(made[0] if supplier is not None else {"suppliers": made, **sums})
    elif shape == "csv":
        text = tables.csv_text(supplier_rows(orders, settings)).rstrip("\n")
    else:
        text = "\n\n".join(supplier_text(order, settings, system) for order in orders)
    put(text, output)


def write_sheet(opened: "Course", orders: tuple, system: str, shape: str, output: Path) -> None:
    """The order to one supplier as printed, or a workbook of all."""
    from turfgis.reports.outputs import course_facts
    from turfgis.reports.supplier_book import supplier_workbook
    from turfgis.reports.supplier_sheet import supplier_pdf
    from turfgis.reports.write import write_whole

    settings, facts = opened.needs_settings("an order needs materials and jobs"), course_facts(opened, system)
    if shape == ".pdf":
        if len(orders) != 1:
            names = ", ".join(f"'{order.name}'" for order in orders)
            raise OutputError(f"-o {output}: a sheet goes to one supplier; choose one with --supplier: {names}")
        made = supplier_pdf(orders[0], settings, facts, system)
    else:
        made = supplier_workbook(orders, settings, facts, system)
    write_whole(output.parent, {output.name: made})
    click.echo(f"wrote {output}", err=True)
