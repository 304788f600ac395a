"""What the year puts on the ground, as sheets of the planner's workbook."""

from collections.abc import Iterable

from turfgis.estimates.edges import EdgeEntry
from turfgis.estimates.ledgers import Entry
from turfgis.reports.columns import Column
from turfgis.reports.ledger_rows import edge_rows, nutrient_rows, sand_rows
from turfgis.reports.tables import Row

_DOSES = {
    "net": "net",
    "treated": "treated",
    "running_net": "running, net",
    "running_treated": "running, treated",
    "highest_treated": "treated, highest patch",
}
_UNITS = {"kg_ha": "kg/ha", "g_m2": "g/m2", "lb_1000ft2": "lb/1000 ft2"}
_UNDATED = "no month"


def nutrient_sheet(entries: Iterable[Entry]) -> tuple[list[Column], list[Row]]:
    """
    Columns and rows of nutrients, in all three units that doses are spoken of in.

    Parameters
    ----------
    entries
        The months of a ledger; sand is left out.
    """
    columns = [
        *(Column("surface", "surface"), Column("when", "month"), Column("nutrient", "of")),
        Column("mass_kg", "put out", "mass"),
        *(
            Column(f"{key}_{unit}", f"{head}, {said}", "number")
            for unit, said in _UNITS.items()
            for key, head in _DOSES.items()
        ),
        Column("highest_patch", "highest patch"),
    ]
    return columns, _dated(nutrient_rows(entries))


def sand_sheet(entries: Iterable[Entry]) -> tuple[list[Column], list[Row]]:
    """
    Columns and rows of dry sand as a depth.

    Parameters
    ----------
    entries
        The months of a ledger; nutrients are left out.
    """
    columns = [
        *(Column("surface", "surface"), Column("when", "month"), Column("sand", "where it goes")),
        Column("dry_t", "dry sand", "heavy", 1000.0),
        *(_depth(f"{key}_mm", head) for key, head in _DOSES.items()),
        Column("highest_patch", "highest patch"),
    ]
    return columns, _dated(sand_rows(entries))


def edge_sheet(edges: Iterable[EdgeEntry]) -> tuple[list[Column], list[Row]]:
    """Columns and rows of the sand that lands past the edges in a year."""
    columns = [
        *(Column("beside", "beside"), Column("when", "year")),
        Column("dry_t", "dry sand", "heavy", 1000.0),
        Column("strip_m2", "strip", "area"),
        *(_depth("by_edge_mm", "by the edge"), _depth("over_strip_mm", "over the strip")),
        *(_depth("on_collars_mm", "on collars"), _depth("highest_by_edge_mm", "by the edge, highest patch")),
        Column("highest_patch", "highest patch"),
    ]
    return columns, edge_rows(edges)


def _depth(key: str, head: str) -> Column:
    return Column(key, head, "small length", 1e-3)


def _dated(rows: list[Row]) -> list[Row]:
    return [{**row, "when": row["when"] or _UNDATED} for row in rows]
