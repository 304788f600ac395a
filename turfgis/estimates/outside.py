"""Figures of a course beside published ranges: what lies outside is remarked on, and never refused."""

from __future__ import annotations

from collections.abc import Iterator

from turfgis.errors import SettingsError
from turfgis.estimates.course import Course
from turfgis.estimates.ledgers import SAND, estimate_ledger, nutrient_contents
from turfgis.estimates.programme import occurrences
from turfgis.estimates.takeoff import Takeoff, estimate_year
from turfgis.formulas.tines import hole_area_share
from turfgis.layers.findings import Finding
from turfgis.published.ranges import RANGES, SEEDED, remark
from turfgis.settings.models import (
    BunkerSand,
    CourseSettings,
    DrillSeed,
    Fertilise,
    HollowTine,
    Job,
    Overseed,
    RepairTurf,
    Sand,
    Seed,
    Spray,
    Topdress,
)

FAR = 2.0  # this many times the highest, or this part of the lowest, is more likely a slip: a warning, not a note
# Published as the depth of all the sand in a bunker; jobs give the depth that is added.
TOPPED_UP = ("bunker_floor_sand_depth", "bunker_face_sand_depth")
# Surfaces that a range of a year is for. That of nitrogen is for cool-season turf; the settings do not say which it is.
_SAND = {"green": "yearly_sand_depth_greens", "fairway": "yearly_sand_depth_fairways"}
_NITROGEN = {
    "green": "nitrogen_per_year_greens",
    **dict.fromkeys(("tee", "approach", "fairway", "surround"), "nitrogen_per_year_cool_season"),
}

Figured = tuple[str, str, float]  # whose figure, name of its published range, and the figure in SI


def settings_figures(settings: CourseSettings) -> Iterator[Figured]:
    """Figures of the settings for which a published range is kept."""
    for key, material in settings.material.items():
        if isinstance(material, Sand):
            yield key, "sand_bulk_density", material.bulk_density.mean
            yield key, "sand_moisture", material.moisture.mean
    for key, machine in settings.machine.items():
        if machine.mows and machine.overlap:
            yield key, "mower_overlap_share", machine.overlap / machine.width
    for job in settings.job:
        yield from ((job.name, name, value) for name, value in _of_job(job, settings))


def _of_job(job: Job, settings: CourseSettings) -> Iterator[tuple[str, float]]:
    if isinstance(job, Topdress):
        yield "topdressing_depth", job.depth.mean
    if isinstance(job, Fertilise | Spray):
        nitrogen = _nitrogen(job, settings)
        if nitrogen:
            yield "nitrogen_per_application", nitrogen
    if isinstance(job, Overseed | DrillSeed):
        yield _seed_range(job, settings), job.rate.mean
    if isinstance(job, BunkerSand):
        yield "bunker_floor_sand_depth", job.floor_depth.mean
        if job.face_share.mean:
            yield "bunker_face_sand_depth", job.face_depth.mean
    if isinstance(job, RepairTurf) and job.trim.mean:
        yield "turf_trim_loss", job.trim.mean


def _seed_range(job: Overseed | DrillSeed, settings: CourseSettings) -> str:
    """Range of the species where that is said: for overseeding or for new turf, or the one of the two there is."""
    seed = settings.material[job.material]
    species = seed.species if isinstance(seed, Seed) else None
    new, over = SEEDED[species] if species else (None, None)
    wanted = (over, new) if isinstance(job, Overseed) else (new, over)
    return wanted[0] or wanted[1] or "seed_rate_any"


def _nitrogen(job: Fertilise | Spray, settings: CourseSettings) -> float:
    """Nitrogen of one application. [kg/m2]"""
    held = nutrient_contents(settings.material[job.material])
    nutrient = job.nutrient if isinstance(job, Fertilise) else None
    return job.rate.mean * held.get("N", 0.0) / (held.get(nutrient, 0.0) or 1.0 if nutrient else 1.0)


def year_figures(takeoff: Takeoff) -> Iterator[Figured]:
    """What a year brings to a surface, where a published range is kept: sand, nitrogen, and holes."""
    # divots take sand too, but a surface is dressed only by dressing
    dressed = {surface for job in takeoff.settings.job if isinstance(job, Topdress) for surface in job.on}
    for entry in estimate_ledger(takeoff).years:
        if entry.what == SAND and entry.surface not in dressed:
            continue
        ranges = _SAND if entry.what == SAND else _NITROGEN if entry.what == "N" else {}
        if entry.surface in ranges:
            yield entry.surface, ranges[entry.surface], entry.net
    cored = [job for job in takeoff.settings.job if isinstance(job, HollowTine) and "green" in job.on]
    shares = [
        float(hole_area_share(job.tine, *job.spacing)) * sum(one.times for one in occurrences(job, takeoff.settings))
        for job in cored
        if job.holes is None and job.patches is None
    ]
    if shares:
        yield "green", "yearly_hole_area_share", sum(shares)


def published_findings(course: Course, takeoff: Takeoff | None = None) -> list[Finding]:
    """
    What lies outside published ranges, with their sources.

    Parameters
    ----------
    course
        Any course; without settings there is nothing to say.
    takeoff
        Its year, where that is at hand; else it is estimated.

    Returns
    -------
    Notes, and warnings where a figure is so far out that a slip of the unit is likely. Where the programme cannot be
    done on this ground, an error that says why.
    """
    settings = course.settings
    if settings is None:
        return []
    file = course.path.name
    keys = {*settings.material, *settings.machine}
    found = [
        (f"{'Settings of' if key in keys else 'Job'} '{key}'", key, name, value)
        for key, name, value in settings_figures(settings)
        if name not in TOPPED_UP
    ]
    said = []
    try:
        year = year_figures(takeoff or estimate_year(course)) if settings.job else ()
        # less in a year than others publish is a choice, or a programme that is not yet whole
        found += [
            (f"The year on {surface}", surface, name, value)
            for surface, name, value in year
            if value > RANGES[name].low
        ]
    except SettingsError as error:
        said.append(Finding("error", "job_cannot_be_done", file, "", "", str(error)))
    for whose, feature, name, value in found:
        text = remark(name, value)
        if text:
            far = value > FAR * RANGES[name].high or value * FAR < RANGES[name].low
            level = "warning" if far else "note"
            said.append(Finding(level, "outside_published", file, "", feature, f"{whose}: {text}"))
    return said


__all__ = ["TOPPED_UP", "published_findings", "settings_figures", "year_figures"]
