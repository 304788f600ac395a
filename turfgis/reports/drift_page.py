"""What changed since an earlier survey, as a map and as a printed sheet."""

from dataclasses import replace
from functools import partial
from typing import Any

import geopandas as gpd
import numpy as np
import pandas as pd
import shapely

from turfgis.estimates.course import Course
from turfgis.estimates.surveys import Comparison, compare_surveys, surveys_of
from turfgis.reports.cautions import sheet_cautions
from turfgis.reports.drift import (
    WIN_BACK_NOTE,
    between,
    drift_notes,
    drift_rows,
    drift_sentence,
    in_short,
    since,
    total_sentences,
)
from turfgis.reports.drift_layers import write_drift
from turfgis.reports.outputs import course_facts, map_page
from turfgis.reports.printed import page_data, render_page, with_signs
from turfgis.reports.screen import one_line
from turfgis.reports.tables import Row
from turfgis.reports.write import Content
from turfgis.units import shown

LOST, WON = "#b0103a", "#1747a6"  # dark enough on every tint of the map, and apart for colour-blind readers
MARGIN_M = 2.0


def drift_files(course: Course, units: str = "metric") -> dict[str, Content]:
    """Sheet and layers of what changed since the earlier surveys that the settings hold."""
    compared = compare_surveys(course, surveys_of(course))
    return {"change.pdf": drift_pdf(compared, units), "change.gpkg": partial(write_drift, compared)}


def drift_map(compared: Comparison, units: str = "metric") -> str:
    """The area map of the newest survey with the edge that moved and the strips to win back; one HTML page."""
    drift = compared.drift
    first, _ = compared.days
    then = f" since {first}" if first != "not given" else ""
    shapes = (
        (drift.strips, f"Strip to win back, lost{then}", LOST),
        (drift.moved_in, f"Old edge, now further in{then}", LOST),
        (drift.moved_out, f"Old edge, now further out{then}", WON),
    )
    there = [(shape[~shapely.is_empty(shape)], label, ink) for shape, label, ink in shapes]
    over = gpd.GeoDataFrame(
        [{"label": label, "ink": ink} for shape, label, ink in there for _ in shape],
        geometry=gpd.GeoSeries([one for shape, _, _ in there for one in shape], crs=drift.frame),
        crs=drift.frame,
    )
    return map_page(compared.course, units, told=_told(compared, units), over=over)


def _told(compared: Comparison, units: str) -> pd.DataFrame:
    """What a tap on a patch tells: one line for each patch of today."""
    rows = [
        {"patch": patch, "label": "S" + since(row)[1:], "text": in_short(row, units)}
        for row in drift_rows(compared)
        if row["match"] != "gone"
        for patch in row["patch"].split(" + ")
    ]
    return pd.DataFrame(rows, columns=["patch", "label", "text"])


def drift_pdf(compared: Comparison, units: str = "metric") -> bytes:
    """One line of words for each patch, and a drawing to scale of each that changed; a PDF file."""
    first, last = compared.days
    facts = replace(course_facts(compared.course, units), surveyed=f"{first} and {last}")
    rows = drift_rows(compared)
    drawn = [row for row in rows if row["told"] in ("changed", "moved")]
    places = _places(compared, drawn)
    side, area = _side(compared, places), shown("area", units)
    data = {
        **page_data("Change since an earlier survey", facts, units),
        "note": between(compared),
        "totals": [with_signs(one_line(words)) for words in total_sentences(compared, units)],
        "rows": [_line(row, units) for row in rows],
        "drawings": [
            {"place": row["place"], "words": with_signs(in_short(row, units)), "svg": _drawing(compared, at, side)}
            for row, at in zip(drawn, places, strict=True)
        ],
        "side": shown("length", units).text(side).replace(".0 ", " "),
        "dashed": bool(np.any(shapely.length(compared.drift.moved_out[places]) > 0)),
        "heads": [with_signs(f"{area.label} {words}") for words in ("a year", "of turf")],
        "notes": [with_signs(one_line(note)) for note in (*drift_notes(compared), WIN_BACK_NOTE)],
        "cautions": sheet_cautions("areas"),
    }
    return render_page("drift.typ", data)


def _line(row: Row, units: str) -> dict[str, Any]:
    place = row["place"]
    words = drift_sentence(row, units).removeprefix(place).removeprefix(":").strip()
    figures = ["", ""]
    if row["told"] in ("changed", "moved"):
        area = shown("area", units)
        rate, spread = (row[f"rate_{name}m2_year"] for name in ("", "plus_minus_"))
        yearly = "" if rate is None else f"{rate * area.per_si:+.1f} ± {spread * area.per_si:.1f}"
        figures = [yearly, area.number(row["win_back_m2"])]
    return {"place": place, "words": with_signs(words), "figures": figures, "told": row["told"]}


def _places(compared: Comparison, rows: list[Row]) -> list[int]:
    """Where each row stands in the arrays of shapes."""
    there = list(zip(compared.changes["patch"], compared.changes["match"], strict=True))
    place = {named: at for at, named in enumerate(there)}
    return [place[row["patch"], row["match"]] for row in rows]


def _side(compared: Comparison, places: list[int]) -> float:
    """Side of the square that holds the largest patch drawn, so that all are drawn to one scale. [m]"""
    if not places:
        return 1.0
    bounds = shapely.bounds(shapely.union(compared.drift.was[places], compared.drift.now[places]))
    return float(np.ceil(max((bounds[:, 2] - bounds[:, 0]).max(), (bounds[:, 3] - bounds[:, 1]).max()) + 2 * MARGIN_M))


def _drawing(compared: Comparison, at: int, side: float) -> str:
    """A patch as it was and is: ground of today grey, the strip to win back black, the old edge a thin line."""
    drift = compared.drift
    west, south, east, north = shapely.bounds(shapely.union(drift.was[at], drift.now[at]))
    corner = ((west + east - side) / 2, (south + north - side) / 2)
    paths = (
        (drift.now[at], 'fill="#d9d9d9" stroke="#777777" stroke-width="0.15"'),
        (drift.strips[at], 'fill="#000000" stroke="none"'),
        (drift.was[at], 'fill="none" stroke="#000000" stroke-width="0.12"'),
        (drift.moved_out[at], 'fill="none" stroke="#000000" stroke-width="0.5" stroke-dasharray="1 1"'),
    )
    body = "".join(f'<path fill-rule="evenodd" {style} d="{_path(shape, corner, side)}"/>' for shape, style in paths)
    return f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {side:g} {side:g}">{body}</svg>'


def _path(shape: Any, corner: tuple[float, float], side: float) -> str:
    """Outlines of a shape as an SVG path, north up, to the centimetre."""
    lines = shapely.get_parts(shapely.boundary(shape) if shapely.get_dimensions(shape) == 2 else shape)
    made = []
    for line in lines:
        xy = shapely.get_coordinates(line) - corner
        made.append("M" + "L".join(f"{x:.2f} {side - y:.2f}" for x, y in xy))
    return "".join(made)
