"""``turfgis order --by supplier``: shapes, sheets, and calls that cannot be done."""

import csv
import io

import openpyxl
import pytest

MORE = """
[supplier."-quarry"]
lead = "1 week"
deliver_to = "=the yard"
[labour]
wage = "20 EUR/h"
"""


@pytest.fixture
def supplied(folder):
    """The small course, its sand from a supplier of a risky name, its seed from nobody named."""
    path = folder / "course.toml"
    text = path.read_text(encoding="utf-8").replace("[[layer]]", "year = 2027\n[[layer]]", 1)
    text = text.replace(
        'load = "2 t"', 'load = "2 t"\nsupplier = "-quarry"\nspecification = ["@ washed", "-1 to +2 mm"]'
    )
    path.write_text(text.replace('depth = "2 mm ± 12 %"', 'depth = "2 mm"\nmonths = [4]') + MORE, encoding="utf-8")
    return folder


def test_all_suppliers_as_json(turfgis, supplied):
    answer = turfgis("order", supplied, "--by", "supplier", "--format", "json").answer
    assert [one["supplier"] for one in answer["suppliers"]] == ["-quarry", None]
    sand = answer["suppliers"][0]["lines"][0]
    # 4,000 m2 and a bit are not worked out here: the budget is the other way to the same sums
    budget = turfgis("budget", supplied, "--format", "json").answer
    by_material = {row["material"]: row for row in budget["by_material"]}
    assert sand["loads"] == by_material["sand"]["packs"]
    assert sand["ordered_t"] == pytest.approx(by_material["sand"]["delivered_kg"] / 1000, rel=1e-12)
    assert sum(drop["t"] for drop in sand["deliveries"]) == pytest.approx(sand["ordered_t"], rel=1e-12)
    assert answer["budgeted"] == pytest.approx(sum(row["cost"] for row in budget["by_material"]), rel=1e-12)
    assert (sand["deliveries"][0]["wanted"], sand["specification"]) == ("2027-04-01", ["@ washed", "-1 to +2 mm"])
    seed = answer["suppliers"][1]["lines"][0]
    assert {"ordered_kg", "packs", "pack_kg", "price_per_kg"} <= set(seed)
    assert (seed["price_per_kg"], seed["goods"]) == (None, None)


def test_one_supplier_as_json_is_that_order(turfgis, supplied):
    answer = turfgis("order", supplied, "--supplier", "-quarry", "--format", "json").answer
    assert (answer["supplier"], len(answer["lines"])) == ("-quarry", 1)
    assert any("dust" in text for text in answer["cautions"])


def test_csv_adds_up_and_runs_nothing(turfgis, supplied):
    said = turfgis("order", supplied, "--by", "supplier", "--format", "csv")
    rows = list(csv.DictReader(io.StringIO(said.out)))
    assert rows[0]["supplier"] == "'-quarry"
    assert rows[0]["specification"].startswith("'@ washed")
    answer = turfgis("order", supplied, "--by", "supplier", "--format", "json").answer
    assert sum(float(row["cost"] or 0) for row in rows) == pytest.approx(answer["cost"], rel=1e-6)


def test_text_keeps_within_the_screen(turfgis, supplied):
    for units in ("metric", "us"):
        text = turfgis("order", supplied, "--by", "supplier", "--units", units).out
        assert all(len(line) <= 100 for line in text.splitlines())
        assert "Order to -quarry" in text
        assert "supplier not named" in text
        assert ("US ton" if units == "us" else "t is the tonne") in text


def test_sheets(turfgis, supplied, tmp_path):
    assert turfgis("order", supplied, "--supplier", "-quarry", "-o", tmp_path / "one.pdf").code == 0
    assert (tmp_path / "one.pdf").read_bytes().startswith(b"%PDF")
    assert turfgis("order", supplied, "--by", "supplier", "-o", tmp_path / "all.xlsx").code == 0
    book = openpyxl.load_workbook(tmp_path / "all.xlsx")
    cells = [cell for sheet in book for row in sheet.iter_rows() for cell in row]
    assert {
        "-quarry",
        "@ washed; -1 to +2 mm; reckoned with moisture of 2 % to 9 %, most likely 5 % of the dry weight, "
        "1,600 kg/m3 dry, as placed",
    } <= {cell.value for cell in cells}
    formulas = [cell.value for cell in cells if cell.data_type == "f"]
    assert all(text.startswith("=SUBTOTAL(") for text in formulas)


def test_a_report_has_a_sheet_for_each_supplier(turfgis, supplied, tmp_path):
    assert turfgis("report", supplied, "-o", tmp_path / "out").code == 0
    found = {path.name for path in (tmp_path / "out").glob("supplier_*")}
    assert found == {
        f"supplier_{name}.{kind}" for name in ("-quarry", "supplier_not_named") for kind in ("pdf", "json")
    }


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (("--supplier", "quary"), "no material has the supplier 'quary'; did you mean '-quarry'?"),
        (("--by", "supplier", "--material", "sand"), "--material and --working belong to orders by material"),
        (("--by", "supplier", "-o", "x.pdf"), "a sheet goes to one supplier; choose one with --supplier"),
        (("--by", "supplier", "-o", "x.docx"), "does not write .docx files"),
        (("--by", "supplier", "--group", "autumn"), "no job of the group 'autumn' takes a material"),
    ],
)
def test_calls_that_cannot_be_done(turfgis, supplied, words, message):
    assert message in turfgis("order", supplied, *words).message


def test_a_later_report_takes_away_sheets_that_nobody_changed(turfgis, supplied, tmp_path):
    out = tmp_path / "out"
    turfgis("report", supplied, "-o", out)
    path = supplied / "course.toml"
    path.write_text(path.read_text(encoding="utf-8").replace('"-quarry"', '"pit"'), encoding="utf-8")
    (out / "supplier_-quarry.json").write_text("sent", encoding="utf-8")
    part = turfgis("report", supplied, "-o", out, "--group", "renovation")
    assert "removed" not in part.out
    said = turfgis("report", supplied, "-o", out)
    assert [line for line in said.out.splitlines() if line.startswith("removed")] == [
        f"removed {out / 'supplier_-quarry.pdf'}, which an earlier report wrote"
    ]
    assert (out / "supplier_-quarry.json").read_text(encoding="utf-8") == "sent"
    assert (out / "supplier_pit.pdf").exists()
