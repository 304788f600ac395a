"""Wages, charges on the whole budget, limits that the club enters, what its fuel costs and where its yard is."""

from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field, ValidationInfo

from turfgis.errors import InputError
from turfgis.settings.figures import Measured
from turfgis.settings.money import FuelPrice, HourPrice
from turfgis.settings.values import Names, NutrientName, Settings, ShareOrZero, Text
from turfgis.units import to_si

Resource = Literal["material", "machine", "labour", "fuel", "water", "purchase", "contractor"]


class Labour(Settings):
    """``[labour]``: what an hour of work costs with everything on top of the wage."""

    wage: HourPrice


class Fuel(Settings):
    """``[fuel.NAME]``: what it costs, and which equation of fuel use it goes by; petrol and diesel go by their own."""

    price: FuelPrice | None = None
    kind: Literal["diesel", "petrol"] | None = None


def _read_place(value: Any) -> tuple[float, float]:
    numbers = (
        [one for one in value if isinstance(one, int | float) and not isinstance(one, bool)]
        if isinstance(value, list)
        else []
    )
    if len(numbers) != 2 or len(value) != 2 or not (abs(numbers[0]) <= 180 and abs(numbers[1]) <= 90):
        raise InputError(f"'{value}' is no place; write [longitude, latitude] in degrees, such as [-2.803, 56.343]")
    return float(numbers[0]), float(numbers[1])


class Yard(Settings):
    """``[yard]``: where machines start from and come back to. Longitude and latitude. [degrees]"""

    at: Annotated[tuple[float, float], BeforeValidator(_read_place)]


class Charge(Settings):
    """A tax or a contingency: a share of the cost of some resources, or of all."""

    share: ShareOrZero
    on: list[Resource] = Field(
        default=["material", "machine", "labour", "fuel", "water", "purchase", "contractor"], min_length=1
    )


def _read_charge(value: Any) -> Any:
    return value if isinstance(value, dict | Charge) else {"share": value}


ChargeText = Annotated[Charge, BeforeValidator(_read_charge)]


class BudgetSetting(Settings):
    """
    ``[budget]``: lines that are added to the costs, how prices grow in a year, and last year's course.

    ``last`` is a course folder or settings file, from where this file lies.
    """

    taxes: dict[Text, ChargeText] = Field(default_factory=dict)
    contingency: dict[Text, ChargeText] = Field(default_factory=dict)
    growth: ShareOrZero = 0.0
    last: Text | None = None


def _read_most(value: Any, info: ValidationInfo) -> float:
    most = to_si(value, "depth" if info.data.get("nutrient") == "sand" else "mass rate")
    if most <= 0:
        raise InputError(f"'{value}' must be above zero")
    return most


class Limit(Settings):
    """``[limit.NAME]``: the most of a nutrient [kg/m2], or of sand as a depth [m], that the club allows itself."""

    nutrient: Literal[NutrientName, "sand"]
    on: Names
    per: Literal["year", "month", "application"] = "year"
    most: Annotated[float, Measured(_read_most, units="kg/ha, g/m2, lb/1000 ft2; mm")]
    area: Literal["net", "treated"] = "net"
