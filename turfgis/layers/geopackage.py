"""
A GeoPackage at the level of its tables, so that several changes are one transaction.

OGC 12-128r18, GeoPackage Encoding Standard: clause 2.1.3.1.1 for shapes as bytes, 1.1.3 for the table of contents, 2.4
for tables without shapes, annex F.3 for the functions that triggers of a spatial index call.
"""

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from functools import lru_cache, partial
from pathlib import Path

import numpy as np
from pyproj import CRS
from pyproj.exceptions import CRSError

from turfgis.errors import InputError, LayerError, OutputError
from turfgis.layers.blobs import Bounds, bounds_of
from turfgis.layers.crs import horizontal
from turfgis.layers.turns import IN_TURN

WAIT_S = 5.0  # for another program that is just saving
SIGNS = np.array([1.0, -1.0, 1.0, -1.0])  # makes the smallest of the signed bounds the furthest out


@dataclass(frozen=True)
class StoredLayer:
    """
    A layer of shapes in a GeoPackage.

    Attributes
    ----------
    name, kind
        Its table, and the kind of shape that it takes, such as ``POLYGON`` or ``GEOMETRY``.
    crs, srs_id
        Two-dimensional reference system, None where the file names none; and its number in the file.
    key, shape
        Columns with the number of a feature and with its shape; none of a table without shapes.
    columns
        The other columns -> their declared types.
    heights, measures
        0: no corner has one; 1: each has; 2: either.
    """

    name: str
    kind: str
    crs: CRS | None
    srs_id: int
    key: str
    shape: str
    columns: dict[str, str]
    heights: int
    measures: int


@contextmanager
def connected(path: Path, *, writing: bool = False) -> Iterator[sqlite3.Connection]:
    """
    A GeoPackage for one transaction: all of what is written becomes lasting, or nothing.

    Raises
    ------
    LayerError
        It is no GeoPackage, or broken.
    OutputError
        It cannot be written, or another program holds it for longer than some seconds.
    """
    if not path.is_file():
        raise LayerError(f"{path.name}: there is no such file")
    with IN_TURN, plain_errors(path.name):
        connection = sqlite3.connect(
            f"{path.absolute().as_uri()}?mode=rw", uri=True, timeout=WAIT_S, isolation_level=None
        )
        try:
            # What is committed lies on the disk, the name of the log's file included: a power cut cannot take it back.
            connection.execute("PRAGMA synchronous = EXTRA")
            _teach(connection)
            connection.execute("BEGIN IMMEDIATE" if writing else "BEGIN")
            if not _has_table(connection, "gpkg_contents"):
                raise LayerError(f"{path.name}: not a GeoPackage")
            yield connection
            connection.execute("COMMIT")
        finally:
            if connection.in_transaction:
                connection.execute("ROLLBACK")
            connection.close()


@contextmanager
def plain_errors(name: str) -> Iterator[None]:
    """Say what SQLite complains of in our own words."""
    try:
        yield
    except sqlite3.IntegrityError as error:
        raise InputError(f"{name}: a rule of the file forbids this ({error}); nothing was saved") from None
    except sqlite3.OperationalError as error:
        said = str(error)
        if "locked" in said or "busy" in said:
            raise OutputError(
                f"{name}: another program is writing to it; save or end the editing there, then try again"
            ) from None
        if "no such function" in said or "no such module" in said:
            raise LayerError(f"{name}: it has rules of another program that cannot be followed here ({said})") from None
        raise OutputError(f"{name}: cannot be read or written ({said}); nothing was saved") from None
    except sqlite3.DatabaseError as error:
        raise LayerError(f"{name}: not a GeoPackage, or broken ({error})") from None


def _teach(connection: sqlite3.Connection) -> None:
    """Functions that triggers of a spatial index call; other readers bring their own."""
    connection.create_function("ST_IsEmpty", 1, _is_empty, deterministic=True)
    for place, name in enumerate(("ST_MinX", "ST_MaxX", "ST_MinY", "ST_MaxY")):
        connection.create_function(name, 1, partial(_bound, place), deterministic=True)


def _is_empty(blob: bytes | None) -> int | None:
    return None if blob is None else int(blob[3] >> 4 & 1)


def _bound(place: int, blob: bytes | None) -> float | None:
    bounds = None if blob is None else bounds_of(blob)
    return None if bounds is None else bounds[place]


def quoted(name: str) -> str:
    """A name of a table or column as it stands in SQL."""
    return '"' + name.replace('"', '""') + '"'


def stored_layers(connection: sqlite3.Connection) -> dict[str, StoredLayer]:
    """Layers of shapes that can be changed: name -> what the file says of each. Views are left out."""
    if not _has_table(connection, "gpkg_geometry_columns"):
        return {}
    rows = connection.execute(
        "SELECT c.table_name, g.column_name, g.geometry_type_name, g.srs_id, g.z, g.m FROM gpkg_contents c "
        "JOIN gpkg_geometry_columns g ON lower(g.table_name) = lower(c.table_name) "
        "JOIN sqlite_master m ON lower(m.name) = lower(c.table_name) AND m.type = 'table' "
        "WHERE c.data_type = 'features' ORDER BY c.rowid"
    )
    found = {}
    for name, shape, kind, srs_id, heights, measures in rows.fetchall():
        columns = connection.execute(f"PRAGMA table_info({quoted(name)})").fetchall()
        keys = [column[1] for column in columns if column[5]]
        if len(keys) != 1:
            continue  # the standard asks for one; without it no feature can be told from another
        others = {column[1]: column[2].upper() for column in columns if column[1] not in (*keys, shape)}
        crs = stored_crs(connection, srs_id)
        found[name] = StoredLayer(name, kind.upper(), crs, srs_id, keys[0], shape, others, heights, measures)
    return found


def stored_tables(connection: sqlite3.Connection) -> dict[str, StoredLayer]:
    """Tables without shapes that can be changed, as layers without a shape (clause 2.4 of the standard)."""
    rows = connection.execute(
        "SELECT c.table_name FROM gpkg_contents c "
        "JOIN sqlite_master m ON lower(m.name) = lower(c.table_name) AND m.type = 'table' "
        "WHERE c.data_type = 'attributes' ORDER BY c.rowid"
    )
    found = {}
    for (name,) in rows.fetchall():
        columns = connection.execute(f"PRAGMA table_info({quoted(name)})").fetchall()
        keys = [column[1] for column in columns if column[5]]
        if len(keys) == 1:
            others = {column[1]: column[2].upper() for column in columns if column[1] not in keys}
            found[name] = StoredLayer(name, "", None, 0, keys[0], "", others, 0, 0)
    return found


def stored_crs(connection: sqlite3.Connection, srs_id: int) -> CRS | None:
    """Two-dimensional reference system of a number in the file; None for one that is not known."""
    row = connection.execute(
        "SELECT organization, organization_coordsys_id, definition FROM gpkg_spatial_ref_sys WHERE srs_id = ?",
        (srs_id,),
    ).fetchone()
    if row is None or srs_id in (-1, 0):
        return None  # the two numbers of the standard for "nobody said"
    return _first_known(f"{row[0]}:{row[1]}", row[2])


@lru_cache(maxsize=64)
def _first_known(*said: str) -> CRS | None:
    for one in said:
        try:
            return horizontal(CRS.from_user_input(one))
        except CRSError:
            continue
    return None


def note_contents(
    connection: sqlite3.Connection, layer: StoredLayer, at: str, before: list[Bounds], after: list[Bounds]
) -> None:
    """
    Enter into the table of contents when a layer was changed, and how far it reaches.

    Only where a shape that reached as far as the layer does not any more is the whole layer looked at.
    """
    row = "UPDATE gpkg_contents SET last_change = ?{} WHERE lower(table_name) = lower(?)"
    if not before and not after:
        connection.execute(row.format(""), (at, layer.name))
        return
    told = connection.execute(
        "SELECT min_x, max_x, min_y, max_y FROM gpkg_contents WHERE lower(table_name) = lower(?)", (layer.name,)
    ).fetchone()
    there = np.array([told], dtype=float)
    new = np.array([*after, *there] if np.isfinite(there).all() else after).reshape(-1, 4)
    edge = np.array(before).reshape(-1, 4)
    if not np.isfinite(there).all() or (edge * SIGNS <= there * SIGNS).any():
        new = np.array([_reach(connection, layer)], dtype=float)
    low_x, high_x, low_y, high_y = ((new * SIGNS).min(axis=0) * SIGNS).tolist() if len(new) else (None,) * 4
    connection.execute(
        row.format(", min_x = ?, max_x = ?, min_y = ?, max_y = ?"), (at, low_x, high_x, low_y, high_y, layer.name)
    )


def _reach(connection: sqlite3.Connection, layer: StoredLayer) -> tuple:
    shape = quoted(layer.shape)
    return connection.execute(
        f"SELECT min(ST_MinX({shape})), max(ST_MaxX({shape})), min(ST_MinY({shape})), max(ST_MaxY({shape})) "
        f"FROM {quoted(layer.name)}"
    ).fetchone()


def _has_table(connection: sqlite3.Connection, name: str) -> bool:
    return connection.execute("SELECT 1 FROM sqlite_master WHERE name = ?", (name,)).fetchone() is not None
