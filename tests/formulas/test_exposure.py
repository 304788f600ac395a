import numpy as np
import pytest

from turfgis.errors import InputError
from turfgis.formulas.exposure import noise_exposure, vibration_exposure

DAY = 8 * 3600.0


def test_eight_hours_of_one_machine_are_its_own_value():
    assert vibration_exposure([3.2], [DAY]) == pytest.approx(3.2)
    assert noise_exposure([88.0], [DAY]) == pytest.approx(88.0)


def test_four_times_as_long_shakes_twice_as_much():
    assert vibration_exposure([3.2], [DAY]) == pytest.approx(2 * vibration_exposure([3.2], [DAY / 4]))


def test_ten_times_as_long_is_ten_decibels():
    assert noise_exposure([88.0], [DAY]) == pytest.approx(noise_exposure([88.0], [DAY / 10]) + 10)


@pytest.mark.parametrize("formula", [vibration_exposure, noise_exposure])
def test_one_machine_in_two_turns_is_one_machine(formula):
    assert formula([5.0, 5.0], [1000.0, 2600.0]) == pytest.approx(formula([5.0], [3600.0]))


def test_nothing_used_is_nothing():
    assert vibration_exposure([], []) == 0
    assert noise_exposure([90.0], [0.0]) == -np.inf


@pytest.mark.parametrize("formula", [vibration_exposure, noise_exposure])
def test_what_means_nothing_is_refused(formula):
    with pytest.raises(InputError, match="duration"):
        formula([3.0], [-1.0])
    with pytest.raises(InputError, match="must be"):
        formula([np.nan], [1.0])
