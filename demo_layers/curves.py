"""Smooth outlines with a hand-drawn look: rounded corners, blobs, ribbons along a line, tee pads."""

from collections.abc import Callable

import numpy as np
from shapely import LineString, Polygon, affinity

Points = np.ndarray


def smooth(points: Points, *, closed: bool, rounds: int = 3) -> Points:
    """Cut every corner at a quarter and three quarters of its sides, again and again; open lines keep their ends."""
    for _ in range(rounds):
        after = np.roll(points, -1, axis=0) if closed else points[1:]
        before = points if closed else points[:-1]
        cut = np.stack([0.75 * before + 0.25 * after, 0.25 * before + 0.75 * after], axis=1).reshape(-1, 2)
        points = cut if closed else np.vstack([points[:1], cut[1:-1], points[-1:]])
    return points


def even_steps(points: Points, step: float, *, closed: bool) -> Points:
    """Vertices about one step apart, as somebody walking the edge with a receiver would take them. [m]"""
    line = LineString(np.vstack([points, points[:1]]) if closed else points)
    count = max(round(line.length / step), 6 if closed else 1)
    at = np.linspace(0, line.length, count, endpoint=False) if closed else np.linspace(0, line.length, count + 1)
    return np.array([line.interpolate(distance).coords[0] for distance in at])


def wander(rng: np.random.Generator, waves: list[float], size: float) -> Callable[[Points], Points]:
    """A slow random wave of a distance: sines of the given lengths, about ``size`` high together. [m]"""
    phases, heights = rng.random(len(waves)) * 2 * np.pi, 0.5 + rng.random(len(waves))
    heights *= size / heights.sum()

    def height(distance: Points) -> Points:
        angle = 2 * np.pi * np.asarray(distance)[..., None] / waves + phases
        return (heights * np.sin(angle)).sum(-1)

    return height


def blob(rng: np.random.Generator, area: float, *, form: str = "oval", step: float = 1.7) -> Polygon:
    """A closed outline about the origin, its long axis along x, of the given area [m2] and one of four forms."""
    turn = np.linspace(0, 2 * np.pi, 240, endpoint=False)
    long = 1.2 + 0.35 * rng.random()
    radius = np.ones_like(turn)
    for lobes in (2, 3, 4, 5):
        radius += (0.13 * (rng.random() - 0.3) / (lobes - 0.8)) * np.cos(lobes * turn + 2 * np.pi * rng.random())
    x, y = long * radius * np.cos(turn), radius * np.sin(turn)
    if form == "kidney":
        x, y = 1.15 * x, 0.8 * y + (0.26 + 0.16 * rng.random()) * (x / long) ** 2
    elif form == "pear":
        y = y * (1 + (0.28 + 0.14 * rng.random()) * x / long)
    elif form == "lobed":
        lobe = 0.09 + 0.11 * rng.random()
        x, y = x * (1 + lobe * np.cos(3 * turn)), y * (1 + lobe * np.cos(3 * turn))
    shape = Polygon(np.column_stack([x, y]))
    shape = affinity.translate(shape, -shape.centroid.x, -shape.centroid.y)
    size = (area / shape.area) ** 0.5
    blunt = 0.2 * area**0.5  # no corner tighter than a mower turns
    shape = affinity.scale(shape, size, size, origin=(0, 0)).buffer(-blunt).buffer(blunt)
    return Polygon(even_steps(np.array(shape.exterior.coords)[:-1], step, closed=True))


def pad(rng: np.random.Generator, length: float, width: float) -> Polygon:
    """A tee: a rectangle a little out of square with rounded corners, its length along x. [m]"""
    corners = np.array([[-length, -width], [length, -width], [length, width], [-length, width]]) / 2
    corners += (rng.random((4, 2)) - 0.5) * 1.2
    rounded = Polygon(corners).buffer(-2.2, join_style="mitre").buffer(2.2, quad_segs=3)
    return Polygon(np.array(rounded.exterior.coords)[:-1])


def put(shape: Polygon, centre: Points, bearing: float) -> Polygon:
    """Turn a shape drawn about the origin into the bearing [rad] and carry it to its place."""
    return affinity.translate(affinity.rotate(shape, bearing, origin=(0, 0), use_radians=True), *centre)


def ribbon(curve: LineString, start: float, end: float, half: Callable[[Points], tuple[Points, Points]]) -> Polygon:
    """
    A mown strip along a curve between two distances, its half widths left and right a function of the distance. [m]

    Both ends are rounded off.
    """
    at = np.linspace(start, end, max(int((end - start) / 9), 3) + 1)
    middle = np.array([curve.interpolate(distance).coords[0] for distance in at])
    ahead = np.gradient(middle, axis=0)
    ahead /= np.hypot(*ahead.T)[:, None]
    across = np.column_stack([-ahead[:, 1], ahead[:, 0]])
    left, right = half(at)
    nose = middle[-1] + ahead[-1] * 0.55 * min(left[-1], right[-1])
    tail = middle[0] - ahead[0] * 0.55 * min(left[0], right[0])
    outline = np.vstack([middle + across * left[:, None], nose, (middle - across * right[:, None])[::-1], tail])
    return Polygon(even_steps(smooth(outline, closed=True), 2.2, closed=True))
