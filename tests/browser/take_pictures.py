"""
Takes the pictures of the README from the demo course: the map, the map on a phone, the order sheet, a day's board and
the desk.

Run as ``python tests/browser/take_pictures.py``. Needs Chromium, and pdftoppm from poppler-utils.
"""

import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

from playwright.sync_api import Page, sync_playwright

ROOT = Path(__file__).resolve().parents[2]
SAMPLE = ROOT / "outputs" / "sample"
ARGUMENTS = ["--no-sandbox", "--disable-gpu", "--disable-background-networking"]
ORDER = "order_renovation_dressing_sand.pdf"
DAY = "2027-05-14"


def take_pictures() -> None:
    """Make the outputs afresh and picture them."""
    SAMPLE.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as folder:
        for command in (["report"], ["board", "--date", DAY]):
            call = [sys.executable, "-m", "turfgis", *command, ROOT / "demo_layers", "-o", folder]
            subprocess.run(call, check=True)
        for page in (1, 2):
            _picture_page(Path(folder, ORDER), page, f"order_sheet_{page}")
        _picture_page(Path(folder, f"board_{DAY}_a4.pdf"), 1, "board")
        _picture_map(Path(folder, "map.html").as_uri())
        _picture_desk(Path(folder, "course"))


def _picture_desk(folder: Path) -> None:
    """The order of a renovation, and the page for drawing, on a copy of the demo course."""
    shutil.copytree(ROOT / "demo_layers", folder, ignore=shutil.ignore_patterns("*.py"))
    call = [sys.executable, "-m", "turfgis", "desk", folder, "--no-browser"]
    with subprocess.Popen(call, stdout=subprocess.PIPE, text=True) as process, sync_playwright() as playwright:
        try:
            assert process.stdout is not None
            address, _, key = process.stdout.readline().split()[-1].partition("/?")
            browser = playwright.chromium.launch(executable_path=_chromium(), args=ARGUMENTS)
            page = browser.new_context(viewport={"width": 1280, "height": 860}).new_page()
            page.context.request.get(f"{address}/favicon.ico?{key}")
            page.goto(f"{address}/order?group=renovation&material=dressing_sand", timeout=120_000)
            page.screenshot(path=SAMPLE / "desk_order.png")
            page.goto(f"{address}/draw", timeout=120_000)
            page.locator("#map[data-grounds]").wait_for(timeout=120_000)
            page.wait_for_timeout(2000)
            page.screenshot(path=SAMPLE / "desk_draw.png")
            browser.close()
        finally:
            process.terminate()


def _chromium() -> str | None:
    return shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")


def _picture_page(sheet: Path, page: int, name: str) -> None:
    where = ["-f", str(page), "-l", str(page)]
    subprocess.run(["pdftoppm", "-r", "60", "-gray", "-png", "-singlefile", *where, sheet, SAMPLE / name], check=True)


def _picture_map(address: str) -> None:
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=_chromium(), args=ARGUMENTS)
        wide = browser.new_context(viewport={"width": 1280, "height": 800}, offline=True).new_page()
        _open(wide, address)
        wide.screenshot(path=SAMPLE / "map.png")
        phone = browser.new_context(viewport={"width": 360, "height": 720}, offline=True, has_touch=True).new_page()
        _open(phone, address)
        phone.get_by_role("button", name="Find", exact=True).tap()
        phone.get_by_label("Hole, surface or name").fill("14 green")
        phone.keyboard.press("Enter")
        phone.wait_for_timeout(800)
        phone.screenshot(path=SAMPLE / "map_phone.png")
        browser.close()


def _open(page: Page, address: str) -> None:
    page.goto(address)
    page.wait_for_timeout(1500)


if __name__ == "__main__":
    take_pictures()
