"""
What is alike round a point on a green or in a bunker: all of one likeness, as far as it hardly grows.

A green is cut so much shorter than what lies round it that ground gathered by its tones alone stops growing at its
edge, and so does sand. The edge is laid where the likeness falls off most steeply (watershed of its gradient, as in
Vincent and Soille 1991).
"""

from __future__ import annotations

import numpy as np
from scipy import ndimage
from skimage.segmentation import watershed

from turfgis.measure.tracing_masks import at_rim, closed, far, filled, largest, opened, part_at
from turfgis.measure.tracing_tones import LEAST_M2, nearest, seed, shade_of, tones_of
from turfgis.measure.tracing_window import Window

# Standard deviations of colour within which a pixel is alike, the strictest first.
LIKE = (1.6, 2.0, 2.4, 2.8, 3.3, 3.9)
STEADY = 1.04  # a region that grows by less from one to the next has met its edge
LIP_M = 1.2  # how far the shade of a lip falls into the sand at most
GREEN = -0.15  # a* against L*: grass lies below, sand above
EDGE_M = 1.4  # how far the edge may lie from where likeness alone would put it


def gather_steady(window: Window) -> tuple[np.ndarray, bool]:
    """
    What is alike and connected round the point of a window.

    Parameters
    ----------
    window
        The colours.

    Returns
    -------
    region, shaded
        The pixels, and whether some of them lie in shade.
    """
    inside, pixel, middle = window.inside, window.pixel, window.middle
    calm = np.stack([ndimage.gaussian_filter(window.lab[..., i], 0.22 / pixel) for i in range(3)], axis=-1)
    core = seed(inside.shape, middle, pixel) & inside
    for _ in range(3):  # the first look knows the colours of a few square metres only
        unlike = nearest(calm, inside, tones_of(calm[core]))
        region = _steady(unlike, pixel, middle)
        core = far(region) * pixel > 0.6
        if core.sum() * pixel**2 < LEAST_M2 or at_rim(region):
            break
    shade = shade_of(calm, inside, region, pixel)
    if shade is not None:
        sunny = np.median(calm[region], axis=0)
        shaded = [tone.shaded(sunny, shade) for tone in tones_of(calm[region])]
        wider = np.minimum(unlike, nearest(calm, inside, shaded))
        found = _alike(wider, LIKE[-1], pixel, middle, closing=1.1)
        if found.sum() > 1.02 * region.sum() and not at_rim(found):
            return _with_lip(calm, inside, _edge(wider, found, pixel), pixel, middle), True
    return _with_lip(calm, inside, _edge(unlike, region, pixel), pixel, middle), False


def _steady(unlike: np.ndarray, pixel: float, middle: tuple[int, int]) -> np.ndarray:
    """The smallest region that hardly grows where more is counted as alike: it has met an edge on all sides."""
    before = _alike(unlike, LIKE[0], pixel, middle)
    for like in LIKE[1:]:
        after = _alike(unlike, like, pixel, middle)
        if before.sum() * pixel**2 > LEAST_M2 and after.sum() < STEADY * before.sum():
            return after
        if at_rim(after):
            return before if before.sum() * pixel**2 > LEAST_M2 and like > LIKE[-3] else after
        before = after
    return before


def _alike(unlike: np.ndarray, like: float, pixel: float, middle: tuple[int, int], closing: float = 0.0) -> np.ndarray:
    """Pixels within some standard deviations, without narrow bridges, connected to the middle."""
    near = ndimage.gaussian_filter((unlike < like).astype(np.float32), 0.3 / pixel) > 0.5
    if closing:  # the edge of a shadow is neither in the sun nor in the shade
        near = closed(near, closing / pixel)
    return filled(part_at(opened(near, 0.8 / pixel), middle, max(round(0.5 / pixel), 1)))


def _edge(unlike: np.ndarray, region: np.ndarray, pixel: float) -> np.ndarray:
    """The region up to where likeness falls off most steeply, in a strip on both sides of its rim."""
    deep = far(region) * pixel
    away = far(~region) * pixel
    strip = (deep <= EDGE_M) & (away <= EDGE_M)
    marks = np.zeros(region.shape, np.int32)
    marks[region & ~strip], marks[~region & ~strip] = 1, 2
    if not (marks == 1).any():
        return region
    steep = ndimage.gaussian_gradient_magnitude(np.minimum(unlike, 12.0), 0.15 / pixel)
    found = watershed(steep, marks) == 1
    return filled(largest(opened(found, 0.6 / pixel)))


def _with_lip(
    calm: np.ndarray, inside: np.ndarray, region: np.ndarray, pixel: float, middle: tuple[int, int]
) -> np.ndarray:
    """Sand with what of it lies in the shade of its lip, which keeps its hue; grass as it is."""
    away = far(~region) * pixel
    ring = (away > LIP_M) & (away < LIP_M + 1.0) & inside
    if at_rim(region) or not region.any() or not ring.any():
        return region
    tint = calm[..., 1:] / np.maximum(calm[..., :1], 1.0)
    own, other = np.median(tint[region], axis=0), np.median(tint[ring], axis=0)
    if own[0] < GREEN:
        return region
    sandy = ((tint - own) ** 2).sum(axis=-1) < ((tint - other) ** 2).sum(axis=-1)
    near = opened(region | (sandy & (away < LIP_M)), 0.6 / pixel)
    return filled(part_at(near, middle, max(round(0.5 / pixel), 1)))
