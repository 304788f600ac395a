"""
Least squares against certified values of the NIST Statistical Reference Datasets, linear regression.

The data and certified values were typed from memory of https://www.itl.nist.gov/div898/strd/lls/lls.shtml (Longley,
NoInt1, NoInt2); wrong digits could not meet each other to nine places.
"""

import numpy as np
import pytest
from scipy import stats

from turfgis.errors import InputError
from turfgis.formulas.fitting import condition_number, estimate_correlations, least_squares

# y, x1 ... x6 (J. W. Longley, Journal of the American Statistical Association 62, 1967)
LONGLEY = """
60323 83.0 234289 2356 1590 107608 1947
61122 88.5 259426 2325 1456 108632 1948
60171 88.2 258054 3682 1616 109773 1949
61187 89.5 284599 3351 1650 110929 1950
63221 96.2 328975 2099 3099 112075 1951
63639 98.1 346999 1932 3594 113270 1952
64989 99.0 365385 1870 3547 115094 1953
63761 100.0 363112 3578 3350 116219 1954
66019 101.2 397469 2904 3048 117388 1955
67857 104.6 419180 2822 2857 118734 1956
68169 108.4 442769 2936 2798 120445 1957
66513 110.8 444546 4681 2637 121950 1958
68655 112.6 482704 3813 2552 123366 1959
69564 114.2 502601 3931 2514 125368 1960
69331 115.7 518173 4806 2572 127852 1961
70551 116.9 554894 4007 2827 130081 1962
"""
LONGLEY_ESTIMATES = [
    *(-3482258.63459582, 15.0618722713733, -0.358191792925910e-01, -2.02022980381683),
    *(-1.03322686717359, -0.511041056535807e-01, 1829.15146461355),
]
LONGLEY_ERRORS = [
    *(890420.383607373, 84.9149257747669, 0.334910077722432e-01, 0.488399681651699),
    *(0.214274163161675, 0.226073200069370, 455.478499142212),
]


def longley():
    table = np.array([line.split() for line in LONGLEY.strip().splitlines()], dtype=float)
    return np.column_stack([np.ones(len(table)), table[:, 1:]]), table[:, 0]


def test_longley():
    estimates, errors, spread = least_squares(*longley())
    assert estimates == pytest.approx(LONGLEY_ESTIMATES, rel=1e-8)
    assert errors == pytest.approx(LONGLEY_ERRORS, rel=1e-8)
    assert spread == pytest.approx(304.854073561965, rel=1e-9)


# x, y; estimate, standard error, residual standard deviation: lines through the origin
THROUGH_ORIGIN = [
    pytest.param(
        *(range(60, 71), range(130, 141)),
        *(2.07438016528926, 0.165289256198347e-01, 3.56753034006338),
        id="NoInt1",
    ),
    pytest.param((4, 5, 6), (3, 4, 4), 0.727272727272727, 0.420827318078432e-01, 0.369274472937998, id="NoInt2"),
]


@pytest.mark.parametrize(("x", "y", "slope", "error", "spread"), THROUGH_ORIGIN)
def test_lines_through_the_origin(x, y, slope, error, spread):
    found = least_squares(np.reshape(x, (-1, 1)), list(y))
    assert [float(found[0][0]), float(found[1][0]), found[2]] == pytest.approx([slope, error, spread], rel=1e-12)


def test_a_line_as_scipy_has_it():
    rng = np.random.default_rng(2)
    x = rng.random(20) * 50
    y = 3 + 2 * x + rng.normal(size=20)
    theirs = stats.linregress(x, y)
    estimates, errors, _ = least_squares(np.column_stack([np.ones(20), x]), y)
    assert estimates == pytest.approx([theirs.intercept, theirs.slope])
    assert errors == pytest.approx([theirs.intercept_stderr, theirs.stderr])


def test_observations_without_error_give_their_figures_back():
    design = np.random.default_rng(1).random((9, 3))
    estimates, _, spread = least_squares(design, design @ [2.0, 5.0, 0.5])
    assert estimates == pytest.approx([2.0, 5.0, 0.5])
    assert spread == pytest.approx(0.0, abs=1e-12)


def test_the_scale_of_a_column_changes_its_own_figure_and_nothing_else():
    design, observed = longley()
    scaled = design * [1, 1, 1e-3, 1, 1e6, 1, 1]
    estimates, _, spread = least_squares(design, observed)
    others = least_squares(scaled, observed)
    assert others[0] * [1, 1, 1e-3, 1, 1e6, 1, 1] == pytest.approx(estimates, rel=1e-8)
    assert others[2] == pytest.approx(spread, rel=1e-9)
    assert condition_number(scaled) == pytest.approx(condition_number(design), rel=1e-6)


def test_condition_number_of_longley():
    # D. A. Belsley, E. Kuh and R. E. Welsch, Regression Diagnostics, 1980, call these data a byword for dependence;
    # from memory: the scaled condition number is about 43,275
    assert condition_number(longley()[0]) == pytest.approx(43_275, rel=1e-3)


def test_condition_number_of_two_lines_at_an_angle():
    # two unit vectors at an angle a: singular values sqrt(1 + cos a) and sqrt(1 - cos a)
    for angle in (0.1, 0.7, np.pi / 2):
        design = [[1.0, np.cos(angle)], [0.0, np.sin(angle)]]
        assert condition_number(design) == pytest.approx(1 / np.tan(angle / 2))
        assert estimate_correlations(design)[0, 1] == pytest.approx(-np.cos(angle))


@pytest.mark.parametrize(
    ("design", "observed", "words"),
    [
        ([[1, 2], [2, 4], [3, 6]], [1, 2, 3], "cannot tell"),
        ([[1, 0], [2, 0], [3, 0]], [1, 2, 3], "nothing but zeros"),
        ([[1, 2], [2, 3]], [1, 2], "too few"),
        ([[1.0], [float("nan")]], [1, 2], "finite"),
        ([["x"], [1]], [1, 2], "must be numbers"),
        ([[1], [2], [3]], [1, 2], "one row for each"),
    ],
)
def test_what_cannot_be_fitted_is_said(design, observed, words):
    with pytest.raises(InputError, match=words):
        least_squares(design, observed)
