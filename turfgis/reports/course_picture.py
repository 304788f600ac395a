"""A picture of the course as drawn shapes, for a page on a screen: light enough to be made while one waits."""

from collections.abc import Callable
from html import escape
from typing import Any

from geopandas import GeoDataFrame

from turfgis.reports.map_content import words
from turfgis.reports.map_palette import fills_for

WIDTH = 1000.0  # of the picture, in its own steps
FINEST = 0.35  # what is finer than this, in the same steps, is left out


def spot(hole: str | None, surface: str) -> str:
    """What staff call a place: "7 green"."""
    return f"{hole} {surface}" if hole else surface


def course_picture(
    patches: GeoDataFrame, surfaces: list[str], title: str, called: Callable[[str | None, str], str] = spot
) -> str:
    """
    All patches as SVG, the bottom of the pile first.

    Parameters
    ----------
    patches
        Net patches in the frame of the course.
    surfaces
        The pile, its top first.
    title
        What readers hear who do not see the picture.
    called
        What a place is called, of its hole and surface.

    Returns
    -------
    An ``svg`` element in which each path carries its patch in ``data-patch``. All words are escaped.
    """
    if patches.empty:
        return ""
    west, south, east, north = patches.total_bounds
    scale = WIDTH / max(east - west, 1e-9)
    fills = fills_for(surfaces)
    made = []
    for surface in reversed(surfaces):
        on = patches[patches["surface"] == surface]
        fill = fills[surface]
        for patch, hole, shape in zip(on["patch"], on["hole"], on.geometry.simplify(FINEST / scale), strict=True):
            name = called(hole if isinstance(hole, str) else None, surface)
            made.append(
                f'<path d="{_drawn(shape, west, north, scale)}" fill="{fill.tint}" stroke="{fill.ink}" '
                f'data-patch="{escape(words(patch))}"><title>{escape(words(name))}</title></path>'
            )
    height = (north - south) * scale
    return (
        f'<svg class="picture" viewBox="-4 -4 {WIDTH + 8:.0f} {height + 8:.0f}" role="img" '
        f'aria-label="{escape(words(title))}" stroke-width="0.7" fill-rule="evenodd">{"".join(made)}</svg>'
    )


def _drawn(shape: Any, west: float, north: float, scale: float) -> str:
    """Outlines as path data."""
    parts = []
    for part in getattr(shape, "geoms", [shape]):
        for ring in (part.exterior, *part.interiors):
            points = " ".join(f"{(x - west) * scale:.1f} {(north - y) * scale:.1f}" for x, y, *_ in ring.coords[:-1])
            parts.append(f"M{points}Z")
    return "".join(parts)
