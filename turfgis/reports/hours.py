"""Hours of the year for the screen and for other programs."""

from __future__ import annotations

import textwrap
from calendar import month_name
from typing import Any

from turfgis.estimates.hours import HOUR, MonthHours, YearHours
from turfgis.reports.cautions import sheet_cautions
from turfgis.reports.columns import Column
from turfgis.reports.screen import WIDEST, one_line, text_table
from turfgis.reports.tables import Row


def hours_rows(year: YearHours) -> list[Row]:
    """One row a month; hours as decimal numbers."""
    return [
        {
            "month": one.month,
            "mowing_h": one.mowing / HOUR,
            "other_h": one.other / HOUR,
            "needed_h": one.needed / HOUR,
            "available_h": one.available / HOUR,
            "short_h": one.short / HOUR,
            "working_days": one.days,
            "wages": one.wages,
        }
        for one in year.months
    ]


def hours_json(year: YearHours) -> dict[str, Any]:
    """Months, what waits, and all in words."""
    return {
        "months": [{**row, "words": month_words(one)} for row, one in zip(hours_rows(year), year.months, strict=True)],
        "odd_jobs_waiting_h": year.waiting / HOUR,
        "words": year_words(year),
        "remarks": list(year.remarks),
        "cautions": hours_cautions(),
    }


def hours_cautions() -> list[str]:
    """What belongs beside hours."""
    return sheet_cautions("hours")


def month_words(one: MonthHours) -> str:
    """
    A month in one sentence.

    Examples
    --------
    >>> may = MonthHours("2027-05", 300 * 3600.0, 200 * 3600.0, 420 * 3600.0, 21, 160 * 3600.0, None)
    >>> month_words(may)
    'May: 80 h short of the 500 h needed, about half of one person.'
    """
    if one.month is None:
        return f"At no particular time: {one.needed / HOUR:,.0f} h."
    name = month_name[int(one.month[5:])]
    if not one.needed:
        return f"{name}: nothing in the programme; {one.available / HOUR:,.0f} h of people."
    if one.short:
        said = f"{name}: {one.short / HOUR:,.0f} h short of the {one.needed / HOUR:,.0f} h needed"
        return f"{said}, {_people_words(one.short / one.longest)}." if one.longest else f"{said}."
    spare = (one.available - one.needed) / HOUR
    return f"{name}: {one.needed / HOUR:,.0f} h needed, {spare:,.0f} h to spare."


def _people_words(people: float) -> str:
    """How many people work as long as is missing."""
    if people < 0.2:
        return "less than a fifth of one person"
    if people < 0.4:
        return "about a third of one person"
    if people < 0.65:
        return "about half of one person"
    if people < 0.88:
        return "about three quarters of one person"
    whole = round(people * 2) / 2
    return "about one person" if whole == 1 else f"about {whole:g} people"


def year_words(year: YearHours) -> str:
    """The year in a few words: which months are short, and by how much in all."""
    months = [one for one in year.months if one.month]
    short = [one for one in months if one.short]
    needed, available = sum(one.needed for one in year.months), sum(one.available for one in months)
    said = f"{needed / HOUR:,.0f} h needed, {available / HOUR:,.0f} h of people"
    if not short:
        return f"{said}: no month is short."
    names = ", ".join(month_name[int(str(one.month)[5:])] for one in short)
    lacking = sum(one.short for one in short) / HOUR
    return f"{said}; {lacking:,.0f} h short in {names}."


def hours_text(year: YearHours, currency: str = "") -> str:
    """Months as a table, then in words."""
    rows = [{**row, "month": row["month"] or "no month"} for row in hours_rows(year)]
    figures = ("mowing", "other", "needed", "available", "short")
    total: dict[str, Any] = {f"{name}_h": sum(row[f"{name}_h"] for row in rows) for name in figures}
    columns: list[str | Column] = ["month", *(Column(f"{name}_h", f"{name}, h", "count") for name in figures)]
    columns.append(Column("working_days", "days", "count"))
    if any(row["wages"] for row in rows):
        columns.append(Column("wages", f"wages, {currency}", "money"))
        total["wages"] = sum(row["wages"] or 0.0 for row in rows)
    total["working_days"] = sum(row["working_days"] for row in rows)
    lines = [text_table(rows, columns, totals=[{"month": "year", **total}]), f"{year_words(year)}", ""]
    lines += [month_words(one) for one in year.months if one.short or one.month is None]
    if year.waiting:
        lines.append(f"Odd jobs that wait: {year.waiting / HOUR:,.0f} h besides.")
    lines.append(
        "Days off are taken off, and the share of hours that [workday] calls lost; nothing else that keeps people away."
    )
    for text in [*year.remarks, *hours_cautions()]:
        lines += textwrap.wrap(one_line(text), WIDEST, initial_indent="- ", subsequent_indent="  ")
    return "\n".join(lines)
