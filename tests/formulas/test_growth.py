"""Money over the years: laws and limits. Printed figures: tests/reference/test_year.py."""

import math

import numpy as np
import pytest

from turfgis.errors import InputError
from turfgis.formulas.growth import contingency_sum, grown_price, net_of_tax, tax_sum


def test_no_growth_and_no_years_leave_the_price():
    assert grown_price(42, 0, 7) == 42
    assert grown_price(42, 0.03, 0) == 42


def test_years_add_up():
    assert grown_price(grown_price(42, 0.03, 2), 0.03, 5) == pytest.approx(grown_price(42, 0.03, 7), rel=1e-14)


def test_a_fall_undoes_a_rise():
    assert grown_price(grown_price(42, 0.25, 1), -0.2, 1) == pytest.approx(42, rel=1e-14)


def test_arrays_give_what_scalars_give():
    whole = grown_price([[42], [50]], [0.03, -0.02], 3)
    assert whole == pytest.approx(
        np.array([[grown_price(p, g, 3) for g in (0.03, -0.02)] for p in (42, 50)]), rel=1e-14
    )
    assert isinstance(grown_price(42, 0.03, 3), float)


@pytest.mark.parametrize("growth", [-1, -3, math.nan, math.inf, "3 %", None, True, [[0.1], [0.1, 0.2]]], ids=repr)
def test_growth_that_has_no_meaning_is_refused(growth):
    with pytest.raises(InputError, match=r"price growth must be a share above -1 \(3 % is 0\.03"):
        grown_price(42, growth, 1)


def test_net_and_tax_make_the_gross():
    net = net_of_tax(87.3, 0.19)
    assert net + tax_sum(net, 0.19) == pytest.approx(87.3, rel=1e-14)


def test_contingency_comes_on_top():
    assert contingency_sum(80_000, 0) == 0
    assert contingency_sum(80_000, 1) == 80_000


@pytest.mark.parametrize(
    ("formula", "arguments", "words"),
    [
        (grown_price, (-1, 0.03, 1), "price must be 0 or more"),
        (grown_price, (1, 0.03, -1), "years must be 0 or more"),
        (contingency_sum, (-1, 0.05), "cost must be 0 or more"),
        (contingency_sum, (1, 5), "contingency must be a share from 0 to 1"),
        (tax_sum, (-1, 0.2), "net sum must be 0 or more"),
        (tax_sum, (1, 20), "tax rate must be a share from 0 to 1"),
        (net_of_tax, (-1, 0.2), "gross sum must be 0 or more"),
        (net_of_tax, (1, -0.2), "tax rate must be a share from 0 to 1"),
    ],
)
def test_what_has_no_meaning_is_refused(formula, arguments, words):
    with pytest.raises(InputError, match=words):
        formula(*arguments)
