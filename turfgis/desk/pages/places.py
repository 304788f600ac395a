"""Places that need watching: what is due, where, and what was seen there before."""

from __future__ import annotations

from datetime import date, timedelta
from functools import partial
from typing import Any

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from turfgis.desk.files import file_answer, written
from turfgis.desk.frame import day_asked, desk_of, look_of, nothing, page, table, units_of
from turfgis.desk.words import place, said
from turfgis.desk.words.sentences import value_said
from turfgis.errors import InputError

ADD = (("/places/new", "Put in a place"),)


def _asked(request: Request) -> tuple[date, date, list[str]]:
    """The day, the last day and the kinds asked for: this week, and all kinds, where nothing is said."""
    asked = request.query_params
    day = day_asked(asked["date"]) if asked.get("date") else date.today()
    days = asked.get("days", "7")
    if not days.isdecimal() or len(days) > 3:
        raise InputError(f"'{days}' is no number of days")
    return day, day + timedelta(days=int(days)), [kind for kind in asked.getlist("kind") if kind]


def _where_said(words: str, row: dict[str, Any], language: str) -> str:
    """Where a place lies: a patch by its name, the ground of a hole as staff call it."""
    if words == f"{row['hole']} {row['surface']}":
        return place(row["hole"], row["surface"], language)
    if words.startswith("near "):
        return said("near {patch}", language, patch=words.removeprefix("near "))
    return said(words, language)


def show_places(request: Request) -> Response:
    """The list, what is due first; one place opens into its history."""
    from turfgis.estimates.places import place_history, watched_places
    from turfgis.reports.cautions import place_cautions
    from turfgis.reports.columns import Column, column
    from turfgis.reports.places import due_words, look_rows, place_rows, title_words, where_words

    desk = desk_of(request)
    course, units, language = desk.course, units_of(request), look_of(request).language
    if not course.has_places:
        return nothing(request, title="Places", words="No layer holds places that need watching yet.", links=ADD)
    day, last, kinds = _asked(request)
    every = place_rows(watched_places(course, day, last))
    rows = [row for row in every if not kinds or row["kind"] in kinds]
    told = [
        {
            **row,
            "title": said(row["kind"], language) + title_words(row).removeprefix(row["kind"]),
            "where": _where_said(where_words(row), row, language),
            "when": value_said(due_words(row), language),
            "urgency": "" if row["urgency"] is None else str(row["urgency"]),
            "what": row["task"] or "look",
        }
        for row in rows
    ]
    chosen = request.query_params.get("place", "")
    history: dict[str, Any] | None = None
    if chosen in {row["place"] for row in every}:
        looks = look_rows(place_history(course, chosen))
        history = table(
            looks,
            [
                Column("seen", "seen"),
                column("size_m2", "size"),
                Column("note", "note"),
                Column("task", "to do"),
                Column("done", "done"),
            ],
            units,
            language,
            caption="History",
        )
    columns = [Column("place", "place"), Column("title", "what"), Column("where", "where"), Column("when", "due")]
    columns += [Column("urgency", "urgency"), column("size_m2", "size"), Column("what", "to do")]
    return page(
        request,
        "places.html",
        day=day.isoformat(),
        days=(last - day).days,
        kinds=sorted({row["kind"] for row in every}),
        chosen_kinds=kinds,
        places=table(
            told, columns, units, language, links={"place": f"/places?date={day}&place={{}}#history"}, caption="Places"
        ),
        history=history,
        chosen=chosen,
        findings=[one.text for one in course.places.findings if one.level != "note"],
        cautions=place_cautions(rows),
        query=str(request.query_params),
    )


def send_places(request: Request) -> Response:
    """The page for the wall, the rows, or a layer for any GIS."""
    from turfgis.estimates.places import watched_places
    from turfgis.reports.outputs import course_facts
    from turfgis.reports.place_layers import write_places
    from turfgis.reports.places import place_rows
    from turfgis.reports.places_page import places_pdf
    from turfgis.reports.tables import csv_text, json_text

    course, units = desk_of(request).course, units_of(request)
    day, last, kinds = _asked(request)
    rows = watched_places(course, day, last, kinds=kinds)

    made = {
        "places.pdf": lambda: places_pdf(place_rows(rows), course_facts(course, units), units, first=day),
        "places.csv": lambda: csv_text(place_rows(rows)).encode("utf-8"),
        "places.json": lambda: json_text(place_rows(rows)).encode("utf-8"),
        "places.gpkg": lambda: written(partial(write_places, rows, course.places.looks)),
    }
    name = request.path_params["file"]
    return file_answer(name, made.get(name) if course.has_places else None)


ROUTES = (Route("/places", show_places), Route("/places/{file}", send_places))
