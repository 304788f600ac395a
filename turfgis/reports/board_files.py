"""All that is handed out for a day: the board for the wall, slips, a map for each person, and the plan as data."""

from __future__ import annotations

import re

import geopandas as gpd
import pandas as pd

from turfgis.estimates.course import Course
from turfgis.estimates.day_plan import DayPlan
from turfgis.reports.board import board_json, clock, machine_words, what_and_where
from turfgis.reports.board_pages import PAPERS, slips_pdf, wall_board_pdf
from turfgis.reports.facts import plain_words
from turfgis.reports.outputs import course_facts, map_page
from turfgis.reports.screen import one_line
from turfgis.reports.tables import json_text
from turfgis.reports.write import Content

# Dark colours that differ in lightness as well, so that they stay apart in print; one for each task of a person.
INKS = ("#a3123a", "#123f8c", "#7a4b00", "#5b1a8f", "#00554d", "#3d3d3d")


RING = 7.0  # how far around a patch its mark runs [m]


def board_files(course: Course, plan: DayPlan, units: str | None = None) -> dict[str, Content]:
    """
    Name of each file -> its content.

    Parameters
    ----------
    course, plan
        The course, and its day.
    units
        ``metric`` or ``us``; as in the settings where it is left out.
    """
    system = units or course.units
    facts, day = course_facts(course, system), plan.day.isoformat()
    files: dict[str, Content] = {
        f"board_{day}_{paper}.pdf": wall_board_pdf(plan, facts, system, paper) for paper in PAPERS[system]
    }
    files[f"slips_{day}.pdf"] = slips_pdf(plan, facts, system)
    taken: set[str] = set()
    for worker in plan.due.day.workers:
        files[f"map_{day}_{file_part(worker.name, taken)}.html"] = person_map(course, plan, worker.name, system)
    files[f"board_{day}.json"] = (json_text(board_json(plan)) + "\n").encode("utf-8")
    return files


def person_map(course: Course, plan: DayPlan, person: str, units: str) -> bytes:
    """The area map with a person's patches outlined, a colour for each task, and what is done on them told."""
    shapes = dict(zip(course.ground.patch, course.measured.patches.geometry, strict=True))
    over, told = [], []
    for number, one in enumerate(plan.given.of(person)):
        label = one_line(f"{clock(one.start)} {what_and_where(one.task)}")
        patches = list(dict.fromkeys(stop.patch for stop in one.task.stops))
        words = f"{clock(one.start)} to {clock(one.end)}" + (f", {machine_words(one, plan)}" if one.machine else "")
        told += [{"patch": patch, "label": one_line(one.task.job), "text": words} for patch in patches]
        ink = INKS[number % len(INKS)]
        over += [{"label": label, "ink": ink, "geometry": shapes[patch].buffer(RING).boundary} for patch in patches]
    title = f"{course.name}: {plain_words(person)}, {plan.day:%A} {plan.day.day} {plan.day:%B}"
    marked = gpd.GeoDataFrame(over, columns=["label", "ink", "geometry"], crs=course.measured.patches.crs)
    page = map_page(
        course,
        units,
        told=pd.DataFrame(told, columns=["patch", "label", "text"]),
        over=marked,
        photo=False,
        title=one_line(title),
    )
    return page.encode("utf-8")


def file_part(name: str, taken: set[str]) -> str:
    """
    A role as a part of a file name, its own even where two roles differ only in signs.

    Examples
    --------
    >>> file_part("Head greenkeeper / 1", set()), file_part("deputy", {"deputy"})
    ('head_greenkeeper_1', 'deputy_2')
    """
    plain = re.sub(r"[^a-z0-9]+", "_", name.lower()).strip("_") or "person"
    made, number = plain, 2
    while made in taken:
        made, number = f"{plain}_{number}", number + 1
    taken.add(made)
    return made
