"""A course on two days: the ground of the survey that held on each, under the settings of today."""

import json
from datetime import date

import pytest

from turfgis.errors import SettingsError
from turfgis.estimates.change import estimate_change
from turfgis.estimates.course import open_course
from turfgis.estimates.dates import course_on

X, Y = 4_321_500.0, 3_210_500.0
SETTINGS = """
name = "Invented Links"
accuracy = "0 m"
[[layer]]
file = "today.geojson"
surface = "green"
surveyed = 2026-03-14
[[layer]]
file = "older.geojson"
role = "earlier"
surface = "green"
surveyed = 2019-04-02
[[layer]]
file = "fairway.geojson"
surface = "fairway"
[[job]]
name = "verti"
work = "contractor"
on = ["green", "fairway"]
price = "1000 EUR/ha"
"""


@pytest.fixture
def surveyed(tmp_path):
    """A green of 40 m x 100 m that was 44 m wide before, and a fairway that was surveyed once."""

    def opening(settings=SETTINGS):
        for name, east, width in (("today", 0, 40), ("older", 0, 44), ("fairway", 200, 50)):
            ring = [[0, 0], [width, 0], [width, 100], [0, 100], [0, 0]]
            shape = {"type": "Polygon", "coordinates": [[[X + east + x, Y + y] for x, y in ring]]}
            system = {"type": "name", "properties": {"name": "urn:ogc:def:crs:EPSG::3035"}}
            features = [{"type": "Feature", "properties": {}, "geometry": shape}]
            drawn = {"type": "FeatureCollection", "crs": system, "features": features}
            (tmp_path / f"{name}.geojson").write_text(json.dumps(drawn), encoding="utf-8")
        (tmp_path / "course.toml").write_text(settings, encoding="utf-8")
        return open_course(tmp_path)

    return opening


@pytest.mark.parametrize(
    ("day", "green"),
    [
        (date(2019, 4, 2), 4400),
        (date(2026, 3, 13), 4400),
        (date(2026, 3, 14), 4000),
        (date(2030, 1, 1), 4000),
    ],
)
def test_the_newest_survey_by_that_day_holds(surveyed, day, green):
    areas = course_on(surveyed(), day).measured.patches.groupby("surface")["net_m2"].sum()
    assert areas["green"] == pytest.approx(green, abs=1e-3)
    assert areas["fairway"] == pytest.approx(5000, abs=1e-3)


def test_the_difference_is_all_area(surveyed):
    # 400 m2 less at 1,000 EUR/ha
    course = surveyed()
    change = estimate_change(course_on(course, date(2020, 1, 1)), course_on(course, date(2027, 1, 1)))
    assert change.difference == change.parts["area"] == -4000


@pytest.mark.parametrize(
    ("settings", "day", "said"),
    [
        (SETTINGS, date(2018, 1, 1), r"no survey of green by 2018-01-01; the first is of 2019-04-02"),
        (SETTINGS.replace("surveyed = 2026-03-14\n", ""), date(2027, 1, 1), r"today.geojson \(green\) .* not say when"),
        (
            SETTINGS.replace('role = "earlier"\nsurface = "green"', 'surface = "tee"'),
            date(2027, 1, 1),
            r"one survey only",
        ),
    ],
)
def test_days_without_a_survey_are_one_message(surveyed, settings, day, said):
    with pytest.raises(SettingsError, match=said) as caught:
        course_on(surveyed(settings), day)
    assert "\n" not in str(caught.value)
