"""Take one layer out of a file: attributes, feature ids and shapes, with the reader's complaints in plain words."""

import re
import warnings
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass, field
from functools import lru_cache
from pathlib import Path, PurePosixPath
from typing import Any

import numpy as np
import pyogrio
import shapely
from pyogrio import raw
from pyogrio.errors import CRSError, DataLayerError, DataSourceError, FeatureError, FieldError, GeometryError

from turfgis.errors import LayerError
from turfgis.layers.crs import ASK
from turfgis.layers.formats import ACCEPTED, PICTURES, Source
from turfgis.layers.turns import IN_TURN

READING_ERRORS = (DataSourceError, DataLayerError, FeatureError, FieldError, GeometryError)
# Curves are read as straight pieces of so many degrees: the reader's own 4 loses 0.08 % of a circle, ours 0.0013 %.
SMALL_ARCS, LARGE_ARCS = {"OGR_ARC_STEPSIZE": "0.5"}, {"OGR_ARC_STEPSIZE": "15"}
CURVED_FORMATS = (".dxf", ".dgn", ".fgb", ".gdb", ".gml", ".sqlite")


@dataclass
class RawLayer:
    """A layer as it lies in the file."""

    name: str
    columns: dict[str, np.ndarray]
    ids: np.ndarray  # text
    shapes: np.ndarray  # shapely geometries or None
    crs: Any  # text, pyproj.CRS or None
    curved: bool = False  # whether edges were curves, which come as short straight pieces
    closed: np.ndarray = field(default_factory=lambda: np.empty(0, dtype=np.intp))  # rings that lacked their last point
    remarks: list[str] = field(default_factory=list)
    encoding: str | None = None  # other than the file claims


def layer_names(source: Source) -> dict[str, str]:
    """Layers of a source that have shapes: name -> kind of shape as the file says it ("Unknown" where mixed)."""
    if source.kind == "geojson":
        return {_geojson_name(source): "Unknown"}
    if source.kind in ("parquet", "osm", "csv"):
        return {source.stem: "Unknown"}
    with plain_errors(source), warnings.catch_warnings(action="ignore"):
        file = Path(source.target)
        if not file.is_file():  # inside a zip, or a folder that is one source
            return _with_shapes(pyogrio.list_layers(source.target))
        found = file.stat()
        return _layers_of(source.target, found.st_mtime_ns, found.st_size)


@lru_cache(maxsize=64)
def _layers_of(target: str, _mtime_ns: int, _size: int) -> dict[str, str]:
    """Layers of a file as it was written then; settings name one file again for each of its layers."""
    return _with_shapes(pyogrio.list_layers(target))


def _with_shapes(listed: np.ndarray) -> dict[str, str]:
    return {name: kind for name, kind in listed if kind is not None}


def column_names(source: Source, name: str) -> list[str]:
    """Columns of a layer."""
    with plain_errors(source), warnings.catch_warnings(action="ignore"):
        return pyogrio.read_info(source.target, layer=name)["fields"].tolist()


def _geojson_name(source: Source) -> str:
    """Name of the only layer. Asking GDAL for it would parse the whole file once more."""
    if source.target.startswith("/vsi"):
        return source.stem
    with Path(source.target).open("rb") as file:
        head = file.read(400).decode("utf-8", "replace")
    named = re.match(r'\s*\{\s*"type"\s*:\s*"FeatureCollection"\s*,\s*"name"\s*:\s*"([^"\\]+)"', head)
    return named.group(1) if named else source.stem


def read_layer(source: Source, name: str) -> RawLayer:
    """
    Read one layer.

    Raises
    ------
    LayerError
        It cannot be read.
    """
    if source.kind == "parquet":
        return _read_parquet(source)
    if source.kind in ("geojson", "csv"):
        with plain_errors(source):
            return read_with_gdal(source, None, name)
    with plain_errors(source):
        with _settings(SMALL_ARCS):
            layer = read_with_gdal(source, name, name)
        layer.curved = _has_curves(source, layer)
    return layer


def _has_curves(source: Source, layer: RawLayer) -> bool:
    """Whether shapes have curved edges. The reader does not tell; but larger steps then give fewer points."""
    suffix = PurePosixPath(source.file.lower()).suffix
    if suffix == ".gpkg" and not source.target.startswith("/vsi"):
        if not _geopackage_names_curves(source.target, layer.name):
            return False
    elif suffix not in CURVED_FORMATS:
        return False
    with _settings(LARGE_ARCS), warnings.catch_warnings(action="ignore"):
        shapes = raw.read(source.target, layer=layer.name, columns=[])[2]
    coarse, _ = _parsed(shapes, len(layer.ids))
    return bool(shapely.get_num_coordinates(coarse).sum() < shapely.get_num_coordinates(layer.shapes).sum())


def _geopackage_names_curves(path: str, layer: str) -> bool:
    """A GeoPackage has to say which of its layers have curves (its standard, extension for non-linear kinds)."""
    import sqlite3

    asked = "SELECT geometry_type_name FROM gpkg_geometry_columns WHERE table_name = ?"
    extended = "SELECT extension_name FROM gpkg_extensions WHERE table_name = ? AND extension_name LIKE 'gpkg_geom_%'"
    try:
        with closing(sqlite3.connect(f"{Path(path).absolute().as_uri()}?mode=ro", uri=True)) as database:
            kinds = [row[0] for row in database.execute(asked, (layer,))]
            if database.execute("SELECT 1 FROM sqlite_master WHERE name = 'gpkg_extensions'").fetchone():
                kinds += [row[0] for row in database.execute(extended, (layer,))]
    except sqlite3.Error:
        return True  # cannot be told this way: look at the shapes
    return any(word in kind.upper() for kind in kinds for word in ("CURVE", "CIRCULAR", "SURFACE"))


def read_with_gdal(source: Source, layer: str | None, name: str, **options: str) -> RawLayer:
    """Read a layer through GDAL. ``name`` is what it is called in the result."""
    encoding = None
    with warnings.catch_warnings(record=True) as caught:
        warnings.simplefilter("always")
        try:
            meta, fids, shapes, data = _gdal(source, layer, encoding, options)
        except UnicodeDecodeError:
            encoding = "ISO-8859-1"
            meta, fids, shapes, data = _gdal(source, layer, encoding, options)
    columns = dict(zip(meta["fields"].tolist(), data, strict=True))
    geometries, closed = _parsed(shapes, len(fids))
    remarks = [text for text in dict.fromkeys(str(one.message) for one in caught) if "Non closed ring" not in text]
    return RawLayer(
        name,
        columns,
        fids.astype(str),
        geometries,
        meta["crs"],
        closed=closed,
        remarks=remarks,
        encoding=encoding,
    )


def _gdal(source: Source, layer: str | None, encoding: str | None, options: dict[str, str]) -> Any:
    given: dict[str, Any] = {**source.options, **options}
    return raw.read(source.target, layer=layer, encoding=encoding, return_fids=True, datetime_as_string=True, **given)


def _parsed(shapes: Any, count: int) -> tuple[np.ndarray, np.ndarray]:
    """Shapes from their bytes, and which of them had a ring that needed closing."""
    if shapes is None:
        return np.full(count, None, dtype=object), np.empty(0, dtype=np.intp)
    geometries = shapely.from_wkb(shapes, on_invalid="ignore")
    failed = np.flatnonzero(shapely.is_missing(geometries) & np.array([one is not None for one in shapes], dtype=bool))
    if len(failed):
        geometries[failed] = shapely.from_wkb(shapes[failed], on_invalid="fix")
        failed = failed[~shapely.is_missing(geometries[failed])]
    return geometries, failed


def _read_parquet(source: Source) -> RawLayer:
    import geopandas
    from pyarrow import ArrowException
    from pyproj.exceptions import ProjError

    try:
        frame = geopandas.read_parquet(source.target)
    except (ArrowException, AttributeError, KeyError, OSError, ProjError, TypeError, ValueError) as error:
        raise LayerError(f"{source.file}: cannot be read as GeoParquet ({_reason(str(error), source)})") from None
    shapes = frame.geometry.to_numpy()
    columns = {str(name): frame[name].to_numpy() for name in frame.columns if name != frame.geometry.name}
    return RawLayer(source.stem, columns, np.arange(len(frame)).astype(str), shapes, frame.crs)


@contextmanager
def _settings(options: dict[str, str]) -> Iterator[None]:
    """Settings of GDAL for one reading, put back afterwards."""
    before: dict[str, Any] = {key: pyogrio.get_gdal_config_option(key) for key in options}
    if options:
        pyogrio.set_gdal_config_options(options)
    try:
        yield
    finally:
        if options:
            pyogrio.set_gdal_config_options(before)


@contextmanager
def plain_errors(source: Source) -> Iterator[None]:
    """Say what a reader complains of in our own words; one reader at a time."""
    try:
        with IN_TURN:
            yield
    except (CRSError, UnboundLocalError):  # pyogrio 0.13 stumbles into the second over some that GDAL cannot read
        said = "the coordinate reference system written with it cannot be read"
        raise LayerError(f"{source.file}: {said}; for a shapefile, take its .prj away and {ASK}") from None
    except UnicodeDecodeError:
        raise LayerError(f"{source.file}: cannot be read (names in it are in no known encoding)") from None
    except READING_ERRORS as error:
        text = str(error)
        if "supported file format" in text or "not recognized" in text:
            if PurePosixPath(source.file.lower()).suffix in PICTURES:
                said = "a picture or a raster of heights, not drawn shapes"
            else:
                said = "not a file of drawn shapes"
            raise LayerError(f"{source.file}: {said}; accepted are {ACCEPTED}") from None
        raise LayerError(f"{source.file}: cannot be read ({_reason(text, source)})") from None


def _reason(text: str, source: Source) -> str:
    """What GDAL said, without the place where the file lies."""
    return text.replace(source.target, source.file).split("; It might help")[0].strip().rstrip(".")
