"""Kinds and fields of places that need watching, and how people write what stands in them."""

import re
from collections.abc import Mapping
from typing import Any

from turfgis.errors import InputError
from turfgis.layers.words import written
from turfgis.units import read_number

# Kind -> other ways of writing it.
KINDS: dict[str, tuple[str, ...]] = {
    "tree": (),
    "pest": (),
    "disease": (),
    "weed": (),
    "wet spot": ("wet", "wet place", "wet area"),
    "drain": ("drainage",),
    "damaged turf": ("damage", "turf damage", "damaged", "worn turf"),
    "hazard": ("danger",),
    "other": (),
}

# Field -> what stands in it.
FIELDS: dict[str, str] = {
    "id": "what the place is called for good; rows with the same id are looks at one place",
    "kind": ", ".join(KINDS),
    "name": "what people call it",
    "seen": "day of the look, as 2027-03-14 or 14.03.2027",
    "look_again": "day by which to look again",
    "every": "or how often to look: 10 days, 2 weeks, 6 months, 1 year",
    "urgency": "1 (first) to 5",
    "task": "what is to be done, if anything",
    "hours": "hours that it takes, of all people together",
    "people": "how many do it together",
    "certificate": "what whoever does it must hold",
    "done": "day on which the task was done",
    "note": "anything",
    "photo": "a picture file in the course folder",
    "species": "of a tree, a weed, a pest or a disease",
    "girth_cm": "girth of a stem at breast height",
    "size_m2": "size, where it is not drawn as an area",
    "width_m": "width of a line, such as a drain: its length by this is its size, where size_m2 does not say it",
    "material": "a material, as the settings call it",
    "rate": "how much of it, such as 30 g/m2, 4 l/ha or 10 mm",
    "cost_code": "where the hours are booked",
}
KEPT_LETTERS = 10  # of a field name in a shapefile (dBase)
DAYS = ("seen", "look_again", "done")
# Figure -> the least and the most that is taken for one; a wider one is a slip of the pen.
FIGURES: dict[str, tuple[float, float]] = {
    "urgency": (1, 5),
    "hours": (0, 10_000),
    "people": (1, 20),
    "girth_cm": (0, 5_000),
    "size_m2": (0, 10_000_000),
    "width_m": (0, 100),
}
WHOLE = ("urgency", "people")
_EVERY = re.compile(r"(\d{1,3})\s*(day|week|month|year)s?", re.IGNORECASE)


def read_kind(value: Any, meanings: Mapping[str, str] | None = None) -> str | None:
    """
    Kind of place that a word names; None where it names none.

    Parameters
    ----------
    value
        The word: any case, one or many, a hyphen or an underscore in place of a space.
    meanings
        What the words of a club mean.

    Examples
    --------
    >>> [read_kind(word) for word in ("Trees", "wet_spot", "DISEASES", "Baum", None)]
    ['tree', 'wet spot', 'disease', None, None]
    >>> read_kind("Baum", {"Baum": "tree"})
    'tree'
    """
    text = written(value)
    if text is None:
        return None
    text = (meanings or {}).get(text, text)
    plain = _plain(text)
    for kind, others in KINDS.items():
        if plain in {form for one in (kind, *others) for form in (_plain(one), _plain(one) + "s")}:
            return kind
    return None


def read_every(value: Any) -> tuple[int, str]:
    """
    How often a place is looked at.

    Returns
    -------
    count, unit
        Of days, weeks or months; a year is twelve months.

    Raises
    ------
    InputError
        It is no such interval.

    Examples
    --------
    >>> read_every("2 weeks"), read_every("1 year")
    ((2, 'week'), (12, 'month'))
    """
    found = _EVERY.fullmatch((written(value) or "").strip())
    if not found or not int(found.group(1)):
        raise InputError(f"'{written(value)}' is not an interval; write it like 10 days, 2 weeks, 6 months or 1 year")
    count, unit = int(found.group(1)), found.group(2).lower()
    return (12 * count, "month") if unit == "year" else (count, unit)


def read_figure(value: Any, field: str) -> float:
    """
    A figure of a place.

    Raises
    ------
    InputError
        It is no number, or outside of what can be.

    Examples
    --------
    >>> read_figure("12,5", "size_m2")
    12.5
    >>> read_figure(-3, "size_m2")
    Traceback (most recent call last):
    turfgis.errors.InputError: -3 is below zero; write a figure from 0 to 10,000,000
    """
    low, high = FIGURES[field]
    text = written(value) or ""
    number = float(value) if isinstance(value, int | float) and not isinstance(value, bool) else read_number(text)
    accepted = f"a {'whole number' if field in WHOLE else 'figure'} from {low:,g} to {high:,.0f}"
    if not low <= number <= high or (field in WHOLE and number != int(number)):
        said = "is below zero" if number < 0 else "cannot be"
        raise InputError(f"{text} {said}; write {accepted}")
    return int(number) if field in WHOLE else number


def field_key(name: str) -> str:
    """
    A name of a column, as far as it counts: capitals and blanks do not, nor what a shapefile cuts off.

    Examples
    --------
    >>> field_key("Look Again"), field_key("certificate")
    ('look_again', 'certificat')
    """
    return re.sub(r"[\s\-]+", "_", name.strip().casefold())[:KEPT_LETTERS]


def _plain(text: str) -> str:
    return re.sub(r"[\s_\-]+", " ", text.casefold()).strip()
