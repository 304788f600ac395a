"""Saving strokes: each is a change with a version of its own, and so is taking one back."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from turfgis.desk.drawing import told_areas
from turfgis.desk.figures import left_said
from turfgis.desk.frame import desk_of, look_of
from turfgis.desk.meanwhile import difference_lines, missed_lines, other_files
from turfgis.desk.paper import forget, paper_on, shown_in
from turfgis.desk.strokes import asked, outcome, read_stroke, what_said
from turfgis.desk.words.sentences import told_in
from turfgis.errors import ChangedElsewhere, InputError

if TYPE_CHECKING:
    from turfgis.desk.paper import Paper, Saved

MOST_FILES = 100
MOST_WRITTEN = 1000


async def change(request: Request) -> Response:
    """Save a stroke."""
    given = await asked(request)
    return await run_in_threadpool(_answer, request, given, _stroke)


async def undo(request: Request) -> Response:
    """Take the latest change back."""
    given = await asked(request)
    return await run_in_threadpool(_answer, request, given, _undone)


async def redo(request: Request) -> Response:
    """Do again what was taken back."""
    given = await asked(request)
    return await run_in_threadpool(_answer, request, given, _redone)


async def copy_in(request: Request) -> Response:
    """Copy a file of the drawing into the GeoPackage of the course, so that its areas can be changed."""
    given = await asked(request)
    return JSONResponse(await run_in_threadpool(_copied, request, given.get("file")))


def _copied(request: Request, file: Any) -> dict[str, Any]:
    from turfgis.estimates.adopting import adopt

    desk = desk_of(request)
    with desk.lock:
        layers = paper_on(desk).drawn.layers
        wanted = [one.note.file for one in layers if file in (one.note.file, one.drawn.file)]
        if not wanted:
            raise InputError("there is no such file among the layers of the course; nothing was done")
        made = adopt(desk.folder / "course.toml", [wanted[0]])
        return {"copied": len(made)}


def _stroke(request: Request, paper: Paper, given: dict[str, Any], seen: Mapping[str, int]) -> Saved:
    stroke = read_stroke(given.get("stroke"))
    made = outcome(stroke, paper.drawn, paper.course.drawing.order, shown_in(request, paper)[0])
    what, remark = what_said(stroke, paper.drawn), left_said(made, shown_in(request, paper)[1])
    return replace(paper.save(made, desk_of(request).who, what, seen), remark=remark)


def _undone(request: Request, paper: Paper, _given: dict[str, Any], seen: Mapping[str, int]) -> Saved:
    who = desk_of(request).who
    return paper.again(lambda store, number: store.undo(who, number), seen)


def _redone(request: Request, paper: Paper, _given: dict[str, Any], seen: Mapping[str, int]) -> Saved:
    who = desk_of(request).who
    return paper.again(lambda store, number: store.redo(who, number), seen)


def _answer(
    request: Request, given: dict[str, Any], do: Callable[[Request, Paper, dict[str, Any], Mapping[str, int]], Saved]
) -> Response:
    """Do it while nobody else does, and tell what is different since the page last looked."""
    desk, seen = desk_of(request), seen_by(given)
    with desk.lock:
        paper = paper_on(desk)
        try:
            saved = do(request, paper, given, seen)
        except ChangedElsewhere as error:
            forget(desk)
            paper = paper_on(desk)
            words = told_in(str(error), look_of(request).language)
            lines = difference_lines(paper, error.differences, *shown_in(request, paper)) or [words]
            told = {"error": words, "clash": True, "changes": lines, "version": paper.version()}
            return JSONResponse(told, status_code=409)
        paper.stamp = desk.stamp
        missed = paper.missed(seen)
        told: dict[str, Any] = {"version": paper.version(), **paper.can(), "text": saved.remark}
        told["in_hand"] = [key for key in saved.in_hand if key in paper.drawn.areas]
        if missed is None:
            return JSONResponse({**told, "anew": True})
        there = [paper.drawn.areas[key] for key in sorted(missed) if key in paper.drawn.areas]
        told["areas"] = told_areas(paper.drawn, there)
        told["gone"] = [key for key in sorted(missed) if key not in paper.drawn.areas]
        return JSONResponse(told)


def tell_version(request: Request) -> Response:
    """
    Numbers of the latest changes, and when files without versions were written.

    An open page asks for it every few seconds: nothing is read anew as long as no file has changed.
    """
    desk = desk_of(request)
    with desk.lock:
        return JSONResponse(_version(paper_on(desk)))


def _version(paper: Paper) -> dict[str, Any]:
    return {"version": paper.version(), "files": other_files(paper)}


async def tell_missed(request: Request) -> Response:
    """What others did since a page last looked."""
    given = await asked(request)
    return JSONResponse(await run_in_threadpool(_missed, request, given))


def _missed(request: Request, given: dict[str, Any]) -> dict[str, Any]:
    desk, seen, files = desk_of(request), seen_by(given), given.get("files")
    if (
        not isinstance(files, dict)
        or len(files) > MOST_WRITTEN
        or not all(isinstance(one, str) for one in files.values())
    ):
        raise InputError("what was missed is asked for with the 'files' that the page knows")
    with desk.lock:
        paper = paper_on(desk)
        lines = missed_lines(paper, seen, files, *shown_in(request, paper))
        return {**_version(paper), "changes": lines}


def seen_by(given: dict[str, Any]) -> dict[str, int]:
    """
    Which changes a page has seen, by file.

    Raises
    ------
    InputError
        It does not say so.
    """
    seen = given.get("version")
    if not isinstance(seen, dict) or len(seen) > MOST_FILES:
        raise InputError("a change says in 'version' what the page has seen; nothing was done")
    if not all(isinstance(number, int) and not isinstance(number, bool) for number in seen.values()):
        raise InputError("a change says in 'version' what the page has seen; nothing was done")
    return seen


ROUTES = (
    Route("/api/adopt", copy_in, methods=["POST"]),
    Route("/api/change", change, methods=["POST"]),
    Route("/api/undo", undo, methods=["POST"]),
    Route("/api/redo", redo, methods=["POST"]),
    Route("/api/version", tell_version),
    Route("/api/missed", tell_missed, methods=["POST"]),
)
