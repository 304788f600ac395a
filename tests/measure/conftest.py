"""What the checks of measuring share: an outside ruler, and small courses written where a test may write."""

from collections.abc import Callable
from pathlib import Path

import geopandas as gpd
import numpy as np
import pytest
import shapely
from geographiclib.geodesic import Geodesic

from turfgis.layers.drawing import Drawing, LayerNote, StripNote
from turfgis.measure.patches import Measured, measure_course
from turfgis.surfaces import pile_order


@pytest.fixture(scope="session")
def geodesic_area() -> Callable[..., tuple[float, float]]:
    """Area [m2] and perimeter [m] of a ring of longitudes and latitudes by GeographicLib, edges being geodesics."""

    def measured(lon, lat, ellipsoid: Geodesic = Geodesic.WGS84) -> tuple[float, float]:
        polygon = ellipsoid.Polygon()
        for point in zip(np.asarray(lat, dtype=float), np.asarray(lon, dtype=float), strict=True):
            polygon.AddPoint(*point)
        _, perimeter, area = polygon.Compute(reverse=True)
        return abs(area), perimeter

    return measured


@pytest.fixture
def measure(tmp_path: Path) -> Callable[..., Measured]:
    """
    Measure layers that are written to a folder of the test's own.

    ``layers`` holds, for each file, a table of shapes (or tables by layer of a GeoPackage) and what is said of it.
    """

    def measured(
        layers: list[tuple[str, gpd.GeoDataFrame, dict]],
        strips: tuple[StripNote, ...] = (),
        over: dict[str, list[str]] | None = None,
        **said,
    ) -> Measured:
        notes = []
        for file, table, words in layers:
            table.to_file(tmp_path / file, **({"layer": words["layer"]} if "layer" in words else {}))
            notes.append(LayerNote(file=file, **words))
        order = tuple(pile_order(over))
        return measure_course(Drawing(tmp_path, tuple(notes), strips=strips, order=order, **said))

    return measured


@pytest.fixture
def table() -> Callable[..., gpd.GeoDataFrame]:
    """A table of shapes near a place in UTM zone 32 north, from shapes in metres about it."""

    def made(shapes, crs: str | int = 32632, at: tuple[float, float] = (500_000.0, 5_300_000.0), **columns):
        moved = shapely.transform(np.array(shapes, dtype=object), lambda xy: xy + at)
        return gpd.GeoDataFrame(columns, geometry=list(moved), crs=32632).to_crs(crs)

    return made
