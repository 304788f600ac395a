"""
A moved corner saved as a version in the demo course, and the whole layer written anew by geopandas.

A thousand changes on one file: what the last hundred take beside the first hundred, what the process holds, and how the
file grows. And a new area drawn up to its neighbours among 5,000 patches.
"""

import shutil
import statistics
import tempfile
import time
import tracemalloc
from collections.abc import Callable, Iterator
from pathlib import Path

import geopandas as gpd
import numpy as np
import shapely
from courses import DEMO

from turfgis.layers.versions import Altered, Store
from turfgis.measure.snapping import snapped
from turfgis.measure.stored import ground_m2

CHANGES, HUNDRED = 1000, 100


class Saves:
    """One green after the other grows by a centimetre, for as long as it is asked to."""

    def __init__(self, folder: Path):
        self.path = folder / "course.gpkg"
        shutil.copyfile(DEMO / "course.gpkg", self.path)
        self.store = Store.open(self.path, ground_m2)
        table = self.store.shapes("greens")
        self.known = dict(zip(table["feature"], zip(table["fingerprint"], table.geometry, strict=True), strict=True))
        self.turn = 0

    def save(self) -> None:
        """One change."""
        feature = list(self.known)[self.turn % len(self.known)]
        self.turn += 1
        mark, shape = self.known[feature]
        corners = shapely.get_coordinates(shape)
        moved = shapely.Polygon(np.vstack([corners[:1] + 0.01 * (-1) ** self.turn, corners[1:-1]]))
        change = self.store.change([Altered("greens", feature, mark, moved)], "the bench", "a corner")
        state = change.versions[0].after
        assert state is not None
        self.known[feature] = state.fingerprint, moved


def rows() -> Iterator[tuple[str, Callable[[], object], Callable[[], object], float, str]]:
    """One change beside a layer written whole, which keeps no version."""
    with tempfile.TemporaryDirectory() as one, tempfile.TemporaryDirectory() as other:
        saves = Saves(Path(one))
        theirs = Path(other) / "course.gpkg"
        shutil.copyfile(DEMO / "course.gpkg", theirs)
        layer = gpd.read_file(theirs, layer="greens")
        yield "one change of the demo course", saves.save, lambda: layer.to_file(theirs, layer="greens"), 1.0, ""


def long_run() -> str:
    """What a thousand changes do to time, memory and file."""
    with tempfile.TemporaryDirectory() as folder:
        saves = Saves(Path(folder))
        saves.save()
        before = saves.path.stat().st_size
        tracemalloc.start()
        times, held = [], []
        for _ in range(CHANGES):
            start = time.perf_counter()
            saves.save()
            times.append(time.perf_counter() - start)
            if len(times) in (HUNDRED, CHANGES):
                held.append(tracemalloc.get_traced_memory()[0])
        tracemalloc.stop()
        first, last = statistics.median(times[:HUNDRED]), statistics.median(times[-HUNDRED:])
        grown = (saves.path.stat().st_size - before) / CHANGES
        return (
            f"{CHANGES:,} changes: the last {HUNDRED} take {last / first:.2f} of the first {HUNDRED} "
            f"({last * 1e3:.0f} ms); memory {(held[1] - held[0]) / 1e3:+,.0f} kB; file {grown / 1e3:.1f} kB a change"
        )


def drawing_up() -> tuple[str, Callable[[], object], float, str]:
    """A new area drawn up to its neighbours among 5,000 patches; the target is what a hand does not feel."""
    places = [(x * 25.0, y * 25.0) for x in range(100) for y in range(50)]
    patches = np.array([shapely.Point(place).buffer(12.4, quad_segs=16) for place in places], dtype=object)
    drawn = shapely.Point(1012.5, 612.5).buffer(6.0, quad_segs=32)
    shape, others = snapped(drawn, patches, 0.5)
    assert shape.area > 0
    return (
        "drawn up to neighbours, 5,000 patches",
        lambda: snapped(drawn, patches, 0.5),
        0.1,
        f"{len(others)} got corners",
    )
