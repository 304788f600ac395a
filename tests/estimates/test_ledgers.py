"""
The ledgers of a year: nutrients and sand on the ground, on rectangles, against printed examples and sums by hand.

Figures "by hand" have no source but the arithmetic beside them.
"""

from decimal import Decimal
from math import pi

import pytest

from turfgis.estimates.edges import estimate_edges
from turfgis.estimates.ledgers import estimate_ledger, nutrient_contents
from turfgis.estimates.takeoff import estimate_year
from turfgis.formulas.ledger import nutrient_load, yearly_depth

# Exact by definition.
POUND, FOOT = 0.45359237, 0.3048
THOUSAND_FT2 = 1000 * FOOT**2
ONE_HECTARE = [("green", "1", 100.0, 100.0)]
YEAR = 'accuracy = "0 m"\nyear = 2027'
# Areas come back from projected coordinates to about a nanometre in a metre.
CLOSE = 1e-8


def as_printed(text):
    """What equals a figure, typed as it was printed, to half of its last digit."""
    half = 0.5 * 10.0 ** int(Decimal(text).as_tuple().exponent)
    return pytest.approx(float(text), abs=half * (1 + 1e-9), rel=0)


def product(analysis, rate, more="", kind="fertiliser", work="fertilise", name="feed"):
    """A material of this analysis, and a job on the greens that puts it out."""
    extra = 'density = "1.2 kg/l"\n' if kind == "liquid" else ""
    return (
        f'[material.{name}]\nkind = "{kind}"\nanalysis = {{ {analysis} }}\n{extra}'
        f'[[job]]\nname = "{name}"\nwork = "{work}"\non = ["green"]\nmaterial = "{name}"\nrate = "{rate}"\n{more}\n'
    )


@pytest.fixture
def ledger(course):
    def opening(tables, rectangles=ONE_HECTARE, head=YEAR):
        return estimate_ledger(estimate_year(course(tables, rectangles, head)))

    return opening


def year_of(ledger, surface="green"):
    """Nutrient or sand -> what a surface gets in the year."""
    return {entry.what: entry for entry in ledger.years if entry.surface == surface}


# analysis, rate; kg/ha as printed
GRANULES = [
    # [maker-note-granules] a turf-fertiliser maker's technical note (name left out), nutrients from granules and
    # liquids
    pytest.param(
        'N = "5 %", P2O5 = "5 %", K2O = "15 %"', "25 g/m2", {"N": "12.5", "P2O5": "12.5", "K2O": "37.5"}, id="5-5-15"
    ),
    pytest.param('N = "14 %"', "35 g/m2", {"N": "49"}, id="14-0-0"),
    pytest.param('N = "14 %"', "350 kg/ha", {"N": "49"}, id="14-0-0-by-the-hectare"),
]


@pytest.mark.parametrize(("analysis", "rate", "printed"), GRANULES)
def test_nutrients_of_granules_as_printed(analysis, rate, printed, ledger):
    year = year_of(ledger(product(analysis, rate)))
    for nutrient, text in printed.items():
        assert year[nutrient].net * 1e4 == as_printed(text)
        assert year[nutrient].treated * 1e4 == as_printed(text)


def test_nutrients_of_a_liquid_as_printed(ledger):
    # [maker-note-granules] the same note: 40 L/ha of 18-9-9 weight in volume give 7.2, 3.6 and 3.6 kg/ha; by weight
    # that is 15-7.5-7.5 in a liquid of 1.2 kg/l
    liquid = product('N = "15 %", P2O5 = "7.5 %", K2O = "7.5 %"', "40 l/ha", kind="liquid", work="spray")
    year = year_of(ledger(liquid))
    for nutrient, text in (("N", "7.2"), ("P2O5", "3.6"), ("K2O", "3.6")):
        assert year[nutrient].net * 1e4 == as_printed(text)


def test_nutrients_and_elements_in_a_load_as_printed(ledger):
    # [turf-maths-worksheet] a US extension service, Turfgrass Mathematics Review/Practice Worksheet for Certified
    # Turfgrass Professional Testing, http://docplayer.net/28210450
    # 1,250 lb of 5-10-20, here on a hectare of greens: 62.5 lb N, 125 P2O5, 250 K2O; 55 lb P and 207.5 K
    year = year_of(ledger(product('N = "5 %", P2O5 = "10 %", K2O = "20 %"', "1250 lb/ha")))
    for nutrient, text in (("N", "62.5"), ("P2O5", "125"), ("K2O", "250"), ("P", "55"), ("K", "207.5")):
        assert year[nutrient].mass / POUND == as_printed(text), nutrient


def test_a_bag_of_urea_on_the_net_and_the_treated_area(ledger):
    # [haines-2023] J. Haines, Does size matter, 2023, http://fusariummy.blogspot.com/2023/02/does-size-matter.html
    # one bag of 25 kg of urea (46 % nitrogen) over 1.2 ha, meant for 1.0 ha: 17 % less on the green
    urea = product('N = "46 %"', "20.83333333333333 kg/ha", 'overthrow = "20 %"')
    nitrogen = year_of(ledger(urea))["N"]
    assert nitrogen.mass == pytest.approx(25 * 0.46, rel=CLOSE)
    assert nitrogen.net * 1e3 == as_printed("1.15")
    assert nitrogen.treated * 1e3 == as_printed("0.96")
    assert 100 * (1 - nitrogen.treated / nitrogen.net) == as_printed("17")
    # and on each area it is what the formula says of the whole bag
    assert nitrogen.net == pytest.approx(nutrient_load(11.5, 10_000), rel=CLOSE)
    assert nitrogen.treated == pytest.approx(nutrient_load(11.5, 12_000), rel=CLOSE)


def test_without_overthrow_both_areas_are_one(ledger):
    nitrogen = year_of(ledger(product('N = "46 %"', "25 kg/ha")))["N"]
    assert nitrogen.net == pytest.approx(nitrogen.treated, rel=1e-12)


def test_running_sums_by_hand(ledger):
    # 2 x 5 kg/ha in March, 10 in April, 3 x 5 in June; each calendar year begins anew
    months = 'months = { "2027-03" = 2, "2027-06" = 3, "2028-01" = 1 }'
    tables = product('N = "20 %"', "25 kg/ha", months) + product(
        'N = "10 %"', "100 kg/ha", "dates = [2027-04-11]", name="more"
    )
    nitrogen = [entry for entry in ledger(tables).months if entry.what == "N"]
    assert [entry.when for entry in nitrogen] == ["2027-03", "2027-04", "2027-06", "2028-01"]
    assert [entry.net * 1e4 for entry in nitrogen] == pytest.approx([10, 10, 15, 5], rel=CLOSE)
    assert [entry.running_net * 1e4 for entry in nitrogen] == pytest.approx([10, 20, 35, 5], rel=CLOSE)
    assert [entry.running_treated * 1e4 for entry in nitrogen] == pytest.approx([10, 20, 35, 5], rel=CLOSE)
    years = {entry.when: entry.net * 1e4 for entry in ledger(tables).years if entry.what == "N"}
    assert years == pytest.approx({"2027": 35, "2028": 5}, rel=CLOSE)


def test_months_and_the_undated_add_up_to_the_year(ledger):
    tables = product('N = "20 %"', "25 kg/ha", "months = [3, 4]") + product('N = "10 %"', "10 kg/ha", name="some day")
    tables = tables.replace("[material.some day]", '[material."some day"]')
    made = ledger(tables)
    months = [entry for entry in made.months if entry.what == "N"]
    assert months[-1].when is None
    assert sum(entry.mass for entry in months) == pytest.approx(year_of(made)["N"].mass, rel=1e-12)
    assert months[-1].running_net == pytest.approx(year_of(made)["N"].net, rel=1e-12)


def test_a_mean_counts_the_patches_that_get_nothing(ledger):
    # by hand: 50 kg/ha on 0.4 of 1.0 ha are 20 as a mean
    two = [("green", "1", 40.0, 100.0), ("green", "2", 60.0, 100.0), ("fairway", "1", 100.0, 50.0)]
    made = ledger(product('N = "50 %"', "100 kg/ha", 'holes = ["1"]'), two)
    nitrogen = year_of(made)["N"]
    assert nitrogen.net * 1e4 == pytest.approx(20, rel=CLOSE)
    assert (nitrogen.patch, nitrogen.patch_net * 1e4) == ("green-01", pytest.approx(50, rel=CLOSE))
    assert not year_of(made, "fairway")


def test_an_element_on_the_label_counts_as_its_oxide(course):
    # atomic weights of P 30.974, K 39.098 and O 15.999 (IUPAC 2021, from memory): 2.2913 and 1.2046, the inverses
    # that handbooks print (from memory)
    materials = course(product('P = "10 %", K = "10 %"', "1 g/m2")).settings.material
    held = nutrient_contents(materials["feed"])
    assert held["P2O5"] == pytest.approx(0.22913, abs=5e-6)
    assert held["K2O"] == pytest.approx(0.12046, abs=5e-6)
    assert (held["P"], held["K"]) == (0.1, 0.1)


def test_a_rate_of_nutrient_is_what_comes_down(ledger, words):
    # 3 g/m2 of nitrogen from a product of 12-4-8: a third and two thirds of it of the others
    year = year_of(ledger(words.feed + words.feeding))
    assert [year[name].net * 1e3 for name in ("N", "P2O5", "K2O")] == pytest.approx([3, 1, 2], rel=CLOSE)


def test_what_brings_nothing_is_in_no_ledger(ledger, words):
    made = ledger(words.seed + words.sow)
    assert (made.months, made.years) == ((), ())


WET = 'moisture = "5 %"\nstorage_loss = "10 %"\n'


def test_sand_in_holes_and_on_the_surface_by_hand(ledger, words):
    # holes of 12 mm, 50 mm apart, 75 mm deep: pi 12^2 / 4 / 50^2 x 75 = 3.393 mm; two dressings of 2 mm
    tables = words.sand + WET + words.core + words.dress + "times = 2\n"
    year = year_of(ledger(tables))
    holes = pi * 12**2 / 4 / 50**2 * 75
    assert year["sand in holes"].treated * 1e3 == pytest.approx(holes, rel=CLOSE)
    assert year["sand on the surface"].treated * 1e3 == pytest.approx(4, rel=CLOSE)
    assert year["sand"].treated * 1e3 == pytest.approx(holes + 4, rel=CLOSE)
    # dry: neither the water in it nor what is lost in store lies on the green
    assert year["sand"].mass == pytest.approx((holes + 4) * 16_000, rel=CLOSE)
    assert year["sand"].net == pytest.approx(yearly_depth(year["sand"].mass, 10_000, 1600), rel=CLOSE)


def test_sand_in_slits_by_hand(ledger, words):
    # slits of 3 mm, 25.4 mm apart and 25.4 mm deep hold 3 / 25.4 x 25.4 = 3 mm
    slits = words.core.replace("hollow_tine", "scarify").replace('tine = "12 mm"', 'blade = "3 mm"')
    slits = slits.replace('"50 mm"', '"25.4 mm"').replace('"75 mm"', '"25.4 mm"')
    year = year_of(ledger(words.sand + slits))
    assert year["sand in holes"].treated * 1e3 == pytest.approx(3, rel=CLOSE)
    assert "sand on the surface" not in year


def test_overthrow_by_the_edge_by_hand(course, words):
    # 40 x 100 m: within 1 m of it lie 2 x 140 + pi m2, within 0.5 m 140 + pi / 4 (corners are rounded in 128 pieces);
    # three dressings of 2 mm thrown 1 m and one thrown 0.5 m: 8 mm close to the edge
    far = words.dress + 'overthrow = "1 m"\ntimes = 3\n'
    near = words.dress.replace('"dress"', '"again"') + 'overthrow = "0.5 m"\n'
    grounds = [("green", "1", 40.0, 100.0), ("collar", "1", 10.0, 100.0)]
    (edge,) = estimate_edges(estimate_year(course(words.sand + far + near, grounds, YEAR)))
    wide, narrow = 280 + pi, 140 + pi / 4
    volume = 0.006 * wide + 0.002 * narrow
    assert (edge.surface, edge.when, edge.patch) == ("green", "2027", "green-01")
    assert edge.strip_m2 == pytest.approx(wide, rel=1e-5)
    assert (edge.near, edge.patch_near) == pytest.approx((0.008, 0.008), rel=CLOSE)
    assert edge.mass == pytest.approx(1600 * volume, rel=1e-5)
    assert edge.mean == pytest.approx(volume / wide, rel=1e-5)
    assert edge.collar == pytest.approx(volume / 1000, rel=1e-5)  # a thousand square metres of collar


def test_a_collar_smaller_than_the_strip_gets_its_share_only(course, words):
    grounds = [("green", "1", 40.0, 100.0), ("collar", "1", 1.0, 100.0)]
    (edge,) = estimate_edges(estimate_year(course(words.sand + words.dress + 'overthrow = "1 m"\n', grounds, YEAR)))
    assert edge.collar == pytest.approx(0.002, rel=CLOSE)


def test_sand_past_the_edge_lies_on_top_and_what_lands_inside_is_the_rest(course, words):
    takeoff = estimate_year(course(words.sand + words.core + 'overthrow = "10 %"\n', ONE_HECTARE, YEAR))
    (edge,), sand = estimate_edges(takeoff), year_of(estimate_ledger(takeoff))["sand"]
    assert edge.mass == pytest.approx(sand.mass / 11, rel=1e-12)  # a tenth of what is meant for the green
    assert sand.mass - edge.mass == pytest.approx(sand.treated * 1e4 * 1600, rel=CLOSE)
    assert sand.net == pytest.approx(1.1 * sand.treated, rel=1e-12)
    assert edge.collar is None


def test_no_overthrow_no_edge(course, words):
    assert estimate_edges(estimate_year(course(words.sand + words.dress, ONE_HECTARE, YEAR))) == ()
