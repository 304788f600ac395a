"""
What no plan of a night can do better than.

At each minute some set of stations runs that the pump carries; a night is such sets, each for so many minutes. How well
sets can fill the pump is the bound: five stations of 13.7 m3/h take 68.5 of 70 m3/h, and nothing else fits beside them.
Which sets matter is found one by one: the prices of the linear programme over the known sets (OR-Tools GLOP) say which
set to look for, and a sum of flows over the pump finds the best one. Gilmore and Gomory cut paper in this way, source
``gilmore-gomory-1961``.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import ceil, isfinite

import numpy as np
from ortools.linear_solver import pywraplp

from turfgis.estimates.night_times import Run, Source, best_fill

MOST_SETS, NEAR = 800, 1e-4
LENGTHS = 16  # parts of the window at whose ends it is looked at what must run in the middle
ROUNDED = 1e-6


def water_bound(source: Source, runs: Sequence[Run], rank: int) -> float:
    """
    The most water that the stations of a rank can get, if all that come before them in the club's order run. [m3]

    Parameters
    ----------
    source, runs
        The night and the stations that can run at all.
    rank
        The rank; those behind it get nothing.

    Returns
    -------
    No plan gives more; there may be none that gives so much.

    Examples
    --------
    Stations of 40 m3/h on a pump of 70 m3/h: only one runs at a time, four in the hour and not seven:

    >>> runs = [Run(name, "", "fairway", 0, 4, 40.0, 1, 15) for name in "ABCDEFG"]
    >>> print(f"{water_bound(Source(60, pump=70.0), runs, 0):.1f}")
    40.0
    """
    asked = [run for run in runs if run.rank <= rank]
    volume = np.array([run.m3 for run in asked])
    night, bound = _Sets(source, asked), 0.0
    if isfinite(source.water):
        night.at_most(volume, source.water * (1 + 1e-9))
    for figures, most in _in_the_middle(source, asked):
        night.at_most(figures, most)
    for one in sorted({run.rank for run in asked}):
        own = np.where([run.rank == one for run in asked], volume, 0.0)
        bound, found = night.most(own)
        night.at_least(own, found * (1 - ROUNDED))
    return min(bound, sum(run.m3 for run in asked if run.rank == rank))


def minutes_bound(source: Source, runs: Sequence[Run]) -> int:
    """
    Minutes before which no plan can be over, if all stations run: by the sets that the pump carries. [min]

    Parameters
    ----------
    source, runs
        The night and the stations that can run at all.

    Examples
    --------
    >>> runs = [Run(name, "", "fairway", 0, 4, 40.0, 1, 15) for name in "ABCD"]
    >>> minutes_bound(Source(600, pump=70.0), runs)
    60
    """
    least = ceil(_Sets(source, runs).least() - ROUNDED) if runs else 0
    while least < source.window:  # what runs long must run in the middle of a short night
        middle = _in_the_middle(replace(source, window=least), runs)
        if all(figures.sum() <= most * (1 + 1e-9) for figures, most in middle):
            break
        least += 1
    return least


def _in_the_middle(source: Source, runs: Sequence[Run]) -> list[tuple[np.ndarray, float]]:
    """
    What stations take of each thing in the middle of the window wherever they are put, and what there is of it there.

    A cycle that may begin between two minutes runs the less in the middle the nearer it lies to an end.
    """
    window, made = source.window, []
    for part in range(LENGTHS):
        first = window * part // (2 * LENGTHS)
        last = window - first
        must = np.zeros(len(runs))
        for place, run in enumerate(runs):
            for number in range(run.cycles):
                early = number * (run.minutes + run.soak)
                late = window - run.span + early
                kept = (min(begin + run.minutes, last) - max(begin, first) for begin in (early, late))
                must[place] += max(0, min(kept))
        made += [(must * figures, most * (last - first)) for figures, most in source.at_a_time(runs)]
    return made


class _Sets:
    """The linear programme over sets of stations that the pump carries together."""

    def __init__(self, source: Source, runs: Sequence[Run]):
        self.source = source
        self.solver = pywraplp.Solver.CreateSolver("GLOP")
        self.free = self.solver.infinity()
        self.flow = np.array([run.flow for run in runs])
        self.minutes = np.array([float(run.cycles * run.minutes) for run in runs])
        self.share = [self.solver.NumVar(0.0, 1.0, "") for _ in runs]
        self.rows = [self.solver.Constraint(0.0, self.free) for _ in runs]
        for row, share, minutes in zip(self.rows, self.share, self.minutes.tolist(), strict=True):
            row.SetCoefficient(share, -minutes)
        self.whole = self.solver.Constraint(-self.free, float(source.window))
        self.sets: list[pywraplp.Variable] = []
        for one in np.eye(len(runs), dtype=bool):
            self.add(one)

    def at_most(self, figures: np.ndarray, most: float) -> None:
        """One more limit on the stations that run."""
        row = self.solver.Constraint(-self.free, most)
        for share, figure in zip(self.share, figures.tolist(), strict=True):
            row.SetCoefficient(share, figure)

    def at_least(self, figures: np.ndarray, least: float) -> None:
        """The stations come to no less than that together."""
        self.at_most(-figures, -least)

    def add(self, together: np.ndarray) -> None:
        """One more set that may run, for as long as one likes."""
        lasting = self.solver.NumVar(0.0, self.free, "")
        self.whole.SetCoefficient(lasting, 1.0)
        for place in np.flatnonzero(together):
            self.rows[place].SetCoefficient(lasting, 1.0)
        self.sets.append(lasting)

    def best(self, price: np.ndarray) -> tuple[float, np.ndarray]:
        """The set that is worth the most at a price for each station's minute, and what it is worth."""
        if self.source.pump is None:
            together = np.ones(len(price), bool)
        else:
            together = best_fill(self.flow, price, self.source.pump, generous=True)
        return float(price[together].sum()), together

    def least(self) -> float:
        """Minutes that all sets together last at the least, if every station runs whole."""
        if self.source.pump is None:
            return 0.0
        self.whole.SetBounds(-self.free, self.free)
        for share in self.share:
            share.SetLb(1.0)
        objective, bound = self.solver.Objective(), 0.0
        objective.SetMinimization()
        for lasting in self.sets:
            objective.SetCoefficient(lasting, 1.0)
        for _ in range(MOST_SETS):
            self.solver.Solve()
            price = np.maximum([row.dual_value() for row in self.rows], 0.0)
            worth, together = self.best(price)
            bound = max(
                bound, float(price @ self.minutes) / worth
            )  # at these prices no set is worth more than a minute
            if objective.Value() - bound <= NEAR * bound:
                break
            self.add(together)
            objective.SetCoefficient(self.sets[-1], 1.0)
        return bound

    def most(self, volume: np.ndarray) -> tuple[float, float]:
        """The most water that there can be by what each station gives, and what is reached with the known sets."""
        objective, bound = self.solver.Objective(), np.inf
        objective.Clear()
        objective.SetMaximization()
        for share, figure in zip(self.share, volume.tolist(), strict=True):
            objective.SetCoefficient(share, figure)
        for _ in range(MOST_SETS):
            self.solver.Solve()
            worth, together = self.best(np.abs([row.dual_value() for row in self.rows]))
            short = max(0.0, worth - self.whole.dual_value())  # what the window would have to be worth more a minute
            bound = min(bound, objective.Value() + self.source.window * short)
            if bound - objective.Value() <= NEAR * max(bound, 1e-9):
                break
            self.add(together)
        return bound, objective.Value()
