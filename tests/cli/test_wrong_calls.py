"""Calls that cannot be done: exit code 2 and one message that says what to do. The slips are those that people make."""

import pytest

CALLS = {
    # words behind turfgis; what the message says. {links} is the course folder.
    "unknown command": (["aeras", "{links}"], ["no command 'aeras'", "Did you mean 'areas'?", "report"]),
    "unknown command, nothing near": (["xyz"], ["no command 'xyz'", "start, check, areas"]),
    "no course": (["areas"], ["Missing argument 'COURSE'", "turfgis areas --help"]),
    "unknown option": (["areas", "{links}", "--groups", "x"], ["--groups", "turfgis areas --help"]),
    "unknown way to sort": (["areas", "{links}", "--by", "hol"], ["'hol'", "'surface', 'hole', 'patch'"]),
    "unknown format": (["areas", "{links}", "--format", "xml"], ["'xml'", "'table', 'csv', 'json'"]),
    "unknown units": (["areas", "{links}", "--units", "imperial"], ["'imperial'", "'metric', 'us'"]),
    "no such file": (["areas", "nowhere.gpkg"], ["nowhere.gpkg: no such file or folder"]),
    "no such settings": (["areas", "nowhere.toml"], ["nowhere.toml: no such file"]),
    "nothing": (["areas", ""], ["no course.toml in this folder"]),
    "folder without settings": (["areas", "."], ["no course.toml in this folder", "turfgis start"]),
    "not a drawing": (["areas", "README.md"], ["README.md: not a file of drawn shapes", "GeoPackage"]),
    "order without settings": (["order", "{links}/areas.geojson"], ["needs materials and jobs", "turfgis start"]),
    "mowing without settings": (["mowing", "{links}/areas.geojson"], ["no mower is described", "--width"]),
    "system for a course": (["areas", "{links}", "--crs", "EPSG:25832"], ["course.toml", 'crs = "EPSG:..."']),
    "axes for a course": (["areas", "{links}", "--swap-axes"], ["swap_axes = true"]),
    "unknown system": (["areas", "{links}/areas.geojson", "--crs", "rubbish"], ["rubbish", "EPSG:"]),
    "unknown group": (["order", "{links}", "--group", "renovtion"], ["no job has the group 'renovtion'", "spring"]),
    "unknown material": (["order", "{links}", "--material", "snad"], ["no material 'snad'", "sand, bent"]),
    "material of another group": (
        ["order", "{links}", "--group", "spring", "--material", "sand"],
        ["no job of the group 'spring' uses the material 'sand'"],
    ),
    "report of an unknown group": (["report", "{links}", "--group", "x"], ["no job has the group 'x'"]),
    "working as csv": (["order", "{links}", "--working", "--format", "csv"], ["--working", "json"]),
    # figures
    "hopper without a unit": (["report", "{links}", "--hopper", "800"], ["--hopper: '800' has no unit", "kg, t"]),
    "hopper by volume": (["report", "{links}", "--hopper", "1 m3"], ["--hopper", "not a mass"]),
    "hopper of nothing": (["report", "{links}", "--hopper", "0 kg"], ["--hopper 0 kg", "above zero"]),
    "empty hopper": (["report", "{links}", "--hopper", ""], ["--hopper", "number and a unit"]),
    "width without a unit": (["mowing", "{links}", "--width", "1"], ["--width: '1' has no unit", "m, in"]),
    "width of nothing": (["mowing", "{links}", "--width", "0 m"], ["--width 0 m", "above zero"]),
    "narrow width": (["mowing", "{links}", "--width", "4 cm"], ["a width of 4 cm", "overlap"]),
    "speed without a unit": (["mowing", "{links}", "--width", "1 m", "--speed", "5"], ["--speed", "km/h"]),
    "standing still": (["mowing", "{links}", "--width", "1 m", "--speed", "0 km/h"], ["--speed", "above zero"]),
    "overlap below zero": (
        ["mowing", "{links}", "--width", "1 m", "--overlap", "-5 cm"],
        ["--overlap", "zero or more"],
    ),
    "efficiency without a sign": (
        ["mowing", "{links}", "--width", "1 m", "--efficiency", "70"],
        ["--efficiency", "write 70 % or 0.7"],
    ),
    "efficiency above the whole": (
        ["mowing", "{links}", "--width", "1 m", "--efficiency", "170 %"],
        ["--efficiency", "100 %"],
    ),
    "widths without an end": (["mowing", "{links}", "--widths", "0.5,"], ["--widths 0.5,", "such as 0.46,0.56,1.5"]),
    "widths in kilograms": (["mowing", "{links}", "--widths", "1 kg,2"], ["--widths", "not a length"]),
    "width of nothing among others": (["mowing", "{links}", "--widths", "0,1"], ["--widths 0 m", "above zero"]),
    "turn in two ways": (
        ["mowing", "{links}", "--width", "1 m", "--turn", "9 s", "--turn-radius", "1 m"],
        ["--turn and --turn-radius"],
    ),
    "turn in metres": (["mowing", "{links}", "--width", "1 m", "--turn", "9 m"], ["--turn", "not a time"]),
    "half a round": (["mowing", "{links}", "--width", "1 m", "--clean-up", "0.5"], ["--clean-up 0.5", "0 to 20"]),
    "waiting all day": (["mowing", "{links}", "--width", "1 m", "--waiting", "100 %"], ["--waiting 100 %"]),
    "direction in words": (["mowing", "{links}", "--direction", "north"], ["--direction", "degrees from north"]),
    "shape of a machine that does not say how it turns": (
        ["mowing", "{links}", "--method", "shape"],
        ["mower", "time of a turn", "turn_radius"],
    ),
    "machine that is not there": (["mowing", "{links}", "--machine", "mowr"], ["did you mean 'mower'"]),
    "machine and width": (["mowing", "{links}", "--machine", "mower", "--width", "1 m"], ["--machine", "--width"]),
    "rota of no day": (["mowing", "{links}", "--rota", "2027-02-30"], ["--rota", "day that exists"]),
    "days of no rota": (["mowing", "{links}", "--days", "3"], ["--rota"]),
    "cut on no day": (["map", "{links}", "--cut", "monday"], ["--cut", "2026-03-14"]),
    "directions of no day": (["map", "{links}", "--directions", "3"], ["--cut"]),
    "speed of no machine": (["mowing", "{links}", "--speed", "6 km/h"], ["--speed", "give at least one --width"]),
    "surface of no machine": (["mowing", "{links}", "--on", "green"], ["--on", "give at least one --width"]),
    "surface that is not there": (
        ["mowing", "{links}", "--width", "1 m", "--on", "gren"],
        ["no gren was drawn; did you mean 'green'?"],
    ),
    "overthrow without a unit": (["areas", "{links}", "--overthrow", "1"], ["--overthrow: '1' has no unit"]),
    "overthrow inwards": (["areas", "{links}", "--overthrow", "-1 m"], ["--overthrow", "zero or more"]),
    "overthrow as patches": (["areas", "{links}", "--overthrow", "1 m", "-o", "x.gpkg"], ["--overthrow"]),
    # where it goes
    "into a folder": (["areas", "{links}", "-o", "{links}"], ["there is a folder"]),
    "below a file": (["areas", "{links}", "-o", "README.md/areas.csv"], ["is a file", "another with -o"]),
    "report into a file": (["report", "{links}", "-o", "README.md"], ["is a file", "another with -o"]),
    "formats that do not agree": (["areas", "{links}", "--format", "csv", "-o", "x.json"], ["do not agree"]),
    "format and workbook": (["areas", "{links}", "--format", "csv", "-o", "x.xlsx"], ["do not agree"]),
    "orders as a workbook": (["order", "{links}", "-o", "x.xlsx"], ["does not write .xlsx", ".csv, .json"]),
    "mowing as patches": (["mowing", "{links}", "-o", "x.gpkg"], ["does not write .gpkg"]),
    "over the settings": (["areas", "{links}", "-o", "{links}/course.toml"], ["does not write .toml"]),
    "over the drawing": (["areas", "{links}", "-o", "{links}/areas.geojson"], ["does not write .geojson"]),
    # start
    "start without files": (["start", "x"], ["Missing argument 'FILES...'", "turfgis start --help"]),
    "start from nothing": (["start", "x", "nowhere.shp"], ["nowhere.shp"]),
    "start again": (["start", "{links}", "{links}/areas.geojson"], ["is there already", "--replace"]),
}


@pytest.mark.parametrize(("words", "said"), CALLS.values(), ids=list(CALLS))
def test_one_message_says_what_to_do(words, said, turfgis, folder, tmp_path):
    (tmp_path / "README.md").write_text("# no drawing\n")
    before = {path: path.read_bytes() for path in folder.iterdir()}
    message = turfgis(*(word.replace("{links}", str(folder)) for word in words)).message
    for text in said:
        assert text in message
    assert {path: path.read_bytes() for path in folder.iterdir()} == before


def test_settings_that_are_wrong_list_all_that_is(turfgis, folder):
    settings = folder / "course.toml"
    text = settings.read_text(encoding="utf-8").replace("bulk_density", "bulk_densty").replace('"2 t"', '"2 ton"')
    settings.write_text(text, encoding="utf-8")
    said = turfgis("order", folder)
    assert (said.code, said.out) == (2, "")
    first, second = said.err.splitlines()
    assert first.startswith("turfgis: course.toml:10: material.sand.bulk_densty: unknown key")
    assert "did you mean 'bulk_density'?" in first
    assert second.startswith("course.toml:12: material.sand.load: a bare 'ton'")


def test_nothing_is_written_over_what_the_course_is_read_from(turfgis, folder):
    (folder / "areas.csv").write_text('kind,hole,WKT\ngreen,1,"POLYGON ((0 0, 1 0, 1 1, 0 0))"\n')
    settings = folder / "course.toml"
    text = settings.read_text(encoding="utf-8").replace("areas.geojson", "areas.csv")
    settings.write_text(text.replace('hole_from = "hole"', 'hole_from = "hole"\ncrs = "EPSG:25832"'), encoding="utf-8")
    before = (folder / "areas.csv").read_bytes()
    assert "what the course is read from" in turfgis("areas", folder, "-o", folder / "areas.csv").message
    assert (folder / "areas.csv").read_bytes() == before


def test_the_bare_word_shows_what_there_is(turfgis):
    said = turfgis()
    assert (said.code, said.out) == (2, "")
    assert said.err.startswith("Usage: turfgis [OPTIONS] COMMAND")
    assert all(name in said.err for name in ("start", "check", "areas", "order", "mowing", "map", "report"))


@pytest.mark.parametrize("command", ["start", "check", "areas", "order", "mowing", "map", "report"])
def test_every_command_helps(command, turfgis):
    said = turfgis(command, "--help")
    assert said.code == 0
    assert said.out.startswith(f"Usage: turfgis {command} ")
