"""The budget for the screen, as rows for CSV, and as JSON."""

import textwrap
from collections import defaultdict
from collections.abc import Sequence
from typing import Any

from turfgis.estimates.budget import Budget, BudgetRow
from turfgis.reports.columns import Column
from turfgis.reports.facts import plain_words
from turfgis.reports.screen import WIDEST, one_line, text_table
from turfgis.reports.tables import COVERAGE, Row
from turfgis.units import shown

# View -> key of its rows in CSV and JSON, and what a row without a name is called on the screen.
KEYS = {
    "month": ("month", "no month"),
    "surface": ("surface", "no surface"),
    "material": ("material", "labour"),
    "cost-code": ("cost_code", "no code"),
    "group": ("group", "no group"),
    "job": ("job", "ordering"),
    "resource": ("resource", ""),
}
_PER_JSON = {"kg": ("kg", 1.0), "m3": ("l", 1000.0), "m2": ("m2", 1.0), "count": ("count", 1.0)}
SPREAD_NOTE = (
    "± is the half-width of the 95 % interval from areas, depths, rates and densities with a spread. Prices, wages and "
    "the number of times are taken as they are given."
)
BUDGET_NOTE = (
    "A plan, not an offer: prices are those in the settings. Labels, local rules, licences and a look at the ground "
    "come before any of these works."
)


def budget_rows(budget: Budget, view: str) -> list[Row]:
    """
    Rows of one view, in the currency of the course.

    Parameters
    ----------
    budget
        The budget.
    view
        ``month``, ``surface``, ``material``, ``cost-code``, ``group``, ``job`` or ``resource``.

    Returns
    -------
    The name, net costs by resource after stock, ``ordering`` (rounding up, minimum orders, delivery),
    ``contingency``, ``taxes``, ``cost`` and its standard uncertainty ``u``.
    """
    key = KEYS[view][0]
    return [
        {
            key: row.name,
            # by material the column of that name holds the names, and the money stands under "materials"
            **{"materials" if one == key else one: cost for one, cost in row.resources.items()},
            "ordering": row.ordering,
            "contingency": row.contingency,
            "taxes": row.taxes,
            "cost": row.cost,
            "u": row.u,
        }
        for row in budget.by(view)
    ]


def budget_json(budget: Budget) -> dict[str, Any]:
    """
    The budget as a nest of dictionaries and lists.

    Every list adds up to ``total``, save ``by_material``, which holds materials and purchases only. A month or surface
    of null is what has none.
    """
    by_month = _month_rows(budget)
    return {
        "year": budget.year,
        "currency": budget.currency,
        "total": budget.total,
        "total_u": budget.u,
        "months": [
            {"month": row.name, "cost": row.cost, "u": row.u, "rows": by_month[row.name]} for row in budget.by("month")
        ],
        **{f"by_{KEYS[view][0]}": budget_rows(budget, view) for view in ("surface", "cost-code", "group", "job")},
        "by_material": _material_rows(budget),
        "by_resource": budget_rows(budget, "resource"),
        "lines": {
            "needs": budget.net,
            "rounding": budget.rounding,
            "minimum": budget.minimum,
            "delivery": budget.delivery,
            "contingency": [{"name": name, "cost": cost} for name, cost in budget.contingency.items()],
            "taxes": [{"name": name, "cost": cost} for name, cost in budget.taxes.items()],
        },
        "stock_value": budget.stock_value,
        "orders": [
            {
                "material": one.material,
                "group": one.group,
                "month": one.month,
                **_amounts(budget, one.material, one.needed, one.from_stock, one.to_order, one.delivered),
                "packs": one.units,
            }
            for one in budget.orders
        ],
        "years": [{"year": year, "cost": cost, "u": u} for year, cost, u in budget.years],
        "unpriced": list(budget.unpriced),
        "remarks": list(budget.remarks),
        "note": SPREAD_NOTE,
    }


def _month_rows(budget: Budget) -> dict[str | None, list[Row]]:
    """What is paid for in each month: a row for each job and resource, and for each order."""
    sums: dict[tuple, float] = defaultdict(float)
    names = ("month", "job", "group", "resource", "material", "what")
    table = budget.table()
    for *key, cost in zip(*(table[name] for name in (*names, "cost")), strict=True):
        sums[tuple(key)] += cost
    rows: dict[str | None, list[Row]] = defaultdict(list)
    for key, cost in sums.items():
        rows[key[0]].append({**dict(zip(names[1:], key[1:], strict=True)), "cost": cost})
    return rows


def _unit(budget: Budget, material: str) -> str:
    return next(row.unit for row in budget.materials if row.material == material and row.kind != "purchase")


def _amounts(budget: Budget, material: str, needed: float, stock: float, to_order: float, comes: float) -> Row:
    unit, per = _PER_JSON[_unit(budget, material)]
    return {
        unit: needed * per,
        f"from_stock_{unit}": stock * per,
        f"to_order_{unit}": to_order * per,
        f"delivered_{unit}": comes * per,
    }


def _material_rows(budget: Budget) -> list[Row]:
    rows = []
    for row in budget.materials:
        unit, per = _PER_JSON[row.unit]
        amounts: Row = {unit: row.needed * per}
        if row.kind != "purchase":
            amounts = {
                unit: row.needed * per,
                f"u_{unit}": row.u_needed * per,
                f"from_stock_{unit}": row.from_stock * per,
                f"to_order_{unit}": row.to_order * per,
                f"delivered_{unit}": row.delivered * per,
            }
        rows.append(
            {
                "material": row.material,
                "kind": row.kind,
                "supplier": row.supplier or None,
                "cost_code": row.cost_code or None,
                **amounts,
                "packs": row.packs,
                "cost": row.cost,
                "u": row.u,
            }
        )
    return rows


def budget_text(budget: Budget, view: str = "month", units: str = "metric") -> str:
    """
    The budget for the screen: one view, then the lines that make the total, materials, and the years ahead.

    Parameters
    ----------
    budget, view
        As for :func:`budget_rows`.
    units
        ``metric`` or ``us``.
    """
    year = f" {budget.year}" if budget.year else ""
    title = f"Budget{year}, in {budget.currency}"
    blocks = ["\n".join([title, "=" * len(title)]) + "\n", _view_table(budget, view), _lines_table(budget)]
    blocks.append(_materials_table(budget, units))
    blocks.append(_years_table(budget))
    said = [f"No price, and so left out: {', '.join(plain_words(one_line(one)) for one in budget.unpriced)}."]
    said = said if budget.unpriced else []
    if any(row.resources["fuel"] for row in budget.by("resource")):
        said.append("Fuel stands in the column of machines; --by resource parts them.")
    said = [*said, *(one_line(one) for one in budget.remarks), SPREAD_NOTE, BUDGET_NOTE]
    blocks.append("\n".join(textwrap.fill(line, WIDEST) for line in said) + "\n")
    return "\n".join(block for block in blocks if block)


def _view_table(budget: Budget, view: str) -> str:
    rows, heads, total = budget_table(budget, view)
    return text_table(rows, heads, totals=[total])


def budget_table(budget: Budget, view: str) -> tuple[list[Row], list[Column], Row]:
    """One view in whole units of money, as the screen shows it: rows, columns that are used, and the total."""
    key, nameless = KEYS[view]
    rows = [_shown_row(row, view, nameless) for row in budget.by(view)]
    total = {name: sum(row[name] for row in rows) for name in _MONEY if name != "plus_minus"}
    total = {"name": "total", **total, "plus_minus": COVERAGE * budget.u}
    used = [name for name in _MONEY if name in ("cost", "plus_minus") or any(row[name] for row in rows)]
    return rows, [Column("name", key.replace("_", " ")), *(Column(name, _MONEY[name], "count") for name in used)], total


# Key of a column of money -> its heading. Whole units of money: a budget is not known to the cent.
_MONEY = {
    "material": "material",
    "machine": "machine",
    "labour": "labour",
    "other": "bought in",
    "ordering": "ordering",
    "contingency": "contingency",
    "taxes": "taxes",
    "cost": "cost",
    "plus_minus": "±",
}


def _shown_row(row: BudgetRow, view: str, nameless: str) -> Row:
    name = nameless if row.name is None else row.name if view == "month" else plain_words(one_line(row.name))
    return {
        "name": name,
        "material": row.resources["material"],
        # one column, so that names keep their room; rows by resource and the files part them
        "machine": row.resources["machine"] + row.resources["fuel"],
        "labour": row.resources["labour"],
        "other": row.resources["water"] + row.resources["purchase"] + row.resources["contractor"],
        "ordering": row.ordering,
        "contingency": row.contingency,
        "taxes": row.taxes,
        "cost": row.cost,
        "plus_minus": COVERAGE * row.u,
    }


def total_lines(budget: Budget) -> list[tuple[str, float]]:
    """How the total comes about, to the cent: words and amount of every line that is not nought."""
    lines = [
        ("needs, after stock", budget.net),
        ("whole packs and loads, some in reserve", budget.rounding),
        ("least that suppliers deliver", budget.minimum),
        ("delivery", budget.delivery),
        *((f"{one_line(name)} (contingency)", cost) for name, cost in budget.contingency.items()),
        *((f"{one_line(name)} (tax)", cost) for name, cost in budget.taxes.items()),
    ]
    return [(name, cost) for name, cost in lines if cost]


def _lines_table(budget: Budget) -> str:
    rows = [{"line": name, "cost": cost} for name, cost in total_lines(budget)]
    heads = [Column("line", "line"), Column("cost", "cost", "money")]
    text = text_table(rows, heads, totals=[{"line": "total", "cost": budget.total}])
    if budget.stock_value:
        text += f"Stock used first spares {budget.stock_value:,.2f} {one_line(budget.currency)}.\n"
    return text


def _materials_table(budget: Budget, units: str) -> str:
    kinds = {"kg": "mass", "m3": "liquid", "m2": "area"}
    rows = []
    for row in budget.materials:
        kind = "heavy" if row.kind == "sand" else kinds.get(row.unit)
        text = shown(kind, units).text if kind else lambda value: f"{value:,.0f}"
        rows.append(
            {
                "material": plain_words(row.material),
                "needed": text(row.needed),
                "stock": text(row.from_stock) if row.from_stock else "",
                "comes": text(row.delivered),
                "packs": row.packs,
                "cost": row.cost,
                "plus_minus": COVERAGE * row.u,
            }
        )
    heads: Sequence[str | Column] = [
        "material",
        Column("needed", "needed"),
        Column("stock", "from stock"),
        Column("comes", "to be delivered"),
        Column("packs", "packs, loads", "count"),
        Column("cost", "cost", "money"),
        Column("plus_minus", "±", "money"),
    ]
    return text_table(rows, heads) if rows else ""


def _years_table(budget: Budget) -> str:
    rows = [{"year": str(year), "cost": cost, "plus_minus": COVERAGE * u} for year, cost, u in budget.years]
    heads = [Column("year", "year"), Column("cost", "cost", "money"), Column("plus_minus", "±", "money")]
    note = "Later years: the same programme, nothing in stock, and the growth of prices of the settings.\n"
    return text_table(rows, heads) + note
