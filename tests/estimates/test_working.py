"""
The working of an order, repeated with a pencil: every step is read as it is printed, and worked out again from it.

What a unit is worth is typed here anew, from the definitions of the units; nothing of the program is used.
"""

import re
from math import ceil, erfc, exp, pi, sqrt

import pytest

from turfgis.estimates.orders import orders_for

INCH, FOOT, POUND = 0.0254, 0.3048, 0.45359237
UNITS = {
    "lb/1000 ft2": POUND / (1000 * FOOT**2),
    "kg/ha": 1e-4,
    "lb/acre": POUND / (43_560 * FOOT**2),
    "lb/ft3": POUND / FOOT**3,
    "US ton": 2000 * POUND,
    "t/m3": 1000.0,
    "g/m2": 1e-3,
    "acre": 43_560 * FOOT**2,
    "ft2": FOOT**2,
    "yd3": 27 * FOOT**3,
    "m2": 1.0,
    "m3": 1.0,
    "ha": 1e4,
    "mm": 1e-3,
    "in": INCH,
    "kg": 1.0,
    "lb": POUND,
    "t": 1000.0,
    "%": 0.01,
}
NUMBER, UNIT = r"[\d,]+(?:\.\d+)?", "|".join(map(re.escape, UNITS))
QUANTITY = re.compile(rf"({NUMBER}) ({UNIT})(?![\w/])")
MEAN = re.compile(rf"({NUMBER} (?:{UNIT})) \(mean of ([^()]+), ([^()]+) and ([^()]+)\)")


def worked(text):
    """What a line of figures, signs and units comes to, in SI."""
    for mean, *ends in MEAN.findall(text):
        assert worked(mean) == pytest.approx(sum(worked(end) for end in ends) / 3, rel=5e-8)
    plain = MEAN.sub(r"\1", text)
    plain = QUANTITY.sub(lambda found: f"({found.group(1).replace(',', '')}*{UNITS[found.group(2)]!r})", plain)
    plain = plain.replace(" x ", "*").replace("^", "**")
    assert re.fullmatch(r"[\d.e()*/+\- ]+", plain), text
    return eval(plain)


TREATED = 'overthrow = { low = "3 %", likely = "8 %", high = "18 %" }\n'
PRICED = 'load = "3 t"\nstock = "3.3 t"\nprice = "42 EUR/t"\n'
DAMP = 'moisture = { low = "2 %", likely = "5 %", high = "9 %" }\nstorage_loss = "3.3 % ± 1 %"\n'
ROUNDS = "times = 3\n"


def tables(words):
    """Everything at once: holes and layers, reach and share, rounds, spreads, seed and fertiliser."""
    yield (
        "renovation, drawn",
        (
            words.sand.replace("1.6 t/m3", "1.57 t/m3 ± 4 %")
            + PRICED
            + DAMP
            + words.core.replace("75 mm", "73 mm ± 8 mm")
            + 'fill = { low = "75 %", likely = "92 %", high = "100 %" }\n'
            + words.dress.replace("2 mm", "1.7 mm ± 12 %")
            + 'overthrow = "0.6 m"\n'
            + words.dress.replace('"dress"', '"again"').replace("2 mm", "0.3 mm")
            + TREATED
            + ROUNDS
        ),
    )
    yield "one job, closed form", words.sand + PRICED + words.dress.replace("2 mm", "1.3 mm ± 11 %")
    yield (
        "leaning, closed form",
        words.sand.replace("1.6 t/m3", "1.55 t/m3 ± 9 %") + PRICED + words.dress.replace("2 mm", "2.2 mm ± 14 %"),
    )
    yield "no spread at all", words.sand + 'load = "0.7 t"\n' + words.dress
    yield "seed", words.seed + 'pack = "7 kg"\nstock = "4 kg"\n' + words.sow + ROUNDS
    yield "seed as sold", words.seed + 'pack = "10 kg"\n' + words.sow + 'rate_of = "seed as sold"\n' + TREATED
    yield "fertiliser by nutrient", words.feed + 'pack = "20 kg"\n' + words.feeding + TREATED + ROUNDS
    yield "fertiliser by product", words.feed + words.feeding.replace('nutrient = "N"\n', "").replace("3 g", "17 g")


NAMES = [
    "renovation, drawn",
    "one job, closed form",
    "leaning, closed form",
    "no spread at all",
    "seed",
    "seed as sold",
    "fertiliser by nutrient",
    "fertiliser by product",
]


@pytest.fixture
def order(request, course, words):
    name, units, accuracy = request.param
    (made,) = orders_for(course(dict(tables(words))[name], head=f'accuracy = "{accuracy}"'), units=units)
    return made


def every(*names):
    cases = [
        (name, units, "0 m" if name == "no spread at all" else "0.3 m") for name in names for units in UNIT_SYSTEMS
    ]
    return pytest.mark.parametrize("order", cases, indirect=True, ids=lambda case: f"{case[0]} {case[1]}")


UNIT_SYSTEMS = ("metric", "us")
IN_WORDS = ("net area", "standard deviation", "whole loads", "whole packs")


@every(*NAMES)
def test_every_product_and_sum_comes_out_as_printed(order):
    """To a part in 200,000: half of the sixth digit, at the worst."""
    steps = [step for step in order.working if not any(words in step.what for words in IN_WORDS)]
    assert len(steps) >= 2
    for step in steps:
        expected = max(worked(step.numbers), 0.0) if step.what == "to be ordered" else worked(step.numbers)
        assert worked(step.result) == pytest.approx(expected, rel=5e-6), step
        assert step.formula
        assert step.source


@every(*NAMES)
def test_what_a_step_results_in_stands_so_in_those_that_use_it(order):
    """No figure appears out of nothing: each is of the settings, or the result of an earlier step."""
    by_what = {step.what: step for step in order.working}
    for what, step in by_what.items():
        if ": " not in what:
            continue
        job = what.split(":")[0]
        if what.endswith(("dry sand", "product")):
            ground = by_what.get(f"{job}: treated area", by_what[f"{job}: net area"])
            assert step.numbers.startswith(ground.result)
        if what.endswith("treated area"):
            assert step.numbers.startswith(by_what[f"{job}: net area"].result)
        for made, used in (("even layer", "dry sand"), ("seed to sow", "product"), ("surface opened", "even layer")):
            if what.startswith(job) and what.endswith(made):
                later = next(one for name, one in by_what.items() if name.startswith(f"{job}: ") and used in name)
                assert step.result in later.numbers
    if "all jobs" in by_what:
        totals = [step.result for name, step in by_what.items() if name.endswith(("dry sand", ": product"))]
        assert by_what["all jobs"].numbers.split(" + ") == totals


@every(*NAMES)
def test_the_last_figures_are_those_of_the_order(order):
    by_what = {step.what: step for step in order.working}
    assert worked(by_what["to be ordered"].result) == pytest.approx(order.to_order_kg, abs=1e-5 * order.delivered_kg)
    if order.kind == "sand":
        dry = by_what["all jobs"] if "all jobs" in by_what else by_what["dress: dry sand"]
        assert worked(dry.result) == pytest.approx(order.dry_kg, rel=5e-6)
        assert worked(by_what["sand as delivered"].result) == pytest.approx(order.delivered_kg, rel=5e-6)
        assert by_what["whole loads"].result.split()[0] == str(order.units)
    net = {name: worked(step.result) for name, step in by_what.items() if "net area" in name and ":" in name}
    assert all(area == pytest.approx(10_000, rel=1e-7) for area in net.values())


@every("seed", "seed as sold", "fertiliser by nutrient")
def test_whole_packs_come_out_as_printed(order):
    step = order.working[-1]
    assert step.what == "whole packs"
    assert step.result.split() == [str(ceil(worked(step.numbers) * (1 - 1e-6))), "packs"]


@every("renovation, drawn")
def test_cores_come_out_as_the_order_has_them(order):
    (step,) = [step for step in order.working if "cores" in step.what]
    assert worked(step.result) == pytest.approx(order.cores_m3, rel=5e-6)


@every("fertiliser by nutrient")
def test_nutrients_come_out_as_the_order_has_them(order):
    printed = {step.what: worked(step.result) for step in order.working if "brought" in step.what}
    for nutrient in (one for one in order.nutrients if one.name in ("N", "P2O5", "K2O")):
        net, treated = (printed[f"{nutrient.name} brought, over the {words} area"] for words in ("net", "treated"))
        assert (net * 1e4, treated * 1e4) == pytest.approx((nutrient.net_kg_ha, nutrient.treated_kg_ha), rel=5e-6)


@every("renovation, drawn", "one job, closed form", "leaning, closed form")
def test_the_standard_deviation_is_the_root_of_the_squares_and_a_little(order):
    (step,) = [step for step in order.working if "standard deviation" in step.what]
    *parts, root = step.numbers.split("; ")
    alone = [float(part.split()[-1].replace(",", "")) for part in parts]
    root = float(re.fullmatch(r"root ([\d,.]+) .*", root).group(1).replace(",", ""))
    assert len(alone) == len(order.drivers)
    assert root == pytest.approx(sqrt(sum(one**2 for one in alone)), rel=1e-3)
    printed = float(step.result.split()[0].replace(",", ""))
    assert root * (1 - 1e-4) <= printed <= 1.02 * root
    assert worked(step.result) == pytest.approx(order.u_kg, rel=1e-3)


@every("one job, closed form", "leaning, closed form")
def test_the_chance_can_be_read_from_a_table_of_the_normal_distribution(order):
    by_what = {step.what: step for step in order.working}
    step = by_what["whole loads"]
    had, found = step.numbers.split("; ", 1)
    loads, there = had.replace("stock ", "").split(" = ")
    assert worked(loads) == pytest.approx(worked(there), rel=1e-7)
    z = float(re.search(r"= (-?[\d.]+); chance", found).group(1))
    mean, sd = (worked(by_what[name].result) for name in ("sand as delivered", "standard deviation of what is needed"))
    assert z == pytest.approx((worked(there) - mean) / sd, rel=5e-4, abs=5e-4)
    lean = re.search(r"\+ ([\d.]+) / 6", found)
    skewness = float(lean.group(1)) if lean else 0.0
    chance = 0.5 * erfc(z / sqrt(2)) + skewness / 6 * (z**2 - 1) * exp(-(z**2) / 2) / sqrt(2 * pi)
    assert worked(found.split(" = ")[-1]) == pytest.approx(chance, abs=1e-4)
    assert chance <= order.risk


@every("renovation, drawn")
def test_the_chance_that_was_counted_is_told(order):
    (step,) = [step for step in order.working if step.what == "whole loads"]
    counted, of, percent = re.search(r"needed in ([\d,]+) of ([\d,]+) draws, ([\d.]+) %", step.numbers).groups()
    share = int(counted.replace(",", "")) / int(of.replace(",", ""))
    assert share == pytest.approx(float(percent) / 100, abs=5e-5)
    (chosen,) = [choice for choice in order.loads if choice.loads == order.units]
    assert share == pytest.approx(chosen.chance_short, abs=1e-9)


@every(*NAMES)
def test_no_ton_goes_without_its_name(order):
    for step in order.working:
        for text in (step.formula, step.numbers, step.result):
            assert not re.search(r"(?<!US )(?<!long )\btons?\b", text)
