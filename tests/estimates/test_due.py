"""What is due on a day, by hand: dates, minutes of rectangles, and when the first players come."""

from datetime import date

import pytest

from turfgis.estimates.board import Stop, first_players, parts
from turfgis.estimates.due import day_due
from turfgis.settings.people import DayFile, Play

FRIDAY = date(2027, 5, 14)
TABLES = """
[machine.mower]
width = "1 m"
speed = "5 km/h"
efficiency = "50 %"
on = ["green"]
[[job]]
name = "cut"
work = "mow"
on = ["green"]
machine = "mower"
dates = [2027-05-14]
[[job]]
name = "edge"
work = "edge"
on = ["green"]
length = "300 m"
speed = "100 m/h"
months = { 5 = 4 }
[play]
first_tee = "07:30"
pace = 15
"""


def test_due_by_date_offered_by_month(course):
    opened = course(TABLES, head="year = 2027")
    due = day_due(opened, FRIDAY)
    assert {task.job for task in due.day.tasks} == {"cut"}
    # a hectare at 1 m and 2.5 km/h is 240 min; once around 280 m and 320 m at 5 km/h is 7.2 min
    work = sum(stop.work["mower"] for task in due.day.tasks for stop in task.stops)
    assert work == pytest.approx(247.2)
    ((job, times, minutes),) = ((offer.job, offer.times, offer.minutes) for offer in due.offers)
    assert (job, times, minutes) == ("edge", 4, 180)
    assert {task.job for task in day_due(opened, FRIDAY, DayFile(also=["edge"])).day.tasks} == {"cut", "edge"}
    assert not day_due(opened, FRIDAY, DayFile(leave=["cut"])).day.tasks
    assert not day_due(opened, date(2027, 5, 15)).day.tasks


def test_a_start_is_early_enough_for_every_green(course):
    due = day_due(course(TABLES, head="year = 2027"), FRIDAY)
    for task in due.day.tasks:
        clock = task.latest["mower"]
        for stop in task.stops:
            clock += stop.work["mower"]
            assert stop.due is not None
            assert clock <= stop.due + 1


@pytest.mark.parametrize(
    ("starts", "hole", "minutes"),
    [([1], "1", 450), ([1], "18", 450 + 17 * 15), ([1, 10], "10", 450), ([1, 10], "9", 570), ([10], "1", 450 + 9 * 15)],
)
def test_when_the_first_players_come(starts, hole, minutes):
    assert first_players(Play(first_tee="07:30", pace=15, starts=starts), hole) == minutes


def test_runs_keep_order_and_lose_nothing():
    stops = [Stop(f"green-{hole}", str(hole), "green", {"": 25.0}) for hole in range(1, 19)]
    runs = parts(stops, "", 120, starts=["1", "10"])
    assert [stop for run in runs for stop in run] == stops
    assert "10" in {run[0].hole for run in runs}
    assert max(sum(stop.work[""] for stop in run) for run in runs) <= 150
