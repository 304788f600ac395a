"""The ways to beat: what a practised hand would write with geopandas, shapely or pyproj alone."""

import geopandas as gpd
import numpy as np
import pyproj
import shapely
from courses import Pile

GEOD = pyproj.Geod(ellps="WGS84")

# The script of issue fame: read a file, print an area.
READ_AND_PRINT = """
import sys
import geopandas

table = geopandas.read_file(sys.argv[1])
areas = table[table.geom_type.isin(["Polygon", "MultiPolygon"])]
print(areas.to_crs(areas.estimate_utm_crs()).area.sum())
"""


def nets_by_overlay(pile: Pile) -> np.ndarray:
    """Net area of each surface: geopandas.overlay of each with all that lie above it."""
    table = gpd.GeoDataFrame({"surface": pile.surface}, geometry=pile.shapes)
    areas = []
    for place, surface in enumerate(pile.order):
        here, above = table[table["surface"] == surface], table[table["surface"].isin(pile.order[:place])]
        if len(here) and len(above):
            here = gpd.overlay(here, above[["geometry"]], how="difference")
        areas.append(here.area.sum())
    return np.array(areas)


def nets_by_union(pile: Pile) -> np.ndarray:
    """Net area of each surface: the union of its shapes less the union of all above, level by level."""
    above, areas = shapely.Polygon(), []
    for surface in pile.order:
        here = shapely.union_all(pile.shapes[pile.surface == surface])
        areas.append(shapely.difference(here, above).area)
        above = shapely.union(above, here)
    return np.array(areas)


def areas_by_geod(shapes: np.ndarray) -> np.ndarray:
    """Areas of shapes in degrees, one geodesic polygon after the other."""
    return np.array([abs(GEOD.geometry_area_perimeter(shape)[0]) for shape in shapes])


def passes_by_lines(shapes: np.ndarray, directions: np.ndarray, width: float) -> tuple[np.ndarray, np.ndarray]:
    """Number of passes over each shape and their length, every pass a line that shapely cuts to the shape."""
    count, length = np.zeros((len(directions), len(shapes))), np.zeros((len(directions), len(shapes)))
    for row, degrees in enumerate(directions):
        along, across = np.array([[np.sin(a), np.cos(a)] for a in np.radians([degrees, degrees + 90.0])])
        for place, shape in enumerate(shapes):
            corners = shapely.get_coordinates(shape)
            u, v = corners @ along, corners @ across
            lines = max(int(np.ceil(np.ptp(v) / width - 0.01)), 1)
            at = np.multiply.outer(v.min() + (np.arange(lines) + 0.5) * np.ptp(v) / lines, across)
            whole = np.stack([at + along * (u.min() - 1.0), at + along * (u.max() + 1.0)], axis=1)
            parts = shapely.get_parts(shapely.intersection(shapely.linestrings(whole), shape))
            metres = shapely.length(parts)
            count[row, place], length[row, place] = (metres > 0).sum(), metres.sum()
    return count, length
