"""Surveys of one course at different times, and what changed from the first to the last of them."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd

from turfgis.errors import LayerError, SettingsError
from turfgis.estimates.course import Course, open_course, survey_words
from turfgis.formulas.drift import trend
from turfgis.layers.drawing import Drawing, LayerNote
from turfgis.measure.accuracy import COVERAGE_95
from turfgis.measure.drift import Drift, measure_drift
from turfgis.measure.matching import ONE_SIDED
from turfgis.measure.patches import measure_course
from turfgis.measure.surveys import Survey

DAYS_A_YEAR = 365.2425  # mean Gregorian year


@dataclass(frozen=True)
class Comparison:
    """
    What changed since an earlier survey.

    Attributes
    ----------
    course
        The course of the newest survey.
    surveys
        All surveys compared, the oldest first.
    drift
        The oldest against the newest.
    changes
        Its rows, and what the days of the surveys add: ``surveys`` (how many have the patch), ``years``,
        ``rate_m2_year``, ``rate_plus_minus_m2_year`` and ``retreat_m_year``.
    totals
        Its sums by surface, with ``rate_m2_year`` and ``rate_plus_minus_m2_year`` where two surveys have a day each.
    """

    course: Course
    surveys: tuple[Survey, ...]
    drift: Drift
    changes: pd.DataFrame
    totals: pd.DataFrame

    @property
    def days(self) -> tuple[str, str]:
        """Days of the oldest and the newest survey, in words."""
        first, last = (survey_words(self.changes[name].dropna().tolist()) for name in ("old_surveyed", "new_surveyed"))
        return first, last


def open_surveys(
    paths: Sequence[Path],
    *,
    surveyed: Sequence[date] = (),
    accuracy: Sequence[float] = (),
    crs: str | None = None,
) -> tuple[Course, list[tuple[str, Drawing]]]:
    """
    The surveys that are meant, the oldest first; nothing is measured yet.

    Parameters
    ----------
    paths
        Two or more course folders, settings files or vector files, the oldest first; or one course whose settings hold
        layers of an earlier survey (``role = "earlier"``), or layers of one surface with different ``surveyed``.
    surveyed, accuracy
        Day, and standard deviation of the edge [m], of each bare vector file, in their order. A file that the settings
        of another of the courses describe needs neither.
    crs
        For vector files that do not say their reference system.

    Returns
    -------
    The course of the newest survey, and title and drawing of each.

    Raises
    ------
    LayerError, SettingsError
        A path cannot be used, there is one survey only, or days and accuracies do not fit the files.
    """
    bare = [path.suffix.lower() != ".toml" and not _has_settings(path) for path in paths]
    known = _known_files([path for path, plain in zip(paths, bare, strict=True) if not plain])
    unsaid = [plain and path.resolve() not in known for path, plain in zip(paths, bare, strict=True)]
    for option, given in (("--surveyed", surveyed), ("--accuracy", accuracy)):
        if given and len(given) != sum(unsaid):
            raise SettingsError(
                f"{option}: given for {len(given)}, but {sum(unsaid)} of the surveys come as files without settings; "
                "give it once for each of those, in their order (a course says it in its settings)"
            )
    if crs is not None and not any(unsaid):
        raise SettingsError("--crs is for files without settings, and there is none among these")
    days, widths = iter(surveyed), iter(accuracy)
    courses, found = [], []
    for path, plain in zip(paths, unsaid, strict=True):
        if plain:
            course = open_course(path, crs=crs)
            drawing = _dated(course.drawing, next(days, None), next(widths, None))
            course = replace(course, drawing=drawing)
        elif path.resolve() in known:
            course, notes = known[path.resolve()]
            drawing = _only(course.drawing, notes)
        else:
            course = open_course(path)
            drawing = _today(course.drawing)
        courses.append(course)
        found.append((_title(path, drawing), drawing))
    if len(paths) == 1:
        found = surveys_of(courses[0])
    return courses[-1], found


def _has_settings(path: Path) -> bool:
    return path.is_dir() and (path / "course.toml").exists()


def _known_files(paths: Sequence[Path]) -> dict[Path, tuple[Course, list[LayerNote]]]:
    """Files of earlier surveys that settings describe, and what they say of them."""
    known: dict[Path, tuple[Course, list[LayerNote]]] = {}
    for course in map(open_course, paths):
        for note in course.drawing.layers:
            if note.role == "earlier":
                file = (course.drawing.folder / note.file).resolve()
                known.setdefault(file, (course, []))[1].append(note)
    return known


def _dated(drawing: Drawing, day: date | None, accuracy: float | None) -> Drawing:
    """A drawing of one file, with what an option says of it."""
    (note,) = drawing.layers
    return replace(drawing, layers=(replace(note, surveyed=day and day.isoformat(), accuracy_m=accuracy),))


def _only(drawing: Drawing, notes: Sequence[LayerNote]) -> Drawing:
    """Some of the areas, as a drawing of today, with the hole lines and without strips that nobody surveyed."""
    lines = tuple(note for note in drawing.layers if note.role == "hole_lines")
    return replace(drawing, layers=(*(replace(note, role="areas") for note in notes), *lines), strips=())


def _today(drawing: Drawing) -> Drawing:
    return replace(drawing, layers=tuple(note for note in drawing.layers if note.role != "earlier"))


def surveys_of(course: Course) -> list[tuple[str, Drawing]]:
    """
    The surveys that the settings of one course hold, the oldest first: title and drawing of each.

    Raises
    ------
    SettingsError
        There is one only.
    """
    path, notes = course.path, course.drawing.layers
    earlier = [note for note in notes if note.role == "earlier"]
    dated = earlier or [note for note in notes if note.role == "areas" and note.surveyed]
    days = sorted({note.surveyed for note in dated if note.surveyed})
    drawings = [_only(course.drawing, [note for note in dated if note.surveyed == day]) for day in days]
    if earlier:
        drawings.append(_today(course.drawing))
    if len(drawings) < 2:
        raise SettingsError(
            f"{path}: holds one survey only. Name the older one before it, or add it to the settings as a [[layer]] "
            'with role = "earlier" and the day it was surveyed'
        )
    return [(_title(path, drawing), drawing) for drawing in drawings]


def _title(path: Path, drawing: Drawing) -> str:
    days = sorted({note.surveyed for note in drawing.layers if note.role == "areas" and note.surveyed})
    return f"{path.name or path} of {survey_words(days)}" if days else str(path.name or path)


def compare_surveys(course: Course, found: Sequence[tuple[str, Drawing]]) -> Comparison:
    """
    What changed from the first survey to the last.

    Parameters
    ----------
    course, found
        As :func:`open_surveys` gives them.

    Raises
    ------
    LayerError
        Surveys cannot be measured, lie apart, have no surface in common, or are given in the wrong order.
    """
    *older, (title, drawing) = found
    itself = drawing == _today(course.drawing)
    newest = Survey(title, drawing, course.measured if itself else measure_course(drawing))
    surveys = (*(Survey(one, drawn, measure_course(drawn, newest.measured.frame)) for one, drawn in older), newest)
    drifts = [measure_drift(older, surveys[-1]) for older in surveys[:-1]]
    for drift, older in zip(drifts, surveys, strict=False):
        days = zip(drift.changes["old_surveyed"], drift.changes["new_surveyed"], strict=True)
        if any(isinstance(was, str) and isinstance(now, str) and was > now for was, now in days):
            raise LayerError(f"{older.title} is newer than {surveys[-1].title}; name the older survey first")
    changes = _with_rates(drifts)
    return Comparison(course, surveys, drifts[0], changes, _yearly(drifts, changes))


def _with_rates(drifts: Sequence[Drift]) -> pd.DataFrame:
    """The changes since the oldest survey, with the trend of all surveys that have the same patches."""
    changes = drifts[0].changes.copy()
    others = [drift.changes[~drift.changes["match"].isin(ONE_SIDED)].set_index("patch") for drift in drifts[1:]]
    rates = pd.DataFrame([_rate(row, others) for row in changes.to_dict("records")], index=changes.index)
    changes[rates.columns] = rates
    changes["retreat_m_year"] = -changes["rate_m2_year"] / changes["mean_edge_m"]
    return changes


def _yearly(drifts: Sequence[Drift], changes: pd.DataFrame) -> pd.DataFrame:
    """The sums by surface, and what they come to in a year; of more than two surveys only the patches tell that."""
    totals = drifts[0].totals.copy()
    both = changes[~changes["match"].isin(ONE_SIDED)]
    years = np.full(len(totals), np.nan)
    for at, surface in enumerate(totals["surface"]):
        spans = both.loc[both["surface"] == surface, "years"].to_numpy(dtype=float)
        if len(drifts) == 1 and np.ptp(spans) == 0:
            years[at] = spans[0]
    for name, figure in (("rate_m2_year", "net_m2"), ("rate_plus_minus_m2_year", "plus_minus_m2")):
        totals[name] = totals[figure].to_numpy() / years
    return totals


def _rate(row: dict, others: Sequence[pd.DataFrame]) -> dict[str, Any]:
    seen = [
        (row["old_surveyed"], row["old_m2"], row["u_old_m2"]),
        (row["new_surveyed"], row["new_m2"], row["u_new_m2"]),
    ]
    for other in others:
        if row["patch"] in other.index:
            seen.append(tuple(other.loc[row["patch"], ["old_surveyed", "old_m2", "u_old_m2"]]))
    told = {"surveys": len(seen), "years": np.nan, "rate_m2_year": np.nan, "rate_plus_minus_m2_year": np.nan}
    if row["match"] in ONE_SIDED:
        return told | {"surveys": 1}
    days = [one[0] for one in seen]
    if not all(isinstance(day, str) for day in days):
        return told
    times = np.array([date.fromisoformat(day).toordinal() / DAYS_A_YEAR for day in days])
    if np.ptp(times) == 0:
        return told
    told["years"] = float(times[1] - times[0])
    areas, sd = (np.array([one[at] for one in seen], dtype=float) for at in (1, 2))
    slope, slope_sd = trend(times, areas, np.maximum(sd, 1e-6))
    return told | {"rate_m2_year": slope, "rate_plus_minus_m2_year": COVERAGE_95 * slope_sd}
