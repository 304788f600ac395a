"""Mowing minutes and passes for the screen."""

import textwrap
from collections.abc import Sequence

from turfgis.measure.passes import FITS
from turfgis.reports.cautions import sheet_cautions
from turfgis.reports.columns import Column, column
from turfgis.reports.screen import WIDEST, one_line, text_table
from turfgis.reports.tables import Row

MOST_COLUMNS = 8
_SHAPE = ("width_m", "direction_deg", "passes", "turns", "length_m")
_HANDBOOK = ("width_m", "net_m2", "cutting_minutes")
# Parts of the time, shown where any row has some.
_PARTS = {
    "passes_minutes": "passes",
    "turn_minutes": "turns",
    "clean_up_minutes": "edges",
    "emptying_minutes": "boxes",
    "waiting_minutes": "wait",
    "driving_minutes": "drive",
    "set_up_minutes": "set up",
    "refuelling_minutes": "fuel",
}
_METHODS = {
    "shape": "By the shape: passes in the direction with the fewest turns (or the one that the machine names), laid "
    "inside its clean-up rounds; a turn from each to the next.",
    "handbook": "By the handbook: area over field capacity, and one clean-up pass.",
}


def mowing_text(rows: Sequence[Row], units: str) -> str:
    """
    Minutes for one cut as a table, with what is in the way of a machine and the warning that belongs to the minutes.

    Parameters
    ----------
    rows
        By surface and machine, or by patch and machine.
    units
        ``metric`` or ``us``.
    """
    patches = any(row.get("patch") for row in rows)
    methods = list(dict.fromkeys(row["method"] for row in rows))
    laid = _HANDBOOK if methods == ["handbook"] else _SHAPE
    work, times = (_used(rows, keys) for keys in (laid, (*_PARTS, "minutes", "gain_minutes")))
    first: list[str | Column] = ["patch"] if patches else ["surface", Column("patches", "no.", "count")]
    last = ["method"] if len(methods) > 1 else []
    # machines that are tried for their width are told apart by it
    named: list[str | Column] = [] if any("gain_minutes" in row for row in rows) else ["machine"]
    names = [*first, *named]
    # so many figures in one row would leave no room for names
    apart = len(work) + len(times) > MOST_COLUMNS
    again = [*(one for one in names if not isinstance(one, Column)), *([] if named else [_column("width_m")])]
    if apart and patches and named:
        parts = [(rows, [*names, *work, *last]), *((some, ["patch", *times]) for some in _by_machine(rows))]
    elif apart:
        parts = [(rows, [*names, *work, *last]), (rows, [*again, *times])]
    else:
        parts = [(rows, [*names, *work, *times, *last])]
    table = "\n".join(_headed(some, columns) + text_table(some, columns, units) for some, columns in parts)
    said = [*_in_the_way(rows), *(f"{_METHODS[name]}" for name in methods if name in _METHODS)]
    warnings = [f"- {text}" for text in sheet_cautions("mowing")]
    return "\n".join([table, *map(_folded, said), *map(_folded, warnings)])


def rota_text(rows: Sequence[Row], units: str) -> str:
    """Directions of cut as a table: a row for each day and machine."""
    heads = [
        *("date", "machine", "surfaces", Column("direction_deg", "deg", "count"), "toward"),
        *(Column("clean_up", "clean-up"), Column("first_pass_m", "1st pass", "width")),
    ]
    said = [
        "Degrees clockwise from north; every pass back runs the other way. The first pass takes that much fresh "
        "ground and overlaps the clean-up round with the rest, so that wheels leave the lines of the time before.",
        "Keep off wet or frozen turf, and look at each green first: this is a rota, not an order to cut.",
    ]
    return "\n".join([text_table(rows, heads, units), *map(_folded, said)])


def _by_machine(rows: Sequence[Row]) -> list[list[Row]]:
    """Rows of each machine; names of patches and machines side by side would leave no room for figures."""
    some: dict[str, list[Row]] = {}
    for row in rows:
        some.setdefault(row["machine"], []).append(row)
    return list(some.values())


def _headed(rows: Sequence[Row], columns: Sequence[str | Column]) -> str:
    """The machine over a table that has no column for it; "" where it has, or where there are several."""
    machines = {row["machine"] for row in rows}
    return (
        f"{one_line(*machines)}\n" if len(machines) == 1 and columns[0] == "patch" and "machine" not in columns else ""
    )


def _used(rows: Sequence[Row], keys: Sequence[str]) -> list[Column]:
    """Columns of these keys, without those that hold nothing."""
    return [_column(key) for key in keys if key in ("width_m", "minutes") or any(row.get(key) for row in rows)]


def _column(key: str) -> Column:
    if key == "gain_minutes":
        return Column(key, "gain", "minutes", 60.0)
    if key == "length_m":
        return Column(key, "length", "distance")
    if key == "direction_deg":
        return Column(key, "toward", "count")
    return column(key, _PARTS.get(key))


def _folded(text: str) -> str:
    return textwrap.fill(text, WIDEST, subsequent_indent="  " if text.startswith("- ") else "")


def _in_the_way(rows: Sequence[Row]) -> list[str]:
    """Where a machine does not fit, in words."""
    said: dict[tuple[str, str], list[str]] = {}
    for row in rows:
        if row.get("fits") not in (None, "yes"):
            said.setdefault((row["machine"], row["fits"]), []).append(row["patch"])
        elif row.get("not_fitting"):
            count = f"{row['not_fitting']} of {row['patches']} {row['surface']}"
            said.setdefault((row["machine"], "count"), []).append(count)
    return [
        f"{machine}: does not fit everywhere ({', '.join(where)}); see --by patch."
        if code == "count"
        else f"{machine}: {FITS[code]} ({', '.join(where)})."
        for (machine, code), where in said.items()
    ]
