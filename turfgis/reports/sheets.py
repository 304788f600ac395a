"""Printed pages as PDF, black and white, A4 or US letter: order sheet, drop list and area schedule."""

from collections.abc import Sequence
from dataclasses import replace
from itertools import accumulate
from typing import TYPE_CHECKING, Any

from turfgis.estimates.order import Order
from turfgis.reports.cautions import sheet_cautions
from turfgis.reports.facts import TON_NOTES, Facts, plain_words
from turfgis.reports.order_sheet import order_page
from turfgis.reports.orders import by_load, in_order, spoken_name, weight
from turfgis.reports.printed import accuracy_words, page_data, render_page, trimmed, with_signs
from turfgis.reports.screen import one_line
from turfgis.reports.tables import NO_HOLE, Row, areas_rows, areas_totals, part_of
from turfgis.surfaces import SURFACES
from turfgis.units import shown

if TYPE_CHECKING:
    import pandas as pd


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
    lines = in_order(order.lines)
    running = list(accumulate(line.delivered_kg for line in lines))
    hoppers = bool(hopper_kg)

    def amounts(kg: float, so_far: float) -> list[str]:
        if not hopper_kg:
            return [how.number(kg), how.number(so_far)]
        return [how.number(kg), f"{kg / hopper_kg:.1f}", f"{so_far / hopper_kg:.1f}"]

    heads = ["done", "where", with_signs(area.label), how.label]
    heads += ["hoppers", "hoppers so far"] if hoppers else [f"{how.label} so far"]
    whole = running[-1] if running else 0.0
    said = [
        one_line(date),
        f"for {plain_words(one_line(order.group))}" if order.group else "",
        f"weights as delivered{', moisture ' + one_line(order.moisture) if order.moisture else ''}",
        f"one hopper holds {trimmed(how, hopper_kg)}" if hopper_kg else "",
    ]
    words = "; ".join(part for part in said if part)
    note = words[0].upper() + words[1:] + ". " + (TON_NOTES[units] if by_load(order) else "")
    data = {
        **page_data(f"Drop list: {plain_words(one_line(order.material))}", facts, units),
        "note": note.strip(),
        "heads": heads,
        "strong": 1 if hoppers else 0,
        "rows": [
            {
                "place": one_line(spoken_name(line, order.lines)),
                "area": area.number(line.net_m2),
                "amounts": amounts(line.delivered_kg, so_far),
            }
            for line, so_far in zip(lines, running, strict=True)
        ],
        "totals": ["total", area.number(sum(line.net_m2 for line in lines)), *amounts(whole, whole)],
        "cautions": sheet_cautions("drops" if by_load(order) else order.kind, more=facts.cautions),
    }
    return render_page("drops.typ", data)


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
    by_surface = areas_rows(patches, "surface", order)
    surfaces = [row["surface"] for row in by_surface]
    area = shown("area", units)
    label = with_signs(area.label)
    data = {
        **page_data("Area schedule", facts, units),
        "note": f"Net areas in {label}: each square metre counted once, for the surface that lies on top.",
        "heads": [
            "hole",
            *(SURFACES[name].plural if name in SURFACES else one_line(name) for name in surfaces),
            "all",
            "±",
        ],
        "second": ["", *(_cut(row, units) for row in by_surface), label, label],
        "rows": _schedule_rows(patches, by_surface, units, order),
        "accuracy": accuracy_words(facts) + " ± is the half-width of a 95 % interval, also of the sums.",
        "cautions": sheet_cautions("areas", more=facts.cautions),
    }
    return render_page("schedule.typ", data)


def _plural(surface: str) -> str:
    """Heading of a surface; its hyphen does not break, or a narrow column would end on it."""
    name = SURFACES[surface].plural if surface in SURFACES else one_line(surface)
    return name.replace("-", "\u2011")


def _cut(row: Row, units: str) -> str:
    """Height of cut under the heading of a surface, where the whole surface has one."""
    return "" if row["cut_mm"] is None else f"cut {trimmed(shown('small length', units), row['cut_mm'] / 1000)}"


def schedule_table(
    patches: "pd.DataFrame", order: Sequence[str] | None = None
) -> tuple[list[str], list[tuple[str, dict[str, float], float, float]]]:
    """
    Holes down and surfaces across: what the printed schedule and the workbook share.

    Returns
    -------
    Names of the surfaces; and rows of label, net area of each surface, of all, and plus-minus of all. [m2] Each part
    of the course ends with its sub-total, labelled with its name.
    """
    surfaces = [row["surface"] for row in areas_rows(patches, "surface", order)]
    cells: dict[Any, dict[str, float]] = {}
    for row in areas_rows(patches, "hole", order):
        cells.setdefault(row["hole"], {})[row["surface"]] = row["net_m2"]
    holes = {row["hole"]: row for row in _all_surfaces(patches)}
    return surfaces, [
        (NO_HOLE if hole is None else str(hole), nets, holes[hole]["net_m2"], holes[hole]["plus_minus_m2"])
        for hole, nets in cells.items()
    ]


def _all_surfaces(patches: "pd.DataFrame") -> list[Row]:
    """One row a hole, all surfaces together."""
    return areas_rows(patches.assign(surface="all"), "hole")


def _schedule_rows(
    patches: "pd.DataFrame", by_surface: list[Row], units: str, order: Sequence[str] | None
) -> list[dict[str, Any]]:
    area = shown("area", units)
    edge = replace(shown("length", units), decimals=0)
    surfaces, holes = schedule_table(patches, order)
    by_part: dict[str, dict[str, float]] = {}
    for row in areas_rows(patches, "part", order):
        by_part.setdefault(row["part"], {})[row["surface"]] = row["net_m2"]
    *parts, whole = areas_totals(patches) or [None]
    totals = {row["part"]: row for row in parts if row}

    def line(kind: str, label: str, nets: dict[str, float], net: float, give: float) -> dict[str, Any]:
        figures = [area.number(nets[name]) if name in nets else "" for name in surfaces]
        return {"kind": kind, "cells": [one_line(label), *figures, area.number(net), area.number(give)]}

    made: list[dict[str, Any]] = []
    for at, (label, nets, net, give) in enumerate(holes):
        part = part_of(None if label == NO_HOLE else label)
        following = holes[at + 1][0] if at + 1 < len(holes) else None
        made.append(line("hole", label, nets, net, give))
        last = following is None or part_of(None if following == NO_HOLE else following) != part
        alone = at == 0 or part_of(holes[at - 1][0]) != part
        if last and not alone:
            made.append(line("sum", part, by_part[part], totals[part]["net_m2"], totals[part]["plus_minus_m2"]))
    if whole:
        sums = {row["surface"]: row["net_m2"] for row in by_surface}
        made.append(line("sum", "total", sums, whole["net_m2"], whole["plus_minus_m2"]))
        gives = [area.number(row["plus_minus_m2"]) for row in by_surface]
        made.append({"kind": "foot", "cells": ["±", *gives, area.number(whole["plus_minus_m2"]), ""]})
        edges = [edge.number(row["perimeter_m"]) for row in by_surface]
        cells = [f"perimeter, {edge.label}", *edges, edge.number(whole["perimeter_m"]), ""]
        made.append({"kind": "foot", "cells": cells})
        counts = [f"{row['patches']}" for row in by_surface]
        made.append({"kind": "foot", "cells": ["patches", *counts, f"{whole['patches']}", ""]})
    return made
