"""
The frame a course is measured in: a Lambert azimuthal equal-area map centred on the course.

An area in this frame is the area on the ellipsoid (relative difference about 1e-9), and lengths are true to a few parts
in a million within 10 km of its centre. Areas are never taken from Web Mercator or a transverse Mercator grid.
"""

from collections.abc import Callable, Sequence
from functools import lru_cache, partial
from math import degrees
from threading import get_ident
from typing import Any

import numpy as np
import pyproj
import shapely

# An edge is straight in the drawing, not in the frame. What lies between grows with the cube of its length: up to
# 0.0003 m2 for an edge of this length along a parallel at 56 degrees, so longer ones are halved until they are shorter.
LONGEST_EDGE_M = 30.0
MOST_HALVINGS = 12

# OGC 18-010r7, Well-known text representation of coordinate reference systems. Text, because the library takes fifty
# times as long to make the same system out of its parts.
FRAME_WKT = """PROJCRS["Local equal-area frame of the course", BASE{base},
    CONVERSION["Local equal-area frame", METHOD["Lambert Azimuthal Equal Area", ID["EPSG", 9820]],
        PARAMETER["Latitude of natural origin", {latitude}, ANGLEUNIT["degree", 0.0174532925199433]],
        PARAMETER["Longitude of natural origin", {longitude}, ANGLEUNIT["degree", 0.0174532925199433]],
        PARAMETER["False easting", 0, LENGTHUNIT["metre", 1]],
        PARAMETER["False northing", 0, LENGTHUNIT["metre", 1]]],
    CS[Cartesian, 2], AXIS["(E)", east], AXIS["(N)", north], LENGTHUNIT["metre", 1]]"""


def local_frame(centres: Sequence[tuple[pyproj.CRS, float, float]]) -> pyproj.CRS:
    """
    A local equal-area frame for layers that may lie in different reference systems.

    Parameters
    ----------
    centres
        For each layer its reference system and the middle of its shapes there, x before y.

    Returns
    -------
    An equal-area reference system in metres on the datum that the layers share, or else on WGS 84. Its centre is
    rounded to a hundredth of a degree, so that a redrawn edge does not move the frame.

    Examples
    --------
    >>> local_frame([(pyproj.CRS(4326), -6.2, 53.3)]).coordinate_operation.method_name
    'Lambert Azimuthal Equal Area'
    """
    datums = {crs.geodetic_crs.name: crs.geodetic_crs for crs, _, _ in centres if crs.geodetic_crs is not None}
    base = next(iter(datums.values())) if len(datums) == 1 else pyproj.CRS(4326)
    base = base.to_2d() if len(base.axis_info) > 2 else base
    places = np.array([_longitude_latitude(crs, x, y) for crs, x, y in centres])
    places[:, 0] = near_meridian(places[:, 0], places[0, 0])
    longitude, latitude = np.median(places, axis=0).round(2)
    return pyproj.CRS.from_wkt(FRAME_WKT.format(base=base.to_wkt(), latitude=latitude, longitude=longitude))


def _longitude_latitude(crs: pyproj.CRS, x: float, y: float) -> tuple[float, float]:
    """A place in degrees; some old systems count their longitudes in other units."""
    geographic = crs.geodetic_crs
    if geographic is None:
        return x, y
    if not crs.is_geographic:
        x, y = transformer(crs, geographic).transform(x, y)
    unit = degrees(geographic.axis_info[0].unit_conversion_factor)
    return x * unit, y * unit


def near_meridian(longitude: np.ndarray, meridian: float) -> np.ndarray:
    """
    Longitudes told so that none is more than half a turn from a meridian. [degrees]

    Examples
    --------
    >>> near_meridian(np.array([179.5, -179.5]), 180.0)
    array([179.5, 180.5])
    """
    turns = np.round((longitude - meridian) / 360.0)
    return longitude - 360.0 * turns if turns.any() else longitude


@lru_cache(maxsize=64)
def transformer(crs: pyproj.CRS, other: pyproj.CRS) -> pyproj.Transformer:
    """The way from one system to another, x before y. Finding it takes longer than going it, so it is kept."""
    return pyproj.Transformer.from_crs(crs, other, always_xy=True)


def middle(shapes: np.ndarray, crs: pyproj.CRS) -> tuple[float, float]:
    """The middle of the first corners of all shapes, x before y; the median, so that a stray one does not move it."""
    xy, owner = shapely.get_coordinates(shapes, return_index=True)
    xy = xy[np.flatnonzero(np.diff(owner, prepend=-1))]
    xy = xy[np.isfinite(xy).all(axis=1)]
    if not len(xy):
        return 0.0, 0.0
    x = near_meridian(xy[:, 0], xy[0, 0]) if crs.is_geographic else xy[:, 0]
    return float(np.median(x)), float(np.median(xy[:, 1]))


def project(shapes: np.ndarray, crs: pyproj.CRS, frame: pyproj.CRS) -> np.ndarray:
    """
    Shapes moved from the system they were drawn in to the frame.

    Parameters
    ----------
    shapes
        Array of shapely geometries, x before y.
    crs, frame
        Where they are and where they go.

    Returns
    -------
    New array of geometries in the frame. [m] Edges of areas stay straight in the system they were drawn in: long ones
    get points of their own, the same ones in every shape that shares the edge.
    """
    move = move_to(crs, frame)
    xy, owner = shapely.get_coordinates(shapes, return_index=True)
    there = np.column_stack(move(xy[:, 0], xy[:, 1]))
    projected = shapely.set_coordinates(shapes.copy(), there)
    long = np.unique(owner[1:][(_steps(there) > LONGEST_EDGE_M) & (owner[1:] == owner[:-1])])
    long = long[shapely.get_dimensions(shapes[long]) == 2]
    if len(long):
        theirs = np.isin(owner, long)
        projected[long] = _parted(projected[long], xy[theirs], crs, move)
    return projected


def move_to(crs: pyproj.CRS, frame: pyproj.CRS) -> Callable[[np.ndarray, np.ndarray], tuple]:
    """How points get into the frame. From longitude and latitude on its own datum its projection alone does it."""
    return _move_to(crs, frame, get_ident())


@lru_cache(maxsize=64)
def _move_to(crs: pyproj.CRS, frame: pyproj.CRS, _thread: int) -> Callable[[np.ndarray, np.ndarray], tuple]:
    """One for each thread: unlike a transformer, a projection must not be used by two at once."""
    return pyproj.Proj(frame) if _plain(crs, frame) else transformer(crs, frame).transform


def move_from(crs: pyproj.CRS, frame: pyproj.CRS) -> Callable[[np.ndarray, np.ndarray], tuple]:
    """
    How points of the frame get back into the system they are stored in.

    The way back of the projection is a series that ends 0.3 mm short at middle latitudes; what is missing is added.
    """
    return _move_from(crs, frame, get_ident())


@lru_cache(maxsize=64)
def _move_from(crs: pyproj.CRS, frame: pyproj.CRS, _thread: int) -> Callable[[np.ndarray, np.ndarray], tuple]:
    back = partial(pyproj.Proj(frame), inverse=True) if _plain(crs, frame) else transformer(frame, crs).transform
    there = move_to(crs, frame)

    def move(x: np.ndarray, y: np.ndarray) -> tuple:
        short_x, short_y = there(*back(x, y))
        return back(2 * x - np.asarray(short_x), 2 * y - np.asarray(short_y))

    return move


def _plain(crs: pyproj.CRS, frame: pyproj.CRS) -> bool:
    geographic = frame.geodetic_crs
    return geographic is not None and crs.is_geographic and crs.name == geographic.name and _in_degrees(crs)


def _in_degrees(crs: pyproj.CRS) -> bool:
    """Degrees east of Greenwich: some old systems count otherwise."""
    meridian = crs.prime_meridian
    return crs.axis_info[0].unit_name == "degree" and meridian is not None and meridian.longitude == 0


def _parted(
    areas: np.ndarray, drawn: np.ndarray, crs: pyproj.CRS, move: Callable[[np.ndarray, np.ndarray], tuple]
) -> np.ndarray:
    """Areas in the frame, whose corners were drawn at ``drawn``, with their long edges halved as often as it takes."""
    parts, owner = shapely.get_parts(areas, return_index=True)
    there_is = ~shapely.is_empty(parts)
    parts, owner = parts[there_is], owner[there_is]
    rings, part = shapely.get_rings(parts, return_index=True)
    there, ring = shapely.get_coordinates(rings, return_index=True)
    if crs.is_geographic:
        drawn[:, 0] = near_meridian(drawn[:, 0], drawn[0, 0])
    length = np.where(ring[1:] == ring[:-1], _steps(there), 0.0)
    long = np.flatnonzero((length > LONGEST_EDGE_M) & np.isfinite(length))
    pieces = 2 ** np.minimum(np.ceil(np.log2(length[long] / LONGEST_EDGE_M)), MOST_HALVINGS).astype(int)
    edge = np.repeat(long, pieces - 1)
    step = np.arange(len(edge)) - np.repeat(np.cumsum(pieces - 1) - (pieces - 1), pieces - 1) + 1
    # Shares of a half, a quarter and so on are exact, so that the points are the same whichever way the edge runs.
    share = (step / np.repeat(pieces, pieces - 1))[:, None]
    between = move(*(drawn[edge] * (1 - share) + drawn[edge + 1] * share).T)
    there = np.insert(there, edge + 1, np.column_stack(between), axis=0)
    ring = np.insert(ring, edge + 1, ring[edge])
    moved_rings: Any = shapely.linearrings(there, indices=ring)
    polygons: Any = shapely.polygons(moved_rings, indices=part)
    alone = shapely.get_type_id(areas) == shapely.GeometryType.POLYGON
    if alone.all():
        return polygons
    whole: Any = shapely.multipolygons(polygons, indices=owner)
    return np.where(alone, polygons[np.searchsorted(owner, np.arange(len(areas)))], whole)


def _steps(xy: np.ndarray) -> np.ndarray:
    """From each point to the next; not a number where one of them cannot be shown in the frame."""
    with np.errstate(invalid="ignore"):
        return np.hypot(*np.diff(xy, axis=0).T)


def datum_shift(crs: pyproj.CRS, frame: pyproj.CRS, x: float, y: float) -> float | None:
    """
    How far positions may be off because a datum shift is known only roughly here. [m]

    Parameters
    ----------
    crs, frame
        Where the shapes are and where they go.
    x, y
        A place among the shapes, in ``crs``: which shift is the best at hand depends on it.

    Returns
    -------
    The accuracy stated for the best shift at hand, nan where none is stated, or None where there is no shift. Areas do
    not suffer from it.
    """
    if crs.geodetic_crs is None or frame.geodetic_crs is None or crs.geodetic_crs.name == frame.geodetic_crs.name:
        return None
    way = transformer(crs, frame)
    way.transform(x, y)
    accuracy = way.get_last_used_operation().accuracy
    if accuracy is None or accuracy < 0:
        return float("nan")
    return accuracy or None
