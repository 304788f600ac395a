"""
Raw OpenStreetMap files give the same areas as the same data assembled into GeoJSON by other means.

Drawings: © OpenStreetMap contributors, ODbL.
"""

import struct
import zlib
from pathlib import Path
from xml.etree import ElementTree

import pyogrio
import pytest
import shapely

from turfgis.layers.read import read_layers

COURSES = ["bahamas_new_providence", "bahamas_paradise_island", "malta_marsa"]


def areas_by_id(path: Path) -> dict[str, tuple[str, shapely.Geometry]]:
    (layer,), _ = read_layers(path)
    golf = layer.areas[layer.areas["golf"].notna()]
    return {row.feature: (row.golf, row.geometry) for row in golf.itertuples()}


@pytest.mark.parametrize("course", COURSES)
def test_raw_and_assembled_data_are_the_same_areas(open_data, course):
    raw = areas_by_id(open_data / "golf" / f"{course}.osm")
    assembled = areas_by_id(open_data / "golf" / f"{course}.geojson")
    assert raw.keys() == assembled.keys()
    for name, (golf, shape) in assembled.items():
        assert raw[name][0] == golf
        assert raw[name][1].equals(shape), name


def test_hole_lines_carry_their_numbers(open_data):
    (layer,), _ = read_layers(open_data / "golf" / "bahamas_new_providence.osm")
    holes = layer.lines[layer.lines["golf"] == "hole"]
    assert sorted(holes["ref"], key=int) == [str(number) for number in range(19)]
    assert layer.openstreetmap


def test_reading_leaves_no_setting_behind(open_data):
    path = open_data / "golf" / "malta_marsa.osm"
    before = pyogrio.read_info(path, layer="multipolygons")["fields"].tolist()
    read_layers(path)
    assert pyogrio.get_gdal_config_option("OSM_CONFIG_FILE") is None
    assert pyogrio.read_info(path, layer="multipolygons")["fields"].tolist() == before


@pytest.mark.parametrize("course", COURSES)
def test_the_packed_form_is_read_alike(open_data, course, tmp_path):
    packed = tmp_path / f"{course}.osm.pbf"
    packed.write_bytes(pack(open_data / "golf" / f"{course}.osm"))
    (layer,), _ = read_layers(packed)
    assert layer.layer == course
    there, here = areas_by_id(open_data / "golf" / f"{course}.osm"), areas_by_id(packed)
    assert here.keys() == there.keys()
    assert all(here[name][0] == there[name][0] for name in there)
    assert all(here[name][1].equals_exact(there[name][1], 1e-9) for name in there)


# --- the packed form, written after its description in the OpenStreetMap wiki (PBF format): blobs of protocol buffers


def number(value: int) -> bytes:
    out = bytearray()
    while value > 127:
        out.append(value & 127 | 128)
        value >>= 7
    return bytes([*out, value])


def signed(value: int) -> bytes:
    return number((value << 1) ^ (value >> 63) if value >= 0 else (-value << 1) - 1)


def field(key: int, value: bytes | int) -> bytes:
    if isinstance(value, int):
        return number(key << 3) + number(value)
    return number(key << 3 | 2) + number(len(value)) + value


def blob(kind: bytes, content: bytes) -> bytes:
    body = field(2, len(content)) + field(3, zlib.compress(content))
    head = field(1, kind) + field(3, len(body))
    return struct.pack(">I", len(head)) + head + body


def steps(ids: list[int]) -> bytes:
    return b"".join(signed(after - before) for before, after in zip([0, *ids], ids, strict=False))


def pack(path: Path) -> bytes:
    root, words = ElementTree.parse(path).getroot(), {"": 0}

    def tags(element) -> bytes:
        pairs = [(tag.get("k"), tag.get("v")) for tag in element.iter("tag")]
        places = [[words.setdefault(word, len(words)) for word in column] for column in zip(*pairs, strict=True)]
        return b"".join(field(key, b"".join(map(number, column))) for key, column in zip((2, 3), places, strict=False))

    groups = [[], [], []]
    for node in root.iter("node"):
        place = [signed(round(float(node.get(axis)) * 1e7)) for axis in ("lat", "lon")]
        own = number(1 << 3) + signed(int(node.get("id")))
        groups[0].append(field(1, own + tags(node) + number(8 << 3) + place[0] + number(9 << 3) + place[1]))
    for way in root.iter("way"):
        along = steps([int(point.get("ref")) for point in way.iter("nd")])
        groups[1].append(field(3, field(1, int(way.get("id"))) + tags(way) + field(8, along)))
    kinds = {"node": 0, "way": 1, "relation": 2}
    for relation in root.iter("relation"):
        members = list(relation.iter("member"))
        roles = b"".join(number(words.setdefault(one.get("role"), len(words))) for one in members)
        whom = steps([int(one.get("ref")) for one in members])
        what = bytes(kinds[one.get("type")] for one in members)
        own = field(1, int(relation.get("id"))) + tags(relation)
        groups[2].append(field(4, own + field(8, roles) + field(9, whom) + field(10, what)))
    table = field(1, b"".join(field(1, word.encode()) for word in words))
    body = table + b"".join(field(2, b"".join(group)) for group in groups)
    head = field(4, b"OsmSchema-V0.6")
    return blob(b"OSMHeader", head) + blob(b"OSMData", body)
