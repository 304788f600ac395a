"""The drawing as the page for drawing is told it: areas, how surfaces look, labels, what lies beneath."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

import numpy as np

from turfgis.desk.figures import measure_text
from turfgis.desk.words import said
from turfgis.desk.words.sentences import resaid

if TYPE_CHECKING:
    from turfgis.estimates.course import Course
    from turfgis.layers.findings import Finding
    from turfgis.measure.as_drawn import AsDrawn, DrawnArea

STEP = 1e-9  # degrees that corners are counted in, a tenth of a millimetre; each from the one before it
DEGREES = "EPSG:4326"


def told_areas(drawn: AsDrawn, areas: Sequence[DrawnArea]) -> list[dict[str, Any]]:
    """
    Areas for the page, text as text and corners as small whole numbers.

    Parameters
    ----------
    drawn
        Where they are from.
    areas
        Any of them.
    """
    return [
        {
            "id": area.key,
            "surface": area.surface,
            "hole": area.hole or "",
            "name": area.name,
            "layer": area.layer,
            "parts": parts,
        }
        for area, parts in zip(areas, _steps(drawn.rings_in_degrees(areas)), strict=True)
    ]


def _steps(shapes: list[list[list[np.ndarray]]]) -> list[list[list[list[int]]]]:
    """Corners of rings in steps, the first from zero and each further one from the one before: x, y, dx, dy ..."""
    rings = [ring for parts in shapes for part in parts for ring in part]
    if not rings:
        return [[] for _ in shapes]
    counted = np.round(np.concatenate(rings) / STEP).astype(np.int64)
    steps, length = np.diff(counted, axis=0, prepend=0), np.array([len(ring) for ring in rings])
    ends = np.cumsum(length)
    first = (ends - length)[length > 0]
    steps[first] = counted[first]
    told, places = steps.ravel().tolist(), iter(zip(2 * (ends - length), 2 * ends, strict=True))
    return [[[told[slice(*next(places))] for _ in part] for part in parts] for parts in shapes]


def told_strips(course: Course, drawn: AsDrawn, units: str, language: str) -> dict[str, Any]:
    """
    Strips that the settings make, which nobody drew and no hand can change, and where each kind of them comes from.

    Parameters
    ----------
    course
        As it is drawn now.
    drawn
        Its areas.
    units, language
        How it is told.
    """
    rows = course.measured.drawn.iloc[course.measured.by_hand :]
    made = [
        {
            "surface": surface,
            "hole": hole if isinstance(hole, str) else "",
            "parts": parts,
        }
        for surface, hole, parts in zip(
            rows["surface"], rows["hole"], _steps(drawn.shapes_in_degrees(rows.geometry.to_numpy())), strict=True
        )
    ]
    count = Counter(rows["surface"])
    notes = {
        strip.surface: said(
            "{surface}: {width} along the edge of {around}, where none is drawn ({count} of them)",
            language,
            surface=said(strip.surface, language),
            around=said(strip.around, language),
            width=measure_text(strip.width_m, "length", units, language),
            count=count[strip.surface],
        )
        for strip in course.drawing.strips
        if count[strip.surface]
    }
    return {"strips": made, "notes": notes}


def told_drawing(course: Course, drawn: AsDrawn) -> dict[str, Any]:
    """All that the page draws, but for pictures."""
    from turfgis.reports.map_palette import fills_for
    from turfgis.reports.map_shapes import hole_labels

    measured, order = course.measured, list(course.drawing.order)
    areas = list(drawn.areas.values())
    drawn_surfaces = {area.surface for area in areas}
    used = [one for one in order if one in drawn_surfaces]
    drawable = [one for one in order if drawn.layers_for(one)]
    fills = fills_for(order)
    x0, y0, x1, y1 = measured.patches.total_bounds
    corners = drawn.to_degrees(np.array([[x0, y0], [x1, y0], [x1, y1], [x0, y1]]))
    (west, south), (east, north) = corners.min(axis=0).tolist(), corners.max(axis=0).tolist()
    greens = measured.patches[measured.patches["surface"] == "green"]  # only beside these a number is written
    labels = hole_labels(greens.to_crs(DEGREES), measured.hole_lines.to_crs(DEGREES))
    return {
        "step": STEP,
        "bounds": [[south, west], [north, east]],
        "areas": told_areas(drawn, areas),
        "order": order,
        "used": used,
        "drawable": drawable,
        "holes": drawn.holes,
        "looks": {one: {"tint": fill.tint, "ink": fill.ink, "edge": fill.edge} for one, fill in fills.items()},
        "labels": [{"label": one["label"], "at": one["at"]} for one in labels],
        "layers": [_told_layer(drawn, at) for at in range(len(drawn.layers))],
        "attribution": measured.attribution,
    }


def _told_layer(drawn: AsDrawn, at: int) -> dict[str, Any]:
    from turfgis.measure.as_drawn import WHY_NOT

    one, columns = drawn.layers[at], drawn.columns(at)
    return {
        "file": one.drawn.file,
        "layer": one.drawn.layer,
        "why": WHY_NOT.get(drawn.why_not(at), ""),
        "saved": drawn.editable(at),
        "hole": "hole" in columns,
        "name": "name" in columns,
    }


def told_findings(course: Course, drawn: AsDrawn, findings: Sequence[Finding], language: str) -> list[dict[str, Any]]:
    """Findings with the place of each where it is known, and what can be done about it here."""
    told = []
    for one in findings:
        shape = drawn.found_at(one.file, one.layer, one.feature)
        key = f"{one.file} | {one.layer} | {one.feature}"
        entry: dict[str, Any] = {"level": one.level, "code": one.code, "text": one.text, "where": where_said(one)}
        if shape is not None and not shape.is_empty:
            x0, y0, x1, y1 = shape.bounds
            (west, south), (east, north) = drawn.to_degrees(np.array([[x0, y0], [x1, y1]])).tolist()
            entry["bounds"] = [[south, west], [north, east]]
        if key in drawn.areas:
            entry["area"] = key
            if drawn.editable(drawn.areas[key].layer) and one.code in MENDS:
                entry["mend"] = MENDS[one.code]
        told.append(entry)
    told = [*_overlaps(course, drawn), *told]
    for entry in told:
        again = resaid(entry["text"], language)
        entry |= {"english": again is None, "text": again or entry["text"]}
    return told


def _overlaps(course: Course, drawn: AsDrawn) -> list[dict[str, Any]]:
    """Ground drawn twice for one surface, pair by pair: unlike a green on its fairway, that is never meant."""
    from turfgis.measure.overlaps import same_surface_pairs

    told = []
    for under, keeps, area_m2 in same_surface_pairs(course.measured):
        if under not in drawn.areas or keeps not in drawn.areas:
            continue
        one = drawn.areas[under]
        text = f"{area_m2:,.1f} m2 are drawn twice as {one.surface}; the first of the two keeps the ground."
        x0, y0, x1, y1 = one.shape.bounds
        (west, south), (east, north) = drawn.to_degrees(np.array([[x0, y0], [x1, y1]])).tolist()
        entry = {"level": "warning", "code": "drawn_twice", "text": text, "where": under, "area": under}
        entry |= {"bounds": [[south, west], [north, east]]}
        told.append(entry | ({"mend": "cut", "other": keeps} if drawn.editable(one.layer) else {}))
    return told


MENDS = {"mended": "mend", "sliver": "gone", "repeated": "gone", "nothing_left": "gone", "covered": "gone"}
"""Code of a finding about one area -> the stroke that mends it."""


def where_said(finding: Finding) -> str:
    """File, layer and feature in one line."""
    return ", ".join(part for part in (finding.file, finding.layer, finding.feature) if part)
