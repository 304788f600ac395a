"""``turfgis water`` as a table, CSV, JSON and a page; bad files give one message each and the rest is still planned."""

import csv
import io
import json

import numpy as np
import pytest

MORE = """
[water]
weather = "weather.csv"
meter = "meter.csv"
[water.surface.green]
coefficient = "FAO-56 cool-season"
root_depth = "150 mm"
available_water = "12 %"
depletion = "40 %"
uniformity = "75 %"
[water.surface.fairway]
coefficient = 0.7
root_depth = "250 mm"
available_water = "12 %"
depletion = "50 %"
uniformity = "70 %"
most = "5 mm"
[water.supply]
tank = "60 m3"
floor = "10 m3"
refill = "1 m3/h"
[water.limit.licence]
most = "400 m3"
per = "year"
source = "licence of the made-up river, condition 2"
[water.limit.day]
most = "30 m3"
per = "day"
"""


def weather(count=40, row="11,22,60,90,3,20,0"):
    start = np.datetime64("2027-06-01")
    head = "date,tmin_c,tmax_c,rh_min_pct,rh_max_pct,wind_m_s,radiation_mj_m2,rain_mm"
    return "\n".join([head, *(f"{start + at},{row}" for at in range(count))]) + "\n"


@pytest.fixture
def dry(folder):
    path = folder / "course.toml"
    path.write_text(path.read_text(encoding="utf-8") + MORE, encoding="utf-8")
    (folder / "weather.csv").write_text(weather(), encoding="utf-8")
    (folder / "meter.csv").write_text("date,reading_m3\n2027-05-31,100\n2027-07-10,420\n", encoding="utf-8")
    return folder


def test_json_has_what_was_agreed(turfgis, dry):
    said = turfgis("water", dry, "--format", "json")
    assert said.code == 0, said.err
    answer = said.answer
    assert answer["day"] == "2027-07-10"
    row = answer["days"][0]
    assert {"surface", "date", "need_mm", "gross_m3", "applied_m3"} <= set(row)
    assert {row["surface"] for row in answer["days"]} == {"green", "fairway"}
    assert len(answer["days"]) == 2 * 47
    assert [one["name"] for one in answer["limits"]] == ["licence", "day"]
    licence = answer["limits"][0]
    assert (licence["limit_m3"], licence["used_m3"]) == (pytest.approx(400), pytest.approx(320))
    assert licence["date_passed"] == "2027-07-21"  # 8 m3 a day, 80 m3 left: full on the 20th, passed on the day after
    assert answer["first_short"]["surface"] == "fairway"
    assert any("override any plan" in one for one in answer["cautions"])
    assert any("FAO-56 cool-season" in one and "table 12" in one for one in answer["remarks"])


def test_csv_and_since(turfgis, dry):
    rows = list(csv.DictReader(io.StringIO(turfgis("water", dry, "--format", "csv", "--since", "2027-07-01").out)))
    assert rows[0]["date"] == "2027-07-01"
    assert len(rows) == 2 * 17
    assert float(rows[0]["et0_mm"]) > 3


@pytest.mark.parametrize(("units", "words"), [("metric", "m3"), ("us", "US gal")])
def test_the_table_of_a_manager(turfgis, dry, units, words):
    said = turfgis("water", dry, "--units", units)
    assert said.code == 0
    for text in (words, "First to go short: fairway", "at this rate it is passed on 21 July 2027", "override any plan"):
        assert " ".join(text.split()) in " ".join(said.out.split())
    assert all(len(line) <= 100 for line in said.out.splitlines())


def test_the_page(turfgis, dry, tmp_path):
    said = turfgis("water", dry, "-o", tmp_path / "water.pdf")
    assert (said.code, said.out) == (0, "")
    assert (tmp_path / "water.pdf").read_bytes().startswith(b"%PDF")
    first = (tmp_path / "water.pdf").read_bytes()
    turfgis("water", dry, "-o", tmp_path / "again.pdf")
    assert (tmp_path / "again.pdf").read_bytes() == first


def test_another_day_and_another_span(turfgis, dry):
    answer = turfgis("water", dry, "--day", "2027-06-20", "--ahead", "3", "--format", "json").answer
    assert (answer["day"], len(answer["nights"])) == ("2027-06-20", 3)
    assert {one["weather"] for one in answer["nights"]} == {"forecast"}


# a file, what stands in it, what is told of it
BAD = [
    ("weather.csv", weather().replace("2027-06-10,", "2027-06-09,"), "1 day has more than one row (2027-06-09)"),
    ("weather.csv", weather().replace("2027-06-10,11", "2027-06-10,45"), "cannot be right (2027-06-10)"),
    ("weather.csv", weather(row="52,72,60,90,3,20,0"), "looks like Fahrenheit"),
    ("meter.csv", "date,reading_m3\n2027-05-31,400\n2027-06-30,390\n2027-07-10,500\n", "390 after 400"),
    ("meter.csv", "date,reading_m3\n2027-05-31,many\n", "'many' is not a number"),
    ("meter.csv", None, "no such file"),
    ("weather.csv", None, "no such file"),
]


@pytest.mark.parametrize(("name", "text", "words"), BAD, ids=[words for *_, words in BAD])
def test_bad_files_are_told_and_the_rest_is_planned(turfgis, dry, name, text, words):
    if text is None:
        (dry / name).unlink()
    else:
        (dry / name).write_text(text, encoding="utf-8")
    said = turfgis("water", dry, "--format", "json")
    assert said.code == 0, said.err
    assert sum(words in line for line in said.err.splitlines()) >= 1
    assert "Traceback" not in said.err
    assert len(said.answer["limits"]) == 2
    assert any(words in one["text"] for one in said.answer["findings"])
    assert turfgis("water", dry).code == 0
    checked = turfgis("check", dry, "--format", "json").answer["findings"]
    assert any(words in one["text"] for one in checked)
    assert f"{name}: {name}" not in said.err


def test_calls_that_cannot_be_done(turfgis, dry, folder):
    assert "--day: 'soon' is not a day" in turfgis("water", dry, "--day", "soon").message
    assert "is what the course is read from" in turfgis("water", dry, "-o", dry / "weather.csv").message
    assert "begins on 2027-06-01, after 2027-01-01" in turfgis("water", dry, "--day", "2027-01-01").message
    path = folder / "course.toml"
    path.write_text(path.read_text(encoding="utf-8").split("[water]", maxsplit=1)[0], encoding="utf-8")
    assert "there is no [water]" in turfgis("water", folder).message


def test_the_report_writes_it(turfgis, dry, tmp_path):
    said = turfgis("report", dry, "-o", tmp_path / "outputs")
    assert said.code == 0, said.err
    assert {"water.pdf", "water.csv", "water.json"} <= {one.name for one in (tmp_path / "outputs").iterdir()}
    assert json.loads((tmp_path / "outputs" / "water.json").read_text())["day"] == "2027-07-10"
