"""The profile of a head: its integral is the flow, whatever its shape."""

import numpy as np
import pytest

from turfgis.errors import InputError
from turfgis.formulas.heads import application_rate, wetted_area


@pytest.mark.parametrize("level", [0.0, 0.3, 0.8, 1.0])
@pytest.mark.parametrize(("throw", "arc"), [(18.0, 2 * np.pi), (9.5, np.pi), (21.0, 1.7)])
def test_the_integral_over_the_sector_is_the_flow(level, throw, arc):
    # Gauss-Legendre in the two straight parts of the profile: exact for it
    node, weight = np.polynomial.legendre.leggauss(4)
    total = 0.0
    for low, high in ((0.0, level * throw), (level * throw, throw)):
        r = low + (high - low) * (node + 1) / 2
        rate = application_rate(r, 0.001, throw, arc, level)
        total += ((high - low) / 2 * weight * rate * r * arc).sum()
    assert total == pytest.approx(0.001, rel=1e-12)


def test_an_even_disc_has_the_precipitation_rate():
    rate = application_rate([0.0, 5.0, 15.0, 15.1], 0.001, 15.0, np.pi, 1.0)
    assert rate[:3] == pytest.approx(0.001 / wetted_area(15.0, np.pi), rel=1e-14)
    assert rate[3] == 0.0


def test_a_wedge_is_three_times_the_mean_at_the_head():
    assert application_rate(0.0, 0.001, 15.0, np.pi, 0.0) == pytest.approx(3 * 0.001 / wetted_area(15.0, np.pi))
    assert application_rate(15.0, 0.001, 15.0, np.pi, 0.0) == 0.0


def test_twice_the_throw_is_a_quarter_of_the_rate():
    near, far = application_rate(5.0, 0.001, 10.0, np.pi, 0.2), application_rate(10.0, 0.001, 20.0, np.pi, 0.2)
    assert far == pytest.approx(near / 4, rel=1e-14)


def test_degrees_taken_for_an_angle_are_refused():
    with pytest.raises(InputError, match="not in degrees"):
        wetted_area(15.0, 180.0)
    with pytest.raises(InputError, match="not in degrees"):
        application_rate(1.0, 0.001, 15.0, [np.pi, 90.0], 0.0)


def test_more_than_a_whole_throw_cannot_be_level():
    with pytest.raises(InputError, match="level"):
        application_rate(1.0, 0.001, 15.0, np.pi, 1.2)
