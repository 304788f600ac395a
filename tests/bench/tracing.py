"""A green traced on a photo of 0.1 m: ours, and regions by Felzenszwalb and Huttenlocher (scikit-image)."""

import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path

import geopandas as gpd
import numpy as np
import pyproj
import rasterio
import shapely
from courses import DEMO, measured
from rasterio.enums import Resampling
from rasterio.transform import from_origin
from scipy import ndimage
from skimage.color import rgb2lab
from skimage.segmentation import felzenszwalb

from turfgis.measure.frame import transformer
from turfgis.measure.tracing import Place, trace

GREEN, PIXEL, REACH = "Green 18", 0.1, 40.0
OF_EACH = 6  # shapes of each surface


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


def photos(folder: Path) -> Iterator[tuple[str, Path]]:
    """The demo photo as it is, with the noise of a camera, and under clouds that leave half of the light."""
    yield "plain", DEMO / "photo.tif"
    with rasterio.open(DEMO / "photo.tif") as photo:
        image = photo.read()
        given = {name: photo.profile[name] for name in ("width", "height", "count", "dtype", "crs", "transform")}
    draws = np.random.default_rng(11)
    clouds = ndimage.gaussian_filter(draws.normal(size=[count // 8 + 1 for count in image.shape[1:]]), 12)
    clouds = np.kron(clouds > 0.9 * clouds.std(), np.ones((8, 8)))[: image.shape[1], : image.shape[2]]
    light = 1 - 0.5 * ndimage.gaussian_filter(clouds, 3)
    for name in ("noisy", "shade"):
        with rasterio.open(folder / f"{name}.tif", "w", driver="GTiff", tiled=True, **given) as out:
            for band, values in enumerate(image, 1):
                made = values * light if name == "shade" else values + draws.normal(0, 15, values.shape)
                out.write(np.clip(made, 0, 255).astype(np.uint8), band)
        yield name, folder / f"{name}.tif"


def goodness() -> Iterator[tuple[str, str, int, float, float, float, int, int]]:
    """By surface and photo: outlines, middle and lower quarter of overlap, middle error of area, unsure, unsaid."""
    patches = measured(DEMO).patches
    with tempfile.TemporaryDirectory() as name:
        for light, photo in photos(Path(name)):
            for surface in ("green", "tee", "bunker", "fairway", "approach"):
                drawn = patches[(patches["surface"] == surface).to_numpy()]
                drawn = drawn.sample(min(OF_EACH, len(drawn)), random_state=3)
                parts = [max(shapely.get_parts(shape), key=shapely.area) for shape in drawn.geometry]
                shapes = gpd.GeoSeries([shapely.Polygon(part.exterior) for part in parts], crs=drawn.crs)
                inside = shapes.representative_point().to_crs("EPSG:4326")
                traced, frame = trace(photo, [Place(point.x, point.y) for point in inside], surface=surface)
                overlap, error, unsure, unsaid = [], [], 0, 0
                for one, shape in zip(traced, shapes.to_crs(frame.to_wkt()), strict=True):
                    outline = one.outline if one.outline is not None else shapely.Polygon()
                    overlap.append(outline.intersection(shape).area / outline.union(shape).area)
                    error.append(abs(outline.area / shape.area - 1))
                    sure = one.outline is not None and not any(word in one.quality for word in ("unsure", "faint"))
                    unsure, unsaid = unsure + (not sure), unsaid + (sure and overlap[-1] < 0.8)
                middle, lower = np.quantile(overlap, [0.5, 0.25])
                yield light, surface, len(overlap), middle, lower, float(np.median(error)), unsure, unsaid
