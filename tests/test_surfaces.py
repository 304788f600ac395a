"""Which surface keeps the ground. The order and what `over` does are said in the design; there is no other source."""

import re
from itertools import pairwise, permutations

import pytest

from turfgis.errors import InputError
from turfgis.surfaces import SURFACES, pile_order

# as agreed, top to bottom: who keeps the ground
AGREED = [
    "green",
    "tee",
    "bunker",
    "water",
    "path",
    "collar",
    "approach",
    "fairway",
    "surround",
    "semi-rough",
    "rough",
    "other",
]


def above(order, upper, lower):
    return order.index(upper) < order.index(lower)


def test_the_agreed_order():
    assert pile_order() == pile_order({}) == AGREED == list(SURFACES)


def test_one_of_the_clubs_own_goes_directly_above_the_topmost_it_lists():
    order = pile_order({"heather": ["rough", "fairway"]})
    assert order.index("heather") + 1 == order.index("fairway")
    assert [name for name in order if name != "heather"] == AGREED


def test_one_of_the_clubs_own_that_lists_nothing_lies_above_other_only():
    assert pile_order({"car park": []}) == [*AGREED[:-1], "car park", "other"]


def test_a_known_surface_is_moved_up():
    order = pile_order({"path": ["green"]})
    assert order[0] == "path"
    assert [name for name in order if name != "path"] == [name for name in AGREED if name != "path"]


@pytest.mark.parametrize("over", [["rough"], ["fairway", "other"], []])
def test_a_known_surface_that_lies_above_already_stays(over):
    """A green over rough is no news, and must not bring the green down to it."""
    assert pile_order({"green": over}) == AGREED


WISHES = [
    {"heather": ["rough"], "gorse": ["heather"], "stream": ["gorse", "fairway"]},
    {"heather": ["rough"], "rough": ["fairway"], "gorse": ["heather"]},
    {"heather": ["rough"], "rough": ["green"], "path": ["heather"]},
    {"waste": ["bunker"], "bunker": ["tee"], "ford": ["waste", "path"]},
]


@pytest.mark.parametrize("wishes", WISHES)
def test_every_wish_is_met_in_whatever_order_they_are_written(wishes):
    for names in permutations(wishes):
        order = pile_order({name: wishes[name] for name in names})
        assert sorted(order) == sorted({*AGREED, *wishes})
        for name, over in wishes.items():
            assert all(above(order, name, other) for other in over), (names, name)


@pytest.mark.parametrize(
    "wishes",
    [
        {"heather": ["heather"]},
        {"heather": ["gorse"], "gorse": ["heather"]},
        {"rough": ["green"], "green": ["rough"]},
        {"a": ["b"], "b": ["c"], "c": ["a"]},
    ],
)
def test_a_circle_is_refused_and_told(wishes):
    with pytest.raises(InputError, match="in a circle") as raised:
        pile_order(wishes)
    told = re.search(r"circle: (.*);", str(raised.value)).group(1).split(" over ")
    assert told[0] == told[-1]
    assert all(lower in wishes[upper] for upper, lower in pairwise(told))


def test_each_surface_is_listed_by_its_own_name_with_a_sensible_height_of_cut():
    for name, surface in SURFACES.items():
        assert surface.name == name
        assert surface.cut_mm is None or (surface.mown and 0 < surface.cut_mm[0] <= surface.cut_mm[1])
