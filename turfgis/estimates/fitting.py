"""
Speed, time of a turn and waiting of the club's own machines, out of its meter hours or stop-watch times.

Each record is a sum: metres of passes and clean-up rounds over speed, turns, and so much on each patch that is neither
(waiting for players, getting on and off). Emptying and, in records of several patches, driving are taken off before, at
the figures of the settings. The fit is ordinary least squares; what the records cannot tell apart is held at the
settings instead, the time on each patch first, then the turn.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from scipy.special import stdtrit

from turfgis.errors import InputError, SettingsError
from turfgis.estimates.course import Course
from turfgis.estimates.fuel import fuel_rate
from turfgis.estimates.rounds import Carrier, carrier_of, course_ways, plan_round
from turfgis.estimates.times import Mower, patch_times
from turfgis.formulas.fitting import condition_number, estimate_correlations, least_squares
from turfgis.layers.records import near, one_message
from turfgis.layers.times import Timed
from turfgis.layers.words import hole_text

CONDITION = 30.0  # Belsley, Kuh and Welsch (source belsley-1980): strong dependence from here on
CORRELATION = 0.95  # of two estimates; common practice, no source
FIGURES = ("speed", "turn", "waiting")


@dataclass(frozen=True)
class Fitted:
    """
    One figure.

    Attributes
    ----------
    name
        ``speed`` [m/s], ``turn`` [s], ``waiting`` (time on each patch) [s], ``fuel`` [m3/s] or ``cost`` [money/s].
    value, low, high
        The figure and its 95 % interval; None where there is none, or no end to it.
    setting
        What the settings say; None where they say nothing.
    held
        Whether it was held at the settings.
    """

    name: str
    value: float
    low: float | None
    high: float | None
    setting: float | None
    held: bool = False


@dataclass(frozen=True)
class Residual:
    """How long a record took beside the fit, driving and emptying included. [s]"""

    record: Timed
    patches: tuple[str, ...]
    observed: float
    fitted: float


@dataclass(frozen=True)
class MachineFit:
    """
    What the records say of one machine.

    Attributes
    ----------
    machine, records
        Its name, and how many records stand behind it.
    figures
        Speed, turn and waiting, then fuel and cost of an hour where they can be told.
    residuals
        Record by record.
    spread
        Residual standard deviation; None where nothing was fitted. [s]
    waiting_share
        Share of the time on patches that is waiting. [-]
    remarks
        What could not be told, and why.
    turns_in_a_circle
        Whether the settings give the circle in which it turns, in place of a time.
    """

    machine: str
    records: int
    figures: tuple[Fitted, ...]
    residuals: tuple[Residual, ...]
    spread: float | None
    waiting_share: float
    remarks: tuple[str, ...]
    turns_in_a_circle: bool = False

    @property
    def by_patch(self) -> dict[str, tuple[float, int]]:
        """Patch -> how much longer its records took than the fit, on the mean, a share of each [s]; and how many."""
        sums: dict[str, list[float]] = {}
        for one in self.residuals:
            for patch in one.patches:
                sums.setdefault(patch, []).append((one.observed - one.fitted) / len(one.patches))
        return {patch: (sum(some) / len(some), len(some)) for patch, some in sums.items()}


@dataclass(frozen=True)
class _Sheet:
    """Records of one machine as sums. Arrays of shape (n,)."""

    records: list[Timed]
    patches: list[tuple[str, ...]]
    metres: np.ndarray
    turns: np.ndarray
    count: np.ndarray
    known: np.ndarray

    @property
    def seconds(self) -> np.ndarray:
        return np.array([one.seconds for one in self.records])


def fit_machines(course: Course, records: Sequence[Timed]) -> list[MachineFit]:
    """
    Figures of each machine of which there are records.

    Parameters
    ----------
    course
        The course, with settings.
    records
        What was read.

    Returns
    -------
    One for each machine, in the order of the settings.

    Raises
    ------
    SettingsError
        A record names a machine, patch, hole or surface that there is not: one line for each cell.
    """
    settings = course.needs_settings("fitting needs machines")
    found: dict[str, list[tuple[Timed, np.ndarray]]] = {name: [] for name in settings.machine}
    problems: list[str] = []
    for record in records:
        try:
            name = _one_of(record, "machine", record.machine, list(settings.machine))
            found[name].append((record, _ground(course, record, settings.machine[name].on)))
        except InputError as error:
            problems.append(one_message(str(error)))
    if problems:
        raise SettingsError("\n".join(dict.fromkeys(problems)))
    return [_fit(course, name, seen) for name, seen in found.items() if seen]


def _one_of(record: Timed, column: str, given: str, there: Sequence[str]) -> str:
    alike = [name for name in there if name.strip().casefold() == given.casefold()]
    if len(alike) == 1:
        return alike[0]
    listed = f" (there are: {', '.join(there)})" if 0 < len(there) <= 30 else ""
    raise InputError(f"{record.at(column)}: no {column} '{given}'{near(given, there)}{listed}")


def _ground(course: Course, record: Timed, surfaces: Sequence[str]) -> np.ndarray:
    """Patches of the surfaces of the machine that a record is about. Shape (n,)."""
    ground = course.ground
    on = ground.among(ground.surface, surfaces)
    named = {"patch": record.patches, "hole": record.holes, "surface": (record.surface,) if record.surface else ()}
    columns = {"patch": ground.patch, "hole": ground.hole, "surface": ground.surface}
    for column, given in named.items():
        if not given:
            continue
        there = list(dict.fromkeys(str(one) for one in columns[column] if one is not None))
        names = [hole_text(one) or one if column == "hole" else one for one in given]
        chosen = ground.among(columns[column], [_one_of(record, column, one, there) for one in names])
        if not (on & chosen).any():
            said = f"'{', '.join(given)}' is no ground of it (the machine works on {', '.join(surfaces)})"
            raise InputError(f"{record.at(column)}: {said}; correct one of them")
        on = on & chosen
    return on


def _fit(course: Course, name: str, seen: Sequence[tuple[Timed, np.ndarray]]) -> MachineFit:
    settings = course.needs_settings("fitting needs machines")
    mower = Mower.of(name, settings.machine[name])
    sheet = _summed(course, mower, seen)
    figures, fitted, spread, share, remarks = _figures(sheet, mower)
    residuals = [
        Residual(record, patches, record.seconds, seconds)
        for record, patches, seconds in zip(sheet.records, sheet.patches, fitted.tolist(), strict=True)
    ]
    whole = (*figures, *_by_the_hour(course, name, sheet))
    circle = mower.turn is None and mower.turn_radius is not None
    return MachineFit(name, len(seen), whole, tuple(residuals), spread, share, tuple(remarks), circle)


def _summed(course: Course, mower: Mower, seen: Sequence[tuple[Timed, np.ndarray]]) -> _Sheet:
    """Metres, turns and patches of each record, and the time that is taken off beforehand."""
    bare = mower if mower.method == "shape" else replace(mower, turn=0.0)
    bare = replace(bare, waiting=0.0)
    times = patch_times(course, bare, method="shape")
    of_machine = np.flatnonzero(course.ground.among(course.ground.surface, mower.on))
    place = {row: at for at, row in enumerate(of_machine.tolist())}
    carrier = replace(carrier_of(course, mower), count=1, lasts=np.inf)
    rows = []
    for _, on in seen:
        at = [place[row] for row in np.flatnonzero(on).tolist()]
        patches = tuple(course.ground.patch[on].tolist())
        turns = times.laid.turns[at].sum() if times.laid else 0.0
        known = times.emptying[at].sum() + _driven(course, carrier, patches)
        rows.append((patches, float(times.length_m[at].sum()), float(turns), len(patches), float(known)))
    patches, *sums = zip(*rows, strict=True)
    metres, turns, count, known = (np.array(one, dtype=float) for one in sums)
    return _Sheet([record for record, _ in seen], list(patches), metres, turns, count, known)


def _driven(course: Course, carrier: Carrier, patches: tuple[str, ...]) -> float:
    """Driving in a record of several patches; a stop-watch on one patch knows none. [s]"""
    if len(patches) < 2:
        return 0.0
    metres = course.ground.once(
        ("driven", patches, course_ways(course).yard_said),
        lambda: plan_round(course, carrier, dict.fromkeys(patches, 0.0)).metres,
    )
    return metres / carrier.transport


def _figures(sheet: _Sheet, mower: Mower) -> tuple[list[Fitted], np.ndarray, float | None, float, list[str]]:
    """Figures, fitted times, their spread, share of waiting, and remarks; fewer figures where records cannot tell."""
    remarks: list[str] = []
    columns = {"speed": sheet.metres, "turn": sheet.turns, "waiting": sheet.count}
    free = [name for name in FIGURES if columns[name].any()]
    design, estimates, errors, spread = np.empty((0, 0)), np.empty(0), np.empty(0), 0.0
    while free:
        share = mower.waiting if "waiting" not in free else 0.0
        held_turns = sheet.turns * mower.turn_seconds if "turn" not in free else np.zeros(len(sheet.turns))
        observed = (sheet.seconds - sheet.known) * (1 - share) - held_turns
        design = np.column_stack([columns[name] for name in free])
        why, drop = _cannot(design, free)
        if not why:
            estimates, errors, spread = least_squares(design, observed)
            below = [name for name, value in zip(free, estimates, strict=True) if value <= 0]
            if not below:
                break
            drop = below[0] if below[0] != "speed" else free[-1]
            why = f"the best fit has a {below[0]} below zero"
        if drop == "speed":
            remarks.append(f"{why}; nothing is fitted, and all figures stay at the settings")
            free = []
            break
        free.remove(drop)
        remarks.append(f"{why}; {_HELD[drop]} is held at the settings ({_held_value(drop, mower)})")
    if not free:
        work = (sheet.metres / mower.speed + sheet.turns * mower.turn_seconds) / (1 - mower.waiting)
        held = [_fitted(name, free, estimates, errors, 0.0, mower) for name in ("speed", "turn")]
        return held, work + sheet.known, None, mower.waiting, remarks
    fitted = (design @ estimates + held_turns) / (1 - share) + sheet.known
    spent = float((fitted - sheet.known).sum())
    waited = float(sheet.count.sum() * estimates[free.index("waiting")]) if "waiting" in free else share * spent
    reach = float(stdtrit(len(observed) - len(free), 0.975))
    figures = [_fitted(name, free, estimates, errors, reach, mower) for name in ("speed", "turn")]
    if "waiting" in free:
        figures.append(_fitted("waiting", free, estimates, errors, reach, mower))
    return figures, fitted, spread, waited / spent if spent > 0 else 0.0, remarks


_HELD = {"turn": "the time of a turn", "waiting": "waiting"}


def _held_value(name: str, mower: Mower) -> str:
    if name == "waiting":
        return f"{mower.waiting * 100:g} %"
    return f"{mower.turn_seconds:g} s" if mower.method == "shape" else "none given, so 0 s"


def _cannot(design: np.ndarray, free: list[str]) -> tuple[str, str]:
    """Why so many figures cannot be told from these records, and which to hold; empty where they can."""
    size, wanted = design.shape
    if size <= wanted:
        return f"{size} record{'s' * (size != 1)} cannot tell {wanted} figure{'s' * (wanted != 1)}", free[-1]
    if wanted == 1:
        return "", ""
    condition = condition_number(design)
    if not np.isfinite(condition):
        return f"the records cannot tell {' and '.join(free)} apart at all", free[-1]
    related = np.abs(np.triu(estimate_correlations(design), 1))
    one, other = np.unravel_index(int(related.argmax()), related.shape)
    worst = f"{free[one]} from {free[other]}"
    if condition > CONDITION:
        return f"the records cannot tell {worst}: condition number {condition:.0f}, above {CONDITION:g}", free[-1]
    if related[one, other] > CORRELATION:
        said = f"correlation of the two estimates {related[one, other]:.3f}, above {CORRELATION:g}"
        return f"the records cannot tell {worst}: {said}", free[max(int(one), int(other))]
    return "", ""


def _fitted(
    name: str, free: list[str], estimates: np.ndarray, errors: np.ndarray, reach: float, mower: Mower
) -> Fitted:
    """One figure with its interval; the speed by its inverse, which is what is fitted."""
    turn = mower.turn_seconds if mower.method == "shape" else None
    setting = {"speed": mower.speed, "turn": turn, "waiting": None}[name]
    if name not in free:
        return Fitted(name, setting or 0.0, None, None, setting, True)
    value, half = float(estimates[free.index(name)]), reach * float(errors[free.index(name)])
    if name != "speed":
        return Fitted(name, value, value - half, value + half, setting)
    return Fitted(name, 1 / value, 1 / (value + half), 1 / (value - half) if value > half else None, setting)


def _by_the_hour(course: Course, name: str, sheet: _Sheet) -> list[Fitted]:
    """Fuel and cost of an hour."""
    settings = course.needs_settings("fitting needs machines")
    machine = settings.machine[name]
    planned = fuel_rate(machine, settings)
    figures: list[Fitted] = []
    filled = [one for one in sheet.records if one.fuel is not None]
    if filled:
        hours, burnt = (np.array([getattr(one, key) for one in filled]) for key in ("seconds", "fuel"))
        value, half = float(burnt.sum() / hours.sum()), None
        if len(filled) > 1:
            (slope,), (error,), _ = least_squares(hours[:, None], burnt)
            value, half = float(slope), float(stdtrit(len(filled) - 1, 0.975) * error)
        ends = (None, None) if half is None else (value - half, value + half)
        figures.append(Fitted("fuel", value, *ends, planned[0] if planned else None))
    rate = figures[0].value if figures else planned[0] if planned else 0.0
    price = settings.fuel[machine.burns].price if machine.burns in settings.fuel else None
    people = sum(one.people * one.seconds for one in sheet.records) / float(sheet.seconds.sum())
    parts = [
        machine.cost.per_si if machine.cost else 0.0,
        rate * price.per_si if price else 0.0,
        people * settings.labour.wage.per_si if settings.labour else 0.0,
    ]
    if any(parts):
        figures.append(Fitted("cost", sum(parts), None, None, None))
    return figures
