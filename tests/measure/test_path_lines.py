"""Paths drawn as lines: a layer of their own, or OpenStreetMap's tags."""

import json

import pytest
import shapely

from turfgis.estimates.course import open_course
from turfgis.estimates.rounds import driving_lengths

CORNER = (4_321_500.0, 3_210_500.0)
SYSTEM = {"type": "name", "properties": {"name": "urn:ogc:def:crs:EPSG::3035"}}


def at(*points):
    return [[CORNER[0] + x, CORNER[1] + y] for x, y in points]


def collection(shapes):
    features = [
        {"type": "Feature", "properties": properties, "geometry": {"type": kind, "coordinates": coordinates}}
        for kind, coordinates, properties in shapes
    ]
    return json.dumps({"type": "FeatureCollection", "crs": SYSTEM, "features": features})


def box(x, y, width, height):
    return [at((x, y), (x + width, y), (x + width, y + height), (x, y + height), (x, y))]


# a lake between two tees, and a path round its end
AREAS = [
    ("Polygon", box(0, 0, 10, 10), {"golf": "tee"}),
    ("Polygon", box(100, 0, 10, 10), {"golf": "tee"}),
    ("Polygon", box(50, -100, 10, 200), {"golf": "water_hazard"}),
]
ROUND = at((5, 15), (5, 165), (105, 165), (105, 15))
BY_PATH = 5 + 150 + 100 + 150 + 5  # by hand


def test_a_layer_of_paths_is_driven_along(tmp_path):
    (tmp_path / "areas.geojson").write_text(collection(AREAS), encoding="utf-8")
    (tmp_path / "ways.geojson").write_text(collection([("LineString", ROUND, {})]), encoding="utf-8")
    layers = '[[layer]]\nfile = "areas.geojson"\n[[layer]]\nfile = "ways.geojson"\nrole = "paths"\n'
    (tmp_path / "course.toml").write_text('name = "x"\n' + layers, encoding="utf-8")
    course = open_course(tmp_path)
    assert shapely.length(course.measured.path_lines.geometry.to_numpy()) == pytest.approx([400], abs=0.01)
    lengths, over = driving_lengths(course, ["tee-none-1", "tee-none-2"])
    assert lengths[1, 2] == pytest.approx(BY_PATH, abs=0.05)
    assert not over.any()


@pytest.mark.parametrize(("tag", "driven"), [("cartpath", True), ("path", True), ("hole", False)])
def test_lines_that_openstreetmap_calls_paths_are_driven_along(tmp_path, tag, driven):
    file = tmp_path / "links.geojson"
    file.write_text(collection([*AREAS, ("LineString", ROUND, {"golf": tag})]), encoding="utf-8")
    lengths, over = driving_lengths(open_course(file), ["tee-none-1", "tee-none-2"])
    assert lengths[1, 2] == pytest.approx(BY_PATH if driven else 90, abs=0.05)
    assert over[1, 2] != driven
