"""The greens as they were seven years earlier, before careless clean-up passes had let their edges creep in."""

import numpy as np
from curves import even_steps, smooth, wander
from holes import Drawing, stream
from shapely import Point, Polygon, STRtree

SURVEYED_THEN = "2019-03-14"
MISSED = 0.05  # what a clean-up pass misses in a year where it is done carelessly [m]; common practice, no source
YEARS = 7
STEADY = ("3", "9", "16")  # greens whose edge was held
NOT_YET = ("practice",)  # built since
BEYOND_BUNKERS = 0.8  # no green ran into the sand [m]
RECEIVER = 0.02  # how far a point of that survey was out [m]


def draw_earlier(drawing: Drawing) -> None:
    """Add a layer ``greens_2019``; the greens of today are left as they are."""
    sand = STRtree(drawing.shapes("bunkers"))
    rows = [row for row in drawing.rows["greens"] if row["hole"] not in NOT_YET]
    for number, row in enumerate(rows):
        green, hole = row["geometry"], row["hole"]
        then = green if hole in STEADY else grown(green, number, sand)
        walked = even_steps(np.array(then.exterior.coords)[:-1], 1.3, closed=True)
        rng = stream(number, 41)
        out = np.array([[rng.random() - 0.5, rng.random() - 0.5] for _ in walked]) * 2 * RECEIVER
        drawing.add("greens_2019", Polygon(walked + out), hole=hole, name=row["name"])


def grown(green: Polygon, number: int, sand: STRtree) -> Polygon:
    """The outline before it crept in: by different distances along the edge, least where bunkers lie close."""
    rng = stream(number, 40)
    crept = MISSED * YEARS * (0.5 + rng.random())
    wave = wander(rng, [19, 11, 31], 0.8 * crept)
    edge = even_steps(np.array(green.exterior.coords)[:-1], 1.0, closed=True)
    ahead = np.roll(edge, -1, axis=0) - np.roll(edge, 1, axis=0)
    outward = np.column_stack([ahead[:, 1], -ahead[:, 0]]) / np.hypot(*ahead.T)[:, None]
    outward *= 1 if green.exterior.is_ccw else -1
    moved = np.clip(crept + wave(np.arange(len(edge)) * 1.0), 0, None)
    room = (
        np.array([sand.geometries[sand.nearest(point)].distance(point) for point in map(Point, edge)]) - BEYOND_BUNKERS
    )
    moved = np.minimum(moved, np.clip(room, 0, None))
    return Polygon(smooth(edge + outward * moved[:, None], closed=True, rounds=2)).buffer(0)
