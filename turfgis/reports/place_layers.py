"""Places that need watching as a GeoPackage: a layer for points, lines and areas, and the table of all looks."""

from pathlib import Path

import geopandas as gpd
import pandas as pd
import pyogrio
import shapely
from pyogrio.errors import DataLayerError, DataSourceError, FeatureError, FieldError, GeometryError

from turfgis.errors import OutputError
from turfgis.reports.places import look_rows, place_rows

LAYERS = (("points", 0), ("lines", 1), ("areas", 2))
MANY = {0: shapely.multipoints, 1: shapely.multilinestrings, 2: shapely.multipolygons}


def write_places(places: gpd.GeoDataFrame, looks: pd.DataFrame, path: Path) -> None:
    """
    Write places and their looks.

    Parameters
    ----------
    places
        Table of :func:`turfgis.estimates.places.watched_places`.
    looks
        Of :class:`turfgis.measure.places.Places`.
    path
        The file.

    Raises
    ------
    OutputError
        It cannot be written.
    """
    rows = pd.DataFrame(place_rows(places))
    shapes = places.geometry.to_numpy()
    dimension = shapely.get_dimensions(shapes)
    kept = pd.DataFrame(looks.loc[looks["place"].isin(places["place"])])
    try:
        for name, wanted in LAYERS:
            chosen = dimension == wanted
            if not chosen.any():
                continue
            whole = [MANY[wanted](list(shapely.get_parts(shape))) for shape in shapes[chosen]]
            layer = gpd.GeoDataFrame(_typed(rows.loc[chosen]), geometry=whole, crs=places.crs)
            pyogrio.write_dataframe(layer, path, layer=name, driver="GPKG", append=path.exists())
        pyogrio.write_dataframe(
            _typed(pd.DataFrame(look_rows(kept), columns=list(looks.columns))),
            path,
            layer="looks",
            driver="GPKG",
            append=path.exists(),
        )
    except (DataSourceError, DataLayerError, FeatureError, FieldError, GeometryError) as error:
        raise OutputError(f"{path.name} cannot be written: {error}") from None


def _typed(rows: pd.DataFrame) -> pd.DataFrame:
    """Columns of figures as numbers, so that a GIS can reckon with them, and all others as text."""
    made = {}
    for name, column in rows.items():
        said = [one for one in column if one is not None and not pd.isna(one)]
        figures = bool(said) and all(isinstance(one, int | float) for one in said)
        made[name] = pd.to_numeric(column) if figures else pd.Series(column, dtype=object).where(column.notna(), None)
    return pd.DataFrame(made)
