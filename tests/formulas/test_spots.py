"""Growth of spots: straight between two looks."""

import pytest

from turfgis.errors import InputError
from turfgis.formulas.spots import weekly_growth


def test_a_week_gives_the_difference():
    assert weekly_growth(12.0, 15.5, 7) == 3.5


def test_twice_the_time_is_half_the_rate():
    assert weekly_growth(12.0, 20.0, 28) == pytest.approx(weekly_growth(12.0, 20.0, 14) / 2, rel=1e-15)


def test_the_way_back_is_the_same_with_its_sign_turned():
    assert weekly_growth(20.0, 12.0, 28) == -weekly_growth(12.0, 20.0, 28)


@pytest.mark.parametrize(
    ("given", "said"),
    [((-1, 2, 7), "before must be 0 m2"), ((1, -2, 7), "after must be 0 m2"), ((1, 2, 0), "days must be greater")],
)
def test_what_cannot_be_is_refused(given, said):
    with pytest.raises(InputError, match=said):
        weekly_growth(*given)
