"""An order for the screen and as JSON: amounts by patch, loads with their chance of running short, the working."""

import textwrap
from collections.abc import Sequence
from typing import Any

from turfgis.estimates.order import Order, OrderLine, Step
from turfgis.reports.cautions import order_cautions
from turfgis.reports.columns import Column, column
from turfgis.reports.facts import TON_NOTES, odds, percent, plain_words, whole_percent
from turfgis.reports.screen import WIDEST, one_line, text_table
from turfgis.reports.tables import COVERAGE, Row, course_sort_key
from turfgis.surfaces import SURFACES
from turfgis.units import Shown, shown


def by_load(order: Order) -> bool:
    """Whether it comes in lorry loads and is spoken of in tonnes; seed and fertiliser come in packs."""
    return order.kind == "sand"


def weight(order: Order, units: str) -> Shown:
    """How this order's weights are shown."""
    return shown_goods(order.kind, order.unit, units)


def shown_goods(kind: str, base: str, units: str) -> Shown:
    """How amounts of a material of this kind, counted in this base unit, are shown."""
    return shown({"m3": "liquid", "m2": "area", "kg": "heavy" if kind == "sand" else "mass"}[base], units)


def measure(base: str) -> tuple[str, float]:
    """The ending of keys that hold amounts of goods in packs, and how many of its unit a base unit is: 1,000 l a m3."""
    return {"m3": ("l", 1000.0), "m2": ("m2", 1.0)}.get(base, ("kg", 1.0))


def in_order(lines: Sequence[OrderLine]) -> list[OrderLine]:
    """Lines surface by surface, since each has its own setting of the spreader, and each as the course is played."""
    rank = {name: at for at, name in enumerate(SURFACES)}

    def place(line: OrderLine) -> tuple[object, ...]:
        return (rank.get(line.surface, len(rank)), line.surface, course_sort_key(line.hole), line.patch)

    return sorted(lines, key=place)


def plural(surface: str) -> str:
    """
    Several of a surface.

    Examples
    --------
    >>> plural("approach"), plural("heather")
    ('approaches', 'heather')
    """
    return SURFACES[surface].plural if surface in SURFACES else surface


def spoken_name(line: OrderLine, lines: Sequence[OrderLine]) -> str:
    """
    What staff call the place: "7 green"; the name of the patch where that would be said of two.

    Examples
    --------
    >>> line = OrderLine("green-07", "green", "7", 512.0, 560.0, 2600.0, 2700.0)
    >>> spoken_name(line, [line])
    '7 green'
    """
    if line.hole is None:
        return line.patch
    alike = sum(other.hole == line.hole and other.surface == line.surface for other in lines)
    name = f"{line.hole} {line.surface}"
    return name if alike == 1 else f"{name} ({line.patch})"


def order_json(order: Order) -> dict[str, Any]:
    """
    The order as a nest of dictionaries and lists, in SI; t is the tonne of 1,000 kg.

    Sand carries tonnes and loads, seed and fertiliser ``kg`` and ``packs``, liquids ``l`` and turf ``m2`` in its place.
    """
    places = [
        {
            "patch": line.patch,
            "surface": line.surface,
            "hole": line.hole,
            "net_m2": line.net_m2,
            "treated_m2": line.treated_m2,
        }
        for line in order.lines
    ]
    head = {"group": order.group, "material": order.material, "kind": order.kind, "jobs": list(order.jobs)}
    if by_load(order):
        amounts = {
            "lines": [
                {
                    **place,
                    "dry_t": line.dry_kg / 1000,
                    "delivered_t": line.delivered_kg / 1000,
                    "volume_m3": line.volume_m3,
                }
                for place, line in zip(places, order.lines, strict=True)
            ],
            "dry_t": order.dry_kg / 1000,
            "delivered_t": order.delivered_kg / 1000,
            "plus_minus_t": COVERAGE * order.u_kg / 1000,
            "stock_t": order.stock_kg / 1000,
            "to_order_t": order.to_order_kg / 1000,
            "load_t": None if order.unit_kg is None else order.unit_kg / 1000,
            "loads": [
                {"loads": choice.loads, "tonnes": choice.tonnes, "chance_short": choice.chance_short}
                for choice in order.loads
            ],
            "advised_loads": order.units,
            "moisture": order.moisture,
            "cores_m3": order.cores_m3,
        }
    else:
        unit, per = measure(order.unit)
        amounts = {
            "lines": [
                {**place, unit: line.delivered_kg * per} for place, line in zip(places, order.lines, strict=True)
            ],
            unit: order.delivered_kg * per,
            f"plus_minus_{unit}": COVERAGE * order.u_kg * per,
            f"stock_{unit}": order.stock_kg * per,
            f"to_order_{unit}": order.to_order_kg * per,
            f"pack_{unit}": None if order.unit_kg is None else order.unit_kg * per,
            "packs": order.units,
            "nutrients": [
                {"name": each.name, "kg": each.kg, "net_kg_ha": each.net_kg_ha, "treated_kg_ha": each.treated_kg_ha}
                for each in order.nutrients
            ],
        }
    return {
        **head,
        **amounts,
        "risk": order.risk,
        "method": order.method,
        "drivers": [{"name": driver.name, "share": driver.share} for driver in order.drivers],
        "cost": order.cost,
        "currency": order.currency,
        "surveyed": order.surveyed,
        "remarks": list(order.remarks),
        "cautions": order_cautions(order),
        "working": [
            {
                "what": step.what,
                "formula": step.formula,
                "numbers": step.numbers,
                "result": step.result,
                "source": step.source,
            }
            for step in order.working
        ],
    }


def order_rows(order: Order) -> list[Row]:
    """Lines of an order as rows for CSV: sand in tonnes of 1,000 kg, liquids in litres, turf in m2, the rest in kg."""
    lines = order_json(order)["lines"]
    return [{"group": order.group, "material": order.material, **line} for line in lines]


def working_text(order: Order) -> str:
    """The calculation, step by step, so that a reader with a pencil can repeat it."""
    return "\n".join(_step_text(at, step) for at, step in enumerate(order.working, start=1))


def _step_text(at: int, step: Step) -> str:
    lines = [f"{at}. {one_line(step.what)}", f"   {one_line(step.formula)}"]
    if step.numbers:
        lines.append(f"   = {one_line(step.numbers)}")
    lines.append(f"   = {one_line(step.result)}")
    if step.source:
        lines.append(f"   Source: {one_line(step.source)}")
    return "\n".join(_wrapped(line, "   " if n == 0 else "     ") for n, line in enumerate(lines)) + "\n"


def _wrapped(text: str, indent: str) -> str:
    start = text[: len(text) - len(text.lstrip())]
    return textwrap.fill(text.strip(), WIDEST, initial_indent=start, subsequent_indent=indent, break_long_words=False)


def _lines_table(order: Order, units: str) -> str:
    lines = in_order(order.lines)
    rows: list[Row] = [
        {
            "place": spoken_name(line, order.lines),
            "net_m2": line.net_m2,
            "treated_m2": line.treated_m2,
            "volume_m3": line.volume_m3,
            "dry_t": line.dry_kg / 1000,
            "delivered_t": line.delivered_kg / 1000,
            "need": line.delivered_kg,
        }
        for line in lines
    ]
    summed = [name for name in rows[0] if name != "place"]

    def total(label: str, of: Sequence[Row]) -> Row:
        return {"place": label, **{name: sum(row[name] for row in of) for name in summed}}

    surfaces = [line.surface for line in lines]
    below: dict[int, list[Row]] = {}
    if len(set(surfaces)) > 1:
        for surface in dict.fromkeys(surfaces):
            of = [at for at, other in enumerate(surfaces) if other == surface]
            below[of[-1]] = [total(f"all {plural(surface)}", [rows[at] for at in of])]
    kind = {"m3": "liquid", "m2": "area", "kg": "mass"}[order.unit]
    amounts = ["dry_t", "delivered_t"] if by_load(order) else [Column("need", "need", kind)]
    volume = ["volume_m3"] if any(line.volume_m3 for line in order.lines) else []
    heads: list[str | Column] = ["place", "net_m2", "treated_m2", *volume, *amounts]
    return text_table(rows, heads, units, [total("total", rows)], below)


def _amounts(order: Order, units: str) -> list[tuple[str, str, str]]:
    """What, figure, remark."""
    how = weight(order, units)
    give_or_take = f"give or take {how.text(COVERAGE * order.u_kg)} (95 % interval)" if order.u_kg else ""
    moisture = f"moisture {order.moisture}" if order.moisture else ""
    rows = []
    if by_load(order):
        rows.append(("Needed, dry", how.text(order.dry_kg), ""))
        remark = "; ".join(part for part in (moisture, give_or_take) if part)
        rows.append(("Needed, as delivered", how.text(order.delivered_kg), remark))
    else:
        rows.append(("Needed", how.text(order.delivered_kg), give_or_take))
    rows += [
        ("In the yard", how.text(order.stock_kg), ""),
        ("To order", how.text(order.to_order_kg), ""),
    ]
    if order.units is not None and order.unit_kg:
        word = "loads" if by_load(order) else "packs"
        rows.append((f"Advised {word}" if by_load(order) else "Packs, rounded up", advice(order, units), ""))
    if order.cost is not None:
        rows.append(("Cost of these", f"{order.cost:,.2f} {one_line(order.currency)}".strip(), "at the price given"))
    if order.cores_m3:
        rows.append(("Cores to cart away", shown("volume", units).text(order.cores_m3), "as they leave the ground"))
    return rows


def advice(order: Order, units: str) -> str:
    """The number of loads or packs with the weight of one: "3 of 20.00 t = 60.00 t"."""
    how = weight(order, units)
    if order.units is None or not order.unit_kg:
        return how.text(order.to_order_kg)
    return f"{order.units} of {how.text(order.unit_kg)} = {how.text(order.units * order.unit_kg)}"


def _loads_table(order: Order, units: str) -> str:
    if not order.loads:
        return ""
    rows = [
        {
            "loads": choice.loads,
            "weight_t": choice.tonnes,
            "chance_short": choice.chance_short,
            "in_words": odds(choice.chance_short),
            "mark": "<- advised" if choice.loads == order.units else "",
        }
        for choice in order.loads
    ]
    heads: list[str | Column] = [
        "loads",
        column("weight_t"),
        column("chance_short", "chance short"),
        column("in_words", "in words"),
        column("mark", ""),
    ]
    accepted = f"You accept running short {odds(order.risk).removeprefix('about ')}, {percent(order.risk)}."
    method = f" Worked out by: {one_line(order.method)}." if order.method else ""
    return text_table(rows, heads, units) + _wrapped(accepted + method, "") + "\n"


def bullets(title: str, texts: Sequence[str]) -> str:
    """A heading and a line for each text; nothing where there is none."""
    if not texts:
        return ""
    lines = [textwrap.fill(one_line(text), WIDEST, initial_indent="- ", subsequent_indent="  ") for text in texts]
    return "\n".join([title, *lines]) + "\n"


def order_text(order: Order, units: str = "metric") -> str:
    """
    The order for the screen: by place, sums, loads with their chance of running short, what drives it, cautions.

    Parameters
    ----------
    order
        The order.
    units
        ``metric`` or ``us``.
    """
    group = f" for {plain_words(one_line(order.group))}" if order.group else ""
    title = f"{plain_words(one_line(order.material)).capitalize()}{group}"
    jobs = ", ".join(one_line(job) for job in order.jobs)
    surveyed = f"Areas surveyed: {one_line(order.surveyed) or 'not given'}."
    said = [f"Jobs: {jobs}." if jobs else "", surveyed, TON_NOTES[units] if by_load(order) else ""]
    head = [title, "=" * len(title), *(_wrapped(line, "") for line in said if line)]
    amounts = _amounts(order, units)
    wide, figure = (max(len(row[at]) for row in amounts) for at in (0, 1))
    margin = " " * (wide + figure + 4)
    sums = [
        textwrap.fill(f"{what:<{wide}}  {text:>{figure}}  {remark}".rstrip(), WIDEST, subsequent_indent=margin)
        for what, text, remark in amounts
    ]
    drivers = [f"{whole_percent(driver.share)} {driver.name}" for driver in order.drivers]
    nutrients = [
        {"nutrient": each.name, "brings_kg": each.kg, "net": each.net_kg_ha, "treated": each.treated_kg_ha}
        for each in order.nutrients
    ]
    rate_heads = [
        "nutrient",
        "brings_kg",
        Column("net", "on net", "field rate", 1e-4),
        Column("treated", "on treated", "field rate", 1e-4),
    ]
    blocks = [
        "\n".join(head) + "\n",
        _lines_table(order, units) if order.lines else "",
        "\n".join(sums) + "\n",
        _loads_table(order, units),
        text_table(nutrients, rate_heads, units) if nutrients else "",
        bullets("What the spread comes from, largest first", drivers),
        bullets("Remarks", order.remarks),
        bullets("Cautions", order_cautions(order)),
    ]
    return "\n".join(block for block in blocks if block)
