"""Strips that are kept off when spraying, as the map shades them."""

from __future__ import annotations

from typing import TYPE_CHECKING

import geopandas as gpd

from turfgis.estimates.sprayed import strips_of_jobs
from turfgis.measure.keep_off import shaded_strips
from turfgis.reports.facts import plain_words
from turfgis.reports.screen import one_line
from turfgis.units import shown

if TYPE_CHECKING:
    from turfgis.estimates.course import Course

STRIP_INK = "#5b2a86"
CAUTION = "As typed in, from drawn edges: the label and national rules decide. Mark them on the ground."


def strips_over(course: Course, units: str) -> gpd.GeoDataFrame | None:
    """
    Areas over the shapes, off until they are asked for, each set of distances with its jobs; None where nothing is.

    Parameters
    ----------
    course
        The course.
    units
        ``metric`` or ``us``.
    """
    sets = strips_of_jobs(course)
    rows = []
    for jobs, metres, zones in sets:
        said = ", ".join(one_line(name) for name in jobs)
        label = f"kept off when spraying: {said}" if len(sets) > 1 else "strips kept off when spraying"
        for shape in shaded_strips(course.measured, zones):
            rows.append({"label": label, "note": f"{_distances(metres, units)}. {CAUTION}", "geometry": shape})
    if not rows:
        return None
    table = gpd.GeoDataFrame(rows, geometry="geometry", crs=course.measured.frame)
    table["ink"], table["off"] = STRIP_INK, True
    return table


def _distances(metres: dict[str, float], units: str) -> str:
    """How far from what: "6.0 m from water, 3.0 m from drain"; a distance of nothing is the ground itself."""
    length = shown("length", units)
    said = []
    for name, distance in metres.items():
        thing = plain_words(one_line(name))
        said.append(f"{length.text(distance)} from {thing}" if distance else thing)
    return ", ".join(said)
