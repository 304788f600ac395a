"""``turfgis ledger`` as a table, CSV and JSON; exit code 1 for a plan that breaks a limit."""

import csv
import io

import pytest

from turfgis.reports.ledger_rows import NOTES, PARTS

MORE = """
[material.feed]
kind = "fertiliser"
analysis = { N = "5 %", P2O5 = "5 %", K2O = "15 %" }
[[job]]
name = "feed"
work = "fertilise"
on = ["green"]
rate = "25 g/m2"
material = "feed"
months = { 4 = 2, 5 = 1 }
overthrow = "10 %"
[limit.nitrogen]
nutrient = "N"
on = ["green"]
most = "MOST"
area = "treated"
"""


@pytest.fixture
def fed(folder):
    """The small course with three feeds of 12.5 kg/ha of nitrogen, and a limit of so much a year."""
    path = folder / "course.toml"
    plain = path.read_text(encoding="utf-8").replace("[[layer]]", "year = 2027\n[[layer]]", 1)
    plain = plain.replace('depth = "2 mm ± 12 %"', 'depth = "2 mm ± 12 %"\noverthrow = "1 m"')

    def with_limit(most):
        path.write_text(plain + MORE.replace("MOST", most), encoding="utf-8")
        return folder

    return with_limit


def test_a_plan_that_keeps_its_limits(turfgis, fed):
    said = turfgis("ledger", fed("37.5 kg/ha"))
    assert (said.code, said.err) == (0, "")
    assert "BROKEN" not in said.out


@pytest.mark.parametrize("shape", ["table", "csv", "json"])
def test_a_plan_that_breaks_one_says_so_and_exits_1(shape, turfgis, fed):
    said = turfgis("ledger", fed("37.4 kg/ha"), "--format", shape)
    assert said.code == 1
    assert "limit nitrogen is broken on green: green-01 gets 37.5 kg/ha of N in 2027" in said.err
    assert "may get 37.4 kg/ha; so does one more" in said.err
    assert said.out, "the ledger itself is still given"


@pytest.mark.parametrize("command", ["programme", "budget", "report"])
def test_what_shows_the_plan_says_so_too(command, turfgis, fed, tmp_path):
    broken = "turfgis: limit nitrogen is broken on green: green-01 gets 37.5 kg/ha of N in 2027"
    more = ["-o", tmp_path / "made"] if command == "report" else []
    assert broken in turfgis(command, fed("37.4 kg/ha"), *more).err
    assert "limit" not in turfgis(command, fed("37.5 kg/ha"), *more).err


def test_the_table_says_it_too(turfgis, fed):
    words = " ".join(turfgis("ledger", fed("37.4 kg/ha")).out.split())
    assert "BROKEN" in words
    assert "limit nitrogen is broken on green" in words


def test_cautions_stand_beside_the_figures(turfgis, fed):
    words = " ".join(turfgis("ledger", fed("40 kg/ha")).out.split())
    for name in ("nutrients", "sand", "edges", "limits", "areas"):
        assert " ".join(NOTES[name].split()) in words
    assert "soil analysis, closed periods" in words
    assert "soil analysis, closed periods" in turfgis("ledger", fed("40 kg/ha"), "--format", "csv").err


def test_three_units_of_one_dose(turfgis, fed):
    rows = turfgis("ledger", fed("40 kg/ha"), "--format", "json").answer["nutrients"]["months"]
    april = next(row for row in rows if (row["nutrient"], row["when"]) == ("N", "2027-04"))
    # two of 25 g/m2 of 5 %: 25 kg/ha, 2.5 g/m2; a pound is 453.59237 g and a foot 0.3048 m by definition
    assert april["treated_kg_ha"] == pytest.approx(25)
    assert april["treated_g_m2"] == pytest.approx(2.5)
    assert april["treated_lb_1000ft2"] == pytest.approx(2.5 * 1000 * 0.3048**2 / 453.59237)
    assert april["net_kg_ha"] == pytest.approx(27.5)  # a tenth more is put out
    may = next(row for row in rows if (row["nutrient"], row["when"]) == ("N", "2027-05"))
    assert may["running_treated_kg_ha"] == pytest.approx(37.5)
    assert may["running_net_lb_1000ft2"] == pytest.approx(1.1 * 3.75 * 1000 * 0.3048**2 / 453.59237)


def test_json_holds_every_part(turfgis, fed):
    answer = turfgis("ledger", fed("37.4 kg/ha"), "--format", "json").answer
    assert {"nutrients", "sand", "edges", "limits", "kept", "remarks", "notes"} == set(answer)
    assert answer["kept"] is False
    (limit,) = answer["limits"]
    assert (limit["broken"], limit["over"], limit["most_mm"]) == (True, "green-01 green-02", None)
    assert limit["highest_kg_ha"] == pytest.approx(37.5)
    assert [row["sand"] for row in answer["sand"]["years"]] == ["on the surface", "in all"]
    assert answer["sand"]["years"][0]["treated_mm"] == pytest.approx(2)
    (edge,) = answer["edges"]
    assert edge["by_edge_mm"] == pytest.approx(2)
    elements = {row["nutrient"] for row in answer["nutrients"]["years"]}
    assert elements == {"N", "P2O5", "K2O", "P", "K"}


@pytest.mark.parametrize("part", PARTS)
def test_each_part_alone(part, turfgis, fed):
    rows = list(csv.DictReader(io.StringIO(turfgis("ledger", fed("40 kg/ha"), "--of", part, "--format", "csv").out)))
    assert rows
    assert ("limit" if part == "limits" else "when") in rows[0]
    text = turfgis("ledger", fed("40 kg/ha"), "--of", part).out
    titles = ("Nutrients in the year", "Sand in the year", "Sand thrown past the edge", "Limits of the club")
    assert [title in text for title in titles] == [name == part for name in PARTS]


@pytest.mark.parametrize("units", ["metric", "us"])
def test_no_line_is_wider_than_a_page(units, turfgis, fed):
    said = turfgis("ledger", fed("37.4 kg/ha"), "--units", units)
    assert all(len(line) <= 100 for line in said.out.splitlines())
    assert ("lb/1000 ft2 of N" in said.err) is (units == "us")


def test_a_limit_of_another_kind_of_figure(turfgis, fed):
    message = turfgis("ledger", fed("40 mm")).message
    assert "limit.nitrogen.most" in message
    assert "kg/ha" in message


def test_a_drawing_alone_has_no_ledger(turfgis, folder):
    assert "turfgis start" in turfgis("ledger", folder / "areas.geojson").message


def test_settings_without_jobs(turfgis, folder):
    path = folder / "course.toml"
    path.write_text(path.read_text(encoding="utf-8").split("[material.sand]")[0], encoding="utf-8")
    said = turfgis("ledger", folder)
    assert (said.code, said.out.splitlines()[0]) == (0, "Nothing to enter: no job brings what was asked for.")
    assert turfgis("ledger", folder, "--format", "json").answer["kept"] is True


def test_a_result_in_a_file_still_exits_1(turfgis, fed, tmp_path):
    said = turfgis("ledger", fed("37.4 kg/ha"), "-o", tmp_path / "ledger.json")
    assert (said.code, said.out) == (1, "")
    assert (tmp_path / "ledger.json").read_text(encoding="utf-8").startswith("{")
