"""Figures in a settings file: a number with its unit, and how far it may be off."""

import re
from typing import Annotated, Any

from pydantic import BeforeValidator

from turfgis.errors import InputError
from turfgis.formulas.chance import Figure
from turfgis.units import read_number, to_si

_SPREAD = re.compile(r"^(.*?)\s*(?:±|\+/-|\+-)\s*(.*)$")
_BARE = re.compile(r"[-+]?[\d.,]+")


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
    The figure in SI. Behind the sign stands its standard deviation, as an amount or in % of the figure.

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
        wanted = ("low", "likely", "high")
        if set(value) != set(wanted):
            raise InputError(
                f"a spread needs the three keys low, likely and high, and no other; given: {', '.join(value)}"
            )
        low, likely, high = (to_si(value[key], kind) for key in wanted)
        return Figure(likely, low=low, high=high)
    found = _SPREAD.match(value) if isinstance(value, str) else None
    if not found:
        return Figure(to_si(value, kind))
    likely, spread = to_si(found.group(1), kind), found.group(2).strip()
    if _BARE.fullmatch(spread) and not _BARE.fullmatch(found.group(1).strip()):
        # "75 ± 8 mm" is read by people as one unit for both; written the other way round it is not clear
        raise InputError(f"'{value}': the figure behind ± has no unit; write it with its unit or in %")
    if spread.endswith("%") and not (kind == "share" and found.group(1).strip().endswith("%")):
        return Figure(likely, sd=abs(likely) * read_number(spread.removesuffix("%").strip()) / 100)
    return Figure(likely, sd=to_si(spread, kind))


def _at_least_zero(number: float, value: Any) -> float:
    if number < 0:
        raise InputError(f"'{value}' is below zero")
    return number


def _above_zero(number: float, value: Any) -> float:
    if number <= 0:
        raise InputError(f"'{value}' must be above zero")
    return number


def amount(kind: str, zero: bool = False) -> Any:
    """Type of a settings key that holds one exact figure of a kind, above zero unless ``zero`` is allowed."""
    check = _at_least_zero if zero else _above_zero
    return Annotated[float, BeforeValidator(lambda value: check(to_si(value, kind), value))]


def spread(kind: str, zero: bool = False) -> Any:
    """Type of a settings key that holds a figure of a kind which may carry a spread."""
    check = _at_least_zero if zero else _above_zero

    def read(value: Any) -> Figure:
        figure = read_figure(value, kind)
        check(figure.likely, value)
        if figure.low is not None:
            _at_least_zero(figure.low, value)
        return figure

    return Annotated[Figure, BeforeValidator(read)]
