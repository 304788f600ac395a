"""Writing results whole: a run that fails or is stopped leaves the earlier files as they were."""

import contextlib
import errno
import os
import re
import shutil
import tempfile
import time
from collections.abc import Callable, Iterable, Mapping
from itertools import chain, count
from pathlib import Path

from turfgis.errors import OutputError

_WAITING = ".unfinished-"
_OURS = re.compile(re.escape(_WAITING) + r"[a-z0-9_]{8}")  # as tempfile names them
_FORGOTTEN = 3600.0  # no run takes an hour [s]

Content = bytes | Callable[[Path], object]


def write_whole(folder: Path, files: Mapping[str, Content]) -> list[Path]:
    """
    Write several files so that all of them appear, or none.

    Everything is first written into a fresh folder inside the target, so that what is likely to fail (a full disk, a
    bad value) fails before any earlier file is touched. Then each file replaces its forerunner in one step; where one
    of these steps fails, those already replaced are put back.

    Parameters
    ----------
    folder
        Where the files belong; made where it does not exist.
    files
        Name of the file -> its bytes, or what writes it when given a path.

    Returns
    -------
    The files written, in the order given.

    Raises
    ------
    OutputError
        The folder cannot be made or written to. Names the folder and the cause.
    """
    folder = Path(folder)
    for name in files:
        if Path(name).name != name or name in {"", ".", ".."}:
            raise OutputError(f"'{name}' is not a plain file name; files are written directly into {folder}")
    new_folders: list[Path] = []
    waiting = None
    done = False
    try:
        new_folders = _missing_folders(folder)
        folder.mkdir(parents=True, exist_ok=True)
        _clear_forgotten(folder)
        waiting = Path(tempfile.mkdtemp(prefix=_WAITING, dir=folder))
        for name, content in files.items():
            _write_one(waiting / name, content)
        _put_in_place(folder, waiting, list(files))
        done = True
    except OSError as error:
        raise OutputError(_cause(folder, error)) from error
    finally:  # also when stopped by hand
        if waiting is not None:
            shutil.rmtree(waiting, ignore_errors=True)
        if not done:
            _remove_empty(new_folders)
    return [folder / name for name in files]


def _clear_forgotten(folder: Path) -> None:
    """Take away what runs that were killed left behind, long enough ago that none of them can still be at work."""
    for path in folder.glob(_WAITING + "*"):
        with contextlib.suppress(OSError):
            old = time.time() - path.lstat().st_mtime > _FORGOTTEN
            if old and _OURS.fullmatch(path.name) and path.is_dir() and not path.is_symlink():
                shutil.rmtree(path, ignore_errors=True)


def _cause(folder: Path, error: OSError) -> str:
    """What went wrong, for the reader who must mend it."""
    if isinstance(error, FileExistsError | NotADirectoryError):
        return f"cannot write to {folder}: it, or a folder above it, is a file; choose another with -o"
    cause = error.strerror or str(error)
    return f"cannot write to {folder}: {cause}; the files written earlier are as they were"


def _write_one(path: Path, content: Content) -> None:
    """One file, pushed through to the disk: a full disk may show only then."""
    if isinstance(content, bytes):
        path.write_bytes(content)
    else:
        content(path)
    with path.open("rb+") as written:
        os.fsync(written.fileno())


def _put_in_place(folder: Path, waiting: Path, names: list[str]) -> None:
    """Move each new file over the old one; if that fails midway, put the old ones back."""
    earlier = waiting / ".earlier"
    earlier.mkdir()
    kept, placed = [], []
    for name in names:  # copies first, because from here on nothing should need room on the disk
        if (folder / name).is_dir():
            raise IsADirectoryError(
                errno.EISDIR, f"'{name}' there is a folder, and a file of this name is to be written"
            )
        if (folder / name).exists():
            _keep(folder / name, earlier / name)
            kept.append(name)
    try:
        for name in names:
            placed.append(name)
            os.replace(waiting / name, folder / name)
    except BaseException:
        for name in placed:
            if name in kept:
                os.replace(earlier / name, folder / name)
            elif not (waiting / name).exists():
                (folder / name).unlink(missing_ok=True)
        raise


def _keep(path: Path, copy: Path) -> None:
    """A second name for the earlier file, which takes no room; a copy where the disk knows no second names."""
    try:
        os.link(path, copy)
    except OSError:
        shutil.copy2(path, copy)


def _missing_folders(folder: Path) -> list[Path]:
    """The folder and those above it that do not exist yet, the deepest first."""
    missing = []
    for path in (folder, *folder.parents):
        if path.exists():
            break
        missing.append(path)
    return missing


def _remove_empty(folders: list[Path]) -> None:
    """Take away folders that were made for nothing."""
    for path in folders:
        with contextlib.suppress(OSError):
            path.rmdir()


def file_names(named: Iterable[tuple[str, ...]]) -> list[str]:
    """Parts of a name put together as every file system takes it; numbered where two would be the same."""
    names: list[str] = []
    for parts in named:
        plain = "_".join(re.sub(r"[^A-Za-z0-9-]+", "_", part).strip("_") or "x" for part in parts)
        taken = {name.casefold() for name in names}
        numbered = (f"{plain}-{number}" for number in count(2))
        names.append(next(name for name in chain([plain], numbered) if name.casefold() not in taken))
    return names
