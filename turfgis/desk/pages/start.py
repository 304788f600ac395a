"""Beginning a course, or adding to one: files are dropped in, looked into, and what they mean is confirmed."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from starlette.datastructures import FormData, UploadFile
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from turfgis.desk.frame import desk_of, page
from turfgis.desk.uploads import take_in
from turfgis.errors import InputError, LayerError, TurfgisError
from turfgis.surfaces import SURFACES

if TYPE_CHECKING:
    from turfgis.layers.proposal import LinesProposal, NamingProposal

LEAVE_OUT, COLUMN = "leave out", "by column"
ROLES = ("hole_lines", "paths", "background")


def _looked(folder: Path, crs: Mapping[str, str], named: set[str]) -> dict[str, list[Any] | str]:
    """What each vector file of the folder that nothing names yet seems to hold, or why it cannot be used."""
    from turfgis.estimates.first_look import look_into
    from turfgis.layers.formats import KINDS

    found: dict[str, list[Any] | str] = {}
    for file in sorted(folder.iterdir()):
        if file.suffix.lower() not in (*KINDS, ".zip") or file.name.startswith(".") or file.name in named:
            continue
        try:
            found[file.name] = look_into(file, crs.get(file.name) or None)
        except (TurfgisError, OSError) as error:
            found[file.name] = str(error)
    return found


def _new_files(request: Request, crs: Mapping[str, str]) -> dict[str, list[Any] | str]:
    """Those that the settings do not name yet."""
    desk = desk_of(request)
    named = set() if desk.is_empty else {file.name for file in desk.course.sources}
    return _looked(desk.folder, crs, named)


def show_start(request: Request, problem: str = "", crs: Mapping[str, str] | None = None) -> Response:
    """A place to drop files, and what those that are there seem to hold."""
    desk = desk_of(request)
    found = _new_files(request, crs or {})
    return page(
        request,
        "start.html",
        422 if problem else 200,
        files=[
            {
                "file": file,
                "problem": layers if isinstance(layers, str) else "",
                "crs": (crs or {}).get(file, ""),
                "layers": [] if isinstance(layers, str) else [_described(file, layer) for layer in layers],
            }
            for file, layers in found.items()
        ],
        surfaces=list(SURFACES),
        roles=ROLES,
        leave_out=LEAVE_OUT,
        by_column=COLUMN,
        problem=problem,
        first=desk.is_empty,
        name=desk.folder.name.replace("_", " "),
    )


def _described(file: str, layer: NamingProposal | LinesProposal) -> dict[str, Any]:
    """One layer as the form shows it; its fields go by a short mark of file and layer."""
    from turfgis.layers.proposal import LinesProposal

    mark = hashlib.sha256(f"{file}\0{layer.layer}".encode()).hexdigest()[:12]
    if isinstance(layer, LinesProposal):
        return {
            "mark": mark,
            "layer": layer.layer,
            "count": layer.count,
            "what": layer.what,
            "openstreetmap": False,
            "column": "",
            "chosen": "hole_lines" if layer.hole_from else "background",
            "values": [],
            "without": 0,
            "hole_from": layer.hole_from or "",
            "name_from": "",
        }
    meaning = {value: layer.surfaces.get(value, _own(value)) for value in layer.counts}
    return {
        "mark": mark,
        "layer": layer.layer,
        "count": layer.areas,
        "what": "areas",
        "openstreetmap": layer.openstreetmap,
        "column": layer.surface_from or "",
        "chosen": COLUMN if layer.surface_from else layer.surface or "",
        "values": [(value, count, meaning[value]) for value, count in layer.counts.items()],
        "without": layer.without,
        "hole_from": layer.hole_from or "",
        "name_from": layer.name_from or "",
    }


def _own(value: str) -> str:
    from turfgis.layers.words import known_surface

    return known_surface(value, SURFACES) or ""


async def upload(request: Request) -> Response:
    """Take files in; they are looked into on the page that follows."""
    from starlette.concurrency import run_in_threadpool

    async with request.form(max_files=40, max_fields=10) as form:
        files: dict[str, bytes] = {}
        for one in form.getlist("files"):
            if isinstance(one, UploadFile) and one.filename:
                files[one.filename] = await one.read()
    try:
        await run_in_threadpool(take_in, desk_of(request).folder, files)
    except TurfgisError as error:
        return await run_in_threadpool(show_start, request, str(error))
    return RedirectResponse("/start", status_code=303)


async def confirm(request: Request) -> Response:
    """Write what was confirmed into the settings, and show what is found in the drawing."""
    from starlette.concurrency import run_in_threadpool

    async with request.form(max_files=0, max_fields=4000) as form:
        return await run_in_threadpool(_confirmed, request, form)


def _confirmed(request: Request, form: FormData) -> Response:
    from turfgis.estimates.first_look import rasters_beside
    from turfgis.reports.starter import layers_text, starter_text
    from turfgis.reports.write import write_whole

    desk = desk_of(request)
    given = {str(key).removeprefix("crs:"): str(value).strip() for key, value in form.items() if key.startswith("crs:")}
    if form.get("again"):
        return show_start(request, crs=given)
    chosen: dict[str, list[Any]] = {}
    try:
        for file, layers in _new_files(request, given).items():
            if isinstance(layers, str):
                continue
            kept = [one for layer in layers if (one := _chosen(file, layer, form)) is not None]
            if kept:
                chosen[file] = kept
        if not chosen:
            raise InputError("no layer was chosen; a course begins with at least one layer of areas")
    except (InputError, LayerError) as error:
        return show_start(request, str(error), given)
    texts = "".join(layers_text({file: layers}, given.get(file) or None) for file, layers in chosen.items())
    with desk.lock:
        if desk.is_empty:
            name = str(form.get("name", "")).strip() or desk.folder.name
            text = starter_text(name, {}, None, rasters_beside(desk.folder, []))
            head, mark, tail = text.partition("\n# --- Ground that nobody drew")
            text = head + texts + mark + tail
        else:
            text = desk.course.path.read_text(encoding="utf-8-sig").rstrip("\n") + "\n" + texts
        write_whole(desk.folder, {"course.toml": text.encode("utf-8")})
    return RedirectResponse("/findings", status_code=303)


def _chosen(file: str, layer: Any, form: FormData) -> Any:
    """The layer as it was confirmed; None where it is left out."""
    from turfgis.layers.proposal import LinesProposal

    told = _described(file, layer)
    choice = str(form.get(f"{told['mark']}:what", ""))
    if choice == LEAVE_OUT or not choice:
        return None
    if isinstance(layer, LinesProposal):
        return replace(layer, hole_from=layer.hole_from if choice == "hole_lines" else None)
    if choice == COLUMN:
        meant = {value: str(form.get(f"{told['mark']}:value:{value}", "")) for value in layer.counts}
        surfaces = {
            value: surface for value, surface in meant.items() if surface in SURFACES and surface != _own(value)
        }
        unknown = {value: layer.counts[value] for value, surface in meant.items() if surface not in SURFACES}
        return layer if layer.openstreetmap else replace(layer, surfaces=surfaces, unknown=unknown)
    if choice not in SURFACES:
        raise InputError(f"{file}, layer {layer.layer}: '{choice}' is no surface")
    return replace(layer, surface=choice, surface_from=None, surfaces={}, unknown={}, openstreetmap=False)


ROUTES = (
    Route("/start", show_start, methods=["GET"]),
    Route("/start/files", upload, methods=["POST"]),
    Route("/start/confirm", confirm, methods=["POST"]),
)
