"""Where a place lies that is pointed out by a patch or typed: inside the patch, and as far off as a geodesic says."""

import json

import numpy as np
import pyproj
import pytest
import shapely

from turfgis.errors import InputError
from turfgis.estimates.course import open_course
from turfgis.measure.as_drawn import DEGREES, AsDrawn
from turfgis.measure.place_points import away_m, patch_middle, stored_point

WEST, SOUTH = -2.8, 56.3
# a square, and a horseshoe whose centroid lies between its arms
SHAPES = {
    "1": [(0, 0), (4, 0), (4, 4), (0, 4)],
    "2": [(10, 0), (20, 0), (20, 10), (18, 10), (18, 1), (12, 1), (12, 10), (10, 10)],
}


@pytest.fixture(scope="module")
def measured(tmp_path_factory):
    folder = tmp_path_factory.mktemp("pointed")
    features = [
        {
            "type": "Feature",
            "properties": {"hole": hole},
            "geometry": {
                "type": "Polygon",
                "coordinates": [[[WEST + x * 1e-4, SOUTH + y * 1e-4] for x, y in [*corners, corners[0]]]],
            },
        }
        for hole, corners in SHAPES.items()
    ]
    (folder / "areas.geojson").write_text(json.dumps({"type": "FeatureCollection", "features": features}))
    (folder / "course.toml").write_text('name = "A"\n[[layer]]\nfile = "areas.geojson"\nsurface = "green"\n')
    return open_course(folder).measured


def test_the_middle_of_a_square_is_where_its_diagonals_cross(measured):
    """Plane geometry, on the drawn degrees: on 25 m a degree grid is as good as flat."""
    point = stored_point(patch_middle(measured, "green-01"), measured.frame, DEGREES)
    assert (point.x, point.y) == pytest.approx((WEST + 2e-4, SOUTH + 2e-4), abs=1e-9)


def test_the_middle_of_a_horseshoe_lies_on_it(measured):
    shape = measured.patches.set_index("patch").geometry["green-02"]
    assert not shape.contains(shape.centroid)
    assert shape.contains(shapely.Point(patch_middle(measured, "green-02")))


def test_a_place_is_as_far_off_as_a_geodesic(measured):
    """Outside ruler: GeographicLib's geodesic (Karney 2013), from the south-west corner due south."""
    drawn = AsDrawn((), measured.frame)
    _, _, far = pyproj.Geod(ellps="WGS84").inv(WEST, SOUTH, WEST, SOUTH - 0.01)
    assert away_m(measured, drawn.to_frame([(WEST, SOUTH - 0.01)])[0]) == pytest.approx(far, rel=1e-5)
    assert away_m(measured, patch_middle(measured, "green-01")) == 0.0


def test_what_is_stored_is_what_was_typed(measured):
    typed = (WEST + 1.23e-4, SOUTH - 4.56e-4)
    point = stored_point(AsDrawn((), measured.frame).to_frame([typed])[0], measured.frame, DEGREES)
    assert (point.x, point.y) == pytest.approx(typed, abs=1e-10)
    assert isinstance(point, shapely.Point)
    assert np.isfinite([point.x, point.y]).all()


def test_a_patch_that_is_not_there(measured):
    with pytest.raises(InputError, match="no patch 'green-99'"):
        patch_middle(measured, "green-99")
