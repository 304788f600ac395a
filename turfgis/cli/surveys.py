"""``turfgis change --areas``: what changed on the ground."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import date
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import click

from turfgis.cli.options import Decorated, put, say_findings, shape_wanted, spare_drawing, typed
from turfgis.errors import InputError

if TYPE_CHECKING:
    from turfgis.estimates.surveys import Comparison

ENDINGS = (".gpkg", ".html", ".pdf")


def survey_options(function: Decorated) -> Decorated:
    """Options that say what files of earlier surveys do not say themselves."""
    options: list[Callable[[Decorated], Decorated]] = [
        click.option("--areas", is_flag=True, help="What changed on the ground between surveys, in place of money."),
        click.option(
            "--surveyed",
            multiple=True,
            metavar="DAY",
            help="With --areas: day of a survey that comes as a bare file, such as 2019-03-14.",
        ),
        click.option(
            "--accuracy",
            multiple=True,
            metavar="LENGTH",
            help="With --areas: standard deviation of the edge in a bare file, such as '0.1 m'. [default: 0.3 m]",
        ),
        click.option("--crs", metavar="EPSG:CODE", help="With --areas: for a bare file that does not say it."),
        click.option("--units", type=click.Choice(["metric", "us"]), help="How results are shown."),
    ]
    for option in reversed(options):
        function = option(function)
    return function


def compare_areas(
    paths: Sequence[Path],
    *,
    surveyed: Sequence[str],
    accuracy: Sequence[str],
    crs: str | None,
    units: str | None,
    shape: str | None,
    output: Path | None,
) -> None:
    """Compare surveys and print or write what changed."""
    from turfgis.estimates.surveys import compare_surveys, open_surveys
    from turfgis.reports import tables
    from turfgis.reports.drift import drift_json, drift_rows, drift_text

    shape = shape_wanted(shape, output, also=ENDINGS)
    days = [_day(text) for text in surveyed]
    widths = [typed("--accuracy", text, "length", zero=True) for text in accuracy]
    course, found = open_surveys(paths, surveyed=days, accuracy=widths, crs=crs)
    for _, drawing in found:
        spare_drawing(replace(course, drawing=drawing), output)
    compared = compare_surveys(course, found)
    for survey in compared.surveys:
        say_findings(survey.measured.findings)
    system = units or course.units
    if output is not None and shape.startswith("."):
        _write_file(compared, output, system)
    elif shape == "json":
        put(tables.json_text(drift_json(compared)), output)
    elif shape == "csv":
        put(tables.csv_text(drift_rows(compared)).rstrip("\n"), output)
    else:
        put(drift_text(compared, system).rstrip("\n"), output)


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise InputError(f"--surveyed {text}: is not a day; write year, month and day, such as 2019-03-14") from None


def _write_file(compared: "Comparison", output: Path, system: str) -> None:
    from turfgis.reports.drift_layers import write_drift
    from turfgis.reports.drift_page import drift_map, drift_pdf
    from turfgis.reports.write import write_whole

    ending = output.suffix.lower()
    if ending == ".gpkg":
        content = partial(write_drift, compared)
    else:
        content = drift_pdf(compared, system) if ending == ".pdf" else drift_map(compared, system).encode("utf-8")
    write_whole(output.parent, {output.name: content})
    click.echo(f"wrote {output}", err=True)
