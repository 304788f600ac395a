"""The desk as an application: which address is which page, and what is said when something cannot be done."""

from __future__ import annotations

from http import HTTPStatus
from importlib.resources import files
from pathlib import Path
from typing import TYPE_CHECKING, Any

from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse, RedirectResponse, Response
from starlette.routing import Mount, Route
from starlette.staticfiles import StaticFiles

from turfgis.desk.frame import desk_of, look_of, page
from turfgis.desk.pages import (
    adding,
    areas,
    changes,
    day,
    draw,
    findings,
    learn,
    looks,
    orders,
    place_forms,
    places,
    proposals,
    start,
    stores,
    tanks,
    versions,
    water,
    whatif,
    year,
)
from turfgis.desk.words.sentences import told_in
from turfgis.errors import TurfgisError

if TYPE_CHECKING:
    from turfgis.desk.guard import Keys
    from turfgis.desk.opened import Desk

PARTS = (  # each holds the routes of one page
    start,
    areas,
    draw,
    changes,
    proposals,
    versions,
    stores,
    adding,
    orders,
    year,
    whatif,
    day,
    water,
    tanks,
    place_forms,  # before the files of the list, whose addresses look alike
    places,
    findings,
    learn,
    looks,
)


def desk_pages(desk: Desk, keys: Keys) -> Starlette:
    """
    All pages of the desk; who may see them is the guard's to say.

    Parameters
    ----------
    desk
        The course on it.
    keys
        For the token that pages send with a change.
    """
    from turfgis.reports.map_sealed import leaflet_folder

    routes = [route for part in PARTS for route in part.ROUTES]
    app = Starlette(
        routes=[
            *routes,
            Mount("/static", StaticFiles(directory=Path(str(files("turfgis.desk") / "static")))),
            Mount("/leaflet", StaticFiles(directory=leaflet_folder())),
            Route("/favicon.ico", lambda _request: Response(status_code=204)),
        ],
        exception_handlers={TurfgisError: _cannot, OSError: _no_file, HTTPException: _not_here},
    )
    app.state.desk, app.state.keys = desk, keys
    return app


def _cannot(request: Request, error: Any) -> Response:
    """Something the reader can mend; where nothing has been begun yet, the beginning."""
    desk = desk_of(request)
    if desk.is_empty and desk.folder.is_dir() and request.method == "GET" and not request.url.path.startswith("/api/"):
        return RedirectResponse("/start", HTTPStatus.SEE_OTHER)
    return _told(request, str(error), HTTPStatus.UNPROCESSABLE_ENTITY)


def _no_file(request: Request, error: Any) -> Response:
    return _told(request, f"{Path(error.filename or '').name}: {error.strerror or error}", HTTPStatus.CONFLICT)


def _not_here(request: Request, error: Any) -> Response:
    return _told(request, error.detail, error.status_code)


def _told(request: Request, words: str, status: int) -> Response:
    """The message in the shape in which it was asked for."""
    if request.url.path.startswith("/api/"):
        return JSONResponse({"error": told_in(words, look_of(request).language)}, status_code=status)
    again = str(request.url.replace(scheme="", netloc="")) if request.method == "GET" and status != 404 else ""
    return page(request, "message.html", status, message=words, again=again)
