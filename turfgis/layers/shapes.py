"""Sort the shapes of a layer into areas, lines and points on the plane, and say what was set aside."""

from dataclasses import dataclass, field

import numpy as np
import shapely
from pyproj import CRS

from turfgis.layers.crs import metres_per_unit
from turfgis.layers.findings import Finding, counted, listed
from turfgis.layers.opening import RawLayer
from turfgis.layers.openstreetmap import paths_drawn_round
from turfgis.layers.outlines import outline

POINTS, LINES, AREAS, COLLECTION = (0, 4), (1, 2, 5), (3, 6), 7  # as shapely numbers the kinds of shape


@dataclass
class SortedShapes:
    """Shapes of all rows, None where it was set aside, and which rows are areas, lines and points."""

    shapes: np.ndarray
    areas: np.ndarray
    lines: np.ndarray
    points: np.ndarray
    findings: list[Finding] = field(default_factory=list)


class _Remarks:
    """Findings about one layer."""

    def __init__(self, file: str, layer: str, ids: np.ndarray):
        self.file, self.layer, self.ids = file, layer, ids
        self.found: list[Finding] = []

    def each(self, level: str, code: str, rows: np.ndarray, text: str) -> None:
        """Say the same of every row, since somebody has to look at each."""
        self.found += [Finding(level, code, self.file, self.layer, str(self.ids[row]), text) for row in rows]

    def all(self, level: str, code: str, text: str) -> None:
        """Say something about the whole layer."""
        self.found.append(Finding(level, code, self.file, self.layer, "", text))


def sort_shapes(
    raw: RawLayer, crs: CRS, file: str, *, areas_wanted: bool, openstreetmap: bool, walked: bool
) -> SortedShapes:
    """
    Sort the shapes of a layer by kind, in two dimensions.

    Parameters
    ----------
    raw
        The layer as read. Its shapes are changed in place.
    crs
        What it is drawn in.
    file
        For messages.
    areas_wanted
        Whether closed lines are outlines of areas, and other lines and points are out of place.
    openstreetmap
        Whether lines and points are there for good reason, and a closed path is no area.
    walked
        Whether lines are edges that were walked, whose small gaps are closed.

    Returns
    -------
    `SortedShapes`.
    """
    say = _Remarks(file, raw.name, raw.ids)
    shapes = _usable(raw, say)
    shapes = _flat(shapes, say)
    kinds = shapely.get_type_id(shapes)
    if np.any(kinds == COLLECTION):
        _open_collections(shapes, kinds, areas_wanted, say)
    if openstreetmap:
        _paths_back_to_lines(raw, shapes, kinds, say)
    elif areas_wanted and np.isin(kinds, LINES).any():
        _close_lines(shapes, kinds, crs, walked, say)
    rows = [np.flatnonzero(np.isin(kinds, kind)) for kind in (AREAS, LINES, POINTS)]
    if areas_wanted:
        _say_what_is_no_area(rows[1], rows[2], openstreetmap, say)
    return SortedShapes(shapes, *rows, findings=say.found)


def _usable(raw: RawLayer, say: _Remarks) -> np.ndarray:
    """Blank out what has no shape, or one that cannot be worked with."""
    shapes = raw.shapes
    text = "The outline lacked its last point; it was closed back to its first one."
    say.each("warning", "ring_closed", raw.closed, text)
    missing = shapely.is_missing(shapes) | shapely.is_empty(shapes)
    say.each("warning", "no_shape", np.flatnonzero(missing), "There is no shape with it; it was set aside.")
    coordinates, owner = shapely.get_coordinates(shapes, return_index=True)
    broken = np.unique(owner[~np.isfinite(coordinates).all(axis=1)])
    text = "Some of its coordinates are not numbers; it was set aside."
    say.each("error", "broken_coordinates", broken, text)
    shapes[missing] = None
    shapes[broken] = None
    odd = np.flatnonzero(shapely.get_type_id(shapes) > COLLECTION)
    say.each("error", "unreadable_shape", odd, "Its kind of shape cannot be used here; it was set aside.")
    shapes[odd] = None
    if raw.curved:
        text = "Curved edges were turned into straight pieces of half a degree; a circle loses 0.0013 % of its area."
        say.all("note", "curve_straightened", text)
    return shapes


def _flat(shapes: np.ndarray, say: _Remarks) -> np.ndarray:
    high = shapely.has_z(shapes) | shapely.has_m(shapes)
    if not high.any():
        return shapes
    text = f"{counted(int(high.sum()), 'shape')} with heights or measures: left out, since areas are those of the plan."
    say.all("note", "height_dropped", text)
    return shapely.force_2d(shapes)


def _open_collections(shapes: np.ndarray, kinds: np.ndarray, areas_wanted: bool, say: _Remarks) -> None:
    """Take the areas out of mixed collections; where areas are not wanted or there is none, their lines or points."""
    for row in np.flatnonzero(kinds == COLLECTION):
        parts = _single_parts(shapes[row])
        ids = shapely.get_type_id(parts)
        for kind, whole in ((3, shapely.multipolygons), (1, shapely.multilinestrings), (0, shapely.multipoints)):
            chosen = parts[ids == kind]
            if len(chosen):
                shapes[row] = chosen[0] if len(chosen) == 1 else whole(chosen)
                break
        kinds[row] = shapely.get_type_id(shapes[row])
        if kinds[row] in AREAS:
            left = len(parts) - int((ids == 3).sum())
            text = f"A collection of mixed shapes: its areas were taken, {counted(left, 'other shape')} set aside."
            say.each("warning" if left else "note", "shape_in_collection", np.array([row]), text)


def _single_parts(shape: shapely.Geometry) -> np.ndarray:
    parts = shapely.get_parts(shape)
    while np.any(shapely.get_type_id(parts) > 3):
        parts = shapely.get_parts(parts)
    return parts[~shapely.is_empty(parts)]


def _paths_back_to_lines(raw: RawLayer, shapes: np.ndarray, kinds: np.ndarray, say: _Remarks) -> None:
    rows = np.flatnonzero(paths_drawn_round(raw.columns, raw.ids) & np.isin(kinds, AREAS))
    text = "A path that runs back to its start is a line unless it says area=yes; it was not counted as area."
    say.each("note", "path_is_a_line", rows, text)
    for row in rows:
        shapes[row] = shapely.get_parts(shapely.boundary(shapes[row]))[0]
        kinds[row] = 1


def _close_lines(shapes: np.ndarray, kinds: np.ndarray, crs: CRS, walked: bool, say: _Remarks) -> None:
    """Turn lines that go round into areas."""
    rows = np.flatnonzero(np.isin(kinds, LINES))
    middle = np.nanmean(shapely.bounds(shapes[rows])[:, [1, 3]])
    metres = metres_per_unit(crs, float(middle))
    closed = 0
    for row in rows:
        result = outline(shapes[row], metres, walked)
        one = np.array([row])
        if result.area is None:
            ends = f"its ends lie {result.gap_m:,.1f} m apart on {result.length_m:,.0f} m"
            if walked:
                text = f"The walk cannot be closed: {ends}. It was set aside; walk it again, or draw the last piece."
                say.each("error", "walk_too_open", one, text)
            else:
                lost = f"closed straight across it would enclose {result.closed_m2:,.0f} m2"
                text = f"An open line where an area belongs: {ends}; {lost}. It was set aside; close it in the drawing."
                say.each("warning", "line_not_area", one, text)
            continue
        shapes[row], kinds[row] = result.area, shapely.get_type_id(result.area)
        closed += 1
        if walked:
            text = f"A walk of {result.length_m:,.0f} m, closed over a gap of {result.gap_m:,.1f} m."
            say.each("note", "walk_closed", one, text)
    if closed and not walked:
        text = f"{counted(closed, 'closed line was', 'closed lines were')} read as outlines of areas."
        say.all("note", "line_taken_as_area", text)


def _say_what_is_no_area(lines: np.ndarray, points: np.ndarray, openstreetmap: bool, say: _Remarks) -> None:
    if openstreetmap:
        if len(lines) or len(points):
            text = f"{counted(len(lines), 'line')} and {counted(len(points), 'point')} are not areas; "
            say.all("note", "lines_and_points_kept", text + "they are kept for hole numbers.")
    elif len(points):
        text = f"{counted(len(points), 'point lies', 'points lie')} where areas belong and were set aside: "
        say.all("warning", "point_not_area", text + listed(say.ids[points].tolist()) + ".")
