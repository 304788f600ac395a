"""
What is done to drawn areas by hand: part, merge, cut out, go along an edge, move single corners.

Everything here is in metres of the course's own frame, and never of a web map. Each function gives new shapes and
changes none; what would give no valid area is refused in words for whoever holds the pen.
"""

from collections.abc import Sequence
from typing import Any

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from turfgis.errors import InputError
from turfgis.formulas.arguments import not_negative, positive
from turfgis.layers.outlines import WIDEST_GAP, outline
from turfgis.measure.corners import inserted_vertex, moved_vertex, nearest_corner, nearest_edge, without_vertex
from turfgis.measure.rings import Corner, Place, Redrawn, Rings, area_of, checked, nearest_edges, rings_of, with_points
from turfgis.measure.snapping import ON_IT_M, bordered, snapped
from turfgis.measure.strips import QUARTER_PIECES

__all__ = [
    "Corner",
    "Redrawn",
    "bordered",
    "cut_out",
    "inserted_vertex",
    "merged",
    "moved_vertex",
    "nearest_corner",
    "nearest_edge",
    "parted",
    "snapped",
    "strip_along",
    "walked",
    "without_vertex",
]

NOTHING_M2 = 1e-6  # what the arithmetic of cutting may leave, and no pen draws


def parted(shape: BaseGeometry, line: BaseGeometry) -> list[shapely.Polygon]:
    """
    Parts of an area on both sides of a line.

    Parameters
    ----------
    shape
        The area. [m]
    line
        Where to part it; it has to run right across. [m]

    Returns
    -------
    Two parts or more, the largest first. The corners of the area stay as they are, and parts share those on the cut.

    Raises
    ------
    InputError
        The line parts nothing.

    Examples
    --------
    >>> [part.area for part in parted(shapely.box(0, 0, 10, 4), shapely.LineString([(7, -1), (7, 5)]))]
    [28.0, 12.0]
    """
    rings_of(shape)
    if line is None or line.is_empty or line.length == 0:
        raise InputError("a line is needed to part an area; draw it from one side past the other")
    edges = shapely.union_all([shapely.boundary(shape), shapely.force_2d(line)])
    faces = shapely.get_parts(shapely.polygonize([edges]))
    inside = faces[shapely.contains_properly(shape, shapely.point_on_surface(faces))]
    inside = inside[shapely.area(inside) > NOTHING_M2]
    if len(inside) <= len(shapely.get_parts(shape)):
        raise InputError("the line does not part the area: begin it outside, cross the whole area, and end it outside")
    return inside[np.argsort(-shapely.area(inside), kind="stable")].tolist()


def merged(shapes: Sequence[BaseGeometry] | np.ndarray) -> BaseGeometry:
    """
    One area out of several that border on or overlap each other.

    Raises
    ------
    InputError
        There are fewer than two, or they lie apart.

    Examples
    --------
    >>> merged([shapely.box(0, 0, 10, 4), shapely.box(10, 0, 12, 4)]).area
    48.0
    """
    if len(shapes) < 2:
        raise InputError("two areas or more are needed to merge them")
    for shape in shapes:
        rings_of(shape)
    whole = shapely.union_all(np.asarray(shapes, dtype=object))
    whole = _without_pinholes(whole)
    apart = _apart(shapes, shapely.get_parts(whole))
    if apart is not None:
        lie = "touch in single points only" if apart < ON_IT_M else f"lie {apart:.2f} m apart"
        raise InputError(f"these areas {lie} and cannot become one; draw one up to the other first")
    return checked(whole, "merging these areas")


def _apart(shapes: Sequence[BaseGeometry] | np.ndarray, bodies: np.ndarray) -> float | None:
    """How far the first shape, and all that grew together with it, lies from the others; None where none is left."""
    drawn = np.asarray(shapes, dtype=object)
    within = shapely.intersects(shapely.point_on_surface(shapely.get_parts(drawn))[:, None], bodies)
    owner = shapely.get_parts(drawn, return_index=True)[1]
    together = owner == 0
    for _ in drawn:
        together = np.isin(owner, owner[within[:, within[together].any(axis=0)].any(axis=1)])
    if together.all():
        return None
    ours, others = np.unique(owner[together]), np.unique(owner[~together])
    return float(shapely.distance(shapely.union_all(drawn[ours]), shapely.union_all(drawn[others])))


def _without_pinholes(shape: Any) -> Any:
    """Without cut-outs that only rounding made along a shared border."""
    parts = [
        shapely.Polygon(part.exterior, [ring for ring in part.interiors if shapely.Polygon(ring).area > NOTHING_M2])
        for part in shapely.get_parts(shape)
    ]
    return parts[0] if len(parts) == 1 else shapely.MultiPolygon(parts)


def cut_out(shape: BaseGeometry, other: BaseGeometry) -> BaseGeometry:
    """
    An area without the ground of another.

    Raises
    ------
    InputError
        They do not overlap, or nothing is left.

    Examples
    --------
    >>> cut_out(shapely.box(0, 0, 10, 10), shapely.box(2, 2, 4, 4)).area
    96.0
    """
    for one in (shape, other):
        rings_of(one)
    left = shapely.difference(shape, other)
    if shape.area - left.area <= NOTHING_M2:
        raise InputError("nothing is cut out: the other area does not lie on this one")
    parts = shapely.get_parts(left)
    parts = parts[(shapely.get_type_id(parts) == 3) & (shapely.area(parts) > NOTHING_M2)]
    if not len(parts):
        raise InputError("nothing would be left: the other area covers this one; delete it instead")
    return checked(parts[0] if len(parts) == 1 else shapely.MultiPolygon(parts), "cutting this out")


def strip_along(
    shape: BaseGeometry,
    width_m: float,
    side: str = "outside",
    start: Place | None = None,
    end: Place | None = None,
    *,
    long_way: bool = False,
) -> BaseGeometry:
    """
    The strip along the edge of an area, right round or between two places on it.

    Parameters
    ----------
    shape
        The area. [m]
    width_m
        Width of the strip. [m]
    side
        ``"outside"`` or ``"inside"`` of the edge.
    start, end
        Two places on the edge, or near it: the nearest places on it are taken. [m] Right round where left out.
    long_way
        Between two places, whether to take the longer way round and not the shorter.

    Returns
    -------
    The strip; it shares the edge of the area corner for corner. Where it begins or ends within an edge, the area needs
    a corner there too: see `bordered`.

    Raises
    ------
    InputError
        There is no such strip.

    Examples
    --------
    >>> green = shapely.box(0, 0, 10, 10)
    >>> strip_along(green, 1.0, "inside").area
    36.0
    >>> strip_along(green, 1.0, "outside", (2, 0), (8, 0)).area
    6.0
    """
    width = float(positive("the width of the strip", width_m, "m"))
    if side not in ("outside", "inside"):
        raise InputError(f"a strip lies outside or inside of an edge, not '{side}'")
    if (start is None) != (end is None):
        raise InputError("a strip along a part of the edge needs the place where it begins and the one where it ends")
    rings, ends = rings_of(shape), []
    if start is not None and end is not None:
        shape, way, ends = _stretch(rings, np.asarray(start, dtype=float), np.asarray(end, dtype=float), long_way)
        band = shapely.buffer(way, width, quad_segs=QUARTER_PIECES, cap_style="flat")
    else:
        band = shapely.buffer(shapely.boundary(shape), width, quad_segs=QUARTER_PIECES)
    strip = shapely.difference(band, shape) if side == "outside" else shapely.intersection(band, shape)
    parts = shapely.get_parts(strip)
    parts = parts[(shapely.get_type_id(parts) == 3) & (shapely.area(parts) > NOTHING_M2)]
    if len(ends):  # what lies across a bay, and does not border on the stretch, was not meant
        parts = parts[shapely.distance(parts, way) <= ON_IT_M]
    if not len(parts) or (side == "inside" and shape.area - shapely.area(parts).sum() <= NOTHING_M2):
        raise InputError(f"no strip of {width:g} m lies {side} of this edge; take a narrower one")
    strip = parts[0] if len(parts) == 1 else shapely.MultiPolygon(parts)
    return snapped(checked(strip, "this strip"), [shape], ON_IT_M).shape


def _stretch(rings: Rings, start: np.ndarray, end: np.ndarray, long_way: bool) -> tuple[Any, Any, list[np.ndarray]]:
    """The area with corners at both places, the way along its edge between them, and the places."""
    lines = [(part, number) for part, own in enumerate(rings) for number in range(len(own))]
    places, on = [], []
    for place in (start, end):
        found = [nearest_edges(place[None], ring, np.roll(ring, -1, axis=0)) for part in rings for ring in part]
        best = min(range(len(found)), key=lambda at: found[at][1][0])
        places.append(found[best][0][0])
        on.append(lines[best])
    if on[0] != on[1]:
        raise InputError("both places have to lie on the same edge line: one is on the outline, the other on a cut-out")
    if (places[0] == places[1]).all():
        raise InputError("the strip would begin and end at the same place; take two places on the edge")
    part, number = on[0]
    ring = with_points(rings[part][number], np.array(places), ON_IT_M)
    rings[part][number] = ring
    first, last = (int(np.flatnonzero((ring == place).all(axis=1))[0]) for place in places)
    ways = [
        np.roll(ring, -one, axis=0)[: (other - one) % len(ring) + 1] for one, other in ((first, last), (last, first))
    ]
    length = [np.hypot(*np.diff(way, axis=0).T).sum() for way in ways]
    way = ways[int((length[0] > length[1]) != long_way)]
    return area_of(rings, "a strip along this edge"), shapely.LineString(way), places


def walked(track: BaseGeometry, tolerance_m: float = 0.0) -> BaseGeometry:
    """
    The area within an edge that was walked with a receiver.

    Parameters
    ----------
    track
        Line or lines of the walk. [m] Lines in parts, after a pause of the receiver, are joined in their order.
    tolerance_m
        How far corners may lie off the edge without them, so that a point a second becomes fewer; 0 keeps all. [m]

    Returns
    -------
    The area. Where the walk crosses itself, all that it went round.

    Raises
    ------
    InputError
        Its ends lie too far apart, or it goes round nothing.

    Examples
    --------
    >>> walked(shapely.LineString([(0, 0), (10, 0), (10, 10), (0, 10), (0, 0.5)])).area
    100.0
    """
    tolerance = float(not_negative("the tolerance", tolerance_m, "m"))
    if track is None or track.geom_type not in ("LineString", "LinearRing", "MultiLineString") or track.is_empty:
        raise InputError("a walked track is needed: a line of points, one after the other")
    line = shapely.force_2d(track)
    line = shapely.LineString(line.coords) if line.geom_type == "LinearRing" else line
    found = outline(line, (1.0, 1.0), walked=True)
    if found.area is None:
        raise InputError(
            f"the walk does not close: its ends lie {found.gap_m:,.1f} m apart on {found.length_m:,.0f} m, and up to "
            f"{WIDEST_GAP:.0%} of its length is closed; walk the rest, or draw the last piece"
        )
    area = shapely.make_valid(found.area, method="structure", keep_collapsed=False)
    if tolerance:
        area = shapely.simplify(area, tolerance)
    if area.is_empty or area.area <= NOTHING_M2:
        raise InputError("the walk goes round nothing; walk along the edge, right round the area")
    return checked(area, "this walk")
