"""Driving lengths, against lengths measured by hand on plain shapes and against shortest paths by networkx."""

from math import hypot, pi
from types import SimpleNamespace

import geopandas as gpd
import networkx as nx
import numpy as np
import pytest
import shapely
from shapely import LineString, MultiPolygon, Point, box

from turfgis.errors import SettingsError
from turfgis.estimates.course import open_course
from turfgis.measure.ways import measure_ways, path_network

FRAME = "+proj=laea +lat_0=56.34 +lon_0=-2.80 +datum=WGS84 +units=m"


def ways(shapes, lines=(), yard=None):
    """Ways over (name, surface, shape); what lies over what plays no part."""
    table = gpd.GeoDataFrame(
        {
            "patch": [one[0] for one in shapes],
            "name": [one[0] for one in shapes],
            "surface": [one[1] for one in shapes],
        },
        geometry=[one[2] for one in shapes],
        crs=FRAME,
    )
    paths = gpd.GeoDataFrame(geometry=gpd.GeoSeries(list(lines), crs=FRAME))
    return measure_ways(SimpleNamespace(patches=table, drawn=table, path_lines=paths, frame=table.crs), yard)


WEST, EAST = box(0, 0, 10, 10), box(100, 0, 110, 10)


def test_without_paths_it_is_straight_from_edge_to_edge():
    lengths, over = ways([("a", "tee", WEST), ("b", "tee", EAST), ("c", "tee", box(100, 50, 110, 60))]).metres(
        [0, 1, 2]
    )
    assert lengths == pytest.approx(np.array([[0, 90, hypot(90, 40)], [90, 0, 40], [hypot(90, 40), 40, 0]]))
    assert not over.any()


def test_patches_that_touch_are_no_way_apart():
    lengths, _ = ways([("a", "tee", WEST), ("b", "tee", box(10, 0, 20, 10))]).metres([0, 1])
    assert lengths[0, 1] == 0


@pytest.mark.parametrize("surface", ["water", "bunker", "green"])
def test_a_straight_leg_over_forbidden_ground_is_taken_only_where_nothing_else_leads_there_and_said(surface):
    between = ("c", surface, box(50, -100, 60, 100))
    lengths, over = ways([("a", "tee", WEST), ("b", "tee", EAST), between]).metres([0, 1])
    assert lengths[0, 1] == pytest.approx(90)
    assert over[0, 1]
    assert over[1, 0]
    # a path round its end: by hand 5 + 150 + 100 + 150 + 5, both patches 5 m off the path
    path = LineString([(5, 15), (5, 165), (105, 165), (105, 15)])
    lengths, over = ways([("a", "tee", WEST), ("b", "tee", EAST), between], [path]).metres([0, 1])
    assert lengths[0, 1] == pytest.approx(5 + 150 + 100 + 150 + 5, abs=1e-6)
    assert not over.any()


def test_straight_is_taken_where_it_is_shorter_than_the_path_and_clear():
    path = LineString([(5, 15), (5, 165), (105, 165), (105, 15)])
    lengths, _ = ways([("a", "tee", WEST), ("b", "tee", EAST)], [path]).metres([0, 1])
    assert lengths[0, 1] == pytest.approx(90)


def test_a_path_keeps_its_bridge_where_water_is_drawn_over_it():
    water, path = box(50, -100, 60, 100), box(10, 4, 100, 6)
    shapes = [("a", "tee", WEST), ("b", "tee", EAST), ("w", "water", water), ("p", "path", path)]
    lengths, over = ways(shapes).metres([0, 1])
    # the middle of the path runs from its one end to its other: 90 m, a little more in the corners
    assert 90 - 1e-6 <= lengths[0, 1] <= 90 + 4
    assert not over[0, 1]


def test_a_way_does_not_run_through_a_third_patch_free_of_charge():
    middle = box(20, 0, 90, 10)
    lengths, _ = ways([("a", "tee", WEST), ("b", "tee", EAST), ("m", "fairway", middle)], []).metres([0, 1, 2])
    assert lengths[0, 1] == pytest.approx(90)
    assert lengths[0, 2] == pytest.approx(10)


def test_the_middle_of_a_bend_is_as_long_as_its_arc():
    quarter = Point(0, 0).buffer(101, quad_segs=60).difference(Point(0, 0).buffer(99, quad_segs=60))
    quarter = quarter.intersection(box(0, 0, 200, 200))
    network = path_network(np.array([quarter]), np.array([]))
    ends = [min(network.nodes, key=lambda node: hypot(node[0] - x, node[1] - y)) for x, y in ((100, 0), (0, 100))]
    length = nx.shortest_path_length(network, *ends, weight="length")
    assert length == pytest.approx(100 * pi / 2, abs=2.5)  # the ends may lie a width off the middle


def test_middle_lines_stay_inside_their_path():
    ring = Point(0, 0).buffer(60).difference(Point(0, 0).buffer(57))
    spur = box(58, -1.5, 120, 1.5)
    whole = shapely.union_all([ring, spur])
    network = path_network(np.array([ring, spur]), np.array([]))
    lines = shapely.linestrings([list(edge) for edge in network.edges])
    assert shapely.covers(whole.buffer(0.01), lines).all()
    assert nx.number_connected_components(network) == 1


def test_lines_that_cross_are_joined_there():
    network = path_network(np.array([]), np.array([LineString([(0, 0), (40, 40)]), LineString([(0, 40), (40, 0)])]))
    length = nx.shortest_path_length(network, (0.0, 0.0), (0.0, 40.0), weight="length")
    assert length == pytest.approx(2 * hypot(20, 20), abs=0.01)


def test_pieces_of_path_are_joined_straight_where_that_is_clear():
    parts = MultiPolygon([box(10, 4, 45, 6), box(65, 4, 100, 6)])
    shapes = [("a", "tee", WEST), ("b", "tee", EAST), ("p", "path", parts), ("f", "fairway", box(45, -50, 65, 50))]
    network = ways(shapes).network
    assert nx.number_connected_components(network) == 1
    blocked = ways([*shapes[:3], ("w", "water", box(45.5, -50, 64.5, 50))]).network
    assert nx.number_connected_components(blocked) == 2


def test_along_a_grid_of_paths_as_networkx_has_it():
    rng = np.random.default_rng(5)
    grid = nx.grid_2d_graph(6, 5)
    gone = [edge for edge in grid.edges if rng.random() < 0.25]
    grid.remove_edges_from(gone)
    lines = [LineString([(50 * a, 50 * b), (50 * c, 50 * d)]) for (a, b), (c, d) in grid.edges]
    # little tees on the crossings, and water all about, so that only paths lead anywhere
    spots = sorted(max(nx.connected_components(grid), key=len))
    tees = [(f"t{at}", "tee", Point(50 * a, 50 * b).buffer(1)) for at, (a, b) in enumerate(spots)]
    land = shapely.union_all([*(line.buffer(2) for line in lines), *(tee[2].buffer(2) for tee in tees)])
    lake = ("w", "water", box(-100, -100, 400, 400).difference(land))
    lengths, over = ways([*tees, lake], lines).metres(list(range(len(spots))))
    for a, one in enumerate(spots):
        for b, other in enumerate(spots):
            steps = nx.shortest_path_length(grid, one, other)
            # each end of the way is the edge of a tee 1 m in radius, at the crossing itself
            assert lengths[a, b] == pytest.approx(50 * steps, abs=2.5) or steps <= 1
    assert not over.any()


def test_the_yard_of_the_settings_is_the_last_place():
    here = ways([("a", "tee", WEST)], yard=(-2.80, 56.34))
    assert here.yard == 1
    lengths, _ = here.metres([0, 1])
    assert lengths[0, 1] == pytest.approx(0, abs=1e-6)  # the origin of the frame is a corner of the patch


def test_a_yard_is_found_by_its_name_and_none_is_made_up():
    shed = box(200, 0, 220, 20)
    assert ways([("a", "tee", WEST), ("The old yard", "other", shed)]).yard_said == "The old yard (The old yard)"
    assert ways([("a", "tee", WEST), ("Courtyard", "other", shed)]).yard is None


def test_a_yard_with_latitude_first_is_refused():
    with pytest.raises(SettingsError, match="longitude comes first"):
        ways([("a", "tee", WEST)], yard=(56.34, -2.80))


@pytest.mark.parametrize("name", ["malta_marsa.geojson", "bahamas_paradise_island.geojson"])
def test_on_real_courses_lengths_are_at_least_straight_and_ways_work_both_ways(open_data, name):
    course = open_course(open_data / "golf" / name)
    shapes = course.measured.patches.geometry.to_numpy()
    rows = list(range(0, len(shapes), max(len(shapes) // 40, 1)))
    lengths, _ = measure_ways(course.measured).metres(rows)
    straight = shapely.distance(shapes[rows][:, None], shapes[rows][None])
    assert (lengths >= straight - 1.0).all()  # outlines are simplified by up to 0.3 m at each end
    assert (lengths == lengths.T).all()
