"""The year: the programme as a strip of months, what it costs, and where the money goes."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from turfgis.desk.files import file_answer
from turfgis.desk.frame import desk_of, look_of, nothing, page, table, units_of
from turfgis.desk.words import month, said
from turfgis.errors import SettingsError

ADD = (("/stores#job", "Add a job"),)
VIEWS = ("month", "group", "surface", "material", "resource", "cost-code", "job")


def show_year(request: Request) -> Response:
    """Programme and budget on one page."""
    from turfgis.reports.budget import BUDGET_NOTE, SPREAD_NOTE, budget_table, total_lines
    from turfgis.reports.columns import Column
    from turfgis.reports.committee import committee_page
    from turfgis.reports.outputs import course_facts
    from turfgis.reports.programme import programme_page
    from turfgis.reports.spray_files import with_broken_labels

    desk = desk_of(request)
    course, year, budget = desk.course, desk.year, desk.budget
    if year is None or budget is None:
        return nothing(request, title="The year", words="There are no jobs yet; the year begins with one.", links=ADD)
    units, language = units_of(request), look_of(request).language
    view = request.query_params.get("by", "month")
    view = view if view in VIEWS else "month"
    facts = course_facts(course, units)
    rows, columns, total = budget_table(budget, view)
    if view == "month":
        rows = [{**row, "name": month(row["name"], language)} for row in rows]
    programme = programme_page(year, facts, units)
    for row in programme["rows"]:
        row["on"] = _ground_said(row["on"], language)
    return page(
        request,
        "year.html",
        programme=programme,
        year=year.settings.year,
        chart=committee_page(budget, year, facts, units),
        view=view,
        views=VIEWS,
        budget=table(rows, columns, units, language, totals=[total], caption="Budget"),
        lines=table(
            [{"line": _line_said(name, language), "cost": cost} for name, cost in total_lines(budget)],
            [Column("line", "line"), Column("cost", "cost", "money")],
            units,
            language,
            totals=[{"line": "total", "cost": budget.total}],
            caption="How the total comes about",
        ),
        unpriced=budget.unpriced,
        remarks=with_broken_labels(budget, course, units).remarks,
        notes=(SPREAD_NOTE, BUDGET_NOTE),
    )


def _ground_said(words: str, language: str) -> str:
    """Surfaces and holes of a job: "green, tee, holes 1, 2"."""
    surfaces, _, holes = words.partition(", holes ")
    names = [said(one, language) for one in surfaces.split(", ")]
    return ", ".join([*names, *([said("holes {holes}", language, holes=holes)] if holes else [])])


def _line_said(words: str, language: str) -> str:
    """A line of the total; contingencies and taxes carry names of the club's own."""
    for kind in ("contingency", "tax"):
        if words.endswith(f" ({kind})"):
            return f"{words.removesuffix(f' ({kind})')} ({said(kind, language)})"
    return said(words, language)


def send_year(request: Request) -> Response:
    """Programme, take-off or budget as a file, as the commands write it."""
    from turfgis.reports import tables
    from turfgis.reports.outputs import budget_files, course_facts
    from turfgis.reports.programme import programme_pdf

    desk, units, name = desk_of(request), units_of(request), request.path_params["file"]
    course, year = desk.course, desk.year
    if year is None:
        raise SettingsError(f"{course.path.name}: there are no jobs yet; the year begins with the first [[job]]")

    def needs() -> list[dict[str, Any]]:
        return tables.plain_rows(year.table("month"))

    made: dict[str, Callable[[], Any]] = {
        "programme.pdf": lambda: programme_pdf(year, course_facts(course, units), units),
        "takeoff.csv": lambda: tables.csv_text(needs()).encode("utf-8"),
        "takeoff.json": lambda: tables.json_text(needs()).encode("utf-8"),
    }
    if name not in made:
        files = desk.kept(("budget files", units), lambda one: budget_files(one, year, units))
        made |= {key: lambda key=key: files[key] for key in files}
    return file_answer(name, made.get(name))


ROUTES = (Route("/year", show_year), Route("/year/{file}", send_year))
