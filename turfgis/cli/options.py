"""Options that several commands share, and how a result leaves the program."""

from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

from turfgis.errors import InputError, OutputError

if TYPE_CHECKING:
    from turfgis.estimates.course import Course
    from turfgis.estimates.takeoff import Takeoff

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


def last_option(function: Decorated) -> Decorated:
    """``--last``: what the year is compared with."""
    return click.option(
        "--last",
        type=click.Path(path_type=Path),
        metavar="COURSE",
        help="Last year's course folder or settings file, to say why it changed. [default: last in [budget]]",
    )(function)


def units_option(function: Decorated) -> Decorated:
    """``--units``: how results are shown."""
    return click.option(
        "--units", type=click.Choice(["metric", "us"]), help="How results are shown. [default: as in the settings]"
    )(function)


def format_options(function: Decorated) -> Decorated:
    """``--format`` and ``-o``."""
    function = click.option("-o", "--output", type=click.Path(path_type=Path), help="Write to this file.")(function)
    return click.option(
        "--format",
        "shape",
        type=click.Choice(["table", "csv", "json"]),
        help="[default: as the file of -o ends, else table]",
    )(function)


def photo_option(function: Decorated) -> Decorated:
    """``--no-photo``: a map without the photo of the settings."""
    return click.option("--no-photo", "photo", flag_value=False, default=True, help="Leave the photo out of the map.")(
        function
    )


# Endings of files that hold something other than the text a command prints.
OTHER_FILES = {
    ".xlsx",
    ".xls",
    ".ods",
    ".gpkg",
    ".geojson",
    ".shp",
    ".kml",
    ".html",
    ".htm",
    ".pdf",
    ".docx",
    ".toml",
    ".svg",
    ".png",
    ".parquet",
}


def shape_wanted(shape: str | None, output: Path | None, also: tuple[str, ...] = ()) -> str:
    """
    What is to be written: as ``--format`` says, or as the file ends.

    Parameters
    ----------
    shape, output
        As typed.
    also
        Endings that the command writes besides text.

    Returns
    -------
    ``table``, ``csv``, ``json``, or one of ``also``.

    Raises
    ------
    OutputError
        The two do not agree, or the command does not write such a file.
    """
    ending = output.suffix.lower() if output else ""
    if ending in OTHER_FILES and ending not in also:
        written = ", ".join([".txt", ".csv", ".json", *also])
        raise OutputError(f"-o {output}: this command does not write {ending} files; it writes {written}")
    by_ending = ending if ending in also else {".csv": "csv", ".json": "json"}.get(ending)
    if shape and by_ending and shape != by_ending:
        raise OutputError(f"--format {shape} and -o {output} do not agree; leave one of them out")
    return shape or by_ending or "table"


def typed(option: str, text: str, kind: str, zero: bool = False) -> float:
    """A figure typed behind an option, in SI; what is wrong with it names the option."""
    from turfgis.units import to_si

    try:
        number = to_si(text, kind)
    except InputError as error:
        raise InputError(f"{option}: {error}") from None
    if number < 0 or (number == 0 and not zero):
        raise InputError(f"{option} {text}: must be {'zero or more' if zero else 'above zero'}")
    if kind == "share" and number > 1:
        raise InputError(f"{option} {text}: is more than 100 %")
    return number


def typed_day(option: str, text: str) -> date:
    """A day typed behind an option; what is wrong with it names the option."""
    from turfgis.settings.values import read_day

    try:
        return read_day(text)
    except InputError as error:
        raise InputError(f"{option}: {error}") from None


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


def spare_drawing(opened: "Course", *files: Path | None) -> None:
    """Refuse to write over the settings, or over a file that the course is read from."""
    read = {source.resolve() for source in opened.sources}
    for file in files:
        if file is not None and file.resolve() in read:
            raise OutputError(f"{file} is what the course is read from; choose another name with -o")


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


def say_broken_limits(takeoff: "Takeoff", units: str) -> bool:
    """Tell on the error stream of every limit of the club that the plan breaks; whether there is one."""
    from turfgis.estimates.limits import check_limits
    from turfgis.reports.ledger import broken_text

    broken = broken_text(check_limits(takeoff), units)
    for line in broken:
        click.echo(f"turfgis: {line}", err=True)
    return bool(broken)


def say_refused_sprays(opened: "Course", group: str | None, units: str) -> None:
    """Tell on the error stream of every spray job that a label leaves no plan."""
    from turfgis.reports.spray import refusals
    from turfgis.reports.spray_files import spraying_of

    spraying = spraying_of(opened, group)
    for line in refusals(spraying, units) if spraying is not None else []:
        click.echo(f"turfgis: {line}", err=True)


def say_broken_labels(opened: "Course", units: str) -> list[str]:
    """Tell on the error stream of all that labels do not allow of the programme; what was told."""
    from turfgis.reports.spray_files import broken_labels

    said = broken_labels(opened, units)
    for line in said:
        click.echo(f"turfgis: {line}", err=True)
    return said
