"""Plan and actual for the screen, as rows for CSV, and as JSON; and lines of settings to copy."""

import json
import math
import re
import textwrap
from typing import Any

from turfgis.estimates.actuals import Actuals, job_rows, patch_rows
from turfgis.estimates.coefficients import Coefficient
from turfgis.reports.columns import Column
from turfgis.reports.facts import plain_words
from turfgis.reports.screen import WIDEST, one_line, text_table
from turfgis.reports.tables import Row
from turfgis.units import shown

NOTE = (
    "Where a job has tickets and hopper counts of one material, tickets say how much and "
    "counts say where. What no record places on one patch is shared out as planned. A coefficient takes what went onto "
    "one ground on one day for one time of the job, or deliveries without a place for "
    "all times of the year; its spread is the standard deviation of such days. Hours of a "
    "meter hold driving and waiting as far as it ran, so an efficiency from them is lower than that of a handbook. "
    "Nothing is written into the settings: labels, local rules and those who know the ground decide what is copied."
)
# How many names of what has no record stand on the screen.
_FEW = 5
_KINDS = {"kg": "mass", "m3": "liquid", "m2": "area", "s": "hours"}
# Figures over a square metre are so small in SI that four decimals would lose them.
_READ_IN = {"m": ("mm", 1e3), "kg/m2": ("g/m2", 1e3), "m3/m2": ("l/ha", 1e7)}
_SHOWN = {**_KINDS, "m": "small length", "kg/m2": "mass rate"}


def actual_rows(actuals: Actuals, coefficients: list[Coefficient], by: str) -> list[Row]:
    """Rows in SI by ``job``, ``patch`` or ``coefficient``."""
    if by == "coefficient":
        return [_plain(one) for one in coefficients]
    return patch_rows(actuals) if by == "patch" else job_rows(actuals)


def actual_json(actuals: Actuals, coefficients: list[Coefficient], remarks: list[str]) -> dict[str, Any]:
    """Everything, in SI."""
    return {
        "records": len(actuals.uses),
        "by_job": job_rows(actuals),
        "by_patch": patch_rows(actuals),
        "coefficients": [_plain(one) for one in coefficients],
        "proposed_toml": proposed_toml(coefficients),
        "unrecorded": [{"job": job, "of": of} for job, of in actuals.unrecorded],
        "until": actuals.until.isoformat() if actuals.until else None,
        "remarks": remarks,
        "note": f"{_planned(actuals)} {NOTE}",
    }


def _planned(actuals: Actuals) -> str:
    if actuals.until is None:
        return "Planned is the whole year."
    return (
        f"Planned is what was due by the end of {actuals.until}: of a month without days the part of it that had "
        "passed, and all of what has no date."
    )


def _unrecorded(actuals: Actuals) -> str:
    """How much of the plan has no record, by its first names; json holds all of them."""
    jobs = list(dict.fromkeys(one_line(job) for job, _ in actuals.unrecorded))
    more = len(jobs) - _FEW
    named = ", ".join(jobs[:_FEW]) + (f" and {more} more; json names them all" if more > 0 else "")
    return f"Planned, and without any record of a material, a machine or people: {_count(len(jobs), 'job')} ({named})."


def _plain(one: Coefficient) -> Row:
    unit, factor = _READ_IN.get(one.unit, (one.unit, 1.0))
    value = one.value * factor if math.isfinite(one.value) else None
    spread, planned = (None if figure is None else figure * factor for figure in (one.spread, one.planned))
    return {
        **{name: getattr(one, name) for name in ("name", "job", "of")},
        **{"value": value, "unit": unit, "spread": spread, "planned": planned},
        **{name: getattr(one, name) for name in ("records", "observations", "table", "line", "remark")},
    }


def proposed_toml(coefficients: list[Coefficient]) -> str:
    """
    Lines to copy into the settings by hand, each below a remark on where it belongs and what stands behind it.

    Names from the drawing and the records stand in remarks only, cut to one line each.
    """
    lines = []
    for one in coefficients:
        if one.line:
            stands = f"{_count(one.records, 'record')}, {_count(one.observations, 'day or ground', 'days and grounds')}"
            lines += [f"# {_table(one)}: {stands}", one.line]
    return "\n".join(lines)


def _table(one: Coefficient) -> str:
    """Where it belongs, as it is written in a file of settings."""
    if one.job is not None:
        return f"[[job]] with name = {json.dumps(one_line(one.job), ensure_ascii=False)}"
    name = one_line(one.of or "")
    bare = re.fullmatch(r"[A-Za-z0-9_-]+", name)
    return f"[machine.{name if bare else json.dumps(name, ensure_ascii=False)}]"


def _count(number: int, word: str, many: str = "") -> str:
    return f"{number} {word if number == 1 else many or word + 's'}"


def actual_text(
    actuals: Actuals, coefficients: list[Coefficient], remarks: list[str], by: str, units: str = "metric"
) -> str:
    """
    Variance, coefficients and lines to copy.

    Parameters
    ----------
    actuals, coefficients, remarks
        What was found.
    by
        ``job`` or ``patch``; ``coefficient`` leaves the variance out.
    units
        ``metric`` or ``us``.
    """
    blocks = [] if by == "coefficient" else [_variance(actuals, by, units)]
    blocks.append(_coefficients(coefficients, units))
    proposed = proposed_toml(coefficients)
    if proposed:
        blocks.append(f"For next year, to copy into course.toml if they convince you:\n\n{proposed}\n")
    said = [f"{one_line(one.job or one.of or '')}, {one.name}: {one.remark}." for one in coefficients if one.remark]
    if actuals.unrecorded:
        said.append(_unrecorded(actuals))
    said += [_planned(actuals), NOTE]
    blocks.append("\n".join(textwrap.fill(one_line(line), WIDEST) for line in (*remarks, *said)) + "\n")
    return "\n".join(blocks)


def _variance(actuals: Actuals, by: str, units: str) -> str:
    sands = {key for key, one in actuals.takeoff.settings.material.items() if one.kind == "sand"}
    rows = []
    for row in patch_rows(actuals) if by == "patch" else job_rows(actuals):
        kind = "heavy" if row["of"] in sands and row["resource"] == "material" else _KINDS[row["unit"]]
        how = shown(kind, units)
        rows.append(
            {
                "job": one_line(row["job"] or "no job"),
                "patch": one_line(row.get("patch") or "no patch"),
                "of": plain_words(one_line(row["of"] or "people")),
                **{name: how.text(row[name]) for name in ("planned", "actual", "difference")},
                "shared": how.text(row["shared"]) if row.get("shared") else "",
                "difference_share": row["difference_share"],
                "records": row.get("records"),
            }
        )
    heads = [
        *("job", *(["patch"] if by == "patch" else [])),
        Column("of", "of what"),
        *("planned", "actual"),
        *([Column("shared", "of it shared out")] if by == "patch" else []),
        "difference",
        Column("difference_share", "of plan", "share"),
        *([] if by == "patch" else [Column("records", "records", "count")]),
    ]
    return text_table(rows, heads)


def _coefficients(coefficients: list[Coefficient], units: str) -> str:
    if not coefficients:
        return "No coefficient follows from these records.\n"
    rows = [
        {
            "name": one.name,
            "job": one_line(one.job or ""),
            "of": plain_words(one_line(one.of or "people")),
            **{name: _figure(getattr(one, name), one.unit, units) for name in ("value", "spread", "planned")},
            "unit": _label(one.unit, units),
            "records": one.records,
        }
        for one in coefficients
    ]
    heads = [
        *(Column("name", "coefficient"), "job", Column("of", "of what"), Column("value", "yours")),
        *(Column("spread", "spread"), Column("planned", "in the plan"), "unit", Column("records", "records", "count")),
    ]
    return text_table(rows, heads)


def _label(unit: str, units: str) -> str:
    if unit in _SHOWN:
        return shown(_SHOWN[unit], units).label
    return {"share": "%", "m3/m2": "l/ha"}.get(unit, unit)


def _figure(value: float | None, unit: str, units: str) -> str:
    """The number alone: with its unit, a rate would take more room than the screen has."""
    if value is None:
        return ""
    if not math.isfinite(value):
        return "–"
    if unit in _SHOWN:
        return shown(_SHOWN[unit], units).number(value)
    return f"{value * {'share': 100, 'm3/m2': 1e7}.get(unit, 1):,.2f}"
