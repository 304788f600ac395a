"""
Plan and actual on one hectare of greens, worked by hand.

4,000 and 6,000 m2 with edges of 280 and 320 m. Two millimetres of sand of 1.6 t/m3 are 3.2 kg/m2: 12.8 and 19.2 t.
"""

import tomllib
from dataclasses import replace
from datetime import date
from math import pi, sqrt

import pytest

from turfgis.errors import SettingsError
from turfgis.estimates.actuals import estimate_actuals, job_rows, patch_rows
from turfgis.estimates.coefficients import propose_coefficients
from turfgis.estimates.takeoff import estimate_year
from turfgis.layers.records import HEADINGS, Record
from turfgis.reports.actuals import actual_rows, proposed_toml

LETTERS = {name: chr(ord("A") + at) for at, name in enumerate(HEADINGS)}
MOWER = """
[machine.mower]
width = "1 m"
speed = "3.6 km/h"
efficiency = "50 %"
on = ["green"]
[[job]]
name = "cut"
work = "mow"
on = ["green"]
machine = "mower"
times = 4
[[job]]
name = "rake"
work = "edge"
on = ["green"]
speed = "1 km/h"
"""
SOAP = """
[material.soap]
kind = "liquid"
density = "1.1 kg/l"
pack = "20 l"
[[job]]
name = "wet"
work = "spray"
on = ["green"]
rate = "10 l/ha"
material = "soap"
"""


def record(kind, amount, unit="", day=1, row=2, **more):
    return Record("tickets.csv", row, LETTERS, date(2027, 4, day), kind, amount, unit, **more)


@pytest.fixture
def held(course, words):
    """Records held against the plan; and the plan once again under other words."""

    def hold(records, tables=None, head='accuracy = "0 m"'):
        plan = course(words.sand + words.dress if tables is None else tables, head=head)
        return estimate_actuals(estimate_year(plan), records)

    return hold


HOPPERS = [
    record("hopper", 18, job="dress", patch="green-01", hopper="800 kg"),
    record("hopper", 24, "hoppers", job="dress", hole="2", surface="green", hopper="0.8 t"),
]


def by_patch(actuals, name="actual"):
    return {(row["job"], row["patch"]): row[name] for row in patch_rows(actuals)}


def coefficients(actuals):
    return {(one.name, one.job or one.of): one for one in propose_coefficients(actuals)}


def test_hoppers_by_job_and_patch(held):
    actuals = held(HOPPERS)
    (row,) = job_rows(actuals)
    # 18 x 0.8 = 14.4 t and 24 x 0.8 = 19.2 t against 32 t
    assert [row[name] for name in ("planned", "actual", "difference")] == pytest.approx([32_000, 33_600, 1600])
    assert row["difference_share"] == pytest.approx(0.05)
    assert (row["job"], row["of"], row["unit"], row["records"]) == ("dress", "sand", "kg", 2)
    first, second = patch_rows(actuals)
    assert (first["difference"], first["difference_share"]) == pytest.approx((1600, 0.125))
    assert (second["actual"], second["difference"]) == pytest.approx((19_200, 0), abs=1e-3)
    assert first["shared"] == second["shared"] == 0


def test_tickets_say_how_much_and_counts_say_where(held):
    tickets = [record("delivery", 20, "t", job="dress"), record("delivery", 12, "t", job="dress")]
    counts = [record("hopper", 15, job="dress", patch="green-01"), record("hopper", 25, job="dress", patch="green-02")]
    actuals = held([*tickets, *counts])
    # 32 t in 40 hoppers: 800 kg each
    assert by_patch(actuals) == pytest.approx({("dress", "green-01"): 12_000, ("dress", "green-02"): 20_000})
    assert job_rows(actuals)[0]["records"] == 4
    found = coefficients(actuals)["hopper by tickets", "dress"]
    assert (found.value, found.records, found.spread) == (pytest.approx(800), 4, None)
    # weighed at 700 kg they still add up to the tickets
    weighed = [*tickets, *(record("hopper", 20, job="dress", patch=f"green-0{at}", hopper="700 kg") for at in (1, 2))]
    assert by_patch(held(weighed)) == pytest.approx({("dress", "green-01"): 16_000, ("dress", "green-02"): 16_000})


def test_what_no_record_places_is_shared_out_by_the_plan(held, words):
    actuals = held([record("delivery", 40, "t", job="dress")])
    assert by_patch(actuals) == pytest.approx({("dress", "green-01"): 16_000, ("dress", "green-02"): 24_000})
    assert by_patch(actuals, "shared") == by_patch(actuals)
    # without a job, over all jobs that take it: 2 and 6 mm, so a quarter and three
    twice = words.sand + words.dress + words.dress.replace('"dress"', '"more"').replace("2 mm", "6 mm")
    actuals = held([record("delivery", 40, "t", material="sand")], twice)
    assert {row["job"]: row["actual"] for row in job_rows(actuals)} == pytest.approx({"dress": 10_000, "more": 30_000})


def test_no_amount_counts_twice(held):
    yard = record("delivery", 99, "t", material="sand")
    actuals = held([yard, *HOPPERS])
    assert job_rows(actuals)[0]["actual"] == pytest.approx(33_600)
    assert "Deliveries of sand without a job are not counted" in actuals.remarks[0]
    loose = record("hopper", 5, material="sand", hopper="800 kg")
    actuals = held([record("delivery", 30, "t", job="dress"), loose])
    assert job_rows(actuals)[0]["actual"] == pytest.approx(30_000)
    assert "Hopper counts of sand without a job are not counted" in actuals.remarks[0]


def test_a_record_in_two_halves_is_the_same_record(held):
    whole, other = HOPPERS
    half = record("hopper", 9, job="dress", patch="green-01", hopper="800 kg")
    actuals = held([half, other, half])
    assert by_patch(actuals) == pytest.approx(by_patch(held([whole, other])))
    assert coefficients(actuals)["depth", "dress"].line == coefficients(held(HOPPERS))["depth", "dress"].line


def test_ground_outside_the_plan_stands_beside_it(held, words):
    only_first = words.sand + words.dress + 'holes = ["1"]\n'
    actuals = held([record("delivery", 3, "t", job="dress", patch="green-02")], only_first)
    second = next(row for row in patch_rows(actuals) if row["patch"] == "green-02")
    assert (second["planned"], second["actual"], second["difference_share"]) == (0, pytest.approx(3000), None)


@pytest.mark.parametrize(
    ("amount", "unit", "litres"),
    # 1.1 kg/l and packs of 20 l
    [(9, "l", 9), (11, "kg", 10), (1, "pack", 20), (2, "packs", 40)],
)
def test_liquids_by_volume_weight_and_pack(held, amount, unit, litres):
    actuals = held([record("delivery", amount, unit, material="soap")], SOAP)
    assert job_rows(actuals)[0]["planned"] == pytest.approx(0.010)
    assert job_rows(actuals)[0]["actual"] == pytest.approx(litres / 1000)


def test_depth_of_the_clubs_own(held):
    found = coefficients(held(HOPPERS))
    rate, depth, hopper = found["rate", "dress"], found["depth", "dress"], found["hopper", "sand"]
    # 33.6 t on a hectare; single patches 3.6 and 3.2 kg/m2, so a standard deviation of 0.4 / sqrt(2)
    assert (rate.value, rate.planned, rate.spread) == pytest.approx((3.36, 3.2, 0.4 / sqrt(2)))
    assert (depth.value, depth.spread) == pytest.approx((0.0021, 0.4 / sqrt(2) / 1600))
    assert (depth.records, depth.observations) == (2, 2)
    assert (hopper.value, hopper.spread, hopper.records, hopper.line) == (pytest.approx(800), pytest.approx(0), 2, "")
    assert depth.line == 'depth = "2.1 mm ± 0.18 mm"'


def test_two_counts_of_one_day_are_one_time(held):
    half = [record("hopper", 8, job="dress", patch="green-01", hopper="800 kg", day=day) for day in (3, 3, 9, 9)]
    rate = coefficients(held(half))["rate", "dress"]
    # 16 x 800 kg on 4,000 m2, on each of two days
    assert (rate.value, rate.spread, rate.records, rate.observations) == (pytest.approx(3.2), pytest.approx(0), 4, 2)


def test_fill_from_delivered_sand_less_the_other_factors(held, words):
    damp = words.sand + 'moisture = "5 %"\nstorage_loss = "2 %"\n' + words.core
    actuals = held([record("delivery", 50, "t", job="core")], damp)
    fill = coefficients(actuals)["fill", "core"]
    holes_t = pi / 4 * 0.012**2 / 0.05**2 * 0.075 * 10_000 * 1.6
    assert fill.value == pytest.approx(50 / 1.05 / 1.02 / holes_t)
    assert (fill.records, fill.spread, fill.planned) == (1, None, 1.0)
    # more than the holes hold cannot stand in the settings
    over = coefficients(held([record("delivery", 80, "t", job="core")], damp))["fill", "core"]
    assert over.line == ""
    assert over.remark.startswith("more than the holes hold")


def test_hours_and_efficiency(held):
    # on 6,000 m2 at 1 m and 1 m/s: 320 s around the edge and 15,000 s for the rest, so 40 %; and 30 s for the 50 m from
    # the other green and back at 12 km/h
    hours = [record("hours", 15_350, "s", machine="mower", job="cut", patch="green-02", day=day) for day in (1, 8)]
    actuals = held(hours, MOWER)
    found = coefficients(actuals)
    assert found["efficiency", "mower"].value == pytest.approx(0.4)
    assert found["efficiency", "mower"].line == 'efficiency = "40 %"'
    per_ha = found["hours per hectare", "cut"]
    assert (per_ha.value, per_ha.spread) == pytest.approx((15_350 / 3600 / 0.6, 0), abs=1e-6)
    # as planned: 6,000 / 0.5 + 320 s on it, and the way
    assert per_ha.planned == pytest.approx(12_350 / 3600 / 0.6)
    assert actuals.unrecorded == (("rake", "labour"),)
    row = next(row for row in patch_rows(actuals) if row["patch"] == "green-02")
    assert (row["planned"], row["actual"]) == pytest.approx((4 * 12_350, 2 * 15_350))


def test_up_to_a_day(course, words):
    """Ten times in June: by the 15th, half of its 30 days, five are due; the two of May all are."""
    tables = words.sand + words.dress.replace("[[job]]", '[[job]]\nmonths = { "2027-05" = 2, "2027-06" = 10 }')
    year = estimate_year(course(tables, head='accuracy = "0 m"'))
    tickets = [record("delivery", 200, "t", job="dress"), record("delivery", 9, "t", job="dress")]
    tickets[1] = replace(tickets[1], day=date(2027, 6, 16))
    actuals = estimate_actuals(year, tickets, date(2027, 6, 15))
    (row,) = job_rows(actuals)
    # 32 t each time
    assert (row["planned"], row["actual"], row["records"]) == (pytest.approx(7 * 32_000), 200_000, 1)
    assert actuals.remarks[0] == "1 of 2 records lie after 2027-06-15 and are left out."
    # 200 t over 7 times of 1 ha
    rate = next(one for one in propose_coefficients(actuals) if one.name == "rate")
    assert rate.value == pytest.approx(200_000 / 7 / 10_000)
    early = estimate_actuals(year, [], date(2027, 4, 30))
    assert (early.lines, early.unrecorded) == ((), ())


def test_faster_than_width_and_speed_allow(held):
    found = coefficients(held([record("hours", 1, "h", machine="mower", job="cut")], MOWER))["efficiency", "mower"]
    assert (found.line, found.remark[:6]) == ("", "faster")
    # less than the clean-up pass alone: no efficiency at all
    actuals = held([record("hours", 1, "min", machine="mower", job="cut")], MOWER)
    rows = {row["name"]: row for row in actual_rows(actuals, propose_coefficients(actuals), "coefficient")}
    assert (rows["efficiency"]["value"], rows["efficiency"]["line"]) == (None, "")


def test_mix_by_rounds_has_no_rate(held, words):
    mix = '[[job]]\nname = "divots"\nwork = "divot_mix"\non = ["green"]\nsand = "sand"\nmix_per_round = "1 l"\n'
    head = 'accuracy = "0 m"\nyear = 2027\nrounds = { 4 = 2000 }'
    actuals = held([record("delivery", 4, "t", job="divots")], words.sand + mix, head)
    # 2,000 rounds of a litre of 1.6 t/m3
    (row,) = job_rows(actuals)
    assert (row["planned"], row["actual"]) == pytest.approx((3200, 4000))
    assert propose_coefficients(actuals) == []


def test_hours_of_people_have_no_machine(held):
    # 600 m of edge at 1 km/h: 36 min
    (row,) = job_rows(held([record("hours", 1, "h", job="rake")], MOWER))
    assert (row["resource"], row["of"]) == ("labour", None)
    assert (row["planned"], row["actual"]) == pytest.approx((2160, 3600))


def test_lines_to_copy_make_the_plan_what_was_done(held, words):
    actuals = held(HOPPERS)
    lines = proposed_toml(propose_coefficients(actuals))
    assert tomllib.loads(lines) == {"depth": "2.1 mm ± 0.18 mm"}
    copied = words.sand + words.dress.replace('depth = "2 mm"', lines)
    assert job_rows(held(HOPPERS, copied))[0]["planned"] == pytest.approx(33_600)


def test_small_rates_survive_the_file(held):
    # 8 l on a hectare, where 10 l/ha were meant
    actuals = held([record("delivery", 8, "l", material="soap", job="wet")], SOAP)
    rows = actual_rows(actuals, propose_coefficients(actuals), "coefficient")
    assert [(row["name"], row["value"], row["unit"], row["planned"]) for row in rows] == [
        ("rate", pytest.approx(8), "l/ha", pytest.approx(10)),
        ("rate to set", pytest.approx(8), "l/ha", pytest.approx(10)),
    ]
    assert rows[1]["line"] == 'rate = "8 l/ha"'


def test_another_year_is_said(held):
    actuals = held(HOPPERS, head='accuracy = "0 m"\nyear = 2028')
    assert actuals.remarks == ("2 of 2 records lie outside 2028; they are counted all the same.",)


# a record, its cell, words of the message
BAD = [
    (
        record("delivery", 1, "t", job="dres"),
        "C2",
        "no job 'dres'; did you mean 'dress'? (there are: dress, core, cut,",
    ),
    (record("delivery", 1, "t", job="dress", patch="green-1"), "D2", "no patch 'green-1'; did you mean 'green-01'?"),
    (record("delivery", 1, "t", job="dress", hole="19"), "E2", "no hole '19'"),
    (record("delivery", 1, "t", job="dress", surface="geen"), "F2", "no surface 'geen'; did you mean 'green'?"),
    (record("delivery", 1, "t", job="dress", patch="green-01", hole="2"), "E2", "there is no such patch"),
    (record("delivery", 1, "t", material="sond"), "G2", "no material 'sond'; did you mean 'sand'?"),
    (
        record("delivery", 1, "t", job="dress", material="bent"),
        "G2",
        "job 'dress' takes sand in the settings, not bent",
    ),
    (record("delivery", 1, "t"), "G2", "the material is missing"),
    (record("delivery", 1, "t", job="cut"), "G2", "job 'cut' takes none"),
    (record("delivery", 1, "ton", job="dress"), "J2", "a bare 'ton' is three different weights"),
    (record("delivery", 1, "m2", job="dress"), "J2", "is not a mass"),
    (record("delivery", 1, "", job="dress"), "I2", "has no unit"),
    (record("delivery", 1, "loads", job="dress"), "I2", "do not say what a load of it holds"),
    (record("hopper", 1, "t", job="dress"), "J2", "'t' does not count hoppers"),
    (record("hopper", 1, job="dress", hopper="800"), "K2", "has no unit"),
    (record("hopper", 1, job="dress", hopper="0 kg"), "K2", "must be above zero"),
    (record("hopper", 1, job="dress"), "K2", "nobody knows what a hopper holds"),
    (record("hours", 1, "h", machine="mover"), "H2", "no machine 'mover'; did you mean 'mower'?"),
    (record("hours", 1, "h", job="dress", machine="mower"), "H2", "job 'dress' has no machine in the settings"),
    (record("hours", 1, "", job="cut", machine="mower"), "I2", "has no unit"),
    (record("hours", 1, "kg", job="cut", machine="mower"), "J2", "is not a time"),
]


@pytest.mark.parametrize(("wrong", "cell", "words_of_it"), BAD)
def test_one_message_for_what_the_course_does_not_have(held, words, wrong, cell, words_of_it):
    tables = words.sand + words.seed + words.dress + words.core + MOWER
    with pytest.raises(SettingsError) as caught:
        held([wrong], tables)
    (said,) = str(caught.value).splitlines()
    assert said.startswith(f"tickets.csv, cell {cell}: ")
    assert words_of_it in said


def test_each_wrong_cell_has_its_line(held):
    wrong = [record("delivery", 1, "t", job="a", row=row) for row in (2, 5)]
    with pytest.raises(SettingsError) as caught:
        held([*wrong, *HOPPERS])
    assert [said.split(":")[0] for said in str(caught.value).splitlines()] == [
        "tickets.csv, cell C2",
        "tickets.csv, cell C5",
    ]
