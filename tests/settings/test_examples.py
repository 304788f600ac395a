"""
Settings files that must be read: the agreed example and the one that the agreed checks use, word for word; the demo.

What the figures are in SI is plain arithmetic.
"""

from datetime import date
from pathlib import Path

import pytest

from turfgis.formulas.chance import Figure
from turfgis.settings import read_settings

ROOT = Path(__file__).resolve().parents[2]

# The agreed example, word for word.
AGREED = """\
name = "Name of the course"
units = "metric"                 # or "us": how results are shown; input may use any unit
currency = "EUR"
accuracy = "0.3 m"               # how far a drawn edge may be in or out (standard deviation), unless a layer says otherwise

[[layer]]
file = "areas.gpkg"              # any vector format GDAL reads
layer = "greens"                 # left out: every polygon layer in the file
surface = "green"                # one surface for all, or
surface_from = "kind"            # the column that names it, with what its values mean
surfaces = { GRN = "green", FWY = "fairway" }
hole_from = "hole"
name_from = "name"
accuracy = "0.05 m"
surveyed = 2026-03-14

[[strip]]                        # an area nobody drew: a strip along an edge
surface = "collar"
around = "green"
width = "1.0 m"

[surface.green]
cut = "4 mm"

[surface.heather]                # a surface of the club's own
over = ["rough"]                 # where both are drawn, heather has the ground

[material.dressing_sand]
kind = "sand"
bulk_density = "1.55 t/m3"       # dry, as placed
moisture = "5 %"                 # of the dry weight, as delivered
storage_loss = "3 %"
load = "20 t"
stock = "4 t"
price = "42 EUR/t"

[material.bent_seed]
kind = "seed"
purity = "98 %"
germination = "85 %"
pack = "10 kg"
price = "190 EUR/pack"

[material.spring_feed]
kind = "fertiliser"
analysis = { N = "12 %", P2O5 = "4 %", K2O = "8 %" }
pack = "20 kg"
price = "24 EUR/pack"

[machine.pedestrian_mower]
width = "0.56 m"
overlap = "0.05 m"
speed = "4.5 km/h"
efficiency = "70 %"              # field efficiency, for the handbook method
on = ["green", "tee"]

[[job]]
name = "core greens"
group = "renovation"
work = "hollow_tine"             # trade words: hollow_tine, solid_tine, topdress, overseed, fertilise, spray, mow, roll, ...
on = ["green"]
tine = "12 mm"
spacing = ["50 mm", "50 mm"]
depth = "75 mm ± 8 mm"           # any figure may carry its standard deviation, absolute or in %
fill = { low = "75 %", likely = "92 %", high = "100 %" }   # or a triangular spread
material = "dressing_sand"

[[job]]
name = "dress greens"
group = "renovation"
work = "topdress"
on = ["green"]
depth = "2 mm ± 12 %"
overthrow = "0.6 m"              # how far past the edge the spreader throws
material = "dressing_sand"
"""  # noqa: E501

# What the agreed checks of the command line use, word for word.
CHECKED = """
name = "Contract"
units = "metric"
currency = "EUR"
accuracy = "0.3 m"
[[layer]]
file = "course.geojson"
surface_from = "golf"
[[strip]]
surface = "collar"
around = "green"
width = "1.0 m"
[material.dressing_sand]
kind = "sand"
bulk_density = "1.55 t/m3"
moisture = "5 %"
storage_loss = "3 %"
load = "20 t"
stock = "4 t"
price = "42 EUR/t"
[material.bent_seed]
kind = "seed"
purity = "98 %"
germination = "85 %"
pack = "10 kg"
price = "190 EUR/pack"
[machine.pedestrian_mower]
width = "0.56 m"
overlap = "0.05 m"
speed = "4.5 km/h"
efficiency = "70 %"
on = ["green", "tee"]
[[job]]
name = "core greens"
group = "renovation"
work = "hollow_tine"
on = ["green"]
tine = "12 mm"
spacing = ["50 mm", "50 mm"]
depth = "75 mm ± 8 mm"
fill = { low = "75 %", likely = "92 %", high = "100 %" }
material = "dressing_sand"
[[job]]
name = "dress greens"
group = "renovation"
work = "topdress"
on = ["green"]
depth = "2 mm ± 12 %"
overthrow = "0.6 m"
material = "dressing_sand"
[[job]]
name = "overseed greens"
group = "renovation"
work = "overseed"
on = ["green"]
rate = "8 g/m2"
material = "bent_seed"
"""


def test_the_agreed_example_is_read_word_for_word(read):
    course = read(AGREED)
    assert (course.name, course.units, course.currency, course.accuracy) == ("Name of the course", "metric", "EUR", 0.3)
    assert (course.risk, course.edge_bias) == (0.1, 0.0)  # what holds where nothing is said
    (layer,) = course.layer
    assert (layer.file, layer.layer, layer.surface, layer.surface_from) == ("areas.gpkg", "greens", "green", "kind")
    assert layer.surfaces == {"GRN": "green", "FWY": "fairway"}
    assert (layer.hole_from, layer.name_from, layer.accuracy) == ("hole", "name", 0.05)
    assert layer.surveyed == date(2026, 3, 14)
    (strip,) = course.strip
    assert (strip.surface, strip.around, strip.width) == ("collar", "green", 1.0)
    assert course.surface["green"].cut == pytest.approx(0.004)
    assert course.surface["heather"].over == ["rough"]


def test_materials_of_the_agreed_example(read):
    material = read(AGREED).material
    assert list(material) == ["dressing_sand", "bent_seed", "spring_feed"]
    sand, seed, feed = material.values()
    assert sand.bulk_density == Figure(1550.0)
    assert (sand.moisture.likely, sand.storage_loss.likely) == (0.05, 0.03)
    assert (sand.load, sand.stock) == (20_000, 4_000)
    assert (sand.price.amount, sand.price.currency, sand.price.per_kg) == (42, "EUR", pytest.approx(0.042))
    assert (seed.purity, seed.germination, seed.pack, seed.stock) == (0.98, 0.85, 10, 0)
    assert (seed.price.amount, seed.price.per, seed.price.per_kg) == (190, "pack", None)
    assert feed.analysis == {"N": 0.12, "P2O5": 0.04, "K2O": 0.08}


def test_machines_and_jobs_of_the_agreed_example(read):
    course = read(AGREED)
    mower = course.machine["pedestrian_mower"]
    assert (mower.width, mower.overlap, mower.efficiency, mower.on) == (0.56, 0.05, 0.7, ["green", "tee"])
    assert mower.speed == pytest.approx(1.25)  # 4.5 km/h
    core, dress = course.job
    assert (core.name, core.group, core.work, core.on) == ("core greens", "renovation", "hollow_tine", ["green"])
    assert (core.tine, core.spacing) == (0.012, (0.05, 0.05))
    assert (core.depth.likely, core.depth.sd) == (pytest.approx(0.075), pytest.approx(0.008))
    assert core.fill == Figure(0.92, low=0.75, high=1.0)
    assert (dress.work, dress.material, dress.times) == ("topdress", "dressing_sand", 1)
    assert (dress.depth.likely, dress.depth.sd) == (pytest.approx(0.002), pytest.approx(0.00024))
    assert (dress.overthrow.reach, dress.overthrow.share) == (Figure(0.6), None)


def test_the_file_of_the_agreed_checks_is_read_word_for_word(read):
    course = read(CHECKED)
    assert course.name == "Contract"
    assert course.layer[0].surface_from == "golf"
    assert [job.name for job in course.job] == ["core greens", "dress greens", "overseed greens"]
    assert course.job[2].rate == Figure(0.008)
    assert course.job[2].rate_of == "live seed"


def test_the_demo_is_read():
    course = read_settings(ROOT / "demo_layers" / "course.toml")
    assert len(course.layer) == 15
    assert {key for job in course.job for key in job.uses.values()} == set(course.material)


def test_nothing_read_can_be_changed(read):
    course = read(AGREED)
    with pytest.raises(ValueError, match="frozen"):
        course.name = "another"


def test_a_mark_of_byte_order_and_windows_line_ends_do_no_harm(read):
    assert read(b"\xef\xbb\xbf" + AGREED.replace("\n", "\r\n").encode("utf-8")) == read(AGREED)
