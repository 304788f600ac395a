"""The program as a process: what it imports, where its output goes, what is left when it is stopped."""

import json
import os
import signal
import stat
import subprocess
import sys
import time

import pytest

HEAVY = (
    "geopandas",
    "pandas",
    "numpy",
    "shapely",
    "pyogrio",
    "pyproj",
    "pint",
    "pydantic",
    "folium",
    "typst",
    "rasterio",
)
LOADED = """
import sys
sys.argv = ["turfgis", *{words!r}]
from turfgis.cli import main
try:
    main()
except SystemExit:
    pass
print(*sorted(name for name in sys.modules if "." not in name), file=sys.stderr)
"""


def loaded(*words):
    done = subprocess.run(
        [sys.executable, "-c", LOADED.format(words=[str(word) for word in words])],
        capture_output=True,
        text=True,
        check=True,
    )
    return set(done.stderr.splitlines()[-1].split())


@pytest.mark.parametrize("words", [["--help"], ["--version"], ["aeras"], ["areas", "--help"], ["report", "--help"]])
def test_help_waits_for_no_library(words):
    assert not loaded(*words).intersection(HEAVY)


def test_areas_wait_for_no_map_and_no_settings_that_they_do_not_have(folder):
    assert not loaded("areas", folder / "areas.geojson").intersection(
        ("folium", "typst", "rasterio", "pydantic", "pint")
    )


def test_a_reader_who_has_read_enough_hears_nothing(process, folder):
    said = process("order", folder, "--working", shell="2> errors.txt | head -n 1; exit ${PIPESTATUS[0]}")
    assert (said.code, len(said.out.splitlines())) == (0, 1)
    assert "Traceback" not in said.err
    assert "Broken" not in said.err


@pytest.mark.skipif(not os.path.exists("/dev/full"), reason="no /dev/full on this system")
@pytest.mark.parametrize("words", [["areas"], ["areas", "--format", "csv"], ["check"], ["map"]])
def test_a_full_disk_behind_the_screen_is_told(words, process, folder):
    said = process(words[0], folder, *words[1:], shell="> /dev/full")
    assert said.code == 2
    assert "turfgis: cannot print the result: No space left on device" in said.err
    assert "Traceback" not in said.err
    assert "Exception ignored" not in said.err


def test_no_screen_at_all(process, folder):
    said = process("areas", folder, shell=">&-")
    assert said.code == 0
    assert "Traceback" not in said.err


@pytest.mark.parametrize("encoding", ["ascii", "cp1252", "utf-8"])
def test_a_screen_of_few_letters_still_gets_it_all(encoding, process, folder):
    settings = folder / "course.toml"
    text = settings.read_text(encoding="utf-8").replace("Invented Links", "Čáp ± Łąka")
    settings.write_text(text.replace('"1"', '"Č1"'), encoding="utf-8")
    environment = {"PYTHONIOENCODING": encoding, "LC_ALL": "C", "PYTHONUTF8": "0"}
    for words in (["areas", folder], ["order", folder, "--working"], ["check", folder]):
        said = process(*words, environment=environment)
        assert said.code == 0
        assert "Traceback" not in said.err
    assert "±" in process("areas", folder, environment=environment).out
    assert process("areas", "Čáp.gpkg", environment=environment).code == 2


def test_projection_data_that_another_program_names_does_no_harm(process, folder, tmp_path):
    environment = {"PROJ_DATA": str(tmp_path / "nowhere"), "PROJ_LIB": str(tmp_path / "nowhere")}
    assert process("areas", folder, environment=environment).out == process("areas", folder).out


TEXTS = ("map.html", "order_renovation_sand.json", "order_renovation_sand.pdf", "drop_list_renovation_sand.pdf")


def contents(where):
    """Files whose bytes depend on nothing but the input."""
    return [(where / name).read_bytes() for name in TEXTS]


def test_a_run_that_is_stopped_leaves_the_earlier_files_whole(process, folder, tmp_path):
    assert process("report", folder, "-o", "metric").code == 0
    begun = time.monotonic()
    assert process("report", folder, "--units", "us", "-o", "us").code == 0
    whole = time.monotonic() - begun  # a busy machine is given the time it takes
    metric, us = contents(tmp_path / "metric"), contents(tmp_path / "us")
    assert all(one != other for one, other in zip(metric, us, strict=True))
    stopped = 0
    for share in (0.1, 0.4, 0.7, 0.9):
        running = subprocess.Popen(
            [sys.executable, "-m", "turfgis", "report", str(folder), "--units", "us", "-o", "metric"],
            cwd=tmp_path,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
        )
        time.sleep(share * whole)
        running.send_signal(signal.SIGINT)
        _, said = running.communicate(timeout=60 + 10 * whole)
        stopped += running.returncode != 0
        if running.returncode == 130:
            assert "turfgis: stopped; no file was left half-written" in said.splitlines()
            assert "Traceback" not in said
        if contents(tmp_path / "metric") != metric:  # it was too late to stop it: then all are new
            assert contents(tmp_path / "metric") == us
            assert process("report", folder, "-o", "metric").code == 0
        assert not [path.name for path in (tmp_path / "metric").iterdir() if path.name.startswith(".unfinished")]
    assert stopped


@pytest.mark.skipif(not os.path.isdir("/proc/self"), reason="no /proc on this system")
def test_a_place_that_takes_no_files_is_told(process, folder):
    for words in (["areas", folder, "-o", "/proc/areas.csv"], ["report", folder, "-o", "/proc"]):
        said = process(*words)
        assert (said.code, said.out) == (2, "")
        assert "turfgis: cannot write to /proc" in said.err
        assert "Traceback" not in said.err


@pytest.mark.skipif(os.geteuid() == 0, reason="the administrator may write anywhere")
def test_a_folder_that_may_not_be_written_is_told(process, folder, tmp_path):
    locked = tmp_path / "locked"
    locked.mkdir()
    locked.chmod(stat.S_IRUSR | stat.S_IXUSR)
    for words in (
        ["areas", folder, "-o", locked / "a.csv"],
        ["report", folder, "-o", locked],
        ["map", folder, "-o", locked],
    ):
        said = process(*words)
        assert (said.code, said.out) == (2, "")
        assert f"cannot write to {locked}" in said.err
        assert "Traceback" not in said.err


def test_results_may_be_piped_into_another_program(process, folder):
    said = process("areas", folder, "--format", "json", shell="2> /dev/null | cat")
    assert {row["surface"] for row in json.loads(said.out)} == {"green", "fairway"}
