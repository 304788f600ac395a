"""What a key of the settings file may hold: words, days, figures of each kind, prices, an analysis."""

import re
from datetime import date, datetime
from typing import Annotated, Any, Literal

from pydantic import AfterValidator, BaseModel, BeforeValidator, ConfigDict, Field

from turfgis.errors import InputError
from turfgis.formulas.chance import Figure
from turfgis.settings.figures import Measured, amount, read_spread, spread, without_spread
from turfgis.units import KINDS


class Settings(BaseModel):
    """A part of the settings file. Nothing in it changes, and keys that mean nothing are refused."""

    model_config = ConfigDict(frozen=True, extra="forbid")


Text = Annotated[str, Field(min_length=1)]
Names = Annotated[list[Text], Field(min_length=1)]


def read_day(value: Any) -> date:
    """
    A day, with or without quotes; never a bare number, which would be taken for seconds since 1970.

    Raises
    ------
    InputError
        It is no day, or one that does not exist.

    Examples
    --------
    >>> read_day("2027-02-30")
    Traceback (most recent call last):
    turfgis.errors.InputError: '2027-02-30' is not a day that exists; write it like 2026-03-14
    """
    if isinstance(value, date) and not isinstance(value, datetime):
        return value
    text = value.strip() if isinstance(value, str) else ""
    if re.fullmatch(r"\d{4}-\d{1,2}", text):
        raise InputError(f"'{text}' is a month without a day; write a day like {text}-14, or put it under months")
    try:
        return date.fromisoformat(text)
    except ValueError:
        exists = " that exists" if re.fullmatch(r"\d{4}-\d\d-\d\d", text) else ""
        raise InputError(f"'{value}' is not a day{exists}; write it like 2026-03-14") from None


Day = Annotated[date, BeforeValidator(read_day)]

Length = Annotated[float, amount("length")]
LengthOrZero = Annotated[float, amount("length", zero=True)]
Mass = Annotated[float, amount("mass")]
MassOrZero = Annotated[float, amount("mass", zero=True)]
Area = Annotated[float, amount("area")]
AreaOrZero = Annotated[float, amount("area", zero=True)]
Volume = Annotated[float, amount("volume")]
VolumeOrZero = Annotated[float, amount("volume", zero=True)]
Time = Annotated[float, amount("time")]
TimeOrZero = Annotated[float, amount("time", zero=True)]
Power = Annotated[float, amount("power")]
FuelRate = Annotated[float, amount("fuel rate")]
CoverRate = Annotated[float, amount("depth")]
WorkRate = Annotated[float, amount("work rate")]
ExactDensity = Annotated[float, amount("density")]
Speed = Annotated[float, amount("speed")]
Share = Annotated[float, amount("share")]
ShareOrZero = Annotated[float, amount("share", zero=True)]

# figures that may carry a spread
Density = Annotated[Figure, spread("density")]
Depth = Annotated[Figure, spread("depth")]
DepthOrZero = Annotated[Figure, spread("depth", zero=True)]
Rate = Annotated[Figure, spread("mass rate")]
VolumeRate = Annotated[Figure, spread("volume rate")]
SpreadLength = Annotated[Figure, spread("length")]
SpreadArea = Annotated[Figure, spread("area")]
SpreadVolume = Annotated[Figure, spread("volume")]
SpreadShare = Annotated[Figure, spread("share", zero=True)]


def _below_one(risk: float) -> float:
    if risk >= 1:
        raise InputError(
            "a risk of 100 % would order nothing; write how often running short is acceptable, such as 10 %"
        )
    return risk


Risk = Annotated[Share, AfterValidator(_below_one)]


def _some_left(share: float) -> float:
    if share >= 1:
        raise InputError("waiting all the time leaves none to work in; write the share of the time lost, such as 15 %")
    return share


WaitingShare = Annotated[ShareOrZero, AfterValidator(_some_left)]

DIRECTIONS = ("best", "turned")


def read_direction(value: Any) -> str | float:
    """
    A direction of passes: ``best``, ``turned``, or degrees clockwise from north.

    Raises
    ------
    InputError
        It is none of them.

    Examples
    --------
    >>> read_direction(45), read_direction("45°"), read_direction("best")
    (45.0, 45.0, 'best')
    >>> read_direction("north")
    Traceback (most recent call last):
    turfgis.errors.InputError: 'north' is no direction; write "best", "turned", or degrees from north, 0 to 360
    """
    if value in DIRECTIONS:
        return str(value)
    text = value.strip().removesuffix("°").removesuffix("degrees").strip() if isinstance(value, str) else value
    try:
        degrees = float("nan") if isinstance(text, bool) else float(text)
    except (TypeError, ValueError):
        degrees = float("nan")
    if not 0 <= degrees <= 360:
        raise InputError(f'\'{value}\' is no direction; write "best", "turned", or degrees from north, 0 to 360')
    return degrees


Direction = Annotated[Literal["best", "turned"] | float, BeforeValidator(read_direction)]


class Overthrow(Settings):
    """How far past the edge material lands: a reach, or a share of what is spread."""

    reach: Figure | None = None
    share: Figure | None = None


def _read_overthrow(value: Any) -> Any:
    middle = value.get("likely") if isinstance(value, dict) else value
    if not isinstance(middle, str) or not any(sign.isdigit() for sign in middle):
        raise InputError(f"'{value}' is not an overthrow; write how far it lands past the edge, or a share in %")
    if "%" in without_spread(middle):
        return {"share": read_spread(value, "share", zero=True)}
    return {"reach": read_spread(value, "length", zero=True)}


class SpotRate(Settings):
    """How much of a material lies on a square metre: a weight [kg/m2], or a depth or volume [m]."""

    weight: Figure | None = None
    depth: Figure | None = None


def read_spot_rate(value: Any) -> Any:
    """
    A rate whose kind the material decides.

    Raises
    ------
    InputError
        It is neither a weight nor a depth or volume over an area.

    Examples
    --------
    >>> read_spot_rate("30 g/m2").weight.mean, read_spot_rate("4 mm").depth.mean
    (0.03, 0.004)
    """
    if isinstance(value, SpotRate):
        return value
    try:
        return SpotRate(weight=read_spread(value, "mass rate"))
    except InputError:
        pass
    try:
        return SpotRate(depth=read_spread(value, "depth"))
    except InputError:
        raise InputError(
            f"'{value}' is no rate; write a weight over an area (30 g/m2, 300 kg/ha), a volume over an area (4 l/ha, "
            "2 ml/m2) or a depth (10 mm)"
        ) from None


SpotRateText = Annotated[SpotRate, Measured(read_spot_rate, units="g/m2, kg/ha, l/ha, mm", spread=True)]


def number(low: float, high: float, whole: bool = True) -> BeforeValidator:
    """For a settings key that holds a plain number, without a unit, from ``low`` to ``high``."""

    def read(value: Any) -> Any:
        fits = isinstance(value, int) or (not whole and isinstance(value, float))
        if isinstance(value, bool) or not fits or not low <= value <= high:
            kind = "a whole number" if whole else "a number"
            raise InputError(f"'{value}' is not {kind} from {low:g} to {high:g}; write one without quotes")
        return value

    return BeforeValidator(read)


OverthrowText = Annotated[Overthrow, Measured(_read_overthrow, units="m, ft, %", spread=True)]


def _check_tiles(address: str) -> str:
    """The address of map pictures; the map itself looks closer at it."""
    if not address.startswith("https://") or any(part not in address for part in ("{z}", "{x}", "{y}")):
        raise InputError(
            f"'{address}' is no address of map tiles; write it like https://tiles.example/{{z}}/{{x}}/{{y}}.png"
        )
    return address


Tiles = Annotated[str, AfterValidator(_check_tiles)]


def _pair(value: Any) -> Any:
    pair = value if isinstance(value, list) else [value, value]
    if len(pair) != 2:
        raise InputError("spacing needs two distances: along and across the direction of travel")
    return pair


Spacing = Annotated[tuple[Length, Length], Measured(_pair, units=KINDS["length"][1])]


def _read_holes(value: Any) -> Any:
    """Holes as text, though they may be written as numbers."""
    if not isinstance(value, list):
        return value
    return [str(hole) if isinstance(hole, int) and not isinstance(hole, bool) else hole for hole in value]


Holes = Annotated[Names | None, BeforeValidator(_read_holes)]

# Two ways in which a label may give one nutrient, as oxide and as element.
OXIDES = {"P2O5": "P", "K2O": "K", "MgO": "Mg", "CaO": "Ca", "SO3": "S"}


def _check_analysis(analysis: dict) -> dict:
    for oxide, element in OXIDES.items():
        if oxide in analysis and element in analysis:
            raise InputError(
                f"{oxide} and {element} are two ways to give one nutrient; give it once, as the label does"
            )
    if sum(analysis.values()) > 1 + 1e-9:  # 70 %, 20 % and 10 % add up to a little more than 1 in floats
        raise InputError("the analysis adds up to more than 100 %")
    return analysis


NutrientName = Literal["N", "P2O5", "K2O", "P", "K", "MgO", "Mg", "CaO", "Ca", "SO3", "S", "Fe", "Mn"]
Analysis = Annotated[dict[NutrientName, ShareOrZero], Field(min_length=1), AfterValidator(_check_analysis)]
