"""Which patch of an older survey became which of a newer one, told by the ground they share."""

from dataclasses import dataclass
from typing import Any

import geopandas as gpd
import numpy as np
import pandas as pd
import shapely

from turfgis.measure.nets import grouped, joined

MOST_SHARE = 0.5  # of the smaller one that two patches of one surface share where one became the other
MOVED_SHARE = 0.1  # of the smaller one, where neither has a better partner: a patch that was moved
ONE_SIDED = ("gone", "new")  # what a group is that only one of the surveys has


@dataclass(frozen=True)
class Matched:
    """
    Patches of two surveys in groups that became each other.

    Attributes
    ----------
    old, new
        Group of each patch, numbered from 0 in the order of the newer survey; what is gone stands last.
    kind
        Of each group: ``same`` (one became one), ``split``, ``merged``, ``regrouped`` (several became several),
        ``gone`` (only in the older survey) or ``new`` (only in the newer one).
    """

    old: np.ndarray
    new: np.ndarray
    kind: np.ndarray

    @property
    def both(self) -> np.ndarray:
        """Which groups are in both surveys."""
        return ~np.isin(self.kind, ONE_SIDED)


def match_patches(old: gpd.GeoDataFrame, new: gpd.GeoDataFrame) -> Matched:
    """
    Match the patches of two surveys.

    Parameters
    ----------
    old, new
        Patches with ``surface`` and shapes, in one frame.

    Returns
    -------
    Who became whom. Two patches of one surface belong together where they share more than half of the smaller one; a
    patch without such a partner belongs to the one it shares most with, if neither has another, and a tenth is enough.
    Names and hole numbers are not asked: they change more often than the ground.

    Examples
    --------
    >>> was = gpd.GeoDataFrame({"surface": ["tee"]}, geometry=[shapely.box(0, 0, 9, 2)])
    >>> now = gpd.GeoDataFrame({"surface": ["tee", "tee"]}, geometry=[shapely.box(0, 0, 4, 2), shapely.box(5, 0, 9, 2)])
    >>> match_patches(was, now).kind.tolist()
    ['split']
    """
    one, other, shared = _sharing(old, new)
    smaller = np.minimum(shapely.area(old.geometry.to_numpy())[one], shapely.area(new.geometry.to_numpy())[other])
    linked = shared > MOST_SHARE * smaller
    free = ~np.isin(one, one[linked]) & ~np.isin(other, other[linked]) & (shared > MOVED_SHARE * smaller)
    linked |= free & _largest(one, shared, free) & _largest(other, shared, free)
    a, b = other[linked], one[linked] + len(new)  # places of both surveys in one row, the newer one first
    group = grouped(len(new) + len(old), np.append(a, b), np.append(b, a))
    group = np.unique(group, return_inverse=True)[1]
    count = group.max(initial=-1) + 1
    after, before = group[: len(new)], group[len(new) :]
    return Matched(before, after, _kinds(np.bincount(before, minlength=count), np.bincount(after, minlength=count)))


def _sharing(old: gpd.GeoDataFrame, new: gpd.GeoDataFrame) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Pairs of an old and a new patch of the same surface that have ground in common, and how much."""
    was, now = old.geometry.to_numpy(), new.geometry.to_numpy()
    one, other = shapely.STRtree(now).query(was, predicate="intersects")
    alike = old["surface"].to_numpy()[one] == new["surface"].to_numpy()[other]
    one, other = one[alike], other[alike]
    shared = shapely.area(shapely.intersection(was[one], now[other]))
    return one[shared > 0], other[shared > 0], shared[shared > 0]


def _largest(place: np.ndarray, shared: np.ndarray, among: np.ndarray) -> np.ndarray:
    """Which pairs are the largest of their place, of those that may be."""
    most = np.zeros(place.max(initial=-1) + 1)
    np.maximum.at(most, place[among], shared[among])
    return shared >= most[place]


def _kinds(before: np.ndarray, after: np.ndarray) -> np.ndarray:
    cases = [after == 0, before == 0, (before == 1) & (after == 1), before == 1, after == 1]
    return np.select(cases, ["gone", "new", "same", "split", "merged"], default="regrouped").astype(object)


def group_shapes(shapes: np.ndarray, group: np.ndarray, count: int) -> np.ndarray:
    """The shape of each group; empty where it has no patch."""
    whole = np.full(count, shapely.Polygon(), dtype=object)
    places, union = joined(shapes, group, np.arange(len(shapes)))
    whole[places] = union
    return whole


def group_words(matched: Matched, old: gpd.GeoDataFrame, new: gpd.GeoDataFrame) -> pd.DataFrame:
    """
    What each group is called, and when it was surveyed.

    Hole and name are those of the largest patch, of the newer survey where it has one. The last day of survey counts.
    """
    now, was = (_words(side, group, len(matched.kind)) for side, group in ((new, matched.new), (old, matched.old)))
    rows = []
    for kind, after, before in zip(matched.kind, now, was, strict=True):
        named = after or before
        rows.append(
            {
                "patch": " + ".join(named["patches"]),
                "old_patch": " + ".join(before["patches"]) if before else None,
                **{name: named[name] for name in ("surface", "hole", "name")},
                "match": kind,
                "old_surveyed": max(before["days"], default=None) if before else None,
                "new_surveyed": max(after["days"], default=None) if after else None,
            }
        )
    return pd.DataFrame(rows, dtype=object)


def _words(patches: gpd.GeoDataFrame, group: np.ndarray, count: int) -> list[dict[str, Any]]:
    """Names and days of the patches in each group, the largest patch first; nothing where it has none."""
    words: list[dict[str, Any]] = [{} for _ in range(count)]
    rows = pd.DataFrame(patches.drop(columns="geometry")).to_dict("records")
    for at in np.argsort(-patches["net_m2"].to_numpy(dtype=float), kind="stable"):
        row = rows[at]
        said = words[group[at]] or {"surface": row["surface"], "hole": row["hole"], "name": row["name"]}
        said["patches"] = [*said.get("patches", []), row["patch"]]
        said["days"] = [*said.get("days", []), *([row["surveyed"]] if isinstance(row["surveyed"], str) else [])]
        words[group[at]] = said
    return words
