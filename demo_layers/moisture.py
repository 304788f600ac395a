"""Readings of a made-up moisture probe: a dozen points on every green, drier on one side and with a damp hollow."""

import csv
from collections.abc import Callable
from pathlib import Path

import geopandas as gpd
import numpy as np
import shapely
from holes import Drawing, stream
from shapely.geometry.base import BaseGeometry

GRID = "EPSG:2157"
STEP = 6.5  # from one reading to the next [m]
INWARD = 1.0  # no reading nearer to the edge [m]


def draw_readings(board: Drawing, place: Callable[[BaseGeometry], BaseGeometry], file: Path) -> None:
    """Write ``lon``, ``lat``, ``green`` and ``moisture`` [% of volume] of every reading."""
    rows, points = [], []
    for number, row in enumerate(board.rows["greens"]):
        green, rng = row["geometry"].buffer(-INWARD), stream(40, number)
        base, slope, way = 19 + 8 * rng.random(), 3 + 3 * rng.random(), 2 * np.pi * rng.random()
        west, south, east, north = green.bounds
        hollow = np.array([west, south]) + rng.random(2) * (east - west, north - south)
        middle = np.array(green.centroid.coords[0])
        for x in np.arange(west + STEP / 2, east, STEP):
            for y in np.arange(south + STEP / 2, north, STEP):
                at = np.array([x, y]) + 2 * (rng.random(2) - 0.5)
                error = rng.random() - 0.5
                if not green.contains(shapely.Point(at)):
                    continue
                along = (at - middle) @ (np.cos(way), np.sin(way)) / 12
                damp = 6 * np.exp(-(np.hypot(*(at - hollow)) ** 2) / 40)
                points.append(place(shapely.Point(at)))
                rows.append((row["hole"], round(float(base + slope * along + damp + 2 * error), 1)))
    degrees = gpd.GeoSeries(points, crs=GRID).to_crs("EPSG:4326")
    with file.open("w", encoding="utf-8", newline="\n") as out:
        table = csv.writer(out, lineterminator="\n")
        table.writerow(["lon", "lat", "green", "moisture"])
        table.writerows(
            [f"{point.x:.7f}", f"{point.y:.7f}", hole, value]
            for point, (hole, value) in zip(degrees, rows, strict=True)
        )
