"""The year as a workbook for whoever plans it: a sheet for each view, what stands behind it, and the settings used."""

from io import BytesIO

from turfgis.estimates.budget import Budget
from turfgis.estimates.change import Change
from turfgis.estimates.edges import estimate_edges
from turfgis.estimates.ledgers import estimate_ledger
from turfgis.estimates.limits import check_limits
from turfgis.estimates.programme import programme_rows
from turfgis.estimates.suppliers import supplier_orders
from turfgis.estimates.takeoff import Takeoff
from turfgis.reports.budget import BUDGET_NOTE, SPREAD_NOTE
from turfgis.reports.cautions import SHEETS, sheet_cautions
from turfgis.reports.change import CHANGE_NOTE, change_columns, change_rows, last_year
from turfgis.reports.columns import Column, column
from turfgis.reports.facts import TON_NOTES, Facts
from turfgis.reports.ledger import limit_table
from turfgis.reports.ledger_rows import NOTES as LEDGER_NOTES
from turfgis.reports.planner_ledger import edge_sheet, nutrient_sheet, sand_sheet
from turfgis.reports.planner_rows import (
    MONEY_SUMS,
    Heads,
    across_rows,
    bought_rows,
    material_rows,
    month_sums,
    published_rows,
    settings_rows,
    view_rows,
)
from turfgis.reports.supplier_book import DELIVERIES_NOTE, delivery_rows
from turfgis.reports.tables import COVERAGE, Row, plain_rows
from turfgis.reports.workbook_rows import takeoff_rows
from turfgis.reports.worksheets import begin_book, write_about, write_table

VIEWS = {
    "By month": "month",
    "By surface": "surface",
    "By cost code": "cost-code",
    "By material": "material",
    "By group": "group",
    "By job": "job",
}
_OF_VIEW = (
    "Net cost of each resource after stock; ordering is whole packs and loads, least amounts and delivery. The total "
    "follows the filter; its ± does not."
)
NOTES = {
    **dict.fromkeys(VIEWS, _OF_VIEW),
    "Months across": "Cost with all lines: cost codes and groups down, months across. The total follows the filter.",
    "Why it changed": CHANGE_NOTE,
    "Materials": "What the year takes, what lies in the yard, what comes in whole packs or loads, and its cost.",
    "Orders": "One row for each material and group of jobs. The month is the first in which something must be there; "
    "every delivery has a row on the next sheet.",
    "Deliveries": DELIVERIES_NOTE,
    "Programme": "What is done when, in order of time.",
    "Take-off": "What every job needs on every patch, month by month, at its price, before stock and whole packs.",
    "Nutrients": f"What is put out, month by month and running. {LEDGER_NOTES['areas']}",
    "Sand": f"Depths of dry sand, month by month and running. {LEDGER_NOTES['areas']}",
    "Beside edges": LEDGER_NOTES["edges"],
    "Limits": LEDGER_NOTES["limits"],
    "Published": "The club's figures beside published ranges and their sources. A range is no advice and no limit.",
    "Settings": "Every key of course.toml as it was read, with the note beside it and its line.",
}


def planner_workbook(
    budget: Budget,
    takeoff: Takeoff,
    facts: Facts,
    units: str = "metric",
    *,
    settings_text: str = "",
    change: Change | None = None,
) -> bytes:
    """
    The workbook.

    Parameters
    ----------
    budget, takeoff
        The year.
    facts
        The course.
    units
        ``metric`` or ``us``.
    settings_text
        The settings file, to be listed key by key; left out where it is empty.
    change
        Why the budget differs from last year's; left out where that is not known.

    Returns
    -------
    An XLSX file.
    """
    buffer = BytesIO()
    book = begin_book(buffer, facts, units, "Budget of a year")
    sheets = [sheet for sheet in _sheets(budget, takeoff, units, settings_text, change) if sheet[2]]
    write_about(book, _about(budget, takeoff, facts, units, [name for name, *_ in sheets], change))
    for name, heads, rows, sums, given in sheets:
        columns = [column(one) if isinstance(one, str) else one for one in heads]
        write_table(book, name, NOTES[name], columns, rows, sums=sums, given=given)
    book.made.close()
    return buffer.getvalue()


Sheet = tuple[str, Heads, list[Row], tuple[str, ...], Row | None]


def _sheets(budget: Budget, takeoff: Takeoff, units: str, settings_text: str, change: Change | None) -> list[Sheet]:
    settings = takeoff.settings
    whole = {"plus_minus": COVERAGE * budget.u}
    views: list[Sheet] = [(name, *view_rows(budget, view), MONEY_SUMS, whole) for name, view in VIEWS.items()]
    across = across_rows(budget)
    needs = takeoff_rows(plain_rows(takeoff.table("month")), units)
    programme: Heads = ["month", "date", "job", "group", "work", "on", Column("times", "times", "count")]
    return [
        *views[:1],
        ("Months across", *across, month_sums(across[0]), None),
        *views[1:],
        *([_why(change)] if change else []),
        ("Materials", *material_rows(budget, settings, units), ("cost",), None),
        ("Orders", *bought_rows(budget, settings, units), ("rounding", "minimum", "delivery"), None),
        ("Deliveries", *delivery_rows(supplier_orders(budget), settings, units), (), None),
        ("Programme", programme, programme_rows(settings), (), None),
        ("Take-off", *needs, (), None),
        *_ledger(takeoff, units),
        ("Published", *published_rows(settings), (), None),
        ("Settings", *settings_rows(settings_text), (), None),
    ]


def _ledger(takeoff: Takeoff, units: str) -> list[Sheet]:
    """Nutrients and sand, and the club's limits; a sheet without rows is left out."""
    ledger, edges = estimate_ledger(takeoff), estimate_edges(takeoff)
    return [
        ("Nutrients", *nutrient_sheet(ledger.months), (), None),
        ("Sand", *sand_sheet(ledger.months), (), None),
        ("Beside edges", *edge_sheet(edges), ("dry_t",), None),
        ("Limits", *limit_table(check_limits(takeoff), units), (), None),
    ]


def _why(change: Change) -> Sheet:
    """What changed since last year, job by job and line by line; sums follow the filter."""
    heads = change_columns()
    return "Why it changed", [*heads], change_rows(change)[:-1], tuple(one.key for one in heads if one.kind), None


def _about(
    budget: Budget, takeoff: Takeoff, facts: Facts, units: str, names: list[str], change: Change | None
) -> list[tuple[str, str]]:
    """What the figures are, how far to trust them, what is on which sheet, and cautions."""
    kinds = [takeoff.settings.material[one.material].kind for one in budget.orders]
    cautions = sheet_cautions(*(kind for kind in dict.fromkeys(kinds) if kind in SHEETS), "areas", more=facts.cautions)
    before = last_year(change) if change else ("", 0.0)
    growth = takeoff.settings.budget.growth
    ahead = [f"{year}: {cost:,.2f} ± {COVERAGE * u:,.2f}" for year, cost, u in budget.years]
    return [
        ("Year", str(budget.year) if budget.year else "not given"),
        ("Money", f"{budget.currency or 'no currency given'}"),
        ("Total", f"{budget.total:,.2f} ± {COVERAGE * budget.u:,.2f}"),
        (
            "Years ahead",
            f"{'; '.join(ahead)}. The same programme, an empty yard, prices growing {100 * growth:g} % a year.",
        ),
        *([("Before", f"{before[0]}: {before[1]:,.2f}; difference {change.difference / 100:+,.2f}")] if change else []),
        ("Stock used", f"{budget.stock_value:,.2f}"),
        *([("Without a price", ", ".join(budget.unpriced))] if budget.unpriced else []),
        *(("Remark", words) for words in budget.remarks),
        ("Plus-minus", SPREAD_NOTE),
        ("Surveyed", facts.surveyed or "not given"),
        ("", facts.accuracy_note),
        ("Units", TON_NOTES[units]),
        *([("Data", facts.attribution)] if facts.attribution else []),
        *((name, NOTES[name]) for name in names),
        ("Caution", BUDGET_NOTE),
        *(("", words) for words in cautions),
    ]
