"""What a key of the settings file may hold: words, days, figures of each kind, prices, an analysis."""

import re
from datetime import date, datetime
from typing import Annotated, Any, Literal

from pydantic import AfterValidator, BaseModel, BeforeValidator, ConfigDict, Field

from turfgis.errors import InputError
from turfgis.formulas.chance import Figure
from turfgis.settings.figures import amount, read_spread, spread, without_spread
from turfgis.units import read_number, to_si


class Settings(BaseModel):
    """A part of the settings file. Nothing in it changes, and keys that mean nothing are refused."""

    model_config = ConfigDict(frozen=True, extra="forbid")


Text = Annotated[str, Field(min_length=1)]
Names = Annotated[list[Text], Field(min_length=1)]


def _read_day(value: Any) -> date:
    """A day, with or without quotes; never a bare number, which would be taken for seconds since 1970."""
    if isinstance(value, datetime) or not isinstance(value, date | str):
        raise InputError(f"'{value}' is not a day; write it like 2026-03-14")
    try:
        return value if isinstance(value, date) else date.fromisoformat(value)
    except ValueError:
        raise InputError(f"'{value}' is not a day; write it like 2026-03-14") from None


Day = Annotated[date, BeforeValidator(_read_day)]

Length = Annotated[float, amount("length")]
LengthOrZero = Annotated[float, amount("length", zero=True)]
Mass = Annotated[float, amount("mass")]
MassOrZero = Annotated[float, amount("mass", zero=True)]
Speed = Annotated[float, amount("speed")]
Share = Annotated[float, amount("share")]
ShareOrZero = Annotated[float, amount("share", zero=True)]

# figures that may carry a spread
Density = Annotated[Figure, spread("density")]
Depth = Annotated[Figure, spread("depth")]
Rate = Annotated[Figure, spread("mass rate")]
SpreadShare = Annotated[Figure, spread("share", zero=True)]


def _below_one(risk: float) -> float:
    if risk >= 1:
        raise InputError(
            "a risk of 100 % would order nothing; write how often running short is acceptable, such as 10 %"
        )
    return risk


Risk = Annotated[Share, AfterValidator(_below_one)]


class Price(Settings):
    """``42 EUR/t`` or ``190 EUR/pack``."""

    amount: float
    currency: str
    per: str
    per_kg: float | None  # None where it is a price per pack


def _read_price(value: Any) -> Any:
    found = re.fullmatch(r"\s*([\d.,]+)\s*([A-Z]{3})\s*(?:/|per)\s*(.+?)\s*", value) if isinstance(value, str) else None
    if not found:
        raise InputError(f"'{value}' is not a price; write it like 42 EUR/t or 190 EUR/pack")
    number, currency, per = read_number(found.group(1)), found.group(2), found.group(3)
    try:
        per_kg = None if per == "pack" else number / to_si(f"1 {per}", "mass")
    except InputError as error:
        raise InputError(f"'{value}' is no price by weight or by the pack, like 42 EUR/t: {error}") from None
    return {"amount": number, "currency": currency, "per": per, "per_kg": per_kg}


PriceText = Annotated[Price, BeforeValidator(_read_price)]


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


OverthrowText = Annotated[Overthrow, BeforeValidator(_read_overthrow)]


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


Spacing = Annotated[tuple[Length, Length], BeforeValidator(_pair)]


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
