"""Every word of the desk has its translation, with the same places for values in it."""

import re
from collections.abc import Iterator
from datetime import date
from importlib.resources import files
from pathlib import Path
from string import Formatter
from typing import Any, get_args

import pytest
from babel.messages.pofile import read_po
from hypothesis import given
from hypothesis import strategies as st
from pydantic import BaseModel

from turfgis.desk import strokes
from turfgis.desk.figures import ROWS
from turfgis.desk.frame import PAGES, table
from turfgis.desk.pages import adding, areas, draw, findings, orders, start, stores, whatif, year
from turfgis.desk.pages import day as board
from turfgis.desk.words import day, languages, month, number, odds_said, refigured, said, weekday
from turfgis.desk.words.patterns import PATTERNS
from turfgis.desk.words.sentences import NAMED, TOLD, WORDED, chart_said, figures_said, resaid, retold
from turfgis.estimates.uniformity import CANS, MODEL
from turfgis.estimates.water_days import FORETOLD, MEASURED, SUPPOSED
from turfgis.layers import history
from turfgis.layers.findings import CODES, LEVELS
from turfgis.layers.place_words import KINDS
from turfgis.measure.as_drawn import WHY_NOT
from turfgis.reports import budget, cases, change, columns, committee
from turfgis.reports.cautions import CAUTIONS
from turfgis.reports.night import HOURS, NOT_WATERED, STATIONS
from turfgis.reports.screen import AREA_COLUMNS
from turfgis.reports.tables import SLOPES, TRUE, part_of
from turfgis.reports.traced import TO_CHECK
from turfgis.settings.forms import MADE, asked_of, kinds_of
from turfgis.settings.messages import WATER
from turfgis.settings.models import CourseSettings
from turfgis.surfaces import SURFACES

from .conftest import asking

DESK = Path(str(files("turfgis.desk")))
SAY = re.compile(r"""\bsay\(\s*(?:"([^"]+)"|'([^']+)')""")
SAID = re.compile(r'\bsaid\(\s*"([^"]+)"')
HEAD = re.compile(r'\bcolumn\(\s*"\w+",\s*"(\w[^"]*)"', re.IGNORECASE)
CAPTION = re.compile(r'\b(?:caption|title|words)="([^"]+)"')
SENTENCE = re.compile(r'"([A-Z][^"\n]* [^"\n]*)"')  # of scripts: those that are said later on
OTHERS = [code for code in languages() if code != "en"]


def in_files(pattern: re.Pattern, *endings: str) -> set[str]:
    """All that a pattern finds in the files of the desk, or in reports that it takes tables from."""
    named = [file for file in sorted(DESK.rglob("*.*")) if file.suffix in endings]
    named += [DESK.parent / "reports" / f"{name}.py" for name in endings if "." not in name]
    found = [one.groups() for file in named for one in pattern.finditer(file.read_text(encoding="utf-8"))]
    return {text for groups in found for text in groups if text}


def models_in(annotation: Any) -> Iterator[type[BaseModel]]:
    """Models of the settings that a key may hold."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        yield annotation
    for inner in get_args(annotation):
        yield from models_in(inner)


def labels() -> set[str]:
    """Labels of the figures on the page of stores: keys of the settings in words."""
    held = [
        CourseSettings.model_fields[name].annotation for name in (*stores.TABLES, *whatif.TABLES) if "." not in name
    ]
    keys = [name for one in held for model in models_in(one) for name in model.model_fields if name not in WATER]
    keys += [name for model in WATER.values() for name in model.model_fields]
    return {name.removesuffix("_").replace("_", " ") for name in keys}


def heads() -> set[str]:
    """Headings of the tables."""
    keys = {key for view in AREA_COLUMNS.values() for key in view}
    keys |= {TRUE, *SLOPES, "keeps", "under", "pairs", "area_m2", "place", "net_m2", "treated_m2", "loads", "weight_t"}
    tables = [table([], sorted(keys), "metric", "en")]
    return {
        *(head["text"] for one in tables for head in one["heads"]),
        *columns._HEADS.values(),
        *budget._MONEY.values(),
        *(head.replace("_", " ") for head, _ in budget.KEYS.values()),
    } - {"±"}


def asked() -> set[str]:
    """What the forms of new entries ask for, and offer."""
    settings = CourseSettings(name="A", layer=[{"file": "a.gpkg"}])  # type: ignore[list-item]
    keys = [one for table in MADE for kind in kinds_of(table) or ("",) for one in asked_of(table, kind, settings)]
    choices = {one for key in keys if key.field not in ("nutrient", "burns") for one in key.choices}
    return {
        *(kind.replace("_", " ") for table in MADE for kind in kinds_of(table)),
        *choices,
        *(key.label for key in keys),
        *(key.units for key in keys if " or " in key.units),
        *(key.keys[0] for key in keys if key.keys[1:]),
        *adding.TITLES.values(),
        *adding.HINTS.values(),
        *("yes", "no"),
        *(name for page in (board, orders, year) for _, name in getattr(page, "ADD", ())),
        "Add a job",
    }


def in_code() -> set[str]:
    return {
        *asked(),
        *PATTERNS,
        *(name for _, name in PAGES),
        *(text for row in draw.KEYS for text in row if len(text) > 1 and text[0].isalpha()),
        *(label for label, _, _ in ROWS),
        *areas.BY,
        *(table for table in stores.TABLES if "." not in table),
        *stores.TABLES.values(),
        *findings.WORDS.values(),
        *LEVELS,
        *year.VIEWS,
        *(name.replace("_", " ") for name in start.ROLES),
        *(name for _, name in budget.KEYS.values() if name),
        *cases.SECTIONS.values(),
        *cases._WORK.values(),
        *(cases.BASE, cases.CASES_NOTE, budget.SPREAD_NOTE, budget.BUDGET_NOTE, committee.LOOSE, committee.UNDATED),
        *committee._MONTHS,
        *change._CAUSES.values(),
        *(change._RESERVES, "cost of the year", "difference", "total", "before", "after"),
        *("needs, after stock", "whole packs and loads, some in reserve", "least that suppliers deliver", "delivery"),
        *("this year", "next year", "the year after", "contingency", "tax", "almost certain", "Shaded relief"),
        *("about {few} in {many}", "less than {few} in {many}", "Air photo", "lines", "points"),
        *("depth of holes", "depth of slits", "mean depth", "fill", "share worn", "mix for a round", "areas"),
        *("area repaired", "area treated", "rate", "moisture", "storage loss", "bulk density", "overthrow"),
        *(history.UNDONE, history.REDONE, history.BACK, history.ELSEWHERE, TO_CHECK),
        *("chance short", "in words", "line"),
        *(part_of(hole) for hole in ("1", "18", "practice", "North", None)),
        *strokes.SAID.values(),
        *WHY_NOT.values(),
        *(history.UNDONE, history.REDONE, history.BACK, history.ELSEWHERE, "changed in another program", TO_CHECK),
        *SURFACES,
        *KINDS,
        *("start", "station", "controller", "all", "By night", STATIONS, NOT_WATERED, HOURS, "look"),
        *(MEASURED, FORETOLD, SUPPOSED, "off the course", "no date", "closed"),
        *CAUTIONS.values(),
        *CODES.values(),
        *(CANS, MODEL),
    }


def everything() -> set[str]:
    named = in_files(SAY, ".html", ".js") | in_files(SENTENCE, ".js") | in_files(SAID, ".py") | in_files(CAPTION, ".py")
    named |= in_files(HEAD, ".py", "water", "night", "heads", "spray")
    return named | in_code() | labels() | heads()


def catalogue(language: str) -> dict[str, str]:
    with (DESK / "words" / f"{language}.po").open("rb") as file:
        return {str(one.id): str(one.string or "") for one in read_po(file) if one.id}


def places(text: str) -> set[str]:
    return {name for _, name, _, _ in Formatter().parse(text) if name}


def test_words_are_found_where_they_are_said():
    found = everything()
    assert {
        "Skip to the page",  # a template
        "Choose one area first.",  # a script
        "Take the mended shape",  # a script, said later on
        "bulk density",  # a key of the settings
        "net area",  # a heading
        "{amount} of {material}",  # code
    } <= found
    assert len(found) > 400


@pytest.mark.parametrize("language", OTHERS)
def test_nothing_is_left_untranslated(language):
    there = {text for text, translation in catalogue(language).items() if translation}
    assert sorted(everything() - there) == []


@pytest.mark.parametrize("language", OTHERS)
def test_nothing_is_translated_that_nobody_says(language):
    assert sorted(set(catalogue(language)) - everything()) == []


@pytest.mark.parametrize("language", OTHERS)
def test_values_have_the_same_places(language):
    assert [text for text, other in catalogue(language).items() if places(text) != places(other)] == []


@pytest.mark.parametrize("language", OTHERS)
def test_cautions_keep_every_sentence(language):
    for text in CAUTIONS.values():
        ends = [len(re.findall(r"[.:;](?:\s|$)", one)) for one in (text, catalogue(language)[text])]
        assert abs(ends[0] - ends[1]) <= 1, text


def test_a_folder_without_a_course_begins_in_german(tmp_path):
    ask = asking(tmp_path)
    with ask.client as client:
        begun = client.get("/start", headers={"accept-language": "de-AT,de;q=0.9"})
        assert '<html lang="de"' in begun.text
        assert "Einen Platz anlegen" in begun.text
        address = f"/look?token={ask.keys.token}"
        changed = client.post(address, data={"language": "en", "units": "us", "theme": "dark", "back": "/start"})
        assert (changed.status_code, changed.headers["location"]) == (303, "/start")
        assert "Begin a course" in client.get("/start", headers={"accept-language": "de"}).text


@pytest.mark.parametrize("address", ["/order?group=renovation&material=dressing_sand"])
def test_what_stays_english_says_so(ask, address):
    ask.client.cookies.set("look_language", "de")
    page = ask.client.get(address).text
    while "Einen Moment" in page:
        page = ask.client.get(address).text
    assert '<html lang="de"' in page
    assert 'lang="en"' in page.partition("<main")[2]
    ask.client.cookies.set("look_language", "en")
    assert 'lang="en"' not in ask.client.get(address).text.partition("<main")[2]


def test_what_has_no_translation_stays_english():
    assert said("never said anywhere", "de") == "never said anywhere"


def test_a_language_is_read_once():
    from turfgis.desk.words import _catalogue

    assert _catalogue("de") is _catalogue("de")


@pytest.mark.parametrize(
    ("value", "decimals", "english", "german"), [(1234.5, 1, "1,234.5", "1.234,5"), (-0.5, 2, "-0.50", "-0,50")]
)
def test_numbers_as_each_language_writes_them(value, decimals, english, german):
    # Unicode CLDR, the number patterns of en and de
    assert number(value, decimals) == english
    assert number(value, decimals, "de") == german


@pytest.mark.parametrize(
    ("english", "german"),
    [
        ("1,234,567.00 EUR", "1.234.567,00 EUR"),
        ("2027", "2027"),
        ("12 x", "12 x"),
        ("0.35 in", "0,35 in"),
        ("−1,200", "−1.200"),
        ("sand 4.20 t, seed 12.0 kg", "sand 4,20 t, seed 12,0 kg"),
        ("holes 1, 2, 10", "holes 1, 2, 10"),
        ("2027-05-14", "2027-05-14"),
        ("v1.2.3", "v1.2.3"),
    ],
)
def test_figures_in_a_text_keep_their_digits(english, german):
    assert refigured(english) == english
    assert refigured(english, "de") == german


def test_days_as_each_language_writes_them():
    # Unicode CLDR, the dates of de; the German order of day and month is that of DIN 5008
    when = date(2027, 5, 14)
    assert (day(when), day(when, "de")) == ("14 May 2027", "14. Mai 2027")
    assert (weekday(when), weekday(when, "de")) == ("Friday 14 May 2027", "Freitag, 14. Mai 2027")
    assert (month("2027-05"), month("2027-05", "de")) == ("May 2027", "Mai 2027")


def test_every_chance_has_its_german_words():
    from turfgis.reports.facts import odds

    chances = [at / 1000 for at in range(1001)]
    said_so = {odds_said(odds(one), "de") for one in chances}
    assert not [words for words in said_so if re.search(r"\b(about|less|certain|in)\b", words)]


VALUES = {  # what stands in sentences of reports, and as German has it
    "day": ("Wed 14 Jul", "Mi, 14. Juli"),
    "first": ("2027-04-01", "1. April 2027"),
    "last": ("Sunday 11 July 2027", "Sonntag, 11. Juli 2027"),
    "weekday": ("Sunday", "Sonntag"),
    "surface": ("fairway", "Fairway"),
    "unit": ("m3", "m3"),
    "nutrient": ("N", "N"),
    "count": ("1,234", "1.234"),
    **dict.fromkeys(("start", "end"), ("14", "14")),
    **dict.fromkeys(("patch", "until"), ("green-07", "green-07")),
    "overs": ("overthrow of dress greens, overthrow of core tees", "Überwurf bei dress greens, Überwurf bei core tees"),
    "from": ("1.00 m from water, 2.50 m from path", "1,00 m von: Wasser, 2,50 m von: Weg"),
    "words": ("below the action value of 2.5 m/s2", "unter dem Auslösewert von 2,5 m/s2"),
    "why": ("nobody works that day", "an diesem Tag arbeitet niemand"),
    **dict.fromkeys(TOLD, ("nobody works that day", "an diesem Tag arbeitet niemand")),
}
FREE = {*WORDED, *NAMED} - set(VALUES)


@pytest.mark.parametrize("pattern", PATTERNS)
def test_a_sentence_of_a_report_is_known_by_its_pattern_and_keeps_its_values(pattern):
    names = places(pattern)
    typed = {one: VALUES.get(one, (f"our {one}", "") if one in FREE else ("1,234.5 m2", ""))[0] for one in names}
    awaited = {one: VALUES[one][1] if one in VALUES else f"our {one}" if one in FREE else "1.234,5 m2" for one in names}
    assert resaid(pattern.format(**typed), "de") == said(pattern, "de").format(**awaited)


@pytest.mark.parametrize(
    ("english", "german"),
    [
        ("Wed 14 Jul", "Mi, 14. Juli"),
        ("Friday 14 May 2027", "Freitag, 14. Mai 2027"),
        ("31 July 2027", "31. Juli 2027"),
        ("2027-05-14", "14. Mai 2027"),
        ("Tue Fri", "Di Fr"),
        ("30 Feb", "30 Feb"),  # no day that exists
        ("12,345.6 m3", "12.345,6 m3"),
        ("1 to 18", "1 to 18"),
    ],
)
def test_days_and_figures_within_a_sentence(english, german):
    # Unicode CLDR, the dates and numbers of de
    assert figures_said(english, "de") == german
    assert figures_said(english) == english


@given(st.text(max_size=60))
def test_any_other_text_stays_as_it_is_and_is_never_markup(text):
    assert resaid(text, "en") == text
    shown = str(retold(text, "de"))
    assert "<" not in shown.removeprefix('<span lang="en">').removesuffix("</span>")
    figures_said(text, "de")


def test_a_chart_is_said_in_german_and_its_lines_stay():
    drawing = (
        '<svg><title>Licence: 1,200 of 9,000 m³ a year are used; at this rate it lasts.</title><path d="M1.5 2,5"/>'
        '<text x="1.5">5,000</text><text x="2.5">Mar</text><text x="3">Sun 11 Jul: 12,525 m³</text>'
        "<text>limit</text><text>a &lt; b</text><text>m³ since Thu 1 Apr 2027</text></svg>"
    )
    assert chart_said(drawing, "en") == drawing
    assert chart_said(drawing, "de") == (
        "<svg><title>Licence: 1.200 von 9.000 m³ je Jahr sind verbraucht; geht es so weiter, reicht es.</title>"
        '<path d="M1.5 2,5"/><text x="1.5">5.000</text><text x="2.5">Mär</text>'
        '<text x="3">So, 11. Juli: 12.525 m³</text>'
        "<text>Grenzwert</text><text>a &lt; b</text><text>m³ seit Do, 1. April 2027</text></svg>"
    )
