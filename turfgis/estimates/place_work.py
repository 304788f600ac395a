"""Work that places wait for, as jobs like any other: with the material for their size, on their patch, by their day."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Any

from turfgis.errors import InputError
from turfgis.estimates.course import Course
from turfgis.estimates.needs import job_needs, material_factors
from turfgis.estimates.places import due_day
from turfgis.estimates.programme import Occurrence
from turfgis.formulas.chance import product_moments
from turfgis.layers.findings import Finding
from turfgis.layers.records import near
from turfgis.measure.accuracy import COVERAGE_95
from turfgis.settings.models import SpotTreatment
from turfgis.settings.values import read_spot_rate
from turfgis.units import shown

if TYPE_CHECKING:
    from turfgis.settings import CourseSettings

GROUP = "places"
MOST_SPREAD = 0.9  # of a size: a figure may not spread below nothing


@dataclass(frozen=True)
class PlaceWork:
    """
    The work of one place.

    Attributes
    ----------
    job
        What is to be done, as a job.
    place
        Its row in the table of places.
    due
        The day, or None where nothing says it.
    """

    job: SpotTreatment
    place: dict[str, Any]
    due: date | None


def place_work(course: Course) -> tuple[list[PlaceWork], list[Finding]]:
    """
    What is to be done at places.

    Parameters
    ----------
    course
        A course with settings.

    Returns
    -------
    work, findings
        One entry for each place with a task that is not done; and what of it cannot be planned as it is written.
    """
    settings = course.settings
    if settings is None or not course.has_places:
        return [], []
    taken = {job.name for job in settings.job} | {one.name for one in settings.odd_job}
    work: list[PlaceWork] = []
    findings: list[Finding] = []
    for row in course.places.table.drop(columns="geometry").to_dict("records"):
        if row["task"] is None:
            continue
        goods, problem = _goods(row, settings)
        if problem:
            text = f"place {row['place']}: {problem}; its work is planned without the material."
            findings.append(Finding("warning", "place_work", row["file"], row["layer"], row["feature"], text))
        due, name = due_day(row), f"{row['task']} ({row['place']})"
        while name in taken:
            name += "*"
        taken.add(name)
        work.append(PlaceWork(_job(name, row, goods, _dates(due, settings)), row, due))
    return work, findings


def planned_settings(course: Course) -> CourseSettings:
    """
    The settings with the work of places among their jobs.

    Work that is due after the year of the programme is left out; what was due before it and is not done, or has no
    date, stands at no particular time.

    Raises
    ------
    SettingsError
        The course has no settings.
    """
    settings = course.needs_settings("a take-off needs jobs")
    work, _ = place_work(course)
    year = settings.year
    jobs = [one.job for one in work if (one.job.uses or one.job.crew_hours) and _in_time(one.due, year)]
    return settings.model_copy(update={"job": [*settings.job, *jobs]}) if jobs else settings


def taken_amounts(course: Course, one: PlaceWork) -> list[tuple[str, float, str]]:
    """What the work takes: material, amount as it is delivered, and the unit of it (kg, m3 or m2)."""
    settings = course.needs_settings("materials are named in the settings")
    amounts = []
    for need in job_needs(course, one.job, [Occurrence(None, None, 1)]):
        if need.resource == "material":
            dry, delivered = material_factors(settings.material[need.key])
            amounts.append((need.key, need.total * product_moments([*dry.values(), *delivered.values()])[0], need.unit))
    return amounts


def takes_words(course: Course, one: PlaceWork) -> str:
    """Size and material of the work in words, such as ``21 m2, 0.1 kg bent seed``."""
    size = one.place["size_m2"]
    said = [shown("area", course.units).text(size)] if size else []
    for key, amount, unit in taken_amounts(course, one):
        how = shown({"kg": "mass", "m3": "liquid", "m2": "area"}[unit], course.units)
        said.append(f"{how.text(amount)} {key.replace('_', ' ')}")
    return ", ".join(said)


def _in_time(due: date | None, year: int | None) -> bool:
    return due is None or year is None or due.year <= year


def _dates(due: date | None, settings: CourseSettings) -> dict[str, Any]:
    late = due is not None and settings.year is not None and due.year < settings.year
    return {} if due is None or late else {"dates": [due]}


def _job(name: str, row: dict[str, Any], goods: dict[str, Any], dates: dict[str, Any]) -> SpotTreatment:
    return SpotTreatment(
        name=name,
        work="spot_treatment",
        group=GROUP,
        cost_code=row["cost_code"] or "",
        **({"on": [row["surface"]], "patches": [row["patch"]]} if row["patch"] else {}),
        **({"crew_hours": f"{row['hours']!r} h"} if row["hours"] else {}),
        **goods,
        **dates,
    )


def _goods(row: dict[str, Any], settings: CourseSettings) -> tuple[dict[str, Any], str | None]:
    """Material, area and rate as keys of a job; or why there are none."""
    key, size = row["material"], row["size_m2"]
    if key is None:
        return {}, None
    material = settings.material.get(key)
    if material is None:
        return {}, f"no material '{key}'{near(key, settings.material)} (there are: {', '.join(settings.material)})"
    if not size:
        how = "draw the place as an area, or write size_m2"
        if row["length_m"] is not None and row["length_m"] > 0:
            how = f"the place is a line of {row['length_m']:.1f} m, so write width_m, or size_m2"
        return {}, f"{key} goes by the size; {how}"
    spread = min((row["plus_minus_m2"] or 0.0) / COVERAGE_95, MOST_SPREAD * size)
    goods = {"material": key, "area": f"{size!r} m2" + (f" ± {spread!r} m2" if spread else "")}
    try:
        if row["rate"]:
            goods["rate"] = read_spot_rate(row["rate"])
    except InputError as error:
        return {}, f"rate: {error}"
    problem = SpotTreatment(name="a place", work="spot_treatment", **goods).rate_problem(material.kind)
    return ({}, problem) if problem else (goods, None)


def place_findings(course: Course) -> tuple[Finding, ...]:
    """All there is to say about places: how they are written, and their work."""
    if not course.has_places:
        return ()
    return (*course.places.findings, *place_work(course)[1])
