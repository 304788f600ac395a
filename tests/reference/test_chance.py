"""
Chances against printed tables of the normal and the chi-square distribution, and running short of sand as simulated.

Each row types the figure as printed; it must be met to half of its last digit unless the row says otherwise.
"""

from math import sqrt

import numpy as np
import pytest

from turfgis.estimates.needs import Need
from turfgis.estimates.risk import estimate_amount
from turfgis.formulas.chance import Figure, chance_above
from turfgis.settings.models import Topdress

# NIST/SEMATECH, e-Handbook of Statistical Methods, 1.3.6.7.1, Cumulative distribution function of the standard normal
# distribution: area from 0 to x (quoted from memory), https://www.itl.nist.gov/div898/handbook/eda/section3/eda3671.htm
NORMAL = [
    (0.0, "0.00000"),
    (0.5, "0.19146"),
    (1.0, "0.34134"),
    (1.28, "0.39973"),
    (1.5, "0.43319"),
    (1.96, "0.47500"),
    (2.0, "0.47725"),
    (2.33, "0.49010"),
    (2.5, "0.49379"),
    (3.0, "0.49865"),
    (3.5, "0.49977"),
]


@pytest.mark.parametrize(("x", "printed"), NORMAL)
def test_the_normal_distribution_as_printed(x, printed, as_printed):
    assert 0.5 - chance_above(np.array([x]), 0.0, 1.0)[0] == as_printed(printed)
    assert chance_above(np.array([10 - 2 * x]), 10.0, 2.0)[0] - 0.5 == as_printed(printed)


# NIST/SEMATECH, e-Handbook of Statistical Methods, 1.3.6.7.4, Critical values of the chi-square distribution: degrees
# of freedom; chance of exceeding, printed value (quoted from memory)
# https://www.itl.nist.gov/div898/handbook/eda/section3/eda3674.htm
CHI_SQUARE = [
    (30, {0.10: 40.256, 0.05: 43.773, 0.025: 46.979, 0.01: 50.892}),
    (50, {0.10: 63.167, 0.05: 67.505, 0.025: 71.420, 0.01: 76.154}),
    (100, {0.10: 118.498, 0.05: 124.342, 0.025: 129.561, 0.01: 135.807}),
]


@pytest.mark.parametrize(("freedom", "values"), CHI_SQUARE)
def test_an_amount_that_leans_to_the_high_side_as_printed(freedom, values):
    """Mean n, variance 2 n and skewness root(8 / n): from 0.52 to 0.28, as sand orders have it."""
    levels = np.array(list(values.values()))
    chances = chance_above(levels, freedom, sqrt(2 * freedom), sqrt(8 / freedom))
    # half a percentage point: what the docstring promises
    assert chances == pytest.approx(list(values), abs=0.005)
    # without the lean, the chance that counts here is out by as much again in the rarest case
    plain = chance_above(levels, freedom, sqrt(2 * freedom))
    assert (abs(chances - list(values)) < abs(plain - list(values))).all()


# S. Kotz and J. R. van Dorp, Beyond Beta, 2004, chapter 1 (quoted from memory), and JCGM 101:2008, 6.4.5 for the even
# one: ends and peak; mean, variance, skewness
TRIANGLES = [
    (0.0, 0.0, 1.0, 1 / 3, 1 / 18, 2 * sqrt(2) / 5),
    (0.0, 1.0, 1.0, 2 / 3, 1 / 18, -2 * sqrt(2) / 5),
    (-1.0, 0.0, 1.0, 0.0, 1 / 6, 0.0),
    (2.0, 5.0, 8.0, 5.0, 36 / 24, 0.0),
]


@pytest.mark.parametrize(("low", "likely", "high", "mean", "variance", "skewness"), TRIANGLES)
def test_moments_of_triangular_spreads_as_published(low, likely, high, mean, variance, skewness):
    figure = Figure(likely, low=low, high=high)
    assert figure.mean == pytest.approx(mean, abs=1e-15)
    assert figure.variance == pytest.approx(variance, rel=1e-14)
    assert figure.third_moment / figure.variance**1.5 == pytest.approx(skewness, abs=1e-12)


# A simulation written apart from this program (60,000 draws): 1 ha of greens, 6.0 kg/m2 of sand in full holes and
# 3.2 kg/m2 on top. Standard deviations: area 3 %, depth of holes 10 %, layer on top 12 %, density 4 %. Triangular
# spreads as below. What was printed: percentage of cases in which an order of 92 t, and of so much more, runs short.
#
# The inputs were told in words; the reading that gives the printed figures, to a third of a point: the 6.0 kg/m2 are
# for holes filled to the brim, so the fill multiplies them as it is; overthrow, moisture and loss apply to all the
# sand, and density to both parts at once. With overthrow on the layer alone the first figure would be 62 %; with the
# fill taken relative to its likely value 90 %.
FILL = Figure(0.92, low=0.75, high=1.0)
OVERTHROW = Figure(0.08, low=0.03, high=0.18)
MOISTURE = Figure(0.04, low=0.0, high=0.08)
LOSS = Figure(0.02, low=0.0, high=0.08)
SHORT = [(1.00, 79), (1.10, 47), (1.20, 18), (1.25, 9), (1.30, 4)]


def greens(area_share):
    """The amount of that simulation, with the area known to so much."""
    shared = {
        "bulk density": Figure(1.0, 0.04),
        "overthrow": OVERTHROW.shifted(1.0),
        "moisture": MOISTURE.shifted(1.0),
        "storage loss": LOSS.shifted(1.0),
    }
    job = Topdress(name="sand", work="topdress", on=["green"], depth="1 mm", material="sand")
    hectare, nothing, on = np.array([10_000.0]), np.zeros(1), np.ones(1, dtype=bool)
    needs = [
        Need(job, on, hectare, nothing, {"depth of holes": Figure(6.0, 0.6), "fill": FILL}),
        Need(job, on, hectare, nothing, {"depth": Figure(3.2, 0.12 * 3.2)}),
    ]
    return estimate_amount(needs, shared, np.full((2, 2), (area_share * 10_000) ** 2))


def test_running_short_as_simulated():
    chances = greens(0.03).chance_above(np.array([92_000 * more for more, _ in SHORT]))
    assert 100 * chances == pytest.approx([short for _, short in SHORT], abs=1.0)


def test_a_better_survey_hardly_helps_as_simulated():
    """With the area known to 1 % or 8 %, the chance at 20 % more sand moves from 17 % to 22 % only, as printed."""
    level = np.array([1.2 * 92_000])
    chances = [100 * greens(share).chance_above(level)[0] for share in (0.01, 0.08)]
    assert chances == pytest.approx([17, 22], abs=1.0)


def test_fill_and_depth_matter_more_than_the_survey_as_told():
    names = [driver.name.split(" (")[0] for driver in greens(0.03).drivers]
    assert set(names[:4]) >= {"depth of holes", "fill"}
    assert names.index("areas") > max(names.index("depth of holes"), names.index("fill"))
