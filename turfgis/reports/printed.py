"""
What all printed pages share: filling in a template, head and foot, how far the areas can be trusted.

The pages are laid out by typst from templates beside this file. All words go in as JSON strings, so that no name from
a layer is markup, and no clock is read, so that the same input gives the same bytes.
"""

import json
import re
from importlib.resources import as_file, files
from typing import Any

from turfgis.reports.facts import Facts
from turfgis.reports.screen import one_line
from turfgis.units import Shown

# Last sign of the scripts that the fonts inside typst cover: Latin, Greek, Cyrillic, Hebrew.
_COVERED = "\u05ff"
_UNIT = re.compile(r"(?<![A-Za-z\d])(mm|cm|km|m|ft|yd|in)([23])(?![\w])")
_OXIDE = re.compile(r"\b(P2O5|K2O|SO3)\b")
_LOWERED = str.maketrans("2345", "₂₃₄₅")
_RAISED = {"2": "²", "3": "³"}


def with_signs(text: str) -> str:
    """
    Units and signs of our own figures as they are printed.

    Examples
    --------
    >>> with_signs("512 m2 x 0.002 m x 1,500 kg/m3")
    '512 m² × 0.002 m × 1,500 kg/m³'
    >>> with_signs("pi x diameter^2 / 4 - P2O5")
    'π × diameter² / 4 − P₂O₅'
    """
    raised = _UNIT.sub(lambda found: found.group(1) + _RAISED[found.group(2)], text)
    lowered = _OXIDE.sub(lambda found: found.group().translate(_LOWERED), raised)
    powered = re.sub(r"\^([23])\b", lambda found: _RAISED[found.group(1)], lowered)
    signed = re.sub(r"(?<=\S) x (?=\S)", " × ", powered)
    return re.sub(r"\bpi\b", "π", re.sub(r"(?<=\S) - (?=\S)", " − ", signed))


def render_page(template: str, data: dict[str, Any]) -> bytes:
    """
    One template of the folder ``pages``, filled in.

    Names in a script that typst's own fonts lack are set in a font of the machine; only then may another machine give
    other bytes.
    """
    import typst

    text = json.dumps(data, ensure_ascii=False)
    system_fonts = any(sign > _COVERED and not "\u2000" <= sign <= "\u22ff" for sign in set(text))
    with as_file(files("turfgis.reports") / "pages") as folder:
        made = typst.compile(
            str(folder / template),
            root=str(folder),
            ignore_system_fonts=not system_fonts,
            sys_inputs={"data": text},
        )
    if not isinstance(made, bytes):
        raise TypeError("typst gave no single document")
    return made


def trimmed(how: Shown, value: float) -> str:
    """
    A figure with its unit, without noughts that say nothing.

    Examples
    --------
    >>> from turfgis.units import shown
    >>> trimmed(shown("heavy"), 20_000.0), trimmed(shown("heavy"), 2_450.0)
    ('20 t', '2.45 t')
    """
    number = how.number(value)
    return f"{number.rstrip('0').rstrip('.') if '.' in number else number} {how.label}"


def page_data(title: str, facts: Facts, units: str) -> dict[str, Any]:
    """What the head and foot of every page need."""
    foot = [facts.name, f"areas surveyed: {facts.surveyed or 'not given'}", facts.attribution]
    return {
        "title": one_line(title),
        "course": one_line(facts.name),
        "paper": "a4" if units == "metric" else "us-letter",
        "footer": "  ·  ".join(one_line(part) for part in foot if part),
    }


def accuracy_words(facts: Facts) -> str:
    """The statement on how far the areas can be trusted."""
    surveyed = f"Surveyed: {one_line(facts.surveyed) or 'not given'}."
    note = one_line(facts.accuracy_note) or "How far the drawn edges may be out was not given."
    return f"{surveyed} {with_signs(note)}"
