"""What others did to the drawing since a page last looked: another window, or another program."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING

from turfgis.desk.figures import measure_text
from turfgis.desk.words import said

if TYPE_CHECKING:
    from turfgis.desk.paper import Paper
    from turfgis.layers.history import Change, Version


def other_files(paper: Paper) -> dict[str, str]:
    """
    Files of the course that keep no versions, such as its settings: name -> another text whenever one is written.

    A GeoPackage with its journals is left out: the number of its latest change tells more than when it was written.
    """
    stored = tuple(Path(file).name for file in paper.stores)
    return {
        Path(file).name: f"{written_ns:x}-{size:x}"
        for file, written_ns, size in paper.stamp or ()
        if not Path(file).name.startswith(stored or ("/",))
    }


def missed_lines(
    paper: Paper, seen: Mapping[str, int], files: Mapping[str, str], units: str, language: str
) -> list[str]:
    """
    What a page does not know of yet: a line for each area, and one for each file without versions.

    Parameters
    ----------
    paper
        The drawing as it is saved now.
    seen, files
        Numbers of the latest changes, and the files without versions, as the page knows them.
    units, language
        How it is told.
    """
    lines = []
    for file, store in paper.stores.items():
        known, number = seen.get(file, 0), store.number
        if known < number:
            lines += difference_lines(paper, store.since(known), units, language)
        elif known > number:
            lines.append(said("{file} is an earlier one than this page has seen", language, file=file))
    now = other_files(paper)
    written = [name for name in {**now, **files} if now.get(name) != files.get(name)]
    return [*lines, *(said("{file} was written anew", language, file=name) for name in written)]


def difference_lines(paper: Paper, differences: Iterable[Version], units: str, language: str) -> list[str]:
    """Who changed what, and by how much: a line for each area."""

    def area(m2: float | None) -> str:
        return "–" if m2 is None else measure_text(m2, "area", units, language)

    lines = []
    for one in differences:
        latest = _latest(paper, one.layer, one.feature)
        who = (
            f"{change_said(latest, language)} ({latest.who}, {latest.at[:16].replace('T', ' ')} UTC); "
            if latest
            else ""
        )
        lines.append(f"{one.layer} {one.feature}: {who}{area(one.m2_before)} → {area(one.m2_after)}")
    return lines


def change_said(one: Change, language: str) -> str:
    """A change in words: what was done, undone or gone back to."""
    done, colon, rest = one.what.partition(": ")
    what = f"{said(done, language)}{colon}{rest}" or said("change {number}", language, number=one.of or one.number)
    return what if one.does == "done" else f"{said(one.does, language)}: {what}"


def _latest(paper: Paper, layer: str, feature: int) -> Change | None:
    for store in paper.stores.values():
        if layer in store.layers():
            return next(iter(store.history(layer, feature, most=1)), None)
    return None
