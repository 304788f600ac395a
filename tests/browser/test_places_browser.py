"""Places on the map: signs told apart without colours, a card, the list and the print, with the network blocked."""

import re

import pytest

from turfgis.layers.place_words import KINDS
from turfgis.reports.map_places import Watched
from turfgis.reports.places import KEYS

HOSTILE = "<img src=x onerror=window.harmed=1>"
PIXEL = (
    b"\xff\xd8\xff\xe0\x00\x10JFIF\x00\x01\x01\x00\x00\x01\x00\x01\x00\x00\xff\xdb\x00C\x00" + b"\x08" * 64
    + b"\xff\xc0\x00\x0b\x08\x00\x01\x00\x01\x01\x01\x11\x00\xff\xc4\x00\x14\x00\x01" + b"\x00" * 15
    + b"\x09\xff\xc4\x00\x14\x10\x01" + b"\x00" * 16 + b"\xff\xda\x00\x08\x01\x01\x00\x00?\x00T\xdf\xff\xd9"
)  # fmt: skip


def row(number, kind, **known):
    base = dict.fromkeys(KEYS) | {"place": f"p-{number}", "kind": kind, "state": "later", "due": "2027-05-20"}
    return base | {"patch": "green-1", "surface": "green", "hole": str(number + 1)} | known


@pytest.fixture
def watched(course):
    green = course.patches[course.patches["surface"] == "green"]
    rows = [row(number, kind, name=f"the {kind}") for number, kind in enumerate(KINDS)]
    shapes = [green.geometry.iloc[number].centroid for number in range(len(rows))]
    shapes[4] = green.geometry.iloc[4]  # a wet green, as an area
    rows[0] |= {"name": HOSTILE, "note": HOSTILE, "species": HOSTILE}
    rows[7] |= {"urgency": 1, "task": "fence it", "photo": "photos/7.jpg"}
    gone = row(9, "weed", state="closed", name="long gone")
    return Watched([*rows, gone], [*shapes, shapes[0]], {"photos/7.jpg": PIXEL})


@pytest.fixture
def opened(open_file, draw_map, watched):
    return open_file(draw_map(places=watched))


def test_places_need_no_network_and_no_word_is_markup(opened):
    opened.page.wait_for_timeout(300)
    opened.page.locator("#find-text").fill("p-0")
    opened.page.keyboard.press("Enter")
    assert opened.page.locator("#detail-title").inner_text() == HOSTILE
    assert HOSTILE in opened.page.locator("#detail-facts").inner_text()
    assert (opened.asked, opened.complaints) == ([], [])
    assert opened.page.evaluate("window.harmed") is None


def test_every_kind_has_a_sign_of_another_outline(opened):
    """Shapes alone tell the kinds apart: in black and white, and for whoever does not see colours."""
    assert opened.page.locator(".spot-sign").count() == len(KINDS)  # what is closed is not drawn
    outlines = opened.page.locator(".spot-sign").evaluate_all("all => all.map(svg => svg.firstChild.getAttribute('d'))")
    assert len(set(outlines)) == len(KINDS)
    inks = opened.page.locator(".spot-sign path").evaluate_all(
        "all => all.flatMap(path => [path.getAttribute('fill'), path.getAttribute('stroke')])"
    )
    assert set(inks) <= {"#fff", "#1b1f1d", "none"}


def test_a_tap_opens_a_card_with_what_to_do_and_what_to_mind(opened):
    opened.page.locator(".spot").nth(7).click()
    page = opened.page
    assert page.locator("#detail-title").inner_text() == "the hazard"
    assert re.search(r"To do\s+fence it", page.locator("#detail-facts").inner_text())
    assert "competent person" in page.locator("#detail-care").inner_text()
    image = page.locator("#detail-photo img")
    assert image.is_visible()
    assert image.get_attribute("src").startswith("data:image/jpeg")
    page.locator("#close").click()
    page.locator(".spot").nth(1).click()
    assert image.count() == 0


def test_places_are_found_by_kind_name_and_id(opened):
    def found(words):
        opened.page.locator("#find-text").fill(words)
        return opened.page.locator("#found .place-title").all_inner_texts()

    assert found("wet spot")[0].splitlines()[0].lower() == "the wet spot"
    assert len(found("p-3")) == 1
    assert found("long gone") == []
    assert "14 green" in " ".join(found("14 green")).lower()


def test_places_are_switched_off_and_on(opened):
    box = opened.page.locator("#more label", has_text="Places to watch").locator("input")
    assert box.is_checked()
    assert "wet spot 1" in opened.page.locator("#more").inner_text()
    box.uncheck()
    assert opened.page.locator(".spot-sign").count() == opened.page.locator(".spot-shape").count() == 0
    box.check()
    assert opened.page.locator(".spot-shape").count() == 1


def test_signs_stand_on_the_printed_sheet(opened):
    opened.page.evaluate("dispatchEvent(new Event('beforeprint'))")
    assert opened.page.locator("#paper .spot-paper").count() == len(KINDS)


def test_places_take_little_room(draw_map, watched):
    """A mail box takes the map: nine places add less than the map of one green does (20 kB, photo and scripts)."""
    assert len(draw_map(places=watched)) - len(draw_map()) < 20_000
