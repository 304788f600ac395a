"""What lies in the yard is used first, in order of time; and how much of it is left for each group of jobs."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np

from turfgis.estimates.takeoff import Takeoff

NOISE = 1e-9  # a part of the need that is float noise and not worth an order


@dataclass(frozen=True, eq=False)
class Stock:
    """
    Stock used up month by month; within a month all needs of a material have the same part of it.

    K materials, M months (those of the take-off; what has no month comes last), C cells, G groups of jobs.

    Attributes
    ----------
    takeoff
        Whose needs it serves.
    held
        In stock of each material, in its base unit. Shape (K,).
    """

    takeoff: Takeoff
    held: np.ndarray

    @cached_property
    def materials(self) -> tuple[str, ...]:
        """Keys of the materials."""
        return tuple(self.takeoff.settings.material)

    @cached_property
    def groups(self) -> tuple[str, ...]:
        """Groups of jobs, in the order of the settings; "" for jobs that are in none."""
        return tuple(dict.fromkeys(job.group for job in self.takeoff.settings.job))

    @cached_property
    def material_of(self) -> np.ndarray:
        """Place of the material of each cell; K for what is no material. Shape (C,)."""
        place = {key: at for at, key in enumerate(self.materials)}
        needs = [place[one.key] if one.resource == "material" else len(place) for one in self.takeoff.needs]
        return np.array(needs, dtype=int)[self.takeoff.cells.need]

    @cached_property
    def group_of(self) -> np.ndarray:
        """Place of the group of each cell. Shape (C,)."""
        place = {name: at for at, name in enumerate(self.groups)}
        needs = np.array([place[one.job.group] for one in self.takeoff.needs], dtype=int)
        return needs[self.takeoff.cells.need]

    @cached_property
    def counts(self) -> np.ndarray:
        """How often the need of each cell occurs in each month. Shape (C, M)."""
        return self.takeoff.counts[self.takeoff.cells.need]

    @cached_property
    def wanted(self) -> np.ndarray:
        """Need of each cell in each month. Shape (C, M)."""
        return self.takeoff.cells.quantity[:, None] * self.counts

    @cached_property
    def covered(self) -> np.ndarray:
        """Part of the need of a month that stock covers; 0 for what is no material. Shape (K + 1, M)."""
        need = _summed(self.material_of, self.wanted, len(self.materials) + 1)[:-1]
        before = np.cumsum(need, axis=1) - need
        left = np.maximum(self.held[:, None] - before, 0.0)
        part = np.divide(left, need, out=np.zeros_like(need), where=need > 0)
        part = np.where(part > 1 - NOISE, 1.0, part)
        return np.vstack([part, np.zeros((1, need.shape[1]))])

    @cached_property
    def runs_out(self) -> np.ndarray:
        """Month in which the stock of each material runs out, as its place; -1 where it lasts. Shape (K + 1,)."""
        need = _summed(self.material_of, self.wanted, len(self.materials) + 1)
        short = (need > 0) & (self.covered < 1)
        if not short.size:
            return np.full(len(short), -1)
        return np.where(short.any(axis=1), short.argmax(axis=1), -1)

    @cached_property
    def bought(self) -> np.ndarray:
        """What is bought for each cell in each month, before whole packs. Shape (C, M)."""
        return self.wanted * (1 - self.covered[self.material_of])

    @cached_property
    def by_group(self) -> tuple[np.ndarray, np.ndarray]:
        """Needed and taken from stock, by material and group. Two of shape (K, G)."""
        size = (len(self.materials) + 1) * len(self.groups)
        code = self.material_of * len(self.groups) + self.group_of
        shape = (len(self.materials) + 1, len(self.groups))
        need = np.bincount(code, self.wanted.sum(axis=1), minlength=size).reshape(shape)[:-1]
        bought = np.bincount(code, self.bought.sum(axis=1), minlength=size).reshape(shape)[:-1]
        return need, need - bought

    @cached_property
    def first_month(self) -> np.ndarray:
        """Month in which each group first buys a material, or first needs it where it buys none. Shape (K, G)."""
        shape = (len(self.materials) + 1, len(self.groups))
        code = self.material_of * len(self.groups) + self.group_of
        first = np.zeros(shape, dtype=int)
        if not self.counts.size:
            return first[:-1]
        for amounts in (self.wanted, self.bought):
            sums = _summed(code, amounts, shape[0] * shape[1])
            any_month = sums > 0
            first = np.where(any_month.any(axis=1), any_month.argmax(axis=1), first.ravel()).reshape(shape)
        return first[:-1]

    def for_group(self, material: int, group: int) -> float:
        """Stock that an order may count on: what its group takes, or all that lies there by then if it buys nothing."""
        need, taken = (part[material] for part in self.by_group)
        if need[group] - taken[group] > NOISE * need[group]:
            return float(taken[group])
        first = self.first_month[material]
        earlier = [at for at in range(len(need)) if at != group and (first[at], at) < (first[group], group)]
        return float(max(self.held[material] - taken[earlier].sum(), taken[group]))


def _summed(code: np.ndarray, values: np.ndarray, size: int) -> np.ndarray:
    """Rows added up by code. Shape (size, M)."""
    made = np.zeros((size, values.shape[1]))
    np.add.at(made, code, values)
    return made


@lru_cache(maxsize=8)  # a change of price touches no amount
def stock_of(takeoff: Takeoff, empty: bool = False) -> Stock:
    """
    The stock of the settings, put to the needs of a take-off.

    Parameters
    ----------
    takeoff
        The needs.
    empty
        As in later years: nothing in the yard.
    """
    held = [0.0 if empty else one.stock for one in takeoff.settings.material.values()]
    return Stock(takeoff, np.array(held))
