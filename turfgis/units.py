"""
Units at the boundary: text to SI on the way in, SI to shown figures on the way out. The only user of pint.

The list of units is our own and short, so that a name means one thing. A bare ``ton`` or ``gallon`` is refused, because
each is several different amounts; the acre is the international one (43,560 ft2 of 0.3048 m).
"""

import re
from dataclasses import dataclass
from difflib import get_close_matches
from functools import cache
from math import isnan
from typing import TYPE_CHECKING

from turfgis.errors import InputError

if TYPE_CHECKING:
    import pint

# Exact factors: BIPM, The International System of Units (2019), and NIST SP 811 (2008), Appendix B.
DEFINITIONS = """
m = [length]
mm = 0.001 m
cm = 0.01 m
km = 1000 m
in = 0.0254 m = _ = inch
ft = 0.3048 m = _ = foot = feet
yd = 0.9144 m = _ = yard
mile = 1609.344 m
kg = [mass]
g = 0.001 kg
mg = 0.000001 kg
t = 1000 kg = _ = tonne
lb = 0.45359237 kg = _ = pound
oz = 0.028349523125 kg = _ = ounce
US_ton = 907.18474 kg
long_ton = 1016.0469088 kg
s = [time] = _ = second
min = 60 s = _ = minute
h = 3600 s = _ = hour
day = 86400 s
ha = 10000 m ** 2 = _ = hectare
acre = 43560 ft ** 2
l = 0.001 m ** 3 = _ = L = litre
ml = 0.000001 m ** 3 = _ = mL
US_gal = 231 in ** 3
imp_gal = 0.00454609 m ** 3
US_fl_oz = US_gal / 128
mph = mile / h
percent = 0.01 = _ = pct
"""

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
    "share": ("", "%, or a number from 0 to 1"),
}

REFUSED = {
    "ton": "a bare 'ton' is three different weights: write t (1,000 kg), US ton (907 kg) or long ton (1,016 kg)",
    "gal": "a bare 'gallon' is two different volumes: write US gal (3.785 l) or imp gal (4.546 l)",
    "fl_oz": "a bare 'fl oz' is two different volumes: write US fl oz (29.6 ml) or ml",
    "cwt": "a 'cwt' is two different weights: write kg or lb",
}
for _plural, _single in (("tons", "ton"), ("gallon", "gal"), ("gallons", "gal"), ("floz", "fl_oz")):
    REFUSED[_plural] = REFUSED[_single]

_NUMBER = r"[-+]?(?:\d+(?:[.,]\d*)?|[.,]\d+)(?:[eE][-+]?\d+)?"
_QUANTITY = re.compile(rf"^\s*({_NUMBER})\s*(.*?)\s*$")
_FACTOR = re.compile(r"^\s*(\d+(?:,\d{3})*(?:\.\d+)?)?\s*([A-Za-z\"'%_ ]+?)\s*(?:\^|\*\*)?\s*([23²³])?\s*$")


@cache
def registry() -> "pint.UnitRegistry":
    """The unit registry, made on first use from our own short list."""
    import pint

    made = pint.UnitRegistry(None, case_sensitive=True)
    made.load_definitions(DEFINITIONS.strip().splitlines())
    return made


def _unit_name(text: str) -> str:
    """One unit as the registry calls it: two words joined, squares and plurals put right."""
    name = re.sub(r"\s+", "_", text.strip())
    name = {"%": "percent", '"': "in", "'": "ft"}.get(name, name)
    if name.lower() in REFUSED:
        raise InputError(REFUSED[name.lower()])
    known = registry()._units
    if name in known:
        return name
    for other in (name.removesuffix("s"), name.lower(), name.lower().removesuffix("s")):
        if other in known and len(name) > 2:
            return other
    folded = {unit.lower(): unit for unit in known}
    if name.lower().removesuffix("s") in folded and "_" in name:
        return folded[name.lower().removesuffix("s")]
    near = get_close_matches(name, list(known), n=1)
    raise InputError(
        f"unknown unit '{text.strip()}'" + (f"; did you mean '{near[0].replace('_', ' ')}'?" if near else "")
    )


def _unit_expression(text: str) -> str:
    """``lb/1000 ft2`` as the registry reads it: everything behind the stroke is divided by."""
    pieces = [piece for piece in re.split(r"/|\bper\b", text.replace("·", " "))]
    made = []
    for piece in pieces:
        squared = re.sub(r"\b(?:sq|square)\s+([A-Za-z]+)", r"\1 2", piece)
        cubed = re.sub(r"\b(?:cu|cubic)\s+([A-Za-z]+)", r"\1 3", squared)
        found = _FACTOR.match(cubed)
        if not found:
            raise InputError(f"cannot read the unit '{text.strip()}'")
        number, name, power = found.groups()
        exponent = {"2": "**2", "²": "**2", "3": "**3", "³": "**3", None: ""}[power]
        made.append(f"({(number or '1').replace(',', '')} * {_unit_name(name)}{exponent})")
    return " / ".join(made)


def read_number(text: str) -> float:
    """
    A number as people write it: a point or a comma before the decimals.

    A comma before exactly three digits could mean either, and is refused.

    Examples
    --------
    >>> read_number("0,3")
    0.3
    >>> read_number("1,555")
    Traceback (most recent call last):
    turfgis.errors.InputError: '1,555' can be read in two ways: write 1.555 or 1555
    """
    if re.fullmatch(r"[-+]?\d{1,3},\d{3}", text):
        raise InputError(f"'{text}' can be read in two ways: write {text.replace(',', '.')} or {text.replace(',', '')}")
    return float(text.replace(",", "."))


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
            return float(text)
        raise InputError(f"{text} has no unit; write it in quotes with one of: {accepted}")
    found = _QUANTITY.match(text)
    if not found:
        raise InputError(f"'{text}' does not start with a number; write a number and a unit ({accepted})")
    number, unit = read_number(found.group(1)), found.group(2)
    if not unit:
        if kind == "share":
            return number
        raise InputError(f"'{text}' has no unit; add one of: {accepted}")
    from pint import DimensionalityError

    quantity = number * registry().parse_expression(_unit_expression(unit))
    try:
        si = quantity.to(si_unit or "dimensionless")
    except DimensionalityError:
        name = {"depth": "depth (a length, or a volume over an area)", "mass rate": "weight over an area"}.get(
            kind, kind
        )
        raise InputError(f"'{text}' is not a {name}; write it in one of: {accepted}") from None
    return float(si.magnitude)


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
}


@cache
def shown(kind: str, system: str = "metric") -> Shown:
    """
    How a kind of figure is shown in the metric or the US system.

    Parameters
    ----------
    kind
        ``area``, ``large area``, ``length``, ``width``, ``small length``, ``volume``, ``heavy``, ``mass``,
        ``mass rate``, ``field rate``, ``density``, ``speed``, ``capacity`` or ``minutes``.
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
    # The plain metric units need no registry, whose making takes longer than a whole table of areas.
    plain = {"m2": 1.0, "ha": 1e-4, "m": 1.0, "t": 1e-3, "kg": 1.0, "min": 1 / 60}
    if unit in plain:
        return Shown(unit, plain[unit], decimals)
    one = registry().parse_expression(_unit_expression(unit))
    return Shown(unit, 1.0 / float(one.to_base_units().magnitude), decimals)
