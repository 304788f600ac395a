"""What if: the year under other figures, side by side; no file is altered."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any
from urllib.parse import urlencode

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from turfgis.desk.files import file_answer
from turfgis.desk.frame import desk_of, look_of, not_yet, nothing, page, units_of
from turfgis.desk.words import number, said
from turfgis.errors import InputError, SettingsError

if TYPE_CHECKING:
    from turfgis.estimates.cases import Case
    from turfgis.settings.altered import Alterations

CASES = ("A", "B", "C")
TABLES = ("job", "material", "labour", "machine", "fuel")
MOST_CHANGES = 40


def _asked(request: Request) -> list[tuple[str, str, str]]:
    """Case, key and value of each change in the address; a job that is left out has no value."""
    asked = request.query_params
    found = [_parts(text) for text in asked.getlist("set")]
    if asked.get("key") and asked.get("to", "").strip():
        found.append((asked.get("case", CASES[0]), asked["key"], asked["to"].strip()))
    if asked.get("leave"):
        found.append((asked.get("case", CASES[0]), asked["leave"], ""))
    if len(found) > MOST_CHANGES:
        raise InputError(f"{len(found)} changes at once; the desk takes {MOST_CHANGES}, a file of cases any number")
    for case, _, _ in found:
        if case not in CASES:
            raise InputError(f"'{case}' is no case; there are {', '.join(CASES)}")
    return list(dict.fromkeys(found))


def _parts(text: str) -> tuple[str, str, str]:
    parts = text.split("|", 2)
    if len(parts) != 3:
        raise InputError(f"'{text}' is no change; choose one on the page")
    return parts[0], parts[1], parts[2]


def _alterations(changes: list[tuple[str, str, str]]) -> dict[str, Alterations]:
    """What each case changes."""
    from turfgis.settings.altered import Alterations, read_assignment

    made = {}
    for case in CASES:
        mine = [(key, value) for name, key, value in changes if name == case]
        if mine:
            made[case] = Alterations(
                set=tuple(read_assignment(f"{key}={value}") for key, value in mine if value),
                without=tuple(key for key, value in mine if not value),
                told=f"case {case}",
            )
    return made


def _cases(request: Request, changes: list[tuple[str, str, str]]) -> tuple[Case, ...] | None:
    from turfgis.estimates.cases import estimate_cases

    cases = _alterations(changes)
    if not cases:
        return ()
    return desk_of(request).soon(("cases", tuple(changes)), lambda course: estimate_cases(course, cases))


def show_whatif(request: Request) -> Response:
    """The choice of what to change, and the cases beside the plan."""
    from turfgis.reports.cases import CASES_NOTE, case_cautions
    from turfgis.settings.as_written import read_written

    desk = desk_of(request)
    settings = desk.course.needs_settings("what-ifs need jobs and prices")
    if not settings.job:
        return nothing(
            request,
            title="What if",
            words="There are no jobs yet, so there is nothing to vary.",
            links=[("/stores#job", "Add a job")],
        )
    changes = _asked(request)
    cases, problem = (), ""
    try:
        cases = _cases(request, changes)
    except (SettingsError, InputError) as error:
        problem = str(error)
    if cases is None:
        return not_yet(request)
    written, language = read_written(desk.course.path, *TABLES), look_of(request).language
    return page(
        request,
        "whatif.html",
        written=[(table, name.replace("_", " "), entries) for (table, name), entries in written.items() if entries],
        jobs=[job.name for job in settings.job],
        cases=CASES,
        changes=[
            {"case": case, "key": _key_said(key, language), "value": value, "without": _address(changes, at)}
            for at, (case, key, value) in enumerate(changes)
        ],
        kept=[("set", "|".join(change)) for change in changes],
        problem=problem,
        tables=_tables(cases, units_of(request), look_of(request).language) if cases else [],
        heads=["as planned", *(case.name for case in cases)],
        remarks=[words for case in cases for words in case.remarks],
        cautions=case_cautions(cases) if cases else [],
        note=CASES_NOTE,
        query=urlencode([("set", "|".join(change)) for change in changes]),
    )


def _key_said(key: str, language: str) -> str:
    """A key in words: "dressing sand, price"; a job that is left out by its name."""
    from turfgis.settings.altered import read_assignment

    if "." not in key:
        return key
    table, *names = read_assignment(f"{key}=0").keys
    if table not in TABLES or not names:
        return key
    entry = ", ".join(name.replace("_", " ") for name in names[:-1]) or said(table, language)
    return f"{entry}, {said(names[-1].replace('_', ' '), language)}"


def _address(changes: list[tuple[str, str, str]], leave_out: int) -> str:
    kept = [("set", "|".join(change)) for at, change in enumerate(changes) if at != leave_out]
    return "/whatif?" + urlencode(kept)


def _tables(cases: tuple[Case, ...], units: str, language: str) -> list[dict[str, Any]]:
    """The lines of all cases, section by section, as text in the language."""
    from turfgis.reports.cases import SECTIONS, case_lines

    made: dict[str, dict[str, Any]] = {}
    for line in case_lines(cases, units):
        section = made.setdefault(line.section, {"title": SECTIONS[line.section], "unit": line.unit, "rows": []})
        cells = [
            {
                "text": number(value, line.decimals, language),
                "spread": number(spread, line.decimals, language) if spread else "",
            }
            for value, spread in zip(line.values, line.spreads, strict=True)
        ]
        section["rows"].append({"name": _named(line.name, language), "cells": cells})
    return list(made.values())


def _named(words: str, language: str) -> str:
    """What a line is about; "green, difference" in two."""
    what, comma, rest = words.partition(", ")
    if comma and rest == "difference":
        return f"{said(what, language)}, {said(rest, language)}"
    return said(words, language)


def send_whatif(request: Request) -> Response:
    """The cases side by side as a workbook or as data, or the file that ``turfgis change --cases`` reads."""
    from turfgis.reports.cases import case_rows, cases_json, cases_workbook
    from turfgis.reports.outputs import course_facts
    from turfgis.reports.tables import csv_text, json_text
    from turfgis.settings.cases import cases_text

    changes, units = _asked(request), units_of(request)
    cases = _cases(request, changes)
    if cases is None:
        return not_yet(request)
    if not cases:
        raise InputError("nothing has been changed yet; choose something on the page first")
    facts = course_facts(desk_of(request).course, units)
    made = {
        "cases.xlsx": lambda: cases_workbook(cases, facts, units),
        "cases.csv": lambda: csv_text(case_rows(cases)).encode("utf-8"),
        "cases.json": lambda: json_text(cases_json(cases)).encode("utf-8"),
        "cases.toml": lambda: cases_text(_alterations(changes)).encode("utf-8"),
    }
    name = request.path_params["file"]
    return file_answer(name, made.get(name))


ROUTES = (Route("/whatif", show_whatif), Route("/whatif/{file}", send_whatif))
