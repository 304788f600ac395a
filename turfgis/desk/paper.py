"""The drawing in hand: the areas as they are saved, changed stroke by stroke, each of them a dated version."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any

from turfgis.desk.frame import look_of
from turfgis.errors import InputError, OutputError

if TYPE_CHECKING:
    from starlette.requests import Request

    from turfgis.desk.opened import Desk
    from turfgis.estimates.course import Course
    from turfgis.layers.history import Change, Version
    from turfgis.layers.versions import Edit, Store
    from turfgis.measure.as_drawn import AsDrawn, DrawnArea
    from turfgis.measure.strokes import Outcome
    from turfgis.measure.tentative import Attempts

MOST_TOLD = 500  # changes that a page may have missed before it gets the whole drawing again


@dataclass
class Saved:
    """
    What a change did.

    Attributes
    ----------
    change
        As it is kept.
    in_hand
        Keys of the areas that it was about.
    remark
        What is to be said of it; empty for nothing.
    """

    change: Change
    in_hand: tuple[str, ...]
    remark: str = ""


@dataclass
class Paper:
    """
    The areas of a course with the stores that keep them.

    Attributes
    ----------
    course
        As it was opened; the areas may have changed since.
    drawn
        The areas as they are saved now.
    stores
        By file, as layers name it.
    marks
        Key of an area -> fingerprint of what is stored, which a change is held against.
    stamp
        Of the files, when they were last read or written here.
    before
        The course as it was before the latest change, or before several of them that nobody looked at one by one.
    """

    course: Course
    drawn: AsDrawn
    stores: dict[str, Store]
    marks: dict[str, str] = field(default_factory=dict)
    stamp: Any = None
    before: Course | None = None
    _pending: dict[str, DrawnArea | None] = field(default_factory=dict)
    _attempts: Attempts | None = None
    _now: Course | None = None
    _told: deque[tuple[str, int, frozenset[str]]] = field(default_factory=lambda: deque(maxlen=MOST_TOLD))

    @property
    def attempts(self) -> Attempts:
        """The course as it is drawn now, for strokes to be tried out on."""
        from turfgis.measure.tentative import Attempts

        if self._attempts is None:
            self._attempts = Attempts(self.course.drawing, self.course.measured, self.drawn)
        if self._pending:
            pending, self._pending = self._pending, {}
            self._attempts = Attempts(self.course.drawing, self._attempts.whole(pending), self.drawn)
        return self._attempts

    def course_now(self) -> Course:
        """The course on the ground as it is drawn now."""
        measured = self.attempts.measured
        if self._now is None or self._now.measured is not measured:
            same = measured is self.course.measured
            self._now = self.course if same else self.course.with_measured(measured)
        return self._now

    def version(self) -> dict[str, int]:
        """Number of the latest change in each file: what a page says that it has seen."""
        return {file: store.number for file, store in self.stores.items()}

    def missed(self, seen: Mapping[str, int]) -> set[str] | None:
        """Keys of areas that changed after what a page has seen; None where it is better told the whole drawing."""
        now = self.version()
        behind = {file: number for file, number in now.items() if seen.get(file, -1) < number}
        known = [(file, number, keys) for file, number, keys in self._told if number > seen.get(file, -1)]
        if any(sum(one == file for one, *_ in known) < number - seen.get(file, -1) for file, number in behind.items()):
            return None
        return {key for *_, keys in known for key in keys}

    def save(self, made: Outcome, who: str, what: str, seen: Mapping[str, int]) -> Saved:
        """
        Keep what a stroke makes of the areas.

        Parameters
        ----------
        made
            The outcome of the stroke.
        who, what
            By whom, and what it is.
        seen
            Numbers of the latest changes that the writer knows of.

        Raises
        ------
        InputError
            It reaches into several files at once, or nothing would change.
        ChangedElsewhere
            One of the areas is not any more as it was seen; nothing is saved.
        """
        files = {self._file(key, area) for key, area in made.changed.items()}
        if len(files) > 1:
            raise InputError(f"this would change {' and '.join(sorted(files))} at once; work in one of them at a time")
        (file,) = files or {""}
        if file not in self.stores:
            raise InputError(f"{file or 'this'} is no GeoPackage and is not written to")
        fresh = [key for key, area in made.changed.items() if key not in self.drawn.areas and area is not None]
        edits = [self._edit(key, area) for key, area in made.changed.items() if area is None or key not in fresh]
        edits += [self._edit(key, made.changed[key]) for key in fresh]
        change = self.stores[file].change(edits, who, what, seen.get(file))
        self._absorb(file, change)
        created = [self._key(file, one) for one in change.versions if one.before is None]
        named = dict(zip(fresh, created, strict=False))
        return Saved(change, tuple(named.get(key, key) for key in made.in_hand))

    def again(self, do: Callable[[Store, int | None], Change], seen: Mapping[str, int]) -> Saved:
        """Undo, redo or go back in the file that was changed last."""
        from turfgis.layers.history import START

        latest = {file: next(iter(store.history(most=1)), START) for file, store in self.stores.items()}
        if not latest:
            raise InputError("there is nothing to undo: no layer of the course lies in a GeoPackage")
        file = max(latest, key=lambda one: latest[one].at)
        change = do(self.stores[file], seen.get(file))
        keys = self._absorb(file, change)
        return Saved(change, tuple(key for key in keys if key in self.drawn.areas))

    def back(self, file: str, number: int, who: str, seen: int | None) -> Saved:
        """Bring the areas of a file back to what they were after a change; 0 for before the first."""
        change = self.stores[file].back_to(number, who, seen)
        keys = self._absorb(file, change)
        return Saved(change, tuple(key for key in keys if key in self.drawn.areas))

    def can(self) -> dict[str, bool]:
        """Whether there is something to undo, and something to do again."""
        from turfgis.layers.history import START

        latest = [next(iter(store.history(most=1)), START) for store in self.stores.values()]
        last = max(latest, key=lambda one: one.at, default=START)
        return {"undo": bool(last.undoes), "redo": bool(last.redoes)}

    def _file(self, key: str, area: DrawnArea | None) -> str:
        return self.drawn.layers[(area or self.drawn[key]).layer].note.file

    def _key(self, file: str, one: Version) -> str:
        layer = next(at for at, each in enumerate(self.drawn.layers) if _is(each, file, one.layer))
        return f"{self.drawn.layers[layer].drawn.file} | {one.layer} | {one.feature}"

    def _edit(self, key: str, area: DrawnArea | None) -> Edit:
        from turfgis.layers.versions import Altered, Created, Deleted

        old = self.drawn.areas.get(key)
        named = self.drawn.layers[(area or self.drawn[key]).layer].drawn.layer
        if area is None:
            return Deleted(named, int(self.drawn[key].feature), self.marks.get(key, ""))
        if old is None:
            return Created(named, area.raw, self._values(area, None))
        return Altered(named, int(old.feature), self.marks.get(key, ""), area.raw, self._values(area, old))

    def _values(self, area: DrawnArea, old: DrawnArea | None) -> dict[str, Any]:
        """What is to stand in the columns of the layer; only what differs."""
        columns = self.drawn.columns(area.layer)
        said: dict[str, Any] = {}
        if "surface" in columns and (old is None or old.surface != area.surface):
            said[columns["surface"]] = self.drawn.written_as(area.layer, area.surface)
        for what in ("hole", "name"):
            new, was = getattr(area, what) or None, (getattr(old, what) or None) if old else None
            if what in columns and new != was:
                said[columns[what]] = self._fitting(area.layer, columns[what], new)
            elif what not in columns and new != was and old is not None:
                raise InputError(f"the layer {self.drawn.layers[area.layer].drawn.layer} has no column for the {what}")
        return said

    def _fitting(self, layer: int, column: str, value: str | None) -> Any:
        """A value as its column takes it: some keep holes as numbers."""
        one = self.drawn.layers[layer]
        declared = self.stores[one.note.file].layers()[one.drawn.layer].columns.get(column, "TEXT").upper()
        if value is None or not any(word in declared for word in ("INT", "REAL", "DOUB", "FLOA", "NUM")):
            return value
        if not value.isdigit():
            raise InputError(f"the column {column} takes numbers only, and '{value}' is none")
        return int(value)

    def _absorb(self, file: str, change: Change) -> list[str]:
        """Take over what a change left."""
        if not self._pending:
            self.before = self.course_now()
        keys = []
        for one in change.versions:
            at = next((at for at, each in enumerate(self.drawn.layers) if _is(each, file, one.layer)), None)
            if at is None:  # a layer of the file that the course does not use
                continue
            key = self._key(file, one)
            keys.append(key)
            area = None if one.after is None else self._area(at, key, one)
            if area is None:
                self.drawn.areas.pop(key, None)
                self.marks.pop(key, None)
            else:
                self.drawn.areas[key] = area
                self.marks[key] = one.after.fingerprint if one.after else ""
            self._pending[key] = area
        self._told.append((file, change.number, frozenset(keys)))
        return keys

    def _area(self, layer: int, key: str, one: Version) -> DrawnArea | None:
        """An area as a version left it; None where it names no surface any more."""
        from turfgis.layers.words import hole_text
        from turfgis.measure.as_drawn import DrawnArea

        assert one.after is not None
        values, columns = one.after.values, self.drawn.columns(layer)
        note, old = self.drawn.layers[layer].note, self.drawn.areas.get(key)
        said = values.get(columns["surface"]) if "surface" in columns else None
        surface = note.surfaces.get(str(said), said) if said is not None else note.surface or (old and old.surface)
        if surface not in self.course.drawing.order or one.shape_after is None:
            return None
        hole = hole_text(values.get(columns["hole"])) if "hole" in columns else None
        name = str(values.get(columns["name"]) or "") if "name" in columns else ""
        area = DrawnArea(key, layer, str(one.feature), None, None, str(surface), hole, name)
        return self.drawn.with_raw(area, one.shape_after)


def paper_on(desk: Desk) -> Paper:
    """
    The drawing on the desk; read anew where a file was written by somebody else.

    What another program did to the layers meanwhile is kept as a version, and told to whoever saw them before.
    """
    with desk.lock:
        paper: Paper | None = desk.paper
        if paper is None or paper.stamp != desk.stamp:
            paper = desk.paper = _read(desk, paper.stores if paper else {})
        return paper


def shown_in(request: Request, paper: Paper) -> tuple[str, str]:
    """Units and language for whoever asks, without opening the course anew after each stroke."""
    look = look_of(request)
    return look.units or paper.course.units, look.language


def forget(desk: Desk) -> None:
    """Have the drawing read anew when it is next asked for."""
    with desk.lock:
        if desk.paper is not None:
            desk.paper.stamp = None


def _read(desk: Desk, stores: dict[str, Store]) -> Paper:
    from turfgis.layers.versions import Store
    from turfgis.measure.as_drawn import EDITABLE, read_as_drawn
    from turfgis.measure.stored import ground_m2

    course = desk.course
    drawn = read_as_drawn(course.measured.layers, course.measured.frame)
    files = {one.note.file for one in drawn.layers if one.note.file.lower().endswith(EDITABLE)}
    kept = {}
    for file in sorted(files):
        kept[file] = stores.get(file) or Store.open(Path(course.drawing.folder) / file, ground_m2)
        _take_in(kept[file])
    paper = Paper(course, drawn, kept)
    for at, layer in enumerate(drawn.layers):
        if layer.note.file in kept and drawn.editable(at):
            _mark(paper, at, kept[layer.note.file])
    paper.stamp = desk.stamp
    return paper


def _take_in(store: Store) -> None:
    """Keep what another program changed; in a file that cannot be written to nothing can be overwritten either."""
    try:
        store.take_in()
    except OutputError:
        return


def _mark(paper: Paper, layer: int, store: Store) -> None:
    """Fingerprints of the areas of a layer, and their shapes with heights where these are stored."""
    from dataclasses import replace

    named = paper.drawn.layers[layer].drawn
    table = store.shapes(named.layer)
    for feature, mark, raw in zip(table["feature"], table["fingerprint"], table.geometry, strict=True):
        key = f"{named.file} | {named.layer} | {feature}"
        if key in paper.drawn.areas:
            paper.marks[key] = mark
            paper.drawn.areas[key] = replace(paper.drawn.areas[key], raw=raw)


def _is(layer: Any, file: str, name: str) -> bool:
    return (layer.note.file, layer.drawn.layer) == (file, name)
