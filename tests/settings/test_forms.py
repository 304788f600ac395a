"""What a new entry is asked for, and how what was typed is read."""

import tomllib
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from turfgis.errors import SettingsError
from turfgis.settings.entries import added_entry
from turfgis.settings.forms import MADE, Asked, asked_of, entry_of, kinds_of
from turfgis.settings.messages import TABLES, TAGS
from turfgis.settings.models import CourseSettings

SETTINGS = CourseSettings(
    name="A",
    layer=[{"file": "a.gpkg"}],  # type: ignore[list-item]
    currency="GBP",
    material={"fine": {"kind": "sand", "bulk_density": "1.5 t/m3"}, "rye": {"kind": "seed"}},  # type: ignore[dict-item]
)
EVERY = [(table, kind) for table in MADE for kind in kinds_of(table) or ("",)]


@pytest.mark.parametrize(("table", "kind"), EVERY)
def test_every_key_of_a_model_is_asked_for_once_and_those_it_must_have_first(table, kind):
    model = TAGS[table][1][kind] if kind else TABLES[table]
    asked = asked_of(table, kind, SETTINGS)
    keys = [one.keys[0] for one in asked]
    wanted = {field.alias or name for name, field in model.model_fields.items()} - {"name"}
    assert set(keys) == wanted - ({TAGS[table][0]} if kind else set())
    assert len({one.field for one in asked}) == len(asked)
    assert [one.needed for one in asked] == sorted((one.needed for one in asked), reverse=True)
    needed = {field.alias or name for name, field in model.model_fields.items() if field.is_required()}
    assert {one.keys[0] for one in asked if one.needed} == needed & set(keys)


def test_figures_say_their_units_and_what_may_be_chosen_is_there():
    asked = {one.field: one for one in asked_of("job", "topdress", SETTINGS)}
    assert asked["depth"].units == "mm, l/m2, in, ft3/1000 ft2"
    assert asked["depth"].spread
    assert asked["material"].choices == ("fine",)
    assert "green" in asked["on"].choices
    assert {one.field: one.units for one in asked_of("material", "turf", SETTINGS)}["delivery"] == "GBP"


@pytest.mark.parametrize(
    ("sort", "typed", "read"),
    [
        ("figure", "75 mm ± 8 mm", "75 mm ± 8 mm"),
        ("figure", '{ low = "1 %", likely = "2 %", high = "4 %" }', {"low": "1 %", "likely": "2 %", "high": "4 %"}),
        ("figures", "50 mm", "50 mm"),
        ("figures", "50 mm x 60 mm", ["50 mm", "60 mm"]),
        ("figures", "5 cm × 6 cm", ["5 cm", "6 cm"]),
        ("number", "2", 2),
        ("number", "1.5", 1.5),
        ("number", "two", "two"),
        ("direction", "45", 45),
        ("direction", "best", "best"),
        ("yes", "yes", True),
        ("yes", "no", False),
        ("day", "2027-03-14", date(2027, 3, 14)),
        ("day", "14.3.", "14.3."),
        ("days", "2027-03-14, 2027-09-20", [date(2027, 3, 14), date(2027, 9, 20)]),
        ("months", "3, 9 = 2", {"3": 1, "9": 2}),
        ("months", "2027-03", {"2027-03": 1}),
        ("list", "1, 2, 10", ["1", "2", "10"]),
        ("list", "washed, dried; 0.2 to 0.7 mm", ["washed, dried", "0.2 to 0.7 mm"]),
        ("shares", "N 12,5 %, K2O 8 %", {"N": "12,5 %", "K2O": "8 %"}),
        ("pairs", 'ditch 5 m, "the big pond" = 10 m', {"ditch": "5 m", "the big pond": "10 m"}),
        ("pairs", "5 m", "5 m"),
        ("text", "4011", "4011"),
    ],
)
def test_what_was_typed_as_the_file_has_it(sort, typed, read):
    assert entry_of([Asked(("key",), False, sort)], {"key": typed}) == {"key": read}


def test_what_is_empty_is_left_out_and_small_tables_are_made():
    asked = [
        Asked(("label", "most"), False, "figure"),
        Asked(("load",), False, "figure"),
        Asked(("on",), True, "choices"),
    ]
    assert entry_of(asked, {"label.most": "4 l/ha", "load": " ", "on": [""]}) == {"label": {"most": "4 l/ha"}}


NAMES = st.text(min_size=1, max_size=20).filter(lambda text: text.strip() == text and "\r" not in text)
VALUES = st.one_of(st.text(max_size=20), st.integers(-99, 99), st.booleans(), st.lists(st.text(max_size=5), max_size=3))
TEXT = """# ours
[material.a]  # first
kind = "seed"

# Machines
[machine.m]
width = "1 m"
[[job]]
name = "j"
# end
"""


@given(st.sampled_from(["material", "machine", "job", "fuel"]), NAMES, st.dictionaries(NAMES, VALUES, max_size=4))
def test_any_entry_is_added_whole_and_nothing_else_changes(table, name, entry):
    entry.pop("name", None)
    before = tomllib.loads(TEXT)
    made = added_entry(TEXT, table, name, entry) if name not in ("a", "m", "j") else TEXT
    after = tomllib.loads(made)
    if made != TEXT:
        found = after[table].pop() if table == "job" else after[table].pop(name)
        assert found == ({"name": name, **entry} if table == "job" else entry)
    if not after.get("fuel", True):
        del after["fuel"]
    assert after == before
    rest = iter(made.splitlines())
    assert all(line in rest for line in TEXT.splitlines())  # in their order


def test_lines_of_a_file_with_other_line_ends_keep_them():
    made = added_entry('[fuel.a]\r\nkind = "diesel"\r\n', "fuel", "b", {"kind": "petrol"})
    assert made == '[fuel.a]\r\nkind = "diesel"\r\n\r\n[fuel.b]\r\nkind = "petrol"\r\n'


def test_entries_in_one_line_are_left_to_their_owner():
    with pytest.raises(SettingsError, match="text editor"):
        added_entry('fuel = { a = { kind = "diesel" } }\n', "fuel", "b", {"kind": "petrol"})
