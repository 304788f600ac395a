"""Divot mix: laws and limits. Printed figures: tests/reference/test_year.py."""

import pytest

from turfgis.errors import InputError
from turfgis.formulas.divots import masses_by_volume, masses_by_weight, mix_for_rounds, sand_and_seed, worn_mix_volume
from turfgis.formulas.sand import layer_volume


def test_all_worn_is_a_whole_layer():
    assert worn_mix_volume(400, 1.0, 0.015) == layer_volume(400, 0.015)
    assert worn_mix_volume(400, 0.25, 0.015) == pytest.approx(layer_volume(100, 0.015), rel=1e-14)


def test_no_rounds_use_no_mix():
    assert mix_for_rounds(0, 0.25) == 0
    assert mix_for_rounds(3, 0.25) == pytest.approx(mix_for_rounds(1, 0.25) + mix_for_rounds(2, 0.25), rel=1e-14)


def test_parts_add_up_to_the_mix_and_keep_their_ratio():
    sand, seed = sand_and_seed(0.7, 5, 2)
    assert sand + seed == pytest.approx(0.7, rel=1e-14)
    assert sand / seed == pytest.approx(2.5, rel=1e-14)


def test_only_the_ratio_counts():
    assert sand_and_seed(0.7, 80, 20) == pytest.approx(sand_and_seed(0.7, 4, 1), rel=1e-14)


def test_no_seed_is_all_sand():
    assert sand_and_seed(0.7, 1, 0) == (0.7, 0)
    assert masses_by_weight(0.7, 1, 0, 1550, 350) == pytest.approx((0.7 * 1550, 0), rel=1e-14)


def test_equal_densities_make_weight_and_volume_the_same():
    by_volume, by_weight = masses_by_volume(0.7, 4, 1, 1500, 1500), masses_by_weight(0.7, 4, 1, 1500, 1500)
    assert by_weight == pytest.approx(by_volume, rel=1e-14)
    assert sum(by_volume) == pytest.approx(0.7 * 1500, rel=1e-14)


def test_masses_fill_the_volume():
    for masses in (masses_by_volume, masses_by_weight):
        sand, seed = masses(0.7, 4, 1, 1550, 350)
        assert sand / 1550 + seed / 350 == pytest.approx(0.7, rel=1e-14)


def test_each_keeps_its_own_ratio():
    sand, seed = masses_by_weight(0.7, 4, 1, 1550, 350)
    assert sand / seed == pytest.approx(4, rel=1e-14)
    sand, seed = masses_by_volume(0.7, 4, 1, 1550, 350)
    assert (sand / 1550) / (seed / 350) == pytest.approx(4, rel=1e-14)


@pytest.mark.parametrize(
    ("formula", "arguments", "words"),
    [
        (worn_mix_volume, (400, 10, 0.015), "worn share must be a share from 0 to 1"),
        (worn_mix_volume, (400, 0.1, -0.015), "divot depth must be 0 m or more"),
        (mix_for_rounds, (-1, 0.25), "rounds must be 0 or more"),
        (mix_for_rounds, (1, -0.25), "mix per round must be 0 or more"),
        (sand_and_seed, (0.5, 0, 1), "sand parts must be greater than 0"),
        (sand_and_seed, (0.5, 4, -1), "seed parts must be 0 or more"),
        (masses_by_volume, (0.5, 4, 1, 0, 350), "sand density must be greater than 0 kg/m3"),
        (masses_by_weight, (0.5, 4, 1, 1550, 0), "seed density must be greater than 0 kg/m3"),
        (masses_by_weight, (-0.5, 4, 1, 1550, 350), "mix volume must be 0 m3 or more"),
    ],
)
def test_what_has_no_meaning_is_refused(formula, arguments, words):
    with pytest.raises(InputError, match=words):
        formula(*arguments)
