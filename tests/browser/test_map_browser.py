"""The area map as people use it: on a desk, on a phone, by keyboard alone, on paper, and always without a network."""

import re
import warnings
import zlib

import numpy as np
import pandas as pd
import pytest
from pyproj import Geod

PICTURE = (
    # A PNG of one grey pixel: signature, header, data, end (PNG, W3C Recommendation, section 5).
    bytes.fromhex("89504e470d0a1a0a0000000d49484452000000010000000108000000003a7e9b55")
    + bytes.fromhex("0000000a49444154789c6368000000820081772e1d2a0000000049454e44ae426082")
)


def settled(page) -> None:
    """Wait until the map has come to rest. (Playwright's own waiting for a script is kept out by the page's policy.)"""
    where = None
    for _ in range(40):
        page.wait_for_timeout(120)
        now = page.evaluate(
            "[map_course.getZoom(), map_course.getCenter().lat, document.querySelectorAll('.leaflet-zoom-anim').length]"
        )
        if now == where:
            return
        where = now
    raise AssertionError("the map does not come to rest")


def on_paper(page) -> None:
    """Show the page as it is printed; the sheet is drawn a moment after the browser says that it prints."""
    page.emulate_media(media="print")
    page.locator("#paper-scale", has_text="on A4").wait_for()


def colours(png: bytes) -> int:
    """How many different colours a screenshot holds (read with rasterio, as any raster)."""
    from rasterio.errors import NotGeoreferencedWarning
    from rasterio.io import MemoryFile

    with warnings.catch_warnings(), MemoryFile(png) as file:
        warnings.simplefilter("ignore", NotGeoreferencedWarning)
        with file.open() as image:
            pixels = image.read()[:3].reshape(3, -1)
    return len(np.unique(pixels, axis=1).T)


def say(page, text: str) -> list[str]:
    """Type into the search and give what is listed."""
    page.fill("#find-text", text)
    return page.locator("#found .place-title").all_inner_texts()


# --- nothing but the file ------------------------------------------------------------------------


def test_the_file_asks_for_nothing_and_complains_of_nothing(open_file, made_up):
    opened = open_file(made_up)
    settled(opened.page)
    say(opened.page, "14 green")
    opened.page.keyboard.press("Enter")
    settled(opened.page)
    assert opened.asked == []
    assert opened.complaints == []


def test_the_map_is_drawn(open_file, made_up, course):
    page = open_file(made_up).page
    settled(page)
    assert page.locator(".patch").count() == len(course.patches)
    # A blank page has one or two colours; the palette alone has more than this many tints and inks.
    assert colours(page.locator("#ground").screenshot()) > 20


def test_a_name_that_would_be_a_script_stays_text(open_file, made_up):
    opened = open_file(made_up)
    assert say(opened.page, "img src") == ["<img src=x onerror=window.harmed=1> (green)"]
    opened.page.keyboard.press("Enter")
    settled(opened.page)
    assert opened.page.inner_text("#detail-title") == "<img src=x onerror=window.harmed=1> (green)"
    opened.page.locator(".patch.chosen").hover(force=True)
    assert opened.page.locator(".hint").inner_text() == "<img src=x onerror=window.harmed=1> (green)"
    assert opened.page.evaluate("window.harmed") is None
    assert opened.page.locator("img").count() == 0
    assert opened.complaints == []


def test_hostile_words_everywhere_run_nothing(open_file, draw_map, course):
    hostile = "</script><img src=x onerror=window.harmed=1>{{ 7 * 7 }}"
    patches = course.patches.assign(surface=hostile, hole=hostile, name=hostile, surveyed=hostile)
    opened = open_file(
        draw_map(
            patches=patches,
            title=hostile,
            surveyed=hostile,
            accuracy_note=hostile,
            cautions=[hostile],
            attribution=hostile,
            hole_lines=course.hole_lines.assign(hole=hostile),
            background=course.background.assign(label=hostile),
        )
    )
    say(opened.page, "img")
    opened.page.keyboard.press("Enter")
    settled(opened.page)
    for switch in opened.page.locator(".switch input").all():
        switch.click()
    assert opened.page.inner_text("#title") == hostile
    assert opened.page.inner_text("#legend .switch-name").lower() == hostile.lower()
    assert opened.page.evaluate("window.harmed") is None
    assert opened.page.locator("img").count() == 0
    assert opened.asked == []
    assert opened.complaints == []


def test_the_policy_keeps_out_what_it_does_not_know(open_file, made_up):
    # Would some way in be found after all: a script and a picture put in later are neither run nor fetched.
    opened = open_file(made_up, offline=False)
    opened.page.evaluate(
        """() => {
            const script = document.createElement("script");
            script.textContent = "window.harmed = 1";
            document.body.append(script);
            const picture = document.createElement("img");
            picture.src = "https://elsewhere.example/spy.png";
            document.body.append(picture);
        }"""
    )
    opened.page.wait_for_timeout(200)
    assert opened.page.evaluate("window.harmed") is None
    assert opened.asked == []
    assert len([text for text in opened.complaints if "Content Security Policy" in text]) == 2


# --- finding and reading -------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("asked", "first"),
    [
        ("14 green", "14 green"),
        ("green 14", "14 green"),
        ("the green on the 14th", "14 green"),
        ("Hole 7 Fairway", "7 fairway"),
        ("practice green", "practice green"),
        ("14", "14 green"),
        ("reed", "Reed pond (water)"),
        ("7 tee back", "7 tee, back"),
    ],
)
def test_places_are_found_by_what_staff_call_them(open_file, made_up, asked, first):
    assert say(open_file(made_up).page, asked)[0].lower() == first.lower()


def test_a_number_is_meant_whole(open_file, made_up):
    page = open_file(made_up).page
    assert say(page, "1 green") == ["1 green"]
    # Greens are numbered 1 to 20 in the table; the running number is not the hole.
    assert say(page, "20") == []
    assert "Nothing is called that" in page.inner_text("#find-said")


def test_choosing_a_place_opens_it_with_its_area(open_file, made_up, course):
    page = open_file(made_up).page
    say(page, "14 green")
    before = page.evaluate("map_course.getZoom()")
    page.locator("#found button").click()
    settled(page)
    green = course.patches[(course.patches.surface == "green") & (course.patches.hole == "14")].iloc[0]
    said = page.inner_text("#detail-facts")
    assert page.inner_text("#detail-title") == "14 green"
    assert f"{green.net_m2:,.0f} ± {green.plus_minus_m2:,.0f} m2" in said
    assert f"{green.perimeter_m:,.1f} m" in said
    for words in ("4.0 mm", "pedestrian mower 0.56 m: 14 min", "3.1 t dry", "2026-03-14"):
        assert words in said
    assert page.evaluate("map_course.getZoom()") > before
    x, y = green.geometry.centroid.coords[0]
    assert page.evaluate(f"map_course.getBounds().contains([{y}, {x}])")


def test_a_click_on_a_patch_opens_it_and_a_click_beside_it_closes_it(open_file, made_up):
    page = open_file(made_up).page
    settled(page)
    page.locator(".patch.surface-0").nth(4).click(force=True)
    assert re.fullmatch(r"\d+ green|practice green|.*\(green\)", page.inner_text("#detail-title"))
    page.mouse.click(12, 400)
    assert page.locator("#detail").is_hidden()


def test_us_units_on_the_page(open_file, draw_map):
    page = open_file(draw_map(units="us")).page
    say(page, "14 green")
    page.keyboard.press("Enter")
    assert "ft2" in page.inner_text("#detail-facts")
    assert "m2" not in page.inner_text("#detail-facts")
    assert re.search(r"\d (ft|mi)$", page.locator(".leaflet-control-scale").inner_text())


# --- legend and switches -------------------------------------------------------------------------


def test_a_switch_hides_its_surface_and_shows_it_again_in_its_place(open_file, made_up):
    page = open_file(made_up).page
    row = page.locator("#legend li", has_text="Fairways")
    surface = page.evaluate("JSON.parse(content.textContent).surfaces.findIndex((one) => one.name === 'fairway')")
    paths = page.locator(f".patch.surface-{surface}")
    assert paths.count() == 18
    row.locator("input").uncheck()
    assert paths.count() == 0
    row.locator("input").check()
    assert paths.count() == 18
    # Back in its place in the pile: rough below, greens above.
    order = page.evaluate("[...document.querySelectorAll('.patch')].map((path) => path.classList[1])")
    assert order.index(f"surface-{surface}") < order.index("surface-0")


def test_the_legend_tells_cut_patches_and_area(open_file, made_up, course):
    page = open_file(made_up).page
    text = page.locator("#legend li", has_text="Fairways").inner_text()
    hectares = course.patches[course.patches.surface == "fairway"].net_m2.sum() / 10_000
    for words in ("cut 14.0 mm", "18 patches", f"{hectares:.3f} ha"):
        assert words in text


def test_background_and_hole_numbers_have_switches(open_file, made_up):
    page = open_file(made_up).page
    assert page.locator(".behind").count() == 0, "points are off until they are asked for"
    page.get_by_label("sprinklers").check()
    assert page.locator(".behind").count() == 18
    assert page.locator(".number").count() == 19
    page.get_by_label("Hole numbers").uncheck()
    assert page.locator(".number").count() == 0


def test_a_line_with_an_ink_of_its_own_stands_out_on_map_legend_and_paper(open_file, draw_map, course):
    lines = course.hole_lines[["geometry"]].assign(label="old edge", ink="#b0103a")
    page = open_file(draw_map(background=lines)).page
    settled(page)
    drawn = page.locator("path.behind.line").first
    assert drawn.get_attribute("stroke") == "#b0103a"
    assert float(drawn.get_attribute("stroke-width")) >= 3
    assert drawn.get_attribute("stroke-dasharray") is None
    sign = page.locator("#more li").filter(has_text="old edge").locator("svg path")
    assert sign.get_attribute("stroke") == "#b0103a"
    on_paper(page)
    assert page.locator('#paper path[stroke="#b0103a"]').count() > 0


def test_hole_numbers_never_cover_each_other(open_file, made_up):
    page = open_file(made_up, viewport={"width": 500, "height": 400}).page
    settled(page)
    boxes = [box.bounding_box() for box in page.locator(".number").all()]
    assert len(boxes) > 5
    for i, one in enumerate(boxes):
        for other in boxes[i + 1 :]:
            apart_x = abs(one["x"] - other["x"]) >= (one["width"] + other["width"]) / 2 - 1
            apart_y = abs(one["y"] - other["y"]) >= (one["height"] + other["height"]) / 2 - 1
            assert apart_x or apart_y


def test_what_is_chosen_is_shown_even_if_its_surface_was_off(open_file, made_up):
    page = open_file(made_up).page
    box = page.locator("#legend li", has_text="Greens").locator("input")
    box.uncheck()
    say(page, "3 green")
    page.keyboard.press("Enter")
    assert box.is_checked()
    assert page.locator(".patch.chosen").count() == 1


# --- phone ---------------------------------------------------------------------------------------


def test_a_narrow_phone_needs_no_sideways_scrolling(open_file, made_up, on_phone):
    page = open_file(made_up, **on_phone).page
    for sheet in ("find", "surfaces", "about"):
        page.tap(f"[data-sheet={sheet}]")
        assert page.evaluate("document.documentElement.scrollWidth") == 360
        assert page.locator(f"#{sheet}").bounding_box()["width"] == 360
        assert page.evaluate(f"document.getElementById('{sheet}').scrollWidth") <= 360


def test_everything_to_tap_is_large_enough(open_file, made_up, on_phone):
    # W3C, Web Content Accessibility Guidelines 2.2, criterion 2.5.5 (enhanced): 44 by 44 CSS pixels.
    page = open_file(made_up, **on_phone).page
    seen = 0
    for sheet in ("", "find", "surfaces", "about"):
        if sheet:
            page.tap(f"[data-sheet={sheet}]")
            page.wait_for_timeout(250)
        for thing in page.locator("button:visible, input[type=search]:visible, label.switch:visible").all():
            box = thing.bounding_box()
            assert box["width"] >= 44, thing.evaluate("(one) => one.outerHTML")
            assert box["height"] >= 44, thing.evaluate("(one) => one.outerHTML")
            seen += 1
    assert seen > 30


def test_the_buttons_lie_within_reach_of_a_thumb(open_file, made_up, on_phone):
    page = open_file(made_up, **on_phone).page
    for button in page.locator(".bar button, .zoom button").all():
        assert button.bounding_box()["y"] > 740 * 0.75


def test_one_thumb_finds_a_green_and_sees_it(open_file, made_up, on_phone):
    page = open_file(made_up, **on_phone).page
    page.tap("[data-sheet=find]")
    page.locator("#holes button", has_text=re.compile(r"^14$")).tap()
    assert page.locator("#found .place-title").first.inner_text() == "14 green"
    page.locator("#found button").first.tap()
    settled(page)
    assert page.inner_text("#detail-title") == "14 green"
    # The green is not behind the sheet.
    green, sheet = page.locator(".patch.chosen").bounding_box(), page.locator("#detail").bounding_box()
    assert green["y"] + green["height"] <= sheet["y"] + 1
    assert green["width"] > 40
    page.tap("#close")
    assert page.locator("#detail").is_hidden()


def test_notes_are_put_away_on_a_phone_and_open_on_a_desk(open_file, made_up, on_phone):
    assert open_file(made_up).page.locator("#notes").is_visible()
    page = open_file(made_up, **on_phone).page
    assert page.locator("#notes").is_hidden()
    page.tap("[data-sheet=about]")
    assert "Look before you dig." in page.inner_text("#notes")


# --- keyboard and other senses -------------------------------------------------------------------


def focused(page) -> str:
    return page.evaluate("document.activeElement.id || document.activeElement.className")


@pytest.mark.parametrize("width", [1280, 360])
def test_keyboard_alone_finds_opens_and_closes(open_file, made_up, width):
    page = open_file(made_up, viewport={"width": width, "height": 740}).page
    page.keyboard.press("Tab")
    assert focused(page) == "skip"
    assert page.locator("#skip").bounding_box()["x"] >= 0, "the skip link shows when it has the focus"
    page.keyboard.press("Enter")
    assert focused(page) == "find-text"
    page.keyboard.type("14")
    page.keyboard.press("ArrowDown")
    page.keyboard.press("ArrowDown")
    assert focused(page) == "place"
    chosen = page.evaluate("document.activeElement.querySelector('.place-title').firstChild.textContent")
    page.keyboard.press("Enter")
    assert page.inner_text("#detail-title") == chosen
    assert focused(page) == "detail-title"
    page.keyboard.press("Escape")
    assert page.locator("#detail").is_hidden()
    assert page.evaluate("document.activeElement !== document.body"), "the focus is not lost"


def test_the_focus_can_be_seen(open_file, made_up):
    page = open_file(made_up).page
    page.keyboard.press("Tab")
    page.keyboard.press("Tab")
    for _ in range(8):
        outline = page.evaluate("getComputedStyle(document.activeElement).outlineStyle")
        assert outline != "none", page.evaluate("document.activeElement.outerHTML")
        page.keyboard.press("Tab")


def test_every_control_has_a_name(open_file, made_up):
    page = open_file(made_up).page
    nameless = page.evaluate(
        """() => [...document.querySelectorAll("button, input, main, nav, aside, section")]
            .filter((one) => !(one.textContent.trim() || one.labels?.length || one.getAttribute("aria-label")
                || one.getAttribute("aria-labelledby")))
            .map((one) => one.outerHTML)"""
    )
    assert nameless == []
    assert page.evaluate("document.documentElement.lang") == "en"


def test_less_motion_where_it_is_asked_for(open_file, made_up):
    page = open_file(made_up, reduced_motion="reduce").page
    assert page.evaluate("map_course.options.zoomAnimation") is False
    say(page, "14 green")
    page.keyboard.press("Enter")
    assert page.evaluate("map_course._animatingZoom") in (False, None)
    assert page.evaluate("getComputedStyle(document.getElementById('detail')).animationName") == "none"


# --- paper ---------------------------------------------------------------------------------------


def pages_and_size(pdf: bytes) -> tuple[int, float, float]:
    """Number of pages and size of the first in mm, from the objects of the file (ISO 32000-1, 7.7.3)."""
    text = pdf + b"".join(
        zlib.decompress(part) for part in re.findall(rb"/Type /ObjStm.*?stream\r?\n(.*?)endstream", pdf, re.DOTALL)
    )
    count = len(re.findall(rb"/Type\s*/Page\b(?!s)", text))
    box = re.search(rb"/MediaBox\s*\[\s*0 0 ([\d.]+) ([\d.]+)", text)
    width, height = (float(side) / 72 * 25.4 for side in box.groups())
    return count, width, height


@pytest.mark.parametrize(("paper", "short", "long"), [("A4", 210, 297), ("A3", 297, 420)])
def test_prints_on_one_sheet(open_file, made_up, paper, short, long):
    # Sizes: ISO 216, table 1.
    page = open_file(made_up).page
    count, width, height = pages_and_size(page.pdf(format=paper, prefer_css_page_size=True, print_background=True))
    assert count == 1
    assert sorted([width, height]) == pytest.approx([short, long], abs=1)


def test_the_sheet_carries_map_legend_notes_and_scale_and_no_controls(open_file, made_up):
    page = open_file(made_up).page
    on_paper(page)
    for shown in ("#title", "#surveyed", "#paper", "#paper-scale", "#legend", "#notes", "#accuracy"):
        assert page.locator(shown).is_visible(), shown
    for hidden in ("#ground", "#find", ".bar", ".zoom", ".printing", ".switch input"):
        assert page.locator(hidden).first.is_hidden(), hidden
    assert page.locator("#paper .number-text").count() == 19
    assert page.locator("#paper .north-arrow").count() == 1
    assert re.search(r"1 : [\d,]+ on A4 and 1 : [\d,]+ on A3", page.inner_text("#paper-scale"))
    assert colours(page.screenshot()) > 20


def test_the_printed_scale_is_right(open_file, made_up, course):
    page = open_file(made_up).page
    on_paper(page)
    # Two greens as pyproj sees them on the ellipsoid, and as they stand on the sheet.
    greens = course.patches[course.patches.surface == "green"].set_index("hole").geometry
    ends = [greens[hole].envelope.centroid for hole in ("1", "18")]
    metres = Geod(ellps="WGS84").inv(*ends[0].coords[0], *ends[1].coords[0])[2]
    a4 = float(re.search(r"1 : ([\d,]+) on A4", page.inner_text("#paper-scale")).group(1).replace(",", ""))
    sheet = page.evaluate("document.getElementById('paper').viewBox.baseVal.width")
    numbers = [page.locator("#paper .number-text", has_text=re.compile(f"^{hole}$")) for hole in ("1", "18")]
    at = [(float(number.get_attribute("x")), float(number.get_attribute("y"))) for number in numbers]
    units = np.hypot(at[0][0] - at[1][0], at[0][1] - at[1][1])
    # The map is 190 mm wide on an upright A4 sheet; a number stands within 40 units of the middle of its green.
    printed = units * 190 / sheet / 1000
    assert metres / printed == pytest.approx(a4, rel=0.05 + 80 / units)


def test_a_surface_that_is_off_is_not_printed(open_file, made_up):
    page = open_file(made_up).page
    page.locator("#legend li", has_text="Rough").locator("input").uncheck()
    on_paper(page)
    assert page.locator("#legend li", has_text="Rough").is_hidden()
    assert page.locator("#paper clipPath").count() == 6


def test_printing_leaves_the_map_as_it_was(open_file, made_up):
    page = open_file(made_up).page
    settled(page)
    before = page.evaluate("[map_course.getZoom(), map_course.getCenter()]")
    on_paper(page)
    page.emulate_media(media="screen")
    page.wait_for_timeout(300)
    assert page.evaluate("[map_course.getZoom(), map_course.getCenter()]") == before


# --- online background, attribution, courses that lack things ------------------------------------

TILES = ("https://tiles.example/{z}/{x}/{y}.png", "Pictures: the tile maker")


def test_a_background_is_asked_for_only_when_switched_on(open_file, draw_map):
    opened = open_file(draw_map(tiles=TILES), offline=False, answer=PICTURE)
    settled(opened.page)
    assert opened.asked == []
    opened.page.get_by_label("Background picture").check()
    opened.page.locator("#more", has_text="shown").wait_for()
    assert opened.asked
    assert all(url.startswith("https://tiles.example/") for url in opened.asked)
    assert opened.page.inner_text("#credit").startswith("Pictures: the tile maker")
    opened.page.get_by_label("Background picture").uncheck()
    assert "the tile maker" not in opened.page.inner_text("#credit")


def test_without_signal_the_background_fails_quietly(open_file, draw_map, course):
    opened = open_file(draw_map(tiles=TILES))
    opened.page.get_by_label("Background picture").check()
    opened.page.locator("#more", has_text="no signal").wait_for()
    assert opened.page.locator(".patch").count() == len(course.patches)
    assert not [text for text in opened.complaints if "ERR_" not in text], "only the browser's own note of no network"


def test_attribution_is_shown_when_the_data_ask_for_it(open_file, draw_map, made_up):
    page = open_file(draw_map(attribution="© OpenStreetMap contributors, ODbL")).page
    for medium, credit in (("screen", "#credit"), ("print", "#paper-credit")):
        page.emulate_media(media=medium)
        assert page.locator(credit).is_visible()
        assert "© OpenStreetMap contributors, ODbL" in page.inner_text(credit)
    assert open_file(made_up).page.inner_text("#credit") == "Drawn with Leaflet"


def test_a_course_without_holes_and_lines_still_opens(open_file, draw_map, course):
    opened = open_file(
        draw_map(
            patches=course.patches.assign(hole=None, name=None),
            facts=course.facts.iloc[:0],
            hole_lines=course.hole_lines.iloc[:0],
            background=course.background.iloc[:0],
        )
    )
    assert say(opened.page, "14 green") == []
    assert "No hole numbers are known" in opened.page.inner_text("#find-said")
    assert len(say(opened.page, "green")) == 20
    opened.page.keyboard.press("Enter")
    settled(opened.page)
    assert opened.page.locator("#detail").is_visible()
    assert opened.complaints == []


def test_a_single_patch_opens(open_file, draw_map, course):
    opened = open_file(draw_map(patches=course.patches.iloc[[13]], hole_lines=course.hole_lines.iloc[:0]))
    settled(opened.page)
    assert opened.page.locator(".patch").bounding_box()["width"] > 100
    assert opened.complaints == []


def test_two_thousand_patches_open_within_seconds(open_file, draw_map, course):
    bunkers = course.patches[course.patches.surface == "bunker"]
    many = pd.concat(
        [bunkers.set_geometry(bunkers.translate(i * 3e-4, j * 3e-4)) for i in range(11) for j in range(11)],
        ignore_index=True,
    )
    opened = open_file(draw_map(patches=many.iloc[:2000], facts=course.facts.iloc[:0]))
    settled(opened.page)
    assert opened.page.locator(".patch").count() == 2000
    loaded = opened.page.evaluate("performance.getEntriesByType('navigation')[0].domContentLoadedEventEnd")
    assert loaded < 5000, "milliseconds until the map stands"
