"""What cans caught on the patches: mean depth and how evenly it fell, which beats any model of heads."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import geopandas as gpd
import numpy as np
import pandas as pd
import pyproj
import shapely

from turfgis.errors import LayerError
from turfgis.formulas.uniformity import christiansen_uniformity, low_quarter_uniformity, scheduling_coefficient
from turfgis.layers.findings import Finding, counted, listed
from turfgis.layers.points import read_points
from turfgis.measure.frame import project

FEWEST = 4  # fewer cans have no lower quarter
MM = {"mm": 1.0, "in": 25.4}
COLUMNS = [
    *("patch", "surface", "hole", "net_m2", "cans", "mean_mm", "rate_mm_h", "low_quarter", "christiansen"),
    *("scheduling_coefficient", "file", "taken"),
]


@dataclass(frozen=True)
class CatchFile:
    """
    What is said of a catch.

    Attributes
    ----------
    file, folder, column
        A table of points, and which column holds what each can caught.
    unit
        ``mm``, ``in`` or ``ml``.
    mouth_m
        Width of the mouth of a can, for ``ml``. [m]
    ran_s
        How long the heads ran; None where nobody noted it. [s]
    on
        Surfaces that the cans stood on; all where none is named.
    taken, crs
        The day as ISO text; the reference system where the file does not say it.
    """

    file: str
    folder: Path
    column: str = "depth_mm"
    unit: str = "mm"
    mouth_m: float | None = None
    ran_s: float | None = None
    on: tuple[str, ...] = ()
    taken: str | None = None
    crs: str | None = None


@dataclass(frozen=True)
class Cans:
    """
    Catches of a course.

    Attributes
    ----------
    table
        One row for each patch with enough cans: ``patch``, ``surface``, ``hole``, ``net_m2``, ``cans``, ``mean_mm``,
        ``rate_mm_h`` (nothing where no time was noted), ``low_quarter``, ``christiansen``, ``scheduling_coefficient``
        (mean over the driest can; nothing where that is dry), ``file`` and ``taken``. Of several catches of a patch the
        latest counts, and of two without a day the one that the settings name last.
    findings
        What there is to say.
    """

    table: pd.DataFrame
    findings: tuple[Finding, ...]


def measure_cans(patches: gpd.GeoDataFrame, files: Sequence[CatchFile]) -> Cans:
    """
    Lay catches on the patches.

    Parameters
    ----------
    patches
        Patches of the course in their frame.
    files
        The catches.

    Returns
    -------
    Figures of each patch on which enough cans stood. A file that cannot be used is a finding, and the others are read.
    """
    rows, findings = [], []
    for said in sorted(files, key=lambda one: one.taken or ""):
        try:
            own, found = _one_catch(patches, said)
        except LayerError as error:
            text = str(error).removeprefix(f"{said.file}: ")
            own, found = [], [Finding("error", "catch_unusable", said.file, "", "", f"{text}.")]
        rows += own
        findings += found
    table = pd.DataFrame(rows, columns=COLUMNS).drop_duplicates("patch", keep="last").reset_index(drop=True)
    return Cans(table, tuple(findings))


def _one_catch(patches: gpd.GeoDataFrame, said: CatchFile) -> tuple[list[dict], list[Finding]]:
    if not (said.folder / said.file).exists():
        raise LayerError(f"{said.file}: no such file of cans")
    points = read_points(said.folder / said.file, said.crs)
    if said.column not in points:
        there = listed([str(one) for one in points.columns if one not in ("geometry", "feature")])
        raise LayerError(f"{said.file}: no column '{said.column}'; there are: {there}")
    figures: Any = pd.to_numeric(points[said.column], errors="coerce")
    caught = figures.to_numpy(dtype=float)
    if (caught < 0).any() or np.isnan(caught).all():
        raise LayerError(f"{said.file}: the column '{said.column}' holds figures below zero, or none at all")
    area_mm2 = np.pi * (1000 * said.mouth_m) ** 2 / 4 if said.mouth_m else np.nan
    depth = caught * MM[said.unit] if said.unit in MM else caught * 1000 / area_mm2
    ground = patches.loc[patches["surface"].isin(said.on).to_numpy()] if said.on else patches
    at = project(points.geometry.to_numpy(), pyproj.CRS(points.crs), pyproj.CRS(patches.crs))
    place = np.full(len(at), -1)
    can, patch = shapely.STRtree(ground.geometry.to_numpy()).query(at, predicate="intersects")
    place[can] = patch
    known, rows, findings = np.isfinite(depth), [], []
    outside = int(((place < 0) & known).sum())
    if outside:
        text = f"{counted(outside, 'can')} stood on no {' or '.join(said.on) or 'patch'}; not reckoned with."
        findings.append(Finding("warning", "catch_outside", said.file, "", "", text))
    few = []
    for number in np.unique(place[(place >= 0) & known]):
        own = depth[(place == number) & known]
        row = ground.iloc[number]
        if own.size < FEWEST or not own.any():
            few.append(row["patch"])
            continue
        rows.append(
            {
                **{key: row[key] for key in ("patch", "surface", "hole", "net_m2")},
                "cans": int(own.size),
                "mean_mm": float(own.mean()),
                "rate_mm_h": float(own.mean()) / said.ran_s * 3600 if said.ran_s else np.nan,
                "low_quarter": low_quarter_uniformity(own),
                "christiansen": christiansen_uniformity(own),
                "scheduling_coefficient": float(scheduling_coefficient(own.mean(), own.min())) if own.min() else np.nan,
                "file": said.file,
                "taken": said.taken,
            }
        )
    if few:
        text = f"Fewer than {FEWEST} cans, or none with water, on {listed(few)}; the model of the heads stands there."
        findings.append(Finding("warning", "catch_few", said.file, "", "", text))
    return rows, findings
