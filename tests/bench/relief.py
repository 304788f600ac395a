"""
True areas of a hundred patches on a grid of 4000 by 4000 cells: ours, rasterstats, and exactextract by window.

All begin with the heights. rasterstats averages over arrays, so it gets the secants of the whole grid; exactextract
gets those of the window about each patch. Neither tells more than the mean; ours tells slopes, aspect and noise
besides. The memory of ours is measured on a virtual mosaic of 20 GB that no machine could hold.
"""

import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path

import exactextract
import geopandas as gpd
import numpy as np
import pyproj
import rasterio
import shapely
from exactextract.raster import NumPyRasterSource
from rasterio.transform import from_origin
from rasterio.windows import Window
from rasterstats import zonal_stats

from turfgis.formulas.slopes import gradient_area_factor, horn_gradient
from turfgis.measure.relief import measure_relief
from turfgis.measure.relief_grid import Elevation

SIZE, CELL, PATCHES = 4000, 0.5, 100
CORNER = np.array([4_321_000.0, 3_210_000.0])
FRAME = pyproj.CRS.from_epsg(3035)
MOSAIC, TILES = 50_000, 10  # cells and copies of one file on a side: 50,000 x 50,000 of 8 bytes are 20 GB
Row = tuple[str, Callable[[], object], Callable[[], object], float, str]


def patches(extent: float) -> gpd.GeoDataFrame:
    """Discs and kidneys as large as greens and tees, some like fairways, spread over the grid."""
    rng = np.random.default_rng(7)
    radius = np.where(np.arange(PATCHES) % 5, rng.uniform(6, 16, PATCHES), rng.uniform(25, 60, PATCHES))
    middles = CORNER + rng.uniform(70, extent - 70, (PATCHES, 2))
    shapes = shapely.buffer(shapely.points(middles), radius, quad_segs=12)
    bites = shapely.buffer(shapely.points(middles + radius[:, None] * 0.9), radius * 0.4, quad_segs=8)
    shapes = shapely.difference(shapes, bites)
    table = {"patch": np.arange(PATCHES).astype(str), "surface": "rough", "net_m2": shapely.area(shapes)}
    return gpd.GeoDataFrame(table, geometry=list(shapes), crs=FRAME)


def write(file: Path, grid: np.ndarray) -> None:
    profile = {
        "driver": "GTiff", "height": len(grid), "width": len(grid), "count": 1, "dtype": "float64", "tiled": True,
        "crs": "EPSG:3035", "transform": from_origin(CORNER[0], CORNER[1] + len(grid) * CELL, CELL, CELL),
    }  # fmt: skip
    with rasterio.open(file, "w", **profile) as out:
        out.write(grid, 1)


def horn_secants(heights: np.ndarray) -> np.ndarray:
    """Area factor of every cell by Horn's weights, as ours takes them; 1 along the rim."""
    made = np.ones_like(heights)
    made[1:-1, 1:-1] = gradient_area_factor(*(rise / CELL for rise in horn_gradient(heights)))
    return made


def by_rasterstats(heights: Path, table: gpd.GeoDataFrame) -> np.ndarray:
    with rasterio.open(heights) as file:
        grid, transform = horn_secants(file.read(1)), file.transform
    return np.array([one["mean"] for one in zonal_stats(table, grid, affine=transform, nodata=-1, stats=["mean"])])


def by_exactextract(heights: Path, table: gpd.GeoDataFrame) -> np.ndarray:
    """Patch by patch, from the window about it."""
    means = []
    with rasterio.open(heights) as file:
        for shape in table.geometry:
            left, bottom, right, top = shape.bounds
            column, row = int((left - CORNER[0]) / CELL) - 1, int((CORNER[1] + SIZE * CELL - top) / CELL) - 1
            width = int((right - CORNER[0]) / CELL) + 2 - column
            height = int((CORNER[1] + SIZE * CELL - bottom) / CELL) + 2 - row
            grid = horn_secants(file.read(1, window=Window(column, row, width, height)))  # type: ignore[call-arg]
            west, north = CORNER[0] + column * CELL, CORNER[1] + (SIZE - row) * CELL
            source = NumPyRasterSource(grid, west, north - height * CELL, west + width * CELL, north)
            feature = {"type": "Feature", "geometry": shapely.geometry.mapping(shape), "properties": {}}
            means.append(exactextract.exact_extract(source, [feature], ["mean"])[0]["properties"]["mean"])
    return np.array(means)


def ours(folder: Path, table: gpd.GeoDataFrame) -> np.ndarray:
    found = measure_relief(table, Elevation(("heights.tif",), folder, units="m", accuracy_m=0.01))
    return (found.table["true_m2"] / table["net_m2"]).to_numpy()


def rows() -> Iterator[Row]:
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        at = np.arange(SIZE) * CELL
        heights = 9 * np.add.outer(np.cos(at / 41), np.sin(at / 57)) + 0.8 * np.multiply.outer(
            np.sin(at / 6.1), np.sin(at / 7.3)
        )
        write(folder / "heights.tif", heights)
        table = patches(SIZE * CELL)
        exact = by_exactextract(folder / "heights.tif", table)
        for what, peer, target in (
            ("rasterstats", by_rasterstats, 0.15),
            ("exactextract by window", by_exactextract, 1.1),
        ):
            apart = [
                np.abs(found / exact - 1).max() for found in (ours(folder, table), peer(folder / "heights.tif", table))
            ]
            remark = f"off the exact mean secant by {apart[0]:.0e}, the peer by {apart[1]:.0e}"
            call = partial(peer, folder / "heights.tif", table)
            yield f"100 patches on {SIZE} x {SIZE} cells: {what}", partial(ours, folder, table), call, target, remark


def mosaic_memory() -> str:
    """Peak memory of a program that measures a hundred patches on 20 GB of heights, beside one on 200 MB."""
    with tempfile.TemporaryDirectory() as name:
        folder, side = Path(name), MOSAIC // TILES
        at = np.arange(side) * CELL
        write(folder / "tile.tif", 3 * np.add.outer(np.cos(at / 41), np.sin(at / 57)))
        for count in (1, TILES):
            sources = "".join(
                f'<SimpleSource><SourceFilename relativeToVRT="1">tile.tif</SourceFilename><SourceBand>1</SourceBand>'
                f'<SrcRect xOff="0" yOff="0" xSize="{side}" ySize="{side}"/>'
                f'<DstRect xOff="{side * column}" yOff="{side * row}" xSize="{side}" ySize="{side}"/></SimpleSource>'
                for row in range(count)
                for column in range(count)
            )
            whole = side * count
            (folder / f"mosaic_{count}.vrt").write_text(
                f'<VRTDataset rasterXSize="{whole}" rasterYSize="{whole}"><SRS>EPSG:3035</SRS>'
                f"<GeoTransform>{CORNER[0]}, {CELL}, 0, {CORNER[1] + whole * CELL}, 0, -{CELL}</GeoTransform>"
                f'<VRTRasterBand dataType="Float64" band="1">{sources}</VRTRasterBand></VRTDataset>'
            )
        peaks = [
            subprocess.run(
                [sys.executable, __file__, str(folder), f"mosaic_{count}.vrt", str(side * count * CELL)],
                check=True, capture_output=True, text=True,
            ).stdout.strip()
            for count in (1, TILES)
        ]  # fmt: skip
    return f"peak memory: {peaks[1]} MB on a virtual mosaic of 20 GB, {peaks[0]} MB on one of 0.2 GB"


if __name__ == "__main__":  # called by mosaic_memory in a process of its own
    place, file, extent = sys.argv[1:]
    measure_relief(patches(float(extent)), Elevation((file,), Path(place), units="m"))
    status = Path("/proc/self/status").read_text(encoding="ascii")  # what the kernel counted since the program began
    print(int(status.split("VmHWM:")[1].split()[0]) // 1024)
