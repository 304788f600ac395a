"""Last year beside this one: in the budget as text and JSON, on the committee's page and in the planner's workbook."""

import io
import shutil

import openpyxl
import pytest

PRICED = """
[labour]
wage = "{wage} EUR/h"
[budget]
taxes = {{ "value added tax" = "20 %" }}
{last}
[[job]]
name = "rake"
work = "edge"
on = ["green"]
length = "900 m"
speed = "300 m/h"
times = 10
"""


@pytest.fixture
def years(folder):
    """Two folders beside one another: people cost 20 EUR an hour in 2026 and 22 in 2027."""
    old = folder.parent / "2026"
    shutil.copytree(folder, old)
    for where, year, wage, last in ((old, 2026, 20, ""), (folder, 2027, 22, 'last = "../2026"')):
        path = where / "course.toml"
        text = path.read_text(encoding="utf-8").replace("[[layer]]", f"year = {year}\n[[layer]]", 1)
        path.write_text(text + PRICED.format(wage=wage, last=last), encoding="utf-8")
    return old, folder


def test_the_settings_or_the_option_name_last_year(turfgis, years):
    old, new = years
    named = turfgis("budget", new, "--format", "json").answer
    assert turfgis("budget", new, "--last", old, "--format", "json").answer == named
    # 30 hours, dearer by 2 EUR, and a fifth of that in tax
    assert named["change"]["difference"] == 72
    assert named["change"]["parts"]["price"] == 60
    assert named["total"] - turfgis("budget", old, "--format", "json").answer["total"] == pytest.approx(72)
    assert "change" not in turfgis("budget", old, "--format", "json").answer
    text = turfgis("budget", new).out
    assert "since 2026" in text
    assert "prices and wages" in text


def test_the_pages_say_why(turfgis, years, tmp_path):
    _, new = years
    assert turfgis("budget", new, "-o", tmp_path / "year.html").code == 0
    page = (tmp_path / "year.html").read_text(encoding="utf-8")
    assert "Why it changed" in page
    assert "+72" in page
    assert turfgis("report", new, "-o", tmp_path / "out").code == 0
    assert (tmp_path / "out" / "change.json").exists()
    book = openpyxl.load_workbook(io.BytesIO((tmp_path / "out" / "budget_planner.xlsx").read_bytes()), data_only=True)
    cells = [row for row in book["Why it changed"].iter_rows(values_only=True) if row[0] == "rake"]
    assert cells[0][-1] == 60


def test_a_last_year_that_is_not_there_is_one_message(turfgis, years, tmp_path):
    old, new = years
    assert "no such file or folder" in turfgis("budget", new, "--last", tmp_path / "2025").message
    shutil.rmtree(old)
    assert "course.toml: budget.last: no such file or folder as ../2026" in turfgis("budget", new).message
    assert "budget.last" in turfgis("report", new).message


def test_a_last_year_without_jobs_or_in_other_money_is_one_message(turfgis, years):
    old, new = years
    assert "needs jobs" in turfgis("budget", new, "--last", old / "areas.geojson").message
    path = old / "course.toml"
    text = (
        path.read_text(encoding="utf-8").replace("EUR", "GBP").replace("year = 2026", 'year = 2026\ncurrency = "GBP"')
    )
    path.write_text(text, encoding="utf-8")
    assert "GBP" in turfgis("budget", new).message
