"""Readings of the water meter and the log of watering."""

import numpy as np
import pytest

from turfgis.errors import LayerError
from turfgis.layers.meter import read_applied, read_meter


@pytest.fixture
def write(tmp_path):
    def writing(*rows):
        file = tmp_path / "meter.csv"
        file.write_text("\n".join(rows) + "\n", encoding="utf-8")
        return file

    return writing


def day(text):
    return np.datetime64(text, "D")


def test_use_between_readings(write):
    meter = read_meter(write("date,reading_m3", "2027-06-01,1000", "2027-06-08,1700", "2027-06-15,1770"))
    assert meter.findings == ()
    assert meter.between(day("2027-06-02"), day("2027-06-08")) == pytest.approx(700)
    assert meter.between(day("2027-06-02"), day("2027-06-04")) == pytest.approx(300)
    assert meter.daily(day("2027-06-08"), day("2027-06-10")) == pytest.approx([100, 10, 10])
    assert np.isnan(meter.daily(day("2027-06-15"), day("2027-06-16"))[1])


def test_a_new_meter_begins_at_nothing(write):
    meter = read_meter(write("date,reading_m3", "2027-06-01,9800", "2027-06-08,9990", "2027-06-15,40"))
    assert [one.code for one in meter.findings] == ["meter_new"]
    assert meter.used_m3.tolist() == [0, 190, 230]


def test_a_reading_that_runs_backwards_is_left_out(write):
    meter = read_meter(write("date,reading_m3", "2027-06-01,9800", "2027-06-08,9790", "2027-06-15,9900"))
    assert [one.code for one in meter.findings] == ["meter_backwards"]
    assert "2027-06-08: 9790 after 9800" in meter.findings[0].text
    assert meter.used_m3.tolist() == [0, 100]


def test_two_readings_of_a_day_and_any_order(write):
    meter = read_meter(write("date,reading_m3,note", "2027-06-08,120,b", "2027-06-01,100,", "2027-06-08,130,a"))
    assert [one.code for one in meter.findings] == ["meter_repeat"]
    assert meter.days.astype(str).tolist() == ["2027-06-01", "2027-06-08"]
    assert meter.used_m3.tolist() == [0, 30]


@pytest.mark.parametrize(
    ("rows", "words"),
    [
        (["date,reading_m3", "2027-06-31,5"], "cell A2: '2027-06-31' is not a day that exists"),
        (["date,reading_m3", "2027-06-01,-5"], "cell B2: -5 is below zero"),
        (["date,reading_m3", "2027-06-01,"], "cell B2: the reading is missing"),
        (["date,reading_m3", "2027-06-01,full"], "cell B2: 'full' is not a number"),
        (["date,reading", "2027-06-01,5"], "unknown column 'reading'; did you mean 'reading_m3'"),
        (["date,reading_m3"], "no record"),
    ],
)
def test_what_cannot_be_read(write, rows, words):
    with pytest.raises(LayerError, match=words):
        read_meter(write(*rows))


def test_the_log_takes_a_depth_or_a_volume(write):
    rows = read_applied(write("date,surface,depth_mm,volume_m3", "2027-06-01,green,4,", "2027-06-02,fairway,,120"))
    assert [(row.depth_m, row.volume_m3) for row in rows] == [(0.004, None), (None, 120.0)]
    for wrong in ("2027-06-01,green,4,120", "2027-06-01,green,,"):
        with pytest.raises(LayerError, match="write either depth_mm or volume_m3"):
            read_applied(write("date,surface,depth_mm,volume_m3", wrong))
    with pytest.raises(LayerError, match="the surface is missing"):
        read_applied(write("date,surface,depth_mm", "2027-06-01,,4"))
