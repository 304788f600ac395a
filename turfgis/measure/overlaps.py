"""Ground that was drawn more than once, and who keeps it."""

import pandas as pd

from turfgis.layers.findings import Finding, counted
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
    drawn, ground = measured.drawn, measured.ground
    worth_a_word = ground.twice_m2 > TRIFLE_M2
    below, above = ground.below[worth_a_word], ground.above[worth_a_word]
    return pd.DataFrame(
        {
            "keeps": drawn["surface"].to_numpy()[above],
            "under": drawn["surface"].to_numpy()[below],
            "file": drawn["file"].to_numpy()[below],
            "layer": drawn["layer"].to_numpy()[below],
            "area_m2": ground.twice_m2[worth_a_word],
        }
    )


def by_surface(overlaps: pd.DataFrame) -> pd.DataFrame:
    """Overlaps summed by pair of surfaces: ``keeps``, ``under``, ``pairs``, ``area_m2``, the largest first."""
    grouped = overlaps.groupby(["keeps", "under"], sort=False)["area_m2"]
    table = pd.DataFrame({"pairs": grouped.size(), "area_m2": grouped.sum()}).reset_index()
    return table.sort_values("area_m2", ascending=False, ignore_index=True)


def overlap_findings(overlaps: pd.DataFrame) -> list[Finding]:
    """One note for every layer and pair of surfaces, which says how much was drawn twice and who keeps it."""
    findings = []
    by_layer = overlaps.groupby(["file", "layer", "under", "keeps"], sort=False)["area_m2"].agg(["size", "sum"])
    for row in by_layer.reset_index().to_dict("records"):
        text = (
            f"{row['sum']:,.1f} m2 of {row['under']} lie under {row['keeps']} ({counted(row['size'], 'pair')}); "
            f"the {row['keeps']} keeps the ground."
        )
        findings.append(Finding("note", "drawn_twice", row["file"], row["layer"], "", text))
    return findings


def same_surface_pairs(measured: Measured) -> list[tuple[str, str, float]]:
    """
    Pairs of shapes of one surface that were drawn over each other.

    Returns
    -------
    For each the source of the one that lost the ground, of the one that keeps it, and their common ground. [m2]
    """
    drawn, ground = measured.drawn.iloc[: measured.by_hand], measured.ground
    source = (drawn["file"] + " | " + drawn["layer"] + " | " + drawn["feature"].astype(str)).tolist()
    surface = drawn["surface"].tolist()
    return [
        (source[below], source[above], twice)
        for below, above, twice in zip(
            ground.below.tolist(), ground.above.tolist(), ground.twice_m2.tolist(), strict=True
        )
        if twice > TRIFLE_M2 and max(below, above) < measured.by_hand and surface[below] == surface[above]
    ]
