"""The ground beside the limits of machines: over, under, or unknown, patch by patch."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from math import atan, degrees, radians, tan
from typing import TYPE_CHECKING

import geopandas as gpd
import numpy as np
import pandas as pd

from turfgis.errors import InputError, SettingsError
from turfgis.estimates.course import Course

if TYPE_CHECKING:
    from turfgis.measure.relief import Relief
    from turfgis.settings.models import Machine

OVER, UNDER, UNKNOWN = "over", "under", "unknown"
CLOSE_M = 3.0  # heights further apart, or averaged over more, hide banks that turn a machine over: no source
WHOLE = 0.999  # share of a patch whose slope must be known, for all of it to be under a limit


@dataclass(frozen=True)
class Steepness:
    """
    Machines on the ground that they work on.

    Attributes
    ----------
    rows
        One row for each machine and patch it works on: ``machine``, ``limit_deg``, ``limit_pct``, ``limit_from``,
        ``patch``, ``surface``, ``hole``, ``net_m2``, ``verdict`` (over, under or unknown), ``why`` (where unknown),
        ``over_m2``, ``mean_slope_pct``, ``steepest_slope_pct``, ``steepest_deg``, ``longitude``, ``latitude`` (of the
        steepest place), ``direction_deg``, ``side_slope_pct``, ``climb_pct`` (along the passes), ``drop_edge_m``,
        ``drop_m``, ``drop_longitude``, ``drop_latitude``.
    drops
        Edges with a drop beside them, one row a ``patch``, in the frame.
    relief
        The ground of all patches.
    drop_m, within_m
        What counts as a drop: so much lower, so far outside the edge. [m]
    """

    rows: pd.DataFrame
    drops: gpd.GeoDataFrame
    relief: Relief
    drop_m: float
    within_m: float


def estimate_steepness(course: Course, machines: Sequence[str] = ()) -> Steepness:
    """
    Compare the ground with the limits that the club has entered.

    Parameters
    ----------
    course
        A course whose settings name heights and machines.
    machines
        Only these; none for all.

    Returns
    -------
    The comparison.

    Raises
    ------
    SettingsError, InputError
        There are no heights or no machines, or one is not known.
    """
    settings = course.needs_settings("slopes need heights and machines")
    if not settings.machine:
        raise SettingsError(
            f"{course.path.name}: no machine is described. Add [machine.NAME] with width, speed, on and "
            'slope_limit = "16 deg", copied from its plate or manual'
        )
    if settings.elevation is None or course.relief is None:
        raise SettingsError(
            f"{course.path.name}: slopes need the heights of the ground: add [elevation] with "
            'file = "heights.tif", any raster of heights, to the settings'
        )
    for name in machines:
        if name not in settings.machine:
            near = get_close_matches(name, settings.machine, n=1)
            guess = f"; did you mean '{near[0]}'?" if near else ""
            raise InputError(f"no machine '{name}'{guess} (there are: {', '.join(settings.machine)})")
    from turfgis.measure.relief_lines import in_degrees, measure_drops

    patches, relief = course.measured.patches, course.relief
    said = settings.elevation
    drops = measure_drops(patches, relief, said.drop, said.drop_within)
    drops["patch"] = patches["patch"]
    places = relief.table.assign(patch=patches["patch"], surface=patches["surface"], hole=patches["hole"])
    steepest, lowest = ["steepest_x_m", "steepest_y_m"], ["drop_x_m", "drop_y_m"]
    places[["longitude", "latitude"]] = in_degrees(patches, places[steepest].to_numpy())
    places[["drop_longitude", "drop_latitude"]] = in_degrees(patches, drops[lowest].to_numpy())
    places[["drop_edge_m", "drop_m"]] = drops[["drop_edge_m", "drop_m"]]
    chosen = {name: one for name, one in settings.machine.items() if not machines or name in machines}
    rows = [_machine_rows(course, name, one, places) for name, one in chosen.items()]
    return Steepness(pd.concat(rows, ignore_index=True), drops, relief, said.drop, said.drop_within)


COLUMNS = (
    *("machine", "limit_deg", "limit_pct", "limit_from", "patch", "surface", "hole", "net_m2", "verdict", "why"),
    *("over_m2", "mean_slope_pct", "steepest_slope_pct", "steepest_deg", "longitude", "latitude", "direction_deg"),
    *("side_slope_pct", "climb_pct", "drop_edge_m", "drop_m", "drop_longitude", "drop_latitude"),
)


def _machine_rows(course: Course, name: str, machine: Machine, places: pd.DataFrame) -> pd.DataFrame:
    from turfgis.measure.relief_lines import Travel, measure_travel

    assert course.relief is not None
    on = places["surface"].isin(machine.on).to_numpy()
    relief, rows = course.relief.among(on), places.loc[on].copy()
    travel = Travel(machine.width, machine.overlap, machine.clean_up, machine.direction)
    going = measure_travel(course.measured.patches.loc[on], relief, travel)
    limit = machine.slope_limit
    over = relief.share_over(limit) if limit is not None else np.full(len(rows), np.nan)
    rows["machine"] = name
    rows["limit_deg"] = degrees(limit) if limit is not None else np.nan
    rows["limit_pct"] = 100 * tan(limit) if limit is not None else np.nan
    rows["limit_from"] = machine.slope_limit_from or ""
    rows["steepest_deg"] = [degrees(atan(slope / 100)) for slope in rows["steepest_slope_pct"]]
    rows[going.columns] = going
    told = [
        _verdict(limit, radians(steepest), share, relief.grain_m)
        for steepest, share in zip(rows["steepest_deg"], rows["relief_share"], strict=True)
    ]
    rows["verdict"], rows["why"] = [verdict for verdict, _ in told], [why for _, why in told]
    # cells that only touch the patch may be over though none that lies in it is
    rows["over_m2"] = np.where(rows["verdict"] == UNDER, 0.0, over * rows["net_m2"])
    return rows.reindex(columns=list(COLUMNS))


def _verdict(limit: float | None, steepest: float, share: float, grain: float) -> tuple[str, str]:
    """Over as soon as one place is; under only where all of the patch is known, and known closely enough."""
    if np.isnan(steepest):
        return UNKNOWN, "the heights do not tell"
    if limit is None:
        return UNKNOWN, "no limit was entered for this machine"
    if steepest > limit:
        return OVER, ""
    if grain > CLOSE_M:
        return UNKNOWN, f"heights averaged over {grain:.3g} m do not show banks"
    if share < WHOLE:
        return UNKNOWN, f"heights are missing on {1 - share:.1%} of it"
    return UNDER, ""
