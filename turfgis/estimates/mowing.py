"""
Minutes of mowing by patch and by surface, and what the next width gains.

By passes laid in the shape for machines that say how they turn, by the handbook for others; each row says which.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from difflib import get_close_matches

import numpy as np
import pandas as pd

from turfgis.errors import InputError, SettingsError
from turfgis.estimates.course import Course
from turfgis.estimates.times import Mower, Times, patch_times
from turfgis.published.ranges import remark
from turfgis.surfaces import SURFACES

# What the minutes of a row are the sum of; those that a table does not have count nothing.
PARTS = (
    *("cutting_minutes", "clean_up_minutes", "emptying_minutes", "waiting_minutes"),
    *("driving_minutes", "set_up_minutes", "refuelling_minutes"),
)
# What is added up by surface besides.
_SUMS = ("net_m2", "perimeter_m", "passes", "length_m", "turns", "passes_minutes", "turn_minutes", "driving_m")


def mowers_of(course: Course, named: Sequence[str] = ()) -> list[Mower]:
    """
    Machines of the settings file: its mowers, or those that are named, whatever they do.

    Raises
    ------
    SettingsError
        There are none, or none of that name.
    """
    machines = course.settings.machine if course.settings else {}
    for name in named:
        if name not in machines:
            near = get_close_matches(name, machines, n=1)
            guess = f"; did you mean '{near[0]}'?" if near else ""
            there = ", ".join(machines) or "none"
            raise SettingsError(f"{course.path.name}: no machine '{name}'{guess} (there are: {there})")
    chosen = [name for name, one in machines.items() if (name in named if named else one.mows)]
    if not chosen:
        raise SettingsError(
            f"{course.path.name}: no mower is described. Add a [machine.NAME] with width, speed, turn and on to the "
            "settings, or give --width, --speed and --turn on the command line"
        )
    return [Mower.of(name, machines[name]) for name in chosen]


def mowers_tried(
    course: Course,
    widths: Mapping[str, float],
    speed: float,
    overlap: float,
    efficiency: float | None = None,
    on: Sequence[str] = (),
    **more,
) -> list[Mower]:
    """
    Machines to be tried.

    Parameters
    ----------
    course
        The course, for the surfaces there are.
    widths
        Width as it was typed -> in SI. [m]
    speed, overlap, efficiency
        Of all of them. [m/s], [m], [-]
    on
        Surfaces that they cut; none means all mown surfaces there are.
    more
        Other figures of a :class:`turfgis.estimates.times.Mower`, such as ``turn``.

    Raises
    ------
    InputError
        A width is not wider than the overlap, or a surface is not on the course.
    """
    there = list(dict.fromkeys(course.measured.patches["surface"]))
    for name in on:
        if name not in there:
            near = get_close_matches(name, there, n=1)
            guess = f"; did you mean '{near[0]}'?" if near else ""
            raise InputError(f"no {name} was drawn{guess} (there are: {', '.join(there)})")
    for text, width in widths.items():
        if width <= overlap:
            raise InputError(f"a width of {text} is not wider than the overlap of {overlap:g} m")
    cut = tuple(on) or tuple(name for name in there if name not in SURFACES or SURFACES[name].mown)
    return [Mower(f"mower of {text}", width, overlap, speed, efficiency, cut, **more) for text, width in widths.items()]


def mower_remarks(mowers: Sequence[Mower], method: str | None = None) -> list[str]:
    """What lies outside published ranges, in plain sentences; none of them stops anything."""
    said = [
        (mower.name, text)
        for mower in mowers
        for text in (
            remark("field_efficiency_mower", mower.efficiency)
            if mower.efficiency is not None and (method or mower.method) == "handbook"
            else "",
            remark("mower_overlap_share", mower.overlap / mower.width) if mower.overlap else "",
        )
    ]
    return [f"{name}: {text}" for name, text in said if text]


def idle_remarks(course: Course, mowers: Sequence[Mower]) -> list[str]:
    """Machines that find none of their surfaces on the course, in plain sentences; the rest is planned."""
    there = course.ground.surfaces
    return [
        f"{mower.name}: nothing to cover, since no {' or '.join(mower.on)} was drawn (there are: {', '.join(there)})"
        for mower in mowers
        if not set(mower.on) & set(there)
    ]


def estimate_mowing(course: Course, mowers: Sequence[Mower], method: str | None = None) -> pd.DataFrame:
    """
    Minutes for one cut of every patch by every machine that works on its surface.

    Parameters
    ----------
    course
        The course, for its patches.
    mowers
        The machines.
    method
        ``shape`` or ``handbook`` for all of them; None for what each gives figures for.

    Returns
    -------
    One row a patch and machine: ``patch``, ``surface``, ``hole``, ``machine``, ``width_m``, ``net_m2``,
    ``perimeter_m``, ``direction_deg``, ``passes``, ``length_m`` (walked or driven on passes and rounds), ``turns``,
    ``passes_minutes``, ``turn_minutes``, ``cutting_minutes`` (both of them), ``clean_up_minutes``,
    ``emptying_minutes``, ``waiting_minutes``, ``minutes``, ``method``, ``fits`` (a key of
    :data:`turfgis.measure.passes.FITS`). What the handbook does not know is NaN or None.
    """
    tables = [_table(course, mower, patch_times(course, mower, method=method)) for mower in mowers]
    return pd.concat(tables, ignore_index=True)


def _table(course: Course, mower: Mower, times: Times) -> pd.DataFrame:
    patches, laid = course.measured.patches, times.laid
    cut = pd.DataFrame(patches.loc[patches["surface"].isin(mower.on), ["patch", "surface", "hole"]])
    unknown = np.full(len(cut), np.nan)
    made = cut.assign(
        machine=mower.name,
        width_m=mower.width,
        net_m2=patches.loc[cut.index, "net_m2"].to_numpy(dtype=float),
        perimeter_m=patches.loc[cut.index, "perimeter_m"].to_numpy(dtype=float),
        direction_deg=laid.direction_deg if laid else unknown,
        passes=laid.passes if laid else unknown,
        length_m=times.length_m,
        turns=laid.turns if laid else unknown,
        passes_minutes=times.passes / 60,
        turn_minutes=times.turns / 60,
        cutting_minutes=times.cutting / 60,
        clean_up_minutes=times.clean_up / 60,
        emptying_minutes=times.emptying / 60,
        waiting_minutes=times.waiting / 60,
    )
    return summed(made).assign(method=times.method, fits=laid.fits if laid else None)


def summed(table: pd.DataFrame) -> pd.DataFrame:
    """The table with ``minutes`` as the sum of its parts: to be called again where parts were added."""
    return table.assign(minutes=sum(table[name] for name in PARTS if name in table))


def mowing_by_surface(by_patch: pd.DataFrame) -> list[dict]:
    """
    Rows by surface and machine.

    Returns
    -------
    One row each: ``surface``, ``patch`` (None: all of them), ``machine``, ``width_m``, ``patches``, the sums of areas,
    lengths, numbers and minutes, ``method``, and ``not_fitting``: on how many patches something is in the way (None by
    the handbook).
    """
    keys = ["surface", "machine", "width_m", "method"]
    sums = [name for name in (*_SUMS, *PARTS, "minutes") if name in by_patch]
    rows = []
    for (surface, machine, width, method), group in by_patch.groupby(keys, sort=False):  # type: ignore[misc]
        row = {"surface": surface, "patch": None, "machine": machine, "width_m": float(width), "patches": len(group)}
        total = {name: float(group[name].to_numpy().sum()) for name in sums}
        known = {name: None if np.isnan(value) else value for name, value in total.items()}
        fits = None if method == "handbook" else int(np.sum(group["fits"].to_numpy() != "yes"))
        rows.append({**row, **known, "method": method, "not_fitting": fits})
    return rows


def with_gains(rows: Sequence[dict]) -> list[dict]:
    """
    Rows of machines that differ in width, narrow ones first, and what each gains on the one before it.

    Returns
    -------
    The rows, sorted by surface, patch and width, with ``gain_minutes``: how many minutes fewer than with the width
    before; None for the narrowest.
    """
    place = {key: at for at, key in enumerate(dict.fromkeys((row["surface"], row["patch"]) for row in rows))}
    ordered = sorted(rows, key=lambda row: (place[row["surface"], row["patch"]], row["width_m"]))
    before: dict = {}
    made = []
    for row in ordered:
        key = (row["surface"], row["patch"])
        made.append({**row, "gain_minutes": before[key] - row["minutes"] if key in before else None})
        before[key] = row["minutes"]
    return made
