"""
How the heads cover each patch, judged by cans where there are any, and how long each station runs for a depth.

A station runs as long as the patch that it serves needs at the rate that all heads serving this patch put on it. Water
that heads of other patches let fall there is not counted on: it makes the figure a little too safe, never too dry.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import atan, ceil, isfinite
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np
import pandas as pd

from turfgis.errors import LayerError, SettingsError
from turfgis.formulas.run_times import cycle_count, longest_cycle, precipitation_rate, run_time, soak_time
from turfgis.measure.head_shapes import wetted_m2

if TYPE_CHECKING:
    from turfgis.estimates.course import Course
    from turfgis.measure.cans import Cans
    from turfgis.measure.heads import Heads
    from turfgis.settings.heads import Soak

MM_H = 3.6e6  # mm/h in 1 m/s
SHORTEST_S = 60.0  # what a controller runs at least: common practice, no source
NOISE = 1e-9  # of a minute: float noise that opens no further one


@dataclass(frozen=True)
class Cover:
    """
    Heads and cans together.

    Attributes
    ----------
    table
        The table of :class:`turfgis.measure.heads.Heads` with ``judged_by`` (``cans`` or ``model``), ``cans``,
        ``scheduling_coefficient``, ``taken`` and ``caught_mm_h``; where cans stood, their uniformities, and their rate
        where its time was noted, are in place of the model's.
    heads
        The heads behind it.
    """

    table: pd.DataFrame
    heads: Heads


def cover_of(course: Course) -> Cover | None:
    """How the heads of a course cover it; None where no layer holds any."""
    return None if course.heads is None else judged(course.heads, course.cans)


def needed_cover(course: Course) -> Cover:
    """
    The same, where nothing can be said without heads.

    Raises
    ------
    LayerError
        Nothing is drawn yet in any layer of heads, or one cannot be used.
    SettingsError
        No layer holds heads.
    """
    cover = cover_of(course)
    if cover is not None:
        return cover
    notes = {(Path(note.file).name, note.layer or "") for note in course.drawing.layers if note.role == "heads"}
    blank = [
        one
        for one in course.measured.findings
        if one.code == "layer_empty" and (Path(one.file).name, one.layer) in notes
    ]
    if blank:
        where = [f"{one.file}, layer {one.layer}" if one.layer else one.file for one in blank]
        raise LayerError(f"{' and '.join(where)}: {blank[0].text}")
    raise SettingsError(
        f'{course.path.name}: no layer of heads; add [[layer]] with file = ... and role = "heads", so that stations '
        "and their flow are known"
    )


def judged(heads: Heads, cans: Cans | None) -> Cover:
    """
    The model of the heads, and in its place what cans caught.

    Parameters
    ----------
    heads, cans
        As measured; None where no cans stood.
    """
    table = heads.table.assign(judged_by="model", cans=0, scheduling_coefficient=np.nan, taken=None, caught_mm_h=np.nan)
    if cans is None or cans.table.empty:
        return Cover(table, heads)
    caught = cans.table.set_index("patch").reindex(table["patch"])
    there = caught["cans"].notna().to_numpy()
    for name in ("low_quarter", "christiansen", "rate_mm_h"):
        known = caught[name].to_numpy(dtype=float)
        table[name] = np.where(np.isfinite(known), known, table[name])
    table["judged_by"] = np.where(there, "cans", "model")
    table["cans"] = caught["cans"].fillna(0).to_numpy(dtype=int)
    table["scheduling_coefficient"] = caught["scheduling_coefficient"].to_numpy(dtype=float)
    table["caught_mm_h"] = caught["rate_mm_h"].to_numpy(dtype=float)
    table["taken"] = caught["taken"].to_numpy(dtype=object)
    return Cover(table, heads)


RUN_COLUMNS = [
    *("station", "controller", "surface", "patches", "holes", "heads", "flow_m3_h", "rate_mm_h", "depth_mm"),
    *("minutes", "cycles", "cycle_min", "soak_min", "m3"),
]


def station_runs(
    cover: Cover,
    depth_mm: Mapping[str, float],
    *,
    order: Sequence[str],
    soaks: Sequence[Soak] = (),
    slope_pct: Mapping[str, float] | None = None,
    longest_s: float | None = None,
) -> pd.DataFrame:
    """
    How long each station runs, in how many cycles.

    Parameters
    ----------
    cover
        How the heads cover the course.
    depth_mm
        Depth to put on each patch, in the mean of its ground. [mm]
    order
        Surfaces, those first that get their water first.
    soaks
        Where ground takes water in slowly; the steepest that fits a patch counts.
    slope_pct
        Mean slope of each patch, where heights tell it. [%]
    longest_s
        Longest time at a stretch, wherever a station lies. [s]

    Returns
    -------
    One row for each station that serves a patch with a depth above zero, in the order of its surface: ``station``,
    ``controller``, ``surface``, ``patches``, ``holes``, ``heads``, ``flow_m3_h``, ``rate_mm_h`` (on the ground that it
    wets, alone), ``depth_mm`` (the largest of its patches), ``minutes``, ``cycles``, ``cycle_min``, ``soak_min`` and
    ``m3``. Cycles are whole minutes, rounded up; a station that serves several patches runs for the one that takes
    longest.
    """
    heads = cover.heads.heads
    rank = {name: place for place, name in enumerate(order)}
    patch_rows = cover.table.set_index("patch")
    rate = _serving_rates(cover)
    rows = []
    parts: Any = heads.groupby(["controller", "station"], sort=False)
    for (controller, station), own in parts:
        served = [name for name in dict.fromkeys(own["patch"]) if name in patch_rows.index]
        wanted = [name for name in served if depth_mm.get(name, 0.0) > 0]
        if not wanted:
            continue
        seconds = {name: float(run_time(depth_mm[name] / 1000, rate[name], 1.0)) for name in wanted}
        flow = float(own["flow_m3_s"].sum())
        alone = float(precipitation_rate(flow, wetted_m2(own)))
        time = max(seconds.values())
        cycles, soak = _cycles(time, alone, patch_rows.loc[wanted, "surface"], soaks, slope_pct or {}, longest_s)
        minutes = ceil(time / 60 / cycles - NOISE)
        surface = min(patch_rows.loc[wanted, "surface"], key=lambda name: rank.get(name, len(rank)))
        rows.append(
            {
                **{"station": station, "controller": controller, "surface": surface, "patches": ", ".join(wanted)},
                "holes": ", ".join(
                    dict.fromkeys(str(one) for one in patch_rows.loc[wanted, "hole"] if one is not None)
                ),
                "heads": len(own),
                "flow_m3_h": flow * 3600,
                "rate_mm_h": alone * MM_H,
                "depth_mm": max(depth_mm[name] for name in wanted),
                "minutes": minutes * cycles,
                "cycles": cycles,
                "cycle_min": minutes,
                "soak_min": ceil(soak / 60 - NOISE) if cycles > 1 else 0,
                "m3": flow * minutes * cycles * 60,
            }
        )
    table = pd.DataFrame(rows, columns=RUN_COLUMNS)
    place = table["surface"].map(lambda name: rank.get(name, len(rank)))
    return table.iloc[np.argsort(place.to_numpy(), kind="stable")].reset_index(drop=True)


def _serving_rates(cover: Cover) -> dict[str, float]:
    """Rate that the heads serving each patch put on it together; that of the cans where their time was noted. [m/s]"""
    heads = cover.heads.heads
    own = pd.Series(heads["flow_m3_s"].to_numpy() * heads["on_it"].to_numpy())
    water: Any = own.groupby(heads["patch"].to_numpy(dtype=object)).sum()
    names, net = cover.table["patch"].tolist(), cover.table["net_m2"].to_numpy(dtype=float)
    model = precipitation_rate(water.reindex(names).to_numpy(), net)
    caught = cover.table["caught_mm_h"].to_numpy(dtype=float) / MM_H
    return dict(zip(names, np.where(np.isfinite(caught), caught, model).tolist(), strict=True))


def _cycles(
    time: float,
    rate: float,
    surfaces: pd.Series,
    soaks: Sequence[Soak],
    slope_pct: Mapping[str, float],
    longest_s: float | None,
) -> tuple[int, float]:
    """In how many cycles a run is parted, and how long to wait between them [s]; its strictest patch counts."""
    longest, wait_for = longest_s or np.inf, None
    for patch, surface in surfaces.items():
        slope = atan(slope_pct.get(str(patch), 0.0) / 100)
        fits = [one for one in soaks if surface in one.on and (one.slope is None or slope >= one.slope)]
        if not fits:
            continue
        soak = max(fits, key=lambda one: one.slope or 0.0)
        stretch = float(longest_cycle(rate, soak.intake, soak.standing))
        longest = min(longest, max(stretch, SHORTEST_S))
        wait_for = min(soak.intake, wait_for or np.inf)
    cycles = max(1, int(cycle_count(time, longest))) if isfinite(longest) else 1
    wait = float(soak_time(time / cycles, rate, wait_for)) if wait_for is not None else 0.0
    return cycles, wait
