"""Tanks along the ground: laws and limits."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from turfgis.errors import InputError
from turfgis.formulas.tanks import along_tanks, tank_mixes, tank_volumes

AMOUNTS = st.lists(st.floats(0.001, 2.0), min_size=1, max_size=12)
QUIETLY = settings(deadline=None)  # a busy machine is no error
TANK, DEAD = st.floats(0.05, 1.0), st.floats(0.0, 0.04)


@QUIETLY
@given(AMOUNTS, TANK, DEAD)
def test_all_tanks_together_are_what_is_sprayed_and_the_rest_once(amounts, tank, dead):
    volumes = tank_volumes(sum(amounts), tank, dead)
    assert volumes.sum() == pytest.approx(sum(amounts), rel=1e-9)
    assert tank_mixes(volumes, dead).sum() == pytest.approx(sum(amounts) + dead, rel=1e-9)
    assert (tank_mixes(volumes, dead) <= tank * (1 + 1e-9)).all()
    assert volumes[:-1] == pytest.approx(np.full(len(volumes) - 1, tank - dead))


@QUIETLY
@given(AMOUNTS, TANK)
def test_rows_are_tanks_and_columns_are_places(amounts, tank):
    volumes = tank_volumes(sum(amounts), tank)
    split = along_tanks(amounts, volumes)
    assert (split >= 0).all()
    assert split.sum(axis=0) == pytest.approx(np.array(amounts), rel=1e-7, abs=1e-8)
    assert split.sum(axis=1) == pytest.approx(volumes, rel=1e-7, abs=1e-8)
    assert (np.diff([row.nonzero()[0][0] for row in split]) >= 0).all(), "tanks go along the order"


@QUIETLY
@given(AMOUNTS, TANK, DEAD, st.floats(0.1, 0.9), st.integers(0, 11))
def test_splitting_a_place_changes_no_tank(amounts, tank, dead, share, at):
    at %= len(amounts)
    parted = [*amounts[:at], amounts[at] * share, amounts[at] * (1 - share), *amounts[at + 1 :]]
    volumes = tank_volumes(sum(amounts), tank, dead)
    whole, split = along_tanks(amounts, volumes), along_tanks(parted, tank_volumes(sum(parted), tank, dead))
    together = np.delete(split, at + 1, axis=1)
    together[:, at] += split[:, at + 1]
    assert together == pytest.approx(whole, rel=1e-6, abs=1e-8)


def test_whole_tanks_leave_no_last_one():
    """Ten times 0.1 is not one in floats."""
    amounts = [0.1] * 30
    split = along_tanks(amounts, tank_volumes(sum(amounts), 0.3))
    assert split.shape == (10, 30)
    assert ((split > 0).sum(axis=1) == 3).all()


def test_a_litre_more_is_a_tank_of_a_litre():
    assert (1000 * tank_volumes(0.601, 0.2)).round(6).tolist() == [200, 200, 200, 1]


def test_the_first_tank_fills_the_hoses():
    assert (1000 * tank_mixes(tank_volumes(0.1, 0.2, 0.01), 0.01)).round(6).tolist() == [110]


def test_nothing_to_spray_takes_no_tank():
    assert len(tank_volumes(0.0, 0.2, 0.01)) == 0
    assert len(tank_mixes(tank_volumes(0.0, 0.2), 0.01)) == 0
    assert along_tanks([], []).shape == (0, 0)


@pytest.mark.parametrize(
    ("formula", "arguments", "words"),
    [
        (tank_volumes, (-1, 0.2), "volume must be 0 m3 or more"),
        (tank_volumes, (1, 0), "tank volume must be greater than 0 m3"),
        (tank_volumes, (1, 0.2, -0.1), "dead volume must be 0 m3 or more"),
        (tank_volumes, (1, 0.2, 0.2), "holds no more than what stays in it"),
        (tank_mixes, ([-0.1], 0.0), "volumes must be 0 m3 or more"),
        (tank_mixes, ([0.1], -1), "dead volume must be 0 m3 or more"),
        (along_tanks, ([-0.1], [0.1]), "amounts must be 0 m3 or more"),
        (along_tanks, ([0.1], [-0.1]), "tanks must be 0 m3 or more"),
        (along_tanks, ([0.1], [0.2]), "do not cover"),
        (tank_volumes, ("1", 0.2), "volume must be a number"),
    ],
)
def test_what_has_no_meaning_is_refused(formula, arguments, words):
    with pytest.raises(InputError, match=words):
        formula(*arguments)
