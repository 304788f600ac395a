"""Heads and strips kept off on the map: off at first, drawn to scale, a card for each, with the network blocked."""

import re

import geopandas as gpd
import numpy as np
import pytest

from turfgis.reports.map_heads import Thrown
from turfgis.reports.map_strips import CAUTION

HOSTILE = "<img src=x onerror=window.harmed=1>"


@pytest.fixture
def thrown(course):
    """A whole circle on 14 green, a half circle that looks north on 7 green, and a dry place."""
    greens = course.patches[course.patches["surface"] == "green"].to_crs(32630)
    fourteen, seven = greens[greens["hole"] == "14"].iloc[0], greens[greens["hole"] == "7"].iloc[0]
    table = {
        "head": ["G14.1", HOSTILE],
        "station": ["G14", HOSTILE],
        "controller": ["west", ""],
        "patch": [fourteen["patch"], HOSTILE],
        "throw_m": [18.0, 10.0],
        "arc_rad": np.radians([360.0, 180.0]),
        "facing_rad": [np.nan, 0.0],
        "flow_m3_s": [1.8 / 3600, 0.9 / 3600],
        "pressure_pa": [5.5e5, np.nan],
    }
    heads = gpd.GeoDataFrame(table, geometry=[fourteen.geometry.centroid, seven.geometry.centroid], crs=32630)
    dry = [seven.geometry.centroid.buffer(4)]
    missed = gpd.GeoDataFrame({"patch": [HOSTILE]}, geometry=dry, crs=32630)
    return Thrown(heads.to_crs(4326), missed.to_crs(4326), 50.0)


@pytest.fixture
def opened(open_file, draw_map, thrown, course):
    strip = course.patches[course.patches["surface"] == "water"].to_crs(32630).buffer(6)
    over = gpd.GeoDataFrame(
        {"label": [f"kept off when spraying: {HOSTILE}"], "note": [f"6.0 m from water. {CAUTION}"], "off": [True]},
        geometry=strip.to_numpy(),
        crs=32630,
    ).assign(ink="#5b2a86")
    return open_file(draw_map(heads=thrown, background=over.to_crs(4326)))


def box(opened, words):
    return opened.page.locator("#more label", has_text=words).locator("input")


def test_heads_are_off_until_asked_for_and_no_word_is_markup(opened):
    page = opened.page
    assert not box(opened, "Heads and their throw").is_checked()
    assert page.locator(".throw").count() == page.locator(".missed").count() == page.locator(".head-dot").count() == 0
    box(opened, "Heads and their throw").check()
    assert page.locator(".throw").count() == page.locator(".head-dot").count() == 2
    assert page.locator(".missed").count() == 1
    words = page.locator("#more").inner_text()
    assert "reached by a head" in words
    assert "missed 50 m2" in words
    box(opened, "Heads and their throw").uncheck()
    assert page.locator(".throw").count() == 0
    assert page.evaluate("window.harmed") is None
    assert (opened.asked, opened.complaints) == ([], [])


def test_a_tap_tells_station_flow_and_throw(opened):
    page = opened.page
    box(opened, "Heads and their throw").check()
    page.locator(".head-dot").first.dispatch_event("click")
    assert page.locator("#detail-title").inner_text() == "Head G14.1"
    facts = page.locator("#detail-facts").inner_text()
    for words in (
        r"Station\s+G14",
        r"Flow\s+1\.8 m3/h",
        r"Throw\s+18\.0 m",
        r"Arc\s+full circle",
        r"Pressure\s+5\.5 bar",
    ):
        assert re.search(words, facts)
    assert "Set out cans" in page.locator("#detail-care").inner_text()
    assert page.locator(".throw.chosen").count() == 1
    page.locator("#close").click()
    assert page.locator(".throw.chosen").count() == 0


def test_a_head_is_found_by_its_name_and_switches_them_on(opened):
    page = opened.page
    page.locator("#find-text").fill("g14.1")
    page.keyboard.press("Enter")
    assert page.locator("#detail-title").inner_text() == "Head G14.1"
    assert box(opened, "Heads and their throw").is_checked()
    page.locator("#find-text").fill("heads")
    page.keyboard.press("ArrowDown")
    assert page.locator("#found .place-title").count() == 2
    page.locator("#found button", has_text="img src").click()
    assert page.locator("#detail-title").inner_text() == f"Head {HOSTILE}"
    assert HOSTILE in page.locator("#detail-facts").inner_text()
    assert page.evaluate("window.harmed") is None
    page.locator("#find-text").fill("14 green")
    assert "head" not in page.locator("#found").inner_text().lower()


@pytest.mark.parametrize(("asked", "place", "wide", "high"), [("G14.1", 0, 36, 36), ("img src", 1, 20, 10)])
def test_throws_are_drawn_to_scale(opened, asked, place, wide, high):
    """A circle of 18 m is 36 m wide and high; a half circle of 10 m that looks north is half as high as it is wide."""
    page = opened.page
    page.locator("#find-text").fill("heads")
    page.locator("#found button", has_text=asked).click()
    page.wait_for_timeout(600)
    size = page.locator(".throw").nth(place).evaluate("one => [one.getBBox().width, one.getBBox().height]")
    metre = page.evaluate(
        "() => { const map = window[JSON.parse(document.getElementById('content').textContent).map];"
        "const at = map.getCenter(); const one = map.latLngToLayerPoint(at);"
        "return 400 / map.layerPointToLatLng(one).distanceTo(map.layerPointToLatLng([one.x + 400, one.y])); }"
    )
    assert size == pytest.approx([wide * metre, high * metre], rel=0.03)


def test_heads_stand_on_the_printed_sheet_only_while_they_are_on(opened):
    page, lines = opened.page, '#paper path[stroke="#0b4f8a"]'
    page.evaluate("dispatchEvent(new Event('beforeprint'))")
    assert page.locator(lines).count() == 0
    box(opened, "Heads and their throw").check()
    page.evaluate("dispatchEvent(new Event('beforeprint'))")
    assert page.locator(lines).count() == 1


def test_a_strip_is_off_and_carries_the_word_of_the_label(opened):
    page = opened.page
    switch = box(opened, "kept off when spraying")
    assert not switch.is_checked()
    row = page.locator("#more li", has_text="kept off when spraying").inner_text()
    assert HOSTILE in row
    assert "6.0 m from water" in row
    assert "the label and national rules decide" in row
    before = page.locator(".behind.area").count()
    switch.check()
    assert page.locator(".behind.area").count() == before + 1
    page.locator("#find-text").fill("14 green")
    page.keyboard.press("Enter")  # what is chosen does not hide it
    order = page.locator("path").evaluate_all("all => all.map(one => one.getAttribute('class') || '')")
    assert order.index(next(one for one in order if "behind area" in one)) > max(
        at for at, one in enumerate(order) if "patch" in one
    )
    assert (opened.asked, opened.complaints) == ([], [])


def test_on_a_phone_the_legend_and_the_card_fit(open_file, draw_map, thrown, on_phone):
    opened = open_file(draw_map(heads=thrown), **on_phone)
    page = opened.page
    page.locator('[data-sheet="surfaces"]').tap()
    box(opened, "Heads and their throw").check()
    wide = page.evaluate("document.documentElement.scrollWidth")
    assert wide <= 360
    page.locator('[data-sheet="find"]').tap()
    page.locator("#find-text").fill("g14.1")
    page.keyboard.press("Enter")
    assert page.locator("#detail-facts").is_visible()
    assert page.locator("#detail").bounding_box()["width"] <= 360
