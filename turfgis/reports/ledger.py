"""Ledgers of nutrients and sand for the screen."""

import textwrap
from collections.abc import Sequence

from turfgis.estimates.edges import EdgeEntry
from turfgis.estimates.ledgers import NUTRIENTS, SANDS, Entry, Ledger
from turfgis.estimates.limits import LimitCheck
from turfgis.reports.columns import Column
from turfgis.reports.facts import plain_words
from turfgis.reports.ledger_rows import NOTES, PARTS, edge_rows, nutrient_rows
from turfgis.reports.screen import WIDEST, one_line, text_table
from turfgis.reports.tables import Row
from turfgis.units import Shown, shown


def broken_text(checks: Sequence[LimitCheck], units: str = "metric") -> list[str]:
    """One sentence for each limit that the plan breaks on a surface."""
    return [_broken(check, units) for check in checks if check.broken]


def _broken(check: LimitCheck, units: str) -> str:
    found, most, mean = (_dose_words(dose, check.what, units) for dose in (check.found, check.most, check.mean))
    when = f"at once ({check.when})" if check.per == "application" else f"in {check.when}"
    others = len(check.over) - 1
    more = "" if not others else "; so does one more" if others == 1 else f"; so do {others} more"
    return one_line(
        f"limit {check.limit} is broken on {check.surface}: {check.patch} gets {found} of {check.what} {when}, on its "
        f"{check.area} area, and may get {most}{more} (mean of the surface then: {mean})"
    )


def _how(what: str, units: str) -> Shown:
    """How a dose of a nutrient, or a depth of sand, is shown."""
    return shown("small length" if what == "sand" else "field rate" if units == "metric" else "mass rate", units)


def _dose_words(dose: float, what: str, units: str) -> str:
    how = _how(what, units)
    return f"{dose * how.per_si:.6g} {how.label}"  # never rounded so far that too much looks like just enough


def ledger_text(
    ledger: Ledger,
    edges: Sequence[EdgeEntry],
    checks: Sequence[LimitCheck],
    remarks: Sequence[str] = (),
    units: str = "metric",
    parts: Sequence[str] = PARTS,
) -> str:
    """
    The ledgers for the screen.

    Parameters
    ----------
    ledger, edges, checks, remarks
        The ledger, what lies beside the edges, the limits held against the plan, and what else is to be said.
    units
        ``metric`` or ``us``, for the doses of a month; those of the year stand in all three units.
    parts
        Which of :data:`PARTS` are shown.
    """
    blocks: list[str] = []
    notes: list[str] = []
    used = {entry.what for entry in ledger.years}
    if "nutrients" in parts and used - set(SANDS):
        blocks += [_nutrient_years(ledger), _nutrient_months(ledger, units)]
        notes += [NOTES["areas"], NOTES["beyond"]]
    if "sand" in parts and used & set(SANDS):
        blocks.append(_sand_years(ledger, units))
        notes += [NOTES["areas"], NOTES["beyond"], NOTES["sand"]]
    if "edges" in parts and edges:
        blocks.append(_edge_table(edges, units))
        notes.append(NOTES["edges"])
    if "limits" in parts and checks:
        blocks.append(_limits(checks, units))
        notes.append(NOTES["limits"])
    if not blocks:
        blocks.append("Nothing to enter: no job brings what was asked for.\n")
    said = dict.fromkeys([*map(one_line, remarks), *notes, NOTES["nutrients"]])
    blocks.append("\n".join(textwrap.fill(line, WIDEST) for line in said) + "\n")
    return "\n".join(blocks)


def _titled(title: str, table: str) -> str:
    return f"{title}\n\n{table}"


def _nutrient_order(entry: Entry) -> tuple:
    order = NUTRIENTS.index(entry.what) if entry.what in NUTRIENTS else len(NUTRIENTS)
    return (order, entry.what)


def _nutrient_years(ledger: Ledger) -> str:
    surfaces = list(dict.fromkeys(entry.surface for entry in ledger.years))
    entries = [entry for entry in ledger.years if entry.what not in SANDS]
    entries.sort(key=lambda one: (one.when or "", surfaces.index(one.surface), _nutrient_order(one)))
    rows = [row for entry in entries for row in _by_area(entry)]
    heads = [
        *(Column("surface", "surface"), Column("nutrient", "of"), Column("area", "on which area")),
        *(Column("kg_ha", "kg/ha", "number"), Column("g_m2", "g/m2", "number")),
        *(Column("lb_1000ft2", "lb/1000 ft2", "number"), Column("patch", "highest")),
        Column("patch_kg_ha", "kg/ha", "number"),
    ]
    if len({row["when"] for row in rows}) > 1:
        heads.insert(0, Column("when", "year"))
    return _titled("Nutrients in the year", text_table(rows, heads))


def _by_area(entry: Entry) -> list[Row]:
    """A line for each area, or one for both where nothing flies past the edge."""
    doses = [("net", entry.net, entry.patch_net), ("treated", entry.treated, entry.patch_treated)]
    if abs(entry.net - entry.treated) <= 1e-9 * entry.net:
        doses = [("net and treated", entry.net, entry.patch_net)]
    pounds = shown("mass rate", "us").per_si
    return [
        {
            **{"surface": entry.surface, "nutrient": entry.what, "when": entry.when, "area": area},
            **{"kg_ha": dose * 1e4, "g_m2": dose * 1e3, "lb_1000ft2": dose * pounds},
            **{"patch": entry.patch, "patch_kg_ha": highest * 1e4},
        }
        for area, dose, highest in doses
    ]


def _nutrient_months(ledger: Ledger, units: str) -> str:
    surfaces = list(dict.fromkeys(entry.surface for entry in ledger.months))
    entries = [entry for entry in ledger.months if entry.what not in SANDS]
    entries.sort(key=lambda one: (surfaces.index(one.surface), one.when or "9999", _nutrient_order(one)))
    rows = [{**row, "when": row["when"] or "no date"} for row in nutrient_rows(entries)]
    key, label = ("kg_ha", "kg/ha") if units == "metric" else ("lb_1000ft2", "lb/1000 ft2")
    heads = [Column("surface", "surface"), Column("when", "month"), Column("nutrient", "of")]
    for name, head in (
        *(("net", "net"), ("treated", "treated")),
        *(("running_net", "running, net"), ("running_treated", "running, treated")),
    ):
        heads.append(Column(f"{name}_{key}", head, "number"))
    return _titled(f"Nutrients month by month, in {label}", text_table(rows, heads))


def _sand_years(ledger: Ledger, units: str) -> str:
    sums: dict[tuple, Row] = {}
    for entry in ledger.years:
        if entry.what not in SANDS:
            continue
        row = sums.setdefault((entry.when, entry.surface), {"surface": entry.surface, "when": entry.when})
        if entry.what == "sand":
            row |= {"all_mm": entry.treated * 1000, "net_mm": entry.net * 1000, "dry_t": entry.mass / 1000}
            row |= {"highest_mm": entry.patch_treated * 1000, "patch": entry.patch}
        else:
            row["holes_mm" if entry.what == "sand in holes" else "surface_mm"] = entry.treated * 1000
    rows = [{"holes_mm": 0.0, "surface_mm": 0.0, **row} for row in sums.values()]
    heads = [Column("surface", "surface"), _deep("holes_mm", "in holes"), _deep("surface_mm", "on the surface")]
    heads += [_deep("all_mm", "in all, treated"), _deep("net_mm", "in all, net")]
    heads += [Column("dry_t", "dry sand", "heavy", 1000.0), _deep("highest_mm", "highest"), Column("patch", "patch")]
    if len({row["when"] for row in rows}) > 1:
        heads.insert(0, Column("when", "year"))
    return _titled("Sand in the year, as a depth", text_table(rows, heads, units))


def _deep(key: str, head: str) -> Column:
    return Column(key, head, "small length", 1e-3)


def _edge_table(edges: Sequence[EdgeEntry], units: str) -> str:
    rows = edge_rows(edges)
    heads = [Column("beside", "beside"), _deep("by_edge_mm", "by the edge"), _deep("over_strip_mm", "over the strip")]
    if any(row["on_collars_mm"] is not None for row in rows):
        heads.append(_deep("on_collars_mm", "on collars"))
    heads += [Column("dry_t", "dry sand", "heavy", 1000.0), Column("strip_m2", "strip", "area")]
    heads += [_deep("highest_by_edge_mm", "highest"), Column("highest_patch", "patch")]
    if len({row["when"] for row in rows}) > 1:
        heads.insert(0, Column("when", "year"))
    return _titled("Sand thrown past the edge in the year", text_table(rows, heads, units))


_PER = {"year": "a year", "month": "a month", "application": "at once"}


def limit_table(checks: Sequence[LimitCheck], units: str) -> tuple[list[str | Column], list[Row]]:
    """
    Heads and rows of the limits: what each allows, the most that any patch gets, and whether it is kept.

    Parameters
    ----------
    checks
        Limits held against the plan.
    units
        ``metric`` or ``us``.
    """
    rows: list[Row] = []
    for check in checks:
        how = _how(check.what, units)
        rows.append(
            {
                "limit": plain_words(one_line(check.limit)),
                "surface": check.surface,
                "of": f"{check.what}, {how.label}",
                "per": f"{_PER[check.per]}, {check.area}",
                "most": f"{check.most * how.per_si:.4g}",
                "highest": f"{check.found * how.per_si:.4g}",
                "where": f"{check.patch}, {one_line(check.when)}" if check.patch else "",
                "kept": "BROKEN" if check.broken else "kept",
            }
        )
    return ["limit", "surface", "of", "per", Column("most", "at most"), "highest", "where", "kept"], rows


def _limits(checks: Sequence[LimitCheck], units: str) -> str:
    heads, rows = limit_table(checks, units)
    broken = "".join(textwrap.fill(f"{line}.", WIDEST) + "\n" for line in broken_text(checks, units))
    return _titled("Limits of the club", text_table(rows, heads) + (f"\n{broken}" if broken else ""))
