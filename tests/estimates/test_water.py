"""
Water of a course that a pencil can follow: 1 ha of greens and half a hectare of fairway, 5 mm a day and no rain.

Greens have 20 mm of water of which 10 may be used, at a coefficient of 1: watered every second evening with 10 mm,
which at 80 % takes 125 m3. Fairways have 40 and 20 mm at 0.6: 3 mm a day, due after seven, 21 mm, 131.25 m3.
"""

from datetime import date

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from turfgis.errors import SettingsError
from turfgis.estimates.course import open_course
from turfgis.estimates.water import estimate_water
from turfgis.reports.water import water_text

WATER = """
[water]
weather = "weather.csv"
[water.surface.green]
coefficient = 1.0
root_depth = "200 mm"
available_water = "10 %"
depletion = "50 %"
uniformity = "80 %"
[water.surface.fairway]
coefficient = 0.6
root_depth = "400 mm"
available_water = "10 %"
depletion = "50 %"
uniformity = "80 %"
"""


def days_from(first, count, row="5,0"):
    start = np.datetime64(first)
    return "\n".join(["date,et0_mm,rain_mm", *(f"{start + at},{row}" for at in range(count))]) + "\n"


@pytest.fixture
def watered(course):
    """Open the course with these settings and files."""

    def opening(tables="", rows=None, **files):
        opened = course(WATER + tables)
        files["weather"] = days_from("2027-07-01", 10) if rows is None else rows
        for name, text in files.items():
            (opened.drawing.folder / f"{name}.csv").write_text(text, encoding="utf-8")
        return opened

    return opening


def of(water, surface, column, plan):
    days = water.days
    return days[(days["surface"] == surface) & (days["plan"].astype(bool) == plan)][column].to_numpy(dtype=float)


def test_by_hand(watered):
    water = estimate_water(watered())
    assert water.day == date(2027, 7, 10)
    assert [(one.surface, one.net_m2) for one in water.surfaces] == [
        ("green", pytest.approx(10_000)),
        ("fairway", pytest.approx(5_000)),
    ]
    assert of(water, "green", "need_mm", False) == pytest.approx([0, 10] * 5)
    assert of(water, "green", "gross_m3", False) == pytest.approx([0, 125] * 5)
    assert of(water, "fairway", "gross_m3", False) == pytest.approx([0] * 6 + [131.25] + [0] * 3)
    assert of(water, "green", "need_mm", True) == pytest.approx([0, 10, 0, 10, 0, 10, 0])
    assert any("nothing is foretold" in note for note in water.notes)
    assert water.given_back("fairway") == (pytest.approx(6.25), pytest.approx(6.25 / water.rate_m3))


def test_the_forecast_comes_before_what_is_supposed(watered):
    foretold = days_from("2027-07-11", 2, "5,40")
    water = estimate_water(_with(watered(forecast=foretold), 'forecast = "forecast.csv"'))
    assert water.weather[-7:].tolist() == ["forecast"] * 2 + ["supposed"] * 5
    assert of(water, "green", "rain_mm", True).tolist() == [40, 40, 0, 0, 0, 0, 0]


def test_a_day_in_the_file_makes_the_rest_a_forecast(watered):
    water = estimate_water(watered(), date(2027, 7, 6), 4)
    assert water.weather[-4:].tolist() == ["forecast"] * 4
    assert water.planned.sum() == 4


def test_the_log_takes_the_place_of_the_plan(watered):
    """10 mm let out on greens is 8 at the roots at 80 %; what is logged of ground that is not watered is told."""
    log = "date,surface,depth_mm,volume_m3\n2027-07-02,green,10,\n2027-07-03,fairway,,50\n2027-07-03,rough,5,\n"
    water = estimate_water(_with(watered(log=log), 'log = "log.csv"'))
    assert of(water, "green", "applied_mm", False)[:3] == pytest.approx([0, 8, 0])
    assert of(water, "green", "applied_m3", False)[1] == pytest.approx(100)
    assert of(water, "fairway", "applied_m3", False)[2] == pytest.approx(50)
    assert not of(water, "green", "applied_m3", False)[3:].any()
    assert [one.code for one in water.findings] == ["log_unknown"]


def _with(opened, line):
    path = opened.path
    path.write_text(path.read_text().replace("[water]\n", f"[water]\n{line}\n", 1), encoding="utf-8")
    return open_course(path.parent)


LIMITS = """
[water.supply]
pump = "20 m3/h"
from = "21:00"
to = "05:00"
[water.limit.hour]
most = "15 m3"
per = "hour"
[water.limit.day]
most = "120 m3"
per = "day"
[water.limit.licence]
most = "900 m3"
per = "year"
"""


def test_limits_hold_and_the_last_in_line_goes_short(watered):
    """Of 125 m3 due on the second evening, the day's limit gives 120; fairways, due on the 14th, get nothing then."""
    water = estimate_water(watered(LIMITS))
    hour, day, licence = water.limits
    assert (hour.used_m3, hour.date_passed) == (pytest.approx(20), date(2027, 7, 12))
    assert day.used_m3 == pytest.approx(125 + 131.25)  # both are due on the 14th
    assert day.date_passed == date(2027, 7, 12)
    assert licence.used_m3 == pytest.approx(5 * 125 + 131.25)
    plan = water.days[water.days["plan"].astype(bool)]
    assert plan.groupby("date")["applied_m3"].sum().max() <= 120 + 1e-9
    # 143.75 m3 are left in the year
    assert plan["applied_m3"].sum() == pytest.approx(143.75)
    assert set(water.short["surface"]) == {"green", "fairway"}


def test_the_rate_says_when_a_limit_is_passed(watered):
    """756.25 m3 in ten days; 143.75 m3 are left, which is 1.9 days: passed on the second day."""
    licence = estimate_water(watered(LIMITS)).limits[2]
    assert licence.date_passed == date(2027, 7, 12)
    lasting = estimate_water(watered(LIMITS.replace("900 m3", "90000 m3"))).limits[2]
    assert lasting.date_passed is None


def test_what_is_passed_already(watered):
    """125 m3 every second evening: 300 are passed by the evening of the 6th."""
    licence = estimate_water(watered(LIMITS.replace("900 m3", "300 m3"))).limits[2]
    assert licence.broken
    assert licence.date_passed == date(2027, 7, 6)


def test_the_meter_comes_before_the_reckoning(watered):
    meter = "date,reading_m3\n2027-06-30,5000\n2027-07-08,5400\n"
    water = estimate_water(_with(watered(LIMITS, meter=meter), 'meter = "meter.csv"'))
    licence = water.limits[2]
    # 400 by the meter, and 125 reckoned on the 10th, after its last reading
    assert licence.used_m3 == pytest.approx(525)
    assert licence.basis == "meter to 2027-07-08, then reckoned"
    assert water.rate_m3 == pytest.approx(50)


def test_a_tank_holds_the_plan_back(watered):
    """A tank of 100 m3 with 20 to stay and nothing running in: 80 m3 on the first evening due, then none."""
    water = estimate_water(watered('[water.supply]\ntank = "100 m3"\nfloor = "20 m3"\n'))
    assert of(water, "green", "applied_m3", True).sum() == pytest.approx(80)
    tiny = estimate_water(watered('[water.supply]\ntank = "1 m3"\n'))  # smaller than any need: the rest is planned
    assert tiny.short["surface"].tolist()[0] == "green"
    assert of(tiny, "green", "applied_m3", True).sum() == pytest.approx(1)


def test_a_limit_at_the_source_of_a_tank_goes_by_what_runs_in(watered):
    tables = '[water.supply]\ntank = "900 m3"\nrefill = "5 m3/h"\n[water.limit.hour]\nmost = "4 m3"\nper = "hour"\n'
    (hour,) = estimate_water(watered(tables)).limits
    assert hour.used_m3 == pytest.approx(5)
    assert hour.date_passed == date(2027, 7, 12)


def test_weather_that_cannot_be_used_leaves_the_limits(watered):
    water = estimate_water(watered(LIMITS, rows="date,tmin_c,tmax_c\n2027-07-01,,\n"))
    assert [one.code for one in water.findings] == ["weather_unusable"]
    assert not len(water.days)
    assert [one.limit_m3 for one in water.limits] == pytest.approx([15, 120, 900])


def test_what_is_refused(course, watered):
    with pytest.raises(SettingsError, match=r"there is no \[water\]"):
        estimate_water(course())
    with pytest.raises(SettingsError, match="no watered surface is there"):
        estimate_water(course(WATER.split("[water.surface.fairway]", 1)[0], rectangles=[("tee", "1", 10.0, 10.0)]))
    with pytest.raises(SettingsError, match="begins on 2027-07-01, after 2027-06-01"):
        estimate_water(watered(), date(2027, 6, 1))


def test_only_these_holes(watered):
    opened = watered()
    path = opened.path
    path.write_text(path.read_text().replace('uniformity = "80 %"', 'uniformity = "80 %"\nholes = [1]', 1))
    assert estimate_water(open_course(path.parent)).surfaces[0].net_m2 == pytest.approx(4_000)


@given(cut=st.floats(0.05, 0.95))
@settings(max_examples=8, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_splitting_a_patch_changes_no_total(course, cut):
    """One fairway, or the same ground in two patches: the same water in all."""
    rows, totals = days_from("2027-07-01", 10), []
    for parts in ([("fairway", "1", 100.0, 50.0)], [("fairway", "1", 100.0, 50.0 * one) for one in (cut, 1 - cut)]):
        opened = course(WATER, rectangles=parts)
        (opened.drawing.folder / "weather.csv").write_text(rows, encoding="utf-8")
        totals.append(estimate_water(opened).days[["gross_m3", "applied_m3"]].sum().to_numpy())
    assert totals[1] == pytest.approx(totals[0], rel=1e-6)


def test_priority_says_who_is_first(watered):
    line = 'priority = ["fairway", "green"]'
    water = estimate_water(_with(watered(LIMITS), line))
    assert [one.surface for one in water.surfaces] == ["fairway", "green"]


def test_a_coefficient_outside_the_published_ones_is_remarked_on(watered):
    """Greens at 1.0, where published ones of turf reach from 0.6 to 0.95; nothing is changed by it."""
    assert any("0.6 to 0.95: green 1. They may be right" in note for note in estimate_water(watered()).notes)


def test_a_meter_and_a_licence_are_enough(course):
    """Nothing is known of the turf, but 400 m3 of 900 in eight days, 50 a day: passed on the eleventh day from now."""
    tables = '[water]\nmeter = "meter.csv"\n[water.limit.licence]\nmost = "900 m3"\nper = "year"\n'
    opened = course(tables)
    text = "date,reading_m3\n2027-06-30,5000\n2027-07-08,5400\n"
    (opened.drawing.folder / "meter.csv").write_text(text, encoding="utf-8")
    water = estimate_water(opened)
    (licence,) = water.limits
    assert (water.day, len(water.days)) == (date(2027, 7, 8), 0)
    assert (licence.used_m3, licence.date_passed) == (pytest.approx(400), date(2027, 7, 19))
    assert opened.water is not None
    assert "400 of 900 m3 a year are used" in water_text(water)
