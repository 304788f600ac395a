"""
Figures with a spread, and the chance that an amount made of them is exceeded.

An amount is a sum of products of independent figures, so its mean and variance have a closed form (Goodman 1960,
*On the exact variance of products*, J. Am. Stat. Assoc. 55, 708-713). Where a figure is skewed, the amount is drawn.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import erfc, sqrt

import numpy as np

from turfgis.errors import InputError

DRAWS = 50_000
SEED = 1


@dataclass(frozen=True)
class Figure:
    """
    A number and how far it may be off.

    Attributes
    ----------
    likely
        The most likely value.
    sd
        Standard deviation of a normal spread; 0 where the figure is taken as exact.
    low, high
        Ends of a triangular spread around ``likely``, in place of ``sd``.

    Raises
    ------
    InputError
        The standard deviation is negative, or the ends are not in order.

    Examples
    --------
    >>> Figure(0.92, low=0.75, high=1.0).mean
    0.89
    """

    likely: float
    sd: float = 0.0
    low: float | None = None
    high: float | None = None

    def __post_init__(self):
        if self.sd < 0:
            raise InputError(f"a standard deviation cannot be negative: {self.sd:g}")
        if (self.low is None) != (self.high is None):
            raise InputError("a triangular spread needs all of low, likely and high")
        if self.low is not None and self.high is not None and not self.low <= self.likely <= self.high:
            raise InputError(f"low, likely and high must be in order: {self.low:g}, {self.likely:g}, {self.high:g}")

    @property
    def exact(self) -> bool:
        """Whether no spread was given."""
        return self.variance == 0

    @property
    def skewed(self) -> bool:
        """Whether one side is wider than the other."""
        return self.low is not None and self.high is not None and self.likely - self.low != self.high - self.likely

    @property
    def mean(self) -> float:
        """Mean; of a triangular spread a third of the sum of its three values (JCGM 101:2008, 6.4.5)."""
        if self.low is None or self.high is None:
            return self.likely
        return (self.low + self.likely + self.high) / 3

    @property
    def variance(self) -> float:
        """Variance (of a triangular spread: Evans, Hastings and Peacock, Statistical distributions; from memory)."""
        if self.low is None or self.high is None:
            return self.sd**2
        a, c, b = self.low, self.likely, self.high
        return (a * a + b * b + c * c - a * b - a * c - b * c) / 18

    def scaled(self, factor: float) -> "Figure":
        """The same figure in another measure."""
        ends = (None, None) if self.low is None or self.high is None else (self.low * factor, self.high * factor)
        return Figure(self.likely * factor, self.sd * abs(factor), *(ends if factor >= 0 else ends[::-1]))

    def shifted(self, offset: float) -> "Figure":
        """The figure with an exact number added, such as 1 + moisture."""
        ends = (None, None) if self.low is None or self.high is None else (self.low + offset, self.high + offset)
        return Figure(self.likely + offset, self.sd, *ends)

    def draws(self, rng: np.random.Generator, count: int) -> np.ndarray:
        """``count`` random values."""
        if self.exact:
            return np.full(count, self.mean)
        if self.low is None or self.high is None:
            return rng.normal(self.likely, self.sd, count)
        return rng.triangular(self.low, self.likely, self.high, count)


def product_moments(figures: Sequence[Figure]) -> tuple[float, float]:
    """
    Mean and variance of a product of independent figures.

    Parameters
    ----------
    figures
        The factors; none gives the exact number one.

    Returns
    -------
    mean, variance

    Examples
    --------
    Two factors, 2 +- 0.1 and 3 +- 0.2: variance (4 + 0.01)(9 + 0.04) - 36.

    >>> mean, variance = product_moments([Figure(2, 0.1), Figure(3, 0.2)])
    >>> mean, round(variance, 6)
    (6.0, 0.2504)
    """
    means = np.array([figure.mean for figure in figures])
    variances = np.array([figure.variance for figure in figures])
    mean = float(np.prod(means))
    return mean, float(np.prod(means**2 + variances) - mean**2)


def normal_chance_above(level: np.ndarray, mean: float, sd: float) -> np.ndarray:
    """
    Chance that a normally spread amount is above a level.

    Parameters
    ----------
    level
        Levels, in the unit of the amount. Shape (n,).
    mean, sd
        Of the amount; with ``sd`` 0 it is exact.

    Returns
    -------
    Chances. [-] Shape (n,).

    Examples
    --------
    >>> normal_chance_above(np.array([0.0, 1.96]), 0.0, 1.0).round(3)
    array([0.5  , 0.025])
    """
    level = np.atleast_1d(np.asarray(level, dtype=float))
    if sd <= 0:
        return (mean > level).astype(float)
    return np.array([0.5 * erfc((one - mean) / (sd * sqrt(2))) for one in level])
