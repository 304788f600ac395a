"""What is set aside, asked for or refused when a file is read."""

import json
from pathlib import Path

import geopandas as gpd
import numpy as np
import pyogrio
import pytest
import shapely

from turfgis.errors import LayerError
from turfgis.layers.read import read_layers

SQUARE = [[14.0, 35.0], [14.001, 35.0], [14.001, 35.001], [14.0, 35.001], [14.0, 35.0]]


def geojson(path: Path, *shapes: dict | None, **tags: list) -> Path:
    features = [
        {"type": "Feature", "properties": {key: values[place] for key, values in tags.items()}, "geometry": shape}
        for place, shape in enumerate(shapes)
    ]
    path.write_text(json.dumps({"type": "FeatureCollection", "features": features}))
    return path


def polygon(ring: list) -> dict:
    return {"type": "Polygon", "coordinates": [ring]}


def codes(findings) -> list[tuple[str, str, str]]:
    return [(finding.level, finding.code, finding.feature) for finding in findings]


# --- where on earth


@pytest.mark.filterwarnings("ignore:'crs' was not provided")
def test_no_reference_system_is_asked_for_and_never_guessed(tmp_path, drawn):
    drawn.set_crs(None, allow_override=True).to_file(tmp_path / "areas.shp")
    with pytest.raises(LayerError, match=r'areas\.shp.*no coordinate reference system.*say crs = "EPSG:…".*--crs'):
        read_layers(tmp_path / "areas.shp")
    (layer,), findings = read_layers(tmp_path / "areas.shp", crs="EPSG:27700")
    assert (layer.crs.to_epsg(), findings) == (27700, [])


@pytest.mark.filterwarnings("ignore:'crs' was not provided")
def test_geopackage_that_nobody_gave_a_reference_system(tmp_path, drawn):
    drawn.set_crs(None, allow_override=True).to_file(tmp_path / "areas.gpkg")
    with pytest.raises(LayerError, match="no coordinate reference system"):
        read_layers(tmp_path / "areas.gpkg")
    assert read_layers(tmp_path / "areas.gpkg", crs=27700)[0][0].crs.to_epsg() == 27700


def test_geoparquet_without_reference_system(tmp_path, drawn):
    drawn.set_crs(None, allow_override=True).to_parquet(tmp_path / "areas.parquet")
    with pytest.raises(LayerError, match="no coordinate reference system"):
        read_layers(tmp_path / "areas.parquet")


def test_unknown_reference_system(tmp_path, drawn):
    drawn.to_file(tmp_path / "areas.gpkg")
    with pytest.raises(LayerError, match='crs "EPSG:99999" is not a known'):
        read_layers(tmp_path / "areas.gpkg", crs="EPSG:99999")


def test_a_reference_system_that_cannot_be_read(tmp_path, drawn):
    drawn.to_file(tmp_path / "areas.shp")
    prj = (tmp_path / "areas.prj").read_text()
    (tmp_path / "areas.prj").write_text(prj.replace('"', " ", 3))
    with pytest.raises(LayerError, match=r"cannot be read.*take its \.prj away and say crs"):
        read_layers(tmp_path / "areas.shp")


def test_another_reference_system_than_the_file_says_goes_first_with_a_warning(tmp_path, drawn):
    drawn.to_file(tmp_path / "areas.gpkg")
    (layer,), findings = read_layers(tmp_path / "areas.gpkg", crs="EPSG:32630")
    assert layer.crs.to_epsg() == 32630
    assert codes(findings) == [("warning", "crs_replaced", "")]


def test_metres_under_degrees_are_refused(tmp_path, drawn):
    drawn.set_crs("EPSG:4326", allow_override=True).to_file(tmp_path / "areas.gpkg")
    with pytest.raises(LayerError, match=r"not degrees.*metres or feet"):
        read_layers(tmp_path / "areas.gpkg")


def test_degrees_under_metres_are_remarked_on(tmp_path):
    frame = gpd.GeoDataFrame(geometry=[shapely.Polygon(SQUARE)], crs="EPSG:27700")
    frame.to_file(tmp_path / "areas.gpkg")
    _, findings = read_layers(tmp_path / "areas.gpkg")
    assert codes(findings) == [("error", "looks_like_degrees", "")]


def test_swapped_axes_are_named_and_can_be_mended(tmp_path):
    ring = [[y, x + 100] for x, y in SQUARE]  # longitude 114 in the place of the latitude
    path = geojson(tmp_path / "areas.geojson", polygon(ring))
    with pytest.raises(LayerError, match=r"latitude of 114.*swapped.*swap_axes = true"):
        read_layers(path)
    (layer,), _ = read_layers(path, swap_axes=True)
    assert layer.areas.total_bounds == pytest.approx([114.0, 35.0, 114.001, 35.001])


def test_longitudes_counted_round_the_globe(tmp_path):
    path = geojson(tmp_path / "areas.geojson", polygon([[x + 200, y] for x, y in SQUARE]))
    with pytest.raises(LayerError, match=r"longitude of 214\.001"):
        read_layers(path)


@pytest.mark.parametrize(
    ("written", "plain"),
    [
        ("EPSG:7405", 27700),  # British National Grid with heights above Newlyn
        ("EPSG:4979", 4326),  # WGS 84 with heights above the ellipsoid
    ],
)
def test_heights_are_taken_off_the_reference_system(tmp_path, written, plain):
    shape = shapely.box(0.1, 0.1, 0.2, 0.2)
    gpd.GeoDataFrame(geometry=[shape], crs=written).to_file(tmp_path / "areas.gpkg")
    assert read_layers(tmp_path / "areas.gpkg")[0][0].crs.to_epsg() == plain


@pytest.mark.parametrize(
    ("crs", "code"),
    [("EPSG:3857", "web_mercator"), ("EPSG:2264", "survey_feet"), ("EPSG:2222", "survey_feet")],
)
def test_remarkable_reference_systems_are_noted(tmp_path, crs, code):
    shape = shapely.box(600_000, 600_000, 600_100, 600_100)
    gpd.GeoDataFrame(geometry=[shape], crs=crs).to_file(tmp_path / "areas.gpkg")
    _, findings = read_layers(tmp_path / "areas.gpkg")
    assert codes(findings) == [("note", code, "")]


def test_a_reference_system_that_is_not_a_plan(tmp_path, drawn):
    drawn.to_file(tmp_path / "areas.gpkg")
    with pytest.raises(LayerError, match="neither a map projection nor longitude and latitude"):
        read_layers(tmp_path / "areas.gpkg", crs="EPSG:4978")  # geocentric


# --- shapes


def test_features_without_a_shape_are_set_aside_one_by_one(tmp_path):
    empty = {"type": "Polygon", "coordinates": []}
    path = geojson(tmp_path / "areas.geojson", polygon(SQUARE), None, empty)
    (layer,), findings = read_layers(path)
    assert layer.areas["feature"].tolist() == ["0"]
    assert codes(findings) == [("warning", "no_shape", "1"), ("warning", "no_shape", "2")]


def test_points_and_open_lines_where_areas_belong(tmp_path):
    point, line = {"type": "Point", "coordinates": SQUARE[0]}, {"type": "LineString", "coordinates": SQUARE[:4]}
    path = geojson(tmp_path / "areas.geojson", polygon(SQUARE), point, point, line)
    (layer,), findings = read_layers(path)
    assert [len(table) for table in (layer.areas, layer.points, layer.lines)] == [1, 2, 1]
    assert codes(findings) == [("warning", "line_not_area", "3"), ("warning", "point_not_area", "")]
    assert "2 points" in findings[1].text


def test_closed_lines_are_outlines(tmp_path):
    path = geojson(tmp_path / "areas.geojson", {"type": "LineString", "coordinates": SQUARE})
    (layer,), findings = read_layers(path)
    assert shapely.area(layer.areas.geometry.to_numpy()).tolist() == pytest.approx([1e-6])
    assert codes(findings) == [("note", "line_taken_as_area", "")]


def test_closed_lines_stay_lines_where_no_areas_are_wanted(tmp_path):
    path = geojson(tmp_path / "holes.geojson", {"type": "LineString", "coordinates": SQUARE})
    (layer,), findings = read_layers(path, role="hole_lines")
    assert (len(layer.areas), len(layer.lines), findings) == (0, 1, [])


def test_openstreetmap_paths_that_run_round_are_no_areas(tmp_path):
    path = geojson(
        tmp_path / "course.geojson",
        polygon(SQUARE),
        polygon(SQUARE),
        {"type": "LineString", "coordinates": SQUARE},
        golf=["green", "cartpath", None],
        **{"@id": ["way/1", "way/2", "way/3"]},
    )
    (layer,), findings = read_layers(path)
    assert layer.openstreetmap
    assert layer.areas["feature"].tolist() == ["way/1"]
    assert layer.lines["feature"].tolist() == ["way/2", "way/3"]
    assert codes(findings) == [("note", "path_is_a_line", "way/2"), ("note", "lines_and_points_kept", "")]


def test_heights_and_measures_are_dropped_with_one_note(tmp_path):
    ring = [[*corner, 12.0] for corner in SQUARE]
    path = geojson(tmp_path / "areas.geojson", polygon(ring), polygon(ring))
    (layer,), findings = read_layers(path)
    assert not layer.areas.has_z.any()
    assert codes(findings) == [("note", "height_dropped", "")]


def test_measures_are_dropped(tmp_path):
    shapes = shapely.from_wkt(["POLYGON M ((0 0 1, 30 0 2, 30 20 3, 0 0 1))", "POLYGON ((0 0, 30 0, 30 20, 0 0))"])
    gpd.GeoDataFrame(geometry=shapes, crs="EPSG:27700").to_parquet(tmp_path / "areas.parquet")
    (layer,), findings = read_layers(tmp_path / "areas.parquet")
    assert not shapely.has_m(layer.areas.geometry.to_numpy()).any()
    assert "1 shape with heights or measures" in findings[-1].text


def test_areas_are_taken_out_of_collections(tmp_path):
    far = [[x + 1, y] for x, y in SQUARE]
    mixed = {
        "type": "GeometryCollection",
        "geometries": [
            polygon(SQUARE),
            {"type": "MultiPolygon", "coordinates": [[far]]},
            {"type": "Point", "coordinates": [14, 35]},
        ],
    }
    point_only = {"type": "GeometryCollection", "geometries": [{"type": "Point", "coordinates": [14, 35]}]}
    (layer,), findings = read_layers(geojson(tmp_path / "areas.geojson", mixed, point_only))
    assert shapely.area(layer.areas.geometry.to_numpy()).tolist() == pytest.approx([2e-6])
    assert codes(findings) == [("warning", "shape_in_collection", "0"), ("warning", "point_not_area", "")]


def test_an_outline_that_lacks_its_last_point_is_closed(tmp_path):
    (layer,), findings = read_layers(geojson(tmp_path / "areas.geojson", polygon(SQUARE[:4]), polygon(SQUARE)))
    assert shapely.area(layer.areas.geometry.to_numpy()).tolist() == pytest.approx([1e-6, 1e-6])
    assert codes(findings) == [("warning", "ring_closed", "0")]


def test_coordinates_that_are_not_numbers(tmp_path, drawn):
    broken = drawn.copy()
    broken.loc[1, "geometry"] = shapely.Polygon([(0, 0), (np.inf, 0), (1, 1)])
    broken.to_parquet(tmp_path / "areas.parquet")
    (layer,), findings = read_layers(tmp_path / "areas.parquet")
    assert layer.areas["feature"].tolist() == ["0", "2", "3", "4", "5"]
    assert codes(findings) == [("error", "broken_coordinates", "1")]


def test_a_column_called_feature_or_geometry_is_kept_beside_ours(tmp_path, drawn):
    drawn.assign(feature=list("abcdef")).to_file(tmp_path / "areas.gpkg")
    (layer,), _ = read_layers(tmp_path / "areas.gpkg")
    assert layer.areas["feature"].tolist() == ["1", "2", "3", "4", "5", "6"]
    assert layer.areas["feature_in_file"].tolist() == list("abcdef")


def test_text_in_another_encoding_than_it_claims(tmp_path, drawn):
    drawn.assign(name="Grün").to_file(tmp_path / "areas.shp", encoding="ISO-8859-1")
    (tmp_path / "areas.cpg").write_text("UTF-8")
    (layer,), findings = read_layers(tmp_path / "areas.shp")
    assert layer.areas["name"].tolist() == ["Grün"] * 6
    assert codes(findings) == [("warning", "text_encoding", "")]


# --- files


def test_a_missing_file_is_asked_after(tmp_path, drawn):
    drawn.to_file(tmp_path / "greens.gpkg")
    with pytest.raises(LayerError, match=r"grens\.gpkg: there is no such file; did you mean greens\.gpkg\?"):
        read_layers(tmp_path / "grens.gpkg")
    with pytest.raises(LayerError, match=r"no folder nowhere"):
        read_layers(tmp_path / "nowhere" / "greens.gpkg")


@pytest.mark.parametrize(
    ("name", "content", "said"),
    [
        ("empty.gpkg", b"", "the file is empty"),
        ("notes.txt", b"Greens were cut at 4 mm today.\n", "not a file of drawn shapes"),
        ("picture.png", b"\x89PNG\r\n\x1a\n" + bytes(50), "a picture or a raster"),
        ("broken.gpkg", b"SQLite format 3\x00" + bytes(200), "cannot be read|not a file of drawn shapes"),
        ("broken.parquet", b"PAR1 and then nothing", "cannot be read as GeoParquet"),
        ("broken.zip", b"PK and then nothing", "zip file cannot be opened"),
        ("half.geojson", b'{"type": "FeatureCollection", "features": [{"type"', "cannot be read|not a file of drawn"),
        ("none.geojson", b'{"type": "FeatureCollection", "features": []}', "no shape that can be an area"),
        ("link.vrt", b'<OGRVRTDataSource><OGRVRTLayer name="a"/></OGRVRTDataSource>', "points to data elsewhere"),
        ("half.osm", b'<?xml version="1.0"?><osm version="0.6"><node id="1"', "cannot be read|no shape"),
        ("half.kml", b'<kml xmlns="http://www.opengis.net/kml/2.2"><Document>', "cannot be read|no layer in it"),
    ],
)
def test_files_that_hold_nothing_usable(tmp_path, name, content, said):
    (tmp_path / name).write_bytes(content)
    with pytest.raises(LayerError, match=said) as caught:
        read_layers(tmp_path / name)
    assert str(tmp_path) not in str(caught.value)


def test_a_table_without_shapes(tmp_path):
    import pandas as pd

    pyogrio.write_dataframe(pd.DataFrame({"product": ["feed"]}), tmp_path / "rates.gpkg", layer="rates")
    with pytest.raises(LayerError, match="no layer in it has shapes"):
        read_layers(tmp_path / "rates.gpkg")


def test_a_parquet_table_without_shapes(tmp_path):
    import pandas as pd

    pd.DataFrame({"product": ["feed"]}).to_parquet(tmp_path / "rates.parquet")
    with pytest.raises(LayerError, match="cannot be read as GeoParquet"):
        read_layers(tmp_path / "rates.parquet")


def test_parts_of_a_shapefile(tmp_path, drawn):
    drawn.to_file(tmp_path / "greens.shp")
    with pytest.raises(LayerError, match=r"part of a shapefile; name greens\.shp"):
        read_layers(tmp_path / "greens.dbf")
    (tmp_path / "greens.shx").unlink()
    with pytest.raises(LayerError, match=r"greens\.shx is missing"):
        read_layers(tmp_path / "greens.shp")


@pytest.mark.parametrize("name", ["north!south.gpkg", "a;b.gpkg"])
def test_names_that_cannot_be_opened(tmp_path, drawn, name):
    drawn.to_file(tmp_path / "areas.gpkg")
    (tmp_path / "areas.gpkg").rename(tmp_path / name)
    with pytest.raises(LayerError, match="rename it"):
        read_layers(tmp_path / name)


@pytest.mark.parametrize("name", ["a#b", "ä ö", "a?b", "a%20b", "{x}", "a,b", "o'b", "zip+x"])
def test_names_that_look_odd(tmp_path, drawn, name):
    drawn.to_file(tmp_path / f"{name}.gpkg", layer="areas")
    assert len(read_layers(tmp_path / f"{name}.gpkg")[0][0].areas) == 6


def test_a_folder_with_nothing_in_it(tmp_path):
    (tmp_path / "notes.txt").write_text("nothing drawn yet")
    with pytest.raises(LayerError, match="holds no file of drawn shapes"):
        read_layers(tmp_path)


def test_hole_lines_of_openstreetmap_in_their_own_layer_come_along(tmp_path, drawn):
    drawn.assign(golf=drawn["kind"]).to_file(tmp_path / "course.gpkg", layer="areas")
    line = shapely.LineString([(450_000, 350_000), (450_300, 350_000)])
    lines = gpd.GeoDataFrame({"golf": ["hole"], "ref": ["1"]}, geometry=[line], crs=drawn.crs)
    lines.to_file(tmp_path / "course.gpkg", layer="lines")
    layers, findings = read_layers(tmp_path / "course.gpkg")
    assert [(layer.layer, len(layer.areas), len(layer.lines)) for layer in layers] == [("areas", 6, 0), ("lines", 0, 1)]
    assert [finding.code for finding in findings] == ["lines_and_points_kept"]


def test_relative_paths_are_shown_as_they_were_written(tmp_path, drawn, monkeypatch):
    (tmp_path / "plan").mkdir()
    drawn.to_file(tmp_path / "plan" / "areas.gpkg")
    monkeypatch.chdir(tmp_path)
    assert read_layers("plan/areas.gpkg")[0][0].file == "plan/areas.gpkg"
    assert read_layers(tmp_path / "plan" / "areas.gpkg")[0][0].file == "areas.gpkg"
