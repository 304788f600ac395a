"""``turfgis actual`` as a person calls it: each form, and calls that cannot be done."""

import csv
import io

import pytest

HEAD = "date;kind;job;hole;machine;quantity;hopper;note\n"
GOOD = HEAD + (
    "2027-04-01;hopper;dress;1;;2 hoppers;800 kg;=1+1\n"
    "2027-04-01;hopper;dress;2;;3;810 kg;\n"
    "02.04.2027;delivery;sow;;;9,5 kg;;\n"
)


@pytest.fixture
def tickets(tmp_path):
    def write(text, name="tickets.csv"):
        path = tmp_path / name
        path.write_text(text, encoding="utf-8")
        return path

    return write


def test_as_json(turfgis, folder, tickets):
    before = (folder / "course.toml").read_bytes()
    answer = turfgis("actual", folder, tickets(GOOD), "--format", "json").answer
    rows = {row["job"]: row for row in answer["by_job"]}
    # 2 x 800 + 3 x 810 kg
    assert (rows["dress"]["actual"], rows["dress"]["records"]) == (pytest.approx(4030), 2)
    assert rows["sow"]["actual"] == pytest.approx(9.5)
    for job, row in rows.items():
        parts = [one for one in answer["by_patch"] if one["job"] == job]
        assert sum(one["actual"] for one in parts) == pytest.approx(row["actual"])
        assert sum(one["planned"] for one in parts) == pytest.approx(row["planned"])
    assert answer["records"] == 3
    assert {one["name"] for one in answer["coefficients"]} >= {"hopper", "rate", "depth"}
    assert "depth = " in answer["proposed_toml"]
    assert (folder / "course.toml").read_bytes() == before


@pytest.mark.parametrize("by", ["job", "patch", "coefficient"])
def test_as_csv_and_table(turfgis, folder, tickets, by):
    said = turfgis("actual", folder, tickets(GOOD), "--by", by, "--format", "csv")
    rows = list(csv.DictReader(io.StringIO(said.out)))
    assert said.code == 0
    assert {row["job"] for row in rows} >= {"dress", "sow"}
    table = turfgis("actual", folder, tickets(GOOD), "--by", by).out
    assert "For next year, to copy into course.toml" in table
    american = turfgis("actual", folder, tickets(GOOD), "--by", by, "--units", "us").out
    for text in (table, american):
        assert max(map(len, text.splitlines())) <= 100
        assert "…" not in text


def test_names_like_formulas_stay_text(turfgis, folder, tickets):
    path = folder / "course.toml"
    path.write_text(path.read_text(encoding="utf-8").replace('name = "dress"', 'name = "=dress"'), encoding="utf-8")
    said = turfgis("actual", folder, tickets(GOOD.replace("dress", "=dress")), "--format", "csv")
    assert {row["job"] for row in csv.DictReader(io.StringIO(said.out))} == {"'=dress", "sow"}


def test_what_has_no_record_is_counted(turfgis, folder, tickets):
    path = folder / "course.toml"
    jobs = "".join(
        f'[[job]]\nname = "sow {at}"\nwork = "overseed"\non = ["green"]\nrate = "8 g/m2"\nmaterial = "bent"\n'
        for at in range(1, 8)
    )
    path.write_text(path.read_text(encoding="utf-8") + jobs, encoding="utf-8")
    text = " ".join(turfgis("actual", folder, tickets(GOOD)).out.split())
    assert "7 jobs (sow 1, sow 2, sow 3, sow 4, sow 5 and 2 more; json names them all)." in text
    answer = turfgis("actual", folder, tickets(GOOD), "--format", "json").answer
    assert [one["job"] for one in answer["unrecorded"]] == [f"sow {at}" for at in range(1, 8)]


def test_up_to_a_day(turfgis, folder, tickets):
    answer = turfgis("actual", folder, tickets(GOOD), "--until", "2027-04-01", "--format", "json").answer
    assert (answer["records"], answer["until"]) == (2, "2027-04-01")
    said = turfgis("actual", folder, tickets(GOOD), "--until", "2027-02-30")
    assert said.message.startswith("turfgis: --until: '2027-02-30' is not a day that exists")


def test_bad_records_leave_nothing_behind(turfgis, folder, tickets, tmp_path):
    for text, words in (
        (GOOD.replace("02.04.2027", "30.02.2027"), "tickets.csv, cell A4: '30.02.2027' is not a day that exists"),
        (GOOD.replace("sow", "sowing"), "tickets.csv, cell C4: no job 'sowing'; did you mean 'sow'?"),
    ):
        said = turfgis("actual", folder, tickets(text), "-o", tmp_path / "out.json")
        assert said.message.startswith(f"turfgis: {words}")
        assert not (tmp_path / "out.json").exists()


def test_calls_that_cannot_be_done(turfgis, folder, tickets, tmp_path):
    assert "RECORDS" in turfgis("actual", folder).message
    good = tickets(GOOD)
    assert "is what the records are read from" in turfgis("actual", folder, good, "-o", good).message
    assert good.read_text(encoding="utf-8") == GOOD
    assert "no such file" in turfgis("actual", folder, tmp_path / "none.csv").message
    assert "plan and actual need jobs" in turfgis("actual", folder / "areas.geojson", good).message


def test_windows_letters_are_said(turfgis, folder, tmp_path):
    path = tmp_path / "old.csv"
    path.write_bytes((GOOD + "2027-04-03;delivery;sow;;;1 kg;;Grün\n").encode("cp1252"))
    assert "read as Windows-1252" in turfgis("actual", folder, path, "--format", "csv").err
    assert "read as Windows-1252" in turfgis("actual", folder, path).out
