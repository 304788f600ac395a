"""How far areas may be out: printed examples, figures worked by hand, and draws (seeded)."""

import math

import numpy as np
import pandas as pd
import pytest
import shapely

from turfgis.measure.accuracy import COVERAGE_95, area_covariance, area_uncertainties, vertex_uncertainty

# G. Navratil, Precision of Area Computation, 2003, https://m.moam.info/precision-of-area-computation_5baf6b9d097c47b73b8b47ca.html
# (the formula, quoted from memory; the paper was seen to its abstract):
# (sigma / 2) x the root of the summed squares of the diagonals that join the two neighbours of each corner


def test_a_rectangle_as_worked_by_hand():
    """100 x 60 m, corners good to 0.5 m: 0.25 x sqrt(4 x (100^2 + 60^2)) = 58.3 m2."""
    assert vertex_uncertainty(np.array([shapely.box(0, 0, 100, 60)]), np.array([0.5])) == pytest.approx(
        [58.3], abs=0.05
    )


def test_a_green_of_36_corners_as_worked_by_hand():
    """Radius 12 m, good to 0.5 m; every diagonal is 2 R sin(2 pi / n), so sigma R sqrt(n) sin(2 pi / n) = 6.25 m2."""
    angle = np.arange(36) * 2 * np.pi / 36
    green = shapely.Polygon(12 * np.column_stack([np.cos(angle), np.sin(angle)]))
    assert vertex_uncertainty(np.array([green]), np.array([0.5])) == pytest.approx([6.25], abs=0.005)


def test_rings_and_parts_add_in_squares():
    """Corners are off on their own, so a hole or a second part adds the square of its own uncertainty."""
    big, small, other = shapely.box(0, 0, 100, 60), shapely.box(20, 20, 30, 30), shapely.box(200, 0, 240, 30)
    shapes = np.array([big, small, other, big.difference(small), shapely.MultiPolygon([big.difference(small), other])])
    u = vertex_uncertainty(shapes, np.full(5, 0.5))
    assert u[3] == pytest.approx(math.hypot(u[0], u[1]), rel=1e-12)
    assert u[4] == pytest.approx(math.hypot(*u[:3]), rel=1e-12)


def test_the_spread_of_areas_drawn_again_and_again():
    """Twenty thousand drawings of a fairway with a hole, every corner shaken by 0.4 m (seeded)."""
    outer = np.array([(0, 0), (60, -5), (110, 10), (120, 45), (70, 60), (10, 50.0)])
    inner = np.array([(40, 20), (60, 22), (55, 35), (42, 33.0)])
    rng = np.random.default_rng(8)
    shaken = [ring + rng.normal(0, 0.4, (20_000, *ring.shape)) for ring in (outer, inner)]
    areas = shapely.area(shapely.polygons(shaken[0])) - shapely.area(shapely.polygons(shaken[1]))
    u = vertex_uncertainty(np.array([shapely.Polygon(outer, [inner])]), np.array([0.4]))
    assert u[0] == pytest.approx(np.std(areas), rel=0.02)


def test_an_edge_drawn_in_or_out_as_a_whole():
    """A square of 10 m good to 0.3 m: 40 m of edge x 0.3 m; buffered out by a little it grows by just that."""
    square = shapely.box(0, 0, 10, 10)
    own, shared = area_uncertainties(np.array([square]), np.array([0.3]), np.array([0.1]), np.array([np.nan]))
    assert (own.tolist(), shared.tolist()) == ([12.0], [4.0])
    grown = square.buffer(1e-4, join_style="mitre").area - square.area
    assert own[0] / 0.3 == pytest.approx(grown / 1e-4, rel=1e-4)


def test_the_edge_of_a_cut_out_counts():
    holed = shapely.box(0, 0, 20, 20).difference(shapely.box(5, 5, 15, 15))
    own, _ = area_uncertainties(np.array([holed]), np.array([0.5]), np.array([0.0]), np.array([np.nan]))
    assert own.tolist() == [0.5 * (80 + 40)]


def test_a_surveyed_layer_goes_by_its_corners():
    """Of two equal rectangles, one is known by its edge, the other by its corners; the layer's shared offset stays."""
    shapes = np.array([shapely.box(0, 0, 100, 60)] * 2)
    own, shared = area_uncertainties(shapes, np.array([0.3, 0.3]), np.array([0.1, 0.1]), np.array([np.nan, 0.5]))
    assert own == pytest.approx([0.3 * 320, 58.3], abs=0.05)
    assert shared == pytest.approx([32.0, 32.0])


def test_the_95_percent_interval_of_a_normal_distribution():
    # JCGM 100:2008, Guide to the expression of uncertainty in measurement, table G.1: k = 1.960 (from memory)
    assert pytest.approx(0.95, abs=5e-5) == math.erf(COVERAGE_95 / math.sqrt(2))


def patches(own, bias, groups):
    return pd.DataFrame({"u_own_m2": own, "u_bias_m2": bias, "bias_group": groups})


def spread(table, *sums):
    return np.sqrt(np.diag(area_covariance(table, np.array(sums, dtype=float))))


def test_own_parts_add_in_squares_and_shared_parts_as_they_are():
    """
    GUM 5.1.2 and 5.2.2: three patches of one layer, own 3, 4 and 12 m2, shared 1, 2 and 3 m2.

    Own: sqrt(9 + 16 + 144) = 13; shared: 1 + 2 + 3 = 6; together sqrt(169 + 36).
    """
    table = patches([3.0, 4.0, 12.0], [1.0, 2.0, 3.0], ["greens"] * 3)
    assert spread(table, [1, 1, 1]) == pytest.approx([math.sqrt(205)])


def test_layers_do_not_share_their_offsets():
    """As before, but the third patch is of another layer: shared (1 + 2) and 3, so sqrt(169 + 9 + 9)."""
    table = patches([3.0, 4.0, 12.0], [1.0, 2.0, 3.0], ["greens", "greens", "tees"])
    assert spread(table, [1, 1, 1]) == pytest.approx([math.sqrt(187)])


def test_a_patch_in_two_sums_ties_them():
    """
    Two jobs, patches 1 and 2 in the first, 2 and 3 in the second.

    Covariance: own variance of patch 2, 16, and the product of the shared parts, (1 + 2) x (2 + 3) = 15.
    """
    table = patches([3.0, 4.0, 12.0], [1.0, 2.0, 3.0], ["greens"] * 3)
    covariance = area_covariance(table, np.array([[1, 1, 0], [0, 1, 1]]))
    assert covariance == pytest.approx(np.array([[9 + 16 + 9, 16 + 15], [16 + 15, 16 + 144 + 25]]))


def test_sums_of_drawn_offsets_spread_as_stated():
    """Forty thousand draws of the offsets themselves, own and shared (seeded)."""
    table = patches([3.0, 4.0, 12.0, 2.0], [1.0, 2.0, 3.0, 5.0], ["a", "a", "b", "b"])
    members = np.array([[1, 1, 1, 0], [0, 0, 1, 1], [1, 1, 1, 1]])
    rng = np.random.default_rng(12)
    own = rng.normal(size=(40_000, 4)) * [3, 4, 12, 2]
    shared = rng.normal(size=(40_000, 2))[:, [0, 0, 1, 1]] * [1, 2, 3, 5]
    drawn = np.cov(((own + shared) @ members.T).T)
    assert area_covariance(table, members) == pytest.approx(drawn, rel=0.05)
