"""``turfgis budget``."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from turfgis.cli.options import (
    course_argument,
    format_options,
    last_option,
    put,
    say_broken_labels,
    say_broken_limits,
    say_findings,
    shape_wanted,
    spare_drawing,
    units_option,
)
from turfgis.errors import OutputError

if TYPE_CHECKING:
    from turfgis.estimates.change import Change
    from turfgis.estimates.course import Course
    from turfgis.estimates.takeoff import Takeoff

# How a file ends -> which of the files of a report it is.
PAGES = {
    ".pdf": "budget_committee.pdf",
    ".html": "budget_committee.html",
    ".xlsx": "budget_planner.xlsx",
}


@click.command(name="budget")
@course_argument
@click.option(
    "--by",
    type=click.Choice(["month", "surface", "material", "cost-code", "group", "job", "resource"]),
    default="month",
    show_default=True,
    help="Which sums are listed; json always holds all of them.",
)
@last_option
@units_option
@format_options
def command(
    course: Path,
    crs: str | None,
    swap_axes: bool,
    by: str,
    last: Path | None,
    units: str | None,
    shape: str | None,
    output: Path | None,
) -> None:
    """
    What the year costs: materials, machines, people and what is bought in.

    Stock is used first; packs and loads are rounded up once for each order; taxes and contingency are those of the
    settings. Every sum carries its plus-minus. With -o, .pdf and .html are the page for a committee, .xlsx is the
    workbook for the planner. With --last they show last year beside it, and why it changed.
    """
    from turfgis.estimates.budget import estimate_budget
    from turfgis.estimates.change import change_since_last
    from turfgis.estimates.course import open_course
    from turfgis.estimates.takeoff import estimate_year
    from turfgis.reports import tables
    from turfgis.reports.budget import budget_json, budget_rows, budget_text
    from turfgis.reports.change import causes_text, change_json
    from turfgis.reports.spray_files import with_broken_labels

    shape = shape_wanted(shape, output, tuple(PAGES))
    opened = open_course(course, crs=crs, swap_axes=swap_axes)
    spare_drawing(opened, output)
    takeoff = estimate_year(opened)
    change = change_since_last(opened, last)
    say_findings(opened.measured.findings)
    system = units or opened.units
    say_broken_limits(takeoff, system)
    say_broken_labels(opened, system)
    if output is not None and shape in PAGES:
        write_page(opened, takeoff, system, output, PAGES[shape], change)
        return
    budget = with_broken_labels(estimate_budget(takeoff), opened, system)
    if shape == "json":
        since = {"change": change_json(change)} if change else {}
        text = tables.json_text({**budget_json(budget), **since})
    elif shape == "csv":
        text = tables.csv_text(budget_rows(budget, by)).rstrip("\n")
    else:
        text = (budget_text(budget, by, system) + (causes_text(change) if change else "")).rstrip("\n")
    put(text, output)


def write_page(
    opened: "Course", takeoff: "Takeoff", units: str, output: Path, name: str, change: "Change | None"
) -> None:
    """One page of the budget, whole."""
    from turfgis.reports.outputs import budget_files
    from turfgis.reports.write import write_whole

    files = budget_files(opened, takeoff, units, change)
    if not files:
        raise OutputError(
            f"-o {output}: nothing in {opened.path.name} has a price, so there is no page to write; add price to a "
            "material, cost to a machine, or wage to [labour]"
        )
    write_whole(output.parent, {output.name: files[name]})
    click.echo(f"wrote {output}", err=True)
