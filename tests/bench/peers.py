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
