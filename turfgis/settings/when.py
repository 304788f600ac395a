"""When a job is done: on days, in months, every so often between two days, or at no particular time."""

import re
from datetime import date
from typing import Annotated, Any

from pydantic import BeforeValidator, Field, StrictInt, model_validator

from turfgis.errors import InputError
from turfgis.settings.values import Day, Settings, Text, read_day

_EVERY = re.compile(r"\s*(\d+)?\s*(day|week|month)s?\s*")
_MONTH = re.compile(r"(?:(\d{4})-)?(\d{1,2})")
_DAY = re.compile(r"(\d{4})-(\d{1,2})-(\d{1,2})")
MOST_COUNT = 999  # days, weeks or months between two times
FIRST_YEAR, LAST_YEAR = 1900, 2200
MOST_TIMES = 5000  # more than ten years of days: a slip of a year, not a programme


class Interval(Settings):
    """``2 weeks``."""

    count: int
    unit: str  # day, week or month


def read_month(value: Any) -> str:
    """
    A month as written: 3, ``"3"`` or ``"2027-03"``.

    Returns
    -------
    ``03`` where the year of the programme is meant, else ``2027-03``.

    Raises
    ------
    InputError
        It is not a month.

    Examples
    --------
    >>> read_month(3), read_month("2027-3")
    ('03', '2027-03')
    >>> read_month(13)
    Traceback (most recent call last):
    turfgis.errors.InputError: '13' is not a month; write 1 to 12, or a year and month such as "2027-03"
    """
    found = _MONTH.fullmatch(str(value).strip()) if isinstance(value, int | str) else None
    if isinstance(value, date) or (isinstance(value, str) and _DAY.fullmatch(value.strip())):
        raise InputError(f"'{value}' is a day; list days under dates, or write the month alone: \"{str(value)[:7]}\"")
    year = int(found.group(1)) if found and found.group(1) else FIRST_YEAR
    if (
        isinstance(value, bool)
        or not found
        or not 1 <= int(found.group(2)) <= 12
        or not FIRST_YEAR <= year <= LAST_YEAR
    ):
        raise InputError(f"'{value}' is not a month; write 1 to 12, or a year and month such as \"2027-03\"")
    month = f"{int(found.group(2)):02d}"
    return f"{found.group(1)}-{month}" if found.group(1) else month


def _read_counts(value: Any) -> dict[str, int]:
    """Months and how often in each."""
    pairs = list(value.items()) if isinstance(value, dict) else [(one, 1) for one in _listed(value)]
    if not pairs:
        raise InputError("lists no month; write months = [3, 9], or leave it out")
    counts: dict[str, int] = {}
    for given, count in pairs:
        month = read_month(given)
        if isinstance(count, bool) or not isinstance(count, int) or count < 0:
            raise InputError(f"'{count}' times in month {given}: write a whole number, 0 or more")
        if month in counts:
            raise InputError(f"month {given} stands there twice; for twice in a month write months = {{ {given} = 2 }}")
        counts[month] = count
    return counts


def _listed(value: Any) -> list:
    return value if isinstance(value, list) else [value]


def _read_interval(value: Any) -> Any:
    found = _EVERY.fullmatch(value) if isinstance(value, str) else None
    if not found or (found.group(1) is not None and not found.group(1).strip("0")):
        raise InputError(f"'{value}' is not an interval; write it like 10 days, 2 weeks or 1 month")
    if len(found.group(1) or "") > 6 or int(found.group(1) or 1) > MOST_COUNT:
        raise InputError(f"'{value[:40]}' is more than {MOST_COUNT} {found.group(2)}s; check the figure and its unit")
    return {"count": int(found.group(1) or 1), "unit": found.group(2)}


def _read_by_month(value: Any) -> dict[str, float]:
    if not isinstance(value, dict):
        raise InputError(f"'{value}': write a figure for each month, such as {{ 4 = 2100, 5 = 2600 }}")
    figures: dict[str, float] = {}
    for given, number in value.items():
        if isinstance(number, bool) or not isinstance(number, int | float) or number < 0:
            raise InputError(f"'{number}' in month {given}: write a number, 0 or more")
        figures[read_month(given)] = float(number)
    return figures


def _read_days(value: Any) -> list[date]:
    days = [read_day(one) for one in _listed(value)]
    if not days:
        raise InputError("lists no day; write dates = [2027-03-14], or leave it out")
    twice = next((day for day in days if days.count(day) > 1), None)
    if twice:
        raise InputError(f"{twice} stands there twice")
    return days


Days = Annotated[list[date], BeforeValidator(_read_days)]
MonthCounts = Annotated[dict[str, int], BeforeValidator(_read_counts)]
MonthFigures = Annotated[dict[str, float], BeforeValidator(_read_by_month)]
IntervalText = Annotated[Interval, BeforeValidator(_read_interval)]


class Season(Settings):
    """``[season.NAME]``: from one day to another, both in it."""

    from_: Day = Field(alias="from")
    to: Day

    @model_validator(mode="after")
    def _in_order(self) -> "Season":
        if self.to < self.from_:
            raise InputError(f"ends on {self.to}, before it begins on {self.from_}")
        if (self.to - self.from_).days > MOST_TIMES:
            raise InputError(f"from {self.from_} to {self.to} is more than ten years; check the years")
        return self


class Timed(Settings):
    """
    The keys of a job that say when it is done; one way of saying it.

    Attributes
    ----------
    dates
        Days.
    months
        Month (``03`` or ``2027-03``) -> how often in it.
    every, from_, to, season
        An interval, and the days or the season between which it runs; the first time is on the first day.
    times
        How often, at no particular time.
    """

    dates: Days | None = None
    months: MonthCounts | None = None
    every: IntervalText | None = None
    from_: Day | None = Field(default=None, alias="from")
    to: Day | None = None
    season: Text | None = None
    times: Annotated[StrictInt, Field(ge=1, le=366)] = 1

    @model_validator(mode="after")
    def _one_way(self) -> "Timed":
        ways = [name for name in ("dates", "months", "every") if getattr(self, name) is not None]
        if "times" in self.model_fields_set:
            ways.append("times")
        if len(ways) > 1:
            raise InputError(f"says in {len(ways)} ways when it is done ({', '.join(ways)}); keep one of them")
        bounded = self.from_ is not None or self.to is not None
        if self.every is None:
            if bounded or self.season is not None:
                raise InputError('from, to and season go with every; add every = "2 weeks" or so')
            return self
        if bounded == (self.season is not None) or (bounded and (self.from_ is None or self.to is None)):
            raise InputError("every needs from and to, or a season; not both")
        if self.from_ is not None and self.to is not None:
            if self.to < self.from_:
                raise InputError(f"ends on {self.to}, before it begins on {self.from_}")
            if (self.to - self.from_).days > MOST_TIMES:
                raise InputError(f"from {self.from_} to {self.to} is more than ten years; check the years")
        return self
