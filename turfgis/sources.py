"""
Every published source cited in the formulas, the published ranges and the checks.

A source is named by its key. ``seen`` says how far it was read: a figure quoted from memory or second-hand is marked
so here, and whoever relies on it should look it up.
"""

from dataclasses import dataclass

FULL, EXCERPT, SECOND_HAND, MEMORY = "in full", "in an excerpt", "second-hand", "from memory"


@dataclass(frozen=True)
class Source:
    """One published source."""

    key: str
    author: str
    title: str
    year: str
    where: str
    seen: str


def cite(key):
    """
    One line that names a source.

    Parameters
    ----------
    key
        Key of the source in `SOURCES`.

    Returns
    -------
    Author, title, year, where it is found, and a remark where it was not read in full.

    Raises
    ------
    KeyError
        No source has the key: a mistake in the program, not in the input.

    Examples
    --------
    >>> cite("minner-2011")
    'D. D. Minner (Iowa State University), SportsTurf magazine, October, 2011, https://read.dmtmag.com/i/43432/19'
    >>> cite("asae-d497")
    'ASAE, D497 Agricultural Machinery Management Data, table 3 (quoted from memory)'
    """
    source = SOURCES[key]
    line = ", ".join(part for part in (source.author, source.title, source.year, source.where) if part)
    return f"{line} (quoted {source.seen})" if source.seen in (SECOND_HAND, MEMORY) else line


# Written by hand in lines of key, author, title; year, where, seen: one to a line would fill ten pages.
# fmt: off
_LIST = (
    # geodesy, units, chemistry
    Source("nga-wgs84", "National Geospatial-Intelligence Agency", "World Geodetic System 1984, NGA.STND.0036",
           "2014", "table 3.1", MEMORY),
    Source("snyder-1987", "J. P. Snyder", "Map Projections: A Working Manual, USGS Professional Paper 1395",
           "1987", "pages 16, 77, 278", EXCERPT),
    Source("geographiclib-tests", "C. Karney", "GeographicLib Python test suite",
           "", "https://github.com/geographiclib/geographiclib-python", FULL),
    Source("geographiclib-planimeter", "C. Karney", "Planimeter(1) manual page",
           "", "https://github.com/geographiclib/geographiclib", FULL),
    Source("gum-2008", "Joint Committee for Guides in Metrology", "Guide to the expression of uncertainty, JCGM 100",
           "2008", "clause 5.1.2", MEMORY),
    Source("navratil-2003", "G. Navratil", "Precision of Area Computation",
           "2003", "https://m.moam.info/precision-of-area-computation_5baf6b9d097c47b73b8b47ca.html", EXCERPT),
    Source("sciforums-2003", "a science forum", "thread on surface area", "2003",
           "http://www.sciforums.com/surface-area-t-30916.html", EXCERPT),
    Source("arboreal-slope", "a forestry measurement page", "Calculating area on a slope", "",
           "https://arboreal.se/en/slope", EXCERPT),
    Source("birge-1932", "R. T. Birge", "The Calculation of Errors by the Method of Least Squares",
           "1932", "Physical Review 40:207", MEMORY),
    Source("klein-maintenance-math", "B. Klein, Golf Course Industry", "Using math for maintenance", "",
           "https://golfcourseindustry.com/article/golf-course-maintenance-math", EXCERPT),
    Source("horn-1981", "B. K. P. Horn", "Hill Shading and the Reflectance Map", "1981",
           "Proceedings of the IEEE 69(1):14-47", MEMORY),
    Source("jenness-2004", "J. Jenness", "Calculating landscape surface area from digital elevation models", "2004",
           "Wildlife Society Bulletin 32(3):829-839", SECOND_HAND),
    Source("immerkaer-1996", "J. Immerkaer", "Fast Noise Variance Estimation", "1996",
           "Computer Vision and Image Understanding 64(2):300-302", MEMORY),
    Source("slope-window", "a maker of mapping programs (name left out)", "worked examples of slope and aspect", "",
           "", SECOND_HAND),
    Source("iupac-2021", "T. Prohaska and others", "Standard atomic weights of the elements 2021 (IUPAC)",
           "2022", "Pure and Applied Chemistry 94:573", MEMORY),

    # sand
    Source("grounds-maintenance-topdressers", "Grounds Maintenance magazine",
           "Topdressers are dressed up with accessories", "",
           "http://grounds-mag.com/mag/grounds_maintenance_topdressers_dressed_accessories/", EXCERPT),
    Source("usga-2008", "B. Whitlark (USGA Green Section)", "Christmas Wish: Firm And Fast Fairways", "2008",
           "https://www.usga.org/content/usga/home-page/course-care/christmas-wish-firm-and-fast-fairways-26356.html",
           EXCERPT),
    Source("usga-2014-granted", "J. Skorulski (USGA Green Section)", "Too Easy To Take For Granted", "2014",
           "http://www.usga.org/content/usga/home-page/course-care/2014/10/"
           "too-easy-to-take-for-granted-21474873719.html", EXCERPT),
    Source("usga-2014-bunkers", "B. Whitlark (USGA Green Section)", "Adding New Sand To Existing Bunkers", "2014",
           "http://www.usga.org/course_care/regional_updates/regional_reports/southwest/"
           "Adding-New-Sand-To-Existing-Bunkers---March-2014/", EXCERPT),
    Source("usga-2017-tolerance", "USGA in Earth Shaping News", "fourth quarter 2017, page 23", "2017",
           "https://issuu.com/gcbaa/docs/esn_4th_qtr_2017/23", EXCERPT),
    Source("maxapress-sand", "Maximum Academic Press", "Sand topdressing rate unit conversions, table 1", "",
           "https://maxapress.com/app/figure_table/6791b5eefa6c58500c8b732b", EXCERPT),
    Source("kujawski-1998", "Kujawski and Cupo, quoted in an arboriculture article", "Soil structure", "1998",
           "http://www.rudystree.com/articles/soil_structure.php?page=2", SECOND_HAND),
    Source("uconn-topsoil", "University of Connecticut Cooperative Extension", "How much topsoil to spread", "",
           "http://www.treemais.com/how-to-ascertain-how-much-topsoil-to-spread-on-new-yard", SECOND_HAND),
    Source("field-sand-table", "an extension table", "Why do they put sand on football fields", "",
           "https://rightbankwarsaw.com/players/why-do-they-put-sand-on-football-fields.html", SECOND_HAND),
    Source("fairway-diary-2015", "a golf club's course diary", "post on fairway dressing", "2015",
           "http://wvccgreens.blogspot.com/2015/06", EXCERPT),
    Source("gma-bulk-density", "Grounds Management Association", "What is Bulk Density?", "",
           "https://thegma.org.uk/learning/resources/bulk-density", EXCERPT),
    Source("reference-sand", "reference.com", "bulk density of sand", "",
           "https://www.reference.com/science/bulk-density-sand-84edfc5d0a9f0ae7", FULL),
    Source("civilsir-bags", "a civil-engineering teaching page", "Volume of a bag of sand", "",
           "https://civilsir.com/volume-of-a-bag-of-sand/", EXCERPT),
    Source("moist-sand", "an engineering exam question", "Surface water in moist sand", "",
           "https://curioustab.com/moist-sand-may-contain-surface-water-mass-upto-70347", EXCERPT),
    Source("sand-cap-2021", "a golf architecture forum", "thread on sand capping", "2021",
           "http://golfclubatlas.com/forum/index.php?topic=70440.msg1693096", EXCERPT),
    Source("sand-cap-allowance", "a golf architecture forum", "thread on six inches of sand cap", "2021",
           "http://golfclubatlas.com/forum/index.php?topic=70955.msg1705908", EXCERPT),
    Source("arizona-bunkers", "D. M. Kopec (University of Arizona)", "Up To Your Knees - In Sand", "1995",
           "https://turf.arizona.edu/ccps0295.html", FULL),
    Source("bunker-repairs-2011", "a club's turf diary", "Bunker Repairs", "2011",
           "http://flccturfcare.blogspot.com/2011/06/bunker-repairs.html", FULL),
    Source("bunker-plate-2014", "a club superintendent's diary", "We have sand in 16 and 18", "2014",
           "http://bayoaksgcm.blogspot.com/2014/01/we-have-sand-in-16-and-18.html", FULL),
    Source("bunker-cost-forum", "a golf architecture forum", "thread on the cost of bunkers", "",
           "http://golfclubatlas.com/forum/index.php?topic=34526", EXCERPT),
    Source("usga-2025", "R. Niewola (USGA Green Section)", "Three Best Friends: Topdressing, Organic Matter and Math",
           "2025", "https://usga.org/content/usga/home-page/course-care/green-section-record/63/issue-06/"
           "three-best-friends--topdressing--organic-matter-and-math-.html", EXCERPT),
    Source("virginia-2010", "E. Ervin and A. Nichols (Virginia Tech)",
           "Organic matter dilution programs for sand-based putting greens in Virginia", "2010",
           "https://golfcourseindustry.com/article/gci-0411-real-science-organic-matter-dilution-sand", EXCERPT),
    Source("mix-by-volume", "a contractor's page (name left out)", "Material calculations", "", "", EXCERPT),

    # tines
    Source("quarter-inch-2012", "a club superintendent's diary", "Greens Aerification Update", "2012",
           "http://laurelcreeksuper.blogspot.com/2012/08/greens-aerification-update.html", FULL),
    Source("spring-greens-2012", "a club's course diary", "Spring Greens Aerification", "2012",
           "https://greystonelegacycourseoperations.blogspot.com/2012/03/spring-greens-aerification.html", FULL),
    Source("aerification-2011", "a club's course diary", "Some pictures from aerification", "2011",
           "http://woccgolfcoursemanagement.blogspot.com/2011/03/some-pictures-from-aerification.html", FULL),
    Source("industry-chart-2024", "a golf club's course diary", "post with an industry chart of tines", "2024",
           "https://kenmuregolf.blogspot.com/2024/04", FULL),
    Source("gcsaa-forum-2013", "Golf Course Superintendents Association of America",
           "members' forum, thread on tines", "2013",
           "https://test.gcsaa.org/community/forums/forum-groups/permalink/3LrDqp3P1UO1S-pkmVVm9A", EXCERPT),
    Source("percentages-2016", "a club superintendent's diary", "Aerification percentages", "2016",
           "http://highlandsccgolfmaintenance.blogspot.com/2016/09/aerification-percentages.html", EXCERPT),
    Source("minner-2004", "D. D. Minner (Iowa State University)",
           "Amount of Sand Required and Area Impacted for Various Coring and Topdressing Programs", "2004",
           "http://turfdiag.com/core-aeration", EXCERPT),
    Source("minner-2011", "D. D. Minner (Iowa State University)", "SportsTurf magazine, October", "2011",
           "https://read.dmtmag.com/i/43432/19", EXCERPT),
    Source("material-removed-2014", "a club superintendent's diary", "Material removed, aerification", "2014",
           "http://brookstonegcm.blogspot.com/2014/06/material-removed-aerification.html", FULL),
    Source("usga-2001", "C. Hartwiger and P. O'Brien (USGA Green Section)", "Core Aeration by the Numbers", "2001",
           "Green Section Record", MEMORY),
    Source("organic-matter-management", "Golf Course Industry", "Organic matter management", "",
           "https://golfcourseindustry.com/article/organic-matter-management", EXCERPT),
    Source("aeration-report-2014", "a club's turf diary", "Aeration Report", "2014",
           "http://flccturfcare.blogspot.com/2014/09/aeration-report.html", FULL),
    Source("greenkeepers-tining", "a greenkeepers' employment body", "Why is hollow tining important?", "",
           "https://internationalgreenkeepers.com/why-is-hollow-tining-important/", EXCERPT),
    Source("turf-trends-2013", "a club's turf diary", "posts of October 2013", "2013",
           "http://wgccturftrends.blogspot.com/2013/10", EXCERPT),

    # seed
    Source("psu-pls", "Penn State Center for Turfgrass Science", "Calculating the Price of Pure Live Seed", "",
           "http://plantscience.psu.edu/research/centers/turf/extension/factsheets/calculating-seed-price", FULL),
    Source("lsu-pls", "Louisiana State University AgCenter", "Pure Live Seed Calculation", "",
           "https://www.lsuagcenter.com/topics/lawn_garden/commercial_horticulture/turfgrass/management-practices/"
           "calculations/pure-live-seed-calculation", EXCERPT),
    Source("txdot-pls", "Texas Department of Transportation", "Pure live seed", "",
           "https://www.txdot.gov/about/campaigns-outreach/bluebonnets-wildflowers/pure-live-seed.html", FULL),
    Source("umn-seed", "University of Minnesota Extension", "Purchasing Seed", "",
           "http://www.extension.umn.edu/garden/landscaping/maint/newlawn_5.html", EXCERPT),
    Source("cornell-seed", "Cornell University, Safe Sports Fields", "Seeding rates", "",
           "http://safesportsfields.cals.cornell.edu/seeding-rates", FULL),
    Source("gcm-bentgrass", "Golf Course Management",
           "Creeping bentgrass seeding rates, traffic affect green establishment", "",
           "https://test.gcmonline.com/research/news/creeping-bentgrass-putting-green", EXCERPT),
    Source("pitchcare-seed", "Pitchcare magazine", "Obtaining the best results from a seed mixture", "",
           "https://www.pitchcare.com/blogs/news/obtaining-the-best-results-from-a-seed-mixture", EXCERPT),

    # turf
    Source("half-acre-turf", "a garden page", "Pallets of turf for half an acre", "",
           "https://98905.com/garden-lawn/lawn-basics/4623.html", EXCERPT),
    Source("maryland-turf", "Maryland Turfgrass Council", "Measuring", "",
           "http://www.marylandturfgrass.org/Welcome.html/measuring/", FULL),
    Source("tutor-mensuration", "a tutorial page", "Mensuration", "",
           "http://tutorteddy.com/homeworkwiki/Mensuration-27", EXCERPT),
    Source("divot-compost-2019", "an organic-turf adviser's article (name left out)", "Athletic Field Repair", "2019",
           "", EXCERPT),

    # fertiliser and other products
    Source("unl-fertiliser", "University of Nebraska-Lincoln Extension", "Lawn Fertilizer Calculations", "",
           "http://byf.unl.edu/LawnFertCalc", EXCERPT),
    Source("purdue-ay22", "Purdue University", "AY-22, as quoted on a contractor's page (name left out)", "", "",
           SECOND_HAND),
    Source("uga-fertiliser", "C. Waltz (University of Georgia)",
           "Fertilizer Calculations for Attractive, Healthy Lawns", "",
           "https://ugaurbanag.com/lawn-fertilizer-calculations/", EXCERPT),
    Source("turf-maths-worksheet", "a US extension service",
           "Turfgrass Mathematics Review/Practice Worksheet for Certified Turfgrass Professional Testing", "",
           "http://docplayer.net/28210450", EXCERPT),
    Source("psu-oxides", "Penn State Center for Turfgrass Science",
           "How Much Phosphorus and Potassium are Really in Your Fertilizer?", "2022",
           "https://plantscience.psu.edu/research/centers/turf/extension/factsheets/how-much", FULL),
    Source("laboratory-oxides", "a plant-nutrition laboratory (name left out)",
           "list of factors from oxides to elements", "", "", FULL),
    Source("encyclopedia-fertiliser", "an encyclopedia article on fertiliser", "Oxide labels read as elements", "",
           "https://forum.odla.nu/lofiversion/index.php/t62343.html", SECOND_HAND),
    Source("purdue-nitrogen-2023", "J. Camberato (Purdue Extension)",
           "Basic calculations for nitrogen fertilizers", "2023",
           "https://www.farmprogress.com/soil-health/basic-calculations-for-nitrogen-fertilizers", EXCERPT),
    Source("maker-note-granules", "a turf-fertiliser maker's technical note (name left out)",
           "nutrients from granules and liquids", "", "", FULL),
    Source("socal-fertiliser-2021", "SportsField Management magazine", "Fertilizer Math", "2021",
           "https://www.socalsfma.com/articles/fertilizer-math", EXCERPT),
    Source("schlossberg-2022", "M. Schlossberg (Penn State)", "A Practical Method of Rotary Spreader Calibration",
           "2022", "https://issuu.com/leadingedgepubs/docs/nc-turfgrass-2023-jan-feb/s/17903123", EXCERPT),
    Source("purdue-ay43", "Z. Reicher, C. Throssell and J. Lefton (Purdue University)",
           "Golf Course Fertilization, AY-43-W", "",
           "https://www.extension.purdue.edu/extmedia/AY/AY-43-W.html", EXCERPT),
    Source("schlossberg-2007", "M. J. Schlossberg and J. P. Schmidt", "paper on nitrogen for putting greens", "2007",
           "Agronomy Journal 99:99-106", EXCERPT),
    Source("watson-guelph", "J. R. A. K. Watson", "thesis on nitrogen for bentgrass greens, University of Guelph", "",
           "https://atrium.lib.uoguelph.ca/items/15ca5796-37e4-4f39-9692-da9c5ea8bba1", EXCERPT),
    Source("pesticide-handbook", "Agrochemical and Pesticide Safety Handbook", "page 128", "",
           "http://what-when-how.com/Tutorial/topic-166581h5j/Agrochemical-and-Pesticide-Safety-128.html", EXCERPT),
    Source("army-md0173", "US Army medical training", "MD0173", "", "http://armymedical.tpub.com/MD0173/", FULL),
    Source("canada-spray", "a Canadian pesticide education factsheet", "Calculating Spray Application Information",
           "", "https://docslib.org/doc/1861139/calculating-spray-application-information", EXCERPT),
    Source("haines-2023", "J. Haines", "Does size matter", "2023",
           "http://fusariummy.blogspot.com/2023/02/does-size-matter.html", EXCERPT),
    Source("landschoot-feast", "P. Landschoot (Penn State)", "Feast or Famine Fertility, Grounds Maintenance", "",
           "http://grounds-mag.com/mag/grounds_maintenance_feast_famine_fertility/", EXCERPT),
    Source("pleasant-bay", "Pleasant Bay fertiliser report (Massachusetts)", "table 4", "",
           "https://records.mashpeema.gov/WebLink/0/doc/273055/Page56.aspx", FULL),
    Source("oklahoma-2013", "D. Gerken (Oklahoma State University-Oklahoma City)",
           "Calibrating Application Equipment", "2013",
           "https://paperzz.com/doc/9245112/calibrating-application-equipment", EXCERPT),
    Source("alberta-606", "Alberta Agriculture", "Agdex 606-1, page 11", "",
           "http://agriculture.alberta.ca/flippingbook/agdex/606-1/files/assets/basic-html/page17.html", EXCERPT),
    Source("new-jersey-exam", "a New Jersey applicator exam", "Practice question, fluid ounces on a small area", "",
           "https://njpesticidecoreapplicator.examzify.com/", EXCERPT),
    Source("north-carolina-exam", "a North Carolina applicator exam", "Practice question, ounces of fungicide", "",
           "https://northcarolinapesticideapp.examzify.com/question/how-many-ounces-of-fungicide-64509665636a5fd0",
           EXCERPT),
    Source("weed-seller", "a weed-control seller's page (name left out)", "Calibrating your spray", "", "", EXCERPT),
    Source("woods-metric", "M. Woods", "Turf math: a case for metric units, Golf Course Management", "",
           "https://gcmonline.com/course/turf/news/turf-math-metric-units", EXCERPT),
    Source("fidanza-couch", "M. Fidanza and J. Kaminski (Penn State)",
           "Revisiting Dr. Houston Couch's advice on maximizing fungicide efficacy", "",
           "https://blubrry.com/theturfzone/75780678/", EXCERPT),

    # machines
    Source("isu-pm-696", "Iowa State University Extension, PM 696", "Estimating Field Capacity of Farm Machines",
           "2001", "https://studylib.net/doc/18166171/extension-store---iowa-state-university", EXCERPT),
    Source("isu-a3-24", "Iowa State University Extension, Ag Decision Maker A3-24",
           "Estimating the Field Capacity of Farm Machines", "",
           "https://studylib.net/doc/18165347/estimating-the-field-capacity-of-farm-machines", EXCERPT),
    Source("uk-aen-73", "J. N. Hancock, L. D. Swetnam and F. J. Benson (University of Kentucky)",
           "Calculating Farm Machinery Field Capacities, AEN-73", "1991",
           "https://scribd.com/document/439199921/Calculating-Farm-Machinery-Field-Capacities", EXCERPT),
    Source("asae-d497", "ASAE", "D497 Agricultural Machinery Management Data", "", "table 3", MEMORY),
    Source("asae-d497-fuel", "ASAE", "D497 Agricultural Machinery Management Data, older text", "2001", "fuel clause",
           SECOND_HAND),
    Source("belsley-1980", "D. A. Belsley, E. Kuh and R. E. Welsch", "Regression Diagnostics", "1980", "chapter 3",
           MEMORY),
    Source("isu-a3-29", "Iowa State University Extension, A3-29", "Estimating Farm Machinery Costs", "",
           "https://www.yumpu.com/en/document/view/27603461/estimating-farm-machinery-costs-national-ag-risk-education-"
           "library/6", EXCERPT),
    Source("grisso-fuel", "R. Grisso (Virginia Tech)", "Predicting Diesel Fuel Consumption", "",
           "https://ja.scribd.com/document/99110899/Ext-Fuel-Prediction", EXCERPT),
    Source("msu-fuel", "Michigan State University", "Worksheet on tractor fuel use", "",
           "http://web5.anr.msu.edu/fa/Calculators/11%20Tractor%20Fuel%20Use/Tractor%20Fuel%20Use.html", EXCERPT),
    Source("haines-2020", "J. Haines", "Turfenomics, productivity, part 4, mower", "2020",
           "https://fusariummy.blogspot.com/2020/11/turfenomics-productivity-part-4-mower.html", EXCERPT),
    Source("digman-overlap", "M. Digman (University of Wisconsin)", "Mowing overlap loss", "",
           "http://hayandforage.com/print/other/custom-forage-harvesting/mowing-overlap-loss-0406", EXCERPT),
    Source("arithmetic-plot", "a general arithmetic page (name left out)", "Mowing time for a plot", "", "", EXCERPT),
    Source("bank-mowing-2012", "a club's course diary", "Working with mother nature", "2012",
           "http://avondalegcmaintenanceupdates.blogspot.com/2012/12/working-with-mother-nature.html", EXCERPT),
    Source("usga-triplex-2018", "United States Golf Association",
           "Implementing a New Triplex Mower Program for Putting Greens", "2018",
           "https://usga.org/content/usga/home-page/course-care/water-resource-center/bmp-case-studies/2018/"
           "implementing-a-new-triplex-mower-program-for-putting-greens.html", EXCERPT),
    Source("modern-efficiency-2013", "a club's course diary", "Modern efficiency", "2013",
           "http://fccturf.blogspot.com/2013/11/modern-efficiency.html", EXCERPT),
    Source("mowing-diary-2010", "a club's course diary", "Mowing", "2010",
           "http://lakevalleygolf.blogspot.com/2010/04/mowing.html", EXCERPT),
    Source("lsu-wider-2005", "R. Parish (LSU AgCenter)", "Faster Wider Mowers Not Always Better", "2005",
           "https://www.lsuagcenter.com/portals/communications/news/news_archive/2005/december/news%20you%20can%20use/"
           "faster-wider-mowers-not-always-better", EXCERPT),
    Source("implement-note", "an implement retailer's note (name left out)", "rule for acres an hour", "", "",
           EXCERPT),
    Source("grounds-productivity", "a trade magazine for grounds contractors",
           "How To Calculate Hourly Mower Productivity", "",
           "http://www.greenindustrypros.com/article/10259926/how-to-calculate-hourly-mower-productivity", FULL),
    Source("farm-textbook", "a page of worked answers (name left out)", "Farm-machinery textbook problems", "", "",
           EXCERPT),
    Source("farm-arithmetic", "a general farm arithmetic page (name left out)", "Acres and hectares an hour", "", "",
           EXCERPT),
    Source("spraying-manual", "operator manual of a spraying machine (name left out)", "Coverage table", "", "",
           EXCERPT),
    Source("unl-pesticide-maths", "University of Nebraska-Lincoln", "Math for Pesticide Applicators", "",
           "https://pested.unl.edu/math", EXCERPT),
    Source("knapsack-2009", "a horticulture teacher's worked record", "Calibration with knapsack sprayer", "2009",
           "http://rayshorticulture.blogspot.com/2009/08/calibration-with-knapsack-sprayer.html", FULL),
    Source("albany-weed-pest", "Albany County Weed and Pest (Wyoming)", "Calibrating Your Sprayer", "",
           "http://albanycountyweedandpest.com/calibrating-your-sprayer.html", EXCERPT),
    Source("ohio-aex-520", "Ohio State University Extension", "method of AEX-520, in Corn and Soybean Digest", "",
           "http://cornandsoybeandigest.com/equipment/9-steps-calibrate-your-sprayer?page=2", EXCERPT),
    Source("florida-exam-213", "Florida pest control examination guide", "page 213", "",
           "https://online.flipbuilder.com/qawr/oiuo/files/basic-html/page213.html", FULL),
    Source("good-fruit-grower", "Good Fruit Grower", "Calibration steps", "",
           "https://www.goodfruit.com/calibration-steps/", FULL),
    Source("pesticidewise-5", "a training module on knapsack sprayers", "step 5 of 6, spray mix and water volume", "",
           "https://www.pesticidewise.com/faq/step-5-6-calibrating-your-knapsack-sprayer-pesticide-dose-and-spray-"
           "mixwater-volume", EXCERPT),
    Source("orchard-manual", "operator manual of an orchard sprayer (name left out)", "rule of 600", "", "", EXCERPT),
    Source("nsw-knapsack-2009", "New South Wales Department of Primary Industries", "knapsack calibration record",
           "2009", "https://studylib.net/doc/7747028/calibration-method-for-knapsack-and-hand", EXCERPT),
    Source("consumer-reports-2006", "Consumer Reports", "How to calibrate a drop spreader", "2006",
           "http://www.consumerreports.org/cro/home-garden/news/october-2006/", FULL),
    Source("lawn-feed-article", "a lawn-fertiliser maker's article (name left out)", "Test runs of a spreader", "", "",
           FULL),
    Source("michigan-exam", "a Michigan applicator exam", "Practice question, work rate", "",
           "https://michigan-rightofwaypestmanagement.examzify.com/", EXCERPT),
    Source("dubins-1957", "L. E. Dubins",
           "On curves of minimal length with a constraint on average curvature, and with prescribed initial and "
           "terminal positions and tangents", "1957", "American Journal of Mathematics 79:497-516", MEMORY),

    # people
    Source("eu-2002-44", "European Parliament and Council", "Directive 2002/44/EC, physical agents (vibration)",
           "2002", "article 3 and annex A, http://www.havsrm.com/pub/docs/lp/EU%20Directive%202002-44-EC/page0006.htm",
           EXCERPT),
    Source("eu-2003-10", "European Parliament and Council", "Directive 2003/10/EC, physical agents (noise)", "2003",
           "articles 2 and 3; values as on http://www.casellameasurement.com/kb_control_of_noise.htm", SECOND_HAND),
    Source("forestry-example", "the phonometry project", "Daily vibration exposure assessment, an example of forestry",
           "2026", "https://raw.githubusercontent.com/jmrplens/phonometry/main/.github/reports/"
           "human_vibration_example.pdf", EXCERPT),
    Source("welding-example", "the phonometry project", "Occupational noise exposure determination, ISO 9612 by tasks",
           "2026", "https://raw.githubusercontent.com/jmrplens/phonometry/main/.github/reports/"
           "iso9612_exposure_example.pdf", EXCERPT),
    Source("noise-day-levels", "a training company's page (name left out)", "Managing noise exposure", "",
           "https://www.commodious.co.uk/knowledge-bank/hazards/noise/managing-noise-exposure", EXCERPT),

    # water
    Source("fao-56", "R. G. Allen and others", "FAO Irrigation and Drainage Paper 56, Crop Evapotranspiration", "1998",
           "equations and numbered examples as in https://github.com/woodcrafty/PyETo tests/test_fao.py and "
           "https://github.com/pyet-org/pyet tests/testfao56.py", SECOND_HAND),
    Source("csls-evap", "Wisconsin Department of Natural Resources", "CSLSevap, test of FAO-56 example 18", "2021",
           "https://rdrr.io/github/WDNR-Water-Use/CSLSevap/src/tests/testthat/test_FAO.R", EXCERPT),
    Source("ncl-hargreaves", "National Center for Atmospheric Research",
           "NCL function reference, refevt_hargreaves_fao56", "", "copy at https://github.com/tfoterye/NCL_help", FULL),
    Source("usga-2016-water-budget", "P. J. Gross and C. Hartwiger",
           "How to Develop a Water Budget for Your Golf Course", "2016",
           "USGA Green Section Record 54(7), https://pdfslide.net/documents/"
           "how-to-develop-a-water-budget-for-your-golf-course-la-landscape-area-and-managed.html", EXCERPT),
    Source("watering-interval", "an irrigation design handbook (name left out)", "Days between waterings", "", "",
           EXCERPT),
    Source("perth-irrinote", "Perth Region NRM", "Irrinote Factsheet 5, 1 mm = 1 l", "",
           "https://studylib.net/doc/8381804/1mm-%3D-1l-1m2---perth-region-nrm", FULL),
    Source("fao56-table-12", "R. G. Allen and others", "FAO Irrigation and Drainage Paper 56, turf grass", "1998",
           "table 12, http://www.fao.org/docrep/X0490E/x0490e0b.htm", MEMORY),
    Source("new-mexico-2005", "New Mexico State University", "Turf crop coefficients of eight growing seasons", "2005",
           "http://a-c-s.confex.com/crops/2005am/techprogram/P6853.HTM", FULL),
    Source("texas-turf-coefficients", "Texas A&M University, Irrigation Technology Center",
           "Turf coefficients, archived page (site name left out)", "2009", "", EXCERPT),

    # money
    Source("shapley-1953", "L. S. Shapley", "A value for n-person games", "1953",
           "Contributions to the Theory of Games II, pages 307-317", MEMORY),
    Source("sun-1998", "J. W. Sun",
           "Changes in energy consumption and energy intensity: a complete decomposition model", "1998",
           "Energy Economics 20:85-100", MEMORY),
    Source("owen-1972", "G. Owen", "Multilinear extensions of games", "1972", "Management Science 18:64-79", MEMORY),
    Source("barber-variance", "P. Barber", "Re-examination of Sales Price and Volume Variance", "",
           "http://solutionuk.com/consult/RE-EXAMINATION-2.htm", EXCERPT),
    Source("future-value-table", "an accounting textbook's tables", "Table B.2, Future Value of 1", "",
           "https://ezto.mheducation.com/extMedia/bne/accounting/Wild_FAP_25e/Table_B.2_Future_Value_of_1.htm", FULL),
    Source("hmrc-vat", "HM Revenue and Customs", "Calculating VAT for VAT-inclusive and VAT-exclusive prices", "",
           "http://www.hmrc.gov.uk/vat/forms-rates/rates/calculating.htm", EXCERPT),
    Source("vat-fractions", "an accountancy page", "Standard VAT rates and fractions", "",
           "https://accountingservicesforbusiness.co.uk/resources/information-articles/vat-rates-and-fractions",
           EXCERPT),

    # heads and run times
    Source("spreval-2022", "G. Grabow (NC State University)", "spreval reference manual", "2022",
           "https://glgrabow.github.io/spreval", FULL),
    Source("ucdavis-du", "L. Oki (UC Davis)", "Measuring Distribution Uniformity and Calculating Run Time", "",
           "https://ccuh.ucdavis.edu/measuring-DU-run-time", EXCERPT),
    Source("du-encyclopaedia", "an encyclopaedia entry", "Distribution uniformity", "",
           "https://en.academic.ru/dic.nsf/enwiki/1865814", EXCERPT),
    Source("technician-quiz", "an irrigation technician's quiz page (name left out)", "Low quarter from averages", "",
           "", EXCERPT),
    Source("precipitation-slides", "general irrigation teaching slides", "Sprinkler Precipitation Rates", "",
           "https://www.slideshare.net/sherylwil/sprinkler-precipitation-rates", EXCERPT),
    Source("matched-precipitation", "Irrigation Notes", "The Basics of Matched Precipitation", "",
           "https://tr.scribd.com/document/273597002/Tech-Irrigation-Notes-Basics-of-Matched-Precipitation", EXCERPT),
    Source("irrigation-how-to", "an irrigation how-to page (name left out)", "Depth and rate of water", "", "",
           EXCERPT),
    Source("supplier-run-time", "an irrigation supplier's article (name left out)", "Run time for a depth", "", "",
           EXCERPT),
    Source("irrigation-handbook", "an irrigation design handbook (name left out)", "Sprinkler run time", "", "",
           EXCERPT),
    Source("scheduling-page", "an irrigation design teaching page (name left out)", "Scheduling coefficient", "", "",
           EXCERPT),
    Source("florida-exam", "Florida pest control examination guide", "page 213", "",
           "https://online.flipbuilder.com/qawr/oiuo/files/basic-html/page213.html", FULL),
)
# fmt: on

SOURCES = {source.key: source for source in _LIST}
