"""
From files to patches: small courses written to disk, with figures that are plain from their corners.

All are drawn near the central meridian of UTM zone 32, where a square metre of the grid is 1 / 0.9996^2 square metres
of ground: that is the definition of the zone (scale 0.9996 on the meridian).
"""

import geopandas as gpd
import numpy as np
import pytest
import shapely
from shapely import LineString, Point, box

from turfgis.errors import LayerError
from turfgis.layers.drawing import LayerNote, StripNote, plain_drawing
from turfgis.measure.overlaps import by_surface, measure_overlaps, overlap_findings
from turfgis.measure.patches import OPENSTREETMAP, measure_course
from turfgis.reports.tables import areas_rows

GROUND = 1 / 0.9996**2  # true square metres of a square metre of the grid
COLUMNS = [
    "patch", "surface", "hole", "name", "drawn_m2", "net_m2", "plus_minus_m2", "perimeter_m", "cut_mm", "surveyed",
    "source", "u_own_m2", "u_bias_m2", "bias_group", "geometry",
]  # fmt: skip


def near(value, rel=1e-6):
    return pytest.approx(value, rel=rel)


def codes(measured):
    return [finding.code for finding in measured.findings]


def said(measured, code):
    (text,) = {finding.text for finding in measured.findings if finding.code == code}
    return text


@pytest.fixture
def hole_seven(table):
    """Fairway 30 x 200 m, a green of 20 x 20 m half on it, two tees of 10 x 8 m."""
    shapes = [box(0, 0, 30, 200), box(5, 190, 25, 210), box(0, -30, 10, -22), box(14, -30, 24, -22)]
    return table(shapes, kind=["FWY", "GRN", "TEE", "TEE"], hole=["7"] * 4, title=["", "home", "back", "forward"])


NAMED = {"surface_from": "kind", "surfaces": {"FWY": "fairway", "GRN": "green", "TEE": "tee"}}


def test_the_table_of_patches(measure, hole_seven):
    said_of_it = {**NAMED, "hole_from": "hole", "name_from": "title", "surveyed": "2026-03-14"}
    measured = measure([("areas.gpkg", hole_seven, said_of_it)], accuracy_m=0.3, cut_mm={"green": 4.0})
    patches = measured.patches.set_index("patch")
    assert list(measured.patches.columns) == COLUMNS
    assert list(patches.index) == ["fairway-07", "green-07", "tee-07-1", "tee-07-2"]
    assert patches["drawn_m2"].tolist() == near([6000 * GROUND, 400 * GROUND, 80 * GROUND, 80 * GROUND])
    assert patches["net_m2"].tolist() == near([5800 * GROUND, 400 * GROUND, 80 * GROUND, 80 * GROUND])
    # the green's lower half is cut out of the fairway's top: two notches of 10 m, and 20 m less above
    assert patches["perimeter_m"].tolist() == near([(460 + 20) / 0.9996, 80 / 0.9996, 36 / 0.9996, 36 / 0.9996], 1e-5)
    assert patches["name"].tolist() == ["", "home", "back", "forward"]
    assert patches["hole"].tolist() == ["7"] * 4
    assert patches["cut_mm"].to_dict()["green-07"] == 4.0
    assert patches["cut_mm"].isna().tolist() == [True, False, True, True]
    assert set(patches["surveyed"]) == {"2026-03-14"}
    assert patches["source"].iloc[1].startswith("areas.gpkg | areas | ")
    assert patches["bias_group"].unique().tolist() == ["areas.gpkg | areas"]
    assert shapely.area(patches.geometry.to_numpy()).tolist() == near(patches["net_m2"].tolist(), 1e-12)
    assert measured.frame.coordinate_operation.method_name == "Lambert Azimuthal Equal Area"
    assert measured.drawn_twice_m2 == near(200 * GROUND)


def test_plus_minus_is_1_96_times_edge_times_accuracy(measure, hole_seven):
    """GUM: one offset a patch and one a layer; 1.96 sqrt(0.3^2 + 0.4^2) x perimeter = 0.98 x perimeter."""
    measured = measure([("areas.gpkg", hole_seven, {**NAMED, "edge_bias_m": 0.4})], accuracy_m=0.3)
    patches = measured.patches
    assert patches["plus_minus_m2"].tolist() == near((0.98 * patches["perimeter_m"]).tolist(), 1e-9)
    assert patches["u_own_m2"].tolist() == near((0.3 * patches["perimeter_m"]).tolist(), 1e-9)
    assert patches["u_bias_m2"].tolist() == near((0.4 * patches["perimeter_m"]).tolist(), 1e-9)


def test_a_layer_may_say_how_well_it_was_drawn(measure, table):
    """Greens walked with a receiver (corners good to 0.1 m) beside tees traced from a photo (edges good to 0.5 m)."""
    green, tee = table([box(0, 0, 20, 20)]), table([box(40, 0, 50, 8)])
    measured = measure(
        [
            ("greens.gpkg", green, {"surface": "green", "vertex_accuracy_m": 0.1}),
            ("tees.gpkg", tee, {"surface": "tee", "accuracy_m": 0.5}),
        ],
        accuracy_m=0.3,
    )
    green_u, tee_u = measured.patches["plus_minus_m2"] / 1.96
    # (s / 2) x sqrt(4 x the squared diagonal of 20 x 20 m); 0.5 m x 36 m of edge
    assert green_u == near(0.05 * np.sqrt(4 * 800) / 0.9996, 1e-5)
    assert tee_u == near(0.5 * 36 / 0.9996, 1e-5)


@pytest.mark.parametrize("file", ["areas.gpkg", "areas.geojson", "areas.fgb", "areas.shp"])
def test_formats_give_the_same_patches(measure, hole_seven, file):
    crs = 4326 if file.endswith("json") else hole_seven.crs
    measured = measure([(file, hole_seven.to_crs(crs), {**NAMED, "hole_from": "hole"})])
    assert sorted(measured.patches["patch"]) == ["fairway-07", "green-07", "tee-07-1", "tee-07-2"]
    assert measured.patches.groupby("surface")["net_m2"].sum().to_dict() == {
        "fairway": near(5800 * GROUND),
        "green": near(400 * GROUND),
        "tee": near(160 * GROUND),
    }


# --- names ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("holes", "names"),
    [
        pytest.param([7, 12, 18], ["green-07", "green-12", "green-18"], id="numbers"),
        pytest.param(["7", "7", "8"], ["green-07-1", "green-07-2", "green-08"], id="several on one hole"),
        pytest.param([None, None, "3"], ["green-none-1", "green-none-2", "green-03"], id="no hole"),
        pytest.param([None, "3", "4"], ["green-none-1", "green-03", "green-04"], id="one without a hole"),
        pytest.param(["Hole 7", "practice", "2/16"], ["green-07", "green-practice", "green-2-16"], id="words"),
        pytest.param(["East 1", "West 1", "0"], ["green-East-1", "green-West-1", "green-practice"], id="nines"),
    ],
)
def test_names_of_patches(measure, table, holes, names):
    greens = table([box(30 * place, 0, 30 * place + 20, 20) for place in range(3)], hole=holes)
    measured = measure([("greens.gpkg", greens, {"surface": "green", "hole_from": "hole"})])
    assert measured.patches["patch"].tolist() == names
    assert all(hole is None or isinstance(hole, str) for hole in measured.patches["hole"])


def test_names_do_not_change_when_another_hole_is_redrawn(measure, table):
    holes = ["7", "8", "9"]
    first = table([box(30 * place, 0, 30 * place + 20, 20) for place in range(3)], hole=holes)
    second = table([box(30 * place, 0, 30 * place + 20, 20 + 5 * place) for place in range(3)], hole=holes)
    names = [
        measure([(file, greens, {"surface": "green", "hole_from": "hole"})]).patches["patch"].tolist()
        for file, greens in (("first.gpkg", first), ("second.gpkg", second))
    ]
    assert names[0] == names[1] == ["green-07", "green-08", "green-09"]


# --- the pile ---------------------------------------------------------------------------------------------------------


def test_a_surface_of_the_clubs_own_lies_where_it_says(measure, table):
    """Heather of 10 x 10 m drawn over rough of 30 x 30 m and a fairway of 30 x 10 m: `over` names the rough only."""
    shapes = table([box(0, 0, 30, 30), box(0, 0, 30, 10), box(5, 5, 15, 15)], kind=["rough", "fairway", "heather"])
    layers = [("areas.gpkg", shapes, {"surface_from": "kind"})]
    over_rough = measure(layers, over={"heather": ["rough"]}).patches.set_index("surface")["net_m2"]
    assert over_rough.to_dict() == {
        "rough": near((900 - 300 - 50) * GROUND),
        "fairway": near(300 * GROUND),
        "heather": near(50 * GROUND),
    }
    over_both = measure(layers, over={"heather": ["rough", "fairway"]}).patches.set_index("surface")["net_m2"]
    assert over_both.to_dict() == {
        "rough": near((900 - 300 - 50) * GROUND),
        "fairway": near((300 - 50) * GROUND),
        "heather": near(100 * GROUND),
    }


def test_a_shape_covered_whole_is_told_of_and_not_counted(measure, table):
    """Under a fairway of 40 x 40 m lie rough of 10 x 10 m, whole, and rough of 20 x 20 m but for 0.1 x 20 m."""
    shapes = table([box(0, 0, 40, 40), box(5, 5, 15, 15), box(20.1, 10, 40.1, 30)], kind=["fairway", "rough", "rough"])
    measured = measure([("areas.gpkg", shapes, {"surface_from": "kind"})])
    assert measured.patches["surface"].tolist() == ["fairway", "rough"]
    assert measured.patches["net_m2"].tolist() == near([1600 * GROUND, 2 * GROUND], 1e-5)
    texts = [(finding.level, finding.text) for finding in measured.findings if finding.code == "covered"]
    assert texts == [
        ("warning", "a rough of 100.1 m2 lies wholly under surfaces that keep the ground; it is not counted."),
        ("warning", "a rough of 400.3 m2 lies under surfaces that keep the ground but for 2.00 m2."),
    ]
    assert measured.drawn_twice_m2 == near((100 + 398) * GROUND)


def test_overlaps_by_pair(measure, table):
    """A green of 20 x 20 m and two bunkers over a fairway of 40 x 40 m; neighbours that only touch are not told of."""
    shapes = table(
        [box(0, 0, 40, 40), box(10, 10, 30, 30), box(-5, 0, 5, 10), box(35, 35, 45, 45), box(40, 0, 50, 10)],
        kind=["fairway", "green", "bunker", "bunker", "tee"],
    )
    measured = measure([("areas.gpkg", shapes, {"surface_from": "kind"})])
    overlaps = measure_overlaps(measured)
    assert overlaps[["keeps", "under"]].to_numpy().tolist() == [
        ["green", "fairway"],
        ["bunker", "fairway"],
        ["bunker", "fairway"],
    ]
    assert overlaps["area_m2"].tolist() == near([400 * GROUND, 50 * GROUND, 25 * GROUND])
    summed = by_surface(overlaps)
    assert summed[["keeps", "under", "pairs"]].to_numpy().tolist() == [
        ["green", "fairway", 1],
        ["bunker", "fairway", 2],
    ]
    assert summed["area_m2"].tolist() == near([400 * GROUND, 75 * GROUND])
    assert [(finding.code, finding.layer, finding.text) for finding in overlap_findings(overlaps)] == [
        ("drawn_twice", "areas", "400.3 m2 of fairway lie under green (1 pair); the green keeps the ground."),
        ("drawn_twice", "areas", "75.1 m2 of fairway lie under bunker (2 pairs); the bunker keeps the ground."),
    ]


def test_no_overlap_no_words(measure, table):
    measured = measure([("tees.gpkg", table([box(0, 0, 10, 10), box(10, 0, 20, 10)]), {"surface": "tee"})])
    overlaps = measure_overlaps(measured)
    assert len(overlaps) == 0
    assert overlap_findings(overlaps) == []
    assert len(by_surface(overlaps)) == 0
    assert measured.drawn_twice_m2 == pytest.approx(0.0, abs=1e-9)


# --- strips -----------------------------------------------------------------------------------------------------------


def test_a_collar_that_nobody_drew(measure, table):
    """Two square greens of 20 m; one has its collar drawn, 1.5 m wide with sharp corners, the other gets one of 1 m."""
    greens = table([box(0, 0, 20, 20), box(50, 0, 70, 20)], hole=["1", "2"])
    collar = table([box(-1.5, -1.5, 21.5, 21.5).difference(box(0, 0, 20, 20))], hole=["1"])
    fairway = table([box(-20, -40, 100, 60)], hole=[None])
    measured = measure(
        [
            (
                "greens.gpkg",
                greens,
                {"surface": "green", "hole_from": "hole", "surveyed": "2026-03-14", "accuracy_m": 0.05},
            ),
            ("collars.gpkg", collar, {"surface": "collar", "hole_from": "hole"}),
            ("fairways.gpkg", fairway, {"surface": "fairway"}),
        ],
        strips=(StripNote("collar", "green", 1.0),),
    )
    patches = measured.patches.set_index("patch")
    made = 80 / 0.9996 + np.pi  # four sides and four round corners, 1 m wide on the ground
    assert patches["net_m2"].to_dict() == {
        "green-01": near(400 * GROUND),
        "green-02": near(400 * GROUND),
        "collar-01": near(129 * GROUND),
        "collar-02": near(made, 1e-4),
        "fairway-none-1": near((12_000 - 929) * GROUND - made, 1e-5),
    }
    strip = patches.loc["collar-02"]
    assert strip["source"].split(" | ")[2].startswith("strip of 1 m around ")
    assert (strip["hole"], strip["surveyed"]) == ("2", "2026-03-14")
    assert strip["u_own_m2"] == near(0.05 * strip["perimeter_m"])


def test_a_strip_round_a_lower_surface_gives_way_to_what_lies_on_top(measure, table):
    """Semi-rough of 2 m round a fairway of 40 x 100 m; a green of 20 x 20 m sits astride its end, 10 m beyond it."""
    shapes = table([box(0, 0, 40, 100), box(10, 90, 30, 110)], kind=["fairway", "green"])
    measured = measure(
        [("areas.gpkg", shapes, {"surface_from": "kind"})], strips=(StripNote("semi-rough", "fairway", 2.0),)
    )
    strip = measured.patches.set_index("surface").loc["semi-rough"]
    whole = 2 * 280 / 0.9996 + 4 * np.pi
    assert strip["drawn_m2"] == near(whole, 1e-4)
    assert strip["net_m2"] == near(whole - 2 * 20 / 0.9996, 1e-4)


def test_a_strip_round_a_strip(measure, table):
    """A collar of 1 m round a green of 20 x 20 m, and a surround of 2 m round that: by Steiner, P w + pi w^2 each."""
    measured = measure(
        [("greens.gpkg", table([box(0, 0, 20, 20)], hole=["4"]), {"surface": "green", "hole_from": "hole"})],
        strips=(StripNote("collar", "green", 1.0), StripNote("surround", "collar", 2.0)),
    )
    net = measured.patches.set_index("patch")["net_m2"]
    side = 80 / 0.9996
    assert net["collar-04"] == near(side + np.pi, 1e-4)
    assert net["surround-04"] == near(3 * side + 9 * np.pi - (side + np.pi), 1e-4)


def test_a_strip_round_what_is_not_there_makes_nothing(measure, table):
    measured = measure(
        [("tees.gpkg", table([box(0, 0, 10, 10)]), {"surface": "tee"})], strips=(StripNote("collar", "green", 1.0),)
    )
    assert measured.patches["surface"].tolist() == ["tee"]


# --- hole lines and background ----------------------------------------------------------------------------------------


@pytest.fixture
def unnumbered(table):
    """A green at the end of hole 7, a bunker beside it, a practice green far from any line."""
    shapes = [Point(0, 352).buffer(12), Point(-22, 352).buffer(4), Point(300, 0).buffer(10)]
    return table(shapes, kind=["green", "bunker", "green"])


@pytest.fixture
def lines(table):
    return table([LineString([(0, 0), (0, 350)]), LineString([(120, 340), (120, 0)])], no=["7", "8"])


def test_hole_lines_number_what_has_no_number(measure, unnumbered, lines):
    measured = measure(
        [
            ("areas.gpkg", unnumbered, {"surface_from": "kind"}),
            ("lines.gpkg", lines, {"role": "hole_lines", "hole_from": "no"}),
        ]
    )
    assert measured.patches["patch"].tolist() == ["green-07", "bunker-07", "green-none-1"]
    assert measured.patches["hole"].tolist() == ["7", "7", None]
    assert measured.hole_lines["hole"].tolist() == ["7", "8"]
    assert said(measured, "hole_by_position") == (
        "3 shapes have no hole number; 2 got one by position beside the hole lines. Check on the map."
    )


def test_numbers_that_were_drawn_stay(measure, unnumbered, lines):
    layers = [
        ("areas.gpkg", unnumbered.assign(hole=["12", None, "practice"]), {"surface_from": "kind", "hole_from": "hole"}),
        ("lines.gpkg", lines, {"role": "hole_lines", "hole_from": "no"}),
    ]
    measured = measure(layers)
    assert measured.patches["hole"].tolist() == ["12", "7", "practice"]
    assert said(measured, "hole_by_position").startswith("1 shape has no hole number; 1 got one")


def test_the_same_hole_lines_named_twice_count_once(measure, lines, table):
    """Ground that holes share is numbered where exactly one line crosses it: the same line twice is one."""
    path = table([box(-5, 100, 5, 102)], kind=["path"])
    said_of_it = {"role": "hole_lines", "hole_from": "no"}
    measured = measure(
        [
            ("areas.gpkg", path, {"surface_from": "kind"}),
            ("lines.gpkg", lines, said_of_it),
            ("again.gpkg", lines, said_of_it),
        ]
    )
    assert measured.patches["hole"].tolist() == ["7"]
    assert measured.hole_lines["hole"].tolist() == ["7", "8"]


def test_background_is_kept_for_the_map_and_not_measured(measure, table):
    greens, points = table([box(0, 0, 20, 20)]), table([Point(1, 1), Point(5, 5), Point(9, 9)])
    fences = table([LineString([(0, -5), (100, -5)])])
    measured = measure(
        [
            ("greens.gpkg", greens, {"surface": "green"}),
            ("heads.gpkg", points, {"role": "background", "label": "sprinklers"}),
            ("fences.gpkg", fences, {"role": "background"}),
        ]
    )
    assert measured.background["label"].tolist() == ["sprinklers"] * 3 + ["fences"]
    assert measured.patches["surface"].tolist() == ["green"]
    assert measured.background.crs == measured.hole_lines.crs == measured.patches.crs
    assert measured.background.geometry.iloc[3].length == near(100 / 0.9996, 1e-6)


def test_tags_of_openstreetmap(measure, table):
    """Only lines with golf=hole carry hole numbers: a road has a ref too, and runs right along the fairway."""
    everything = table(
        [
            box(-15, 60, 15, 320),
            Point(0, 352).buffer(12),
            LineString([(0, 0), (0, 350)]),
            LineString([(2, 0), (2, 400)]),
        ],
        crs=4326,
        golf=["fairway", "green", "hole", None],
        highway=[None, None, None, "primary"],
        ref=[None, None, "7", "101"],
    )
    measured = measure([("extract.geojson", everything, {})])
    assert measured.patches["patch"].tolist() == ["fairway-07", "green-07"]
    assert measured.attribution == OPENSTREETMAP
    again = measure([("extract.geojson", everything, {}), ("extract.geojson", everything, {"role": "hole_lines"})])
    assert again.hole_lines["hole"].tolist() == ["7"]


def test_without_tags_there_is_nobody_to_name(measure, table):
    assert measure([("greens.gpkg", table([box(0, 0, 20, 20)]), {"surface": "green"})]).attribution == ""


# --- reference systems ------------------------------------------------------------------------------------------------


def test_layers_in_different_systems_meet(measure, table):
    """A fairway in UTM, its green in Web Mercator and its tee in degrees, all on WGS 84: no shift, no gap."""
    measured = measure(
        [
            ("fairway.gpkg", table([box(0, 0, 30, 200)]), {"surface": "fairway"}),
            ("green.gpkg", table([box(5, 190, 25, 210)], crs=3857), {"surface": "green"}),
            ("tee.geojson", table([box(10, -8, 20, 0)], crs=4326), {"surface": "tee"}),
        ]
    )
    net = measured.patches.set_index("surface")["net_m2"]
    assert net.to_dict() == {
        "fairway": near(5800 * GROUND),
        "green": near(400 * GROUND),
        "tee": near(80 * GROUND),
    }
    assert "datum_shift" not in codes(measured)
    assert "web_mercator" in codes(measured)


def test_another_datum_is_moved_and_told_of(measure, table):
    """
    A green drawn on DHDN (Gauss-Krueger zone 4) on a fairway drawn on WGS 84.

    Its area stays: the two ellipsoids differ by 1e-4 in size, and the shift between the datums scales by 1e-5 at most.
    """
    measured = measure(
        [
            ("fairway.gpkg", table([box(0, 0, 30, 200)]), {"surface": "fairway"}),
            ("green.gpkg", table([box(5, 100, 25, 120)], crs=31468), {"surface": "green"}),
        ]
    )
    net = measured.patches.set_index("surface")["net_m2"]
    assert net["green"] == near(400 * GROUND, 1e-6)
    assert net["fairway"] == near(5600 * GROUND, 1e-6)
    text = said(measured, "datum_shift")
    assert text.startswith(
        "DHDN / 3-degree Gauss-Kruger zone 4 lies on another datum than the rest (1 layer); moved to fit"
    )
    assert "Areas do not suffer" in text


def test_heights_do_not_matter(measure, table):
    """A compound system (UTM with heights above the sea), and a green drawn with a height at each corner."""
    green = shapely.force_3d(table([box(0, 0, 20, 20)]).geometry.to_numpy(), 55.0)
    lifted = gpd.GeoDataFrame(geometry=list(green), crs="EPSG:32632+5773")
    measured = measure([("green.gpkg", lifted, {"surface": "green"})])
    assert measured.patches["net_m2"].tolist() == near([400 * GROUND])
    assert not measured.patches.geometry.iloc[0].has_z
    assert len(measured.frame.axis_info) == 2


def test_a_course_across_the_antimeridian(measure, table, geodesic_area):
    """Two greens on either side of it and a fairway across it, in degrees that jump from 180 to -180."""
    lat = [-17.8002, -17.8002, -17.7998, -17.7998]
    rings = {
        "east": [-179.9990, -179.9986, -179.9986, -179.9990],
        "west": [179.9986, 179.9990, 179.9990, 179.9986],
        "across": [179.9995, -179.9995, -179.9995, 179.9995],
    }
    shapes = [shapely.Polygon(np.column_stack([lon, lat])) for lon in rings.values()]
    drawn = gpd.GeoDataFrame({"kind": ["green", "green", "fairway"]}, geometry=shapes, crs=4326)
    measured = measure([("areas.gpkg", drawn, {"surface_from": "kind"})])
    expected = [geodesic_area(lon, lat)[0] for lon in rings.values()]
    assert measured.patches["net_m2"].tolist() == pytest.approx(expected, abs=1e-3)


# --- what cannot be used ----------------------------------------------------------------------------------------------


def test_a_column_that_is_not_there_is_named_with_those_that_are(measure, hole_seven):
    with pytest.raises(LayerError, match=r"areas\.gpkg, layer areas: no column 'number'; there are: kind, hole, title"):
        measure([("areas.gpkg", hole_seven, {**NAMED, "hole_from": "number"})])


def test_hole_lines_without_a_number_are_refused(measure, hole_seven, table):
    lines = table([LineString([(0, 0), (0, 200)])], length=[200])
    with pytest.raises(LayerError, match=r"lines\.gpkg, layer lines: no column 'hole'; there are: length"):
        measure([("areas.gpkg", hole_seven, NAMED), ("lines.gpkg", lines, {"role": "hole_lines"})])


def test_no_known_surface_at_all(measure, table):
    with pytest.raises(LayerError, match=r"areas\.gpkg: no shape names a known surface \(green, tee, .*\)\. .*CLUB"):
        measure([("areas.gpkg", table([box(0, 0, 9, 9)], kind=["CLUBHOUSE"]), {"surface_from": "kind"})])


def test_nothing_left_after_mending(measure, table):
    line = shapely.Polygon([(0, 0), (20, 0), (10, 0)])
    with pytest.raises(LayerError, match=r"areas\.gpkg: no shape is left after mending: "):
        measure([("areas.gpkg", table([line]), {"surface": "green"})])


def test_one_file_needs_no_settings(tmp_path, table):
    table([box(0, 0, 20, 20)], crs=4326).to_file(tmp_path / "greens.geojson")
    measured = measure_course(plain_drawing(tmp_path / "greens.geojson"))
    assert measured.patches["patch"].tolist() == ["green-none-1"]
    assert measured.patches["net_m2"].tolist() == near([400 * GROUND])
    assert plain_drawing(tmp_path / "greens.geojson").layers == (LayerNote(file="greens.geojson"),)


def test_a_strip_around_nothing_is_said(measure, table):
    tees = table([box(0, 0, 10, 10)], kind=["tee"])
    measured = measure([("areas.gpkg", tees, {"surface_from": "kind"})], strips=(StripNote("collar", "green", 1.0),))
    assert "none was drawn" in said(measured, "strip_nowhere")
    assert [finding.level for finding in measured.findings] == ["warning"]


def test_what_is_covered_whole_counts_as_drawn_and_as_no_patch(measure, table):
    shapes = table([box(0, 0, 20, 20), box(5, 5, 10, 10)], kind=["green", "fairway"])
    measured = measure([("areas.gpkg", shapes, {"surface_from": "kind"})])
    assert measured.patches["surface"].tolist() == ["green"]
    every = measured.with_covered()
    assert every["drawn_m2"].sum() == near(425 * GROUND)
    assert every["net_m2"].sum() == near(400 * GROUND)
    assert measured.drawn_twice_m2 == near(25 * GROUND)
    rows = [(row["surface"], row["patches"]) for row in areas_rows(every, "surface")]
    assert rows == [("green", 1), ("fairway", 0)]
    assert [row["surface"] for row in areas_rows(every, "patch")] == ["green"]
