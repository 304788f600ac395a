"""Mowing: laws and limits. Printed figures: tests/reference/test_machines.py."""

import pytest

from turfgis.errors import InputError
from turfgis.formulas.mowing import field_capacity, mowing_time, working_width


def test_capacity_without_losses_is_width_times_speed():
    assert field_capacity(0.5, 2.0, 1.0) == 1.0


def test_capacity_is_linear_in_each_argument():
    one = field_capacity(0.7, 1.3, 0.4)
    assert field_capacity(1.4, 1.3, 0.4) == pytest.approx(2 * one, rel=1e-14)
    assert field_capacity(0.7, 2.6, 0.4) == pytest.approx(2 * one, rel=1e-14)
    assert field_capacity(0.7, 1.3, 0.8) == pytest.approx(2 * one, rel=1e-14)


def test_time_is_area_over_capacity_and_edge_over_speed():
    cutting, clean_up = mowing_time(500, 85, 0.51, 1.25, 0.7)
    assert cutting * field_capacity(0.51, 1.25, 0.7) == pytest.approx(500, rel=1e-14)
    assert clean_up == 85 / 1.25


def test_a_strip_cut_without_turns():
    """A strip as wide as the machine takes its length over the speed, whatever formula is behind it."""
    cutting, _ = mowing_time(0.5 * 100, 201, 0.5, 1.25, 1.0)
    assert cutting == pytest.approx(100 / 1.25, rel=1e-14)


def test_overlap_narrows_the_pass():
    assert working_width(0.56, 0.05) == pytest.approx(0.51, rel=1e-14)
    with_overlap, _ = mowing_time(500, 85, 0.56, 1.25, 0.7, overlap=0.06)
    assert with_overlap == pytest.approx(mowing_time(500, 85, 0.50, 1.25, 0.7)[0], rel=1e-12)


def test_no_overlap_is_the_plain_width():
    assert mowing_time(500, 85, 0.56, 1.25, 0.7) == mowing_time(500, 85, 0.56, 1.25, 0.7, overlap=0)


@pytest.mark.parametrize("overlap", [0.56, 5])
def test_overlap_as_wide_as_the_machine_is_refused(overlap):
    with pytest.raises(InputError, match="overlap must be less than the width of the machine"):
        working_width(0.56, overlap)


@pytest.mark.parametrize("efficiency", [0, 70])
def test_efficiency_that_is_no_share_is_refused(efficiency):
    with pytest.raises(InputError, match=f"field efficiency must be a share above 0 and up to 1 .* it is {efficiency}"):
        field_capacity(0.5, 1.25, efficiency)


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        ((500, 85, 0.0, 1.25, 0.7), "width must be greater than 0 m"),
        ((500, 85, 0.5, 0.0, 0.7), "speed must be greater than 0 m/s"),
        ((-1, 85, 0.5, 1.25, 0.7), "area must be 0 m2 or more"),
        ((500, -1, 0.5, 1.25, 0.7), "perimeter must be 0 m or more"),
        ((500, 85, 0.5, 1.25, 0.7, -0.1), "overlap must be 0 m or more"),
    ],
)
def test_what_has_no_meaning_is_refused(arguments, words):
    with pytest.raises(InputError, match=words):
        mowing_time(*arguments)
