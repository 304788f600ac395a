"""
A year of two patches, worked by hand: a green of 4,000 m2 with an edge of 280 m, and a fairway of 5,000 m2.

Prices are invented; the arithmetic stands beside each figure.
"""

import pytest

from turfgis.estimates.budget import VIEWS, estimate_budget
from turfgis.estimates.orders import orders_for
from turfgis.estimates.takeoff import estimate_year

PATCHES = [("green", "1", 40.0, 100.0), ("fairway", "1", 100.0, 50.0)]
HEAD = 'accuracy = "0 m"\nyear = 2027'

MONEY = """
[labour]
wage = "20 EUR/h"
[budget]
contingency = { "weather" = "5 %" }
taxes = { "value added tax" = { share = "20 %", on = ["material", "purchase", "contractor"] } }
growth = "3 %"
"""
SAND = """
[material.sand]
kind = "sand"
bulk_density = "1.6 t/m3"
moisture = "5 %"
load = "2 t"
stock = "15 t"
price = "40 EUR/t"
delivery = "50 EUR"
cost_code = "4010"
"""
FEED = """
[material.feed]
kind = "fertiliser"
analysis = { N = "12 %" }
pack = "30 kg"
price = "24 EUR/pack"
cost_code = "4040"
"""
MOWER = """
[machine.mower]
width = "1 m"
speed = "3.6 km/h"
efficiency = "50 %"
on = ["green"]
cost = "9 EUR/h"
"""
# Sand: 4,000 m2 x 2 mm x 1.6 t/m3 x 1.05 = 13.44 t each time, 26.88 t in all. 15 t lie in the yard: they cover April
# whole and 1.56 t of September, so 11.88 t are bought, 475.20 EUR. Six loads of 2 t bring 12 t: 0.12 t too much,
# 4.80 EUR, and six deliveries, 300 EUR.
DRESS = """
[[job]]
name = "dress"
group = "spring"
work = "topdress"
on = ["green"]
depth = "2 mm"
material = "sand"
months = [4, 9]
"""
# Feed: 2.4 g/m2 / 12 % = 20 g/m2 on 5,000 m2 = 100 kg, twice: 200 kg at 0.80 EUR are 160 EUR. Seven packs of 30 kg for
# both (each by itself would take four): 10 kg too much, 8 EUR.
FEEDING = """
[[job]]
name = "feed"
group = "feeding"
work = "fertilise"
on = ["fairway"]
rate = "2.4 g/m2"
nutrient = "N"
material = "feed"
dates = [2027-04-10, 2027-06-10]
"""
# Mowing: 4,000 m2 / (1 m x 1 m/s x 50 %) + 280 m / 1 m/s = 8,280 s = 2.3 h a cut: 20.70 EUR of machine and 46 EUR of
# people; ten cuts in April, twenty in May.
CUT = """
[[job]]
name = "cut"
group = "mowing"
work = "mow"
on = ["green"]
machine = "mower"
months = { 4 = 10, 5 = 20 }
cost_code = "5010"
"""
HIRE = """
[[job]]
name = "drilling"
work = "contractor"
days = 1
price = "900 EUR/day"
dates = [2027-10-18]
"""
BUY = """
[[job]]
name = "flags"
work = "purchase"
amount = "30 EUR"
count = 4
"""
JOBS = (DRESS, FEEDING, CUT, HIRE, BUY)
TABLES = MONEY + SAND + FEED + MOWER

# month: net needs by resource and ordering; with 5 % contingency, and 20 % tax on materials and what is bought in
MONTHS = {
    # (80 + 8) x 1.05 x 1.20 = 110.88; (207 + 460) x 1.05 = 700.35
    "2027-04": ({"material": 80.0, "machine": 207.0, "labour": 460.0}, 8.0, 811.23),
    "2027-05": ({"machine": 414.0, "labour": 920.0}, 0.0, 1400.70),  # 1,334 x 1.05
    "2027-06": ({"material": 80.0}, 0.0, 100.80),  # 80 x 1.26
    "2027-09": ({"material": 475.20}, 304.80, 982.80),  # 780 x 1.26
    "2027-10": ({"contractor": 900.0}, 0.0, 1134.00),
    None: ({"purchase": 120.0}, 0.0, 151.20),
}
TOTAL = 4580.73  # 811.23 + 1,400.70 + 100.80 + 982.80 + 1,134.00 + 151.20

SUMS = {
    # 475.20 x 1.26 + 621 x 1.05 + 1,380 x 1.05; 160 x 1.26; (312.80 + 120 + 900) x 1.26
    "surface": {"green": 2699.802, "fairway": 201.60, None: 1679.328},
    # 780 x 1.26; 168 x 1.26; 621 x 1.05; 1,380 x 1.05
    "material": {
        "sand": 982.80,
        "feed": 211.68,
        "mower": 652.05,
        "labour": 1449.00,
        "drilling": 1134.00,
        "flags": 151.20,
    },
    "cost-code": {"4010": 982.80, "4040": 211.68, "5010": 2101.05, None: 1285.20},
    "group": {"spring": 982.80, "feeding": 211.68, "mowing": 2101.05, None: 1285.20},
    # orders belong to no single job: 312.80 x 1.26
    "job": {
        "dress": 598.752,
        "feed": 201.60,
        "cut": 2101.05,
        "drilling": 1134.00,
        "flags": 151.20,
        None: 394.128,
    },
    "resource": {"material": 1194.48, "machine": 652.05, "labour": 1449.00, "contractor": 1134.00, "purchase": 151.20},
}


def year(course, jobs=JOBS, tables=TABLES, patches=PATCHES, head=HEAD):
    return estimate_year(course(tables + "".join(jobs), patches, head))


@pytest.fixture
def budget(course):
    return estimate_budget(year(course))


def test_the_year_month_by_month(budget):
    rows = {row.name: row for row in budget.by("month")}
    assert list(rows) == list(MONTHS)
    for month, (needs, ordering, cost) in MONTHS.items():
        row = rows[month]
        assert {name: money for name, money in row.resources.items() if money} == pytest.approx(needs, rel=1e-7)
        assert row.ordering == pytest.approx(ordering, abs=1e-4)
        assert row.cost == pytest.approx(cost, rel=1e-7)
        assert row.contingency == pytest.approx(0.05 * (sum(needs.values()) + ordering), rel=1e-7)
        assert row.cost == pytest.approx(sum(needs.values()) + ordering + row.contingency + row.taxes, rel=1e-7)


@pytest.mark.parametrize("view", SUMS)
def test_the_year_in_other_views(budget, view):
    assert {row.name: row.cost for row in budget.by(view)} == pytest.approx(SUMS[view], rel=1e-7)


def test_the_total_and_its_lines(budget):
    assert budget.total == pytest.approx(TOTAL, rel=1e-7)
    # needs 475.20 + 160 + 621 + 1,380 + 900 + 120; what orders add
    assert budget.net == pytest.approx(3656.20, rel=1e-7)
    assert (budget.rounding, budget.minimum, budget.delivery) == pytest.approx((12.80, 0, 300), abs=1e-4)
    # 5 % of 3,969; 20 % of (475.20 + 160 + 312.80 + 120 + 900) x 1.05
    assert budget.contingency == {"weather": pytest.approx(198.45, rel=1e-7)}
    assert budget.taxes == {"value added tax": pytest.approx(413.28, rel=1e-7)}
    assert budget.stock_value == pytest.approx(600.0, rel=1e-7)  # 15 t
    assert budget.u == pytest.approx(0, abs=1e-9)
    assert budget.unpriced == ()


@pytest.mark.parametrize("view", VIEWS)
def test_every_view_adds_up_to_the_total(budget, view):
    assert sum(row.cost for row in budget.by(view)) == pytest.approx(budget.total, rel=1e-12)


def test_materials_and_orders(budget):
    rows = {row.material: row for row in budget.materials}
    sand, feed, flags = rows["sand"], rows["feed"], rows["flags"]
    assert (sand.unit, sand.packs, feed.unit, feed.packs) == ("kg", 6, "kg", 7)
    amounts = (sand.needed, sand.from_stock, sand.to_order, sand.delivered)
    assert amounts == pytest.approx((26_880, 15_000, 11_880, 12_000), rel=1e-7)
    assert (feed.needed, feed.delivered) == pytest.approx((200, 210), rel=1e-7)
    assert (flags.unit, flags.needed, flags.packs, flags.cost) == ("count", 4, None, pytest.approx(151.20))
    assert [(one.material, one.group, one.month) for one in budget.orders] == [
        ("sand", "spring", "2027-09"),
        ("feed", "feeding", "2027-04"),
    ]


def test_the_years_ahead_have_no_stock_and_grown_prices(budget):
    # 26.88 t take 14 loads: 28 t for 1,120 and 700 for delivery, 1,820 in place of 780: 1,040 x 1.26 = 1,310.40 more
    later = TOTAL + 1310.40
    assert [year for year, _, _ in budget.years] == [2027, 2028, 2029]
    assert [cost for _, cost, _ in budget.years] == pytest.approx([TOTAL, later * 1.03, later * 1.0609], rel=1e-7)


def test_the_table_of_all_costs_adds_up(budget):
    table = budget.table()
    assert table["cost"].sum() == pytest.approx(TOTAL, rel=1e-7)
    by_month = {month: rows["cost"].sum() for month, rows in table.groupby("month", dropna=False)}
    assert by_month["2027-09"] == pytest.approx(982.80, rel=1e-7)
    by_what = table.groupby("what")["net"].sum().to_dict()
    assert by_what == pytest.approx({"need": 3656.20, "rounding": 12.80, "delivery": 300.0}, rel=1e-6)


def test_the_takeoff_has_a_row_for_each_job_day_patch_and_resource(course):
    table = year(course).table()
    found = list(zip(table["job"], table["date"].astype(object), table["month"].astype(object), strict=True))
    assert found == [
        ("dress", pytest.approx(float("nan"), nan_ok=True), "2027-04"),
        ("dress", pytest.approx(float("nan"), nan_ok=True), "2027-09"),
        ("feed", "2027-04-10", "2027-04"),
        ("feed", "2027-06-10", "2027-06"),
        *(("cut", pytest.approx(float("nan"), nan_ok=True), month) for month in ("2027-04", "2027-05") * 2),
        ("drilling", "2027-10-18", "2027-10"),
        ("flags", pytest.approx(float("nan"), nan_ok=True), pytest.approx(float("nan"), nan_ok=True)),
    ]
    assert table["quantity"].tolist() == pytest.approx(
        [13_440, 13_440, 100, 100, 82_800, 165_600, 82_800, 165_600, 1, 4], rel=1e-6
    )
    assert table["cost"].tolist() == pytest.approx([537.60, 537.60, 80, 80, 207, 414, 460, 920, 900, 120], rel=1e-6)
    codes = table["cost_code"].astype(object).tolist()
    assert codes[:4] == ["4010", "4010", "4040", "4040"]
    assert codes[4:8] == ["5010"] * 4


def test_products_are_ground_times_rate_times_price(course):
    rows = year(course).products().set_index(["job", "resource"])
    dress = rows.loc[("dress", "material")]
    assert (dress["ground"], dress["rate"], dress["times"], dress["price"]) == pytest.approx(
        (4000, 3.36, 2, 0.04), rel=1e-7
    )
    assert dress["cost"] == pytest.approx(1075.20, rel=1e-7)
    assert rows.loc[("cut", "labour"), "cost"] == pytest.approx(1380, rel=1e-6)


def test_another_price_alone(course):
    takeoff = year(course)
    before = estimate_budget(takeoff)
    sand = takeoff.settings.material["sand"]
    dearer = sand.model_copy(update={"price": sand.price.model_copy(update={"per_si": 0.050})})
    settings = takeoff.settings.model_copy(update={"material": {**takeoff.settings.material, "sand": dearer}})
    after = estimate_budget(takeoff, settings)
    assert after.total - before.total == pytest.approx(12 * 10 * 1.26, rel=1e-6)  # 12 t come, 10 EUR more each
    assert estimate_budget(takeoff).total == before.total


def test_the_least_that_a_supplier_brings(course):
    tables = TABLES.replace('delivery = "50 EUR"', 'delivery = "50 EUR"\nminimum = "20 t"')
    budget = estimate_budget(year(course, tables=tables))
    # ten loads in place of six: 8 t more, 320 EUR, and four more deliveries
    assert (budget.rounding, budget.minimum, budget.delivery) == pytest.approx((12.80, 320, 500), abs=1e-4)
    assert budget.orders[0].units == 10
    (order,) = orders_for(course(tables + DRESS, PATCHES, HEAD), "spring")
    assert "at least 20.00 t in one order, and this is 12.00 t" in order.remarks[-1]


def test_what_has_no_price_is_said_and_left_out(course):
    tables = TABLES.replace('price = "40 EUR/t"\n', "").replace('wage = "20 EUR/h"', 'wage = "0 EUR/h"')
    budget = estimate_budget(year(course, tables=tables.replace('cost = "9 EUR/h"\n', "")))
    assert budget.unpriced == ("material sand", "machine mower")
    assert {row.name for row in budget.by("material")} == {"sand", "feed", "drilling", "flags"}  # sand: its delivery


def test_stock_that_lasts(course):
    budget = estimate_budget(year(course, tables=TABLES.replace("15 t", "40 t")))
    sand = budget.orders[0]
    assert (sand.material, sand.units, sand.to_order) == ("sand", 0, 0.0)
    assert budget.total == pytest.approx(TOTAL - 982.80, rel=1e-7)
    rows = {row.material: row for row in budget.materials}
    assert rows["sand"].from_stock == pytest.approx(26_880, rel=1e-7)


def test_stock_is_shared_by_groups_in_order_of_time(course):
    # autumn stands first in the file, but spring comes first: it has 13.44 t of the 15 t, autumn 1.56 t
    autumn = DRESS.replace('"dress"', '"late"').replace('"spring"', '"autumn"').replace("[4, 9]", "[9]")
    opened = course(TABLES + autumn + DRESS.replace("[4, 9]", "[4]"), PATCHES, HEAD)
    budget = estimate_budget(estimate_year(opened))
    found = {one.group: (one.from_stock, one.to_order, one.units) for one in budget.orders}
    assert found["spring"] == pytest.approx((13_440, 0, 0), rel=1e-7)
    assert found["autumn"] == pytest.approx((1560, 11_880, 6), rel=1e-7)
    # and the orders say the same
    (spring,), (late,) = orders_for(opened, "spring"), orders_for(opened, "autumn")
    assert (spring.stock_kg, spring.units) == (pytest.approx(15_000), 0)
    assert (late.stock_kg, late.to_order_kg, late.units) == (pytest.approx(1560), pytest.approx(11_880), 6)
    # one order for all counts it once
    (both,) = orders_for(opened)
    assert (both.stock_kg, both.to_order_kg) == (15_000, pytest.approx(11_880))


def test_without_jobs_nothing_is_spent(course):
    budget = estimate_budget(year(course, jobs=()))
    assert (budget.total, budget.u, budget.materials, budget.by("month")) == (0, 0, (), ())
