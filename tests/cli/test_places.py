"""``turfgis places`` by the command line: what is printed, what is written, and what is said of bad input."""

import json

import geopandas as gpd
import pyogrio
import pytest
import shapely

PLACES = [
    (
        {"id": "t1", "kind": "tree", "name": "ash", "look_again": "2027-04-20", "urgency": 2, "girth_cm": 157.0},
        (10, 10),
    ),
    ({"id": "h1", "kind": "hazard", "look_again": "2027-05-01", "urgency": 1, "task": "fence it"}, (20, 10)),
    ({"id": "w1", "kind": "wet spot", "name": "=1+1", "size_m2": 12.0}, (30, 10)),
    ({"id": "d1", "kind": "disease", "look_again": "2027-05-20", "seen": "2027-04-01"}, (40, 10)),
]


@pytest.fixture
def course(watched_course):
    return watched_course([(fields, shapely.Point(*at)) for fields, at in PLACES])


def test_the_due_list(turfgis, course):
    said = turfgis("places", course, "--due", "--date", "2027-05-01")
    assert said.code == 0
    lines = said.out.splitlines()
    assert lines[0] == "Places on 2027-05-01: 1 overdue, 1 due, 1 no date"
    assert [line.split()[1] for line in lines[5:7]] == ["h1", "t1"]
    assert "no date" in lines[7]
    assert "competent person" in said.out
    assert "certified people" not in said.out  # no disease is due
    assert all(len(line) <= 100 for line in lines)


def test_json_and_csv_speak_si_and_hold_everything(turfgis, course):
    rows = turfgis("places", course, "--date", "2027-05-01", "--format", "json").answer
    by_id = {row["place"]: row for row in rows}
    assert (by_id["t1"]["state"], by_id["t1"]["days_overdue"], by_id["t1"]["patch"]) == ("overdue", 11, "green-01")
    assert by_id["t1"]["diameter_cm"] == 50.0  # 157 cm / 3.14159
    assert (by_id["w1"]["size_m2"], by_id["w1"]["due"]) == (12, None)
    text = turfgis("places", course, "--date", "2027-05-01", "--format", "csv").out
    assert text.startswith("place,kind,name,state,due")
    assert ",=1+1," not in text  # no spreadsheet runs it


def test_until_and_kind(turfgis, course):
    rows = turfgis(
        *("places", course, "--due", "--date", "2027-05-01", "--until", "2027-05-20", "--kind", "Diseases"),
        *("--format", "json"),
    ).answer
    assert [(row["place"], row["state"]) for row in rows] == [("d1", "due")]


def test_history(turfgis, course):
    said = turfgis("places", course, "--history", "t1", "--date", "2027-05-01")
    assert said.code == 0
    assert "tree, ash (t1), green-01: 2027-04-20, 11 days overdue" in said.out
    assert "Girth 157 cm is 50 cm across" in said.out
    assert turfgis("places", course, "--history", "t1", "--format", "json").answer[0]["girth_cm"] == 157


def test_a_geopackage_and_a_printed_page(turfgis, course, tmp_path):
    assert turfgis("places", course, "--date", "2027-05-01", "-o", tmp_path / "p.gpkg").code == 0
    points = gpd.read_file(tmp_path / "p.gpkg", layer="points")
    assert sorted(points["place"]) == ["d1", "h1", "t1", "w1"]
    assert points["urgency"].dtype.kind == "f"
    assert {name for name, _ in pyogrio.list_layers(tmp_path / "p.gpkg")} == {"points", "looks"}
    assert turfgis("places", course, "--date", "2027-05-01", "-o", tmp_path / "p.pdf").code == 0
    assert (tmp_path / "p.pdf").read_bytes().startswith(b"%PDF")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--kind", "treee"), "'treee' is no kind of place; did you mean 'tree'"),
        (("--date", "1 May"), "--date: '1 May' is not a day"),
        (("--date", "2027-05-01", "--until", "2027-04-01"), "until 2027-04-01 lies before 2027-05-01"),
        (("--history", "t11"), "there is no place 't11'; did you mean 't1'"),
        (("-o", "p.xlsx"), "does not write .xlsx files"),
    ],
)
def test_bad_calls_are_one_message(turfgis, course, words, said):
    assert said in turfgis("places", course, *words).message


def test_a_course_without_places_says_how_to_have_some(turfgis, folder):
    assert 'role = "places"' in turfgis("places", folder).message


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ('kind = "treee"', "'treee' is no kind of place; did you mean 'tree'"),
        ('kinds = { A = "shrubbery" }', "'shrubbery' is no kind of place"),
        ('columns = { seeen = "DATUM" }', "places have no 'seeen'; did you mean 'seen'"),
        ('columns = { seen = "DATUM" }', "no column 'DATUM' for seen"),
        ('visits = "nothing.csv"', "nothing.csv: no such file"),
    ],
)
def test_bad_settings_are_one_message(turfgis, course, line, said):
    settings = course / "course.toml"
    settings.write_text(settings.read_text().replace('role = "places"', f'role = "places"\n{line}'))
    assert said in turfgis("places", course).message


def test_keys_of_places_belong_to_places(turfgis, course):
    settings = course / "course.toml"
    settings.write_text(
        settings.read_text().replace('file = "areas.geojson"', 'file = "areas.geojson"\nvisits = "v.csv"')
    )
    assert 'visits belongs to places; add role = "places"' in turfgis("places", course).message


def test_check_lists_what_is_wrong_and_exits_with_one(turfgis, watched_course):
    rows = [
        (
            {"id": "a", "kind": "shrub", "seen": "yesterday", "size_m2": -3.0, "photo": "../x.jpg"},
            shapely.Point(10, 10),
        ),
        ({"id": "b", "kind": "tree", "seen": "2027-05-01", "look_again": "2027-04-01"}, shapely.Point(10, 5000)),
        ({"id": "b", "kind": "tree", "seen": "2027-05-01"}, shapely.Point(10, 5000)),
    ]
    said = turfgis("check", watched_course(rows), "--format", "json")
    assert said.code == 1
    codes = {one["code"] for one in json.loads(said.out)["findings"] if one["code"].startswith("place")}
    expected = ("kind", "day", "figure", "photo", "look", "repeated", "off_course")
    assert codes == {f"place_{name}" for name in expected}
