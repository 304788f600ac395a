"""Which ways of a raw OpenStreetMap file are areas. Rules: its wiki on closed ways and multipolygons."""

from pathlib import Path

import pytest
import shapely

from turfgis.layers.read import read_layers

# Corners of squares of a thousandth of a degree, each a little further east: node 10 k + 1 ... 10 k + 4.
SIDES = [(0.0, 0.0), (0.001, 0.0), (0.001, 0.001), (0.0, 0.001)]


def nodes(squares: int, sign: int = 1) -> str:
    return "".join(
        f'<node id="{sign * (10 * k + n + 1)}" lat="{35 + y}" lon="{14 + 0.002 * k + x}" version="1"/>'
        for k in range(squares)
        for n, (x, y) in enumerate(SIDES)
    )


def way(k: int, sign: int = 1, **tags: str) -> str:
    corners = "".join(f'<nd ref="{sign * (10 * k + n)}"/>' for n in (1, 2, 3, 4, 1))
    words = "".join(f'<tag k="{key}" v="{value}"/>' for key, value in tags.items())
    return f'<way id="{sign * (100 + k)}" version="1">{corners}{words}</way>'


def write(path: Path, *parts: str) -> Path:
    path.write_text(f'<?xml version="1.0"?><osm version="0.6">{"".join(parts)}</osm>')
    return path


def test_closed_ways_are_areas_by_their_tags(tmp_path):
    tags = [
        {"golf": "green"},
        {"golf": "bunker", "natural": "sand"},
        {"golf": "putting_anything"},  # a value nobody has heard of is an area still: whoever reads it shall hear of it
        {"golf": "cartpath", "highway": "service"},
        {"golf": "cartpath", "area": "yes"},
        {"golf": "hole", "ref": "7"},
        {"highway": "service"},
        {"natural": "water"},
    ]
    path = write(tmp_path / "course.osm", nodes(len(tags)), *[way(k, **words) for k, words in enumerate(tags)])
    (layer,), findings = read_layers(path)
    assert layer.areas["feature"].tolist() == ["way/100", "way/101", "way/102", "way/104", "way/107"]
    assert sorted(layer.lines["feature"]) == ["way/103", "way/105", "way/106"]
    paths = [finding.feature for finding in findings if finding.code == "path_is_a_line"]
    assert paths == ["way/103", "way/105"]
    assert shapely.area(layer.areas.geometry.to_numpy()).tolist() == pytest.approx([1e-6] * 5)


def test_cut_outs_of_a_multipolygon(tmp_path):
    inside = "".join(
        f'<node id="{n}" lat="{35.0004 + y / 5}" lon="{14.0004 + x / 5}" version="1"/>'
        for n, (x, y) in zip((901, 902, 903, 904), SIDES, strict=True)
    )
    ring = "".join(f'<nd ref="{n}"/>' for n in (901, 902, 903, 904, 901))
    relation = (
        '<relation id="7" version="1"><member type="way" ref="100" role="outer"/>'
        '<member type="way" ref="900" role="inner"/>'
        '<tag k="type" v="multipolygon"/><tag k="golf" v="fairway"/></relation>'
    )
    path = write(tmp_path / "course.osm", nodes(1), inside, way(0), f'<way id="900" version="1">{ring}</way>', relation)
    (layer,), _ = read_layers(path)
    assert layer.areas["feature"].tolist() == ["relation/7"]
    assert layer.areas["golf"].tolist() == ["fairway"]
    assert shapely.area(layer.areas.geometry.to_numpy()).tolist() == pytest.approx([0.96e-6])


def test_ids_of_what_was_never_sent_in(tmp_path):
    path = write(tmp_path / "draft.osm", nodes(2, -1), way(0, -1, golf="green"), way(1, -1, golf="tee"))
    (layer,), _ = read_layers(path)
    assert sorted(layer.areas["golf"]) == ["green", "tee"]
    assert all(feature.startswith("way/-10") for feature in layer.areas["feature"])
