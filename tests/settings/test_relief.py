"""``[elevation]`` and the limits of machines: what can be read, and what is refused with what would be accepted."""

import pytest

from turfgis.errors import InputError
from turfgis.settings.relief import read_slope


# 16 deg is 28.7 %, 1 in 3 is 18.4 deg, 1 in 2 is 26.6 deg: trigonometry, and printed so in manuals
@pytest.mark.parametrize(
    ("text", "degrees"),
    [
        ("16 deg", 16),
        ("16°", 16),
        ("16 degrees", 16),
        ("7,5 deg", 7.5),
        ("28.7 %", 16.0),
        ("100 %", 45),
        ("1 in 3", 18.4),
        ("1 in 2", 26.6),
        ("1:4", 14.0),
    ],
)
def test_slopes_as_people_write_them(text, degrees):
    assert read_slope(text) * 57.29577951 == pytest.approx(degrees, abs=0.05)


@pytest.mark.parametrize("value", ["16", "steep", "-5 deg", "0 %", "90 deg", "120 deg", "1 in 0", "16 rad", "", "1 in"])
def test_slopes_that_are_none(value):
    with pytest.raises(InputError):
        read_slope(value)


def test_a_bare_number_is_refused():
    """Sixteen of what?"""
    with pytest.raises(InputError, match="16 has no unit"):
        read_slope(16)
