"""Drawing on the desk as a person does it: with a pointer, with keys alone, on a phone, in two windows."""

import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import geopandas as gpd
import numpy as np
import pytest
import shapely

GREEN = "course.gpkg | greens | 7"
PATIENCE_MS = 60_000


@pytest.fixture
def drawing(open_desk: Callable[..., Any], plain_course: Path) -> Callable[..., Any]:
    """Opens the page for drawing, and waits until it can be drawn on."""

    def open_page(**context: Any) -> Any:
        opened = open_desk(plain_course, "/draw", **context)
        opened.page.set_default_timeout(PATIENCE_MS)
        opened.page.wait_for_selector("#map[data-ready]")
        return opened

    return open_page


def expect(locator: Any) -> Any:
    """What is to be seen, sooner or later."""
    from playwright.sync_api import expect as expected

    expected.set_options(timeout=PATIENCE_MS)
    return expected(locator)


def pick(page: Any, area: str) -> None:
    page.select_option("#pick", area)
    expect(page.locator("#figures tr")).to_have_count(4)


def on_map(page: Any) -> None:
    page.evaluate("document.getElementById('map').focus()")


def saved(page: Any, do: Callable[[], Any], address: str = "/api/change", status: int = 200) -> dict:
    """Does something and waits for the answer of the desk to it."""
    with page.expect_response(lambda answer: answer.url.endswith(address)) as told:
        do()
    assert told.value.status == status, told.value.text()
    return told.value.json()


def figure(page: Any, label: str) -> Any:
    return page.locator("#figures tr", has=page.get_by_role("rowheader", name=label, exact=True)).locator("td").first


def stored(folder: Path, key: str) -> Any:
    """A shape as any other program reads it from the file."""
    _, layer, feature = key.split(" | ")
    table = gpd.read_file(folder / "course.gpkg", layer=layer, fid_as_index=True)
    return table.loc[int(feature)].geometry


def corners(page: Any, *steps: tuple[str, str], first: int = 1) -> None:
    """Corners of an outline, typed: east and north of the one before."""
    for number, (east, north) in enumerate(steps, first):
        page.fill("#typed [name=east]", east)
        page.fill("#typed [name=north]", north)
        page.press("#typed [name=north]", "Enter")
        expect(page.locator("#draft-said")).to_have_text(f"{number} corners")


def square(page: Any, reach: str, *steps: tuple[str, str], start: str = "") -> str:
    """A new green, by keys alone; gives its key."""
    on_map(page)
    page.keyboard.press("n")
    page.select_option("#what [name=surface]", "green")
    page.select_option("#reach", reach)
    if start:
        page.fill("#place [name=at]", start)
        page.press("#place [name=at]", "Enter")
        expect(page.locator("#draft-said")).to_have_text("1 corners")
    corners(page, *steps, first=2 if start else 1)
    on_map(page)
    (made,) = saved(page, lambda: page.keyboard.press("Enter"))["in_hand"]
    expect(page.locator("#pick")).to_have_value(made)
    return made


def test_a_square_of_twenty_metres_by_keys_alone(drawing, plain_course):
    """Plane geometry: 20 m x 20 m is 400 m2 within 80 m."""
    opened = drawing()
    page = opened.page
    made = square(page, "0", ("0 m", "0 m"), ("20 m", "0"), ("0", "20 m"), ("-20 m", "0 m"))
    expect(figure(page, "Net area")).to_have_text("400.0 m2")
    expect(figure(page, "Drawn")).to_have_text("400.0 m2")
    expect(figure(page, "Perimeter")).to_have_text("80.0 m")
    assert len(stored(plain_course, made).exterior.coords) == 5
    assert opened.complaints == []
    assert opened.asked == []


def test_a_border_drawn_up_to_a_neighbour_is_shared(drawing, plain_course):
    """Drawn 0.3 m beside it within a reach of 0.5 m: no gap, no overlap, 20 m of one border."""
    page = drawing().page
    one = square(page, "0", ("0 m", "0 m"), ("20 m", "0"), ("0", "20 m"), ("-20 m", "0 m"))
    beside = gpd.GeoSeries([stored(plain_course, one)], crs="EPSG:2157").to_crs("EPSG:4326")[0]
    longitude, latitude = beside.exterior.coords[1]
    beside_it = f"{longitude + 0.3 / (111_320 * np.cos(np.radians(latitude))):.9f}, {latitude:.9f}"
    other = square(page, "0.5", ("10 m", "0"), ("0", "20 m"), ("-10 m", "0"), start=beside_it)
    left, right = stored(plain_course, one), stored(plain_course, other)
    assert left.intersection(right).area == 0
    assert left.distance(right) == 0
    assert shapely.union(left, right).geom_type == "Polygon"
    assert left.union(right).area == pytest.approx(left.area + right.area, rel=1e-12)
    assert left.intersection(right).length == pytest.approx(20.0, abs=0.01)
    shared = set(left.exterior.coords) & set(right.exterior.coords)
    assert len(shared) == 2


def test_a_corner_that_is_dragged_shows_its_figures_before_it_is_let_go(drawing, plain_course):
    page = drawing().page
    pick(page, GREEN)
    before, was = stored(plain_course, GREEN), figure(page, "Net area").inner_text()
    box = page.locator(".handle.corner").first.bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + 20, y - 10, steps=4)
    expect(figure(page, "Net area")).not_to_have_text(was)
    expect(page.locator("#figures .change").first).to_have_text(re.compile(r"^[+−]"))
    shown = figure(page, "Net area").inner_text()
    assert stored(plain_course, GREEN).equals_exact(before, 0)
    saved(page, page.mouse.up)
    after = stored(plain_course, GREEN)
    moved = (shapely.get_coordinates(before)[:-1] != shapely.get_coordinates(after)[:-1]).any(axis=1)
    assert moved.sum() == 1
    expect(figure(page, "Net area")).to_have_text(shown)
    expect(page.locator("#next-order")).to_contain_text(re.compile(r"Needed: .+ → .+"))  # however quick the hand was
    page.click("#undo")
    expect(figure(page, "Net area")).to_have_text(was)
    expect(page.locator("#next-order")).to_contain_text(re.compile(r"Needed: .+ → .+"))
    page.select_option("#pick", "")
    expect(page.locator("#next-order")).to_be_empty()


def test_arrow_keys_move_a_chosen_corner_by_a_tenth_of_a_metre(drawing, plain_course):
    page = drawing().page
    before = stored(plain_course, GREEN)
    pick(page, GREEN)
    on_map(page)
    page.keyboard.press(".")

    def steps() -> None:
        for _ in range(3):
            page.keyboard.press("ArrowRight")
        page.keyboard.press("Shift+ArrowUp")

    saved(page, steps)
    step = shapely.get_coordinates(stored(plain_course, GREEN)) - shapely.get_coordinates(before)
    moved = step[np.abs(step).max(axis=1) > 0]
    # The grid of the layer is turned against north by its convergence, and its scale is not quite 1.
    assert np.hypot(*moved.T) == pytest.approx(np.hypot(0.3, 1.0), rel=1e-3)
    assert moved[0] == pytest.approx([0.3, 1.0], abs=0.05)


def test_fifty_steps_back_and_forth(drawing, plain_course):
    opened = drawing()
    page, before = opened.page, stored(plain_course, GREEN)
    made = page.evaluate(
        """async (area) => {
            const token = document.documentElement.dataset.token;
            let version = (await (await fetch("/api/drawing")).json()).version;
            for (let at = 0; at < 50; at += 1) {
                const stroke = { do: "corner", area, corner: [0, 0, at % 40], by_m: [0.1, 0] };
                const answer = await fetch("/api/change", {
                    method: "POST", headers: { "x-desk-token": token }, body: JSON.stringify({ stroke, version }) });
                version = (await answer.json()).version;
            }
            return version;
        }""",
        GREEN,
    )
    assert made == {"course.gpkg": 50}
    after = stored(plain_course, GREEN)
    page.reload()
    page.wait_for_selector("#map[data-ready]")
    on_map(page)
    for key, shape in (("Control+z", before), ("Control+Shift+z", after)):
        for _ in range(50):
            page.keyboard.press(key)
        button = page.locator("#undo" if key == "Control+z" else "#redo")
        expect(button).to_be_disabled()
        expect(page.locator("#map")).to_have_attribute("data-busy", "no")
        assert stored(plain_course, GREEN).equals_exact(shape, 0)
    assert opened.complaints == []


@pytest.mark.parametrize("kept", ["theirs", "mine"])
def test_two_windows_do_not_overwrite_each_other(drawing, plain_course, kept):
    first = drawing()
    second = drawing(desk=first.desk)
    for window in (first, second):
        pick(window.page, GREEN)
        on_map(window.page)
        window.page.keyboard.press(".")
    saved(first.page, lambda: first.page.keyboard.press("Shift+ArrowRight"))
    theirs = stored(plain_course, GREEN)
    saved(second.page, lambda: second.page.keyboard.press("Shift+ArrowUp"), status=409)
    dialog = second.page.locator("#clash")
    expect(dialog).to_be_visible()
    expect(dialog).to_contain_text("tester")
    expect(dialog).to_contain_text("m2 →")
    assert stored(plain_course, GREEN).equals_exact(theirs, 0)
    if kept == "theirs":
        dialog.get_by_role("button", name="Keep theirs").click()
        expect(second.page.locator("#told")).to_contain_text("Theirs was kept")
        assert stored(plain_course, GREEN).equals_exact(theirs, 0)
    else:
        saved(second.page, dialog.get_by_role("button", name="Do mine on top").click)
        step = shapely.get_coordinates(stored(plain_course, GREEN)) - shapely.get_coordinates(theirs)
        assert np.hypot(*step.T).max() == pytest.approx(1.0, rel=1e-3)


def test_a_window_notices_by_itself_what_another_one_does(drawing, plain_course):
    """Told within a few seconds with who and how much; the settings as well; nothing of it moves the map."""
    first = drawing()
    second = drawing(desk=first.desk)
    pick(first.page, GREEN)
    pick(second.page, GREEN)
    told, load = second.page.locator("#meanwhile"), second.page.get_by_role("button", name="Load the new state")
    was = figure(second.page, "Net area").inner_text()
    on_map(first.page)
    first.page.keyboard.press(".")
    saved(first.page, lambda: first.page.keyboard.press("Shift+ArrowRight"))
    expect(told).to_contain_text("tester")
    expect(told).to_contain_text("greens 7: corner moved: green, hole 7")
    now = figure(first.page, "Net area").inner_text()
    assert now != was
    assert figure(second.page, "Net area").inner_text() == was
    load.click()
    expect(told).to_be_hidden()
    expect(figure(second.page, "Net area")).to_have_text(now)
    assert first.page.locator("#meanwhile").is_hidden()

    places = "one.getBoundingClientRect().x, one.getBoundingClientRect().y"
    where = f"[...document.querySelectorAll('.handle.corner')].map((one) => [{places}])"
    settings, shown = plain_course / "course.toml", np.array(second.page.evaluate(where))
    settings.write_text(settings.read_text(encoding="utf-8") + "# a remark\n", encoding="utf-8")
    expect(told).to_contain_text("course.toml was written anew")
    with second.page.expect_navigation():
        load.click()
    second.page.wait_for_selector("#map[data-ready]")
    expect(second.page.locator("#pick")).to_have_value(GREEN)
    expect(second.page.locator(".handle.corner")).not_to_have_count(0)
    assert np.abs(second.page.evaluate(where) - shown).max() <= 1
    second.page.wait_for_timeout(4000)
    assert told.is_hidden()
    assert [one.complaints for one in (first, second)] == [[], []]


def test_a_page_that_nobody_looks_at_asks_for_nothing(drawing):
    """Hidden as the browser says it of a tab in the background (HTML standard, page visibility)."""
    page = drawing().page
    asked: list[str] = []
    page.on("request", lambda one: asked.append(one.url))
    hide = "Object.defineProperty(document, 'hidden', {{ configurable: true, get: () => {hidden} }})"
    page.evaluate(hide.format(hidden="true"))
    page.wait_for_timeout(3500)
    asked.clear()
    page.wait_for_timeout(4000)
    assert asked == []
    page.evaluate(hide.format(hidden="false") + "; document.dispatchEvent(new Event('visibilitychange'))")
    page.wait_for_timeout(500)
    assert any(one.endswith("/api/version") for one in asked)


def test_each_tool_answers_to_the_key_that_stands_on_it(drawing):
    page = drawing().page
    pick(page, GREEN)
    for button in page.locator("button[data-tool]:enabled").all():
        on_map(page)
        page.keyboard.press(button.locator("kbd").inner_text().lower())
        expect(button).to_have_attribute("aria-pressed", "true")
        page.keyboard.press("Escape")
        pick(page, GREEN)


def test_where_nothing_can_be_drawn_yet_it_is_said_first(open_desk, tmp_path):
    """A course of one GeoJSON file: no version of it can be kept, so it is copied into a GeoPackage before."""
    (tmp_path / "areas.geojson").write_text(
        gpd.GeoSeries([shapely.box(-10.37, 53.15, -10.3698, 53.1501)], crs="EPSG:4326").to_json(), encoding="utf-8"
    )
    (tmp_path / "course.toml").write_text(
        'name = "Invented Links"\n[[layer]]\nfile = "areas.geojson"\nsurface = "green"\n', encoding="utf-8"
    )
    page = open_desk(tmp_path, "/draw").page
    page.wait_for_selector("#map[data-ready]")
    expect(page.locator(".side h2").first).to_have_text("Files that are not written to")
    on_map(page)
    page.keyboard.press("n")
    expect(page.locator("#told")).to_contain_text("Nothing can be drawn or changed here yet")
    with page.expect_navigation():
        page.get_by_role("button", name="Copy into the GeoPackage").click()
    page.wait_for_selector("#map[data-ready]")
    on_map(page)
    page.keyboard.press("n")
    expect(page.locator("#chosen")).to_have_text("New area")


def test_an_outline_given_up_leaves_no_figures_behind(drawing):
    """The figures are those of what is named above them: a new area while it is drawn, and then nothing."""
    page = drawing().page
    pick(page, GREEN)
    on_map(page)
    page.keyboard.press("n")
    expect(page.locator("#chosen")).to_have_text("New area")
    page.select_option("#reach", "0")
    corners(page, ("0 m", "0 m"), ("20 m", "0"), ("0", "20 m"))
    expect(figure(page, "Drawn")).to_have_text("200.0 m2")
    on_map(page)
    page.keyboard.press("Escape")
    expect(page.locator("#figures tr")).to_have_count(0)
    page.keyboard.press("Escape")
    expect(page.locator("#chosen")).to_have_text("No area chosen")


def test_strips_of_the_settings_are_seen_and_told_of_where_they_are_clicked(drawing):
    """Half a metre outside of a green whose collar nobody drew."""
    page = drawing().page
    page.wait_for_selector("#map[data-strips]")
    assert int(page.locator("#map").get_attribute("data-strips")) > 0
    expect(page.locator("#strips")).to_contain_text("1.0 m along the edge of green")
    pick(page, GREEN)
    page.fill("#place [name=at]", _beside(page, GREEN))
    page.press("#place [name=at]", "Enter")
    expect(page.locator("#map")).to_be_focused()
    page.keyboard.press("Escape")
    page.keyboard.press("Space")
    expect(page.locator("#told")).to_contain_text("made by the settings")


def _beside(page: Any, area: str) -> str:
    """Longitude and latitude half a metre east of the easternmost corner of an area."""
    drawing = page.evaluate("async () => (await fetch('/api/drawing')).json()")
    one = next(each for each in drawing["areas"] if each["id"] == area)
    ring = np.cumsum(np.array(one["parts"][0][0]).reshape(-1, 2), axis=0) * drawing["step"]
    x, y = ring[ring[:, 0].argmax()]
    return f"{x + 0.5 / (111_320 * np.cos(np.radians(y))):.8f}, {y:.8f}"


@pytest.mark.parametrize("narrow", [False, True], ids=["desk", "phone"])
def test_photo_relief_or_plain_ground_lies_beneath(open_desk, demo_course, on_phone, narrow):
    """Pictures of the demo come whole, lie right across its greens, and the choice is kept."""
    opened = open_desk(demo_course, "/draw", **(on_phone if narrow else {}))
    page = opened.page
    page.set_default_timeout(PATIENCE_MS)
    page.wait_for_selector("#map[data-grounds]")
    expect(page.locator("#ground")).to_have_value("photo")
    loaded = """() => [...document.querySelectorAll('.leaflet-grounds-pane img')].map((one) => {
        const { left, right, top, bottom } = one.getBoundingClientRect();
        return one.complete && one.naturalWidth > 0 ? { left, right, top, bottom } : null; })"""
    credit = page.locator(".leaflet-control-attribution")
    for ground, credited in (("photo", "drawn, like the course"), ("relief", ""), ("plain", "")):
        page.select_option("#ground", ground)
        page.wait_for_function(f"() => ({loaded})().every(Boolean)")
        pictures = page.evaluate(loaded)
        assert bool(pictures) == (ground != "plain")
        labels = [one.bounding_box() for one in page.locator(".hole-label").all()]
        if pictures:
            first = pictures[0]
            assert all(first["left"] < one["x"] + 13 < first["right"] for one in labels)
            assert all(first["top"] < one["y"] + 13 < first["bottom"] for one in labels)
        expect(credit).to_contain_text(credited)
    page.select_option("#ground", "relief")
    page.reload()
    page.wait_for_selector("#map[data-grounds]")
    expect(page.locator("#ground")).to_have_value("relief")
    assert page.evaluate("document.documentElement.scrollWidth - innerWidth") <= 0
    assert opened.complaints == []
    assert opened.asked == []


def test_a_finding_leads_to_its_place_and_its_mend(drawing, plain_course):
    page = drawing().page
    entry = page.locator("#findings li", has_text="The outline crosses itself")
    entry.get_by_role("button", name="Go there").click()
    expect(page.locator("#pick")).to_have_value("course.gpkg | tees | 38")
    assert not stored(plain_course, "course.gpkg | tees | 38").is_valid
    saved(page, entry.get_by_role("button", name="Take the mended shape").click)
    assert stored(plain_course, "course.gpkg | tees | 38").is_valid
    expect(entry).to_have_count(0)


def test_on_a_phone_a_tap_chooses_and_nothing_is_wider_than_the_screen(drawing, on_phone):
    opened = drawing(**on_phone)
    page = opened.page
    pick(page, GREEN)
    page.select_option("#pick", "")
    box = page.locator("#map").bounding_box()
    page.touchscreen.tap(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    expect(page.locator("#pick")).to_have_value(GREEN)
    assert page.evaluate("document.documentElement.scrollWidth - innerWidth") <= 0
    assert opened.complaints == []


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_nothing_keeps_anybody_out(drawing, scheme):
    """Rules of WCAG 2.2 as axe-core tests them."""
    axe = pytest.importorskip("axe_playwright_python.sync_playwright").Axe
    page = drawing(color_scheme=scheme).page
    pick(page, GREEN)
    page.keyboard.press("n")
    found = axe().run(page).response["violations"]
    assert [(one["id"], one["nodes"][0]["html"]) for one in found if one["impact"] in ("serious", "critical")] == []
