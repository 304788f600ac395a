"""What was changed, when and by whom; and going back."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from turfgis.desk.figures import measure_text, signed_text
from turfgis.desk.frame import desk_of, page
from turfgis.desk.meanwhile import change_said
from turfgis.desk.paper import paper_on, shown_in
from turfgis.errors import InputError

if TYPE_CHECKING:
    from turfgis.desk.paper import Paper
    from turfgis.layers.history import Change
    from turfgis.layers.versions import Store

A_PAGE = 50


def show_versions(request: Request) -> Response:
    """The list, the latest first."""
    desk = desk_of(request)
    if desk.is_empty:
        return RedirectResponse("/start", status_code=303)
    paper = paper_on(desk)
    before = _number(request.query_params.get("before"), None)
    files = [_told_file(request, paper, file, store, before) for file, store in paper.stores.items()]
    return page(request, "versions.html", files=files)


def _told_file(request: Request, paper: Paper, file: str, store: Store, before: int | None) -> dict[str, Any]:
    changes = store.history(most=A_PAGE, before=before)
    rows = [_row(request, paper, one) for one in changes]
    more = changes[-1].number if changes and changes[-1].number > 1 else None
    return {"file": file, "rows": rows, "more": more, "latest": store.number}


def _row(request: Request, paper: Paper, one: Change) -> dict[str, Any]:
    units, language = shown_in(request, paper)

    def together(name: str) -> str:
        known = [getattr(version, name) for version in one.versions if getattr(version, name) is not None]
        return measure_text(sum(known), "area", units, language) if known else "–"

    return {
        "number": one.number,
        "at": f"{one.at[:10]} {one.at[11:16]}",
        "who": one.who,
        "what": change_said(one, language),
        "count": len(one.versions),
        "before": together("m2_before"),
        "after": together("m2_after"),
        "change": signed_text(one.gained_m2, "area", units, language),
    }


def ask_back(request: Request) -> Response:
    """What going back would do, before it is done."""
    paper = paper_on(desk_of(request))
    file, number = _wanted(paper, request.query_params.get)
    later = [one for one in paper.stores[file].history(most=10_000) if one.number > number]
    return page(
        request,
        "back.html",
        file=file,
        number=number,
        seen=paper.stores[file].number,
        rows=[_row(request, paper, one) for one in later[:A_PAGE]],
        count=len(later),
    )


async def go_back(request: Request) -> Response:
    """Bring everything back to what it was after a change."""
    form = await request.form()
    await run_in_threadpool(_back, request, {key: str(value) for key, value in form.items()})
    return RedirectResponse("/versions", status_code=303)


def _back(request: Request, form: dict[str, str]) -> None:
    desk = desk_of(request)
    with desk.lock:
        paper = paper_on(desk)
        file, number = _wanted(paper, form.get)
        seen = _number(form.get("seen"), paper.stores[file].number)
        paper.back(file, number, desk.who, seen)
        paper.stamp = desk.stamp


def _wanted(paper: Paper, said_in: Callable[[str], str | None]) -> tuple[str, int]:
    file, number = said_in("file") or "", _number(said_in("number"), -1)
    if file not in paper.stores or number is None or number < 0:
        raise InputError("there is no such version; go back to the list of versions")
    return file, number


def _number(text: str | None, otherwise: int | None) -> int | None:
    return int(text) if text and text.isdecimal() and len(text) < 10 else otherwise


ROUTES = (
    Route("/versions", show_versions),
    Route("/versions/back", ask_back),
    Route("/versions/back", go_back, methods=["POST"]),
)
