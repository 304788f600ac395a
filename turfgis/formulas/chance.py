"""
Figures with a spread, and the chance that an amount made of them is exceeded.

An amount is a sum of products of independent figures, so its moments have a closed form (Goodman 1960, *On the exact
variance of products*, J. Am. Stat. Assoc. 55, 708-713). A product of normal figures leans to the high side; the first
correction of the Edgeworth series allows for that (Abramowitz and Stegun 1964, *Handbook of Mathematical Functions*,
26.2.47; from memory). Where a figure is not normal, or the amount leans too far, it is drawn.

Moments of triangular spreads: Kotz and van Dorp 2004, *Beyond Beta*, chapter 1 (from memory).
"""

from collections.abc import Iterable
from dataclasses import dataclass
from math import erfc, pi, sqrt

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
    def normal(self) -> bool:
        """Whether it is exact or spreads as a normal distribution."""
        return self.exact or self.low is None

    @property
    def mean(self) -> float:
        """Mean; of a triangular spread a third of the sum of its three values."""
        if self.low is None or self.high is None:
            return self.likely
        return (self.low + self.likely + self.high) / 3

    @property
    def variance(self) -> float:
        """Variance; of a triangular spread with ends a, b and peak c (u^2 - u v + v^2) / 18, u = b - a, v = c - a."""
        if self.low is None or self.high is None:
            return self.sd**2
        wide, rise = self.high - self.low, self.likely - self.low
        return (wide**2 - wide * rise + rise**2) / 18

    @property
    def third_moment(self) -> float:
        """Third central moment; of a triangular spread with ends a, b and peak c from its published skewness."""
        if self.low is None or self.high is None:
            return 0.0
        a, c, b = self.low, self.likely, self.high
        return (a + b - 2 * c) * (2 * a - b - c) * (a - 2 * b + c) / 270

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


def raw_moments(figures: Iterable[Figure]) -> np.ndarray:
    """
    Means of a product of independent figures, of its square and of its cube.

    Parameters
    ----------
    figures
        The factors; none gives the exact number one.

    Returns
    -------
    First three raw moments. Shape (3,).

    Examples
    --------
    2 +- 0.1: the mean of the square is 4 + 0.01, that of the cube 8 + 3 x 2 x 0.01.

    >>> raw_moments([Figure(2, 0.1)]).round(6)
    array([2.  , 4.01, 8.06])
    """
    moments = np.ones(3)
    for figure in figures:
        mean, variance = figure.mean, figure.variance
        moments *= [mean, mean**2 + variance, mean**3 + 3 * mean * variance + figure.third_moment]
    return moments


def product_moments(figures: Iterable[Figure]) -> tuple[float, float]:
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
    mean, square, _ = raw_moments(figures)
    return float(mean), float(square - mean**2)


def chance_above(level: np.ndarray, mean: float, sd: float, skewness: float = 0.0) -> np.ndarray:
    r"""
    Chance that a nearly normal amount is above a level.

    .. math:: Q(z) + \frac{\gamma}{6} (z^2 - 1) \, \varphi(z), \qquad z = (x - \mu) / \sigma

    Parameters
    ----------
    level
        Levels, in the unit of the amount. Shape (n,).
    mean, sd, skewness
        Of the amount; with ``sd`` 0 it is exact, with ``skewness`` 0 normal. Good to half a percentage point up to a
        skewness of 0.5.

    Returns
    -------
    Chances. [-] Shape (n,).

    Examples
    --------
    >>> chance_above(np.array([0.0, 1.96]), 0.0, 1.0).round(3)
    array([0.5  , 0.025])
    """
    level = np.atleast_1d(np.asarray(level, dtype=float))
    if sd <= 0:  # a part of 1e-9 is noise of floats: three exact loads are enough
        return (mean - level > 1e-9 * abs(mean)).astype(float)
    z = (level - mean) / sd
    normal = np.array([0.5 * erfc(one / sqrt(2)) for one in z])
    return np.clip(normal + skewness / 6 * (z**2 - 1) * np.exp(-(z**2) / 2) / sqrt(2 * pi), 0.0, 1.0)
