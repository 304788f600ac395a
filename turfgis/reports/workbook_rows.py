"""Which columns and rows stand on which sheet of the workbook, and the line of words above each."""

from collections.abc import Iterable, Sequence
from typing import Any

from turfgis.estimates.order import Order
from turfgis.reports.cautions import CAUTIONS, order_cautions, sheet_cautions
from turfgis.reports.columns import Column
from turfgis.reports.facts import TON_NOTES, Facts
from turfgis.reports.orders import by_load, in_order, spoken_name
from turfgis.reports.tables import COVERAGE, Row
from turfgis.units import shown

NOTES = {
    "By surface": "Net: ground drawn twice counts once, for the surface on top. The total follows the filter.",
    "By hole": "Net areas, holes down and surfaces across, with a sub-total for each part of the course.",
    "By part": "Net areas of front nine, back nine and practice by surface. The total follows the filter.",
    "Patches": "One row for each patch; its source is file, layer and feature. The total follows the filter.",
    "Orders": "One row for each material: what is needed, what lies in the yard, what to order, how sure that is.",
    "Order lines": "What each patch needs. Sand dry and as delivered; seed and feed in a column of their own.",
    "Mowing": CAUTIONS["mowing_guess"],
    "Take-off": "What every job needs on every patch. Rows share figures, so their uncertainties do not add up.",
    "Heads": CAUTIONS["head_model"],
    "Findings": "What was set aside or mended in the layers, and what is worth a look.",
}


def about_rows(facts: Facts, units: str, names: Sequence[str]) -> list[tuple[str, str]]:
    """Labels and words of the first sheet."""
    system = "metric" if units == "metric" else "US customary"
    rows = [
        ("Surveyed", facts.surveyed or "not given"),
        ("Plus-minus", facts.accuracy_note or "How far the drawn edges may be out was not given."),
        ("", "± is the half-width of a 95 % interval; that of a sum is not the sum of those of its parts."),
        ("Units", f"{system}. {TON_NOTES[units]}"),
        ("Money", facts.currency or "no prices given"),
        *([("Data", facts.attribution)] if facts.attribution else []),
        *((name, NOTES[name]) for name in names),
    ]
    cautions = sheet_cautions("areas", "mowing", more=facts.cautions)
    return [*rows, *(("Caution" if at == 0 else "", words) for at, words in enumerate(cautions))]


def order_sum_rows(orders: Sequence[Order]) -> tuple[list[str | Column], list[Row]]:
    """One row an order; weights of sand and of packed goods have columns of their own."""
    heads: list[str | Column] = [
        *("material", "group", "jobs"),
        Column("dry_t", "sand, dry", "heavy", 1000.0),
        Column("delivered_t", "sand, as delivered", "heavy", 1000.0),
        Column("plus_minus_t", "±", "heavy", 1000.0),
        Column("stock_t", "in the yard", "heavy", 1000.0),
        Column("to_order_t", "to order", "heavy", 1000.0),
        Column("load_t", "one load", "heavy", 1000.0),
        Column("need_kg", "seed or feed", "mass"),
        Column("plus_minus_kg", "±", "mass"),
        Column("stock_kg", "in the yard", "mass"),
        Column("to_order_kg", "to order", "mass"),
        Column("pack_kg", "one pack", "mass"),
        *_other_heads(orders),
        Column("count", "loads or packs", "count"),
        Column("chance_short", "chance of running short", "share"),
        "cost",
        "currency",
        Column("text", "cautions"),
    ]
    rows: list[Row] = []
    for order in orders:
        ending, per = ("t", 1000.0) if by_load(order) else ("kg", 1.0)
        amounts: Row = (
            {"need_" + order.unit: order.delivered_kg}
            if order.unit != "kg"
            else {
                "delivered_t" if by_load(order) else "need_kg": order.delivered_kg / per,
                f"plus_minus_{ending}": COVERAGE * order.u_kg / per,
                f"stock_{ending}": order.stock_kg / per,
                f"to_order_{ending}": order.to_order_kg / per,
                "load_t" if by_load(order) else "pack_kg": None if order.unit_kg is None else order.unit_kg / per,
            }
        )
        if by_load(order):
            amounts["dry_t"] = order.dry_kg / per
        chances = [choice.chance_short for choice in order.loads if choice.loads == order.units]
        rows.append(
            {
                **{"material": order.material, "group": order.group, "jobs": ", ".join(order.jobs)},
                **amounts,
                "count": order.units,
                "chance_short": chances[0] if chances else None,
                "cost": order.cost,
                "currency": order.currency,
                "text": " ".join(order_cautions(order)),
            }
        )
    return heads, rows


def _other_heads(orders: Sequence[Order]) -> list[Column]:
    """Columns for what goes by volume or by area, where there is any."""
    heads = {"m3": Column("need_m3", "liquid", "liquid"), "m2": Column("need_m2", "turf", "area")}
    return [head for unit, head in heads.items() if any(order.unit == unit for order in orders)]


def order_line_rows(orders: Sequence[Order]) -> tuple[list[str | Column], list[Row]]:
    """One row a line of an order."""
    heads: list[str | Column] = [
        *("material", "group", "place", "patch", "surface", "hole", "net_m2", "treated_m2", "volume_m3"),
        *("dry_t", "delivered_t"),
        Column("need_kg", "seed or feed", "mass"),
        *_other_heads(orders),
    ]
    rows: list[Row] = []
    for order in orders:
        for line in in_order(order.lines):
            place = spoken_name(line, order.lines)
            row: Row = {
                **{"material": order.material, "group": order.group, "place": place},
                **{"patch": line.patch, "surface": line.surface, "hole": line.hole},
                **{"net_m2": line.net_m2, "treated_m2": line.treated_m2},
            }
            if by_load(order):
                row |= {"dry_t": line.dry_kg / 1000, "delivered_t": line.delivered_kg / 1000}
                row["volume_m3"] = line.volume_m3 or None
            else:
                row["need_" + order.unit] = line.delivered_kg
            rows.append(row)
    return heads, rows


def takeoff_rows(rows: list[Row], units: str) -> tuple[list[str | Column], list[Row]]:
    """The take-off with its quantities in units that people use: kg or lb, hours for seconds."""
    mass = shown("mass", units)
    liquid, area = shown("liquid", units), shown("area", units)
    readable = {
        "kg": (mass.label, mass.per_si),
        "s": ("h", 1 / 3600),
        "m3": (liquid.label, liquid.per_si),
        "m2": (area.label, area.per_si),
    }
    known = ("job", "group", "work", "date", "month", "times", "patch", "surface", "hole", "net_m2", "treated_m2")
    texts = [name for name in known if any(name in row for row in rows)]
    heads: list[str | Column] = [
        *(Column(name, name, "count") if name == "times" else name for name in texts),
        *("resource", "material"),
        *([Column("cost_code", "cost code")] if any(row.get("cost_code") for row in rows) else []),
        Column("quantity", "quantity", "number"),
        "unit",
        Column("u_quantity", "standard uncertainty", "number"),
        "cost",
    ]
    made = []
    for row in rows:
        unit, factor = readable.get(row["unit"], (row["unit"], 1.0))
        scaled = {name: None if row.get(name) is None else row[name] * factor for name in ("quantity", "u_quantity")}
        made.append({**row, **scaled, "unit": unit})
    return heads, made


def finding_rows(findings: Iterable[Any]) -> tuple[list[str | Column], list[Row]]:
    """One row a finding."""
    names = ("level", "code", "file", "layer", "feature", "text")
    return list(names), [{name: getattr(finding, name) for name in names} for finding in findings]
