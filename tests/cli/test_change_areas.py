"""``turfgis change --areas`` as a person calls it."""

import csv
import io
import json

import geopandas as gpd
import pytest
import shapely

HOSTILE = "<img src=x onerror=alert(1)>"


@pytest.fixture
def older(folder, tmp_path):
    """The areas of ``folder`` as they were: the first green a metre larger all round, the second as it is."""
    drawn = gpd.read_file(folder / "areas.geojson")
    metres = drawn.to_crs(drawn.estimate_utm_crs())
    metres.loc[0, "geometry"] = metres.geometry[0].buffer(1.0, join_style="mitre")
    metres["name"] = HOSTILE
    file = tmp_path / "older.gpkg"
    metres.to_crs(4326).to_file(file, layer="areas")
    return file


def patches(said):
    return {row["patch"]: row for row in said.answer["patches"]}


def test_json_speaks_si(turfgis, folder, older):
    said = turfgis("change", "--areas", older, folder, "--surveyed", "2024-03-14", "--format", "json")
    assert said.code == 0
    row = patches(said)["green-01"]
    assert row["told"] == "changed"
    side = 0.0003 * 111_000  # near enough: the strip is a metre wide and about 4 (a + b) / 2 long
    assert row["lost_m2"] == pytest.approx(2 * (side + 0.77 * side) + 4, rel=0.02)
    assert row["retreat_m"] == pytest.approx(1.0, abs=0.002)
    assert row["old_surveyed"] == "2024-03-14"
    assert row["new_surveyed"] is None
    assert row["rate_m2_year"] is None  # the day of the newer survey is not known
    assert patches(said)["green-02"]["told"] == "no"
    assert said.answer["totals"][0]["surface"] == "green"


def test_a_change_in_words(turfgis, folder, older):
    said = turfgis("change", "--areas", older, folder, "--surveyed", "2024-03-14")
    (line,) = [line for line in said.out.splitlines() if line.startswith("No. 1 green has lost")]
    assert "since 14 March 2024, mean 1.00 m of edge" in line
    assert "No. 2 green: no change that can be told since 14 March 2024" in said.out
    assert all(len(line) <= 100 for line in said.out.splitlines())


def test_us_units_show_feet_and_leave_json_alone(turfgis, folder, older):
    shown = turfgis("change", "--areas", older, folder, "--units", "us")
    assert "mean 3.28 ft of edge" in shown.out
    metric, us = (
        turfgis("change", "--areas", older, folder, "--format", "json", "--units", units).answer
        for units in ("metric", "us")
    )
    assert metric == us


def test_csv_has_a_row_for_each_patch(turfgis, folder, older):
    said = turfgis("change", "--areas", older, folder, "--format", "csv")
    rows = list(csv.DictReader(io.StringIO(said.out)))
    assert {row["patch"] for row in rows} == {"green-01", "green-02", "fairway-02"}
    assert all(float(row["plus_minus_m2"]) > 0 for row in rows)


def test_layers_hold_what_the_table_says(turfgis, folder, older, tmp_path):
    table = patches(turfgis("change", "--areas", older, folder, "--format", "json"))
    said = turfgis("change", "--areas", older, folder, "-o", tmp_path / "change.gpkg")
    assert said.code == 0
    lost, strip, edge, changes = (
        gpd.read_file(tmp_path / "change.gpkg", layer=layer).set_index("patch")
        for layer in ("lost", "win_back", "edge_in", "changes")
    )
    green = table["green-01"]
    assert lost.geometry["green-01"].area == pytest.approx(green["lost_m2"], rel=1e-9)
    assert strip.geometry["green-01"].area == pytest.approx(green["win_back_m2"], rel=1e-9)
    assert edge.geometry["green-01"].length == pytest.approx(green["lost_edge_m"], rel=1e-9)
    assert changes.loc["green-01", "net_m2"] == pytest.approx(green["net_m2"], rel=1e-9)
    assert lost.crs.coordinate_operation.method_name == "Lambert Azimuthal Equal Area"


def test_a_map_and_a_sheet(turfgis, folder, older, tmp_path):
    for name in ("change.html", "change.pdf"):
        assert turfgis("change", "--areas", older, folder, "-o", tmp_path / name).code == 0
    page = (tmp_path / "change.html").read_text(encoding="utf-8")
    assert "Old edge, now further in" in page
    assert "lost " in page
    assert HOSTILE not in page
    assert (tmp_path / "change.pdf").read_bytes().startswith(b"%PDF")


def test_the_same_input_gives_the_same_bytes(turfgis, folder, older, tmp_path):
    for name in ("one.pdf", "two.pdf", "one.html", "two.html"):
        turfgis("change", "--areas", older, folder, "-o", tmp_path / name)
    for ending in ("pdf", "html"):
        assert (tmp_path / f"one.{ending}").read_bytes() == (tmp_path / f"two.{ending}").read_bytes()


def test_the_same_file_twice_is_no_change(turfgis, older):
    said = turfgis("change", "--areas", older, older, "--format", "json")
    assert {row["told"] for row in said.answer["patches"]} == {"no"}
    assert {row["net_m2"] for row in said.answer["patches"]} == {0}


def test_more_than_two_surveys(turfgis, folder, older):
    said = turfgis(
        *("change", "--areas", older, older, folder, "--format", "json"),
        *("--surveyed", "2019-03-14", "--surveyed", "2022-03-14"),
    )
    assert len(said.answer["surveys"]) == 3
    assert patches(said)["green-01"]["surveys"] == 3


def test_the_report_tells_what_changed_where_there_is_an_earlier_survey(turfgis, folder, older, tmp_path):
    assert turfgis("report", folder, "-o", tmp_path / "plain").code == 0
    assert not list((tmp_path / "plain").glob("change*"))
    (folder / "older.gpkg").write_bytes(older.read_bytes())
    layer = '[[layer]]\nfile = "older.gpkg"\nrole = "earlier"\nsurface_from = "kind"\nsurveyed = 2024-03-14\n'
    with (folder / "course.toml").open("a", encoding="utf-8") as settings:
        settings.write(layer)
    assert turfgis("report", folder, "-o", tmp_path / "all").code == 0
    assert {path.name for path in (tmp_path / "all").glob("change*")} == {"change.pdf", "change.gpkg"}
    # and it is compared with, not measured as part of the course
    assert (tmp_path / "all" / "areas.csv").read_bytes() == (tmp_path / "plain" / "areas.csv").read_bytes()


def far_away(folder, tmp_path):
    drawn = gpd.read_file(folder / "areas.geojson")
    drawn.translate(1.0, 0).to_frame("geometry").assign(kind="green").to_file(tmp_path / "far.geojson")
    return tmp_path / "far.geojson"


def points_only(folder, tmp_path):
    gpd.GeoDataFrame({"kind": ["green"]}, geometry=[shapely.Point(-30, 40)], crs=4326).to_file(
        tmp_path / "pins.geojson"
    )
    return tmp_path / "pins.geojson"


def without_crs(folder, tmp_path):
    drawn = gpd.read_file(folder / "areas.geojson")
    metres = drawn.to_crs(drawn.estimate_utm_crs())
    metres.geometry.to_frame("geometry").assign(kind="green").to_file(tmp_path / "bare.shp")
    (tmp_path / "bare.prj").unlink()
    return tmp_path / "bare.shp"


def broken(folder, tmp_path):
    (tmp_path / "broken.geojson").write_text(json.dumps({"type": "Nothing"}), encoding="utf-8")
    return tmp_path / "broken.geojson"


@pytest.mark.parametrize(
    ("make", "reason"),
    [
        (far_away, "surveys of different places"),
        (points_only, "no shape that can be an area"),
        (without_crs, "--crs"),
        (broken, "broken.geojson"),
    ],
)
def test_a_survey_that_cannot_be_compared(turfgis, folder, tmp_path, make, reason):
    assert reason in turfgis("change", "--areas", make(folder, tmp_path), folder).message


@pytest.mark.parametrize(
    ("words", "reason"),
    [
        (["--surveyed", "14.3.2024"], "--surveyed 14.3.2024: is not a day"),
        (["--surveyed", "2024-03-14", "--surveyed", "2025-03-14"], "--surveyed: given for 2, but 1 of the surveys"),
        (["--accuracy", "a foot"], "--accuracy: 'a foot' does not start with a number"),
        (["-o", "change.xlsx"], "does not write .xlsx files; it writes .txt, .csv, .json, .gpkg, .html, .pdf"),
        (["--set", "year=2027"], "belong to the budget"),
    ],
)
def test_calls_that_cannot_be_done(turfgis, folder, older, words, reason):
    assert reason in turfgis("change", "--areas", older, folder, *words).message


def test_one_survey_only(turfgis, folder):
    assert 'role = "earlier"' in turfgis("change", "--areas", folder).message


def test_words_of_areas_without_areas(turfgis, folder, older):
    assert "go with --areas" in turfgis("change", folder, folder, "--surveyed", "2024-03-14").message


def test_no_survey_is_written_over(turfgis, folder, older):
    before = older.read_bytes()
    assert "is what the course is read from" in turfgis("change", "--areas", older, folder, "-o", older).message
    assert older.read_bytes() == before
