"""How far an amount may be out, the chance that so many loads do not reach, and what drives it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from turfgis.estimates.needs import Factors, Need
from turfgis.estimates.order import Driver
from turfgis.formulas.chance import DRAWS, SEED, Figure, chance_above, raw_moments

# An amount that leans further than this is drawn: the closed form would be out by more than half a percentage point.
SKEWNESS_LIMIT = 0.5
# Below these shares of the mean, a spread is too small for its lean, or itself, to be told from the noise of floats.
SMALL_SPREAD, NO_SPREAD = 1e-3, 1e-7


@dataclass(frozen=True)
class Amount:
    """
    An amount of material with its spread.

    Attributes
    ----------
    mean, sd, skewness
        In closed form. [kg], [kg], [-]
    drivers
        What the spread comes from, the largest first; shares sum to one.
    draws
        Sorted random values where the closed form does not serve. [kg] Empty where it does.
    """

    mean: float
    sd: float
    skewness: float
    drivers: tuple[Driver, ...]
    draws: np.ndarray

    def chance_above(self, level: np.ndarray) -> np.ndarray:
        """Chance that more than ``level`` is needed. [-]"""
        if not len(self.draws):
            return chance_above(level, self.mean, self.sd, self.skewness)
        return 1 - np.searchsorted(self.draws, level, side="right") / len(self.draws)

    @property
    def method(self) -> str:
        """How the chance was worked out, in words."""
        if len(self.draws):
            return f"{len(self.draws):,} seeded draws, because some spreads are wide or not normal"
        return "closed form: mean, variance and skewness of a sum of products of independent normal figures"


def estimate_amount(needs: list[Need], shared: Factors, covariance: np.ndarray) -> Amount:
    """
    Sum of what jobs need, with its spread.

    The amount is G sum_j D_j (A_j + S_j O_j): shared figures G, the job's own D, its net areas A, ground past the
    edge S and how far that may be out O.

    Parameters
    ----------
    needs
        One for each job.
    shared
        Figures that all jobs share.
    covariance
        Of the net areas of the jobs. [m4] Shape (jobs, jobs).

    Returns
    -------
    The amount. [kg]
    """
    area = np.array([need.base.sum() + need.elsewhere for need in needs])
    beyond = np.array([need.beyond_m2.sum() for need in needs])
    factor_sd = np.array([np.sqrt(need.beyond.variance) for need in needs])
    times = np.array([need.times for need in needs], dtype=float)
    rates = np.array([raw_moments(need.own.values()) for need in needs]) * times[:, None] ** [1, 2, 3]
    of_jobs = _sum_moments(rates, area + beyond, covariance + np.diag((beyond * factor_sd) ** 2))
    mean, square, cube = raw_moments(shared.values()) * of_jobs
    sd = float(np.sqrt(max(square - mean**2, 0.0)))
    sd = 0.0 if sd < NO_SPREAD * mean else sd
    skewness = float((cube - 3 * mean * square + 2 * mean**3) / sd**3) if sd > SMALL_SPREAD * mean else 0.0
    simple = skewness <= SKEWNESS_LIMIT and all(figure.normal for figure in _figures(needs, shared))
    draws = np.empty(0) if simple else _drawn(needs, shared, covariance, area, beyond, times)
    drivers = _drivers(needs, shared, covariance, rates[:, 0], area, beyond)
    return Amount(float(mean), sd, skewness, drivers, draws)


def _sum_moments(rates: np.ndarray, ground: np.ndarray, covariance: np.ndarray) -> np.ndarray:
    """
    First three raw moments of a sum of rates times grounds.

    Rates of two jobs are independent, their grounds are not; these spread as normal figures do.
    """
    one, two, three = rates.T
    rate_pairs, rate_triples = np.multiply.outer(one, one), np.multiply.outer(one, np.multiply.outer(one, one))
    for place in range(len(one)):
        rate_pairs[place, place] = two[place]
        for both in ((place, place), (place, slice(None), place), (slice(None), place, place)):
            rate_triples[both] = two[place] * one
    for place in range(len(one)):
        rate_triples[place, place, place] = three[place]
    pairs = np.multiply.outer(ground, ground) + covariance
    lone = np.multiply.outer(ground, covariance)  # E[xyz] = xyz + x cov(y, z) + y cov(x, z) + z cov(x, y)
    triples = np.multiply.outer(ground, np.multiply.outer(ground, ground)) + lone
    triples += lone.transpose(1, 0, 2) + lone.transpose(2, 1, 0)
    return np.array([one @ ground, (rate_pairs * pairs).sum(), (rate_triples * triples).sum()])


def _figures(needs: list[Need], shared: Factors) -> list[Figure]:
    return [*shared.values(), *(figure for need in needs for figure in [*need.own.values(), need.beyond])]


def _drawn(needs, shared, covariance, area, beyond, times) -> np.ndarray:
    """Sorted draws of the amount; one draw for each shared figure, not one for each patch."""
    rng = np.random.default_rng(SEED)
    values, vectors = np.linalg.eigh(covariance)
    root = vectors * np.sqrt(np.clip(values, 0.0, None))
    areas = area[:, None] + root @ rng.standard_normal((len(area), DRAWS))
    total = np.zeros(DRAWS)
    for place, need in enumerate(needs):
        ground = areas[place] + beyond[place] * need.beyond.draws(rng, DRAWS)
        total += times[place] * ground * _product(need.own, rng)
    return np.sort(total * _product(shared, rng))


def _product(figures: Factors, rng: np.random.Generator) -> np.ndarray:
    product = np.ones(DRAWS)
    for figure in figures.values():
        product *= figure.draws(rng, DRAWS)
    return product


def _drivers(needs, shared, covariance, rate, area, beyond) -> tuple[Driver, ...]:
    """Each cause alone, all others held at their mean (first-order, GUM 5.1.2)."""
    mean = raw_moments(shared.values())[0]
    amount = mean * rate * (area + beyond)
    total = amount.sum()
    variances = {name: total**2 * _relative(figure) for name, figure in shared.items()}
    variances["areas"] = float(mean**2 * rate @ covariance @ rate)
    for place, need in enumerate(needs):
        for name, figure in need.own.items():
            variances[f"{name} ({need.job.name})"] = amount[place] ** 2 * _relative(figure)
        if beyond[place] > 0:
            variances[f"overthrow ({need.job.name})"] = (mean * rate[place] * beyond[place]) ** 2 * need.beyond.variance
    whole = sum(variances.values())
    if whole <= 0:
        return ()
    ranked = sorted(((value, name) for name, value in variances.items() if value > 0), key=lambda pair: -pair[0])
    return tuple(Driver(name, float(value / whole), float(np.sqrt(value))) for value, name in ranked)


def _relative(figure: Figure) -> float:
    return figure.variance / figure.mean**2 if figure.mean else 0.0
