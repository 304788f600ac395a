"""Sand: laws and limits. Printed figures: tests/reference/test_materials.py."""

import pytest

from turfgis.errors import InputError
from turfgis.formulas.sand import delivered_mass, dry_mass, layer_depth, layer_mass, layer_volume


def test_a_millimetre_is_a_litre_to_the_square_metre():
    assert layer_volume(1.0, 0.001) == 0.001


def test_mass_and_depth_are_inverses():
    assert layer_depth(layer_mass(0.0023, 1537), 1537) == pytest.approx(0.0023, rel=1e-14)


def test_mass_is_volume_times_density():
    assert layer_mass(0.0023, 1537) * 480 == pytest.approx(layer_volume(480, 0.0023) * 1537, rel=1e-14)


def test_water_weighs_a_kilogram_to_the_millimetre():
    # density of water, 1,000 kg/m3: one litre weighs one kilogram
    assert layer_mass(0.001, 1000) == pytest.approx(1.0, rel=1e-14)


def test_dry_sand_without_loss_is_delivered_as_it_is():
    assert delivered_mass(1234.5, 0, 0) == 1234.5


def test_allowances_multiply():
    assert delivered_mass(1000, 0.05, 0.03) == pytest.approx(1000 * 1.05 * 1.03, rel=1e-14)
    assert delivered_mass(1000, 0.05, 0) + delivered_mass(1000, 0, 0.03) < 1000 + delivered_mass(1000, 0.05, 0.03)


def test_dry_mass_undoes_delivered_mass():
    assert dry_mass(delivered_mass(987.6, 0.08, 0.2), 0.08, 0.2) == pytest.approx(987.6, rel=1e-14)


def test_moisture_is_counted_on_the_dry_weight():
    """Definition of gravimetric water content in soil laboratories (ISO 11465): lost mass over dry mass."""
    wet, dry = 115.0, 100.0
    assert dry_mass(wet, (wet - dry) / dry, 0) == pytest.approx(dry, rel=1e-14)


@pytest.mark.parametrize("formula", [layer_mass, layer_depth])
def test_density_of_zero_is_refused(formula):
    with pytest.raises(InputError, match="bulk density must be greater than 0 kg/m3, but it is 0 kg/m3"):
        formula(1.0, 0)


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        ((-1, 0, 0), "mass must be 0 kg or more, but it is -1 kg"),
        ((1, -0.05, 0), "moisture must be 0 or more, but it is -0.05"),
        ((1, 0, -0.03), "storage loss must be 0 or more, but it is -0.03"),
    ],
)
@pytest.mark.parametrize("formula", [delivered_mass, dry_mass])
def test_what_is_below_zero_is_refused(formula, arguments, words):
    with pytest.raises(InputError, match=words):
        formula(*arguments)
