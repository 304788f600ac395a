"""What-ifs on the command line: one, several side by side, and calls that cannot be done."""

import csv
import io
import json

import openpyxl
import pytest

MORE = """
[labour]
wage = "20 EUR/h"
[[job]]
name = "walk"
work = "contractor"
on = ["fairway"]
price = "100 EUR/ha"
times = 10
"""
CASES = """
[case."=dear"]
labour.wage = "25 EUR/h"
material.sand.price = "50 EUR/t"

[case.grow]
let_grow = { file = "wild.geojson", of = "fairway" }

[case.less]
without = ["walk"]
"""


@pytest.fixture
def tried(folder):
    """The small course, a square of its fairway to let grow, and a file of cases."""
    path = folder / "course.toml"
    path.write_text(path.read_text(encoding="utf-8") + MORE, encoding="utf-8")
    ring = [[-29.9987, 40.0006], [-29.9984, 40.0006], [-29.9984, 40.0009], [-29.9987, 40.0009], [-29.9987, 40.0006]]
    shape = {"type": "Feature", "properties": {}, "geometry": {"type": "Polygon", "coordinates": [ring]}}
    wild = folder / "wild.geojson"
    wild.write_text(json.dumps({"type": "FeatureCollection", "features": [shape]}), encoding="utf-8")
    cases = folder / "cases.toml"
    cases.write_text(CASES, encoding="utf-8")
    return folder


def test_cases_side_by_side_say_the_same_in_every_shape(turfgis, tried, tmp_path):
    call = ("change", tried, "--cases", tried / "cases.toml")
    answer = turfgis(*call, "--format", "json").answer
    assert [case["name"] for case in answer["cases"]] == ["=dear", "grow", "less"]
    for case in answer["cases"]:
        parts = sum(case["parts"].values()) + sum(line["difference"] for line in case["lines"])
        assert parts == pytest.approx(case["difference"], abs=1e-9)
        assert case["total"] - answer["base"]["total"] == pytest.approx(case["difference"], abs=0.011)
    grow = answer["cases"][1]
    ground = {row["surface"]: row["difference_m2"] for row in grow["ground"]}
    assert ground["long-grass"] == pytest.approx(-ground["fairway"])
    # ten times 100 EUR/ha
    assert grow["parts"]["area"] == pytest.approx(ground["fairway"] * 0.1, abs=0.006)
    assert "not free of work" in grow["cautions"][0]

    rows = list(csv.DictReader(io.StringIO(turfgis(*call, "--format", "csv").out)))
    costs = {row["case"]: float(row["value"]) for row in rows if row["what"] == "cost of the year"}
    assert costs["grow"] == pytest.approx(grow["total"], abs=0.006)
    assert len({row["case"] for row in rows}) == 4

    text = turfgis(*call).out
    assert f"{grow['total']:,.2f}" in text
    assert max(map(len, text.splitlines())) <= 100

    assert turfgis(*call, "-o", tmp_path / "cases.xlsx").code == 0
    book = openpyxl.load_workbook(tmp_path / "cases.xlsx", data_only=False)
    sheet = book["Side by side"]
    heads = [cell.value for cell in sheet[4]]
    assert heads[3:] == ["as planned", "=dear", "grow", "less"]
    assert sheet.cell(5, 6).value == pytest.approx(grow["total"], abs=0.006)
    assert all(cell.data_type != "f" for row in sheet.iter_rows() for cell in row)


def test_one_what_if_is_the_same_as_its_case(turfgis, tried):
    case = turfgis("change", tried, "--cases", tried / "cases.toml", "--format", "json").answer["cases"][1]
    grown = ("--let-grow", tried / "wild.geojson", "--of", "fairway")
    alone = turfgis("change", tried, *grown, "--format", "json").answer
    for key in ("total", "difference", "difference_u", "parts", "hours", "ground", "lines"):
        assert alone[key] == case[key], key
    text = turfgis("change", tried, *grown).out
    assert "fairway, difference" in text
    assert "not free of work" in text
    less = turfgis("change", tried, "--without", "walk", "--format", "json").answer
    assert less["parts"]["dropped"] == less["difference"] < 0


def test_nothing_is_written_to_the_course(turfgis, tried):
    before = {path: path.read_bytes() for path in tried.iterdir()}
    turfgis("change", tried, "--cases", tried / "cases.toml")
    turfgis("change", tried, "--let-grow", f"{tried / 'wild.geojson'}", "--of", "fairway", "--set", "year=2027")
    assert {path: path.read_bytes() for path in tried.iterdir()} == before


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ((), "Name a second course, two days"),
        (("--of", "fairway"), "say more about --let-grow"),
        (("--cases", "cases.toml", "--without", "walk"), "leave out the other what-ifs"),
        (("--cases", "cases.toml", "--areas"), "leave --areas out"),
        (("--between", "2026-01-01", "2027-01-01"), "holds one survey only"),
        (("--between", "2026-01-01", "2027-01-01", "--without", "walk"), "leave NEW and what-ifs out"),
        (("--between", "2026-02-30", "2027-01-01"), "2026-02-30"),
        (("--cases", "none.toml"), "none.toml: no such file"),
        (("--let-grow", "wild.geojson"), "no rough of the course lies inside its areas"),
        (("--let-grow", "wild.geojson:north", "--of", "fairway"), "north"),
        (("--let-grow", "none.gpkg"), "none.gpkg"),
        (("--let-grow", "wild.geojson", "--of", "fairways"), "did you mean 'fairway'"),
        (("--set", "material.sand.price=4 EUR/l"), "--set material.sand.price"),
        (("--without", "walks"), "did you mean 'walk'"),
        (("--set", "labour.wage=3 EUR/h", "-o", "x.xlsx"), "does not write .xlsx files"),
    ],
)
def test_calls_that_cannot_be_done_are_one_message(turfgis, tried, words, said):
    turned = [str(tried / word) if (tried / word.split(":")[0]).exists() else word for word in words]
    done = turfgis("change", tried, *turned)
    assert done.code == 2
    assert said in done.err
    assert "Traceback" not in done.err


def test_a_course_without_settings_cannot_be_changed(turfgis, tried):
    assert "needs jobs" in turfgis("change", tried / "areas.geojson", "--without", "walk").message
