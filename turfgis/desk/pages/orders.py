"""What to order of a material: how much, how likely it is to run short, what drives that, and the working."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any
from urllib.parse import urlencode

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from turfgis.desk.choices import altered, order_choices
from turfgis.desk.files import file_answer
from turfgis.desk.frame import desk_of, look_of, nothing, page, table, units_of
from turfgis.desk.words import odds_said, place, refigured, said
from turfgis.desk.words.sentences import told_in
from turfgis.errors import SettingsError

if TYPE_CHECKING:
    from turfgis.desk.choices import Choice
    from turfgis.estimates.course import Course
    from turfgis.estimates.order import Order, OrderLine


ADD = (("/stores#material", "Add a material"), ("/stores#job", "Add a job"))


def order_list(course: Course) -> list[tuple[str, str]]:
    """Group and material of every order there is, in the order of the settings."""
    settings = course.needs_settings("an order needs materials and jobs")
    pairs = {(job.group, key): None for job in settings.job for key in job.uses.values()}
    groups, materials = list(dict.fromkeys(job.group for job in settings.job)), list(settings.material)
    return sorted(pairs, key=lambda pair: (groups.index(pair[0]), materials.index(pair[1])))


def _chosen(request: Request) -> tuple[str, str, list[Choice], Order, Course]:
    """The order that an address asks for, with the sliders as they stand."""
    from turfgis.estimates.orders import orders_for

    desk = desk_of(request)
    course, units, asked = desk.course, units_of(request), request.query_params
    listed = order_list(course)
    if not listed:
        raise SettingsError(f"{course.path.name}: no job uses a material yet, so there is nothing to order")
    group, material = listed[0]
    if "material" in asked:
        group, material = asked.get("group", ""), asked["material"]
        if (group, material) not in listed:
            raise SettingsError(f"no job of the group '{group}' uses a material '{material}'")
    choices = order_choices(course, group, material, units, asked)
    as_chosen = altered(course, choices)
    year = desk.year if as_chosen is course else None
    (order,) = orders_for(as_chosen, group, material, units, year)
    return group, material, choices, order, as_chosen


def show_order(request: Request) -> Response:
    """One order, with a list of all."""
    from turfgis.reports.cautions import order_cautions
    from turfgis.reports.columns import Column, column
    from turfgis.reports.facts import odds, plain_words, whole_percent
    from turfgis.reports.orders import by_load, in_order, weight
    from turfgis.reports.tables import COVERAGE

    if not order_list(desk_of(request).course):
        return nothing(
            request, title="Order", words="No job uses a material yet, so there is nothing to order.", links=ADD
        )
    group, material, choices, order, course = _chosen(request)
    units, language = units_of(request), look_of(request).language
    how, loads = weight(order, units), by_load(order)
    kind = {"m3": "liquid", "m2": "area", "kg": "heavy" if loads else "mass"}[order.unit]
    lines = [
        {
            "place": _called(line, order, language),
            "net_m2": line.net_m2,
            "treated_m2": line.treated_m2,
            "dry": line.dry_kg,
            "delivered": line.delivered_kg,
        }
        for line in in_order(order.lines)
    ]

    def amount(kg: float) -> str:
        return refigured(how.text(kg), language)

    amounts = [Column("dry", "dry", kind)] if loads else []
    columns: list[Any] = ["place", "net_m2", "treated_m2", *amounts, Column("delivered", "delivered", kind)]
    total = {key: sum(line[key] for line in lines) for key in ("net_m2", "treated_m2", "dry", "delivered")}
    query = urlencode({"group": group, "material": material, **{one.field: f"{one.value:g}" for one in choices}})
    chances = [
        {
            "loads": one.loads,
            "weight_t": one.tonnes,
            "chance_short": one.chance_short,
            "in_words": odds_said(odds(one.chance_short), language),
            "advised": one.loads == order.units,
        }
        for one in order.loads
    ]
    return page(
        request,
        "order.html",
        listed=[
            {
                "name": plain_words(key).capitalize(),
                "group": plain_words(name),
                "address": "/order?" + urlencode({"group": name, "material": key}),
                "here": (name, key) == (group, material),
            }
            for name, key in order_list(course)
        ],
        title=plain_words(material).capitalize(),
        group=plain_words(group),
        jobs=order.jobs,
        choices=choices,
        hidden={"group": group, "material": material},
        advised=_advised(order, units, language),
        packed=order.units is not None,
        needed=amount(order.delivered_kg),
        dry=amount(order.dry_kg) if loads else "",
        give_or_take=amount(COVERAGE * order.u_kg) if order.u_kg else "",
        stock=amount(order.stock_kg) if order.stock_kg else "",
        to_order=amount(order.to_order_kg),
        cost=order.cost,
        currency=order.currency,
        risk_in_words=odds_said(odds(order.risk), language),
        chances=table(
            chances,
            ["loads", column("weight_t"), column("chance_short", "chance short"), column("in_words", "in words")],
            units,
            language,
            caption="Loads, and the chance of running short",
        )
        if chances
        else None,
        advised_row=next((at for at, one in enumerate(chances) if one["advised"]), -1),
        drivers=[(told_in(one.name, language), one.share, whole_percent(one.share)) for one in order.drivers],
        lines=table(lines, columns, units, language, totals=[{"place": "total", **total}], caption="Where it goes"),
        steps=order.working,
        remarks=order.remarks,
        cautions=order_cautions(order),
        query=query,
        is_sand=loads,
    )


def _called(line: OrderLine, order: Order, language: str) -> str:
    """What staff call the place; with its patch where that would be said of two."""
    if line.hole is None:
        return line.patch
    alike = sum(other.hole == line.hole and other.surface == line.surface for other in order.lines)
    name = place(line.hole, line.surface, language)
    return name if alike == 1 else f"{name} ({line.patch})"


def _advised(order: Order, units: str, language: str) -> str:
    """The number of loads or packs with the weight of one, or else the weight."""
    from turfgis.reports.orders import weight

    how = weight(order, units)
    if order.units is None or not order.unit_kg:
        return refigured(how.text(order.to_order_kg), language)
    one, all_of_them = (refigured(how.text(kg), language) for kg in (order.unit_kg, order.units * order.unit_kg))
    return said("{count} of {one} = {all}", language, count=order.units, one=one, all=all_of_them)


def send_order(request: Request) -> Response:
    """The order as a file: the same sheets and rows as the commands write."""
    from turfgis.reports.orders import order_json, order_rows
    from turfgis.reports.outputs import course_facts
    from turfgis.reports.sheets import drop_list_pdf, order_sheet_pdf
    from turfgis.reports.tables import csv_text, json_text

    _, material, _, order, course = _chosen(request)
    units, wanted = units_of(request), request.path_params["file"]
    facts = course_facts(course, units)
    made = {
        "sheet.pdf": lambda: order_sheet_pdf(order, facts, units),
        "drop_list.pdf": lambda: drop_list_pdf(order, facts, units),
        "lines.csv": lambda: csv_text(order_rows(order)).encode("utf-8"),
        "order.json": lambda: json_text(order_json(order)).encode("utf-8"),
    }
    return file_answer(f"{material}_{wanted}", made.get(wanted))


ROUTES = (Route("/order", show_order), Route("/order/{file}", send_order))
