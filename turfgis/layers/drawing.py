"""What is said about a drawing before it is read: which files, what each layer means, how well it was drawn."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from turfgis.surfaces import pile_order


@dataclass(frozen=True)
class LayerNote:
    """
    What is said of one file, or one layer in it.

    Attributes
    ----------
    file, layer
        The file, relative to the drawing's folder, and the layer in it; no layer means every polygon layer.
    role
        ``areas``; ``hole_lines``, from tee to green, which carry the number of the hole; ``paths``, lines along which
        machines drive; ``heads``, points that throw water; ``places``, things that need watching; ``background``, lines
        and points that are only drawn on the map; ``keep_off``, what no liquid may be sprayed on or near; or
        ``earlier``, areas of an earlier survey, which are compared with those of today and nothing else.
    surface, surface_from, surfaces
        One surface for all; or the column that names it, with what its values mean; or both, and the one surface is
        that of areas without a value in the column.
    hole_from, name_from
        Columns with the hole and the name.
    label
        What background lines and points, or what is to be kept off, are called.
    distance_m
        How far to stay away from what is to be kept off, in any case. [m]
    accuracy_m, edge_bias_m, vertex_accuracy_m
        How well it was drawn, where that differs from the rest of the drawing. [m]
    surveyed
        Day of the survey, as ISO text.
    crs, swap_axes
        The coordinate reference system, where the file does not say it; whether its coordinates come as (y, x).
    columns
        Of heads and places: which column holds what.
    column_units
        Of heads: the unit of a column whose name does not end with it.
    level
        Of heads: share of the throw over which water falls at a level rate.
    kind, kinds
        Of places: the kind of those that do not say one, and what the words for kinds mean.
    visits, visits_layer
        Of places: the file with later looks at them, and the table in it.
    """

    file: str
    layer: str | None = None
    role: str = "areas"
    surface: str | None = None
    surface_from: str | None = None
    surfaces: Mapping[str, str] = field(default_factory=dict)
    hole_from: str | None = None
    name_from: str | None = None
    label: str | None = None
    distance_m: float = 0.0
    accuracy_m: float | None = None
    edge_bias_m: float | None = None
    vertex_accuracy_m: float | None = None
    surveyed: str | None = None
    crs: str | None = None
    swap_axes: bool = False
    columns: Mapping[str, str] = field(default_factory=dict)
    column_units: Mapping[str, str] = field(default_factory=dict)
    level: float = 0.0
    kind: str | None = None
    kinds: Mapping[str, str] = field(default_factory=dict)
    visits: str | None = None
    visits_layer: str | None = None


@dataclass(frozen=True)
class StripNote:
    """A strip outside the edge of every patch of a surface, drawn by nobody. Width in metres."""

    surface: str
    around: str
    width_m: float


@dataclass(frozen=True)
class Drawing:
    """
    Everything that is needed to measure a course.

    Attributes
    ----------
    folder
        Where the files lie.
    layers, strips
        What is said of each.
    accuracy_m
        Standard deviation of how far the edge of a patch may be drawn in or out as a whole. [m] The default is that
        of an edge traced from an air photo: common practice, no source.
    edge_bias_m
        The same for an offset that all patches of a layer share. [m]
    order
        Surfaces, the one that keeps the ground first.
    cut_mm
        Height of cut by surface. [mm]
    """

    folder: Path
    layers: tuple[LayerNote, ...]
    strips: tuple[StripNote, ...] = ()
    accuracy_m: float = 0.3
    edge_bias_m: float = 0.0
    order: tuple[str, ...] = tuple(pile_order())
    cut_mm: Mapping[str, float] = field(default_factory=dict)


def plain_drawing(file: Path, crs: str | None = None, swap_axes: bool = False) -> Drawing:
    """A drawing of one file of which nothing more is said than what it says itself."""
    return Drawing(folder=file.parent, layers=(LayerNote(file=file.name, crs=crs, swap_axes=swap_axes),))
