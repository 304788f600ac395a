"""Shapes as the page draws them, and where the number of a hole is written."""

from math import cos, hypot, radians
from typing import Any

import numpy as np
import shapely
from geopandas import GeoDataFrame
from shapely.geometry import Point
from shapely.geometry.base import BaseGeometry

from turfgis.errors import OutputError
from turfgis.reports.map_content import words

# Seven decimals of a degree are 11 mm on the ground; a point that moves an edge by less than 20 mm is left out, which no
# screen can show (one pixel is 37 mm at the deepest zoom). The figures shown come from the full shapes.
DECIMALS = 7
SMALLEST_STEP_DEG = 0.02 / 111_320


def in_degrees(frame: GeoDataFrame, what: str) -> GeoDataFrame:
    """The same rows in longitude and latitude, without those that have no shape."""
    if frame.empty:
        return frame
    if frame.crs is None:
        raise OutputError(f"cannot draw the {what} on the map: their coordinate system is not known")
    there = frame[~(frame.geometry.isna() | frame.geometry.is_empty)]
    return there if frame.crs.equals("EPSG:4326", ignore_axis_order=True) else there.to_crs("EPSG:4326")


def light(geometry: BaseGeometry) -> BaseGeometry:
    """A shape with no more points and decimals than a screen can show; one too small for that is left whole."""
    slim = shapely.simplify(geometry, SMALLEST_STEP_DEG, preserve_topology=True)
    rounded = shapely.transform(slim, lambda xy: np.round(xy, DECIMALS))
    return rounded if not rounded.is_empty else geometry


def feature_collection(geometries: dict[int, BaseGeometry]) -> dict[str, Any]:
    """Shapes as GeoJSON that carries nothing but shapes and running numbers."""
    return {
        "type": "FeatureCollection",
        "features": [
            {"type": "Feature", "id": number, "properties": {}, "geometry": shapely.geometry.mapping(light(geometry))}
            for number, geometry in geometries.items()
        ],
    }


def course_extent(frames: list[GeoDataFrame]) -> tuple[float, float, float, float]:
    """West, south, east and north of everything that is drawn, with a little room where it is a mere point. [deg]"""
    west, south, east, north = np.array([frame.total_bounds for frame in frames if not frame.empty]).T
    room = 2e-4 if min(east.max() - west.min(), north.max() - south.min()) < 1e-6 else 0.0
    return west.min() - room, south.min() - room, east.max() + room, north.max() + room


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
    for hole in sorted(
        {*greens, *lines} - {""}, key=lambda name: (not name.isdigit(), int(name) if name.isdigit() else 0, name)
    ):
        green = patches.geometry.iloc[greens[hole]].envelope.centroid if hole in greens else None
        end, toward = _way_of_play(lines.get(hole), green)
        at = green or end
        entry: dict[str, Any] = {"label": hole, "at": [round(at.y, DECIMALS), round(at.x, DECIMALS)], "toward": toward}
        labels.append(entry | ({"patch": greens[hole]} if hole in greens else {}))
    return labels


def _way_of_play(line: BaseGeometry | None, green: Point | None) -> tuple[Point, list[float]]:
    """End of a hole line at the green, and the way the last stretch points (east, south); north where nothing is known."""
    if line is None:
        return green or Point(), [0.0, -1.0]
    points = shapely.get_coordinates(line)
    if green is not None and Point(points[0]).distance(green) < Point(points[-1]).distance(green):
        points = points[::-1]
    (x1, y1), (x2, y2) = points[-2], points[-1]
    east, south = (x2 - x1) * cos(radians(y2)), y1 - y2
    length = hypot(east, south) or 1.0
    return Point(points[-1]), [round(east / length, 3), round(south / length, 3)]
