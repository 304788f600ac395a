"""Every change kept as a version: undo without end, nothing overwritten, readable by anybody."""

import shutil
import sqlite3
from pathlib import Path

import geopandas as gpd
import numpy as np
import pyogrio
import pytest
import shapely
from pyproj import CRS

from turfgis.errors import ChangedElsewhere, InputError, LayerError, OutputError
from turfgis.layers.blobs import blob_of
from turfgis.layers.geopackage import connected
from turfgis.layers.new_layers import new_geopackage
from turfgis.layers.read import read_layers
from turfgis.layers.versions import Altered, Created, Deleted, Store

DEMO = Path(__file__).resolve().parents[2] / "demo_layers" / "course.gpkg"
EAST, NORTH = 441_000.0, 714_000.0


def plain_area(shapes, crs):
    assert crs.to_epsg() == 2157
    return shapely.area(shapes)


def box(x, y, width=10.0, height=10.0):
    return shapely.box(EAST + x, NORTH + y, EAST + x + width, NORTH + y + height)


@pytest.fixture
def file(tmp_path):
    """A GeoPackage written by another program, with a spatial index and its triggers."""
    path = tmp_path / "course.gpkg"
    greens = gpd.GeoDataFrame(
        {"hole": ["1", "2", None], "name": ["first", None, "third"], "cuts": [3, 4, 5], "size": [0.5, None, 1.5]},
        geometry=[box(0, 0), box(20, 0), box(40, 0)],
        crs="EPSG:2157",
    )
    greens.to_file(path, layer="greens", SPATIAL_INDEX="YES")
    tees = gpd.GeoDataFrame({"kind": ["tee"]}, geometry=[shapely.MultiPolygon([box(0, 50)])], crs="EPSG:2157")
    tees.to_file(path, layer="tees", SPATIAL_INDEX="YES", geometry_type="MultiPolygon")
    return path


@pytest.fixture
def store(file):
    return Store.open(file, plain_area)


def row(store, layer="greens", feature=1):
    table = store.shapes(layer)
    return table.loc[table["feature"] == feature].iloc[0]


def alter(store, shape=None, feature=1, layer="greens", **values):
    seen = row(store, layer, feature)
    return store.change([Altered(layer, feature, seen["fingerprint"], shape, values)], "the manager", "redrawn")


def sql(path, *statement):
    with sqlite3.connect(path) as connection:
        return connection.execute(*statement).fetchall()


class TestChanging:
    def test_opening_writes_nothing(self, file):
        before = file.read_bytes()
        store = Store.open(file, plain_area)
        assert store.number == 0
        assert store.history() == []
        assert list(store.layers()) == ["greens", "tees"]
        assert len(store.shapes("greens")) == 3
        assert file.read_bytes() == before

    def test_a_change_is_there_for_everybody(self, store, file):
        change = alter(store, box(0, 0, 12), name="wider")
        assert change.number == 1
        (version,) = change.versions
        assert (version.m2_before, version.m2_after, version.gained_m2) == (100.0, 120.0, 20.0)
        assert version.gained.equals(box(10, 0, 2))
        assert version.lost.is_empty
        assert (version.before.values["name"], version.after.values["name"]) == ("first", "wider")
        theirs = gpd.read_file(file, layer="greens")
        assert theirs.geometry[0].equals(box(0, 0, 12))
        assert theirs["name"].tolist()[::2] == ["wider", "third"]
        ours, _ = read_layers(file, "greens")
        assert ours[0].areas.area.tolist() == [120.0, 100.0, 100.0]

    def test_what_is_not_changed_stays_byte_for_byte(self, store, file):
        asked = "SELECT fid, geom, hole, cuts, size FROM greens ORDER BY fid"
        before = sql(file, asked)
        alter(store, name="other name")
        assert sql(file, asked) == before
        alter(store, box(0, 0, 11))
        assert sql(file, asked)[1:] == before[1:]
        store.undo("the manager")
        assert sql(file, asked) == before

    def test_several_features_of_several_layers_are_one_change(self, store, file):
        one, two = row(store), row(store, feature=2)
        tee = row(store, "tees")
        change = store.change(
            [
                Altered("greens", 1, one["fingerprint"], box(0, 0, 15)),
                Deleted("greens", 2, two["fingerprint"]),
                Created("greens", box(80, 0), {"hole": "9", "cuts": 7}),
                Altered("tees", 1, tee["fingerprint"], values={"kind": None}),
            ],
            "the manager",
            "new ninth",
        )
        assert [(one.layer, one.feature) for one in change.versions] == [
            ("greens", 1), ("greens", 2), ("greens", 4), ("tees", 1),
        ]  # fmt: skip
        assert change.gained_m2 == 50.0
        assert store.shapes("greens")["feature"].tolist() == [1, 3, 4]
        assert store.shapes("tees")["kind"].tolist() == [None]
        store.undo("the manager")
        assert gpd.read_file(file, layer="greens").area.tolist() == [100.0, 100.0, 100.0]
        assert store.shapes("greens")["feature"].tolist() == [1, 2, 3]
        assert store.shapes("tees")["kind"].tolist() == ["tee"]

    def test_a_number_is_never_given_twice(self, store):
        made = store.change([Created("greens", box(90, 0))], "the manager", "new").versions[0].feature
        store.undo("the manager")
        again = store.change([Created("greens", box(90, 0))], "the manager", "new").versions[0].feature
        assert (made, again) == (4, 5)

    def test_single_shapes_fit_into_layers_of_several(self, store, file):
        alter(store, box(0, 50, 20), layer="tees")
        assert gpd.read_file(file, layer="tees").geom_type.tolist() == ["MultiPolygon"]

    def test_types_are_kept(self, store, file):
        alter(store, size=2, cuts=np.int64(8), hole=None)
        table = gpd.read_file(file, layer="greens")
        assert table["size"].tolist()[0] == 2.0
        assert table["cuts"].tolist() == [8, 4, 5]
        assert sql(file, "SELECT typeof(size), typeof(cuts), typeof(hole) FROM greens WHERE fid = 1") == [
            ("real", "integer", "null")
        ]

    def test_the_file_knows_how_far_it_reaches_and_when(self, store, file):
        asked = "SELECT min_x, min_y, max_x, max_y, last_change FROM gpkg_contents WHERE table_name = 'greens'"
        alter(store, box(-5, 0))
        first = sql(file, asked)[0]
        assert first[:4] == (EAST - 5, NORTH, EAST + 50, NORTH + 10)
        assert first[4].endswith("Z")
        alter(store, box(2, 2))
        assert sql(file, asked)[0][:4] == (EAST + 2, NORTH, EAST + 50, NORTH + 12)
        index = sql(file, "SELECT minx FROM rtree_greens_geom WHERE id = 1")[0][0]
        assert index == pytest.approx(EAST + 2, abs=0.1)
        assert len(gpd.read_file(file, layer="greens", bbox=(EAST, NORTH, EAST + 5, NORTH + 5))) == 1
        assert pyogrio.read_info(file, layer="greens")["features"] == 3

    @pytest.mark.parametrize(
        ("edit", "match"),
        [
            (Created("greens", shapely.Point(EAST, NORTH)), "takes polygon shapes, and this is a point"),
            (Created("greens", shapely.MultiPolygon([box(0, 0), box(20, 0)])), "save each part"),
            (Created("greens", shapely.Polygon([(0, 0), (1, 1), (1, 0), (0, 1)])), "is not valid"),
            (Created("greens", shapely.Polygon()), "no shape to save"),
            (Created("greens", None), "no shape to save"),
            (Created("greens", shapely.force_3d(box(0, 0))), "has no heights"),
            (Created("greens", box(0, 0), {"cuts": "three"}), "cuts takes a whole number"),
            (Created("greens", box(0, 0), {"size": "big"}), "size takes a number"),
            (Created("greens", box(0, 0), {"name": 7}), "name takes text"),
        ],
    )
    def test_what_does_not_fit_is_refused_and_nothing_is_saved(self, store, edit, match):
        with pytest.raises(InputError, match=match):
            store.change([Created("greens", box(90, 0)), edit], "the manager", "new")
        assert store.number == 0
        assert len(store.shapes("greens")) == 3

    def test_unknown_layers_and_columns(self, store):
        with pytest.raises(LayerError, match="no layer gardens that can be changed; there are greens, tees"):
            store.change([Created("gardens", box(0, 0))], "the manager", "new")
        with pytest.raises(LayerError, match=r"no column nam\. Did you mean name"):
            store.change([Created("greens", box(0, 0), {"nam": "x"})], "the manager", "new")
        with pytest.raises(LayerError, match="no layer gardens"):
            store.shapes("gardens")

    def test_nothing_to_save(self, store):
        with pytest.raises(InputError, match="nothing to save"):
            alter(store, box(0, 0))
        seen = row(store)["fingerprint"]
        with pytest.raises(InputError, match="only once"):
            store.change([Altered("greens", 1, seen, box(0, 0, 9)), Deleted("greens", 1, seen)], "me", "both")

    def test_no_geopackage(self, tmp_path):
        with pytest.raises(LayerError, match=r"gone\.gpkg: there is no such file"):
            Store.open(tmp_path / "gone.gpkg", plain_area)
        (tmp_path / "text.gpkg").write_text("no database, but long enough to be looked at as one" * 40)
        with pytest.raises(LayerError, match="not a GeoPackage, or broken"):
            Store.open(tmp_path / "text.gpkg", plain_area)
        sqlite3.connect(tmp_path / "empty.gpkg").execute("CREATE TABLE a (b)").connection.close()
        with pytest.raises(LayerError, match="not a GeoPackage"):
            Store.open(tmp_path / "empty.gpkg", plain_area)


class TestUndo:
    def test_fifty_steps_and_back(self, store):
        states = [store.shapes("greens").area.tolist()]
        for step in range(1, 51):
            alter(store, box(0, 0, 10 + step), feature=1 + step % 3)
            states.append(store.shapes("greens").area.tolist())
        for state in states[-2::-1]:
            store.undo("the manager")
            assert store.shapes("greens").area.tolist() == state
        with pytest.raises(InputError, match="nothing to undo"):
            store.undo("the manager")
        for state in states[1:]:
            store.redo("the manager")
            assert store.shapes("greens").area.tolist() == state
        with pytest.raises(InputError, match="nothing to do again"):
            store.redo("the manager")
        assert store.number == 150
        assert len(store.history(most=1000)) == 150

    def test_a_new_change_ends_what_could_be_done_again(self, store):
        alter(store, box(0, 0, 11))
        store.undo("the manager")
        alter(store, box(0, 0, 12))
        with pytest.raises(InputError, match="nothing to do again"):
            store.redo("the manager")
        store.undo("the manager")
        assert row(store).geometry.area == 100.0

    def test_an_undo_is_told_as_such(self, store):
        alter(store, box(0, 0, 11))
        undone = store.undo("the deputy")
        assert (undone.does, undone.of, undone.who, undone.what) == ("undone", 1, "the deputy", "redrawn")
        assert undone.gained_m2 == -10.0
        assert store.redo("the deputy").does == "done again"

    def test_back_to_any_change_and_back_from_there(self, store):
        for step in range(1, 6):
            alter(store, box(0, 0, 10 + step))
        change = store.back_to(2, "the manager")
        assert (change.does, change.of, change.what) == ("gone back", 2, "back to change 2")
        assert row(store).geometry.area == 120.0
        store.undo("the manager")
        assert row(store).geometry.area == 150.0
        store.back_to(0, "the manager")
        assert row(store).geometry.area == 100.0
        assert [one.number for one in store.history()] == [8, 7, 6, 5, 4, 3, 2, 1]
        with pytest.raises(InputError, match="no change 9; the latest is 8"):
            store.back_to(9, "the manager")
        with pytest.raises(InputError, match="nothing to save"):
            store.back_to(8, "the manager")

    def test_one_feature_goes_back_alone(self, store):
        alter(store, box(0, 0, 11))
        alter(store, box(20, 0, 12), feature=2)
        alter(store, box(0, 0, 13))
        store.back_to(1, "the manager", layer="greens", feature=1)
        assert store.shapes("greens").area.tolist() == [110.0, 120.0, 100.0]

    def test_the_history_of_a_feature_page_by_page(self, store):
        for step in range(1, 8):
            alter(store, box(0, 0, 10 + step), feature=1 + step % 2)
        assert [one.number for one in store.history("greens", 2)] == [7, 5, 3, 1]
        assert [one.number for one in store.history("greens", 2, most=2)] == [7, 5]
        assert [one.number for one in store.history("greens", 2, most=2, before=5)] == [3, 1]
        assert store.history("tees") == []
        assert len(store.history("greens")) == 7

    def test_heights_and_odd_values_come_back(self, tmp_path):
        path = tmp_path / "high.gpkg"
        high = shapely.Polygon([(EAST, NORTH, 3.25), (EAST + 9, NORTH, 4.5), (EAST, NORTH + 9, 5.125)])
        table = gpd.GeoDataFrame({"name": ["Grün ☘"], "picture": [b"\x00\xff"]}, geometry=[high], crs="EPSG:2157")
        table.to_file(path, layer="greens")
        with connected(path, writing=True) as connection:
            connection.execute("ALTER TABLE greens ADD COLUMN far REAL")
            connection.execute("UPDATE greens SET far = 9e999")
        store = Store.open(path, plain_area)
        before = sql(path, "SELECT * FROM greens")
        assert store.layers()["greens"].heights in (1, 2)
        store.change([Deleted("greens", 1, row(store)["fingerprint"])], "the manager", "gone")
        store.undo("the manager")
        assert sql(path, "SELECT * FROM greens")[0][2:] == before[0][2:]
        assert shapely.equals_identical(row(store).geometry, high)

    def test_a_plan_drawn_over_heights_keeps_those_of_its_corners(self, tmp_path):
        path = tmp_path / "high.gpkg"
        high = shapely.Polygon([(EAST, NORTH, 3.25), (EAST + 9, NORTH, 4.5), (EAST, NORTH + 9, 5.125)])
        gpd.GeoDataFrame(geometry=[high], crs="EPSG:2157").to_file(path, layer="greens")
        store = Store.open(path, plain_area)
        plan = shapely.Polygon([(EAST, NORTH), (EAST + 3, NORTH), (EAST + 9, NORTH), (EAST, NORTH + 9)])
        alter(store, plan)
        heights = {x - EAST: z for x, y, z in row(store).geometry.exterior.coords if y == NORTH}
        assert heights == {0.0: 3.25, 3.0: pytest.approx(3.25 + 1.25 / 3), 9.0: 4.5}

    def test_features_may_be_called_by_text(self, store):
        number, marks = store.fingerprints()
        assert (number, len(marks)) == (0, 4)
        store.change([Altered("greens", "1", marks["greens", 1], box(0, 0, 12))], "me", "wider")
        assert store.fingerprints()[0] == 1


class TestTwoWriters:
    def test_two_windows(self, file):
        one, two = Store.open(file, plain_area), Store.open(file, plain_area)
        seen = row(two)["fingerprint"]
        alter(one, box(0, 0, 12))
        with pytest.raises(ChangedElsewhere, match=r"greens 1 is \+20\.0 m2; nothing was overwritten") as told:
            two.change([Altered("greens", 1, seen, box(0, 0, 8))], "the deputy", "narrower")
        (difference,) = told.value.differences
        assert difference.shape_before.equals(box(0, 0))
        assert difference.shape_after.equals(box(0, 0, 12))
        assert difference.gained.equals(box(10, 0, 2))
        assert (difference.m2_before, difference.m2_after) == (100.0, 120.0)
        assert one.number == 1
        assert row(one).geometry.area == 120.0

    def test_two_windows_of_one_store(self, store):
        seen = row(store)["fingerprint"]
        alter(store, box(0, 0, 12))
        with pytest.raises(ChangedElsewhere) as told:
            store.change([Altered("greens", 1, seen, box(0, 0, 8))], "the deputy", "narrower")
        assert told.value.differences[0].shape_before.equals(box(0, 0))

    def test_other_features_do_not_stand_in_the_way(self, file):
        one, two = Store.open(file, plain_area), Store.open(file, plain_area)
        seen = row(two, feature=2)["fingerprint"]
        alter(one, box(0, 0, 12))
        change = two.change([Altered("greens", 2, seen, box(20, 0, 8))], "the deputy", "narrower", seen=0)
        assert change.number == 2

    def test_there_and_back_again_is_told_by_its_number(self, store):
        seen = row(store)["fingerprint"]
        alter(store, box(0, 0, 12))
        store.undo("the manager")
        assert row(store)["fingerprint"] == seen
        with pytest.raises(ChangedElsewhere):
            store.change([Altered("greens", 1, seen, box(0, 0, 8))], "the deputy", "narrower", seen=0)
        assert store.change([Altered("greens", 1, seen, box(0, 0, 8))], "the deputy", "narrower", seen=2).number == 3

    def test_an_undo_takes_back_only_what_was_seen(self, file):
        one, two = Store.open(file, plain_area), Store.open(file, plain_area)
        alter(one, box(0, 0, 12))
        alter(two, box(20, 0, 13), feature=2)
        with pytest.raises(ChangedElsewhere, match="change 2 is the latest, and 1 was seen") as told:
            one.undo("the manager", seen=1)
        assert [(version.feature, version.gained_m2) for version in told.value.differences] == [(2, 30.0)]
        assert one.undo("the manager", seen=2).versions[0].feature == 2

    def test_a_feature_that_somebody_took_out(self, file):
        one, two = Store.open(file, plain_area), Store.open(file, plain_area)
        seen = row(two)["fingerprint"]
        one.change([Deleted("greens", 1, seen)], "the manager", "gone")
        with pytest.raises(ChangedElsewhere, match="greens 1 is gone") as told:
            two.change([Altered("greens", 1, seen, box(0, 0, 8))], "the deputy", "narrower")
        assert told.value.differences[0].after is None

    def test_another_program_is_noticed_though_it_keeps_no_list(self, store, file):
        seen = row(store)["fingerprint"]
        theirs = gpd.read_file(file, layer="greens")
        theirs.loc[0, "geometry"] = box(0, 0, 17)
        theirs.to_file(file, layer="greens")
        with pytest.raises(ChangedElsewhere, match=r"greens 1 is \+70\.0 m2") as told:
            store.change([Altered("greens", 1, seen, box(0, 0, 8))], "the manager", "narrower")
        assert told.value.differences[0].gained.equals(box(10, 0, 7))
        assert gpd.read_file(file, layer="greens").area.tolist() == [170.0, 100.0, 100.0]
        (noticed,) = store.noticed()
        assert (noticed.feature, noticed.gained_m2) == (1, 70.0)

    def test_what_another_program_did_becomes_a_version_of_its_own(self, store, file):
        alter(store, box(0, 0, 12))
        sql_writer(file, box(0, 0, 17))
        with pytest.raises(ChangedElsewhere):
            store.undo("the manager")
        change = alter(store, box(0, 0, 18))  # drawn on top of what is there now
        assert [(one.number, one.does, one.who) for one in store.history()] == [
            (3, "done", "the manager"),
            (2, "done elsewhere", "another program"),
            (1, "done", "the manager"),
        ]
        assert change.versions[0].gained_m2 == 10.0
        areas = []
        for _ in range(3):
            store.undo("the manager")
            areas.append(row(store).geometry.area)
        assert areas == [170.0, 120.0, 100.0]

    def test_it_can_be_taken_in_at_once(self, store, file):
        assert store.take_in() is None
        store.shapes("greens")
        sql_writer(file, box(0, 0, 17))
        change = store.take_in("the surveyor")
        assert change is not None
        assert (change.who, change.does, change.gained_m2) == ("the surveyor", "done elsewhere", 70.0)
        assert store.noticed() == []
        store.undo("the manager")
        assert row(store).geometry.area == 100.0

    def test_a_new_column_of_another_program_does_not_stand_in_the_way(self, store, file):
        change = alter(store, box(0, 0, 12))
        sql(file, "ALTER TABLE greens ADD COLUMN remark TEXT")
        seen = change.versions[0].after.fingerprint
        store.change([Altered("greens", 1, seen, values={"remark": "soft"})], "the manager", "remark")
        store.undo("the manager")
        store.undo("the manager")
        assert row(store).geometry.area == 100.0

    def test_a_file_that_is_being_written_is_waited_for_and_then_told(self, store, file, monkeypatch):
        monkeypatch.setattr("turfgis.layers.geopackage.WAIT_S", 0.05)
        seen = row(store)["fingerprint"]
        other = sqlite3.connect(file, isolation_level=None)
        other.execute("BEGIN IMMEDIATE")
        with pytest.raises(OutputError, match="another program is writing to it"):
            store.change([Altered("greens", 1, seen, box(0, 0, 8))], "the manager", "narrower")
        other.execute("ROLLBACK")
        other.close()
        assert store.change([Altered("greens", 1, seen, box(0, 0, 8))], "the manager", "narrower").number == 1


def sql_writer(path, shape):
    """Another program that changes one row, as a GIS does, and knows nothing of our lists."""
    with connected(path, writing=True) as connection:
        blob = blob_of(shapely.to_wkb(shape, flavor="iso"), 2157)
        connection.execute("UPDATE greens SET geom = ? WHERE fid = 1", (blob,))


class TestOpenFormat:
    def test_changes_are_tables_that_any_reader_lists(self, store, file):
        """OGC 12-128r18, clause 2.4: tables without shapes, listed as attributes, with a whole number as their key."""
        alter(store, box(0, 0, 12))
        assert sql(file, "SELECT table_name, data_type FROM gpkg_contents WHERE table_name LIKE 'turfgis%'") == [
            ("turfgis_changes", "attributes"),
            ("turfgis_versions", "attributes"),
        ]
        kinds = dict(pyogrio.list_layers(file))
        assert kinds == {"greens": "Polygon", "tees": "MultiPolygon", "turfgis_changes": None, "turfgis_versions": None}
        changes = gpd.read_file(file, layer="turfgis_changes")
        versions = gpd.read_file(file, layer="turfgis_versions")
        assert changes[["who", "what", "does"]].to_numpy().tolist() == [["the manager", "redrawn", "done"]]
        assert versions[["number", "m2_before", "m2_after"]].to_numpy().tolist() == [[1, 100.0, 120.0]]
        assert shapely.from_wkb(versions["shape_after"][0]).equals(box(0, 0, 12))

    def test_a_new_file_and_a_new_layer_are_read_by_others(self, tmp_path):
        path = tmp_path / "new.gpkg"
        new_geopackage(path)
        with pytest.raises(OutputError, match="there is such a file already"):
            new_geopackage(path)
        store = Store.open(path, plain_area)
        store.add_layer("greens", CRS("EPSG:2157"), columns={"hole": "TEXT", "Fid": "INTEGER"})
        store.add_layer("rough", CRS("EPSG:4326"), "GEOMETRY", heights=2)
        store.change([Created("greens", box(0, 0), {"hole": "7", "Fid": 3})], "the manager", "first")
        table = gpd.read_file(path, layer="greens")
        assert table["hole"].tolist() == ["7"]
        assert table.crs.to_epsg() == 2157
        assert table.area.tolist() == [100.0]
        assert pyogrio.read_info(path, layer="rough")["crs"] == "EPSG:4326"
        assert sql(path, "PRAGMA application_id") == [(0x47504B47,)]
        assert sql(path, "PRAGMA integrity_check") == [("ok",)]
        assert sql(path, "PRAGMA foreign_key_check") == []
        for name in ("greens", "GREENS", "", "gpkg_mine"):
            with pytest.raises(InputError, match="cannot be called"):
                store.add_layer(name, CRS("EPSG:2157"))

    def test_the_demo_course_can_be_changed_and_read(self, tmp_path):
        path = tmp_path / "course.gpkg"
        shutil.copyfile(DEMO, path)
        store = Store.open(path, plain_area)
        assert {"greens", "rough", "hole_lines", "sprinklers"} <= set(store.layers())
        green = row(store)
        store.change([Altered("greens", 1, green["fingerprint"], green.geometry.buffer(1.0))], "me", "wider")
        assert row(store).geometry.area > green.geometry.area
        store.undo("me")
        before, _ = read_layers(DEMO, "greens")
        after, _ = read_layers(path, "greens")
        assert shapely.equals_identical(before[0].areas.geometry.values, after[0].areas.geometry.values).all()


def test_a_file_of_a_thousand_changes_is_as_quick_and_small_as_one_of_ten(store):
    """What one change reads and writes does not grow with the changes before it: rows looked at, not seconds."""
    steps = []
    for round_ in range(3):
        for step in range(60):
            alter(store, box(0, 0, 11 + step % 7 + round_ / 10))
        steps.append(_steps_of_one_change(store))
    assert max(steps) <= 1.2 * min(steps)
    assert len(store._seen) == 3


def _steps_of_one_change(store):
    """Instructions of SQLite for one change and one undo."""
    counted = 0
    real = sqlite3.connect

    def counting(*given, **more):
        def step():
            nonlocal counted
            counted += 1

        connection = real(*given, **more)
        connection.set_progress_handler(step, 1)
        return connection

    seen = row(store)
    sqlite3.connect = counting
    try:
        store.change([Altered("greens", 1, seen["fingerprint"], box(0, 0, 33))], "me", "counted")
        store.undo("me")
    finally:
        sqlite3.connect = real
    return counted
