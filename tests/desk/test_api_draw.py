"""What the page for drawing asks the desk for, and what it may not ask for."""

import geopandas as gpd
import numpy as np
import pytest
import shapely


def test_the_drawing_is_told_area_by_area(ask):
    told = ask.client.get("/api/drawing").json()
    assert len(told["areas"]) == len({one["id"] for one in told["areas"]}) == 262
    assert told["order"][0] == "green"
    assert {one["file"] for one in told["layers"] if one["saved"]} == {"course.gpkg"}


def test_corners_come_back_from_their_steps(ask):
    """Of the first green: 1e-9 degrees are a tenth of a millimetre."""
    told = ask.client.get("/api/drawing").json()
    one = next(area for area in told["areas"] if area["id"] == "course.gpkg | greens | 1")
    steps = np.array(one["parts"][0][0]).reshape(-1, 2)
    corners = np.cumsum(steps, axis=0) * told["step"]
    drawn = gpd.read_file(ask.desk.folder / "course.gpkg", layer="greens", rows=1).to_crs("EPSG:4326")
    expected = shapely.get_coordinates(drawn.geometry.to_numpy())[:-1]
    assert np.abs(corners - expected).max() < 1e-8


def test_the_page_holds_no_text_of_a_layer_as_markup(ask):
    page = ask.client.get("/draw").text
    assert '<script type="application/json" id="words">' in page
    assert 'style="' not in page
    assert "onclick" not in page


@pytest.mark.parametrize(
    "address", ["/ground/photo/0", "/ground/..%2F..%2Fetc/0", "/ground/relief/99", "/static/../app.py"]
)
def test_pictures_that_are_not_there(ask, address):
    assert ask.client.get(address).status_code == 404
