"""What is proposed for a layer that nobody has described yet."""

import pytest

from turfgis.layers.proposal import SHORTHAND, propose_naming
from turfgis.layers.read import read_layers
from turfgis.surfaces import SURFACES


def proposal(tmp_path, drawn, called="areas", **columns):
    drawn[["geometry"]].assign(**columns).to_file(tmp_path / f"{called}.gpkg", layer=called)
    (layer,), _ = read_layers(tmp_path / f"{called}.gpkg")
    return propose_naming(layer, SURFACES)


def test_shorthand_is_proposed_and_the_rest_counted(tmp_path, drawn):
    draft = proposal(
        tmp_path, drawn, kind=["GRN", "GRN", "FWY", "sand trap", "Tee", "shed"], loch=["1", "2", "3", "18", "0", None]
    )
    assert draft.surface_from == "kind"
    assert draft.surfaces == {"GRN": "green", "FWY": "fairway", "sand trap": "bunker"}
    assert draft.counts == {"GRN": 2, "FWY": 1, "sand trap": 1, "Tee": 1, "shed": 1}
    assert draft.unknown == {"shed": 1}
    assert draft.hole_from == "loch"
    assert draft.surface is None


def test_a_layer_whose_name_says_it(tmp_path, drawn):
    names = [f"Green {number}" for number in range(1, 7)]
    draft = proposal(tmp_path, drawn, "greens", name=names, hole=["1", "2", "3", "4", "5", "6"])
    assert (draft.surface, draft.surface_from) == ("green", None)
    assert (draft.hole_from, draft.name_from) == ("hole", "name")


def test_several_surfaces_in_a_layer_that_is_called_after_one(tmp_path, drawn):
    draft = proposal(tmp_path, drawn, "rough", kind=["SEMI", "SEMI", "SEMI", "ROUGH", "ROUGH", "ROUGH"])
    assert draft.surface_from == "kind"
    assert draft.surfaces == {"SEMI": "semi-rough"}


def test_openstreetmap_tags_need_no_meanings(tmp_path, drawn):
    draft = proposal(tmp_path, drawn, golf=["green", "water_hazard", "driving_range", "clubhouse", None, "xyz"])
    assert draft.openstreetmap
    assert draft.surface_from == "golf"
    assert draft.surfaces == {}
    assert draft.unknown == {"clubhouse": 1, "xyz": 1}
    assert draft.without == 1


@pytest.mark.parametrize("values", [[1900, 1901, 1902, 1903, 1904, 1905], ["a", "b", "c", "d", "e", "f"], [None] * 6])
def test_columns_that_hold_no_hole_numbers(tmp_path, drawn, values):
    assert proposal(tmp_path, drawn, hole=values).hole_from is None


def test_nothing_is_proposed_where_nothing_tells(tmp_path, drawn):
    draft = proposal(tmp_path, drawn, owner=["a", "b", "c", "d", "e", "f"])
    assert (draft.surface, draft.surface_from, draft.hole_from, draft.name_from) == (None, None, None, None)


def test_shorthand_means_surfaces_that_there_are():
    assert set(SHORTHAND.values()) <= set(SURFACES)
