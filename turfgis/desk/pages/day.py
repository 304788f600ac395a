"""The board of a day: who does what, what is not done, and what would help."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from turfgis.desk.files import file_answer
from turfgis.desk.frame import day_asked, desk_of, look_of, not_yet, nothing, page, units_of
from turfgis.desk.words import day as day_said
from turfgis.desk.words.sentences import told_in
from turfgis.errors import SettingsError

if TYPE_CHECKING:
    from turfgis.estimates.day_plan import DayPlan
    from turfgis.settings.people import DayFile


ADD = (("/stores/new?table=person", "Add a person"), ("/stores#job", "Add a job"))


def _day(request: Request) -> date:
    """The day asked for; else today, or the first of May of the programme where its year is another."""
    asked = request.query_params.get("date", "")
    if asked:
        return day_asked(asked)
    today, year = date.today(), desk_of(request).course.needs_settings("a board needs people and jobs").year
    return today if year in (None, today.year) else date(year, 5, 1)


def _decided(request: Request, day: date) -> DayFile:
    """What the file of the day and the page say together."""
    from turfgis.settings.day_file import read_day_file
    from turfgis.settings.people import DayFile, Fixed

    beside = desk_of(request).folder / f"board_{day.isoformat()}.toml"
    found = read_day_file(beside) if beside.exists() else DayFile()
    asked = request.query_params
    fixed = [Fixed(task=task, person=person) for task, _, person in _pairs(asked.getlist("fix"))]
    more = {
        "fixed": [*found.fixed, *fixed],
        "also": [*found.also, *asked.getlist("also")],
        "leave": [*found.leave, *asked.getlist("leave")],
        "away": [*found.away, *asked.getlist("away")],
        "broken": [*found.broken, *asked.getlist("broken")],
    }
    return found.model_copy(update=more)


def _pairs(texts: list[str]) -> list[tuple[str, str, str]]:
    return [text.rpartition("=") for text in texts if "=" in text]


def _plan(request: Request) -> DayPlan | None:
    from turfgis.estimates.day_plan import plan_day

    desk, day = desk_of(request), _day(request)
    settings = desk.course.needs_settings("a board needs people and jobs")
    if not settings.person:
        raise SettingsError(f"{desk.course.path.name}: a board needs people: write a table [person.NAME] for each")
    decided = _decided(request, day)
    return desk.soon(("day", day, decided.model_dump_json()), lambda course: plan_day(course, day, decided))


def show_day(request: Request) -> Response:
    """The board, person by person."""
    from turfgis.reports.board import (
        board_cautions,
        clock,
        exposure_words,
        given_words,
        machine_words,
        mates,
        proof_words,
        shortfall_lines,
        what_and_where,
    )
    from turfgis.reports.facts import percent, plain_words

    settings = desk_of(request).course.needs_settings("a board needs people and jobs")
    if not settings.person:
        return nothing(request, title="The day", words="The board needs people, and jobs that are due.", links=ADD)
    plan = _plan(request)
    if plan is None:
        return not_yet(request)
    people = [
        {
            "name": plain_words(worker.name),
            "hours": ", ".join(f"{clock(start)}–{clock(end)}" for start, end in worker.spans),
            "share": percent(sum(one.end - one.start for one in plan.given.of(worker.name)) / worker.minutes),
            "tasks": [
                {
                    "time": f"{clock(one.start)}–{clock(one.end)}",
                    "what": told_in(what_and_where(one.task), look_of(request).language),
                    "machine": machine_words(one, plan),
                    "with": ", ".join(plain_words(name) for name in mates(one, plan)),
                    "by_hand": one.task.key in plan.due.day.fixed,
                    "late": bool(one.late),
                }
                for one in plan.given.of(worker.name)
            ],
        }
        for worker in plan.due.day.workers
    ]
    return page(
        request,
        "day.html",
        day=plan.day,
        people=people,
        given=f"{given_words(plan)}.",
        short=shortfall_lines(plan),
        proof=proof_words(plan),
        exposures=[(plain_words(one.person), exposure_words(one)) for one in plan.exposures],
        offers=[(one.job, day_said(one.due, look_of(request).language) if one.due else "") for one in plan.due.offers],
        jobs=sorted({one.task.job for one in plan.given.placed}),
        all_people=list(settings.person),
        machines=list(settings.machine),
        remarks=plan.due.remarks,
        cautions=board_cautions(plan),
        query=str(request.query_params) or f"date={plan.day.isoformat()}",
        asked=request.query_params.multi_items(),
    )


def send_day(request: Request) -> Response:
    """Wall board, slips or the plan as data."""
    from turfgis.reports.board import board_json, board_rows
    from turfgis.reports.board_pages import PAPERS, slips_pdf, wall_board_pdf
    from turfgis.reports.outputs import course_facts
    from turfgis.reports.tables import csv_text, json_text

    plan, units = _plan(request), units_of(request)
    if plan is None:
        return not_yet(request)
    facts = course_facts(desk_of(request).course, units)
    made = {
        "wall.pdf": lambda: wall_board_pdf(plan, facts, units, next(iter(PAPERS[units]))),
        "slips.pdf": lambda: slips_pdf(plan, facts, units),
        "board.csv": lambda: csv_text(board_rows(plan)).encode("utf-8"),
        "board.json": lambda: json_text(board_json(plan)).encode("utf-8"),
    }
    name = request.path_params["file"]
    return file_answer(f"board_{plan.day.isoformat()}_{name}", made.get(name))


ROUTES = (Route("/day", show_day), Route("/day/{file}", send_day))
