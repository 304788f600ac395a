"""Rates, run times, cycles: limits, and a surface followed step by step."""

import numpy as np
import pytest

from turfgis.errors import InputError
from turfgis.formulas.run_times import cycle_count, longest_cycle, precipitation_rate, run_time, soak_time

MM_H = 1e-3 / 3600


def test_a_depth_comes_back_from_its_time():
    rate = precipitation_rate(12 / 3600, 800.0)
    assert rate * run_time(0.004, rate, 1.0) == pytest.approx(0.004, rel=1e-14)
    assert run_time(0.004, rate, 0.8) == pytest.approx(run_time(0.005, rate, 1.0), rel=1e-14)


@pytest.mark.parametrize(("rate", "intake", "standing"), [(14.0, 8.0, 1.0), (30.0, 5.0, 2.5), (9.0, 8.9, 0.2)])
def test_what_stands_on_the_ground_followed_second_by_second(rate, intake, standing):
    cycle = longest_cycle(rate * MM_H, intake * MM_H, standing * 1e-3)
    soak = soak_time(cycle, rate * MM_H, intake * MM_H)
    depth, highest, dry = 0.0, 0.0, None
    for second in range(int(cycle + soak) + 20):
        depth = max(0.0, depth + (rate if second < cycle else 0.0) * MM_H - intake * MM_H)
        highest = max(highest, depth)
        if second > cycle and depth == 0.0 and dry is None:
            dry = second
    assert highest == pytest.approx(standing * 1e-3, rel=0.01)
    assert dry == pytest.approx(cycle + soak, abs=2 + rate / intake)  # a second more or less of falling water


def test_ground_that_takes_all_in_has_no_longest_cycle():
    assert longest_cycle(8 * MM_H, 8 * MM_H, 0.001) == np.inf
    assert longest_cycle(8 * MM_H, 9 * MM_H, 0.0) == np.inf
    assert cycle_count(3600, np.finfo(float).max) == 1
    assert soak_time(600, 8 * MM_H, 9 * MM_H) == 0.0


def test_cycles_are_whole_and_noise_opens_none():
    assert [cycle_count(time, 600.0) for time in (0.0, 1.0, 600.0, 600.0 * (1 + 1e-12), 601.0)] == [0, 1, 1, 1, 2]
    assert cycle_count([1200.0, 1201.0], 600.0).tolist() == [2, 3]


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: precipitation_rate(1.0, 0.0), "area"),
        (lambda: run_time(0.01, 0.0, 1.0), "rate"),
        (lambda: run_time(0.01, MM_H, 80.0), "uniformity"),
        (lambda: longest_cycle(MM_H, 0.0, 0.001), "intake"),
        (lambda: cycle_count(60.0, 0.0), "longest cycle"),
        (lambda: soak_time(60.0, MM_H, 0.0), "intake"),
    ],
)
def test_what_has_no_meaning_is_refused(call, words):
    with pytest.raises(InputError, match=words):
        call()
