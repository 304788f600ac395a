"""Tables of plain text."""

import re

import pandas as pd
import pytest

from turfgis.reports.columns import column
from turfgis.reports.facts import odds, percent
from turfgis.reports.screen import WIDEST, areas_text, drawn_twice_text, one_line, text_table


def lines_of(text):
    return text.splitlines()


@pytest.mark.parametrize("by", ["surface", "hole", "part", "patch"])
@pytest.mark.parametrize("units", ["metric", "us"])
def test_no_line_is_wider_than_a_hundred(patches, by, units):
    long = patches.assign(name="a name " * 30, surface=patches["surface"] + " of the far side" * 3)
    assert max(len(line) for line in lines_of(areas_text(long, by, units))) <= WIDEST


def test_figures_line_up_under_their_unit(patches):
    lines = lines_of(areas_text(patches, "surface"))
    end = lines[1].index("m2") + len("m2")
    for line in (lines[3], lines[4], lines[7]):
        assert re.match(r"[\d,]+$", line[:end].split()[-1])
        assert not line[end : end + 1].strip()


def test_totals_and_subtotals_by_hole(patches):
    text = areas_text(patches, "hole")
    front = next(line for line in lines_of(text) if line.startswith("front nine"))
    assert front.split()[4:8] == ["2", "700", "700", "14"]  # 13.72 m2 by hand, see test_tables
    assert "practice    all" not in text, "a single row needs no sub-total"
    total = next(line for line in lines_of(text) if line.startswith("total"))
    assert total.split()[1:4] == ["5", "2,610", "2,600"]


def test_us_units(patches):
    # 1 ft = 0.3048 m exactly (NIST SP 811:2008, B.9): 2,600 m2 = 27,986.17 ft2; the acre of 43,560 ft2: 0.6425
    text = areas_text(patches, "surface", "us")
    assert "27,986" in text
    assert "0.642 acre" in text
    assert " ft2" in text
    assert " m2" not in text


def test_text_from_a_layer_cannot_steer_the_terminal(patches):
    risky = patches.assign(name="\x1b[2J\x1b]0;x\x07\r\nroot\u202e$")
    text = areas_text(risky, "patch")
    assert not set(text) & {"\x1b", "\x07", "\r", "\u202e"}


def test_wide_signs_keep_columns_in_line():
    rows = [{"name": "果嶺", "net_m2": 5.0}, {"name": "a", "net_m2": 5.0}]
    wide, narrow = lines_of(text_table(rows, ["name", "net_m2"]))[3:5]
    assert len(wide) + 2 == len(narrow), "each of the two signs takes two places"


def test_nothing_known_is_a_dash_and_not_a_nought():
    text = text_table([{"surface": "rough", "cut_mm": None, "net_m2": float("nan")}], ["surface", "cut_mm", "net_m2"])
    assert lines_of(text)[-1].split() == ["rough", "–", "–"]


def test_an_empty_table_still_has_its_heads():
    assert "net area" in text_table([], ["surface", "net_m2"])


def test_drawn_twice():
    pairs = pd.DataFrame({"keeps": ["green"], "under": ["fairway"], "pairs": [18], "area_m2": [8123.4]})
    text = drawn_twice_text(pairs)
    assert "8,123" in text
    assert "green" in text
    assert drawn_twice_text(pairs.iloc[:0]) == "No ground was drawn twice.\n"


# key, value, US figure: NIST SP 811 (2008), Appendix B
@pytest.mark.parametrize(
    ("key", "value", "figure"),
    [
        ("net_m2", 0.09290304, 1.0),
        ("cut_mm", 25.4, 1.0),
        ("perimeter_m", 0.3048, 1.0),
        ("dry_t", 0.90718474, 1.0),
        ("need_kg", 0.45359237, 1.0),
        ("volume_m3", 0.764554857984, 1.0),  # cubic yard
        ("width_m", 0.3048, 1.0),
        ("clean_up_minutes", 7.5, 7.5),
    ],
)
def test_columns_know_their_unit(key, value, figure):
    assert column(key).value(value, "us") == pytest.approx(figure, rel=1e-12)


@pytest.mark.parametrize(
    ("chance", "words"),
    [
        (0.0, "less than 1 in 1,000"),
        (1 / 9, "about 1 in 9"),
        (0.5, "about 1 in 2"),
        (0.35, "about 1 in 3"),
        (0.021, "about 1 in 48"),
        (0.0035, "about 1 in 290"),
        (0.99, "almost certain"),
        (1.0, "almost certain"),
    ],
)
def test_chances_in_words(chance, words):
    assert odds(chance) == words


def test_words_of_a_chance_never_stray_far():
    for thousandth in range(1, 1000):
        chance = thousandth / 1000
        words = odds(chance)
        if words.startswith("about"):
            part, whole = (float(figure.replace(",", "")) for figure in re.findall(r"[\d,]+", words))
            assert part / whole == pytest.approx(chance, rel=0.13), words


def test_percent():
    assert percent(0.25) == "25 %"
    assert percent(0.0) == "< 0.1 %"


def test_one_line():
    assert one_line("a\u2028b\tc") == "a b c"
    assert one_line("\udce9 a\u202eb") == "a b"
    assert one_line("خانه\u200cها") == "خانه\u200cها", "a sign that joins letters is part of the word"
