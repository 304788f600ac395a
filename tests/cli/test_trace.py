"""``turfgis trace``: from points to a layer for a person to check."""

from pathlib import Path

import geopandas as gpd
import pytest

DEMO = Path(__file__).resolve().parents[2] / "demo_layers"
PHOTO = DEMO / "photo.tif"


@pytest.fixture(scope="module")
def inside():
    """A point inside each of two greens, in degrees."""
    greens = gpd.read_file(DEMO / "course.gpkg", layer="greens").dropna(subset="name").set_index("name")
    return greens.loc[["Green 1", "Green 2"]].representative_point().to_crs(4326)


def test_outlines_are_a_layer_that_says_where_it_comes_from(turfgis, inside, tmp_path):
    at = [f"--at={point.x:.7f},{point.y:.7f}" for point in inside]
    done = turfgis("trace", PHOTO, *at, "-o", tmp_path / "traced.gpkg")
    assert done.code == 0
    assert "2 of 2 outlines" in done.out
    assert "check the edges on the ground" in done.out
    assert "Neighbours mown alike" in done.out  # nor does a clear edge mean that the outline is that of one surface
    layer = gpd.read_file(tmp_path / "traced.gpkg", layer="traced")
    assert (layer["surface"] == "green").all()
    assert (layer["traced_from"] == "photo.tif").all()
    assert (layer["checked"] == "no").all()
    assert (layer["quality"].str.len() > 0).all()
    assert layer.geometry.area.to_numpy() == pytest.approx(layer["area_m2"].to_numpy(), abs=0.1)
    assert ((layer["plus_minus_m2"] > 0) & (layer["plus_minus_m2"] < 0.2 * layer["area_m2"])).all()
    # The layer is drawn input like any other.
    assert turfgis("areas", tmp_path / "traced.gpkg").code == 0


def test_points_out_of_a_table_and_what_cannot_be_traced(turfgis, inside, tmp_path):
    rows = [f"{point.x};{point.y};{name}" for name, point in inside.items()]
    (tmp_path / "points.csv").write_text("\n".join(["lon;lat;name", *rows, "-30;40;at sea"]), encoding="utf-8")
    done = turfgis("trace", PHOTO, "--points", tmp_path / "points.csv", "-o", tmp_path / "traced.geojson")
    assert done.code == 1
    assert "turfgis: at sea: the point lies outside the photo; not traced" in done.err
    layer = gpd.read_file(tmp_path / "traced.geojson")
    assert layer["name"].tolist() == ["Green 1", "Green 2"]
    assert layer.crs.to_epsg() == 4326


def test_outlines_beside_the_drawn_course(turfgis, inside, tmp_path):
    point = inside.iloc[0]
    at = f"--at={point.x},{point.y}"
    done = turfgis("trace", PHOTO, at, "--course", DEMO, "-o", tmp_path / "traced.gpkg")
    assert done.code == 0
    (row,) = gpd.read_file(tmp_path / "traced.gpkg").to_dict("records")
    assert row["patch"] == "green-01"
    assert row["overlap"] > 0.97
    assert "far from what is drawn" not in row["quality"]


def test_an_outline_of_another_place_is_far_from_what_is_drawn(turfgis, inside, tmp_path):
    # the first green is none of the tees: whatever its edge is like, it is no outline of one
    point = inside.iloc[0]
    given = (f"--at={point.x},{point.y}", "--course", DEMO, "--surface", "tee", "-o", tmp_path / "traced.gpkg")
    assert turfgis("trace", PHOTO, *given).code == 0
    (row,) = gpd.read_file(tmp_path / "traced.gpkg").to_dict("records")
    assert row["quality"].startswith("far from what is drawn; ")


@pytest.mark.parametrize(
    ("given", "said"),
    [
        ((), "nothing to start from"),
        (("--at", "north"), "--at north: write longitude and latitude"),
        (("--at", "53.4"), "--at 53.4: write longitude and latitude"),
        (("--at", "5,120"), "longitude comes first"),
        (("--at", "1,1"), "none of 1 points could be traced"),
        (("--points", "away.csv"), "away.csv"),
        (("--course", DEMO, "--surface", "gren"), "--surface gren: the course has none"),
        (("--at", "1,1", "-o", "traced.shp"), "outlines are written as .gpkg or .geojson"),
    ],
)
def test_wrong_calls_get_one_message(turfgis, given, said):
    done = turfgis("trace", PHOTO, *given)
    assert done.code == 2
    assert said in done.err
    assert "Traceback" not in done.err


def test_no_such_photo(turfgis):
    done = turfgis("trace", "away.tif", "--at", "1,1")
    assert done.code == 2
    assert done.err == "turfgis: away.tif: no such file\n"
