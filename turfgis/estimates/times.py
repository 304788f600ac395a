"""
Time of a machine on each patch: from passes laid in its shape, or by the handbook.

A machine that says how it turns (``turn`` or ``turn_radius``) is timed by the shape: passes, turns and clean-up rounds
each by themselves. One that gives only its field efficiency is timed by the handbook: area over field capacity, and a
clean-up pass around the edge. Emptying boxes and waiting for players come on top in both.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from turfgis.errors import InputError
from turfgis.estimates.course import Course
from turfgis.formulas.mowing import mowing_time, working_width
from turfgis.formulas.turns import emptying_stops, turn_time, waiting_time
from turfgis.measure.passes import Passes, measure_passes

if TYPE_CHECKING:  # a machine that is only tried waits for no settings
    from turfgis.settings.models import Machine

METHODS = ("shape", "handbook")


@dataclass(frozen=True)
class Mower:
    """
    A machine that covers ground, and what it covers.

    Attributes
    ----------
    name, on
        As in the settings, and the surfaces it works on.
    width, overlap, speed
        Of one pass. [m], [m], [m/s]
    efficiency
        Field efficiency, for the handbook. [-]
    turn, turn_radius
        Time of one turn [s], or the circle in which it turns [m], for the shape.
    clean_up, direction
        Rounds along the edge; direction of the passes, as for :func:`turfgis.measure.passes.measure_passes`.
    box, emptying
        What its boxes hold [m3], and the time to empty them once [s].
    waiting
        Share of the time on a patch that is lost waiting for players. [-]
    """

    name: str
    width: float
    overlap: float
    speed: float
    efficiency: float | None
    on: tuple[str, ...]
    turn: float | None = None
    turn_radius: float | None = None
    clean_up: int = 1
    direction: str | float = "best"
    box: float | None = None
    emptying: float | None = None
    waiting: float = 0.0

    @classmethod
    def of(cls, name: str, machine: Machine) -> Mower:
        """A machine of the settings."""
        keys = ("width", "overlap", "speed", "efficiency", "turn", "turn_radius", "clean_up", "direction")
        more = ("box", "emptying", "waiting")
        return cls(name=name, on=tuple(machine.on), **{key: getattr(machine, key) for key in (*keys, *more)})

    @property
    def method(self) -> str:
        """``shape`` where it says how it turns, else ``handbook``."""
        return "handbook" if self.turn is None and self.turn_radius is None else "shape"

    @property
    def fresh(self) -> float:
        """Width of fresh ground that a pass takes. [m]"""
        return float(working_width(self.width, self.overlap))

    @property
    def turn_seconds(self) -> float:
        """Time of one turn. [s]"""
        if self.turn is not None or self.turn_radius is None:
            return self.turn or 0.0
        return float(turn_time(self.turn_radius, self.fresh, self.speed))


@dataclass(frozen=True)
class Times:
    """
    Time of one machine on some patches, once over. Arrays of shape (k,), in seconds.

    Attributes
    ----------
    method
        ``shape`` or ``handbook``.
    laid
        Passes and rounds; None by the handbook.
    passes, turns
        Straight passes and turns; NaN by the handbook, which knows only both together.
    cutting
        Both together.
    clean_up, emptying, waiting
        Rounds along the edge; emptying boxes; waiting for players.
    length_m
        Length worked. By the handbook, area over fresh width and once along the edge. [m]
    per_m2
        How much time one more square metre takes: a pass's share of it, without turns. [s/m2]
    """

    method: str
    laid: Passes | None
    passes: np.ndarray
    turns: np.ndarray
    cutting: np.ndarray
    clean_up: np.ndarray
    emptying: np.ndarray
    waiting: np.ndarray
    length_m: np.ndarray
    per_m2: np.ndarray

    @property
    def total(self) -> np.ndarray:
        """All of it."""
        return self.cutting + self.clean_up + self.emptying + self.waiting


def patch_times(
    course: Course, mower: Mower, on: np.ndarray | None = None, *, method: str | None = None, cuts: bool = True
) -> Times:
    """
    Time of a machine on patches.

    Parameters
    ----------
    course
        The course, for its patches and the clippings that a cut takes off each surface.
    mower
        The machine.
    on
        Which patches, as bool; None for all those of its surfaces. Shape (n,).
    method
        ``shape`` or ``handbook``; None for what the machine gives figures for.
    cuts
        Whether clippings fall, so that boxes fill.

    Returns
    -------
    Times on those patches, in their order.

    Raises
    ------
    InputError
        The machine lacks a figure that the method needs.
    """
    ground = course.ground
    chosen = ground.among(ground.surface, mower.on) if on is None else on
    method = method or mower.method
    _can(mower, method)
    net, edge = ground.net_m2[chosen], ground.perimeter_m[chosen]
    if method == "shape":
        laid = laid_passes(course, mower, chosen)
        passes, turns, length = laid.passes_m / mower.speed, laid.turns * mower.turn_seconds, laid.length_m
        cutting, clean_up = passes + turns, laid.rounds_m / mower.speed
        per_m2 = np.full(len(net), 1.0 / (mower.fresh * mower.speed))
    else:
        cut = (mower.width, mower.speed, mower.efficiency, mower.overlap)
        cutting, clean_up = mowing_time(net, edge * mower.clean_up, *cut)
        laid, length = None, net / mower.fresh + edge * mower.clean_up
        passes = turns = np.full(len(net), np.nan)
        per_m2 = np.full(len(net), float(mowing_time(1.0, 0.0, *cut)[0]))
    filled = _filled(course, mower, chosen) if cuts else np.zeros(len(net))
    emptying = filled * net
    waiting = np.zeros(len(net)) + waiting_time(cutting + clean_up + emptying, mower.waiting)
    per_m2 = (per_m2 + filled) / (1.0 - mower.waiting)
    return Times(method, laid, passes, turns, cutting, clean_up, emptying, waiting, length, per_m2)


def laid_passes(course: Course, mower: Mower, on: np.ndarray) -> Passes:
    """Passes and rounds of a machine on these patches, laid once for all jobs that cover them the same way."""
    way = (mower.width, mower.overlap, mower.clean_up, mower.direction, mower.turn_radius)
    shapes = course.measured.patches.geometry.to_numpy()
    return course.ground.once(("passes", on.tobytes(), way), lambda: measure_passes(shapes[on], *way))


def _filled(course: Course, mower: Mower, on: np.ndarray) -> np.ndarray:
    """Time spent emptying boxes for each square metre. [s/m2]"""
    surfaces = course.settings.surface if course.settings else {}
    rates = {name: one.clippings for name, one in surfaces.items() if one.clippings}
    if not rates or mower.box is None or not mower.emptying:
        return np.zeros(int(on.sum()))
    clippings = np.array([rates.get(name, 0.0) for name in course.ground.surface[on]])
    return emptying_stops(1.0, clippings, mower.box) * mower.emptying


def _can(mower: Mower, method: str) -> None:
    if method not in METHODS:
        raise InputError(f"no method '{method}'; there are: {', '.join(METHODS)}")
    if method == "shape" and mower.method != "shape":
        raise InputError(
            f"{mower.name}: passes in the shape need the time of a turn; give turn (such as 12 s) or turn_radius"
        )
    if method == "handbook" and mower.efficiency is None:
        raise InputError(f"{mower.name}: the handbook needs its field efficiency; give efficiency (such as 70 %)")
