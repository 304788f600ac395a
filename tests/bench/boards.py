"""Boards of 8 people and 40 tasks, seeded: shared machines, certificates, greens ahead of play, half days."""

import time
from collections.abc import Iterator
from datetime import date

import numpy as np

from turfgis.estimates.assignment import Tell, assign
from turfgis.estimates.board import Day, Fleet, Task, Worker

PEOPLE, TASKS, LIMIT, GAP = 8, 40, 20, 0.02
DAY_SPANS = ((360, 600), (630, 870))
MACHINES = {"pedestrian": 3, "greens": 1, "tees": 1, "fairways": 1, "surrounds": 1, "rough": 1, "sprayer": 1}


def team(draw: np.random.Generator) -> tuple[Worker, ...]:
    """Everybody may use most machines, half may spray, two work mornings only."""
    return tuple(
        Worker(
            f"person {number}",
            DAY_SPANS if number < PEOPLE - 2 else DAY_SPANS[:1],
            frozenset(name for name in MACHINES if draw.random() < 0.6),
            frozenset({"spraying"} if number % 2 else ()),
        )
        for number in range(PEOPLE)
    )


def tasks(draw: np.random.Generator, share: float) -> tuple[Task, ...]:
    """A third on greens ahead of play, a third with other machines, a third by hand; so much of the hours there are."""
    lengths = draw.integers(20, 120, TASKS).astype(float)
    hours = 6 * 480 + 2 * 240
    lengths = np.clip(np.round(lengths * share * hours / lengths.sum()), 10, 180).astype(int)
    made = []
    for number, length in enumerate(lengths.tolist()):
        kind = number % 3
        if kind == 0 and number < 20:
            minutes = {"pedestrian": length, "greens": max(5, length * 2 // 5)}
            latest = {name: 450 + 20 * number - took for name, took in minutes.items()}
            made.append(Task(f"greens {number}", "cut greens", "due", (), minutes, 1000, latest=latest))
        elif kind == 1:
            machine = list(MACHINES)[2 + number // 3 % 5]
            asked = frozenset({"spraying"} if machine == "sprayer" else ())
            made.append(Task(f"{machine} {number}", f"work of {machine}", "due", (), {machine: length}, 1000, asked))
        else:
            weight = int(draw.choice([1000, 300, 120, 50, 20]))
            made.append(Task(f"by hand {number}", f"by hand {number // 9}", "odd", (), {"": length}, weight))
    return tuple(made)


def board(seed: int, share: float) -> Day:
    """A day whose tasks take a share of the hours there are."""
    draw = np.random.default_rng(seed)
    workers = team(draw)
    return Day(date(2027, 5, 14), tasks(draw, share), workers, Fleet(MACHINES, {"sprayer": "spraying"}), noon=615)


def boards(tell: Tell) -> Iterator[tuple[str, float, float, int]]:
    """What, seconds of the whole answer, gap, tasks left undone."""
    for share in (0.7, 0.9, 1.1):
        for seed in range(3):
            began = time.perf_counter()
            given = assign(board(seed, share), tell=tell)
            yield f"{share:.0%} of the hours, seed {seed}", time.perf_counter() - began, given.gap, len(given.undone)
