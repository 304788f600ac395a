"""
Rows for screen, CSV and JSON: patches added up by surface, hole or part of the course.

Rows are plain dictionaries in SI whose keys carry the unit (``net_m2``); only the table on the screen is converted.
"""

import csv
import io
import json
import math
import re
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from turfgis.measure.patches import SLOPE_COLUMNS
from turfgis.surfaces import pile_order

if TYPE_CHECKING:
    import pandas as pd

Row = dict[str, Any]

BY = ("surface", "hole", "patch", "part")
COVERAGE = 1.96  # half-width of a 95 % interval in standard deviations of a normal distribution
PARTS = ("front nine", "back nine")  # then further nines, named by their holes
NO_HOLE = "no hole"
TREATED = "treated_m2"
TRUE, SLOPES = "true_m2", ("mean_slope_pct", "steepest_slope_pct")
CSV_DECIMALS = 4
PATCH_COLUMNS = (
    *("patch", "surface", "hole", "name", "drawn_m2", "net_m2", "plus_minus_m2", "perimeter_m", "cut_mm"),
    *("surveyed", "source"),
)

# A spreadsheet takes text that starts with one of these for a formula, or drops the character and looks again.
# OWASP Foundation, "CSV Injection", https://owasp.org/www-community/attacks/CSV_Injection
_RISKY = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")
_BEHIND = re.compile(r"([;\t][ \t]*)(?=[=+\-@＝＋－＠])")


def hole_sort_key(hole: object) -> tuple[int, list[tuple[int, int, str]]]:
    """
    Key that puts holes in the order they are played, named places after them, and "no hole" last.

    Examples
    --------
    >>> sorted(["10", None, "practice", "2"], key=hole_sort_key)
    ['2', '10', 'practice', None]
    """
    if is_missing(hole):
        return (2, [])
    pieces = re.findall(r"\d+|\D+", str(hole).casefold())
    parts = [(0, int(piece), "") if piece.isdecimal() else (1, 0, piece) for piece in pieces]
    return (0 if parts and parts[0][0] == 0 else 1, parts)


@lru_cache(maxsize=4096)  # a table asks it of every patch, and there are few holes
def part_of(hole: object) -> str:
    """
    The part of the course a hole belongs to.

    Examples
    --------
    >>> part_of("9"), part_of("10"), part_of("21"), part_of("practice"), part_of(None)
    ('front nine', 'back nine', 'holes 19-27', 'practice', 'no hole')
    """
    if is_missing(hole):
        return NO_HOLE
    text = str(hole).strip()
    if not text.isdecimal() or int(text) < 1:
        return text if text.casefold() == "practice" else "other holes"
    nine = (int(text) - 1) // 9
    return PARTS[nine] if nine < len(PARTS) else f"holes {nine * 9 + 1}-{nine * 9 + 9}"


def part_sort_key(part: str) -> tuple[int, int]:
    """Key that puts the parts of a course in order: nines, named holes, practice, no hole."""
    if part in PARTS:
        return (0, PARTS.index(part))
    if part.startswith("holes "):
        return (0, int(re.findall(r"\d+", part)[0]))
    return ({"other holes": 1, "practice": 2}.get(part.casefold(), 3), 0)


@lru_cache(maxsize=4096)
def course_sort_key(hole: object) -> tuple[object, ...]:
    """Key that keeps the holes of each part of the course together, in the order of play."""
    return (part_sort_key(part_of(hole)), hole_sort_key(hole))


def is_missing(value: object) -> bool:
    """Whether a cell says nothing: None, NaN, NaT or an empty text."""
    if isinstance(value, float):
        return math.isnan(value)
    if isinstance(value, str):
        return not value
    return value is None or type(value).__name__ in {"NAType", "NaTType"}


def plus_minus(patches: Iterable[Row]) -> float:
    """
    Half-width of the 95 % interval of the sum of some patches. [m2]

    What is each patch's own adds in squares; the offset that a layer shares adds up first and is squared then.
    """
    shared: dict[object, float] = defaultdict(float)
    own = 0.0
    for patch in patches:
        own += (patch["u_own_m2"] or 0.0) ** 2
        shared[patch["bias_group"]] += patch["u_bias_m2"] or 0.0
    return COVERAGE * math.sqrt(own + sum(value**2 for value in shared.values()))


def _one_or_none(values: Iterable[Any]) -> Any:
    """The value that all share; None where they differ or where there is none."""
    found = {value for value in values if value is not None}
    return found.pop() if len(found) == 1 else None


def _survey_span(days: Sequence[Any]) -> str | None:
    """First and last day of survey, as one text."""
    known = sorted({str(day) for day in days if day is not None})
    if not known:
        return None
    span = known[0] if len(known) == 1 else f"{known[0]} to {known[-1]}"
    return f"{span}, some not given" if None in days else span


def _summed(patches: Iterable[Row], keys: Sequence[str]) -> list[Row]:
    """One row for each combination of keys, unsorted."""
    groups: dict[tuple[Any, ...], list[Row]] = defaultdict(list)
    for patch in patches:
        groups[tuple(patch[key] for key in keys)].append(patch)
    return [
        {
            **dict(zip(keys, values, strict=True)),
            "patches": sum(patch["net_m2"] > 0 for patch in group),
            **{name: math.fsum(patch[name] for patch in group) for name in ("drawn_m2", "net_m2")},
            **({TREATED: math.fsum(patch[TREATED] for patch in group)} if TREATED in group[0] else {}),
            "plus_minus_m2": plus_minus(group),
            "perimeter_m": math.fsum(patch["perimeter_m"] for patch in group),
            **(_slopes([patch for patch in group if patch["net_m2"] > 0]) if TRUE in group[0] else {}),
            "cut_mm": _one_or_none(patch["cut_mm"] for patch in group if patch["net_m2"] > 0),
            "surveyed": _survey_span([patch["surveyed"] for patch in group if patch["net_m2"] > 0]),
        }
        for values, group in groups.items()
    ]


def _slopes(patches: Sequence[Row]) -> Row:
    """True area and slope of several patches together; nothing where the heights do not tell them of each."""
    known = bool(patches) and all(patch[TRUE] is not None for patch in patches)
    if not known:
        return dict.fromkeys((TRUE, *SLOPES))
    net = math.fsum(patch["net_m2"] for patch in patches)
    return {
        TRUE: math.fsum(patch[TRUE] for patch in patches),
        "mean_slope_pct": math.fsum(patch["net_m2"] * patch["mean_slope_pct"] for patch in patches) / net,
        "steepest_slope_pct": max(patch["steepest_slope_pct"] for patch in patches),
    }


def _parted(patches: Iterable[Row]) -> list[Row]:
    return [{**patch, "part": part_of(patch["hole"])} for patch in patches]


def plain_rows(frame: "pd.DataFrame") -> list[Row]:
    """Rows of plain Python values; nothing known becomes None. A geometry column is left out."""
    columns = [name for name in frame.columns if str(frame[name].dtype) != "geometry"]
    listed = [frame[name].tolist() for name in columns]
    return [
        {name: None if is_missing(value) else value for name, value in zip(columns, values, strict=True)}
        for values in zip(*listed, strict=True)
    ]


def areas_rows(patches: "pd.DataFrame", by: str = "surface", order: Sequence[str] | None = None) -> list[Row]:
    """
    Areas added up, with the plus-minus of each sum.

    Parameters
    ----------
    patches
        The table of patches. Besides the measured columns it carries ``u_own_m2`` (standard uncertainty that is the
        patch's own), ``u_bias_m2`` and ``bias_group`` (one that all patches of the group share). A column
        ``treated_m2`` is added up too where there is one, and true areas and slopes. A row without net area stands for
        a shape that others cover whole: it counts as drawn, and as no patch.
    by
        ``surface``, ``hole`` (a row for each hole and surface), ``patch``, or ``part`` (front nine, back nine,
        practice; a row for each part and surface).
    order
        Surfaces from the top of the pile down, where the club has its own.

    Returns
    -------
    Rows in SI. A height of cut, or a day of survey, that differs within a row is None, or the span.

    Raises
    ------
    ValueError
        ``by`` is none of the four.
    """
    if by not in BY:
        raise ValueError(f"by must be one of {', '.join(BY)}, not {by!r}")
    rank = {name: place for place, name in enumerate(order or pile_order())}

    def surface_key(row: Row) -> tuple[int, str]:
        return (rank.get(row["surface"], len(rank)), str(row["surface"]))

    listed = plain_rows(patches)
    if by == "patch":
        names = [
            *PATCH_COLUMNS,
            *([TREATED] if TREATED in patches else []),
            *(one for one in SLOPE_COLUMNS if one in patches),
        ]
        rows = [{**{name: row[name] for name in names}, "patches": 1} for row in listed if row["net_m2"] > 0]
        return sorted(rows, key=lambda row: (*surface_key(row), course_sort_key(row["hole"]), str(row["patch"])))
    if by == "surface":
        return sorted(_summed(listed, ["surface"]), key=surface_key)
    if by == "hole":
        rows = _summed(listed, ["hole", "surface"])
        return sorted(rows, key=lambda row: (course_sort_key(row["hole"]), surface_key(row)))
    rows = _summed(_parted(listed), ["part", "surface"])
    return sorted(rows, key=lambda row: (part_sort_key(row["part"]), surface_key(row)))


def areas_totals(patches: "pd.DataFrame") -> list[Row]:
    """Sums over all surfaces: one row for each part of the course, and last the whole, each with its plus-minus."""
    listed = _parted(plain_rows(patches))
    parts = sorted(_summed(listed, ["part"]), key=lambda row: part_sort_key(row["part"]))
    return parts + _summed([{**row, "part": "total"} for row in listed], ["part"])


def guarded(value: object) -> object:
    r"""
    A cell of a CSV file that no spreadsheet runs.

    Text that a spreadsheet would take for a formula gets an apostrophe in front; numbers are left alone. The same goes
    for text behind a semicolon or tab, at which spreadsheets of many countries part the cells.

    Examples
    --------
    >>> guarded('=HYPERLINK("x")'), guarded(-1.5), guarded("green"), guarded("-1"), guarded("washed;=1+1")
    ('\'=HYPERLINK("x")', -1.5, 'green', "'-1", "washed;'=1+1")
    """
    if not isinstance(value, str):
        return value
    parted = _BEHIND.sub(r"\1'", value)
    return f"'{parted}" if value.lstrip(" ").startswith(_RISKY) else parted


def csv_text(rows: Iterable[Mapping[str, Any]], columns: Sequence[str] | None = None) -> str:
    """
    Rows as comma-separated values (RFC 4180) in SI, first line the keys; to be written as UTF-8.

    Text that starts with ``= + - @``, a tab or a line break gets an apostrophe in front (see :func:`guarded`). Figures
    are rounded to four decimals, a square centimetre or a tenth of a gram: people open these files; JSON is exact.
    """
    listed = list(rows)
    names = list(columns) if columns else list(dict.fromkeys(key for row in listed for key in row))
    made = io.StringIO()
    writer = csv.writer(made, lineterminator="\r\n")
    writer.writerow([guarded(name) for name in names])
    for row in listed:
        writer.writerow(["" if is_missing(value) else _cell(value) for value in map(row.get, names)])
    return _whole_characters(made.getvalue())


def _cell(value: object) -> object:
    return round(value, CSV_DECIMALS) if isinstance(value, float) else guarded(value)


def _whole_characters(text: str) -> str:
    """Half a character, which a file name in another encoding brings, becomes a question mark: UTF-8 has none."""
    return text.encode("utf-8", "replace").decode("utf-8")


def _known(value: Any) -> Any:
    """The same without NaN and endless numbers, which JSON does not have, and without numpy's types."""
    if value is None or type(value) in (str, int, bool):
        return value
    if isinstance(value, Mapping):
        return {str(key): _known(inner) for key, inner in value.items()}
    if isinstance(value, list | tuple):
        return [_known(inner) for inner in value]
    if hasattr(value, "item") and not isinstance(value, str):
        value = value.item()
    if isinstance(value, float) and not math.isfinite(value):
        return None
    return value if isinstance(value, str | int | float | bool) or value is None else str(value)


def json_text(rows: Any) -> str:
    """
    Rows, or any nest of dictionaries and lists, as JSON in SI. What is not known becomes null.

    Examples
    --------
    >>> print(json_text([{"surface": "green", "net_m2": 512.5, "cut_mm": float("nan")}]), end="")
    [
      {
        "surface": "green",
        "net_m2": 512.5,
        "cut_mm": null
      }
    ]
    """
    return _whole_characters(json.dumps(_known(rows), ensure_ascii=False, indent=2, allow_nan=False)) + "\n"
