"""Files copied into the GeoPackage of a course: the same areas, the same settings but for where layers lie."""

import shutil
from pathlib import Path

import geopandas as gpd
import pyogrio
import pytest
import shapely

from turfgis.errors import InputError, LayerError
from turfgis.estimates.adopting import adopt
from turfgis.estimates.course import open_course
from turfgis.layers.versions import Altered, Store
from turfgis.measure.stored import ground_m2

DEMO = Path(__file__).resolve().parents[2] / "demo_layers"
EAST, NORTH = 441_000.0, 714_000.0


@pytest.fixture
def demo(tmp_path):
    return Path(shutil.copytree(DEMO, tmp_path / "demo", ignore=shutil.ignore_patterns("*.py", "__pycache__")))


def by_surface(folder):
    return open_course(folder).measured.patches.groupby("surface")["net_m2"].sum().to_dict()


def box(x, y=0.0, size=20.0):
    return shapely.box(EAST + x, NORTH + y, EAST + x + size, NORTH + y + size)


def drawn(shape):
    return gpd.GeoDataFrame({"hole": ["1"]}, geometry=[shape], crs="EPSG:2157")


def course(folder, layers):
    (folder / "course.toml").write_text(f'name = "A course"\n\n{layers}')
    return folder / "course.toml"


def test_the_demo_course_measures_the_same(demo):
    before, text = by_surface(demo), (demo / "course.toml").read_text(encoding="utf-8")
    copied = adopt(demo / "course.toml")
    assert [one.layer for one in copied][:3] == ["bunkers", "water", "paths"]
    assert by_surface(demo) == pytest.approx(before, abs=1e-6)
    now = (demo / "course.toml").read_text(encoding="utf-8")
    removed = [line for line in text.splitlines() if line not in now.splitlines()]
    assert removed == ['file = "bunkers.geojson"', 'file = "water.kml"', 'file = "paths.shp"']
    assert [line for line in now.splitlines() if "#" in line] == [line for line in text.splitlines() if "#" in line]
    assert (demo / "bunkers.geojson").exists()
    assert 'file = "survey_2019.gpkg"' in now
    with pytest.raises(InputError, match="nothing to copy"):
        adopt(demo / "course.toml")


def test_columns_and_numbers_come_along(demo):
    adopt(demo / "course.toml", ["bunkers.geojson"])
    theirs, ours = gpd.read_file(demo / "bunkers.geojson"), gpd.read_file(demo / "course.gpkg", layer="bunkers")
    for column in theirs.columns.drop("geometry"):
        assert ours[column].tolist() == theirs[column].tolist()
    assert shapely.equals_identical(ours.geometry.values, theirs.geometry.values).all()
    assert ours.crs.equals(theirs.crs)
    assert "paths.shp" in (demo / "course.toml").read_text(encoding="utf-8")


def test_what_was_copied_can_be_changed(demo):
    adopt(demo / "course.toml")
    store = Store.open(demo / "course.gpkg", ground_m2)
    before = by_surface(demo)["bunker"]
    bunker = store.shapes("bunkers").iloc[0]
    smaller = bunker.geometry.buffer(-1e-6 if bunker.geometry.bounds[0] < 180 else -0.5)
    smaller = shapely.get_parts(smaller)[0]
    change = store.change([Altered("bunkers", bunker["feature"], bunker["fingerprint"], smaller)], "me", "smaller")
    assert by_surface(demo)["bunker"] == pytest.approx(before + change.gained_m2, abs=0.01)
    store.undo("me")
    assert by_surface(demo)["bunker"] == pytest.approx(before, abs=1e-9)


def test_an_entry_for_all_layers_of_a_file_becomes_one_for_each(tmp_path):
    for name, x in (("greens", 0), ("tees", 50)):
        drawn(box(x)).to_file(tmp_path / "all.gpkg", layer=name)
    settings = course(tmp_path, '[[layer]]\nfile = "all.gpkg"   # the lot\nhole_from = "hole"\n')
    assert [(one.source, one.layer) for one in adopt(settings)] == [("greens", "greens"), ("tees", "tees")]
    assert settings.read_text().count("# the lot") == 2
    assert by_surface(tmp_path) == pytest.approx({"green": 399.9, "tee": 399.9}, abs=0.2)


def test_copies_are_not_taken_for_layers_that_were_there(tmp_path):
    """An entry for the whole GeoPackage would take the copy for one of its own."""
    gpd.GeoDataFrame({"hole": ["1"]}, geometry=[box(0)], crs="EPSG:2157").to_file(
        tmp_path / "course.gpkg", layer="greens"
    )
    drawn(box(50)).to_file(tmp_path / "tees.geojson")
    settings = course(tmp_path, '[[layer]]\nfile = "course.gpkg"\n\n[[layer]]\nfile = "tees.geojson"\n')
    before = by_surface(tmp_path)
    adopt(settings)
    assert by_surface(tmp_path) == pytest.approx(before, abs=1e-6)
    assert 'layer = "greens"' in settings.read_text()
    assert 'layer = "tees"' in settings.read_text()


def test_reference_systems_that_were_said_are_written_into_the_copy(tmp_path):
    rows = ["WKT;hole", f"{shapely.transform(box(0), lambda xy: xy[:, ::-1]).wkt};7"]
    (tmp_path / "greens.csv").write_text("\n".join(rows))
    settings = course(
        tmp_path, '[[layer]]\nfile = "greens.csv"\nsurface = "green"\ncrs = "EPSG:2157"\nswap_axes = true\n'
    )
    before = by_surface(tmp_path)
    adopt(settings)
    assert "crs" not in settings.read_text()
    assert "swap_axes" not in settings.read_text()
    assert by_surface(tmp_path) == pytest.approx(before, abs=1e-9)
    assert pyogrio.read_info(tmp_path / "course.gpkg", layer="greens")["crs"] == "EPSG:2157"


def test_a_walked_edge_becomes_an_area_and_heights_are_kept(tmp_path):
    points = "".join(
        f'<trkpt lat="{53.15 + dy / 1e4}" lon="{-10.37 + dx / 1e4}"><ele>4</ele></trkpt>'
        for dx, dy in ((0, 0), (3, 0), (3, 3), (0, 3), (0, 0.2))
    )
    (tmp_path / "green.gpx").write_text(
        f'<gpx version="1.1" creator="t"><trk><name>g</name><trkseg>{points}</trkseg></trk></gpx>'
    )
    high = shapely.Polygon([(x, y, 7.5) for x, y in box(0).exterior.coords])
    gpd.GeoDataFrame(geometry=[high], crs="EPSG:2157").to_file(tmp_path / "tees.fgb")
    settings = course(
        tmp_path,
        '[[layer]]\nfile = "green.gpx"\nlayer = "tracks"\nsurface = "green"\n\n[[layer]]\nfile = "tees.fgb"\n',
    )
    before = by_surface(tmp_path)
    adopt(settings)
    assert by_surface(tmp_path) == pytest.approx(before, abs=1e-6)
    layers = dict(pyogrio.list_layers(tmp_path / "course.gpkg"))
    assert layers["tees"] in ("Polygon Z", "Polygon")
    assert gpd.read_file(tmp_path / "course.gpkg", layer="tees").geometry[0].exterior.coords[0][2] == 7.5


@pytest.mark.parametrize("kind", ["osm", "geojson"])
def test_openstreetmap_keeps_its_names_and_its_paths(open_data, tmp_path, kind):
    file = next(iter(sorted((open_data / "golf").glob(f"*.{kind}"))), None)
    if file is None:
        pytest.skip("no such OpenStreetMap file among the open data")
    shutil.copyfile(file, tmp_path / f"extract.{kind}")
    settings = course(tmp_path, f'[[layer]]\nfile = "extract.{kind}"\n')
    before = open_course(tmp_path).measured
    adopt(settings)
    after = open_course(tmp_path).measured
    assert after.patches["net_m2"].sum() == pytest.approx(before.patches["net_m2"].sum(), abs=1e-6)
    assert sorted(after.patches["patch"]) == sorted(before.patches["patch"])
    assert len(after.hole_lines) == len(before.hole_lines)
    assert len(after.path_lines) == len(before.path_lines)
    table = gpd.read_file(tmp_path / "course.gpkg")
    assert table["osm_id"].str.match(r"(node|way|relation)/-?\d+").all()
    assert "@id" not in table


def test_a_file_that_cannot_be_read_changes_nothing(tmp_path):
    gpd.GeoDataFrame({"hole": ["1"]}, geometry=[box(0)], crs="EPSG:2157").to_file(
        tmp_path / "course.gpkg", layer="greens"
    )
    settings = course(
        tmp_path,
        '[[layer]]\nfile = "course.gpkg"\nlayer = "greens"\n\n[[layer]]\nfile = "gone.geojson"\nsurface = "tee"\n',
    )
    before = settings.read_bytes()
    with pytest.raises(LayerError, match="gone"):
        adopt(settings)
    assert settings.read_bytes() == before
    assert pyogrio.list_layers(tmp_path / "course.gpkg")[:, 0].tolist() == ["greens"]
