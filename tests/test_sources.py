"""Sources: every key cited is known, every source known is cited, and a citation can be followed."""

import re
from pathlib import Path

import pytest

from turfgis.published.ranges import RANGES
from turfgis.sources import MEMORY, SECOND_HAND, SOURCES, cite

ROOT = Path(__file__).resolve().parents[1]
IN_CHECKS = re.compile(r"# \[([a-z0-9]+-[a-z0-9-]+)\]")
MARKED = {source.key for source in SOURCES.values() if source.seen in (MEMORY, SECOND_HAND)}
IN_FORMULAS = re.compile(r"sources?\s+((?:(?:``|\")[a-z0-9-]+(?:``|\"),?\s*)+)")


def cited_in_checks():
    for folder in ("reference", "published", "formulas"):
        for file in sorted((ROOT / "tests" / folder).glob("*.py")):
            yield from IN_CHECKS.findall(file.read_text(encoding="utf-8"))


def cited_in_formulas():
    for file in sorted((ROOT / "turfgis" / "formulas").glob("*.py")):
        for found in IN_FORMULAS.findall(file.read_text(encoding="utf-8")):
            yield from re.findall(r"[a-z0-9-]+", found)


def cited_in_ranges():
    return (key for known in RANGES.values() for key in known.sources)


@pytest.mark.parametrize("place", [cited_in_checks, cited_in_formulas, cited_in_ranges], ids=lambda f: f.__name__)
def test_every_key_cited_is_known(place):
    cited = set(place())
    assert cited
    assert cited <= set(SOURCES)


def test_every_source_is_cited():
    assert set(SOURCES) == {*cited_in_checks(), *cited_in_formulas(), *cited_in_ranges()}


def test_checks_say_more_than_the_key():
    """Beside each check stand title and place, as the list of sources has them, so that they cannot drift apart."""
    for file in (ROOT / "tests" / "reference").glob("test_*.py"):
        words = re.sub(r"\s+(# )?", " ", file.read_text(encoding="utf-8"))
        for key in IN_CHECKS.findall(file.read_text(encoding="utf-8")):
            assert f"[{key}] {SOURCES[key].author}, {SOURCES[key].title}" in words, (file.name, key)
            assert SOURCES[key].where in words, (file.name, key)
        for key in MARKED & set(IN_CHECKS.findall(file.read_text(encoding="utf-8"))):
            assert f"quoted {SOURCES[key].seen}" in words, (file.name, key)


@pytest.mark.parametrize("source", SOURCES.values(), ids=lambda source: source.key)
def test_a_source_can_be_followed(source):
    assert source.author
    assert source.title
    assert source.where or "name left out" in source.author + source.title
    assert cite(source.key).startswith(source.author)
    assert "\n" not in cite(source.key)


def test_keys_are_not_used_twice():
    text = (ROOT / "turfgis" / "sources.py").read_text(encoding="utf-8")
    assert len(re.findall(r'^    Source\("', text, re.MULTILINE)) == len(SOURCES)
