"""What the report writes about spray jobs: a sheet for the operator, and a form that the record is read back from."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from turfgis.estimates.spraying import Spraying, SprayPlan, estimate_spraying, refused_sprays
from turfgis.layers.findings import Finding, listed
from turfgis.layers.sprayings import HEADINGS
from turfgis.reports import tables
from turfgis.reports.facts import Facts
from turfgis.reports.spray import refusals, spray_json
from turfgis.reports.spray_sheet import spray_pdf
from turfgis.reports.tables import Row
from turfgis.reports.write import Content, file_names
from turfgis.settings.models import Spray
from turfgis.units import shown

if TYPE_CHECKING:
    from turfgis.estimates.budget import Budget
    from turfgis.estimates.course import Course


def spraying_of(course: Course, group: str | None = None) -> Spraying | None:
    """Spray plans of a course, or of one group of its jobs; None where nothing is sprayed there."""
    jobs = course.settings.job if course.settings else []
    if not any(isinstance(job, Spray) and group in (None, job.group) for job in jobs):
        return None
    return estimate_spraying(course, group)


def broken_labels(course: Course, units: str) -> list[str]:
    """What of the year's programme labels do not allow, in sentences; none where nothing is sprayed."""
    if course.settings is None or not any(isinstance(job, Spray) for job in course.settings.job):
        return []
    return refusals(refused_sprays(course), units)


def with_broken_labels(budget: Budget, course: Course, units: str) -> Budget:
    """A budget that says among its remarks what of it labels do not allow: it is counted all the same."""
    said = [f"{one}; it is counted here all the same." for one in broken_labels(course, units)]
    return replace(budget, remarks=(*said, *budget.remarks))


def spray_findings(course: Course) -> list[Finding]:
    """What stops a spray job from being planned, as errors; and patches that what is kept off leaves nothing of."""
    spraying = spraying_of(course)
    if spraying is None:
        return []
    file = course.path.name
    said = [Finding("error", "label_not_kept", file, "", "", one) for one in refusals(spraying, course.units)]
    for plan in spraying.plans:
        if plan.ground.swallowed:
            text = (
                f"What is kept off leaves nothing of {listed(list(plan.ground.swallowed))}; nothing is sprayed there."
            )
            said.append(Finding("warning", "kept_off_whole", file, "", plan.job.name, text))
    return said


def record_form(plan: SprayPlan, units: str, date: str = "") -> list[Row]:
    """Rows to be filled in by the operator and read back: one for each tank and product, what is planned as a note."""
    exact, rows = shown("measured liquid", units), []
    fills = [(str(fill.number), fill.products_m3) for fill in plan.fills] or [("", plan.products_m3)]
    for tank, products in fills:
        for key, amount in products.items():
            told = {"date": date, "job": plan.job.name, "material": key, "tank": tank}
            rows.append({**dict.fromkeys(HEADINGS, ""), **told, "note": f"planned {exact.text(amount)}"})
    return rows


def spray_files(spraying: Spraying, facts: Facts, units: str, *, date: str = "") -> dict[str, Content]:
    """
    Sheets, forms and figures of spray jobs; none of a job whose label is not kept.

    Parameters
    ----------
    spraying
        The plans.
    facts, units
        As for :func:`turfgis.reports.spray_sheet.spray_pdf`.
    date
        Day of the work as it is to be printed.

    Returns
    -------
    File name -> content.
    """
    files: dict[str, Content] = {"spray.json": tables.json_text(spray_json(spraying)).encode("utf-8")}
    names = file_names([(plan.job.name,) for plan in spraying.plans])
    for plan, name in zip(spraying.plans, names, strict=True):
        files[f"spray_{name}.pdf"] = spray_pdf([plan], spraying.ledger, facts, units, date=date)
        files[f"spray_record_{name}.csv"] = tables.csv_text(record_form(plan, units)).encode("utf-8")
    return files
