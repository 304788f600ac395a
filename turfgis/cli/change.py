"""``turfgis change``."""

from pathlib import Path

import click

from turfgis.cli.options import format_options, put, say_findings, shape_wanted, spare_drawing
from turfgis.cli.surveys import compare_areas, survey_options


@click.command(name="change")
@click.argument("old", type=click.Path(path_type=Path))
@click.argument("new", type=click.Path(path_type=Path), required=False)
@click.argument("more", type=click.Path(path_type=Path), nargs=-1)
@click.option(
    "--set",
    "changes",
    multiple=True,
    metavar="KEY=VALUE",
    help='What if: a key of the settings with another value, such as material.sand.price="48 EUR/t".',
)
@survey_options
@format_options
def command(
    old: Path,
    new: Path | None,
    more: tuple[Path, ...],
    changes: tuple[str, ...],
    areas: bool,
    shape: str | None,
    output: Path | None,
    **said,
) -> None:
    """
    Why the budget changed from OLD to NEW, or would with other settings; with --areas, what changed on the ground.

    OLD and NEW are course folders or settings files. The difference is split into area, rate, number of times, price,
    new and dropped jobs, and lines such as stock, packs, delivery and taxes; all parts add up to the last cent. With
    --set (repeatable) the change is tried on NEW, or on OLD where there is no NEW; no file is altered.

    With --areas, OLD, NEW and MORE are surveys, the oldest first: course folders, settings files or vector files, or
    one course whose settings hold a layer of an earlier survey (role = "earlier"). Each patch is matched with what it
    was, and a change is called one only beyond the plus-minus of both surveys. With -o the ending .gpkg, .html or
    .pdf writes layers for any GIS, a map or a sheet.
    """
    if areas:
        if changes:
            raise click.UsageError("--set belongs to the budget; leave it or --areas out.")
        compare_areas([path for path in (old, new, *more) if path], shape=shape, output=output, **said)
        return
    if more or any(said.values()):
        raise click.UsageError("MORE, --surveyed, --accuracy, --crs and --units go with --areas.")
    if new is None and not changes:
        raise click.UsageError("Name a second course, or what to change with --set.")

    from turfgis.estimates.change import estimate_change
    from turfgis.estimates.course import open_course
    from turfgis.reports import tables
    from turfgis.reports.change import change_json, change_rows, change_text
    from turfgis.settings.altered import altered_settings

    shape = shape_wanted(shape, output)
    before = open_course(old)
    after = before if new is None else open_course(new)
    for course in (before, after):
        course.needs_settings("why a budget changed needs jobs")
        spare_drawing(course, output)
    if changes:
        after = after.altered(altered_settings(after.path, changes))
    change = estimate_change(before, after)
    for course in (before, after) if new is not None else (after,):
        say_findings(course.measured.findings)
    if shape == "json":
        text = tables.json_text(change_json(change))
    elif shape == "csv":
        text = tables.csv_text(change_rows(change)).rstrip("\n")
    else:
        text = change_text(change).rstrip("\n")
    put(text, output)
