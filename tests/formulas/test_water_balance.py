"""Water in the root zone: what goes in comes out, a wet zone drains, a dry one gives less, and tanks run dry."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from turfgis.errors import InputError
from turfgis.formulas.water_balance import Source, evening_levels, water_balance

MM = 0.001


def days(*mm):
    return np.array(mm, dtype=float)[:, None] * MM


@given(st.integers(0, 2**32 - 1))
def test_nothing_is_lost_between_the_days(seed):
    """Over any weather: what is missing at the end is what was missing, used and drained, less rain and watering."""
    draw = np.random.default_rng(seed)
    use, rain = draw.uniform(0, 8, (40, 3)) * MM, draw.exponential(3, (40, 3)) * MM * (draw.random((40, 3)) < 0.3)
    total, start = draw.uniform(10, 60, 3) * MM, draw.uniform(0, 10, 3) * MM
    found = water_balance(use, rain, total, total * 0.5, start=start)
    kept = start + found.used.sum(0) + found.drained.sum(0) - rain.sum(0) - found.applied.sum(0)
    assert found.deficit[-1] == pytest.approx(kept, abs=1e-12)
    assert (found.deficit >= 0).all()
    assert (found.deficit <= total + 1e-12).all()
    assert (found.used <= use + 1e-15).all()
    assert found.applied == pytest.approx(found.need)  # water is there, so every need is met
    assert not found.short.any()


def test_by_hand():
    """Ready water of 6 mm: 4 + 4 makes 8, due; rain of 5 on a deficit of 4 drains 1."""
    found = water_balance(days(4, 4, 4, 0), days(0, 0, 0, 5), [15 * MM], [6 * MM])
    assert found.need[:, 0] / MM == pytest.approx([0, 8, 0, 0])
    assert found.deficit[:, 0] / MM == pytest.approx([4, 0, 4, 0])
    assert found.drained[:, 0] / MM == pytest.approx([0, 0, 0, 1])


def test_dry_ground_gives_less():
    """Beyond the ready water use falls in a straight line to none: at 9 of 6 to 12 mm it is half."""
    found = water_balance(days(4), days(0), [12 * MM], [6 * MM], applied=days(0), start=9 * MM)
    assert found.used[0, 0] / MM == pytest.approx(2)
    never = water_balance(
        np.full((400, 1), 5 * MM), np.zeros((400, 1)), [12 * MM], [6 * MM], applied=np.zeros((400, 1))
    )
    assert never.deficit[-1, 0] / MM == pytest.approx(12, abs=0.01)


def test_no_more_than_the_most_in_an_evening():
    found = water_balance(days(8, 0, 1), days(0, 0, 0), [30 * MM], [6 * MM], most=[3 * MM])
    assert found.need[:, 0] / MM == pytest.approx([3, 0, 3])  # 8 - 3 = 5 is not yet due, 5 + 1 is


def test_what_was_given_stands_and_the_rest_is_planned():
    found = water_balance(days(4, 4, 4), days(0, 0, 0), [30 * MM], [6 * MM], applied=days(1, np.nan, np.nan))
    assert found.applied[:, 0] / MM == pytest.approx([1, 7, 0])
    over = water_balance(days(1), days(0), [30 * MM], [6 * MM], applied=days(9))
    assert over.drained[0, 0] / MM == pytest.approx(8)


def test_the_first_in_line_gets_water():
    """Two surfaces of 1,000 m3/m; 8 mm due on both is 8 m3 each, and the night gives 10 m3."""
    gross = np.array([1000.0, 1000.0])
    use, rain = np.full((1, 2), 8 * MM), np.zeros((1, 2))
    found = water_balance(use, rain, 0.015, 0.006, gross=gross, source=Source(most=10.0))
    assert found.applied[0] / MM == pytest.approx([8, 2])
    assert found.short[0] / MM == pytest.approx([0, 6])


def test_a_tank_runs_down_and_fills():
    """
    100 m3 with a floor of 20, of which 10 run in by night and 30 in a day; 80 m3 are wanted each evening.

    First evening: 100 - 20 + 10 is enough; 100 - 80 + 30 = 50 is left. Second: 50 - 20 + 10 = 40.
    """
    use, rain = np.full((2, 1), 8 * MM), np.zeros((2, 1))
    source = Source(tank=100, floor=20, level=100, by_night=10, by_day=30)
    found = water_balance(use, rain, [0.05], [0.006], gross=[10_000.0], source=source)
    assert found.applied[:, 0] * 10_000 == pytest.approx([80, 40])
    allowed = water_balance(use, rain, [0.05], [0.006], gross=[10_000.0], source=Source(allowance=100.0))
    assert allowed.applied.sum() * 10_000 == pytest.approx(100)


def test_columns_do_not_meet_without_a_source():
    draw = np.random.default_rng(7)
    use, rain = draw.uniform(0, 6, (60, 4)) * MM, draw.exponential(1, (60, 4)) * MM
    total = np.array([10, 20, 30, 40]) * MM
    whole = water_balance(use, rain, total, total * 0.4)
    for at in range(4):
        one = water_balance(use[:, [at]], rain[:, [at]], total[[at]], total[[at]] * 0.4)
        assert np.array_equal(one.deficit[:, 0], whole.deficit[:, at])


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"use": days(-1)}, "use must be 0 m or more"),
        ({"rain": days(np.nan)}, "rain must be 0 m or more"),
        ({"total": [0.0]}, "available water must be greater than 0 m"),
        ({"ready": [0.02]}, "more water may be used up"),
        ({"applied": days(-3)}, "water applied must be 0 m or more"),
        ({"start": -0.001}, "deficit must be 0 m or more"),
        ({"most": [0.0]}, "the most for an evening must be greater than 0"),
        ({"gross": [0.0], "source": Source(most=3.0)}, "gross water must be greater than 0"),
    ],
)
def test_what_cannot_be_is_refused(change, words):
    said = {"use": days(4), "rain": days(0), "total": [0.015], "ready": [0.006], **change}
    with pytest.raises(InputError, match=words):
        water_balance(**said)


@given(st.lists(st.floats(0, 200), min_size=1, max_size=30), st.floats(0, 400))
def test_levels_of_evenings_lose_only_what_spills_over(let, inflow):
    """Where the tank is so large that nothing spills, in less out is what there is; twice of all is twice the level."""
    let = np.array(let)
    large = Source(tank=1e6, floor=0.0, level=8_000.0, by_day=inflow)
    levels = evening_levels(let, large)
    assert levels == pytest.approx(8_000.0 + inflow * np.arange(len(let)) - (let.cumsum() - let), abs=1e-6)
    small = Source(tank=600.0, floor=0.0, level=500.0, by_day=inflow)
    doubled = Source(tank=1_200.0, floor=0.0, level=1_000.0, by_day=2 * inflow)
    assert evening_levels(2 * let, doubled) == pytest.approx(2 * evening_levels(let, small), abs=1e-6)
    assert (evening_levels(let, small) <= 600.0).all()


def test_what_was_let_out_is_not_below_nothing():
    with pytest.raises(InputError, match="water let out must be"):
        evening_levels([125.0, -1.0], Source(tank=600.0))
