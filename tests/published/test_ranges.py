"""Published ranges: as printed, with a source that exists, and a remark a reader can use."""

import pytest

from turfgis.errors import InputError
from turfgis.published.ranges import RANGES, SHOWN, remark
from turfgis.sources import SOURCES

# Exact by definition.
INCH, FOOT = 0.0254, 0.3048
LB_PER_1000_FT2 = 0.45359237 / (1000 * FOOT**2)


@pytest.mark.parametrize("name", RANGES)
def test_every_range_can_be_used(name):
    known = RANGES[name]
    assert 0 <= known.low < known.high
    assert known.unit in SHOWN
    assert known.what
    assert known.sources
    assert set(known.sources) <= set(SOURCES)


# name; low and high as printed; unit of the printed figures in SI
PRINTED = [
    # [gma-bulk-density] Grounds Management Association, What is Bulk Density?,
    # https://thegma.org.uk/learning/resources/bulk-density
    # g/cm3
    ("root_zone_bulk_density", 1.20, 1.60, 1000),
    # [reference-sand] reference.com, bulk density of sand,
    # https://www.reference.com/science/bulk-density-sand-84edfc5d0a9f0ae7
    # lb/ft3 at the low end
    # [minner-2011] D. D. Minner (Iowa State University), SportsTurf magazine, October, 2011,
    # https://read.dmtmag.com/i/43432/19
    # short tons to the cubic yard at the high end
    ("sand_bulk_density", 80, 1.45 * 2000 / 27, 0.45359237 / FOOT**3),
    # [usga-2014-granted] J. Skorulski (USGA Green Section), Too Easy To Take For Granted, 2014,
    # http://www.usga.org/content/usga/home-page/course-care/2014/10/too-easy-to-take-for-granted-21474873719.html
    # in
    ("light_topdressing_depth", 0.005, 0.020, INCH),
    # [usga-2014-bunkers] B. Whitlark (USGA Green Section), Adding New Sand To Existing Bunkers, 2014,
    # http://www.usga.org/course_care/regional_updates/regional_reports/southwest/Adding-New-Sand-To-Existing-Bunkers---March-2014/
    # in; faces 2 to 3, floors 4 to 6
    ("bunker_sand_depth", 2, 6, INCH),
    # [usga-2017-tolerance] USGA in Earth Shaping News, fourth quarter 2017, page 23, 2017,
    # https://issuu.com/gcbaa/docs/esn_4th_qtr_2017/23
    # 12 in, plus or minus 1
    ("root_zone_depth", 11, 13, INCH),
    # [cornell-seed] Cornell University, Safe Sports Fields, Seeding rates,
    # http://safesportsfields.cals.cornell.edu/seeding-rates
    ("seed_rate_kentucky_bluegrass", 1, 3, LB_PER_1000_FT2),
    ("seed_rate_perennial_ryegrass", 4, 6, LB_PER_1000_FT2),
    ("seed_rate_tall_fescue", 6, 8, LB_PER_1000_FT2),
    # [lsu-pls] Louisiana State University AgCenter, Pure Live Seed Calculation,
    # https://www.lsuagcenter.com/topics/lawn_garden/commercial_horticulture/turfgrass/management-practices/calculations/pure-live-seed-calculation
    ("seed_rate_bermudagrass", 0.75, 1, LB_PER_1000_FT2),
    ("overseed_rate_perennial_ryegrass", 3.5, 10, LB_PER_1000_FT2),
    ("overseed_rate_annual_ryegrass", 5, 10, LB_PER_1000_FT2),
    ("seed_rate_zoysiagrass", 1, 2, LB_PER_1000_FT2),
    # [gcm-bentgrass] Golf Course Management, Creeping bentgrass seeding rates, traffic affect green establishment,
    # https://test.gcmonline.com/research/news/creeping-bentgrass-putting-green
    # oz; the same range is printed as 2.4 to 4.9 g/m2
    ("seed_rate_creeping_bentgrass", 7.9, 16.0, LB_PER_1000_FT2 / 16),
    # [pitchcare-seed] Pitchcare magazine, Obtaining the best results from a seed mixture,
    # https://www.pitchcare.com/blogs/news/obtaining-the-best-results-from-a-seed-mixture
    # g/m2
    ("overseed_rate_fescue_bent", 10, 25, 0.001),
    # [digman-overlap] M. Digman (University of Wisconsin), Mowing overlap loss,
    # http://hayandforage.com/print/other/custom-forage-harvesting/mowing-overlap-loss-0406
    # per cent
    ("mower_overlap_share", 0.5, 16, 0.01),
    # [haines-2020] J. Haines, Turfenomics, productivity, part 4, mower, 2020,
    # https://fusariummy.blogspot.com/2020/11/turfenomics-productivity-part-4-mower.html
    # per cent
    ("cutting_share_of_engine_hours", 10, 40, 0.01),
    # [purdue-ay43] Z. Reicher, C. Throssell and J. Lefton (Purdue University), Golf Course Fertilization, AY-43-W,
    # https://www.extension.purdue.edu/extmedia/AY/AY-43-W.html
    ("nitrogen_per_application", 0, 1.5, LB_PER_1000_FT2),
    # [watson-guelph] J. R. A. K. Watson, thesis on nitrogen for bentgrass greens, University of Guelph,
    # https://atrium.lib.uoguelph.ca/items/15ca5796-37e4-4f39-9692-da9c5ea8bba1
    # kg/100 m2 at the low end
    # [schlossberg-2007] M. J. Schlossberg and J. P. Schmidt, paper on nitrogen for putting greens, 2007, Agronomy
    # Journal 99:99-106
    # kg/ha at the high end
    ("nitrogen_per_year_greens", 0.25, 2.44, 0.01),
    # [landschoot-feast] P. Landschoot (Penn State), Feast or Famine Fertility, Grounds Maintenance,
    # http://grounds-mag.com/mag/grounds_maintenance_feast_famine_fertility/
    # fescues about 2, Kentucky bluegrass and perennial ryegrass 3 to 4
    ("nitrogen_per_year_cool_season", 2, 4, LB_PER_1000_FT2),
    # [usga-2025] R. Niewola (USGA Green Section), Three Best Friends: Topdressing, Organic Matter and Math, 2025,
    # https://usga.org/content/usga/home-page/course-care/green-section-record/63/issue-06/three-best-friends--topdressing--organic-matter-and-math-.html
    # ft3 to the thousand square feet at the low end
    # [virginia-2010] E. Ervin and A. Nichols (Virginia Tech), Organic matter dilution programs for sand-based putting
    # greens in Virginia, 2010,
    # https://golfcourseindustry.com/article/gci-0411-real-science-organic-matter-dilution-sand
    # 40 to 50 ft3 to the thousand square feet at the high end
    ("yearly_sand_depth_greens", 20.3, 50, FOOT / 1000),
    # [usga-2008] B. Whitlark (USGA Green Section), Christmas Wish: Firm And Fast Fairways, 2008,
    # https://www.usga.org/content/usga/home-page/course-care/christmas-wish-firm-and-fast-fairways-26356.html
    # short tons to the acre, at 0.72 yd3 to the ton
    ("yearly_sand_depth_fairways", 40, 180, 0.72 * 27 * FOOT / 43_560),
    # [usga-2014-bunkers] B. Whitlark (USGA Green Section), Adding New Sand To Existing Bunkers, 2014,
    # http://www.usga.org/course_care/regional_updates/regional_reports/southwest/Adding-New-Sand-To-Existing-Bunkers---March-2014/
    # in
    ("bunker_floor_sand_depth", 4, 6, INCH),
    ("bunker_face_sand_depth", 2, 3, INCH),
    # [maryland-turf] Maryland Turfgrass Council, Measuring, http://www.marylandturfgrass.org/Welcome.html/measuring/
    # per cent, 3 to 5
    # [half-acre-turf] a garden page, Pallets of turf for half an acre,
    # https://98905.com/garden-lawn/lawn-basics/4623.html
    # per cent, 5 to 10
    ("turf_trim_loss", 3, 10, 0.01),
    # [asae-d497] ASAE, D497 Agricultural Machinery Management Data, table 3
    # quoted from memory
    # per cent
    ("field_efficiency_spreader", 60, 80, 0.01),
    ("field_efficiency_sprayer", 50, 80, 0.01),
]


@pytest.mark.parametrize(("name", "low", "high", "unit"), PRINTED)
def test_ends_as_printed(name, low, high, unit):
    assert (RANGES[name].low, RANGES[name].high) == pytest.approx((low * unit, high * unit), rel=1e-9)
    assert remark(name, low * unit) == ""
    assert remark(name, high * unit) == ""


def test_bentgrass_in_the_other_unit_printed():
    # [gcm-bentgrass] Golf Course Management, Creeping bentgrass seeding rates, traffic affect green establishment,
    # https://test.gcmonline.com/research/news/creeping-bentgrass-putting-green
    # 7.9 to 16.0 oz to the thousand square feet, printed beside it as 2.4 to 4.9 g/m2
    known = RANGES["seed_rate_creeping_bentgrass"]
    assert (1000 * known.low, 1000 * known.high) == pytest.approx((2.4, 4.9), abs=0.05)


def test_spray_volume_as_printed_twice():
    """Two sources, in two systems of units, that agree on both ends."""
    known, gallon = RANGES["spray_volume"], 3.785411784e-3 / (1000 * FOOT**2)
    # [woods-metric] M. Woods, Turf math: a case for metric units, Golf Course Management,
    # https://gcmonline.com/course/turf/news/turf-math-metric-units
    # 40 to 80 mL/m2
    assert (1e6 * known.low, 1e6 * known.high) == pytest.approx((40, 80), rel=0.02)
    # [fidanza-couch] M. Fidanza and J. Kaminski (Penn State), Revisiting Dr. Houston Couch's advice on maximizing
    # fungicide efficacy, https://blubrry.com/theturfzone/75780678/
    # 1 US gallon to the thousand square feet on fairways and tees, 2 on greens
    assert (known.low / gallon, known.high / gallon) == pytest.approx((1, 2), rel=0.02)
    assert remark("spray_volume", 200e-7).startswith("200 l/ha lies below the published range of the volume of spray")


def test_a_remark_says_what_where_and_who():
    text = remark("field_efficiency_spreader", 0.3)
    assert text.startswith("30 % lies below the published range of the field efficiency of spreaders, 60 to 80 %")
    assert "check the figure and its unit" in text
    assert "D497" in text
    assert "from memory" in text


def test_a_slip_of_the_unit_reads_plainly():
    """Two metres of sand where two millimetres were meant: no power of ten in the sentence."""
    assert remark("topdressing_depth", 2.0).startswith("2,000 mm lies above the published range")


def test_unknown_name_is_refused_with_the_known_ones():
    with pytest.raises(InputError, match=r"no published range is kept for 'price'; known: .*sand_bulk_density"):
        remark("price", 1.0)
