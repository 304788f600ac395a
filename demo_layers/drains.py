"""Two made-up open drains across fairways: what nothing may be sprayed near."""

import json
from collections.abc import Callable
from pathlib import Path

import geopandas as gpd
import numpy as np
import shapely
from holes import Drawing
from shapely.geometry.base import BaseGeometry

GRID = "EPSG:2157"
ACROSS = {"7": 0.35, "14": 0.7}  # hole -> how far along the box around its fairway a drain runs
PAST = 5.0  # beyond the fairway on either side [m]


def draw_drains(board: Drawing, place: Callable[[BaseGeometry], BaseGeometry], file: Path) -> None:
    """Write a line for each drain, with the ``hole`` it crosses."""
    lines, holes = [], []
    for hole, share in ACROSS.items():
        fairway = shapely.union_all([row["geometry"] for row in board.rows["fairways"] if row["hole"] == hole])
        corners = np.array(fairway.minimum_rotated_rectangle.exterior.coords)
        sides = np.hypot(*np.diff(corners, axis=0).T)
        first = int(np.argmax(sides[:2]))  # a long side, and the one that runs back beside it
        start = corners[first] + share * (corners[first + 1] - corners[first])
        other = (first + 2) % 4
        end = corners[other] + (1 - share) * (corners[other + 1] - corners[other])
        beyond = PAST * (end - start) / np.hypot(*(end - start))
        lines.append(place(shapely.LineString([start - beyond, end + beyond])))
        holes.append(hole)
    degrees = gpd.GeoSeries(lines, crs=GRID).to_crs("EPSG:4326")
    features = [
        {
            "type": "Feature",
            "properties": {"hole": hole},
            "geometry": {"type": "LineString", "coordinates": np.round(shapely.get_coordinates(line), 8).tolist()},
        }
        for hole, line in zip(holes, degrees, strict=True)
    ]
    file.write_text(json.dumps({"type": "FeatureCollection", "features": features}, indent=1) + "\n", encoding="utf-8")
