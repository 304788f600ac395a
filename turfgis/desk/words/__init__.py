"""
What the desk says, in the languages it speaks.

The words in pages and code are English and are their own keys, as gettext has it; a language is one file of
translations (``de.po``) in this folder, which any editor for such files opens. What has no translation stays English.
"""

import re
from datetime import date
from functools import cache
from importlib.resources import files

from babel.dates import format_date, format_skeleton
from babel.messages.pofile import read_po
from babel.numbers import format_decimal

from turfgis.desk.words.patterns import PATTERNS

ENGLISH = "en"
_PATTERNS = frozenset(PATTERNS)
_FIGURE = re.compile(r"(?<![\w.,])\d+(?:,\d{3})*(?:\.\d+)?(?![\w.,]*\d)")
_ODDS = re.compile(r"(about|less than) (\d+) in ([\d,]+)")


@cache
def languages() -> dict[str, str]:
    """
    Code of each language -> what it calls itself.

    Examples
    --------
    >>> languages()["en"]
    'English'
    """
    from babel import Locale

    codes = sorted(file.name.removesuffix(".po") for file in files(__name__).iterdir() if file.name.endswith(".po"))
    return {code: (Locale.parse(code).get_display_name(code) or code).capitalize() for code in (ENGLISH, *codes)}


@cache
def _catalogue(language: str) -> dict[str, str]:
    if language == ENGLISH:
        return {}
    with (files(__name__) / f"{language}.po").open("rb") as file:
        catalogue = read_po(file)
    return {str(one.id): str(one.string) for one in catalogue if one.id and one.string}


def words_of(language: str) -> dict[str, str]:
    """
    What pages say themselves, English -> translation: all but the patterns of reports, which are told here.

    Examples
    --------
    >>> words_of("de")["Areas"], "{count} loads" in words_of("de")
    ('Flächen', False)
    """
    return {text: other for text, other in _catalogue(language).items() if text not in _PATTERNS}


def said(english: str, language: str = ENGLISH, **values: object) -> str:
    """
    A text in a language.

    Parameters
    ----------
    english
        The text as it stands in the code, with names in braces where values go.
    language
        Code of the language.
    values
        What goes into the braces.

    Examples
    --------
    >>> said("Areas"), said("Areas", "de")
    ('Areas', 'Flächen')
    >>> said("{count} areas chosen", "de", count=3)
    '3 Flächen gewählt'
    """
    text = _catalogue(language).get(english, english)
    return text.format(**values) if values else text


def number(value: float, decimals: int = 0, language: str = ENGLISH) -> str:
    """
    A figure as a language writes it.

    Examples
    --------
    >>> number(10366.25, 1), number(10366.25, 1, "de")
    ('10,366.2', '10.366,2')
    """
    shape = "#,##0" + ("." + "0" * decimals if decimals else "")
    return format_decimal(value, format=shape, locale=language)


def refigured(text: str, language: str = ENGLISH) -> str:
    """
    A figure with its unit that comes out of a report, with the same digits as a language writes them.

    Examples
    --------
    >>> refigured("1,234.50 t", "de"), refigured("< 0.1 %", "de"), refigured("06:30–14:00", "de")
    ('1.234,50 t', '< 0,1 %', '06:30–14:00')
    """
    if language == ENGLISH:
        return text

    def rewritten(found: re.Match[str]) -> str:
        digits = found[0].replace(",", "")
        if digits == found[0] and "." not in digits:  # as a year, or the number of a hole
            return digits
        return number(float(digits), len(digits.partition(".")[2]), language)

    return _FIGURE.sub(rewritten, text)


def day(value: date, language: str = ENGLISH) -> str:
    """
    A day in a table or a line.

    Examples
    --------
    >>> day(date(2026, 3, 4)), day(date(2026, 3, 4), "de")
    ('4 March 2026', '4. März 2026')
    """
    return format_date(value, "d MMMM yyyy" if language == ENGLISH else "long", language)


def weekday(value: date, language: str = ENGLISH) -> str:
    """
    A day with its name.

    Examples
    --------
    >>> weekday(date(2026, 3, 4)), weekday(date(2026, 3, 4), "de")
    ('Wednesday 4 March 2026', 'Mittwoch, 4. März 2026')
    """
    return format_date(value, "EEEE d MMMM yyyy" if language == ENGLISH else "full", language)


def month(value: str, language: str = ENGLISH) -> str:
    """
    A month of a year; what is none stays as it is.

    Examples
    --------
    >>> month("2027-03"), month("2027-03", "de"), month("no month", "de")
    ('March 2027', 'März 2027', 'ohne Monat')
    """
    if not re.fullmatch(r"\d{4}-\d{2}", value):
        return said(value, language)
    return format_skeleton("yMMMM", date.fromisoformat(f"{value}-01"), locale=language)


def place(hole: str | None, surface: str, language: str = ENGLISH) -> str:
    """
    What staff call a place.

    Examples
    --------
    >>> place("7", "green"), place("7", "green", "de"), place(None, "rough", "de")
    ('7 green', 'Grün 7', 'Rough')
    """
    kind = said(surface, language)
    return said("{hole} {surface}", language, hole=said(hole, language), surface=kind) if hole else kind


def odds_said(words: str, language: str = ENGLISH) -> str:
    """
    A chance in words, as :func:`turfgis.reports.facts.odds` puts it.

    Examples
    --------
    >>> odds_said("about 1 in 38", "de"), odds_said("less than 1 in 1,000", "de"), odds_said("almost certain", "de")
    ('etwa 1 von 38', 'weniger als 1 von 1.000', 'fast sicher')
    """
    found = _ODDS.fullmatch(words)
    if found is None:
        return said(words, language)
    text = "about {few} in {many}" if found[1] == "about" else "less than {few} in {many}"
    return said(text, language, few=found[2], many=number(float(found[3].replace(",", "")), 0, language))
