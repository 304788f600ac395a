"""
Saves without end, for the test that kills it: one new bunker and one moved green a change.

    python tests/layers/saving.py course.gpkg

What a change does follows from its number alone, so that whoever finds the file knows what has to be in it. Each number
is told once its change has been saved.
"""

import sys
from pathlib import Path

import shapely

from turfgis.layers.versions import Altered, Created, Store

EAST, NORTH = 441_000.0, 714_000.0


def green(number: int) -> shapely.Polygon:
    """The green after a change: it grows, so that the bytes to be written become many."""
    return shapely.Point(EAST, NORTH).buffer(10 + number / 100, quad_segs=60)


def bunker(number: int) -> shapely.Polygon:
    return shapely.box(EAST + 10 * number, NORTH + 50, EAST + 10 * number + 8, NORTH + 58)


def save_on(path: Path) -> None:
    store = Store.open(path, lambda shapes, crs: shapely.area(shapes))
    while True:
        number = store.number + 1
        row = store.shapes("greens").iloc[0]
        edits = [
            Altered("greens", row["feature"], row["fingerprint"], green(number), {"name": f"green {number}"}),
            Created("bunkers", bunker(number), {"name": f"bunker {number}"}),
        ]
        print(store.change(edits, "the test", f"change {number}").number, flush=True)


if __name__ == "__main__":
    save_on(Path(sys.argv[1]))
