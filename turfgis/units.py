"""
Units at the boundary: text to SI on the way in, SI to shown figures on the way out. The only user of pint.

The list of units is our own and short, so that a name means one thing. A bare ``ton`` or ``gallon`` is refused, because
each is several different amounts; the acre is the international one (43,560 ft2 of 0.3048 m).
"""

import re
from dataclasses import dataclass
from difflib import get_close_matches
from functools import cache, lru_cache
from math import inf, isfinite, isnan
from typing import TYPE_CHECKING, Any

from turfgis.errors import InputError

if TYPE_CHECKING:
    import pint

# Exact factors: BIPM, The International System of Units (2019), and NIST SP 811 (2008), Appendix B.
DEFINITIONS = """
m = [length] = _ = metre = meter
mm = 0.001 m = _ = millimetre = millimeter
cm = 0.01 m = _ = centimetre = centimeter
km = 1000 m = _ = kilometre = kilometer
in = 0.0254 m = _ = inch
ft = 0.3048 m = _ = foot = feet
yd = 0.9144 m = _ = yard
mile = 1609.344 m
kg = [mass] = _ = kilogram
g = 0.001 kg = _ = gram
mg = 0.000001 kg = _ = milligram
t = 1000 kg = _ = tonne = metric_ton
lb = 0.45359237 kg = _ = pound
oz = 0.028349523125 kg = _ = ounce
US_ton = 907.18474 kg = _ = short_ton
long_ton = 1016.0469088 kg
s = [time] = _ = second
min = 60 s = _ = minute
h = 3600 s = _ = hour
day = 86400 s
ha = 10000 m ** 2 = _ = hectare
acre = 43560 ft ** 2
l = 0.001 m ** 3 = _ = L = litre = liter
ml = 0.000001 m ** 3 = _ = mL = millilitre = milliliter
US_gal = 231 in ** 3
imp_gal = 0.00454609 m ** 3
US_fl_oz = US_gal / 128
mph = mile / h
W = kg * m ** 2 / s ** 3 = _ = watt
kW = 1000 W = _ = kilowatt
hp = 745.69987158227022 W = _ = horsepower
PS = 735.49875 W
Pa = kg / m / s ** 2 = _ = pascal
kPa = 1000 Pa
bar = 100000 Pa
psi = 6894.757293168361 Pa
percent = 0.01 = _ = pct
"""

# Every name on the list, the first one of a unit before its others.
NAMES = tuple(
    part.strip()
    for line in DEFINITIONS.strip().splitlines()
    for place, part in enumerate(line.split("="))
    if place != 1 and part.strip() != "_"
)

# What each kind of figure is measured in inside the program, and a few ways a person may write it.
KINDS: dict[str, tuple[str, str]] = {
    "length": ("m", "mm, cm, m, in, ft, yd"),
    "area": ("m**2", "m2, ha, ft2, yd2, acre"),
    "volume": ("m**3", "l, m3, ft3, yd3, US gal, imp gal"),
    "mass": ("kg", "g, kg, t, lb, oz, US ton, long ton"),
    "time": ("s", "s, min, h"),
    "speed": ("m/s", "km/h, m/s, mph"),
    "density": ("kg/m**3", "t/m3, kg/m3, kg/l, lb/ft3, US ton/yd3"),
    "mass rate": ("kg/m**2", "g/m2, kg/ha, lb/1000 ft2, lb/acre"),
    "depth": ("m", "mm, l/m2, in, ft3/1000 ft2"),
    "volume rate": ("m", "l/ha, ml/m2, US gal/acre, US fl oz/1000 ft2"),
    "work rate": ("s/m**2", "h/ha, h/1000 m2, min/100 m2, h/acre"),
    "power": ("W", "kW, hp, PS"),
    "fuel rate": ("m**3/s", "l/h, US gal/h, imp gal/h"),
    "flow": ("m**3/s", "m3/h, l/min, l/s, US gal/min, imp gal/min"),
    "rain rate": ("m/s", "mm/h, in/h"),
    "pressure": ("Pa", "bar, kPa, psi"),
    "share": ("", "%, or a number from 0 to 1"),
}

REFUSED = {
    "ton": "a bare 'ton' is three different weights: write t (1,000 kg), US ton (907 kg) or long ton (1,016 kg)",
    "gal": "a bare 'gallon' is two different volumes: write US gal (3.785 l) or imp gal (4.546 l)",
    "fl_oz": "a bare 'fl oz' is two different volumes: write US fl oz (29.6 ml) or ml",
    "cwt": "a 'cwt' is two different weights: write kg or lb",
}
for _other, _name in (
    ("tons", "ton"),
    ("gallon", "gal"),
    ("gallons", "gal"),
    ("floz", "fl_oz"),
    ("fluid_ounce", "fl_oz"),
    ("fluid_ounces", "fl_oz"),
):
    REFUSED[_other] = REFUSED[_name]

# All that may belong to the number; whether it does is read_number's to say.
_QUANTITY = re.compile(r"\s*([-+]?(?=[\d.,])[\d.,'/\s]*(?:[eE][-+]?\d+)?)(.*)", re.DOTALL)
_NUMBER = re.compile(r"[-+]?(?:\d+(?:[.,]\d*)?|[.,]\d+)(?:[eE][-+]?\d+)?")
_FRACTION = re.compile(r"([-+]?)(?:(\d+)\s+)?(\d+)\s*/\s*(\d+)")
_THOUSANDS = re.compile(r"[-+]?\d{1,3}(?:([\s,.'])\d{3})(?:\1\d{3})*(?:[.,]\d+)?")
_FACTOR = re.compile(r"\s*(\d+(?:,\d{3})*(?:\.\d+)?)?\s*([A-Za-z\"'%_ ]+?)\s*(?:\^|\*\*)?\s*([23²³])?\s*")


@cache
def registry() -> "pint.UnitRegistry":
    """The unit registry, made on first use from our own short list."""
    import pint

    made = pint.UnitRegistry(None, case_sensitive=True)  # type: ignore[arg-type]  # None: no units but ours
    made.load_definitions(DEFINITIONS.strip().splitlines())
    return made


def _unit_name(text: str) -> str:
    """One unit as the registry calls it: two words joined, capitals and plurals put right."""
    name = "_".join(text.split())
    name = {"%": "percent", '"': "in", "'": "ft"}.get(name, name)
    if name.lower() in REFUSED:
        raise InputError(REFUSED[name.lower()])
    if name in NAMES:
        return name
    known = {unit.lower(): unit for unit in reversed(NAMES)}
    if len(name) > 2:  # capitals count in what is short: Mg is not mg
        for one in (name.lower(), name.lower().removesuffix("s"), name.lower().removesuffix("es")):
            if one in known:
                return known[one]
    near = get_close_matches(name.lower(), known, n=1)
    guess = f"; did you mean '{known[near[0]].replace('_', ' ')}'?" if near else ""
    raise InputError(f"unknown unit '{text.strip()}'{guess}")


def _unit_expression(text: str) -> str:
    """``lb/1000 ft2`` as the registry reads it: everything behind the stroke is divided by."""
    plain = re.sub(r"(?<=[A-Za-z])\.", "", text.replace("·", " "))
    plain = re.sub(r"(?i)\b(?:square|sq)\s*([A-Za-z]+)", r"\1 2", plain)
    plain = re.sub(r"(?i)\b(?:cubic|cu)\s*([A-Za-z]+)", r"\1 3", plain)
    made = []
    for place, piece in enumerate(re.split(r"/|\bper\b", plain)):
        found = _FACTOR.fullmatch(piece)
        # "5 10 m" is no number of metres; "lb/1000 ft2" is how rates are written
        if not found or (found.group(1) and place == 0):
            raise InputError(f"cannot read the unit '{text.strip()}'")
        number, name, power = found.groups()
        if number and float(number.replace(",", "")) == 0:
            raise InputError(f"the unit '{text.strip()}' divides by nothing")
        exponent = {"2": "**2", "²": "**2", "3": "**3", "³": "**3", None: ""}[power]
        made.append(f"({(number or '1').replace(',', '')} * {_unit_name(name)}{exponent})")
    return " / ".join(made)


def read_number(text: str) -> float:
    """
    A number as people write it: a point or a comma before the decimals, or a fraction.

    A comma before exactly three digits could mean either, and is refused, as are thousands set apart.

    Examples
    --------
    >>> read_number("0,3"), read_number("1 1/2")
    (0.3, 1.5)
    >>> read_number("1,555")
    Traceback (most recent call last):
    turfgis.errors.InputError: '1,555' can be read in two ways: write 1.555 or 1555
    """
    text = text.strip()
    if re.fullmatch(r"[-+]?[1-9]\d{0,2},\d{3}", text):
        raise InputError(f"'{text}' can be read in two ways: write {text.replace(',', '.')} or {text.replace(',', '')}")
    if _NUMBER.fullmatch(text):
        return float(text.replace(",", "."))
    fraction = _FRACTION.fullmatch(text)
    if fraction and int(fraction.group(4)):
        sign, whole, above, below = fraction.groups()
        return float(f"{sign}1") * (int(whole or 0) + int(above) / int(below))
    hint = "; leave out what parts the thousands" if _THOUSANDS.fullmatch(text) else ""
    raise InputError(f"'{text}' is not a number{hint}")


def to_si(text: str | float | int, kind: str) -> float:
    """
    A figure with its unit, as a number in SI.

    Parameters
    ----------
    text
        Number and unit, such as ``75 mm`` or ``8 lb/1000 ft2``. A bare number is taken only for a share.
    kind
        One of :data:`KINDS`.

    Returns
    -------
    The number in the SI unit of the kind; a share as a fraction of one.

    Raises
    ------
    InputError
        The text cannot be read, the unit is unknown or ambiguous, or it measures something else.

    Examples
    --------
    >>> to_si("75 mm", "depth")
    0.075
    >>> round(to_si("1 lb/1000 ft2", "mass rate") * 1000, 4)  # g/m2
    4.8824
    >>> to_si("5 %", "share")
    0.05
    """
    si_unit, accepted = KINDS[kind]
    if isinstance(text, bool) or not isinstance(text, str | int | float):
        raise InputError(f"'{text}' is not a figure; write a number and a unit ({accepted})")
    if isinstance(text, int | float):
        if kind == "share":
            return _bare_share(float(text) if abs(text) < 1e300 else inf, text)
        raise InputError(f"{text} has no unit; write it in quotes with one of: {accepted}")
    found = _QUANTITY.fullmatch(text)
    if not found:
        raise InputError(f"'{text}' does not start with a number; write a number and a unit ({accepted})")
    number, unit = read_number(found.group(1)), found.group(2).strip()
    if not unit:
        if kind == "share":
            return _bare_share(number, text)
        raise InputError(f"'{text}' has no unit; add one of: {accepted}")
    # by division, since 70 * 0.01 is a little more than 0.7
    si = number / 100 if unit == "%" and kind == "share" else _converted(number, unit, si_unit or "dimensionless")
    if si is None:
        name = {
            "depth": "depth (a length, or a volume over an area)",
            "mass rate": "weight over an area",
            "volume rate": "volume over an area",
            "work rate": "time over an area",
            "fuel rate": "volume over a time",
            "flow": "volume over a time",
            "rain rate": "depth over a time",
        }
        raise InputError(f"'{text}' is not a {name.get(kind, kind)}; write it in one of: {accepted}")
    if not isfinite(si):
        raise InputError(f"'{text}' is too large a figure")
    return si


def _converted(number: float, unit: str, si_unit: str) -> float | None:
    """The number in SI, or None where the unit measures something else."""
    factor = _in_si(unit, si_unit)
    return None if factor is None else number * factor


@lru_cache(maxsize=1024)
def _in_si(unit: str, si_unit: str) -> float | None:
    """One of a unit in SI; a settings file writes the same few again and again."""
    from pint import DimensionalityError

    quantity: Any = registry().parse_expression(_unit_expression(unit))
    try:
        return float((1.0 * quantity).to(si_unit).magnitude)
    except DimensionalityError:
        return None


def _bare_share(number: float, written: str | float) -> float:
    """A share without its % sign: from 0 to 1, since 5 may have been meant as 5 %."""
    if not abs(number) <= 1:
        meant = number if 1 < number <= 100 else 5
        raise InputError(f"{written} is no share from 0 to 1; if it is in %, write {meant:g} % or {meant / 100:g}")
    return number


@dataclass(frozen=True)
class Shown:
    """How one kind of figure is shown: multiply the SI number by ``per_si``, round to ``decimals``, add ``label``."""

    label: str
    per_si: float
    decimals: int

    def text(self, value: float) -> str:
        """The figure with its unit, thousands parted by commas; nothing known gives a dash."""
        return f"{self.number(value)} {self.label}" if not isnan(value) else "–"

    def number(self, value: float) -> str:
        """The figure alone."""
        return f"{value * self.per_si:,.{self.decimals}f}" if not isnan(value) else "–"


_SHOWN = {
    # kind: (metric unit, decimals, US unit, decimals)
    "area": ("m2", 0, "ft2", 0),
    "large area": ("ha", 3, "acre", 3),
    "length": ("m", 1, "ft", 1),
    "width": ("m", 2, "ft", 2),
    "distance": ("m", 0, "ft", 0),
    "small length": ("mm", 1, "in", 3),
    "volume": ("m3", 2, "yd3", 2),
    "heavy": ("t", 2, "US ton", 2),
    "mass": ("kg", 1, "lb", 1),
    "mass rate": ("g/m2", 2, "lb/1000 ft2", 3),
    "field rate": ("kg/ha", 1, "lb/acre", 1),
    "density": ("t/m3", 2, "lb/ft3", 1),
    "speed": ("km/h", 1, "mph", 1),
    "capacity": ("m2/h", 0, "ft2/h", 0),
    "minutes": ("min", 0, "min", 0),
    "hours": ("h", 1, "h", 1),
    "liquid": ("l", 1, "US gal", 2),
    "measured liquid": ("l", 3, "US fl oz", 1),
    "spray volume": ("l/ha", 0, "US gal/acre", 1),
    "dose": ("l/ha", 2, "US fl oz/1000 ft2", 3),
    "nozzle flow": ("l/min", 3, "US gal/min", 3),
    "water": ("m3", 0, "US gal", 0),
    "rain rate": ("mm/h", 1, "in/h", 2),
    "pump flow": ("m3/h", 1, "US gal/min", 0),
    "pressure": ("bar", 1, "psi", 0),
}


@cache
def shown(kind: str, system: str = "metric") -> Shown:
    """
    How a kind of figure is shown in the metric or the US system.

    Parameters
    ----------
    kind
        ``area``, ``large area``, ``length``, ``width``, ``distance``, ``small length``, ``volume``, ``heavy``,
        ``mass``, ``mass rate``, ``field rate``, ``density``, ``speed``, ``capacity`` or ``minutes``.
    system
        ``metric`` or ``us``.

    Examples
    --------
    >>> shown("area", "us").text(1000.0)
    '10,764 ft2'
    >>> shown("heavy").text(12_345.0)
    '12.35 t'
    """
    metric_unit, metric_decimals, us_unit, us_decimals = _SHOWN[kind]
    unit, decimals = (metric_unit, metric_decimals) if system == "metric" else (us_unit, us_decimals)
    # The metric ones need no registry, whose making takes longer than a whole table of areas.
    plain = {"m2": 1.0, "ha": 1e-4, "m": 1.0, "mm": 1e3, "m3": 1.0, "t": 1e-3, "kg": 1.0, "g/m2": 1e3, "kg/ha": 1e4}
    plain |= {"t/m3": 1e-3, "km/h": 3.6, "m2/h": 3600.0, "min": 1 / 60}
    if unit in plain:
        return Shown(unit, plain[unit], decimals)
    one: Any = registry().parse_expression(_unit_expression(unit))
    return Shown(unit, 1.0 / float(one.to_base_units().magnitude), decimals)
