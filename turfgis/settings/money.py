"""Money in a settings file: an amount, or a price for so much of something."""

import re
from typing import Annotated, Any

from turfgis.errors import InputError
from turfgis.settings.figures import Measured
from turfgis.settings.values import Settings
from turfgis.units import read_number, to_si

_MONEY = re.compile(r"\s*([-+]?[\d.,]+)\s*([A-Z]{3})\s*")
_PRICE = re.compile(r"\s*([-+]?[\d.,]+)\s*([A-Z]{3})\s*(?:/|per\s)\s*(.+?)\s*")
# What a price may be for besides a measured amount; the plural is how people write it too.
_COUNTED = {"pack": "pack", "packs": "pack", "load": "load", "loads": "load", "day": "day", "days": "day"}
_EXAMPLE = {
    "mass": "42 EUR/t",
    "pack": "190 EUR/pack",
    "load": "840 EUR/load",
    "volume": "9 EUR/l",
    "area": "4 EUR/m2",
    "time": "21 EUR/h",
    "day": "900 EUR/day",
}


class Money(Settings):
    """``90 EUR``."""

    amount: float
    currency: str


class Price(Settings):
    """
    ``42 EUR/t``, ``190 EUR/pack`` or ``21 EUR/h``.

    Attributes
    ----------
    amount, currency, per
        As written.
    kind
        What it is for: ``mass``, ``volume``, ``area``, ``time``, ``pack``, ``load`` or ``day``.
    per_si
        Money for one kg, m3, m2 or s, or for one pack, load or day.
    """

    amount: float
    currency: str
    per: str
    kind: str
    per_si: float

    @property
    def per_kg(self) -> float | None:
        """Money for a kilogram; None where the price is for something else."""
        return self.per_si if self.kind == "mass" else None


def _number(text: str, value: Any) -> float:
    number = read_number(text)
    if number < 0:
        raise InputError(f"'{value}' is below zero")
    return number


def _read_money(value: Any) -> Any:
    found = _MONEY.fullmatch(value) if isinstance(value, str) else None
    if not found:
        raise InputError(f"'{value}' is not an amount of money; write it like 90 EUR")
    return {"amount": _number(found.group(1), value), "currency": found.group(2)}


def _read_price(value: Any, kinds: tuple[str, ...]) -> Any:
    example = " or ".join(_EXAMPLE[kind] for kind in kinds)
    found = _PRICE.fullmatch(value) if isinstance(value, str) else None
    if not found:
        raise InputError(f"'{value}' is not a price; write it like {example}")
    number, per = _number(found.group(1), value), found.group(3)
    kind, amount = _per(per)
    if kind not in kinds:
        raise InputError(f"'{value}' is a price for another kind of amount; write it like {example}")
    return {
        "amount": number,
        "currency": found.group(2),
        "per": per,
        "kind": kind,
        "per_si": number / amount,
    }


def _per(per: str) -> tuple[str, float]:
    """What a price is for, and how much of it in SI."""
    if per in _COUNTED:
        return _COUNTED[per], 1.0
    for kind in ("mass", "volume", "area", "time"):
        try:
            return kind, to_si(f"1 {per}", kind)
        except InputError as error:
            if "is not a" not in str(error):  # the unit itself is unknown or could mean two things
                raise
    return "", 1.0


MoneyText = Annotated[Money, Measured(_read_money, units="EUR")]


def price_for(*kinds: str) -> Measured:
    """For a settings key that holds a price for one of these kinds of amount."""
    units = ", ".join(_EXAMPLE[kind].split(" ", 1)[1] for kind in kinds)
    return Measured(lambda value: _read_price(value, kinds), units=units)


MaterialPrice = Annotated[Price, price_for("mass", "volume", "area", "pack", "load")]
FuelPrice = Annotated[Price, price_for("volume")]
HourPrice = Annotated[Price, price_for("time")]
ContractPrice = Annotated[Price, price_for("day", "area")]
