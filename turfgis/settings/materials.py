"""``[material.NAME]``: what is bought, by weight, volume or area."""

from typing import Annotated, ClassVar, Literal

from pydantic import Field, model_validator

from turfgis.errors import InputError
from turfgis.formulas.chance import Figure
from turfgis.settings.money import MaterialPrice, MoneyText
from turfgis.settings.spraying import Label
from turfgis.settings.values import (
    Analysis,
    Area,
    AreaOrZero,
    Density,
    ExactDensity,
    Mass,
    MassOrZero,
    Settings,
    Share,
    SpreadShare,
    Text,
    Volume,
    VolumeOrZero,
)
from turfgis.settings.when import IntervalText


class _Material(Settings):
    """
    Keys that every material may have.

    Attributes
    ----------
    base
        What amounts of it are counted in: ``kg``, ``m3`` or ``m2``.
    price
        For its own kind of amount, or for a whole pack or load.
    supplier, cost_code
        Who brings it, and where its cost is booked.
    delivery
        A charge for each load of sand, or for each order of anything else.
    specification
        Lines that the order says of it, in the club's own words.
    lead, deliver_before
        From order to delivery, and from delivery to the work; those of the supplier where they are left out.
    """

    base: ClassVar[str] = "kg"
    price: MaterialPrice | None = None
    supplier: str = ""
    cost_code: str = ""
    delivery: MoneyText | None = None
    specification: list[Text] = Field(default_factory=list)
    lead: IntervalText | None = None
    deliver_before: IntervalText | None = None

    @property
    def unit_size(self) -> float | None:
        """How much one pack or load holds, in the base unit."""
        return getattr(self, "load", None) or getattr(self, "pack", None)

    @property
    def unit_price(self) -> float | None:
        """Money for one base unit: a kg, m3 or m2; None where there is no price."""
        price, size = self.price, self.unit_size
        if price is None:
            return None
        if price.kind in ("pack", "load"):
            return price.per_si / size if size else None
        density = getattr(self, "density", None)
        return price.per_si * density if price.kind == "mass" and self.base == "m3" and density else price.per_si

    def price_problem(self) -> str:
        """Why the price cannot be turned into one for the base unit; empty where it can."""
        if self.price is None:
            return ""
        kind, word = self.price.kind, "load" if "load" in type(self).model_fields else "pack"
        own, size, example = _MEASURES[self.base]
        if kind in ("pack", "load"):
            if kind != word:
                name = type(self).__name__.lower()
                return f"is per {kind}, but {name} comes in {word}s; write it per {word}, or like {example}"
            if self.unit_size is None:
                size = "20 t" if word == "load" else size
                return f'is per {word}, but the material has no {word}; add {word} = "{size}" or so'
            return ""
        if kind == own or (own == "volume" and kind == "mass" and getattr(self, "density", None)):
            return ""
        hint = ', or add density = "1.1 kg/l" or so' if own == "volume" and kind == "mass" else ""
        return f"is by {_WORDS[kind]}, but the material is measured by {_WORDS[own]}; write it like {example}{hint}"


# What amounts are counted in -> their kind, a pack of it, and a price for it.
_MEASURES = {
    "kg": ("mass", "10 kg", "42 EUR/t"),
    "m3": ("volume", "20 l", "9 EUR/l"),
    "m2": ("area", "40 m2", "4 EUR/m2"),
}
_WORDS = {"mass": "weight", "volume": "volume", "area": "area"}


class Sand(_Material):
    """
    ``[material.NAME]`` with ``kind = "sand"``.

    ``load`` is what one lorry, or one big bag, brings; ``bay`` what there is room for at one time.
    """

    kind: Literal["sand"]
    bulk_density: Density
    moisture: SpreadShare = Figure(0.0)
    storage_loss: SpreadShare = Figure(0.0)
    load: Mass | None = None
    bay: Mass | None = None
    stock: MassOrZero = 0.0
    minimum: Mass | None = None

    @model_validator(mode="after")
    def _load_fits(self) -> "Sand":
        if self.bay is not None and self.load is not None and self.bay < self.load:
            raise InputError(
                "the bay holds less than one load: write how much sand there is room for, or smaller loads"
            )
        return self


# Those for which published seed rates are kept.
Species = Literal[
    "Kentucky bluegrass",
    "perennial ryegrass",
    "annual ryegrass",
    "tall fescue",
    "bermudagrass",
    "zoysiagrass",
    "creeping bentgrass",
    "fescue and bent",
]


class Seed(_Material):
    """``[material.NAME]`` with ``kind = "seed"``; ``species`` is only for remarks on its rate."""

    kind: Literal["seed"]
    purity: Share = 1.0
    germination: Share = 1.0
    species: Species | None = None
    pack: Mass | None = None
    stock: MassOrZero = 0.0
    minimum: Mass | None = None


class Fertiliser(_Material):
    """``[material.NAME]`` with ``kind = "fertiliser"``; the analysis by weight, P and K as the label gives them."""

    kind: Literal["fertiliser"]
    analysis: Analysis
    pack: Mass | None = None
    stock: MassOrZero = 0.0
    minimum: Mass | None = None


class Liquid(_Material):
    """
    ``[material.NAME]`` with ``kind = "liquid"``: by volume. Its analysis is by weight, so it needs the density.

    ``label`` is what the user has copied from the product; a plan to spray it is held against that.
    """

    base: ClassVar[str] = "m3"
    kind: Literal["liquid"]
    analysis: Analysis | None = None
    density: ExactDensity | None = None
    pack: Volume | None = None
    stock: VolumeOrZero = 0.0
    minimum: Volume | None = None
    label: Label | None = None

    @model_validator(mode="after")
    def _weight_needs_density(self) -> "Liquid":
        if self.analysis and self.density is None:
            raise InputError('the analysis is by weight and the liquid by volume: add density = "1.2 kg/l" or so')
        return self


class Turf(_Material):
    """``[material.NAME]`` with ``kind = "turf"``: by area; ``pack`` is what one pallet or roll covers."""

    base: ClassVar[str] = "m2"
    kind: Literal["turf"]
    pack: Area | None = None
    stock: AreaOrZero = 0.0
    minimum: Area | None = None


MATERIALS = (Sand, Seed, Fertiliser, Liquid, Turf)
Material = Annotated[Sand | Seed | Fertiliser | Liquid | Turf, Field(discriminator="kind")]
