"""A small course of our own, and ways to call the program as a person does."""

import json
import os
import subprocess
import sys
from dataclasses import dataclass

import pytest

from turfgis.cli import main

SETTINGS = """
name = "Invented Links"
accuracy = "0.3 m"
[[layer]]
file = "areas.geojson"
surface_from = "kind"
hole_from = "hole"
[material.sand]
kind = "sand"
bulk_density = "1.6 t/m3"
moisture = { low = "2 %", likely = "5 %", high = "9 %" }
load = "2 t"
price = "42 EUR/t"
[material.bent]
kind = "seed"
pack = "10 kg"
[machine.mower]
width = "1 m"
speed = "5 km/h"
efficiency = "70 %"
on = ["green"]
[[job]]
name = "dress"
group = "renovation"
work = "topdress"
on = ["green"]
depth = "2 mm ± 12 %"
material = "sand"
[[job]]
name = "sow"
group = "spring"
work = "overseed"
on = ["green"]
rate = "8 g/m2"
material = "bent"
"""


def square(kind, hole, east, north, side=0.0003):
    west, south = -30.0 + east, 40.0 + north
    ring = [[0, 0], [1, 0], [1, 1], [0, 1], [0, 0]]
    ring = [[round(west + x * side, 7), round(south + y * side, 7)] for x, y in ring]
    shape = {"type": "Polygon", "coordinates": [ring]}
    return {"type": "Feature", "properties": {"kind": kind, "hole": hole}, "geometry": shape}


@pytest.fixture
def folder(tmp_path):
    """A course folder: two greens, one of them drawn over its fairway."""
    shapes = [
        square("green", "1", 0, 0),
        square("green", "2", 0.001, 0),
        square("fairway", "2", 0.0011, 0.0001, 0.0009),
    ]
    where = tmp_path / "links"
    where.mkdir()
    (where / "areas.geojson").write_text(json.dumps({"type": "FeatureCollection", "features": shapes}))
    (where / "course.toml").write_text(SETTINGS, encoding="utf-8")
    return where


@dataclass
class Said:
    """How a call ended."""

    code: int
    out: str
    err: str

    @property
    def answer(self):
        return json.loads(self.out)

    @property
    def message(self):
        """The one message of a call that cannot be done."""
        lines = [line for line in self.err.splitlines() if "about the drawing" not in line]
        assert (self.code, self.out, len(lines)) == (2, "", 1), self
        assert lines[0].startswith("turfgis: ")
        return lines[0]


@pytest.fixture
def turfgis(monkeypatch, capsys, tmp_path):
    """Call the program in this process, from a folder of its own."""
    monkeypatch.chdir(tmp_path)

    def call(*words):
        monkeypatch.setattr(sys, "argv", ["turfgis", *map(str, words)])
        with pytest.raises(SystemExit) as ended:
            main()
        captured = capsys.readouterr()
        return Said(ended.value.code or 0, captured.out, captured.err)

    return call


@pytest.fixture
def process(tmp_path):
    """Call it as a process of its own; ``shell`` holds what stands behind the words on a command line."""

    def call(*words, shell="", environment=None, wait=300):
        command = [sys.executable, "-m", "turfgis", *map(str, words)]
        if shell:
            command = ["bash", "-c", f'"$@" {shell}', "turfgis", *command]
        set_to = {**os.environ, **(environment or {})}
        done = subprocess.run(command, capture_output=True, env=set_to, cwd=tmp_path, timeout=wait, check=False)
        return Said(done.returncode, done.stdout.decode("utf-8"), done.stderr.decode("utf-8", "replace"))

    return call
