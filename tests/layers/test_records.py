"""Records out of CSV files and workbooks: what is read, and the one message for each cell that cannot be."""

from datetime import date, datetime

import openpyxl
import pytest

from turfgis.errors import LayerError
from turfgis.layers.records import read_records

HEAD = ["Date", "KIND", "job", "patch", "material", "quantity", "unit", "hopper", "note"]
ROW = ["2027-03-14", "delivery", "dress", "green-01", "sand", "20.4 t", "", "", "ticket 17"]


@pytest.fixture
def csv_file(tmp_path):
    def write(text, encoding="utf-8", name="tickets.csv"):
        path = tmp_path / name
        path.write_bytes(text if isinstance(text, bytes) else text.encode(encoding))
        return path

    return write


@pytest.fixture
def book(tmp_path):
    """A workbook with one sheet of these rows, changed by hand before it is saved."""

    def write(rows, change=None, title="June"):
        made = openpyxl.Workbook()
        page = made.active
        page.title = title
        for row in rows:
            page.append(row)
        if change:
            change(page)
        made.save(tmp_path / "tickets.xlsx")
        return tmp_path / "tickets.xlsx"

    return write


def refused(*files):
    with pytest.raises(LayerError) as caught:
        read_records(files)
    return str(caught.value).splitlines()


def line(*cells, mark=","):
    return mark.join(cells) + "\n"


@pytest.mark.parametrize("mark", [",", ";", "\t"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig"])
def test_csv_of_each_sort(csv_file, mark, encoding):
    # RFC 4180 for the comma; semicolon and tab are what spreadsheets write where the comma is the decimal sign
    row = [*ROW[:5], '"20,4 t"', "", "", "für das Grün"]
    (record,), remarks = read_records([csv_file(line(*HEAD, mark=mark) + line(*row, mark=mark), encoding)])
    assert (record.day, record.kind, record.amount, record.unit) == (date(2027, 3, 14), "delivery", 20.4, "t")
    assert (record.note, remarks) == ("für das Grün", [])


def test_windows_letters_are_read_and_said(csv_file):
    (record,), (said,) = read_records([csv_file(line(*HEAD) + line(*ROW[:8], "Grün"), "cp1252")])
    assert record.note == "Grün"
    assert said.startswith("tickets.csv: not UTF-8; read as Windows-1252")


def test_a_row_of_a_workbook_with_true_days_and_numbers(book):
    row = [datetime(2027, 3, 14), "Hopper", "dress", None, "sand", 3, "hoppers", "800 kg", 7]
    (record,), _ = read_records([book([HEAD, row])])
    assert (record.day, record.kind, record.amount, record.unit) == (date(2027, 3, 14), "hopper", 3.0, "hoppers")
    assert (record.hopper, record.note, record.patch) == ("800 kg", "7", "")
    assert record.at("quantity") == "tickets.xlsx, sheet 'June', cell F2"
    assert record.at("machine") == "tickets.xlsx, sheet 'June', row 2"


def test_rows_keep_the_numbers_a_spreadsheet_shows(csv_file, book):
    records, _ = read_records([csv_file("\n" + line(*HEAD) + "\n" + line(*ROW))])
    assert records[0].at("date") == "tickets.csv, cell A4"

    def lower(page):
        page.insert_rows(1, 2)
        page.insert_cols(1)

    records, _ = read_records([book([HEAD, ROW], lower)])
    assert records[0].at("date") == "tickets.xlsx, sheet 'June', cell B4"


@pytest.mark.parametrize("text", ["=1+1", "+1", "-wet", "@SUM(A1)"])
def test_text_like_a_formula_stays_text(csv_file, book, text):
    def as_text(page):
        page["C2"].value = text
        page["C2"].data_type = "s"

    for path in (csv_file(line(*HEAD) + line(*ROW[:2], text, *ROW[3:])), book([HEAD, ROW], as_text)):
        (record,), _ = read_records([path])
        assert record.job == text
    # a table of ours marks such text with an apostrophe, which is no part of the name
    (record,), _ = read_records([csv_file(line(*HEAD) + line(*ROW[:2], "'" + text, *ROW[3:]))])
    assert record.job == text


# column of HEAD, what stands there, the cell, words of the message
BAD = [
    (0, "2027-02-30", "A2", "'2027-02-30' is not a day that exists"),
    (0, "31.04.2027", "A2", "'31.04.2027' is not a day that exists"),
    (0, "03/14/2027", "A2", "'03/14/2027' is not a day; write it like 2027-03-14"),
    (0, "", "A2", "the date is missing"),
    (1, "delivry", "B2", "'delivry' is no kind of record; did you mean 'delivery'?"),
    (1, "", "B2", "the kind is missing"),
    (5, "about 20", "F2", "'about 20' is not a number"),
    (5, "=1+1", "F2", "'=1+1' is not a number"),
    (5, "", "F2", "the quantity is missing"),
    (1, '"a\nb"', "B2", "'a b' is no kind of record"),
    (5, "-3 t", "F2", "-3 is below zero"),
    (5, '"1,200 kg"', "F2", "'1,200' can be read in two ways"),
    (6, "kg", "G2", "is 'kg', but the quantity says 't'"),
]


@pytest.mark.parametrize(("column", "given", "cell", "words"), BAD)
def test_one_message_for_a_bad_cell_of_csv(csv_file, column, given, cell, words):
    row = [*ROW[:column], given, *ROW[column + 1 :]]
    (said,) = refused(csv_file(line(*HEAD) + line(*row)))
    assert said.startswith(f"tickets.csv, cell {cell}: ")
    assert words in said


@pytest.mark.parametrize(
    ("cell", "value", "words"),
    [
        ("F3", "lots", "'lots' is not a number"),
        ("F3", True, "is not a number"),
        ("A3", 46000, "'46000' is not a day"),
        ("A3", "2027-02-29", "is not a day that exists"),
        ("E3", "#REF!", "#REF! is an error; correct the formula"),
        ("F3", "=10+10", "a formula without a saved result"),
        ("J3", "spilled", "the column has no heading"),
    ],
)
def test_one_message_for_a_bad_cell_of_a_workbook(book, cell, value, words):
    def change(page):
        page[cell].value = value

    (said,) = refused(book([HEAD, ROW, ROW], change))
    place = "J1" if cell == "J3" else cell
    assert said.startswith(f"tickets.xlsx, sheet 'June', cell {place}: ")
    assert words in said


def test_merged_cells_are_named(book):
    (said,) = refused(book([HEAD, ROW, ROW, ROW], lambda page: page.merge_cells("B2:B4")))
    assert said.startswith("tickets.xlsx, sheet 'June', cell B2: cells B2:B4 are merged")


def test_every_bad_cell_has_its_line(csv_file):
    rows = line("2027-13-01", *ROW[1:]) + line(*ROW) + line(*ROW[:5], "some", *ROW[6:])
    assert [said.split(":")[0] for said in refused(csv_file(line(*HEAD) + rows))] == [
        "tickets.csv, cell A2",
        "tickets.csv, cell F4",
    ]


def test_headings(csv_file):
    (said,) = refused(csv_file(line("date", "kind", "quantitty") + line("2027-03-14", "hours", "3 h")))
    assert said.startswith("tickets.csv, cell C1: unknown column 'quantitty'; did you mean 'quantity'?")
    (said,) = refused(csv_file(line("date", "kind") + line("2027-03-14", "hours")))
    assert said.startswith("tickets.csv: no column 'quantity'")
    (said,) = refused(csv_file(line("date", "kind", "quantity", "Kind") + line("2027-03-14", "hours", "3 h", "")))
    assert said == "tickets.csv, cell D1: a second column 'kind'; keep one of them"


def test_a_decimal_comma_without_quotes_is_found(csv_file):
    (said,) = refused(csv_file(line("date", "kind", "quantity") + line("2027-03-14", "hours", "2,5 h")))
    assert said.startswith("tickets.csv, cell D2: stands beyond the last heading")


def test_sheets_of_something_else_are_left_out_and_said(book):
    def another(page):
        page.parent.create_sheet("Prices").append(["what", "how much"])

    records, said = read_records([book([HEAD, ROW], another)])
    assert len(records) == 1
    assert said == ["tickets.xlsx: sheet 'Prices' has no heading of records and was left out."]


@pytest.mark.parametrize(
    ("name", "content", "words"),
    [
        ("a.csv", b"", "is empty"),
        ("a.csv", "date,kind,quantity\n".encode("utf-16"), "UTF-16"),
        ("a.csv", b"date,kind\x00,quantity\n", "is not a text file"),
        ("a.csv", b"date,kind,quantity\n\x81\x8d,\xff,1\n", "in no known encoding"),
        ("a.csv", b"date,kind,quantity\n", "no record"),
        ("a.xlsx", b"PK\x03\x04 broken", "cannot be read as a workbook"),
        ("a.ods", b"", ".csv or .xlsx"),
        ("a.pdf", b"%PDF", ".csv or .xlsx"),
    ],
)
def test_files_that_cannot_be_used(csv_file, name, content, words):
    (said,) = refused(csv_file(content, name=name))
    assert words in said


def test_a_file_that_is_not_there(tmp_path):
    (said,) = refused(tmp_path / "none.csv")
    assert said.endswith("none.csv: no such file")
