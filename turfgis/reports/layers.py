"""Net patches as a GeoPackage, for any GIS."""

from pathlib import Path

import pandas as pd
import shapely
from pyogrio.errors import DataLayerError, DataSourceError, FeatureError, FieldError, GeometryError

from turfgis.errors import OutputError
from turfgis.measure.patches import Measured


def write_patches(measured: Measured, path: Path, more: pd.DataFrame | None = None) -> None:
    """
    Write the net patches, and the hole lines where there are any.

    Parameters
    ----------
    measured
        The measured course.
    path
        File to be made, in the local equal-area frame: a GIS that measures there gets the same areas.
    more
        Columns beside those that were measured, such as slopes.

    Raises
    ------
    OutputError
        The file cannot be written.
    """
    shown = measured.patches.drop(columns=["u_own_m2", "u_bias_m2", "bias_group"])
    for name, values in [] if more is None else more.items():
        shown[str(name)] = values
    shapes = shown.geometry.to_numpy()
    single = shapely.get_type_id(shapes) == shapely.GeometryType.POLYGON
    shapes[single] = shapely.multipolygons(shapes[single, None]) if single.any() else shapes[single]
    try:
        shown.set_geometry(shapes, crs=shown.crs).to_file(path, layer="patches", driver="GPKG")
        if len(measured.hole_lines):
            measured.hole_lines.to_file(path, layer="hole_lines", driver="GPKG", mode="a")
    except (DataSourceError, DataLayerError, FeatureError, FieldError, GeometryError) as error:
        raise OutputError(f"{path.name} cannot be written: {error}") from None
