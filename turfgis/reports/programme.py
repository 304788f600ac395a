"""The programme of the year: every job with its ground, its material and its times, for screen, CSV, JSON and print."""

from __future__ import annotations

import textwrap
from calendar import month_abbr
from datetime import date
from typing import Any

from turfgis.estimates.programme import Occurrence, programme_remarks, programme_rows
from turfgis.estimates.takeoff import Takeoff
from turfgis.estimates.watering import WATER
from turfgis.reports.cautions import sheet_cautions
from turfgis.reports.columns import Column
from turfgis.reports.facts import TON_NOTES, Facts, plain_words
from turfgis.reports.job_words import rate_words
from turfgis.reports.orders import bullets, measure, shown_goods
from turfgis.reports.printed import page_data, render_page, with_signs
from turfgis.reports.screen import WIDEST, one_line, text_table
from turfgis.reports.tables import Row
from turfgis.settings.models import DivotMix, Edge, Job, RepairTurf, Sand, SpotTreatment, Watering
from turfgis.units import shown

MOST_MONTHS = 18  # columns that a page has room for; the rest stands beside them in words
UNDATED = "no date"
IN_PARTS = (DivotMix, RepairTurf, SpotTreatment, Edge)  # done on some of the ground or along its edges, never all over


def programme_json(takeoff: Takeoff) -> list[dict[str, Any]]:
    """
    One entry for each job, group by group.

    Returns
    -------
    ``job``, ``group``, ``work``, ``on``, ``holes``, ``rate`` (in words), ``dates``, ``months`` (month -> how often),
    ``rounds`` (month -> rounds played, where the work goes by them), ``times`` (None by rounds), ``net_m2`` of the
    ground, ``treated_m2`` (None for divots, turf and edges, which are not all over it) and ``materials``, each with its
    amount a time and in the year: sand in ``t``, liquids in ``l``, turf in ``m2``, the rest in ``kg``.
    """
    groups = list(dict.fromkeys(job.group for job in takeoff.settings.job))
    jobs = sorted(takeoff.settings.job, key=lambda job: groups.index(job.group))
    return [_entry(takeoff, job) for job in jobs]


def _entry(takeoff: Takeoff, job: Job) -> dict[str, Any]:
    mine = [at for at, need in enumerate(takeoff.needs) if need.job.name == job.name]
    needs = [takeoff.needs[at] for at in mine]
    times: tuple[Occurrence, ...] = takeoff.times[mine[0]] if mine else ()
    treated = [float(need.treated_m2.sum()) for need in needs]
    by_rounds = isinstance(job, DivotMix) and job.mix_per_round is not None
    months: dict[str, float] = {}
    for one in times:
        if one.month:
            months[one.month] = months.get(one.month, 0) + one.times
    materials = []
    if isinstance(job, Watering):  # each surface in its own time: how often is that of the one watered most often
        months, treated = _most_often(takeoff, mine), [sum(treated)]
        volume = sum(float(takeoff.quantity[at].sum() * takeoff.counts[at].sum()) for at in mine)
        materials.append({"material": WATER, "each_m3": None, "year_m3": volume})
    for at in mine:
        need = takeoff.needs[at]
        if need.resource != "material":
            continue
        material = takeoff.settings.material[need.key]
        unit, per = ("t", 1e-3) if isinstance(material, Sand) else measure(material.base)
        each = float(takeoff.quantity[at].sum()) * per
        year = each * sum(one.times for one in times)
        materials.append({"material": need.key, f"each_{unit}": None if by_rounds else each, f"year_{unit}": year})
    return {
        "job": job.name,
        "group": job.group,
        "work": job.work,
        "on": list(job.on),
        "holes": job.holes,
        "rate": rate_words(job),
        "dates": [one.day.isoformat() for one in times if one.day],
        "months": {} if by_rounds else months,
        "rounds": months if by_rounds else {},
        "times": None if by_rounds else sum(months.values()) or sum(one.times for one in times),
        "net_m2": max((float(need.net_m2.sum()) for need in needs), default=0.0),
        "treated_m2": None if isinstance(job, IN_PARTS) else max(treated, default=0.0),
        "materials": materials,
    }


def _most_often(takeoff: Takeoff, mine: list[int]) -> dict[str, float]:
    """Month -> how often the need that occurs most often does."""
    water = [at for at in mine if takeoff.needs[at].resource == WATER]
    counts = takeoff.counts[water].max(axis=0, initial=0.0)
    return {month: float(count) for month, count in zip(takeoff.months, counts, strict=True) if month and count}


def programme_csv(takeoff: Takeoff) -> list[Row]:
    """One row for each job and time, in order of time, with its ground, material and rate."""
    entries = {one["job"]: one for one in programme_json(takeoff)}
    return [
        {
            **row,
            "net_m2": entries[row["job"]]["net_m2"],
            "treated_m2": entries[row["job"]]["treated_m2"],
            "material": "; ".join(one["material"] for one in entries[row["job"]]["materials"]),
            "rate": entries[row["job"]]["rate"],
        }
        for row in _dated_rows(takeoff, entries)
    ]


def _dated_rows(takeoff: Takeoff, entries: dict[str, dict[str, Any]]) -> list[Row]:
    """Rows of the programme; of watering that follows the weather the months are those of the take-off."""
    by_weather = {job.name for job in takeoff.settings.job if isinstance(job, Watering) and job.depth is None}
    rows = programme_rows(takeoff.settings)
    known = [row for row in rows if row["job"] not in by_weather]
    for row in rows:
        if row["job"] in by_weather:
            known += [{**row, "month": month, "times": n} for month, n in entries[row["job"]]["months"].items()]
    return sorted(known, key=lambda row: (row["month"] or "9999", row["date"] or "9999"))


def strip_months(takeoff: Takeoff) -> list[str]:
    """Months that the strip shows: the year of the programme, and whatever lies outside it, without gaps."""
    found = [month for month in takeoff.months if month]
    year = takeoff.settings.year
    ends = [*found, *([f"{year}-01", f"{year}-12"] if year else [])]
    if not ends:
        return []
    first, last = min(ends), max(ends)
    count = (int(last[:4]) - int(first[:4])) * 12 + int(last[5:]) - int(first[5:]) + 1
    start = int(first[:4]) * 12 + int(first[5:]) - 1
    every = [f"{(start + at) // 12:04d}-{(start + at) % 12 + 1:02d}" for at in range(count)]
    return every if count <= MOST_MONTHS else found[:MOST_MONTHS]


def _heads(months: list[str]) -> list[str]:
    """Mar, or Mar 27 where there is more than one year."""
    several = len({month[:4] for month in months}) > 1
    return [f"{month_abbr[int(month[5:])]}{f' {month[2:4]}' if several else ''}" for month in months]


def _when(entry: dict[str, Any], months: list[str]) -> str:
    """What the strip cannot show."""
    if not entry["months"] and not entry["rounds"]:
        return f"{entry['times']:g} x" if entry["times"] else ""
    outside = [month for month in (*entry["months"], *entry["rounds"]) if month not in months]
    return ", ".join(outside)


def _ground(entry: dict[str, Any]) -> str:
    holes = f", holes {', '.join(entry['holes'])}" if entry["holes"] else ""
    return one_line(", ".join(entry["on"]) + holes)


def _goods(entry: dict[str, Any], takeoff: Takeoff, units: str) -> list[tuple[str, str]]:
    """Materials with what the year takes of each."""
    said = []
    for one in entry["materials"]:
        if one["material"] == WATER:
            said.append((WATER, shown("water", units).text(one["year_m3"])))
            continue
        material = takeoff.settings.material[one["material"]]
        unit, per = ("t", 1e-3) if isinstance(material, Sand) else measure(material.base)
        amount = shown_goods(material.kind, material.base, units).text(one[f"year_{unit}"] / per)
        said.append((plain_words(one_line(one["material"])), amount))
    return said


def _said_rate(takeoff: Takeoff, name: str, units: str) -> str:
    return rate_words(next(job for job in takeoff.settings.job if job.name == name), units)


def programme_text(takeoff: Takeoff, units: str = "metric") -> str:
    """
    The programme for the screen: a strip of months, then ground, rate and material of every job.

    Parameters
    ----------
    takeoff
        The year.
    units
        ``metric`` or ``us``.
    """
    entries, months = programme_json(takeoff), strip_months(takeoff)
    if not entries:
        return "There are no jobs in the programme.\n"
    heads = _heads(months)
    strip, what = [], []
    for entry in entries:
        counts = {month: f"{round(count, 1):g}" for month, count in entry["months"].items()}
        counts |= dict.fromkeys(entry["rounds"], "*")
        name = one_line(entry["job"])
        strip.append({"job": name, **counts, "when": _when(entry, months)})
        place = {"job": name, "on": _ground(entry), "treated_m2": entry["treated_m2"] or None}
        rate = _said_rate(takeoff, entry["job"], units)
        first, *more = _goods(entry, takeoff, units) or [("", "")]
        what.append({**place, "rate": rate, "material": first[0], "goods": first[1]})
        what += [{"treated_m2": "", "material": material, "goods": amount} for material, amount in more]
    columns = [Column(month, head) for month, head in zip(months, heads, strict=True)]
    if any(row["when"] for row in strip):
        columns.append(Column("when", UNDATED))
    notes = ["* as rounds are played." if any(entry["rounds"] for entry in entries) else "", TON_NOTES[units]]
    blocks = [
        text_table(strip, ["job", *columns], units),
        text_table(what, ["job", "on", "treated_m2", "rate", "material", Column("goods", "in the year")], units),
        textwrap.fill(" ".join(note for note in notes if note), WIDEST) + "\n",
        bullets("Remarks", _remarks(takeoff)),
        bullets("Cautions", _cautions(takeoff)),
    ]
    return "\n".join(block for block in blocks if block)


def _remarks(takeoff: Takeoff) -> list[str]:
    months = {
        need.job.name: [one.month for one in times] for need, times in zip(takeoff.needs, takeoff.times, strict=True)
    }
    return programme_remarks(takeoff.settings.year, months)


def _cautions(takeoff: Takeoff) -> list[str]:
    kinds = {takeoff.settings.material[need.key].kind for need in takeoff.needs if need.resource == "material"}
    sheets = [f"{kind} delivery" for kind in ("fertiliser", "liquid") if kind in kinds]
    return sheet_cautions(*sheets, "programme")


def programme_pdf(takeoff: Takeoff, facts: Facts, units: str = "metric") -> bytes:
    """
    The year as a strip of months, job by job, to hang on a wall.

    Parameters
    ----------
    takeoff
        The year.
    facts
        The course.
    units
        ``metric`` (A4) or ``us`` (US letter).

    Returns
    -------
    A PDF file.
    """
    return render_page("programme.typ", programme_page(takeoff, facts, units))


def programme_page(takeoff: Takeoff, facts: Facts, units: str) -> dict[str, Any]:
    """All that the page says, as JSON can carry it."""
    months, area = strip_months(takeoff), shown("area", units)
    rows, last = [], None
    for entry in programme_json(takeoff):
        group, goods = plain_words(one_line(entry["group"])) or "no group", _goods(entry, takeoff, units)
        rows.append(
            {
                "group": "" if group == last else group,
                "job": one_line(entry["job"]),
                "on": _ground(entry),
                "area": area.number(entry["treated_m2"]) if entry["treated_m2"] else "",
                "rate": with_signs(_said_rate(takeoff, entry["job"], units)),
                "goods": with_signs(", ".join(f"{name} {_kept(amount)}" for name, amount in goods)),
                "cells": [_cell(entry, month) for month in months],
                "when": _when(entry, months),
            }
        )
        last = group
    year = takeoff.settings.year
    return {
        **page_data(f"Programme{f' {year}' if year else ''}", facts, units),
        "months": _heads(months),
        "area_label": with_signs(area.label),
        "rows": rows,
        "undated": any(row["when"] for row in rows),
        "rounds": any(cell["count"] == "●" for row in rows for cell in row["cells"]),
        "weight_note": TON_NOTES[units],
        "remarks": _remarks(takeoff),
        "cautions": _cautions(takeoff),
    }


def _kept(amount: str) -> str:
    """A figure that stays on one line with its unit."""
    return amount.replace(" ", "\u00a0")


def _cell(entry: dict[str, Any], month: str) -> dict[str, Any]:
    """How often in a month, and where in it the days lie, from 0 to 1."""
    if month in entry["rounds"]:
        return {"count": "●", "days": []}
    count = entry["months"].get(month)
    days = [date.fromisoformat(day).day for day in entry["dates"] if day.startswith(month)]
    return {"count": f"{round(count, 1):g}" if count else "", "days": [(day - 0.5) / 31 for day in days]}
