"""
One round over two greens by hand, and the same minutes in the year, in the table of mowing, on the board and in hours.

Speeds and times are plain numbers of the checks, without a source.
"""

import math
from datetime import date

import pytest

from turfgis.estimates.actuals import estimate_actuals, job_rows
from turfgis.estimates.coefficients import propose_coefficients
from turfgis.estimates.due import day_due
from turfgis.estimates.hours import estimate_hours
from turfgis.estimates.mowing import estimate_mowing, mowers_of
from turfgis.estimates.rounds import carrier_of, with_driving
from turfgis.estimates.takeoff import estimate_year
from turfgis.layers.records import Record

# 20 m of yard; 100 m on a green of 10 m x 10 m; 100 m on, and 30 m higher, one of 20 m x 10 m
ROW = [("yard", None, 20.0, 10.0), ("green", "1", 10.0, 10.0), ("green", "2", 20.0, 10.0, 30.0)]
TABLES = """
[surface.yard]
over = ["rough"]
[machine.mower]
width = "1 m"
speed = "3.6 km/h"
efficiency = "50 %"
transport = "7.2 km/h"
set_up = "5 min"
on = ["green"]
[person.greenkeeper]
may = ["mower"]
[[job]]
name = "cut"
work = "mow"
on = ["green"]
machine = "mower"
dates = [2027-05-14]
"""
WAGE = '[labour]\nwage = "20 EUR/h"\n'
# a square metre takes 2 s at 1 m, 1 m/s and 50 %; once around 40 m and 60 m at 1 m/s
WORK = 100 * 2 + 40 + 200 * 2 + 60
# from edge to edge: straight to the first; 100 m across and 20 m up; home 210 m across and 20 m down, past the first
METRES = 100 + math.hypot(100, 20) + math.hypot(210, 20)
DRIVING = METRES / 2
SET_UP = 300


@pytest.fixture
def greens(course):
    def opening(tables="", *, wage=True, **machine):
        text = TABLES + tables + (WAGE if wage else "")
        for key, value in machine.items():
            line = next(line for line in text.splitlines() if line.startswith(f"{key} ="))
            text = text.replace(line, value)
        return course(text, ROW, head='year = 2027\naccuracy = "0 m"')

    return opening


def needed(opened):
    year = estimate_year(opened)
    return {need.resource: float(row.sum()) for need, row in zip(year.needs, year.quantity, strict=True)}


def test_the_engine_runs_while_driving_and_people_set_up_besides(greens):
    amounts = needed(greens())
    assert amounts["machine"] == pytest.approx(WORK + DRIVING, abs=0.1)
    assert amounts["labour"] == pytest.approx(WORK + DRIVING + SET_UP, abs=0.1)


def test_fuel_burns_as_long_as_the_engine_runs(greens):
    amounts = needed(greens(set_up='set_up = "5 min"\nfuel = "3.6 l/h"'))
    # 3.6 l in an hour are 1 ml in a second
    assert amounts["fuel"] == pytest.approx((WORK + DRIVING) * 1e-6, abs=1e-7)


@pytest.mark.parametrize(("speed", "way"), [("3.6 km/h", 12), ("18 km/h", 18)])
def test_a_machine_without_a_speed_between_patches_goes_as_fast_as_people_or_as_it_works(greens, speed, way):
    """In the year, in the table of mowing and on the board."""
    opened = greens(transport="", speed=f'speed = "{speed}"')
    work, driving = WORK / (float(speed.split()[0]) / 3.6), METRES / (way / 3.6)
    amounts = needed(opened)
    assert amounts["machine"] == pytest.approx(work + driving, abs=0.1)
    assert amounts["labour"] == pytest.approx(work + driving + SET_UP, abs=0.1)
    mowers = mowers_of(opened)
    carriers = {one.name: carrier_of(opened, one) for one in mowers}
    table, remarks = with_driving(opened, estimate_mowing(opened, mowers), carriers)
    assert table["minutes"].sum() * 60 == pytest.approx(work + driving + SET_UP, abs=0.1)
    assert any("add transport to [machine.mower]" in text for text in remarks)
    (task,) = day_due(opened, date(2027, 5, 14)).day.tasks
    assert task.minutes == {"mower": math.ceil((work + driving + SET_UP) / 60)}


def test_a_tank_that_lasts_for_one_green_is_filled_up_in_between(greens):
    # 10 ml a second, so 8 litres last 800 s: enough for the second green with its way, not for both greens
    amounts = needed(greens(set_up='set_up = "5 min"\nfuel = "36 l/h"\ntank = "8 l"\nrefuel = "4 min"'))
    driving = (100 + 100 + 2 * math.hypot(210, 20)) / 2
    assert amounts["machine"] == pytest.approx(WORK + driving, abs=0.1)
    assert amounts["labour"] == pytest.approx(WORK + driving + SET_UP + 240, abs=0.1)


@pytest.mark.parametrize("wage", [True, False])
def test_hours_of_people_are_the_same_with_wages_and_without(greens, wage):
    months = {one.month: one for one in estimate_hours(estimate_year(greens(wage=wage))).months}
    assert months["2027-05"].mowing == pytest.approx(WORK + DRIVING + SET_UP, abs=0.1)


def test_the_table_of_mowing_has_the_same_minutes(greens):
    opened = greens()
    mowers = mowers_of(opened)
    table, _ = with_driving(
        opened, estimate_mowing(opened, mowers), {one.name: carrier_of(opened, one) for one in mowers}
    )
    assert table["driving_m"].sum() == pytest.approx(METRES, abs=0.1)
    assert table["minutes"].sum() * 60 == pytest.approx(WORK + DRIVING + SET_UP, abs=0.1)


def test_the_board_has_the_same_minutes_once(greens):
    (task,) = day_due(greens(), date(2027, 5, 14)).day.tasks
    assert task.minutes == {"mower": math.ceil((WORK + DRIVING + SET_UP) / 60)}
    assert sum(stop.work["mower"] for stop in task.stops) * 60 == pytest.approx(WORK)


def test_the_efficiency_proposed_leaves_driving_out(greens):
    # the meter ran as long as 40 % in place of 50 % would have it
    metered = 300 / 0.4 + 100 + DRIVING
    letters = {"date": "A", "quantity": "B"}
    spent = Record("meter.csv", 2, letters, date(2027, 5, 14), "hours", metered, "s", machine="mower", job="cut")
    actuals = estimate_actuals(estimate_year(greens()), [spent])
    row = next(row for row in job_rows(actuals) if row["resource"] == "machine")
    assert row["planned"] == pytest.approx(WORK + DRIVING, abs=0.1)
    found = {one.name: one for one in propose_coefficients(actuals)}
    assert found["efficiency"].value == pytest.approx(0.4, abs=1e-4)
