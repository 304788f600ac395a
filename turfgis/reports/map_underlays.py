"""Images under the shapes of the map, each inside the page: a photo, shaded relief, readings with their legend."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from turfgis.reports.map_content import words
from turfgis.reports.map_sealed import data_uri


@dataclass(frozen=True)
class Underlay:
    """
    Images that are switched on and off together.

    Attributes
    ----------
    label, note
        What the list of layers calls it, and a line on it.
    credit
        Whom the map names while it is on.
    images
        West, south, east and north [degrees] of each image, which is drawn in Web Mercator; its content; and its kind,
        such as ``image/jpeg``. Later ones lie on top.
    on
        Whether it is on when the map is opened.
    legend
        Colours (``#rrggbb``) and what each means.
    """

    label: str
    images: Sequence[tuple[tuple[float, float, float, float], bytes, str]]
    note: str = ""
    credit: str = ""
    on: bool = False
    legend: Sequence[tuple[str, str]] = field(default_factory=tuple)


def describe_underlay(underlay: Underlay) -> dict[str, Any]:
    """An underlay as the page gets it."""
    return {
        "label": words(underlay.label),
        "note": words(underlay.note),
        "credit": words(underlay.credit),
        "on": underlay.on,
        "legend": [[colour, words(text)] for colour, text in underlay.legend],
        "images": [
            {"bounds": [[south, west], [north, east]], "src": data_uri(content, kind)}
            for (west, south, east, north), content, kind in underlay.images
        ],
    }
