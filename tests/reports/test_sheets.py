"""Printed pages, read back with poppler where it is installed."""

import re
import shutil
import subprocess
from dataclasses import replace

import pandas as pd
import pytest

from turfgis.estimates.order import LoadChoice, OrderLine
from turfgis.reports.printed import with_signs
from turfgis.reports.sheets import area_schedule_pdf, drop_list_pdf, order_sheet_pdf

RISKY = '#panic("x") *b* _i_ $x$ `c` <l> @ref \\n // /* [#d] "q" = - + ~ --- © é Ж'
POPPLER = shutil.which("pdftotext") and shutil.which("pdfinfo") and shutil.which("pdffonts")
needs_poppler = pytest.mark.skipif(not POPPLER, reason="poppler (pdftotext, pdfinfo, pdffonts) is not installed")


def run(program, pdf, tmp_path, *options):
    path = tmp_path / "page.pdf"
    path.write_bytes(pdf)
    out = ["-"] if program == "pdftotext" else []
    done = subprocess.run([program, *options, str(path), *out], capture_output=True, check=True, text=True)
    return done.stdout


@pytest.fixture
def read(tmp_path):
    """Pages of a PDF as text, spaces within a line made single."""

    def pages(pdf):
        text = run("pdftotext", pdf, tmp_path, "-layout")
        return [re.sub(r" +", " ", page) for page in text.split("\f")[:-1]]

    return pages


def all_sheets(order, feed, patches, facts, units):
    return [
        order_sheet_pdf(order, facts, units),
        order_sheet_pdf(feed, facts, units),
        drop_list_pdf(order, facts, units, hopper_kg=900.0),
        area_schedule_pdf(patches, facts, units),
    ]


@pytest.mark.parametrize("units", ["metric", "us"])
def test_same_input_same_bytes(course_order, feed_order, patches, facts, units):
    first = all_sheets(course_order, feed_order, patches, facts, units)
    assert first == all_sheets(course_order, feed_order, patches, facts, units)
    assert all(pdf.startswith(b"%PDF-") for pdf in first)


@needs_poppler
# A4 is 210 mm x 297 mm (ISO 216:2007); letter is 8.5 in x 11 in (ANSI/ASME Y14.1); a point is 1/72 in
@pytest.mark.parametrize(("units", "short", "long"), [("metric", 210, 297), ("us", 8.5 * 25.4, 11 * 25.4)])
def test_paper_and_fonts(course_order, feed_order, patches, facts, units, short, long, tmp_path):
    for at, pdf in enumerate(all_sheets(course_order, feed_order, patches, facts, units)):
        size = re.search(r"Page size:\s+([\d.]+) x ([\d.]+) pts", run("pdfinfo", pdf, tmp_path))
        wide, high = (float(points) / 72 * 25.4 for points in size.groups())
        upright = (wide, high) if at < 3 else (high, wide)
        assert upright == pytest.approx((short, long), abs=0.5)
        rows = run("pdffonts", pdf, tmp_path).splitlines()[2:]
        assert rows
        assert all(re.search(r"\byes\s+(yes|no)\s+(yes|no)\s", row) for row in rows), "every font is embedded"


@needs_poppler
def test_no_time_of_making(course_order, facts, tmp_path):
    info = run("pdfinfo", order_sheet_pdf(course_order, facts), tmp_path)
    assert "CreationDate" not in info
    assert "Order for sand" in info


@needs_poppler
def test_supplier_page(course_order, facts, read):
    supplier = read(order_sheet_pdf(course_order, facts, date="21 July 2026"))[0]
    for words in (
        *("Order for sand", "Invented Links", "21 July 2026", "Dressing sand", "60 t", "3 loads of 20 t"),
        *("tonne of 1,000 kg", "4 % of the dry weight", "ISO/IEC 17025", "D15 and D85", "weighbridge ticket"),
        *("washed", "dried", "concrete", "Ordered by", "page 1 of"),
        # 3 loads x 20 t x 42 EUR
        "2,520.00 EUR in all, 42.00 EUR per t",
    ):
        assert words in supplier
    assert "running short" not in supplier, "how sure it is stays with the club"


@needs_poppler
def test_club_page(course_order, facts, read):
    club = " ".join("\n".join(read(order_sheet_pdf(course_order, facts))[1:]).split())
    for words in (
        *("How the amount was built", "RUNNING SHORT", "about 1 in 10", "10.4 %", "depth of the dressing", "78 %"),
        *("Net area of the greens", "× 0.002 m × 1,500 kg/m³", "tees", "silica", "Surveyed: 14 March 2026"),
        *("Checked by", "No spread was given for moisture", "1.25 m³"),
    ):
        assert words in club
    # by hand: 3 x 20 t + 2 t in the yard less what is needed
    assert f"about {62 - course_order.delivered_kg / 1000:.2f} t is left" in club


@needs_poppler
def test_us_order_never_says_a_bare_ton(course_order, facts, read):
    text = " ".join(" ".join(read(order_sheet_pdf(course_order, facts, "us"))).split())
    # 60 t / 0.90718474 t (NIST SP 811:2008, B.8) = 66.14 US tons; 2,520 EUR / 66.139 = 38.10
    assert "66.14 US ton" in text
    assert "38.10 EUR per US ton" in text
    assert not re.search(r"(?<!US )(?<!short )(?<!long )\bton\b", text)


@needs_poppler
def test_feed_order(feed_order, facts, read):
    pages = read(order_sheet_pdf(feed_order, facts))
    assert "2 packs of 20 kg" in pages[0]
    assert "N 12 %, P₂O₅ 4 %" in pages[0], "2.904 of 24.2 kg"
    assert "24.00 EUR per pack of 20 kg" in pages[0]
    assert "safety data sheet" in pages[0]
    assert "weighbridge" not in pages[0]
    assert re.search(r"N\s+2\.9\s+26\.4\s+24\.0", pages[1])
    assert "not advice" in pages[1]


@needs_poppler
@pytest.mark.parametrize("units", ["metric", "us"])
def test_drop_list_of_eighteen_greens_is_one_page_in_order(course_order, facts, read, units):
    pages = read(drop_list_pdf(course_order, facts, units))
    assert len(pages) == 1
    places = re.findall(r"^\W*(\d+|practice) green ([\d,]+) ([\d.]+) ([\d.]+)$", pages[0], re.MULTILINE)
    assert [place[0] for place in places] == [*(str(hole) for hole in range(1, 19)), "practice"]
    running = 0.0
    for _, _, amount, so_far in places:
        running += float(amount)
        assert float(so_far) == pytest.approx(running, abs=0.005 * 20)
    whole = course_order.delivered_kg / (1000 if units == "metric" else 907.18474)
    assert float(places[-1][3]) == pytest.approx(whole, abs=0.005)
    assert "silica" in pages[0]


@needs_poppler
def test_drop_list_by_hoppers(small_order, facts, read):
    # green 2: 500 m2 x 3.432 kg = 1,716 kg; hopper 858 kg: 2.0; green 10: 2.4; so far 4.4
    page = read(drop_list_pdf(small_order, facts, hopper_kg=858.0))[0]
    assert re.search(r"2 green 500 1\.72 2\.0 2\.0", page)
    assert re.search(r"10 green 600 2\.06 2\.4 4\.4", page)
    assert "0.86 t" in page


@needs_poppler
def test_drop_list_gathers_a_holes_tees_and_parts_surfaces(small_order, facts, read):
    tees = tuple(
        OrderLine(f"tee-{hole:02}-{at}", "tee", str(hole), 100, 100, 100, 104) for hole in range(1, 19) for at in (1, 2)
    )
    pages = read(drop_list_pdf(replace(small_order, lines=(*tees, *small_order.lines)), facts))
    assert len(pages) == 2
    assert "all greens 1,500" in pages[0]
    assert "7 tees 2 places 200 0.21" in pages[1]
    # 5,148 kg on greens and 36 x 104 kg on tees
    assert "all tees 3,600 3.74 8.89" in pages[1]


@needs_poppler
def test_area_schedule(patches, facts, read):
    pages = read(area_schedule_pdf(patches, facts))
    assert len(pages) == 1
    lines = [line.strip() for line in pages[0].splitlines()]
    assert "2 500 200 700 14" in lines  # 1.96 x 7, see test_tables
    assert "10 600 600 13" in lines
    assert "total 1,500 200 900 2,600 26" in lines  # 1.96 x root of (9 + 16 + 4 + 144) = 25.78
    assert "± 25 4 0 26" in lines  # 1.96 x 13, 1.96 x 2
    assert "perimeter, m 240 80 80 400" in lines
    assert any(line.startswith("front nine") for line in lines) is False, "one hole needs no sub-total"
    assert "m²" in pages[0]
    assert "Surveyed: 14 March 2026" in pages[0]
    assert "cut 10 mm" in pages[0]


@needs_poppler
def test_subtotals_of_the_schedule(patches, facts, read):
    more = pd.concat([patches, patches.assign(hole=["11", "3", "3", "practice", None], patch=list("abcde"))])
    text = read(area_schedule_pdf(more, facts))[0]
    assert re.search(r"front nine 1,000 400 1,400", text)
    assert re.search(r"back nine 1,200 1,200", text)


@needs_poppler
def test_names_are_text_and_never_markup(course_order, patches, facts, read):
    odd = replace(facts, name=RISKY, accuracy_note=RISKY, attribution="© people")
    order = replace(course_order, material=RISKY, group="#eval", jobs=(RISKY,), remarks=(RISKY,))
    named = patches.assign(surface=["#image(1)", "$y$", "#image(1)", "#image(1)", "*x*"])
    for pdf in (order_sheet_pdf(order, odd, date=RISKY), drop_list_pdf(order, odd), area_schedule_pdf(named, odd)):
        # line breaks of the page taken out, and the raised quotes of good print put back
        text = re.sub(r"\s+", "", "".join(read(pdf)).replace("“", '"').replace("”", '"'))
        for piece in ('#panic("x")', "*b*", "$x$", "`c`", "<l>", "@ref", "[#d]", "Ж"):
            assert piece in text
    assert "#image(1)" in text


def test_a_script_beyond_the_built_in_fonts_still_prints(patches, facts):
    assert area_schedule_pdf(patches, replace(facts, name="霞ヶ原")).startswith(b"%PDF-")


@pytest.mark.parametrize(
    ("loads", "changes"),
    [(1, {}), (40, {}), (3, {"working": (), "drivers": (), "loads": ()}), (3, {"unit_kg": None, "units": None})],
)
def test_orders_of_all_sizes(course_order, facts, loads, changes):
    choices = tuple(LoadChoice(count, 20.0 * count, 0.5) for count in range(loads, loads + 5))
    order = replace(course_order, **{"units": loads, "loads": choices, "cost": None, **changes})
    assert order_sheet_pdf(order, facts).startswith(b"%PDF-")


@needs_poppler
def test_the_supplier_page_is_one_page_however_many_loads(course_order, facts, read):
    for loads in (1, 6, 7, 16, 17, 60):
        pages = read(order_sheet_pdf(replace(course_order, units=loads), facts))
        assert "How the amount was built" in pages[1], f"{loads} loads"


def test_signs():
    assert with_signs("8 lb/1000 ft2 x 3 yd3") == "8 lb/1000 ft² × 3 yd³"
    assert with_signs("patch m21, hm2, green x7") == "patch m21, hm2, green x7"
