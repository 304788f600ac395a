"""``turfgis budget``."""

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


@click.command(name="budget")
@course_argument
@click.option(
    "--by",
    type=click.Choice(["month", "surface", "material", "cost-code", "group", "job", "resource"]),
    default="month",
    show_default=True,
    help="Which sums are listed; json always holds all of them.",
)
@units_option
@format_options
def command(
    course: Path,
    crs: str | None,
    swap_axes: bool,
    by: str,
    units: str | None,
    shape: str | None,
    output: Path | None,
) -> None:
    """
    What the year costs: materials, machines, people and what is bought in.

    Stock is used first; packs and loads are rounded up once for each order; taxes and contingency are those of the
    settings. Every sum carries its plus-minus.
    """
    from turfgis.estimates.budget import estimate_budget
    from turfgis.estimates.course import open_course
    from turfgis.estimates.takeoff import estimate_year
    from turfgis.reports import tables
    from turfgis.reports.budget import budget_json, budget_rows, budget_text

    shape = shape_wanted(shape, output)
    opened = open_course(course, crs=crs, swap_axes=swap_axes)
    spare_drawing(opened, output)
    budget = estimate_budget(estimate_year(opened))
    say_findings(opened.measured.findings)
    if shape == "json":
        text = tables.json_text(budget_json(budget))
    elif shape == "csv":
        text = tables.csv_text(budget_rows(budget, by)).rstrip("\n")
    else:
        text = budget_text(budget, by, units or opened.units).rstrip("\n")
    put(text, output)
