"""Places that need watching as the map shows them: a sign of its own for each kind, a card, and a place in the list."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

import shapely

from turfgis.layers.place_words import KINDS
from turfgis.reports.cautions import place_cautions
from turfgis.reports.map_content import words
from turfgis.reports.map_sealed import data_uri
from turfgis.reports.map_shapes import DECIMALS, feature_collection
from turfgis.reports.places import growth_words, where_words
from turfgis.reports.screen import one_line
from turfgis.reports.tables import Row
from turfgis.units import shown

PICTURES_BYTES = 200_000  # of all photos of places together, so that the map can be sent by mail


@dataclass(frozen=True)
class Watched:
    """
    What needs watching.

    Attributes
    ----------
    rows
        Of :func:`turfgis.reports.places.place_rows`; those that are closed or off the course are left out.
    shapes
        Their shapes, in the same order, in longitude and latitude.
    photos
        Small pictures by the path that a place names.
    """

    rows: Sequence[Row]
    shapes: Sequence[Any]
    photos: Mapping[str, bytes] = field(default_factory=dict)


def describe_places(places: Watched | None, corner: tuple[float, float], units: str) -> dict[str, Any]:
    """
    Places as the page gets them.

    Parameters
    ----------
    places
        What needs watching, if anything.
    corner
        South-west corner of the map, from which shapes are counted.
    units
        ``metric`` or ``us``.

    Returns
    -------
    ``kinds``, with how many there are of each, and ``spots``.
    """
    if places is None:
        return {"kinds": [], "spots": []}
    wanted = [(row, shape) for row, shape in zip(places.rows, places.shapes, strict=True) if _on_map(row)]
    count = Counter(row["kind"] for row, _ in wanted)
    kinds = [kind for kind in KINDS if count[kind]]
    left, spots = PICTURES_BYTES, []
    for row, shape in wanted:
        picture = places.photos.get(row["photo"] or "")
        if picture is not None and len(picture) > left:
            picture = None
        left -= len(picture or b"")
        point = (
            shape.representative_point()
            if shapely.get_dimensions(shape) != 1
            else shape.interpolate(0.5, normalized=True)
        )
        spot = {
            "kind": kinds.index(row["kind"]),
            "id": words(row["place"]),
            "title": spot_title(row),
            "hole": words(row["hole"]),
            "where": words(where_words(row)),
            "at": [round(point.y, DECIMALS), round(point.x, DECIMALS)],
            "facts": _facts(row, units, picture is not None),
            "first": row["urgency"] == 1,
        }
        if shapely.get_dimensions(shape) > 0:
            spot["shape"] = feature_collection({0: shape}, corner)["features"][0]["geometry"]
        if picture is not None:
            spot["photo"] = data_uri(picture, "image/jpeg")
        spots.append(spot)
    told = [{"name": kind, "count": count[kind], "care": " ".join(place_cautions([{"kind": kind}]))} for kind in kinds]
    return {"kinds": told, "spots": spots}


def spot_title(row: Row) -> str:
    """
    What staff call a place.

    Examples
    --------
    >>> spot_title({"name": "ash by the tees", "species": None, "kind": "tree"})
    'ash by the tees'
    >>> spot_title({"name": None, "species": None, "kind": "wet spot"})
    'wet spot'
    """
    return one_line(row["name"] or row["species"] or row["kind"])


def _on_map(row: Row) -> bool:
    return row["state"] != "closed" and (row["patch"] is not None or row["near"] is not None)


def _facts(row: Row, units: str, pictured: bool) -> list[list[str]]:
    """Lines of the card; what is not known is left out."""
    area, length = shown("area", units), shown("distance", units)
    goods = " ".join(part for part in (row["rate"] or "", (row["material"] or "").replace("_", " ")) if part)
    said = [
        ("To do", row["task"]),
        ("Look again", row["due"] or "no date"),
        ("Urgency", None if row["urgency"] is None else f"{row['urgency']} (1 goes first)"),
        ("Last look", row["seen"]),
        ("Note", row["note"]),
        ("Where", where_words(row)),
        ("Size", None if row["size_m2"] is None else area.text(row["size_m2"])),
        ("Growth", growth_words(row["growth_m2_week"], units)),
        ("Length", None if row["length_m"] is None else length.text(row["length_m"])),
        ("Species", row["species"]),
        ("Girth", None if row["girth_cm"] is None else f"{row['girth_cm']:g} cm"),
        ("Hours", None if row["hours"] is None else f"{row['hours']:g} h"),
        ("Material", goods),
        ("Certificate", row["certificate"]),
        ("Photo", None if pictured else row["photo"]),
    ]
    return [[label, one_line(text)] for label, text in said if text]
