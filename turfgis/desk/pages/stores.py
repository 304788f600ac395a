"""Materials, machines, wages, suppliers and jobs: the figures of the settings, to read and to change."""

from __future__ import annotations

from collections.abc import Callable

from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from turfgis.desk.frame import desk_of, look_of, page
from turfgis.desk.words import said
from turfgis.errors import InputError
from turfgis.settings.as_written import Written, known_keys

TABLES = {
    "material": "Materials",
    "machine": "Machines",
    "job": "Jobs",
    "person": "People",
    "labour": "Wages",
    "supplier": "Suppliers",
    "fuel": "Fuel",
    "surface": "Heights of cut",
    "limit": "Limits of the club",
    "water": "Water",
    "water.surface": "Watered surfaces",
    "water.supply": "Tank, pump and window",
    "water.limit": "Limits of the water licence",
    "controller": "Controllers",
}
FIRST = (
    "price",
    "stock",
    "width",
    "depth",
    "rate",
    "cut",
    "most",
    "per",
    "lead",
    "wage",
    "tank",
)  # told before one is opened
LONGEST = 2000


def show_stores(request: Request, problem: str = "", opened: tuple[str, str] = ("", "")) -> Response:
    """All entries by kind; each opens into its figures."""
    from turfgis.reports.cautions import CAUTIONS
    from turfgis.reports.facts import plain_words
    from turfgis.settings.as_written import read_written
    from turfgis.settings.edited import fingerprint
    from turfgis.settings.forms import MADE, kinds_of

    desk, language = desk_of(request), look_of(request).language
    path, settings = desk.course.path, desk.course.needs_settings("figures need settings")
    with desk.lock:
        seen, written = fingerprint(path.read_bytes().decode("utf-8-sig")), read_written(path, *TABLES)
    asked = request.query_params
    opened = opened if any(opened) else (asked.get("table", ""), asked.get("name", ""))
    works = {("job", job.name): (said(job.work.replace("_", " "), language),) for job in settings.job}
    kinds = []
    for table, title in TABLES.items():
        entries = [
            {
                "name": name,
                "shown": said(name, language)
                if table in ("surface", "water.surface")
                else plain_words(name) or said(title, language),
                "brief": " · ".join([*works.get((table, name), ()), *_told(keys, language)]),
                "keys": keys,
                "more": sorted(known_keys(settings, table, name) - {one.keys[-1] for one in keys}),
                "open": (table, name) == opened,
            }
            for (kind, name), keys in written.items()
            if kind == table
        ]
        if entries or table in MADE:
            kinds.append((table, title, entries, kinds_of(table) if table in MADE else None))
    return page(
        request,
        "stores.html",
        422 if problem else 200,
        kinds=kinds,
        seen=seen,
        problem=problem,
        cautions={"water.limit": CAUTIONS["water_licence"]},
    )


def _told(keys: list[Written], language: str) -> list[str]:
    """What is told of an entry before it is opened."""
    return [f"{said(one.label, language)} {one.text}" for one in keys if one.keys[-1] in FIRST]


async def save(request: Request) -> Response:
    """Write the figures that were changed, with the comments of the file left as they are."""
    from starlette.concurrency import run_in_threadpool

    async with request.form(max_files=0, max_fields=200) as form:
        given = {str(key): str(value).strip() for key, value in form.items()}
    return await run_in_threadpool(_saved, request, given)


def _saved(request: Request, given: dict[str, str]) -> Response:
    from turfgis.errors import ChangedElsewhere, SettingsError
    from turfgis.settings.as_written import read_written
    from turfgis.settings.edited import write_edited

    desk, (table, name) = desk_of(request), (given.get("table", ""), given.get("name", ""))
    if table not in TABLES:
        raise InputError(f"'{table}' is no table of the settings that is changed here")
    with desk.lock:
        path = desk.course.path
        keys = read_written(path, table).get((table, name))
        if keys is None:
            raise InputError(f"there is no {table} '{name}' in the settings any more; open the page anew")
        try:
            edit = _edit(table, name, keys, given)
            if edit is not None:
                write_edited(path, edit, given.get("seen", ""))
        except (SettingsError, ChangedElsewhere) as error:
            return show_stores(request, str(error), (table, name))
    return RedirectResponse(f"/stores#{table}", status_code=303)


def _edit(table: str, name: str, keys: list[Written], given: dict[str, str]) -> Callable[[str], str] | None:
    """What is to be done with the text of the settings; None where nothing was changed."""
    from turfgis.settings.altered import read_assignment
    from turfgis.settings.edited import edited_text
    from turfgis.settings.entries import copied_entry, without_entry

    do = given.get("do", "save")
    if do == "copy":
        return lambda text: copied_entry(text, table, name, given.get("new", ""))
    if do == "remove":
        return lambda text: without_entry(text, table, name)
    changes = []
    for one in keys:
        text = given.get(f"key:{one.keys[-1]}", one.text)
        if len(text) > LONGEST:
            raise InputError(f"{one.label}: {len(text):,} signs are too long for a figure")
        if text and text != one.text:
            changes.append(one.changed_to(text))
    more, value = given.get("more", ""), given.get("value", "")
    if more and value:
        changes.append(
            read_assignment(f"{Written((*table.split('.'), *([name] if name else []), more), '').key}={value}")
        )
    return (lambda text: edited_text(text, changes)) if changes else None


ROUTES = (Route("/stores", show_stores, methods=["GET"]), Route("/stores/save", save, methods=["POST"]))
