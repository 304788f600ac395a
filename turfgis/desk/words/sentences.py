"""
Sentences with figures that come out of reports, said in another language.

Reports write plain English. Here a sentence is known by its pattern, its values are taken out of it, and it is said
anew with the words of the language. One that no pattern knows stays English, and says so.
"""

import re
from datetime import date
from functools import cache, lru_cache
from string import Formatter

from babel.dates import format_date, format_skeleton
from markupsafe import Markup, escape

from turfgis.desk.words import ENGLISH, _catalogue, day, refigured, said
from turfgis.desk.words.patterns import PATTERNS

_DAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
_MONTHS = ("January", "February", "March", "April", "May", "June", "July", "August", "September", "October")
_MONTHS = (*_MONTHS, "November", "December")
_NAMES = {name[:3]: at for at, name in enumerate(_MONTHS, 1)}
_ANY_DAY, _ANY_MONTH = ("|".join(f"{name}|{name[:3]}" for name in names) for names in (_DAYS, _MONTHS))
_DAY = re.compile(rf"\b(?:({_ANY_DAY}) )?(\d{{1,2}}) ({_ANY_MONTH})\b(?: (\d{{4}})\b)?")
_DATED = rf"(?:(?:{_ANY_DAY}) )?\d{{1,2}} (?:{_ANY_MONTH})(?: \d{{4}})?|\d{{4}}-\d\d-\d\d"
# What may stand for a value: days, words to be said, names and whatever was typed (kept as they are), sentences that
# have to be known themselves, and for all others a figure with its unit.
_PATCH = r"[a-z][a-z-]*-(?:\d+|practice|none)(?:-\d+)?"
_FIGURE = r"[<≥]?\s?[-−]?\d[^;:()]{0,24}?(?:\(A\))?"
_SHAPES = dict.fromkeys(("day", "first", "last"), _DATED) | {"unit": r"\w{1,3}(?: gal)?", "nutrient": r"\w+"}
_SHAPES |= {"count": r"\d[\d,.]*"} | dict.fromkeys(("start", "end"), r"\d+") | dict.fromkeys(("patch", "until"), _PATCH)
WORDED = (
    *(
        "job",
        "why",
        "when",
        "task",
        "person",
        "remedy",
        "outcome",
        "machine",
        "machines",
        "words",
        "surface",
        "surfaces",
    ),
    *("limit", "basis", "stations", "products", "product", "sprayer", "what", "from", "amounts", "weekday", "overs"),
    *("other", "keeps", "kind", "formula"),
)
NAMED = (
    *("name", "names", "given", "key", "keys", "file", "files", "layer", "column", "columns", "feature", "system"),
    *("place", "value", "example", "accepted", "text", "heading", "reader"),
)
TOLD = ("told", "also")
_SHAPES |= dict.fromkeys((*WORDED, *TOLD), ".+?") | dict.fromkeys(NAMED, ".*?")
# No more is looked into than what our own sentences may be: texts of a layer can be as long, and as deep, as they like.
LONGEST, MOST_SENTENCES = 1000, 12  # signs of a sentence, sentences in a line
DEEPEST = 6  # sentences in a sentence
_WEEKDAYS = re.compile(rf"(?:{_ANY_DAY})(?: (?:{_ANY_DAY}))*")
IS_DAYS = re.compile(rf"{_DATED}|{_ANY_DAY}|(?:{_ANY_DAY})(?: (?:{_ANY_DAY}))*")
_A_WORD = re.compile(r"[^\W\d_]{4}")
_NEXT = re.compile(r"[.?!] [A-Z]")
_ENDS = re.compile(r"(?<=[.?!]) ")
_MORE = re.compile(r"(?P<names>.+) and (?P<count>[\d,]+) more", re.DOTALL)
_TEXT = re.compile(r"(<(?:text|title)\b[^>]*>)([^<]*)(?=<)")


@cache
def _known(language: str) -> tuple[tuple[str, str, re.Pattern[str]], ...]:
    """
    Each pattern that a language has, with the longest of its words and what finds its values.

    What stands behind any sentence ("; did you mean ...?") comes first, what stands behind single words last, and
    between them whatever says most: the more words of a text a pattern knows, the surer it is.
    """
    there, made = _catalogue(language), []
    for text in PATTERNS:
        parts = [(literal, name) for literal, name, _, _ in Formatter().parse(text)]
        finding = "".join(
            re.escape(literal) + (f"(?P<{name}>{_SHAPES.get(name, _FIGURE)})" if name else "")
            for literal, name in parts
        )
        sure = (
            2 if text.startswith("{also}") else 0 if text.startswith(("{told}; ", "{told} (")) else 1,
            -sum(len(literal) for literal, _ in parts),
            not any(name in TOLD for _, name in parts),
        )
        if text in there:
            longest = max((literal for literal, _ in parts), key=len)
            made.append((sure, (text, longest, re.compile(finding, re.DOTALL))))
    return tuple(one for _, one in sorted(made, key=lambda one: one[0]))


def resaid(text: str, language: str = ENGLISH, deep: int = 0) -> str | None:
    """
    Sentences of a report in another language; None where one of them is not known there.

    ``deep`` says in how many other sentences they stand.

    Examples
    --------
    >>> resaid("Not done: rake bunkers (1 h 30): no time is left for it.", "de")
    'Nicht geschafft: rake bunkers (1 h 30): dafür bleibt keine Zeit.'
    >>> resaid("Nobody ever said this.", "de") is None
    True
    """
    if language == ENGLISH or not text:
        return text
    return _resaid(text, language, deep) if deep <= DEEPEST else None


def told_in(text: str, language: str = ENGLISH) -> str:
    """
    The same for where only text can stand: what is not known stays English.

    Examples
    --------
    >>> told_in("by hand", "de"), told_in("Nobody ever said this.", "de")
    ('von Hand', 'Nobody ever said this.')
    """
    return resaid(text, language) or text


@lru_cache(maxsize=8192)
def _resaid(text: str, language: str, deep: int) -> str | None:
    lines = text.split("\n")
    known = _alone(text, language, deep)
    if known is None and lines[1:]:
        parts = [_resaid(line, language, deep) if line else "" for line in lines]
        known = None if None in parts else "\n".join(map(str, parts))
    return known if known is not None or lines[1:] else _by_sentence(text, language, deep)


@lru_cache(maxsize=8192)
def _alone(text: str, language: str, deep: int) -> str | None:
    """What is one sentence, or a list of words."""
    if text in _catalogue(language):
        return said(text, language)
    return _by_pattern(text, language, deep) or _by_part(text, language, deep)


def _by_pattern(text: str, language: str, deep: int) -> str | None:
    if len(text) > LONGEST:
        return None
    for pattern, longest, finding in _known(language):
        found = finding.fullmatch(text) if longest in text else None
        if found is None:
            continue
        values = {name: _value(name, value, language, deep + 1) for name, value in found.groupdict().items()}
        if None not in values.values():
            return said(pattern, language, **values) if values else said(pattern, language).format()
    return None


def _by_sentence(text: str, language: str, deep: int) -> str | None:
    """One sentence after the other, each as long as can be; None where one of them is not known."""
    starts = [0, *(found.end() for found in _ENDS.finditer(text)), len(text) + 1]
    if not 3 <= len(starts) <= MOST_SENTENCES + 1:
        return None
    behind = {starts[-1]: ""}  # from where on all is known, and how it is said
    for start in starts[-2::-1]:
        for end in [one for one in reversed(starts) if one > start and one in behind]:
            known = _alone(text[start : end - 1], language, deep)
            if known is not None:
                behind[start] = f"{known} {behind[end]}".rstrip()
                break
    return behind.get(0)


def _by_part(text: str, language: str, deep: int) -> str | None:
    """A list, or a product, of what is known or is only figures; None where it is none, or a part is not known."""
    for sign in ("; ", " x ", ", "):
        if sign in text:
            known = [_alone(part, language, deep) for part in text.split(sign)]
            parts = [one or _bare(part, language) for one, part in zip(known, text.split(sign), strict=True)]
            return sign.join(map(str, parts)) if any(known) and None not in parts else None
    return None


def _bare(text: str, language: str) -> str | None:
    """Figures with their units, which say all in any language; None where there are words among them."""
    return None if _A_WORD.search(text) else figures_said(text, language)


def _value(name: str, text: str, language: str, deep: int) -> str | None:
    if name in TOLD:
        return resaid(text, language, deep) if _A_WORD.search(text) else None
    if name not in NAMED:
        return value_said(text, language, deep)
    if name != "reader" and _NEXT.search(text):  # no name: the next sentence
        return None
    more = _MORE.fullmatch(text)
    return said("{names} and {count} more", language, **more.groupdict()) if more else text


def value_said(text: str, language: str = ENGLISH, deep: int = 0) -> str:
    """
    What stands in a sentence: words that are known, days and figures as the language writes them, names as they are.

    ``deep`` as for :func:`resaid`.

    Examples
    --------
    >>> value_said("Wed 14 Jul", "de"), value_said("25,423 m3", "de"), value_said("green", "de")
    ('Mi, 14. Juli', '25.423 m3', 'Grün')
    """
    if language == ENGLISH:
        return text
    parts = [resaid(part, language, deep) for part in text.split(", ")]
    again = ", ".join(map(str, parts)) if None not in parts else resaid(text, language, deep)
    if again is None and text != text.lower() and text[:1].isupper():  # a word at the head of a sentence
        lower = _catalogue(language).get(text[0].lower() + text[1:])
        again = lower[0].upper() + lower[1:] if lower else None
    return again if again is not None else figures_said(text, language)


def figures_said(text: str, language: str = ENGLISH) -> str:
    """Days and figures in a text as the language writes them."""
    if language == ENGLISH:
        return text
    try:
        return day(date.fromisoformat(text), language)
    except ValueError:
        pass
    if _WEEKDAYS.fullmatch(text):
        return " ".join(_weekday(name, language) for name in text.split(" "))
    kept: list[str] = []

    def put_by(found: re.Match[str]) -> str:
        kept.append(_day_said(found, language))
        return f"\0{len(kept) - 1}\0"

    parts = re.split("\0", _DAY.sub(put_by, text.replace("\0", " ")))
    return "".join(kept[int(part)] if at % 2 else refigured(part, language) for at, part in enumerate(parts))


def _day_said(found: re.Match[str], language: str) -> str:
    name, number, month, year = found.groups()
    try:
        when = date(int(year or 2000), _NAMES[month[:3]], int(number))
    except ValueError:
        return found[0]
    text = format_skeleton("yMMMMd" if year else "MMMMd", when, locale=language)
    return f"{_weekday(name, language)}, {text}" if name else text


def _weekday(name: str, language: str) -> str:
    monday = date(2024, 1, 1)
    at = next(at for at, one in enumerate(_DAYS) if one.startswith(name[:3]))
    return format_date(monday.replace(day=1 + at), "cccc" if len(name) > 3 else "ccc", locale=language)


def retold(text: str, language: str = ENGLISH) -> Markup:
    """
    A sentence of a report for a page: in the language where it is known, else in English, marked as such.

    Examples
    --------
    >>> retold("this < that", "de"), retold("by hand", "de")
    (Markup('<span lang="en">this &lt; that</span>'), Markup('von Hand'))
    """
    known = resaid(text, language)
    if known is None:
        known = _bare(text, language)
    return escape(known) if known is not None else Markup('<span lang="en">{}</span>').format(text)


def chart_said(drawing: str, language: str = ENGLISH) -> str:
    """A drawing of our own, with its words and figures in a language; every word in it stays escaped."""
    from html import unescape

    if language == ENGLISH:
        return drawing

    def rewritten(found: re.Match[str]) -> str:
        text = unescape(found[2])
        month = _NAMES.get(text)
        again = format_skeleton("MMM", date(2000, month, 1), locale=language) if month else value_said(text, language)
        return found[1] + str(escape(again))

    return _TEXT.sub(rewritten, drawing)
