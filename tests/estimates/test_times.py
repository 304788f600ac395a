"""Time from shapes: closed forms on rectangles, by patch and by surface, in the take-off and in its spread."""

import numpy as np
import pytest

from turfgis.errors import InputError, SettingsError
from turfgis.estimates.mowing import estimate_mowing, mowers_of, mowers_tried, mowing_by_surface, summed, with_gains
from turfgis.estimates.takeoff import estimate_year
from turfgis.estimates.times import Mower, patch_times

# 1 m at 1 m/s, ten seconds a turn
PLAIN = '[machine.mower]\nwidth = "1 m"\nspeed = "3.6 km/h"\nturn = "10 s"\non = ["green"]\n'
GREEN = [("green", "1", 20.0, 30.0)]
CUT = '[[job]]\nname = "cut"\nwork = "mow"\non = ["green"]\nmachine = "mower"\ntimes = 3\n'


def row_of(opened, method=None):
    (row,) = estimate_mowing(opened, mowers_of(opened), method).to_dict("records")
    return row


def test_a_rectangle_by_the_shape(course):
    # a round of 2 x (19 + 29) m, then 18 passes of 28 m the long way: one turn between each of 19 stretches
    row = row_of(course(PLAIN, GREEN))
    assert (row["method"], row["fits"], row["passes"], row["turns"]) == ("shape", "yes", 18, 18)
    assert row["length_m"] == pytest.approx(96 + 18 * 28, rel=1e-6)
    assert row["passes_minutes"] == pytest.approx(18 * 28 / 60, rel=1e-6)
    assert row["turn_minutes"] == pytest.approx(18 * 10 / 60)
    assert row["clean_up_minutes"] == pytest.approx(96 / 60, rel=1e-6)
    assert row["cutting_minutes"] == row["passes_minutes"] + row["turn_minutes"]
    assert row["minutes"] == pytest.approx((18 * 28 + 180 + 96) / 60, rel=1e-6)


def test_the_turning_circle_gives_the_time_of_a_turn(course):
    # the next pass is a metre away, a circle of half a metre is half a circumference onto it
    tables = PLAIN.replace('turn = "10 s"', 'turn_radius = "0.5 m"')
    assert row_of(course(tables, GREEN))["turn_minutes"] == pytest.approx(18 * np.pi * 0.5 / 60)


def test_boxes_and_waiting_come_on_top(course):
    # 600 m2 at 0.1 l/m2 fill a box of 20 l three times; waiting a fifth of the whole is a quarter of the rest
    tables = PLAIN + 'box = "20 l"\nemptying = "2 min"\nwaiting = "20 %"\n[surface.green]\nclippings = "0.1 l/m2"\n'
    row, without = row_of(course(tables, GREEN)), row_of(course(PLAIN, GREEN))
    assert row["emptying_minutes"] == pytest.approx(6.0, rel=1e-6)
    assert row["waiting_minutes"] == pytest.approx((without["minutes"] + 6.0) / 4, rel=1e-6)
    assert row["minutes"] == pytest.approx((without["minutes"] + 6.0) * 1.25, rel=1e-6)


def test_method_can_be_chosen_where_both_have_their_figures(course):
    opened = course(PLAIN + 'efficiency = "50 %"\n', GREEN)
    assert row_of(opened)["method"] == "shape"
    by_hand = row_of(opened, "handbook")
    assert by_hand["minutes"] == pytest.approx((600 / 0.5 + 100) / 60, rel=1e-6)
    assert np.isnan(by_hand["passes"])
    assert by_hand["fits"] is None


def test_method_without_its_figures_is_refused(course):
    with pytest.raises(InputError, match="mower: the handbook needs its field efficiency"):
        row_of(course(PLAIN, GREEN), "handbook")
    with pytest.raises(InputError, match="mower: passes in the shape need the time of a turn"):
        row_of(course(PLAIN.replace('turn = "10 s"', 'efficiency = "50 %"'), GREEN), "shape")


def test_parts_that_are_added_count(course):
    table = estimate_mowing(course(PLAIN, GREEN), [Mower("m", 1.0, 0.0, 1.0, None, ("green",), turn=10.0)])
    more = summed(table.assign(driving_minutes=2.0, set_up_minutes=1.0))
    assert more["minutes"].tolist() == pytest.approx((table["minutes"] + 3.0).tolist())


def test_sums_by_surface_keep_the_methods_apart(course):
    opened = course(rectangles=[("green", "1", 20.0, 30.0), ("green", "2", 10.0, 30.0), ("collar", "1", 0.8, 30.0)])
    shape = Mower("a", 1.0, 0.0, 1.0, None, ("green", "collar"), turn=10.0)
    rows = mowing_by_surface(estimate_mowing(opened, [shape, Mower("b", 1.0, 0.0, 1.0, 0.5, ("green",))]))
    assert [(row["surface"], row["machine"], row["method"], row["not_fitting"]) for row in rows] == [
        ("green", "a", "shape", 0),
        ("collar", "a", "shape", 1),
        ("green", "b", "handbook", None),
    ]
    assert rows[0]["passes"] == 18 + 8
    assert rows[2]["passes"] is None
    assert rows[0]["patch"] is None


def test_the_gain_of_the_next_width(course):
    opened = course(rectangles=GREEN)
    widths = {"2 m": 2.0, "1 m": 1.0}
    tried = mowers_tried(opened, widths, 1.0, 0.0, turn=10.0)
    first, second = with_gains(mowing_by_surface(estimate_mowing(opened, tried)))
    assert (first["width_m"], first["gain_minutes"]) == (1.0, None)
    assert second["gain_minutes"] == pytest.approx(first["minutes"] - second["minutes"])
    # a round of 2 x (18 + 28) m, 8 passes of 26 m, 8 turns
    assert second["minutes"] == pytest.approx((92 + 8 * 26 + 80) / 60, rel=1e-6)


def test_the_take_off_uses_the_same_time(course):
    opened = course(PLAIN + CUT, GREEN)
    (need,) = estimate_year(opened).needs
    assert (need.resource, need.unit) == ("machine", "s")
    assert need.base.sum() == pytest.approx(18 * 28 + 180 + 96, rel=1e-6)
    # a square metre more is a metre of pass more
    assert need.slope.tolist() == pytest.approx([1.0])


def test_boxes_fill_only_where_something_is_cut(course):
    tables = PLAIN + 'box = "20 l"\nemptying = "2 min"\nmows = false\n[surface.green]\nclippings = "0.1 l/m2"\n'
    (rolled,) = estimate_year(course(tables + CUT.replace('"mow"', '"roll"'), GREEN)).needs
    assert rolled.base.sum() == pytest.approx(18 * 28 + 180 + 96, rel=1e-6)


def test_times_of_some_patches_are_those_of_each(course):
    opened = course(PLAIN, [("green", "1", 20.0, 30.0), ("green", "2", 13.0, 17.0), ("tee", "1", 5.0, 9.0)])
    (mower,) = mowers_of(opened)
    both = patch_times(opened, mower)
    for at in (0, 1):
        on = np.arange(3) == at
        assert patch_times(opened, mower, on).total.item() == pytest.approx(both.total[at])
    # a rectangle of 13 by 17 m inside its round: 11 by 15, eleven passes
    assert both.laid is not None
    assert both.laid.passes.tolist() == [18, 11]


def test_a_machine_that_is_not_there(course):
    with pytest.raises(SettingsError, match=r"no machine 'mowr'; did you mean 'mower'\? \(there are: mower\)"):
        mowers_of(course(PLAIN), ["mowr"])
