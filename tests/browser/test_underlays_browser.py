"""A photo under the map: inside the file, switched on and off, credited, and on paper."""

import numpy as np
import pytest

from turfgis.measure.photo import jpeg
from turfgis.reports.map_underlays import Underlay

ORANGE = np.tile(np.array([230, 120, 20], np.uint8), (40, 60, 1))


@pytest.fixture
def photo(course):
    west, south, east, north = course.patches.total_bounds
    middle = (west + east) / 2
    halves = [(west, south, middle, north), (middle, south, east, north)]
    return Underlay(
        label="Air photo <b>",
        note="taken 1 June 2026",
        credit="Photo: <img src=x onerror=window.harmed=1>",
        images=[(half, jpeg(ORANGE), "image/jpeg") for half in halves],
        on=True,
    )


@pytest.fixture
def opened(open_file, draw_map, photo):
    return open_file(draw_map(pictures=[photo]))


def test_a_photo_needs_no_network(opened):
    opened.page.wait_for_timeout(400)
    assert opened.asked == []
    assert opened.complaints == []
    assert opened.page.evaluate("window.harmed") is None
    images = opened.page.locator(".leaflet-underlays-pane img")
    assert images.count() == 2
    for number in range(2):
        assert images.nth(number).evaluate("image => [image.complete, image.naturalWidth]") == [True, 60]


def test_a_photo_lies_under_the_shapes_and_shows_through(opened):
    image = opened.page.locator(".leaflet-underlays-pane img").first.bounding_box()
    rough = opened.page.locator(".patch").first
    assert float(rough.evaluate("path => getComputedStyle(path).fillOpacity")) < 0.3
    over = "([x, y]) => document.elementFromPoint(x, y).classList.contains('patch')"
    assert opened.page.evaluate(over, [image["x"] + image["width"] * 0.6, image["y"] + image["height"] * 0.5])


def test_a_photo_is_switched_off_and_on_in_the_list_of_layers(opened):
    page = opened.page
    box = page.locator("#more label", has_text="Air photo").locator("input")
    assert box.is_checked()
    assert "taken 1 June 2026" in page.locator("#more").inner_text()
    assert "Photo: <img" in page.locator("#credit").inner_text()
    box.uncheck()
    assert page.locator(".leaflet-underlays-pane img").count() == 0
    assert "Photo" not in page.locator("#credit").inner_text()
    assert float(page.locator(".patch").first.evaluate("path => getComputedStyle(path).fillOpacity")) == 1
    box.check()
    assert page.locator(".leaflet-underlays-pane img").count() == 2


def test_a_photo_lies_where_its_corners_say(opened):
    """Corners of the two halves against Leaflet's own projection of the course's corners."""
    page = opened.page
    page.wait_for_timeout(600)
    boxes = [page.locator(".leaflet-underlays-pane img").nth(number).bounding_box() for number in range(2)]
    found = page.evaluate(
        """() => {
            const { bounds, map } = JSON.parse(document.getElementById("content").textContent);
            const place = window[map].getContainer().getBoundingClientRect();
            const points = bounds.map((at) => window[map].latLngToContainerPoint(at));
            return points.map(({x, y}) => [x + place.x, y + place.y]);
        }"""
    )
    (west, south), (east, north) = found
    assert boxes[0]["x"] == pytest.approx(west, abs=2)
    assert boxes[0]["y"] == pytest.approx(north, abs=2)
    assert boxes[1]["x"] + boxes[1]["width"] == pytest.approx(east, abs=2)
    assert boxes[1]["y"] + boxes[1]["height"] == pytest.approx(south, abs=2)


def test_a_photo_is_printed_under_the_shapes_with_its_credit(opened):
    page = opened.page
    page.emulate_media(media="print")
    page.locator("#paper-scale", has_text="on A4").wait_for()
    assert page.locator("#paper image").count() == 2
    assert page.evaluate("document.querySelector('#paper').firstElementChild.tagName") == "image"
    assert "Photo:" in page.locator("#paper-credit").inner_text()
