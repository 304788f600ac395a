"""
Strokes of a pen: what each of them makes of the areas it is done to, neighbours included.

Nothing is saved here: a stroke tells how areas would be afterwards, and whoever holds the file saves them or not.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
import shapely

from turfgis.errors import InputError
from turfgis.measure.as_drawn import SWAPPED, WHY_NOT, AsDrawn, DrawnArea
from turfgis.measure.editing import (
    Corner,
    bordered,
    cut_out,
    inserted_vertex,
    merged,
    moved_vertex,
    parted,
    snapped,
    strip_along,
    without_vertex,
)
from turfgis.measure.rings import checked, nearest_edges, rings_of

NEW = "new "  # begins the key of an area that is not saved yet
LEAST_REACH_M, MOST_REACH_M = 1e-3, 20.0  # within which a hand's place may be drawn up to a neighbour
MOST_CORNERS = 20_000  # of one area; a walk of five hours has as many


@dataclass(frozen=True)
class Outcome:
    """
    How areas would be after a stroke.

    Attributes
    ----------
    changed
        Key -> the area as it would be; None where it would be gone.
    in_hand
        Keys of those that the stroke is about; the others only go along.
    left
        Keys of neighbours that shared corners with an area that was moved away, and stay where they are.
    """

    changed: Mapping[str, DrawnArea | None]
    in_hand: tuple[str, ...]
    left: tuple[str, ...] = ()


@dataclass(frozen=True)
class Hand:
    """
    A hand that draws on a course.

    Attributes
    ----------
    drawn
        The areas as they are.
    reach_m
        How close to a neighbour's edge a place is meant to lie on it; 0 for exactly where it is put. [m]
    """

    drawn: AsDrawn
    reach_m: float = 0.0

    def area(self, outline: np.ndarray, surface: str, hole: str | None, name: str) -> Outcome:
        """A new area within an outline. [m]"""
        shape = _within(outline)
        layer = self._layer_for(surface)
        return self._new(shape, layer, surface, hole, name)

    def strip(
        self,
        key: str,
        width_m: float,
        side: str,
        surface: str,
        hole: str | None,
        between: np.ndarray | None = None,
    ) -> Outcome:
        """A new area along the edge of another; one inside of it takes its ground."""
        area, layer = self.drawn[key], self._layer_for(surface)
        start, end = (between[0], between[1]) if between is not None else (None, None)
        shape = strip_along(area.shape, width_m, side, start, end)
        made = Hand(self.drawn)._new(shape, layer, surface, hole, "")
        if side == "outside":
            return made
        return self._with(made, {key: replace(area, shape=cut_out(area.shape, shape))}, [area])

    def corner(self, key: str, corner: Corner, to: np.ndarray) -> Outcome:
        """One corner of an area elsewhere; those of neighbours at the same place go along."""
        area = self.drawn[key]
        others = self._neighbours(area)
        here = _corner_at(area.shape, corner)
        sharing = [one for one in others if self._saved(one) and _touches(one.shape, here)]
        to = self._drawn_up(to, [one for one in others if one not in sharing])
        redrawn = moved_vertex(area.shape, corner, to, [one.shape for one in sharing])
        changed = {key: replace(area, shape=redrawn.shape)}
        changed |= {sharing[at].key: replace(sharing[at], shape=shape) for at, shape in redrawn.neighbours.items()}
        return self._outcome(changed, (key,), [area, *others])

    def nudged(self, key: str, corner: Corner, by: np.ndarray) -> Outcome:
        """One corner so many metres east and north of where it is."""
        return self.corner(key, corner, _corner_at(self.drawn[key].shape, corner) + by)

    def more_corner(self, key: str, edge: Corner, at: np.ndarray) -> Outcome:
        """One more corner on an edge of an area, and of neighbours that share the edge."""
        area = self.drawn[key]
        others = self._neighbours(area)
        saved = [one for one in others if self._saved(one)]
        ends = _edge_at(area.shape, edge)
        place = self._drawn_up(at, [one for one in others if not all(_touches(one.shape, end) for end in ends)])
        redrawn = inserted_vertex(area.shape, edge, place, [one.shape for one in saved])
        changed = {key: replace(area, shape=redrawn.shape)}
        changed |= {saved[at].key: replace(saved[at], shape=shape) for at, shape in redrawn.neighbours.items()}
        return self._outcome(changed, (key,), [area, *others])

    def less_corner(self, key: str, corner: Corner) -> Outcome:
        """An area without one of its corners; neighbours that share both edges there lose it too."""
        area = self.drawn[key]
        saved = [one for one in self._neighbours(area) if self._saved(one)]
        redrawn = without_vertex(area.shape, corner, [one.shape for one in saved])
        changed = {key: replace(area, shape=redrawn.shape)}
        changed |= {saved[at].key: replace(saved[at], shape=shape) for at, shape in redrawn.neighbours.items()}
        return self._outcome(changed, (key,), [area, *saved])

    def moved(self, key: str, by: np.ndarray, *, along: bool = False) -> Outcome:
        """
        An area elsewhere, drawn up to what it lies beside there; or with the corners that neighbours share with it.

        Parameters
        ----------
        key
            The area.
        by
            How far. [m] Shape (2,).
        along
            Whether shared corners of neighbours go along, so that borders stay shared; nothing is drawn up to anything
            then.

        Raises
        ------
        InputError
            It is not written to, or a neighbour would cross itself.
        """
        area, step = self.drawn[key], np.asarray(by, dtype=float)
        shape = shapely.transform(area.shape, lambda xy: xy + step)
        sharing = [one for one in self._neighbours(area) if _alike(one.shape, area.shape).any()]
        going = [one for one in sharing if self._saved(one)] if along else []
        left = tuple(one.key for one in sharing if one not in going)
        if not going:
            return replace(self._redrawn(area, shape), left=left)
        changed = {key: replace(area, shape=shape)}
        for one in going:
            what = f"taking the corners of {one.surface} {one.hole or one.feature} along"
            changed[one.key] = replace(one, shape=checked(_taken_along(one.shape, area.shape, step), what))
        return replace(self._outcome(changed, (key,), [area, *going]), left=left)

    def parted(self, key: str, line: np.ndarray) -> Outcome:
        """An area in two or more along a line; the largest part stays what it was."""
        area = self.drawn[key]
        if len(line) < 2:
            raise InputError("a line is needed to part an area; draw it from one side past the other")
        first, *rest = parted(area.shape, shapely.LineString(line))
        changed = {key: replace(area, shape=first)}
        changed |= {
            f"{NEW}{number}": replace(area, key=f"{NEW}{number}", feature="", shape=part, raw=None)
            for number, part in enumerate(rest, 1)
        }
        changed |= self._bordering(area, [first, *rest])
        return self._outcome(changed, (key, *(one for one in changed if one.startswith(NEW))), [area])

    def merged(self, keys: Sequence[str]) -> Outcome:
        """One area out of several; it is what the first of them was."""
        areas = [self.drawn[key] for key in dict.fromkeys(keys)]
        whole = merged([area.shape for area in areas])
        gone: dict[str, DrawnArea | None] = {area.key: None for area in areas[1:]}
        changed = {areas[0].key: replace(areas[0], shape=whole), **gone}
        return self._outcome(changed, tuple(area.key for area in areas), areas)

    def cut(self, key: str, other: str | None = None, outline: np.ndarray | None = None) -> Outcome:
        """An area without the ground of another, or of an outline."""
        area = self.drawn[key]
        out = self.drawn[other].shape if other is not None else _within(outline if outline is not None else ())
        if other is not None and not shapely.is_valid(out):
            out = shapely.make_valid(out, method="structure", keep_collapsed=False)
        left = cut_out(area.shape, out)
        changed = {key: replace(area, shape=left), **self._bordering(area, [left])}
        parents = [area, *([self.drawn[other]] if other is not None else [])]
        return self._outcome(changed, (key,), parents)

    def gone(self, keys: Sequence[str]) -> Outcome:
        """Without some areas."""
        for key in keys:
            self._needs_saved(self.drawn[key])
        return Outcome(dict.fromkeys(keys), tuple(dict.fromkeys(keys)))

    def called(self, key: str, surface: str, hole: str | None, name: str) -> Outcome:
        """The same ground as another surface, of another hole or under another name."""
        area = self.drawn[key]
        self._needs_saved(area)
        if surface == area.surface or surface in self._surfaces(area.layer):
            return Outcome({key: replace(area, surface=surface, hole=hole, name=name)}, (key,))
        layer, fresh = self._layer_for(surface), f"{NEW}1"
        moved = replace(area, key=fresh, layer=layer, feature="", surface=surface, hole=hole, name=name, raw=None)
        made = self._outcome({fresh: moved}, (fresh, key), [area])
        return replace(made, changed={**made.changed, key: None})

    def mended(self, key: str) -> Outcome:
        """An area with a valid outline in place of one that crosses itself."""
        area = self.drawn[key]
        shape: Any = shapely.make_valid(area.shape, method="structure", keep_collapsed=False)
        if shape.is_empty or not shape.area:
            raise InputError("its outline encloses nothing; delete it instead")
        return self._outcome({key: replace(area, shape=shape)}, (key,), [area])

    def _new(self, shape: Any, layer: int, surface: str, hole: str | None, name: str) -> Outcome:
        key = f"{NEW}1"
        return self._redrawn(DrawnArea(key, layer, "", shape, None, surface, hole, name), shape)

    def _redrawn(self, area: DrawnArea, shape: Any) -> Outcome:
        """An area with a shape of its own, drawn up to its neighbours, and these with the corners they need."""
        others = self.drawn.around([shape], max(self.reach_m, LEAST_REACH_M), [area.key])
        valid = [one for one in others if shapely.is_valid(one.shape)]
        changed: dict[str, DrawnArea | None] = {}
        if self.reach_m > 0 and valid:
            redrawn = snapped(shape, [one.shape for one in valid], self.reach_m)
            shape = redrawn.shape
            changed = {valid[at].key: replace(valid[at], shape=new) for at, new in redrawn.neighbours.items()}
        return self._outcome({area.key: replace(area, shape=shape), **changed}, (area.key,), [area, *others])

    def _bordering(self, area: DrawnArea, shapes: Sequence[Any]) -> dict[str, DrawnArea | None]:
        """Neighbours with the corners that new shapes of an area have on their edges."""
        others = [one for one in self._neighbours(area) if self._saved(one)]
        found = bordered([one.shape for one in others], shapes)
        return {others[at].key: replace(others[at], shape=shape) for at, shape in found.items()}

    def _outcome(
        self, changed: Mapping[str, DrawnArea | None], in_hand: tuple[str, ...], parents: Sequence[DrawnArea]
    ) -> Outcome:
        """Changed areas with the shapes that go into their files; what lies in files not written to stays."""
        ready: dict[str, DrawnArea | None] = {}
        for key, area in changed.items():
            if area is None:
                ready[key] = None
            elif key in in_hand or self._saved(area):
                self._needs_saved(area)
                for one in self._single(area, ready):
                    ready[one.key] = replace(one, raw=self.drawn.raw_of(one.shape, one.layer, parents))
        return Outcome(ready, (*in_hand, *(key for key in ready if key.startswith(NEW) and key not in in_hand)))

    def _single(self, area: DrawnArea, taken: Mapping[str, Any]) -> list[DrawnArea]:
        """An area as one, or part by part, the largest first, where its layer has none of several parts."""
        parts = shapely.get_parts(area.shape)
        raws = [one.raw for one in self.drawn.areas.values() if one.layer == area.layer]
        if len(parts) < 2 or (shapely.get_type_id(raws) == shapely.GeometryType.MULTIPOLYGON).any():
            return [area]
        first, *rest = parts[np.argsort(-shapely.area(parts), kind="stable")]
        free = (f"{NEW}{number}" for number in range(1, 10_000) if f"{NEW}{number}" not in {*taken, area.key})
        return [
            replace(area, shape=first),
            *(replace(area, key=key, feature="", shape=part, raw=None) for key, part in zip(free, rest, strict=False)),
        ]

    def _with(self, made: Outcome, more: Mapping[str, DrawnArea | None], parents: Sequence[DrawnArea]) -> Outcome:
        other = self._outcome(more, tuple(more), parents)
        return Outcome({**made.changed, **other.changed}, (*made.in_hand, *other.in_hand))

    def _neighbours(self, area: DrawnArea) -> list[DrawnArea]:
        near = self.drawn.around([area.shape], max(self.reach_m, LEAST_REACH_M), [area.key])
        return [one for one in near if shapely.is_valid(one.shape)]

    def _saved(self, area: DrawnArea) -> bool:
        return self.drawn.editable(area.layer)

    def _needs_saved(self, area: DrawnArea) -> None:
        if not self._saved(area):
            one, why = self.drawn.layers[area.layer], self.drawn.why_not(area.layer)
            mend = "" if why == SWAPPED else "; copy it into the course's own GeoPackage first"
            raise InputError(f"{one.drawn.file}, {one.drawn.layer} is not written to. {WHY_NOT[why].rstrip('.')}{mend}")

    def _surfaces(self, layer: int) -> list[str]:
        """Surfaces that an area of a layer may change to without leaving it."""
        return [*self.drawn.layers[layer].note.surfaces.values()]

    def _layer_for(self, surface: str) -> int:
        fit = self.drawn.layers_for(surface)
        if not fit:
            raise InputError(
                f"no layer of a GeoPackage takes areas of the surface {surface}: name one in the settings, or copy the "
                "layer that has them into the course's own GeoPackage first"
            )
        return fit[0]

    def _drawn_up(self, place: np.ndarray, others: Sequence[DrawnArea]) -> np.ndarray:
        """A place at the nearest corner of a neighbour within reach, or else at the nearest place of an edge."""
        place = np.asarray(place, dtype=float).reshape(1, 2)
        rings = [ring for one in others for part in rings_of(one.shape) for ring in part]
        if self.reach_m <= 0 or not rings:
            return place[0]
        start = np.concatenate(rings)
        end = np.concatenate([np.roll(ring, -1, axis=0) for ring in rings])
        for ends in (start, end):
            nearest, away, *_ = nearest_edges(place, start, ends)
            if away[0] <= self.reach_m:
                return nearest[0]
        return place[0]


def reach(given: float) -> float:
    """How close to a neighbour a place is drawn up to it, kept within what can be meant. [m]"""
    return min(float(given), MOST_REACH_M) if given > LEAST_REACH_M else 0.0


def _within(outline: Any) -> Any:
    points = np.asarray(outline, dtype=float).reshape(-1, 2)
    if len(points) < 3:
        raise InputError("an outline needs three corners or more")
    if len(points) > MOST_CORNERS:
        raise InputError(f"an outline of {len(points):,} corners is too long; {MOST_CORNERS:,} are taken")
    shape = shapely.Polygon(points)
    if not shapely.is_valid(shape):
        raise InputError("the outline crosses itself; draw it without crossing")
    if shape.area <= 0:
        raise InputError("the outline encloses nothing")
    return shape


def _corner_at(shape: Any, corner: Corner) -> np.ndarray:
    try:
        if min(corner) < 0:
            raise IndexError
        return rings_of(shape)[corner.part][corner.ring][corner.number]
    except IndexError:
        raise InputError("this area has no such corner; it may have changed meanwhile") from None


def _edge_at(shape: Any, edge: Corner) -> tuple[np.ndarray, np.ndarray]:
    start = _corner_at(shape, edge)
    ring = rings_of(shape)[edge.part][edge.ring]
    return start, ring[(edge.number + 1) % len(ring)]


def _touches(shape: Any, place: np.ndarray) -> bool:
    """Whether a shape has a corner at the very place."""
    return bool((shapely.get_coordinates(shape) == place).all(axis=1).any())


def _alike(shape: Any, other: Any) -> np.ndarray:
    """Which coordinates of a shape lie where another shape has a corner."""
    own, known = shapely.get_coordinates(shape), shapely.get_coordinates(other)
    return np.isin(own @ [1, 1j], known @ [1, 1j])


def _taken_along(shape: Any, other: Any, step: np.ndarray) -> Any:
    """A shape with those of its corners a step further that another shape has too."""
    alike = _alike(shape, other)
    return shapely.transform(shape, lambda xy: xy + alike[:, None] * step)
