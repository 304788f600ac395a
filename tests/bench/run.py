"""
Times in one run, ours beside another way of doing the same, and what the ratio should be.

    python tests/bench/run.py                 all of it, some two minutes
    python tests/bench/run.py nets areas      parts: nets, areas, start, report, scale, year, relief,
                                              passes, tracing, drift, day, saves, water, watering, desk

Nothing here fails: a clock is no judge. Other work on the machine moves single times, the ratios much less, since the
two ways take turns. Shown is the best of several turns in one process, and the median for whole programs. Products of
matrices run on one thread on both sides, or a core that is busy elsewhere would be waited for.
"""

import os
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path

import geopandas as gpd
import numpy as np
import pyproj
import shapely
from boards import GAP, LIMIT, PEOPLE, TASKS, boards
from courses import DEMO, REAL, Pile, as_drawn, copies, with_shared_borders
from peers import READ_AND_PRINT, areas_by_geod, nets_by_overlay, nets_by_union, passes_by_lines
from water import rows as water_rows
from year import rows as year_rows

from turfgis.formulas.passes import DIRECTIONS, passes_over_shapes
from turfgis.measure.accuracy import area_uncertainties
from turfgis.measure.frame import local_frame, middle, project
from turfgis.measure.holes import holes_by_position
from turfgis.measure.nets import share_ground
from turfgis.measure.passes import edges_of
from turfgis.measure.strips import already_drawn, strips

TURNS, SECONDS, PROGRAM_TURNS = 9, 0.3, 9  # what is over at once takes turns for so long
DEGREES = pyproj.CRS(4326)
WIDTH = 58
PASS_M = 1.5


def race(ours: Callable[[], object], peer: Callable[[], object], turns: int = TURNS) -> tuple[float, float]:
    """Best times of two functions that take turns. [s]"""
    times: tuple[list[float], list[float]] = ([], [])
    while len(times[0]) < turns or sum(times[0]) + sum(times[1]) < SECONDS:
        for taken, function in zip(times, (ours, peer), strict=True):
            start = time.perf_counter()
            function()
            taken.append(time.perf_counter() - start)
    return min(times[0]), min(times[1])


def show(what: str, ours: float, peer: float, target: float, remark: str = "") -> None:
    print(f"{what:<{WIDTH}}{ours * 1e3:>10.1f}{peer * 1e3:>10.1f}{ours / peer:>8.2f}{target:>8.2f}  {remark}")


def headed(title: str) -> None:
    print(f"\n{title:<{WIDTH}}{'ours ms':>10}{'peer ms':>10}{'ratio':>8}{'target':>8}")


def net_areas(pile: Pile) -> np.ndarray:
    areas = shapely.area(share_ground(pile.shapes, pile.rank).net)
    return np.array([areas[pile.surface == surface].sum() for surface in pile.order])


def agreement(pile: Pile) -> str:
    ours, theirs = net_areas(pile), nets_by_union(pile)
    return f"{len(pile.shapes)} shapes; areas agree to {np.abs(ours - theirs).max():.0e} m2"


def race_nets(name: str, pile: Pile, peer: Callable[[Pile], np.ndarray], target: float) -> None:
    pile = pile.fresh()
    show(name, *race(lambda: net_areas(pile), lambda: peer(pile)), target, agreement(pile))


def nets() -> None:
    headed("Net areas, layers overlap: geopandas.overlay")
    for path in REAL:
        race_nets(path.stem, as_drawn(path), nets_by_overlay, 0.15)
    race_nets("demo_layers (borders shared, too)", as_drawn(DEMO), nets_by_overlay, 0.15)
    headed("Net areas, borders shared: union and difference")
    for path in REAL:
        race_nets(path.stem, with_shared_borders(path), nets_by_union, 0.4)
    race_nets("demo_layers", as_drawn(DEMO), nets_by_union, 0.4)
    race_nets("demo_layers, redrawn without overlap", with_shared_borders(DEMO), nets_by_union, 0.4)


def areas() -> None:
    """A course pays once for its frame, so the frame is at hand; what its making adds is shown in the last line."""
    headed("Areas on the ellipsoid: a loop over pyproj.Geod")
    drawn = {path.stem: golf_in_degrees(path) for path in REAL}
    frames = {name: local_frame([(DEGREES, *middle(shapes, DEGREES))]) for name, shapes in drawn.items()}

    def in_frame(*names: str) -> np.ndarray:
        return np.concatenate([shapely.area(project(drawn[name], DEGREES, frames[name])) for name in names])

    def by_geod(*names: str) -> np.ndarray:
        return np.concatenate([areas_by_geod(drawn[name]) for name in names])

    for names in (*((name,) for name in drawn), tuple(drawn)):
        apart = np.abs(in_frame(*names) - by_geod(*names)).max()
        remark = f"{sum(len(drawn[name]) for name in names)} shapes; areas agree to {apart:.0e} m2"
        times = race(partial(in_frame, *names), partial(by_geod, *names))
        show(names[0] if len(names) == 1 else "all of them", *times, 0.3, remark)
    times = race(lambda: [areas_from_scratch(shapes) for shapes in drawn.values()], partial(by_geod, *drawn))
    show("all of them, with the making of their frames", *times, 0.3)


def areas_from_scratch(shapes: np.ndarray) -> np.ndarray:
    frame = local_frame([(DEGREES, *middle(shapes, DEGREES))])
    return shapely.area(project(shapes, DEGREES, frame))


def golf_in_degrees(path: Path) -> np.ndarray:
    """The golf areas of a file, as they are drawn."""
    table = gpd.read_file(path)
    golf = table[table["golf"].notna() & table.geom_type.isin(["Polygon", "MultiPolygon"])]
    return shapely.orient_polygons(golf.geometry.to_numpy())


def run_program(*call: str) -> float:
    """Time of a whole program, with its compiled modules kept as a user has them. [s]"""
    environment = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    start = time.perf_counter()
    subprocess.run([sys.executable, *call], check=True, capture_output=True, env=environment)
    return time.perf_counter() - start


def race_programs(ours: tuple[str, ...], peer: tuple[str, ...]) -> tuple[float, float]:
    """Median times of two programs that take turns, after one turn that is not counted. [s]"""
    times = [(run_program(*ours), run_program(*peer)) for _ in range(PROGRAM_TURNS + 1)][1:]
    return statistics.median(one for one, _ in times), statistics.median(other for _, other in times)


def start() -> None:
    headed("Start: python -c 'import geopandas'")
    show("turfgis --help", *race_programs(("-m", "turfgis", "--help"), ("-c", "import geopandas")), 0.25)
    headed("One course: geopandas reads it and prints an area in UTM")
    for path in REAL:
        ours, peer = ("-m", "turfgis", "areas", str(path)), ("-c", READ_AND_PRINT, str(path))
        show(f"turfgis areas {path.name}", *race_programs(ours, peer), 1.1)


def report() -> None:
    with tempfile.TemporaryDirectory() as folder:
        taken = run_program("-m", "turfgis", "report", str(DEMO), "-o", str(Path(folder) / "outputs"))
    print(f"\n{'Every output of the demo: turfgis report':<{WIDTH}}{taken:>10.1f} s (target: under 10 s on two cores)")


def measure_in_memory(pile: Pile, lines: np.ndarray) -> int:
    """Numbers of holes, strips, nets and uncertainties; how many patches there are."""
    shapes, surface = pile.shapes, pile.surface
    holes_by_position(shapes, surface, lines, np.arange(len(lines)).astype(str).astype(object))
    greens, collars = shapes[surface == "green"], shapes[surface == "collar"]
    made = strips(greens, 1.0)[~already_drawn(greens, collars, 1.0)]
    together = Pile(pile.name, np.append(shapes, made), np.append(surface, ["collar"] * len(made)), pile.order)
    net = share_ground(together.shapes, together.rank).net
    net = net[~shapely.is_empty(net)]
    area_uncertainties(net, np.full(len(net), 0.3), np.zeros(len(net)), np.full(len(net), np.nan))
    return len(net)


def scale() -> None:
    print(
        f"\n{'Many patches: copies of the demo, measured in memory':<{WIDTH}}{'patches':>10}{'s':>8}{'s per 1,000':>14}"
    )
    pile = as_drawn(DEMO)
    lines = shapely.linestrings(np.array([[(300.0 * place, 0.0), (300.0 * place, 350.0)] for place in range(-9, 9)]))
    for least in (1_000, 10_000, 100_000):
        many = copies(pile, least)
        places = copies(
            Pile("", lines, np.full(len(lines), "green"), pile.order), len(many.shapes) * 18 // len(pile.shapes)
        )
        began = time.perf_counter()
        count = measure_in_memory(many, places.shapes)
        taken = time.perf_counter() - began
        print(f"{many.name:<{WIDTH}}{count:>10,}{taken:>8.1f}{taken / count * 1000:>14.3f}")


def year() -> None:
    """The slow peers take few turns: ten seconds each."""
    headed("A year of 200 jobs, 1,500 dates, 300 patches")
    for name, ours, peer, target, remark in year_rows():
        show(name, *race(ours, peer, turns=3 if "uncertainties" in name else TURNS), target, remark)


def relief() -> None:
    """The peers come with the extra ``bench``."""
    from relief import mosaic_memory, rows

    headed("Area along the slope: mean secant of each patch")
    for name, ours, peer, target, remark in rows():
        show(name, *race(ours, peer), target, remark)
    print(mosaic_memory())


def passes() -> None:
    """The peer takes one turn: ten seconds and more."""
    headed(f"Passes of greens, tees and fairways, {len(DIRECTIONS)} directions: a line each with shapely")
    for path in REAL:
        pile = as_drawn(path)
        shapes = pile.shapes[np.isin(pile.surface, ["green", "tee", "fairway"])]

        def ours(shapes: np.ndarray = shapes) -> tuple[np.ndarray, np.ndarray]:
            return passes_over_shapes(*edges_of(shapes), len(shapes), DIRECTIONS, PASS_M)

        (taken, _), (_, peer) = race(ours, int), race(int, partial(passes_by_lines, shapes, DIRECTIONS, PASS_M), 1)
        count, length = passes_by_lines(shapes, DIRECTIONS[:2], PASS_M)
        mine, metres = ours()
        differ, apart = np.abs(mine[:2] - count).sum(), np.abs(metres[:2] - length).max()
        remark = f"{len(shapes)} shapes; {differ:.0f} passes differ, lengths by {apart:.0e} m"
        show(f"{path.stem} (target: 30 ms)", taken, peer, 0.01, remark)


def tracing() -> None:
    """One green from a photo of 0.1 m, and how good outlines are on the demo photo."""
    from tracing import goodness, rows

    headed("Tracing a green on a photo of 0.1 m: regions of scikit-image")
    for name, ours, peer, target, remark in rows():
        show(name, *race(ours, peer, turns=3), target, remark)
    heads = f"{'overlap':>9}{'quarter':>9}{'area out':>10}{'unsure':>8}{'unsaid':>8}"
    print(f"\n{'Outlines on the demo photo against the drawn shapes':<{WIDTH}}{heads}")
    for light, surface, count, half, lower, error, unsure, unsaid in goodness():
        figures = f"{half:>9.1%}{lower:>9.1%}{error:>10.1%}{unsure:>8}{unsaid:>8}"
        print(f"{f'{surface}, {light} ({count})':<{WIDTH}}{figures}")


def drift() -> None:
    """Two surveys of many patches."""
    from drift import rows

    headed("Drift between two surveys: geopandas.overlay and shapely")
    for name, ours, peer, target, remark in rows():
        show(name, *race(ours, peer, turns=3), target, remark)


def saves() -> None:
    """A disk that is busy elsewhere shows here: each change waits until it lies on it."""
    from saves import drawing_up, long_run, rows

    headed("A change kept as a version: the layer written anew by geopandas")
    for name, ours, peer, target, remark in rows():
        show(name, *race(ours, peer), target, remark)
    print(long_run())
    name, ours, least, remark = drawing_up()
    taken, _ = race(ours, int)
    print(f"{name:<{WIDTH}}{taken * 1e3:>10.1f} ms; target {least * 1e3:.0f} ms; {remark}")


def day() -> None:
    """How near the best a board is known to be, and how long that took; a line tells how far the search has come."""
    print(f"\n{f'Boards of {PEOPLE} people and {TASKS} tasks':<{WIDTH}}{'s':>10}{'gap':>10}{'undone':>8}")
    print(f"{'target':<{WIDTH}}{LIMIT:>10}{GAP:>10.1%}")
    for name, taken, gap, undone in boards(lambda words: print(f"\r{words:<{WIDTH}}", end="", file=sys.stderr)):
        print(f"\r{name:<{WIDTH}}{taken:>10.1f}{gap:>10.2%}{undone:>8}")


def water() -> None:
    """The peer takes few turns: some seconds each."""
    headed("Water in the root zone: a plain loop over patches and days")
    for name, ours, peer, target, remark in water_rows():
        show(name, *race(ours, peer, turns=3), target, remark)


def watering() -> None:
    """Heads on cells of half a metre, and nights of many stations."""
    from watering import HEADS, HEADS_LIMIT, NIGHT_GAP, NIGHT_LIMIT, STATIONS, lay, nights

    (taken, off), what = lay(), f"{HEADS} heads on half a metre (target: under {HEADS_LIMIT:g} s)"
    print(f"\n{what:<{WIDTH}}{taken:>10.1f} s{off:>12.0e} off")
    print(f"\n{f'Nights of {STATIONS} stations':<{WIDTH}}{'s':>10}{'gap':>10}{'left':>8}")
    print(f"{'target':<{WIDTH}}{NIGHT_LIMIT:>10g}{NIGHT_GAP:>10.1%}")
    for name, taken, gap, left in nights():
        print(f"{name:<{WIDTH}}{taken:>10.1f}{gap:>10.2%}{left:>8}")


def desk() -> None:
    """No peer: the targets are times."""
    from desk import measure_desk

    print(f"\n{'The desk on the demo course':<{WIDTH}}{'measured':>10}{'target':>10}")
    for what, figure, unit, target in measure_desk():
        print(f"{what:<{WIDTH}}{figure:>10.2f}{target:>10.2f} {unit}")


def panning() -> None:
    """No peer: the targets are times. Needs playwright and Chromium."""
    from panning import measure_panning

    print(f"\n{'The page for drawing on many copies of the demo':<{WIDTH}}{'measured':>10}{'target':>10}")
    for what, figure, unit, target in measure_panning():
        print(f"{what:<{WIDTH}}{figure:>10.2f}{target:>10.2f} {unit}")


PARTS = {
    **{"nets": nets, "areas": areas, "start": start, "report": report, "scale": scale, "year": year},
    **{
        "relief": relief,
        "passes": passes,
        "tracing": tracing,
        "drift": drift,
        "day": day,
        "saves": saves,
        "water": water,
        "watering": watering,
        "desk": desk,
        "panning": panning,
    },
}

if __name__ == "__main__":
    unknown = set(sys.argv[1:]) - set(PARTS)
    if unknown:
        sys.exit(f"no such part: {', '.join(sorted(unknown))}; parts: {', '.join(PARTS)}")
    if not REAL:
        print("No folder shared/data with open data beside this checkout: only the demo course is measured.")
    if "OPENBLAS_NUM_THREADS" not in os.environ:  # read when numpy is loaded, so this begins anew
        os.execve(sys.executable, [sys.executable, *sys.argv], {**os.environ, "OPENBLAS_NUM_THREADS": "1"})
    for part in sys.argv[1:] or PARTS:
        PARTS[part]()
