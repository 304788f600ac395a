"""``turfgis places``."""

from datetime import date
from functools import partial
from pathlib import Path

import click

from turfgis.cli.options import (
    course_argument,
    format_options,
    put,
    say_findings,
    shape_wanted,
    spare_drawing,
    typed_day,
    units_option,
)
from turfgis.errors import InputError, SettingsError


@click.command(name="places")
@course_argument
@click.option("--due", is_flag=True, help="Only what is due, and what has no date.")
@click.option("--date", "day", metavar="YYYY-MM-DD", help="The day that is asked for. [default: today]")
@click.option("--until", metavar="YYYY-MM-DD", help="What becomes due up to this day counts as well.")
@click.option("--kind", "kinds", multiple=True, metavar="KIND", help="Only this kind; may be repeated.")
@click.option("--history", metavar="ID", help="All looks at one place.")
@units_option
@format_options
def command(
    course: Path,
    crs: str | None,
    swap_axes: bool,
    due: bool,
    day: str | None,
    until: str | None,
    kinds: tuple[str, ...],
    history: str | None,
    units: str | None,
    shape: str | None,
    output: Path | None,
) -> None:
    """
    Places that need watching: trees, pests and diseases, weeds, wet spots, drains, damaged turf, hazards.

    They come from layers with role = "places" of points, lines or areas. What is overdue or due stands first, by
    urgency and day; what nothing gives a day to is listed as "no date". With -o the ending .pdf prints a page a week
    for the wall, .gpkg writes the places and their looks for any GIS.
    """
    from turfgis.estimates.course import open_course
    from turfgis.estimates.places import place_history, watched_places
    from turfgis.reports import tables
    from turfgis.reports.places import history_text, look_rows, place_rows, places_text

    shape = shape_wanted(shape, output, () if history else (".pdf", ".gpkg"))
    opened = open_course(course, crs=crs, swap_axes=swap_axes)
    spare_drawing(opened, output)
    if not opened.has_places:
        raise SettingsError(
            f'{opened.path.name}: no layer holds places; add a [[layer]] with file = "..." and role = "places"'
        )
    asked = typed_day("--date", day) if day else date.today()
    last = typed_day("--until", until) if until else None
    try:
        rows = watched_places(opened, asked, last, due=due and not history, kinds=() if history else _kinds(kinds))
    except InputError as error:
        raise InputError(f"--date, --until or --kind: {error}") from None
    say_findings([*opened.measured.findings, *opened.places.findings])
    system = units or opened.units
    if history:
        said = look_rows(place_history(opened, history))
        if shape == "table":
            (place,) = place_rows(rows[(rows["place"] == history).to_numpy()])
            put(history_text(said, place, system), output)
        else:
            put(tables.json_text(said) if shape == "json" else tables.csv_text(said).rstrip("\n"), output)
    elif output is not None and shape in (".pdf", ".gpkg"):
        from turfgis.reports.write import write_whole

        if shape == ".pdf":
            from turfgis.reports.outputs import course_facts
            from turfgis.reports.places_page import places_pdf

            content = places_pdf(place_rows(rows), course_facts(opened, system), system, first=asked)
        else:
            from turfgis.reports.place_layers import write_places

            content = partial(write_places, rows, opened.places.looks)
        write_whole(output.parent, {output.name: content})
        click.echo(f"wrote {output}", err=True)
    else:
        said = place_rows(rows)
        if shape == "table":
            put(places_text(said, asked, last, system), output)
        else:
            put(tables.json_text(said) if shape == "json" else tables.csv_text(said).rstrip("\n"), output)


def _kinds(words: tuple[str, ...]) -> list[str]:
    """Kinds as they are called here, however they were typed; what is none stays as it is, to be refused."""
    from turfgis.layers.place_words import read_kind

    return [read_kind(word) or word for word in words]
