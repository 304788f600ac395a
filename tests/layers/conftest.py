"""Six areas whose size is plain from their corners, to be written in every format."""

import geopandas as gpd
import numpy as np
import pytest
import shapely

EAST, NORTH = 450_000.0, 350_000.0  # in the middle of the British National Grid


def box(x: float, y: float, width: float, height: float) -> shapely.Polygon:
    return shapely.box(EAST + x, NORTH + y, EAST + x + width, NORTH + y + height)


@pytest.fixture
def drawn() -> gpd.GeoDataFrame:
    """Two greens, a tee of two parts, a bunker with an island, a fairway with a cut-out, a triangle of rough."""
    island = box(145, 5, 10, 10)
    triangle = shapely.Polygon([(EAST + 300, NORTH), (EAST + 340, NORTH), (EAST + 300, NORTH + 30)])
    shapes = [
        box(0, 0, 30, 20),
        box(60, 0, 25, 20),
        shapely.MultiPolygon([box(100, 0, 10, 8), box(115, 0, 10, 8)]),
        box(140, 0, 20, 20).difference(island),
        box(200, 0, 80, 25).difference(box(210, 5, 20, 10)),
        triangle,
    ]
    return gpd.GeoDataFrame(
        {
            "kind": ["green", "green", "tee", "bunker", "fairway", "rough"],
            "hole": ["1", "2", "1", "1", "2", None],
            "size_m2": [600.0, 500.0, 160.0, 300.0, 1800.0, 600.0],
        },
        geometry=np.array(shapes, dtype=object),
        crs="EPSG:27700",
    )
