"""
One order a supplier, from a year worked by hand: a green of 4,000 m2, dressed three times, fed and patched twice.

Prices and times are invented; the arithmetic stands beside each figure.
"""

from datetime import date

import pytest

from turfgis.errors import SettingsError
from turfgis.estimates.budget import estimate_budget
from turfgis.estimates.suppliers import supplier_orders
from turfgis.estimates.takeoff import estimate_year
from turfgis.reports.suppliers import order_remarks

PATCHES = [("green", "1", 40.0, 100.0)]
HEAD = 'accuracy = "0 m"\nyear = 2027'
# 4,000 m2 x 2 mm x 1.6 t/m3 x 1.05 = 13.44 t each time, 40.32 t in all: 21 loads of 2 t, 42 t, 1,680 EUR, and 21
# deliveries, 1,050 EUR.
SAND = """
[material.sand]
kind = "sand"
bulk_density = "1.6 t/m3"
moisture = "5 %"
load = "2 t"
price = "40 EUR/t"
delivery = "50 EUR"
supplier = "the quarry"
specification = ["washed"]
MORE
[[job]]
name = "dress"
group = "spring"
work = "topdress"
on = ["green"]
depth = "2 mm"
material = "sand"
months = [4, 6, 9]
"""
# 2.4 g/m2 / 12 % = 20 g/m2 on 4,000 m2 = 80 kg, twice: 160 kg in six packs of 30 kg, 144 EUR.
FEED = """
[material.feed]
kind = "fertiliser"
analysis = { N = "12 %" }
pack = "30 kg"
price = "24 EUR/pack"
supplier = "the merchant"
[[job]]
name = "feed"
group = "feeding"
work = "fertilise"
on = ["green"]
rate = "2.4 g/m2"
nutrient = "N"
material = "feed"
dates = [2027-04-10, 2027-06-10]
"""
# 30 m2 and a tenth are 33 m2 a time, 66 m2 in all: seven packs of 10 m2. On the first day four have to come, on the
# second the other three.
TURF = """
[material.turf]
kind = "turf"
pack = "10 m2"
price = "5 EUR/m2"
delivery = "60 EUR"
supplier = "the merchant"
[[job]]
name = "patch"
work = "repair_turf"
on = ["green"]
area = "30 m2"
trim = "10 %"
material = "turf"
dates = [2027-03-10, 2027-05-10]
"""
MONEY = """
[budget]
contingency = { "weather" = "5 %" }
taxes = { "value added tax" = { share = "20 %", on = ["material"] }, "on people" = { share = "7 %", on = ["labour"] } }
"""


@pytest.fixture
def orders(course):
    """All orders of a year, by supplier."""

    def made(tables, name=None, group=None):
        budget = estimate_budget(estimate_year(course(tables, rectangles=PATCHES, head=HEAD)))
        return {one.name: one for one in supplier_orders(budget, name, group)}, budget

    return made


def units(line):
    return [drop.units for drop in line.drops]


@pytest.mark.parametrize(
    ("bay", "loads", "beyond"),
    [
        # all at once: nobody said that room is short
        ("", [21], [0]),
        # 10 loads fill the bay, 6.56 t stay; 6 loads fit on them, 5.12 t stay; the last five follow
        ("20 t", [10, 6, 5], [0, 0, 0]),
        # each dressing takes more than the bay holds: 7 loads each, 14 t, then 14.56 t and 15.12 t lie there
        ("10 t", [7, 7, 7], [4000, 4560, 5120]),
    ],
)
def test_sand_comes_as_there_is_room(orders, bay, loads, beyond):
    made, _ = orders(SAND.replace("MORE", f'bay = "{bay}"' if bay else ""))
    (line,) = made["the quarry"].lines
    assert units(line) == loads
    assert [drop.beyond_bay for drop in line.drops] == pytest.approx(beyond, abs=1e-3)
    assert [drop.work for drop in line.drops] == ["2027-04", "2027-06", "2027-09"][: len(loads)]
    assert line.bought.needed == pytest.approx(40_320, rel=1e-9)
    assert (line.goods, line.delivery) == pytest.approx((1680, 1050), rel=1e-9)
    assert made["the quarry"].cost == pytest.approx(2730, rel=1e-9)


@pytest.mark.parametrize("bay", ["2 t", "4 t", "7 t", "14 t", "16 t", "30 t", "60 t"])
@pytest.mark.parametrize("stock", ["0 t", "9 t", "15 t"])
def test_the_ground_never_waits_for_sand(orders, bay, stock):
    # what has come by each month, with the stock, covers what has been used by then; all loads come in the end
    made, _ = orders(SAND.replace("MORE", f'bay = "{bay}"\nstock = "{stock}"'))
    (line,) = made["the quarry"].lines
    for at, month in enumerate(("2027-04", "2027-06", "2027-09"), start=1):
        come = sum(drop.amount for drop in line.drops if drop.work <= month)
        assert come + 1000 * float(stock.split()[0]) >= 13_440 * at - 1e-6
    assert sum(units(line)) == line.bought.units
    assert sum(drop.amount for drop in line.drops) == pytest.approx(line.bought.delivered, rel=1e-12)


def test_days_before_the_work(orders):
    # work in April, from the 1st: three days before is 29 March, two weeks before that is 15 March
    told = '[supplier."the quarry"]\nlead = "2 weeks"\ndeliver_before = "3 days"\naccount = "17"\n'
    made, _ = orders(SAND.replace("MORE", "") + told)
    order = made["the quarry"]
    (drop,) = order.lines[0].drops
    assert (drop.wanted, drop.order_by) == (date(2027, 3, 29), date(2027, 3, 15))
    assert (order.order_by, order.supplier.account) == (date(2027, 3, 15), "17")


def test_the_times_of_a_material_come_before_those_of_its_supplier(orders):
    told = '[supplier."the quarry"]\nlead = "2 weeks"\ndeliver_before = "3 days"\n'
    made, _ = orders(SAND.replace("MORE", 'lead = "1 month"\ndeliver_before = "1 day"') + told)
    (drop,) = made["the quarry"].lines[0].drops
    # the day before 1 April is the 31st, a month before that the last of February
    assert (drop.wanted, drop.order_by) == (date(2027, 3, 31), date(2027, 2, 28))


def test_turf_comes_each_time_and_feed_at_once(orders):
    made, _ = orders(FEED + TURF)
    feed, turf = made["the merchant"].lines
    assert (units(feed), feed.drops[0].wanted) == ([6], date(2027, 4, 10))
    assert [(drop.wanted, drop.units) for drop in turf.drops] == [(date(2027, 3, 10), 4), (date(2027, 5, 10), 3)]
    assert feed.drops[0].order_by is None
    assert made["the merchant"].cost == pytest.approx(144 + 350 + 60, rel=1e-9)


def test_what_single_deliveries_bring_up_is_remarked(orders):
    made, budget = orders(FEED + TURF)
    said = order_remarks(made["the merchant"], budget.costs.settings, "metric")
    assert said == ["Turf: comes on 2 days, one delivery is counted, as in the budget: agree on the rest."]
    made, budget = orders(SAND.replace("MORE", 'bay = "20 t"\nminimum = "12 t"'))
    said = order_remarks(made["the quarry"], budget.costs.settings, "metric")
    # the last of 20, 12 and 10 t
    assert "Sand: some deliveries are below the 12 t that are brought at least: agree on them." in said


def test_work_without_a_date(orders):
    made, _ = orders(SAND.replace("MORE", "").replace("months = [4, 6, 9]", "times = 3"))
    (drop,) = made["the quarry"].lines[0].drops
    assert (drop.wanted, drop.order_by, drop.work, drop.units) == (None, None, None, 21)


def test_stock_comes_first(orders):
    # 15 t cover April and 1.56 t of June: 25.32 t are bought, 13 loads, from June on
    made, _ = orders(SAND.replace("MORE", 'stock = "15 t"'))
    (line,) = made["the quarry"].lines
    assert line.bought.from_stock == pytest.approx(15_000, rel=1e-9)
    assert [(drop.work, drop.units) for drop in line.drops] == [("2027-06", 13)]


def test_what_the_yard_has_is_not_ordered(orders):
    made, _ = orders(SAND.replace("MORE", 'stock = "50 t"'))
    order = made["the quarry"]
    assert (order.lines, order.cost) == ((), 0)
    assert [one.material for one in order.from_stock] == ["sand"]


def test_the_orders_add_up_to_the_budget(orders):
    made, budget = orders(SAND.replace("MORE", 'stock = "9 t"\nbay = "16 t"') + FEED + TURF + MONEY)
    material = next(row for row in budget.by("resource") if row.name == "material")
    assert sum(one.cost for one in made.values()) == pytest.approx(material.resources["material"] + material.ordering)
    assert sum(one.budgeted for one in made.values()) == pytest.approx(material.cost, rel=1e-12)
    for name, order in made.items():
        rows = [row for row in budget.materials if row.supplier == name]
        assert order.budgeted == pytest.approx(sum(row.cost for row in rows), rel=1e-12)
    # by hand: 31.32 t in 16 loads at 40 EUR/t and 50 EUR, 144 EUR of feed, 350 and 60 EUR of turf; 5 %, then 20 %
    assert sum(one.cost for one in made.values()) == pytest.approx(1280 + 800 + 144 + 410, rel=1e-9)
    assert sum(one.budgeted for one in made.values()) == pytest.approx(2634 * 1.05 * 1.20, rel=1e-9)
    assert made["the quarry"].taxes == {"value added tax": 0.2}


def test_materials_without_a_supplier_come_last(orders):
    made, _ = orders(SAND.replace("MORE", "").replace('supplier = "the quarry"\n', "") + FEED)
    assert list(made) == ["the merchant", ""]


def test_one_supplier_or_one_group(orders):
    tables = SAND.replace("MORE", "") + FEED + TURF
    assert list(orders(tables, "the merchant")[0]) == ["the merchant"]
    made, _ = orders(tables, None, "feeding")
    assert [line.bought.material for line in made["the merchant"].lines] == ["feed"]


@pytest.mark.parametrize(
    ("name", "group", "words"),
    [
        ("the query", None, "no material has the supplier 'the query'; did you mean 'the quarry'?"),
        (None, "sprin", "no job of the group 'sprin' takes a material; did you mean 'spring'?"),
        ("the quarry", "feeding", "no job of the group 'feeding' takes anything that 'the quarry' brings"),
    ],
)
def test_who_is_not_there(orders, name, group, words):
    with pytest.raises(SettingsError) as refused:
        orders(SAND.replace("MORE", "") + FEED, name, group)
    assert words in str(refused.value)
