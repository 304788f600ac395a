"""
What changed on the ground between two surveys: which patch became which, what it lost and won, and where its edge went.

Both surveys are measured as they are and moved into the frame of the newer one. A survey errs by an offset of the edge
of each patch (see :mod:`turfgis.measure.accuracy`), independently of the other survey, so that the standard uncertainty
of a difference is that of both in squares. What lies within 1.96 of these is no change that can be told.
"""

from dataclasses import dataclass

import geopandas as gpd
import numpy as np
import pandas as pd
import pyproj
import shapely

from turfgis.errors import LayerError
from turfgis.formulas.drift import difference_uncertainty, mean_retreat
from turfgis.layers.drawing import Drawing
from turfgis.measure.accuracy import COVERAGE_95, area_covariance
from turfgis.measure.frame import project
from turfgis.measure.matching import Matched, group_shapes, group_words, match_patches
from turfgis.measure.nets import only_areas
from turfgis.measure.patches import Measured, only_surfaces
from turfgis.measure.retreat import edge_band, edge_retreat, moved_edges, win_back

ROUNDING_M2 = 1e-3  # moving a drawing from one reference system to another can change an area by so much
BY_CHANCE = 0.05  # share of an edge that errors alone put beyond 1.96 standard uncertainties
FEW_PATCHES = 5  # fewer do not show whether a whole survey is shifted
SUMMED = ("old_m2", "new_m2", "gained_m2", "lost_m2", "net_m2", "lost_edge_m", "won_edge_m", "win_back_m2")


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


@dataclass(frozen=True)
class Drift:
    """
    The difference of two surveys.

    Attributes
    ----------
    changes
        One row for each patch, or for each group of patches that became each other: see :func:`measure_drift`.
    totals
        One row a surface over the patches that both surveys have: ``surface``, ``patches``, ``old_m2``, ``new_m2``,
        ``gained_m2``, ``lost_m2``, ``net_m2``, ``plus_minus_m2``, ``changed``, ``lost_edge_m``, ``won_edge_m`` and
        ``win_back_m2``.
    was, now
        Shape of each row of ``changes`` in the older and in the newer survey, in the frame; empty where it has none.
    lost, gained, strips
        Ground lost, ground gained, and what of the lost ground is to be won back; likewise.
    moved_in, moved_out
        Old edge that lies further in, or out, now than the accuracy of both surveys explains; likewise.
    frame
        The frame of the newer survey.
    offset_m, doubt_m
        How far east and north the newer survey lies of the older one in the middle of all patches, and how far that can
        be for no other reason than the accuracy of both. [m]
    edge_sd_m
        Least and largest standard deviation of an edge in the older survey, and in the newer one. [m]
    left_out
        Surfaces that only one of the surveys has.
    datums
        Datums of the older and of the newer survey, where they differ.
    """

    changes: pd.DataFrame
    totals: pd.DataFrame
    was: np.ndarray
    now: np.ndarray
    lost: np.ndarray
    gained: np.ndarray
    strips: np.ndarray
    moved_in: np.ndarray
    moved_out: np.ndarray
    frame: pyproj.CRS
    offset_m: tuple[float, float] = (0.0, 0.0)
    doubt_m: float = 0.0
    edge_sd_m: tuple[tuple[float, float], ...] = ()
    left_out: tuple[str, ...] = ()
    datums: tuple[str, ...] = ()


def measure_drift(old: Survey, new: Survey) -> Drift:
    """
    Compare two surveys patch by patch.

    Parameters
    ----------
    old, new
        The surveys. Surfaces that only one of them has are left out, and take no ground from the others.

    Returns
    -------
    The difference. Its ``changes`` hold

    - ``patch``, ``old_patch``, ``surface``, ``hole``, ``name``, ``old_surveyed``, ``new_surveyed``, and ``match``:
      ``same``, ``split``, ``merged``, ``regrouped``, ``gone`` or ``new``;
    - ``old_m2``, ``new_m2``, ``gained_m2``, ``lost_m2``, ``net_m2``, each with its ``plus_minus`` (95 %), that of
      ``net_m2`` being ``plus_minus_m2``, and ``changed``: whether the net change is beyond it;
    - ``retreat_m`` and ``retreat_plus_minus_m``: net change over mean perimeter, above zero where the edge went in;
    - ``edge_retreat_m``, ``edge_retreat_p95_m``, ``edge_retreat_most_m``: of points along the old edge;
    - ``band_m``, what the accuracy of both surveys explains; ``old_edge_m`` and ``mean_edge_m``; ``lost_edge_m`` and
      ``won_edge_m`` of the old edge that lie beyond the band; ``moved``: whether that is more of the edge than errors
      alone would put there; and ``win_back_m2``;
    - ``u_old_m2`` and ``u_new_m2``, the standard uncertainty of each area.

    What is not known is nan or None; a patch that only one survey has carries no figures about its edge.

    Raises
    ------
    LayerError
        The surveys have no surface in common, or lie apart.
    """
    before, after, left_out = _common(old, new)
    frame = new.measured.frame
    if not old.measured.frame.equals(frame):
        moved = _clean(project(before.geometry.to_numpy(), old.measured.frame, frame))
        before = before.set_geometry(moved, crs=frame)
    matched = match_patches(before, after)
    if not matched.both.any():
        raise LayerError(_apart(old, new, before, after))
    return _difference(before, after, matched, left_out)


def _common(old: Survey, new: Survey) -> tuple[gpd.GeoDataFrame, gpd.GeoDataFrame, tuple[str, ...]]:
    """Patches of the surfaces that both have, and the names of the others."""
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


def _datums(before: gpd.GeoDataFrame, after: gpd.GeoDataFrame) -> tuple[str, ...]:
    """Datums of both where they differ."""
    was, now = (sorted(set(side["datum"])) for side in (before, after))
    return () if was == now else (" and ".join(was), " and ".join(now))


def _span(patches: gpd.GeoDataFrame) -> tuple[float, float]:
    sd = patches["edge_sd_m"].to_numpy(dtype=float)
    return float(sd.min()), float(sd.max())


def _clean(shapes: np.ndarray) -> np.ndarray:
    """Shapes that are valid in another frame too."""
    broken = ~shapely.is_valid(shapes)
    shapes[broken] = only_areas(shapely.make_valid(shapes[broken]))
    return shapes


def _apart(old: Survey, new: Survey, before: gpd.GeoDataFrame, after: gpd.GeoDataFrame) -> str:
    """Why nothing matches."""
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


def _difference(
    before: gpd.GeoDataFrame,
    after: gpd.GeoDataFrame,
    matched: Matched,
    left_out: tuple[str, ...],
) -> Drift:
    count, both = len(matched.kind), matched.both
    was = group_shapes(before.geometry.to_numpy(), matched.old, count)
    now = group_shapes(after.geometry.to_numpy(), matched.new, count)
    lost, gained = only_areas(shapely.difference(was, now)), only_areas(shapely.difference(now, was))
    table = group_words(matched, before, after)
    table["old_m2"], table["new_m2"] = shapely.area(was), shapely.area(now)
    table["gained_m2"], table["lost_m2"] = shapely.area(gained), shapely.area(lost)
    table["net_m2"] = table["new_m2"] - table["old_m2"]
    members = [np.eye(count)[side] for side in (matched.old, matched.new)]
    table["u_old_m2"], table["u_new_m2"] = (_sd(*one) for one in zip((before, after), members, strict=True))
    table["plus_minus_m2"] = COVERAGE_95 * difference_uncertainty(table["u_old_m2"], table["u_new_m2"])
    table["changed"] = _beyond(table)
    sd = difference_uncertainty(_widest(before, matched.old, count), _widest(after, matched.new, count))
    edges = _edges(was[both], now[both], lost[both], gained[both], sd[both])
    for name, figures in edges.figures.items():
        table.loc[both, name] = figures
    table["retreat_plus_minus_m"] = table["plus_minus_m2"] / table["mean_edge_m"]
    table["moved"] = (table["lost_edge_m"] + table["won_edge_m"]) > BY_CHANCE * table["old_edge_m"]
    return Drift(
        changes=table,
        totals=_totals(table, before, after, matched),
        was=was,
        now=now,
        lost=lost,
        gained=gained,
        strips=_placed(edges.strips, both, shapely.Polygon()),
        moved_in=_placed(edges.moved_in, both, shapely.LineString()),
        moved_out=_placed(edges.moved_out, both, shapely.LineString()),
        frame=pyproj.CRS(after.crs),
        offset_m=_offset(was[matched.kind == "same"], now[matched.kind == "same"]),
        doubt_m=float(np.median(edge_band(sd[both]))) / 2,
        edge_sd_m=(_span(before), _span(after)),
        left_out=left_out,
        datums=_datums(before, after),
    )


@dataclass(frozen=True)
class _Edges:
    """What the edges of the patches in both surveys tell."""

    figures: dict[str, np.ndarray]
    moved_in: np.ndarray
    moved_out: np.ndarray
    strips: np.ndarray


def _edges(was: np.ndarray, now: np.ndarray, lost: np.ndarray, gained: np.ndarray, sd: np.ndarray) -> _Edges:
    band, edge, count = edge_band(sd), shapely.length(was), len(was)
    points = edge_retreat(was, now, band)
    # A band around every edge takes most of the time; where nothing has gone half as far it has nothing to tell.
    far = np.maximum(points["edge_retreat_most_m"], -points.pop("edge_retreat_least_m")) > band / 2
    far |= shapely.area(lost) + shapely.area(gained) > band**2
    moved_in, moved_out = (np.full(count, shapely.LineString(), dtype=object) for _ in range(2))
    strips = np.full(count, shapely.Polygon(), dtype=object)
    moved_in[far], moved_out[far] = moved_edges(was[far], now[far], band[far])
    strips[far] = win_back(lost[far], now[far], band[far])
    figures = {
        "lost_plus_minus_m2": COVERAGE_95 * sd * edge * points.pop("may_in"),
        "gained_plus_minus_m2": COVERAGE_95 * sd * edge * points.pop("may_out"),
        "retreat_m": mean_retreat(shapely.area(was), shapely.area(now), edge, shapely.length(now)),
        **points,
        "band_m": band,
        "old_edge_m": edge,
        "mean_edge_m": (edge + shapely.length(now)) / 2,
        "lost_edge_m": shapely.length(moved_in),
        "won_edge_m": shapely.length(moved_out),
        "win_back_m2": shapely.area(strips),
    }
    return _Edges(figures, moved_in, moved_out, strips)


def _offset(was: np.ndarray, now: np.ndarray) -> tuple[float, float]:
    """The median step from the old to the new middle of a patch; few patches tell nothing."""
    if len(was) < FEW_PATCHES:
        return 0.0, 0.0
    step = shapely.get_coordinates(shapely.centroid(now)) - shapely.get_coordinates(shapely.centroid(was))
    east, north = np.median(step, axis=0)
    return float(east), float(north)


def _placed(shapes: np.ndarray, places: np.ndarray, empty: object) -> np.ndarray:
    """Shapes of some rows in a column of all."""
    column = np.full(len(places), empty, dtype=object)
    column[places] = shapes
    return column


def _widest(patches: gpd.GeoDataFrame, group: np.ndarray, count: int) -> np.ndarray:
    """The least accurate edge of each group. [m]"""
    sd = np.zeros(count)
    np.maximum.at(sd, group, patches["edge_sd_m"].to_numpy())
    return sd


def _sd(patches: gpd.GeoDataFrame, members: np.ndarray) -> np.ndarray:
    """Standard uncertainties of sums of areas. [m2] Members have shape (patches, sums)."""
    return np.sqrt(np.diag(area_covariance(patches, members.T)))


def _beyond(table: pd.DataFrame) -> np.ndarray:
    """Which net changes are changes."""
    return (table["net_m2"].abs() > np.maximum(table["plus_minus_m2"], ROUNDING_M2)).to_numpy()


def _totals(table: pd.DataFrame, before: gpd.GeoDataFrame, after: gpd.GeoDataFrame, matched: Matched) -> pd.DataFrame:
    """Sums by surface over what both surveys have."""
    rows = table.loc[matched.both]
    surfaces = list(dict.fromkeys(rows["surface"]))
    of = np.array([table["surface"] == surface for surface in surfaces]).T & matched.both[:, None]
    sums = rows.groupby("surface", sort=False)[list(SUMMED)].sum()
    sums.insert(0, "patches", rows.groupby("surface", sort=False).size())
    u_old, u_new = (_sd(side, of[group].astype(float)) for side, group in ((before, matched.old), (after, matched.new)))
    sums["plus_minus_m2"] = COVERAGE_95 * difference_uncertainty(u_old, u_new)
    sums["changed"] = _beyond(sums)
    return sums.reset_index()
