"""Places by hand: a new one that needs watching, and a look at one that is there."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import TYPE_CHECKING, Any
from urllib.parse import urlencode

from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from turfgis.desk.frame import desk_of, look_of, page, units_of
from turfgis.desk.strokes import place_asked
from turfgis.desk.words import place as place_said
from turfgis.errors import ChangedElsewhere, InputError, OutputError, SettingsError

if TYPE_CHECKING:
    from turfgis.estimates.course import Course

NEW = ("id", "kind", "name", "seen", "look_again", "every", "urgency", "task", "size_m2", "note")
LOOK = ("seen", "note", "size_m2", "done", "look_again", "urgency", "task")
WHERE = ("patch", "east", "north", "at")
AREA, LENGTH = {"metric": "m2", "us": "ft2"}, {"metric": "m", "us": "ft"}
FAR_M = 1000.0  # a place further than this from all that was drawn is a slip of the pen; common practice, no source
LONGEST = 2000


def show_new(request: Request) -> Response:
    """The form of a new place, still empty but for its number and the day."""
    from turfgis.estimates.place_entries import next_name

    course = desk_of(request).course
    return _new_form(request, {"id": next_name(course), "seen": date.today().isoformat()}, [])


def _new_form(request: Request, given: Mapping[str, str], problems: list[tuple[str, str]]) -> Response:
    from turfgis.estimates.place_entries import place_home
    from turfgis.layers.place_words import KINDS
    from turfgis.settings.edited import fingerprint

    desk, units, language = desk_of(request), units_of(request), look_of(request).language
    with desk.lock:
        course = desk.course
        seen = fingerprint(course.path.read_bytes().decode("utf-8-sig"))
        home = place_home(course, given.get("kind", ""))
    patches = course.measured.patches
    groups: dict[str, list[tuple[str, str]]] = {}
    for patch, surface, hole in zip(patches["patch"], patches["surface"], patches["hole"], strict=True):
        groups.setdefault(surface, []).append((patch, f"{place_said(hole, surface, language)} ({patch})"))
    return page(
        request,
        "new_place.html",
        422 if problems else 200,
        given=given,
        wrong=_by_field(problems, (*NEW, *WHERE)),
        kinds=list(KINDS),
        groups=groups,
        seen=seen,
        file=home.file,
        begins=home.note is None,
        unit=AREA[units],
        length=LENGTH[units],
    )


def show_look(request: Request) -> Response:
    """The form of a look at a place."""
    return _look_form(request, request.query_params.get("place", ""), {"seen": date.today().isoformat()}, [])


def _look_form(request: Request, name: str, given: Mapping[str, str], problems: list[tuple[str, str]]) -> Response:
    from turfgis.estimates.place_entries import layer_of, place_state, visits_of, why_not_written
    from turfgis.measure.as_drawn import NO_GEOPACKAGE, WHY_NOT

    desk = desk_of(request)
    with desk.lock:
        course = desk.course
        seen, row, note = place_state(course, name), _row(course, name), layer_of(course, name)
        why, stopped = why_not_written(note), ""
        if not why:
            try:
                visits_of(course, note)
            except InputError as error:
                stopped = str(error)
    return page(
        request,
        "place_look.html",
        422 if problems else 200,
        place=name,
        row=row,
        given=given,
        wrong=_by_field(problems, LOOK),
        seen=seen,
        file=note.file,
        why=WHY_NOT[why] if why else "",
        copied=why == NO_GEOPACKAGE,
        stopped=stopped,
        unit=AREA[units_of(request)],
    )


def _row(course: Course, name: str) -> dict[str, Any]:
    """What the list says of a place."""
    table = course.places.table
    return table.loc[table["place"] == name].drop(columns="geometry").to_dict("records")[0]


def _by_field(problems: list[tuple[str, str]], known: tuple[str, ...]) -> dict[str, list[str]]:
    """What is wrong, by field; "" for what is wrong with the whole."""
    wrong: dict[str, list[str]] = {field: [] for field in ("", *known)}
    for field, what in problems:
        wrong[field if field in wrong else ""].append(what)
    return wrong


async def add(request: Request) -> Response:
    """Put the place into the layer of places."""
    from starlette.concurrency import run_in_threadpool

    async with request.form(max_files=0, max_fields=50) as form:
        return await run_in_threadpool(_added, request, _texts(form))


async def record(request: Request) -> Response:
    """Put the look into the table of visits."""
    from starlette.concurrency import run_in_threadpool

    async with request.form(max_files=0, max_fields=50) as form:
        return await run_in_threadpool(_recorded, request, _texts(form))


async def copy_in(request: Request) -> Response:
    """Copy a file of places into a GeoPackage, so that looks at them can be written down."""
    from starlette.concurrency import run_in_threadpool

    async with request.form(max_files=0, max_fields=5) as form:
        return await run_in_threadpool(_copied, request, _texts(form))


def _copied(request: Request, given: dict[str, str]) -> Response:
    from turfgis.estimates.place_adopting import adopt_places

    desk = desk_of(request)
    with desk.lock:
        adopt_places(desk.course.path, given.get("file", ""))
    return RedirectResponse("/places", status_code=303)


def _texts(form: Mapping[str, Any]) -> dict[str, str]:
    given = {str(key): str(value).strip() for key, value in form.items()}
    for key, text in given.items():
        if len(text) > LONGEST:
            raise InputError(f"{key}: more than {LONGEST:,} signs are too long")
    return given


def _added(request: Request, given: dict[str, str]) -> Response:
    from turfgis.estimates.place_entries import put_place

    desk, units = desk_of(request), units_of(request)
    with desk.lock:
        course = desk.course
        course.needs_settings("places are named in the settings")
        said, problems = _read(given, NEW, units)
        problems += [(field, "is missing; it must be given") for field in ("id", "kind") if not given.get(field)]
        if said.get("seen") and said.get("look_again") == said["seen"]:
            what = "is the day of the look itself, which would settle it; write a later day, or leave the look empty"
            problems.append(("look_again", what))
        at, wrong = _at(course, given, units)
        problems += wrong
        if at is not None and not problems:
            try:
                put_place(course, at, said, desk.who, given.get("seen_settings", ""))
            except InputError as error:
                problems = [("id" if "give this one another name" in str(error) else "", str(error))]
            except (ChangedElsewhere, SettingsError, OutputError) as error:
                problems = [("", str(error))]
    if problems:
        return _new_form(request, given, problems)
    return RedirectResponse(f"/places?{urlencode({'place': given['id']})}#history", status_code=303)


def _at(course: Course, given: Mapping[str, str], units: str) -> tuple[Any, list[tuple[str, str]]]:
    """Where the place lies in the frame, as it was typed or as the middle of a patch with a way from it. [m]"""
    from turfgis.measure.as_drawn import AsDrawn
    from turfgis.measure.place_points import away_m, patch_middle

    drawn = AsDrawn((), course.measured.frame)
    patch, typed = given.get("patch", ""), given.get("at", "")
    if bool(patch) == bool(typed):
        return None, [("patch", "choose a patch, or write longitude and latitude: one of the two")]
    if typed:
        try:
            at = drawn.to_frame([place_asked({"at": typed}, drawn, units)])[0]
        except InputError as error:
            return None, [("at", str(error))]
        away = away_m(course.measured, at)
        if away > FAR_M:
            what = f"lies {away:,.0f} m from all that was drawn; write longitude first, then latitude"
            return None, [("at", what)]
        return at, []
    try:
        start = drawn.to_degrees(patch_middle(course.measured, patch))[0].tolist()
    except InputError as error:
        return None, [("patch", str(error))]
    problems = []
    for field in ("east", "north"):
        try:
            place_asked({"from": start, "east": "0", "north": "0", field: given.get(field) or "0"}, drawn, units)
        except InputError as error:
            problems.append((field, str(error)))
    if problems:
        return None, problems
    step = {field: given.get(field) or "0" for field in ("east", "north")}
    return drawn.to_frame([place_asked({"from": start, **step}, drawn, units)])[0], []


def _recorded(request: Request, given: dict[str, str]) -> Response:
    from turfgis.estimates.place_entries import put_look

    desk, name = desk_of(request), given.get("place", "")
    with desk.lock:
        course = desk.course
        said, problems = _read(given, tuple(field for field in LOOK if field != "done"), units_of(request))
        if not given.get("seen"):
            problems.append(("seen", "is missing; it must be given"))
        if said.get("seen") and said.get("look_again") == said["seen"]:
            problems.append(("look_again", "is the day of the look itself, which would settle it; write a later day"))
        if given.get("done"):
            if said.get("task"):
                what = "is done in the same look; record what was done first, and the new task as a look of another day"
                problems.append(("task", what))
            elif said.get("seen"):
                said["done"] = said["seen"]
        if not problems and not said.keys() - {"seen"}:
            problems.append(("note", "nothing is said of the look; write what was seen"))
        if not problems:
            try:
                put_look(course, name, said, desk.who, given.get("seen_place", ""))
            except (ChangedElsewhere, InputError, SettingsError, OutputError) as error:
                problems = [("", str(error))]
    if problems:
        return _look_form(request, name, given, problems)
    return RedirectResponse(f"/places?{urlencode({'place': name})}#history", status_code=303)


def _read(given: Mapping[str, str], fields: tuple[str, ...], units: str) -> tuple[dict[str, Any], list]:
    """Fields as they are stored, and what cannot be read."""
    from turfgis.layers.drawing import LayerNote
    from turfgis.layers.places import field_reader

    said: dict[str, Any] = {}
    problems: list[tuple[str, str]] = []
    for field in fields:
        text = given.get(field, "")
        if not text:
            continue
        try:
            if field == "size_m2":
                text = _area_m2(text, units)
            value = field_reader(field, LayerNote(""))[1](text)
            said[field] = text if field == "every" else value
        except InputError as error:
            problems.append((field, str(error)))
    if said.get("seen") and said.get("look_again") and said["look_again"] < said["seen"]:
        problems.append(("look_again", f"lies before the look itself ({said['seen']}); write a later day"))
    return said, problems


def _area_m2(text: str, units: str) -> float:
    """A size as it was typed; without a unit it is in that of the page. [m2]"""
    from turfgis.units import read_number, to_si

    try:
        return to_si(f"{read_number(text):.17g} {AREA[units]}", "area")
    except InputError:
        return to_si(text, "area")


ROUTES = (
    Route("/places/new", show_new, methods=["GET"]),
    Route("/places/new", add, methods=["POST"]),
    Route("/places/look", show_look, methods=["GET"]),
    Route("/places/look", record, methods=["POST"]),
    Route("/places/copy", copy_in, methods=["POST"]),
)
