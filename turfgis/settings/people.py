"""Who works when and with what, how the course is played, what waits to be done. Times of day in s after midnight."""

import re
from datetime import date, time, timedelta
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field, StrictBool, StrictInt, model_validator

from turfgis.errors import InputError
from turfgis.settings.figures import Measured, amount
from turfgis.settings.money import HourPrice
from turfgis.settings.values import Day, Holes, Names, Settings, ShareOrZero, Text, Time, number, read_day

DAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
Half = Literal["morning", "afternoon"]
_CLOCK = re.compile(r"(\d{1,2})[:.](\d{2})")
_LEVEL = re.compile(r"([\d.,]+)\s*dB\s*(?:\(?A\)?)?", re.IGNORECASE)
_SHAKING = re.compile(r"([\d.,]+)\s*m/s(?:2|²|\^2)")


def read_clock(value: Any) -> int:
    """
    A time of day. [s after midnight]

    Raises
    ------
    InputError
        It is none.

    Examples
    --------
    >>> read_clock("07:30")
    27000
    >>> read_clock("7")
    Traceback (most recent call last):
    turfgis.errors.InputError: '7' is not a time of day; write it like "07:30"
    """
    if isinstance(value, time):
        return value.hour * 3600 + value.minute * 60
    found = _CLOCK.fullmatch(value.strip()) if isinstance(value, str) else None
    if not found or int(found.group(1)) > 23 or int(found.group(2)) > 59:
        raise InputError(f"'{value}' is not a time of day; write it like \"07:30\"")
    return int(found.group(1)) * 3600 + int(found.group(2)) * 60


def clock_text(seconds: float) -> str:
    """
    A time of day as people write it.

    Examples
    --------
    >>> clock_text(27000)
    '07:30'
    """
    minutes = round(seconds / 60)
    return f"{minutes // 60:02d}:{minutes % 60:02d}"


def _read_weekday(value: Any) -> str:
    text = value.strip().lower() if isinstance(value, str) else ""
    found = [day for day in DAYS if len(text) >= 2 and day.startswith(text)]
    if len(found) != 1:
        raise InputError(f"'{value}' is not a day of the week; write it like Monday or Mon")
    return found[0]


def _read_halves(value: Any) -> Any:
    if not isinstance(value, dict):
        raise InputError(f"'{value}': write which half is worked on which day, such as {{ Friday = \"morning\" }}")
    return {_read_weekday(day): half for day, half in value.items()}


class Absence(Settings):
    """Days off, from the first to the last, both included."""

    from_: Day = Field(alias="from")
    to: Day

    @model_validator(mode="after")
    def _in_order(self) -> "Absence":
        if self.to < self.from_:
            raise InputError(f"ends on {self.to}, before it begins on {self.from_}")
        return self

    def covers(self, day: date) -> bool:
        """Whether a day lies in it."""
        return self.from_ <= day <= self.to


def _read_absences(value: Any) -> list:
    listed = value if isinstance(value, list) else [value]
    return [one if isinstance(one, dict | Absence) else {"from": read_day(one), "to": read_day(one)} for one in listed]


def _measured(pattern: re.Pattern, example: str, most: float) -> Measured:
    """A figure in the one unit in which machine manuals give it."""

    def read(value: Any) -> Any:
        found = pattern.fullmatch(value.strip()) if isinstance(value, str) else None
        try:
            figure = float(found.group(1).replace(",", ".")) if found else -1.0
        except ValueError:
            figure = -1.0
        if not 0 <= figure <= most:
            raise InputError(f"'{value}' cannot be read; write it like \"{example}\", at most {most:g}")
        return figure

    return Measured(read, units=example.split(" ")[1])


Clock = Annotated[int, BeforeValidator(read_clock)]
Weekdays = Annotated[list[Annotated[str, BeforeValidator(_read_weekday)]], Field(min_length=1)]
HalfDays = Annotated[dict[str, Half], BeforeValidator(_read_halves)]
Absences = Annotated[list[Absence], BeforeValidator(_read_absences)]
Vibration = Annotated[float, _measured(_SHAKING, "3.2 m/s2", 100.0)]
Noise = Annotated[float, _measured(_LEVEL, "88 dB(A)", 150.0)]
TimeOrZero = Annotated[float, amount("time", zero=True)]
Priority = Annotated[int, number(1, 5)]


class Workday(Settings):
    """
    ``[workday]``: hours of the day where a person does not say otherwise, and the break between its halves.

    ``lost`` is the share of the hours of a year that illness, weather, training and the like take.
    """

    from_: Clock = Field(default=6 * 3600, alias="from")
    to: Clock = 14 * 3600 + 1800
    break_from: Clock = 10 * 3600
    break_to: Clock = 10 * 3600 + 1800
    days: Weekdays = Field(default=list(DAYS[:5]))
    lost: ShareOrZero = 0.0

    @model_validator(mode="after")
    def _in_order(self) -> "Workday":
        if not self.from_ < self.break_from <= self.break_to < self.to:
            raise InputError(
                f"from {clock_text(self.from_)}, break {clock_text(self.break_from)} to {clock_text(self.break_to)}, "
                f"to {clock_text(self.to)}: these must follow one another"
            )
        return self


class Person(Settings):
    """
    ``[person.NAME]``: a place in the team, such as "deputy"; real names are better left out.

    Attributes
    ----------
    from_, to
        Hours of the day, where they differ from ``[workday]``.
    hours
        In place of ``to``: how long the person works from ``from`` on, the break not counted. [s]
    half, half_days
        The only half that is worked: on all days, or by day of the week.
    days, off
        Days of the week that are worked, and days on which the person is away.
    may
        Machines that the person has been trained on; no others are given to them.
    certificates
        Words that tasks and machines ask for.
    wage
        An hour with everything on top, where it differs from ``[labour]``.
    """

    from_: Clock | None = Field(default=None, alias="from")
    to: Clock | None = None
    hours: TimeOrZero | None = None
    half: Half | None = None
    half_days: HalfDays = Field(default_factory=dict)
    days: Weekdays | None = None
    off: Absences = Field(default_factory=list)
    may: list[Text] = Field(default_factory=list)
    certificates: list[Text] = Field(default_factory=list)
    wage: HourPrice | None = None

    @model_validator(mode="after")
    def _one_end(self) -> "Person":
        if self.to is not None and self.hours is not None:
            raise InputError("gives both to and hours; keep one of them")
        if self.from_ is not None and self.to is not None and self.to <= self.from_:
            raise InputError(f"ends at {clock_text(self.to)}, before it begins at {clock_text(self.from_)}")
        return self


def shift(person: Person, workday: Workday, day: date) -> list[tuple[int, int]]:
    """
    When a person works on a day.

    Returns
    -------
    From and to, the break taken out; at most two spans. Empty where the person is away. [s after midnight]

    Examples
    --------
    >>> shift(Person(half="morning"), Workday(), date(2027, 5, 14))
    [(21600, 36000)]
    """
    weekday = DAYS[day.weekday()]
    if weekday not in (person.days or workday.days) or any(one.covers(day) for one in person.off):
        return []
    begins = workday.from_ if person.from_ is None else person.from_
    ends = workday.to if person.to is None else person.to
    half = person.half_days.get(weekday, person.half)
    spans = [(begins, min(ends, workday.break_from)), (max(begins, workday.break_to), ends)]
    if half:
        spans = [spans[0] if half == "morning" else spans[1]]
    spans = [(start, end) for start, end in spans if end > start]
    return _first_hours(spans, int(person.hours), person.to is None) if person.hours is not None else spans


def _first_hours(spans: list[tuple[int, int]], left: int, open_end: bool) -> list[tuple[int, int]]:
    """The spans up to so many seconds of work; the last may run past the end of the usual day."""
    kept = []
    for place, (start, end) in enumerate(spans):
        last = place == len(spans) - 1
        took = left if last and open_end else min(left, end - start)
        if took > 0:
            kept.append((start, start + took))
        left -= took
    return kept


class Play(Settings):
    """
    ``[play]``: how the course is played.

    ``pace`` is minutes a hole; ``starts`` the holes from which the first groups go out at ``first_tee``.
    """

    first_tee: Clock
    pace: Annotated[float, number(1, 60, whole=False)] = 15
    starts: Annotated[list[StrictInt], Field(min_length=1)] = Field(default=[1])
    holes: Annotated[int, number(1, 99)] = 18

    @model_validator(mode="after")
    def _possible(self) -> "Play":
        wrong = next((hole for hole in self.starts if not 1 <= hole <= self.holes), None)
        if wrong is not None:
            raise InputError(f"starts names hole {wrong}; the course has 1 to {self.holes}")
        if len(set(self.starts)) < len(self.starts):
            raise InputError("starts names a hole twice")
        return self


class OddJob(Settings):
    """
    ``[[odd_job]]``: work that waits until there is time.

    ``priority`` 1 goes first; of equal ones the oldest (``since``). ``hours`` are those of all people together.
    ``ahead`` asks for it to be done on each hole before the first players come.
    """

    name: Text
    hours: Time
    people: Annotated[int, number(1, 20)] = 1
    priority: Priority = 3
    since: Day | None = None
    certificate: Text | None = None
    machine: Text | None = None
    on: Names | None = None
    holes: Holes = None
    half: Half | None = None
    ahead: StrictBool = False
    done: StrictBool = False


class Fixed(Settings):
    """``[[fixed]]`` in the file of a day: a task that a person has been given by hand."""

    task: Text
    person: Text
    holes: Holes = None


class DayFile(Settings):
    """
    The file of one day, ``board_2027-05-14.toml``.

    Attributes
    ----------
    fixed
        What has been given out by hand.
    also, leave
        Jobs and odd jobs that are done besides what is due, or left out.
    away, broken
        People who are not there, machines that are out of order.
    first_tee
        Of this day, where it differs.
    """

    fixed: list[Fixed] = Field(default_factory=list)
    also: list[Text] = Field(default_factory=list)
    leave: list[Text] = Field(default_factory=list)
    away: list[Text] = Field(default_factory=list)
    broken: list[Text] = Field(default_factory=list)
    first_tee: Clock | None = None


def working_days(person: Person, workday: Workday, first: date, last: date) -> list[tuple[date, int]]:
    """Each day on which a person works, with the seconds worked."""
    days = [first + timedelta(after) for after in range((last - first).days + 1)]
    spans = [(day, sum(end - start for start, end in shift(person, workday, day))) for day in days]
    return [(day, seconds) for day, seconds in spans if seconds]
