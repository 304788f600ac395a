"""
A better night, looked for: stations in ever other orders, each time filled in so that the pump carries what it can.

An order is one number a station. Minute by minute, whenever something ends, those that come first and together leave
least of the pump unused begin. Of the orders tried the better one is kept and altered a little, from some minute on;
now and then a worse one is followed for a while. It is the same search each time: its random numbers are seeded, and
its length is counted in tries.
"""

from __future__ import annotations

import heapq
from collections.abc import Mapping, Sequence
from math import ceil, exp
from random import Random

import numpy as np

from turfgis.estimates.night_times import NOISE, Run, Source

SEED = 5
PARTS = 50  # of a cubic metre an hour, in which flows are added up
FIRST = 0.15  # of the tries go into quite different orders; the rest into altering the best of them
ALTERED = 0.5  # of the tries have altered the whole night when only its end is looked at
LATE = 90  # that end [min]
FORWARD = 2.0  # what water of a surface counts beside the same of the next in the club's order
AMONG, SPARED, SNUG = (8, 32), (0, 1, 3, 8, 20), (0, 0, 20, 35, 50)
WAIT = 3  # minutes until it is tried again what the tank did not let begin
Starts = list[list[int]]


class Filler:
    """Fills nights of the same stations; see :meth:`fill`."""

    def __init__(self, source: Source, runs: Sequence[Run]):
        self.source, self.runs = source, runs
        self.flow, self.pump = [0] * len(runs), 0
        self.volume, self.span = [run.m3 for run in runs], [run.span for run in runs]
        things = source.at_a_time(runs)
        if source.pump is not None:
            figures, most = things.pop(0)
            self.flow, self.pump = [ceil(one * PARTS - 1e-6) for one in figures.tolist()], int(most * PARTS + 1e-6)
        self.most = [most * (1 + NOISE) for _, most in things]
        self.ask = np.array([figures for figures, _ in things]).reshape(len(things), len(runs)).T.tolist()
        self.biggest = [max(figures.tolist(), default=0.0) for figures, _ in things]
        self.least = min(self.flow, default=0)
        pumped = 0.0 if source.pump is None else source.pump
        # no pump: whatever a tank holds may be asked for at once
        self.tank = source.tank is not None and (
            source.pump is None or source.stored + min(0.0, source.refill - pumped) * source.window / 60 < 0
        )

    def fill(
        self,
        order: Sequence[int],
        among: int,
        spared: int,
        snug: int,
        kept: Starts | None = None,
        since: int = 0,
    ) -> Starts:
        """
        Minutes at which the cycles of each station begin; nothing for one whose cycles do not all come in.

        Parameters
        ----------
        order
            Places of the stations, who comes first in front.
        among
            How many of those that could begin are looked at together.
        spared
            How much of the pump may be left unused if those come in that are further in front. [1/50 m3/h]
        snug
            So long before the end the longest come first that still fit. [min]
        kept, since
            A night of which all that begins before a minute is kept.
        """
        night, more = _Night(self, order, kept, since), True
        while more:
            again, held = True, False
            while again and night.room >= self.least:
                able = night.able(among, snug)
                begun, refused = night.begin(self._together(able, night.room, spared))
                again, held = begun and len(able) >= among, held or refused
            more = night.go_on(held)
        return [some if len(some) == run.cycles else [] for some, run in zip(night.starts, self.runs, strict=True)]

    def _together(self, able: Sequence[int], room: int, spared: int) -> Sequence[int]:
        """Which of some stations begin: the first in line among those that leave no more of the pump than is spared."""
        plain, left = [], room
        for place in able:
            if self.flow[place] <= left:
                left -= self.flow[place]
                plain.append(place)
        if len(plain) == len(able) or left <= spared:
            return plain
        # bit n of a number says that some of the stations further back come to n
        reach, mask = 1, (1 << (room + 1)) - 1
        behind = [reach]
        for place in reversed(able):
            reach = (reach | (reach << self.flow[place])) & mask
            behind.append(reach)
        high = reach.bit_length() - 1
        low, picked = high - spared, []
        if room - left >= low:
            return plain
        for place, rest in zip(able, behind[-2::-1], strict=True):
            more, least = high - self.flow[place], max(low - self.flow[place], 0)
            if more >= 0 and (rest >> least) & ((1 << (more - least + 1)) - 1):
                picked.append(place)
                high, low = more, low - self.flow[place]
        return picked

    def after(self, level: float, minutes: float, flow: float) -> float:
        """What is in the tank after some minutes of an even flow. [m3]"""
        source = self.source
        return min(source.tank or 0.0, level + (source.refill - flow) * minutes / 60)

    def lasts(self, level: float, minute: int, running: Sequence[tuple[int, int]]) -> bool:
        """Whether the tank stays over its floor until all that runs has stopped."""
        flow = sum(self.runs[place].flow for _, place in running)
        for ends, place in sorted(running):
            level, minute = self.after(level, ends - minute, flow), ends
            if level < self.source.floor:
                return False
            flow -= self.runs[place].flow
        return True

    def level_at(self, starts: Starts, minute: int) -> float:
        """What is in the tank at a minute, before anything begins there. [m3]"""
        changes: dict[int, float] = {}
        for some, run in zip(starts, self.runs, strict=True):
            for begin in some:
                changes[begin] = changes.get(begin, 0.0) + run.flow
                ends = begin + run.minutes
                changes[ends] = changes.get(ends, 0.0) - run.flow
        level, flow, at = self.source.level, 0.0, 0
        for change in sorted(one for one in changes if one < minute):
            level, at, flow = self.after(level, change - at, flow), change, flow + changes[change]
        return self.after(level, minute - at, flow)


class _Night:
    """
    A night that is being filled, minute by minute.

    Attributes
    ----------
    starts
        Minutes at which cycles begin, by station.
    room
        What the pump has left [1/50 m3/h].
    """

    def __init__(self, filler: Filler, order: Sequence[int], kept: Starts | None, since: int):
        self.filler, self.minute = filler, since
        runs, self.left = filler.runs, list(filler.span)  # minutes that each station still takes
        self.starts: Starts = [[at for at in some if at < since] for some in kept] if kept else [[] for _ in runs]
        self.room, self.rooms, self.water = filler.pump, list(filler.most), filler.source.water * (1 + NOISE)
        self.running: list[tuple[int, int]] = []  # until when, and which; what ends first in front
        self.later: list[tuple[int, int]] = []  # when what soaks in may go on, and which
        ahead: list[int] = []
        fresh: list[int] = []
        for place in order:
            run, begun = runs[place], len(self.starts[place])
            if not begun:
                fresh.append(place)
                continue
            self.water -= filler.volume[place]
            ends = self.starts[place][-1] + run.minutes
            self.left[place] = run.span - (begun - 1) * (run.minutes + run.soak)
            if ends > since:
                self.running.append((ends, place))
                self._take(place)
            elif begun < run.cycles:
                self.left[place] -= run.minutes + run.soak
                if ends + run.soak > since:
                    self.later.append((ends + run.soak, place))
                else:
                    ahead.append(place)
        heapq.heapify(self.running)
        heapq.heapify(self.later)
        self.waiting = ahead + fresh
        self.level = filler.level_at(self.starts, since) if filler.tank else 0.0

    def _take(self, place: int) -> None:
        """Pump and all other things that run out, for as long as a station runs."""
        self.room -= self.filler.flow[place]
        for at, figure in enumerate(self.filler.ask[place]):
            self.rooms[at] -= figure

    def _give_back(self, place: int) -> None:
        self.room += self.filler.flow[place]
        for at, figure in enumerate(self.filler.ask[place]):
            self.rooms[at] += figure

    def able(self, among: int, snug: int) -> list[int]:
        """The first so many stations in line that could begin now."""
        flow, ask, volume, left, room = self.filler.flow, self.filler.ask, self.filler.volume, self.left, self.room
        rest = self.filler.source.window - self.minute
        if rest <= snug:
            self.waiting.sort(key=lambda place: -left[place])
        # what is plentiful need not be looked at
        scarce = [at for at, one in enumerate(self.rooms) if one < self.filler.biggest[at]]
        able: list[int] = []
        for place in self.waiting:
            if flow[place] > room or left[place] > rest or (volume[place] > self.water and not self.starts[place]):
                continue
            if scarce and any(ask[place][at] > self.rooms[at] for at in scarce):
                continue
            able.append(place)
            if len(able) >= among:
                break
        return able

    def begin(self, places: Sequence[int]) -> tuple[bool, bool]:
        """Let stations begin as far as they still can; whether any did, and whether the tank kept one from it."""
        filler, begun, held = self.filler, set(), False
        for place in places:
            ends = self.minute + filler.runs[place].minutes
            if filler.flow[place] > self.room or (filler.volume[place] > self.water and not self.starts[place]):
                continue
            if any(figure > one for figure, one in zip(filler.ask[place], self.rooms, strict=True)):
                continue
            if filler.tank and not filler.lasts(self.level, self.minute, [*self.running, (ends, place)]):
                held = True
                continue
            self._take(place)
            self.water -= 0.0 if self.starts[place] else filler.volume[place]
            self.starts[place].append(self.minute)
            heapq.heappush(self.running, (ends, place))
            begun.add(place)
        if begun:
            self.waiting = [place for place in self.waiting if place not in begun]
        return bool(begun), held

    def go_on(self, held: bool) -> bool:
        """On to when something ends or may go on; False where nothing does any more."""
        filler, runs = self.filler, self.filler.runs
        coming = [some[0][0] for some in (self.running, self.later) if some]
        coming += [self.minute + WAIT] if held else []
        if not coming or (min(coming) >= filler.source.window and not self.running):
            return False
        before, self.minute = self.minute, min(coming)
        if filler.tank:
            flow = sum(runs[place].flow for _, place in self.running)
            self.level = filler.after(self.level, self.minute - before, flow)
        while self.running and self.running[0][0] <= self.minute:
            _, place = heapq.heappop(self.running)
            self._give_back(place)
            if len(self.starts[place]) < runs[place].cycles:
                self.left[place] -= runs[place].minutes + runs[place].soak
                heapq.heappush(self.later, (self.minute + runs[place].soak, place))
        back: list[int] = []
        while self.later and self.later[0][0] <= self.minute:
            back.append(heapq.heappop(self.later)[1])
        self.waiting = back + self.waiting
        return True


def search_night(
    source: Source, runs: Sequence[Run], enough: float, tries: int, upto: int
) -> Mapping[str, tuple[int, ...]]:
    """
    Look for a night that gives more.

    Parameters
    ----------
    source, runs
        The night and the stations that can run at all.
    enough
        Water of the stations up to a rank at which the search is over [m3].
    tries
        How many nights are filled at the most.
    upto
        That rank: of the stations behind it, what fits is taken.

    Returns
    -------
    Minutes at which the cycles of each station that runs begin, for the best night found.
    """
    draw, filler, count = Random(SEED), Filler(source, runs), len(runs)
    if not runs:
        return {}
    ranks = sorted({run.rank for run in runs})
    place_of = [ranks.index(run.rank) for run in runs]
    longest, pump = max(run.span for run in runs), max(filler.pump, 1)
    counts = [FORWARD ** (len(ranks) - 1 - place) * run.m3 for place, run in zip(place_of, runs, strict=True)]

    def worth(starts: Starts) -> float:
        return sum(count for count, some in zip(counts, starts, strict=True) if some)

    def reached(starts: Starts) -> tuple[float, ...]:
        sums = [0.0] * len(ranks)
        for place, run, some in zip(place_of, runs, starts, strict=True):
            sums[place] += run.m3 if some else 0.0
        return tuple(round(one, 6) for one in sums)

    def over(given: tuple[float, ...]) -> bool:
        return sum(one for one, rank in zip(given, ranks, strict=True) if rank <= upto) >= enough - 1e-6

    def in_order(keys: Sequence[float]) -> list[int]:
        return sorted(range(count), key=keys.__getitem__)

    best: tuple[tuple[float, ...], Starts] | None = None
    state: tuple[float, list[float], tuple[int, int, int], Starts] | None = None
    first, altered = max(1, round(FIRST * tries)), round(ALTERED * tries)
    best_keys: list[float] = []
    best_how = (0, 0, 0)
    for _ in range(first):
        span, flow, rank, chance = exp(4 * draw.random() - 2), 15 * draw.random(), 2 + 2 * draw.random(), draw.random()
        keys = [
            rank * place - span * run.span / longest - flow * own / pump + chance * draw.random()
            for place, run, own in zip(place_of, runs, filler.flow, strict=True)
        ]
        how = draw.randint(*AMONG), draw.choice(SPARED), draw.choice(SNUG)
        starts = filler.fill(in_order(keys), *how)
        given = reached(starts)
        if state is None or worth(starts) > state[0]:
            state = worth(starts), keys, how, starts
        if best is None or given > best[0]:
            best, best_keys, best_how = (given, starts), keys, how
            if over(given):
                break
    assert best is not None
    assert state is not None
    for number in range(first, tries):
        if over(best[0]):
            break
        if number == altered:  # the end of the night decides what the last stations leave unused
            state = worth(best[1]), best_keys, best_how, best[1]
        value, keys, how, starts = state
        late = number >= altered or draw.random() < 0.3
        since = int(source.window - 20 - LATE * draw.random()) if late else int(source.window * draw.random())
        since = max(0, since)
        free = [place for place in range(count) if not starts[place] or starts[place][0] >= since]
        if len(free) < 2:
            continue
        keys = list(keys)
        for _ in range(draw.choice((1, 1, 2, 3))):
            one, other = draw.choice(free), draw.choice(free)
            if draw.random() < 0.5:
                keys[one], keys[other] = keys[other], keys[one]
            else:
                keys[one] = keys[other] + 0.02 * draw.random() - 0.01
        how = (
            draw.randint(*AMONG) if draw.random() < 0.15 else how[0],
            draw.choice(SPARED) if draw.random() < 0.15 else how[1],
            draw.choice(SNUG) if draw.random() < 0.15 else how[2],
        )
        found = filler.fill(in_order(keys), *how, starts, since)
        gained, warmth = worth(found) - value, 0.3 if number >= altered else (1 - number / altered) ** 2 + 1e-3
        if gained >= 0 or draw.random() < exp(gained / warmth):
            state = value + gained, keys, how, found
            if gained > 0 and reached(found) > best[0]:
                best, best_keys, best_how = (reached(found), found), keys, how
    return {run.station: tuple(some) for run, some in zip(runs, best[1], strict=True) if some}
