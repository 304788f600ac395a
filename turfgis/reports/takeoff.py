"""The take-off for the screen: one line for each job and resource."""

from collections.abc import Sequence

from turfgis.estimates.takeoff import Takeoff
from turfgis.reports.columns import Column
from turfgis.reports.facts import plain_words
from turfgis.reports.orders import bullets
from turfgis.reports.screen import one_line, text_table
from turfgis.reports.tables import Row, plain_rows
from turfgis.units import shown

_NAMED = ("material", "machine", "fuel")
_KINDS = {"kg": "mass", "m3": "liquid", "m2": "area", "s": "hours"}


def takeoff_text(takeoff: Takeoff, units: str = "metric", broken: Sequence[str] = ()) -> str:
    """
    What each job needs of each resource in the year, all patches together.

    Parameters
    ----------
    takeoff
        The take-off.
    units
        ``metric`` or ``us``.
    broken
        What of it labels do not allow, in sentences.
    """
    sands = {key for key, one in takeoff.settings.material.items() if one.kind == "sand"}
    sums: dict[tuple[str, str, str | None], Row] = {}
    for row in plain_rows(takeoff.products()):
        key = (row["job"], row["resource"], row["material"])
        line = sums.setdefault(key, {**row, "quantity": 0.0, "cost": None})
        line["quantity"] += row["ground"] * row["rate"] * row["times"]
        if row["cost"] is not None:
            line["cost"] = (line["cost"] or 0.0) + row["cost"]
    rows = [
        {
            "job": one_line(line["job"]),
            "resource": line["resource"],
            "material": plain_words(one_line(line["material"])) if line["resource"] in _NAMED else "",
            "times": line["times"],
            "quantity": _amount(line, sands, units),
            "cost": line["cost"],
        }
        for line in sums.values()
    ]
    heads = [
        *("job", "resource"),
        Column("material", "of what"),
        Column("times", "times", "count"),
        Column("quantity", "in the year"),
        Column("cost", "cost", "money"),
    ]
    note = (
        "Cost is quantity times price, before stock, whole packs, delivery and taxes, which 'turfgis budget' adds.\n"
        "Every patch and day: turfgis takeoff --format csv, json or parquet.\n"
    )
    note += bullets("Counted here, though a label does not allow it", broken)
    return text_table(rows, heads, units) + note if rows else "No job needs anything.\n"


def _amount(line: Row, sands: set[str], units: str) -> str:
    value, unit = line["quantity"], line["unit"]
    kind = "heavy" if line["resource"] == "material" and line["material"] in sands else _KINDS.get(unit)
    if kind:
        return shown(kind, units).text(value)
    word = {"day": "days", "count": ""}[unit]
    return f"{value:,g} {word}".strip()
