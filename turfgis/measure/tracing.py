"""
Tracing on a photo: from a point inside, the edge of what is mown alike.

Grass that is mown alike has one colour in a few tones: the two of the mower's stripes, and those of shade. Each tone
round the point is taken as it spreads (a mean and a covariance), all that is alike and connected is gathered, and the
edge is laid where the likeness falls off most steeply (watershed of its gradient, as in Vincent and Soille 1991).
Nothing here was trained on anything.

Greens part well from what lies round them. Ground that looks almost like its neighbour does not: a fairway runs on into
its approach, a tee into its banks. So the outline is for a person to check. How far it may be out is told from the blur
of the edge itself.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import pyproj
import shapely
from rasterio.enums import Resampling
from rasterio.io import DatasetReader
from rasterio.transform import from_origin
from scipy import ndimage
from skimage.color import rgb2lab
from skimage.measure import find_contours, label
from skimage.segmentation import watershed

from turfgis.measure.accuracy import COVERAGE_95
from turfgis.measure.frame import local_frame, transformer
from turfgis.measure.rasters import colour_bands, colour_span, colours, open_raster, warped

SEED_M = 1.6  # radius of the ground round the point that is taken to be mown alike
FINEST_M = 0.14  # pixels are not taken finer: no edge of grass is sharper
ACROSS = 640  # pixels across a window at most; large ground is traced coarser
REACHES_M = (32.0, 64.0, 130.0, 260.0)  # half a window, tried one after the other
LEAST_M2 = 8.0  # what is alike round the point must be at least so large
# Standard deviations of colour within which a pixel is alike, the strictest first.
LIKE = (1.6, 2.0, 2.4, 2.8, 3.3, 3.9)
STEADY = 1.04  # a region that grows by less from one to the next has met its edge
FLOOR = np.array([1.1, 0.7, 0.9])  # least standard deviation of lightness, green to red, blue to yellow
EDGE_M = 1.4  # how far the edge may lie from where likeness alone would put it
FAINT = 2.5  # an edge whose two sides differ by less, in standard deviations, is faint
SHADE = (0.25, 0.7)  # lightness of shaded grass against that in the sun


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


def trace(photo: Path, places: Sequence[Place], crs: str | None = None) -> tuple[list[Traced], pyproj.CRS]:
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
        tracer = _Tracer(raster, system, frame)
        move = transformer(degrees, frame).transform
        return [tracer.traced(place, *move(place.longitude, place.latitude)) for place in places], frame


class _Tracer:
    """An open photo, looked at through windows in the frame."""

    def __init__(self, raster: DatasetReader, system: pyproj.CRS, frame: pyproj.CRS) -> None:
        self.raster, self.system, self.frame = raster, system, frame
        self.bands = colour_bands(raster)
        with warped(raster, system, frame) as there:
            self.native, self.bounds = there.res[0], there.bounds

    def traced(self, place: Place, x: float, y: float) -> Traced:
        """Look through ever wider windows until what is alike lies whole in one."""
        left, bottom, right, top = self.bounds
        if not (left < x < right and bottom < y < top):
            return Traced(place, reason="the point lies outside the photo")
        for reach in REACHES_M:
            window = _Window.read(self, x, y, reach)
            if not window.inside[window.middle]:
                return Traced(place, reason="there is nothing on the photo at the point")
            region, shaded = gather_alike(window.lab, window.inside, window.pixel)
            if region.sum() * window.pixel**2 < LEAST_M2:
                return Traced(place, reason="too little round the point is alike; choose a point on plain grass")
            if _meets_nothing(region, window.inside, window.pixel):
                return Traced(place, reason="what is alike runs on to the edge of the photo")
            if not _at_rim(region):
                return _outlined(place, window, region, shaded)
        wide = 2 * REACHES_M[-1]
        return Traced(
            place, reason=f"what is alike runs on past {wide:g} m: nothing on the photo parts it from the rest"
        )


@dataclass(frozen=True)
class _Window:
    """Colours round a point, and where there are any."""

    lab: np.ndarray
    inside: np.ndarray
    pixel: float
    left: float
    top: float

    @property
    def middle(self) -> tuple[int, int]:
        """Row and column of the point."""
        return self.lab.shape[0] // 2, self.lab.shape[1] // 2

    def place(self, row: np.ndarray, column: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Where rows and columns, counted from the middles of pixels, lie in the frame."""
        return self.left + (column + 0.5) * self.pixel, self.top - (row + 0.5) * self.pixel

    @classmethod
    def read(cls, tracer: _Tracer, x: float, y: float, reach: float) -> _Window:
        """The photo in the frame, its pixels no finer than an edge can be."""
        pixel = max(tracer.native, FINEST_M, 2 * reach / ACROSS)
        count = int(2 * reach / pixel) | 1
        left, top = x - count * pixel / 2, y + count * pixel / 2
        how = {"transform": from_origin(left, top, pixel, pixel), "width": count, "height": count}
        single = len(set(tracer.bands)) == 1
        with warped(tracer.raster, tracer.system, tracer.frame, resampling=Resampling.bilinear, **how) as there:
            values = there.read(tracer.bands[:1] if single else tracer.bands)
            inside = there.dataset_mask() > 0
        values = np.repeat(values, 3, axis=0) if single else values
        inside &= np.isfinite(values).all(axis=0)
        picture = colours(values, None, colour_span(values, inside))
        return cls(rgb2lab(picture).astype(np.float32), inside, pixel, left, top)


@dataclass(frozen=True)
class _Tone:
    """A colour and how it spreads."""

    mean: np.ndarray
    inverse: np.ndarray

    @classmethod
    def of(cls, samples: np.ndarray) -> _Tone:
        """From colours most of which are grass of one kind."""
        return cls(samples.mean(axis=0), np.linalg.inv(np.cov(samples.T) + np.diag(FLOOR**2)))

    def unlike(self, lab: np.ndarray) -> np.ndarray:
        """How many standard deviations each colour lies from this one."""
        off = lab - self.mean.astype(np.float32)
        return np.sqrt(np.einsum("...i,ij,...j", off, self.inverse.astype(np.float32), off, optimize=True))

    def shaded(self, sunny: np.ndarray, shade: np.ndarray) -> _Tone:
        """The same tone in shade: it moves with the grass, and its differences shrink alike."""
        left = shade[0] / sunny[0]
        return _Tone(shade + (self.mean - sunny) * left, self.inverse / left)


def _tones(samples: np.ndarray) -> list[_Tone]:
    """The two tones of a mower's stripes, which are one tone twice where there are none."""
    middle = np.median(samples, axis=0)
    reach = np.maximum(1.4826 * np.median(np.abs(samples - middle), axis=0), FLOOR)
    samples = samples[(np.abs(samples - middle) < 3.5 * reach).all(axis=1)]
    light = samples[:, 0] > np.median(samples[:, 0])
    for _ in range(4):  # two means, which settle at once
        if min(light.sum(), (~light).sum()) < 20:
            return [_Tone.of(samples)]
        means = np.array([samples[~light].mean(axis=0), samples[light].mean(axis=0)])
        light = np.subtract(*(((samples - mean) ** 2).sum(axis=1) for mean in means)) > 0
    return [_Tone.of(samples[~light]), _Tone.of(samples[light])] if 0 < light.mean() < 1 else [_Tone.of(samples)]


def gather_alike(lab: np.ndarray, inside: np.ndarray, pixel: float) -> tuple[np.ndarray, bool]:
    """
    What is alike and connected round the middle of a window.

    Parameters
    ----------
    lab
        Colours as lightness, green to red and blue to yellow (CIE 1976 L*a*b*), in the last axis.
    inside
        Where there are any.
    pixel
        Width of a pixel. [m]

    Returns
    -------
    region, shaded
        The pixels, and whether some of them lie in shade.
    """
    calm = np.stack([ndimage.gaussian_filter(lab[..., i], 0.22 / pixel) for i in range(3)], axis=-1)
    row, column = lab.shape[0] // 2, lab.shape[1] // 2
    down, over = np.ogrid[: lab.shape[0], : lab.shape[1]]
    core = ((down - row) ** 2 + (over - column) ** 2 <= (SEED_M / pixel) ** 2) & inside
    for _ in range(3):  # the first look knows the colours of a few square metres only
        tones = _tones(calm[core])
        unlike = _unlike(calm, inside, tones)
        region = _steady(unlike, pixel)
        core = _far(region) * pixel > 0.6
        if core.sum() * pixel**2 < LEAST_M2 or _at_rim(region):
            break
    shade = _shade(calm, inside, region, pixel)
    if shade is not None:
        sunny = np.median(calm[region], axis=0)
        shaded = [tone.shaded(sunny, shade) for tone in _tones(calm[region])]
        wider = np.minimum(unlike, _unlike(calm, inside, shaded))
        found = _alike(wider, LIKE[-1], pixel, closing=1.1)
        if found.sum() > 1.02 * region.sum() and not _at_rim(found):
            return _edge(wider, found, pixel), True
    return _edge(unlike, region, pixel), False


def _unlike(calm: np.ndarray, inside: np.ndarray, tones: list[_Tone]) -> np.ndarray:
    """How far each pixel is from the nearest of some tones, in standard deviations."""
    unlike = np.minimum.reduce([tone.unlike(calm) for tone in tones])
    return np.where(inside, np.minimum(unlike, 99.0), 99.0)


def _steady(unlike: np.ndarray, pixel: float) -> np.ndarray:
    """The smallest region that hardly grows where more is counted as alike: it has met an edge on all sides."""
    before = _alike(unlike, LIKE[0], pixel)
    for like in LIKE[1:]:
        after = _alike(unlike, like, pixel)
        if before.sum() * pixel**2 > LEAST_M2 and after.sum() < STEADY * before.sum():
            return after
        if _at_rim(after):
            return before if before.sum() * pixel**2 > LEAST_M2 and like > LIKE[-3] else after
        before = after
    return before


def _alike(unlike: np.ndarray, like: float, pixel: float, closing: float = 0.0) -> np.ndarray:
    """Pixels within some standard deviations, without narrow bridges, connected to the middle."""
    near = ndimage.gaussian_filter((unlike < like).astype(np.float32), 0.3 / pixel) > 0.5
    if closing:  # the edge of a shadow is neither in the sun nor in the shade
        near = _closed(near, closing / pixel)
    parts = _parts(_opened(near, 0.8 / pixel))
    row, column = near.shape[0] // 2, near.shape[1] // 2
    reach = max(round(0.5 / pixel), 1)
    here = parts[row - reach : row + reach + 1, column - reach : column + reach + 1]
    number = np.bincount(here[here > 0]).argmax() if here.any() else 0
    return _filled(parts == number) if number else np.zeros_like(near)


def _far(mask: np.ndarray) -> np.ndarray:
    """How far each pixel of a mask is from the nearest one outside it, in pixels."""
    far: Any = ndimage.distance_transform_edt(mask)
    return far


def _parts(mask: np.ndarray) -> np.ndarray:
    """Connected parts of a mask, numbered from 1."""
    parts: Any = label(mask, connectivity=1)
    return parts


def _filled(mask: np.ndarray) -> np.ndarray:
    """A mask without its holes."""
    filled: Any = ndimage.binary_fill_holes(mask)
    return filled


def _opened(mask: np.ndarray, radius: float) -> np.ndarray:
    """Without what is narrower than twice the radius (in pixels); by distances, which takes no longer for wide ones."""
    core = _far(mask) > radius
    return (_far(~core) <= radius) & mask if core.any() else core


def _closed(mask: np.ndarray, radius: float) -> np.ndarray:
    near = _far(~mask) <= radius
    return (_far(near) > radius) | mask


def _shade(calm: np.ndarray, inside: np.ndarray, region: np.ndarray, pixel: float) -> np.ndarray | None:
    """The colour of the same grass in shade, where a shadow lies against what was gathered."""
    away = _far(~region) * pixel
    rim = inside & (away > 0.9) & (away < 2.4)  # beyond the blur of the edge
    if not rim.any() or not region.any():
        return None
    sunny, around = np.median(calm[region], axis=0), calm[rim]
    # Shade takes the lightness; it keeps the hue, and the colourfulness against the lightness.
    left = around[:, 0] / sunny[0]
    colourful, hue = np.hypot(*around[:, 1:].T) / np.hypot(*sunny[1:]), np.arctan2(around[:, 2], around[:, 1])
    turn = np.abs(np.angle(np.exp(1j * (hue - np.arctan2(sunny[2], sunny[1])))))
    dark = (left > SHADE[0]) & (left < SHADE[1]) & (turn < 0.35) & (np.abs(colourful / left - 1) < 0.4)
    if dark.sum() < max(0.03 * rim.sum(), 2.0 / pixel**2):
        return None
    counts, edges = np.histogram(left[dark], bins=45, range=SHADE)
    peak = edges[ndimage.gaussian_filter1d(counts.astype(float), 1.5).argmax()] + (edges[1] - edges[0]) / 2
    return np.median(around[dark & (np.abs(left - peak) < 0.03)], axis=0)


def _edge(unlike: np.ndarray, region: np.ndarray, pixel: float) -> np.ndarray:
    """The region up to where likeness falls off most steeply, in a strip on both sides of its rim."""
    deep = _far(region) * pixel
    away = _far(~region) * pixel
    strip = (deep <= EDGE_M) & (away <= EDGE_M)
    marks = np.zeros(region.shape, np.int32)
    marks[region & ~strip], marks[~region & ~strip] = 1, 2
    if not (marks == 1).any():
        return region
    steep = ndimage.gaussian_gradient_magnitude(np.minimum(unlike, 12.0), 0.15 / pixel)
    found = watershed(steep, marks) == 1
    return _filled(_largest(_opened(found, 0.6 / pixel)))


def _largest(mask: np.ndarray) -> np.ndarray:
    parts = _parts(mask)
    return parts == np.bincount(parts.ravel())[1:].argmax() + 1 if parts.any() else mask


def _meets_nothing(region: np.ndarray, inside: np.ndarray, pixel: float) -> bool:
    """Whether a region ends where the photo ends."""
    if inside.all():
        return False
    rim = ndimage.binary_dilation(region, iterations=max(round(1.0 / pixel), 1)) & ~region
    return bool((rim & ~inside).sum() > 0.01 * rim.sum())


def _at_rim(region: np.ndarray) -> bool:
    """Whether a region runs to the rim of its window."""
    return bool(region[:2].any() or region[-2:].any() or region[:, :2].any() or region[:, -2:].any())


def _outlined(place: Place, window: _Window, region: np.ndarray, shaded: bool) -> Traced:
    """The outline of a region as somebody would draw it, and how far it may be out."""
    drawn = _drawn(region, window.pixel)
    if drawn is None or drawn.area * window.pixel**2 < LEAST_M2:
        return Traced(place, reason="too little round the point is alike; choose a point on plain grass")
    offset, blur, faint = _edge_blur(window, drawn)
    drawn = shapely.buffer(drawn, offset / window.pixel, join_style="mitre")
    grid = shapely.transform(drawn, lambda rc: np.column_stack(window.place(rc[:, 0], rc[:, 1])))
    # Even a sharp edge is known no better than the pixels it falls between: a uniform spread over one of them.
    accuracy = float(np.hypot(blur, window.pixel / np.sqrt(12)))
    said = ["clear edge" if faint < 0.1 else f"faint along {faint:.0%} of its edge"]
    said += ["partly in shade"] * shaded
    plus_minus = COVERAGE_95 * accuracy * grid.length
    return Traced(place, grid, accuracy, plus_minus, "; ".join(said))


def _drawn(region: np.ndarray, pixel: float) -> shapely.Polygon | None:
    """A region's outer edge in rows and columns, smooth, with a point about every metre and a half."""
    soft = ndimage.gaussian_filter(np.pad(region, 2).astype(np.float32), 0.45 / pixel)
    rings = [shapely.Polygon(ring - 2) for ring in find_contours(soft, 0.5) if len(ring) > 8]
    if not rings:
        return None
    edge = max(rings, key=lambda ring: ring.area).exterior
    step = 1.5 / pixel
    count = max(round(edge.length / step), 12)
    points = shapely.line_interpolate_point(edge, np.arange(count) / count, normalized=True)
    drawn = shapely.Polygon(shapely.get_coordinates(points))
    # Chords lie inside a curve that bulges: the points are moved out until the area is that of the edge itself.
    return shapely.buffer(drawn, (shapely.Polygon(edge).area - drawn.area) / drawn.length, join_style="mitre")


def _edge_blur(window: _Window, drawn: shapely.Polygon) -> tuple[float, float, float]:
    """
    How far outside an outline its edge lies [m], standard deviation of its blur [m], and the share that is faint.

    An edge blurred by a normal spread passes from a sixth to five sixths of its step within two standard deviations
    (normal distribution: 15.9 and 84.1 %).
    """
    step = window.pixel / 2
    reach = np.arange(-2.0, 2.0 + step / 2, step)
    ring = shapely.get_coordinates(drawn.exterior)[:-1]
    middles, ahead = (ring + np.roll(ring, -1, axis=0)) / 2, np.roll(ring, -1, axis=0) - ring
    out = np.column_stack([-ahead[:, 1], ahead[:, 0]]) / np.hypot(*ahead.T)[:, None]
    if shapely.is_ccw(drawn.exterior):
        out = -out
    at = middles[:, None, :] + out[:, None, :] * (reach / window.pixel)[None, :, None]
    profile = np.stack(
        [
            ndimage.map_coordinates(window.lab[..., i], at.reshape(-1, 2).T, order=1, mode="nearest").reshape(
                at.shape[:2]
            )
            for i in range(3)
        ],
        axis=-1,
    )
    inner, outer = profile[:, reach < -0.8].mean(axis=1), profile[:, (reach > 0.3) & (reach < 0.9)].mean(axis=1)
    noise = np.maximum(profile[:, reach < -0.8].std(axis=1), FLOOR)
    change = outer - inner
    contrast = np.sqrt(((change / noise) ** 2).sum(axis=-1))
    clear = contrast > FAINT
    if not clear.any():
        return 0.0, EDGE_M / 2, 1.0
    # Along the line of colours from inside to outside every profile is a step from 0 to 1. Those of many places, laid
    # over each other by where they cross the half, show its blur without the noise.
    share = ((profile - inner[:, None]) * change[:, None]).sum(-1) / (change**2).sum(-1)[:, None]
    share = ndimage.gaussian_filter1d(share, 1.0, axis=1)[clear]
    near = np.abs(reach) < 1.0
    low, high = (_crossing(np.median(share, axis=0)[near], reach[near], level) for level in (0.159, 0.841))
    lone = np.array([_crossing(one[near], reach[near], 0.5) for one in share])
    lone = lone[np.isfinite(lone)]
    width = (high - low) / 2 if np.isfinite(low) and np.isfinite(high) and high > low else 0.5
    offset = float(np.median(lone)) if len(lone) else 0.0
    return offset, float(width), float(1 - clear.mean())


def _crossing(profile: np.ndarray, reach: np.ndarray, level: float) -> float:
    """Where a profile first rises through a level."""
    above = np.flatnonzero((profile[1:] >= level) & (profile[:-1] < level))
    if not len(above):
        return float("nan")
    i = above[0]
    return float(np.interp(level, profile[i : i + 2], reach[i : i + 2]))
