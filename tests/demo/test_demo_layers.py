"""The demo course is what its script says it is: redrawable, of the usual size, flawed in the listed places."""

import ast
import itertools
import re
import subprocess
import sys
from pathlib import Path

import geopandas as gpd
import numpy as np
import pyproj
import pytest
import rasterio
import shapely
from rasterio.features import geometry_mask

from turfgis.settings import read_settings
from turfgis.surfaces import SURFACES

ROOT = Path(__file__).resolve().parents[2]
DEMO = ROOT / "demo_layers"
GRID = "EPSG:2157"
PACKAGE = ("greens", "collars", "approaches", "fairways", "surrounds", "rough", "tees", "hole_lines", "sprinklers")
FILES = {"bunkers": "bunkers.geojson", "water": "water.kml", "paths": "paths.shp"}


def read(folder: Path) -> dict[str, gpd.GeoDataFrame]:
    layers = {layer: gpd.read_file(folder / "course.gpkg", layer=layer) for layer in PACKAGE}
    layers |= {layer: gpd.read_file(folder / file).to_crs(GRID) for layer, file in FILES.items()}
    return {layer: table.set_geometry(table.geometry.force_2d()) for layer, table in layers.items()}


@pytest.fixture(scope="module")
def course():
    return read(DEMO)


def redraw(folder: Path) -> Path:
    command = [sys.executable, "-B", str(DEMO / "draw_course.py"), "--to", str(folder)]
    done = subprocess.run(command, capture_output=True, text=True, timeout=400, check=False)
    assert done.returncode == 0, done.stderr
    return folder


@pytest.fixture(scope="module")
def redrawn(tmp_path_factory):
    return redraw(tmp_path_factory.mktemp("redrawn"))


@pytest.mark.parametrize("layer", [*PACKAGE, *FILES])
def test_script_draws_the_committed_shapes(course, redrawn, layer):
    """A millimetre is a tenth of the grid the shapes are rounded to."""
    again = read(redrawn)[layer]
    assert again.drop(columns="geometry").equals(course[layer].drop(columns="geometry"))
    assert again.geometry.geom_equals_exact(course[layer].geometry, tolerance=0.001).all()


def test_drawing_over_an_old_drawing_gives_the_same_bytes(redrawn):
    before = {file.name: file.read_bytes() for file in redrawn.iterdir()}
    assert {file.name: file.read_bytes() for file in redraw(redrawn).iterdir()} == before


def test_script_needs_nothing_of_the_package():
    """The layers must stay evidence from outside, so the code they try may have no hand in drawing them."""
    taken = set()
    for file in DEMO.glob("*.py"):
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Import):
                taken |= {name.name.split(".")[0] for name in node.names}
            elif isinstance(node, ast.ImportFrom):
                taken.add(str(node.module).split(".")[0])
    own = {file.stem for file in DEMO.glob("*.py")}
    assert taken - own - sys.stdlib_module_names == {
        *("numpy", "shapely", "geopandas", "pandas", "pyogrio"),
        *("rasterio", "scipy", "PIL"),  # these for the photo
    }


def test_folder_is_small():
    assert sum(file.stat().st_size for file in DEMO.iterdir() if file.is_file()) < 4e6


# Ranges: common practice, no source.
def test_greens_have_the_usual_size(course):
    greens = course["greens"]
    on_holes = greens[greens["hole"].ne("practice")].area
    assert len(on_holes) == 18
    assert on_holes.between(350, 700).all()
    assert (greens["hole"] == "practice").sum() == 1
    assert 0.9e4 < greens.area.sum() < 1.2e4


def test_greens_are_round_shapes_taken_at_short_steps(course):
    """As walked with a receiver: half a metre to two metres from vertex to vertex, and no two greens alike."""
    greens = course["greens"].geometry
    steps = greens.length / (shapely.get_num_coordinates(greens.array) - 1)
    assert steps.between(0.5, 2.0).all()
    assert (4 * np.pi * greens.area / greens.length**2).between(0.65, 0.99).all()  # 1 is a circle
    assert greens.area.round(1).is_unique


def test_tees_have_the_usual_size(course):
    pads = course["tees"][course["tees"]["hole"] != "practice"]
    assert pads.groupby("hole").size().between(3, 4).all()
    assert pads[pads.is_valid].area.between(80, 250).all()
    assert 0.9e4 < course["tees"].area.sum() < 1.2e4


def test_fairways_bunkers_and_land_have_the_usual_size(course):
    bunkers = course["bunkers"]
    sand = bunkers[bunkers.geom_type == "Polygon"]
    rough = course["rough"]
    assert 8e4 < course["fairways"].area.sum() < 14e4
    assert 45 <= len(bunkers) <= 65
    assert sand.area.between(30, 200).all()
    assert 45e4 < rough[rough["kind"].isin(["ROUGH", "YARD"])].union_all().area < 55e4
    assert set(course["water"]["sort"]) == {"pond", "burn"}


# Share of the land of an 18-hole course, by surface. Golf Course Superintendents Association of America, "Golf course
# management facts for tour events": teeing areas 2 %, putting greens 2 %, fairways 23 % (percentages of a facility).
# Bunkers 1.6 %: W. D. Gelernter, L. J. Stowell, M. E. Johnson and C. D. Brown, "Documenting trends in land-use
# characteristics and environmental stewardship programs on US golf courses", Crop, Forage & Turfgrass Management, 2017.
# That the demo should lie within a half of them is our own choice.
@pytest.mark.parametrize(("layer", "share"), [("tees", 0.02), ("greens", 0.02), ("fairways", 0.23), ("bunkers", 0.016)])
def test_surfaces_take_the_usual_share_of_the_land(course, layer, share):
    rough = course["rough"]
    land = rough[rough["kind"].isin(["ROUGH", "YARD"])].union_all().area
    assert 0.5 * share < course[layer].geometry.make_valid().union_all().area / land < 1.5 * share


# Hole lengths for men [m]: The R&A and USGA, Rules of Handicapping (2020), appendix F "Establishing par".
PAR_LENGTHS = {3: (0, 240), 4: (220, 450), 5: (410, 650)}


def test_holes_have_the_length_their_par_asks_for(course):
    for hole in course["hole_lines"].itertuples():
        low, high = PAR_LENGTHS[hole.par]
        assert low < hole.geometry.length < high, hole.hole


def test_round_is_of_the_usual_length(course):
    """Common practice, no source: par about 71 or 72, 5,900 to 6,300 m."""
    lines = course["hole_lines"]
    assert list(lines["hole"]) == [str(number) for number in range(1, 19)]
    assert lines["par"].sum() in (70, 71, 72, 73)
    assert 5900 < lines.length.sum() < 6300


def test_every_hole_runs_from_one_tee_to_one_green(course):
    for line in course["hole_lines"].itertuples():
        start, end = (shapely.Point(line.geometry.coords[i]) for i in (0, -1))
        greens, tees = course["greens"].contains(end), course["tees"].contains(start)
        assert greens.sum() == 1, line.hole
        assert tees.sum() == 1, line.hole
        assert course["greens"].loc[greens, "hole"].fillna(line.hole).tolist() == [line.hole]
        assert course["tees"].loc[tees, "hole"].tolist() == [line.hole]


def test_next_tee_is_a_short_walk_away(course):
    """Common practice, no source: under 100 m from green to tee."""
    legs = course["hole_lines"].geometry
    for here, after in itertools.pairwise(legs):
        assert shapely.Point(here.coords[-1]).distance(shapely.Point(after.coords[0])) < 100


def test_holes_keep_out_of_each_others_way(course):
    """No hole's mown ground lies on another's, and tees, greens and bunkers lie on nothing but their own fairway."""
    kinds = ("greens", "tees", "approaches", "fairways", "collars", "bunkers")
    shapes = [
        (layer, row.hole, row.geometry)
        for layer in kinds
        for row in course[layer].itertuples()
        if row.geometry.geom_type == "Polygon" and row.geometry.is_valid
    ]
    own = {frozenset({"greens", "fairways"}), frozenset({"approaches", "fairways"}), frozenset({"bunkers", "fairways"})}
    tree = shapely.STRtree([shape for *_, shape in shapes])
    for i, j in tree.query([shape for *_, shape in shapes], predicate="intersects").T:
        (layer, hole, shape), (other_layer, other_hole, other) = shapes[i], shapes[j]
        if i >= j or shape.equals(other) or shape.intersection(other).area < 0.05:
            continue
        assert frozenset({layer, other_layer}) in own, (layer, hole, other_layer, other_hole)
        assert hole is None or other_hole is None or hole == other_hole or "greens" in (layer, other_layer)


def test_paths_and_ponds_keep_off_greens_tees_and_bunkers(course):
    ponds = course["water"].query("sort == 'pond'")
    hard = shapely.union_all([course["paths"].union_all(), ponds.union_all()])
    for layer in ("greens", "tees", "bunkers", "approaches", "collars"):
        assert course[layer].geometry.buffer(0).intersection(hard).area.sum() < 0.01, layer


def test_everything_lies_on_the_land(course):
    land = course["rough"].union_all().buffer(0.05)
    for layer in PACKAGE[:-1]:
        assert shapely.within(course[layer].geometry.make_valid().array, land).all(), layer


# --- the flaws listed in the docstring of draw_course.py ---


def test_three_greens_carry_no_hole_number(course):
    blank = course["greens"]["hole"].isna()
    assert blank.sum() == 3
    assert set(course["hole_lines"]["hole"]) - set(course["greens"]["hole"]) == {"4", "11", "17"}


def test_five_fairways_run_on_under_approach_and_green(course):
    for layer, least in (("greens", 100), ("approaches", 100)):
        under = gpd.overlay(course["fairways"], course[layer], how="intersection", keep_geom_type=True)
        assert (under.area > least).sum() == 5, layer


def test_three_surrounds_lie_under_their_greens(course):
    under = gpd.overlay(course["surrounds"], course["greens"], how="intersection", keep_geom_type=True)
    assert (under.area > 100).sum() == 3


def touches_vertex_by_vertex(first, second) -> bool:
    """The border the two have in common runs through vertices of both, and through no other."""
    border = shapely.intersection(first.exterior, second.exterior)
    own, other, between = (
        {tuple(xy) for xy in shapely.get_coordinates(shape).round(4)} for shape in (first, second, border)
    )
    return border.length > 5 and between <= own & other


def test_neighbours_share_their_borders(course):
    approach, fairway, collar = (
        course[layer].set_index("hole").geometry for layer in ("approaches", "fairways", "collars")
    )
    assert touches_vertex_by_vertex(approach["1"], fairway["1"])
    assert touches_vertex_by_vertex(*fairway["14"])
    assert touches_vertex_by_vertex(*course["rough"].query("kind == 'ROUGH'").geometry)
    assert touches_vertex_by_vertex(approach["9"], collar["9"])


def test_semi_rough_lies_beneath_its_fairway(course):
    semi = course["rough"].query("kind == 'SEMI'").dissolve("hole").geometry
    fairways = course["fairways"].query("hole != 'practice'").dissolve("hole").geometry
    covered = fairways.intersection(semi.loc[fairways.index]).area / fairways.area
    assert (covered > 0.95).all()


def test_burn_runs_across_a_fairway(course):
    burn = course["water"].query("sort == 'burn'").geometry.iloc[0]
    assert (course["fairways"].intersection(burn).area > 20).sum() >= 1


def test_collars_are_drawn_for_seven_greens(course):
    assert len(course["collars"]) == 7
    assert set(course["collars"]["hole"]) < set(course["hole_lines"]["hole"])


def test_one_tee_is_a_bow_tie(course):
    crooked = course["tees"][~course["tees"].is_valid]
    assert len(crooked) == 1
    assert shapely.is_valid_reason(crooked.geometry.iloc[0]).startswith("Self-intersection")
    assert len(shapely.make_valid(crooked.geometry.iloc[0]).geoms) == 2


def test_nothing_else_is_broken(course):
    for layer, table in course.items():
        assert (~table.is_valid).sum() == (1 if layer == "tees" else 0), layer


def test_one_bunker_is_drawn_twice(course):
    texts = course["bunkers"].geometry.normalize().to_wkb()
    assert texts.duplicated().sum() == 1


def test_one_bunker_is_an_open_line(course):
    lines = course["bunkers"][course["bunkers"].geom_type == "LineString"]
    assert len(lines) == 1
    assert not lines.geometry.iloc[0].is_closed


def test_a_sliver_lies_between_a_surround_and_a_fairway(course):
    surrounds = course["surrounds"]
    slivers = surrounds[2 * surrounds.area / surrounds.length < 0.1]  # mean width of a long strip [m]
    assert len(slivers) == 1
    strip = slivers.geometry.iloc[0]
    assert (surrounds.drop(slivers.index).distance(strip) < 0.01).sum() == 1
    assert (course["fairways"].distance(strip) < 0.01).sum() == 1


def test_one_value_names_no_surface(course):
    meanings = next(layer for layer in read_settings(DEMO / "course.toml").layer if layer.layer == "rough").surfaces
    assert [kind for kind in course["rough"]["kind"] if kind not in meanings] == ["DUNE"]


# --- names, place and settings ---

INVENTED = {
    "Clubhouse and yard",
    "Halfway pond",
    "Marram bank",
    "Putting green",
    "Reed pond",
    "Sluice burn",
    "Top pond",
}
TRADE = r"(Green|Fairway|Practice fairway)( \d+)?( lower| upper)?|back|middle|forward|front|practice|(front|back) nine"


def test_no_name_but_trade_words_and_invented_ones(course):
    for layer, table in course.items():
        for column in {"name", "Name"} & set(table.columns):
            for name in table[column].dropna():
                assert name in INVENTED or re.fullmatch(TRADE, name), (layer, name)


def test_course_lies_in_the_open_sea(course):
    """
    Over 25 km from the nearest rock that carries a light.

    Eeragh light, outermost of the islands to the east: 53°08.909' N 09°51.402' W (Commissioners of Irish Lights).
    Slyne Head, the nearest point of the mainland: about 53.40° N 10.23° W (from memory).
    """
    x0, y0, x1, y1 = course["rough"].to_crs("EPSG:4326").total_bounds
    for lat, lon in ((53 + 8.909 / 60, -(9 + 51.402 / 60)), (53.40, -10.23)):
        for x, y in itertools.product((x0, x1), (y0, y1)):
            assert pyproj.Geod(ellps="WGS84").inv(lon, lat, x, y)[2] > 25_000


def test_lonlat_files_are_in_range_and_in_order():
    """RFC 7946, section 3.1.1 and 4, and OGC KML 2.3: longitude before latitude on WGS 84, in degrees."""
    for file in ("bunkers.geojson", "water.kml"):
        table = gpd.read_file(DEMO / file)
        assert table.crs == "EPSG:4326"
        x0, y0, x1, y1 = table.total_bounds
        assert -11 < x0 < x1 < -10
        assert 53 < y0 < y1 < 54


def test_settings_name_layers_and_columns_that_exist(course):
    settings = read_settings(DEMO / "course.toml")
    files = {"course.gpkg": None} | {file: layer for layer, file in FILES.items()}
    used = set()
    for entry in settings.layer:
        if entry.role in ("earlier", "places", "keep_off", "heads"):
            continue
        layer = entry.layer or files[entry.file]
        used.add(layer)
        for column in (entry.hole_from, entry.name_from, entry.surface_from):
            assert column is None or column in course[layer].columns, (layer, column)
        assert set(entry.surfaces.values()) | ({entry.surface} - {None}) <= set(SURFACES)
    assert used == {*PACKAGE, *FILES} - {"sprinklers"}  # drawn before heads had a layer of their own


def test_script_draws_the_committed_photo(redrawn):
    """To the noise of the JPEG tiles, which one library packs a little otherwise than another."""
    with rasterio.open(DEMO / "photo.tif") as committed, rasterio.open(redrawn / "photo.tif") as again:
        assert (committed.transform, committed.shape, committed.crs) == (again.transform, again.shape, again.crs)
        difference = np.abs(committed.read(out_dtype="int16") - again.read(out_dtype="int16"))
    assert difference.mean() < 1


def test_script_draws_the_committed_heights(redrawn):
    with rasterio.open(DEMO / "heights.tif") as committed, rasterio.open(redrawn / "heights.tif") as again:
        assert again.profile == committed.profile
        assert (again.scales, again.units) == (committed.scales, committed.units) == ((0.01,), ("m",))
        # a whole centimetre may fall the other way where another processor rounds differently
        assert np.abs(again.read(1).astype(int) - committed.read(1)).max() <= 1
    assert (DEMO / "heights.tif").stat().st_size < 1_000_000


def test_heights_are_those_of_a_course(course):
    """Common practice, no source: greens nearly level, approaches gentle, sand steep, one tee above a high bank."""
    with rasterio.open(DEMO / "heights.tif") as file:
        heights, transform = file.read(1) * 0.01, file.transform
        assert shapely.box(*file.bounds).contains(shapely.box(*course["rough"].total_bounds))
    down, across = np.gradient(heights)
    slope = np.degrees(np.arctan(np.hypot(down, across)))

    def on(shapes):
        return slope[geometry_mask(shapes, slope.shape, transform, invert=True)]

    greens, sand = course["greens"].buffer(-2), course["bunkers"][course["bunkers"].geom_type == "Polygon"].geometry
    assert np.quantile(on(greens), 0.95) < 3
    assert 10 < np.median(on(sand)) < 35
    mown = [*course["approaches"].buffer(-1), *course["tees"].make_valid().buffer(-1)]
    assert max(on([shape]).max() for shape in mown if not shape.is_empty) < 16
    high = course["tees"][course["tees"]["hole"] == "11"]
    assert max(on([tee.buffer(6)]).max() for tee in high.geometry) > 35


def test_photo_shows_the_whole_course_at_a_quarter_of_a_metre(course):
    with rasterio.open(DEMO / "photo.tif") as photo:
        assert photo.crs.to_epsg() == 2157
        assert photo.res == (0.25, 0.25)
        assert photo.count == 3
        land = course["rough"].union_all().bounds
        assert shapely.box(*photo.bounds).contains(shapely.box(*land))
    assert (DEMO / "photo.tif").stat().st_size < 3_000_000


def test_photo_shows_what_is_drawn(course):
    """Sand is the brightest ground, water the darkest; putting ground is brighter than what lies round it."""
    with rasterio.open(DEMO / "photo.tif") as photo:

        def brightness(shapes):
            values = photo.read().mean(axis=0)
            inside = geometry_mask(shapes[~shapes.is_empty], values.shape, photo.transform, invert=True)
            return float(np.median(values[inside]))

        sand, water = brightness(course["bunkers"].geometry.buffer(-1)), brightness(course["water"].geometry.buffer(-1))
        green, apron = brightness(course["greens"].geometry.buffer(-2)), brightness(course["collars"].geometry)
    assert sand > green + 30
    assert water < apron - 30
    assert green > apron + 10


# --- the older survey -----------------------------------------------------------------------------


def test_older_survey_is_redrawn(redrawn):
    again, there = (gpd.read_file(folder / "survey_2019.gpkg") for folder in (redrawn, DEMO))
    assert again.drop(columns="geometry").equals(there.drop(columns="geometry"))
    assert again.geometry.geom_equals_exact(there.geometry, tolerance=0.001).all()


def test_greens_were_larger_then_but_for_three(course):
    """Losses as in the trade: inches a year, some tenths of the area in decades; three greens kept their edge."""
    then, now = gpd.read_file(DEMO / "survey_2019.gpkg"), course["greens"]
    assert len(then) == len(now) - 1  # the practice green is younger
    pairs = then.sjoin(now[["geometry"]], predicate="intersects")
    lost = 1 - now.area.loc[pairs["index_right"]].to_numpy() / pairs.area.to_numpy()
    assert (abs(lost) < 0.005).sum() == 3
    assert ((lost > 0.015) & (lost < 0.12)).sum() == 15
    assert then.is_valid.all()


def test_older_greens_keep_off_the_sand(course):
    """No green ever ran into a bunker."""
    then = gpd.read_file(DEMO / "survey_2019.gpkg")
    assert not then.sjoin(course["bunkers"][["geometry"]].make_valid().to_frame("geometry"), how="inner").shape[0]


def test_the_cases_can_be_tried():
    from turfgis.estimates.cases import estimate_cases
    from turfgis.estimates.course import open_course
    from turfgis.settings.cases import read_cases

    cases = {case.name: case for case in estimate_cases(open_course(DEMO), read_cases(DEMO / "cases.toml"))}
    # two days at 1,450 EUR, 5 % for weather and breakdown, 20 % tax
    assert cases["no deep drilling"].cost.difference == pytest.approx(-2 * 1450 * 1.05 * 1.2, abs=0.011)
    assert all(case.cost.difference for case in cases.values())


def test_script_draws_the_committed_readings(redrawn):
    assert (redrawn / "moisture.csv").read_bytes() == (DEMO / "moisture.csv").read_bytes()


def test_script_draws_the_committed_drains(redrawn):
    assert (redrawn / "drains.geojson").read_bytes() == (DEMO / "drains.geojson").read_bytes()


@pytest.mark.parametrize("name", ["weather.csv", "forecast.csv", "meter.csv"])
def test_script_invents_the_committed_weather(redrawn, name):
    assert (redrawn / name).read_bytes() == (DEMO / name).read_bytes()


def test_the_weather_is_that_of_a_mild_wet_island():
    """Rain of 600 to 1,100 mm in a year, no frost in July, no heat: common knowledge of such coasts, no source."""
    rows = [line.split(",") for line in (DEMO / "weather.csv").read_text(encoding="utf-8").splitlines()[1:]]
    year = [row for row in rows if row[0].startswith("2026")]
    assert len(year) == 365
    assert 600 < sum(float(row[7]) for row in year) < 1100
    assert all(float(row[1]) > 5 for row in year if row[0][5:7] == "07")
    assert all(float(row[1]) < float(row[2]) < 30 for row in rows)
