"""Limits that the club enters: broken and just kept, by year, month and application, on either area."""

import pytest

from turfgis.estimates.limits import check_limits, limit_remarks
from turfgis.estimates.takeoff import estimate_year

CLOSE = 1e-8
TWO = [("green", "1", 40.0, 100.0), ("green", "2", 60.0, 100.0), ("fairway", "1", 100.0, 50.0)]
FEED = '[material.feed]\nkind = "fertiliser"\nanalysis = { N = "50 %", K2O = "10 %" }\n'


def job(name, rate, more, on='["green"]'):
    """So much of the product, of which half is nitrogen."""
    words = f'name = "{name}"\nwork = "fertilise"\non = {on}\nmaterial = "feed"\nrate = "{rate}"\n'
    return f"[[job]]\n{words}{more}\n"


def limit(most, per="year", area="net", nutrient="N", on='["green"]'):
    words = f'nutrient = "{nutrient}"\non = {on}\nmost = "{most}"\n'
    return f'[limit.own]\n{words}per = "{per}"\narea = "{area}"\n'


@pytest.fixture
def year(course):
    def opening(*tables, head='accuracy = "0 m"\nyear = 2027'):
        return estimate_year(course("".join(tables), TWO, head))

    return opening


THREE = job("feed", "100 kg/ha", "months = { 3 = 1, 4 = 2 }")  # 3 x 50 kg/ha of nitrogen, 100 of it in April
BARELY = "149.999 kg/ha"


@pytest.mark.parametrize(
    ("most", "per", "broken"),
    [
        ("150 kg/ha", "year", False),
        (BARELY, "year", True),
        ("100 kg/ha", "month", False),
        ("99.999 kg/ha", "month", True),
        ("50 kg/ha", "application", False),
        ("49.999 kg/ha", "application", True),
        ("5 g/m2", "application", False),
        ("1.0240 lb/1000 ft2", "application", True),  # 50 kg/ha are 1.02408: the pound and the foot by definition
        ("1.0241 lb/1000 ft2", "application", False),
    ],
)
def test_just_kept_and_just_broken(most, per, broken, year):
    (check,) = check_limits(year(FEED, THREE, limit(most, per)))
    assert check.broken is broken
    assert check.over == (("green-01", "green-02") if broken else ())
    assert check.found * 1e4 == pytest.approx({"year": 150, "month": 100, "application": 50}[per], rel=CLOSE)


def test_when_it_is_highest(year):
    assert check_limits(year(FEED, THREE, limit("1 kg/ha", "year")))[0].when == "2027"
    assert check_limits(year(FEED, THREE, limit("1 kg/ha", "month")))[0].when == "2027-04"
    assert check_limits(year(FEED, THREE, limit("1 kg/ha", "application")))[0].when == "feed, 2027-03"


def test_thirty_small_feeds_keep_what_they_add_up_to(year):
    # 30 x 0.1 is a little more than 3 in floats
    feeds = job("feed", "0.2 kg/ha", 'every = "1 days"\nfrom = 2027-04-01\nto = 2027-04-30')
    (check,) = check_limits(year(FEED, feeds, limit("3 kg/ha", "month")))
    assert not check.broken
    (check,) = check_limits(year(FEED, feeds, limit("2.99 kg/ha", "month")))
    assert check.broken


def test_one_patch_breaks_it_where_the_mean_does_not(year):
    # 100 kg/ha on 0.4 ha, nothing on 0.6: a mean of 40
    (check,) = check_limits(year(FEED, job("feed", "200 kg/ha", 'holes = ["1"]'), limit("60 kg/ha")))
    assert (check.broken, check.over, check.patch) == (True, ("green-01",), "green-01")
    assert (check.found * 1e4, check.mean * 1e4) == pytest.approx((100, 40), rel=CLOSE)


@pytest.mark.parametrize(("area", "found", "broken"), [("net", 60, True), ("treated", 50, False)])
def test_the_area_decides(area, found, broken, year):
    # 50 kg/ha on the ground, and a fifth as much again past the edge
    tables = FEED, job("feed", "100 kg/ha", 'overthrow = "20 %"'), limit("55 kg/ha", area=area)
    (check,) = check_limits(year(*tables))
    assert check.found * 1e4 == pytest.approx(found, rel=CLOSE)
    assert check.broken is broken


def test_what_is_done_on_one_day_is_one_application(year):
    one, other = (job(name, "60 kg/ha", "dates = [2027-05-03]") for name in ("one", "other"))
    (check,) = check_limits(year(FEED, one, other, limit("50 kg/ha", "application")))
    assert (check.broken, check.when) == (True, "2027-05-03")
    assert check.found * 1e4 == pytest.approx(60, rel=CLOSE)
    apart = other.replace("05-03", "05-04")
    (check,) = check_limits(year(FEED, one, apart, limit("50 kg/ha", "application")))
    assert not check.broken


def test_each_surface_by_itself(year):
    tables = job("greens", "100 kg/ha", ""), job("fairways", "20 kg/ha", "", '["fairway"]')
    green, fairway = check_limits(year(FEED, *tables, limit("40 kg/ha", on='["green", "fairway"]')))
    assert (green.surface, green.broken, fairway.surface, fairway.broken) == ("green", True, "fairway", False)
    assert fairway.found * 1e4 == pytest.approx(10, rel=CLOSE)


def test_another_way_to_name_the_nutrient(year):
    # 10 kg/ha K2O hold 8.30 kg/ha K: 0.83, as handbooks print (from memory)
    tables = FEED, job("feed", "100 kg/ha", "")
    assert not check_limits(year(*tables, limit("8.31 kg/ha", nutrient="K")))[0].broken
    assert check_limits(year(*tables, limit("8.29 kg/ha", nutrient="K")))[0].broken


def test_a_limit_of_sand(year, words):
    tables = words.sand + words.dress + "months = { 5 = 2, 6 = 1 }\n"
    for per, most in (("year", 6), ("month", 4), ("application", 2)):
        (kept,) = check_limits(year(tables, limit(f"{most} mm", per, nutrient="sand")))
        (broken,) = check_limits(year(tables, limit(f"{most - 0.01} mm", per, nutrient="sand")))
        assert (kept.broken, broken.broken) == (False, True)
        assert kept.found * 1e3 == pytest.approx(most, rel=CLOSE)


def test_leaving_the_date_out_passes_no_yearly_limit(year):
    undated = job("some day", "100 kg/ha", "times = 2")
    (check,) = check_limits(year(FEED, undated, job("feed", "2 kg/ha", "months = [3]"), limit("100 kg/ha")))
    assert check.found * 1e4 == pytest.approx(101, rel=CLOSE)
    assert check.broken


def test_without_a_year_the_undated_count_in_every_year(year):
    undated = job("some day", "100 kg/ha", "")
    dated = job("feed", "20 kg/ha", 'months = ["2027-03", "2028-03", "2028-04"]')
    (check,) = check_limits(year(FEED, undated, dated, limit("65 kg/ha"), head='accuracy = "0 m"'))
    assert (check.when, check.broken) == ("2028", True)
    assert check.found * 1e4 == pytest.approx(70, rel=CLOSE)


def test_by_the_month_the_undated_are_held_against_it_alone(year):
    undated = job("some day", "100 kg/ha", "times = 3")
    tables = FEED, undated, job("feed", "20 kg/ha", "months = [3]")
    takeoff = year(*tables, limit("55 kg/ha", "month"))
    (check,) = check_limits(takeoff)
    assert (check.broken, check.when) == (False, "some day, no date")
    assert check.found * 1e4 == pytest.approx(50, rel=CLOSE)
    (remark,) = limit_remarks(takeoff)
    assert "some day has no month" in remark
    assert check_limits(year(*tables, limit("49 kg/ha", "month")))[0].broken


def test_a_limit_on_ground_that_is_not_there(year):
    takeoff = year(FEED, THREE, limit("10 kg/ha", on='["tee"]'))
    (check,) = check_limits(takeoff)
    assert (check.broken, check.patch, check.found) == (False, None, 0)
    assert limit_remarks(takeoff) == ["Limit own names tee, but the course has no such ground."]


def test_no_limit_nothing_to_check(year):
    takeoff = year(FEED, THREE)
    assert check_limits(takeoff) == ()
    assert limit_remarks(takeoff) == []
