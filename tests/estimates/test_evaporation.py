"""Evapotranspiration from what a station knows: the best first, the printed substitutes behind it."""

import numpy as np
import pytest

from turfgis.errors import LayerError
from turfgis.estimates.evaporation import BETWEEN, HARGREAVES, PENMAN, STATION, estimate_reference
from turfgis.layers.weather import read_weather
from turfgis.settings.water import WaterSetting

UCCLE = WaterSetting.model_validate({"height": "100 m", "wind_at": "10 m"})
HEAD = "date,tmin_c,tmax_c,rh_min_pct,rh_max_pct,wind_m_s,radiation_mj_m2,rain_mm"
JULY_6 = "12.3,21.5,63,84,2.78,22.07,0"


@pytest.fixture
def reckon(tmp_path):
    def reckoning(*rows, head=HEAD, latitude=50.8, said=UCCLE):
        file = tmp_path / "weather.csv"
        file.write_text("\n".join([head, *rows]) + "\n", encoding="utf-8")
        return estimate_reference(read_weather(file), latitude, said)

    return reckoning


def test_uccle_from_a_file(reckon):
    """FAO-56 [fao-56], example 18: 3.88 mm, printed as 3.9."""
    found = reckon(f"2027-07-06,{JULY_6}")
    assert 1000 * found.depth == pytest.approx([3.88], abs=0.005)
    assert (found.method.tolist(), found.notes) == ([PENMAN], ())


def test_lyon_with_nothing_but_temperatures(reckon):
    """FAO-56 [fao-56], example 20: Hargreaves gives 5.0 mm in July; 15 July is day 196."""
    said = WaterSetting.model_validate({"height": "200 m"})
    found = reckon("2027-07-15,14.8,26.6", head="date,tmin_c,tmax_c", latitude=45.72, said=said)
    assert 1000 * found.depth == pytest.approx([5.03], abs=0.005)
    assert found.method.tolist() == [HARGREAVES]
    assert any("Hargreaves" in note for note in found.notes)
    assert any("No rain is known" in note for note in found.notes)


def test_lyon_with_wind_alone(reckon):
    """The same month by Penman-Monteith with a wind of 2 m/s, dew point and radiation from temperature: 4.56 mm."""
    said = WaterSetting.model_validate({"height": "200 m"})
    found = reckon("2027-07-15,14.8,26.6,2", head="date,tmin_c,tmax_c,wind_m_s", latitude=45.72, said=said)
    assert 1000 * found.depth == pytest.approx([4.56], abs=0.005)
    assert found.method.tolist() == [PENMAN]
    assert {"humidity", "radiation"} == {word for word in ("humidity", "radiation", "wind") if _told(found, word)}


def _told(found, word):
    return any(f" {word} is not known" in note for note in found.notes)


def test_the_stations_own_comes_first(reckon):
    found = reckon(f"2027-07-06,{JULY_6},4.4", f"2027-07-07,{JULY_6},", head=f"{HEAD},et0_mm")
    assert found.method.tolist() == [STATION, PENMAN]
    assert 1000 * found.depth == pytest.approx([4.4, 3.88], abs=0.01)


def test_sunshine_stands_in_for_radiation(reckon):
    """An hour's sunshine more is more radiation; more than there is daylight is all of it."""
    head = "date,tmin_c,tmax_c,rh_min_pct,rh_max_pct,wind_m_s,sunshine_h,rain_mm"
    rows = [f"2027-07-0{day},12.3,21.5,63,84,2.78,{hours},0" for day, hours in enumerate((0, 6, 12, 16.4, 20), 1)]
    depths = reckon(*rows, head=head).depth
    assert (np.diff(depths[:4]) > 0).all()
    assert depths[4] == pytest.approx(depths[3], rel=0.01)


def test_a_gap_is_filled_from_the_days_around(reckon):
    found = reckon(f"2027-07-06,{JULY_6}", "2027-07-09,12.3,21.5,63,84,2.78,22.07,3")
    assert found.method.tolist() == [PENMAN, BETWEEN, BETWEEN, PENMAN]
    assert found.depth[1] == pytest.approx(found.depth[0] + (found.depth[3] - found.depth[0]) / 3)
    assert found.rain.tolist() == [0, 0, 0, 0.003]


def test_a_long_gap_begins_anew(reckon):
    found = reckon(f"2027-05-06,{JULY_6}", f"2027-07-06,{JULY_6}", f"2027-07-07,{JULY_6}")
    assert found.days.astype(str).tolist() == ["2027-07-06", "2027-07-07"]
    assert any("days before 2027-07-06 are left out" in note for note in found.notes)


def test_nothing_to_go_by_is_refused(reckon):
    with pytest.raises(LayerError, match="no day has a lowest and a highest temperature"):
        reckon("2027-07-06,3", head="date,rain_mm")


def test_wind_at_ten_metres_is_less_at_two(reckon):
    low = WaterSetting.model_validate({"height": "100 m", "wind_at": "2 m"})
    assert reckon(f"2027-07-06,{JULY_6}", said=low).depth[0] > reckon(f"2027-07-06,{JULY_6}").depth[0]
