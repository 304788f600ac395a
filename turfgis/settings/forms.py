"""What a new entry of a settings file is asked for, out of the models, and what was typed as the values of the file."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from types import NoneType, UnionType
from typing import Annotated, Any, Literal, Union, get_args, get_origin

from pydantic import BeforeValidator

from turfgis.settings import models
from turfgis.settings.figures import Measured
from turfgis.settings.messages import INSIDE, TABLES, TAGS, Path
from turfgis.settings.money import Money, Price
from turfgis.settings.people import Absence, read_clock
from turfgis.settings.read import check_settings
from turfgis.settings.when import Interval
from turfgis.surfaces import SURFACES

MADE = ("material", "machine", "job", "person", "supplier", "fuel", "limit")  # tables to which entries are added
# Keys of which an entry needs one or some, though none of them alone; they are asked for with those that it must have.
ONE_OF: dict[str, tuple[str, ...]] = {
    "machine": ("turn", "turn_radius", "efficiency"),
    "divot_mix": ("worn", "depth", "mix_per_round"),
    "repair_turf": ("share", "area", "strip"),
    "spot_treatment": ("on", "material", "area", "rate"),
    "water": ("depth",),
    "contractor": ("days", "on"),
}
# Written where an entry is shown: what sort of value a key takes.
_SORTS: dict[Any, str] = {date: "day", Interval: "interval", Money: "money", Price: "price", bool: "yes"}
_PAIR = re.compile(r"\s*(\"[^\"]*\"|[^\W\d][\w-]*)\s*(?:[=:]\s*|\s)\s*(.+?)\s*")


@dataclass(frozen=True)
class Asked:
    """
    One key of a new entry.

    Attributes
    ----------
    keys
        Its path within the entry: ``("load",)``, or ``("label", "most")``.
    needed
        Whether the entry must have it.
    sort
        ``figure``, ``figures`` (along and across), ``number``, ``clock``, ``day``, ``days``, ``months``, ``interval``,
        ``money``, ``price``, ``yes``, ``choice``, ``choices``, ``direction``, ``list``, ``shares``, ``pairs``
        or ``text``.
    units
        What may stand behind the number.
    spread
        Whether the figure may carry one.
    choices
        What may be chosen.
    first
        Whether it is asked for at once; all others can be left out.
    """

    keys: tuple[str, ...]
    needed: bool
    sort: str
    units: str = ""
    spread: bool = False
    choices: tuple[str, ...] = ()
    first: bool = False

    @property
    def field(self) -> str:
        """Its name in a form."""
        return ".".join(self.keys)

    @property
    def label(self) -> str:
        """
        What it says, in words.

        Examples
        --------
        >>> Asked(("bulk_density",), True, "figure").label
        'bulk density'
        """
        return self.keys[-1].replace("_", " ")


def kinds_of(table: str) -> tuple[str, ...]:
    """Kinds of entries that a table knows: works of jobs, kinds of materials; none for all others."""
    return tuple(TAGS[table][1]) if table in TAGS else ()


def tag_of(table: str, kind: str) -> dict[str, Any]:
    """
    The key that says of which kind an entry is; none where there are no kinds.

    Examples
    --------
    >>> tag_of("job", "mow"), tag_of("machine", "")
    ({'work': 'mow'}, {})
    """
    return {TAGS[table][0]: kind} if kind else {}


def asked_of(table: str, kind: str, settings: models.CourseSettings) -> list[Asked]:
    """
    Keys of a new entry: first those that it must have, then those of which it needs some, then all others.

    Parameters
    ----------
    table
        One of :data:`MADE`.
    kind
        One of :func:`kinds_of`, or "".
    settings
        As read: what can be chosen from, such as sands, is what they describe.

    Examples
    --------
    >>> settings = models.CourseSettings(name="A", layer=[{"file": "a.gpkg"}])
    >>> [one.field for one in asked_of("material", "sand", settings) if one.needed]
    ['bulk_density']
    """
    model = TAGS[table][1][kind] if kind else TABLES[table]
    some = ONE_OF.get(kind or table, ())
    given = {"name", TAGS[table][0]} if kind else set()
    made = [
        one
        for name, field in model.model_fields.items()
        if name not in given
        for one in _keys(name, field, settings, model, some)
    ]
    return sorted(made, key=lambda one: (not one.needed, not one.first))


def _keys(name: str, field: Any, settings: models.CourseSettings, model: type, some: tuple[str, ...]) -> list[Asked]:
    """One key, or those of the small table under it."""
    if name in INSIDE:
        inner = INSIDE[name].model_fields.items()
        return [_asked((name, key), one, settings, model, required=False) for key, one in inner]
    return [_asked((field.alias or name,), field, settings, model, required=field.is_required(), some=some)]


def _asked(
    keys: tuple[str, ...],
    field: Any,
    settings: models.CourseSettings,
    model: type,
    *,
    required: bool,
    some: tuple[str, ...] = (),
) -> Asked:
    base, readers = _bare(field.annotation, field.metadata)
    measured = next((one for one in readers if isinstance(one, Measured)), None)
    units = measured.units.replace("EUR", settings.currency) if measured else ""
    first = required or keys[-1] in some
    choices = _choices(keys, base, settings, model)
    sort = _sort(base, bool(choices), measured is not None)
    if any(one.func is read_clock for one in readers if isinstance(one, BeforeValidator)):
        sort = "clock"
    return Asked(keys, required, sort, units, bool(measured and measured.spread), choices, first)


def _bare(annotation: Any, readers: Any) -> tuple[Any, list[Any]]:
    """The type of a key without None, and what reads it."""
    if get_origin(annotation) is Annotated:
        inner, *more = get_args(annotation)
        return _bare(inner, [*more, *readers])
    if get_origin(annotation) in (Union, UnionType):
        parts = [one for one in get_args(annotation) if one is not NoneType]
        if len(parts) == 1 or bool in [_bare(one, [])[0] for one in parts]:
            return _bare(parts[0], readers)
    return annotation, list(readers)


def _sort(base: Any, chosen: bool, measured: bool) -> str:
    """What sort of value a key takes, by its type."""
    inner = _bare(get_args(base)[0], [])[0] if get_origin(base) is list else None
    if inner is not None:
        return "days" if inner in (date, Absence) else "choices" if chosen else "list"
    if get_origin(base) is dict:
        value = get_args(base)[1]
        return "months" if value is int else "shares" if _sort(get_args(base)[0], False, False) == "choice" else "pairs"
    if chosen or get_origin(base) is Literal:
        return "choice"
    if base in _SORTS:
        return _SORTS[base]
    if get_origin(base) is tuple:
        return "figures"
    if get_origin(base) in (Union, UnionType):  # of passes: a word, or degrees
        return "direction"
    return "figure" if measured else "number" if base in (int, float) else "text"


def _choices(keys: tuple[str, ...], base: Any, settings: models.CourseSettings, model: Any) -> tuple[str, ...]:
    """What a key may name: of the settings, or out of a list of words."""
    key = keys[0] if len(keys) == 1 else ""
    if key == "on":
        return tuple(dict.fromkeys([*SURFACES, *settings.surface]))
    if key in getattr(model, "materials", {}):
        wanted = model.materials[key]
        fitting = tuple(name for name, one in settings.material.items() if wanted in (one.kind, "any"))
        return () if get_origin(base) is dict else fitting
    if key in ("machine", "may"):
        return tuple(settings.machine)
    if key == "season":
        return tuple(settings.season)
    if key == "burns":
        return tuple(dict.fromkeys(["diesel", "petrol", *settings.fuel]))
    if get_origin(base) is Literal:
        return tuple(one for part in get_args(base) for one in (get_args(part) or (part,)))
    return ()


def entry_of(asked: list[Asked], given: Mapping[str, str | list[str]]) -> dict[str, Any]:
    """
    What was typed, as the values of the file; what cannot be read stays as it is, for the check to say so.

    Parameters
    ----------
    asked
        From :func:`asked_of`.
    given
        By field; what is empty is left out.

    Examples
    --------
    >>> spacing, months = Asked(("spacing",), True, "figures"), Asked(("months",), False, "months")
    >>> entry_of([spacing, months], {"spacing": "50 mm x 60 mm", "months": "3, 9 = 2"})
    {'spacing': ['50 mm', '60 mm'], 'months': {'3': 1, '9': 2}}
    """
    entry: dict[str, Any] = {}
    for one in asked:
        typed = given.get(one.field, "")
        typed = [text.strip() for text in typed if text.strip()] if isinstance(typed, list) else typed.strip()
        if typed:
            above = entry.setdefault(one.keys[0], {}) if one.keys[1:] else entry
            above[one.keys[-1]] = typed if isinstance(typed, list) else _value(one.sort, typed)
    return entry


def _value(sort: str, text: str) -> Any:
    if text[0] in "[{":  # as it would stand in the file
        return _toml(text)
    if sort == "figures":
        parts = [part.strip() for part in re.split(r"\s+[x×]\s+|\s+by\s+|\s*;\s*", text)]
        return parts if parts[1:] else text
    if sort in ("number", "direction"):
        return _toml(text) if re.fullmatch(r"[-+]?\d+(\.\d+)?", text) else text
    if sort == "yes":
        return text == "yes"
    if sort == "day":
        return _day(text)
    if sort == "days":
        return [_day(part.strip()) for part in re.split(r"[,;\n]", text) if part.strip()]
    if sort == "months":
        pairs = [part.partition("=") for part in re.split(r"[,;\n]", text) if part.strip()]
        return {
            month.strip(): int(count) if count.strip().isdecimal() else count.strip() or 1 for month, _, count in pairs
        }
    if sort == "list":
        return [
            part.strip() for part in re.split(r"[;\n]" if ";" in text or "\n" in text else ",", text) if part.strip()
        ]
    if sort in ("shares", "pairs"):
        return _pairs(text)
    return text


def _pairs(text: str) -> Any:
    """``N 12 %, K2O 8,5 %``: a comma parts two of them only where a name follows."""
    made = {}
    for part in re.split(r"[;\n]|,\s*(?=[^\W\d]|\")", text):
        found = _PAIR.fullmatch(part)
        if not found:
            return text
        made[found.group(1).strip('"')] = found.group(2)
    return made


def _day(text: str) -> Any:
    try:
        return date.fromisoformat(text)
    except ValueError:
        return text


def _toml(text: str) -> Any:
    try:
        return tomllib.loads(f"value = {text}").get("value", text)
    except (ValueError, RecursionError):
        return text


def entry_problems(data: dict, table: str, name: str, entry: dict[str, Any]) -> list[tuple[str, str]]:
    """
    What the check of the settings says of a new entry, by its fields.

    Parameters
    ----------
    data
        The settings file as TOML gives it, without the entry.
    table, name, entry
        Which table, what the entry is called, and its keys.

    Returns
    -------
    Field ("name" for its name, "" for the entry as a whole) and what is wrong there; empty where it can be used.
    """
    whole = with_entry(data, table, name, entry)
    place = len(whole["job"]) - 1 if table == "job" else name
    _, problems = check_settings(whole)
    return list(dict.fromkeys((_field(where, table, place), " ".join(what.split())) for where, what in problems))


def with_entry(data: dict, table: str, name: str, entry: dict[str, Any]) -> dict[str, Any]:
    """Settings as they would be with an entry more; ``data`` stays as it is."""
    if table == "job":
        return {**data, "job": [*data.get("job", []), {"name": name, **entry}]}
    return {**data, table: {**data.get(table, {}), name: entry}}


def _field(where: Path, table: str, place: Any) -> str:
    if tuple(where[:2]) != (table, place):
        return ""
    inner = where[2:4] if where[2:] and where[2] in INSIDE else where[2:3]
    return ".".join(map(str, inner))
