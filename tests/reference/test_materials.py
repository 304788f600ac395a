"""
Tines, sand, seed and fertiliser against figures printed by others.

Each row types the figure as printed, in the unit printed; it must be met to half of its last digit. A key in square
brackets names the source in turfgis.sources. Figures that do not follow from their own inputs: test_misprints.py.
"""

import math

import pytest

from turfgis.formulas.fertiliser import (
    element_from_oxide,
    liquid_nutrient_rate,
    liquid_product_rate,
    nutrient_rate,
    product_rate,
    weight_in_volume,
)
from turfgis.formulas.packs import whole_packs
from turfgis.formulas.sand import layer_depth, layer_mass, layer_volume
from turfgis.formulas.seed import pure_live_seed, sowing_rate
from turfgis.formulas.spread import true_rate
from turfgis.formulas.tines import hole_area_share, hole_density, hole_volume

# Exact by definition; the acre of 43,560 international square feet.
INCH, FOOT, YARD = 0.0254, 0.3048, 0.9144
ACRE, THOUSAND_FT2, HECTARE = 43_560 * FOOT**2, 1000 * FOOT**2, 10_000.0
POUND, US_GALLON = 0.45359237, 3.785411784e-3
SHORT_TON, TONNE = 2000 * POUND, 1000.0
LITRE, GRAM = 1e-3, 1e-3

SAND_100 = 100 * POUND / FOOT**3  # the trade's round figure for dry sand, 100 lb/ft3


def holes_to_the_square_foot(count):
    """Spacing of a square grid with so many holes to the square foot."""
    return FOOT / math.sqrt(count)


# hole, along, across [m]; share of the surface opened, as printed [%]
OPENED = [
    # [quarter-inch-2012] a club superintendent's diary, Greens Aerification Update, 2012,
    # http://laurelcreeksuper.blogspot.com/2012/08/greens-aerification-update.html
    pytest.param(0.25 * INCH, FOOT / 9, FOOT / 9, "2.76", id="quarter-inch-81-holes"),
    # [spring-greens-2012] a club's course diary, Spring Greens Aerification, 2012,
    # https://greystonelegacycourseoperations.blogspot.com/2012/03/spring-greens-aerification.html
    pytest.param(0.5 * INCH, 2.0 * INCH, 2.5 * INCH, "3.93", id="half-inch-2-by-2.5"),
    # [aerification-2011] a club's course diary, Some pictures from aerification, 2011,
    # http://woccgolfcoursemanagement.blogspot.com/2011/03/some-pictures-from-aerification.html
    pytest.param(0.5 * INCH, 1.5 * INCH, 1.33 * INCH, "9.8", id="half-inch-1.5-by-1.33"),
    # [industry-chart-2024] a golf club's course diary, post with an industry chart of tines, 2024,
    # https://kenmuregolf.blogspot.com/2024/04
    pytest.param(0.625 * INCH, 2.0 * INCH, 2.0 * INCH, "7.67", id="five-eighths-2-by-2"),
    # [gcsaa-forum-2013] Golf Course Superintendents Association of America, members' forum, thread on tines, 2013,
    # https://test.gcsaa.org/community/forums/forum-groups/permalink/3LrDqp3P1UO1S-pkmVVm9A
    # the inside diameter; the outside one is among the misprints
    pytest.param(0.470 * INCH, 1.5 * INCH, 1.5 * INCH, "7.71", id="inside-0.470"),
    # [percentages-2016] a club superintendent's diary, Aerification percentages, 2016,
    # http://highlandsccgolfmaintenance.blogspot.com/2016/09/aerification-percentages.html
    pytest.param(0.75 * INCH, 2.0 * INCH, 2.0 * INCH, "11", id="three-quarters-2-by-2"),
    # [aeration-report-2014] a club's turf diary, Aeration Report, 2014,
    # http://flccturfcare.blogspot.com/2014/09/aeration-report.html
    # "just over 8"
    pytest.param(0.5 * INCH, holes_to_the_square_foot(59), holes_to_the_square_foot(59), "8", id="59-holes"),
    # [turf-trends-2013] a club's turf diary, posts of October 2013, 2013, http://wgccturftrends.blogspot.com/2013/10
    pytest.param(0.4 * INCH, 2.0 * INCH, 1.33 * INCH, "4.72", id="0.4-inch-2-by-1.33"),
    # [greenkeepers-tining] a greenkeepers' employment body, Why is hollow tining important?,
    # https://internationalgreenkeepers.com/why-is-hollow-tining-important/
    pytest.param(0.012, 0.050, 0.050, "5", id="12-mm-at-50"),
    pytest.param(0.006, 0.025, 0.025, "5", id="6-mm-at-25"),
    pytest.param(0.025, 0.100, 0.100, "5", id="25-mm-at-100"),
]


@pytest.mark.parametrize(("diameter", "along", "across", "printed"), OPENED)
def test_hole_area_share_as_printed(diameter, along, across, printed, as_printed):
    assert 100 * hole_area_share(diameter, along, across) == as_printed(printed)


# along, across [in]; holes to the square foot, as printed
COUNTED = [
    # [aerification-2011] a club's course diary, Some pictures from aerification, 2011,
    # http://woccgolfcoursemanagement.blogspot.com/2011/03/some-pictures-from-aerification.html
    pytest.param(1.5, 1.33, "72", id="1.5-by-1.33"),
    pytest.param(2.0, 1.33, "54", id="2-by-1.33"),
    # [usga-2001] C. Hartwiger and P. O'Brien (USGA Green Section), Core Aeration by the Numbers, 2001, Green Section
    # Record
    # quoted from memory
    pytest.param(1.5, 1.5, "64", id="1.5-square"),
    pytest.param(2.0, 2.0, "36", id="2-square"),
]


@pytest.mark.parametrize(("along", "across", "printed"), COUNTED)
def test_hole_density_as_printed(along, across, printed, as_printed):
    assert hole_density(along * INCH, across * INCH) * FOOT**2 == as_printed(printed)


def test_passes_for_half_of_the_surface(as_printed):
    # [minner-2004] D. D. Minner (Iowa State University), Amount of Sand Required and Area Impacted for Various Coring
    # and Topdressing Programs, 2004, http://turfdiag.com/core-aeration
    # three-quarter-inch cores on three-inch centres: 10 passes for 50 %, by plain sum
    three_quarters = hole_area_share(0.75 * INCH, 3 * INCH, 3 * INCH)
    assert 0.50 / three_quarters == as_printed("10")
    # [minner-2004] D. D. Minner (Iowa State University), Amount of Sand Required and Area Impacted for Various Coring
    # and Topdressing Programs, 2004, http://turfdiag.com/core-aeration
    # "more than double" the area of half-inch tines
    assert three_quarters > 2 * hole_area_share(0.5 * INCH, 3 * INCH, 3 * INCH)


def test_sand_used_fits_the_holes():
    # [aeration-report-2014] a club's turf diary, Aeration Report, 2014,
    # http://flccturfcare.blogspot.com/2014/09/aeration-report.html
    # 8,850,000 holes of half an inch at 59 to the square foot, two inches deep, took
    # 105 short tons. The density is not printed and not every hole is full: five per cent, not half a digit.
    area = 8_850_000 / 59 * FOOT**2
    spacing = holes_to_the_square_foot(59)
    sand = layer_mass(hole_volume(0.5 * INCH, spacing, spacing, 2 * INCH), SAND_100) * area
    assert sand / SHORT_TON == pytest.approx(105, rel=0.05)


# area [m2], depth [m]; unit of volume [m3]; volume, as printed
VOLUMES = [
    # [grounds-maintenance-topdressers] Grounds Maintenance magazine, Topdressers are dressed up with accessories,
    # http://grounds-mag.com/mag/grounds_maintenance_topdressers_dressed_accessories/
    pytest.param(5 * THOUSAND_FT2, INCH / 8, YARD**3, "2", id="5000-ft2-eighth-inch"),
    pytest.param(50 * THOUSAND_FT2, INCH / 4, YARD**3, "39", id="50000-ft2-quarter-inch"),
    # [usga-2008] B. Whitlark (USGA Green Section), Christmas Wish: Firm And Fast Fairways, 2008,
    # https://www.usga.org/content/usga/home-page/course-care/christmas-wish-firm-and-fast-fairways-26356.html
    # the rows of the table that are not multiples of a rounded first row
    pytest.param(ACRE, INCH / 8, YARD**3, "17", id="acre-eighth-inch"),
    pytest.param(ACRE, INCH / 4, YARD**3, "34", id="acre-quarter-inch"),
    # [uconn-topsoil] University of Connecticut Cooperative Extension, How much topsoil to spread,
    # http://www.treemais.com/how-to-ascertain-how-much-topsoil-to-spread-on-new-yard
    # quoted second-hand
    pytest.param(THOUSAND_FT2, 4 * INCH, YARD**3, "12", id="1000-ft2-4-inches"),
    # [field-sand-table] an extension table, Why do they put sand on football fields,
    # https://rightbankwarsaw.com/players/why-do-they-put-sand-on-football-fields.html
    # quoted second-hand
    pytest.param(THOUSAND_FT2, 3 / 8 * INCH, YARD**3, "1.2", id="1000-ft2-three-eighths"),
    pytest.param(THOUSAND_FT2, 1 / 2 * INCH, YARD**3, "1.5", id="1000-ft2-half-inch"),
    pytest.param(THOUSAND_FT2, 3 / 4 * INCH, YARD**3, "2.3", id="1000-ft2-three-quarters"),
    # [sand-cap-2021] a golf architecture forum, thread on sand capping, 2021,
    # http://golfclubatlas.com/forum/index.php?topic=70440.msg1693096
    # round figures
    pytest.param(30 * ACRE, FOOT, YARD**3, "5e4", id="30-acres-one-foot"),
    pytest.param(50 * ACRE, FOOT, YARD**3, "8e4", id="50-acres-one-foot"),
    # [maxapress-sand] Maximum Academic Press, Sand topdressing rate unit conversions, table 1,
    # https://maxapress.com/app/figure_table/6791b5eefa6c58500c8b732b
    # one litre to the square metre, which is one millimetre
    pytest.param(THOUSAND_FT2, 0.001, FOOT**3, "3.28", id="1-mm-ft3"),
    pytest.param(THOUSAND_FT2, 0.001, US_GALLON, "24.5", id="1-mm-gallons"),
    pytest.param(THOUSAND_FT2, 0.001, YARD**3, "0.122", id="1-mm-yd3"),
    pytest.param(HECTARE, 0.001, 1.0, "10.0", id="1-mm-m3-per-ha"),
    pytest.param(1.0, 0.0394 * INCH, LITRE, "1.00", id="0.0394-inch"),
]


@pytest.mark.parametrize(("area", "depth", "unit", "printed"), VOLUMES)
def test_layer_volume_as_printed(area, depth, unit, printed, as_printed):
    assert layer_volume(area, depth) / unit == as_printed(printed)


# depth [m], bulk density [kg/m3]; unit of mass [kg] and area [m2]; mass, as printed
MASSES = [
    # [usga-2008] B. Whitlark (USGA Green Section), Christmas Wish: Firm And Fast Fairways, 2008,
    # https://www.usga.org/content/usga/home-page/course-care/christmas-wish-firm-and-fast-fairways-26356.html
    # 0.72 cubic yard to the short ton
    pytest.param(INCH / 4, SHORT_TON / (0.72 * YARD**3), SHORT_TON, ACRE, "47", id="acre-quarter-inch"),
    # [maxapress-sand] Maximum Academic Press, Sand topdressing rate unit conversions, table 1,
    # https://maxapress.com/app/figure_table/6791b5eefa6c58500c8b732b
    # at 100 lb/ft3
    pytest.param(0.001, SAND_100, POUND, THOUSAND_FT2, "328", id="1-mm-lb-per-1000-ft2"),
    pytest.param(0.001, SAND_100, SHORT_TON, ACRE, "7.15", id="1-mm-short-tons-per-acre"),
    pytest.param(0.001, SAND_100, TONNE, HECTARE, "16.0", id="1-mm-t-per-ha"),
]


@pytest.mark.parametrize(("depth", "density", "mass", "area", "printed"), MASSES)
def test_layer_mass_as_printed(depth, density, mass, area, printed, as_printed):
    assert layer_mass(depth, density) * area / mass == as_printed(printed)


@pytest.mark.parametrize(
    ("bag", "printed"),
    # [civilsir-bags] a civil-engineering teaching page, Volume of a bag of sand,
    # https://civilsir.com/volume-of-a-bag-of-sand/
    # volume of a bag of dry sand at 1,600 kg/m3 [m3], poured out over a square metre
    [(20, "0.0125"), (25, "0.015625"), (40, "0.025"), (50, "0.03125")],
)
def test_layer_depth_as_printed(bag, printed, as_printed):
    assert layer_depth(bag, 1600) == as_printed(printed)


# mass, mass of a pack (the same unit); packs, as printed
PACKS = [
    # [civilsir-bags] a civil-engineering teaching page, Volume of a bag of sand,
    # https://civilsir.com/volume-of-a-bag-of-sand/
    # small bags in a bulk bag
    pytest.param(800, 20, 40, id="800-kg-by-20"),
    pytest.param(800, 25, 32, id="800-kg-by-25"),
    pytest.param(1000, 20, 50, id="1000-kg-by-20"),
    pytest.param(1000, 25, 40, id="1000-kg-by-25"),
    # [turf-maths-worksheet] a US extension service, Turfgrass Mathematics Review/Practice Worksheet for Certified
    # Turfgrass Professional Testing, http://docplayer.net/28210450
    # 3.6 lb to the thousand square feet on 45 acres, bags of 50 lb: 141.1, rounded up
    pytest.param(3.6 * 43.56 * 45, 50, 142, id="45-acres"),
    # [canada-spray] a Canadian pesticide education factsheet, Calculating Spray Application Information,
    # https://docslib.org/doc/1861139/calculating-spray-application-information
    # 200 L/ha on 20 ha from a tank of 1,000 L: no part tank
    pytest.param(200 * 20, 1000, 4, id="whole-tanks"),
]


@pytest.mark.parametrize(("mass", "pack", "printed"), PACKS)
def test_whole_packs_as_printed(mass, pack, printed):
    assert whole_packs(mass, pack) == printed


# purity, germination [%]; pure live seed, as printed [%]
LIVE = [
    # [psu-pls] Penn State Center for Turfgrass Science, Calculating the Price of Pure Live Seed,
    # http://plantscience.psu.edu/research/centers/turf/extension/factsheets/calculating-seed-price
    pytest.param(92, 80, "74", id="92-by-80"),
    pytest.param(85, 60, "51", id="85-by-60"),
    pytest.param(99, 90, "89", id="99-by-90"),
    # [lsu-pls] Louisiana State University AgCenter, Pure Live Seed Calculation,
    # https://www.lsuagcenter.com/topics/lawn_garden/commercial_horticulture/turfgrass/management-practices/calculations/pure-live-seed-calculation
    pytest.param(48, 80, "38", id="48-by-80"),
    # [txdot-pls] Texas Department of Transportation, Pure live seed,
    # https://www.txdot.gov/about/campaigns-outreach/bluebonnets-wildflowers/pure-live-seed.html
    pytest.param(85, 75, "64", id="85-by-75"),
    # [umn-seed] University of Minnesota Extension, Purchasing Seed,
    # http://www.extension.umn.edu/garden/landscaping/maint/newlawn_5.html
    pytest.param(31, 80, "24.8", id="31-by-80"),
    # [cornell-seed] Cornell University, Safe Sports Fields, Seeding rates,
    # http://safesportsfields.cals.cornell.edu/seeding-rates
    pytest.param(95, 85, "81", id="95-by-85"),
]


@pytest.mark.parametrize(("purity", "germination", "printed"), LIVE)
def test_pure_live_seed_as_printed(purity, germination, printed, as_printed):
    assert 100 * pure_live_seed(purity / 100, germination / 100) == as_printed(printed)


@pytest.mark.parametrize(
    ("purity", "germination", "printed"),
    # [psu-pls] Penn State Center for Turfgrass Science, Calculating the Price of Pure Live Seed,
    # http://plantscience.psu.edu/research/centers/turf/extension/factsheets/calculating-seed-price
    # seed to buy for each pound of pure live seed [lb]
    [(0.92, 0.80, "1.4"), (0.85, 0.60, "2")],
)
def test_sowing_rate_as_printed(purity, germination, printed, as_printed):
    assert sowing_rate(1.0, pure_live_seed(purity, germination)) == as_printed(printed)


# nutrient wanted [any unit of rate], content [%]; product, as printed [the same unit]
PRODUCT = [
    # [unl-fertiliser] University of Nebraska-Lincoln Extension, Lawn Fertilizer Calculations,
    # http://byf.unl.edu/LawnFertCalc
    pytest.param(1.0, 28, "3.57", id="28-percent"),
    # [purdue-ay22] Purdue University, AY-22, as quoted on a contractor's page (name left out)
    # quoted second-hand
    pytest.param(0.75, 16, "4.69", id="three-quarters-16-percent"),
    # [uga-fertiliser] C. Waltz (University of Georgia), Fertilizer Calculations for Attractive, Healthy Lawns,
    # https://ugaurbanag.com/lawn-fertilizer-calculations/
    pytest.param(1.0, 10, "10", id="10-10-10"),
    pytest.param(1.0, 12, "8.3", id="12-4-8"),
    pytest.param(1.0, 5, "20", id="5-10-15"),
    pytest.param(1.0, 16, "6.3", id="16-4-8"),
    pytest.param(1.0, 33, "3", id="33-percent"),
    # [turf-maths-worksheet] a US extension service, Turfgrass Mathematics Review/Practice Worksheet for Certified
    # Turfgrass Professional Testing, http://docplayer.net/28210450
    pytest.param(0.9, 25, "3.6", id="25-percent"),
    # [socal-fertiliser-2021] SportsField Management magazine, Fertilizer Math, 2021,
    # https://www.socalsfma.com/articles/fertilizer-math
    pytest.param(0.9, 20, "4.5", id="20-percent"),
    # [schlossberg-2022] M. Schlossberg (Penn State), A Practical Method of Rotary Spreader Calibration, 2022,
    # https://issuu.com/leadingedgepubs/docs/nc-turfgrass-2023-jan-feb/s/17903123
    pytest.param(2.0, 22, "9.1", id="potash-0-0-22"),
    # [pesticide-handbook] Agrochemical and Pesticide Safety Handbook, page 128,
    # http://what-when-how.com/Tutorial/topic-166581h5j/Agrochemical-and-Pesticide-Safety-128.html
    # active ingredient in an 80 % powder: the same sum, whatever the product
    pytest.param(2.0, 80, "2.5", id="powder-80-percent"),
    # [army-md0173] US Army medical training, MD0173, http://armymedical.tpub.com/MD0173/
    pytest.param(10.0, 5, "200", id="dust-5-percent"),
]


@pytest.mark.parametrize(("nutrient", "content", "printed"), PRODUCT)
def test_product_rate_as_printed(nutrient, content, printed, as_printed):
    rate = nutrient * POUND / THOUSAND_FT2
    assert product_rate(rate, content / 100) * THOUSAND_FT2 / POUND == as_printed(printed)


def test_product_on_the_half():
    # [purdue-ay22] Purdue University, AY-22, as quoted on a contractor's page (name left out)
    # quoted second-hand
    # the same product on 8,000 square feet is printed as 37 lb: it is 37.5, so no half digit can judge
    assert product_rate(0.75, 0.16) * 8 == pytest.approx(37.5, rel=1e-12)


# product [kg/m2], content [%]; unit of the answer [kg/m2]; nutrient, as printed
NUTRIENT = [
    # [turf-maths-worksheet] a US extension service, Turfgrass Mathematics Review/Practice Worksheet for Certified
    # Turfgrass Professional Testing, http://docplayer.net/28210450
    # 1,250 lb of 5-10-20, here on a thousand square feet
    pytest.param(1250 * POUND / THOUSAND_FT2, 5, POUND / THOUSAND_FT2, "62.5", id="1250-lb-nitrogen"),
    pytest.param(1250 * POUND / THOUSAND_FT2, 10, POUND / THOUSAND_FT2, "125", id="1250-lb-phosphate"),
    pytest.param(1250 * POUND / THOUSAND_FT2, 20, POUND / THOUSAND_FT2, "250", id="1250-lb-potash"),
    # [maker-note-granules] a turf-fertiliser maker's technical note (name left out), nutrients from granules and
    # liquids
    # kg/ha
    pytest.param(25 * GRAM, 5, 1 / HECTARE, "12.5", id="25-g-5-percent"),
    pytest.param(25 * GRAM, 15, 1 / HECTARE, "37.5", id="25-g-15-percent"),
    pytest.param(35 * GRAM, 14, 1 / HECTARE, "49", id="35-g-14-percent"),
]


@pytest.mark.parametrize(("product", "content", "unit", "printed"), NUTRIENT)
def test_nutrient_rate_as_printed(product, content, unit, printed, as_printed):
    assert nutrient_rate(product, content / 100) / unit == as_printed(printed)


@pytest.mark.parametrize(
    ("percent", "printed"),
    # [maker-note-granules] a turf-fertiliser maker's technical note (name left out), nutrients from granules and
    # liquids
    # 40 L/ha of 18-9-9 weight in volume [kg/ha]; one per cent is 10 g/L
    [(18, "7.2"), (9, "3.6")],
)
def test_liquid_nutrient_rate_as_printed(percent, printed, as_printed):
    assert liquid_nutrient_rate(40 * LITRE / HECTARE, 10 * percent) * HECTARE == as_printed(printed)


def test_nitrogen_in_a_gallon(as_printed):
    # [purdue-nitrogen-2023] J. Camberato (Purdue Extension), Basic calculations for nitrogen fertilizers, 2023,
    # https://www.farmprogress.com/soil-health/basic-calculations-for-nitrogen-fertilizers
    # 28 % N, 10.6 lb to the gallon; then 20 gallons to the acre
    strength = weight_in_volume(0.28, 10.6 * POUND / US_GALLON)
    assert strength * US_GALLON / POUND == as_printed("2.97")
    assert liquid_nutrient_rate(20 * US_GALLON / ACRE, strength) * ACRE / POUND == as_printed("59.4")


def test_liquid_product_rate_as_printed(as_printed):
    # [army-md0173] US Army medical training, MD0173, http://armymedical.tpub.com/MD0173/
    # 0.3 lb to the acre from 6 % in a liquid of 8.34 lb to the gallon [US gal/acre]
    strength = weight_in_volume(0.06, 8.34 * POUND / US_GALLON)
    assert liquid_product_rate(0.3 * POUND / ACRE, strength) * ACRE / US_GALLON == as_printed("0.6")


# oxide, mass; element, as printed
ELEMENTS = [
    # [turf-maths-worksheet] a US extension service, Turfgrass Mathematics Review/Practice Worksheet for Certified
    # Turfgrass Professional Testing, http://docplayer.net/28210450
    pytest.param("P2O5", 125, "55", id="125-phosphate"),
    pytest.param("K2O", 250, "207.5", id="250-potash"),
    # [psu-oxides] Penn State Center for Turfgrass Science, How Much Phosphorus and Potassium are Really in Your
    # Fertilizer?, 2022, https://plantscience.psu.edu/research/centers/turf/extension/factsheets/how-much
    pytest.param("K2O", 10, "8.3", id="10-potash"),
    # [encyclopedia-fertiliser] an encyclopedia article on fertiliser, Oxide labels read as elements,
    # https://forum.odla.nu/lofiversion/index.php/t62343.html
    # quoted second-hand
    pytest.param("P2O5", 51, "22", id="51-phosphate"),
    # in many handbooks, from memory, no source
    pytest.param("P2O5", 1, "0.4364", id="factor-phosphate"),
]


@pytest.mark.parametrize(("oxide", "mass", "printed"), ELEMENTS)
def test_element_from_oxide_as_printed(oxide, mass, printed, as_printed):
    assert element_from_oxide(oxide, mass) == as_printed(printed)


@pytest.mark.parametrize(
    ("oxide", "printed"),
    # [laboratory-oxides] a plant-nutrition laboratory (name left out), list of factors from oxides to elements
    # divide the oxide by this
    [("P2O5", "2.29"), ("K2O", "1.20"), ("MgO", "1.66"), ("CaO", "1.4"), ("SO3", "2.5")],
)
def test_oxide_divisors_as_printed(oxide, printed, as_printed):
    assert 1 / element_from_oxide(oxide, 1.0) == as_printed(printed)


def test_rate_on_the_ground_really_covered(as_printed):
    # [haines-2023] J. Haines, Does size matter, 2023, http://fusariummy.blogspot.com/2023/02/does-size-matter.html
    # nitrogen recorded for 1.0 ha but spread over 1.2 ha: 1.15 becomes 0.96 g/m2, 17 % less
    rate = true_rate(1.15 * GRAM, 1.0 * HECTARE, 1.2 * HECTARE)
    assert rate / GRAM == as_printed("0.96")
    assert 100 * (1 - rate / (1.15 * GRAM)) == as_printed("17")
