"""What-ifs side by side: for the screen, as rows for CSV, as JSON, and as a workbook."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from io import BytesIO
from typing import Any

from turfgis.estimates.cases import Amount, Case
from turfgis.reports.cautions import CAUTIONS, sheet_cautions
from turfgis.reports.change import change_causes, change_json
from turfgis.reports.columns import Column
from turfgis.reports.facts import Facts, plain_words
from turfgis.reports.screen import WIDEST, one_line, text_table
from turfgis.reports.tables import COVERAGE, Row
from turfgis.reports.worksheets import begin_book, write_about, write_table
from turfgis.units import shown

BASE = "as planned"
ABREAST = 4  # cases in one table of the screen, beside the plan
HEADS = 68  # places that the heads of all cases share
CASES_NOTE = (
    "Differences are from the course as planned. Their ± leaves out what both share: a green drawn too large is too "
    "large in both. Prices and wages are taken as they are given; nothing is written to the settings."
)
_WORK = {"labour": "people", "machine": "machines"}


@dataclass(frozen=True)
class Line:
    """One figure of all cases: the plan first, then each case; with its plus-minus where it has one."""

    section: str
    name: str
    unit: str
    decimals: int
    values: tuple[float, ...]
    spreads: tuple[float | None, ...]


def case_lines(cases: Sequence[Case], units: str = "metric") -> list[Line]:
    """
    All figures, section by section.

    Parameters
    ----------
    cases
        Cases of one course.
    units
        ``metric`` or ``us``: how areas are shown.

    Returns
    -------
    Lines of ``money``, ``why`` (what the difference is made of), ``material``, ``hours`` and ``ground``. Of materials
    and ground only what a case changes.
    """
    money = one_line(cases[0].budget.currency)
    return [*_money(cases, money), *_materials(cases, money), *_hours(cases), *_ground(cases, units)]


def _money(cases: Sequence[Case], money: str) -> Iterator[Line]:
    old = cases[0].change.old
    costs = [case.cost for case in cases]
    spreads = (COVERAGE * old.u, *(COVERAGE * one.u for one in costs))
    yield Line("money", "cost of the year", money, 2, (old.total, *(one.value for one in costs)), spreads)
    apart = (0.0, *(COVERAGE * one.u_difference for one in costs))
    yield Line("money", "difference", money, 2, (0.0, *(one.difference for one in costs)), apart)
    causes = [dict(change_causes(case.change)) for case in cases]
    for words in dict.fromkeys(words for one in causes for words in one):
        values = (0.0, *(one.get(words, 0.0) for one in causes))
        yield Line("why", words, money, 2, values, (None,) * len(values))


def _materials(cases: Sequence[Case], money: str) -> Iterator[Line]:
    budgets = [cases[0].change.old, *(case.budget for case in cases)]
    found = [{row.name or "": row for row in one.by("material")} for one in budgets]
    for name in dict.fromkeys(name for one in found for name in one):
        rows = [one.get(name) for one in found]
        values = tuple(row.cost if row else 0.0 for row in rows)
        if any(abs(value - values[0]) >= 0.005 for value in values):
            spreads = tuple(COVERAGE * row.u if row else 0.0 for row in rows)
            yield Line("material", plain_words(one_line(name)) or "other", money, 2, values, spreads)


def _hours(cases: Sequence[Case]) -> Iterator[Line]:
    for resource, words in _WORK.items():
        amounts = [case.seconds[resource] for case in cases]
        yield from _amounts("hours", words, "h", 1, [_scaled(one, 1 / 3600) for one in amounts])


def _ground(cases: Sequence[Case], units: str) -> Iterator[Line]:
    how = shown("area", units)
    for surface in dict.fromkeys(name for case in cases for name in case.ground):
        planned = cases[0].base.ground
        net = float(planned.net_m2[planned.surface == surface].sum())
        amounts = [case.ground.get(surface, Amount(net, 0.0, 0.0, 0.0)) for case in cases]
        scaled = [_scaled(one, how.per_si) for one in amounts]
        yield from _amounts("ground", one_line(surface), how.label, how.decimals, scaled)


def _scaled(amount: Amount, per: float) -> Amount:
    return Amount(amount.value * per, amount.u * per, amount.difference * per, amount.u_difference * per)


def _amounts(section: str, name: str, unit: str, decimals: int, amounts: Sequence[Amount]) -> Iterator[Line]:
    planned = amounts[0].value - amounts[0].difference
    yield Line(section, name, unit, decimals, (planned, *(one.value for one in amounts)), (None,) * (len(amounts) + 1))
    if any(one.difference for one in amounts):
        spreads = (0.0, *(COVERAGE * one.u_difference for one in amounts))
        yield Line(section, f"{name}, difference", unit, decimals, (0.0, *(one.difference for one in amounts)), spreads)


def case_rows(cases: Sequence[Case]) -> list[Row]:
    """One row for each case and figure: ``case``, ``section``, ``what``, ``unit``, ``value`` and ``plus_minus``."""
    names, lines = (BASE, *(case.name for case in cases)), case_lines(cases)
    return [
        {
            **{"case": name, "section": line.section, "what": line.name, "unit": line.unit},
            **{"value": round(line.values[at], 6), "plus_minus": _rounded(line.spreads[at])},
        }
        for at, name in enumerate(names)
        for line in lines
    ]


def _rounded(value: float | None) -> float | None:
    return None if value is None else round(value, 6)


def cases_json(cases: Sequence[Case]) -> dict[str, Any]:
    """The plan, and each case as :func:`case_json` gives it."""
    old = cases[0].change.old
    return {
        "currency": old.currency,
        "base": {"name": BASE, "total": round(old.total, 2), "total_u": old.u},
        "cases": [case_json(case) for case in cases],
        "note": CASES_NOTE,
    }


def case_json(case: Case) -> dict[str, Any]:
    """A case with what it changes, its cost, hours and ground, and why it differs, as ``turfgis change`` gives it."""
    return {
        "name": case.name,
        "changes": case.changes.lines,
        "total": round(case.cost.value, 2),
        "total_u": case.cost.u,
        "difference_u": case.cost.u_difference,
        **{key: value for key, value in change_json(case.change).items() if key not in ("currency", "old", "new")},
        "hours": {words: _amount_json(case.seconds[name], 1 / 3600) for name, words in _WORK.items()},
        "ground": [
            {"surface": surface, **_amount_json(one, 1.0, "net_m2", "difference_m2")}
            for surface, one in case.ground.items()
        ],
        "by_material": [{"material": row.name, "cost": row.cost, "u": row.u} for row in case.budget.by("material")],
        "remarks": case.remarks,
        "cautions": case_cautions([case]),
    }


def _amount_json(amount: Amount, per: float, value: str = "value", difference: str = "difference") -> dict[str, float]:
    one = _scaled(amount, per)
    return {value: one.value, "u": one.u, difference: one.difference, "difference_u": one.u_difference}


def case_cautions(cases: Sequence[Case]) -> list[str]:
    """What belongs beside the figures."""
    grown = any(case.changes.let_grow for case in cases)
    return sheet_cautions("let grow") if grown else [CAUTIONS["not_a_permit"]]


def cases_text(cases: Sequence[Case], units: str = "metric") -> str:
    """The cases side by side for the screen, and what each of them changes."""
    title = f"What if, in {one_line(cases[0].budget.currency)}"
    blocks = [f"{title}\n{'=' * len(title)}\n", _legend(cases)]
    for first in range(0, len(cases), ABREAST):
        blocks += _tables(cases[first : first + ABREAST], units)
    said = [CASES_NOTE, *_remarks(cases), *case_cautions(cases)]
    blocks.append("\n".join(textwrap.fill(line, WIDEST) for line in said) + "\n")
    return "\n".join(blocks)


def case_text(case: Case, units: str = "metric") -> str:
    """Ground and hours of a single case, and how sure its difference is; to stand below the parts of its change."""
    lines = [line for line in case_lines([case], units) if line.section in ("hours", "ground")]
    tables = _section_tables(lines, [case], ["hours", "ground"])
    sure = f"Difference {case.cost.difference:+,.2f} ± {COVERAGE * case.cost.u_difference:,.2f}"
    said = [f"{sure} {one_line(case.budget.currency)}. {CASES_NOTE}", *case.remarks, *case_cautions([case])]
    return "\n".join([*tables, "\n".join(textwrap.fill(line, WIDEST) for line in said) + "\n"])


def _remarks(cases: Sequence[Case]) -> list[str]:
    return [f"{one_line(case.name)}: {words}" for case in cases for words in case.remarks]


def _legend(cases: Sequence[Case]) -> str:
    lines = []
    for case in cases:
        lines.append(one_line(case.name))
        lines += [
            textwrap.fill(one_line(words), WIDEST, initial_indent="  ", subsequent_indent="    ")
            for words in case.changes.lines
        ]
    return "\n".join(lines) + "\n"


def _tables(cases: Sequence[Case], units: str) -> list[str]:
    lines = case_lines(cases, units)
    return _section_tables(lines, cases, list(dict.fromkeys(line.section for line in lines)))


SECTIONS = {"money": "cost", "why": "why", "material": "by material or work", "hours": "work", "ground": "ground"}


def _section_tables(lines: Sequence[Line], cases: Sequence[Case], sections: Sequence[str]) -> list[str]:
    most = max(12, HEADS // (len(cases) + 1) - 2)
    names = [BASE, *(_cut(case.name, most) for case in cases)]
    tables = []
    for section in sections:
        rows = [row for line in lines if line.section == section for row in _screen_rows(line)]
        unit = next((line.unit for line in lines if line.section == section), "")
        if rows:
            heads = [Column("name", f"{SECTIONS[section]}, {unit}")]
            heads += [Column(str(at), name, "number") for at, name in enumerate(names)]
            tables.append(_fixed(rows, heads, lines, section))
    return tables


def _fixed(rows: list[Row], heads: list[Column], lines: Sequence[Line], section: str) -> str:
    decimals = next(line.decimals for line in lines if line.section == section)
    kind = {0: "count", 1: "number", 2: "money"}[decimals]
    return text_table(rows, [heads[0], *(Column(one.key, one.head, kind) for one in heads[1:])])


def _screen_rows(line: Line) -> list[Row]:
    plain = {"name": line.name, **{str(at): value for at, value in enumerate(line.values)}}
    if line.section == "why":
        return [{key: value or None for key, value in plain.items()}]
    if not any(line.spreads):
        return [plain]
    spreads = {"name": "  ±", **{str(at): spread for at, spread in enumerate(line.spreads)}}
    return [{**one, "0": None} if line.name.endswith("difference") else one for one in (plain, spreads)]


def _cut(name: str, most: int) -> str:
    words = one_line(name)
    return words if len(words) <= most else words[: most - 1] + "…"


def cases_workbook(cases: Sequence[Case], facts: Facts, units: str = "metric") -> bytes:
    """
    The cases side by side as a workbook.

    Parameters
    ----------
    cases, facts, units
        The cases, the course, and how areas are shown.

    Returns
    -------
    An XLSX file: what each case changes, all figures side by side, and their plus-minus.
    """
    buffer = BytesIO()
    book = begin_book(buffer, facts, units, "What-ifs of a course")
    changes = [(case.name, "; ".join(case.changes.lines)) for case in cases]
    remarks = [("Remark", words) for words in _remarks(cases)]
    cautions = [("Caution", words) for words in case_cautions(cases)]
    write_about(book, [*changes, ("Note", CASES_NOTE), *remarks, *cautions])
    names = (BASE, *(case.name for case in cases))
    heads = [Column("section", "section"), Column("what", "figure"), Column("unit", "unit")]
    heads += [Column(str(at), one_line(name), "number") for at, name in enumerate(names)]
    lines = case_lines(cases, units)
    for sheet, figures in (("Side by side", "values"), ("Plus-minus", "spreads")):
        rows: list[Row] = [
            {
                **{"section": line.section, "what": line.name, "unit": line.unit},
                **{str(at): value for at, value in enumerate(getattr(line, figures))},
            }
            for line in lines
        ]
        write_table(book, sheet, CASES_NOTE, heads, rows)
    book.made.close()
    return buffer.getvalue()
