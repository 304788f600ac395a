"""What the heights of the ground say, in words: beside areas, and where slopes are printed."""

import math
from typing import TYPE_CHECKING

from turfgis.units import shown

if TYPE_CHECKING:
    from turfgis.measure.relief import Relief


def relief_note(relief: "Relief", units: str = "metric") -> str:
    """
    Where true areas and slopes come from, and how much of them could be noise.

    Parameters
    ----------
    relief
        The ground of the patches.
    units
        ``metric`` or ``us``.
    """
    table = relief.table.dropna(subset=["true_m2"])
    if not relief.known:
        return "The heights give no slopes and no true areas; 'turfgis check' says why."
    width, area = shown("width", units), shown("area", units)
    said, smoothing = relief.elevation, relief.elevation.smoothing_m
    averaged = f", averaged over {width.text(smoothing)}" if smoothing else ""
    some = "" if len(table) == len(relief.table) else f" of the {len(table)} patches whose heights are known"
    net, true, noise = (math.fsum(table[name].tolist()) for name in ("net_m2", "true_m2", "true_noise_m2"))
    more = max(true - net, 0.0)  # a hair below on level ground
    words = (
        f"True area: along the slope, from {said.label} ({width.text(relief.cell_m)} cells{averaged}). "
        f"It is {area.text(more)} ({more / net:.2%}) more than the net area{some}"
    )
    if math.isnan(relief.noise_m):
        return f"{words}; how much of that is noise of the heights is not known."
    how = "as given" if said.accuracy_m is not None else "judged by how they jump from cell to cell"
    return (
        f"{words}; up to {area.text(min(noise, more))} of that could be noise of the heights "
        f"({relief.noise_m * 100:.1f} cm each, {how})."
    )
