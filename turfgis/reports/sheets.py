"""Printed pages as PDF, black and white, A4 or US letter: order sheet, drop list and area schedule."""

from collections.abc import Sequence
from dataclasses import replace
from itertools import groupby
from typing import TYPE_CHECKING, Any

from turfgis.estimates.order import Order
from turfgis.reports.cautions import sheet_cautions
from turfgis.reports.facts import TON_NOTES, Facts, plain_words
from turfgis.reports.order_sheet import order_page
from turfgis.reports.orders import by_load, in_order, plural, spoken_name, weight
from turfgis.reports.printed import accuracy_words, page_data, render_page, trimmed, with_signs
from turfgis.reports.schedule import Line, Schedule, area_schedule
from turfgis.reports.screen import one_line
from turfgis.reports.tables import Row
from turfgis.units import shown

if TYPE_CHECKING:
    import pandas as pd

MOST_DROPS = 22  # rows, heads and sums on one page; with more, each surface has a page of its own


def order_sheet_pdf(order: Order, facts: Facts, units: str = "metric", *, date: str = "") -> bytes:
    """
    The order as two pages: one for the supplier, one that stays with the club.

    Parameters
    ----------
    order
        What is ordered, and how the amount was built.
    facts
        The course.
    units
        ``metric`` (A4) or ``us`` (US letter).
    date
        Day of the order as it is to be printed; a line to write on where it is left out.

    Returns
    -------
    A PDF file.
    """
    return render_page("order.typ", order_page(order, facts, units, date))


def drop_list_pdf(
    order: Order, facts: Facts, units: str = "metric", *, date: str = "", hopper_kg: float | None = None
) -> bytes:
    """
    What the driver drops where: one line for each place in the order of play, with a running total and a box to tick.

    Parameters
    ----------
    order, facts, units
        As for :func:`order_sheet_pdf`.
    date
        Day of the work as it is to be printed.
    hopper_kg
        What the spreader holds, as delivered; then hoppers are shown beside the weight. [kg]

    Returns
    -------
    A PDF file.
    """
    how, area = weight(order, units), shown("area", units)
    label = with_signs(area.label)
    said = [
        one_line(date),
        f"for {plain_words(one_line(order.group))}" if order.group else "",
        f"weights as delivered{', moisture ' + one_line(order.moisture) if order.moisture else ''}",
        f"one hopper holds {trimmed(how, hopper_kg)}" if hopper_kg else "",
    ]
    words = "; ".join(part for part in said if part)
    note = words[0].upper() + words[1:] + ". " + (TON_NOTES[units] if by_load(order) else "")
    groups = _drop_groups(order, units, hopper_kg)
    data = {
        **page_data(f"Drop list: {plain_words(one_line(order.material))}", facts, units),
        "note": note.strip(),
        "heads": [label, how.label, *(("hoppers", "hoppers so far") if hopper_kg else (f"{how.label} so far",))],
        "strong": 1 if hopper_kg else 0,
        "groups": groups,
        "apart": sum(len(group["rows"]) + 2 for group in groups) > MOST_DROPS,
        "cautions": sheet_cautions("drops" if by_load(order) else order.kind, more=facts.cautions),
    }
    return render_page("drops.typ", data)


def _drop_groups(order: Order, units: str, hopper_kg: float | None) -> list[dict[str, Any]]:
    """Rows surface by surface; several patches of one surface on one hole are one row, as they are one stop."""
    how, area = weight(order, units), shown("area", units)
    so_far, groups = 0.0, []

    def amounts(kg: float) -> list[str]:
        if not hopper_kg:
            return [how.number(kg), how.number(so_far)]
        return [how.number(kg), f"{kg / hopper_kg:.1f}", f"{so_far / hopper_kg:.1f}"]

    for surface, of_surface in groupby(in_order(order.lines), key=lambda line: line.surface):
        rows, lines = [], list(of_surface)
        for _, of_stop in groupby(lines, key=lambda line: line.hole or line.patch):
            stop = list(of_stop)
            kg = sum(line.delivered_kg for line in stop)
            so_far += kg
            several = len(stop) > 1
            place = f"{stop[0].hole} {plural(surface)}" if several else spoken_name(stop[0], stop)
            rows.append(
                {
                    "place": one_line(place),
                    "count": f"{len(stop)} places" if several else "",
                    "area": area.number(sum(line.net_m2 for line in stop)),
                    "amounts": amounts(kg),
                }
            )
        net, kg = (sum(getattr(line, name) for line in lines) for name in ("net_m2", "delivered_kg"))
        name = one_line(plural(surface))
        groups.append({"name": name, "sum": f"all {name}", "rows": rows, "totals": [area.number(net), *amounts(kg)]})
    return groups


def area_schedule_pdf(
    patches: "pd.DataFrame", facts: Facts, units: str = "metric", *, order: Sequence[str] | None = None
) -> bytes:
    """
    Net areas for the office wall: one row for each hole, a column for each surface, sub-totals, plus-minus, perimeter.

    Parameters
    ----------
    patches, order
        As for :func:`turfgis.reports.tables.areas_rows`.
    facts, units
        As for :func:`order_sheet_pdf`.

    Returns
    -------
    A PDF file.
    """
    schedule = area_schedule(patches, order)
    names = [row["surface"] for row in schedule.surfaces]
    label = with_signs(shown("area", units).label)
    data = {
        **page_data("Area schedule", facts, units),
        "note": f"Net areas in {label}: ground drawn twice counts once, for the surface that lies on top.",
        "heads": ["hole", *(one_line(plural(name)) for name in names), "all", "±"],
        "second": ["", *(_cut(row, units) for row in schedule.surfaces), label, label],
        "rows": _schedule_rows(schedule, units),
        "accuracy": accuracy_words(facts) + " ± is the half-width of a 95 % interval, also of the sums.",
        "cautions": sheet_cautions("areas", more=facts.cautions),
    }
    return render_page("schedule.typ", data)


def _cut(row: Row, units: str) -> str:
    """Height of cut under the heading of a surface, where the whole surface has one."""
    return "" if row["cut_mm"] is None else f"cut {trimmed(shown('small length', units), row['cut_mm'] / 1000)}"


def _schedule_rows(schedule: Schedule, units: str) -> list[dict[str, Any]]:
    """Holes, a sub-total under each part that has several, the total, and its plus-minus, perimeter and patches."""
    area = shown("area", units)
    edge = replace(shown("length", units), decimals=0)
    surfaces = schedule.surfaces

    def printed(kind: str, line: Line) -> dict[str, Any]:
        nets = [area.number(line.nets_m2[row["surface"]]) if row["surface"] in line.nets_m2 else "" for row in surfaces]
        figures = [*nets, area.number(line.net_m2), area.number(line.plus_minus_m2)]
        return {"kind": kind, "cells": [one_line(line.label), *figures]}

    made: list[dict[str, Any]] = []
    for part in schedule.parts:
        made += [printed("hole", line) for line in part.holes]
        if len(part.holes) > 1:
            made.append(printed("sum", part.total))
    made.append(printed("sum", schedule.total))
    gives = [area.number(row["plus_minus_m2"]) for row in surfaces]
    edges = [edge.number(row["perimeter_m"]) for row in surfaces]
    counts = [f"{row['patches']:,}" for row in surfaces]
    every_edge = edge.number(sum(row["perimeter_m"] for row in surfaces))
    every_patch = f"{sum(row['patches'] for row in surfaces):,}"
    foot = [
        ["±", *gives, area.number(schedule.total.plus_minus_m2), ""],
        [f"perimeter, {edge.label}", *edges, every_edge, ""],
        ["patches", *counts, every_patch, ""],
    ]
    return made + [{"kind": "foot", "cells": cells} for cells in foot]
