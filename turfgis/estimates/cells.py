"""Needs surface by surface: what sums are taken of, and how the sums spread together."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from turfgis.estimates.ground import Ground
    from turfgis.estimates.takeoff import Takeoff

NONE: Mapping[str, float] = {}
NOISE = 1e-12  # part of a variance that float noise leaves of two sums that are the same


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
    def slope(self) -> np.ndarray:
        """How much the ground of each need grows with the net area of each patch. Shape (L, n)."""
        needs = self.takeoff.needs
        return np.array([need.slope for need in needs]).reshape(len(needs), len(self.takeoff.ground))

    def on(self, surface: str) -> np.ndarray:
        """Places of the cells of a surface."""
        return np.flatnonzero(self.surface == (self.surfaces.index(surface) if surface in self.surfaces else -1))

    @cached_property
    def covariance(self) -> np.ndarray:
        """
        Covariance of the quantities for one time. Shape (C, C).

        See :func:`cross_covariance`.
        """
        return cross_covariance(self, self)

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


def cross_covariance(one: Cells, other: Cells, apart: Mapping[str, float] = NONE) -> np.ndarray:
    """
    Covariance of the quantities for one time, of a take-off and of one that shares its figures. Shape (C, C').

    Parameters
    ----------
    one, other
        The two.
    apart
        Patch -> standard uncertainty of the area by which it differs between the two, where it was drawn anew. [m2]

    Notes
    -----
    A quantity is a product of independent figures and of ground. Two of them share the figures of one job, of one
    material, and the ground of one patch or the edge bias of one layer: E[x y] is the product of the means, times
    1 + (relative variance) for each figure they share, times E[ground ground]. What goes by one name in both take-offs
    is one figure, even where its mean or spread is another: it is out by as many standard deviations in both.
    """
    shared = _shared_figures(one.takeoff, other.takeoff)[np.ix_(one.need, other.need)]
    ground = _ground_covariance(one, other, apart)
    # E[f f'] E[g g'] - means = (shared - 1) g g' + shared cov(g, g'), both times the mean rates
    spread = np.multiply.outer(one.ground, other.ground)
    spread *= shared - 1.0
    ground *= shared
    spread += ground
    spread *= one.takeoff.rate[one.need][:, None]
    spread *= other.takeoff.rate[other.need]
    return spread


def difference_spread(
    old: Cells, before: np.ndarray, new: Cells, after: np.ndarray, apart: Mapping[str, float] = NONE
) -> float:
    """
    Standard uncertainty of the difference of two weighted sums of take-offs that share their figures.

    Parameters
    ----------
    old, new
        Cells of the two take-offs.
    before, after
        Their weights. Shapes (C,) and (C',).
    apart
        As for :func:`cross_covariance`.
    """
    variance = before @ old.covariance @ before + after @ new.covariance @ after
    shared = before @ cross_covariance(old, new, apart) @ after
    # what float noise leaves of two sums that are the same
    left = variance - 2 * shared
    return float(np.sqrt(left)) if left > NOISE * variance else 0.0


def _shared_figures(one: Takeoff, other: Takeoff) -> np.ndarray:
    """Product of 1 + relative variance over the figures that two needs share. Shape (L, L')."""
    place: dict[tuple[str, str], int] = {}
    entries = [_spreads(one, place)]
    entries.append(entries[0] if other is one else _spreads(other, place))
    loads = []
    for takeoff, found in zip((one, other), entries, strict=True):
        loads.append(np.zeros((len(takeoff.needs), len(place))))
        for row, column, value in found:
            loads[-1][row, column] = np.sqrt(value)
    return np.exp(loads[0] @ loads[1].T)


def _spreads(takeoff: Takeoff, place: dict[tuple[str, str], int]) -> list[tuple[int, int, float]]:
    """Need, place of the figure, and the logarithm of 1 + its relative variance; new figures get their place."""
    return [
        (row, place.setdefault(key, len(place)), float(np.log1p(variance / mean**2)))
        for row, factors in enumerate(takeoff.factors)
        for key, (mean, variance) in factors.items()
        if variance and mean
    ]


def _ground_covariance(one: Cells, other: Cells, apart: Mapping[str, float]) -> np.ndarray:
    """Covariance of the ground of cells. Shape (C, C')."""
    grounds = one.takeoff.ground, other.takeoff.ground
    covariance = np.zeros((len(one.need), len(other.need)))
    places = [{name: at for at, name in enumerate(ground.patch)} for ground in grounds]
    for surface in grounds[0].surfaces:
        both = [name for name in grounds[0].patch[grounds[0].surface == surface] if name in places[1]]
        here, there = (np.array([place[name] for name in both], dtype=int) for place in places)
        spread = _patch_covariance(grounds, here, there, [apart.get(name, 0.0) for name in both])
        rows, columns = one.on(surface), other.on(surface)
        steep = one.slope[np.ix_(one.need[rows], here)] * spread
        covariance[np.ix_(rows, columns)] = steep @ other.slope[np.ix_(other.need[columns], there)].T
    layers = {name: at for at, name in enumerate(dict.fromkeys((*grounds[0].layers, *grounds[1].layers)))}
    by_layer = _bias(one, layers)
    if by_layer.any():
        covariance += by_layer @ (by_layer if other is one else _bias(other, layers)).T
    _add_reach(one, other, covariance)
    return covariance


def _patch_covariance(
    grounds: tuple[Ground, Ground], here: np.ndarray, there: np.ndarray, apart: list[float]
) -> np.ndarray:
    """
    Covariance of the areas of patches in two drawings, out of what the ground between the two is uncertain by. [m4]

    Var(a - b) = Var(a) + Var(b) - 2 Cov(a, b); no ground lies between a patch and itself.
    """
    own, again = grounds[0].own_m2[here], grounds[1].own_m2[there]
    return (own**2 + again**2 - np.square(apart)) / 2


def _bias(cells: Cells, layers: dict[str, int]) -> np.ndarray:
    """How much the ground of cells grows with the edge bias of each layer. Shape (C, layers)."""
    ground = cells.takeoff.ground
    found = np.zeros((len(cells.need), len(layers)))
    place = np.array([layers[name] for name in ground.layers], dtype=int)[ground.layer_code]
    for surface in ground.surfaces:
        rows, patches = cells.on(surface), np.flatnonzero(ground.surface == surface)
        biased = np.zeros((len(patches), len(layers)))
        biased[np.arange(len(patches)), place[patches]] = ground.bias_m2[patches]
        found[rows] = cells.slope[np.ix_(cells.need[rows], patches)] @ biased
    return found


def _add_reach(one: Cells, other: Cells, covariance: np.ndarray) -> None:
    """How far material lands past the edge is one figure of the job, on all its surfaces."""
    thrown = [_thrown(cells) for cells in (one, other)]
    for key, (here, beyond) in thrown[0].items():
        if key in thrown[1]:
            there, again = thrown[1][key]
            covariance[np.ix_(here, there)] += np.multiply.outer(beyond, again)


def _thrown(cells: Cells) -> dict[tuple[str, str], tuple[np.ndarray, np.ndarray]]:
    """Job and material -> its cells, and the standard deviation of their ground past the edge."""
    takeoff, found = cells.takeoff, {}
    for at, need in enumerate(takeoff.needs):
        if need.beyond.variance and need.beyond_m2.any():
            here = np.flatnonzero(cells.need == at)
            sums = np.bincount(takeoff.ground.surface_code, need.beyond_m2, minlength=len(cells.surfaces) - 1)
            found[need.job.name, need.key] = here, np.sqrt(need.beyond.variance) * sums[cells.surface[here]]
    return found
