"""Files that are dropped on the desk: what is taken in, and how large it may be."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path, PurePosixPath
from zipfile import BadZipFile, ZipFile

from turfgis.desk.files import inside
from turfgis.errors import InputError, LayerError
from turfgis.layers.formats import ACCEPTED, KINDS

MOST_UNPACKED = 2 * 2**30  # of what a packed file holds
MOST_TIMES = 200  # how many times its own size a packed file may hold, beyond the first few megabytes
FREE_BYTES = 20 * 2**20
MOST_ENTRIES = 5000
BESIDE = (".shx", ".dbf", ".prj", ".cpg", ".qix", ".tfw", ".jgw", ".pgw", ".wld")  # parts of what lies beside them
RASTERS = (".tif", ".tiff", ".jpg", ".jpeg", ".png")
PACKED = (".zip", ".kmz", ".shz", ".xlsx")


def take_in(folder: Path, files: Mapping[str, bytes]) -> list[Path]:
    """
    Put files into the course folder, all of them or none.

    Parameters
    ----------
    folder
        The course folder.
    files
        Name of each file -> its content.

    Returns
    -------
    Those that may hold drawn shapes.

    Raises
    ------
    InputError
        A name or a kind of file is not taken, a file of that name is there already, or a packed one holds too much.
    """
    from turfgis.reports.write import write_whole

    if not files:
        raise InputError("no file came with that; choose one or more")
    for name, content in files.items():
        place, ending = inside(folder, name), Path(name).suffix.lower()
        if ending not in (*KINDS, *BESIDE, *RASTERS, ".zip"):
            raise InputError(
                f"{name}: not a kind of file that is read; accepted are {ACCEPTED}, and photos and rasters"
            )
        if place.exists():
            raise InputError(f"{name}: there is a file of that name already; give this one another")
        if not content:
            raise InputError(f"{name}: the file is empty")
        if ending in PACKED:
            _check_packed(name, content)
    written = write_whole(folder, files)
    return [file for file in written if file.suffix.lower() in (*KINDS, ".zip")]


def _check_packed(name: str, content: bytes) -> None:
    """Refuse what would fill the disk or the memory once it is unpacked, and what would land outside the folder."""
    from io import BytesIO

    try:
        with ZipFile(BytesIO(content)) as archive:
            entries = archive.infolist()
    except (BadZipFile, OSError, ValueError):
        raise LayerError(f"{name}: the zip file cannot be opened; it may be broken or not a zip") from None
    if len(entries) > MOST_ENTRIES:
        raise InputError(f"{name}: holds {len(entries):,} files; at most {MOST_ENTRIES:,} are taken")
    unpacked = sum(entry.file_size for entry in entries)
    if unpacked > min(MOST_UNPACKED, FREE_BYTES + MOST_TIMES * len(content)):
        raise InputError(f"{name}: would be {unpacked / 2**20:,.0f} MB unpacked, which is too much; unpack it yourself")
    for entry in entries:
        parts = PurePosixPath(entry.filename.replace("\\", "/")).parts
        if ".." in parts or entry.filename.startswith(("/", "\\")):
            raise InputError(f"{name}: names a file outside itself, '{entry.filename}'; pack it anew")
