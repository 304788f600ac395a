"""
An "air photo" of the demo course, drawn from the same shapes: nobody flew over an island that does not exist.

Pixels of 0.25 m on the national grid, sun in the south-west. The look of each surface is a mix of two colours in
patches, lightness that varies from metre to metre, and the two tones that a mower leaves. Everything random is drawn
from streams of the same seed as the shapes. The numbers are common practice, no source: stripes two passes of a
mower wide, trees of 5 to 13 m, shade as long as they are tall.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
import rasterio
import shapely
from curves import wander
from ground import draw_property
from holes import Drawing, Row, stream
from PIL import Image
from rasterio.features import rasterize
from rasterio.transform import Affine
from rasterio.windows import Window
from routing import CLUBHOUSE, HOLES, RANGE
from scipy.ndimage import gaussian_filter
from shapely import Point, Polygon, affinity, box, prepare
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

PIXEL = 0.25  # [m]
MARGIN = 25.0  # sea and fields beyond the property [m]
QUALITY = 72  # of the JPEG tiles: the whole course in some 2 MB
BAND = 512  # rows drawn at once
SUN = np.array([-0.57, -0.82])  # towards the sun on the ground, east and north
SHADE = 0.5  # what is left of the light in a shadow
SHADED = ("5", "12")  # greens with trees on their sunny side
TURN = np.radians(14.0)  # of the drawing board
Colour = tuple[int, ...]
Place = Callable[[BaseGeometry], BaseGeometry]


@dataclass(frozen=True)
class Look:
    """How a surface looks from above: two colours in patches, grain, and stripes of a width along a bearing."""

    colour: Colour
    other: Colour
    grain: float = 0.05
    patches: float = 1.0  # size of the patches of colour against those of the fairway: 0 fine, 1 broad
    stripe: float = 0.0  # width of one tone [m]
    contrast: float = 0.0  # of the two tones
    bearing: float = 0.0  # [rad]


LOOKS = {
    "sea": Look((32, 72, 92), (40, 84, 100), 0.03),
    "field": Look((128, 142, 84), (150, 150, 96), 0.04),
    "hay": Look((184, 172, 112), (172, 158, 100), 0.04, stripe=6.0, contrast=0.03, bearing=0.5),
    "hedge": Look((54, 74, 44), (66, 86, 50), 0.2, 0.0),
    "shallows": Look((78, 130, 128), (92, 142, 134), 0.03),
    "surf": Look((226, 232, 226), (120, 160, 152), 0.1, 0.0),
    "beach": Look((208, 194, 158), (192, 176, 140), 0.04),
    "marram": Look((146, 148, 100), (176, 166, 124), 0.16, 0.3),
    "rough": Look((112, 118, 70), (152, 142, 92), 0.15, 0.6),
    "semi-rough": Look((86, 117, 62), (104, 124, 70), 0.09, 0.6),
    "yard": Look((128, 126, 122), (118, 116, 114), 0.04),
    "surround": Look((88, 124, 64), (102, 132, 72), 0.07, 0.6),
    "fairway": Look((102, 142, 74), (118, 148, 82), 0.04, 1.0, 5.0, 0.055),
    "approach": Look((106, 147, 76), (116, 150, 82), 0.035, 1.0, 2.0, 0.05),
    "collar": Look((90, 132, 64), (98, 136, 68), 0.04, 1.0),
    "tee": Look((110, 148, 78), (124, 150, 86), 0.04, 0.5, 1.6, 0.05),
    "green": Look((130, 166, 92), (136, 168, 98), 0.022, 1.0, 1.1, 0.045),
    "path": Look((184, 174, 156), (172, 162, 146), 0.05, 0.0),
    "reeds": Look((96, 104, 62), (120, 116, 74), 0.18, 0.0),
    "water": Look((44, 64, 68), (56, 78, 76), 0.02),
    "bunker": Look((226, 213, 176), (214, 199, 160), 0.03, 0.0, 0.5, 0.018),
    "shade": Look((56, 56, 60), (52, 52, 58), 0.04),
    "roof": Look((116, 88, 80), (104, 80, 74), 0.06, 0.0),
}
CAR_PAINT = [(214, 216, 218), (38, 40, 44), (150, 152, 156), (122, 34, 34), (40, 62, 104), (226, 224, 214)]
# What is drawn over what: a layer of the drawing, its look, and how far it reaches beyond its outline. [m]
UPWARDS = [
    ("SEMI", "semi-rough", 0.0), ("YARD", "yard", 0.0), ("tees", "surround", 2.0), ("surrounds", "surround", 0.0),
    ("fairways", "fairway", 0.0), ("approaches", "approach", 0.0), ("strips", "collar", 1.0),
    ("collars", "collar", 0.0), ("paths", "path", 0.0), ("water", "reeds", 1.1), ("water", "water", 0.0),
    ("bunkers", "bunker", 0.0), ("tees", "tee", 0.0), ("greens", "green", 0.0),
]  # fmt: skip


@dataclass(frozen=True)
class Plant:
    """A tree or a bush: its place on the grid, the radius of its crown and its height. [m]"""

    x: float
    y: float
    radius: float
    height: float
    colour: Colour


@dataclass(frozen=True)
class Sheet:
    """The pixels: where they lie on the grid, and how many there are."""

    left: float
    top: float
    width: int
    height: int

    @property
    def transform(self) -> Affine:
        return Affine(PIXEL, 0, self.left, 0, -PIXEL, self.top)

    def noise(self, key: int, cell: float) -> np.ndarray:
        """Smooth random values, most of them between -1 and 1, that change over a length. [m] Kept in hundredths."""
        size = (int(self.height * PIXEL / cell) + 2, int(self.width * PIXEL / cell) + 2)
        lattice = Image.fromarray(((stream(30, key).random(size) - 0.5) * 200).astype(np.float32))
        return np.asarray(lattice.resize((self.width, self.height), Image.Resampling.BICUBIC)).astype(np.int8)


def sheet_for(land: BaseGeometry) -> Sheet:
    west, south, east, north = land.buffer(MARGIN).bounds
    left, top = np.floor(west), np.ceil(north)
    return Sheet(left, top, int((np.ceil(east) - left) / PIXEL), int((top - np.floor(south)) / PIXEL))


def mowing_bearing(row: Row) -> float:
    """The way a mower goes on a shape: along the line of play where it passes. [rad] on the drawing board"""
    hole = str(row.get("hole"))
    curve = (HOLES[int(hole)] if hole.isdigit() else RANGE).curve
    at = curve.project(row["geometry"].centroid)
    (x0, y0), (x1, y1) = (curve.interpolate(min(max(at + d, 0), curve.length)).coords[0] for d in (-15, 15))
    return float(np.arctan2(y1 - y0, x1 - x0))


def seaward() -> Polygon:
    """All beyond the property where its edge is a shore; fields lie beyond the fence. Still on the drawing board."""
    middle, reach = np.array([560.0, 270.0]), np.linspace(0, 1500, 60)
    wave = wander(stream(20, 5), [310, 140, 60], 9.0)
    rays = []
    for turn in (1.134 - 1.264, 1.134 + 1.264):  # where the property's shore gives way to its fence
        ahead = np.array([np.cos(turn), np.sin(turn)])
        rays.append(middle + ahead * reach[:, None] + np.array([-ahead[1], ahead[0]]) * wave(reach + turn)[:, None])
    farm = Polygon(np.vstack([rays[0], rays[1][::-1]])).buffer(0)
    return Point(middle).buffer(1400).difference(farm)


def painted(board: Drawing, place: Place, land: BaseGeometry) -> list[tuple[BaseGeometry, Look]]:
    """Shapes on the grid and their looks, from the bottom up."""
    frame = box(*land.buffer(MARGIN * 2).bounds)
    farm = frame.difference(place(seaward()))
    out: list[tuple[BaseGeometry, Look]] = [(frame, LOOKS["sea"])]
    deep, near = np.array(LOOKS["sea"].colour), np.array(LOOKS["shallows"].colour)
    coast = land.union(farm)
    for step in range(10):  # the bottom shows through where the sea is shallow
        mixed = (deep + (near - deep) * ((step + 1) / 10) ** 1.5).astype(int)
        out.append((coast.buffer(34 - 2.6 * step), Look(tuple(mixed), tuple(mixed + 8), 0.04)))
    out += [(coast.buffer(7), LOOKS["surf"]), (coast.buffer(5.5), LOOKS["beach"]), (farm, LOOKS["field"])]
    for count, x in enumerate(range(-300, 1500, 165)):
        strip = place(box(x, -600, x + 165, 1300)).intersection(farm)
        out += [(strip, LOOKS["hay"])] * (count % 3 == 1) + [(strip.boundary.buffer(1.3), LOOKS["hedge"])]
    out += [(land, LOOKS["marram"]), (land.buffer(-9).union(land.intersection(farm.buffer(40))), LOOKS["rough"])]
    out.append((land.boundary.intersection(farm.buffer(2)).buffer(0.5), LOOKS["hedge"]))
    rows = board.rows | {kind: [row for row in board.rows["rough"] if row["kind"] == kind] for kind in ("SEMI", "YARD")}
    drawn = {row["hole"] for row in rows["collars"]}
    rows["strips"] = [row for row in rows["greens"] if row["hole"] not in drawn]
    for layer, name, grow in UPWARDS:
        for number, row in enumerate(rows[layer]):
            look, (lift, tilt) = LOOKS[name], stream(32, len(layer), number).random(2)
            bearing = mowing_bearing(row) + TURN if look.stripe else 0.0
            if name == "green":  # mown on a new line each time
                bearing += (tilt - 0.5) * 2.4
            lift = 1 + 0.05 * (lift - 0.5)  # no two are fed and watered quite alike
            colours = {key: tuple(int(c * lift) for c in getattr(look, key)) for key in ("colour", "other")}
            out.append((place(row["geometry"]).buffer(grow), replace(look, bearing=bearing, **colours)))
    return out + [(place(shape), look) for shape, look in yard()]


def yard() -> list[tuple[BaseGeometry, Look]]:
    """The clubhouse with its shadow and its ridge, and cars in two rows. Still on the drawing board."""
    x, y = CLUBHOUSE
    house = box(x - 18, y - 2, x + 12, y + 9).union(box(x - 18, y + 4, x - 8, y + 22))
    shadow = unary_union([affinity.translate(house, 0.45 * step, 0.75 * step) for step in range(8)])
    sunny = house.intersection(box(x - 13, y - 9, x + 50, y + 3.5).union(box(x - 18, y + 9, x - 13, y + 50)))
    out = [(shadow, LOOKS["shade"]), (house, LOOKS["roof"]), (sunny, replace(LOOKS["roof"], colour=(142, 112, 100)))]
    rng = stream(20, 6)
    for bay in range(24):
        place, paint, there = rng.random(3)
        left, low = x + 2.8 * (bay % 12), y + 15 + 12 * (bay // 12)
        if there < 0.7:
            colour = CAR_PAINT[int(paint * len(CAR_PAINT))]
            car = box(left, low + 0.5 * place, left + 1.9, low + 4.4 + 0.5 * place)
            out += [(affinity.translate(car, 0.5, 0.7), LOOKS["shade"]), (car, Look(colour, colour, 0.02))]
    return out


def plants(board: Drawing, place: Place, land: BaseGeometry) -> list[Plant]:
    """Gorse in drifts, and wind-bent pines in stands, clear of all that is mown; some shade two greens."""
    kept_off = unary_union(board.shapes("greens", "tees", "fairways", "approaches", "surrounds")).buffer(5)
    kept_off = kept_off.union(unary_union(board.shapes("bunkers", "water", "paths")).buffer(2.5))
    yard = [row["geometry"].buffer(6) for row in board.rows["rough"] if row["kind"] == "YARD"]
    free = land.buffer(-5).difference(place(unary_union([kept_off, *yard])))
    prepare(free)
    west, south, east, north = land.bounds
    rng = stream(33, 1)
    out: list[Plant] = []

    def scatter(count: int, spread: float, stands: int, radius: tuple[float, float], tall: float, colour: Colour):
        middles = rng.random((stands, 2)) * (east - west, north - south) + (west, south)
        which = (rng.random(count) * stands).astype(int)
        reach, way = spread * rng.random(count) ** 0.7, 2 * np.pi * rng.random(count)
        x, y = (middles[which] + np.column_stack([1.6 * np.cos(way), np.sin(way)]) * reach[:, None]).T
        size, shade = rng.random((2, count))
        for i in np.flatnonzero(shapely.contains_xy(free, x, y)):
            r = radius[0] + (radius[1] - radius[0]) * size[i] ** 2
            tint = tuple(int(c * (0.85 + 0.3 * shade[i])) for c in colour)
            out.append(Plant(x[i], y[i], r, tall * r, tint))

    scatter(9000, 26, 150, (0.4, 1.5), 0.9, (70, 84, 42))
    scatter(1500, 22, 120, (1.6, 4.2), 2.4, (54, 74, 44))
    for row in board.rows["greens"]:
        if row["hole"] not in SHADED:
            continue
        green = place(row["geometry"])
        reach = float(np.sqrt(green.area / np.pi))
        aside = np.array([-SUN[1], SUN[0]])
        for step in np.linspace(-9, 9, 7):
            x, y = np.array(green.centroid.coords[0]) + SUN * (reach + 10 + 2 * rng.random()) + aside * step
            out.append(Plant(x, y, 2.6 + rng.random(), 12.5, (52, 72, 42)))
    return sorted(out, key=lambda plant: plant.height)


def blot(plant: Plant, sheet: Sheet, x: float, y: float, radius: float, band: tuple[int, int]):
    """Rows and columns of a round spot, and for each of its pixels how far from the middle it lies, in radii."""
    column, row = (x - sheet.left) / PIXEL, (sheet.top - y) / PIXEL
    reach = radius / PIXEL
    top, bottom = max(int(row - reach), band[0]), min(int(row + reach) + 2, band[1])
    left, right = max(int(column - reach), 0), min(int(column + reach) + 2, sheet.width)
    if top >= bottom or left >= right:
        return None
    down, over = np.mgrid[top:bottom, left:right]
    across, up = (over + 0.5 - column) / reach, (row - down - 0.5) / reach
    turn = np.arctan2(up, across)
    lobes = 1 + 0.13 * np.sin(5 * turn + plant.x) + 0.09 * np.sin(9 * turn + plant.y)
    return slice(top - band[0], bottom - band[0]), slice(left, right), across, up, np.hypot(across, up) * lobes


def shine(light: np.ndarray, plant: Plant, sheet: Sheet, band: tuple[int, int]) -> None:
    """The shadow of a plant: its crown drawn out away from the sun, as long as it is tall."""
    away = -SUN * plant.height
    for share in np.linspace(0.25, 1.0, max(2, int(plant.height / plant.radius * 1.5))):
        spot = blot(plant, sheet, *(np.array([plant.x, plant.y]) + away * share), plant.radius * 0.95, band)
        if spot:
            rows, columns, _, _, far = spot
            light[rows, columns] = np.minimum(light[rows, columns], np.where(far < 1, SHADE, 1.0))


def crown(picture: np.ndarray, plant: Plant, sheet: Sheet, band: tuple[int, int], leaves: np.ndarray) -> None:
    spot = blot(plant, sheet, plant.x, plant.y, plant.radius, band)
    if not spot:
        return
    rows, columns, across, up, far = spot
    lit = 1.0 + 0.38 * (across * SUN[0] + up * SUN[1]) + 0.3 * leaves[rows, columns]
    covered = far < 1
    picture[rows, columns][covered] = (np.array(plant.colour) * lit[..., None])[covered]


def draw_photo(board: Drawing, place: Place, file: Path) -> None:
    """
    Draw band after band of rows into a GeoTIFF with JPEG tiles.

    The drawing is that of the ground, without the mistakes that are made in the layers; ``place`` carries a shape from
    the drawing board to the grid.
    """
    land = place(draw_property())
    sheet = sheet_for(land)
    shapes = painted(board, place, land)
    looks = [look for _, look in shapes]
    number = rasterize(
        ((shape, i) for i, (shape, _) in enumerate(shapes) if not shape.is_empty),
        out_shape=(sheet.height, sheet.width),
        transform=sheet.transform,
        dtype="int16",
    )
    sand = rasterize(
        [place(shape) for shape in board.shapes("bunkers")],
        out_shape=number.shape,
        transform=sheet.transform,
        dtype="uint8",
    )
    grains = [sheet.noise(1, 0.45), sheet.noise(2, 1.6)]
    patchy = [sheet.noise(3, 2.2), sheet.noise(4, 9.0), sheet.noise(5, 45.0)]
    table = {
        name: np.array([getattr(look, name) for look in looks], np.float32)
        for name in ("colour", "other", "grain", "patches", "stripe", "contrast", "bearing")
    }
    green_things = plants(board, place, land)
    profile = {
        "driver": "GTiff", "width": sheet.width, "height": sheet.height, "count": 3, "dtype": "uint8",
        "crs": "EPSG:2157", "transform": sheet.transform, "tiled": True, "blockxsize": 512, "blockysize": 512,
        "compress": "JPEG", "photometric": "YCBCR", "jpeg_quality": QUALITY,
    }  # fmt: skip
    with rasterio.open(file, "w", **profile) as out:
        for top in range(0, sheet.height, BAND):
            # A few rows more on both sides, so that softening leaves no seam.
            band = (max(top - 8, 0), min(top + BAND + 8, sheet.height))
            picture = draw_band(sheet, band, number, table, grains, patchy, sand, green_things)
            inner = picture[top - band[0] : top - band[0] + min(BAND, sheet.height - top)]
            out.write(np.moveaxis(inner, -1, 0), window=Window(0, top, sheet.width, len(inner)))  # type: ignore[arg-type]


def draw_band(sheet, band, number, table, grains, patchy, sand, green_things) -> np.ndarray:
    rows = slice(*band)
    which = number[rows]
    x = sheet.left + (np.arange(sheet.width) + 0.5) * PIXEL - 441_000
    y = sheet.top - (np.arange(*band) + 0.5) * PIXEL - 714_000
    fine, coarse = (grain[rows] / np.float32(100) for grain in grains)
    small, medium, large = (noise[rows] / np.float32(100) for noise in patchy)
    broad = table["patches"][which]
    mix = np.clip(0.5 + (1 - broad) * 0.6 * small + 0.55 * medium + broad * 0.5 * large, 0, 1)
    tone = 1 + table["grain"][which] * (1.3 * fine + 0.9 * coarse + 0.5 * small) + 0.03 * large
    stripe, bearing = table["stripe"], table["bearing"]
    across = (np.cos(bearing + np.pi / 2) / np.maximum(stripe, 0.1))[which] * x[None, :].astype(np.float32)
    across += (np.sin(bearing + np.pi / 2) / np.maximum(stripe, 0.1))[which] * y[:, None].astype(np.float32)
    tone += table["contrast"][which] * np.tanh(3 * np.sin(np.pi * (across + 0.04 * medium)))
    picture = table["colour"][which]
    picture += (table["other"][which] - picture) * mix[..., None]

    light = np.ones(which.shape, np.float32)
    near = [plant for plant in green_things if band_touches(plant, sheet, band)]
    for plant in near:
        shine(light, plant, sheet, band)
    # The lip of a bunker throws shade on its sunny side and shines on the other.
    here = sand[rows].astype(bool)
    for reach, value in ((3, 0.62), (2, 0.55)):
        step = np.round(SUN * reach).astype(int)
        shifted = np.roll(sand[max(band[0] - 4, 0) : band[1] + 4], (step[1], -step[0]), axis=(0, 1))
        shifted = shifted[band[0] - max(band[0] - 4, 0) :][: len(which)].astype(bool)
        light[here & ~shifted] = value
    picture *= (tone * gaussian_filter(light, 0.8))[..., None]
    for plant in near:
        crown(picture, plant, sheet, band, fine)
    picture = gaussian_filter(picture, (0.6, 0.6, 0))
    picture += 9 * (stream(34, band[0]).random((*which.shape, 1), dtype=np.float32) - 0.5)  # of the camera
    # Haze takes a little of the depth, as on any photo from the air.
    return np.clip(picture * 0.94 + np.array([12, 14, 18]), 0, 255).astype(np.uint8)


def band_touches(plant: Plant, sheet: Sheet, band: tuple[int, int]) -> bool:
    row, reach = (sheet.top - plant.y) / PIXEL, (plant.height + plant.radius + 1) / PIXEL
    return band[0] - reach < row < band[1] + reach
