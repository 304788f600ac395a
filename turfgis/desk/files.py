"""Files that the desk hands out, and the places in the course folder it may touch."""

from __future__ import annotations

import re
import tempfile
from collections.abc import Callable
from pathlib import Path

from starlette.exceptions import HTTPException
from starlette.responses import Response

from turfgis.errors import InputError

KINDS = {
    ".pdf": "application/pdf",
    ".csv": "text/csv; charset=utf-8",
    ".json": "application/json",
    ".html": "text/html; charset=utf-8",
    ".txt": "text/plain; charset=utf-8",
    ".xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
    ".gpkg": "application/geopackage+sqlite3",
    ".zip": "application/zip",
    ".toml": "application/toml",
}
SHOWN = {".pdf"}  # opened in the browser; everything else is saved
_SHEET_POLICY = "default-src 'none'; object-src 'self'; frame-ancestors 'self'"


def file_answer(name: str, make: Callable[[], bytes] | None) -> Response:
    """
    A file to keep or to print.

    Parameters
    ----------
    name
        As it will be called.
    make
        Makes its content; None where there is no such file.
    """
    if make is None:
        raise HTTPException(404, f"the desk has no file '{name}' to give out")
    plain = re.sub(r"[^A-Za-z0-9._-]+", "_", name)
    ending = Path(plain).suffix
    how = "inline" if ending in SHOWN else "attachment"
    headers = {"content-disposition": f'{how}; filename="{plain}"'}
    if ending in SHOWN:
        headers["content-security-policy"] = _SHEET_POLICY
    return Response(make(), media_type=KINDS.get(ending, "application/octet-stream"), headers=headers)


def written(write: Callable[[Path], object]) -> bytes:
    """Content of a GeoPackage, from what writes it to a path."""
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "layers.gpkg"
        write(file)
        return file.read_bytes()


def inside(folder: Path, name: str) -> Path:
    """
    A file in the course folder.

    Parameters
    ----------
    folder
        The course folder.
    name
        As somebody asked for it.

    Raises
    ------
    InputError
        It would lie outside the folder, or has a name that some machine does not take.

    Examples
    --------
    >>> inside(Path("/course"), "greens.gpkg").name
    'greens.gpkg'
    >>> inside(Path("/course"), "../secret")
    Traceback (most recent call last):
    turfgis.errors.InputError: '../secret': a file of the course lies in its own folder; give its name alone
    """
    if not name or name != Path(name).name or "\\" in name or name.startswith("."):
        raise InputError(f"'{name}': a file of the course lies in its own folder; give its name alone")
    if re.search(r'[\x00-\x1f<>:"|?*]', name) or len(name.encode()) > 200:
        raise InputError(f"'{name}': not a name that every machine takes; use letters, digits, - and _")
    found = (folder / name).resolve()
    if found.parent != folder.resolve():
        raise InputError(f"'{name}': leads out of the course folder")
    return found
