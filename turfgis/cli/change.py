"""``turfgis change``."""

from datetime import datetime
from pathlib import Path

import click

from turfgis.cli.options import format_options, put, say_findings, shape_wanted, spare_drawing
from turfgis.cli.surveys import compare_areas, survey_options
from turfgis.cli.whatif import WhatIf, put_cases, try_out, what_if_options


@click.command(name="change")
@click.argument("old", type=click.Path(path_type=Path))
@click.argument("new", type=click.Path(path_type=Path), required=False)
@click.argument("more", type=click.Path(path_type=Path), nargs=-1)
@click.option(
    "--between",
    type=click.DateTime(["%Y-%m-%d"]),
    nargs=2,
    metavar="DAY DAY",
    help="What the ground of two days would cost: as surveyed by each, of a course with an earlier survey.",
)
@what_if_options
@survey_options
@format_options
def command(
    old: Path,
    new: Path | None,
    more: tuple[Path, ...],
    between: tuple[datetime, datetime] | None,
    what_if: WhatIf,
    areas: bool,
    units: str | None,
    shape: str | None,
    output: Path | None,
    **said,
) -> None:
    """
    Why the budget changed from OLD to NEW, or would with other settings; with --areas, what changed on the ground.

    OLD and NEW are course folders or settings files. The difference is split into area, rate, number of times, price,
    new and dropped jobs, and lines such as stock, packs, delivery and taxes; all parts add up to the last cent.

    With --between the difference is what new surveys of the ground make: the settings are those of today.

    What-ifs are tried on OLD, or on NEW where there is one; no file is altered. A file of --cases has a table
    [case.NAME] for each, with keys as in the settings, and may have without = ["a job"] and let_grow = "file". With -o
    the ending .xlsx writes them side by side as a workbook.

    With --areas, OLD, NEW and MORE are surveys, the oldest first: course folders, settings files or vector files, or
    one course whose settings hold a layer of an earlier survey (role = "earlier"). Each patch is matched with what it
    was, and a change is called one only beyond the plus-minus of both surveys. With -o the ending .gpkg, .html or
    .pdf writes layers for any GIS, a map or a sheet.
    """
    if areas:
        if what_if or between:
            raise click.UsageError("--between and what-ifs such as --set belong to the budget; leave --areas out.")
        surveys = [path for path in (old, new, *more) if path]
        compare_areas(surveys, units=units, shape=shape, output=output, **said)
        return
    if more or any(said.values()):
        raise click.UsageError("MORE, --surveyed, --accuracy and --crs go with --areas.")
    if what_if.cases and new is not None:
        raise click.UsageError("--cases holds what to change in one course; leave NEW out.")
    if between and (new is not None or what_if):
        raise click.UsageError("--between compares two days of one course; leave NEW and what-ifs out.")
    if new is None and not what_if and not between:
        raise click.UsageError(
            "Name a second course, two days with --between, or a what-if: --set, --without, --let-grow or --cases."
        )

    from turfgis.estimates.change import estimate_change
    from turfgis.estimates.course import open_course

    shape = shape_wanted(shape, output, (".xlsx",) if what_if.cases else ())
    before = open_course(old)
    after = before if new is None else open_course(new)
    for course in (before, after):
        course.needs_settings("why a budget changed needs jobs")
        spare_drawing(course, output)
    if what_if.cases:
        put_cases(before, what_if.cases, shape, units or before.units, output)
        return
    if between:
        from turfgis.estimates.dates import course_on

        before, after = (course_on(before, one.date()) for one in between)
    case = try_out(before, what_if) if new is None else None
    if case is None and what_if:
        from turfgis.estimates.cases import altered_course

        after = altered_course(after, what_if.alterations)
    after = case.course if case else after
    spare_drawing(after, output)
    change = case.change if case else estimate_change(before, after)
    for course in (before, after) if new is not None or between else (after,):
        say_findings(course.measured.findings)
    put(_told(change, case, shape, units or after.units), output)


def _told(change, case, shape: str, units: str) -> str:
    from turfgis.reports import tables
    from turfgis.reports.cases import case_json, case_text
    from turfgis.reports.change import change_json, change_rows, change_text

    if shape == "json":
        return tables.json_text({**(case_json(case) if case else {}), **change_json(change)})
    if shape == "csv":
        return tables.csv_text(change_rows(change)).rstrip("\n")
    return (change_text(change) + ("\n" + case_text(case, units) if case else "")).rstrip("\n")
