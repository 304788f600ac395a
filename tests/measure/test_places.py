"""Where places lie and how large they are, their looks put together, and paths that stay in the folder."""

from datetime import date

import numpy as np
import pytest
import shapely

from turfgis.estimates.course import open_course
from turfgis.measure.places import photo_file

POINT = shapely.Point(10, 10)


def measured(folder):
    places = open_course(folder).places
    return places, {row["place"]: row for row in places.table.drop(columns="geometry").to_dict("records")}


def codes(places):
    return [finding.code for finding in places.findings]


def test_a_place_lies_on_the_patch_that_holds_most_of_it(watched_course):
    shapes = {
        "point": POINT,
        "more of 2": shapely.box(40, 5, 190, 15),  # 10 m on the first green, 40 m on the second
        "line": shapely.LineString([(40, 20), (60, 20)]),
        "beside": shapely.Point(60, 10),
        "away": shapely.Point(25, 900),
    }
    places, by_id = measured(watched_course([({"id": name, "kind": "other"}, shape) for name, shape in shapes.items()]))
    assert [by_id[name]["patch"] for name in shapes] == ["green-01", "green-02", "green-01", None, None]
    assert (by_id["beside"]["near"], by_id["beside"]["hole"]) == ("green-01", "1")
    # a metre of the grid is 0.9996 m or a little more, off the middle of its zone
    assert by_id["beside"]["near_m"] == pytest.approx(10, rel=1e-3)
    assert (by_id["away"]["near"], by_id["away"]["hole"]) == (None, None)
    (finding,) = places.findings
    assert finding.code == "place_off_course"
    assert "lies 850 m from all that was drawn" in finding.text.replace("849", "850").replace("851", "850")


def test_the_size_of_a_drawn_spot_is_its_area_on_the_ellipsoid(watched_course, geodesic_area):
    """Outside ruler: GeographicLib 2.0, polygon area (Karney 2013)."""
    spot = shapely.box(5, 5, 25, 17)
    folder = watched_course([({"id": "a", "kind": "weed", "size_m2": 999}, spot)])
    places, by_id = measured(folder)
    lonlat = shapely.get_coordinates(places.table.to_crs("EPSG:4326").geometry.iloc[0].exterior)
    area, perimeter = geodesic_area(*lonlat[:-1].T)
    assert by_id["a"]["size_m2"] == pytest.approx(area, abs=1e-3)
    # one offset of all the edge: JCGM 100:2008, 1.96 times 0.2 m times the perimeter
    assert by_id["a"]["plus_minus_m2"] == pytest.approx(1.96 * 0.2 * perimeter, rel=1e-4)


def test_a_typed_size_is_that_of_a_point_and_a_line_has_a_length(watched_course):
    rows = [
        ({"id": "p", "kind": "weed", "size_m2": 12.5}, POINT),
        ({"id": "l", "kind": "drain"}, shapely.LineString([(0, 20), (40, 20)])),
    ]
    _, by_id = measured(watched_course(rows))
    assert (by_id["p"]["size_m2"], by_id["p"]["plus_minus_m2"], by_id["p"]["length_m"]) == (12.5, None, None)
    assert by_id["l"]["size_m2"] is None  # how wide it is, nothing says
    assert by_id["l"]["length_m"] == pytest.approx(40, rel=1e-3)


def test_a_line_is_as_large_as_its_length_by_its_width(watched_course):
    """Plane geometry: 40 m by 0.5 m is 20 m2; a typed size goes first, and a point has no length to go by."""
    drain = shapely.LineString([(0, 20), (40, 20)])
    rows = [
        ({"id": "w", "kind": "drain", "width_m": 0.5}, drain),
        ({"id": "s", "kind": "drain", "width_m": 0.5, "size_m2": 7.0}, drain),
        ({"id": "p", "kind": "weed", "width_m": 0.5}, POINT),
    ]
    _, by_id = measured(watched_course(rows))
    assert by_id["w"]["size_m2"] == pytest.approx(20, rel=1e-3)
    assert by_id["w"]["size_m2"] == pytest.approx(0.5 * by_id["w"]["length_m"], rel=1e-12)
    assert (by_id["s"]["size_m2"], by_id["p"]["size_m2"]) == (7.0, None)


def test_rows_of_one_id_are_looks_at_one_place(watched_course):
    rows = [
        ({"id": "d", "kind": "disease", "seen": "2027-04-15", "size_m2": 20, "note": "joined up"}, POINT),
        ({"id": "d", "kind": "disease", "seen": "2027-03-18", "size_m2": 12, "species": "unknown"}, POINT),
    ]
    places, by_id = measured(watched_course(rows))
    place = by_id["d"]
    assert (place["looks"], place["seen"], place["size_m2"]) == (2, date(2027, 4, 15), 20.0)
    assert (place["note"], place["species"]) == ("joined up", "unknown")  # the newest that says anything
    assert place["growth_m2_week"] == 2.0  # 8 m2 in 28 days
    assert places.looks[["seen", "days_since", "growth_m2_week"]].to_numpy().tolist() == [
        [date(2027, 3, 18), None, None],
        [date(2027, 4, 15), 28, 2.0],
    ]
    assert codes(places) == []


VISITS = "id,seen,size_m2,done\nd,2027-03-01,10,\nd,2027-03-15,,\nd,2027-03-29,4,2027-03-29\nx,2027-03-01,1,\n"


def test_visits_of_a_table_join_by_id(watched_course):
    rows = [({"id": "d", "kind": "disease", "seen": "2027-02-01", "size_m2": 10, "task": "spike"}, POINT)]
    before = 'role = "places"\nvisits = "visits.csv"\n'
    folder = watched_course(rows, files={"visits.csv": VISITS})
    settings = (folder / "course.toml").read_text()
    (folder / "course.toml").write_text(settings.replace('role = "places"\n', before))
    places, by_id = measured(folder)
    assert (by_id["d"]["looks"], by_id["d"]["size_m2"], by_id["d"]["kind"]) == (4, 4.0, "disease")
    assert (by_id["d"]["task"], by_id["d"]["done"]) == (None, date(2027, 3, 29))
    assert places.looks["growth_m2_week"].tolist() == [None, 0.0, None, -1.5]  # 6 m2 less in four weeks
    (finding,) = places.findings
    assert (finding.code, finding.file, finding.feature) == ("place_visit", "visits.csv", "row 5")


def test_the_same_look_twice_is_said(watched_course):
    rows = [({"id": "a", "kind": "tree", "seen": "2027-03-01", "name": name}, POINT) for name in ("one", "two")]
    places, by_id = measured(watched_course(rows))
    assert codes(places) == ["place_repeated"]
    assert by_id["a"]["name"] == "two"


def test_places_without_an_id_are_told_apart(watched_course):
    places, by_id = measured(watched_course([({"kind": "tree"}, POINT), ({"kind": "weed"}, POINT)]))
    assert (len(by_id), codes(places)) == (2, [])


def test_a_task_asked_for_again_after_it_was_done_is_open(watched_course):
    rows = [
        ({"id": "a", "kind": "tree", "seen": "2027-01-01", "task": "cut", "done": "2027-01-20"}, POINT),
        ({"id": "a", "kind": "tree", "seen": "2027-03-01", "task": "cut again"}, POINT),
        ({"id": "b", "kind": "tree", "seen": "2027-01-01", "task": "cut", "done": "2027-01-20"}, POINT),
    ]
    _, by_id = measured(watched_course(rows))
    assert (by_id["a"]["task"], by_id["b"]["task"]) == ("cut again", None)


def test_a_day_to_look_again_that_has_been_looked_at_since_no_longer_counts(watched_course):
    rows = [
        ({"id": "a", "kind": "tree", "seen": "2027-01-01", "look_again": "2027-02-01"}, POINT),
        ({"id": "a", "kind": "tree", "seen": "2027-03-01"}, POINT),
    ]
    _, by_id = measured(watched_course(rows))
    assert by_id["a"]["look_again"] is None


def test_a_photo_never_leaves_the_course_folder(tmp_path):
    folder = tmp_path / "course"
    (folder / "photos").mkdir(parents=True)
    (folder / "photos" / "7.jpg").write_bytes(b"x")
    (tmp_path / "secret.jpg").write_bytes(b"x")
    (folder / "link.jpg").symlink_to(tmp_path / "secret.jpg")
    assert photo_file(folder, "photos/7.jpg") == (folder / "photos" / "7.jpg").resolve()
    assert photo_file(folder, "photos\\7.jpg") is not None
    for outside in (
        "../secret.jpg",
        str(tmp_path / "secret.jpg"),
        "link.jpg",
        "photos",
        "nothing.jpg",
        "a\0b",
        "x" * 5000,
    ):
        assert photo_file(folder, outside) is None


def test_a_photo_that_is_not_there_is_a_finding(watched_course):
    places, _ = measured(watched_course([({"id": "a", "kind": "tree", "photo": "../../etc/passwd"}, POINT)]))
    assert codes(places) == ["place_photo"]


def test_an_outline_that_crosses_itself_still_has_a_size(watched_course):
    bow = shapely.Polygon([(0, 0), (10, 10), (10, 0), (0, 10)])
    _, by_id = measured(watched_course([({"id": "a", "kind": "weed"}, bow)]))
    assert by_id["a"]["size_m2"] == pytest.approx(50, rel=1e-3)


def test_a_course_without_such_layers_has_no_places(watched_course):
    folder = watched_course([({"id": "a"}, POINT)])
    settings = (folder / "course.toml").read_text()
    (folder / "course.toml").write_text(
        settings.replace('file = "places.geojson"\nrole = "places"', 'file = "areas.geojson"\nrole = "background"')
    )
    course = open_course(folder)
    assert (course.has_places, len(course.places.table), course.places.findings) == (False, 0, ())
    assert np.isfinite(course.measured.patches["net_m2"]).all()


def test_two_visits_on_a_day_are_one_only_where_they_say_the_same(watched_course):
    rows = [({"id": "d", "kind": "disease", "seen": "2027-03-01"}, POINT)]
    visits = "id,seen,note\nd,2027-03-01,wet\nd,2027-03-01,dry\nd,2027-03-01,dry\n"
    folder = watched_course(rows, files={"visits.csv": visits})
    settings = (folder / "course.toml").read_text()
    (folder / "course.toml").write_text(
        settings.replace('role = "places"\n', 'role = "places"\nvisits = "visits.csv"\n')
    )
    places, by_id = measured(folder)
    assert by_id["d"]["looks"] == 4
    (finding,) = places.findings
    assert (finding.code, finding.feature) == ("place_repeated", "row 4")
