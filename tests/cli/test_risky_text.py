"""
Text that a spreadsheet would run stays text in every table of a report.

OWASP Foundation, "CSV Injection", https://owasp.org/www-community/attacks/CSV_Injection: cells must not begin with
``= + - @``, a tab or a line break, and what stands behind a separator of cells counts as the beginning of one.
"""

import csv
import io
import re

import openpyxl
import pytest

RISKY = ("=", "+", "-", "@")
NUMBER = re.compile(r"-?\d+(\.\d+)?(e[+-]?\d+)?")
MORE = """
[material."+feed"]
kind = "fertiliser"
analysis = { N = "12 %" }
pack = "20 kg"
price = "24 EUR/pack"
supplier = "@merchant"
cost_code = "-4010"
specification = ["=1+1;=2+2", "\\t=3+3"]
[supplier."@merchant"]
account = "=HYPERLINK(\\"x\\")"
deliver_to = "+1"
[budget]
taxes = { "=tax" = "20 %" }
contingency = { "-reserve" = "5 %" }
[[job]]
name = "=feed"
group = "@spring"
work = "fertilise"
on = ["green"]
rate = "3 g/m2"
nutrient = "N"
material = "+feed"
months = [4]
cost_code = "=5010"
[[job]]
name = "-flags"
group = "+bought"
work = "purchase"
amount = "30 EUR"
"""


@pytest.fixture
def report(turfgis, folder, tmp_path):
    """All files of a report on a course of risky names."""
    drawing = folder / "areas.geojson"
    drawing.write_text(drawing.read_text(encoding="utf-8").replace('"hole": "1"', '"hole": "=1+1"'), encoding="utf-8")
    path = folder / "course.toml"
    text = path.read_text(encoding="utf-8").replace('"Invented Links"', '"=Invented Links"')
    path.write_text(text.replace("[[layer]]", "year = 2027\n[[layer]]", 1) + MORE, encoding="utf-8")
    assert turfgis("report", folder, "-o", tmp_path / "out").code == 0
    turfgis("order", folder, "--by", "supplier", "-o", tmp_path / "out" / "suppliers.xlsx")
    for name, words in {
        "order": ("order", "--group", "@spring"),
        "suppliers": ("order", "--by", "supplier"),
        "programme": ("programme",),
        "budget": ("budget", "--by", "cost-code"),
        "ledger": ("ledger",),
    }.items():
        assert turfgis(words[0], folder, *words[1:], "-o", tmp_path / "out" / f"{name}.csv").code == 0
    return tmp_path / "out"


def test_csv_files(report):
    found = sorted(report.glob("*.csv"))
    assert len(found) >= 8
    said = ""
    for path in found:
        text = path.read_text(encoding="utf-8")
        said += text
        # as they stand, and as a spreadsheet parts them where the decimal sign is a comma
        for mark in ",;\t":
            for row in csv.reader(io.StringIO(text, newline=""), delimiter=mark):
                for cell in row if mark == "," else row[1:]:
                    bare = cell.lstrip(" \t\r\n")
                    assert not bare.startswith(RISKY) or NUMBER.fullmatch(bare), (path.name, mark, cell)
    for name in ("'=feed", "'@spring", "'+feed", "'@merchant", "'-4010", "'=1+1;'=2+2"):
        assert name in said, name


def test_workbooks(report):
    found = sorted(report.glob("*.xlsx"))
    assert {path.name for path in found} == {"workbook.xlsx", "budget_planner.xlsx", "suppliers.xlsx"}
    texts = set()
    for path in found:
        for sheet in openpyxl.load_workbook(path):
            for row in sheet.iter_rows():
                for cell in row:
                    if cell.data_type == "f":
                        assert re.fullmatch(r"=(SUBTOTAL|SUM)\([A-Z0-9:,]+\)", cell.value), (
                            path.name,
                            cell.value,
                        )
                    elif isinstance(cell.value, str) and cell.value.startswith(RISKY):
                        texts.add(cell.value)
                        # a cell of another format is read anew, as a formula, once somebody has edited it
                        assert cell.number_format == "@", (path.name, sheet.title, cell.coordinate, cell.value)
    assert {"=feed", "@spring", "+feed", "@merchant", "-4010", "-flags"} <= texts
