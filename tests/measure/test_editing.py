"""What is done to drawn areas by hand, and what is refused."""

import re

import numpy as np
import pytest
import shapely

from turfgis.errors import InputError
from turfgis.measure.editing import (
    bordered,
    cut_out,
    inserted_vertex,
    merged,
    moved_vertex,
    nearest_corner,
    nearest_edge,
    parted,
    strip_along,
    walked,
    without_vertex,
)

SQUARE = shapely.box(0, 0, 10, 10)
FRAME = SQUARE.difference(shapely.box(3, 3, 7, 7))
BAY = shapely.Polygon([(0, 0), (12, 0), (12, 10), (8, 10), (8, 4), (4, 4), (4, 10), (0, 10)])
TWO = shapely.MultiPolygon([shapely.box(0, 0, 4, 4), shapely.box(10, 0, 14, 4)])


def corners(shape):
    return set(map(tuple, shapely.get_coordinates(shape).tolist()))


def refused(match, function, *given, **more):
    with pytest.raises(InputError, match=re.escape(match)) as caught:
        function(*given, **more)
    return str(caught.value)


class TestParted:
    def test_ground_is_kept_and_the_cut_is_shared(self):
        parts = parted(FRAME, shapely.LineString([(-1, 4.4), (11, 5.3)]))
        assert len(parts) == 2
        assert sum(part.area for part in parts) == pytest.approx(FRAME.area, abs=1e-9)
        assert shapely.intersection(*parts).area == 0.0
        assert corners(FRAME) <= corners(parts[0]) | corners(parts[1])
        assert len(corners(parts[0]) & corners(parts[1])) == 4

    def test_a_bent_line_and_several_parts(self):
        parts = parted(BAY, shapely.LineString([(-1, 7), (13, 7)]))
        assert [part.area for part in parts] == [72.0, 12.0, 12.0]
        bent = parted(SQUARE, shapely.LineString([(-1, 5), (5, 5), (5, 11)]))
        assert [part.area for part in bent] == [75.0, 25.0]

    def test_parts_that_the_line_does_not_meet_are_parts_too(self):
        assert sorted(part.area for part in parted(TWO, shapely.LineString([(2, -1), (2, 5)]))) == [8.0, 8.0, 16.0]

    @pytest.mark.parametrize("line", [[(5, 5), (5, 20)], [(20, 0), (20, 5)], [(0, 0), (10, 0)], [(4, 4), (6, 6)]])
    def test_a_line_that_parts_nothing_is_refused(self, line):
        refused("the line does not part the area", parted, SQUARE, shapely.LineString(line))

    def test_heights_of_the_line_do_not_matter(self):
        assert not shapely.has_z(parted(SQUARE, shapely.LineString([(5, -1, 3), (5, 11, 9)]))).any()

    def test_no_line(self):
        refused("a line is needed", parted, SQUARE, shapely.LineString())
        refused("an area is needed here, but what is given is a point", parted, shapely.Point(0, 0), SQUARE.boundary)


class TestMerged:
    def test_what_was_parted_comes_together(self):
        parts = parted(FRAME, shapely.LineString([(-1, 4.4), (11, 5.3)]))
        assert merged(parts).symmetric_difference(FRAME).area < 1e-9
        assert len(merged(parts).interiors) == 1

    def test_areas_apart_are_refused_with_how_far(self):
        refused("these areas lie 2.50 m apart", merged, [SQUARE, shapely.box(12.5, 0, 20, 10)])
        refused("touch in single points only", merged, [SQUARE, shapely.box(10, 10, 20, 20)])
        refused("two areas or more", merged, [SQUARE])

    def test_three_of_which_two_touch_are_refused(self):
        refused("apart", merged, [SQUARE, shapely.box(10, 0, 20, 10), shapely.box(30, 0, 40, 10)])

    def test_an_area_of_two_parts_may_grow_together_with_another(self):
        assert merged([TWO, shapely.box(4, 0, 10, 4)]).area == 56.0


class TestCutOut:
    def test_what_is_left(self):
        assert cut_out(SQUARE, shapely.box(4, -1, 6, 11)).geom_type == "MultiPolygon"
        assert cut_out(SQUARE, shapely.box(4, -1, 6, 11)).area == 80.0
        assert corners(cut_out(SQUARE, shapely.box(3, 3, 7, 7))) == corners(FRAME)

    def test_refusals(self):
        refused("nothing is cut out", cut_out, SQUARE, shapely.box(10, 0, 20, 10))
        refused("nothing would be left", cut_out, SQUARE, shapely.box(-1, -1, 20, 20))
        refused("what is given is a linestring", cut_out, SQUARE, shapely.LineString([(0, 0), (1, 1)]))


class TestStripAlong:
    def test_right_round_a_circle(self):
        """pi (13^2 - 12^2) outside, pi (12^2 - 11^2) inside."""
        circle = shapely.Point(0, 0).buffer(12, quad_segs=256)
        assert strip_along(circle, 1.0).area == pytest.approx(np.pi * 25, rel=1e-3)
        assert strip_along(circle, 1.0, "inside").area == pytest.approx(np.pi * 23, rel=1e-3)
        assert strip_along(circle, 1.0).intersection(circle).area == 0.0
        assert corners(circle) <= corners(strip_along(circle, 1.0))

    def test_on_both_edges_of_an_area_with_a_cut_out(self):
        assert strip_along(FRAME, 1.0, "inside").area == pytest.approx(36 + 16 + np.pi, rel=1e-3)

    def test_between_two_places_the_shorter_way_or_the_longer(self):
        assert strip_along(SQUARE, 1.0, "outside", (5, 0), (10, 5)).area == pytest.approx(10 + np.pi / 4, rel=1e-3)
        longer = strip_along(SQUARE, 1.0, "outside", (5, 0), (10, 5), long_way=True)
        assert longer.area == pytest.approx(30 + 3 * np.pi / 4, rel=1e-3)
        assert strip_along(SQUARE, 1.0, "inside", (10, 5), (5, 0)).area == pytest.approx(9.0)

    def test_it_shares_the_edge_corner_for_corner(self):
        green = shapely.Polygon([(0.1, 0.2), (9.7, 1.3), (11.9, 8.8), (3.3, 10.1)])
        strip = strip_along(green, 0.8, "outside", (5, 0), (11, 5))
        now = bordered([green], [strip])[0]
        border = shapely.intersection(strip.boundary, now.boundary)
        assert corners(border) <= corners(strip) & corners(now)
        assert len(corners(now)) == 6
        assert shapely.intersection(strip, now).area < 1e-9
        assert len(shapely.union_all([strip, now]).interiors) == 0

    def test_it_stays_on_its_side_of_a_bay(self):
        strip = strip_along(BAY, 5.0, "outside", (4, 6), (4, 9))
        assert strip.intersection(BAY).area == 0.0
        assert strip.bounds[2] <= 8.0

    def test_refusals(self):
        refused("the width of the strip", strip_along, SQUARE, 0.0)
        refused("take a narrower one", strip_along, SQUARE, 5.0, "inside")
        refused("not 'left'", strip_along, SQUARE, 1.0, "left")
        refused("where it begins and the one where it ends", strip_along, SQUARE, 1.0, "outside", (0, 0))
        refused("the same place", strip_along, SQUARE, 1.0, "outside", (0, 0), (0, 0))
        refused("the other on a cut-out", strip_along, FRAME, 1.0, "inside", (0, 5), (3, 5))


class TestWalked:
    def test_a_small_gap_is_closed_and_loops_count_once(self):
        track = [(0, 0), (10, 0), (10, 10), (0, 10), (0, -0.5), (1, -0.5), (1, 0.5)]
        assert walked(shapely.LineString(track)).area == pytest.approx(100.5)

    def test_parts_are_joined(self):
        track = shapely.MultiLineString([[(0, 0), (10, 0), (10, 10)], [(9.9, 10), (0, 10), (0, 0.2)]])
        assert walked(track).area == pytest.approx(100.0)

    def test_a_point_a_second_becomes_fewer(self):
        track = shapely.LineString([*shapely.segmentize(SQUARE.exterior, 0.3).coords])
        assert len(corners(walked(track))) > 100
        assert walked(track, 0.05).equals(SQUARE)
        assert len(corners(walked(track, 0.05))) <= 5

    def test_refusals(self):
        open_walk = shapely.LineString([(0, 0), (10, 0), (10, 10)])
        said = refused("the walk does not close: its ends lie 14.1 m apart on 20 m", walked, open_walk)
        assert "10% of its length" in said
        refused("a walked track is needed", walked, shapely.Point(0, 0))
        refused("goes round nothing", walked, shapely.LineString([(0, 0), (10, 0), (20, 0), (10, 0), (0, 0)]))
        refused("the tolerance", walked, open_walk, -1.0)


class TestCorners:
    right = shapely.Polygon([(10, 0), (20, 0), (20, 10), (10, 10), (10, 5)])
    left = shapely.Polygon([(0, 0), (10, 0), (10, 5), (10, 10), (0, 10)])

    def test_a_corner_goes_and_takes_its_neighbour_along(self):
        corner, away = nearest_corner(self.left, (10.2, 5.1))
        assert away == pytest.approx(np.hypot(0.2, 0.1))
        shape, others = moved_vertex(self.left, corner, (12, 5), [SQUARE, self.right])
        assert shape.area == 110.0
        assert list(others) == [1]
        assert others[1].area == 90.0
        assert shapely.union_all([shape, others[1]]).area == 200.0

    def test_a_corner_comes_in_on_both_sides(self):
        edge, away = nearest_edge(self.left, (10.0, 2.0))
        assert away == 0.0
        shape, others = inserted_vertex(self.left, edge, (11, 2), [self.right])
        assert shape.area + others[0].area == 200.0
        assert (11.0, 2.0) in corners(shape) & corners(others[0])

    def test_a_corner_goes_out_on_both_sides_where_both_edges_are_shared(self):
        corner, _ = nearest_corner(self.left, (10, 5))
        shape, others = without_vertex(self.left, corner, [self.right])
        assert (10.0, 5.0) not in corners(shape) | corners(others[0])
        corner, _ = nearest_corner(self.left, (10, 0))
        shape, others = without_vertex(self.left, corner, [self.right])
        assert others == {}

    def test_corners_of_cut_outs_and_of_second_parts(self):
        assert moved_vertex(FRAME, nearest_corner(FRAME, (3, 3))[0], (2, 2)).shape.area == pytest.approx(80.0)
        assert nearest_corner(TWO, (14, 4))[0].part == 1
        assert moved_vertex(TWO, nearest_corner(TWO, (14, 4))[0], (14, 6)).shape.area == 36.0

    def test_an_edge_that_crosses_itself_is_refused(self):
        said = refused("moving this corner would make the edge", moved_vertex, SQUARE, (0, 0, 0), (-5, 5))
        assert "near (" in said
        refused("a corner here would make the edge", inserted_vertex, SQUARE, (0, 0, 0), (-5, 5))

    def test_a_neighbour_that_would_cross_itself_is_refused_too(self):
        thin = shapely.Polygon([(10, 0), (10, 5), (10, 10), (11, 9), (11, 1)])
        corner, _ = nearest_corner(self.left, (10, 5))
        refused("moving this corner", moved_vertex, self.left, corner, (13, 5), [thin])

    def test_a_triangle_keeps_its_corners(self):
        triangle = shapely.Polygon([(0, 0), (10, 0), (0, 10)])
        refused("would leave no area", without_vertex, triangle, (0, 0, 0))

    @pytest.mark.parametrize("corner", [(1, 0, 0), (0, 1, 0), (0, 0, 4), (0, 0, -1), (-1, 0, 0)])
    def test_there_is_no_such_corner(self, corner):
        refused("no such corner", moved_vertex, SQUARE, corner, (1, 1))
        refused("no such corner", inserted_vertex, SQUARE, corner, (1, 1))
        refused("no such corner", without_vertex, SQUARE, corner)

    def test_what_is_given_stays_as_it_was(self):
        before = shapely.to_wkb(self.left)
        moved_vertex(self.left, (0, 0, 0), (-1, -1), [self.right])
        assert shapely.to_wkb(self.left) == before
