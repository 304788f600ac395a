"""Records of what was sprayed, put onto the patches of a course, so that they count against labels."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

import numpy as np

from turfgis.errors import LayerError
from turfgis.estimates.course import Course
from turfgis.estimates.labels import Application
from turfgis.estimates.needs import estimate_need
from turfgis.layers.records import near, one_message
from turfgis.layers.sprayings import Sprayed, read_sprayings
from turfgis.layers.words import hole_text
from turfgis.settings.models import Liquid, Spray


def read_applications(course: Course, files: Iterable[str | Path]) -> tuple[list[Application], list[str]]:
    """
    Read records, and put each onto its patches.

    Parameters
    ----------
    course
        The course, for its patches, jobs and materials.
    files
        As for :func:`turfgis.layers.sprayings.read_sprayings`.

    Returns
    -------
    applications, remarks
        One for each day, job, product and place, all tanks together: the product evenly over the ground that it was
        put out on, which is what the rows say, else the treated area of the job there, else the net area of patches.

    Raises
    ------
    LayerError
        A row names what the course does not have, or ground of which nothing is sprayed.
    """
    records, remarks = read_sprayings(files)
    problems: list[str] = []
    alike: dict[tuple, list[Sprayed]] = {}
    for record in records:
        where = (record.day, record.job, record.material, record.patches, record.holes, record.surfaces)
        alike.setdefault(where, []).append(record)
    made = [one for one in (_application(course, several, problems) for several in alike.values()) if one is not None]
    if problems:
        raise LayerError("\n".join(dict.fromkeys(map(one_message, problems))))
    return made, remarks


def _application(course: Course, several: list[Sprayed], problems: list[str]) -> Application | None:
    """Rows of one day, job, product and place."""
    record = several[0]
    settings, before = course.needs_settings("records need materials and jobs"), len(problems)
    jobs = {job.name: job for job in settings.job if isinstance(job, Spray)}
    liquids = [key for key, one in settings.material.items() if isinstance(one, Liquid)]
    if record.material not in liquids:
        hint = near(record.material, liquids)
        problems.append(f"{record.at('material')}: no liquid '{record.material}'{hint} (there are: {_all(liquids)})")
    if record.job and record.job not in jobs:
        hint = near(record.job, jobs)
        problems.append(f"{record.at('job')}: no spray job '{record.job}'{hint} (there are: {_all(jobs)})")
    ground = course.ground
    treated = ground.net_m2
    if record.job in jobs:
        treated = estimate_need(course, jobs[record.job], jobs[record.job].material).treated_m2
    on = treated > 0
    named = (
        ("patch", record.patches, ground.patch),
        ("hole", tuple(str(hole_text(hole)) for hole in record.holes), ground.hole),
        ("surface", record.surfaces, ground.surface),
    )
    for column, names, there in named:
        known = list(dict.fromkeys(name for name in there.tolist() if name is not None))
        for name in names:
            if name not in known:
                problems.append(f"{record.at(column)}: no {column} '{name}'{near(name, known)}")
        if names:
            on = on & ground.among(there, names)
    if len(problems) > before:
        return None
    if not on.any():
        problems.append(f"{record.at('job')}: nothing of the ground that it names is sprayed")
        return None
    areas = [one.area for one in several if one.area is not None]
    area = sum(areas) if len(areas) == len(several) else float(treated[on].sum())
    rate = sum(one.amount for one in several) / area
    month = record.day.isoformat()[:7]
    return Application(record.material, record.job, record.day, month, 1, np.where(on, rate, 0.0), recorded=True)


def _all(names: Iterable[str]) -> str:
    return ", ".join(names) or "none"
