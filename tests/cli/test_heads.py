"""``turfgis water --heads`` and ``--night`` on a small course of our own, figures by hand."""

import csv
import io
import json
from math import pi

import openpyxl
import pytest

from tests.cli.conftest import SETTINGS

WATER = """
[[layer]]
file = "heads.geojson"
role = "heads"
name_from = "name"
level = "100 %"
[[catch]]
file = "cans.csv"
on = ["green"]
ran = "30 min"
[water]
weather = "weather.csv"
[water.surface.green]
coefficient = 0.8
root_depth = "100 mm"
available_water = "10 %"
depletion = "40 %"
uniformity = "80 %"
[water.supply]
tank = "30 m3"
floor = "10 m3"
refill = "2 m3/h"
pump = "20 m3/h"
from = "22:00"
to = "04:00"
[controller.west]
stations = 1
"""


HOSTILE = "<img src=x onerror=window.harmed=1>"


def head(name, east, north, **more):
    at = {"type": "Point", "coordinates": [round(-30 + east, 7), round(40 + north, 7)]}
    said = {"name": name, "throw_m": 10.0, "flow_m3_h": 6.0, "station": name, "controller": "west", "pressure_bar": 5.0}
    return {"type": "Feature", "properties": said | more, "geometry": at}


@pytest.fixture
def links(folder):
    heads = [head("one", 0.00015, 0.00015), head("two", 0.00115, 0.00015, controller=None)]
    (folder / "heads.geojson").write_text(json.dumps({"type": "FeatureCollection", "features": heads}))
    cans = [f"{-30 + 0.00105 + 0.00004 * k:.7f},{40 + 0.0001:.7f},{depth}" for k, depth in enumerate((3, 4, 5, 6))]
    (folder / "cans.csv").write_text("\n".join(["lon,lat,depth_mm", *cans]))
    days = [f"2027-06-{day:02d},10,24,0" for day in range(1, 21)]
    (folder / "weather.csv").write_text("\n".join(["date,tmin_c,tmax_c,rain_mm", *days]))
    (folder / "course.toml").write_text(SETTINGS + WATER, encoding="utf-8")
    return folder


def test_cover_by_patch(links, turfgis):
    rows = {row["patch"]: row for row in turfgis("water", links, "--heads", "--format", "json").answer}
    one, two = rows["green-01"], rows["green-02"]
    assert one["judged_by"] == "model"
    assert one["covered_m2"] == pytest.approx(pi * 100, rel=0.02)
    assert one["rate_mm_h"] == pytest.approx(6000 / one["net_m2"], rel=1e-6)
    assert (two["judged_by"], two["cans"]) == ("cans", 4)
    assert two["rate_mm_h"] == pytest.approx(4.5 / 0.5)
    assert two["low_quarter"] == pytest.approx(3 / 4.5)
    assert two["christiansen"] == pytest.approx(1 - 1 / 4.5)
    assert two["scheduling_coefficient"] == pytest.approx(1.5)


def test_a_night_by_the_minute(links, turfgis):
    night = turfgis("water", links, "--night", "2027-06-12", "--format", "json").answer
    if not night["schedule"]:  # the day before or after it is due
        night = turfgis("water", links, "--night", "2027-06-11", "--format", "json").answer
    rows = {row["station"]: row for row in night["schedule"]}
    assert night["begins"] == "22:00"
    assert night["ends"] == "04:00"
    area = {row["patch"]: row["net_m2"] for row in turfgis("water", links, "--heads", "--format", "json").answer}
    depth = night["asked_mm"]["green"]
    # by flow and area, and by what the cans caught in half an hour
    assert rows["one"]["minutes"] - depth * area["green-01"] / 6000 * 60 == pytest.approx(0.5, abs=0.5)
    assert rows["two"]["minutes"] - depth / 9.0 * 60 == pytest.approx(0.5, abs=0.5)
    assert rows["one"]["m3"] == pytest.approx(rows["one"]["minutes"] / 10)
    total = sum(row["m3"] for row in night["hours"])
    assert total == pytest.approx(night["m3"])
    assert night["hours"][-1]["level_m3"] <= 30.0
    assert min(row["lowest_m3"] for row in night["hours"]) >= 10.0
    assert night["cautions"]


def test_a_low_tank_leaves_stations_out_and_says_so(links, turfgis):
    text = (links / "course.toml").read_text(encoding="utf-8")
    (links / "course.toml").write_text(text.replace('refill = "2 m3/h"', 'refill = "0.5 m3/h"'), encoding="utf-8")
    for day in ("2027-06-11", "2027-06-12", "2027-06-13", "2027-06-14"):
        night = turfgis("water", links, "--night", day, "--level", "12 m3", "--format", "json").answer
        if night["asked_m3"]:
            break
    assert night["left"]
    assert "goes short first" in night["short"]
    assert night["m3"] <= 12 - 10 + 0.5 * 6 + 1e-6
    said = turfgis("water", links, "--night", day, "--level", "12 m3")
    assert "Green goes short first" in said.out
    assert "Licence conditions" in said.out


def test_csv_and_pdf(links, turfgis, tmp_path):
    rows = list(csv.DictReader(io.StringIO(turfgis("water", links, "--heads", "--format", "csv").out)))
    assert [row["patch"] for row in rows] == ["green-01", "green-02"]
    for words in (("--heads",), ("--night", "2027-06-12")):
        for units in ("metric", "us"):
            file = tmp_path / f"{units}{words[0]}.pdf"
            assert turfgis("water", links, *words, "--units", units, "-o", file).code == 0
            assert file.read_bytes().startswith(b"%PDF")


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (("--heads", "--night", "2027-06-12"), "one at a time"),
        (("--level", "20 m3"), "belongs to a night"),
        (("--night", "12 June"), "--night"),
        (("--night", "2028-06-12"), "days after the last weather"),
        (("--night", "2027-06-12", "--level", "31 m3"), "more than the tank holds"),
        (("--night", "2027-06-12", "--level", "20 l/min"), "--level"),
        (("--heads", "-o", "heads.geojson"), "does not write .geojson"),
    ],
)
def test_a_wrong_call_is_one_message(links, turfgis, words, message):
    assert message in turfgis("water", links, *words).message


def test_a_course_without_heads(folder, turfgis):
    assert "no layer of heads" in turfgis("water", folder, "--heads").message


def test_findings_about_heads_are_in_the_check(links, turfgis):
    heads = [head("one", 0.00015, 0.00015), head("dry", 0.00115, 0.00015, flow_m3_h=None), head("far", 0.05, 0.05)]
    (links / "heads.geojson").write_text(json.dumps({"type": "FeatureCollection", "features": heads}))
    said = turfgis("check", links, "--format", "json").answer["findings"]
    codes = {one["code"] for one in said}
    assert {"head_no_flow", "head_off_course"} <= codes
    assert "head dry" not in turfgis("water", links, "--heads").err
    assert "without a flow: dry" in turfgis("water", links, "--heads").err


def test_heads_that_cannot_be_read_stop_only_what_needs_them(links, turfgis):
    heads = [head("one", 0.00015, 0.00015, flow_m3_h="lots")]
    (links / "heads.geojson").write_text(json.dumps({"type": "FeatureCollection", "features": heads}))
    said = turfgis("check", links, "--format", "json")
    (found,) = [one for one in said.answer["findings"] if one["code"] == "heads_unusable"]
    assert said.code == 1
    assert (found["level"], found["file"]) == ("error", "heads.geojson")
    assert found["text"].startswith("the column 'flow_m3_h' holds 'lots'")
    assert "holds 'lots'" in turfgis("water", links, "--heads").message
    assert turfgis("water", links).code == 0
    assert turfgis("report", links, "-o", links.parent / "outputs").code == 0


def test_a_night_in_which_nothing_can_run_does_not_say_that_all_is_watered(links, turfgis):
    path = links / "course.toml"
    path.write_text(path.read_text(encoding="utf-8").replace('pump = "20 m3/h"', 'pump = "1 m3/h"'), encoding="utf-8")
    said = turfgis("water", links, "--night", "2027-06-12")
    assert said.code == 0
    assert "Nothing that is due can run." in said.out
    assert "Cannot run even alone (more than the pump delivers): one, two" in said.out
    assert "is watered" not in said.out


def test_the_report_writes_the_heads(links, turfgis, tmp_path):
    heads = [head("one", 0.00015, 0.00015), head(HOSTILE, 0.00115, 0.00015)]
    (links / "heads.geojson").write_text(json.dumps({"type": "FeatureCollection", "features": heads}))
    said = turfgis("report", links, "-o", tmp_path / "out")
    assert said.code == 0, said.err
    assert (tmp_path / "out" / "heads.pdf").read_bytes().startswith(b"%PDF")
    rows = {row["patch"]: row for row in turfgis("water", links, "--heads", "--format", "json").answer}
    sheet = openpyxl.load_workbook(tmp_path / "out" / "workbook.xlsx")["Heads"]
    cells = [[cell.value for cell in line] for line in sheet.iter_rows()]
    (line,) = [one for one in cells if one[0] == "green-01"]
    for place, key in ((3, "net_m2"), (4, "covered_m2"), (5, "missed_m2")):
        assert line[place] == pytest.approx(rows["green-01"][key])
    assert rows["green-01"]["judged_by"] in line
    page = (tmp_path / "out" / "map.html").read_text(encoding="utf-8")
    assert HOSTILE not in page
    assert "\\u003cimg src=x" in page
    assert '"label":"heads"' not in page.replace(" ", ""), "they are there once, with what they throw"


def test_a_map_and_a_report_without_readable_heads_are_written_all_the_same(links, turfgis, tmp_path):
    heads = [head("one", 0.00015, 0.00015, flow_m3_h="lots")]
    (links / "heads.geojson").write_text(json.dumps({"type": "FeatureCollection", "features": heads}))
    assert turfgis("map", links, "-o", tmp_path / "out").code == 0
    page = (tmp_path / "out" / "map.html").read_text(encoding="utf-8")
    assert '"heads":null' in page
    assert '"label":"heads"' in page.replace(" ", ""), "still as points"


def test_a_night_of_the_plan_begins_with_the_level_of_its_evening(links, turfgis):
    """Mass balance by hand: in the evening there is what there was, less what was let out, and 2.4 m3 that ran in."""
    text = (links / "course.toml").read_text(encoding="utf-8")
    (links / "course.toml").write_text(text.replace('refill = "2 m3/h"', 'refill = "0.1 m3/h"'), encoding="utf-8")
    plan = turfgis("water", links, "--format", "json").answer
    let = {}
    for row in plan["days"]:
        if row["date"] > plan["day"]:
            let[row["date"]] = let.get(row["date"], 0.0) + row["applied_m3"]
    level, low = 30.0, []
    for place, (day, gone) in enumerate(sorted(let.items())):
        night = turfgis("water", links, "--night", day, "--format", "json").answer
        assert night["level_m3"] == pytest.approx(level)
        assert night["level_from"] == ("by the plan since 2027-06-21" if place else "taken as full")
        low += [day] if level < 30 else []
        level = min(30.0, level - gone + 2.4)
    assert low, "the tank never was less than full: nothing was tried"
    night = turfgis("water", links, "--night", low[0], "--level", "20 m3", "--format", "json").answer
    assert (night["level_m3"], night["level_from"]) == (20.0, "as given")
    said = " ".join(turfgis("water", links, "--night", low[0]).out.split())
    assert "when the window begins, by the plan since 2027-06-21." in said


@pytest.mark.parametrize("command", ["areas", "check", "water", "places"])
def test_heads_and_places_of_which_none_is_drawn_yet_are_a_finding(links, turfgis, command):
    empty = json.dumps({"type": "FeatureCollection", "features": []})
    for name in ("heads", "places"):
        (links / f"{name}.geojson").write_text(empty)
    text = (links / "course.toml").read_text(encoding="utf-8")
    places = '[[layer]]\nfile = "places.geojson"\nrole = "places"\n[[catch]]'
    (links / "course.toml").write_text(text.replace("[[catch]]", places), encoding="utf-8")
    said = turfgis(command, links)
    assert said.code == 0, said.err
    found = [
        one for one in turfgis("check", links, "--format", "json").answer["findings"] if one["code"] == "layer_empty"
    ]
    assert sorted((one["file"], one["level"]) for one in found) == [
        ("heads.geojson", "warning"),
        ("places.geojson", "warning"),
    ]
    assert all("Draw some and save the layer" in one["text"] for one in found)


@pytest.mark.parametrize("asked", [("--heads",), ("--night", "2027-06-21")])
def test_an_empty_layer_of_heads_is_called_empty(links, turfgis, asked):
    """In the words of the finding, with file and layer: a layer there is, and 'add one' would send people astray."""
    said = turfgis("water", links, *asked)
    assert said.code == 0, said.err
    (links / "heads.geojson").write_text(json.dumps({"type": "FeatureCollection", "features": []}))
    (found,) = (
        one for one in turfgis("check", links, "--format", "json").answer["findings"] if one["code"] == "layer_empty"
    )
    empty = turfgis("water", links, *asked)
    assert empty.code == 2
    assert empty.message == f"turfgis: heads.geojson: {found['text']}"
    text = (links / "course.toml").read_text(encoding="utf-8")
    (links / "course.toml").write_text(
        text.replace('file = "heads.geojson"\n', 'file = "heads.geojson"\nlayer = "heads"\n')
    )
    assert turfgis("water", links, *asked).message == f"turfgis: heads.geojson, layer heads: {found['text']}"
