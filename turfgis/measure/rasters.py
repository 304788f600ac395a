"""Opening a raster: where it lies, and what is wrong with it, said in words."""

import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import numpy as np
import pyproj
import rasterio
from rasterio.enums import ColorInterp
from rasterio.errors import NotGeoreferencedWarning, RasterioError
from rasterio.io import DatasetReader, MemoryFile
from rasterio.transform import Affine
from rasterio.vrt import WarpedVRT

from turfgis.errors import LayerError
from turfgis.layers.crs import horizontal, parse_crs


@contextmanager
def open_raster(path: Path, crs: str | None, ask: str) -> Iterator[tuple[DatasetReader, pyproj.CRS]]:
    """
    Open a raster and tell in which reference system it lies.

    Parameters
    ----------
    path
        Any raster that GDAL reads.
    crs
        Its reference system, where the file does not say it or says it wrongly.
    ask
        What to do where nothing says it, for the message.

    Yields
    ------
    raster, system
        The raster, and its two-dimensional reference system.

    Raises
    ------
    LayerError
        There is no such file, it is no raster, it breaks off, or nothing says where on earth it lies.
    """
    if not path.exists():
        raise LayerError(f"{path.name}: no such file")
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", NotGeoreferencedWarning)
            raster = rasterio.open(path)
        with raster:
            yield raster, _system(raster, path.name, crs, ask)
    except RasterioError as error:
        cause = " ".join(str(error.__cause__ or error).replace(str(path), path.name).split())
        raise LayerError(f"{path.name}: cannot be read as a picture or raster ({cause[:160]})") from None


def _system(raster: DatasetReader, name: str, crs: str | None, ask: str) -> pyproj.CRS:
    if raster.transform == Affine.identity() and not raster.gcps[0]:
        raise LayerError(
            f"{name}: nothing says where on earth it lies; put its world file beside it (.jgw, .wld ...), "
            "or save it as a GeoTIFF"
        )
    written = raster.crs or raster.gcps[1]
    if crs is not None:
        return horizontal(parse_crs(crs, name))
    if not written:
        raise LayerError(f"{name}: does not say its coordinate reference system; {ask}")
    system = horizontal(pyproj.CRS.from_user_input(written))
    if not (system.is_geographic or system.is_projected):
        raise LayerError(f"{name}: {system.name} is neither a map projection nor longitude and latitude; {ask}")
    return system


def seems(path: Path) -> str:
    """What a file beside the layers seems to hold, by its bands: ``heights``, a ``photo``, or nothing of use."""
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", NotGeoreferencedWarning)
            with rasterio.open(path) as raster:
                if raster.transform == Affine.identity():
                    return ""
                if raster.count >= 3:
                    return "photo"
                return "heights" if raster.count == 1 and raster.dtypes[0] != "uint8" else ""
    except RasterioError:
        return ""


def warped(raster: DatasetReader, system: pyproj.CRS, to: pyproj.CRS | str, **how) -> WarpedVRT:
    """The raster as it looks in another reference system, read by windows; what lies beyond it is masked."""
    if raster.nodata is None and np.dtype(raster.dtypes[0]).kind == "f":
        how |= {"src_nodata": np.nan, "nodata": np.nan}  # a band of transparency does not go with such values
    elif raster.nodata is None and ColorInterp.alpha not in raster.colorinterp:
        how["add_alpha"] = True
    there = pyproj.CRS.from_user_input(to).to_wkt()
    return WarpedVRT(raster, src_crs=system.to_wkt(), crs=there, **how)


def colour_bands(raster: DatasetReader) -> list[int]:
    """
    Which bands show red, green and blue; a single band of grey three times.

    A fourth band is infrared or transparency: neither is shown.
    """
    kinds = list(raster.colorinterp)
    wanted = [ColorInterp.red, ColorInterp.green, ColorInterp.blue]
    if all(kind in kinds for kind in wanted):
        return [kinds.index(kind) + 1 for kind in wanted]
    plain = [number for number, kind in enumerate(kinds, 1) if kind != ColorInterp.alpha]
    return plain[:3] if len(plain) >= 3 else [plain[0]] * 3


def colours(values: np.ndarray, palette: dict | None, span: tuple[float, float] | None) -> np.ndarray:
    """
    Values of three bands as colours from 0 to 255, bands last.

    Parameters
    ----------
    values
        Bands first.
    palette
        Colours of the values of a single band, or None.
    span
        What is to be black and what white; None where the values are colours already.
    """
    if palette:
        table = np.zeros((max(palette) + 1, 3), np.uint8)
        for number, colour in palette.items():
            table[number] = colour[:3]
        return table[np.clip(values[0].astype(int), 0, len(table) - 1)]
    if span is not None:
        low, high = span
        # Values without a meaning, as of cells beyond the edge, are masked wherever these colours go.
        scaled = np.nan_to_num((values.astype(np.float32) - low) * (255 / max(high - low, 1e-12)))
        values = np.clip(scaled, 0, 255)
    return np.moveaxis(values, 0, -1).astype(np.uint8)


def colour_span(sample: np.ndarray, inside: np.ndarray) -> tuple[float, float] | None:
    """
    What is black and what white in a picture of more than 8 bits: all but the darkest and brightest half per cent.

    Examples
    --------
    >>> colour_span(np.arange(0, 4001, dtype="uint16").reshape(1, 1, 4001), np.ones((1, 4001), bool))
    (20.0, 3980.0)
    >>> colour_span(np.zeros((1, 2, 2), "uint8"), np.ones((2, 2), bool)) is None
    True
    """
    if sample.dtype == np.uint8:
        return None
    values = sample[:, inside]
    values = values[np.isfinite(values)]
    if not values.size:
        return 0.0, 1.0
    low, high = np.quantile(values, [0.005, 0.995])
    return float(low), float(high)


def encoded(image: np.ndarray, driver: str, **more: Any) -> bytes:
    """Colours, bands last, as the content of a picture file; where it lies on earth is said beside it."""
    profile = {"height": image.shape[0], "width": image.shape[1], "count": image.shape[2], "dtype": "uint8"}
    with MemoryFile() as memory, warnings.catch_warnings():
        warnings.simplefilter("ignore", NotGeoreferencedWarning)
        with memory.open(driver=driver, **profile, **more) as out:
            out.write(np.moveaxis(image, -1, 0))
        return memory.read()
