"""Calibration of sprayers and spreaders against printed examples in their own units; misprints stay with the reason."""

import pytest

from turfgis.formulas.calibration import (
    application_volume,
    caught_rate,
    flow_for_volume,
    speed_for_volume,
    strip_length,
    travel_speed,
)
from turfgis.formulas.liquids import liquid_volume, tank_dose
from turfgis.formulas.tanks import tank_volumes

# Exact by definition; the acre of 43,560 international square feet.
INCH, FOOT, MILE, ACRE = 0.0254, 0.3048, 1609.344, 43_560 * 0.3048**2
US_GALLON, POUND, MINUTE, HOUR = 3.785411784e-3, 0.45359237, 60.0, 3600.0
OUNCE, PINT = US_GALLON / 128, US_GALLON / 8
LITRE, HECTARE, KMH = 1e-3, 1e4, 1 / 3.6
GAL_ACRE, L_HA = US_GALLON / ACRE, LITRE / HECTARE
MPH = MILE / HOUR

# flow, speed, width, unit; as printed
VOLUMES = [
    # [albany-weed-pest] Albany County Weed and Pest (Wyoming), Calibrating Your Sprayer,
    # http://albanycountyweedandpest.com/calibrating-your-sprayer.html
    # 3.75 gal/min, or 480 ounces a minute, over 222 in at 5 mph
    pytest.param(3.75 * US_GALLON / MINUTE, 5 * MPH, 222 * INCH, GAL_ACRE, "20", id="rule-of-5940"),
    pytest.param(480 * OUNCE / MINUTE, 5 * MPH, 222 * INCH, GAL_ACRE, "20", id="rule-of-46.4"),
    # [orchard-manual] operator manual of an orchard sprayer (name left out), rule of 600
    # 12 nozzles of 1.02 L/min over 3 m at 6 km/h
    pytest.param(12.24 * LITRE / MINUTE, 6 * KMH, 3.0, L_HA, "408", id="rule-of-600"),
    # [knapsack-2009] a horticulture teacher's worked record, Calibration with knapsack sprayer, 2009,
    # http://rayshorticulture.blogspot.com/2009/08/calibration-with-knapsack-sprayer.html
    # 1.01 L/min over 0.51 m at 46 m a minute
    pytest.param(1.01 * LITRE / MINUTE, 46 / MINUTE, 0.51, L_HA, "430.52", id="knapsack"),
    # [michigan-exam] a Michigan applicator exam, Practice question, work rate,
    # https://michigan-rightofwaypestmanagement.examzify.com/ : 5,280 ft2 a minute; at 3 gal/min an acre takes 24.75
    pytest.param(3 * US_GALLON / MINUTE, 3 * MPH, 20 * FOOT, GAL_ACRE, "24.75", id="right-of-way"),
]


@pytest.mark.parametrize(("flow", "speed", "width", "unit", "printed"), VOLUMES)
def test_application_volume_as_printed(flow, speed, width, unit, printed, as_printed):
    assert application_volume(flow, speed, width) / unit == as_printed(printed)


def test_the_constants_of_the_field_are_exact():
    # [albany-weed-pest] gal/acre = 5,940 x gal/min / (mph x in); and the metric one, 600 x L/min / (km/h x m)
    assert application_volume(US_GALLON / MINUTE, MPH, INCH) / GAL_ACRE == pytest.approx(5940, rel=1e-12)
    assert application_volume(LITRE / MINUTE, KMH, 1.0) / L_HA == pytest.approx(600, rel=1e-12)


# spacing [in]; course for a 128th of an acre to each nozzle, as printed [ft]
COURSES = [(10, "408"), (15, "272"), (20, "204"), (30, "136"), (40, "102")]


@pytest.mark.parametrize(("spacing", "printed"), COURSES)
def test_course_on_which_ounces_are_gallons_to_the_acre(spacing, printed, as_printed):
    # [ohio-aex-520] Ohio State University Extension, method of AEX-520, in Corn and Soybean Digest,
    # http://cornandsoybeandigest.com/equipment/9-steps-calibrate-your-sprayer?page=2
    length = strip_length(ACRE / 128, spacing * INCH)
    assert length / FOOT == as_printed(printed)
    assert caught_rate(17 * OUNCE, length, spacing * INCH) / GAL_ACRE == pytest.approx(17, rel=1e-12)


def test_a_thousandth_of_a_hectare_in_the_metric_form():
    # [nsw-knapsack-2009] New South Wales Department of Primary Industries, knapsack calibration record, 2009,
    # https://studylib.net/doc/7747028/calibration-method-for-knapsack-and-hand
    assert strip_length(HECTARE / 1000, 1.0) == 10.0
    assert caught_rate(0.4 * LITRE, 10.0, 1.0) / L_HA == pytest.approx(400, rel=1e-12)


# amount, length, width, unit; as printed
STRIPS = [
    # [good-fruit-grower] Good Fruit Grower, Calibration steps, https://www.goodfruit.com/calibration-steps/
    pytest.param(4 * US_GALLON, 436 * FOOT, 10 * FOOT, GAL_ACRE, "40", id="tenth-of-an-acre"),
    # [florida-exam-213] Florida pest control examination guide, page 213,
    # https://online.flipbuilder.com/qawr/oiuo/files/basic-html/page213.html : 12 gallons on 660 ft of 10 ft
    pytest.param(12 * US_GALLON, 660 * FOOT, 10 * FOOT, GAL_ACRE, "79.20", id="660-ft"),
    # [consumer-reports-2006] Consumer Reports, How to calibrate a drop spreader, 2006,
    # http://www.consumerreports.org/cro/home-garden/news/october-2006/ : half a pound on 50 ft2
    pytest.param(0.5 * POUND, 25 * FOOT, 2 * FOOT, POUND / (100 * FOOT**2), "1", id="drop-spreader"),
    pytest.param(0.5 * POUND, 25 * FOOT, 2 * FOOT, POUND / (1000 * FOOT**2), "10", id="drop-spreader-1000"),
]


@pytest.mark.parametrize(("amount", "length", "width", "unit", "printed"), STRIPS)
def test_rate_of_a_strip_as_printed(amount, length, width, unit, printed, as_printed):
    assert caught_rate(amount, length, width) / unit == as_printed(printed)


# width [ft]; run for a test plot of 100 ft2 [ft], as printed
@pytest.mark.parametrize(("width", "printed"), [(1.5, "66.67"), (2, "50.00"), (3, "33.33")])
def test_run_of_a_spreader_as_printed(width, printed, as_printed):
    # [lawn-feed-article] a lawn-fertiliser maker's article (name left out), Test runs of a spreader
    # 25 lb cover 5,000 ft2, so 0.5 lb the plot
    assert strip_length(100 * FOOT**2, width * FOOT) / FOOT == as_printed(printed)
    assert caught_rate(0.5 * POUND, 50 * FOOT, 2 * FOOT) == pytest.approx(25 * POUND / (5000 * FOOT**2), rel=1e-12)


def test_walking_speed_for_a_volume_as_printed(as_printed):
    # [pesticidewise-5] a training module on knapsack sprayers, step 5 of 6, spray mix and water volume,
    # https://www.pesticidewise.com/faq/step-5-6-calibrating-your-knapsack-sprayer-pesticide-dose-and-spray-mixwater-volume
    # 33.3 m in 50 s with a swath of 0.75 m, 200 L/ha
    speed = travel_speed(33.3, 50)
    assert speed / KMH == as_printed("2.4")
    assert speed == as_printed("0.67")
    flow = flow_for_volume(200 * L_HA, speed, 0.75)
    assert speed_for_volume(200 * L_HA, flow, 0.75) == pytest.approx(speed, rel=1e-12)


def test_nozzle_flow_within_the_range_printed():
    # http://agriculture.alberta.ca/flippingbook/agdex/606-1/files/assets/basic-html/page17.html
    # [alberta-606] Alberta Agriculture, Agdex 606-1, page 11: 40 L/acre at 9 km/h; half a metre between nozzles is our
    # reading
    flow = flow_for_volume(40 * LITRE / ACRE, 9 * KMH, 0.5) / (LITRE / MINUTE)
    assert 0.71 < flow < 0.79


def test_output_from_coverage_as_printed(as_printed):
    # [spraying-manual] operator manual of a spraying machine (name left out), Coverage table: 12 m at 8 km/h, 100 L/ha
    assert flow_for_volume(100 * L_HA, 8 * KMH, 12.0) / (LITRE / MINUTE) == as_printed("16")


# speed [km/h]: time for a check run of 800 m, as printed [s]
@pytest.mark.parametrize(("speed", "printed"), [(8, 360), (9, 320), (10, 288), (11, 262), (12, 240)])
def test_check_runs_as_printed(speed, printed):
    # [alberta-606] Alberta Agriculture, Agdex 606-1, page 11: chart of check runs
    assert travel_speed(800, printed) / KMH == pytest.approx(speed, rel=0.5 / printed * 2)


def test_tanks_in_the_metric_form_as_printed():
    # https://docslib.org/doc/1861139/calculating-spray-application-information
    # [canada-spray] a Canadian pesticide education factsheet, Calculating Spray Application Information: 200 L/ha on
    # 20 ha from 1,000 L: 4,000 L, four tanks and no part of one
    tanks = tank_volumes(liquid_volume(20 * HECTARE, 200 * L_HA), 1000 * LITRE)
    assert tanks / LITRE == pytest.approx([1000] * 4)


def test_product_in_a_tank_as_printed(as_printed):
    # https://paperzz.com/doc/9245112/calibrating-application-equipment
    # [oklahoma-2013] D. Gerken (Oklahoma State University-Oklahoma City), Calibrating Application Equipment, 2013:
    # 40 gal at 40 gal/acre with 3.6 pt/acre
    assert tank_dose(40 * US_GALLON, 40 * GAL_ACRE, 3.6 * PINT / ACRE) / PINT == as_printed("3.6")


class TestPrintedWrong:
    """What was printed does not follow from its own figures: ours does, and is far from it."""

    def test_a_speed_in_the_wrong_unit_is_88_fold(self):
        # [florida-exam-213] .15 gal/min x 12 x 43,560 / (48 in x 5 mph) = 327 gal/acre as printed: the speed stands in
        # miles an hour where the formula takes feet a minute, 88 times as many
        ours = application_volume(0.15 * US_GALLON / MINUTE, 5 * MPH, 48 * INCH) / GAL_ACRE
        assert ours == pytest.approx(0.15 * 12 * 43_560 / (48 * 5 * 88), rel=1e-12)
        assert ours == pytest.approx(3.71, abs=0.005)
        assert 327 / ours == pytest.approx(88, rel=1e-3)

    def test_a_flow_rounded_down(self):
        # [florida-exam-213] 20 ounces in a minute over 128 = .15 gal/min as printed: 0.15625, so 0.16
        ours = 20 * OUNCE / US_GALLON
        assert ours == pytest.approx(0.15625, rel=1e-12)
        assert abs(ours - 0.15) > 0.005

    def test_a_check_run_three_seconds_out(self):
        # [alberta-606] 800 m at 7 km/h in 6:48 as printed: 6:51.4; its other rows agree
        assert pytest.approx(411.43, abs=0.005) == 800 / (7 * KMH)
        assert abs(travel_speed(800, 408) / KMH - 7) > 0.05

    def test_a_small_plot_rounded_from_a_rounded_side(self):
        # [albany-weed-pest] 18.5 ft by 18.5 ft = 340 ft2, a 128th of an acre, as printed: the sides give 342.25
        assert 18.5**2 == 342.25
        assert pytest.approx(340.31, abs=0.005) == ACRE / 128 / FOOT**2
