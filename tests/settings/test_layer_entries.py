"""Entries of layers that come to name another file, with all else as it was."""

from turfgis.settings.layer_entries import text_with_layers

TEXT = """name = "A course"   # ours

# The drawings.

[[layer]]
file = "greens.kml"       # walked
surface = "green"
accuracy = "0.05 m"

[[layer]]
file = "rest.gpkg"        # all the rest
crs = "EPSG:2157"
hole_from = "hole"        # its number

# Strips.

[[strip]]
surface = "collar"
around = "green"
width = "1 m"
"""


def test_nothing_changes_but_what_is_said():
    made = text_with_layers(TEXT, {0: [{"file": "course.gpkg", "layer": "greens", "crs": None}]})
    changed = [line for line in made.splitlines() if line not in TEXT.splitlines()]
    assert changed == ['file = "course.gpkg"       # walked', 'layer = "greens"']
    assert text_with_layers(TEXT, {}) == TEXT


def test_one_entry_becomes_several_with_their_comments():
    made = text_with_layers(
        TEXT, {1: [{"file": "course.gpkg", "layer": name, "crs": None} for name in ("tees", "rough")]}
    )
    assert made.count("# all the rest") == made.count("# its number") == 2
    assert made.count("# Strips.") in (1, 2)
    assert [line for line in made.splitlines() if line.startswith("layer")] == ['layer = "tees"', 'layer = "rough"']
    assert "crs" not in made
    assert made.index("greens.kml") < made.index('"tees"') < made.index('"rough"') < made.index("[[strip]]")
