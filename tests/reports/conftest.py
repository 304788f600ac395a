"""An invented course and orders for it, with figures a pencil can follow."""

import json

import pandas as pd
import pytest

from turfgis.estimates.budget import estimate_budget
from turfgis.estimates.course import open_course
from turfgis.estimates.order import Driver, LoadChoice, Nutrient, Order, OrderLine, Step
from turfgis.estimates.takeoff import estimate_year
from turfgis.reports.facts import Facts


def patch_row(patch, surface, hole, net, own, bias, group, **more):
    """One patch; the plus-minus of a single patch is 1.96 times the root of both parts squared."""
    row = {
        **{"patch": patch, "surface": surface, "hole": hole, "name": f"{hole} {surface}", "drawn_m2": net},
        **{"net_m2": net, "plus_minus_m2": 1.96 * (own**2 + bias**2) ** 0.5},
        **{"u_own_m2": own, "u_bias_m2": bias, "bias_group": group},
        **{"perimeter_m": 80.0, "cut_mm": None, "surveyed": None, "source": f"areas.gpkg | {surface}s | {patch}"},
    }
    return row | more


@pytest.fixture
def patches():
    """Five patches: two greens and a practice green of one layer, a tee, and a path that belongs to no hole."""
    day = "2026-03-14"
    return pd.DataFrame(
        [
            patch_row("green-10", "green", "10", 600.0, 4.0, 5.0, "greens", drawn_m2=610.0, cut_mm=4.0, surveyed=day),
            patch_row("tee-02", "tee", "2", 200.0, 2.0, 0.0, "tees", cut_mm=10.0, surveyed="2025-11-02"),
            patch_row("green-02", "green", "2", 500.0, 3.0, 6.0, "greens", cut_mm=4.0, surveyed=day),
            patch_row("green-practice", "green", "practice", 400.0, 0.0, 1.0, "greens", cut_mm=5.0, surveyed=day),
            patch_row("path-01", "path", None, 900.0, 0.0, 0.0, None),
        ]
    )


@pytest.fixture
def facts():
    return Facts(
        name="Invented Links",
        currency="EUR",
        surveyed="14 March 2026",
        accuracy_note="Edges are drawn to 0.3 m (standard deviation); net areas are given with their 95 % interval.",
        cautions=("Keep clear of the railway bank on 7.",),
    )


def sand_order(greens):
    """2 mm of sand at 1,500 kg/m3, spread 10 % wider than the green, 4 % moisture: 3.3 and 3.432 kg per net m2."""
    lines = tuple(
        OrderLine(f"green-{hole}", "green", hole, net, net * 1.1, net * 3.3, net * 3.432, net * 0.0022)
        for hole, net in greens.items()
    )
    dry, delivered = sum(line.dry_kg for line in lines), sum(line.delivered_kg for line in lines)
    loads = round(delivered / 20_000)
    choices = ((loads - 1, 0.97), (loads, 0.104), (loads + 1, 0.0042), (loads + 2, 0.0))
    return Order(
        group="renovation",
        material="dressing_sand",
        kind="sand",
        jobs=("dress greens",),
        lines=lines,
        dry_kg=dry,
        delivered_kg=delivered,
        u_kg=delivered * 0.05,
        stock_kg=2_000.0,
        to_order_kg=delivered - 2_000.0,
        unit_kg=20_000.0,
        units=loads + 1,
        loads=tuple(LoadChoice(count, count * 20.0, chance) for count, chance in choices if count > 0),
        risk=0.1,
        drivers=(Driver("depth of the dressing", 0.78), Driver("bulk density", 0.14), Driver("areas", 0.08)),
        method="moments of the sum, normal distribution",
        cores_m3=1.25,
        cost=(loads + 1) * 840.0,
        currency="EUR",
        moisture="4 % of the dry weight",
        surveyed="14 March 2026",
        remarks=("No spread was given for moisture; it is taken as exact.",),
        working=(
            Step(
                "Net area of the greens",
                "sum of the net areas",
                " + ".join(f"{net:,.0f}" for net in greens.values()) + " m2",
                f"{sum(greens.values()):,.0f} m2",
                "drawn layers, each square metre counted once",
            ),
            Step(
                "Sand for the dressing, dry",
                "treated area x depth x bulk density",
                f"{sum(greens.values()) * 1.1:,.1f} m2 x 0.002 m x 1,500 kg/m3",
                f"{dry / 1000:,.3f} t",
                "plain geometry",
            ),
            Step("As delivered", "dry x (1 + moisture)", f"{dry / 1000:,.3f} t x 1.04", f"{delivered / 1000:,.3f} t"),
        ),
    )


@pytest.fixture
def small_order():
    """Two greens of 500 and 600 m2, and the practice green of 400 m2: 4.95 t dry, 5.148 t delivered."""
    order = sand_order({"10": 600.0, "2": 500.0, "practice": 400.0})
    return order


@pytest.fixture
def course_order():
    """Eighteen greens and the practice green, 350 to 700 m2."""
    greens = {str(hole): 350.0 + (hole * 137) % 351 for hole in range(1, 19)}
    return sand_order({**greens, "practice": 655.0})


@pytest.fixture
def feed_order():
    """Two greens, 20 g/m2 of a 12-4-8 feed over 1,210 m2 treated: 24.2 kg, two packs of 20 kg."""
    return Order(
        group="spring",
        material="spring_feed",
        kind="fertiliser",
        jobs=("first feed",),
        lines=(
            OrderLine("green-02", "green", "2", 500.0, 550.0, 11.0, 11.0),
            OrderLine("green-10", "green", "10", 600.0, 660.0, 13.2, 13.2),
        ),
        dry_kg=24.2,
        delivered_kg=24.2,
        u_kg=0.9,
        stock_kg=0.0,
        to_order_kg=24.2,
        unit_kg=20.0,
        units=2,
        nutrients=(Nutrient("N", 2.904, 26.4, 24.0), Nutrient("P2O5", 0.968, 8.8, 8.0)),
        cost=48.0,
        currency="EUR",
        surveyed="14 March 2026",
        working=(Step("Feed", "area x rate", "1,210 m2 x 0.020 kg/m2", "24.2 kg", "common practice, no source"),),
    )


YEAR = """
name = "Invented Links"
currency = "EUR"
accuracy = "0 m"
year = 2027
[[layer]]
file = "green.geojson"
crs = "EPSG:3035"
surface = "green"
[labour]
wage = "20 EUR/h"
[budget]
taxes = { "value added tax" = { share = "20 %", on = ["material", "purchase"] } }
growth = "3 %"
[material.sand]
kind = "sand"
bulk_density = "1.6 t/m3"
price = "40 EUR/t"    # the offer of March
supplier = "=1+1"
cost_code = "@4010"
[[job]]
name = "-dress"
group = "spring"
work = "topdress"
on = ["green"]
depth = "2 mm ± 10 %"
material = "sand"
crew_hours = "6 h"
months = [4, 9]
[[job]]
name = "flags"
work = "purchase"
amount = "30 EUR"
count = 4
"""


@pytest.fixture
def plain_course(tmp_path):
    """A green of 40 m by 100 m, in a system that keeps areas, and a year of two jobs; texts of it may be replaced."""

    def made(changed=None, more=""):
        text = YEAR + more
        for old, new in (changed or {}).items():
            assert old in text
            text = text.replace(old, new)
        east, north = 4_321_500.0, 3_210_500.0
        ring = [[east + x, north + y] for x, y in ((0, 0), (40, 0), (40, 100), (0, 100), (0, 0))]
        shape = {"type": "Feature", "properties": {}, "geometry": {"type": "Polygon", "coordinates": [ring]}}
        (tmp_path / "course.toml").write_text(text, encoding="utf-8")
        (tmp_path / "green.geojson").write_text(json.dumps({"type": "FeatureCollection", "features": [shape]}))
        return open_course(tmp_path)

    return made


@pytest.fixture
def plain_year(plain_course):
    """Budget and take-off of the plain course."""

    def made(changed=None, more=""):
        takeoff = estimate_year(plain_course(changed, more))
        return estimate_budget(takeoff), takeoff

    return made
