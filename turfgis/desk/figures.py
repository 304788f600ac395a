"""What a stroke changes, as the page tells it: areas at once, the next order a moment later."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Any
from urllib.parse import urlencode

from turfgis.desk.words import day, month, number, refigured, said
from turfgis.desk.words.sentences import told_in

if TYPE_CHECKING:
    from turfgis.estimates.coming import ComingOrder
    from turfgis.estimates.course import Course
    from turfgis.estimates.order import Order
    from turfgis.measure.strokes import Outcome
    from turfgis.measure.tentative import Tentative

LEAST_M2 = 0.05  # gains of other ground below this are not told
ROWS = (("Net area", "net_m2", "area"), ("Drawn", "drawn_m2", "area"), ("Plus-minus", "plus_minus_m2", "area"))
ROWS = (*ROWS, ("Perimeter", "perimeter_m", "length"))
MINUS = "−"


def told_figures(tentative: Tentative, units: str, language: str) -> dict[str, Any]:
    """Figures of the areas in hand before and after, and what other surfaces gain or lose, as text."""
    before, after = tentative.before, tentative.after
    was = before is not after and before.drawn_m2 > 0  # what is only looked at has not changed
    rows = []
    for label, name, kind in ROWS:
        old, new = getattr(before, name), getattr(after, name)
        rows.append(
            {
                "label": said(label, language),
                "now": measure_text(new, kind, units, language),
                "change": signed_text(new - old, kind, units, language) if was else "",
            }
        )
    others = [
        {"label": said(surface, language), "change": signed_text(gain, "area", units, language)}
        for surface, gain in tentative.others.items()
        if abs(gain) >= LEAST_M2
    ]
    return {"rows": rows, "others": others, "findings": [told_in(one.text, language) for one in tentative.findings]}


def left_said(outcome: Outcome, language: str) -> str:
    """That neighbours of an area that is moved stay where they are; empty where there are none."""
    count = len(outcome.left)
    if not count:
        return ""
    if count == 1:
        return said("One neighbour shared corners with it and stays where it is.", language)
    return said("{count} neighbours shared corners with it and stay where they are.", language, count=count)


def measure_text(value: float, kind: str, units: str, language: str) -> str:
    """
    A figure with its unit, with one decimal more than tables have, since small changes are looked at here.

    Examples
    --------
    >>> measure_text(400.04, "area", "metric", "de")
    '400,0 m2'
    """
    from turfgis.units import shown

    how = shown(kind, units)
    return f"{number(value * how.per_si, max(how.decimals, 1), language)} {how.label}"


def signed_text(value: float, kind: str, units: str, language: str) -> str:
    """A change with its sign and its unit; none before what rounds to nothing."""
    text = measure_text(abs(value), kind, units, language)
    figure = text.split(" ")[0].strip("0.,")
    return text if not figure else f"{'+' if value > 0 else MINUS}{text}"


def told_orders(course: Course, changed: Course, units: str, language: str, today: date) -> dict[str, Any]:
    """
    What a change does to the next order that it touches, and to what the year needs of each material.

    Parameters
    ----------
    course, changed
        The course before it and after it.
    units, language
        How it is told.
    today
        From which day on an order is still to come.

    Returns
    -------
    ``next``, the order with its figures before and after, or None; ``orders``, a line for each material whose amount
    in the year changes.
    """
    from turfgis.estimates.orders import orders_for

    if course.settings is None or not any(job.uses for job in course.settings.job):
        return {"next": None, "orders": []}
    before = course.ground.once(("orders", units), lambda: orders_for(course, units=units))
    after = {one.material: one for one in orders_for(changed, units=units)}
    lines = [_order_line(one, after[one.material], units, language) for one in before if one.material in after]
    return {"next": _next_told(course, changed, units, language, today), "orders": [line for line in lines if line]}


def _next_told(course: Course, changed: Course, units: str, language: str, today: date) -> dict[str, Any] | None:
    """The first order of which a figure changes as it is shown; else the first that changes by less."""
    from turfgis.estimates.coming import touched_orders

    first = None
    for coming in touched_orders(course, changed, today):
        told = _told_order(coming, course, changed, units, language)
        first = first or told
        if any(row["was"] != row["now"] for row in told["rows"]):
            return told
    return first


def _told_order(coming: ComingOrder, course: Course, changed: Course, units: str, language: str) -> dict[str, Any]:
    from turfgis.estimates.orders import orders_for
    from turfgis.reports.facts import plain_words
    from turfgis.reports.orders import by_load, weight

    named = (coming.group, coming.material, units)
    (was,) = course.ground.once(("order", *named), lambda: orders_for(course, *named))
    (now,) = orders_for(changed, *named)
    how, when = weight(now, units), coming.when
    needed = [refigured(how.text(one.delivered_kg), language) for one in (was, now)]
    rows = [(said("Needed", language), *needed)]
    if was.units is not None and now.units is not None and now.unit_kg:
        one = refigured(how.text(now.unit_kg), language)
        of_one = (
            said("Loads of {one}", language, one=one) if by_load(now) else said("Packs of {one}", language, one=one)
        )
        rows.append((of_one, str(was.units), str(now.units)))
    day_or_month = day(when.day, language) if when.day else month(when.month, language) if when.month else ""
    return {
        "address": "/order?" + urlencode({"group": coming.group, "material": coming.material}),
        "title": said(
            "{material} for {job}", language, material=plain_words(now.material).capitalize(), job=coming.job
        ),
        "when": day_or_month,
        "rows": [{"label": label, "was": old, "now": new} for label, old, new in rows],
    }


def _order_line(before: Order, after: Order, units: str, language: str) -> str:
    from turfgis.reports.facts import plain_words
    from turfgis.reports.orders import weight

    how = weight(before, units)
    change = (after.delivered_kg - before.delivered_kg) * how.per_si
    text = number(abs(change), how.decimals, language)
    if not text.strip("0.,"):
        return ""
    amount = f"{'+' if change > 0 else MINUS}{text} {how.label}"
    return said("{amount} of {material}", language, amount=amount, material=plain_words(before.material))
