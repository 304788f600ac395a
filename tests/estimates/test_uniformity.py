"""
What tells how evenly a surface is watered: typed, else cans, else heads, else nothing; the gross need follows.

Two greens of 4,000 and 6,000 m2 that are short of 10 mm every second evening: 100 m3 over the uniformity.
"""

import json

import numpy as np
import pytest
from pyproj import Transformer

from tests.estimates.conftest import CORNER
from turfgis.estimates.course import Course, open_course
from turfgis.estimates.takeoff import estimate_year
from turfgis.estimates.uniformity import surface_uniformity
from turfgis.estimates.water import estimate_water, watered_patches
from turfgis.estimates.watering import water_by_month
from turfgis.reports.water import surface_rows, uniformity_sentences, water_json, water_text

WATER = """
[water]
weather = "weather.csv"
[water.surface.green]
coefficient = 1.0
root_depth = "200 mm"
available_water = "10 %"
depletion = "50 %"
"""
CATCH = '[[catch]]\nfile = "cans.csv"\n'
HEADS = '[[layer]]\nfile = "heads.geojson"\nrole = "heads"\n'
TYPED = 'uniformity = "80 %"\n'

# In metres from the corner: the greens begin 0 and 140 m east of it. Published beside the definition of the lower
# quarter (source ``du-encyclopaedia``): 1 in of need takes 1.33 in at 75 %; here the same quotient in cubic metres.
FIRST = [(5, 20, 3.0), (15, 40, 4.0), (25, 60, 5.0), (35, 80, 6.0)]  # 3 of a mean of 4.5 mm
SECOND = [(150, 20, 8.0), (160, 40, 10.0), (170, 60, 11.0), (180, 80, 11.0)]  # 8 of a mean of 10


def degrees(east, north):
    return Transformer.from_crs(3035, 4326, always_xy=True).transform(CORNER[0] + east, CORNER[1] + north)


@pytest.fixture
def watered(course):
    def opening(tables="", cans=(), heads=(), **more):
        opened = course(tables + WATER, **more)
        folder = opened.drawing.folder
        days = np.datetime64("2027-07-01") + np.arange(10)
        (folder / "weather.csv").write_text("\n".join(["date,et0_mm,rain_mm", *(f"{day},5,0" for day in days)]) + "\n")
        rows = ["lon,lat,depth_mm", *("{:.8f},{:.8f},{}".format(*degrees(*at), depth) for *at, depth in cans)]
        (folder / "cans.csv").write_text("\n".join(rows) + "\n", encoding="utf-8")
        points = [
            {
                "type": "Feature",
                "properties": {"name": f"h{place}", "throw_m": throw, "flow_m3_h": 3.0},
                "geometry": {"type": "Point", "coordinates": degrees(*at)},
            }
            for place, (*at, throw) in enumerate(heads)
        ]
        (folder / "heads.geojson").write_text(json.dumps({"type": "FeatureCollection", "features": points}))
        return open_course(folder)

    return opening


def spread(east, width, step=12):
    return [(east + x, y, 18.0) for x in range(0, width + 1, step) for y in range(0, 101, step)]


def green(opened):
    (one,) = estimate_water(opened).surfaces
    return one.uniformity


def due(opened):
    days = estimate_water(opened).days
    return days.loc[days["need_mm"] > 0, "gross_m3"].to_numpy(dtype=float)


def test_typed_stays_in_front_and_no_head_is_laid(watered, monkeypatch):
    monkeypatch.setattr(Course, "heads", property(lambda self: pytest.fail("heads were laid")))
    opened = watered(CATCH + HEADS, cans=FIRST, heads=spread(0, 40))
    path = opened.path
    path.write_text(path.read_text() + TYPED, encoding="utf-8")
    opened = open_course(path.parent)
    assert (green(opened).share, green(opened).judged_by) == (0.8, "typed")
    assert due(opened) == pytest.approx(125)


def test_cans_weigh_by_area_and_no_head_is_laid(watered, monkeypatch):
    monkeypatch.setattr(Course, "heads", property(lambda self: pytest.fail("heads were laid")))
    opened = watered(CATCH + HEADS, cans=[*FIRST, *SECOND], heads=spread(0, 40))
    share = 0.4 * 3 / 4.5 + 0.6 * 8 / 10
    found = green(opened)
    assert (found.share, found.judged_by, found.known, found.patches) == (pytest.approx(share), "cans", 2, 2)
    assert due(opened) == pytest.approx(100 / share)


def test_cans_on_one_green_stand_for_greens(watered):
    found = green(watered(CATCH + HEADS, cans=SECOND, heads=spread(0, 40)))
    assert (found.share, found.judged_by, found.known) == (pytest.approx(0.8), "cans", 1)


def test_heads_tell_where_nothing_was_measured(watered):
    opened = watered(HEADS, heads=spread(0, 40) + spread(140, 60))
    table = opened.heads.table.set_index("patch")
    share = (table["low_quarter"] * table["net_m2"]).sum() / table["net_m2"].sum()
    found = green(opened)
    assert (found.share, found.judged_by, found.known) == (pytest.approx(share), "model", 2)
    assert 0.5 < share < 1
    assert due(opened) == pytest.approx(100 / share)
    assert any("set out cans" in one for one in uniformity_sentences(estimate_water(opened)))


def test_a_patch_that_heads_leave_out_is_not_judged(watered):
    """Only the first green has heads: its own lower quarter, on 1 of 2 patches."""
    opened = watered(HEADS, heads=spread(0, 40))
    found = green(opened)
    assert (found.known, found.patches) == (1, 2)
    assert found.share == pytest.approx(opened.heads.table["low_quarter"].iloc[0])


def test_nothing_known_is_told_and_reckoned_as_even(watered):
    """Without cans and heads; and with a head that leaves a quarter dry, for which no gross need is enough."""
    for opened in (watered(), watered(HEADS, heads=[(20, 50, 12.0)])):
        water = estimate_water(opened)
        assert water.surfaces[0].uniformity.judged_by == "unknown"
        assert due(opened) == pytest.approx(100)
        assert [one.code for one in water.findings] == ["uniformity_unknown"]
        assert "Green: not known, reckoned as if even." in water_text(water)


def test_a_layer_of_heads_that_cannot_be_read_stops_nothing(watered):
    opened = watered(HEADS, heads=spread(0, 40))
    file = opened.drawing.folder / "heads.geojson"
    file.write_text(file.read_text().replace('"flow_m3_h": 3.0', '"flow_m3_h": "lots"'), encoding="utf-8")
    assert green(open_course(opened.path.parent)).judged_by == "unknown"


def test_only_the_holes_that_are_watered(watered):
    opened = watered(CATCH, cans=[*FIRST, *SECOND])
    path = opened.path
    path.write_text(path.read_text() + "holes = [2]\n", encoding="utf-8")
    assert green(open_course(path.parent)).share == pytest.approx(0.8)


def test_json_and_rows_say_which_it_is(watered):
    water = estimate_water(watered(CATCH, cans=SECOND))
    (row,) = surface_rows(water)
    assert (row["uniformity"], row["judged_by"], row["judged_patches"]) == (pytest.approx(0.8), "cans", 1)
    assert water_json(water)["surfaces"][0]["judged_by"] == "cans"


def test_what_is_logged_reaches_the_roots_by_it(watered):
    opened = watered(CATCH, cans=SECOND)
    (opened.drawing.folder / "log.csv").write_text("date,surface,depth_mm\n2027-07-02,green,10\n", encoding="utf-8")
    path = opened.path
    path.write_text(path.read_text().replace("[water]\n", '[water]\nlog = "log.csv"\n'), encoding="utf-8")
    days = estimate_water(open_course(path.parent)).days
    assert days["applied_mm"].iloc[1] == pytest.approx(8)


def test_the_year_goes_by_the_same_figure(watered):
    job = '[[job]]\nname = "watering"\nwork = "water"\non = ["green"]\ndepth = "5 mm"\nmonths = { 7 = 8 }\n'
    opened = watered(CATCH + job, cans=SECOND, head='year = 2027\naccuracy = "0 m"')
    assert water_by_month(estimate_year(opened)) == {"2027-07": pytest.approx(8 * 50 / 0.8)}


def test_other_settings_keep_what_was_laid(watered):
    opened = watered(CATCH + HEADS, cans=FIRST, heads=spread(140, 60))
    heads, cans = opened.heads, opened.cans
    other = opened.with_settings(opened.settings.model_copy(update={"name": "Another"}))
    assert other.heads is heads
    assert other.cans is cans
    uncaught = opened.with_settings(opened.settings.model_copy(update={"catch": []}))
    assert uncaught.cans is None
    on = watered_patches(uncaught, "green", uncaught.settings.water.surface["green"])
    assert surface_uniformity(uncaught, uncaught.settings.water.surface["green"], "green", on).judged_by == "model"


def test_alike_patches_weigh_to_what_each_has(watered):
    alike = SECOND + [(x - 145, y, depth) for x, y, depth in SECOND]
    assert green(watered(CATCH, cans=alike)).share == pytest.approx(0.8)
