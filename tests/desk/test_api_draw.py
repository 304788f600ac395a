"""What the page for drawing asks the desk for, and what it may not ask for."""

import json
import os
import signal
import sqlite3
import subprocess
import sys
import threading
import time
from contextlib import closing
from urllib.parse import parse_qs, urlsplit

import geopandas as gpd
import httpx2
import numpy as np
import pytest
import shapely
from click.testing import CliRunner

from turfgis.cli import program
from turfgis.estimates.course import open_course

GREEN = "course.gpkg | greens | 7"
NUDGE = {"do": "corner", "area": GREEN, "corner": [0, 0, 3], "by_m": [1.5, 1.5]}


def told(ask):
    return ask.client.get("/api/drawing").json()


def do(ask, stroke, version=None, address="/api/change"):
    seen = told(ask)["version"] if version is None else version
    return ask.change(address, {"version": seen, **({"stroke": stroke} if stroke else {})})


def greens(ask):
    return gpd.read_file(ask.desk.folder / "course.gpkg", layer="greens", fid_as_index=True)


def test_the_drawing_is_told_area_by_area(shared_ask):
    drawing = told(shared_ask)
    assert len(drawing["areas"]) == len({one["id"] for one in drawing["areas"]}) == 262
    assert drawing["order"][0] == "green"
    assert {one["file"] for one in drawing["layers"] if one["saved"]} == {"course.gpkg"}


def test_corners_come_back_from_their_steps(ask):
    """Of the first green: 1e-9 degrees are a tenth of a millimetre."""
    drawing = told(ask)
    one = next(area for area in drawing["areas"] if area["id"] == "course.gpkg | greens | 1")
    steps = np.array(one["parts"][0][0]).reshape(-1, 2)
    corners = np.cumsum(steps, axis=0) * drawing["step"]
    drawn = gpd.read_file(ask.desk.folder / "course.gpkg", layer="greens", rows=1).to_crs("EPSG:4326")
    assert np.abs(corners - shapely.get_coordinates(drawn.geometry.to_numpy())[:-1]).max() < 1e-8


def test_what_is_shown_before_saving_is_what_the_command_measures_after(ask):
    """The net area that a stroke is told to make, to the last digit shown, and what neighbours gain."""
    before = open_course(ask.desk.folder).measured.patches
    shown = ask.change("/api/preview", {"stroke": NUDGE}).json()
    assert do(ask, NUDGE).status_code == 200
    after = open_course(ask.desk.folder).measured.patches
    now = {row["label"]: row["now"] for row in shown["rows"]}
    own = after.loc[after["source"] == GREEN].iloc[0]
    assert now["Net area"] == f"{own['net_m2']:,.1f} m2"
    assert now["Plus-minus"] == f"{own['plus_minus_m2']:,.1f} m2"
    assert now["Perimeter"] == f"{own['perimeter_m']:,.1f} m"
    gained = (after.groupby("surface")["net_m2"].sum() - before.groupby("surface")["net_m2"].sum()).drop("green")
    expected = {
        name: f"{'+' if gain > 0 else '−'}{abs(gain):,.1f} m2" for name, gain in gained.items() if abs(gain) > 0.05
    }
    assert {one["label"]: one["change"] for one in shown["others"]} == expected


def test_what_is_shown_of_the_order_is_what_the_orders_come_to(ask):
    from turfgis.estimates.orders import orders_for

    stroke = {**NUDGE, "by_m": [6.0, 6.0]}
    (before,) = orders_for(open_course(ask.desk.folder), material="dressing_sand")
    lines = ask.change("/api/preview/order", {"stroke": stroke}).json()["orders"]
    do(ask, stroke)
    (after,) = orders_for(open_course(ask.desk.folder), material="dressing_sand")
    change = (after.delivered_kg - before.delivered_kg) / 1000
    assert f"{'+' if change > 0 else '−'}{abs(change):.2f} t of dressing sand" in lines


@pytest.mark.parametrize(
    ("area", "by_m"),
    [(GREEN, [6.0, 6.0]), ("course.gpkg | fairways | 5", [5.0, 5.0]), ("course.gpkg | tees | 5", [4, 0])],
)
def test_the_next_order_is_what_the_command_prints_before_and_after(ask, area, by_m):
    """To the last digit: what is needed, and the loads or packs that `turfgis order` advises."""
    stroke = {"do": "corner", "area": area, "corner": [0, 0, 3], "by_m": by_m}
    shown = ask.change("/api/preview/order", {"stroke": stroke}).json()["next"]
    group, material = (parse_qs(urlsplit(shown["address"]).query)[name][0] for name in ("group", "material"))
    before = ordered(ask.desk.folder, group, material)
    assert do(ask, stroke).status_code == 200
    after = ordered(ask.desk.folder, group, material)
    assert before != after
    assert [(row["was"], row["now"]) for row in shown["rows"]] == list(zip(before, after, strict=True))
    assert ask.client.get(shown["address"]).status_code == 200
    assert ask.change("/api/preview/order", {"saved": True}).json()["next"] == shown
    ask.change("/api/undo", {"version": ask.client.get("/api/version").json()["version"]})
    back = ask.change("/api/preview/order", {"saved": True}).json()["next"]
    assert [(row["now"], row["was"]) for row in back["rows"]] == list(zip(before, after, strict=True))


def ordered(folder, group, material):
    """Amount and packs of an order as the command writes them."""
    asked = ["order", str(folder), "--group", group, "--material", material, "--format", "json"]
    told = CliRunner().invoke(program, asked, catch_exceptions=False)
    order = json.loads(told.stdout)
    if "advised_loads" in order:
        return f"{order['delivered_t']:,.2f} t", str(order["advised_loads"])
    unit, decimals = next((unit, decimals) for unit, decimals in (("kg", 1), ("l", 1), ("m2", 0)) if unit in order)
    return f"{order[unit]:,.{decimals}f} {unit}", str(order["packs"])


def test_a_corner_moves_and_all_others_stay_bit_for_bit(ask):
    before = greens(ask)
    assert do(ask, NUDGE).status_code == 200
    after = greens(ask)
    moved = shapely.get_coordinates(before.geometry.to_numpy()) != shapely.get_coordinates(after.geometry.to_numpy())
    assert moved.any(axis=1).sum() == 1


def test_undo_and_redo_are_versions_of_their_own(ask):
    before = greens(ask)
    do(ask, NUDGE)
    after = greens(ask)
    assert do(ask, None, address="/api/undo").json()["redo"] is True
    assert greens(ask).geometry.geom_equals_exact(before.geometry, 0).all()
    assert do(ask, None, address="/api/redo").json()["undo"] is True
    assert greens(ask).geometry.geom_equals_exact(after.geometry, 0).all()
    assert told(ask)["version"] == {"course.gpkg": 3}


def test_a_stroke_on_what_changed_meanwhile_is_told_who_and_what(ask):
    seen = told(ask)["version"]
    do(ask, NUDGE)
    answer = do(ask, {"do": "gone", "areas": [GREEN]}, seen)
    assert answer.status_code == 409
    (line,) = answer.json()["changes"]
    assert "tester" in line
    assert "corner moved: green, hole 7" in line
    assert GREEN.split(" | ")[2] in greens(ask).index.astype(str)


def test_what_another_program_did_meanwhile_is_not_overwritten(ask):
    """Another program moves the green by 3 m, past the desk."""
    seen = told(ask)["version"]
    table = greens(ask)
    table.geometry = table.geometry.where(table.index != 7, table.geometry.translate(3, 0))
    theirs = table.geometry[7]
    with closing(sqlite3.connect(ask.desk.folder / "course.gpkg", isolation_level=None)) as file:
        head = file.execute("SELECT substr(geom, 1, 8) FROM greens WHERE fid = 7").fetchone()[0]
        plain = head[:3] + bytes([head[3] & 0b11110001]) + head[4:]  # without an envelope
        for (name,) in file.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'").fetchall():
            file.execute(f'DROP TRIGGER "{name}"')
        file.execute("UPDATE greens SET geom = ? WHERE fid = 7", (plain + shapely.to_wkb(theirs, flavor="iso"),))
    answer = do(ask, NUDGE, seen)
    assert answer.status_code == 409
    assert "another program" in answer.json()["changes"][0]
    assert greens(ask).geometry[7].equals_exact(theirs, 0)
    assert do(ask, NUDGE).status_code == 200


STROKES = [
    ({"do": "called", "area": GREEN, "surface": "green", "hole": "8", "name": "moved over"}, {"moved over"}),
    ({"do": "moved", "area": GREEN, "by_m": [1, 0]}, None),
    ({"do": "less_corner", "area": GREEN, "corner": [0, 0, 3]}, None),
    ({"do": "strip", "area": GREEN, "width": "1.5 m", "surface": "approach"}, None),
    ({"do": "strip", "area": GREEN, "width": "3 ft", "side": "inside", "surface": "approach"}, None),
    ({"do": "gone", "areas": [GREEN, "course.gpkg | greens | 8"]}, None),
    ({"do": "mend", "area": "course.gpkg | tees | 38"}, None),
    ({"do": "called", "area": GREEN, "surface": "tee", "hole": "7", "name": ""}, None),
    ({"do": "called", "area": "course.gpkg | rough | 1", "surface": "semi-rough", "hole": "", "name": ""}, None),
]


@pytest.mark.parametrize(("stroke", "names"), STROKES, ids=lambda one: one["do"] if isinstance(one, dict) else "")
def test_every_stroke_is_saved_and_can_be_taken_back(shared_ask, stroke, names):
    before = told(shared_ask)
    answer = do(shared_ask, stroke)
    assert answer.status_code == 200, answer.text
    assert names is None or names <= set(greens(shared_ask)["name"])
    changed = told(shared_ask)
    assert changed["areas"] != before["areas"]
    measured = open_course(shared_ask.desk.folder).measured  # the command reads what was saved
    keys = {row.rsplit(" | ", 1)[0] for row in measured.patches["source"]}
    assert "course.gpkg | greens" in keys
    do(shared_ask, None, address="/api/undo")
    assert sorted(told(shared_ask)["areas"], key=str) == sorted(before["areas"], key=str)


def test_parts_and_merging_keep_the_ground(ask):
    fairway = next(one for one in told(ask)["areas"] if one["id"] == "course.gpkg | fairways | 3")
    x = np.cumsum(np.array(fairway["parts"][0][0]).reshape(-1, 2), axis=0) * 1e-9
    middle, low, high = x.mean(axis=0), x.min(axis=0), x.max(axis=0)
    line = [[middle[0], low[1] - 1e-3], [middle[0], high[1] + 1e-3]]
    shape = gpd.read_file(ask.desk.folder / "course.gpkg", layer="fairways", fid_as_index=True).geometry[3]
    parted = do(ask, {"do": "parted", "area": fairway["id"], "points": line}).json()
    assert len(parted["in_hand"]) >= 2
    merged = do(ask, {"do": "merged", "areas": parted["in_hand"]})
    assert merged.status_code == 200, merged.text
    again = gpd.read_file(ask.desk.folder / "course.gpkg", layer="fairways", fid_as_index=True).geometry[3]
    assert again.area == pytest.approx(shape.area, rel=1e-9)


WRONG = [
    ({"do": "fly"}, "no stroke"),
    ({"do": "corner", "area": GREEN, "corner": [0, 0, -1], "by_m": [1, 1]}, "corner"),
    ({"do": "corner", "area": GREEN, "corner": [0, 0, 9999], "by_m": [1, 1]}, "no such corner"),
    ({"do": "corner", "area": GREEN, "corner": [0, 0, 3], "to": [1e9, 0]}, "to"),
    ({"do": "corner", "area": GREEN, "corner": [0, 0, 3], "to": [100, -80]}, "nowhere near"),
    ({"do": "corner", "area": "../../etc/passwd | x | 1", "corner": [0, 0, 3], "by_m": [1, 1]}, "no area"),
    ({"do": "gone", "areas": ["course.gpkg | greens | 999"]}, "no area"),
    ({"do": "gone", "areas": ["course.gpkg | greens | 7' OR '1'='1"]}, "no area"),
    ({"do": "gone", "areas": []}, "areas"),
    ({"do": "area", "points": [[-10.37, 53.15]], "surface": "green"}, "three corners"),
    ({"do": "area", "points": [[-10.37, 53.15]] * 5, "surface": "green"}, "outline"),
    ({"do": "area", "points": [[-10.37, 53.15], [-10.37, 53.151], [-10.371, 53.15]], "surface": "lawn"}, "no surface"),
    ({"do": "strip", "area": GREEN, "width": "wide", "surface": "approach"}, "wide"),
    ({"do": "strip", "area": GREEN, "width": "-1 m", "surface": "approach"}, "width"),
    ({"do": "parted", "area": GREEN, "points": [[-10.37, 53.15], [-10.371, 53.15]]}, "does not part"),
    ({"do": "merged", "areas": [GREEN, "course.gpkg | greens | 1"]}, "apart"),
    ({"do": "called", "area": "bunkers.geojson | bunkers | 3", "surface": "bunker"}, "not a GeoPackage"),
    ({"do": "called", "area": GREEN, "surface": "green", "hole": "7", "name": "x" * 500}, "name"),
    ([], "stroke"),
    ("corner", "stroke"),
    (None, "stroke"),
]


@pytest.mark.parametrize(("stroke", "said"), WRONG, ids=[str(at) for at in range(len(WRONG))])
@pytest.mark.parametrize("address", ["/api/change", "/api/preview"])
def test_what_cannot_be_done_is_said_and_nothing_is_changed(shared_ask, stroke, said, address):
    seen = told(shared_ask)["version"]
    answer = shared_ask.change(address, {"version": seen, "stroke": stroke})
    assert answer.status_code == 422
    assert said in answer.json()["error"] or "surface" in answer.json()["error"]
    assert shared_ask.desk.paper is None or shared_ask.desk.paper.version() == seen


@pytest.mark.parametrize(
    "body", [b"", b"{", b"[1]", b"\xff\xfe", b"[" * 100_000, b'{"stroke":' + b'"' + b"x" * 3_000_000 + b'"}', b"NaN"]
)
@pytest.mark.parametrize("address", ["/api/change", "/api/preview", "/api/undo", "/api/place"])
def test_what_is_no_json_is_refused(shared_ask, body, address):
    answer = shared_ask.client.post(address, content=body, headers={"x-desk-token": shared_ask.keys.token})
    assert answer.status_code == 422
    assert "nothing was done" in answer.json()["error"]


@pytest.mark.parametrize("version", [None, [], "3", {"course.gpkg": "1"}, {"course.gpkg": True}, {"a": 1.5}])
def test_a_change_says_what_it_has_seen(shared_ask, version):
    answer = shared_ask.change("/api/change", {"version": version, "stroke": NUDGE})
    assert answer.status_code == 422
    assert "version" in answer.json()["error"]


@pytest.mark.parametrize("address", ["/api/change", "/api/preview", "/api/preview/order", "/api/undo", "/api/redo"])
def test_nothing_is_changed_without_the_token(shared_ask, address):
    told_to = {"version": {"course.gpkg": 0}, "stroke": NUDGE}
    assert shared_ask.client.post(address, json=told_to).status_code == 403
    wrong = {"x-desk-token": shared_ask.keys.token[::-1]}
    assert shared_ask.client.post(address, json=told_to, headers=wrong).status_code == 403
    elsewhere = {"x-desk-token": shared_ask.keys.token, "origin": "http://elsewhere.example"}
    assert shared_ask.client.post(address, json=told_to, headers=elsewhere).status_code == 403


@pytest.mark.parametrize(
    "address", ["/ground/photo/0", "/ground/..%2F..%2Fetc/0", "/ground/relief/99", "/static/../app.py"]
)
def test_pictures_that_are_not_there(shared_ask, address):
    assert shared_ask.client.get(address).status_code == 404


def test_the_page_holds_no_text_of_a_layer_as_markup(ask):
    harm = '</script><img src=x onerror="window.harmed=1">'
    assert do(ask, {"do": "called", "area": GREEN, "surface": "green", "hole": "7", "name": harm}).status_code == 200
    page = ask.client.get("/draw").text
    assert "onerror" not in page
    assert 'style="' not in page
    answer = ask.client.get("/api/drawing")
    assert answer.headers["content-type"] == "application/json"
    assert answer.headers["x-content-type-options"] == "nosniff"


def test_killed_in_the_midst_of_saving_it_has_lost_no_more_than_the_stroke_in_hand(plain_course):
    """kill -9 while stroke after stroke is saved: all that was answered is there, and the desk opens anew."""
    start = [sys.executable, "-m", "turfgis", "desk", str(plain_course), "--no-browser", "--port", "0"]
    start[-1] = str(_free_port())
    running = subprocess.Popen(start, stdout=subprocess.PIPE, text=True)
    try:
        address = running.stdout.readline().split()[-1].strip()
        base, key = address.split("/?key=")
        with httpx2.Client(base_url=base, timeout=60, headers={"origin": base}, follow_redirects=True) as client:
            page = client.get("/draw", params={"key": key}).text
            token = page.split('data-token="')[1].split('"')[0]
            version = client.get("/api/drawing").json()["version"]
            answered = 0
            until = time.monotonic() + 60
            try:
                while time.monotonic() < until:
                    stroke = {**NUDGE, "by_m": [0.1, 0.0]}
                    answer = client.post(
                        "/api/change",
                        content=json.dumps({"stroke": stroke, "version": version}),
                        headers={"x-desk-token": token},
                    )
                    version = answer.json()["version"]
                    if not answered:
                        threading.Timer(0.7, os.kill, [running.pid, signal.SIGKILL]).start()
                    answered = version["course.gpkg"]
            except httpx2.HTTPError:
                pass
    finally:
        running.kill()
        running.wait()
    from turfgis.layers.versions import Store
    from turfgis.measure.stored import ground_m2

    store = Store.open(plain_course / "course.gpkg", ground_m2)
    assert answered > 0
    assert store.number in (answered, answered + 1)
    with closing(sqlite3.connect(plain_course / "course.gpkg")) as file:
        assert file.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
    last = store.history(most=1)[0].versions[0]
    assert last.shape_after.equals_exact(store.shapes("greens").set_index("feature").geometry[7], 0)
    assert len(open_course(plain_course).measured.patches) > 300


def _free_port():
    import socket

    with closing(socket.socket()) as listening:
        listening.bind(("127.0.0.1", 0))
        return listening.getsockname()[1]


def test_a_walk_is_proposed_as_the_area_that_was_gone_round(shared_ask):
    """A receiver's track round a square of 40 m: 1,600 m2, its last step left open."""
    from pyproj import Geod

    geod, place = Geod(ellps="WGS84"), (-10.3705, 53.1566)
    track = [place]
    for azimuth in (90, 0, 270, 180):
        for _ in range(8 if azimuth != 180 else 7):
            place = geod.fwd(*place, azimuth, 5.0)[:2]
            track.append(place)
    points = "".join(f'<trkpt lat="{y:.9f}" lon="{x:.9f}"/>' for x, y in track)
    gpx = f'<gpx version="1.1" xmlns="http://www.topografix.com/GPX/1/1"><trk><trkseg>{points}</trkseg></trk></gpx>'
    answer = shared_ask.client.post(
        "/api/walked?name=round.gpx", content=gpx, headers={"x-desk-token": shared_ask.keys.token}
    )
    assert answer.status_code == 200, answer.text
    longitude, latitude = np.array(answer.json()["points"]).T
    assert abs(geod.polygon_area_perimeter(longitude, latitude)[0]) == pytest.approx(1600, abs=1.0)


@pytest.mark.parametrize(
    ("name", "content"),
    [
        ("walk.exe", b"x"),
        ("../../walk", b"x"),
        ("walk.gpx", b"not a track"),
        ("walk.gpx", b"<gpx/>"),
        ("walk.geojson", b'{"type": "Point", "coordinates": [0, 0]}'),
        ("walk.geojson", b'{"type": "LineString", "coordinates": [[0, 0], [0.001, 0]]}'),
        ("walk.geojson", b'{"type": "Polygon", "coordinates": [[[0, 0], [0.001, 0], [0, 0.001], [0, 0]]]}'),
    ],
)
def test_a_walk_of_no_use_is_told_so(shared_ask, name, content):
    headers = {"x-desk-token": shared_ask.keys.token}
    answer = shared_ask.client.post("/api/walked", params={"name": name}, content=content, headers=headers)
    assert answer.status_code == 422
    assert "Traceback" not in answer.text


def test_versions_are_listed_and_gone_back_to(ask):
    before = greens(ask)
    for by_m in ([1, 0], [0, 1], [1, 1]):
        do(ask, {**NUDGE, "by_m": by_m})
    page = ask.client.get("/versions").text
    assert page.count("corner moved: green, hole 7") == 3
    assert "tester" in page
    asking_first = ask.client.get("/versions/back", params={"file": "course.gpkg", "number": 0}).text
    assert "These 3 changes of course.gpkg would be taken back" in asking_first
    assert told(ask)["version"] == {"course.gpkg": 3}
    form = {"file": "course.gpkg", "number": "0", "seen": "3"}
    assert ask.client.post("/versions/back", data=form).status_code == 403
    assert ask.client.post("/versions/back", params={"token": ask.keys.token}, data=form).status_code == 303
    assert greens(ask).geometry.geom_equals_exact(before.geometry, 0).all()
    assert "gone back" in ask.client.get("/versions").text
    assert do(ask, None, address="/api/undo").status_code == 200
    assert not greens(ask).geometry.geom_equals_exact(before.geometry, 0).all()


@pytest.mark.parametrize("form", [{}, {"file": "../x.gpkg", "number": "0"}, {"file": "course.gpkg", "number": "-1"}])
def test_versions_that_are_not_there(shared_ask, form):
    assert shared_ask.client.get("/versions/back", params=form).status_code == 422
    posted = shared_ask.client.post("/versions/back", params={"token": shared_ask.keys.token}, data=form)
    assert posted.status_code == 422


def test_a_file_copied_into_the_geopackage_can_be_drawn_on(ask):
    bunker = next(one for one in told(ask)["areas"] if one["id"].startswith("bunkers.geojson"))
    assert do(ask, {"do": "gone", "areas": [bunker["id"]]}).status_code == 422
    before = open_course(ask.desk.folder).measured.patches["net_m2"].sum()
    assert ask.change("/api/adopt", {"file": "../../elsewhere.geojson"}).status_code == 422
    answer = ask.change("/api/adopt", {"file": "bunkers.geojson"})
    assert answer.status_code == 200, answer.text
    assert open_course(ask.desk.folder).measured.patches["net_m2"].sum() == pytest.approx(before, rel=1e-12)
    now = told(ask)
    copied = [one["id"] for one in now["areas"] if one["surface"] == "bunker"]
    assert all(one.startswith("course.gpkg") for one in copied)
    assert do(ask, {"do": "gone", "areas": copied[:1]}).status_code == 200


def missed(ask, seen):
    return ask.change("/api/missed", {"version": seen["version"], "files": seen["files"]}).json()


def test_an_open_page_can_ask_what_was_done_meanwhile(ask):
    """Another window, then the settings: each is told once, and nothing before it happened."""
    seen = told(ask)
    assert ask.client.get("/api/version").json() == {"version": seen["version"], "files": seen["files"]}
    assert missed(ask, seen)["changes"] == []
    before = open_course(ask.desk.folder).measured.drawn
    do(ask, NUDGE)
    after = open_course(ask.desk.folder).measured.drawn
    now = missed(ask, seen)
    assert ask.client.get("/api/version").json() == {"version": now["version"], "files": now["files"]}
    areas = [
        table.loc[table["feature"] == "7"].query("layer == 'greens'").geometry.area.iloc[0] for table in (before, after)
    ]
    (line,) = now["changes"]
    assert line.startswith("greens 7: corner moved: green, hole 7, Green 7 (tester, ")
    assert line.endswith(f"{areas[0]:,.1f} m2 → {areas[1]:,.1f} m2")
    settings = ask.desk.folder / "course.toml"
    settings.write_text(settings.read_text(encoding="utf-8") + "# a remark\n", encoding="utf-8")
    assert missed(ask, now)["changes"] == ["course.toml was written anew"]


@pytest.mark.parametrize(
    "given", [{}, {"version": {}}, {"version": {}, "files": 3}, {"version": {}, "files": {"a": 1}}, {"version": 1}]
)
def test_what_was_missed_is_asked_for_with_what_the_page_knows(shared_ask, given):
    assert shared_ask.change("/api/missed", given).status_code == 422


def with_swapped_layer(folder):
    """A tee of 10 m x 10 m in the GeoPackage of the course, stored as northing, easting, and its entry."""
    x, y = shapely.get_coordinates(gpd.read_file(folder / "course.gpkg", layer="greens").geometry[0].centroid)[0]
    stored = gpd.GeoSeries([shapely.box(y + 60, x + 60, y + 70, x + 70)], crs="EPSG:2157")
    stored.to_frame("geometry").to_file(folder / "course.gpkg", layer="far_tee")
    settings = folder / "course.toml"
    entry = '\n[[layer]]\nfile = "course.gpkg"\nlayer = "far_tee"\nsurface = "tee"\nswap_axes = true\n'
    settings.write_text(settings.read_text(encoding="utf-8") + entry, encoding="utf-8")


def test_a_layer_with_swapped_axes_is_shown_and_not_written_to(ask):
    """Its coordinates would be stored the wrong way round; the page says why, and offers no copy of it."""
    with_swapped_layer(ask.desk.folder)
    drawing = told(ask)
    at = next(number for number, one in enumerate(drawing["layers"]) if one["layer"] == "far_tee")
    assert drawing["layers"][at]["saved"] is False
    assert "swap_axes" in drawing["layers"][at]["why"]
    (tee,) = (one["id"] for one in drawing["areas"] if one["layer"] == at)
    rows = ask.change("/api/preview", {"look": [tee]}).json()["rows"]
    assert next(row["now"] for row in rows if row["label"] == "Drawn") == "100.0 m2"
    before = gpd.read_file(ask.desk.folder / "course.gpkg", layer="far_tee").geometry[0]
    for stroke in ({"do": "moved", "area": tee, "by_m": [1, 1]}, {"do": "gone", "areas": [tee]}):
        answer = do(ask, stroke)
        assert answer.status_code == 422
        assert "swap_axes = true" in answer.json()["error"]
    assert gpd.read_file(ask.desk.folder / "course.gpkg", layer="far_tee").geometry[0].equals_exact(before, 0)
    page = ask.client.get("/draw").text
    assert "course.gpkg</strong> (far_tee). The settings say swap_axes = true" in page
    assert 'data-adopt="bunkers.geojson"' in page
    assert 'data-adopt="course.gpkg"' not in page


def test_strips_of_the_settings_are_told_as_the_course_measures_them(ask):
    """As many as `turfgis check` has of them, and they follow an edge that is moved."""
    measured = open_course(ask.desk.folder).measured
    made = measured.drawn.iloc[measured.by_hand :]
    first = ask.client.get("/api/strips").json()
    assert [one["surface"] for one in first["strips"]] == made["surface"].tolist()
    assert set(first["notes"]) == set(made["surface"])
    assert "1.0 m along the edge of green" in first["notes"]["collar"]
    at = made["layer"].tolist().index("greens")
    green = made["feature"].iloc[at].rpartition(" ")[2]
    ring = np.cumsum(np.array(first["strips"][at]["parts"][0][0]).reshape(-1, 2), axis=0) * 1e-9
    drawn = shapely.Polygon(
        ring, [np.cumsum(np.array(one).reshape(-1, 2), axis=0) * 1e-9 for one in first["strips"][at]["parts"][0][1:]]
    )
    there = gpd.GeoSeries([drawn], crs="EPSG:4326").to_crs(made.crs)[0]
    assert there.symmetric_difference(made.geometry.iloc[at]).area < 0.01
    do(ask, {"do": "moved", "area": f"course.gpkg | greens | {green}", "by_m": [4, 0]})
    assert ask.client.get("/api/strips").json()["strips"][at] != first["strips"][at]


def neighbours_in_a_row(ask):
    """A tee of 20 m x 10 m and another that shares its eastern side; their keys."""
    x, y = shapely.get_coordinates(greens(ask).geometry.iloc[0].centroid)[0]
    to_degrees = gpd.GeoSeries(
        [shapely.box(x + 60, y + 60, x + 80, y + 70), shapely.box(x + 80, y + 60, x + 90, y + 70)]
    )
    keys = []
    for shape in to_degrees.set_crs("EPSG:2157").to_crs("EPSG:4326"):
        stroke = {
            "do": "area",
            "points": shapely.get_coordinates(shape)[:-1].tolist(),
            "surface": "tee",
            "reach_m": 0.1,
        }
        keys += do(ask, stroke).json()["in_hand"]
    return keys


def test_a_moved_area_tells_that_it_leaves_its_neighbour(ask):
    _, second = neighbours_in_a_row(ask)
    stroke = {"do": "moved", "area": second, "by_m": [2, 0]}
    shown = ask.change("/api/preview", {"stroke": stroke}).json()
    answer = do(ask, stroke).json()
    assert answer["text"] == "One neighbour shared corners with it and stays where it is."
    assert answer["text"] in shown["findings"]
    assert [one["id"] for one in answer["areas"]] == [second]
    assert do(ask, {**stroke, "by_m": [1, 0]}).json()["text"] == ""


def test_shared_corners_go_along_with_a_moved_area(ask):
    """Plane geometry: 20 m x 10 m become 22 m x 10 m, and the border stays shared to the last bit."""
    first, second = neighbours_in_a_row(ask)
    answer = do(ask, {"do": "moved", "area": second, "by_m": [2, 0], "along": True}).json()
    assert answer["text"] == ""
    assert {one["id"] for one in answer["areas"]} == {first, second}
    tees = gpd.read_file(ask.desk.folder / "course.gpkg", layer="tees", fid_as_index=True).geometry
    left, right = (tees[int(key.split(" | ")[2])] for key in (first, second))
    assert left.area == pytest.approx(220, rel=1e-3)
    assert right.area == pytest.approx(100, rel=1e-3)
    assert left.intersection(right).area == 0
    assert len(set(left.exterior.coords) & set(right.exterior.coords)) == 2
