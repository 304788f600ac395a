"""
The page for drawing on a course of 5,000 areas: how long until they are drawn, and how smoothly the map is panned.

Frames are counted in a headless Chromium without a graphics card, which is slower than what people sit at.
"""

import shutil
import statistics
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import geopandas as gpd
from courses import DEMO, as_drawn, copies, measured
from desk import served

AREAS = 5_000
DRAWN_S, FRAME_MS, LONGEST_MS = 3.0, 34.0, 150.0  # targets
PAN_S = 2.0
NEARER = 3.0  # levels of zoom from all copies at once to some holes of one of them
WATCH = """() => {
    window.frames = [];
    let last = performance.now();
    const next = (now) => {
        window.frames.push(now - last);
        last = now;
        window.watching = requestAnimationFrame(next);
    };
    window.watching = requestAnimationFrame(next);
}"""
WATCHED = "() => { cancelAnimationFrame(window.watching); return window.frames.slice(1); }"


def measure_panning() -> Iterator[tuple[str, float, str, float]]:
    """What was measured, the figure, its unit and the target."""
    from playwright.sync_api import sync_playwright

    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        course = Path(folder)
        count = lay_out(course)
        chromium = shutil.which("chromium") or shutil.which("chromium-browser")
        browser = playwright.chromium.launch(executable_path=chromium, args=["--no-sandbox", "--disable-gpu"])
        with served(course) as (client, _running):
            client.get("/api/drawing").raise_for_status()  # measured by then, as the desk does while a browser starts
            page = browser.new_page(viewport={"width": 1280, "height": 800})
            page.set_default_timeout(120_000)
            page.context.add_cookies(
                [{"name": one.name, "value": one.value, "url": str(client.base_url)} for one in client.cookies.jar]
            )
            began = time.perf_counter()
            page.goto(f"{client.base_url}/draw", wait_until="commit")
            page.wait_for_selector("#map[data-ready]")
            page.evaluate("() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))")
            yield f"from the address to {count:,} areas drawn", time.perf_counter() - began, "s", DRAWN_S
            page.wait_for_selector("#map[data-grounds]")
            page.wait_for_timeout(2000)
            for where, nearer in (("all of them in view", 0.0), ("some holes in view", NEARER)):
                yield from _panned(page, where, nearer)
        browser.close()


def lay_out(folder: Path) -> int:
    """A course of so many areas, copies of the demo course side by side; how many they are."""
    many = copies(as_drawn(DEMO), AREAS)
    table = gpd.GeoDataFrame({"kind": many.surface}, geometry=many.shapes, crs=measured(DEMO).frame)
    table.to_file(folder / "course.gpkg", layer="areas")
    entry = '[[layer]]\nfile = "course.gpkg"\nlayer = "areas"\nsurface_from = "kind"\n'
    (folder / "course.toml").write_text(f'name = "Many copies"\n{entry}', encoding="utf-8")
    return len(table)


def _panned(page: Any, where: str, nearer: float) -> Iterator[tuple[str, float, str, float]]:
    """The map dragged to and fro with the mouse, let go, and left until it has come to rest."""
    box = page.locator("#map").bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    for _ in range(round(nearer / 0.5)):
        page.mouse.wheel(0, -60)
        page.wait_for_timeout(400)
    page.wait_for_timeout(1500)
    page.evaluate(WATCH)
    page.wait_for_timeout(PAN_S * 1000)
    yield f"at rest, {where}: longest frame, of what else runs", max(page.evaluate(WATCHED)), "ms", LONGEST_MS
    page.evaluate(WATCH)
    began, step = time.perf_counter(), 0
    while time.perf_counter() - began < PAN_S:
        if step % 40 == 0:
            page.mouse.up()
            page.mouse.move(x, y)
            page.mouse.down()
        step += 1
        page.mouse.move(x - 7 * (step % 40), y + 3 * (step % 40))
        page.wait_for_timeout(8)
    page.mouse.up()
    page.wait_for_timeout(1000)
    frames = page.evaluate(WATCHED)
    yield f"panned, {where}: median frame", statistics.median(frames), "ms", FRAME_MS
    yield f"panned, {where}: longest of {len(frames)} frames", max(frames), "ms", LONGEST_MS
