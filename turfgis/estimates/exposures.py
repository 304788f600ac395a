"""Vibration and noise that reach each person of the board over the day, where the club gives its machines' values."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from turfgis.estimates.assignment import Assignment
from turfgis.formulas.exposure import noise_exposure, vibration_exposure
from turfgis.published.exposure import standing

if TYPE_CHECKING:
    from turfgis.settings import CourseSettings


@dataclass(frozen=True)
class Exposure:
    """
    What reaches one person in a day.

    Attributes
    ----------
    person
        The role.
    vibration, noise
        A(8) [m/s2] and LEX,8h [dB(A)]; None where no machine of the day has a value.
    vibration_words, noise_words
        Where they stand among the values of European law.
    unknown
        Machines of the day without a value: what they add is not counted.
    minutes
        On machines in all.
    """

    person: str
    vibration: float | None
    noise: float | None
    vibration_words: str
    noise_words: str
    unknown: tuple[str, ...]
    minutes: int


def estimate_exposures(given: Assignment, settings: CourseSettings) -> list[Exposure]:
    """Each person who drives or leads a machine that day; none where no machine has values."""
    machines = settings.machine
    if not any(one.vibration is not None or one.noise is not None for one in machines.values()):
        return []
    people = list(dict.fromkeys(one.person for one in given.placed if one.machine))
    return [_exposure(person, given, machines) for person in people]


def _exposure(person: str, given: Assignment, machines) -> Exposure:
    used = [(machines[one.machine], (one.end - one.start) * 60.0) for one in given.of(person) if one.machine]
    names = [one.machine for one in given.of(person) if one.machine]
    shaking = [(machine.vibration, seconds) for machine, seconds in used if machine.vibration is not None]
    loud = [(machine.noise, seconds) for machine, seconds in used if machine.noise is not None]
    vibration = vibration_exposure(*zip(*shaking, strict=True)) if shaking else None
    noise = noise_exposure(*zip(*loud, strict=True)) if loud else None
    unknown = [name for name in names if machines[name].vibration is None or machines[name].noise is None]
    return Exposure(
        person,
        vibration,
        noise,
        "" if vibration is None else standing("hand_arm", vibration),
        "" if noise is None else standing("noise", noise),
        tuple(dict.fromkeys(unknown)),
        round(sum(seconds for _, seconds in used) / 60),
    )
