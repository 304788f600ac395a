"""What would make the day fit: one more person, one more machine, half an hour. Each is tried by giving out anew."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from turfgis.estimates.assignment import Assignment, Tell, assign
from turfgis.estimates.board import Day, Fleet, Task, Worker

HALF_HOUR = 30


@dataclass(frozen=True)
class Remedy:
    """
    Something that could be otherwise, and what it would bring.

    Attributes
    ----------
    what
        In words.
    undone, late
        Tasks that would still not be done, and those that would still come behind the first players.
    """

    what: str
    undone: int
    late: int


def find_remedies(day: Day, given: Assignment, *, effort: float = 2.0, tell: Tell | None = None) -> list[Remedy]:
    """
    What would make more fit.

    Parameters
    ----------
    day, given
        The day as it was given out.
    effort
        For each try, as in :func:`turfgis.estimates.assignment.assign`.
    tell
        Is told of each try.

    Returns
    -------
    Those that leave less undone or late than now, the best first. Empty where everything fits.
    """
    if not given.undone and not given.late:
        return []
    found = []
    for what, other in _others(day, given):
        if tell:
            tell(f"trying {what}")
        tried = assign(other, effort=effort, tidy=False)
        if tried.cost < given.cost - 1e-6:
            found.append((tried.cost, Remedy(what, len(tried.undone), len(tried.late))))
    return [remedy for _, remedy in sorted(found, key=lambda pair: pair[0])]


def _others(day: Day, given: Assignment) -> Iterator[tuple[str, Day]]:
    """Days with one thing changed."""
    yield from _one_person(day)
    for machine in _wanted(day, given):
        count = {**day.fleet.count, machine: day.fleet.count.get(machine, 0) + 1}
        which = "one more" if day.fleet.count.get(machine, 0) else "a working"
        yield f"{which} {machine}", replace(day, fleet=Fleet(count, day.fleet.certificate))
    if day.workers:
        longer = tuple(_stretched(worker, 0, HALF_HOUR) for worker in day.workers)
        yield "half an hour more for everybody", replace(day, workers=longer)
        earlier = tuple(_stretched(worker, HALF_HOUR, 0) for worker in day.workers)
        yield "a start half an hour earlier for everybody", replace(day, workers=earlier)
    if given.late:
        yield "the first players half an hour later", replace(day, tasks=tuple(_later(task) for task in day.tasks))


def _one_person(day: Day) -> Iterator[tuple[str, Day]]:
    """Somebody who may do what anybody in the team may do, and holds what the tasks ask for."""
    begin = min((worker.spans[0][0] for worker in day.workers), default=6 * 60)
    end = max((worker.spans[-1][1] for worker in day.workers), default=14 * 60 + 30)
    longest = max(day.workers, key=lambda worker: worker.minutes, default=None)
    spans = longest.spans if longest else ((begin, end),)
    may = frozenset(day.fleet.count)
    asked = {one for task in day.tasks for one in task.certificates} | set(day.fleet.certificate.values())
    extra = Worker("one more person", spans, may, frozenset(asked))
    yield "one more person, trained on every machine", replace(day, workers=(*day.workers, extra))
    plain = replace(extra, may=frozenset(), certificates=frozenset())
    yield "one more person for work by hand", replace(day, workers=(*day.workers, plain))


def _wanted(day: Day, given: Assignment) -> list[str]:
    """Machines of what is undone or late."""
    short = [*given.undone, *(one.task for one in given.late)]
    return list(dict.fromkeys(machine for task in short for machine in task.minutes if machine in day.fleet.count))


def _stretched(worker: Worker, before: int, after: int) -> Worker:
    first, *rest = worker.spans
    spans = [(first[0] - before, first[1]), *rest]
    spans[-1] = (spans[-1][0], spans[-1][1] + after)
    return replace(worker, spans=tuple(spans))


def _later(task: Task) -> Task:
    return replace(task, latest={machine: start + HALF_HOUR for machine, start in task.latest.items()})
