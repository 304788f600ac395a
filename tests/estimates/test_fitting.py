"""
Figures fitted to records that were made from known ones, and what records cannot tell.

The speeds, turns and waits that records are made of are plain numbers of the checks, without a source. Estimates are
held against numpy's own least squares and Student's t as scipy has it.
"""

from datetime import date

import numpy as np
import pytest
from scipy import stats

from turfgis.errors import LayerError, SettingsError
from turfgis.estimates.fitting import fit_machines
from turfgis.layers.times import read_times
from turfgis.reports.fitting import fit_text, proposed_toml

MOWER = """
[machine.mower]
width = "2 m"
speed = "5 km/h"
turn = "10 s"
clean_up = 0
direction = 0
on = ["tee"]
cost = "10 EUR/h"
"""
# passes go north, so that a tee a little less than w m wide and h m high takes w / 2 passes of h m and w / 2 - 1 turns
SIZES = [(4, 60), (20, 10), (8, 40), (40, 12), (12, 30), (30, 50), (6, 90), (16, 25), (24, 80), (10, 10)]
TEES = [("tee", str(at + 1), width - 0.2, float(height)) for at, (width, height) in enumerate(SIZES)]
HEAD = "date,machine,patch,minutes,people,fuel\n"


@pytest.fixture
def tees(course):
    return course(MOWER, TEES)


@pytest.fixture
def timed(tmp_path):
    def write(rows, head=HEAD):
        file = tmp_path / "times.csv"
        file.write_text(head + "\n".join(rows) + "\n", encoding="utf-8")
        return read_times([file])[0]

    return write


def made(speed, turn, wait, noise=0.0, days=1):
    """Seconds on each tee by plain arithmetic, and what they are a sum of."""
    design = np.array([[width / 2 * height, width / 2 - 1, 1.0] for width, height in SIZES] * days)
    error = np.random.default_rng(4).normal(size=len(design)) * noise
    return design, design @ [1 / speed, turn, wait] + error


def rows_of(seconds, more=""):
    return [f"2027-05-10,mower,tee-{at % 10 + 1:02d},{one / 60!r}{more}" for at, one in enumerate(seconds.tolist())]


def figures(fit):
    return {one.name: one for one in fit.figures}


def test_records_without_error_give_their_figures_back(tees, timed):
    _, seconds = made(1.2, 8.0, 30.0)
    (fit,) = fit_machines(tees, timed(rows_of(seconds, ",1,")))
    found = figures(fit)
    assert found["speed"].value == pytest.approx(1.2, rel=1e-3)
    assert found["turn"].value == pytest.approx(8.0, rel=5e-3)
    assert found["waiting"].value == pytest.approx(30.0, rel=5e-3)
    assert fit.records == 10
    assert fit.remarks == ()
    assert fit.waiting_share == pytest.approx(300 / seconds.sum(), rel=5e-3)


def test_estimates_and_intervals_are_those_of_numpy_and_scipy(tees, timed):
    design, seconds = made(1.2, 8.0, 30.0, noise=6.0, days=3)
    (fit,) = fit_machines(tees, timed(rows_of(seconds, ",1,")))
    theirs, (squares,), *_ = np.linalg.lstsq(design, seconds, rcond=None)
    free = len(seconds) - 3
    error = np.sqrt(squares / free * np.diag(np.linalg.inv(design.T @ design)))
    half = stats.t.ppf(0.975, free) * error
    found = figures(fit)
    assert 1 / found["speed"].value == pytest.approx(theirs[0], rel=1e-3)
    assert 1 / found["speed"].high == pytest.approx(theirs[0] - half[0], rel=5e-3)
    for name, at in (("turn", 1), ("waiting", 2)):
        one = found[name]
        assert one.value == pytest.approx(theirs[at], rel=5e-3)
        assert (one.low, one.high) == pytest.approx((theirs[at] - half[at], theirs[at] + half[at]), rel=2e-2)
    assert fit.spread == pytest.approx(np.sqrt(squares / free), rel=5e-3)
    assert sum(one.observed - one.fitted for one in fit.residuals) == pytest.approx(0, abs=1.0)
    assert set(fit.by_patch) == {f"tee-{at:02d}" for at in range(1, 11)}
    assert all(count == 3 for _, count in fit.by_patch.values())


def test_lines_for_the_settings_are_those_of_the_fit(tees, timed):
    _, seconds = made(1.2, 8.0, 30.0)
    text = proposed_toml(fit_machines(tees, timed(rows_of(seconds, ",1,"))))
    assert text.splitlines()[:3] == ["[machine.mower]  # 10 records", 'speed = "4.32 km/h"', 'turn = "8 s"']


def test_two_records_hold_waiting_at_the_settings_and_say_so(tees, timed):
    _, seconds = made(1.2, 10.0, 0.0)
    (fit,) = fit_machines(tees, timed(rows_of(seconds[:2], ",1,")))
    found = figures(fit)
    assert found["turn"].held
    assert found["speed"].value == pytest.approx(1.2, rel=1e-2)
    assert "2 records cannot tell 3 figures; waiting is held at the settings (0 %)" in fit.remarks
    assert "2 records cannot tell 2 figures; the time of a turn is held at the settings (10 s)" in fit.remarks


def test_one_record_fits_nothing(tees, timed):
    (fit,) = fit_machines(tees, timed(["2027-05-10,mower,tee-01,10,1,"]))
    assert figures(fit)["speed"].held
    assert "nothing is fitted" in fit.remarks[-1]
    assert proposed_toml([fit]) == ""


def test_records_of_alike_patches_cannot_tell_turns_from_metres(course, timed):
    alike = [("tee", str(at + 1), 19.8 - 2.0 * (at % 2), 10.0 + 0.01 * at) for at in range(10)]
    seconds = np.array([(10 - at % 2) * 10 / 1.2 + (9 - at % 2) * 10.0 + at % 3 for at in range(10)])
    (fit,) = fit_machines(course(MOWER, alike), timed(rows_of(seconds, ",1,")))
    assert [one.name for one in fit.figures if one.held] == ["turn"]
    assert "cannot tell" in fit.remarks[0]
    assert "condition number" in fit.remarks[0]
    assert figures(fit)["speed"].value == pytest.approx(1.2, rel=0.05)


def test_a_figure_below_zero_is_held(tees, timed):
    _, seconds = made(1.2, 30.0, -60.0)
    (fit,) = fit_machines(tees, timed(rows_of(np.maximum(seconds, 5.0), ",1,")))
    assert "the best fit has a waiting below zero; waiting is held at the settings (0 %)" in fit.remarks


def test_fuel_and_cost_of_an_hour(course, timed):
    opened = course(
        MOWER + '[labour]\nwage = "20 EUR/h"\n[fuel.diesel]\nprice = "1.50 EUR/l"\n',
        TEES,
    )
    rows = [
        f"2027-05-{10 + at},mower,tee-0{at + 1},{minutes},2,{litres}"
        for at, (minutes, litres) in enumerate([(30, 2.0), (60, 4.0), (90, 6.0)])
    ]
    found = figures(fit_machines(opened, timed(rows))[0])
    assert found["fuel"].value * 3.6e6 == pytest.approx(4.0)
    # the machine 10, four litres 6, two people 40
    assert found["cost"].value * 3600 == pytest.approx(56.0)


def test_hours_of_the_meter_over_several_holes_have_their_driving_taken_off(course, timed):
    opened = course(MOWER, TEES)
    _, seconds = made(5 / 3.6, 10.0, 0.0)
    # tees stand 100 m apart in a row: driving over the first four is 300 m, as fast as people go
    hours = float(seconds[:4].sum() + 300 / (12 / 3.6)) / 3600
    rows = [f"2027-05-10,mower,1-4,1000,{1000 + hours!r}", f'2027-05-11,mower,"1, 2, 3, 4",1010,{1010 + hours!r}']
    records = timed(rows, "date,machine,hole,start,end\n")
    assert records[1].holes == ("1", "2", "3", "4")
    (fit,) = fit_machines(opened, records)
    assert fit.residuals[0].patches == ("tee-01", "tee-02", "tee-03", "tee-04")
    assert figures(fit)["speed"].value == pytest.approx(5 / 3.6, rel=2e-3)


def test_text_says_figure_interval_and_settings(tees, timed):
    _, seconds = made(1.2, 8.0, 30.0, noise=6.0, days=3)
    text = fit_text(fit_machines(tees, timed(rows_of(seconds, ",1,"))), ["said"], "patch")
    for words in ("speed, km/h", "95 % between", "5.00", "tee-10", "said", "[machine.mower]  # 30 records"):
        assert words in text


# a row below the headings date, machine, patch, minutes, people, fuel; what the message must hold
WRONG_CELLS = [
    ("2027-02-30,mower,tee-01,10,1,", ["times.csv, cell A2", "not a day that exists"]),
    (",mower,tee-01,10,1,", ["cell A2", "date is missing"]),
    ("2027-05-10,,tee-01,10,1,", ["cell B2", "machine is missing"]),
    ("2027-05-10,mower,tee-01,-5,1,", ["cell D2", "below zero"]),
    ("2027-05-10,mower,tee-01,0,1,", ["cell D2", "must be above zero"]),
    ("2027-05-10,mower,tee-01,ten,1,", ["cell D2", "'ten'"]),
    ("2027-05-10,mower,tee-01,5 m2,1,", ["cell D2", "not a time"]),
    ("2027-05-10,mower,tee-01,,1,", ["cell D2", "the time is missing"]),
    ("2027-05-10,mower,tee-01,10,none,", ["cell E2", "'none' is not a number"]),
    ("2027-05-10,mower,tee-01,10,-1,", ["cell E2", "no number of people"]),
    ("2027-05-10,mower,tee-01,10,1,-2", ["cell F2", "below zero"]),
    ("2027-05-10,mower,tee-01,10,1,3 kg", ["cell F2", "not a volume"]),
]


@pytest.mark.parametrize(("row", "words"), WRONG_CELLS)
def test_a_cell_that_cannot_be_read_gives_one_line_with_its_place(timed, row, words):
    with pytest.raises(LayerError) as caught:
        timed([row])
    (said,) = str(caught.value).splitlines()
    for word in words:
        assert word in said


@pytest.mark.parametrize(
    ("row", "words"),
    [
        ("2027-05-10,mower,10,9.5", ["cell D2", "stands at 9.5 h after 10 h"]),
        ("2027-05-10,mower,10,", ["cell D2", "the time is missing"]),
        ("2027-05-10,mower,x,9", ["cell C2", "'x'"]),
    ],
)
def test_a_meter_that_cannot_be_read(timed, row, words):
    with pytest.raises(LayerError) as caught:
        timed([row], "date,machine,start,end\n")
    for word in words:
        assert word in str(caught.value)


@pytest.mark.parametrize(
    ("row", "words"),
    [
        ("2027-05-10,mowr,tee-01,10,1,", ["cell B2", "no machine 'mowr'", "did you mean 'mower'"]),
        ("2027-05-10,mower,tee-99,10,1,", ["cell C2", "no patch 'tee-99'", "there are: tee-01"]),
        ("2027-05-10,mower,green-01,10,1,", ["cell C2", "no patch 'green-01'"]),
    ],
)
def test_what_is_not_on_the_course_is_said(tees, timed, row, words):
    with pytest.raises(SettingsError) as caught:
        fit_machines(tees, timed([row]))
    (said,) = str(caught.value).splitlines()
    for word in words:
        assert word in said


def test_ground_that_the_machine_does_not_work_is_said(course, timed):
    opened = course(MOWER, [*TEES, ("green", "1", 20.0, 20.0)])
    with pytest.raises(SettingsError, match=r"'green-01' is no ground of it .the machine works on tee."):
        fit_machines(opened, timed(["2027-05-10,mower,green-01,10,1,"]))


def test_headings_that_are_not_known_are_listed(timed):
    with pytest.raises(LayerError, match=r"unknown column 'hours'.*accepted: date, machine"):
        timed(["2027-05-10,mower,1"], "date,machine,hours\n")


def test_a_record_reads_as_it_stands(timed):
    (record,) = timed(['14.03.2027,Mower,"tee-01, tee-02",1.5 h,2,3.5'], HEAD)
    assert record.day == date(2027, 3, 14)
    assert record.patches == ("tee-01", "tee-02")
    assert (record.seconds, record.people) == (5400.0, 2.0)
    assert record.fuel == pytest.approx(0.0035)
