"""Surveys compared on shapes whose change is known in closed form, and against other ways to measure it."""

import math
from functools import partial

import geopandas as gpd
import numpy as np
import pyproj
import pytest
import shapely

from turfgis.errors import LayerError
from turfgis.layers.drawing import Drawing, LayerNote
from turfgis.measure.drift import measure_drift
from turfgis.measure.frame import local_frame
from turfgis.measure.patches import measure_course
from turfgis.measure.retreat import edge_points
from turfgis.measure.surveys import Survey

FRAME = local_frame([(pyproj.CRS(4326), 9.0, 47.85)])  # shapes drawn in it are measured as they are
disc = partial(shapely.Point.buffer, quad_segs=512)


def circle(radius, east=0.0, north=0.0):
    return disc(shapely.Point(east, north), radius)


@pytest.fixture
def survey(tmp_path):
    """A survey of shapes in metres, all of one accuracy."""
    made = iter(range(100))

    def drawn(shapes, accuracy=0.05, surfaces="green", crs=FRAME, **said):
        file = tmp_path / f"survey_{next(made)}.gpkg"
        kinds = [surfaces] * len(shapes) if isinstance(surfaces, str) else surfaces
        table = gpd.GeoDataFrame({"kind": kinds, **said}, geometry=list(shapes), crs=FRAME)
        table.to_crs(crs).to_file(file)
        notes = (
            LayerNote(file=file.name, surface_from="kind", accuracy_m=accuracy, hole_from="hole" if said else None),
        )
        drawing = Drawing(tmp_path, notes)
        return Survey(file.name, drawing, measure_course(drawing))

    return drawn


def only(drift):
    (row,) = drift.changes.to_dict("records")
    return row


def test_concentric_discs(survey):
    """A disc of 13.4 m that lost 0.4 m all round: pi (R^2 - r^2), R - r, and the whole old edge."""
    drift = measure_drift(survey([circle(13.4)], 0.1), survey([circle(13.0)], 0.05))
    row, lost = only(drift), np.pi * (13.4**2 - 13.0**2)
    assert (row["match"], row["changed"], row["moved"]) == ("same", True, True)
    assert row["net_m2"] == pytest.approx(-lost, rel=1e-5)
    assert (row["lost_m2"], row["gained_m2"]) == (pytest.approx(lost, rel=1e-5), 0)
    for name in ("retreat_m", "edge_retreat_m", "edge_retreat_p95_m", "edge_retreat_most_m"):
        assert row[name] == pytest.approx(0.4, abs=1e-4), name
    assert row["lost_edge_m"] == pytest.approx(math.tau * 13.4, rel=1e-5)
    assert row["won_edge_m"] == 0
    assert row["win_back_m2"] == pytest.approx(lost, rel=1e-4)
    # GUM 5.1.2: an edge out as a whole moves the area by its length; two surveys add in squares
    by_hand = 1.96 * np.hypot(0.1 * math.tau * 13.4, 0.05 * math.tau * 13.0)
    assert row["plus_minus_m2"] == pytest.approx(by_hand, rel=1e-5)
    assert row["retreat_plus_minus_m"] == pytest.approx(by_hand / (np.pi * (13.4 + 13.0)), rel=1e-5)
    assert row["lost_plus_minus_m2"] == pytest.approx(1.96 * np.hypot(0.1, 0.05) * math.tau * 13.4, rel=1e-5)


@pytest.mark.parametrize(("years", "percent"), [(4, 4.5), (20, 21.4), (40, 40.3)])
def test_three_inches_a_year_on_the_ground(survey, years, percent):
    """The worked example of tests/reference/test_drift.py, drawn and measured; a radius of 44 ft."""
    drift = measure_drift(survey([circle(44 * 0.3048)]), survey([circle(44 * 0.3048 - years * 3 * 0.0254)]))
    row = only(drift)
    assert -100 * row["net_m2"] / row["old_m2"] == pytest.approx(percent, abs=0.05)
    assert row["retreat_m"] / years == pytest.approx(3 * 0.0254, rel=1e-4)


def test_totals_add_own_errors_in_squares_and_shared_ones_as_they_are(survey, tmp_path):
    """JCGM 100 (GUM), 5.1.2 and 5.2.2, by hand: two greens whose edges share an offset of 0.04 m."""
    old, new = survey([circle(13.4), circle(10.0, 60.0)]), survey([circle(13.0), circle(9.7, 60.0)])
    notes = [LayerNote(file=new.drawing.layers[0].file, surface="green", accuracy_m=0.05, edge_bias_m=0.04)]
    drawing = Drawing(tmp_path, tuple(notes))
    drift = measure_drift(old, Survey("new", drawing, measure_course(drawing)))
    (total,) = drift.totals.to_dict("records")
    then, now = math.tau * np.array([13.4, 10.0]), math.tau * np.array([13.0, 9.7])
    square = (0.05**2) * ((then**2).sum() + (now**2).sum()) + (0.04 * now.sum()) ** 2
    assert total["plus_minus_m2"] == pytest.approx(1.96 * math.sqrt(square), rel=1e-5)
    own = (0.05 * then) ** 2 + (0.05 * now) ** 2 + (0.04 * now) ** 2
    assert drift.changes["plus_minus_m2"].to_numpy() == pytest.approx(1.96 * np.sqrt(own), rel=1e-5)


def test_a_shifted_square(survey):
    """20 m square moved 1.5 m east: 30 m2 lost in the west, 30 m2 gained in the east, and no change of area."""
    drift = measure_drift(survey([shapely.box(0, 0, 20, 20)]), survey([shapely.box(1.5, 0, 21.5, 20)]))
    row, band = only(drift), 1.96 * np.hypot(0.05, 0.05)
    assert (row["changed"], row["moved"]) == (False, True)
    assert row["net_m2"] == pytest.approx(0, abs=1e-6)
    assert (row["lost_m2"], row["gained_m2"]) == (pytest.approx(30), pytest.approx(30))
    # the west side, and of the sides that run along only what lies further than the band from the new square
    assert row["lost_edge_m"] == pytest.approx(20 + 2 * (1.5 - band), abs=1e-6)
    assert row["won_edge_m"] == pytest.approx(20 - 2 * band, abs=1e-6)
    assert row["win_back_m2"] == pytest.approx(30, abs=1e-6)


def test_a_ring_loses_on_both_its_edges(survey):
    """A surround of 20 to 12 m radius that became one of 19.5 to 12.5 m."""
    was, now = circle(20).difference(circle(12)), circle(19.5).difference(circle(12.5))
    row = only(measure_drift(survey([was], surfaces="surround"), survey([now], surfaces="surround")))
    assert row["lost_m2"] == pytest.approx(np.pi * (20**2 - 19.5**2 + 12.5**2 - 12**2), rel=1e-4)
    assert row["gained_m2"] == 0
    assert row["edge_retreat_m"] == pytest.approx(0.5, abs=1e-4)
    assert row["lost_edge_m"] == pytest.approx(math.tau * 32, rel=1e-4)


def test_edges_against_hausdorff_and_symmetric_difference(survey):
    """GEOS's own measures of how far two shapes differ."""
    rng = np.random.default_rng(7)
    turn = np.linspace(0, 2 * np.pi, 60, endpoint=False)
    ring = np.column_stack([np.cos(turn), np.sin(turn)])
    was = shapely.Polygon(ring * 14)
    now = shapely.Polygon(ring * (13.2 + 0.6 * rng.random(60))[:, None])
    row = only(measure_drift(survey([was]), survey([now])))
    assert row["gained_m2"] + row["lost_m2"] == pytest.approx(was.symmetric_difference(now).area, rel=1e-9)
    points = shapely.multipoints(edge_points(np.array([was]), 0.02)[0])
    furthest = shapely.distance(shapely.get_parts(points), now.boundary).max()
    assert row["edge_retreat_most_m"] == pytest.approx(furthest, abs=0.01)
    assert furthest <= was.boundary.hausdorff_distance(now.boundary) + 1e-9


def test_within_the_band_nothing_is_lost(survey):
    """0.1 m all round, where edges are known to 0.3 m: no change that can be told, and no edge to win back."""
    row = only(measure_drift(survey([circle(13.4)], 0.3), survey([circle(13.3)], 0.3)))
    assert not row["changed"]
    assert not row["moved"]
    assert (row["lost_edge_m"], row["win_back_m2"]) == (0, 0)


def test_errors_alone_are_called_a_change_in_one_case_of_twenty(survey):
    """
    400 greens that did not change, each edge out as a whole by its own error in both surveys.

    The 95 % interval of JCGM 100 (GUM): of 400, 20 are beyond it; bounds are four standard deviations of a binomial.
    """
    rng = np.random.default_rng(11)
    centres = np.array([(60.0 * (at % 20), 60.0 * (at // 20)) for at in range(400)])
    off = rng.normal(0, [0.2, 0.1], (400, 2))
    was, now = (
        survey(shapely.buffer(shapely.points(centres), 13 + off[:, side]), accuracy)
        for side, accuracy in ((0, 0.2), (1, 0.1))
    )
    changes = measure_drift(was, now).changes
    assert len(changes) == 400
    assert 3 <= changes["changed"].sum() <= 37


def test_what_became_of_each_patch(survey):
    """One that stayed, one split in two, two merged, one gone, one new, two cut anew into two others."""
    was = [
        shapely.box(0, 0, 10, 10),
        shapely.box(20, 0, 40, 10),
        *(shapely.box(50, 0, 60, 10), shapely.box(60, 0, 70, 10)),
        shapely.box(80, 0, 90, 10),
        *(shapely.box(110, 0, 118, 10), shapely.box(118, 0, 130, 10)),
    ]
    now = [
        shapely.box(0, 0, 10, 10),
        *(shapely.box(20, 0, 29, 10), shapely.box(31, 0, 40, 10)),
        shapely.box(50, 0, 70, 10),
        shapely.box(140, 0, 150, 10),
        *(shapely.box(110, 0, 126, 10), shapely.box(126, 0, 130, 10)),
    ]
    drift = measure_drift(survey(was, surfaces="tee"), survey(now, surfaces="tee"))
    rows = drift.changes.set_index("match")
    assert sorted(drift.changes["match"]) == ["gone", "merged", "new", "regrouped", "same", "split"]
    assert (rows.loc["split", "old_m2"], rows.loc["split", "new_m2"]) == (pytest.approx(200), pytest.approx(180))
    assert rows.loc["split", "lost_m2"] == pytest.approx(20)
    assert rows.loc["split", "patch"].count(" + ") == 1
    assert rows.loc["merged", "old_patch"].count(" + ") == 1
    for kind in ("same", "merged", "regrouped"):
        assert rows.loc[kind, "net_m2"] == pytest.approx(0, abs=1e-6)
    assert (rows.loc["gone", "new_m2"], rows.loc["new", "old_m2"]) == (0, 0)
    assert np.isnan(rows.loc["new", "retreat_m"])
    (total,) = drift.totals.to_dict("records")  # what only one survey has is in no sum
    assert total["old_m2"] == pytest.approx(100 + 200 + 200 + 200)
    assert total["patches"] == 4


def test_a_moved_patch_is_the_same_one(survey):
    """A tee laid again a good half of its length further on."""
    row = only(
        measure_drift(
            survey([shapely.box(0, 0, 10, 5)], surfaces="tee"), survey([shapely.box(6, 0, 16, 5)], surfaces="tee")
        )
    )
    assert row["match"] == "same"


def test_neighbours_of_another_surface_are_never_matched(survey):
    was = survey([shapely.box(0, 0, 10, 10), shapely.box(10, 0, 20, 10)], surfaces=["green", "approach"])
    now = survey([shapely.box(0, 0, 14, 10), shapely.box(14, 0, 20, 10)], surfaces=["green", "approach"])
    nets = measure_drift(was, now).changes.set_index("surface")["net_m2"]
    assert nets.to_dict() == {"green": pytest.approx(40), "approach": pytest.approx(-40)}


def test_a_surface_of_one_survey_takes_no_ground_from_the_others(survey):
    """The older survey has no bunkers: the fairway did not lose the ground that they take from it today."""
    fairway, sand = shapely.box(0, 0, 100, 30), shapely.box(40, 10, 50, 20)
    drift = measure_drift(
        survey([fairway], surfaces="fairway"), survey([fairway, sand], surfaces=["fairway", "bunker"])
    )
    assert only(drift)["net_m2"] == pytest.approx(0, abs=1e-6)
    assert drift.left_out == ("bunker",)


def test_a_survey_in_another_reference_system(survey):
    """UTM, where a green measures 0.04 % less each way: no change of any sort."""
    greens = [circle(13.4, 50.0 * at) for at in range(6)]
    drift = measure_drift(survey(greens, crs=32632), survey(greens, crs=4326))
    assert not drift.changes["changed"].any()
    assert drift.changes["net_m2"].abs().max() < 1e-3
    assert drift.changes["edge_retreat_most_m"].abs().max() < 1e-4
    assert drift.datums == ()


def test_a_shift_of_a_whole_survey_is_told(survey):
    greens = [circle(13.4, 50.0 * at, 20.0 * (at % 2)) for at in range(6)]
    moved = [shapely.transform(green, lambda xy: xy + np.array([0.3, -0.4])) for green in greens]
    drift = measure_drift(survey(greens), survey(moved))
    assert drift.offset_m == pytest.approx((0.3, -0.4), abs=1e-6)
    assert np.hypot(*drift.offset_m) > drift.doubt_m
    assert not drift.changes["changed"].any()


def test_corners_that_err_by_themselves(survey, tmp_path):
    """A vertex accuracy says less about the area than about a point: the band is that of a point."""
    old, new = survey([circle(13.4)]), survey([circle(13.0)])
    notes = tuple(LayerNote(file=note.file, surface="green", vertex_accuracy_m=0.1) for note in old.drawing.layers)
    drawing = Drawing(tmp_path, notes)
    row = only(measure_drift(Survey("old", drawing, measure_course(drawing)), new))
    assert row["band_m"] == pytest.approx(1.96 * np.hypot(0.1, 0.05))


def test_surveys_of_different_places(survey):
    with pytest.raises(LayerError, match=r"different places, 2 km apart; compare two surveys of one course"):
        measure_drift(survey([circle(13)]), survey([circle(13, 2000.0)]))


def test_surveys_of_one_place_that_share_nothing(survey):
    with pytest.raises(LayerError, match="no patch of the one covers a patch of the same surface in the other"):
        measure_drift(survey([circle(13), circle(13, 200)]), survey([circle(13, 100)]))


def test_surveys_without_a_common_surface(survey):
    with pytest.raises(LayerError, match="no surface in common: green in the one, bunker in the other"):
        measure_drift(survey([circle(13)]), survey([circle(13)], surfaces="bunker"))
