"""Kinds, intervals and figures of places, as people write them."""

import pytest

from turfgis.errors import InputError
from turfgis.layers.place_words import FIELDS, KINDS, field_key, read_every, read_figure, read_kind


@pytest.mark.parametrize("kind", KINDS)
def test_a_kind_is_known_in_any_case_one_or_many(kind):
    for word in (kind, kind.upper(), kind + "s", kind.replace(" ", "_"), kind.replace(" ", "-")):
        assert read_kind(word) == kind


def test_words_of_the_club_come_first():
    assert read_kind("tree", {"tree": "hazard"}) == "hazard"


def test_fields_stay_apart_in_a_shapefile():
    """dBase keeps ten letters of a name (from memory)."""
    assert len({field_key(name) for name in FIELDS}) == len(FIELDS)


@pytest.mark.parametrize("bad", ["14", "0 days", "weekly", "", "2000 weeks", "1.5 months"])
def test_no_interval_is_refused(bad):
    with pytest.raises(InputError, match="is not an interval; write it like 10 days"):
        read_every(bad)


@pytest.mark.parametrize(
    ("value", "field", "said"),
    [
        (-1, "size_m2", "below zero"),
        ("-2", "hours", "below zero"),
        (6, "urgency", "cannot be"),
        (2.5, "people", "cannot be"),
        ("many", "size_m2", "is not a number"),
        (float("inf"), "size_m2", "cannot be"),
        (True, "size_m2", "is not a number"),
        ("1,500", "size_m2", "two ways"),
    ],
)
def test_figures_that_cannot_be_are_refused(value, field, said):
    with pytest.raises(InputError, match=said):
        read_figure(value, field)
