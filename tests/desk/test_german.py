"""Every page of the demo course speaks German, its findings, messages and workings too."""

import re
from html import unescape

import pytest

from turfgis.desk.frame import PAGES
from turfgis.desk.words.sentences import resaid, told_in
from turfgis.sources import SOURCES, cite

from .conftest import asking

ADDRESSES = [
    *(address for address, _ in PAGES),
    *("/?by=patch", "/?by=hole", "/year?by=material", "/day?date=2027-05-12", "/day?date=2027-05-16"),
    *("/water/night", "/water/heads", "/tanks?job=wetting agent on greens"),
    *(f"/order?group=renovation&material={one}" for one in ("dressing_sand", "bent_seed", "spring_feed")),
    "/order?group=bunkers&material=bunker_sand",
    "/order?group=spring&material=repair_turf",
    "/order?group=divots&material=tee_seed",
    "/whatif?set=A|material.dressing_sand.price|52 EUR/t",
    # what cannot be done
    "/whatif?set=A|material.dressing_sand.price|52 kg",
    "/whatif?set=nonsense",
    "/whatif?set=Z|a.b|1",
    "/day?date=yesterday",
    "/order?group=renovation&material=dressing_sand&risk=99",
    "/order?group=none&material=dressing_sand",
    "/tanks?job=nobody",
    "/add/nothing",
    "/nowhere",
]
# Words that no English sentence does without, and that are none of German; two of them make a sentence.
ENGLISH = {"the", "is", "are", "was", "were", "has", "have", "of", "and", "that", "this", "which", "with", "not", "be"}
WORDS_BETWEEN_TAGS = re.compile(r">([^<>]+)<")
SLIPS = [  # a line of the demo's settings, and what somebody makes of it by mistake
    ('depth = "2 mm ± 12 %"', 'depth = "2 kg"'),
    ('depth = "2 mm ± 12 %"', 'depth = "2"'),
    ('depth = "2 mm ± 12 %"', 'deepth = "2 mm"'),
    ('depth = "2 mm ± 12 %"', "depth = 2"),
    ('risk = "10 %"', 'risk = "100 %"'),
    ('risk = "10 %"', 'risk = "10 %'),
    ("year = 2027", "year = 2027-13-01"),
    ('material = "dressing_sand"', 'material = "dresing_sand"'),
    ('kind = "sand"', 'kind = "sant"'),
    ('on = ["green"]', 'on = ["grean"]'),
]


@pytest.fixture(scope="module")
def german(kept_course):
    made = asking(kept_course)
    with made.client:
        made.client.cookies.set("look_language", "de")
        yield made


def got(client, address):
    answer = client.get(address)
    while answer.headers.get("refresh"):
        answer = client.get(address)
    return answer


def own_words(course) -> list[str]:
    """Names that the club gave, which are nobody's to translate; the longest first."""
    settings = course.settings
    named = [settings.name, *(job.name for job in settings.job), *(one.name for one in settings.odd_job)]
    named += [name.replace("_", " ") for name in (*settings.material, *settings.machine, *settings.person)]
    named += re.findall(r'"([^"\n]{4,})"', course.path.read_text(encoding="utf-8"))
    table = course.places.table
    named += [str(one) for key in ("task", "name", "note") if key in table for one in table[key] if one]
    return sorted(set(named), key=len, reverse=True)


def english_in(page: str, own: list[str]) -> list[str]:
    """Texts of a page that are English sentences, other than the names of what is cited."""
    cited = {cite(key) for key in SOURCES}
    found = []
    main = re.sub(r"<(script|style)\b.*?</\1>", "", page.partition("<main")[2], flags=re.DOTALL)
    for text in (" ".join(unescape(one).split()) for one in WORDS_BETWEEN_TAGS.findall(main)):
        rest = text
        for name in own:
            rest = rest.replace(name, "")
        if text not in cited and len(ENGLISH & set(re.findall(r"[a-z]+", rest.lower()))) >= 2:
            found.append(text)
    marked = [unescape(one) for one in re.findall(r'lang="en">([^<]*)', main)]
    return [*found, *(one for one in marked if one not in cited)]


@pytest.mark.parametrize("address", ADDRESSES)
def test_no_sentence_of_the_demo_stays_english(german, address):
    answer = got(german.client, address)
    assert '<html lang="de"' in answer.text
    assert english_in(answer.text, own_words(german.desk.course)) == []


def test_a_sentence_that_stayed_english_would_be_found(german):
    german.client.cookies.set("look_language", "en")
    try:
        page = got(german.client, "/findings").text
    finally:
        german.client.cookies.set("look_language", "de")
    assert len(english_in(page, own_words(german.desk.course))) > 5
    assert english_in('<main><p><span lang="en">Nobody said so.</span></p>', []) == ["Nobody said so."]


def test_findings_beside_the_drawing_are_german_too(german):
    told = german.client.get("/api/findings").json()
    assert len(told) > 5
    assert [one["text"] for one in told if one["english"]] == []
    assert any("bleibt unberücksichtigt" in one["text"] for one in told)
    refused = german.client.get("/api/preview")
    assert refused.json()["error"] == "So lässt sich diese Adresse nicht aufrufen."


@pytest.mark.parametrize(("line", "slip"), SLIPS)
def test_a_slip_in_the_settings_is_told_in_german(plain_course, line, slip):
    path = plain_course / "course.toml"
    text = path.read_text(encoding="utf-8")
    assert line in text
    path.write_text(text.replace(line, slip, 1), encoding="utf-8")
    ask = asking(plain_course)
    with ask.client as client:
        client.cookies.set("look_language", "de")
        answer = client.get("/")
    assert answer.status_code == 422
    assert "course.toml:" in answer.text
    assert english_in(answer.text, []) == []


@pytest.mark.parametrize(
    ("english", "german_text"),
    [
        # one and many
        ("1 head without a flow: G2.2. Reckoned once.", "1 Regner ohne Durchfluss: G2.2. Einmal gerechnet."),
        ("2 heads without a flow: a, b. Reckoned once.", "2 Regner ohne Durchfluss: a, b. Einmal gerechnet."),
        # a long list; names as they were typed, though they are words that have a translation
        ("no surface 'path' (accepted: green, tee)", "keine Flächenart „path“ (möglich: green, tee)"),
        ("9 points lie where areas belong and were set aside: 1, 2 and 7 more.",
         "9 Punkte liegen, wo Flächen hingehören, und bleiben unberücksichtigt: 1, 2 und 7 weitere."),
        # figures and days
        ("Limit old (18,000.5 m3 a year) was passed on 2027-07-31.",
         "Grenzwert old (18.000,5 m3 je Jahr) wurde am 31. Juli 2027 überschritten."),
        # behind a place, with a question
        ("a.toml:7: job.2.on: no surface 'grean'; did you mean 'green'? (accepted: green)",
         "a.toml:7: job.2.on: keine Flächenart „grean“; meinten Sie „green“? (möglich: green)"),
    ],
)  # fmt: skip
def test_sentences_are_put_together_as_they_were(english, german_text):
    assert resaid(english, "de") == german_text


@pytest.mark.parametrize(
    "text",
    [
        "Something here. And then this. " * 500,
        "Everything fits. " * 500,
        "a shape; " * 2000,
        "no surface 'path'" + "; did you mean 'path'? (accepted: path)" * 400,
        "'a' is b; c needs d (there is: e) " * 100,
        "file a, layer b, here c, there d: e " * 100,
        "x\n" * 3000,
    ],
    ids=lambda text: text[:20],
)
def test_texts_as_long_and_as_deep_as_a_layer_likes_are_left_as_they_are(text):
    assert told_in(text, "de") == text
