"""Water of the week, the season and the limits, for the screen and for other programs."""

from __future__ import annotations

import textwrap
from datetime import date
from math import isnan
from typing import Any

import pandas as pd

from turfgis.estimates.uniformity import CANS, MODEL, TYPED, UNKNOWN, Uniformity
from turfgis.estimates.water import Water
from turfgis.estimates.water_days import FORETOLD, SUPPOSED
from turfgis.estimates.water_limits import LimitState
from turfgis.reports.cautions import sheet_cautions
from turfgis.reports.columns import Column
from turfgis.reports.facts import plain_words
from turfgis.reports.orders import bullets
from turfgis.reports.screen import WIDEST, one_line, text_table
from turfgis.reports.tables import Row, plain_rows
from turfgis.units import shown

DEPTH, VOLUME = ("small length", 1e-3), ("water", 1.0)


def water_rows(water: Water, since: date | None = None) -> list[Row]:
    """
    One row for each surface and day.

    Parameters
    ----------
    water
        The water of a course.
    since
        The first day; None for 1 January of the year of the last day that is past.
    """
    days = water.days
    if not len(days):
        return []
    first = pd.Timestamp(since or date(water.day.year, 1, 1))
    days = days.loc[days["date"] >= first]
    return plain_rows(days.assign(date=days["date"].dt.strftime("%Y-%m-%d"), plan=days["plan"].astype(bool)))


def limit_rows(water: Water) -> list[Row]:
    """One row a limit."""
    return [
        {
            "name": one.name,
            "per": one.per,
            "limit_m3": one.limit_m3,
            "used_m3": None if isnan(one.used_m3) else one.used_m3,
            "left_m3": None if isnan(one.used_m3) else one.left_m3,
            "first": one.first.isoformat() if one.first else None,
            "last": one.last.isoformat() if one.last else None,
            "date_passed": one.date_passed.isoformat() if one.date_passed else None,
            "basis": one.basis,
            "source": one.source or None,
        }
        for one in water.limits
    ]


def surface_rows(water: Water) -> list[Row]:
    """The week ahead by surface: what is missing and needed, on which days, and what a millimetre less gives back."""
    days, made = water.days, []
    for one in water.surfaces:
        volume, lasts = water.given_back(one.surface)
        row: Row = {
            "surface": one.surface,
            "patches": one.patches,
            "net_m2": one.net_m2,
            "coefficient": one.said.share,
            "uniformity": one.uniformity.share,
            "judged_by": one.uniformity.judged_by,
            "judged_patches": one.uniformity.known,
            "one_mm_less_m3": volume,
            "one_mm_less_days": None if isnan(lasts) else lasts,
        }
        if len(days):
            own = days.loc[days["surface"] == one.surface]
            past, plan = own.loc[~own["plan"].astype(bool)], own.loc[own["plan"].astype(bool)]
            given = plan.loc[plan["applied_m3"] > 0]
            depth, gross = water.wanted_of(one.surface)
            row |= {
                "deficit_mm": float(past["deficit_mm"].iloc[-1]),
                "need_mm": depth * 1000,
                "gross_m3": gross,
                "applied_mm": float(plan["applied_mm"].sum()),
                "applied_m3": float(plan["applied_m3"].sum()),
                "on": [f"{day:%Y-%m-%d}" for day in given["date"]],
            }
        made.append(row)
    return made


def night_rows(water: Water) -> list[Row]:
    """The nights of the plan: weather, and water of all surfaces."""
    days = water.days
    if not len(days):
        return []
    plan = days.loc[days["plan"].astype(bool)]
    made = []
    for day, rows in plan.groupby("date", sort=True):
        made.append(
            {
                "date": f"{day:%Y-%m-%d}",
                "weather": rows["weather"].iloc[0],
                "et0_mm": float(rows["et0_mm"].iloc[0]),
                "rain_mm": float(rows["rain_mm"].iloc[0]),
                "gross_m3": float(rows["gross_m3"].sum()),
                "applied_m3": float(rows["applied_m3"].sum()),
                "short_m3": float(rows["short_m3"].sum()),
            }
        )
    return made


def month_rows(water: Water, since: date | None = None) -> list[Row]:
    """Past water by month and surface."""
    days = water.days
    if not len(days):
        return []
    past = days.loc[~days["plan"].astype(bool) & (days["date"] >= pd.Timestamp(since or date(water.day.year, 1, 1)))]
    past = past.assign(month=past["date"].dt.strftime("%Y-%m"))
    sums = past.groupby(["month", "surface"], sort=False)[["et0_mm", "rain_mm", "need_mm", "applied_m3"]].sum()
    return plain_rows(sums.reset_index())


def water_json(water: Water, since: date | None = None) -> dict[str, Any]:
    """All of it, in SI."""
    short = water.short
    return {
        "day": water.day.isoformat(),
        "days": water_rows(water, since),
        "limits": limit_rows(water),
        "surfaces": surface_rows(water),
        "nights": night_rows(water),
        "rate_m3_day": None if isnan(water.rate_m3) else water.rate_m3,
        "first_short": None
        if not len(short)
        else {"surface": short["surface"].iloc[-1], "date": f"{short['date'].iloc[0]:%Y-%m-%d}"},
        "remarks": water_remarks(water),
        "findings": [
            {"level": one.level, "code": one.code, "file": one.file, "text": one.text} for one in water.findings
        ],
        "cautions": water_cautions(),
    }


def water_cautions() -> list[str]:
    """What belongs beside a plan of water."""
    return sheet_cautions("water")


def water_remarks(water: Water) -> list[str]:
    """What was taken for granted, in plain sentences."""
    return list(water.notes)


def day_words(day: date | pd.Timestamp | str) -> str:
    """
    A day as people say it.

    Examples
    --------
    >>> day_words("2027-07-12")
    'Mon 12 Jul'
    """
    when = pd.Timestamp(day)
    return f"{when:%a} {when.day} {when:%b}"


def limit_sentence(one: LimitState, units: str) -> str:
    """
    Where the course stands with a limit.

    Examples
    --------
    >>> said = LimitState("licence", "year", "", 9000.0, 9100.0, "meter", date(2027, 1, 1), None, date(2027, 7, 3))
    >>> print(limit_sentence(said, "metric"))
    Licence: 9,100 of 9,000 m3 a year are used; it was passed on 3 July 2027.
    """
    how, name = shown("water", units), plain_words(one_line(one.name)).capitalize()
    each = {"hour": "an hour", "day": "a day", "year": "a year", "season": "a season"}[one.per]
    if isnan(one.used_m3):
        return f"{name}: {how.text(one.limit_m3)} {each}; nothing is known of what is used."
    if one.per in ("hour", "day"):
        used = f"{one.used_m3 * how.per_si:,.1f}" if one.used_m3 * how.per_si < 100 else how.number(one.used_m3)
        said = f"{name}: {used} of {how.text(one.limit_m3)} {each} ({one.basis})"
        over = " More was taken on" if "meter" in one.basis else " Meeting every need would pass it on"
        return f"{said}." + (f"{over} {_long(one.date_passed)}." if one.date_passed else "")
    said = f"{name}: {how.number(one.used_m3)} of {how.text(one.limit_m3)} {each} are used"
    if one.first is None:
        return f"{name}: {one.basis}."
    if one.broken and one.date_passed:
        return f"{said}; it was passed on {_long(one.date_passed)}."
    if one.date_passed:
        return f"{said}; at this rate it is passed on {_long(one.date_passed)}."
    return f"{said}; at this rate it lasts."


def _long(day: date) -> str:
    return f"{day.day} {day:%B %Y}"


def short_sentence(water: Water, units: str) -> str:
    """
    Which surface goes short first, and when; or which would.

    A surface that is cut on one night comes up again on the next, so what it lacks is what is open at the end.
    """
    short, how = water.short, shown("water", units)
    if not len(short):
        last = water.surfaces[-1].surface
        if any(one.per in ("year", "season") and one.date_passed for one in water.limits):
            return f"Nothing goes short this week. When the limit is reached, {last} goes without first."
        return f"Nothing goes short this week; {last} would be the first."
    first = short.iloc[0]
    same = short.loc[short["date"] == first["date"]]
    ranked = [one.surface for one in water.surfaces]
    lowest = max(same["surface"], key=ranked.index)
    on = same.loc[same["surface"] == lowest].iloc[0]
    nights = short.loc[short["surface"] == lowest, "date"].nunique()
    return (
        f"First to go short: {lowest}, on {day_words(first['date'])}, by {how.text(float(on['short_m3']))} of "
        f"{how.text(float(on['gross_m3']))}; {nights} night{'s' * (nights > 1)} of the plan fall short there."
    )


def uniformity_words(one: Uniformity) -> str:
    """
    How evenly a surface is watered, and what tells so.

    Examples
    --------
    >>> uniformity_words(Uniformity("green", 0.78, "typed", 19, 19))
    '78 %, as typed'
    >>> uniformity_words(Uniformity("tee", 0.661, "cans", 2, 65))
    '66 %, by cans on 2 of 65 patches'
    """
    if one.judged_by == UNKNOWN:
        return "not known, reckoned as if even"
    on = f"on {one.known} of {one.patches} patch{'es' * (one.patches != 1)}"
    by = {TYPED: "as typed", CANS: f"by cans {on}", MODEL: f"by the model of heads {on}"}
    return f"{100 * one.share:.0f} %, {by[one.judged_by]}"


def uniformity_sentences(water: Water) -> list[str]:
    """How evenly each surface is watered, and what a figure of the model is worth."""
    said = [f"{one_line(one.surface).capitalize()}: {uniformity_words(one.uniformity)}." for one in water.surfaces]
    if any(one.uniformity.judged_by == MODEL for one in water.surfaces):
        said.append("The model is throw, arc and flow in still air, and missed ground counts in it: set out cans.")
    return said


def back_sentences(water: Water, units: str) -> list[str]:
    """What one depth less on each surface gives back, the most in front."""
    depth, how = ("1 mm", 0.001) if units == "metric" else ("0.1 in", 0.00254), shown("water", units)
    found = sorted(((water.given_back(one.surface, depth[1]), one.surface) for one in water.surfaces), reverse=True)
    said = []
    for (volume, lasts), surface in found:
        days = "" if not lasts >= 0.1 else f", {lasts:.1f} days of all watering at this rate"
        said.append(f"{depth[0]} less on {surface}, once: {how.text(volume)}{days}.")
    return said


def water_text(water: Water, units: str = "metric") -> str:
    """
    The week, the nights, the limits and the season on the screen.

    Parameters
    ----------
    water
        The water of a course.
    units
        ``metric`` or ``us``.
    """
    blocks = []
    if water.balance is not None:
        blocks += _week(water, units)
    if water.balance is not None:
        blocks.append(
            _listed("How evenly water falls: the lower quarter as a share of the mean", uniformity_sentences(water))
        )
    limits = [limit_sentence(one, units) for one in water.limits]
    blocks.append(_listed("Limits", limits or ["No limit is entered, so none is looked at."]))
    if water.balance is not None:
        blocks.append(_listed("What less would give back", back_sentences(water, units)))
        blocks.append(_season(water, units))
    blocks.append(_listed("Findings", [f"{one.file}: {one.text}" for one in water.findings]))
    blocks.append(_listed("Remarks", water_remarks(water)))
    blocks.append(_listed("Cautions", water_cautions()))
    return "\n".join(block for block in blocks if block)


def _listed(title: str, texts: list[str]) -> str:
    return bullets(title, texts)


def _week(water: Water, units: str) -> list[str]:
    made = [
        (f"{title}\n\n" if totals else "") + text_table(rows, columns, units, totals)
        for title, rows, columns, totals in week_tables(water, units)
    ]
    return [*made, textwrap.fill(short_sentence(water, units), WIDEST) + "\n"]


def week_tables(water: Water, units: str) -> list[tuple[str, list[Row], list[str | Column], list[Row]]]:
    """The week ahead by surface and by night: title, rows, columns and totals of each; nothing without weather."""
    if water.balance is None:
        return []
    rows = surface_rows(water)
    for row in rows:
        row["nights"] = " ".join(f"{pd.Timestamp(day):%a}" for day in row["on"]) or "–"
    columns: list[str | Column] = [
        "surface",
        "net_m2",
        Column("deficit_mm", "missing now", *DEPTH),
        Column("need_mm", "needed", *DEPTH),
        Column("gross_m3", "to let out", *VOLUME),
        Column("applied_m3", "there is", *VOLUME),
        Column("nights", "nights of"),
    ]
    nights = night_rows(water)
    total = {"surface": "total", **{key: sum(row[key] for row in rows) for key in ("net_m2", "gross_m3", "applied_m3")}}
    heads = f"Water for {day_words(nights[0]['date'])} to {day_words(nights[-1]['date'])} {water.day.year}"
    each = [
        {**row, "night": day_words(row["date"]), "weather": _KINDS.get(row["weather"], row["weather"])}
        for row in nights
    ]
    by_night: list[str | Column] = [
        Column("night", "night of"),
        Column("weather", "weather"),
        Column("et0_mm", "reference", *DEPTH),
        Column("rain_mm", "rain", *DEPTH),
        Column("gross_m3", "needed", *VOLUME),
        Column("applied_m3", "let out", *VOLUME),
        Column("short_m3", "short", *VOLUME),
    ]
    return [(heads, rows, columns, [total]), ("By night", each, by_night, [])]


_KINDS = {FORETOLD: "forecast", SUPPOSED: "as last week, no rain"}


def _season(water: Water, units: str) -> str:
    rows = month_rows(water)
    if not rows:
        return ""
    surfaces = [one.surface for one in water.surfaces]
    lines: dict[str, Row] = {}
    for row in rows:
        line = lines.setdefault(
            row["month"], {"month": row["month"], "et0_mm": row["et0_mm"], "rain_mm": row["rain_mm"]}
        )
        line[f"{row['surface']}_m3"] = row["applied_m3"]
        line["all_m3"] = line.get("all_m3", 0.0) + row["applied_m3"]
    columns = [
        "month",
        Column("et0_mm", "reference", *DEPTH),
        Column("rain_mm", "rain", *DEPTH),
        *(Column(f"{name}_m3", one_line(name), *VOLUME) for name in surfaces[:5]),
        Column("all_m3", "all", *VOLUME),
    ]
    keys = [col.key for col in columns[1:]]
    total = {"month": str(water.day.year), **{key: sum(line.get(key, 0.0) for line in lines.values()) for key in keys}}
    what = "as logged" if water.logged else "as needed"
    return f"The year so far, {what}\n\n" + text_table(list(lines.values()), columns, units, [total])
