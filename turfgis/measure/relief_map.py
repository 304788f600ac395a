"""Contours and shaded relief of the ground about the patches, for a map."""

from __future__ import annotations

import warnings
from dataclasses import dataclass
from math import ceil, log10
from typing import Any

import geopandas as gpd
import numpy as np
import pyproj
import rasterio
import shapely
from contourpy import LineType, contour_generator
from rasterio.errors import NotGeoreferencedWarning
from rasterio.io import MemoryFile
from rasterio.transform import from_bounds
from rasterio.warp import Resampling, reproject

from turfgis.formulas.slopes import shade
from turfgis.measure.frame import transformer
from turfgis.measure.relief import Relief
from turfgis.measure.relief_grid import open_grid
from turfgis.measure.relief_lines import sample

MERCATOR, DEGREES = pyproj.CRS(3857), pyproj.CRS(4326)
ROUND_M = 20.0  # shown beyond the outermost patch
MOST_PIXELS = 1000  # along the longer side
MOST_LEVELS = 40  # contours that a map can bear
SLIM_M = 0.4  # a contour may be so far out
SHORTEST_M = 12.0  # closed bends of a contour shorter than this are dropped
EXAGGERATED = 3.0  # heights under the light: true to scale a course looks flat
QUALITY = 70
PAPER_GREY = 241  # of the map, where no height is known
STEPS = (1, 2, 5)


@dataclass(frozen=True)
class ReliefPicture:
    """
    The shape of the ground as a map shows it.

    Attributes
    ----------
    contours
        ``height_m`` and line, in the frame.
    step_m
        From one contour to the next. [m]
    bounds, content
        West, south, east and north of a shaded relief [degrees], drawn in Web Mercator, and its JPEG file.
    """

    contours: gpd.GeoDataFrame
    step_m: float
    bounds: tuple[float, float, float, float]
    content: bytes


def contour_step(lowest: float, highest: float, least: float) -> float:
    """
    Step from one contour to the next: at least so much, and round, so that a map can bear them. [m]

    Examples
    --------
    >>> contour_step(0.0, 25.0, 1.0), contour_step(0.0, 300.0, 1.0), contour_step(0.0, 3.0, 0.5)
    (1.0, 10.0, 0.5)
    """
    if (highest - lowest) / least <= MOST_LEVELS:
        return least
    wanted = (highest - lowest) / MOST_LEVELS
    ten = 10.0 ** ceil(log10(wanted) - 1)
    return next(step * ten for step in (*STEPS, 10, 20) if step * ten >= wanted)


def draw_relief(patches: gpd.GeoDataFrame, relief: Relief, least_step: float) -> ReliefPicture | None:
    """
    Contours and shaded relief about the patches.

    Parameters
    ----------
    patches, relief
        In the frame, and their ground.
    least_step
        The step between contours that is wanted; a larger one is taken where there would be too many. [m]

    Returns
    -------
    The picture, or None where no height is known.
    """
    grid, _ = open_grid(relief.elevation, pyproj.CRS(patches.crs))
    if grid is None or not relief.known:
        return None
    left, bottom, right, top = patches.total_bounds + np.array([-1, -1, 1, 1]) * ROUND_M
    pixel = max(relief.cell_m, max(right - left, top - bottom) / MOST_PIXELS)
    x, y = np.arange(left, right, pixel) + pixel / 2, np.arange(top, bottom, -pixel) - pixel / 2
    places = np.column_stack([one.ravel() for one in np.meshgrid(x, y)])
    with grid:
        heights, east, north = (field.reshape(len(y), len(x)) for field in sample(grid, relief, places))
    if np.isnan(heights).all():
        return None
    step = contour_step(float(np.nanmin(heights)), float(np.nanmax(heights)), least_step)
    light = np.where(np.isnan(east), np.nan, shade(EXAGGERATED * east, EXAGGERATED * north))
    bounds = (left, top - pixel * len(y), left + pixel * len(x), top)
    corners, content = _shaded(light, bounds, pyproj.CRS(patches.crs))
    return ReliefPicture(_contours(heights, x, y, step, patches.crs), step, corners, content)


def _contours(heights: np.ndarray, x: np.ndarray, y: np.ndarray, step: float, crs: Any) -> gpd.GeoDataFrame:
    made = contour_generator(x, y, np.ma.masked_invalid(heights), line_type=LineType.Separate)
    levels = np.arange(np.ceil(np.nanmin(heights) / step), np.floor(np.nanmax(heights) / step) + 1) * step
    rows = []
    for level in levels:
        for points in made.lines(float(level)):
            line = shapely.simplify(shapely.LineString(np.asarray(points)), SLIM_M)
            if line.length >= SHORTEST_M:
                rows.append((float(level), line))
    return gpd.GeoDataFrame({"height_m": [level for level, _ in rows]}, geometry=[line for _, line in rows], crs=crs)


def _shaded(
    light: np.ndarray, bounds: tuple[float, float, float, float], frame: pyproj.CRS
) -> tuple[tuple[float, float, float, float], bytes]:
    """Light on the ground warped to Web Mercator: corners in degrees, and a JPEG of greys."""
    rows, columns = light.shape
    there = transformer(frame, MERCATOR).transform_bounds(*bounds)
    to = from_bounds(*there, columns, rows)
    warped = np.full(light.shape, np.nan, dtype="float32")
    reproject(
        light.astype("float32"),
        warped,
        src_transform=from_bounds(*bounds, columns, rows),
        src_crs=frame.to_wkt(),
        src_nodata=np.nan,
        dst_transform=to,
        dst_crs=MERCATOR.to_wkt(),
        dst_nodata=np.nan,
        resampling=Resampling.bilinear,
    )
    grey = np.where(np.isnan(warped), PAPER_GREY, np.clip(40 + 200 * warped, 0, 255)).astype("uint8")
    profile = {"driver": "JPEG", "width": columns, "height": rows, "count": 1, "dtype": "uint8", "quality": QUALITY}
    with MemoryFile() as memory, warnings.catch_warnings():
        warnings.simplefilter("ignore", NotGeoreferencedWarning)
        with rasterio.Env(GDAL_PAM_ENABLED="NO"), memory.open(**profile) as file:
            file.write(grey, 1)
        content = memory.read()
    return transformer(MERCATOR, DEGREES).transform_bounds(*there), content
