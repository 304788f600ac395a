"""Places as rows, on the printed page, in a GeoPackage and as the map gets them."""

import csv
import io
from datetime import date

import geopandas as gpd
import pyogrio
import pytest
import shapely

from turfgis.estimates.course import open_course
from turfgis.estimates.places import watched_places
from turfgis.reports.facts import Facts
from turfgis.reports.map_places import PICTURES_BYTES, Watched, describe_places
from turfgis.reports.outputs import place_files
from turfgis.reports.place_layers import write_places
from turfgis.reports.places import KEYS, place_rows, places_text
from turfgis.reports.places_page import _weeks, places_pdf

DAY = date(2027, 5, 1)  # a Saturday
PLACES = [
    ({"id": "a", "kind": "tree", "look_again": "2027-03-01", "urgency": 3, "girth_cm": 100.0}, shapely.Point(5, 5)),
    ({"id": "b", "kind": "drain", "look_again": "2027-05-03", "urgency": 1}, shapely.LineString([(0, 9), (40, 9)])),
    ({"id": "c", "kind": "weed", "name": "#show: <script>", "urgency": 2}, shapely.box(10, 10, 20, 20)),
    ({"id": "d", "kind": "pest", "seen": "2027-04-01", "task": "x", "done": "2027-04-02"}, shapely.Point(9, 9)),
    ({"id": "e", "kind": "wet spot", "look_again": "2027-05-02", "urgency": 1}, shapely.Point(9, 30)),
]
FACTS = Facts("Invented Links", "metric", "EUR", "not given", "", "")


@pytest.fixture
def course(watched_course):
    return open_course(watched_course(PLACES))


def test_rows_have_every_key_and_plain_values(course):
    rows = place_rows(watched_places(course, DAY))
    assert all(tuple(row) == KEYS for row in rows)
    assert {type(value) for row in rows for value in row.values()} <= {str, int, float, type(None)}
    tree = next(row for row in rows if row["place"] == "a")
    assert tree["diameter_cm"] == 31.8  # 100 cm / 3.14159
    assert tree["latitude"] == pytest.approx(49.6, abs=0.1)  # 5,500 km north of the equator: some 49.6 degrees


def test_weeks_begin_on_mondays_and_what_is_overdue_stands_in_the_first(course):
    rows = place_rows(watched_places(course, DAY))
    weeks = {title: [row["place"] for row in found] for title, found in _weeks(rows, DAY)}
    assert weeks == {
        "Week from 26 April 2027": ["e", "a"],  # by urgency, the overdue one behind
        "Week from 3 May 2027": ["b"],
        "No date: look, and write the next day down": ["c"],
    }
    alone = [title for title, _ in _weeks(rows, None)]
    assert alone == ["Week from 1 March 2027", *weeks]


def test_the_printed_page_is_the_same_each_time_and_takes_names_as_text(course):
    rows = place_rows(watched_places(course, DAY))
    made = places_pdf(rows, FACTS, first=DAY)
    assert made.startswith(b"%PDF")
    assert made == places_pdf(rows, FACTS, first=DAY)
    assert places_pdf([], FACTS).startswith(b"%PDF")


def test_a_geopackage_has_a_layer_for_each_kind_of_shape(course, tmp_path):
    places = watched_places(course, DAY)
    write_places(places, course.places.looks, tmp_path / "p.gpkg")
    layers = {name: kind for name, kind in pyogrio.list_layers(tmp_path / "p.gpkg")}
    assert layers == {"points": "MultiPoint", "lines": "MultiLineString", "areas": "MultiPolygon", "looks": None}
    area = gpd.read_file(tmp_path / "p.gpkg", layer="areas")
    assert area["size_m2"][0] == pytest.approx(area.geometry.area[0], rel=1e-9)
    assert len(pyogrio.read_dataframe(tmp_path / "p.gpkg", layer="looks")) == len(PLACES)


def test_the_list_tells_states_apart(course):
    rows = place_rows(watched_places(course, DAY))
    text = places_text(rows, DAY, None)
    assert text.startswith("Places on 2027-05-01: 1 overdue, 1 no date, 2 later, 1 closed")
    assert "ft2" in places_text(rows, DAY, None, "us")


def test_the_map_leaves_out_what_is_closed_and_photos_that_are_too_much(course):
    places = watched_places(course, DAY)
    rows = [{**row, "photo": f"{row['place']}.jpg"} for row in place_rows(places)]
    shapes = places.geometry.to_crs("EPSG:4326").tolist()
    photos = {f"{name}.jpg": b"x" * (PICTURES_BYTES // 2 - 1) for name in "abce"}
    told = describe_places(Watched(rows, shapes, photos), (-12.0, 49.0), "metric")
    assert {spot["id"] for spot in told["spots"]} == {"a", "b", "c", "e"}
    assert sum("photo" in spot for spot in told["spots"]) == 2
    assert sum("shape" in spot for spot in told["spots"]) == 2  # the line and the area
    assert [kind["count"] for kind in told["kinds"]] == [1, 1, 1, 1]
    assert describe_places(None, (0, 0), "metric") == {"kinds": [], "spots": []}


def test_a_report_hands_out_three_files_that_read_no_clock(course):
    files = place_files(course, "metric")
    assert set(files) == {"places.pdf", "places.csv", "places.gpkg"}
    rows = list(csv.DictReader(io.StringIO(files["places.csv"].decode("utf-8-sig"))))
    assert {row["days_overdue"] for row in rows} == {""}
    assert "overdue" not in {row["state"] for row in rows}
