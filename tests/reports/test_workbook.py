"""The workbook, read back with openpyxl."""

import io
import re
import zipfile

import openpyxl
import pandas as pd
import pytest

from turfgis.layers.findings import Finding
from turfgis.reports.workbook import HEAD_ROW, write_workbook

FORMULA = '=HYPERLINK("http://x.example","y")'
HEADS = HEAD_ROW + 1  # openpyxl counts from one


@pytest.fixture
def parts(patches, facts, small_order, feed_order):
    risky = patches.copy()
    risky.loc[0, "name"] = FORMULA
    risky.loc[1, "name"] = "http://x.example"
    risky.loc[2, "name"] = "+1"
    risky.loc[3, "name"] = "0012"
    mowing = [
        {"surface": "green", "machine": "-walker", "width_m": 0.56, "patches": 3, "net_m2": 1500.0}
        | {
            "perimeter_m": 240.0,
            "cutting_minutes": 60.0,
            "clean_up_minutes": 6.0,
            "minutes": 66.0,
            "method": "handbook",
        }
    ]
    takeoff = pd.DataFrame(
        {
            **{"job": ["mow", "feed"], "group": ["", "@spring"], "work": ["mow", "fertilise"]},
            **{"patch": ["green-02", "green-02"], "surface": ["green"] * 2, "hole": ["2"] * 2},
            **{"net_m2": [500.0] * 2, "treated_m2": [500.0, 550.0], "resource": ["machine", "material"]},
            **{"material": ["walker", "spring_feed"], "quantity": [5400.0, 11.0], "unit": ["s", "kg"]},
            **{"u_quantity": [float("nan"), 0.4], "cost": [float("nan"), 13.2]},
        }
    )
    findings = [Finding("note", "mended", "a.gpkg", "greens", "7", "=1+1 was mended.\x07 3 m2 lost.")]
    given = {"orders": [small_order, feed_order], "mowing": mowing, "takeoff": takeoff, "findings": findings}
    return {"facts": facts, "patches": risky, **given}


def written(parts, **more):
    buffer = io.BytesIO()
    write_workbook(buffer, **{**parts, **more})
    return buffer.getvalue()


@pytest.fixture
def book(parts):
    return openpyxl.load_workbook(io.BytesIO(written(parts)))


def heads(sheet):
    return [str(cell.value).split("\n")[0] for cell in sheet[HEADS]]


def values(sheet, head):
    at = heads(sheet).index(head) + 1
    return [sheet.cell(row, at).value for row in range(HEADS + 1, sheet.max_row + 1)]


def test_sheets(book):
    assert book.sheetnames == [
        *("About", "By surface", "By hole", "By part", "Patches", "Orders", "Order lines"),
        *("Mowing", "Take-off", "Findings"),
    ]


def test_sheets_without_rows_are_left_out(parts):
    bare = written({"facts": parts["facts"], "patches": parts["patches"]})
    assert openpyxl.load_workbook(io.BytesIO(bare)).sheetnames == [
        *("About", "By surface", "By hole", "By part", "Patches")
    ]


def test_no_text_became_a_formula_or_a_link(book):
    for sheet in book:
        for row in sheet.iter_rows():
            for cell in row:
                assert cell.hyperlink is None
                if cell.data_type == "f":
                    assert re.fullmatch(r"=(SUM|SUBTOTAL)\([A-Z0-9,:]+\)", cell.value), (sheet.title, cell.coordinate)
    assert FORMULA in values(book["Patches"], "name")
    at = values(book["Patches"], "name").index(FORMULA)
    cell = book["Patches"].cell(HEADS + 1 + at, heads(book["Patches"]).index("name") + 1)
    assert cell.data_type == "s"
    assert "0012" in values(book["Patches"], "name"), "text that looks like a number keeps its noughts"
    assert "=1+1 was mended. 3 m2 lost." in values(book["Findings"], "text")


def test_figures_are_numbers_with_formats(book):
    sheet = book["Patches"]
    net = sheet.cell(HEADS + 1, heads(sheet).index("net area") + 1)
    assert net.data_type == "n"
    assert net.number_format == "#,##0"
    lines = book["Order lines"]
    assert lines.cell(HEADS + 1, heads(lines).index("delivered") + 1).number_format == "#,##0.00"
    assert values(sheet, "hole")[:2] == [2, 10], "so that ten sorts after two"


def test_totals_are_formulas_with_their_value(parts):
    data = written(parts)
    formulas = openpyxl.load_workbook(io.BytesIO(data))["By surface"]
    stored = openpyxl.load_workbook(io.BytesIO(data), data_only=True)["By surface"]
    last = HEADS + 4
    assert formulas.cell(last, 1).value == "total"
    at = heads(formulas).index("net area") + 1
    assert formulas.cell(last, at).value == f"=SUBTOTAL(109,D{HEADS + 1}:D{HEADS + 3})"
    assert stored.cell(last, at).value == pytest.approx(2600.0)
    give = heads(formulas).index("±") + 1
    assert formulas.cell(last, give).value == pytest.approx(1.96 * 173**0.5), "a plus-minus is no sum; see test_tables"


def test_by_hole_sums_each_part_and_the_whole(parts):
    more = pd.concat([parts["patches"], parts["patches"].assign(hole=["11", "3", "3", "practice", None])])
    data = written(parts, patches=more)
    formulas = openpyxl.load_workbook(io.BytesIO(data))["By hole"]
    stored = openpyxl.load_workbook(io.BytesIO(data), data_only=True)["By hole"]
    labels = values(stored, "hole")
    assert labels == [2, 3, "front nine", 10, 11, "back nine", "practice", "no hole", "total"]
    greens = values(stored, "green")
    assert greens == pytest.approx([500.0, 500.0, 1000.0, 600.0, 600.0, 1200.0, 800.0, None, 3000.0], nan_ok=True)
    # what a spreadsheet would reckon: every formula equals the sum of the rows it names
    for row, label in enumerate(labels, start=HEADS + 1):
        if label in ("front nine", "back nine", "total"):
            spans = re.findall(r"B(\d+)(?::B(\d+))?", formulas.cell(row, 2).value)
            named = [at for first, last in spans for at in range(int(first), int(last or first) + 1)]
            assert stored.cell(row, 2).value == pytest.approx(
                sum(stored.cell(at, 2).value or 0 for at in named), rel=1e-12
            )


def test_heads_stay_and_can_be_filtered(book):
    for sheet in list(book)[1:]:
        assert sheet.freeze_panes == f"B{HEADS + 1}", sheet.title
        assert sheet.page_setup.orientation == "landscape"
        assert sheet.page_setup.fitToWidth in (None, 1), "1 where it is not written: ECMA-376 part 1, 18.3.1.63"
        assert sheet.page_setup.fitToHeight == 0
        assert sheet.sheet_properties.pageSetUpPr.fitToPage
        assert sheet.print_title_rows == f"${HEADS}:${HEADS}"
        if sheet.title != "By hole":
            assert sheet.auto_filter.ref.startswith(f"A{HEADS}:")
    assert book["Patches"].auto_filter.ref.endswith(str(HEADS + 5)), "the total is not filtered away"


def test_about_says_what_every_sheet_must_say(book):
    said = " ".join(str(cell.value) for row in book["About"].iter_rows() for cell in row if cell.value)
    for words in ("Invented Links", "14 March 2026", "0.3 m", "tonne of 1,000 kg", "permit nothing", "railway bank"):
        assert words in said
    for name in book.sheetnames[1:]:
        assert name in said


def test_mowing_minutes_come_with_their_warning(book):
    assert "first guess" in book["Mowing"].cell(2, 1).value
    assert values(book["Mowing"], "time") == [66.0]


def test_orders_in_their_own_units(book):
    assert values(book["Orders"], "sand, as delivered") == [pytest.approx(5.148), None]
    assert values(book["Orders"], "seed or feed") == [None, pytest.approx(24.2)]
    assert values(book["Orders"], "loads or packs") == [1, 2]
    assert values(book["Order lines"], "place")[:3] == ["2 green", "10 green", "practice green"]


def test_takeoff_in_units_that_people_use(parts, book):
    assert values(book["Take-off"], "quantity") == [1.5, 11.0]  # 5,400 s
    assert values(book["Take-off"], "unit") == ["h", "kg"]
    us = openpyxl.load_workbook(io.BytesIO(written(parts, units="us")))["Take-off"]
    assert values(us, "quantity")[1] == pytest.approx(11.0 / 0.45359237)  # NIST SP 811:2008, B.8
    assert values(us, "unit") == ["h", "lb"]


def test_us_units(parts):
    sheet = openpyxl.load_workbook(io.BytesIO(written(parts, units="us")))["By surface"]
    assert values(sheet, "net area")[0] == pytest.approx(1500 / 0.09290304)  # 0.3048 m squared, NIST SP 811:2008
    assert "net area\nft2" in [cell.value for cell in sheet[HEADS]]
    assert sheet.page_setup.paperSize == 1, "letter: ECMA-376 part 1, 18.3.1.63"


def test_same_input_same_bytes(parts, tmp_path):
    first = written(parts)
    write_workbook(tmp_path / "book.xlsx", **parts)
    assert first == (tmp_path / "book.xlsx").read_bytes()


def test_a_name_cannot_steer_the_footer(parts):
    # ECMA-376 part 1, 18.3.1.46: & begins a code in a footer, && is the sign itself
    from dataclasses import replace

    data = written({**parts, "facts": replace(parts["facts"], name="Hill & Dale &P")})
    with zipfile.ZipFile(io.BytesIO(data)) as packed:
        sheet = packed.read("xl/worksheets/sheet2.xml").decode()
    assert "Hill &amp;&amp; Dale &amp;&amp;P" in sheet
