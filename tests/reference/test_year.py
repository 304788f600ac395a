"""
What a year adds (scarifying, divots, turf, bunkers, liquids, ledger, money) against figures printed by others.

Each row types the figure as printed, in the unit printed; it must be met to half of its last digit. A key in square
brackets names the source in turfgis.sources. Figures that do not follow from their own inputs stand at the end.
"""

import math

import pytest

from turfgis.formulas.bunkers import bunker_sand_volume, liner_area
from turfgis.formulas.change import split_change
from turfgis.formulas.divots import masses_by_volume, sand_and_seed
from turfgis.formulas.growth import grown_price, net_of_tax, tax_sum
from turfgis.formulas.ledger import edge_build_up, mass_beyond, nutrient_load, yearly_depth
from turfgis.formulas.liquids import liquid_volume, product_for_active, tank_dose, tank_loads
from turfgis.formulas.repairs import strip_area, turf_packs, turf_to_lay
from turfgis.formulas.sand import layer_volume
from turfgis.formulas.scarify import slit_area_share
from turfgis.formulas.tines import hole_area_share

# Exact by definition; the acre of 43,560 international square feet.
INCH, FOOT, YARD = 0.0254, 0.3048, 0.9144
ACRE, THOUSAND_FT2, HECTARE = 43_560 * FOOT**2, 1000 * FOOT**2, 10_000.0
POUND, US_GALLON, LITRE = 0.45359237, 3.785411784e-3, 1e-3
PINT, FLUID_OUNCE, OUNCE = US_GALLON / 8, US_GALLON / 128, POUND / 16
SHORT_TON = 2000 * POUND
SAND_100 = 100 * POUND / FOOT**3  # the trade's round figure for dry sand, 100 lb/ft3
SAND_USGA = SHORT_TON / (0.72 * YARD**3)


def test_surface_opened_in_a_year_of_tines_and_blades(as_printed):
    # [virginia-2010] E. Ervin and A. Nichols (Virginia Tech), Organic matter dilution programs for sand-based putting
    # greens in Virginia, 2010,
    # https://golfcourseindustry.com/article/gci-0411-real-science-organic-matter-dilution-sand
    # 3 mm blades an inch apart; tines of a quarter and a half inch at 1.33 by 1.5 in. The hardest treatment opened
    # 26.6 %: in autumn the small tines twice and the blades once, as a footnote says; in spring the large tines once,
    # which is our reading of the total
    blades = slit_area_share(0.003, 1 * INCH)
    small, large = (hole_area_share(inches * INCH, 1.33 * INCH, 1.5 * INCH) for inches in (0.25, 0.50))
    assert 100 * (large + 2 * small + blades) == as_printed("26.6")


def test_mix_by_volume(as_printed):
    # [mix-by-volume] a contractor's page (name left out), Material calculations
    # 80 parts of sand at 1.47 to 20 of a lighter stuff at 0.58, by volume: 2.17 short tons go with 22 of sand
    sand, light = masses_by_volume(1.0, 80, 20, 1470, 580)
    assert 22 * light / sand == as_printed("2.17")


def test_mix_by_weight():
    # [divot-compost-2019] an organic-turf adviser's article (name left out), Athletic Field Repair, 2019
    # 15 to 18 lb of seed to 50 lb of compost: 65 lb of mix give the 15 back, 68 lb the 18
    assert sand_and_seed(65.0, 50, 15) == pytest.approx((50, 15), rel=1e-12)
    assert sand_and_seed(68.0, 50, 18) == pytest.approx((50, 18), rel=1e-12)


def test_strip_round_a_pond(as_printed):
    # [tutor-mensuration] a tutorial page, Mensuration, http://tutorteddy.com/homeworkwiki/Mensuration-27
    # a path of 5 m round a pond of 40 m across, with 22/7 for pi; the edge along the middle of the path
    assert strip_area(2 * 22 / 7 * 22.5, 5) == as_printed("707.14")


def test_pallets_for_half_an_acre(as_printed):
    # [half-acre-turf] a garden page, Pallets of turf for half an acre,
    # https://98905.com/garden-lawn/lawn-basics/4623.html
    # pallets of 50 square yards: 2,420 square yards, 48 2/5 pallets; whole ones are 49
    pallet = 50 * YARD**2
    assert turf_to_lay(ACRE / 2, 0) / YARD**2 == as_printed("2420")
    assert turf_to_lay(ACRE / 2, 0) / pallet == as_printed("48.4")
    assert turf_packs(ACRE / 2, 0, pallet) == 49


def test_liner_as_printed(as_printed):
    # [bunker-cost-forum] a golf architecture forum, thread on the cost of bunkers,
    # http://golfclubatlas.com/forum/index.php?topic=34526
    # 2,000 square feet of bunker need 2,200 of liner, a tenth more
    assert liner_area(2 * THOUSAND_FT2, 0, 0.10) / FOOT**2 == as_printed("2200")


def test_bunker_filled_to_the_deepest_floor(as_printed):
    # [bunker-repairs-2011] a club's turf diary, Bunker Repairs, 2011,
    # http://flccturfcare.blogspot.com/2011/06/bunker-repairs.html
    # "25 tons of sand to fill a 1000 sq. ft. bunker": the depth is not printed
    # [usga-2014-bunkers] B. Whitlark (USGA Green Section), Adding New Sand To Existing Bunkers, 2014,
    # http://www.usga.org/course_care/regional_updates/regional_reports/southwest/Adding-New-Sand-To-Existing-Bunkers---March-2014/
    # floors 4 to 6 in: the deepest floor takes the 25 tons
    assert bunker_sand_volume(THOUSAND_FT2, 6 * INCH, 0, 0) * SAND_100 / SHORT_TON == as_printed("25")


def test_sand_placed_and_settled():
    # [bunker-plate-2014] a club superintendent's diary, We have sand in 16 and 18, 2014,
    # http://bayoaksgcm.blogspot.com/2014/01/we-have-sand-in-16-and-18.html
    # 6 in placed became 4 in under a vibrating plate
    placed = bunker_sand_volume(100, 4 * INCH, 0, 0, settling_factor=6 / 4)
    assert placed == pytest.approx(layer_volume(100, 6 * INCH), rel=1e-12)


# area, volume to the unit area; unit of volume; as printed
LIQUID = [
    # [oklahoma-2013] D. Gerken (Oklahoma State University-Oklahoma City), Calibrating Application Equipment, 2013,
    # https://paperzz.com/doc/9245112/calibrating-application-equipment
    pytest.param(25 * ACRE, 3.6 * PINT / ACRE, US_GALLON, "11.25", id="25-acres-3.6-pints"),
    # [pesticide-handbook] Agrochemical and Pesticide Safety Handbook, page 128,
    # http://what-when-how.com/Tutorial/topic-166581h5j/Agrochemical-and-Pesticide-Safety-128.html
    pytest.param(3.5 * ACRE, 15 * US_GALLON / ACRE, US_GALLON, "52.5", id="3.5-acres-15-gallons"),
    # [alberta-606] Alberta Agriculture, Agdex 606-1, page 11,
    # http://agriculture.alberta.ca/flippingbook/agdex/606-1/files/assets/basic-html/page17.html
    pytest.param(30 * ACRE, 40 * LITRE / ACRE, LITRE, "1200", id="30-acres-40-litres"),
    # [new-jersey-exam] a New Jersey applicator exam, Practice question, fluid ounces on a small area,
    # https://njpesticidecoreapplicator.examzify.com/
    pytest.param(10.5 * THOUSAND_FT2, 1.5 * FLUID_OUNCE / THOUSAND_FT2, FLUID_OUNCE, "15.75", id="10500-ft2"),
    # [north-carolina-exam] a North Carolina applicator exam, Practice question, ounces of fungicide,
    # https://northcarolinapesticideapp.examzify.com/question/how-many-ounces-of-fungicide-64509665636a5fd0
    pytest.param(ACRE / 4, 2 * OUNCE / THOUSAND_FT2, OUNCE, "21.78", id="quarter-acre"),
    # [fidanza-couch] M. Fidanza and J. Kaminski (Penn State), Revisiting Dr. Houston Couch's advice on maximizing
    # fungicide efficacy, https://blubrry.com/theturfzone/75780678/
    pytest.param(ACRE, 1 * US_GALLON / THOUSAND_FT2, US_GALLON, "43.56", id="acre-1-gallon-a-thousand"),
    pytest.param(ACRE, 2 * US_GALLON / THOUSAND_FT2, US_GALLON, "87.12", id="acre-2-gallons-a-thousand"),
    pytest.param(THOUSAND_FT2, 50 * US_GALLON / ACRE, US_GALLON, "1.15", id="thousand-50-gallons-an-acre"),
    pytest.param(THOUSAND_FT2, 100 * US_GALLON / ACRE, US_GALLON, "2.3", id="thousand-100-gallons-an-acre"),
]


@pytest.mark.parametrize(("area", "rate", "unit", "printed"), LIQUID)
def test_liquid_volume_as_printed(area, rate, unit, printed, as_printed):
    assert liquid_volume(area, rate) / unit == as_printed(printed)


def test_tanks_without_a_last_one():
    # [canada-spray] a Canadian pesticide education factsheet, Calculating Spray Application Information,
    # https://docslib.org/doc/1861139/calculating-spray-application-information
    # 200 L/ha on 20 ha from a tank of 1,000 L: 4,000 L, 4 tanks
    volume = liquid_volume(20 * HECTARE, 200 * LITRE / HECTARE)
    assert volume / LITRE == pytest.approx(4000, rel=1e-12)
    assert tank_loads(volume, 1000 * LITRE) == (4, 0)


def test_a_part_tank_and_what_goes_into_it(as_printed):
    # [pesticide-handbook] Agrochemical and Pesticide Safety Handbook, page 128,
    # http://what-when-how.com/Tutorial/topic-166581h5j/Agrochemical-and-Pesticide-Safety-128.html
    # 3.5 acres at 15 gallons and 3 lb to the acre: 52.5 gallons with 10.5 lb; here from a tank of 40 gallons
    rate = 15 * US_GALLON / ACRE
    full, last = tank_loads(liquid_volume(3.5 * ACRE, rate), 40 * US_GALLON)
    assert (full, last / US_GALLON) == (1, as_printed("12.5"))
    doses = [tank_dose(tank, rate, 3 * POUND / ACRE) / POUND for tank in (40 * US_GALLON, last)]
    assert sum(doses) == as_printed("10.5")


# tank, volume to the unit area, product to the unit area; unit of product; as printed
DOSES = [
    # [oklahoma-2013] D. Gerken (Oklahoma State University-Oklahoma City), Calibrating Application Equipment, 2013,
    # https://paperzz.com/doc/9245112/calibrating-application-equipment
    pytest.param(40 * US_GALLON, 40 * US_GALLON / ACRE, 3.6 * PINT / ACRE, PINT, "3.6", id="40-gallons"),
    # [weed-seller] a weed-control seller's page (name left out), Calibrating your spray
    # 10 L at 200 L/ha with 5 L/ha, in millilitres
    pytest.param(10 * LITRE, 200 * LITRE / HECTARE, 5 * LITRE / HECTARE, LITRE / 1000, "250", id="10-litres"),
]


@pytest.mark.parametrize(("tank", "rate", "dose", "unit", "printed"), DOSES)
def test_tank_dose_as_printed(tank, rate, dose, unit, printed, as_printed):
    assert tank_dose(tank, rate, dose) / unit == as_printed(printed)


@pytest.mark.parametrize(
    ("active", "percent", "printed"),
    [
        # [pesticide-handbook] Agrochemical and Pesticide Safety Handbook, page 128,
        # http://what-when-how.com/Tutorial/topic-166581h5j/Agrochemical-and-Pesticide-Safety-128.html
        (2, 80, "2.5"),
        # [army-md0173] US Army medical training, MD0173, http://armymedical.tpub.com/MD0173/
        (10, 5, "200"),
    ],
)
def test_product_for_active_as_printed(active, percent, printed, as_printed):
    """Pounds to the acre."""
    assert product_for_active(active * POUND / ACRE, percent / 100) * ACRE / POUND == as_printed(printed)


# dry sand [kg], area, density; depth [m], with the share of half a digit of the figure printed
SAND = [
    # [maxapress-sand] Maximum Academic Press, Sand topdressing rate unit conversions, table 1,
    # https://maxapress.com/app/figure_table/6791b5eefa6c58500c8b732b
    # each is printed as one millimetre, at 100 lb to the cubic foot
    pytest.param(328 * POUND, THOUSAND_FT2, SAND_100, 0.001, 0.5 / 328, id="328-lb"),
    pytest.param(7.15 * SHORT_TON, ACRE, SAND_100, 0.001, 0.005 / 7.15, id="7.15-short-tons"),
    pytest.param(16_000, HECTARE, SAND_100, 0.001, 0.05 / 16, id="16-t"),
    # [usga-2008] B. Whitlark (USGA Green Section), Christmas Wish: Firm And Fast Fairways, 2008,
    # https://www.usga.org/content/usga/home-page/course-care/christmas-wish-firm-and-fast-fairways-26356.html
    # the row that is not a multiple of a rounded first row: 47 short tons to the acre are a quarter of an inch
    pytest.param(47 * SHORT_TON, ACRE, SAND_USGA, INCH / 4, 0.5 / 47, id="47-short-tons"),
]


@pytest.mark.parametrize(("mass", "area", "density", "depth", "half_digit"), SAND)
def test_yearly_depth_as_printed(mass, area, density, depth, half_digit):
    assert yearly_depth(mass, area, density) == pytest.approx(depth, rel=half_digit * 1.01)
    assert yearly_depth(5 * mass, area, density, 5) == pytest.approx(depth, rel=half_digit * 1.01)


def test_sand_on_the_collars(as_printed):
    # worked by hand, no source: 5 t / 1.6 t/m3 = 3.125 m3, on 1,500 m2 = 2.083 mm
    assert 1000 * edge_build_up(5000, 1500, 1600) == as_printed("2.1")


def test_what_goes_off_target(as_printed):
    # [haines-2023] J. Haines, Does size matter, 2023, http://fusariummy.blogspot.com/2023/02/does-size-matter.html
    # one bag of 25 kg of urea (46 % nitrogen) over 1.2 ha, meant for 1.0 ha: 17 % less on the green
    nitrogen = 25 * 0.46
    assert 100 * mass_beyond(nitrogen, 10_000, 12_000) / nitrogen == as_printed("17")
    assert 1000 * nutrient_load(nitrogen, 10_000) == as_printed("1.15")
    assert 1000 * nutrient_load(nitrogen, 12_000) == as_printed("0.96")


# nitrogen [lb], area [thousand ft2]; lb to the thousand ft2, as printed
NITROGEN = [
    # [pleasant-bay] Pleasant Bay fertiliser report (Massachusetts), table 4,
    # https://records.mashpeema.gov/WebLink/0/doc/273055/Page56.aspx
    pytest.param(4746, 2373, "2", id="4746-lb"),
    pytest.param(2980, 1490, "2", id="2980-lb"),
    pytest.param(17_559, 3902, "4.5", id="17559-lb"),
]


@pytest.mark.parametrize(("pounds", "thousands", "printed"), NITROGEN)
def test_nutrient_load_as_printed(pounds, thousands, printed, as_printed):
    rate = nutrient_load(pounds * POUND, thousands * THOUSAND_FT2)
    assert rate * THOUSAND_FT2 / POUND == as_printed(printed)


@pytest.mark.parametrize(
    ("percent", "years", "printed"),
    [
        # [future-value-table] an accounting textbook's tables, Table B.2, Future Value of 1,
        # https://ezto.mheducation.com/extMedia/bne/accounting/Wild_FAP_25e/Table_B.2_Future_Value_of_1.htm
        (1, 5, "1.0510"),
        (2, 3, "1.0612"),
        (3, 2, "1.0609"),
        (3, 3, "1.0927"),
        (3, 10, "1.3439"),
        (5, 10, "1.6289"),
        (12, 7, "2.2107"),
        (15, 14, "7.0757"),
    ],
)
def test_grown_price_as_printed(percent, years, printed, as_printed):
    assert grown_price(1.0, percent / 100, years) == as_printed(printed)


@pytest.mark.parametrize(
    ("percent", "tax", "gross"),
    [
        # [hmrc-vat] HM Revenue and Customs, Calculating VAT for VAT-inclusive and VAT-exclusive prices,
        # http://www.hmrc.gov.uk/vat/forms-rates/rates/calculating.htm
        # on a price of 100
        (20, "20", "120"),
        (5, "5", "105"),
        # [vat-fractions] an accountancy page, Standard VAT rates and fractions,
        # https://accountingservicesforbusiness.co.uk/resources/information-articles/vat-rates-and-fractions
        (17.5, "17.50", "117.50"),
        (15, "15.00", "115.00"),
    ],
)
def test_tax_as_printed(percent, tax, gross, as_printed):
    assert tax_sum(100, percent / 100) == as_printed(tax)
    assert 100 + tax_sum(100, percent / 100) == as_printed(gross)
    assert net_of_tax(float(gross), percent / 100) == pytest.approx(100, rel=1e-12)


@pytest.mark.parametrize(
    ("percent", "over", "under"),
    # [vat-fractions] an accountancy page, Standard VAT rates and fractions,
    # https://accountingservicesforbusiness.co.uk/resources/information-articles/vat-rates-and-fractions
    # the tax as a fraction of the gross
    [(20, 1, 6), (17.5, 7, 47), (15, 3, 23)],
)
def test_tax_in_a_gross_sum(percent, over, under):
    assert 1 - net_of_tax(1.0, percent / 100) == pytest.approx(over / under, rel=1e-12)


def test_two_factors_as_the_trapezium():
    # [barber-variance] P. Barber, Re-examination of Sales Price and Volume Variance,
    # http://solutionuk.com/consult/RE-EXAMINATION-2.htm
    # (P2 - P1)(Q2 + Q1)/2 for the price
    (p1, q1), (p2, q2) = (40.0, 92.0), (43.5, 88.0)
    price, quantity = split_change([p1, q1], [p2, q2])
    assert price == pytest.approx((p2 - p1) * (q2 + q1) / 2, rel=1e-12)
    assert quantity == pytest.approx((q2 - q1) * (p2 + p1) / 2, rel=1e-12)


def test_three_factors_as_the_complete_decomposition():
    # [sun-1998] J. W. Sun, Changes in energy consumption and energy intensity: a complete decomposition model, 1998,
    # Energy Economics 20:85-100
    # quoted from memory
    # what two factors make together is halved, what three make together is cut in three
    before, after = (500.0, 3.1, 0.042), (520.0, 2.8, 0.048)
    change = [b - a for a, b in zip(before, after, strict=True)]
    together = math.prod(change) / 3
    for at, part in enumerate(split_change(before, after)):
        j, k = (other for other in range(3) if other != at)
        pairs = change[at] * (before[j] * change[k] + before[k] * change[j]) / 2
        assert part == pytest.approx(change[at] * before[j] * before[k] + pairs + together, rel=1e-10)


# ours; worked from the printed inputs apart from this program; as printed
MISPRINTS = [
    # [virginia-2010] E. Ervin and A. Nichols (Virginia Tech), Organic matter dilution programs for sand-based putting
    # greens in Virginia, 2010,
    # https://golfcourseindustry.com/article/gci-0411-real-science-organic-matter-dilution-sand
    # half-inch tines at 1.33 by 1.5 in, spring and autumn, per cent: 9.8 doubled, already cut off
    pytest.param(200 * hole_area_share(0.5 * INCH, 1.33 * INCH, 1.5 * INCH), "19.68", "19.6", id="large-tines-twice"),
    # [mix-by-volume] a contractor's page (name left out), Material calculations
    # pounds of the lighter stuff in a load of 48,000 lb: a fifth by weight is taken first, then turned into volume
    pytest.param(
        48_000 * masses_by_volume(1.0, 80, 20, 1.47, 0.58)[1] / sum(masses_by_volume(1.0, 80, 20, 1.47, 0.58)),
        "4310",
        "3792",
        id="mix-in-a-load",
    ),
    # [arizona-bunkers] D. M. Kopec (University of Arizona), Up To Your Knees - In Sand, 1995,
    # https://turf.arizona.edu/ccps0295.html
    # cubic yards for 1,000 square feet at 2 in, "uncompacted": an allowance of 5 % that is not stated
    pytest.param(bunker_sand_volume(THOUSAND_FT2, 2 * INCH, 0, 0) / YARD**3, "6.173", "6.5", id="bunker-rule-of-thumb"),
    # [pleasant-bay] Pleasant Bay fertiliser report (Massachusetts), table 4,
    # https://records.mashpeema.gov/WebLink/0/doc/273055/Page56.aspx
    # the text above the table says 4 lb for the row that was worked with 4.5
    pytest.param(
        nutrient_load(17_559 * POUND, 3902 * THOUSAND_FT2) * THOUSAND_FT2 / POUND, "4.5000", "4.0", id="text-and-table"
    ),
]


@pytest.mark.parametrize(("ours", "worked", "printed"), MISPRINTS)
def test_misprint(ours, worked, printed, as_printed):
    """Ours meets what was worked apart, and misses what was printed by more than half of its last digit."""
    assert ours == as_printed(worked)
    assert ours != as_printed(printed)
