"""``turfgis mowing``."""

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from turfgis.cli.options import (
    course_argument,
    format_options,
    put,
    say_findings,
    shape_wanted,
    spare_drawing,
    typed,
    typed_day,
    units_option,
)
from turfgis.errors import InputError, OutputError

if TYPE_CHECKING:
    from turfgis.estimates.course import Course
    from turfgis.estimates.times import Mower

# A pedestrian greens mower; common practice, no source.
SPEED, OVERLAP, EFFICIENCY, TURN = "4.5 km/h", "0.05 m", "70 %", "10 s"
# What is typed of machines that are tried, beside their widths: option, what it means, and what stands where it is
# left out.
TRIED = {
    "speed": ("SPEED", "Speed of the machines tried.", SPEED),
    "overlap": ("WIDTH", "Overlap of the machines tried.", OVERLAP),
    "turn": ("TIME", "Time of one turn of the machines tried.", TURN),
    "turn-radius": ("LENGTH", "Circle in which the machines tried turn, in place of a time.", ""),
    "efficiency": ("SHARE", "Field efficiency of the machines tried; times them by the handbook.", EFFICIENCY),
    "clean-up": ("ROUNDS", "Clean-up rounds of the machines tried.", "1"),
    "waiting": ("SHARE", "Share of the time that the machines tried wait for players.", "0 %"),
}


def tried_options(function: Callable) -> Callable:
    """The options of machines that are tried."""
    for name, (shown, words, default) in reversed(TRIED.items()):
        said = f"{words} [default: {default}]" if default else words
        function = click.option(f"--{name}", metavar=shown, help=said)(function)
    return function


@click.command(name="mowing")
@course_argument
@click.option("--by", type=click.Choice(["surface", "patch"]), default="surface", show_default=True)
@click.option(
    "--method",
    type=click.Choice(["shape", "handbook"]),
    help="Passes laid in the shapes, or area over field capacity. [default: what each machine gives figures for]",
)
@click.option("--machine", "named", multiple=True, metavar="NAME", help="Only this machine of the settings.")
@click.option(
    "--direction", metavar="DIRECTION", help="Direction of the passes: best, turned (mean of all), or degrees."
)
@click.option(
    "--width",
    "width",
    multiple=True,
    metavar="WIDTH",
    help="Try a machine of this width, such as '0.56 m'; may be repeated.",
)
@click.option(
    "--widths",
    metavar="WIDTHS",
    help="Try machines of these widths and say what the next one gains, such as 0.46,0.56,1.5 (m) or '22 in, 26 in'.",
)
@tried_options
@click.option(
    "--on",
    "surfaces",
    multiple=True,
    metavar="SURFACE",
    help="Surfaces that the machines tried cut; may be repeated. [default: all mown ones there are]",
)
@click.option(
    "--no-driving",
    is_flag=True,
    help="Leave out driving from the yard and between patches, set-up and filling up.",
)
@click.option(
    "--fit",
    "fit",
    multiple=True,
    type=click.Path(path_type=Path),
    metavar="RECORDS",
    help="Fit speed, turn and waiting to records of times (.csv or .xlsx) with the headings date, machine, patch, "
    "hole, surface, minutes or start and end of the hour meter, people, fuel, note; may be repeated.",
)
@click.option("--rota", "start", metavar="YYYY-MM-DD", help="Directions of cut from this day, in place of minutes.")
@click.option("--days", metavar="DAYS", type=click.IntRange(1, 366), help="Days of the rota. [default: 7]")
@click.option(
    "--directions",
    metavar="DIRECTIONS",
    type=click.IntRange(1, 180),
    help="How many directions take turns: none returns within so many days. [default: 4]",
)
@units_option
@format_options
def command(
    course: Path,
    crs: str | None,
    swap_axes: bool,
    by: str,
    method: str | None,
    named: tuple[str, ...],
    direction: str | None,
    width: tuple[str, ...],
    widths: str | None,
    surfaces: tuple[str, ...],
    no_driving: bool,
    fit: tuple[Path, ...],
    start: str | None,
    days: int | None,
    directions: int | None,
    units: str | None,
    shape: str | None,
    output: Path | None,
    **tried: str | None,
) -> None:
    """
    Minutes of mowing for one cut, by surface and machine.

    Passes are laid in the shapes, with a turn at the end of each, where a machine says how it turns; by the handbook
    otherwise: area over field capacity, and a clean-up pass around the edge. A round from the yard over the patches of
    each row and back is added. A first guess until the club's own meter hours are known.
    """
    from turfgis.estimates.course import open_course
    from turfgis.estimates.mowing import estimate_mowing, idle_remarks, mower_remarks, mowing_by_surface, with_gains
    from turfgis.reports import tables
    from turfgis.reports.mowing import mowing_text

    shape = shape_wanted(shape, output)
    if not (width or widths) and (surfaces or any(tried.values())):
        raise InputError(
            f"{', '.join(f'--{name}' for name in TRIED)} and --on are of the machines tried; "
            "give at least one --width too"
        )
    if named and (width or widths):
        raise InputError("--machine takes one of the settings, --width tries another; leave one of them out")
    listed = {text: typed("--width", text, "length") for text in width} | _widths(widths or "")
    if start is None and (days or directions):
        raise InputError("--days and --directions are of a rota; give the day it starts on with --rota")
    first = typed_day("--rota", start) if start else None
    way = _way(direction)
    figures = _figures(tried, method)
    opened = open_course(course, crs=crs, swap_axes=swap_axes)
    spare_drawing(opened, output)
    if fit:
        if listed or named:
            raise InputError("--fit goes by the machines of the records; leave out --width, --widths and --machine")
        put(_fitted(opened, fit, by, shape, output), output)
        return
    mowers = _mowers(opened, listed, figures, surfaces, named, way)
    if first:
        from turfgis.estimates.rota import DIRECTIONS, rota
        from turfgis.reports.mowing import rota_text

        rows = tables.plain_rows(rota(opened, mowers, first, days or 7, directions or DIRECTIONS))
        put(_written(rows, shape, lambda: rota_text(rows, units or opened.units)), output)
        return
    for text in (*idle_remarks(opened, mowers), *mower_remarks(mowers, method)):
        click.echo(f"turfgis: {text}", err=True)
    by_patch = estimate_mowing(opened, mowers, method)
    say_findings(opened.measured.findings)
    if not no_driving:
        from turfgis.estimates.rounds import carrier_of, with_driving

        by_patch, said = with_driving(opened, by_patch, {one.name: carrier_of(opened, one) for one in mowers})
        for text in said:
            click.echo(f"turfgis: {text}", err=True)
    rows = mowing_by_surface(by_patch) if by == "surface" else tables.plain_rows(by_patch)
    if widths:
        rows = with_gains(rows)
    put(_written(rows, shape, lambda: mowing_text(rows, units or opened.units)), output)


def _written(rows: list, shape: str, table: Callable[[], str]) -> str:
    """Rows in the shape that is wanted."""
    from turfgis.reports import tables

    if shape == "json":
        return tables.json_text(rows)
    return tables.csv_text(rows).rstrip("\n") if shape == "csv" else table()


def _fitted(opened: "Course", files: tuple[Path, ...], by: str, shape: str, output: Path | None) -> str:
    """What records say of the machines, in the shape that is asked for."""
    from turfgis.estimates.fitting import fit_machines
    from turfgis.layers.times import read_times
    from turfgis.reports import tables
    from turfgis.reports.fitting import figure_rows, fit_json, fit_text, patch_rows

    if output is not None and output.resolve() in {file.resolve() for file in files}:
        raise OutputError(f"{output} is what the records are read from; choose another name with -o")
    records, said = read_times(files)
    fits = fit_machines(opened, records)
    say_findings(opened.measured.findings)
    if shape == "json":
        return tables.json_text(fit_json(fits, said))
    if shape == "csv":
        for line in (*said, *(f"{fit.machine}: {text}" for fit in fits for text in fit.remarks)):
            click.echo(f"turfgis: {line}", err=True)
        return tables.csv_text(patch_rows(fits) if by == "patch" else figure_rows(fits)).rstrip("\n")
    return fit_text(fits, said, by)


def _widths(text: str) -> dict[str, float]:
    """Widths in a row; a bare number is metres, and where a comma stands in the numbers, a semicolon parts them."""
    pieces = [one.strip() for one in text.split(";" if ";" in text else ",")]
    if text and not all(pieces):
        raise InputError(f"--widths {text}: write widths with commas between them, such as 0.46,0.56,1.5")
    named = [f"{one} m" if one[-1].isdigit() else one for one in pieces if one]
    return {one: typed("--widths", one, "length") for one in named}


def _way(direction: str | None) -> Any:
    """Direction of the passes as typed, read as the settings read it."""
    if direction is None:
        return None
    from turfgis.settings.values import read_direction

    try:
        return read_direction(direction)
    except InputError as error:
        raise InputError(f"--direction: {error}") from None


def _figures(tried: dict[str, str | None], method: str | None) -> dict[str, Any]:
    """Figures of the machines tried, in SI; by the handbook where only their efficiency was typed."""
    typed_turn, radius, efficiency = tried["turn"], tried["turn_radius"], tried["efficiency"]
    if typed_turn and radius:
        raise InputError("--turn and --turn-radius are two ways to say one thing; leave one of them out")
    if method == "shape" or (method is None and not (efficiency and not typed_turn and not radius)):
        typed_turn = typed_turn or (None if radius else TURN)
    if method == "handbook" or (efficiency is None and typed_turn is None and radius is None):
        efficiency = efficiency or EFFICIENCY
    rounds = tried["clean_up"] or "1"
    if not rounds.isdecimal() or int(rounds) > 20:
        raise InputError(f"--clean-up {rounds}: write a whole number of rounds, 0 to 20")
    waiting = typed("--waiting", tried["waiting"] or "0 %", "share", zero=True)
    if waiting >= 1:
        raise InputError(f"--waiting {tried['waiting']}: leaves no time to work in")
    return {
        "speed": typed("--speed", tried["speed"] or SPEED, "speed"),
        "overlap": typed("--overlap", tried["overlap"] or OVERLAP, "length", zero=True),
        "turn": typed("--turn", typed_turn, "time", zero=True) if typed_turn else None,
        "turn_radius": typed("--turn-radius", radius, "length") if radius else None,
        "efficiency": typed("--efficiency", efficiency, "share") if efficiency else None,
        "clean_up": int(rounds),
        "waiting": waiting,
    }


def _mowers(
    opened: "Course",
    listed: dict[str, float],
    figures: dict[str, Any],
    surfaces: tuple[str, ...],
    named: tuple[str, ...],
    way: Any,
) -> "list[Mower]":
    """The machines of the settings, or those that are tried."""
    from dataclasses import replace

    from turfgis.estimates.mowing import mowers_of, mowers_tried

    mowers = mowers_tried(opened, listed, on=surfaces, **figures) if listed else mowers_of(opened, named)
    return mowers if way is None else [replace(one, direction=way) for one in mowers]
