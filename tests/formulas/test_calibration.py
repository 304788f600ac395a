"""Calibration: laws and limits. Printed figures: tests/reference/test_calibration.py."""

import numpy as np
import pytest

from turfgis.errors import InputError
from turfgis.formulas.calibration import (
    application_volume,
    caught_rate,
    flow_for_volume,
    reached_share,
    speed_for_volume,
    strip_length,
    travel_speed,
)


def test_the_three_forms_of_one_rule_undo_each_other():
    rng = np.random.default_rng(3)
    flow, speed, width = rng.uniform(1e-6, 1e-3, 50), rng.uniform(0.3, 4, 50), rng.uniform(0.3, 12, 50)
    rate = application_volume(flow, speed, width)
    assert flow_for_volume(rate, speed, width) == pytest.approx(flow, rel=1e-12)
    assert speed_for_volume(rate, flow, width) == pytest.approx(speed, rel=1e-12)


def test_twice_the_speed_is_half_the_volume():
    assert application_volume(1e-4, 4.0, 3.0) == pytest.approx(application_volume(1e-4, 2.0, 3.0) / 2, rel=1e-15)


def test_one_nozzle_over_its_spacing_is_the_whole_boom_over_its_width():
    assert application_volume(12 * 2e-5, 1.5, 6.0) == pytest.approx(application_volume(2e-5, 1.5, 0.5), rel=1e-14)


def test_a_strip_of_the_length_has_the_area():
    assert strip_length(100.0, 4.0) * 4.0 == 100.0
    assert caught_rate(3.0, strip_length(100.0, 4.0), 4.0) == pytest.approx(0.03)


def test_no_error_reaches_all_of_the_ground():
    assert reached_share(0.0) == 1.0
    assert reached_share(1.0) == 0.5


def test_speed_is_length_over_time():
    assert travel_speed(50.0, 25.0) == 2.0


@pytest.mark.parametrize(
    ("formula", "arguments", "words"),
    [
        (travel_speed, (50, 0), "time must be greater than 0 s"),
        (application_volume, (-1, 1, 1), "flow must be 0 m3/s or more"),
        (application_volume, (1, 0, 1), "speed must be greater than 0 m/s"),
        (flow_for_volume, (1, 1, 0), "width must be greater than 0 m"),
        (speed_for_volume, (0, 1, 1), "spray volume must be greater than 0"),
        (caught_rate, (1, 0, 1), "length must be greater than 0 m"),
        (strip_length, (1, 0), "width must be greater than 0 m"),
        (reached_share, (-0.1,), "error must be 0 or more"),
    ],
)
def test_what_has_no_meaning_is_refused(formula, arguments, words):
    with pytest.raises(InputError, match=words):
        formula(*arguments)
