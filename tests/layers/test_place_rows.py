"""Rows of places in a GeoPackage: read back by GDAL, in the columns and types that are there."""

from datetime import date

import pyogrio
import pytest

from turfgis.errors import InputError
from turfgis.layers.drawing import LayerNote
from turfgis.layers.geopackage import connected, stored_tables
from turfgis.layers.new_layers import add_columns, add_table, new_geopackage
from turfgis.layers.place_rows import VISIT, new_columns, put_visit

NOTE = LayerNote("a.gpkg", role="places")


@pytest.fixture
def file(tmp_path):
    path = tmp_path / "a.gpkg"
    new_geopackage(path)
    return path


def test_a_table_without_shapes_is_one_for_gdal(file):
    """Outside reader: GDAL, which lists tables of kind "attributes" (OGC 12-128r18, clause 2.4) without a geometry."""
    with connected(file, writing=True) as package:
        table = add_table(package, "visits", new_columns(VISIT))
        table = put_visit(package, table, NOTE, {"id": "a", "seen": date(2027, 5, 1), "size_m2": 2.5, "urgency": 2})
        table = put_visit(package, table, NOTE, {"id": "b", "girth_cm": 40.0})  # a column more
    with connected(file) as package:
        assert list(stored_tables(package)) == ["visits"]
    assert pyogrio.list_layers(file).tolist() == [["visits", None]]
    rows = pyogrio.read_dataframe(file, layer="visits")
    assert rows["id"].tolist() == ["a", "b"]
    assert rows["seen"].iloc[0].date() == date(2027, 5, 1)
    assert (rows["size_m2"].iloc[0], rows["urgency"].iloc[0], rows["girth_cm"].iloc[1]) == (2.5, 2, 40.0)


@pytest.mark.parametrize(
    ("declared", "value", "stored"),
    [
        ("TEXT", date(2027, 5, 1), "2027-05-01"),
        ("DATETIME", date(2027, 5, 1), "2027-05-01T00:00:00.000Z"),
        ("TEXT", 12.5, "12.5"),
        ("INTEGER", 12.0, 12),
        ("REAL", 12, 12.0),
        ("INTEGER", "7", 7),
        ("MEDIUMINT", 3, 3),
    ],
)
def test_a_value_is_written_as_its_column_takes_it(file, declared, value, stored):
    with connected(file, writing=True) as package:
        put_visit(package, add_table(package, "visits", {"id": declared}), NOTE, {"id": value})
        assert package.execute("SELECT id FROM visits").fetchone()[0] == stored


def test_what_a_column_does_not_take_leaves_all_as_it_was(file):
    with connected(file, writing=True) as package:
        add_table(package, "visits", {"id": "INTEGER"})
    before = file.read_bytes()
    with pytest.raises(InputError, match="takes a whole number"), connected(file, writing=True) as package:
        put_visit(package, stored_tables(package)["visits"], NOTE, {"id": "oak", "note": "x"})
    assert file.read_bytes() == before


def test_names_that_are_taken(file):
    with connected(file, writing=True) as package:
        table = add_table(package, "visits", {"id": "TEXT"})
        with pytest.raises(InputError, match="cannot be called 'Visits'"):
            add_table(package, "Visits", {})
        for name in ("fid", "ID"):
            with pytest.raises(InputError, match=f"a column '{name}' cannot be added"):
                add_columns(package, table, {name: "TEXT"})
