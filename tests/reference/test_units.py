"""
Unit factors against printed tables, and against the registry that pint ships.

Each row types the figure as printed; it must be met to half of its last digit. Ours is a short list of our own, so
what pint or a handbook knows besides is of no concern here.
"""

import pint
import pytest

from turfgis.units import KINDS, shown, to_si

# NIST, Guide for the Use of the International System of Units, SP 811, 2008, Appendix B.8 (read in a copy made from
# it: the unit library of SysML v2). What is written; kind; the factor to SI, as printed.
SP_811 = [
    pytest.param("1 ft", "length", "3.048e-1", id="foot"),
    pytest.param("1 in", "length", "2.54e-2", id="inch"),
    pytest.param("1 yd", "length", "9.144e-1", id="yard"),
    pytest.param("1 mile", "length", "1609.344", id="mile"),
    pytest.param("1 lb", "mass", "4.535924e-1", id="pound"),
    pytest.param("1 oz", "mass", "2.834952e-2", id="ounce"),
    pytest.param("1 US ton", "mass", "907.1847", id="short-ton"),
    pytest.param("1 long ton", "mass", "1016.047", id="long-ton"),
    pytest.param("1 US gal", "volume", "3.785412e-3", id="US-gallon"),
    pytest.param("1 imp gal", "volume", "4.54609e-3", id="imperial-gallon"),
    pytest.param("1 US fl oz", "volume", "2.957353e-5", id="US-fluid-ounce"),
    pytest.param("1 US ton/yd3", "density", "1186.553", id="short-ton-per-cubic-yard"),
    pytest.param("1 long ton/yd3", "density", "1328.939", id="long-ton-per-cubic-yard"),
]


@pytest.mark.parametrize(("written", "kind", "printed"), SP_811)
def test_factors_as_printed_by_nist(written, kind, printed, as_printed):
    assert to_si(written, kind) == as_printed(printed)


# NIST, U.S. Survey Foot: Revised Unit Conversion Factors, 2022, table, column of the international foot
# https://www.nist.gov/pml/us-surveyfoot/revised-unit-conversion-factors
INTERNATIONAL = [
    pytest.param("43560 ft2", "area", "4046.8564224", id="acre-in-square-feet"),
    pytest.param("1 acre", "area", "4046.8564224", id="acre"),
    pytest.param("27878400 ft2", "area", "2589988.110336", id="square-mile-in-square-feet"),
    pytest.param("1 mile2", "area", "2589988.110336", id="square-mile"),
    pytest.param("43560 ft3", "volume", "1233.48183754752", id="acre-foot"),
    pytest.param("5280 ft", "length", "1609.344", id="mile-in-feet"),
    pytest.param("16.5 ft", "length", "5.0292", id="rod-in-feet"),
]


@pytest.mark.parametrize(("written", "kind", "printed"), INTERNATIONAL)
def test_multiples_of_the_international_foot_as_printed(written, kind, printed, as_printed):
    assert to_si(written, kind) == as_printed(printed)


def test_square_measures_as_printed(as_printed):
    # CIA World Factbook, Appendix G (read in a copy): one acre in four measures
    acre = to_si("1 acre", "area")
    assert acre / to_si("1 ha", "area") == as_printed("0.40468564224")
    assert acre / to_si("1 ft2", "area") == as_printed("43560")
    assert acre / to_si("1 yd2", "area") == as_printed("4840")
    # UNEP, Sourcebook of Alternative Technologies for Freshwater Augmentation in some Asian Countries, 1998, annex;
    # the square yard from memory
    assert to_si("1 ft2", "area") == as_printed("0.09290304")
    assert to_si("1 yd2", "area") == as_printed("0.83612736")
    # the same annex: a million US gallons
    assert to_si("1e6 US gal", "volume") == as_printed("3785.4")
    assert to_si("1e6 US gal", "volume") / to_si("1e6 ft3", "volume") == as_printed("0.13368")


def test_rates_of_sand_seed_and_fertiliser_as_printed(as_printed):
    # extension bulletins round 1 lb/1,000 ft2 to 49 kg/ha and 1 lb/acre to 1.12 kg/ha (common practice, from memory)
    assert to_si("1 lb/1000 ft2", "mass rate") / to_si("1 kg/ha", "mass rate") == as_printed("49")
    assert to_si("1 lb/acre", "mass rate") / to_si("1 kg/ha", "mass rate") == as_printed("1.12")
    # plain arithmetic: a cubic foot on 1,000 ft2 is a thousandth of a foot
    assert to_si("1 ft3/1000 ft2", "depth") / to_si("1 in", "depth") == as_printed("0.012")
    # plain arithmetic: a litre on a square metre stands a millimetre deep
    assert to_si("1 l/m2", "depth") == pytest.approx(to_si("1 mm", "depth"), rel=1e-15)


# Every unit that a message offers, with its name in the registry that pint ships.
PINT_NAMES = {
    "mm": "millimeter",
    "cm": "centimeter",
    "m": "meter",
    "in": "inch",
    "ft": "foot",
    "yd": "yard",
    "m2": "meter**2",
    "ha": "hectare",
    "ft2": "foot**2",
    "yd2": "yard**2",
    "l": "liter",
    "m3": "meter**3",
    "ft3": "foot**3",
    "yd3": "yard**3",
    "US gal": "US_liquid_gallon",
    "imp gal": "imperial_gallon",
    "g": "gram",
    "kg": "kilogram",
    "t": "metric_ton",
    "lb": "pound",
    "oz": "ounce",
    "US ton": "short_ton",
    "long ton": "long_ton",
    "s": "second",
    "min": "minute",
    "h": "hour",
    "km/h": "kilometer/hour",
    "m/s": "meter/second",
    "mph": "mile/hour",
    "t/m3": "metric_ton/meter**3",
    "kg/m3": "kilogram/meter**3",
    "kg/l": "kilogram/liter",
    "lb/ft3": "pound/foot**3",
    "US ton/yd3": "short_ton/yard**3",
    "g/m2": "gram/meter**2",
    "kg/ha": "kilogram/hectare",
    "lb/1000 ft2": "pound/(1000*foot**2)",
    "l/m2": "liter/meter**2",
    "ft3/1000 ft2": "foot**3/(1000*foot**2)",
    "l/ha": "liter/hectare",
    "ml/m2": "milliliter/meter**2",
    "US fl oz/1000 ft2": "US_fluid_ounce/(1000*foot**2)",
    "h/ha": "hour/hectare",
    "h/1000 m2": "hour/(1000*meter**2)",
    "min/100 m2": "minute/(100*meter**2)",
    "kW": "kilowatt",
    "hp": "horsepower",
    "PS": "metric_horsepower",
    "l/h": "liter/hour",
    "US gal/h": "US_liquid_gallon/hour",
    "imp gal/h": "imperial_gallon/hour",
    "m3/h": "meter**3/hour",
    "l/min": "liter/minute",
    "l/s": "liter/second",
    "US gal/min": "US_liquid_gallon/minute",
    "imp gal/min": "imperial_gallon/minute",
    "mm/h": "millimeter/hour",
    "in/h": "inch/hour",
    "bar": "bar",
    "kPa": "kilopascal",
    "psi": "pound_force_per_square_inch",
}
OFFERED = [
    (unit, kind)
    for kind, (_, accepted) in KINDS.items()
    if kind != "share"
    for unit in accepted.split(", ")
    if "acre" not in unit
]


@pytest.fixture(scope="module")
def library():
    return pint.UnitRegistry()


@pytest.mark.parametrize(("unit", "kind"), OFFERED)
def test_units_agree_with_those_that_pint_ships(unit, kind, library):
    theirs = library(f"7 * {PINT_NAMES[unit]}").to(KINDS[kind][0]).magnitude
    assert to_si(f"7 {unit}", kind) == pytest.approx(theirs, rel=1e-12)


def test_the_acre_is_the_international_one_and_differs_from_pints_by_four_millionths(library):
    # Unidata/UDUNITS-2 issue 56, 2018, and hgrecco/pint pull request 1920, 2024: libraries hold the survey acre, which
    # is 43,560.17 international square feet
    theirs = library("1 acre").to("m**2").magnitude
    ours = to_si("1 acre", "area")
    assert theirs / to_si("1 ft2", "area") == pytest.approx(43_560.17, abs=0.005)
    assert 3.9e-6 < theirs / ours - 1 < 4.1e-6


def test_a_share_in_percent_agrees_with_pint(library):
    assert to_si("7 %", "share") == pytest.approx(library("7 percent").to("").magnitude, rel=1e-12)


# label of a shown unit -> its name in pint's registry, and the SI unit
SHOWN = [
    ("area", "metric", "meter**2", "meter**2"),
    ("area", "us", "foot**2", "meter**2"),
    ("large area", "metric", "hectare", "meter**2"),
    ("length", "metric", "meter", "meter"),
    ("length", "us", "foot", "meter"),
    ("width", "metric", "meter", "meter"),
    ("width", "us", "foot", "meter"),
    ("small length", "metric", "millimeter", "meter"),
    ("small length", "us", "inch", "meter"),
    ("volume", "metric", "meter**3", "meter**3"),
    ("volume", "us", "yard**3", "meter**3"),
    ("heavy", "metric", "metric_ton", "kilogram"),
    ("heavy", "us", "short_ton", "kilogram"),
    ("mass", "metric", "kilogram", "kilogram"),
    ("mass", "us", "pound", "kilogram"),
    ("mass rate", "metric", "gram/meter**2", "kilogram/meter**2"),
    ("mass rate", "us", "pound/(1000*foot**2)", "kilogram/meter**2"),
    ("field rate", "metric", "kilogram/hectare", "kilogram/meter**2"),
    ("density", "metric", "metric_ton/meter**3", "kilogram/meter**3"),
    ("density", "us", "pound/foot**3", "kilogram/meter**3"),
    ("speed", "metric", "kilometer/hour", "meter/second"),
    ("speed", "us", "mile/hour", "meter/second"),
    ("capacity", "metric", "meter**2/hour", "meter**2/second"),
    ("capacity", "us", "foot**2/hour", "meter**2/second"),
    ("minutes", "metric", "minute", "second"),
    ("minutes", "us", "minute", "second"),
    ("hours", "metric", "hour", "second"),
    ("liquid", "metric", "liter", "meter**3"),
    ("liquid", "us", "US_liquid_gallon", "meter**3"),
    ("water", "us", "US_liquid_gallon", "meter**3"),
    ("nozzle flow", "metric", "liter/minute", "meter**3/second"),
    ("nozzle flow", "us", "US_liquid_gallon/minute", "meter**3/second"),
    ("rain rate", "metric", "millimeter/hour", "meter/second"),
    ("rain rate", "us", "inch/hour", "meter/second"),
    ("pump flow", "metric", "meter**3/hour", "meter**3/second"),
    ("pump flow", "us", "US_liquid_gallon/minute", "meter**3/second"),
]


@pytest.mark.parametrize(("kind", "system", "theirs", "si"), SHOWN)
def test_shown_figures_agree_with_pint(kind, system, theirs, si, library):
    assert shown(kind, system).per_si == pytest.approx(1 / library(theirs).to(si).magnitude, rel=1e-12)
