"""Scarifying: laws and limits. Printed figures: tests/reference/test_year.py."""

import pytest
from shapely.affinity import rotate
from shapely.geometry import box
from shapely.ops import unary_union

from turfgis.errors import InputError
from turfgis.formulas.scarify import debris_volume, slit_area_share, slit_length, slit_volume
from turfgis.formulas.tines import combined_share


def test_share_grows_with_the_blade_and_falls_with_the_spacing():
    assert slit_area_share(0.004, 0.05) == pytest.approx(2 * slit_area_share(0.002, 0.05), rel=1e-14)
    assert slit_area_share(0.002, 0.10) == pytest.approx(slit_area_share(0.002, 0.05) / 2, rel=1e-14)


def test_blades_that_touch_open_everything():
    assert slit_area_share(0.025, 0.025) == 1


def test_share_and_length_as_drawn_by_shapely():
    """Slits drawn every 25 mm across a square metre, as shapely measures them; crossed slits as well."""
    slits = unary_union([box(0.0125 + 0.025 * k - 0.0015, -1, 0.0125 + 0.025 * k + 0.0015, 2) for k in range(40)])
    patch = box(0, 0, 1, 1)
    assert slit_area_share(0.003, 0.025) == pytest.approx(slits.intersection(patch).area, rel=1e-9)
    assert slit_length(0.025) * 0.003 == pytest.approx(slits.intersection(patch).area, rel=1e-9)
    crossed = slits.union(rotate(slits, 90, origin=(0.5, 0.5))).intersection(patch).area
    one = slit_area_share(0.003, 0.025)
    assert combined_share(one, one) == pytest.approx(crossed, rel=1e-9)


def test_volume_is_share_times_depth():
    assert slit_volume(0.003, 0.025, 0.0) == 0
    assert slit_volume(0.003, 0.025, 1.0) == slit_area_share(0.003, 0.025)


def test_debris_is_the_volume_opened_made_loose():
    assert debris_volume(500, 0.003, 0.025, 0.02, 1) == pytest.approx(500 * slit_volume(0.003, 0.025, 0.02), rel=1e-14)
    assert debris_volume(500, 0.003, 0.025, 0.02, 3) == pytest.approx(3 * 500 * 0.003 / 0.025 * 0.02, rel=1e-14)


def test_a_blade_in_another_unit_is_named():
    with pytest.raises(InputError, match=r"slits overlap: blade width 3 m is more than the blade spacing 0\.025 m"):
        slit_area_share([0.002, 3.0], 0.025)


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        ((0, 0.025, 0.02), "blade width must be greater than 0 m"),
        ((0.003, 0, 0.02), "blade spacing must be greater than 0 m"),
        ((0.003, 0.025, -0.02), "slit depth must be 0 m or more"),
    ],
)
def test_what_has_no_meaning_is_refused(arguments, words):
    with pytest.raises(InputError, match=words):
        slit_volume(*arguments)


def test_debris_that_shrinks_to_nothing_is_refused():
    with pytest.raises(InputError, match="loosening must be greater than 0"):
        debris_volume(500, 0.003, 0.025, 0.02, 0)
