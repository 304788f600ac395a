"""
Tracing on a photo: from a point inside, the edge of what is mown alike.

Grass that is mown alike has one colour in a few tones: the two of the mower's stripes, and those of shade. Greens and
bunkers part well from what lies round them (:mod:`~turfgis.measure.tracing_steady`); tees less so, and are grown to
where the contrast across their edge is best (:mod:`~turfgis.measure.tracing_grown`); fairways and approaches are told
in pixels of a metre from what lies beside them (:mod:`~turfgis.measure.tracing_mown`). Nothing here was trained on
anything.

A fairway runs on into its approach where both are mown alike. So the outline is for a person to check. How far it may
be out is told from the blur of the edge itself.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pyproj
import shapely
from rasterio.io import DatasetReader
from scipy import ndimage

from turfgis.measure.accuracy import COVERAGE_95
from turfgis.measure.frame import local_frame, transformer
from turfgis.measure.rasters import open_raster
from turfgis.measure.tracing_grown import Alike, gather_grown
from turfgis.measure.tracing_masks import at_rim
from turfgis.measure.tracing_mown import gather_mown
from turfgis.measure.tracing_outline import drawn_outline, edge_blur
from turfgis.measure.tracing_steady import gather_steady
from turfgis.measure.tracing_tones import LEAST_M2
from turfgis.measure.tracing_window import Viewer, Window

PART_WELL = ("green", "bunker")  # surfaces that look like nothing beside them
WIDE = ("fairway", "approach")  # surfaces that are looked for in coarse pixels
WIDE_M = 1.0  # pixels for those
MARGIN_M = 5.0  # round them, where their edge is looked at in finer pixels
UNSURE = 1.3  # edges as good as each other that hold grounds so different
REACHES_M = (32.0, 64.0, 130.0, 260.0)  # half a window, tried one after the other
WIDE_REACHES_M = (130.0, 260.0)


@dataclass(frozen=True)
class Place:
    """A point inside what is to be traced: longitude and latitude [degrees], and what it is called."""

    longitude: float
    latitude: float
    name: str = ""


@dataclass(frozen=True)
class Traced:
    """
    One outline, or the reason why there is none.

    Attributes
    ----------
    place
        Where it was started.
    outline
        In the local equal-area frame [m]; None where nothing could be traced.
    accuracy_m
        Standard deviation of how far the edge may lie in or out as a whole. [m]
    plus_minus_m2
        Half-width of the 95 % interval of the area. [m2]
    quality
        In words: how clear its edge is, and whether it lies in shade.
    reason
        Why there is no outline.
    """

    place: Place
    outline: shapely.Polygon | None = None
    accuracy_m: float = float("nan")
    plus_minus_m2: float = float("nan")
    quality: str = ""
    reason: str = ""

    @property
    def area_m2(self) -> float:
        """Area inside the outline. [m2]"""
        return self.outline.area if self.outline is not None else float("nan")


def trace(
    photo: Path, places: Sequence[Place], crs: str | None = None, surface: str = "green"
) -> tuple[list[Traced], pyproj.CRS]:
    """
    Trace the edge of what is mown alike round each of some places.

    Parameters
    ----------
    photo
        Any picture that says where it lies.
    places
        Points inside.
    crs
        Reference system of the photo, where its file does not say it.
    surface
        What lies at the places.

    Returns
    -------
    An outline or a reason for each place, and the frame they are in.

    Raises
    ------
    LayerError
        The photo cannot be used.
    """
    degrees = pyproj.CRS(4326)
    frame = local_frame([(degrees, place.longitude, place.latitude) for place in places])
    with open_raster(photo, crs, "say it with --crs") as (raster, system):
        tracer = _Tracer(raster, system, frame, surface)
        move = transformer(degrees, frame).transform
        return [tracer.traced(place, *move(place.longitude, place.latitude)) for place in places], frame


class _Tracer(Viewer):
    """A photo on which one kind of surface is traced."""

    def __init__(self, raster: DatasetReader, system: pyproj.CRS, frame: pyproj.CRS, surface: str) -> None:
        super().__init__(raster, system, frame)
        self.parts_well, self.wide = surface in PART_WELL, surface in WIDE
        self.reaches = WIDE_REACHES_M if self.wide else REACHES_M

    def traced(self, place: Place, x: float, y: float) -> Traced:
        """Look through ever wider windows until what is alike lies whole in one."""
        if not self.shows(x, y):
            return Traced(place, reason="the point lies outside the photo")
        for reach in self.reaches:
            window = self.round(x, y, reach, *([WIDE_M] if self.wide else []))
            if not window.inside[window.middle]:
                return Traced(place, reason="there is nothing on the photo at the point")
            alike = self.alike(window)
            if alike.region.sum() * window.pixel**2 < LEAST_M2:
                return Traced(place, reason="too little round the point is alike; choose a point on plain grass")
            if _meets_nothing(alike.region, window.inside, window.pixel):
                return Traced(place, reason="what is alike runs on to the edge of the photo")
            if not at_rim(alike.region):
                return self.outlined(place, x, y, window, alike)
        wide = 2 * self.reaches[-1]
        return Traced(
            place, reason=f"what is alike runs on past {wide:g} m: nothing on the photo parts it from the rest"
        )

    def alike(self, window: Window) -> Alike:
        """What is alike round the point of a window, looked for as its surface asks for."""
        if self.parts_well:
            return Alike(*gather_steady(window), (0.0, 0.0))
        return gather_mown(window) if self.wide else gather_grown(window)

    def outlined(self, place: Place, x: float, y: float, window: Window, alike: Alike) -> Traced:
        """The outline of a region as somebody would draw it, and how far it may be out."""
        drawn = drawn_outline(alike.region, window.pixel)
        if drawn is None or drawn.area * window.pixel**2 < LEAST_M2:
            return Traced(place, reason="too little round the point is alike; choose a point on plain grass")
        if self.wide:
            rough = shapely.transform(drawn, lambda rc: np.column_stack(window.place(*rc.T)))
            window = self.box(x, y, shapely.buffer(rough, MARGIN_M).bounds)
            drawn = shapely.transform(rough, lambda xy: np.column_stack(window.at(*xy.T)))
        offset, blur, faint = edge_blur(window, drawn)
        drawn = shapely.buffer(drawn, offset / window.pixel, join_style="mitre")
        grid = shapely.transform(drawn, lambda rc: np.column_stack(window.place(*rc.T)))
        # Even a sharp edge is known no better than the pixels it falls between: a uniform spread over one of them.
        accuracy = float(np.hypot(blur, window.pixel / np.sqrt(12)))
        said = ["clear edge" if faint < 0.1 else f"faint along {faint:.0%} of its edge"]
        least, most = alike.unsure
        if most > UNSURE * least:
            said.append(f"unsure: edges as clear hold {least:,.0f} to {most:,.0f} m2")
        said += ["partly in shade"] * alike.shaded
        plus_minus = COVERAGE_95 * accuracy * grid.length
        return Traced(place, grid, accuracy, plus_minus, "; ".join(said))


def _meets_nothing(region: np.ndarray, inside: np.ndarray, pixel: float) -> bool:
    """Whether a region ends where the photo ends."""
    if inside.all():
        return False
    rim = ndimage.binary_dilation(region, iterations=max(round(1.0 / pixel), 1)) & ~region
    return bool((rim & ~inside).sum() > 0.01 * rim.sum())
