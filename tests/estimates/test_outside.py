"""
What `check` says of figures outside published ranges. The ranges are checked as printed in tests/published.

Printed in pounds or ounces to 1,000 ft2: 1 lb/1,000 ft2 = 4.88 g/m2, 1 oz = 0.305 g/m2.
"""

import pytest

from turfgis.errors import SettingsError
from turfgis.estimates.outside import published_findings
from turfgis.published.ranges import RANGES, SEEDED
from turfgis.settings.materials import Seed


@pytest.fixture
def said(course, words):
    """Findings of a course with these tables, by whose figure they are about."""

    def finding(*tables):
        opened = course("\n".join(tables), head='accuracy = "0 m"\nyear = 2027')
        return {one.feature: one for one in published_findings(opened)}

    return finding


def test_usual_figures_are_not_remarked_on(said, words):
    # 2 mm of sand, 8 g/m2 of seed, 3 g/m2 of nitrogen; 2 mm is little for a year, and nothing to remark on
    assert said(words.sand, words.seed, words.feed, words.dress, words.sow, words.feeding) == {}


@pytest.mark.parametrize(
    ("species", "rate", "level", "range_"),
    [
        # 7.9 to 16.0 oz to 1,000 ft2 of creeping bentgrass greens: 2.4 to 4.9 g/m2
        ("creeping bentgrass", "18 g/m2", "warning", "2.411 to 4.882 g/m2"),
        ("creeping bentgrass", "6 g/m2", "note", "2.411 to 4.882 g/m2"),
        ("creeping bentgrass", "4 g/m2", None, ""),
        # 3.5 to 10 lb to 1,000 ft2 of perennial ryegrass, overseeding: 17.1 to 48.8 g/m2
        ("perennial ryegrass", "40 g/m2", None, ""),
        ("perennial ryegrass", "8 g/m2", "warning", "17.09 to 48.82 g/m2"),
        # kg/ha typed as g/m2
        (None, "80 g/m2", "note", "2.411 to 48.82 g/m2"),
        (None, "8 kg/ha", "warning", "2.411 to 48.82 g/m2"),
    ],
)
def test_seed_by_species(said, words, species, rate, level, range_):
    seed = words.seed + (f'species = "{species}"\n' if species else "")
    found = said(seed, words.sow.replace("8 g/m2", rate))
    if level is None:
        assert "sow" not in found
        return
    assert (found["sow"].level, found["sow"].code, found["sow"].file) == (level, "outside_published", "course.toml")
    assert range_ in found["sow"].text
    assert "Source: " in found["sow"].text


def test_nitrogen_of_any_product_counts(said, words):
    # 100 g/m2 of a product with 12 % N: 12 g/m2, above 1.5 lb to 1,000 ft2 = 7.3 g/m2; the same as 8 g/m2 K2O of 8 %
    for rate in ('rate = "100 g/m2"', 'rate = "8 g/m2"\nnutrient = "K2O"'):
        job = words.feeding.replace('rate = "3 g/m2"', rate).replace('nutrient = "N"\n', "")
        assert "12 g/m2 lies above" in said(words.feed, job)["feed"].text


def test_a_year_of_sand_and_holes(said, words):
    # 12 mm holes at 50 mm open 4.5 %; six times 27 %, above 20 %. 13 mm of sand and what the holes take in a year is
    # below the 15.2 mm that 50 ft3 to 1,000 ft2 are.
    found = said(words.sand, words.core + "times = 6\n")
    assert "27.14 % lies above" in found["green"].text
    found = said(words.sand, words.dress + "times = 16\n")
    assert "32 mm lies above the published range of the depth of sand on greens in a year" in found["green"].text
    assert found["green"].level == "warning"


def test_a_job_on_ground_that_is_not_there_is_an_error_of_its_own(course, words):
    opened = course(words.sand + words.dress + "holes = [7]\n")
    (found,) = [one for one in published_findings(opened) if one.level == "error"]
    assert found.code == "job_cannot_be_done"
    assert "no hole '7'" in found.text


def test_every_species_has_a_range():
    from typing import get_args

    assert set(get_args(Seed.model_fields["species"].annotation)[0].__args__) == set(SEEDED)
    for names in SEEDED.values():
        assert any(names)
        assert {name for name in names if name} <= set(RANGES)


def test_an_unknown_species_is_one_message(course, words):
    with pytest.raises(SettingsError, match=r"material.bent.species: 'bentgras' is not known"):
        course(words.seed + 'species = "bentgras"\n' + words.sow)


DIVOTS = """
[[job]]
name = "divots"
work = "divot_mix"
on = ["fairway"]
sand = "sand"
worn = "50 %"
depth = "12 mm"
times = 5
"""


def test_divots_do_not_make_a_dressed_fairway(said, words):
    # 12 mm on half of the ground five times is 30 mm of sand, and no dressing
    assert said(words.sand, DIVOTS) == {}
