"""The outline of traced ground as somebody would draw it, and how far it may be out."""

from __future__ import annotations

import numpy as np
import shapely
from scipy import ndimage
from skimage.measure import find_contours

from turfgis.measure.tracing_tones import FLOOR
from turfgis.measure.tracing_window import Window

EDGE_M = 1.4  # how far out an edge without any contrast may lie
FAINT = 2.5  # an edge whose two sides differ by less, in standard deviations, is faint


def drawn_outline(region: np.ndarray, pixel: float) -> shapely.Polygon | None:
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


def edge_blur(window: Window, drawn: shapely.Polygon) -> tuple[float, float, float]:
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
