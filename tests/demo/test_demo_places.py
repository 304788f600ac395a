"""The places of the demo: of every kind, on the course, with a history, readable without a finding."""

import subprocess
import sys
from datetime import date
from pathlib import Path

import pytest

from turfgis.estimates.course import open_course
from turfgis.estimates.place_work import place_findings, place_work
from turfgis.estimates.places import watched_places
from turfgis.layers.place_words import KINDS

DEMO = Path(__file__).resolve().parents[2] / "demo_layers"
DRAW = """
import sys
from pathlib import Path
sys.path.insert(0, sys.argv[1])
from draw_course import carry_to_grid, draw_ground
from places import draw_places
draw_places(draw_ground(), carry_to_grid, Path(sys.argv[2]))
"""


@pytest.fixture(scope="module")
def course():
    return open_course(DEMO)


def test_there_are_places_of_every_kind_on_the_course(course):
    table = course.places.table
    assert 20 <= len(table) <= 30
    assert set(table["kind"]) == set(KINDS)
    assert table["hole"].notna().all()
    assert (table["near_m"].dropna() < 20).all()  # one lies just beyond the drawn ground


def test_nothing_is_wrong_with_them(course):
    assert place_findings(course) == ()


def test_some_have_a_history_and_some_no_date(course):
    table = watched_places(course, date(2027, 5, 1))
    assert (table["looks"] > 1).sum() >= 5
    assert {"overdue", "due", "later", "no date"} <= set(table["state"])
    assert table["growth_m2_week"].notna().sum() >= 4


def test_some_wait_for_work_with_a_material(course):
    work, _ = place_work(course)
    assert {one.job.material for one in work} == {None, "bent_seed", "light_sand", "repair_turf"}


def test_they_are_drawn_the_same_each_time(tmp_path):
    for where in ("one", "two"):
        (tmp_path / where).mkdir()
        call = [sys.executable, "-B", "-c", DRAW, str(DEMO), str(tmp_path / where / "places.gpkg")]
        subprocess.run(call, check=True, timeout=300)
    for name in ("places.gpkg", "photo_hz-2.jpg"):
        assert (tmp_path / "one" / name).read_bytes() == (tmp_path / "two" / name).read_bytes()
