"""Heads and cans of the demo: drawn the same each time, with the mistakes they say they have, and a night of them."""

import sys
from pathlib import Path

import pytest

DEMO = Path(__file__).resolve().parents[2] / "demo_layers"


@pytest.fixture(scope="module")
def drawn(tmp_path_factory):
    folder = tmp_path_factory.mktemp("drawn")
    sys.path.insert(0, str(DEMO))
    try:
        import draw_course
        import heads
    finally:
        sys.path.remove(str(DEMO))
    board = draw_course.draw_ground()
    heads.draw_heads(board, draw_course.carry_to_grid, draw_course.TURN, folder / "heads.geojson")
    heads.draw_cans(board, draw_course.carry_to_grid, folder / "catch_cans.csv")
    return folder


@pytest.mark.parametrize("name", ["heads.geojson", "catch_cans.csv"])
def test_drawn_as_committed(drawn, name):
    assert (drawn / name).read_text(encoding="utf-8") == (DEMO / name).read_text(encoding="utf-8")


def test_what_is_wrong_on_purpose_is_found():
    from turfgis.estimates.course import open_course
    from turfgis.estimates.heads import cover_of

    course = open_course(DEMO)
    cover = cover_of(course)
    assert cover is not None
    assert [one.code for one in course.head_findings] == ["head_no_flow", "head_repeated", "head_no_facing"]
    table = cover.table.set_index("patch")
    assert table.loc["green-07", "judged_by"] == "cans"
    assert (table["judged_by"] == "cans").sum() == 1
    greens = table[table["surface"] == "green"]
    assert (greens["missed_m2"] <= 0.02 * greens["net_m2"]).all()
    assert greens["low_quarter"].between(0.3, 0.95).all()
