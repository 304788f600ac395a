"""Weather files as stations and people write them: read by their headings, with what is wrong said once."""

import numpy as np
import pytest

from turfgis.errors import InputError, LayerError
from turfgis.layers.findings import CODES
from turfgis.layers.weather import read_weather
from turfgis.layers.weather_headings import read_heading


@pytest.fixture
def weather(tmp_path):
    """Read a file of these rows."""

    def reading(*rows, name="weather.csv"):
        file = tmp_path / name
        file.write_text("\n".join(rows) + "\n", encoding="utf-8")
        return read_weather(file)

    return reading


def codes(found):
    assert {one.code for one in found.findings} <= set(CODES)
    return [(one.level, one.code) for one in found.findings]


def test_a_clean_file(weather):
    found = weather("date,tmin_c,tmax_c,rain_mm,wind_m_s", "2027-07-01,11,20,0,2.5", "2027-07-02,12,21,3.5,3")
    assert codes(found) == []
    assert found.days.astype(str).tolist() == ["2027-07-01", "2027-07-02"]
    assert found.column("rain") == pytest.approx([0, 0.0035])
    assert np.isnan(found.column("humidity")).all()


# heading, a value, the same in SI
@pytest.mark.parametrize(
    ("heading", "given", "name", "si"),
    [
        ("tmax_c", 20, "highest", 20),
        ("T max [°C]", 20, "highest", 20),
        ("Max Temp (°F)", 68, "highest", 20),
        ("tmin_k", 283.15, "lowest", 10),
        ("RH mean %", 75, "humidity", 0.75),
        ("rh_min_share", 0.5, "humidity_least", 0.5),
        ("Wind speed km/h", 36, "wind", 10),
        ("wind_mph", 10, "wind", 4.4704),
        ("solar radiation (MJ/m²)", 20, "radiation", 20e6),
        ("radiation_w_m2", 200, "radiation", 200 * 86_400),
        ("sunshine_h", 7.5, "sunshine", 27_000),
        ("Rain (in)", 1, "rain", 0.0254),
        ("Precip. [mm]", 25.4, "rain", 0.0254),
        ("ET0 mm", 4, "reference", 0.004),
    ],
)
def test_headings_with_their_units(heading, given, name, si):
    found = read_heading(heading)
    assert found is not None
    assert (found.name, found.written) == (name, True)
    assert found.si(given) == pytest.approx(si, rel=1e-9)


def test_a_heading_without_a_unit_is_told(weather):
    found = weather("date,tmin_c,tmax_c,rain", "2027-07-01,11,20,4")
    assert codes(found) == [("note", "weather_heading")]
    assert "'rain' says no unit and was read in mm; write it as rain_mm" in found.findings[0].text


@pytest.mark.parametrize("heading", ["wind direction", "wind_max_km_h", "leaf wetness", "rain duration", "notes"])
def test_what_is_another_thing_is_left_out(heading):
    assert read_heading(heading) is None


def test_an_unknown_unit_is_refused_with_its_cell(weather):
    with pytest.raises(InputError, match=r"in no known unit .accepted: mm, in, cm"):
        read_heading("rain_furlongs")
    with pytest.raises(LayerError, match=r"weather.csv, cell C1: 'tmax_r' gives the highest temperature in no known"):
        weather("date,tmin_c,tmax_r", "2027-07-01,11,20")


def test_gaps_repeats_and_disorder(weather):
    found = weather(
        *("date,tmin_c,tmax_c,rain_mm", "2027-07-05,11,20,1", "2027-07-01,10,19,0", "2027-07-02,10,19,2"),
        *("2027-07-02,10,19,7", "2027-07-06,wet,20,0"),
    )
    assert codes(found) == [
        ("warning", "weather_unreadable"),
        ("note", "weather_order"),
        ("warning", "weather_repeat"),
        ("warning", "weather_gap"),
    ]
    text = " ".join(one.text for one in found.findings)
    for said in ("row 6, lowest: 'wet' is not a number", "2027-07-02", "2 days are missing: 2027-07-03 to 2027-07-04"):
        assert said in text
    assert found.column("rain")[1] == pytest.approx(0.007)  # the last row of a day counts
    assert found.given.tolist() == [True, True, False, False, True, True]


def year(make, count=120):
    start = np.datetime64("2027-04-01")
    return [f"{start + day},{make(day)}" for day in range(count)]


def test_inches_taken_for_millimetres(weather):
    """A season with 40 wet days of 0.05 to 0.25, written as mm: a sixth of an inch a wet day."""
    rows = year(lambda day: f"10,19,{0.05 * (day % 6) if day % 3 == 0 else 0:.2f}")
    found = weather("date,tmin_c,tmax_c,rain_mm", *rows)
    assert codes(found) == [("error", "weather_unit")]
    assert "looks like inches" in found.findings[0].text
    assert "write the heading as rain_in" in found.findings[0].text
    said = weather("date,tmin_c,tmax_c,rain_in", *rows)
    assert codes(said) == []
    assert said.column("rain").sum() == pytest.approx(found.column("rain").sum() * 25.4)


@pytest.mark.parametrize("rows", [year(lambda day: "10,19,0"), year(lambda day: f"10,19,{12 if day == 5 else 0}")])
def test_a_dry_season_is_no_slip_of_the_unit(weather, rows):
    assert codes(weather("date,tmin_c,tmax_c,rain_mm", *rows)) == []


def test_fahrenheit_taken_for_celsius(weather):
    found = weather("date,tmin_c,tmax_c,rain_mm", *year(lambda day: f"{52 + day % 5},{68 + day % 7},1"))
    assert codes(found) == [("error", "weather_unit")] * 2
    assert "looks like Fahrenheit" in found.findings[0].text
    assert "tmin_f" in found.findings[0].text
    assert np.isnan(found.column("highest")).all()  # never reckoned with


def test_what_cannot_be_is_missing(weather):
    found = weather(
        "date,tmin_c,tmax_c,rh_mean_pct,rain_mm",
        "2027-07-01,25,12,70,0",
        "2027-07-02,11,20,130,-4",
        "2027-07-03,9,15,-,",
    )
    assert {code for _, code in codes(found)} == {"weather_implausible"}
    assert np.isnan(found.column("highest")[0])
    assert np.isnan(found.column("humidity")[1])
    assert np.isnan(found.column("rain")[1])


@pytest.mark.parametrize(
    ("rows", "words"),
    [
        (["tmin_c,tmax_c", "1,2"], "no column 'date'"),
        (["date,tmin_c"], "holds headings but no day"),
        ([""], "is empty"),
        (["date,tmin_c", "1027-07-01,3", "2027-07-01,3"], "check the years"),
    ],
)
def test_a_file_without_days_is_refused(weather, rows, words):
    with pytest.raises(LayerError, match=words):
        weather(*rows)
