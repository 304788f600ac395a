"""Places put in and looked at by hand: read back by GDAL and by the command, refused beside the field."""

import json
import re
import sqlite3
from datetime import date
from html import unescape
from typing import Any

import geopandas as gpd
import pyogrio
import pyproj
import pytest
import shapely
from click.testing import CliRunner

from turfgis.cli import program
from turfgis.estimates.course import open_course
from turfgis.layers import geopackage

from .conftest import asking

NEW = {"id": "w1", "kind": "wet spot", "at": "-17.76892, 49.61951"}
BARE = (
    '# Ours: do not sort.\nname = "Watched"   # two greens\n\n[[layer]]\nfile = "areas.geojson"   # from the survey\n'
)


@pytest.fixture
def folder(watched_course):
    """Two greens, and no layer of places in the settings."""
    made = watched_course([({"id": "g", "kind": "tree"}, shapely.Point(10, 10))], before=BARE + REST)
    (made / "places.geojson").rename(made / "aside.json")
    return made


REST = 'surface_from = "kind"\nhole_from = "hole"\n\n# What else there is.\n[surface.green]\ncut = "4 mm"\n'


@pytest.fixture
def ask(folder):
    made = asking(folder)
    with made.client:
        yield made


def hidden(page, name):
    return re.findall(rf'name="{name}" value="([^"]*)"', page.text)[0]


def put(ask, mark=None, **given):
    mark = mark or hidden(ask.client.get("/places/new"), "seen_settings")
    form = {**NEW, "seen_settings": mark, **given}
    return ask.client.post("/places/new", params={"token": ask.keys.token}, data=form)


def look(ask, place, mark=None, **given):
    mark = mark or hidden(ask.client.get("/places/look", params={"place": place}), "seen_place")
    form = {"place": place, "seen": "2027-05-14", "seen_place": mark, **given}
    return ask.client.post("/places/look", params={"token": ask.keys.token}, data=form)


def words(page):
    """What stands in the messages of a page, by the field that it stands beside."""
    found = re.findall(r'<div id="wrong-(\w+)" role="alert">(.*?)</div>', page.text, re.S)
    return {field: [unescape(one) for one in re.findall(r">([^<]+)</p>", text)] for field, text in found}


def of_command(folder):
    result = CliRunner().invoke(program, ["places", str(folder), "--date", "2027-05-14", "--format", "json"])
    assert result.exception is None, result.exception
    return {row["place"]: row for row in json.loads(result.stdout)}


def test_the_first_place_makes_its_file_and_its_entry(ask):
    assert ask.client.get("/places").text.count('href="/places/new"') == 1
    given = {"seen": "2027-05-10", "look_again": "2027-05-20", "urgency": "2", "size_m2": "12,5", "note": "to the shoe"}
    answer = put(ask, **given, task="drain it")
    assert (answer.status_code, answer.headers["location"]) == (303, "/places?place=w1#history")
    text = (ask.desk.folder / "course.toml").read_text(encoding="utf-8")
    block = '\n[[layer]]\nfile = "places.gpkg"\nrole = "places"\nvisits_layer = "visits"\n'
    before, _, after = (BARE + REST).partition("\n# What else")
    assert text == f"{before}{block}\n# What else{after}"
    # GDAL reads the file as its standard has it: the point as typed, days as days, figures as figures
    rows = pyogrio.read_dataframe(ask.desk.folder / "places.gpkg", layer="points")
    row = rows.iloc[0]
    assert rows.crs.equals("EPSG:4326")
    assert (row.geometry.x, row.geometry.y) == pytest.approx((-17.76892, 49.61951), abs=1e-9)
    assert (row["seen"].date(), row["look_again"].date()) == (date(2027, 5, 10), date(2027, 5, 20))
    assert (row["urgency"], row["size_m2"], row["task"]) == (2, 12.5, "drain it")
    names = pyogrio.list_layers(ask.desk.folder / "places.gpkg")[:, 0].tolist()
    assert names == ["points", "visits"]
    told = of_command(ask.desk.folder)["w1"]
    assert (told["kind"], told["due"], told["task"]) == ("wet spot", "2027-05-20", "drain it")
    assert open_course(ask.desk.folder).places.findings == ()
    assert "drain it" in ask.client.get(answer.headers["location"].partition("#")[0]).text
    assert [one.name for one in ask.desk.folder.iterdir() if one.name.startswith(".unfinished")] == []


@pytest.mark.parametrize(("east", "north"), [("", ""), ("3", "-2"), ("10 ft", "0")])
def test_a_place_lies_so_far_from_the_middle_of_a_patch(ask, east, north):
    """Outside ruler: GeographicLib's geodesic (Karney 2013) between the middle of the green and the stored point."""
    assert put(ask, at="", patch="green-01", east=east, north=north).status_code == 303
    point = gpd.read_file(ask.desk.folder / "places.gpkg", layer="points").geometry.iloc[0]
    green = gpd.read_file(ask.desk.folder / "areas.geojson").to_crs("EPSG:32628").geometry.iloc[0]
    middle = gpd.GeoSeries([green.centroid], crs="EPSG:32628").to_crs("EPSG:4326").iloc[0]
    azimuth, _, far = pyproj.Geod(ellps="WGS84").inv(middle.x, middle.y, point.x, point.y)
    wanted = {"": (0, 0), "3": (3, -2), "10 ft": (3.048, 0)}[east]
    angle = shapely.affinity.rotate(shapely.Point(0, far), -azimuth, origin=(0, 0))
    assert (angle.x, angle.y) == pytest.approx(wanted, abs=0.01)


BAD = [
    ({"kind": ""}, "kind", "is missing"),
    ({"id": ""}, "id", "is missing"),
    ({"kind": "Baum"}, "kind", "no kind of place"),
    ({"at": ""}, "patch", "one of the two"),
    ({"patch": "green-01"}, "patch", "one of the two"),
    ({"at": "here"}, "at", "'here' is no place"),
    ({"at": "49.61951, -17.76892"}, "at", "nowhere near"),
    ({"at": "-17.75, 49.61951"}, "at", "m from all that was drawn"),
    ({"at": "nan, nan"}, "at", "nowhere near"),
    ({"at": "", "patch": "green-99"}, "patch", "no patch 'green-99'"),
    ({"at": "", "patch": "green-01", "east": "far"}, "east", "far"),
    ({"at": "", "patch": "green-01", "north": "2 kg"}, "north", "kg"),
    ({"seen": "yesterday"}, "seen", "is not a day"),
    ({"look_again": "2027-02-30"}, "look_again", "is not a day that exists"),
    ({"seen": "2027-05-10", "look_again": "2027-05-09"}, "look_again", "lies before the look"),
    ({"seen": "2027-05-10", "look_again": "2027-05-10"}, "look_again", "leave the look empty"),
    ({"every": "often"}, "every", "is not an interval"),
    ({"urgency": "9"}, "urgency", "cannot be"),
    ({"size_m2": "-3"}, "size_m2", "below zero"),
    ({"size_m2": "2 m"}, "size_m2", "m"),
    ({"size_m2": "1,555"}, "size_m2", "two ways"),
]


@pytest.mark.parametrize(("given", "field", "told"), BAD)
def test_what_cannot_be_used_is_told_beside_its_field(ask, given, field, told):
    answer = put(ask, note="stays as typed", **given)
    assert answer.status_code == 422
    assert list(words(answer)) == [field]
    assert told in words(answer)[field][0]
    assert 'value="stays as typed"' in answer.text
    assert re.search(rf'id="{field}"[^>]* aria-invalid="true"[^>]* aria-describedby="[^"]*wrong-{field}"', answer.text)
    assert sorted(one.name for one in ask.desk.folder.iterdir()) == ["areas.geojson", "aside.json", "course.toml"]
    assert (ask.desk.folder / "course.toml").read_text(encoding="utf-8") == BARE + REST


def test_settings_written_meanwhile_are_told_and_no_file_stays(ask):
    mark = hidden(ask.client.get("/places/new"), "seen_settings")
    file = ask.desk.folder / "course.toml"
    file.write_text(BARE + REST + "# theirs\n", encoding="utf-8")
    answer = put(ask, mark)
    assert answer.status_code == 422
    assert "changed by somebody else" in words(answer)["whole"][0]
    assert not (ask.desk.folder / "places.gpkg").exists()
    assert file.read_text(encoding="utf-8") == BARE + REST + "# theirs\n"
    assert put(ask, hidden(answer, "seen_settings")).status_code == 303
    assert file.read_text(encoding="utf-8").endswith("# theirs\n")


def test_a_file_of_that_name_is_left_alone(ask):
    (ask.desk.folder / "places.gpkg").write_bytes(b"ours")
    assert put(ask).status_code == 303
    assert (ask.desk.folder / "places.gpkg").read_bytes() == b"ours"
    assert 'file = "places_2.gpkg"' in (ask.desk.folder / "course.toml").read_text(encoding="utf-8")


def test_looks_grow_into_the_history(ask):
    put(ask, seen="2027-04-30", size_m2="10", task="spike", look_again="2027-05-14")
    assert of_command(ask.desk.folder)["w1"]["state"] == "due"
    answer = look(ask, "w1", note="smaller", size_m2="6 m2", done="yes", look_again="2027-06-14", urgency="4")
    assert answer.status_code == 303
    place = of_command(ask.desk.folder)["w1"]
    assert (place["seen"], place["due"], place["task"], place["urgency"]) == ("2027-05-14", "2027-06-14", None, 4)
    assert (place["size_m2"], place["growth_m2_week"], place["looks"]) == (6.0, -2.0, 2)  # 4 m2 less in two weeks
    # a second one on the same day is a look of its own
    assert look(ask, "w1", note="dry").status_code == 303
    course = open_course(ask.desk.folder)
    assert course.places.looks["note"].tolist() == [None, "smaller", "dry"]
    assert course.places.findings == ()
    page = ask.client.get("/places", params={"date": "2027-05-14", "place": "w1"}).text
    assert "/places/look?place=w1" in page


@pytest.mark.parametrize(
    ("given", "field", "told"),
    [
        ({"seen": ""}, "seen", "is missing"),
        ({}, "note", "nothing is said"),
        ({"note": "x", "look_again": "2027-05-14"}, "look_again", "would settle it"),
        ({"done": "yes", "task": "more"}, "task", "of another day"),
        ({"size_m2": "big"}, "size_m2", "big"),
    ],
)
def test_a_look_that_cannot_be_used_is_told_beside_its_field(ask, given, field, told):
    put(ask, task="spike")
    before = (ask.desk.folder / "places.gpkg").read_bytes()
    answer = look(ask, "w1", **given)
    assert answer.status_code == 422
    assert list(words(answer)) == [field]
    assert told in words(answer)[field][0]
    assert (ask.desk.folder / "places.gpkg").read_bytes() == before


def test_a_second_window_is_told_and_nothing_is_lost(ask):
    put(ask, seen="2027-05-01")
    mark = hidden(ask.client.get("/places/look", params={"place": "w1"}), "seen_place")
    assert look(ask, "w1", mark, note="theirs").status_code == 303
    answer = look(ask, "w1", mark, note="ours")
    assert answer.status_code == 422
    assert "2 looks now, the latest of 2027-05-14" in words(answer)["whole"][0]
    assert 'value="ours"' in answer.text
    assert look(ask, "w1", hidden(answer, "seen_place"), note="ours").status_code == 303
    assert open_course(ask.desk.folder).places.looks["note"].tolist() == [None, "theirs", "ours"]


def test_the_same_name_twice_is_told(ask):
    assert put(ask).status_code == 303
    assert "already" in words(put(ask))["id"][0]
    assert hidden(ask.client.get("/places/new"), "id") == "1"
    assert put(ask, id="7").status_code == 303
    page = ask.client.get("/places/new")
    assert re.search(r'name="id" value="8"', page.text)


def test_a_change_needs_the_token(ask):
    put(ask)
    before = (ask.desk.folder / "places.gpkg").read_bytes()
    assert ask.client.post("/places/new", data=NEW).status_code == 403
    assert ask.client.post("/places/look", data={"place": "w1", "seen": "2027-05-14", "note": "x"}).status_code == 403
    assert (ask.desk.folder / "places.gpkg").read_bytes() == before


@pytest.mark.parametrize("text", ["<img src=x onerror=alert(1)>", "'; DROP TABLE points; --", "=1+1", 'a "b" & c'])
def test_text_is_only_text(ask, text):
    assert put(ask, id=text, name=text, note=text, task=text).status_code == 303
    assert look(ask, text, note=text).status_code == 303
    row = of_command(ask.desk.folder)[text]
    assert (row["name"], row["note"], row["task"]) == (text, text, text)
    for address in ("/places", "/places/look"):
        page = ask.client.get(address, params={"place": text})
        assert page.status_code == 200
        assert "<img" not in page.text
    assert "<img" not in put(ask, id=text, note=text).text


def test_a_file_held_by_another_program_is_told(ask, monkeypatch):
    monkeypatch.setattr(geopackage, "WAIT_S", 0.1)
    put(ask)
    page = ask.client.get("/places/look", params={"place": "w1"})
    mark = hidden(page, "seen_place")
    with sqlite3.connect(ask.desk.folder / "places.gpkg", isolation_level=None) as other:
        other.execute("BEGIN IMMEDIATE")
        answer = look(ask, "w1", mark, note="x")
        other.execute("ROLLBACK")
    other.close()
    assert answer.status_code == 422
    assert "another program is writing" in words(answer)["whole"][0]
    assert look(ask, "w1", mark, note="x").status_code == 303


ROWS = [
    ({"id": "d", "kind": "disease", "seen": "2027-02-01", "size_m2": 10.0, "task": "spike"}, shapely.Point(10, 10)),
    ({"id": "w", "kind": "weed", "every": "2 weeks"}, shapely.box(20, 20, 30, 30)),
]
CSV = "id,seen,size_m2,note,every\nd,2027-03-01,12,grew,3 weeks\nw,2027-03-02,,thin,\n"


def opened(folder):
    made = asking(folder)
    return made.client, made


def test_places_of_another_format_are_copied_with_their_looks(watched_course):
    folder = watched_course(ROWS, files={"visits.csv": CSV})
    file = folder / "course.toml"
    text = file.read_text(encoding="utf-8")
    text = text.replace('role = "places"\n', 'role = "places"   # ours\nvisits = "visits.csv"\n')
    file.write_text(text, encoding="utf-8")
    before = of_command(folder)
    client, ask = opened(folder)
    with client:
        page = client.get("/places/look", params={"place": "d"})
        assert "only a GeoPackage keeps every version" in page.text
        assert "Record the look" not in page.text
        answer = client.post("/places/look", params={"token": ask.keys.token}, data={"place": "d", "note": "x"})
        assert answer.status_code == 422
        form = {"file": hidden(page, "file")}
        assert client.post("/places/copy", data=form).status_code == 403
        assert client.post("/places/copy", params={"token": ask.keys.token}, data={"file": "x"}).status_code == 422
        assert client.post("/places/copy", params={"token": ask.keys.token}, data=form).status_code == 303
        after = of_command(folder)
        apart = ("file", "layer", "feature", "plus_minus_m2", "longitude", "latitude")
        for name, row in before.items():
            for key in row.keys() - {*apart}:
                assert after[name][key] == pytest.approx(row[key]), key
        assert file.read_text(encoding="utf-8") == text.replace("places.geojson", "places.gpkg").replace(
            'role = "places"   # ours\nvisits = "visits.csv"\n', 'visits_layer = "visits"\nrole = "places"   # ours\n'
        )
        assert (folder / "places.geojson").exists()
        assert look(ask, "d", note="better", done="yes").status_code == 303
        assert look(ask, "w", size_m2="90").status_code == 303
        assert open_course(folder).places.findings == ()
        assert of_command(folder)["d"]["looks"] == 3
        assert of_command(folder)["w"]["size_m2"] == 90


def own_layers(folder, **layers):
    """The same places in layers of somebody else's GeoPackage."""
    shapes = gpd.read_file(folder / "places.geojson")
    for name, wanted in layers.items():
        rows: Any = shapes.rename(columns={"id": "code", "task": "job"})
        rows = rows.loc[rows.geometry.geom_type == wanted]
        rows.to_crs("EPSG:32628").to_file(folder / "own.gpkg", layer=name, driver="GPKG", mode="a")
    text = (folder / "course.toml").read_text(encoding="utf-8")
    text = text.replace('"places.geojson"', '"own.gpkg"   # of the survey').replace(
        'role = "places"\n', 'role = "places"\ncolumns = { id = "code", task = "job" }\n'
    )
    (folder / "course.toml").write_text(text, encoding="utf-8")
    return text


def test_columns_of_somebody_elses_file_are_used_as_the_settings_name_them(watched_course):
    folder = watched_course(ROWS)
    text = own_layers(folder, spots="Point", patches="Polygon")
    areas = pyogrio.read_dataframe(folder / "own.gpkg", layer="patches")
    client, ask = opened(folder)
    with client:
        assert put(ask, id="n", at="-17.76892, 49.61951", task="dig", note="new").status_code == 303
        rows = pyogrio.read_dataframe(folder / "own.gpkg", layer="spots")
        assert rows.crs.equals("EPSG:32628")
        there = pyproj.Transformer.from_crs(4326, 32628, always_xy=True).transform(-17.76892, 49.61951)
        new = rows.iloc[-1]
        assert (new.geometry.x, new.geometry.y) == pytest.approx(there, abs=1e-3)
        assert (new["code"], new["job"], new["note"]) == ("n", "dig", "new")  # a column more, for the note
        assert rows["code"].tolist() == ["d", "n"]
        assert look(ask, "w", note="thin", task="seed it").status_code == 303
        written = (folder / "course.toml").read_text(encoding="utf-8")
        assert written == text.replace("# of the survey\n", '# of the survey\nvisits_layer = "visits"\n')
        visits = pyogrio.read_dataframe(folder / "own.gpkg", layer="visits")
        assert visits[["code", "job", "note"]].to_numpy().tolist() == [["w", "seed it", "thin"]]
    assert pyogrio.read_dataframe(folder / "own.gpkg", layer="patches").equals(areas)
    told = of_command(folder)
    assert (told["w"]["task"], told["n"]["task"]) == ("seed it", "dig")
    assert open_course(folder).places.findings == ()


def test_a_place_without_an_id_gets_its_name_as_one(watched_course):
    folder = watched_course([({"kind": "tree"}, shapely.Point(10, 10)), ({"kind": "weed"}, shapely.Point(20, 10))])
    shapes = gpd.read_file(folder / "places.geojson")
    shapes[["kind", "geometry"]].to_file(folder / "own.gpkg", layer="trees", driver="GPKG")
    text = (folder / "course.toml").read_text(encoding="utf-8").replace("places.geojson", "own.gpkg")
    (folder / "course.toml").write_text(text, encoding="utf-8")
    client, ask = opened(folder)
    with client:
        name = next(name for name in of_command(folder) if name.endswith("-2"))
        assert look(ask, name, note="seen").status_code == 303
        told = of_command(folder)
        assert (told[name]["looks"], told[name]["note"], len(told)) == (2, "seen", 2)
    rows = pyogrio.read_dataframe(folder / "own.gpkg", layer="trees")
    assert rows["id"].fillna("").tolist() == ["", name]


def test_looks_kept_in_a_table_elsewhere_are_not_written(watched_course):
    folder = watched_course(ROWS[:1], files={"visits.csv": CSV.rpartition("w,")[0]})
    gpd.read_file(folder / "places.geojson").to_file(folder / "own.gpkg", layer="spots", driver="GPKG")
    text = (folder / "course.toml").read_text(encoding="utf-8").replace("places.geojson", "own.gpkg")
    text = text.replace('role = "places"\n', 'role = "places"\nvisits = "visits.csv"\n')
    (folder / "course.toml").write_text(text, encoding="utf-8")
    client, ask = opened(folder)
    with client:
        page = client.get("/places/look", params={"place": "d"})
        assert "looks at this place are kept in visits.csv" in page.text
        assert "Record the look" not in page.text
        form = {"place": "d", "seen": "2027-05-14", "note": "x", "seen_place": "y"}
        assert client.post("/places/look", params={"token": ask.keys.token}, data=form).status_code == 422
    assert (folder / "visits.csv").read_text() == CSV.rpartition("w,")[0]


def test_the_demo_keeps_all_else_as_it_was(plain_course):
    layers = ("points", "lines", "areas")
    before = {name: pyogrio.read_dataframe(plain_course / "places.gpkg", layer=name) for name in layers}
    text = (plain_course / "course.toml").read_text(encoding="utf-8")
    client, ask = opened(plain_course)
    with client:
        assert put(ask, id="1", at="", patch="green-07", size_m2="3").status_code == 303
        assert look(ask, "di-1", size_m2="12", note="drying out").status_code == 303
    after = {name: pyogrio.read_dataframe(plain_course / "places.gpkg", layer=name) for name in layers}
    assert after["lines"].equals(before["lines"])
    assert after["areas"].equals(before["areas"])
    assert after["points"].iloc[:-1].equals(before["points"])
    assert (plain_course / "course.toml").read_text(encoding="utf-8") == text
    assert open_course(plain_course).places.findings == ()
