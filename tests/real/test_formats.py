"""
Real drawings in several formats, against the counts and sizes measured when they were collected.

Counts and areas are those of the table in the data's own README, measured there with geopandas and shapely in the UTM
zone named. Drawings: © OpenStreetMap contributors, ODbL.
"""

from collections import Counter

import pandas as pd
import pytest

from turfgis.errors import LayerError
from turfgis.layers.naming import name_surfaces
from turfgis.layers.read import read_layers
from turfgis.surfaces import SURFACES

NEW_PROVIDENCE = {
    "bunker": 47,
    "fairway": 42,
    "green": 22,
    "tee": 18,
    "rough": 6,
    "water_hazard": 3,
    "driving_range": 2,
    "clubhouse": 1,
}
PARADISE_ISLAND = {"bunker": 84, "tee": 45, "green": 18, "fairway": 16}
MALTA = {"bunker": 41, "green": 18, "fairway": 15, "tee": 14, "rough": 2}

# [m2], printed to the whole square metre
NEW_PROVIDENCE_M2 = {
    "fairway": 219_702,
    "bunker": 78_711,
    "driving_range": 55_572,
    "water_hazard": 41_322,
    "green": 13_973,
    "rough": 10_870,
    "tee": 5_193,
    "clubhouse": 542,
}
PARADISE_ISLAND_M2 = {"fairway": 151_403, "bunker": 16_138, "green": 9_762, "tee": 3_614}
MALTA_M2 = {"fairway": 42_617, "green": 4_897, "tee": 2_339, "bunker": 1_509, "rough": 18}

COURSES = [
    ("bahamas_new_providence.geojson", "EPSG:32618", NEW_PROVIDENCE, NEW_PROVIDENCE_M2),
    ("bahamas_new_providence.osm", "EPSG:32618", NEW_PROVIDENCE, NEW_PROVIDENCE_M2),
    ("bahamas_new_providence_utm18n.gpkg", "EPSG:32618", NEW_PROVIDENCE, NEW_PROVIDENCE_M2),
    ("bahamas_paradise_island.geojson", "EPSG:32618", PARADISE_ISLAND, PARADISE_ISLAND_M2),
    ("bahamas_paradise_island.osm", "EPSG:32618", PARADISE_ISLAND, PARADISE_ISLAND_M2),
    ("bahamas_paradise_island_shp_utm18n", "EPSG:32618", PARADISE_ISLAND, PARADISE_ISLAND_M2),
    ("malta_marsa.geojson", "EPSG:32633", MALTA, MALTA_M2),
    ("malta_marsa.osm", "EPSG:32633", MALTA, MALTA_M2),
]


def read_golf(path) -> pd.DataFrame:
    layers, _ = read_layers(path)
    return pd.concat([layer.areas[["golf", "geometry"]].dropna() for layer in layers])


@pytest.mark.parametrize(("name", "zone", "counts", "sizes"), COURSES)
def test_counts_and_sizes(open_data, name, zone, counts, sizes):
    golf = read_golf(open_data / "golf" / name)
    assert Counter(golf["golf"]) == counts
    measured = golf.to_crs(zone).assign(size=lambda rows: rows.area).groupby("golf")["size"].sum()
    assert measured.to_dict() == pytest.approx(sizes, abs=0.5)


def test_kml_whose_kind_stands_in_the_description(open_data):
    (layer,), findings = read_layers(open_data / "golf" / "malta_marsa.kml")
    assert [(finding.code, finding.level) for finding in findings] == [("line_not_area", "warning")]  # the hole line
    named, _ = name_surfaces(layer, surface_from="description", known=SURFACES)
    assert Counter(named["surface"]) == MALTA
    found, notes = name_surfaces(layer, known=SURFACES)
    assert found["surface"].tolist() == named["surface"].tolist()
    assert [note.code for note in notes] == ["surface_from_values"]


def test_a_folder_of_shapefiles_names_each_layer(open_data):
    layers, findings = read_layers(open_data / "golf" / "bahamas_paradise_island_shp_utm18n")
    assert findings == []
    assert [layer.layer for layer in layers] == ["bunker", "fairway", "green", "tee"]
    assert all(layer.crs.to_epsg() == 32618 for layer in layers)


def test_surfaces_of_a_real_extract(open_data):
    (layer,), _ = read_layers(open_data / "golf" / "bahamas_new_providence.geojson")
    named, findings = name_surfaces(layer, known=SURFACES)
    expected = {"bunker": 47, "fairway": 42, "green": 22, "tee": 18, "rough": 6, "water": 3, "other": 2}
    assert Counter(named["surface"]) == expected
    assert {finding.code for finding in findings} == {"not_turf", "range_as_other", "surface_missing"}
    assert {finding.level for finding in findings} == {"note"}


def test_tees_and_pins_drawn_as_points_are_no_areas(open_data):
    (layer,), findings = read_layers(open_data / "golf" / "bahamas_new_providence.geojson")
    assert Counter(layer.points["golf"]) == {"tee": 19, "pin": 19}
    assert Counter(layer.lines["golf"].dropna()) == {"hole": 19}
    assert [(finding.level, finding.code) for finding in findings] == [("note", "lines_and_points_kept")]


def test_official_sizes_of_boroughs(open_data):
    # Official hectares less the water that the file says to subtract, in the national grid: within 0.01 ha for 16 of
    # the 17 (the README names the seventeenth). National Statistics and Ordnance Survey data © Crown copyright.
    (layer,), _ = read_layers(open_data / "known_area" / "london_boroughs_half.geojson")
    rows = layer.areas.to_crs("EPSG:27700")
    off = (rows.area / 10_000 - (rows["HECTARES"] - rows["NONLD_AREA"])).abs()
    assert int((off < 0.01).sum()) == 16
    assert rows.loc[off >= 0.01, "NAME"].tolist() == ["Richmond upon Thames"]


@pytest.mark.parametrize("name", ["dem_3arcsec_texas.tif", "RGB.byte.tif", "corrupt.tif", "rotated.tif"])
def test_rasters_are_not_drawings(open_data, name):
    with pytest.raises(LayerError, match=f"{name}: a picture or a raster of heights"):
        read_layers(open_data / "raster" / name)


def test_other_things_that_are_not_drawings(open_data):
    with pytest.raises(LayerError, match=r"N52E008\.hgt\.zip: no file of drawn shapes in it"):
        read_layers(open_data / "raster" / "N52E008.hgt.zip")
    with pytest.raises(LayerError, match=r"README\.md: not a file of drawn shapes"):
        read_layers(open_data / "README.md")
    with pytest.raises(LayerError, match="raster: the folder holds no file of drawn shapes"):
        read_layers(open_data / "raster")
