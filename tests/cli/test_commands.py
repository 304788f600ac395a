"""Each command on a small course: what is asked for is what comes out, in the shapes that were agreed."""

import csv
import io
import re
import shutil
from pathlib import Path

import pytest
from openpyxl import load_workbook
from pyogrio import list_layers, read_dataframe

from turfgis.layers.findings import Finding

ROOT = Path(__file__).resolve().parents[2]
M2_PER_FT2 = 0.3048**2


def rows_of(text):
    return list(csv.DictReader(io.StringIO(text)))


@pytest.mark.parametrize("by", ["surface", "hole", "patch", "part"])
def test_areas_say_the_same_in_every_format(by, turfgis, folder):
    answer = turfgis("areas", folder, "--by", by, "--format", "json").answer
    rows = rows_of(turfgis("areas", folder, "--by", by, "--format", "csv").out)
    assert {by, "drawn_m2", "net_m2", "plus_minus_m2", "perimeter_m"} <= set(answer[0])
    # csv has four decimals
    assert [float(row["net_m2"]) for row in rows] == pytest.approx([row["net_m2"] for row in answer], abs=5e-5)
    table = turfgis("areas", folder, "--by", by)
    assert table.code == 0
    assert all(f"{row['net_m2']:,.0f}" in table.out for row in answer)
    assert "standard deviation 30 cm" in table.out


def test_areas_by_patch_and_hole_have_their_keys(turfgis, folder):
    by_patch = turfgis("areas", folder, "--by", "patch", "--format", "json").answer
    assert [(row["patch"], row["hole"]) for row in by_patch] == [
        ("green-01", "1"),
        ("green-02", "2"),
        ("fairway-02", "2"),
    ]
    by_hole = turfgis("areas", folder, "--by", "hole", "--format", "json").answer
    assert {(row["hole"], row["surface"]) for row in by_hole} == {("1", "green"), ("2", "green"), ("2", "fairway")}


def test_json_speaks_si_whatever_is_shown(turfgis, folder):
    metric, us = (turfgis("areas", folder, "--units", units, "--format", "json").answer for units in ("metric", "us"))
    assert metric == us
    table = turfgis("areas", folder, "--units", "us").out
    assert all(f"{row['net_m2'] / M2_PER_FT2:,.0f}" in table for row in metric)
    assert "ft2" in table
    assert "acre" in table


def test_areas_of_the_drawing_alone(turfgis, folder):
    with_settings = turfgis("areas", folder, "--format", "json").answer
    alone = turfgis("areas", folder / "areas.geojson", "--format", "json").answer
    assert [row["net_m2"] for row in alone] == pytest.approx([row["net_m2"] for row in with_settings])


def test_areas_with_the_ground_that_a_spreader_covers(turfgis, folder):
    (green, _) = turfgis("areas", folder, "--overthrow", "0.5 m", "--format", "json").answer
    # two squares: their edges times the reach, and a quarter circle at each of eight corners
    assert green["treated_m2"] - green["net_m2"] == pytest.approx(0.5 * green["perimeter_m"] + 1.5708, rel=1e-3)


def test_areas_as_a_workbook_and_as_patches(turfgis, folder, tmp_path):
    assert turfgis("areas", folder, "-o", "out/areas.xlsx").code == 0
    assert load_workbook(tmp_path / "out" / "areas.xlsx").sheetnames
    said = turfgis("areas", folder, "-o", "out/patches.gpkg")
    assert (said.code, said.out) == (0, "")
    assert said.err.splitlines()[-1] == "wrote out/patches.gpkg"
    file = tmp_path / "out" / "patches.gpkg"
    layers = [read_dataframe(file, layer=name) for name, _ in list_layers(file)]
    net = sum(row["net_m2"] for row in turfgis("areas", folder, "--format", "json").answer)
    assert sum(layer.area.sum() for layer in layers) == pytest.approx(net, rel=1e-9)


@pytest.mark.parametrize("words", [["areas"], ["check"], ["order"], ["mowing"]])
def test_the_file_decides_what_is_written(words, turfgis, folder, tmp_path):
    for shape, name in (("json", "a.json"), ("csv", "a.csv"), ("table", "a.txt"), ("table", "a")):
        printed = turfgis(*words, folder, "--format", shape).out
        said = turfgis(*words, folder, "-o", f"new/{name}")
        assert (said.code, said.out) == (0, "")
        assert said.err.endswith(f"wrote new/{name}\n")
        assert (tmp_path / "new" / name).read_bytes().decode("utf-8") == printed
    assert turfgis(*words, folder, "--format", "json", "-o", "new/b.txt").code == 0
    assert (tmp_path / "new" / "b.txt").read_bytes() == (tmp_path / "new" / "a.json").read_bytes()


def test_check_lists_what_was_found(turfgis, folder):
    said = turfgis("check", folder, "--format", "json")
    assert said.code == 0
    for finding in said.answer["findings"]:
        assert set(finding) >= {"level", "code", "file", "layer", "feature", "text"}
    (twice,) = said.answer["drawn_twice"]
    assert (twice["keeps"], twice["under"]) == ("green", "fairway")
    assert "Ground drawn twice" in turfgis("check", folder).out
    assert len(rows_of(turfgis("check", folder, "--format", "csv").out)) == len(said.answer["findings"])


def test_check_ends_with_one_where_there_are_errors(turfgis, folder, monkeypatch):
    found = [Finding(level, "covered", "areas.geojson", "areas", "", "Said.") for level in ("note", "error", "warning")]
    monkeypatch.setattr("turfgis.reports.outputs.overlap_findings", lambda overlaps: found)
    said = turfgis("check", folder, "--format", "json")
    assert said.code == 1
    assert [finding["level"] for finding in said.answer["findings"]] == ["error", "warning", "note"]
    monkeypatch.setattr("turfgis.reports.outputs.overlap_findings", lambda overlaps: found[::2])
    assert turfgis("check", folder).code == 0


def test_check_of_broken_files(turfgis, open_data, tmp_path):
    """Errors in the list and 1, none and 0, or one message and 2: whatever is broken, never a traceback."""
    for file in sorted(path for path in (open_data / "bad_geometry").rglob("*") if path.is_file()):
        settings = f'name = "Broken"\n[[layer]]\nfile = "{file.as_posix()}"\nsurface = "green"\n'
        (tmp_path / "course.toml").write_text(settings, encoding="utf-8")
        said = turfgis("check", tmp_path, "--format", "json")
        if said.code == 2:
            assert file.name in said.message
        else:
            assert said.code == any(finding["level"] == "error" for finding in said.answer["findings"]), file.name


def test_order_of_sand(turfgis, folder):
    said = turfgis("order", folder, "--group", "renovation", "--material", "sand", "--format", "json")
    order = said.answer
    assert {"lines", "dry_t", "delivered_t", "loads", "advised_loads"} <= set(order)
    for line in order["lines"]:
        assert set(line) >= {"patch", "surface", "hole", "net_m2", "treated_m2", "dry_t"}
        # 2 mm at 1.6 t/m3
        assert line["dry_t"] == pytest.approx(line["net_m2"] * 0.0032, rel=1e-9)
    assert order["dry_t"] == pytest.approx(sum(line["dry_t"] for line in order["lines"]))
    # moisture: mean of 2, 5 and 9 %
    assert order["delivered_t"] == pytest.approx(order["dry_t"] * (1 + 0.16 / 3))
    for choice in order["loads"]:
        assert choice["tonnes"] == pytest.approx(2 * choice["loads"])
    advised = [choice for choice in order["loads"] if choice["loads"] == order["advised_loads"]]
    assert [choice["chance_short"] <= 0.1 for choice in advised] == [True]


def test_order_of_seed(turfgis, folder):
    order = turfgis("order", folder, "--material", "bent", "--format", "json").answer
    assert order["kg"] == pytest.approx(sum(line["net_m2"] for line in order["lines"]) * 0.008)
    assert order["packs"] == -(-order["kg"] // 10)
    assert "loads" not in order


def test_all_orders_at_once(turfgis, folder):
    orders = turfgis("order", folder, "--format", "json").answer["orders"]
    assert [order["material"] for order in orders] == ["sand", "bent"]
    table = turfgis("order", folder).out
    assert "Sand" in table
    assert "Bent" in table
    rows = rows_of(turfgis("order", folder, "--format", "csv").out)
    assert [(row["material"], row["patch"]) for row in rows] == [
        (material, patch) for material in ("sand", "bent") for patch in ("green-01", "green-02")
    ]


@pytest.mark.parametrize(("units", "tonne", "pound"), [("metric", " t", " kg"), ("us", " US ton", " lb")])
def test_the_working_is_printed_when_it_is_asked_for(units, tonne, pound, turfgis, folder):
    plain, worked = turfgis("order", folder, "--units", units), turfgis("order", folder, "--units", units, "--working")
    assert "Source:" not in plain.out
    assert "area x layer x bulk density" in worked.out
    assert "Source:" in worked.out
    for unit in (tonne, pound):
        assert unit in worked.out
    steps = turfgis("order", folder, "--material", "sand", "--units", units, "--format", "json").answer["working"]
    assert steps[-1]["what"] == "whole loads"
    assert steps[-1]["result"] in worked.out


def test_mowing(turfgis, folder):
    (row,) = turfgis("mowing", folder, "--format", "json").answer
    assert {"surface", "machine", "width_m", "net_m2", "minutes"} <= set(row)
    # area / (1 m x 5 km/h x 0.7) + edge / 5 km/h
    hours = row["net_m2"] / (5000 * 0.7) + row["perimeter_m"] / 5000
    assert row["minutes"] - row["driving_minutes"] == pytest.approx(60 * hours)
    by_patch = turfgis("mowing", folder, "--by", "patch", "--format", "json").answer
    assert sum(one["minutes"] for one in by_patch) == pytest.approx(row["minutes"])
    table = turfgis("mowing", folder, "--units", "us").out
    assert "first guess" in table
    assert "ft" in table


def test_mowing_with_machines_that_are_tried(turfgis, folder):
    tried = ("--width", "1.55 m", "--width", "61 in", "--speed", "6 km/h", "--overlap", "10 cm", "--efficiency", "60 %")
    rows = turfgis("mowing", folder / "areas.geojson", *tried, "--on", "green", "--format", "json").answer
    assert [(row["machine"], row["surface"]) for row in rows] == [
        ("mower of 1.55 m", "green"),
        ("mower of 61 in", "green"),
    ]
    hours = rows[0]["net_m2"] / (1.45 * 6000 * 0.6) + rows[0]["perimeter_m"] / 6000
    assert rows[0]["minutes"] - rows[0]["driving_minutes"] == pytest.approx(60 * hours)


def test_mowing_in_the_shape_of_the_ground(turfgis, folder):
    """Rows as agreed: by patch, for each width, and what the next one gains."""
    asked = ("mowing", folder, "--widths", "0.5,1.0,20 in", "--overlap", "0 m", "--no-driving", "--on", "green")
    rows = turfgis(*asked, "--by", "patch", "--format", "json").answer
    keys = {"surface", "patch", "machine", "width_m", "passes", "length_m", "turns", "minutes", "method"}
    assert all(keys <= set(row) for row in rows)
    first = [row for row in rows if row["patch"] == rows[0]["patch"]]
    assert [row["width_m"] for row in first] == pytest.approx([0.5, 0.508, 1.0])
    assert first[0]["gain_minutes"] is None
    assert first[2]["gain_minutes"] == pytest.approx(first[1]["minutes"] - first[2]["minutes"])
    # passes over a square cover it once, whatever the width
    assert [row["length_m"] * row["width_m"] for row in first] == pytest.approx([first[0]["net_m2"]] * 3, rel=0.03)
    by_surface = turfgis(*asked, "--format", "json").answer
    assert sum(row["minutes"] for row in rows) == pytest.approx(sum(row["minutes"] for row in by_surface))
    table = turfgis(*asked).out
    assert "gain" in table
    assert "By the shape" in table


def test_mowing_says_which_method_and_what_does_not_fit(turfgis, folder):
    assert {row["method"] for row in turfgis("mowing", folder, "--format", "json").answer} == {"handbook"}
    wide = turfgis("mowing", folder, "--width", "60 m", "--on", "green", "--by", "patch", "--no-driving")
    assert wide.code == 0
    assert "nowhere wider than the machine" in wide.out
    (row,) = turfgis("mowing", folder, "--width", "1 m", "--on", "green", "--format", "json").answer
    assert row["method"] == "shape"


def test_rota(turfgis, folder):
    rows = turfgis("mowing", folder, "--direction", "turned", "--rota", "2027-04-05", "--format", "json").answer
    assert [row["date"] for row in rows] == [f"2027-04-{day:02d}" for day in range(5, 12)]
    assert len({row["direction_deg"] % 180 for row in rows[:4]}) == 4
    assert {row["clean_up"] for row in rows} == {"clockwise", "anticlockwise"}
    table = turfgis("mowing", folder, "--rota", "2027-04-05", "--days", "2").out
    assert "Keep off wet or frozen turf" in table
    assert rows_of(turfgis("mowing", folder, "--rota", "2027-04-05", "--format", "csv").out)[0]["machine"] == "mower"


def test_map_with_the_direction_of_cut(turfgis, folder, tmp_path):
    assert turfgis("map", folder, "--cut", "2027-04-05").code == 0
    assert "Direction of cut, 5 April 2027" in (tmp_path / "outputs" / "map.html").read_text(encoding="utf-8")
    assert turfgis("map", folder).code == 0
    assert "Direction of cut" not in (tmp_path / "outputs" / "map.html").read_text(encoding="utf-8")


def test_odd_machines_are_remarked_on_beside_the_result(turfgis, folder):
    said = turfgis("mowing", folder, "--width", "1 m", "--efficiency", "20 %", "--format", "json")
    assert said.code == 0
    assert "turfgis: mower of 1 m: 20 % lies below the published range" in said.err


def test_map(turfgis, folder, tmp_path):
    assert turfgis("map", folder).out == "wrote outputs/map.html\n"
    assert turfgis("map", folder, "-o", "elsewhere/course.html").code == 0
    for file in ("outputs/map.html", "elsewhere/course.html"):
        page = (tmp_path / file).read_text(encoding="utf-8")
        assert page.startswith("<!DOCTYPE html>")
        assert "Invented Links" in page


def test_report_writes_all_that_it_says(turfgis, folder, tmp_path):
    said = turfgis("report", folder, "-o", "all", "--hopper", "800 kg", "--date", "1 April")
    assert said.code == 0
    wrote = [line.removeprefix("wrote ") for line in said.out.splitlines()]
    found = [path for path in (tmp_path / "all").iterdir() if path.name != ".written"]  # its own list
    assert sorted(str(path.relative_to(tmp_path)) for path in found) == sorted(wrote)
    for name in (
        "map.html",
        "workbook.xlsx",
        "patches.gpkg",
        "areas.csv",
        "takeoff.json",
        "budget.txt",
        "budget.json",
        "findings.csv",
    ):
        assert f"all/{name}" in wrote
    assert {"all/order_renovation_sand.pdf", "all/drop_list_renovation_sand.pdf", "all/order_spring_bent.pdf"} <= set(
        wrote
    )
    assert "all/drop_list_spring_bent.pdf" not in wrote


def test_report_of_one_group(turfgis, folder):
    said = turfgis("report", folder, "--group", "spring", "-o", "spring")
    assert "spring/order_spring_bent.pdf" in said.out
    assert "renovation" not in said.out


def test_start_writes_settings_that_can_be_used(turfgis, folder, tmp_path):
    said = turfgis("start", "new", folder / "areas.geojson")
    assert said.code == 0
    assert (tmp_path / "new" / "course.toml").exists()
    again = turfgis("areas", "new", "--format", "json").answer
    assert again == turfgis("areas", folder, "--format", "json").answer


def test_what_start_proposes_can_be_used_without_its_signs(turfgis, folder, tmp_path):
    (tmp_path / "new").mkdir()
    for raster, name in (("photo", "from the air"), ("heights", "ground")):
        shutil.copy(ROOT / "demo_layers" / f"{raster}.tif", tmp_path / "new" / f"{name}.tif")
    turfgis("start", "new", folder / "areas.geojson")
    path = tmp_path / "new" / "course.toml"
    said = path.read_text(encoding="utf-8")
    assert '# [elevation]\n# file = "ground.tif"\n' in said
    assert '# [photo]\n# file = "from the air.tif"\n' in said
    lines = path.read_text(encoding="utf-8").splitlines()
    path.write_text("\n".join(re.sub(r"^# (?=\[|\w+ = )", "", line) for line in lines), encoding="utf-8")
    order = turfgis("order", "new", "--supplier", "the sand yard", "--format", "json").answer
    assert (order["account"], order["deliver_to"]) == ("1234", "sand bay behind the yard")
    assert [line["material"] for line in order["lines"]] == ["dressing_sand"]


def test_findings_are_told_beside_the_result(turfgis):
    said = turfgis("areas", ROOT / "demo_layers", "--format", "json")  # drawn with a bow-tie and a duplicate
    assert said.code == 0
    assert said.answer
    assert said.err.startswith("turfgis: ")
    assert said.err.endswith("warnings about the drawing; see 'turfgis check'\n")


@pytest.mark.parametrize("name", ["malta_marsa", "bahamas_new_providence", "bahamas_paradise_island"])
def test_areas_of_real_courses(name, turfgis, open_data):
    """Each metre counted once; how much was drawn twice is the same in both commands."""
    file = open_data / "golf" / f"{name}.geojson"
    rows = turfgis("areas", file, "--format", "json").answer
    assert all(row["net_m2"] <= row["drawn_m2"] * (1 + 1e-9) for row in rows)
    table, twice = turfgis("areas", file).out, turfgis("check", file, "--format", "json").answer["drawn_twice"]
    area = f"{sum(row['area_m2'] for row in twice):,.0f} m2 were drawn more than once"
    assert (area in table) == bool(twice)
    assert "OpenStreetMap contributors" in table
