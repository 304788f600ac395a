"""
The heights of the ground: one raster or many tiles on one grid, read by windows.

Nothing is resampled. Outlines are carried to the grid instead, so that a grid in degrees or feet, or one that is
turned, gives the slopes it holds.
"""

from __future__ import annotations

import warnings
from dataclasses import dataclass
from glob import glob, has_magic
from pathlib import Path

import numpy as np
import pyproj
import rasterio
from rasterio.enums import MaskFlags
from rasterio.errors import NotGeoreferencedWarning, RasterioError
from rasterio.windows import Window

from turfgis.errors import LayerError
from turfgis.layers.crs import horizontal, parse_crs
from turfgis.layers.findings import Finding, listed
from turfgis.measure.frame import transformer

FOOT, US_FOOT = 0.3048, 1200 / 3937
UNITS = {"m": 1.0, "ft": FOOT, "US survey ft": US_FOOT}
# What rasters write for their unit; anything else is asked for.
_WRITTEN = {
    **dict.fromkeys(("m", "metre", "metres", "meter", "meters"), "m"),
    **dict.fromkeys(("ft", "foot", "feet", "international foot", "foot_int"), "ft"),
    **dict.fromkeys(
        ("us survey foot", "us survey feet", "foot_us", "us-ft", "ussft", "ftus", "us-foot"), "US survey ft"
    ),
}
# No ground lies lower or higher (shore of the Dead Sea -430 m, Everest 8,849 m): such a figure stands for a gap.
LOWEST_M, HIGHEST_M = -500.0, 9000.0
OFF_GRID = 1e-3  # how far tiles may lie beside a common grid, in cells


@dataclass(frozen=True)
class Elevation:
    """
    What is said of the heights.

    Attributes
    ----------
    files
        Files, or patterns of them, in the order of the settings.
    folder
        Where they lie.
    units
        ``m``, ``ft`` or ``US survey ft``; None to be taken from the raster.
    crs
        Reference system, where the raster does not say it.
    smoothing_m
        Distance over which heights are averaged. [m]
    accuracy_m
        Standard deviation of single heights, each with an error of its own; None to be told from the heights. [m]
    """

    files: tuple[str, ...]
    folder: Path
    units: str | None = None
    crs: str | None = None
    smoothing_m: float = 0.0
    accuracy_m: float | None = None

    @property
    def label(self) -> str:
        """How messages call it."""
        return self.files[0] if len(self.files) == 1 else f"{self.files[0]} and {len(self.files) - 1} more"


@dataclass(frozen=True)
class Tile:
    """One file, and where its first cell lies on the common grid."""

    path: str
    row: int
    column: int
    rows: int
    columns: int


class HeightGrid:
    """
    Heights on one grid of cells.

    Attributes
    ----------
    crs
        Its reference system.
    tiles
        Its files.
    metres
        Metres in one unit of height.
    gaps
        Figures that stand for a gap though the file does not say so, as far as they were met.
    """

    def __init__(
        self, crs: pyproj.CRS, transform: rasterio.Affine, tiles: list[Tile], metres: float, frame: pyproj.CRS
    ):
        self.crs, self.tiles, self.metres = crs, tiles, metres
        self._corner, self._to_cells = _corner(transform), _to_cells(transform)
        self.gaps: set[float] = set()
        self._way = transformer(frame, crs)
        self._open: tuple[str, rasterio.DatasetReader, bool, float, float] | None = None  # one file at a time
        # Megabytes: windows are read once, so that little is worth keeping. Reading past this cache (GTIFF_DIRECT_IO)
        # would be quicker, but gives heights of nought for what is broken off a file.
        self._env = rasterio.Env(GDAL_CACHEMAX=64)

    def __enter__(self) -> HeightGrid:
        self._env.__enter__()
        return self

    def __exit__(self, *error: object) -> None:
        if self._open:
            self._open[1].close()
            self._open = None
        self._env.__exit__(*error)

    def cells(self, xy: np.ndarray) -> np.ndarray:
        """Places in the frame [m] as columns and rows of the grid. Shape (n, 2)."""
        x, y = self._way.transform(xy[:, 0], xy[:, 1])
        return (np.column_stack([x, y]) - self._corner) @ self._to_cells.T

    def places(self, cells: np.ndarray) -> np.ndarray:
        """Columns and rows of the grid as places in the frame. [m] Shape (n, 2)."""
        x, y = (cells @ np.linalg.inv(self._to_cells).T + self._corner).T
        return np.column_stack(self._way.transform(x, y, direction="INVERSE"))

    def near(self, left: float, top: float, right: float, bottom: float) -> bool:
        """Whether a box in columns and rows reaches any of the files; one that cannot be shown there does not."""
        return bool(np.isfinite([left, top, right, bottom]).all()) and any(
            left < tile.column + tile.columns
            and right > tile.column
            and top < tile.row + tile.rows
            and bottom > tile.row
            for tile in self.tiles
        )

    def steps(self, xy: np.ndarray) -> np.ndarray:
        """
        What one metre east and one metre north are in columns and rows, about places in the frame. Shape (n, 2).

        Returns
        -------
        Matrices whose first row is columns and rows per metre east, their second row those per metre north. [1/m]
        Shape (n, 2, 2).
        """
        beside = np.array([[-50.0, 0.0], [0.0, -50.0], [50.0, 0.0], [0.0, 50.0]])
        around = self.cells((xy[:, None] + beside).reshape(-1, 2)).reshape(-1, 4, 2)
        return (around[:, 2:] - around[:, :2]) / 100

    def read(self, row: int, column: int, rows: int, columns: int) -> np.ndarray:
        """
        Heights of a window. [m] Not a number beyond the rim and where none is known. Shape (rows, columns).

        Raises
        ------
        LayerError
            A file is broken off or cannot be read.
        """
        heights = np.full((rows, columns), np.nan)
        for tile in self.tiles:
            top, bottom = max(row, tile.row), min(row + rows, tile.row + tile.rows)
            left, right = max(column, tile.column), min(column + columns, tile.column + tile.columns)
            if top >= bottom or left >= right:
                continue
            window = Window(left - tile.column, top - tile.row, right - left, bottom - top)  # type: ignore[call-arg]
            found = self._heights(tile.path, window)
            if found.shape == heights.shape:
                return found
            part = heights[top - row : bottom - row, left - column : right - column]
            np.copyto(part, found, where=~np.isnan(found))
        return heights

    def _heights(self, path: str, window: Window) -> np.ndarray:
        if self._open is None or self._open[0] != path:
            if self._open:
                self._open[1].close()
            raster = _opened(path)
            gaps = raster.mask_flag_enums[0] != [MaskFlags.all_valid]
            self._open = (path, raster, gaps, raster.scales[0] * self.metres, raster.offsets[0] * self.metres)
        _, raster, gaps, scale, offset = self._open
        try:
            heights = raster.read(1, window=window, masked=gaps).astype(float, copy=False)
        except RasterioError as error:
            raise LayerError(f"{Path(path).name}: cannot be read to its end ({_plain(error)}); copy it anew") from None
        if gaps:
            heights = heights.filled(np.nan)
        if (scale, offset) != (1.0, 0.0):
            heights = heights * scale + offset
        if not (heights.min() >= LOWEST_M and heights.max() <= HIGHEST_M):  # nor where a height is not known
            beyond = (heights < LOWEST_M) | (heights > HIGHEST_M)
            self.gaps |= set(np.unique(heights[beyond] / self.metres).round(6)[:5].tolist())
            heights[beyond] = np.nan
        return heights


def _plain(error: Exception) -> str:
    cause = error.__cause__ or error
    return " ".join(str(cause).split())[:160]


def _paths(said: Elevation) -> list[str]:
    found: list[str] = []
    for name in said.files:
        path = said.folder / name
        if has_magic(name) and not path.exists():
            tiles = sorted(glob(str(path)))
            if not tiles:
                raise LayerError(f"{name}: no file of this pattern for [elevation]")
            found += tiles
        elif not path.exists():
            raise LayerError(f"{name}: no such file for [elevation]")
        else:
            found.append(str(path))
    return list(dict.fromkeys(found))


def open_grid(said: Elevation, frame: pyproj.CRS) -> tuple[HeightGrid | None, list[Finding]]:
    """
    Open the rasters of heights.

    Parameters
    ----------
    said
        Which, and what is said of them.
    frame
        The frame of the course.

    Returns
    -------
    The grid, or None where it cannot be used, and what there is to say about it.

    Raises
    ------
    LayerError
        A file is not there.
    """
    tiles: list[Tile] = []
    first: tuple | None = None
    apart: list[str] = []
    finding = _Findings(said.label)
    for path in _paths(said):
        try:
            raster = _opened(path)
        except RasterioError as error:
            finding.error("elevation_unreadable", f"{Path(path).name} is no raster that can be read ({_plain(error)}).")
            return None, finding.found
        with raster:
            grid = (raster.crs.to_wkt() if raster.crs else None, raster.transform, _unit(raster), raster.count)
            first = first or grid
            column, row = _to_cells(first[1]) @ (_corner(grid[1]) - _corner(first[1]))
            off = max(abs(column - round(column)), abs(row - round(row)))
            same = np.allclose(grid[1][:2] + grid[1][3:5], first[1][:2] + first[1][3:5], rtol=1e-9, atol=0.0)
            if grid[0] != first[0] or grid[2] != first[2] or not same or off > OFF_GRID:
                apart.append(Path(path).name)
                continue
            tiles.append(Tile(path, round(row), round(column), raster.height, raster.width))
    if first is None:
        raise LayerError("[elevation]: no file is given")
    if apart:
        finding.error(
            "elevation_tiles",
            f"{listed(apart)} do not lie on the grid of {Path(tiles[0].path).name} (reference system, size of cells, "
            "unit or offset differ). Bring them onto one grid, or name one raster.",
        )
        return None, finding.found
    crs = _system(first[0], said, finding)
    metres = _metres(first[2], first[0], said, finding)
    if crs is None or metres is None:
        return None, finding.found
    if first[1].b or first[1].d:
        finding.note("elevation_rotated", "The grid is turned against its reference system; it is used as it lies.")
    return HeightGrid(crs, first[1], tiles, metres, frame), finding.found


class _Findings:
    """Findings about the heights, each with the name of the file."""

    def __init__(self, file: str):
        self.file, self.found = file, []

    def add(self, level: str, code: str, text: str) -> None:
        self.found.append(Finding(level, code, self.file, "", "", text))

    def error(self, code: str, text: str) -> None:
        self.add("error", code, text + " No slopes or true areas are given.")

    def warning(self, code: str, text: str) -> None:
        self.add("warning", code, text)

    def note(self, code: str, text: str) -> None:
        self.add("note", code, text)


def _opened(path: str) -> rasterio.DatasetReader:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", NotGeoreferencedWarning)
        return rasterio.open(path)


def _corner(transform: rasterio.Affine) -> np.ndarray:
    """Where the first cell of a grid begins."""
    return np.array([transform.c, transform.f])


def _to_cells(transform: rasterio.Affine) -> np.ndarray:
    """Matrix from x and y to columns and rows."""
    return np.linalg.inv(np.array([[transform.a, transform.b], [transform.d, transform.e]]))


def _unit(raster: rasterio.DatasetReader) -> str:
    return (raster.units[0] or "").strip()


def _system(wkt: str | None, said: Elevation, finding: _Findings) -> pyproj.CRS | None:
    if said.crs is not None:
        crs = horizontal(parse_crs(said.crs, f"{said.label}, [elevation]"))
        if wkt and not crs.equals(horizontal(pyproj.CRS.from_wkt(wkt)), ignore_axis_order=True):
            finding.warning(
                "crs_replaced", f"The settings say {crs.name}, the raster another system: the settings go first."
            )
        return crs
    if wkt:
        crs = horizontal(pyproj.CRS.from_wkt(wkt))
        if crs.is_projected or crs.is_geographic:
            return crs
    finding.error(
        "elevation_no_crs", 'The raster does not say its reference system; say crs = "EPSG:..." under [elevation].'
    )
    return None


def _metres(written: str, wkt: str | None, said: Elevation, finding: _Findings) -> float | None:
    """Metres in a unit of height: as the settings say, else as the raster does; asked for where neither does."""
    stated = _WRITTEN.get(written.lower()) or _vertical_unit(wkt)
    if said.units is not None:
        if stated is not None and stated != said.units:
            finding.warning(
                "elevation_unit_replaced",
                f"The raster gives heights in {stated}, the settings say {said.units}: the settings go first.",
            )
        return UNITS[said.units]
    if stated is not None:
        return UNITS[stated]
    said_so = (
        f"The raster gives its unit of height as '{written}', which is not known"
        if written
        else ("The raster does not say in what unit its heights are")
    )
    finding.error("elevation_unit_unknown", f'{said_so}; say units = "m", "ft" or "US survey ft" under [elevation].')
    return None


def _vertical_unit(wkt: str | None) -> str | None:
    if wkt is None:
        return None
    crs = pyproj.CRS.from_wkt(wkt)
    parts = crs.sub_crs_list if crs.is_compound else [crs]
    axes = [axis for part in parts for axis in part.axis_info if axis.direction in ("up", "down")]
    if not axes:
        return None
    factor = axes[0].unit_conversion_factor
    return next((name for name, metres in UNITS.items() if abs(factor / metres - 1) < 1e-7), None)
