"""Why a sum changed: against all orders of substitution in exact fractions, and sums that close."""

import itertools
import math
from fractions import Fraction

import numpy as np
import pytest

from turfgis.errors import InputError
from turfgis.formulas.change import split_change, whole_steps


def by_all_orders(before, after):
    """Mean change when each factor goes over from old to new, over every order; by definition, in fractions."""
    count = len(before)
    parts = [Fraction(0)] * count
    for order in itertools.permutations(range(count)):
        values = [Fraction(value) for value in before]
        for at in order:
            last = math.prod(values)
            values[at] = Fraction(after[at])
            parts[at] += math.prod(values) - last
    return [part / math.factorial(count) for part in parts]


@pytest.mark.parametrize("count", range(1, 7))
def test_against_all_orders(count):
    rng = np.random.default_rng(count)
    before, after = rng.uniform(0.1, 50, (2, count, 5))
    parts = split_change(before, after)
    for row in range(5):
        exact = by_all_orders(before[:, row], after[:, row])
        scale = max(math.prod(before[:, row]), math.prod(after[:, row]))
        assert parts[:, row] == pytest.approx([float(part) for part in exact], rel=1e-12, abs=1e-13 * scale)


@pytest.mark.parametrize("count", range(2, 7))
def test_against_all_orders_with_noughts_and_credits(count):
    """Factors of zero, and below zero, are met as well: nothing is divided by a factor."""
    rng = np.random.default_rng(10 + count)
    before, after = rng.integers(-2, 3, (2, count, 8))
    parts = split_change(before, after)
    for row in range(8):
        exact = by_all_orders(before[:, row].tolist(), after[:, row].tolist())
        assert parts[:, row] == pytest.approx([float(part) for part in exact], abs=1e-13)


def test_more_factors_than_six():
    before, after = [[3, 1, 4, 1, 5, 9, 2], [2, 7, 1, 8, 2, 8, 1]]
    assert split_change(before, after) == pytest.approx(
        [float(part) for part in by_all_orders(before, after)], rel=1e-12
    )


@pytest.mark.parametrize("count", range(1, 7))
def test_parts_sum_to_the_difference_to_the_last_digit(count):
    """Budget-like rows that all grow: the float sum of the parts is the float difference of the products."""
    rng = np.random.default_rng(20 + count)
    before = rng.uniform(0.1, 500, (count, 2000))
    after = before * rng.uniform(1, 1.3, (count, 2000))
    parts = split_change(before, after)
    total = np.prod(after, axis=0) - np.prod(before, axis=0)
    assert [math.fsum(column) for column in parts.T] == total.tolist()


def test_parts_that_cancel_miss_by_no_more_than_a_digit_of_the_smallest():
    rng = np.random.default_rng(30)
    before, after = rng.uniform(0.1, 500, (2, 4, 2000))
    parts = split_change(before, after)
    total = np.prod(after, axis=0) - np.prod(before, axis=0)
    digit = np.spacing(abs(parts).min(axis=0))
    for column, whole, last in zip(parts.T, total, digit, strict=True):
        assert abs(math.fsum([*column, -whole])) <= max(last, np.spacing(abs(whole)) / 2)


def test_a_factor_that_did_not_change_gets_nothing():
    before, after = [3.1, 2.7, 40.3], [3.1, 2.9, 40.3]
    assert split_change(before, after).tolist() == [0, math.prod(after) - math.prod(before), 0]


def test_nothing_changed_nothing_split():
    assert split_change([2.0, 3.0, 5.0], [2.0, 3.0, 5.0]).tolist() == [0, 0, 0]


def test_back_again_is_the_same_with_the_other_sign():
    rng = np.random.default_rng(40)
    before, after = rng.uniform(0.1, 500, (2, 5, 50))
    assert split_change(before, after) == pytest.approx(-split_change(after, before), rel=1e-10)


def test_the_order_of_factors_does_not_matter():
    before, after = {"area": 500.0, "rate": 3.1, "price": 0.042}, {"area": 520.0, "rate": 2.8, "price": 0.048}
    turned = split_change(dict(reversed(before.items())), after)
    for name, part in split_change(before, after).items():
        assert turned[name] == pytest.approx(part, rel=1e-10)


def test_a_unit_changed_on_both_sides_changes_nothing():
    parts = split_change([500.0, 3.1, 42.0], [520.0, 2.8, 48.0])
    assert split_change([0.05, 31_000.0, 42.0], [0.052, 28_000.0, 48.0]) == pytest.approx(parts, rel=1e-10)


def test_all_factors_alike_share_alike():
    assert split_change([2.0, 2.0, 2.0], [3.0, 3.0, 3.0]) == pytest.approx([19 / 3] * 3, rel=1e-14)


def test_rows_give_what_single_products_give():
    rng = np.random.default_rng(50)
    before, after = rng.uniform(0.1, 500, (2, 4, 6))
    whole = split_change(before, after)
    for row in range(6):
        assert whole[:, row] == pytest.approx(split_change(before[:, row], after[:, row]), rel=1e-12)


def test_names_come_back_and_one_price_serves_all_rows():
    parts = split_change({"area": [500, 600], "price": 40}, {"area": [520, 600], "price": 42})
    assert list(parts) == ["area", "price"]
    assert parts["area"] == pytest.approx([20 * 41, 0])
    assert parts["price"] == pytest.approx([2 * 510, 2 * 600])


@pytest.mark.parametrize(
    ("before", "after", "words"),
    [
        ({"area": 1, "rate": 2}, {"area": 1, "price": 2}, "only one of them has price, rate"),
        ({"area": [1, 2]}, {"area": [1, 2, 3]}, "same number of rows"),
        ({"area": "500"}, {"area": 520}, "factor 'area' before must be finite numbers, but it is '500'"),
        ({"area": 500}, {"area": math.nan}, "factor 'area' after must be finite numbers"),
        ([1, 2, 3], [1, 2], r"arrays of one shape, factors first, but they are \(3,\) and \(2,\)"),
        (1, 2, "arrays of one shape"),
        ([[1], [1, 2]], [[1], [1, 2]], "before must be finite numbers"),
        ({"area": 1}, [1], "before must be finite numbers"),
        ({}, {}, "at least one factor"),
    ],
    ids=["names", "rows", "text", "gap", "shapes", "scalars", "ragged", "kinds", "none"],
)
def test_what_cannot_be_split_is_refused(before, after, words):
    with pytest.raises(InputError, match=words):
        split_change(before, after)


def test_cents_add_up():
    rng = np.random.default_rng(60)
    for _ in range(300):
        parts = rng.uniform(-1000, 1000, rng.integers(1, 8))
        cents = whole_steps(parts, 0.01)
        assert cents.sum() == round(math.fsum(parts) * 100)
        assert abs(cents - parts * 100).max() < 1


def test_parts_that_are_whole_cents_stay():
    assert whole_steps([12.34, -5.67, 0.0], 0.01).tolist() == [1234, -567, 0]


def test_a_part_of_zero_never_gets_a_cent():
    assert whole_steps([1 / 3, 0, 1 / 3, 1 / 3], 0.01).tolist() == [34, 0, 33, 33]


def test_the_total_as_shown_is_met():
    """10.004 and 20.006 are shown as 10.00 and 20.01: the difference shown is a cent more than the one rounded."""
    assert whole_steps([6.001, 4.001], 0.01).sum() == 1000
    assert whole_steps([6.001, 4.001], 0.01, total=10.01).sum() == 1001


def test_whole_euros_too():
    assert whole_steps([10.4, 10.4, 10.4], 1).tolist() == [11, 10, 10]


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (([1.0, 2.0], 0), "step must be greater than 0"),
        (([1.0, "2"], 0.01), "parts must be finite numbers"),
        (([1.0, math.inf], 0.01), "parts must be finite numbers"),
        (([1.0, 2.0], 0.01, math.nan), "total must be finite numbers"),
        (([1.0, 2.0], 0.01, 4.0), r"parts that sum to 3 cannot be shown as 4 in steps of 0\.01; give all parts"),
    ],
)
def test_what_cannot_be_shown_is_refused(arguments, words):
    with pytest.raises(InputError, match=words):
        whole_steps(*arguments)
