"""Ground that heads reach as shapes: circles and parts of circles, what they wet together, and what they miss."""

import geopandas as gpd
import numpy as np
import pandas as pd
import shapely

from turfgis.measure.heads import FULL
from turfgis.measure.strips import without_zones

NOTHING_M2 = 1.0  # less than this in one piece is no dry place that anybody could see
QUARTER_PIECES = 32


def head_shapes(heads: pd.DataFrame) -> np.ndarray:
    """
    What each head reaches: a circle, or the part of one that it waters. Shape (n,).

    Parameters
    ----------
    heads
        As from :func:`turfgis.measure.heads.lay_heads`.
    """
    step = np.linspace(-0.5, 0.5, 65)
    shapes = []
    for point, throw, arc, facing in heads[["geometry", "throw_m", "arc_rad", "facing_rad"]].itertuples(index=False):
        if arc >= FULL:
            shapes.append(point.buffer(throw, quad_segs=QUARTER_PIECES))
            continue
        way = facing + arc * step
        rim = np.column_stack([point.x + throw * np.sin(way), point.y + throw * np.cos(way)])
        shapes.append(shapely.Polygon(np.vstack([[point.x, point.y], rim])))
    return np.array(shapes, dtype=object)


def wetted_m2(heads: pd.DataFrame) -> float:
    """
    Ground that some heads wet together, each place once. [m2]

    Parameters
    ----------
    heads
        As from :func:`turfgis.measure.heads.lay_heads`.
    """
    return float(shapely.union_all(head_shapes(heads)).area)


def missed_ground(heads: gpd.GeoDataFrame, patches: gpd.GeoDataFrame) -> gpd.GeoDataFrame:
    """
    Ground of the patches that heads serve and no head reaches.

    Parameters
    ----------
    heads
        As from :func:`turfgis.measure.heads.lay_heads`.
    patches
        Patches of the course in the same frame.

    Returns
    -------
    ``patch`` and shape, one row for each patch of which something is missed; pieces under a square metre are left out.
    """
    served = patches.loc[patches["patch"].isin(list(heads["patch"])).to_numpy(), ["patch", patches.geometry.name]]
    left = without_zones(served.geometry.to_numpy(), head_shapes(heads))
    parts, place = shapely.get_parts(left, return_index=True)
    large = shapely.area(parts) >= NOTHING_M2
    table = gpd.GeoDataFrame(
        {"patch": served["patch"].to_numpy()[place[large]]}, geometry=parts[large], crs=patches.crs
    )
    return table.dissolve("patch", as_index=False) if len(table) else table
