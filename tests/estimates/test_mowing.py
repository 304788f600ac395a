"""
Minutes of mowing: handbook capacities through a course of known area, and what is typed to try a machine.

The capacities themselves, row by row, are in reference/test_machines.py.
"""

from math import sqrt

import pytest

from turfgis.errors import InputError, SettingsError
from turfgis.estimates.mowing import (
    Mower,
    estimate_mowing,
    idle_remarks,
    mower_remarks,
    mowers_of,
    mowers_tried,
    mowing_by_surface,
)

ACRE, FOOT, INCH, YARD = 4046.8564224, 0.3048, 0.0254, 0.9144


def machine(width, speed, efficiency, overlap="0 m", on='["fairway"]', name="mower"):
    return (
        f'[machine.{name}]\nwidth = "{width}"\nspeed = "{speed}"\nefficiency = "{efficiency}"\n'
        f'overlap = "{overlap}"\non = {on}\n'
    )


# what is typed; area worked in an hour, as printed, its unit [m2], half of its last digit
HANDBOOK = [
    # a trade magazine for grounds contractors, How To Calculate Hourly Mower Productivity: 60 in, 8.5 mph, 80 %
    pytest.param(("60 in", "8.5 mph", "80 %"), 4.12, ACRE, 0.005, id="ride-on-60-in"),
    pytest.param(("5 ft", "8.5 mph", "80 %"), 179_520, FOOT**2, 0.5, id="ride-on-60-in-square-feet"),
    # a page of worked answers (name left out), farm-machinery textbook problems
    pytest.param(("2 m", "8 km/h", "80 %"), 1.28, 1e4, 0.005, id="2-m"),
    pytest.param(("4 m", "4.5 km/h", "70 %"), 1.26, 1e4, 0.005, id="4-m"),
    # Iowa State University Extension, PM 696, Estimating Field Capacity of Farm Machines, 2001
    pytest.param(("40 ft", "6 mph", "70 %"), 20.4, ACRE, 0.05, id="spreader-40-ft"),
    # a general farm arithmetic page (name left out): metric rows
    pytest.param(("2.5 m", "5 km/h", "85 %"), 1.06, 1e4, 0.005, id="2.5-m"),
]


@pytest.mark.parametrize(("typed", "printed", "unit", "half"), HANDBOOK)
def test_the_area_of_an_hour_takes_an_hour(typed, printed, unit, half, course):
    side = sqrt(printed * unit)
    opened = course(machine(*typed), [("fairway", "1", side, side)])
    (row,) = mowing_by_surface(estimate_mowing(opened, mowers_of(opened)))
    assert row["cutting_minutes"] == pytest.approx(60, rel=half / printed)
    assert row["net_m2"] == pytest.approx(printed * unit, rel=1e-8)


def test_a_plot_as_printed(course):
    # a general arithmetic page (name left out): 550 square yards, 42 in, 1.5 ft/s, 75 %: 20.95 min
    opened = course(machine("42 in", f"{1.5 * FOOT} m/s", "75 %"), [("fairway", "1", 22 * YARD, 25 * YARD)])
    (row,) = mowing_by_surface(estimate_mowing(opened, mowers_of(opened)))
    assert row["cutting_minutes"] == pytest.approx(20.95, abs=0.005)
    # once round the edge: 94 yards at half a yard a second
    assert row["clean_up_minutes"] == pytest.approx(94 / 0.5 / 60, rel=1e-6)
    assert row["minutes"] == row["cutting_minutes"] + row["clean_up_minutes"]


def test_overlap_narrows_the_machine(course):
    # an implement retailer's note (name left out): a 60 in deck with 6 in of overlap and 10 % of turning works at
    # about 80 % of width times speed
    opened = course(machine("60 in", "3.6 km/h", "90 %", "6 in"))
    (row,) = mowing_by_surface(estimate_mowing(opened, mowers_of(opened)))
    assert 5000 / (60 * INCH) / 60 / row["cutting_minutes"] == pytest.approx(0.80, abs=0.015)


def test_each_machine_cuts_its_own_surfaces(course):
    tables = machine("1 m", "3.6 km/h", "50 %", on='["green"]', name="small") + machine(
        "2 m", "3.6 km/h", "50 %", on='["green", "fairway"]', name="large"
    )
    opened = course(tables)
    rows = mowing_by_surface(estimate_mowing(opened, mowers_of(opened)))
    assert [(row["surface"], row["machine"], row["patches"], row["width_m"]) for row in rows] == [
        ("green", "small", 2, 1.0),
        ("green", "large", 2, 2.0),
        ("fairway", "large", 1, 2.0),
    ]
    # 10,000 m2 / (1 m/s x 0.5 x width); edges of 280 and 320 m
    assert [row["cutting_minutes"] for row in rows] == pytest.approx([20_000 / 60, 10_000 / 60, 5000 / 60], rel=1e-7)
    assert [row["clean_up_minutes"] for row in rows] == pytest.approx([10, 10, 5], rel=1e-6)


def test_a_machine_for_ground_that_is_not_there_has_nothing_to_cut(course):
    opened = course(machine("1 m", "3.6 km/h", "50 %", on='["tee"]'))
    assert mowing_by_surface(estimate_mowing(opened, mowers_of(opened))) == []
    (said,) = idle_remarks(opened, mowers_of(opened))
    assert said == "mower: nothing to cover, since no tee was drawn (there are: green, fairway)"


def test_trying_widths(course):
    opened = course(
        rectangles=[("green", "1", 40.0, 100.0), ("bunker", "1", 10.0, 10.0), ("fairway", "1", 50.0, 100.0)]
    )
    mowers = mowers_tried(opened, {"1.55 m": 1.55, "61 in": 61 * INCH}, 1.0, 0.05, 0.7)
    assert [(mower.name, mower.on) for mower in mowers] == [
        ("mower of 1.55 m", ("green", "fairway")),  # whatever is mown; a bunker is not
        ("mower of 61 in", ("green", "fairway")),
    ]
    assert [mower.width for mower in mowers] == [1.55, 61 * INCH]
    assert (mowers[0].overlap, mowers[0].speed, mowers[0].efficiency) == (0.05, 1.0, 0.7)
    (one,) = mowers_tried(opened, {"1.55 m": 1.55}, 1.0, 0.0, 1.0, on=["green"])
    assert one.on == ("green",)


def test_machines_that_cannot_be_tried(course):
    with pytest.raises(InputError, match=r"no gren was drawn; did you mean 'green'\? \(there are: green, fairway\)"):
        mowers_tried(course(), {"1 m": 1.0}, 1.0, 0.0, 1.0, on=["gren"])
    with pytest.raises(InputError, match=r"a width of 4 cm is not wider than the overlap of 0\.05 m"):
        mowers_tried(course(), {"1 m": 1.0, "4 cm": 0.04}, 1.0, 0.05, 1.0)


def test_odd_machines_are_remarked_on_with_their_source():
    usual, slow, lapping = (
        Mower(name, 2.0, overlap, 1.5, efficiency, ("green",))
        for name, overlap, efficiency in (("usual", 0.1, 0.75), ("slow", 0.1, 0.3), ("lapping", 1.0, 0.75))
    )
    assert mower_remarks([usual]) == []
    assert [text.split(":")[0] for text in mower_remarks([usual, slow, lapping])] == ["slow", "lapping"]
    assert "30 % lies below" in mower_remarks([slow])[0]
    assert "Source: " in mower_remarks([slow])[0]


def test_without_a_machine_it_is_told_what_to_write(course):
    with pytest.raises(SettingsError, match=r"\[machine.NAME\]"):
        mowers_of(course())
