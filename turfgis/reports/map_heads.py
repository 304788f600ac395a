"""Heads as the map shows them: how far each throws and which way, the ground that none reaches, and a card for each."""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, isfinite, radians
from typing import TYPE_CHECKING, Any

import geopandas as gpd
import numpy as np
import pandas as pd
import shapely

from turfgis.reports.cautions import CAUTIONS
from turfgis.reports.map_content import words
from turfgis.reports.map_shapes import STEPS, as_one, feature_collection
from turfgis.reports.screen import one_line
from turfgis.units import shown

if TYPE_CHECKING:
    from turfgis.estimates.heads import Cover

DEGREE_M = 111_195.0  # of a sphere of 6,371 km: a head is drawn to 0.3 %, which is centimetres of its throw
FACTS = ("Station", "Controller", "Flow", "Throw", "Arc", "Pressure", "Serves")
NOTE = "Throw and arc as entered, in still air. Tap a dot for station, flow and throw."


@dataclass(frozen=True)
class Thrown:
    """
    Heads of a course.

    Attributes
    ----------
    heads
        As of :class:`turfgis.measure.heads.Heads`, in longitude and latitude.
    missed
        Of :func:`turfgis.measure.head_shapes.missed_ground`, in longitude and latitude.
    missed_m2
        How much that is, by the table of heads. [m2]
    """

    heads: gpd.GeoDataFrame
    missed: gpd.GeoDataFrame
    missed_m2: float


def describe_heads(thrown: Thrown | None, corner: tuple[float, float], units: str) -> dict[str, Any] | None:
    """
    Heads as the page gets them.

    Parameters
    ----------
    thrown
        The heads, if there are any.
    corner
        South-west corner of the map, from which shapes are counted.
    units
        ``metric`` or ``us``.

    Returns
    -------
    ``per_m`` (steps to the east and to the north for a metre), ``facts`` (what the card says, in order), ``texts`` (all
    that is said, each once) and ``heads``: place, throw [m], arc and facing [degrees], name, and for each fact its
    place among the texts. ``missed`` is a shape or nothing.
    """
    if thrown is None or thrown.heads.empty:
        return None
    heads, texts = thrown.heads, {"": 0}
    at = np.round((shapely.get_coordinates(heads.geometry.to_numpy()) - np.array(corner)) * STEPS).astype(int)
    middle = float(heads.geometry.y.mean())
    rows = []
    for place, row in zip(at.tolist(), heads.drop(columns=heads.geometry.name).to_dict("records"), strict=True):
        arc, facing = (np.degrees(row[name]) for name in ("arc_rad", "facing_rad"))
        facing = round(float(facing) % 360) if isfinite(facing) else 0
        said = [texts.setdefault(one, len(texts)) for one in _facts(row, round(float(arc)), facing, units)]
        rows.append([*place, round(float(row["throw_m"]), 1), round(float(arc)), facing, one_line(row["head"]), *said])
    missed = None
    if len(thrown.missed):
        shape = as_one(thrown.missed.geometry, "area")
        missed = feature_collection({0: shape}, corner)["features"][0]["geometry"]
    return {
        "per_m": [round(STEPS / DEGREE_M / cos(radians(middle)), 3), round(STEPS / DEGREE_M, 3)],
        "facts": list(FACTS),
        "texts": list(texts),
        "heads": rows,
        "missed": missed,
        "missed_text": f"missed {shown('area', units).text(thrown.missed_m2)}",
        "note": NOTE,
        "care": CAUTIONS["head_model"],
    }


def _facts(row: dict[Any, Any], arc: int, facing: int, units: str) -> list[str]:
    """What the card says, in the order of :data:`FACTS`; empty where it is not known."""
    pressure = float(row["pressure_pa"])
    return [
        words(row["station"]),
        words(row["controller"]),
        shown("pump flow", units).text(row["flow_m3_s"]),
        shown("length", units).text(row["throw_m"]),
        "full circle" if arc >= 360 else f"{arc}°, facing {facing}°",
        shown("pressure", units).text(pressure) if isfinite(pressure) else "",
        words(row["patch"]) or "no ground that is watered",
    ]


def heads_told(cover: Cover, units: str) -> pd.DataFrame:
    """A line for the card of each patch that heads serve: ``patch``, ``label`` and ``text``."""
    area, rows = shown("area", units), []
    for row in cover.table.to_dict("records"):
        said = [f"{row['heads']} reach it"]
        if isfinite(row["low_quarter"]):
            said.append(f"low quarter {100 * row['low_quarter']:.0f} % by {row['judged_by']}")
        said.append(f"{area.text(row['missed_m2'])} missed" if row["missed_m2"] >= 0.5 else "none missed")
        rows.append({"patch": row["patch"], "label": "Heads", "text": "; ".join(said)})
    return pd.DataFrame(rows, columns=["patch", "label", "text"])
