"""Wages, and charges on the whole budget."""

from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field

from turfgis.settings.money import HourPrice
from turfgis.settings.values import Settings, ShareOrZero, Text

Resource = Literal["material", "machine", "labour", "purchase", "contractor"]


class Labour(Settings):
    """``[labour]``: what an hour of work costs with everything on top of the wage."""

    wage: HourPrice


class Charge(Settings):
    """A tax or a contingency: a share of the cost of some resources, or of all."""

    share: ShareOrZero
    on: list[Resource] = Field(default=["material", "machine", "labour", "purchase", "contractor"], min_length=1)


def _read_charge(value: Any) -> Any:
    return value if isinstance(value, dict | Charge) else {"share": value}


ChargeText = Annotated[Charge, BeforeValidator(_read_charge)]


class BudgetSetting(Settings):
    """``[budget]``: lines that are added to the costs, and how prices grow in a year."""

    taxes: dict[Text, ChargeText] = Field(default_factory=dict)
    contingency: dict[Text, ChargeText] = Field(default_factory=dict)
    growth: ShareOrZero = 0.0
