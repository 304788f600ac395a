"""Mend outlines that are not valid, and set aside what is drawn twice, too thin or far from everything else."""

import numpy as np
import shapely
from geopandas import GeoDataFrame
from pyproj import CRS, Transformer

from turfgis.layers.findings import Finding

SMALLEST_M2 = 0.1
THINNEST_M = 0.05
FAR_M = 10_000.0
FAR_TIMES = 10.0
WIDE_M = 50_000.0
SAME_PLACE_M = 0.05
SAME_SHARE = 1e-3  # of the area: two outlines that differ by less are one shape

WRONG = {
    "Self-intersection": "The outline crosses itself",
    "Ring Self-intersection": "The outline touches itself",
    "Hole lies outside shell": "A cut-out lies outside its outline",
    "Holes are nested": "One cut-out lies within another",
    "Interior is disconnected": "Cut-outs split the area",
    "Nested shells": "One outline lies within another of the same feature",
    "Duplicate Rings": "An outline is drawn twice in the same feature",
    "Too few points in geometry component": "The outline has too few points",
    "Ring is not closed": "The outline is not closed",
}


def mend_areas(areas: GeoDataFrame) -> tuple[GeoDataFrame, list[Finding]]:
    """
    Mend areas and set aside those that cannot be meant.

    An outline that crosses itself is read as the ground its pen went round: every lobe of a figure of eight and every
    overlap of its loops counts once, cut-outs are cut out wherever they lie. (The other common reading, where ground
    gone round twice counts as outside, would punch a hole into a green whose outline overshoots at the end.)

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
    work.mend()
    work.drop_slivers()
    work.drop_far()
    work.drop_repeated()
    kept = areas.loc[work.kept].copy()
    kept.geometry = shapely.orient_polygons(work.shapes[work.kept])
    return kept, work.findings


class _Work:
    """Shapes in hand, which of them are kept, and what was found."""

    def __init__(self, areas: GeoDataFrame):
        self.rows = areas
        self.shapes = areas.geometry.to_numpy().copy()
        self.kept = np.ones(len(areas), dtype=bool)
        self.findings: list[Finding] = []

    def say(self, level: str, code: str, row: int | np.integer, text: str) -> None:
        file, layer, feature = (str(self.rows[name].iat[row]) for name in ("file", "layer", "feature"))
        self.findings.append(Finding(level, code, file, layer, feature, text))

    def name(self, row: int) -> str:
        file, layer, feature = (str(self.rows[name].iat[row]) for name in ("file", "layer", "feature"))
        return f"feature {feature} of {file}, layer {layer}"

    def mend(self) -> None:
        wrong = np.flatnonzero(~shapely.is_valid(self.shapes))
        if not len(wrong):
            return
        before = shapely.area(self.shapes[wrong])
        reasons = shapely.is_valid_reason(self.shapes[wrong])
        self.shapes[wrong] = shapely.make_valid(self.shapes[wrong], method="structure", keep_collapsed=False)
        after = shapely.area(self.shapes[wrong])
        for row, reason, drawn, mended in zip(wrong, reasons, before, after, strict=True):
            what = WRONG.get(reason.split("[")[0], reason.split("[")[0])
            if mended > 0:
                text = f"{what}; it was mended: {drawn:,.1f} m2 as drawn, {mended:,.1f} m2 as mended."
                self.say("warning", "mended", row, text)
            else:
                self.say("warning", "nothing_left", row, f"{what} and encloses nothing; it was set aside.")
                self.kept[row] = False

    def drop_slivers(self) -> None:
        parts, owner = shapely.get_parts(self.shapes, return_index=True)
        area = shapely.area(parts)
        width = 2.0 * area / np.maximum(shapely.length(shapely.get_exterior_ring(parts)), 1e-12)
        thin = ((area < SMALLEST_M2) | (width < THINNEST_M)) & self.kept[owner]
        if not thin.any():
            return
        for row in np.unique(owner[thin]):
            lost, good = area[thin & (owner == row)], parts[~thin & (owner == row)]
            if len(good):
                self.shapes[row] = good[0] if len(good) == 1 else shapely.multipolygons(good)
                text = f"{len(lost)} of its parts smaller than {SMALLEST_M2} m2 or thinner than {THINNEST_M} m"
            else:
                self.kept[row] = False
                text = f"It is smaller than {SMALLEST_M2} m2 or thinner than {THINNEST_M} m on average"
            self.say("warning", "sliver", row, f"{text}: {lost.sum():.3g} m2 set aside.")

    def drop_far(self) -> None:
        bounds = shapely.bounds(self.shapes)
        centres = (bounds[:, :2] + bounds[:, 2:]) / 2.0
        distance = np.hypot(*(centres - np.median(centres[self.kept], axis=0)).T)
        near = self.kept & (distance <= FAR_M)
        usual = np.median(distance[near]) if near.any() else np.inf
        far = self.kept & ~near & (distance > FAR_TIMES * usual)
        lonlat = _lonlat(centres, self.rows.crs) if far.any() else None
        for row in np.flatnonzero(far):
            text = f"It lies {distance[row] / 1000.0:,.0f} km from the others; it was set aside."
            self.say("warning", "far_away", row, text + _why_far(row, near, lonlat))
        self.kept &= ~far
        if self.kept.any() and (widest := distance[self.kept].max()) > WIDE_M:
            text = f"The shapes reach {widest / 1000.0:,.0f} km from their middle, further than one course."
            self.findings.append(Finding("warning", "wide_spread", str(self.rows["file"].iat[0]), "", "", text))

    def drop_repeated(self) -> None:
        for first, second in _same_shapes(self.shapes, self.kept):
            if not (self.kept[first] and self.kept[second]):
                continue
            one, two = (str(self.rows["surface"].iat[row]) for row in (first, second))
            size = f"{self.shapes[second].area:,.1f} m2"
            if one == two:
                self.kept[second] = False
                text = f"The same shape as {self.name(first)}: {size} set aside, so that they count once."
                self.say("warning", "repeated", second, text)
            else:
                text = f"The same shape as {self.name(first)}, here {two}, there {one}: {size} can be only one of them."
                self.say("warning", "two_surfaces", second, text)


def _same_shapes(shapes: np.ndarray, kept: np.ndarray) -> list[tuple[int, int]]:
    """Pairs of rows with the same shape, the earlier first: neighbours by centre and size, then compared in full."""
    rows = np.flatnonzero(kept)
    if len(rows) < 2:
        return []
    centres, area = shapely.centroid(shapes[rows]), shapely.area(shapes[rows])
    first, second = shapely.STRtree(centres).query(centres, predicate="dwithin", distance=SAME_PLACE_M)
    alike = (first < second) & (np.abs(area[first] - area[second]) <= SAME_SHARE * area[first])
    first, second = rows[first[alike]], rows[second[alike]]
    apart = shapely.area(shapely.symmetric_difference(shapes[first], shapes[second]))
    same = apart <= SAME_SHARE * shapely.area(shapes[first])
    return sorted(zip(first[same].tolist(), second[same].tolist(), strict=True))


def _lonlat(centres: np.ndarray, frame: CRS | None) -> np.ndarray | None:
    if frame is None or frame.geodetic_crs is None:
        return None
    back = Transformer.from_crs(frame, frame.geodetic_crs, always_xy=True)
    return np.column_stack(back.transform(*centres.T))


def _why_far(row: np.integer, near: np.ndarray, lonlat: np.ndarray | None) -> str:
    if lonlat is None or not near.any():
        return ""
    here, home = lonlat[row], np.median(lonlat[near], axis=0)
    if np.all(np.abs(here) < 0.01):
        return " It is drawn at longitude 0, latitude 0, where unset coordinates end up."
    if np.all(np.abs(here[::-1] - home) < 0.5):
        return " Longitude and latitude swapped would bring it home."
    return ""
