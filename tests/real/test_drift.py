"""Surveys of real courses: against themselves nothing changes, whatever file or reference system they come in."""

import geopandas as gpd
import numpy as np
import pytest
import shapely

from turfgis.estimates.surveys import compare_surveys, open_surveys

COURSES = ["bahamas_new_providence", "bahamas_paradise_island", "malta_marsa"]


def compared(*paths):
    return compare_surveys(*open_surveys(paths)).drift


@pytest.mark.parametrize("name", COURSES)
def test_a_course_against_itself(open_data, name):
    file = open_data / "golf" / f"{name}.geojson"
    drift = compared(file, file)
    changes = drift.changes
    assert set(changes["match"]) == {"same"}
    assert list(changes["patch"]) == list(changes["old_patch"])
    assert not changes[["changed", "moved"]].to_numpy(dtype=bool).any()
    assert (
        changes[["gained_m2", "lost_m2", "edge_retreat_most_m", "lost_edge_m", "win_back_m2"]].abs().max().max() < 1e-12
    )


@pytest.mark.parametrize(
    ("name", "copy"),
    [
        ("bahamas_new_providence", "bahamas_new_providence_utm18n.gpkg"),
        ("bahamas_paradise_island", "bahamas_paradise_island_shp_utm18n"),
        ("malta_marsa", "malta_marsa.osm"),
    ],
)
def test_a_course_against_its_copy_in_another_format(open_data, name, copy):
    """The copies hold the same edges; the grid's 0.04 % would be 5 m2 of a fairway."""
    changes = compared(open_data / "golf" / f"{name}.geojson", open_data / "golf" / copy).changes
    assert set(changes["match"]) == {"same"}
    assert not changes[["changed", "moved"]].to_numpy(dtype=bool).any()
    assert changes["net_m2"].abs().max() < 0.05
    assert changes["edge_retreat_most_m"].abs().max() < 0.002


def test_a_course_against_itself_half_a_metre_further_east(open_data, tmp_path):
    """Nothing gained or lost on the net, edges out by half a metre at most, and the shift is told."""
    file = open_data / "golf" / "bahamas_new_providence_utm18n.gpkg"
    layers = gpd.list_layers(file)["name"]
    for layer in layers:
        drawn = gpd.read_file(file, layer=layer)
        moved = shapely.transform(drawn.geometry.to_numpy(), lambda xy: xy + np.array([0.5, 0.0]))
        drawn.set_geometry(moved, crs=drawn.crs).to_file(tmp_path / "moved.gpkg", layer=layer)
    drift = compared(file, tmp_path / "moved.gpkg")
    same = drift.changes[drift.changes["match"] == "same"]
    assert len(same) > 100
    assert not same["changed"].any()
    assert same["net_m2"].abs().max() < 0.01
    assert same["edge_retreat_most_m"].max() == pytest.approx(0.5, abs=0.01)
    east, north = drift.offset_m
    # half a metre of grid, turned by the meridian convergence and stretched by at most 0.04 %
    assert np.hypot(east, north) == pytest.approx(0.5, abs=0.001)
    assert east == pytest.approx(0.5, abs=0.01)
