"""
What the map says, as plain data: the only way in which words from layers and settings reach the page.

The page reads this as JSON and shows it as text. Nothing here is markup, and nothing here is measured: figures are
written in the units of the reader, and a surface's area is the sum of the patches shown.
"""

import json
from collections.abc import Iterable
from math import isnan
from typing import Any

from geopandas import GeoDataFrame
from pandas import NA, DataFrame

from turfgis.surfaces import SURFACES
from turfgis.units import shown

HECTARE_M2 = 10_000.0
# Said on every map, whatever the course has to say itself.
STANDING_NOTE = (
    "This map shows measured ground. It does not show buried pipes and cables, legal boundaries, or where a machine "
    "may safely go, and it does not replace induction, training or a look at the ground."
)


def words(value: object) -> str:
    """A cell of a table as text; nothing known is no text, and whole numbers lose the decimals a table gave them."""
    if value is None or value is NA or (isinstance(value, float) and isnan(value)):
        return ""
    if isinstance(value, float) and value.is_integer():
        return str(int(value))
    return str(value).strip()


def number(value: Any) -> float:
    """A cell of a table as a number; nothing known is not a number."""
    return float("nan") if value is None or value is NA else float(value)


def patch_title(name: str, hole: str, surface: str) -> str:
    """
    What staff call a patch: hole and surface first, then whatever its name says beyond them.

    Examples
    --------
    >>> patch_title("Green 14", "14", "green")
    '14 green'
    >>> patch_title("Fairway 14 lower", "14", "fairway")
    '14 fairway, lower'
    >>> patch_title("back", "12", "tee")
    '12 tee, back'
    >>> patch_title("Reed pond", "", "water")
    'Reed pond (water)'
    """
    said = name.lower().split()
    if not hole:
        return surface if not name else name if surface in said else f"{name} ({surface})"
    if hole.lower() in said and surface in said:
        name = " ".join(word for word in name.split() if word.lower() not in (hole.lower(), surface))
    return f"{hole} {surface}" + (f", {name}" if name else "")


def area_text(net_m2: float, plus_minus_m2: float, units: str) -> str:
    """
    An area with its plus-minus and one unit for both.

    Examples
    --------
    >>> area_text(512.3, 9.1, "metric")
    '512 ± 9 m2'
    >>> area_text(512.3, float("nan"), "us")
    '5,514 ft2'
    """
    area = shown("area", units)
    if isnan(plus_minus_m2) or isnan(net_m2):
        return area.text(net_m2)
    within = area.number(plus_minus_m2)
    return f"{area.number(net_m2)} ± {'less than 1' if within == '0' else within} {area.label}"


def cut_text(heights_mm: Iterable[float], units: str) -> str:
    """
    One height of cut, or the lowest and the highest.

    Examples
    --------
    >>> cut_text([4.0, 4.0], "metric")
    '4.0 mm'
    >>> cut_text([10.0, 12.0], "metric")
    '10.0 to 12.0 mm'
    """
    known = sorted({height for height in heights_mm if not isnan(height)})
    if not known:
        return ""
    height = shown("small length", units)
    lowest, highest = height.number(known[0] / 1000), height.number(known[-1] / 1000)
    return f"{lowest} {height.label}" if lowest == highest else f"{lowest} to {highest} {height.label}"


def total_area_text(net_m2: float, units: str) -> str:
    """The area of a surface: in hectares or acres from one hectare up, else in square metres or feet."""
    return shown("large area" if net_m2 >= HECTARE_M2 else "area", units).text(net_m2)


def describe_patches(patches: GeoDataFrame, facts: DataFrame, surfaces: list[str], units: str) -> list[dict[str, Any]]:
    """Each patch as the page shows it, in the order of the table."""
    lines: dict[str, list[list[str]]] = {}
    for patch, label, text in _fact_rows(facts):
        lines.setdefault(words(patch), []).append([words(label), words(text)])
    place = {name: index for index, name in enumerate(surfaces)}
    rows = DataFrame(patches.drop(columns=patches.geometry.name)).to_dict("records")
    return [_describe_patch(row, lines, place, units) for row in rows]


def _fact_rows(facts: DataFrame) -> list[tuple[object, object, object]]:
    """Patch, label and text of each line; none where there are no facts at all, not even columns."""
    return [] if facts.empty else list(zip(facts["patch"], facts["label"], facts["text"], strict=True))


def _describe_patch(
    row: dict[Any, Any], lines: dict[str, list[list[str]]], place: dict[str, int], units: str
) -> dict[str, Any]:
    """One patch as the page shows it; what is not known is left out."""
    patch, hole, surface = words(row.get("patch")), words(row.get("hole")), words(row.get("surface"))
    said = {
        "title": patch_title(words(row.get("name")), hole, surface),
        "hole": hole,
        "id": patch,
        "area": area_text(number(row.get("net_m2")), number(row.get("plus_minus_m2")), units),
        "perimeter": shown("length", units).text(number(row.get("perimeter_m"))),
        "cut": cut_text([number(row.get("cut_mm"))], units),
        "surveyed": words(row.get("surveyed")),
        "facts": lines.get(patch, []),
    }
    return {"surface": place[surface]} | {key: value for key, value in said.items() if value}


def describe_surfaces(patches: GeoDataFrame, surfaces: list[str], units: str) -> list[dict[str, Any]]:
    """Each surface as the legend shows it, top of the pile first."""
    described = []
    for name in surfaces:
        rows = patches[patches["surface"] == name]
        known = SURFACES.get(name)
        heights = [number(value) for value in rows["cut_mm"]] if "cut_mm" in rows else []
        described.append(
            {
                "name": name,
                "plural": known.plural if known else name,
                "patches": len(rows),
                "area": total_area_text(sum(number(value) for value in rows["net_m2"]), units),
                "cut": cut_text(heights, units),
            }
        )
    return described


def as_json(said: dict[str, Any]) -> str:
    r"""
    Data that may stand inside a page: no character in it can end a script or begin markup.

    Examples
    --------
    >>> print(as_json({"name": "<img> & more"}))
    {"name":"\u003cimg\u003e \u0026 more"}
    """
    # Beyond ASCII everything is escaped already, U+2028 and U+2029 with it.
    text = json.dumps(said, separators=(",", ":"), ensure_ascii=True, allow_nan=False)
    return text.replace("<", "\\u003c").replace(">", "\\u003e").replace("&", "\\u0026")
