"""Fuel of a year: hours of machines times litres an hour, priced by the litre, worked by hand."""

import pytest

from turfgis.errors import SettingsError
from turfgis.estimates.budget import estimate_budget
from turfgis.estimates.fuel import fuel_rate
from turfgis.estimates.takeoff import estimate_year

# 2 m at 5 km/h and all of the time is a hectare an hour; no clean-up, so that a hectare of greens is an hour
MOWER = """
[machine.mower]
width = "2 m"
speed = "5 km/h"
efficiency = "100 %"
on = ["green"]
cost = "10 EUR/h"
"""
CUT = """
[[job]]
name = "cut"
work = "mow"
on = ["green"]
machine = "mower"
months = { 5 = 10 }
"""
HEAD = 'year = 2027\naccuracy = "0 m"'


def year(course, machine, fuel=""):
    return estimate_year(course(MOWER + machine + fuel + CUT, head=HEAD))


def litres(takeoff):
    rows = takeoff.table()
    rows = rows[rows["resource"] == "fuel"]
    return rows["quantity"].sum() * 1000, rows["cost"].sum(), set(rows["material"])


def hours(takeoff):
    rows = takeoff.table()
    return rows.loc[rows["resource"] == "machine", "quantity"].sum() / 3600


def test_measured_fuel_goes_by_the_hours_of_the_machine(course):
    takeoff = year(course, 'fuel = "3.5 l/h"\n', '[fuel.diesel]\nprice = "1.60 EUR/l"\n')
    spent, cost, kinds = litres(takeoff)
    assert kinds == {"diesel"}
    assert spent == pytest.approx(3.5 * hours(takeoff))
    assert hours(takeoff) > 10  # ten cuts of a hectare, and their clean-up
    assert cost == pytest.approx(1.60 * spent)


def test_without_a_price_fuel_is_counted_and_said_to_be_unpriced(course):
    takeoff = year(course, 'fuel = "3.5 l/h"\n')
    assert litres(takeoff)[0] == pytest.approx(3.5 * hours(takeoff))
    assert "fuel diesel" in estimate_budget(takeoff).unpriced


def test_a_machine_of_which_nothing_is_known_burns_nothing(course):
    assert litres(year(course, "")) == (0, 0, set())


# what the settings say; l/h by hand from the equations: 18 kW x 0.223; 18 kW x 0.5 x 0.504 l/kWh; petrol 0.060 gal/hp h
@pytest.mark.parametrize(
    ("machine", "fuel", "expected", "how"),
    [
        ('power = "18 kW"\n', "", 18 * 0.223, "by power"),
        ('power = "18 kW"\nload = "50 %"\n', "", 18 * 0.5 * 0.504, "by power and load"),
        ('power = "10 hp"\nburns = "petrol"\n', "", 10 * 0.060 * 3.7854, "by power"),
        (
            'power = "10 hp"\nburns = "alkylate"\n',
            '[fuel.alkylate]\nkind = "petrol"\n',
            10 * 0.060 * 3.7854,
            "by power",
        ),
        ('power = "18 kW"\nfuel = "2 l/h"\n', "", 2.0, "measured"),
    ],
)
def test_fuel_by_power(course, machine, fuel, expected, how):
    opened = course(MOWER + machine + fuel)
    rate = fuel_rate(opened.settings.machine["mower"], opened.settings)
    assert rate is not None
    assert rate[0] * 3.6e6 == pytest.approx(expected, rel=0.004)
    assert rate[1] == how


def test_the_budget_shows_fuel_by_month_and_resource(course):
    takeoff = year(course, 'fuel = "3.5 l/h"\n', '[fuel.diesel]\nprice = "1.60 EUR/l"\n')
    budget, spent = estimate_budget(takeoff), litres(takeoff)[1]
    (month,) = budget.by("month")
    assert month.resources["fuel"] == pytest.approx(spent)
    rows = {row.name: row.cost for row in budget.by("resource")}
    assert rows["fuel"] == pytest.approx(spent)
    assert rows["fuel"] + rows["machine"] == pytest.approx(budget.total)
    assert {row.name for row in budget.by("material")} == {"mower", "diesel"}


@pytest.mark.parametrize(
    ("tables", "words"),
    [
        (MOWER + 'burns = "deisel"\n', ["machine.mower.burns", "no fuel 'deisel'", "did you mean 'diesel'"]),
        (MOWER + 'power = "5 kW"\nburns = "lpg"\n[fuel.lpg]\nprice = "1 EUR/l"\n', ["fuel.lpg", "diesel"]),
        (MOWER + 'fuel = "3.5 l"\n', ["machine.mower.fuel", "l/h"]),
        (MOWER + 'load = "120 %"\n', ["machine.mower.load", "more than 100 %"]),
        ('[fuel.diesel]\nprice = "1.60 EUR/kg"\n', ["fuel.diesel.price", "EUR/l"]),
        ('[fuel.diesel]\nprice = "1.60 USD/l"\n', ["fuel.diesel.price", "is in USD"]),
    ],
)
def test_what_does_not_fit_is_said_with_its_key(course, tables, words):
    with pytest.raises(SettingsError) as caught:
        course(tables)
    for word in words:
        assert word in str(caught.value)
