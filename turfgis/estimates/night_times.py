"""
A night by the minute: what runs, what the pump and the controllers carry, what is in the tank.

Stations are put in one after another, each at the earliest minutes at which everything holds for it and for all that
stands there already; so none ever harms one that was put in before it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

import numpy as np

NOISE = 1e-9
STEPS = 20  # to the cubic metre an hour, in which flows are added up


@dataclass(frozen=True)
class Run:
    """
    What one station is to do in a night.

    Attributes
    ----------
    station, controller, surface
        Which it is, what it hangs on, and what it waters.
    rank
        Place of its surface in the club's order; 0 gets its water first.
    heads
        How many heads it opens.
    flow
        Of all of them. [m3/h]
    cycles, minutes, soak
        How often it runs, how long each time, and the least time between. [-], [min], [min]
    """

    station: str
    controller: str
    surface: str
    rank: int
    heads: int
    flow: float
    cycles: int
    minutes: int
    soak: int = 0

    @property
    def m3(self) -> float:
        """Water of all its cycles. [m3]"""
        return self.flow * self.cycles * self.minutes / 60

    @property
    def span(self) -> int:
        """From its first minute to its last, at the least. [min]"""
        return self.cycles * self.minutes + (self.cycles - 1) * self.soak


@dataclass(frozen=True)
class Carries:
    """What one controller runs at a time at most: stations, heads, flow [m3/h]; None where it does not matter."""

    stations: int | None = None
    heads: int | None = None
    flow: float | None = None


@dataclass(frozen=True)
class Source:
    """
    Where the water of a night comes from.

    Attributes
    ----------
    window
        Minutes from the beginning to the end. [min]
    pump
        Most that flows at a time. [m3/h]
    heads
        Most heads at a time.
    controllers
        By name.
    tank, floor, level
        What the tank holds, what must stay in it, what is in it at the beginning; None without a tank. [m3]
    refill
        What flows into the tank while there is room. [m3/h]
    most
        Most that may be put on in the night. [m3]
    """

    window: int
    pump: float | None = None
    heads: int | None = None
    controllers: Mapping[str, Carries] = field(default_factory=dict)
    tank: float | None = None
    floor: float = 0.0
    level: float = 0.0
    refill: float = 0.0
    most: float | None = None

    @property
    def stored(self) -> float:
        """What may be taken out of the tank at the beginning. [m3]"""
        return max(0.0, self.level - self.floor) if self.tank is not None else np.inf

    @property
    def water(self) -> float:
        """The most that there can be in the whole window. [m3]"""
        given = np.inf if self.tank is None else self.stored + self.refill * self.window / 60
        return given if self.most is None else min(given, self.most)

    def at_a_time(self, runs: Sequence[Run]) -> list[tuple[np.ndarray, float]]:
        """What stations take of each thing that is limited at a time, in an array each, and what there is of it."""
        made = [(self.pump, [run.flow for run in runs]), (self.heads, [run.heads for run in runs])]
        for name, carries in self.controllers.items():
            own = [run.controller == name for run in runs]
            made += [
                (carries.stations, own),
                (carries.heads, [run.heads * here for run, here in zip(runs, own, strict=True)]),
                (carries.flow, [run.flow * here for run, here in zip(runs, own, strict=True)]),
            ]
        return [(np.array(figures, dtype=float), float(most)) for most, figures in made if most is not None]

    def levels(self, flow: np.ndarray) -> np.ndarray:
        """
        What is in the tank after each minute, and never more than it holds. [m3]

        Parameters
        ----------
        flow
            What is pumped in each minute. [m3/h]

        Examples
        --------
        40 m3/h out of a tank of 10 m3 that gets 10 m3/h, for two minutes, then nothing:

        >>> Source(4, tank=10, level=10, refill=10).levels(np.array([40.0, 40.0, 0.0, 0.0])).round(2).tolist()
        [9.5, 9.0, 9.17, 9.33]
        """
        assert self.tank is not None
        gained = np.cumsum((self.refill - flow) / 60)
        # a full tank overflows: the least room that there ever was is what cannot be caught up with
        return gained + np.minimum(self.level, np.minimum.accumulate(self.tank - gained))


class Timetable:
    """A night that is being filled."""

    def __init__(self, source: Source):
        self.source = source
        self.flow = np.zeros(source.window)
        self.heads = np.zeros(source.window)
        self.own = {name: np.zeros((3, source.window)) for name in source.controllers}
        self.starts: dict[str, tuple[int, ...]] = {}
        self.taken = 0.0

    def put(self, run: Run) -> bool:
        """Put a station in at its earliest minutes; whether it fits."""
        if run.station in self.starts:
            raise ValueError(f"station {run.station} is in already")
        if self.source.most is not None and self.taken + run.m3 > self.source.most * (1 + NOISE):
            return False
        begins, earliest = [], 0
        for _ in range(run.cycles):
            begin = self.earliest(run, earliest)
            if begin is None:
                for one in begins:
                    self.add(run, one, -1)
                return False
            self.add(run, begin, 1)
            begins.append(begin)
            earliest = begin + run.minutes + run.soak
        self.starts[run.station] = tuple(begins)
        self.taken += run.m3
        return True

    def add(self, run: Run, begin: int, sign: int = 1) -> None:
        """Let a cycle begin at a minute; or, with a sign of -1, take it out."""
        span = slice(begin, begin + run.minutes)
        self.flow[span] += sign * run.flow
        self.heads[span] += sign * run.heads
        if run.controller in self.own:
            self.own[run.controller][:, span] += sign * np.array([[1], [run.heads], [run.flow]])

    def _free(self, run: Run) -> np.ndarray:
        """In which minutes pump, heads and controller carry a station besides what runs."""
        source = self.source
        free = np.ones(source.window, bool)
        if source.pump is not None:
            free &= self.flow + run.flow <= source.pump * (1 + NOISE)
        if source.heads is not None:
            free &= self.heads + run.heads <= source.heads
        if run.controller in self.own:
            carries, used = source.controllers[run.controller], self.own[run.controller]
            for most, have, more in zip(
                (carries.stations, carries.heads, carries.flow), used, (1, run.heads, run.flow), strict=True
            ):
                if most is not None:
                    free &= have + more <= most * (1 + NOISE)
        return free

    def _tank_holds(self, run: Run, begin: int) -> bool:
        source = self.source
        if source.tank is None:
            return True
        more = self.flow.copy()
        more[begin : begin + run.minutes] += run.flow
        return bool(source.levels(more).min() >= source.floor - NOISE * source.tank)

    def carries(self, run: Run, minute: int) -> bool:
        """Whether pump, heads and controller carry a station from a minute on, if nothing begins later."""
        source, at = self.source, minute
        if at + run.minutes > source.window:
            return False
        if source.pump is not None and self.flow[at] + run.flow > source.pump * (1 + NOISE):
            return False
        if source.heads is not None and self.heads[at] + run.heads > source.heads:
            return False
        if run.controller not in self.own:
            return True
        carries, used = source.controllers[run.controller], self.own[run.controller][:, at]
        figures = zip((carries.stations, carries.heads, carries.flow), used, (1, run.heads, run.flow), strict=True)
        return all(most is None or have + more <= most * (1 + NOISE) for most, have, more in figures)

    def fits(self, run: Run, minute: int) -> bool:
        """Whether a cycle can begin at a minute, if nothing begins later."""
        return self.carries(run, minute) and self._tank_holds(run, minute)

    def earliest(self, run: Run, earliest: int) -> int | None:
        """First minute, not before another, at which a cycle can begin."""
        last = self.source.window - run.minutes
        if last < earliest:
            return None
        taken = np.concatenate([[0], np.cumsum(~self._free(run))])
        begins = np.arange(earliest, last + 1)
        begins = begins[taken[begins + run.minutes] == taken[begins]]
        return next((begin for begin in begins.tolist() if self._tank_holds(run, begin)), None)


def fill(source: Source, runs: Sequence[Run]) -> Timetable:
    """Put stations in, in the order given; those that do not fit are left out."""
    table = Timetable(source)
    for run in runs:
        table.put(run)
    return table


def fill_up(
    source: Source, runs: Sequence[Run], urgency: float = 1.0, liking: Mapping[str, float] | None = None
) -> Timetable:
    """
    Put stations in minute by minute, each time those that together use the pump best.

    Parameters
    ----------
    source, runs
        The night and the stations; those whose cycles do not all come in are left out.
    urgency
        How much a station that still needs long counts beside one that uses as much of the pump and is soon done.
    liking
        A factor on what each station counts, to try other orders with.
    """
    liking = liking or {}
    table = Timetable(source)
    ready = {run.station: 0 for run in runs}
    begins: dict[str, list[int]] = {run.station: [] for run in runs}
    longest = max((run.span for run in runs), default=1)
    # with a tank anything may begin once it has filled a little; else only where something ends or has soaked in
    turns = set(range(source.window)) if source.tank is not None else {0}
    for minute in range(source.window):
        if minute not in turns:
            continue
        waiting = [run for run in runs if ready[run.station] <= minute and table.carries(run, minute)]
        if not waiting:
            continue
        left = [run.span - len(begins[run.station]) * (run.minutes + run.soak) for run in waiting]
        order = sorted(range(len(waiting)), key=lambda place: (-left[place], -waiting[place].flow))
        waiting, left = [waiting[place] for place in order], [left[place] for place in order]
        needs = zip(waiting, left, strict=True)
        worth = np.array(
            [run.flow * liking.get(run.station, 1.0) * (1 + urgency * need / longest) for run, need in needs]
        )
        room = np.inf if source.pump is None else source.pump - float(table.flow[minute])
        picked = best_fill(np.array([run.flow for run in waiting]), worth, room)
        for place in np.argsort(~picked, kind="stable"):
            run = waiting[place]
            if table.fits(run, minute):
                table.add(run, minute)
                begins[run.station].append(minute)
                done = len(begins[run.station]) == run.cycles
                ready[run.station] = source.window if done else minute + run.minutes + run.soak
                turns |= {minute + run.minutes, minute + run.minutes + run.soak}
    for run in runs:
        if len(begins[run.station]) == run.cycles and table.taken + run.m3 <= (source.most or np.inf) * (1 + NOISE):
            table.starts[run.station] = tuple(begins[run.station])
            table.taken += run.m3
        else:
            for begin in begins[run.station]:
                table.add(run, begin, -1)
    return table


def turned(table: Timetable, runs: Sequence[Run]) -> Timetable | None:
    """
    The same stations from the last cycle to the first, each as early as it goes; None where one no longer fits.

    Done twice, it draws a night together: what was pushed about by the first in line finds its place from behind.
    """
    cycles = [(begin + run.minutes, run) for run in runs for begin in table.starts.get(run.station, ())]
    found, earliest = Timetable(table.source), {}
    begins: dict[str, list[int]] = {}
    for _, run in sorted(cycles, key=lambda one: -one[0]):
        begin = found.earliest(run, earliest.get(run.station, 0))
        if begin is None:
            return None
        found.add(run, begin)
        begins.setdefault(run.station, []).append(begin)
        earliest[run.station] = begin + run.minutes + run.soak
    found.starts = {name: tuple(some) for name, some in begins.items()}
    found.taken = table.taken
    return found


def best_fill(flow: np.ndarray, worth: np.ndarray, room: float, generous: bool = False) -> np.ndarray:
    """
    Which of some flows go into a room, so that they are worth the most together.

    Flows are rounded up to whole steps, so that all fit; or down, where no set that fits may be missed.
    """
    if flow.sum() <= room * (1 + NOISE):
        return np.ones(len(flow), bool)
    steps = np.floor(flow * STEPS + 1e-6).astype(int) if generous else np.ceil(flow * STEPS - 1e-6).astype(int)
    best = np.zeros(int(room * STEPS + 1e-6) + 1)
    took = np.zeros((len(flow), best.size), bool)
    for place, step in enumerate(steps.tolist()):
        if step < best.size:
            with_it = best[: best.size - step] + worth[place]
            took[place, step:] = with_it > best[step:]
            best[step:] = np.maximum(best[step:], with_it)
    picked, left = np.zeros(len(flow), bool), best.size - 1
    for place in range(len(flow) - 1, -1, -1):
        if took[place, left]:
            picked[place] = True
            left -= steps[place]
    return picked


def broken(source: Source, runs: Sequence[Run], starts: Mapping[str, Sequence[int]]) -> list[str]:
    """
    What a plan breaks, in words; nothing where it holds. Counted anew, minute by minute, for a check of any plan.

    Parameters
    ----------
    source, runs
        The night and the stations.
    starts
        Minutes at which the cycles of each station begin.

    Examples
    --------
    >>> run = Run("1", "", "green", 0, 4, 20.0, cycles=1, minutes=10)
    >>> broken(Source(60, pump=15.0), [run], {"1": [59]})
    ['station 1 runs beyond the window', 'the pump carries 20 of 15 m3/h at minute 59']
    """
    said: list[str] = []
    by_name = {run.station: run for run in runs}
    minutes: list[list[Run]] = [[] for _ in range(source.window)]
    for name, begins in starts.items():
        run = by_name[name]
        if len(begins) != run.cycles:
            said.append(f"station {name} runs {len(begins)} of {run.cycles} cycles")
        if any(later - begin < run.minutes + run.soak for begin, later in pairwise(begins)):
            said.append(f"station {name} does not wait between its cycles")
        if min(begins) < 0 or max(begins) + run.minutes > source.window:
            said.append(f"station {name} runs beyond the window")
        for begin in begins:
            for minute in range(max(0, begin), min(begin + run.minutes, source.window)):
                minutes[minute].append(run)
    level = source.level
    for minute, on in enumerate(minutes):
        flow, heads = sum(run.flow for run in on), sum(run.heads for run in on)
        if source.pump is not None and flow > source.pump * (1 + 1e-6):
            said.append(f"the pump carries {flow:g} of {source.pump:g} m3/h at minute {minute}")
        if source.heads is not None and heads > source.heads:
            said.append(f"{heads} of {source.heads} heads run at minute {minute}")
        for name, carries in source.controllers.items():
            own = [run for run in on if run.controller == name]
            figures = (len(own), sum(run.heads for run in own), sum(run.flow for run in own))
            for most, figure in zip((carries.stations, carries.heads, carries.flow), figures, strict=True):
                if most is not None and figure > most * (1 + 1e-6):
                    said.append(f"controller {name} carries {figure:g} of {most:g} at minute {minute}")
        if source.tank is not None:
            level = min(source.tank, level + (source.refill - flow) / 60)
            if level < source.floor - 1e-6:
                said.append(f"the tank falls to {level:.2f} m3 at minute {minute}")
    if source.most is not None and sum(by_name[name].m3 for name in starts) > source.most * (1 + 1e-6):
        said.append("more water than may be taken")
    return list(dict.fromkeys(said))
