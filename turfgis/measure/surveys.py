"""Two surveys made alike, so that they can be compared: the same surfaces in one frame."""

from dataclasses import dataclass

import geopandas as gpd
import numpy as np
import shapely

from turfgis.errors import LayerError
from turfgis.layers.drawing import Drawing
from turfgis.measure.frame import project
from turfgis.measure.nets import only_areas
from turfgis.measure.patches import Measured, only_surfaces


@dataclass(frozen=True)
class Survey:
    """
    One survey.

    Attributes
    ----------
    title
        What it is called in messages: its file or folder, and its day.
    drawing, measured
        What was measured, and its outcome.
    """

    title: str
    drawing: Drawing
    measured: Measured


def common_ground(old: Survey, new: Survey) -> tuple[gpd.GeoDataFrame, gpd.GeoDataFrame, tuple[str, ...]]:
    """
    Two surveys made alike: the same surfaces, one frame.

    Parameters
    ----------
    old, new
        The surveys.

    Returns
    -------
    before, after, left_out
        Patches of each in the frame of the newer one, with ``edge_sd_m`` and ``datum``, and the surfaces that only one
        of them has.

    Raises
    ------
    LayerError
        They have no surface in common.
    """
    there = [list(dict.fromkeys(one.measured.drawn["surface"])) for one in (old, new)]
    both = [surface for surface in there[1] if surface in there[0]]
    if not both:
        raise LayerError(
            f"{old.title} and {new.title} have no surface in common: {', '.join(there[0])} in the one, "
            f"{', '.join(there[1])} in the other. Say what is drawn with surface = ... below its [[layer]]"
        )
    before, after = (
        _with_drawn(only_surfaces(one.drawing, one.measured, both), one.measured.drawn) for one in (old, new)
    )
    frame = new.measured.frame
    if not old.measured.frame.equals(frame):
        moved = _clean(project(before.geometry.to_numpy(), old.measured.frame, frame))
        before = before.set_geometry(moved, crs=frame)
    only_one = [*there[0], *there[1]]
    return before, after, tuple(dict.fromkeys(surface for surface in only_one if surface not in both))


def _with_drawn(patches: gpd.GeoDataFrame, drawn: gpd.GeoDataFrame) -> gpd.GeoDataFrame:
    """Patches with their ``datum``, and how far a point of their edge may lie in or out: ``edge_sd_m``."""
    sources = (drawn["file"] + " | " + drawn["layer"] + " | " + drawn["feature"].astype(str)).tolist()
    place = {source: at for at, source in reversed(list(enumerate(sources)))}
    own, vertex, bias = (
        drawn[name].to_numpy(dtype=float) for name in ("accuracy_m", "vertex_accuracy_m", "edge_bias_m")
    )
    sd = np.hypot(np.where(np.isnan(vertex), own, vertex), bias)
    at = np.array([place[source] for source in patches["source"]], dtype=int)
    told = patches.assign(edge_sd_m=sd[at], datum=drawn["datum"].to_numpy()[at])
    return gpd.GeoDataFrame(told.reset_index(drop=True), geometry="geometry", crs=patches.crs)


def _clean(shapes: np.ndarray) -> np.ndarray:
    """Shapes that are valid in another frame too."""
    broken = ~shapely.is_valid(shapes)
    shapes[broken] = only_areas(shapely.make_valid(shapes[broken]))
    return shapes


def why_apart(old: Survey, new: Survey, before: gpd.GeoDataFrame, after: gpd.GeoDataFrame) -> str:
    """
    Why no patch of one survey matches one of the other.

    Parameters
    ----------
    old, new, before, after
        The surveys, and their patches in one frame.
    """
    was, now = before.total_bounds, after.total_bounds
    gap = float(np.hypot(*np.maximum(0.0, np.maximum(now[:2] - was[2:], was[:2] - now[2:]))))
    if gap > 0:
        far = f"{gap / 1000:,.0f} km apart" if gap >= 1000 else f"{gap:,.0f} m apart"
        return (
            f"{old.title} and {new.title} are surveys of different places, {far}; compare two surveys of one course, "
            "and check the reference system of both"
        )
    return (
        f"{old.title} and {new.title} lie in the same place, but no patch of the one covers a patch of the same "
        "surface in the other; check the reference system of both, and how they name their surfaces"
    )
