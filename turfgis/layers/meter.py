"""Readings of the water meter, and the log of what was applied: rows of a CSV file or a workbook."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import numpy as np

from turfgis.errors import InputError
from turfgis.layers.findings import Finding, counted, listed
from turfgis.layers.records import Row, cell_day, cell_text, read_tables
from turfgis.units import read_number

METER_HEADINGS = {
    "date": "the day, as 2027-03-14 or 14.03.2027",
    "reading_m3": "what the meter shows, in cubic metres",
    "note": "anything",
}
LOG_HEADINGS = {
    "date": "the day whose evening or night it was, as 2027-03-14 or 14.03.2027",
    "surface": "the surface, as the settings call it",
    "depth_mm": "depth let out over the watered ground of the surface, as a mean, in mm; or in place of it",
    "volume_m3": "what was let out on the surface, in m3",
    "note": "anything",
}
NEW_METER = 0.1  # a reading below a tenth of the one before is a new meter, or one that went round


@dataclass(frozen=True, eq=False)
class Meter:
    """
    What went through the meter.

    Attributes
    ----------
    file
        Where it was read.
    days
        Days on which it was read, in order. Shape (r,), datetime64[D].
    used_m3
        What had gone through since the first of them. Shape (r,), never falling.
    findings
        What there is to say about it.
    """

    file: str
    days: np.ndarray
    used_m3: np.ndarray
    findings: tuple[Finding, ...]

    def between(self, first: np.datetime64, last: np.datetime64) -> float:
        """
        Used from the morning of one day to the evening of another, as far as it was read. [m3]

        Between two readings the use is shared out evenly over the days. A reading stands for the evening of its day.
        """
        ends = np.array([first - np.timedelta64(1, "D"), last]).astype(float)
        return float(np.diff(np.interp(ends, self.days.astype(float), self.used_m3))[0])

    def daily(self, first: np.datetime64, last: np.datetime64) -> np.ndarray:
        """Used on each day from one to another, as a mean of the days between readings; nan where none was read."""
        days = np.arange(first - np.timedelta64(1, "D"), last + np.timedelta64(1, "D")).astype(float)
        at = np.interp(days, self.days.astype(float), self.used_m3, left=np.nan, right=np.nan)
        return np.diff(at)


def read_meter(path: Path) -> Meter:
    """
    Read a CSV file or workbook with columns ``date`` and ``reading_m3``.

    Parameters
    ----------
    path
        The file.

    Returns
    -------
    What went through it. Of two readings of a day the higher counts; one lower than the one before is left out, unless
    it is so much lower that a new meter must have been fitted.

    Raises
    ------
    LayerError
        It cannot be read: one line for each cell.
    """
    readings, remarks = read_tables([path], METER_HEADINGS, ("date", "reading_m3"), _reading, "each reading")
    readings.sort(key=lambda one: one[0])
    found = [Finding("note", "reader_remark", path.name, "", "", one) for one in remarks]
    kept: list[tuple[np.datetime64, float]] = []
    total, before = 0.0, None
    backwards, repeated, began = [], [], []
    for day, shown in readings:
        if before is not None and shown < before:
            if shown >= NEW_METER * before:
                backwards.append(f"{day}: {shown:g} after {before:g}")
                continue
            began.append(f"{day}: {shown:g} after {before:g}")
            total += shown
        elif before is not None:
            total += shown - before
        before = shown
        if kept and kept[-1][0] == day:
            repeated.append(str(day))
            kept.pop()
        kept.append((day, total))
    for level, code, days, said in (
        ("warning", "meter_backwards", backwards, "is lower than the one before and was left out"),
        ("warning", "meter_new", began, "is far below the one before: taken as a new meter that began at nothing, so "
         "that what ran between the last reading of the old one and its end is not counted"),
        ("note", "meter_repeat", repeated, "is one of several on a day; the highest counts"),
    ):  # fmt: skip
        if days:
            text = f"{counted(len(days), 'reading')} of the meter ({listed(days, 3)}): each {said}."
            found.append(Finding(level, code, path.name, "", days[0].split(":")[0], text))
    return Meter(path.name, np.array([day for day, _ in kept]), np.array([one for _, one in kept]), tuple(found))


def _reading(row: Row, problems: list[str]) -> tuple[np.datetime64, float] | None:
    day = _day(row, problems)
    shown = _amount(row, "reading_m3", problems)
    if shown is None and not cell_text(row.cells["reading_m3"]):
        problems.append(f"{row.at('reading_m3')}: the reading is missing; write what the meter shows, in m3")
    return None if day is None or shown is None else (day, shown)


@dataclass(frozen=True)
class Applied:
    """
    What was let out on a surface on a day.

    Attributes
    ----------
    day, surface
        As written.
    depth_m, volume_m3
        One of the two; the other None.
    """

    day: np.datetime64
    surface: str
    depth_m: float | None
    volume_m3: float | None


def read_applied(path: Path) -> list[Applied]:
    """
    Read a log of watering, with columns ``date``, ``surface`` and ``depth_mm`` or ``volume_m3``.

    Parameters
    ----------
    path
        CSV file or workbook.

    Returns
    -------
    Its rows.

    Raises
    ------
    LayerError
        It cannot be read: one line for each cell.
    """
    return read_tables([path], LOG_HEADINGS, ("date", "surface"), _applied, "each watering of a surface")[0]


def _applied(row: Row, problems: list[str]) -> Applied | None:
    before, day = len(problems), _day(row, problems)
    surface = cell_text(row.cells["surface"])
    if not surface:
        problems.append(f"{row.at('surface')}: the surface is missing; write it as the settings call it")
    depth, volume = _amount(row, "depth_mm", problems), _amount(row, "volume_m3", problems)
    if (depth is None) == (volume is None) and len(problems) == before:
        problems.append(f"{row.at('depth_mm')}: write either depth_mm or volume_m3")
    if len(problems) > before or day is None:
        return None
    return Applied(day, surface, None if depth is None else depth / 1000, volume)


def _day(row: Row, problems: list[str]) -> np.datetime64 | None:
    try:
        return np.datetime64(cell_day(row.cells["date"]), "D")
    except InputError as error:
        problems.append(f"{row.at('date')}: {error}")
        return None


def _amount(row: Row, column: str, problems: list[str]) -> float | None:
    cell = row.cells.get(column)
    text = cell_text(cell)
    if not text or isinstance(cell, bool):
        return None
    try:
        number = float(cell) if isinstance(cell, int | float) else read_number(text)
    except InputError as error:
        problems.append(f"{row.at(column)}: {error}")
        return None
    if not 0 <= number < 1e12:
        problems.append(f"{row.at(column)}: {number:g} is {'below zero' if number < 0 else 'too large'}; correct it")
        return None
    return number
