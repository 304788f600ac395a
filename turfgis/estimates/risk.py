"""How far an amount may be out, the chance that so many loads do not reach, and what drives it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from turfgis.estimates.needs import Factors, Need
from turfgis.estimates.order import Driver
from turfgis.formulas.chance import DRAWS, SEED, Figure, normal_chance_above, product_moments


@dataclass(frozen=True)
class Amount:
    """
    An amount of material with its spread.

    Attributes
    ----------
    mean, sd
        In closed form. [kg]
    drivers
        What the spread comes from, the largest first; shares sum to one.
    draws
        Sorted random values where a figure is skewed. [kg] Empty where the closed form serves.
    """

    mean: float
    sd: float
    drivers: tuple[Driver, ...]
    draws: np.ndarray

    def chance_above(self, level: np.ndarray) -> np.ndarray:
        """Chance that more than ``level`` is needed. [-]"""
        if not len(self.draws):
            return normal_chance_above(level, self.mean, self.sd)
        return 1 - np.searchsorted(self.draws, level, side="right") / len(self.draws)

    @property
    def method(self) -> str:
        """How the chance was worked out, in words."""
        if len(self.draws):
            return f"{len(self.draws):,} seeded draws, because some spreads are skewed"
        return "closed form: mean and variance of products of independent figures, normal spread"


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
    area = np.array([need.net_m2.sum() for need in needs])
    beyond = np.array([need.beyond_m2.sum() for need in needs])
    factor_sd = np.array([np.sqrt(need.beyond.variance) for need in needs])
    times = np.array([need.times for need in needs], dtype=float)
    own = np.array([product_moments(list(need.own.values())) for need in needs])
    rate, rate_variance = own[:, 0] * times, own[:, 1] * times**2
    ground = area + beyond
    ground_covariance = covariance + np.diag((beyond * factor_sd) ** 2)
    # E[Q^2] of the sum over jobs; the figures of two jobs are independent, their areas are not
    rate_products = np.outer(rate, rate) + np.diag(rate_variance)
    square = float((rate_products * (np.outer(ground, ground) + ground_covariance)).sum())
    total = float(rate @ ground)
    variance = square - total**2
    mean, shared_variance = product_moments(list(shared.values()))
    sd = np.sqrt(max(shared_variance * square + mean**2 * variance, 0.0))
    skewed = any(figure.skewed for figure in _figures(needs, shared))
    draws = _drawn(needs, shared, covariance, area, beyond, times) if skewed else np.empty(0)
    drivers = _drivers(needs, shared, covariance, mean, rate, area, beyond)
    return Amount(mean * total, float(sd), drivers, draws)


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


def _drivers(needs, shared, covariance, mean, rate, area, beyond) -> tuple[Driver, ...]:
    """Each cause alone, all others held at their mean (first-order, GUM 5.1.2)."""
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
    return tuple(Driver(name, float(value / whole)) for value, name in ranked)


def _relative(figure: Figure) -> float:
    return figure.variance / figure.mean**2 if figure.mean else 0.0
