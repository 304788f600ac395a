"""What is mended, what is set aside, and what is said of it. Sizes follow from the corners by plain geometry."""

from math import cos, pi, radians, sin

import geopandas as gpd
import numpy as np
import pytest
import shapely
from pyproj import Transformer

from turfgis.layers.mend import mend_areas

FRAME = "+proj=laea +lat_0=35.87 +lon_0=14.49 +datum=WGS84 +units=m"


def areas(*shapes, surface="green") -> gpd.GeoDataFrame:
    surfaces = [surface] * len(shapes) if isinstance(surface, str) else surface
    ids = [str(place) for place in range(len(shapes))]
    columns = {"file": "a.gpkg", "layer": "all", "feature": ids, "surface": surfaces}
    return gpd.GeoDataFrame(columns, geometry=list(shapes), crs=FRAME)


def box(x: float, y: float, width: float = 20.0, height: float = 10.0) -> shapely.Polygon:
    return shapely.box(x, y, x + width, y + height)


def said(findings) -> list[tuple[str, str]]:
    return [(finding.code, finding.feature) for finding in findings]


def test_sound_areas_pass_unchanged():
    drawn = areas(box(0, 0), box(20, 0), box(0, 50).difference(box(5, 52, 3, 3)))
    kept, findings = mend_areas(drawn)
    assert findings == []
    assert kept["feature"].tolist() == ["0", "1", "2"]
    assert shapely.equals(kept.geometry.to_numpy(), drawn.geometry.to_numpy()).all()
    assert kept.crs == drawn.crs


def test_outlines_run_anticlockwise_and_cut_outs_clockwise():
    kept, _ = mend_areas(areas(shapely.Polygon(box(0, 0).exterior.coords[::-1], [box(5, 2, 3, 3).exterior.coords])))
    assert kept.geometry.iloc[0].exterior.is_ccw
    assert not kept.geometry.iloc[0].interiors[0].is_ccw


def test_a_bow_tie_keeps_both_lobes():
    # Two triangles of 20 m by 10 m: corners of a square of 20 m taken in the wrong order.
    kept, findings = mend_areas(areas(shapely.Polygon([(0, 0), (20, 20), (20, 0), (0, 20)])))
    assert kept.area.tolist() == pytest.approx([200.0])
    assert said(findings) == [("mended", "0")]
    assert findings[0].text == "The outline crosses itself; it was mended: 0.0 m2 as drawn, 200.0 m2 as mended."
    assert findings[0].level == "warning"


def test_ground_gone_round_twice_counts_once():
    # A five-pointed star drawn in one stroke, of radius R to its points: its outline encloses 5 R r sin 36 degrees with
    # r = R cos 72 / cos 36, the pentagon in its middle included.
    radius = 10.0
    corners = [(radius * cos(2 * pi * k * 2 / 5), radius * sin(2 * pi * k * 2 / 5)) for k in range(5)]
    inner = radius * cos(radians(72)) / cos(radians(36))
    kept, _ = mend_areas(areas(shapely.Polygon(corners)))
    assert kept.area.tolist() == pytest.approx([5 * radius * inner * sin(radians(36))])


def test_an_outline_that_overshoots_at_its_end_has_no_hole_there():
    # A square of 20 m, drawn on past its start along 5 m of the first edge and back inside.
    overshoot = [(0, 0), (20, 0), (20, 20), (0, 20), (0, -2), (5, -2), (5, 5), (0, 5)]
    kept, _ = mend_areas(areas(shapely.Polygon(overshoot)))
    assert len(kept.geometry.iloc[0].interiors) == 0
    assert kept.area.iloc[0] == pytest.approx(20 * 20 + 5 * 2)


def test_parts_of_a_feature_that_overlap_count_once():
    kept, _ = mend_areas(areas(shapely.MultiPolygon([box(0, 0), box(10, 0)])))
    assert kept.area.tolist() == pytest.approx([300.0])


def test_a_cut_out_that_reaches_over_the_edge_is_cut_out():
    ring = box(15, 2, 10, 5)  # half of it outside
    kept, findings = mend_areas(areas(shapely.Polygon(box(0, 0).exterior, [ring.exterior])))
    assert kept.area.tolist() == pytest.approx([200.0 - 25.0])
    assert said(findings) == [("mended", "0")]


def test_a_ring_outside_the_outline_is_a_part_of_its_own():
    kept, findings = mend_areas(areas(shapely.Polygon(box(0, 0).exterior, [box(50, 50, 5, 5).exterior])))
    assert kept.area.tolist() == pytest.approx([225.0])
    assert findings[0].text.startswith("A ring that lies outside the outline")


def test_parts_that_share_an_edge_are_joined():
    kept, findings = mend_areas(areas(shapely.MultiPolygon([box(0, 0), box(20, 0)])))
    assert kept.area.tolist() == pytest.approx([400.0])
    assert findings[0].text.startswith("Two of its parts share ground or an edge")


def test_cut_outs_without_points_are_left_out():
    hollow = shapely.from_wkt("POLYGON ((0 0, 20 0, 20 10, 0 10, 0 0), EMPTY, (2 2, 4 2, 4 4, 2 4, 2 2))")
    kept, findings = mend_areas(areas(hollow, shapely.MultiPolygon([hollow, box(50, 0)])))
    assert findings == []
    assert [len(shape.interiors) for shape in shapely.get_parts(kept.geometry.to_numpy())] == [1, 1, 0]
    assert kept.area.tolist() == pytest.approx([196.0, 396.0])


def test_a_spike_is_taken_off():
    spike = [(0, 0), (20, 0), (30, 0), (20, 0), (20, 10), (0, 10)]
    kept, findings = mend_areas(areas(shapely.Polygon(spike)))
    assert kept.area.tolist() == pytest.approx([200.0])
    assert kept.geometry.iloc[0].length == pytest.approx(60.0)
    assert findings[0].text.startswith("The outline doubles back on itself")


def test_an_outline_that_encloses_nothing_is_set_aside():
    kept, findings = mend_areas(areas(shapely.Polygon([(0, 0), (20, 0), (40, 0)]), box(0, 20)))
    assert kept["feature"].tolist() == ["1"]
    assert said(findings) == [("nothing_left", "0")]


@pytest.mark.parametrize("nothing", [None, shapely.Polygon(), shapely.Polygon([(0, 0), (np.inf, 0), (1, 1)])])
def test_shapes_that_are_none(nothing):
    kept, findings = mend_areas(areas(box(0, 0), nothing))
    assert kept["feature"].tolist() == ["0"]
    assert [feature for _, feature in said(findings)] == ["1"]


# --- drawn twice


@pytest.mark.parametrize(
    "again",
    [
        box(0, 0),
        shapely.Polygon([(20, 10), (20, 0), (0, 0), (0, 10)]),  # from another corner and the other way round
        shapely.Polygon([(0, 0), (10, 0), (20, 0), (20, 10), (0, 10)]),  # with one more point on an edge
        box(0.004, 0.004),  # by hand, 4 mm off
    ],
)
def test_the_same_shape_for_the_same_surface_counts_once(again):
    kept, findings = mend_areas(areas(box(0, 0), again, box(50, 0)))
    assert kept["feature"].tolist() == ["0", "2"]
    assert said(findings) == [("repeated", "1")]
    assert "200.0 m2 set aside" in findings[0].text
    assert "feature 0 of a.gpkg, layer all" in findings[0].text


def test_three_times_the_same_shape():
    kept, findings = mend_areas(areas(box(0, 0), box(0, 0), box(0, 0)))
    assert kept["feature"].tolist() == ["0"]
    assert said(findings) == [("repeated", "1"), ("repeated", "2")]


def test_copies_under_two_surfaces():
    kept, findings = mend_areas(areas(box(0, 0), box(0, 0), box(0, 0), surface=["green", "tee", "tee"]))
    assert kept["feature"].tolist() == ["0", "1"]
    assert said(findings) == [("repeated", "2"), ("two_surfaces", "1")]


def test_the_same_shape_for_two_surfaces_is_only_warned_of():
    kept, findings = mend_areas(areas(box(0, 0), box(0, 0), surface=["green", "tee"]))
    assert len(kept) == 2
    assert said(findings) == [("two_surfaces", "1")]
    assert "here tee, there green" in findings[0].text


def test_neighbours_of_equal_size_and_rings_round_one_middle_are_not_the_same():
    ring = box(0, 0, 30, 30).difference(box(10, 10, 10, 10))  # 800 m2
    upright = box(5, -5, 20, 40)  # 800 m2 about the same middle
    kept, findings = mend_areas(areas(ring, upright, box(100, 0), box(120, 0)))
    assert len(kept) == 4
    assert findings == []


# --- too small, too thin


def test_slivers_are_set_aside():
    small, thin = box(0, 0, 0.3, 0.3), box(0, 5, 40, 0.04)
    kept, findings = mend_areas(areas(small, thin, box(0, 10)))
    assert kept["feature"].tolist() == ["2"]
    assert said(findings) == [("sliver", "0"), ("sliver", "1")]
    assert "0.09 m2 set aside" in findings[0].text
    assert "1.6 m2 set aside" in findings[1].text


def test_tiny_parts_are_taken_off_their_feature():
    kept, findings = mend_areas(areas(shapely.MultiPolygon([box(0, 0), box(50, 0, 0.2, 0.2), box(60, 0)])))
    assert kept.area.tolist() == pytest.approx([400.0])
    assert said(findings) == [("sliver", "0")]
    assert "0.04 m2" in findings[0].text


def test_a_long_narrow_path_is_no_sliver():
    assert mend_areas(areas(box(0, 0, 400, 1.2)))[1] == []


# --- far away


def frame_point(lon: float, lat: float) -> tuple[float, float]:
    return Transformer.from_crs("EPSG:4326", FRAME, always_xy=True).transform(lon, lat)


def course() -> list[shapely.Polygon]:
    return [box(300 * column, 200 * row) for column in range(3) for row in range(3)]


def test_a_stray_shape_is_set_aside_with_its_distance():
    kept, findings = mend_areas(areas(*course(), box(25_000, 0)))
    assert len(kept) == 9
    assert said(findings) == [("far_away", "9")]
    assert "25 km" in findings[0].text


@pytest.mark.parametrize(("lon", "lat", "hint"), [(0.0, 0.0, "longitude 0"), (35.87, 14.49, "swapped")])
def test_the_reason_for_a_stray_shape_is_named(lon, lat, hint):
    _, findings = mend_areas(areas(*course(), box(*frame_point(lon, lat))))
    assert hint in findings[0].text


def test_courses_of_an_estate_are_not_far_away():
    kept, findings = mend_areas(areas(*course(), *[box(9_000 + 300 * k, 0) for k in range(3)]))
    assert (len(kept), findings) == (12, [])


def test_a_drawing_wider_than_a_course_is_remarked_on():
    kept, findings = mend_areas(areas(*[box(40_000 * k, 0) for k in range(5)]))
    assert len(kept) == 5
    assert said(findings) == [("wide_spread", "")]


def test_nothing_at_all():
    kept, findings = mend_areas(areas())
    assert (len(kept), findings) == (0, [])
    kept, findings = mend_areas(areas(box(0, 0, 0.1, 0.1)))
    assert (len(kept), said(findings)) == (0, [("sliver", "0")])


def test_other_columns_and_the_index_stay():
    drawn = areas(box(0, 0), box(0, 0), box(50, 0)).assign(hole=["1", "1", "2"])
    drawn.index = [10, 20, 30]
    kept, _ = mend_areas(drawn)
    assert kept["hole"].to_dict() == {10: "1", 30: "2"}
