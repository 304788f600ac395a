"""The same six areas, written in every format, read back with the same size."""

import sqlite3
import struct
import zipfile
from pathlib import Path

import geopandas as gpd
import numpy as np
import pyogrio
import pytest
import shapely

from turfgis.errors import LayerError
from turfgis.layers.naming import name_surfaces
from turfgis.layers.read import read_layers
from turfgis.surfaces import SURFACES

# name of the file, driver of GDAL that writes it, options for writing
PROJECTED = [
    ("areas.gpkg", "GPKG", {}),
    ("areas.shp", "ESRI Shapefile", {}),
    ("areas.fgb", "FlatGeobuf", {}),
    ("areas.gml", "GML", {}),
    ("areas.tab", "MapInfo File", {}),
    ("areas.mif", "MapInfo File", {}),
    ("areas.sqlite", "SQLite", {}),
    ("areas.gdb", "OpenFileGDB", {"promote_to_multi": True}),
    ("areas.json", "JSONFG", {}),
]
GEOGRAPHIC = [
    ("areas.geojson", "GeoJSON", {"COORDINATE_PRECISION": 12}),
    ("areas.geojsonl", "GeoJSONSeq", {"COORDINATE_PRECISION": 12}),
    ("areas.ndjson", "GeoJSONSeq", {"COORDINATE_PRECISION": 12}),
    ("areas.geojsons", "GeoJSONSeq", {"COORDINATE_PRECISION": 12, "RS": "YES"}),
    ("areas.kml", "LIBKML", {}),
    ("areas.kmz", "LIBKML", {}),
]


def sizes(path: Path, **options) -> np.ndarray:
    """Areas in the file, smallest first, in the national grid that they were drawn in. [m2]"""
    layers, _ = read_layers(path, **options)
    together = np.concatenate([layer.areas.to_crs("EPSG:27700").area for layer in layers])
    return np.sort(together)


@pytest.mark.parametrize(("name", "driver", "options"), PROJECTED)
def test_projected_formats(tmp_path, drawn, name, driver, options):
    drawn.to_file(tmp_path / name, driver=driver, engine="pyogrio", **options)
    assert sizes(tmp_path / name) == pytest.approx(sorted(drawn["size_m2"]), rel=1e-9)


@pytest.mark.parametrize(("name", "driver", "options"), GEOGRAPHIC)
def test_geographic_formats(tmp_path, drawn, name, driver, options):
    # Coordinates with 12 decimals of a degree (KML: 15 figures) hold a tenth of a micrometre.
    drawn.to_crs("EPSG:4326").to_file(tmp_path / name, driver=driver, engine="pyogrio", **options)
    assert sizes(tmp_path / name) == pytest.approx(sorted(drawn["size_m2"]), rel=1e-6)


def test_attributes_and_ids_come_along(tmp_path, drawn):
    drawn.to_file(tmp_path / "areas.gpkg")
    (layer,), findings = read_layers(tmp_path / "areas.gpkg")
    assert layer.areas["kind"].tolist() == drawn["kind"].tolist()
    assert layer.areas["feature"].tolist() == ["1", "2", "3", "4", "5", "6"]  # GeoPackage counts its rows from 1
    assert (layer.file, layer.layer, layer.openstreetmap) == ("areas.gpkg", "areas", False)
    assert len(layer.lines) == len(layer.points) == 0
    assert findings == []


def test_geoparquet(tmp_path, drawn):
    drawn.to_parquet(tmp_path / "areas.parquet")
    assert sizes(tmp_path / "areas.parquet") == pytest.approx(sorted(drawn["size_m2"]), rel=1e-12)


@pytest.mark.parametrize("column", ["WKT", "geometry", "the_geom"])
def test_csv_with_well_known_text(tmp_path, drawn, column):
    table = drawn.drop(columns="geometry").assign(**{column: drawn.geometry.to_wkt(rounding_precision=6)})
    table.to_csv(tmp_path / "areas.csv", index=False)
    (layer,), _ = read_layers(tmp_path / "areas.csv", crs="EPSG:27700")
    assert sorted(layer.areas.area) == pytest.approx(sorted(drawn["size_m2"]))
    assert layer.areas["kind"].tolist() == drawn["kind"].tolist()
    assert layer.areas["hole"].isna().tolist() == [False] * 5 + [True]


def test_csv_with_semicolons(tmp_path, drawn):
    table = drawn.drop(columns="geometry").assign(WKT=drawn.geometry.to_wkt(rounding_precision=6))
    table.to_csv(tmp_path / "areas.csv", index=False, sep=";")
    assert sizes(tmp_path / "areas.csv", crs="EPSG:27700") == pytest.approx(sorted(drawn["size_m2"]))


def test_csv_without_reference_system_asks_for_it(tmp_path, drawn):
    drawn.assign(WKT=drawn.to_wkt()["geometry"]).drop(columns="geometry").to_csv(tmp_path / "areas.csv", index=False)
    with pytest.raises(LayerError, match=r'areas\.csv.*say crs = "EPSG'):
        read_layers(tmp_path / "areas.csv")


def test_csv_without_shapes(tmp_path):
    (tmp_path / "rates.csv").write_text("product,rate\nfeed,20\n")
    with pytest.raises(LayerError, match="no shape that can be an area"):
        read_layers(tmp_path / "rates.csv", crs="EPSG:27700")


def zipped(folder: Path, archive: Path) -> Path:
    with zipfile.ZipFile(archive, "w") as bundle:
        for file in sorted(folder.iterdir()):
            bundle.write(file, f"survey/{file.name}")
    return archive


def shapefiles(drawn: gpd.GeoDataFrame, folder: Path) -> Path:
    folder.mkdir()
    for kind, rows in drawn.groupby("kind"):
        rows.to_file(folder / f"{kind}.shp")
    return folder


def test_folder_of_shapefiles(tmp_path, drawn):
    folder = shapefiles(drawn, tmp_path / "plan")
    layers, _ = read_layers(folder)
    assert [layer.layer for layer in layers] == ["bunker", "fairway", "green", "rough", "tee"]
    assert layers[0].file == "plan/bunker.shp"
    assert sizes(folder) == pytest.approx(sorted(drawn["size_m2"]))
    assert sizes(folder, layer="tee") == pytest.approx([160.0])


def test_zipped_shapefiles(tmp_path, drawn):
    archive = zipped(shapefiles(drawn, tmp_path / "plan"), tmp_path / "plan.zip")
    assert sizes(archive) == pytest.approx(sorted(drawn["size_m2"]))
    layers, _ = read_layers(archive, "green")
    assert [(layer.file, len(layer.areas)) for layer in layers] == [("plan.zip/survey/green.shp", 2)]


@pytest.mark.parametrize("name", ["plan.shz", "plan.shp.zip"])
def test_shapefile_in_one_zipped_file(tmp_path, drawn, name):
    drawn.to_file(tmp_path / name, driver="ESRI Shapefile")
    assert sizes(tmp_path / name) == pytest.approx(sorted(drawn["size_m2"]))


def test_geopackage_and_geojson_in_a_zip(tmp_path, drawn):
    (tmp_path / "in").mkdir()
    drawn[:3].to_file(tmp_path / "in" / "one.gpkg")
    drawn[3:].to_crs("EPSG:4326").to_file(tmp_path / "in" / "two.geojson", COORDINATE_PRECISION=12)
    archive = zipped(tmp_path / "in", tmp_path / "both.zip")
    assert sizes(archive) == pytest.approx(sorted(drawn["size_m2"]), rel=1e-6)


def test_folder_of_mixed_files_says_that_reference_systems_differ(tmp_path, drawn):
    (tmp_path / "plan").mkdir()
    drawn[:3].to_file(tmp_path / "plan" / "one.gpkg")
    drawn[3:].to_crs("EPSG:4326").to_file(tmp_path / "plan" / "two.geojson", COORDINATE_PRECISION=12)
    layers, findings = read_layers(tmp_path / "plan")
    assert {layer.crs.to_epsg() for layer in layers} == {27700, 4326}
    assert [finding.code for finding in findings] == ["mixed_crs"]


# A drawing with one layer a surface. Group codes: 0 kind, 8 layer, 90 number of corners, 70 closed, 10 and 20 x and y,
# 42 bulge (the tangent of a quarter of the arc's angle): DXF reference, ENTITIES section, LWPOLYLINE.
def dxf(entities: list[tuple[str, int, list[tuple[float, float, float]]]]) -> str:
    lines = ["0", "SECTION", "2", "ENTITIES"]
    for layer, closed, corners in entities:
        lines += ["0", "LWPOLYLINE", "100", "AcDbEntity", "8", layer, "100", "AcDbPolyline"]
        lines += ["90", str(len(corners)), "70", str(closed)]
        for x, y, bulge in corners:
            lines += ["10", str(x), "20", str(y), "42", str(bulge)]
    return "\n".join([*lines, "0", "ENDSEC", "0", "EOF", ""])


RECTANGLE = [(0, 0, 0), (30, 0, 0), (30, 20, 0), (0, 20, 0)]


def test_dxf_closed_lines_are_areas_and_open_ones_are_not(tmp_path):
    drawing = dxf([("GREENS", 1, RECTANGLE), ("BUNKERS", 0, RECTANGLE)])
    (tmp_path / "plan.dxf").write_text(drawing)
    (layer,), findings = read_layers(tmp_path / "plan.dxf", crs="EPSG:27700")
    assert layer.areas["Layer"].tolist() == ["GREENS"]
    assert layer.areas.area.tolist() == [600.0]
    assert layer.lines["Layer"].tolist() == ["BUNKERS"]
    (open_line,) = [finding for finding in findings if finding.code == "line_not_area"]
    assert "20.0 m apart" in open_line.text
    assert "600 m2" in open_line.text
    assert open_line.level == "warning"
    assert open_line.feature == layer.lines["feature"].iloc[0]


def test_dxf_arcs_keep_their_area(tmp_path):
    # Two half circles (bulge 1) of radius 10: a full circle, pi r2.
    (tmp_path / "circle.dxf").write_text(dxf([("GREENS", 1, [(0, 0, 1), (20, 0, 1)])]))
    (layer,), _ = read_layers(tmp_path / "circle.dxf", crs="EPSG:27700")
    assert layer.areas.area.iloc[0] == pytest.approx(np.pi * 100, rel=2e-5)


def test_dxf_layers_name_the_surfaces(tmp_path):
    beside = [(x + 100, y, bulge) for x, y, bulge in RECTANGLE]
    (tmp_path / "plan.dxf").write_text(dxf([("GREENS", 1, RECTANGLE), ("BUNKERS", 1, beside)]))
    (layer,), _ = read_layers(tmp_path / "plan.dxf", crs="EPSG:27700")
    named, findings = name_surfaces(layer, known=SURFACES)
    assert named["surface"].tolist() == ["green", "bunker"]
    assert [finding.code for finding in findings] == ["surface_from_values"]


def test_setting_for_arcs_is_put_back(tmp_path):
    before = pyogrio.get_gdal_config_option("OGR_ARC_STEPSIZE")
    (tmp_path / "circle.dxf").write_text(dxf([("GREENS", 1, [(0, 0, 1), (20, 0, 1)])]))
    read_layers(tmp_path / "circle.dxf", crs="EPSG:27700")
    assert pyogrio.get_gdal_config_option("OGR_ARC_STEPSIZE") == before


def test_dxf_without_reference_system_asks_for_it(tmp_path):
    (tmp_path / "plan.dxf").write_text(dxf([("GREENS", 1, RECTANGLE)]))
    with pytest.raises(LayerError, match="no coordinate reference system"):
        read_layers(tmp_path / "plan.dxf")


def gpx(*parts: list[tuple[float, float]], kind: str = "track") -> str:
    if kind == "route":
        points = "".join(f'<rtept lat="{lat}" lon="{lon}"/>' for lon, lat in parts[0])
        body = f"<rte><name>edge</name>{points}</rte>"
    else:
        segments = "".join(
            "<trkseg>"
            + "".join(f'<trkpt lat="{lat}" lon="{lon}"><ele>3</ele></trkpt>' for lon, lat in part)
            + "</trkseg>"
            for part in parts
        )
        body = f"<trk><name>edge</name>{segments}</trk>"
    start = '<gpx version="1.1" creator="test" xmlns="http://www.topografix.com/GPX/1/1">'
    return f'<?xml version="1.0"?>{start}<wpt lat="53" lon="-1"/>{body}</gpx>'


def walk(points: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """Corners in the national grid as longitude and latitude."""
    line = gpd.GeoSeries([shapely.LineString(points)], crs="EPSG:27700").to_crs("EPSG:4326")
    return list(line.iloc[0].coords)


E, N = 450_000.0, 350_000.0
SQUARE = [(E, N), (E + 40, N), (E + 40, N + 30), (E, N + 30)]


@pytest.mark.parametrize("kind", ["track", "route"])
def test_gpx_walked_edge_is_closed(tmp_path, kind):
    (tmp_path / "walk.gpx").write_text(gpx(walk([*SQUARE, (E, N + 3)]), kind=kind))
    (layer,), findings = read_layers(tmp_path / "walk.gpx")
    assert layer.areas.to_crs("EPSG:27700").area.tolist() == pytest.approx([1200.0], rel=1e-6)
    (closed,) = [finding for finding in findings if finding.code == "walk_closed"]
    # The walk is 40 + 30 + 40 + 27 m long, and 3 m are missing.
    assert "137 m" in closed.text
    assert "3.0 m" in closed.text


def test_gpx_walk_with_a_wide_gap_is_set_aside(tmp_path):
    (tmp_path / "walk.gpx").write_text(gpx(walk(SQUARE)))
    with pytest.raises(LayerError, match="no shape that can be an area"):
        read_layers(tmp_path / "walk.gpx")
    good = gpx(walk([*SQUARE, SQUARE[0]])).replace("</gpx>", gpx(walk(SQUARE)).split("/>", 1)[1])
    (tmp_path / "two.gpx").write_text(good)
    (layer,), findings = read_layers(tmp_path / "two.gpx")
    assert len(layer.areas) == 1
    assert [finding.feature for finding in findings if finding.code == "walk_too_open"] == ["1"]


def test_gpx_walk_with_a_pause_is_joined(tmp_path):
    (tmp_path / "walk.gpx").write_text(gpx(walk([*SQUARE[:2]]), walk([*SQUARE[2:], SQUARE[0]])))
    (layer,), _ = read_layers(tmp_path / "walk.gpx")
    assert layer.areas.to_crs("EPSG:27700").area.tolist() == pytest.approx([1200.0], rel=1e-6)


def test_curved_edges_of_a_geopackage(tmp_path):
    # A circle of radius 10 as two arcs: pi r2.
    arcs = [(450010, 350000), (450000, 350010), (449990, 350000), (450000, 349990), (450010, 350000)]
    path = tmp_path / "curves.gpkg"
    write_curve(path, arcs)
    (layer,), findings = read_layers(path)
    assert layer.areas.area.tolist() == pytest.approx([np.pi * 100], rel=2e-5)
    assert [finding.code for finding in findings] == ["curve_straightened"]


def write_curve(path: Path, corners: list[tuple[float, float]]) -> None:
    """
    Put a curve into a GeoPackage, which neither shapely nor pyogrio can write.

    The shape is stored as a small header followed by ISO well-known binary: GeoPackage standard, clause 2.1.3;
    CurvePolygon is kind 10, CircularString kind 8 there.
    """
    points = b"".join(struct.pack("<2d", *corner) for corner in corners)
    ring = struct.pack("<BII", 1, 8, len(corners)) + points
    shape = struct.pack("<2sBBi", b"GP", 0, 1, 27700) + struct.pack("<BII", 1, 10, 1) + ring
    frame = gpd.GeoDataFrame({"kind": ["green"]}, geometry=[shapely.box(0, 0, 1, 1)], crs="EPSG:27700")
    frame.to_file(path, layer="greens", SPATIAL_INDEX="NO")
    with sqlite3.connect(path) as database:
        database.execute("UPDATE gpkg_geometry_columns SET geometry_type_name = 'CURVEPOLYGON'")
        database.execute("PRAGMA writable_schema = ON")
        database.execute("UPDATE sqlite_master SET sql = replace(sql, 'POLYGON', 'CURVEPOLYGON') WHERE name = 'greens'")
        database.execute("UPDATE greens SET geom = ?", (shape,))


def test_a_named_layer_is_read_alone_and_a_wrong_name_is_answered(tmp_path, drawn):
    drawn.to_file(tmp_path / "plan.gpkg", layer="areas")
    drawn[:2].to_file(tmp_path / "plan.gpkg", layer="greens")
    assert len(read_layers(tmp_path / "plan.gpkg")[0]) == 2
    assert sizes(tmp_path / "plan.gpkg", layer="greens") == pytest.approx([500.0, 600.0])
    with pytest.raises(LayerError, match=r"no layer grens; there are areas, greens\. Did you mean greens\?"):
        read_layers(tmp_path / "plan.gpkg", "grens")


def test_layers_without_areas_are_left_out_and_named(tmp_path, drawn):
    drawn.to_file(tmp_path / "plan.gpkg", layer="areas")
    drawn.assign(geometry=drawn.centroid).to_file(tmp_path / "plan.gpkg", layer="sprinklers")
    layers, findings = read_layers(tmp_path / "plan.gpkg")
    assert [layer.layer for layer in layers] == ["areas"]
    assert [(finding.code, finding.layer) for finding in findings] == [("layer_left_out", "sprinklers")]
    (points,), findings = read_layers(tmp_path / "plan.gpkg", "sprinklers", role="background")
    assert (len(points.points), findings) == (6, [])
