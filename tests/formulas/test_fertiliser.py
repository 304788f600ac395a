"""Fertiliser: laws and limits. Printed figures: tests/reference/test_materials.py."""

import pytest

from turfgis.errors import InputError
from turfgis.formulas import fertiliser as f


def test_product_and_nutrient_are_inverses():
    assert f.nutrient_rate(f.product_rate(0.003, 0.12), 0.12) == pytest.approx(0.003, rel=1e-14)
    assert f.liquid_nutrient_rate(f.liquid_product_rate(0.003, 187), 187) == pytest.approx(0.003, rel=1e-14)


def test_liquid_and_solid_agree_through_the_density():
    """A litre of 1,270 kg/m3 weighs 1.27 kg, whichever way its nitrogen is told."""
    by_volume = f.liquid_nutrient_rate(2e-6, f.weight_in_volume(0.28, 1270))
    assert by_volume == pytest.approx(f.nutrient_rate(2e-6 * 1270, 0.28), rel=1e-14)


def test_one_per_cent_weight_in_volume_is_ten_grams_to_the_litre():
    assert f.weight_in_volume(0.01, 1000) == pytest.approx(10.0, rel=1e-14)


@pytest.mark.parametrize(
    ("oxide", "atoms", "element", "oxygen"),
    # whole-number atomic masses, from memory: an independent check of which atoms are counted, good to 0.5 %
    [("P2O5", 2, 31, 5), ("K2O", 2, 39.1, 1), ("MgO", 1, 24.3, 1), ("CaO", 1, 40, 1), ("SO3", 1, 32, 3)],
)
def test_elements_by_whole_atomic_masses(oxide, atoms, element, oxygen):
    expected = atoms * element / (atoms * element + 16 * oxygen)
    assert f.element_from_oxide(oxide, 1.0) == pytest.approx(expected, rel=5e-3)


def test_element_scales_with_the_mass():
    assert f.element_from_oxide("K2O", [0, 1, 5]) == pytest.approx([0, 1, 5] * f.element_from_oxide("K2O", [1.0]))


def test_unknown_oxide_is_refused_with_the_known_ones():
    with pytest.raises(InputError, match="no factor is kept for oxide 'N'; use one of P2O5, K2O, MgO, CaO, SO3"):
        f.element_from_oxide("N", 1.0)


def test_negative_mass_of_oxide_is_refused():
    with pytest.raises(InputError, match="mass must be 0 kg or more"):
        f.element_from_oxide("K2O", -1.0)


@pytest.mark.parametrize("content", [0, 12])
def test_content_that_cannot_be_divided_by_is_refused(content):
    with pytest.raises(InputError, match=f"nutrient content must be a share above 0 and up to 1 .* it is {content}"):
        f.product_rate(0.003, content)


def test_content_in_per_cent_is_refused():
    with pytest.raises(InputError, match="nutrient content must be a share from 0 to 1"):
        f.nutrient_rate(0.025, 12)
    with pytest.raises(InputError, match="nutrient content must be a share from 0 to 1"):
        f.weight_in_volume(28, 1270)


def test_liquid_without_nutrient_cannot_bring_a_rate():
    with pytest.raises(InputError, match="concentration must be greater than 0 kg/m3"):
        f.liquid_product_rate(0.003, 0)
