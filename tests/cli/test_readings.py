"""``turfgis readings``: figures, zones and what is wrong with either."""

import json

import geopandas as gpd
import pytest

READING = """
[[reading]]
name = "moisture"
file = "moisture.csv"
unit = "%"
low = 20
on = ["green"]
"""


@pytest.fixture
def with_readings(folder):
    """The small course with readings on a lattice over its ground, wetter to the east."""
    settings = folder / "course.toml"
    settings.write_text(settings.read_text(encoding="utf-8") + READING, encoding="utf-8")
    rows = ["lon,lat,value"]
    for east in range(-20, 60):
        rows += [f"{-30 + 0.00005 * east:.6f},{40 + 0.00005 * north:.6f},{20 + 0.3 * east}" for north in range(-20, 60)]
    (folder / "moisture.csv").write_text("\n".join(rows), encoding="utf-8")
    return folder


def test_figures_by_patch(turfgis, with_readings):
    rows = json.loads(turfgis("readings", with_readings, "--format", "json").out)
    assert rows
    assert {row["surface"] for row in rows} == {"green"}
    assert set(rows[0]) == {"reading", "patch", "surface", "hole", "net_m2", "mean", "spread", "low_share"}
    said = turfgis("readings", with_readings)
    assert "moisture [%]" in said.out
    assert "under 20" in said.out
    assert rows[0]["patch"] in said.out
    assert turfgis("readings", with_readings, "--format", "csv").out.startswith("reading,patch,")


def test_zones_with_their_amounts(turfgis, with_readings, tmp_path):
    """Each amount is rate times area times the 1.6 t/m3 of the settings."""
    call = ("readings", with_readings, "--zones", 2, "--rates", "2 mm,1 mm", "--material", "sand")
    done = turfgis(*call, "-o", tmp_path / "zones.gpkg")
    assert done.code == 0
    layer = gpd.read_file(tmp_path / "zones.gpkg", layer="zones")
    depth = layer["zone"].map({1: 0.002, 2: 0.001})
    assert layer["amount_kg"].to_numpy() == pytest.approx((depth * layer["area_m2"] * 1600).to_numpy())
    assert layer.geometry.area.to_numpy() == pytest.approx(layer["area_m2"].to_numpy(), abs=0.01)
    total = layer["amount_kg"].sum() / 1000
    assert f"{total:.2f} t" in done.out.splitlines()[-2]
    assert turfgis(*call, "-o", tmp_path / "zones.tif").code == 0
    assert (tmp_path / "zones.tif").read_bytes()[:2] in (b"II", b"MM")


def test_the_map_has_a_layer_with_its_own_legend(turfgis, with_readings, tmp_path):
    assert turfgis("map", with_readings, "-o", tmp_path / "a").code == 0
    page = (tmp_path / "a" / "map.html").read_text(encoding="utf-8")
    assert "data:image/png;base64,iVBOR" in page
    assert '"label":"moisture"' in page
    assert '"legend":[["#' in page


@pytest.mark.parametrize(
    ("given", "said"),
    [
        (("--name", "moistre"), "did you mean 'moisture'?"),
        (("--zones", 3), "--zones needs --rates"),
        (("--zones", 3, "--rates", "2 mm,1 mm"), "--zones 3 needs 3 rates"),
        (("--rates", "2 mm,1 kg"), "--rates"),
        (("--rates", "2 mm,-1 mm"), "below zero"),
        (("--rates", "2 mm,1 mm", "--on", "gren"), "--on gren: the course has none"),
        (("--rates", "2 mm,1 mm", "--material", "bent"), "no sand of that name"),
        (("-o", "a.gpkg"), "does not write .gpkg"),
    ],
)
def test_wrong_calls_get_one_message(turfgis, with_readings, given, said):
    done = turfgis("readings", with_readings, *given)
    assert done.code == 2
    assert said in done.err
    assert "Traceback" not in done.err


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (("low = 20", 'low = "dry"'), "reading"),
        (("[[reading]]", "[reading]"), "[[reading]]"),
        (('on = ["green"]', 'on = ["gren"]'), "did you mean 'green'"),
        (("moisture.csv", "away.csv"), "away.csv: no such file for the readings 'moisture'"),
        (('unit = "%"', 'units = "%"'), "did you mean 'unit'"),
    ],
)
def test_wrong_settings_get_one_message(turfgis, with_readings, change, said):
    settings = with_readings / "course.toml"
    settings.write_text(settings.read_text(encoding="utf-8").replace(*change), encoding="utf-8")
    done = turfgis("readings", with_readings)
    assert done.code == 2
    assert said in done.err


def test_two_of_one_name(turfgis, with_readings):
    settings = with_readings / "course.toml"
    settings.write_text(settings.read_text(encoding="utf-8") + READING, encoding="utf-8")
    assert "two readings have the name 'moisture'" in turfgis("readings", with_readings).err


def test_a_course_without_readings(turfgis, folder):
    done = turfgis("readings", folder)
    assert done.code == 2
    assert "there is no [[reading]]" in done.err


def test_check_tells_of_readings_of_another_place(turfgis, with_readings):
    (with_readings / "moisture.csv").write_text("lon,lat,value\n5,50,20\n", encoding="utf-8")
    done = turfgis("check", with_readings, "--format", "json")
    assert done.code == 1
    assert "reading_elsewhere" in [finding["code"] for finding in json.loads(done.out)["findings"]]
