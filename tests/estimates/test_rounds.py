"""
The round of a machine over rectangles in a row, 100 m apart, where its length can be told by hand.

Speeds, tanks and times are plain numbers of the checks, without a source.
"""

import pandas as pd
import pytest

from turfgis.errors import SettingsError
from turfgis.estimates.rounds import Carrier, driving_lengths, plan_round, with_driving

YARD = '[surface.yard]\nover = ["rough"]\n'
# 20 m of yard, then tees of 10, 20 and 30 m, each 100 m from the next
ROW = [("yard", None, 20.0, 10.0), ("tee", "1", 10.0, 10.0), ("tee", "2", 20.0, 10.0), ("tee", "3", 30.0, 10.0)]
TEES = ["tee-01", "tee-02", "tee-03"]
OUT = [100, 100 + 10 + 100, 100 + 10 + 100 + 20 + 100]  # from the yard to each, from edge to edge


@pytest.fixture
def row(course):
    return course(YARD, ROW)


def test_lengths_from_the_yard_and_between(row):
    lengths, over = driving_lengths(row, TEES)
    assert lengths[0, 1:] == pytest.approx(OUT, abs=0.01)
    assert lengths[1, 2:] == pytest.approx([100, 220], abs=0.01)
    assert not over.any()


def test_one_machine_goes_out_and_home_once(row):
    planned = plan_round(row, Carrier("mower", transport=2.0, set_up=300.0), dict.fromkeys(TEES, 600.0))
    assert planned.order in (TEES, TEES[::-1])
    # three gaps out, and home from the farthest over 330 m; what is crossed inside a patch is no driving
    assert planned.metres == pytest.approx(3 * 100 + 330, abs=0.05)
    assert sum(planned.set_up_s.values()) == pytest.approx(300.0)
    assert planned.longest_s == pytest.approx(3 * 600 + 630 / 2.0 + 300.0, abs=0.1)
    assert planned.refuels == 0


def test_without_a_yard_driving_begins_at_the_first_patch(course):
    opened = course("", ROW[1:])
    planned = plan_round(opened, Carrier("mower", transport=2.0, lasts=700.0), dict.fromkeys(TEES, 600.0))
    assert planned.metres == pytest.approx(200, abs=0.05)
    assert planned.yard == ""
    assert planned.refuels == 0  # there is nowhere to fetch fuel from


def test_two_machines_share_by_the_longest(row):
    planned = plan_round(row, Carrier("mower", transport=2.0, set_up=60.0, count=2), dict.fromkeys(TEES, 6000.0))
    # two tees for one of them; the least driving of those with the shortest longest round: 1 and 2 together
    assert sorted(map(sorted, planned.trips)) == [["tee-01", "tee-02"], ["tee-03"]]
    assert planned.metres == pytest.approx((100 + 100 + 210) + 2 * 330, abs=0.05)
    assert planned.longest_s == pytest.approx(12_000 + 410 / 2.0 + 60.0, abs=0.2)
    assert sum(planned.set_up_s.values()) == pytest.approx(2 * 60.0)
    assert sorted(planned.driver) == [0, 1]


def test_fuel_is_fetched_between_patches(row):
    # one tank lasts for two tees and the way: 2 x 600 + 410 / 2 = 1405 s
    carrier = Carrier("mower", transport=2.0, lasts=1450.0, refuel=120.0)
    planned = plan_round(row, carrier, dict.fromkeys(TEES, 600.0))
    assert len(planned.trips) == 2
    assert planned.refuels == 1
    assert planned.metres == pytest.approx(410 + 660, abs=0.05)
    assert sum(planned.refuelling_s.values()) == pytest.approx(120.0)
    assert planned.longest_s == pytest.approx(3 * 600 + (410 + 660) / 2.0 + 120.0, abs=0.2)


def test_fuel_is_fetched_in_the_middle_of_a_patch_that_outlasts_a_tank(row):
    # to the first tee and back takes 100 s, so 1000 s of work are done on one tank: 2500 s need three of them
    carrier = Carrier("mower", transport=2.0, lasts=1100.0, refuel=120.0)
    planned = plan_round(row, carrier, {"tee-01": 2500.0})
    assert planned.refuels == 2
    assert planned.metres == pytest.approx(3 * 200, abs=0.05)
    assert planned.longest_s == pytest.approx(2500 + 3 * 100 + 2 * 120, abs=0.5)


def test_a_tank_that_does_not_last_for_the_way_is_said_with_the_patch(row):
    with pytest.raises(SettingsError, match=r"machine 'mower': a tank lasts 5 min.*tee-03 and back"):
        plan_round(row, Carrier("mower", transport=2.0, lasts=300.0), dict.fromkeys(TEES, 10.0))


def test_drives_to_the_yard_to_empty_boxes_are_added(row):
    planned = plan_round(row, Carrier("mower", transport=2.0), dict.fromkeys(TEES, 600.0), {"tee-02": 2.0})
    # the round of 630 m, and twice 210 m there and back
    assert planned.metres == pytest.approx(630 + 4 * 210, abs=0.05)
    assert planned.longest_s == pytest.approx(3 * 600 + (630 + 840) / 2.0, abs=0.1)


def test_boxes_emptied_at_the_yard_are_driven_there(row):
    times = table().assign(emptying_minutes=[0.0, 4.0, 0.0])
    carriers = {"mower": Carrier("mower", transport=2.0, empties_in=120.0)}
    made, _ = with_driving(row, times, carriers)
    assert made["driving_m"].sum() == pytest.approx(630 + 4 * 210, abs=0.05)


def table(machine="mower", minutes=10.0):
    return pd.DataFrame(
        {
            **{"patch": TEES, "surface": "tee", "machine": machine, "width_m": 1.0},
            **{"cutting_minutes": minutes, "minutes": minutes},
        },
    )


def test_a_table_gets_each_part_and_the_whole(row):
    carriers = {"mower": Carrier("mower", transport=2.0, set_up=300.0)}
    made, remarks = with_driving(row, table(), carriers)
    assert made["driving_m"].sum() == pytest.approx(630, abs=0.05)
    assert made["driving_minutes"].sum() == pytest.approx(630 / 2.0 / 60, abs=0.01)
    assert made["set_up_minutes"].sum() == pytest.approx(5.0)
    assert made["minutes"].sum() == pytest.approx(30 + 5 + 630 / 120, abs=0.01)
    assert len(remarks) == 1
    assert remarks[0].startswith("Driving is from and to yard-none-1 (yard)")


def test_a_table_without_a_yard_says_so(course):
    made, remarks = with_driving(course("", ROW[1:]), table(), {"mower": Carrier("mower", transport=2.0)})
    assert made["driving_m"].sum() == pytest.approx(200, abs=0.05)
    assert "No yard is known" in remarks[0]


def test_a_machine_without_a_speed_between_patches_is_named(course):
    machine = '[machine.mower]\nwidth = "1 m"\nspeed = "4 km/h"\nefficiency = "70 %"\non = ["tee"]\n'
    for transport, said in (("", 1), ('transport = "12 km/h"\n', 0)):
        opened = course(YARD + machine + transport, ROW)
        _, remarks = with_driving(opened, table(), {"mower": Carrier("mower", transport=2.0)})
        assert sum("add transport to [machine.mower]" in remark for remark in remarks) == said


def test_ways_over_water_are_named(course):
    lake = [ROW[0], ("water", None, 30.0, 5000.0, -2500.0), ("tee", "1", 10.0, 10.0)]
    opened = course(YARD, lake)
    _, remarks = with_driving(opened, table().iloc[:1], {"mower": Carrier("mower", transport=2.0)})
    assert remarks[1].startswith("mower on tee: no way found that keeps off water, bunkers and greens")
    assert "tee-01 to the yard" in remarks[1]


def test_a_row_for_each_width_has_its_own_round(row):
    both = pd.concat([table(), table("other").assign(width_m=2.0)], ignore_index=True)
    carriers = {"mower": Carrier("mower", transport=2.0), "other": Carrier("other", transport=1.0)}
    made, _ = with_driving(row, both, carriers)
    assert made.groupby("machine")["driving_minutes"].sum().to_dict() == pytest.approx(
        {"mower": 630 / 120, "other": 630 / 60}, abs=0.01
    )
