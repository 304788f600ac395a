"""The rota: laws that it must keep. How many directions take turns is common practice, no source."""

from datetime import date, timedelta
from itertools import pairwise
from typing import Any

import numpy as np
import pytest
import shapely

from turfgis.errors import InputError
from turfgis.estimates.mowing import mowers_of
from turfgis.estimates.rota import compass, cut_lines, day_of_cut, rota

START = date(2027, 3, 1)
TURNED = (
    '[machine.mower]\nwidth = "1 m"\noverlap = "0.2 m"\nspeed = "3.6 km/h"\nturn = "10 s"\n'
    'on = ["green", "tee"]\ndirection = "turned"\n'
)
FIXED = '[machine.other]\nwidth = "2 m"\nspeed = "3.6 km/h"\nturn = "10 s"\non = ["fairway"]\ndirection = 30\n'


def cuts(days, **more) -> list[Any]:
    return [day_of_cut(START + timedelta(at), **more) for at in range(days)]


@pytest.mark.parametrize("directions", [1, 2, 3, 4, 5, 6, 7, 12])
def test_no_direction_returns_within_as_many_days(directions):
    lines = [cut.direction_deg % 180.0 for cut in cuts(60, directions=directions)]
    for at in range(60 - directions + 1):
        assert len(set(np.round(lines[at : at + directions], 6))) == directions
    assert sorted(set(np.round(lines, 6))) == pytest.approx([at * 180.0 / directions for at in range(directions)])


def test_wheel_lines_do_not_repeat():
    """A direction with the same start, run the same way, is eight turns away."""
    seen: dict[tuple, int] = {}
    for at, cut in enumerate(cuts(200)):
        key = (cut.direction_deg, cut.first_share)
        assert at - seen.get(key, -1000) >= 8 * 4
        seen[key] = at
    assert {cut.first_share for cut in cuts(200)} == {eighths / 8 for eighths in range(1, 9)}


def test_a_direction_comes_back_from_the_other_end():
    there, back = cuts(5)[0], cuts(5)[4]
    assert abs(there.direction_deg - back.direction_deg) == 180.0
    assert there.back != back.back


def test_clean_up_alternates():
    ways = [cut.clockwise for cut in cuts(30)]
    assert all(one != other for one, other in pairwise(ways))


def test_a_machine_with_its_own_direction_keeps_it():
    assert {cut.direction_deg for cut in cuts(10, direction=30.0)} == {30.0, 210.0}
    assert {cut.direction_deg for cut in cuts(10, direction="best")} == {None}


def test_it_goes_by_the_day_alone(course):
    opened = course(TURNED + FIXED)
    long, late = (
        rota(opened, mowers_of(opened), day, days).to_dict("records")
        for day, days in ((START, 20), (date(2027, 3, 11), 10))
    )
    assert long[-20:] == late
    assert len(long) == 20 * 2
    assert [row["surfaces"] for row in long[:2]] == ["green", "fairway"]  # no tee was drawn
    assert all(0 < row["first_pass_m"] <= 2.0 for row in long)


@pytest.mark.parametrize(("degrees", "words"), [(0, "north"), (44, "north-east"), (180, "south"), (337.5, "north")])
def test_winds(degrees, words):
    assert compass(degrees) == words


@pytest.mark.parametrize(("days", "directions"), [(0, 4), (367, 4), (7, 0), (7, 181)])
def test_what_cannot_be_is_refused(course, days, directions):
    opened = course(TURNED)
    with pytest.raises(InputError, match="write a number from 1 to"):
        rota(opened, mowers_of(opened), START, days, directions)


def test_lines_on_the_ground_point_the_way_of_the_day(course):
    opened = course(TURNED + FIXED)
    lines = cut_lines(opened, mowers_of(opened), START)
    assert lines["patch"].tolist() == ["green-01", "green-02", "fairway-01"]
    shapes = dict(zip(opened.measured.patches["patch"], opened.measured.patches.geometry, strict=True))
    for patch, degrees, line in zip(lines["patch"], lines["direction_deg"], lines.geometry, strict=True):
        shaft, _ = line.geoms
        (x0, y0), (x1, y1) = shapely.get_coordinates(shaft)
        assert np.degrees(np.arctan2(x1 - x0, y1 - y0)) % 360 == pytest.approx(degrees, abs=1e-6)
        assert shapes[patch].contains(line)
    assert lines["direction_deg"].tolist()[2] in (30.0, 210.0)
