"""The page for the pump house: the nights of the week, the limits, and the water used against the licence line."""

from __future__ import annotations

from datetime import date, timedelta
from math import ceil, isnan, log10
from typing import Any
from xml.sax.saxutils import escape

import pandas as pd

from turfgis.estimates.course import Course
from turfgis.estimates.uniformity import CANS, MODEL, TYPED, Uniformity
from turfgis.estimates.water import Water
from turfgis.estimates.water_limits import LimitState, use_curve
from turfgis.reports import tables
from turfgis.reports.facts import Facts, plain_words
from turfgis.reports.outputs import course_facts
from turfgis.reports.printed import page_data, render_page, with_signs
from turfgis.reports.screen import one_line
from turfgis.reports.tables import plain_rows
from turfgis.reports.water import (
    back_sentences,
    day_words,
    limit_rows,
    limit_sentence,
    night_rows,
    short_sentence,
    surface_rows,
    uniformity_sentences,
    water_cautions,
    water_json,
    water_remarks,
    water_rows,
)
from turfgis.reports.write import Content
from turfgis.units import shown

WIDE, HIGH = 180.0, 62.0  # of a chart [mm on paper]
LEFT, RIGHT, TOP, BOTTOM = 16.0, 24.0, 5.0, 8.0
FONT = "Libertinus Serif, Georgia, serif"


def water_files(course: Course, units: str) -> dict[str, Content]:
    """The page for the pump house and the rows of the year; nothing where nothing is watered."""
    water = course.water
    if water is None:
        return {}
    rows = water_rows(water) or limit_rows(water)
    return {
        "water.pdf": water_pdf(water, course_facts(course, units), units),
        "water.csv": tables.csv_text(rows).encode("utf-8"),
        "water.json": tables.json_text(water_json(water)).encode("utf-8"),
    }


def water_pdf(water: Water, facts: Facts, units: str = "metric") -> bytes:
    """
    One page for the wall of the pump house.

    Parameters
    ----------
    water
        The water of a course.
    facts
        The course.
    units
        ``metric`` (A4) or ``us`` (US letter).

    Returns
    -------
    A PDF file.
    """
    return render_page("water.typ", water_page(water, facts, units))


def water_page(water: Water, facts: Facts, units: str) -> dict[str, Any]:
    """All that the page says, as JSON can carry it."""
    depth, volume = shown("small length", units), shown("water", units)
    nights = night_rows(water)
    days, surfaces = water.days, [one.surface for one in water.surfaces]
    given = {}
    if nights:
        for row in plain_rows(days.loc[days["plan"].astype(bool)]):
            given[f"{row['date']:%Y-%m-%d}", row["surface"]] = (row["applied_mm"], row["applied_m3"], row["short_m3"])
    rows = []
    for night in nights:
        cells = []
        for surface in surfaces:
            let_mm, let_m3, short = given[night["date"], surface]
            words = {"depth": "", "volume": "", "short": short > 1e-6}
            if let_m3 > 1e-6:
                words |= {"depth": depth.text(let_mm / 1000), "volume": volume.text(let_m3)}
            cells.append({key: with_signs(one) if isinstance(one, str) else one for key, one in words.items()})
        rows.append({"night": day_words(night["date"]), "cells": cells, "total": volume.number(night["applied_m3"])})
    when = f"{day_words(nights[0]['date'])} to {day_words(nights[-1]['date'])}" if nights else "no weather is known"
    charted = [one for one in water.limits if one.per in ("year", "season") and one.first and not isnan(one.used_m3)]
    return {
        **page_data(f"Water, {when}", facts, units),
        "note": f"Planned after {day_words(water.day)} {water.day.year}. A night has the name of its evening.",
        "surfaces": [
            {
                "name": plain_words(one_line(row["surface"])),
                "missing": f"{depth.text(row['deficit_mm'] / 1000)} missing" if "deficit_mm" in row else "",
                "evenly": _evenly(one.uniformity),
            }
            for row, one in zip(surface_rows(water), water.surfaces, strict=True)
        ],
        "total_label": with_signs(f"all, {volume.label}"),
        "rows": rows,
        "short": with_signs(short_sentence(water, units)) if nights else "",
        "limits": [
            {"words": with_signs(limit_sentence(one, units)), "source": one_line(one.source), "broken": one.broken}
            for one in water.limits
        ],
        "charts": [use_chart(water, one, units) for one in charted[:2]],
        "back": [with_signs(one) for one in back_sentences(water, units)] if nights else [],
        "evenly": uniformity_sentences(water) if nights else [],
        "remarks": [with_signs(one_line(one)) for one in water_remarks(water)],
        "cautions": water_cautions(),
    }


def _evenly(one: Uniformity) -> str:
    known = {TYPED: "typed", CANS: "cans", MODEL: "model"}
    return (
        f"low quarter {100 * one.share:.0f} % ({known[one.judged_by]})"
        if one.judged_by in known
        else "evenness not known"
    )


def use_chart(water: Water, limit: LimitState, units: str = "metric") -> str:
    """
    Water used since the period began against the line of its limit, as a drawing for page and print.

    Parameters
    ----------
    water, limit
        The water of a course, and one of its limits by the year or the season.
    units
        ``metric`` or ``us``.

    Returns
    -------
    An SVG image: what was used as a full line, the time to come at this rate as a dashed one, the limit across.
    """
    how = shown("water", units)
    first, last = limit.first or water.day, limit.last or water.day
    days, used = use_curve(first, water.day, water.reckoned, water.meter)
    ahead = [water.day, last]
    rate = 0.0 if isnan(water.rate_m3) else water.rate_m3
    coming = [limit.used_m3, limit.used_m3 + rate * (last - water.day).days]
    if limit.date_passed and limit.date_passed > water.day:  # the line stops where it may go no further
        ahead[1], coming[1] = limit.date_passed, limit.limit_m3
    top = max(limit.limit_m3, limit.used_m3) * 1.12 * how.per_si
    span = max((last - first).days, 1)

    def x(day: date) -> float:
        return LEFT + (WIDE - LEFT - RIGHT) * (day - first).days / span

    def y(volume: float) -> float:
        return TOP + (HIGH - TOP - BOTTOM) * (1 - volume * how.per_si / top)

    def line(points: list[tuple[float, float]], style: str) -> str:
        return f'<polyline fill="none" points="{" ".join(f"{a:.2f},{b:.2f}" for a, b in points)}" {style}/>'

    def words(at: float, height: float, text: str, more: str = "") -> str:
        return f'<text x="{at:.2f}" y="{height:.2f}" font-size="3.1" {more}>{escape(with_signs(text))}</text>'

    body = []
    for amount in _marks(top):
        height = y(amount / how.per_si)
        body.append(line([(LEFT, height), (WIDE - RIGHT, height)], 'stroke="#bbbbbb" stroke-width="0.15"'))
        body.append(words(LEFT - 1.5, height + 1.1, f"{amount:,.0f}", 'text-anchor="end"'))
    for begin in _months(first, last):
        body.append(line([(x(begin), y(0)), (x(begin), y(0) + 1.2)], 'stroke="#000000" stroke-width="0.2"'))
        body.append(words(x(begin) + 0.5, HIGH - 3.2, f"{begin:%b}"))
    edge = y(limit.limit_m3)
    body.append(line([(LEFT, edge), (WIDE - RIGHT, edge)], 'stroke="#000000" stroke-width="0.7"'))
    body.append(words(WIDE - RIGHT + 1, edge + 1.1, "limit", 'font-weight="bold"'))
    body.append(
        line([(x(a), y(b)) for a, b in zip(ahead, coming, strict=True)],
             'stroke="#000000" stroke-width="0.45" stroke-dasharray="1.5 1.2"')
    )  # fmt: skip
    body.append(line([(x(a), y(b)) for a, b in zip(days, used, strict=True)], 'stroke="#000000" stroke-width="0.8"'))
    body.append(f'<circle cx="{x(water.day):.2f}" cy="{y(limit.used_m3):.2f}" r="1"/>')
    body.append(words(x(water.day) + 1.8, y(limit.used_m3) + 3.2, f"{day_words(water.day)}: {how.text(limit.used_m3)}"))
    if limit.date_passed and ahead[1] == limit.date_passed:
        body.append(words(x(ahead[1]) + 1.2, edge - 1.2, day_words(limit.date_passed)))
    body.append(line([(LEFT, y(0)), (WIDE - RIGHT, y(0))], 'stroke="#000000" stroke-width="0.3"'))
    body.append(words(LEFT - 14.5, TOP - 1.4, f"{how.label} since {day_words(first)} {first.year}"))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDE:g} {HIGH:g}" font-family="{FONT}" role="img">'
        f"<title>{escape(limit_sentence(limit, units))}</title>{''.join(body)}</svg>"
    )


def _marks(top: float) -> list[float]:
    """Round figures up an axis, three to six of them."""
    step = 10 ** int(log10(max(top, 1e-9)))
    while top / step < 3:
        step /= 2
    while top / step > 6:
        step *= 2
    return [step * at for at in range(ceil(top / step))]


def _months(first: date, last: date) -> list[date]:
    begins = pd.date_range(first, last, freq="MS")
    return [one.date() for one in begins] or [first, first + timedelta(days=1)][:1]
