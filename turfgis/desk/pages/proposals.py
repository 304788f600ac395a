"""Outlines to be looked at before they are kept: out of a walked track, or traced from the photo."""

from __future__ import annotations

import tempfile
from pathlib import Path, PurePosixPath
from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from turfgis.desk.frame import desk_of, look_of
from turfgis.desk.paper import paper_on, shown_in
from turfgis.desk.strokes import asked, place_given
from turfgis.desk.words import said
from turfgis.errors import InputError

WALKS = (".gpx", ".geojson", ".json")
MOST_BYTES = 20_000_000


async def propose_walk(request: Request) -> Response:
    """The outline of a walk out of a file that was sent."""
    suffix = PurePosixPath(request.query_params.get("name", "")).suffix.lower()
    if suffix not in WALKS:
        raise InputError(f"a walked track is read from {', '.join(WALKS)}, and this file is none of these")
    body = bytearray()
    async for piece in request.stream():
        body += piece
        if len(body) > MOST_BYTES:
            raise InputError(f"this file is longer than {MOST_BYTES / 1e6:g} MB; a walk of a day has a tenth of that")
    return JSONResponse(await run_in_threadpool(_walk, request, bytes(body), suffix))


def _walk(request: Request, content: bytes, suffix: str) -> dict[str, Any]:
    from turfgis.measure.proposed import outline_of, read_walk

    drawn = paper_on(desk_of(request)).drawn
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / f"walk{suffix}"
        file.write_bytes(content)
        area = read_walk(file, drawn.frame)
    points = outline_of(area, drawn.frame, drawn.to_degrees)
    drawn.to_frame(points)
    text = said(
        "A walk of {count} corners. Look at it, then keep it with Enter.", look_of(request).language, count=len(points)
    )
    return {"points": points.tolist(), "text": text}


async def propose_trace(request: Request) -> Response:
    """The outline of what is mown alike round a place on the photo."""
    given = await asked(request)
    return JSONResponse(await run_in_threadpool(_trace, request, given))


def _trace(request: Request, given: dict[str, Any]) -> dict[str, Any]:
    from turfgis.desk.figures import measure_text
    from turfgis.measure.proposed import outline_of
    from turfgis.measure.tracing import Place, trace
    from turfgis.reports.traced import TO_CHECK

    paper = paper_on(desk_of(request))
    photo = paper.course.settings.photo if paper.course.settings else None
    if photo is None:
        raise InputError("the settings name no photo to trace from")
    longitude, latitude = place_given(given.get("at"))
    paper.drawn.to_frame([(longitude, latitude)])
    units, language = shown_in(request, paper)
    (found,), frame = trace(Path(paper.course.drawing.folder) / photo.file, [Place(longitude, latitude)], photo.crs)
    if found.outline is None:
        raise InputError(found.reason)
    text = said(
        "Traced: {area} ± {spread}; {quality}. Check it on the ground, then keep it with Enter.",
        language,
        area=measure_text(found.area_m2, "area", units, language),
        spread=measure_text(found.plus_minus_m2, "area", units, language),
        quality=found.quality,
    )
    return {"points": outline_of(found.outline, frame).tolist(), "text": f"{text} {said(TO_CHECK, language)}"}


ROUTES = (
    Route("/api/walked", propose_walk, methods=["POST"]),
    Route("/api/trace", propose_trace, methods=["POST"]),
)
