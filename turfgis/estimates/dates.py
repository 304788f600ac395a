"""A course as its ground was surveyed on a day: an earlier survey in the place of today's."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from turfgis.errors import SettingsError
from turfgis.estimates.course import Course
from turfgis.layers.drawing import LayerNote


def course_on(course: Course, day: date) -> Course:
    """
    The course as the newest survey on or before a day has it, under the settings of today.

    Parameters
    ----------
    course
        A course whose settings hold layers of an earlier survey (``role = "earlier"``).
    day
        The day.

    Returns
    -------
    The course with, for each surface that was surveyed more than once, the survey that held on the day. All else is as
    it is today.

    Raises
    ------
    SettingsError
        No surface was surveyed more than once, a survey has no day, or the first one is later.
    """
    file, notes = course.path.name, course.drawing.layers
    earlier = [note for note in notes if note.role == "earlier"]
    if not earlier:
        raise SettingsError(
            f"{file}: holds one survey only, so two days have the same ground. Add the older survey as a [[layer]] "
            'with role = "earlier" and the day it was surveyed, or name two courses'
        )
    kept: list[LayerNote] = [note for note in notes if note.role != "earlier"]
    for what in dict.fromkeys(map(_what, earlier)):
        today = [note for note in kept if note.role == "areas" and _what(note) == what]
        surveys = [note for note in (*earlier, *today) if _what(note) == what]
        held = _held(file, what, surveys, day)
        kept = [note for note in kept if note not in today]
        kept += [replace(note, role="areas") for note in surveys if note.surveyed == held]
    return Course(course.path, replace(course.drawing, layers=tuple(kept)), course.settings)


def _what(note: LayerNote) -> str:
    """What a layer is a survey of: its surface, or the surfaces that its column names."""
    return note.surface or " and ".join(sorted(set(note.surfaces.values()))) or note.layer or note.file


def _held(file: str, what: str, surveys: list[LayerNote], day: date) -> str:
    """Day of the newest survey that is not later than a day, as ISO text."""
    days: list[str] = []
    for note in surveys:
        if note.surveyed is None:
            raise SettingsError(
                f"{file}: the layer {note.layer or note.file} ({what}) was surveyed more than once, but does not say "
                "when; add surveyed = 2026-03-14 or so to it"
            )
        days.append(note.surveyed)
    before = [one for one in days if one <= day.isoformat()]
    if not before:
        raise SettingsError(f"{file}: no survey of {what} by {day.isoformat()}; the first is of {min(days)}")
    return max(before)
