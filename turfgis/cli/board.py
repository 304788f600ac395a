"""``turfgis board``."""

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from turfgis.cli.options import course_argument, say_findings
from turfgis.errors import InputError

if TYPE_CHECKING:
    from turfgis.estimates.course import Course
    from turfgis.settings.people import DayFile


@click.command(name="board")
@course_argument
@click.option("--date", "day", metavar="YYYY-MM-DD", required=True, help="The day that is planned.")
@click.option(
    "--day-file",
    type=click.Path(path_type=Path),
    help="What has been decided by hand. [default: board_YYYY-MM-DD.toml beside the settings, if there is one]",
)
@click.option(
    "--fix",
    "fixes",
    multiple=True,
    metavar="TASK=PERSON",
    help="Give a job to a person by hand; the rest is planned around it; may be repeated.",
)
@click.option("--also", multiple=True, metavar="JOB", help="A job of the month that is done this day; may be repeated.")
@click.option("--leave", multiple=True, metavar="JOB", help="A job that is left out this day; may be repeated.")
@click.option(
    "--effort",
    metavar="SECONDS",
    type=click.FloatRange(0.1, 600),
    default=5.0,
    show_default=True,
    help="How long to look for something better in each step, in seconds that are the same on every machine.",
)
@click.option("--format", "shape", type=click.Choice(["table", "csv", "json"]), default="table", show_default=True)
@click.option(
    "-o",
    "--output",
    type=click.Path(path_type=Path),
    metavar="FOLDER",
    help="Also write the board for the wall, a slip and a map for each person, and the plan as JSON.",
)
def command(
    course: Path,
    crs: str | None,
    swap_axes: bool,
    day: str,
    day_file: Path | None,
    fixes: tuple[str, ...],
    also: tuple[str, ...],
    leave: tuple[str, ...],
    effort: float,
    shape: str,
    output: Path | None,
) -> None:
    """
    The board of a day: who does what, with which machine, ahead of the first players.

    Tasks come from the programme and from the odd jobs that wait; people, machines and the first tee time from the
    settings. The same settings give the same board.
    """
    from turfgis.estimates.course import open_course
    from turfgis.estimates.day_plan import plan_day
    from turfgis.reports import tables
    from turfgis.reports.board import board_json, board_rows, board_text

    opened = open_course(course, crs=crs, swap_axes=swap_axes)
    wanted = _day(day)
    decided = _decided(opened, wanted, day_file, fixes, also, leave)
    plan = plan_day(opened, wanted, decided, effort=effort, tell=_tell)
    say_findings(opened.measured.findings)
    if shape == "json":
        text = tables.json_text(board_json(plan))
    elif shape == "csv":
        text = tables.csv_text(board_rows(plan)).rstrip("\n")
    else:
        text = board_text(plan)
    if output is not None:
        from turfgis.reports.board_files import board_files
        from turfgis.reports.write import write_whole

        for path in write_whole(output, board_files(opened, plan)):
            click.echo(f"wrote {path}", err=True)
    click.echo(text)


def _tell(words: str) -> None:
    click.echo(f"turfgis: {words}", err=True)


def _day(text: str) -> date:
    from turfgis.settings.values import read_day

    try:
        return read_day(text)
    except InputError as error:
        raise InputError(f"--date: {error}") from None


def _decided(
    opened: "Course",
    day: date,
    file: Path | None,
    fixes: tuple[str, ...],
    also: tuple[str, ...],
    leave: tuple[str, ...],
) -> "DayFile":
    """What the file of the day and the options say together."""
    from turfgis.settings.day_file import read_day_file
    from turfgis.settings.people import DayFile, Fixed

    beside = opened.path.parent / f"board_{day.isoformat()}.toml"
    found = file or (beside if beside.exists() else None)
    decided = read_day_file(found) if found else DayFile()
    fixed = []
    for text in fixes:
        task, sign, person = text.rpartition("=")
        if not sign or not task.strip() or not person.strip():
            raise InputError(f"--fix {text}: write it like --fix 'cut greens=deputy'")
        fixed.append(Fixed(task=task.strip(), person=person.strip()))
    more = {"fixed": [*decided.fixed, *fixed], "also": [*decided.also, *also], "leave": [*decided.leave, *leave]}
    return decided.model_copy(update=more)
