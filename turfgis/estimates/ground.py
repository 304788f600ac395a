"""The patches of a course as plain arrays, and what has been found out about them once."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable
from typing import TYPE_CHECKING, Any, TypeVar

import numpy as np
import pandas as pd

if TYPE_CHECKING:
    import geopandas as gpd

Made = TypeVar("Made")


class Ground:
    """
    Patches as arrays, all of shape (n,).

    Attributes
    ----------
    patch, surface, hole
        As in the table of patches.
    net_m2, perimeter_m, own_m2, bias_m2
        Net area, length of edge, and the two parts of the standard uncertainty of the area.
    surfaces, surface_code
        Surfaces there are, in the order of the table, and the place of each patch's among them.
    layers, layer_code
        What the patches of one edge bias share, and the place of each patch's among them.
    spreads
        The columns of the table of patches that say how far areas may be out.
    """

    def __init__(self, patches: gpd.GeoDataFrame):
        self.spreads = pd.DataFrame(patches[["u_own_m2", "u_bias_m2", "bias_group"]])
        self.patch = patches["patch"].to_numpy(dtype=object)
        self.surface = patches["surface"].to_numpy(dtype=object)
        self.hole = patches["hole"].to_numpy(dtype=object)
        self.net_m2, self.perimeter_m, self.own_m2, self.bias_m2 = (
            patches[name].to_numpy(dtype=float) for name in ("net_m2", "perimeter_m", "u_own_m2", "u_bias_m2")
        )
        self.surface_code, found = pd.factorize(self.surface)
        self.surfaces: tuple[str, ...] = tuple(found)
        self.layer_code, found = pd.factorize(patches["bias_group"].to_numpy(dtype=object))
        self.layers: tuple[str, ...] = tuple(found)
        self._kept: dict[Hashable, Any] = {}

    def __len__(self) -> int:
        return len(self.patch)

    def among(self, column: np.ndarray, names: Iterable[str | None]) -> np.ndarray:
        """Which patches have one of these names in a column of text. Shape (n,)."""
        found = np.zeros(len(self), dtype=bool)
        for name in names:
            found |= column == name
        return found

    def once(self, key: Hashable, make: Callable[[], Made]) -> Made:
        """What ``make`` gives, made when it is first asked for: many jobs are done on the same ground."""
        if key not in self._kept:
            self._kept[key] = make()
        return self._kept[key]


def play_order(hole: object) -> tuple:
    """
    What holes are sorted by: numbers in order, then names, then what lies on no hole.

    Examples
    --------
    >>> sorted(["10", None, "practice", "2"], key=play_order)
    ['2', '10', 'practice', None]
    """
    text = "" if hole is None else str(hole)
    return (0, int(text), "") if text.isdecimal() else (1 if text else 2, 0, text)
