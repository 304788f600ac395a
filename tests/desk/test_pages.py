"""The pages show what the commands print, to the last digit; they are read as a browser gets them."""

import json
import re
import shutil
from html import unescape
from pathlib import Path

import pytest
from click.testing import CliRunner

from turfgis.cli import program

from .conftest import asking

PAGES = [
    "/",
    "/?by=patch",
    "/?by=hole",
    "/order",
    "/year",
    "/year?by=material",
    "/whatif",
    "/stores",
    "/learn",
    "/start",
]


@pytest.fixture(scope="module")
def folder(kept_course) -> Path:
    return kept_course


@pytest.fixture(scope="module")
def ask(folder):
    made = asking(folder)
    with made.client:
        yield made


def printed(*arguments: str) -> str:
    result = CliRunner().invoke(program, arguments)
    assert result.exit_code == 0, result.output
    return result.stdout


def shown(text: str) -> str:
    """What a reader sees: words without tags."""
    return " ".join(unescape(re.sub(r"<[^>]*>", " ", text)).split())


@pytest.mark.parametrize("address", PAGES)
def test_every_page_opens_whole(ask, address):
    answer = ask.client.get(address)
    assert answer.status_code == 200
    assert answer.text.rstrip().endswith("</html>")
    assert "<script>" not in answer.text
    assert " style=" not in answer.text
    assert " onclick" not in answer.text


def test_areas_are_those_of_the_command(ask, folder):
    page = shown(ask.client.get("/").text)
    for row in json.loads(printed("areas", str(folder), "--format", "json")):
        assert f"{row['surface']} {row['patches']:,} {row['drawn_m2']:,.0f} {row['net_m2']:,.0f}" in page


@pytest.mark.parametrize("material", ["dressing_sand", "bent_seed", "spring_feed"])
def test_an_order_is_that_of_the_command(ask, folder, material):
    query = f"group=renovation&material={material}"
    ours = ask.client.get(f"/order/order.json?{query}").json()
    theirs = printed("order", str(folder), "--group", "renovation", "--material", material, "--format", "json")
    assert ours == json.loads(theirs)
    page = shown(ask.client.get(f"/order?{query}").text)
    for step in ours["working"]:
        assert " ".join(step["result"].split()) in page
    for choice in ours.get("loads", []):
        assert f"{choice['loads']} {choice['tonnes']:.2f} {choice['chance_short'] * 100:.1f}" in page


def test_a_slider_gives_what_the_settings_would(ask, folder, tmp_path):
    query = "group=renovation&material=dressing_sand&risk=5"
    page = ask.client.get(f"/order?{query}").text
    field = re.search(r'name="(depth_\d+)"[^>]*value="2"', page).group(1)
    ours = ask.client.get(f"/order/order.json?{query}&{field}=3").json()
    other = tmp_path / "course"
    shutil.copytree(folder, other)
    settings = other / "course.toml"
    text = settings.read_text(encoding="utf-8").replace('risk = "10 %"', 'risk = "5 %"')
    assert 'depth = "2 mm ± 12 %"' in text
    settings.write_text(text.replace('depth = "2 mm ± 12 %"', 'depth = "3 mm ± 12 %"', 1), encoding="utf-8")
    arguments = ("--group", "renovation", "--material", "dressing_sand", "--format", "json")
    theirs = json.loads(printed("order", str(other), *arguments))
    assert ours["advised_loads"] == theirs["advised_loads"]
    assert ours["dry_t"] == pytest.approx(theirs["dry_t"], rel=1e-12)
    assert ours["plus_minus_t"] == pytest.approx(theirs["plus_minus_t"], rel=1e-9)


@pytest.mark.parametrize("asked", ["risk=abc", "risk=99", "risk=-1", "risk=nan", "risk=inf"])
def test_a_slider_beyond_its_ends_is_refused(ask, asked):
    answer = ask.client.get(f"/order?group=renovation&material=dressing_sand&{asked}")
    assert answer.status_code == 422
    assert "risk" in answer.text


def test_the_year_is_that_of_the_command(ask, folder):
    ours = ask.client.get("/year/budget.json").json()
    assert ours == json.loads(printed("budget", str(folder), "--format", "json"))
    assert f"{ours['total']:,.0f} EUR" in shown(ask.client.get("/year").text)


def test_a_what_if_is_that_of_the_command(ask, folder):
    query = "set=A|material.dressing_sand.price|52 EUR/t"
    while (answer := ask.client.get("/whatif/cases.json", params=query)).headers.get("refresh"):
        pass
    theirs = json.loads(
        printed("change", str(folder), "--set", "material.dressing_sand.price=52 EUR/t", "--format", "json")
    )
    (case,) = answer.json()["cases"]
    assert case["total"] == theirs["total"]
    assert case["difference"] == theirs["difference"]


def test_a_what_if_that_cannot_be_done_says_why(ask):
    page = ask.client.get("/whatif", params="set=A|material.dressing_sand.price|52 kg")
    assert page.status_code == 200
    assert "material.dressing_sand.price" in shown(page.text)
    assert "case A" in shown(page.text)


@pytest.mark.parametrize(
    ("address", "status"),
    [
        ("/order?group=none&material=dressing_sand", 422),
        ("/order/other.exe", 404),
        ("/year/../../etc/passwd", 404),
        ("/static/../app.py", 404),
        ("/static/%2e%2e/app.py", 404),
        ("/leaflet/..%2f..%2fsettings.py", 404),
        ("/whatif?set=nonsense", 422),
        ("/whatif?set=Z|a.b|1", 422),
        ("/day?date=yesterday", 422),
        ("/nowhere", 404),
    ],
)
def test_what_cannot_be_is_told_in_a_page(ask, address, status):
    answer = ask.client.get(address)
    assert answer.status_code == status
    assert "Traceback" not in answer.text


@pytest.mark.parametrize(
    ("address", "begins"),
    [
        ("/order/sheet.pdf?group=renovation&material=dressing_sand", b"%PDF"),
        ("/order/drop_list.pdf?group=renovation&material=dressing_sand", b"%PDF"),
        ("/year/programme.pdf", b"%PDF"),
        ("/year/budget_planner.xlsx", b"PK"),
        ("/areas/area_schedule.pdf", b"%PDF"),
        ("/areas/patches.gpkg", b"SQLite format 3"),
    ],
)
def test_files_are_handed_out(ask, address, begins):
    answer = ask.client.get(address)
    assert answer.status_code == 200
    assert answer.content.startswith(begins)
    assert "filename=" in answer.headers["content-disposition"]


class TestLook:
    def test_units_and_language_are_kept_by_the_browser(self, ask):
        told = {"units": "us", "language": "de", "theme": "dark", "back": "/order?x=1"}
        answer = ask.client.post("/look", params={"token": ask.keys.token}, data=told)
        try:
            assert answer.status_code == 303
            assert answer.headers["location"] == "/order"
            page = ask.client.get("/").text
            assert '<html lang="de" data-theme="dark" data-units="us"' in page
            assert "Flächen" in page
            assert "ft2" in page
            assert re.search(r"\d{1,3}\.\d{3}", shown(page))  # as German parts its thousands
        finally:
            for name in ("units", "language", "theme"):
                ask.client.cookies.delete(f"look_{name}")

    @pytest.mark.parametrize("back", ["//elsewhere.example", "https://elsewhere.example/", "/\\elsewhere.example"])
    def test_the_way_back_stays_on_the_desk(self, ask, back):
        answer = ask.client.post("/look", params={"token": ask.keys.token}, data={"back": back})
        assert answer.headers["location"].startswith("/")
        assert not answer.headers["location"].startswith(("//", "/\\"))


def test_names_from_layers_are_never_markup(folder, tmp_path):
    hostile = "<img src=x onerror=alert(1)>"
    other = tmp_path / "course"
    shutil.copytree(folder, other)
    settings = other / "course.toml"
    text = settings.read_text(encoding="utf-8")
    text = text.replace('name = "Quillhaven Links"', f"name = '{hostile}'").replace("core greens", hostile)
    settings.write_text(text, encoding="utf-8")
    made = asking(other)
    with made.client:
        for address in ("/", "/order", "/year", "/whatif", "/stores", "/learn"):
            page = made.client.get(address).text
            assert hostile not in page
            assert "&lt;img" in page


def test_broken_settings_are_told_and_the_desk_goes_on(folder, tmp_path):
    other = tmp_path / "course"
    shutil.copytree(folder, other)
    settings = other / "course.toml"
    good = settings.read_text(encoding="utf-8")
    made = asking(other)
    with made.client:
        settings.write_text(good.replace('price = "42 EUR/t"', 'price = "42 EUR/h"'), encoding="utf-8")
        answer = made.client.get("/")
        assert answer.status_code == 422
        assert "material.dressing_sand.price" in answer.text
        settings.write_text(good, encoding="utf-8")
        assert made.client.get("/").status_code == 200
