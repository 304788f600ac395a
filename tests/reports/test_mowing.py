"""The table of mowing on a screen of a hundred columns: nothing of a name is lost, whatever parts the time has."""

import pytest

from turfgis.reports.mowing import mowing_text, rota_text

PARTS = ("passes", "turn", "clean_up", "emptying", "waiting", "driving", "set_up", "refuelling")
NAMES = ("tee_and_approach_mower", "ride_on_greens_mower")


def rows(method="shape", **place):
    laid = {"width_m": 1.8, "direction_deg": 45.0, "passes": 1310, "turns": 1311, "length_m": 106_574.0}
    times = {f"{part}_minutes": 458.0 for part in PARTS}
    common = {**place, "patches": 18, **laid, **times, "minutes": 3664.0, "method": "shape", "fits": "yes"}
    timed = [{**common, "method": one} for one in ("shape", method)]
    return [{"surface": "semi-rough", "machine": name, **one} for name, one in zip(NAMES, timed, strict=True)]


@pytest.mark.parametrize("method", ["shape", "handbook"])
@pytest.mark.parametrize("place", [{}, {"patch": "semi-rough-practice-12"}])
def test_names_of_machines_are_whole(place, method):
    text = mowing_text(rows(method, **place), "us")
    assert "…" not in text
    assert max(map(len, text.splitlines())) <= 100
    assert all(text.count(name) == 2 for name in NAMES)
    assert text.count("3,664") == 2


def test_names_in_a_rota_are_whole():
    turned = {"direction_deg": None, "toward": "its best, back", "clean_up": "anticlockwise", "first_pass_m": 1.49}
    text = rota_text([{"date": "2027-05-14", "machine": NAMES[0], "surfaces": "semi-rough, rough", **turned}], "metric")
    assert NAMES[0] in text
    assert "semi-rough, rough" in text
