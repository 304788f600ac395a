"""Spray plans for the screen and for programs: ground, tanks, what labels say, what an error would cost."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from turfgis.layers.findings import listed
from turfgis.reports.cautions import sheet_cautions
from turfgis.reports.columns import Column, column
from turfgis.reports.facts import plain_words
from turfgis.reports.screen import WIDEST, one_line, text_table
from turfgis.reports.tables import Row
from turfgis.units import shown

if TYPE_CHECKING:
    from turfgis.estimates.labels import Breach
    from turfgis.estimates.spraying import Spraying, SprayPlan
    from turfgis.settings.models import CourseSettings

LITRES, PER_HA = 1000.0, 1e7  # from m3, and from m3/m2
_WHAT = {
    "most": "the label allows {allowed} each time",
    "most_a_year": "the label allows {allowed} in a year",
    "times_a_year": "the label allows {allowed} in a year",
    "interval": "the label asks for {allowed} between two times",
}


def breach_words(one: Breach, units: str = "metric") -> str:
    """What a label does not allow, and where, in one line."""
    if one.what == "interval":
        allowed, found = (_days(number) for number in (one.allowed, one.found))
    elif one.what == "times_a_year":
        allowed, found = (_times(number) for number in (one.allowed, one.found))
    else:
        allowed, found = (dose(number, units) for number in (one.allowed, one.found))
    said = _WHAT[one.what].format(allowed=allowed)
    jobs = f" ({', '.join(one_line(name) for name in one.jobs)})" if one.jobs else ""
    got = f"only {found}" if one.what == "interval" else found
    return f"{one_line(one.material)}: {said}; {one.when}: {got} on {listed(list(one.patches))}{jobs}"


def _days(number: float) -> str:
    return "1 day" if number == 1 else f"{number:.0f} days"


def _times(number: float) -> str:
    return f"{number:g} {'time' if number == 1 else 'times'}"


def dose(rate: float, units: str) -> str:
    """A rate of a product, without noughts that say nothing."""
    how = shown("dose", units)
    number = how.number(rate)
    return f"{number.rstrip('0').rstrip('.') if '.' in number else number} {how.label}"


def refusals(spraying: Spraying, units: str = "metric") -> list[str]:
    """One line for each job or label that stops a plan from being printed."""
    said = [
        f"{one_line(name)} is not planned: a maximum of zero was typed in from the label of "
        f"{', '.join(one_line(key) for key in keys)}"
        for name, keys in spraying.forbidden.items()
    ]
    return [*said, *(breach_words(one, units) for one in spraying.breaches)]


def spray_text(spraying: Spraying, units: str = "metric", *, ledger: bool = False) -> str:
    """
    Spray plans for the screen.

    Parameters
    ----------
    spraying
        The plans.
    units
        ``metric`` or ``us``.
    ledger
        Whether the ledger of patches and products stands below.
    """
    parts = [plan_text(plan, units) for plan in spraying.plans]
    if ledger:
        parts.append(ledger_text(spraying, units))
    notes = [*spraying.remarks, *sheet_cautions("spray")]
    return "\n".join([*parts, *_wrapped(notes)])


def _wrapped(notes: list[str]) -> list[str]:
    return [
        line
        for text in notes
        for line in textwrap.wrap(one_line(text), WIDEST, initial_indent="- ", subsequent_indent="  ")
    ]


def plan_text(plan: SprayPlan, units: str) -> str:
    """One job: its ground, its tanks, and what to know of both."""
    head = f"{one_line(plan.job.name)}: {head_words(plan, units)}"
    lines = [*textwrap.wrap(head, WIDEST, subsequent_indent="  "), ""]
    if plan.stops:
        rows, columns, total = stop_table(plan)
        lines += [text_table(rows, columns, units, [total])]
    if plan.fills:
        rows, columns, total = fill_table(plan)
        lines += [text_table(rows, columns, units, [total])]
    notes = [*map(one_line, plan.remarks), *plan_words(plan, units)]
    return "\n".join([*lines, *_wrapped(notes), ""])


def head_words(plan: SprayPlan, units: str) -> str:
    """Products with their rates, the spray volume and the sprayer."""
    products = " + ".join(f"{plain_words(one_line(key))} {dose(rate.mean, units)}" for key, rate in _rates(plan))
    said = [products]
    if plan.volume is not None:
        said.append(f"{shown('spray volume', units).text(plan.volume)} of spray")
    if plan.job.machine:
        gear = plan.settings.machine[plan.job.machine].spray
        tank = f", tank of {shown('liquid', units).text(gear.tank)}" if gear else ""
        said.append(f"{plain_words(one_line(plan.job.machine))}{tank}")
    return "; ".join(said)


def _rates(plan: SprayPlan):
    return plan.job.rates.items()


def stop_table(plan: SprayPlan) -> tuple[list[Row], list[str | Column], Row]:
    """Patches in the order in which they are sprayed: rows, columns and the total."""
    return stop_rows(plan), _stop_columns(plan), _stop_total(plan)


def fill_table(plan: SprayPlan) -> tuple[list[Row], list[str | Column], Row]:
    """Tanks: rows, columns with one for each product, and the total."""
    return fill_rows(plan), _fill_columns(plan), _fill_total(plan)


def stop_rows(plan: SprayPlan) -> list[Row]:
    """Patches in the order in which they are sprayed."""
    rate = plan.job.rate.mean
    return [
        {
            "patch": stop.patch,
            "surface": stop.surface,
            "hole": stop.hole,
            "net_m2": stop.net_m2,
            "kept_m2": stop.kept_m2,
            "treated_m2": stop.treated_m2,
            "spray": None if plan.volume is None else stop.treated_m2 * plan.volume,
            "on_net": rate * stop.treated_m2 / stop.net_m2,
            "tanks": ", ".join(map(str, stop.tanks)),
        }
        for stop in plan.stops
    ]


def _stop_total(plan: SprayPlan) -> Row:
    return {
        "patch": "total",
        "net_m2": plan.net_m2,
        "kept_m2": plan.kept_m2,
        "treated_m2": plan.treated_m2,
        "spray": None if plan.volume is None else plan.treated_m2 * plan.volume,
        "on_net": plan.job.rate.mean * plan.treated_m2 / plan.net_m2,
    }


def _stop_columns(plan: SprayPlan) -> list[str | Column]:
    return [
        *("patch", "net_m2", column("kept_m2", "kept off"), "treated_m2"),
        Column("spray", "spray", "liquid"),
        Column("on_net", f"{plain_words(plan.job.material)} on net", "dose"),
        Column("tanks", "tank"),
    ]


def fill_rows(plan: SprayPlan) -> list[Row]:
    """Tanks, with a column for each product."""
    return [
        {
            "tank": str(fill.number),
            **{f"product {at}": fill.products_m3[key] for at, key in enumerate(plan.job.rates)},
            "water": fill.water_m3,
            "mix": fill.mixed_m3,
            "covers_m2": fill.covers_m2,
            "where": f"{fill.from_patch} to {fill.to_patch}",
            "left_m2": fill.left_m2 or None,
        }
        for fill in plan.fills
    ]


def _fill_total(plan: SprayPlan) -> Row:
    return {
        "tank": "total",
        **{f"product {at}": plan.products_m3[key] for at, key in enumerate(plan.job.rates)},
        "water": sum(fill.water_m3 for fill in plan.fills),
        "mix": plan.mixed_m3,
        "covers_m2": sum(fill.covers_m2 for fill in plan.fills),
        "where": "",
    }


def _fill_columns(plan: SprayPlan) -> list[str | Column]:
    products = [
        Column(f"product {at}", plain_words(one_line(key)), "measured liquid") for at, key in enumerate(plan.job.rates)
    ]
    return [
        "tank",
        *products,
        Column("water", "water", "liquid"),
        Column("mix", "in the tank", "liquid"),
        column("covers_m2", "covers"),
        Column("where", "where"),
        column("left_m2", "then left there"),
    ]


def plan_words(plan: SprayPlan, units: str) -> Iterator[str]:
    """What stands below the tables of a job: rates on both areas, what is kept off, the rest, nozzles, an error."""
    area, liquid = shown("area", units), shown("liquid", units)
    if not plan.stops:
        return
    for key, rate in _rates(plan):
        on_net = rate.mean * plan.treated_m2 / plan.net_m2
        yield (
            f"{one_line(key)}: {dose(rate.mean, units)} on the treated area, {dose(on_net, units)} over the net area; "
            f"{shown('measured liquid', units).text(plan.products_m3[key])} each time."
        )
    if plan.kept_off:
        width = shown("width", units)
        metres = ", ".join(f"{width.text(one)} from {one_line(name)}" for name, one in plan.kept_off.items())
        yield f"Kept off: {metres}; {area.text(plan.kept_m2)} of these patches."
    if plan.overlap:
        yield f"Passes of the boom overlap, which covers {100 * plan.overlap:.1f} % of the ground twice."
    if plan.rest_m3:
        yield (
            f"{liquid.text(plan.rest_m3)} stay in the sprayer at the end and are mixed with the first tank; "
            "nothing else is left over."
        )
    if plan.nozzle_flow is not None:
        speed = plan.settings.machine[plan.job.machine or ""].speed
        yield (
            f"Each nozzle must put out {shown('nozzle flow', units).text(plan.nozzle_flow)} at "
            f"{shown('speed', units).text(speed)}."
        )
    yield error_words(plan, units)


def error_words(plan: SprayPlan, units: str) -> str:
    """What 5 % too much costs each time."""
    more, money, missed = plan.error_cost()
    products = " and ".join(
        f"{shown('measured liquid', units).text(amount)} of {one_line(key)}" for key, amount in more.items()
    )
    cost = "" if money is None else f" ({money:,.2f} {plan.settings.currency})"
    said = f"A sprayer that puts out 5 % too much takes {products}{cost} more each time"
    return f"{said}, or leaves {shown('area', units).text(missed)} without."


def ledger_text(spraying: Spraying, units: str) -> str:
    """What patches have had of each product, and what is planned, by calendar year."""
    heads = [
        "patch",
        Column("done", "done", "dose"),
        Column("times_done", "times", "count"),
        Column("last", "last day"),
        Column("planned", "planned", "dose"),
        Column("times", "times", "count"),
        Column("left", "left by label", "dose"),
    ]
    made = ["Ledger of labels, on the ground that is treated", ""]
    for material, year in dict.fromkeys((one.material, one.year) for one in spraying.ledger):
        rows = [
            {
                "patch": one.patch,
                "done": one.done,
                "times_done": one.times_done,
                "planned": one.planned,
                "times": one.times_planned,
                "left": one.left,
                "last": "" if one.last is None else one.last.isoformat(),
            }
            for one in spraying.ledger
            if (one.material, one.year) == (material, year)
        ]
        made += [f"{plain_words(one_line(material))}{f', {year}' if year else ''}", text_table(rows, heads, units)]
    return "\n".join(made) if spraying.ledger else "Nothing is sprayed.\n"


def spray_json(spraying: Spraying) -> dict[str, Any]:
    """All of it for programs; litres, square metres, litres to the hectare."""
    return {
        "jobs": [_plan_json(plan) for plan in spraying.plans],
        "refused": [
            *({"job": name, "materials": list(keys), "why": "zero"} for name, keys in spraying.forbidden.items()),
            *(_breach_json(one) for one in spraying.breaches),
        ],
        "ledger": [
            {
                "material": one.material,
                "year": one.year,
                "patch": one.patch,
                "surface": one.surface,
                "hole": one.hole,
                "done_l_ha": one.done * PER_HA,
                "times_done": one.times_done,
                "planned_l_ha": one.planned * PER_HA,
                "times_planned": one.times_planned,
                "left_l_ha": None if one.left is None else one.left * PER_HA,
                "last_day": None if one.last is None else one.last.isoformat(),
            }
            for one in spraying.ledger
        ],
        "remarks": list(spraying.remarks),
        "cautions": sheet_cautions("spray"),
    }


def _breach_json(one: Breach) -> Row:
    scale = PER_HA if one.what in ("most", "most_a_year") else 1.0
    unit = {"interval": "days", "times_a_year": "times"}.get(one.what, "l_ha")
    return {
        "jobs": list(one.jobs),
        "materials": [one.material],
        "why": one.what,
        "when": one.when,
        "patches": list(one.patches),
        f"allowed_{unit}": one.allowed * scale,
        f"found_{unit}": one.found * scale,
    }


def _plan_json(plan: SprayPlan) -> dict[str, Any]:
    more, money, missed = plan.error_cost()
    return {
        "job": plan.job.name,
        "group": plan.job.group,
        "machine": plan.job.machine,
        "times": plan.times,
        "spray_volume_l_ha": None if plan.volume is None else plan.volume * PER_HA,
        "net_m2": plan.net_m2,
        "kept_m2": plan.kept_m2,
        "treated_m2": plan.treated_m2,
        "mixed_l": None if plan.mixed_m3 is None else plan.mixed_m3 * LITRES,
        "rest_l": plan.rest_m3 * LITRES,
        "nozzle_l_min": None if plan.nozzle_flow is None else plan.nozzle_flow * 6e4,
        "products": [
            {
                "material": key,
                "l": plan.products_m3[key] * LITRES,
                "treated_l_ha": rate.mean * PER_HA,
                "net_l_ha": rate.mean * PER_HA * plan.treated_m2 / plan.net_m2 if plan.stops else None,
                "more_by_5_pct_l": more[key] * LITRES,
            }
            for key, rate in _rates(plan)
        ],
        "missed_by_5_pct_m2": missed,
        "cost_of_5_pct": money,
        "kept_off_m": plan.ground.metres,
        "swallowed": list(plan.ground.swallowed),
        "patches": [
            {
                **{key: row[key] for key in ("patch", "surface", "hole", "net_m2", "kept_m2", "treated_m2")},
                "spray_l": None if row["spray"] is None else row["spray"] * LITRES,
                "tanks": [{"tank": tank, "treated_m2": area} for tank, area in stop.tanks.items()],
            }
            for row, stop in zip(stop_rows(plan), plan.stops, strict=True)
        ],
        "tanks": [
            {
                "tank": fill.number,
                "products_l": {key: amount * LITRES for key, amount in fill.products_m3.items()},
                "water_l": fill.water_m3 * LITRES,
                "mixed_l": fill.mixed_m3 * LITRES,
                "treated_m2": fill.covers_m2,
                "from_patch": fill.from_patch,
                "to_patch": fill.to_patch,
                "left_m2": fill.left_m2,
                "way_to_yard_m": fill.way_m,
            }
            for fill in plan.fills
        ],
        "remarks": list(plan.remarks),
    }


def spray_rows(spraying: Spraying) -> list[Row]:
    """One row for each job, patch, tank and product."""
    rows: list[Row] = []
    for plan in spraying.plans:
        for stop in plan.stops:
            parts = stop.tanks or {None: stop.treated_m2}
            for tank, area in parts.items():
                for key, rate in _rates(plan):
                    rows.append(
                        {
                            "job": plan.job.name,
                            "patch": stop.patch,
                            "surface": stop.surface,
                            "hole": stop.hole,
                            "net_m2": stop.net_m2,
                            "kept_m2": stop.kept_m2,
                            "treated_m2": area,
                            "tank": tank,
                            "spray_l": None if plan.volume is None else area * plan.volume * LITRES,
                            "material": key,
                            "product_l": area * rate.mean * LITRES,
                            "treated_l_ha": rate.mean * PER_HA,
                            "net_l_ha": rate.mean * PER_HA * stop.treated_m2 / stop.net_m2,
                        }
                    )
    return rows


def labels_said(settings: CourseSettings, key: str, units: str) -> str:
    """What was typed in from the label of a product, in words; that none was."""
    label = getattr(settings.material[key], "label", None)
    if label is None:
        return "no label typed in"
    said = []
    if label.most is not None:
        said.append(f"at most {dose(label.most, units)} each time")
    if label.most_a_year is not None:
        said.append(f"at most {dose(label.most_a_year, units)} in a year")
    if label.times_a_year is not None:
        said.append(f"at most {_times(label.times_a_year)} in a year")
    if label.interval is not None:
        unit = label.interval.unit
        said.append(f"{label.interval.count} {unit}{'s' if label.interval.count > 1 else ''} between two times")
    width = shown("width", units)
    said += [f"{width.text(metres)} off {one_line(name)}" for name, metres in label.keep_off.items()]
    source = f" ({one_line(label.source)})" if label.source else ""
    return f"typed in from the label{source}: {', '.join(said) or 'nothing'}"
