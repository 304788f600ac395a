"""
What a report wrote into a folder, so that the next one can take away what it no longer writes.

Only files that an earlier report of the same course wrote, and that are byte for byte as it left them, are ever taken
away: what somebody changed or put there stays.
"""

import contextlib
import hashlib
import json
from collections.abc import Mapping
from functools import partial
from pathlib import Path

from turfgis.reports.write import Content, write_whole

LIST = ".written"  # hidden, beside the files


def write_report(
    folder: Path, files: Mapping[str, Content], course: str, *, whole: bool = True
) -> tuple[list[Path], list[Path]]:
    """
    Write the files of a report, as :func:`turfgis.reports.write.write_whole` does, and take away its leftovers.

    Parameters
    ----------
    folder, files
        Where, and name -> content.
    course
        Name of the course: files of another one are left alone.
    whole
        Whether these are all files of the report; of a part of it nothing is taken away.

    Returns
    -------
    written, removed
        Files in the order given; and files of earlier reports that there is nothing to say in any more.

    Raises
    ------
    OutputError
        As from ``write_whole``; then nothing is written and nothing removed.
    """
    folder = Path(folder)
    earlier = _earlier(folder, course)
    new = {name.casefold() for name in files}  # a disk may not tell A.pdf from a.pdf
    left = {name: mark for name, mark in earlier.items() if name.casefold() not in new and _mark(folder / name) == mark}
    # what is about to be removed stays on the list, so that a run which is stopped here can be made good by the next
    written = write_whole(folder, {**files, LIST: partial(_list, files=files, course=course, left=left)})
    removed = []
    for name, mark in left.items() if whole else ():
        with contextlib.suppress(OSError):  # on the list still, and tried again next time
            if _mark(folder / name) == mark:
                (folder / name).unlink()
                removed.append(folder / name)
    return written[:-1], removed


def _mark(path: Path) -> str:
    """A fingerprint of what is in a file; empty for what is no plain file, or cannot be read."""
    try:
        return "" if path.is_symlink() or not path.is_file() else hashlib.sha256(path.read_bytes()).hexdigest()
    except OSError:
        return ""


def _earlier(folder: Path, course: str) -> dict[str, str]:
    """Names and fingerprints of what earlier reports of this course wrote; nothing where the list makes no sense."""
    try:
        known = json.loads((folder / LIST).read_text(encoding="utf-8"))
    except (OSError, ValueError, RecursionError):
        return {}
    if not isinstance(known, dict) or known.get("course") != course or not isinstance(known.get("files"), dict):
        return {}
    return {
        name: mark
        for name, mark in known["files"].items()
        if isinstance(mark, str) and mark and name not in ("", ".", "..") and not set(name) & set("/\\:")
    }


def _list(path: Path, files: Mapping[str, Content], course: str, left: Mapping[str, str]) -> None:
    """Write the list; the files lie beside it, still waiting to be put in place."""
    marks = {**left, **{name: _mark(path.with_name(name)) for name in files}}
    path.write_text(json.dumps({"course": course, "files": marks}, indent=1, sort_keys=True) + "\n", encoding="utf-8")
