"""A job, a material or a machine anew: written as a hand would have, refused with the words of the command."""

import re
import tomllib
from html import unescape
from pathlib import Path

import pytest
from click.testing import CliRunner

from turfgis.cli import program
from turfgis.errors import SettingsError
from turfgis.settings.entries import added_entry
from turfgis.settings.forms import MADE, asked_of, kinds_of
from turfgis.settings.read import read_settings

from .conftest import asking

SMALL = """
# Ours: do not sort.
name = "Small"   # two greens
year = 2027
[[layer]]
file = "areas.geojson"
surface = "green"
hole_from = "hole"

[material.dressing_sand]   # from the quarry
kind = "sand"
bulk_density = "1.55 t/m3"

[material.bent_seed]
kind = "seed"

[material.feed]
kind = "fertiliser"
analysis = { N = "12 %" }

[material.wetting_agent]
kind = "liquid"

[material.rolls]
kind = "turf"

# Machines: widths as measured.
[machine.pedestrian_mower]
width = "0.56 m"
speed = "4.5 km/h"
turn = "12 s"
on = ["green", "tee"]

[water.surface.green]
coefficient = "85 %"
root_depth = "100 mm"
available_water = "12 %"
depletion = "50 %"
uniformity = "80 %"

[[job]]
name = "dress greens"
work = "topdress"
on = ["green"]
depth = "2 mm"   # light and often
material = "dressing_sand"

# The end.
"""
SQUARE = """{"type": "FeatureCollection", "features": [{"type": "Feature", "properties": {"hole": "1"}, "geometry":
{"type": "Polygon", "coordinates":
[[[-2.8, 56.3], [-2.7995, 56.3], [-2.7995, 56.3003], [-2.8, 56.3003], [-2.8, 56.3]]]}}]}"""


@pytest.fixture
def ask(tmp_path: Path):
    """The desk on a course of one green, with one of each kind in its settings."""
    (tmp_path / "course.toml").write_text(SMALL, encoding="utf-8")
    (tmp_path / "areas.geojson").write_text(SQUARE, encoding="utf-8")
    made = asking(tmp_path)
    with made.client:
        yield made


EVERY = [(table, kind) for table in MADE for kind in kinds_of(table) or ("",)]
# What somebody may type, where a kind must be told more than choices; figures are made up.
TYPED = {
    "figure": {"length": "12 mm", "depth": "3 mm ± 10 %", "speed": "5 km/h", "density": "1.5 t/m3"},
    "figures": "50 mm x 60 mm",
    "money": "90 EUR",
    "shares": "N 12 %, K2O 8,5 %",
}
SPECIAL = {
    ("machine", ""): {"turn": "12 s", "width": "1.2 m"},
    ("job", "divot_mix"): {"worn": "2 %", "depth": "10 mm"},
    ("job", "repair_turf"): {"share": "1 %"},
    ("job", "spot_treatment"): {"area": "40 m2", "rate": "10 mm", "material": "dressing_sand"},
    ("job", "water"): {"depth": "5 mm", "months": "6 = 2, 7"},
    ("job", "contractor"): {"price": "900 EUR/day", "days": "2"},
    ("job", "overseed"): {"rate": "12 g/m2"},
    ("job", "drill_seed"): {"rate": "12 g/m2"},
    ("job", "fertilise"): {"rate": "20 g/m2"},
    ("job", "spray"): {"rate": "4 l/ha"},
    ("job", "edge"): {"speed": "2 km/h"},
    ("limit", ""): {"nutrient": "K2O", "most": "20 g/m2"},
}


def seen(ask, table, kind):
    page = ask.client.get("/stores/new", params={"table": table, "kind": kind})
    assert page.status_code == 200
    return re.search(r'name="seen" value="(\w+)"', page.text).group(1)


def add(ask, table, kind, name="one more", mark=None, **keys):
    form = {"table": table, "kind": kind, "name": name, "seen": mark or seen(ask, table, kind)}
    form |= {f"key:{key.replace('__', '.')}": value for key, value in keys.items()}
    return ask.client.post("/stores/new", params={"token": ask.keys.token}, data=form)


def filled(table, kind, settings):
    """All that a kind must have, and no more."""
    own = SPECIAL.get((table, kind), {})
    made = {}
    for one in asked_of(table, kind, settings):
        if one.field in own or not one.needed:
            continue
        if one.sort == "choices":
            made[one.field] = ["green"]
        elif one.sort == "choice":
            made[one.field] = one.choices[0]
        elif one.sort == "figure":
            known = {
                "mm, cm, m, in, ft, yd": "length",
                "mm, l/m2, in, ft3/1000 ft2": "depth",
                "km/h, m/s, mph": "speed",
            }
            made[one.field] = TYPED["figure"][known.get(one.units, "density")]
        else:
            made[one.field] = TYPED[one.sort]
    return {**made, **own}


def words(page):
    """What stands in the messages of a page."""
    found = re.findall(r'<p class="told"[^>]*>(.*?)</p>', page.text, re.S)
    return [unescape(one) for one in found]


@pytest.mark.parametrize(("table", "kind"), EVERY)
def test_what_a_kind_must_have_is_enough(ask, table, kind):
    file = ask.desk.folder / "course.toml"
    before = file.read_text(encoding="utf-8")
    answer = add(ask, table, kind, "made anew", **filled(table, kind, ask.desk.course.settings))
    assert answer.status_code == 303, words(answer)
    after = file.read_text(encoding="utf-8")
    start = after.index("made anew")
    block = after[after.rindex("\n\n", 0, start) : after.find("\n\n", start)]
    assert after.replace(block, "", 1) == before
    settings = read_settings(file)
    names = [job.name for job in settings.job] if table == "job" else list(getattr(settings, table))
    assert names[-1] == "made anew"
    page = ask.client.get(answer.headers["location"].partition("#")[0])
    assert page.status_code == 200
    assert 'open id="opened"' in page.text


BAD = [
    ("material", "sand", {"bulk_density": "1.5 t"}),
    ("material", "sand", {"bulk_density": ""}),
    ("material", "sand", {"bulk_density": "1.5 t/m3", "price": "42 EUR/pack"}),
    ("material", "seed", {"purity": "120 %"}),
    ("material", "fertiliser", {"analysis": "N 80 %, K2O 30 %"}),
    ("material", "fertiliser", {"analysis": "Nitrogen 8 %"}),
    ("material", "liquid", {"pack": "10 gallons"}),
    ("material", "liquid", {"label__times_a_year": "often"}),
    ("machine", "", {"width": "1.2", "speed": "5 km/h", "turn": "12 s", "on": ["green"]}),
    ("machine", "", {"width": "1.2 m", "speed": "5 km/h", "turn": "12 s", "on": []}),
    ("machine", "", {"width": "1.2 m", "speed": "5 km/h", "turn": "12 s", "on": ["green"], "burns": "coal"}),
    ("machine", "", {"width": "1.2 m", "speed": "5 km/h", "turn": "12 s", "on": ["green"], "count": "two"}),
    ("job", "topdress", {"depth": "2 kg", "on": ["green"], "material": "dressing_sand"}),
    ("job", "topdress", {"depth": "2 mm", "on": ["green"], "material": "bent_seed"}),
    ("job", "topdress", {"depth": "2 mm", "on": ["green"], "material": "dressing_sand", "months": "13"}),
    ("job", "topdress", {"depth": "2 mm", "on": ["green"], "material": "dressing_sand", "every": "2 weeks"}),
    ("job", "mow", {"on": ["bunker"], "machine": "pedestrian_mower"}),
]


@pytest.mark.parametrize(("table", "kind", "keys"), BAD)
def test_what_cannot_be_used_is_told_in_the_words_of_the_command(ask, table, kind, keys):
    file = ask.desk.folder / "course.toml"
    before = file.read_bytes()
    answer = add(ask, table, kind, "bad", **keys)
    assert answer.status_code == 422
    told = words(answer)
    assert file.read_bytes() == before
    # the same by hand: TOML as a person would write it, and the command that reads it
    plain = {key: value for key, value in keys.items() if value and "__" not in key}
    plain |= {"work": kind} if table == "job" else {"kind": kind} if kind else {}
    if "analysis" in plain:
        plain["analysis"] = dict(re.findall(r"(\w+) (\d+ %)", plain["analysis"]))
    if "label__times_a_year" in keys:
        plain["label"] = {"times_a_year": keys["label__times_a_year"]}
    if "months" in plain:
        plain["months"] = {plain["months"]: 1}
    file.write_text(added_entry(before.decode("utf-8"), table, "bad", plain), encoding="utf-8")
    result = CliRunner().invoke(program, ["areas", str(ask.desk.folder)])
    assert isinstance(result.exception, SettingsError)
    lines = str(result.exception).splitlines()
    assert sorted(told) == sorted(re.sub(r"^course\.toml:\d+: (?:[\w.]+: )?", "", line) for line in lines)


@pytest.mark.parametrize(
    ("keys", "field"),
    [
        ({"bulk_density": "1.5 t"}, "bulk_density"),
        ({"bulk_density": "1.5 t/m3", "moisture": "wet"}, "moisture"),
    ],
)
def test_the_message_stands_beside_its_field_and_what_was_typed_stays(ask, keys, field):
    page = add(ask, "material", "sand", "bad", **keys).text
    at = re.search(rf'<div class="field">(?:(?!<div class="field">).)*name="key:{field}".*?</div>', page, re.S).group()
    assert 'aria-invalid="true"' in at
    assert 'role="alert"' in at
    assert f'value="{keys[field]}"' in at


def test_a_name_must_be_given_and_be_new(ask):
    assert words(add(ask, "material", "seed", "")) == ["is missing; it must be given"]
    assert "already" in words(add(ask, "material", "seed", "bent_seed"))[0]
    assert "already" in words(add(ask, "job", "purchase", "dress greens", amount="90 EUR"))[0]


def test_a_second_window_is_told_and_nothing_is_lost(ask):
    first = second = seen(ask, "material", "seed")
    assert add(ask, "material", "seed", "ours", first).status_code == 303
    answer = add(ask, "material", "seed", "theirs", second, purity="97 %")
    assert answer.status_code == 422
    assert "somebody else" in words(answer)[0]
    assert 'value="97 %"' in answer.text
    text = (ask.desk.folder / "course.toml").read_text(encoding="utf-8")
    assert "[material.ours]" in text
    assert "theirs" not in text
    again = re.search(r'name="seen" value="(\w+)"', answer.text).group(1)
    assert add(ask, "material", "seed", "theirs", again, purity="97 %").status_code == 303
    assert list(ask.desk.course.settings.material)[-2:] == ["ours", "theirs"]


@pytest.mark.parametrize(("table", "kind"), [("layer", ""), ("material", "gold"), ("machine", "sand"), ("", "")])
def test_only_what_is_made_here(ask, table, kind):
    assert ask.client.get("/stores/new", params={"table": table, "kind": kind}).status_code == 422
    address = f"/stores/new?token={ask.keys.token}"
    assert ask.client.post(address, data={"table": table, "kind": kind}).status_code == 422


def test_a_change_needs_the_token(ask):
    before = (ask.desk.folder / "course.toml").read_bytes()
    form = {"table": "material", "kind": "seed", "name": "x", "seen": seen(ask, "material", "seed")}
    assert ask.client.post("/stores/new", data=form).status_code == 403
    assert (ask.desk.folder / "course.toml").read_bytes() == before


@pytest.mark.parametrize("name", ['a "quoted" one', "]\n[x]", "Grün = #1", "<img src=x onerror=alert(1)>", "a.b", "'"])
def test_any_name_is_only_a_name(ask, name):
    answer = add(ask, "material", "seed", name)
    assert answer.status_code == 303
    data = tomllib.loads((ask.desk.folder / "course.toml").read_text(encoding="utf-8"))
    assert data["material"][name] == {"kind": "seed"}
    assert "<img" not in ask.client.get("/stores").text


def test_a_course_without_any_gets_its_first_job_and_material(ask):
    file = ask.desk.folder / "course.toml"
    bare = 'name = "Bare"  # ours\n[[layer]]\nfile = "areas.geojson"\nsurface = "green"\n'
    file.write_text(bare, encoding="utf-8")
    assert add(ask, "material", "sand", "sand", bulk_density="1.5 t/m3").status_code == 303
    keys = {"on": ["green"], "depth": "2 mm", "material": "sand"}
    assert add(ask, "job", "topdress", "dress", **keys).status_code == 303
    assert file.read_text(encoding="utf-8") == (
        f'{bare}\n[material.sand]\nkind = "sand"\nbulk_density = "1.5 t/m3"\n\n'
        '[[job]]\nname = "dress"\nwork = "topdress"\non = ["green"]\ndepth = "2 mm"\nmaterial = "sand"\n'
    )
    assert ask.client.get("/order").status_code == 200
