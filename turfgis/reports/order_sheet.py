"""The words and figures of an order's two pages: one for the supplier, one for the club."""

from typing import Any

from turfgis.estimates.order import Order
from turfgis.reports.cautions import order_cautions
from turfgis.reports.facts import TON_NOTES, Facts, odds, percent, plain_words, whole_percent
from turfgis.reports.orders import by_load, weight
from turfgis.reports.printed import accuracy_words, page_data, trimmed, with_signs
from turfgis.reports.screen import one_line
from turfgis.reports.tables import COVERAGE
from turfgis.units import shown

MOST_DELIVERY_ROWS = 16  # more would push the signatures off the page

_Section = dict[str, Any]


def _row(what: str, text: str = "", choices: tuple[str, ...] = ()) -> dict[str, Any]:
    """One line of the form: words, boxes to tick, or, with neither, a line to write on."""
    row: dict[str, Any] = {"what": what, "text": text}
    return {**row, "choices": list(choices)} if choices else row


def _sand_sections(order: Order) -> list[_Section]:
    moisture = (
        f"as weighed on delivery, with moisture of {one_line(order.moisture)}. Wetter loads bring less sand than is "
        "ordered here: agree how they are settled."
        if order.moisture
        else ""
    )
    wanted = (
        "for the lot on offer, before the first load: table by sieve, D15 and D85, fines, shape of the grains; from a "
        "laboratory accredited to ISO/IEC 17025 for these tests."
    )
    return [
        {
            "title": "Material",
            "rows": [
                _row("Specification"),
                _row("State", choices=("washed", "dried", "damp, as stored")),
                _row("Basis of weight", moisture),
                _row("Laboratory sheet", wanted),
                _row("Right to refuse", "a load that does not match the sheet may be refused before it is tipped."),
            ],
        },
        {
            "title": "Delivery",
            "rows": [
                _row("Brought as", choices=("loose", "in big bags", "blown")),
                _row("Ground there", "other:", ("concrete", "asphalt")),
                _row("Vehicle", "must reach the place and tip without help. The track takes at most:", ("tipper",)),
                _row("Weighing", "a weighbridge ticket comes with every load and stays with the club."),
            ],
        },
    ]


def _seed_sections(_order: Order) -> list[_Section]:
    return [
        {
            "title": "Material",
            "rows": [
                _row("Species, varieties"),
                _row("Dressing", "with:", ("none", "dressed or coated")),
                _row("Label on the bags", "lot, purity, germination and month of the test, seeds of other species."),
                _row("Right to refuse", "bags that are open, damp or without a label go back."),
            ],
        },
        {"title": "Delivery", "rows": [_row("Unloading", "other:", ("by hand", "fork-lift on site", "tail-lift"))]},
    ]


def _feed_sections(order: Order) -> list[_Section]:
    shares = [
        f"{with_signs(each.name)} {100 * each.kg / order.delivered_kg:.3g} %"
        for each in order.nutrients
        if order.delivered_kg
    ]
    return [
        {
            "title": "Material",
            "rows": [
                _row("Reckoned with", ", ".join(shares)),
                _row("Form", "other:", ("granules", "soluble", "liquid")),
                _row("Papers wanted", "declared analysis, label and safety data sheet with the delivery."),
                _row("Right to refuse", "bags that are open, damp or without a label go back."),
            ],
        },
        {"title": "Delivery", "rows": [_row("Unloading", "other:", ("by hand", "fork-lift on site", "tail-lift"))]},
    ]


def _liquid_sections(_order: Order) -> list[_Section]:
    return [
        {
            "title": "Material",
            "rows": [
                _row("Product, strength"),
                _row("Papers wanted", "label and safety data sheet with the delivery."),
                _row("Right to refuse", "cans that leak, are open or without a label go back."),
            ],
        },
        {"title": "Delivery", "rows": [_row("Unloading", "other:", ("by hand", "fork-lift on site", "tail-lift"))]},
    ]


def _turf_sections(_order: Order) -> list[_Section]:
    return [
        {
            "title": "Material",
            "rows": [
                _row("Species, varieties"),
                _row("Grown on", "other:", ("sand", "loam")),
                _row("Thickness, size"),
                _row("Right to refuse", "turf that is hot, yellow, torn or full of weeds goes back."),
            ],
        },
        {"title": "Delivery", "rows": [_row("Brought on", "other:", ("pallets", "big rolls")), _row("Cut on")]},
    ]


def _price_section(order: Order, units: str) -> _Section:
    how, text = weight(order, units), ""
    if order.cost is not None:
        text = f"{order.cost:,.2f} {one_line(order.currency)} in all"
        if order.units and order.unit_kg:
            if by_load(order):
                each, per = order.cost / (order.units * order.unit_kg * how.per_si), how.label
            else:
                each, per = order.cost / order.units, f"pack of {trimmed(how, order.unit_kg)}"
            text += f", {each:,.2f} {one_line(order.currency)} per {per}"
    return {"title": "Price", "rows": [_row("Basis", text), _row("It includes", "other:", ("delivery", "tax"))]}


def _ordered(order: Order, units: str) -> tuple[str, str]:
    """The amount in large type, and what it is made of."""
    how = weight(order, units)
    if order.units is None or not order.unit_kg:
        return trimmed(how, order.to_order_kg), "size of a load not given" if by_load(order) else ""
    word = ("load" if by_load(order) else "pack") + ("" if order.units == 1 else "s")
    return trimmed(how, order.units * order.unit_kg), f"{order.units} {word} of {trimmed(how, order.unit_kg)}"


def _deliveries(order: Order, units: str) -> list[dict[str, str]]:
    if not by_load(order) or not order.unit_kg or not order.units or order.units > MOST_DELIVERY_ROWS:
        return []
    amount = weight(order, units).number(order.unit_kg)
    return [{"load": str(at + 1), "amount": amount} for at in range(order.units)]


def _sums(order: Order, units: str) -> list[dict[str, str]]:
    how = weight(order, units)
    dry = [("Needed, dry", order.dry_kg)] if by_load(order) else []
    rows = [
        *dry,
        ("Needed, as delivered" if by_load(order) else "Needed", order.delivered_kg),
        ("In the yard", order.stock_kg),
        ("Still to order", order.to_order_kg),
    ]
    if order.units is not None and order.unit_kg:
        rows.append(("Whole loads" if by_load(order) else "Whole packs", order.units * order.unit_kg))
    return [{"what": what, "figure": how.text(value)} for what, value in rows]


def _left_over(order: Order, units: str) -> str:
    """What remains if all goes as reckoned, and where it goes."""
    if order.units is None or not order.unit_kg:
        return ""
    rest = order.units * order.unit_kg + order.stock_kg - order.delivered_kg
    if rest <= 0:
        return ""
    about = f"If all goes as reckoned, about {weight(order, units).text(rest)} is left. "
    return about + {
        "sand": "Keep it covered on a hard, drained floor, apart from other sand, and decide now where it goes: tees, "
        "divot mix, the next light dressing. Take it off the next order as stock.",
        "seed": "Keep it cool, dry, closed and labelled; it germinates worse with age, so have it tested before it is "
        "sown another year.",
        "fertiliser": "Keep it dry, closed and labelled, away from drains and seed, and take it off the next order.",
    }.get(order.kind, "")


def _risk_note(order: Order) -> str:
    method = f" Worked out by {one_line(order.method)}." if order.method else ""
    chance = odds(order.risk).removeprefix("about ")
    return f"Black: advised. Dotted line: the chance you accept, {chance}. Stock in the yard is counted.{method}"


def _spread(order: Order, units: str) -> str:
    words = []
    if order.u_kg:
        what = "As delivered" if by_load(order) else "Needed"
        words.append(f"{what}, give or take {weight(order, units).text(COVERAGE * order.u_kg)} (95 % interval).")
    if order.cores_m3:
        cores = with_signs(shown("volume", units).text(order.cores_m3))
        words.append(f"Cores to cart away: {cores} as they leave the ground.")
    return " ".join(words)


SECTIONS = {
    "sand": _sand_sections,
    "seed": _seed_sections,
    "fertiliser": _feed_sections,
    "liquid": _liquid_sections,
    "turf": _turf_sections,
}


def order_page(order: Order, facts: Facts, units: str, date: str) -> dict[str, Any]:
    """All that the two pages say, as JSON can carry it."""
    how = weight(order, units)
    amount, made_of = _ordered(order, units)
    sections = SECTIONS[order.kind](order)
    nutrient = shown("field rate", units)
    deliveries = _deliveries(order, units)
    for_jobs = ", ".join(one_line(job) for job in order.jobs)
    return {
        **page_data(f"Order for {order.kind}", facts, units),
        "date": one_line(date),
        "material_label": f"for {plain_words(one_line(order.group))}" if order.group else "for the course",
        "material": plain_words(one_line(order.material)).capitalize(),
        "amount": amount,
        "made_of": made_of,
        "weight_note": TON_NOTES[units] if by_load(order) else "Net weight of the packs." if order.unit == "kg" else "",
        "sections": [*sections, _price_section(order, units)],
        "deliveries": deliveries,
        "remark_lines": 3 if len(deliveries) < 5 else 1,
        "unit": how.label,
        "club_note": f"Stays with the club. {plain_words(one_line(order.material)).capitalize()}: {for_jobs}.",
        "sums": _sums(order, units),
        "spread": _spread(order, units),
        "loads": [
            {
                "loads": str(choice.loads),
                "amount": how.number(choice.tonnes * 1000),
                "chance": choice.chance_short,
                "percent": percent(choice.chance_short),
                "odds": odds(choice.chance_short),
                "advised": choice.loads == order.units,
            }
            for choice in order.loads
        ],
        "risk": order.risk,
        "risk_note": _risk_note(order),
        "drivers": [
            {"name": one_line(each.name), "share": each.share, "percent": whole_percent(each.share)}
            for each in order.drivers
        ],
        "nutrient_heads": ["", how.label, f"{nutrient.label} of net area", f"{nutrient.label} of treated area"],
        "nutrients": [
            [with_signs(each.name), how.number(each.kg)]
            + [nutrient.number(rate / 10_000) for rate in (each.net_kg_ha, each.treated_kg_ha)]
            for each in order.nutrients
        ],
        "surplus": _left_over(order, units),
        "steps": [
            {
                "what": one_line(step.what),
                "formula": with_signs(one_line(step.formula)),
                "numbers": with_signs(one_line(step.numbers)),
                "result": with_signs(one_line(step.result)),
                "source": one_line(step.source),
            }
            for step in order.working
        ],
        "remarks": [with_signs(one_line(text)) for text in order.remarks],
        "cautions": [one_line(text) for text in order_cautions(order)],
        "accuracy": accuracy_words(facts),
    }
