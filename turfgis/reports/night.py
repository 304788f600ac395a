"""The night's plan: on the screen, for other programs and printed for the pump house."""

from __future__ import annotations

from datetime import timedelta
from math import isfinite
from typing import Any

from turfgis.estimates.night import NO_ROOM, NO_WATER
from turfgis.estimates.night_plan import FULL, NightPlan, short_of
from turfgis.reports.cautions import sheet_cautions
from turfgis.reports.columns import Column
from turfgis.reports.facts import Facts
from turfgis.reports.orders import bullets
from turfgis.reports.printed import page_data, render_page, with_signs
from turfgis.reports.screen import one_line, text_table
from turfgis.reports.tables import Row, plain_rows
from turfgis.units import shown

DAY_MIN = 24 * 60
FLOW = ("pump flow", 1 / 3600)
KEPT = (
    *("station", "controller", "surface", "holes", "patches", "heads", "flow_m3_h", "rate_mm_h", "depth_mm", "minutes"),
    *("cycles", "cycle_min", "soak_min", "m3"),
)


def clock(plan: NightPlan, minute: int) -> str:
    """A minute of the window as a time of day."""
    at = (plan.begins // 60 + minute) % DAY_MIN
    return f"{at // 60:02d}:{at % 60:02d}"


def night_schedule(plan: NightPlan) -> list[Row]:
    """One row a station, in the order in which they start: ``start``, ``starts`` and ``end`` are times of day."""
    rows = plain_rows(plan.schedule)
    return [
        {
            "start": clock(plan, row["start_min"]),
            "end": clock(plan, row["starts"][-1] + row["cycle_min"]),
            "starts": [clock(plan, minute) for minute in row["starts"]],
            **{key: row[key] for key in KEPT},
        }
        for row in rows
    ]


def night_left(plan: NightPlan) -> list[Row]:
    """Stations that are not watered: the first to go short in front, with ``why``."""
    return [{key: row[key] for key in ("station", "controller", "surface", "holes", "minutes", "m3", "why")}
            for row in plain_rows(plan.left)]  # fmt: skip


def night_hours(plan: NightPlan) -> list[Row]:
    """One row an hour: ``from``, ``m3``, ``most_m3_h``, ``most_heads``, and ``level_m3`` of the tank at its end."""
    rows = plain_rows(plan.hours)
    return [{"from": clock(plan, row["from_min"]), **{k: row[k] for k in row if k != "from_min"}} for row in rows]


def night_json(plan: NightPlan) -> dict[str, Any]:
    """All of it, in SI."""
    night = plan.night
    return {
        "night": plan.day.isoformat(),
        "begins": clock(plan, 0),
        "ends": clock(plan, night.source.window),
        "over": clock(plan, night.end) if night.runs else None,
        "m3": night.m3,
        "level_m3": plan.level_m3,
        "level_from": plan.level_from or None,
        "asked_m3": sum(plan.runs["m3"].tolist()),
        "asked_mm": dict(plan.asked_mm),
        "schedule": night_schedule(plan),
        "left": night_left(plan),
        "hours": night_hours(plan),
        "by_hand": list(plan.by_hand),
        "short": short_of(plan) or None,
        "gap": night.gap,
        "remarks": night_words(plan),
        "cautions": sheet_cautions("night"),
    }


def night_words(plan: NightPlan) -> list[str]:
    """What goes short, and what was taken for granted, in plain sentences."""
    night, said = plan.night, []
    never = [row for row in plain_rows(plan.left) if row["why"] not in (NO_ROOM, NO_WATER)]
    for why in dict.fromkeys(row["why"] for row in never):
        names = ", ".join(one_line(row["station"]) for row in never if row["why"] == why)
        said.append(f"Cannot run even alone ({why}): {names}. The rest is planned.")
    if plan.by_hand:
        said.append(f"No head serves {', '.join(map(one_line, plan.by_hand))}: water by hand.")
    if night.runs and night.gap > 0.01:
        said.append(f"The plan may be {night.gap:.0%} from the best there is: stations do not add up to the pump.")
    if not night.runs and not night.left:
        said.append("Nothing is due on this night.")
    if plan.level_from == FULL:
        said.append("The tank is taken as full when the window begins.")
    elif plan.level_m3 is not None:
        said.append(f"The tank holds {plan.level_m3:,.0f} m3 when the window begins, {plan.level_from}.")
    return [*said, *plan.notes, "Minutes are rounded up to whole ones, cycle by cycle."]


def _short(plan: NightPlan) -> str:
    words = short_of(plan)
    if words:
        return f"{words[0].upper()}{words[1:]}."
    if plan.night.left:  # what can run at no time; the remarks say why
        return "What else is due is watered." if plan.night.runs else "Nothing that is due can run."
    return "Everything that is due is watered."


def night_heading(plan: NightPlan) -> str:
    """Which night it is, in words."""
    after = plan.day + timedelta(days=1)
    return f"Night of {plan.day:%A} {plan.day.day} {plan.day:%B} to {after.day} {after:%B %Y}"


def night_text(plan: NightPlan, units: str = "metric") -> str:
    """
    The plan for the screen: stations by time, what goes short, the tank by the hour.

    Parameters
    ----------
    plan
        A night of a course.
    units
        ``metric`` or ``us``.
    """
    night, volume = plan.night, shown("volume", units) if units == "metric" else shown("water", units)
    window = f"{clock(plan, 0)} to {clock(plan, night.source.window)}"
    lines = [f"{night_heading(plan)}, {window}: {volume.text(night.m3)}"]
    lines += [f"The last station stops at {clock(plan, night.end)}." if night.runs else "Nothing runs.", ""]
    made = {title: text_table(rows, columns, units) for title, rows, columns in night_tables(plan, units)}
    lines += [made[STATIONS]] if STATIONS in made else []
    lines += [_short(plan), "", *(made[title] for title in (NOT_WATERED, HOURS) if title in made)]
    lines += [bullets("Remarks", night_words(plan)), bullets("Cautions", sheet_cautions("night"))]
    return "\n".join(lines)


STATIONS, NOT_WATERED, HOURS = "Stations", "Not watered", "By the hour"


def night_tables(plan: NightPlan, units: str) -> list[tuple[str, list[Row], list[str | Column]]]:
    """Stations by time, those that go short, and the hours: title, rows and columns of each that there is."""
    night, kind = plan.night, ("volume" if units == "metric" else "water", 1.0)
    made: list[tuple[str, list[Row], list[str | Column]]] = []
    columns: list[str | Column]
    rows = night_schedule(plan)
    for row in rows:
        row["run"] = f"{row['cycles']} x {row['cycle_min']}" if row["cycles"] > 1 else str(row["cycle_min"])
    if rows:
        columns = ["start", "station", "controller", "surface", "holes", Column("run", "minutes"),
                   Column("end", "end"), Column("heads", "heads", "count"), Column("m3", "water", *kind)]  # fmt: skip
        made.append((STATIONS, rows, columns))
    left = night_left(plan)
    if left:
        columns = ["station", "controller", "surface", "holes", Column("m3", "lacks", *kind), Column("why", "why")]
        made.append((NOT_WATERED, left, columns))
    if night.runs:
        columns = [Column("from", "hour from"), Column("m3", "pumped", *kind), Column("most_m3_h", "flow up to", *FLOW),
                   Column("most_heads", "heads up to", "count")]  # fmt: skip
        if night.source.tank is not None:
            columns += [Column("level_m3", "in the tank", *kind), Column("lowest_m3", "lowest", *kind)]
        made.append((HOURS, night_hours(plan), columns))
    return made


def night_pdf(plan: NightPlan, facts: Facts, units: str = "metric") -> bytes:
    """
    The plan as pages for the pump house.

    Parameters
    ----------
    plan, units
        As for :func:`night_text`.
    facts
        The course.

    Returns
    -------
    A PDF file.
    """
    volume, flow = shown("volume" if units == "metric" else "water", units), shown("pump flow", units)
    night = plan.night
    schedule = [
        [
            row["start"],
            one_line(row["station"]),
            one_line(row["controller"]),
            row["surface"],
            one_line(row["holes"]),
            f"{row['cycles']} x {row['cycle_min']}" if row["cycles"] > 1 else str(row["cycle_min"]),
            ", ".join(row["starts"][1:]),
            volume.number(row["m3"]),
        ]
        for row in night_schedule(plan)
    ]
    hours = [
        [
            row["from"],
            volume.number(row["m3"]),
            flow.number(row["most_m3_h"] / 3600),
            str(row["most_heads"]),
            "–" if row["level_m3"] is None or not isfinite(row["level_m3"]) else volume.number(row["level_m3"]),
        ]
        for row in night_hours(plan)
    ]
    left = [
        [one_line(row["station"]), one_line(row["controller"]), row["surface"], volume.number(row["m3"]), row["why"]]
        for row in night_left(plan)
    ]
    unit = with_signs(volume.label)
    over = clock(plan, night.end)
    data: dict[str, Any] = {
        **page_data("Night's watering", facts, units),
        "note": f"{night_heading(plan)}; {with_signs(volume.text(night.m3))}"
        + (f", over at {over}" if night.runs else ""),
        "columns": ["start", "station", "controller", "surface", "hole", "minutes", "again at", unit],
        "rows": schedule,
        "short": with_signs(_short(plan)),
        "left_columns": ["station", "controller", "surface", f"lacks, {unit}", "why"],
        "left": left,
        "hour_columns": [
            "hour from",
            f"pumped, {unit}",
            f"up to, {with_signs(flow.label)}",
            "heads up to",
            f"in the tank, {unit}",
        ],
        "hours": hours,
        "words": [with_signs(words) for words in night_words(plan)],
        "cautions": sheet_cautions("night", more=facts.cautions),
    }
    return render_page("night.typ", data)
