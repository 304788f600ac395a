"""
The club's own photo from the air, made small enough for a map in one file: coarse everywhere, sharp on the greens.

The pictures are warped to Web Mercator, because that is how the map shows them. It stretches areas, so nothing is ever
measured on them.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import cos, hypot, radians, sqrt
from pathlib import Path

import geopandas as gpd
import numpy as np
import pyproj
import shapely
from rasterio.enums import ColorInterp, Resampling
from rasterio.features import geometry_mask
from rasterio.io import DatasetReader
from rasterio.transform import Affine, from_bounds

from turfgis.errors import LayerError
from turfgis.layers.findings import Finding
from turfgis.measure.frame import transformer
from turfgis.measure.rasters import colour_bands, colour_span, colours, encoded, open_raster, warped

MERCATOR = "EPSG:3857"
QUALITY = 72  # of the JPEG pictures
PAPER = (244, 241, 232)  # colour of the map where the photo shows nothing
ROUND_COURSE_M, ROUND_GREEN_M = 30.0, 15.0  # shown beyond the outermost patch, and beyond a green
SHARPER = 1.3  # greens get pictures of their own where those are so much finer than the whole
GREENS_SHARE = 0.55  # the most they may take of all the room
MOST_PIXELS = 16e6  # telephones refuse larger pictures
PIXELS_A_BYTE = 6  # of a JPEG picture of grass, to begin with: some 4 to 9
IN_TEXT = 4 / 3  # a page holds pictures as text of 64 signs, which takes a third more room (RFC 4648)
LEAST_COVERED, MOST_MISSING = 0.01, 0.02  # shares of the ground of all patches
LOOK_PIXELS = 700  # across, for looking whether there is anything on the photo

Box = tuple[float, float, float, float]


@dataclass(frozen=True)
class PhotoFile:
    """
    What is said of a photo.

    Attributes
    ----------
    file, folder
        Where it is.
    crs
        Its reference system, where the file does not say it.
    most_bytes
        How much room all pictures together may take in the page.
    """

    file: str
    folder: Path
    crs: str | None = None
    most_bytes: float = 4e6


@dataclass(frozen=True)
class Picture:
    """A JPEG picture and the corners it is stretched between: west, south, east and north. [degrees]"""

    bounds: Box
    content: bytes


@dataclass(frozen=True)
class Photo:
    """
    A photo for the map.

    Attributes
    ----------
    pictures
        The whole course first, then sharper ones of greens; none where the photo cannot be used.
    pixel_m, green_pixel_m
        Width of a pixel on the ground, of the whole and on greens. [m]
    findings
        What there is to say about it.
    """

    pictures: tuple[Picture, ...] = ()
    pixel_m: float = float("nan")
    green_pixel_m: float = float("nan")
    findings: tuple[Finding, ...] = ()


def read_photo(said: PhotoFile, patches: gpd.GeoDataFrame) -> Photo:
    """
    Read a photo and cut from it what the map shows.

    Parameters
    ----------
    said
        Which, and how large it may become.
    patches
        Patches of the course, with ``surface``, in their frame.

    Returns
    -------
    Its pictures, or none and the reason among the findings.

    Raises
    ------
    LayerError
        There is no such file.
    """
    path = said.folder / said.file
    if not path.exists():
        raise LayerError(f"{said.file}: no such file for [photo]")
    try:
        with open_raster(path, said.crs, 'say crs = "EPSG:..." under [photo]') as (raster, system):
            return _Cutter(raster, system, said, patches).photo()
    except LayerError as error:
        return Photo(findings=(_finding(said, "error", "photo_unusable", f"{error}. The map has no photo."),))


def _finding(said: PhotoFile, level: str, code: str, text: str) -> Finding:
    return Finding(level, code, said.file, "", "", text)


class _Cutter:
    """One open photo over one course, both in the map's projection."""

    def __init__(self, raster: DatasetReader, system: pyproj.CRS, said: PhotoFile, patches: gpd.GeoDataFrame) -> None:
        self.raster, self.system, self.said = raster, system, said
        self.shapes = patches.to_crs(MERCATOR).geometry.to_numpy()
        self.greens = self.shapes[(patches["surface"] == "green").to_numpy()]
        self.extent: Box = tuple(shapely.total_bounds(self.shapes).tolist())
        west, south, east, north = self.extent
        self.to_degrees = transformer(pyproj.CRS(MERCATOR), pyproj.CRS(4326))
        latitude = self.to_degrees.transform((west + east) / 2, (south + north) / 2)[1]
        self.stretch = 1 / cos(radians(latitude))  # of lengths, by the projection
        self.bands = colour_bands(raster)
        self.palette = _palette(raster, self.bands)
        self.span: tuple[float, float] | None = None

    def photo(self) -> Photo:
        """Look first, then cut."""
        with warped(self.raster, self.system, MERCATOR) as there:
            bounds, native = there.bounds, there.res[0]
        margin = ROUND_COURSE_M * self.stretch
        course = _grown(self.extent, margin)
        shown = _common(course, bounds)
        if shown is None:
            return self._none("photo_elsewhere", self._elsewhere(bounds))
        covered, bright = self._look(shown)
        if covered < LEAST_COVERED or not bright:
            text = "The photo is empty where the course lies: all of it is black, of one colour, or marked as no data."
            return self._none("photo_empty", text)
        findings = []
        if covered < 1 - MOST_MISSING:
            text = f"The photo shows {covered:.0%} of the ground of the patches; the rest of the map has none."
            findings.append(_finding(self.said, "warning", "photo_part", text))
        pictures, pixel, green_pixel = self._cut(shown, native)
        return Photo(tuple(pictures), pixel / self.stretch, green_pixel / self.stretch, tuple(findings))

    def _none(self, code: str, text: str) -> Photo:
        return Photo(findings=(_finding(self.said, "error", code, f"{text} The map has no photo."),))

    def _elsewhere(self, bounds: Box) -> str:
        here, there = (((b[0] + b[2]) / 2, (b[1] + b[3]) / 2) for b in (self.extent, bounds))
        away = hypot(here[0] - there[0], here[1] - there[1]) / self.stretch / 1000
        return f"This is a photo of another place: its middle lies some {away:,.0f} km from the middle of the course."

    def _look(self, box: Box) -> tuple[float, bool]:
        """Which share of the patches' ground the photo shows, and whether there is more than one colour on it."""
        pixel = max(box[2] - box[0], box[3] - box[1]) / LOOK_PIXELS
        transform, width, height = _grid(box, pixel)
        values, inside = self._values(transform, width, height)
        self.span = colour_span(values, inside)
        ground = geometry_mask(self.shapes, (height, width), transform, invert=True)
        whole = shapely.area(self.shapes).sum()
        covered = (ground & inside).sum() * pixel**2 / whole if whole else 0.0
        seen = values[:, ground & inside]
        return min(float(covered), 1.0), bool(seen.size) and float(np.ptp(seen)) > 0

    def _cut(self, shown: Box, native: float) -> tuple[list[Picture], float, float]:
        """The whole course, and greens where the whole leaves them blurred; all within the room there is."""
        most = self.said.most_bytes / IN_TEXT
        round_greens = [_grown(box, ROUND_GREEN_M * self.stretch) for box in shapely.bounds(self.greens)]
        greens = [box for one in round_greens if (box := _common(one, shown))]
        if not greens or _likely_pixel([shown], native, most) < native * SHARPER:
            whole, pixel = self._fitted([shown], native, most)
            if not greens or pixel < native * SHARPER:
                return whole, pixel, pixel
        sharp, green_pixel = self._fitted(_apart(greens), native, most * GREENS_SHARE)
        whole, pixel = self._fitted([shown], native, most - sum(len(one.content) for one in sharp))
        return whole + sharp, pixel, green_pixel

    def _fitted(self, boxes: Sequence[Box], native: float, most: float) -> tuple[list[Picture], float]:
        """Pictures of some boxes in as fine a grain as the room allows, but none finer than the photo itself."""
        pixel = _likely_pixel(boxes, native, most)
        return _largest_that_fits(lambda size: [self._picture(box, size) for box in boxes], pixel, native, most)

    def _picture(self, box: Box, pixel: float) -> Picture:
        transform, width, height = _grid(box, pixel)
        values, inside = self._values(transform, width, height)
        image = colours(values, self.palette, self.span)
        image[~inside] = PAPER
        (west, east), (south, north) = self.to_degrees.transform(box[::2], box[1::2])
        return Picture((west, south, east, north), jpeg(image))

    def _values(self, transform: Affine, width: int, height: int) -> tuple[np.ndarray, np.ndarray]:
        """Values of the three bands on a grid of the map, and where there are any."""
        way = Resampling.nearest if self.palette else Resampling.bilinear
        how = {"transform": transform, "width": width, "height": height, "resampling": way}
        with warped(self.raster, self.system, MERCATOR, **how) as there:
            bands = self.bands[: 1 if len(set(self.bands)) == 1 else 3]
            # Colours and transparency in one go: each reading warps anew.
            clear = there.colorinterp[-1] == ColorInterp.alpha
            values = there.read([*bands, there.count] if clear else bands)
            inside = values[-1] > 0 if clear else there.dataset_mask() > 0
        values = np.repeat(values[:1], 3, axis=0) if len(bands) == 1 else values[:3]
        return values, inside & np.isfinite(values).all(axis=0)


def _palette(raster: DatasetReader, bands: list[int]) -> dict | None:
    """Colours of a picture whose single band holds numbers of colours."""
    if raster.colorinterp[bands[0] - 1].name != "palette":
        return None
    return raster.colormap(bands[0])


def _likely_pixel(boxes: Sequence[Box], native: float, most: float) -> float:
    """How fine the pictures of some boxes can be, before any is drawn."""
    areas = [(box[2] - box[0]) * (box[3] - box[1]) for box in boxes]
    return max(native, sqrt(sum(areas) / (most * PIXELS_A_BYTE)), sqrt(max(areas) / MOST_PIXELS))


def _largest_that_fits(
    draw: Callable[[float], list[Picture]], pixel: float, native: float, most: float
) -> tuple[list[Picture], float]:
    """Draw coarser until the pictures fit; and once finer, where they left much of the room."""
    pictures = draw(pixel)
    size = sum(len(one.content) for one in pictures)
    if size < 0.75 * most and pixel > native * 1.02:
        pixel = max(native, pixel * sqrt(size / most) * 1.04)
        pictures = draw(pixel)
        size = sum(len(one.content) for one in pictures)
    while size > most:
        pixel *= max(1.05, sqrt(size / most) * 1.02)
        pictures = draw(pixel)
        size = sum(len(one.content) for one in pictures)
    return pictures, pixel


def jpeg(image: np.ndarray) -> bytes:
    """Colours, bands last, as the content of a JPEG file."""
    return encoded(image, "JPEG", quality=QUALITY)


def _grid(box: Box, pixel: float) -> tuple[Affine, int, int]:
    """Whole pixels that fill a box, square but for a rounding."""
    width = max(round((box[2] - box[0]) / pixel), 1)
    height = max(round((box[3] - box[1]) / pixel), 1)
    return from_bounds(*box, width, height), width, height


def _grown(box: Sequence[float], by: float) -> Box:
    return box[0] - by, box[1] - by, box[2] + by, box[3] + by


def _common(one: Box, other: Box) -> Box | None:
    """What two boxes share."""
    west, south, east, north = (*map(max, one[:2], other[:2]), *map(min, one[2:], other[2:]))
    return (west, south, east, north) if west < east and south < north else None


def _apart(boxes: list[Box]) -> list[Box]:
    """Boxes that overlap made into one, so that no ground is drawn twice."""
    shapes = shapely.box(*np.array(boxes).T)
    while True:
        joined = shapely.get_parts(shapely.union_all(shapes))
        larger = shapely.envelope(joined)
        if len(larger) == len(shapes):
            return [tuple(box) for box in shapely.bounds(larger).tolist()]
        shapes = larger
