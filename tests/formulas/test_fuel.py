"""Fuel by power: scaling, and what is refused."""

import pytest

from turfgis.errors import InputError
from turfgis.formulas.fuel import diesel_rate_at_load, diesel_rate_average, petrol_rate_at_load, petrol_rate_average


@pytest.mark.parametrize("formula", [diesel_rate_average, petrol_rate_average])
def test_twice_the_power_burns_twice_the_fuel(formula):
    assert formula(20e3) == pytest.approx(2 * formula(10e3))
    with pytest.raises(InputError, match="power must be greater than 0 W"):
        formula(0.0)


@pytest.mark.parametrize("formula", [diesel_rate_at_load, petrol_rate_at_load])
def test_more_load_burns_more_but_less_for_each_kilowatt_hour(formula):
    rates = formula(10e3, [0.2, 0.4, 0.6, 0.8])
    assert (rates[1:] > rates[:-1]).all()
    each = rates / [0.2, 0.4, 0.6, 0.8]
    assert (each[1:] < each[:-1]).all()
    with pytest.raises(InputError, match="load must be"):
        formula(10e3, 1.2)
