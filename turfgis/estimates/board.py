"""
The board of a day: what is due, who is there, and what has to be done before the first players come.

Nothing is given out here; that is :mod:`turfgis.estimates.assignment`. Times are whole minutes after midnight, as
people write them on a board.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from itertools import chain
from math import ceil
from typing import TYPE_CHECKING

from turfgis.layers.records import near
from turfgis.settings.people import DAYS, Person, Play, Workday, shift

if TYPE_CHECKING:
    from turfgis.settings import CourseSettings
    from turfgis.settings.people import DayFile

NO_MACHINE = ""


@dataclass(frozen=True)
class Stop:
    """
    One patch of a task.

    Attributes
    ----------
    patch, hole
        The patch, and its hole or None.
    surface
        What it is.
    work
        Minutes on it, by machine; with no machine under "". Fractions are kept.
    due
        When the first players reach its hole, for ground that must be done before. [min after midnight]
    """

    patch: str
    hole: str | None
    surface: str
    work: Mapping[str, float]
    due: float | None = None


@dataclass(frozen=True)
class Task:
    """
    What one person does without a break.

    Attributes
    ----------
    key
        Its own within the day.
    job
        The job or odd job it is a part of.
    kind
        ``due``, ``also`` (asked for by hand) or ``odd``.
    stops
        Where, in the order in which it is done; none for an odd job without a place.
    minutes
        How long, by machine that may be used: the one meant for it comes first. With no machine under "".
    weight
        What a minute of it that is not done counts for.
    certificates
        What the person must hold, whatever the machine.
    latest
        Latest start that keeps ahead of play, by machine. [min after midnight]
    half
        ``morning`` or ``afternoon`` where it matters.
    together
        Tasks with the same word here are done by several people at once.
    since, priority
        Of an odd job.
    takes
        Size and material of the work at a place, in words.
    """

    key: str
    job: str
    kind: str
    stops: tuple[Stop, ...]
    minutes: Mapping[str, int]
    weight: int
    certificates: frozenset[str] = frozenset()
    latest: Mapping[str, int] = field(default_factory=dict)
    half: str | None = None
    together: str | None = None
    since: date | None = None
    priority: int | None = None
    takes: str = ""

    @property
    def machine(self) -> str:
        """The one meant for it, or ""."""
        return next(iter(self.minutes))

    @property
    def usual(self) -> int:
        """Minutes with the machine meant for it."""
        return self.minutes[self.machine]

    @property
    def where(self) -> str:
        """Holes in words, or the only patch; "" where it has no place."""
        holes = list(dict.fromkeys(stop.hole for stop in self.stops))
        if not holes:
            return ""
        if len(self.stops) == 1 and holes[0] is None:
            return self.stops[0].patch
        return hole_words(holes)


@dataclass(frozen=True)
class Worker:
    """
    A person on a day.

    Attributes
    ----------
    name
        The role.
    spans
        When the person works, without the break. [min after midnight]
    may, certificates
        Machines trained on, and certificates held.
    """

    name: str
    spans: tuple[tuple[int, int], ...]
    may: frozenset[str] = frozenset()
    certificates: frozenset[str] = frozenset()

    @property
    def minutes(self) -> int:
        """Minutes of work in the day."""
        return sum(end - start for start, end in self.spans)


@dataclass(frozen=True)
class Fleet:
    """Machines that run: how many there are of each, and the certificate that one asks for, or ""."""

    count: Mapping[str, int]
    certificate: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class Day:
    """
    All that the board of a day is made from.

    Attributes
    ----------
    day
        The date.
    tasks, workers, fleet
        What is to be done, by whom, with what.
    fixed
        Task -> the person who has been given it by hand.
    noon
        Where the morning ends and the afternoon begins. [min after midnight]
    """

    day: date
    tasks: tuple[Task, ...]
    workers: tuple[Worker, ...]
    fleet: Fleet
    fixed: Mapping[str, str] = field(default_factory=dict)
    noon: int = 12 * 60

    def options(self, task: Task) -> list[tuple[str, str]]:
        """Person and machine that may do a task."""
        return [
            (worker.name, machine)
            for worker in self.workers
            if self.fixed.get(task.key, worker.name) == worker.name
            for machine in task.minutes
            if not self.refusal(task, worker, machine)
        ]

    def refusal(self, task: Task, worker: Worker, machine: str) -> str:
        """Why a person may not do a task with a machine; "" where nothing is in the way."""
        if machine != NO_MACHINE and self.fleet.count.get(machine, 0) < 1:
            return f"{machine} is out of order"
        if machine != NO_MACHINE and machine not in worker.may:
            return f"{worker.name} is not trained on {machine}"
        lacking = sorted(self._asked(task, [machine]) - worker.certificates)
        if lacking:
            return f"{worker.name} has no certificate for {', '.join(lacking)}"
        longest = max((end - start for start, end in self.windows(task, worker)), default=0)
        if longest < task.minutes[machine]:
            return f"{worker.name} has no {task.minutes[machine]} minutes in one piece"
        return ""

    def windows(self, task: Task, worker: Worker) -> list[tuple[int, int]]:
        """Spans of a person in which a task may be done."""
        cut = [self.limits(task, start, end) for start, end in worker.spans]
        return [(start, end) for start, end in cut if end > start]

    def limits(self, task: Task, start: int, end: int) -> tuple[int, int]:
        """What is left of a span where a task belongs to one half of the day."""
        low, high = {"morning": (0, self.noon), "afternoon": (self.noon, 48 * 60)}.get(task.half or "", (0, 48 * 60))
        return max(start, low), min(end, high)

    def without_options(self) -> dict[str, str]:
        """Tasks that nobody may do -> why."""
        return {task.key: self.why_nobody(task) for task in self.tasks if not self.options(task)}

    def why_nobody(self, task: Task) -> str:
        """Why nobody may do a task, in words."""
        if not self.workers:
            return "nobody works that day"
        fixed = self.fixed.get(task.key)
        asked = [worker for worker in self.workers if fixed in (None, worker.name)]
        if not asked:
            return f"{fixed}, who was given it by hand, does not work that day"
        reasons = [self.refusal(task, worker, machine) for worker in asked for machine in task.minutes]
        broken = [machine for machine in task.minutes if machine and self.fleet.count.get(machine, 0) < 1]
        if len(broken) == len(task.minutes):
            return f"out of order: {', '.join(broken)}"
        if fixed:
            return f"given by hand, but {reasons[0]}"
        kinds = ("certificate", "trained", "in one piece")
        said = [
            (f"nobody has a certificate for {', '.join(sorted(self._asked(task, task.minutes)))}"),
            f"nobody there is trained on {' or '.join(name for name in task.minutes if name)}",
            f"nobody has {min(task.minutes.values())} minutes in one piece"
            + (f" in the {task.half}" if task.half else ""),
        ]
        counts = [sum(kind in reason for reason in reasons) for kind in kinds]
        return said[counts.index(max(counts))] if max(counts) == len(reasons) else _joined(dict.fromkeys(reasons))

    def _asked(self, task: Task, machines: Iterable[str]) -> set[str]:
        """Certificates that a task and these machines ask for."""
        asked = self.fleet.certificate
        return set(task.certificates) | {asked[machine] for machine in machines if machine in asked}


def _joined(reasons: Iterable[str]) -> str:
    return "; ".join(reason for reason in reasons if reason)


def hole_words(holes: Iterable[str | None]) -> str:
    """
    Holes as people say them.

    Examples
    --------
    >>> hole_words(["1", "2", "3", "7", "practice"])
    '1 to 3, 7, practice'
    """
    runs: list[list[str]] = []
    for hole in ("elsewhere" if hole is None else hole for hole in holes):
        if runs and hole.isdecimal() and runs[-1][-1].isdecimal() and int(hole) == int(runs[-1][-1]) + 1:
            runs[-1].append(hole)
        elif not runs or hole not in runs[-1]:
            runs.append([hole])
    return ", ".join(run[0] if len(run) == 1 else f"{run[0]} to {run[-1]}" for run in runs)


def first_players(play: Play, hole: str | None, first_tee: int | None = None) -> float | None:
    """
    When the first players reach a hole, from the nearest start before it. [min after midnight]

    Examples
    --------
    >>> two = Play(first_tee="07:30", pace=15, starts=[1, 10])
    >>> first_players(two, "3"), first_players(two, "10"), first_players(two, "practice")
    (480.0, 450.0, None)
    """
    if hole is None or not hole.isdecimal() or not 1 <= int(hole) <= play.holes:
        return None
    played = min((int(hole) - start) % play.holes for start in play.starts)
    return (play.first_tee if first_tee is None else first_tee) / 60 + play.pace * played


def workers_of(settings: CourseSettings, day: date, away: Iterable[str] = ()) -> tuple[list[Worker], list[str]]:
    """
    Who works on a day, and why others do not.

    Returns
    -------
    workers, remarks
    """
    away = set(away)
    there, said = [], []
    for name, person in settings.person.items():
        spans = [] if name in away else shift(person, settings.workday, day)
        if spans:
            whole = tuple((start // 60, end // 60) for start, end in spans)
            there.append(Worker(name, whole, frozenset(person.may), frozenset(person.certificates)))
        else:
            said.append(f"{name} is not there: {_why_away(person, settings.workday, day, name in away)}.")
    return there, said


def _why_away(person: Person, workday: Workday, day: date, by_hand: bool) -> str:
    weekday = DAYS[day.weekday()]
    if by_hand:
        return "away by the file of the day"
    if any(one.covers(day) for one in person.off):
        return "a day off"
    if weekday not in (person.days or workday.days):
        return f"does not work on {weekday.capitalize()}s"
    return "has no hours that day; look at from, to, hours and half"


def fleet_of(settings: CourseSettings, day: date, broken: Iterable[str] = ()) -> tuple[Fleet, list[str]]:
    """Machines that run on a day, and what is to be said about those that do not."""
    count, said = {}, []
    listed = list(broken)
    said += [
        f"'{name}' is out of order by the file of the day, but no machine has that name{near(name, settings.machine)}."
        for name in dict.fromkeys(listed)
        if name not in settings.machine
    ]
    for name, machine in settings.machine.items():
        since = machine.broken
        number = int(getattr(machine, "count", 1) or 1)
        all_stand = since is True or (isinstance(since, date) and since <= day)
        standing = number if all_stand else min(number, listed.count(name))
        count[name] = number - standing
        if standing:
            left = f"; {number - standing} of {number} run" if standing < number else ""
            begun = f" since {since}" if all_stand and isinstance(since, date) else ""
            said.append(f"{name} is out of order{begun}{left}.")
    asks = {name: one.certificate for name, one in settings.machine.items() if one.certificate}
    return Fleet(count, asks), said


def fixed_tasks(day: Day, file: DayFile, people: Iterable[str] = ()) -> tuple[Day, list[str]]:
    """
    The day with what has been given out by hand.

    A task named without holes is all its parts; with holes, the parts that have one of them. What cannot be kept is
    said, and left to the rest of the plan; ``people`` are those of the settings, there that day or not.
    """
    fixed, said = dict(day.fixed), []
    names = {worker.name for worker in day.workers}
    known = names | set(people)
    jobs = list(dict.fromkeys(task.job for task in day.tasks))
    for one in file.fixed:
        meant = [task for task in day.tasks if task.job == one.task]
        if one.holes:
            meant = [task for task in meant if {stop.hole for stop in task.stops} & set(one.holes)]
        if not meant:
            there = f" on {', '.join(one.holes)}" if one.holes else ""
            said.append(
                f"'{one.task}'{there} was given to {one.person} by hand, but is not on the board of this day"
                f"{'' if one.task in jobs else near(one.task, jobs)}"
                f" (there are: {', '.join(jobs) or 'none'})."
            )
        elif one.person not in names:
            who = (
                "who is not there that day"
                if one.person in known
                else f"but nobody has that name{near(one.person, known)}"
            )
            said.append(
                f"'{one.task}' was given to '{one.person}' by hand, {who}"
                f" (there are: {', '.join(sorted(names)) or 'nobody'}); it is given out with the rest."
            )
        else:
            for task in meant:
                fixed[task.key] = one.person
    return replace(day, fixed=fixed), said


def parts(stops: list[Stop], machine: str, longest: float, starts: Iterable[str] = ()) -> list[list[Stop]]:
    """
    Stops in runs that one person does in one go, as even as the order allows.

    Parameters
    ----------
    stops
        In the order in which they are done.
    machine
        By whose minutes they are shared out.
    longest
        Minutes that a run should not be longer than; a single stop that is gets cut into equal parts.
    starts
        Holes at which a new run begins whatever the length.
    """
    begin = set(starts)
    blocks: list[list[Stop]] = []
    for stop in chain.from_iterable(_cut(stop, machine, longest) for stop in stops):
        if not blocks or (stop.hole in begin and blocks[-1][-1].hole != stop.hole):
            blocks.append([])
        blocks[-1].append(stop)
    return [run for block in blocks for run in _even(block, machine, longest)]


def _cut(stop: Stop, machine: str, longest: float) -> list[Stop]:
    pieces = max(1, ceil(stop.work[machine] / longest - 1e-9))
    if pieces == 1:
        return [stop]
    return [replace(stop, work={name: minutes / pieces for name, minutes in stop.work.items()})] * pieces


def _even(stops: list[Stop], machine: str, longest: float) -> list[list[Stop]]:
    """As few runs as the length allows, the middle of each stop deciding which run it falls into."""
    total = sum(stop.work[machine] for stop in stops)
    for number in range(max(1, ceil(total / longest - 1e-9)), len(stops) + 1):
        runs: list[list[Stop]] = [[] for _ in range(number)]
        done = 0.0
        for stop in stops:
            middle = done + stop.work[machine] / 2
            runs[min(number - 1, int(middle * number / total)) if total > 0 else 0].append(stop)
            done += stop.work[machine]
        if all(sum(stop.work[machine] for stop in run) <= longest * 1.25 for run in runs):
            return [run for run in runs if run]
    return [[stop] for stop in stops]
