"""
Files that are broken on purpose: a plain message or findings, never anything else.

GeoJSON: repository chrieke/geojson-invalid-geometry, MIT licence. OSM: repository osmlab/atlas, BSD-3-Clause. XML:
repository libgeos/geos, LGPL-2.1. All lie in the folder of open data beside the checkout; none is part of this package.
"""

from pathlib import Path
from xml.etree import ElementTree

import geopandas as gpd
import pytest
import shapely

from turfgis.errors import LayerError
from turfgis.layers.mend import mend_areas
from turfgis.layers.read import read_layers

REFUSED = {
    "invalid_feature_id_type.geojson": "1 point",
    "invalid_feature_properties_is_array.geojson": "without a usable shape",
    "invalid_feature_wrong_geometry_key.geojson": "without a usable shape",
    "invalid_featurecollection_features_is_object.geojson": "Missing 'features' member",
    "invalid_featurecollection_nulltype.geojson": "cannot be read",
    "invalid_featurecollection_unknown_type.geojson": "cannot be read",
    "invalid_geometry_bbox_not_list.geojson": "1 point",
    "invalid_geometry_coordinates_1d.geojson": "cannot be read",
    "invalid_geometry_coordinates_missing.geojson": "Missing 'coordinates' member",
    "invalid_geometry_depth_deep_point.geojson": "cannot be read",
    "invalid_geometry_depth_shallow_linestring.geojson": "cannot be read",
    "invalid_geometry_depth_shallow_polygon.geojson": "cannot be read",
    "invalid_geometry_mislabeled_point.geojson": "without a usable shape",
    "invalid_geometry_wrong_geometry_type.geojson": "not a file of drawn shapes",
    "problematic_geometrycollection_single.geojson": "1 point",
}

# What is found on the way to sound areas, in reading and in mending. The first two and the bounding boxes break only
# rules about how GeoJSON is written, and every shape in them is plain.
READ = {
    "invalid_exterior_not_ccw.geojson": [],
    "invalid_interior_not_cw.geojson": [],
    "invalid_unclosed.geojson": ["ring_closed"],
    "problematic_4d_coordinates.geojson": ["height_dropped"],
    "problematic_crs_defined.geojson": [],
    "problematic_duplicate_nodes.geojson": [],
    "problematic_excessive_vertices.geojson": [],
    "problematic_holes.geojson": [],
    "problematic_multitype_geometry_with_just_one_geometry.geojson": [],
    "problematic_self_intersection_large.geojson": ["mended"],
    "problematic_wrong_bbox_coordinate_order.geojson": [],
}

OPENSTREETMAP = {
    "InnerOuterMultiPolygon.osm": ["lines_and_points_kept"],
    "fourSelfIntersectingPolygon.osm": ["mended"],
    "polygonWithFlatZeroAreaPart.osm": ["mended", "sliver"],
    "testHuggingPolygons.josm.osm": ["mended"],
    "testOverlappingPolygonsToMultiPolygon.josm.osm": ["mended"],
}


def read_and_mend(path: Path) -> tuple[gpd.GeoDataFrame, list[str]]:
    (layer,), findings = read_layers(path)
    east, north = layer.areas.to_crs("EPSG:4326").total_bounds[:2]
    frame = layer.areas.to_crs(f"+proj=laea +lat_0={north} +lon_0={east} +datum=WGS84")
    named = frame.assign(file=layer.file, layer=layer.layer, surface="green")
    kept, mended = mend_areas(named)
    return kept, [finding.code for finding in findings + mended]


def test_every_file_is_spoken_for(open_data):
    there = {file.name for file in (open_data / "bad_geometry" / "geojson").iterdir()}
    assert there == {*REFUSED, *READ}
    assert {file.name for file in (open_data / "bad_geometry" / "osm").iterdir()} == set(OPENSTREETMAP)


@pytest.mark.parametrize(("name", "said"), REFUSED.items())
def test_a_file_that_cannot_be_used_says_why(open_data, name, said):
    with pytest.raises(LayerError, match=f"{name}.*{said}") as caught:
        read_layers(open_data / "bad_geometry" / "geojson" / name)
    assert str(open_data) not in str(caught.value)


@pytest.mark.parametrize(("name", "codes"), READ.items())
def test_a_file_that_can_be_used_says_what_was_wrong(open_data, name, codes):
    kept, found = read_and_mend(open_data / "bad_geometry" / "geojson" / name)
    # GDAL remarks on a fourth coordinate only once in the life of a process, and another test may have come first.
    assert [code for code in found if code != "reader_remark"] == codes
    assert len(kept)
    assert kept.is_valid.all()
    assert (kept.area > 0).all()


def test_many_corners_in_one_place_enclose_what_the_outline_does(open_data):
    # Corners repeated many times over change no area: the same outline without them is as large.
    kept, _ = read_and_mend(open_data / "bad_geometry" / "geojson" / "problematic_excessive_vertices.geojson")
    once = shapely.remove_repeated_points(kept.geometry.to_numpy(), 0.0)
    assert shapely.area(once) == pytest.approx(kept.area.to_numpy(), rel=1e-12)


@pytest.mark.parametrize(("name", "codes"), OPENSTREETMAP.items())
def test_broken_openstreetmap(open_data, name, codes):
    kept, found = read_and_mend(open_data / "bad_geometry" / "osm" / name)
    assert found == codes
    assert len(kept) == 1
    assert kept.is_valid.all()
    assert (kept.area > 0).all()


def test_a_spike_of_openstreetmap_encloses_nothing(open_data):
    kept, _ = read_and_mend(open_data / "bad_geometry" / "osm" / "polygonWithFlatZeroAreaPart.osm")
    (layer,), _ = read_layers(open_data / "bad_geometry" / "osm" / "polygonWithFlatZeroAreaPart.osm")
    assert shapely.area(kept.to_crs("EPSG:4326").geometry.iloc[0]) == pytest.approx(
        shapely.area(layer.areas.geometry.iloc[0]), rel=1e-6
    )


# --- what another geometry library's own tests expect


def cases(file: Path, operation: str):
    for case in ElementTree.parse(file).getroot().iter("case"):
        for op in case.iter("op"):
            if op.get("name") == operation:
                yield " ".join((case.findtext("desc") or "").split()), case.findtext("a"), (op.text or "").strip()


def as_area(shape: shapely.Geometry) -> tuple[shapely.Geometry | None, list[str]]:
    columns = {"file": ["a"], "layer": ["a"], "feature": ["1"], "surface": ["green"]}
    kept, findings = mend_areas(gpd.GeoDataFrame(columns, geometry=[shape]))
    return (kept.geometry.iloc[0] if len(kept) else None), [finding.code for finding in findings]


def polygons(file: Path, operation: str) -> list[tuple[str, shapely.Geometry, str]]:
    found = []
    for name, text, expected in cases(file, operation):
        try:
            shape = shapely.from_wkt(text.strip())
        except shapely.errors.GEOSException:
            continue  # the text itself is refused, as it would be in any file
        if shape.geom_type in ("Polygon", "MultiPolygon") and not shape.is_empty:
            found.append((name, shape, expected))
    return found


@pytest.mark.parametrize("name", ["polygon/already_valid", "polygon/crossing", "polygon/hole_touching_two_places"])
def test_mended_as_geos_expects(open_data, name):
    there = polygons(open_data / "bad_geometry" / "xml" / "makevalid.xml", "makevalid")
    ((_, shape, expected),) = [case for case in there if case[0] == f"makevalid/{name}"]
    mended, codes = as_area(shape)
    assert mended.equals(shapely.from_wkt(expected))
    assert codes == ([] if name.endswith("already_valid") else ["mended"])


def test_parts_that_overlap_are_joined_where_geos_cuts_the_overlap_out(open_data):
    # "not completely sure I would expect this result" stands beside this case in GEOS: it takes ground that two parts
    # of one feature share away from both. Nobody who drew a green in two overlapping parts means that.
    there = polygons(open_data / "bad_geometry" / "xml" / "makevalid.xml", "makevalid")
    ((_, shape, _),) = [case for case in there if case[0] == "makevalid/multipolygon/second_part_overlapping"]
    mended, _ = as_area(shape)
    assert mended.area == pytest.approx(1.0 + 1.2 * 0.8 - 0.2 * 0.8)


def corners(shape: shapely.Geometry) -> set[tuple[float, ...]]:
    return set(map(tuple, shapely.get_coordinates(shape).tolist()))


@pytest.mark.filterwarnings("ignore:invalid value encountered")
@pytest.mark.parametrize("file", ["TestValid.xml", "TestIsValid.xml"])
def test_what_geos_calls_valid_passes_and_the_rest_is_mended_or_set_aside(open_data, file):
    there = polygons(open_data / "bad_geometry" / "xml" / file, "isValid")
    assert there
    for name, shape, expected in there:
        mended, codes = as_area(shape)
        if expected == "true":
            assert set(codes) <= {"sliver"}, name
            assert "sliver" in codes or (mended.area == shape.area and corners(mended) == corners(shape)), name
        else:
            assert codes[0] in ("mended", "nothing_left", "broken_coordinates"), name
            assert mended is None or (mended.is_valid and mended.area > 0), name
