"""Columns and rows of the planner's workbook: every view of the budget, what stands behind it, and the settings."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence

from turfgis.estimates.budget import Budget
from turfgis.estimates.outside import TOPPED_UP, settings_figures
from turfgis.published.ranges import RANGES, SHOWN, remark
from turfgis.reports.budget import KEYS
from turfgis.reports.columns import Column
from turfgis.reports.tables import COVERAGE, Row
from turfgis.settings.lines import key_lines
from turfgis.settings.models import CourseSettings, Sand
from turfgis.sources import cite
from turfgis.units import shown

Heads = Sequence[str | Column]

# Key of the money of a row -> its heading.
_MONEY = {
    "material": "materials",
    "machine": "machines",
    "labour": "people",
    "fuel": "fuel",
    "water": "water",
    "purchase": "bought as it is",
    "contractor": "contractors",
    "ordering": "ordering",
    "contingency": "contingency",
    "taxes": "taxes",
    "cost": "cost",
}
MONEY_SUMS = tuple(_MONEY)
UNDATED = "no month"
_WHOLE_DEPTH = "The published depth is that of all the sand; topping up takes less."
_AMOUNTS = {"needed": "needed", "from_stock": "from stock", "to_order": "to order", "delivered": "delivered"}


def view_rows(budget: Budget, view: str) -> tuple[Heads, list[Row]]:
    """One view of the budget; the name of a row without one says so."""
    key, nameless = KEYS[view]
    heads: Heads = [
        Column("name", key.replace("_", " ")),
        *(Column(name, head, "money") for name, head in _MONEY.items()),
        Column("plus_minus", "±", "money"),
    ]
    rows: list[Row] = [
        {
            # in a view of materials both would have the key "material"
            **{"name": nameless if row.name is None else row.name, **row.resources, "ordering": row.ordering},
            **{"contingency": row.contingency, "taxes": row.taxes, "cost": row.cost, "plus_minus": COVERAGE * row.u},
        }
        for row in budget.by(view)
    ]
    return heads, rows


def across_rows(budget: Budget) -> tuple[Heads, list[Row]]:
    """Cost codes and groups down, months across."""
    table = budget.table()
    sums: dict[tuple[str, str], dict[str, float]] = defaultdict(lambda: defaultdict(float))
    months: set[str] = set()
    for code, group, month, cost in zip(table["cost_code"], table["group"], table["month"], table["cost"], strict=True):
        months.add(month or UNDATED)
        sums[code or "", group or ""][month or UNDATED] += cost
    ordered = sorted(months, key=lambda name: (name == UNDATED, name))
    heads: Heads = ["cost_code", "group", *(Column(name, name, "money") for name in ordered)]
    heads = [Column("cost_code", "cost code"), *heads[1:], Column("all", "all", "money")]
    rows: list[Row] = [
        {"cost_code": code or "no code", "group": group, **of_month, "all": sum(of_month.values())}
        for (code, group), of_month in sorted(sums.items(), key=lambda one: (one[0][0] == "", one[0]))
    ]
    return heads, rows


def month_sums(heads: Heads) -> tuple[str, ...]:
    """Columns of money among the heads."""
    return tuple(one.key for one in heads if isinstance(one, Column) and one.kind == "money")


def material_rows(budget: Budget, settings: CourseSettings, units: str) -> tuple[Heads, list[Row]]:
    """One row for each material and purchase of the year."""
    heads: Heads = [
        *("material", "kind", "supplier", Column("cost_code", "cost code"), "unit"),
        *(Column(key, head, "number") for key, head in _AMOUNTS.items()),
        Column("packs", "packs or loads", "count"),
        Column("price", "price of a unit", "number"),
        Column("cost", "cost", "money"),
        Column("plus_minus", "±", "money"),
    ]
    rows: list[Row] = []
    for one in budget.materials:
        label, per = _readable(one.unit, one.kind == "sand", units)
        price = settings.material[one.material].unit_price if one.kind != "purchase" else None
        rows.append(
            {
                **{"material": one.material, "kind": one.kind, "supplier": one.supplier, "cost_code": one.cost_code},
                **{"unit": label, **{key: getattr(one, key) * per for key in _AMOUNTS}, "packs": one.packs},
                **{"price": None if price is None else price / per, "cost": one.cost},
                "plus_minus": COVERAGE * one.u,
            }
        )
    return heads, rows


def bought_rows(budget: Budget, settings: CourseSettings, units: str) -> tuple[Heads, list[Row]]:
    """One row for each order: a material for a group of jobs, and when it is first wanted."""
    heads: Heads = [
        *("month", "supplier", "material", "group", "unit"),
        *(Column(key, head, "number") for key, head in _AMOUNTS.items()),
        Column("packs", "packs or loads", "count"),
        *(Column(key, key, "money") for key in ("rounding", "minimum", "delivery")),
    ]
    rows: list[Row] = []
    for one in sorted(budget.orders, key=lambda order: (order.month or "9999", order.material)):
        material = settings.material[one.material]
        label, per = _readable(material.base, isinstance(material, Sand), units)
        charges = dict(zip(("rounding", "minimum", "delivery"), one.charges(settings), strict=True))
        rows.append(
            {
                **{"month": one.month or UNDATED, "supplier": material.supplier, "material": one.material},
                **{"group": one.group, "unit": label, **{key: getattr(one, key) * per for key in _AMOUNTS}},
                **{"packs": one.units, **charges},
            }
        )
    return heads, rows


def _readable(unit: str, sand: bool, units: str) -> tuple[str, float]:
    """Label of the unit that people use, and how many of it one SI unit is."""
    kind = "heavy" if sand else {"kg": "mass", "m3": "liquid", "m2": "area"}.get(unit)
    how = shown(kind, units) if kind else None
    return (how.label, how.per_si) if how else ("", 1.0)


def published_rows(settings: CourseSettings) -> tuple[Heads, list[Row]]:
    """Figures of the settings for which a published range is kept, with its source and what is worth a look."""
    heads: Heads = [
        Column("key", "of"),
        "figure",
        Column("own", "the club's", "number"),
        Column("low", "published from", "number"),
        Column("high", "to", "number"),
        *("unit", "source", Column("text", "remark")),
    ]
    rows: list[Row] = []
    for key, name, value in settings_figures(settings):
        known = RANGES[name]
        unit, scale = SHOWN[known.unit]
        outside = remark(name, value).split(" Source:")[0]
        rows.append(
            {
                **{"key": key, "figure": known.what, "own": value * scale, "low": known.low * scale},
                **{"high": known.high * scale, "unit": unit, "source": "; ".join(cite(one) for one in known.sources)},
                "text": _WHOLE_DEPTH if outside and name in TOPPED_UP else outside,
            }
        )
    return heads, rows


def settings_rows(text: str) -> tuple[Heads, list[Row]]:
    """
    The settings file: key, value as it is written, the note beside it, and the line.

    Examples
    --------
    >>> settings_rows("[material.sand]" + chr(10) + "price = '42 EUR/t'   # offer of March")[1]
    [{'key': 'material.sand.price', 'value': "'42 EUR/t'", 'text': 'offer of March', 'line': 2}]
    """
    lines = text.splitlines()
    found = sorted(key_lines(text).items(), key=lambda one: one[1])
    rows: list[Row] = []
    for at, (key, first) in enumerate(found):
        if lines[first - 1].lstrip().startswith("["):
            continue  # the head of a table has no value
        last = found[at + 1][1] if at + 1 < len(found) else len(lines) + 1
        pieces = [_parted(line) for line in lines[first - 1 : max(last - 1, first)]]
        # comment lines of their own below a value belong to what follows
        values = [value.strip() for value, _ in pieces]
        notes = [note for value, note in pieces if value.strip() and note]
        rows.append(
            {
                "key": ".".join(str(part + 1) if isinstance(part, int) else str(part) for part in key),
                "value": " ".join(value for value in values if value).partition("=")[2].strip(),
                "text": " ".join(notes),
                "line": first,
            }
        )
    return ["key", "value", Column("text", "note in the file"), Column("line", "line", "count")], rows


def _parted(line: str) -> tuple[str, str]:
    """A line before and after its comment; a hash in quotes begins none."""
    quote = ""
    for at, sign in enumerate(line):
        if quote:
            quote = "" if sign == quote else quote
        elif sign in "\"'":
            quote = sign
        elif sign == "#":
            return line[:at], line[at + 1 :].strip()
    return line, ""
