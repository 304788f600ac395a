"""
Who does what, with which machine and when: given out by OR-Tools CP-SAT so that it comes out the same each time.

Four questions, one after the other, each answer kept while the next is asked: how little is left undone or comes late;
how even the work can be; how seldom people change from one job to another; how early the most urgent can be done.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from math import ceil, log2

from ortools.sat.python import cp_model

from turfgis.estimates.board import NO_MACHINE, Day, Task

LATE = 500  # what a minute behind the first players counts for, beside the weights of minutes not done
OTHER_MACHINE = 1  # what a minute with a machine other than the one meant counts for
SHARES = 1000  # parts in which a person's load is counted
EVEN_ENOUGH = 0.01  # how near the best the largest load must be shown to be
SEED = 7
FOUND = (cp_model.OPTIMAL, cp_model.FEASIBLE)
Tell = Callable[[str], None]
Choice = tuple[str, str, str, int]  # task, person, machine, which span of the person's day


@dataclass(frozen=True)
class Placement:
    """A task with its person, machine ("" for none) and times. [min after midnight]"""

    task: Task
    person: str
    machine: str
    start: int
    end: int
    unit: int = 1  # which of several machines of one kind

    @property
    def late(self) -> int:
        """Minutes that it is behind the first players on some hole. [min]"""
        return max(0, self.start - self.task.latest.get(self.machine, self.start))


@dataclass(frozen=True)
class Assignment:
    """
    A day given out.

    Attributes
    ----------
    placed
        By person and time.
    undone
        Tasks that nobody has been given.
    cost, cost_bound
        Of what is undone or late, and what it cannot be less than.
    load, load_bound
        Largest share of a person's time that is given out, and what it cannot be less than.
    worth
        Of all tasks together: what it would cost to do none.
    seconds
        Deterministic ones, as the solver counts.
    """

    placed: tuple[Placement, ...]
    undone: tuple[Task, ...]
    cost: float
    cost_bound: float
    load: float
    load_bound: float
    worth: float
    seconds: float = 0.0

    @property
    def late(self) -> tuple[Placement, ...]:
        """What comes after the first players."""
        return tuple(one for one in self.placed if one.late)

    @property
    def gap(self) -> float:
        """
        How far the worse of the two answers may be from the best there is.

        Of what is done, by its weight, as a share of the most that could be; of the largest load as a share of it.
        """
        most = self.worth - self.cost_bound
        undone = (self.cost - self.cost_bound) / most if most > 0 else 0.0
        return max(undone, _gap(self.load, self.load_bound))

    def of(self, person: str) -> list[Placement]:
        """What a person does, in order."""
        return sorted((one for one in self.placed if one.person == person), key=lambda one: one.start)


def _gap(value: float, bound: float) -> float:
    return (value - bound) / value if value > 0 else 0.0


def assign(day: Day, *, effort: float = 5.0, tell: Tell | None = None, tidy: bool = True) -> Assignment:
    """
    Give out the tasks of a day.

    Parameters
    ----------
    day
        Tasks, people, machines.
    effort
        How long to look for something better in each of the four steps, in the solver's own deterministic seconds:
        the same on every machine.
    tell
        Is told of each step in a few words.
    tidy
        Whether to make loads even and changes few, or only to see what fits.

    Returns
    -------
    The assignment. Tasks that nobody may do are among those undone.
    """
    told = tell or (lambda words: None)
    options = {task.key: day.options(task) for task in day.tasks}
    lost = _mates_lost(day, options)
    tasks = [task for task in day.tasks if options[task.key] and task.key not in lost]
    never = sum(task.weight * task.usual for task in day.tasks if task not in tasks)
    if not tasks:
        return Assignment((), day.tasks, never, never, 0.0, 0.0, never)
    plan = _Plan(day, tasks, options)
    first = plan.solve(plan.cost(), effort, told, "what fits")
    plan.keep(first)
    if not tidy:
        return plan.assignment(first, never, 0.0)
    largest = plan.largest_load(first)
    second = plan.evened(first, effort, told) or plan.solve(largest, effort, told, "even work", gap=EVEN_ENOUGH)
    plan.keep_load(second)
    third = plan.solve(plan.changes(), effort / 5, told, "few changes", gap=0.05)
    plan.keep_people(third)
    fourth = plan.solve(plan.urgent_first(), effort / 5, told, "order of the day", gap=0.02)
    return plan.assignment(fourth, never, second.bound / SHARES, cost=first)


def _mates_lost(day: Day, options: Mapping[str, list]) -> set[str]:
    """Tasks that need a second person where nobody may be the second."""
    groups = defaultdict(list)
    for task in day.tasks:
        if task.together is not None:
            groups[task.together].append(task.key)
    return {key for keys in groups.values() if any(not options[one] for one in keys) for key in keys}


@dataclass(frozen=True)
class _Answer:
    """Values of all choices, with what they cost and the bound on it."""

    chosen: dict[Choice, bool]
    starts: dict[str, int]
    cost: float
    bound: float
    seconds: float


class _Plan:
    """The day as a constraint model; questions are asked of it one after the other."""

    def __init__(self, day: Day, tasks: Sequence[Task], options: Mapping[str, list[tuple[str, str]]]) -> None:
        self.day, self.tasks = day, list(tasks)
        self.model = cp_model.CpModel()
        self.workers = {worker.name: worker for worker in day.workers}
        self.begin = min(worker.spans[0][0] for worker in day.workers)
        self.end = max(worker.spans[-1][1] for worker in day.workers)
        self.start: dict[str, cp_model.IntVar] = {}
        self.done: dict[str, cp_model.IntVar] = {}
        self.choice: dict[Choice, cp_model.IntVar] = {}
        self.late: dict[str, cp_model.IntVar] = {}
        self.seconds = 0.0
        self.hints: _Answer | None = None
        people, machines = defaultdict(list), defaultdict(list)
        for task in self.tasks:
            self._add(task, options[task.key], people, machines)
        self._one_at_a_time(people, machines)
        self._mates()

    def _add(self, task: Task, options: list[tuple[str, str]], people: dict, machines: dict) -> None:
        """One choice for each person, machine and span of the person's day: so the solver sees what fits where."""
        model, key = self.model, task.key
        start = self.start[key] = model.new_int_var(self.begin, self.end, f"start {key}")
        done = self.done[key] = model.new_bool_var(f"done {key}")
        picked = []
        for person, machine in options:
            minutes = task.minutes[machine]
            for place, (low, high) in enumerate(self.workers[person].spans):
                first, last = self.day.limits(task, low, high)
                if last - first < minutes:
                    continue
                choice = self.choice[key, person, machine, place] = model.new_bool_var(f"{key} {person} {place}")
                picked.append(choice)
                span = model.new_optional_fixed_size_interval_var(start, minutes, choice, f"{key} {person} {place}")
                people[person, place].append((span, choice, minutes))
                if machine != NO_MACHINE:
                    machines[machine].append(span)
                model.add(start >= first).only_enforce_if(choice)
                model.add(start <= last - minutes).only_enforce_if(choice)
                if machine in task.latest:
                    model.add(self._late(key) >= start - task.latest[machine]).only_enforce_if(choice)
        model.add_exactly_one([*picked, ~done])

    def _late(self, key: str) -> cp_model.IntVar:
        """Minutes behind the first players, of what should be ahead of them."""
        if key not in self.late:
            self.late[key] = self.model.new_int_var(0, self.end, f"late {key}")
        return self.late[key]

    def _one_at_a_time(self, people: dict, machines: dict) -> None:
        for (person, place), listed in people.items():
            self.model.add_no_overlap([span for span, _, _ in listed])
            # what is done in a span cannot be longer than it: the solver's bound needs it said
            low, high = self.workers[person].spans[place]
            self.model.add(sum(choice * minutes for _, choice, minutes in listed) <= high - low)
        for machine, spans in machines.items():
            count = self.day.fleet.count[machine]
            if count == 1:
                self.model.add_no_overlap(spans)
            elif count < len(self.workers):
                self.model.add_cumulative(spans, [1] * len(spans), count)

    def _mates(self) -> None:
        groups = defaultdict(list)
        for task in self.tasks:
            if task.together is not None:
                groups[task.together].append(task.key)
        for first, *others in groups.values():
            for other in others:
                self.model.add(self.start[first] == self.start[other])
                self.model.add(self.done[first] == self.done[other])

    def _load(self, person: str):
        return sum(
            choice * self._task(key).minutes[machine]
            for (key, name, machine, _), choice in self.choice.items()
            if name == person
        )

    def _task(self, key: str) -> Task:
        if not hasattr(self, "_by_key"):
            self._by_key = {task.key: task for task in self.tasks}
        return self._by_key[key]

    def cost(self):
        """What is undone, late, or done with another machine than the one meant."""
        undone = sum(task.weight * task.usual * (1 - self.done[task.key]) for task in self.tasks)
        late = sum(LATE * late for late in self.late.values())
        other = sum(
            OTHER_MACHINE * self._task(key).usual * choice
            for (key, _, machine, _), choice in self.choice.items()
            if machine != self._task(key).machine
        )
        return undone + late + other

    def keep(self, answer: _Answer) -> None:
        """From here on nothing more is undone or late than in an answer, and each task keeps its machine."""
        self.model.add(self.cost() <= round(answer.cost))
        used = {key: machine for (key, _, machine, _), chosen in answer.chosen.items() if chosen}
        for key, done in self.done.items():
            self.model.add(done == (key in used))
        for (key, _, machine, _), choice in self.choice.items():
            if used.get(key) != machine:
                self.model.add(choice == 0)
        self.hints = answer

    def largest_load(self, answer: _Answer):
        """Largest share of a person's day that is given out, held from below by the mean of all."""
        minutes = sum(
            self._task(key).minutes[machine] for (key, _, machine, _), chosen in answer.chosen.items() if chosen
        )
        able = sum(worker.minutes for worker in self.workers.values())
        lowest = ceil(SHARES * minutes / able)
        self.largest = self.model.new_int_var(min(lowest, SHARES), SHARES, "largest load")
        for name, worker in self.workers.items():
            self.model.add(self._load(name) * SHARES <= self.largest * worker.minutes)
        return self.largest

    def evened(self, answer: _Answer, effort: float, told: Tell) -> _Answer | None:
        """
        Work shared out as if times of day did not matter, where a timetable can be made of it, or of shares nearly as
        even.

        Without times the question is easy, and its bound holds for the day with times as well.
        """
        shares, choice, largest = self._untimed(answer)
        solver = _solver(effort, EVEN_ENOUGH)
        if solver.solve(shares) not in FOUND:
            return None
        bound, reached = solver.best_objective_bound, solver.value(largest)
        exact, near = self.model.clone(), self.model.clone()
        for key, one in self.choice.items():
            given = key in choice and solver.boolean_value(choice[key])
            exact.add(exact.get_bool_var_from_proto_index(one.index) == given)
            near.add_hint(near.get_bool_var_from_proto_index(one.index), given)
        most = max(reached, int(bound / (1 - EVEN_ENOUGH)))
        near.add(near.get_int_var_from_proto_index(self.largest.index) <= most)
        spent = solver.response_proto.deterministic_time
        for timed, load in ((exact, reached), (near, most)):
            timed.clear_objective()
            clock = _solver(effort / 5)
            status = clock.solve(timed)
            spent += clock.response_proto.deterministic_time
            if status in FOUND:
                told(f"even work: within {_gap(load, bound):.1%}")
                return _Answer(
                    {key: bool(clock.boolean_value(one)) for key, one in self.choice.items()},
                    {key: clock.value(start) for key, start in self.start.items()},
                    load,
                    bound,
                    spent,
                )
        self.model.add(self.largest >= ceil(bound - 1e-6))
        return None

    def _untimed(self, answer: _Answer):
        """Who does what of an answer's tasks, in spans that hold it, with the machines that an answer may use."""
        model = cp_model.CpModel()
        used = {key: machine for (key, _, machine, _), chosen in answer.chosen.items() if chosen}
        latest = {
            key: self._task(key).latest[machine]
            for key, machine in used.items()
            if answer.starts[key] <= self._task(key).latest.get(machine, -1)
        }
        choice = {
            option: model.new_bool_var(str(option))
            for option in self.choice
            if used.get(option[0]) == option[2]
            and self.workers[option[1]].spans[option[3]][0] <= latest.get(option[0], self.end)
        }
        self._in_good_time(model, choice, latest)
        spans, loads, tasks = defaultdict(list), defaultdict(list), defaultdict(list)
        for (key, person, machine, place), one in choice.items():
            minutes = self._task(key).minutes[machine]
            spans[person, place].append(one * minutes)
            loads[person].append(one * minutes)
            tasks[key].append(one)
        for ones in tasks.values():
            model.add_exactly_one(ones)
        for (person, place), listed in spans.items():
            low, high = self.workers[person].spans[place]
            model.add(sum(listed) <= high - low)
        largest = model.new_int_var(0, SHARES, "largest load")
        for person, listed in loads.items():
            model.add(sum(listed) * SHARES <= largest * self.workers[person].minutes)
        model.minimize(largest)
        return model, choice, largest

    def _in_good_time(self, model: cp_model.CpModel, choice: Mapping, latest: Mapping[str, int]) -> None:
        """What must be over by some time has room before it, for each person: earliest first then always works."""
        ends = {key: latest[key] + self._task(key).minutes[machine] for key, _, machine, _ in choice if key in latest}
        for name, worker in self.workers.items():
            for until in sorted(set(ends.values())):
                room = sum(max(0, min(high, until) - low) for low, high in worker.spans)
                early = [
                    one * self._task(key).minutes[machine]
                    for (key, person, machine, _), one in choice.items()
                    if person == name and ends.get(key, self.end + 1) <= until
                ]
                if early:
                    model.add(sum(early) <= room)

    def keep_load(self, answer: _Answer) -> None:
        """From here on nobody has more than in an answer."""
        self.model.add(self.largest <= round(answer.cost))
        self.hints = answer

    def changes(self):
        """How many jobs people have in all: fewer means less walking to and fro and fewer machines fetched."""
        pairs = defaultdict(list)
        for (key, person, machine, _), choice in self.choice.items():
            pairs[person, self._task(key).job, machine].append(choice)
        has = []
        for place, choices in enumerate(pairs.values()):
            one = self.model.new_bool_var(f"pair {place}")
            for choice in choices:
                self.model.add_implication(choice, one)
            has.append(one)
        return sum(has)

    def keep_people(self, answer: _Answer) -> None:
        """From here on everybody keeps what an answer gives them; only the times are open."""
        for key, chosen in answer.chosen.items():
            self.model.add(self.choice[key] == chosen)

    def urgent_first(self):
        """Starts, counted by how urgent each task is."""
        return sum(round(log2(task.weight + 1)) * (self.start[task.key] - self.begin) for task in self.tasks)

    def solve(self, goal, effort: float, told: Tell, words: str, gap: float = 0.0) -> _Answer:
        """The best answer to a question within the effort, or one that is shown to be so near it."""
        self.model.minimize(goal)
        self.model.clear_hints()
        if self.hints is not None:
            for key, chosen in self.hints.chosen.items():
                self.model.add_hint(self.choice[key], chosen)
            for key, start in self.hints.starts.items():
                self.model.add_hint(self.start[key], start)
        solver = _solver(effort, gap)
        status = solver.solve(self.model)
        if status not in FOUND:
            if self.hints is None:
                # nothing given out is always an answer: the effort was too small to find even that
                nothing = {key: False for key in self.choice}
                cost = sum(task.weight * task.usual for task in self.tasks)
                return _Answer(nothing, {task.key: self.begin for task in self.tasks}, cost, 0.0, effort)
            told(f"{words}: nothing better found")
            kept = self.hints
            return _Answer(kept.chosen, kept.starts, kept.cost, 0.0, effort)
        self.seconds += solver.response_proto.deterministic_time
        answer = _Answer(
            {key: bool(solver.boolean_value(choice)) for key, choice in self.choice.items()},
            {key: solver.value(start) for key, start in self.start.items()},
            solver.objective_value,
            solver.best_objective_bound,
            solver.response_proto.deterministic_time,
        )
        found = "best there is" if status == cp_model.OPTIMAL else f"within {_gap(answer.cost, answer.bound):.0%}"
        told(f"{words}: {found} after {solver.wall_time:.1f} s")
        self.hints = answer
        return answer

    def assignment(self, answer: _Answer, never: float, load_bound: float, cost: _Answer | None = None) -> Assignment:
        """An answer as people read it, everything moved as early as it goes."""
        placed = _early(self.day, self._raw(answer))
        given = {one.task.key for one in placed}
        undone = tuple(task for task in self.day.tasks if task.key not in given)
        loads = defaultdict(int)
        for one in placed:
            loads[one.person] += one.end - one.start
        largest = max((loads[name] / worker.minutes for name, worker in self.workers.items()), default=0.0)
        stage = cost or answer
        return Assignment(
            placed,
            undone,
            stage.cost + never,
            stage.bound + never,
            largest,
            min(load_bound, largest),
            never + sum(task.weight * task.usual for task in self.tasks),
            self.seconds,
        )

    def _raw(self, answer: _Answer) -> list[Placement]:
        return [
            Placement(
                self._task(key),
                person,
                machine,
                answer.starts[key],
                answer.starts[key] + self._task(key).minutes[machine],
            )
            for (key, person, machine, _), chosen in answer.chosen.items()
            if chosen
        ]


def _solver(effort: float, gap: float = 0.0) -> cp_model.CpSolver:
    """One worker, a fixed seed and no clock: so that the same day gives the same board."""
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = SEED
    solver.parameters.max_deterministic_time = effort
    solver.parameters.relative_gap_limit = gap
    return solver


def _early(day: Day, raw: list[Placement]) -> tuple[Placement, ...]:
    """
    The same order with every gap closed that can be.

    In the order of their starts, each task begins as soon as its person and a machine of its kind are free; that is
    never later than the solver had it.
    """
    workers = {worker.name: worker for worker in day.workers}
    person_free: dict[str, int] = defaultdict(int)
    units: dict[str, list[int]] = {name: [0] * count for name, count in day.fleet.count.items()}
    done: list[Placement] = []
    for group in _at_once(raw):
        start, picked = group[0].start, []
        earliest = max(
            [person_free[one.person] for one in group]
            + [min(units[one.machine]) for one in group if one.machine != NO_MACHINE]
        )
        lows = {low for one in group for low, _ in day.windows(one.task, workers[one.person])}
        for begin in sorted({earliest, *lows}):
            if earliest <= begin <= start and all(_inside(day, one, begin, workers) for one in group):
                start = begin
                break
        for one in group:
            unit = 0
            if one.machine != NO_MACHINE:
                free = units[one.machine]
                # the one that was put down last, so that a person who goes on keeps the same one
                able = [place for place, until in enumerate(free) if until <= start]
                unit = max(able, key=lambda place: free[place])
                free[unit] = start + one.end - one.start
            end = start + one.end - one.start
            person_free[one.person] = end
            picked.append(Placement(one.task, one.person, one.machine, start, end, unit + 1))
        done += picked
    order = {name: place for place, name in enumerate(workers)}
    return tuple(sorted(done, key=lambda one: (order[one.person], one.start)))


def _at_once(raw: list[Placement]) -> list[list[Placement]]:
    """Placements by start; those of one crew side by side."""
    groups: dict[str, list[Placement]] = defaultdict(list)
    for one in sorted(raw, key=lambda one: (one.start, one.task.key)):
        groups[one.task.together or one.task.key].append(one)
    return list(groups.values())


def _inside(day: Day, one: Placement, begin: int, workers: Mapping) -> bool:
    length = one.end - one.start
    return any(low <= begin and begin + length <= high for low, high in day.windows(one.task, workers[one.person]))
