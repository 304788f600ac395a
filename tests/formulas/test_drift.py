"""Retreat and trend: laws and limits. The published worked example: tests/reference/test_drift.py."""

import math

import numpy as np
import pytest

from turfgis.errors import InputError
from turfgis.formulas.drift import difference_uncertainty, disc_loss_share, mean_retreat, trend


def test_a_disc_loses_nothing_and_all_of_itself():
    assert disc_loss_share(12.0, 0.0) == 0
    assert disc_loss_share(12.0, 12.0) == 1


def test_losses_follow_each_other():
    """What is left after two years is what is left of what was left after one."""
    left = (1 - disc_loss_share(12.0, 0.5)) * (1 - disc_loss_share(11.5, 0.5))
    assert 1 - disc_loss_share(12.0, 1.0) == pytest.approx(left, rel=1e-14)


def test_an_edge_cannot_pass_the_middle():
    with pytest.raises(InputError, match="further than the middle"):
        disc_loss_share([12.0, 3.0], 3.5)


@pytest.mark.parametrize("retreat", [0.01, 0.5, 4.0])
def test_mean_retreat_is_exact_for_disc_and_square(retreat):
    radius, side = 12.0, 20.0
    disc = (np.pi * radius**2, np.pi * (radius - retreat) ** 2, math.tau * radius, math.tau * (radius - retreat))
    inner = side - 2 * retreat
    assert mean_retreat(*disc) == pytest.approx(retreat, rel=1e-12)
    assert mean_retreat(side**2, inner**2, 4 * side, 4 * inner) == pytest.approx(retreat, rel=1e-12)


def test_an_edge_that_went_out_has_a_retreat_below_zero():
    assert mean_retreat(400.0, 441.0, 80.0, 84.0) == pytest.approx(-0.5)


def test_two_surveys_give_the_difference_over_the_time():
    slope, slope_sd = trend([2019.0, 2026.0], [520.0, 499.0], [4.0, 3.0])
    assert slope == pytest.approx(-3.0, rel=1e-12)
    assert slope_sd == pytest.approx(difference_uncertainty(4.0, 3.0) / 7, rel=1e-12)


@pytest.mark.parametrize("sd", [[3.0] * 5, [3.0, 8.0, 4.0, 4.0, 9.0]])
def test_the_trend_is_the_weighted_line_of_numpy(sd):
    years, values = np.array([2012.0, 2015.2, 2019.0, 2022.5, 2026.0]), np.array([531.0, 525.0, 521.0, 509.0, 503.0])
    (slope, _), covariance = np.polyfit(years, values, 1, w=1 / np.array(sd), cov="unscaled")
    got, got_sd = trend(years, values, sd)
    assert got == pytest.approx(slope, rel=1e-9)
    assert got_sd == pytest.approx(np.sqrt(covariance[0, 0]), rel=1e-6)  # the points lie closer than they need to


def test_points_off_the_line_widen_the_interval_as_numpy_scales_it():
    years, values = np.arange(2018.0, 2024.0), np.array([520.0, 540.0, 495.0, 530.0, 480.0, 515.0])
    _, covariance = np.polyfit(years, values, 1, w=np.full(6, 0.5), cov=True)
    assert trend(years, values, [2.0] * 6)[1] == pytest.approx(np.sqrt(covariance[0, 0]), rel=1e-6)


@pytest.mark.parametrize(
    ("years", "values", "sd"),
    [
        ([2019.0], [520.0], [3.0]),
        ([2019.0, 2019.0], [520.0, 510.0], [3.0, 3.0]),
        ([2019.0, 2026.0], [520.0], [3.0, 3.0]),
        ([2019.0, np.nan], [520.0, 500.0], [3.0, 3.0]),
    ],
)
def test_a_trend_needs_two_times(years, values, sd):
    with pytest.raises(InputError, match="two different times"):
        trend(years, values, sd)


def test_a_survey_without_error_is_refused():
    with pytest.raises(InputError, match="uncertainty must be greater than 0"):
        trend([2019.0, 2026.0], [520.0, 499.0], [0.0, 3.0])
