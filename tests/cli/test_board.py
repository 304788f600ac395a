"""``turfgis board`` and ``turfgis hours`` as a person calls them: bad input is said, and the rest is planned."""

import json

import pytest

SETTINGS = """
name = "Invented Links"
year = 2027
[[layer]]
file = "areas.geojson"
surface_from = "kind"
hole_from = "hole"
[machine.mower]
width = "1 m"
speed = "5 km/h"
efficiency = "70 %"
on = ["green"]
vibration = "4 m/s2"
noise = "88 dB(A)"
[machine.snow_plough]
width = "1 m"
speed = "5 km/h"
efficiency = "70 %"
on = ["path"]
mows = false
[[job]]
name = "cut greens"
work = "mow"
on = ["green"]
machine = "mower"
dates = [2027-05-14]
[person.deputy]
may = ["mower"]
[person.helper]
[person.nobody]
hours = "0 h"
[play]
first_tee = "07:30"
[[odd_job]]
name = "spray weeds"
hours = "1 h"
certificate = "spraying"
[[odd_job]]
name = "mend the <b>fence</b> #[1]"
hours = "2 h"
since = 2027-04-01
"""


@pytest.fixture
def board(folder, turfgis):
    """Call ``board`` with settings changed."""

    def calling(*words, change=("", ""), day="2027-05-14"):
        text = SETTINGS.replace(*change) if change[0] else SETTINGS
        (folder / "course.toml").write_text(text, encoding="utf-8")
        return turfgis("board", folder, "--date", day, "--effort", "0.5", *words)

    return calling


def planned(said):
    assert said.code == 0, said.err
    return json.loads(said.out)


def test_who_may_use_the_machine_gets_it_and_the_rest_is_shared(board):
    plan = planned(board("--format", "json"))
    jobs = {task["job"]: person["person"] for person in plan["people"] for task in person["tasks"]}
    assert jobs == {"cut greens": "deputy", "mend the <b>fence</b> #[1]": "helper"}
    assert plan["late"] == []
    (exposure,) = plan["exposure"]
    assert exposure["person"] == "deputy"
    assert "below the action value" in exposure["vibration"]
    assert any("employer's own assessment" in text for text in plan["cautions"])


def test_what_nobody_may_do_is_said_and_the_rest_is_planned(board):
    (undone,) = planned(board("--format", "json"))["undone"]
    assert (undone["job"], undone["why"]) == ("spray weeds", "nobody has a certificate for spraying")


@pytest.mark.parametrize(
    ("words", "change", "day", "said"),
    [
        ([], ("", ""), "2027-05-14", "nobody is not there: has no hours that day"),
        ([], ("", ""), "2027-05-14", "snow_plough works on path, of which nothing is drawn"),
        ([], ('"07:30"', '"05:00"'), "2027-05-14", "the first players go out at 05:00, and nobody begins before 06:00"),
        ([], ("", ""), "2028-05-12", "2028-05-12 is outside the year 2027 of the programme"),
        (
            ["--fix", "cut greens=captain"],
            ("", ""),
            "2027-05-14",
            "given to 'captain' by hand, but nobody has that name (",
        ),
        (["--fix", "cut greens=nobody"], ("", ""), "2027-05-14", "given to 'nobody' by hand, who is not there"),
        (["--fix", "cut greens=deputi"], ("", ""), "2027-05-14", "has that name; did you mean 'deputy'? (there are"),
        (["--fix", "cut green=deputy"], ("", ""), "2027-05-14", "of this day; did you mean 'cut greens'? (there are"),
        (["--fix", "cut tees=deputy"], ("", ""), "2027-05-14", "'cut tees' was given to deputy by hand, but is not on"),
        (["--also", "cut green"], ("", ""), "2027-05-14", "there is no 'cut green'; did you mean 'cut greens'?"),
        ([], ("[play]\nfirst_tee", "[play]\npace = 12\nfirst_tee"), "2027-05-16", "does not work on Sundays"),
    ],
)
def test_bad_input_is_said_and_the_rest_is_planned(board, words, change, day, said):
    plan = planned(board("--format", "json", *words, change=change, day=day))
    assert any(said in text for text in plan["remarks"]), plan["remarks"]


@pytest.mark.parametrize(
    ("words", "change", "day", "said"),
    [
        ([], ("", ""), "soon", "--date: 'soon' is not a day"),
        ([], ('"07:30"', '"27:30"'), "2027-05-14", "play.first_tee: '27:30' is not a time of day"),
        ([], ('may = ["mower"]', 'may = ["mover"]'), "2027-05-14", "no machine 'mover'; did you mean 'mower'?"),
        ([], ('"4 m/s2"', '"4 m/s"'), "2027-05-14", "machine.mower.vibration: '4 m/s' cannot be read"),
        (["--fix", "cut greens"], ("", ""), "2027-05-14", "write it like --fix 'cut greens=deputy'"),
        (["--day-file", "none.toml"], ("", ""), "2027-05-14", "none.toml: cannot be read"),
    ],
)
def test_what_cannot_be_read_is_refused_in_one_message(board, words, change, day, said):
    answer = board(*words, change=change, day=day)
    assert answer.code == 2
    assert said in answer.err
    assert "Traceback" not in answer.err


def test_a_hand_is_obeyed_and_a_file_of_the_day_read(board, folder):
    (folder / "board_2027-05-14.toml").write_text(
        '[[fixed]]\ntask = "mend the <b>fence</b> #[1]"\nperson = "deputy"\n', encoding="utf-8"
    )
    plan = planned(board("--format", "json"))
    assert {task["job"] for task in plan["people"][0]["tasks"]} == {"cut greens", "mend the <b>fence</b> #[1]"}
    (folder / "board_2027-05-14.toml").write_text("fixd = []\n", encoding="utf-8")
    refused = board()
    assert refused.code == 2
    assert "unknown key 'fixd'; did you mean 'fixed'?" in refused.err


def test_a_broken_machine_is_asked_for(board):
    plan = planned(board("--format", "json", change=("noise =", "broken = 2027-05-10\nnoise =")))
    assert "out of order: mower" in [one["why"] for one in plan["undone"]]
    assert any(one["what"] == "a working mower" for one in plan["would_help"])


def test_the_same_call_gives_the_same_files_and_names_are_no_markup(board, tmp_path):
    for where in ("one", "two"):
        assert board("-o", tmp_path / where).code == 0
    names = sorted(path.name for path in (tmp_path / "one").iterdir())
    assert names == [
        "board_2027-05-14.json",
        "board_2027-05-14_a3.pdf",
        "board_2027-05-14_a4.pdf",
        "map_2027-05-14_deputy.html",
        "map_2027-05-14_helper.html",
        "slips_2027-05-14.pdf",
    ]
    for name in names:
        assert (tmp_path / "one" / name).read_bytes() == (tmp_path / "two" / name).read_bytes()
    assert b"<b>fence" not in (tmp_path / "one" / "map_2027-05-14_helper.html").read_bytes()


@pytest.mark.parametrize("shape", ["table", "csv", "json"])
def test_hours_by_month(board, folder, turfgis, shape):
    board()
    said = turfgis("hours", folder, "--format", shape)
    assert said.code == 0
    assert "2027-05" in said.out


def test_an_empty_board_is_said_to_be_empty(board):
    words = ["--leave", "cut greens", "--leave", "spray weeds", "--leave", "mend the <b>fence</b> #[1]"]
    said = board(*words)
    assert "Nothing is on the board of this day." in said.out
    assert "No better plan" not in said.out


def test_a_report_has_the_hours_where_there_are_people(board, folder, turfgis, tmp_path):
    board()
    assert "all/hours.txt" in turfgis("report", folder, "-o", "all").out
    kept = (tmp_path / "all" / "hours.csv").read_text(encoding="utf-8")
    assert kept.split() == turfgis("hours", folder, "--format", "csv").out.split()
