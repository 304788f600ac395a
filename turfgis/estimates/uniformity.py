"""How evenly the water of each surface falls: as the club typed it, else as cans caught it, else as its heads tell."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
import pandas as pd

from turfgis.errors import LayerError
from turfgis.layers.findings import Finding

if TYPE_CHECKING:
    from turfgis.estimates.course import Course
    from turfgis.settings.water import SurfaceWater

TYPED, CANS, MODEL, UNKNOWN = "typed", "cans", "model", "unknown"


@dataclass(frozen=True)
class Uniformity:
    """
    How evenly a surface is watered.

    Attributes
    ----------
    surface
        Its name.
    share
        Share of the mean depth that the drier part gets; 1 where nothing tells it. [-]
    judged_by
        ``typed``, ``cans``, ``model`` or ``unknown``.
    known, patches
        On how many patches cans stood or heads are drawn, and of how many.
    """

    surface: str
    share: float
    judged_by: str
    known: int
    patches: int


def surface_uniformity(course: Course, said: SurfaceWater, surface: str, on: np.ndarray) -> Uniformity:
    """
    How evenly a surface is watered.

    Parameters
    ----------
    course
        The course; its heads are laid only where neither settings nor cans tell of a surface.
    said, surface
        What the settings say of it, and its name.
    on
        Patches of it that are watered, as bool. Shape (n,).

    Returns
    -------
    The typed figure. Else the mean of the lower quarters of its patches by cans, or where no can stood on it by the
    model of its heads, weighted by net area; 1 where neither is known or nothing is left of it, which is the least that
    the need can take.
    """
    patches = int(on.sum())
    if said.uniformity is not None:
        return Uniformity(surface, said.uniformity, TYPED, patches, patches)
    watered = course.ground.patch[on]
    if course.cans is not None:
        share, known = _low_quarter(course.cans.table, watered)
        if share > 0:
            return Uniformity(surface, share, CANS, known, patches)
    try:
        heads = course.heads
    except LayerError:  # told by the check
        heads = None
    if heads is not None:
        share, known = _low_quarter(heads.table, watered)
        if share > 0:
            return Uniformity(surface, share, MODEL, known, patches)
    return Uniformity(surface, 1.0, UNKNOWN, 0, patches)


def _low_quarter(table: pd.DataFrame, watered: np.ndarray) -> tuple[float, int]:
    """Mean of the lower quarters of some patches, weighted by net area, and on how many it is known; 0 on none."""
    rows = table.loc[table["patch"].isin(list(watered)).to_numpy() & table["low_quarter"].notna().to_numpy()]
    if rows.empty:
        return 0.0, 0
    share, area = (rows[name].to_numpy(dtype=float) for name in ("low_quarter", "net_m2"))
    return float(np.average(share, weights=area)), len(rows)


def unknown_uniformity(file: str, found: list[Uniformity]) -> list[Finding]:
    """A warning for each surface of which nothing tells how evenly it is watered."""
    return [
        Finding(
            *("warning", "uniformity_unknown", file, "", one.surface),
            f"Nothing tells how evenly {one.surface} is watered, so it is reckoned as if water fell evenly: the least "
            f"that it can take. Type uniformity below [water.surface.{one.surface}], set out cans ([[catch]]) or add a "
            "layer of heads.",
        )
        for one in found
        if one.judged_by == UNKNOWN
    ]
