"""Where a key stands in a TOML file."""

import tomllib
from pathlib import Path

from turfgis.settings.lines import key_lines, line_of

ROOT = Path(__file__).resolve().parents[2]

TEXT = """\
name = 'A'

# a remark
[material."fine sand"]
kind = "sand"
  stock = "4 t"
[[job]]   # the first
name = "a"
[[job]]
name = "b"
holes = [
  "7",
]
[ machine . mower ]
width = "1 m"
map.tiles = "x"
"""


def test_each_key_has_the_line_that_a_reader_counts():
    tomllib.loads(TEXT)  # it is TOML
    lines = key_lines(TEXT)
    assert lines == {
        ("name",): 1,
        ("material", "fine sand"): 4,
        ("material", "fine sand", "kind"): 5,
        ("material", "fine sand", "stock"): 6,
        ("job", 0): 7,
        ("job", 0, "name"): 8,
        ("job", 1): 9,
        ("job", 1, "name"): 10,
        ("job", 1, "holes"): 11,
        ("machine", "mower"): 14,
        ("machine", "mower", "width"): 15,
        ("machine", "mower", "map", "tiles"): 16,
    }


def test_what_has_no_line_of_its_own_has_that_of_what_lies_in_it_or_around_it():
    lines = key_lines(TEXT)
    assert line_of(lines, ("job", 1, "holes", 0)) == 11
    assert line_of(lines, ("job", 1, "depth")) == 9
    assert line_of(lines, ("material",)) == 4
    assert line_of(lines, ("job",)) == 7
    assert line_of(lines, ("risk",)) is None


def test_every_key_of_the_demo_is_found():
    text = (ROOT / "demo_layers" / "course.toml").read_text(encoding="utf-8")
    lines, rows = key_lines(text), text.splitlines()

    def paths(node, path=()):
        items = enumerate(node) if isinstance(node, list) else node.items() if isinstance(node, dict) else ()
        for key, value in items:
            yield (*path, key), value
            if isinstance(value, dict) or (isinstance(value, list) and value and isinstance(value[0], dict)):
                yield from paths(value, (*path, key))

    for path, value in paths(tomllib.loads(text)):
        inline = len(path) > 1 and line_of(lines, path) == line_of(lines, path[:-1])
        if not isinstance(value, dict | list) and not inline:
            assert str(path[-1]) in rows[lines[path] - 1].split("=")[0]
