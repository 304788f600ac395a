"""From the path that a person wrote to what has to be opened: a file, the files of a folder, or those in a zip."""

import contextlib
from collections.abc import Iterable
from dataclasses import dataclass, field
from difflib import get_close_matches
from pathlib import Path, PurePosixPath
from zipfile import BadZipFile, ZipFile

from turfgis.errors import LayerError
from turfgis.layers.findings import listed

ACCEPTED = (
    "GeoPackage, GeoJSON, FlatGeobuf, shapefile, KML or KMZ, GPX, DXF, GeoParquet, CSV with a column of WKT, "
    "OpenStreetMap .osm or .osm.pbf, or any other vector format that GDAL reads"
)

# What is picked out of a folder or a zip; a file named by itself may have any ending.
KINDS: dict[str, str] = {
    ".gpkg": "any",
    ".geojson": "geojson",
    ".json": "any",
    ".geojsonl": "geojson",
    ".geojsons": "geojson",
    ".ndjson": "geojson",
    ".jsonl": "geojson",
    ".topojson": "any",
    ".fgb": "any",
    ".shp": "any",
    ".shz": "any",
    ".kml": "any",
    ".kmz": "any",
    ".gpx": "gpx",
    ".gml": "any",
    ".dxf": "dxf",
    ".dgn": "any",
    ".tab": "any",
    ".mif": "any",
    ".sqlite": "any",
    ".gdb": "any",
    ".parquet": "parquet",
    ".geoparquet": "parquet",
    ".csv": "csv",
    ".tsv": "csv",
    ".osm": "osm",
    ".pbf": "osm",
}
PICTURES = (".tif", ".tiff", ".hgt", ".jpg", ".jpeg", ".png", ".asc", ".vrt", ".jp2", ".ecw", ".img")
# Text files that only point to data elsewhere: they could send a reader to files or servers nobody named.
POINTERS = (b"<OGRVRTDataSource", b"<OGRWFSDataSource", b"<VRTDataset", b"<OGRVRTLayer")
WELL_KNOWN_TEXT = "WKT,wkt,geometry,geom,the_geom,wkt_geom,geometry_wkt,shape,_WKT*"

OPTIONS: dict[str, dict[str, str]] = {
    "csv": {
        "GEOM_POSSIBLE_NAMES": WELL_KNOWN_TEXT,
        "KEEP_GEOM_COLUMNS": "NO",
        "X_POSSIBLE_NAMES": "x,lon,longitude,easting",
        "Y_POSSIBLE_NAMES": "y,lat,latitude,northing",
        "EMPTY_STRING_AS_NULL": "YES",
    }
}


@dataclass(frozen=True, eq=False)
class Source:
    """One thing for GDAL or pyarrow to open."""

    file: str  # as shown to people
    target: str  # as handed to the reader
    kind: str
    options: dict[str, str] = field(default_factory=dict)

    @property
    def stem(self) -> str:
        """Base name without its ending, which names a layer that has no name of its own."""
        name = PurePosixPath(self.file.replace("\\", "/")).name
        return name.removesuffix(".osm.pbf") if name.endswith(".osm.pbf") else PurePosixPath(name).stem


def find_sources(path: Path) -> list[Source]:
    """
    Everything to be opened for one path.

    Parameters
    ----------
    path
        A file, a folder of vector files, or a zip of them.

    Returns
    -------
    At least one source. `Source.file` is the path as given, or its base name if it is absolute; for files in a folder
    or zip their names within it follow.

    Raises
    ------
    LayerError
        There is nothing at that path that could hold drawn shapes.
    """
    shown = path.name if path.is_absolute() else path.as_posix()
    if not path.exists():
        raise LayerError(f"{shown}: there is no such file{_did_you_mean(path)}")
    if any(sign in str(path) for sign in "!;"):
        raise LayerError(f"{shown}: names of files and folders with ! or ; cannot be opened; rename it")
    if path.is_dir() and path.suffix.lower() != ".gdb":
        return _in_folder(path, shown)
    if path.suffix.lower() == ".zip":
        return _in_zip(path, shown)
    if path.is_file():
        _check_file(path, shown)
    return [_source(shown, str(path))]


def _source(shown: str, target: str) -> Source:
    kind = KINDS.get(PurePosixPath(shown.lower()).suffix, "any")
    return Source(shown, target, kind, OPTIONS.get(kind, {}))


def _did_you_mean(path: Path) -> str:
    folder = path.parent
    if not folder.is_dir():
        return f", and no folder {folder.name}"
    names = {other.name.lower(): other.name for other in folder.iterdir()}
    close = get_close_matches(path.name.lower(), names, n=1, cutoff=0.6)
    return f"; did you mean {names[close[0]]}?" if close else ""


def _check_file(path: Path, shown: str) -> None:
    if path.stat().st_size == 0:
        raise LayerError(f"{shown}: the file is empty")
    try:
        with path.open("rb") as file:
            head = file.read(300)
    except OSError as error:
        raise LayerError(f"{shown}: the file cannot be opened ({error.strerror})") from None
    if any(mark in head for mark in POINTERS):
        raise LayerError(f"{shown}: it only points to data elsewhere; name the files that hold the shapes")
    if path.with_name(f"{path.name}-journal").exists():
        settle(path)
    if path.suffix.lower() == ".shp" and not _beside(path, ".shx"):
        raise LayerError(f"{shown}: {path.stem}.shx is missing; a shapefile is .shp, .shx, .dbf and .prj together")
    if path.suffix.lower() in (".dbf", ".shx", ".prj", ".cpg") and _beside(path, ".shp"):
        raise LayerError(f"{shown}: this is a part of a shapefile; name {path.stem}.shp instead")


def settle(path: Path) -> None:
    """
    Take back what a program that was killed in the midst of saving left half done in a GeoPackage.

    Readers that may only read cannot do it themselves, and refuse the file. A program that is saving just now is not
    disturbed: SQLite knows it by its lock.
    """
    import sqlite3

    with contextlib.suppress(sqlite3.Error):  # what stays in the way is told by whoever reads
        connection = sqlite3.connect(f"{path.absolute().as_uri()}?mode=rw", uri=True)
        try:
            connection.execute("SELECT count(*) FROM sqlite_master").fetchone()
        finally:
            connection.close()


def _beside(path: Path, suffix: str) -> bool:
    return path.with_suffix(suffix).exists() or path.with_suffix(suffix.upper()).exists()


def _in_folder(path: Path, shown: str) -> list[Source]:
    names = _vector_files(other.name for other in path.iterdir())
    if not names:
        raise LayerError(f"{shown}: the folder holds no file of drawn shapes; accepted are {ACCEPTED}")
    for name in names:
        if (path / name).is_file():
            _check_file(path / name, f"{shown}/{name}")
    return [_source(f"{shown}/{name}", str(path / name)) for name in names]


def _in_zip(path: Path, shown: str) -> list[Source]:
    try:
        with ZipFile(path) as archive:
            within = archive.namelist()
    except (BadZipFile, OSError):
        raise LayerError(f"{shown}: the zip file cannot be opened; it may be broken or not a zip") from None
    names = _vector_files(name for name in within if not name.startswith("__MACOSX/"))
    names += sorted({name[: name.lower().index(".gdb/") + 4] for name in within if ".gdb/" in name.lower()})
    if not names:
        raise LayerError(f"{shown}: no file of drawn shapes in it, only {listed(within)}; accepted are {ACCEPTED}")
    inside = f"/vsizip/{{{path.absolute().as_posix()}}}"
    return [_source(f"{shown}/{name}", f"{inside}/{name}") for name in names]


def _vector_files(names: Iterable[str]) -> list[str]:
    return sorted(name for name in names if PurePosixPath(name.lower()).suffix in KINDS and ".gdb/" not in name.lower())
