"""
Figures with a spread, and the chance that what is made of them is exceeded: limits, scaling, errors and draws.

Against printed tables: ../reference/test_chance.py.
"""

from itertools import product
from math import erfc, sqrt

import numpy as np
import pytest

from turfgis.errors import InputError
from turfgis.formulas.chance import Figure, chance_above, product_moments, raw_moments

# low, likely, high
TRIANGLES = [(0.75, 0.92, 1.0), (0.0, 0.0, 1.0), (0.0, 1.0, 1.0), (-2.0, 0.5, 3.0), (0.02, 0.05, 0.09)]


def by_integration(low, likely, high, power):
    """Central moment of a triangular spread, from the two straight sides of its density."""
    x = np.linspace(low, high, 400_001)
    rise = np.divide(x - low, likely - low, out=np.ones_like(x), where=(x < likely))
    fall = np.divide(high - x, high - likely, out=np.ones_like(x), where=(x > likely))
    density = np.where(x < likely, rise, fall) * 2 / (high - low)
    mean = np.trapezoid(density * x, x)
    return mean if power == 1 else np.trapezoid(density * (x - mean) ** power, x)


@pytest.mark.parametrize("ends", TRIANGLES)
def test_moments_of_a_triangle_by_integration(ends):
    low, likely, high = ends
    figure = Figure(likely, low=low, high=high)
    assert figure.mean == pytest.approx(by_integration(*ends, 1), abs=1e-5 * (high - low))
    assert figure.variance == pytest.approx(by_integration(*ends, 2), rel=1e-4)
    assert figure.third_moment == pytest.approx(by_integration(*ends, 3), rel=1e-3)


@pytest.mark.parametrize("figure", [Figure(0.92, low=0.75, high=1.0), Figure(3.0, 0.2), Figure(-1.0, 0.5)])
def test_moments_of_draws(figure):
    count = 400_000
    drawn = figure.draws(np.random.default_rng(7), count)
    sd = sqrt(figure.variance)
    assert drawn.mean() == pytest.approx(figure.mean, abs=3 * sd / sqrt(count))
    # the variance of a sample variance of a normal is 2 sd^4 / n, of a triangle less
    assert drawn.var() == pytest.approx(figure.variance, abs=3 * figure.variance * sqrt(2 / count))


def test_draws_are_the_same_every_time():
    figure = Figure(0.92, low=0.75, high=1.0)
    assert (figure.draws(np.random.default_rng(1), 5) == figure.draws(np.random.default_rng(1), 5)).all()


def test_an_exact_figure_has_no_spread_however_it_is_written():
    for figure in (Figure(0.92), Figure(0.92, low=0.92, high=0.92)):
        assert figure.exact
        assert figure.normal
        assert (figure.mean, figure.variance, figure.third_moment) == (pytest.approx(0.92, rel=1e-15), 0, 0)
        assert (figure.draws(np.random.default_rng(1), 3) == figure.mean).all()


def test_only_a_triangle_is_not_normal():
    assert Figure(1.0, 0.1).normal
    assert not Figure(1.0, low=0.5, high=1.5).normal


@pytest.mark.parametrize("figure", [Figure(3.0, 0.2), Figure(0.92, low=0.75, high=1.0)])
@pytest.mark.parametrize("factor", [1000.0, 0.5, -2.0])
def test_scaling_a_figure_scales_its_moments(figure, factor):
    scaled = figure.scaled(factor)
    assert scaled.mean == pytest.approx(figure.mean * factor)
    assert scaled.variance == pytest.approx(figure.variance * factor**2)
    assert scaled.third_moment == pytest.approx(figure.third_moment * factor**3)


@pytest.mark.parametrize("figure", [Figure(0.05, 0.01), Figure(0.05, low=0.02, high=0.09)])
def test_adding_a_number_moves_the_mean_only(figure):
    moved = figure.shifted(1.0)
    assert moved.mean == pytest.approx(figure.mean + 1)
    assert moved.variance == pytest.approx(figure.variance)
    assert moved.third_moment == pytest.approx(figure.third_moment)


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        ({"likely": 1.0, "sd": -0.1}, "cannot be negative"),
        ({"likely": 1.0, "low": 0.5}, "all of low, likely and high"),
        ({"likely": 1.0, "high": 1.5}, "all of low, likely and high"),
        ({"likely": 1.0, "low": 1.1, "high": 1.5}, "in order"),
        ({"likely": 1.0, "low": 0.1, "high": 0.5}, "in order"),
    ],
)
def test_what_is_no_spread_is_refused(arguments, words):
    with pytest.raises(InputError, match=words):
        Figure(**arguments)


def test_moments_of_a_product_by_counting_cases():
    """A coin that shows m - s or m + s has the first three moments of a normal figure; so have products of coins."""
    figures = [Figure(2.0, 0.1), Figure(3.0, 0.4), Figure(0.5, 0.05), Figure(1.05, 0.01)]
    cases = [np.prod(case) for case in product(*((one.likely - one.sd, one.likely + one.sd) for one in figures))]
    expected = [np.mean(np.power(cases, power)) for power in (1, 2, 3)]
    assert raw_moments(figures) == pytest.approx(expected, rel=1e-12)
    mean, variance = product_moments(figures)
    assert mean == pytest.approx(np.mean(cases))
    assert variance == pytest.approx(np.var(cases))


def test_the_product_of_nothing_is_one():
    assert product_moments([]) == (1.0, 0.0)


def test_exact_factors_scale_a_product():
    mean, variance = product_moments([Figure(2.0, 0.1), Figure(10.0)])
    assert (mean, variance) == (20.0, pytest.approx(1.0))  # 10 times 0.1, squared


def test_an_exact_amount_is_above_what_lies_below_it():
    assert chance_above(np.array([0.9, 1.0, 1.1]), 1.0, 0.0).tolist() == [1.0, 0.0, 0.0]


def test_chances_fall_from_one_to_nothing():
    levels = np.linspace(-5, 15, 2001)
    for skewness in (0.0, 0.2, 0.5):
        chances = chance_above(levels, 5.0, 1.0, skewness)
        assert (np.diff(chances) <= 0).all()
        assert (chances[0], chances[-1]) == (1.0, pytest.approx(0.0, abs=1e-12))


def test_one_level_gives_what_many_give():
    levels = np.array([1.0, 2.0, 3.0])
    alone = [chance_above(level, 2.2, 0.4, 0.3)[0] for level in levels]
    assert chance_above(levels, 2.2, 0.4, 0.3).tolist() == alone


# standard deviations of normal factors around one, as shares
FACTORS = [(0.10, 0.10), (0.12, 0.15), (0.15, 0.15), (0.12, 0.04, 0.10), (0.15, 0.10, 0.10, 0.05)]


@pytest.mark.parametrize("shares", FACTORS)
def test_a_product_of_normal_figures_against_draws(shares):
    """
    Why the lean is allowed for: without it the chance is out by one to three percentage points near the mean.

    Here it must be within half a point everywhere, and 3 standard errors of the draws.
    """
    count = 200_000
    rng = np.random.default_rng(11)
    drawn = np.prod([Figure(1.0, share).draws(rng, count) for share in shares], axis=0)
    mean, square, cube = raw_moments([Figure(1.0, share) for share in shares])
    sd = sqrt(square - mean**2)
    skewness = (cube - 3 * mean * square + 2 * mean**3) / sd**3
    levels = mean + sd * np.linspace(-2.5, 3, 23)
    counted = np.array([(drawn > level).mean() for level in levels])
    error = 3 * np.sqrt(counted * (1 - counted) / count)
    assert (abs(chance_above(levels, mean, sd, skewness) - counted) < 0.005 + error).all()
    plain = np.array([0.5 * erfc((level - mean) / sd / sqrt(2)) for level in levels])
    assert abs(plain - counted).max() > 0.009
