"""The printed spray sheet for the certified operator: tank by tank, patch by patch, with a record to fill in."""

from collections.abc import Sequence
from typing import Any

from turfgis.estimates.labels import Used
from turfgis.estimates.spraying import SprayPlan
from turfgis.reports.cautions import sheet_cautions
from turfgis.reports.facts import Facts, plain_words
from turfgis.reports.printed import page_data, render_page, with_signs
from turfgis.reports.screen import one_line
from turfgis.reports.spray import dose, head_words, labels_said, plan_words
from turfgis.units import shown

RECORD = ("start", "stop", "wind speed", "wind from", "temperature", "weather", "litres left", "by whom")
MOST_RECORDS = 6  # columns of the record; a round of more tanks is written on a second sheet


def spray_pdf(
    plans: Sequence[SprayPlan], ledger: Sequence[Used], facts: Facts, units: str = "metric", *, date: str = ""
) -> bytes:
    """
    Spray sheets, one job after another.

    Parameters
    ----------
    plans, ledger
        What is planned, and what patches have had and are to have.
    facts
        The course.
    units
        ``metric`` (A4) or ``us`` (US letter).
    date
        Day of the work as it is to be printed; a line to write on where it is left out.

    Returns
    -------
    A PDF file.
    """
    data: dict[str, Any] = {
        **page_data("Spray sheet", facts, units),
        "date": one_line(date),
        "cautions": sheet_cautions("spray", more=facts.cautions),
        "record": _record(units),
        "jobs": [_job(plan, ledger, units) for plan in plans],
    }
    return render_page("spray.typ", data)


def _record(units: str) -> list[str]:
    return [words if units == "metric" else words.replace("litres", "gallons") for words in RECORD]


def _job(plan: SprayPlan, ledger: Sequence[Used], units: str) -> dict[str, Any]:
    area, liquid, exact = shown("area", units), shown("liquid", units), shown("measured liquid", units)
    spray = [f"spray, {liquid.label}"] if plan.volume is not None else []
    products = [plain_words(one_line(key)) for key in plan.job.rates]
    fills = [
        {
            "cells": [
                str(fill.number),
                *(exact.number(amount) for amount in fill.products_m3.values()),
                liquid.number(fill.water_m3),
                liquid.number(fill.mixed_m3),
                area.number(fill.covers_m2),
            ],
            "where": _where(fill, units),
        }
        for fill in plan.fills
    ]
    return {
        "title": f"Spray: {one_line(plan.job.name)}",
        "note": with_signs(head_words(plan, units)),
        "labels": [with_signs(_label(plan, key, ledger, units)) for key in plan.job.rates],
        "fill_heads": [
            "tank",
            *(f"{name}, {exact.label}" for name in products),
            f"water, {liquid.label}",
            f"in the tank, {liquid.label}",
            with_signs(f"covers, {area.label}"),
        ],
        "fills": fills,
        "fill_total": [
            "total",
            *(exact.number(plan.products_m3[key]) for key in plan.job.rates),
            liquid.number(sum(fill.water_m3 for fill in plan.fills)),
            liquid.number(plan.mixed_m3 or 0.0),
            area.number(plan.treated_m2),
        ],
        "stop_heads": [
            "patch",
            *(with_signs(f"{name}, {area.label}") for name in ("net", "kept off", "treated")),
            *spray,
            "tank",
        ],
        "stops": [
            [
                one_line(stop.patch),
                *(area.number(one) for one in (stop.net_m2, stop.kept_m2, stop.treated_m2)),
                *([liquid.number(stop.treated_m2 * plan.volume)] if plan.volume is not None else []),
                _tanks(stop.tanks, units),
            ]
            for stop in plan.stops
        ],
        "stop_total": [
            "total",
            *(area.number(one) for one in (plan.net_m2, plan.kept_m2, plan.treated_m2)),
            *([liquid.number(plan.treated_m2 * plan.volume)] if plan.volume is not None else []),
            "",
        ],
        "words": [with_signs(words) for words in [*map(one_line, plan.remarks), *plan_words(plan, units)]],
        "records": min(max(len(plan.fills), 1), MOST_RECORDS),
    }


def _where(fill, units: str) -> str:
    """From which patch to which, and what is left there for the next tank."""
    said = one_line(fill.from_patch)
    if fill.to_patch != fill.from_patch:
        said += f" to {one_line(fill.to_patch)}"
    if fill.left_m2:
        said += f"; runs dry there with {shown('area', units).text(fill.left_m2)} to go"
        if fill.way_m:
            said += f", {shown('distance', units).text(fill.way_m)} from the yard"
    return with_signs(said)


def _tanks(tanks: dict[int, float], units: str) -> str:
    """The tank of a patch; where there are two, with the ground that each covers."""
    if len(tanks) < 2:
        return ", ".join(map(str, tanks))
    area = shown("area", units)
    return with_signs(", ".join(f"{tank}: {area.text(ground)}" for tank, ground in tanks.items()))


def _label(plan: SprayPlan, key: str, ledger: Sequence[Used], units: str) -> str:
    """What the label was said to allow, and what the patches of the job that have most have had and are to have."""
    said = f"{plain_words(one_line(key)).capitalize()}: {labels_said(plan.settings, key, units)}."
    patches = {stop.patch for stop in plan.stops}
    own = [one for one in ledger if one.material == key and one.patch in patches]
    if own:
        most = max(own, key=lambda one: one.done + one.planned)
        said += (
            f" Most on a patch{f' in {most.year}' if most.year else ''}: {dose(most.done, units)} recorded, "
            f"{dose(most.planned, units)} planned"
        )
        said += f", {dose(most.left, units)} left." if most.left is not None else "."
    return said
