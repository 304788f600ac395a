"""Whole packs: always enough, never one too many, and not fooled by floats."""

from fractions import Fraction

import numpy as np
import pytest

from turfgis.errors import InputError
from turfgis.formulas.packs import whole_packs


def test_nothing_needs_no_pack():
    assert whole_packs(0, 20) == 0


def test_a_little_needs_a_pack():
    assert whole_packs(1e-3, 25) == 1


@pytest.mark.parametrize(("mass", "packs"), [(19.9, 1), (20, 1), (20.1, 2), (60, 3), (60.000000001, 3), (60.001, 4)])
def test_round_up_but_for_noise(mass, packs):
    assert whole_packs(mass, 20) == packs


def test_sums_of_floats_that_are_whole_packs():
    """Ten times 0.1 is not one in floats; an order is a sum of many such lines."""
    for lines in range(1, 400):
        assert whole_packs(sum([0.1] * (3 * lines)), 0.3) == lines


def test_against_exact_fractions():
    rng = np.random.default_rng(7)
    for mass, pack in rng.integers(1, 10_000, (200, 2)):
        exact = -(-Fraction(int(mass), 7) // Fraction(int(pack), 70))
        assert whole_packs(mass / 7, pack / 70) == exact


def test_counts_are_whole_numbers():
    assert isinstance(whole_packs(61.0, 20.0), int)
    assert np.asarray(whole_packs([61.0, 60.0], 20.0)).dtype.kind == "i"


@pytest.mark.parametrize(
    ("mass", "pack", "words"),
    [(-1, 20, "mass must be 0 kg or more, but it is -1 kg"), (1, 0, "pack mass must be greater than 0 kg")],
)
def test_what_has_no_meaning_is_refused(mass, pack, words):
    with pytest.raises(InputError, match=words):
        whole_packs(mass, pack)
