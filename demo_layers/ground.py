"""What lies between the holes: water, paths, semi-rough, rough, the yard and the edge of the property."""

import heapq

import numpy as np
import shapely
from shapely import LineString, Point, Polygon, box
from shapely.ops import split, unary_union

from curves import blob, even_steps, put, smooth, wander
from holes import Drawing, biggest, stream
from routing import CLUBHOUSE, HOLES, PRACTICE_GREEN, RANGE

BURN = [(688, 296), (700, 240), (678, 190), (690, 138), (706, 96), (692, 52), (668, 14), (660, -30), (640, -75)]
PONDS = [("Halfway pond", (684, 318), 1500, 1.35), ("Reed pond", (862, 366), 1250, 0.35), ("Top pond", (552, 296), 900, 1.35)]
PATH_WIDTH = 2.5
CELL = 5.0  # of the grid paths are sought on [m]


def draw_water(drawing: Drawing) -> None:
    rng = stream(20, 1)
    for name, centre, area, bearing in PONDS:
        drawing.add("water", put(blob(rng, area, form="kidney", step=2.5), np.array(centre), bearing), name=name, sort="pond")
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
    """The land: a kinked fence on the landward sides, the shore to the left and at the foot of the sheet."""
    lines = [hole.curve.buffer(33) for hole in HOLES.values()]
    lines += [RANGE.curve.buffer(45), Point(CLUBHOUSE).buffer(42), Point(PRACTICE_GREEN).buffer(34)]
    land = unary_union(lines).buffer(70).buffer(-70)
    outline = even_steps(np.array(biggest(land).exterior.coords)[:-1], 24, closed=True)
    rng, centre = stream(20, 2), np.array([560, 270])
    wave = wander(rng, [170, 110, 66, 260], 12.0)
    outward = (outline - centre) / np.hypot(*(outline - centre).T)[:, None]
    shore = np.clip(0.35 - outward @ np.array([0.42, 0.9]), 0, 1)[:, None]
    moved = outline + outward * (wave(np.arange(len(outline)) * 24.0)[:, None] * shore + 9 * shore)
    return Polygon(even_steps(smooth(moved, closed=True, rounds=2), 5, closed=True)).buffer(0)


def draw_rough(drawing: Drawing) -> None:
    """Semi-rough round the fairways, rough in two parts that share a border, a dune, and the yard cut out of it."""
    land = draw_property()
    x, y = CLUBHOUSE
    yard = land.intersection(box(x - 46, y - 12, x + 44, y + 60).buffer(-6, join_style="mitre").buffer(6, quad_segs=2))
    drawing.add("rough", yard, hole=None, kind="YARD")
    middle = even_steps(smooth(np.array([(604, 720), (600, 540), (560, 420), (556, 240), (600, 80), (640, -120.0)]), closed=False), 12, closed=False)
    land = land.difference(yard)
    for name, part in zip(("front nine", "back nine"), sorted(split(land, LineString(middle)).geoms, key=lambda p: -p.area)[:2], strict=True):
        drawing.add("rough", part, hole=None, kind="ROUGH", name=name)
    tees = unary_union(drawing.shapes("tees")).buffer(3)
    for number in HOLES:
        mown = unary_union([
            row["geometry"] for layer in ("fairways", "approaches") for row in drawing.rows[layer] if row["hole"] == str(number)
        ])
        rim = mown.buffer(9).buffer(-4.5, quad_segs=3)
        rim = Polygon(even_steps(np.array(biggest(rim).exterior.coords)[:-1], 3.2, closed=True))
        drawing.add("rough", biggest(rim.difference(tees).intersection(land)), hole=str(number), kind="SEMI")


def path_costs(drawing: Drawing) -> tuple[np.ndarray, np.ndarray]:
    """What a metre of path costs in every cell: cheap in the rough, dear near and on anything mown, sand or water."""
    land = draw_property()
    x0, y0, x1, y1 = land.bounds
    xs, ys = np.arange(x0, x1, CELL), np.arange(y0, y1, CELL)
    gx, gy = np.meshgrid(xs, ys, indexing="ij")
    cost = np.ones(gx.shape)

    def on(shape: object) -> np.ndarray:
        return shapely.contains_xy(shape, gx, gy)

    firm = unary_union(drawing.shapes("greens", "tees", "collars", "bunkers") + [p.buffer(2) for p in drawing.shapes("approaches")])
    ponds = unary_union([row["geometry"] for row in drawing.rows["water"] if row["sort"] == "pond"])
    fairways = unary_union(drawing.shapes("fairways"))
    cost[on(unary_union(drawing.shapes("surrounds")))] = 6
    cost[on(fairways.buffer(4))] = 5
    cost[on(fairways)] = 14
    cost[on(firm.buffer(4.5))] = 40
    cost[on(firm.buffer(2.2).union(ponds.buffer(4)))] = 900
    cost[~on(land.buffer(-7))] = 2000
    return cost, np.stack([gx, gy], axis=-1)


def cheapest_way(cost: np.ndarray, start: tuple[int, int], goal: tuple[int, int]) -> list[tuple[int, int]]:
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
    """From the clubhouse past tee and green of every hole and back, by the cheapest way, sharing what is there."""
    cost, centres = path_costs(drawing)
    club = (CLUBHOUSE[0], CLUBHOUSE[1] - 14)
    stops: list[tuple[str, list[tuple[float, float]]]] = []
    for number, hole in HOLES.items():
        start = [club] if number in (1, 10) else []
        finish = [club] if number in (9, 18) else []
        stops.append((str(number), [*start, tuple(hole.spot(4, 13)[0]), tuple(hole.spot(hole.curve.length - 4, 24)[0]), *finish]))
    stops.append(("practice", [club, tuple(RANGE.spot(0, 34)[0])]))
    laid, last = Polygon(), None
    for number, points in stops:
        if last is not None and number not in ("10", "practice"):
            points = [last, *points]
        last = points[-1]
        cells = [tuple(np.unravel_index(np.argmin(np.hypot(*(centres - p).transpose(2, 0, 1)) + cost * 2), cost.shape)) for p in points]
        way: list[tuple[int, int]] = []
        for here, there in zip(cells, cells[1:], strict=False):
            way += cheapest_way(cost, here, there)
        for cell in way:
            cost[cell] = min(cost[cell], 0.55)
        line = LineString(centres[tuple(np.array(way).T)]).simplify(3.0)
        line = LineString(even_steps(smooth(np.array(line.coords), closed=False), 4, closed=False))
        path = line.buffer(PATH_WIDTH / 2, quad_segs=2, cap_style="flat")
        for piece in getattr(path.difference(laid), "geoms", [path.difference(laid)]):
            if piece.area > 12:
                drawing.add("paths", piece, hole=number)
        laid = laid.union(path)
