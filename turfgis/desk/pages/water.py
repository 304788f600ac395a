"""The week's water: what each surface needs, what there is, where the limits stand, and the plan of a night."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Any

from markupsafe import Markup
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from turfgis.desk.files import file_answer
from turfgis.desk.frame import day_asked, desk_of, look_of, not_yet, nothing, page, table, units_of
from turfgis.desk.words.sentences import chart_said

if TYPE_CHECKING:
    from turfgis.estimates.night_plan import NightPlan

WRITE = """[water]
weather = "weather.csv"        # day by day: temperatures and rain, and what else the station gives

[water.surface.green]
coefficient = "85 %"           # your own figures in place of these
root_depth = "120 mm"
available_water = "12 %"
depletion = "40 %"
uniformity = "78 %"
"""


def _night(request: Request) -> NightPlan | None:
    """The night asked for, or the first of the week that is planned; None while it is being worked out."""
    from turfgis.estimates.night_plan import estimate_night
    from turfgis.reports.water import night_rows

    desk, asked = desk_of(request), request.query_params.get("night", "")
    if not asked:
        water = desk.course.water
        nights = night_rows(water) if water else []
        asked = nights[0]["date"] if nights else date.today().isoformat()
    day = day_asked(asked)
    return desk.soon(("night", day), lambda course: estimate_night(course, day, None))


def show_water(request: Request) -> Response:
    """The week, the limits with their charts, and what a millimetre less would give back."""
    from turfgis.reports.outputs import course_facts
    from turfgis.reports.water import week_tables
    from turfgis.reports.water_page import water_page

    desk = desk_of(request)
    course, units, language = desk.course, units_of(request), look_of(request).language
    water = desk.kept("water", lambda one: one.water)
    if water is None:
        return nothing(request, title="Water", words="Nothing says how the course is watered yet.", write=WRITE)
    told = water_page(water, course_facts(course, units), units)
    tables = [
        table(rows, columns, units, language, totals=totals, caption=title)
        for title, rows, columns, totals in week_tables(water, units)
    ]
    return page(
        request,
        "water.html",
        told=told,
        tables=tables,
        charts=[
            Markup(chart_said(one, language)) for one in told["charts"]
        ],  # drawn by ourselves, every word in them escaped
        findings=[f"{one.file}: {one.text}" for one in water.findings if one.level != "note"],
        has_heads=course.heads is not None,
    )


def show_night(request: Request) -> Response:
    """Stations by time, what goes short, and the tank by the hour."""
    from turfgis.estimates.heads import needed_cover
    from turfgis.reports.cautions import sheet_cautions
    from turfgis.reports.night import night_heading, night_tables, night_words

    if desk_of(request).course.heads is None:
        needed_cover(desk_of(request).course)  # says what is lacking
    plan = _night(request)
    if plan is None:
        return not_yet(request)
    units, language = units_of(request), look_of(request).language
    return page(
        request,
        "night.html",
        night=plan.day.isoformat(),
        heading=night_heading(plan),
        tables=[
            table(rows, columns, units, language, caption=title) for title, rows, columns in night_tables(plan, units)
        ],
        words=night_words(plan),
        cautions=sheet_cautions("night"),
    )


def show_heads(request: Request) -> Response:
    """How the heads cover each patch, and how evenly."""
    from turfgis.estimates.heads import cover_of, needed_cover
    from turfgis.reports.cautions import sheet_cautions
    from turfgis.reports.heads import COLUMNS, heads_rows, heads_words

    desk = desk_of(request)
    if desk.course.heads is None:
        needed_cover(desk.course)  # says what is lacking
    cover = desk.soon("cover", cover_of)
    if cover is None:
        return not_yet(request)
    made = table(heads_rows(cover), COLUMNS, units_of(request), look_of(request).language, caption="Heads")
    return page(request, "heads.html", heads=made, words=heads_words(cover), cautions=sheet_cautions("heads"))


def send_water(request: Request) -> Response:
    """The page for the pump house, the night, or the rows of both."""
    from turfgis.reports.night import night_json, night_pdf
    from turfgis.reports.outputs import course_facts
    from turfgis.reports.tables import csv_text, json_text
    from turfgis.reports.water import water_json, water_rows
    from turfgis.reports.water_page import water_pdf

    desk, units, name = desk_of(request), units_of(request), request.path_params["file"]
    course, made = desk.course, {}
    if name.startswith("night."):
        plan: Any = _night(request)
        if plan is None:
            return not_yet(request)
        made = {
            "night.pdf": lambda: night_pdf(plan, course_facts(course, units), units),
            "night.json": lambda: json_text(night_json(plan)).encode("utf-8"),
        }
    else:
        water: Any = desk.kept("water", lambda one: one.water)
        if water is not None:
            made = {
                "water.pdf": lambda: water_pdf(water, course_facts(course, units), units),
                "water.csv": lambda: csv_text(water_rows(water)).encode("utf-8"),
                "water.json": lambda: json_text(water_json(water)).encode("utf-8"),
            }
    return file_answer(name, made.get(name))


ROUTES = (
    Route("/water", show_water),
    Route("/water/night", show_night),
    Route("/water/heads", show_heads),
    Route("/water/{file}", send_water),
)
