"""``turfgis spray`` and ``turfgis calibrate`` as a person calls them: tables, sheets, records, labels, bad input."""

import csv
import io
import shutil
import subprocess

import openpyxl
import pytest

from turfgis.reports.cautions import CAUTIONS

SPRAYS = """
[material.soap]
kind = "liquid"
price = "10 EUR/l"
label = { most = "10 l/ha", most_a_year = "MOST", interval = "14 days", source = "typed in on 3 May" }
[material.iron]
kind = "liquid"
[machine.sprayer]
width = "6 m"
speed = "6 km/h"
efficiency = "60 %"
on = ["green", "fairway"]
mows = false
[machine.sprayer.spray]
tank = "30 l"
dead_volume = "1 l"
volume = "400 l/ha"
nozzles = 12
nozzle_spacing = "0.5 m"
[[job]]
name = "soap *greens*"
group = "wetting"
work = "spray"
on = ["green"]
rate = "10 l/ha"
material = "soap"
mixed_with = { iron = "4 l/ha" }
machine = "sprayer"
dates = [2027-05-01, 2027-06-01]
[[job]]
name = "iron on fairways"
work = "spray"
on = ["fairway"]
rate = "5 l/ha"
material = "iron"
machine = "sprayer"
keep_off = { green = "2 m" }
months = [6]
"""
POPPLER = shutil.which("pdftotext")


@pytest.fixture
def sprayed(folder):
    """The small course with two spray jobs, and so much of the first product in a year."""
    path = folder / "course.toml"
    plain = path.read_text(encoding="utf-8").replace("[[layer]]", "year = 2027\n[[layer]]", 1)

    def with_most(most="20 l/ha"):
        path.write_text(plain + SPRAYS.replace("MOST", most), encoding="utf-8")
        return folder

    return with_most


def test_the_plan_in_all_shapes_agrees(turfgis, sprayed):
    folder = sprayed()
    found = turfgis("spray", folder, "--format", "json").answer
    table = turfgis("spray", folder)
    rows = list(csv.DictReader(io.StringIO(turfgis("spray", folder, "--format", "csv").out)))
    soap, iron = found["jobs"]
    assert table.code == 0
    assert [one["job"] for one in found["jobs"]] == ["soap *greens*", "iron on fairways"]
    for plan in found["jobs"]:
        assert plan["treated_m2"] == pytest.approx(plan["net_m2"] - plan["kept_m2"])
        assert sum(one["treated_m2"] for one in plan["tanks"]) == pytest.approx(plan["treated_m2"])
        assert sum(one["mixed_l"] for one in plan["tanks"]) == pytest.approx(plan["mixed_l"])
        for product in plan["products"]:
            in_tanks = sum(tank["products_l"][product["material"]] for tank in plan["tanks"])
            assert in_tanks == pytest.approx(product["l"])
        own = [row for row in rows if row["job"] == plan["job"]]
        treated = sum(float(row["treated_m2"]) for row in own) / len(plan["products"])
        assert treated == pytest.approx(plan["treated_m2"], rel=1e-6)
    assert iron["kept_m2"] > 0
    assert len(soap["tanks"]) > 1
    assert found["refused"] == []
    assert CAUTIONS["spray_certified"] in found["cautions"]
    assert f"{soap['treated_m2']:,.0f}" in table.out
    assert "For certified users only" in table.out


def test_one_job_one_group_and_us_units(turfgis, sprayed):
    folder = sprayed()
    said = turfgis("spray", folder, "--group", "wetting", "--units", "us", "--ledger")
    assert said.code == 0
    assert "US fl oz" in said.out
    assert "Ledger of labels" in said.out
    assert "iron on fairways" not in said.out
    assert max(map(len, said.out.splitlines())) <= 100
    assert turfgis("spray", folder, "--job", "iron on fairways", "--order", "route", "--format", "json").answer["jobs"]


def test_a_broken_label_is_not_printed_and_exits_1(turfgis, sprayed, tmp_path):
    folder = sprayed("19 l/ha")
    said = turfgis("spray", folder)
    assert said.code == 1
    assert "soap: the label allows 19 l/ha in a year; 2027: 20 l/ha on green-01, green-02 (soap *greens*)" in said.err
    assert "iron on fairways" in said.out
    assert "soap *greens*:" not in said.out
    sheet = tmp_path / "sheet.pdf"
    assert turfgis("spray", folder, "--group", "wetting", "-o", sheet).code == 1
    assert not sheet.exists()


@pytest.mark.parametrize(("most", "there"), [("20 l/ha", True), ("19 l/ha", False), ("0 l/ha", False)])
def test_the_board_sends_nobody_out_against_a_label(turfgis, sprayed, most, there):
    said = turfgis("board", sprayed(most), "--date", "2027-05-01", "--also", "iron on fairways")
    assert said.code == 0
    assert ("soap *greens* breaks what was typed in from a label" in " ".join(said.out.split())) is not there
    assert "iron on fairways breaks" not in said.out


def test_a_maximum_of_zero_is_one_message(turfgis, sprayed):
    said = turfgis("spray", sprayed("0 l/ha"))
    told = [line for line in said.err.splitlines() if "about the drawing" not in line]
    assert said.code == 1
    assert len(told) == 1
    assert "soap *greens* is not planned: a maximum of zero was typed in from the label of soap" in told[0]
    assert "iron on fairways" in said.out


def test_what_stops_a_spray_job_is_in_the_check(turfgis, sprayed):
    folder = sprayed("19 l/ha")
    settings = folder / "course.toml"
    settings.write_text(settings.read_text(encoding="utf-8").replace('{ green = "2 m" }', '{ green = "300 m" }'))
    said = turfgis("check", folder, "--format", "json")
    found = {one["code"]: one for one in said.answer["findings"]}
    assert said.code == 1
    assert found["label_not_kept"]["level"] == "error"
    assert "the label allows 19 l/ha in a year" in found["label_not_kept"]["text"]
    assert found["kept_off_whole"]["feature"] == "iron on fairways"
    assert "leaves nothing of fairway" in found["kept_off_whole"]["text"]


@pytest.mark.skipif(not POPPLER, reason="poppler (pdftotext) is not installed")
def test_the_sheet_says_what_goes_into_each_tank(turfgis, sprayed, tmp_path):
    folder, sheet = sprayed(), tmp_path / "sheet.pdf"
    assert turfgis("spray", folder, "--job", "soap *greens*", "-o", sheet, "--date", "1 May 2027").code == 0
    text = subprocess.run(
        ["pdftotext", "-layout", sheet, "-"], capture_output=True, check=True, encoding="utf-8"
    ).stdout
    (plan,) = turfgis("spray", folder, "--job", "soap *greens*", "--format", "json").answer["jobs"]
    assert "Spray: soap *greens*" in text, "text of the settings is no markup"
    for tank in plan["tanks"]:
        for amount in (*tank["products_l"].values(),):
            assert f"{amount:.3f}" in text
        assert f"{tank['water_l']:.1f}" in text
    for words in ("1 May 2027", "typed in on 3 May", "start", "stop", "wind from", "temperature", "litres left"):
        assert words in text
    assert "For certified users only" in text
    again = tmp_path / "again.pdf"
    turfgis("spray", folder, "--job", "soap *greens*", "-o", again, "--date", "1 May 2027")
    assert again.read_bytes() == sheet.read_bytes()


RECORD = "date,job,material,quantity,area,tank,start,wind,leftover,batch,who,note\n"


def test_budget_and_takeoff_count_it_and_say_so(turfgis, sprayed, tmp_path):
    """20 l/ha on the greens where 19 are allowed: printed all the same, exit 0, and told wherever it is counted."""
    words = "soap: the label allows 19 l/ha in a year; 2027: 20 l/ha on green-01, green-02 (soap *greens*)"
    folder = sprayed("19 l/ha")
    for command in ("budget", "takeoff"):
        said = turfgis(command, folder)
        assert said.code == 0
        assert words in said.err
        assert words in " ".join(said.out.split())
    assert (
        f"{words}; it is counted here all the same." in turfgis("budget", folder, "--format", "json").answer["remarks"]
    )
    rows = turfgis("takeoff", folder, "--format", "json")
    assert words in rows.err
    assert {row["material"] for row in rows.answer} >= {"soap"}
    turfgis("budget", folder, "-o", tmp_path / "planner.xlsx")
    about = openpyxl.load_workbook(tmp_path / "planner.xlsx").worksheets[0]
    assert any(words in str(cell.value) for row in about for cell in row)


def test_budget_and_takeoff_say_nothing_of_labels_that_are_kept(turfgis, sprayed):
    folder = sprayed("20 l/ha")
    for command in ("budget", "takeoff"):
        said = turfgis(command, folder)
        assert "label allows" not in said.err + said.out


def test_a_maximum_of_zero_is_counted_and_told(turfgis, sprayed):
    said = turfgis("budget", sprayed("0 l/ha"))
    assert said.code == 0
    assert "a maximum of zero was typed in from the label of soap" in said.err


def test_a_record_counts_against_the_label(turfgis, sprayed, tmp_path):
    folder, record = sprayed(), tmp_path / "record.csv"
    (plan,) = turfgis("spray", folder, "--group", "wetting", "--format", "json").answer["jobs"]
    # two tanks of one day, together 12 l/ha over the treated area
    each = 12e-4 * plan["treated_m2"] / 2
    row = f'2027-05-01,soap *greens*,soap,"{each:.6f} l",,{{}},06:10,2 m/s,none,B17,the deputy,\n'
    record.write_text(RECORD + row.format(1) + row.format(2), encoding="utf-8")
    said = turfgis("spray", folder, "--group", "wetting", "--record", record, "--format", "json")
    assert said.code == 1
    assert "12 l/ha on green-01" in said.err
    assert "22 l/ha on green-01" in said.err
    done = {one["patch"]: one for one in said.answer["ledger"] if one["material"] == "soap"}
    assert done["green-01"]["done_l_ha"] == pytest.approx(12, rel=1e-4)
    assert done["green-01"]["last_day"] == "2027-05-01"
    assert "the records stand in place of the plan up to 2027-05-01" in " ".join(said.answer["remarks"])


def test_the_form_of_the_report_is_read_back(turfgis, sprayed, tmp_path):
    folder, out = sprayed(), tmp_path / "outputs"
    assert turfgis("report", folder, "-o", out).code == 0
    forms = sorted(path.name for path in out.glob("spray_*"))
    assert forms == [
        "spray_iron_on_fairways.pdf",
        "spray_record_iron_on_fairways.csv",
        "spray_record_soap_greens.csv",
        "spray_soap_greens.pdf",
    ]
    form = out / "spray_record_soap_greens.csv"
    assert "no record" in turfgis("spray", folder, "--record", form).err
    rows = list(csv.DictReader(form.open(encoding="utf-8-sig")))
    for row in rows:
        row["date"], row["quantity"] = "2027-05-01", row["note"].removeprefix("planned ")
    filled = tmp_path / "filled.csv"
    with filled.open("w", encoding="utf-8", newline="") as file:
        table = csv.DictWriter(file, list(rows[0]))
        table.writeheader()
        table.writerows(rows)
    said = turfgis("spray", folder, "--record", filled, "--format", "json").answer
    ledger = {(one["material"], one["patch"]): one for one in said["ledger"]}
    # the rest of the sprayer was measured out as well, so a little more than the rate
    assert 10 <= ledger["soap", "green-01"]["done_l_ha"] < 10.4
    assert ledger["iron", "green-01"]["times_done"] == 1


def test_the_report_leaves_out_what_a_label_stops(turfgis, sprayed, tmp_path):
    said = turfgis("report", sprayed("19 l/ha"), "-o", tmp_path / "outputs")
    assert "the label allows 19 l/ha in a year" in said.err
    assert not (tmp_path / "outputs" / "spray_soap_greens.pdf").exists()
    assert (tmp_path / "outputs" / "spray_iron_on_fairways.pdf").exists()


@pytest.mark.parametrize(
    ("row", "words"),
    [
        ("2027-13-01,soap *greens*,soap,1 l,,,,,,,,\n", "cell A2: '2027-13-01' is not a day"),
        ("2027-05-01,soap greens,soap,1 l,,,,,,,,\n", "cell B2: no spray job 'soap greens'; did you mean"),
        ("2027-05-01,soap *greens*,sope,1 l,,,,,,,,\n", "cell C2: no liquid 'sope'; did you mean 'soap'"),
        ("2027-05-01,soap *greens*,soap,1 kg,,,,,,,,\n", "cell D2: '1 kg' is not a volume"),
        ("2027-05-01,soap *greens*,soap,-1 l,,,,,,,,\n", "cell D2: -1 l is below zero"),
        ("2027-05-01,,soap,1 l,,,,,,,,\n", "cell B2: nothing says where"),
        ("2027-05-01,soap *greens*,soap,1 l,2 l,,,,,,,\n", "cell E2: '2 l' is not a"),
    ],
)
def test_records_that_cannot_be_used(turfgis, sprayed, tmp_path, row, words):
    record = tmp_path / "record.csv"
    record.write_text(RECORD + row, encoding="utf-8")
    assert words in turfgis("spray", sprayed(), "--record", record).message


def test_the_record_is_not_written_over(turfgis, sprayed, tmp_path):
    record = tmp_path / "record.csv"
    record.write_text(RECORD, encoding="utf-8")
    said = turfgis("spray", sprayed(), "--record", record, "-o", record)
    assert "is a record that is read" in said.message


class TestCalibrate:
    def test_a_catch(self, turfgis):
        words = ("calibrate", "--catch", "0.74, 0.76, 0.75 l", "--during", "30 s", "--run", "50 m in 30 s")
        found = turfgis(*words, "--spacing", "0.5 m", "--want", "320 l/ha", "--format", "json").answer
        assert found["mean_flow_l_min"] == pytest.approx(1.5)
        assert found["rate_l_ha"] == pytest.approx(300)
        assert found["error_pct"] == pytest.approx(-6.25)
        assert found["flow_wanted_l_min"] == pytest.approx(1.6)
        assert found["speed_wanted_km_h"] == pytest.approx(6 * 300 / 320)

    def test_the_strip_of_the_us_form(self, turfgis):
        # Good Fruit Grower, Calibration steps: 4 gallons on a strip of 436 ft by 10 ft are 40 gallons to the acre
        said = turfgis("calibrate", "--used", "4 US gal", "--over", "436 ft x 10 ft", "--units", "us")
        assert "40.0 US gal/acre" in said.out
        assert "For certified users only" in said.out

    def test_a_spreader_that_puts_out_too_much(self, turfgis):
        said = turfgis("calibrate", "--used", "0.35 kg", "--over", "10 m x 1 m", "--want", "25 g/m2")
        assert "40.0 % too much" in said.out
        assert "would reach 71.4 % of it" in said.out

    def test_what_is_not_typed_comes_from_the_machine(self, turfgis, sprayed):
        said = turfgis("calibrate", sprayed(), "--machine", "sprayer")
        assert "each nozzle must put out 2.000 l/min" in said.out
        assert "5 % too much" in said.out

    @pytest.mark.parametrize(
        ("words", "message"),
        [
            (["--catch", "1 l"], "go together"),
            (["--catch", "1 kg", "--during", "30 s"], "--catch: '1 kg' is not a volume"),
            (["--used", "1 l"], "--used and --over go together"),
            (["--used", "1 l", "--over", "10 m"], "write length and width, like '50 m x 6 m'"),
            (["--run", "50 m"], "write it like '50 m in 32 s'"),
            (["--run", "50 m in 30 s", "--speed", "6 km/h"], "two ways to say one thing"),
            (["--machine", "sprayer"], "name its folder as well"),
            (["--want", "400 l/ha"], "needs the distance between nozzles"),
            ([], "nothing was caught and nothing is wanted"),
            (["--catch", "0 l", "--during", "30 s", "--speed", "6 km/h", "--spacing", "0.5 m"], "nothing came out"),
            (["--want", "0 l/ha", "--speed", "6 km/h", "--spacing", "0.5 m"], "--want 0 l/ha: must be above zero"),
        ],
    )
    def test_calls_that_cannot_be_done(self, turfgis, words, message):
        assert message in turfgis("calibrate", *words).message
