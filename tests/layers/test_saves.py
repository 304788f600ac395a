"""What happens to saves when the program is killed, and whatever is done in whatever order."""

import os
import random
import signal
import sqlite3
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import geopandas as gpd
import pytest
import shapely
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import Bundle, RuleBasedStateMachine, invariant, precondition, rule
from pyproj import CRS

from turfgis.errors import ChangedElsewhere, InputError
from turfgis.layers.blobs import blob_of
from turfgis.layers.geopackage import connected
from turfgis.layers.new_layers import new_geopackage
from turfgis.layers.read import read_layers
from turfgis.layers.versions import Altered, Created, Deleted, Store

sys.path.insert(0, str(Path(__file__).parent))
from saving import bunker, green

SAVING = Path(__file__).with_name("saving.py")
ROOT = Path(__file__).resolve().parents[2]
IRISH_GRID = CRS("EPSG:2157")
KILLS = 8
ENVIRONMENT = {**os.environ, "PYTHONPATH": str(ROOT)}
MEMORY = "/dev/shm" if Path("/dev/shm").is_dir() else None  # where every save need not wait for a disk


def plain_area(shapes, crs):
    return shapely.area(shapes)


@pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="processes are not killed like this here")
def test_killed_at_any_moment_a_save_is_there_whole_or_not_at_all(tmp_path):
    """
    ``kill -9`` in the midst of saves, again and again on the same file.

    What was told as saved is there; at most the one change in hand is lost, or is there whole without having been told.
    """
    path = tmp_path / "course.gpkg"
    for name, shape in (("greens", green(0)), ("bunkers", bunker(0))):
        drawn = gpd.GeoDataFrame({"name": [f"{name[:-1]} 0"]}, geometry=[shape], crs=IRISH_GRID)
        drawn.to_file(path, layer=name, SPATIAL_INDEX="YES")
    moments, saved = random.Random(6), 0
    for _ in range(KILLS):
        with subprocess.Popen(
            [sys.executable, str(SAVING), str(path)],
            stdout=subprocess.PIPE,
            text=True,
            cwd=ROOT,
            env={**os.environ, "PYTHONPATH": str(ROOT)},
        ) as process:
            assert process.stdout is not None
            told = [process.stdout.readline()]  # it is at work
            time.sleep(moments.uniform(0.0, 0.15))
            process.kill()
            told += process.stdout.readlines()
        known = int([line for line in told if line.endswith("\n")][-1])
        assert known > saved
        # whoever comes first finds it in order: turfgis itself, which only reads, as well as a store
        layers, _ = read_layers(path, "greens")
        saved = Store.open(path, plain_area).number
        assert saved in (known, known + 1)
        assert layers[0].areas.geometry[0].equals(green(saved))
        _assert_whole(path, saved)
    store = Store.open(path, plain_area)
    for _ in range(saved):
        store.undo("the test")
    assert gpd.read_file(path, layer="greens").geometry[0].equals(green(0))
    assert gpd.read_file(path, layer="bunkers")["name"].tolist() == ["bunker 0"]


def _assert_whole(path, saved):
    greens, bunkers = gpd.read_file(path, layer="greens"), gpd.read_file(path, layer="bunkers")
    assert greens["name"].tolist() == [f"green {saved}"]
    assert greens.geometry[0].equals(green(saved))
    assert bunkers["name"].tolist() == [f"bunker {number}" for number in range(saved + 1)]
    with sqlite3.connect(path) as file:
        assert file.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
        assert file.execute("SELECT count(*) FROM turfgis_versions").fetchone() == (2 * saved,)
    file.close()


sizes = st.integers(1, 60)


class Drawing(RuleBasedStateMachine):
    """Whatever is drawn, undone, redone, gone back to and opened again: the file holds what a plain list says."""

    features = Bundle("features")

    def __init__(self):
        super().__init__()
        self.folder = tempfile.TemporaryDirectory(dir=MEMORY)
        self.path = Path(self.folder.name) / "course.gpkg"
        new_geopackage(self.path)
        self.store = Store.open(self.path, plain_area)
        self.store.add_layer("greens", IRISH_GRID, columns={"hole": "TEXT"})
        self.now = {}  # feature -> size and hole
        self.done, self.undone = [], []  # states before what can be undone, and after what can be done again
        self.after = [{}]  # state after each change

    def teardown(self):
        self.folder.cleanup()

    def drawn(self, change, new):
        self.done.append(self.now)
        self.undone.clear()
        self._now_is(change, new)

    def _now_is(self, change, new):
        self.now = new
        self.after.append(new)
        assert change.number == len(self.after) - 1

    def mark(self, feature):
        table = self.store.shapes("greens")
        return table.loc[table["feature"] == feature, "fingerprint"].iloc[0]

    @rule(target=features, size=sizes, hole=st.sampled_from(["1", "2", None]))
    def create(self, size, hole):
        change = self.store.change([Created("greens", _square(size), {"hole": hole})], "me", "new")
        feature = change.versions[0].feature
        assert all(feature not in state for state in self.after)
        self.drawn(change, {**self.now, feature: (size, hole)})
        return feature

    @rule(feature=features, size=sizes, hole=st.sampled_from(["1", "2", None]))
    def alter(self, feature, size, hole):
        if feature not in self.now:
            return
        edit = Altered("greens", feature, self.mark(feature), _square(size), {"hole": hole})
        if self.now[feature] == (size, hole):
            with pytest.raises(InputError, match="nothing to save"):
                self.store.change([edit], "me", "moved")
            return
        self.drawn(self.store.change([edit], "me", "moved"), {**self.now, feature: (size, hole)})

    @rule(one=features, two=features, size=sizes)
    def swap(self, one, two, size):
        """Three edits of one change."""
        if one not in self.now or two not in self.now or one == two:
            return
        edits = [
            Deleted("greens", one, self.mark(one)),
            Altered("greens", two, self.mark(two), _square(size), {"hole": "18"}),
            Created("greens", _square(size + 1)),
        ]
        change = self.store.change(edits, "me", "swapped")
        left = {key: value for key, value in self.now.items() if key != one}
        self.drawn(change, {**left, two: (size, "18"), change.versions[-1].feature: (size + 1, None)})

    @rule(feature=features)
    def delete(self, feature):
        if feature not in self.now:
            return
        change = self.store.change([Deleted("greens", feature, self.mark(feature))], "me", "gone")
        self.drawn(change, {key: value for key, value in self.now.items() if key != feature})

    @rule()
    def undo(self):
        if not self.done:
            with pytest.raises(InputError, match="nothing to undo"):
                self.store.undo("me")
            return
        self.undone.append(self.now)
        self._now_is(self.store.undo("me", seen=len(self.after) - 1), self.done.pop())

    @rule()
    def redo(self):
        if not self.undone:
            with pytest.raises(InputError, match="nothing to do again"):
                self.store.redo("me")
            return
        self.done.append(self.now)
        self._now_is(self.store.redo("me", seen=len(self.after) - 1), self.undone.pop())

    @rule(data=st.data())
    def back_to(self, data):
        number = data.draw(st.integers(0, len(self.after) - 1))
        if self.after[number] == self.now:
            with pytest.raises(InputError, match="nothing to save"):
                self.store.back_to(number, "me")
            return
        self.drawn(self.store.back_to(number, "me"), self.after[number])

    @rule()
    def open_again(self):
        self.store = Store.open(self.path, plain_area)

    @precondition(lambda self: self.now)
    @rule(size=sizes, data=st.data())
    def elsewhere(self, size, data):
        """Another program moves a green; what was seen before is refused, then it is taken in."""
        feature = data.draw(st.sampled_from(sorted(self.now)))
        seen = self.mark(feature)
        with connected(self.path, writing=True) as file:
            blob = blob_of(shapely.to_wkb(_square(size), flavor="iso"), 2157)
            file.execute("UPDATE greens SET geom = ? WHERE fid = ?", (blob, feature))
        if self.now[feature][0] == size:
            assert self.store.take_in() is None
            return
        with pytest.raises(ChangedElsewhere) as told:
            self.store.change([Altered("greens", feature, seen, _square(99))], "me", "moved")
        assert told.value.differences[0].m2_after == size**2
        self.drawn(self.store.take_in(), {**self.now, feature: (size, self.now[feature][1])})

    @invariant()
    def the_file_holds_what_the_list_says(self):
        table = self.store.shapes("greens")
        rows = zip(table["feature"], table.geometry, table["hole"], strict=True)
        assert {feature: (round(shape.area**0.5), hole) for feature, shape, hole in rows} == self.now
        assert table.attrs["number"] == self.store.number == len(self.after) - 1
        assert len(self.store.history(most=10_000)) == len(self.after) - 1


def _square(size):
    return shapely.box(441_000, 714_000, 441_000 + size, 714_000 + size)


TestDrawing = Drawing.TestCase
TestDrawing.settings = settings(max_examples=25, stateful_step_count=25, deadline=None)
