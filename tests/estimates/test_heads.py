"""Run times of stations by hand, cycles, and cans that beat the model."""

from math import atan, pi

import geopandas as gpd
import numpy as np
import pandas as pd
import pytest
import shapely

from turfgis.estimates.heads import judged, station_runs
from turfgis.measure.cans import COLUMNS, Cans
from turfgis.measure.head_shapes import wetted_m2
from turfgis.measure.heads import lay_heads
from turfgis.settings.heads import Soak

FRAME = "+proj=laea +lat_0=53.16 +lon_0=-10.37"


@pytest.fixture(scope="module")
def found():
    """One head in the middle of each of three squares of 60 m, so that all its water falls on its own."""
    shapes = [shapely.box(x, 0, x + 60, 60) for x in (0, 60, 120)]
    names = ["green-01", "tee-01", "fairway-01"]
    patches = gpd.GeoDataFrame(
        {"patch": names, "surface": ["green", "tee", "fairway"], "hole": ["1", "1", "2"], "net_m2": 3600.0},
        geometry=shapes,
        crs=FRAME,
    )
    heads = gpd.GeoDataFrame(
        {
            "head": ["a", "b", "c"],
            **{"file": "heads.geojson", "layer": "", "feature": "", "hole": None, "pressure_pa": np.nan},
            **{"throw_m": 20.0, "arc_rad": 2 * pi, "facing_rad": np.nan, "flow_m3_s": 18 / 3600, "serves": ""},
            **{"station": ["1", "2", "2"], "controller": ["A", "A", "B"], "level": 1.0},
        },
        geometry=shapely.points([(30, 30), (90, 30), (150, 30)]),
        crs=FRAME,
    )
    return lay_heads(heads, patches)


def runs(found, depth, **more):
    return station_runs(judged(found, None), depth, order=["green", "tee", "fairway"], **more)


def test_minutes_by_hand(found):
    # 18 m3/h on 3,600 m2 are 5 mm/h: 4 mm take 48 minutes and 14.4 m3
    table = runs(found, {"green-01": 4.0})
    (row,) = table.to_dict("records")
    assert (row["station"], row["controller"], row["surface"], row["heads"]) == ("1", "A", "green", 1)
    assert (row["minutes"], row["cycles"]) == (48, 1)
    assert row["m3"] == pytest.approx(14.4)
    # alone, on the circle of 20 m that it wets: 18,000 l/h on 1,257 m2
    assert row["rate_mm_h"] == pytest.approx(18_000 / (pi * 20**2), rel=2e-3)


def test_minutes_are_rounded_up(found):
    assert runs(found, {"green-01": 4.01})["minutes"].tolist() == [49]


def test_stations_of_one_name_on_two_controllers_are_two(found):
    table = runs(found, {"fairway-01": 1.0, "tee-01": 2.0, "green-01": 0.0})
    assert table["surface"].tolist() == ["tee", "fairway"]  # the club's order
    assert table["controller"].tolist() == ["A", "B"]
    assert table["minutes"].tolist() == [24, 12]


def soak(**more):
    return Soak.model_validate({"on": ["green"], "intake": "8 mm/h", "standing": "1 mm", **more})


def test_cycles_and_soaking_by_hand(found):
    # 14.32 mm/h fall, 8 go in: 1 mm stands after 9.5 minutes, so 48 minutes are 6 cycles of 8; then 6.32 mm/h x 8 min
    # stand, which 8 mm/h take in in 6.3 minutes
    (row,) = runs(found, {"green-01": 4.0}, soaks=[soak()]).to_dict("records")
    assert (row["cycles"], row["cycle_min"], row["minutes"], row["soak_min"]) == (6, 8, 48, 7)


def test_the_steepest_that_fits_counts_and_level_ground_runs_at_a_stretch(found):
    two = [soak(slope="3 %"), soak(slope="8 %", intake="4 mm/h", standing="0.5 mm")]
    assert two[0].slope == pytest.approx(atan(0.03))
    # 14.32 - 4 mm/h let 0.5 mm stand after 2.9 minutes: 48 minutes are 16.5 of these
    for slope, cycles in ((1.0, 1), (5.0, 6), (9.0, 17), (float("nan"), 1)):
        (row,) = runs(found, {"green-01": 4.0}, soaks=two, slope_pct={"green-01": slope}).to_dict("records")
        assert row["cycles"] == cycles, slope
    (row,) = runs(found, {"tee-01": 4.0}, soaks=two, slope_pct={"tee-01": 9.0}).to_dict("records")
    assert row["cycles"] == 1


def test_ground_that_lets_nothing_stand_gets_cycles_of_a_minute(found):
    (row,) = runs(found, {"green-01": 1.0}, soaks=[soak(standing="0 mm")]).to_dict("records")
    assert (row["cycle_min"], row["cycles"]) == (1, 12)


def test_cans_beat_the_model(found):
    caught = pd.DataFrame(
        [["green-01", "green", "1", 3600.0, 12, 2.5, 10.0, 0.81, 0.88, 1.4, "cans.csv", "2027-05-04"]], columns=COLUMNS
    )
    cover = judged(found, Cans(caught, ()))
    table = cover.table.set_index("patch")
    assert table.loc["green-01", ["judged_by", "cans"]].tolist() == ["cans", 12]
    assert table.loc["green-01", ["low_quarter", "christiansen", "rate_mm_h"]].tolist() == [0.81, 0.88, 10.0]
    assert table.loc["tee-01", "judged_by"] == "model"
    (row,) = station_runs(cover, {"green-01": 4.0}, order=["green"]).to_dict("records")
    assert row["minutes"] == 24  # 10 mm/h caught, where flow and area say 5
    cover = judged(found, Cans(caught.assign(rate_mm_h=np.nan), ()))
    (row,) = station_runs(cover, {"green-01": 4.0}, order=["green"]).to_dict("records")
    assert row["minutes"] == 48  # no time was noted: how evenly is known, how fast is not


def test_ground_that_is_wetted_twice_counts_once(found):
    heads = found.heads
    assert wetted_m2(heads.iloc[:1]) == pytest.approx(pi * 400, rel=1e-3)
    assert wetted_m2(pd.concat([heads.iloc[:1], heads.iloc[:1]])) == pytest.approx(pi * 400, rel=1e-3)
    half = heads.iloc[:1].assign(arc_rad=pi, facing_rad=1.0)
    assert wetted_m2(half) == pytest.approx(pi * 200, rel=1e-3)
