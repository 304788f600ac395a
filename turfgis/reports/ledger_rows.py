"""Ledgers of nutrients and sand as rows for CSV and JSON, and what must be read beside them."""

from collections.abc import Iterable, Sequence
from typing import Any

from turfgis.estimates.edges import EdgeEntry
from turfgis.estimates.ledgers import SANDS, Entry, Ledger
from turfgis.estimates.limits import LimitCheck
from turfgis.reports.tables import Row
from turfgis.units import shown

PARTS = ("nutrients", "sand", "edges", "limits")
NOTES = {
    "areas": (
        "Net: all that is put out, with what flies past the edge, over the net area. Treated: over all the ground that "
        "it lands on. Both are means of the whole surface, patches that get nothing included; the patch with the most "
        "stands beside them. Rates and depths with a spread count with their mean."
    ),
    "beyond": (
        "What lands past an edge is counted for the surface it is meant for, never for the one that it lands on."
    ),
    "limits": (
        "A limit is kept when every patch keeps it. What is done on one day is one application, whatever the number "
        "of jobs. Limits are those that the club entered; what the plan keeps may still be forbidden."
    ),
    "nutrients": (
        "This is arithmetic, not advice on what to use. The label, a soil analysis, closed periods and the rules of "
        "the place decide whether, how much and when, and how far from water; keep the records they ask for."
    ),
    "sand": (
        "Depths of dry sand as placed. Sand in holes and slits takes the place of what came out and does not raise the "
        "surface by as much. Sand that does not match the ground below it can do lasting harm: have it tested."
    ),
    "edges": (
        "By the edge: close to it, where the strips of all jobs lie on one another. Over the strip: even over the "
        "widest of them. On collars: as a mean of all collars, if it lands on nothing else. An even throw is assumed; "
        "brushing, blowing and cores lifted change it: measure the ground."
    ),
}


def nutrient_rows(entries: Iterable[Entry]) -> list[Row]:
    """
    Nutrients as rows for CSV and JSON.

    Parameters
    ----------
    entries
        Of a ledger; sand is left out.

    Returns
    -------
    ``surface``, ``nutrient``, ``when``, ``mass_kg``, and every dose in ``_kg_ha``, ``_g_m2`` and ``_lb_1000ft2``.
    """
    return [
        {
            "surface": entry.surface,
            "nutrient": entry.what,
            "when": entry.when,
            "mass_kg": entry.mass,
            **_in_three_units("net", entry.net),
            **_in_three_units("treated", entry.treated),
            **_in_three_units("running_net", entry.running_net),
            **_in_three_units("running_treated", entry.running_treated),
            "highest_patch": entry.patch,
            **_in_three_units("highest_net", entry.patch_net),
            **_in_three_units("highest_treated", entry.patch_treated),
        }
        for entry in entries
        if entry.what not in SANDS
    ]


def _in_three_units(name: str, dose: float) -> Row:
    """A dose [kg/m2] in the units in which it is spoken of."""
    pounds = shown("mass rate", "us").per_si
    return {f"{name}_kg_ha": dose * 1e4, f"{name}_g_m2": dose * 1e3, f"{name}_lb_1000ft2": dose * pounds}


def sand_rows(entries: Iterable[Entry]) -> list[Row]:
    """
    Sand as rows for CSV and JSON.

    Parameters
    ----------
    entries
        Of a ledger; nutrients are left out.

    Returns
    -------
    ``surface``, ``sand`` (in holes, on the surface, or both together), ``when``, ``dry_t`` and depths in ``_mm``.
    """
    return [
        {
            "surface": entry.surface,
            "sand": _sand_word(entry.what),
            "when": entry.when,
            "dry_t": entry.mass / 1000,
            "net_mm": entry.net * 1000,
            "treated_mm": entry.treated * 1000,
            "running_net_mm": entry.running_net * 1000,
            "running_treated_mm": entry.running_treated * 1000,
            "highest_patch": entry.patch,
            "highest_net_mm": entry.patch_net * 1000,
            "highest_treated_mm": entry.patch_treated * 1000,
        }
        for entry in entries
        if entry.what in SANDS
    ]


def _sand_word(what: str) -> str:
    return {"sand": "in all"}.get(what, what.removeprefix("sand "))


def edge_rows(edges: Iterable[EdgeEntry]) -> list[Row]:
    """What overthrow leaves beside the edge, as rows with depths in ``_mm`` a year."""
    return [
        {
            "beside": edge.surface,
            "when": edge.when,
            "dry_t": edge.mass / 1000,
            "strip_m2": edge.strip_m2,
            "by_edge_mm": edge.near * 1000,
            "over_strip_mm": edge.mean * 1000,
            "highest_patch": edge.patch,
            "highest_by_edge_mm": edge.patch_near * 1000,
            "on_collars_mm": None if edge.collar is None else edge.collar * 1000,
        }
        for edge in edges
    ]


def limit_rows(checks: Iterable[LimitCheck]) -> list[Row]:
    """Limits as rows; doses in ``_kg_ha``, ``_g_m2`` and ``_lb_1000ft2``, depths of sand in ``_mm``, else empty."""
    rows = []
    for check in checks:
        row: Row = {
            "limit": check.limit,
            "what": check.what,
            "surface": check.surface,
            "per": check.per,
            "area": check.area,
            "broken": check.broken,
            "patch": check.patch,
            "when": check.when or None,
            "patches_over": len(check.over),
            "over": " ".join(check.over),
        }
        for name, dose in (("most", check.most), ("highest", check.found), ("surface_mean", check.mean)):
            sand = check.what == "sand"
            row |= dict.fromkeys(_in_three_units(name, dose)) if sand else _in_three_units(name, dose)
            row[f"{name}_mm"] = dose * 1000 if sand else None
        rows.append(row)
    return rows


def ledger_rows(ledger: Ledger, edges: Sequence[EdgeEntry], checks: Sequence[LimitCheck], part: str) -> list[Row]:
    """
    Rows of one part, for CSV.

    Parameters
    ----------
    ledger, edges, checks
        The ledger, what lies beside the edges, and the limits held against the plan.
    part
        One of :data:`PARTS`; nutrients and sand by month.
    """
    if part == "nutrients":
        return nutrient_rows(ledger.months)
    if part == "sand":
        return sand_rows(ledger.months)
    return edge_rows(edges) if part == "edges" else limit_rows(checks)


def ledger_json(
    ledger: Ledger, edges: Sequence[EdgeEntry], checks: Sequence[LimitCheck], remarks: Sequence[str] = ()
) -> dict[str, Any]:
    """The ledgers as a nest of dictionaries and lists; ``when`` of null is what has no date."""
    return {
        "nutrients": {"months": nutrient_rows(ledger.months), "years": nutrient_rows(ledger.years)},
        "sand": {"months": sand_rows(ledger.months), "years": sand_rows(ledger.years)},
        "edges": edge_rows(edges),
        "limits": limit_rows(checks),
        "kept": not any(check.broken for check in checks),
        "remarks": list(remarks),
        "notes": list(NOTES.values()),
    }
