"""Figures in a settings file: a number with its unit, and how far it may be off."""

import re
from dataclasses import dataclass
from typing import Any

from pydantic import BeforeValidator

from turfgis.errors import InputError
from turfgis.formulas.chance import Figure
from turfgis.units import KINDS, to_si

_SPREAD = re.compile(r"(.*?)\s*(?:±|\+/-|\+-)\s*(.*)", re.DOTALL)
_BARE = re.compile(r"[-+]?[\d.,]+")
ENDS = ("low", "likely", "high")


@dataclass(frozen=True)
class Measured(BeforeValidator):
    """
    Reads a key that holds a figure.

    Attributes
    ----------
    units
        What may stand behind the number, for whoever is asked for it.
    spread
        Whether it may carry one.
    """

    units: str = ""
    spread: bool = False


def read_figure(value: Any, kind: str) -> Figure:
    """
    A figure as written: ``75 mm``, ``75 mm ± 8 mm``, ``2 mm ± 12 %`` or ``{ low, likely, high }``.

    Parameters
    ----------
    value
        Text, a number for a share, or a table with ``low``, ``likely`` and ``high``.
    kind
        One of :data:`turfgis.units.KINDS`.

    Returns
    -------
    The figure in SI. Behind the sign stands its standard deviation, as an amount or in % of the figure; behind a share
    in % it is an amount: ``92 % ± 5 %`` is 92 give or take 5 of a hundred.

    Raises
    ------
    InputError
        It cannot be read.

    Examples
    --------
    >>> read_figure("2 mm ± 12 %", "depth")
    Figure(likely=0.002, sd=0.00024, low=None, high=None)
    """
    if isinstance(value, Figure):
        return value
    if isinstance(value, dict):
        return _triangle(value, kind)
    found = _SPREAD.fullmatch(value) if isinstance(value, str) else None
    if not found:
        return Figure(to_si(value, kind))
    middle, spread = (part.strip() for part in found.groups())
    if not middle or not spread:
        raise InputError(f"'{value}': write a figure before ± and its standard deviation behind it")
    if _BARE.fullmatch(spread) and not _BARE.fullmatch(middle):
        raise InputError(f"'{value}': the figure behind ± has no unit; write it with its unit or in %")
    if _BARE.fullmatch(middle):  # "75 ± 8 mm": one unit for both
        middle += " " + spread.lstrip("-+0123456789.,")
    likely = to_si(middle, kind)
    relative = spread.endswith("%") and not (kind == "share" and middle.endswith("%"))
    sd = abs(likely) * to_si(spread, "share") if relative else to_si(spread, kind)
    if sd < 0:
        raise InputError(f"'{value}': a standard deviation cannot be negative")
    if sd and sd >= abs(likely):
        raise InputError(
            f"'{value}': a standard deviation as large as the figure itself would take it below zero; "
            "write its ends in place of it, as { low = ..., likely = ..., high = ... }"
        )
    return Figure(likely, sd=sd)


def without_spread(text: str) -> str:
    """What stands before the sign of the standard deviation."""
    found = _SPREAD.fullmatch(text)
    return found.group(1) if found else text


def _triangle(value: dict, kind: str) -> Figure:
    if set(value) != set(ENDS):
        given = ", ".join(map(str, value)) or "none of them"
        raise InputError(f"a spread needs the three keys low, likely and high, and no other; given: {given}")
    low, likely, high = (to_si(value[end], kind) for end in ENDS)
    if not low <= likely <= high:
        written = ", ".join(f"{end} = {value[end]}" for end in ENDS)
        raise InputError(f"low, likely and high must be in order, but {written}")
    return Figure(likely, low=low, high=high)


def _within(number: float, value: Any, kind: str, zero: bool) -> float:
    """The number, if it may stand in a settings file."""
    if number < 0:
        raise InputError(f"'{value}' is below zero")
    if number == 0 and not zero:
        raise InputError(f"'{value}' must be above zero")
    if kind == "share" and number > 1:
        raise InputError(f"'{value}' is more than 100 %")
    return number


def amount(kind: str, zero: bool = False) -> Measured:
    """For a settings key that holds one exact figure of a kind, above zero unless ``zero`` is allowed."""

    def read(value: Any) -> float:
        if isinstance(value, dict) or (isinstance(value, str) and _SPREAD.fullmatch(value)):
            raise InputError(f"no spread can be given here; write one figure ({KINDS[kind][1]})")
        return _within(to_si(value, kind), value, kind, zero)

    return Measured(read, units=KINDS[kind][1])


def read_spread(value: Any, kind: str, zero: bool = False) -> Figure:
    """A figure which may carry a spread, above zero unless ``zero`` is allowed; no end of it lies below zero."""
    figure = read_figure(value, kind)
    _within(figure.likely, value if not isinstance(value, dict) else value["likely"], kind, zero)
    for end, at in (("low", figure.low), ("high", figure.high)):
        if at is not None:
            _within(at, value[end], kind, zero=True)
    return figure


def spread(kind: str, zero: bool = False) -> Measured:
    """For a settings key that holds a figure of a kind which may carry a spread."""
    return Measured(lambda value: read_spread(value, kind, zero), units=KINDS[kind][1], spread=True)
