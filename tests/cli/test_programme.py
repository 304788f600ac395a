"""``turfgis programme``: the year job by job and month by month."""

import csv
import io

import pytest

MORE = """
[material.soap]
kind = "liquid"
pack = "1 l"
[[job]]
name = "cut"
group = "mowing"
work = "mow"
on = ["green"]
machine = "mower"
months = { 4 = 3, 5 = 4 }
[[job]]
name = "=wet"
group = "spring"
work = "spray"
on = ["green"]
holes = [2]
rate = "10 l/ha"
material = "soap"
dates = [2027-06-07, 2027-05-03, 2027-05-17]
[[job]]
name = "divots"
work = "divot_mix"
on = ["green"]
sand = "sand"
mix_per_round = "0.3 l"
[[job]]
name = "flags"
work = "purchase"
amount = "30 EUR"
count = 4
"""


@pytest.fixture
def planned(folder):
    path = folder / "course.toml"
    text = path.read_text(encoding="utf-8")
    text = text.replace("[[layer]]", "year = 2027\nrounds = { 4 = 2100, 5 = 2600 }\n[[layer]]", 1)
    path.write_text(text + MORE, encoding="utf-8")
    return folder


@pytest.fixture
def jobs(turfgis, planned):
    return {row["job"]: row for row in turfgis("programme", planned, "--format", "json").answer}


def test_groups_stand_together_in_the_order_of_the_settings(jobs):
    assert list(jobs) == ["dress", "sow", "=wet", "cut", "divots", "flags"]


def test_when_each_job_is_done(jobs):
    assert (jobs["cut"]["months"], jobs["cut"]["times"]) == ({"2027-04": 3, "2027-05": 4}, 7)
    assert jobs["=wet"]["dates"] == ["2027-05-03", "2027-05-17", "2027-06-07"]
    assert (jobs["=wet"]["months"], jobs["=wet"]["times"]) == ({"2027-05": 2, "2027-06": 1}, 3)
    assert (jobs["dress"]["dates"], jobs["dress"]["months"], jobs["dress"]["times"]) == ([], {}, 1)
    assert (jobs["divots"]["rounds"], jobs["divots"]["times"]) == ({"2027-04": 2100, "2027-05": 2600}, None)


def test_how_much_of_what(jobs, turfgis, planned):
    # by hand: 10 l/ha is a millilitre on a square metre; three times; only on hole 2
    areas = {
        row["patch"]: row["net_m2"] for row in turfgis("areas", planned, "--by", "patch", "--format", "json").answer
    }
    wet = jobs["=wet"]
    assert (wet["on"], wet["holes"], wet["rate"]) == (["green"], ["2"], "10 l/ha")
    assert wet["treated_m2"] == pytest.approx(areas["green-02"], rel=1e-12)
    assert wet["materials"] == [
        {
            "material": "soap",
            "each_l": pytest.approx(areas["green-02"] / 1000, rel=1e-12),
            "year_l": pytest.approx(3 * areas["green-02"] / 1000, rel=1e-12),
        }
    ]
    # 0.3 l a round, 4,700 rounds, 1.6 t/m3: 2.256 t dry; moisture from 2 to 9 %, mean 16 / 3 %
    (sand,) = jobs["divots"]["materials"]
    assert jobs["divots"]["treated_m2"] is None  # some of the ground, and nobody knows which
    assert jobs["divots"]["net_m2"] == pytest.approx(areas["green-01"] + areas["green-02"], rel=1e-12)
    assert (sand["each_t"], sand["year_t"]) == (None, pytest.approx(2.256 * (1 + 0.16 / 3), rel=1e-9))


def test_csv_has_a_row_for_each_time(turfgis, planned):
    said = turfgis("programme", planned, "--format", "csv")
    rows = list(csv.DictReader(io.StringIO(said.out)))
    wet = [row for row in rows if row["job"] == "'=wet"]
    assert [(row["date"], row["times"], row["material"], row["rate"]) for row in wet] == [
        (day, "1", "soap", "10 l/ha") for day in ("2027-05-03", "2027-05-17", "2027-06-07")
    ]


@pytest.mark.parametrize("units", ["metric", "us"])
def test_strip_of_months_on_the_screen(turfgis, planned, units):
    text = turfgis("programme", planned, "--units", units).out
    head, _, *lines = text.splitlines()
    assert " ".join(head.split()) == "job Jan Feb Mar Apr May Jun Jul Aug Sep Oct Nov Dec no date"
    strip = {line.split()[0]: line for line in lines[:6]}
    assert strip["cut"][head.index("Apr")] == "3"
    assert strip["cut"][head.index("May")] == "4"
    assert strip["=wet"].split() == ["=wet", "2", "1"]
    assert strip["=wet"].index("2") == head.index("May")
    assert strip["divots"].split() == ["divots", "*", "*"]
    assert strip["dress"].split() == ["dress", "1", "x"]
    assert all(len(line) <= 100 for line in text.splitlines())
    # 10 l/ha: NIST SP 811, appendix B.8, gallon (US) 3.785412 l and acre 4,046.873 m2 give 1.069 US gal/acre
    assert ("10 l/ha" if units == "metric" else "1.07 US gal/acre") in text


def test_printed(turfgis, planned, tmp_path):
    assert turfgis("programme", planned, "-o", tmp_path / "year.pdf").code == 0
    assert (tmp_path / "year.pdf").read_bytes().startswith(b"%PDF")
    assert "does not write .svg" not in turfgis("programme", planned, "-o", tmp_path / "year.csv").err
    assert "this command does not write .xlsx files" in turfgis("programme", planned, "-o", "x.xlsx").message


def test_months_of_other_years_are_shown_and_remarked(turfgis, planned):
    path = planned / "course.toml"
    path.write_text(path.read_text(encoding="utf-8").replace("2027-06-07", "2028-01-07"), encoding="utf-8")
    text = turfgis("programme", planned).out
    assert "Jan 27" in text.splitlines()[0]
    assert "Jan 28" in text.splitlines()[0]
    assert "Done outside 2027: =wet." in text
