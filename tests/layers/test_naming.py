"""Which surface each area is, and what is said of those that name none."""

from pathlib import Path

import geopandas as gpd
import pytest

from turfgis.errors import LayerError
from turfgis.layers.naming import name_surfaces
from turfgis.layers.read import DrawnLayer, read_layers
from turfgis.surfaces import SURFACES

KNOWN = [*SURFACES, "heather"]


def layer(tmp_path: Path, drawn: gpd.GeoDataFrame, name: str = "areas", **columns: list) -> DrawnLayer:
    frame = drawn[["geometry"]].assign(**columns)
    frame.to_file(tmp_path / f"{name}.gpkg", layer=name)
    return read_layers(tmp_path / f"{name}.gpkg")[0][0]


def surfaces(named: gpd.GeoDataFrame) -> dict[str, str]:
    return dict(zip(named["feature"], named["surface"], strict=True))


def said(findings) -> list[tuple[str, str]]:
    return [(finding.level, finding.code) for finding in findings]


def test_one_surface_for_all(tmp_path, drawn):
    named, findings = name_surfaces(layer(tmp_path, drawn), surface="Greens", known=KNOWN)
    assert named["surface"].tolist() == ["green"] * 6
    assert findings == []


def test_a_column_with_its_meanings(tmp_path, drawn):
    kinds = ["GRN", "green", " Tees ", "DUNE", None, "heather"]
    named, findings = name_surfaces(
        layer(tmp_path, drawn, kind=kinds), surface_from="kind", surfaces={"GRN": "green"}, known=KNOWN
    )
    assert surfaces(named) == {"1": "green", "2": "green", "3": "tee", "6": "heather"}
    assert said(findings) == [("warning", "surface_unknown"), ("warning", "surface_missing")]
    assert "1 area with kind = DUNE" in findings[0].text


def test_unknown_values_are_counted_once_each_and_answered(tmp_path, drawn):
    kinds = ["green", "fareway", "fareway", "fareway", "x", "x"]
    _, findings = name_surfaces(layer(tmp_path, drawn, kind=kinds), surface_from="kind", known=KNOWN)
    assert [finding.text for finding in findings] == [
        "3 areas with kind = fareway, which names no known surface: set aside. Did you mean fairway?",
        "2 areas with kind = x, which names no known surface: set aside.",
    ]


@pytest.mark.parametrize("codes", [[1, 2, 1, 2, 1, 2], [1.0, 2.0, 1.0, 2.0, 1.0, 2.0], ["1", "2"] * 3])
def test_numbers_that_stand_for_surfaces(tmp_path, drawn, codes):
    named, findings = name_surfaces(
        layer(tmp_path, drawn, code=codes), surface_from="code", surfaces={"1": "green", "2": "tee"}, known=KNOWN
    )
    assert named["surface"].tolist() == ["green", "tee"] * 3
    assert findings == []


def test_a_meaning_that_never_occurs_is_noted(tmp_path, drawn):
    _, findings = name_surfaces(
        layer(tmp_path, drawn, kind=["green"] * 6), surface_from="kind", surfaces={"FWY": "fairway"}, known=KNOWN
    )
    assert said(findings) == [("note", "value_unused")]


def test_every_spelling_of_semi_rough(tmp_path, drawn):
    kinds = ["semi-rough", "Semi Rough", "semirough", "SEMI_ROUGH", "rough", "Rough"]
    named, _ = name_surfaces(layer(tmp_path, drawn, kind=kinds), surface_from="kind", known=KNOWN)
    assert named["surface"].tolist() == ["semi-rough"] * 4 + ["rough"] * 2


def test_a_missing_column_lists_those_there_are(tmp_path, drawn):
    with pytest.raises(LayerError, match=r"no column knd; it has kind, hole\. Did you mean kind\?"):
        name_surfaces(layer(tmp_path, drawn, kind=["green"] * 6, hole=["1"] * 6), surface_from="knd", known=KNOWN)


def test_a_meaning_that_is_no_surface(tmp_path, drawn):
    with pytest.raises(LayerError, match=r"gren is no known surface; known are green, tee,.*Did you mean green\?"):
        name_surfaces(layer(tmp_path, drawn, kind=["a"] * 6), surface_from="kind", surfaces={"a": "gren"}, known=KNOWN)


def test_one_surface_is_that_of_areas_without_a_value(tmp_path, drawn):
    kinds = ["tee", None, "", "fairway", "dune", "tee"]
    named, findings = name_surfaces(
        layer(tmp_path, drawn, kind=kinds), surface_from="kind", surface="green", known=KNOWN
    )
    assert surfaces(named) == {"1": "tee", "2": "green", "3": "green", "4": "fairway", "6": "tee"}
    assert sorted(said(findings)) == [("note", "surface_missing"), ("warning", "surface_unknown")]


# --- with nothing said


def test_openstreetmap_tags_name_the_surfaces(tmp_path, drawn):
    golf = ["water_hazard", "lateral_water_hazard", "driving_range", "clubhouse", None, "cartpath"]
    named, findings = name_surfaces(layer(tmp_path, drawn, golf=golf, area=["yes"] * 6), known=KNOWN)
    assert surfaces(named) == {"1": "water", "2": "water", "3": "other", "6": "path"}
    assert sorted(said(findings)) == [("note", "not_turf"), ("note", "range_as_other"), ("note", "surface_missing")]


def test_meanings_go_before_openstreetmap_tags(tmp_path, drawn):
    golf = ["driving_range"] * 5 + ["putting"]
    named, findings = name_surfaces(
        layer(tmp_path, drawn, golf=golf), surfaces={"driving_range": "rough", "putting": "green"}, known=KNOWN
    )
    assert named["surface"].tolist() == ["rough"] * 5 + ["green"]
    assert findings == []


def test_a_column_whose_values_name_surfaces_is_found(tmp_path, drawn):
    kinds = ["Green", "Green", "Tee", "Bunker", "Fairway", "marquee"]
    named, findings = name_surfaces(layer(tmp_path, drawn, kind=kinds, note=["a"] * 6), known=KNOWN)
    assert named["surface"].tolist() == ["green", "green", "tee", "bunker", "fairway"]
    assert said(findings) == [("note", "surface_from_values"), ("warning", "surface_unknown")]


def test_two_such_columns_are_one_too_many(tmp_path, drawn):
    with pytest.raises(LayerError, match="columns kind, was all name surfaces; say which by surface_from"):
        name_surfaces(layer(tmp_path, drawn, kind=["green"] * 6, was=["rough"] * 6), known=KNOWN)


@pytest.mark.parametrize(
    ("name", "surface"),
    [("greens", "green"), ("Semi_Rough", "semi-rough"), ("fairways_2024", "fairway"), ("heather", "heather")],
)
def test_the_name_of_the_layer_names_the_surface(tmp_path, drawn, name, surface):
    named, findings = name_surfaces(layer(tmp_path, drawn, name), known=KNOWN)
    assert named["surface"].tolist() == [surface] * 6
    assert said(findings) == [("note", "surface_from_name")]


def test_the_name_of_the_file_serves_its_only_layer(tmp_path, drawn):
    drawn[["geometry"]].to_file(tmp_path / "tees.gpkg", layer="layer1")
    (only,), _ = read_layers(tmp_path / "tees.gpkg")
    assert name_surfaces(only, known=KNOWN)[0]["surface"].tolist() == ["tee"] * 6
    named, findings = name_surfaces(only, known=KNOWN, alone=False)
    assert (len(named), said(findings)) == (0, [("warning", "layer_unnamed")])


def test_nothing_that_names_a_surface(tmp_path, drawn):
    with pytest.raises(LayerError, match=r"nothing says.*type \(A, B\).*surface_from = .*turfgis start"):
        name_surfaces(layer(tmp_path, drawn, type=["A", "A", "A", "B", "B", None]), known=KNOWN)


def test_columns_and_reference_system_stay(tmp_path, drawn):
    named, _ = name_surfaces(layer(tmp_path, drawn, kind=["green"] * 6, hole=[7] * 6), known=KNOWN)
    assert named["hole"].tolist() == [7] * 6
    assert named.crs.to_epsg() == 27700
