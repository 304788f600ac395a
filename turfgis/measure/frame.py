"""
The frame a course is measured in: a Lambert azimuthal equal-area map centred on the course.

An area in this frame is the area on the ellipsoid (relative difference about 1e-9), and lengths are true to a few parts
in a million within 10 km of its centre. Areas are never taken from Web Mercator or a transverse Mercator grid.
"""

from collections.abc import Sequence

import numpy as np
import pyproj
import shapely
from pyproj.crs import ProjectedCRS
from pyproj.crs.coordinate_operation import LambertAzimuthalEqualAreaConversion

# Longer edges are parted before they are projected, because they are straight in the drawing, not in the frame.
LONGEST_EDGE_M = 2000.0


def local_frame(centres: Sequence[tuple[pyproj.CRS, float, float]]) -> pyproj.CRS:
    """
    A local equal-area frame for layers that may lie in different reference systems.

    Parameters
    ----------
    centres
        For each layer its reference system and the middle of its shapes there, x before y.

    Returns
    -------
    An equal-area reference system in metres on the datum that the layers share, or else on WGS 84. Its centre is
    rounded to a hundredth of a degree, so that a redrawn edge does not move the frame.

    Examples
    --------
    >>> local_frame([(pyproj.CRS(4326), -6.2, 53.3)]).coordinate_operation.method_name
    'Lambert Azimuthal Equal Area'
    """
    datums = {crs.geodetic_crs.name: crs.geodetic_crs for crs, _, _ in centres if crs.geodetic_crs is not None}
    base = next(iter(datums.values())) if len(datums) == 1 else pyproj.CRS(4326)
    base = base.to_2d() if len(base.axis_info) > 2 else base
    degrees = []
    for crs, x, y in centres:
        if crs.is_geographic:
            degrees.append((x, y))
        else:
            geographic = pyproj.Transformer.from_crs(crs, crs.geodetic_crs, always_xy=True)
            degrees.append(geographic.transform(x, y))
    longitude, latitude = np.median(np.asarray(degrees), axis=0).round(2)
    conversion = LambertAzimuthalEqualAreaConversion(
        latitude_natural_origin=float(latitude), longitude_natural_origin=float(longitude)
    )
    return ProjectedCRS(conversion, name="Local equal-area frame of the course", geodetic_crs=base)


def project(shapes: np.ndarray, crs: pyproj.CRS, frame: pyproj.CRS) -> np.ndarray:
    """
    Shapes moved from the system they were drawn in to the frame.

    Parameters
    ----------
    shapes
        Array of shapely geometries, x before y.
    crs, frame
        Where they are and where they go.

    Returns
    -------
    New array of geometries in the frame. [m] Edges stay straight in the system they were drawn in.
    """
    transformer = pyproj.Transformer.from_crs(crs, frame, always_xy=True)

    def moved(coordinates: np.ndarray) -> np.ndarray:
        return np.column_stack(transformer.transform(coordinates[:, 0], coordinates[:, 1]))

    projected = shapely.transform(shapes, moved)
    long = longest_edge(projected) > LONGEST_EDGE_M
    if long.any():
        step = LONGEST_EDGE_M / (111_320.0 if crs.is_geographic else crs.axis_info[0].unit_conversion_factor)
        projected[long] = shapely.transform(shapely.segmentize(shapes[long], step), moved)
    return projected


def longest_edge(shapes: np.ndarray) -> np.ndarray:
    """Length of the longest edge of each shape. [units of the shapes]"""
    xy, owner = shapely.get_coordinates(shapes, return_index=True)
    longest = np.zeros(len(shapes))
    if len(xy) > 1:
        same = owner[1:] == owner[:-1]
        np.maximum.at(longest, owner[1:][same], np.hypot(*np.diff(xy, axis=0)[same].T))
    return longest


def datum_shift(crs: pyproj.CRS, frame: pyproj.CRS) -> float | None:
    """
    How far positions may be off because a datum shift is known only roughly here. [m]

    Returns
    -------
    The accuracy stated for the best shift at hand, or None where there is no shift. Areas do not suffer from it.
    """
    if crs.geodetic_crs is None or frame.geodetic_crs is None or crs.geodetic_crs.name == frame.geodetic_crs.name:
        return None
    accuracy = pyproj.Transformer.from_crs(crs, frame, always_xy=True).accuracy
    return accuracy if accuracy is not None and accuracy > 0 else None
