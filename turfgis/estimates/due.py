"""What is due on a day: jobs of the programme and odd jobs that wait, with their minutes patch by patch."""

from __future__ import annotations

from calendar import monthrange
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from math import ceil
from typing import TYPE_CHECKING

import numpy as np

from turfgis.estimates.board import (
    NO_MACHINE,
    Day,
    Stop,
    Task,
    first_players,
    fixed_tasks,
    fleet_of,
    parts,
    workers_of,
)
from turfgis.estimates.course import Course
from turfgis.estimates.ground import play_order
from turfgis.estimates.needs import estimate_need, job_needs
from turfgis.estimates.place_work import PlaceWork, place_work, takes_words
from turfgis.estimates.places import USUAL_URGENCY
from turfgis.estimates.programme import Occurrence, day_after, occurrences
from turfgis.estimates.rounds import driving_lengths
from turfgis.estimates.sprayed import worked
from turfgis.estimates.spraying import refused_jobs
from turfgis.estimates.tanks import lay_tanks
from turfgis.estimates.times import Mower, patch_times
from turfgis.layers.findings import listed
from turfgis.layers.records import near
from turfgis.layers.words import hole_text
from turfgis.settings.models import WAY_SPEED, Spray
from turfgis.settings.people import DayFile, OddJob
from turfgis.settings.when import Interval

if TYPE_CHECKING:
    from turfgis.settings import CourseSettings
    from turfgis.settings.models import Job

# What a minute not done counts for; only the order matters, and that each is well above the next.
# Common practice, no source: the day's programme first, then odd jobs by priority.
DUE, BY_HAND = 1000, 1500
ODD = {1: 300, 2: 120, 3: 50, 4: 20, 5: 8}
LONGEST = 120  # minutes that one part of a job should not be longer than
DAILY = 0.5  # a job of the month done on this share of its days is taken for work of every day
COMING = Interval(count=1, unit="month")  # so far ahead work at places is offered, as jobs of a month are
AHEAD = ("mow", "roll")  # works on greens that are to be done before the first players come


@dataclass(frozen=True)
class Offer:
    """
    What may be done when there is time: a job of the month without a day of its own, or work at a place, due later.

    Attributes
    ----------
    job
        Its name.
    times, minutes
        How often it is done in the month, and minutes for one time.
    due
        Of work at a place, the day by which it is to be done; None of a job of the month.
    """

    job: str
    times: float
    minutes: int
    due: date | None = None


@dataclass(frozen=True)
class Due:
    """The day with its tasks, what the month still offers (jobs, then places by their day), and what is to be said."""

    day: Day
    offers: tuple[Offer, ...] = ()
    remarks: tuple[str, ...] = field(default_factory=tuple)


def day_due(course: Course, day: date, file: DayFile | None = None) -> Due:
    """
    All that the board of a day is made from.

    Parameters
    ----------
    course
        The course, with settings.
    day
        The date.
    file
        What has been decided for the day by hand.

    Raises
    ------
    SettingsError
        The course has no settings.
    """
    settings = course.needs_settings("a board needs people and jobs")
    file = file or DayFile()
    workers, away = workers_of(settings, day, file.away)
    fleet, standing = fleet_of(settings, day, file.broken)
    tasks, offers, said = _jobs_due(course, settings, day, file)
    odd = _odd_due(course, settings, day, file)
    places, coming, of_places, untimed = _places_due(course, settings, day, file)
    names = [*(job.name for job in settings.job), *(one.name for one in settings.odd_job), *of_places]
    remarks = [
        *_about_the_day(course, settings, day, file),
        *_unknown("also", file.also, names),
        *_unknown("leave", file.leave, names),
        *_unknown("away", file.away, list(settings.person)),
        *away,
        *standing,
        *said,
        *untimed,
    ]
    noon = (settings.workday.break_from + settings.workday.break_to) // 120
    made = Day(day, (*tasks, *odd, *places), tuple(workers), fleet, noon=noon)
    made, by_hand = fixed_tasks(made, file, settings.person)
    return Due(made, (*offers, *coming), (*remarks, *by_hand, *_tee_time(made, settings, file)))


def _about_the_day(course: Course, settings: CourseSettings, day: date, file: DayFile) -> list[str]:
    said = []
    if settings.year is not None and day.year != settings.year:
        said.append(f"{day} is outside the year {settings.year} of the programme: work given by month has none then.")
    if not settings.person:
        said.append("no people are described; add [person.NAME] with hours and the machines they may use.")
    if settings.play is None and file.first_tee is None:
        said.append("when the first players go out is not known; add [play] with first_tee, and greens stay ahead.")
    drawn = set(course.ground.surface)
    for name, machine in settings.machine.items():
        if not drawn & set(machine.on):
            said.append(f"{name} works on {', '.join(machine.on)}, of which nothing is drawn; it has nothing to do.")
    return said


def _unknown(key: str, named: Iterable[str], known: Sequence[str]) -> list[str]:
    return [f"{key}: there is no '{name}'{near(name, known)}" for name in named if name not in known]


def _tee_time(day: Day, settings: CourseSettings, file: DayFile) -> list[str]:
    """A first tee time before which nothing can be cut."""
    ahead = [stop.due for task in day.tasks for stop in task.stops if stop.due is not None]
    if not ahead or not day.workers or settings.play is None:
        return []
    begin = min(worker.spans[0][0] for worker in day.workers)
    if min(ahead) <= begin:
        tee = settings.play.first_tee if file.first_tee is None else file.first_tee
        return [
            f"the first players go out at {_clock(tee / 60)}, and nobody begins before {_clock(begin)}: "
            "the first greens cannot be cut ahead of them."
        ]
    return []


def _clock(minutes: float) -> str:
    return f"{int(minutes) // 60:02d}:{int(minutes) % 60:02d}"


def _jobs_due(course: Course, settings: CourseSettings, day: date, file: DayFile):
    tasks: list[Task] = []
    offers: list[Offer] = []
    said: list[str] = []
    month = day.isoformat()[:7]
    for job in settings.job:
        times = occurrences(job, settings)
        due = any(one.day == day for one in times)
        monthly = sum(one.times for one in times if one.day is None and one.month == month)
        by_hand = job.name in file.also
        if job.name in file.leave or job.work in ("purchase",):
            continue
        if job.work == "contractor":
            if due or by_hand:
                said.append(f"{job.name}: a contractor comes; nobody is planned for it.")
            continue
        daily = monthly >= DAILY * monthrange(day.year, day.month)[1]
        if not (due or by_hand or monthly):
            continue
        if isinstance(job, Spray) and job.name in refused_jobs(course):
            said.append(
                f"{job.name} breaks what was typed in from a label, so nobody is sent out; see 'turfgis spray'."
            )
            continue
        made = job_tasks(course, job, settings, DUE if not by_hand else BY_HAND, "also" if by_hand else "due", file)
        if not made:
            if due or by_hand:
                said.append(f"{job.name} is due, but no time is known for it; give it a machine, crew_hours or a rate.")
            continue
        if due or by_hand or (daily and getattr(job, "mix_per_round", None) is None):
            tasks += made
            if daily and not (due or by_hand):
                said.append(f"{job.name}: {monthly:g} times in the month, so taken for work of every day.")
        else:
            offers.append(Offer(job.name, monthly, sum(task.usual for task in made)))
    return tasks, offers, said


def job_tasks(course: Course, job: Job, settings: CourseSettings, weight: int, kind: str, file: DayFile) -> list[Task]:
    """
    A job done once, in parts for one person each: what a machine does, and what people do besides.

    Other machines that work on the same ground may take the place of the one the job names, where they do so for
    mowing.
    """
    once = [Occurrence(None, None, 1)]
    tasks: list[Task] = []
    if job.machine is not None:
        machines = _machines_for(job, settings)
        minutes = {name: _machine_minutes(course, job, Mower.of(name, settings.machine[name])) for name in machines}
        drivers = settings.machine[job.machine].operators
        if drivers:
            stops = _stops(course, job, settings, minutes, file)
            tasks += _as_tasks(course, job.name, kind, weight, stops, machines, settings, max(1, ceil(drivers)))
    crew = [
        need for need in job_needs(course, job.model_copy(update={"machine": None}), once) if need.resource == "labour"
    ]
    if crew:
        amount = np.sum([need.amount for need in crew], axis=0) / 60
        elsewhere = sum(need.elsewhere * need.per_m2 for need in crew) / 60
        stops = _stops(course, job, settings, {NO_MACHINE: amount}, file)
        name = job.name if job.machine is None else f"{job.name}, by hand"
        if stops:
            tasks += _as_tasks(course, name, kind, weight, stops, [NO_MACHINE], settings, 1)
        if elsewhere > 0:
            tasks += _placeless(name, kind, weight, elsewhere)
    return tasks


def _machines_for(job: Job, settings: CourseSettings) -> list[str]:
    """The machine of the job, then others that mow all of its surfaces."""
    if job.machine is None:
        return [NO_MACHINE]
    others = [
        name
        for name, one in settings.machine.items()
        if job.work == "mow" and one.mows and name != job.machine and set(job.on) <= set(one.on)
    ]
    return [job.machine, *others]


def _machine_minutes(course: Course, job: Job, mower: Mower) -> np.ndarray:
    """
    Minutes of work on each patch, spray tanks filled on the way among them. Shape (n,).

    The way to it depends on what it is given out with.
    """
    on = worked(course, job)
    minutes = np.zeros(len(on))
    minutes[on] = patch_times(course, mower, on, cuts=job.work == "mow").total / 60
    if isinstance(job, Spray):
        tanks = lay_tanks(course, job, estimate_need(course, job, job.material).treated_m2)
        if tanks is not None:
            described = course.needs_settings("a board needs machines").machine[mower.name]
            ways = 2 * tanks.way_m * tanks.refills / described.way_speed
            minutes[tanks.rows] += (ways + tanks.filling_s) / 60
    return minutes


def _stops(
    course: Course, job: Job, settings: CourseSettings, minutes: dict[str, np.ndarray], file: DayFile
) -> list[Stop]:
    """The patches of a job in the order of play."""
    ground = course.ground
    rows = np.flatnonzero(next(iter(minutes.values())) > 0)
    rows = sorted(rows, key=lambda row: (play_order(ground.hole[row]), str(ground.patch[row])))
    play = settings.play
    ahead = play is not None and job.work in AHEAD
    return [
        Stop(
            str(ground.patch[row]),
            None if ground.hole[row] is None else str(ground.hole[row]),
            str(ground.surface[row]),
            {name: float(values[row]) for name, values in minutes.items()},
            first_players(play, ground.hole[row], file.first_tee)
            if ahead and play is not None and ground.surface[row] == "green"
            else None,
        )
        for row in rows
    ]


def _as_tasks(
    course: Course,
    name: str,
    kind: str,
    weight: int,
    stops: list[Stop],
    machines: Sequence[str],
    settings: CourseSettings,
    people: int,
    **more,
) -> list[Task]:
    """
    One task for each run of stops; where several people are needed at once, one for each of them.

    Each is reckoned from the yard over its patches and back, with the machine fetched anew.
    """
    starts = [str(hole) for hole in settings.play.starts] if settings.play else []
    ways, at = _ways(course, stops)
    tasks = []
    for number, run in enumerate(parts(stops, machines[0], LONGEST, starts), start=1):
        minutes, latest = {}, {}
        for machine in machines:
            described = settings.machine.get(machine)
            speed = described.way_speed if described else WAY_SPEED
            clock, here = (described.set_up / 60 if described else 0.0), 0
            for stop in run:
                clock += ways[here, at[stop.patch]] / speed / 60 + stop.work[machine]
                here = at[stop.patch]
                if stop.due is not None:
                    latest[machine] = min(latest.get(machine, 10**6), int(stop.due - clock))
            minutes[machine] = max(1, ceil(clock + ways[here, 0] / speed / 60 - 1e-6))
        for mate in range(people):
            key = f"{name} #{number}" + (f".{mate + 1}" if people > 1 else "")
            tasks.append(
                Task(
                    key=key,
                    job=name,
                    kind=kind,
                    stops=tuple(run),
                    # a second person goes along with the machine of the first
                    minutes=minutes if mate == 0 else {NO_MACHINE: minutes[machines[0]]},
                    weight=weight,
                    latest=latest if mate == 0 else {},
                    together=None if people == 1 else f"{name} #{number}",
                    **more,
                )
            )
    return tasks


def _ways(course: Course, stops: list[Stop]) -> tuple[np.ndarray, dict[str, int]]:
    """Driving lengths from the yard to the patches and between them [m], and the row of each patch."""
    names = list(dict.fromkeys(stop.patch for stop in stops))
    lengths, _ = driving_lengths(course, names)
    return lengths, {name: row for row, name in enumerate(names, start=1)}


def _placeless(name: str, kind: str, weight: int, minutes: float, people: int = 1, **more) -> list[Task]:
    """Work on no patch, in equal parts."""
    each = minutes / people
    number = max(1, ceil(each / LONGEST - 1e-9))
    share = max(1, ceil(each / number - 1e-6))
    return [
        Task(
            f"{name} #{part + 1}" + (f".{mate + 1}" if people > 1 else ""),
            name,
            kind,
            (),
            {more.get("machine") or NO_MACHINE: share} if mate == 0 else {NO_MACHINE: share},
            weight,
            together=None if people == 1 else f"{name} #{part + 1}",
            **{key: value for key, value in more.items() if key != "machine"},
        )
        for part in range(number)
        for mate in range(people)
    ]


def _odd_due(course: Course, settings: CourseSettings, day: date, file: DayFile) -> list[Task]:
    """Odd jobs that wait, those of one priority oldest first."""
    waiting = [one for one in settings.odd_job if not one.done and one.name not in file.leave]
    waiting = [one for one in waiting if one.since is None or one.since <= day or one.name in file.also]
    order = sorted(waiting, key=lambda one: (one.priority, one.since or day))
    tasks: list[Task] = []
    for place, one in enumerate(order):
        # within a priority the older counts for a little more, and never as much as the next priority
        older = 1 + 0.5 * (len(order) - place) / (len(order) + 1)
        weight = BY_HAND if one.name in file.also else round(ODD[one.priority] * older)
        tasks += odd_tasks(course, one, settings, weight, file.first_tee)
    return tasks


def _places_due(
    course: Course, settings: CourseSettings, day: date, file: DayFile
) -> tuple[list[Task], list[Offer], list[str], list[str]]:
    """
    Work that places wait for: what is due by the day, or has no date; and what is due within the month ahead.

    Returns
    -------
    tasks, offers, names, remarks
        The tasks, weighed as odd jobs by urgency; what may be done before its day; the names of all work at places;
        and what nothing tells the time of.
    """
    work, _ = place_work(course)
    until = day_after(day, COMING)
    tasks: list[Task] = []
    offers: list[Offer] = []
    untimed: list[str] = []
    for one in work:
        row, name = one.place, one.job.name
        by_hand = name in file.also
        due = None if by_hand else one.due
        later = due is not None and due > day
        if name in file.leave or (due is not None and due > until):
            continue
        if not row["hours"]:
            untimed += [] if later else [name]
            continue
        # what waits at places goes before odd jobs of the same priority: it was looked at, and grows
        weight = BY_HAND if by_hand else round(ODD[row["urgency"] or USUAL_URGENCY] * 1.4)
        made = _place_tasks(course, settings, one, weight)
        if later:
            offers.append(Offer(name, 1, sum(task.usual for task in made), due))
        else:
            tasks += made
    offers.sort(key=lambda offer: (offer.due or day, offer.job))
    said = [f"due at places, but no hours are given: {listed(untimed)}."] if untimed else []
    return tasks, offers, [one.job.name for one in work], said


def _place_tasks(course: Course, settings: CourseSettings, one: PlaceWork, weight: int) -> list[Task]:
    """The parts of the work at a place, one for each of those who do it together."""
    row, name = one.place, one.job.name
    people, minutes = row["people"] or 1, row["hours"] * 60
    more = {
        "certificates": frozenset({row["certificate"]} if row["certificate"] else ()),
        "since": row["seen"],
        "priority": row["urgency"] or USUAL_URGENCY,
        "takes": takes_words(course, one),
    }
    if row["patch"] is None:
        return _placeless(name, "odd", weight, minutes, people, **more)
    stop = Stop(row["patch"], row["hole"], row["surface"], {NO_MACHINE: minutes / people})
    return _as_tasks(course, name, "odd", weight, [stop], [NO_MACHINE], settings, people, **more)


def odd_tasks(
    course: Course, one: OddJob, settings: CourseSettings, weight: int, first_tee: int | None = None
) -> list[Task]:
    """The parts of an odd job."""
    more = {
        "certificates": frozenset({one.certificate} if one.certificate else ()),
        "half": one.half,
        "since": one.since,
        "priority": one.priority,
    }
    minutes = one.hours / 60
    stops = _odd_stops(course, one, minutes / one.people)
    if one.ahead and settings.play is not None:
        stops = [replace(stop, due=first_players(settings.play, stop.hole, first_tee)) for stop in stops]
    if not stops:
        return _placeless(one.name, "odd", weight, minutes, one.people, machine=one.machine, **more)
    machines = [one.machine or NO_MACHINE]
    return _as_tasks(course, one.name, "odd", weight, stops, machines, settings, one.people, **more)


def _stands_for_a_hole(surface: str) -> int:
    """How well a surface shows on a map where a hole is."""
    best = ("fairway", "green", "tee")
    return best.index(surface) if surface in best else len(best)


def _odd_stops(course: Course, one: OddJob, minutes: float) -> list[Stop]:
    """Its patches, its time shared out evenly; none where it names no place."""
    ground = course.ground
    chosen = np.zeros(len(ground), dtype=bool)
    if one.on or one.holes:
        chosen[:] = True
    if one.on:
        chosen &= ground.among(ground.surface, one.on)
    if one.holes:
        chosen &= ground.among(ground.hole, [hole_text(hole) for hole in one.holes])
    rows = sorted(np.flatnonzero(chosen), key=lambda row: (play_order(ground.hole[row]), str(ground.patch[row])))
    if not rows:
        return []
    # without a surface the hole is meant, not each patch on it
    if not one.on:
        holes = {}
        for row in rows:
            known = holes.setdefault(ground.hole[row], row)
            if _stands_for_a_hole(str(ground.surface[row])) < _stands_for_a_hole(str(ground.surface[known])):
                holes[ground.hole[row]] = row
        rows = list(holes.values())
    machine = one.machine or NO_MACHINE
    return [
        Stop(
            str(ground.patch[row]),
            None if ground.hole[row] is None else str(ground.hole[row]),
            str(ground.surface[row]),
            {machine: minutes / len(rows)},
        )
        for row in rows
    ]
