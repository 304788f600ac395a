"""How hole numbers and surfaces are written."""

import pytest

from turfgis.layers.words import OPENSTREETMAP, hole_text, known_surface, surface_in_name
from turfgis.surfaces import SURFACES


@pytest.mark.parametrize(
    ("written", "meant"),
    [
        (7, "7"),
        (7.0, "7"),
        ("7", "7"),
        ("07", "7"),
        ("007", "7"),
        ("7.0", "7"),
        ("Hole 7", "7"),
        ("hole_07", "7"),
        ("HOLE-7", "7"),
        ("#7", "7"),
        ("No. 7", "7"),
        ("1st", "1"),
        ("2nd", "2"),
        ("3rd hole", "3"),
        ("11th", "11"),
        (" 18 ", "18"),
        (36, "36"),
        (0, "practice"),
        ("0", "practice"),
        ("00", "practice"),
        ("Practice", "practice"),
        ("putting green", "practice"),
        ("Putting_Green", "practice"),
        ("Range", "practice"),
        ("driving range", "practice"),
        (None, None),
        (float("nan"), None),
        ("", None),
        ("  ", None),
        ("East 7", "East 7"),
        ("7/8", "7/8"),
        ("nursery", "nursery"),
        ("Short Course", "Short Course"),
        ("1.5", "1.5"),
    ],
)
def test_hole_numbers(written, meant):
    assert hole_text(written) == meant


def test_every_surface_is_known_by_its_name_and_its_plural():
    for name, surface in SURFACES.items():
        for word in (name, surface.plural, name.upper(), name.replace("-", " "), f" {surface.plural.title()} "):
            assert known_surface(word, SURFACES) == name


@pytest.mark.parametrize("word", ["", "gree", "greenkeeper", "club house", "waters edge", 7])
def test_other_words_are_no_surface(word):
    assert known_surface(word, SURFACES) is None


@pytest.mark.parametrize(
    ("name", "surface"),
    [
        ("greens", "green"),
        ("Greens 2024-03", "green"),
        ("north_tees", "tee"),
        ("semi rough", "semi-rough"),
        ("rough and semi rough", "semi-rough"),
        ("greens_tees", None),
        ("other areas", None),
        ("boundary", None),
    ],
)
def test_surfaces_in_the_names_of_files(name, surface):
    assert surface_in_name(name, SURFACES) == surface


def test_openstreetmap_tags_mean_surfaces_that_there_are():
    assert {surface for surface in OPENSTREETMAP.values() if surface} <= set(SURFACES)
