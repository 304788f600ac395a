"""Which order comes next, and which of them a change of the ground touches."""

from dataclasses import replace
from datetime import date

import pytest
import shapely

from turfgis.estimates.coming import coming_orders, touched_orders
from turfgis.estimates.course import open_course
from turfgis.estimates.orders import orders_for
from turfgis.estimates.stock import stock_of
from turfgis.estimates.takeoff import estimate_materials, estimate_year

SETTINGS = """
name = "Invented Links"
accuracy = "0.2 m"
year = 2027
[labour]
wage = "30 EUR/h"
[[layer]]
file = "areas.geojson"
surface_from = "kind"
[material.feed]
kind = "fertiliser"
analysis = { N = "12 %" }
pack = "25 kg"
stock = "40 kg"
[material.sand]
kind = "sand"
bulk_density = "1.5 t/m3"
load = "20 t"
[[job]]
name = "feed fairways"
group = "feeding"
work = "fertilise"
on = ["fairway"]
rate = "20 g/m2"
material = "feed"
dates = [2027-04-05, 2027-09-06]
[[job]]
name = "feed greens"
group = "greens"
work = "fertilise"
on = ["green"]
rate = "30 g/m2"
material = "feed"
months = [4]
[[job]]
name = "dress greens"
group = "renovation"
work = "topdress"
on = ["green"]
depth = "2 mm"
material = "sand"
dates = [2027-08-10]
[[job]]
name = "sand for nobody knows when"
group = "spare"
work = "topdress"
on = ["green"]
depth = "1 mm"
material = "sand"
"""
AREAS = """{"type": "FeatureCollection", "features": [
{"type": "Feature", "properties": {"kind": "green"}, "geometry": {"type": "Polygon", "coordinates":
 [[[0, 0], [0.0003, 0], [0.0003, 0.0002], [0, 0.0002], [0, 0]]]}},
{"type": "Feature", "properties": {"kind": "fairway"}, "geometry": {"type": "Polygon", "coordinates":
 [[[0.001, 0], [0.0019, 0], [0.0019, 0.003], [0.001, 0.003], [0.001, 0]]]}}]}"""


@pytest.fixture
def course(tmp_path):
    (tmp_path / "course.toml").write_text(SETTINGS, encoding="utf-8")
    (tmp_path / "areas.geojson").write_text(AREAS, encoding="utf-8")
    return open_course(tmp_path)


@pytest.mark.parametrize(
    ("today", "groups"),
    [
        (date(2026, 11, 28), ["feeding", "greens", "renovation", "spare"]),
        (date(2027, 4, 5), ["feeding", "greens", "renovation", "spare"]),
        (date(2027, 4, 6), ["greens", "renovation", "feeding", "spare"]),  # a month is still to come until it is over
        (date(2027, 5, 1), ["renovation", "feeding", "spare", "greens"]),
        (date(2028, 1, 1), ["spare", "feeding", "greens", "renovation"]),
    ],
)
def test_orders_in_the_order_of_their_next_work(course, today, groups):
    assert [one.group for one in coming_orders(course.settings, today)] == groups


def test_the_next_order_is_the_first_that_a_change_touches(course):
    """Ground is taken from the only green: fairways are fed first, and their order stays as it is."""
    measured = course.measured
    patches = measured.patches.copy()
    green = (patches["surface"] == "green").to_numpy()
    patches.loc[green, "geometry"] = shapely.buffer(patches.geometry[green].to_numpy(), -1.0)
    patches.loc[green, "net_m2"] = patches.geometry[green].area
    smaller = course.with_measured(replace(measured, patches=patches))
    assert list(touched_orders(course, course, date(2026, 11, 28))) == []
    found = next(touched_orders(course, smaller, date(2026, 11, 28)))
    assert (found.group, found.material, found.job, found.when.month) == ("greens", "feed", "feed greens", "2027-04")
    found = next(touched_orders(course, smaller, date(2027, 5, 1)))
    assert (found.group, found.when.day) == ("renovation", date(2027, 8, 10))


def test_materials_alone_leave_the_stock_of_each_group_as_the_whole_year_has_it():
    """On the demo, bit for bit: machines and people take nothing from the yard."""
    course = open_course("demo_layers")
    whole, alone = stock_of(estimate_year(course)), stock_of(estimate_materials(course))
    assert {one.resource for one in alone.takeoff.needs} == {"material"}
    for material in range(len(whole.materials)):
        for group in range(len(whole.groups)):
            assert alone.for_group(material, group) == whole.for_group(material, group)
    year = estimate_year(course)
    for group, material in (("dressing", "light_sand"), ("divots", "tee_seed")):
        (one,), (other,) = orders_for(course, group, material), orders_for(course, group, material, takeoff=year)
        assert (one.to_order_kg, one.units, one.stock_kg) == (other.to_order_kg, other.units, other.stock_kg)
