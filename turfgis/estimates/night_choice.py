"""
Which stations run and in what order, where that is a real choice: by OR-Tools CP-SAT.

What it is asked leaves something out, so that it can be answered: which stations run, by the sums of the whole night;
and for a night of few cycles also when, by the minute, though not the level of the tank. What it answers is a bound for
the whole question, and an order in which the exact timetable of :mod:`turfgis.estimates.night_times` is filled.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import ceil, floor, isfinite

from ortools.sat.python import cp_model

from turfgis.estimates.night_times import Run, Source

SEED = 7
FOUND = (cp_model.OPTIMAL, cp_model.FEASIBLE)
LITRES = 1000


@dataclass(frozen=True)
class Choice:
    """
    An answer of the solver.

    Attributes
    ----------
    starts
        Minutes at which the cycles of each station that runs begin.
    value, bound
        What was asked for (minutes, or litres), and what it cannot be better than.
    """

    starts: Mapping[str, tuple[int, ...]]
    value: float
    bound: float


def choose_stations(source: Source, runs: Sequence[Run], share: float) -> tuple[list[str], list[float]]:
    """
    Which stations run when not all can: as much water as there can be for the first rank, then for the next.

    Parameters
    ----------
    source, runs
        The night and its stations.
    share
        How much of pump, heads and controllers may be used, minutes summed over the window: some is always lost
        between one station and the next. [-]

    Returns
    -------
    Names of the stations; and for each rank, in order, the most water that the sums allow. [m3]
    """
    model = cp_model.CpModel()
    on = {run.station: model.new_bool_var(run.station) for run in runs}
    everything = _at_a_time(source.pump, source.heads, None, runs)
    for name, carries in source.controllers.items():
        own = [run for run in runs if run.controller == name]
        everything += _at_a_time(carries.flow, carries.heads, carries.stations, own)
    for most, demands in everything:
        used = sum(demand * run.cycles * run.minutes * on[run.station] for run, demand in demands)
        model.add(used <= floor(most * source.window * share))
    if isfinite(source.water):
        litres = sum(_litres(run) * on[run.station] for run in runs)
        model.add(litres <= floor(source.water * LITRES * (1 + 1e-9)))
    bounds, chosen = [], []
    for rank in sorted({run.rank for run in runs}):
        own = sum(_litres(run) * on[run.station] for run in runs if run.rank == rank)
        model.maximize(own)
        solver = _solver(1.0, 0.001)
        if solver.solve(model) not in FOUND:
            break
        bounds.append(solver.best_objective_bound / LITRES)
        chosen = [run.station for run in runs if solver.boolean_value(on[run.station])]
        model.add(own >= round(solver.objective_value))
    return chosen, bounds


def _at_a_time(
    flow: float | None, heads: int | None, stations: int | None, runs: Sequence[Run]
) -> list[tuple[int, list[tuple[Run, int]]]]:
    """What there is at a time, in whole numbers, and what each station takes of it."""
    known = [
        (None if flow is None else floor(flow * LITRES + 1e-6), lambda run: ceil(run.flow * LITRES - 1e-6)),
        (heads, lambda run: run.heads),
        (stations, lambda run: 1),
    ]
    return [(most, [(run, demand(run)) for run in runs]) for most, demand in known if most is not None]


def _litres(run: Run) -> int:
    return ceil(run.m3 * LITRES - 1e-6)


def _solver(effort: float, gap: float) -> cp_model.CpSolver:
    """One worker, a fixed seed and no clock: the same night each time."""
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = SEED
    solver.parameters.max_deterministic_time = effort
    solver.parameters.relative_gap_limit = gap
    return solver


class Chooser:
    """A night of few cycles as the solver sees it."""

    def __init__(self, source: Source, runs: Sequence[Run], effort: float):
        self.source, self.runs, self.effort = source, runs, effort
        self.model = cp_model.CpModel()
        self.on = {run.station: self.model.new_bool_var(f"on {run.station}") for run in runs}
        self.start: dict[str, list] = {}
        bars: dict[str, list] = {}
        for run in runs:
            on, begins, own = self.on[run.station], [], []
            for number in range(run.cycles):
                done, name = number * (run.minutes + run.soak), f"{run.station} {number}"
                begin = self.model.new_int_var(done, source.window - (run.span - done), name)
                own.append(self.model.new_optional_fixed_size_interval_var(begin, run.minutes, on, name))
                if begins:
                    self.model.add(begin >= begins[-1] + run.minutes + run.soak)
                begins.append(begin)
            self.start[run.station], bars[run.station] = begins, own
        everything = _at_a_time(source.pump, source.heads, None, runs)
        for name, carries in source.controllers.items():
            own = [run for run in runs if run.controller == name]
            everything += _at_a_time(carries.flow, carries.heads, carries.stations, own)
        for most, demands in everything:
            each = [(bar, demand) for run, demand in demands for bar in bars[run.station]]
            self.model.add_cumulative([bar for bar, _ in each], [demand for _, demand in each], most)
        if isfinite(source.water):
            self.model.add(self.litres(runs) <= floor(source.water * LITRES * (1 + 1e-9)))

    def litres(self, runs: Sequence[Run]):
        """Water of those that run, in litres."""
        return sum(_litres(run) * self.on[run.station] for run in runs)

    def keep(self, runs: Sequence[Run], least: float) -> None:
        """From here on some stations get no less than so many litres together."""
        self.model.add(self.litres(runs) >= floor(least))

    def fix(self, stations: Sequence[str]) -> None:
        """From here on these stations run, and no others."""
        kept = set(stations)
        for name, on in self.on.items():
            self.model.add(on == (name in kept))

    def most_water(self, runs: Sequence[Run], hint: Mapping[str, Sequence[int]]) -> Choice | None:
        """As much water for some stations as there can be."""
        self.model.maximize(self.litres(runs))
        return self._solve(hint, 0.0)

    def soonest(self, hint: Mapping[str, Sequence[int]], least: int, most: int) -> Choice | None:
        """All over as soon as can be; not before, and not after, minutes that are known."""
        end = self.model.new_int_var(least, max(least, most), "end")
        for run in self.runs:
            self.model.add(end >= self.start[run.station][-1] + run.minutes).only_enforce_if(self.on[run.station])
        self.model.minimize(end)
        return self._solve(hint, 0.0)

    def _solve(self, hint: Mapping[str, Sequence[int]], gap: float) -> Choice | None:
        self.model.clear_hints()
        for run in self.runs:
            self.model.add_hint(self.on[run.station], run.station in hint)
            for variable, minute in zip(self.start[run.station], hint.get(run.station, ()), strict=False):
                self.model.add_hint(variable, minute)
        solver = _solver(self.effort, gap)
        if solver.solve(self.model) not in FOUND:
            return None
        starts = {
            run.station: tuple(solver.value(one) for one in self.start[run.station])
            for run in self.runs
            if solver.boolean_value(self.on[run.station])
        }
        return Choice(starts, solver.objective_value, solver.best_objective_bound)
