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
from turfgis.measure.accuracy import COVERAGE_95
from turfgis.measure.matching import Matched, group_shapes, group_words, match_patches
from turfgis.measure.nets import only_areas
from turfgis.measure.retreat import edge_band, edge_retreat, moved_edges, win_back
from turfgis.measure.surveys import Survey, common_ground, why_apart

ROUNDING_M2 = 1e-3  # moving a drawing from one reference system to another can change an area by so much
BY_CHANCE = 0.05  # share of an edge that errors alone put beyond 1.96 standard uncertainties
FEW_PATCHES = 5  # fewer do not show whether a whole survey is shifted
SUMMED = ("old_m2", "new_m2", "gained_m2", "lost_m2", "net_m2", "lost_edge_m", "won_edge_m", "win_back_m2")


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
    before, after, left_out = common_ground(old, new)
    matched = match_patches(before, after)
    if not matched.both.any():
        raise LayerError(why_apart(old, new, before, after))
    return _difference(before, after, matched, left_out)


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
    table["u_old_m2"], table["u_new_m2"] = _sd(before, matched.old, count), _sd(after, matched.new, count)
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


def _datums(before: gpd.GeoDataFrame, after: gpd.GeoDataFrame) -> tuple[str, ...]:
    """Datums of both where they differ."""
    was, now = (sorted(set(side["datum"])) for side in (before, after))
    return () if was == now else (" and ".join(was), " and ".join(now))


def _span(patches: gpd.GeoDataFrame) -> tuple[float, float]:
    sd = patches["edge_sd_m"].to_numpy(dtype=float)
    return float(sd.min()), float(sd.max())


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


def _sd(patches: gpd.GeoDataFrame, group: np.ndarray, count: int) -> np.ndarray:
    """
    Standard uncertainty of the area of each group. [m2] A patch whose group is below zero is in none.

    What is each patch's own adds in squares; what a layer shares adds up first (GUM 5.1.2 and 5.2.2).
    """
    own, bias = (patches[name].to_numpy(dtype=float) for name in ("u_own_m2", "u_bias_m2"))
    layer = pd.factorize(patches["bias_group"])[0]
    square, shared = np.zeros(count), np.zeros((count, layer.max(initial=-1) + 1))
    within = group >= 0
    np.add.at(square, group[within], own[within] ** 2)
    np.add.at(shared, (group[within], layer[within]), bias[within])
    return np.sqrt(square + (shared**2).sum(axis=1))


def _beyond(table: pd.DataFrame) -> np.ndarray:
    """Which net changes are changes."""
    return (table["net_m2"].abs() > np.maximum(table["plus_minus_m2"], ROUNDING_M2)).to_numpy()


def _totals(table: pd.DataFrame, before: gpd.GeoDataFrame, after: gpd.GeoDataFrame, matched: Matched) -> pd.DataFrame:
    """Sums by surface over what both surveys have."""
    rows = table.loc[matched.both]
    place, surfaces = pd.factorize(table["surface"].where(matched.both))
    sums = rows.groupby("surface", sort=False)[list(SUMMED)].sum()
    sums.insert(0, "patches", rows.groupby("surface", sort=False).size())
    sides = ((before, matched.old), (after, matched.new))
    u_old, u_new = (_sd(side, place[group], len(surfaces)) for side, group in sides)
    sums["plus_minus_m2"] = COVERAGE_95 * difference_uncertainty(u_old, u_new)
    sums["changed"] = _beyond(sums)
    return sums.reset_index()
