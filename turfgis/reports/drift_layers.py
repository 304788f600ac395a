"""What changed since an earlier survey as a GeoPackage, for any GIS and for the receiver that sets it out."""

from pathlib import Path

import geopandas as gpd
import numpy as np
import pandas as pd
import pyproj
import shapely
from pyogrio.errors import DataLayerError, DataSourceError, FeatureError, FieldError, GeometryError

from turfgis.errors import OutputError
from turfgis.estimates.surveys import Comparison

KEYS = ["patch", "surface", "hole"]


def drift_layers(compared: Comparison) -> dict[str, gpd.GeoDataFrame]:
    """
    The layers of a comparison, in the frame of the newer survey; a layer without shapes is left out.

    Returns
    -------
    ``lost`` and ``gained`` (ground), ``win_back`` (the strips of it that are beyond the accuracy of the surveys), each
    with ``area_m2``; ``edge_in`` and ``edge_out`` (old edge that lies further in or out now), with ``length_m``.
    """
    drift = compared.drift
    shapes = {
        "lost": (drift.lost, "area_m2"),
        "gained": (drift.gained, "area_m2"),
        "win_back": (drift.strips, "area_m2"),
        "edge_in": (drift.moved_in, "length_m"),
        "edge_out": (drift.moved_out, "length_m"),
    }
    layers = {name: _layer(drift.changes, column, key, drift.frame) for name, (column, key) in shapes.items()}
    return {name: layer for name, layer in layers.items() if len(layer)}


def _layer(changes: pd.DataFrame, shapes: np.ndarray, key: str, frame: pyproj.CRS) -> gpd.GeoDataFrame:
    there = ~shapely.is_empty(shapes)
    size = shapely.area(shapes) if key == "area_m2" else shapely.length(shapes)
    return _table(changes.loc[there, KEYS].assign(**{key: size[there]}), shapes[there], frame)


def _table(rows: pd.DataFrame, shapes: np.ndarray, frame: pyproj.CRS) -> gpd.GeoDataFrame:
    """Rows and their shapes, all of the one type that a layer takes."""
    many = shapely.multipolygons if shapely.get_dimensions(shapes).max(initial=0) == 2 else shapely.multilinestrings
    whole = [many(list(shapely.get_parts(shape))) for shape in shapes]
    return gpd.GeoDataFrame(rows, geometry=gpd.GeoSeries(whole, index=rows.index, crs=frame), crs=frame)


def write_drift(compared: Comparison, path: Path) -> None:
    """
    Write the layers of a comparison, and ``changes``: all its figures with the shapes of today, or what is gone.

    Raises
    ------
    OutputError
        The file cannot be written.
    """
    drift = compared.drift
    shapes = np.where(shapely.is_empty(drift.now), drift.was, drift.now)
    rows = compared.changes.drop(columns=["u_old_m2", "u_new_m2"])
    layers = {"changes": _table(rows, shapes, drift.frame), **drift_layers(compared)}
    try:
        for name, layer in layers.items():
            layer.to_file(path, layer=name, driver="GPKG", mode="a" if path.exists() else "w")
    except (DataSourceError, DataLayerError, FeatureError, FieldError, GeometryError) as error:
        raise OutputError(f"{path.name} cannot be written: {error}") from None
