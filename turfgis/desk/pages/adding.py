"""A job, a material or a machine anew: the figures that its kind must have, and behind them all others."""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial
from typing import TYPE_CHECKING, Any
from urllib.parse import urlencode

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from turfgis.desk.frame import desk_of, look_of, page
from turfgis.desk.words import said
from turfgis.errors import InputError

if TYPE_CHECKING:
    from turfgis.settings.forms import Asked

TITLES = {
    "material": "A new material",
    "machine": "A new machine",
    "job": "A new job",
    "person": "A new place in the team",
    "supplier": "A new supplier",
    "fuel": "A new fuel",
    "limit": "A new limit of the club",
}
HINTS = {  # of each sort of value
    "figure": "a number and its unit: {units}",
    "spread": "a number and its unit: {units}; how far it may be off can follow, such as ± 10 %",
    "figures": "one distance, or two with x between them, along and across: {units}",
    "number": "a number",
    "clock": "a time of day, such as 07:30",
    "day": "a day, such as 2027-03-14",
    "days": "days, such as 2027-03-14, 2027-09-20",
    "months": "months as numbers, such as 3, 9; twice in May: 5 = 2",
    "interval": "such as 10 days, 2 weeks or 1 month",
    "money": "an amount of money in {units}",
    "price": "a price for so much: {units}",
    "direction": "best, turned, or degrees from north",
    "list": "one or several, with commas between them",
    "shares": "by weight, such as N 12 %, K2O 8 %",
    "pairs": "name and figure, with commas between them",
}
LONGEST = 2000


def show_new(request: Request) -> Response:
    """The form of a kind, still empty."""
    return _form(request, *_kind(request.query_params), {}, [])


def _kind(asked: Mapping[str, Any]) -> tuple[str, str]:
    """Table and kind that are asked for."""
    from turfgis.settings.forms import MADE, kinds_of

    table, kind = str(asked.get("table", "")), str(asked.get("kind", ""))
    if table not in MADE or kind not in (kinds_of(table) or ("",)):
        raise InputError(f"'{' '.join([table, kind]).strip()}' is nothing that is added here; choose from the list")
    return table, kind


def _form(
    request: Request, table: str, kind: str, given: Mapping[str, str | list[str]], problems: list[tuple[str, str]]
) -> Response:
    from turfgis.settings.edited import fingerprint
    from turfgis.settings.forms import asked_of

    desk, language = desk_of(request), look_of(request).language
    settings = desk.course.needs_settings("figures need settings")
    with desk.lock:
        seen = fingerprint(desk.course.path.read_bytes().decode("utf-8-sig"))
    asked = asked_of(table, kind, settings)
    fields = {one.field for one in asked} | {"name"}
    described = [_described(one, given.get(one.field, ""), problems, language) for one in asked]
    return page(
        request,
        "adding.html",
        422 if problems else 200,
        title=TITLES[table],
        table=table,
        kind=kind,
        seen=seen,
        name=given.get("name", ""),
        wrong=[what for field, what in problems if field == "name"],
        whole=[what for field, what in problems if field not in fields],
        first=[one for one, key in zip(described, asked, strict=True) if key.first],
        more=[one for one, key in zip(described, asked, strict=True) if not key.first],
        one_of=any(one.first and not one.needed for one in asked),
    )


def _described(one: Asked, given: str | list[str], problems: list[tuple[str, str]], language: str) -> dict[str, Any]:
    """One key as the form shows it."""
    hint = HINTS.get("spread" if one.spread else one.sort, "")
    say = partial(said, language=language)
    above = f"{say(one.keys[0])}: " if one.keys[1:] else ""
    return {
        "field": one.field,
        "label": said("on which ground", language) if one.field == "on" else above + say(one.label),
        "needed": one.needed,
        "sort": one.sort,
        "choices": one.choices,
        "named": one.keys[0]
        in ("machine", "may", "season", "material", "sand", "seed"),  # what the club calls something
        "hint": say(hint, units=say(one.units)) if "{units}" in hint else say(hint) if hint else "",
        "given": given,
        "wrong": [what for field, what in problems if field == one.field],
    }


async def add(request: Request) -> Response:
    """Write the entry into the settings, behind the last of its kind."""
    from starlette.concurrency import run_in_threadpool

    async with request.form(max_files=0, max_fields=400) as form:
        return await run_in_threadpool(_added, request, form)


def _added(request: Request, form: FormData) -> Response:
    from turfgis.errors import ChangedElsewhere, SettingsError
    from turfgis.settings.edited import write_edited
    from turfgis.settings.entries import added_entry
    from turfgis.settings.forms import asked_of, entry_of, entry_problems, tag_of
    from turfgis.settings.read import read_toml

    desk, (table, kind) = desk_of(request), _kind(form)
    with desk.lock:
        settings, path = desk.course.needs_settings("figures need settings"), desk.course.path
        asked = asked_of(table, kind, settings)
        given = _given(form, asked)
        name = str(given["name"])
        entry = {**tag_of(table, kind), **entry_of(asked, given)}
        taken = name in ([job.name for job in settings.job] if table == "job" else getattr(settings, table))
        problems = [] if name and not taken else [("name", _no_name(table, name))]
        problems += entry_problems(read_toml(path)[1], table, name or "-", entry) if not taken else []
        if not problems:
            try:
                write_edited(path, lambda text: added_entry(text, table, name, entry), str(form.get("seen", "")))
            except (SettingsError, ChangedElsewhere) as error:
                problems = [("", str(error))]
    if problems:
        return _form(request, table, kind, given, problems)
    return RedirectResponse(f"/stores?{urlencode({'table': table, 'name': name})}#opened", status_code=303)


def _no_name(table: str, name: str) -> str:
    return (
        f"there is a {table} '{name}' already; give this one another name" if name else "is missing; it must be given"
    )


def _given(form: FormData, asked: list[Asked]) -> dict[str, str | list[str]]:
    """What was typed, by field."""
    given: dict[str, str | list[str]] = {"name": str(form.get("name", "")).strip()}
    for one in asked:
        texts = [str(text) for text in form.getlist(f"key:{one.field}")]
        if any(len(text) > LONGEST for text in texts):
            raise InputError(f"{one.label}: more than {LONGEST:,} signs are too long for a figure")
        given[one.field] = texts if one.sort == "choices" else "".join(texts[:1])
    return given


ROUTES = (Route("/stores/new", show_new, methods=["GET"]), Route("/stores/new", add, methods=["POST"]))
