"""What lies between the holes: water, paths, semi-rough, rough, the yard and the edge of the property."""

import heapq
from itertools import pairwise

import numpy as np
import shapely
from curves import blob, even_steps, put, smooth, wander
from holes import Drawing, biggest, stream
from routing import CLUBHOUSE, HOLES, PRACTICE_GREEN, RANGE
from shapely import LineString, Point, Polygon, box, get_parts, line_merge, multilinestrings
from shapely.geometry.base import BaseGeometry
from shapely.ops import split, unary_union

BURN = [(688, 296), (700, 240), (678, 190), (690, 138), (706, 96), (692, 52), (668, 14), (660, -30), (640, -75)]
PONDS = [
    ("Halfway pond", (684, 318), 1500, 1.35),
    ("Reed pond", (862, 366), 1250, 0.35),
    ("Top pond", (552, 296), 900, 1.35),
]
BETWEEN_NINES = [(604, 720), (600, 540), (560, 420), (556, 240), (600, 80), (640, -120)]
PATH_WIDTH = 2.5
CELL = 5.0  # of the grid paths are sought on [m]
Cell = tuple[int, int]


def draw_water(drawing: Drawing) -> None:
    rng = stream(20, 1)
    for name, centre, area, bearing in PONDS:
        pond = put(blob(rng, area, form="kidney", step=2.5), np.array(centre), bearing)
        drawing.add("water", pond, name=name, sort="pond")
    middle = even_steps(smooth(np.array(BURN, float), closed=False), 6, closed=False)
    wave, ahead = wander(rng, [48, 29], 1.4), np.gradient(middle, axis=0)
    ahead /= np.hypot(*ahead.T)[:, None]
    across = np.column_stack([-ahead[:, 1], ahead[:, 0]])
    middle = middle + across * wave(np.arange(len(middle)) * 6.0)[:, None]
    half = 1.5 + 0.5 * np.linspace(0, 1, len(middle))[:, None]
    burn = Polygon(np.vstack([middle + across * half, (middle - across * half)[::-1]]))
    ponds = unary_union(drawing.shapes("water"))
    drawing.add("water", biggest(burn.difference(ponds).intersection(draw_property())), name="Sluice burn", sort="burn")


def draw_property() -> Polygon:
    """The land: a fence in straight lengths at the head of the sheet and to the right, the rest a ragged shore."""
    lines = [hole.curve.buffer(31) for hole in HOLES.values()]
    lines += [RANGE.curve.buffer(45), Point(CLUBHOUSE).buffer(46), Point(PRACTICE_GREEN).buffer(32)]
    land = biggest(unary_union(lines).buffer(70).buffer(-70))
    outline = even_steps(np.array(land.exterior.coords)[:-1], 12, closed=True)
    middle = np.array([560, 270])
    outward = (outline - middle) / np.hypot(*(outline - middle).T)[:, None]
    shore = np.clip(0.3 - outward @ np.array([0.42, 0.9]), 0, 1)[:, None]
    rng = stream(20, 2)
    wave = wander(rng, [230, 120, 66, 41, 29], 13.0)(np.arange(len(outline)) * 12.0)[:, None]
    outline = outline + outward * (wave + 9) * shore
    first = int(np.argmax((shore[:, 0] == 0) & (np.roll(shore[:, 0], 1) > 0)))  # where the shore meets the fence
    outline, shore = np.roll(outline, -first, axis=0), np.roll(shore, -first)
    fence = LineString(outline[shore[:, 0] == 0]).simplify(9)
    ragged = smooth(outline[shore[:, 0] > 0], closed=False, rounds=2)
    return Polygon(np.vstack([np.array(fence.coords), even_steps(ragged, 5, closed=False)])).buffer(0)


def draw_rough(drawing: Drawing) -> None:
    """Semi-rough round the fairways, rough in two parts that share a border, and the yard cut out of it."""
    land = draw_property()
    x, y = CLUBHOUSE
    yard = land.intersection(box(x - 46, y - 12, x + 44, y + 60).buffer(-6, join_style="mitre").buffer(6, quad_segs=2))
    drawing.add("rough", yard, hole=None, kind="YARD", name="Clubhouse and yard")
    middle = smooth(np.array(BETWEEN_NINES, float), closed=False)
    parts = split(land.difference(yard), LineString(even_steps(middle, 12, closed=False))).geoms
    larger = sorted(parts, key=lambda part: part.area)[-2:]
    for name, part in zip(("front nine", "back nine"), sorted(larger, key=lambda part: part.centroid.x), strict=True):
        drawing.add("rough", part, hole=None, kind="ROUGH", name=name)
    tees = unary_union(drawing.shapes("tees")).buffer(3)
    for number in map(str, HOLES):
        mown = [row for layer in ("fairways", "approaches") for row in drawing.rows[layer] if row["hole"] == number]
        rim = unary_union([row["geometry"] for row in mown]).buffer(9).buffer(-4.5, quad_segs=3)
        rim = Polygon(even_steps(np.array(biggest(rim).exterior.coords)[:-1], 3.2, closed=True))
        drawing.add("rough", biggest(rim.difference(tees).intersection(land)), hole=number, kind="SEMI")


def path_costs(drawing: Drawing) -> tuple[np.ndarray, np.ndarray]:
    """What a metre of path costs in every cell: cheap in the rough, dear near and on anything mown, sand or water."""
    land = draw_property()
    x0, y0, x1, y1 = land.bounds
    xs, ys = np.arange(x0, x1, CELL), np.arange(y0, y1, CELL)
    gx, gy = np.meshgrid(xs, ys, indexing="ij")
    # hollows and humps: without them a path over open ground would be a ruled line
    cost = 1.25 + 0.45 * np.sin(gx / 17 + 2 * np.sin(gy / 41)) * np.cos(gy / 23 + 1.7 * np.sin(gx / 37))

    def on(shape: BaseGeometry) -> np.ndarray:
        return shapely.contains_xy(shape, gx, gy)

    firm = unary_union(drawing.shapes("greens", "tees", "collars", "bunkers", "approaches"))
    ponds = unary_union([row["geometry"] for row in drawing.rows["water"] if row["sort"] == "pond"])
    fairways = unary_union(drawing.shapes("fairways"))
    cost[on(unary_union(drawing.shapes("surrounds")))] = 8
    cost[on(fairways.buffer(4))] = 7
    cost[on(fairways)] = 30
    cost[on(firm.buffer(4.5))] = 40
    cost[on(firm.buffer(2.2).union(ponds.buffer(4)))] = 900
    cost[~on(land.buffer(-7))] = 2000
    return cost, np.stack([gx, gy], axis=-1)


def cheapest_way(cost: np.ndarray, start: Cell, goal: Cell) -> list[Cell]:
    """Dijkstra's shortest path over the cells of a grid, eight neighbours each."""
    steps = [(i, j, (i * i + j * j) ** 0.5) for i in (-1, 0, 1) for j in (-1, 0, 1) if i or j]
    best, came, heap = {start: 0.0}, {start: start}, [(0.0, start)]
    while heap:
        spent, here = heapq.heappop(heap)
        if here == goal:
            break
        if spent > best[here]:
            continue
        for i, j, far in steps:
            cell = (here[0] + i, here[1] + j)
            if not (0 <= cell[0] < cost.shape[0] and 0 <= cell[1] < cost.shape[1]):
                continue
            total = spent + far * 0.5 * (cost[here] + cost[cell])
            if total < best.get(cell, np.inf):
                best[cell], came[cell] = total, here
                heapq.heappush(heap, (total, cell))
    way = [goal]
    while way[-1] != start:
        way.append(came[way[-1]])
    return way[::-1]


def draw_paths(drawing: Drawing) -> None:
    """From the clubhouse past the tee and the green of every hole and back, sharing what is there."""
    cost, centres = path_costs(drawing)

    def cell(point: np.ndarray) -> Cell:
        far = np.hypot(*np.moveaxis(centres - point, -1, 0)) + 2 * cost
        i, j = np.unravel_index(int(np.argmin(far)), cost.shape)
        return int(i), int(j)

    owner: dict[frozenset[Cell], str] = {}  # steps from cell to cell -> the hole that walked there first
    for name, stops in walks():
        for here, there in pairwise(map(cell, stops)):
            way = cheapest_way(cost, here, there)
            for step in pairwise(way):
                owner.setdefault(frozenset(step), name)
            cost[tuple(np.transpose(way))] = np.minimum(cost[tuple(np.transpose(way))], 0.45)

    steps = {LineString([centres[a], centres[b]]).normalize().wkb: name for (a, b), name in owner.items()}
    laid = Polygon()
    for chain in chains_worth_laying([shapely.from_wkb(step) for step in steps]):
        line = LineString(smooth(np.array(chain.simplify(3.5).coords), closed=False))
        line = LineString(even_steps(np.array(line.coords), 4, closed=False))
        path = biggest(line.buffer(PATH_WIDTH / 2, quad_segs=2).difference(laid))
        halfway = LineString(chain.coords[len(chain.coords) // 2 - 1 : len(chain.coords) // 2 + 1]).normalize()
        drawing.add("paths", path, hole=steps[halfway.wkb])
        laid = laid.union(path)


def chains_worth_laying(steps: list[BaseGeometry]) -> list[BaseGeometry]:
    """Steps joined from fork to fork, without the short ones that lead nowhere or close a ring others close already."""
    short = 28.0
    chains = sorted(get_parts(line_merge(multilinestrings(steps))), key=lambda chain: (-chain.length, chain.coords[0]))
    ends = [end for chain in chains for end in (chain.coords[0], chain.coords[-1])]
    group = {end: end for end in ends}

    def head(end: tuple[float, ...]) -> tuple[float, ...]:
        while group[end] != end:
            end = group[end]
        return end

    kept = []
    for chain in chains:
        first, last = chain.coords[0], chain.coords[-1]
        stub = 1 in (ends.count(first), ends.count(last))
        if chain.length > short or not (stub or head(first) == head(last)):
            kept.append(chain)
            group[head(first)] = head(last)
    return list(get_parts(line_merge(multilinestrings(kept))))


def walks() -> list[tuple[str, list[np.ndarray]]]:
    """For every hole the places a walker passes: from the green before to the tee, and on to the way off the green."""
    club = np.array([CLUBHOUSE[0], CLUBHOUSE[1] - 14])
    here, found = club, []
    for number, hole in HOLES.items():
        following = HOLES.get(number + 1)
        onward = club if number in (9, 18) or following is None else np.array(following.legs[0])
        tee = min((hole.spot(5, aside)[0] for aside in (11, -11)), key=lambda spot: float(np.hypot(*(spot - here))))
        green = np.array(hole.legs[-1])
        leaving = green + (onward - green) / np.hypot(*(onward - green)) * 24
        found.append((str(number), [here, tee, leaving]))
        here = leaving
        if number in (9, 18):
            found.append((str(number), [here, club]))
            here = club
    practice = [RANGE.spot(0, 34)[0], np.array(PRACTICE_GREEN) - (19, 0)]
    return found + [("practice", [club, spot]) for spot in practice]
