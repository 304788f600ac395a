"""
The drawn layers of a course in one GeoPackage, where every change is kept as a dated version.

Each change is one transaction of SQLite: after a crash or a power cut a change is there whole or not at all. Layers
stay as any other program left them; what was done to them stands beside them (`turfgis.layers.history`). Before
anything is overwritten, it is held against what the writer has seen; where another window or program was there first,
nothing is saved and `ChangedElsewhere` carries both.
"""

import sqlite3
from collections.abc import Callable, Sequence
from dataclasses import replace
from os import PathLike
from pathlib import Path
from typing import Any

import numpy as np
import shapely
from geopandas import GeoDataFrame
from geopandas.array import GeometryArray
from pandas import Series
from pyproj import CRS

from turfgis.errors import ChangedElsewhere, InputError, LayerError
from turfgis.layers import history
from turfgis.layers.blobs import blob_of, bounds_of
from turfgis.layers.edits import Altered, Created, Deleted, Edit
from turfgis.layers.features import (
    accepted,
    insert_feature,
    read_feature,
    read_features,
    remove_feature,
    rewrite_feature,
    wkb_for,
)
from turfgis.layers.findings import listed
from turfgis.layers.geopackage import StoredLayer, connected, note_contents, stored_layers
from turfgis.layers.heights import lifted_like
from turfgis.layers.history import Change, State, Version
from turfgis.layers.new_layers import add_layer

__all__ = ["Altered", "Change", "Created", "Deleted", "Store", "Version"]

AreaOf = Callable[[np.ndarray, CRS], np.ndarray]
ANOTHER = "another program"


class Store:
    """
    A GeoPackage with the drawn layers of a course.

    Parameters
    ----------
    path
        The file.
    area_m2
        Shapes and their reference system -> areas, such as `turfgis.measure.stored.ground_m2`: for the square metres
        before and after that stand beside each version.
    """

    def __init__(self, path: str | PathLike[str], area_m2: AreaOf):
        self.path = Path(path)
        self.area_m2 = area_m2
        self._seen: dict[tuple[str, int], State] = {}  # as handed out: what a foreign change is held against

    @classmethod
    def open(cls, path: str | PathLike[str], area_m2: AreaOf) -> "Store":
        """
        Open a GeoPackage. Nothing is written before the first change.

        Raises
        ------
        LayerError
            It is none, or broken.
        """
        store = cls(path, area_m2)
        with connected(store.path):
            return store

    @property
    def number(self) -> int:
        """Number of the latest change in the file; 0 where there is none."""
        with connected(self.path) as file:
            return self._last(file).number

    def layers(self) -> dict[str, StoredLayer]:
        """Layers of shapes in the file, by name."""
        with connected(self.path) as file:
            return stored_layers(file)

    def add_layer(
        self, name: str, crs: CRS, kind: str = "POLYGON", columns: dict[str, str] | None = None, heights: int = 0
    ) -> StoredLayer:
        """
        Add an empty layer, as `turfgis.layers.geopackage.add_layer` does it.

        Raises
        ------
        InputError
            The name is taken, or cannot be one.
        """
        with connected(self.path, writing=True) as file:
            return add_layer(file, name, crs, kind, columns, heights)

    def shapes(self, layer: str) -> GeoDataFrame:
        """
        Features of a layer as they are now.

        Returns
        -------
        Columns as stored, ``feature`` (number), ``fingerprint`` and the shape in the layer's own reference system, with
        heights where there are any. ``attrs["number"]`` is the number of the latest change in them.

        Raises
        ------
        LayerError
            There is no such layer.
        """
        with connected(self.path) as file:
            there = _layer(stored_layers(file), layer)
            states = read_features(file, there)
            number = self._last(file).number
        self._seen = {key: state for key, state in self._seen.items() if key[0] != there.name}
        self._seen |= {(there.name, feature): state for feature, state in states.items()}
        columns: dict[str, Any] = {
            f"{name}_in_file" if name in ("feature", "fingerprint", "geometry") else name: Series(
                [state.values.get(name) for state in states.values()], dtype=object
            )
            for name in there.columns
        }
        columns["feature"] = list(states)
        columns["fingerprint"] = [state.fingerprint for state in states.values()]
        shapes = np.array([_shape(state) for state in states.values()], dtype=object)
        table = GeoDataFrame({**columns, "geometry": GeometryArray(shapes, crs=there.crs)}, geometry="geometry")
        table.attrs["number"] = number
        return table

    def fingerprints(self) -> tuple[int, dict[tuple[str, int], str]]:
        """
        Number of the latest change, and (layer, feature) -> fingerprint of every feature in the file.

        What a page is about to show is held fast with it: taken before the file is read for the page, a change that
        comes between is told at the first save.
        """
        with connected(self.path) as file:
            states = {
                (layer.name, feature): state
                for layer in stored_layers(file).values()
                for feature, state in read_features(file, layer).items()
            }
            number = self._last(file).number
        self._seen = states
        return number, {key: state.fingerprint for key, state in states.items()}

    def change(self, edits: Sequence[Edit], who: str, what: str, seen: int | None = None) -> Change:
        """
        Make a change of one or several features, all of them or none.

        Parameters
        ----------
        edits
            `Created`, `Altered` and `Deleted`; each feature at most once.
        who, what
            By whom, and what it is, in words for the list of versions.
        seen
            Number of the latest change that the writer knows of: a later one of the same features is then told even if
            it left them as they were.

        Returns
        -------
        The change, with the features as they were and as they are.

        Raises
        ------
        InputError
            A shape or value cannot be stored so, or nothing would change.
        ChangedElsewhere
            A feature is not any more as it was seen. Nothing is saved.
        LayerError
            There is no such layer or column.
        OutputError
            The file cannot be written.
        """
        named = [(edit.layer, int(edit.feature)) for edit in edits if not isinstance(edit, Created)]
        if len(set(named)) < len(named):
            raise InputError("a feature can be changed only once in one change")
        with connected(self.path, writing=True) as file:
            layers = stored_layers(file)
            edits = [replace(edit, layer=_layer(layers, edit.layer).name) for edit in edits]
            self._check(file, layers, edits, seen)
            history.begin_history(file)
            last = self._noted(file, layers, named)
            touched = {key: state for key in named if (state := read_feature(file, layers[key[0]], key[1]))}
            targets = [_target(layers, edit, touched) for edit in edits]
            return self._carry_out(file, layers, targets, Change(last.number + 1, "", who, what))

    def undo(self, who: str, seen: int | None = None) -> Change:
        """
        Take the latest change back that is not taken back yet; the taking back is a version of its own.

        Parameters
        ----------
        who
            By whom.
        seen
            Number of the latest change that the writer knows of; a later one is told instead of taken back.

        Raises
        ------
        InputError
            There is nothing to undo.
        ChangedElsewhere
            There are later changes, or features are not as the change left them. Nothing is saved.
        """
        with connected(self.path, writing=True) as file:
            last = self._current(file, seen)
            if not last.undoes:
                raise InputError("there is nothing to undo")
            before = history.change_before(file, last.undoes)
            new = Change(
                last.number + 1, "", who, "", history.UNDONE, last.undoes, undoes=before.undoes, redoes=last.undoes
            )
            return self._again(file, new, backwards=True)

    def redo(self, who: str, seen: int | None = None) -> Change:
        """Do again what was undone last. Parameters and errors as for `undo`."""
        with connected(self.path, writing=True) as file:
            last = self._current(file, seen)
            if not last.redoes:
                raise InputError("there is nothing to do again")
            undone = history.change_before(file, history.latest_undo_of(file, last.redoes))
            new = Change(
                last.number + 1, "", who, "", history.REDONE, last.redoes, undoes=last.redoes, redoes=undone.redoes
            )
            return self._again(file, new, backwards=False)

    def back_to(
        self, number: int, who: str, seen: int | None = None, layer: str | None = None, feature: int | None = None
    ) -> Change:
        """
        Bring everything, or one feature, back to what it was after a change; 0 for before the first one.

        What came after stays in the list of versions, and going back can be undone like any other change.

        Raises
        ------
        InputError
            There is no such change, or nothing is different now.
        ChangedElsewhere
            There are later changes, or features are not as the latest change left them. Nothing is saved.
        """
        with connected(self.path, writing=True) as file:
            last = self._current(file, seen)
            if not 0 <= number <= last.number:
                raise InputError(f"there is no change {number}; the latest is {last.number}")
            since = history.versions_since(file, number, layer, feature) if last.number else []
            layers = stored_layers(file)
            self._expect(file, layers, since)
            what = "back to the beginning" if number == 0 else f"back to change {number}"
            targets = [(version.layer, version.feature, version.before) for version in since]
            return self._carry_out(file, layers, targets, Change(last.number + 1, "", who, what, history.BACK, number))

    def history(
        self, layer: str | None = None, feature: int | None = None, most: int = 200, before: int | None = None
    ) -> list[Change]:
        """
        Changes, the latest first.

        Parameters
        ----------
        layer, feature
            Only those that touched a layer, or one feature of it.
        most, before
            No more than so many, and only those before a number: so a long list can be read page by page.
        """
        with connected(self.path) as file:
            return history.changes(file, layer, feature, most, before) if history.has_history(file) else []

    def since(self, number: int) -> list[Version]:
        """For each feature touched after a change what it was then, and what it is after the latest change."""
        with connected(self.path) as file:
            return history.versions_since(file, number) if history.has_history(file) else []

    def noticed(self) -> list[Version]:
        """
        What another program has changed since the features were handed out or last saved here: seen, and now.

        Features of layers that were not handed out are looked at where a change has touched them.
        """
        with connected(self.path) as file:
            return self._noticed(file, stored_layers(file))

    def take_in(self, who: str = ANOTHER) -> Change | None:
        """Keep what another program has changed as a version, so that it can be undone; None where there is nothing."""
        with connected(self.path, writing=True) as file:
            layers = stored_layers(file)
            found = self._noticed(file, layers)
            if not found:
                return None
            history.begin_history(file)
            return self._keep_foreign(file, layers, found, who)

    def _last(self, file: sqlite3.Connection) -> Change:
        return history.last_change(file) if history.has_history(file) else history.START

    def _current(self, file: sqlite3.Connection, seen: int | None) -> Change:
        """The latest change, if the writer has seen it."""
        last = self._last(file)
        if seen is not None and last.number != seen:
            since = history.versions_since(file, min(seen, last.number)) if last.number else []
            raise ChangedElsewhere(
                f"{self.path.name} has been changed meanwhile: change {last.number} is the latest, and {seen} was "
                "seen; look at what is there now, then try again",
                since,
            )
        return last

    def _check(
        self, file: sqlite3.Connection, layers: dict[str, StoredLayer], edits: Sequence[Edit], seen: int | None
    ) -> None:
        """Hold each feature that is to be changed against what the writer has seen."""
        kept = history.has_history(file)
        differences = []
        for edit in edits:
            if isinstance(edit, Created):
                continue
            layer, feature = layers[edit.layer], int(edit.feature)
            now = read_feature(file, layer, feature)
            later = kept and seen is not None and history.versions_since(file, seen, layer.name, feature)
            if now is not None and now.fingerprint == edit.fingerprint and not later:
                continue
            was = self._seen.get((layer.name, feature))
            if was is None or was.fingerprint != edit.fingerprint:
                was = history.state_called(file, layer.name, feature, edit.fingerprint) if kept else None
            differences.append(Version(layer.name, feature, was, now))
        self._tell(layers, differences)

    def _expect(self, file: sqlite3.Connection, layers: dict[str, StoredLayer], versions: Sequence[Version]) -> None:
        """See whether features still are what the versions left of them."""
        differences = []
        for version in versions:
            now = read_feature(file, _layer(layers, version.layer), version.feature)
            if _mark(now) != _mark(version.after):
                differences.append(Version(version.layer, version.feature, version.after, now))
        self._tell(layers, differences)

    def _tell(self, layers: dict[str, StoredLayer], differences: Sequence[Version]) -> None:
        if not differences:
            return
        measured = self._measured(layers, differences)
        said = [
            f"{one.layer} {one.feature} is gone"
            if one.after is None
            else f"{one.layer} {one.feature} is {one.gained_m2:+,.1f} m2"
            if one.before is not None
            else f"{one.layer} {one.feature} is another"
            for one in measured
        ]
        raise ChangedElsewhere(
            f"{self.path.name} has been changed elsewhere: {listed(said)}; nothing was overwritten. Look at what is "
            "there now, then try again",
            measured,
        )

    def _again(self, file: sqlite3.Connection, new: Change, *, backwards: bool) -> Change:
        """Bring features to what they were before or after an earlier change."""
        versions = history.versions_of(file, new.of or 0)
        if backwards:
            versions = [Version(one.layer, one.feature, one.after, one.before) for one in reversed(versions)]
        layers = stored_layers(file)
        self._expect(file, layers, [replace(one, after=one.before) for one in versions])
        what = next((one.what for one in history.changes(file, None, None, 1, (new.of or 0) + 1)), "")
        targets = [(one.layer, one.feature, one.after) for one in versions]
        return self._carry_out(file, layers, targets, replace(new, what=what))

    def _noted(
        self, file: sqlite3.Connection, layers: dict[str, StoredLayer], named: Sequence[tuple[str, int]]
    ) -> Change:
        """The latest change: what another program did to features since they were saved is one of its own."""
        foreign = []
        for name, feature in named:
            known, now = history.last_version(file, name, feature), read_feature(file, layers[name], feature)
            if known is not None and _mark(known.after) != _mark(now):
                foreign.append(Version(name, feature, known.after, now))
        return self._keep_foreign(file, layers, foreign, ANOTHER) if foreign else history.last_change(file)

    def _noticed(self, file: sqlite3.Connection, layers: dict[str, StoredLayer]) -> list[Version]:
        known: dict[tuple[str, int], State | None] = {}
        if history.has_history(file):
            known |= {(one.layer, one.feature): one.after for one in history.versions_since(file, 0)}
        handed_out = {name for name, _ in self._seen}
        known = {**self._seen, **known}
        found = []
        for name in dict.fromkeys(key[0] for key in known):
            states = read_features(file, layers[name]) if name in layers else {}
            own = {key[1] for key in known if key[0] == name} | (set(states) if name in handed_out else set())
            found += [
                Version(name, feature, known.get((name, feature)), states.get(feature))
                for feature in sorted(own)
                if _mark(known.get((name, feature))) != _mark(states.get(feature))
            ]
        return self._measured(layers, found)

    def _keep_foreign(
        self, file: sqlite3.Connection, layers: dict[str, StoredLayer], found: Sequence[Version], who: str
    ) -> Change:
        number = history.last_change(file).number + 1
        change = Change(
            number,
            history.this_moment(),
            who,
            "changed in another program",
            history.ELSEWHERE,
            versions=tuple(self._measured(layers, found)),
            undoes=number,
        )
        history.keep(file, change)
        self._remember(change)
        return change

    def _carry_out(
        self,
        file: sqlite3.Connection,
        layers: dict[str, StoredLayer],
        targets: Sequence[tuple[str, int | None, State | None]],
        new: Change,
    ) -> Change:
        """Bring features to the states wanted of them, and keep that as a change."""
        at, versions = history.this_moment(), []
        for name, number, wanted in targets:
            layer, feature = _layer(layers, name), number
            before = None if number is None else read_feature(file, layer, number)
            if number is not None and _mark(before) == _mark(wanted):
                continue
            if wanted is None and number is not None:
                remove_feature(file, layer, number)
            elif wanted is not None and (before is None or number is None):
                feature = insert_feature(file, layer, number, wanted)
            elif wanted is not None and number is not None and before is not None:
                rewrite_feature(file, layer, number, before, wanted)
            if feature is not None:
                versions.append(Version(name, feature, before, read_feature(file, layer, feature)))
        if not versions:
            raise InputError("there is nothing to save: all of it is as it was")
        for name in dict.fromkeys(one.layer for one in versions):
            _note(file, layers[name], at, [one for one in versions if one.layer == name])
        own = {"undoes": new.number, "redoes": 0} if new.does in (history.DONE, history.BACK) else {}
        change = replace(new, at=at, versions=tuple(self._measured(layers, versions)), **own)
        history.keep(file, change)
        self._remember(change)
        return change

    def _remember(self, change: Change) -> None:
        for one in change.versions:
            if one.after is None:
                self._seen.pop((one.layer, one.feature), None)
            else:
                self._seen[one.layer, one.feature] = one.after

    def _measured(self, layers: dict[str, StoredLayer], versions: Sequence[Version]) -> list[Version]:
        """Versions with their areas, all of a layer measured at once."""
        areas: dict[tuple[int, str], float | None] = {}
        for name in dict.fromkeys(one.layer for one in versions):
            crs = layers[name].crs if name in layers else None
            own = [(at, one) for at, one in enumerate(versions) if one.layer == name]
            ends = [(at, end, getattr(one, f"shape_{end}")) for at, one in own for end in ("before", "after")]
            ends = [(at, end, shape) for at, end, shape in ends if shape is not None]
            if crs is not None and ends:
                measured = self.area_m2(np.array([shape for _, _, shape in ends], dtype=object), crs)
                areas |= {(at, end): float(area) for (at, end, _), area in zip(ends, measured, strict=True)}
        return [
            replace(one, m2_before=areas.get((at, "before")), m2_after=areas.get((at, "after")))
            for at, one in enumerate(versions)
        ]


def _layer(layers: dict[str, StoredLayer], name: str) -> StoredLayer:
    if name not in layers:
        raise LayerError(f"there is no layer {name} that can be changed; there are {listed(list(layers), most=12)}")
    return layers[name]


def _mark(state: State | None) -> str:
    return "" if state is None else state.fingerprint


def _shape(state: State) -> Any:
    return None if state.wkb is None else shapely.from_wkb(state.wkb, on_invalid="ignore")


def _target(
    layers: dict[str, StoredLayer], edit: Edit, touched: dict[tuple[str, int], State]
) -> tuple[str, int | None, State | None]:
    """Which feature is to become what; no number for a new one, no state for one to be taken out."""
    layer = layers[edit.layer]
    if isinstance(edit, Deleted):
        return layer.name, int(edit.feature), None
    now = None if isinstance(edit, Created) else touched[layer.name, int(edit.feature)]
    if now is not None and edit.shape is None:
        wkb = now.wkb
    else:
        wkb = wkb_for(layer, _with_heights(layer, edit.shape, touched))
    values = {**(now.values if now else {}), **accepted(layer, edit.values)}
    kept = {name: value for name, value in values.items() if value is not None}
    return layer.name, None if isinstance(edit, Created) else int(edit.feature), State(wkb, kept)


def _with_heights(layer: StoredLayer, shape: Any, touched: dict[tuple[str, int], State]) -> Any:
    """A shape drawn on the plan, with heights if its layer has them: those of the corners that stay are kept."""
    if layer.heights == 0 or shape is None or shapely.is_empty(shape) or shapely.has_z(shape):
        return shape
    own = [_shape(state) for (name, _), state in touched.items() if name == layer.name]
    known = np.array([one for one in own if one is not None and shapely.has_z(one)], dtype=object)
    return lifted_like(shape, known) if len(known) or layer.heights == 1 else shape


def _note(file: sqlite3.Connection, layer: StoredLayer, at: str, versions: Sequence[Version]) -> None:
    """Enter a change into the table of contents of the file."""
    ends: tuple[list, list] = ([], [])
    for one in versions:
        for reached, state, other in zip(ends, (one.before, one.after), (one.after, one.before), strict=True):
            if state is not None and state.wkb is not None and (other is None or other.wkb != state.wkb):
                reach = bounds_of(blob_of(state.wkb, layer.srs_id))
                reached.extend([reach] if reach else [])
    note_contents(file, layer, at, *ends)
