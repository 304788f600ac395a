"""
Figures for a reader with a pencil: with so many digits that pencil and program agree to the last one shown.

More digits than can be known are carried for that; what is ordered is rounded elsewhere.
"""

from math import floor, log10

from turfgis.formulas.chance import Figure
from turfgis.units import Shown

# Digits of what goes into a product, of a weight that comes out of one, of a standard deviation.
FACTOR_DIGITS, WEIGHT_DIGITS, SPREAD_DIGITS = 8, 6, 4
PERCENT = Shown("%", 100, 1)


def digits(value: float, show: Shown, count: int) -> str:
    """
    A figure without its unit, with so many digits that count, less the zeros at its end.

    Examples
    --------
    >>> digits(10366.35712, Shown("m2", 1.0, 0), 8), digits(0.025, Shown("g/m2", 1000.0, 2), 8)
    ('10,366.357', '25')
    """
    number = value * show.per_si
    places = max(0, count - 1 - floor(log10(abs(number)))) if number else 0
    text = f"{number:,.{places}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def factor(value: float, show: Shown) -> str:
    """
    What goes into a product: a figure of the settings, or what was worked out of others.

    Examples
    --------
    >>> factor(0.012, Shown("mm", 1000.0, 1)), factor(0.012, Shown("in", 1 / 0.0254, 3))
    ('12 mm', '0.47244094 in')
    """
    return f"{digits(value, show, FACTOR_DIGITS)} {show.label}"


def weighed(value: float, show: Shown) -> str:
    """A weight, or another amount, that comes out of a product."""
    return f"{digits(value, show, WEIGHT_DIGITS)} {show.label}"


def figure(spread: Figure, show: Shown) -> str:
    """
    A mean as it enters a product, and the three values it is the mean of.

    Examples
    --------
    >>> figure(Figure(0.92, low=0.75, high=1.0), PERCENT)
    '89 % (mean of 75 %, 92 % and 100 %)'
    """
    if spread.low is None or spread.high is None:
        return factor(spread.mean, show)
    low, likely, high = (factor(value, show) for value in (spread.low, spread.likely, spread.high))
    return f"{factor(spread.mean, show)} (mean of {low}, {likely} and {high})"
