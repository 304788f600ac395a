"""Outlines that a hand has not drawn: walked with a receiver, or traced from the photo. Each is only proposed."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pyproj
import shapely

from turfgis.errors import InputError
from turfgis.layers.read import read_layers
from turfgis.measure.editing import walked
from turfgis.measure.stored import in_frame

THINNED_M = 0.05  # a walk keeps the corners that lie further than this off the edge without them
DEGREES = pyproj.CRS(4326)


def read_walk(file: Path, frame: pyproj.CRS) -> Any:
    """
    The area within a walked edge.

    Parameters
    ----------
    file
        A track as a receiver writes it, or any other file of lines or areas.
    frame
        The equal-area frame of the course.

    Returns
    -------
    The largest area in it. [m]

    Raises
    ------
    LayerError
        The file cannot be read.
    InputError
        Nothing in it closes to an area.
    """
    layers, _ = read_layers(file, role="track")
    found, reasons = [], []
    for layer in layers:
        found += [one for one in in_frame(layer.areas.geometry.to_numpy(), layer.crs, frame) if shapely.is_valid(one)]
        for line in in_frame(layer.lines.geometry.to_numpy(), layer.crs, frame):
            try:
                found.append(walked(line, THINNED_M))
            except InputError as error:
                reasons.append(str(error))
    if not found:
        raise InputError(reasons[0] if reasons else "there is no line and no area in the file")
    parts = shapely.get_parts(np.array(found, dtype=object))
    return max(parts, key=shapely.area)


def outline_of(
    area: Any, frame: pyproj.CRS, to_degrees: Callable[[np.ndarray], np.ndarray] | None = None
) -> np.ndarray:
    """
    Longitude and latitude of the corners of an outline, without the closing one; cut-outs are left away.

    Parameters
    ----------
    area, frame
        A polygon, and the system it is in. [m]
    to_degrees
        The way back, where it is at hand.

    Examples
    --------
    >>> from turfgis.measure.frame import local_frame
    >>> frame = local_frame([(DEGREES, -10.37, 53.15)])
    >>> outline_of(shapely.box(0, 0, 10, 10), frame).round(4).tolist()[2:]
    [[-10.37, 53.1501], [-10.37, 53.15]]
    """
    corners = shapely.get_coordinates(shapely.get_exterior_ring(area))[:-1]
    if to_degrees is not None:
        return to_degrees(corners)
    back = pyproj.Transformer.from_crs(frame, DEGREES, always_xy=True)
    return np.column_stack(back.transform(corners[:, 0], corners[:, 1]))
