"""Options that several commands share, and how a result leaves the program."""

from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar

import click

Decorated = TypeVar("Decorated", bound=Callable[..., Any])

OUTPUTS = Path("outputs")


def course_argument(function: Decorated) -> Decorated:
    """COURSE, and what must be said of a file that does not say it."""
    function = click.option(
        "--swap-axes", is_flag=True, help="For a file whose coordinates come as latitude, longitude."
    )(function)
    function = click.option("--crs", metavar="EPSG:CODE", help="For a file that does not say its reference system.")(
        function
    )
    return click.argument("course", type=click.Path(path_type=Path))(function)


def units_option(function: Decorated) -> Decorated:
    """``--units``: how results are shown."""
    return click.option(
        "--units", type=click.Choice(["metric", "us"]), help="How results are shown. [default: as in the settings]"
    )(function)


def format_options(function: Decorated) -> Decorated:
    """``--format`` and ``-o``."""
    function = click.option("-o", "--output", type=click.Path(path_type=Path), help="Write to this file.")(function)
    return click.option(
        "--format", "shape", type=click.Choice(["table", "csv", "json"]), default="table", show_default=True
    )(function)


def folder_option(function: Decorated) -> Decorated:
    """``-o`` for commands that write files."""
    return click.option(
        "-o",
        "--output",
        type=click.Path(path_type=Path),
        default=OUTPUTS,
        show_default=True,
        help="Folder to write to.",
    )(function)


def put(text: str, output: Path | None) -> None:
    """Print a result, or write it whole to a file."""
    if output is None:
        click.echo(text)
        return
    from turfgis.reports.write import write_whole

    write_whole(output.parent, {output.name: (text + "\n").encode("utf-8")})
    click.echo(f"wrote {output}", err=True)


def say_findings(findings: Any) -> None:
    """Tell on the error stream how many findings there are, so that none goes unseen."""
    counts = {level: sum(finding.level == level for finding in findings) for level in ("error", "warning")}
    said = [f"{count} {level}{'s' if count > 1 else ''}" for level, count in counts.items() if count]
    if said:
        click.echo(f"turfgis: {' and '.join(said)} about the drawing; see 'turfgis check'", err=True)
