"""Areas added up by surface, hole, patch and part; CSV and JSON."""

import csv
import io
import json
import math
import random

import numpy as np
import pandas as pd
import pytest

from turfgis.reports import tables


def row_of(rows, **wanted):
    found = [row for row in rows if all(row[key] == value for key, value in wanted.items())]
    assert len(found) == 1, found
    return found[0]


# Sums of correlated inputs: JCGM 100:2008 (GUM), 5.2.2: with correlation coefficient +1 standard uncertainties add
# linearly, with 0 in squares. 95 %: 1.96, the same guide, table G.1 (1.960). The roots below are whole numbers by hand.
def test_plus_minus_adds_shared_offsets_linearly_and_own_ones_in_squares(patches):
    green = row_of(tables.areas_rows(patches, "surface"), surface="green")
    # own 3, 4 and 0: squares 25; shared 6 + 5 + 1 = 12: square 144; root of 169
    assert green["plus_minus_m2"] == pytest.approx(1.96 * 13)


def test_plus_minus_of_several_groups(patches):
    front = row_of(tables.areas_totals(patches), part="front nine")
    # green-02: own 3, shared 6; tee-02: own 2; 9 + 4 + 36 = 49
    assert front["plus_minus_m2"] == pytest.approx(1.96 * 7)


def test_two_groups_do_not_share_their_offsets(patches):
    apart = patches.assign(bias_group=["a", "tees", "b", "c", None])
    green = row_of(tables.areas_rows(apart, "surface"), surface="green")
    assert green["plus_minus_m2"] == pytest.approx(1.96 * math.sqrt(9 + 16 + 25 + 36 + 1))


def test_sums_and_order_by_surface(patches):
    rows = tables.areas_rows(patches, "surface")
    assert [row["surface"] for row in rows] == ["green", "tee", "path"]
    green = rows[0]
    assert (green["patches"], green["drawn_m2"], green["net_m2"], green["perimeter_m"]) == (3, 1510.0, 1500.0, 240.0)
    assert green["cut_mm"] is None, "two greens are cut at 4 mm, one at 5"
    assert green["surveyed"] == "2026-03-14"
    assert rows[2]["surveyed"] is None


def test_a_surface_of_the_club_stands_where_its_own_pile_says(patches):
    own = patches.replace({"surface": {"tee": "heather"}})
    rows = tables.areas_rows(own, "surface", order=["heather", "green", "path"])
    assert [row["surface"] for row in rows] == ["heather", "green", "path"]
    assert tables.areas_rows(own, "surface")[-1]["surface"] == "heather", "unknown ones come last"


def test_by_hole_is_in_order_of_play(patches):
    rows = tables.areas_rows(patches, "hole")
    assert [(row["hole"], row["surface"]) for row in rows] == [
        ("2", "green"),
        ("2", "tee"),
        ("10", "green"),
        ("practice", "green"),
        (None, "path"),
    ]


def test_by_part(patches):
    rows = tables.areas_rows(patches, "part")
    assert [(row["part"], row["net_m2"]) for row in rows] == [
        ("front nine", 500.0),
        ("front nine", 200.0),
        ("back nine", 600.0),
        ("practice", 400.0),
        ("no hole", 900.0),
    ]
    assert rows[0]["surveyed"] == "2026-03-14"


def test_by_patch_keeps_every_column_of_the_contract(patches):
    rows = tables.areas_rows(patches, "patch")
    assert {*tables.PATCH_COLUMNS, "patches"} == set(rows[0])
    assert [row["patch"] for row in rows] == ["green-02", "green-10", "green-practice", "tee-02", "path-01"]


def test_days_of_survey_that_differ_are_a_span(patches):
    whole = tables.areas_totals(patches)[-1]
    assert whole["surveyed"] == "2025-11-02 to 2026-03-14, some not given"


def test_nothing_is_lost_whatever_the_grouping(patches):
    many = pd.concat([patches.assign(patch=patches["patch"] + f"-{n}") for n in range(40)], ignore_index=True)
    many["net_m2"] = np.random.default_rng(7).uniform(1e-3, 1e5, len(many))
    whole = math.fsum(many["net_m2"])
    for by in tables.BY:
        assert math.fsum(row["net_m2"] for row in tables.areas_rows(many, by)) == pytest.approx(whole, rel=1e-14)


@pytest.mark.parametrize("by", ["surface", "hole", "part", "patch"])
def test_the_order_of_the_patches_makes_no_difference(patches, by):
    shuffled = patches.sample(frac=1, random_state=3)
    assert tables.areas_rows(shuffled, by) == tables.areas_rows(patches, by)


def test_an_unknown_grouping_is_named(patches):
    with pytest.raises(ValueError, match="'club'"):
        tables.areas_rows(patches, "club")


def test_holes_of_one_part_stay_together():
    holes = ["zz", "10", None, "practice", "9", "1a", "19", "2"]
    random.Random(1).shuffle(holes)
    ordered = sorted(holes, key=tables.course_sort_key)
    assert ordered == ["2", "9", "10", "19", "1a", "zz", "practice", None]
    parts = [tables.part_of(hole) for hole in ordered]
    assert len([part for at, part in enumerate(parts) if at == 0 or parts[at - 1] != part]) == len(set(parts))


@pytest.mark.parametrize("hole", ["0", "²", "-3", "1.5", "７七"])
def test_odd_hole_names_are_other_holes(hole):
    assert tables.part_of(hole) == "other holes"
    assert sorted([hole, "3"], key=tables.course_sort_key)[0] == "3"


# The leads that OWASP names: Equals, Plus, Minus, At, tab, carriage return, line feed, and the full-width forms.
# OWASP Foundation, CSV Injection, https://owasp.org/www-community/attacks/CSV_Injection
@pytest.mark.parametrize("lead", ["=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠", " =", "  @"])
def test_no_text_of_a_csv_can_be_taken_for_a_formula(lead):
    text = tables.csv_text([{"patch": f"{lead}cmd", "net_m2": -1.5, lead + "head": "x"}])
    heads, cells = list(csv.reader(io.StringIO(text, newline="")))
    assert cells[0] == f"'{lead}cmd"
    assert heads[2].startswith("'")
    assert cells[1] == "-1.5", "a number stays a number"


def test_csv_can_be_read_back_by_others():
    # RFC 4180: quotes doubled, commas and line breaks inside quotes, lines end with CR LF
    rows = [{"name": 'the "old" green, wet\nside', "net_m2": 12.25, "hole": None}, {"name": "Grünes Loch", "net_m2": 3}]
    text = tables.csv_text(rows)
    assert text.startswith("name,net_m2,hole\r\n")
    read = pd.read_csv(io.StringIO(text, newline=""))
    assert read["name"].tolist() == [rows[0]["name"], "Grünes Loch"]
    assert read["net_m2"].tolist() == [12.25, 3.0]
    assert read["hole"].isna().all()


def test_json_carries_full_figures_and_no_number_that_json_lacks():
    rows = [{"net_m2": np.float64(1 / 3), "cut_mm": float("nan"), "n": np.int64(3), "on": pd.NaT, "far": math.inf}]

    def refuse(name):
        raise AssertionError(f"{name} is not JSON (RFC 8259, section 6)")

    read = json.loads(tables.json_text(rows), parse_constant=refuse)
    assert read[0]["net_m2"] == 1 / 3
    assert read[0]["n"] == 3
    assert read[0]["cut_mm"] is None
    assert read[0]["far"] is None


def test_rows_of_a_table_are_plain_values():
    frame = pd.DataFrame({"a": [1.0, np.nan], "b": ["x", None], "c": pd.to_datetime(["2026-01-01", None])})
    assert tables.plain_rows(frame)[1] == {"a": None, "b": None, "c": None}


def test_half_characters_of_odd_file_names_do_not_stop_the_writing():
    rows = [{"file": "gr\udce9ens.gpkg"}]
    for text in (tables.csv_text(rows), tables.json_text(rows)):
        assert "gr?ens.gpkg" in text.encode("utf-8").decode("utf-8")
