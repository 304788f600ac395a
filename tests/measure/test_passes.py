"""Passes and clean-up rounds over shapes with closed forms; counts and lengths against shapely's own lines."""

from math import cos, pi, radians, sin

import numpy as np
import pytest
import shapely

from turfgis.errors import InputError
from turfgis.formulas.passes import DIRECTIONS, pass_spacing, passes_over_shapes
from turfgis.measure.passes import FITS, edges_of, lay_passes, measure_passes

SQUARE, DISC = shapely.box(0, 0, 20, 20), shapely.Point(0, 0).buffer(12, quad_segs=2000)
RING = DISC.difference(shapely.Point(0, 0).buffer(5, quad_segs=2000))
CORNER = shapely.Polygon([(0, 0), (30, 0), (30, 9.3), (10.7, 9.3), (10.7, 31), (0, 31)])
CROOKED = shapely.Polygon(
    [(0, 0), (31, 3), (26, 20), (9, 24), (12, 11)],
    [[(20.3, 6.1), (24.4, 8.2), (21.1, 12.3)], [(14.1, 5.2), (16.3, 5.1), (16.2, 8.4)]],
)
APART = shapely.MultiPolygon([SQUARE, shapely.box(40, 5, 55, 12)])


def measured(shape, *args, **more):
    laid = measure_passes(np.array([shape], dtype=object), *args, **more)
    names = ("direction_deg", "passes", "passes_m", "rounds", "rounds_m", "turns", "length_m", "fits")
    return {name: getattr(laid, name)[0] for name in names}


def by_lines(shape, degrees, width):
    """Number and length of passes as shapely cuts them: one line after the other, over the shape's own extent."""
    turn = radians(degrees)
    across = np.array([cos(turn), -sin(turn)])
    v = shapely.get_coordinates(shape) @ across
    lines = int(pass_spacing(np.ptp(v), width)[0])
    count, length = 0, 0.0
    for k in range(lines):
        at = (v.min() + (k + 0.5) * np.ptp(v) / lines) * across
        along = np.array([sin(turn), cos(turn)]) * 1000
        cut = shapely.intersection(shape, shapely.LineString([at - along, at + along]))
        count += (shapely.length(shapely.get_parts(cut)) > 0).sum()  # a line that touches a corner is no pass
        length += cut.length
    return count, length


@pytest.mark.parametrize("shape", [CORNER, CROOKED, RING, APART], ids=["corner", "crooked", "ring", "apart"])
def test_counts_and_lengths_as_shapely_cuts_them_in_36_directions(shape):
    edges, of = edges_of(np.array([shape], dtype=object))
    passes, length = passes_over_shapes(edges, of, 1, DIRECTIONS, 1.37)
    for row, degrees in enumerate(DIRECTIONS):
        count, metres = by_lines(shape, degrees, 1.37)
        assert passes[row, 0] == count, degrees
        assert length[row, 0] == pytest.approx(metres, rel=1e-9), degrees


def test_a_square_with_two_rounds():
    # rounds half a metre and one and a half inside: squares of 19 and 17 m; then 16 passes of 16 m
    laid = measured(SQUARE, 1.0, clean_up=2)
    assert (laid["rounds"], laid["rounds_m"]) == (2, pytest.approx(4 * 19 + 4 * 17))
    assert (laid["passes"], laid["passes_m"]) == (16, pytest.approx(16 * 16))
    assert laid["turns"] == 16 + 2 - 1
    assert laid["length_m"] == pytest.approx(4 * 19 + 4 * 17 + 16 * 16)


def test_overlap_narrows_passes_and_rounds_alike():
    # a round of 1.2 m wide lies 0.6 m inside; fresh ground begins 1 m inside: 18 passes of 18 m
    laid = measured(SQUARE, 1.2, 0.2)
    assert laid["rounds_m"] == pytest.approx(4 * 18.8)
    assert (laid["passes"], laid["passes_m"]) == (18, pytest.approx(18 * 18))


def test_a_disc_with_a_round():
    laid = measured(DISC, 1.0)
    offset = np.arange(22) + 0.5 - 11  # what is left has a radius of 11 m
    assert laid["rounds_m"] == pytest.approx(2 * pi * 11.5, rel=1e-3)
    assert laid["passes"] == 22
    assert laid["passes_m"] == pytest.approx((2 * np.sqrt(121 - offset**2)).sum(), rel=1e-3)


def test_a_ring_has_a_round_along_both_its_edges():
    laid = measured(RING, 1.0)
    assert laid["rounds"] == 2
    assert laid["rounds_m"] == pytest.approx(2 * pi * (11.5 + 5.5), rel=1e-2)


def test_passes_and_rounds_cover_the_ground_once():
    """Length times fresh width is the area: exactly in a rectangle, nearly in others."""
    for shape in (SQUARE, shapely.box(0, 0, 60, 12)):
        for rounds in (0, 1, 2, 3):
            assert measured(shape, 1.0, clean_up=rounds)["length_m"] == pytest.approx(shape.area, rel=1e-9)
    for shape in (DISC, RING, CORNER, CROOKED):
        assert measured(shape, 0.5)["length_m"] * 0.5 == pytest.approx(shape.area, rel=0.02)


def test_best_is_along_a_strip_and_a_fixed_direction_is_kept():
    strip = shapely.affinity.rotate(shapely.box(0, 0, 6, 60), -30, origin=(0, 0))  # 30 degrees clockwise from north
    best = measured(strip, 1.0, clean_up=0)
    assert (best["direction_deg"], best["passes"], best["passes_m"]) == (30.0, 6, pytest.approx(360))
    across = measured(strip, 1.0, clean_up=0, direction=120)
    assert (across["direction_deg"], across["passes"]) == (120.0, 60)


def test_turned_is_the_mean_of_all_directions():
    turned = measured(CROOKED, 1.0, clean_up=0, direction="turned")
    each = [measured(CROOKED, 1.0, clean_up=0, direction=float(degrees)) for degrees in DIRECTIONS]
    assert np.isnan(turned["direction_deg"])
    for name in ("passes", "passes_m"):
        assert turned[name] == pytest.approx(np.mean([one[name] for one in each]), rel=1e-12)


def test_a_strip_no_wider_than_the_machine_is_one_run():
    collar = DISC.buffer(1.0).difference(DISC)
    laid = measured(collar, 1.5)
    assert (laid["passes"], laid["rounds"], laid["turns"], laid["fits"]) == (1, 0, 0, "narrow")
    assert laid["length_m"] == pytest.approx(2 * pi * 12.5, rel=1e-3)


def test_a_neck_is_one_run_and_said():
    # two squares of 20 m joined by a path of 1 m by 10 m: the machine of 2 m does not go through as it mows
    dumb_bell = shapely.union_all([SQUARE, shapely.box(20, 9.5, 30, 10.5), shapely.box(30, 0, 50, 20)])
    laid, through = measured(dumb_bell, 2.0), measured(dumb_bell, 0.9)
    assert (laid["fits"], laid["rounds"]) == ("neck", 2)
    assert laid["length_m"] == pytest.approx((2 * 400) / 2.0 + 11, abs=2.0)
    assert (through["fits"], through["rounds"]) == ("yes", 1)


def test_corners_are_no_necks():
    for shape in (SQUARE, CORNER, shapely.Polygon([(0, 0), (40, 0), (20, 30)])):
        assert measured(shape, 1.5)["fits"] == "yes"


def test_a_round_that_is_too_tight_to_turn_in():
    # on a disc of 12 m the round of a 2 m machine has a radius of 11 m
    assert measured(DISC, 2.0, turn_radius=10.9)["fits"] == "yes"
    assert measured(DISC, 2.0, turn_radius=11.1)["fits"] == "turn"
    assert measured(DISC, 2.0, clean_up=0, turn_radius=11.1)["fits"] == "yes"  # no round to follow
    assert set(FITS) == {"yes", "neck", "narrow", "turn"}


def test_none_and_nothing():
    none = measure_passes(np.array([], dtype=object), 1.0)
    assert none.length_m.shape == none.fits.shape == (0,)
    # rounds that take all there is leave no passes
    full = measured(shapely.box(0, 0, 2, 30), 1.0)
    assert (full["passes"], full["rounds"], full["fits"]) == (0, 1, "yes")


def test_overlap_of_the_whole_width_is_refused():
    with pytest.raises(InputError, match=r"an overlap of 1 m is not less than the width of 1 m"):
        measure_passes(np.array([SQUARE]), 1.0, 1.0)


@pytest.mark.parametrize("shape", [SQUARE, CORNER, CROOKED, RING, APART])
@pytest.mark.parametrize("direction", ["best", 0.0, 40.0, 135.0])
def test_what_is_drawn_is_what_is_counted_and_lies_inside(shape, direction):
    rounds, passes = lay_passes(shape, 1.0, 0.1, 1, direction)
    laid = measured(shape, 1.0, 0.1, 1, direction)
    assert laid["fits"] == "yes"
    assert len(passes.geoms) == laid["passes"]
    assert passes.length == pytest.approx(laid["passes_m"], rel=1e-9)
    assert rounds.length == pytest.approx(laid["rounds_m"], rel=1e-9)
    assert shape.contains(shapely.union_all([rounds, passes]))
