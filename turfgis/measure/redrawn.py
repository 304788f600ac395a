"""Patches of one name in two drawings of a course, and how uncertain the ground between them is."""

import geopandas as gpd
import numpy as np
import shapely

from turfgis.formulas.geodesy import offset_area_uncertainty

NOTHING_M2 = 1e-3  # what cutting, and another frame around one more layer, can leave


def redrawn_uncertainties(old: gpd.GeoDataFrame, new: gpd.GeoDataFrame, accuracy_m: float) -> dict[str, float]:
    """
    Standard uncertainty of the area by which patches differ that were drawn anew.

    Parameters
    ----------
    old, new
        Tables of patches.
    accuracy_m
        How far the edges of the ground between them may be drawn in or out as a whole (standard deviation). [m]

    Returns
    -------
    Patch -> standard uncertainty [m2], for those in both tables whose net area differs. The ground between two drawings
    of a patch is as uncertain as one that is drawn by itself, along all of its edge.
    """
    before, after = old.set_index("patch"), new.set_index("patch")
    both = before.index.intersection(after.index, sort=False)
    apart = before.loc[both, "net_m2"].to_numpy(dtype=float) - after.loc[both, "net_m2"].to_numpy(dtype=float)
    changed = both[np.abs(apart) > NOTHING_M2]
    shapes = after.loc[changed].geometry.to_crs(before.crs).to_numpy()
    between = shapely.symmetric_difference(before.loc[changed].geometry.to_numpy(), shapes)
    spreads = offset_area_uncertainty(shapely.length(between), accuracy_m)
    return dict(zip(changed.tolist(), np.atleast_1d(spreads).tolist(), strict=True))
