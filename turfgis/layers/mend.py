"""Mend outlines that are not valid, and set aside what is drawn twice, too thin or far from everything else."""

from typing import Any

import numpy as np
import shapely
from geopandas import GeoDataFrame
from pyproj import CRS, Transformer

from turfgis.layers.findings import Finding

# Limits below which, or beyond which, a shape is a slip of the hand. Common practice, no source.
SMALLEST_M2 = 0.1
THINNEST_M = 0.05
FAR_M = 10_000.0
FAR_TIMES = 10.0  # the median distance of the rest
WIDE_M = 50_000.0
ON_EARTH_M = 1e8  # no place on earth lies as far from the middle of a plan
SAME_PLACE_M = 0.05  # between the centres of two shapes, before they are compared in full
SAME_EDGE_M = 0.01  # two outlines that lie no further apart than this on average are one shape

WRONG = {
    "Self-intersection": "The outline crosses itself",
    "Ring Self-intersection": "The outline touches itself",
    "Hole lies outside shell": "A ring that lies outside the outline was read as a part of its own",
    "Holes are nested": "One cut-out lies within another",
    "Interior is disconnected": "Cut-outs split the area",
    "Nested shells": "One outline lies within another of the same feature",
    "Duplicate Rings": "An outline is drawn twice in the same feature",
    "Too few points in geometry component": "The outline has too few points",
}


# Ground that was surely meant is not counted: an error, where a repeat or a sliver set aside is none.
GROUND_MISSING = ("nothing_left", "far_away")


def mend_areas(areas: GeoDataFrame) -> tuple[GeoDataFrame, list[Finding]]:
    """
    Mend areas and set aside those that cannot be meant.

    An outline that crosses itself is read as the ground its pen went round: every lobe of a figure of eight and every
    overlap of its loops counts once. (The other common reading, where ground
    gone round twice counts as outside, would punch a hole into a green whose outline overshoots at the end.) A ring
    that was written as a cut-out but lies outside the outline is a part of its own: that is how two tees that were
    drawn as one feature go wrong in conversion.

    Parameters
    ----------
    areas
        In a local equal-area frame in metres, with the columns ``file``, ``layer``, ``feature`` and ``surface``.

    Returns
    -------
    Valid areas, outlines anticlockwise, and findings.

    Examples
    --------
    A bow-tie of two triangles:

    >>> bow = shapely.Polygon([(0, 0), (20, 20), (20, 0), (0, 20)])
    >>> drawn = GeoDataFrame(
    ...     {"file": ["a.gpkg"], "layer": ["tees"], "feature": ["7"], "surface": ["tee"]}, geometry=[bow]
    ... )
    >>> areas, findings = mend_areas(drawn)
    >>> areas.area.tolist(), findings[0].text
    ([200.0], 'The outline crosses itself; it was mended: 0.0 m2 as drawn, 200.0 m2 as mended.')
    """
    if not len(areas):
        return areas, []
    work = _Work(areas)
    work.drop_broken()
    work.mend()
    work.drop_slivers()
    work.drop_far()
    work.drop_repeated()
    kept = areas.loc[work.kept].copy()
    kept.geometry = shapely.orient_polygons(work.shapes[work.kept])
    return kept, work.findings


def mended_shapes(shapes: np.ndarray) -> np.ndarray:
    """
    Areas with those that are not valid mended as `mend_areas` does it; nothing where that cannot be done.

    Examples
    --------
    >>> mended_shapes(np.array([shapely.Polygon([(0, 0), (20, 20), (20, 0), (0, 20)])]))[0].area
    200.0
    """
    mended = np.asarray(shapes, dtype=object).copy()
    for row in np.flatnonzero(~shapely.is_valid(mended) & ~shapely.is_missing(mended)):
        try:
            mended[row] = shapely.make_valid(mended[row], method="structure", keep_collapsed=False)
        except shapely.GEOSException:
            mended[row] = shapely.Polygon()
    return mended


class _Work:
    """Shapes in hand, which of them are kept, and what was found."""

    def __init__(self, areas: GeoDataFrame):
        self.rows = areas
        self.shapes = areas.geometry.to_numpy().copy()
        self.kept = np.ones(len(areas), dtype=bool)
        self.findings: list[Finding] = []

    def named(self, row: int | np.integer) -> tuple[str, str, str]:
        file, layer, feature = (str(self.rows[name].iat[row]) for name in ("file", "layer", "feature"))
        return file, layer, feature

    def say(self, code: str, row: int | np.integer, text: str) -> None:
        level = "error" if code in GROUND_MISSING else "warning"
        self.findings.append(Finding(level, code, *self.named(row), text))

    def drop(self, code: str, row: int | np.integer, text: str) -> None:
        self.say(code, row, text)
        self.kept[row] = False
        self.shapes[row] = None

    def drop_broken(self) -> None:
        coordinates, owner = shapely.get_coordinates(self.shapes, return_index=True)
        for row in np.unique(owner[~(np.abs(coordinates) <= ON_EARTH_M).all(axis=1)]):
            self.drop("broken_coordinates", row, "It cannot be drawn on the plan of this course; it was set aside.")
        for row in np.flatnonzero(shapely.is_missing(self.shapes) | shapely.is_empty(self.shapes)):
            if self.kept[row]:
                self.drop("no_shape", row, "There is no shape with it; it was set aside.")
        # A cut-out without points is harmless in itself, but the geometry library breaks down comparing such shapes.
        parts, owner = shapely.get_parts(self.shapes, return_index=True)
        rings, part = shapely.get_rings(parts, return_index=True)
        for row in np.unique(owner[part[shapely.is_empty(rings)]]):
            self.shapes[row] = _without_empty_rings(self.shapes[row])

    def mend(self) -> None:
        wrong = np.flatnonzero(self.kept & ~shapely.is_valid(self.shapes))
        for row in wrong:
            drawn = self.shapes[row]
            try:
                self.shapes[row] = shapely.make_valid(drawn, method="structure", keep_collapsed=False)
            except shapely.GEOSException:
                self.drop("unreadable_shape", row, "Its outline is too broken to be mended; it was set aside.")
                continue
            before, after = drawn.area, self.shapes[row].area
            what = _what_is_wrong(drawn, after)
            if after > 0:
                text = f"{what}; it was mended: {before:,.1f} m2 as drawn, {after:,.1f} m2 as mended."
                self.say("mended", row, text)
            else:
                self.drop("nothing_left", row, f"{what} and encloses nothing; it was set aside.")

    def drop_slivers(self) -> None:
        parts, owner = shapely.get_parts(self.shapes, return_index=True)
        area = shapely.area(parts)
        round_it = shapely.length(shapely.get_exterior_ring(parts))
        thin = (area < SMALLEST_M2) | (2.0 * area < THINNEST_M * round_it)
        for row in np.unique(owner[thin]):
            own = slice(*np.searchsorted(owner, [row, row + 1]))  # parts come in the order of their features
            lost, good = area[own][thin[own]], parts[own][~thin[own]]
            small = f"smaller than {SMALLEST_M2} m2 or thinner than {THINNEST_M} m on average"
            if len(good):
                self.shapes[row] = good[0] if len(good) == 1 else shapely.multipolygons(good)
                what = "One of its parts is" if len(lost) == 1 else f"{len(lost)} of its parts are"
                self.say("sliver", row, f"{what} {small}: {lost.sum():.3g} m2 set aside.")
            else:
                self.drop("sliver", row, f"It is {small}: {lost.sum():.3g} m2 set aside.")

    def drop_far(self) -> None:
        if not self.kept.any():
            return
        bounds = shapely.bounds(self.shapes)
        centres = (bounds[:, :2] + bounds[:, 2:]) / 2.0
        distance = np.hypot(*(centres - np.median(centres[self.kept], axis=0)).T)
        far = self.kept & (distance > max(FAR_M, FAR_TIMES * np.median(distance[self.kept])))
        near = self.kept & ~far
        lonlat = _lonlat(centres, self.rows.crs) if far.any() else None
        for row in np.flatnonzero(far):
            text = f"It lies {distance[row] / 1000.0:,.0f} km from the others; it was set aside."
            self.drop("far_away", row, text + _why_far(row, near, lonlat))
        widest = distance[self.kept].max()
        if widest > WIDE_M:
            text = f"The shapes reach {widest / 1000.0:,.0f} km from their middle, further than one course."
            files = ", ".join(dict.fromkeys(self.rows["file"].loc[self.kept].astype(str)))
            self.findings.append(Finding("warning", "wide_spread", files, "", "", text))

    def drop_repeated(self) -> None:
        surfaces = self.rows["surface"].astype(str).to_numpy()
        for pairs in (_equal_shapes, _same_shapes):  # copies first, so that many of one shape do not pair up
            for first, second in pairs(self.shapes, surfaces, np.flatnonzero(self.kept)):
                if self.kept[first] and self.kept[second]:
                    self.repeat(first, second, surfaces[first], surfaces[second])

    def repeat(self, first: int, second: int, there: str, here: str) -> None:
        file, layer, feature = self.named(first)
        text = f"The same shape as feature {feature} of {file}, layer {layer}"
        size = f"{self.shapes[second].area:,.1f} m2"
        if there == here:
            self.drop("repeated", second, f"{text}: {size} set aside, so that they count once.")
        else:
            self.say("two_surfaces", second, f"{text}, here {here}, there {there}: {size} can be only one of them.")


def _what_is_wrong(drawn: Any, mended_m2: float) -> str:
    reason = shapely.is_valid_reason(drawn).split("[")[0]
    if reason == "Self-intersection":
        if shapely.is_valid(shapely.get_parts(drawn)).all():
            return "Two of its parts share ground or an edge"
        if drawn.area > 0 and abs(drawn.area - mended_m2) <= 1e-9 * drawn.area:
            return "The outline doubles back on itself without enclosing anything there"
    return WRONG.get(reason, f"The outline is not valid ({reason})")


def _without_empty_rings(shape: Any) -> Any:
    parts = [
        shapely.Polygon(part.exterior, [ring for ring in part.interiors if not ring.is_empty])
        for part in shapely.get_parts(shape)
    ]
    return parts[0] if len(parts) == 1 else shapely.multipolygons(parts)


def _equal_shapes(shapes: np.ndarray, surfaces: np.ndarray, rows: np.ndarray) -> list[tuple[int, int]]:
    """Pairs of rows with one surface and corner for corner the same shape, each with the first of its kind."""
    first: dict[tuple[str, bytes], int] = {}
    pairs = []
    for row, surface, corners in zip(rows.tolist(), surfaces[rows], shapely.to_wkb(shapes[rows]), strict=True):
        seen = first.setdefault((surface, corners), row)
        if seen != row:
            pairs.append((seen, row))
    return pairs


def _same_shapes(shapes: np.ndarray, surfaces: np.ndarray, rows: np.ndarray) -> list[tuple[int, int]]:
    """Pairs of rows with the same shape, the earlier first: neighbours by centre and size, then compared in full."""
    if len(rows) < 2:
        return []
    centres, area = shapely.centroid(shapes[rows]), shapely.area(shapes[rows])
    first, second = shapely.STRtree(centres).query(centres, predicate="dwithin", distance=SAME_PLACE_M)
    slack = SAME_EDGE_M * shapely.length(shapes[rows])
    alike = (first < second) & (np.abs(area[first] - area[second]) <= slack[first])
    slack, first, second = slack[first[alike]], rows[first[alike]], rows[second[alike]]
    same = shapely.area(shapely.symmetric_difference(shapes[first], shapes[second])) <= slack
    return sorted(zip(first[same].tolist(), second[same].tolist(), strict=True))


def _lonlat(centres: np.ndarray, frame: CRS | None) -> np.ndarray | None:
    if frame is None or frame.geodetic_crs is None:
        return None
    back = Transformer.from_crs(frame, frame.geodetic_crs, always_xy=True)
    return np.column_stack(back.transform(*centres.T))


def _why_far(row: np.integer, near: np.ndarray, lonlat: np.ndarray | None) -> str:
    if lonlat is None:
        return ""
    here, home = lonlat[row], np.median(lonlat[near], axis=0)
    if np.all(np.abs(here) < 0.01):
        return " It is drawn at longitude 0, latitude 0, where unset coordinates end up."
    if np.all(np.abs(here[::-1] - home) < 0.5):
        return " Longitude and latitude look swapped: swap_axes = true for its layer would bring it home."
    return ""
