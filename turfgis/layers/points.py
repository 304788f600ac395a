"""Points with their columns, out of a table of coordinates or any vector file."""

from __future__ import annotations

import csv
from pathlib import Path

import geopandas as gpd
import pandas as pd

from turfgis.errors import LayerError
from turfgis.layers.read import read_layers

_DEGREES = ({"lon", "lat"}, {"longitude", "latitude"})


def read_points(
    path: Path, crs: str | None = None, swap_axes: bool = False, layer: str | None = None
) -> gpd.GeoDataFrame:
    """
    Read points.

    Parameters
    ----------
    path
        A CSV file with columns ``lon`` and ``lat``, or ``x`` and ``y``; or a vector file with points.
    crs, swap_axes
        As for :func:`turfgis.layers.read.read_layers`. Columns ``lon`` and ``lat`` are degrees on WGS 84 unless said
        otherwise.
    layer
        Name of one layer of the file; all where left out.

    Returns
    -------
    Their columns as they stand there, and the points.

    Raises
    ------
    LayerError
        There is no such file, no point in it, or nothing says in which reference system they are.
    """
    if crs is None and in_degrees(path):
        crs = "EPSG:4326"
    layers, _ = read_layers(path, layer, crs=crs, swap_axes=swap_axes, role="background")
    tables = [one.points.to_crs(layers[0].crs.to_wkt()) for one in layers if len(one.points)]
    if not tables:
        raise LayerError(
            f"{path.name}: holds no points; a table needs columns lon and lat (or x and y), a vector file points"
        )
    return gpd.GeoDataFrame(pd.concat(tables, ignore_index=True), crs=tables[0].crs)


def in_degrees(path: Path) -> bool:
    """Whether a file is a table whose heading names longitude and latitude."""
    if path.suffix.lower() not in (".csv", ".tsv") or not path.is_file():
        return False
    try:
        head = path.read_text(encoding="utf-8-sig").splitlines()[:1]
    except (UnicodeDecodeError, OSError):
        return False
    names = {name.strip().lower() for name in next(csv.reader(head, delimiter=_mark(head)), [])}
    return any(pair <= names for pair in _DEGREES)


def _mark(head: list[str]) -> str:
    return max(",;\t", key=lambda mark: sum(line.count(mark) for line in head))
