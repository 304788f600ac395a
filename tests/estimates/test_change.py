"""
Why a budget changed: against brute force over all orders of substitution, and cases with one cause.

Prices and jobs are invented; what is checked is arithmetic: every total comes from a budget of its own.
"""

import itertools
import json

import pytest

from turfgis.errors import SettingsError
from turfgis.estimates.budget import estimate_budget
from turfgis.estimates.change import PARTS, estimate_change, shapley_parts
from turfgis.estimates.course import open_course
from turfgis.estimates.takeoff import estimate_year
from turfgis.settings.altered import altered_settings

HEAD = 'accuracy = "0 m"\nyear = 2027'
RECTANGLES = [("green", "1", 40.0, 100.0), ("fairway", "1", 100.0, 50.0)]
LARGER = [("green", "1", 44.0, 100.0), ("fairway", "1", 100.0, 50.0)]
TABLES = """
[material.sand]
kind = "sand"
bulk_density = "1.6 t/m3"
price = "{price} EUR/t"
[machine.mower]
width = "1 m"
speed = "{speed} km/h"
efficiency = "50 %"
on = ["green"]
cost = "9 EUR/h"
[labour]
wage = "20 EUR/h"
[[job]]
name = "dress"
work = "topdress"
on = ["green"]
depth = "{depth} mm"
material = "sand"
times = {times}
[[job]]
name = "cut"
work = "mow"
on = ["green"]
machine = "mower"
months = {{ 4 = 10, 5 = 20 }}
"""
OLD = {"price": 40, "speed": 3.6, "depth": 2, "times": 3}
BUY = """
[[job]]
name = "flags"
work = "purchase"
amount = "30 EUR"
count = 4
"""
CHARGES = """
[budget]
contingency = { "weather" = "5 %" }
taxes = { "value added tax" = "19 %" }
"""


@pytest.fixture
def year(course):
    def opening(rectangles=RECTANGLES, more="", **changed):
        return course(TABLES.format(**{**OLD, **changed}) + more, rectangles, HEAD)

    return opening


def total(course):
    return estimate_budget(estimate_year(course)).total


def test_parts_are_means_over_all_orders_of_substitution(year):
    # Each of 24 orders walks from the old year to the new; every stop on the way is a course and a budget of its own.
    changes = {
        "area": {"rectangles": LARGER},
        "rate": {"depth": 2.5, "speed": 5.4},
        "times": {"times": 4},
        "price": {"price": 48},
    }
    totals = {
        chosen: total(year(**{key: value for name in chosen for key, value in changes[name].items()}))
        for count in range(5)
        for chosen in map(frozenset, itertools.combinations(changes, count))
    }
    expected = dict.fromkeys(changes, 0.0)
    for order in itertools.permutations(changes):
        for at, name in enumerate(order):
            expected[name] += (totals[frozenset(order[: at + 1])] - totals[frozenset(order[:at])]) / 24
    change = estimate_change(year(), year(**{key: value for one in changes.values() for key, value in one.items()}))
    for name, money in expected.items():
        # five jobs and resources, each shown in whole cents
        assert change.parts[name] / 100 == pytest.approx(money, abs=0.05)
    assert change.parts["swapped"] == change.parts["new"] == change.parts["dropped"] == 0


def test_parts_of_a_product_that_is_none():
    # Quantities that no product gives, as of a machine that goes by area and edge; all 24 orders walked by hand.
    quantity, times, price = {(0, 0): 5.0, (0, 1): 3.0, (1, 0): 7.5, (1, 1): 3.5}, [3.0, 4.0], [20.0, 26.0]
    expected = [0.0] * 4
    for order in itertools.permutations(range(4)):
        state = [0] * 4
        for place in order:
            before = quantity[state[0], state[1]] * times[state[2]] * price[state[3]]
            state[place] = 1
            expected[place] += (quantity[state[0], state[1]] * times[state[2]] * price[state[3]] - before) / 24
    assert list(shapley_parts(quantity, times, price).values()) == pytest.approx(expected, rel=1e-12)


@pytest.mark.parametrize("price", [40.01, 41.37, 48.123])
def test_parts_add_up_to_the_last_cent(year, price):
    more = CHARGES + BUY
    old, new = year(more=more), year(LARGER, more, price=price, depth=2.3, times=7, speed=4.1)
    change = estimate_change(old, new)
    shown = [round(total(one) * 100) for one in (old, new)]
    assert sum(change.parts.values()) + sum(change.lines.values()) == shown[1] - shown[0] == change.difference


def test_nothing_changed_between_courses_that_are_the_same(year):
    change = estimate_change(year(more=CHARGES), year(more=CHARGES))
    assert change.difference == 0
    assert not any(change.parts.values())
    assert not any(change.lines.values())


@pytest.mark.parametrize(
    ("changed", "part"),
    [
        ({"price": 48}, "price"),
        ({"rectangles": LARGER}, "area"),
        ({"depth": 2.5}, "rate"),
        ({"speed": 5.4}, "rate"),
        ({"times": 4}, "times"),
    ],
)
def test_one_cause_has_all_of_the_change(year, changed, part):
    old, new = year(), year(**changed)
    change = estimate_change(old, new)
    assert change.parts == {**dict.fromkeys(PARTS, 0), part: round((total(new) - total(old)) * 100)}
    assert change.parts[part] != 0
    assert not any(change.lines.values())


def test_a_new_job_and_a_dropped_one(year):
    # Four times 30 EUR.
    more = estimate_change(year(), year(more=BUY))
    assert more.jobs["flags"] == {**dict.fromkeys(PARTS, 0), "new": 12000}
    less = estimate_change(year(more=BUY), year())
    assert less.jobs["flags"] == {**dict.fromkeys(PARTS, 0), "dropped": -12000}


def test_another_material_is_neither_price_nor_rate(year):
    # 4,000 m2 x 2 mm x 1.6 t/m3 x 3 = 38.4 t, at 40 EUR before and at 50 EUR of another sand: 1,536 and 1,920 EUR.
    other = '[material.other]\nkind = "sand"\nbulk_density = "1.6 t/m3"\nprice = "50 EUR/t"\n'
    old = year(more=other)
    change = estimate_change(old, old.with_settings(altered_settings(old.path, ['job.dress.material="other"'])))
    assert change.jobs["dress"] == {**dict.fromkeys(PARTS, 0), "swapped": 38400}


def test_stock_packs_and_taxes_have_lines_of_their_own(year):
    # Sand of 38.4 t: ten tonnes in the yard spare 400 EUR, two loads of 15 t bring 1.6 t too much, 64 EUR, and each
    # comes for 50 EUR. Contingency and tax change with the sum of these, -236 EUR.
    old = year(more=CHARGES)
    changes = ["material.sand.stock=10 t", "material.sand.load=15 t", "material.sand.delivery=50 EUR"]
    new = old.with_settings(altered_settings(old.path, changes))
    change = estimate_change(old, new)
    assert not any(change.parts.values())
    assert change.lines["stock used"] == -40000
    assert change.lines["whole packs and loads"] == 6400
    assert change.lines["delivery"] == 10000
    # 5 % of -236 EUR, and 19 % of -236 x 1.05
    assert change.lines["weather (contingency)"] == -1180
    assert change.lines["value added tax (tax)"] == pytest.approx(-236 * 1.05 * 19, abs=1)


def test_courses_in_different_money_are_refused(course):
    tables = '\n[[job]]\nname = "flags"\nwork = "purchase"\namount = "30 {}"\n'
    euros = course(tables.format("EUR"), head='currency = "EUR"')
    pounds = course(tables.format("GBP"), head='currency = "GBP"')
    with pytest.raises(SettingsError, match=r"counts in EUR and .* in GBP"):
        estimate_change(euros, pounds)


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ("material.snad.price=48 EUR/t", r"no material 'snad'; did you mean 'sand'\?"),
        ("job.dres.depth=1 mm", r"no job 'dres'; did you mean 'dress'\?"),
        ("job.dress.depht=1 mm", r"--set job.dress.depht: unknown key 'depht'.*did you mean 'depth'"),
        ("job.dress.depth=1 kg", r"--set job.dress.depth: "),
        ("material.sand.price=48 EUR/l", r"--set material.sand.price: "),
        ("wages=3", r"no key 'wages'"),
        ("labour.wage", r"write key=value"),
        ('layer.file="x"', r"say of which layer: layer.NAME.KEY \(there are: \"areas.geojson\"\)"),
        ("layer.aeras.accuracy=1 m", r"no layer 'aeras'"),
        ("layer.2.accuracy=1 m", r"no layer '2'"),
        ("layer.1.accuracy=1 kg", r"--set layer.1.accuracy: "),
        ("job.dress={ work = 'tops' }", r"--set job.dress.work: 'tops' is not known"),
        ("surface.heater.cut=4 mm", r"--set surface.heater: a surface of the club's own needs over"),
        ("surface.rough.cut=4 kg", r"--set surface.rough.cut: "),
        ("material.sand.price.more=1", r"holds no keys"),
    ],
)
def test_a_what_if_that_cannot_be_is_one_message(year, change, said):
    with pytest.raises(SettingsError, match=said) as caught:
        altered_settings(year().path, [change])
    assert "\n" not in str(caught.value)


def test_the_command_tries_a_price_and_leaves_the_file(year):
    from click.testing import CliRunner

    from turfgis.cli.change import command

    opened = year()
    text = opened.path.read_text(encoding="utf-8")
    done = CliRunner().invoke(command, [str(opened.path), "--set", "material.sand.price=48 EUR/t", "--format", "json"])
    assert done.exit_code == 0, done.output
    said = json.loads(done.stdout)
    # 38.4 t dearer by 8 EUR
    assert said["difference"] == said["parts"]["price"] == 307.20
    assert opened.path.read_text(encoding="utf-8") == text
    table = CliRunner().invoke(command, [str(opened.path), str(open_course(opened.path).path)])
    assert "Nothing changed." in table.stdout
