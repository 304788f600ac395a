"""The round of a machine: from the yard over its patches and back, in a good order, fuel fetched on the way."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd

from turfgis.errors import InputError, SettingsError
from turfgis.estimates.course import Course
from turfgis.estimates.fuel import fuel_rate
from turfgis.estimates.mowing import summed
from turfgis.estimates.routing import Trips, best_round, best_trips
from turfgis.estimates.times import Mower, Times
from turfgis.measure.ways import Ways, measure_ways
from turfgis.settings.models import WAY_SPEED

ROUND_PARTS = ("driving_minutes", "set_up_minutes", "refuelling_minutes")
REFUEL_S = 600.0  # at the yard, where the settings do not say; common practice, no source


@dataclass(frozen=True)
class Carrier:
    """
    What a round asks of a machine.

    Attributes
    ----------
    name
        Its name.
    transport
        Speed between patches. [m/s]
    set_up
        Time to fetch, check and wash it, once a round and machine. [s]
    count
        How many of it go out at the same time.
    lasts
        How long it runs on a tank; infinite where that is not known. [s]
    refuel
        Time to fill up at the yard. [s]
    empties_in
        Where boxes are emptied at the yard, the time to empty them once, by which trips are counted; None where that is
        done on the spot. [s]
    """

    name: str
    transport: float
    set_up: float = 0.0
    count: int = 1
    lasts: float = np.inf
    refuel: float = REFUEL_S
    empties_in: float | None = None


@dataclass(frozen=True)
class Round:
    """
    One round.

    Attributes
    ----------
    trips
        Patches in their order, for each trip from the yard and back.
    driver
        Which of the machines makes each trip.
    driving_m, set_up_s, refuelling_s
        By patch: metres driven for it (to it, the way back of the last one, and drives to the yard in the middle of
        it); and its part of the set-up, and of filling up. [m], [s], [s]
    refuels
        How often fuel is fetched.
    longest_s
        From leaving the yard until the last machine is back, work included. [s]
    over
        Pairs of patches between which no way was found that keeps off water, bunkers and greens.
    yard
        What the yard was taken to be; "" where the round begins at the first patch.
    """

    trips: tuple[tuple[str, ...], ...]
    driver: tuple[int, ...]
    driving_m: Mapping[str, float]
    set_up_s: Mapping[str, float]
    refuelling_s: Mapping[str, float]
    refuels: int
    longest_s: float
    over: tuple[tuple[str, str], ...]
    yard: str

    @property
    def metres(self) -> float:
        """All that is driven between patches. [m]"""
        return sum(self.driving_m.values())

    @property
    def order(self) -> list[str]:
        """Patches of all trips, one trip after another."""
        return [patch for trip in self.trips for patch in trip]


def _yard(course: Course) -> tuple[float, float] | None:
    """Where the settings have it."""
    yard = course.settings.yard if course.settings else None
    return yard.at if yard else None


def course_ways(course: Course) -> Ways:
    """
    Where can be driven on a course, measured when it is first asked for.

    Raises
    ------
    SettingsError
        Its yard lies far off.
    """
    at = _yard(course)
    return course.ground.once(("ways", at), lambda: measure_ways(course.measured, at))


def driving_lengths(course: Course, patches: Sequence[str]) -> tuple[np.ndarray, np.ndarray]:
    """
    Driving lengths from the yard to patches and between them.

    Parameters
    ----------
    course, patches
        The course, and names of its patches. (n of them)

    Returns
    -------
    lengths, over
        The yard first, which lies no way off where none is known [m]; and where the straight line over water, bunkers
        or greens had to be taken. Shape (n + 1, n + 1).
    """
    ways = course_ways(course)
    place = {name: row for row, name in enumerate(course.ground.patch)}
    rows = [place[name] for name in patches]

    def measure() -> tuple[np.ndarray, np.ndarray]:
        lengths, over = np.zeros((len(rows) + 1,) * 2), np.zeros((len(rows) + 1,) * 2, dtype=bool)
        known = 0 if ways.yard is not None else 1
        lengths[known:, known:], over[known:, known:] = ways.metres(rows if ways.yard is None else [ways.yard, *rows])
        lengths.flags.writeable = over.flags.writeable = False  # whoever asks gets the same ones
        return lengths, over

    return course.ground.once(("driving", _yard(course), *rows), measure)


def _round_through(course: Course, patches: Sequence[str]) -> list[int]:
    """The shortest round through patches, by their numbers from 1; many machines go the same."""
    lengths, _ = driving_lengths(course, patches)
    return course.ground.once(("round", _yard(course), *patches), lambda: best_round(lengths))


def plan_round(
    course: Course, carrier: Carrier, work: Mapping[str, float], errands: Mapping[str, float] | None = None
) -> Round:
    """
    The round of a machine over patches.

    Parameters
    ----------
    course, carrier
        The course and the machine.
    work
        Patch -> time of work on it. [s]
    errands
        Patch -> how often it is left for the yard and back besides, such as to empty boxes; may be a mean.

    Returns
    -------
    The round. Several machines share the patches so that the longest is back as soon as may be; one machine drives as
    little as may be. Fuel is fetched where a yard is known: between patches, or in the middle of one that takes longer
    than a tank lasts.

    Raises
    ------
    SettingsError
        A tank does not last to a patch and back.
    """
    names = list(work)
    lengths, over = driving_lengths(course, names)
    ways = course_ways(course)
    lasts = carrier.lasts if ways.yard is not None else np.inf
    seconds = lengths / carrier.transport
    besides = np.array([(errands or {}).get(name, 0.0) for name in names], dtype=float)
    whole = np.array([work[name] for name in names], dtype=float) + besides * 2 * seconds[0, 1:]
    left, fetched = _in_the_middle(whole, seconds[0, 1:], lasts, names, carrier)
    try:
        trips = best_trips(
            seconds,
            left.tolist(),
            lasts=lasts,
            machines=carrier.count,
            between=carrier.refuel,
            order=_round_through(course, names),
        )
    except InputError as error:
        raise SettingsError(f"machine '{carrier.name}': {error}") from None
    drivers, longest, refuels = _shared(
        trips, seconds, whole + fetched * (2 * seconds[0, 1:] + carrier.refuel), carrier
    )
    driving = _driven(lengths, trips, len(names)) + 2 * (fetched + besides) * lengths[0, 1:]
    total = refuels + int(fetched.sum())
    machines = len(set(drivers))
    sizes = np.full(len(names), 1 / max(len(names), 1))
    crossed = {(a, b) for trip in trips for a, b in zip([0, *trip], [*trip, 0], strict=True) if over[a, b]}
    return Round(
        trips=tuple(tuple(names[at - 1] for at in trip) for trip in trips),
        driver=drivers,
        driving_m=dict(zip(names, driving.tolist(), strict=True)),
        set_up_s=dict(zip(names, (sizes * carrier.set_up * machines).tolist(), strict=True)),
        refuelling_s=dict(zip(names, (sizes * carrier.refuel * total).tolist(), strict=True)),
        refuels=total,
        longest_s=longest + (carrier.set_up if names else 0.0),
        over=tuple(sorted((_name(names, a), _name(names, b)) for a, b in crossed)),
        yard=ways.yard_said,
    )


def _name(names: list[str], at: int) -> str:
    return names[at - 1] if at else "the yard"


def _in_the_middle(
    work: np.ndarray, away: np.ndarray, lasts: float, names: list[str], carrier: Carrier
) -> tuple[np.ndarray, np.ndarray]:
    """Work left on each patch once whole tanks are used up there, and how often fuel is fetched in the middle of it."""
    if np.isinf(lasts):
        return work, np.zeros(len(work))
    there = lasts - 2 * away
    if (there <= 0).any():
        name = names[int(np.argmin(there))]
        raise SettingsError(
            f"machine '{carrier.name}': a tank lasts {lasts / 60:.0f} min, which is less than the way to {name} and "
            "back; look at tank, fuel and transport"
        )
    fetched = np.maximum(np.ceil(work / there - 1e-9) - 1, 0)
    return work - fetched * there, fetched


def _shared(
    trips: Trips, seconds: np.ndarray, work: np.ndarray, carrier: Carrier
) -> tuple[tuple[int, ...], float, int]:
    """Which machine makes each trip (the longest first, to the one that is free first), its time, and refuels."""
    spent = [float(seconds[[0, *trip], [*trip, 0]].sum() + sum(work[at - 1] for at in trip)) for trip in trips]
    free, driver, refuels = [0.0] * carrier.count, [0] * len(trips), 0
    for trip in sorted(range(len(trips)), key=lambda at: (-spent[at], at)):
        first = min(range(carrier.count), key=lambda one: (free[one], one))
        if free[first]:
            free[first] += carrier.refuel
            refuels += 1
        free[first] += spent[trip]
        driver[trip] = first
    return tuple(driver), max(free), refuels


def _driven(lengths: np.ndarray, trips: Trips, size: int) -> np.ndarray:
    """Metres to each place, and back from the last of each trip. Shape (size,)."""
    driven = np.zeros(size)
    for trip in trips:
        for before, at in zip([0, *trip], trip, strict=False):
            driven[at - 1] += lengths[before, at]
        driven[trip[-1] - 1] += lengths[trip[-1], 0]
    return driven


def carrier_of(course: Course, mower: Mower) -> Carrier:
    """
    What the round of a machine asks of it.

    A tank lasts where the settings give its volume and fuel for an hour is known.
    """
    settings = course.settings
    machine = settings.machine.get(mower.name) if settings else None
    if settings is None or machine is None:
        return Carrier(mower.name, max(mower.speed, WAY_SPEED))
    rate = fuel_rate(machine, settings)
    return Carrier(
        name=mower.name,
        transport=machine.way_speed,
        set_up=machine.set_up,
        count=machine.count,
        lasts=machine.tank / rate[0] if machine.tank and rate else np.inf,
        refuel=machine.refuel,
        empties_in=machine.emptying if machine.empty_at == "yard" else None,
    )


def round_seconds(
    course: Course, mower: Mower, on: np.ndarray, times: Times, refills: np.ndarray | None = None
) -> tuple[np.ndarray, np.ndarray]:
    """
    One round over the patches of a job, for the year: driving and set-up.

    Parameters
    ----------
    course, mower
        The course, and a machine of its settings.
    on, times
        Which patches, as bool, shape (n,); and the times of work on them, in their order.
    refills
        How often each of them is left to fill a spray tank at the yard, in their order; None for never.

    Returns
    -------
    driving, set_up
        By patch, in the order of those in ``on``: driving between them and with the engine on; and what people need
        besides, set-up and filling up. [s]
    """
    carrier, names = carrier_of(course, mower), course.ground.patch[on].tolist()

    def plan() -> tuple[np.ndarray, np.ndarray]:
        work, errands = dict(zip(names, times.total.tolist(), strict=True)), {}
        if carrier.empties_in:
            errands = dict(zip(names, (times.emptying / carrier.empties_in).tolist(), strict=True))
        if refills is not None:
            errands = dict(zip(names, refills.tolist(), strict=True))
        planned = plan_round(course, carrier, work, errands)
        driving = np.array([planned.driving_m[name] for name in names]) / carrier.transport
        return driving, np.array([planned.set_up_s[name] + planned.refuelling_s[name] for name in names])

    left = b"" if refills is None else refills.tobytes()
    key = ("round", on.tobytes(), carrier, times.total.tobytes(), times.emptying.tobytes(), left)
    return course.ground.once(key, plan)


def with_driving(
    course: Course, by_patch: pd.DataFrame, carriers: Mapping[str, Carrier]
) -> tuple[pd.DataFrame, list[str]]:
    """
    Driving between patches, set-up and filling up, added to a table of work.

    Parameters
    ----------
    course
        The course.
    by_patch
        One row a patch and machine, as :func:`turfgis.estimates.mowing.estimate_mowing` makes it.
    carriers
        Name of a machine -> what its round asks of it.

    Returns
    -------
    table, remarks
        The table with ``driving_m``, ``driving_minutes``, ``set_up_minutes`` and ``refuelling_minutes``, and with
        ``minutes`` greater by the three; one round for each surface and machine. And what a reader should know of it.
    """
    added = {name: np.zeros(len(by_patch)) for name in ("driving_m", *ROUND_PARTS)}
    remarks: list[str] = []
    minutes = np.nan_to_num(by_patch["minutes"].to_numpy(dtype=float))
    places = by_patch.groupby(["surface", "machine", "width_m"], sort=False).indices
    for (surface, machine, _), rows in places.items():  # type: ignore[misc]
        carrier, names = carriers[machine], by_patch["patch"].iloc[rows].tolist()
        work = dict(zip(names, (minutes[rows] * 60).tolist(), strict=True))
        errands = {}
        if carrier.empties_in:
            stops = by_patch["emptying_minutes"].iloc[rows].to_numpy(dtype=float) * 60 / carrier.empties_in
            errands = dict(zip(names, stops.tolist(), strict=True))
        planned = plan_round(course, carrier, work, errands)
        metres = np.array([planned.driving_m[name] for name in names])
        added["driving_m"][rows] = metres
        added["driving_minutes"][rows] = metres / carrier.transport / 60
        added["set_up_minutes"][rows] = [planned.set_up_s[name] / 60 for name in names]
        added["refuelling_minutes"][rows] = [planned.refuelling_s[name] / 60 for name in names]
        remarks += _round_remarks(planned, surface, machine, carrier)
    remarks += [_without_speed(name) for name in dict.fromkeys(by_patch["machine"]) if _unsaid(course, name)]
    return summed(by_patch.assign(**added)), [_from_where(course), *dict.fromkeys(remarks)]


def _unsaid(course: Course, machine: str) -> bool:
    """Whether a machine of the settings has no speed between patches."""
    known = course.settings.machine if course.settings else {}
    return machine in known and known[machine].transport is None


def _without_speed(machine: str) -> str:
    return (
        f"{machine} has no speed between patches, so it is taken as fast as people go, 12 km/h (7.5 mph), or as it "
        f"works where that is more; add transport to [machine.{machine}]."
    )


def _from_where(course: Course) -> str:
    yard = course_ways(course).yard_said
    if yard:
        return f"Driving is from and to {yard}, along the paths or straight where that is shorter and clear."
    return (
        "No yard is known, so driving begins at the first patch and ends at the last; add [yard] at = "
        "[longitude, latitude] to the settings."
    )


def _round_remarks(planned: Round, surface: str, machine: str, carrier: Carrier) -> list[str]:
    said = []
    if planned.over:
        pairs = ", ".join(f"{a} to {b}" for a, b in planned.over[:3])
        more = len(planned.over) - 3
        said.append(
            f"{machine} on {surface}: no way found that keeps off water, bunkers and greens, so straight over them: "
            f"{pairs}{f' and {more} more' if more > 0 else ''}."
        )
    if carrier.count > 1 and planned.trips:
        said.append(
            f"{carrier.count} of {machine} share the {surface}: the last is back after {planned.longest_s / 60:.0f} "
            "minutes; the minutes shown are those of all of them."
        )
    return said
