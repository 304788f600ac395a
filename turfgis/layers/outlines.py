"""Lines that go round an area: closed ones become areas, and so does an edge that was walked with a receiver."""

from dataclasses import dataclass

import numpy as np
import shapely

# A walk is closed when its ends are no further apart than this share of its length. Common practice, no source.
WIDEST_GAP = 0.1
CLOSED = 1e-6  # share of the length below which the ends of a line are one point


@dataclass(frozen=True)
class Outline:
    """
    What became of one line.

    Attributes
    ----------
    area
        None where the line stays open.
    gap_m, length_m
        Between its ends, and along it. [m] Rough, for messages.
    closed_m2
        What an open line would enclose if its ends were joined. [m2] Rough, for messages.
    """

    area: shapely.Geometry | None
    gap_m: float
    length_m: float
    closed_m2: float = 0.0


def outline(shape: shapely.Geometry, metres: tuple[float, float], walked: bool) -> Outline:
    """
    Area within a line.

    Parameters
    ----------
    shape
        LineString or MultiLineString.
    metres
        About how many metres one unit of x and one of y is.
    walked
        Whether it is a walked edge, so that a small gap between its ends is closed too. Parts of a walk (after a
        pause of the receiver) are joined in their order where they do not close by themselves.

    Returns
    -------
    The area, or None where the ends lie too far apart.

    Examples
    --------
    Three sides of a square of 10 m, the last point 0.5 m short of the first:

    >>> line = shapely.LineString([(0, 0), (10, 0), (10, 10), (0, 10), (0, 0.5)])
    >>> outline(line, (1.0, 1.0), walked=False).area is None
    True
    >>> walk = outline(line, (1.0, 1.0), walked=True)
    >>> walk.area.area, walk.gap_m
    (100.0, 0.5)
    """
    parts = [shapely.get_coordinates(part) for part in shapely.get_parts(shape)]
    widest = WIDEST_GAP if walked else CLOSED
    rings = [_ring(part, metres, widest) for part in parts]
    if walked and len(parts) > 1 and any(ring.area is None for ring in rings):
        rings = [_ring(np.concatenate(parts), metres, widest)]
    open_ones = [ring for ring in rings if ring.area is None]
    if open_ones:
        return max(open_ones, key=lambda ring: ring.closed_m2)
    areas = shapely.union_all([ring.area for ring in rings]) if len(rings) > 1 else rings[0].area
    return Outline(areas, max(ring.gap_m for ring in rings), sum(ring.length_m for ring in rings))


def _ring(points: np.ndarray, metres: tuple[float, float], widest: float) -> Outline:
    steps = np.hypot(*(np.diff(points, axis=0) * metres).T)
    gap = float(np.hypot(*((points[-1] - points[0]) * metres)))
    length = float(steps.sum())
    if len(points) < 3 or gap > widest * length or (len(points) == 3 and gap == 0.0):
        closed = shapely.Polygon(points).area * metres[0] * metres[1] if len(points) > 2 else 0.0
        return Outline(None, gap, length, closed)
    return Outline(shapely.Polygon(points), gap, length)
