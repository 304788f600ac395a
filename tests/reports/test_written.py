"""A report takes away what an earlier one wrote and it does not; never what somebody changed or put there."""

import json
import os

import pytest

from turfgis.errors import OutputError
from turfgis.reports.written import LIST, write_report

FIRST = {"map.html": b"map", "order_a.pdf": b"order a", "order_b.pdf": b"order b"}
NEXT = {"map.html": b"map 2", "order_b.pdf": b"order b 2"}


@pytest.fixture
def folder(tmp_path):
    write_report(tmp_path / "outputs", FIRST, "Invented Links")
    return tmp_path / "outputs"


def contents(folder):
    return {path.name: path.read_bytes() for path in folder.iterdir() if path.name != LIST}


def test_what_is_no_longer_written_goes(folder):
    written, removed = write_report(folder, NEXT, "Invented Links")
    assert written == [folder / name for name in NEXT]
    assert removed == [folder / "order_a.pdf"]
    assert contents(folder) == NEXT


def test_it_goes_though_reports_lie_between(folder):
    for _ in range(2):
        write_report(folder, NEXT, "Invented Links", whole=False)
        assert contents(folder) == {**FIRST, **NEXT}
    assert write_report(folder, NEXT, "Invented Links")[1] == [folder / "order_a.pdf"]


def test_what_somebody_changed_stays_for_good(folder):
    (folder / "order_a.pdf").write_bytes(b"signed")
    for _ in range(2):
        assert write_report(folder, NEXT, "Invented Links")[1] == []
    assert contents(folder) == {**NEXT, "order_a.pdf": b"signed"}


def test_what_somebody_put_there_stays(folder):
    (folder / "mine.pdf").write_bytes(b"order a")  # though it reads like one of ours
    write_report(folder, NEXT, "Invented Links")
    assert contents(folder) == {**NEXT, "mine.pdf": b"order a"}


def test_files_of_another_course_stay(folder):
    assert write_report(folder, NEXT, "Other Links")[1] == []
    assert contents(folder) == {**FIRST, **NEXT}


def test_a_report_that_fails_takes_nothing_away(folder):
    def full(path):
        raise OSError(28, os.strerror(28))

    with pytest.raises(OutputError):
        write_report(folder, {"map.html": full}, "Invented Links")
    assert contents(folder) == FIRST
    assert write_report(folder, NEXT, "Invented Links")[1] == [folder / "order_a.pdf"]


@pytest.mark.parametrize(
    "text",
    [
        "",
        "no list",
        "[1, 2]",
        '{"course": "Invented Links"}',
        '{"course": "Invented Links", "files": ["order_a.pdf"]}',
        "[" * 5000,
    ],
)
def test_a_list_that_makes_no_sense_is_left_out_of_account(folder, text):
    (folder / LIST).write_text(text, encoding="utf-8")
    assert write_report(folder, NEXT, "Invented Links")[1] == []
    assert contents(folder) == {**FIRST, **NEXT}


@pytest.mark.parametrize("name", ["../course.toml", "/course.toml", "..", ".", "..\\course.toml", "c:course.toml"])
def test_a_list_that_points_elsewhere_harms_nothing(folder, name):
    precious = folder.parent / "course.toml"
    precious.write_bytes(b"order a")
    known = json.loads((folder / LIST).read_text(encoding="utf-8"))
    known["files"][name] = known["files"]["order_a.pdf"]
    (folder / LIST).write_text(json.dumps(known), encoding="utf-8")
    write_report(folder, NEXT, "Invented Links")
    assert precious.read_bytes() == b"order a"


def test_links_are_not_followed_nor_taken_away(folder, tmp_path):
    (tmp_path / "order_a.pdf").write_bytes(b"order a")
    (folder / "order_a.pdf").unlink()
    (folder / "order_a.pdf").symlink_to(tmp_path / "order_a.pdf")
    assert write_report(folder, NEXT, "Invented Links")[1] == []
    assert (tmp_path / "order_a.pdf").read_bytes() == b"order a"


def test_a_name_that_differs_in_case_only_stays(folder):
    # on a disk that knows no case it would be the new file itself
    write_report(folder, {"ORDER_A.pdf": b"order a"}, "Invented Links")
    assert (folder / "order_a.pdf").exists()


def test_the_list_names_no_folder(folder, tmp_path):
    assert str(tmp_path) not in (folder / LIST).read_text(encoding="utf-8")
