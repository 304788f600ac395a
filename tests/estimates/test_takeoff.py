"""The take-off: what every job needs on every patch. Sums of it are the orders, by pencil on rectangles."""

from math import sqrt

import pandas as pd
import pytest

from turfgis.estimates.orders import orders_for
from turfgis.estimates.takeoff import COLUMNS, estimate_takeoff

MOWER = """
[machine.mower]
width = "1 m"
speed = "3.6 km/h"
efficiency = "50 %"
on = ["green"]
[[job]]
name = "cut"
work = "mow"
on = ["green"]
holes = ["2"]
machine = "mower"
times = 4
"""


@pytest.fixture
def everything(course, words):
    sand = words.sand + 'moisture = "5 %"\nload = "2 t"\nprice = "42 EUR/t"\n'
    seed = words.seed + 'pack = "10 kg"\nprice = "190 EUR/pack"\n'
    core = words.core + 'fill = { low = "75 %", likely = "92 %", high = "100 %" }\n'
    dress = words.dress.replace("2 mm", "2 mm ± 12 %") + 'overthrow = "0.6 m"\ntimes = 2\n'
    tables = sand + seed + words.feed + core + dress + words.sow + words.feeding + MOWER
    return course(tables, head='accuracy = "0.3 m"\nedge_bias = "0.1 m"')


def test_one_row_for_each_job_and_patch(everything):
    table = estimate_takeoff(everything)
    assert tuple(table.columns) == COLUMNS
    assert list(zip(table["job"], table["patch"], strict=True)) == [
        *((job, patch) for job in ("core", "dress", "sow", "feed") for patch in ("green-01", "green-02")),
        ("cut", "green-02"),
    ]
    assert table["net_m2"].tolist() == pytest.approx([4000, 6000] * 4 + [6000], rel=1e-8)
    assert (table["treated_m2"] >= table["net_m2"] * (1 - 1e-12)).all()


def test_sums_of_the_takeoff_are_the_orders(everything):
    table = estimate_takeoff(everything)
    for order in orders_for(everything):
        rows = table[(table["resource"] == "material") & (table["material"] == order.material)]
        assert set(rows["unit"]) == {"kg"}
        assert rows["quantity"].sum() == pytest.approx(order.delivered_kg, rel=1e-12)
        by_patch = rows.groupby("patch")["quantity"].sum()
        assert by_patch.to_dict() == pytest.approx({line.patch: line.delivered_kg for line in order.lines}, rel=1e-12)


def test_lines_of_an_order_add_up_to_its_totals(everything):
    for order in orders_for(everything):
        assert sum(line.delivered_kg for line in order.lines) == pytest.approx(order.delivered_kg, rel=1e-12)
        assert sum(line.dry_kg for line in order.lines) == pytest.approx(order.dry_kg, rel=1e-12)
        assert sum(driver.share for driver in order.drivers) == pytest.approx(1)


def test_cost_by_the_weight_and_by_the_pack(everything):
    table = estimate_takeoff(everything).set_index(["job", "patch"])
    # 42 EUR/t; 190 EUR for 10 kg; no price
    assert table.loc[("core", "green-01"), "cost"] == pytest.approx(
        0.042 * table.loc[("core", "green-01"), "quantity"], rel=1e-12
    )
    assert table.loc[("sow", "green-02"), "cost"] == pytest.approx(19 * 8 * 6 / (0.98 * 0.85), rel=1e-8)
    assert pd.isna(table.loc[("feed", "green-01"), "cost"])


def test_machine_time_of_a_job(everything):
    (row,) = estimate_takeoff(everything).query("resource == 'machine'").to_dict("records")
    # 6,000 m2 / (1 m x 1 m/s x 0.5) + 320 m / 1 m/s = 12,320 s, four times
    assert (row["unit"], row["material"], row["patch"]) == ("s", "mower", "green-02")
    assert row["quantity"] == pytest.approx(4 * 12_320, rel=1e-6)
    assert pd.isna(row["cost"])


def test_uncertainty_of_a_row_by_itself(everything):
    # sowing has no spread but that of the area: 0.3 m and 0.1 m of a 280 m edge
    row = estimate_takeoff(everything).set_index(["job", "patch"]).loc[("sow", "green-01")]
    assert row["u_quantity"] / row["quantity"] == pytest.approx(sqrt(0.3**2 + 0.1**2) * 280 / 4000, rel=1e-6)
    # dressing: 12 % on top of it, on ground that reaches 0.6 m further
    row = estimate_takeoff(everything).set_index(["job", "patch"]).loc[("dress", "green-01")]
    area = sqrt(0.3**2 + 0.1**2) * 280 / row["treated_m2"]
    assert row["u_quantity"] / row["quantity"] == pytest.approx(sqrt(0.12**2 + area**2 * (1 + 0.12**2)), rel=1e-6)


def test_without_jobs_it_is_empty_but_has_its_columns(course, words):
    table = estimate_takeoff(course(words.sand))
    assert tuple(table.columns) == COLUMNS
    assert table.empty


def test_holes_without_sand_need_nothing(course, words):
    table = estimate_takeoff(course(words.sand + words.core.replace('material = "sand"\n', "")))
    assert table.empty
