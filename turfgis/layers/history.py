"""
The versions of a drawing, kept in its GeoPackage as two tables without shapes that any reader of the format can list.

``turfgis_changes`` has a row for each change, numbered from 1 without a gap: when, who, what, and whether it was done,
undone, done again, a going back, or found done by another program. ``turfgis_versions`` has a row for each feature that
a change touched: its square metres, shape (well-known binary) and values (JSON, those that are not empty) before and
after. Nothing is ever taken out of either: an undo is one more change.
"""

import json
import sqlite3
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import UTC, datetime
from functools import cached_property
from hashlib import sha256
from math import isfinite
from typing import Any

import shapely

DONE, UNDONE, REDONE, BACK, ELSEWHERE = "done", "undone", "done again", "gone back", "done elsewhere"


@dataclass(frozen=True)
class State:
    """
    A feature as it is stored.

    Attributes
    ----------
    wkb
        Its shape as well-known binary; None without one.
    values
        Columns that are not empty -> their values, as SQLite has them.
    """

    wkb: bytes | None = field(repr=False)
    values: dict[str, Any]

    @property
    def fingerprint(self) -> str:
        """The same for the same shape and values, whoever wrote them."""
        return sha256((self.wkb or b"") + b"|" + _text(self.values).encode()).hexdigest()[:20]


@dataclass(frozen=True)
class Version:
    """
    One feature before and after something.

    Attributes
    ----------
    layer, feature
        Which.
    before, after
        Its states; None where it was not there.
    m2_before, m2_after
        Their areas [m2]; None where there is none or it cannot be told.
    """

    layer: str
    feature: int
    before: State | None
    after: State | None
    m2_before: float | None = None
    m2_after: float | None = None

    @cached_property
    def shape_before(self) -> Any:
        """Shape before, in the reference system of the layer."""
        return _shape(self.before)

    @cached_property
    def shape_after(self) -> Any:
        """Shape after, in the reference system of the layer."""
        return _shape(self.after)

    @property
    def gained_m2(self) -> float:
        """Area after less area before. [m2]"""
        return (self.m2_after or 0.0) - (self.m2_before or 0.0)

    @property
    def gained(self) -> Any:
        """Ground that it has after and had not before."""
        return _less(self.shape_after, self.shape_before)

    @property
    def lost(self) -> Any:
        """Ground that it had before and has not after."""
        return _less(self.shape_before, self.shape_after)


@dataclass(frozen=True)
class Change:
    """
    One change of a drawing.

    Attributes
    ----------
    number
        Its place in the order of changes, from 1.
    at
        When, as ISO text in UTC.
    who, what
        In words.
    does, of
        One of ``done``, ``undone``, ``done again``, ``gone back`` and ``done elsewhere``; and the number of the change
        that was undone, done again or gone back to.
    versions
        The features it touched.
    undoes, redoes
        What an undo and a redo would take up after it; 0 for nothing.
    """

    number: int
    at: str
    who: str
    what: str
    does: str = DONE
    of: int | None = None
    versions: tuple[Version, ...] = ()
    undoes: int = 0
    redoes: int = 0

    @property
    def gained_m2(self) -> float:
        """Area of all its features after less that before. [m2]"""
        return sum(one.gained_m2 for one in self.versions)


START = Change(0, "", "", "")  # before the first change


def has_history(connection: sqlite3.Connection) -> bool:
    """Whether a file has the tables of changes."""
    asked = (
        "SELECT count(*) FROM sqlite_master WHERE type = 'table' AND name IN ('turfgis_changes', 'turfgis_versions')"
    )
    return connection.execute(asked).fetchone()[0] == 2


def begin_history(connection: sqlite3.Connection) -> None:
    """Make the tables of changes where they are not there; OGC 12-128r18, clause 2.4, says how they are listed."""
    if has_history(connection):
        return
    for statement in TABLES:
        connection.execute(statement)
    for name, description in LISTED:
        connection.execute(
            "INSERT OR REPLACE INTO gpkg_contents (table_name, data_type, identifier, description) "
            "VALUES (?, 'attributes', ?, ?)",
            (name, name, description),
        )


def last_change(connection: sqlite3.Connection) -> Change:
    """The latest change, without its versions; ``START`` where there is none."""
    return _headed(connection, "ORDER BY number DESC LIMIT 1") or START


def change_before(connection: sqlite3.Connection, number: int) -> Change:
    """The change that went before one, without its versions."""
    return _headed(connection, "WHERE number < ? ORDER BY number DESC LIMIT 1", number) or START


def latest_undo_of(connection: sqlite3.Connection, number: int) -> int:
    """Number of the latest change that undid another."""
    asked = "SELECT max(number) FROM turfgis_changes WHERE of_number = ? AND does = ?"
    return connection.execute(asked, (number, UNDONE)).fetchone()[0] or 0


def _headed(connection: sqlite3.Connection, where: str, *given: Any) -> Change | None:
    row = connection.execute(f"SELECT {HEAD} FROM turfgis_changes {where}", given).fetchone()
    return None if row is None else Change(*row[:6], undoes=row[6], redoes=row[7])


def changes(
    connection: sqlite3.Connection, layer: str | None, feature: int | None, most: int, before: int | None
) -> list[Change]:
    """Changes, the latest first, with their versions: all, or those that touched a layer or feature of it."""
    touched = "SELECT number FROM turfgis_versions WHERE layer = ?" + ("" if feature is None else " AND feature = ?")
    wanted = [] if layer is None else [layer] if feature is None else [layer, feature]
    where = ["number < ?"] if before is not None else []
    where += [f"number IN ({touched})"] if wanted else []
    given = [*([before] if before is not None else []), *wanted, most]
    only = f"WHERE {' AND '.join(where)}" if where else ""
    asked = f"SELECT {HEAD} FROM turfgis_changes {only} ORDER BY number DESC LIMIT ?"
    rows = connection.execute(asked, given).fetchall()
    return [
        Change(*row[:6], undoes=row[6], redoes=row[7], versions=tuple(versions_of(connection, row[0]))) for row in rows
    ]


def versions_of(connection: sqlite3.Connection, number: int) -> list[Version]:
    """What a change did to each feature, in the order in which it was done."""
    rows = connection.execute(f"SELECT {ROW} FROM turfgis_versions WHERE number = ? ORDER BY id", (number,))
    return [_version(row) for row in rows.fetchall()]


def versions_since(
    connection: sqlite3.Connection, number: int, layer: str | None = None, feature: int | None = None
) -> list[Version]:
    """For each feature touched after a change what it was then, and what the latest change left of it."""
    given = [number, *([layer] if layer is not None else []), *([feature] if feature is not None else [])]
    also = " AND layer = ?" * (layer is not None) + " AND feature = ?" * (feature is not None)
    ends = connection.execute(
        f"SELECT min(id), max(id) FROM turfgis_versions WHERE number > ?{also} "
        "GROUP BY layer, feature ORDER BY min(id)",
        given,
    ).fetchall()
    found = []
    for first, last in ends:
        was, now = (
            _version(connection.execute(f"SELECT {ROW} FROM turfgis_versions WHERE id = ?", (row,)).fetchone())
            for row in (first, last)
        )
        found.append(Version(was.layer, was.feature, was.before, now.after, was.m2_before, now.m2_after))
    return found


def last_version(connection: sqlite3.Connection, layer: str, feature: int) -> Version | None:
    """The latest version of a feature; None where no change has touched it."""
    asked = f"SELECT {ROW} FROM turfgis_versions WHERE layer = ? AND feature = ? ORDER BY id DESC LIMIT 1"
    row = connection.execute(asked, (layer, feature)).fetchone()
    return None if row is None else _version(row)


def state_called(connection: sqlite3.Connection, layer: str, feature: int, fingerprint: str) -> State | None:
    """A state that a feature once had, by its fingerprint."""
    asked = f"SELECT {ROW} FROM turfgis_versions WHERE layer = ? AND feature = ? ORDER BY id DESC"
    for row in connection.execute(asked, (layer, feature)):
        version = _version(row)
        for state in (version.after, version.before):
            if state is not None and state.fingerprint == fingerprint:
                return state
    return None


def highest_feature(connection: sqlite3.Connection, layer: str) -> int:
    """The highest number that a feature of a layer ever had in a change."""
    asked = "SELECT max(feature) FROM turfgis_versions WHERE layer = ?"
    return connection.execute(asked, (layer,)).fetchone()[0] or 0


def keep(connection: sqlite3.Connection, change: Change) -> None:
    """Write a change down."""
    head = (change.number, change.at, change.who, change.what, change.does, change.of, change.undoes, change.redoes)
    connection.execute(f"INSERT INTO turfgis_changes ({HEAD}) VALUES (?, ?, ?, ?, ?, ?, ?, ?)", head)
    connection.executemany(
        f"INSERT INTO turfgis_versions (number, {ROW}) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)",
        ((change.number, *_row(version)) for version in change.versions),
    )


def this_moment() -> str:
    """Now, as ISO text in UTC."""
    return datetime.now(UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")


def _row(version: Version) -> tuple:
    before, after = version.before, version.after
    return (
        *(version.layer, version.feature, version.m2_before, version.m2_after),
        *(state.wkb if state else None for state in (before, after)),
        *(None if state is None else _text(state.values) for state in (before, after)),
    )


def _version(row: Iterable[Any]) -> Version:
    layer, feature, m2_before, m2_after, shape_before, shape_after, values_before, values_after = row
    before, after = (
        None if values is None else State(shape, _values(values))
        for shape, values in ((shape_before, values_before), (shape_after, values_after))
    )
    return Version(layer, feature, before, after, m2_before, m2_after)


def _shape(state: State | None) -> Any:
    return None if state is None or state.wkb is None else shapely.from_wkb(state.wkb, on_invalid="ignore")


def _less(shape: Any, other: Any) -> Any:
    if shape is None:
        return shapely.Polygon()
    return shapely.make_valid(shape) if other is None else shapely.difference(*shapely.make_valid([shape, other]))


def _text(values: dict[str, Any]) -> str:
    """Values as JSON. Bytes, and numbers that JSON has no word for, are told as objects."""
    told: dict[str, Any] = {}
    for name, value in values.items():
        if isinstance(value, bytes):
            told[name] = {"hex": value.hex()}
        elif isinstance(value, float) and not isfinite(value):
            told[name] = {"number": str(value)}
        else:
            told[name] = value
    return json.dumps(told, sort_keys=True, ensure_ascii=False)


def _values(text: str) -> dict[str, Any]:
    values = json.loads(text)
    for name, value in values.items():
        if isinstance(value, dict):
            values[name] = bytes.fromhex(value["hex"]) if "hex" in value else float(value["number"])
    return values


HEAD = "number, at, who, what, does, of_number, undoes, redoes"
ROW = "layer, feature, m2_before, m2_after, shape_before, shape_after, values_before, values_after"
TABLES = (
    "CREATE TABLE IF NOT EXISTS turfgis_changes (number INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL, "
    "at DATETIME NOT NULL, who TEXT NOT NULL, what TEXT NOT NULL, does TEXT NOT NULL, of_number INTEGER, "
    "undoes INTEGER NOT NULL, redoes INTEGER NOT NULL)",
    "CREATE TABLE IF NOT EXISTS turfgis_versions (id INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL, "
    "number INTEGER NOT NULL, layer TEXT NOT NULL, feature INTEGER NOT NULL, m2_before DOUBLE, m2_after DOUBLE, "
    "shape_before BLOB, shape_after BLOB, values_before TEXT, values_after TEXT)",
    "CREATE INDEX IF NOT EXISTS turfgis_versions_number ON turfgis_versions (number)",
    "CREATE INDEX IF NOT EXISTS turfgis_versions_feature ON turfgis_versions (layer, feature)",
    "CREATE INDEX IF NOT EXISTS turfgis_changes_of ON turfgis_changes (of_number)",
)
LISTED = (
    ("turfgis_changes", "Changes of the drawing: when, who and what"),
    ("turfgis_versions", "For each change the shapes and values before and after"),
)
