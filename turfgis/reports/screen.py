"""Tables of plain text for the screen: no wider than a hundred characters, figures right-aligned under their unit."""

import unicodedata
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from turfgis.reports.columns import Column, column
from turfgis.reports.tables import SLOPES, TREATED, TRUE, Row, areas_rows, areas_totals, is_missing, part_of, plain_rows
from turfgis.units import shown

if TYPE_CHECKING:
    import pandas as pd

WIDEST = 100
_NO_TEXT = {"Cc", "Cs", "Zl", "Zp"}  # control characters, halves of characters, breaks of line and paragraph
# Signs that turn the direction of writing can make a line read otherwise (Unicode Technical Report 36, 2.4).
_TURNING = frozenset("\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069\ufeff")
AREA_COLUMNS = {
    "surface": ("surface", "patches", "drawn_m2", "net_m2", "plus_minus_m2", "perimeter_m", "cut_mm"),
    "hole": ("hole", "surface", "patches", "drawn_m2", "net_m2", "plus_minus_m2", "perimeter_m", "cut_mm"),
    "patch": ("patch", "name", "drawn_m2", "net_m2", "plus_minus_m2", "perimeter_m", "cut_mm", "surveyed"),
    "part": ("part", "surface", "patches", "drawn_m2", "net_m2", "plus_minus_m2", "perimeter_m", "cut_mm"),
}


def one_line(text: object) -> str:
    r"""
    Text from a layer as one line that cannot steer a terminal: control characters become spaces.

    Examples
    --------
    >>> one_line("14 green\n\x1b[31m")
    '14 green [31m'
    """
    words = str(text)
    if not words.isprintable():  # as nearly all are, and then no sign needs a look
        words = "".join(" " if unicodedata.category(sign) in _NO_TEXT or sign in _TURNING else sign for sign in words)
    return " ".join(words.split())


def _wide(text: str) -> int:
    """Places that a text takes on the screen: two for wide signs, none for accents of their own."""
    if text.isascii():
        return len(text)
    return sum(0 if unicodedata.combining(s) else 2 if unicodedata.east_asian_width(s) in "WF" else 1 for s in text)


def _cut(text: str, places: int) -> str:
    """The text, its end replaced by an ellipsis where it is too wide."""
    if _wide(text) <= places:
        return text
    while _wide(text) > places - 1:
        text = text[:-1]
    return text + "…"


def _cell(value: Any, col: Column, system: str) -> str:
    if is_missing(value):
        return "" if col.kind == "" else "–"
    if col.kind == "":
        return one_line(value)
    return f"{col.value(value, system):,.{col.decimals(system)}f}"


def _padded(cells: Sequence[str], cols: Sequence[Column], places: Sequence[int]) -> str:
    made = []
    for cell, col, width in zip(cells, cols, places, strict=True):
        text = _cut(cell, width)
        gap = " " * (width - _wide(text))
        made.append(gap + text if col.kind else text + gap)
    return "  ".join(made).rstrip()


def text_table(
    rows: Sequence[Mapping[str, Any]],
    columns: Sequence[str | Column],
    units: str = "metric",
    totals: Sequence[Mapping[str, Any]] = (),
    below: Mapping[int, Sequence[Mapping[str, Any]]] | None = None,
) -> str:
    """
    Rows as an aligned table.

    Parameters
    ----------
    rows
        In SI, keys with their unit.
    columns
        Keys in the order wanted, or columns with a heading of their own.
    units
        ``metric`` or ``us``.
    totals
        Rows printed below a rule at the end; the first text column carries their label.
    below
        Sub-totals: number of a row -> rows printed under it, between rules.

    Returns
    -------
    Lines ending with a line break, none wider than a hundred characters: text too wide is cut with an ellipsis.

    Examples
    --------
    >>> rows = [{"surface": "green", "net_m2": 9800.0}, {"surface": "tee", "net_m2": 650.0}]
    >>> print(text_table(rows, ["surface", "net_m2"], "us", totals=[{"surface": "total", "net_m2": 10450.0}]), end="")
    surface  net area
                  ft2
    -----------------
    green     105,486
    tee         6,997
    -----------------
    total     112,483
    """
    cols = [column(item) if isinstance(item, str) else item for item in columns]
    below = below or {}
    body = [[_cell(row.get(col.key), col, units) for col in cols] for row in rows]
    ends = [[_cell(row.get(col.key), col, units) for col in cols] for row in totals]
    inner = {
        at: [[_cell(row.get(col.key), col, units) for col in cols] for row in listed] for at, listed in below.items()
    }
    heads = [[col.head for col in cols], [col.unit(units) for col in cols]]
    everything = [*heads, *body, *ends, *(line for listed in inner.values() for line in listed)]
    places = [max(_wide(line[at]) for line in everything) for at in range(len(cols))]
    _narrow(places, cols)
    rule = "-" * min(WIDEST, sum(places) + 2 * (len(places) - 1))
    lines = [_padded(heads[0], cols, places)]
    if any(heads[1]):
        lines.append(_padded(heads[1], cols, places))
    lines.append(rule)
    for at, cells in enumerate(body):
        lines.append(_padded(cells, cols, places))
        if at in inner:
            lines += [rule, *(_padded(line, cols, places) for line in inner[at])]
            if at < len(body) - 1:
                lines.append(rule)
    if ends:
        lines += [rule, *(_padded(line, cols, places) for line in ends)]
    return "\n".join(lines) + "\n"


def _narrow(places: list[int], cols: Sequence[Column]) -> None:
    """Takes width from the widest text column until the table fits; figures are never cut."""
    while sum(places) + 2 * (len(places) - 1) > WIDEST:
        texts = [at for at, col in enumerate(cols) if col.kind == "" and places[at] > 6]
        if not texts:
            return
        places[max(texts, key=lambda at: places[at])] -= 1


def areas_text(patches: "pd.DataFrame", by: str = "surface", units: str = "metric", order: Any = None) -> str:
    """
    Areas on the screen, with a total; by hole and by part with sub-totals for front nine, back nine and practice.

    Parameters
    ----------
    patches, by, order
        As for :func:`turfgis.reports.tables.areas_rows`.
    units
        ``metric`` or ``us``.
    """
    rows = areas_rows(patches, by, order)
    first = AREA_COLUMNS[by][0]
    *parts, total = areas_totals(patches) or [{}]
    total = {**total, first: "total", "cut_mm": None, "surveyed": None}
    below: dict[int, list[Row]] = {}
    if by in {"hole", "part"} and len(parts) > 1:
        named = [part_of(row["hole"]) if by == "hole" else row["part"] for row in rows]
        lasts = {part: at for at, part in enumerate(named)}
        for row in parts:
            if named.count(row["part"]) > 1:  # a single row is its own sum
                line = {**row, first: row["part"], "surface": "all surfaces", "cut_mm": None}
                below.setdefault(lasts[row["part"]], []).append(line)
    columns = list(AREA_COLUMNS[by])
    if TREATED in patches:
        columns.insert(columns.index("net_m2") + 1, TREATED)
    if TRUE in patches:
        columns.insert(columns.index("plus_minus_m2") + 1, TRUE)
        columns += SLOPES
        columns = [name for name in columns if name not in ("surveyed", "perimeter_m" if by == "patch" else "")]
    text = text_table(_said_once(rows, first), columns, units, [total], below)
    return text + _large(total.get("net_m2"), total.get("plus_minus_m2"), units)


def _said_once(rows: list[Row], key: str) -> list[Row]:
    """The same rows, a heading that repeats from line to line said once."""
    last: object = object()
    made = []
    for row in rows:
        made.append({**row, key: ""} if row[key] == last else {**row, key: "no hole" if row[key] is None else row[key]})
        last = row[key]
    return made


def _large(net: float | None, plus_minus: float | None, units: str) -> str:
    """The total once more in hectares or acres, as people speak of it."""
    if net is None or plus_minus is None:
        return ""
    how = shown("large area", units)
    return (
        f"\n{how.text(net)} in all, give or take {how.text(plus_minus)} (95 % interval). "
        "Net: ground drawn twice counts once.\n"
    )


def drawn_twice_text(pairs: "pd.DataFrame", units: str = "metric") -> str:
    """
    Which surface keeps ground that was drawn twice, and how much there was of it.

    Parameters
    ----------
    pairs
        Columns ``keeps``, ``under``, ``pairs`` and ``area_m2``.
    units
        ``metric`` or ``us``.
    """
    rows = plain_rows(pairs)
    if not rows:
        return "No ground was drawn twice.\n"
    total = {
        "keeps": "total",
        "pairs": sum(row["pairs"] for row in rows),
        "area_m2": sum(row["area_m2"] for row in rows),
    }
    return "Ground drawn twice\n\n" + text_table(rows, ["keeps", "under", "pairs", "area_m2"], units, [total])
