"""When a job is done, and the rest of a year's settings: what is taken, and one message for each thing that is not."""

from datetime import date

import pytest

from turfgis.errors import SettingsError

PLAIN = """\
name = "Invented Links"
year = 2027
[[layer]]
file = "areas.gpkg"
"""
SAND = """\
[material.sand]
kind = "sand"
bulk_density = "1.5 t/m3"
"""
LIQUID = """\
[material.soap]
kind = "liquid"
pack = "20 l"
"""
TURF = """\
[material.turf]
kind = "turf"
pack = "40 m2"
"""
SEED = """\
[material.bent]
kind = "seed"
"""
MACHINE = """\
[machine.dresser]
width = "1 m"
speed = "5 km/h"
efficiency = "70 %"
on = ["green"]
mows = false
"""
DRESS = """\
[[job]]
name = "dress"
work = "topdress"
on = ["green"]
depth = "2 mm"
material = "sand"
"""
SPRAY = """\
[[job]]
name = "wet"
work = "spray"
on = ["green"]
rate = "10 l/ha"
material = "soap"
"""
DIVOTS = """\
[[job]]
name = "divots"
work = "divot_mix"
on = ["tee"]
sand = "sand"
"""
LAY = """\
[[job]]
name = "lay"
work = "repair_turf"
on = ["green"]
material = "turf"
"""
BUY = """\
[[job]]
name = "flags"
work = "purchase"
amount = "30 EUR"
"""
HIRE = """\
[[job]]
name = "drilling"
work = "contractor"
"""
LIMIT = '[limit.n]\nnutrient = "N"\non = ["green"]\n'
DATED = PLAIN + SAND + DRESS  # a line 14 may follow

# what is written; the place that is named; words that must be in the message
WRONG = {
    # days and months
    "no such day": (DATED + "dates = [2027-02-30]\n", "course.toml:14: job.1.dates", ["2027-02-30", "not a day"]),
    "no such day, third of a list": (
        DATED + "dates = [\n  2027-02-27,\n  2027-02-28,\n  2027-02-29,\n]\n",
        "course.toml:17: job.1.dates",
        ["2027-02-29", "not a day"],
    ),
    "no such day in quotes": (DATED + 'dates = ["2027-06-31"]\n', "course.toml:14: job.1.dates", ["not a day"]),
    "a month among days": (
        DATED + "dates = [2027-03]\n",
        "course.toml:14: job.1.dates",
        ["month without a day", '"2027-03"'],
    ),
    "a month in quotes among days": (DATED + 'dates = ["2027-03"]\n', "course.toml:14: job.1.dates", ["without a day"]),
    "a time of day": (DATED + "dates = [2027-03-14T08:00:00]\n", "course.toml:14: job.1.dates", ["not a day"]),
    "a day twice": (DATED + "dates = [2027-03-14, 2027-03-14]\n", "course.toml:14: job.1.dates", ["twice"]),
    "no day at all": (DATED + "dates = []\n", "course.toml:14: job.1.dates", ["no day"]),
    "thirteenth month": (DATED + "months = [13]\n", "course.toml:14: job.1.months", ["'13'", "1 to 12"]),
    "month nought": (DATED + 'months = ["2027-00"]\n', "course.toml:14: job.1.months", ["not a month"]),
    "a day among months": (DATED + "months = [2027-03-14]\n", "course.toml:14: job.1.months", ["is a day", "dates"]),
    "a month twice": (DATED + "months = [3, 3]\n", "course.toml:14: job.1.months", ["twice", "{ 3 = 2 }"]),
    "no month at all": (DATED + "months = []\n", "course.toml:14: job.1.months", ["no month"]),
    "half a time": (DATED + "months = { 4 = 1.5 }\n", "course.toml:14: job.1.months", ["1.5", "whole number"]),
    "fewer than no times": (DATED + "months = { 4 = -1 }\n", "course.toml:14: job.1.months", ["-1"]),
    "months without a year": (
        DATED.replace("year = 2027\n", "") + "months = [3]\n",
        "course.toml:13: job.1.months",
        ["year = 2027", '"2027-03"'],
    ),
    "two ways at once": (
        DATED + "dates = [2027-03-14]\nmonths = [3]\n",
        "course.toml:8: job.1",
        ["2 ways", "dates, months"],
    ),
    "times and months": (DATED + "times = 2\nmonths = [3]\n", "course.toml:8: job.1", ["months, times"]),
    "every, but until when": (
        DATED + 'every = "2 weeks"\nfrom = 2027-04-01\n',
        "course.toml:8: job.1",
        ["from and to", "season"],
    ),
    "every fortnight": (
        DATED + 'every = "fortnight"\nfrom = 2027-04-01\nto = 2027-05-01\n',
        "course.toml:14: job.1.every",
        ["2 weeks"],
    ),
    "every nought days": (
        DATED + 'every = "0 days"\nfrom = 2027-04-01\nto = 2027-05-01\n',
        "course.toml:14: job.1.every",
        ["2 weeks"],
    ),
    "every hundred years": (
        DATED + 'every = "99999 days"\nfrom = 2027-04-01\nto = 2027-05-01\n',
        "course.toml:14: job.1.every",
        ["more than 999 days"],
    ),
    "an interval of too many digits": (
        DATED + f'every = "{"9" * 5000} days"\nfrom = 2027-04-01\nto = 2027-05-01\n',
        "course.toml:14: job.1.every",
        ["more than 999 days"],
    ),
    "a month before there were years": (
        DATED + 'months = ["0000-03"]\n',
        "course.toml:14: job.1.months",
        ["'0000-03'"],
    ),
    "a season of a lifetime": (
        PLAIN + "[season.growing]\nfrom = 2027-04-01\nto = 2072-10-01\n",
        "course.toml:5: season.growing",
        ["more than ten years"],
    ),
    "a lead of a lifetime": (
        PLAIN + '[supplier.quarry]\nlead = "3000 weeks"\n',
        "course.toml:6: supplier.quarry.lead",
        ["more than 999 weeks"],
    ),
    "to before from": (
        DATED + 'every = "2 weeks"\nfrom = 2027-05-01\nto = 2027-04-01\n',
        "course.toml:8: job.1",
        ["before it begins"],
    ),
    "a slip of the year": (
        DATED + 'every = "1 day"\nfrom = 2027-04-01\nto = 2072-05-01\n',
        "course.toml:8: job.1",
        ["more than ten years"],
    ),
    "from alone": (DATED + "from = 2027-04-01\n", "course.toml:8: job.1", ["every"]),
    "a season that nobody described": (
        DATED + 'every = "2 weeks"\nseason = "summer"\n[season.sumer]\nfrom = 2027-05-01\nto = 2027-08-01\n',
        "course.toml:15: job.1.season",
        ["did you mean 'sumer'"],
    ),
    "a season that ends first": (
        PLAIN + "[season.winter]\nfrom = 2027-11-01\nto = 2027-02-01\n",
        "course.toml:5: season.winter",
        ["before it begins"],
    ),
    "a year in words": (
        PLAIN.replace("2027", '"next"'),
        "course.toml:2: year",
        ["'next'", "whole number from 1900 to 2200"],
    ),
    "rounds without figures": (
        PLAIN.replace("[[layer]]", 'rounds = { 4 = "many" }\n[[layer]]'),
        "course.toml:3: rounds",
        ["'many'", "number"],
    ),
    "rounds below nought": (
        PLAIN.replace("[[layer]]", "rounds = { 4 = -9 }\n[[layer]]"),
        "course.toml:3: rounds",
        ["-9"],
    ),
    # prices
    "price by weight of a liquid without density": (
        PLAIN + LIQUID + 'price = "9 EUR/t"\n' + SPRAY,
        "course.toml:8: material.soap.price",
        ["by weight", "density", "9 EUR/l"],
    ),
    "price by weight of turf": (
        PLAIN + TURF + 'price = "9 EUR/t"\n',
        "course.toml:8: material.turf.price",
        ["by weight", "4 EUR/m2"],
    ),
    "price by the litre of sand": (
        PLAIN + SAND + 'price = "9 EUR/l"\n',
        "course.toml:8: material.sand.price",
        ["by volume", "42 EUR/t"],
    ),
    "price by the load without a load": (
        PLAIN + SAND + 'price = "900 EUR/load"\n',
        "course.toml:8: material.sand.price",
        ['load = "20 t"'],
    ),
    "price by the pack without a pack": (
        PLAIN + SEED + 'price = "90 EUR/pack"\n',
        "course.toml:7: material.bent.price",
        ['pack = "10 kg"'],
    ),
    "price by the hour": (PLAIN + SAND + 'price = "9 EUR/h"\n', "course.toml:8: material.sand.price", ["42 EUR/t"]),
    "price below nought": (PLAIN + SAND + 'price = "-9 EUR/t"\n', "course.toml:8: material.sand.price", ["below zero"]),
    "delivery without currency": (
        PLAIN + SAND + "delivery = 90\n",
        "course.toml:8: material.sand.delivery",
        ["'90'", "90 EUR"],
    ),
    "delivery in another currency": (
        PLAIN + SAND + 'delivery = "90 USD"\n',
        "course.toml:8: material.sand.delivery",
        ["USD", "EUR"],
    ),
    "wage by the tonne": (PLAIN + '[labour]\nwage = "21 EUR/t"\n', "course.toml:6: labour.wage", ["21 EUR/h"]),
    "machine by the pack": (
        PLAIN + MACHINE + 'cost = "9 EUR/pack"\n',
        "course.toml:11: machine.dresser.cost",
        ["21 EUR/h"],
    ),
    "tax of more than all": (
        PLAIN + '[budget]\ntaxes = { "value added tax" = "120 %" }\n',
        "course.toml:6: budget.taxes.value added tax.share",
        ["100 %"],
    ),
    "tax on nothing known": (
        PLAIN + '[budget]\ntaxes = { vat = { share = "20 %", on = ["sand"] } }\n',
        "course.toml:6: budget.taxes.vat.on.1",
        ["'sand'", "material"],
    ),
    "unknown key of a tax": (
        PLAIN + '[budget]\ntaxes = { vat = { share = "20 %", upon = ["material"] } }\n',
        "course.toml:6: budget.taxes.vat.upon",
        ["on"],
    ),
    # works
    "rate below nought": (
        PLAIN + LIQUID + SPRAY.replace("10 l/ha", "-10 l/ha"),
        "course.toml:12: job.1.rate",
        ["below zero"],
    ),
    "rate by weight of a liquid": (
        PLAIN + LIQUID + SPRAY.replace("10 l/ha", "10 kg/ha"),
        "course.toml:12: job.1.rate",
        ["volume over an area", "l/ha"],
    ),
    "rate of a mere volume": (
        PLAIN + LIQUID + SPRAY.replace("10 l/ha", "10 l"),
        "course.toml:12: job.1.rate",
        ["l/ha"],
    ),
    "sand to be sprayed": (
        PLAIN + SAND + SPRAY.replace('"soap"', '"sand"'),
        "course.toml:13: job.1.material",
        ["spray needs liquid"],
    ),
    "a material nobody defined": (
        PLAIN + SAND + DIVOTS + 'seed = "rye"\nseed_share = "3 %"\nworn = "1 %"\ndepth = "12 mm"\n',
        "course.toml:13: job.1.seed",
        ["no material 'rye'", "sand"],
    ),
    "two jobs of one name": (DATED + DRESS, "course.toml:15: job.2.name", ["dress", "each its own"]),
    "a machine nobody described": (
        DATED + 'machine = "dreser"\n' + MACHINE,
        "course.toml:14: job.1.machine",
        ["dresser"],
    ),
    "a machine for other ground": (
        PLAIN + SAND + DRESS.replace('["green"]', '["green", "tee"]') + 'machine = "dresser"\n' + MACHINE,
        "course.toml:14: job.1.machine",
        ["works on green", "tee"],
    ),
    "mowing with what does not mow": (
        PLAIN + MACHINE + '[[job]]\nname = "cut"\nwork = "mow"\non = ["green"]\nmachine = "dresser"\n',
        "course.toml:15: job.1.machine",
        ["does not mow"],
    ),
    "hours twice": (
        DATED + 'crew_hours = "5 h"\ncrew_rate = "1 h/ha"\n',
        "course.toml:8: job.1",
        ["crew_hours", "crew_rate"],
    ),
    "hours by length": (
        DATED + 'crew_rate = "1 h/m"\n',
        "course.toml:14: job.1.crew_rate",
        ["time over an area", "h/ha"],
    ),
    "slits wider than apart": (
        PLAIN
        + '[[job]]\nname = "slit"\nwork = "scarify"\non = ["tee"]\nblade = "3 mm"\nspacing = "2 mm"\ndepth = "5 mm"\n',
        "course.toml:5: job.1",
        ["slits overlap", "3 mm", "2 mm"],
    ),
    "divots by nothing": (PLAIN + SAND + DIVOTS, "course.toml:8: job.1", ["worn and depth, or mix_per_round"]),
    "divots without depth": (PLAIN + SAND + DIVOTS + 'worn = "2 %"\n', "course.toml:8: job.1", ["go together"]),
    "seed without a share": (
        PLAIN + SAND + SEED + DIVOTS + 'seed = "bent"\nworn = "2 %"\ndepth = "9 mm"\n',
        "course.toml:10: job.1",
        ["seed and seed_share"],
    ),
    "mix by rounds that nobody counted": (
        PLAIN + SAND + DIVOTS + 'mix_per_round = "0.3 l"\n',
        "course.toml:13: job.1.mix_per_round",
        ["rounds = { 4 = 2100 }"],
    ),
    "mix by rounds on dates": (
        PLAIN + SAND + DIVOTS + 'mix_per_round = "0.3 l"\ndates = [2027-04-01]\n',
        "course.toml:8: job.1",
        ["rounds of each month"],
    ),
    "turf by two measures": (
        PLAIN + TURF + LAY + 'share = "2 %"\narea = "20 m2"\n',
        "course.toml:8: job.1",
        ["one of", "strip"],
    ),
    "turf by the length": (PLAIN + TURF + LAY + 'area = "20 m"\n', "course.toml:13: job.1.area", ["m2"]),
    "a purchase of nothing": (PLAIN + BUY + "count = 0\n", "course.toml:9: job.1.count", ["whole number from 1"]),
    "a purchase by the piece": (
        PLAIN + BUY.replace("30 EUR", "30 EUR/piece"),
        "course.toml:8: job.1.amount",
        ["90 EUR"],
    ),
    "days without a number": (PLAIN + HIRE + 'price = "900 EUR/day"\n', "course.toml:5: job.1", ["days = 2"]),
    "days in words": (PLAIN + HIRE + 'price = "900 EUR/day"\ndays = "two"\n', "course.toml:9: job.1.days", ["'two'"]),
    "a contractor by area, nowhere": (PLAIN + HIRE + 'price = "2 EUR/m2"\n', "course.toml:5: job.1", ["on = "]),
    "a contractor by the tonne": (
        PLAIN + HIRE + 'price = "2 EUR/t"\ndays = 1\n',
        "course.toml:8: job.1.price",
        ["EUR/day"],
    ),
    # liquids and limits
    "analysis without density": (
        PLAIN + LIQUID + 'analysis = { N = "8 %" }\n',
        "course.toml:5: material.soap",
        ["density"],
    ),
    "a limit of nitrogen as a depth": (PLAIN + LIMIT + 'most = "12 mm"\n', "course.toml:8: limit.n.most", ["kg/ha"]),
    "a limit of sand by weight": (
        PLAIN + LIMIT.replace('"N"', '"sand"') + 'most = "12 kg/ha"\n',
        "course.toml:8: limit.n.most",
        ["mm"],
    ),
    "a limit of nothing": (PLAIN + LIMIT + 'most = "0 kg/ha"\n', "course.toml:8: limit.n.most", ["above zero"]),
    "a limit on no surface": (
        PLAIN + LIMIT.replace("green", "gren") + 'most = "9 kg/ha"\n',
        "course.toml:7: limit.n.on",
        ["did you mean 'green'"],
    ),
    "a limit of gold": (
        PLAIN + LIMIT.replace('"N"', '"Au"') + 'most = "9 kg/ha"\n',
        "course.toml:6: limit.n.nutrient",
        ["'Au'", "sand"],
    ),
}


@pytest.mark.parametrize(("text", "place", "words"), WRONG.values(), ids=list(WRONG))
def test_one_message_says_what_is_wrong_and_where(text, place, words, read):
    with pytest.raises(SettingsError) as raised:
        read(text)
    (line,) = str(raised.value).splitlines()
    assert line.startswith(f"{place}: ")
    for word in words:
        assert word in line


def test_every_way_to_say_when(read):
    season = '[season.growing]\nfrom = 2027-04-01\nto = "2027-09-30"\n'
    ways = (
        "dates = [2027-03-14, 2027-04-11]\n",
        'months = [3, "2028-09"]\n',
        "months = { 4 = 2, 2028-05 = 4 }\n",
        'every = "week"\nfrom = 2027-04-01\nto = 2027-05-01\n',
        'every = "10 days"\nseason = "growing"\n',
    )
    jobs = [DRESS.replace('"dress"', f'"dress {at}"') + way for at, way in enumerate(ways)]
    read_jobs = read(PLAIN + SAND + season + "".join(jobs)).job
    assert read_jobs[0].dates == [date(2027, 3, 14), date(2027, 4, 11)]
    assert read_jobs[1].months == {"03": 1, "2028-09": 1}
    assert read_jobs[2].months == {"04": 2, "2028-05": 4}
    assert (read_jobs[3].every.count, read_jobs[3].every.unit, read_jobs[3].to) == (1, "week", date(2027, 5, 1))
    assert (read_jobs[4].every.count, read_jobs[4].every.unit, read_jobs[4].season) == (10, "day", "growing")


# price of one base unit: kg, m3 or m2; plain arithmetic
UNIT_PRICES = {
    "by the tonne": (SAND + 'price = "42 EUR/t"\n', "sand", 0.042),
    "by the load": (SAND + 'load = "20 t"\nprice = "840 EUR/load"\n', "sand", 0.042),
    "seed by the tonne, though it comes in packs": (SEED + 'pack = "10 kg"\nprice = "1900 EUR/t"\n', "bent", 1.9),
    "seed by the pack": (SEED + 'pack = "10 kg"\nprice = "190 EUR/pack"\n', "bent", 19.0),
    "liquid by the litre": (LIQUID + 'price = "9 EUR/l"\n', "soap", 9000.0),
    "liquid by the pack": (LIQUID + 'price = "180 EUR/pack"\n', "soap", 9000.0),
    "liquid by weight, with its density": (LIQUID + 'density = "1.2 kg/l"\nprice = "5 EUR/kg"\n', "soap", 6000.0),
    "turf by the pallet": (TURF + 'price = "160 EUR/pack"\n', "turf", 4.0),
    "turf by the area": (TURF + 'price = "4 EUR/m2"\n', "turf", 4.0),
    "no price": (SAND, "sand", None),
}


@pytest.mark.parametrize(("text", "key", "price"), UNIT_PRICES.values(), ids=list(UNIT_PRICES))
def test_price_of_one_unit(text, key, price, read):
    found = read(PLAIN + text).material[key].unit_price
    assert found == (None if price is None else pytest.approx(price, rel=1e-12))


def test_limits_in_si(read):
    limits = LIMIT + 'most = "150 kg/ha"\n' + LIMIT.replace(".n]", ".s]").replace('"N"', '"sand"') + 'most = "12 mm"\n'
    course = read(PLAIN + limits)
    assert course.limit["n"].most == pytest.approx(0.015, rel=1e-12)  # 150 kg / 10,000 m2
    assert course.limit["s"].most == pytest.approx(0.012, rel=1e-12)
