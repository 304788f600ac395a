"""Outlines traced on a photo: as a layer for a person to check, and as rows."""

from collections.abc import Sequence
from pathlib import Path
from typing import Any

import geopandas as gpd
import numpy as np
import pyproj
import shapely
from pyogrio.errors import DataLayerError, DataSourceError, FeatureError, FieldError, GeometryError

from turfgis.errors import OutputError
from turfgis.measure.tracing import Traced

TO_CHECK = (
    "Traced outlines are a proposal: lay them over the photo, move what is wrong, and check the edges on the ground "
    "before anything is ordered by them. Neighbours mown alike, such as a fairway and its approach, cannot be told "
    "apart: the outline runs on into them even where its edge is clear."
)
DRIVERS = {".gpkg": "GPKG", ".geojson": "GeoJSON"}

ALIKE = 0.8  # an outline that shares less of its ground with what is drawn is said to be far from it


def traced_rows(traced: Sequence[Traced], frame: pyproj.CRS, photo: str, surface: str, drawn: Any) -> gpd.GeoDataFrame:
    """
    One row an outline, in the frame.

    Parameters
    ----------
    traced, frame
        As traced.
    photo
        Name of the photo.
    surface
        What the outlines are said to be.
    drawn
        Patches of the course, with ``patch``, ``surface`` and ``net_m2``, to set them against; or None.
    """
    found = [one for one in traced if one.outline is not None]
    rows: dict[str, list[Any]] = {
        "name": [one.place.name for one in found],
        "surface": [surface] * len(found),
        "area_m2": [round(one.area_m2, 1) for one in found],
        "plus_minus_m2": [round(one.plus_minus_m2, 1) for one in found],
        "accuracy_m": [round(one.accuracy_m, 3) for one in found],
        "quality": [one.quality for one in found],
        "traced_from": [photo] * len(found),
        "started_at": [f"{one.place.longitude:.7f},{one.place.latitude:.7f}" for one in found],
        "checked": ["no"] * len(found),
    }
    if drawn is not None:
        rows |= _against(found, drawn.to_crs(frame.to_wkt()), surface)
        rows["quality"] = [
            said if share >= ALIKE else f"far from what is drawn; {said}"
            for said, share in zip(rows["quality"], rows["overlap"], strict=True)
        ]
    return gpd.GeoDataFrame(
        rows, geometry=[one.outline for one in found if one.outline is not None], crs=frame.to_wkt()
    )


def _against(found: Sequence[Traced], drawn: gpd.GeoDataFrame, surface: str) -> dict[str, list[Any]]:
    """The patch of the surface that each outline shares most ground with, its area, and how well the two agree."""
    shapes = drawn[(drawn["surface"] == surface).to_numpy()].reset_index(drop=True)
    ground, names = shapes.geometry.to_numpy(), shapes["patch"].tolist()
    out: dict[str, list[Any]] = {"patch": [], "drawn_m2": [], "overlap": []}
    for one in found:
        common = shapely.area(shapely.intersection(ground, one.outline))
        best = int(common.argmax()) if len(common) and common.max() > 0 else None
        net = float(shapely.area(ground[best])) if best is not None else np.nan
        out["patch"].append(names[best] if best is not None else None)
        out["drawn_m2"].append(round(net, 1))
        share = common[best] / (net + one.area_m2 - common[best]) if best is not None else np.nan
        out["overlap"].append(round(float(share), 3))
    return out


def write_traced(rows: gpd.GeoDataFrame, path: Path) -> None:
    """
    Write outlines as a layer ``traced``: a GeoPackage in their frame, or GeoJSON in longitude and latitude.

    Raises
    ------
    OutputError
        The file cannot be written.
    """
    try:
        if path.suffix.lower() == ".geojson":
            rows.to_crs("EPSG:4326").to_file(path, driver="GeoJSON", RFC7946="YES", COORDINATE_PRECISION=8)
        else:
            rows.to_file(path, layer="traced", driver="GPKG")
    except (DataSourceError, DataLayerError, FeatureError, FieldError, GeometryError) as error:
        raise OutputError(f"{path.name} cannot be written: {error}") from None
