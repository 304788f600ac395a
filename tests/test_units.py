"""How figures are written, and how they are shown. Factors against printed tables: reference/test_units.py."""

import pytest

from turfgis import units
from turfgis.errors import InputError
from turfgis.units import KINDS, Shown, shown, to_si

# One thing in the ways that people write it. Plain arithmetic from the definitions of the units.
SAME = {
    "depth": [
        ("75 mm", "75mm", "75.0 mm", "7.5 cm", "0,075 m", "75 MILLIMETRES", "75 millimeter", " 75  mm ", "7.5e-2 m"),
        ("2 ft3/1000 ft2", "2 cu ft/1000 sq ft", "2 cubic feet per 1,000 sq ft"),
    ],
    "area": [
        ("2 m2", "2 m²", "2 m^2", "2 m**2", "2 m 2", "2 sq m", "2 square metres", "2 sqm", "2 Square Meter"),
        ("3 ft2", "3 ft²", "3 sq ft", "3 sq. ft.", "3 sqft", "3 square feet", "3 square foot"),
    ],
    "volume": [
        ("3 yd3", "3 yd³", "3 cu yd", "3 cubic yards", "3 cu. yd."),
        ("9 US gal", "9 us gal", "1152 US fl oz", "2079 in3"),
    ],
    "mass rate": [
        ("4 lb/1000 ft2", "4 lb/1,000 ft2", "4 lb / 1000 sq ft", "4 lbs per 1000 square feet", "4 pounds/1000ft²"),
    ],
    "mass": [
        ("5 US ton", "5 US tons", "5 us ton", "5 short tons", "10000 lb"),
        ("6 long ton", "6 long tons", "6 Long Ton"),
        ("7 t", "7 tonnes", "7 metric tons", "7000 kg"),
    ],
    "length": [
        ("1/2 in", "0.5 in", "0,5 in", ".5 in", "0.5 inches", '0.5"', "1 / 2 inch"),
        ("1 1/2 in", "1.5 in"),
    ],
    "speed": [("4.5 km/h", "4.5 km / h", "4.5 km per hour", "4500 m/h")],
    # 550 foot-pounds a second; 75 kilogram-force metres a second
    "power": [("15 kW", "15 kilowatts", "15000 W"), ("745.69987158227022 kW", "1000 hp", "1000 horsepower")],
    "fuel rate": [("3 l/h", "3 litres per hour", "0.003 m3/h")],
    "share": [("8 %", "8%", "8 percent", "8 pct", "0.08")],
}
WRITTEN = [(first, other, kind) for kind, rows in SAME.items() for first, *others in rows for other in others]


@pytest.mark.parametrize(("first", "other", "kind"), WRITTEN)
def test_one_thing_may_be_written_in_many_ways(first, other, kind):
    assert to_si(other, kind) == pytest.approx(to_si(first, kind), rel=1e-14)


REFUSED = [
    # written, kind, what the message must say
    ("20 ton", "mass", ["US ton", "long ton", "write t"]),
    ("20 tons", "mass", ["US ton", "long ton"]),
    ("20 TON", "mass", ["US ton"]),
    ("1.5 ton/yd3", "density", ["US ton", "long ton"]),
    ("3 gal", "volume", ["US gal", "imp gal"]),
    ("3 gallons", "volume", ["US gal", "imp gal"]),
    ("3 fl oz", "volume", ["US fl oz", "ml"]),
    ("3 fluid ounces", "volume", ["US fl oz", "ml"]),
    ("3 cwt", "mass", ["kg or lb"]),
    ("1,000 m", "length", ["1.000 or 1000"]),
    ("1,000 m2", "area", ["two ways"]),
    ("1,000,000 m2", "area", ["thousands"]),
    ("1 000 m2", "area", ["thousands"]),
    ("1'000 m2", "area", ["thousands"]),
    ("1.000,5 m2", "area", ["thousands"]),
    ("5 10 m", "length", ["'5 10' is not a number"]),
    ("1/0 in", "length", ["not a number"]),
    ("1.2.3 m", "length", ["not a number"]),
    ("5 lb/0 ft2", "mass rate", ["divides by nothing"]),
    ("5 KG", "mass", ["did you mean 'kg'"]),
    ("5 Mg", "mass", ["did you mean 'mg'"]),  # a megagram is a thousand million milligrams: never fold that
    ("5 tonn", "mass", ["did you mean 'tonne'"]),
    ("5 hectar", "area", ["did you mean 'hectare'"]),
    ("5 furlong", "length", ["unknown unit 'furlong'"]),
    ("5 m m", "length", ["unknown unit 'm m'"]),
    ("5 (m)", "length", ["cannot read the unit"]),
    ("5 m/", "length", ["cannot read the unit"]),
    ("5 __class__", "length", ["unknown unit"]),
    ("75", "length", ["has no unit", "mm, cm, m"]),
    (75, "length", ["has no unit", "in quotes"]),
    (True, "length", ["not a figure"]),
    (None, "length", ["not a figure"]),
    (["75 mm"], "length", ["not a figure"]),
    ("", "length", ["does not start with a number"]),
    ("mm", "length", ["does not start with a number"]),
    ("nan m", "length", ["does not start with a number"]),
    ("inf m", "length", ["does not start with a number"]),
    ("1e999 m", "length", ["too large"]),
    ("9" * 400 + " m", "length", ["too large"]),
    ("1e999 %", "share", ["too large"]),
    (float("nan"), "share", ["5 %"]),
    (float("inf"), "share", ["5 %"]),
    (10**400, "share", ["5 %"]),
    (5, "share", ["5 %"]),
    ("5", "share", ["5 %"]),
    ("5 mm", "share", ["not a share"]),
    ("5 mm", "mass", ["not a mass", "g, kg, t"]),
    ("5 m2", "depth", ["a length, or a volume over an area"]),
    ("5 kg", "mass rate", ["weight over an area", "g/m2"]),
    ("5 m/s/s", "speed", ["not a speed"]),
    ("5 t", "density", ["not a density", "t/m3"]),
]


@pytest.mark.parametrize(("written", "kind", "said"), REFUSED, ids=lambda value: str(value)[:20])
def test_what_cannot_be_read_is_refused_with_what_would_be(written, kind, said):
    with pytest.raises(InputError) as raised:
        to_si(written, kind)
    for words in said:
        assert words in str(raised.value)
    assert "\n" not in str(raised.value)


def test_comma_and_point_both_stand_before_decimals():
    assert to_si("0,3 m", "length") == to_si("0.3 m", "length") == 0.3
    assert to_si("1,5 m", "length") == 1.5
    assert to_si("1,2345 m", "length") == 1.2345


def test_signs_are_kept_for_the_settings_to_judge():
    assert to_si("-3 mm", "depth") == -0.003
    assert to_si("+3 mm", "depth") == 0.003


@pytest.mark.parametrize("kind", [kind for kind in KINDS if kind != "share"])
def test_every_unit_that_a_message_offers_is_taken(kind):
    for unit in KINDS[kind][1].split(", "):
        assert to_si(f"1 {unit}", kind) > 0


def test_every_name_on_the_list_is_taken_by_itself_and_in_the_plural():
    kinds = [kind for kind in KINDS if kind != "share"]
    for name in set(units.NAMES) - {"percent", "pct"}:
        for word in {name, f"{name}s"} if len(name) > 1 else {name}:
            assert any(_taken(f"1 {word.replace('_', ' ')}", kind) for kind in kinds), word


def _taken(text, kind):
    try:
        return to_si(text, kind) > 0
    except InputError:
        return False


@pytest.mark.parametrize("kind", list(units._SHOWN))
@pytest.mark.parametrize("system", ["metric", "us"])
def test_what_is_shown_can_be_read_back(kind, system):
    """Half of the last digit shown is all that is lost."""
    reads_as = {
        "large area": "area",
        "width": "length",
        "distance": "length",
        "small length": "length",
        "heavy": "mass",
        "field rate": "mass rate",
        "minutes": "time",
        "hours": "time",
        "liquid": "volume",
        "pump flow": "flow",
        "measured liquid": "volume",
        "spray volume": "volume rate",
        "dose": "volume rate",
        "nozzle flow": "flow",
        "water": "volume",
    }.get(kind, kind)
    how, value = shown(kind, system), 123.456
    text = how.text(value / how.per_si).replace(",", "")
    if kind == "capacity":  # no key of the settings holds one: read back as the area of an hour
        text, reads_as = text.removesuffix("/h"), "area"
        read = to_si(text, reads_as) / 3600
    else:
        read = to_si(text, reads_as)
    assert read * how.per_si == pytest.approx(value, abs=0.5 * 10**-how.decimals * (1 + 1e-9))


@pytest.mark.parametrize("system", ["metric", "us"])
def test_no_shown_weight_is_a_bare_ton(system):
    labels = {shown(kind, system).label for kind in units._SHOWN}
    assert not {label for label in labels if label.split("/")[0] == "ton"}
    assert shown("heavy", system).label == {"metric": "t", "us": "US ton"}[system]


def test_nothing_known_is_shown_as_a_dash():
    assert shown("area").text(float("nan")) == "–"
    assert shown("area").number(float("nan")) == "–"


def test_thousands_are_parted_by_commas():
    assert Shown("m2", 1.0, 1).text(1_234_567.89) == "1,234,567.9 m2"
