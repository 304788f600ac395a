"""
Net areas of real courses: laws, outside libraries, and the overlaps counted when the data were collected.

Drawings: © OpenStreetMap contributors, ODbL. Counts and sizes marked "data README" were measured there with shapely, in
the plane of a UTM zone; PROJ's areal scale at the course turns them into square metres of ground.
"""

from functools import cache
from pathlib import Path

import geopandas as gpd
import numpy as np
import pyproj
import pytest
import shapely

from turfgis.layers.drawing import plain_drawing
from turfgis.measure.overlaps import by_surface, measure_overlaps
from turfgis.measure.patches import Measured, measure_course
from turfgis.surfaces import pile_order

NEW_PROVIDENCE, PARADISE_ISLAND, MALTA = "bahamas_new_providence", "bahamas_paradise_island", "malta_marsa"
FILES = [f"{course}.{kind}" for course in (NEW_PROVIDENCE, PARADISE_ISLAND, MALTA) for kind in ("geojson", "osm")]


@cache
def measured_file(path: Path) -> Measured:
    return measure_course(plain_drawing(path))


@pytest.fixture
def course(open_data, file) -> Measured:
    return measured_file(open_data / "golf" / file)


@pytest.mark.parametrize("file", FILES)
def test_net_areas_add_up_to_the_union(course):
    union = shapely.union_all(course.drawn.geometry.to_numpy()).area
    assert course.patches["net_m2"].sum() == pytest.approx(union, rel=1e-12)
    assert course.drawn_twice_m2 == pytest.approx(course.drawn.area.sum() - union, abs=1e-6)


@pytest.mark.parametrize("file", FILES)
def test_no_ground_has_two_owners(course):
    net = course.patches.geometry.to_numpy()
    one, other = shapely.STRtree(net).query(net)
    assert shapely.area(shapely.intersection(net[one], net[other]))[one < other].max() < 1e-9


@pytest.mark.parametrize("file", FILES)
def test_net_areas_by_surface_as_geopandas_overlay(course):
    """
    Each surface less all that lie above it, by geopandas.overlay.

    What overlay leaves of a surface is dissolved before it is summed: overlay works feature by feature, so that ground
    where two shapes of one surface overlap would be summed twice. Then the two agree to 1e-12.
    """
    drawn = course.drawn[["surface", "geometry"]]
    ours = course.patches.groupby("surface")["net_m2"].sum()
    order = [surface for surface in pile_order() if (drawn["surface"] == surface).any()]
    for place, surface in enumerate(order):
        here, above = drawn[drawn["surface"] == surface], drawn[drawn["surface"].isin(order[:place])]
        left = gpd.overlay(here, above[["geometry"]], how="difference") if len(above) else here
        assert ours.get(surface, 0.0) == pytest.approx(left.dissolve().area.sum(), rel=1e-12)


@pytest.mark.parametrize("file", FILES)
def test_drawn_areas_as_geodesic_polygons(course):
    """Every shape against PROJ's geodesic polygons, which are good to about 2e-4 m2 at this size."""
    back = pyproj.Transformer.from_crs(course.frame, 4326, always_xy=True)
    shapes = course.drawn.geometry.to_numpy()
    degrees = shapely.transform(shapes, lambda xy: np.column_stack(back.transform(*xy.T)))
    ruler = pyproj.Geod(ellps="WGS84")
    geodesic = [ruler.geometry_area_perimeter(shape)[0] for shape in shapely.orient_polygons(degrees)]
    assert shapely.area(shapes) == pytest.approx(geodesic, abs=1e-3, rel=0)


# data README: sizes of drawn shapes by OpenStreetMap's tag, in the plane of UTM zone 18 or 33 north [m2]
PLANAR = [
    (NEW_PROVIDENCE, 32618, {"fairway": 219_702, "bunker": 78_711, "other": 55_572, "water": 41_322, "green": 13_973,
                             "rough": 10_870, "tee": 5_193}),
    (PARADISE_ISLAND, 32618, {"fairway": 151_403, "bunker": 16_138, "green": 9_762, "tee": 3_614}),
    (MALTA, 32633, {"fairway": 42_617, "green": 4_897, "tee": 2_339, "bunker": 1_509, "rough": 18}),
]  # fmt: skip


def areal_scale(course: Measured, zone: int) -> float:
    """Square metres in the plane of the zone for one of ground, in the middle of the course."""
    middle = shapely.union_all(course.drawn.geometry.to_numpy()).centroid
    lon, lat = pyproj.Transformer.from_crs(course.frame, 4326, always_xy=True).transform(middle.x, middle.y)
    return pyproj.Proj(zone).get_factors(lon, lat).areal_scale


@pytest.mark.parametrize(("name", "zone", "sizes"), PLANAR)
def test_drawn_areas_as_measured_in_the_plane(open_data, name, zone, sizes):
    """Half a square metre for the printed figure, and 2e-5 because the areal scale changes across a course."""
    course = measured_file(open_data / "golf" / f"{name}.geojson")
    scale = areal_scale(course, zone)
    drawn = course.drawn.assign(m2=course.drawn.area).groupby("surface")["m2"].sum()
    assert set(drawn.index) == set(sizes)
    for surface, planar in sizes.items():
        assert drawn[surface] == pytest.approx(planar / scale, abs=0.51 + 2e-5 * planar), surface
    assert abs(scale - 1) > 3e-4  # what the plane of the zone would be wrong by


# data README: pairs of shapes that overlap, and their common ground in the plane [m2]
OVERLAPS = [
    ("fairway", "green", 17, 7_683),
    ("fairway", "rough", 5, 10_707),
    ("fairway", "bunker", 21, 2_030),
    ("other", "green", 5, 6_289),
    ("other", "bunker", 14, 739),
    ("other", "rough", 1, 164),
]


@pytest.mark.parametrize(("one", "other", "pairs", "planar"), OVERLAPS)
def test_overlaps_of_new_providence_as_counted(open_data, one, other, pairs, planar):
    course = measured_file(open_data / "golf" / f"{NEW_PROVIDENCE}.osm")
    summed = by_surface(measure_overlaps(course))
    (row,) = [row for row in summed.itertuples() if {row.keeps, row.under} == {one, other}]
    assert row.keeps == min(one, other, key=pile_order().index)
    assert row.pairs == pairs
    assert row.area_m2 == pytest.approx(planar / areal_scale(course, 32618), abs=0.51 + 2e-5 * planar)


def test_overlaps_of_the_other_two_as_counted(open_data):
    """data README: Paradise Island 5 pairs of bunker and fairway, 581 m2; Malta none above 1 m2."""
    paradise = measured_file(open_data / "golf" / f"{PARADISE_ISLAND}.osm")
    summed = by_surface(measure_overlaps(paradise))
    assert summed[["keeps", "under", "pairs"]].to_numpy().tolist() == [["bunker", "fairway", 5]]
    assert summed["area_m2"].iloc[0] == pytest.approx(581 / areal_scale(paradise, 32618), abs=0.52)
    malta = measured_file(open_data / "golf" / f"{MALTA}.osm")
    assert malta.ground.twice_m2.max(initial=0.0) < 1.0


def test_sums_and_unions_as_measured_in_the_plane(open_data):
    """data README: drawn 425,885 and 180,917 m2, unions 398,273 and 180,336; the first with a clubhouse of 542 m2."""
    for name, drawn, union, clubhouse in (
        (NEW_PROVIDENCE, 425_885, 398_273, 542),
        (PARADISE_ISLAND, 180_917, 180_336, 0),
    ):
        course = measured_file(open_data / "golf" / f"{name}.geojson")
        scale = areal_scale(course, 32618)
        assert course.drawn.area.sum() == pytest.approx((drawn - clubhouse) / scale, abs=1.1 + 2e-5 * drawn)
        assert course.patches["net_m2"].sum() == pytest.approx((union - clubhouse) / scale, abs=1.1 + 2e-5 * union)


def test_cut_outs_count_as_such(open_data):
    """data README: 16 inner rings in 13 of the 15 fairways of Malta; with them filled the fairways are larger."""
    fairways = measured_file(open_data / "golf" / f"{MALTA}.geojson").drawn.query("surface == 'fairway'")
    parts = shapely.get_parts(fairways.geometry.to_numpy())
    assert shapely.get_num_interior_rings(parts).sum() == 16
    filled = shapely.area(shapely.polygons(shapely.get_exterior_ring(parts))).sum()
    assert filled > fairways.area.sum() + 1_000


# --- hole numbers -----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("file", [f"{NEW_PROVIDENCE}.geojson", f"{NEW_PROVIDENCE}.osm"])
def test_every_hole_line_numbers_one_green(course):
    """
    data README: the far end of each of the 19 hole lines is on, or within 2 m of, exactly one green.

    Holes 6 and 13 end on the same one; hole 0 of OpenStreetMap is the range. Four of the 22 greens end no line.
    """
    greens = course.patches[course.patches["surface"] == "green"]
    numbers = [number for hole in greens["hole"].dropna() for number in hole.split("/")]
    assert sorted(numbers) == sorted([*map(str, range(1, 19)), "practice"])
    assert "green-6-13" in greens["patch"].tolist()
    assert greens["hole"].isna().sum() == 4
    for line in course.hole_lines.itertuples():
        green = greens[[line.hole in str(hole).split("/") for hole in greens["hole"]]]
        assert green.distance(shapely.get_point(line.geometry, -1)).tolist() == [pytest.approx(0, abs=2)]


@pytest.mark.parametrize("file", [f"{NEW_PROVIDENCE}.geojson", f"{NEW_PROVIDENCE}.osm"])
def test_every_hole_has_its_tee_and_fairway_beside_its_line(course):
    """data README: the 18 tee shapes and 42 fairways carry no number of their own."""
    patches = course.patches
    lines = dict(zip(course.hole_lines["hole"], course.hole_lines.geometry, strict=True))
    for row in patches[patches["surface"].isin(["tee", "fairway"]) & patches["hole"].notna()].itertuples():
        away = row.geometry.distance(lines[row.hole])
        assert away <= 60.0
        if row.surface == "fairway":
            continue
        along = lines[row.hole].project(row.geometry.centroid, normalized=True)
        assert along < 0.5, row.patch
    assert patches.loc[patches["surface"] == "tee", "hole"].notna().mean() > 0.9


def test_a_course_without_hole_lines_stays_without_numbers(open_data):
    patches = measured_file(open_data / "golf" / f"{PARADISE_ISLAND}.geojson").patches
    assert patches["hole"].isna().all()
    assert patches["patch"].is_unique


# --- formats ----------------------------------------------------------------------------------------------------------

TWINS = [
    # raw and assembled data hold the same numbers; KML the same degrees
    (f"{NEW_PROVIDENCE}.geojson", f"{NEW_PROVIDENCE}.osm", 1e-6),
    (f"{PARADISE_ISLAND}.geojson", f"{PARADISE_ISLAND}.osm", 1e-6),
    (f"{MALTA}.geojson", f"{MALTA}.osm", 1e-6),
    (f"{MALTA}.geojson", f"{MALTA}.kml", 1e-6),
    # moved to UTM corner by corner: edges are straight in another plane there, which shows on edges of 100 m and more
    (f"{NEW_PROVIDENCE}.geojson", f"{NEW_PROVIDENCE}_utm18n.gpkg", 0.01),
    (f"{PARADISE_ISLAND}.geojson", f"{PARADISE_ISLAND}_shp_utm18n", 0.01),
]


@pytest.mark.parametrize(("one", "other", "tolerance"), TWINS)
def test_formats_of_one_course_against_each_other(open_data, one, other, tolerance):
    """Drawn, net and perimeter of every patch; patches are matched by surface and size, names being those of a file."""
    first, second = (measured_file(open_data / "golf" / file).patches for file in (one, other))
    assert first["surface"].value_counts().to_dict() == second["surface"].value_counts().to_dict()
    for surface in first["surface"].unique():
        a, b = (
            patches[patches["surface"] == surface].sort_values(["drawn_m2", "net_m2"]) for patches in (first, second)
        )
        for column in ("drawn_m2", "net_m2", "perimeter_m"):
            assert b[column].to_numpy() == pytest.approx(a[column].to_numpy(), abs=tolerance, rel=0), (surface, column)


@pytest.mark.parametrize("name", [NEW_PROVIDENCE, PARADISE_ISLAND, MALTA])
def test_raw_and_assembled_data_give_the_same_patches(open_data, name):
    """Shape by shape: surface, hole and area, by OpenStreetMap's own id."""

    def rows(file):
        patches = measured_file(open_data / "golf" / file).patches
        ids = patches["source"].str.split(" | ", regex=False).str[2]
        columns = (patches["surface"], patches["hole"], patches["net_m2"].round(6))
        return dict(zip(ids, zip(*columns, strict=True), strict=True))

    assert rows(f"{name}.osm") == rows(f"{name}.geojson")
