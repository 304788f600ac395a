"""
The night's plan: stations into the window, so that pump, heads, controllers, tank and limits hold at every minute.

Whoever is first in the club's order gets all its water before the next is thought of; what does not fit is named, with
the reason, and the rest is planned. Where all fits, the plan is over as soon as can be.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import permutations
from math import ceil

import numpy as np

from turfgis.estimates.night_bound import minutes_bound, water_bound
from turfgis.estimates.night_choice import Chooser, choose_stations
from turfgis.estimates.night_search import search_night
from turfgis.estimates.night_times import Run, Source, Timetable, fill, fill_up, turned

NEAR = 0.01  # how near the bound is near enough not to look further
SEED, TRIES, SHORT_TRIES = 11, 60, 3
ALL_ORDERS, FEW_CYCLES = 6, 40  # stations of which all orders are tried; cycles of which the solver is asked by minute
LOST = (0.0, 0.005, 0.01, 0.02, 0.035, 0.06, 0.1, 0.15)  # of the night, between one station and the next
EFFORT = 4.0  # of the solver, in its own deterministic seconds
SEARCHED = 1000  # nights that are tried for each of them


@dataclass(frozen=True)
class Left:
    """A station that is not watered, and why."""

    run: Run
    why: str


@dataclass(frozen=True)
class Night:
    """
    A night as planned.

    Attributes
    ----------
    source
        Window, pump and tank.
    starts
        Minutes after the beginning of the window at which the cycles of each station begin.
    runs
        The stations that run, in the order of their first minute.
    left
        Those that do not, the last in the club's order first.
    bound
        Where all fits: minutes before which nothing can be over. Else: the most water that could be given up to, and
        with, the first surface that goes short [m3].
    """

    source: Source
    starts: dict[str, tuple[int, ...]]
    runs: tuple[Run, ...]
    left: tuple[Left, ...]
    bound: float

    @property
    def m3(self) -> float:
        """Water put on. [m3]"""
        return sum(run.m3 for run in self.runs)

    @property
    def end(self) -> int:
        """Minute at which the last station stops. [min]"""
        return max((self.starts[run.station][-1] + run.minutes for run in self.runs), default=0)

    @property
    def gap(self) -> float:
        """How far the plan may be from the best there is, as a share of it. [-]"""
        if not self.runs or not self.bound:
            return 0.0
        short = [one.run.rank for one in self.left if one.why in (NO_ROOM, NO_WATER)]
        if not short:
            return max(0.0, (self.end - self.bound) / self.end)
        given = sum(run.m3 for run in self.runs if run.rank <= min(short))
        return max(0.0, (self.bound - given) / self.bound)

    @property
    def flow(self) -> np.ndarray:
        """What is pumped in each minute. [m3/h]"""
        table = np.zeros(self.source.window)
        for run in self.runs:
            for begin in self.starts[run.station]:
                table[begin : begin + run.minutes] += run.flow
        return table

    @property
    def heads(self) -> np.ndarray:
        """How many heads run in each minute."""
        table = np.zeros(self.source.window, int)
        for run in self.runs:
            for begin in self.starts[run.station]:
                table[begin : begin + run.minutes] += run.heads
        return table


NO_ROOM = "no room left in the night"
NO_WATER = "no water left in the night"


def plan_night(source: Source, runs: Sequence[Run], effort: float = EFFORT) -> Night:
    """
    Put stations into a night.

    Parameters
    ----------
    source
        Window, pump, heads, controllers, tank and limits.
    runs
        What each station is to do.
    effort
        How long to look for something better at each question, in the solver's own deterministic seconds: the same on
        every machine.

    Returns
    -------
    The plan. A station that cannot run even alone is left out with its reason, and the rest is planned.

    Examples
    --------
    Three stations of 20 m3/h for ten minutes, two at a time:

    >>> runs = [Run(name, "", "green", 0, 4, 20.0, 1, 10) for name in "ABC"]
    >>> night = plan_night(Source(60, pump=40.0), runs)
    >>> night.end, night.bound, night.left
    (20, 20.0, ())
    """
    never = {run.station: why for run in runs if (why := _never(source, run))}
    able = [run for run in runs if run.station not in never]
    club = [fill(source, order) for order in _orders(able)]
    whole = [table for table in club if len(table.starts) == len(able)]
    # sums of the whole night tell at once where not all can fit
    if whole or sum(run.m3 for run in able) <= source.water * (1 + 1e-9):
        least = _least_minutes(source, able)
        if whole and _end(whole[0], able) <= least / (1 - NEAR):  # the club's own order is near enough
            return _night(source, runs, able, never, whole[0], float(least))
        best, bound = _soonest(source, able, whole, least, effort)
        if best is not None:
            return _night(source, runs, able, never, best, bound)
    best, bound = _short(source, able, club[0], effort)
    if len(best.starts) == len(able):  # found after all
        bound = float(_least_minutes(source, able))
    return _night(source, runs, able, never, best, bound)


def _orders(runs: Sequence[Run]) -> list[list[Run]]:
    """Orders that keep the club's: whoever comes first there is put in first."""
    return [
        sorted(runs, key=lambda run: (run.rank, -run.span, -run.flow)),
        sorted(runs, key=lambda run: (run.rank, -run.m3)),
    ]


def _never(source: Source, run: Run) -> str:
    """Why a station cannot run even if nothing else does; nothing where it can."""
    if run.span > source.window:
        return "longer than the window"
    if source.pump is not None and run.flow > source.pump * (1 + 1e-9):
        return "more than the pump delivers"
    if source.heads is not None and run.heads > source.heads:
        return "more heads than may run at a time"
    carries = source.controllers.get(run.controller)
    if carries is not None:
        figures = ((carries.stations, 1), (carries.heads, run.heads), (carries.flow, run.flow))
        if any(most is not None and figure > most * (1 + 1e-9) for most, figure in figures):
            return "more than its controller carries"
    if source.most is not None and run.m3 > source.most * (1 + 1e-9):
        return "more than may be taken in a day"
    if not Timetable(source).put(run):
        return "more than the tank can give"
    return ""


def _end(table: Timetable, runs: Sequence[Run]) -> int:
    return max((table.starts[run.station][-1] + run.minutes for run in runs if run.station in table.starts), default=0)


def _least_minutes(source: Source, runs: Sequence[Run]) -> int:
    """Minutes that the night takes at the least: by its longest station, by each thing at a time, by the tank."""
    if not runs:
        return 0
    least = [max(run.span for run in runs)]
    work = [(source.pump, [(run.flow, run) for run in runs]), (source.heads, [(run.heads, run) for run in runs])]
    for name, carries in source.controllers.items():
        own = [run for run in runs if run.controller == name]
        work += [(carries.stations, [(1, run) for run in own]), (carries.heads, [(run.heads, run) for run in own])]
        work += [(carries.flow, [(run.flow, run) for run in own])]
    for most, listed in work:
        if most is not None:
            least.append(ceil(sum(figure * run.cycles * run.minutes for figure, run in listed) / most - 1e-6))
    asked = sum(run.m3 for run in runs)
    if source.tank is not None and asked > source.stored and source.refill > 0:
        least.append(ceil((asked - source.stored) / source.refill * 60 - 1e-6))
    return max(least)


def _searched(source: Source, runs: Sequence[Run], enough: float, effort: float, upto: int) -> Timetable | None:
    """A night looked for, with what still fits put in beside; None where the tank does not bear it."""
    found = search_night(source, runs, enough, round(effort * SEARCHED), upto)
    table = Timetable(source)
    for run in runs:
        for begin in found.get(run.station, ()):
            table.add(run, begin)
        table.taken += run.m3 if run.station in found else 0.0
    table.starts = dict(found)
    if source.tank is not None and source.levels(table.flow).min(initial=source.level) < source.floor - 1e-9:
        return None
    for run in _orders(runs)[1]:
        if run.station not in table.starts:
            table.put(run)
    return table


def _tries(source: Source, runs: Sequence[Run], most: int = TRIES) -> Iterator[Timetable]:
    """Nights filled in ever other orders, each drawn together; the same ones each time."""
    draw = np.random.Generator(np.random.PCG64(SEED))
    for number in range(most):
        urgency = float(np.exp(draw.random() * 5 - 1.5))
        liking = {run.station: 1 + (0.3 * draw.random() if number > 3 else 0.0) for run in runs}
        table: Timetable | None = fill_up(source, runs, urgency, liking)
        for _ in range(4):
            if table is None or len(table.starts) < len(runs):
                break
            yield table
            table = turned(table, runs)


def _soonest(
    source: Source, runs: Sequence[Run], whole: Sequence[Timetable], least: int, effort: float
) -> tuple[Timetable | None, float]:
    """All stations, over as soon as can be, and minutes before which nothing can be over; None where not all fit."""
    best, near = min(whole, key=lambda table: _end(table, runs), default=None), least / (1 - NEAR)
    for table in _tries(source, runs):
        best = table if best is None else min(best, table, key=lambda one: _end(one, runs))
        if _end(best, runs) <= near:
            return best, float(least)
    if len(runs) <= ALL_ORDERS:
        tables = [*([best] if best else []), *(fill(source, order) for order in permutations(runs))]
        every = [table for table in tables if len(table.starts) == len(runs)]
        best = min(every, key=lambda table: _end(table, runs), default=None)
    if sum(run.cycles for run in runs) > FEW_CYCLES:
        least = max(least, minutes_bound(source, runs))
        near = int(least / (1 - NEAR))
        if near < source.window and (best is None or _end(best, runs) > near):
            table = _searched(replace(source, window=near), runs, sum(run.m3 for run in runs), effort, len(runs))
            if table is not None and len(table.starts) == len(runs):
                best = table
        return best, float(least)
    chooser = Chooser(source, runs, effort)
    chooser.fix([run.station for run in runs])
    found = chooser.soonest(best.starts if best else {}, least, _end(best, runs) if best else source.window)
    if found is None:
        return best, float(least)
    table = _by_starts(source, runs, found.starts)
    if table is not None and (best is None or _end(table, runs) < _end(best, runs)):
        best = table
    return best, max(float(least), found.bound)


def _by_starts(source: Source, runs: Sequence[Run], starts: Mapping[str, Sequence[int]]) -> Timetable | None:
    """An answer of the solver, each cycle in its turn as early as the tank lets it; None where one no longer fits."""
    # turned() goes by the ends, from the last: seen from behind, what begins first ends last
    mirrored = Timetable(source)
    for run in runs:
        if run.station in starts:
            mirrored.starts[run.station] = tuple(
                source.window - one - run.minutes for one in reversed(starts[run.station])
            )
    return turned(mirrored, runs)


def _short(source: Source, runs: Sequence[Run], first: Timetable, effort: float) -> tuple[Timetable, float]:
    """As much water as there can be for the first of the club's surfaces, then for the next; and the bound of it."""
    tables, bounds = [first], []
    for lost in LOST:
        chosen, some = choose_stations(source, runs, 1 - lost)
        bounds = bounds or some
        picked = [run for run in runs if run.station in set(chosen)]
        rest = [run for run in _orders(runs)[1] if run.station not in set(chosen)]
        placed = next(_tries(source, picked, SHORT_TRIES), None)
        if placed is not None:
            for run in rest:
                placed.put(run)
            tables.append(placed)
            break
    if sum(run.cycles for run in runs) <= FEW_CYCLES:
        exact = _exactly(source, runs, first, effort)
        if exact is not None:
            tables.append(exact[0])
            bounds = exact[1]
    if len(runs) <= ALL_ORDERS:
        tables += [fill(source, order) for order in permutations(runs)]
    best = max(tables, key=lambda table: _given(table, runs))
    bound, upto = _bound_of_short(source, runs, best, bounds)
    if sum(run.cycles for run in runs) <= FEW_CYCLES or _upto(best, runs, upto) >= bound * (1 - NEAR):
        return best, bound
    found = _searched(source, runs, bound * (1 - NEAR), effort, upto)
    if found is None or _given(found, runs) <= _given(best, runs):
        return best, bound
    return found, _bound_of_short(source, runs, found, bounds)[0]


def _upto(table: Timetable, runs: Sequence[Run], rank: int) -> float:
    """Water of all surfaces up to one in the club's order. [m3]"""
    return sum(run.m3 for run in runs if run.rank <= rank and run.station in table.starts)


def _exactly(
    source: Source, runs: Sequence[Run], first: Timetable, effort: float
) -> tuple[Timetable, list[float]] | None:
    """The same by the minute, for a night of few cycles."""
    chooser, starts, bounds = Chooser(source, runs, effort), dict(first.starts), []
    for rank in sorted({run.rank for run in runs}):
        own = [run for run in runs if run.rank == rank]
        found = chooser.most_water(own, starts)
        if found is None:
            return None
        starts = dict(found.starts)
        bounds.append(found.bound / 1000)
        chooser.keep(own, found.value)
    picked = [run for run in runs if run.station in starts]
    table = _by_starts(source, picked, starts)
    return None if table is None else (table, bounds)


def _bound_of_short(source: Source, runs: Sequence[Run], best: Timetable, bounds: Sequence[float]) -> tuple[float, int]:
    """The most water that could be given up to, and with, the first surface that goes short [m3]; and its rank."""
    total, rank = 0.0, 0
    for rank, bound in zip(sorted({run.rank for run in runs}), bounds, strict=False):
        own = [run for run in runs if run.rank == rank]
        if any(run.station not in best.starts for run in own):
            return total + min(bound, water_bound(source, runs, rank)), rank
        total += sum(run.m3 for run in own)
    return total, rank


def _given(table: Timetable, runs: Sequence[Run]) -> tuple[float, ...]:
    """Water of each surface, in the club's order: what comes first counts before all that comes after."""
    ranks = sorted({run.rank for run in runs})
    return tuple(
        round(sum(run.m3 for run in runs if run.rank == rank and run.station in table.starts), 6) for rank in ranks
    )


def _night(
    source: Source, runs: Sequence[Run], able: Sequence[Run], never: dict[str, str], best: Timetable, bound: float
) -> Night:
    planned = sorted((run for run in able if run.station in best.starts), key=lambda run: best.starts[run.station])
    asked = sum(run.m3 for run in able)
    pumped = np.inf if source.pump is None else source.pump * source.window / 60
    why = NO_WATER if asked > source.water * (1 + 1e-9) and source.water < pumped else NO_ROOM
    left = [Left(run, never.get(run.station, why)) for run in runs if run.station not in best.starts]
    left.sort(key=lambda one: -one.run.rank)
    return Night(source, dict(best.starts), tuple(planned), tuple(left), bound)
