"""
What-ifs beside the course as it is: each against runs of its own, against sums by hand, and against a drawing by hand.

Prices and jobs are invented; what is checked is arithmetic.
"""

import json
import random
import tomllib

import pytest

from turfgis.errors import LayerError, SettingsError
from turfgis.estimates.budget import estimate_budget
from turfgis.estimates.cases import estimate_cases
from turfgis.estimates.change import estimate_change
from turfgis.estimates.course import open_course
from turfgis.estimates.takeoff import estimate_year
from turfgis.settings.altered import Alterations, LetGrow, read_assignment
from turfgis.settings.cases import read_cases

HEAD = 'accuracy = "{accuracy} m"\nyear = 2027'
# A rough of 100 m x 50 m, beside a green.
RECTANGLES = [("rough", "1", 100.0, 50.0), ("green", "1", 40.0, 100.0)]
X, Y = 4_321_500.0, 3_210_500.0
TABLES = """
[material.sand]
kind = "sand"
bulk_density = "1.6 t/m3 ± 4 %"
price = "40 EUR/t"
load = "6 t"
stock = "1 t"
[machine.mower]
width = "1 m"
speed = "3.6 km/h"
efficiency = "50 %"
on = ["rough", "green"]
cost = "9 EUR/h"
[labour]
wage = "20 EUR/h"
[budget]
contingency = { "weather" = "5 %" }
taxes = { "value added tax" = "19 %" }
[[job]]
name = "dress"
work = "topdress"
on = ["green"]
depth = "2 mm ± 10 %"
material = "sand"
times = 3
[[job]]
name = "cut rough"
work = "contractor"
on = ["rough"]
price = "300 EUR/ha"
times = 10
crew_rate = "2 h/ha"
[[job]]
name = "cut greens"
work = "mow"
on = ["green"]
machine = "mower"
months = { 4 = 10, 5 = 20 }
"""


@pytest.fixture
def planned(course):
    def opening(accuracy=0.0, tables=TABLES):
        return course(tables, RECTANGLES, HEAD.format(accuracy=accuracy))

    return opening


@pytest.fixture
def wild(tmp_path):
    """A file with one rectangle, its corner so far east and north of that of the rough."""

    def drawn(east, north, width, height, name="wild.geojson"):
        ring = [[0, 0], [width, 0], [width, height], [0, height], [0, 0]]
        ring = [[X + east + x, Y + north + y] for x, y in ring]
        shape = {"type": "Feature", "properties": {}, "geometry": {"type": "Polygon", "coordinates": [ring]}}
        system = {"type": "name", "properties": {"name": "urn:ogc:def:crs:EPSG::3035"}}
        path = tmp_path / name
        path.write_text(json.dumps({"type": "FeatureCollection", "crs": system, "features": [shape]}))
        return path

    return drawn


def total(course):
    return estimate_budget(estimate_year(course)).total


def setting(*texts, **more):
    return Alterations(tuple(map(read_assignment, texts)), **more)


def test_rough_let_grow_by_hand(planned, wild):
    # 20 m x 30 m of 5,000 m2: 600 m2 x 10 cuts are 0.6 ha: 180 EUR of the contractor, 1.2 hours or 24 EUR of people,
    # and on both 5 % and then 19 %.
    (case,) = estimate_cases(planned(), {"grow": Alterations(let_grow=(LetGrow(wild(10, 10, 20, 30)),))})
    assert case.ground["rough"].difference == pytest.approx(-600, abs=1e-4)
    assert case.ground["long-grass"].value == pytest.approx(600, abs=1e-4)
    assert case.seconds["labour"].difference == pytest.approx(-1.2 * 3600, rel=1e-6)
    assert case.cost.difference == pytest.approx(-204 * 1.05 * 1.19, abs=0.011)
    assert case.change.parts == {**dict.fromkeys(case.change.parts, 0), "area": -20400}
    assert case.remarks == []


def test_ground_given_back_is_as_uncertain_as_its_edge(planned, wild):
    # An edge of 100 m that may lie 0.3 m in or out: 30 m2. Hours and money go with the area: 2 h/ha and ten cuts.
    (case,) = estimate_cases(planned(0.3), {"grow": Alterations(let_grow=(LetGrow(wild(10, 10, 20, 30)),))})
    assert case.ground["rough"].u_difference == pytest.approx(30, rel=1e-4)
    assert case.ground["long-grass"].u_difference == pytest.approx(30, rel=1e-4)
    assert case.seconds["labour"].u_difference == pytest.approx(30 * 10 * 2 / 10_000 * 3600, rel=1e-4)
    # 0.03 EUR and 0.004 EUR a square metre and cut
    assert case.cost.u_difference == pytest.approx(30 * 10 * 0.034 * 1.05 * 1.19, rel=1e-4)


def test_it_equals_the_course_drawn_by_hand(planned, wild):
    course = planned(0.3)
    file = wild(10, 10, 20, 30)
    (case,) = estimate_cases(course, {"grow": Alterations(let_grow=(LetGrow(file),))})
    text = course.path.read_text(encoding="utf-8")
    text = text.replace("[[layer]]", f'[[layer]]\nfile = "{file.as_posix()}"\nsurface = "meadow"\n[[layer]]', 1)
    by_hand = course.path.parent / "by_hand.toml"
    by_hand.write_text(text + '[surface.meadow]\nover = ["rough"]\n', encoding="utf-8")
    hand = open_course(by_hand)
    assert case.cost.value == pytest.approx(total(hand), rel=1e-9)
    areas = [one.measured.patches.groupby("surface")["net_m2"].sum() for one in (case.course, hand)]
    assert areas[0]["rough"] == pytest.approx(areas[1]["rough"], rel=1e-9)
    assert areas[0]["long-grass"] == pytest.approx(areas[1]["meadow"], rel=1e-9)


def test_ground_that_was_nobodys_is_not_given_back(planned, wild):
    # half of the rectangle lies south of the rough
    (case,) = estimate_cases(planned(), {"grow": Alterations(let_grow=(LetGrow(wild(10, -30, 20, 60)),))})
    assert case.ground["rough"].difference == pytest.approx(-600, abs=1e-4)
    assert case.ground["long-grass"].difference == pytest.approx(1200, abs=1e-4)
    assert "600 m2 of what is let grow lie where nothing was drawn" in case.remarks[0]


def test_a_surface_of_the_settings_brings_its_jobs(planned, wild):
    job = 'job."rake meadow"={ work = "contractor", on = ["meadow"], price = "1000 EUR/ha" }'
    grown = LetGrow(wild(10, 10, 20, 30), surface="meadow")
    (case,) = estimate_cases(
        planned(), {"grow": setting('surface.meadow={ over = ["rough"] }', job, let_grow=(grown,))}
    )
    assert case.change.jobs["rake meadow"]["new"] == 6000  # 600 m2
    assert case.change.jobs["cut rough"]["area"] == -20400


def test_a_case_equals_two_separate_runs(planned):
    course = planned(0.3)
    changes = {
        "dear": ["material.sand.price=48 EUR/t"],
        "deep": ["job.dress.depth=3 mm ± 10 %", "machine.mower.cost=8 EUR/h"],
    }
    for case in estimate_cases(course, {name: setting(*texts) for name, texts in changes.items()}):
        text = course.path.read_text(encoding="utf-8")
        for old, new in {
            "dear": [("40 EUR/t", "48 EUR/t")],
            "deep": [("2 mm", "3 mm"), ("9 EUR/h", "8 EUR/h")],
        }[case.name]:
            text = text.replace(old, new)
        path = course.path.parent / f"{case.name}.toml"
        path.write_text(text, encoding="utf-8")
        alone = estimate_budget(estimate_year(open_course(path)))
        assert (case.cost.value, case.cost.u) == (alone.total, pytest.approx(alone.u, rel=1e-12))
        assert case.cost.difference == pytest.approx(alone.total - total(course), abs=0.011)


def test_a_price_alone_is_as_uncertain_as_what_it_is_paid_for(planned):
    # Of the same sand at 48 instead of 40 EUR a fifth more is out by a fifth more; nothing else is.
    course = planned(0.3)
    (case,) = estimate_cases(course, {"dear": setting("material.sand.price=48 EUR/t")})
    spent = {row.name: row for row in case.change.old.by("material")}
    assert case.cost.u_difference == pytest.approx(spent["sand"].u / 5, rel=1e-9)


def test_nothing_changed_is_certain(planned):
    (case,) = estimate_cases(planned(0.3), {"same": setting("material.sand.price=40 EUR/t")})
    assert (case.cost.difference, case.cost.u_difference, case.ground) == (0, 0, {})


@pytest.mark.parametrize("seed", range(12))
def test_parts_add_up_to_the_last_cent_for_random_settings(planned, wild, seed):
    rng = random.Random(seed)
    course = planned(0.3)
    texts = [
        f"material.sand.price={rng.uniform(20, 80):.3f} EUR/t",
        f"material.sand.stock={rng.uniform(0, 40):.2f} t",
        f"job.dress.depth={rng.uniform(0.3, 4):.3f} mm",
        f"job.dress.times={rng.randint(1, 9)}",
        f"machine.mower.speed={rng.uniform(2, 9):.2f} km/h",
        f"labour.wage={rng.uniform(10, 40):.2f} EUR/h",
        f'budget.taxes."value added tax"={rng.uniform(0, 25):.2f} %',
        'job.flags={ work = "purchase", amount = "31.37 EUR", count = 3 }',
    ]
    grown = (LetGrow(wild(rng.uniform(0, 80), 5, rng.uniform(1, 60), rng.uniform(1, 60))),) if seed % 2 else ()
    without = ("cut greens",) if seed % 3 == 0 else ()
    (case,) = estimate_cases(
        course, {"case": setting(*rng.sample(texts, rng.randint(1, 8)), let_grow=grown, without=without)}
    )
    change = case.change
    shown = [round(total(one) * 100) for one in (course, case.course)]
    assert sum(change.parts.values()) + sum(change.lines.values()) == shown[1] - shown[0] == change.difference
    assert change.parts == estimate_change(course, case.course).parts


@pytest.mark.parametrize(
    ("changes", "error", "said"),
    [
        (
            lambda wild: setting(without=("cut greans",)),
            SettingsError,
            r"^--without 'cut greans': no job of that name; did you mean",
        ),
        (
            lambda wild: Alterations(let_grow=(LetGrow(wild(5000, 0, 20, 30)),)),
            LayerError,
            r"no rough of the course lies",
        ),
        (
            lambda wild: Alterations(let_grow=(LetGrow(wild(5e5, 0, 20, 30)),)),
            LayerError,
            r"no rough of the course lies",
        ),
        (
            lambda wild: Alterations(let_grow=(LetGrow(wild(1, 1, 9, 9), of=("ruogh",)),)),
            SettingsError,
            r"^--let-grow: of 'ruogh': no surface of that name; did you mean 'rough'",
        ),
        (
            lambda wild: Alterations(let_grow=(LetGrow(wild(1, 1, 9, 9), surface="rough"),)),
            SettingsError,
            r"cannot become rough",
        ),
        (
            lambda wild: Alterations(let_grow=(LetGrow(wild(1, 1, 9, 9), surface="other"),)),
            SettingsError,
            r"other lies below rough",
        ),
        (
            lambda wild: Alterations(let_grow=(LetGrow(wild(1, 1, 9, 9).with_name("none.gpkg")),)),
            LayerError,
            r"none.gpkg",
        ),
        (
            lambda wild: setting("job.dress.patches=['rough-01']", let_grow=(LetGrow(wild(-9, -9, 200, 90)),)),
            SettingsError,
            r"job 'dress' names the patch rough-01, which would be",
        ),
    ],
)
def test_a_case_that_cannot_be_is_one_message(planned, wild, changes, error, said):
    with pytest.raises(error, match=said) as caught:
        estimate_cases(planned(), {"case": changes(wild)})
    assert "\n" not in str(caught.value)


CASES = """
[case."dear sand"]
material.sand.price = "48 EUR/t"
job."cut greens".months = { 4 = 12 }
budget.taxes."value added tax" = "20 %"
labour.wage = "22 EUR/h"
rounds = { 4 = 100 }

[case.less]
without = ["dress"]
let_grow = [{ file = "wild.geojson", of = "rough", as = "meadow" }, "more.gpkg"]
job.flags = { work = "purchase", amount = "3 EUR" }
"""


def test_a_file_of_cases(tmp_path):
    path = tmp_path / "cases.toml"
    path.write_text(CASES, encoding="utf-8")
    cases = read_cases(path)
    assert [one.text for one in cases["dear sand"].set] == [
        'material.sand.price = "48 EUR/t"',
        'job."cut greens".months = { 4 = 12 }',
        'budget.taxes."value added tax" = "20 %"',
        'labour.wage = "22 EUR/h"',
        "rounds = { 4 = 100 }",
    ]
    assert cases["less"].without == ("dress",)
    assert cases["less"].let_grow == (
        LetGrow(tmp_path / "wild.geojson", None, ("rough",), "meadow"),
        LetGrow(tmp_path / "more.gpkg"),
    )
    assert [one.text for one in cases["less"].set] == ['job.flags = { work = "purchase", amount = "3 EUR" }']
    # what is written can be read again
    for one in (*cases["dear sand"].set, *cases["less"].set):
        assert read_assignment(one.text) == one
        tomllib.loads(one.text)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", r"cases.toml: no case in it"),
        ("[cases.x]\nyear = 2027", r"cases.toml: unknown key 'cases'"),
        ("[case.x]\n", r"case 'x': changes nothing"),
        ("[case.x]\nyear = 2027\n[case.x]\nyear = 2028", r"cases.toml:3: .*\[case.x\] was begun before"),
        ("[case.x]\nwithout = 'dress'", r"case 'x': without: write a list of jobs"),
        ("[case.x]\nlet_grow = 3", r"case 'x': let_grow: write a file"),
        ("[case.x]\nlet_grow = { file = 'a', off = 'rough' }", r"unknown key 'off'; did you mean 'of'"),
        ("[case.x]\nlet_grow = { file = 'a', of = 3 }", r"let_grow.of: write a list of names"),
        ("[case.x]\nmaterial.snad.price = '4 EUR/t'", r"cases.toml: case 'x': material.snad.price: no material 'snad'"),
        ("[case.x]\nmaterial.sand.price = '4 EUR/l'", r"cases.toml: case 'x': material.sand.price: "),
        ("[case.x]\nwithout = ['drses']", r"cases.toml: case 'x': without 'drses': no job of that name; did you mean"),
        ("[case.x]\ncolour = 'red'", r"cases.toml: case 'x': colour: no key 'colour'"),
        ("[case.x]\nyear = ", r"cases.toml:2: "),
    ],
)
def test_a_file_of_cases_that_cannot_be_used_is_one_message(planned, tmp_path, text, said):
    path = tmp_path / "cases.toml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(SettingsError, match=said) as caught:
        estimate_cases(planned(), read_cases(path))
    assert "\n" not in str(caught.value)
