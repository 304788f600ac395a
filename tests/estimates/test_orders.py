"""
Orders against worked examples printed by others, and against sums a pencil can follow on rectangles of known area.

Where no source is named, the sum stands in the comment. The greens make one hectare: 4,000 and 6,000 m2.
"""

from math import pi, sqrt

import pytest

from turfgis.errors import SettingsError
from turfgis.estimates.orders import orders_for

ACRE, FOOT2, US_TON, POUND = 4046.8564224, 0.3048**2, 907.18474, 0.45359237


def only(course, **wanted):
    (order,) = orders_for(course, **wanted)
    return order


def test_the_rectangles_have_the_areas_they_were_drawn_with(course):
    patches = course().measured.patches
    assert patches["net_m2"].tolist() == pytest.approx([4000, 6000, 5000], abs=1e-4)
    assert patches["perimeter_m"].tolist() == pytest.approx([280, 320, 300], rel=1e-6)


# sand ---------------------------------------------------------------------------------------------------------------


def test_sand_dry_and_as_delivered(course, words):
    # 10,000 m2 x 0.002 m x 1.6 t/m3 = 32 t; x 1.05 x 1.03 = 34.608 t; less 4.608 t in the yard: 30 t
    sand = words.sand + 'moisture = "5 %"\nstorage_loss = "3 %"\nstock = "4.608 t"\n'
    order = only(course(sand + words.dress))
    assert order.dry_kg == pytest.approx(32_000, rel=1e-8)
    assert order.delivered_kg == pytest.approx(34_608, rel=1e-8)
    assert order.to_order_kg == pytest.approx(30_000, rel=1e-8)
    assert order.u_kg == 0
    assert (order.kind, order.material, order.jobs) == ("sand", "sand", ("dress",))
    assert order.moisture == "5 % of the dry weight"


def test_sand_by_patch(course, words):
    order = only(course(words.sand + 'moisture = "5 %"\n' + words.dress))
    assert [(line.patch, line.surface, line.hole) for line in order.lines] == [
        ("green-01", "green", "1"),
        ("green-02", "green", "2"),
    ]
    # 4,000 m2 x 0.002 m = 8 m3, x 1.6 = 12.8 t dry, x 1.05 = 13.44 t
    assert [line.volume_m3 for line in order.lines] == pytest.approx([8, 12], rel=1e-8)
    assert [line.dry_kg for line in order.lines] == pytest.approx([12_800, 19_200], rel=1e-8)
    assert [line.delivered_kg for line in order.lines] == pytest.approx([13_440, 20_160], rel=1e-8)


def test_three_exact_loads_are_enough(course, words):
    """Float noise must not order a fourth one."""
    # 0.5 mm x 10,000 m2 x 1.6 = 8 t, less 2 t: 6 t
    sand = words.sand + 'load = "2 t"\nstock = "2 t"\n'
    order = only(course(sand + words.dress.replace("2 mm", "0.5 mm")))
    assert order.units == 3
    assert [(choice.loads, choice.chance_short) for choice in order.loads if choice.loads in (2, 3)] == [(2, 1), (3, 0)]


def test_chance_of_running_short_by_hand(course, words):
    # 32 t, 10 % of it being 3.2 t; two loads of 20 t are (40 - 32) / 3.2 = 2.5 standard deviations more: 0.62 %
    # (NIST/SEMATECH e-Handbook 1.3.6.7.1: area to 2.5 is 0.49379, to 3.75 0.49991; from memory); one is 3.75 less
    order = only(course(words.sand + 'load = "20 t"\n' + words.dress.replace("2 mm", "2 mm ± 10 %")))
    chances = {choice.loads: choice.chance_short for choice in order.loads}
    assert chances[1] == pytest.approx(0.5 + 0.49991, abs=5e-6)
    assert chances[2] == pytest.approx(0.5 - 0.49379, abs=5e-6)
    assert order.units == 2
    assert order.u_kg == pytest.approx(3200, rel=1e-8)
    assert [(driver.name, driver.share) for driver in order.drivers] == [("depth (dress)", 1.0)]
    assert order.drivers[0].sd_kg == pytest.approx(3200, rel=1e-8)


@pytest.mark.parametrize(("risk", "loads"), [("60 %", 32), ("10 %", 37), ("1 %", 40), ("0.1 %", 42)])
def test_the_risk_decides_the_loads(risk, loads, course, words):
    # 32 t +- 3.2 t in loads of 1 t: quantiles at -0.253, 1.282, 2.326 and 3.090 standard deviations (printed in any
    # table of the normal distribution): 31.2, 36.1, 39.4 and 41.9 t
    tables = words.sand + 'load = "1 t"\n' + words.dress.replace("2 mm", "2 mm ± 10 %")
    order = only(course(tables, head=f'accuracy = "0 m"\nrisk = "{risk}"'))
    assert order.units == loads


def test_spreads_add_in_squares(course, words):
    # 3 % and 4 % of 32 t make 5 %: 1.6 t; shares 9 / 25 and 16 / 25. Products of the two add 0.03 % of that.
    sand = words.sand.replace("1.6 t/m3", "1.6 t/m3 ± 4 %")
    order = only(course(sand + words.dress.replace("2 mm", "2 mm ± 3 %")))
    assert order.u_kg == pytest.approx(1600, rel=5e-4)
    shares = {driver.name: driver.share for driver in order.drivers}
    assert shares == {"bulk density": pytest.approx(0.64), "depth (dress)": pytest.approx(0.36)}
    assert [driver.sd_kg for driver in order.drivers] == pytest.approx([1280, 960])


def test_how_well_the_greens_were_drawn_counts(course, words):
    # each edge 0.5 m in or out on its own: 140 and 160 m2, together 212.6 m2 of 10,000
    order = only(course(words.sand + words.dress, head='accuracy = "0.5 m"'))
    assert order.u_kg == pytest.approx(32_000 * sqrt(140**2 + 160**2) / 10_000, rel=1e-5)
    assert [driver.name for driver in order.drivers] == ["areas"]
    # all edges of the layer by the same 0.5 m: 300 m2
    order = only(course(words.sand + words.dress, head='accuracy = "0 m"\nedge_bias = "0.5 m"'))
    assert order.u_kg == pytest.approx(32_000 * 300 / 10_000, rel=1e-5)


def test_two_jobs_on_the_same_greens_share_their_areas_and_their_sand(course, words):
    # 2 mm and 1 mm: 48 t. Density is shared: 4 % of 48 t is 1.92 t. Depths of 10 % are not: 3.2 t and 1.6 t.
    sand = words.sand.replace("1.6 t/m3", "1.6 t/m3 ± 4 %")
    again = words.dress.replace('"dress"', '"again"').replace("2 mm", "1 mm ± 10 %")
    order = only(course(sand + words.dress.replace("2 mm", "2 mm ± 10 %") + again))
    assert order.delivered_kg == pytest.approx(48_000, rel=1e-8)
    assert order.u_kg == pytest.approx(sqrt(1.92**2 + 3.2**2 + 1.6**2) * 1000, rel=1e-3)
    assert len(order.lines) == 2


def test_lopsided_spreads_are_drawn_and_told(course, words):
    sand = words.sand + 'storage_loss = { low = "0 %", likely = "2 %", high = "10 %" }\nload = "20 t"\n'
    order = only(course(sand + words.dress))
    assert "draws" in order.method
    # mean of 0, 2 and 10 % is 4 %
    assert order.delivered_kg == pytest.approx(32_000 * 1.04, rel=1e-8)
    chances = [choice.chance_short for choice in order.loads]
    assert chances == sorted(chances, reverse=True)


@pytest.mark.parametrize("load", ["1 kg", "20 kg", "200 kg", "2 t", "20 t", "200 t"])
def test_the_list_of_loads_stays_short_and_holds_the_advised_one(load, course, words):
    order = only(course(words.sand + f'load = "{load}"\n' + words.dress.replace("2 mm", "2 mm ± 10 %")))
    assert len(order.loads) <= 17
    by_count = {choice.loads: choice for choice in order.loads}
    assert by_count[order.units].chance_short <= 0.1
    assert sorted(by_count) == list(by_count)
    # one load less would be too few: 1.2816 standard deviations of 3.2 t more than 32 t is 36.101 t
    weight = order.unit_kg
    assert (order.units - 1) * weight < 36_101 <= order.units * weight + 1


def test_stock_may_be_larger_than_the_need(course, words):
    sand = words.sand + 'stock = "50 t"\nload = "20 t"\nprice = "42 EUR/t"\n'
    order = only(course(sand + words.dress.replace("2 mm", "2 mm ± 10 %")))
    assert (order.to_order_kg, order.units, order.cost) == (0, 0, 0)
    assert order.loads[0].loads == 0
    assert order.working[-1].result == "0 loads"


def test_without_a_load_size_there_are_no_loads(course, words):
    order = only(course(words.sand + 'price = "42 EUR/t"\n' + words.dress))
    assert (order.units, order.unit_kg, order.loads) == (None, None, ())
    assert order.cost == pytest.approx(42 * 32, rel=1e-8)
    assert any('load = "20 t"' in remark for remark in order.remarks)


def test_whole_loads_are_paid(course, words):
    order = only(course(words.sand + 'load = "20 t"\nprice = "42 EUR/t"\n' + words.dress))
    assert (order.units, order.currency) == (2, "EUR")
    assert order.cost == pytest.approx(42 * 40)


def test_without_a_price_there_is_no_cost(course, words):
    assert only(course(words.sand + 'load = "20 t"\n' + words.dress)).cost is None


# overthrow ----------------------------------------------------------------------------------------------------------


def test_overthrow_by_reach(course, words):
    # half a metre all round, with rounded corners: 280 and 320 m x 0.5 m + pi 0.25 m2 each
    order = only(course(words.sand + words.dress + 'overthrow = "0.5 m"\n'))
    beyond = [0.5 * 280 + pi / 4, 0.5 * 320 + pi / 4]
    assert [line.treated_m2 - line.net_m2 for line in order.lines] == pytest.approx(beyond, rel=1e-5)
    assert order.dry_kg == pytest.approx((10_000 + sum(beyond)) * 3.2, rel=1e-6)


def test_overthrow_as_a_share(course, words):
    order = only(course(words.sand + words.dress + 'overthrow = "20 %"\n'))
    assert [line.treated_m2 for line in order.lines] == pytest.approx([4800, 7200], rel=1e-8)
    assert order.dry_kg == pytest.approx(32_000 * 1.2, rel=1e-8)


def test_how_far_it_is_thrown_may_be_uncertain(course, words):
    # 20 % +- 5 %: 5 % of 32 t is 1.6 t
    order = only(course(words.sand + words.dress + 'overthrow = "20 % ± 5 %"\n'))
    assert order.u_kg == pytest.approx(1600, rel=1e-6)
    assert [driver.name for driver in order.drivers] == ["overthrow (dress)"]


# which patches, how often -------------------------------------------------------------------------------------------


def test_a_job_on_one_hole_or_one_patch(course, words):
    for where in ('holes = ["2"]\n', "holes = [2]\n", 'holes = ["Hole 2"]\n', 'patches = ["green-02"]\n'):
        order = only(course(words.sand + words.dress + where))
        assert [line.patch for line in order.lines] == ["green-02"]
        assert order.dry_kg == pytest.approx(19_200, rel=1e-8)


@pytest.mark.parametrize(
    ("where", "words_said"),
    [
        ('holes = ["19"]\n', ["job 'dress': no hole '19'", "there are: 1, 2"]),
        ('patches = ["gren-02"]\n', ["no patch 'gren-02'; did you mean 'green-02'?", "green-01"]),
    ],
)
def test_a_place_that_is_not_there_is_told(where, words_said, course, words):
    with pytest.raises(SettingsError) as raised:
        orders_for(course(words.sand + words.dress + where))
    assert all(said in str(raised.value) for said in ["course.toml", *words_said])


def test_a_hole_without_such_ground_is_remarked_on(course, words):
    rectangles = [("green", "1", 40.0, 100.0), ("tee", "2", 10.0, 10.0)]
    order = only(course(words.sand + words.dress + "holes = [1, 2]\n", rectangles))
    assert [line.patch for line in order.lines] == ["green-01"]
    assert any("finds no green on hole 2" in remark for remark in order.remarks)


def test_ground_that_is_not_there_is_remarked_on(course, words):
    order = only(course(words.sand + 'load = "20 t"\n' + words.dress.replace('["green"]', '["tee"]')))
    assert (order.lines, order.delivered_kg, order.units) == ((), 0, 0)
    assert any("done on no patch" in remark for remark in order.remarks)


def test_a_job_done_three_times(course, words):
    once, thrice = (
        only(course(words.sand + words.dress.replace("2 mm", "2 mm ± 10 %") + t)) for t in ("", "times = 3")
    )
    assert thrice.delivered_kg == pytest.approx(3 * once.delivered_kg)
    assert thrice.u_kg == pytest.approx(3 * once.u_kg)  # what is set too deep is so every time
    assert [line.dry_kg for line in thrice.lines] == pytest.approx([3 * line.dry_kg for line in once.lines])


# holes and cores ----------------------------------------------------------------------------------------------------


def test_sand_in_holes_and_cores_to_cart_away(course, words):
    # pi 0.012^2 / 4 / 0.05^2 = 4.5239 %; x 75 mm = 3.3929 mm: 33.93 m3 of cores, 54.29 t of sand in full holes
    opened = pi * 0.012**2 / 4 / 0.05**2
    order = only(course(words.sand + words.core))
    assert order.cores_m3 == pytest.approx(opened * 0.075 * 10_000, rel=1e-8)
    assert order.dry_kg == pytest.approx(opened * 0.075 * 10_000 * 1600, rel=1e-8)
    order = only(course(words.sand + words.core + 'fill = "92 %"\n'))
    assert order.dry_kg == pytest.approx(0.92 * opened * 0.075 * 10_000 * 1600, rel=1e-8)
    assert order.cores_m3 == pytest.approx(opened * 0.075 * 10_000, rel=1e-8)


def test_solid_tines_leave_no_cores(course, words):
    order = only(course(words.sand + words.core.replace("hollow", "solid")))
    assert order.cores_m3 == 0
    assert order.dry_kg == pytest.approx(pi * 0.012**2 / 4 / 0.05**2 * 0.075 * 10_000 * 1600, rel=1e-8)


def test_sand_used_on_twenty_greens_as_told(course, words):
    # a club's turf diary, "Aeration Report", 2014, http://flccturfcare.blogspot.com/2014/09/aeration-report.html:
    # 8.85 million half-inch holes at 59 to the square foot (150,000 ft2), filled with 105 US tons. Two inches deep at
    # 100 lb/ft3 (the usual figure, from memory) they take within 5 % of that.
    side = sqrt(150_000 * FOOT2)
    sand = words.sand.replace("1.6 t/m3", "100 lb/ft3")
    spacing = f'"{12 / sqrt(59):.6f} in"'
    tines = words.core.replace('"12 mm"', '"1/2 in"').replace('"50 mm"', spacing).replace("75 mm", "2 in")
    order = only(course(sand + tines, [("green", "1", side, side)]))
    assert order.dry_kg / US_TON == pytest.approx(105, rel=0.05)
    # its "just over 8 %" opened
    assert next(step.result for step in order.working if "opened" in step.what).startswith("8.0")


def test_a_year_of_sand_as_told(course, words):
    # R. Niewola, "Three best friends: topdressing, organic matter and math", Green Section Record 63(6), 2025:
    # 20.3 ft3/1,000 ft2 in a year; by arithmetic 6.19 mm, 9.9 kg/m2 at 1.6 t/m3, 99 t on the hectare
    order = only(course(words.sand + words.dress.replace("2 mm", "20.3 ft3/1000 ft2")))
    assert order.dry_kg == pytest.approx(99_000, abs=50)


# seed and fertiliser ------------------------------------------------------------------------------------------------


def test_live_seed_to_whole_bags(course, words):
    # 8 g/m2 x 10,000 m2 = 80 kg of live seed; / (0.98 x 0.85) = 96.04 kg; ten bags of 10 kg, less two in the shed
    order = only(course(words.seed + 'pack = "10 kg"\nprice = "190 EUR/pack"\nstock = "20 kg"\n' + words.sow))
    assert order.delivered_kg == pytest.approx(80 / 0.833, rel=1e-8)
    assert order.to_order_kg == pytest.approx(80 / 0.833 - 20, rel=1e-8)
    assert (order.units, order.cost, order.kind) == (8, 8 * 190, "seed")
    assert order.loads == ()


def test_seed_as_sold(course, words):
    # 80 kg; eight bags exactly, and float noise opens no ninth
    order = only(course(words.seed + 'pack = "10 kg"\n' + words.sow + 'rate_of = "seed as sold"\n'))
    assert order.delivered_kg == pytest.approx(80, rel=1e-8)
    assert order.units == 8


def test_bulk_seed_as_printed(course, words):
    # Louisiana State University AgCenter, Pure Live Seed Calculation: 20,000 ft2 at 1 lb of live seed to 1,000 ft2,
    # purity 48 %, germination 80 %: 52.6 lb, which it works out with the rounded 0.38; 52.08 lb without rounding
    seed = words.seed.replace("98 %", "48 %").replace("85 %", "80 %")
    sow = words.sow.replace("8 g/m2", "1 lb/1000 ft2")
    order = only(course(seed + sow, [("green", "1", 200 * 0.3048, 100 * 0.3048)]))
    assert order.delivered_kg / POUND == pytest.approx(20 / 0.384, rel=1e-7)
    assert order.delivered_kg / POUND == pytest.approx(52.6, rel=0.005 / 0.38)


def test_fertiliser_by_nutrient(course, words):
    # 3 g/m2 of N / 12 % = 25 g/m2 of product, 250 kg on the hectare: thirteen bags of 20 kg
    order = only(course(words.feed + 'pack = "20 kg"\nprice = "24 EUR/pack"\n' + words.feeding))
    assert order.delivered_kg == pytest.approx(250, rel=1e-8)
    assert (order.units, order.cost) == (13, 13 * 24)
    brought = {nutrient.name: nutrient.net_kg_ha for nutrient in order.nutrients}
    # P and K from their oxides: 0.436 and 0.83, as an encyclopedia article on fertiliser prints them
    assert brought == {
        "N": pytest.approx(30, rel=1e-8),
        "P2O5": pytest.approx(10, rel=1e-8),
        "K2O": pytest.approx(20, rel=1e-8),
        "P": pytest.approx(10 * 0.436, abs=10 * 0.0005),
        "K": pytest.approx(20 * 0.83, abs=20 * 0.005),
    }


def test_fertiliser_by_product_as_printed(course, words):
    # a turf-fertiliser maker's technical note (name left out): 25 g/m2 of 5-5-15 bring 12.5, 12.5 and 37.5 kg/ha
    feed = words.feed.replace("12 %", "5 %").replace("4 %", "5 %").replace('K2O = "8 %"', 'K2O = "15 %"')
    job = words.feeding.replace('nutrient = "N"\n', "").replace("3 g/m2", "25 g/m2")
    brought = {nutrient.name: nutrient.net_kg_ha for nutrient in only(course(feed + job)).nutrients}
    assert [brought[name] for name in ("N", "P2O5", "K2O")] == pytest.approx([12.5, 12.5, 37.5], rel=1e-8)


def test_bags_for_fairways_as_printed(course, words):
    # Turfgrass Mathematics Review/Practice Worksheet for Certified Turfgrass Professional Testing: 0.9 lb of N to
    # 1,000 ft2 of a product with 25 % on 45 acres, in 50 lb bags: 3.6 lb to 1,000 ft2, 142 bags
    side = sqrt(45 * ACRE)
    feed = '[material.feed]\nkind = "fertiliser"\nanalysis = { N = "25 %" }\npack = "50 lb"\n'
    job = words.feeding.replace("3 g/m2", "0.9 lb/1000 ft2").replace('["green"]', '["fairway"]')
    order = only(course(feed + job, [("fairway", "1", side, side)]), units="us")
    assert order.units == 142
    assert "= 3.6 lb/1000 ft2" in "= " + order.working[1].result


def test_treated_ground_is_not_the_green_as_told(course, words):
    # J. Haines, "Does size matter", 2023: one 25 kg bag of urea (46 % N) is 1.15 g of N to the square metre of the
    # 1.0 ha of greens, but 0.96 g on the 1.2 ha that are really treated
    feed = '[material.feed]\nkind = "fertiliser"\nanalysis = { N = "46 %" }\npack = "25 kg"\n'
    job = words.feeding.replace('nutrient = "N"\n', "").replace("3 g/m2", f"{25 / 12_000} kg/m2")
    order = only(course(feed + job + 'overthrow = "20 %"\n'))
    assert order.delivered_kg == pytest.approx(25, rel=1e-8)
    assert order.units == 1
    (nitrogen,) = order.nutrients
    assert nitrogen.net_kg_ha / 10 == pytest.approx(1.15, abs=0.005)
    assert nitrogen.treated_kg_ha / 10 == pytest.approx(0.96, abs=0.005)


# what is asked for --------------------------------------------------------------------------------------------------


def test_orders_come_by_material_and_group(course, words):
    tables = words.sand + words.seed + words.dress + words.sow
    assert [order.material for order in orders_for(course(tables))] == ["sand", "bent"]
    assert only(course(tables), group="renovation").material == "sand"
    assert only(course(tables), material="bent").jobs == ("sow",)


@pytest.mark.parametrize(
    ("wanted", "said"),
    [
        ({"group": "renovtion"}, "no job has the group 'renovtion'; groups: renovation"),
        ({"material": "snad"}, "no material 'snad'; materials: sand, bent"),
        ({"group": "renovation", "material": "bent"}, "no job of the group 'renovation' uses the material 'bent'"),
    ],
)
def test_what_cannot_be_ordered_is_told(wanted, said, course, words):
    with pytest.raises(SettingsError) as raised:
        orders_for(course(words.sand + words.seed + words.dress + words.sow), **wanted)
    assert said in str(raised.value)
    assert "course.toml" in str(raised.value)


def test_no_jobs_at_all(course, words):
    with pytest.raises(SettingsError, match="no job uses a material"):
        orders_for(course(words.sand))


def test_what_was_taken_as_exact_is_told(course, words):
    order = only(course(words.sand + words.dress + 'overthrow = "0.5 m"\n'))
    (remark,) = [remark for remark in order.remarks if "Taken as exact" in remark]
    assert all(name in remark for name in ("depth of dress", "overthrow of dress", "bulk density", "moisture"))


def test_odd_figures_are_remarked_on_with_their_source(course, words):
    order = only(course(words.sand.replace("1.6", "0.6") + words.dress.replace("2 mm", "20 mm")))
    assert any("bulk density" in remark for remark in order.remarks)
    assert any(remark.startswith("Job 'dress'") and "topdressing" in remark for remark in order.remarks)
