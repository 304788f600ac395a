"""
Slope, aspect and area along the ground against printed figures.

A key in square brackets names the source in turfgis.sources.
"""

import numpy as np
import pytest

from turfgis.formulas.slopes import aspect, gradient_area_factor, horn_gradient, slope_angle, triangle_area_factor

# [slope-window] a maker of mapping programs (name left out), worked examples of slope and aspect
# quoted second-hand in several public programs
SLOPE_WINDOW = [[50, 45, 50], [30, 30, 30], [8, 10, 10]]
ASPECT_WINDOW = [[101, 92, 85], [101, 92, 85], [101, 91, 84]]


def test_slope_as_printed(as_printed):
    """Cells of 5 m: 0.05 along the rows, 3.8 along the columns; the angle is printed from 1.31349 rad."""
    across, down = (rise[0, 0] / 5 for rise in horn_gradient(SLOPE_WINDOW))
    assert across == as_printed("0.05")
    assert down == as_printed("-3.8")
    assert np.hypot(across, down) == pytest.approx(3.80032, abs=1e-5)
    assert np.degrees(slope_angle(across, down)) == pytest.approx(75.25762, abs=1e-4)


def test_aspect_as_printed(as_printed):
    """Rows run south, so that a rise from row to row is a fall northward."""
    across, down = (rise[0, 0] for rise in horn_gradient(ASPECT_WINDOW))
    assert across == as_printed("-8.125")
    assert down == as_printed("-0.375")
    assert np.degrees(aspect(across, -down)) == as_printed("92.64")


# [jenness-2004] J. Jenness, Calculating landscape surface area from digital elevation models, 2004, Wildlife Society
# Bulletin 32(3):829-839, quoted second-hand: cells of 100 m, 10,280.48 m2 for the middle one
JENNESS = [[190, 170, 155], [183, 165, 145], [175, 160, 122]]


def test_surface_area_of_the_worked_example():
    """The printed figure lies 0.29 m2 under the sum of its own triangles; others test it to 1e-4, as here."""
    area = triangle_area_factor(JENNESS, 100)[0, 0] * 100**2
    assert area == pytest.approx(10_280.48, rel=1e-4)


def test_surface_area_of_the_worked_example_by_its_triangles():
    """The same by hand: eight triangles of half the size, each by Heron's formula from its sides."""
    around = [(0, 0), (0, 1), (0, 2), (1, 2), (2, 2), (2, 1), (2, 0), (1, 0)]
    points = [np.array([100.0 * j, 100.0 * i, JENNESS[i][j]]) for i, j in around]
    middle, total = np.array([100.0, 100.0, 165.0]), 0.0
    for one, other in zip(points, points[1:] + points[:1], strict=True):
        a, b, c = (np.linalg.norm(side) / 2 for side in (one - middle, other - middle, one - other))
        s = (a + b + c) / 2
        total += np.sqrt(s * (s - a) * (s - b) * (s - c))
    assert triangle_area_factor(JENNESS, 100)[0, 0] * 100**2 == pytest.approx(total, rel=1e-12)


@pytest.mark.parametrize(
    ("grade", "factor"),
    # [arboreal-slope] a forestry measurement page, Calculating area on a slope, https://arboreal.se/en/slope
    # gives 11,547 m2 for 10,000 m2 at 30 degrees
    [(np.tan(np.radians(30)), "1.1547")],
)
def test_tilted_plane_as_printed(grade, factor, as_printed):
    assert gradient_area_factor(grade, 0.0) == as_printed(factor)
