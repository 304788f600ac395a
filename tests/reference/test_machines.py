"""
Field capacity and mowing time against figures printed by others.

Each row types the figure as printed, in the unit printed; it must be met to half of its last digit. A key in square
brackets names the source in turfgis.sources. Figures that do not follow from their own inputs: test_misprints.py.
"""

import pytest

from turfgis.formulas.mowing import field_capacity, mowing_time, working_width

# Exact by definition; the acre of 43,560 international square feet.
INCH, FOOT, YARD, MILE, KM = 0.0254, 0.3048, 0.9144, 1609.344, 1000.0
ACRE, HECTARE = 43_560 * FOOT**2, 10_000.0
MINUTE, HOUR = 60.0, 3600.0

# width [ft], speed [mph], field efficiency [%]; capacity, as printed [acre/h]
US = [
    # [isu-pm-696] Iowa State University Extension, PM 696, Estimating Field Capacity of Farm Machines, 2001,
    # https://studylib.net/doc/18166171/extension-store---iowa-state-university
    pytest.param(40, 6, 70, "20.4", id="spreader-40-ft"),
    pytest.param(50, 6, 70, "25.5", id="spreader-50-ft"),
    pytest.param(10, 5, 63, "3.8", id="manure-spreader-10-ft"),
    pytest.param(15, 5, 63, "5.7", id="manure-spreader-15-ft-5-mph"),
    pytest.param(15, 6, 63, "6.9", id="manure-spreader-15-ft-6-mph"),
    pytest.param(20, 6, 63, "9.2", id="manure-spreader-20-ft"),
    pytest.param(30, 6, 60, "13.1", id="manure-spreader-30-ft"),
    pytest.param(7 * 16 / 12, 5, 85, "4.8", id="plough-7-by-16-in"),
    pytest.param(8 * 18 / 12, 5, 85, "6.2", id="plough-8-by-18-in"),
    pytest.param(10 * 18 / 12, 5, 83, "7.5", id="plough-10-by-18-in"),
    pytest.param(12 * 18 / 12, 5, 83, "9.1", id="plough-12-by-18-in"),
    # [isu-a3-24] Iowa State University Extension, Ag Decision Maker A3-24, Estimating the Field Capacity of Farm
    # Machines, https://studylib.net/doc/18165347/estimating-the-field-capacity-of-farm-machines
    pytest.param(60, 6, 68, "29.7", id="spreader-60-ft-6-mph"),
    pytest.param(60, 12, 68, "59.3", id="spreader-60-ft-12-mph"),
    pytest.param(80, 6, 68, "39.6", id="spreader-80-ft-6-mph"),
    pytest.param(80, 12, 68, "79.1", id="spreader-80-ft-12-mph"),
    pytest.param(36, 5, 60, "13.1", id="manure-spreader-36-ft"),
    pytest.param(45, 5, 60, "16.4", id="manure-spreader-45-ft"),
    # [grounds-productivity] a trade magazine for grounds contractors, How To Calculate Hourly Mower Productivity,
    # http://www.greenindustrypros.com/article/10259926/how-to-calculate-hourly-mower-productivity
    pytest.param(60 / 12, 8.5, 80, "4.12", id="ride-on-mower-60-in"),
    # [farm-arithmetic] a general farm arithmetic page (name left out), Acres and hectares an hour
    pytest.param(10, 4, 75, "3.64", id="10-ft-4-mph"),
    pytest.param(12, 5, 80, "5.82", id="12-ft-5-mph"),
    pytest.param(20, 6, 82, "11.93", id="20-ft-6-mph"),
    pytest.param(40, 6, 82, "23.85", id="40-ft-6-mph"),
]


@pytest.mark.parametrize(("width", "speed", "efficiency", "printed"), US)
def test_field_capacity_in_acres_as_printed(width, speed, efficiency, printed, as_printed):
    capacity = field_capacity(width * FOOT, speed * MILE / HOUR, efficiency / 100)
    assert capacity * HOUR / ACRE == as_printed(printed)


# width [m], speed [km/h], field efficiency [%]; capacity, as printed [ha/h]
METRIC = [
    # [farm-textbook] a page of worked answers (name left out), Farm-machinery textbook problems
    pytest.param(2.0, 8.0, 80, "1.28", id="2-m-8-kmh"),
    pytest.param(4.0, 4.5, 70, "1.26", id="4-m-4.5-kmh"),
    pytest.param(3.0, 100 / 52 * 3.6, 100, "2.08", id="3-m-100-m-in-52-s"),
    # [farm-arithmetic] a general farm arithmetic page (name left out), Acres and hectares an hour
    pytest.param(2.5, 5.0, 85, "1.06", id="2.5-m-5-kmh"),
    pytest.param(3.0, 6.0, 80, "1.44", id="3-m-6-kmh"),
]


@pytest.mark.parametrize(("width", "speed", "efficiency", "printed"), METRIC)
def test_field_capacity_in_hectares_as_printed(width, speed, efficiency, printed, as_printed):
    capacity = field_capacity(width, speed * KM / HOUR, efficiency / 100)
    assert capacity * HOUR / HECTARE == as_printed(printed)


# [spraying-manual] operator manual of a spraying machine (name left out), Coverage table
# swaths [m]; speed [km/h]: coverage without losses, as printed [ha/min]
SWATHS = (4, 6, 8, 10, 15, 20, 25, 30)
COVERAGE = {
    4: "0.03 0.04 0.05 0.07 0.10 0.13 0.17 0.20",
    6: "0.04 0.06 0.08 0.10 0.15 0.20 0.25 0.30",
    8: "0.05 0.08 0.11 0.13 0.20 0.27 0.33 0.40",
    10: "0.07 0.10 0.13 0.17 0.25 0.33 0.42 0.50",
    12: "0.08 0.12 0.16 0.20 0.30 0.40 0.50 0.60",
    14: "0.09 0.14 0.19 0.23 0.35 0.47 0.58 0.70",
}


@pytest.mark.parametrize("speed", COVERAGE)
def test_coverage_table_as_printed(speed, as_printed):
    capacity = field_capacity(SWATHS, speed * KM / HOUR, 1.0) * MINUTE / HECTARE
    for found, printed in zip(capacity, COVERAGE[speed].split(), strict=True):
        assert found == as_printed(printed)


# width [m], speed [m/s]; time [s], unit of area [m2]; area worked without losses, as printed
WITHOUT_LOSSES = [
    # [spraying-manual] operator manual of a spraying machine (name left out), Coverage table
    pytest.param(12.0, 8 * KM / HOUR, MINUTE, HECTARE, "0.16", id="swath-12-m"),
    # [bank-mowing-2012] a club's course diary, Working with mother nature, 2012,
    # http://avondalegcmaintenanceupdates.blogspot.com/2012/12/working-with-mother-nature.html
    # one mower, then two
    pytest.param(5 * FOOT, 3 * MILE / HOUR, 4 * HOUR, ACRE, "7.3", id="bank-mower-4-h"),
    # [michigan-exam] a Michigan applicator exam, Practice question, work rate,
    # https://michigan-rightofwaypestmanagement.examzify.com/
    pytest.param(20 * FOOT, 3 * MILE / HOUR, MINUTE, FOOT**2, "5280", id="swath-20-ft"),
    # [unl-pesticide-maths] University of Nebraska-Lincoln, Math for Pesticide Applicators, https://pested.unl.edu/math
    # swaths that make an acre
    pytest.param(8.25 * FOOT, MILE / HOUR, HOUR, ACRE, "1.000", id="acre-8.25-ft-a-mile"),
    pytest.param(16.5 * FOOT, MILE / HOUR, HOUR / 2, ACRE, "1.000", id="acre-16.5-ft-half-a-mile"),
    pytest.param(33 * FOOT, MILE / HOUR, HOUR / 4, ACRE, "1.000", id="acre-33-ft-quarter-mile"),
    # [knapsack-2009] a horticulture teacher's worked record, Calibration with knapsack sprayer, 2009,
    # http://rayshorticulture.blogspot.com/2009/08/calibration-with-knapsack-sprayer.html
    pytest.param(0.51, 46 / MINUTE, MINUTE, 1.0, "23.46", id="knapsack"),
]


@pytest.mark.parametrize(("width", "speed", "time", "unit", "printed"), WITHOUT_LOSSES)
def test_area_worked_as_printed(width, speed, time, unit, printed, as_printed):
    assert field_capacity(width, speed, 1.0) * time / unit == as_printed(printed)


def test_constant_of_the_acre_form():
    # [uk-aen-73] J. N. Hancock, L. D. Swetnam and F. J. Benson (University of Kentucky), Calculating Farm Machinery
    # Field Capacities, AEN-73, 1991, https://scribd.com/document/439199921/Calculating-Farm-Machinery-Field-Capacities
    # width [ft] x speed [mph] / 8.25 = acre/h, exactly
    assert field_capacity(8.25 * FOOT, MILE / HOUR, 1.0) * HOUR == pytest.approx(ACRE, rel=1e-14)


def test_mowing_time_as_printed(as_printed):
    # [arithmetic-plot] a general arithmetic page (name left out), Mowing time for a plot
    # 550 square yards, 42 inches, 1.5 ft/s, 75 %: 1257.14 s, which is 20.95 min
    cutting, clean_up = mowing_time(550 * YARD**2, 0.0, 42 * INCH, 1.5 * FOOT, 0.75)
    assert cutting == as_printed("1257.14")
    assert cutting / MINUTE == as_printed("20.95")
    assert clean_up == 0


def test_overlap_and_turning_together(as_printed):
    # [implement-note] an implement retailer's note (name left out), rule for acres an hour
    # a 60 inch deck with 6 inches of overlap and 10 % turning: "around 80 %" overall
    share = field_capacity(working_width(60 * INCH, 6 * INCH), 1.0, 0.90) / field_capacity(60 * INCH, 1.0, 1.0)
    assert 100 * share == as_printed("8e1")
