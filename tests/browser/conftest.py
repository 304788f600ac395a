"""
A real browser with the network blocked, and a made-up course to open in it.

Needs Chromium on the machine and the Python package playwright; where one is missing, the tests here are skipped and
say so.
"""

import shutil
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from dataclasses import dataclass, field
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import geopandas as gpd
import numpy as np
import pandas as pd
import pytest
import shapely
from shapely.affinity import rotate, translate

from turfgis.reports.map import render_map
from turfgis.surfaces import pile_order

ARGUMENTS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
DESK, PHONE = {"width": 1280, "height": 800}, {"width": 360, "height": 740}
HOSTILE = "<img src=x onerror=window.harmed=1>"


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Mark everything in this folder."""
    for item in items:
        if Path(__file__).parent in item.path.parents:
            item.add_marker(pytest.mark.browser)


@pytest.fixture(scope="session")
def browser() -> Iterator[Any]:
    """Chromium, started once."""
    driver = pytest.importorskip("playwright.sync_api", reason="the Python package playwright is not installed")
    found = next((path for name in ("chromium", "chromium-browser") if (path := shutil.which(name))), None)
    if not found:
        pytest.skip("no Chromium on this machine (on Debian: apt-get install chromium)")
    with driver.sync_playwright() as playwright:
        started = playwright.chromium.launch(executable_path=found, args=ARGUMENTS)
        yield started
        started.close()


@dataclass
class Opened:
    """A page, and all it asked for and complained about."""

    page: Any
    asked: list[str] = field(default_factory=list)
    complaints: list[str] = field(default_factory=list)
    desk: Any = None


@pytest.fixture
def open_file(browser: Any, tmp_path: Path) -> Iterator[Callable[..., Opened]]:
    """Opens the text of a page from a file, offline; anything else that is asked for is refused and noted."""
    contexts = []

    def open_text(html: str, *, offline: bool = True, answer: bytes | None = None, **context: Any) -> Opened:
        file = tmp_path / "map.html"
        file.write_text(html, encoding="utf-8", newline="\n")
        contexts.append(browser.new_context(offline=offline, **({"viewport": DESK} | context)))
        opened = Opened(contexts[-1].new_page())

        def decide(route: Any) -> None:
            if route.request.url == file.as_uri():
                route.continue_()
                return
            opened.asked.append(route.request.url)
            if answer is None:
                route.abort()
            else:
                route.fulfill(body=answer, content_type="image/png")

        opened.page.route("**/*", decide)
        opened.page.on("console", lambda said: opened.complaints.append(f"{said.type}: {said.text}"))
        opened.page.on("pageerror", lambda error: opened.complaints.append(str(error)))
        opened.page.goto(file.as_uri())
        return opened

    yield open_text
    for context in contexts:
        context.close()


@pytest.fixture
def open_desk(browser: Any, desk_open: Any) -> Iterator[Callable[..., Opened]]:
    """
    Opens a page of the desk on a course folder; anything asked for that is not the desk's own is refused and noted.

    Give ``desk`` (what an earlier call left in ``.desk`` of its page) for a second window on the same desk.
    """
    with ExitStack() as stack:

        def open_page(folder: Path, path: str = "/", *, desk: Any = None, **context: Any) -> Opened:
            desk = desk or stack.enter_context(desk_open(folder))
            window = browser.new_context(**({"viewport": DESK} | context))
            stack.callback(window.close)
            opened = Opened(window.new_page(), desk=desk)

            def decide(route: Any) -> None:
                if route.request.url.startswith((desk.address + "/", "data:", "blob:")):
                    route.continue_()
                else:
                    opened.asked.append(route.request.url)
                    route.abort()

            window.route("**/*", decide)
            opened.page.on("console", lambda said: _noted(opened, said))
            opened.page.on("response", lambda answer: _answered(opened, answer))
            opened.page.on("pageerror", lambda error: opened.complaints.append(str(error)))
            opened.page.goto(f"{desk.address}{path}?key={desk.key}")
            return opened

        yield open_page


def _answered(opened: Opened, answer: Any) -> None:
    """A fault of the desk itself; what it refuses is an answer."""
    if answer.status >= 500:
        opened.complaints.append(f"{answer.status}: {answer.url}")


def _noted(opened: Opened, said: Any) -> None:
    """What the page complains of; a refusal of the desk is an answer, and none of those."""
    if said.type in ("error", "warning") and "Failed to load resource" not in said.text:
        opened.complaints.append(f"{said.type}: {said.text}")


@pytest.fixture
def on_phone() -> dict[str, Any]:
    """A narrow phone worked with a thumb."""
    return {"viewport": PHONE, "has_touch": True, "is_mobile": True, "device_scale_factor": 2}


def _round(x: float, y: float, wide: float, deep: float, turn: float) -> shapely.Polygon:
    angles = np.linspace(0, 2 * np.pi, 40, endpoint=False)
    edge = np.column_stack([wide * np.cos(angles), deep * np.sin(angles) * (1 + 0.2 * np.cos(angles))])
    return translate(rotate(shapely.Polygon(edge), turn, origin=(0, 0)), x, y)


def _drawn() -> tuple[list[tuple[str, str | None, str, Any]], list[tuple[str, Any]]]:
    """Surfaces (surface, hole, name, shape) from the top down, and hole lines, of 18 holes side by side."""
    greens, tees, bunkers, fairways, lines = [], [], [], [], []
    for hole in range(1, 19):
        row, column = divmod(hole - 1, 6)
        up = 1 if column % 2 else -1
        x, tee, green = 140 * column, 400 * row + 180 - 170 * up, 400 * row + 180 + 160 * up
        number = str(hole)
        greens.append(("green", number, "", _round(x + 8, green, 15, 12, 20 * hole)))
        tees.append(("tee", number, "back", rotate(shapely.box(x - 5, tee - 8, x + 5, tee + 8), 7 * hole)))
        bunkers.append(("bunker", number, "", _round(x + 32, green - 6, 6, 4, 40 * hole)))
        fairways.append(("fairway", number, f"Fairway {hole}", _round(x + 4, (tee + green) / 2, 18, 105, 0)))
        lines.append((number, shapely.LineString([(x, tee), (x + 6, (tee + green) / 2), (x + 8, green)])))
    greens.append(("green", "practice", "", _round(380, -70, 22, 14, 20)))
    greens.append(("green", None, HOSTILE, _round(480, -70, 12, 12, 0)))
    collars = [("collar", hole, "", shape.buffer(1.0)) for _, hole, _, shape in greens]
    pond = ("water", None, "Reed pond", _round(210, 560, 22, 40, 0))
    rough = ("rough", None, "", shapely.box(-70, -120, 790, 1210).buffer(20))
    return [*greens, *tees, *bunkers, pond, *collars, *fairways, rough], lines


@pytest.fixture(scope="session")
def course() -> SimpleNamespace:
    """A course in metres: its tables as the map takes them, one name of which would like to be a script."""
    drawn, lines = _drawn()
    rows, above = [], shapely.Polygon()
    cuts = {"green": 4.0, "tee": 11.0, "collar": 12.0, "fairway": 14.0, "rough": 60.0}
    for count, (surface, hole, name, shape) in enumerate(drawn, 1):
        net = shape.difference(above)
        above = above.union(shape)
        rows.append(
            {
                "patch": f"{surface}-{count}",
                "surface": surface,
                "hole": hole,
                "name": name,
                "net_m2": net.area,
                "plus_minus_m2": 0.1 * net.length,
                "perimeter_m": net.length,
                "cut_mm": cuts.get(surface, np.nan),
                "surveyed": "2026-03-14",
                "geometry": net,
            }
        )
    patches = gpd.GeoDataFrame(rows, crs="EPSG:32630")
    fixed = patches.set_geometry(patches.translate(500_000, 5_500_000))
    moved = [(hole, translate(line, 500_000, 5_500_000)) for hole, line in lines]
    heads = [translate(shapely.Point(140 * (i % 6), 60 * i), 500_000, 5_500_000) for i in range(18)]
    facts = [
        (row["patch"], label, text)
        for row in rows
        if row["surface"] == "green"
        for label, text in (("Mowing", "pedestrian mower 0.56 m: 14 min"), ("Sand, renovation", "3.1 t dry"))
    ]
    return SimpleNamespace(
        patches=fixed.to_crs("EPSG:4326"),
        facts=pd.DataFrame(facts, columns=["patch", "label", "text"]),
        hole_lines=gpd.GeoDataFrame(moved, columns=["hole", "geometry"], crs="EPSG:32630").to_crs("EPSG:4326"),
        background=gpd.GeoDataFrame({"label": ["sprinklers"] * len(heads)}, geometry=heads, crs="EPSG:32630").to_crs(
            "EPSG:4326"
        ),
        surfaces=pile_order(),
    )


@pytest.fixture(scope="session")
def draw_map(course: SimpleNamespace) -> Callable[..., str]:
    """Draws the map of the made-up course; anything can be given otherwise."""

    def draw(**other: Any) -> str:
        given = {
            "title": "Made-up Course",
            "surveyed": "14 March 2026",
            "accuracy_note": "Plus-minus covers 95 in 100.",
            "cautions": ["Look before you dig.", "Keep off steep banks."],
        }
        return render_map(**(vars(course) | given | other))

    return draw


@pytest.fixture(scope="session")
def made_up(draw_map: Callable[..., str]) -> str:
    """The map as it usually is."""
    return draw_map()
