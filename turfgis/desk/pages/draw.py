"""The page for drawing, and what it asks for while it is open."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Any

from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse, RedirectResponse, Response
from starlette.routing import Route

from turfgis.desk.drawing import told_areas, told_drawing, told_findings, told_strips
from turfgis.desk.figures import left_said, measure_text, told_figures, told_orders
from turfgis.desk.frame import desk_of, look_of, page, units_of
from turfgis.desk.meanwhile import other_files
from turfgis.desk.paper import Paper, paper_on, shown_in
from turfgis.desk.strokes import asked, outcome, place_asked, read_stroke
from turfgis.desk.words import said, words_of
from turfgis.errors import InputError

if TYPE_CHECKING:
    from turfgis.desk.opened import Desk
    from turfgis.estimates.course import Course
    from turfgis.measure.as_drawn import AsDrawn
    from turfgis.measure.strokes import Outcome
    from turfgis.measure.tentative import Attempts

MOST_LOOKED_AT = 5000
REACHES_M = (0.2, 0.5, 1.0, 2.0)
KEYS = (
    ("C", "choose an area, or corners of it"),
    ("N", "draw a new area"),
    ("W", "move the chosen area as a whole"),
    ("P", "part the chosen area by a line"),
    ("O", "cut something out of the chosen area"),
    ("B", "make a strip along the edge of the chosen area"),
    ("F", "trace from the photo"),
    ("M", "merge the chosen areas"),
    ("Del", "delete the chosen corner, or else the chosen areas"),
    (", .", "the corner before, and the one after"),
    ("I", "a new corner halfway to the next"),
    ("arrow keys", "move the chosen corner, or area, by 0.1 m; with Shift by 1 m; else the map"),
    ("space", "set a corner, or choose, in the middle of the map"),
    ("Enter", "close and keep what is being drawn"),
    ("Backspace", "take the last corner back"),
    ("Esc", "leave what is being drawn"),
    ("Ctrl+Z", "undo; with Shift redo"),
)


def show_draw(request: Request) -> Response:
    """The page; all that is on it comes in a moment later."""
    if desk_of(request).is_empty:
        return RedirectResponse("/start", status_code=303)
    desk, language = desk_of(request), look_of(request).language
    drawn = paper_on(desk).drawn
    return page(
        request,
        "draw.html",
        words=words_of(language),
        keys=[(said(key, language), said(text, language)) for key, text in KEYS],
        reaches=[
            (0, said("not at all", language)),
            *((one, measure_text(one, "length", units_of(request), language)) for one in REACHES_M),
        ],
        elsewhere=_not_written_to(drawn, language),
        drawable=any(map(drawn.editable, range(len(drawn.layers)))),
    )


def _not_written_to(drawn: AsDrawn, language: str) -> list[dict[str, Any]]:
    """Files with layers that are not written to: which, why, and whether they can be copied into a GeoPackage."""
    from turfgis.estimates.adopting import HOME
    from turfgis.measure.as_drawn import WHY_NOT

    found: dict[str, dict[str, Any]] = {}
    for at, layer in enumerate(drawn.layers):
        if why := drawn.why_not(at):
            file = found.setdefault(layer.drawn.file, {"file": layer.drawn.file, "layers": [], "whys": {}})
            file["layers"].append(layer.drawn.layer)
            file["whys"][said(WHY_NOT[why], language)] = None
            file["copied"] = layer.note.file != HOME
    return list(found.values())


def tell_drawing(request: Request) -> Response:
    """All areas, labels and looks."""
    desk = desk_of(request)
    paper = paper_on(desk)
    with desk.lock:
        told = told_drawing(paper.course_now(), paper.drawn)
        answer = JSONResponse({**told, **paper.can(), "version": paper.version(), "files": other_files(paper)})
    desk.drawing_told.set()
    return answer


def tell_strips(request: Request) -> Response:
    """The strips that the settings make along the edges of areas as they are drawn now."""
    desk = desk_of(request)
    paper = paper_on(desk)
    with desk.lock:
        units, language = shown_in(request, paper)
        return JSONResponse(told_strips(paper.course_now(), paper.drawn, units, language))


def tell_findings(request: Request) -> Response:
    """What there is to say about the drawing, each with its place and its mend."""
    desk, language = desk_of(request), look_of(request).language
    drawn = paper_on(desk).drawn
    told = desk.kept(("told findings", language), lambda course: told_findings(course, drawn, _found(course), language))
    return JSONResponse(told)


def _found(course: Course) -> list:
    from turfgis.layers.findings import errors_first
    from turfgis.measure.overlaps import measure_overlaps, overlap_findings

    return errors_first([*course.measured.findings, *overlap_findings(measure_overlaps(course.measured))])


def tell_grounds(request: Request) -> Response:
    """What can lie beneath the areas: pictures with their addresses and corners."""
    return JSONResponse({"grounds": [_told_ground(*one) for one in _grounds(desk_of(request), units_of(request))]})


def _told_ground(name: str, under: Any) -> dict[str, Any]:
    return {
        "name": name,
        "label": under.label,
        "credit": under.credit,
        "images": [
            {"src": f"/ground/{name}/{at}", "bounds": [[south, west], [north, east]]}
            for at, ((west, south, east, north), _, _) in enumerate(under.images)
        ],
    }


def _grounds(desk: Desk, units: str) -> list[tuple[str, Any]]:
    """Photo and relief, as far as the course has them."""
    from turfgis.reports.outputs import photo_under
    from turfgis.reports.relief_map import relief_picture, relief_underlay

    def made(course: Course) -> list[tuple[str, Any]]:
        found = [("photo", photo_under(course, units))] if course.photo and course.photo.pictures else []
        relief = relief_picture(course, units)
        return [*found, *([("relief", relief_underlay(relief))] if relief else [])]

    return desk.kept(("grounds", units), made)


def show_picture(request: Request) -> Response:
    """One picture of what lies beneath."""
    name, at = request.path_params["name"], request.path_params["at"]
    under = dict(_grounds(desk_of(request), units_of(request))).get(name)
    if under is None or at >= len(under.images):
        raise HTTPException(404, "there is no such picture")
    _, content, kind = under.images[at]
    return Response(content, media_type=kind)


async def find_place(request: Request) -> Response:
    """A place so far east and north of another, or typed as longitude and latitude."""
    given = await asked(request)
    return JSONResponse({"at": place_asked(given, paper_on(desk_of(request)).drawn, units_of(request))})


async def preview(request: Request) -> Response:
    """What a stroke would change: figures of the areas in hand and how they would look."""
    given = await asked(request)
    return JSONResponse(await run_in_threadpool(_preview, request, given))


def _preview(request: Request, given: dict[str, Any]) -> dict[str, Any]:
    if "look" in given:
        desk, keys = desk_of(request), _keys_of(given["look"])
        with desk.lock:
            paper = paper_on(desk)
            tentative = paper.attempts.look(keys)
        return told_figures(tentative, *shown_in(request, paper))
    paper, attempts, made = _tried(request, given)
    areas = [area for area in made.changed.values() if area is not None]
    units, language = shown_in(request, paper)
    figures = told_figures(attempts.figures(made.changed, made.in_hand), units, language)
    return {
        **figures,
        "findings": [*filter(None, [left_said(made, language)]), *figures["findings"]],
        "areas": told_areas(attempts.drawn, areas),
        "gone": [key for key, area in made.changed.items() if area is None],
    }


def _keys_of(given: Any) -> list[str]:
    if not isinstance(given, list) or len(given) > MOST_LOOKED_AT or not all(isinstance(key, str) for key in given):
        raise InputError(f"'look' is a list of up to {MOST_LOOKED_AT:,} areas")
    return given


async def preview_order(request: Request) -> Response:
    """What a stroke would do to the next order and to those of the year; or what the latest change has done to them."""
    given = await asked(request)
    return JSONResponse(await run_in_threadpool(_preview_order, request, given))


def _preview_order(request: Request, given: dict[str, Any]) -> dict[str, Any]:
    if given.get("saved") is True:
        desk = desk_of(request)
        with desk.lock:
            paper = paper_on(desk)
            now = paper.course_now()
            was = paper.before or now
    else:
        paper, attempts, made = _tried(request, given)
        was = paper.course_now()
        now = was.with_measured(attempts.whole(made.changed))
    return told_orders(was, now, *shown_in(request, paper), date.today())


def _tried(request: Request, given: dict[str, Any]) -> tuple[Paper, Attempts, Outcome]:
    """The drawing as it is, and what a stroke would make of it."""
    desk = desk_of(request)
    stroke = read_stroke(given.get("stroke"))
    with desk.lock:
        paper = paper_on(desk)
        units, _ = shown_in(request, paper)
        return paper, paper.attempts, outcome(stroke, paper.drawn, paper.course.drawing.order, units)


ROUTES = (
    Route("/draw", show_draw),
    Route("/api/drawing", tell_drawing),
    Route("/api/strips", tell_strips),
    Route("/api/findings", tell_findings),
    Route("/api/grounds", tell_grounds),
    Route("/ground/{name:str}/{at:int}", show_picture),
    Route("/api/place", find_place, methods=["POST"]),
    Route("/api/preview", preview, methods=["POST"]),
    Route("/api/preview/order", preview_order, methods=["POST"]),
)
