"""A green that loses three inches of its edge every year: a published worked example."""

import math

import numpy as np
import pytest

from turfgis.formulas.drift import disc_loss_share, mean_retreat

FOOT, INCH = 0.3048, 0.0254
RADIUS = 44 * FOOT

# [klein-maintenance-math] B. Klein, Golf Course Industry, Using math for maintenance,
# https://golfcourseindustry.com/article/golf-course-maintenance-math
# The page calls 44 ft the radius; a green of 44 ft across would lose twice the share.
YEARS = [
    # years, radius left [ft], area left [ft2], loss [%]
    (0, 44, 6082, 0),
    (4, 43, 5809, 4),
    (20, 39, 4778, 21),
    (40, 34, 3632, 40),
]


@pytest.mark.parametrize(("years", "radius_ft", "area_ft2", "loss_percent"), YEARS)
def test_three_inches_a_year(years, radius_ft, area_ft2, loss_percent):
    loss = disc_loss_share(RADIUS, years * 3 * INCH)
    assert 100 * loss == pytest.approx(loss_percent, abs=0.5)
    assert (1 - loss) * math.pi * 44**2 == pytest.approx(area_ft2, abs=0.5)
    assert RADIUS - years * 3 * INCH == pytest.approx(radius_ft * FOOT, rel=1e-12)


@pytest.mark.parametrize(("years", "radius_ft", "area_ft2", "loss_percent"), YEARS)
def test_the_retreat_comes_back_from_the_printed_areas(years, radius_ft, area_ft2, loss_percent):
    """The printed areas are whole square feet, which 276 ft of edge turn into 1/500 ft of retreat."""
    edges = np.array([44, radius_ft]) * math.tau * FOOT
    areas = np.array([6082, area_ft2]) * FOOT**2
    assert mean_retreat(*areas, *edges) == pytest.approx(years * 3 * INCH, abs=FOOT / 200)


# The same example in a decimal more, worked by hand: 1 - (43/44)^2, 1 - (39/44)^2 and 1 - (34/44)^2.
@pytest.mark.parametrize(("years", "percent"), [(4, 4.5), (20, 21.4), (40, 40.3)])
def test_a_decimal_more(years, percent):
    assert 100 * disc_loss_share(RADIUS, years * 3 * INCH) == pytest.approx(percent, abs=0.05)
