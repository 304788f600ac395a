"""What a layer seems to hold, as a draft for a person to confirm: which column names surfaces, holes and names."""

import re
from collections import Counter
from collections.abc import Collection
from dataclasses import dataclass, field
from pathlib import PurePosixPath
from typing import Any

from geopandas import GeoDataFrame

from turfgis.layers.naming import naming_columns, text_columns
from turfgis.layers.read import DrawnLayer
from turfgis.layers.words import OPENSTREETMAP, hole_text, known_surface, surface_in_name, written

# Shorthand and everyday words in drawings, and what they often mean. Common practice, no source; only ever proposed.
SHORTHAND: dict[str, str] = {
    "gr": "green", "grn": "green", "puttinggreen": "green", "putting": "green",
    "te": "tee", "teebox": "tee", "teeingground": "tee", "teeingarea": "tee",
    "bkr": "bunker", "bnk": "bunker", "bun": "bunker", "sand": "bunker", "sandtrap": "bunker", "trap": "bunker",
    "wtr": "water", "pond": "water", "lake": "water", "ditch": "water", "waterhazard": "water",
    "cartpath": "path", "buggypath": "path", "track": "path", "road": "path",
    "fringe": "collar", "col": "collar", "apron": "approach", "foregreen": "approach", "app": "approach",
    "fw": "fairway", "fwy": "fairway", "fway": "fairway",
    "sur": "surround", "greensurround": "surround", "bank": "surround",
    "semi": "semi-rough", "firstcut": "semi-rough", "intermediate": "semi-rough", "lightrough": "semi-rough",
    "rgh": "rough", "deeprough": "rough", "heavyrough": "rough",
}  # fmt: skip
MOST_VALUES = 40  # a column with more different words than this names things, not kinds
HOLE_NAMES = ("hole", "hole_no", "hole_nr", "hole_number", "holenumber", "ref", "no", "nr", "loch", "trou")
NAME_NAMES = ("name", "title", "label", "description")


@dataclass(frozen=True)
class NamingProposal:
    """
    A draft for one layer.

    Attributes
    ----------
    file, layer
        Which layer.
    areas
        How many areas there are.
    surface
        The one surface of all of them, from the name of the layer or file; None where a column tells.
    surface_from
        The column that seems to name surfaces, None where there is none.
    surfaces
        What its values seem to mean, for those that are not surfaces' names already.
    counts
        How many areas carry each of its values, the most frequent first.
    unknown
        Values that nothing can be proposed for, with how often each occurs.
    without
        How many areas have no value there.
    hole_from, name_from
        Columns that seem to hold hole numbers and names, or None.
    openstreetmap
        Whether the golf tags of OpenStreetMap name the surfaces.
    """

    file: str
    layer: str
    areas: int
    surface: str | None = None
    surface_from: str | None = None
    surfaces: dict[str, str] = field(default_factory=dict)
    counts: dict[str, int] = field(default_factory=dict)
    unknown: dict[str, int] = field(default_factory=dict)
    without: int = 0
    hole_from: str | None = None
    name_from: str | None = None
    openstreetmap: bool = False


@dataclass(frozen=True)
class LinesProposal:
    """A layer without areas: hole lines, where a column seems to number them, or else something for the background."""

    layer: str
    count: int
    what: str  # "lines" or "points"
    hole_from: str | None = None


def propose_naming(layer: DrawnLayer, known: Collection[str]) -> NamingProposal:
    """
    Look at a layer's columns and propose how to read them.

    Parameters
    ----------
    layer
        As read.
    known
        Names of all surfaces.

    Returns
    -------
    A proposal and nothing more: values such as ``FW`` are often fairways, but only the club knows.
    """
    tagged = layer.openstreetmap and "golf" in layer.areas
    own_name = surface_in_name(layer.layer, known) or surface_in_name(PurePosixPath(layer.file).stem, known)
    column = "golf" if tagged else _best_column(layer, known)
    if column is not None and not tagged and own_name and len(_meanings_in(layer, column, known)) < 2:
        column = None  # "Green 1", "Green 2" ... in a layer of greens are names
    if column is None:
        return NamingProposal(
            layer.file,
            layer.layer,
            len(layer.areas),
            surface=own_name,
            hole_from=hole_column(layer.areas),
            name_from=_name_column(layer, None),
        )
    counts = Counter(written(value) for value in layer.areas[column])
    without = counts.pop(None, 0)
    meaning = {value: proposed_surface(value, known, tagged=tagged) for value in counts if value}
    return NamingProposal(
        layer.file,
        layer.layer,
        len(layer.areas),
        surface_from=column,
        surfaces={
            value: surface
            for value, surface in meaning.items()
            if surface and not known_surface(value, known) and not (tagged and value in OPENSTREETMAP)
        },
        counts={str(value): number for value, number in counts.most_common()},
        unknown={str(value): number for value, number in counts.most_common() if not meaning[str(value)]},
        without=without,
        hole_from=hole_column(layer.areas),
        name_from=_name_column(layer, column),
        openstreetmap=tagged,
    )


def proposed_surface(value: str, known: Collection[str], *, tagged: bool = False) -> str | None:
    """
    What a word may mean: a surface's name, common shorthand, or a name within it.

    Examples
    --------
    >>> from turfgis.surfaces import SURFACES
    >>> [proposed_surface(word, SURFACES) for word in ("Greens", "FWY", "Main tee 3", "clubhouse")]
    ['green', 'fairway', 'tee', None]
    """
    if tagged and value in OPENSTREETMAP:
        return OPENSTREETMAP[value]
    bare = re.sub(r"[\W\d_]+", "", value.casefold())
    for word in (bare, bare.removesuffix("s")):
        short = SHORTHAND.get(word)
        if short in known:
            return short
    return surface_in_name(value, known)


def _best_column(layer: DrawnLayer, known: Collection[str]) -> str | None:
    """The column with the largest share of areas for whose value a surface can be proposed; half at the least."""
    certain = naming_columns(layer, known)
    if len(certain) == 1:
        return certain[0]
    shares = {name: _share_proposed(layer.areas[name], known) for name in certain or text_columns(layer)}
    best = max(shares, key=lambda name: shares[name], default=None)
    return best if best is not None and shares[best] >= 0.5 else None


def _meanings_in(layer: DrawnLayer, column: str, known: Collection[str]) -> set[str]:
    meanings = {proposed_surface(value, known) for value in map(written, layer.areas[column]) if value}
    return {meaning for meaning in meanings if meaning}


def _share_proposed(column: Any, known: Collection[str]) -> float:
    counts = Counter(written(value) for value in column)
    if len(counts) > MOST_VALUES:
        return 0.0
    named = sum(number for value, number in counts.items() if value and proposed_surface(value, known))
    return named / max(len(column), 1)


def hole_column(rows: GeoDataFrame) -> str | None:
    """A column whose values are hole numbers: by its name first, by its values where the name says nothing."""
    numbered = [str(name) for name in rows.columns if _holds_holes(rows, str(name))]
    by_name = [name for name in numbered if name.lower() in HOLE_NAMES]
    if by_name:
        return min(by_name, key=lambda name: HOLE_NAMES.index(name.lower()))
    written_out = [
        name
        for name in numbered
        if any("hole" in str(value).lower() for value in rows[name].dropna()) or "hole" in name.lower()
    ]
    return written_out[0] if len(written_out) == 1 else None


def _holds_holes(areas, name: str) -> bool:
    if name in ("geometry", "feature", "id", "@id", "fid"):
        return False
    values = [hole for value in areas[name] if (hole := hole_text(value)) is not None]
    good = sum(hole == "practice" or (hole.isdigit() and 1 <= int(hole) <= 36) for hole in values)
    return len(values) > 0 and good >= 0.9 * len(values)


def _name_column(layer: DrawnLayer, taken: str | None) -> str | None:
    for wanted in NAME_NAMES:
        for name in text_columns(layer):
            if name.lower() == wanted and name != taken and any(written(value) for value in layer.areas[name]):
                return name
    return None
