"""The days of a course's water: weather measured, foretold or supposed, and what the log says was applied."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from turfgis.errors import LayerError, SettingsError
from turfgis.estimates.evaporation import Reference, estimate_reference
from turfgis.layers.findings import Finding, listed
from turfgis.layers.meter import Applied
from turfgis.layers.weather import Weather, read_weather

if TYPE_CHECKING:
    from turfgis.estimates.course import Course
    from turfgis.estimates.water import Watered
    from turfgis.settings.water import WaterSetting

WEEK = 7
MEASURED, FORETOLD, SUPPOSED = "measured", "forecast", "supposed"
A_DAY = np.timedelta64(1, "D")


def read_or_tell(folder: Path, name: str | None, read, code: str, findings: list[Finding]):
    """What a file of the settings holds; None where none is named, or where it cannot be read, which is a finding."""
    if name is None:
        return None
    try:
        return read(folder / name)
    except LayerError as error:
        known = Path(name).name  # the finding names the file itself
        lines = [line.removeprefix(f"{known}: ").removeprefix(f"{known}, ") for line in str(error).splitlines()]
        findings += [Finding("error", code, name, "", "", line) for line in lines]
        return None


def course_reference(course: Course, said: WaterSetting, findings: list[Finding]) -> Reference | None:
    """Evapotranspiration and rain as measured; None where there are none, with a finding that says why."""
    return _reference(course, said, said.weather, findings)


def _reference(course: Course, said: WaterSetting, file: str | None, findings: list[Finding]) -> Reference | None:
    def reckon(path: Path) -> tuple[Weather, Reference]:
        weather = read_weather(path)
        findings.extend(weather.findings)
        return weather, estimate_reference(weather, course.measured.latitude, said)

    made = read_or_tell(course.drawing.folder, file, reckon, "weather_unusable", findings)
    return made[1] if made else None


def joined_weather(
    course: Course, said: WaterSetting, day: date | None, ahead: int, findings: list[Finding], notes: list[str]
) -> tuple[Reference | None, np.ndarray, date | None]:
    """Measured weather up to a day, then what is foretold, then what is supposed; where each day is from; the day."""
    measured = course_reference(course, said, findings)
    if measured is None:
        if said.weather is None:
            notes.append("The settings name no weather, so nothing is known of what the turf needs.")
        return None, np.zeros(0, dtype=object), day
    notes += measured.notes
    last = np.datetime64(day) if day else measured.days[-1]
    if last < measured.days[0]:
        raise SettingsError(f"{said.weather}: begins on {measured.days[0]}, after {last}; choose a later day")
    foretold = _reference(course, said, said.forecast, findings)
    whole = np.arange(measured.days[0], last + (ahead + 1) * A_DAY)
    depth, rain = np.full(len(whole), np.nan), np.zeros(len(whole))
    kinds, method = (np.full(len(whole), SUPPOSED, dtype=object) for _ in range(2))
    for one, kind in ((foretold, FORETOLD), (measured, MEASURED)):
        if one is None:
            continue
        shared, here, there = np.intersect1d(whole, one.days, return_indices=True)
        # what is known of the days ahead is a forecast, even where the file holds what came of it
        kinds[here] = np.where(shared > last, FORETOLD, kind)
        depth[here], rain[here], method[here] = one.depth[there], one.rain[there], one.method[there]
    past = (whole <= last) & ~np.isnan(depth)
    usual = float(depth[past][-WEEK:].mean())
    unknown = np.isnan(depth)
    depth[unknown] = usual
    gone, coming = int((unknown & (whole <= last)).sum()), int((unknown & (whole > last)).sum())
    if gone:
        notes.append(f"On {gone} past days no weather is known: {1000 * usual:.1f} mm a day and no rain are supposed.")
    if coming:
        notes.append(
            f"For {coming} of the days ahead nothing is foretold: {1000 * usual:.1f} mm a day, the mean of the last "
            "week, and no rain are supposed."
        )
    return Reference(whole, depth, rain, method, measured.notes), kinds, last.astype(object)


def logged_depths(
    surfaces: Sequence[Watered],
    days: np.ndarray,
    planned: np.ndarray,
    log: list[Applied] | None,
    file: str,
    findings: list[Finding],
) -> np.ndarray:
    """What reached the roots by the log; nan where the need is to be given. [m] Shape (d, n)."""
    applied = np.full((len(days), len(surfaces)), np.nan)
    if log is None:
        return applied
    place = {one.surface: at for at, one in enumerate(surfaces)}
    strangers = dict.fromkeys(row.surface for row in log if row.surface not in place)
    if strangers:
        said = f"{listed([*strangers])} is not watered by the settings; these rows are left out."
        findings.append(Finding("warning", "log_unknown", file, "", "", said))
    known = [row for row in log if row.surface in place]
    if known:
        first = min(row.day for row in known)
        applied[(days >= first) & ~planned] = 0.0
    for row in known:
        at, when = place[row.surface], int((row.day - days[0]) // A_DAY)
        if 0 <= when < len(days) and not planned[when]:
            one = surfaces[at]
            depth = row.depth_m if row.depth_m is not None else (row.volume_m3 or 0.0) / one.net_m2
            applied[when, at] += depth * one.uniformity.share
    return applied
