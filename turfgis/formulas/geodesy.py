"""
Areas on the ellipsoid and how far they may be out.

The functions need no map projection library: a ring in degrees is laid out in a cylindrical equal-area plane, where
its area is an integral along its edges.
"""

import numpy as np

from turfgis.errors import InputError
from turfgis.formulas.arguments import not_negative, positive

# Semi-major axis [m] and flattening [-] of WGS 84 (source "nga-wgs84").
WGS84_A, WGS84_F = 6378137.0, 1 / 298.257223563

# Points worked on at once: their intermediate arrays stay in the processor's cache.
BLOCK = 16_384


def ring_area(lon, lat, a=WGS84_A, f=WGS84_F):
    r"""
    Area of one ring on an ellipsoid.

    .. math:: \frac{a^2}{2} \oint q(\varphi) \, d\lambda

    Parameters
    ----------
    lon, lat
        Corners in order, in either direction, the first repeated at the end or not. [degrees]
    a
        Semi-major axis of the ellipsoid. [m]
    f
        Flattening of the ellipsoid; 0 is a sphere. [-]

    Returns
    -------
    Area, never below zero. [m2]

    Raises
    ------
    InputError
        See `ring_areas`.

    Notes
    -----
    See `ring_areas`.

    Examples
    --------
    A cell of one degree at 45 degrees north, in square kilometres:

    >>> print(f"{ring_area([7, 8, 8, 7], [45, 45, 46, 46]) / 1e6:.3f}")
    8686.495
    """
    return float(ring_areas(lon, lat, [0, np.size(lon)], a, f)[0])


def ring_areas(lon, lat, offsets, a=WGS84_A, f=WGS84_F):
    r"""
    Areas of many rings on an ellipsoid, all their corners in one pair of arrays.

    .. math::

        A = \frac{a^2}{2} \oint q(\varphi) \, d\lambda, \qquad
        q = (1 - e^2) \left( \frac{\sin\varphi}{1 - e^2 \sin^2\varphi} + \frac{\tanh^{-1}(e \sin\varphi)}{e} \right)

    Parameters
    ----------
    lon, lat
        Corners of all rings, one ring after the other. [degrees]
    offsets
        Where each ring begins, and at the end the number of corners: ring k is ``lon[offsets[k]:offsets[k + 1]]``.
    a
        Semi-major axis of the ellipsoid. [m]
    f
        Flattening of the ellipsoid; 0 is a sphere. [-]

    Returns
    -------
    Array of areas, never below zero. [m2]

    Raises
    ------
    InputError
        Arrays do not match, a coordinate is not a finite number of degrees, a ring has fewer than three corners or
        goes round a pole, or the ellipsoid has no meaning.

    Notes
    -----
    Equal-area (authalic) latitude as in Snyder (source ``snyder-1987``), eq. 3-12. Edges are straight in longitude
    and latitude; along each the integral is taken by Simpson's rule, which is exact on meridians and parallels.
    Between neighbouring corners the shorter way round is taken, so rings may cross the antimeridian.

    Examples
    --------
    Two rings, a square and a triangle, the second across the antimeridian:

    >>> lon = [0, 0.001, 0.001, 0, 179.9995, -179.9995, 180]
    >>> lat = [0, 0, 0.001, 0.001, 0, 0, 0.001]
    >>> print(ring_areas(lon, lat, [0, 4, 7]).round(1))
    [12309.1  6154.5]
    """
    lon, lat, offsets, e2 = _checked_rings(lon, lat, offsets, positive("semi-major axis", a, "m"), f)
    areas = np.empty(len(offsets) - 1)
    first = 0
    while first < len(areas):
        last = max(first + 1, int(np.searchsorted(offsets, offsets[first] + BLOCK, side="right")) - 1)
        points = slice(offsets[first], offsets[last])
        starts = offsets[first:last] - offsets[first]
        areas[first:last] = _block_areas(lon[points], lat[points], starts, e2)
        first = last
    return areas * (a**2 / 2)


def offset_area_uncertainty(perimeter, edge_sd):
    r"""
    Standard uncertainty of an area whose whole edge may lie a little in or out.

    .. math:: u = s P

    Parameters
    ----------
    perimeter
        Length of the edge, edges of holes included. [m]
    edge_sd
        Standard deviation of the distance by which the edge as a whole is drawn in or out. [m]

    Returns
    -------
    Standard uncertainty of the area. [m2]

    Raises
    ------
    InputError
        An argument is below zero.

    Notes
    -----
    First order: a strip along the edge. Propagation as in the GUM (source ``gum-2008``).

    Examples
    --------
    >>> print(f"{offset_area_uncertainty(85.0, 0.3):.1f}")
    25.5
    """
    return not_negative("perimeter", perimeter, "m") * not_negative("edge deviation", edge_sd, "m")


def vertex_area_uncertainty(x, y, vertex_sd):
    r"""
    Standard uncertainty of a plane area whose corners each carry an error of their own.

    .. math:: u = \frac{s}{2} \sqrt{\sum_i |p_{i+1} - p_{i-1}|^2}

    Parameters
    ----------
    x, y
        Corners of one ring in order, the first repeated at the end or not. [m]
    vertex_sd
        Standard deviation of a corner along each axis, independent of the other corners. [m]

    Returns
    -------
    Standard uncertainty of the area. [m2]

    Raises
    ------
    InputError
        The arrays do not match, a value is not finite, there are fewer than three corners, or the deviation is below
        zero.

    Notes
    -----
    Propagation of error through the shoelace sum, first order; for several rings add the squares. A shift common to
    all corners leaves the area as it is, and an edge drawn in or out as a whole is not covered: see
    `offset_area_uncertainty`.

    Examples
    --------
    A rectangle of 100 by 60 metres, corners good to half a metre:

    >>> print(f"{vertex_area_uncertainty([0, 100, 100, 0], [0, 0, 60, 60], 0.5):.1f}")
    58.3
    """
    x, y = _checked_corners(x, y, "x", "y")
    if (x[0], y[0]) == (x[-1], y[-1]):
        x, y = x[:-1], y[:-1]
    if len(x) < 3:
        raise InputError(f"a ring needs at least three corners, but {len(x)} given")
    diagonals = (np.roll(x, -1) - np.roll(x, 1)) ** 2 + (np.roll(y, -1) - np.roll(y, 1)) ** 2
    return not_negative("corner deviation", vertex_sd, "m") / 2 * np.sqrt(diagonals.sum())


def true_area_factor(slope):
    r"""
    Area along a slope over its area on the map.

    .. math:: \frac{1}{\cos \theta}

    Parameters
    ----------
    slope
        Angle from the horizontal. [rad]

    Returns
    -------
    Factor, 1 on the level. [-]

    Raises
    ------
    InputError
        The angle is not from 0 to less than a right angle.

    Notes
    -----
    Plain geometry of a tilted plane. The factor applies once: lengths across the slope do not grow.

    Examples
    --------
    >>> print(f"{true_area_factor(np.radians(30)):.4f}")
    1.1547
    """
    angle = not_negative("slope", slope, "rad")
    if (angle >= np.pi / 2).any():
        raise InputError("slope must be less than a right angle (1.5708 rad); degrees are not accepted here")
    return 1 / np.cos(angle)


def _block_areas(lon, lat, starts, e2):
    """Areas of a block of rings in units of half the squared semi-major axis."""
    following = np.arange(1, len(lon) + 1)
    following[np.append(starts[1:], len(lon)) - 1] = starts
    step = lon[following] - lon
    step -= 360 * np.round(step / 360)
    if np.any(np.abs(np.add.reduceat(step, starts)) > 1):
        raise InputError("a ring goes round a pole, where its area cannot be told from its edges")
    ring = np.repeat(np.arange(len(starts)), np.diff(np.append(starts, len(lon))))
    corner = _strip(np.sin(np.radians(lat)), e2)
    middle = _strip(np.sin(np.radians((lat + lat[following]) / 2)), e2)
    # Heights count from the ring's first corner: differences of metres are not lost in the size of the Earth.
    height = (corner + 4 * middle + corner[following]) / 6 - corner[starts][ring]
    return np.abs(np.add.reduceat(np.radians(step) * height, starts))


def _strip(sine, e2):
    if e2 == 0:
        return 2 * sine
    e = np.sqrt(e2)
    return (1 - e2) * (sine / (1 - e2 * sine**2) + np.arctanh(e * sine) / e)


def _checked_rings(lon, lat, offsets, a, f):
    lon, lat = _checked_corners(lon, lat, "longitude", "latitude")
    if np.any(np.abs(lat) > 90) or np.any(np.abs(lon) > 360):
        raise InputError(
            "latitudes must lie in -90 to 90 and longitudes in -360 to 360 degrees; metres do not fit here"
        )
    offsets = np.asarray(offsets)
    fits = offsets.ndim == 1 and offsets.dtype.kind in "iu" and len(offsets) > 0 and offsets[0] == 0
    if not fits or offsets[-1] != len(lon):
        raise InputError(f"offsets must be whole numbers from 0 to the number of corners, {len(lon)}")
    if np.any(np.diff(offsets) < 3):
        raise InputError("a ring needs at least three corners; check the order of the offsets")
    if not (np.ndim(f) == 0 and 0 <= f < 1):
        raise InputError(f"flattening must be a number from 0 to less than 1, as 1/298.257 = 0.00335, but it is {f!r}")
    return lon, lat, offsets.astype(int), f * (2 - f)


def _checked_corners(x, y, x_name, y_name):
    try:
        x, y = np.asarray(x, dtype=float), np.asarray(y, dtype=float)
    except (TypeError, ValueError):
        raise InputError(f"{x_name} and {y_name} must be arrays of numbers") from None
    if x.ndim != 1 or x.shape != y.shape or x.size == 0:
        raise InputError(f"{x_name} and {y_name} must be two flat arrays of the same length, with at least one corner")
    if not (np.isfinite(x).all() and np.isfinite(y).all()):
        raise InputError(f"{x_name} and {y_name} must be finite numbers")
    return x, y
