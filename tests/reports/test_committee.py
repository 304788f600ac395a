"""
The committee's page, printed and for a screen, from a year worked by hand.

Sand: 4,000 m2 x 2 mm x 1.6 t/m3 = 12.8 t, in April and in September, at 40 EUR/t: 1,024 EUR, and 12 h of people at
20 EUR: 240 EUR. Flags: 4 x 30 EUR = 120 EUR. A fifth of tax on sand and flags: 204.80 and 24 EUR. In all 1,612.80 EUR,
of which 1,468.80 for the programme "spring", half in each month. A depth known to 10 % makes 0.1 x 1,024 x 1.2 =
122.88 EUR, and 1.96 times that is 240.84 EUR. Prices are invented.
"""

import base64
import hashlib
import re
import shutil
import subprocess
from dataclasses import replace
from html.parser import HTMLParser

import pytest

from turfgis.reports.committee import MOST_PROGRAMMES, committee_page, committee_pdf
from turfgis.reports.committee_html import committee_html

POPPLER = shutil.which("pdftotext") and shutil.which("pdfinfo")
needs_poppler = pytest.mark.skipif(not POPPLER, reason="poppler (pdftotext, pdfinfo) is not installed")
WHY = [("more ground", 100.4), ("prices", 250.0), ("fewer times", -80.0), ("a new job", 30.0), ("rates", 12.6)]
RISKY = """<script>alert(1)</script><img src=x onerror=y>&amp;"'#panic("x")*b*$x$`c`@ref"""


def run(program, pdf, tmp_path, *options):
    path = tmp_path / "page.pdf"
    path.write_bytes(pdf)
    out = ["-"] if program == "pdftotext" else []
    return subprocess.run([program, *options, str(path), *out], capture_output=True, check=True, text=True).stdout


@pytest.fixture
def page(plain_year, facts):
    return committee_page(*plain_year(), facts)


def figure(text):
    return float(text.replace(",", "").replace("−", "-").replace("–", "0"))


def test_figures_worked_by_hand(page):
    assert (page["title"], page["total"], page["spread"], page["hours"]) == ("Budget 2027", "1,613", "241", "12")
    spring, loose = page["programmes"]
    assert (spring["name"], spring["cost"], spring["spread"], spring["share"], spring["hours"]) == (
        *("spring", "1,469", "241"),
        *("91 %", "12"),
    )
    assert (loose["name"], loose["cost"], loose["spread"], loose["hours"]) == ("not in a programme", "144", "0", "")
    assert [row["name"] for row in page["months"]][:4] == ["Jan", "Feb", "Mar", "Apr"]
    spent = {row["name"]: (row["cost"], row["hours"]) for row in page["months"]}
    assert len(spent) == 13
    assert (spent["Apr"], spent["Sep"], spent["May"]) == (("734", "6"), ("734", "6"), ("–", ""))
    assert spent["no date"] == ("144", "")
    assert {row["name"]: row["cost"] for row in page["made_of"]} == {
        **{"materials": "1,024", "people": "240", "bought as it is": "120"},
        "value added tax": "229",  # 228.80
    }
    # 3 % a year: 1,661.18 and 1,711.02
    assert [(row["name"], row["cost"]) for row in page["years"]] == [
        *(("2027", "1,613"), ("2028", "1,661"), ("2029", "1,711")),
    ]


def test_bars_are_as_long_as_their_figures_say(page):
    assert [row["bar"] for row in page["programmes"]] == pytest.approx([1, 144 / 1468.8])
    assert [row["bar"] for row in page["years"]] == pytest.approx([1 / 1.03**2, 1 / 1.03, 1])
    widths = [float(width) for width in re.findall(r'<rect[^>]* width="([\d.]+)"', committee_html(page))]
    assert widths[1] / widths[0] == pytest.approx(144 / 1468.8, abs=1e-3)


def test_last_year_and_why(plain_year, facts):
    page = committee_page(*plain_year(), facts, last=("2026", 1299.8), why=WHY)
    assert [row["name"] for row in page["years"]] == ["2026", "2027", "2028", "2029"]
    assert [(row["name"], row["cost"]) for row in page["why"]] == [
        *(("more ground", "+100"), ("prices", "+250"), ("fewer times", "−80")),
        *(("everything else", "+43"), ("difference in all", "+313")),  # 42.60, and 313.00 = 1,612.80 - 1,299.80
    ]
    four = committee_page(*plain_year(), facts, why=WHY[:4])["why"]
    assert [row["name"] for row in four] == ["more ground", "prices", "fewer times", "a new job", "difference in all"]
    bare = committee_page(*plain_year(), facts)
    assert bare["why"] == []
    assert "Why it changed" not in committee_html(bare)
    assert "Why it changed" in committee_html(page)


def test_last_year_stands_beside_each_programme(plain_year, facts):
    now = plain_year()
    dearer = {'price = "40 EUR/t"': 'price = "30 EUR/t"', 'name = "flags"': 'name = "nets"\ngroup = "range"'}
    old = plain_year(dearer)[0]
    page = committee_page(*now, facts, last=("2026", old.total), why=WHY, before=old)
    rows = {row["name"]: (row["cost"], row["last"]) for row in page["programmes"]}
    # 25.6 t of sand at 30 EUR and the tax of 20 %, and 12 hours at 20 EUR; purchases for 120 EUR and the tax
    assert rows["spring"] == ("1,469", "1,162")
    assert rows["range"] == ("0", "144")
    assert rows["not in a programme"] == ("144", "0")
    assert page["last"] == "1,306"
    assert page["years"][0]["spread"] == "181"  # a tenth of 921.60, in two halves that go up and down together
    html = committee_html(page)
    assert ">2026</th>" in html
    assert "1,162" in html


def test_work_outside_the_year_keeps_its_place(plain_year, facts):
    settings = {"months = [4, 9]": 'months = ["2026-12", "2027-04", "2028-01"]'}
    months = committee_page(*plain_year(settings), facts)["months"]
    names = [row["name"] for row in months]
    assert names[0] == "before"
    assert names[-2:] == ["after", "no date"]
    costs = {row["name"]: row["cost"] for row in months}
    assert costs["before"] == costs["Apr"] == costs["after"] == "734"


def test_what_has_no_price_is_said(plain_year, facts):
    page = committee_page(*plain_year({'price = "40 EUR/t"': ""}), facts)
    assert any("Without a price, and so not in these sums: material sand" in words for words in page["cautions"])


@needs_poppler
@pytest.mark.parametrize(("units", "short", "long"), [("metric", 210, 297), ("us", 8.5 * 25.4, 11 * 25.4)])
def test_one_page_of_the_right_paper(plain_year, facts, units, short, long, tmp_path):
    # A4 is 210 mm x 297 mm (ISO 216:2007); letter is 8.5 in x 11 in (ANSI/ASME Y14.1); a point is 1/72 in
    pdf = committee_pdf(*plain_year(), facts, units, last=("2026", 1299.8), why=WHY)
    info = run("pdfinfo", pdf, tmp_path)
    assert re.search(r"Pages:\s+1\n", info)
    size = re.search(r"Page size:\s+([\d.]+) x ([\d.]+) pts", info)
    assert size
    assert [float(side) / 72 * 25.4 for side in size.groups()] == pytest.approx([short, long], abs=0.01)
    words = run("pdftotext", pdf, tmp_path, "-layout")
    for wanted in ("1,613", "241", "1,469", "144", "734", "1,661", "1,711", "+100", "−80", "+313", "1,300"):
        assert wanted in words, wanted
    assert pdf == committee_pdf(*plain_year(), facts, units, last=("2026", 1299.8), why=WHY), "same input, same bytes"


@needs_poppler
@pytest.mark.parametrize("units", ["metric", "us"])
def test_the_fullest_year_stays_one_page(plain_year, facts, units, tmp_path):
    purchase = '[[job]]\nname = "thing {0}"\ngroup = "{1} {0}"\nwork = "purchase"\namount = "{2} EUR"\n'
    many = "".join(purchase.format(at, "W" * 60, 1000 + at) for at in range(40))
    taxes = ", ".join(f'"a tax of a long name, and a longer one {at}" = "1 %"' for at in range(20))
    settings = {"taxes = {": f"taxes = {{ {taxes}, "}
    early = 'months = ["2026-12", "2027-04", "2028-01"]'
    year = plain_year({**settings, "months = [4, 9]": early}, many)
    told = replace(facts, cautions=("A caution of some length. " * 8,) * 3, name="N" * 300)
    why = [("w" * 100, 1e6), ("v" * 100, -1e6), ("u" * 100, 1e5), ("t" * 100, 5.0), ("s" * 100, 6.0)]
    pdf = committee_pdf(*year, told, units, last=("l" * 100, 1e6), why=why)
    assert re.search(r"Pages:\s+1\n", run("pdfinfo", pdf, tmp_path))
    page = committee_page(*year, told)
    assert len(page["programmes"]) == MOST_PROGRAMMES
    assert "smaller ones" in page["programmes"][-2]["name"]
    whole = sum(figure(row["cost"]) for row in page["programmes"])
    assert whole == pytest.approx(figure(page["total"]), abs=0.5 * MOST_PROGRAMMES)
    made_of = sum(figure(row["cost"]) for row in page["made_of"])
    assert made_of == pytest.approx(figure(page["total"]), abs=0.5 * len(page["made_of"]))


class Reader(HTMLParser):
    """Tags, their attributes, and the text between them."""

    def __init__(self, text):
        super().__init__()
        self.tags, self.words = [], []
        self.feed(text)

    def handle_starttag(self, tag, attrs):
        self.tags.append((tag, dict(attrs)))

    def handle_data(self, data):
        self.words.append(data)


def test_nothing_in_a_name_is_markup(plain_year, facts, tmp_path):
    quoted = RISKY.replace("\\", "\\\\").replace('"', '\\"')
    year = plain_year({'group = "spring"': f'group = "{quoted[:40]}"', "value added tax": quoted[:39]})
    page = committee_page(*year, replace(facts, name=RISKY), last=(RISKY, 1.0), why=[(RISKY, 5.0)])
    html = Reader(committee_html(page))
    assert {tag for tag, _ in html.tags} <= {
        *("html", "head", "meta", "title", "style", "body", "header", "h1", "h2", "p", "b", "br", "div", "table"),
        *("thead", "tbody", "tr", "th", "td", "svg", "rect", "footer"),
    }
    for _, attributes in html.tags:
        assert not any(name.startswith("on") or name in ("src", "href", "style") for name in attributes)
    assert any("<script>alert(1)</script>" in words for words in html.words)
    pdf = committee_pdf(*year, replace(facts, name=RISKY), last=(RISKY, 1.0), why=[(RISKY, 5.0)])
    if POPPLER:
        assert "#panic" in run("pdftotext", pdf, tmp_path, "-raw").replace("\n", "")


def test_policy_lets_only_the_style_of_the_page_be_used(page):
    # Content Security Policy Level 3 (W3C), 'sha256-' source: the digest of what stands between the tags
    text = committee_html(page)
    html = Reader(text)
    policy = next(attributes["content"] for _, attributes in html.tags if "http-equiv" in attributes)
    style = re.search(r"<style>(.*?)</style>", text, re.DOTALL)
    assert style
    digest = base64.b64encode(hashlib.sha256(style[1].encode()).digest()).decode()
    assert policy.split("; ") == [
        *("default-src 'none'", f"style-src 'sha256-{digest}'"),
        *("base-uri 'none'", "form-action 'none'"),
    ]
    assert not re.search(r"https?:|url\(|@import|<script|<link", text)
    assert ("meta", {"name": "viewport", "content": "width=device-width, initial-scale=1"}) in html.tags
