"""
Courses so plain that their areas are known: rectangles drawn in metres, in the equal-area system of Europe.

EPSG:3035 keeps every area, and near its origin (52 N 10 E) every length too, so that net areas and perimeters are those
of the rectangles. The corner stands a little off the origin, where PROJ loses a tenth of a millimetre.
"""

import itertools
import json

import pytest

from turfgis.estimates.course import open_course

CORNER = (4_321_500.0, 3_210_500.0)

# surface, hole, width [m], height [m]: one hectare of greens, and ground that no job is to touch
HECTARE = [("green", "1", 40.0, 100.0), ("green", "2", 60.0, 100.0), ("fairway", "1", 100.0, 50.0)]

SAND = """
[material.sand]
kind = "sand"
bulk_density = "1.6 t/m3"
"""
SEED = """
[material.bent]
kind = "seed"
purity = "98 %"
germination = "85 %"
"""
FEED = """
[material.feed]
kind = "fertiliser"
analysis = { N = "12 %", P2O5 = "4 %", K2O = "8 %" }
"""
DRESS = """
[[job]]
name = "dress"
group = "renovation"
work = "topdress"
on = ["green"]
depth = "2 mm"
material = "sand"
"""
CORE = """
[[job]]
name = "core"
group = "renovation"
work = "hollow_tine"
on = ["green"]
tine = "12 mm"
spacing = "50 mm"
depth = "75 mm"
material = "sand"
"""
SOW = """
[[job]]
name = "sow"
work = "overseed"
on = ["green"]
rate = "8 g/m2"
material = "bent"
"""
FEEDING = """
[[job]]
name = "feed"
work = "fertilise"
on = ["green"]
rate = "3 g/m2"
nutrient = "N"
material = "feed"
"""


class Words:
    """Tables of a settings file, to be put together and changed."""

    sand, seed, feed, dress, core, sow, feeding = SAND, SEED, FEED, DRESS, CORE, SOW, FEEDING


@pytest.fixture
def words():
    return Words


@pytest.fixture
def course(tmp_path):
    """Open a course with these tables in its settings, and these rectangles in its drawing."""
    number = itertools.count()

    def opening(tables="", rectangles=HECTARE, head='accuracy = "0 m"'):
        folder = tmp_path / f"course-{next(number)}"
        folder.mkdir()
        (folder / "areas.geojson").write_text(json.dumps(drawing(rectangles)), encoding="utf-8")
        layer = '[[layer]]\nfile = "areas.geojson"\nsurface_from = "kind"\nhole_from = "hole"\n'
        text = f'name = "Invented Links"\n{head}\n{layer}{tables}'
        (folder / "course.toml").write_text(text, encoding="utf-8")
        return open_course(folder)

    return opening


def drawing(rectangles):
    """Rectangles beside one another, so far apart that nothing thrown past one lands on the next; some lie higher."""
    features, x = [], CORNER[0]
    for surface, hole, width, height, *higher in rectangles:
        y = CORNER[1] + sum(higher)
        ring = [[x, y], [x + width, y], [x + width, y + height], [x, y + height], [x, y]]
        shape = {"type": "Polygon", "coordinates": [ring]}
        features.append({"type": "Feature", "properties": {"kind": surface, "hole": hole}, "geometry": shape})
        x += width + 100
    system = {"type": "name", "properties": {"name": "urn:ogc:def:crs:EPSG::3035"}}
    return {"type": "FeatureCollection", "crs": system, "features": features}
