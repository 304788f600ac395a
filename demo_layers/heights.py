"""
The heights of the demo course, made up like everything else: dunes with flat greens and tees, banks, sand and water.

A grid of 1 m on the national grid, in whole centimetres. The numbers are common practice, no source: greens that fall
two or three in a hundred, the ground before them eased until nothing on it is steeper than five in a hundred before
the green is raised, faces of bunkers of one in two or steeper, tees raised by half a metre to a metre and a half on
banks of one in two; one back tee stands on a high bank, because such places are why slopes are measured.
"""

from pathlib import Path

import numpy as np
import rasterio
import shapely
from ground import draw_property
from holes import Drawing, stream
from photo import Place
from rasterio.transform import from_origin
from scipy.ndimage import gaussian_filter
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

CELL = 1.0  # [m]
MARGIN = 15.0  # beyond the property [m]
STEP = 0.01  # heights are kept in whole steps [m]
PLATEAU = "11"  # the hole whose back tee stands on a high bank
GENTLE = 0.05  # steepest fall of what was eased


class Ground:
    """Heights on a grid, to be shaped feature by feature."""

    def __init__(self, land: BaseGeometry):
        left, bottom, right, top = land.bounds
        self.left, self.top = np.floor(left - MARGIN), np.ceil(top + MARGIN)
        self.columns, self.rows = (int(size + 2 * MARGIN) for size in (right - left, top - bottom))
        self.x = self.left + (np.arange(self.columns) + 0.5) * CELL
        self.y = self.top - (np.arange(self.rows) + 0.5) * CELL
        self.z = self._dunes()
        self.laid: list[BaseGeometry] = []  # planes that banks laid later stop at

    def _dunes(self) -> np.ndarray:
        """Slow waves of several lengths and directions, some 9 m from the lowest to the highest."""
        rng, z = stream(40, 1), np.full((self.rows, self.columns), 9.0)
        for length, height in ((420, 2.2), (260, 1.6), (150, 0.9), (85, 0.45), (47, 0.2)):
            for _ in range(2):
                bearing, phase = 2 * np.pi * rng.random(), 2 * np.pi * rng.random()
                along = np.add.outer(self.y * np.sin(bearing), self.x * np.cos(bearing))
                z += height * np.sin(2 * np.pi * along / length + phase)
        return z

    def near(self, shape: BaseGeometry, reach: float) -> tuple[tuple[slice, slice], np.ndarray, np.ndarray, np.ndarray]:
        """Window about a shape; x and y of its cells; how far each lies outside (above 0) or inside (below 0). [m]"""
        left, bottom, right, top = shape.buffer(reach).bounds
        columns = slice(*np.searchsorted(self.x, [left, right]))
        rows = slice(*np.searchsorted(-self.y, [-top, -bottom]))
        x, y = np.meshgrid(self.x[columns], self.y[rows])
        points = shapely.points(x, y)
        outside, edge = shapely.distance(shape, points), shapely.distance(shapely.boundary(shape), points)
        return (rows, columns), x, y, np.where(outside > 0, outside, -edge)

    def ease(self, shape: BaseGeometry, beyond: float) -> None:
        """Smooth the ground under a shape, wider and wider, until it is gentle; beyond the shape less and less."""
        window, _, _, far = self.near(shape, beyond + 40.0)
        share, before = smooth_step(1 - far / beyond), self.z[window].copy()
        for reach in range(2, 40, 2):
            self.z[window] = share * gaussian_filter(before, reach) + (1 - share) * before
            if np.hypot(*np.gradient(self.z[window]))[far < 0].max() < GENTLE:
                break

    def lay_flat(self, shape: BaseGeometry, raised: float, fall: float, bearing: float, bank: float) -> None:
        """A plane that falls along a bearing, raised above the ground about it, and a bank down to that ground."""
        window, x, y, far = self.near(shape, bank)
        middle = shape.centroid
        along = (x - middle.x) * np.sin(bearing) + (y - middle.y) * np.cos(bearing)
        plane = float(self.z[window][far < 0].mean()) + raised - fall * along
        share = smooth_step(1 - far / bank)
        for other in self.laid:
            if other.distance(shape) < bank:
                share *= smooth_step(shapely.distance(other, shapely.points(x, y)) / 2.0)
        self.z[window] = share * plane + (1 - share) * self.z[window]
        self.laid.append(shape)

    def dig(self, shape: BaseGeometry, deep: float, face: float, lip: float) -> None:
        """A hollow with faces of a width all round, and a low lip about it."""
        window, _, _, far = self.near(shape, 3.0)
        self.z[window] += lip * np.exp(-np.square(far - 0.8) / 1.5) * (far > 0) - deep * smooth_step(-far / face)

    def flood(self, shape: BaseGeometry, below: float, bank: float) -> None:
        """A level water under the lowest ground about it, and banks down to it."""
        window, _, _, far = self.near(shape, bank)
        level = float(np.quantile(self.z[window][far < bank], 0.05)) - below
        share = smooth_step(1 - far / bank)
        self.z[window] = share * level + (1 - share) * self.z[window]

    def cut(self, shape: BaseGeometry, below: float, bank: float) -> None:
        """A channel that follows the fall of the ground."""
        window, _, _, far = self.near(shape, bank)
        self.z[window] -= below * smooth_step(1 - far / bank)


def smooth_step(share: np.ndarray) -> np.ndarray:
    """From 0 to 1 without a corner at either end."""
    share = np.clip(share, 0.0, 1.0)
    return share * share * (3 - 2 * share)


def draw_heights(board: Drawing, place: Place, file: Path) -> None:
    """Shape the ground under everything drawn, and write it; ``place`` carries a shape to the national grid."""
    ground = Ground(place(draw_property()))
    rng = stream(40, 2)
    for hole in {row["hole"]: None for row in board.rows["approaches"]}:
        green = [row for layer in ("greens", "approaches") for row in board.rows[layer] if row["hole"] == hole]
        ground.ease(place(unary_union([row["geometry"] for row in green])), 25.0)
    for row in board.rows["water"]:
        if row["sort"] == "pond":
            ground.flood(place(row["geometry"]), 0.4, 6.0)
        else:
            ground.cut(place(row["geometry"]), 0.9, 2.5)
    for row in board.rows["greens"]:
        ground.lay_flat(
            place(row["geometry"]), 0.6 * rng.random(), 0.018 + 0.012 * rng.random(), 6.28 * rng.random(), 13
        )
    seen: set[str] = set()
    for row in board.rows["tees"]:
        high = row["hole"] == PLATEAU and PLATEAU not in seen
        seen.add(row["hole"])
        raised = 3.2 if high else 0.4 + 0.9 * rng.random()
        ground.lay_flat(place(row["geometry"]), raised, 0.008, 6.28 * rng.random(), 5.5 if high else 3 + 3.2 * raised)
    for row in board.rows["bunkers"]:
        ground.dig(
            place(row["geometry"]), 0.7 + 0.8 * rng.random(), 1.6 + 0.8 * rng.random(), 0.1 + 0.15 * rng.random()
        )
    write(ground, file)


def write(ground: Ground, file: Path) -> None:
    """Whole centimetres, with the step said in the file."""
    heights = gaussian_filter(ground.z, 0.6)  # what a survey from the air sees of a sharp edge
    profile = {
        "driver": "GTiff", "width": ground.columns, "height": ground.rows, "count": 1, "dtype": "int16",
        "crs": "EPSG:2157", "transform": from_origin(ground.left, ground.top, CELL, CELL), "nodata": -32768,
        "compress": "DEFLATE", "predictor": 2, "zlevel": 9, "tiled": True, "blockxsize": 256, "blockysize": 256,
    }  # fmt: skip
    with rasterio.open(file, "w", **profile) as out:
        out.write(np.round(heights / STEP).astype("int16"), 1)
        out.scales, out.offsets, out.units = (STEP,), (0.0,), ("m",)
