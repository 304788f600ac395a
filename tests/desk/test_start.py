"""Beginning a course: files dropped in, looked into, confirmed; and what is not taken in."""

import io
import re
import zipfile
from pathlib import Path

import pytest

from turfgis.desk.uploads import take_in
from turfgis.errors import InputError, LayerError

from .conftest import asking

DEMO = Path(__file__).parents[2] / "demo_layers"


@pytest.fixture
def empty(tmp_path):
    made = asking(tmp_path)
    with made.client:
        yield made


def drop(ask, *files: tuple[str, bytes]):
    sent = [("files", (name, content)) for name, content in files]
    return ask.client.post("/start/files", params={"token": ask.keys.token}, files=sent)


def packed(**files: bytes) -> bytes:
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in files.items():
            archive.writestr(name, content)
    return buffer.getvalue()


def test_an_empty_desk_leads_to_the_files(empty):
    answer = empty.client.get("/")
    assert (answer.status_code, answer.headers["location"]) == (303, "/start")


def test_from_a_file_to_areas(empty):
    assert drop(empty, ("bunkers.geojson", (DEMO / "bunkers.geojson").read_bytes())).status_code == 303
    page = empty.client.get("/start").text
    mark = re.search(r'name="(\w{12}):what"', page).group(1)
    told = {"name": "Our course", f"{mark}:what": "bunker"}
    answer = empty.client.post("/start/confirm", params={"token": empty.keys.token}, data=told)
    assert answer.headers["location"] == "/findings"
    course = empty.desk.course
    assert course.name == "Our course"
    assert set(course.measured.patches["surface"]) == {"bunker"}
    assert empty.client.get("/").status_code == 200


def test_more_files_are_added_at_the_end_of_the_settings(ask):
    file = ask.desk.folder / "course.toml"
    before = file.read_text(encoding="utf-8")
    square = (
        b'{"type":"FeatureCollection","features":[{"type":"Feature","properties":{},"geometry":{"type":"Polygon",'
        b'"coordinates":[[[-10.37,53.15],[-10.3699,53.15],[-10.3699,53.1501],[-10.37,53.1501],[-10.37,53.15]]]}}]}'
    )
    assert drop(ask, ("nursery.geojson", square)).status_code == 303
    page = ask.client.get("/start").text
    mark = re.search(r'nursery.*?name="(\w{12}):what"', page, re.S).group(1)
    ask.client.post("/start/confirm", params={"token": ask.keys.token}, data={f"{mark}:what": "green"})
    after = file.read_text(encoding="utf-8")
    assert after.startswith(before.rstrip("\n"))
    assert 'file = "nursery.geojson"' in after[len(before) - 5 :]
    assert ask.desk.course.drawing.layers[-1].surface == "green"


def test_a_file_that_cannot_be_read_says_what_the_command_says(empty):
    drop(empty, ("greens.geojson", b'{"type": "FeatureCollection", "features": ['))
    page = empty.client.get("/start").text
    assert "greens.geojson" in page
    assert 'class="told"' in page


@pytest.mark.parametrize(
    ("name", "content", "reason"),
    [
        ("notes.exe", b"MZ", "not a kind of file"),
        ("page.html", b"<html>", "not a kind of file"),
        ("course.toml", b"name = 'x'", "not a kind of file"),
        ("../greens.geojson", b"{}", "in its own folder"),
        ("..\\greens.geojson", b"{}", "in its own folder"),
        ("a/greens.geojson", b"{}", "in its own folder"),
        (".hidden.geojson", b"{}", "in its own folder"),
        ("", b"{}", "in its own folder"),
        ("gre\0ens.geojson", b"{}", "not a name"),
        ("greens.geojson", b"", "empty"),
        ("greens.zip", b"no zip at all", "cannot be opened"),
        ("walks.kmz", b"PK\x03\x04 broken", "cannot be opened"),
    ],
)
def test_what_is_not_taken_in(tmp_path, name, content, reason):
    with pytest.raises((InputError, LayerError), match=reason):
        take_in(tmp_path, {name: content})
    assert list(tmp_path.iterdir()) == []


def test_a_zip_that_would_fill_the_disk(tmp_path):
    bomb = packed(**{"greens.geojson": b"0" * (64 * 2**20)})
    assert len(bomb) < 2**17
    with pytest.raises(InputError, match="unpacked"):
        take_in(tmp_path, {"greens.zip": bomb})


def test_a_zip_that_leads_outside(tmp_path):
    with pytest.raises(InputError, match="outside itself"):
        take_in(tmp_path, {"greens.zip": packed(**{"../../greens.geojson": b"{}"})})


def test_one_bad_file_keeps_the_others_out(tmp_path):
    with pytest.raises(InputError):
        take_in(tmp_path, {"greens.geojson": b"{}", "notes.exe": b"MZ"})
    assert list(tmp_path.iterdir()) == []


def test_nothing_is_written_over(tmp_path):
    (tmp_path / "greens.geojson").write_bytes(b"ours")
    with pytest.raises(InputError, match="already"):
        take_in(tmp_path, {"greens.geojson": b"{}"})
    assert (tmp_path / "greens.geojson").read_bytes() == b"ours"
