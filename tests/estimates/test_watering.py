"""
Water in the take-off and the budget: 1 ha of greens at 5 mm a day and no rain in June, at 0.5 EUR/m3.

Greens hold 20 mm of which 10 may be used, so that they are watered every second day: 15 times in June, 10 mm each, at
80 % 125 m3; 1,875 m3 in all.
"""

import numpy as np
import pytest

from turfgis.errors import SettingsError
from turfgis.estimates.budget import estimate_budget
from turfgis.estimates.takeoff import estimate_year
from turfgis.estimates.watering import water_by_month, water_plan_remarks

YEAR = 'year = 2027\naccuracy = "0 m"'
WATER = """
[water]
weather = "weather.csv"
price = "0.50 EUR/m3"
cost_code = "5070"
[water.surface.green]
coefficient = 1.0
root_depth = "200 mm"
available_water = "10 %"
depletion = "50 %"
uniformity = "80 %"
[[job]]
name = "watering"
work = "water"
on = ["green"]
"""


def june(year, depth):
    first = np.datetime64(f"{year}-06-01")
    return "".join(f"{first + at},{depth},0\n" for at in range(30))


@pytest.fixture
def watered(course):
    def opening(tables="", rows=None, change=("", "")):
        opened = course(WATER.replace(*change) + tables, head=YEAR)
        text = "date,et0_mm,rain_mm\n" + (june(2027, 5) if rows is None else rows)
        (opened.drawing.folder / "weather.csv").write_text(text, encoding="utf-8")
        return opened

    return opening


def test_water_is_a_resource_by_month_and_surface(watered):
    year = estimate_year(watered())
    table = year.table("month")
    water = table[table["resource"] == "water"]
    assert set(water["month"]) == {"2027-06"}
    assert set(water["unit"]) == {"m3"}
    assert set(water["cost_code"]) == {"5070"}
    assert water["times"].tolist() == pytest.approx([15, 15])
    assert water.groupby("patch", observed=True)["quantity"].sum().to_numpy() == pytest.approx([750, 1125])
    assert water_by_month(year) == {"2027-06": pytest.approx(1875)}


def test_water_is_paid_for(watered):
    budget = estimate_budget(estimate_year(watered()))
    assert budget.total == pytest.approx(1875 * 0.5)
    assert {row.name: row.resources["water"] for row in budget.by("surface")} == {"green": pytest.approx(937.5)}


def test_a_month_that_the_weather_lacks_goes_by_other_years(watered):
    """4 mm a day in 2025 is 120 mm in June, 6 mm in 2026 is 180: 150 mm, 15 waterings of 10."""
    quiet = "".join(f"{day},0,0\n" for day in np.arange("2025-07-01", "2026-06-01", dtype="datetime64[D]"))
    year = estimate_year(watered(rows=june(2025, 4) + quiet + june(2026, 6)))
    assert water_by_month(year)["2027-06"] == pytest.approx(1875, rel=0.07)  # what is due at the end of a month waits
    assert set(water_by_month(year)) == {"2027-06"}


def test_a_plan_by_hand(watered):
    """Eight times 5 mm in July: 8 x 62.5 m3, whatever the weather says."""
    change = ('on = ["green"]', 'on = ["green"]\ndepth = "5 mm ± 10 %"\nmonths = { 7 = 8 }')
    year = estimate_year(watered(change=change))
    assert water_by_month(year) == {"2027-07": pytest.approx(500)}
    assert year.table("year")["u_quantity"].to_numpy() == pytest.approx([20, 30])  # a tenth of 200 and 300 m3


def test_a_licence_that_the_programme_passes_is_told(watered):
    limit = '[water.limit.licence]\nmost = "1500 m3"\nper = "year"\nfrom = 2027-04-01\n'
    year = estimate_year(watered(limit))
    (said,) = water_plan_remarks(year)
    assert "takes 1,875 m3 between 2027-04-01 and 2028-03-31, but limit licence allows 1,500 m3" in said
    assert said in estimate_budget(year).remarks
    assert water_plan_remarks(estimate_year(watered(limit.replace("1500", "1900")))) == []


def test_without_a_price_there_is_no_cost(watered):
    year = estimate_year(watered(change=('price = "0.50 EUR/m3"\n', "")))
    assert np.isnan(year.table("year")["cost"].to_numpy(dtype=float)).all()
    assert "water water" in estimate_budget(year).unpriced


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (('on = ["green"]', 'on = ["green", "fairway"]'), r"there is no \[water.surface.fairway\]"),
        (('on = ["green"]', 'on = ["green"]\nmonths = [6]'), "says when, but not how much"),
        (('on = ["green"]', 'on = ["green"]\ndepth = "5 mm"'), "say when as well"),
        (('on = ["green"]', 'on = ["green"]\ncrew_hours = "2 h"'), "give depth and months"),
        (('weather = "weather.csv"\n', ""), "names no weather to go by"),
    ],
)
def test_what_is_refused(course, change, said):
    with pytest.raises(SettingsError, match=said):
        course(WATER.replace(*change), head=YEAR)


def test_splitting_a_patch_changes_no_total(course):
    totals = []
    for parts in ([("green", "1", 100.0, 100.0)], [("green", "1", 100.0, 37.0), ("green", "1", 100.0, 63.0)]):
        opened = course(WATER, rectangles=parts, head=YEAR)
        (opened.drawing.folder / "weather.csv").write_text("date,et0_mm,rain_mm\n" + june(2027, 5), encoding="utf-8")
        totals.append(estimate_budget(estimate_year(opened)).total)
    assert totals[0] == pytest.approx(totals[1], rel=1e-9)
