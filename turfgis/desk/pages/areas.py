"""The first page: a picture of the course, and the areas by surface, hole, part or patch."""

from __future__ import annotations

from datetime import date
from functools import partial
from typing import TYPE_CHECKING

from markupsafe import Markup
from starlette.requests import Request
from starlette.responses import HTMLResponse, RedirectResponse, Response
from starlette.routing import Route

from turfgis.desk.files import file_answer, written
from turfgis.desk.frame import desk_of, look_of, not_yet, page, table, units_of
from turfgis.desk.words import day, place, said

if TYPE_CHECKING:
    from turfgis.estimates.course import Course

BY = ("surface", "hole", "part", "patch")


def show_areas(request: Request) -> Response:
    """Areas as ``turfgis areas`` measures them."""
    from turfgis.reports.screen import AREA_COLUMNS
    from turfgis.reports.tables import SLOPES, TRUE, areas_rows, areas_totals

    desk = desk_of(request)
    if desk.is_empty:
        return RedirectResponse("/start", status_code=303)
    by = request.query_params.get("by", "surface")
    by = by if by in BY else "surface"
    course, units, language = desk.course, units_of(request), look_of(request).language
    patches = course.measured.with_covered(course.with_slopes(course.measured.patches))
    columns = list(AREA_COLUMNS[by])
    if TRUE in patches:
        columns = [*columns, TRUE, *SLOPES]
    *_, total = areas_totals(patches) or [{}]
    first = AREA_COLUMNS[by][0]
    return page(
        request,
        "areas.html",
        by=by,
        choices=BY,
        areas=table(
            areas_rows(patches, by, course.drawing.order),
            columns,
            units,
            language,
            totals=[{**total, first: "total", "cut_mm": None, "surveyed": None}],
            caption="Areas",
        ),
        note=course.accuracy_note(),
        surveyed=_surveyed(course, language),
        attribution=course.measured.attribution,
        picture=Markup(  # made by ourselves, every word in it escaped
            desk.kept(("picture", language), lambda one: drawn_course(one, language))
        ),
        findings=len([one for one in course.findings if one.level != "note"]),
    )


def drawn_course(course: Course, language: str) -> str:
    """The picture of the course, with its places as a language calls them."""
    from turfgis.reports.course_picture import course_picture

    called = partial(place, language=language)
    return course_picture(course.measured.patches, list(course.drawing.order), course.name, called)


def _surveyed(course: Course, language: str) -> str:
    """The first and the last day of survey."""
    days = [one if isinstance(one, str) else None for one in course.measured.patches["surveyed"].tolist()]
    known = sorted(date.fromisoformat(one) for one in set(days) if one)
    if not known:
        return said("not given", language)
    first, last = day(known[0], language), day(known[-1], language)
    words = first if first == last else said("{first} to {last}", language, first=first, last=last)
    return words if all(days) else words + said("; for some areas not given", language)


def show_map(request: Request) -> Response:
    """The map as ``turfgis map`` writes it; it carries a policy of its own, so none is laid over it."""
    from turfgis.reports.outputs import map_page, mowing_by_patch

    units = units_of(request)
    made = desk_of(request).soon(("map", units), lambda course: map_page(course, units, mowing_by_patch(course)))
    if made is None:
        return not_yet(request)
    return HTMLResponse(made, headers={"content-security-policy": "frame-ancestors 'self'"})


def send_areas(request: Request) -> Response:
    """Areas as a file, as ``turfgis areas`` writes it."""
    from turfgis.reports import tables
    from turfgis.reports.layers import write_patches
    from turfgis.reports.outputs import course_facts, every_finding, workbook
    from turfgis.reports.sheets import area_schedule_pdf

    desk, units = desk_of(request), units_of(request)
    course = desk.course
    patches = course.measured.with_covered(course.with_slopes(course.measured.patches))
    order = course.drawing.order

    made = {
        "area_schedule.pdf": lambda: area_schedule_pdf(patches, course_facts(course, units), units, order=order),
        "areas.csv": lambda: tables.csv_text(tables.areas_rows(patches, by="patch", order=order)).encode("utf-8"),
        "areas.json": lambda: tables.json_text(tables.areas_rows(patches, by="patch", order=order)).encode("utf-8"),
        "workbook.xlsx": lambda: workbook(course, units, None, [], None, desk.kept("findings", every_finding)),
        "patches.gpkg": lambda: written(partial(write_patches, course.measured, more=course.slopes)),
    }
    name = request.path_params["file"]
    return file_answer(name, made.get(name))


ROUTES = (Route("/", show_areas), Route("/map.html", show_map), Route("/areas/{file}", send_areas))
