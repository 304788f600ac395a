"""The shape of the ground on the map: contours, shaded relief, and where machines are over their limit."""

from __future__ import annotations

from typing import TYPE_CHECKING

import geopandas as gpd
import pandas as pd
import pyproj

from turfgis.reports.facts import plain_words
from turfgis.reports.map_underlays import Underlay
from turfgis.reports.printed import trimmed
from turfgis.reports.tables import plain_rows
from turfgis.units import shown

if TYPE_CHECKING:
    from turfgis.estimates.course import Course
    from turfgis.estimates.slopes import Steepness
    from turfgis.measure.relief_map import ReliefPicture

CONTOUR_INK, DROP_INK, STEEP_INK = "#7a5a3a", "#8a1c1c", "#c2410c"
LEAST_STEP = {"metric": 1.0, "us": 0.6096}  # between contours, where the settings do not say: 1 m, 2 ft


def relief_picture(course: Course, units: str) -> ReliefPicture | None:
    """Contours and shaded relief of a course, or None where the settings name no heights or they tell nothing."""
    if course.relief is None or not course.relief.known or course.settings is None:
        return None
    said = course.settings.elevation
    step = said.contours if said and said.contours else LEAST_STEP[units]
    return course.relief_picture(step)


def relief_underlay(picture: ReliefPicture) -> Underlay:
    """Shaded relief under the shapes, off until it is asked for."""
    return Underlay(
        label="Shaded relief",
        note="light from the north-west, heights three times as high",
        images=[(picture.bounds, picture.content, "image/jpeg")],
    )


def relief_over(picture: ReliefPicture | None, steepness: Steepness | None, units: str) -> gpd.GeoDataFrame | None:
    """
    Lines and points over the shapes, all off until they are asked for: contours, drops and steepest places.

    Parameters
    ----------
    picture, steepness
        As far as they are known.
    units
        ``metric`` or ``us``.
    """
    width = shown("width", units)
    parts = []
    if picture is not None and len(picture.contours):
        label = f"contours, every {trimmed(width, picture.step_m)}"
        lines = picture.contours[["geometry"]]
        parts.append(lines.assign(label=label, ink=CONTOUR_INK, weight=1.1))
    if steepness is not None:
        worked = steepness.drops["patch"].isin(steepness.rows["patch"]) & ~steepness.drops.geometry.is_empty
        edges = steepness.drops.loc[worked, ["geometry"]]
        label = f"edges with a drop of {trimmed(width, steepness.drop_m)} within {trimmed(width, steepness.within_m)}"
        parts.append(edges.assign(label=label, ink=DROP_INK, weight=2.5))
        over = steepness.rows.loc[steepness.rows["verdict"] == "over"]
        over = over.loc[~over["patch"].duplicated()]
        points = gpd.points_from_xy(over["longitude"], over["latitude"], crs="EPSG:4326")
        places = gpd.GeoDataFrame(geometry=points).to_crs(pyproj.CRS(steepness.drops.crs))
        parts.append(places.assign(label="steepest places over a limit", ink=STEEP_INK, weight=2.0))
    parts = [part for part in parts if len(part)]
    if not parts:
        return None
    return gpd.GeoDataFrame(pd.concat(parts, ignore_index=True).assign(off=True), crs=parts[0].crs)


def slope_facts(course: Course, steepness: Steepness | None, units: str) -> pd.DataFrame:
    """What a tap on a patch tells of its ground: ``patch``, ``label`` and ``text``."""
    rows: list[dict[str, str]] = []
    area = shown("area", units)
    if course.relief is not None:
        for row in plain_rows(course.relief.table.assign(patch=course.measured.patches["patch"])):
            if row["true_m2"] is None:
                continue
            falls = "" if row["aspect_deg"] is None else f", falls to the {compass(row['aspect_deg'])}"
            steep = (
                f"{row['mean_slope_pct']:.1f} % on average, {row['steepest_slope_pct']:.0f} % at its steepest{falls}"
            )
            rows.append({"patch": row["patch"], "label": "Slope", "text": steep})
            rows.append({"patch": row["patch"], "label": "Area along the slope", "text": area.text(row["true_m2"])})
    if steepness is not None:
        for row in (one for one in plain_rows(steepness.rows) if one["limit_deg"] is not None):
            text = f"{row['verdict']} its limit of {row['limit_deg']:.1f}°"
            text = f"unknown: {row['why']}" if row["verdict"] == "unknown" else text
            rows.append({"patch": row["patch"], "label": plain_words(row["machine"]).capitalize(), "text": text})
    return pd.DataFrame(rows, columns=["patch", "label", "text"])


def compass(bearing: float) -> str:
    """
    One of eight directions in words.

    Examples
    --------
    >>> compass(350.0), compass(130.0)
    ('north', 'south-east')
    """
    names = ("north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west")
    return names[round(bearing / 45) % 8]
