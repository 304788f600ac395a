"""Strokes as the page sends them: what is accepted, and the stroke of the pen that each of them is."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Annotated, Any, Literal

import numpy as np
from pydantic import BaseModel, ConfigDict, Field, TypeAdapter, ValidationError

from turfgis.errors import InputError

if TYPE_CHECKING:
    from collections.abc import Sequence

    from starlette.requests import Request

    from turfgis.measure.as_drawn import AsDrawn
    from turfgis.measure.strokes import Hand, Outcome

MOST_BYTES = 2_000_000  # of one request; an outline of 20,000 corners has a third of it
MOST_TEXT = 200
SEEN_M = 0.001  # from where a page saw a corner to where it lies; pages are told a tenth of a millimetre

Degrees = Annotated[float, Field(ge=-180, le=180, allow_inf_nan=False)]
Place = tuple[Degrees, Degrees]
Metres = Annotated[float, Field(ge=-10_000, le=10_000, allow_inf_nan=False)]
Step = tuple[Metres, Metres]
Key = Annotated[str, Field(min_length=1, max_length=1000)]
Text = Annotated[str, Field(max_length=MOST_TEXT)]
Count = Annotated[int, Field(ge=0, le=1_000_000)]
Corner = tuple[Count, Count, Count]
Places = Annotated[list[Place], Field(max_length=20_000)]


class _Stroke(BaseModel):
    model_config = ConfigDict(
        extra="forbid", frozen=True, defer_build=True
    )  # the page is there before the first stroke
    reach_m: Annotated[float, Field(ge=0, le=20, allow_inf_nan=False)] = 0.0


class NewArea(_Stroke):
    """A new area within an outline."""

    do: Literal["area"]
    points: Places
    surface: Text
    hole: Text = ""
    name: Text = ""


class _OfCorner(_Stroke):
    """
    About a corner, by its place in the rings; ``was`` is where the page saw it.

    Another window may have put a corner in before it: the one that lies where it was seen is meant then.
    """

    area: Key
    corner: Corner
    was: Place | None = None


class MovedCorner(_OfCorner):
    """A corner elsewhere: at a place, or so many metres east and north of where it is."""

    do: Literal["corner"]
    to: Place | None = None
    by_m: Step | None = None


class MoreCorner(_OfCorner):
    """A corner on an edge."""

    do: Literal["more_corner"]
    at: Place


class LessCorner(_OfCorner):
    """A corner less."""

    do: Literal["less_corner"]


class Moved(_Stroke):
    """A whole area elsewhere: from one place to another, or so many metres east and north; with shared corners."""

    do: Literal["moved"]
    area: Key
    along: bool = False
    from_: Annotated[Place | None, Field(alias="from")] = None
    to: Place | None = None
    by_m: Step | None = None


class Parted(_Stroke):
    """An area in parts along a line."""

    do: Literal["parted"]
    area: Key
    points: Places


class Merged(_Stroke):
    """Several areas as one."""

    do: Literal["merged"]
    areas: Annotated[list[Key], Field(max_length=500)]


class Cut(_Stroke):
    """An area without another, or without what lies within an outline."""

    do: Literal["cut"]
    area: Key
    other: Key | None = None
    points: Places = []


class Strip(_Stroke):
    """A strip along an edge."""

    do: Literal["strip"]
    area: Key
    width: Text
    side: Literal["outside", "inside"] = "outside"
    surface: Text
    between: tuple[Place, Place] | None = None


class Gone(_Stroke):
    """Areas less."""

    do: Literal["gone"]
    areas: Annotated[list[Key], Field(min_length=1, max_length=5000)]


class Called(_Stroke):
    """What an area is."""

    do: Literal["called"]
    area: Key
    surface: Text
    hole: Text = ""
    name: Text = ""


class Mended(_Stroke):
    """A valid outline in place of one that is not."""

    do: Literal["mend"]
    area: Key


Stroke = (
    NewArea | MovedCorner | MoreCorner | LessCorner | Moved | Parted | Merged | Cut | Strip | Gone | Called | Mended
)
_PLACE: TypeAdapter[Place] = TypeAdapter(Place)
_STROKES: TypeAdapter[Stroke] = TypeAdapter(
    Annotated[Stroke, Field(discriminator="do")], config=ConfigDict(defer_build=True)
)


class _Place(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)
    from_: Annotated[Place | None, Field(alias="from")] = None
    east: Text = "0"
    north: Text = "0"
    at: Text = ""


def length_m(text: str, units: str) -> float:
    """
    A length as it was typed; without a unit it is in that of the page. [m]

    Raises
    ------
    InputError
        It is no length.

    Examples
    --------
    >>> length_m("20", "metric"), round(length_m("3 ft", "metric"), 4)
    (20.0, 0.9144)
    """
    from turfgis.units import read_number, to_si

    text = text.strip().replace("−", "-")
    try:
        return to_si(f"{read_number(text):.17g} {'m' if units == 'metric' else 'ft'}", "length")
    except InputError:
        return to_si(text, "length")


def place_asked(given: dict[str, Any], drawn: AsDrawn, units: str) -> list[float]:
    """
    Longitude and latitude of a place that was typed: as such, or as metres east and north of another.

    Raises
    ------
    InputError
        It cannot be read, or lies nowhere near the course.
    """
    try:
        wanted = _Place.model_validate(given)
    except ValidationError:
        raise InputError("a place is asked for as 'from' with 'east' and 'north', or as 'at'") from None
    if wanted.at:
        parts = wanted.at.replace(";", ",").split(",")
        try:
            longitude, latitude = (float(part) for part in parts)
        except ValueError:
            raise InputError(f"'{wanted.at}' is no place; write longitude, latitude such as -10.37, 53.15") from None
        drawn.to_frame([(longitude, latitude)])
        return [longitude, latitude]
    if wanted.from_ is None:
        raise InputError("a place is asked for as 'from' with 'east' and 'north', or as 'at'")
    step = np.array([length_m(wanted.east, units), length_m(wanted.north, units)])
    return drawn.to_degrees(drawn.to_frame([wanted.from_]) + step)[0].tolist()


def place_given(given: Any) -> Place:
    """
    Longitude and latitude as they were sent.

    Raises
    ------
    InputError
        They are none.
    """
    try:
        return _PLACE.validate_python(given)
    except ValidationError:
        raise InputError("a place is sent as [longitude, latitude] in degrees") from None


async def asked(request: Request, most: int = MOST_BYTES) -> dict[str, Any]:
    """
    What was sent, as JSON.

    Raises
    ------
    InputError
        It is too long, or no JSON object.
    """
    body = bytearray()
    async for piece in request.stream():
        body += piece
        if len(body) > most:
            raise InputError(f"what was sent is longer than {most / 1e6:g} MB; nothing was done")
    try:
        given = json.loads(bytes(body).decode("utf-8"))
    except (UnicodeDecodeError, ValueError, RecursionError):
        raise InputError("what was sent is no JSON; nothing was done") from None
    if not isinstance(given, dict):
        raise InputError("what was sent is no JSON object; nothing was done")
    return given


def read_stroke(given: Any) -> Stroke:
    """
    A stroke out of what was sent.

    Raises
    ------
    InputError
        It is none; the message names what is wrong with it.
    """
    try:
        return _STROKES.validate_python(given)
    except ValidationError as error:
        first = error.errors(include_input=False, include_url=False)[0]
        place = ".".join(str(part) for part in first["loc"]) or "stroke"
        raise InputError(f"this is no stroke that is known ({place}: {first['msg']}); nothing was done") from None


def outcome(stroke: Stroke, drawn: AsDrawn, surfaces: Sequence[str], units: str = "metric") -> Outcome:
    """
    What a stroke would make of the drawing.

    Raises
    ------
    InputError
        It cannot be done; the message says why.
    """
    from turfgis.measure.strokes import Hand, reach

    hand = Hand(drawn, reach(stroke.reach_m))
    wanted = getattr(stroke, "surface", None)
    if wanted is not None and wanted not in surfaces:
        raise InputError(f"no surface '{wanted}'; there are: {', '.join(surfaces)}")
    return _done(stroke, hand, drawn, units)


def _done(stroke: Stroke, hand: Hand, drawn: AsDrawn, units: str) -> Outcome:
    match stroke:
        case NewArea():
            return hand.area(drawn.to_frame(stroke.points), stroke.surface, stroke.hole or None, stroke.name)
        case MovedCorner():
            corner = _corner(stroke, drawn)
            if stroke.to is not None:
                return hand.corner(stroke.area, corner, drawn.to_frame([stroke.to])[0])
            return hand.nudged(stroke.area, corner, np.array(stroke.by_m or (0.0, 0.0)))
        case MoreCorner():
            return hand.more_corner(stroke.area, _corner(stroke, drawn), drawn.to_frame([stroke.at])[0])
        case LessCorner():
            return hand.less_corner(stroke.area, _corner(stroke, drawn))
        case Moved():
            return hand.moved(stroke.area, _way(stroke, drawn), along=stroke.along)
        case Parted():
            return hand.parted(stroke.area, drawn.to_frame(stroke.points))
        case Merged():
            return hand.merged(stroke.areas)
        case Cut():
            return hand.cut(stroke.area, stroke.other, drawn.to_frame(stroke.points) if stroke.points else None)
        case Strip():
            between = drawn.to_frame(stroke.between) if stroke.between else None
            area = drawn[stroke.area]
            width = length_m(stroke.width, units)
            return hand.strip(stroke.area, width, stroke.side, stroke.surface, area.hole, between)
        case Gone():
            return hand.gone(stroke.areas)
        case Called():
            return hand.called(stroke.area, stroke.surface, stroke.hole or None, stroke.name)
        case Mended():
            return hand.mended(stroke.area)


def _corner(stroke: MovedCorner | MoreCorner | LessCorner, drawn: AsDrawn) -> Any:
    """The corner that is meant: the one named, or where another lies there now, the one that lies where it was seen."""
    from turfgis.measure.editing import Corner as At
    from turfgis.measure.editing import nearest_corner

    named = At(*stroke.corner)
    if stroke.was is None:
        return named
    was = drawn.to_frame([stroke.was])[0]
    found, away = nearest_corner(drawn[stroke.area].shape, was)
    return found if away <= SEEN_M else named


def what_said(stroke: Stroke, drawn: AsDrawn) -> str:
    """A stroke in words, for the list of versions."""
    key = getattr(stroke, "area", None) or next(iter(getattr(stroke, "areas", ())), None)
    old = drawn.areas.get(key) if key else None
    if old is None:
        named = _named(getattr(stroke, "surface", ""), getattr(stroke, "hole", ""), getattr(stroke, "name", ""))
    else:
        named = _named(old.surface, old.hole or "", old.name)
    several = len(getattr(stroke, "areas", ()))
    if several > 1:
        named = f"{several} areas, {named} first"
    return f"{SAID[stroke.do]}: {named}"


SAID = {
    "area": "new area",
    "corner": "corner moved",
    "more_corner": "corner added",
    "less_corner": "corner taken out",
    "moved": "moved",
    "parted": "parted",
    "merged": "merged",
    "cut": "cut out",
    "strip": "strip along the edge",
    "gone": "deleted",
    "called": "described anew",
    "mend": "outline mended",
}


def _named(surface: str, hole: str, name: str) -> str:
    return ", ".join(part for part in (surface, f"hole {hole}" if hole else "", name) if part)


def _way(stroke: Moved, drawn: AsDrawn) -> np.ndarray:
    """From where to where, in the frame. [m]"""
    if stroke.from_ is not None and stroke.to is not None:
        start, end = drawn.to_frame([stroke.from_, stroke.to])
        return end - start
    return np.array(stroke.by_m or (0.0, 0.0))
