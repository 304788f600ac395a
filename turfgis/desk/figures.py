"""What a stroke changes, as the page tells it: areas at once, the next order a moment later."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from turfgis.desk.words import number, said

if TYPE_CHECKING:
    from turfgis.estimates.course import Course
    from turfgis.estimates.order import Order
    from turfgis.measure.strokes import Outcome
    from turfgis.measure.tentative import Attempts, Tentative

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
    return {"rows": rows, "others": others, "findings": [one.text for one in tentative.findings]}


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


def order_lines(course: Course, attempts: Attempts, outcome: Outcome, units: str, language: str) -> list[str]:
    """
    What a stroke does to the orders of the year: one line for each material whose amount changes.

    Parameters
    ----------
    course, attempts
        The course as it is.
    outcome
        What the stroke would make of it.
    units, language
        How it is told.
    """
    from turfgis.estimates.orders import orders_for

    if course.settings is None or not any(job.uses for job in course.settings.job):
        return []
    before = course.ground.once(("orders", units), lambda: orders_for(course, units=units))
    after = {
        one.material: one for one in orders_for(course.with_measured(attempts.whole(outcome.changed)), units=units)
    }
    lines = [_order_line(one, after[one.material], units, language) for one in before if one.material in after]
    return [line for line in lines if line]


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
