"""Seed: laws and limits. Printed figures: tests/reference/test_materials.py."""

import pytest

from turfgis.errors import InputError
from turfgis.formulas.seed import pure_live_seed, sowing_rate


def test_perfect_seed_is_sown_as_it_is():
    assert sowing_rate(0.01, pure_live_seed(1, 1)) == 0.01


def test_half_alive_is_twice_as_much():
    assert sowing_rate(0.01, 0.5) == 0.02


def test_what_is_sown_holds_what_was_wanted():
    live = pure_live_seed(0.98, 0.85)
    assert sowing_rate(0.012, live) * live == pytest.approx(0.012, rel=1e-14)


def test_dead_seed_cannot_be_sown_to_a_rate():
    with pytest.raises(InputError, match="share of pure live seed must be a share above 0 and up to 1"):
        sowing_rate(0.01, pure_live_seed(0.98, 0.0))


@pytest.mark.parametrize(
    ("purity", "germination", "words"),
    [
        (98, 0.85, r"purity must be a share from 0 to 1 \(85 % is 0.85\), but it is 98"),
        (0.98, 85, "germination must be a share from 0 to 1"),
    ],
)
def test_per_cent_is_refused(purity, germination, words):
    with pytest.raises(InputError, match=words):
        pure_live_seed(purity, germination)
