"""What changed on the ground since an earlier survey: in words, for the screen, as rows for CSV, and as JSON."""

import math
import textwrap
from typing import Any

from turfgis.estimates.course import survey_words
from turfgis.estimates.surveys import Comparison
from turfgis.measure.matching import ONE_SIDED
from turfgis.reports.columns import Column
from turfgis.reports.screen import WIDEST, one_line, text_table
from turfgis.reports.tables import Row, course_sort_key, hole_sort_key, plain_rows
from turfgis.units import shown

DRIFT_NOTE = (
    "A change is called one only beyond the plus-minus of both surveys (95 %), which takes each edge to be out as a "
    "whole, in each survey by itself. Edge and strip to win back are those that lie further in than that explains."
)
WIN_BACK_NOTE = (
    "Walk the old edge before turf is cut or mown out: heads, buried wire or a probe show where the rootzone of the "
    "green ends, and what lies under the strip."
)
TABLE = (
    Column("place", "place"),
    Column("old_m2", "then", "area"),
    Column("new_m2", "now", "area"),
    Column("net_m2", "change", "area"),
    Column("plus_minus_m2", "±", "area"),
    Column("told", "can be told"),
    Column("retreat_m", "edge in by", "width"),
    Column("lost_edge_m", "edge lost", "length"),
    Column("win_back_m2", "to win back", "area"),
)
KINDS = {
    "split": "One patch then, several now.",
    "merged": "Several patches then, one now.",
    "regrouped": "Drawn in other parts then.",
}
HIDDEN = ("u_old_m2", "u_new_m2")


def drift_rows(compared: Comparison) -> list[Row]:
    """
    One row for each patch in the order of play, in SI.

    Returns
    -------
    The columns of :func:`turfgis.measure.drift.measure_drift`, those of the rates, ``place`` (what staff call it) and
    ``told``: ``changed``, ``moved`` (the area did not change, but its edge did), ``no``, ``gone`` or ``new``.
    """
    rank = {surface: at for at, surface in enumerate(compared.course.drawing.order)}
    rows = sorted(
        plain_rows(compared.changes),
        key=lambda row: (
            rank.get(row["surface"], len(rank)),
            course_sort_key(row["hole"]),
            hole_sort_key(row["patch"]),
        ),
    )
    return [
        {"place": spoken(row, rows), "told": told(row)} | {key: row[key] for key in row if key not in HIDDEN}
        for row in rows
    ]


def told(row: Row) -> str:
    """What can be told of a patch, in one word."""
    if row["match"] in ONE_SIDED:
        return row["match"]
    return "changed" if row["changed"] else "moved" if row["moved"] else "no"


def spoken(row: Row, rows: list[Row]) -> str:
    """
    What staff call a patch: "No. 7 green"; with its name where that would be said of two.

    Examples
    --------
    >>> green = {"hole": "7", "surface": "green", "patch": "green-07"}
    >>> spoken(green, [green]), spoken({**green, "hole": "practice"}, [])
    ('No. 7 green', 'Practice green')
    """
    if row["hole"] is None:
        return one_line(row["patch"])
    hole = f"No. {row['hole']}" if str(row["hole"]).isdigit() else str(row["hole"]).capitalize()
    alike = sum(other["hole"] == row["hole"] and other["surface"] == row["surface"] for other in rows)
    return one_line(f"{hole} {row['surface']}" + (f" ({row['patch']})" if alike > 1 else ""))


def drift_sentence(row: Row, units: str = "metric") -> str:
    """
    What happened to a patch, in one sentence that starts with its place.

    Examples
    --------
    >>> row = {
    ...     "place": "No. 7 green", "match": "same", "old_surveyed": "2024-03-14", "old_m2": 540.0, "new_m2": 517.2,
    ...     "net_m2": -22.8, "plus_minus_m2": 9.2, "changed": True, "moved": True, "retreat_m": 0.214,
    ...     "lost_edge_m": 31.2, "won_edge_m": 0.0,
    ... }
    >>> drift_sentence(row)
    'No. 7 green has lost 23 ± 9 m2 since 14 March 2024, mean 0.21 m of edge; 31 m of turf edge to win back.'
    >>> drift_sentence(row | {"net_m2": -4.0, "changed": False, "moved": False, "lost_edge_m": 0.0})
    'No. 7 green: no change that can be told since 14 March 2024 (-4 ± 9 m2).'
    """
    spread = _spread(row, units)
    if row["match"] == "gone":
        return f"{row['place']} is not in the newer survey; it had {spread}."
    if row["match"] == "new":
        return f"{row['place']} is not in the older survey; it has {spread}."
    words = f"{row['place']}{_what(row, units)}"
    return words + (f" {KINDS[row['match']]}" if row["match"] in KINDS else "")


def _spread(row: Row, units: str) -> str:
    """The net change without its sign, and its plus-minus."""
    area = shown("area", units)
    return f"{area.number(abs(row['net_m2']))} ± {area.text(row['plus_minus_m2'])}"


def _signed(row: Row, units: str) -> str:
    spread = _spread(row, units)
    return spread if spread.startswith("0 ") else f"{'-' if row['net_m2'] < 0 else '+'}{spread}"


def since(row: Row) -> str:
    """Since when: the day of the older survey where it is known."""
    return f"since {survey_words([row['old_surveyed']])}" if row["old_surveyed"] else "since the older survey"


def in_short(row: Row, units: str = "metric") -> str:
    """
    The same without place and day, for a map or a drawing.

    Examples
    --------
    >>> row = {"match": "same", "net_m2": -22.8, "plus_minus_m2": 9.2, "changed": True, "moved": True,
    ...     "retreat_m": 0.214, "lost_edge_m": 31.2, "won_edge_m": 0.0}
    >>> in_short(row)
    'lost 23 ± 9 m2, mean 0.21 m of edge; 31 m of turf edge to win back'
    """
    if row["match"] == "new":
        return "not in the older survey"
    if row["changed"]:
        return _changed(row, units)
    if not row["moved"]:
        return f"no change that can be told ({_signed(row, units)})"
    return f"no change of area that can be told ({_signed(row, units)}), but {_moved(row, units)}"


def _what(row: Row, units: str) -> str:
    if row["changed"]:
        return f" has {_changed(row, units, f' {since(row)}')}."
    if not row["moved"]:
        return f": no change that can be told {since(row)} ({_signed(row, units)})."
    return f": no change of area that can be told {since(row)} ({_signed(row, units)}), but {_moved(row, units)}."


def _changed(row: Row, units: str, when: str = "") -> str:
    width, length = shown("width", units), shown("length", units)
    verb = "lost" if row["net_m2"] < 0 else "gained"
    back = f"; {_metres(row['lost_edge_m'], length)} of turf edge to win back" if row["lost_edge_m"] > 0 else ""
    return f"{verb} {_spread(row, units)}{when}, mean {width.text(abs(row['retreat_m']))} of edge{back}"


def _moved(row: Row, units: str) -> str:
    length = shown("length", units)
    ways = [(row["lost_edge_m"], "in"), (row["won_edge_m"], "out")]
    first, *rest = [(_metres(metres, length), way) for metres, way in ways if metres > 0]
    more = "".join(f" and {metres} further {way}" for metres, way in rest)
    return f"{first[0]} of its edge lie further {first[1]}{more} than the surveys explain"


def _metres(value: float, how) -> str:
    """A length of edge in whole metres or feet: it is not known better."""
    whole = value * how.per_si
    return f"{whole:,.0f} {how.label}" if whole >= 1 else how.text(value)


def total_sentences(compared: Comparison, units: str = "metric") -> list[str]:
    """One sentence for each surface: what all its patches that both surveys have lost or gained together."""
    area, length = shown("area", units), shown("length", units)
    first, last = compared.days
    span = f" from {first} to {last}" if "not given" not in (first, last) else ""
    made = []
    for row in plain_rows(compared.totals):
        spread = _spread(row, units)
        share = f"{abs(row['net_m2']) / row['old_m2']:.1%}".replace("%", " %")
        count = f"{row['patches']} {'patch' if row['patches'] == 1 else 'patches'}"
        if row["changed"]:
            verb = "lost" if row["net_m2"] < 0 else "gained"
            words = f"{verb} {spread} ({share}) in all{span}"
            if row["rate_m2_year"] is not None:
                rate, wide = (abs(row[name]) for name in ("rate_m2_year", "rate_plus_minus_m2_year"))
                words += f", {area.number(rate)} ± {area.text(wide)} a year"
        else:
            words = f"no change that can be told{span} ({_signed(row, units)})"
        back = ""
        if row["lost_edge_m"] > 0:
            back = (
                f"; to win back: {area.text(row['win_back_m2'])} of turf, {_metres(row['lost_edge_m'], length)} of edge"
            )
        made.append(f"{one_line(row['surface']).capitalize()}, {count}: {words}{back}.")
    return made


def drift_notes(compared: Comparison) -> list[str]:
    """What the reader must know about the comparison."""
    drift = compared.drift
    was, now = (_cm(span) for span in drift.edge_sd_m)
    notes = [DRIFT_NOTE, f"Standard deviation of an edge: {was} in the older survey, {now} in the newer."]
    east, north = drift.offset_m
    off = math.hypot(east, north)
    if off > drift.doubt_m:
        notes.append(
            f"In the middle of all patches the newer survey lies {off:.2f} m to the {_quarter(east, north)} of the "
            "older one. The two may be shifted against each other: net changes do not suffer, edges lost and won do."
        )
    if drift.datums:
        notes.append(
            f"The surveys lie on different datums ({' and '.join(map(one_line, drift.datums))}) and were moved to fit "
            "as well as can be done here. Net changes do not suffer; edges lost and won do where the fit is out."
        )
    if drift.left_out:
        notes.append(f"Only in one of the surveys, and left out: {', '.join(map(one_line, drift.left_out))}.")
    return notes


def _cm(span: tuple[float, float]) -> str:
    """
    The best and the worst accuracy of a survey.

    Examples
    --------
    >>> _cm((0.05, 0.05)), _cm((0.05, 0.3))
    ('5 cm', '5 to 30 cm')
    """
    best, worst = (f"{100 * one:.3g}" for one in span)
    return f"{best} cm" if best == worst else f"{best} to {worst} cm"


def between(compared: Comparison) -> str:
    """Both days, or what the surveys are called where a day is not given."""
    if "not given" in "".join(compared.days):
        return one_line(f"{compared.surveys[0].title} to {compared.surveys[-1].title}")
    return " to ".join(compared.days)


def _quarter(east: float, north: float) -> str:
    """
    Where a step leads, in words.

    Examples
    --------
    >>> _quarter(1.0, 1.1), _quarter(-2.0, 0.1)
    ('north-east', 'west')
    """
    names = ("east", "north-east", "north", "north-west", "west", "south-west", "south", "south-east")
    return names[round(math.atan2(north, east) / (math.pi / 4)) % 8]


def drift_json(compared: Comparison) -> dict[str, Any]:
    """The comparison as a nest of dictionaries and lists, in SI."""
    rows = drift_rows(compared)
    return {
        "surveys": [{"title": survey.title, "surveyed": _days(survey)} for survey in compared.surveys],
        "totals": plain_rows(compared.totals),
        "patches": [row | {"says": drift_sentence(row)} for row in rows],
        "left_out": list(compared.drift.left_out),
        "offset_m": list(compared.drift.offset_m),
        "notes": drift_notes(compared),
    }


def _days(survey: Any) -> list[str]:
    return sorted({day for day in survey.measured.patches["surveyed"] if isinstance(day, str)})


def drift_text(compared: Comparison, units: str = "metric") -> str:
    """The comparison for the screen: sums, the table, one sentence for each patch, and what must be known."""
    title = f"Change since an earlier survey: {between(compared)}"
    rows = drift_rows(compared)
    lines = [*total_sentences(compared, units), "", *(drift_sentence(row, units) for row in rows), ""]
    filled = "\n".join(textwrap.fill(one_line(line), WIDEST, subsequent_indent="  ") for line in lines)
    notes = "\n".join(textwrap.fill(one_line(line), WIDEST) for line in drift_notes(compared))
    table = text_table(rows, [column for column in TABLE if any(row[column.key] is not None for row in rows)], units)
    return f"{title}\n{'=' * len(title)}\n\n{table}\n{filled}\n{notes}\n"
