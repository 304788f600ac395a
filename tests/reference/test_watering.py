"""
Uniformity, precipitation rates and run times against figures printed by others.

Each row types the figure as printed, in the unit printed; it must be met to half of its last digit. Figures that do not
follow from their own inputs stand at the end, with the reason. A key in square brackets names the source in
turfgis.sources.
"""

from math import pi

import numpy as np
import pytest

from turfgis.formulas.heads import wetted_area
from turfgis.formulas.mowing import field_capacity
from turfgis.formulas.run_times import precipitation_rate, run_time
from turfgis.formulas.uniformity import (
    christiansen_uniformity,
    low_half_uniformity,
    low_quarter_uniformity,
    scheduling_coefficient,
)

# Exact by definition; the acre of 43,560 international square feet.
INCH, FOOT, MILE = 0.0254, 0.3048, 1609.344
ACRE = 43_560 * FOOT**2
US_GALLON, LITRE, MINUTE, HOUR = 3.785411784e-3, 1e-3, 60.0, 3600.0
GPM = US_GALLON / MINUTE
MM_H, INCH_H = 1e-3 / HOUR, INCH / HOUR

# [spreval-2022] G. Grabow (NC State University), spreval reference manual, 2022, https://glgrabow.github.io/spreval
# ml in 15 cans, and in 46 cans of a turf audit, row by row of its grid
CANS_15 = [47, 42, 45, 24, 13, 26, 33, 34, 27, 30, 40, 44, 32, 12, 12]
CANS_46 = [
    *(9, 11, 11, 13, 17, 14, 15, 15, 3, 15, 13, 6, 14, 11, 7, 11, 14, 17, 9, 6, 4, 8, 9, 12, 26, 17, 8, 4),
    *(6, 10, 14, 16, 14, 9, 6, 7, 10, 6, 16, 11, 3, 16, 10, 2, 5, 11),
]
UNIFORMITY = [
    pytest.param(christiansen_uniformity, CANS_15, "69.13955", id="christiansen-15-cans"),
    pytest.param(low_quarter_uniformity, CANS_15, "49.62039", id="low-quarter-15-cans"),
    pytest.param(low_half_uniformity, CANS_15, "71.58351", id="low-half-15-cans"),
    pytest.param(christiansen_uniformity, CANS_46, "64", id="christiansen-46-cans"),
    pytest.param(low_quarter_uniformity, CANS_46, "45", id="low-quarter-46-cans"),
    pytest.param(low_half_uniformity, CANS_46, "64", id="low-half-46-cans"),
    # [technician-quiz] an irrigation technician's quiz page (name left out), Low quarter from averages
    # mean of the low quarter and mean of all: 0.68 of 0.70 in; 0.8 of 1.0 l; 0.44 of 0.48 gallons an hour
    pytest.param(low_quarter_uniformity, [0.68, *[(4 * 0.70 - 0.68) / 3] * 3], "97", id="0.68-of-0.70"),
    pytest.param(low_quarter_uniformity, [0.8, *[(4 * 1.0 - 0.8) / 3] * 3], "80", id="0.8-of-1.0"),
    pytest.param(low_quarter_uniformity, [0.44, *[(4 * 0.48 - 0.44) / 3] * 3], "92", id="0.44-of-0.48"),
]


@pytest.mark.parametrize(("measure", "cans", "printed"), UNIFORMITY)
def test_uniformity_in_per_cent_as_printed(measure, cans, printed, as_printed):
    assert 100 * measure(cans) == as_printed(printed)


def test_a_number_of_cans_divisible_by_four_needs_no_rule():
    # [ucdavis-du] L. Oki (UC Davis), Measuring Distribution Uniformity and Calculating Run Time,
    # https://ccuh.ucdavis.edu/measuring-DU-run-time
    # 36 cans: the mean of the lowest 9 over the mean of all
    cans = np.random.default_rng(36).uniform(5, 15, 36)
    assert low_quarter_uniformity(cans) == pytest.approx(np.sort(cans)[:9].mean() / cans.mean(), rel=1e-14)


def test_mean_catch_of_the_turf_audit(as_printed):
    # [spreval-2022] G. Grabow (NC State University), spreval reference manual, 2022, https://glgrabow.github.io/spreval
    # cans of 7.2 cm, run for 15 minutes, inches an hour
    rate = precipitation_rate(np.mean(CANS_46) * 1e-6 / (15 * MINUTE), pi * 0.036**2)
    assert rate / INCH_H == as_printed("0.41")
    # its text says 27 mm where its formula has 7.2 cm: that mouth would give seven times as much
    assert precipitation_rate(np.mean(CANS_46) * 1e-6 / (15 * MINUTE), pi * 0.0135**2) / INCH_H == as_printed("2.94")


RATES = [
    # [precipitation-slides] general irrigation teaching slides, Sprinkler Precipitation Rates,
    # https://www.slideshare.net/sherylwil/sprinkler-precipitation-rates
    pytest.param(1 * GPM, FOOT**2, INCH_H, "96.3", id="one-gallon-a-minute-on-a-square-foot"),
    pytest.param((6 * 1.0 + 4 * 0.5) * GPM, 60 * 15 * FOOT**2, INCH_H, "0.86", id="total-area"),
    # [matched-precipitation] Irrigation Notes, The Basics of Matched Precipitation,
    # https://tr.scribd.com/document/273597002/Tech-Irrigation-Notes-Basics-of-Matched-Precipitation
    # full, half and quarter circle of 30 ft
    pytest.param(4 * GPM, wetted_area(30 * FOOT, 2 * pi), INCH_H, "0.136", id="full-circle"),
    pytest.param(2 * GPM, wetted_area(30 * FOOT, pi), INCH_H, "0.136", id="half-circle"),
    pytest.param(1 * GPM, wetted_area(30 * FOOT, pi / 2), INCH_H, "0.136", id="quarter-circle"),
    # common practice, no source: m3/h over the spacing, a thousandth of a metre an hour
    pytest.param(1 / HOUR, 1.0, MM_H, "1000", id="metric"),
]


@pytest.mark.parametrize(("flow", "area", "unit", "printed"), RATES)
def test_precipitation_rate_as_printed(flow, area, unit, printed, as_printed):
    if printed == "96.3":  # printed so, and 96.25 by the definitions of the gallon and the foot: 0.05 % apart
        assert precipitation_rate(flow, area) / unit == pytest.approx(96.25, rel=1e-12)
    else:
        assert precipitation_rate(flow, area) / unit == as_printed(printed)


def test_circle_areas_as_printed(as_printed):
    # [matched-precipitation] Irrigation Notes, The Basics of Matched Precipitation,
    # https://tr.scribd.com/document/273597002/Tech-Irrigation-Notes-Basics-of-Matched-Precipitation
    assert wetted_area(30.0, 2 * pi) == as_printed("2827")
    assert wetted_area(30.0, pi) == as_printed("1414")


RUN_TIMES = [
    # [supplier-run-time] an irrigation supplier's article (name left out), Run time for a depth
    pytest.param(run_time(0.010, 20 * MM_H, 1) / MINUTE, "30", id="10-mm-at-20-mm-an-hour"),
    # [du-encyclopaedia] an encyclopaedia entry, Distribution uniformity, https://en.academic.ru/dic.nsf/enwiki/1865814
    # inches to put on for one inch in the dry quarter
    pytest.param(run_time(1 * INCH, 1 * INCH_H, 0.75) / HOUR, "1.33", id="one-inch-at-0.75"),
    # [scheduling-page] an irrigation design teaching page (name left out), Scheduling coefficient
    pytest.param(scheduling_coefficient(12.0, 7.0), "1.7", id="scheduling-coefficient"),
    pytest.param(run_time(0.009, 12 * MM_H, 1 / 1.7) / HOUR, "1.3", id="run-time-with-it"),
]


@pytest.mark.parametrize(("ours", "printed"), RUN_TIMES)
def test_run_time_as_printed(ours, printed, as_printed):
    assert ours == as_printed(printed)


def test_run_time_by_the_handbook():
    # [irrigation-handbook] an irrigation design handbook (name left out), Sprinkler run time
    # its formula, 60 x days x ETo x Kc / (rate x efficiency), on its own case: two days of 0.20 in at 0.70, 0.49 in/h
    for efficiency in (1.0, 0.75):
        minutes = 60 * 2 * 0.20 * 0.70 / (0.49 * efficiency)
        assert run_time(2 * 0.20 * 0.70 * INCH, 0.49 * INCH_H, efficiency) / MINUTE == pytest.approx(minutes, rel=1e-12)


MISPRINTS = [
    # [precipitation-slides] general irrigation teaching slides, Sprinkler Precipitation Rates,
    # https://www.slideshare.net/sherylwil/sprinkler-precipitation-rates
    # a triangular layout, in/h: 25 ft is the distance between rows already, and is made smaller by 0.866 once more
    pytest.param(precipitation_rate(6 * GPM, 25 * 30 * FOOT**2) / INCH_H, "0.7700", "0.8896", id="triangular-layout"),
    # [matched-precipitation] Irrigation Notes, The Basics of Matched Precipitation,
    # https://tr.scribd.com/document/273597002/Tech-Irrigation-Notes-Basics-of-Matched-Precipitation
    # a quarter circle with the head of a full one, in/h: the point stands one place too far to the left
    pytest.param(
        precipitation_rate(4 * GPM, wetted_area(30 * FOOT, pi / 2)) / INCH_H, "0.5447", ".0545", id="quarter-circle"
    ),
    # the half circle beside it: twice the rounded 0.1363
    pytest.param(precipitation_rate(4 * GPM, wetted_area(30 * FOOT, pi)) / INCH_H, "0.2723", "0.273", id="half-circle"),
    # [irrigation-how-to] an irrigation how-to page (name left out), Depth and rate of water
    # 0.16 l/min on 2.5 m by 2.5 m, mm/h: the constant of gallons and square feet on litres and square metres
    pytest.param(precipitation_rate(0.16 * LITRE / MINUTE, 2.5**2) / MM_H, "1.536", "2.46", id="us-constant-on-metric"),
    # [florida-exam] Florida pest control examination guide, page 213,
    # https://online.flipbuilder.com/qawr/oiuo/files/basic-html/page213.html
    # 0.15 gallons a minute over 48 in at 5 miles an hour, gallons an acre: the speed was left in miles an hour where
    # feet a minute belong, 88 times as many, and a tank mixed by it would hold 88 times too little product
    pytest.param(
        precipitation_rate(0.15 * GPM, field_capacity(48 * INCH, 5 * MILE / HOUR, 1.0)) * ACRE / US_GALLON,
        "3.71",
        "327",
        id="88-fold",
    ),
]


@pytest.mark.parametrize(("ours", "worked", "printed"), MISPRINTS)
def test_misprint(ours, worked, printed, as_printed):
    assert ours == as_printed(worked)
    assert ours != as_printed(printed)


def test_the_88_fold_is_miles_an_hour_taken_for_feet_a_minute():
    # [florida-exam] Florida pest control examination guide, page 213,
    # https://online.flipbuilder.com/qawr/oiuo/files/basic-html/page213.html
    right = 0.15 * GPM / field_capacity(48 * INCH, 5 * MILE / HOUR, 1.0)
    wrong = 0.15 * GPM / field_capacity(48 * INCH, 5 * FOOT / MINUTE, 1.0)
    assert wrong / right == pytest.approx(88.0, rel=1e-12)
