"""
Sentences with figures that come out of reports, said in another language.

Reports write plain English. Here a sentence is known by its pattern, its values are taken out of it, and it is said
anew with the words of the language. One that no pattern knows stays English, and says so.
"""

import re
from datetime import date
from functools import cache
from string import Formatter

from babel.dates import format_date, format_skeleton
from markupsafe import Markup, escape

from turfgis.desk.words import ENGLISH, _catalogue, day, refigured, said

# Those of one page stand together; where two could fit, the first counts.
PATTERNS = (
    # the day
    "1 person, {able}; {given} given out.",
    "{count} people, {able}; {given} given out.",
    "Not done: {job} ({length}): {why}.",
    "Behind the players: {task} ({person}) by up to {length}.",
    "With {remedy}: {outcome}",
    "everything fits.",
    "more urgent work gets done in place of other.",
    "{count} more of the {all} parts get done.",
    "{count} more of the {all} parts get done, {late} more come behind the players.",
    "{count} more of the {all} parts get done, {late} fewer come behind the players.",
    "{late} fewer come behind the players.",
    "{late} more come behind the players.",
    "no time is left for it",
    "nobody works that day",
    "one more person, trained on every machine",
    "one more person for work by hand",
    "one more {machine}",
    "a working {machine}",
    "half an hour more for everybody",
    "a start half an hour earlier for everybody",
    "the first players half an hour later",
    "No better plan exists: nothing more fits, and the largest load cannot be smaller.",
    "The plan is within {share} of the best there can be.",
    "{person} is not there: {why}.",
    "a day off",
    "does not work on {weekday}s",
    "{job}: {count} times in the month, so taken for work of every day.",
    "{job}: a contractor comes; nobody is planned for it.",
    "{job} is due, but no time is known for it; give it a machine, crew_hours or a rate.",
    "vibration A(8) {figure}, {words}",
    "noise LEX,8h {figure}, {words}",
    "without values: {machines}",
    "below the action value of {figure}",
    "below the lower action value of {figure}",
    "at or above the action value of {figure}",
    "at or above the lower action value of {figure}",
    # the year
    "Stock in the yard is used first; it spares {amount}.",
    "Watering of the programme takes {volume} between {first} and {last}, but limit {limit} allows {most}.",
    "{tine} tines at {along} by {across}, {depth} deep",
    "{blade} blades {spacing} apart, {depth} deep",
    "{rate} of live seed",
    "{rate} of seed as sold",
    "{share} of the ground, {depth} deep, {seed} seed by weight of the sand",
    "{share} of the ground, {depth} deep",
    "{volume} a round, {seed} seed by weight of the sand",
    "{volume} a round",
    "{share} of the ground",
    "{rate} on {area} in all",
    "{area} in all",
    "{width} along the edges",
    "by hand",
    "{depth} on floors, {face} on faces",
    "{depth} on floors",
    "1 day",
    "{count} days",
    "by area",
    "as the weather asks",
    "{depth} at the roots",
    # areas and orders
    "Plus-minus is the half-width of the 95 % interval for an edge drawn in or out as a whole "
    "(standard deviation {low} to {high}, by layer).",
    "Plus-minus is the half-width of the 95 % interval for an edge drawn in or out as a whole "
    "(standard deviation {one}).",
    "Taken as exact, because no spread was given: {overs}. The chance of running short is understated to that extent.",
    "overthrow of {job}",
    "{job}: net area",
    "{job}: treated area",
    "{job}: share of the surface opened",
    "{job}: sand in the holes, as an even layer",
    "{job}: dry sand",
    "{job}: cores to cart away",
    "{job}: seed to sow",
    "{job}: product",
    "1 patch of {surface}",
    "{count} patches of {surface}",
    "all jobs",
    "sand as delivered",
    "to be ordered",
    "standard deviation of what is needed",
    "whole loads",
    "whole packs",
    "{count} loads",
    "{count} packs",
    # water
    "Water, {first} to {last}",
    "Water for {first} to {last}",
    "Planned after {day}. A night has the name of its evening.",
    "First to go short: {surface}, on {day}, by {short} of {need}; 1 night of the plan fall short there.",
    "First to go short: {surface}, on {day}, by {short} of {need}; {count} nights of the plan fall short there.",
    "Nothing goes short this week; {surface} would be the first.",
    "Nothing goes short this week. When the limit is reached, {surface} goes without first.",
    "{surface}: {share}, as typed.",
    "{surface}: {share}, by cans on {count} of 1 patch.",
    "{surface}: {share}, by cans on {count} of {patches} patches.",
    "{surface}: {share}, by the model of heads on {count} of 1 patch.",
    "{surface}: {share}, by the model of heads on {count} of {patches} patches.",
    "{surface}: not known, reckoned as if even.",
    "The model is throw, arc and flow in still air, and missed ground counts in it: set out cans.",
    "{limit}: {used} of {most} an hour ({basis}).",
    "{limit}: {used} of {most} a day ({basis}).",
    "what runs into the tank",
    "{limit}: {used} of {most} a year are used; at this rate it is passed on {day}.",
    "{limit}: {used} of {most} a year are used; at this rate it lasts.",
    "{limit}: {used} of {most} a year are used; it was passed on {day}.",
    "{limit}: {used} of {most} a season are used; at this rate it is passed on {day}.",
    "{limit}: {used} of {most} a season are used; at this rate it lasts.",
    "{depth} less on {surface}, once: {volume}, {days} days of all watering at this rate.",
    "{depth} less on {surface}, once: {volume}.",
    "The root zone is taken as full on {day}, when the weather begins.",
    "There is no log of watering: the past is taken as watered when it was due.",
    "From {first} to {last} the meter shows {shown}; the needs come to {needs}.",
    "{unit} since {day}",
    "limit",
    "{day}: {volume}",
    "Night of {first} to {last}",
    "Cannot run even alone ({why}): {stations}. The rest is planned.",
    "longer than the window",
    "no room left in the night",
    "no water left in the night",
    "No head serves {surfaces}: water by hand.",
    "Nothing is due on this night.",
    "The tank is taken as full when the window begins.",
    "The tank holds {volume} when the window begins, as given.",
    "The tank holds {volume} when the window begins, by the plan since {day}.",
    "Minutes are rounded up to whole ones, cycle by cycle.",
    "{count} heads reach no surface that is watered.",
    "Rate: mean over the patch, all heads that reach it running. Overlap: heads that reach a covered place, in the "
    "mean. Missed: reached by no head.",
    "Low quarter: mean of the driest quarter as a share of the mean of all; of cans the nearest whole number, halves "
    "upward. Christiansen: 1 less the mean absolute gap from the mean, as a share of the mean.",
    "Judged by cans on 1 patch; elsewhere by throw, arc and flow, in still air.",
    "Judged by cans on {count} patches; elsewhere by throw, arc and flow, in still air.",
    # the drawing
    "{area} of {surface} lie under {other} (1 pair); the {keeps} keeps the ground.",
    "{area} of {surface} lie under {other} ({count} pairs); the {keeps} keeps the ground.",
    "{count} shapes have no hole number; {found} got one by position beside the hole lines. Check on the map.",
    # places
    "{day}, 1 day overdue",
    "{day}, {count} days overdue",
    # tanks
    "{products}; {volume} of spray; {sprayer}, tank of {tank}",
    "{product}: {treated} on the treated area, {net} over the net area; {amount} each time.",
    "Kept off: {from}; {area} of these patches.",
    "{width} from {what}",
    "Passes of the boom overlap, which covers {share} of the ground twice.",
    "{rest} stay in the sprayer at the end and are mixed with the first tank; nothing else is left over.",
    "Each nozzle must put out {flow} at {speed}.",
    "A sprayer that puts out 5 % too much takes {amounts} ({cost}) more each time, or leaves {area} without.",
    "A sprayer that puts out 5 % too much takes {amounts} more each time, or leaves {area} without.",
    "{job} has no days, only months or less, so the interval of {product} is checked only as far as a month has room "
    "for it; give it dates.",
    'No label was typed in for {product}, so nothing is held against one: add label = {{ most = "30 l/ha", most_a_year '
    '= "...", interval = "14 days" }} to [material.{what}].',
    # last, for it fits much
    "{rate} of {nutrient}",
)
_DAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
_MONTHS = ("January", "February", "March", "April", "May", "June", "July", "August", "September", "October")
_MONTHS = (*_MONTHS, "November", "December")
_NAMES = {name[:3]: at for at, name in enumerate(_MONTHS, 1)}
_ANY_DAY, _ANY_MONTH = ("|".join(f"{name}|{name[:3]}" for name in names) for names in (_DAYS, _MONTHS))
_DAY = re.compile(rf"\b(?:({_ANY_DAY}) )?(\d{{1,2}}) ({_ANY_MONTH})\b(?: (\d{{4}})\b)?")
_DATED = rf"(?:(?:{_ANY_DAY}) )?\d{{1,2}} (?:{_ANY_MONTH})(?: \d{{4}})?|\d{{4}}-\d\d-\d\d"
# What may stand for a value: days, words, and for all others a figure with its unit.
_FIGURE = r"[<≥]?\s?\d[^;:()]*?(?:\(A\))?"
_SHAPES = dict.fromkeys(("day", "first", "last"), _DATED) | {"unit": r"\w{1,3}(?: gal)?", "nutrient": r"\w+"}
_WORDED = ("job", "why", "task", "person", "remedy", "outcome", "machine", "machines", "words", "surface", "surfaces")
_WORDED = (
    *_WORDED,
    "limit",
    "basis",
    "stations",
    "products",
    "product",
    "sprayer",
    "what",
    "from",
    "amounts",
    "weekday",
)
_SHAPES |= dict.fromkeys((*_WORDED, "overs", "other", "keeps"), ".+?")
_WEEKDAYS = re.compile(rf"(?:{_ANY_DAY})(?: (?:{_ANY_DAY}))*")
IS_DAYS = re.compile(rf"{_DATED}|{_ANY_DAY}|(?:{_ANY_DAY})(?: (?:{_ANY_DAY}))*")
_TEXT = re.compile(r"(<(?:text|title)\b[^>]*>)([^<]*)(?=<)")


@cache
def _known() -> tuple[tuple[str, re.Pattern[str]], ...]:
    """Each pattern with what finds its values."""
    made = []
    for text in PATTERNS:
        parts = [
            re.escape(literal) + (f"(?P<{name}>{_SHAPES.get(name, _FIGURE)})" if name else "")
            for literal, name, _, _ in Formatter().parse(text)
        ]
        made.append((text, re.compile("".join(parts), re.DOTALL)))
    return tuple(made)


def resaid(text: str, language: str = ENGLISH) -> str | None:
    """
    A sentence of a report in another language; None where it is not known there.

    Examples
    --------
    >>> resaid("Not done: rake bunkers (1 h 30): no time is left for it.", "de")
    'Nicht geschafft: rake bunkers (1 h 30): dafür bleibt keine Zeit.'
    >>> resaid("Nobody ever said this.", "de") is None
    True
    """
    there = _catalogue(language)
    if language == ENGLISH or not text:
        return text
    if text in there:
        return said(text, language)
    for pattern, finding in _known():
        found = finding.fullmatch(text) if pattern in there else None
        if found:
            values = {name: value_said(value, language) for name, value in found.groupdict().items()}
            return said(pattern, language, **values) if values else said(pattern, language)
    return None


def value_said(text: str, language: str = ENGLISH) -> str:
    """
    What stands in a sentence: words that are known, days and figures as the language writes them, names as they are.

    Examples
    --------
    >>> value_said("Wed 14 Jul", "de"), value_said("25,423 m3", "de"), value_said("green", "de")
    ('Mi, 14. Juli', '25.423 m3', 'Grün')
    """
    if language == ENGLISH:
        return text
    parts = [resaid(part, language) for part in text.split(", ")]
    again = ", ".join(map(str, parts)) if None not in parts else resaid(text, language)
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
    if known is None and not re.search(r"[^\W\d_]{4}", text):  # a figure with its unit says all in any language
        known = figures_said(text, language)
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
