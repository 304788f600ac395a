"""Which surface each drawn area is: by the settings, by OpenStreetMap's tags, by a column of names, or by the layer."""

from collections import Counter
from collections.abc import Callable, Collection, Mapping
from pathlib import PurePosixPath
from typing import Any

import numpy as np
from geopandas import GeoDataFrame
from pandas.api.types import is_numeric_dtype

from turfgis.errors import LayerError
from turfgis.layers.findings import Finding, counted, listed
from turfgis.layers.read import DrawnLayer
from turfgis.layers.words import OPENSTREETMAP, did_you_mean, in_order, known_surface, surface_in_name, written

MOSTLY = 0.6  # share of a column's values that must name surfaces for the column to be taken as naming them


def name_surfaces(
    layer: DrawnLayer,
    *,
    surface: str | None = None,
    surface_from: str | None = None,
    surfaces: Mapping[str, str] | None = None,
    known: Collection[str],
    alone: bool = True,
) -> tuple[GeoDataFrame, list[Finding]]:
    """
    Give every area of a layer its surface.

    Parameters
    ----------
    layer
        As read.
    surface
        One surface for all of them.
    surface_from
        Column that names the surface.
    surfaces
        What the values of that column mean; a value that is a surface's name needs no entry.
    known
        Names of all surfaces, the club's own among them.
    alone
        Whether it is the only layer that was asked for. If not, a layer that nothing names is set aside with a finding
        in place of an error, since files hold layers that are not turf.

    Returns
    -------
    The areas that have one, with a column ``surface``, and findings on those set aside. With nothing said, the golf
    tags of OpenStreetMap name them, else the only column whose values mostly do, else the name of the layer or file.

    Raises
    ------
    LayerError
        The column is not there, a meaning is no surface, or nothing says what the layer is.
    """
    where = f"{layer.file}, layer {layer.layer}"
    meanings = _meanings(surfaces, known, where)
    if surface is not None and surface_from is None:
        return _with_surface(layer.areas, _meant(surface, known, where)), []
    try:
        rest = None if surface is None else _meant(surface, known, where)
        return _named(layer, surface_from, rest, meanings, known, alone, where)
    except LayerError as error:
        if alone:
            raise
        text = f"Its {counted(len(layer.areas), 'area')} are set aside. {error}"
        return _with_surface(layer.areas.iloc[:0], None), [_sayer(layer)("warning", "layer_unnamed", text)]


def _named(
    layer: DrawnLayer,
    surface_from: str | None,
    rest: str | None,
    meanings: dict[str, str],
    known: Collection[str],
    alone: bool,
    where: str,
) -> tuple[GeoDataFrame, list[Finding]]:
    """Surfaces by the column that the settings name, or by whatever in the layer tells."""
    if surface_from is not None:
        return _by_column(layer, _column(layer, surface_from, where), meanings, known, rest)
    if layer.openstreetmap and "golf" in layer.areas:
        return _by_column(layer, "golf", meanings, known)
    columns = naming_columns(layer, known, meanings)
    if len(columns) == 1:
        named, findings = _by_column(layer, columns[0], meanings, known)
        text = f"The column {columns[0]} was taken to name the surfaces, since its values do."
        return named, [Finding("note", "surface_from_values", layer.file, layer.layer, "", text), *findings]
    if len(columns) > 1:
        raise LayerError(f"{where}: the columns {listed(columns)} all name surfaces; say which by surface_from")
    return _by_layer_name(layer, known, alone, where)


def _meant(name: str, known: Collection[str], where: str) -> str:
    found = name if name in known else known_surface(name, known)
    if found is None:
        hint = did_you_mean(name, known)
        raise LayerError(f"{where}: {name} is no known surface; known are {', '.join(in_order(known))}.{hint}")
    return found


def _meanings(surfaces: Mapping[str, str] | None, known: Collection[str], where: str) -> dict[str, str]:
    return {str(value).strip(): _meant(name, known, where) for value, name in (surfaces or {}).items()}


def _column(layer: DrawnLayer, name: str, where: str) -> str:
    columns = [column for column in layer.areas.columns if column not in ("geometry", "feature")]
    if name in columns:
        return name
    alike = [column for column in columns if column.lower() == name.lower()]
    if len(alike) == 1:
        return alike[0]
    there = listed(columns, most=15) if columns else "no columns at all"
    raise LayerError(f"{where}: there is no column {name}; it has {there}.{did_you_mean(name, columns)}")


def _with_surface(areas: GeoDataFrame, surface: Any) -> GeoDataFrame:
    named = areas.copy()
    named["surface"] = surface
    return named


def _by_column(
    layer: DrawnLayer, column: str, meanings: dict[str, str], known: Collection[str], rest: str | None = None
) -> tuple[GeoDataFrame, list[Finding]]:
    """Surfaces by a column; ``rest`` is that of areas without a value there, which are set aside without it."""
    values = [written(value) for value in layer.areas[column]]
    tags = OPENSTREETMAP if layer.openstreetmap and column == "golf" else {}
    counts = Counter(values)
    folded = {value.casefold(): meaning for value, meaning in meanings.items()}

    def meaning(value: str | None) -> str | None:
        if value is None:
            return rest
        if value in meanings or value.casefold() in folded:
            return meanings.get(value, folded.get(value.casefold()))
        return known_surface(value, known) or tags.get(value)

    means = {value: meaning(value) for value in counts}
    surfaces = np.array([means[value] for value in values], dtype=object)
    kept = surfaces != None  # noqa: E711
    named = _with_surface(layer.areas.loc[kept], surfaces[kept])
    say = _sayer(layer)
    findings = _set_aside(counts, means, column, tags, known, say)
    unused = [value for value in meanings if value.casefold() not in {str(one).casefold() for one in counts if one}]
    if unused and values:
        text = f"The settings explain {listed(unused)}, which does not occur in the column {column} of this layer."
        findings.append(say("note", "value_unused", text))
    return named, findings


def _sayer(layer: DrawnLayer) -> Callable[[str, str, str], Finding]:
    return lambda level, code, text: Finding(level, code, layer.file, layer.layer, "", text)


def _set_aside(
    counts: Counter,
    means: Mapping[str | None, str | None],
    column: str,
    tags: Mapping[str, str | None],
    known: Collection[str],
    say: Callable[[str, str, str], Finding],
) -> list[Finding]:
    findings = []
    for value, number in counts.items():
        areas = counted(number, "area")
        if value is None:
            rest = means[value]
            done = "set aside." if rest is None else f"taken as {rest}, as the settings say."
            text = f"{areas} without a value in the column {column}: {done}"
            findings.append(say("note" if tags or rest else "warning", "surface_missing", text))
        elif means[value] is None and value in tags:
            text = f"{areas} with {column} = {value}: not ground to be looked after, set aside."
            findings.append(say("note", "not_turf", text))
        elif means[value] is None:
            text = f"{areas} with {column} = {value}, which names no known surface: set aside."
            findings.append(say("warning", "surface_unknown", text + did_you_mean(value, known)))
        elif value == "driving_range" and means[value] == tags.get(value):
            text = f"{areas} with {column} = driving_range: counted as {means[value]}. The settings can say otherwise."
            findings.append(say("note", "range_as_other", text))
    return findings


def text_columns(layer: DrawnLayer) -> list[str]:
    """Columns of a layer that hold words."""
    return [
        str(name)
        for name, column in layer.areas.items()
        if name not in ("geometry", "feature", "id", "@id") and not is_numeric_dtype(column.dtype)
    ]


def naming_columns(layer: DrawnLayer, known: Collection[str], meanings: Mapping[str, str] | None = None) -> list[str]:
    """Columns whose values mostly name surfaces."""
    return [name for name in text_columns(layer) if _share_named(layer.areas[name], known, meanings or {}) >= MOSTLY]


def _share_named(column: Any, known: Collection[str], meanings: Mapping[str, str]) -> float:
    counts = Counter(written(value) for value in column)
    counts.pop(None, None)
    named = sum(number for value, number in counts.items() if value in meanings or known_surface(value, known))
    return named / max(sum(counts.values()), 1)


def _by_layer_name(
    layer: DrawnLayer, known: Collection[str], alone: bool, where: str
) -> tuple[GeoDataFrame, list[Finding]]:
    # The name of a file speaks for its only layer, not for every one of many.
    for name in (layer.layer, PurePosixPath(layer.file).stem) if alone else (layer.layer,):
        surface = surface_in_name(name, known)
        if surface is not None:
            text = f"{counted(len(layer.areas), 'area')} taken as {surface}, as the name {name} says."
            return _with_surface(layer.areas, surface), [_sayer(layer)("note", "surface_from_name", text)]
    raise LayerError(
        f"{where}: nothing says which surface its areas are. {_what_there_is(layer)} In course.toml say "
        'surface = "green" if all are one, or surface_from = "column" with '
        'surfaces = { VALUE = "green" }; turfgis start writes a draft'
    )


def _what_there_is(layer: DrawnLayer) -> str:
    parts = []
    for name in text_columns(layer):
        values = [value for value, _ in Counter(written(value) for value in layer.areas[name]).most_common() if value]
        if values:
            parts.append(f"{name} ({listed(values, most=4)})")
    return f"Columns of words: {'; '.join(parts[:6])}." if parts else "It has no column of words."
