"""Courses to measure: the real ones where the open data lies beside the checkout, the demo, and a thousand copies."""

from dataclasses import dataclass
from pathlib import Path

import numpy as np
import shapely

from turfgis.estimates.course import open_course
from turfgis.measure.patches import Measured

ROOT = Path(__file__).resolve().parents[2]
GOLF = ROOT.parent / "shared" / "data" / "golf"
DEMO = ROOT / "demo_layers"
REAL = [file for name in ("bahamas_new_providence", "bahamas_paradise_island", "malta_marsa")
        if (file := GOLF / f"{name}.geojson").is_file()]  # fmt: skip

# What a careful hand would add to a course that has none: strip, around what, how wide [m].
STRIPS = (
    ("collar", "green", 1.0),
    ("surround", "green", 4.0),
    ("surround", "tee", 2.0),
    ("semi-rough", "fairway", 3.0),
)
TILE_M = 4000.0


@dataclass(frozen=True)
class Pile:
    """Shapes, the surface of each, and the order in which surfaces keep the ground."""

    name: str
    shapes: np.ndarray
    surface: np.ndarray
    order: tuple[str, ...]

    @property
    def rank(self) -> np.ndarray:
        """Place of each shape in the pile, 0 on top."""
        place = {surface: place for place, surface in enumerate(self.order)}
        return np.array([place[surface] for surface in self.surface])

    def fresh(self) -> "Pile":
        """The same without what shapely may have prepared on the shapes."""
        return Pile(self.name, shapely.from_wkb(shapely.to_wkb(self.shapes)), self.surface, self.order)


def measured(path: Path) -> Measured:
    """A course, measured."""
    return open_course(path).measured


def as_drawn(path: Path) -> Pile:
    """The shapes of a course as they were drawn and mended, with the strips of its settings."""
    course = open_course(path)
    drawn = course.measured.drawn
    return Pile(path.stem, drawn.geometry.to_numpy(), drawn["surface"].to_numpy(), course.drawing.order)


def with_shared_borders(path: Path) -> Pile:
    """
    A course drawn without gap and overlap: net shapes, strips about greens, tees and fairways, rough for the rest.

    Each piece is cut along those before it, so that they share their borders to the last digit or nearly so.
    """
    course = open_course(path)
    patches = course.measured.patches
    inner = patches[patches["surface"] != "rough"]
    shapes, surface = inner.geometry.tolist(), inner["surface"].tolist()
    taken = shapely.union_all(shapes)
    for strip, around, width in STRIPS:
        for shape in [one for one, name in zip(shapes, surface, strict=True) if name == around]:
            ring = shapely.difference(shape.buffer(width), taken)
            if ring.area > 0.5:
                shapes.append(ring)
                surface.append(strip)
                taken = shapely.union(taken, ring)
    rest = shapely.get_parts(shapely.difference(shapely.convex_hull(taken).buffer(20.0), taken)).tolist()
    areas = [shapely.multipolygons([part for part in shapely.get_parts(one) if part.area]) for one in shapes + rest]
    return Pile(path.stem, np.array(areas), np.array(surface + ["rough"] * len(rest)), course.drawing.order)


def copies(pile: Pile, least: int) -> Pile:
    """So many copies of a course, side by side, that there are at least ``least`` shapes."""
    count = -(-least // len(pile.shapes))
    across = int(np.ceil(np.sqrt(count)))
    tiles = [
        shapely.transform(pile.shapes, lambda xy, tile=tile: xy + np.multiply(divmod(tile, across), TILE_M))
        for tile in range(count)
    ]
    return Pile(f"{pile.name} x {count}", np.concatenate(tiles), np.tile(pile.surface, count), pile.order)
