"""A folder that is empty, or a course with nothing but its drawing: each page says what is missing and leads there."""

import re
from html import unescape
from urllib.parse import urlsplit

import pytest

from turfgis.desk.frame import PAGES

from .conftest import asking

BARE = 'name = "Bare"\n[[layer]]\nfile = "areas.geojson"\nsurface = "green"\n'
SQUARE = """{"type": "FeatureCollection", "features": [{"type": "Feature", "properties": {}, "geometry":
{"type": "Polygon", "coordinates": [[[0, 50], [0.001, 50], [0.001, 50.001], [0, 50.001], [0, 50]]]}}]}"""


@pytest.fixture(scope="module")
def bare(tmp_path_factory):
    folder = tmp_path_factory.mktemp("bare")
    (folder / "course.toml").write_text(BARE, encoding="utf-8")
    (folder / "areas.geojson").write_text(SQUARE, encoding="utf-8")
    made = asking(folder)
    with made.client:
        yield made


@pytest.mark.parametrize("address", [address for address, _ in PAGES if address != "/start"])
def test_in_an_empty_folder_every_page_leads_to_the_files(tmp_path, address):
    ask = asking(tmp_path)
    with ask.client as client:
        answer = client.get(address)
        assert (answer.status_code, answer.headers["location"]) == (303, "/start")
        assert client.get("/start").status_code == 200


def test_a_folder_that_has_gone_is_told(tmp_path):
    folder = tmp_path / "gone"
    folder.mkdir()
    ask = asking(folder)
    folder.rmdir()
    with ask.client as client:
        answer = client.get("/order")
        assert answer.status_code == 422
        assert "Traceback" not in client.get("/start").text


@pytest.mark.parametrize("address", [address for address, _ in PAGES])
@pytest.mark.parametrize("language", ["en", "de"])
def test_a_drawing_alone_opens_every_page(bare, address, language):
    bare.client.cookies.set("look_language", language)
    answer = bare.client.get(address)
    while answer.headers.get("refresh"):
        answer = bare.client.get(address)
    assert answer.status_code == 200
    main = answer.text.partition("<main")[2]
    if address in ("/order", "/year", "/whatif", "/day", "/tanks", "/places"):
        links = re.findall(r'<a class="button[^"]*" href="([^"]+)"', main)
        assert links
        for link in links:
            parts = urlsplit(unescape(link))
            assert bare.client.get(f"{parts.path}?{parts.query}").status_code == 200


def test_what_is_said_to_be_written_for_water_can_be_used(bare):
    import tomllib

    from turfgis.desk.pages.water import WRITE
    from turfgis.settings.read import check_settings

    settings, problems = check_settings(tomllib.loads(BARE + WRITE))
    assert problems == []
    assert settings is not None
    assert "green" in settings.water.surface
