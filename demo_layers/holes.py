"""The mown shapes, tees and bunkers of the holes and of the practice ground, still on the drawing board."""

from dataclasses import dataclass, field
from typing import Any

import numpy as np
from curves import blob, even_steps, pad, put, ribbon, smooth, wander
from routing import HOLES, PRACTICE_GREEN, RANGE, Hole
from shapely import LineString, Point, Polygon, STRtree, affinity
from shapely.geometry.base import BaseGeometry
from shapely.ops import split, substring, unary_union

SEED = 1871
FORMS = ("oval", "kidney", "pear", "oval", "lobed", "pear", "kidney")
DRAWN_COLLARS = (2, 5, 6, 9, 12, 16, 18)  # the other greens get theirs as a strip, from the settings
DRAWN_THROUGH = (3, 8, 10, 13, 17)  # the fairway was drawn on under approach and green
SURROUND_UNDER_ALL = (4, 7, 15)  # the surround was drawn as one disc, green and all
IN_TWO_PARTS = {14: 268.0}  # hole and the distance where one part of its fairway ends and the next begins [m]
Row = dict[str, Any]


@dataclass
class Drawing:
    """Everything drawn so far: rows by layer, and what of it may not be drawn over."""

    rows: dict[str, list[Row]] = field(default_factory=dict)

    def add(self, layer: str, shape: BaseGeometry, **columns: object) -> None:
        self.rows.setdefault(layer, []).append({**columns, "geometry": shape})

    def shapes(self, *layers: str) -> list[BaseGeometry]:
        return [row["geometry"] for layer in layers for row in self.rows.get(layer, [])]


def stream(*key: int) -> np.random.Generator:
    """
    Random numbers of one feature alone, so that redrawing one leaves the others as they were.

    Only ``random()`` is drawn from it: numpy promises its values from one version to the next, not those of others.
    """
    return np.random.Generator(np.random.PCG64([SEED, *key]))


def biggest(shape: BaseGeometry) -> Polygon:
    """The largest piece of what a cut has left."""
    return max(getattr(shape, "geoms", [shape]), key=lambda piece: piece.area)


def draw_green(hole: Hole) -> Polygon:
    rng = stream(hole.number, 1)
    area = (430 if hole.par == 3 else 400) + 270 * rng.random()
    form = FORMS[int(rng.random() * len(FORMS))]
    middle, bearing = hole.spot(hole.curve.length)
    green = put(blob(rng, area, form=form), np.zeros(2), bearing + (rng.random() - 0.5) * 2.4)
    inside = green.centroid
    return affinity.translate(green, middle[0] - inside.x, middle[1] - inside.y)


def mown_strip(hole: Hole, start: float) -> Polygon:
    """Fairway and approach in one, from the distance where it starts to the middle of the green."""
    rng = stream(hole.number, 2)
    end = hole.curve.length
    left_wave, right_wave = wander(rng, [160, 85, 270], 5.6), wander(rng, [140, 75, 230], 5.6)
    base = 14.0 + 3.6 * rng.random()
    neck = 10.5 + 1.5 * rng.random()

    def half(at: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        narrow = np.clip((end - at - 12) / 70, 0, 1) * np.clip(0.72 + (at - start) / 120, 0, 1)
        return neck + (base + left_wave(at) - neck) * narrow, neck + (base + right_wave(at) - neck) * narrow

    return ribbon(hole.curve, start, end, half)


def cut_across(shape: Polygon, hole: Hole, distance: float, bow: float) -> tuple[Polygon, Polygon]:
    """The part towards the tee and the part towards the green; both keep the same vertices along the cut."""
    middle, bearing = hole.spot(distance)
    ahead, aside = np.array([np.cos(bearing), np.sin(bearing)]), np.array([-np.sin(bearing), np.cos(bearing)])
    reach = np.array([-45, -24, -13, -6.5, 0, 6.5, 13, 24, 45.0])
    bows = bow * (1 - np.minimum(np.abs(reach) / 13, 1) ** 2)
    pieces = split(shape, LineString([middle + aside * r + ahead * b for r, b in zip(reach, bows, strict=True)])).geoms
    tee, green = Point(hole.curve.coords[0]), Point(hole.curve.coords[-1])
    return biggest(min(pieces, key=tee.distance)), biggest(min(pieces, key=green.distance))


def draw_hole(drawing: Drawing, hole: Hole, last_tee: float) -> None:
    """Green, collar, approach, fairway, surround and the line of play of one hole."""
    number, rng = str(hole.number), stream(hole.number, 3)
    green = draw_green(hole)
    edge = hole.curve.intersection(green).length
    front = hole.curve.length - edge
    drawing.add("greens", green, hole=number, name=f"Green {number}")
    collar = green.buffer(1.0 + 0.2 * rng.random(), quad_segs=2)
    inner = green
    if hole.number in DRAWN_COLLARS:
        inner = Polygon(even_steps(np.array(collar.exterior.coords)[:-1], 1.8, closed=True))
        drawing.add("collars", inner.difference(green), hole=number)

    depth = 15 + 11 * rng.random()
    strip = mown_strip(hole, front - depth - 9 if hole.par == 3 else max(96 + 24 * rng.random(), last_tee + 24))
    fairway, approach = cut_across(strip, hole, front - depth, 2.5 * (rng.random() - 0.3))
    if hole.par == 3:
        fairway, approach = Polygon(), strip
    approach = biggest(approach.difference(inner))
    drawing.add("approaches", approach, hole=number)
    for name, piece in fairway_parts(hole, strip if hole.number in DRAWN_THROUGH else fairway):
        drawing.add("fairways", piece, hole=number, name=name)

    wave = wander(rng, [34, 21, 55], 2.3)
    ring = np.array(green.buffer(8, quad_segs=4).exterior.coords)[:-1]
    ring = even_steps(ring, 6, closed=True)
    centre = np.array(green.centroid.coords[0])
    outward = (ring - centre) / np.hypot(*(ring - centre).T)[:, None]
    apron = smooth(ring + outward * wave(np.arange(len(ring)) * 6.0)[:, None], closed=True)
    apron = Polygon(even_steps(apron, 2.2, closed=True))
    if hole.number not in SURROUND_UNDER_ALL:
        kept_off = inner if hole.number in DRAWN_COLLARS else green.buffer(1.0)
        apron = biggest(apron.difference(unary_union([approach, fairway, kept_off])))
    drawing.add("surrounds", apron, hole=number)
    drawing.add("hole_lines", hole.line, hole=number, par=hole.par)


def fairway_parts(hole: Hole, fairway: Polygon) -> list[tuple[str, Polygon]]:
    if fairway.is_empty:
        return []
    if hole.number not in IN_TWO_PARTS:
        return [(f"Fairway {hole.number}", fairway)]
    lower, upper = cut_across(fairway, hole, IN_TWO_PARTS[hole.number], 1.5)
    return [(f"Fairway {hole.number} lower", lower), (f"Fairway {hole.number} upper", upper)]


def draw_tees(drawing: Drawing, hole: Hole) -> float:
    """Three or four pads, the back one under the start of the hole line; returns how far forward the last one lies."""
    rng = stream(hole.number, 4)
    count = 4 if rng.random() < 0.55 else 3
    steps = (15, 17, 15) if hole.par == 3 else (22, 27, 24)
    distance, before, names = 0.0, 0.0, ["back", "middle", "forward", "front"]
    for index in range(count):
        length, width = 11 + 8 * rng.random(), 8 + 4.0 * rng.random()
        if index == 1:
            length, width = length + 3, width + 1.5
        aside = 0 if index == 0 else 13 * (rng.random() - 0.5)
        if index > 0:
            distance += max(steps[index - 1] + 9 * rng.random(), (length + before) / 2 + 3)
        before = length
        spot, bearing = hole.spot(distance, aside)
        drawing.add(
            "tees",
            put(pad(rng, length, width), spot, bearing + 0.12 * (rng.random() - 0.5)),
            hole=str(hole.number),
            name=names[index],
        )
    return distance


def draw_practice(drawing: Drawing) -> None:
    rng = stream(19, 1)
    green = put(blob(rng, 640, form="kidney"), np.array(PRACTICE_GREEN), 0.15)
    drawing.add("greens", green, hole="practice", name="Putting green")
    spot, bearing = RANGE.spot(0)
    drawing.add("tees", put(pad(rng, 13, 52), spot, bearing), hole="practice", name="practice")
    wave = wander(rng, [90, 60], 2.5)
    strip = ribbon(RANGE.curve, 24, RANGE.curve.length, lambda at: (24 + wave(at), 24 - wave(at + 31)))
    drawing.add("fairways", strip, hole="practice", name="Practice fairway")


def draw_bunkers(drawing: Drawing) -> None:
    """Beside greens, clear of the way in, and at the edges of the landing ground."""
    firm = drawing.shapes("greens", "tees", "approaches", "collars")
    for hole in HOLES.values():
        rng = stream(hole.number, 5)
        green = next(row["geometry"] for row in drawing.rows["greens"] if row["hole"] == str(hole.number))
        _, bearing = hole.spot(hole.curve.length)
        wanted = 2 + int(rng.random() * 2.2)
        for turn in first_turns(rng):
            if wanted == 0:
                break
            sand = blob(rng, 35 + 95 * rng.random() ** 1.5, form="kidney" if rng.random() < 0.5 else "lobed", step=1.1)
            spot = beside(green, sand, bearing + np.pi + turn)
            wanted -= settle(drawing, sand, spot, firm, hole, "greenside", bearing + turn)
        landings = [(205, 2)] if hole.par == 4 else [(200, 1), (hole.curve.length - 125, 2)] if hole.par == 5 else []
        for distance, most in landings:
            first = 1 if rng.random() < 0.5 else -1
            for side in (first, -first)[: 1 + int(rng.random() * most)]:
                sand = blob(rng, 70 + 110 * rng.random(), form=FORMS[int(rng.random() * len(FORMS))], step=1.2)
                spot, along = hole.spot(distance + 40 * (rng.random() - 0.5), side * (17.5 + 3 * rng.random()))
                settle(drawing, sand, spot, firm, hole, "fairway", along + 0.5 * (rng.random() - 0.5))


def first_turns(rng: np.random.Generator) -> list[float]:
    """Bearings round a green to try, from the way in: the flanks first, then the back."""
    side = 1 if rng.random() < 0.5 else -1
    flanks = [side * (0.75 + 0.9 * rng.random()), -side * (0.85 + 0.9 * rng.random())]
    return [*flanks, side * (2.1 + 0.8 * rng.random()), -side * (1.9 + rng.random()), side * 1.5, -side * 1.5]


def beside(green: Polygon, sand: Polygon, bearing: float) -> np.ndarray:
    """Where the middle of a bunker goes so that its near edge is about three metres from the green."""
    centre, away = np.array(green.centroid.coords[0]), np.array([np.cos(bearing), np.sin(bearing)])
    edge = green.intersection(LineString([centre, centre + away * 60])).length
    return centre + away * (edge + 3.2 + 0.5 * (sand.area / 1.3) ** 0.5)


def settle(
    drawing: Drawing, sand: Polygon, spot: np.ndarray, firm: list[BaseGeometry], hole: Hole, sort: str, bearing: float
) -> bool:
    """Draw the bunker there unless it would lie on something, or on another bunker."""
    sand = put(sand, spot, bearing + np.pi / 2)
    taken = firm + [other.buffer(2) for other in drawing.shapes("bunkers", "water")]
    others = [row["geometry"] for row in drawing.rows["fairways"] if row["hole"] != str(hole.number)]
    if len(STRtree(taken).query(sand.buffer(1.6), predicate="intersects")) or any(sand.intersects(o) for o in others):
        return False
    drawing.add("bunkers", sand, hole=str(hole.number), sort=sort)
    return True


def draw_sprinklers(drawing: Drawing) -> None:
    """Four heads round every green, one row down every fairway, one at the first tee pad."""
    for row in drawing.rows["greens"]:
        edge = row["geometry"].buffer(2.2).exterior
        for share in (0.03, 0.28, 0.53, 0.78):
            drawing.add("sprinklers", edge.interpolate(share, normalized=True), hole=row["hole"], serves="green")
    for hole in HOLES.values():
        if hole.par > 3:
            row_line = substring(hole.curve, 115, hole.curve.length - 38)
            for x, y in even_steps(np.array(row_line.coords), 21, closed=False):
                drawing.add("sprinklers", Point(x, y), hole=str(hole.number), serves="fairway")
        drawing.add("sprinklers", Point(*hole.spot(8, 7)[0]), hole=str(hole.number), serves="tee")
