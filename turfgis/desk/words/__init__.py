"""
What the desk says, in the languages it speaks.

The words in pages and code are English and are their own keys, as gettext has it; a language is one file of
translations (``de.po``) in this folder, which any editor for such files opens. What has no translation stays English.
"""

from functools import cache
from importlib.resources import files

from babel.messages.pofile import read_po
from babel.numbers import format_decimal

ENGLISH = "en"


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
    """All texts that have a translation, as pages that say something themselves get them: English -> translation."""
    return dict(_catalogue(language))


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
    >>> said("{count} areas", "de", count=3)
    '3 Flächen'
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
