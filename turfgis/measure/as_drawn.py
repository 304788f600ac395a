"""
The areas as they lie in their files, corner for corner, so that a hand can change them.

They are moved into the frame point by point and back. A corner that nobody moved goes back to the very numbers it was
read with: an edge that two areas share stays shared to the last bit, however often either of them is redrawn.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Any

import numpy as np
import pandas as pd
import pyproj
import shapely

from turfgis.errors import InputError
from turfgis.layers.words import hole_text
from turfgis.measure.frame import move_from, move_to
from turfgis.measure.gather import NamedLayer
from turfgis.measure.stored import as_stored, in_frame

DEGREES = pyproj.CRS(4326)
EDITABLE = ".gpkg"

NO_GEOPACKAGE, SWAPPED, NAMED = "no GeoPackage", "axes swapped", "features named"
WHY_NOT = {
    NO_GEOPACKAGE: "It is not a GeoPackage, and only a GeoPackage keeps every version.",
    SWAPPED: "The settings say swap_axes = true for it: what is drawn here would be stored the wrong way round.",
    NAMED: "Its areas go by names instead of numbers, and versions are kept by number.",
}
"""Why a layer is not written to: what is the matter with it, and that in a sentence."""


@dataclass(frozen=True)
class DrawnArea:
    """
    One area as somebody drew it.

    Attributes
    ----------
    key
        Names it among all areas: file, layer and feature, as the table of patches writes its source.
    layer
        Place of its layer among those of the drawing.
    feature
        What it is called in its layer; empty for one that is not saved yet.
    shape
        In the frame, point by point. [m] It may be invalid still.
    raw
        In the layer's own reference system, as read.
    surface, hole, name
        What it is.
    """

    key: str
    layer: int
    feature: str
    shape: Any
    raw: Any
    surface: str
    hole: str | None = None
    name: str = ""


@dataclass
class AsDrawn:
    """
    All areas of a course as drawn.

    Attributes
    ----------
    layers
        Where they lie.
    frame
        The equal-area frame of the course.
    areas
        By key.
    """

    layers: tuple[NamedLayer, ...]
    frame: pyproj.CRS
    areas: dict[str, DrawnArea] = field(default_factory=dict)

    def __getitem__(self, key: str) -> DrawnArea:
        """
        One area.

        Raises
        ------
        InputError
            There is none of that key; somebody else may have taken it away.
        """
        if key not in self.areas:
            raise InputError(f"there is no area '{key[:200]}' (any more); open the page anew")
        return self.areas[key]

    def editable(self, layer: int) -> bool:
        """Whether a layer is written to."""
        return not self.why_not(layer)

    def why_not(self, layer: int) -> str:
        """Why a layer is not written to, a key of :data:`WHY_NOT`; empty for one that is."""
        one = self.layers[layer]
        if not one.note.file.lower().endswith(EDITABLE):
            return NO_GEOPACKAGE
        if one.note.swap_axes:
            return SWAPPED
        return NAMED if "@id" in one.areas else ""

    def layers_for(self, surface: str) -> list[int]:
        """Layers that an area of some surface can be saved into, the fittest first."""
        whole = [at for at, one in enumerate(self.layers) if _only(one) == surface and self.editable(at)]
        told = [at for at in range(len(self.layers)) if self.editable(at) and self.written_as(at, surface) is not None]
        return list(dict.fromkeys([*whole, *told]))

    def written_as(self, layer: int, surface: str) -> Any:
        """What stands for a surface in the column of a layer that names it; None where nothing does."""
        note = self.layers[layer].note
        if note.surface_from is None:
            return None
        written = next((value for value, meant in note.surfaces.items() if meant == surface), None)
        if written is not None:
            return written
        return surface if note.surface is None and surface not in note.surfaces else None

    def columns(self, layer: int) -> dict[str, str]:
        """Columns that say what an area of a layer is: ``surface``, ``hole``, ``name`` -> column."""
        note, areas = self.layers[layer].note, self.layers[layer].areas
        hole = note.hole_from or ("hole" if "hole" in areas else None)
        name = note.name_from or ("name" if "name" in areas else None)
        said = {"surface": note.surface_from, "hole": hole, "name": name}
        return {what: column for what, column in said.items() if column is not None}

    def crs(self, layer: int) -> pyproj.CRS:
        """Reference system of a layer."""
        return self.layers[layer].drawn.crs

    def to_frame(self, longitude_latitude: Sequence[Sequence[float]] | np.ndarray) -> np.ndarray:
        """
        Places in the frame. [m]

        Raises
        ------
        InputError
            One of them is nowhere near the course.
        """
        given = np.asarray(longitude_latitude, dtype=float).reshape(-1, 2)
        with np.errstate(invalid="ignore"):
            there = np.column_stack(move_to(DEGREES, self.frame)(given[:, 0], given[:, 1]))
        if not (np.abs(there) < 1e6).all():
            raise InputError("a place lies nowhere near the course")
        return there

    def to_degrees(self, places: np.ndarray) -> np.ndarray:
        """Longitude and latitude of places in the frame."""
        given = np.asarray(places, dtype=float).reshape(-1, 2)
        return np.column_stack(move_from(DEGREES, self.frame)(given[:, 0], given[:, 1]))

    def around(self, shapes: Iterable[Any], reach_m: float, without: Iterable[str] = ()) -> list[DrawnArea]:
        """Areas within reach of any of some shapes. [m]"""
        out = set(without)
        keys = [key for key in self.areas if key not in out]
        if not keys:
            return []
        known = np.array([self.areas[key].shape for key in keys], dtype=object)
        tree = shapely.STRtree(known)
        near: set[int] = set()
        for shape in shapes:
            near |= set(tree.query(shapely.box(*_grown(shape.bounds, reach_m))).tolist())
        return [self.areas[keys[at]] for at in sorted(near)]

    def raw_of(self, shape: Any, layer: int, parents: Iterable[DrawnArea]) -> Any:
        """
        A shape in the frame as it goes into a layer.

        Parameters
        ----------
        shape
            In the frame. [m]
        layer
            Place of the layer.
        parents
            Areas that it was made from or borders on: their corners keep the numbers they were read with.
        """
        kept = [one.raw for one in parents if one.raw is not None and self.crs(one.layer).equals(self.crs(layer))]
        return as_stored(np.array([shape], dtype=object), self.frame, self.crs(layer), np.array(kept, dtype=object))[0]

    def with_raw(self, area: DrawnArea, raw: Any) -> DrawnArea:
        """An area as it is read again from its file."""
        if self.layers[area.layer].note.swap_axes:
            raw = shapely.transform(raw, lambda points: points[:, ::-1])
        return replace(
            area, raw=raw, shape=in_frame(np.array([raw], dtype=object), self.crs(area.layer), self.frame)[0]
        )

    def rings_in_degrees(self, areas: Sequence[DrawnArea]) -> list[list[list[np.ndarray]]]:
        """
        Corners as a map shows them.

        Parameters
        ----------
        areas
            Any of them.

        Returns
        -------
        For each area its parts, for each part the outline and its cut-outs: longitude and latitude of each corner,
        without the closing one.
        """
        return self.shapes_in_degrees(np.array([area.shape for area in areas], dtype=object))

    def shapes_in_degrees(self, shapes: np.ndarray) -> list[list[list[np.ndarray]]]:
        """The same of shapes in the frame, whatever they are. [m] Shape (n,)."""
        parts, owner = shapely.get_parts(shapes, return_index=True)
        rings, part = shapely.get_rings(parts, return_index=True)
        xy, ring = shapely.get_coordinates(rings, return_index=True)
        places = self.to_degrees(xy) if len(xy) else xy
        told: list[list[list[np.ndarray]]] = [[] for _ in shapes]
        for own in owner.tolist():
            told[own].append([])
        of_part = [one for own in told for one in own]
        for at, own in zip(np.flatnonzero(np.diff(ring, prepend=-1)), part, strict=True):
            stop = at + np.searchsorted(ring[at:], ring[at], side="right")
            of_part[own].append(places[at : stop - 1])
        return told

    def found_at(self, file: str, layer: str, feature: str) -> Any:
        """The shape, in the frame, of what a finding is about; None where it is about no single feature."""
        if not feature:
            return None
        key = f"{file} | {layer} | {feature}"
        if key in self.areas:
            return self.areas[key].shape
        for one in self.layers:
            if (one.drawn.file, one.drawn.layer) != (file, layer):
                continue
            for table in (one.drawn.areas, one.drawn.lines, one.drawn.points):
                rows = np.flatnonzero((table["feature"] == feature).to_numpy(dtype=bool))
                if len(rows):
                    return in_frame(table.geometry.to_numpy()[rows[:1]], one.drawn.crs, self.frame)[0]
        return None

    @cached_property
    def holes(self) -> list[str]:
        """Every hole there is, in the order of play."""
        found = {area.hole for area in self.areas.values() if area.hole}
        return sorted(found, key=lambda hole: (not hole.isdigit(), int(hole) if hole.isdigit() else 0, hole))


def read_as_drawn(layers: tuple[NamedLayer, ...], frame: pyproj.CRS) -> AsDrawn:
    """
    Areas of all layers, ready to be changed.

    Parameters
    ----------
    layers, frame
        Of a measured course.
    """
    areas: dict[str, DrawnArea] = {}
    for place, one in enumerate(layers):
        table, raw = one.areas, one.areas.geometry.to_numpy()
        shapes = in_frame(raw, one.drawn.crs, frame)
        columns = AsDrawn(layers, frame).columns(place)
        hole, name = (table[columns[what]] if columns.get(what) in table else None for what in ("hole", "name"))
        for at, (feature, surface) in enumerate(zip(table["feature"], table["surface"], strict=True)):
            key = f"{one.drawn.file} | {one.drawn.layer} | {feature}"
            said = "" if name is None or pd.isna(name.iat[at]) else str(name.iat[at])
            number = None if hole is None else hole_text(hole.iat[at])
            areas[key] = DrawnArea(key, place, str(feature), shapes[at], raw[at], str(surface), number, said)
    return AsDrawn(layers, frame, areas)


def _only(layer: NamedLayer) -> str | None:
    """The surface of all areas of a layer, where there is one."""
    return layer.note.surface if layer.note.surface_from is None else None


def _grown(bounds: Sequence[float], by: float) -> tuple[float, float, float, float]:
    west, south, east, north = bounds
    return west - by, south - by, east + by, north + by
