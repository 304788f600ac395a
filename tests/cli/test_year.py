"""The commands for a year: take-off and budget, as a table, CSV, JSON and Parquet; and calls that cannot be done."""

import csv
import io
import json

import pandas as pd
import pytest

MORE = """
[material.soap]
kind = "liquid"
pack = "1 l"
price = "12 EUR/l"
supplier = "=1+1"
cost_code = "@4050"
[labour]
wage = "20 EUR/h"
[budget]
taxes = { "value added tax" = "20 %" }
[[job]]
name = "cut"
group = "mowing"
work = "mow"
on = ["green"]
machine = "mower"
months = { 4 = 3, 5 = 4 }
[[job]]
name = "-wet"
group = "water"
work = "spray"
on = ["green"]
rate = "10 l/ha"
material = "soap"
dates = [2027-05-03, 2027-06-07]
[[job]]
name = "flags"
work = "purchase"
amount = "30 EUR"
count = 4
"""


@pytest.fixture
def planned(folder):
    """The small course with a programme."""
    path = folder / "course.toml"
    text = path.read_text(encoding="utf-8").replace("[[layer]]", "year = 2027\n[[layer]]", 1)
    path.write_text(text + MORE, encoding="utf-8")
    return folder


def test_budget_as_json_has_the_agreed_shape(turfgis, planned):
    answer = turfgis("budget", planned, "--format", "json").answer
    assert {"months", "by_surface", "by_material", "total", "total_u"} <= set(answer)
    assert [row["month"] for row in answer["months"]] == ["2027-04", "2027-05", "2027-06", None]
    for month in answer["months"]:
        assert sum(row["cost"] for row in month["rows"]) == pytest.approx(month["cost"], rel=1e-12)
    for name in ("months", "by_surface", "by_cost_code", "by_group", "by_job", "by_resource"):
        assert sum(row["cost"] for row in answer[name]) == pytest.approx(answer["total"], rel=1e-12), name
    materials = {row["material"]: row for row in answer["by_material"]}
    assert {"kg", "packs", "cost"} <= set(materials["sand"])
    assert {"kg", "packs", "cost"} <= set(materials["bent"])
    assert {"l", "packs", "cost"} <= set(materials["soap"])
    assert (materials["flags"]["count"], materials["flags"]["packs"]) == (4, None)
    assert materials["flags"]["cost"] == pytest.approx(144)  # 4 x 30 EUR, and a fifth
    lines = answer["lines"]
    parts = [lines[name] for name in ("needs", "rounding", "minimum", "delivery")]
    parts += [line["cost"] for line in (*lines["contingency"], *lines["taxes"])]
    assert sum(parts) == pytest.approx(answer["total"], rel=1e-12)
    assert [row["year"] for row in answer["years"]] == [2027, 2028, 2029]
    assert answer["unpriced"] == ["material bent", "machine mower"]


@pytest.mark.parametrize(
    ("by", "key"),
    [
        ("month", "month"),
        ("surface", "surface"),
        ("material", "material"),
        ("cost-code", "cost_code"),
        ("group", "group"),
        ("job", "job"),
        ("resource", "resource"),
    ],
)
def test_budget_by_each_view(by, key, turfgis, planned):
    total = turfgis("budget", planned, "--format", "json").answer["total"]
    said = turfgis("budget", planned, "--by", by, "--format", "csv")
    rows = list(csv.DictReader(io.StringIO(said.out)))
    assert key in rows[0]
    names = [row[key] for row in rows]
    assert len(set(names)) == len(names)
    assert not any(name.replace(".", "", 1).isdigit() for name in names), "money stands where the name belongs"
    spent = sum(float(value) for row in rows for column, value in row.items() if column not in (key, "cost", "u"))
    assert spent == pytest.approx(total, rel=1e-6)
    assert sum(float(row["cost"]) for row in rows) == pytest.approx(total, rel=1e-6)
    table = turfgis("budget", planned, "--by", by).out
    assert table.startswith("Budget 2027, in EUR\n")
    assert f"{total:,.2f}" in table
    assert all(len(line) <= 100 for line in table.splitlines())
    assert "No price, and so left out: material bent, machine mower." in table


def test_budget_in_us_units(turfgis, planned):
    assert "US ton" in turfgis("budget", planned, "--units", "us").out
    assert "US gal" in turfgis("budget", planned, "--units", "us").out


def test_takeoff_has_a_row_for_each_job_date_patch_and_resource(turfgis, planned):
    rows = turfgis("takeoff", planned, "--format", "json").answer
    assert {(row["job"], row["date"], row["patch"]) for row in rows if row["resource"] == "material"} >= {
        ("-wet", "2027-05-03", "green-01"),
        ("-wet", "2027-06-07", "green-02"),
        ("dress", None, "green-01"),
    }
    cut = [row for row in rows if row["job"] == "cut"]
    assert {(row["month"], row["times"], row["resource"]) for row in cut} == {
        ("2027-04", 3, "machine"),
        ("2027-05", 4, "machine"),
        ("2027-04", 3, "labour"),
        ("2027-05", 4, "labour"),
    }
    (flags,) = [row for row in rows if row["job"] == "flags"]
    assert (flags["patch"], flags["quantity"], flags["cost"]) == (None, 4, 120)


def test_takeoff_in_csv_is_no_formula(turfgis, planned):
    said = turfgis("takeoff", planned, "--per", "month", "--format", "csv").out
    rows = list(csv.DictReader(io.StringIO(said)))
    assert {row["cost_code"] for row in rows if row["material"] == "soap"} == {"'@4050"}
    assert {row["job"] for row in rows if row["material"] == "soap"} == {"'-wet"}


def test_takeoff_as_parquet_is_the_same_table(turfgis, planned, tmp_path):
    said = turfgis("takeoff", planned, "-o", tmp_path / "out" / "takeoff.parquet")
    assert (said.code, said.out) == (0, "")
    table = pd.read_parquet(tmp_path / "out" / "takeoff.parquet")
    rows = turfgis("takeoff", planned, "--format", "json").answer
    assert list(table.columns) == list(rows[0])
    assert table["quantity"].tolist() == pytest.approx([row["quantity"] for row in rows], rel=1e-12)
    assert table["date"].astype(object).where(table["date"].notna(), None).tolist() == [row["date"] for row in rows]


def test_takeoff_on_the_screen_is_one_line_for_each_job_and_resource(turfgis, planned):
    lines = turfgis("takeoff", planned).out.splitlines()
    assert [line.split()[0] for line in lines[2:8]] == ["dress", "sow", "cut", "cut", "-wet", "flags"]
    assert all(len(line) <= 110 for line in lines)


def test_parquet_cannot_be_printed(turfgis, planned):
    assert "-o takeoff.parquet" in turfgis("takeoff", planned, "--format", "parquet").message


def test_parquet_and_another_ending_do_not_agree(turfgis, planned, tmp_path):
    message = turfgis("takeoff", planned, "--format", "parquet", "-o", tmp_path / "a.csv").message
    assert "do not agree" in message
    assert not (tmp_path / "a.csv").exists()


def test_only_the_takeoff_writes_parquet(turfgis, planned, tmp_path):
    assert ".parquet" in turfgis("budget", planned, "-o", tmp_path / "a.parquet").message


@pytest.mark.parametrize("command", ["takeoff", "budget"])
def test_a_drawing_alone_has_no_programme(command, turfgis, folder):
    assert "turfgis start" in turfgis(command, folder / "areas.geojson").message


@pytest.mark.parametrize("command", ["takeoff", "budget"])
def test_a_day_that_does_not_exist(command, turfgis, planned, tmp_path):
    path = planned / "course.toml"
    path.write_text(path.read_text(encoding="utf-8").replace("2027-06-07", "2027-06-31"), encoding="utf-8")
    message = turfgis(command, planned, "--format", "csv", "-o", tmp_path / "a.csv").message
    line = path.read_text(encoding="utf-8").splitlines().index("dates = [2027-05-03, 2027-06-31]") + 1
    assert f"course.toml:{line}: job.4.dates: " in message
    assert "not a day that exists" in message
    assert not (tmp_path / "a.csv").exists(), "nothing half-written"


@pytest.mark.parametrize("command", ["takeoff", "budget"])
def test_settings_without_jobs(command, turfgis, folder):
    path = folder / "course.toml"
    path.write_text(path.read_text(encoding="utf-8").split("[material.sand]")[0], encoding="utf-8")
    said = turfgis(command, folder, "--format", "json")
    assert said.code == 0
    assert said.answer == [] if command == "takeoff" else said.answer["total"] == 0
    assert turfgis(command, folder).code == 0


def test_the_budget_names_its_caution(turfgis, planned):
    assert "Labels, local rules, licences" in " ".join(turfgis("budget", planned).out.split())
    assert json.loads(turfgis("budget", planned, "--format", "json").out)["note"].startswith("±")


@pytest.mark.parametrize(
    ("ending", "begins"), [("pdf", b"%PDF-"), ("html", b"<!DOCTYPE html>"), ("xlsx", b"PK\x03\x04")]
)
def test_budget_as_a_page(turfgis, planned, tmp_path, ending, begins):
    path = tmp_path / "made" / f"budget.{ending}"
    assert turfgis("budget", planned, "-o", path).code == 0
    assert path.read_bytes().startswith(begins)


def test_no_page_without_a_price(turfgis, folder, tmp_path):
    path = folder / "course.toml"
    path.write_text(path.read_text(encoding="utf-8").replace('price = "42 EUR/t"\n', ""), encoding="utf-8")
    said = turfgis("budget", folder, "-o", tmp_path / "made.pdf")
    assert said.code == 2
    assert "course.toml" in said.message
    assert not (tmp_path / "made.pdf").exists()
