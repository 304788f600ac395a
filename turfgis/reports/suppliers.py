"""Orders by supplier for the screen, as rows for CSV, and as JSON; the words that the printed sheet shares."""

import textwrap
from collections.abc import Sequence
from datetime import date
from typing import Any

from turfgis.estimates.orders import moisture_words
from turfgis.estimates.suppliers import Drop, GoodsLine, SupplierOrder
from turfgis.reports.cautions import sheet_cautions
from turfgis.reports.columns import Column
from turfgis.reports.facts import TON_NOTES, plain_words
from turfgis.reports.orders import bullets, measure, shown_goods
from turfgis.reports.printed import trimmed
from turfgis.reports.screen import WIDEST, one_line, text_table
from turfgis.reports.tables import Row
from turfgis.settings.models import CourseSettings, Fertiliser, Liquid, Material, Sand, Seed, Turf
from turfgis.units import shown

NOT_NAMED = "supplier not named"
PRICE_NOTE = "Prices are those in the settings of the club, before taxes; the supplier's own offer comes before them."


def said_name(order: SupplierOrder) -> str:
    """The supplier, or that none is named."""
    return one_line(order.name) or NOT_NAMED


def goods_name(line: GoodsLine) -> str:
    """The material as people write it."""
    return plain_words(one_line(line.bought.material)).capitalize()


def goods_amount(line: GoodsLine, material: Material, units: str, drop: Drop | None = None) -> str:
    """
    What comes, in all or on one day: ``3 loads of 20 t``, or an amount.

    Parameters
    ----------
    line, material
        The line and its material.
    units
        ``metric`` or ``us``.
    drop
        One of its deliveries; None for all.
    """
    how = shown_goods(material.kind, material.base, units)
    bought, count = line.bought, line.bought.units if drop is None else drop.units
    if count is None or not bought.unit:
        return trimmed(how, bought.delivered if drop is None else drop.amount)
    return f"{count:,} {_word(material)}{'' if count == 1 else 's'} of {trimmed(how, bought.unit)}"


def price_words(line: GoodsLine, material: Material, units: str, currency: str) -> str:
    """Price of a tonne or US ton of sand, of a pack of anything else, or of a unit; empty where there is none."""
    if line.price is None:
        return ""
    how = shown_goods(material.kind, material.base, units)
    if line.bought.unit and not isinstance(material, Sand):
        return f"{line.price * line.bought.unit:,.2f} {currency} per pack"
    return f"{line.price / how.per_si:,.2f} {currency} per {how.label}"


def reckoned(material: Material) -> str:
    """The figures of the material that the amount rests on, so that the supplier can say where his differ."""

    def share(value: float) -> str:
        return f"{100 * value:g} %"

    if isinstance(material, Sand):
        moisture = f"moisture of {moisture_words(material.moisture)}, " if material.moisture.mean else ""
        return f"{moisture}{material.bulk_density.mean:,.0f} kg/m3 dry, as placed"
    if isinstance(material, Seed):
        return f"purity {share(material.purity)}, germination {share(material.germination)}"
    parts = []
    if isinstance(material, Fertiliser | Liquid) and material.analysis:
        parts = [f"{name} {share(value)}" for name, value in material.analysis.items() if value]
    if isinstance(material, Liquid) and material.density:
        parts.append(f"{material.density / 1000:g} kg/l")
    return ", ".join(parts)


def order_remarks(order: SupplierOrder, settings: CourseSettings, units: str) -> list[str]:
    """What supplier and club should settle, in plain sentences."""
    said, undated, monthly = [], [], []
    for line in order.lines:
        material, name = settings.material[line.bought.material], goods_name(line)
        how = shown_goods(material.kind, material.base, units)
        if line.price is None:
            said.append(f"{name}: no price is given.")
        if any(drop.work is None for drop in line.drops):
            undated.append(name)
        if any(len(drop.work or "") == 7 for drop in line.drops):
            monthly.append(name)
        over = max((drop.beyond_bay for drop in line.drops), default=0.0)
        if over > 0:
            more = trimmed(how, over)
            said.append(f"{name}: up to {more} more than there is room for: agree loads over the days of work.")
        days = len(line.drops)
        if days > 1 and material.delivery and not isinstance(material, Sand):
            said.append(f"{name}: comes on {days} days, one delivery is counted, as in the budget: agree on the rest.")
        if days > 1 and material.minimum and any(drop.amount < material.minimum for drop in line.drops):
            least = trimmed(how, material.minimum)
            said.append(f"{name}: some deliveries are below the {least} that are brought at least: agree on them.")
        if line.bought.delivered < line.bought.to_order:
            more = trimmed(how, line.bought.to_order)
            said.append(f"{name}: fewer loads than the mean need, as your risk allows; the price counts {more}.")
    if monthly:
        said.append(
            f"Only the month of the work is fixed, and the goods are wanted for its first day: {_each(monthly)}."
        )
    if undated:
        said.append(f"The day is still to be agreed: {_each(undated)}.")
    return list(dict.fromkeys(said))


def _each(names: Sequence[str]) -> str:
    first, *more = dict.fromkeys(name[0].lower() + name[1:] for name in names)
    return ", ".join([first, *more])


def lifting(order: SupplierOrder, settings: CourseSettings, units: str) -> str:
    """How much there is to lift if packs are moved by hand."""
    packs, heaviest, total = 0, 0.0, 0.0
    unweighed: list[str] = []
    for line in order.lines:
        material, bought = settings.material[line.bought.material], line.bought
        if isinstance(material, Sand | Turf) or not bought.units or not bought.unit:
            continue
        density = 1.0 if material.base == "kg" else getattr(material, "density", None)
        if density is None:
            unweighed.append(f"{goods_amount(line, material, units)} ({goods_name(line)})")
            continue
        packs += bought.units
        heaviest, total = max(heaviest, bought.unit * density), total + bought.units * bought.unit * density
    if not total:
        return ""
    mass = shown("mass", units)
    one = "1 pack" if packs == 1 else f"{packs:,} packs"
    more = f", and {', '.join(unweighed)} of a weight not known here" if unweighed else ""
    return (
        f"To unload: {one}, {trimmed(mass, total)} net in all, of at most {trimmed(mass, heaviest)} each{more}. "
        "Agree how they come off the lorry, and let machines lift them."
    )


def order_cautions(order: SupplierOrder, settings: CourseSettings, units: str, brought: bool = False) -> list[str]:
    """What is lifted, then the cautions of each kind of material; ``brought``: only those about bringing it."""
    kinds = dict.fromkeys(settings.material[line.bought.material].kind for line in order.lines)
    lifted = lifting(order, settings, units)
    sheets = [f"{kind} delivery" if brought else kind for kind in kinds]
    return sheet_cautions(*sheets, more=[lifted] if lifted else [])


def _iso(day: date | None) -> str | None:
    return day.isoformat() if day else None


def _measure(material: Material) -> tuple[str, float]:
    return ("t", 1e-3) if isinstance(material, Sand) else measure(material.base)


def _word(material: Material) -> str:
    return "load" if isinstance(material, Sand) else "pack"


def supplier_json(order: SupplierOrder, settings: CourseSettings) -> dict[str, Any]:
    """
    One supplier's order as a nest of dictionaries and lists, in SI; t is the tonne of 1,000 kg.

    Sand carries ``t`` and ``loads``, seed and fertiliser ``kg`` and ``packs``, liquids ``l``, turf ``m2``.
    """
    return {
        "supplier": order.name or None,
        "account": order.supplier.account,
        "deliver_to": order.supplier.deliver_to,
        "access": order.supplier.access,
        "order_by": _iso(order.order_by),
        "currency": settings.currency,
        "lines": [_line_json(line, settings) for line in order.lines],
        "from_stock": [{"material": one.material, "group": one.group} for one in order.from_stock],
        "cost": order.cost,
        "taxes": [{"name": name, "share": share} for name, share in order.taxes.items()],
        "budgeted": order.budgeted,
        "remarks": order_remarks(order, settings, "metric"),
        "cautions": order_cautions(order, settings, "metric"),
    }


def _line_json(line: GoodsLine, settings: CourseSettings) -> dict[str, Any]:
    bought, material = line.bought, settings.material[line.bought.material]
    unit, per = _measure(material)
    return {
        "material": bought.material,
        "kind": material.kind,
        "group": bought.group,
        "jobs": list(line.jobs),
        "cost_code": material.cost_code or None,
        "specification": list(material.specification),
        "reckoned_with": reckoned(material),
        f"needed_{unit}": bought.needed * per,
        f"from_stock_{unit}": bought.from_stock * per,
        f"to_order_{unit}": bought.to_order * per,
        f"ordered_{unit}": bought.delivered * per,
        f"{_word(material)}_{unit}": None if bought.unit is None else bought.unit * per,
        f"{_word(material)}s": bought.units,
        f"price_per_{unit}": None if line.price is None else line.price / per,
        "goods": None if line.price is None else line.goods,
        "delivery": line.delivery,
        "cost": line.cost,
        "deliveries": [
            {
                "wanted": _iso(drop.wanted),
                "order_by": _iso(drop.order_by),
                "work": drop.work,
                f"{_word(material)}s": drop.units,
                unit: drop.amount * per,
            }
            for drop in line.drops
        ],
    }


def supplier_rows(orders: Sequence[SupplierOrder], settings: CourseSettings) -> list[Row]:
    """One row for each delivery of each line; money stands in the first row of its line, so that it adds up."""
    rows: list[Row] = []
    for order in orders:
        for line in order.lines:
            bought, material = line.bought, settings.material[line.bought.material]
            unit, per = _measure(material)
            for at, drop in enumerate(line.drops):
                rows.append(
                    {
                        "supplier": order.name,
                        "material": bought.material,
                        "group": bought.group,
                        "order_by": _iso(drop.order_by),
                        "wanted": _iso(drop.wanted),
                        "work": drop.work,
                        "units": drop.units,
                        "unit_size": None if bought.unit is None else bought.unit * per,
                        "amount": drop.amount * per,
                        "unit": unit,
                        "price": None if line.price is None else line.price / per,
                        "goods": line.goods if at == 0 and line.price is not None else None,
                        "delivery": line.delivery if at == 0 else None,
                        "cost": line.cost if at == 0 else None,
                        "currency": settings.currency,
                        "cost_code": material.cost_code,
                        "specification": "; ".join(material.specification),
                    }
                )
    return rows


def supplier_text(order: SupplierOrder, settings: CourseSettings, units: str = "metric") -> str:
    """
    One supplier's order for the screen.

    Parameters
    ----------
    order, settings
        The order, and the settings that it was made from.
    units
        ``metric`` or ``us``.
    """
    title = f"Order to {said_name(order)}" if order.name else f"Order, {NOT_NAMED}"
    own, currency = order.supplier, one_line(settings.currency)
    facts = (("Order by", _iso(order.order_by)), ("Account", own.account), ("Deliver to", own.deliver_to))
    said = [f"{what}: {one_line(text)}." for what, text in (*facts, ("Access", own.access)) if text]
    lines, drops = [], []
    for line in order.lines:
        material = settings.material[line.bought.material]
        name = goods_name(line)
        lines.append(
            {
                "material": name,
                "for": plain_words(one_line(line.bought.group)),
                "comes": goods_amount(line, material, units),
                "price": price_words(line, material, units, currency),
                "delivery": line.delivery or None,
                "cost": None if line.price is None else line.cost,
            }
        )
        for drop in line.drops:
            amount = goods_amount(line, material, units, drop)
            drops.append({"wanted": _iso(drop.wanted), "order": _iso(drop.order_by), "material": name, "comes": amount})
            drops[-1]["work"] = drop.work or "no date"
    heads = [
        "material",
        "for",
        "comes",
        "price",
        Column("delivery", "delivery", "money"),
        Column("cost", "cost", "money"),
    ]
    total = {"material": "total before taxes", "cost": order.cost}
    dated = ["wanted", Column("order", "order by"), "material", "comes", Column("work", "for work on")]
    drops.sort(key=lambda row: (row["wanted"] is None, row["wanted"]))
    blocks = [
        "\n".join([title, "=" * len(title), *(textwrap.fill(line, WIDEST) for line in said)]) + "\n",
        text_table(lines, heads, units, [total]) if lines else "Nothing to order: the yard has enough.\n",
        text_table(drops, dated, units) if drops else "",
        _specifications(order, settings),
        bullets("Remarks", [*order_remarks(order, settings, units), *kept_words(order)]),
        bullets("Cautions", order_cautions(order, settings, units)) if order.lines else "",
        textwrap.fill(f"{PRICE_NOTE} {TON_NOTES[units]}", WIDEST) + "\n",
    ]
    return "\n".join(block for block in blocks if block)


def kept_words(order: SupplierOrder) -> list[str]:
    """Materials for which the yard has enough."""
    return [
        f"{plain_words(one_line(one.material)).capitalize()}"
        f"{f' for {plain_words(one_line(one.group))}' if one.group else ''}: the yard has enough."
        for one in order.from_stock
    ]


def _specifications(order: SupplierOrder, settings: CourseSettings) -> str:
    texts = []
    for key in dict.fromkeys(line.bought.material for line in order.lines):
        material = settings.material[key]
        words = [*material.specification, *([f"reckoned with {reckoned(material)}"] if reckoned(material) else [])]
        texts += [f"{plain_words(one_line(key)).capitalize()}: {one_line(text)}" for text in words]
    return bullets("Specification", texts)
