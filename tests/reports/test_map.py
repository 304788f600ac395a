"""The area map as a file: what it carries, what it refuses, and that words stay words."""

import base64
import hashlib
import json
import re
from html.parser import HTMLParser

import geopandas as gpd
import numpy as np
import pandas as pd
import pytest
import shapely

from turfgis.errors import OutputError
from turfgis.reports import map_sealed
from turfgis.reports.map import render_map
from turfgis.reports.map_sealed import seal_page, tile_host
from turfgis.reports.map_shapes import hole_labels

LOCAL = "EPSG:32630"
NO_LINES = gpd.GeoDataFrame({"hole": []}, geometry=[], crs="EPSG:4326")
NO_BACKGROUND = gpd.GeoDataFrame({"label": []}, geometry=[], crs="EPSG:4326")
NO_FACTS = pd.DataFrame(columns=["patch", "label", "text"])


def make_patches(*rows: dict, crs: str = LOCAL) -> gpd.GeoDataFrame:
    """Squares of 20 m side in a row, one for each dict of what differs."""
    usual = {
        "surface": "green",
        "hole": None,
        "name": "",
        "net_m2": 400.0,
        "plus_minus_m2": 8.0,
        "perimeter_m": 80.0,
        "cut_mm": 4.0,
        "surveyed": "2026-03-14",
    }
    made = [
        {"patch": f"patch-{i}", "geometry": shapely.box(30 * i, 0, 30 * i + 20, 20)} | usual | row
        for i, row in enumerate(rows)
    ]
    frame = gpd.GeoDataFrame(made, crs=LOCAL)
    frame.geometry = frame.geometry.translate(500_000, 5_500_000)
    return frame.to_crs(crs)


def render(patches: gpd.GeoDataFrame, **other) -> str:
    """A map with nothing but patches, unless said otherwise."""
    given = {
        "title": "Course",
        "facts": NO_FACTS,
        "hole_lines": NO_LINES,
        "background": NO_BACKGROUND,
        "surfaces": ["green", "tee", "fairway", "rough"],
        "surveyed": "14 March 2026",
    }
    return render_map(patches=patches, **(given | other))


class Page(HTMLParser):
    """What a browser makes of a page: its tags, and the text in scripts, styles and the content."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str]]] = []
        self.text: dict[str, list[str]] = {"script": [], "style": [], "content": [], "title": []}
        self._at = ""
        self.feed(html)

    def handle_starttag(self, tag, attrs):
        given = {name: value or "" for name, value in attrs}
        self.tags.append((tag, given))
        self._at = "content" if given.get("type") == "application/json" else tag if tag in self.text else ""
        if self._at:
            self.text[self._at].append("")

    def handle_data(self, data):
        if self._at:
            self.text[self._at][-1] += data

    def handle_endtag(self, tag):
        self._at = ""

    @property
    def content(self) -> dict:
        return json.loads(self.text["content"][0])

    @property
    def policy(self) -> dict[str, list[str]]:
        (text,) = [given["content"] for tag, given in self.tags if given.get("http-equiv") == "Content-Security-Policy"]
        return {name: sources for name, *sources in (part.split() for part in text.split(";"))}


@pytest.fixture(scope="module")
def plain() -> str:
    """A map of one green and one fairway."""
    return render(
        make_patches({"hole": "14", "name": "14 green"}, {"hole": "14", "surface": "fairway", "cut_mm": 14.0})
    )


# --- one file that fetches nothing ----------------------------------------------------------------


def test_nothing_in_the_page_leads_out_of_it(plain):
    linking = {"src", "href", "srcset", "action", "data", "poster"}
    links = [value for _, given in Page(plain).tags for name, value in given.items() if name in linking]
    assert links, "the skip link at least is there"
    assert all(value.startswith(("#", "data:")) for value in links)
    styles = " ".join(Page(plain).text["style"])
    assert "@import" not in styles
    assert all(url.startswith(("#", "data:")) for url in re.findall(r"url\(\s*[\"']?([^\"')]+)", styles))


def test_only_the_scripts_and_styles_of_the_page_may_run(plain):
    # W3C, Content Security Policy Level 3, section 2.3.1: 'sha256-' and the base64 of the SHA-256 of the text.
    page = Page(plain)
    for kind in ("script", "style"):
        hashes = {
            f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}'" for text in page.text[kind]
        }
        assert set(page.policy[f"{kind}-src"]) == hashes
    assert page.policy["default-src"] == ["'none'"]
    assert page.policy["img-src"] == ["data:"]
    assert page.policy["base-uri"] == page.policy["form-action"] == ["'none'"]
    assert "connect-src" not in page.policy, "what is not named falls back to default-src, which lets nothing through"
    assert not any(name.startswith("on") or name == "style" for _, given in page.tags for name in given)


def test_the_policy_stands_before_anything_that_runs(plain):
    # A policy in a meta element holds only for what comes after it (same standard, section 3.3).
    order = [tag for tag, _ in Page(plain).tags]
    at = next(i for i, (_, given) in enumerate(Page(plain).tags) if given.get("http-equiv"))
    assert at < order.index("script")
    assert at < order.index("style")


def test_leaflet_is_the_file_of_the_installed_package(plain):
    source = (map_sealed.leaflet_folder() / "leaflet.js").read_text(encoding="utf-8")
    assert source in Page(plain).text["script"]
    assert "Leaflet 1.9.4" in source


def test_without_leaflet_the_package_to_install_is_named(monkeypatch):
    monkeypatch.setattr(map_sealed, "find_spec", lambda name: None)
    with pytest.raises(OutputError, match="django-js-lib-leaflet"):
        render(make_patches({}))


@pytest.mark.parametrize(
    "piece",
    [
        '<script src="https://elsewhere.example/a.js"></script>',
        '<link rel="stylesheet" href="//elsewhere.example/a.css">',
        '<img src="http://elsewhere.example/a.png">',
        '<img srcset="a.png 1x">',
        '<iframe srcdoc="x"></iframe>',
        '<a href="https://elsewhere.example/">out</a>',
        '<form action="https://elsewhere.example/"></form>',
        '<meta http-equiv="refresh" content="0; url=https://elsewhere.example/">',
        "<style>@import 'https://elsewhere.example/a.css';</style>",
        "<style>p { background: url(https://elsewhere.example/a.png) }</style>",
        '<p onclick="alert(1)">press</p>',
        '<base href="https://elsewhere.example/">',
    ],
)
def test_a_page_that_needs_something_from_outside_is_refused(piece):
    with pytest.raises(OutputError, match="outside the file"):
        seal_page(f"<!DOCTYPE html><html><head></head><body>{piece}</body></html>")


def test_an_address_that_is_only_text_is_no_link():
    assert "https://club.example" in seal_page("<p>see https://club.example for opening hours</p>")


def test_the_same_course_gives_the_same_bytes():
    patches = make_patches({"hole": "1"}, {"surface": "tee", "hole": "1"})
    assert render(patches) == render(patches)


# --- words stay words -----------------------------------------------------------------------------

HOSTILE = [
    "<img src=x onerror=alert(1)>",
    "</script><script>alert(1)</script>",
    "<!--<script>",
    "{{ 7 * 7 }}{% for x in y %}{# no #}",
    "`${alert(1)}`",
    "' onmouseover='alert(1)",
    "a\u2028b\u2029c & d",
    "content-policy-goes-here",
]


@pytest.mark.parametrize("text", HOSTILE)
def test_a_hostile_name_stays_text_wherever_it_stands(text, plain):
    patches = make_patches({"name": text, "hole": text, "surface": text, "patch": text, "surveyed": text})
    html = render(
        patches,
        title=text,
        surfaces=[text],
        surveyed=text,
        accuracy_note=text,
        cautions=[text],
        attribution=text,
        facts=pd.DataFrame({"patch": [text], "label": [text], "text": [text]}),
        hole_lines=gpd.GeoDataFrame(
            {"hole": [text]}, geometry=[shapely.LineString([(0, 50), (1e-3, 50)])], crs="EPSG:4326"
        ),
        background=gpd.GeoDataFrame({"label": [text]}, geometry=[shapely.Point(0, 50)], crs="EPSG:4326"),
        tiles=("https://tiles.example/{z}/{x}/{y}.png", text),
    )
    page = Page(html)
    # The same tags as a plain map, no more and no fewer: the text has become none.
    assert [tag for tag, _ in page.tags if tag not in ("pattern", "g", "path", "circle", "rect")] == [
        tag for tag, _ in Page(plain).tags if tag not in ("pattern", "g", "path", "circle", "rect")
    ]
    assert not set("<>&\u2028\u2029") & set(page.text["content"][0])
    # Where it does stand is the content, whole, and the title of the window.
    content, kept = page.content, text.strip()
    assert content["title"] == content["surveyed"] == content["accuracy"] == content["notes"][-1] == text
    assert content["surfaces"][0]["name"] == content["patches"][0]["hole"] == content["background"][0]["label"] == kept
    assert content["patches"][0]["facts"] == [[kept, kept]]
    assert content["picture"]["credit"] == content["credits"][0] == text
    # folium gets shapes and numbers only: its script is the same but for the layers there are.
    drawing = next(script for script in page.text["script"] if "L.geoJson" in script)
    assert kept not in drawing
    assert page.policy.keys() == Page(plain).policy.keys()


def test_words_reach_the_screen_as_text_only():
    # No way from a string to markup in our own scripts (WHATWG HTML, "dynamic markup insertion"; DOM parsing).
    folder = map_sealed.Path(map_sealed.__file__).parent / "map_page"
    scripts = sorted(folder.glob("*.js"))
    assert scripts
    for script in scripts:
        found = re.findall(
            r"\b(innerHTML|outerHTML|insertAdjacentHTML|document\.write|eval|new Function|DOMParser|srcdoc)\b",
            script.read_text(encoding="utf-8"),
        )
        assert not found, script.name


# --- what the page is told ------------------------------------------------------------------------


def test_a_patch_is_told_with_area_perimeter_cut_and_date(plain):
    green = Page(plain).content["patches"][0]
    assert green["title"] == "14 green"
    assert green["area"] == "400 ± 8 m2"
    assert green["perimeter"] == "80.0 m"
    assert green["cut"] == "4.0 mm"
    assert green["surveyed"] == "2026-03-14"


def test_us_units():
    # NIST SP 811 (2008), Appendix B.8: 1 ft2 = 9.290304E-02 m2, 1 ft = 0.3048 m, 1 in = 25.4 mm.
    green = Page(render(make_patches({}), units="us")).content["patches"][0]
    assert green["area"] == "4,306 ± 86 ft2"  # 400 / 0.09290304 = 4305.6; 8 / 0.09290304 = 86.1
    assert green["perimeter"] == "262.5 ft"  # 80 / 0.3048 = 262.47
    assert green["cut"] == "0.157 in"  # 4 / 25.4 = 0.1575


def test_facts_stand_with_their_patch_in_the_order_given():
    facts = pd.DataFrame(
        [("patch-1", "Mowing", "14 min"), ("patch-0", "Mowing", "9 min"), ("patch-1", "Sand", "3.1 t dry")],
        columns=["patch", "label", "text"],
    )
    first, second = Page(render(make_patches({}, {}), facts=facts)).content["patches"]
    assert first["facts"] == [["Mowing", "9 min"]]
    assert second["facts"] == [["Mowing", "14 min"], ["Sand", "3.1 t dry"]]


def test_the_legend_adds_up_patches_and_areas():
    rows = [{"net_m2": 6000.0, "cut_mm": 10.0, "surface": "tee"}, {"net_m2": 6500.0, "cut_mm": 12.0, "surface": "tee"}]
    legend = Page(render(make_patches({}, *rows))).content["surfaces"]
    assert [one["name"] for one in legend] == ["green", "tee"]
    assert legend[0]["area"] == "400 m2"
    assert legend[1] | {"patches": 2, "area": "1.250 ha", "cut": "10.0 to 12.0 mm", "plural": "tees"} == legend[1]


def test_a_surface_that_is_not_in_the_pile_is_shown_below_it():
    legend = Page(render(make_patches({"surface": "heather"}, {}))).content["surfaces"]
    assert [one["name"] for one in legend] == ["green", "heather"]


def test_attribution_and_standing_caution(plain):
    assert Page(plain).content["credits"] == ["Drawn with Leaflet"]
    credited = Page(render(make_patches({}), attribution="© OpenStreetMap contributors, ODbL")).content
    assert credited["credits"][0] == "© OpenStreetMap contributors, ODbL"
    assert "buried pipes" in credited["notes"][0]


def test_the_page_says_its_language_and_title(plain):
    page = Page(plain)
    assert ("html", {"lang": "en", "data-paper": "landscape"}) in page.tags
    assert page.text["title"] == ["Course: area map"]


# --- online background ----------------------------------------------------------------------------


def test_an_online_background_opens_one_host_for_pictures_and_nothing_else():
    page = Page(render(make_patches({}), tiles=("https://{s}.tiles.example/{z}/{x}/{y}.png", "the tile maker")))
    assert page.policy["img-src"] == ["data:", "https://*.tiles.example"]
    assert page.policy["default-src"] == ["'none'"]
    assert page.content["picture"]["credit"] == "the tile maker"
    layer = page.content["picture"]["layer"]
    assert f"{layer}.addTo" not in plain_script(page), "it is off until it is switched on"


def plain_script(page: Page) -> str:
    return next(script for script in page.text["script"] if "L.geoJson" in script)


@pytest.mark.parametrize(
    "address",
    [
        "http://tiles.example/{z}/{x}/{y}.png",
        "https://tiles.example/all.png",
        "https://tiles.example/{z}/{x}/{y}.png; script-src *",
        "https://*/{z}/{x}/{y}.png",
        "https:// /{z}/{x}/{y}.png",
        "javascript:alert(1)/{z}/{x}/{y}",
        "https://tiles.example/{{ 7 }}/{z}/{x}/{y}.png",
        "https://tiles.example/{z}/{x}/{y}.png?key={key}",
    ],
)
def test_an_address_that_is_no_tile_address_is_refused(address):
    with pytest.raises(OutputError, match="online background"):
        tile_host(address)


# --- shapes ---------------------------------------------------------------------------------------


def drawn_shapes(page: Page) -> list[shapely.Geometry]:
    """The shapes the page draws, put back to degrees by the formula its script uses."""
    script = plain_script(page)
    south, steps, west = (
        float(text) for text in re.search(r"L\.latLng\(([\d.-]+) \+ north / (\d+),\s*([\d.-]+) \+", script).groups()
    )
    shapes = []
    for text in re.findall(r"_add\((\{.*?\})\);\n", script):
        for feature in json.loads(text)["features"]:
            assert feature["properties"] == {}
            shapes.append(
                shapely.transform(
                    shapely.geometry.shape(feature["geometry"]), lambda at: at / steps + np.array([west, south])
                )
            )
    return shapes


def test_drawn_edges_stay_within_a_tenth_of_a_metre():
    round_green = shapely.Point(500_000, 5_500_000).buffer(14, quad_segs=64)
    patches = make_patches({}).set_geometry([round_green], crs=LOCAL)
    (drawn,) = drawn_shapes(Page(render(patches)))
    (there,) = gpd.GeoSeries([drawn], crs="EPSG:4326").to_crs(LOCAL)
    # shapely's own measure of how far two outlines are apart (Hausdorff).
    assert shapely.hausdorff_distance(there.exterior, round_green.exterior, densify=0.01) < 0.11
    assert shapely.count_coordinates(there) < shapely.count_coordinates(round_green) / 2


def test_holes_in_a_patch_stay_open():
    collar = shapely.Point(500_000, 5_500_000).buffer(14).difference(shapely.Point(500_000, 5_500_000).buffer(13))
    (drawn,) = drawn_shapes(Page(render(make_patches({}).set_geometry([collar], crs=LOCAL))))
    assert len(drawn.interiors) == 1


@pytest.mark.parametrize("crs", ["EPSG:4326", "EPSG:3857", "EPSG:27700"])
def test_other_coordinate_systems_are_drawn_in_the_same_place(crs):
    here = drawn_shapes(Page(render(make_patches({}))))[0]
    there = drawn_shapes(Page(render(make_patches({}, crs=crs))))[0]
    assert here.distance(there) == 0.0
    assert here.centroid.distance(there.centroid) * 111_320 < 0.05


def test_works_with_one_patch_and_nothing_else():
    content = Page(
        render(make_patches({"name": None, "plus_minus_m2": np.nan, "cut_mm": np.nan, "surveyed": None}))
    ).content
    assert content["patches"] == [
        {"surface": 0, "title": "green", "id": "patch-0", "area": "400 m2", "perimeter": "80.0 m"}
    ]
    assert content["holes"] == []
    assert content["play"] is None


def test_empty_facts_need_no_columns():
    assert "facts" not in Page(render(make_patches({}), facts=pd.DataFrame())).content["patches"][0]


def test_nothing_to_draw_is_refused():
    with pytest.raises(OutputError, match="no patch"):
        render(make_patches({}).iloc[:0])
    with pytest.raises(OutputError, match="coordinate system"):
        render(make_patches({}).set_crs(None, allow_override=True))
    with pytest.raises(OutputError, match="metric"):
        render(make_patches({}), units="imperial")


def test_each_hole_is_numbered_once_at_its_largest_green_and_behind_it():
    small, large = shapely.box(0, 50, 1e-4, 50.0001), shapely.box(0.01, 50, 0.0103, 50.0002)
    patches = gpd.GeoDataFrame({"surface": ["green"] * 2, "hole": [7.0, "7"]}, geometry=[small, large], crs="EPSG:4326")
    # Played from east to west, but drawn from the green to the tee.
    lines = gpd.GeoDataFrame(
        {"hole": ["7"]}, geometry=[shapely.LineString([(0.0101, 50.0001), (0.013, 50.0001)])], crs="EPSG:4326"
    )
    (label,) = hole_labels(patches, lines)
    assert (label["label"], label["patch"]) == ("7", 1)
    assert label["toward"] == [-1.0, 0.0]


def test_holes_that_share_a_green_are_numbered_together():
    patches = gpd.GeoDataFrame(
        {"surface": ["green"], "hole": ["6/13"]}, geometry=[shapely.box(0, 50, 1e-4, 50.0001)], crs="EPSG:4326"
    )
    played = [shapely.LineString([(0.01 * i, 49.99), (0, 50)]) for i in (1, 2, 3)]
    lines = gpd.GeoDataFrame({"hole": ["6", "13", "7"]}, geometry=played, crs="EPSG:4326")
    assert [one["label"] for one in hole_labels(patches, lines)] == ["7", "6/13"]


def test_holes_stand_in_playing_order():
    names = ["10", "2", "practice", "1"]
    patches = gpd.GeoDataFrame(
        {"surface": "green", "hole": names},
        geometry=[shapely.box(i, 50, i + 1e-4, 50.0001) for i in range(4)],
        crs="EPSG:4326",
    )
    assert [one["label"] for one in hole_labels(patches, NO_LINES)] == ["1", "2", "10", "practice"]


# --- size -----------------------------------------------------------------------------------------


def test_two_thousand_patches_cost_what_they_must():
    rows = [{"hole": str(i % 18 + 1), "surface": ["green", "tee", "fairway", "rough"][i % 4]} for i in range(2000)]
    many, few = make_patches(*rows), make_patches(*rows[:200])
    small, large = render(few), render(many)
    # Leaflet and our page are there once; what is left grows with the patches and no faster.
    assert len(large) - len(small) < 1800 * 400
    assert large.count('"id": ') >= 2000


def test_a_real_course_stays_small(open_data):
    areas = gpd.read_file(open_data / "golf" / "malta_marsa.geojson")
    areas = areas[areas["golf"].notna() & areas.geom_type.isin(["Polygon", "MultiPolygon"])]
    metres = areas.to_crs("EPSG:32633")
    patches = gpd.GeoDataFrame(
        {
            "patch": areas["@id"],
            "surface": areas["golf"],
            "hole": None,
            "name": None,
            "net_m2": metres.area,
            "perimeter_m": metres.length,
        },
        geometry=areas.geometry,
    )
    html = render(patches, attribution="© OpenStreetMap contributors, ODbL")
    # The count in the README beside the data: 90 golf polygons.
    assert len(Page(html).content["patches"]) == len(drawn_shapes(Page(html))) == 90
    assert len(html.encode()) < 700_000
