"""All that is handed out for a day: the board for the wall, slips, a map for each person, and the plan as data."""

from __future__ import annotations

import re

from turfgis.estimates.course import Course
from turfgis.estimates.day_plan import DayPlan
from turfgis.reports.board import board_json
from turfgis.reports.board_pages import PAPERS, slips_pdf, wall_board_pdf
from turfgis.reports.outputs import course_facts
from turfgis.reports.tables import json_text
from turfgis.reports.write import Content


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
    files[f"board_{day}.json"] = (json_text(board_json(plan)) + "\n").encode("utf-8")
    return files


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
