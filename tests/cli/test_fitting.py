"""``turfgis mowing --fit``: each shape of the answer, and calls that cannot be used."""

import csv
import io

import pytest

HEAD = "date,machine,patch,minutes\n"


@pytest.fixture
def records(tmp_path):
    file = tmp_path / "times.csv"
    file.write_text(HEAD + "2027-05-10,mower,green-01,20\n2027-05-11,mower,green-01,22\n", encoding="utf-8")
    return file


def test_json_speaks_si_and_holds_the_lines(turfgis, folder, records):
    answer = turfgis("mowing", folder, "--fit", records, "--format", "json").answer
    (machine,) = answer["machines"]
    assert machine["machine"] == "mower"
    assert machine["records"] == 2
    speed = machine["figures"][0]
    assert (speed["name"], speed["unit"], speed["held"]) == ("speed", "m_s", False)
    # two times on one green: no more than one figure can be told
    assert machine["settings"].startswith("[machine.mower]  # 2 records\nspeed = ")
    assert sum(row["minutes"] for row in machine["records_fitted"]) == pytest.approx(42)


def test_csv_is_a_table_of_figures_or_patches(turfgis, folder, records):
    rows = list(csv.DictReader(io.StringIO(turfgis("mowing", folder, "--fit", records, "--format", "csv").out)))
    assert rows[0]["machine"] == "mower"
    said = turfgis("mowing", folder, "--fit", records, "--by", "patch", "--format", "csv").out
    (row,) = csv.DictReader(io.StringIO(said))
    assert row["patch"] == "green-01"
    assert float(row["residual_minutes"]) == pytest.approx(0, abs=1e-6)


def test_table_says_what_is_held(turfgis, folder, records):
    said = turfgis("mowing", folder, "--fit", records).out
    assert "held" in said
    assert "is held at the settings" in " ".join(said.split())


@pytest.mark.parametrize(
    ("more", "words"),
    [
        (["--width", "1 m"], "leave out --width"),
        (["--machine", "mower"], "leave out --width"),
    ],
)
def test_fitting_goes_by_the_machines_of_the_records(turfgis, folder, records, more, words):
    said = turfgis("mowing", folder, "--fit", records, *more)
    assert said.code == 2
    assert words in said.message


def test_records_are_not_written_over(turfgis, folder, records):
    said = turfgis("mowing", folder, "--fit", records, "--format", "csv", "-o", records)
    assert said.code == 2
    assert "is what the records are read from" in said.message
    assert records.read_text(encoding="utf-8").startswith(HEAD)


def test_a_file_that_is_not_there_and_a_course_without_settings(turfgis, folder, records):
    assert "no such file" in turfgis("mowing", folder, "--fit", folder / "nothing.csv").message
    assert "fitting needs machines" in turfgis("mowing", folder / "areas.geojson", "--fit", records).message
