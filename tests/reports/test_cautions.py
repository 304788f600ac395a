"""Which cautions stand on which sheet."""

import pytest

from turfgis.reports.cautions import CAUTIONS, SHEETS, order_cautions, sheet_cautions


@pytest.mark.parametrize(
    ("sheet", "words"),
    [
        ("sand", ["silica", "mask", "national limit", "pipes, cables", "heavy", "lift"]),
        ("seed", ["label", "lift"]),
        ("fertiliser", ["label", "rules of the place", "water", "not advice"]),
        ("mowing", ["first guess", "10 %", "40 %", "manual", "trained"]),
        ("areas", ["permit nothing", "surveyed"]),
        ("map", ["permit nothing", "Nothing here shows"]),
        ("drops", ["silica", "soft or wet"]),
    ],
)
def test_each_sheet_says_what_can_hurt(sheet, words):
    text = " ".join(sheet_cautions(sheet))
    assert [word for word in words if word not in text] == []


def test_every_caution_is_on_some_sheet():
    assert {key for keys in SHEETS.values() for key in keys} == set(CAUTIONS)


def test_the_courses_own_come_first_and_none_twice(small_order):
    said = sheet_cautions("sand", "drops", more=["Mind the geese.", CAUTIONS["sand_dust"]])
    assert said[0] == "Mind the geese."
    assert len(said) == len(set(said))
    assert order_cautions(small_order)[0] == CAUTIONS["sand_dust"]
