"""When jobs are done. Repeated days are held against pandas, which counts them by offsets of its own."""

from datetime import date

import pandas as pd
import pytest

from turfgis.estimates.programme import occurrences, programme_remarks, programme_rows

JOB = """
[[job]]
name = "NAME"
work = "topdress"
on = ["green"]
depth = "2 mm"
material = "sand"
"""
YEAR = 'accuracy = "0 m"\nyear = 2027\nrounds = { 5 = 2600, 4 = 2100, 2028-01 = 90, 6 = 0 }'


@pytest.fixture
def job(course, words):
    """A job with these keys, and the settings it stands in."""

    def making(keys, tables=""):
        settings = course(words.sand + JOB + keys + tables, head=YEAR).settings
        return settings.job[0], settings

    return making


EVERY = {
    "days": ("10 days", "2027-04-01", "2027-09-30", pd.DateOffset(days=10)),
    "weeks, the last day counts": ("2 weeks", "2027-04-01", "2027-04-29", pd.DateOffset(days=14)),
    "months": ("1 month", "2027-01-15", "2027-12-14", pd.DateOffset(months=1)),
    "two months over a new year": ("2 months", "2027-11-05", "2028-05-05", pd.DateOffset(months=2)),
    "once, though there is no time for more": ("1 week", "2027-04-01", "2027-04-01", pd.DateOffset(days=7)),
}


@pytest.mark.parametrize(("every", "first", "last", "offset"), EVERY.values(), ids=list(EVERY))
def test_repeated_days_are_those_of_pandas(every, first, last, offset, job):
    theirs = [day.date() for day in pd.date_range(first, last, freq=offset)]
    for keys in (f"from = {first}\nto = {last}\n", f'season = "s"\n[season.s]\nfrom = {first}\nto = {last}\n'):
        found = occurrences(*job(f'every = "{every}"\n{keys}'))
        assert [one.day for one in found] == theirs
        assert [one.month for one in found] == [str(day)[:7] for day in theirs]
        assert {one.times for one in found} == {1}


def test_a_month_from_the_31st_is_the_last_day_of_shorter_months(job):
    found = occurrences(*job('every = "1 month"\nfrom = 2027-12-31\nto = 2028-05-31\n'))
    # pandas counts each from the first day: the month after 29 February is 31 March again; 2028 is a leap year
    theirs = [(pd.Timestamp("2027-12-31") + pd.DateOffset(months=count)).date() for count in range(6)]
    assert [one.day for one in found] == theirs
    assert theirs[2] == date(2028, 2, 29)


def test_days_come_in_order(job):
    found = occurrences(*job("dates = [2027-09-01, 2027-03-14]\n"))
    assert [(str(one.day), one.month, one.times) for one in found] == [
        ("2027-03-14", "2027-03", 1),
        ("2027-09-01", "2027-09", 1),
    ]


def test_months_and_how_often_in_each(job):
    found = occurrences(*job("months = { 9 = 2, 2026-12 = 1, 4 = 5, 5 = 0 }\n"))
    assert [(one.day, one.month, one.times) for one in found] == [
        (None, "2026-12", 1),
        (None, "2027-04", 5),
        (None, "2027-09", 2),
    ]


def test_at_no_particular_time(job):
    assert [(one.day, one.month, one.times) for one in occurrences(*job("times = 3\n"))] == [(None, None, 3)]
    assert [(one.day, one.month, one.times) for one in occurrences(*job(""))] == [(None, None, 1)]


def test_mix_goes_by_the_rounds_of_each_month(course, words):
    divots = '[[job]]\nname = "d"\nwork = "divot_mix"\non = ["green"]\nsand = "sand"\nmix_per_round = "0.3 l"\n'
    settings = course(words.sand + divots, head=YEAR).settings
    assert [(one.month, one.times) for one in occurrences(settings.job[0], settings)] == [
        ("2027-04", 2100),
        ("2027-05", 2600),
        ("2028-01", 90),
    ]
    settings = course(words.sand + divots + "months = [5, 6, 7]\n", head=YEAR).settings
    assert [(one.month, one.times) for one in occurrences(settings.job[0], settings)] == [("2027-05", 2600)]


def test_the_programme_as_a_table(course, words):
    jobs = [
        JOB.replace("NAME", name) + keys
        for name, keys in (("a", "months = [4]\n"), ("b", ""), ("c", "dates = [2027-04-09]\n"))
    ]
    settings = course(words.sand + "".join(jobs), head=YEAR).settings
    rows = programme_rows(settings)
    assert [(row["job"], row["date"], row["month"]) for row in rows] == [
        ("c", "2027-04-09", "2027-04"),
        ("a", None, "2027-04"),
        ("b", None, None),
    ]
    assert rows[0] | {"job": ""} == {
        "job": "",
        "group": "",
        "work": "topdress",
        "on": "green",
        "date": "2027-04-09",
        "month": "2027-04",
        "times": 1,
    }


def test_what_lies_outside_the_year_is_remarked():
    months = {"early": ["2026-12", "2027-01"], "dress": ["2027-03"], "undated": [None]}
    assert programme_remarks(2027, months) == ["Done outside 2027: early."]
    assert programme_remarks(2027, {"dress": ["2027-03"]}) == []
    assert programme_remarks(None, months) == []
