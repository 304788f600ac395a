"""How a column is headed and converted: its key carries the unit, so the key is enough to tell."""

from dataclasses import dataclass
from functools import cache
from typing import Any

from turfgis.units import Shown, shown

# Ending of a key -> kind of figure for turfgis.units, and how many SI units one of the key's unit is.
_ENDINGS: tuple[tuple[str, str, float], ...] = (
    ("_kg_ha", "field rate", 1e-4),
    ("_g_m2", "mass rate", 1e-3),
    ("_m2_h", "capacity", 1 / 3600),
    ("_m2", "area", 1.0),
    ("_m3", "volume", 1.0),
    ("_mm", "small length", 1e-3),
    ("_kg", "mass", 1.0),
    ("_t", "heavy", 1000.0),
    ("_minutes", "minutes", 60.0),
    ("minutes", "minutes", 60.0),
    ("_m", "length", 1.0),
)
_HEADS = {
    "plus_minus": "±",
    "net": "net area",
    "drawn": "drawn",
    "dry": "dry",
    "delivered": "delivered",
    "treated": "treated",
    "area": "area",
    "keeps": "keeps the ground",
    "under": "drawn under it",
    "pairs": "places",
    "true": "true area",
    "mean_slope": "mean slope",
    "p95_slope": "95th percentile slope",
    "steepest_slope": "steepest",
}
_COUNTS = {"patches", "pairs", "loads", "packs", "passes", "turns", "count", "not_fitting", "direction_deg"}
_UNITLESS = {"", "count", "share", "money", "number", "percent"}
_SHARES = {"share", "chance_short"}


@dataclass(frozen=True)
class Column:
    """
    One column of a table.

    Attributes
    ----------
    key
        Name of the value in a row, with its unit at the end.
    head
        Heading without the unit.
    kind
        "" for text, ``count``, ``share``, ``percent``, ``money``, ``number``, or a kind of figure of
        :mod:`turfgis.units`.
    per_key
        SI units in one unit of the key.
    """

    key: str
    head: str
    kind: str = ""
    per_key: float = 1.0

    def shown(self, system: str) -> Shown | None:
        """How :mod:`turfgis.units` shows the figure; None for text, counts, shares and money."""
        return None if self.kind in _UNITLESS else shown(self.kind, system)

    def unit(self, system: str) -> str:
        """The unit under the heading."""
        how = self.shown(system)
        return how.label if how else {"share": "%", "percent": "%"}.get(self.kind, "")

    def decimals(self, system: str) -> int:
        """Decimals that are shown."""
        how = self.shown(system)
        return how.decimals if how else {"money": 2, "share": 1, "percent": 1, "number": 2}.get(self.kind, 0)

    def value(self, value: Any, system: str) -> Any:
        """The value in the unit that is shown."""
        how = self.shown(system)
        if how is None:
            return value * 100 if self.kind == "share" else value
        return value * self.per_key * how.per_si


@cache
def column(key: str, head: str | None = None) -> Column:
    """
    The column that a key means.

    Examples
    --------
    >>> net = column("net_m2")
    >>> net.head, net.unit("us"), round(net.value(100.0, "us"), 1)
    ('net area', 'ft2', 1076.4)
    >>> column("surface").kind
    ''
    """

    def named(stem: str) -> str:
        return head if head is not None else _HEADS.get(stem, stem.replace("_", " "))

    if key in _COUNTS:
        return Column(key, named(key), "count")
    if key in _SHARES:
        return Column(key, named(key), "share")
    if key == "cost" or key.startswith("cost_"):
        return Column(key, named(key), "money")
    if key == "width_m":
        return Column(key, named("width"), "width")
    if key.endswith("_pct"):
        return Column(key, named(key.removesuffix("_pct")), "percent")
    for ending, kind, per_key in _ENDINGS:
        if key.endswith(ending):
            stem = key.removesuffix(ending) or ending.strip("_")
            return Column(key, named("time" if stem == "minutes" else stem), kind, per_key)
    return Column(key, named(key))
