"""A green traced on a photo of 0.1 m: ours, and regions by Felzenszwalb and Huttenlocher (scikit-image)."""

import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path

import geopandas as gpd
import numpy as np
import pyproj
import rasterio
import shapely
from courses import DEMO
from rasterio.enums import Resampling
from rasterio.transform import from_origin
from skimage.color import rgb2lab
from skimage.segmentation import felzenszwalb

from turfgis.measure.frame import transformer
from turfgis.measure.tracing import Place, trace

GREEN, PIXEL, REACH = "Green 18", 0.1, 40.0


def _photo(folder: Path, green: shapely.Polygon) -> Path:
    """The demo photo round one green, its pixels made smaller, with the noise of a camera."""
    x, y = green.centroid.coords[0]
    count = int(2 * REACH / PIXEL)
    with rasterio.open(DEMO / "photo.tif") as photo:
        window = photo.window(x - REACH, y - REACH, x + REACH, y + REACH)
        image = photo.read(window=window, out_shape=(3, count, count), resampling=Resampling.cubic).astype(float)
        crs = photo.crs
    image += np.random.default_rng(4).normal(0, 6, image.shape)
    given = {"driver": "GTiff", "width": count, "height": count, "count": 3, "dtype": "uint8", "crs": crs}
    transform = from_origin(x - REACH, y + REACH, PIXEL, PIXEL)
    with rasterio.open(folder / "green.tif", "w", transform=transform, **given) as out:
        out.write(np.clip(image, 0, 255).astype(np.uint8))
    return folder / "green.tif"


def rows() -> Iterator[tuple[str, Callable[[], object], Callable[[], object], float, str]]:
    """What is traced, our way, the other way, the ratio aimed at, and how well ours fits the drawn green."""
    green = gpd.read_file(DEMO / "course.gpkg", layer="greens").set_index("name").geometry[GREEN]
    with tempfile.TemporaryDirectory() as name:
        photo = _photo(Path(name), green)
        inside = green.representative_point()
        longitude, latitude = transformer(pyproj.CRS(2157), pyproj.CRS(4326)).transform(inside.x, inside.y)
        with rasterio.open(photo) as opened:
            lab = rgb2lab(np.moveaxis(opened.read(), 0, -1))

        def ours() -> object:
            return trace(photo, [Place(longitude, latitude)])

        def regions() -> object:
            return felzenszwalb(lab, scale=400, sigma=2.0, min_size=2000, channel_axis=-1)

        (traced,), frame = trace(photo, [Place(longitude, latitude)])
        drawn = gpd.GeoSeries([green], crs=2157).to_crs(frame.to_wkt()).iloc[0]
        assert traced.outline is not None
        overlap = traced.outline.intersection(drawn).area / traced.outline.union(drawn).area
        yield (
            f"{GREEN}, {len(lab)} x {len(lab)} pixels (target: 1,000 ms)",
            ours,
            regions,
            1.0,
            f"overlap {overlap:.1%}",
        )
