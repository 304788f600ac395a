"""
Net shapes: figures worked by hand, and laws that hold for any pile of shapes (seeded random ones).

The laws are those of sets: areas of disjoint parts add up to the area of the union; shapely's union, intersection and
relate are the outside hand. Turning, moving and redrawing a plan changes no area.
"""

import math

import numpy as np
import pytest
import shapely
from shapely import GEOSException, affinity, box

from turfgis.measure import faces, nets
from turfgis.measure.faces import edges_once, part_ground
from turfgis.measure.nets import joined, net_shapes, only_areas, overlapping_pairs, share_ground


def net_areas(shapes, rank):
    return shapely.area(share_ground(np.array(shapes, dtype=object), np.array(rank)).net).tolist()


# --- worked by hand ---------------------------------------------------------------------------------------------------


def test_a_green_in_a_fairway():
    """20 x 40 m of fairway under a green of 10 x 10 m."""
    assert net_areas([box(0, 0, 20, 40), box(5, 5, 15, 15)], [7, 0]) == [700.0, 100.0]


def test_a_green_that_hangs_over():
    """Half of the green of 10 x 10 m lies beyond the fairway: it keeps all, the fairway loses 50 m2."""
    assert net_areas([box(0, 0, 20, 40), box(15, 5, 25, 15)], [7, 0]) == [750.0, 100.0]


def test_neighbours_that_share_a_border_lose_nothing():
    shapes = np.array([box(0, 0, 10, 10), box(10, 0, 20, 10), box(0, 10, 20, 20)])
    ground = share_ground(shapes, np.array([7, 0, 9]))
    assert shapely.area(ground.net).tolist() == [100.0, 100.0, 200.0]
    assert ground.below.size == 0
    assert all(net is shape for net, shape in zip(ground.net, shapes, strict=True))  # not even redrawn


def test_three_in_a_pile():
    """Rough 30 x 30, fairway 20 x 20 and green 10 x 10, each within the one below: 500, 300 and 100 m2."""
    ground = share_ground(np.array([box(0, 0, 30, 30), box(5, 5, 25, 25), box(10, 10, 20, 20)]), np.array([10, 7, 0]))
    assert shapely.area(ground.net).tolist() == [500.0, 300.0, 100.0]
    assert (ground.below.tolist(), ground.above.tolist()) == ([0, 0, 1], [1, 2, 2])
    assert ground.twice_m2.tolist() == [400.0, 100.0, 100.0]


def test_of_one_surface_the_first_drawn_keeps_the_ground():
    """Two fairways of 10 x 10 m that overlap by 10 x 2 m."""
    assert net_areas([box(0, 0, 10, 10), box(8, 0, 18, 10)], [7, 7]) == [100.0, 80.0]
    assert net_areas([box(8, 0, 18, 10), box(0, 0, 10, 10)], [7, 7]) == [100.0, 80.0]


def test_the_order_of_the_pile_decides():
    """Heather of 10 x 10 m over rough of 30 x 30 m, or under it."""
    shapes = [box(0, 0, 30, 30), box(5, 5, 15, 15)]
    assert net_areas(shapes, [11, 10]) == [800.0, 100.0]
    assert net_areas(shapes, [10, 11]) == [900.0, 0.0]


def test_a_shape_that_is_covered_whole_is_left_empty():
    ground = share_ground(np.array([box(0, 0, 10, 10), box(-1, -1, 11, 5), box(-1, 4, 11, 11)]), np.array([7, 1, 0]))
    assert ground.net[0].is_empty
    assert shapely.area(ground.net).tolist() == [0.0, 60.0, 84.0]  # 12 x 6 less 12 x 1; 12 x 7


def test_a_cut_out_belongs_to_what_lies_in_it():
    """A fairway of 20 x 20 m with a hole of 10 x 10 m; in the hole a green, across both a bunker of 4 x 20 m."""
    fairway = box(0, 0, 20, 20).difference(box(5, 5, 15, 15))
    assert net_areas([fairway, box(5, 5, 15, 15)], [7, 0]) == [300.0, 100.0]
    assert net_areas([fairway, box(8, 0, 12, 20)], [7, 2]) == [300.0 - 4 * 10, 80.0]


def test_one_shape_in_several_parts():
    """A path across a bunker in two parts of 4 x 4 m covers 1 m of each."""
    bunker = shapely.MultiPolygon([box(0, 0, 4, 4), box(6, 0, 10, 4)])
    ground = share_ground(np.array([bunker, box(3, 1, 7, 2)]), np.array([4, 2]))
    assert shapely.area(ground.net).tolist() == [30.0, 4.0]
    assert ground.twice_m2.tolist() == [2.0]


def test_a_cut_through_leaves_two_parts():
    ground = share_ground(np.array([box(0, 0, 10, 2), box(4, -1, 6, 3)]), np.array([7, 4]))
    assert ground.net[0].geom_type == "MultiPolygon"
    assert shapely.area(shapely.get_parts(ground.net[0])).tolist() == [8.0, 8.0]


def test_two_circles_as_the_lens_they_share():
    """Circles of 12 m, middles 15 m apart: 2 r^2 acos(d / 2r) - d / 2 sqrt(4 r^2 - d^2), drawn with 4,000 corners."""
    first, second = (shapely.Point(x, 0).buffer(12, quad_segs=1000) for x in (0, 15))
    lens = 2 * 144 * math.acos(15 / 24) - 7.5 * math.sqrt(4 * 144 - 225)
    ground = share_ground(np.array([first, second]), np.array([0, 0]))
    assert ground.twice_m2 == pytest.approx([lens], rel=1e-5)
    assert shapely.area(ground.net) == pytest.approx([math.pi * 144, math.pi * 144 - lens], rel=1e-5)


def test_shapes_that_touch_in_a_point_or_stand_alone_are_left_as_they_are():
    ground = share_ground(np.array([box(0, 0, 1, 1), box(1, 1, 2, 2), box(9, 9, 10, 10)]), np.array([0, 1, 2]))
    assert shapely.area(ground.net).tolist() == [1.0, 1.0, 1.0]
    assert ground.below.size == 0


def test_nothing_drawn():
    ground = share_ground(np.empty(0, dtype=object), np.empty(0, dtype=int))
    assert len(ground.net) == len(ground.below) == len(ground.twice_m2) == 0


def test_edges_that_neighbours_share_are_laid_down_once():
    """A grid of 3 x 3 unit squares has 24 unit edges, its squares have 36."""
    x, y = np.meshgrid(np.arange(3.0), np.arange(3.0))
    grid = box(x.ravel(), y.ravel(), x.ravel() + 1, y.ravel() + 1)
    assert shapely.length(edges_once(grid)).sum() == 24
    assert shapely.length(edges_once(np.append(grid, grid))).sum() == 24


# --- laws -------------------------------------------------------------------------------------------------------------


def stars(rng, count=25, reach=60.0):
    """Lopsided shapes strewn about, some with a hole, some in two parts."""
    made = []
    for _ in range(count):
        angle = np.linspace(0, 2 * np.pi, 25)[:-1]
        radius = rng.uniform(4, 16) * rng.uniform(0.6, 1.0, 24)
        ring = rng.uniform(0, reach, 2) + np.column_stack([radius * np.cos(angle), radius * np.sin(angle)])
        shape = shapely.Polygon(ring)
        if rng.random() < 0.3:
            shape = shape.difference(affinity.scale(shape, 0.4, 0.4))
        if rng.random() < 0.2:
            shape = shape.union(affinity.translate(shape, 40, 5))
        made.append(shape)
    return np.array(made)


def blocks(rng, count=25, reach=12):
    """Rectangles on a grid of whole metres: most borders are shared in part, many corners meet edges."""
    corner = rng.integers(0, reach, (count, 2)).astype(float)
    size = rng.integers(1, 5, (count, 2))
    return box(*corner.T, *(corner + size).T)


def coverage(rng, count=25):
    """What a careful hand draws: cells side by side, borders shared in every point."""
    points = shapely.MultiPoint(rng.uniform(0, 60, (count, 2)))
    return shapely.get_parts(
        shapely.intersection(shapely.get_parts(shapely.voronoi_polygons(points)), box(0, 0, 60, 60))
    )


def nearly(rng, count=25):
    """What a computed border looks like: neighbours that miss each other by a few thousand-millionths of a metre."""
    cells = coverage(rng, count)
    turned = [
        affinity.rotate(cell, angle, origin=(0, 0))
        for cell, angle in zip(cells, rng.normal(0, 1e-9, len(cells)), strict=True)
    ]
    return np.append(np.array(turned), stars(rng, 8))


PILES = [
    pytest.param(kind, seed, id=f"{kind.__name__}-{seed}")
    for kind in (stars, blocks, coverage, nearly)
    for seed in range(6)
]


@pytest.fixture
def pile(kind, seed):
    rng = np.random.default_rng(seed)
    shapes = kind(rng)
    return shapes, rng.integers(0, 6, len(shapes))


@pytest.mark.parametrize(("kind", "seed"), PILES)
def test_net_areas_add_up_to_the_union(pile):
    shapes, rank = pile
    assert sum(net_areas(shapes, rank)) == pytest.approx(shapely.union_all(shapes).area, rel=1e-12)


@pytest.mark.parametrize(("kind", "seed"), PILES)
def test_no_ground_has_two_owners_and_none_gets_what_it_did_not_draw(pile):
    shapes, rank = pile
    net = share_ground(shapes, rank).net
    one, other = shapely.STRtree(net).query(net)
    twice = shapely.area(shapely.intersection(net[one], net[other]))[one < other]
    assert twice.max(initial=0.0) < 1e-9
    assert shapely.area(shapely.difference(net, shapes)).max() < 1e-9
    assert shapely.is_valid(net).all()
    assert set(shapely.get_type_id(net)) <= {shapely.GeometryType.POLYGON, shapely.GeometryType.MULTIPOLYGON}


@pytest.mark.parametrize(("kind", "seed"), PILES)
def test_each_level_of_the_pile_is_the_union_less_what_lies_above(pile):
    shapes, rank = pile
    areas = np.array(net_areas(shapes, rank))
    above = shapely.Polygon()
    for level in range(6):
        here = shapely.union_all(shapes[rank == level])
        assert areas[rank == level].sum() == pytest.approx(shapely.difference(here, above).area, abs=1e-6)
        above = shapely.union(above, here)


@pytest.mark.parametrize(("kind", "seed"), PILES)
def test_faces_and_cutting_one_by_one_agree(pile):
    """Two ways that have no step in common."""
    shapes, rank = pile
    ground = share_ground(shapes, rank)
    below, above = overlapping_pairs(shapes, rank)
    assert shapely.area(ground.net) == pytest.approx(shapely.area(net_shapes(shapes, below, above)), abs=1e-6)
    apart = dict.fromkeys(zip(below.tolist(), above.tolist(), strict=True), 0.0)
    common = shapely.area(shapely.intersection(shapes[below], shapes[above]))
    apart |= dict(zip(apart, common.tolist(), strict=True))
    found = dict(
        zip(zip(ground.below.tolist(), ground.above.tolist(), strict=True), ground.twice_m2.tolist(), strict=True)
    )
    for pair in apart.keys() | found.keys():
        assert found.get(pair, 0.0) == pytest.approx(apart.get(pair, 0.0), abs=1e-6)


@pytest.mark.parametrize(("kind", "seed"), PILES)
def test_turning_and_moving_the_plan_changes_no_area(pile):
    shapes, rank = pile
    turn = np.deg2rad(33.0)
    matrix = np.array([[np.cos(turn), -np.sin(turn)], [np.sin(turn), np.cos(turn)]])
    moved = shapely.transform(shapes, lambda xy: xy @ matrix.T + (1234.5, -987.6))
    assert net_areas(moved, rank) == pytest.approx(net_areas(shapes, rank), abs=1e-5)


@pytest.mark.parametrize(("kind", "seed"), PILES)
def test_the_order_of_drawing_moves_ground_only_within_a_surface(pile):
    shapes, rank = pile
    mixed = np.random.default_rng(99).permutation(len(shapes))
    one, other = np.array(net_areas(shapes, rank)), np.array(net_areas(shapes[mixed], rank[mixed]))
    for level in range(6):
        assert other[rank[mixed] == level].sum() == pytest.approx(one[rank == level].sum(), abs=1e-6)


# --- the way round ground that has no clean faces, and batches --------------------------------------------------------


def untrusted(monkeypatch, how):
    if how == "a face goes missing":
        polygonize = shapely.polygonize

        def short(lines):
            return shapely.geometrycollections(shapely.get_parts(polygonize(lines))[1:])

        monkeypatch.setattr(faces.shapely, "polygonize", short)
    else:

        def fails(lines):
            raise GEOSException("TopologyException: found non-noded intersection")

        monkeypatch.setattr(faces, "edges_once", fails)


@pytest.mark.parametrize("how", ["a face goes missing", "the library gives up"])
def test_faces_that_cannot_be_trusted_are_not(monkeypatch, how):
    shapes, rank = stars(np.random.default_rng(3)), np.random.default_rng(4).integers(0, 6, 25)
    clean = share_ground(shapes, rank)
    untrusted(monkeypatch, how)
    assert part_ground(shapes) is None
    other = share_ground(shapes, rank)
    assert shapely.area(other.net) == pytest.approx(shapely.area(clean.net), abs=1e-6)
    assert other.below.tolist() == clean.below.tolist()
    assert other.above.tolist() == clean.above.tolist()
    assert other.twice_m2 == pytest.approx(clean.twice_m2, abs=1e-6)


def test_batches_give_what_one_gives(monkeypatch):
    rng = np.random.default_rng(5)
    shapes = np.concatenate(
        [shapely.transform(stars(rng, 6), lambda xy, i=i: np.add(xy, (300 * i, 0))) for i in range(9)]
    )
    rank = rng.integers(0, 6, len(shapes))
    mixed = rng.permutation(len(shapes))
    shapes, rank = shapes[mixed], rank[mixed]
    whole = share_ground(shapes, rank)
    monkeypatch.setattr(nets, "AT_A_TIME", 7)
    parts = share_ground(shapes, rank)
    assert shapely.area(parts.net) == pytest.approx(shapely.area(whole.net), abs=1e-9)
    assert (parts.below.tolist(), parts.above.tolist()) == (whole.below.tolist(), whole.above.tolist())
    assert parts.twice_m2 == pytest.approx(whole.twice_m2, abs=1e-9)


def test_joined_gives_each_place_the_union_of_its_shapes():
    shapes = np.array([box(0, 0, 2, 2), box(1, 0, 3, 2), box(9, 9, 10, 10)])
    places, union = joined(shapes, np.array([4, 1, 4, 4]), np.array([0, 2, 1, 2]))
    assert places.tolist() == [1, 4]
    assert shapely.area(union).tolist() == [1.0, 7.0]


def test_stray_lines_and_points_are_left_out():
    mixed = shapely.GeometryCollection([box(0, 0, 1, 1), shapely.LineString([(5, 5), (6, 6)]), shapely.Point(9, 9)])
    (kept,) = only_areas(np.array([mixed]))
    assert (kept.geom_type, kept.area) == ("MultiPolygon", 1.0)
