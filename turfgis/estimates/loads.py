"""How many whole loads to order, and how likely fewer or more of them are to run short."""

from __future__ import annotations

from math import ceil

import numpy as np

from turfgis.estimates.order import LoadChoice
from turfgis.estimates.risk import Amount

# Loads whose chance of running short lies outside these are not worth a line, nor are more lines than a screen has.
ALMOST_CERTAIN, ALMOST_NEVER, MOST_LINES = 0.995, 0.005, 15


def load_choices(amount: Amount, stock: float, load: float, risk: float) -> tuple[tuple[LoadChoice, ...], int]:
    """
    Choices of whole loads around the advised one.

    Parameters
    ----------
    amount
        What is needed, with its spread.
    stock, load
        Lying in the yard, and in one load. [kg]
    risk
        The chance of running short that is accepted. [-]

    Returns
    -------
    choices, advised
        Numbers of loads with their chance, and the smallest one whose chance is at most ``risk``. Where loads are so
        small that there would be more than fifteen lines, only some of the others are listed.
    """
    advised = _fewest(amount, stock, load, risk)
    first = max(_fewest(amount, stock, load, ALMOST_CERTAIN) - 1, 0)
    last = max(_fewest(amount, stock, load, min(ALMOST_NEVER, risk / 2)), advised + 1)
    step = ceil((last - first + 1) / MOST_LINES)
    below, above = range(advised, first - 1, -step), range(advised, last + 1, step)
    counts = np.array([*reversed(below), *above[1:]])
    chances = amount.chance_above(counts * load + stock)
    choices = tuple(
        LoadChoice(int(count), float(count * load / 1000), float(chance))
        for count, chance in zip(counts, chances, strict=True)
    )
    return choices, advised


def _fewest(amount: Amount, stock: float, load: float, chance: float) -> int:
    """Smallest number of loads whose chance of running short is at most so much, by halving."""
    few, many = -1, 1 + ceil(max(amount.mean + 12 * amount.sd - stock, 0.0) / load)
    while many - few > 1:
        middle = (few + many) // 2
        if amount.chance_above(np.array([middle * load + stock]))[0] <= chance:
            many = middle
        else:
            few = middle
    return many
