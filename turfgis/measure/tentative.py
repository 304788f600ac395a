"""
What a stroke would change, before it is saved.

The same steps measure it as measure the whole course, but on the ground about the stroke only: nothing beyond changes,
so that what changes there is what changes altogether.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property

import geopandas as gpd
import numpy as np
import pandas as pd
import shapely

from turfgis.layers.drawing import Drawing
from turfgis.layers.findings import Finding
from turfgis.layers.mend import SMALLEST_M2, mend_areas
from turfgis.measure.accuracy import COVERAGE_95, area_uncertainties
from turfgis.measure.as_drawn import AsDrawn, DrawnArea
from turfgis.measure.frame import project
from turfgis.measure.nets import only_areas, share_ground
from turfgis.measure.patches import Measured, bare_strips, patch_table, with_holes, with_strips
from turfgis.measure.trees import built_tree

BESIDE_M = 1.0  # shown to the sharing of ground beyond what changes
ACCURACIES = ("accuracy_m", "edge_bias_m", "vertex_accuracy_m")


@dataclass(frozen=True)
class Figures:
    """What some areas come to together: drawn and net area, plus-minus of the net area [m2], and perimeter [m]."""

    drawn_m2: float = 0.0
    net_m2: float = 0.0
    plus_minus_m2: float = 0.0
    perimeter_m: float = 0.0


@dataclass(frozen=True)
class Tentative:
    """
    What a stroke would change.

    Attributes
    ----------
    before, after
        The areas in hand.
    others
        What other ground gains or loses, by surface. [m2]
    findings
        What mending has to say of the areas as they would be.
    """

    before: Figures
    after: Figures
    others: Mapping[str, float]
    findings: tuple[Finding, ...] = field(default_factory=tuple)


@dataclass
class _Shapes:
    """Some of the drawn shapes: key, surface, shape, and the three accuracies. [m]"""

    key: np.ndarray
    surface: np.ndarray
    shape: np.ndarray
    accuracy: np.ndarray

    def among(self, places: np.ndarray) -> _Shapes:
        return _Shapes(*(one[places] for one in (self.key, self.surface, self.shape, self.accuracy)))

    def and_(self, other: _Shapes) -> _Shapes:
        return _Shapes(
            np.concatenate([self.key, other.key]),
            np.concatenate([self.surface, other.surface]),
            np.concatenate([self.shape, other.shape]),
            np.concatenate([self.accuracy, other.accuracy]),
        )


@dataclass
class Attempts:
    """
    A measured course on which strokes are tried out; nothing on it changes.

    Attributes
    ----------
    drawing, measured, drawn
        The course as it is.
    """

    drawing: Drawing
    measured: Measured
    drawn: AsDrawn

    def figures(self, changed: Mapping[str, DrawnArea | None], in_hand: Iterable[str]) -> Tentative:
        """
        What changes if some areas are redrawn.

        Parameters
        ----------
        changed
            Key -> the area as it would be; None for one that would be gone. Keys not known yet are new areas.
        in_hand
            Keys of the areas that are looked at; of all others only what they gain and lose is told.
        """
        new, findings = self._mended(changed, with_hole=False)
        after = _shapes(new)
        gone = np.isin(self._base.key, list(changed))
        moving = np.concatenate([self._base.shape[gone], after.shape])
        if not len(moving):
            return Tentative(Figures(), Figures(), {}, tuple(findings))
        reach = BESIDE_M + 2 * max((strip.width_m for strip in self.drawing.strips), default=0.0)
        window = shapely.box(*(shapely.total_bounds(moving) + np.array([-reach, -reach, reach, reach])))
        near = self._near(window, gone)
        was = self._shared(self._base.among(near), window)
        now = self._shared(self._base.among(near[~gone[near]]).and_(after), window)
        hand = list(in_hand)
        return Tentative(_figures(*was, hand), _figures(*now, hand), _gains(was, now, hand), tuple(findings))

    def look(self, keys: Iterable[str]) -> Tentative:
        """Figures of some areas as they are."""
        wanted = [key for key in keys if key in self.drawn.areas]
        now = self.figures({key: self.drawn.areas[key] for key in wanted}, wanted)
        return replace(now, before=now.after, findings=())

    def whole(self, changed: Mapping[str, DrawnArea | None]) -> Measured:
        """
        The whole course as it would be measured with some areas redrawn; nothing is read.

        Parameters
        ----------
        changed
            As for :meth:`figures`.
        """
        base = self.measured.drawn.iloc[: self.measured.by_hand]
        new, findings = self._mended(changed)
        old = {key: at for at, key in enumerate(self._base.key)}
        places = np.array([old.get(key, len(base)) for key in _keys(new)], dtype=float)
        kept = np.flatnonzero(~np.isin(self._base.key, list(changed)))
        order = np.argsort(np.concatenate([kept, places]), kind="stable")
        table = self._table(pd.concat([base.iloc[kept], new], ignore_index=True).iloc[order])
        by_hand = len(table)
        table, nowhere = with_strips(self.drawing, table)
        ground = share_ground(table.geometry.to_numpy(), self._rank(table["surface"].to_numpy()))
        patches, covered, said = patch_table(self.drawing, table, ground.net, self.measured.frame)
        return replace(
            self.measured,
            patches=patches,
            covered=covered,
            drawn=table,
            ground=ground,
            by_hand=by_hand,
            findings=(*findings, *nowhere, *said),
        )

    def __post_init__(self) -> None:
        """Made before several threads ask it."""
        self._tree  # noqa: B018

    @cached_property
    def _base(self) -> _Shapes:
        """All that somebody drew, mended; the strips along its edges are made as they are needed."""
        return _shapes(self.measured.drawn.iloc[: self.measured.by_hand])

    @cached_property
    def _tree(self) -> shapely.STRtree:
        return built_tree(self._base.shape)

    def _mended(
        self, changed: Mapping[str, DrawnArea | None], *, with_hole: bool = True
    ) -> tuple[gpd.GeoDataFrame, list[Finding]]:
        """The changed areas, mended, with their holes where these are asked for."""
        rows = _rows(self.drawing, self.drawn, [area for area in changed.values() if area is not None])
        if rows.empty:
            return self._table(self.measured.drawn.iloc[:0]), []
        shapes = rows.geometry.to_numpy()
        findings: list[Finding] = []
        if not (shapely.is_valid(shapes).all() and (shapely.area(shapes) > 10 * SMALLEST_M2).all()):
            rows, findings = mend_areas(rows)
        if with_hole and pd.isna(rows["hole"].to_numpy()).any():
            rows, _ = with_holes(self._table(rows), self.measured.hole_lines)
        return rows, findings

    def _table(self, rows: pd.DataFrame) -> gpd.GeoDataFrame:
        return gpd.GeoDataFrame(rows.reset_index(drop=True), geometry="geometry", crs=self.measured.patches.crs)

    def _rank(self, surface: np.ndarray) -> np.ndarray:
        place = {name: at for at, name in enumerate(self.drawing.order)}
        return np.array([place[name] for name in surface], dtype=int)

    def _near(self, window: shapely.Polygon, gone: np.ndarray) -> np.ndarray:
        """Places of all that reaches into the window, and of what strips there depend on."""
        near = gone.copy()
        near[self._tree.query(window, predicate="intersects")] = True
        for strip in self.drawing.strips:
            kin = np.isin(self._base.surface, (strip.around, strip.surface))
            wide = shapely.buffer(self._base.shape[near & kin], 2 * strip.width_m, quad_segs=2)
            beside = np.zeros(len(near), dtype=bool)
            beside[self._tree.query(wide, predicate="intersects")[1]] = True
            near |= beside & kin
        return np.flatnonzero(near)

    def _shared(self, some: _Shapes, window: shapely.Polygon) -> tuple[_Shapes, np.ndarray]:
        """Some of the drawn areas with their strips, as far as they lie in the window, and the net shape of each."""
        for strip in self.drawing.strips:
            bare, made = bare_strips(strip, some.surface, some.shape)
            around = some.among(bare)
            keys = np.array([f"{key}, strip" for key in around.key], dtype=object)
            surface = np.full(len(bare), strip.surface, dtype=object)
            some = some.and_(_Shapes(keys, surface, made, around.accuracy))
        shapes = some.shape.copy()
        out = np.flatnonzero(~shapely.contains_properly(window, shapes))
        shapes[out] = only_areas(shapely.intersection(shapes[out], window))
        shapes[shapely.get_dimensions(shapes) < 2] = shapely.Polygon()
        return replace(some, shape=shapes), share_ground(shapes, self._rank(some.surface)).net


def _shapes(rows: pd.DataFrame) -> _Shapes:
    accuracy = np.column_stack([rows[name].to_numpy(dtype=float) for name in ACCURACIES])
    return _Shapes(_keys(rows), rows["surface"].to_numpy(dtype=object), rows["geometry"].to_numpy(), accuracy)


def _keys(rows: pd.DataFrame) -> np.ndarray:
    named = zip(
        rows["file"], rows["layer"], rows["feature"], rows["key"] if "key" in rows else rows["file"], strict=True
    )
    return np.array(
        [f"{file} | {layer} | {feature}" if feature else key for file, layer, feature, key in named], object
    )


def _rows(drawing: Drawing, drawn: AsDrawn, areas: list[DrawnArea]) -> gpd.GeoDataFrame:
    """Areas as the table of all that was drawn holds them; not mended yet."""
    rows = []
    for area in areas:
        layer = drawn.layers[area.layer]
        note, crs = layer.note, layer.drawn.crs
        rows.append(
            {
                "key": area.key,
                "file": layer.drawn.file,
                "layer": layer.drawn.layer,
                "feature": area.feature,
                "surface": area.surface,
                "hole": area.hole,
                "name": area.name,
                "accuracy_m": drawing.accuracy_m if note.accuracy_m is None else note.accuracy_m,
                "edge_bias_m": drawing.edge_bias_m if note.edge_bias_m is None else note.edge_bias_m,
                "vertex_accuracy_m": np.nan if note.vertex_accuracy_m is None else note.vertex_accuracy_m,
                "surveyed": note.surveyed,
                "datum": (crs.geodetic_crs or crs).name,
                "geometry": project(shapely.force_2d(np.array([area.raw], dtype=object)), crs, drawn.frame)[0],
            }
        )
    columns = None if rows else ["key", "file", "layer", "feature", "surface", "hole", "geometry"]
    return gpd.GeoDataFrame(rows, columns=columns, geometry="geometry", crs=drawn.frame)


def _figures(shapes: _Shapes, net: np.ndarray, hand: list[str]) -> Figures:
    mine = np.isin(shapes.key, hand)
    if not mine.any():
        return Figures()
    own, bias = area_uncertainties(net[mine], *shapes.accuracy[mine].T)
    layers = [key.rpartition(" | ")[0] for key in shapes.key[mine]]
    together = [bias[[one == layer for one in layers]].sum() for layer in dict.fromkeys(layers)]
    return Figures(
        drawn_m2=float(shapely.area(shapes.shape[mine]).sum()),
        net_m2=float(shapely.area(net[mine]).sum()),
        plus_minus_m2=COVERAGE_95 * float(np.sqrt((own**2).sum() + np.square(together).sum())),
        perimeter_m=float(shapely.length(net[mine]).sum()),
    )


def _gains(was: tuple[_Shapes, np.ndarray], now: tuple[_Shapes, np.ndarray], hand: list[str]) -> dict[str, float]:
    gains: dict[str, float] = {}
    for (shapes, net), sign in ((was, -1.0), (now, 1.0)):
        other = ~np.isin(shapes.key, hand)
        for surface, area in zip(shapes.surface[other], shapely.area(net[other]), strict=True):
            gains[surface] = gains.get(surface, 0.0) + sign * float(area)
    return gains
