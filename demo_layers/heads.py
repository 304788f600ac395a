"""
Heads of a made-up irrigation system, and cans set out on one green.

Four heads round each green, one on each tee, two beside each approach, a row down each fairway; figures common
practice, no source. What is wrong with them, on purpose: one head without a flow, one drawn twice, one of a part circle
that does not say which way it looks.
"""

import csv
import json
from collections.abc import Callable
from pathlib import Path

import geopandas as gpd
import numpy as np
import shapely
from holes import Drawing, stream
from shapely.geometry.base import BaseGeometry

GRID = "EPSG:2157"
KINDS = {  # throw [m], flow [l/min], heads a station
    "green": (19.0, 57.0, 4),
    "tee": (13.0, 34.0, 4),
    "approach": (17.0, 52.0, 2),
    "fairway": (21.0, 76.0, 3),
}
CAN_STEP = 4.0  # between the cans [m]
GREEN_OF_CANS = "7"


def _spots(board: Drawing) -> list[tuple[str, str, shapely.Point, float, float]]:
    """Surface, hole, place, arc and direction [degrees from north on the drawing board; nan for a full circle]."""
    spots = []
    for row in board.rows["greens"]:
        middle, edge = row["geometry"].centroid, row["geometry"].buffer(1.5).exterior
        for share in (0.03, 0.28, 0.53, 0.78):
            at = edge.interpolate(share, normalized=True)
            facing = np.degrees(np.arctan2(middle.x - at.x, middle.y - at.y))
            part = share in (0.03, 0.53)  # two of the four keep off what lies around
            spots.append(("green", row["hole"], at, 200.0 if part else 360.0, facing if part else np.nan))
    for layer, surface in (("tees", "tee"), ("approaches", "approach")):
        for row in board.rows[layer]:
            shape = row["geometry"].buffer(0)
            at = shape.representative_point()
            places = [at]
            if surface == "approach":
                west, _, east, _ = shape.bounds
                places = [shapely.Point(west, at.y), shapely.Point(east, at.y)]
            spots += [(surface, row["hole"], place, 360.0, np.nan) for place in places]
    for row in board.rows["sprinklers"]:
        if row["serves"] == "fairway":
            spots.append(("fairway", row["hole"], row["geometry"], 360.0, np.nan))
    return spots


def draw_heads(board: Drawing, place: Callable[[BaseGeometry], BaseGeometry], turn: float, file: Path) -> None:
    """Write the heads in longitude and latitude; ``turn`` is how far the drawing board is turned [degrees]."""
    rows, points = [], []
    count: dict[tuple[str, str], int] = {}
    for number, (surface, hole, at, arc, facing) in enumerate(_spots(board)):
        throw, flow, a_station = KINDS[surface]
        own = stream(60, number).random()
        at_hole = count[surface, hole] = count.get((surface, hole), 0) + 1
        part = (at_hole - 1) // a_station + 1
        name = f"{surface[0].upper()}{hole}" + (f"-{part}" if surface in ("fairway", "tee") else "")
        rows.append(
            {
                "name": f"{name}.{(at_hole - 1) % a_station + 1}",
                "hole": hole,
                "serves": surface,
                "station": name,
                "controller": "east" if hole.isdecimal() and int(hole) > 9 else "west",
                "throw_m": round(throw + 1.0 * (own - 0.5), 1),
                "arc": arc,
                "facing": None if np.isnan(facing) else round(float(facing - turn) % 360, 0),
                "flow_l_min": round(flow * (1 + 0.06 * (own - 0.5)), 1),
                "pressure_bar": round(5.5 + 0.6 * (own - 0.5), 1),
            }
        )
        points.append(place(at))
    rows[5]["flow_l_min"] = None
    rows.append({**rows[9], "name": "found again"})
    points.append(points[9])
    rows[14]["facing"] = None
    degrees = gpd.GeoSeries(points, crs=GRID).to_crs("EPSG:4326")
    features = [
        {
            "type": "Feature",
            "properties": row,
            "geometry": {"type": "Point", "coordinates": [round(point.x, 7), round(point.y, 7)]},
        }
        for row, point in zip(rows, degrees, strict=True)
    ]
    lines = ",\n".join(json.dumps(feature) for feature in features)
    file.write_text('{"type": "FeatureCollection", "features": [\n' + lines + "\n]}\n", encoding="utf-8")


def draw_cans(board: Drawing, place: Callable[[BaseGeometry], BaseGeometry], file: Path) -> None:
    """Write ``lon``, ``lat`` and ``caught_ml`` of cans in a square grid on one green."""
    (green,) = (row["geometry"].buffer(-0.5) for row in board.rows["greens"] if row["hole"] == GREEN_OF_CANS)
    west, south, east, north = green.bounds
    spots = [
        at
        for x in np.arange(west + CAN_STEP / 2, east, CAN_STEP)
        for y in np.arange(south + CAN_STEP / 2, north, CAN_STEP)
        if green.contains(at := shapely.Point(x, y))
    ]
    degrees = gpd.GeoSeries([place(at) for at in spots], crs=GRID).to_crs("EPSG:4326")
    with file.open("w", encoding="utf-8", newline="\n") as out:
        table = csv.writer(out, lineterminator="\n")
        table.writerow(["lon", "lat", "caught_ml"])
        for number, (at, point) in enumerate(zip(spots, degrees, strict=True)):
            # a breath of wind from the west: the east side gets more
            caught = 16 + 5 * (at.x - west) / (east - west) + 6 * (stream(61, number).random() - 0.5)
            table.writerow([f"{point.x:.7f}", f"{point.y:.7f}", round(float(caught))])
