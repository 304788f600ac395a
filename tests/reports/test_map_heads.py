"""Heads and strips as the map gets them: figures, words that stay words, and little room."""

import json

import geopandas as gpd
import numpy as np
import pytest
import shapely

from tests.estimates.conftest import drawing
from turfgis.estimates.course import open_course
from turfgis.estimates.heads import Cover
from turfgis.reports.map_content import as_json
from turfgis.reports.map_heads import FACTS, Thrown, describe_heads, heads_told
from turfgis.reports.map_shapes import STEPS
from turfgis.reports.map_strips import strips_over

HOSTILE = "</script><img src=x onerror=window.harmed=1>"
CORNER = (-10.4, 53.1)


@pytest.fixture
def thrown():
    table = {
        "head": ["a", HOSTILE],
        "station": ["1", HOSTILE],
        "controller": ["", "west"],
        "patch": ["green-01", ""],
        "throw_m": [18.0, 12.04],
        "arc_rad": np.radians([360.0, 137.0]),
        "facing_rad": [np.nan, np.radians(-90.0)],
        "flow_m3_s": [1.8 / 3600, 0.9 / 3600],
        "pressure_pa": [5.5e5, np.nan],
    }
    heads = gpd.GeoDataFrame(table, geometry=shapely.points([(-10.399, 53.102), (-10.398, 53.101)]), crs=4326)
    missed = gpd.GeoDataFrame({"patch": ["green-01"]}, geometry=[shapely.box(-10.399, 53.1, -10.398, 53.101)], crs=4326)
    return Thrown(heads, missed, 123.0)


def card(said, number):
    row = said["heads"][number]
    return {label: said["texts"][at] for label, at in zip(FACTS, row[6:], strict=True)}


def test_a_head_by_hand(thrown):
    said = describe_heads(thrown, CORNER, "metric")
    assert said["heads"][0][:6] == [round(0.001 * STEPS), round(0.002 * STEPS), 18.0, 360, 0, "a"]
    assert said["heads"][1][2:5] == [12.0, 137, 270]  # west of north is three quarters of a turn
    assert card(said, 0) == {
        **{"Station": "1", "Controller": "", "Flow": "1.8 m3/h", "Throw": "18.0 m", "Arc": "full circle"},
        **{"Pressure": "5.5 bar", "Serves": "green-01"},
    }
    assert card(said, 1)["Arc"] == "137°, facing 270°"
    assert card(said, 1)["Pressure"] == ""
    assert card(said, 1)["Serves"] == "no ground that is watered"
    assert said["missed_text"] == "missed 123 m2"


def test_a_metre_is_a_metre_on_the_ground(thrown):
    """Steps to a metre against the ellipsoid of WGS 84 (PROJ), within half a per cent."""
    from pyproj import Geod

    eastward, northward = describe_heads(thrown, CORNER, "metric")["per_m"]
    east, north = 100 * eastward / STEPS, 100 * northward / STEPS
    assert Geod(ellps="WGS84").inv(-10.4, 53.1015, -10.4 + east, 53.1015)[2] == pytest.approx(100, rel=5e-3)
    assert Geod(ellps="WGS84").inv(-10.4, 53.1015, -10.4, 53.1015 + north)[2] == pytest.approx(100, rel=5e-3)


def test_us_units(thrown):
    said = describe_heads(thrown, CORNER, "us")
    assert card(said, 0)["Flow"] == "8 US gal/min"  # 1.8 m3/h
    assert card(said, 0)["Throw"] == "59.1 ft"
    assert card(said, 0)["Pressure"] == "80 psi"


def test_no_word_can_end_the_script(thrown):
    text = as_json(describe_heads(thrown, CORNER, "metric"))
    assert "<" not in text
    assert json.loads(text)["heads"][1][5] == HOSTILE


def test_each_text_is_there_once_and_600_heads_take_little_room(thrown):
    one = thrown.heads.iloc[:1]
    heads = gpd.GeoDataFrame(
        {name: np.repeat(one[name].to_numpy(), 600) for name in one if name != "geometry"},
        geometry=shapely.points(np.column_stack([-10.4 + np.arange(600) * 1e-5, np.full(600, 53.101)])),
        crs=4326,
    ).assign(head=[f"G{at}" for at in range(600)], station=[f"S{at // 4}" for at in range(600)])
    said = describe_heads(Thrown(heads, thrown.missed, 1.0), CORNER, "metric")
    assert len(said["texts"]) == len(set(said["texts"]))
    assert len(as_json(said)) < 40_000  # a tenth of the smallest map


def test_no_heads_are_nothing(thrown):
    assert describe_heads(None, CORNER, "metric") is None
    assert describe_heads(Thrown(thrown.heads.iloc[:0], thrown.missed, 0.0), CORNER, "metric") is None


def test_what_the_card_of_a_patch_says():
    import pandas as pd

    table = pd.DataFrame(
        {
            "patch": ["a", "b"],
            "heads": [6, 2],
            "low_quarter": [0.54, np.nan],
            "judged_by": ["cans", "model"],
            "missed_m2": [0.0, 40.0],
        }
    )
    texts = heads_told(Cover(table, None), "metric")["text"].tolist()
    assert texts == ["6 reach it; low quarter 54 % by cans; none missed", "2 reach it; 40 m2 missed"]


SPRAYS = """
[material.soap]
kind = "liquid"
label = { keep_off = { water = "6 m" } }
[[job]]
name = "soap <b>"
work = "spray"
on = ["green"]
rate = "10 l/ha"
material = "soap"
months = [5]
"""
OTHER = """
[[job]]
name = "soap fairways"
work = "spray"
on = ["fairway"]
rate = "10 l/ha"
material = "soap"
keep_off = { water = "9 m" }
months = [6]
"""


@pytest.fixture
def pond(tmp_path):
    """A pond of 20 x 10 m, 100 m from anything that is sprayed."""

    def opening(tables):
        rectangles = [("green", "1", 20.0, 20.0), ("fairway", "1", 50.0, 50.0), ("water", None, 20.0, 10.0)]
        (tmp_path / "areas.geojson").write_text(json.dumps(drawing(rectangles)), encoding="utf-8")
        head = 'name = "A"\nyear = 2027\n[[layer]]\nfile = "areas.geojson"\nsurface_from = "kind"\nhole_from = "hole"\n'
        (tmp_path / "course.toml").write_text(head + tables, encoding="utf-8")
        return open_course(tmp_path)

    return opening


def test_a_strip_is_the_ring_around_the_water(pond):
    """6 m around 20 x 10 m: 60 m of edge x 6 m and four quarters of a circle of 6 m."""
    strips = strips_over(pond(SPRAYS), "metric")
    assert strips.area.tolist() == pytest.approx([60 * 6 + np.pi * 36], rel=1e-3)
    assert strips["label"].tolist() == ["strips kept off when spraying"]
    assert strips["note"].iloc[0].startswith("6.0 m from water. ")
    assert "the label and national rules decide" in strips["note"].iloc[0]
    assert strips["off"].all()


def test_jobs_that_keep_other_distances_have_layers_of_their_own(pond):
    strips = strips_over(pond(SPRAYS + OTHER), "metric")
    assert strips["label"].tolist() == ["kept off when spraying: soap <b>", "kept off when spraying: soap fairways"]
    assert strips.area.tolist() == pytest.approx([60 * at + np.pi * at**2 for at in (6, 9)], rel=1e-3)


def test_of_many_only_the_widest_is_shaded(pond):
    more = "".join(OTHER.replace("soap fairways", f"job {at}").replace("9 m", f"{at} m") for at in (8, 10, 11, 12))
    strips = strips_over(pond(SPRAYS + more), "metric")
    assert strips.area.tolist() == pytest.approx([60 * 12 + np.pi * 144], rel=1e-3)
    assert strips["label"].tolist() == ["strips kept off when spraying"]


def test_without_strips_there_is_no_layer(pond):
    assert strips_over(pond(SPRAYS.replace('label = { keep_off = { water = "6 m" } }\n', "")), "metric") is None
    assert strips_over(pond(""), "metric") is None
