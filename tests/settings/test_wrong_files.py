"""
Settings files that cannot be used: one readable message each, with file, line and key, and what would be accepted.

There is no source for these: they are the slips that people make.
"""

import re
from pathlib import Path

import pytest

from turfgis.errors import SettingsError
from turfgis.settings import read_settings

ROOT = Path(__file__).resolve().parents[2]

# The smallest file there is, and one of each kind of table to add to it.
PLAIN = """\
name = "Invented Links"
[[layer]]
file = "areas.gpkg"
"""
SAND = """\
[material.sand]
kind = "sand"
bulk_density = "1.5 t/m3"
"""
SEED = """\
[material.bent]
kind = "seed"
"""
FEED = """\
[material.feed]
kind = "fertiliser"
analysis = { N = "12 %" }
"""
MOWER = """\
[machine.mower]
width = "1 m"
speed = "5 km/h"
efficiency = "70 %"
on = ["green"]
"""
DRESS = """\
[[job]]
name = "dress"
work = "topdress"
on = ["green"]
depth = "2 mm"
material = "sand"
"""
CORE = """\
[[job]]
name = "core"
work = "hollow_tine"
on = ["green"]
tine = "12 mm"
spacing = "50 mm"
depth = "75 mm"
"""
SOW = """\
[[job]]
name = "sow"
work = "overseed"
on = ["green"]
rate = "8 g/m2"
material = "bent"
"""
FEEDING = """\
[[job]]
name = "feed greens"
work = "fertilise"
on = ["green"]
rate = "3 g/m2"
nutrient = "N"
material = "feed"
"""
MOW = """\
[[job]]
name = "cut greens"
work = "mow"
on = ["green"]
machine = "mower"
"""

# what is written; the place that is named; words that must be in the message
WRONG = {
    "empty file": ("", "course.toml: layer", ["is missing", "[[layer]]"]),
    "no name": (PLAIN.replace("name =", "# name ="), "course.toml: name", ["is missing"]),
    "unknown key at the top": ('nam = "x"\n' + PLAIN, "course.toml:1: nam", ["did you mean 'name'", "units"]),
    "key of the top in a table": (
        PLAIN + 'units = "us"\n',
        "course.toml:4: layer.1.units",
        ["belongs to the top of the file"],
    ),
    "key of a table that also begins one": (
        PLAIN + 'supplier = "the quarry"\n',
        "course.toml:4: layer.1.supplier",
        ["it belongs to [material.NAME]"],
    ),
    "key of a table at the top": (
        'depth = "2 mm"\n' + PLAIN,
        "course.toml:1: depth",
        ['it belongs to [[job]] with work = "hollow_tine"'],
    ),
    "unknown key in a layer": (
        PLAIN + 'surfce = "green"\n',
        "course.toml:4: layer.1.surfce",
        ["did you mean 'surface'"],
    ),
    "unknown key in a strip": (
        PLAIN + '[[strip]]\nsurface = "collar"\naround = "green"\nwidht = "1 m"\n',
        "course.toml:7: strip.1.widht",
        ["did you mean 'width'"],
    ),
    "unknown key in a surface": (
        PLAIN + '[surface.green]\ncutt = "4 mm"\n',
        "course.toml:5: surface.green.cutt",
        ["did you mean 'cut'"],
    ),
    "a yard that is one number": (PLAIN + "[yard]\nat = 56.3\n", "course.toml:5: yard.at", ["[longitude, latitude]"]),
    "a yard in words": (PLAIN + '[yard]\nat = ["56 N", "3 W"]\n', "course.toml:5: yard.at", ["in degrees"]),
    "a yard in metres": (
        PLAIN + "[yard]\nat = [4321000.0, 3210000.0]\n",
        "course.toml:5: yard.at",
        ["'[4321000.0, 3210000.0]' is no place", "such as [-2.803, 56.343]"],
    ),
    "unknown key in the yard": (
        PLAIN + "[yard]\nat = [1, 2]\nplace = 3\n",
        "course.toml:6: yard.place",
        ["unknown key"],
    ),
    "unknown key in a material": (
        PLAIN + SAND.replace("bulk_density", "bulk_densty"),
        "course.toml:6: material.sand.bulk_densty",
        ["did you mean 'bulk_density'"],
    ),
    "unknown key in a machine": (
        PLAIN + MOWER.replace("speed", "sped"),
        "course.toml:6: machine.mower.sped",
        ["did you mean 'speed'"],
    ),
    "unknown key in a job": (
        PLAIN + SAND + DRESS + 'overthow = "1 m"\n',
        "course.toml:13: job.1.overthow",
        ["did you mean 'overthrow'"],
    ),
    "unknown key in the map": (PLAIN + '[map]\ntile = "x"\n', "course.toml:5: map.tile", ["did you mean 'tiles'"]),
    "supplier by a slip of the pen": (
        PLAIN + SAND + 'supplier = "the quarry"\n[supplier."the qarry"]\nlead = "2 weeks"\n',
        "course.toml:8: supplier.the qarry",
        ["did you mean 'the quarry'"],
    ),
    "unknown key in a supplier": (
        PLAIN + '[supplier.quarry]\nleed = "2 weeks"\n',
        "course.toml:5: supplier.quarry.leed",
        ["did you mean 'lead'"],
    ),
    "lead that is no time": (
        PLAIN + '[supplier.quarry]\nlead = "soon"\n',
        "course.toml:5: supplier.quarry.lead",
        ["'soon' is not an interval", "2 weeks"],
    ),
    "bay smaller than a load": (
        PLAIN + SAND + 'load = "20 t"\nbay = "12 t"\n',
        "course.toml:4: material.sand",
        ["the bay holds less than one load"],
    ),
    "specification that is no list": (
        PLAIN + SAND + 'specification = "washed"\n',
        "course.toml:7: material.sand.specification",
        ["list"],
    ),
    "key of another kind of material": (
        PLAIN + SAND + 'pack = "10 kg"\n',
        "course.toml:7: material.sand.pack",
        ['kind = "seed"', "load"],
    ),
    "unknown table": (
        PLAIN.replace("[[layer]]", "[[layers]]"),
        "course.toml:2: layers",
        ["did you mean 'layer'"],
    ),
    # lists and tables
    "text where a list belongs": (
        PLAIN + SAND + DRESS.replace('["green"]', '"green"'),
        "course.toml:10: job.1.on",
        ['write it as a list: ["green"]'],
    ),
    "text where a list of holes belongs": (
        PLAIN + SAND + DRESS + 'holes = "7"\n',
        "course.toml:13: job.1.holes",
        ['write it as a list: ["7"]'],
    ),
    "list where text belongs": (
        PLAIN + 'surface = ["green"]\n',
        "course.toml:4: layer.1.surface",
        ["write one name in quotes"],
    ),
    "number where text belongs": (
        PLAIN.replace('"Invented Links"', "7"),
        "course.toml:1: name",
        ["7 is not text", "in quotes"],
    ),
    "code where text belongs": (PLAIN + "crs = 4326\n", "course.toml:4: layer.1.crs", ["in quotes", '"EPSG:']),
    "empty text": (PLAIN.replace('"Invented Links"', '""'), "course.toml:1: name", ["is empty"]),
    "empty list": (
        PLAIN + SAND + DRESS.replace('["green"]', "[]"),
        "course.toml:10: job.1.on",
        ["is empty; name at least one"],
    ),
    "true in words": (
        PLAIN + 'swap_axes = "yes"\n',
        "course.toml:4: layer.1.swap_axes",
        ["write one of them, without quotes"],
    ),
    "single brackets, layer": (PLAIN.replace("[[layer]]", "[layer]"), "course.toml:2: layer", ["[[layer]]"]),
    "single brackets, strip": (
        PLAIN + '[strip]\nsurface = "collar"\naround = "green"\nwidth = "1 m"\n',
        "course.toml:4: strip",
        ["double brackets: [[strip]]"],
    ),
    "single brackets, job": (
        PLAIN + SAND + DRESS.replace("[[job]]", "[job]"),
        "course.toml:7: job",
        ["double brackets: [[job]]"],
    ),
    "double brackets, surface": (
        PLAIN + '[[surface.green]]\ncut = "4 mm"\n',
        "course.toml:4: surface.green",
        ["[surface.NAME]"],
    ),
    "no name behind the table": (
        PLAIN + '[material]\nkind = "sand"\n',
        "course.toml:5: material.kind",
        ["[material.NAME]"],
    ),
    "text where tables belong": ('machine = "x"\n' + PLAIN, "course.toml:1: machine", ["[machine.NAME]"]),
    "text where a table belongs": (
        PLAIN + FEED.replace('{ N = "12 %" }', '"12-4-8"'),
        "course.toml:6: material.feed.analysis",
        ['{ N = "..." }'],
    ),
    "tiles without https": (
        PLAIN + '[map]\ntiles = "http://tiles.example/{z}/{x}/{y}.png"\n',
        "course.toml:5: map.tiles",
        ["https://tiles.example/{z}/{x}/{y}.png"],
    ),
    "tiles without places": (
        PLAIN + '[map]\ntiles = "https://tiles.example/all.png"\n',
        "course.toml:5: map.tiles",
        ["{z}/{x}/{y}"],
    ),
    # names that point nowhere
    "unknown surface of a layer": (
        PLAIN + 'surface = "greens"\n',
        "course.toml:4: layer.1.surface",
        ["did you mean 'green'"],
    ),
    "unknown meaning of a value": (
        PLAIN + 'surface_from = "kind"\nsurfaces = { A = "fareway" }\n',
        "course.toml:5: layer.1.surfaces.A",
        ["did you mean 'fairway'"],
    ),
    "unknown surface of a strip": (
        PLAIN + '[[strip]]\nsurface = "coller"\naround = "green"\nwidth = "1 m"\n',
        "course.toml:5: strip.1.surface",
        ["did you mean 'collar'"],
    ),
    "unknown surface of a machine": (
        PLAIN + MOWER.replace('["green"]', '["gren"]'),
        "course.toml:8: machine.mower.on",
        ["did you mean 'green'"],
    ),
    "unknown surface of a job": (
        PLAIN + SAND + DRESS.replace('["green"]', '["green", "tea"]'),
        "course.toml:10: job.1.on",
        ["no surface 'tea'; did you mean 'tee'"],
    ),
    "own surface that lies over nothing": (
        PLAIN + '[surface.heather]\ncut = "40 mm"\n',
        "course.toml:4: surface.heather",
        ["over = [...]", "rough"],
    ),
    "own surface over an unknown one": (
        PLAIN + '[surface.heather]\nover = ["roug"]\n',
        "course.toml:5: surface.heather.over",
        ["did you mean 'rough'"],
    ),
    "surfaces in a circle": (
        PLAIN + '[surface.heather]\nover = ["gorse"]\n[surface.gorse]\nover = ["heather"]\n',
        "course.toml:4: surface",
        ["in a circle"],
    ),
    "unknown material": (
        PLAIN + SAND + DRESS.replace('"sand"', '"snad"'),
        "course.toml:12: job.1.material",
        ["did you mean 'sand'"],
    ),
    "no material at all": (PLAIN + DRESS, "course.toml:9: job.1.material", ["no material 'sand'", "[material.NAME]"]),
    "material of another kind": (
        PLAIN + SAND + SEED + SOW.replace('"bent"', '"sand"'),
        "course.toml:14: job.1.material",
        ["'sand' is sand; overseed needs seed", "bent"],
    ),
    "unknown machine": (
        PLAIN + MOWER + MOW.replace('"mower"', '"mover"'),
        "course.toml:13: job.1.machine",
        ["did you mean 'mower'"],
    ),
    "no machine at all": (PLAIN + MOW, "course.toml:8: job.1.machine", ["[machine.NAME]"]),
    "nutrient that is not in it": (
        PLAIN + FEED + FEEDING.replace('"N"', '"K"'),
        "course.toml:12: job.1.nutrient",
        ["'feed' has N, but no K"],
    ),
    "element in place of the oxide": (
        PLAIN + FEED.replace("{ N", "{ P2O5") + FEEDING.replace('"N"', '"P"'),
        "course.toml:12: job.1.nutrient",
        ["give the rate as P2O5"],
    ),
    "two jobs of one name": (
        PLAIN + SAND + DRESS + DRESS,
        "course.toml:14: job.2.name",
        ["two jobs have the name 'dress'"],
    ),
    "strip around itself": (
        PLAIN + '[[strip]]\nsurface = "green"\naround = "green"\nwidth = "1 m"\n',
        "course.toml:4: strip.1",
        ["name another surface"],
    ),
    "meanings without a column": (
        PLAIN + 'surfaces = { A = "green" }\n',
        "course.toml:2: layer.1",
        ["name the column with surface_from"],
    ),
    "surface of hole lines": (
        PLAIN + 'role = "hole_lines"\nsurface = "green"\n',
        "course.toml:2: layer.1",
        ["leave out surface"],
    ),
    # words from a list
    "unknown kind": (
        PLAIN + SAND.replace('"sand"', '"sandy"'),
        "course.toml:5: material.sand.kind",
        ["did you mean 'sand'", "fertiliser"],
    ),
    "no kind": (PLAIN + '[material.x]\nload = "20 t"\n', "course.toml:4: material.x", ["needs the key kind", "seed"]),
    "unknown work": (
        PLAIN + SAND + DRESS.replace('"topdress"', '"topdres"'),
        "course.toml:9: job.1.work",
        ["did you mean 'topdress'", "mow"],
    ),
    "no work": (PLAIN + '[[job]]\nname = "x"\non = ["green"]\n', "course.toml:4: job.1", ["needs the key work"]),
    "unknown role": (PLAIN + 'role = "hole"\n', "course.toml:4: layer.1.role", ["hole_lines"]),
    "unknown units": ('units = "imperial"\n' + PLAIN, "course.toml:1: units", ["metric", "us"]),
    "unknown nutrient": (
        PLAIN + FEED.replace("{ N", "{ Nitrogen"),
        "course.toml:6: material.feed.analysis.Nitrogen",
        ["P2O5"],
    ),
    # figures
    "no unit": (PLAIN + SAND + "load = 20\n", "course.toml:7: material.sand.load", ["no unit", "t", "US ton"]),
    "bare ton": (PLAIN + SAND + 'load = "20 ton"\n', "course.toml:7: material.sand.load", ["US ton", "long ton"]),
    "wrong unit": (PLAIN + SAND + 'load = "20 m3"\n', "course.toml:7: material.sand.load", ["not a mass", "kg, t"]),
    "unknown unit": (PLAIN + SAND + 'load = "20 tonn"\n', "course.toml:7: material.sand.load", ["'tonne'"]),
    "thousands": (PLAIN + SAND + 'load = "1,000 kg"\n', "course.toml:7: material.sand.load", ["1.000 or 1000"]),
    "not a number": (PLAIN + SAND + 'load = "nan t"\n', "course.toml:7: material.sand.load", ["start with a number"]),
    "infinite text": (PLAIN + SAND + 'load = "inf t"\n', "course.toml:7: material.sand.load", ["start with a number"]),
    "infinite": (PLAIN + SAND + "load = inf\n", "course.toml:7: material.sand.load", ["has no unit"]),
    "huge": (PLAIN + SAND + 'load = "1e999 t"\n', "course.toml:7: material.sand.load", ["too large"]),
    "below zero": (PLAIN + SAND + 'stock = "-4 t"\n', "course.toml:7: material.sand.stock", ["below zero"]),
    "zero load": (PLAIN + SAND + 'load = "0 t"\n', "course.toml:7: material.sand.load", ["must be above zero"]),
    "zero width": (PLAIN + MOWER.replace('"1 m"', '"0 m"'), "course.toml:5: machine.mower.width", ["above zero"]),
    "zero strip": (
        PLAIN + '[[strip]]\nsurface = "collar"\naround = "green"\nwidth = "0 m"\n',
        "course.toml:7: strip.1.width",
        ["above zero"],
    ),
    "zero rate": (PLAIN + SEED + SOW.replace("8 g", "0 g"), "course.toml:10: job.1.rate", ["above zero"]),
    "share without its sign": (
        PLAIN + SAND + "moisture = 5\n",
        "course.toml:7: material.sand.moisture",
        ["write 5 % or 0.05"],
    ),
    "share above the whole": (
        PLAIN + SAND + 'moisture = "120 %"\n',
        "course.toml:7: material.sand.moisture",
        ["more than 100 %"],
    ),
    "purity above the whole": (PLAIN + SEED + 'purity = "101 %"\n', "course.toml:6: material.bent.purity", ["100 %"]),
    "no germination": (PLAIN + SEED + 'germination = "0 %"\n', "course.toml:6: material.bent.germination", ["zero"]),
    "efficiency above the whole": (
        PLAIN + MOWER.replace("70 %", "170 %"),
        "course.toml:7: machine.mower.efficiency",
        ["100 %"],
    ),
    "fill above the whole": (PLAIN + CORE + 'fill = "110 %"\n', "course.toml:11: job.1.fill", ["more than 100 %"]),
    "fill may be above the whole": (
        PLAIN + CORE + 'fill = { low = "75 %", likely = "92 %", high = "110 %" }\n',
        "course.toml:11: job.1.fill",
        ["'110 %' is more than 100 %"],
    ),
    "no risk": ('risk = "0 %"\n' + PLAIN, "course.toml:1: risk", ["above zero"]),
    "all risk": ('risk = "100 %"\n' + PLAIN, "course.toml:1: risk", ["would order nothing"]),
    "risk without its sign": ("risk = 10\n" + PLAIN, "course.toml:1: risk", ["write 10 % or 0.1"]),
    "no times": (PLAIN + SAND + DRESS + "times = 0\n", "course.toml:13: job.1.times", ["from 1 to 366"]),
    "half times": (PLAIN + SAND + DRESS + "times = 2.5\n", "course.toml:13: job.1.times", ["whole number"]),
    "times in words": (PLAIN + SAND + DRESS + 'times = "2"\n', "course.toml:13: job.1.times", ["without quotes"]),
    "overlap of the whole width": (PLAIN + MOWER + 'overlap = "1 m"\n', "course.toml:4: machine.mower", ["less than"]),
    "machine that stands still": (
        PLAIN + MOWER.replace("5 km/h", "0 km/h"),
        "course.toml:6: machine.mower.speed",
        ["zero"],
    ),
    "machine of no surface": (
        PLAIN + MOWER.replace('["green"]', "[]"),
        "course.toml:8: machine.mower.on",
        ["at least"],
    ),
    "neither turn nor efficiency": (
        PLAIN + MOWER.replace("efficiency", "# efficiency"),
        "course.toml:4: machine.mower",
        ['turn = "12 s"', "turn_radius", "efficiency"],
    ),
    "turn in two ways": (
        PLAIN + MOWER + 'turn = "12 s"\nturn_radius = "1 m"\n',
        "course.toml:4: machine.mower",
        ["both turn and turn_radius"],
    ),
    "turn in metres": (PLAIN + MOWER + 'turn = "2 m"\n', "course.toml:9: machine.mower.turn", ["not a time"]),
    "no turning circle": (
        PLAIN + MOWER + 'turn_radius = "0 m"\n',
        "course.toml:9: machine.mower.turn_radius",
        ["zero"],
    ),
    "half a round": (PLAIN + MOWER + "clean_up = 1.5\n", "course.toml:9: machine.mower.clean_up", ["from 0 to 20"]),
    "direction in words": (
        PLAIN + MOWER + 'direction = "north"\n',
        "course.toml:9: machine.mower.direction",
        ['"best"', '"turned"', "degrees from north"],
    ),
    "direction past the circle": (
        PLAIN + MOWER + "direction = 400\n",
        "course.toml:9: machine.mower.direction",
        ["'400' is no direction"],
    ),
    "direction that is neither": (
        PLAIN + MOWER + "direction = true\n",
        "course.toml:9: machine.mower.direction",
        ["0 to"],
    ),
    "box that is never emptied": (PLAIN + MOWER + 'box = "60 l"\n', "course.toml:4: machine.mower", ["go together"]),
    "box by weight": (PLAIN + MOWER + 'box = "60 kg"\n', "course.toml:9: machine.mower.box", ["not a volume"]),
    "waiting all day": (
        PLAIN + MOWER + 'waiting = "100 %"\n',
        "course.toml:9: machine.mower.waiting",
        ["such as 15 %"],
    ),
    "transport at a stand": (
        PLAIN + MOWER + 'transport = "0 km/h"\n',
        "course.toml:9: machine.mower.transport",
        ["above zero"],
    ),
    "no machine of its kind": (PLAIN + MOWER + "count = 0\n", "course.toml:9: machine.mower.count", ["from 1 to 1000"]),
    "power in horses": (
        PLAIN + MOWER + 'power = "20 horses"\n',
        "course.toml:9: machine.mower.power",
        ["unknown unit"],
    ),
    "fuel for a hectare": (
        PLAIN + MOWER + 'fuel = "5 l/ha"\n',
        "course.toml:9: machine.mower.fuel",
        ["volume over a time", "l/h"],
    ),
    "clippings by weight": (
        PLAIN + '[surface.green]\nclippings = "50 g/m2"\n',
        "course.toml:5: surface.green.clippings",
        ["volume over an area", "l/m2"],
    ),
    "tine wider than the spacing": (
        PLAIN + CORE.replace("12 mm", "12 cm"),
        "course.toml:4: job.1",
        ["holes overlap: tine 120 mm", "same unit"],
    ),
    "three spacings": (
        PLAIN + CORE.replace('"50 mm"', '["1 in", "1 in", "1 in"]'),
        "course.toml:9: job.1.spacing",
        ["two distances"],
    ),
    "overthrow without a unit": (PLAIN + SAND + DRESS + "overthrow = 0.6\n", "course.toml:13: job.1.overthrow", ["%"]),
    "overthrow by weight": (
        PLAIN + SAND + DRESS + 'overthrow = "6 kg"\n',
        "course.toml:13: job.1.overthrow",
        ["not a length"],
    ),
    "overthrow inwards": (
        PLAIN + SAND + DRESS + 'overthrow = "-1 m"\n',
        "course.toml:13: job.1.overthrow",
        ["below zero"],
    ),
    # spreads
    "spread without a unit": (
        PLAIN + SAND + DRESS.replace("2 mm", "2 mm ± 1"),
        "course.toml:11: job.1.depth",
        ["behind ± has no unit"],
    ),
    "spread of another kind": (
        PLAIN + SAND + DRESS.replace("2 mm", "2 mm ± 1 kg"),
        "course.toml:11: job.1.depth",
        ["'1 kg' is not a depth"],
    ),
    "spread below zero": (
        PLAIN + SAND + DRESS.replace("2 mm", "2 mm ± -1 mm"),
        "course.toml:11: job.1.depth",
        ["cannot be negative"],
    ),
    "spread as large as the figure": (
        PLAIN + SAND + DRESS.replace("2 mm", "2 mm ± 120 %"),
        "course.toml:11: job.1.depth",
        ["{ low = ..., likely = ..., high = ... }"],
    ),
    "spread alone": (
        PLAIN + SAND + DRESS.replace("2 mm", "± 1 mm"),
        "course.toml:11: job.1.depth",
        ["a figure before ±"],
    ),
    "spread forgotten": (
        PLAIN + SAND + DRESS.replace("2 mm", "2 mm ±"),
        "course.toml:11: job.1.depth",
        ["standard deviation behind it"],
    ),
    "infinite spread": (
        PLAIN + SAND + DRESS.replace("2 mm", "2 mm ± 1e999 %"),
        "course.toml:11: job.1.depth",
        ["too large"],
    ),
    "spread where none can be": (
        PLAIN + SAND + 'load = "20 t ± 1 t"\n',
        "course.toml:7: material.sand.load",
        ["no spread can be given here"],
    ),
    "triangle where none can be": (
        PLAIN + SAND + 'load = { low = "1 t", likely = "2 t", high = "3 t" }\n',
        "course.toml:7: material.sand.load",
        ["no spread can be given here"],
    ),
    "triangle out of order": (
        PLAIN + CORE + 'fill = { low = "95 %", likely = "92 %", high = "100 %" }\n',
        "course.toml:11: job.1.fill",
        ["in order", "low = 95 %"],
    ),
    "triangle of two": (
        PLAIN + CORE + 'fill = { low = "75 %", high = "100 %" }\n',
        "course.toml:11: job.1.fill",
        ["low, likely and high"],
    ),
    "triangle below zero": (
        PLAIN + CORE + 'fill = { low = "-5 %", likely = "92 %", high = "100 %" }\n',
        "course.toml:11: job.1.fill",
        ["'-5 %' is below zero"],
    ),
    # analysis and prices
    "analysis above the whole": (
        PLAIN + FEED.replace('N = "12 %"', 'N = "60 %", K2O = "50 %"'),
        "course.toml:6: material.feed.analysis",
        ["more than 100 %"],
    ),
    "analysis without signs": (
        PLAIN + FEED.replace('"12 %"', "12"),
        "course.toml:6: material.feed.analysis.N",
        ["write 12 % or 0.12"],
    ),
    "nutrient twice": (
        PLAIN + FEED.replace('N = "12 %"', 'N = "12 %", N = "4 %"'),
        "course.toml:6: not valid TOML",
        ["given before"],
    ),
    "nutrient as oxide and element": (
        PLAIN + FEED.replace('N = "12 %"', 'P2O5 = "12 %", P = "4 %"'),
        "course.toml:6: material.feed.analysis",
        ["two ways to give one nutrient"],
    ),
    "empty analysis": (
        PLAIN + FEED.replace('N = "12 %"', ""),
        "course.toml:6: material.feed.analysis",
        ["is empty"],
    ),
    "price of a pack without a pack": (
        PLAIN + FEED + 'price = "20 EUR/pack"\n',
        "course.toml:7: material.feed.price",
        ['pack = "10 kg"'],
    ),
    "sand by the pack": (PLAIN + SAND + 'price = "4 EUR/pack"\n', "course.toml:7: material.sand.price", ["42 EUR/t"]),
    "price by volume": (PLAIN + SAND + 'price = "42 EUR/m3"\n', "course.toml:7: material.sand.price", ["42 EUR/t"]),
    "price by the bare ton": (
        PLAIN + SAND + 'price = "42 EUR/ton"\n',
        "course.toml:7: material.sand.price",
        ["US ton"],
    ),
    "other currency": (PLAIN + SAND + 'price = "42 USD/t"\n', "course.toml:7: material.sand.price", ["USD", "EUR"]),
    "currency by its sign": (PLAIN + SAND + 'price = "42 €/t"\n', "course.toml:7: material.sand.price", ["42 EUR/t"]),
    "bare price": (PLAIN + SAND + "price = 42\n", "course.toml:7: material.sand.price", ["42 EUR/t"]),
    "price with thousands": (PLAIN + SAND + 'price = "1,042 EUR/t"\n', "course.toml:7: material.sand.price", ["1042"]),
    "currency in words": ('currency = "euro"\n' + PLAIN, "course.toml:1: currency", ["three capital letters"]),
    # days
    "day of another form": (PLAIN + 'surveyed = "14/03/2026"\n', "course.toml:4: layer.1.surveyed", ["2026-03-14"]),
    "day as a number": (PLAIN + "surveyed = 20260314\n", "course.toml:4: layer.1.surveyed", ["2026-03-14"]),
    "day with an hour": (PLAIN + "surveyed = 2026-03-14T10:00:00\n", "course.toml:4: layer.1.surveyed", ["not a day"]),
    "no such day": (PLAIN + "surveyed = 2026-02-30\n", "course.toml:4: layer.1.surveyed", ["not a day"]),
    # no TOML
    "quote not closed": (PLAIN.replace('Links"', "Links"), "course.toml:1: not valid TOML", ["not closed"]),
    "no quotes": (PLAIN.replace('"Invented Links"', "Invented"), "course.toml:1: not valid TOML", ["in quotes"]),
    "no equals sign": (PLAIN + 'surface "green"\n', "course.toml:4: not valid TOML", ["key = value"]),
    "list not closed": (PLAIN + SAND + DRESS.replace('"]', '"'), "course.toml:11: not valid TOML", ["not closed"]),
    "key twice": (PLAIN + 'file = "b.gpkg"\n', "course.toml:4: not valid TOML", ["given before"]),
    "table twice": (PLAIN + SAND + SAND, "course.toml:7: not valid TOML", ["[material.sand]", "begun before"]),
    "backslashes": (PLAIN.replace("areas", "c:\\areas"), "course.toml:3: not valid TOML", ["/ in place of"]),
    "nested without end": (PLAIN + "x = " + "[" * 9000, "course.toml", ["not valid TOML"]),
    "number without end": (PLAIN + "x = " + "9" * 9000, "course.toml", ["not valid TOML"]),
}


@pytest.mark.parametrize(("text", "place", "words"), WRONG.values(), ids=list(WRONG))
def test_one_message_says_what_is_wrong_and_where(text, place, words, read):
    with pytest.raises(SettingsError) as raised:
        read(text)
    lines = str(raised.value).splitlines()
    (line,) = [line for line in lines if line.startswith(f"{place}: ")]
    assert len(lines) == (2 if text == "" else 1)  # an empty file lacks its name and its layers
    for word in words:
        assert word in line


def test_all_that_is_wrong_is_said_at_once_from_the_top_down(read):
    wrong = PLAIN + SAND.replace("t/m3", "t") + DRESS.replace("2 mm", "2 kg").replace('["green"]', '"green"')
    with pytest.raises(SettingsError) as raised:
        read(wrong)
    numbers = [int(re.match(r"course\.toml:(\d+): ", line).group(1)) for line in str(raised.value).splitlines()]
    assert numbers == [6, 10, 11]


@pytest.mark.parametrize(
    "content",
    [PLAIN.encode("utf-16"), PLAIN.replace("I", "\N{LATIN CAPITAL LETTER I WITH DIAERESIS}").encode("latin-1")],
    ids=["utf-16", "latin-1"],
)
def test_what_is_not_utf_8_is_told(content, read):
    with pytest.raises(SettingsError, match=r"course\.toml: not a text file in UTF-8; save it as UTF-8 text"):
        read(content)


def test_a_folder_or_nothing_in_place_of_the_file(tmp_path):
    with pytest.raises(SettingsError, match="cannot be read"):
        read_settings(tmp_path)
    with pytest.raises(SettingsError, match=r"none\.toml: no such file"):
        read_settings(tmp_path / "none.toml")


RIGHT = {
    "holes as numbers": (CORE + "holes = [7, 8]\n", lambda course: course.job[0].holes == ["7", "8"]),
    "one spacing for both": (CORE, lambda course: course.job[0].spacing == (0.05, 0.05)),
    "whole shares": (CORE + 'fill = "100 %"\n', lambda course: course.job[0].fill.likely == 1),
    "shares as numbers": (CORE + "fill = 0.9\n", lambda course: course.job[0].fill.likely == 0.9),
    "day in quotes": ("", lambda course: str(course.layer[0].surveyed) == "2026-03-14"),
    "analysis of the whole": (
        FEED.replace('N = "12 %"', 'N = "70 %", K2O = "20 %", S = "10 %"'),
        lambda course: len(course.material["feed"].analysis) == 3,
    ),
    "overthrow as a share": (
        SAND + DRESS + 'overthrow = { low = "3 %", likely = "8 %", high = "18 %" }\n',
        lambda course: course.job[0].overthrow.share.mean == pytest.approx(0.29 / 3),
    ),
    "overthrow as a reach with a spread in %": (
        SAND + DRESS + 'overthrow = "0.6 m +- 10 %"\n',
        lambda course: course.job[0].overthrow.reach.sd == pytest.approx(0.06),
    ),
    "tiles": (
        '[map]\ntiles = "https://{s}.tiles.example/{z}/{x}/{y}.png"\ntiles_credit = "the tile maker"\n',
        lambda course: course.map.tiles_credit == "the tile maker",
    ),
    "price by the US ton": (
        SAND + 'price = "42 EUR per US ton"\n',
        lambda course: course.material["sand"].price.per_kg == pytest.approx(42 / 907.18474),
    ),
}


@pytest.mark.parametrize(("text", "holds"), RIGHT.values(), ids=list(RIGHT))
def test_what_is_near_to_wrong_but_right_is_taken(text, holds, read):
    assert holds(read(PLAIN + 'surveyed = "2026-03-14"\n' + text))


# What the value of a key may turn into by mistake.
JUNK = (
    *('""', '"x"', '"-1 m"', '"nan m"', "inf", "nan", "true", "[]", '["a"]', "[[1]]", "{}", "{ a = 1 }"),
    *("1979-05-27", "12:00:00", "-1", "99999999999999999999", '"5 mm ±"', '"1e999 m"', '"± 5 mm"', '"1,000 m"'),
)


def with_junk(line, at):
    """The key with three of the values, other ones in every line."""
    key = re.match(r"[\w.-]+\s*=\s*", line)
    return [[key.group() + JUNK[(at + step) % len(JUNK)]] for step in (0, 7, 13)] if key else []


MISTAKES = {
    "left out": lambda line, at: [[]],
    "written twice": lambda line, at: [[line, line]],
    "cut short": lambda line, at: [[line.split("#")[0].rstrip()[:-1]]],
    "with junk": with_junk,
}


@pytest.mark.parametrize("mistake", MISTAKES.values(), ids=list(MISTAKES))
def test_one_line_of_the_demo_gone_wrong_is_read_or_refused_with_the_file_named(mistake, read):
    lines = (ROOT / "demo_layers" / "course.toml").read_text(encoding="utf-8").splitlines()
    said = []
    for at, line in enumerate(lines):
        if line.strip() and not line.startswith("#"):
            for wrong in mistake(line, at):
                said += refusal(read, [*lines[:at], *wrong, *lines[at + 1 :]])
    assert len(said) > 50
    assert all(line.startswith("course.toml:") for line in said)


def refusal(read, lines):
    try:
        read("\n".join(lines))
    except SettingsError as error:
        return str(error).splitlines()
    return []
