"""How far an amount may be out: the closed form against draws made here, one for each figure."""

import numpy as np
import pytest

from turfgis.estimates.needs import Need
from turfgis.estimates.risk import estimate_amount
from turfgis.formulas.chance import Figure

DRAWN = 200_000


class Job:
    """Need only knows what its job is called."""

    def __init__(self, name):
        self.name = name


def need(name, net, beyond=0.0, own=(), reach=None, times=1):
    figures = {f"figure {number}": figure for number, figure in enumerate(own)}
    beyond_figure = reach or Figure(1.0)
    return Need(Job(name), np.ones(1, dtype=bool), np.array([net]), np.array([beyond]), figures, beyond_figure, times)


# figures that all jobs share; jobs; standard uncertainty of the areas and how far these go together
CASES = {
    "one job": ([Figure(1600, 64)], [need("a", 10_000, own=[Figure(0.002, 0.00024)])], (300.0,), 0.0),
    "two jobs on the same ground": (
        [Figure(1550, 93), Figure(1.05, 0.02), Figure(1.03, 0.01)],
        [
            need("a", 10_000, own=[Figure(0.045), Figure(0.075, 0.008), Figure(0.9, 0.06)]),
            need("b", 10_000, 1000.0, [Figure(0.002, 0.00024)], Figure(1.0, 0.25), times=2),
        ],
        (300.0, 300.0),
        1.0,
    ),
    "three jobs on other ground": (
        [Figure(1550, 155)],
        [
            need("a", 10_000, own=[Figure(0.002, 0.0002)]),
            need("b", 4_000, 900.0, [Figure(0.003, 0.0004)]),
            need("c", 700, own=[Figure(0.004, 0.0008), Figure(1.0, 0.1)], times=3),
        ],
        (300.0, 150.0, 40.0),
        0.4,
    ),
}


def amounts(shared, needs, spread, together, rng):
    """The same amount by drawing every figure."""
    covariance = np.outer(spread, spread) * (together + (1 - together) * np.eye(len(spread)))
    areas = rng.multivariate_normal([one.net_m2.sum() for one in needs], covariance, DRAWN).T
    total = np.zeros(DRAWN)
    for area, one in zip(areas, needs, strict=True):
        ground = area + one.beyond_m2.sum() * rng.normal(1.0, one.beyond.sd, DRAWN)
        rate = np.prod([rng.normal(figure.likely, figure.sd, DRAWN) for figure in one.own.values()], axis=0)
        total += one.times * ground * rate
    for figure in shared:
        total *= rng.normal(figure.likely, figure.sd, DRAWN)
    return total, covariance


@pytest.fixture(params=CASES.values(), ids=list(CASES))
def both(request):
    shared, needs, spread, together = request.param
    drawn, covariance = amounts(shared, needs, np.array(spread), together, np.random.default_rng(5))
    return estimate_amount(needs, {f"shared {at}": one for at, one in enumerate(shared)}, covariance), drawn


def test_mean_and_standard_deviation(both):
    amount, drawn = both
    assert not len(amount.draws)
    assert amount.mean == pytest.approx(drawn.mean(), abs=3 * drawn.std() / np.sqrt(DRAWN))
    # the relative standard error of a standard deviation is 1 / root(2 n), a little more where the amount leans
    assert amount.sd == pytest.approx(drawn.std(), rel=4 / np.sqrt(2 * DRAWN))


def test_lean(both):
    amount, drawn = both
    counted = ((drawn - drawn.mean()) ** 3).mean() / drawn.std() ** 3
    assert amount.skewness == pytest.approx(counted, abs=5 * np.sqrt(6 / DRAWN))


def test_chance_of_running_short(both):
    """Within 3 standard errors of the draws and two tenths of a percentage point."""
    amount, drawn = both
    levels = amount.mean + amount.sd * np.linspace(-2, 3, 11)
    counted = np.array([(drawn > level).mean() for level in levels])
    allowed = 0.002 + 3 * np.sqrt(counted * (1 - counted) / DRAWN)
    assert (abs(amount.chance_above(levels) - counted) < allowed).all()


def test_draws_where_the_closed_form_does_not_serve():
    """A triangle, or a wide spread, is drawn; mean and standard deviation stay in closed form and agree with it."""
    triangle = [need("a", 10_000, own=[Figure(0.002), Figure(0.92, low=0.75, high=1.0)])]
    wide = [need("a", 10_000, own=[Figure(0.002, 0.0008), Figure(1.0, 0.4)])]
    for needs in (triangle, wide):
        amount = estimate_amount(needs, {"density": Figure(1600, 50)}, np.zeros((1, 1)))
        assert len(amount.draws) == 50_000
        assert amount.draws.mean() == pytest.approx(amount.mean, abs=4 * amount.sd / np.sqrt(50_000))
        assert amount.draws.std() == pytest.approx(amount.sd, rel=0.02)
        assert (np.diff(amount.draws) >= 0).all()
        again = estimate_amount(needs, {"density": Figure(1600, 50)}, np.zeros((1, 1)))
        assert (again.draws == amount.draws).all()  # seeded


def test_drivers_are_ranked_and_whole():
    # 10 % and 5 % of one job's 20 t, 4 % of all 30 t, 3 % of the areas: 2, 1, 1.2 and 0.9 t
    needs = [
        need("a", 10_000, own=[Figure(0.002, 0.0002), Figure(1.0, 0.05)]),
        need("b", 5_000, own=[Figure(0.002)]),
    ]
    covariance = np.outer([300, 150], [300, 150])
    amount = estimate_amount(needs, {"density": Figure(1000, 40)}, covariance)
    assert [(one.name, one.sd_kg) for one in amount.drivers] == [
        ("figure 0 (a)", pytest.approx(2000)),
        ("density", pytest.approx(1200)),
        ("figure 1 (a)", pytest.approx(1000)),
        ("areas", pytest.approx(900)),
    ]
    squares = np.array([2.0, 1.2, 1.0, 0.9]) ** 2
    assert [one.share for one in amount.drivers] == pytest.approx((squares / squares.sum()).tolist())


def test_nothing_uncertain_is_certain():
    amount = estimate_amount([need("a", 10_000, own=[Figure(0.002)])], {"density": Figure(1600)}, np.zeros((1, 1)))
    assert (amount.mean, amount.sd, amount.drivers) == (pytest.approx(32_000), 0, ())
    assert amount.chance_above(np.array([31_999.0, 32_001.0])).tolist() == [1, 0]
