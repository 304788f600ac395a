"""``[water]``: what can be read, and what is refused with what would be accepted."""

from datetime import date

import pytest

from turfgis.errors import InputError, SettingsError
from turfgis.settings.water import Supply, WaterLimit, read_coefficient

COURSE = """\
name = "A course"
[[layer]]
file = "greens.gpkg"
surface = "green"
[water]
weather = "weather.csv"
wind_at = "10 m"
price = "0.85 EUR/m3"
[water.surface.green]
coefficient = "FAO-56 cool-season"
root_depth = "150 mm"
available_water = "12 %"
depletion = "40 %"
uniformity = "75 %"
rain = "80 %"
[water.supply]
tank = "400 m3"
floor = "60 m3"
refill = "8 m3/h"
pump = "36 m3/h"
from = "21:30"
to = "05:00"
[water.limit.licence]
most = "9000 m3"
per = "year"
from = 2027-04-01
"""


def test_figures_in_si(read):
    water = read(COURSE).water
    green = water.surface["green"]
    assert (green.share, green.total_m, green.ready_m) == pytest.approx((0.95, 0.018, 0.0072))
    assert water.supply.pump == pytest.approx(0.01)  # 36 m3/h is 10 l/s
    assert water.supply.window_s == 7.5 * 3600
    assert water.price.per_si == 0.85
    assert water.ranked == ["green"]


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("tnk = '3 m3'", "unknown key 'tnk'; did you mean 'tank'"),
        ("floor = '500 m3'", "floor must be less than tank"),
        ("pump = '30 m3'", "is not a volume over a time"),
        ("to = '21:30'", "the same time"),
    ],
)
def test_a_supply_that_cannot_be(read, line, said):
    key = line.split(" ")[0]
    text = "\n".join(one for one in COURSE.splitlines() if not one.startswith(f"{key} = "))
    with pytest.raises(SettingsError, match=said):
        read(text.replace("[water.supply]", f"[water.supply]\n{line}"))


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('coefficient = "FAO-56 cool-season"', 'coefficient = "published"', "a published one by its name"),
        ('coefficient = "FAO-56 cool-season"', "coefficient = 80", "from 0 to 1.5"),
        ('coefficient = "FAO-56 cool-season"', "", "coefficient: is missing"),
        ('depletion = "40 %"', 'depletion = "100 %"', "cannot be used up"),
        ("[water.surface.green]", "[water.surface.gren]", "no surface 'gren'; did you mean 'green'"),
        ('wind_at = "10 m"', 'wind_at = "10 m"\npriority = ["green", "green"]', "names a surface twice"),
        ('wind_at = "10 m"', 'wind_at = "10 m"\npriority = ["tee"]', "leaves out green"),
        ('"0.85 EUR/m3"', '"0.85 USD/m3"', "the currency of the course is EUR"),
        ('most = "9000 m3"', 'most = "0 m3"', "must be above zero"),
        ('per = "year"', 'per = "month"', "not known .accepted: hour, day, year, season"),
        ('per = "year"', 'per = "day"', "leave them out"),
        ('per = "year"', 'per = "season"', "first and last day"),
    ],
)
def test_what_is_refused(read, old, new, said):
    assert old in COURSE
    with pytest.raises(SettingsError, match=said):
        read(COURSE.replace(old, new))


@pytest.mark.parametrize("value", [True, "wet", 0, -0.4, 1.6, "95", None, [0.8]])
def test_what_is_no_coefficient(value):
    with pytest.raises(InputError, match="is no coefficient"):
        read_coefficient(value)


def test_a_licence_year_and_a_season_come_again_each_year():
    year = WaterLimit.model_validate({"most": "1 m3", "per": "year", "from": "2020-04-01"})
    assert year.period(date(2027, 3, 31)) == (date(2026, 4, 1), date(2027, 3, 31))
    assert year.period(date(2027, 4, 1)) == (date(2027, 4, 1), date(2028, 3, 31))
    plain = WaterLimit.model_validate({"most": "1 m3", "per": "year"})
    assert plain.period(date(2028, 2, 29)) == (date(2028, 1, 1), date(2028, 12, 31))
    season = WaterLimit.model_validate({"most": "1 m3", "per": "season", "from": "2020-10-01", "to": "2021-03-31"})
    assert season.period(date(2027, 1, 5)) == (date(2026, 10, 1), date(2027, 3, 31))
    assert season.period(date(2027, 6, 1)) is None
    assert WaterLimit.model_validate({"most": "1 m3", "per": "day"}).period(date(2027, 6, 1)) == (
        date(2027, 6, 1),
        date(2027, 6, 1),
    )


def test_a_tank_is_needed_for_what_belongs_to_it():
    with pytest.raises(ValueError, match="belong to a tank"):
        Supply.model_validate({"refill": "5 m3/h"})
