"""Ground that a spreader really covers: the net area and what is thrown past the edge."""

import geopandas as gpd
import numpy as np

from turfgis.errors import InputError
from turfgis.measure.strips import overthrow_areas


def with_treated(patches: gpd.GeoDataFrame, reach: float) -> gpd.GeoDataFrame:
    """
    The table of patches with a column ``treated_m2``.

    Parameters
    ----------
    patches
        Patches with ``surface``, ``net_m2`` and net shapes.
    reach
        How far past the edge material is thrown. [m]

    Returns
    -------
    A new table. Each surface is treated by itself: what one green throws onto its collar counts for the green, and
    ground of a neighbour of the same surface is not counted twice.

    Raises
    ------
    InputError
        The reach is below zero.
    """
    if reach < 0:
        raise InputError(f"overthrow reaches past the edge and cannot be below zero: {reach:g} m")
    shapes, surface = patches.geometry.to_numpy(), patches["surface"].to_numpy()
    beyond = np.zeros(len(patches))
    for name in dict.fromkeys(surface):
        on = surface == name
        beyond[on] = overthrow_areas(shapes[on], reach)
    treated = patches.copy()
    treated["treated_m2"] = patches["net_m2"] + beyond
    return treated
