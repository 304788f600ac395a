"""``[water]``: the weather, what each surface needs, where the water comes from and what may be taken."""

from datetime import date
from typing import Annotated, Any, Literal

from pydantic import AfterValidator, BeforeValidator, Field, StrictBool, model_validator

from turfgis.errors import InputError
from turfgis.published.turf_water import TURF_COEFFICIENTS, turf_coefficient
from turfgis.settings.figures import amount
from turfgis.settings.money import Price, price_for
from turfgis.settings.people import Clock
from turfgis.settings.values import (
    Day,
    Holes,
    Length,
    LengthOrZero,
    Names,
    Settings,
    Share,
    Text,
    Volume,
    VolumeOrZero,
    number,
)

Flow = Annotated[float, amount("flow")]
WaterPrice = Annotated[Price, price_for("volume")]
MOST_COEFFICIENT = 1.5


def read_coefficient(value: Any) -> float | str:
    """
    What turf uses, as a share of the reference evapotranspiration: the club's own, or a published one by its name.

    Raises
    ------
    InputError
        It is neither.

    Examples
    --------
    >>> read_coefficient(0.8), read_coefficient("80 %"), read_coefficient("FAO-56 cool-season")
    (0.8, 0.8, 'FAO-56 cool-season')
    """
    if isinstance(value, str) and value.strip() in TURF_COEFFICIENTS:
        return value.strip()
    try:
        text = value.strip() if isinstance(value, str) else value
        own = float(text.removesuffix("%")) / 100 if isinstance(text, str) and text.endswith("%") else float(text)
    except (TypeError, ValueError):
        own = float("nan")
    if isinstance(value, bool) or not 0 < own <= MOST_COEFFICIENT:
        raise InputError(
            f"'{value}' is no coefficient: write your own from 0 to {MOST_COEFFICIENT:g}, such as 0.8, or a published "
            f"one by its name ({', '.join(TURF_COEFFICIENTS)})"
        )
    return own


def _below_one(share: float) -> float:
    if share >= 1:
        raise InputError("all the water of the root zone cannot be used up; write a share such as 50 %")
    return share


Coefficient = Annotated[float | str, BeforeValidator(read_coefficient)]
Depletion = Annotated[Share, AfterValidator(_below_one)]


class SurfaceWater(Settings):
    """
    ``[water.surface.NAME]``: a surface that is watered.

    Attributes
    ----------
    coefficient
        Share of the reference evapotranspiration that it uses: the club's own, or the name of a published one.
    root_depth
        Depth that the roots draw from. [m]
    available_water
        Water that the turf can get out of the root zone, as a share of its volume. [-]
    depletion
        Share of that water which may be used up before it is watered. [-]
    uniformity
        Share of the mean depth that the drier part gets: the gross need is the need over this. [-] Left out, cans or
        the heads of the surface tell it.
    rain
        Share of the rain that reaches the roots; the rest runs off or dries off the leaf. [-]
    most
        The most that is given in one night, at the roots; the rest waits for the next. [m]
    holes
        Only on these, where not the whole surface is watered.
    """

    coefficient: Coefficient
    root_depth: Length
    available_water: Share
    depletion: Depletion
    uniformity: Share | None = None
    rain: Share = 1.0
    most: Length | None = None
    holes: Holes = None

    @property
    def share(self) -> float:
        """The coefficient as a number. [-]"""
        return self.coefficient if isinstance(self.coefficient, float) else turf_coefficient(self.coefficient).share

    @property
    def total_m(self) -> float:
        """All available water of the root zone, as a depth. [m]"""
        return self.root_depth * self.available_water

    @property
    def ready_m(self) -> float:
        """The part of it that may be used up, as a depth. [m]"""
        return self.total_m * self.depletion


class Supply(Settings):
    """
    ``[water.supply]``: tank, pump and the night's window.

    Attributes
    ----------
    tank, floor
        What the tank holds, and what must stay in it. [m3]
    refill
        What runs into it. [m3/s]
    pump
        What the pump delivers at most. [m3/s]
    heads
        How many heads the controller opens at a time.
    from_, to
        The window in which water runs; it may pass midnight. [s after midnight]
    """

    tank: Volume | None = None
    floor: VolumeOrZero = 0.0
    refill: Annotated[float, amount("flow", zero=True)] = 0.0
    pump: Flow | None = None
    heads: Annotated[int, number(1, 10_000)] | None = None
    from_: Clock = Field(default=21 * 3600, alias="from")  # common practice, no source
    to: Clock = 5 * 3600

    @model_validator(mode="after")
    def _possible(self) -> "Supply":
        if self.tank is None and (self.floor or self.refill):
            raise InputError('floor and refill belong to a tank; give tank = "400 m3" as well')
        if self.tank is not None and self.floor >= self.tank:
            raise InputError("floor must be less than tank, or nothing can ever be taken from it")
        if self.from_ == self.to:
            raise InputError("from and to are the same time; write when the night's watering may begin and must end")
        return self

    @property
    def window_s(self) -> float:
        """Length of the window. [s]"""
        return float((self.to - self.from_) % 86_400)


class WaterLimit(Settings):
    """
    ``[water.limit.NAME]``: the most that may be taken, as the club has it in writing.

    Attributes
    ----------
    most
        So much. [m3]
    per
        In which time. A year begins on the day and month of ``from``, else on 1 January; a season runs from ``from``
        to ``to`` of every year.
    at
        Where it is held: at the ``source``, which is what runs into the tank where there is one, or at the ``pump``.
    source
        Which paper says so.
    """

    most: Volume
    per: Literal["hour", "day", "year", "season"]
    from_: Day | None = Field(default=None, alias="from")
    to: Day | None = None
    at: Literal["source", "pump"] = "source"
    source: str = ""

    @model_validator(mode="after")
    def _period(self) -> "WaterLimit":
        if self.per == "season" and (self.from_ is None or self.to is None):
            raise InputError("a season needs its first and last day; add from = 2027-04-01 and to = 2027-09-30")
        if self.per in ("hour", "day") and (self.from_ is not None or self.to is not None):
            raise InputError(f"from and to say nothing about a limit per {self.per}; leave them out")
        if self.per == "year" and self.to is not None:
            raise InputError('a year ends by itself; leave out to, or write per = "season"')
        if self.from_ is not None and self.to is not None:
            if self.to < self.from_:
                raise InputError(f"ends on {self.to}, before it begins on {self.from_}")
            if (self.to - self.from_).days >= 366:
                raise InputError(f"from {self.from_} to {self.to} is more than a year; check the years")
        return self

    def period(self, day: date) -> tuple[date, date] | None:
        """
        First and last day of the licence year or season that a day lies in; None between two seasons.

        Examples
        --------
        >>> limit = WaterLimit.model_validate({"most": "9000 m3", "per": "year", "from": "2020-04-01"})
        >>> [f"{end}" for end in limit.period(date(2027, 2, 1))]
        ['2026-04-01', '2027-03-31']
        """
        if self.per in ("hour", "day"):
            return day, day
        begins = self.from_ or date(day.year, 1, 1)
        first = _in_year(begins, day.year)
        if day < first:
            first = _in_year(begins, day.year - 1)
        if self.per == "year" or self.from_ is None or self.to is None:
            return first, date.fromordinal(_in_year(begins, first.year + 1).toordinal() - 1)
        last = _in_year(self.to, first.year + self.to.year - self.from_.year)
        return (first, last) if day <= last else None


def _in_year(day: date, year: int) -> date:
    """The same day of another year; 1 March for 29 February."""
    try:
        return day.replace(year=year)
    except ValueError:
        return date(year, 3, 1)


class WaterSetting(Settings):
    """
    ``[water]``.

    Attributes
    ----------
    weather, forecast
        CSV files of the daily weather, as measured and as foretold.
    meter
        CSV file of readings of the water meter: ``date`` and ``reading_m3``.
    log
        CSV file of what was applied: ``date``, ``surface``, and ``depth_mm`` or ``volume_m3``.
    height
        Of the weather station above the sea. [m]
    wind_at
        Height above ground of the wind gauge. [m]
    coastal
        Whether the sea tempers the days: only where radiation must be told from temperature.
    priority
        Surfaces in the order in which they get water when there is not enough.
    price, cost_code
        What a cubic metre costs, and where it is booked.
    surface, supply, limit
        What is watered, from what, and what may be taken.
    """

    weather: Text | None = None
    forecast: Text | None = None
    meter: Text | None = None
    log: Text | None = None
    height: LengthOrZero = 0.0
    wind_at: Length = 2.0
    coastal: StrictBool = False
    priority: Names | None = None
    price: WaterPrice | None = None
    cost_code: str = ""
    surface: dict[Text, SurfaceWater] = Field(default_factory=dict)
    supply: Supply = Field(default_factory=Supply)
    limit: dict[Text, WaterLimit] = Field(default_factory=dict)

    @model_validator(mode="after")
    def _ranked(self) -> "WaterSetting":
        ranked = self.priority or []
        if len(set(ranked)) < len(ranked):
            raise InputError("priority names a surface twice")
        missing = [name for name in self.surface if name not in ranked] if ranked else []
        if missing:
            raise InputError(f"priority leaves out {', '.join(missing)}; name every watered surface once")
        strangers = [name for name in ranked if name not in self.surface]
        if strangers:
            raise InputError(f"priority names {', '.join(strangers)}, but there is no [water.surface.{strangers[0]}]")
        return self

    @property
    def ranked(self) -> list[str]:
        """Watered surfaces, the one that gets water first in front."""
        return list(self.priority or self.surface)

    @property
    def files(self) -> list[str]:
        """All files that it names."""
        return [file for file in (self.weather, self.forecast, self.meter, self.log) if file is not None]
