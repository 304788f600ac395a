"""
Mowing minutes by the handbook: area over field capacity, and one clean-up pass around the edge.

A first guess: it knows nothing of transport, waiting for players or the club's own machines.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from difflib import get_close_matches

import pandas as pd

from turfgis.errors import InputError, SettingsError
from turfgis.estimates.course import Course
from turfgis.formulas.mowing import mowing_time
from turfgis.published.ranges import remark
from turfgis.surfaces import SURFACES


@dataclass(frozen=True)
class Mower:
    """A mower and what it cuts. Width, overlap [m], speed [m/s], efficiency [-]."""

    name: str
    width: float
    overlap: float
    speed: float
    efficiency: float | None
    on: tuple[str, ...]


def mowers_of(course: Course) -> list[Mower]:
    """The machines of the settings file."""
    if course.settings is None or not any(one.mows for one in course.settings.machine.values()):
        raise SettingsError(
            f"{course.path.name}: no mower is described. Add a [machine.NAME] with width, speed, efficiency "
            "and on to the settings, or give --width, --speed and --efficiency on the command line"
        )
    return [
        Mower(name, one.width, one.overlap, one.speed, one.efficiency, tuple(one.on))
        for name, one in course.settings.machine.items()
        if one.mows
    ]


def mowers_tried(
    course: Course, widths: Mapping[str, float], speed: float, overlap: float, efficiency: float, on: Sequence[str] = ()
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
    return [Mower(f"mower of {text}", width, overlap, speed, efficiency, cut) for text, width in widths.items()]


def mower_remarks(mowers: Sequence[Mower]) -> list[str]:
    """What lies outside published ranges, in plain sentences; none of them stops anything."""
    said = [
        (mower.name, text)
        for mower in mowers
        for text in (
            remark("field_efficiency_mower", mower.efficiency),
            remark("mower_overlap_share", mower.overlap / mower.width) if mower.overlap else "",
        )
    ]
    return [f"{name}: {text}" for name, text in said if text]


def estimate_mowing(course: Course, mowers: list[Mower]) -> pd.DataFrame:
    """
    Minutes for one cut of every patch by every mower that cuts its surface.

    Parameters
    ----------
    course
        The course, for its patches.
    mowers
        The machines.

    Returns
    -------
    One row a patch and machine: ``patch``, ``surface``, ``hole``, ``machine``, ``width_m``, ``net_m2``,
    ``perimeter_m``, ``cutting_minutes``, ``clean_up_minutes``, ``minutes``, ``method``.
    """
    patches = course.measured.patches
    tables = []
    for mower in mowers:
        cut = pd.DataFrame(patches.loc[patches["surface"].isin(mower.on), ["patch", "surface", "hole"]])
        net, perimeter = (patches.loc[cut.index, name].to_numpy(dtype=float) for name in ("net_m2", "perimeter_m"))
        cutting, clean_up = mowing_time(net, perimeter, mower.width, mower.speed, mower.efficiency, mower.overlap)
        tables.append(
            cut.assign(
                machine=mower.name,
                width_m=mower.width,
                net_m2=net,
                perimeter_m=perimeter,
                cutting_minutes=cutting / 60,
                clean_up_minutes=clean_up / 60,
                minutes=(cutting + clean_up) / 60,
                method="handbook",
            )
        )
    return pd.concat(tables, ignore_index=True)


def mowing_by_surface(by_patch: pd.DataFrame) -> list[dict]:
    """
    Rows by surface and machine.

    Returns
    -------
    One row each, with ``patches``, the sums of areas, perimeters and minutes, and the width.
    """
    keys = ["surface", "machine", "width_m"]
    sums = ["net_m2", "perimeter_m", "cutting_minutes", "clean_up_minutes", "minutes"]
    rows = []
    for (surface, machine, width), group in by_patch.groupby(keys, sort=False):  # type: ignore[misc]
        row = {"surface": surface, "machine": machine, "width_m": float(width), "patches": len(group)}
        rows.append({**row, **{name: float(group[name].to_numpy().sum()) for name in sums}, "method": "handbook"})
    return rows
