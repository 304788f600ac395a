"""
Draw the demo course: Quillhaven Links on the island of Quill, neither of which exists.

The whole course is made up. Its place is open sea off the west of Ireland, so that it lies on nobody's land; its grid
is the Irish Transverse Mercator (EPSG:2157) because a surveyor would hand over layers in a national grid. The numbers
that steer the drawing are common practice, no source: greens of 350 to 700 m2, three or four tees a hole, corridors
some 60 m apart.

Run it as ``python demo_layers/draw_course.py``; ``--to FOLDER`` writes elsewhere. The same seed gives the same shapes.

What is wrong with the layers, on purpose:

- three greens carry no hole number; the hole lines tell which hole they belong to;
- five fairways were drawn on under the approach and the green, and three surrounds under everything they surround;
- neighbours share their borders vertex by vertex: fairway and approach, the two parts of one fairway, approach and
  collar, surround and fairway, the two parts of the rough;
- semi-rough was drawn as a larger shape beneath its fairway, the burn and the paths across whatever they cross;
- most greens have no collar drawn (the settings make it as a strip);
- one tee is a bow-tie: two of its corners were taken in the wrong order;
- one bunker was drawn twice;
- one bunker is an open line, not an area;
- a sliver 4 cm wide lies between a surround and a fairway;
- one feature says ``DUNE`` where a surface is named, and there is no such surface.

Four formats, because a club's layers come from several hands: bunkers as GeoJSON and water as KML in longitude and
latitude, paths as a Shapefile, all else in one GeoPackage. The "air photo" shows the ground without those mistakes.
An older survey, of the greens only, lies in a GeoPackage of its own: most greens were larger then.
"""

import argparse
from pathlib import Path

import geopandas as gpd
import numpy as np
import pyogrio
import shapely
from drains import draw_drains
from earlier import SURVEYED_THEN, draw_earlier
from flaws import put_in_flaws
from ground import draw_paths, draw_rough, draw_water
from heads import draw_cans, draw_heads
from heights import draw_heights
from holes import Drawing, biggest, draw_bunkers, draw_hole, draw_practice, draw_sprinklers, draw_tees
from moisture import draw_readings
from photo import draw_photo
from places import draw_places
from routing import HOLES
from shapely import affinity
from shapely.geometry.base import BaseGeometry
from weather import draw_weather

GRID = "EPSG:2157"
CORNER = (441_000.0, 714_000.0)  # where the drawing board's origin lies [m]
TURN = 14.0  # how far the drawing board is turned [degrees]
SURVEYED = "2026-03-14"
TOGETHER = ("greens", "collars", "approaches", "fairways", "surrounds", "rough")  # neighbours in these share vertices
PACKAGE = (*TOGETHER, "tees", "hole_lines", "sprinklers")


def draw_ground() -> Drawing:
    """The course as it lies there."""
    drawing = Drawing()
    for hole in HOLES.values():
        draw_hole(drawing, hole, last_tee=draw_tees(drawing, hole))
    draw_practice(drawing)
    draw_water(drawing)
    draw_bunkers(drawing)
    draw_rough(drawing)
    draw_paths(drawing)
    draw_sprinklers(drawing)
    return drawing


def draw() -> Drawing:
    """The course as the layers tell of it."""
    drawing = draw_ground()
    put_in_flaws(drawing)
    draw_earlier(drawing)
    return drawing


def carry_to_grid(shape: BaseGeometry) -> BaseGeometry:
    """From the drawing board to the national grid, to the centimetre as a receiver records it."""
    turned = affinity.translate(affinity.rotate(shape, TURN, origin=(0, 0)), *CORNER)
    rounded = shapely.transform(turned, lambda points: np.round(points, 2))
    return without_specks(rounded) if shape.is_valid else rounded  # the bow-tie stays one


def without_specks(shape: BaseGeometry) -> BaseGeometry:
    """Where moving vertices by a centimetre has pinched off a speck at a sharp corner, leave the speck away."""
    return shape if shape.is_valid else biggest(shapely.set_precision(shapely.make_valid(shape), 0.01))


def share_vertices(shapes: list[shapely.Polygon], reach: float = 0.012) -> list[BaseGeometry]:
    """Give every outline the vertices of its neighbours that lie on it, as snapping does in a drawing program."""
    vertices = np.unique(np.vstack([shapely.get_coordinates(shape) for shape in shapes]), axis=0)
    points = np.asarray(shapely.points(vertices))
    tree = shapely.STRtree(points)

    def with_neighbours(ring: shapely.LinearRing) -> np.ndarray:
        near = points[tree.query(ring, predicate="dwithin", distance=reach)]
        own = {tuple(xy) for xy in ring.coords}
        new = sorted((ring.project(p), p.x, p.y) for p in near if (p.x, p.y) not in own)
        kept = [(ring.project(shapely.Point(xy)) if i else 0.0, *xy) for i, xy in enumerate(ring.coords[:-1])]
        return np.array(sorted(kept + new))[:, 1:]

    return [
        without_specks(shapely.Polygon(with_neighbours(shape.exterior), [with_neighbours(r) for r in shape.interiors]))
        for shape in shapes
    ]


def tables(drawing: Drawing) -> dict[str, gpd.GeoDataFrame]:
    placed = {
        layer: gpd.GeoDataFrame(rows, crs=GRID).set_geometry([carry_to_grid(row["geometry"]) for row in rows], crs=GRID)
        for layer, rows in drawing.rows.items()
    }
    snapped = iter(share_vertices([shape for layer in TOGETHER for shape in placed[layer].geometry]))
    for layer in TOGETHER:
        placed[layer] = placed[layer].set_geometry([next(snapped) for _ in range(len(placed[layer]))], crs=GRID)
    return placed


def write(placed: dict[str, gpd.GeoDataFrame], folder: Path) -> None:
    """Write the four files anew, with a fixed date inside so that the same drawing gives the same bytes."""
    pyogrio.set_gdal_config_options({"OGR_CURRENT_DATE": f"{SURVEYED}T00:00:00.000Z"})
    folder.mkdir(parents=True, exist_ok=True)
    for old in (
        "course.gpkg",
        "bunkers.geojson",
        "water.kml",
        "survey_2019.gpkg",
        *(f"paths.{end}" for end in ("shp", "shx", "dbf", "prj", "cpg")),
    ):
        (folder / old).unlink(missing_ok=True)  # some drivers would add to what is there
    for layer in PACKAGE:
        pyogrio.write_dataframe(placed[layer], folder / "course.gpkg", layer=layer, driver="GPKG", SPATIAL_INDEX="NO")
    pyogrio.set_gdal_config_options({"OGR_CURRENT_DATE": f"{SURVEYED_THEN}T00:00:00.000Z"})
    pyogrio.write_dataframe(
        placed["greens_2019"], folder / "survey_2019.gpkg", layer="greens", driver="GPKG", SPATIAL_INDEX="NO"
    )
    lonlat = {layer: placed[layer].to_crs("EPSG:4326") for layer in ("bunkers", "water")}
    pyogrio.write_dataframe(
        lonlat["bunkers"], folder / "bunkers.geojson", driver="GeoJSON", RFC7946="YES", COORDINATE_PRECISION=8
    )
    water = lonlat["water"].rename(columns={"name": "Name"})
    water["geometry"] = shapely.transform(water.geometry.to_numpy(), lambda points: np.round(points, 8))
    pyogrio.write_dataframe(water, folder / "water.kml", layer="water", driver="KML")
    pyogrio.write_dataframe(
        placed["paths"], folder / "paths.shp", driver="ESRI Shapefile", encoding="UTF-8", DBF_DATE_LAST_UPDATE=SURVEYED
    )


def main() -> None:
    parser = argparse.ArgumentParser(description="Draw the layers of the demo course.")
    parser.add_argument("--to", type=Path, default=Path(__file__).resolve().parent, help="folder to write to")
    folder = parser.parse_args().to
    write(tables(draw()), folder)
    board = draw_ground()
    draw_photo(board, carry_to_grid, folder / "photo.tif")
    draw_heights(board, carry_to_grid, folder / "heights.tif")
    draw_readings(board, carry_to_grid, folder / "moisture.csv")
    draw_heads(board, carry_to_grid, TURN, folder / "heads.geojson")
    draw_cans(board, carry_to_grid, folder / "catch_cans.csv")
    draw_drains(board, carry_to_grid, folder / "drains.geojson")
    draw_places(board, carry_to_grid, folder / "places.gpkg")
    draw_weather(folder)
    files = "course.gpkg, survey_2019.gpkg, bunkers.geojson, water.kml, paths.shp, photo.tif, heights.tif, moisture.csv"
    print(
        f"{files}, weather.csv, forecast.csv, meter.csv, drains.geojson, places.gpkg and its photo written to {folder}"
    )


if __name__ == "__main__":
    main()
