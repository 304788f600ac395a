"""Whole tanks along the patches: what goes into each, what is kept off, and what labels leave."""

from __future__ import annotations

from typing import TYPE_CHECKING
from urllib.parse import quote

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from turfgis.desk.files import file_answer
from turfgis.desk.frame import desk_of, look_of, nothing, page, table, units_of
from turfgis.desk.words.sentences import told_in
from turfgis.errors import SettingsError

if TYPE_CHECKING:
    from turfgis.estimates.spraying import Spraying

ADD = "/stores/new?table=job&kind=spray"


def _spraying(request: Request, name: str) -> Spraying:
    from turfgis.estimates.spraying import estimate_spraying

    return desk_of(request).kept(("spraying", name), lambda course: estimate_spraying(course, None, (name,)))


def _names(request: Request) -> list[str]:
    settings = desk_of(request).course.settings
    return [job.name for job in settings.job if job.work == "spray"] if settings else []


def show_tanks(request: Request) -> Response:
    """One spray job; a plan that breaks a label is not shown, and what breaks it is."""
    from turfgis.reports.cautions import sheet_cautions
    from turfgis.reports.spray import fill_table, head_words, plan_words, refusals, stop_table

    names, units, language = _names(request), units_of(request), look_of(request).language
    if not names:
        return nothing(request, title="Tanks", words="No job sprays yet.", links=[(ADD, "Add a job")])
    name = request.query_params.get("job", names[0])
    if name not in names:
        raise SettingsError(f"there is no spray job '{name}' in the settings")
    spraying = _spraying(request, name)
    plans = []
    for plan in spraying.plans:
        stops, (rows, columns, total) = stop_table(plan), fill_table(plan)
        rows = [row | {"where": told_in(row["where"], language)} for row in rows]
        plans.append(
            {
                "head": head_words(plan, units),
                "stops": table(*stops[:2], units, language, totals=[stops[2]], caption="Patches in order")
                if plan.stops
                else None,
                "fills": table(rows, columns, units, language, totals=[total], caption="Tanks") if plan.fills else None,
                "words": [*plan.remarks, *plan_words(plan, units)],
            }
        )
    return page(
        request,
        "tanks.html",
        names=[(one, "/tanks?job=" + quote(one)) for one in names],
        name=name,
        plans=plans,
        refused=refusals(spraying, units),
        remarks=spraying.remarks,
        cautions=sheet_cautions("spray"),
        query="job=" + quote(name),
    )


def send_tanks(request: Request) -> Response:
    """The sheet for the certified operator, or the plan as rows and data; no sheet of a plan that breaks a label."""
    from turfgis.reports.outputs import course_facts
    from turfgis.reports.spray import refusals, spray_json, spray_rows
    from turfgis.reports.spray_sheet import spray_pdf
    from turfgis.reports.tables import csv_text, json_text

    names, units = _names(request), units_of(request)
    name = request.query_params.get("job", "")
    if name not in names:
        raise SettingsError(f"there is no spray job '{name}' in the settings")
    spraying, course = _spraying(request, name), desk_of(request).course
    wanted = request.path_params["file"]
    if wanted == "sheet.pdf" and not spraying.plans:
        raise SettingsError("\n".join(refusals(spraying, units)))
    made = {
        "sheet.pdf": lambda: spray_pdf(spraying.plans, spraying.ledger, course_facts(course, units), units),
        "tanks.csv": lambda: csv_text(spray_rows(spraying)).encode("utf-8"),
        "tanks.json": lambda: json_text(spray_json(spraying)).encode("utf-8"),
    }
    return file_answer(wanted, made.get(wanted))


ROUTES = (Route("/tanks", show_tanks), Route("/tanks/{file}", send_tanks))
