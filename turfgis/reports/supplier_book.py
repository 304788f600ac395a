"""Orders by supplier as a workbook: what is ordered, when it comes, and what is said of it."""

from collections.abc import Sequence
from io import BytesIO

from turfgis.estimates.suppliers import SupplierOrder
from turfgis.reports.columns import Column
from turfgis.reports.facts import TON_NOTES, Facts
from turfgis.reports.orders import shown_goods
from turfgis.reports.suppliers import (
    PRICE_NOTE,
    goods_amount,
    order_cautions,
    order_remarks,
    reckoned,
    said_name,
)
from turfgis.reports.tables import Row
from turfgis.reports.worksheets import begin_book, write_about, write_table
from turfgis.settings.models import CourseSettings

DELIVERIES_NOTE = "What is wanted when, in order of time, and by when to order it."
_LINES = [
    *("supplier", "material", "group", "comes"),
    Column("amount", "amount", "number"),
    "unit",
    Column("price", "price of a unit", "number"),
    Column("goods", "goods", "money"),
    Column("delivery", "delivery", "money"),
    Column("cost", "cost before taxes", "money"),
    Column("cost_code", "cost code"),
    Column("text", "specification"),
]
_DROPS = [
    Column("order_by", "order by"),
    *("wanted", "work", "supplier", "material", "group", "comes"),
    Column("amount", "amount", "number"),
    "unit",
]


def supplier_workbook(
    orders: Sequence[SupplierOrder], settings: CourseSettings, facts: Facts, units: str = "metric"
) -> bytes:
    """
    The workbook.

    Parameters
    ----------
    orders, settings
        The orders, and the settings that they were made from.
    facts
        The course.
    units
        ``metric`` or ``us``.

    Returns
    -------
    An XLSX file.
    """
    buffer = BytesIO()
    book = begin_book(buffer, facts, units, "Orders by supplier")
    write_about(book, _about(orders, settings, units))
    lines = _line_rows(orders, settings, units)
    columns = [Column(one, one.replace("_", " ")) if isinstance(one, str) else one for one in _LINES]
    note = "One row for each material and group of jobs. " + PRICE_NOTE
    write_table(book, "Order lines", note, columns, lines, sums=("goods", "delivery", "cost"))
    columns, drops = delivery_rows(orders, settings, units)
    write_table(book, "Deliveries", DELIVERIES_NOTE, columns, drops)
    book.made.close()
    return buffer.getvalue()


def _about(orders: Sequence[SupplierOrder], settings: CourseSettings, units: str) -> list[tuple[str, str]]:
    rows = [("Money", f"{settings.currency}, before taxes"), ("Units", TON_NOTES[units])]
    for order in orders:
        own = order.supplier
        said = [f"order by {order.order_by}" if order.order_by else "", own.account, own.deliver_to, own.access]
        rows.append((said_name(order), ". ".join(text.rstrip(".") for text in said if text)))
        rows += [("Remark", text) for text in order_remarks(order, settings, units)]
    cautions = dict.fromkeys(text for order in orders for text in order_cautions(order, settings, units))
    return [*rows, *(("Caution", text) for text in cautions)]


def _line_rows(orders: Sequence[SupplierOrder], settings: CourseSettings, units: str) -> list[Row]:
    rows: list[Row] = []
    for order in orders:
        for line in order.lines:
            material = settings.material[line.bought.material]
            how = shown_goods(material.kind, material.base, units)
            priced = line.price is not None
            words = [*material.specification, *([f"reckoned with {reckoned(material)}"] if reckoned(material) else [])]
            rows.append(
                {
                    "supplier": order.name,
                    "material": line.bought.material,
                    "group": line.bought.group,
                    "comes": goods_amount(line, material, units),
                    "amount": line.bought.delivered * how.per_si,
                    "unit": how.label,
                    "price": line.price / how.per_si if line.price is not None else None,
                    "goods": line.goods if priced else None,
                    "delivery": line.delivery,
                    "cost": line.cost,
                    "cost_code": material.cost_code,
                    "text": "; ".join(words),
                }
            )
    return rows


def delivery_rows(
    orders: Sequence[SupplierOrder], settings: CourseSettings, units: str
) -> tuple[list[Column], list[Row]]:
    """Columns and rows of all deliveries in order of time; those whose day is still to be agreed come last."""
    columns = [Column(one, one.replace("_", " ")) if isinstance(one, str) else one for one in _DROPS]
    rows: list[Row] = []
    for order in orders:
        for line in order.lines:
            material = settings.material[line.bought.material]
            how = shown_goods(material.kind, material.base, units)
            rows += [
                {
                    "order_by": str(drop.order_by) if drop.order_by else None,
                    "wanted": str(drop.wanted) if drop.wanted else "to be agreed",
                    "work": drop.work,
                    "supplier": order.name,
                    "material": line.bought.material,
                    "group": line.bought.group,
                    "comes": goods_amount(line, material, units, drop),
                    "amount": drop.amount * how.per_si,
                    "unit": how.label,
                }
                for drop in line.drops
            ]
    return columns, sorted(rows, key=lambda row: row["wanted"])
