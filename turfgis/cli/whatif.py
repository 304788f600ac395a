"""What-ifs of ``turfgis change``: keys with other values, jobs left out, ground let grow, and files of cases."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import wraps
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from turfgis.cli.options import put, say_findings, spare_drawing

if TYPE_CHECKING:
    from turfgis.estimates.cases import Case
    from turfgis.estimates.course import Course
    from turfgis.settings.altered import Alterations


@dataclass(frozen=True)
class WhatIf:
    """What is to be tried, as typed; false where that is nothing."""

    changes: tuple[str, ...]
    without: tuple[str, ...]
    let_grow: str | None
    of: tuple[str, ...]
    surface: str | None
    cases: Path | None

    def __bool__(self) -> bool:
        return bool(self.changes or self.without or self.let_grow or self.cases)

    @property
    def alterations(self) -> "Alterations":
        """What is to be altered, without the cases."""
        from turfgis.settings.altered import Alterations, LetGrow, read_assignment

        grown = ()
        if self.let_grow:
            file, layer = _file_and_layer(self.let_grow)
            grown = (LetGrow(file, layer, self.of or LetGrow.of, self.surface or LetGrow.surface),)
        return Alterations(tuple(map(read_assignment, self.changes)), self.without, grown)


def what_if_options(function: Callable[..., Any]) -> Callable[..., Any]:
    """Options for what-ifs, which reach the command as one ``what_if``."""

    @wraps(function)
    def command(*, changes, without, let_grow, of, surface, cases, **more):
        tried = WhatIf(changes, without, let_grow, of, surface, cases)
        if (of or surface) and not let_grow:
            raise click.UsageError("--of and --as say more about --let-grow; name its file.")
        if cases and (changes or without or let_grow):
            raise click.UsageError("--cases holds all that is to be changed; leave out the other what-ifs.")
        return function(what_if=tried, **more)

    options = [
        click.option(
            "--set",
            "changes",
            multiple=True,
            metavar="KEY=VALUE",
            help='What if: a key of the settings with another value, such as material.sand.price="48 EUR/t" or '
            'job."dress greens".depth="3 mm".',
        ),
        click.option("--without", multiple=True, metavar="JOB", help="What if: a job left out."),
        click.option("--let-grow", metavar="FILE[:LAYER]", help="What if: ground inside these areas let grow."),
        click.option("--of", multiple=True, metavar="SURFACE", help="With --let-grow: which ground. [default: rough]"),
        click.option(
            "--as",
            "surface",
            metavar="SURFACE",
            help="With --let-grow: what it becomes, with the jobs of that surface. [default: long-grass, with none]",
        ),
        click.option(
            "--cases", type=click.Path(path_type=Path), metavar="FILE", help="What-ifs side by side, from a TOML file."
        ),
    ]
    made: Callable[..., Any] = command
    for option in reversed(options):
        made = option(made)
    return made


def try_out(course: "Course", what_if: WhatIf) -> "Case | None":
    """What is typed, as one case; None where nothing is."""
    if not what_if:
        return None
    from turfgis.estimates.cases import estimate_cases

    (case,) = estimate_cases(course, {"what if": what_if.alterations})
    return case


def put_cases(course: "Course", file: Path, shape: str, units: str, output: Path | None) -> None:
    """Print or write the cases of a file, side by side."""
    from turfgis.estimates.cases import estimate_cases
    from turfgis.reports import tables
    from turfgis.reports.cases import case_rows, cases_json, cases_text, cases_workbook
    from turfgis.settings.cases import read_cases

    tried = estimate_cases(course, read_cases(file))
    for case in tried:
        spare_drawing(case.course, output)
    say_findings(course.measured.findings)
    if shape == ".xlsx" and output is not None:
        from turfgis.reports.outputs import course_facts
        from turfgis.reports.write import write_whole

        write_whole(output.parent, {output.name: cases_workbook(tried, course_facts(course, units), units)})
        click.echo(f"wrote {output}", err=True)
    elif shape == "json":
        put(tables.json_text(cases_json(tried)), output)
    elif shape == "csv":
        put(tables.csv_text(case_rows(tried)).rstrip("\n"), output)
    else:
        put(cases_text(tried, units).rstrip("\n"), output)


def _file_and_layer(text: str) -> tuple[Path, str | None]:
    """FILE, or FILE:LAYER; a file may have a colon in its name, or a drive before it."""
    file, _, layer = text.rpartition(":")
    if Path(text).exists() or len(file) < 2:
        return Path(text), None
    return Path(file), layer or None
