"""Ground that is left out of spraying: strips beside water, drains and boundaries, and whatever was drawn for it."""

from collections.abc import Mapping

import geopandas as gpd
import numpy as np
import shapely

from turfgis.measure.patches import Measured
from turfgis.measure.strips import QUARTER_PIECES, without_zones


def keep_off_zones(measured: Measured, metres: Mapping[str, float]) -> gpd.GeoDataFrame:
    """
    All ground that is too near to what is to be kept off.

    Parameters
    ----------
    measured
        A measured course.
    metres
        A surface, or the label of what was drawn to be kept off -> how far to stay away from it. [m]

    Returns
    -------
    ``label``, ``distance_m`` and area, one row for each shape. What was drawn to be kept off is there in any case: an
    area with its own ground, anything with the distance that its layer says where that is greater. Paths drawn as
    lines count for the surface ``path``.
    """
    labels: list[str] = []
    distances: list[float] = []
    zones: list[np.ndarray] = []

    def add(label: str, shapes: np.ndarray, distance: np.ndarray | float) -> None:
        wide = shapely.buffer(shapes, distance, quad_segs=QUARTER_PIECES)
        labels.extend([label] * len(wide))
        distances.extend(np.broadcast_to(distance, len(wide)).tolist())
        zones.append(wide)

    surface, shapes = measured.patches["surface"].to_numpy(), measured.patches.geometry.to_numpy()
    for label, distance in metres.items():
        add(label, shapes[surface == label], distance)
        if label == "path":
            add(label, measured.path_lines.geometry.to_numpy(), distance)
    drawn, own = measured.keep_off["label"].to_numpy(), measured.keep_off["distance_m"].to_numpy(dtype=float)
    for label in dict.fromkeys(drawn):
        here = drawn == label
        add(label, measured.keep_off.geometry.to_numpy()[here], np.maximum(own[here], metres.get(label, 0.0)))
    ground = np.concatenate(zones) if zones else np.array([], dtype=object)
    table = gpd.GeoDataFrame(
        {"label": labels, "distance_m": distances}, geometry=gpd.GeoSeries(ground, crs=measured.frame)
    )
    return table.loc[~table.geometry.is_empty.to_numpy(dtype=bool)].reset_index(drop=True)


def left_to_spray(shapes: np.ndarray, zones: gpd.GeoDataFrame) -> tuple[np.ndarray, np.ndarray]:
    """
    What zones leave of shapes.

    Parameters
    ----------
    shapes, zones
        Net shapes of patches, and the zones of :func:`keep_off_zones`. [m] Shape (n,).

    Returns
    -------
    shapes, areas
        What is left, and how much that is. [m], [m2] Shapes (n,).
    """
    left = without_zones(shapes, zones.geometry.to_numpy())
    return left, shapely.area(left)


def shaded_strips(measured: Measured, zones: gpd.GeoDataFrame) -> np.ndarray:
    """
    Strips as a map shades them: zones as one shape, without the water or other ground that they run along.

    Parameters
    ----------
    measured, zones
        A measured course, and what :func:`keep_off_zones` found on it.

    Returns
    -------
    One shape, or none. [m] Shape (0,) or (1,).
    """
    if zones.empty:
        return np.array([], dtype=object)
    patches = measured.patches
    own = patches.geometry.to_numpy()[patches["surface"].isin(list(zones["label"])).to_numpy()]
    ground = without_zones(np.array([shapely.union_all(zones.geometry.to_numpy())], dtype=object), own)
    return ground[~shapely.is_empty(ground)]
