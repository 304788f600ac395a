"""Needs surface by surface: what sums are taken of, and how the sums spread together."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from turfgis.estimates.takeoff import Takeoff


@dataclass(frozen=True)
class Cells:
    """
    One entry for each need and surface. C of them.

    Attributes
    ----------
    takeoff
        What they are part of.
    need, surface
        Place of the need, and of the surface in :attr:`surfaces`.
    surfaces
        Surfaces, and last None for what is on no patch.
    ground
        What the figures go by, with ground past the edge.
    quantity
        Mean for one time.
    """

    takeoff: Takeoff
    need: np.ndarray
    surface: np.ndarray
    surfaces: tuple[str | None, ...]
    ground: np.ndarray
    quantity: np.ndarray

    @cached_property
    def covariance(self) -> np.ndarray:
        """
        Covariance of the quantities for one time. Shape (C, C).

        A quantity is a product of independent figures and of ground. Two of them share the figures of one job, of one
        material, and the ground of one patch or the edge bias of one layer: E[x y] is the product of the means, times
        1 + (relative variance) for each figure they share, times E[ground ground].
        """
        rate = self.takeoff.rate[self.need]
        shared = _shared_figures(self.takeoff)[np.ix_(self.need, self.need)]
        ground = _ground_covariance(self)
        # E[f f'] E[g g'] - means = (shared - 1) g g' + shared cov(g, g'), both times the mean rates
        spread = np.multiply.outer(self.ground, self.ground)
        spread *= shared - 1.0
        ground *= shared
        spread += ground
        spread *= rate[:, None]
        spread *= rate
        return spread

    def deviations(self, weights: np.ndarray) -> np.ndarray:
        """Standard uncertainties of weighted sums. Weights of shape (sums, C)."""
        variance = np.einsum("ij,ij->i", weights @ self.covariance, weights)
        return np.sqrt(np.maximum(variance, 0.0))


def make_cells(takeoff: Takeoff) -> Cells:
    """The needs of a take-off, surface by surface."""
    ground, needs = takeoff.ground, takeoff.needs
    surfaces = (*ground.surfaces, None)
    amount = np.zeros((len(needs), len(surfaces)))
    touched = np.zeros((len(needs), len(surfaces)), dtype=bool)
    code = ground.surface_code
    for at, need in enumerate(needs):
        amount[at, :-1] = np.bincount(code, need.base + need.beyond_m2, minlength=len(surfaces) - 1)
        touched[at, code[need.on]] = True
        amount[at, -1], touched[at, -1] = need.elsewhere, need.elsewhere != 0
    need, surface = np.nonzero(touched)
    over = amount[need, surface]
    return Cells(takeoff, need, surface, surfaces, over, over * takeoff.rate[need])


def _shared_figures(takeoff: Takeoff) -> np.ndarray:
    """Product of 1 + relative variance over the figures that two needs share. Shape (L, L)."""
    place: dict[tuple[str, str], int] = {}
    entries: list[tuple[int, int, float]] = []
    for row, factors in enumerate(takeoff.factors):
        for key, (mean, variance) in factors.items():
            if variance and mean:
                entries.append((row, place.setdefault(key, len(place)), np.log1p(variance / mean**2)))
    loads = np.zeros((len(takeoff.needs), len(place)))
    for row, column, value in entries:
        loads[row, column] = np.sqrt(value)
    return np.exp(loads @ loads.T)


def _ground_covariance(cells: Cells) -> np.ndarray:
    """Covariance of the ground of cells. Shape (C, C)."""
    takeoff, ground = cells.takeoff, cells.takeoff.ground
    slope = np.array([need.slope for need in takeoff.needs]).reshape(len(takeoff.needs), len(ground))
    covariance = np.zeros((len(cells.need), len(cells.need)))
    by_layer = np.zeros((len(cells.need), ground.layer_code.max(initial=-1) + 1))
    for surface in range(len(cells.surfaces) - 1):
        here = np.flatnonzero(cells.surface == surface)
        patches = np.flatnonzero(ground.surface_code == surface)
        steep = slope[np.ix_(cells.need[here], patches)]
        covariance[np.ix_(here, here)] = (steep * ground.own_m2[patches] ** 2) @ steep.T
        layers = np.zeros((len(patches), by_layer.shape[1]))
        layers[np.arange(len(patches)), ground.layer_code[patches]] = ground.bias_m2[patches]
        by_layer[here] = steep @ layers
    if by_layer.any():
        covariance += by_layer @ by_layer.T
    _add_reach(cells, covariance)
    return covariance


def _add_reach(cells: Cells, covariance: np.ndarray) -> None:
    """How far material lands past the edge is one figure of the job, on all its surfaces."""
    takeoff = cells.takeoff
    for at, need in enumerate(takeoff.needs):
        if need.beyond.variance and need.beyond_m2.any():
            here = np.flatnonzero(cells.need == at)
            sums = np.bincount(takeoff.ground.surface_code, need.beyond_m2, minlength=len(cells.surfaces) - 1)
            beyond = sums[cells.surface[here]]
            covariance[np.ix_(here, here)] += need.beyond.variance * np.multiply.outer(beyond, beyond)
