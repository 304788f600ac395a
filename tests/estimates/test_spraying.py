"""Spray jobs on rectangles of known size: ground, tanks, products, labels."""

import json
from datetime import date

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from turfgis.errors import SettingsError
from turfgis.estimates.budget import estimate_budget
from turfgis.estimates.due import day_due
from turfgis.estimates.labels import Application
from turfgis.estimates.orders import orders_for
from turfgis.estimates.spraying import estimate_spraying, planned_applications
from turfgis.estimates.takeoff import estimate_year

# Rectangles 100 m apart: two greens of 4,000 and 6,000 m2, and a pond that nothing else touches.
GREENS = [("green", "1", 40.0, 100.0), ("green", "2", 60.0, 100.0)]
SOAP = """
[material.soap]
kind = "liquid"
pack = "5 l"
price = "10 EUR/l"
LABEL
[machine.sprayer]
width = "6 m"
overlap = "OVERLAP"
speed = "6 km/h"
turn = "15 s"
transport = "12 km/h"
on = ["green"]
mows = false
[machine.sprayer.spray]
tank = "200 l"
dead_volume = "DEAD"
volume = "400 l/ha"
nozzles = 12
nozzle_spacing = "0.5 m"
filling = "10 min"
[[job]]
name = "soap greens"
work = "spray"
on = ["green"]
rate = "10 l/ha"
material = "soap"
machine = "sprayer"
WHEN
MORE
"""


def soap(label="", overlap="0 m", dead="0 l", when="", more=""):
    return (
        SOAP.replace("LABEL", label)
        .replace("OVERLAP", overlap)
        .replace("DEAD", dead)
        .replace("WHEN", when)
        .replace("MORE", more)
    )


YEAR = 'accuracy = "0 m"\nyear = 2027'


def only(spraying):
    (plan,) = spraying.plans
    return plan


class TestTanks:
    def test_a_hectare_worked_by_hand(self, course):
        """1 ha at 400 l/ha is 400 l: two tanks of 200 l, each 0.5 ha, with 5 l of the product."""
        plan = only(estimate_spraying(course(soap(), GREENS)))
        assert [fill.mixed_m3 for fill in plan.fills] == pytest.approx([0.2, 0.2])
        assert [fill.products_m3["soap"] for fill in plan.fills] == pytest.approx([0.005, 0.005])
        assert [fill.water_m3 for fill in plan.fills] == pytest.approx([0.195, 0.195])
        assert [fill.covers_m2 for fill in plan.fills] == pytest.approx([5000, 5000])
        first, last = plan.fills
        assert (first.from_patch, first.to_patch, last.to_patch) == ("green-01", "green-02", "green-02")
        assert first.left_m2 == pytest.approx(5000)
        assert last.left_m2 == 0
        assert plan.stops[1].tanks == pytest.approx({1: 1000, 2: 5000})

    def test_what_stays_in_the_sprayer_is_mixed_once(self, course):
        """5 l stay: tanks of 200 l put out 195 l, so 400 l take 200 + 195 + 10 l."""
        plan = only(estimate_spraying(course(soap(dead="5 l"), GREENS)))
        assert [fill.mixed_m3 for fill in plan.fills] == pytest.approx([0.2, 0.195, 0.01])
        assert plan.mixed_m3 == pytest.approx(0.405)
        assert plan.products_m3["soap"] == pytest.approx(0.405 / 400 * 10)
        assert plan.rest_m3 == pytest.approx(0.005)

    def test_passes_that_overlap_cover_ground_twice(self, course):
        plan = only(estimate_spraying(course(soap(overlap="1 m"), GREENS)))
        assert plan.treated_m2 == pytest.approx(12_000)
        assert plan.overlap == pytest.approx(0.2)

    def test_haines_hectare(self, course):
        # J. Haines, Does size matter, 2023: 1.0 ha of greens of which 1.2 ha are really treated
        plan = only(estimate_spraying(course(soap(more='overthrow = "20 %"'), GREENS)))
        assert plan.treated_m2 / plan.net_m2 == pytest.approx(1.2)
        assert plan.products_m3["soap"] == pytest.approx(0.012)

    def test_several_products_share_the_water(self, course):
        more = 'mixed_with = { iron = "30 l/ha" }\n[material.iron]\nkind = "liquid"'
        plan = only(estimate_spraying(course(soap(more=more), GREENS)))
        for fill in plan.fills:
            assert sum(fill.products_m3.values()) + fill.water_m3 == pytest.approx(fill.mixed_m3)
            assert fill.products_m3["iron"] == pytest.approx(3 * fill.products_m3["soap"])

    def test_an_error_of_the_rate(self, course):
        plan = only(estimate_spraying(course(soap(), GREENS)))
        more, money, missed = plan.error_cost()
        assert more["soap"] == pytest.approx(0.0005)
        assert money == pytest.approx(5.0)
        assert missed == pytest.approx(10_000 * (1 - 1 / 1.05))

    def test_nozzles(self, course):
        """400 l/ha at 6 km/h and half a metre: 2 l/min."""
        assert only(estimate_spraying(course(soap(), GREENS))).nozzle_flow == pytest.approx(2e-3 / 60)

    def test_without_a_tank_there_is_a_plan_without_tanks(self, course):
        text = soap().replace('machine = "sprayer"\n', "")
        plan = only(estimate_spraying(course(text, GREENS)))
        assert plan.fills == ()
        assert plan.treated_m2 == pytest.approx(10_000)
        assert any("no sprayer is named" in said for said in plan.remarks)

    @settings(deadline=None, max_examples=20, suppress_health_check=[HealthCheck.function_scoped_fixture])
    @given(st.lists(st.floats(5, 80), min_size=1, max_size=5), st.integers(0, 4), st.floats(0.2, 0.8))
    def test_splitting_a_patch_changes_no_total(self, course, widths, at, share):
        at %= len(widths)
        whole = [("green", str(hole), width, 50.0) for hole, width in enumerate(widths, start=1)]
        _, hole, width, height = whole[at]
        parts = [("green", hole, width * share, height), ("green", hole, width * (1 - share), height)]
        split = [*whole[:at], *parts, *whole[at + 1 :]]
        one, other = (only(estimate_spraying(course(soap(dead="4 l"), ground))) for ground in (whole, split))
        assert other.products_m3["soap"] == pytest.approx(one.products_m3["soap"], rel=1e-6)
        assert [fill.mixed_m3 for fill in other.fills] == pytest.approx([fill.mixed_m3 for fill in one.fills], rel=1e-4)
        assert sum(fill.products_m3["soap"] for fill in other.fills) == pytest.approx(other.products_m3["soap"])


def pond(folder, beside):
    """Draw a pond of 100 m beside the first green, whose own corner is known."""
    file = folder.path.parent / "areas.geojson"
    drawn = json.loads(file.read_text(encoding="utf-8"))
    ring = drawn["features"][0]["geometry"]["coordinates"][0]
    x, y = ring[0]
    x -= 50 + beside
    box = [[x, y], [x + 50, y], [x + 50, y + 100], [x, y + 100], [x, y]]
    shape = {"type": "Polygon", "coordinates": [box]}
    drawn["features"].append({"type": "Feature", "properties": {"kind": "water", "hole": None}, "geometry": shape})
    file.write_text(json.dumps(drawn), encoding="utf-8")
    return type(folder)(folder.path, folder.drawing, folder.settings)


class TestKeepOff:
    def test_a_strip_beside_water(self, course):
        """4 m along 100 m of the first green; the pond touches it."""
        found = pond(course(soap(more='keep_off = { water = "4 m" }'), GREENS), 0)
        plan = only(estimate_spraying(found))
        assert plan.kept_m2 == pytest.approx(400, rel=1e-6)
        assert (plan.net_m2, plan.treated_m2) == pytest.approx((10_000, 9600), rel=1e-6)
        assert plan.products_m3["soap"] == pytest.approx(0.0096, rel=1e-6)

    def test_take_off_order_and_budget_use_the_same_area(self, course):
        found = pond(
            course(soap(more='keep_off = { water = "4 m" }', dead="5 l", when="months = [5]"), GREENS, YEAR), 0
        )
        year = estimate_year(found)
        plan = only(estimate_spraying(found))
        (need,) = (need for need in year.needs if need.resource == "material")
        assert need.treated_m2.sum() == pytest.approx(plan.treated_m2)
        amount = plan.products_m3["soap"]
        assert need.total == pytest.approx(amount)
        (order,) = orders_for(found)
        assert order.delivered_kg == pytest.approx(amount)
        assert sum(line.treated_m2 for line in order.lines) == pytest.approx(plan.treated_m2)
        table = year.table()
        assert table.loc[table["resource"] == "material", "quantity"].sum() == pytest.approx(amount)
        assert estimate_budget(year).by("material")

    def test_the_greater_of_job_and_label(self, course):
        label = 'label = { keep_off = { water = "6 m" } }'
        found = pond(course(soap(label=label, more='keep_off = { water = "4 m" }'), GREENS), 1)
        assert only(estimate_spraying(found)).kept_m2 == pytest.approx(500, rel=1e-6)

    def test_a_patch_that_is_swallowed_is_said_and_the_rest_planned(self, course):
        found = pond(course(soap(more='keep_off = { water = "60 m" }'), GREENS), 0)
        plan = only(estimate_spraying(found))
        assert [stop.patch for stop in plan.stops] == ["green-02"]
        assert any("leaves nothing of green-01" in said for said in plan.remarks)
        assert any("leaves nothing of green-01" in said for said in orders_for(found)[0].remarks)

    def test_what_is_drawn_to_be_kept_off(self, course, tmp_path):
        """A drain across the first green: 2 m to either side, and 3 m where the label says so."""
        layer = '[[layer]]\nfile = "drains.geojson"\nrole = "keep_off"\nlabel = "drain"\ndistance = "2 m"\n'
        for label, kept in (("", 400), ('label = { keep_off = { drain = "3 m" } }', 600)):
            found = course(layer + soap(label=label), GREENS)
            drawn = json.loads((found.path.parent / "areas.geojson").read_text(encoding="utf-8"))
            x, y = drawn["features"][0]["geometry"]["coordinates"][0][0]
            line = {"type": "LineString", "coordinates": [[x + 20, y - 10], [x + 20, y + 110]]}
            drains = {**drawn, "features": [{"type": "Feature", "properties": {}, "geometry": line}]}
            (found.path.parent / "drains.geojson").write_text(json.dumps(drains), encoding="utf-8")
            assert only(estimate_spraying(found)).kept_m2 == pytest.approx(kept, rel=1e-6)

    def test_nothing_drawn_is_said(self, course):
        plan = only(estimate_spraying(course(soap(more='keep_off = { water = "4 m" }'), GREENS)))
        assert any("No water is drawn" in said for said in plan.remarks)


class TestLabels:
    def labelled(self, course, label, when, **more):
        return estimate_spraying(course(soap(label=f"label = {{ {label} }}", when=when), GREENS, YEAR), **more)

    @pytest.mark.parametrize(
        ("label", "when", "what"),
        [
            ('most = "10 l/ha"', "months = [5]", None),
            ('most = "9.99 l/ha"', "months = [5]", "most"),
            ('most_a_year = "30 l/ha"', "months = { 4 = 1, 5 = 2 }", None),
            ('most_a_year = "29.9 l/ha"', "months = { 4 = 1, 5 = 2 }", "most_a_year"),
            ("times_a_year = 3", "months = { 4 = 1, 5 = 2 }", None),
            ("times_a_year = 2", "months = { 4 = 1, 5 = 2 }", "times_a_year"),
            ('interval = "14 days"', "dates = [2027-05-01, 2027-05-15]", None),
            ('interval = "14 days"', "dates = [2027-05-01, 2027-05-14]", "interval"),
            ('interval = "1 month"', "dates = [2027-05-01, 2027-06-01]", None),
            ('interval = "1 month"', "dates = [2027-05-01, 2027-05-31]", "interval"),
            ('interval = "15 days"', "months = { 5 = 3 }", None),
            ('interval = "16 days"', "months = { 5 = 3 }", "interval"),
            ('most_a_year = "20 l/ha"', "times = 2", None),
            ('most_a_year = "19 l/ha"', "times = 2", "most_a_year"),
        ],
    )
    def test_boundaries(self, course, label, when, what):
        found = self.labelled(course, label, when)
        assert [one.what for one in found.breaches] == ([what] if what else [])
        assert bool(found.plans) is (what is None)
        assert found.refused is (what is not None)

    def test_a_breach_says_what_and_where(self, course):
        (one,) = self.labelled(course, 'most = "8 l/ha"', "months = [4, 5]").breaches
        assert (one.material, one.jobs, one.patches) == ("soap", ("soap greens",), ("green-01", "green-02"))
        assert one.when == "2027-04 and 1 more time"
        assert (one.allowed, one.found) == pytest.approx((8e-7, 10e-7))

    def test_a_maximum_of_zero_stops_that_job_alone(self, course):
        more = '[material.iron]\nkind = "liquid"\n[[job]]\nname = "iron"\nwork = "spray"\non = ["green"]\n'
        more += 'rate = "5 l/ha"\nmaterial = "iron"\nmachine = "sprayer"'
        found = estimate_spraying(course(soap(label='label = { most = "0 l/ha" }', more=more), GREENS))
        assert found.forbidden == {"soap greens": ("soap",)}
        assert [plan.job.name for plan in found.plans] == ["iron"]
        assert found.breaches == ()

    def test_two_jobs_on_one_day_are_one_application(self, course):
        again = '[[job]]\nname = "again"\nwork = "spray"\non = ["green"]\nholes = [1]\nrate = "5 l/ha"\n'
        again += 'material = "soap"\nmachine = "sprayer"\ndates = [2027-05-01]'
        text = soap(label='label = { most = "12 l/ha" }', when="dates = [2027-05-01]", more=again)
        (one,) = estimate_spraying(course(text, GREENS, YEAR)).breaches
        assert one.patches == ("green-01",)
        assert set(one.jobs) == {"soap greens", "again"}
        assert one.found == pytest.approx(15e-7)

    def test_a_record_stands_in_place_of_the_plan(self, course):
        opened = course(soap(label='label = { most_a_year = "20 l/ha" }', when="months = [4, 5]"), GREENS, YEAR)
        done = Application("soap", "", date(2027, 4, 20), "2027-04", 1, np.array([12e-7, 0.0]), recorded=True)
        found = estimate_spraying(opened, recorded=[done])
        (one,) = found.breaches
        assert (one.what, one.patches, one.found) == ("most_a_year", ("green-01",), pytest.approx(22e-7))
        by_patch = {one.patch: one for one in found.ledger}
        assert by_patch["green-01"].done == pytest.approx(12e-7)
        assert by_patch["green-01"].planned == pytest.approx(10e-7)
        assert by_patch["green-02"].left == pytest.approx(10e-7)

    def test_every_time_of_the_programme_is_an_application(self, course):
        opened = course(soap(when="months = { 4 = 2, 6 = 1 }"), GREENS, YEAR)
        assert [one.times for one in planned_applications(opened)] == [2, 1]


class TestTime:
    def test_filling_tanks_takes_people_time(self, course):
        """Two tanks of 10 minutes; no yard is drawn, so no way to it."""
        with_wage = soap(when="months = [5]", more='[labour]\nwage = "20 EUR/h"')
        without = with_wage.replace('filling = "10 min"', "")
        hours = []
        for text in (with_wage, without):
            year = estimate_year(course(text, GREENS, YEAR))
            hours.append(sum(need.total for need in year.needs if need.resource == "labour"))
        assert hours[0] - hours[1] == pytest.approx(20 * 60)

    def test_filling_tanks_takes_time_on_the_board(self, course):
        with_filling = soap(when="dates = [2027-05-03]")
        minutes = []
        for text in (with_filling, with_filling.replace('filling = "10 min"', "")):
            tasks = day_due(course(text, GREENS, YEAR), date(2027, 5, 3)).day.tasks
            minutes.append(sum(stop.work["sprayer"] for task in tasks for stop in task.stops))
        assert minutes[0] - minutes[1] == pytest.approx(20)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (soap(more='keep_off = { watr = "4 m" }'), "no surface, and no layer to keep off, is called 'watr'"),
        (soap(dead="200 l"), "dead_volume is what never comes out"),
        (soap(more='mixed_with = { soap = "1 l/ha" }'), "'soap' is mixed with itself"),
        (soap(more='mixed_with = { sope = "1 l/ha" }'), "no material 'sope'; did you mean 'soap'"),
        (soap(more='spray_volume = "5 l/ha"'), "the products alone are more than that"),
        (soap().replace('volume = "400 l/ha"', 'volume = "4 l/ha"'), "more than the spray volume of 'sprayer'"),
        (soap().replace("mows = false", "mows = true"), "add mows = false"),
        (soap(label='label = { most = "-1 l/ha" }'), "is below zero"),
        (soap(label='label = { most = "10 kg/ha" }'), "not a volume over an area"),
        (soap(label="label = { dose = 3 }"), "dose"),
    ],
)
def test_settings_that_cannot_be_used(course, text, words):
    with pytest.raises(SettingsError, match=words):
        course(text, GREENS)


def test_jobs_that_are_not_there(course, words):
    with pytest.raises(SettingsError, match='no job has work = "spray"'):
        estimate_spraying(course(words.sand + words.dress))
    opened = course(soap(), GREENS)
    with pytest.raises(SettingsError, match="no spray job 'soap green'; did you mean 'soap greens'"):
        estimate_spraying(opened, names=["soap green"])
    with pytest.raises(SettingsError, match="no spray job is in the group 'x'"):
        estimate_spraying(opened, "x")
