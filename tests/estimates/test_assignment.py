"""
Boards against brute force: every way to give out a few tasks is tried, in every order.

Trying all orders and beginning each task as early as it goes finds the best schedule for any cost that does not fall
when something is later (Conway, Maxwell and Miller, Theory of Scheduling, 1967: semi-active schedules are enough);
the statement is quoted from memory.
"""

import itertools
from datetime import date

import numpy as np
import pytest

from turfgis.estimates.assignment import EVEN_ENOUGH, LATE, OTHER_MACHINE, assign
from turfgis.estimates.board import Day, Fleet, Task, Worker

FRIDAY = date(2027, 5, 14)


def task(key, minutes, weight=1000, **more):
    minutes = minutes if isinstance(minutes, dict) else {"": minutes}
    return Task(key, key, "due", (), minutes, weight, **more)


def worker(name, *spans, may=(), certificates=()):
    return Worker(name, spans or ((360, 480),), frozenset(may), frozenset(certificates))


def as_early_as_it_goes(day, order, chosen):
    """Starts of the tasks, each put in as early as its person and machine allow; None where it does not go."""
    busy: list[tuple[str, str, int, int]] = []
    starts = {}
    for one in order:
        person, machine = chosen[one.key]
        length = one.minutes[machine]
        mate = next(
            (
                starts[other.key]
                for other in order
                if other.together and other.together == one.together and other.key in starts
            ),
            None,
        )
        spans = next(who.spans for who in day.workers if who.name == person)
        low = [begin for begin, _ in spans]
        candidates = sorted({*low, *(end for *_, end in busy)}) if mate is None else [mate]
        for start in candidates:
            end = start + length
            inside = any(begin <= start and end <= until for begin, until in spans)
            clash = [(who, what) for who, what, begin, until in busy if begin < end and start < until]
            same_machine = sum(what == machine for _, what in clash) if machine else 0
            free = all(who != person for who, _ in clash) and same_machine < day.fleet.count.get(machine, 1)
            if inside and free and one.half in (None, "morning" if end <= day.noon else "afternoon"):
                starts[one.key] = start
                busy.append((person, machine, start, end))
                break
        else:
            return None
    return starts


def brute_force(day):
    """The least cost there is; and for each set of tasks done at that cost, the least largest load."""
    ways = [[None, *day.options(one)] for one in day.tasks]
    best, loads = np.inf, {}
    for chosen in itertools.product(*ways):
        given = {one.key: way for one, way in zip(day.tasks, chosen, strict=True) if way}
        done = [one for one in day.tasks if one.key in given]
        cost = sum(one.weight * one.usual for one in day.tasks if one.key not in given)
        cost += sum(OTHER_MACHINE * one.usual for one in done if given[one.key][1] != one.machine)
        if cost > best:
            continue
        least = np.inf
        for order in itertools.permutations(done):
            starts = as_early_as_it_goes(day, order, given)
            if starts is None:
                continue
            late = sum(
                max(0, starts[one.key] - one.latest[given[one.key][1]])
                for one in done
                if given[one.key][1] in one.latest
            )
            least = min(least, cost + LATE * late)
        if least < best:
            best, loads = least, {}
        if least == best < np.inf:
            load = max(
                sum(one.minutes[given[one.key][1]] for one in done if given[one.key][0] == who.name) / who.minutes
                for who in day.workers
            )
            key = frozenset(given)
            loads[key] = min(load, loads.get(key, np.inf))
    return best, loads


def random_day(seed):
    """Three people, two kinds of machine, four tasks; not everybody may do everything, and time is short."""
    draw = np.random.default_rng(seed)
    workers = [
        worker(
            name,
            (360, 360 + int(draw.integers(60, 130))),
            (500, 500 + int(draw.integers(20, 90))),
            may=[machine for machine in ("mower", "wide") if draw.random() < 0.7],
            certificates=["spraying"] if draw.random() < 0.5 else [],
        )
        for name in ("deputy", "assistant", "helper")[: draw.integers(2, 4)]
    ]
    tasks = []
    for number in range(4):
        length = int(draw.integers(20, 90))
        kind = draw.random()
        minutes = {"mower": length, "wide": length // 2} if kind < 0.4 else {"mower": length} if kind < 0.6 else length
        latest = {name: int(draw.integers(360, 460)) for name in minutes} if kind < 0.6 and draw.random() < 0.6 else {}
        more = {"certificates": frozenset({"spraying"})} if kind > 0.85 else {}
        tasks.append(task(f"t{number}", minutes, int(draw.choice([1000, 300, 131, 57])), latest=latest, **more))
    return Day(FRIDAY, tuple(tasks), tuple(workers), Fleet({"mower": 1, "wide": int(draw.integers(0, 2))}), noon=495)


@pytest.mark.parametrize("seed", range(40))
def test_no_way_of_giving_out_is_better(seed):
    day = random_day(seed)
    best, loads = brute_force(day)
    given = assign(day)
    assert given.cost == pytest.approx(best)
    assert given.cost_bound == pytest.approx(best)
    done = frozenset(one.task.key for one in given.placed)
    assert done in loads
    # shares of a load are counted in thousandths
    assert given.load == pytest.approx(loads[done], abs=0.0011, rel=EVEN_ENOUGH)


@pytest.mark.parametrize("seed", range(40))
def test_nobody_does_what_cannot_be(seed):
    day = random_day(seed)
    given = assign(day)
    workers = {one.name: one for one in day.workers}
    for one in given.placed:
        assert not day.refusal(one.task, workers[one.person], one.machine)
        assert one.end - one.start == one.task.minutes[one.machine]
        assert any(start <= one.start and one.end <= end for start, end in workers[one.person].spans)
    for one, other in itertools.combinations(given.placed, 2):
        same = one.person == other.person or (one.machine == other.machine != "" and one.unit == other.unit)
        assert not same or one.end <= other.start or other.end <= one.start
    assert {one.task.key for one in given.placed} | {one.key for one in given.undone} == {one.key for one in day.tasks}


def test_two_people_lift_together():
    crew = [task("branch.1", 40, together="branch"), task("branch.2", 40, together="branch"), task("rake", 60)]
    day = Day(FRIDAY, tuple(crew), (worker("deputy"), worker("helper", (400, 500))), Fleet({}))
    first, second = (next(one for one in assign(day).placed if one.task.key == key) for key in ("branch.1", "branch.2"))
    assert first.start == second.start >= 400
    assert first.person != second.person


def test_one_alone_does_not_lift():
    crew = [task("branch.1", 40, together="branch"), task("branch.2", 40, together="branch")]
    day = Day(FRIDAY, tuple(crew), (worker("deputy"),), Fleet({}))
    assert [one.key for one in assign(day).undone] == ["branch.1", "branch.2"]


def test_three_mowers_serve_three_people_and_no_more():
    cuts = [task(f"green {number}", {"mower": 120}) for number in range(4)]
    team = [worker(f"person {number}", may=["mower"]) for number in range(4)]
    given = assign(Day(FRIDAY, tuple(cuts), tuple(team), Fleet({"mower": 3})))
    assert len(given.undone) == 1
    assert sorted(one.unit for one in given.placed) == [1, 2, 3]


def test_what_is_given_by_hand_stays():
    cuts = [task("one", 60), task("two", 60)]
    team = (worker("deputy"), worker("helper"))
    day = Day(FRIDAY, tuple(cuts), team, Fleet({}), fixed={"one": "helper", "two": "helper"})
    assert {one.person for one in assign(day).placed} == {"helper"}
    free = Day(FRIDAY, tuple(cuts), team, Fleet({}), fixed={"one": "helper"})
    assert {one.task.key: one.person for one in assign(free).placed} == {"one": "helper", "two": "deputy"}


def test_a_hand_does_not_overrule_a_certificate():
    spray = task("spray", 30, certificates=frozenset({"spraying"}))
    team = (worker("deputy", certificates=["spraying"]), worker("helper"))
    day = Day(FRIDAY, (spray,), team, Fleet({}), fixed={"spray": "helper"})
    assert assign(day).undone == (spray,)
    assert "helper has no certificate for spraying" in day.why_nobody(spray)


def test_the_same_day_gives_the_same_board():
    day = random_day(3)
    assert assign(day) == assign(day)
