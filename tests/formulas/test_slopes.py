"""Slopes of shapes whose slope is known, and what smoothing and noise do to them."""

import numpy as np
import pytest

from turfgis.errors import InputError
from turfgis.formulas.slopes import (
    area_factor_noise,
    aspect,
    gradient_area_factor,
    gradient_noise,
    height_noise,
    horn_gradient,
    shade,
    slope_angle,
    smoothed,
    smoothing_weights,
    triangle_area_factor,
)

ROWS, COLUMNS = np.mgrid[0:40, 0:50].astype(float)


def test_a_plane_has_its_own_gradient_everywhere():
    across, down = horn_gradient(7 + 0.3 * COLUMNS - 0.2 * ROWS)
    assert across.shape == (38, 48)
    assert across == pytest.approx(0.3)
    assert down == pytest.approx(-0.2)


def test_a_parabola_has_its_own_gradient_everywhere():
    """Horn's weights are exact up to the second power."""
    across, down = horn_gradient(COLUMNS**2 + 0.5 * ROWS**2 + COLUMNS * ROWS)
    assert across == pytest.approx((2 * COLUMNS + ROWS)[1:-1, 1:-1])
    assert down == pytest.approx((ROWS + COLUMNS)[1:-1, 1:-1])


def test_a_gap_takes_its_neighbours_with_it():
    heights = COLUMNS.copy()
    heights[10, 20] = np.nan
    across, down = horn_gradient(heights)
    gone = np.zeros(across.shape, dtype=bool)
    gone[8:11, 18:21] = True  # one cell less on each side: row 10 is row 9 here
    gone[9, 19] = False  # a cell's own height is not asked for
    # the mask that looks along a row does not look at its own column, but at those beside it
    assert (np.isnan(across) | np.isnan(down))[gone].all()
    assert not np.isnan(across)[~gone].any()


@pytest.mark.parametrize("heights", [[[1.0, 2.0], [3.0, 4.0]], [1.0, 2.0, 3.0], [[]]])
def test_too_small_a_grid_is_refused(heights):
    for formula in (horn_gradient, height_noise, lambda grid: triangle_area_factor(grid, 1.0)):
        with pytest.raises(InputError, match="three rows and three columns"):
            formula(heights)


@pytest.mark.parametrize(
    ("east", "north", "falls_to"), [(0, -1, 0), (-1, 0, 90), (0, 1, 180), (1, 0, 270), (-1, -1, 45), (1, -1, 315)]
)
def test_aspect_is_where_water_runs(east, north, falls_to):
    assert np.degrees(aspect(east, north)) == pytest.approx(falls_to)


def test_level_ground_falls_nowhere():
    assert np.isnan(aspect(0.0, 0.0))
    assert np.isnan(aspect([0.0, 0.1], [0.0, 0.0])).tolist() == [True, False]


def test_area_factor_is_the_secant_of_the_slope():
    east, north = np.meshgrid(np.linspace(-3, 3, 13), np.linspace(-3, 3, 13))
    assert gradient_area_factor(east, north) == pytest.approx(1 / np.cos(slope_angle(east, north)))


def test_triangles_on_a_plane_are_the_plane():
    assert triangle_area_factor(0.3 * COLUMNS + 0.4 * ROWS, 2.0) == pytest.approx(np.hypot(1, 0.25))


def test_triangles_follow_noise_that_a_plane_smooths_away():
    noise = np.random.default_rng(5).normal(0, 0.1, (60, 60))
    planes = gradient_area_factor(*horn_gradient(noise)).mean()
    assert triangle_area_factor(noise, 1.0).mean() > planes > 1


@pytest.mark.parametrize("smoothing", [0.0, 2.0, 5.0])
def test_noise_of_the_gradient_and_of_the_area_are_those_of_a_trial(smoothing):
    """Independent errors of 5 cm on a level field of half a million cells."""
    sigma, weights = 0.05, smoothing_weights(smoothing, 1.0)
    field = np.random.default_rng(11).normal(0, sigma, (720, 720))
    across, down = horn_gradient(smoothed(field, weights, weights)[10:-10, 10:-10])
    expected = np.array(gradient_noise(weights, weights)) * sigma**2
    assert [across.var(), down.var()] == pytest.approx(expected, rel=0.05)
    factor = gradient_area_factor(across, down)
    assert factor.mean() - 1 == pytest.approx(area_factor_noise(1.0, expected.mean()), rel=0.05)
    assert height_noise(field) == pytest.approx(sigma, rel=0.02)


def test_noise_on_a_slope_adds_less():
    """A trial on ground of one in one: 1.41 instead of 1."""
    field = ROWS[:1, :1] + np.arange(700.0) + np.random.default_rng(3).normal(0, 0.05, (700, 700))
    factor = gradient_area_factor(*horn_gradient(field)).mean()
    assert factor - np.sqrt(2) == pytest.approx(area_factor_noise(np.sqrt(2), 0.1875 * 0.05**2), rel=0.1)


def test_smoothing_keeps_a_plane_and_fills_no_gap():
    plane = 0.3 * COLUMNS + 0.1 * ROWS
    plane[5, 7] = np.nan
    weights = smoothing_weights(2.0, 1.0)
    flat = smoothed(plane, weights, weights)
    assert np.isnan(flat).sum() == 1
    far = np.s_[12:-4, 12:-4]
    assert flat[far] == pytest.approx(plane[far])


def test_weights_add_up_and_fall_to_an_e_squared():
    weights = smoothing_weights(4.0, 0.5)
    assert weights.sum() == pytest.approx(1)
    middle = len(weights) // 2
    assert weights[middle + 8] / weights[middle] == pytest.approx(np.exp(-2))
    assert smoothing_weights(0.0, 0.5).tolist() == [1.0]


def test_shade_is_the_cosine_to_the_light():
    """Ground that faces the light squarely is whitest, ground that lies in its own shadow black."""
    sun, height = np.radians(315), np.radians(45)
    towards = np.array([np.sin(sun), np.cos(sun)])
    assert shade(*(-towards), sun, height) == pytest.approx(1.0)
    assert shade(*(2 * towards), sun, height) == 0.0
    assert shade(0.0, 0.0, sun, np.radians(30)) == pytest.approx(0.5)
