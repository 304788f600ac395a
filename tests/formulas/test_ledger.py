"""The ledger: laws and limits. Printed figures: tests/reference/test_year.py."""

import pytest

from turfgis.errors import InputError
from turfgis.formulas.ledger import edge_build_up, mass_beyond, nutrient_load, yearly_depth
from turfgis.formulas.sand import layer_mass
from turfgis.formulas.spread import true_rate


def test_depth_undoes_the_mass_of_a_layer():
    assert yearly_depth(500 * layer_mass(0.006, 1537), 500, 1537) == pytest.approx(0.006, rel=1e-14)


def test_the_same_sand_over_more_years_is_less_a_year():
    assert yearly_depth(9000, 500, 1600, 3) == pytest.approx(yearly_depth(3000, 500, 1600), rel=1e-14)


def test_no_strip_no_loss():
    assert mass_beyond(9000, 500, 500) == 0
    assert mass_beyond(9000, 500, 500 * (1 - 1e-13)) == 0


def test_what_stays_and_what_goes_is_all():
    stays = true_rate(9000 / 500, 500, 561) * 500
    assert stays + mass_beyond(9000, 500, 561) == pytest.approx(9000, rel=1e-14)


def test_even_spread_builds_up_alike_on_both_sides_of_the_edge():
    beyond = mass_beyond(9000, 500, 561)
    assert edge_build_up(beyond, 61, 1600) == pytest.approx(edge_build_up(9000, 561, 1600), rel=1e-12)


def test_a_gram_to_the_square_metre_is_ten_kilograms_to_the_hectare():
    assert nutrient_load(10, 10_000) == pytest.approx(0.001, rel=1e-14)


@pytest.mark.parametrize(
    ("formula", "arguments", "words"),
    [
        (yearly_depth, (-1, 500, 1600), "dry mass must be 0 kg or more"),
        (yearly_depth, (1, 0, 1600), "area must be greater than 0 m2"),
        (yearly_depth, (1, 500, 0), "bulk density must be greater than 0 kg/m3"),
        (yearly_depth, (1, 500, 1600, 0), "years must be greater than 0"),
        (mass_beyond, (-1, 500, 561), "mass must be 0 kg or more"),
        (mass_beyond, (1, 0, 561), "net area must be greater than 0 m2"),
        (mass_beyond, (1, 561, 500), "treated area is smaller than net area"),
        (edge_build_up, (1, 0, 1600), "strip area must be greater than 0 m2"),
        (nutrient_load, (1, 0), "area must be greater than 0 m2"),
    ],
)
def test_what_has_no_meaning_is_refused(formula, arguments, words):
    with pytest.raises(InputError, match=words):
        formula(*arguments)
