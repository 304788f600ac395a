"""
Hours of the year by hand: days counted on a calendar, hours typed in.

May 2027 begins on a Saturday: 21 days from Monday to Friday. June begins on a Tuesday: 22.
"""

import pytest

from turfgis.errors import SettingsError
from turfgis.estimates.hours import HOUR, estimate_hours
from turfgis.estimates.takeoff import estimate_year
from turfgis.reports.hours import hours_json, hours_text, month_words, year_words

YEAR = "year = 2027\n"
WORK = """
[[job]]
name = "edge"
work = "edge"
on = ["green"]
length = "400 m"
speed = "100 m/h"
months = { 5 = 60, 6 = 2 }
"""
TEAM = """
[workday]
from = "06:00"
break_from = "10:00"
break_to = "10:30"
to = "14:30"
[person.deputy]
[person.helper]
half = "morning"
off = [2027-05-03, { from = 2027-06-07, to = 2027-06-11 }]
"""


def months(course, tables, head=YEAR):
    year = estimate_hours(estimate_year(course(tables, head=head)))
    return year, {one.month: one for one in year.months}


def test_hours_by_hand(course):
    year, by = months(course, TEAM + WORK)
    assert len(year.months) == 12
    # 21 days of 8 h, and 20 mornings of 4 h; 60 times 4 h of edging
    assert by["2027-05"].available == pytest.approx((21 * 8 + 20 * 4) * HOUR)
    assert by["2027-05"].needed == pytest.approx(240 * HOUR)
    assert by["2027-05"].short == 0
    # 22 days of 8 h, and 17 mornings
    assert by["2027-06"].available == pytest.approx((22 * 8 + 17 * 4) * HOUR)
    assert by["2027-06"].needed == pytest.approx(8 * HOUR)


def test_a_short_month_is_told_in_words(course):
    _, by = months(course, TEAM + WORK.replace("5 = 60", "5 = 80"))
    # 320 h needed, 248 h there; the deputy works 168 h in the month
    assert by["2027-05"].short == pytest.approx(72 * HOUR)
    assert month_words(by["2027-05"]) == "May: 72 h short of the 320 h needed, about half of one person."


def test_lost_hours_are_taken_off_what_is_there_and_paid_all_the_same(course):
    _, by = months(course, '[labour]\nwage = "20 EUR/h"\n' + TEAM.replace('"06:00"', '"06:00"\nlost = "25 %"') + WORK)
    assert by["2027-05"].available == pytest.approx(0.75 * 248 * HOUR)
    assert by["2027-05"].wages == pytest.approx(248 * 20)


MOWER = """
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
months = [5]
"""


@pytest.mark.parametrize("wage", ["", '[labour]\nwage = "20 EUR/h"\n'])
@pytest.mark.parametrize(("operators", "people"), [("", 1), ("operators = 2\n", 2), ("operators = 0\n", 0)])
def test_who_drives_is_counted_once(course, wage, operators, people):
    tables = wage + MOWER.replace('on = ["green"]\n[[job]]', f'on = ["green"]\n{operators}[[job]]')
    _, by = months(course, tables)
    # a hectare at 1 m and 2.5 km/h is 4 h; once around greens of 280 m and 320 m at 5 km/h is 0.12 h,
    # and the 50 m between them and back at 12 km/h take 30 s
    assert by["2027-05"].mowing == pytest.approx((4.12 * HOUR + 30) * people)
    assert by["2027-05"].other == 0


def test_without_people_or_a_year_it_is_said(course):
    year, _ = months(course, WORK)
    assert any("no people are described" in text for text in year.remarks)
    assert "240 h short of the 240 h needed." in hours_text(year)
    with pytest.raises(SettingsError, match="year = 2027"):
        estimate_hours(estimate_year(course(TEAM + WORK.replace("months = { 5 = 60, 6 = 2 }", ""))))


def test_work_at_no_particular_time_stands_by_itself(course):
    year, by = months(course, TEAM + WORK.replace("months = { 5 = 60, 6 = 2 }", "times = 3"))
    assert by[None].needed == pytest.approx(12 * HOUR)
    assert hours_json(year)["months"][-1]["words"] == "At no particular time: 12 h."
    assert "no month is short" in year_words(year)
