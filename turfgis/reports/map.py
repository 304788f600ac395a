"""
The area map: one HTML file that opens on a phone without signal, and prints.

folium draws: it makes the map, one layer of shapes for each surface and one for each thing in the background. Three
habits of folium do not fit a page that is sent round and opened offline, and are replaced here: links to scripts and
styles elsewhere, a page without an order for readers, and texts that become HTML or even templates. So the shapes that
folium gets carry running numbers only; what is to be read goes by another way (:mod:`turfgis.reports.map_content`) and
is shown by our own script.
"""

import re
from collections.abc import Sequence
from importlib.resources import files
from typing import Any, ClassVar

import branca.element
import folium
from folium.template import Template
from folium.utilities import JsCode
from geopandas import GeoDataFrame
from pandas import DataFrame
from shapely.geometry.base import BaseGeometry

from turfgis.errors import OutputError
from turfgis.reports.map_content import (
    STANDING_NOTE,
    as_json,
    describe_patches,
    describe_surfaces,
    words,
)
from turfgis.reports.map_heads import Thrown, describe_heads
from turfgis.reports.map_palette import Fill, fills_for, paint, pattern_defs
from turfgis.reports.map_places import Watched, describe_places
from turfgis.reports.map_sealed import POLICY_MARK, css_with_images, leaflet_folder, seal_page, tile_host
from turfgis.reports.map_shapes import (
    STEPS,
    as_one,
    course_extent,
    feature_collection,
    hole_labels,
    in_degrees,
    is_wide,
)
from turfgis.reports.map_underlays import Underlay, describe_underlay

OWN_PAGE = files("turfgis.reports") / "map_page"
INK = "#2a2f2c"
DEEPEST_ZOOM = 20


def _own(name: str) -> str:
    """A file of the page of our own, as it lies in the package."""
    return (OWN_PAGE / name).read_text(encoding="utf-8")


class CoursePage(branca.element.Figure):
    """The frame of the page: head, search, legend, notes, and the place for the map."""

    def __init__(self, *, title: str, content: dict[str, Any], fills: list[Fill], wide: bool) -> None:
        super().__init__()
        self._template = Template(_own("page.html"))
        self.title = title
        self.content = as_json(content)
        self.policy = POLICY_MARK
        self.patterns = pattern_defs(fills)
        self.paper = "landscape" if wide else "portrait"
        self.scripts = [
            _own(f"{name}.js") for name in ("find", "print", "signs", "places", "heads", "underlays", "map")
        ]

    def drawing(self) -> str:
        """What folium draws with, without the space it puts behind each comma: a tenth of the file."""
        return re.sub(r"(?<=[\d\]]), (?=[\d\[-])", ",", self.script.render())


class _Inside(branca.element.Element):
    """A script or a style that stands in the page itself, where branca would put a link to it."""

    _template = Template("<{{ this.tag }}>{{ this.text }}</{{ this.tag }}>\n")

    def __init__(self, tag: str, text: str) -> None:
        super().__init__()
        self.tag, self.text = tag, text


class CourseMap(folium.Map):
    """folium's map with Leaflet from the installed package, and with nothing that needs a network."""

    default_js: ClassVar[list[tuple[str, str]]] = []
    default_css: ClassVar[list[tuple[str, str]]] = []

    _template = Template(
        """
        {% macro html(this, kwargs) %}<div class="course" id="{{ this.get_name() }}"></div>{% endmacro %}
        {% macro script(this, kwargs) %}
            var fromCorner = ([east, north]) =>
                L.latLng({{ this.south }} + north / {{ this.steps }}, {{ this.west }} + east / {{ this.steps }});
            var {{ this.get_name() }} = L.map({{ this.get_name()|tojson }}, {
                ...{{ this.options|tojavascript }},
                renderer: L.svg({ padding: 0.5 }),
                ...(matchMedia("(prefers-reduced-motion: reduce)").matches
                    ? { zoomAnimation: false, fadeAnimation: false, markerZoomAnimation: false, inertia: false }
                    : {}),
            });
        {% endmacro %}
        """
    )

    def __init__(self, extent: tuple[float, float, float, float]) -> None:
        west, south, east, north = extent
        super().__init__(
            location=[(south + north) / 2, (west + east) / 2],
            tiles=None,
            zoom_control=False,
            max_zoom=DEEPEST_ZOOM,
            zoom_snap=0.25,
            zoom_delta=1,
            attribution_control=False,
        )
        self._id = "course"
        self.west, self.south, self.steps = west, south, STEPS

    def render(self, **kwargs: Any) -> None:
        """Put Leaflet and our own style into the head of the page, then draw."""
        folder = leaflet_folder()
        style = css_with_images((folder / "leaflet.css").read_text(encoding="utf-8"), folder)
        head = self.get_root().header  # type: ignore[attr-defined]
        head.add_child(_Inside("style", style), name="leaflet_style")
        head.add_child(_Inside("style", _own("map.css")), name="own_style")
        head.add_child(_Inside("script", (folder / "leaflet.js").read_text(encoding="utf-8")), name="leaflet")
        super().render(**kwargs)


def _shapes(
    geometries: dict[int, BaseGeometry], corner: tuple[float, float], name: str, style: dict[str, Any], **options: Any
) -> folium.GeoJson:
    """Shapes that folium draws in one style; the page finds them under a name that does not change from run to run."""
    layer = folium.GeoJson(
        feature_collection(geometries, corner),
        style_function=lambda _feature: style,
        smooth_factor=0.4,
        control=False,
        coords_to_lat_lng=JsCode("fromCorner"),
        **options,
    )
    layer._id = name
    return layer


def _surface_layers(
    patches: GeoDataFrame, corner: tuple[float, float], surfaces: list[str], fills: dict[str, Fill]
) -> dict[str, folium.GeoJson]:
    """One layer a surface, the bottom of the pile first, so that the finest turf is drawn last."""
    layers = {}
    for number, name in reversed(list(enumerate(surfaces))):
        fill = fills[name]
        style = {
            "className": f"patch surface-{number}",
            "color": fill.ink,
            "weight": fill.edge,
            "fillColor": fill.tint if fill.pattern == "solid" else f"url(#fill-{number})",
            "fillOpacity": 1,
        }
        rows = (patches["surface"] == name).to_numpy().nonzero()[0]
        shapes = {int(row): patches.geometry.iloc[row] for row in rows}
        layers[name] = _shapes(shapes, corner, f"surface_{number}", style)
    return layers


def _background_layers(
    background: GeoDataFrame, corner: tuple[float, float]
) -> list[tuple[dict[str, str], folium.GeoJson]]:
    """What the page says of each thing drawn behind or over the turf that is not measured, and its layer."""
    if background.empty:
        return []
    kinds = background.geometry.geom_type.str.replace("Multi", "").replace(
        {"LineString": "line", "LinearRing": "line", "Polygon": "area", "Point": "point"}
    )
    layers = []
    labels = background["label"].map(words)
    inks = background["ink"].map(words) if "ink" in background else labels.map(lambda _: "")
    weights = background["weight"].fillna(0.0) if "weight" in background else [0.0] * len(labels)
    offs = background["off"].eq(True) if "off" in background else [False] * len(labels)
    notes = background["note"].map(words) if "note" in background else [""] * len(labels)
    rows = zip(labels, kinds, inks, weights, offs, notes, strict=True)
    for number, (label, kind, ink, weight, off, note) in enumerate(dict.fromkeys(rows)):
        shapes = {0: as_one(background.geometry[(labels == label) & (kinds == kind)], kind)}
        style = {"className": f"behind {kind}", "color": INK, "weight": 1.6, "interactive": False}
        if kind == "point":
            radius = 5 if ink else 3
            options = {"marker": folium.CircleMarker(radius=radius), "show": False}
            style |= {"radius": radius, "weight": weight or 1, "fillColor": "#ffffff", "fillOpacity": 1}
            style |= {"color": ink} if ink else {}
        else:
            options = {"show": not off}
            if ink:
                style |= {"color": ink, "weight": weight or (4.0 if kind == "line" else 1.0), "fill": kind == "area"}
                style |= {"fillColor": ink, "fillOpacity": 0.55}
            elif kind == "area":
                style |= {"fillOpacity": 0.08}
            else:
                style |= {"fill": False, "dashArray": "6 3", "opacity": 0.75}
        said = {"label": label, "kind": kind} | ({"ink": ink} if ink else {}) | ({"note": note} if note else {})
        layers.append((said, _shapes(shapes, corner, f"background_{number}", style, **options)))
    return layers


def _hole_line_layer(hole_lines: GeoDataFrame, corner: tuple[float, float]) -> folium.GeoJson | None:
    """The lines of play."""
    if hole_lines.empty:
        return None
    style = {"className": "play", "color": INK, "weight": 1.4, "dashArray": "1 5", "fill": False, "interactive": False}
    return _shapes(dict(enumerate(hole_lines.geometry)), corner, "hole_lines", style)


def _check(patches: GeoDataFrame, units: str) -> None:
    """Refuse what no map can be drawn from."""
    if units not in ("metric", "us"):
        raise OutputError(f"cannot show the map in '{units}': units are 'metric' or 'us'")
    lacking = [name for name in ("patch", "surface", "hole", "net_m2") if name not in patches]
    if lacking:
        raise OutputError(f"cannot draw the map: the patches have no column {', '.join(lacking)}")
    if patches.empty:
        raise OutputError("cannot draw the map: there is no patch with a shape; run `turfgis check` to see why")


def render_map(
    *,
    title: str,
    patches: GeoDataFrame,
    facts: DataFrame,
    hole_lines: GeoDataFrame,
    background: GeoDataFrame,
    surfaces: list[str],
    units: str = "metric",
    surveyed: str = "",
    accuracy_note: str = "",
    cautions: list[str] | tuple[str, ...] = (),
    attribution: str = "",
    tiles: tuple[str, str] | None = None,
    pictures: Sequence[Underlay] = (),
    places: Watched | None = None,
    heads: Thrown | None = None,
) -> str:
    """
    The whole map as one HTML page that fetches nothing.

    Parameters
    ----------
    title
        Name of the course.
    patches
        Measured patches in longitude and latitude, with columns ``patch``, ``surface``, ``hole``, ``name``, ``net_m2``,
        ``plus_minus_m2``, ``perimeter_m``, ``cut_mm`` and ``surveyed``.
    facts
        Ready-made lines for single patches, such as minutes of mowing or tonnes of sand; columns ``patch``, ``label``
        and ``text``.
    hole_lines
        Lines from tee to green with column ``hole``; may be empty.
    background
        What else is drawn, with column ``label`` (paths, sprinklers ...); may be empty. A column ``ink`` gives what is
        to stand out a colour of its own: ``#b0103a``, ``weight`` a width to its lines [pixels], and ``off`` says that
        it is not shown until the reader switches it on, and ``note`` what stands below its name in the legend.
    surfaces
        Names of surfaces, top of the pile first.
    units
        ``metric`` or ``us``.
    surveyed
        When the course was surveyed, in words.
    accuracy_note
        One sentence on how far the areas may be out.
    cautions
        What the reader must be told.
    attribution
        What the owner of the data wants to be said, or nothing.
    tiles
        Address with ``{z}``, ``{x}`` and ``{y}`` of an online background, and whom to credit for it. It is off until
        the reader switches it on.
    pictures
        Images that lie under the shapes, such as a photo; the first one lowest.
    places
        What needs watching.
    heads
        Heads and how far they throw; off until the reader switches them on.

    Raises
    ------
    OutputError
        There is nothing to draw, or the page would need something from outside.
    """
    patches = in_degrees(patches, "patches")
    _check(patches, units)
    hole_lines, background = in_degrees(hole_lines, "hole lines"), in_degrees(background, "background")
    drawn = list(dict.fromkeys(patches["surface"]))
    surfaces = [name for name in surfaces if name in drawn] + [name for name in drawn if name not in surfaces]
    fills = fills_for(surfaces)
    extent = course_extent([patches, hole_lines])

    course = CourseMap(extent)
    corner = extent[:2]
    layers = _surface_layers(patches, corner, surfaces, fills)
    behind = _background_layers(background, corner)
    play = _hole_line_layer(hole_lines, corner)
    for layer in (*layers.values(), *(layer for _, layer in behind), *filter(None, [play])):
        layer.add_to(course)
    image_host, credits = "", [text for text in (attribution, "Drawn with Leaflet") if text]
    picture = None
    if tiles:
        image_host = tile_host(tiles[0])
        # The credit is shown by the page as text: what folium would do with it is run it as HTML.
        picture = folium.TileLayer(
            tiles[0], attr="-", show=False, control=False, max_zoom=DEEPEST_ZOOM, max_native_zoom=19
        )
        picture._id = "picture"
        picture.add_to(course)

    content = {
        "title": title,
        "surveyed": surveyed,
        "accuracy": accuracy_note,
        "notes": [STANDING_NOTE, *cautions],
        "credits": credits,
        "attribution": attribution,
        "units": units,
        "map": course.get_name(),
        "bounds": [[extent[1], extent[0]], [extent[3], extent[2]]],
        "paper": "wide" if is_wide(extent) else "tall",
        "surfaces": [
            said | paint(number, fills[said["name"]]) | {"layer": layers[said["name"]].get_name()}
            for number, said in enumerate(describe_surfaces(patches, surfaces, units))
        ],
        "background": [said | {"layer": layer.get_name()} for said, layer in behind],
        "play": play.get_name() if play else None,
        "picture": {"layer": picture.get_name(), "credit": tiles[1]} if picture and tiles else None,
        "places": describe_places(places, corner, units),
        "heads": describe_heads(heads, corner, units),
        "underlays": [describe_underlay(one) for one in pictures],
        "holes": hole_labels(patches, hole_lines),
        "patches": describe_patches(patches, facts, surfaces, units),
    }
    page = CoursePage(title=title, content=content, fills=[fills[name] for name in surfaces], wide=is_wide(extent))
    page.add_child(course)
    return seal_page(page.render(), image_host)
