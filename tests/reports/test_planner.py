"""The planner's workbook, read back with openpyxl; the year is that of the committee's page, worked by hand there."""

import io
import re

import openpyxl
import pytest

from turfgis.estimates.takeoff import takeoff_of
from turfgis.reports.outputs import all_outputs
from turfgis.reports.planner import VIEWS, planner_workbook
from turfgis.reports.planner_rows import settings_rows
from turfgis.reports.worksheets import HEAD_ROW

HEADS = HEAD_ROW + 1  # openpyxl counts from one
TOTAL = 1612.80


@pytest.fixture
def data(plain_year, facts, tmp_path):
    year = plain_year()
    return planner_workbook(*year, facts, settings_text=(tmp_path / "course.toml").read_text(encoding="utf-8"))


@pytest.fixture
def book(data):
    return openpyxl.load_workbook(io.BytesIO(data), data_only=True)


def rows(sheet):
    """Rows below the heads, by heading."""
    heads = [str(cell.value).split("\n")[0] for cell in sheet[HEADS]]
    found = sheet.iter_rows(min_row=HEADS + 1, values_only=True)
    return [dict(zip(heads, row, strict=True)) for row in found]


def test_a_sheet_for_each_view(book):
    assert book.sheetnames == [
        *("About", "By month", "Months across", "By surface", "By cost code", "By material", "By group", "By job"),
        *("Materials", "Orders", "Deliveries", "Programme", "Take-off", "Sand", "Published", "Settings"),
    ]
    for sheet in book.worksheets[1:]:
        assert sheet.freeze_panes == f"B{HEADS + 1}", sheet.title


@pytest.mark.parametrize("name", [*VIEWS])
def test_every_view_adds_up_to_the_total(book, name):
    *parts, total = rows(book[name])
    assert sum(row["cost"] for row in parts) == pytest.approx(TOTAL)
    assert (total["cost"], total["±"]) == (pytest.approx(TOTAL), pytest.approx(1.96 * 122.88))


def test_rows_worked_by_hand(book):
    material = {row["material"]: row for row in rows(book["By material"])}
    assert (material["sand"]["materials"], material["sand"]["cost"]) == (pytest.approx(1024), pytest.approx(1228.8))
    assert material["labour"]["cost"] == pytest.approx(240)
    (sand, *_) = rows(book["Materials"])
    assert (sand["unit"], sand["needed"], sand["price of a unit"]) == ("t", pytest.approx(25.6), pytest.approx(40))
    across = {(row["cost code"], row["group"]): row for row in rows(book["Months across"])}
    sand_row = across["@4010", "spring"]
    assert (sand_row["2027-04"], sand_row["all"]) == (pytest.approx(614.4), pytest.approx(1228.8))
    assert across["total", None]["all"] == pytest.approx(TOTAL)
    assert [(row["month"], row["job"], row["times"]) for row in rows(book["Programme"])] == [
        *(("2027-04", "-dress", 1), ("2027-09", "-dress", 1), (None, "flags", 1)),
    ]


def test_every_delivery_has_its_day(plain_year, facts):
    # 4,000 m2 by 2 mm of 1.6 t/m3 are 12.8 t in April and again in September; 13 t fit into the bay
    year = plain_year({'supplier = "=1+1"': 'supplier = "=1+1"\nbay = "13 t"'})
    book = openpyxl.load_workbook(io.BytesIO(planner_workbook(*year, facts)), data_only=True)
    found = rows(book["Deliveries"])
    assert [(row["wanted"], row["supplier"]) for row in found] == [("2027-04-01", "=1+1"), ("2027-09-01", "=1+1")]
    assert [row["amount"] for row in found] == pytest.approx([13, 12.6])


def test_what_the_year_puts_on_the_ground(plain_year, facts):
    feed = """
[material.feed]
kind = "fertiliser"
analysis = { N = "10 %" }
[[job]]
name = "feed"
work = "fertilise"
on = ["green"]
rate = "30 kg/ha"
nutrient = "N"
material = "feed"
months = [4, 6]
[limit.little]
nutrient = "N"
on = ["green"]
most = "50 kg/ha"
"""
    book = openpyxl.load_workbook(io.BytesIO(planner_workbook(*plain_year(more=feed), facts)), data_only=True)
    nutrients = rows(book["Nutrients"])
    assert [(row["month"], row["of"]) for row in nutrients] == [("2027-04", "N"), ("2027-06", "N")]
    assert [row["running, net, kg/ha"] for row in nutrients] == pytest.approx([30, 60])
    assert [row["running, net, g/m2"] for row in nutrients] == pytest.approx([3, 6])
    # 43,560 ft2 to an acre of 4,046.86 m2 and 0.45359 kg to a pound: 1 lb/1000 ft2 is 48.82 kg/ha
    assert nutrients[1]["running, treated, lb/1000 ft2"] == pytest.approx(60 / 48.82, rel=1e-3)
    surface = [row for row in rows(book["Sand"]) if row["where it goes"] == "on the surface"]
    assert [row["running, treated"] for row in surface] == pytest.approx([2, 4])
    (limit,) = rows(book["Limits"])
    assert (limit["limit"], limit["highest"], limit["kept"]) == ("little", "60", "BROKEN")


def test_nothing_becomes_a_formula(data):
    for sheet in openpyxl.load_workbook(io.BytesIO(data)):
        for row in sheet.iter_rows():
            for cell in row:
                assert cell.hyperlink is None
                if cell.data_type == "f":
                    assert re.fullmatch(r"=SUBTOTAL\(109,[A-Z]+\d+(:[A-Z]+\d+)?\)", cell.value), cell.coordinate
    materials = rows(openpyxl.load_workbook(io.BytesIO(data))["Materials"])
    assert materials[0]["supplier"] == "=1+1"


def test_figures_have_formats(data):
    sheet = openpyxl.load_workbook(io.BytesIO(data))["By month"]
    cost = sheet.cell(HEADS + 1, [cell.value for cell in sheet[HEADS]].index("cost") + 1)
    assert (cost.data_type, cost.number_format) == ("n", "#,##0.00")


def test_published_ranges_stand_beside_the_figures(book):
    found = {(row["of"], row["figure"]): row for row in rows(book["Published"])}
    depth = found["-dress", "depth of one topdressing"]
    assert (depth["the club's"], depth["unit"], depth["remark"]) == (pytest.approx(2), "mm", None)
    assert depth["to"] == pytest.approx(25.4 * 3 / 8)  # three eighths of an inch, as the range says
    assert all(row["source"] for row in found.values())


def test_settings_are_listed_with_their_lines(book, tmp_path):
    lines = (tmp_path / "course.toml").read_text(encoding="utf-8").splitlines()
    found = {row["key"]: row for row in rows(book["Settings"])}
    price = found["material.sand.price"]
    assert (price["value"], price["note in the file"]) == ('"40 EUR/t"', "the offer of March")
    assert lines[price["line"] - 1].startswith("price = ")
    assert found["job.1.name"]["value"] == '"-dress"'
    assert len(found) == sum(" = " in line for line in lines)


def test_values_over_several_lines_and_hashes_in_quotes():
    text = 'a = [\n  "x#1", # one\n  "y",\n]\n# of b\nb = 2 # two\n[t]\n"c d" = 3\n'
    assert [(row["key"], row["value"], row["text"], row["line"]) for row in settings_rows(text)[1]] == [
        ("a", '[ "x#1", "y", ]', "one", 1),
        ("b", "2", "two", 6),
        ("t.c d", "3", "", 8),
    ]


BUDGET_FILES = {"budget_committee.pdf", "budget_committee.html", "budget_planner.xlsx", "budget.json"}


def test_among_the_reports(plain_course):
    course = plain_course()
    files = all_outputs(course, "metric", takeoff_of(course))
    assert set(files) >= BUDGET_FILES
    for name in BUDGET_FILES:
        assert isinstance(files[name], bytes)


def test_no_budget_without_a_price(plain_course):
    flags = 'name = "flags"\nwork = "purchase"\namount = "30 EUR"\ncount = 4\n'
    edge = 'name = "edges"\nwork = "edge"\non = ["green"]\nspeed = "500 m/h"\n'
    course = plain_course({'price = "40 EUR/t"': "", '[labour]\nwage = "20 EUR/h"\n': "", flags: edge})
    assert "takeoff.csv" in all_outputs(course, "metric", takeoff_of(course))
    assert not BUDGET_FILES & set(all_outputs(course, "metric", takeoff_of(course)))
