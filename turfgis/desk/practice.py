"""Practice for new staff: questions about this course, with their answers, made from its layers and settings."""

from __future__ import annotations

import random
from dataclasses import dataclass
from typing import TYPE_CHECKING

from turfgis.desk.words import ENGLISH, place, refigured, said

if TYPE_CHECKING:
    from turfgis.estimates.course import Course

ASKED = 10
CHOICES = 4
FOUND_EASILY = ("green", "fairway", "tee", "bunker", "water")


@dataclass(frozen=True)
class Question:
    """
    One question.

    Attributes
    ----------
    kind
        ``where`` (answered by pointing at the map), ``height`` or ``machine`` (answered by choosing).
    about
        What it is about: a place such as "14 green", or a surface.
    patches
        Right patches, for ``where``; any of them will do.
    choices
        For the others, the answers to choose from.
    answer
        The right one of them.
    """

    kind: str
    about: str
    patches: tuple[str, ...] = ()
    choices: tuple[str, ...] = ()
    answer: str = ""


def practice_questions(course: Course, units: str, seed: int, language: str = ENGLISH) -> list[Question]:
    """
    Questions in an order of chance that the same seed repeats.

    Parameters
    ----------
    course
        The course.
    units
        How heights of cut are shown.
    seed
        Any whole number.
    language
        In which places, surfaces and figures are called.

    Returns
    -------
    At most :data:`ASKED` questions; fewer on a course that has less to ask about.
    """
    chance = random.Random(seed)
    where, heights = _where(course, language), _heights(course, units, chance, language)
    machines = _machines(course, chance, language)
    for asked in (where, heights, machines):
        chance.shuffle(asked)
    others = [*heights[:3], *machines[:3]]
    made = [*where[: ASKED - len(others)], *others]
    chance.shuffle(made)
    return made


def _where(course: Course, language: str) -> list[Question]:
    ground = course.ground
    places: dict[str, list[str]] = {}
    for patch, surface, hole in zip(ground.patch, ground.surface, ground.hole, strict=True):
        if hole is not None and surface in FOUND_EASILY:
            places.setdefault(place(hole, surface, language), []).append(str(patch))
    return [Question("where", name, tuple(patches)) for name, patches in places.items()]


def _heights(course: Course, units: str, chance: random.Random, language: str) -> list[Question]:
    from turfgis.units import shown

    how = shown("small length", units)
    cuts = {
        said(name, language): refigured(how.text(cut / 1000), language)
        for name, cut in course.drawing.cut_mm.items()
        if name in course.ground.surfaces
    }
    return _choosing("height", cuts, chance)


def _machines(course: Course, chance: random.Random, language: str) -> list[Question]:
    from turfgis.reports.facts import plain_words

    if course.settings is None:
        return []
    mows: dict[str, list[str]] = {}
    for name, machine in course.settings.machine.items():
        for surface in machine.on if machine.mows else ():
            if surface in course.ground.surfaces:
                mows.setdefault(surface, []).append(plain_words(name))
    only = {said(surface, language): names[0] for surface, names in mows.items() if len(names) == 1}
    return _choosing("machine", only, chance)


def _choosing(kind: str, answers: dict[str, str], chance: random.Random) -> list[Question]:
    """One question for each key; wrong answers are the right ones of others."""
    made = []
    for about, answer in answers.items():
        wrong = sorted({other for other in answers.values() if other != answer})
        if wrong:
            choices = [answer, *chance.sample(wrong, min(CHOICES - 1, len(wrong)))]
            chance.shuffle(choices)
            made.append(Question(kind, about, choices=tuple(choices), answer=answer))
    return made
