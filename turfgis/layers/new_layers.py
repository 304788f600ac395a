"""New files and new layers: GeoPackages begun from nothing, with the tables that OGC 12-128r18 asks for in annex C."""

import sqlite3
from dataclasses import replace
from pathlib import Path

from pyproj import CRS
from pyproj.exceptions import CRSError

from turfgis.errors import InputError, OutputError
from turfgis.layers.geopackage import StoredLayer, plain_errors, quoted, stored_crs, stored_layers, stored_tables


def new_geopackage(path: Path) -> None:
    """
    Make an empty GeoPackage.

    Raises
    ------
    OutputError
        There is a file of that name, or it cannot be written.
    """
    if path.exists():
        raise OutputError(f"{path.name}: there is such a file already")
    try:
        path.touch()
        with plain_errors(path.name):
            connection = sqlite3.connect(path, isolation_level=None)
            try:
                connection.execute("PRAGMA application_id = 0x47504B47")
                connection.execute("PRAGMA user_version = 10400")
                connection.execute("BEGIN")
                for statement in EMPTY:
                    connection.execute(statement)
                for crs_id, name, definition in UNDEFINED:
                    connection.execute(INSERT_CRS, (name, crs_id, "NONE", crs_id, definition, name))
                _add_crs(connection, CRS(4326))
                connection.execute("COMMIT")
            finally:
                connection.close()
    except OSError as error:
        raise OutputError(f"{path.name}: cannot be made ({error.strerror})") from None
    except BaseException:
        path.unlink(missing_ok=True)
        raise


def add_layer(
    connection: sqlite3.Connection,
    name: str,
    crs: CRS,
    kind: str = "POLYGON",
    columns: dict[str, str] | None = None,
    heights: int = 0,
) -> StoredLayer:
    """
    Add an empty layer of shapes.

    Parameters
    ----------
    connection
        As from ``connected`` for writing.
    name, kind
        Its name and the kind of shape that it takes, or ``GEOMETRY`` for any.
    crs
        What it is drawn in.
    columns
        Names -> types of the standard: ``TEXT``, ``INTEGER``, ``REAL``, ``BOOLEAN`` and so on.
    heights
        0 without, 2 with or without.

    Raises
    ------
    InputError
        The name is taken, or cannot be one.
    """
    _check_name(connection, name)
    given = columns or {}
    srs_id = _add_crs(connection, crs)
    own = "".join(f", {quoted(column)} {kind_of}" for column, kind_of in given.items())
    key = _free("fid", given)
    shape = _free("geom", given)
    connection.execute(
        f"CREATE TABLE {quoted(name)} ({quoted(key)} INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL, "
        f"{quoted(shape)} {kind}{own})"
    )
    connection.execute(
        "INSERT INTO gpkg_contents (table_name, data_type, identifier, srs_id) VALUES (?, 'features', ?, ?)",
        (name, name, srs_id),
    )
    connection.execute(GEOMETRY_COLUMNS)
    connection.execute(
        "INSERT INTO gpkg_geometry_columns VALUES (?, ?, ?, ?, ?, 0)", (name, shape, kind, srs_id, heights)
    )
    return stored_layers(connection)[name]


def add_table(connection: sqlite3.Connection, name: str, columns: dict[str, str]) -> StoredLayer:
    """
    Add an empty table without shapes. Parameters and errors as for :func:`add_layer`.

    Clause 2.4 of the standard.
    """
    _check_name(connection, name)
    key, own = _free("fid", columns), "".join(f", {quoted(column)} {kind}" for column, kind in columns.items())
    connection.execute(f"CREATE TABLE {quoted(name)} ({quoted(key)} INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL{own})")
    connection.execute(
        "INSERT INTO gpkg_contents (table_name, data_type, identifier) VALUES (?, 'attributes', ?)", (name, name)
    )
    return stored_tables(connection)[name]


def add_columns(connection: sqlite3.Connection, layer: StoredLayer, columns: dict[str, str]) -> StoredLayer:
    """
    The layer or table with further columns, empty in all that is there.

    Raises
    ------
    InputError
        It has a column of that name already, such as the one that numbers its features.
    """
    there = {one.lower() for one in (layer.key, layer.shape, *layer.columns)}
    for name, kind in columns.items():
        if name.lower() in there:
            raise InputError(
                f"layer {layer.name}: a column '{name}' cannot be added, as '{name}' numbers its features or holds "
                "their shapes; give it a column of another name and say so in the settings with columns"
            )
        connection.execute(f"ALTER TABLE {quoted(layer.name)} ADD COLUMN {quoted(name)} {kind}")
    return replace(layer, columns={**layer.columns, **columns})


def _check_name(connection: sqlite3.Connection, name: str) -> None:
    known = {row[0].lower() for row in connection.execute("SELECT name FROM sqlite_master")}
    if not name or name.lower() in known or name.lower().startswith(("gpkg_", "sqlite_", "rtree_", "turfgis_")):
        raise InputError(f"a layer cannot be called '{name}': there is such a name already, or it is reserved")


def _free(name: str, taken: dict[str, str]) -> str:
    """A name that no column has, with an underscore or more behind it where it is taken."""
    while name.lower() in {one.lower() for one in taken}:
        name += "_"
    return name


def _add_crs(connection: sqlite3.Connection, crs: CRS) -> int:
    """Number of a reference system in the file; it is entered where it is not there yet."""
    rows = connection.execute("SELECT srs_id FROM gpkg_spatial_ref_sys WHERE srs_id > 0").fetchall()
    code = crs.to_authority(min_confidence=100)
    for (srs_id,) in rows:
        there = stored_crs(connection, srs_id)
        if there is not None and there.equals(crs, ignore_axis_order=True):
            return srs_id
    number = int(code[1]) if code and code[1].isdigit() else 300_000
    taken = {row[0] for row in rows}
    while number in taken:
        number = max(number, 300_000) + 1
    named = code if code and code[1].isdigit() else ("NONE", number)
    try:
        definition = crs.to_wkt("WKT1_GDAL")
    except CRSError:
        definition = crs.to_wkt()
    connection.execute(INSERT_CRS, (crs.name, number, named[0], int(named[1]), definition, None))
    return number


INSERT_CRS = "INSERT INTO gpkg_spatial_ref_sys VALUES (?, ?, ?, ?, ?, ?)"
UNDEFINED = ((-1, "undefined Cartesian", "undefined"), (0, "undefined geographic", "undefined"))
GEOMETRY_COLUMNS = (
    "CREATE TABLE IF NOT EXISTS gpkg_geometry_columns (table_name TEXT NOT NULL, column_name TEXT NOT NULL, "
    "geometry_type_name TEXT NOT NULL, srs_id INTEGER NOT NULL, z TINYINT NOT NULL, m TINYINT NOT NULL, "
    "CONSTRAINT pk_geom_cols PRIMARY KEY (table_name, column_name), CONSTRAINT uk_gc_table_name UNIQUE (table_name), "
    "CONSTRAINT fk_gc_tn FOREIGN KEY (table_name) REFERENCES gpkg_contents(table_name), "
    "CONSTRAINT fk_gc_srs FOREIGN KEY (srs_id) REFERENCES gpkg_spatial_ref_sys (srs_id))"
)
EMPTY = (
    "CREATE TABLE gpkg_spatial_ref_sys (srs_name TEXT NOT NULL, srs_id INTEGER NOT NULL PRIMARY KEY, "
    "organization TEXT NOT NULL, organization_coordsys_id INTEGER NOT NULL, definition TEXT NOT NULL, "
    "description TEXT)",
    "CREATE TABLE gpkg_contents (table_name TEXT NOT NULL PRIMARY KEY, data_type TEXT NOT NULL, "
    "identifier TEXT UNIQUE, description TEXT DEFAULT '', "
    "last_change DATETIME NOT NULL DEFAULT (strftime('%Y-%m-%dT%H:%M:%fZ','now')), "
    "min_x DOUBLE, min_y DOUBLE, max_x DOUBLE, max_y DOUBLE, srs_id INTEGER, "
    "CONSTRAINT fk_gc_r_srs_id FOREIGN KEY (srs_id) REFERENCES gpkg_spatial_ref_sys(srs_id))",
    GEOMETRY_COLUMNS,
)
