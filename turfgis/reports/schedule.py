"""Holes down, surfaces across: what the printed schedule and the workbook share."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from turfgis.reports.tables import NO_HOLE, Row, areas_rows, areas_totals, part_of

if TYPE_CHECKING:
    import pandas as pd


@dataclass(frozen=True)
class Line:
    """
    One line of a schedule: a hole, or the sum of several.

    Attributes
    ----------
    label
        The hole, or the name of the sum.
    nets_m2
        Net area of each surface that is there.
    net_m2, plus_minus_m2
        All surfaces together. [m2]
    """

    label: str
    nets_m2: dict[str, float]
    net_m2: float
    plus_minus_m2: float


@dataclass(frozen=True)
class Part:
    """A part of the course: its holes in the order of play, and their sum."""

    holes: list[Line]
    total: Line


@dataclass(frozen=True)
class Schedule:
    """
    The whole course.

    Attributes
    ----------
    surfaces
        One row for each surface in the order of the pile, as :func:`turfgis.reports.tables.areas_rows` gives it.
    parts
        Front nine, back nine, further nines, other holes, practice, and what belongs to no hole.
    total
        Their sum.
    """

    surfaces: list[Row]
    parts: list[Part]
    total: Line


def area_schedule(patches: "pd.DataFrame", order: Sequence[str] | None = None) -> Schedule:
    """
    The schedule of a course.

    Parameters
    ----------
    patches, order
        As for :func:`turfgis.reports.tables.areas_rows`.
    """
    surfaces = areas_rows(patches, "surface", order)
    holes = _lines(areas_rows(patches, "hole", order), areas_rows(patches.assign(surface="all"), "hole"), "hole")
    *part_totals, whole = areas_totals(patches)
    sums = _lines(areas_rows(patches, "part", order), part_totals, "part")
    members: dict[str, list[Line]] = {line.label: [] for line in sums}
    for line in holes:
        members[part_of(None if line.label == NO_HOLE else line.label)].append(line)
    return Schedule(
        surfaces,
        [Part(members[line.label], line) for line in sums],
        Line(
            "total",
            {row["surface"]: row["net_m2"] for row in surfaces},
            whole["net_m2"],
            whole["plus_minus_m2"],
        ),
    )


def _lines(by_surface: list[Row], together: list[Row], key: str) -> list[Line]:
    """Rows of one surface each, gathered under the row of all surfaces together."""
    nets: dict[object, dict[str, float]] = {}
    for row in by_surface:
        nets.setdefault(row[key], {})[row["surface"]] = row["net_m2"]
    return [
        Line(NO_HOLE if row[key] is None else str(row[key]), nets[row[key]], row["net_m2"], row["plus_minus_m2"])
        for row in together
    ]
