"""Ground that was drawn more than once, and who keeps it."""

import pandas as pd
import shapely

from turfgis.layers.findings import Finding
from turfgis.measure.patches import Measured

TRIFLE_M2 = 0.01  # shared borders that miss each other by the width of a pencil are not worth a word


def measure_overlaps(measured: Measured) -> pd.DataFrame:
    """
    Pairs of shapes that were drawn over each other.

    Parameters
    ----------
    measured
        The measured course.

    Returns
    -------
    One row a pair: ``keeps``, ``under`` (surfaces), ``file``, ``layer`` (of the lower one), ``area_m2``. Where three
    shapes lie on each other, their common ground stands in three rows.
    """
    shapes, drawn = measured.drawn.geometry.to_numpy(), measured.drawn
    lower = drawn.iloc[measured.below]
    table = pd.DataFrame(
        {
            "keeps": drawn["surface"].to_numpy()[measured.above],
            "under": lower["surface"].to_numpy(),
            "file": lower["file"].to_numpy(),
            "layer": lower["layer"].to_numpy(),
            "area_m2": shapely.area(shapely.intersection(shapes[measured.below], shapes[measured.above])),
        }
    )
    return table[table["area_m2"] > TRIFLE_M2].reset_index(drop=True)


def by_surface(overlaps: pd.DataFrame) -> pd.DataFrame:
    """Overlaps summed by pair of surfaces: ``keeps``, ``under``, ``pairs``, ``area_m2``, the largest first."""
    grouped = overlaps.groupby(["keeps", "under"], sort=False)["area_m2"]
    table = pd.DataFrame({"pairs": grouped.size(), "area_m2": grouped.sum()}).reset_index()
    return table.sort_values("area_m2", ascending=False, ignore_index=True)


def overlap_findings(overlaps: pd.DataFrame) -> list[Finding]:
    """One note for every layer and pair of surfaces, which says how much was drawn twice and who keeps it."""
    findings = []
    for (file, layer, under, keeps), areas in overlaps.groupby(["file", "layer", "under", "keeps"], sort=False)[
        "area_m2"
    ]:
        pairs = "1 pair" if len(areas) == 1 else f"{len(areas)} pairs"
        text = f"{areas.sum():,.1f} m2 of {under} were drawn under {keeps} ({pairs}); the {keeps} keeps the ground."
        findings.append(Finding("note", "drawn_twice", str(file), str(layer), "", text))
    return findings
