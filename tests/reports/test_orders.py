"""Orders on the screen and as JSON."""

import json
from dataclasses import replace

import pytest

from turfgis.estimates.order import OrderLine
from turfgis.reports.orders import order_json, order_rows, order_text, spoken_name, working_text
from turfgis.reports.tables import csv_text, json_text


def test_sand_json_has_the_shape_of_the_contract(small_order):
    read = json.loads(json_text(order_json(small_order)))
    assert {"patch", "surface", "hole", "net_m2", "treated_m2", "dry_t"} <= set(read["lines"][0])
    assert {"loads", "tonnes", "chance_short"} == set(read["loads"][0])
    # By hand: 1,500 m2 net, 1,650 treated, x 0.002 m x 1,500 kg/m3 = 4.95 t dry; x 1.04 = 5.148 t; less 2 t = 3.148 t
    assert read["dry_t"] == pytest.approx(4.95)
    assert read["delivered_t"] == pytest.approx(5.148)
    assert read["to_order_t"] == pytest.approx(3.148)
    assert read["plus_minus_t"] == pytest.approx(1.96 * 0.05 * 5.148)
    assert read["advised_loads"] == small_order.units
    assert read["load_t"] == 20.0
    assert "packs" not in read
    assert any("silica" in caution for caution in read["cautions"])


def test_feed_json_speaks_of_kg_and_packs(feed_order):
    read = json.loads(json_text(order_json(feed_order)))
    assert [line["kg"] for line in read["lines"]] == [11.0, 13.2]
    assert read["kg"] == pytest.approx(24.2)  # 1,210 m2 x 20 g
    assert read["packs"] == 2
    assert not {"loads", "dry_t", "advised_loads"} & set(read)
    assert read["nutrients"][0]["name"] == "N"


def test_lines_of_the_text_are_in_order_of_play(small_order):
    text = order_text(small_order)
    places = [
        line.split("  ")[0] for line in text.splitlines() if line.startswith(("2 green", "10 green", "practice g"))
    ]
    assert places == ["2 green", "10 green", "practice green"]


def test_text_says_which_ton_and_how_sure(course_order):
    text = order_text(course_order)
    assert "tonne of 1,000 kg" in text
    assert "<- advised" in next(line for line in text.splitlines() if line.split()[:2] == ["3", "60.00"])
    assert "about 1 in 10" in text
    assert "You accept running short 1 in 10" in text
    assert text.index("depth of the dressing") < text.index("bulk density") < text.index("Cautions")
    assert "No spread was given for moisture" in text
    assert "Areas surveyed: 14 March 2026" in text


def test_us_text_never_says_a_bare_ton(course_order):
    text = order_text(course_order, "us")
    # 34.402 t as delivered / 0.90718474 (NIST SP 811, B.8) = 37.92 US tons
    assert f"{course_order.delivered_kg / 907.18474:,.2f} US ton" in text
    assert "short ton of 2,000 lb" in text
    stripped = text.replace("US ton", "").replace("short ton", "").replace("long ton", "")
    assert " ton " not in stripped
    assert " tons" not in stripped


def test_packs_have_no_loads_and_their_own_cautions(feed_order):
    text = order_text(feed_order)
    assert "2 of 20.0 kg = 40.0 kg" in text
    assert "chance short" not in text
    assert "label" in text
    assert "silica" not in text


def test_nothing_is_wider_than_a_hundred(course_order):
    long = replace(course_order, remarks=("word " * 60,), jobs=tuple(f"job number {n}" for n in range(30)))
    for units in ("metric", "us"):
        assert max(len(line) for line in (order_text(long, units) + working_text(long)).splitlines()) <= 100


def test_working_is_numbered_and_names_sources(small_order):
    text = working_text(small_order)
    assert [line for line in text.splitlines() if line[:2] in {"1.", "2.", "3."}] == [
        "1. Net area of the greens",
        "2. Sand for the dressing, dry",
        "3. As delivered",
    ]
    assert "= 1,650.0 m2 x 0.002 m x 1,500 kg/m3" in text
    assert "= 4.950 t" in text
    assert "Source: plain geometry" in text


def test_two_greens_on_one_hole_are_told_apart():
    lines = [OrderLine(f"green-07{end}", "green", "7", 1, 1, 1, 1) for end in "ab"]
    assert [spoken_name(line, lines) for line in lines] == ["7 green (green-07a)", "7 green (green-07b)"]
    nowhere = OrderLine("green-old", "green", None, 1, 1, 1, 1)
    assert spoken_name(nowhere, [nowhere]) == "green-old"


def test_rows_for_csv(small_order, feed_order):
    text = csv_text([*order_rows(small_order), *order_rows(feed_order)])
    heads = text.splitlines()[0].split(",")
    assert {"material", "patch", "dry_t", "kg"} <= set(heads)
    assert len(text.splitlines()) == 6


def test_an_order_without_loads_or_price(small_order):
    bare = replace(small_order, unit_kg=None, units=None, loads=(), cost=None, u_kg=0.0, working=())
    text = order_text(bare)
    assert "Advised" not in text
    assert "None" not in text
    assert order_json(bare)["advised_loads"] is None
    assert working_text(bare) == ""
