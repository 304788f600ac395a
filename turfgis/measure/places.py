"""
Places that need watching: where each lies on the course, how large it is, and what was seen there look by look.

A row of a layer is one look at one place; rows with the same id are looks at the same place, and a table of visits may
hold more of them. A place is what its newest looks say of it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

import geopandas as gpd
import numpy as np
import pandas as pd
import pyproj
import shapely

from turfgis.formulas.spots import weekly_growth
from turfgis.layers.drawing import Drawing, LayerNote
from turfgis.layers.findings import Finding
from turfgis.layers.place_words import FIELDS
from turfgis.layers.places import look_rows, read_visits
from turfgis.layers.points import in_degrees
from turfgis.layers.read import DrawnLayer, read_layers
from turfgis.measure.accuracy import COVERAGE_95, area_uncertainties
from turfgis.measure.frame import project
from turfgis.measure.patches import Measured

Row = dict[Any, Any]

OFF_COURSE_M = 100.0  # further than this from all patches a place is not on the course; common practice, no source
HOLE_REACH_M = 60.0  # as far as other shapes get their hole from its line
# What the newest look that says anything decides, each for itself.
_NEWEST = (*(field for field in FIELDS if field not in ("id", "look_again", "task", "size_m2")), "geometry", "length_m")
_COLUMNS = (
    *("place", "kind", "name", "patch", "surface", "hole", "near", "near_m", "seen", "look_again", "every", "urgency"),
    *("task", "done", "hours", "people", "certificate", "note", "photo", "species", "girth_cm", "size_m2"),
    *("plus_minus_m2", "length_m", "growth_m2_week", "looks", "material", "rate", "cost_code", "file", "layer"),
    "feature",
)
LOOK_COLUMNS = (
    *("place", "seen", "days_since", "size_m2", "growth_m2_week", "girth_cm", "urgency", "look_again", "task", "done"),
    *("note", "photo"),
)


@dataclass(frozen=True)
class Places:
    """
    Places of a course.

    Attributes
    ----------
    table
        One row a place, in the frame: ``place`` (its id), ``kind``, ``name``; the ``patch``, ``surface`` and ``hole``
        that it lies on, or the patch that is ``near`` and how far off [m]; ``seen`` (the last look), ``look_again`` (a
        day after it, or None), ``every`` (count and unit), ``urgency``, ``task`` (None once it is done), ``done``;
        ``size_m2`` with ``plus_minus_m2`` where it was drawn, ``length_m`` of a line
        (its ``size_m2`` is that by its width, where a width but no size is written), ``growth_m2_week`` between the
        first and the last look with a size, ``looks`` (how many); and the other fields as written.
    looks
        One row a look, the oldest of each place first: ``place``, ``seen``, ``days_since`` the look before,
        ``size_m2`` and how it grew since (``growth_m2_week``), and what was written.
    findings
        What could not be read, or needs a look.
    """

    table: gpd.GeoDataFrame
    looks: pd.DataFrame
    findings: tuple[Finding, ...]


def measure_places(drawing: Drawing, measured: Measured) -> Places:
    """
    Read and measure the places of a drawing.

    Parameters
    ----------
    drawing
        With layers whose role is ``places``.
    measured
        Its patches.

    Returns
    -------
    The places; none where no layer has that role.

    Raises
    ------
    LayerError
        A file, layer or column cannot be used.
    """
    findings: list[Finding] = []
    notes = [note for note in drawing.layers if note.role == "places"]
    tables = [table for note in notes if (table := _looks(drawing, note, measured.frame, findings)) is not None]
    if not tables:
        return Places(_empty(measured.frame), pd.DataFrame(columns=list(LOOK_COLUMNS)), tuple(findings))
    looks: list[Row] = [row for table in tables for row in table.to_dict("records")]
    for row, name in zip(looks, _names(looks), strict=True):
        row["place"] = name
    _unrepeated(looks, findings)
    grouped: dict[str, list[Row]] = {row["place"]: [] for row in looks}
    for row in sorted(looks, key=lambda row: row["seen"] or date.min):  # equal days stay as they stand
        grouped[row["place"]].append(row)
    for rows in grouped.values():
        _steps(rows)
    places = pd.DataFrame([_place(name, rows) for name, rows in grouped.items()], dtype=object)
    table = _located(places, measured, findings)
    said = pd.DataFrame([row for rows in grouped.values() for row in rows], columns=list(LOOK_COLUMNS), dtype=object)
    return Places(table, said, (*findings, *_photo_findings(drawing.folder, looks)))


def photo_file(folder: Path, text: str) -> Path | None:
    """
    The file that a place names as its photo; None where there is none inside the course folder.

    A path out of a layer never leaves the folder, whether by ``..``, by a link or by a path from the root.
    """
    try:
        inside = folder.resolve()
        path = (inside / text.replace("\\", "/")).resolve()
        return path if path.is_relative_to(inside) and path.is_file() else None
    except (OSError, ValueError):  # too long a name, a nought in it ...
        return None


def _looks(drawing: Drawing, note: LayerNote, frame: pyproj.CRS, findings: list[Finding]) -> pd.DataFrame | None:
    """All looks that one entry of the settings names, shapes in the frame; None where nothing is drawn yet."""
    path = drawing.folder / note.file
    crs = note.crs or ("EPSG:4326" if in_degrees(path) else None)
    layers, said = read_layers(path, note.layer, crs=crs, swap_axes=note.swap_axes, role="places")
    # heights and lines are no fault of a place
    findings += [one for one in said if one.level != "note"]
    if not layers:
        return None
    tables = []
    for layer in layers:
        for rows in (layer.points, layer.lines, layer.areas):
            if len(rows):
                tables.append(_layer_looks(drawing, note, layer, rows, frame, findings))
    if note.visits or note.visits_layer:
        tables.append(_visits(drawing, note, pd.concat(tables, ignore_index=True), findings))
    return pd.concat(tables, ignore_index=True)


def _layer_looks(
    drawing: Drawing,
    note: LayerNote,
    layer: DrawnLayer,
    rows: gpd.GeoDataFrame,
    frame: pyproj.CRS,
    findings: list[Finding],
) -> pd.DataFrame:
    place, features = (layer.file, layer.layer), rows["feature"].tolist()
    columns = {str(name): rows[name].to_numpy() for name in rows.columns if name not in ("feature", "geometry")}
    looks, said = look_rows(columns, features, note, place)
    findings += said
    shapes = shapely.make_valid(project(rows.geometry.to_numpy(), layer.crs, frame))
    drawn = shapely.get_dimensions(shapes) == 2
    own, shared = area_uncertainties(shapes, *(np.full(len(shapes), value) for value in _accuracy(drawing, note)))
    spread = np.where(drawn, COVERAGE_95 * np.hypot(own, shared), np.nan)
    length_m = np.where(shapely.get_dimensions(shapes) == 1, shapely.length(shapes), np.nan)
    typed = [
        length * width if size is None and width is not None and not np.isnan(length) else size
        for size, width, length in zip(looks["size_m2"], looks["width_m"], length_m.tolist(), strict=True)
    ]
    sizes = np.where(drawn, shapely.area(shapes).astype(object), np.array(typed, dtype=object))
    return looks.assign(
        file=layer.file,
        layer=layer.layer,
        geometry=shapes,
        size_m2=pd.Series(sizes, dtype=object),
        plus_minus_m2=spread,
        length_m=length_m,
    )


def _accuracy(drawing: Drawing, note: LayerNote) -> tuple[float, float, float]:
    return (
        drawing.accuracy_m if note.accuracy_m is None else note.accuracy_m,
        drawing.edge_bias_m if note.edge_bias_m is None else note.edge_bias_m,
        np.nan if note.vertex_accuracy_m is None else note.vertex_accuracy_m,
    )


def _visits(drawing: Drawing, note: LayerNote, drawn: pd.DataFrame, findings: list[Finding]) -> pd.DataFrame:
    """Later looks out of a table; those at no place that was drawn are set aside."""
    looks, said, (file, layer) = read_visits(drawing.folder, note)
    findings += said
    known = {one for one in drawn["id"] if one is not None}
    lost = [one not in known for one in looks["id"]]
    for feature, name in zip(looks.loc[lost, "feature"], looks.loc[lost, "id"], strict=True):
        called = f"'{name}' is the id of no place" if name else "the id is missing"
        text = f"{called} in {note.file}; the visit is set aside."
        findings.append(Finding("error", "place_visit", file, layer, feature, text))
    kept = looks.loc[[not one for one in lost]].reset_index(drop=True)
    home = dict(zip(drawn["id"], drawn["layer"], strict=True))
    kinds = dict(zip(drawn["id"], drawn["kind"], strict=True))  # what a visit does not say of its kind is not "other"
    return kept.assign(
        file=drawn["file"].iloc[0],
        layer=[home[name] for name in kept["id"]],
        kind=[kinds[name] if kind == "other" else kind for kind, name in zip(kept["kind"], kept["id"], strict=True)],
        geometry=None,
        plus_minus_m2=np.nan,
        length_m=np.nan,
    )


def _names(looks: list[Row]) -> list[str]:
    """The id of each place; where two layers share one, the layer stands in front. Without an id, the feature."""
    own = [row["id"] or f"{row['layer']}-{row['feature']}" for row in looks]
    homes: dict[str, set] = {}
    for name, row in zip(own, looks, strict=True):
        homes.setdefault(name, set()).add((row["file"], row["layer"]))
    return [name if len(homes[name]) == 1 else f"{row['layer']}-{name}" for name, row in zip(own, looks, strict=True)]


def _unrepeated(looks: list[Row], findings: list[Finding]) -> None:
    """
    Say where two rows are the same look at one place.

    A place may be looked at twice on a day, so two visits are one only where they say the same; two drawn rows are.
    """
    first: dict[tuple, str] = {}
    for row in looks:
        said = () if row["geometry"] is not None else tuple(row[field] for field in FIELDS)
        other = first.setdefault((row["place"], row["seen"], said), row["feature"])
        if other != row["feature"]:
            when = f"seen on {row['seen']}" if row["seen"] else "without a day in seen"
            text = (
                f"place {row['place']}, {when}, stands there twice (also as feature {other}); the later row counts "
                "where both say something. Give each place its own id, and each look its day."
            )
            findings.append(_finding("warning", "place_repeated", row, text))


def _finding(level: str, code: str, row: Row, text: str) -> Finding:
    return Finding(level, code, row["file"], row["layer"], row["feature"], text)


def _steps(rows: list[Row]) -> None:
    """Days since the look before, and growth since the last one with a size, beside every look that has a day."""
    before, sized = None, None
    for row in rows:
        seen, size = row["seen"], row["size_m2"]
        row["days_since"] = row["growth_m2_week"] = None
        if seen is None:
            continue
        row["days_since"] = (seen - before).days if before else None
        before = seen
        if size is not None:
            if sized and seen > sized[0]:
                row["growth_m2_week"] = float(weekly_growth(sized[1], size, (seen - sized[0]).days))
            sized = (seen, size)


def _place(name: str, looks: list[Row]) -> Row:
    """One place: what its looks, the oldest first, say together."""

    def newest(field: str) -> Any:
        return _last(row[field] for row in looks)

    again, seen = newest("look_again"), newest("seen")
    return {
        "place": name,
        "looks": len(looks),
        **{field: newest(field) for field in _NEWEST},
        # what was to be looked at by a day has been looked at since
        "look_again": again if again and (seen is None or again > seen) else None,
        "task": _open_task(looks),
        **_size(looks),
        **{key: looks[0][key] for key in ("file", "layer", "feature")},
    }


def _last(values: Iterable[Any]) -> Any:
    """The newest value that says something."""
    said = [one for one in values if one is not None and not (isinstance(one, float) and np.isnan(one))]
    return said[-1] if said else None


def _open_task(looks: list[Row]) -> str | None:
    """What is still to be done: the newest task, unless its own row or a later day says that it was done."""
    asked = [row for row in looks if row["task"]]
    if not asked:
        return None
    ended = [row["done"] for row in looks if row["done"]]
    last = asked[-1]
    if last["done"] or (ended and (last["seen"] is None or max(ended) >= last["seen"])):
        return None
    return last["task"]


def _size(looks: list[Row]) -> Row:
    """Size at the newest look that has one, and how fast it grew from the first."""
    sized = [row for row in looks if row["size_m2"] is not None]
    if not sized:
        return {"size_m2": None, "plus_minus_m2": None, "growth_m2_week": None}
    dated = [row for row in sized if row["seen"]]
    days = (dated[-1]["seen"] - dated[0]["seen"]).days if dated else 0
    return {
        "size_m2": float(sized[-1]["size_m2"]),
        "plus_minus_m2": _last([sized[-1]["plus_minus_m2"]]),
        "growth_m2_week": float(weekly_growth(dated[0]["size_m2"], dated[-1]["size_m2"], days)) if days > 0 else None,
    }


def _located(rows: pd.DataFrame, measured: Measured, findings: list[Finding]) -> gpd.GeoDataFrame:
    """The patch that each place lies on, or the one that is nearest."""
    shapes, patches = rows["geometry"].to_numpy(), pd.DataFrame(measured.patches.drop(columns="geometry"))
    tree = shapely.STRtree(measured.patches.geometry.to_numpy())
    on = _most_of_it(shapes, tree)
    near, far = np.full(len(rows), -1), np.full(len(rows), np.nan)
    off = np.flatnonzero(on < 0)
    if len(off):
        (_, found), away = tree.query_nearest(shapes[off], return_distance=True, all_matches=False)
        near[off], far[off] = found, away
    beside = np.where((on < 0) & (far <= OFF_COURSE_M), near, on)
    holes = _picked(patches["hole"], beside)
    table = {
        **{name: _picked(patches[name], on) for name in ("patch", "surface")},
        "hole": _with_lines(holes, shapes, measured, beside >= 0),
        "near": _picked(patches["patch"], np.where(far <= OFF_COURSE_M, near, -1)),
        "near_m": [None if np.isnan(one) else float(one) for one in far],
    }
    for row, away in zip(rows.to_dict("records"), far, strict=True):
        if away > OFF_COURSE_M:
            text = f"place {row['place']} lies {away:,.0f} m from all that was drawn; it is listed, but on no map."
            findings.append(_finding("warning", "place_off_course", row, text))
    whole = rows.assign(**{name: pd.Series(values, dtype=object) for name, values in table.items()})
    plain = {name: pd.Series(whole[name].tolist(), dtype=object) for name in _COLUMNS}
    return gpd.GeoDataFrame(plain, geometry=gpd.GeoSeries(shapes, crs=measured.frame), crs=measured.frame)


def _with_lines(holes: list[Any], shapes: np.ndarray, measured: Measured, on_course: np.ndarray) -> list[Any]:
    """Holes, where the patch has none the one whose line of play is nearest: rough belongs to many."""
    bare = np.flatnonzero(on_course & np.array([one is None for one in holes], dtype=bool))
    if len(bare) and len(measured.hole_lines):
        tree = shapely.STRtree(measured.hole_lines.geometry.to_numpy())
        place, line = tree.query_nearest(shapes[bare], max_distance=HOLE_REACH_M, all_matches=False)
        for at, found in zip(bare[place], line, strict=True):
            holes[at] = measured.hole_lines["hole"].iloc[found]
    return holes


def _most_of_it(shapes: np.ndarray, tree: shapely.STRtree) -> np.ndarray:
    """The patch that holds most of each shape; -1 for none. Shape (n,)."""
    shape, patch = tree.query(shapes, predicate="intersects")
    common = shapely.intersection(shapes[shape], tree.geometries[patch])
    held = np.select(
        [shapely.get_dimensions(shapes[shape]) == 2, shapely.get_dimensions(shapes[shape]) == 1],
        [shapely.area(common), shapely.length(common)],
        1.0,
    )
    on = np.full(len(shapes), -1)
    for row in np.lexsort((-patch, held, shape)):  # the largest comes last and stays
        on[shape[row]] = patch[row]
    return on


def _picked(column: Any, rows: np.ndarray) -> list[Any]:
    return [None if row < 0 else column.iloc[row] for row in rows]


def _photo_findings(folder: Path, looks: list[Row]) -> Iterator[Finding]:
    for row in looks:
        if row["photo"] is not None and photo_file(folder, row["photo"]) is None:
            text = (
                f"photo: there is no file '{row['photo']}' in the course folder; write its path from there, such as "
                "photos/7.jpg."
            )
            yield _finding("warning", "place_photo", row, text)


def _empty(frame: pyproj.CRS) -> gpd.GeoDataFrame:
    columns = {name: pd.Series([], dtype=object) for name in _COLUMNS}
    return gpd.GeoDataFrame(columns, geometry=gpd.GeoSeries([], crs=frame), crs=frame)
