"""How people write surfaces and hole numbers, and what is meant by it."""

import math
import re
from collections.abc import Collection
from difflib import get_close_matches
from itertools import pairwise
from typing import Any

from turfgis.surfaces import SURFACES

# golf=* in OpenStreetMap. The keys are those its wiki lists for areas (read from memory); which of our surfaces each
# is: our own reading. None: not ground that is looked after as turf.
OPENSTREETMAP: dict[str, str | None] = {
    "green": "green",
    "tee": "tee",
    "fairway": "fairway",
    "bunker": "bunker",
    "rough": "rough",
    "water_hazard": "water",
    "lateral_water_hazard": "water",
    "driving_range": "other",
    "cartpath": "path",
    "path": "path",
    "clubhouse": None,
    "hole": None,
    "pin": None,
    "out_of_bounds": None,
}

_HOLE = re.compile(r"(?:hole|no\.?|nr\.?|number|#)?[\s_\-.:]*0*(\d{1,3})(?:st|nd|rd|th)?(?:\.0+)?[\s_\-]*(?:hole)?")
_PRACTICE = {"0", "practice", "practise", "putting green", "putting", "range", "driving range", "practice ground"}


def written(value: Any) -> str | None:
    """
    A value as text, None where there is none; whole numbers without a decimal point.

    Examples
    --------
    >>> written(" Green "), written(3.0), written(float("nan")), written(" ")
    ('Green', '3', None, None)
    """
    if value is None or (isinstance(value, float) and math.isnan(value)):
        return None
    if isinstance(value, float) and value.is_integer():
        value = int(value)
    text = str(value).strip()
    return None if text in ("", "<NA>", "NaT") else text


def hole_text(value: Any) -> str | None:
    """
    Number of a hole as text, however it was written.

    Parameters
    ----------
    value
        Out of a column: a number, text, or nothing.

    Returns
    -------
    ``"7"``; ``"practice"`` for the practice ground, which OpenStreetMap writes as hole 0; other text as it is; None
    for nothing.

    Examples
    --------
    >>> [hole_text(value) for value in (7, 7.0, "07", "Hole 7", "7th", "putting green", "", "East 7")]
    ['7', '7', '7', '7', '7', 'practice', None, 'East 7']
    """
    text = written(value)
    if text is None:
        return None
    plain = " ".join(text.lower().replace("_", " ").split())
    found = _HOLE.fullmatch(plain)
    number = found.group(1) if found else plain
    return "practice" if number in _PRACTICE else number if found else text


def known_surface(value: Any, known: Collection[str]) -> str | None:
    """
    Surface that a word names: any case, one or many, with or without a hyphen.

    Parameters
    ----------
    value
        The word.
    known
        Names of all surfaces that there are, the club's own among them.

    Examples
    --------
    >>> [known_surface(word, SURFACES) for word in ("Greens", "SEMI ROUGH", "approaches", "clubhouse", None)]
    ['green', 'semi-rough', 'approach', None, None]
    """
    text = written(value)
    if text is None:
        return None
    spellings: dict[str, str] = {}
    for name in known:
        plural = SURFACES[name].plural if name in SURFACES else name
        spellings |= {_bare(form): name for form in (name, plural, name + "s", name + "es")}
    return spellings.get(_bare(text))


def _bare(text: str) -> str:
    return re.sub(r"[\s_\-]+", "", text.casefold())


def surface_in_name(name: str, known: Collection[str]) -> str | None:
    """
    The only surface that the name of a layer or file speaks of, None where there is none or more than one.

    Examples
    --------
    >>> [surface_in_name(name, SURFACES) for name in ("Greens_2024", "semi-rough", "greens and tees", "areas")]
    ['green', 'semi-rough', None, None]
    """
    whole = known_surface(name, known)
    if whole is not None:
        return whole
    words = re.findall(r"[^\W\d_]+", name)
    pairs = [" ".join(pair) for pair in pairwise(words)]
    doubles = {surface for pair in pairs if (surface := known_surface(pair, known))}
    if doubles:
        return doubles.pop() if len(doubles) == 1 else None
    singles = {surface for word in words if (surface := known_surface(word, known))} - {"other"}
    return singles.pop() if len(singles) == 1 else None


def in_order(known: Collection[str]) -> list[str]:
    """
    Names of surfaces as people expect them: from the top of the pile down, then the club's own by the alphabet.

    Examples
    --------
    >>> in_order({"rough", "heather", "green"})
    ['green', 'rough', 'heather']
    """
    return [name for name in SURFACES if name in known] + sorted(name for name in known if name not in SURFACES)


def did_you_mean(word: str, names: Collection[str]) -> str:
    """
    A question at the end of a message, empty where nothing comes close.

    Examples
    --------
    >>> did_you_mean("fareway", ["green", "fairway"])
    ' Did you mean fairway?'
    """
    lower = {name.lower(): name for name in names}
    close = get_close_matches(word.lower(), lower, n=1, cutoff=0.6)
    return f" Did you mean {lower[close[0]]}?" if close else ""
