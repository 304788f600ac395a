"""
In which order places are visited: closed rounds from a yard, one or several, within what a tank lasts.

Up to ``EXACT`` places a round is sought by constraint programming and mostly proved best, as are several trips up to
``EXACT_TRIPS``. Beyond that it is the nearest place next, bettered by turning parts of the round about and by moving
others. The same input gives the same order each time: one worker, a fixed seed, and a limit on the work of the search
that does not go by the clock.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from turfgis.errors import InputError

EXACT = 60  # places in one round
EXACT_TRIPS = 40  # and in several
EFFORT = 0.3  # of the search, by its own measure: a second or two
Trips = list[list[int]]
_ROUNDING = 1 + 1e-9


def best_round(lengths: np.ndarray) -> list[int]:
    """
    The shortest closed round from place 0 through all others.

    Parameters
    ----------
    lengths
        From each place to each. Shape (n, n), symmetric, the yard first.

    Returns
    -------
    The other places in their order. Of the two directions the one that begins with the lower number.

    Examples
    --------
    The corners of a field of 3 by 4, the yard on one of them:

    >>> best_round(np.array([[0, 3, 5, 4], [3, 0, 4, 5], [5, 4, 0, 3], [4, 5, 3, 0]]))
    [1, 2, 3]
    """
    order = _bettered(lengths, _nearest_next(lengths))
    if 3 < len(lengths) <= EXACT + 1:
        (order,) = _searched(lengths, [order]) or [order]
    return order if not order or order[0] <= order[-1] else order[::-1]


def best_trips(
    seconds: np.ndarray,
    work: Sequence[float],
    *,
    lasts: float = np.inf,
    machines: int = 1,
    between: float = 0.0,
    order: list[int] | None = None,
) -> Trips:
    """
    Trips from place 0 that visit all others once.

    Parameters
    ----------
    seconds
        Driving time from each place to each. [s] Shape (n, n), symmetric, the yard first.
    work
        Time of work at each of the other places. [s] Shape (n - 1,).
    lasts
        The longest that one trip may take, driving and work. [s]
    machines
        How many go out at the same time: the longest trip is then made as short as may be, before driving is.
    between
        Time lost between two trips of one machine. [s]
    order
        The shortest round through all of them, where it is known.

    Returns
    -------
    Places of each trip in their order.

    Raises
    ------
    InputError
        A place takes longer by itself than a trip may.
    """
    alone = np.asarray(work, dtype=float) + 2 * seconds[0, 1:]
    if len(alone) and alone.max() > lasts * _ROUNDING:
        raise InputError(f"a trip of {lasts / 60:.0f} min is too short: one place takes {alone.max() / 60:.0f} min")
    order = best_round(seconds) if order is None else order
    whole = _trip_time(seconds, work, order)
    if machines == 1 and whole <= lasts * _ROUNDING:
        return [order] if order else []
    trips = _parted(seconds, work, order, lasts, machines, between)
    if len(order) <= EXACT_TRIPS:
        found = _searched(seconds, trips, work=work, lasts=lasts, machines=machines, between=between)
        trips = found or trips
    return sorted(trips)


def _trip_time(seconds: np.ndarray, work: Sequence[float], trip: Sequence[int]) -> float:
    stops = [0, *trip, 0]
    return float(seconds[stops[:-1], stops[1:]].sum() + sum(work[at - 1] for at in trip))


def _nearest_next(lengths: np.ndarray) -> list[int]:
    order, here, left = [], 0, set(range(1, len(lengths)))
    while left:
        here = min(left, key=lambda place: (lengths[here, place], place))
        order.append(here)
        left.remove(here)
    return order


def _bettered(lengths: np.ndarray, order: list[int]) -> list[int]:
    """Turn parts of a round about, and move runs of up to three places, until neither makes it shorter."""
    ring = [0, *order]
    size, better = len(ring), len(ring) > 3
    while better:
        better = False
        for first in range(size - 2):
            a, b = ring[first], ring[first + 1]
            tails = np.array(ring[first + 2 :])
            heads = np.array([*ring[first + 3 :], ring[0]])
            gain = lengths[a, b] + lengths[tails, heads] - lengths[a, tails] - lengths[b, heads]
            best = int(np.argmax(gain))
            if gain[best] > 1e-9:
                last = first + 2 + best
                ring[first + 1 : last + 1] = ring[first + 1 : last + 1][::-1]
                better = True
        better = _moved(lengths, ring) or better
    return ring[1:]


def _moved(lengths: np.ndarray, ring: list[int]) -> bool:
    """Move one run of places to where it lengthens the round less; whether there was one."""
    for long in (1, 2, 3):
        for first in range(1, len(ring) - long + 1):
            run, rest = ring[first : first + long], ring[:first] + ring[first + long :]
            if len(rest) < 2:
                continue
            before, after = rest[first - 1], rest[first % len(rest)]
            saved = lengths[before, run[0]] + lengths[run[-1], after] - lengths[before, after]
            tails, heads = np.array(rest), np.array([*rest[1:], rest[0]])
            costs = lengths[tails, run[0]] + lengths[run[-1], heads] - lengths[tails, heads]
            best = int(np.argmin(costs))
            if saved - costs[best] > 1e-9:
                ring[:] = [*rest[: best + 1], *run, *rest[best + 1 :]]
                return True
    return False


def _parted(
    seconds: np.ndarray, work: Sequence[float], order: list[int], lasts: float, machines: int, between: float
) -> Trips:
    """The round cut into trips, in its order, at the best places."""
    size = len(order)
    # several machines: at most one trip each, by the longest of them; else as many as it takes, by their sum
    by_longest = machines > 1 and np.isinf(lasts)
    rounds = machines if by_longest else size
    reach = np.full((rounds + 1, size + 1), np.inf)
    came = np.zeros((rounds + 1, size + 1), dtype=int)
    reach[0, 0] = 0.0
    for used in range(1, rounds + 1):
        for end in range(1, size + 1):
            for start in range(end):
                spent = _trip_time(seconds, work, order[start:end])
                if spent > lasts * _ROUNDING or np.isinf(reach[used - 1, start]):
                    continue
                so_far = reach[used - 1, start]
                total = max(so_far, spent) if by_longest else so_far + spent + between
                if total < reach[used, end]:
                    reach[used, end], came[used, end] = total, start
    trips: Trips = []
    used, end = int(np.argmin(reach[:, size])), size
    while end:
        start = int(came[used, end])
        trips.append(order[start:end])
        used, end = used - 1, start
    return trips[::-1]


def _searched(
    seconds: np.ndarray,
    known: Trips,
    *,
    work: Sequence[float] | None = None,
    lasts: float = np.inf,
    machines: int = 1,
    between: float = 0.0,
) -> Trips | None:
    """The best trips that constraint programming finds, starting from known ones; None where it finds none."""
    from ortools.sat.python import cp_model

    model = cp_model.CpModel()
    size, fine = len(seconds), 10  # tenths, of seconds or metres
    cost = np.rint(seconds * fine).astype(int)
    arcs = {(tail, head): model.new_bool_var("") for tail in range(size) for head in range(size) if tail != head}
    driving = sum(int(cost[pair]) * arc for pair, arc in arcs.items())
    listed = [(*pair, arc) for pair, arc in arcs.items()]
    if work is None:
        model.add_circuit(listed)
        model.minimize(driving)
    else:
        model.add_multiple_circuit(listed)
        out = sum(arcs[0, head] for head in range(1, size))
        _limit_trips(model, arcs, cost, np.rint(np.asarray(work) * fine).astype(int), lasts * fine, machines, driving)
        if machines > 1 and np.isinf(lasts):
            model.add(out <= machines)
        elif np.isfinite(lasts):
            model.minimize(driving + round(between * fine) * out)
    taken = {pair for trip in known for pair in zip([0, *trip], [*trip, 0], strict=True)}
    for pair, arc in arcs.items():
        model.add_hint(arc, pair in taken)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 1
    solver.parameters.linearization_level = 2 if work is None else 1  # cuts prove a round best, and slow trips down
    solver.parameters.max_deterministic_time = EFFORT
    if solver.solve(model) not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return None
    after = {tail: head for (tail, head), arc in arcs.items() if tail and solver.value(arc)}
    trips = []
    for first in (head for (tail, head), arc in arcs.items() if not tail and solver.value(arc)):
        trip = [first]
        while after[trip[-1]]:
            trip.append(after[trip[-1]])
        trips.append(trip)
    return trips


def _limit_trips(model, arcs, cost: np.ndarray, work: np.ndarray, lasts: float, machines: int, driving) -> None:
    """Time gone at the end of each place: a whole trip within a tank, or the longest as short as may be."""
    size = len(cost)
    enough = int(work.sum() + cost.max(axis=1).sum())
    most = enough if np.isinf(lasts) else int(lasts) + size  # each time was rounded to a tenth
    span = model.new_int_var(0, most, "")
    done = [0, *(model.new_int_var(int(work[place - 1]), most, "") for place in range(1, size))]
    for (tail, head), arc in arcs.items():
        if head:
            model.add(done[head] >= done[tail] + int(cost[tail, head] + work[head - 1])).only_enforce_if(arc)
        else:
            model.add(span >= done[tail] + int(cost[tail, 0])).only_enforce_if(arc)
    if machines > 1 and np.isinf(lasts):
        model.add(span * machines >= int(work.sum()) + driving)
        model.minimize(span * 1000 + driving)
