"""What a photo shows round a point, in the frame."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pyproj
from rasterio.enums import Resampling
from rasterio.io import DatasetReader
from rasterio.transform import from_origin
from skimage.color import rgb2lab

from turfgis.measure.rasters import colour_bands, colour_span, colours, warped

FINEST_M = 0.14  # pixels are not taken finer: no edge of grass is sharper
ACROSS = 640  # pixels across a window at most; large ground is traced coarser


@dataclass(frozen=True)
class Window:
    """
    Colours on a square grid, and where there are any.

    Attributes
    ----------
    lab
        Lightness, green to red and blue to yellow (CIE 1976 L*a*b*), in the last axis.
    inside
        Where the photo shows something.
    pixel
        Width of a pixel. [m]
    left, top
        Where the grid begins, in the frame. [m]
    middle
        Row and column of the point.
    """

    lab: np.ndarray
    inside: np.ndarray
    pixel: float
    left: float
    top: float
    middle: tuple[int, int]

    def place(self, row: np.ndarray, column: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Where rows and columns, counted from the middles of pixels, lie in the frame."""
        return self.left + (column + 0.5) * self.pixel, self.top - (row + 0.5) * self.pixel

    def at(self, x: np.ndarray, y: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Rows and columns, counted from the middles of pixels, of places in the frame."""
        return (self.top - y) / self.pixel - 0.5, (x - self.left) / self.pixel - 0.5


class Viewer:
    """An open photo, looked at through windows in the frame."""

    def __init__(self, raster: DatasetReader, system: pyproj.CRS, frame: pyproj.CRS) -> None:
        self.raster, self.system, self.frame = raster, system, frame
        self.bands = colour_bands(raster)
        with warped(raster, system, frame) as there:
            self.native, self.bounds = there.res[0], there.bounds

    def shows(self, x: float, y: float) -> bool:
        """Whether a point lies on the photo."""
        left, bottom, right, top = self.bounds
        return left < x < right and bottom < y < top

    def round(self, x: float, y: float, reach: float, finest: float = FINEST_M) -> Window:
        """A square window about a point."""
        return self.box(x, y, (x - reach, y - reach, x + reach, y + reach), finest)

    def box(self, x: float, y: float, bounds: tuple[float, float, float, float], finest: float = FINEST_M) -> Window:
        """A window with a point in it, its pixels no finer than an edge can be, or than is asked for."""
        west, south, east, north = bounds
        pixel = max(self.native, finest, np.sqrt((east - west) * (north - south)) / ACROSS)
        # The point lies in the middle of a pixel.
        ahead, above = int((x - west) / pixel), int((north - y) / pixel)
        left, top = x - (ahead + 0.5) * pixel, y + (above + 0.5) * pixel
        width, height = ahead + int((east - x) / pixel) + 1, above + int((y - south) / pixel) + 1
        how = {"transform": from_origin(left, top, pixel, pixel), "width": width, "height": height}
        single = len(set(self.bands)) == 1
        with warped(self.raster, self.system, self.frame, resampling=Resampling.bilinear, **how) as there:
            values = there.read(self.bands[:1] if single else self.bands)
            inside = there.dataset_mask() > 0
        values = np.repeat(values, 3, axis=0) if single else values
        inside &= np.isfinite(values).all(axis=0)
        picture = colours(values, None, colour_span(values, inside))
        return Window(rgb2lab(picture).astype(np.float32), inside, pixel, left, top, (above, ahead))
