"""
Places of the demo course that need watching: made-up trees, spots of disease, weeds, wet ground, drains and hazards.

Where each lies is told by a hole: so far along it, so far to its left, or on its green. No tree, fungus or drain of any
real ground is meant; species are common ones of the north-west of Europe.
"""

from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import geopandas as gpd
import numpy as np
import pandas as pd
import pyogrio
import shapely
from curves import blob, put
from holes import Drawing, stream
from PIL import Image, ImageDraw
from routing import HOLES
from shapely import LineString, Point
from shapely.geometry.base import BaseGeometry

GRID = "EPSG:2157"
WRITTEN = "2027-04-26"
# what stands in the layers besides id, kind and shape; no name is longer than a shapefile keeps
FIELDS: dict[str, type] = {
    **{name: str for name in ("name", "species", "task", "certificat", "note", "photo", "material", "rate", "every")},
    **{name: float for name in ("urgency", "girth_cm", "size_m2", "hours", "people")},
}
DAYS = ("seen", "look_again", "done")


@dataclass(frozen=True)
class Spot:
    """A place: its id and kind, where it is, and what is known of it; ``area`` in m2 or ``line`` in m draw it so."""

    id: str
    kind: str
    hole: int
    along: float | None  # from the back tee [m]; None for the middle of the green
    aside: float  # to the left of the line of play, or north of the middle of the green [m]
    seen: str | None
    known: dict[str, Any]
    area: float | None = None
    line: float | None = None
    visits: list[dict[str, Any]] = field(default_factory=list)


PHOTO = "photo_hz-2.jpg"
SPOTS = (
    Spot("tr-1", "tree", 4, 32, 27, "2026-10-12", {
        "name": "ash by the tees", "species": "Fraxinus excelsior", "girth_cm": 188, "every": "6 months", "urgency": 2,
        "note": "crown thinner than last year", "task": "have the crown inspected", "hours": 2,
    }, visits=[
        {"seen": "2024-10-08", "girth_cm": 183, "note": "full crown"},
        {"seen": "2025-10-15", "girth_cm": 186, "note": "first dead twigs on the windward side"},
    ]),
    Spot("tr-2", "tree", 9, 180, -31, "2026-11-03", {
        "name": "row of pines", "species": "Pinus sylvestris", "girth_cm": 121, "every": "1 year", "urgency": 4,
    }),
    Spot("tr-3", "tree", 14, 260, 30, "2027-03-22", {
        "name": "sycamore over the path", "species": "Acer pseudoplatanus", "girth_cm": 214, "look_again": "2027-05-03",
        "urgency": 1, "task": "take down the hanging limb", "hours": 6, "people": 2, "certificat": "chainsaw",
        "note": "limb of 20 cm hung up above the path; path closed",
    }),
    Spot("tr-4", "tree", 17, 120, -28, "2025-05-06", {
        "name": "lone thorn", "species": "Crataegus monogyna", "girth_cm": 64, "every": "2 years", "urgency": 5,
    }),
    Spot("tr-5", "tree", 12, 90, 26, None, {"name": "planted alders", "species": "Alnus glutinosa"}),
    Spot("di-1", "disease", 7, None, 4, "2027-04-24", {
        "name": "microdochium patch", "look_again": "2027-05-01", "urgency": 1, "note": "open scars, coin-sized",
        "task": "spike and seed the scars", "hours": 1.5, "material": "bent_seed", "rate": "6 g/m2",
    }, area=21, visits=[
        {"seen": "2027-03-27", "size_m2": 6}, {"seen": "2027-04-10", "size_m2": 13, "note": "joined up at the back"},
    ]),
    Spot("di-2", "disease", 16, None, -5, "2027-04-17", {
        "name": "fairy ring", "every": "2 weeks", "urgency": 3, "note": "green ring, no dry edge yet",
    }, area=9),
    Spot("di-3", "disease", 3, None, -3, "2027-03-30", {
        "name": "red thread", "every": "3 weeks", "urgency": 4, "note": "after the feed",
    }, area=14, visits=[{"seen": "2027-03-02", "size_m2": 30}]),
    Spot("pe-1", "pest", 10, 205, 4, "2027-04-12", {
        "name": "leatherjackets", "species": "Tipula", "every": "2 weeks", "urgency": 2,
        "note": "11 in a square foot by the wet sheet",
    }, area=160, visits=[{"seen": "2027-03-15", "size_m2": 95}]),
    Spot("pe-2", "pest", 8, 150, -16, "2027-02-20", {
        "name": "rabbit scrapes", "look_again": "2027-05-10", "urgency": 3, "size_m2": 12,
    }),
    Spot("we-1", "weed", 5, 210, 9, "2027-04-19", {
        "name": "daisies and plantain", "species": "Bellis perennis", "look_again": "2027-05-17", "urgency": 4,
    }, area=240),
    Spot("we-2", "weed", 1, 300, -24, "2027-04-05", {
        "name": "ragwort in the long grass", "species": "Jacobaea vulgaris", "look_again": "2027-05-14", "urgency": 2,
        "task": "pull by hand, with gloves", "hours": 4, "people": 2, "size_m2": 90,
    }),
    Spot("we-3", "weed", 13, None, 6, "2027-04-20", {
        "name": "annual meadow grass at the edge", "species": "Poa annua", "urgency": 5,
    }, area=17),
    Spot("ws-1", "wet spot", 18, 240, 5, "2027-04-22", {
        "name": "landing area", "every": "1 week", "urgency": 2, "note": "water to the shoe two days after rain",
        "task": "spike and dress", "hours": 3, "material": "light_sand", "rate": "4 mm",
    }, area=130, visits=[{"seen": "2027-03-18", "size_m2": 210}, {"seen": "2027-04-07", "size_m2": 165}]),
    Spot("ws-2", "wet spot", 2, None, -9, "2027-04-15", {
        "name": "front of the green", "every": "10 days", "urgency": 3,
    }, area=26),
    Spot("ws-3", "wet spot", 6, 60, -14, "2027-01-28", {"name": "below the spring"}, area=75),
    Spot("dr-1", "drain", 18, 205, 2, "2027-03-01", {
        "name": "main drain, lower end", "every": "3 months", "urgency": 3, "task": "rod from the outfall", "hours": 3,
        "people": 2,
    }, line=72),
    Spot("dr-2", "drain", 11, 260, -8, "2026-12-10", {
        "name": "carrier under the fairway", "every": "6 months", "urgency": 3,
    }, line=95),
    Spot("dr-3", "drain", 14, 330, 14, "2027-02-11", {
        "name": "outfall to the burn", "look_again": "2027-05-20", "urgency": 3, "note": "grating in place",
    }),
    Spot("tu-1", "damaged turf", 15, None, 8, "2027-04-23", {
        "name": "scraped by a trolley", "look_again": "2027-05-07", "urgency": 3, "task": "turf the scrape", "hours": 2,
        "material": "repair_turf",
    }, area=7.5),
    Spot("tu-2", "damaged turf", 9, 240, -6, "2027-04-21", {
        "name": "burn of a fuel leak", "look_again": "2027-05-12", "urgency": 2, "task": "lift, refill and turf",
        "hours": 3, "material": "repair_turf", "size_m2": 4,
    }),
    Spot("tu-3", "damaged turf", 12, 20, 3, "2027-03-08", {
        "name": "worn tee entrance", "task": "turf the entrance", "done": "2027-03-19", "hours": 3,
    }, area=22),
    Spot("hz-1", "hazard", 16, 118, 12, "2027-04-24", {
        "name": "loose steps", "look_again": "2027-05-01", "urgency": 1, "task": "fix the two lowest steps", "hours": 2,
        "note": "taped off",
    }),
    Spot("hz-2", "hazard", 14, 295, 22, "2027-04-25", {
        "name": "edge of the burn undercut", "every": "1 week", "urgency": 1, "photo": PHOTO,
        "note": "turf hangs over by an arm's length",
    }, line=18),
    Spot("hz-3", "hazard", 6, 20, 9, "2027-04-02", {
        "name": "inspection cover broken", "look_again": "2027-04-30", "urgency": 1, "task": "new cover", "hours": 1.5,
        "note": "a board lies over it",
    }),
    Spot("ot-1", "other", 9, 90, 34, "2027-04-18", {
        "name": "nest of a lapwing", "look_again": "2027-05-09", "urgency": 2, "note": "keep mowers 20 m off",
    }),
)  # fmt: skip


def shape_of(board: Drawing, spot: Spot, number: int) -> BaseGeometry:
    """A place on the drawing board."""
    hole, rng = HOLES[spot.hole], stream(60, number)
    if spot.along is None:
        green = next(row["geometry"] for row in board.rows["greens"] if row["hole"] in (str(spot.hole), spot.hole))
        middle, bearing = np.array([green.centroid.x, green.centroid.y + spot.aside]), 2 * np.pi * rng.random()
    else:
        middle, bearing = hole.spot(spot.along, spot.aside)
    if spot.area is not None:
        return put(blob(rng, spot.area, step=max(0.4, spot.area**0.5 / 12)), middle, bearing)
    if spot.line is not None:
        ahead = np.array([np.cos(bearing + 0.6), np.sin(bearing + 0.6)])
        aside = np.array([-ahead[1], ahead[0]])
        ends = np.linspace(-0.5, 0.5, 7)[:, None] * spot.line
        bow = 0.04 * spot.line * (1 - (ends / spot.line * 2) ** 2) * (1 + rng.random())
        return LineString(middle + ends * ahead + bow * aside)
    return Point(middle)


def draw_places(board: Drawing, place: Callable[[BaseGeometry], BaseGeometry], file: Path) -> None:
    """Write ``points``, ``lines``, ``areas`` and the table ``visits`` of earlier looks."""
    pyogrio.set_gdal_config_options({"OGR_CURRENT_DATE": f"{WRITTEN}T00:00:00.000Z"})
    file.unlink(missing_ok=True)
    drawn = [(spot, shape_of(board, spot, number)) for number, spot in enumerate(SPOTS)]
    for layer, kind in (("points", "Point"), ("lines", "LineString"), ("areas", "Polygon")):
        rows = [(spot, shape) for spot, shape in drawn if shape.geom_type == kind]
        made = table([{"id": spot.id, "kind": spot.kind, "seen": spot.seen, **spot.known} for spot, _ in rows])
        there = gpd.GeoDataFrame(made, geometry=[to_centimetres(place(shape)) for _, shape in rows], crs=GRID)
        pyogrio.write_dataframe(there, file, layer=layer, driver="GPKG", SPATIAL_INDEX="NO", append=file.exists())
    looks = [{"id": spot.id, **visit} for spot in SPOTS for visit in spot.visits]
    fields = {"urgency": float, "size_m2": float, "girth_cm": float, "note": str}
    pyogrio.write_dataframe(table(looks, fields, ("seen",)), file, layer="visits", driver="GPKG")
    draw_photo(file.parent / PHOTO)


def to_centimetres(shape: BaseGeometry) -> BaseGeometry:
    return shapely.transform(shape, lambda points: np.round(points, 2))


def table(rows: list[dict[str, Any]], fields: dict[str, type] = FIELDS, days: tuple[str, ...] = DAYS) -> pd.DataFrame:
    """Rows with every field, empty where nothing is known."""
    made: dict[str, Any] = {"id": [row["id"] for row in rows]}
    if "kind" in rows[0]:
        made["kind"] = [row["kind"] for row in rows]
    for name in days:
        made[name] = pd.to_datetime([row.get(name) for row in rows]).astype("datetime64[s]").date
    for name, kind in fields.items():
        values = [row.get(name) for row in rows]
        made[name] = pd.Series(values, dtype=float) if kind is float else pd.Series(values, dtype=object)
    return pd.DataFrame(made)


def draw_photo(file: Path) -> None:
    """A made-up picture: a bank, the water below it, and turf that hangs over."""
    picture = Image.new("RGB", (320, 240), "#b9c9d6")
    pen = ImageDraw.Draw(picture)
    pen.rectangle((0, 150, 320, 240), fill="#5f86a3")
    pen.polygon([(0, 70), (190, 78), (214, 96), (170, 104), (150, 150), (0, 160)], fill="#7a5b3c")
    pen.polygon([(0, 60), (196, 70), (222, 94), (206, 98), (180, 84), (0, 78)], fill="#5c8a45")
    picture.save(file, quality=60)
