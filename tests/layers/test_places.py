"""The same places out of every format that a GIS writes, and what is said where they cannot be read."""

from datetime import date

import geopandas as gpd
import pytest
import shapely

from turfgis.errors import LayerError
from turfgis.layers.drawing import LayerNote
from turfgis.layers.places import look_rows, read_visits
from turfgis.layers.read import read_layers

ROWS = {
    "id": ["t1", "w1"],
    "kind": ["Tree", "WET_SPOT"],
    "seen": ["2027-03-14", "2027-04-01"],
    "look_again": ["2027-06-14", None],
    "every": [None, "2 weeks"],
    "urgency": [2, 3],
    "species": ["Quercus robur", None],
    "girth_cm": [188.5, None],
    "size_m2": [None, 12.0],
    "certificate": ["chainsaw", None],
    "note": ["ivy, dense", "soft"],
}
WKT = ["POINT (-9.5 49.5)", "POINT (-9.501 49.5)"]
PLACE = ("a file", "a layer")


def looks(path, **said):
    (layer,), _ = read_layers(path, crs=said.pop("crs", None), role="places")
    rows = layer.points
    columns = {name: rows[name].to_numpy() for name in rows.columns if name not in ("feature", "geometry")}
    return look_rows(columns, rows["feature"].tolist(), LayerNote(path.name, **said), PLACE)


def table(cells, features=None, **said):
    count = len(next(iter(cells.values())))
    return look_rows(cells, features or [str(n) for n in range(count)], LayerNote("a", **said), PLACE)


@pytest.mark.parametrize("ending", ["gpkg", "geojson", "shp", "fgb", "csv"])
def test_every_format_gives_the_same_looks(tmp_path, ending):
    path = tmp_path / f"places.{ending}"
    frame = gpd.GeoDataFrame(ROWS, geometry=gpd.GeoSeries.from_wkt(WKT), crs="EPSG:4326")
    if ending == "csv":
        frame.drop(columns="geometry").assign(WKT=WKT).to_csv(path, index=False)
        rows, said = looks(path, crs="EPSG:4326")
    else:
        frame.to_file(path)
        rows, said = looks(path)
    assert said == []
    by_id = {row["id"]: row for row in rows.to_dict("records")}
    tree, wet = by_id["t1"], by_id["w1"]
    assert (tree["kind"], tree["seen"], tree["look_again"]) == ("tree", date(2027, 3, 14), date(2027, 6, 14))
    assert (tree["urgency"], tree["species"], tree["girth_cm"]) == (2, "Quercus robur", 188.5)
    assert (tree["certificate"], tree["note"], tree["size_m2"], tree["every"]) == ("chainsaw", "ivy, dense", None, None)
    assert (wet["kind"], wet["every"], wet["size_m2"], wet["look_again"]) == ("wet spot", (2, "week"), 12.0, None)


def test_days_of_a_geopackage_are_days(tmp_path):
    """As a GIS writes them: columns of type date and of date and time."""
    path = tmp_path / "places.gpkg"
    frame = gpd.GeoDataFrame({"id": ["a"]}, geometry=[shapely.Point(0, 0)], crs="EPSG:4326")
    frame["seen"] = [date(2027, 3, 14)]
    frame["done"] = frame["seen"].astype("datetime64[ms]")
    frame.to_file(path)
    rows, said = looks(path)
    assert (rows["seen"][0], rows["done"][0], said) == (date(2027, 3, 14), date(2027, 3, 14), [])


def test_columns_are_found_under_the_names_of_the_club():
    cells = {"NR": ["7"], "ART": ["BAUM"], "DATUM": ["14.03.2027"], "kind": ["weed"]}
    rows, said = table(cells, columns={"id": "NR", "kind": "ART", "seen": "DATUM"}, kinds={"BAUM": "tree"})
    assert (rows["id"][0], rows["kind"][0], rows["seen"][0], said) == ("7", "tree", date(2027, 3, 14), [])


def test_a_layer_of_one_kind_need_not_say_it():
    rows, said = table({"species": ["Alnus"]}, kind="tree")
    assert (rows["kind"][0], said) == ("tree", [])


@pytest.mark.parametrize(
    ("cells", "code", "level", "words"),
    [
        ({"kind": ["treee"]}, "place_kind", "warning", "did you mean 'tree'"),
        ({"seen": ["14/03/2027"]}, "place_day", "error", "seen: '14/03/2027' is not a day"),
        ({"seen": ["2027-02-30"]}, "place_day", "error", "is not a day that exists"),
        ({"look_again": [45000]}, "place_day", "error", "look_again: '45000' is not a day"),
        ({"every": ["weekly"]}, "place_day", "error", "every: 'weekly' is not an interval"),
        ({"size_m2": [-4.0]}, "place_figure", "error", "size_m2: -4 is below zero"),
        ({"urgency": ["high"]}, "place_figure", "error", "urgency: 'high' is not a number"),
        ({"seen": ["2027-05-01"], "look_again": ["2027-04-01"]}, "place_look", "warning", "does not count"),
    ],
)
def test_what_cannot_be_read_is_a_finding_with_its_feature(cells, code, level, words):
    rows, said = table(cells, ["f9"])
    (finding,) = said
    assert (finding.code, finding.level, finding.feature, (finding.file, finding.layer)) == (code, level, "f9", PLACE)
    assert words in finding.text
    assert len(rows) == 1  # the place is not dropped for it


def test_a_column_that_is_not_there_is_an_error():
    with pytest.raises(LayerError, match="no column 'DATE' for seen; there are: DATUM"):
        table({"DATUM": ["x"]}, columns={"seen": "DATE"})


def test_visits_come_out_of_a_table(tmp_path):
    (tmp_path / "visits.csv").write_text("id;Seen;size_m2;weather\nw1;01.04.2027;12,5;rain\n", encoding="utf-8")
    rows, said, place = read_visits(tmp_path, LayerNote("places.gpkg", visits="visits.csv"))
    assert (rows["id"][0], rows["seen"][0], rows["size_m2"][0]) == ("w1", date(2027, 4, 1), 12.5)
    assert (said, place, rows["feature"][0]) == ([], ("visits.csv", ""), "row 2")


def test_visits_need_an_id_and_a_day(tmp_path):
    (tmp_path / "visits.csv").write_text("id,size_m2\nw1,3\n", encoding="utf-8")
    with pytest.raises(LayerError, match=r"visits.csv: no column 'seen'"):
        read_visits(tmp_path, LayerNote("places.gpkg", visits="visits.csv"))
