"""Shapes as the page draws them, and where the number of a hole is written."""

import re
from math import cos, hypot, radians
from typing import Any

import numpy as np
import shapely
from geopandas import GeoDataFrame
from shapely.geometry import Point
from shapely.geometry.base import BaseGeometry

from turfgis.errors import OutputError
from turfgis.reports.map_content import words

# Places are written as whole steps of a ten-millionth of a degree (11 mm on the ground) from the south-west corner of
# the course, which takes two thirds of the room of full degrees. A point that moves an edge by less than 0.1 m is left
# out: one pixel at the deepest zoom, 20, is as much (Web Mercator: 149 mm at the equator, half of that at 60 degrees).
# The figures shown come from the full shapes.
STEPS = 10_000_000
DECIMALS = 7
SMALLEST_BEND_DEG = 0.1 / 111_320


def in_degrees(frame: GeoDataFrame, what: str) -> GeoDataFrame:
    """The same rows in longitude and latitude, without those that have no shape."""
    if frame.empty:
        return frame
    if frame.crs is None:
        raise OutputError(f"cannot draw the {what} on the map: their coordinate system is not known")
    there = GeoDataFrame(frame[~(frame.geometry.isna() | frame.geometry.is_empty)])
    return there if frame.crs.equals("EPSG:4326", ignore_axis_order=True) else there.to_crs("EPSG:4326")


def light(geometry: BaseGeometry, corner: tuple[float, float]) -> BaseGeometry:
    """A shape in steps from the corner, with no more points than a screen can show."""
    slim = shapely.simplify(geometry, SMALLEST_BEND_DEG, preserve_topology=True)
    return shapely.transform(slim, lambda degrees: np.round((degrees - np.array(corner)) * STEPS))


def _whole(coordinates: Any) -> Any:
    """Nested coordinates as whole numbers, which JSON writes without a decimal point."""
    if isinstance(coordinates, float):
        return int(coordinates)
    return [_whole(inner) for inner in coordinates]


def feature_collection(geometries: dict[int, BaseGeometry], corner: tuple[float, float]) -> dict[str, Any]:
    """Shapes laid out as GeoJSON, but in steps from the corner, and with nothing but running numbers beside them."""
    features = []
    for number, geometry in geometries.items():
        shape = shapely.geometry.mapping(light(geometry, corner))
        there = {"type": shape["type"], "coordinates": _whole(shape["coordinates"])}
        features.append({"type": "Feature", "id": number, "properties": {}, "geometry": there})
    return {"type": "FeatureCollection", "features": features}


def as_one(geometries: Any, kind: str) -> BaseGeometry:
    """Many points, lines or areas as a single shape, which takes less room than a feature for each."""
    parts = shapely.get_parts(shapely.get_parts(np.asarray(geometries)))
    made = {"point": shapely.multipoints, "line": shapely.multilinestrings, "area": shapely.multipolygons}[kind](parts)
    return made


def course_extent(frames: list[GeoDataFrame]) -> tuple[float, float, float, float]:
    """West, south, east and north of everything that is drawn, with a little room where it is a mere point. [deg]"""
    bounds = np.array([frame.total_bounds for frame in frames if not frame.empty])
    (west, south), (east, north) = bounds[:, :2].min(axis=0).tolist(), bounds[:, 2:].max(axis=0).tolist()
    room = 2e-4 if min(east - west, north - south) < 1e-6 else 0.0
    return west - room, south - room, east + room, north + room


def is_wide(extent: tuple[float, float, float, float]) -> bool:
    """Whether a sheet on its side shows the course larger."""
    west, south, east, north = extent
    return (east - west) * cos(radians((south + north) / 2)) > north - south


def hole_labels(patches: GeoDataFrame, hole_lines: GeoDataFrame) -> list[dict[str, Any]]:
    """
    Where each hole's number is written: beside its largest green, best of all behind it as it is played.

    Parameters
    ----------
    patches
        Patches in longitude and latitude; the page knows them by their place in this table.
    hole_lines
        Lines from tee to green, with column ``hole``.

    Returns
    -------
    One entry a hole: ``label``, ``patch`` (place of the green in the table, where there is one), ``at`` (latitude and
    longitude) and ``toward``, the side on which the number goes first (east and south, length 1).
    """
    lines = {words(row["hole"]): row.geometry for _, row in hole_lines.iterrows()} if not hole_lines.empty else {}
    greens: dict[str, int] = {}
    for index, (surface, hole) in enumerate(zip(patches["surface"], patches["hole"], strict=True)):
        name = words(hole)
        if surface == "green" and name:
            kept = greens.get(name)
            if kept is None or patches.geometry.iloc[index].area > patches.geometry.iloc[kept].area:
                greens[name] = index
    labels = []
    # Two holes may share a green ("6/13"): then its number says both, and the lines that end there need none.
    shared = {part for name in greens if not name.isdecimal() for part in re.split(r"[^0-9A-Za-z]+", name)}
    for hole in sorted({*greens, *(set(lines) - shared)} - {""}, key=_by_number):
        green = patches.geometry.iloc[greens[hole]].envelope.centroid if hole in greens else None
        end, toward = _way_of_play(lines.get(hole), green)
        at = green or end
        entry: dict[str, Any] = {"label": hole, "at": [round(at.y, DECIMALS), round(at.x, DECIMALS)], "toward": toward}
        labels.append(entry | ({"patch": greens[hole]} if hole in greens else {}))
    return labels


def _by_number(hole: str) -> tuple[bool, int, str]:
    """Holes in the order they are played, named ones after them."""
    return not hole.isdecimal(), int(hole) if hole.isdecimal() else 0, hole


def _way_of_play(line: BaseGeometry | None, green: Point | None) -> tuple[Point, list[float]]:
    """End of a hole line at the green, and the way its last stretch points (east, south); north if nothing is known."""
    if line is None:
        return green or Point(), [0.0, -1.0]
    points = shapely.get_coordinates(line)
    if green is not None and Point(points[0]).distance(green) < Point(points[-1]).distance(green):
        points = points[::-1]
    (x1, y1), (x2, y2) = points[-2], points[-1]
    east, south = (x2 - x1) * cos(radians(y2)), y1 - y2
    length = hypot(east, south) or 1.0
    return Point(points[-1]), [round(east / length, 3), round(south / length, 3)]
