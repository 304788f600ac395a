"""The printed order to one supplier: what goes out, and a last page that stays with the club."""

from typing import Any

from turfgis.estimates.suppliers import GoodsLine, SupplierOrder
from turfgis.reports.facts import TON_NOTES, Facts, percent, plain_words
from turfgis.reports.orders import shown_goods
from turfgis.reports.printed import page_data, render_page, trimmed, with_signs
from turfgis.reports.screen import one_line
from turfgis.reports.suppliers import (
    PRICE_NOTE,
    goods_amount,
    goods_name,
    kept_words,
    order_cautions,
    order_remarks,
    price_words,
    reckoned,
    said_name,
)
from turfgis.settings.models import CourseSettings, Sand

# What comes with the goods, and what goes back. Common practice, no source.
PAPERS = {
    "sand": "a laboratory sheet of the lot before the first load: sieve table, fines, shape of the grains; a "
    "weighbridge ticket with every load. A load that does not match the sheet may be refused before it is tipped.",
    "seed": "lot, purity, germination and month of the test on every bag. Open, damp or unlabelled bags go back.",
    "fertiliser": "declared analysis, label and safety data sheet. Open, damp or unlabelled bags go back.",
    "liquid": "label and safety data sheet. Cans that leak, are open or without a label go back.",
    "turf": "hour of cutting on the ticket. Turf that is hot, yellow, torn or full of weeds goes back.",
}


def supplier_pdf(
    order: SupplierOrder, settings: CourseSettings, facts: Facts, units: str = "metric", *, date: str = ""
) -> bytes:
    """
    The order to one supplier.

    Parameters
    ----------
    order, settings
        The order, and the settings that it was made from.
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
    return render_page("supplier.typ", supplier_page(order, settings, facts, units, date))


def supplier_page(order: SupplierOrder, settings: CourseSettings, facts: Facts, units: str, date: str = "") -> dict:
    """All that the pages say, as JSON can carry it."""
    own, currency = order.supplier, one_line(settings.currency)
    taxes = [f"{one_line(name)} {100 * share:g} %" for name, share in order.taxes.items()]
    kinds = list(dict.fromkeys(settings.material[line.bought.material].kind for line in order.lines))
    unpriced = any(line.price is None for line in order.lines)
    return {
        **page_data("Order", facts, units),
        "supplier": said_name(order) if order.name else "",
        "account": one_line(own.account),
        "deliver_to": one_line(own.deliver_to),
        "access": one_line(own.access),
        "date": one_line(date),
        "order_by": _day(order.order_by),
        "currency": currency,
        "lines": [_line(at, line, settings, units) for at, line in enumerate(order.lines, start=1)],
        "total": f"{order.cost:,.2f}",
        "total_note": "goods that have a price, before taxes" if unpriced else "before taxes",
        "tax_note": f"Tax that the club reckons with: {', '.join(taxes)}." if taxes else "",
        "price_note": PRICE_NOTE,
        "goods": _goods(order, settings),
        "papers": [f"With {kind}: {PAPERS[kind]}" for kind in kinds],
        "drops": _drops(order, settings, units),
        "remarks": [with_signs(text) for text in order_remarks(order, settings, units)],
        "cautions": order_cautions(order, settings, units, brought=True),
        "weight_note": TON_NOTES[units] if "sand" in kinds else "",
        "club_note": " ".join(("Stays with the club.", *_rounding(kinds, settings))),
        "club": [_club(at, line, settings, units) for at, line in enumerate(order.lines, start=1)],
        "kept": kept_words(order),
        "budgeted": f"{order.budgeted:,.2f}",
        "club_cautions": order_cautions(order, settings, units),
    }


def _rounding(kinds: list[str], settings: CourseSettings) -> list[str]:
    """How the amounts became whole ones."""
    said = ["Whole packs are rounded up once for each line, as in the budget."] if set(kinds) != {"sand"} else []
    if "sand" in kinds:
        risk = percent(settings.risk)
        said.append(f"Loads of sand are as many as keep the chance of running short within {risk}, line by line.")
    return said


def _day(day: Any) -> str:
    return f"{day.day} {day:%B %Y}" if day else ""


def _line(at: int, line: GoodsLine, settings: CourseSettings, units: str) -> dict[str, str]:
    material = settings.material[line.bought.material]
    how = shown_goods(material.kind, material.base, units)
    priced = line.price is not None
    return {
        "at": str(at),
        "material": goods_name(line),
        "for": plain_words(one_line(line.bought.group)),
        "comes": with_signs(goods_amount(line, material, units)),
        "amount": with_signs(trimmed(how, line.bought.delivered)),
        "price": with_signs(price_words(line, material, units, "").replace("  ", " ")),
        "goods": f"{line.goods:,.2f}" if priced else "",
        "delivery": f"{line.delivery:,.2f}" if line.delivery else "",
    }


def _goods(order: SupplierOrder, settings: CourseSettings) -> list[dict[str, Any]]:
    """Once for each material: the club's specification, and what the amount rests on."""
    made = []
    for key in dict.fromkeys(line.bought.material for line in order.lines):
        material = settings.material[key]
        made.append(
            {
                "material": plain_words(one_line(key)).capitalize(),
                "specification": [with_signs(one_line(text)) for text in material.specification],
                "reckoned": with_signs(reckoned(material)),
                "basis": isinstance(material, Sand) and bool(material.moisture.mean),
            }
        )
    return made


def _drops(order: SupplierOrder, settings: CourseSettings, units: str) -> list[dict[str, str]]:
    """Every delivery in order of time; what has no date last."""
    rows = []
    for at, line in enumerate(order.lines, start=1):
        material = settings.material[line.bought.material]
        for drop in line.drops:
            rows.append(
                (
                    drop.wanted.isoformat() if drop.wanted else "9999",
                    {
                        "at": str(at),
                        "wanted": _day(drop.wanted) or "to be agreed",
                        "order_by": _day(drop.order_by),
                        "material": goods_name(line),
                        "comes": with_signs(goods_amount(line, material, units, drop)),
                    },
                )
            )
    return [row for _, row in sorted(rows, key=lambda one: one[0])]


def _club(at: int, line: GoodsLine, settings: CourseSettings, units: str) -> dict[str, str]:
    """How the amount came about."""
    bought, material = line.bought, settings.material[line.bought.material]
    how = shown_goods(material.kind, material.base, units)
    return {
        "at": str(at),
        "material": goods_name(line),
        "jobs": ", ".join(one_line(job) for job in line.jobs),
        "needed": with_signs(how.text(bought.needed)),
        "stock": with_signs(how.text(bought.from_stock)) if bought.from_stock else "",
        "to_order": with_signs(how.text(bought.to_order)),
        "comes": with_signs(how.text(bought.delivered)),
        "code": one_line(material.cost_code),
        "cost": f"{line.cost:,.2f}" if line.price is not None else "no price",
    }
