"""Water, tanks and places on the desk are those of the commands."""

import json

import pytest
from click.testing import CliRunner

from turfgis.cli import program

from .conftest import asking

MINIMAL = 'name = "Bare"\n[[layer]]\nfile = "bunkers.geojson"\nsurface = "bunker"\n'


def printed(*arguments: str) -> str:
    result = CliRunner().invoke(program, arguments)
    assert result.exit_code == 0, result.output
    return result.stdout


def test_water_is_that_of_the_command(ask):
    answer = ask.client.get("/water/water.json")
    assert answer.json() == json.loads(printed("water", str(ask.desk.folder), "--format", "json"))
    page = ask.client.get("/water")
    assert page.status_code == 200
    for limit in answer.json()["limits"]:
        assert f"{limit['limit_m3']:,.0f}" in page.text
    assert "override any plan" in page.text


def test_tanks_are_those_of_the_command(ask):
    settings = ask.desk.course.settings
    for job in settings.job:
        if job.work == "spray":
            ours = ask.client.get("/tanks/tanks.json", params={"job": job.name})
            theirs = printed("spray", str(ask.desk.folder), "--job", job.name, "--format", "json")
            assert ours.json() == json.loads(theirs)
            assert ask.client.get("/tanks", params={"job": job.name}).status_code == 200
            assert ask.client.get("/tanks/sheet.pdf", params={"job": job.name}).content.startswith(b"%PDF")


def test_a_plan_that_breaks_a_label_is_told_and_not_printed(ask):
    file = ask.desk.folder / "course.toml"
    text = file.read_text(encoding="utf-8")
    settings = ask.desk.course.settings
    labelled = [name for name, one in settings.material.items() if getattr(one, "label", None)]
    job = next(job for job in settings.job if job.work == "spray" and job.material in labelled)
    assert 'most = "30 l/ha"' in text
    file.write_text(text.replace('most = "30 l/ha"', 'most = "1 l/ha"', 1), encoding="utf-8")
    page = ask.client.get("/tanks", params={"job": job.name})
    assert page.status_code == 200
    assert "the label allows" in page.text
    assert "sheet.pdf" not in page.text
    assert ask.client.get("/tanks/sheet.pdf", params={"job": job.name}).status_code == 422


def test_places_are_those_of_the_command(ask):
    asked = {"date": "2027-05-14", "days": "7"}
    ours = ask.client.get("/places/places.json", params=asked).json()
    theirs = printed(
        "places", str(ask.desk.folder), "--date", "2027-05-14", "--until", "2027-05-21", "--format", "json"
    )
    assert ours == json.loads(theirs)
    page = ask.client.get("/places", params={**asked, "place": ours[0]["place"]}).text
    for row in ours:
        assert row["place"] in page
    assert "competent person" in page
    assert ask.client.get("/places/places.gpkg", params=asked).content.startswith(b"SQLite")


@pytest.mark.parametrize(
    ("address", "status"),
    [
        ("/places?date=x", 422),
        ("/places?days=-1", 422),
        ("/tanks?job=none", 422),
        ("/water/night?night=x", 422),
        ("/water/other.pdf", 404),
    ],
)
def test_what_cannot_be_is_told(ask, address, status):
    assert ask.client.get(address).status_code == status


@pytest.mark.parametrize("address", ["/water", "/tanks", "/places"])
def test_a_course_without_says_how_to_begin(tmp_path, plain_course, address):
    (tmp_path / "bare").mkdir()
    (tmp_path / "bare" / "bunkers.geojson").write_bytes((plain_course / "bunkers.geojson").read_bytes())
    (tmp_path / "bare" / "course.toml").write_text(MINIMAL, encoding="utf-8")
    made = asking(tmp_path / "bare")
    with made.client:
        page = made.client.get(address)
        assert page.status_code == 200
        begins = {"/tanks": "/stores/new", "/places": "/places/new"}
        assert begins.get(address, "course.toml") in page.text


@pytest.mark.parametrize("address", ["/water/heads", "/water/night"])
def test_an_empty_layer_of_heads_is_called_empty(ask, address):
    file = ask.desk.folder / "heads.geojson"
    whole = file.read_bytes()
    file.write_text('{"type": "FeatureCollection", "features": []}')
    try:
        answer = ask.client.get(address)
        assert answer.status_code == 422
        assert "heads.geojson: There is nothing in it yet" in answer.text
        german = ask.client.get(address, headers={"accept-language": "de"}).text
        assert "Der Platz wird ohne Regner gerechnet." in german
    finally:
        file.write_bytes(whole)


def test_places_due_within_a_month_are_offered_to_the_day(ask):
    answer = ask.client.get("/day?date=2027-05-14")
    while answer.headers.get("refresh"):
        answer = ask.client.get("/day?date=2027-05-14")
    assert (
        '<option value="rod from the outfall (dr-1)">rod from the outfall (dr-1) – due 1 June 2027</option>'
        in answer.text
    )
